"""Tables written for a spreadsheet, so that opening one does nothing but show it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

# what a spreadsheet takes for the start of a formula, at the start of a cell or after a mark that
# another spreadsheet's settings may take for the end of a cell
_FORMULA = re.compile(r"(^|[;,\t\r\n])([\s\ufeff]*)(?=[=+\-@＝＋－＠])")


def cell(value: object) -> str:
    """A cell no spreadsheet takes for a formula, and that can always be written as UTF-8."""
    text = str(value).encode("utf-8", "replace").decode("utf-8")
    if not text.isprintable():
        text = "".join(ch if ch.isprintable() else " " for ch in text)
    return _FORMULA.sub(lambda m: f"{m[1]}{m[2]}'", text)


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A CSV file: every cell in quotes, formula-looking ones neutralised, marked as UTF-8."""
    out = io.StringIO()
    writer = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow([cell(h) for h in heads])
    writer.writerows([cell(v) for v in row] for row in rows)
    return "\ufeff" + out.getvalue()
