"""Checks of the day: a machine looked over, fuel, heat and hours."""

from __future__ import annotations

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

CALCULATIONS: tuple[Formula | Procedure, ...] = ()
