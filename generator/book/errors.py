"""What is wrong with a lesson, where, and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable


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


def told(problems: Iterable[BookError]) -> list[str]:
    """A line for each problem; one for a shipped lesson that shows what the site has none of."""
    lines: dict[str, None] = {}
    for p in problems:
        none, lesson = _NONE_HERE.match(p.what), _SHIPPED.match(p.file)
        if none and lesson:
            lines[f"settings.yml: the lesson {lesson[1]} shows a {none[1]}, and this site has none; "
                  f"add one to the table {none[1]}s, or take the lesson out of the roles"] = None  # fmt: skip
        else:
            lines[str(p)] = None
    return list(lines)
