"""Drawings to scale, written as plain SVG with the standard library alone.

From the ground up, each knowing only those before it:

- `measure`: what a drawing prints, a value and its text in both unit systems;
- `boxes`: points, boxes and segments, what covers or crosses what;
- `svg`: how coordinates, pens and fills are written;
- `text`: how wide a text is and where it breaks;
- `placing`: where a label goes;
- `board`: all that is drawn so far, and the labels that wait;
- `view`: shapes, dimensions, labels and regions to point at, in metres;
- `canvas`: one drawing, a column of views, notes and legends;
- `picture`: a finished drawing read back and measured, in metres;
- `laws`: what every picture must keep to, by the figures of the site;
- `spec`: which drawing a lesson or a question asks for;
- `machines`: outlines of machines;
- `scenes`: one function for each drawing of the handbook.

`stylesheet` returns the few rules that the page needs for them.
"""

from generator.drawing.canvas import Canvas
from generator.drawing.measure import Measure, Words
from generator.drawing.svg import stylesheet
from generator.drawing.view import View

__all__ = ["Canvas", "Measure", "View", "Words", "stylesheet"]
