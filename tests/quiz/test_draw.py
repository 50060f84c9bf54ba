"""What counts as right, and which draws are thrown away. Figures worked out by hand, no source."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids
from generator.book.page import site_lead
from generator.calc.expression import quick
from generator.jobsite.reader import read
from generator.quiz.draw import Drawer, accept_by_unit, accepted, round_for_browser
from generator.quiz.question import Question, questions_in
from generator.reference.tables import load
from generator.source.problem import Problem
from generator.units.quantity import Quantity
from generator.working.numbers import Context
from tests.conftest import DEMO

ASK = """\
- id: bench-1
  kind: number
  ask: The stick is {stick} long. How high is the bench?
  draw:
    stick: {us: [6 ft, 18 ft, 1 ft], metric: [2 m, 5 m, 1 m]}
  numbers:
    bench: {calculation: loading.bench_height, stick_length: stick}
  answer: bench
  within: 5%
  mistakes:
    - {id: near, gives: FIRST, says: Look again.}
    - {id: far, gives: SECOND, says: Look again.}
"""


def question(first: str, second: str, ask: str = "stick_length: stick", draw: str = "") -> Question:
    problems: list[Problem] = []
    text = ASK.replace("FIRST", first).replace("SECOND", second).replace("stick_length: stick", ask)
    text = text.replace("  draw:\n", f"  draw:\n    {draw}\n" if draw else "  draw:\n")
    found = questions_in(text, "bench.yml", {}, problems)
    assert problems == []
    return found[0]


def feet(figure: str) -> Quantity:
    return Quantity(Decimal(figure), "ft", "length")


def test_the_tolerance_is_a_share_of_the_unrounded_answer() -> None:
    low, high = accepted(feet("10"), 10 * 0.3048, 0.05)
    assert (low, high) == pytest.approx((9.5, 10.5))


def test_the_tolerance_is_never_less_than_half_the_last_printed_digit() -> None:
    # 2 % of 1.04 ft is 0.02 ft, but 1.0 is printed: whoever rounds as we do is right
    low, high = accepted(feet("1.0"), 1.04 * 0.3048, 0.02)
    assert (low, high) == pytest.approx((0.99, 1.09))
    # and the printed figure itself always counts
    low, high = accepted(feet("1"), 1.4 * 0.3048, 0.01)
    assert low <= 1 and high == pytest.approx(1.9)
    low, high = accepted(feet("2"), 1.5 * 0.3048, 0.0)
    assert low <= 1.5 and high >= 2


def test_a_count_is_met_exactly() -> None:
    assert accepted(Quantity(Decimal(6), "1", "count"), 6.0, 0.5) == (6, 6)


def test_ends_have_nine_digits_and_six_in_a_unit_nobody_asked_for() -> None:
    """Worked by hand, no source: 10.1234123412 ft is 3.0856160816... m (a foot is 0.3048 m by definition)."""
    assert round_for_browser(2 / 3) == 0.666666667
    ends = accept_by_unit(10.1234123412, 12.0, "ft", "length")
    assert ends["ft"] == [10.1234123, 12] and ends["m"] == [3.08562, 3.6576]


def test_what_counts_is_told_in_every_unit_one_may_type() -> None:
    ends = accept_by_unit(9.5, 10.5, "ft", "length")
    assert next(iter(ends)) == "ft"
    assert ends["in"] == [114, 126]
    assert ends["m"] == [pytest.approx(2.8956), pytest.approx(3.2004)]
    assert "lb" not in ends


@pytest.mark.parametrize(
    ("first", "second", "taken"),
    [
        ("right / 2", "right * 2", True),
        ("right * 1.04", "right * 2", False),  # whoever makes the mistake would be marked right
        ("right * 0.96", "right * 2", False),
        ("right / 2", "right / 2", False),  # two mistakes that cannot be told apart
        ("right - 2 * right", "right * 2", False),  # no length
        ("right / (right - right)", "right * 2", False),  # no figure
    ],
)
def test_a_draw_in_which_answers_look_alike_is_thrown_away(first: str, second: str, taken: bool) -> None:
    q = question(first, second)
    right, si = feet("10"), 10 * 0.3048
    found = [Drawer._mistaken(quick(m.gives), {"right": si, "stick": si}, right, q.numbers["bench"].calculation) for m in q.mistakes]
    assert Drawer._distinct(q, right, si, found) is taken


@pytest.fixture(scope="module")
def demo() -> Drawer:
    shipped = content_folder()
    site = read(DEMO, lesson_ids(shipped))
    return Drawer(site, load(shipped), site_lead(site))


def test_a_column_that_may_be_blank_is_looked_for_in_the_rows_a_question_is_asked_about(demo: Drawer) -> None:
    """The lead machine where the question draws none, else any machine of that kind."""
    lead = next(m for m in demo.site.machines if m.kind == "excavator")
    demo = Drawer(demo.site, demo.tables, Context(lead))
    alone = question("right / 2", "right * 2", ask="stick_length: machine.tail_radius")
    drawn = question("right / 2", "right * 2", ask="stick_length: machine.tail_radius", draw="m: {row: excavator}")
    bare = {m.id: replace(m, values={k: v for k, v in m.values.items() if k != "tail_radius"}) for m in demo.site.machines}
    without = Context(bare[lead.id])
    assert demo.lacking(alone) is None and demo.lacking(drawn) is None
    of_the_job = question("right / 2", "right * 2", ask="stick_length: limits.bench_height")
    assert demo.lacking(of_the_job) is None, "what is no row's is told where it is drawn"
    found = Drawer(demo.site, demo.tables, without).lacking(alone)
    assert found is not None and "tail_radius" in str(found) and lead.name in str(found)
    assert Drawer(demo.site, demo.tables, without).lacking(drawn) is None, "the other excavators have it"
    none = replace(demo.site, machines=tuple(bare.values()))
    assert Drawer(none, demo.tables, demo.lead).lacking(drawn) is not None
    assert Drawer(none, demo.tables, Context()).lacking(alone) is None, "no machine at all is told elsewhere"


def test_what_one_question_draws_is_no_other_questions_figure(demo: Drawer) -> None:
    """A draw of 12 ft in place of the site's limit of 10 ft is forgotten with its question."""
    at = demo.site.settings.limits["bench_height"]
    assert isinstance(at, Quantity)
    row = replace(demo.lead.machine, values={"stick_length": replace(at, limit="")})  # type: ignore[type-var]
    context = Context(row)
    hidden = demo._numbers({}, context, {"limits.bench_height": feet("12")})
    assert hidden.look_up("machine.stick_length", context).value.limit == ""  # type: ignore[union-attr]
    for given in ({}, {"stick": feet("6")}, {"job.rise": feet("6")}):
        other = demo._numbers({}, context, given)
        assert other.look_up("machine.stick_length", context).value.limit == at.limit == "most"  # type: ignore[union-attr]


def test_the_same_draw_comes_again(tmp_path: Path) -> None:
    """A result is marked by its variant's number: it must give the same figures on any day."""
    shipped = content_folder()
    site, tables = read(DEMO, lesson_ids(shipped)), load(shipped)
    q = question("right / 2", "right * 2")
    once, again = (Drawer(site, tables, site_lead(site)).variants(q, 4, "web") for _ in range(2))
    assert [v["us"].figures for v in once] == [v["us"].figures for v in again]
    assert len({str(v["us"].figures["stick"]) for v in once}) == 4
    other = Drawer(site, tables, site_lead(site)).variants(q, 4, "paper")
    assert [v["us"].figures for v in other] != [v["us"].figures for v in once]
    for v in once:
        for drawn in v.values():
            assert drawn.right is not None and str(drawn.right) == drawn.figures["stick"]
