"""What a screen in the cab tells, against what was measured."""

from __future__ import annotations

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

CALCULATIONS: tuple[Formula | Procedure, ...] = ()
