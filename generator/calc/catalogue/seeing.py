"""What is seen from the seat, and how near anybody may be."""

from __future__ import annotations

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

CALCULATIONS: tuple[Formula | Procedure, ...] = ()
