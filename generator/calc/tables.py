"""Published tables: values as printed, with their source, looked up by row and column.

Reading the files is another layer's work; this one only knows what a table is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity, trimmed


@dataclass(frozen=True, slots=True)
class Cell:
    """A printed value: one figure, or the ends of a printed range. ``text`` is as printed."""

    text: str
    low: float
    high: float

    @property
    def middle(self) -> float:
        """The figure, or the middle of the range."""
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Table:
    """One published table.

    ``rows`` maps row name to column name to cell (None where the source prints none);
    ``units`` gives each column's unit as printed; ``source`` is a key of ``sources.yml``.
    """

    id: str
    title: str
    source: str
    place: str
    seen: Literal["read", "from memory"]
    columns: tuple[str, ...]
    units: Mapping[str, str]
    rows: Mapping[str, Mapping[str, Cell | None]]
    note: str = ""
    row_units: Mapping[str, str] = field(default_factory=dict, kw_only=True)  # where each row of single figures has its own
    limits: Mapping[str, Limit] = field(default_factory=dict, kw_only=True)  # by row or column: which way its figure is rounded

    def quantity(self, row: str, column: str, kind: str) -> Quantity:
        """The figure of a cell with its unit, as one ``kind`` of quantity; of a range its low end. Raises CalculationError."""
        unit = self.row_units.get(row) or self.units.get(column, "1")
        return Quantity(
            trimmed(Decimal(repr(self.cell(row, column).low))), unit, kind, self.limits.get(row) or self.limits.get(column) or ""
        )

    def cell(self, row: str, column: str) -> Cell:
        """The cell, or CalculationError naming the rows or columns there are."""
        if row not in self.rows:
            raise CalculationError(f"{self.id} has no row '{row[:40]}'", f"its rows are {', '.join(self.rows)}")
        found = self.rows[row].get(column)
        if found is None:
            filled = [c for c in self.columns if self.rows[row].get(c) is not None]
            raise CalculationError(f"{self.id} prints no '{column[:40]}' for {row}", f"it prints {', '.join(filled)}")
        return found
