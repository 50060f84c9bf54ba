"""Moving a machine on a trailer: masses and tie-downs."""

from __future__ import annotations

from generator.calc.formula import Formula
from generator.calc.procedure import Procedure

CALCULATIONS: tuple[Formula | Procedure, ...] = ()
