"""A procedure: a computation of several steps that returns its result and what explains it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from generator.calc.formula import Input, Source, missing_input, unknown_input
from generator.calc.steps import Outcome
from generator.calc.tables import Table
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

Tables = Mapping[str, Table]


@dataclass(frozen=True)
class Procedure:
    """A calculation of several steps.

    ``run(inputs, system, tables)`` gets complete, range-checked quantities already in ``system``,
    and the published tables named in ``tables``. An input of kind ``text`` is a choice
    (:class:`Choice`), handed over as its string.
    """

    id: str
    title: str
    inputs: tuple[Input | Choice, ...]
    source: Source
    limits: str
    run: Callable[[Mapping[str, Quantity | str], System, Tables], Outcome]
    tables: tuple[str, ...] = ()
    stability: bool = False
    words: str = ""
    also: tuple[Source, ...] = ()

    @cached_property
    def input_by_name(self) -> Mapping[str, Input | Choice]:
        """Inputs by name."""
        return {i.name: i for i in self.inputs}

    def read(self, texts: Mapping[str, str]) -> dict[str, Quantity | str]:
        """Inputs as a person typed them, completed with defaults, ranges checked."""
        given: dict[str, Quantity | str] = {}
        for name, text in texts.items():
            wanted = self.input_by_name.get(name)
            if wanted is None:
                raise unknown_input(self, name)
            try:
                given[name] = wanted.pick(text) if isinstance(wanted, Choice) else Quantity.read(text, wanted.kind)
            except CalculationError as e:
                raise CalculationError(f"{name}: {e.what}", e.fix, about=(name,)) from None
        return self.complete(given)

    def complete(self, given: Mapping[str, Quantity | str]) -> dict[str, Quantity | str]:
        """``given`` with defaults, in the order of the inputs, ranges checked.

        An optional input (``default=""``) that is not given is left out.
        """
        for name in given:
            if name not in self.input_by_name:
                raise unknown_input(self, name)
        full: dict[str, Quantity | str] = {}
        for i in self.inputs:
            if i.name in given:
                full[i.name] = given[i.name]
            elif i.default is None:
                raise missing_input(self, i)
            elif i.default == "":
                continue
            else:
                full[i.name] = i.default if isinstance(i, Choice) else Quantity.read(i.default, i.kind)
            value = full[i.name]
            if isinstance(i, Choice):
                full[i.name] = i.pick(str(value))
            elif isinstance(value, Quantity):
                i.check(value.si)
            else:
                raise CalculationError(f"{i.name} needs a quantity", f"give {i.meaning}", about=(i.name,))
        return full

    def work(self, given: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
        """The outcome, worked in ``system`` from figures that are round there.

        Raises CalculationError on bad input or where no sensible result exists.
        """
        full = {name: value.in_system(system) if isinstance(value, Quantity) else value for name, value in self.complete(given).items()}
        return self.run(full, system, tables)


@dataclass(frozen=True)
class Choice:
    """An input that is one of a few words, such as a soil type."""

    name: str
    meaning: str
    options: tuple[str, ...]
    default: str | None = None
    kind: str = "text"
    symbol: str = ""

    def pick(self, text: str) -> str:
        """The option meant (case and surrounding blanks don't matter)."""
        for option in self.options:
            if option.lower() == " ".join(text.split()).lower():
                return option
        raise CalculationError(f"'{text[:40]}' is not a choice for {self.name}", f"choose {', '.join(self.options)}", about=(self.name,))
