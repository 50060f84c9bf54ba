"""What is wrong with a lesson, where, and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable

from generator.working.errors import WORKED_FROM


class BookError(Exception):
    """A mistake in a lesson, question or other content file: one line, with file and line."""

    def __init__(self, file: str, line: int | None, what: str, fix: str) -> None:
        self.file, self.line, self.what, self.fix = file, line, what, fix
        where = f"{file}:{line}" if line else file
        super().__init__(f"{where}: {what}; {fix}")

    def __reduce__(self) -> tuple[type[BookError], tuple[str, int | None, str, str]]:
        return type(self), (self.file, self.line, self.what, self.fix)  # so that a worker can hand it over


class BookErrors(Exception):
    """All mistakes of one reading, in the order of files and lines."""

    def __init__(self, problems: Iterable[BookError]) -> None:
        self.problems = tuple({str(p): p for p in problems}.values())
        super().__init__("\n".join(str(p) for p in self.problems))


_NONE_HERE = re.compile(r"(?:template: )?this site has no (truck|machine|material)\b")
_SHIPPED = re.compile(r"content/(?:lessons|questions)/([a-z0-9-]+)\.")
_REFUSED = re.compile(r"(?:[\w.-]+: )?number '[^']*': (.*)", re.S)
_FITS_NONE = "no machine of this site fits the lesson's table"


def told(problems: Iterable[BookError]) -> list[str]:
    """A line for each problem. What a shipped lesson makes of the site's own figures is told once, where they stand."""
    problems = list(problems)
    caused = {m[1] for p in problems if (m := _SHIPPED.match(p.file)) and WORKED_FROM in p.fix}
    lines: dict[str, None] = {}
    said: set[tuple[str, str]] = set()
    for p in problems:
        none, lesson = _NONE_HERE.match(p.what), _SHIPPED.match(p.file)
        fix, _, causes = p.fix.partition(WORKED_FROM)
        if none and lesson:
            lines[f"settings.yml: the lesson {lesson[1]} shows a {none[1]}, and this site has none; "
                  f"add one to the table {none[1]}s, or take the lesson out of the roles"] = None  # fmt: skip
        elif lesson and causes:
            refused = _REFUSED.match(p.what)
            why = refused[1] if refused else p.what
            if (lesson[1], why) in said:
                continue
            said.add((lesson[1], why))
            first, _, others = causes.partition(", ")
            beside = f", with {others}" if others else ""
            place, _, figure = first.rpartition(" (")
            lines[f"{place}: the lesson {lesson[1]} cannot be worked from this figure ({figure}{beside}: {why}; {fix}"] = None
        elif not (lesson and lesson[1] in caused and p.what.startswith(_FITS_NONE)):  # mended with the figures
            lines[str(p)] = None
    return list(lines)
