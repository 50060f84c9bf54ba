"""A check by a general-purpose library, computed when the tests run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import pint


@cache
def pint_units() -> Any:
    """Pint's units, read once for all modules: reading them takes half a second."""
    return pint.UnitRegistry()


@dataclass(frozen=True)
class LibraryCheck:
    """What ``library`` says of a calculation at one point.

    ``inputs`` are quantities as typed, ``expected`` is in ``unit``, ``within`` is relative.
    """

    calculation: str
    inputs: dict[str, str]
    expected: float
    unit: str
    within: float
    library: str
    what: str
    result: str | None = None
