"""Seatwork: training handbooks whose every number comes from a tested calculation."""

__version__ = "0.1.0"
