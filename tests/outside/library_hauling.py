"""Second opinions on the calculations of haul roads and tips."""

from __future__ import annotations

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of haul roads and tips."""
    found: list[LibraryCheck] = []
    return found
