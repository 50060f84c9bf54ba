"""A code that a phone reads, drawn into a page: black on white, the same text always as the same picture."""

from __future__ import annotations

from html import escape
from io import BytesIO
from typing import Literal

import segno


def qr_svg(text: str, label: str, mends: Literal["m", "h"] = "h") -> str:
    """An inline SVG of a QR code that holds ``text``, as large as its box; ``label`` says what it is.

    It mends the most damage that the standard has a level for (H, three tenths of it), as paper gets dirty; a long text
    is drawn coarser and read from further off with ``m`` (a seventh). It has the white rim of four modules
    that the standard asks for. Raises segno.DataOverflowError where ``text`` is too long.
    """
    out = BytesIO()
    segno.make(text, error=mends, micro=False).save(
        out, kind="svg", border=4, light="#fff", xmldecl=False, svgns=False, omitsize=True, nl=False, svgclass="qr", lineclass=None
    )
    svg = out.getvalue().decode("ascii")
    return svg.replace("<svg ", f'<svg role="img" aria-label="{escape(label)}" ', 1)
