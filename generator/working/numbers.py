"""The numbers of a lesson: named calculations over the site's tables, job and published tables.

A lesson's front matter names them::

    numbers:
      load:
        calculation: loading.bucket_load
        bucket_capacity: machine.bucket_capacity
        fill: material.fill
        loose_density: loose          # another number of this lesson

A reference is ``machine.COLUMN``, ``truck.COLUMN``, ``material.COLUMN``, ``job.NAME``,
``limits.NAME``, ``table.ID.ROW.COLUMN``, ``largest.truck.COLUMN`` for the largest figure that any truck of
the site has there, the name of another number, or ``number.RESULT`` for another result of a procedure. A list of references takes the first there is, so that the
site's own value goes before a published or calculated one; where a site gives none of them, the
calculation's own default holds.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from generator.calc.catalogue import Calculation, find
from generator.calc.formula import Formula
from generator.calc.procedure import Choice, Tables
from generator.calc.rules import US_FEDERAL
from generator.calc.steps import Applied, From
from generator.calc.tables import Table
from generator.calc.under_rules import RESTS_ON, lacks, lacks_cell, withheld
from generator.jobsite.columns import DOZER, EXCAVATOR, JOB_BY_NAME, LIMITS_BY_NAME, MACHINES, may_be_blank, taken_from
from generator.jobsite.model import JobSite, Row
from generator.language.words import mark, said
from generator.source.problem import Cause
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, trimmed
from generator.units.table import EITHER, KINDS, UNITS, System, convertible, find_unit, to_si
from generator.working.byhand import result_figure
from generator.working.errors import NO_RULE, DoesNotFit, FiguresRefused, Lacking, NoFigure, NoneHere, NumberProblem
from generator.working.explain import Explained, Shown, explain, explain_chain


@dataclass(frozen=True, slots=True)
class Context:
    """Which rows ``machine``, ``truck`` and ``material`` stand for."""

    machine: Row | None = None
    truck: Row | None = None
    material: Row | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        """Ids, for caching and for places in the ledger."""
        machine, truck, material = self.machine, self.truck, self.material
        return machine.id if machine else "", truck.id if truck else "", material.id if material else ""


@dataclass(frozen=True, slots=True)
class Found:
    """A referred-to value: a quantity or words, and where it stands."""

    value: Quantity | str
    origin: str


@dataclass(frozen=True)
class Spec:
    """One named number of a lesson."""

    name: str
    calculation: Calculation
    inputs: Mapping[str, tuple[str, ...]]


def read_specs(raw: Mapping[str, Any]) -> dict[str, Spec]:
    """The ``numbers`` mapping of a lesson or question. Raises NumberProblem."""
    specs: dict[str, Spec] = {}
    for name, body in raw.items():
        if not isinstance(body, dict) or "calculation" not in body:
            raise NumberProblem(f"number '{name}' names no calculation", "add 'calculation: ID'")
        try:
            calculation = find(str(body["calculation"]))
        except CalculationError as e:
            raise NumberProblem(f"number '{name}': {e.what}", e.fix) from None
        inputs: dict[str, tuple[str, ...]] = {}
        for key, ref in body.items():
            if key == "calculation":
                continue
            if key not in calculation.input_by_name:
                names = ", ".join(calculation.input_by_name)
                raise NumberProblem(f"number '{name}': {calculation.id} has no input '{key}'", f"its inputs are {names}")
            refs = ref if isinstance(ref, list) and ref else [ref]
            for r in refs:
                if isinstance(r, dict | list) or r is None or r == "":
                    raise NumberProblem(f"number '{name}': {key} refers to nothing", "write a reference such as machine.COLUMN")
                if not isinstance(r, str) or r[0].isdigit():
                    raise NumberProblem(
                        f"number '{name}': {key} is a typed figure",
                        "put it into settings.yml under job: and refer to it as job.NAME",
                    )
            inputs[key] = tuple(refs)
        specs[name] = Spec(name, calculation, MappingProxyType(inputs))
    return specs


# which of the site's limits a figure of the tables or the job is held to, by their names
HELD_TO: Mapping[str, str] = {
    "stick_length": "bench_height", "face_height": "bench_height", "edge_distance": "edge_distance",
    "working_side_slope": "side_slope", "push_grade": "up_down_slope", "climb_grade": "up_down_slope",
    "trench_depth": "trench_entry_depth", "haul_speed": "site_speed", "empty_speed": "site_speed",
}  # fmt: skip
# published rules that print a figure in both unit systems, feet and metres in columns of their own,
# and what of a site they speak of
RULES = ("excavation-rules",)
RULED = frozenset({"limits.trench_entry_depth", "limits.spoil_setback"})


def _equal(a: Quantity, b: Quantity) -> bool:
    return abs(a.si - b.si) <= 1e-9 * max(abs(a.si), abs(b.si))


def _twin(table: Table, row: str, column: str) -> tuple[Decimal, str] | None:
    """The same figure of a published table in the other unit system, where the row prints both."""
    unit = table.units.get(column, "1")
    own = table.rows[row].get(column)
    kind = kind_of_unit(unit)
    for other in table.columns:
        its_unit = table.units.get(other, "1")
        cell = table.rows[row].get(other)
        if (
            cell is None
            or own is None
            or own.low != own.high
            or cell.low != cell.high
            or UNITS[its_unit].system in {None, UNITS[unit].system}
        ):
            continue
        if UNITS[unit].system is None or kind_of_unit(its_unit) != kind:
            continue
        one, two = to_si(own.low, unit, kind), to_si(cell.low, its_unit, kind)
        if one and abs(two - one) <= 0.005 * abs(one):
            return trimmed(Decimal(repr(cell.low))), its_unit
    return None


def _as_a_rule_prints(value: Quantity, tables: Tables) -> Quantity:
    """The quantity, with the figure a published rule prints for it in the other unit system, where one does."""
    for id_ in RULES:
        if id_ not in tables:
            continue
        table = tables[id_]
        for row, cells in table.rows.items():
            for column, cell in cells.items():
                if cell is None or table.units.get(column) != value.unit or Decimal(repr(cell.low)) != value.figure:
                    continue
                twin = _twin(table, row, column)
                if twin is not None:
                    return replace(value, told=twin)
    return value


# figures a site may leave out: a number then goes by the next reference, or by its own default
_OPTIONAL = {"job": JOB_BY_NAME, "limits": LIMITS_BY_NAME}
MOST_CAUSES = 8  # places in one line
_OF_DIGGERS = frozenset(c.name for c in (*MACHINES.columns, *MACHINES.taken) if c.fits and DOZER not in c.fits)
_DRAWN = said("drawn for this question")
LARGEST = "largest"
"""Before ``truck.COLUMN``: what is made for all trucks of a site, such as a road, is made for the largest."""
_TABLES = {"machine": mark("the table machines"), "truck": mark("the table trucks"), "material": mark("the table materials")}
_SHARED = {
    "machine": mark("the shared table machines"), "truck": mark("the shared table trucks"), "material": mark("the shared table materials"),
}  # fmt: skip


def _named(row: Row, head: str) -> str:
    """The table a row stands in, as pages name it."""
    return _SHARED[head] if row.file else _TABLES[head]


def _of_column(row: Row, head: str, column: str) -> str:
    """Where a figure of a row stands, as pages say it."""
    return said("{table}, line {line}, column {column}", table=said(_named(row, head)), line=row.line, column=column)


@dataclass
class Numbers:
    """Works the named numbers of one lesson for any rows of the site, each once."""

    specs: Mapping[str, Spec]
    site: JobSite
    tables: Tables
    lead: Context
    given: Mapping[str, Quantity] = field(default_factory=dict)
    _done: dict[tuple[str, tuple[str, str, str], System], Explained] = field(default_factory=dict)
    _chains: dict[tuple[str, tuple[str, str, str], System], dict[str, Applied]] = field(default_factory=dict)
    _exact: dict[tuple[str, tuple[str, str, str], System], float] = field(default_factory=dict)
    _found: dict[tuple[str, tuple[str, str, str]], Found] = field(default_factory=dict)
    absent: frozenset[str] = frozenset()  # references that mean something else here than the lesson says, so it does without

    def explained(self, name: str, context: Context, system: System) -> Explained:
        """Number ``name`` worked in ``system``. Raises NumberProblem or DoesNotFit."""
        return self._work(name, context, system, ())

    def value(self, name: str, context: Context, system: System) -> tuple[Quantity, float]:
        """The printed figure and the unrounded SI value, without the working where one can.

        Raises NumberProblem, also where the result is no figure.
        """
        spec = self._spec(name)
        rows = context.key
        if isinstance(spec.calculation, Formula) and (name, rows, system) not in self._done:
            exact = self._exact
            try:
                for step in self._chain(name, context, system, ()).values():
                    if (step.name, rows, system) not in exact:
                        exact[step.name, rows, system] = step.formula(
                            **{
                                n: exact[g.step, rows, system] if isinstance(g, From) else g.in_system(system).si
                                for n, g in step.inputs.items()
                            }
                        )
            except CalculationError as e:
                fix = self._in_own_names(name, context, e.fix, e.problem.about)
                raise FiguresRefused(name, e.what, fix, self._causes(name, context, e.problem.about)) from None
            unit, si = spec.calculation.result.unit(system), exact[name, rows, system]
            return Quantity(result_figure(spec.calculation, si, unit), unit, spec.calculation.result.kind), si
        result = self.explained(name, context, system).result
        if result.quantity is None or result.si is None:
            raise NumberProblem(f"number '{name}' is no figure", "ask for a number")
        return result.quantity, result.si

    def _spec(self, name: str) -> Spec:
        if name not in self.specs:
            known = ", ".join(self.specs) or "none"
            raise NumberProblem(f"no number is called '{name[:40]}'", f"this lesson has {known}")
        spec = self.specs[name]
        if blank := lacks(spec.calculation.id, self.site.rules):
            raise NoFigure(RESTS_ON[spec.calculation.id].topic, blank)
        if withheld(spec.calculation.id, self.site.rules):
            raise NoneHere(f"the rules of this site give no figure for '{name}'", "give a table on it in the folder rules", code=NO_RULE)
        return spec

    def _work(self, name: str, context: Context, system: System, above: tuple[str, ...]) -> Explained:
        if name in above:
            raise NumberProblem(f"number '{name}' needs itself", "break the circle")
        done = self._done.get((name, context.key, system))
        if done is None:
            done = self._done[name, context.key, system] = self._worked(name, context, system, above)
        return done

    def _worked(self, name: str, context: Context, system: System, above: tuple[str, ...]) -> Explained:
        spec = self._spec(name)
        try:
            if isinstance(spec.calculation, Formula):
                chain = self._chain(name, context, system, above)
                return explain_chain(list(chain.values()), system)
            inputs: dict[str, Quantity | str] = {}
            for key, refs in spec.inputs.items():
                found = self._input(spec, key, refs, context, system, (*above, name))
                if found is not None:
                    inputs[key] = found
            return explain(spec.calculation, inputs, system, self.tables)
        except CalculationError as e:
            own = self.site.settings.units
            if system != own:  # who mends it is told in the units of the tables
                self._worked(name, context, own, above)
            fix = self._in_own_names(name, context, e.fix, e.problem.about)
            raise FiguresRefused(name, e.what, fix, self._causes(name, context, e.problem.about)) from None

    def _in_own_names(self, name: str, context: Context, fix: str, about: Collection[str]) -> str:
        """What to do, told of the site's own figures in place of the inputs that a calculation has of them."""
        numbers = [name]
        for number in numbers:
            heads = (str(self._first(refs, context)).partition(".")[0] for refs in self.specs[number].inputs.values())
            numbers += [head for head in heads if head in self.specs and head not in numbers]
        taken = next((self.specs[n].inputs for n in numbers if set(about) <= set(self.specs[n].inputs)), {})
        for key, refs in taken.items():
            own = dict.fromkeys(self._own_figures(refs, context))
            if key in about and own and key not in own:
                fix = re.sub(rf"(?<![\w.]){re.escape(key)}(?![\w.])", ", ".join(own), fix)
        return fix

    def _own_figures(self, refs: Sequence[str], context: Context) -> Iterator[str]:
        """The names of the site's own figures that an input rests on, as its tables and settings have them."""
        ref = self._first(refs, context)
        if ref is None or ref in self.given:
            return
        head, _, rest = ref.partition(".")
        if head in self.specs:
            for more in self.specs[head].inputs.values():
                yield from self._own_figures(more, context)
        elif head in {"job", "limits", *_TABLES}:
            yield rest

    def _causes(self, name: str, context: Context, about: Collection[str]) -> tuple[Cause, ...]:
        """The site's own figures that number ``name`` rests on, first those of inputs the refusal is ``about``."""
        return self._of_inputs([name], {}, context, about)

    def causes_of(self, refs: Iterable[str], context: Context) -> tuple[Cause, ...]:
        """The site's own figures that some references rest on, first those of the job, then its limits, then those of rows."""
        numbers: list[str] = []
        named: dict[Cause, bool] = {}
        for head, _, rest in (ref.partition(".") for ref in refs):
            if head in self.specs:
                numbers.append(head)
            elif not rest or head not in {"job", "limits", *_TABLES} or not self.exists(f"{head}.{rest}", context):
                continue
            elif cause := self._cause(head, rest, context):
                named[cause] = False
        found = self._of_inputs(numbers, named, context, (), most=None)
        return tuple(sorted(found, key=lambda c: (not c.column.startswith("job."), not c.column.startswith("limits.")))[:MOST_CAUSES])

    def _of_inputs(
        self, numbers: list[str], named: dict[Cause, bool], context: Context, about: Collection[str], most: int | None = MOST_CAUSES
    ) -> tuple[Cause, ...]:
        for number in numbers:  # its own inputs first, then those of the numbers it takes
            for key, refs in self.specs[number].inputs.items():
                ref = self._first(refs, context)
                if ref is None or ref in self.given:
                    continue
                head, _, rest = ref.partition(".")
                if head in self.specs:
                    numbers += [head] if head not in numbers else []
                elif cause := self._cause(head, rest, context):
                    named[cause] = named.get(cause, False) or key in about
        return tuple(sorted(named, key=lambda cause: not named[cause])[:most])

    def _cause(self, head: str, rest: str, context: Context) -> Cause | None:
        """Where a figure of the site stands, and what it is; None for one of a published table."""
        settings = self.site.settings
        if head in {"job", "limits"}:
            figure = str(getattr(settings, head)[rest])
            return Cause("settings.yml", settings.lines.get(f"{head}.{rest}"), f"{head}.{rest}", figure)
        row = getattr(context, head, None) if head in _TABLES else None
        if row is None:
            return None
        other = taken_from(rest)  # no line: it is the smallest of several figures there
        return Cause(
            self.site.table(other) if other else self.site.file_of(row, f"{head}s.csv"),
            None if other else row.line,
            rest,
            str(row.values[rest]),
        )

    def _chain(self, name: str, context: Context, system: System, above: tuple[str, ...]) -> dict[str, Applied]:
        """The formulas a formula rests on, first things first, itself last."""
        known = self._chains.get((name, context.key, system))
        if known is not None:  # a chain that is whole has no circle in it
            return known
        spec = self._spec(name)
        assert isinstance(spec.calculation, Formula)
        chain: dict[str, Applied] = {}
        inputs: dict[str, Quantity | From] = {}
        for key, refs in spec.inputs.items():
            ref = self._first(refs, context)
            if ref is None:
                if spec.calculation.input_by_name[key].default is not None:
                    continue
                raise self._lacking(refs, context)
            if ref not in self.given and ref in self.specs and isinstance(self.specs[ref].calculation, Formula):
                if ref in above or ref == name:
                    raise NumberProblem(f"number '{ref}' needs itself", "break the circle")
                chain.update(self._chain(ref, context, system, (*above, name)))
                inputs[key] = From(ref)
            else:
                value = self._taken(spec, key, ref, context, system, (*above, name))
                if not isinstance(value, Quantity):
                    raise NumberProblem(f"number '{name}': {key} is no quantity", f"look at {ref}")
                inputs[key] = value
        chain[name] = Applied(name, spec.calculation, inputs)
        self._chains[name, context.key, system] = chain
        return chain

    def _input(
        self, spec: Spec, key: str, refs: tuple[str, ...], context: Context, system: System, above: tuple[str, ...]
    ) -> Quantity | str | None:
        ref = self._first(refs, context)
        if ref is not None:
            return self._taken(spec, key, ref, context, system, above)
        if spec.calculation.input_by_name[key].default is not None:
            return None
        raise self._lacking(refs, context)

    def _taken(self, spec: Spec, key: str, ref: str, context: Context, system: System, above: tuple[str, ...]) -> Quantity | str:
        """The value of a reference that there is, as an input takes it."""
        wanted = spec.calculation.input_by_name[key]
        head, _, rest = ref.partition(".")
        if head in self.specs and ref not in self.given:
            explained = self._work(head, context, system, above)
            shown = self._result(explained, rest or explained.main, head)
            value: Quantity | str = shown.quantity if shown.quantity is not None else shown.words
        else:
            value = self.look_up(ref, context).value
        if isinstance(wanted, Choice):
            return str(value)
        if not isinstance(value, Quantity):
            raise NumberProblem(f"number '{spec.name}': {ref} is no quantity", f"{key} needs {wanted.meaning}")
        if value.kind != wanted.kind and not convertible(value.unit, wanted.kind):
            raise NumberProblem(
                f"number '{spec.name}': {ref} is {value}, and that is no {KINDS[wanted.kind].name}", f"{key} needs {wanted.meaning}"
            )
        return replace(value, kind=wanted.kind) if value.kind != wanted.kind else value

    @staticmethod
    def _result(explained: Explained, result: str, name: str) -> Shown:
        if result not in explained.results:
            raise NumberProblem(f"number '{name}' has no result '{result[:40]}'", f"it has {', '.join(explained.results)}")
        return explained.results[result]

    def _first(self, refs: Sequence[str], context: Context) -> str | None:
        for ref in refs:
            head = ref.partition(".")[0]
            if len(refs) > 1 and head in _TABLES and getattr(context, head) is None and ref not in self.given:
                continue  # no such row on this site: the next one of the list counts
            if ref != refs[-1] and self._of_none_here(ref, context):
                continue  # nor does one that is worked from such a row
            if head in self.specs or self.exists(ref, context):
                return ref
        return None

    def _of_none_here(self, ref: str, context: Context, above: tuple[str, ...] = ()) -> bool:
        """Whether a number cannot be worked, as it takes a figure of a row that this site has none of."""
        head = ref.partition(".")[0]
        if ref in self.given or head in above:
            return False
        if head in _TABLES:
            return getattr(context, head) is None
        if head in self.specs and withheld(self.specs[head].calculation.id, self.site.rules):
            return True
        return head in self.specs and any(
            all(self._of_none_here(r, context, (*above, head)) for r in refs) for refs in self.specs[head].inputs.values()
        )

    def exists(self, ref: str, context: Context) -> bool:
        """Whether there is a value of that reference. Raises NumberProblem where there can be none."""
        head, _, rest = ref.partition(".")
        if ref not in self.given and rest in _OPTIONAL.get(head, ()):
            return rest in getattr(self.site.settings, head)
        try:
            self.look_up(ref, context)
        except DoesNotFit:
            return False
        except NoneHere:
            if getattr(context, head, None) is None:
                raise  # no row at all is never made up for by a default
            return False
        return True

    def lacks(self, ref: object, context: Context) -> bool:
        """Whether ``ref`` names a column, job figure or limit that this site leaves blank, or has no row for."""
        head, _, rest = str(ref).partition(".")
        if head not in {*_TABLES, LARGEST, "job", "limits"} or not rest or ref in self.given:
            return False
        no_row = getattr(context, head) is None if head in _TABLES else head == LARGEST and not self.site.trucks
        return no_row or not self.exists(str(ref), context)

    def _lacking(self, refs: Sequence[str], context: Context) -> DoesNotFit:
        try:
            self.look_up(refs[-1], context)
        except DoesNotFit as e:
            return e
        raise AssertionError(refs)  # pragma: no cover - only called where nothing was found

    def look_up(self, ref: str, context: Context) -> Found:
        """A value of the site or of a published table. Raises NumberProblem or DoesNotFit."""
        if ref in self.given:
            return Found(self.given[ref], _DRAWN)
        key = (ref, context.key)
        found = self._found.get(key)
        if found is None:
            found = self._look_up(ref, context)
            if isinstance(found.value, Quantity):
                found = replace(found, value=self._as_the_limit(ref, found.value))
            self._found[key] = found
        return found

    def _as_the_limit(self, ref: str, value: Quantity) -> Quantity:
        """The quantity, told in the other unit system as the site's limit that it equals.

        A bench of 10 ft beside a limit of 10 ft is 3.04 m as the limit is, not 3.05 m: it would read as
        past it. What a published rule prints in both unit systems, and the site's limit of that very
        figure, are told as the rule prints it. Where two limits that are rounded opposite ways have the
        figure, the one it is held to counts.
        """
        if ref in RULED:
            return _as_a_rule_prints(value, self.tables)
        if value.limit or value.told is not None:
            return value
        same = {
            name: limit for name, limit in self.site.settings.limits.items()
            if isinstance(limit, Quantity) and limit.limit and limit.kind == value.kind and _equal(limit, value)
        }  # fmt: skip
        if len({limit.limit for limit in same.values()}) > 1:
            own = HELD_TO.get(ref.rpartition(".")[2])
            same = {name: limit for name, limit in same.items() if name == own}
        for name in same:
            limit = self.look_up(f"limits.{name}", Context()).value
            assert isinstance(limit, Quantity)
            return replace(value, limit=limit.limit, told=limit.told if limit.unit == value.unit else None)
        return value

    def _look_up(self, ref: str, context: Context) -> Found:
        head, _, rest = ref.partition(".")
        if head in _TABLES:
            return self._of_row(head, rest, ref, context)
        if head == LARGEST and rest.startswith("truck."):
            return self._largest(rest.removeprefix("truck."))
        if head == "limits" and rest.startswith("own."):
            limit = self.site.settings.own_limits.get(rest.removeprefix("own."))
            if limit is None:
                raise NumberProblem(f"settings.yml has no limits: own: {rest[4:44]}", "add it under limits:, below own:")
            return Found(limit.value, said("settings.yml, {block}: {name}", block="limits: own", name=limit.name))
        if head in {"job", "limits"}:
            block = getattr(self.site.settings, head)
            if rest not in block and rest in _OPTIONAL[head]:  # what a lesson cannot be without is asked for before
                raise Lacking(
                    "settings.yml", f"{head}: {rest}", "settings.yml", self.site.settings.lines.get(head), f"settings.yml, under {head}:"
                )
            if rest not in block:
                raise NumberProblem(f"settings.yml has no {head}: {rest[:40]}", f"add it under {head}:")
            return Found(block[rest], said("settings.yml, {block}: {name}", block=head, name=rest))
        if head == "table":
            return self._published(rest)
        raise NumberProblem(
            f"cannot read the reference '{ref[:60]}'",
            "write machine.COLUMN, truck.COLUMN, material.COLUMN, job.NAME, limits.NAME, table.ID.ROW.COLUMN or the name of a number",
        )

    def _of_row(self, head: str, rest: str, ref: str, context: Context) -> Found:
        """A figure or word of the machine, truck or material the page is about."""
        row = getattr(context, head)
        if row is None:
            absent = NoneHere if head == "truck" and not self.site.trucks else NumberProblem
            raise absent(f"this site has no {head} for '{ref}'",
                         f"add one to {_TABLES[head]}, or take the lesson out of its roles in settings.yml",
                         code=f"none-here:{head}")  # fmt: skip
        if ref in self.absent:
            raise NoneHere(f"this site has no excavator for '{ref}'", f"add one to {_TABLES[head]}", code="none-here:excavator")
        if rest == "kind":
            return Found(row.kind, _of_column(row, head, "kind"))
        if rest not in row.values:
            if may_be_blank(rest, row.kind):
                other = taken_from(rest)
                raise Lacking(row.name, rest, self.site.table(other) if other else self.site.file_of(row, f"{head}s.csv"), None if other else row.line,
                              f"the table {other.removesuffix('.csv')}" if other else _TABLES[head])  # fmt: skip
            if head == "machine" and row.kind == DOZER and not self.site.machines_for(EXCAVATOR) and rest in _OF_DIGGERS:
                raise NoneHere(f"this site has no excavator for '{ref}'", f"add one to {_TABLES[head]}", code="none-here:excavator")
            raise DoesNotFit(said("{row} has no {column}", row=row.name, column=rest), f"fill it in in {_TABLES[head]}")
        if other := taken_from(rest):
            return Found(row.values[rest], said("the table {table}, for the lift of the job", table=other.removesuffix(".csv")))
        return Found(row.values[rest], _of_column(row, head, rest))

    def _largest(self, column: str) -> Found:
        """The largest figure of a column over the trucks of the site, whichever truck the page is worked for."""
        trucks = [(value.si, row) for row in self.site.trucks if isinstance(value := row.values.get(column), Quantity)]
        if not trucks:  # as the page's own truck would be told of
            return self._look_up(f"truck.{column}", Context(truck=next(iter(self.site.trucks), None)))
        _, row = max(trucks, key=lambda found: found[0])
        return Found(row.values[column], said("{place}: the largest of all trucks", place=_of_column(row, "truck", column)))

    def _published(self, rest: str) -> Found:
        parts = rest.split(".")
        if len(parts) == 3 and parts[0] not in self.tables and self.site.rules.name != US_FEDERAL:
            raise NoneHere(f"the rules of this site give no table {parts[0]}", "give one in the folder rules", code=NO_RULE)
        if len(parts) != 3 or parts[0] not in self.tables:
            raise NumberProblem(f"no published table for 'table.{rest[:60]}'", "write table.ID.ROW.COLUMN")
        table = self.tables[parts[0]]
        if blank := lacks_cell(table, parts[1], parts[2], self.site.rules):
            raise NoFigure(*blank)
        try:
            cell = table.cell(parts[1], parts[2])
        except CalculationError as e:
            raise NumberProblem(e.what, e.fix) from None
        unit = table.row_units.get(parts[1]) or table.units.get(parts[2], "1")
        kind = kind_of_unit(unit)
        limit = table.limits.get(parts[1]) or table.limits.get(parts[2]) or ""
        return Found(
            Quantity(trimmed(Decimal(repr(cell.middle))), unit, kind, limit, told=_twin(table, parts[1], parts[2])),
            said("published table {title}, {row}, {column}", title=said(table.title), row=said(parts[1]), column=said(parts[2])),
        )


def kind_of_unit(unit: str) -> str:
    """The kind of quantity written in ``unit``, as typed. Raises NumberProblem."""
    if unit.strip() in EITHER:
        raise NumberProblem(*EITHER[unit.strip()][1:])
    preferred = ("fraction", "ratio", "length", "mass", "density", "angle", "factor", "resistance")
    for kind in (*preferred, *KINDS):
        try:
            find_unit(unit, kind)
        except CalculationError:
            continue
        return kind
    raise NumberProblem(f"no kind of quantity is written in {unit}", "check the unit's spelling")
