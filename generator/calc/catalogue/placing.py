"""Placing and compacting ground in layers."""

from __future__ import annotations

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

CALCULATIONS: tuple[Formula | Procedure, ...] = ()
