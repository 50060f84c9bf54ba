"""What is wrong with a lesson, where, and what to do."""

from __future__ import annotations

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
