"""Drawings to scale, written as plain SVG with the standard library alone.

`measure` holds what a drawing prints (a value and its text in both unit systems), `canvas` draws,
`scenes` has one function for each drawing of the handbook. `stylesheet` returns the few rules that
the page needs for them.
"""

from generator.drawing.canvas import Canvas, View, stylesheet
from generator.drawing.measure import Measure, Words

__all__ = ["Canvas", "Measure", "View", "Words", "stylesheet"]
