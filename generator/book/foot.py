"""The line under each page of paper: what it belongs to, its edition, and which page of how many it is."""

from __future__ import annotations

import re

from generator.language.words import tr


def page_foot(*said: str) -> str:
    """The style that writes ``said`` and the page's number into the lower margin of every page.

    Browsers that know no margin boxes leave it out; what a page must tell stands in its heading too.
    """
    before, between, after = re.split(r"\{pages?\}", tr("page {page} of {pages}"))
    words = _string(" · ".join([*(x for x in said if x), before]))
    end = f" {_string(after)}" if after else ""
    return (
        "@media print { @page { @bottom-right { vertical-align: top; padding-top: 4pt;"
        f' font: 8pt system-ui, "Segoe UI", Roboto, "Noto Sans", "DejaVu Sans", sans-serif;'
        f" content: {words} counter(page) {_string(between)} counter(pages){end}; }} }} }}\n"
    )


def _string(text: str) -> str:
    """``text`` as a CSS string: whatever it holds, it ends nothing and begins nothing."""
    return '"' + "".join(ch if (ch.isascii() and ch.isalnum()) or ch == " " else f"\\{ord(ch):x} " for ch in text) + '"'
