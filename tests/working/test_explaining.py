"""A working as it is read: its lines and tables, its cautions and sources, and the page it stands on.

Sums in the docstrings and comments are plain arithmetic on the figures typed beside them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from generator.calc.catalogue import find
from generator.calc.expression import Figure, Ref
from generator.calc.formula import COMMON_PRACTICE, Constant, Formula, Input, Output, Source
from generator.calc.procedure import Choice, Procedure
from generator.calc.steps import Applied, Column, From, Note, Outcome, Rows, Step, Value
from generator.language.words import Catalogue, using
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity
from generator.units.table import System, to_si
from generator.working import explain as module
from generator.working.byhand import Working
from generator.working.explain import (
    Explained,
    as_html,
    as_text,
    cell_text,
    explain,
    explain_chain,
    heading_text,
    legend_html,
    line_html,
    printed_value,
    result_kind,
    rows_html,
    stability_caution,
    stability_line,
    stability_words,
    value_figure,
)
from generator.working.line import Line

BOOK, OTHER, THIRD = Source("book", "page 3"), Source("other", "page 4"), Source("third", "page 5")
LOAD = Formula(
    id="test.load", title="What it weighs", written="volume * weight", source=BOOK, limits="none", words="How much times how heavy.",
    result=Output("M", "mass", "weight of the load", us="lb", metric="kg", work_us="lb", work_metric="kg"),
    inputs=(
        Input("volume", "V_b", "loose_volume", "how much", "0.01 yd3", "10000 yd3"),
        Input("weight", "w", "density", "how heavy", "1 lb/yd3", "9000 lb/yd3"),
    ),
)  # fmt: skip
SHARE = Formula(
    id="test.share", title="Its share", written="load * share", source=OTHER, limits="none",
    result=Output("S", "mass", "share of the load", us="lb", metric="kg", work_us="lb", work_metric="kg", rounding="rounded to the pound"),
    inputs=(
        Input("load", "M", "mass", "the load", "1 lb", "10000000 lb"),
        Input("share", "s", "factor", "share <of it>", "0", "1"),
    ),
)  # fmt: skip


SAME = Formula(
    id="test.same", title="The same", written="far", source=OTHER, limits="none", result=Output("L", "length", "how far"),
    inputs=(Input("far", "f", "length", "how far", "0 ft", "1000 ft"),),
)  # fmt: skip
WAYS: tuple[Limit, ...] = ("", "most", "least")


def q(text: str, kind: str) -> Quantity:
    return Quantity.read(text, kind)


def procedure(
    steps: Callable[[Mapping[str, Any]], tuple[Step, ...]], values: Callable[[Mapping[str, Any]], Mapping[str, Value]], main: str = "share",
    **more: Any,
) -> Procedure:  # fmt: skip
    def run(given: Mapping[str, Any], system: System, tables: Any) -> Outcome:
        return Outcome(main, values(given), steps(given))

    return Procedure(
        "test.both", "Both", (*LOAD.inputs, SHARE.inputs[1], Choice("soil", "soil", ("B", "C"), "C")), THIRD, "none", run, **more
    )


def pair(given: Mapping[str, Any]) -> tuple[Step, ...]:
    return (
        Note("First the load, <then> its share."),
        Applied("load", LOAD, {"volume": given["volume"], "weight": given["weight"]}),
        Applied("share", SHARE, {"load": From("load"), "share": given["share"]}),
    )


def results(load: float, **more: Any) -> Mapping[str, Value]:
    share = 0.5 * load
    return {
        "load": Value(load, "mass", "weight of the load", us="lb", metric="kg"),
        "share": Value(share, "mass", "share of the load", us="lb", metric="kg", **more),
    }


HEAVY = {"volume": q("46 yd3", "loose_volume"), "weight": q("2480 lb/yd3", "density"), "share": q("0.5", "factor")}
POUND = 0.45359237


def heavy(given: Mapping[str, Any]) -> Mapping[str, Value]:
    return results(given["volume"].si * given["weight"].si)


BOTH = procedure(pair, heavy)


# --- lines ----------------------------------------------------------------------------------


def test_a_working_of_two_formulas_reads_from_top_to_bottom() -> None:
    """46 × 2,480 = 114,080, which is printed as 114,000; half of it is 57,040, printed as 57,000."""
    assert as_text(explain(BOTH, HEAVY, "us", {})) == [
        "First the load, <then> its share.",
        "What it weighs:",
        "  M = V_b × w",
        "  M = 46 loose yd³ × 2,480 lb/yd³ = 114,080 lb",
        "  Rounded: M = 114,080 lb, about 114,000 lb",
        "Its share:",
        "  S = M × s",
        "  S = 114,080 lb × 0.5 = 57,040 lb",
        "  Rounded: S = 57,040 lb, about 57,000 lb",
    ]


def test_one_formula_needs_no_headings() -> None:
    explained = explain(LOAD, {"volume": q("2 yd3", "loose_volume"), "weight": q("2500 lb/yd3", "density")}, "us", {})
    assert as_text(explained) == ["M = V_b × w", "M = 2 loose yd³ × 2,500 lb/yd³ = 5,000 lb"]
    assert "sw-step" not in as_html(explained, lambda _: "")
    assert explained.exact == explained.result.si == pytest.approx(5000 * POUND)
    assert (explained.calculation, explained.system, explained.main) == (LOAD, "us", "result")


def test_a_step_on_the_way_says_what_it_is_printed_as_only_where_that_result_is_its_own() -> None:
    def lines(values: Mapping[str, Value]) -> list[str]:
        return [t for t in as_text(explain(procedure(pair, lambda _: values), HEAVY, "us", {})) if "M = 114,080 lb," in t]

    load = 46 * 2480 * POUND
    own, said = results(load), ["  Rounded: M = 114,080 lb, about 114,000 lb"]
    assert lines(own) == said
    # a figure told another way round in the same unit, and to decimals that are asked for
    assert lines({**own, "load": replace(own["load"], limit="least")}) == ["  Rounded up: M = 114,080 lb, about 115,000 lb"]
    assert lines({**own, "load": replace(own["load"], limit="most")}) == ["  Rounded down: M = 114,080 lb, about 114,000 lb"]
    assert lines({**own, "load": replace(own["load"], places=1)}) == []
    # in another unit, of another meaning, of other words, or another figure
    assert lines({**own, "load": replace(own["load"], us="ton")}) == []
    assert lines({**own, "load": replace(own["load"], meaning="another weight")}) == []
    assert lines({**own, "load": replace(own["load"], si=load * 1.0001)}) == []
    assert lines({**own, "load": replace(own["load"], si=load * (1 + 1e-12))}) == said
    assert lines({**own, "load": Value("heavy", "text", "weight of the load")}) == []
    assert lines({"first": replace(own["load"], meaning="another weight"), **own}) == said


def test_a_figure_that_is_printed_as_worked_out_needs_no_such_line() -> None:
    light = {**HEAVY, "volume": q("2 yd3", "loose_volume")}
    assert not any("Rounded" in t for t in as_text(explain(BOTH, light, "us", {})))


def test_three_steps_stand_in_their_order_with_the_notes_between_them() -> None:
    """Half of 5,000 lb is 2,500 lb, and half of that 1,250 lb."""

    def three(given: Mapping[str, Any]) -> tuple[Step, ...]:
        _, first, second = pair(given)
        return (
            first,
            Note("Half of it."),
            second,
            Note("Half again."),
            Applied("again", SHARE, {"load": From("share"), "share": given["share"]}),
        )

    light = {**HEAVY, "volume": q("2 yd3", "loose_volume"), "weight": q("2500 lb/yd3", "density")}
    found = as_text(explain(procedure(three, lambda _: results(5000 * POUND)), light, "us", {}))
    assert [x for x in found if "=" not in x or (x[-1].isalpha() and "lb" in x)] == [
        "What it weighs:", "  M = 2 loose yd³ × 2,500 lb/yd³ = 5,000 lb", "Half of it.", "Its share:", "  S = 5,000 lb × 0.5 = 2,500 lb",
        "Half again.", "Its share:", "  S = 2,500 lb × 0.5 = 1,250 lb",
    ]  # fmt: skip


def test_inputs_are_made_round_first_or_left_as_typed() -> None:
    """46 yd3 are 35.17 m3, told as 35.2, and 2,480 lb/yd3 are 1,471.3 kg/m3; as typed they are put into the metric units on lines of their own."""
    round_first = explain(BOTH, HEAVY, "metric", {})
    assert {n: str(v) for n, v in round_first.inputs.items()} == {
        "volume": "35.2 m³", "weight": "1\u202f471 kg/m³", "share": "0.5", "soil": "C"
    }  # fmt: skip
    kept = explain(BOTH, {**HEAVY, "soil": "b"}, "metric", {}, as_typed=True)
    assert {n: str(v) for n, v in kept.inputs.items()} == {"volume": "46 yd³", "weight": "2,480 lb/yd³", "share": "0.5", "soil": "B"}
    assert any(t.startswith("  how much: 46 yd³") for t in as_text(kept))
    assert not any("yd³" in t for t in as_text(round_first))
    # a formula alone, and a chain, the same
    single = {n: HEAVY[n] for n in ("volume", "weight")}
    assert any("46 yd³" in t for t in as_text(explain(LOAD, single, "metric", {}, as_typed=True)))
    assert not any("46 yd³" in t for t in as_text(explain(LOAD, single, "metric", {})))
    assert any("46 yd³" in t for t in as_text(explain(LOAD, single, "metric", {}, as_typed=True)))


def test_the_main_result_in_another_unit() -> None:
    """57,040 lb are 28.52 tons; the other result keeps its own unit."""
    explained = explain(BOTH, HEAVY, "us", {}, unit="ton")
    assert explained.result.text() == "28.5 tons" and explained.results["load"].text() == "114,000 lb"
    assert explain(BOTH, HEAVY, "us", {}).result.text() == "57,000 lb"
    single = {n: HEAVY[n] for n in ("volume", "weight")}
    assert explain(LOAD, single, "us", {}, unit="ton").result.text() == "57 tons"
    assert explain(LOAD, single, "us", {}).result.text() == "114,000 lb"
    # 57,040 lb are 25,873 kg, which people say in tonnes; a unit that is asked for stays
    assert explain(BOTH, HEAVY, "metric", {}).result.text() == "25.9 t"
    assert explain(BOTH, HEAVY, "metric", {}, unit="kg").result.text() == "25\u202f900 kg"
    with pytest.raises(CalculationError) as e:
        explain(BOTH, HEAVY, "us", {}, unit="ft")
    assert e.value.what == "ft is not a unit of weight (mass)" and e.value.fix == "ask for lb or kg"


def test_results_of_a_procedure_in_their_own_and_their_kinds_units() -> None:
    values = {
        "share": Value(3.048, "length", "how far"), "inches": Value(0.254, "length", "how deep", us="in", metric="cm"),
        "word": Value("tip", "text", "what happens", rounding="as it is"), "count": Value(4, "count", "how many", rounding="rounded up"),
    }  # fmt: skip
    made = {s: explain(procedure(lambda _: (), lambda _: values), HEAVY, s, {}) for s in ("us", "metric")}
    assert {n: v.text() for n, v in made["us"].results.items()} == {"share": "10 ft", "inches": "10 in", "word": "tip", "count": "4"}
    assert {n: v.text() for n, v in made["metric"].results.items()} == {"share": "3.05 m", "inches": "25.4 cm", "word": "tip", "count": "4"}
    us = made["us"]
    assert us.blocks == () and us.exact == 3.048
    assert (us.results["word"].quantity, us.results["word"].si, us.results["word"].rounding) == (None, None, "as it is")
    assert (us.results["word"].words, us.results["share"].words) == ("tip", "")
    assert us.results["count"].rounding == "rounded up" and us.results["inches"].meaning == "how deep"
    assert result_kind(us) == "length"
    words = explain(procedure(lambda _: (), lambda _: values, main="word"), HEAVY, "us", {})
    assert result_kind(words) == "text" and words.exact is None


def test_a_chain_is_kept_and_never_taken_for_another(monkeypatch: pytest.MonkeyPatch) -> None:
    """2 yd3 and 3 yd3 of 2,500 lb/yd3 are 5,000 lb and 7,500 lb, however often and in whatever order they are asked for."""
    monkeypatch.setattr(module, "MOST_CHAINS", 2)
    monkeypatch.setattr(module, "_CHAINS", {})

    def weight(volume: str, system: System = "us", unit: str | None = None, as_typed: bool = False, formula: Formula = LOAD) -> str:
        step = Applied("", formula, {"volume": q(volume, "loose_volume"), "weight": q("2500 lb/yd3", "density")}, unit)
        made = explain_chain([step], system, as_typed=as_typed)
        assert explain_chain([step], system, as_typed=as_typed) is made
        assert 0 < len(module._CHAINS) <= 2
        return made.result.text()

    for _ in range(2):
        assert weight("2 yd3") == "5,000 lb"
        assert weight("3 yd3") == "7,500 lb"
        assert weight("3 yd3", unit="ton") == "3.75 tons"
        assert weight("2 yd3", "metric") == "2.264 t"  # 1.53 m3 of 1,480 kg/m3
        assert weight("2 yd3", "metric", as_typed=True) == "2.268 t"  # 5,000 lb
        # 11 ft are 3.3528 m: as typed to the nearest, as a limit to its own side
        for way, metres in zip(WAYS, ("3.35 m", "3.35 m", "3.36 m"), strict=True):
            step = Applied("", SAME, {"far": replace(q("11 ft", "length"), limit=way)})
            assert explain_chain([step], "metric").result.text() == metres
        told = Applied("", SAME, {"far": replace(q("11 ft", "length"), told=(Decimal("3.4"), "m"))})
        assert explain_chain([told], "metric").result.text() == "3.4 m"
        assert weight("2 yd3", formula=replace(LOAD, written="volume * weight * 2")) == "10,000 lb"


def test_the_main_result_of_a_chain_is_its_last_one() -> None:
    """5,000 lb, and half of it."""
    given = {"volume": q("2 yd3", "loose_volume"), "weight": q("2500 lb/yd3", "density")}
    steps = [Applied("load", LOAD, given), Applied("share", SHARE, {"load": From("load"), "share": q("0.5", "factor")})]
    made = explain_chain(steps, "us")
    assert made.result.text() == "2,500 lb" and made.calculation is SHARE and len(made.blocks) == 2
    assert made.exact == pytest.approx(2500 * POUND) and set(made.inputs) == {"load", "share"}
    # and it is made round first unless it is asked for as typed
    assert explain_chain(steps, "metric").result.text() == "1.132 t"  # 1.53 m3 of 1,480 kg/m3, halved
    assert explain_chain(steps, "metric", as_typed=True).result.text() == "1.134 t"


# --- cautions -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("angle", "not an allowed slope"), ("grade", "not an allowed slope"), ("ratio", "not an allowed slope"), ("text", "not an allowed slope"),
        ("length", "not a safe limit"), ("fraction", "not a safe limit"), ("factor", "not a safe limit"), ("loose_volume", "not a safe limit"),
    ],
)  # fmt: skip
def test_what_a_stability_result_is_not(kind: str, words: str) -> None:
    assert stability_words(kind) == words
    assert stability_caution(kind).startswith(f"This is {words}. ") and stability_caution(kind).endswith(".")


def test_a_stability_result_never_stands_without_its_caution() -> None:
    values = {
        "share": Value(0.5, "angle", "where it tips"), "how far": Value(3.048, "length", "how far", given=False),
        "put in": Value(3.048, "length", "height", given=True), "word": Value("tip", "text", "what happens"),
    }  # fmt: skip
    made = explain(procedure(lambda _: (), lambda _: values, stability=True), HEAVY, "us", {})
    assert {n: v.text() for n, v in made.results.items()} == {
        "share": "28.6° (not an allowed slope)", "how far": "10 ft (not a safe limit)", "put in": "10 ft", "word": "tip",
    }  # fmt: skip
    assert str(made.result) == made.result.text() and made.result.caution == "not an allowed slope"
    html = as_html(made, lambda _: "")
    assert html.count('<p class="sw-caution" data-word="Caution.">This is not an allowed slope. Ground, speed and load lower it.</p>') == 1
    words = as_html(explain(procedure(lambda _: (), lambda _: values, main="word", stability=True), HEAVY, "us", {}), lambda _: "")
    assert "This is not an allowed slope." in words
    far = as_html(explain(procedure(lambda _: (), lambda _: values, main="how far", stability=True), HEAVY, "us", {}), lambda _: "")
    assert "This is not a safe limit. The ground, the machine and a competent person decide." in far
    calm = explain(procedure(lambda _: (), lambda _: values), HEAVY, "us", {})
    assert calm.result.text() == "28.6°" and "sw-caution" not in as_html(calm, lambda _: "")
    unstable = explain(replace(LOAD, stability=True), {n: HEAVY[n] for n in ("volume", "weight")}, "us", {})
    assert unstable.result.text() == "114,000 lb (not a safe limit)"


# --- sources --------------------------------------------------------------------------------


def test_sources_are_those_of_the_calculation_and_of_every_formula_each_once() -> None:
    fourth = Source("fourth", "page 6")
    assert explain(BOTH, HEAVY, "us", {}).sources == (THIRD, BOOK, OTHER)
    assert explain(replace(BOTH, source=OTHER, also=(fourth,)), HEAVY, "us", {}).sources == (OTHER, fourth, BOOK)
    single = {n: HEAVY[n] for n in ("volume", "weight")}
    assert explain(replace(LOAD, also=(fourth, BOOK)), single, "us", {}).sources == (BOOK, fourth)
    seen: list[tuple[Source, ...]] = []

    def words(sources: Any) -> str:
        seen.append(tuple(sources))
        return "<em>Books</em>"

    assert as_html(explain(BOTH, HEAVY, "us", {}), words).endswith('<p class="sw-source"><em>Books</em></p></div>')
    assert seen == [(THIRD, BOOK, OTHER)]


# --- figures --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "kind", "unit", "places", "printed"),
    [
        (0.123456, "length", "m", None, "0.123 m"), (1.23456, "length", "m", None, "1.23 m"), (12.3456, "length", "m", None, "12.3 m"),
        (123.456, "length", "m", None, "123 m"), (20548.4, "length", "m", None, "20\u202f548 m"), (1.23456, "length", "m", 1, "1.2 m"),
        (1.23456, "length", "m", 0, "1 m"), (4.0, "count", "1", None, "4"), (4.26, "count", "1", None, "4.3"), (4.26, "count", "1", 2, "4.26"),
        (0.0, "length", "m", None, "0 m"),
    ],
)  # fmt: skip
def test_a_figure_worked_out_has_three_digits_and_keeps_whole_ones(
    number: float, kind: str, unit: str, places: int | None, printed: str
) -> None:
    assert str(value_figure(to_si(number, unit, kind), kind, unit, places)) == printed


@pytest.mark.parametrize(
    ("number", "kind", "unit", "places", "limit", "printed"),
    [
        (20548.4, "length", "m", None, "", "20\u202f500 m"), (9548.4, "length", "m", None, "", "9\u202f548 m"), (3.3528, "length", "m", None, "most", "3.35 m"),
        (3.3528, "length", "m", None, "least", "3.36 m"), (3.3528, "length", "m", 1, "least", "3.4 m"), (3.3528, "length", "m", 1, "most", "3.3 m"),
        (3.3528, "length", "m", None, "", "3.35 m"), (3.356, "length", "m", None, "", "3.36 m"), (20501.0, "length", "m", None, "least", "20\u202f600 m"),
        (20599.0, "length", "m", None, "most", "20\u202f500 m"), (4.26, "count", "1", None, "", "4.3"), (4.0, "count", "1", None, "most", "4"),
        # what binary fractions leave over tips nothing: 3.35000001 m is 3.35 m either way, 3.3501 m is more
        (3.35000001, "length", "m", None, "least", "3.35 m"), (3.34999999, "length", "m", None, "most", "3.35 m"),
        (3.3501, "length", "m", None, "least", "3.36 m"), (3.3499, "length", "m", None, "most", "3.34 m"),
    ],
)  # fmt: skip
def test_a_printed_result_is_no_finer_than_its_use_and_a_limit_on_the_safe_side(
    number: float, kind: str, unit: str, places: int | None, limit: Limit, printed: str
) -> None:
    made = printed_value(to_si(number, unit, kind), kind, unit, places, limit)
    assert str(made) == printed
    if kind != "count":
        assert made.limit == limit


# --- tables of steps ------------------------------------------------------------------------

FAR, TIME, WHAT = Column("How far", "length", us="yd"), Column("Time", "time", metric="s", us="min", places=1), Column("What", "text")
RISE, SHARE_OF = Column("Rise", "length", metric="cm"), Column("Part", "factor")


def test_headings_name_the_unit_and_cells_leave_it_out() -> None:
    """9.144 m are 10 yd; 90 s are 1.5 min."""
    wanted = {
        "us": ["How far [yd]", "Time [min]", "What", "Rise [ft]", "Part"],
        "metric": ["How far [m]", "Time [s]", "What", "Rise [cm]", "Part"],
    }
    cells = {"us": ["10", "1.5", "turn", "1", "0.5"], "metric": ["9.14", "90", "turn", "30.5", "0.5"]}
    columns = (FAR, TIME, WHAT, RISE, SHARE_OF)
    row: tuple[float | str, ...] = (9.144, 90.0, "turn", 0.3048, 0.5)
    systems: tuple[System, ...] = ("us", "metric")
    for system in systems:
        assert [heading_text(c, system) for c in columns] == wanted[system]
        assert [cell_text(v, c, system) for v, c in zip(row, columns, strict=True)] == cells[system]
    assert cell_text("none", FAR, "us") == "none" and cell_text(3, WHAT, "us") == "3"
    assert cell_text(20548.4, RISE, "us") == "67,416"  # feet, by 0.3048


def table(count: int, title: str = "Steps") -> Rows:
    return Rows(title, (Column("No", "count"), WHAT), tuple((n, f"row {n}") for n in range(1, count + 1)))


def only(block: Rows | Note) -> Explained:
    return explain(procedure(lambda _: (block,), lambda _: results(1.0)), HEAVY, "us", {})


def test_a_table_as_text_stands_in_columns() -> None:
    rows = Rows("Steps", (FAR, WHAT), ((9.144, "go"), (914.4, "come back")))
    assert as_text(only(rows)) == [
        "Steps:",
        "  How far [yd]       What",
        "            10         go",
        "         1,000  come back",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("count", "shown"),
    [(1, [1]), (12, list(range(1, 13))), (13, [1, 2, 3, 4, 5, 6, 0, 10, 11, 12, 13]), (40, [1, 2, 3, 4, 5, 6, 0, 37, 38, 39, 40])],
)
def test_a_long_table_is_cut_in_the_middle_and_says_so(count: int, shown: list[int]) -> None:
    html = rows_html(table(count, "A & B"), "us")
    body = html.partition("<tbody>")[2]
    found = [int(m[1] or 0) for m in re.finditer(r"<tr><td>(\d+)</td><td>row \1</td></tr>|and so on, row by row", body)]
    assert found == shown and body.count("<tr>") == len(shown)
    assert ('<tr><td colspan="2" class="sw-cut">and so on, row by row</td></tr>' in body) is (0 in shown)
    assert "<caption>A &amp; B</caption>" in html and 'aria-label="A &amp; B"' in html
    assert '<thead><tr><th scope="col">No</th><th scope="col">What</th></tr></thead>' in html


def test_a_cell_is_escaped_and_handed_to_who_asks() -> None:
    rows = Rows("Steps", (WHAT, FAR), (("<b>", 9.144),))
    assert "<td>&lt;b&gt;</td><td>10</td>" in rows_html(rows, "us")
    assert "<td>[&lt;b&gt;]</td><td>[10]</td>" in rows_html(rows, "us", lambda t: f"[{t}]")
    assert "<td>[&lt;b&gt;]</td><td>[10]</td>" in as_html(only(rows), lambda _: "", lambda t: f"[{t}]")


# --- the page -------------------------------------------------------------------------------


def test_the_page_holds_notes_steps_rules_and_lines_in_order() -> None:
    html = as_html(explain(BOTH, HEAVY, "us", {}), lambda _: "Books")
    assert html.startswith('<div class="sw-working"><p class="sw-note">First the load, &lt;then&gt; its share.</p>')
    assert html.endswith("</div>") and "\n" not in html
    kinds = re.findall(r'<p class="sw-(\w+)">', html)
    assert kinds == ["note", "step", "rule", "legend", "line", "line", "line", "step", "legend", "line", "line", "line", "source"]
    assert re.findall(r'<p class="sw-step">(.*?)</p>', html) == ["What it weighs", "Its share"]
    assert re.findall(r'<p class="sw-rule">(.*?)</p>', html) == ["How much times how heavy."]


def test_a_line_to_redo_is_marked_and_one_that_rounds_says_about() -> None:
    html = as_html(explain(BOTH, HEAVY, "us", {}), lambda _: "")
    lines = re.findall(r'<p class="sw-line">(.*?)</p>', html)
    assert ["data-redo" in x for x in lines] == [False, True, False] * 2
    assert ["data-rounded" in x for x in lines] == [False, False, True] * 2
    assert lines[2] == (
        '<span class="sw-words">Rounded</span> <math data-rounded="near"><mi>M</mi><mo>=</mo><mrow><mn>114,080</mn><mtext>\u2009lb</mtext></mrow>'
        "<mtext>, about </mtext><mrow><mn>114,000</mn><mtext>\u2009lb</mtext></mrow></math>"
    )
    assert lines[0].startswith("<math><mi>M</mi><mo>=</mo>") and lines[1].startswith('<math data-redo=""><mi>M</mi><mo>=</mo>')
    assert "sw-words" not in lines[0] + lines[1]
    # words before a line are words, not markup
    line = Line.of("a < b", None, (Figure(Decimal(3), "ft"), Figure(Decimal(1), "yd")))
    assert line_html(line, LOAD) == (
        '<p class="sw-line"><span class="sw-words">a &lt; b</span> <math data-redo=""><mrow><mn>3</mn><mtext>\u2009ft</mtext></mrow>'
        "<mo>=</mo><mrow><mn>1</mn><mtext>\u2009yd</mtext></mrow></math></p>"
    )


def test_each_figure_is_handed_over_once_in_order() -> None:
    seen: list[str] = []

    def mark(digits: str) -> str:
        seen.append(digits)
        return f"<b>{digits}</b>"

    html = as_html(explain(BOTH, HEAVY, "us", {}), lambda _: "", mark)
    assert seen == ["46", "2,480", "114,080", "114,080", "114,000", "114,080", "0.5", "57,040", "57,040", "57,000"]
    assert re.findall(r"<mn><b>(.*?)</b></mn>", html) == seen


def test_the_same_line_under_another_formula_has_that_ones_symbols() -> None:
    other = replace(LOAD, result=replace(LOAD.result, symbol="Q"))
    line = Line.of("", Ref("="), (Figure(Decimal(3), "ft"),))
    for _ in range(2):
        assert "<mi>M</mi>" in line_html(line, LOAD) and "<mi>Q</mi>" in line_html(line, other)


def test_how_a_result_is_rounded_is_a_sentence_of_its_own() -> None:
    single = {"load": q("10 lb", "mass"), "share": q("0.5", "factor")}
    html = as_html(explain(SHARE, single, "us", {}), lambda _: "")
    assert '<p class="sw-note">Rounded to the pound.</p>' in html
    plain = as_html(explain(LOAD, {n: HEAVY[n] for n in ("volume", "weight")}, "us", {}), lambda _: "")
    assert "sw-note" not in plain


def test_the_legend_names_result_inputs_and_constants() -> None:
    gravity = Constant("g", "g_0", "factor", "pull of the earth", "1", "1", COMMON_PRACTICE)
    assert legend_html(replace(SHARE, constants=(gravity,), written="load * share * g")) == (
        '<p class="sw-legend"><math><mi>S</mi></math> share of the load; <math><mi>M</mi></math> the load; '
        "<math><mi>s</mi></math> share &lt;of it&gt;; <math><msub><mi>g</mi><mtext>0</mtext></msub></math> pull of the earth</p>"
    )
    with_it = explain(
        replace(SHARE, constants=(gravity,), written="load * share * g"),
        {"load": q("10 lb", "mass"), "share": q("0.5", "factor")},
        "us",
        {},
    )
    assert as_text(with_it) == ["S = M × s × g_0", "S = 10 lb × 0.5 × 1 = 5 lb"]


def test_a_formula_in_symbols_is_nothing_to_redo() -> None:
    html = module.formula_html(LOAD)
    assert html.startswith('<p class="sw-line"><math><mi>M</mi><mo>=</mo>') and "data-redo" not in html


def test_words_among_the_inputs_of_a_formula_are_left_out() -> None:
    formula = find("loading.bench_height")
    explained = explain(formula, {"stick_length": q("10 ft", "length"), "soil_type": "C"}, "us", {})
    assert explained.result.text() == "10 ft" and [type(b) for b in explained.blocks] == [Working]


def test_the_rule_of_a_formula_is_kept_by_its_catalogue_not_by_the_code_of_its_language() -> None:
    """A site's own strings may change under a preview, and of two sites each has its own."""
    explained = explain(LOAD, {"volume": q("4 yd3", "loose_volume"), "weight": q("2000 lb/yd3", "density")}, "us", {})
    pages = []
    for meaning in ("la carga", "lo que lleva"):
        with using(Catalogue("es", {LOAD.result.meaning: meaning})):
            pages.append(as_html(explained, lambda _: ""))
    assert "la carga" in pages[0] and "lo que lleva" not in pages[0]
    assert "lo que lleva" in pages[1] and "la carga" not in pages[1]


def test_what_a_stability_result_is_not_is_said_by_its_kind() -> None:
    for kind in ("angle", "grade", "ratio", "text"):
        assert stability_line(kind) == "This is not an allowed slope."
    for kind in ("length", "fraction", "factor"):
        assert stability_line(kind) == "This is not a safe limit."
