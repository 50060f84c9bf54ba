"""The dimensions of a finished view against its scale, across a break too."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest

from .unpacked import SVG


def dimensions(view: ET.Element) -> Iterator[tuple[float, float, float]]:
    """What each dimension of a view measures and what it tells, in metres, and the view's units to a metre.

    Across a break the line is short by just what the break's own marks say is left out.
    """
    for mark in view.iter(f"{SVG}g"):
        if "data-ends" not in mark.attrib:
            continue
        scale = float(view.attrib["data-scale"])  # a view without a dimension may do without
        scale_y = float(view.get("data-scale-y", scale))  # heights may be stretched
        x0, y0, x1, y1 = (float(v) for v in mark.attrib["data-ends"].split())
        left_out = 0.0
        for gap in view.iter(f"{SVG}g"):
            if gap.get("class") == "break":
                start, stop = (float(v) for v in gap.attrib["data-at"].split())
                if min(x0, x1) < start and stop < max(x0, x1):
                    assert len(gap.findall(f"{SVG}path")) == 2, "both ends of a break are marked"
                    left_out += float(gap.attrib["data-true"]) - (stop - start) / scale
        assert ("data-broken" in mark.attrib) == (left_out > 0)
        assert float(mark.get("data-broken") or 0) == pytest.approx(left_out, abs=0.03 / scale)
        yield math.hypot((x1 - x0) / scale, (y1 - y0) / scale_y) + left_out, float(mark.attrib["data-si"]), scale
