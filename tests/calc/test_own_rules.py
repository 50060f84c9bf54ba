"""Calculations under a site's own rules, on the rules of an invented land. Worked by hand from their tables; no source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from generator.calc.catalogue import calculations
from generator.calc.formula import Formula, Input
from generator.calc.procedure import Choice, Procedure
from generator.calc.rules import TOPICS, OwnRule, Rules, kept
from generator.calc.steps import Applied, Note, Outcome, Rows
from generator.calc.tables import Table
from generator.calc.under_rules import RESTS_ON, TIED, is_law, lacks, lacks_cell, under, withheld
from generator.jobsite.rules import FORMS, read_rules, skeleton
from generator.language.words import Catalogue, tr, using
from generator.reference.rules import tables_under
from generator.reference.tables import load
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.working.explain import as_text, explain
from tests.conftest import ROOT
from tests.sites import OWN_RULES

MORE = {
    "berms": "# title: Pit order\n# place: section 9\n# answers: Ida Moreno\nwhat,figure\nof the height of the axle,60%\n",
    "brakes": "# title: Pit order\n# place: section 11\n# answers: Ida Moreno\nloaded truck,from [t],brakes bite after [s],hold\n"
    "light,0,0.4,0.6\nmiddle,30,0.9,0.5\nheavy,60,1.6,0.45\n",
}


def read(folder: Path, texts: Mapping[str, str], us: bool = False) -> Rules:
    (folder / "rules").mkdir(parents=True)
    for topic, text in texts.items():
        (folder / f"rules/{topic}.csv").write_text(text, "utf-8")
    found = read_rules(folder, "own", us)
    assert [str(p) for log in found.logs for p in log.problems] == []
    return found.rules


@pytest.fixture(scope="module")
def rules(tmp_path_factory: pytest.TempPathFactory) -> Rules:
    found = read(tmp_path_factory.mktemp("land"), {**OWN_RULES, **MORE})
    assert set(found.own) == set(TOPICS)
    return found


@pytest.fixture(scope="module")
def tables(rules: Rules) -> Mapping[str, Table]:
    return tables_under(load(ROOT / "content"), rules)


def si(rules: Rules, id_: str, **texts: str) -> float:
    """The result of a formula under the rules, in SI units."""
    c = under(calculations()[id_], rules)
    assert isinstance(c, Formula)
    return c.value(c.read(texts))


def work(rules: Rules, tables: Mapping[str, Table], id_: str, **texts: str) -> Outcome:
    c = under(calculations()[id_], rules)
    assert isinstance(c, Procedure)
    return c.work(c.read(texts), "metric", tables)


def figures(made: Outcome, *names: str) -> list[Any]:
    return [pytest.approx(made.values[n].si, rel=1e-6) for n in names]


def notes(made: Outcome) -> list[str]:
    return [s.text for s in made.steps if isinstance(s, Note)]


def marked(made: Outcome) -> list[str]:
    """The figures of the rows that a table in the working points at."""
    return [f"{row[0]}" for s in made.steps if isinstance(s, Rows) for row in s.rows if str(row[-1]).startswith("this")]


# --- walls ------------------------------------------------------------------------------------

DUG = {"bottom_width": "0.5 m", "depth": "3 m"}


def test_walls_lie_back_as_far_as_the_sites_table_says(rules: Rules, tables: Mapping[str, Table]) -> None:
    """3 m deep at 0.75 to 1: 2.25 m on each side; (0.5 + 5) / 2 × 3 = 8.25 m²; times 10 m."""
    made = work(rules, tables, "trench.top_width", **DUG, soil_type="stiff clay")
    assert made.main == "top_width" and figures(made, "top_width", "side_ratio", "set_back") == [5.0, 0.75, 2.25]
    assert notes(made) == ["Steepest wall the rule allows for stiff clay, for an edge that carries nothing."]
    made = work(rules, tables, "trench.area", **DUG, soil_type="stiff clay")
    assert made.main == "area" and figures(made, "area", "side_ratio") == [8.25, 0.75]
    made = work(rules, tables, "trench.volume", **DUG, soil_type="stiff clay", length="10 m")
    assert made.main == "volume" and figures(made, "volume", "area", "side_ratio") == [82.5, 8.25, 0.75]
    assert made.values["set_back" if "set_back" in made.values else "volume"].limit != "most"


def test_widths_are_printed_to_the_centimetre_and_ratios_to_the_thousandth(rules: Rules, tables: Mapping[str, Table]) -> None:
    """0.5 + 2 × 1.234 × 1.1254 = 3.2775, up as it must be no less; 1.234 × 1.1254 = 1.38874 a side; area 1.234 × (0.5 + 3.2775) / 2 = 2.3307."""
    told = {}
    for id_, more in (("trench.top_width", {}), ("trench.area", {}), ("trench.volume", {"length": "10 m"})):
        c = under(calculations()[id_], rules)
        given = {"bottom_width": "0.5 m", "depth": "1.234 m", "soil_type": "stiff clay", "side_ratio": "1.1254:1", **more}
        told[id_] = {n: r.text() for n, r in explain(c, c.read(given), "metric", tables).results.items()}
    assert told["trench.top_width"] == {"top_width": "3.28 m", "side_ratio": "1.125:1", "set_back": "1.39 m"}
    assert told["trench.area"]["side_ratio"] == told["trench.volume"]["side_ratio"] == "1.125:1"
    assert told["trench.area"]["area"] == told["trench.volume"]["area"] == "2.33 m²"


@pytest.mark.parametrize("id_", ["trench.top_width", "trench.area", "trench.volume"])
def test_walls_may_be_cut_flatter_and_no_steeper(rules: Rules, tables: Mapping[str, Table], id_: str) -> None:
    more = {"length": "10 m"} if id_ == "trench.volume" else {}
    for ratio, figure in (("0.75:1", 0.75), ("1:1", 1.0), ("2:1", 2.0)):
        made = work(rules, tables, id_, **DUG, **more, soil_type="stiff clay", side_ratio=ratio)
        assert figures(made, "side_ratio") == [figure] and notes(made) == ["The walls are no steeper than the rule allows for stiff clay."]
    with pytest.raises(CalculationError, match=r"0\.7:1 are steeper than the 0\.75:1 of stiff clay") as e:
        work(rules, tables, id_, **DUG, **more, soil_type="stiff clay", side_ratio="0.7:1")
    assert e.value.problem.about == ("side_ratio", "soil_type")


@pytest.mark.parametrize(("soil", "deepest", "past"), [("stiff clay", "3.5 m", "3.51 m"), ("loose ground", "3 m", "3.01 m")])
def test_each_row_holds_down_to_its_depth(rules: Rules, tables: Mapping[str, Table], soil: str, deepest: str, past: str) -> None:
    work(rules, tables, "trench.top_width", bottom_width="0.5 m", depth=deepest, soil_type=soil)
    with pytest.raises(CalculationError, match=f"ends at a depth of {deepest}"):
        work(rules, tables, "trench.top_width", bottom_width="0.5 m", depth=past, soil_type=soil)


def test_where_nobody_has_named_the_ground_it_is_the_flattest(rules: Rules, tables: Mapping[str, Table]) -> None:
    assert figures(work(rules, tables, "trench.top_width", **DUG), "top_width") == [0.5 + 2 * 3 * 1.75]
    c = under(calculations()["trench.top_width"], rules)
    (soil,) = (i for i in c.inputs if i.name == "soil_type")
    assert isinstance(soil, Choice) and soil.options == ("stiff clay", "firm ground", "loose ground")
    assert "open_time" not in [i.name for i in c.inputs]  # a rule of the United States alone


# --- lines ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("voltage", "band", "at_work", "on_the_move"),
    [  # the low row has no distance of its own on the move: that for work holds there
        ("0.4 kV", "low", 3.2, 3.2), ("1 kV", "low", 3.2, 3.2), ("1.1 kV", "middle", 5.4, 3.3), ("66 kV", "middle", 5.4, 3.3),
        ("66.1 kV", "high", 7.7, 5.6), ("230 kV", "high", 7.7, 5.6),
    ],
)  # fmt: skip
def test_the_row_of_a_line_is_the_first_not_below_it(
    rules: Rules, tables: Mapping[str, Table], voltage: str, band: str, at_work: float, on_the_move: float
) -> None:
    for id_, metres in (("lines.clearance", at_work), ("lines.travel_clearance", on_the_move)):
        made = work(rules, tables, id_, voltage=voltage)
        assert made.main == "clearance" and figures(made, "clearance") == [metres]
        assert made.values["clearance"].limit == "least" and made.values["band"].si == band and marked(made) == [band]


def test_a_distance_is_printed_to_the_hundredth_and_never_nearer(rules: Rules, tables: Mapping[str, Table]) -> None:
    """7.7 m are 25.2625 ft, and 5.6 m 18.3727 ft."""
    for id_, text in (("lines.clearance", "25.27 ft"), ("lines.travel_clearance", "18.38 ft")):
        c = under(calculations()[id_], rules)
        made = explain(c, c.read({"voltage": "200 kV"}), "us", tables)
        assert made.result.text() == text
        assert text.removesuffix(" ft") in next(line for line in as_text(made) if "this line" in line)


@pytest.mark.parametrize("id_", ["lines.clearance", "lines.travel_clearance"])
def test_past_the_last_row_the_owner_is_asked(rules: Rules, tables: Mapping[str, Table], id_: str) -> None:
    with pytest.raises(CalculationError, match="the table ends at high"):
        work(rules, tables, id_, voltage="231 kV")


# --- people in a trench -------------------------------------------------------------------------


def test_how_far_a_box_may_end_above_the_floor_is_the_sites(rules: Rules, tables: Mapping[str, Table]) -> None:
    """A wall of 2.75 m and 0.15 m above it, less 0.35 m left open, is 2.55 m: two boxes of 1.275 m; one of 2.6 m, or of 2.55 m."""
    for height, boxes in (("2.6 m", 1), ("2.55 m", 1), ("2.5 m", 2), ("1.275 m", 2), ("1.27 m", 3)):
        assert si(rules, "trench.boxes", wall_height="2.75 m", box_above="0.15 m", box_height=height) == boxes, height
    made = work(rules, tables, "trench.box_set", depth="2.75 m", box_above="0.15 m", box_height="2.6 m")
    assert figures(made, "boxes", "gap") == [1, 0.3]
    # below a slope it stands out 0.15 m
    work(rules, tables, "trench.box_set", depth="3 m", wall_height="2 m", box_above="0.15 m", box_height="1.2 m")
    with pytest.raises(CalculationError, match="stands out"):
        work(rules, tables, "trench.box_set", depth="3 m", wall_height="2 m", box_above="0.14 m", box_height="1.2 m")


@pytest.mark.parametrize(("length", "ladders"), [("20 m", 1), ("28 m", 1), ("28.1 m", 2), ("56 m", 2), ("57 m", 3)])
def test_ladders_are_as_near_as_the_rule_asks(rules: Rules, length: str, ladders: int) -> None:
    """No more than 14 m to a ladder: one for each 28 m."""
    assert si(rules, "trench.ladders", length=length) == ladders


# --- trucks ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("payload", "bite", "row"), [("9 t", 0.4, "0.0"), ("9.999 t", 0.4, "0.0"), ("10 t", 0.9, "30000.0"), ("39 t", 0.9, "30000.0"), ("40 t", 1.6, "60000.0")]
)  # fmt: skip
def test_brakes_bite_as_late_as_the_row_of_the_loaded_truck_says(
    rules: Rules, tables: Mapping[str, Table], payload: str, bite: float, row: str
) -> None:
    """A truck of 20 t, and a driver who takes 2 s."""
    made = work(rules, tables, "hauling.reaction_time", empty_mass="20 t", payload=payload, driver_time="2 s")
    assert made.main == "time" and figures(made, "time", "brake_time") == [2 + bite, bite]
    assert marked(made) == [row] and made.values["time"].limit == "least"


def test_a_truck_lighter_than_the_lightest_row_has_the_lightest(tmp_path: Path) -> None:
    rules = read(tmp_path, {"brakes": MORE["brakes"].replace("light,0,", "light,25,")})
    tables = tables_under(load(ROOT / "content"), rules)
    assert figures(work(rules, tables, "hauling.reaction_time", empty_mass="10 t", payload="10 t", driver_time="2 s"), "brake_time") == [
        0.4
    ]


def test_brakes_hold_no_more_than_the_least_of_the_table(rules: Rules) -> None:
    assert si(rules, "hauling.hold", grip="0.8") == pytest.approx(0.45)
    assert si(rules, "hauling.hold", grip="0.3") == pytest.approx(0.3)
    assert si(rules, "hauling.hold", grip="0.8", brakes="0.5") == pytest.approx(0.5)


def test_a_berm_is_the_share_of_the_axle_that_the_rule_asks_for(rules: Rules) -> None:
    assert si(rules, "slopes.berm_height", axle_height="1.5 m") == pytest.approx(0.9)


def test_tie_downs_hold_the_share_of_the_rule_and_are_no_fewer_than_it_says(rules: Rules) -> None:
    """80 % of 20 t is 16 t; 60 % of 5 t counts 3 t of each: 5.3, so 6. Of 1.8 t at 1 t each: 1.44 over 0.6 is 2.4, and four at least."""
    assert si(rules, "moving.tie_down_total", mass="20 t") == pytest.approx(16000)
    assert si(rules, "moving.tie_downs", mass="20 t", working_load="5 t") == 6
    assert si(rules, "moving.tie_downs", mass="1.8 t", working_load="1 t") == 4


# --- heat -----------------------------------------------------------------------------------------


def test_days_and_water_in_the_heat_are_the_sites(rules: Rules, tables: Mapping[str, Table]) -> None:
    for worker, shares in (("new to the heat", (25, 45, 65, 85, 100, 100)), ("back in the heat", (55, 70, 85, 100, 100, 100))):
        for day, share in enumerate(shares, 1):
            made = work(rules, tables, "daily.heat_day", worker=worker, day=str(day), shift_time="8 h")
            assert figures(made, "share", "hours") == [share / 100, 8 * 3600 * share / 100], (worker, day)
    # a cup of a quarter litre each 20 minutes is three quarters of a litre an hour; six people drink 36 litres in eight hours
    assert si(rules, "daily.drink_rate") * 3600 == pytest.approx(0.75e-3)
    assert si(rules, "daily.water", people="6", shift_time="8 h") == pytest.approx(0.036)
    assert str(tables["heat-water"].quantity("never more than", "most", "liquid_rate")) == "1.3 L/h"
    assert str(tables["heat-water"].quantity("drink", "cup", "liquid")) == "250 mL"


def test_each_of_the_five_days_is_the_sites(tmp_path: Path) -> None:
    text = OWN_RULES["heat"].replace("on day 5;100%", "on day 5;95%")
    rules = read(tmp_path, {"heat": text})
    tables = tables_under(load(ROOT / "content"), rules)
    for worker in ("new to the heat", "back in the heat"):
        for day, share in (("5", 0.95), ("6", 1.0)):
            assert figures(work(rules, tables, "daily.heat_day", worker=worker, day=day, shift_time="8 h"), "share") == [share]


def test_water_is_told_in_the_units_of_the_site(tmp_path: Path) -> None:
    """A US fluid ounce is 29.5735 mL (128 to a gallon of 231 cubic inches by definition): 250 mL are 8.45351, and 1.3 L 43.9582."""
    tables = read(tmp_path, {"heat": OWN_RULES["heat"]}, us=True).tables
    assert str(tables["heat-water"].quantity("drink", "cup", "liquid")) == "8.45351 fl oz"
    assert str(tables["heat-water"].quantity("never more than", "most", "liquid_rate")) == "43.9582 fl oz/h"
    assert str(tables["own-heat"].quantity("a cup", "figure", "liquid")) == "0.25 L"  # as the site writes it


# --- all of them ------------------------------------------------------------------------------------


def test_what_the_site_gives_is_named_as_its_own_and_who_answers_for_it(rules: Rules) -> None:
    for id_, needs in RESTS_ON.items():
        topic = needs.topic
        assert set(needs.rows) <= {c.name for c in FORMS[topic].rows} if topic else not needs.rows, id_
        c = under(calculations()[id_], rules)
        assert withheld(id_, rules) == (not topic), id_
        if topic:
            assert (c.source.key, c.source.place) == (f"own-{topic}", rules.own[topic].place), id_
            assert f"{rules.own[topic].answers} answers for it. The rules where you work may ask for more." in c.limits, id_
            assert not [s for s in c.also if is_law(s.key)], id_
            if isinstance(c, Formula):
                assert not [k for k in c.constants if is_law(k.source.key)], id_


def test_a_calculation_keeps_its_words_but_where_they_are_of_the_law(rules: Rules) -> None:
    for id_ in ("trench.top_width", "trench.area", "trench.volume", "hauling.reaction_time", "daily.heat_day"):
        c = calculations()[id_]
        assert c.words and under(c, rules).words == c.words
    assert under(calculations()["lines.clearance"], rules).words == "Find the line's voltage in the table of the rule."


def test_no_step_of_a_working_names_the_law_as_its_source(rules: Rules, tables: Mapping[str, Table]) -> None:
    made = work(rules, tables, "hauling.reaction_time", empty_mass="20 t", payload="10 t", driver_time="2 s")
    steps = [s.formula for s in made.steps if isinstance(s, Applied)]
    assert len(steps) == 2 and not [s.key for f in steps for s in (f.source, *f.also) if is_law(s.key)]
    assert steps[1].source.key == "aashto-green-book"  # how long a driver takes is no law


def test_what_limits_a_calculation_is_told_in_the_language_of_now_part_by_part(rules: Rules) -> None:
    words = {
        "Each runs from the trailer to the machine.": "Cada uno va del remolque a la máquina.", str(TIED): "El límite es el de la pieza más débil.",
        "{who} answers for it. The rules where you work may ask for more.": "Responde {who}. Puede haber reglas más estrictas.",
    }  # fmt: skip
    limits = under(calculations()["moving.tie_downs"], rules).limits
    assert limits.startswith("Each runs from the trailer to the machine. The working load limit is that of the weakest piece")
    with using(Catalogue("es", words)):
        assert tr(limits) == (
            "Cada uno va del remolque a la máquina. El límite es el de la pieza más débil. "
            "Responde Ida Moreno, works engineer. Puede haber reglas más estrictas."
        )
    top = under(calculations()["trench.box_set"], rules).limits
    plain = top.partition(" Ida Moreno")[0]
    with using(Catalogue("es", {plain: "Primero los datos de la caja."})):
        assert tr(top).startswith("Primero los datos de la caja. Ida Moreno, works engineer answers for it.")


def test_a_length_is_a_constant_as_the_site_writes_it_and_in_the_other_system_to_six_digits(tmp_path: Path) -> None:
    """14 m are 45.9318 ft; 50 ft are 15.24 m (a foot is 0.3048 m by definition)."""
    both = {}
    for name, texts, us in (("metric", OWN_RULES, False), ("us", {k: v.replace("14 m", "50 ft") for k, v in OWN_RULES.items()}, True)):
        rules = read(tmp_path / name, {"trench-entry": texts["trench-entry"]}, us)
        c = under(calculations()["trench.ladders"], rules)
        assert isinstance(c, Formula)
        (reach,) = (k for k in c.constants if k.name == "ladder_reach")
        both[name] = (reach.us, reach.metric)
    assert both == {"metric": ("45.9318 ft", "14 m"), "us": ("50 ft", "15.24 m")}


def test_published_tables_are_the_sites_with_its_figures(tables: Mapping[str, Table]) -> None:
    def told(table: str, row: str, column: str, kind: str = "length") -> Quantity:
        return tables[table].quantity(row, column, kind)

    assert str(told("excavation-rules", "way out needed from this depth", "metres")) == "1.1 m"
    assert str(told("excavation-rules", "spoil back from the edge", "feet")) == "0.7 m"
    assert str(told("trench-ladders", "ladder above the edge at least", "feet")) == "1.1 m"
    assert list(tables["trench-ladders"].rows) == ["ladder above the edge at least"]
    assert "ladder above the edge at least" not in tables["excavation-rules"].rows
    assert (
        str(told("road-weights", "all together", "most", "mass")) == "38.5 t"
        and str(told("road-width", "truck and load", "most")) == "2.6 m"
    )
    limits = {n: told("own-trench-entry", n, "figure").limit for n in tables["own-trench-entry"].rows}
    # what something must at least be is rounded up, and what it may at most be down
    assert {n for n, limit in limits.items() if limit == "least"} == {
        "spoil back from the edge", "ladder above the edge at least", "shield above the vertical part",
    }  # fmt: skip
    assert {limit for n, limit in limits.items()} == {"least", "most"}
    assert told("excavation-rules", "spoil back from the edge", "feet").limit == "least"
    assert told("own-lines", "low", "at work").limit == "least" and told("road-width", "truck and load", "most").limit == "most"
    for table in tables.values():
        assert not is_law(table.source)
        assert not table.source.startswith("own-") or table.note.endswith("answers for it.")


@pytest.mark.parametrize(
    ("topic", "old", "new", "told"),
    [
        ("brakes", "light,0,0.4,0.6\nmiddle,30,0.9,0.5\nheavy,60,1.6,0.45\n", "heavy,60,1.6,0.45\nlight,0,0.4,0.6\n",
         "rules/brakes.csv:6:from: 'light' does not come behind 'heavy'; write a row for each weight of a loaded truck, the lightest first"),
        ("brakes", "middle,30", "middle,0", "rules/brakes.csv:6:from: 'middle' does not come behind 'light'"),
        ("trench-walls", "loose ground;1,75", "loose ground;0,9", "rules/trench-walls.csv:7:run for 1 of rise: 'loose ground' does not come behind 'firm ground'"),
        ("lines", "high;230", "high;66", "rules/lines.csv:7:up to: 'high' does not come behind 'middle'"),
        ("lines", "high;230", "high;33", "rules/lines.csv:7:up to: 'high' does not come behind 'middle'"),
    ],
)  # fmt: skip
def test_rows_that_are_found_by_their_place_stand_in_order(tmp_path: Path, topic: str, old: str, new: str, told: str) -> None:
    """A heavy truck must not be given the brakes of a light one, nor ground that nobody named the steepest wall."""
    text = {**OWN_RULES, **MORE}[topic]
    assert old in text
    (tmp_path / "rules").mkdir()
    (tmp_path / f"rules/{topic}.csv").write_text(text.replace(old, new), "utf-8")
    found = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert len(found) == 1 and found[0].startswith(told), found


def test_two_soils_may_lie_back_alike(tmp_path: Path) -> None:
    read(tmp_path, {"trench-walls": OWN_RULES["trench-walls"].replace("stiff clay;0,75", "stiff clay;1")})


def test_a_site_without_trucks_is_asked_for_no_rules_on_trucks() -> None:
    every = {form.file for form in FORMS.values()}
    for us in (True, False):
        assert set(skeleton(us)) == every and every - set(skeleton(us, trucks=False)) == {"rules/berms.csv", "rules/brakes.csv"}
    assert skeleton(True)["rules/lines.csv"].splitlines()[3:] == ["voltage,up to [kV],at work [ft],on the move [ft]"]
    assert skeleton(False)["rules/trench-walls.csv"].splitlines() == [
        "# title:",
        "# place:",
        "# answers:",
        "soil,run for 1 of rise,depth up to [m]",
    ]
    assert skeleton(False)["rules/roads.csv"].splitlines()[3:] == ["what,figure", "all together,", "truck and load,"]


@pytest.mark.parametrize(
    ("topic", "old", "new", "told"),
    [
        ("roads", "# place: section 3", "# place: " + "s" * 201, "rules/roads.csv:2: place is longer than 200 letters, or holds < or >; shorten it to plain words"),
        ("roads", "# place: section 3", "# place: section <3", "rules/roads.csv:2: place is longer"), ("roads", "works engineer", "works > engineer", "rules/roads.csv:3: answers is longer"),
        ("roads", "# place: section 3\n", "# place:\n", "rules/roads.csv:2: does not say where these figures stand in it; write it behind '# place:' above the heading"),
        ("roads", "# place: section 3\n", "", "rules/roads.csv:1: does not say where these figures stand in it"),
        ("lines", "on the move [m]", "moving [m]", "rules/lines.csv:4: there is no column 'on the move'; write the headings voltage, up to [kV], at work [m], on the move [m]"),
        ("lines", "low;1;3,2;", "l.w;1;3,2;", "rules/lines.csv:5: 'l.w' cannot name a row; write a few words without dots"), ("lines", "low;1", ";1", "rules/lines.csv:5: '' cannot name a row"),
        ("lines", "low;1", f"{'l' * 61};1", f"rules/lines.csv:5: '{'l' * 60}' cannot name a row"), ("lines", "low;1;3,2;", "low;1;;", "rules/lines.csv:5:low: at work has no figure; fill in what the rule says, such as 5 m"),
        ("roads", "all together;38,5 t", "all together;", "rules/roads.csv:5:all together: the row has no figure; fill in what the rule says, such as 40 t; if it gives none, write none, and"),
        ("roads", "all together;38,5 t\n", "", "rules/roads.csv:4: there is no row 'all together'; add it with the figure of the rule; if it gives none, write none, and the handbook gives no figure on it"),
        ("roads", "all together;38,5 t", "all together", "rules/roads.csv:5:all together: the row has no figure; fill in what the rule says, such as 40 t"),
        ("lines", "low;1;3,2;", "low;1", "rules/lines.csv:5:low: at work has no figure"),
        ("trench-entry", "protection needed from this depth;1,25 m", "protection needed from this depth;12,5 m",
         "rules/trench-entry.csv:5:protection needed from this depth: 12.5 m is deeper than 'engineer designs past this depth' (4.5 m); check both figures"),
        ("roads", "38,5 t", "38,5\x07 t", "rules/roads.csv:5"), ("roads", "all together;", "all\x07together;", "rules/roads.csv:5"),
        ("roads", "truck and load;2,6 m", "truck and load;2,6 t", "rules/roads.csv:6:figure: "),
    ],
)  # fmt: skip
def test_what_is_amiss_is_told_with_its_line(tmp_path: Path, topic: str, old: str, new: str, told: str) -> None:
    assert old in OWN_RULES[topic]
    (tmp_path / "rules").mkdir()
    (tmp_path / f"rules/{topic}.csv").write_text(OWN_RULES[topic].replace(old, new), "utf-8")
    found = read_rules(tmp_path, "own", False)
    lines = [str(p) for log in found.logs for p in log.problems]
    assert any(line.startswith(told) for line in lines) and topic not in found.rules.own, lines


@pytest.mark.parametrize(("depth", "fits"), [("1,25 m", True), ("4,5 m", True), ("4,51 m", False), ("8,9 m", False), ("4,5 ft", True)])
def test_a_trench_is_protected_no_deeper_than_where_an_engineer_designs_it(tmp_path: Path, depth: str, fits: bool) -> None:
    """An engineer designs past 4.5 m; what holds from just there on has no room of its own, but is no slip."""
    text = OWN_RULES["trench-entry"]
    assert "past this depth;4,5 m" in text and "from this depth;1,25 m" in text
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules/trench-entry.csv").write_text(text.replace("from this depth;1,25 m", f"from this depth;{depth}", 1), "utf-8")
    told = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert len(told) == (not fits) and all("is deeper than 'engineer designs past this depth' (4.5 m)" in t for t in told), told


@pytest.mark.parametrize("row", ["protection needed from this depth", "engineer designs past this depth"])
def test_a_depth_that_is_not_given_is_asked_for_and_compared_with_none(tmp_path: Path, row: str) -> None:
    lines = [line for line in OWN_RULES["trench-entry"].splitlines(keepends=True) if not line.startswith(f"{row};")]
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules/trench-entry.csv").write_text("".join(lines), "utf-8")
    told = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert len(told) == 1 and f"there is no row '{row}'; add it" in told[0]


def test_a_rule_that_gives_no_distance_is_told_as_a_blank_of_its_row_alone(tmp_path: Path) -> None:
    """A table of single figures may be left out as a whole; of a table of rows each row can."""
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules/lines.csv").write_text(OWN_RULES["lines"].replace("low;1;3,2;", "low;1;;"), "utf-8")
    told = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert told == ["rules/lines.csv:5:low: at work has no figure; fill in what the rule says, such as 5 m"]


def test_other_notes_above_the_heading_are_passed_over(tmp_path: Path) -> None:
    text = "# kept by the works office\n# note: see annex 2\n#\n" + OWN_RULES["roads"]
    rules = read(tmp_path, {"roads": text})
    assert rules.own["roads"].place == "section 3" and list(rules.tables["own-roads"].rows) == ["all together", "truck and load"]


def test_a_row_may_end_with_its_last_figure(tmp_path: Path) -> None:
    """A spreadsheet may leave out the separators behind it; what is blank there is as if it were written so."""
    rules = read(tmp_path, {"lines": OWN_RULES["lines"].replace("low;1;3,2;", "low;1;3,2")})
    assert str(rules.tables["own-lines"].quantity("low", "on the move", "length")) == "3.2 m"


def test_as_long_as_may_be_is_no_fault(tmp_path: Path) -> None:
    text = OWN_RULES["lines"].replace("section 8", "s" * 200).replace("low;", f"{'l' * 60};")
    rules = read(tmp_path, {"lines": text})
    assert rules.own["lines"].place == "s" * 200 and "l" * 60 in rules.tables["own-lines"].rows


def test_what_rests_on_no_law_any_more_is_said_to_be_worked_out_or_the_trades(rules: Rules) -> None:
    """What geometry gives is derived; how the trade writes a grade, digs a pothole or keeps from an edge is its practice."""
    kinds = {c.id: under(c, rules).source for c in calculations().values() if is_law(c.source.key) and c.id not in RESTS_ON}
    practice = {id_ for id_, source in kinds.items() if source.standing == "common practice"}
    assert practice and practice <= {"hauling.dump_short", "hauling.road_width", "grade.ratio", "lines.potholes"}
    assert {s.standing for id_, s in kinds.items() if id_ not in practice} <= {"derived"} and all(s.key is None for s in kinds.values())


def test_a_table_of_rows_has_some_and_each_unit_is_that_of_its_first(tmp_path: Path) -> None:
    (tmp_path / "rules").mkdir()
    head = OWN_RULES["lines"][: OWN_RULES["lines"].index("low;")]
    (tmp_path / "rules/lines.csv").write_text(head, "utf-8")
    (tmp_path / "rules/roads.csv").write_text(OWN_RULES["roads"][: OWN_RULES["roads"].index("all together")], "utf-8")
    told = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert "rules/lines.csv:4: has no rows; write one for each voltage, the lowest first, as the rule has them" in told
    assert any(t.startswith("rules/roads.csv:4: there is no row 'all together'; add it with the figure of the rule") for t in told)
    assert len([t for t in told if "has no rows" in t]) == 1
    mixed = "# title: T\n# place: p\n# answers: A. B.\nvoltage,up to,at work,on the move\nlow,1 kV,3.2 m,\nhigh,66 kV,540 cm,330 cm\n"
    table = read(tmp_path / "mixed", {"lines": mixed}).tables["own-lines"]
    assert table.units == {"up to": "kV", "at work": "m", "on the move": "cm"}
    assert [(table.cell(r, "at work").text, table.cell(r, "on the move").text) for r in table.rows] == [("3.2", "320"), ("5.4", "330")]
    assert table.quantity("low", "on the move", "length").si == pytest.approx(3.2)
    never = read(tmp_path / "never", {"lines": mixed.replace(",330 cm", ",")}).tables["own-lines"]
    assert [str(never.quantity(r, "on the move", "length")) for r in never.rows] == ["3.2 m", "5.4 m"]


def test_what_an_editor_leaves_beside_the_tables_is_no_table(tmp_path: Path) -> None:
    rules = tmp_path / "rules"
    (rules / "old").mkdir(parents=True)
    for name in ("lines.csv", "~$lines.csv", ".lines.csv.swp", ".DS_Store"):
        (rules / name).write_text(OWN_RULES["lines"], "utf-8")
    assert [p for log in read_rules(tmp_path, "own", False).logs for p in log.problems] == []
    (rules / "line.csv").write_text("", "utf-8")
    (told,) = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert told.startswith("settings.yml:rules: rules/line.csv is no table of rules; ") and "lines.csv" in told
    # other rules, or none, read nothing
    for name in ("us-federal", "none"):
        found = read_rules(tmp_path, name, False)  # type: ignore[arg-type]
        assert (found.tables, found.logs, dict(found.rules.own), found.rules.name) == ({}, [], {}, name)


def test_without_the_law_a_calculation_keeps_all_that_is_not_of_it(rules: Rules, tables: Mapping[str, Table]) -> None:
    for c in calculations().values():
        assert under(c, Rules()) is c
        if c.id in RESTS_ON:
            continue
        told = under(c, rules)
        assert told.also == tuple(s for s in c.also if not is_law(s.key)) and (is_law(c.source.key) or told.source == c.source), c.id
        assert [i.name for i in told.inputs] == [i.name for i in c.inputs], c.id
        for old, new in zip(c.inputs, told.inputs, strict=True):
            if old.name == "set_back" and c.id in {"trench.spoil_pile", "trench.spoil_far_toe"}:
                assert isinstance(new, Input) and (new.default, new.low) == (None, "0.1 ft")  # two feet are a figure of that law
            else:
                assert new == old, c.id
        if isinstance(c, Procedure) and c.id not in {"lifting.share_of_chart", "trench.spoil_pile"}:
            assert isinstance(told, Procedure) and told.run is c.run, c.id
    lift = {"total_load": "2.5 t", "chart_load": "3 t"}
    share = calculations()["lifting.share_of_chart"]
    assert isinstance(share, Procedure)
    before, after = notes(share.work(share.read(lift), "metric", tables)), notes(work(rules, tables, "lifting.share_of_chart", **lift))
    assert len(before) == len(after) and any("cranes" in n for n in before) and not any("cranes" in n for n in after)
    assert is_law("osha-1926-652") and is_law("one-call-laws") and not is_law(None) and not is_law("army-tm")


def test_spoil_may_lie_as_near_as_the_site_says_where_no_law_of_the_united_states_holds(rules: Rules, tables: Mapping[str, Table]) -> None:
    """A ridge of 8 m3 on 2 m at 45 degrees is 2 m high, so 4 m wide: its far toe is 4.3 m from the edge. By hand."""
    given = {"volume": "8 m3", "length": "2 m", "repose": "45 deg", "set_back": "0.3 m"}
    made = work(rules, tables, "trench.spoil_pile", **given)
    assert figures(made, "height", "width", "far_toe") == [2.0, 4.0, 4.3]
    federal = calculations()["trench.spoil_pile"]
    assert isinstance(federal, Procedure)
    with pytest.raises(CalculationError, match="set_back is out of range"):
        federal.work(federal.read(given), "metric", tables)


# --- a rule that has no such figure ------------------------------------------------------------------


def without(topic: str, *rows: str) -> str:
    """A table with no figure in some rows, as its rule gives none."""
    text = OWN_RULES[topic]
    for row in rows:
        text, n = re.subn(rf"(?m)^{re.escape(row)};.*$", f"{row};None", text)
        assert n == 1, row
    return text


def test_only_what_takes_the_missing_figure_is_withheld(tmp_path: Path) -> None:
    texts = {
        "trench-entry": without("trench-entry", "farthest from a way out", "shield above the vertical part"),
        "tie-downs": without("tie-downs", "counted of each"), "heat": without("heat", "back on day 3", "never more than"),
        "trench-walls": OWN_RULES["trench-walls"],
    }  # fmt: skip
    rules = read(tmp_path, texts)
    assert set(rules.own) == set(texts)
    on = {id_ for id_, needs in RESTS_ON.items() if needs.topic in texts}
    assert {id_ for id_ in on if withheld(id_, rules)} == {"trench.ladders", "trench.box_set", "moving.tie_downs", "daily.heat_day"}
    assert lacks("trench.box_set", rules) == ("shield above the vertical part",) and lacks("trench.boxes", rules) == ()
    assert si(rules, "moving.tie_down_total", mass="1.8 t") == pytest.approx(1440)  # 80 %, by hand
    tables = tables_under(load(ROOT / "content"), rules)
    assert (
        "farthest from a way out" not in tables["excavation-rules"].rows
        and "ladder above the edge at least" in tables["trench-ladders"].rows
    )
    assert list(tables["heat-first-days"].rows) == [f"day {d}" for d in range(1, 6)]
    for table, row, column, missing in (
        ("excavation-rules", "farthest from a way out", "feet", "farthest from a way out"), ("heat-first-days", "day 3", "back", "back on day 3"),
        ("heat-water", "never more than", "most", "never more than"),
    ):  # fmt: skip
        assert (lacks_cell(tables[table], row, column, rules) or ("", ()))[1] == (missing,)
    for table, row, column in (("excavation-rules", "dig below the shield at most", "feet"), ("heat-first-days", "day 3", "new"),
                               ("heat-water", "drink", "cup"), ("heat-water", "drink", "to")):  # fmt: skip
        assert lacks_cell(tables[table], row, column, rules) is None and tables[table].cell(row, column).low > 0


def test_a_cup_or_its_time_that_is_not_given_withholds_the_water(tmp_path: Path) -> None:
    for row, column in (("a cup", "cup"), ("from one cup to the next", "from")):
        rules = read(tmp_path / column, {"heat": without("heat", row)})
        assert [i for i in ("daily.heat_day", "daily.water", "daily.drink_rate") if withheld(i, rules)] == [
            "daily.water",
            "daily.drink_rate",
        ]
        assert lacks_cell(rules.tables["heat-water"], "drink", column, rules) == ("heat", (row,))


def test_a_figure_left_blank_is_asked_for_and_a_table_of_none_too(tmp_path: Path) -> None:
    """Nobody's forgetting withholds a figure: that a rule gives none has to be written."""
    (tmp_path / "rules").mkdir()
    path = tmp_path / "rules/roads.csv"
    for figure, told in (
        ("", "rules/roads.csv:6:truck and load: the row has no figure; fill in what the rule says, such as 2.55 m; "
             "if it gives none, write none, and the handbook gives no figure on it"),
        ("no", "rules/roads.csv:6:figure: 'no' is not a quantity"),
    ):  # fmt: skip
        path.write_text(OWN_RULES["roads"].replace("2,6 m", figure), "utf-8")
        (problem,) = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
        assert problem.startswith(told)
    path.write_text(without("roads", "all together", "truck and load"), "utf-8")
    (problem,) = [str(p) for log in read_rules(tmp_path, "own", False).logs for p in log.problems]
    assert problem == ("rules/roads.csv:4: the rule gives no figure at all; keep rules/roads.csv somewhere else, "
                       "and the handbook gives no figure on all of it")  # fmt: skip


def test_words_with_a_missing_figure_give_way_to_those_for_sites_without() -> None:
    own = {"trench-entry": OwnRule("trench-entry", "A rule", "part 1", "A. Person")}
    rules = Rules("own", own, {}, {"trench-entry": ("air tested",)})
    n = "{{ n('table.excavation-rules.air tested.feet') }}"
    assert kept(f"Bad air. [[trench-entry|Deeper than {n} test. ]]Out.", rules) == "Bad air. Out."
    assert kept(f"[[trench-entry|{n} deep]][[no trench-entry|ask how deep]].", rules) == "ask how deep."
    assert kept(f"[[own trench-entry|{n}]][[no trench-entry|ask]] [[us-federal|{n}]]", rules) == "ask "
    assert kept("[[trench-entry|A ladder]][[no trench-entry|ask]].", rules) == "A ladder."
    assert kept(f"[[trench-entry|{n} deep]][[no trench-entry|ask]].", Rules("own", own)) == f"{n} deep."
    assert kept(f"[[trench-entry|{n} deep]][[no trench-entry|ask]].", Rules("none")) == "ask."
