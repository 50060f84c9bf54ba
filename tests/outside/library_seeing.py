"""Second opinions on the calculations of what is seen from the seat."""

from __future__ import annotations

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of what is seen from the seat."""
    found: list[LibraryCheck] = []
    return found
