"""Drawing a question's variants: figures, right answer, what the named mistakes give.

The draw depends only on the question's id, the variant's number and a salt, so that a result
can be marked again later and paper quizzes get other figures than the web's.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from html import escape
from typing import Any

from generator.calc.expression import quick
from generator.calc.formula import Formula
from generator.calc.procedure import Tables
from generator.calc.rules import US_FEDERAL
from generator.calc.under_rules import lacks_cell, withheld
from generator.jobsite.cells import isolated
from generator.jobsite.columns import TRUCK, may_be_blank, taken_from
from generator.jobsite.model import JobSite
from generator.quiz.question import Draw, Question
from generator.source.memo import Same
from generator.source.problem import Refusal
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity, steady, to_places, trimmed
from generator.units.table import SYSTEMS, System, convertible, from_si, to_si
from generator.working.aloud import voice_for, words_of
from generator.working.byhand import result_figure
from generator.working.errors import Lacking, NumberProblem
from generator.working.explain import Explained
from generator.working.numbers import LARGEST, Context, Found, Numbers, Spec

TRIES = 400  # draws replaced before a variant is given up
WRONG_SHOWN = 3  # wrong figures beside the right one, of all that a question's mistakes give
SEVERAL_SHOWN = (4, 5)  # choices of a question with several right ones, fewest and most


@dataclass(frozen=True)
class Drawn:
    """One variant in one system.

    ``figures`` are HTML-escaped texts by name. ``right`` is the printed right figure of a
    computed answer, ``wrong`` the figures of the mistakes (by index), ``order`` the choices, items or
    spots that are shown, in the order shown. ``ask`` is which of a point question's asks it is.
    """

    figures: Mapping[str, str]
    order: tuple[int, ...]
    explained: Explained | None = None
    right: Quantity | None = None
    right_si: float | None = None
    wrong: tuple[Quantity | None, ...] = ()
    ask: int = 0
    said: Mapping[str, str] = field(default_factory=dict)  # what a voice reads for each of the figures that is one


class NotEnoughVariants(Refusal):
    """A question whose ranges give too few variants."""

    code = "few-variants"


@dataclass
class Drawer:
    """Draws variants of questions for one site."""

    site: JobSite
    tables: Tables
    lead: Context
    _rng: random.Random = field(default_factory=lambda: random.Random(0), init=False, repr=False)  # seeded anew for each try
    _rows: dict[str, list[Any]] = field(default_factory=dict, init=False, repr=False)
    _able: dict[tuple[Same, str], list[Any]] = field(default_factory=dict, init=False, repr=False)
    _gives: dict[Same, tuple[Callable[[Mapping[str, float]], float], ...]] = field(default_factory=dict, init=False, repr=False)
    _most: dict[tuple[Same, System], float] = field(default_factory=dict, init=False, repr=False)
    _ends: dict[tuple[str, str], tuple[float, float]] = field(default_factory=dict, init=False, repr=False)
    _looked: dict[tuple[str, tuple[str, str, str]], Found] = field(default_factory=dict, init=False, repr=False)

    def fitting(self, questions: Sequence[Question]) -> tuple[Question, ...]:
        """The questions this site has machines and materials for; all of them where it has for none.

        A lesson for all operators may ask about an excavator on a site that has only dozers.
        """
        able = tuple(
            q for q in questions
            if all(self.rows(d.row) for d in q.draws if d.row is not None)
            and not self._of_a_truck(q) and not self._of_a_rule(q) and (not q.where or self.site.is_one_of(q.where))
        )  # fmt: skip
        return able or tuple(questions)

    def _of_a_truck(self, q: Question) -> bool:
        """Whether a question is worked from a truck's figures on a site without trucks."""
        return not self.site.trucks and any(ref.startswith((f"{TRUCK}.", f"{LARGEST}.{TRUCK}.")) for ref in _needed(q))

    def _of_a_rule(self, q: Question) -> bool:
        """Whether a question is worked from figures of law that the rules of this site do not give."""
        if self.site.rules.name == US_FEDERAL:
            return False
        return any(withheld(s.calculation.id, self.site.rules) for s in q.numbers.values()) or any(
            ref.startswith("table.")
            and ((parts := ref.split("."))[1] not in self.tables or lacks_cell(self.tables[parts[1]], parts[2], parts[3], self.site.rules))
            for ref in _needed(q)
        )

    def lacking(self, question: Question) -> Lacking | None:
        """The blank column for whose sake a question cannot be asked here; None where some row has all it takes."""
        drawn = {_slot(d.row): d.row for d in question.draws if d.row is not None}
        used = [d.of for d in question.draws if d.of]
        used += [refs[0] for spec in question.numbers.values() for refs in spec.inputs.values() if len(refs) == 1]
        wanted: dict[str, set[str]] = {}
        for ref in used:
            head, _, column = ref.partition(".")
            if head in _SLOTS and column != "kind":
                wanted.setdefault(head, set()).add(column)
        for head, columns in wanted.items():
            lead = getattr(self.lead, head)
            rows = self.rows(drawn[head]) if head in drawn else [lead] if lead is not None else []
            if found := self._blank(rows, columns, head):
                return found
        for kind, _, column in (d.around.rpartition(".") for d in question.draws if d.around):
            if found := self._blank(self.rows(kind), {column}, _slot(kind)):
                return found
        return None

    def _blank(self, rows: Sequence[Any], columns: Set[str], slot: str) -> Lacking | None:
        if not rows or any(columns <= set(row.values) for row in rows):
            return None
        row = rows[0]
        column = next((c for c in sorted(columns - set(row.values)) if may_be_blank(c, row.kind)), None)
        if column is None:
            return None  # a column there is not, or not of this kind: told where the question is drawn
        other = taken_from(column)
        table = other.removesuffix(".csv") if other else f"{slot}s"
        return Lacking(
            row.name,
            column,
            self.site.table(f"{table}.csv") if other else self.site.file_of(row, f"{table}.csv"),
            None if other else row.line,
            f"the table {table}",
        )

    def variants(self, question: Question, count: int, salt: str) -> list[dict[System, Drawn]]:
        """``count`` variants, no two alike in their figures where figures are drawn.

        Where a question draws from the site's tables and they hold too few rows, variants come
        again rather than stop a small site's build.

        Raises NumberProblem or NotEnoughVariants.
        """
        out: list[dict[System, Drawn]] = []
        seen: dict[System, set[Any]] = {s: set() for s in SYSTEMS}
        alike: dict[System, set[Any]] = {s: set() for s in SYSTEMS}
        for index in range(count):
            both = {s: self._variant(question, index, s, salt, seen[s], alike[s]) for s in SYSTEMS}
            ask = _ask(question, index, salt)
            out.append({s: replace(drawn, ask=ask) for s, drawn in both.items()} if ask else both)
        return out

    def _variant(self, q: Question, index: int, system: System, salt: str, seen: set[Any], alike: set[Any]) -> Drawn:
        """One variant that is not among those ``seen``; ``alike`` are those with mistakes that look alike."""
        last: Exception | None = None
        rng = self._rng
        # a draw that is bound to come again is not tried for half the tries first
        for attempt in range(TRIES // 2 if seen and len(seen) + len(alike) >= self._possible(q, system) else 0, TRIES):
            rng.seed(f"{salt}|{q.id}|{index}|{system}|{attempt}")
            try:
                # a small site has few rows to draw from: past half the tries a draw may come again
                small = attempt >= TRIES // 2 and bool(seen) and _bound_by_site(q)
                drawn = self._attempt(q, rng, system, set() if small else seen, alike)
            except (NumberProblem, CalculationError) as e:
                last = e
                continue
            if drawn is None:
                continue
            return drawn
        if last is not None and not seen:
            raise last if isinstance(last, NumberProblem) else NumberProblem(str(last), "check its ranges")
        raise NotEnoughVariants(f"gives only {len(seen)} different variants in {system}", "give it wider ranges")

    def _possible(self, q: Question, system: System) -> float:
        """How many different draws of figures there can be, at most; endless where it is not figures that differ."""
        if not q.figured:
            return math.inf
        known = self._most.get((Same(q), system))
        if known is None:
            known = self._most[Same(q), system] = math.prod(self._ways(q, d, system) for d in q.draws)
        return known

    def _ways(self, q: Question, d: Draw, system: System) -> int:
        """How many rows or figures one draw of a question can give."""
        if d.row is not None:
            return len(self._fitting_rows(q, d.row, _slot(d.row)))
        if d.of is not None:
            return 1  # the rows settle it
        if d.pick:
            return len(d.pick[system])
        first, last = _grid(*self._range(d, system))
        return last - first + 1

    def _attempt(self, q: Question, rng: random.Random, system: System, seen: set[Any], alike: set[Any]) -> Drawn | None:
        """One draw, or None where it was drawn before or two mistakes would look alike."""
        context, given = self._draws(q, rng, system)
        order = _order(q, rng)
        figured = q.figured
        mark = (context.key, *(v.figure for v in given.values())) if figured else (context.key, order)
        if mark in seen and (figured or len(seen) < _orders(q)):
            return None
        if mark in alike:
            return None
        blanks = q.blanks
        numbers = self._numbers(q.numbers, context, given)
        worked = {n: numbers.explained(n, context, system).result for n in q.numbers if n != q.answer and n in blanks}
        explained = right = right_si = None
        wrong: tuple[Quantity | None, ...] = ()
        if q.answer:
            # the value first: working it by hand takes far longer, and half the draws are replaced
            right, right_si, found = self._reckoned(q, numbers, context, system)
            if not self._distinct(q, right, right_si, found):
                if figured:
                    alike.add(mark)
                return None
            wrong = tuple(found)
            if q.computed:
                order = _some_choices(right, found, order, rng)
            explained = numbers.explained(q.answer, context, system)
            right = explained.result.quantity or right
        # what is printed comes last, for draws that are kept
        voice = voice_for(self.site)
        shown = {name: v for name, v in given.items() if name in blanks}
        figures = {name: escape(str(v)) for name, v in shown.items()}
        said = {name: words_of(v, voice) for name, v in shown.items()}
        for name in _SLOTS:
            if name in blanks and (row := getattr(context, name)) is not None:
                figures[name] = escape(isolated(row.name))
        for name, result in worked.items():
            figures[name] = escape(result.text())
            said[name] = words_of(result.quantity, voice, result.caution)
        seen.add(mark)
        return Drawn(figures, order, explained, right, right_si, wrong, said=said)

    def _reckoned(self, q: Question, numbers: Numbers, context: Context, system: System) -> tuple[Quantity, float, list[Quantity | None]]:
        """The right figure, its SI value, and what each named mistake gives."""
        right, right_si = numbers.value(q.answer, context, system)
        values = {n: v.si for n, v in numbers.given.items()}
        for name in q.numbers:
            values[name] = right_si if name == q.answer else numbers.value(name, context, system)[1]
        values["right"] = right_si
        calculation = q.numbers[q.answer].calculation
        found = [self._mistaken(gives, values, right, calculation) for gives in self._given_by(q)]
        return right, right_si, found

    def _given_by(self, q: Question) -> tuple[Callable[[Mapping[str, float]], float], ...]:
        """What each mistake of a question gives, as functions of the values by name."""
        found = self._gives.get(Same(q))
        if found is None:
            found = self._gives[Same(q)] = tuple(quick(m.gives) for m in q.mistakes)
        return found

    def figures(self, q: Question, rng: random.Random, system: System) -> list[str]:
        """One draw's figures as printed: what is given, the right answer, what the mistakes give.

        Without the working and without replacing a draw: what drawing many variants costs.
        """
        context, given = self._draws(q, rng, system)
        numbers = self._numbers(q.numbers, context, given)
        right, _, found = self._reckoned(q, numbers, context, system)
        return [str(v) for v in (*given.values(), right, *found)]

    # --- figures ---

    def _numbers(self, specs: Mapping[str, Spec], context: Context, given: Mapping[str, Quantity]) -> Numbers:
        """Numbers of one draw. What the site and the tables hold is looked up once for all draws."""
        numbers = Numbers(specs, self.site, self.tables, context, given)
        if not any("." in name for name in given):  # a drawn figure that stands for one of the site's hides it
            numbers._found = self._looked
        return numbers

    def _draws(self, q: Question, rng: random.Random, system: System) -> tuple[Context, dict[str, Quantity]]:
        if not q.draws:
            return self.lead, {}
        rows: dict[str, Any] = {
            "machine": self.lead.machine, "truck": self.lead.truck, "material": self.lead.material,
        }  # fmt: skip
        for d in q.draws:
            if d.row is not None:
                slot = _slot(d.row)
                rows[slot] = rng.choice(self._fitting_rows(q, d.row, slot))
        context = Context(**rows)
        given: dict[str, Quantity] = {}
        for d in q.draws:
            if d.row is not None:
                continue
            if d.of is not None:
                look = self._numbers({}, context, given)
                value = look.look_up(d.of, context).value
                if not isinstance(value, Quantity):
                    raise NumberProblem(f"draw {d.name} is no quantity", f"look at {d.of}")
                given[d.name] = value.in_system(system)
            else:
                given[d.name] = self._figure(d, rng, system)
        return context, given

    def _figure(self, d: Draw, rng: random.Random, system: System) -> Quantity:
        if d.pick:
            return rng.choice(d.pick[system])
        return _on_grid(rng, *self._range(d, system))

    def _range(self, d: Draw, system: System) -> tuple[float, float, Quantity]:
        """Lowest and highest figure of a draw, and its step."""
        if d.steps:
            low, high, step = d.steps[system]
            return float(low.figure), float(high.figure), step
        assert d.around is not None
        kind, _, column = d.around.rpartition(".")
        step = d.step[system]
        ends = self._ends.get((d.around, step.unit))
        if ends is None:
            found = [from_si(r.values[column].si, step.unit, r.values[column].kind)
                     for r in self.rows(kind) if column in r.values]  # fmt: skip
            if not found:
                raise NumberProblem(f"no {kind} of this site has {column}", "fill in that column")
            ends = self._ends[d.around, step.unit] = min(found) * 0.85, max(found) * 1.15
        return *ends, step

    def rows(self, kind: str) -> list[Any]:
        """Rows of the site's tables of one kind."""
        if kind not in self._rows:
            if kind in {"truck", "material"}:
                self._rows[kind] = list(self.site.trucks if kind == "truck" else self.site.materials)
            else:
                self._rows[kind] = list(self.site.machines_for(kind))
        return self._rows[kind]

    def _fitting_rows(self, q: Question, kind: str, slot: str) -> list[Any]:
        """Rows that have all the columns a question needs. Raises NumberProblem where none has."""
        known = self._able.get((Same(q), kind))
        if known is None:
            known = self._able[Same(q), kind] = [r for r in self.rows(kind) if self._fits(q, r, slot)]
        if not known:
            raise NumberProblem(f"no {kind} of this site has what {q.id} needs", "fill in its columns")
        return known

    def _fits(self, q: Question, row: Any, slot: str) -> bool:
        refs = [d.of for d in q.draws if d.of] + [r for s in q.numbers.values() for rs in s.inputs.values() for r in rs]
        return all(ref.partition(".")[2] in row.values for ref in refs if ref.partition(".")[0] == slot)

    # --- mistakes ---

    @staticmethod
    def _mistaken(
        gives: Callable[[Mapping[str, float]], float], values: Mapping[str, float], right: Quantity, calculation: Any
    ) -> Quantity | None:
        try:
            si = float(gives(values))
        except (ValueError, ZeroDivisionError, OverflowError, ArithmeticError):
            return None
        if not math.isfinite(si) or isinstance(si, complex) or si < 0:
            return None
        if isinstance(calculation, Formula):
            figure = result_figure(calculation, si, right.unit)
        else:
            number = from_si(si, right.unit, right.kind)
            figure = trimmed(to_places(number, max(-right.figure.as_tuple().exponent, 0)))  # type: ignore[operator]
        return Quantity(figure, right.unit, right.kind)

    @staticmethod
    def _distinct(q: Question, right: Quantity, right_si: float, found: list[Quantity | None]) -> bool:
        """Whether every mistake gives a figure of its own, out of the right answer's tolerance."""
        low, high = accepted(right, right_si, q.within, q.limit)
        figures = [right.figure]
        for other in found:
            if other is None:
                return False
            if low <= float(other.figure) <= high or other.figure in figures:
                return False
            figures.append(other.figure)
        return True


ROUNDING = 0.001  # what a learner may lose on the unsafe side of a limit by rounding to three digits


def accepted(right: Quantity, right_si: float, within: float, limit: Limit = "") -> tuple[float, float]:
    """Lowest and highest figure, in the right answer's unit, that counts as right.

    A count must be met exactly. Elsewhere the tolerance is the share ``within``, and never less
    than half a unit of the printed last digit. Of an answer that is a limit, only the safe side
    has that tolerance: less than a distance to keep is not right, nor more than a load.
    """
    if right.kind == "count":
        return float(right.figure), float(right.figure)
    exact = from_si(right_si, right.unit, right.kind)
    exponent = right.figure.as_tuple().exponent
    half = 0.5 * 10.0 ** int(exponent) if isinstance(exponent, int) else 0.0
    margin = max(abs(exact) * within, half)
    unsafe = min(margin, abs(exact) * ROUNDING)
    low = exact - (unsafe if limit == "least" else margin)
    high = exact + (unsafe if limit == "most" else margin)
    return min(low, float(right.figure)), max(high, float(right.figure))


_SLOTS = ("machine", "truck", "material")


def _slot(kind: str) -> str:
    """Which row of a context a row of this kind is."""
    return kind if kind in {"truck", "material"} else "machine"


# units an answer may be typed in, by kind, first the ones people use
_ANSWER_UNITS = {
    "length": ("ft", "in", "yd", "m", "cm", "mm"), "area": ("ft2", "yd2", "acre", "m2", "ha"),
    "volume": ("yd3", "ft3", "m3"), "loose_volume": ("yd3", "ft3", "m3"), "bank_volume": ("yd3", "ft3", "m3"),
    "compacted_volume": ("yd3", "ft3", "m3"), "mass": ("lb", "ton", "kg", "t"), "force": ("lbf", "kN"),
    "density": ("lb/yd3", "lb/ft3", "kg/m3", "t/m3"), "time": ("s", "min", "h"),
    "speed": ("mph", "ft/min", "km/h", "m/min"), "angle": ("deg",), "grade": ("%", "1"),
    "fraction": ("%", "1"), "pressure": ("psi", "lbf/ft2", "kPa"), "volume_rate": ("yd3/h", "m3/h"),
    "mass_rate": ("ton/h", "t/h"), "moment": ("lbf*ft", "kN*m"), "area_rate": ("acre/h", "ha/h"),
    "power": ("hp", "kW"),
}  # fmt: skip


def accept_by_unit(low: float, high: float, unit: str, kind: str) -> dict[str, list[float]]:
    """The accepted ends in every unit an answer may be typed in, the asked one first."""
    si = [_si(low, unit, kind), _si(high, unit, kind)]
    out = {unit: [round_for_browser(low), round_for_browser(high)]}
    for other in _units_typed(kind):
        if other != unit:
            out[other] = [round_for_browser(from_si(x, other, kind), OTHER_DIGITS) for x in si]
    return out


@cache
def _units_typed(kind: str) -> tuple[str, ...]:
    return tuple(u for u in _ANSWER_UNITS.get(kind, ()) if convertible(u, kind))


OTHER_DIGITS = 6  # of the ends in a unit that was not asked for: nobody types more, and each digit weighs in every page


def _si(value: float, unit: str, kind: str) -> float:
    return to_si(value, unit, kind)


def round_for_browser(value: float, digits: int = 9) -> float:
    """So many significant digits: short in the page, far finer than any tolerance."""
    return float(format(value, f".{digits}g"))


def _grid(low: float, high: float, step: Quantity) -> tuple[int, int]:
    """The first and the last multiple of a step within a range; the nearest one where there is none."""
    grid = float(step.figure)
    first, last = math.ceil(low / grid - 1e-9), math.floor(high / grid + 1e-9)
    if last < first:
        first = last = max(1, round((low + high) / 2 / grid))
    return first, last


def _needed(q: Question) -> list[str]:
    """Where the figures of a question come from: what it draws, and of each input the last place, which counts where no other gives one."""
    drawn = [d.of or d.around or "" for d in q.draws]
    return drawn + [r for s in q.numbers.values() for refs in s.inputs.values() for r in refs[-1:]]


def _on_grid(rng: random.Random, low: float, high: float, step: Quantity) -> Quantity:
    first, last = _grid(low, high, step)
    figure = trimmed(steady(float(Decimal(rng.randint(first, last)) * step.figure)))
    return Quantity(figure, step.unit, step.kind)


def _order(q: Question, rng: random.Random) -> tuple[int, ...]:
    """The order things are shown in; never the right one where the order is asked."""
    length = 1 + len(q.mistakes) if q.computed else len(q.choices) or len(q.items) or len(q.spots)
    order = list(range(length))
    if q.kind != "point":
        rng.shuffle(order)
        while q.kind == "order" and all(q.fits(item, place) for place, item in enumerate(order)):
            order = order[1:] + order[:1]  # whoever leaves it as it is shown has not put it in order
    if q.kind == "several":
        # some are left out, or all would learn how many are right
        right = [i for i in order if q.choices[i].right]
        wrong = [i for i in order if not q.choices[i].right]
        ways = [(r, w) for r in range(2, len(right) + 1) for w in range(1, len(wrong) + 1)
                if SEVERAL_SHOWN[0] <= r + w <= SEVERAL_SHOWN[1]] or [(len(right), len(wrong))]  # fmt: skip
        few, bad = rng.choice(ways)
        order = [i for i in order if i in {*right[:few], *wrong[:bad]}]
    return tuple(order)


def _some_choices(right: Quantity, found: Sequence[Quantity | None], order: tuple[int, ...], rng: random.Random) -> tuple[int, ...]:
    """``order`` with no more than WRONG_SHOWN wrong figures left in it.

    How many of them are smaller than the right one is drawn first, so that the right one's place
    among the figures tells as little as the mistakes allow.
    """
    if len(found) <= WRONG_SHOWN:
        return order
    smaller = [i for i, f in enumerate(found, 1) if f is not None and f.figure < right.figure]
    larger = [i for i, f in enumerate(found, 1) if i not in smaller]
    counts = [n for n in range(WRONG_SHOWN + 1) if n <= len(smaller) and WRONG_SHOWN - n <= len(larger)]
    few = rng.choice(counts)
    shown = {0, *rng.sample(smaller, few), *rng.sample(larger, WRONG_SHOWN - few)}
    return tuple(i for i in order if i in shown)


def _ask(q: Question, index: int, salt: str) -> int:
    """Which of its asks a variant takes, alike in both systems; they take turns from a drawn first one."""
    if len(q.asks) < 2:
        return 0
    return (index + random.Random(f"{salt}|{q.id}|ask").randrange(len(q.asks))) % len(q.asks)


def _bound_by_site(q: Question) -> bool:
    """Whether the site's own tables limit what the question can draw."""
    return any(d.row is not None or d.of is not None or d.around is not None for d in q.draws)


def _orders(q: Question) -> int:
    """How many different variants an unfigured question can give."""
    length = len(q.choices) or len(q.items) or len(q.spots)
    right = math.prod(math.factorial(len(group)) for group in q.free)
    return 1 if q.kind == "point" else math.factorial(max(length, 1)) - (right if q.kind == "order" else 0)
