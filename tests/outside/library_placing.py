"""Second opinions on the calculations of placing and compacting."""

from __future__ import annotations

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of placing and compacting."""
    found: list[LibraryCheck] = []
    return found
