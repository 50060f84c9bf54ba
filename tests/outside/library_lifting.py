"""Second opinions on the calculations of lifting with the bucket."""

from __future__ import annotations

from tests.outside.kinds import LibraryCheck


def checks() -> list[LibraryCheck]:
    """All second opinions on the calculations of lifting with the bucket."""
    found: list[LibraryCheck] = []
    return found
