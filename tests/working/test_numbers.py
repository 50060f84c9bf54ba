"""The named numbers of a lesson: where each figure is taken from, what is said where there is none, and what is to blame.

Sums in the docstrings are plain arithmetic on the figures typed beside them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import Any

import pytest

from generator.book.content import content_folder
from generator.calc.procedure import Procedure
from generator.calc.tables import Cell, Table
from generator.jobsite.model import JobSite, Machine, Material, OwnLimit, Truck
from generator.jobsite.reader import read
from generator.reference.tables import load
from generator.units.quantity import Limit, Quantity
from generator.units.table import System
from generator.working.byhand import Working
from generator.working.errors import DoesNotFit, FiguresRefused, Lacking, NoneHere, NumberProblem
from generator.working.explain import as_text
from generator.working.numbers import Context, Numbers, kind_of_unit, read_specs
from tests.conftest import DEMO

TABLES = load(content_folder())


def figure(text: str, kind: str) -> Quantity:
    return Quantity.read(text, kind)


EXCAVATOR = Machine("X-1", "X-1 Digger", "excavator", {
    "stick_length": figure("9 ft", "length"), "bucket_capacity": figure("2 yd3", "loose_volume"),
}, line=7)  # fmt: skip
TRUCK = Truck("T-9", "T-9 Hauler", "truck", {"payload": figure("10 ton", "mass"), "body_volume": figure("20 yd3", "loose_volume")}, line=3)
EARTH = Material("loam", "loam", "material", {
    "fill": figure("100%", "fraction"), "bank_density": figure("2500 lb/yd3", "density"), "swell": figure("25%", "fraction"),
    "soil_type": "B",
}, line=4)  # fmt: skip
ALL = Context(EXCAVATOR, TRUCK, EARTH)


@pytest.fixture(scope="module")
def demo_site() -> JobSite:
    return read(DEMO)


@pytest.fixture
def site(demo_site: JobSite) -> JobSite:
    """A site with only the job figures, limits and lines named here."""
    settings = replace(
        demo_site.settings,
        job=MappingProxyType({
            "rise": figure("25 ft", "length"), "run": figure("100 ft", "length"), "slot_depth": figure("3 ft", "length"),
            "trench_soil_type": "C", "trench_depth": figure("6 ft", "length"), "trench_bottom_width": figure("4 ft", "length"),
        }),
        limits=MappingProxyType({"bench_height": replace(figure("10 ft", "length"), limit="most")}),
        lines=MappingProxyType({"job.rise": 31, "limits.bench_height": 12, "job.trench_depth": 40}),
    )  # fmt: skip
    return replace(demo_site, settings=settings, tables=MappingProxyType({}))


def with_job(site: JobSite, **values: Quantity) -> JobSite:
    return replace(site, settings=replace(site.settings, job=MappingProxyType({**site.settings.job, **values})))


def numbers(site: JobSite, raw: Mapping[str, Any], **given: Quantity) -> Numbers:
    return Numbers(read_specs(raw), site, TABLES, ALL, given)


NOTHING: tuple[Any, ...] = ("", None, {}, [], {"a": 1}, ["job.rise", ""], [[]], ["job.rise", None])

LOAD: dict[str, Any] = {
    "loose": {"calculation": "soil.loose_density", "bank_density": "material.bank_density", "swell": "material.swell"},
    "load": {
        "calculation": "loading.bucket_load", "bucket_capacity": "machine.bucket_capacity", "fill": "material.fill",
        "loose_density": "loose",
    },
    "passes": {"calculation": "loading.passes", "target": "truck.payload", "bucket_load": "load"},
}  # fmt: skip


# --- what a lesson may write ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "what", "fix"),
    [
        ("loading.passes", "number 'x' names no calculation", "add 'calculation: ID'"),
        (["loading.passes"], "number 'x' names no calculation", "add 'calculation: ID'"),
        ({"rise": "job.rise"}, "number 'x' names no calculation", "add 'calculation: ID'"),
        ({"calculation": "grade.percentage"}, "number 'x': ", "grade.percent"),
        ({"calculation": "grade.percent", "climb": "job.rise"}, "number 'x': grade.percent has no input 'climb'", "its inputs are rise, run"),
        *(
            ({"calculation": "grade.percent", "rise": nothing}, "number 'x': rise refers to nothing", "write a reference such as machine.COLUMN")
            for nothing in NOTHING
        ),
        *(
            ({"calculation": "grade.percent", "rise": typed}, "number 'x': rise is a typed figure",
             "put it into settings.yml under job: and refer to it as job.NAME")
            for typed in (12, 1.5, True, "12 ft", "0.3", ["job.rise", "3 ft"], ["job.rise", 3])
        ),
    ],
)  # fmt: skip
def test_what_is_no_number_is_told_with_what_to_write(body: Any, what: str, fix: str) -> None:
    with pytest.raises(NumberProblem) as e:
        read_specs({"x": body})
    assert e.value.what.startswith(what) and fix in e.value.fix
    assert e.value.problem.code == "number"


def test_a_number_is_read_with_its_references_in_order() -> None:
    specs = read_specs({
        "a": {"rise": ["limits.x", "job.rise"], "calculation": "grade.percent", "run": "job.run2"}, "b": LOAD["passes"],
    })  # fmt: skip
    assert list(specs) == ["a", "b"]
    assert specs["a"].name == "a" and specs["a"].calculation.id == "grade.percent"
    assert dict(specs["a"].inputs) == {"rise": ("limits.x", "job.rise"), "run": ("job.run2",)}


# --- where figures come from ----------------------------------------------------------------


def test_the_place_of_every_figure_is_told(site: JobSite) -> None:
    n = numbers(site, {})
    found = {ref: n.look_up(ref, ALL) for ref in (
        "machine.stick_length", "truck.payload", "material.soil_type", "job.rise", "job.trench_soil_type", "limits.bench_height",
        "table.soil-densities.clay.bank", "table.repose-pile-notes.dry sand.angle",
    )}  # fmt: skip
    kind = n.look_up("machine.kind", ALL)
    assert (kind.value, kind.origin) == ("excavator", "the table machines, line 7, column kind")
    assert {ref: (str(f.value), f.origin) for ref, f in found.items()} == {
        "machine.stick_length": ("9 ft", "the table machines, line 7, column stick_length"),
        "truck.payload": ("10 tons", "the table trucks, line 3, column payload"),
        "material.soil_type": ("B", "the table materials, line 4, column soil_type"),
        "job.rise": ("25 ft", "settings.yml, job: rise"),
        "job.trench_soil_type": ("C", "settings.yml, job: trench_soil_type"),
        "limits.bench_height": ("10 ft", "settings.yml, limits: bench_height"),
        # printed: clay weighs 3,000 lb/yd3 in the bank; dry sand lies at 25 to 35 degrees
        "table.soil-densities.clay.bank": ("3,000 lb/yd³", "published table Soil weights and swell, clay, bank"),
        "table.repose-pile-notes.dry sand.angle": (
            "30°", "published table Angles of repose, notes on pile measurement, dry sand, angle",
        ),
    }  # fmt: skip


def test_a_limit_by_a_name_of_the_sites_own_is_found(site: JobSite) -> None:
    gusts = OwnLimit("gusts", "highest gusts for lifting", figure("25 mph", "speed"), "A. Rigger", "2026-02-01", 14)
    own = replace(site, settings=replace(site.settings, own_limits=MappingProxyType({"gusts": gusts})))
    found = numbers(own, {}).look_up("limits.own.gusts", ALL)
    assert (str(found.value), found.origin) == ("25 mph", "settings.yml, limits: own: gusts")


def test_each_machine_has_its_own_figure_however_often_it_is_asked(site: JobSite) -> None:
    n = numbers(site, {"h": {"calculation": "loading.bench_height", "stick_length": "machine.stick_length"}})
    other = replace(EXCAVATOR, id="X-2", values={"stick_length": figure("12 ft", "length")})
    for _ in range(2):
        assert n.value("h", ALL, "us")[0] == figure("9 ft", "length")
        assert n.value("h", Context(other), "us")[0] == figure("12 ft", "length")
        assert n.explained("h", ALL, "us").result.text() == "9 ft"
        assert n.explained("h", Context(other), "us").result.text() == "12 ft"
        assert n.explained("h", Context(other), "metric").result.text() == "3.66 m"  # 3.6576
    assert Context(EXCAVATOR, TRUCK, EARTH).key == ("X-1", "T-9", "loam")
    assert Context().key == ("", "", "")
    third = replace(EARTH, id="sand", values={**EARTH.values, "swell": figure("0%", "fraction")})
    n = numbers(site, LOAD)
    assert str(n.value("loose", ALL, "us")[0]) == "2,000 lb/yd³"  # 2,500 over 1.25
    assert str(n.value("loose", replace(ALL, material=third), "us")[0]) == "2,500 lb/yd³"
    small = replace(TRUCK, id="T-8", values={"payload": figure("5 ton", "mass")})
    assert str(n.value("passes", ALL, "us")[0]) == "5"  # 20,000 lb over 4,000
    assert str(n.value("passes", replace(ALL, truck=small), "us")[0]) == "3"  # 2.5, rounded up


def test_a_number_of_another_number_carries_its_printed_figure(site: JobSite) -> None:
    """2,500 lb/yd3 over 1.25 are 2,000; 2 yd3 of it 4,000 lb; 20,000 lb over 4,000 lb are five passes."""
    n = numbers(site, LOAD)
    explained = n.explained("passes", ALL, "us")
    workings = [b for b in explained.blocks if isinstance(b, Working)]
    assert [str(w.result) for w in workings] == ["2,000 lb/yd³", "4,000 lb", "5"]
    assert workings[-1].carried == {"bucket_load"}
    assert any("= 5" in line for line in as_text(explained))
    assert (explained.result.text(), n.value("passes", ALL, "us")[0].unit) == ("5", "1")
    assert n.value("load", ALL, "us")[1] == pytest.approx(4000 * 0.45359237)


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("name", ["loose", "load", "passes"])
def test_a_figure_without_its_working_is_the_one_with_it(site: JobSite, name: str, system: System) -> None:
    before = numbers(site, LOAD).value(name, ALL, system)
    shown = numbers(site, LOAD).explained(name, ALL, system).result
    assert (shown.quantity, shown.si) == before
    n = numbers(site, LOAD)
    n.explained(name, ALL, system)
    assert n.value(name, ALL, system) == before
    # what is worked for a question goes by what is drawn for it
    drawn = Numbers(read_specs(LOAD), site, TABLES, ALL, {"machine.bucket_capacity": figure("4 yd3", "loose_volume")})
    if name == "load" and system == "us":
        assert str(drawn.value(name, ALL, system)[0]) == "8,000 lb"


def test_what_is_drawn_for_a_question_goes_before_everything(site: JobSite) -> None:
    raw = {
        "a": {"calculation": "grade.percent", "rise": "job.rise", "run": "machine.run"},
        "b": {"calculation": "grade.angle", "grade": "a"},
        "w": {
            "calculation": "trench.top_width",
            "bottom_width": "job.trench_bottom_width",
            "depth": "x",
            "soil_type": "job.trench_soil_type",
        },
        "x": {"calculation": "loading.bench_height", "stick_length": "machine.stick_length"},
    }
    given = {"job.rise": figure("50 ft", "length"), "machine.run": figure("200 ft", "length"), "job.missing": figure("1 ft", "length")}
    n = Numbers(read_specs(raw), site, TABLES, ALL, given)
    assert n.look_up("job.rise", ALL).origin == "drawn for this question"
    assert str(n.look_up("job.rise", ALL).value) == "50 ft"
    assert n.exists("job.missing", ALL) and not n.lacks("job.missing", ALL)
    assert n.explained("a", Context(), "us").result.text() == "25%"
    # a figure drawn under the name of a number is that number
    n = Numbers(read_specs(raw), site, TABLES, ALL, {"a": figure("100%", "grade"), "x": figure("5 ft", "length")})
    assert n.explained("b", Context(), "us").result.text() == "45°"
    # 4 ft and 1.5 to 1 on both sides of 5 ft
    assert n.explained("w", Context(), "us").result.text() == "19 ft"


# --- the first there is ---------------------------------------------------------------------


def test_the_first_reference_there_is_counts(site: JobSite) -> None:
    two = {"h": {"calculation": "loading.bench_height", "stick_length": ["job.digging_depth", "machine.stick_length", "job.slot_depth"]}}
    assert numbers(site, two).explained("h", ALL, "us").result.text() == "9 ft"
    deep = with_job(site, digging_depth=figure("8 ft", "length"))
    assert numbers(deep, two).explained("h", ALL, "us").result.text() == "8 ft"
    # a machine without the value, and none at all: the next one
    blank = replace(EXCAVATOR, values={})
    assert numbers(site, two).explained("h", Context(blank), "us").result.text() == "3 ft"
    assert numbers(site, two).explained("h", Context(), "us").result.text() == "3 ft"
    pair = {"h": {"calculation": "loading.bench_height", "stick_length": ["machine.stick_length", "job.slot_depth"]}}
    assert numbers(site, pair).explained("h", Context(), "us").result.text() == "3 ft"
    drawn = Numbers(read_specs(two), site, TABLES, ALL, {"machine.stick_length": figure("7 ft", "length")})
    assert drawn.explained("h", Context(), "us").result.text() == "7 ft"


def test_without_any_the_calculations_own_default_holds(site: JobSite) -> None:
    """Two feet of set-back by default: 2 ft and twice 3 ft over the tangent of 45 degrees are 8 ft."""
    raw = {"toe": {
        "calculation": "trench.spoil_far_toe", "set_back": "limits.spoil_setback", "pile_height": "job.slot_depth",
        "repose": "job.face_angle",
    }}  # fmt: skip
    here = with_job(site, face_angle=figure("45 deg", "angle"))
    assert numbers(here, raw).explained("toe", ALL, "us").result.text() == "8 ft"
    assert str(numbers(here, raw).value("toe", ALL, "us")[0]) == "8 ft"
    # of a procedure too: soil is type C where nobody says, 1.5 to 1: 4 ft and twice 6 ft × 1.5
    wide = {"w": {"calculation": "trench.top_width", "bottom_width": "job.trench_bottom_width", "depth": "job.trench_depth",
                  "side_ratio": "job.slope_ratio", "soil_type": "material.soil_type"}}  # fmt: skip
    # type B lies back 1 to 1
    assert numbers(site, wide).explained("w", ALL, "us").result.text() == "16 ft"
    bare = replace(ALL, material=replace(EARTH, values={}))
    assert numbers(site, wide).explained("w", bare, "us").result.text() == "22 ft"


def test_of_several_references_that_lack_the_last_is_asked_for(site: JobSite) -> None:
    raw = {
        "h": {"calculation": "loading.bench_height", "stick_length": ["job.digging_depth", "truck.stick_length", "machine.stick_length"]}
    }
    with pytest.raises(DoesNotFit, match="X-1 Digger has no stick_length"):
        numbers(site, raw).explained("h", replace(ALL, machine=replace(EXCAVATOR, values={})), "us")


@pytest.mark.parametrize("calculation", ["loading.bench_height", "trench.top_width"])
def test_a_figure_nobody_gives_is_asked_for_by_its_place(site: JobSite, calculation: str) -> None:
    needs: dict[str, dict[str, Any]] = {"loading.bench_height": {"stick_length": ["job.digging_depth", "machine.stick_length"]}, "trench.top_width": {
        "bottom_width": "job.trench_bottom_width", "depth": ["job.digging_depth", "machine.stick_length"]}}  # fmt: skip
    n = numbers(site, {"h": {"calculation": calculation, **needs[calculation]}})
    blank = Context(replace(EXCAVATOR, values={}))
    with pytest.raises(DoesNotFit) as e:
        n.explained("h", blank, "us")
    assert (e.value.what, e.value.fix) == ("X-1 Digger has no stick_length", "fill it in in the table machines")
    assert e.value.problem.code == "does-not-fit"


@pytest.mark.parametrize(
    ("ref", "code", "what", "fix"),
    [
        ("job.nothing", "number", "settings.yml has no job: nothing", "add it under job:"),
        ("limits.nothing", "number", "settings.yml has no limits: nothing", "add it under limits:"),
        ("limits.own.gusts", "number", "settings.yml has no limits: own: gusts", "add it under limits:, below own:"),
        ("job.own.gusts", "number", "settings.yml has no job: own.gusts", "add it under job:"),
        ("job." + "n" * 60, "number", "settings.yml has no job: " + "n" * 40, "add it under job:"),
        ("machine.nothing", "does-not-fit", "X-1 Digger has no nothing", "fill it in in the table machines"),
        ("truck.nothing", "does-not-fit", "T-9 Hauler has no nothing", "fill it in in the table trucks"),
        ("boat.length", "number", "cannot read the reference 'boat.length'", "write machine.COLUMN, truck.COLUMN, "),
        ("b" * 90, "number", "cannot read the reference '" + "b" * 60 + "'", "write machine.COLUMN, "),
        ("table.soil-densities", "number", "no published table for 'table.soil-densities'", "write table.ID.ROW.COLUMN"),
        ("table.soil-densities.clay", "number", "no published table for 'table.soil-densities.clay'", "write table.ID.ROW.COLUMN"),
        ("table.soil-densities.clay.bank.x", "number", "no published table for 'table.soil-densities.clay.bank.x'", "write table.ID.ROW"),
        ("table.nothing.clay.bank", "number", "no published table for 'table.nothing.clay.bank'", "write table.ID.ROW.COLUMN"),
        ("table." + "n" * 90, "number", "no published table for 'table." + "n" * 60 + "'", "write table.ID.ROW.COLUMN"),
        ("table.soil-densities.mud.bank", "number", "soil-densities has no row 'mud'", "its rows are clay, "),
        ("table.soil-densities.clay.wet", "number", "soil-densities prints no 'wet' for clay", "it prints loose, bank, "),
    ],
)  # fmt: skip
def test_a_reference_to_nothing_says_what_there_is(site: JobSite, ref: str, code: str, what: str, fix: str) -> None:
    with pytest.raises(NumberProblem) as e:
        numbers(site, {}).look_up(ref, ALL)
    assert (e.value.what, e.value.problem.code) == (what, code) and e.value.fix.startswith(fix)


@pytest.mark.parametrize("trucks", [True, False])
@pytest.mark.parametrize("head", ["machine", "truck", "material"])
def test_a_site_without_such_a_row_is_told_so(site: JobSite, head: str, trucks: bool) -> None:
    assert site.trucks
    site = site if trucks else replace(site, trucks=())
    raw = {"h": {"calculation": "loading.bench_height", "stick_length": f"{head}.length"}}
    with pytest.raises(NumberProblem) as e:
        numbers(site, raw).explained("h", Context(), "us")
    assert e.value.what == f"this site has no {head} for '{head}.length'"
    assert e.value.fix == f"add one to the table {head}s, or take the lesson out of its roles in settings.yml"
    assert e.value.problem.code == f"none-here:{head}" and not isinstance(e.value, DoesNotFit)
    assert isinstance(e.value, NoneHere) == (head == "truck" and not trucks)  # what such a site is spared, and no lack to mend


def test_a_site_of_dozers_is_spared_what_only_an_excavator_has(site: JobSite) -> None:
    """A stick and its bucket are nothing such a site lacks; a blade that nobody measured is."""
    dozer = Machine("D-1", "D-1 Dozer", "dozer", {}, line=9)
    alone, context = replace(site, machines=(dozer,)), Context(dozer)
    for column in ("stick_length", "bucket_capacity"):
        with pytest.raises(NoneHere) as e:
            numbers(alone, {}).look_up(f"machine.{column}", context)
        assert e.value.what == f"this site has no excavator for 'machine.{column}'" and e.value.problem.code == "none-here:excavator"
        with pytest.raises(DoesNotFit, match=f"D-1 Dozer has no {column}"):  # beside an excavator it is the wrong machine
            numbers(replace(site, machines=(dozer, EXCAVATOR)), {}).look_up(f"machine.{column}", context)
    for column in ("blade_width", "mass"):
        with pytest.raises(DoesNotFit, match=f"D-1 Dozer has no {column}"):
            numbers(alone, {}).look_up(f"machine.{column}", context)


def test_a_row_that_is_not_there_is_never_made_up_for_by_a_default(site: JobSite) -> None:
    """The set-back has a default, but the lesson says it is the machine's, and there is no machine."""
    raw = {
        "toe": {"calculation": "trench.spoil_far_toe", "set_back": "machine.back", "pile_height": "job.slot_depth", "repose": "job.rise"}
    }
    with pytest.raises(NumberProblem) as e:
        numbers(site, raw).explained("toe", Context(), "us")
    assert e.value.problem.code == "none-here:machine"


def test_what_a_site_leaves_blank(site: JobSite) -> None:
    n, blank = numbers(site, {}), Context(replace(EXCAVATOR, values={}))
    assert n.exists("machine.stick_length", ALL) and n.exists("machine.stick_length", blank) is False
    assert n.exists("job.rise", ALL) and not n.exists("job.heading", ALL) and not n.exists("limits.side_slope", ALL)
    for ref in ("job.nothing", "limits.nothing", "table.x.y.z", "boat"):  # there is no such thing on any site
        with pytest.raises(NumberProblem):
            n.exists(ref, ALL)
    lacking = {
        "machine.stick_length": False, "machine.boom": True, "job.rise": False, "job.heading": True, "limits.bench_height": False,
        "limits.side_slope": True, "job": False, "machine": False, "table.soil-densities.clay.bank": False, "other.result": False,
    }  # fmt: skip
    assert {ref: n.lacks(ref, ALL) for ref in lacking} == lacking
    assert n.lacks("truck.payload", Context(EXCAVATOR)) and n.lacks("machine.stick_length", blank)
    assert not n.lacks(12, ALL)


# --- results and what cannot be a number ----------------------------------------------------


def test_another_result_of_a_procedure_is_asked_for_by_name(site: JobSite) -> None:
    raw = {
        "walls": {"calculation": "trench.top_width", "bottom_width": "job.trench_bottom_width", "depth": "job.trench_depth",
                  "soil_type": "job.trench_soil_type"},
        "top": {"calculation": "trench.sloped_top_width", "bottom_width": "job.trench_bottom_width", "depth": "job.trench_depth",
                "side_ratio": "walls.side_ratio"},
        "main": {"calculation": "loading.bench_height", "stick_length": "walls"},
        "bad": {"calculation": "loading.bench_height", "stick_length": "walls.nothing" + "g" * 60},
    }  # fmt: skip
    n = numbers(site, raw)
    # type C: 1.5 to 1, so 4 ft and twice 6 ft × 1.5 are 22 ft
    assert n.explained("top", ALL, "us").result.text() == "22 ft"
    assert str(n.value("walls", ALL, "us")[0]) == "22 ft"
    assert n.value("walls", ALL, "us")[1] == pytest.approx(22 * 0.3048)
    assert n.explained("main", ALL, "us").result.text() == "22 ft"
    with pytest.raises(NumberProblem) as e:
        n.explained("bad", ALL, "us")
    assert e.value.what == "number 'walls' has no result '" + ("nothing" + "g" * 60)[:40] + "'"
    assert e.value.fix.startswith("it has ") and "side_ratio" in e.value.fix


def test_words_are_no_figure(site: JobSite) -> None:
    here = with_job(site, grip=figure("0.7", "factor"), gauge=figure("8 ft", "length"), middle=figure("4 ft", "length"))
    raw: dict[str, Any] = {
        "goes": {"calculation": "slopes.first_to_go", "track_gauge": "job.gauge", "cg_height": "job.middle", "traction": "job.grip"},
        "h": {"calculation": "loading.bench_height", "stick_length": "goes.first"},
        "s": {"calculation": "loading.bench_height", "stick_length": "job.trench_soil_type"},
        "d": {"calculation": "trench.top_width", "bottom_width": "job.rise", "depth": "job.trench_soil_type"},
    }
    n = numbers(here, raw)
    # 8 ft of gauge over 4 ft of height tip at 45 degrees; a grip of 0.7 lets go at 35
    assert str(n.value("goes", ALL, "us")[0]) == "35°"
    goes = n.specs["goes"]
    assert isinstance(goes.calculation, Procedure)
    run = goes.calculation.run
    told = replace(goes, calculation=replace(goes.calculation, run=lambda *given: replace(run(*given), main="first")))
    with pytest.raises(NumberProblem) as e:
        Numbers({"goes": told}, here, TABLES, ALL).value("goes", ALL, "us")
    assert (e.value.what, e.value.fix) == ("number 'goes' is no figure", "ask for a number")
    for name, ref, wanted in (
        ("s", "job.trench_soil_type", "stick_length needs "), ("d", "job.trench_soil_type", "depth needs "), ("h", "goes.first", "stick_length needs "),
    ):  # fmt: skip
        with pytest.raises(NumberProblem) as e:
            n.explained(name, ALL, "us")
        assert e.value.what == f"number '{name}': {ref} is no quantity" and e.value.fix.startswith(wanted)


def test_a_number_that_is_not_there_is_told_with_those_that_are(site: JobSite) -> None:
    for raw, known in ((LOAD, "loose, load, passes"), ({}, "none")):
        with pytest.raises(NumberProblem) as e:
            numbers(site, raw).explained("n" * 50, ALL, "us")
        assert (e.value.what, e.value.fix) == (f"no number is called '{'n' * 40}'", f"this lesson has {known}")


@pytest.mark.parametrize(
    "raw",
    [
        {"a": {"calculation": "grade.angle", "grade": "a"}},
        {"a": {"calculation": "grade.angle", "grade": "b"}, "b": {"calculation": "grade.angle", "grade": "a"}},
        {"a": {"calculation": "grade.heading", "steepest": "a", "heading": "job.rise"}},
        {"a": {"calculation": "grade.heading", "steepest": "b", "heading": "job.rise"}, "b": {"calculation": "grade.angle", "grade": "a"}},
        {"a": {"calculation": "grade.angle", "grade": "b"}, "b": {"calculation": "grade.angle", "grade": "c"},
         "c": {"calculation": "grade.heading", "steepest": "b", "heading": "job.rise"}},
    ],
)  # fmt: skip
def test_a_number_that_needs_itself_is_refused(site: JobSite, raw: dict[str, Any]) -> None:
    for ask in (Numbers.explained, Numbers.value):
        with pytest.raises(NumberProblem, match="needs itself") as e:
            ask(numbers(site, raw), "a", ALL, "us")
        assert e.value.fix == "break the circle"


def test_two_numbers_may_rest_on_one_and_the_same(site: JobSite) -> None:
    """The same load twice: 4,000 lb over 4,000 lb is one pass, and the last one is whole."""
    raw = {**LOAD, "one": {"calculation": "loading.passes", "target": "load", "bucket_load": "load"}}
    n = numbers(site, raw)
    assert n.explained("one", ALL, "us").result.text() == "1"
    assert str(n.value("one", ALL, "us")[0]) == "1"


def test_a_count_may_stand_for_what_a_formula_multiplies_with(site: JobSite) -> None:
    """A published factor is put in as what the formula wants: 100 bank yd3 at a factor of 25% are 125."""
    raw = {"v": {"calculation": "soil.loose", "bank_volume": "job.run", "swell": "table.soil-densities.clay.swell"}}
    here = with_job(site, run=figure("100 yd3", "volume"))
    n = numbers(here, raw)
    explained = n.explained("v", ALL, "us")
    assert explained.result.text() == "130 loose yd³"  # clay: 30%
    assert explained.inputs["bank_volume"].kind == "bank_volume"  # type: ignore[union-attr]


# --- figures a calculation refuses ----------------------------------------------------------


def refused(site: JobSite, raw: Mapping[str, Any], name: str, context: Context = ALL, **given: Quantity) -> tuple[str, ...]:
    """The causes told, the same whether the working is asked for or only the figure."""
    found = []
    for ask in (Numbers.explained, Numbers.value):
        with pytest.raises(FiguresRefused) as e:
            ask(Numbers(read_specs(raw), site, TABLES, context, given), name, context, "us")
        assert e.value.what == f"number '{name}': {e.value.why}" and e.value.fix
        assert e.value.problem.code == "figures-refused"
        found.append(tuple(str(c) for c in e.value.problem.causes))
    assert found[0] == found[1]
    return found[0]


def test_refused_figures_are_told_with_the_places_they_come_from(site: JobSite) -> None:
    """The figure that is named in what is said stands first: 0.001 ft is too short a run."""
    raw = {
        "g": {"calculation": "grade.percent", "rise": "job.rise", "run": "job.run"},
        "d": {"calculation": "grade.drop", "grade": "g", "distance": "machine.stick_length"},
        "p": {"calculation": "grade.heading", "steepest": "g", "heading": "material.repose"},
    }
    rise, run = "settings.yml:31:job.rise (25 ft)", "settings.yml:job.run (0.001 ft)"
    here = with_job(site, run=figure("0.001 ft", "length"))
    assert refused(here, raw, "g") == (run, rise)
    # of a number that rests on it: its own figures, and those of the other one
    assert set(refused(here, raw, "d")) == {run, rise, "machines.csv:7:stick_length (9 ft)"}
    long = replace(EXCAVATOR, values={"stick_length": figure("200000 ft", "length")})
    first, *rest = refused(site, raw, "d", replace(ALL, machine=long))
    assert first == "machines.csv:7:stick_length (200,000 ft)" and set(rest) == {rise, "settings.yml:job.run (100 ft)"}
    # a procedure that takes a number tells of its own figures where it is its sum that fails
    earth = replace(EARTH, values={"repose": figure("500 deg", "angle")})
    assert refused(site, raw, "p", replace(ALL, material=earth))[0] == "materials.csv:4:repose (500°)"
    # where the tables stand in a workbook, the sheet is named
    book = replace(site, tables=MappingProxyType({"machines.csv": "site.xlsx[machines]"}))
    assert refused(book, raw, "d", replace(ALL, machine=long))[0] == "site.xlsx[machines]:7:stick_length (200,000 ft)"
    low = replace(here, settings=replace(here.settings, limits=MappingProxyType({"x": figure("9000 ft", "length")})))
    by_limit = {"g": {"calculation": "grade.percent", "rise": "limits.x", "run": "job.run"}}
    assert refused(low, by_limit, "g") == (run, "settings.yml:limits.x (9,000 ft)")


def test_published_and_drawn_figures_are_not_the_sites_to_mend(site: JobSite) -> None:
    raw = {"l": {"calculation": "soil.loose", "bank_volume": "job.volume", "swell": "table.soil-densities.clay.bank"}}
    raw["m"] = {"calculation": "soil.mass", "volume": "job.volume", "density": "table.soil-densities.clay.bank"}
    raw["b"] = {"calculation": "loading.bench_height", "stick_length": "machine.stick_length"}
    tiny = with_job(site, volume=figure("0.0000001 yd3", "volume"))
    assert refused(tiny, raw, "m") == ("settings.yml:job.volume (0.0000001 yd³)",)
    drawn = {"machine.stick_length": figure("0.001 ft", "length")}
    with pytest.raises(FiguresRefused) as e:
        Numbers(read_specs(raw), site, TABLES, ALL, drawn).explained("b", ALL, "us")
    assert e.value.problem.causes == ()


def test_a_name_within_another_word_is_not_said(site: JobSite) -> None:
    """What is said names the run; a job figure called ``ru`` or an input ``rise`` is not in it."""
    raw = {"g": {"calculation": "grade.percent", "rise": "job.ru", "run": "job.level"}}
    here = with_job(site, ru=figure("25 ft", "length"), level=figure("0.001 ft", "length"))
    assert refused(here, raw, "g") == ("settings.yml:job.level (0.001 ft)", "settings.yml:job.ru (25 ft)")


def test_a_line_names_eight_places_at_most_and_each_once(site: JobSite) -> None:
    inputs = ("operator", "material", "method", "visibility", "efficiency", "grade", "weight")
    raw = {
        "all": {"calculation": "dozing.total_factor", **{n: f"job.{n}_part" for n in inputs}, "other": "less"},
        "less": {"calculation": "soil.load_factor", "swell": "more"},
        "more": {"calculation": "soil.swell_from_weights", "bank_density": "material.bank_density", "loose_density": "material.loose"},
    }
    # what is said is that the loose weight is out of range: the eighth place comes forward
    earth = replace(EARTH, values={**EARTH.values, "loose": figure("1 lb/yd3", "density")})
    here = with_job(site, **{f"{n}_part": figure("0.9", "factor") for n in inputs})
    found = refused(here, raw, "all", replace(ALL, material=earth))
    assert found == (
        "materials.csv:4:loose (1 lb/yd³)", *(f"settings.yml:job.{n}_part (0.9)" for n in inputs),
    )  # fmt: skip
    # the same figure for two inputs is one place, and said where either is
    twice = {"g": {"calculation": "grade.percent", "rise": "job.level", "run": "job.level"},
             "h": {"calculation": "grade.percent", "run": "job.level", "rise": "job.level"}}  # fmt: skip
    short = with_job(site, level=figure("0.001 ft", "length"))
    for name in twice:
        assert refused(short, twice, name) == ("settings.yml:job.level (0.001 ft)",)
    # two numbers over one: its places once, and it is gone through once
    both = {
        "d": {"calculation": "grade.percent", "rise": "a", "run": "a"},
        "a": {"calculation": "grade.drop", "grade": "job.steep", "distance": "job.run"},
    }  # fmt: skip
    flat = with_job(site, steep=figure("0%", "grade"))
    assert sorted(refused(flat, both, "d")) == ["settings.yml:job.run (100 ft)", "settings.yml:job.steep (0%)"]


# --- figures told in the other unit system --------------------------------------------------


def in_other(site: JobSite, ref: str, cells: Mapping[str, Cell | None], units: Mapping[str, str], system: System = "metric") -> str:
    table = Table("t", "Made up", "none", "", "read", tuple(cells), units, {"row": cells})
    value = Numbers({}, site, {"t": table}, Context()).look_up(ref, Context()).value
    assert isinstance(value, Quantity)
    return str(value.in_system(system))


def cell(low: float, high: float | None = None) -> Cell:
    return Cell(str(low), low, low if high is None else high)


@pytest.mark.parametrize(
    ("cells", "units", "metric"),
    [
        # 5 ft are 1.524 m
        ({"a": cell(5), "b": cell(1.53)}, {"a": "ft", "b": "m"}, "1.53 m"),
        ({"a": cell(5), "b": cell(1.5)}, {"a": "ft", "b": "m"}, "1.52 m"),  # more than half a percent away
        ({"a": cell(5), "b": cell(1.531)}, {"a": "ft", "b": "m"}, "1.531 m"),  # just within it
        ({"a": cell(5), "b": cell(1.532)}, {"a": "ft", "b": "m"}, "1.52 m"),  # just past it
        ({"a": cell(5), "b": None}, {"a": "ft", "b": "m"}, "1.52 m"),
        ({"a": cell(5), "b": cell(1.53, 1.6)}, {"a": "ft", "b": "m"}, "1.52 m"),  # a range says no one figure
        ({"a": cell(4, 6), "b": cell(1.53)}, {"a": "ft", "b": "m"}, "1.52 m"),
        ({"a": cell(4, 6), "b": cell(1.22)}, {"a": "ft", "b": "m"}, "1.52 m"),
        ({"a": cell(5), "b": cell(1.53)}, {"a": "ft", "b": "t"}, "1.52 m"),  # another kind of quantity
        ({"a": cell(5), "b": cell(5), "c": cell(1.53)}, {"a": "ft", "b": "ft", "c": "m"}, "1.53 m"),
        ({"b": cell(1.53), "a": cell(5)}, {"a": "ft", "b": "m"}, "1.53 m"),
        ({"a": cell(5), "b": cell(1.524)}, {"a": "ft"}, "1.52 m"),  # no unit, no length
        ({"a": cell(0), "b": cell(0)}, {"a": "ft", "b": "m"}, "0 m"),
    ],
)  # fmt: skip
def test_what_a_table_prints_in_both_systems_is_told_as_printed(
    site: JobSite, cells: Mapping[str, Cell | None], units: Mapping[str, str], metric: str
) -> None:
    assert in_other(site, "table.t.row.a", cells, units) == metric


def test_a_share_of_a_table_has_no_unit_system(site: JobSite) -> None:
    cells, units = {"a": cell(30), "b": cell(0.3)}, {"a": "%"}
    for system in ("us", "metric"):
        assert in_other(site, "table.t.row.a", cells, units, system) == "30%"
        assert in_other(site, "table.t.row.b", cells, units, system) == "0.3"


def test_figures_that_equal_no_limit_are_told_to_the_nearest(site: JobSite) -> None:
    """1 m3 is 1.308 yd3 and 3.048 m 10 ft; a limit of another kind, or words, are no limit of them."""

    def told(value: Quantity, limits: Mapping[str, Quantity | str], system: System = "us") -> str:
        here = with_job(site, a=value)
        here = replace(here, settings=replace(here.settings, limits=MappingProxyType(dict(limits))))
        found = Numbers({}, here, TABLES, Context()).look_up("job.a", Context()).value
        assert isinstance(found, Quantity)
        return str(found.in_system(system))

    def limit(text: str, kind: str, way: Limit) -> Quantity:
        return replace(figure(text, kind), limit=way)

    cubic = figure("1 m3", "volume")
    assert told(cubic, {"bench_height": limit("1 m", "length", "most")}) == told(cubic, {}) == "1.31 yd³"
    assert told(figure("11 ft", "length"), {"bench_height": limit("11 ft", "length", "most"), "call": "channel 3"}, "metric") == "3.35 m"
    assert told(figure("11 ft", "length"), {"call": "channel 3", "bench_height": limit("11 ft", "length", "least")}, "metric") == "3.36 m"
    # 3.3528 m: a limit that holds it back neither way leaves it to the nearest
    assert told(figure("11 ft", "length"), {"bench_height": figure("11 ft", "length")}, "metric") == "3.35 m"
    assert told(figure("10 ft", "length"), {"bench_height": figure("10 ft", "length")}, "metric") == "3.05 m"
    # what is a limit itself goes its own way, and so does what has its own figure over there
    own = limit("10 ft", "length", "least")
    assert told(own, {"bench_height": limit("10 ft", "length", "most")}, "metric") == "3.05 m"
    printed = replace(figure("10 ft", "length"), told=(Decimal("3.1"), "m"))
    assert told(printed, {"bench_height": limit("10 ft", "length", "most")}, "metric") == "3.1 m"
    # two limits that go the same way need not be told apart
    same = {"bench_height": limit("10 ft", "length", "most"), "edge_distance": limit("10 ft", "length", "most")}
    assert told(figure("10 ft", "length"), same, "metric") == "3.04 m"


def test_the_rules_own_figures_count_for_what_the_rules_speak_of(site: JobSite) -> None:
    """29 CFR 1926.651(j)(2) prints 2 feet (.61 m), 652(e)(2)(i) 2 feet alone; 2.6 ft and 18 in stand in no rule: 0.79248 m, 45.72 cm."""
    for text, tables, metric in (
        ("2 ft", TABLES, "0.61 m"), ("2.6 ft", TABLES, "0.793 m"), ("2 ft", {}, "0.61 m"), ("4 ft", TABLES, "1.22 m"), ("4 ft", {}, "1.22 m"),
        ("5 ft", TABLES, "1.52 m"), ("5 ft", {}, "1.53 m"), ("18 in", TABLES, "45.8 cm"), ("1.52 m", TABLES, "1.52 m"),
    ):  # fmt: skip
        limit = replace(figure(text, "length"), limit="least")
        here = replace(site, settings=replace(site.settings, limits=MappingProxyType({"spoil_setback": limit})))
        value = Numbers({}, here, tables, Context()).look_up("limits.spoil_setback", Context()).value
        assert isinstance(value, Quantity)
        assert str(value.in_system("metric")) == metric


# --- units of published tables --------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "kind"),
    [
        ("%", "fraction"), (":1", "ratio"), ("ft", "length"), ("in", "length"), ("m", "length"), ("lb", "mass"), ("ton", "mass"),
        ("lb/yd3", "density"), ("kg/m3", "density"), ("deg", "angle"), ("lb/ton", "resistance"), ("mph", "speed"), ("kV", "voltage"),
        (" ft ", "length"), ("min", "time"),
    ],
)  # fmt: skip
def test_what_is_measured_in_a_unit(unit: str, kind: str) -> None:
    assert kind_of_unit(unit) == kind


@pytest.mark.parametrize(
    ("unit", "what", "fix"),
    [
        ("furlong", "no kind of quantity is written in furlong", "check the unit's spelling"),
        ("T", "'T' can be tons of 2,000 lb or tonnes of 1,000 kg", "write ton or t"),
        (" tph ", "'tph' can be tons of 2,000 lb or tonnes of 1,000 kg an hour", "write ton/h or t/h"),
    ],
)
def test_a_unit_that_is_none_or_two_is_refused(unit: str, what: str, fix: str) -> None:
    with pytest.raises(NumberProblem) as e:
        kind_of_unit(unit)
    assert (e.value.what, e.value.fix) == (what, fix)


def test_the_largest_of_all_trucks_counts_whichever_truck_the_page_is_worked_for(demo_site: JobSite) -> None:
    """A road is made for the widest truck: 16 ft of the four there are. Two lanes of it are 3.5 widths, 56 ft."""
    specs = read_specs(
        {"width": {"calculation": "hauling.road_width", "truck_width": "largest.truck.overall_width", "lanes": "job.haul_lanes"}}
    )
    small = next(t for t in demo_site.trucks if t.id == "T-2")
    numbers = Numbers(specs, demo_site, TABLES, Context(truck=small))
    found = numbers.look_up("largest.truck.overall_width", Context(truck=small))
    assert str(found.value) == "16 ft" and found.origin.endswith("the largest of all trucks")
    assert str(numbers.value("width", Context(truck=small), "us")[0]) == "56 ft"
    assert not numbers.lacks("largest.truck.overall_width", Context(truck=small))
    none = replace(demo_site, trucks=())
    assert Numbers(specs, none, TABLES, Context()).lacks("largest.truck.overall_width", Context())
    with pytest.raises(NumberProblem, match="no truck"):
        Numbers(specs, none, TABLES, Context()).look_up("largest.truck.overall_width", Context())
    blank = replace(
        demo_site, trucks=(replace(small, values=MappingProxyType({k: v for k, v in small.values.items() if k != "body_up_height"})),)
    )
    assert Numbers(specs, blank, TABLES, Context()).lacks("largest.truck.body_up_height", Context())


def test_what_to_mend_is_told_in_the_sites_own_words_where_it_is_its_own(site: JobSite) -> None:
    """What a question draws, and what no figure of the site stands for, keeps the name of the input."""
    raw = {
        "f": {
            "calculation": "daily.fuel_lasts",
            "fuel_tank": "job.tank",
            "gauge": "job.dial",
            "reserve": "job.kept_back",
            "fuel_use": "job.use",
        }
    }
    here = with_job(
        site,
        tank=figure("100 gal", "liquid"),
        dial=figure("10%", "fraction"),
        kept_back=figure("20%", "fraction"),
        use=figure("5 gal/h", "liquid_rate"),
    )
    for given, fix in (({}, "check kept_back and dial"), ({"job.dial": figure("10%", "fraction")}, "check kept_back and gauge")):
        with pytest.raises(FiguresRefused) as e:
            Numbers(read_specs(raw), here, TABLES, ALL, given).explained("f", ALL, "us")
        assert e.value.fix == fix


def test_causes_are_told_job_first_then_limits_then_rows(site: JobSite) -> None:
    n = numbers(site, {"h": {"calculation": "loading.bench_height", "stick_length": "machine.stick_length"}})
    found = n.causes_of(["truck.payload", "limits.bench_height", "h", "job.rise", "table.x.y.z", "job"], ALL)
    assert [c.column for c in found] == ["job.rise", "limits.bench_height", "payload", "stick_length"]


def test_a_figure_of_the_lift_chart_is_told_with_its_own_table(site: JobSite) -> None:
    lifting = replace(ALL, machine=replace(EXCAVATOR, values={**EXCAVATOR.values, "chart_load": figure("4000 lb", "mass")}))
    found = numbers(site, {}).look_up("machine.chart_load", lifting)
    assert (str(found.value), found.origin) == ("4,000 lb", "the table lift_chart, for the lift of the job")


@pytest.mark.parametrize(
    ("limits", "row", "column", "limit"),
    [({"depth": "most"}, "depth", "figure", "most"), ({"figure": "least"}, "depth", "figure", "least"), ({"depth": "most", "figure": "least"}, "depth", "figure", "most"),
     ({"other": "most"}, "depth", "figure", "")],
)  # fmt: skip
def test_which_way_a_figure_of_a_table_is_rounded_is_its_rows_or_its_columns(
    site: JobSite, limits: Mapping[str, Limit], row: str, column: str, limit: Limit
) -> None:
    cell = Cell("1.25", 1.25, 1.25)
    table = Table("own", "Own", "own", "part 1", "read", (column,), {column: "m"}, {row: {column: cell}}, limits=limits)
    found = Numbers(read_specs({}), site, {"own": table}, ALL).look_up(f"table.own.{row}.{column}", ALL).value
    assert isinstance(found, Quantity) and (found.limit, str(found.figure), found.unit) == (limit, "1.25", "m")
    by_row = replace(table, row_units={row: "ft"})
    found = Numbers(read_specs({}), site, {"own": by_row}, ALL).look_up(f"table.own.{row}.{column}", ALL).value
    assert isinstance(found, Quantity) and found.unit == "ft"


def test_a_blank_is_filled_in_on_its_row_but_for_what_another_table_gives(site: JobSite) -> None:
    bare = replace(ALL, machine=replace(EXCAVATOR, values={}))
    for column, table, line in (("eye_height", "machines.csv", 7), ("chart_load", "lift_chart.csv", None)):
        with pytest.raises(Lacking) as e:
            numbers(site, {}).look_up(f"machine.{column}", bare)
        assert (e.value.table, e.value.row_line) == (table, line) and f"the table {table.removesuffix('.csv')}" in e.value.fix


def test_what_to_mend_is_told_of_a_figure_two_numbers_away(site: JobSite) -> None:
    """The hours that the fuel lasts are an input of another number; its own figures are those to be mended."""
    raw = {
        "f": {
            "calculation": "daily.fuel_lasts", "fuel_tank": "job.tank", "gauge": "job.dial", "reserve": "job.kept_back", "fuel_use": "job.use",
        },
        "h": {"calculation": "daily.heat_hours", "shift_time": "f", "share": "job.part"},
    }  # fmt: skip
    here = with_job(
        site, tank=figure("100 gal", "liquid"), dial=figure("10%", "fraction"), kept_back=figure("20%", "fraction"),
        use=figure("5 gal/h", "liquid_rate"), part=figure("50%", "fraction"),
    )  # fmt: skip
    with pytest.raises(FiguresRefused) as e:
        Numbers(read_specs(raw), here, TABLES, ALL, {}).explained("h", ALL, "us")
    assert e.value.fix == "check kept_back and dial"
