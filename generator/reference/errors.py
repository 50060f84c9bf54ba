"""What is wrong with a shipped table or with the bibliography, where, and what to do."""

from __future__ import annotations

from generator.source.problem import Refusal


class ReferenceProblem(Refusal):
    """A mistake in ``sources.yml`` or in a published table: one line, with file and line."""

    code = "reference"

    def __init__(self, file: str, line: int | None, what: str, fix: str) -> None:
        super().__init__(what, fix, file=file, line=line)
