"""Second opinions on the calculations of moving a machine."""

from __future__ import annotations

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of moving a machine."""
    found: list[LibraryCheck] = []
    return found
