"""What a draw may give: figures on their steps, rows that fit, orders, choices shown. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
import itertools
import json
import random
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder, lesson_ids
from generator.book.page import site_lead
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.quiz.draw import (
    WRONG_SHOWN,
    Drawer,
    NotEnoughVariants,
    _ask,
    _bound_by_site,
    _on_grid,
    _order,
    _orders,
    _some_choices,
)
from generator.quiz.edition import EditionDamaged, edition_text, figures_of, prepare
from generator.quiz.question import MOST_QUESTIONS, Question, questions_in
from generator.reference.tables import load
from generator.source.problem import Problem
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.working.errors import NumberProblem
from tests.conftest import DEMO


@pytest.fixture(scope="module")
def site() -> JobSite:
    return read(DEMO, lesson_ids(content_folder()))


@pytest.fixture(scope="module")
def drawer(site: JobSite) -> Drawer:
    return Drawer(site, load(content_folder()), site_lead(site))


def asked(text: str, wrong: str = "") -> Question:
    problems: list[Problem] = []
    found = questions_in(text, "q.yml", {}, problems)
    assert problems == []
    return found[0]


def refused(text: str) -> list[str]:
    problems: list[Problem] = []
    questions_in(text, "q.yml", {}, problems)
    return [str(p) for p in problems]


def choices(right: int, wrong: int, kind: str = "several") -> str:
    rows = [f"    - {{text: R{i}., right: true}}\n" for i in range(right)] + [f"    - {{text: W{i}., says: No.}}\n" for i in range(wrong)]
    return f"- id: q-1\n  kind: {kind}\n  ask: Which?\n  choices:\n{''.join(rows)}"


def bench(draw: str, stick: str = "stick", **more: str) -> Question:
    extra = "".join(f"  {k}: {v}\n" for k, v in more.items())
    return asked(
        f"- id: q-1\n  kind: number\n  ask: How high?\n  draw:\n    {draw}\n  numbers:\n"
        f"    bench: {{calculation: loading.bench_height, stick_length: {stick}}}\n  answer: bench\n{extra}"
        "  mistakes:\n    - {id: half, gives: right / 2, says: No.}\n"
    )


def ft(figure: str) -> Quantity:
    return Quantity(Decimal(figure), "ft", "length")


def drawn(drawer: Drawer, q: Question, count: int = 200, system: Any = "us") -> list[Any]:
    return [drawer._draws(q, random.Random(i), system) for i in range(count)]


# --- figures ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("low", "high", "step", "all_of"),
    [
        (6, 8, "0.5", ["6", "6.5", "7", "7.5", "8"]), (6.1, 7.9, "0.5", ["6.5", "7", "7.5"]), (0.3, 0.9, "0.3", ["0.3", "0.6", "0.9"]),
        (5, 5, "1", ["5"]), (5.2, 5.4, "1", ["5"]), (5.6, 5.8, "1", ["6"]), (13, 14, "5", ["15"]), (11, 12, "5", ["10"]), (0.1, 0.2, "1", ["1"]), (100, 300, "100", ["100", "200", "300"]),
    ],
)  # fmt: skip
def test_a_figure_is_a_step_between_its_ends(low: float, high: float, step: str, all_of: list[str]) -> None:
    found = {str(_on_grid(random.Random(i), low, high, ft(step)).figure) for i in range(300)}
    assert found == {str(Decimal(x)) for x in all_of}


def test_steps_and_picks_are_of_the_system_asked_for(drawer: Drawer) -> None:
    q = bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 0.5 m]}")
    assert {str(g["stick"]) for _, g in drawn(drawer, q)} == {"6 ft", "7 ft", "8 ft"}
    assert {str(g["stick"]) for _, g in drawn(drawer, q, system="metric")} == {"2 m", "2.5 m", "3 m"}
    q = bench("stick: {pick: {us: [6 ft, 9 ft], metric: [2 m, 3 m]}}")
    assert {str(g["stick"]) for _, g in drawn(drawer, q)} == {"6 ft", "9 ft"}
    assert {str(g["stick"]) for _, g in drawn(drawer, q, system="metric")} == {"2 m", "3 m"}


def test_a_row_is_drawn_from_its_own_table(drawer: Drawer, site: JobSite) -> None:
    lead = site_lead(site)
    for kind, slot, rows in (
        ("excavator", "machine", site.machines_for("excavator")),
        ("truck", "truck", site.trucks),
        ("material", "material", site.materials),
    ):
        q = bench(f"one: {{row: {kind}}}", stick="machine.stick_length") if kind == "excavator" else bench(
            f"one: {{row: {kind}}}\n    stick: {{us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}}")  # fmt: skip
        found = [c for c, _ in drawn(drawer, q, 100)]
        assert {getattr(c, slot).name for c in found} == {r.name for r in rows}
        for other in {"machine", "truck", "material"} - {slot}:
            assert all(getattr(c, other) is getattr(lead, other) for c in found)


def test_a_row_that_lacks_a_column_is_not_drawn(site: JobSite, drawer: Drawer) -> None:
    machines = tuple(
        dataclasses.replace(m, values={k: v for k, v in m.values.items() if k != "stick_length"}) if m.id == "E-1" else m
        for m in site.machines
    )
    q = bench("one: {row: excavator}", stick="machine.stick_length")
    lacking = Drawer(dataclasses.replace(site, machines=machines), drawer.tables, drawer.lead)
    names = {c.machine.id for c, _ in drawn(lacking, q, 60)}
    assert "E-1" not in names and names == {m.id for m in site.machines_for("excavator")} - {"E-1"}
    none = tuple(dataclasses.replace(m, values={k: v for k, v in m.values.items() if k != "stick_length"}) for m in site.machines)
    with pytest.raises(NumberProblem, match="no excavator of this site has what q-1 needs"):
        drawn(Drawer(dataclasses.replace(site, machines=none), drawer.tables, drawer.lead), q, 1)


def test_a_blank_column_is_told_with_the_row_it_would_stand_in(site: JobSite, drawer: Drawer) -> None:
    first = site.machines_for("excavator")[0]
    for column, table, line in (("eye_height", "machines", first.line), ("chart_load", "lift_chart", None)):
        machines = tuple(dataclasses.replace(m, values={k: v for k, v in m.values.items() if k != column}) for m in site.machines)
        changed = Drawer(dataclasses.replace(site, machines=machines), drawer.tables, drawer.lead)
        lacks = changed._blank(changed.rows("excavator"), {column}, "machine")
        assert lacks is not None and (lacks.row, lacks.column, lacks.row_line) == (first.name, column, line)
        assert lacks.table.endswith(f"{table}.csv") and str(lacks).endswith(f"fill it in in the table {table}")


def test_a_figure_of_the_row_drawn_is_that_rows(drawer: Drawer) -> None:
    q = bench("one: {row: excavator}\n    stick: {of: machine.stick_length}")
    for context, given in drawn(drawer, q, 40):
        assert given["stick"].si == pytest.approx(context.machine.values["stick_length"].si, rel=1e-3)
        assert given["stick"].unit in {"ft", "in"}


def test_a_figure_around_those_of_the_site_is_a_sixth_more_or_less_at_most(drawer: Drawer, site: JobSite) -> None:
    q = bench("stick: {around: excavator.stick_length, step: {us: 0.1 ft, metric: 0.05 m}}")
    lengths = [m.get("stick_length").si for m in site.machines_for("excavator")]
    found = [g["stick"].si for _, g in drawn(drawer, q, 1000)]
    # 0.85 of the least to 1.15 of the most, and near both ends in a thousand draws
    assert 0.85 * min(lengths) - 0.001 <= min(found) < 0.9 * min(lengths)
    assert 1.1 * max(lengths) < max(found) <= 1.15 * max(lengths) + 0.001


def test_questions_the_site_has_rows_for_are_asked_or_else_all(drawer: Drawer, site: JobSite) -> None:
    dozer, truck = (bench(f"one: {{row: {k}}}\n    stick: {{us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}}") for k in ("dozer", "truck"))
    plain = asked(choices(1, 2, "one"))
    without = Drawer(dataclasses.replace(site, trucks=()), drawer.tables, drawer.lead)
    assert drawer.fitting([dozer, truck, plain]) == (dozer, truck, plain)
    assert without.fitting([dozer, truck, plain]) == (dozer, plain)
    assert without.fitting([truck]) == (truck,)
    # what is worked from a truck without one being drawn; another figure in its place will do
    stick = "stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}"
    of_it, of_the_largest = (bench(stick, stick=ref) for ref in ("truck.bed_height", "largest.truck.bed_height"))
    either = bench(stick, stick="[truck.bed_height, stick]")
    assert drawer.fitting([of_it, of_the_largest, either]) == (of_it, of_the_largest, either)
    assert without.fitting([of_it, of_the_largest, either]) == (either,)


def test_too_few_figures_are_an_error_and_too_few_rows_are_not(drawer: Drawer, site: JobSite) -> None:
    q = bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 0.5 m]}")
    assert len(drawer.variants(q, 3, "s")) == 3
    with pytest.raises(NotEnoughVariants, match="gives only 3 different variants in us; give it wider ranges"):
        drawer.variants(q, 4, "s")
    one = dataclasses.replace(site, machines=tuple(m for m in site.machines if m.id == "E-1"))
    q = bench("one: {row: excavator}", stick="machine.stick_length")
    found = Drawer(one, drawer.tables, drawer.lead).variants(q, 2, "s")
    assert found[0]["us"].right == found[1]["us"].right
    q = bench("one: {row: excavator}\n    stick: {of: machine.stick_length}")
    assert len(Drawer(one, drawer.tables, drawer.lead).variants(q, 2, "s")) == 2


def test_what_is_bound_by_the_site() -> None:
    steps = "{us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}"
    assert not _bound_by_site(bench(f"stick: {steps}"))
    for draw in (
        "one: {row: truck}",
        "other: {of: machine.mass}",
        "other: {around: excavator.stick_length, step: {us: 1 ft, metric: 1 m}}",
    ):
        assert _bound_by_site(bench(f"stick: {steps}\n    {draw}"))


def test_figures_that_are_given_and_asked_for_are_not_told_twice(drawer: Drawer) -> None:
    q = bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}")
    both = drawer.variants(dataclasses.replace(q, ask="{stick}, {machine}, {bench}"), 1, "s")[0]
    assert set(both["us"].figures) == {"stick", "machine"} and both["us"].figures["stick"].endswith("ft")
    assert both["us"].right is not None and both["us"].right_si == pytest.approx(both["us"].right.si, rel=1e-3)


def test_a_mistake_may_be_worked_from_a_number_on_the_way(drawer: Drawer) -> None:
    q = asked(
        "- id: q-1\n  kind: number\n  ask: How high?\n  draw:\n    stick: {us: [10 ft, 10 ft, 1 ft], metric: [3 m, 3 m, 1 m]}\n    tall: {us: [25 ft, 25 ft, 1 ft], metric: [8 m, 8 m, 1 m]}\n  numbers:\n"
        "    low: {calculation: loading.bench_height, stick_length: stick}\n    bench: {calculation: loading.bench_height, stick_length: tall}\n"
        "  answer: bench\n  mistakes:\n    - {id: thrice, gives: low * 3, says: No.}\n"
    )
    found = drawer.variants(q, 1, "s")[0]
    assert str(found["us"].wrong[0]) == "30 ft" and str(found["metric"].wrong[0]) == "9 m"


# --- variants -----------------------------------------------------------------------------------


def test_a_question_without_figures_gives_every_order_before_one_comes_again(drawer: Drawer) -> None:
    q = asked(choices(1, 2, "one"))
    found = drawer.variants(q, 8, "s")
    assert len({v["us"].order for v in found[:6]}) == 6 and len({v["metric"].order for v in found[:6]}) == 6
    steps = asked("- id: q-1\n  kind: order\n  ask: Order?\n  items: [A., B., C.]\n")
    assert len({v["us"].order for v in drawer.variants(steps, 7, "s")[:5]}) == 5  # all but the right one


def test_a_small_site_shows_each_of_its_rows_before_one_comes_again(drawer: Drawer, site: JobSite) -> None:
    q = dataclasses.replace(bench("one: {row: excavator}\n    stick: {of: machine.stick_length}"), ask="How high with {machine}?")
    rows = len({m.get("stick_length").si for m in site.machines_for("excavator")})
    assert rows > 1
    for salt in "abcdefgh":
        found = drawer.variants(q, rows + 1, salt)
        assert len({v["us"].figures["machine"] for v in found[:rows]}) == rows
        assert len({v["metric"].figures["machine"] for v in found[:rows]}) == rows


def test_a_drawing_is_shown_as_it_is_and_its_asks_take_turns(drawer: Drawer) -> None:
    text = (
        "- id: q-1\n  kind: point\n  drawing: {scene: loading.bench_loading}\n  spots: [crest, toe]\n  in_turn:\n"
        "    - {ask: Where is the crest?, right: crest, says: {toe: No.}}\n    - {ask: Where is the toe?, right: toe, says: {crest: No.}}\n"
    )
    q = asked(text)
    found = drawer.variants(q, 4, "s")
    assert [v["us"].order for v in found] == [(0, 1)] * 4 and [v["us"].ask for v in found] == [v["metric"].ask for v in found]
    assert sorted(v["us"].ask for v in found[:2]) == [0, 1] and _orders(q) == 1


def test_what_cannot_be_worked_out_is_told_by_itself(drawer: Drawer) -> None:
    q = asked(
        "- id: q-1\n  kind: number\n  ask: How high?\n  draw:\n    rise: {us: [4 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}\n  numbers:\n"
        "    bench: {calculation: loading.bench_height, stick_length: machine.no_such_column}\n  answer: bench\n"
        "  mistakes:\n    - {id: half, gives: right / 2, says: No.}\n"
    )
    with pytest.raises(NumberProblem, match="no_such_column") as e:
        drawer.variants(q, 1, "s")
    assert "ranges" not in e.value.fix, "what it says itself to do"


def test_what_no_calculation_takes_is_told_as_a_matter_of_its_ranges(drawer: Drawer, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise CalculationError("no such sum", "try another")

    monkeypatch.setattr(Drawer, "_attempt", never)
    with pytest.raises(NumberProblem) as e:
        drawer.variants(bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}"), 1, "s")
    assert "no such sum" in e.value.what and e.value.fix == "check its ranges"


def test_mistakes_that_never_differ_leave_no_variant(drawer: Drawer) -> None:
    q = bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}")
    same = dataclasses.replace(q, mistakes=(q.mistakes[0], dataclasses.replace(q.mistakes[0], id="again")))
    with pytest.raises(NotEnoughVariants, match="gives only 0 different variants in us; give it wider ranges"):
        drawer.variants(same, 1, "s")


@pytest.mark.parametrize(("wrong", "distinct"), [("9.4", True), ("9.5", False), ("10", False), ("10.5", False), ("10.6", True)])
def test_a_mistake_at_the_very_edge_of_what_counts_is_not_told_apart(wrong: str, distinct: bool) -> None:
    q = dataclasses.replace(bench("stick: {us: [6 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}"), within=0.05)
    # 5 % of 10 ft is half a foot, as is half the last digit printed
    assert Drawer._distinct(q, ft("10"), 10 * 0.3048, [ft(wrong)]) is distinct
    assert not Drawer._distinct(q, ft("10"), 10 * 0.3048, [ft("20"), None]) and not Drawer._distinct(
        q, ft("10"), 10 * 0.3048, [ft("20"), ft("20")]
    )


def test_what_a_mistake_gives_is_rounded_as_the_answer_is() -> None:
    from generator.calc.expression import quick, tree_of, written_expression

    def gives(text: str, right: Quantity) -> str | None:
        found = Drawer._mistaken(quick(tree_of(written_expression(text))), {"right": right.si, "n": 2.0}, right, None)
        return None if found is None else f"{found.figure} {found.unit}"

    assert gives("right / 3", ft("10.0")) == "3.3 ft" and gives("right / 3", ft("10")) == "3 ft"
    assert gives("right * 0", ft("10")) == "0 ft" and gives("right * -1", ft("10")) is None and gives("right / (n - 2)", ft("10")) is None
    assert gives("right ** 400", Quantity(Decimal("1E+3"), "ft", "length")) is None


def test_a_number_on_the_way_may_stand_in_the_question(drawer: Drawer) -> None:
    q = asked(
        "- id: q-1\n  kind: number\n  ask: Low is {low}, of {stick}.\n  draw:\n    stick: {us: [10 ft, 10 ft, 1 ft], metric: [3 m, 3 m, 1 m]}\n"
        "    other: {us: [4 ft, 8 ft, 1 ft], metric: [2 m, 3 m, 1 m]}\n  numbers:\n    low: {calculation: loading.bench_height, stick_length: stick}\n"
        "    bench: {calculation: loading.bench_height, stick_length: low}\n  answer: bench\n  mistakes:\n    - {id: thrice, gives: low * 3, says: No.}\n"
    )
    for both in drawer.variants(q, 2, "s"):
        assert both["us"].figures == {"low": "10 ft", "stick": "10 ft"} and both["metric"].figures == {"low": "3 m", "stick": "3 m"}


def test_figures_to_choose_from_are_drawn_with_their_order(drawer: Drawer) -> None:
    text = (
        "- id: q-1\n  kind: one\n  ask: How high?\n  draw:\n    stick: {us: [10 ft, 30 ft, 1 ft], metric: [3 m, 9 m, 0.5 m]}\n  numbers:\n"
        "    bench: {calculation: loading.bench_height, stick_length: stick}\n  answer: bench\n  mistakes:\n"
    )
    many = "".join(f"    - {{id: m-{n}, gives: right * {n}, says: No.}}\n" for n in (0.2, 0.5, 1.5, 2, 3))
    few = "".join(f"    - {{id: m-{n}, gives: right * {n}, says: No.}}\n" for n in (0.5, 2))
    orders: Counter[tuple[int, ...]] = Counter()
    for both in drawer.variants(asked(text + few), 12, "s"):
        drawn = both["us"]
        assert sorted(drawn.order) == [0, 1, 2] and drawn.right is not None
        assert [float(w.figure) / float(drawn.right.figure) for w in drawn.wrong if w] == pytest.approx([0.5, 2], rel=0.06)
        orders[drawn.order] += 1
    assert len(orders) > 2
    for both in drawer.variants(asked(text + many), 12, "s"):
        assert len(both["us"].order) == 4 and 0 in both["us"].order and len(both["us"].wrong) == 5


def test_figures_to_time_a_draw_by(drawer: Drawer) -> None:
    q = bench("stick: {us: [10 ft, 10 ft, 1 ft], metric: [3 m, 3 m, 1 m]}")
    assert drawer.figures(q, random.Random(0), "us") == ["10 ft", "10 ft", "5 ft"]


@pytest.mark.parametrize(("right", "wrong"), [(2, 3), (3, 1), (3, 2), (2, 2), (4, 1), (5, 5), (2, 4)])
def test_four_or_five_of_several_choices_are_shown(right: int, wrong: int) -> None:
    shown = [_order(asked(choices(right, wrong)), random.Random(i)) for i in range(120)]
    assert {len(o) for o in shown} <= {4, 5} and all(sum(i < right for i in o) >= 2 and sum(i >= right for i in o) >= 1 for o in shown)
    assert {i for o in shown for i in o} == set(range(right + wrong))  # and each of them at one time or another


@pytest.mark.parametrize(("limit", "low", "high"), [("", 9.5, 10.5), ("least", 9.99, 10.5), ("most", 9.5, 10.01)])
def test_only_the_safe_side_of_a_limit_has_room(limit: Any, low: float, high: float) -> None:
    from generator.quiz.draw import accepted

    assert accepted(ft("10.0"), 10 * 0.3048, 0.05, limit) == pytest.approx((low, high))
    # a tolerance narrower than what rounding to three digits takes is no wider on the unsafe side
    assert accepted(ft("10.0000"), 10 * 0.3048, 0.0005, limit) == pytest.approx((9.995, 10.005))


# --- orders and choices -------------------------------------------------------------------------


def test_the_right_order_is_never_shown() -> None:
    q = asked("- id: q-1\n  kind: order\n  ask: Order?\n  items: [A., B., C.]\n")
    found = {_order(q, random.Random(i)) for i in range(300)}
    assert len(found) == 5 and (0, 1, 2) not in found and all(sorted(o) == [0, 1, 2] for o in found)
    assert _orders(q) == 5


def test_choices_are_shown_in_any_order_and_all_of_them() -> None:
    q = asked(choices(1, 2, "one"))
    assert {_order(q, random.Random(i)) for i in range(300)} == {(a, b, 3 - a - b) for a in range(3) for b in range(3) if a != b}
    assert _orders(q) == 6


def test_of_several_some_are_left_out_but_two_right_ones_and_a_wrong_one() -> None:
    q = asked(choices(4, 4))
    shown = [_order(q, random.Random(i)) for i in range(1000)]
    ways = Counter((sum(i < 4 for i in o), sum(i >= 4 for i in o)) for o in shown)
    assert set(ways) == {(r, w) for r in range(2, 5) for w in range(1, 5) if r + w in {4, 5}}
    assert all(len(set(o)) == len(o) for o in shown)
    all_wrong = [_order(asked(choices(2, 3)), random.Random(i)) for i in range(300)]
    assert {(sum(i < 2 for i in o), sum(i >= 2 for i in o)) for o in all_wrong} == {(2, 2), (2, 3)}
    few = asked(choices(1, 2))
    assert {tuple(sorted(_order(few, random.Random(i)))) for i in range(50)} == {(0, 1, 2)}


def test_some_wrong_figures_are_shown_so_that_the_right_ones_place_tells_nothing() -> None:
    right = ft("10")
    found = [ft(x) for x in ("6", "7", "8", "11", "12", "13")]
    order = (0, 1, 2, 3, 4, 5, 6)
    smaller: Counter[int] = Counter()
    for i in range(2000):
        shown = _some_choices(right, found, order, random.Random(i))
        assert len(shown) == WRONG_SHOWN + 1 and 0 in shown and list(shown) == sorted(shown)
        smaller[sum(j in shown for j in (1, 2, 3))] += 1
    assert set(smaller) == {0, 1, 2, 3} and all(400 < n < 600 for n in smaller.values())
    assert _some_choices(right, found[:WRONG_SHOWN], order[: WRONG_SHOWN + 1], random.Random(0)) == order[: WRONG_SHOWN + 1]
    # one that is as large is not smaller: of the two others there are too few for three
    level = [ft(x) for x in ("10", "8", "9", "11")]
    assert {sum(j in _some_choices(right, level, order[:5], random.Random(i)) for j in (2, 3)) for i in range(60)} == {1, 2}
    # where all are larger it is always the smallest
    assert {
        sum(j in _some_choices(right, [*found[3:], ft("14")], order[:5], random.Random(i)) for j in (1, 2, 3, 4)) for i in range(50)
    } == {WRONG_SHOWN}


def test_asks_take_turns() -> None:
    q = asked(choices(1, 2, "one"))
    assert [_ask(q, i, "s") for i in range(3)] == [0, 0, 0]
    three = dataclasses.replace(q, asks=(1, 2, 3))  # type: ignore[arg-type]
    for salt in ("a", "b", "c", "d"):
        turns = [_ask(three, i, salt) for i in range(6)]
        assert sorted(turns[:3]) == [0, 1, 2] and turns[3:] == turns[:3]
        assert [(b - a) % 3 for a, b in itertools.pairwise(turns)] == [1] * 5
    assert len({_ask(three, 0, f"salt {i}") for i in range(20)}) == 3


# --- the file of questions ----------------------------------------------------------------------


def test_as_many_questions_as_may_be_and_one_more() -> None:
    body = choices(1, 2, "one")
    many = "".join(body.replace("q-1", f"q-{i}") for i in range(1, MOST_QUESTIONS + 1))
    assert refused(many) == []
    assert refused(many + body.replace("q-1", "q-99")) == [
        f"q.yml:1: {MOST_QUESTIONS + 1} questions are more than {MOST_QUESTIONS}; keep the best ones"
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (choices(1, 1, "one"), "needs three choices or more (two where all are pictures), one right"), (choices(0, 3, "one"), "needs three choices or more (two where all are pictures), one right"),
        (choices(2, 1, "one"), "needs three choices or more (two where all are pictures), one right"), (choices(0, 3), "needs three choices or more (two where all are pictures), some right"),
        ("- id: q-1\n  kind: order\n  ask: O?\n  items: [A., B.]\n", "needs three items or more"),
        ("a: [1", "q.yml:2: a bracket is not closed"), ("- a: b\n  c: [\n", "q.yml:3: "), ("- a: &x 1\n", "q.yml:1: anchors (&) and aliases (*) are not used here"), ("\n- !!int 1\n", "q.yml:2: a tag"),
        ("x: \x01", "q.yml:1: there is a hidden character"), ("- a\n\n- \x01", "q.yml:3: there is a hidden character"), ("x: 1\n---\ny: 2\n", "q.yml:2: a second document starts here"),
        ("{}", "q.yml:1: no list of questions"), ("[]", "q.yml:1: no list of questions"), ("- 1\n", "q.yml:1: an entry is no question"),
        (choices(1, 2, "one") * 2, "question 'q-1' stands twice"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_line(text: str, told: str) -> None:
    assert len(found := refused(text)) == 1 and told in found[0], found


@pytest.mark.parametrize(("kind", "right", "wrong"), [("one", 1, 2), ("several", 1, 2), ("several", 3, 0)])
def test_what_is_just_enough(kind: str, right: int, wrong: int) -> None:
    assert refused(choices(right, wrong, kind)) == []


def test_twenty_levels_in_one_another_are_read_and_one_more_is_not() -> None:
    assert "no list of questions" not in refused("[" * 21 + "]" * 21)[0] and "more than 20 lists" in refused("[" * 21 + "]" * 21)[0]
    assert "more than 20" not in refused("[" * 20 + "]" * 20)[0]


# --- what is kept of an edition -----------------------------------------------------------------


def kept(folder: Path, edition: str, figures: dict[str, str], ledger: str = "") -> Any:
    lessons = {i: {"title": i, "about": "any", "figures": f, "questions": []} for i, f in figures.items()}
    rows = [{"page": f"lessons/{i}.html", "place": "text", "what": "x", "us": f, "metric": f} for i, f in figures.items()]
    stage = folder / f".stage-{len(list(folder.iterdir()))}"
    plan = prepare(
        folder,
        stage,
        edition,
        edition_text(edition, "site", 0.8, lessons),
        ledger or json.dumps({"ledger": 1, "site": "site", "units": "us", "numbers": rows}),
    )
    plan.carry_out()
    return plan


def test_an_edition_built_again_with_other_figures_keeps_the_older_ones(tmp_path: Path) -> None:
    assert kept(tmp_path, "1", {"a": "f1", "b": "f2"}).note == ""
    text = json.loads((tmp_path / "editions" / "1.json").read_text("utf-8"))
    assert (text["seatwork_edition"], text["edition"], text["site"], text["pass_mark"]) == (1, "1", "site", 0.8)
    again = kept(tmp_path, "1", {"a": "f1", "b": "f2"})
    assert (again.note, again.moves) == ("", [])
    changed = kept(tmp_path, "1", {"a": "f1", "b": "f3", "c": "f4"})
    assert changed.note.startswith("edition 1 was built before with other figures in b; if that handbook was handed out, ")
    older = [p for p in (tmp_path / "editions").glob("1.*.json") if not p.name.endswith("ledger.json")]
    assert len(older) == 1 and json.loads(older[0].read_text("utf-8"))["lessons"].keys() == {"b"}
    ledger = json.loads(older[0].with_name(older[0].name.replace(".json", ".ledger.json")).read_text("utf-8"))
    assert (ledger["only"], [r["us"] for r in ledger["numbers"]], ledger["units"], ledger["edition"]) == (
        ["lessons/b.html"],
        ["f2"],
        "us",
        "1",
    )
    # a lesson that is gone is kept too
    assert "in c;" in kept(tmp_path, "1", {"a": "f1", "b": "f3"}).note


@pytest.mark.parametrize(("count", "said"), [(1, "a;"), (4, "a, b, c, d;"), (5, "a, b, c, d and 1 more;"), (7, "a, b, c, d and 3 more;")])
def test_how_many_lessons_a_note_names(tmp_path: Path, count: int, said: str) -> None:
    names = "abcdefg"[:count]
    kept(tmp_path, "1", dict.fromkeys(names, "old"))
    assert f"with other figures in {said}" in kept(tmp_path, "1", dict.fromkeys(names, "new")).note


def test_an_edition_file_that_cannot_be_read_is_never_written_over(tmp_path: Path) -> None:
    kept(tmp_path, "1", {"a": "old"})
    path = tmp_path / "editions" / "1.json"
    path.write_text("{}", "utf-8")
    with pytest.raises(EditionDamaged) as told:
        kept(tmp_path, "1", {"a": "new"})
    line = "editions/1.json: the edition kept here cannot be read (edition is not what was written); put back the file the build wrote, or "
    assert str(told.value).startswith(line) and path.read_text("utf-8") == "{}"


# what somebody may do to the file, and what is told of it
DAMAGE: dict[str, tuple[Callable[[Any], Any], str]] = {
    "no lessons": (lambda e: e.pop("lessons"), "lessons"),
    "a list of lessons": (lambda e: e.update(lessons=[]), "lessons"),
    "a lesson that is a word": (lambda e: e["lessons"].update(a="x"), "it"),
    "no figures": (lambda e: e["lessons"]["a"].pop("figures"), "figures"),
    "no questions": (lambda e: e["lessons"]["a"].update(questions=None), "questions"),
    "a question that is a word": (lambda e: e["lessons"]["a"].update(questions=["x"]), "a question"),
    "no site": (lambda e: e.pop("site"), "site"),
    "a pass mark in words": (lambda e: e.update(pass_mark="most"), "pass_mark"),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_what_is_damaged_in_an_edition_file_is_told(tmp_path: Path, damage: str) -> None:
    kept(tmp_path, "1", {"a": "old"})
    path = tmp_path / "editions" / "1.json"
    data = json.loads(path.read_text("utf-8"))
    change, said = DAMAGE[damage]
    change(data)
    path.write_text(json.dumps(data), "utf-8")
    with pytest.raises(EditionDamaged) as told:
        kept(tmp_path, "1", {"a": "new"})
    assert told.value.what == f"the edition kept here cannot be read ({said} is not what was written)"


def test_without_its_ledger_the_older_marking_is_kept_all_the_same(tmp_path: Path) -> None:
    kept(tmp_path, "1", {"a": "old"})
    (tmp_path / "editions" / "1.ledger.json").write_text("{", "utf-8")
    assert kept(tmp_path, "1", {"a": "new"}).note
    names = sorted(p.name for p in (tmp_path / "editions").iterdir())
    assert len([n for n in names if n.count(".") == 2 and not n.endswith("ledger.json")]) == 1
    assert [n for n in names if n.endswith(".ledger.json")] == ["1.ledger.json"]


def test_the_print_of_a_lesson_is_of_its_questions_and_numbers() -> None:
    one = figures_of([{"id": "q"}], [("a", "b", "1", "2"), ("c", "d", "3", "4")])
    assert one == figures_of([{"id": "q"}], [("c", "d", "3", "4"), ("a", "b", "1", "2"), ("a", "b", "1", "2")])
    assert len(one) == 8 and int(one, 16) >= 0
    assert (
        len(
            {
                one,
                figures_of([{"id": "r"}], [("a", "b", "1", "2"), ("c", "d", "3", "4")]),
                figures_of([{"id": "q"}], [("a", "b", "1", "2")]),
            }
        )
        == 3
    )


@pytest.mark.parametrize(
    "draw",
    [
        "stick: {of: machine.stick_length}",
        "stick: {us: [10 ft, 12 ft, 1 ft], metric: [3 m, 4 m, 0.5 m]}",
        "stick: {pick: {us: [10 ft, 12 ft], metric: [3 m, 4 m]}}",
        "stick: {around: excavator.stick_length, step: {us: 5 ft, metric: 2 m}}",
    ],
)
@pytest.mark.parametrize("rows", [1, 2, None])
def test_what_a_small_site_draws_does_not_hang_on_tries_that_are_left_out(
    site: JobSite, monkeypatch: pytest.MonkeyPatch, rows: int | None, draw: str
) -> None:
    """A question of few figures skips the tries that only give what was drawn: nothing else changes."""
    machines = [m for m in site.machines if m.kind == "excavator"][:rows]
    few = dataclasses.replace(site, machines=tuple(machines))
    q = bench(f"machine: {{row: excavator}}\n    {draw}")

    def drawn() -> tuple[list[Any], int]:
        tried = 0
        own = Drawer(few, load(content_folder()), site_lead(few))
        attempt = own._attempt

        def counted(*given: Any) -> Any:
            nonlocal tried
            tried += 1
            return attempt(*given)

        monkeypatch.setattr(own, "_attempt", counted)
        return own.variants(q, 24, "salt"), tried

    short, few_tries = drawn()
    monkeypatch.setattr(Drawer, "_possible", lambda *_: float("inf"))
    long, many_tries = drawn()
    assert short == long
    assert few_tries + 200 < many_tries
