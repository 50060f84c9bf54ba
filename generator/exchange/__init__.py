"""The handbook, its questions and its records for other systems, each by a published open standard.

Nothing of Seatwork's own needs any of it: what leaves by here is made from what ``publish`` wrote,
what ``quiz`` draws and what ``records`` keeps.
"""
