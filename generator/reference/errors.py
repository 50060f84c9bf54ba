"""What is wrong with a shipped table or with the bibliography, where, and what to do."""

from __future__ import annotations


class ReferenceProblem(ValueError):
    """A mistake in ``sources.yml`` or in a published table: one line, with file and line."""

    def __init__(self, file: str, line: int | None, what: str, fix: str) -> None:
        self.file, self.line, self.what, self.fix = file, line, what, fix
        where = f"{file}:{line}" if line else file
        super().__init__(f"{where}: {what}; {fix}")
