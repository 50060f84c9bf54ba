"""The published tables: read strictly, true to their sources, consistent in themselves.

Expected figures are the sources' printed digits, taken down apart from the files under test.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from generator.calc.tables import Table
from generator.reference import sources
from generator.reference.errors import ReferenceProblem
from generator.reference.tables import PublishedTable, load
from generator.units.errors import CalculationError
from generator.units.table import AS_FORCE, UNITS, convertible, to_si
from generator.working.errors import NumberProblem
from generator.working.numbers import kind_of_unit
from tests.reference.printed import PRINTED

CONTENT = Path(__file__).resolve().parents[2] / "content"
TABLES = load(CONTENT)
GOOD = "# id: x\n# title: T\n# source: a-key\n# place: p. 1\n# seen: read\nsoil,loose [lb/yd3],swell [%]\nclay,2310,30\nsand,,12-14\n"
SOURCES = "a-key:\n  title: T\n  author: A\n  year: current\n  kind: book\n  note: Read.\n"


def lookup_si(table: Table, row: str, column: str, end: str = "middle") -> float:
    """A cell in SI units: metres, kilograms, seconds, radians; percent as a plain share.

    Of a range one ``end``: low, middle or high. The unit says the kind, as where a lesson names the cell.
    """
    value: float = getattr(table.cell(row, column), end)
    return to_si(value, table.units[column], kind_of_unit(table.units[column]))


def published(id_: str) -> PublishedTable:
    table = TABLES[id_]
    assert isinstance(table, PublishedTable)
    return table


# --- every table ---------------------------------------------------------------------------------


@pytest.mark.parametrize("id_", sorted(TABLES))
def test_table_is_complete(id_: str) -> None:
    table = published(id_)
    known = sources.load(CONTENT)
    assert table.id == id_ and table.source in known
    assert set(table.units) == set(table.columns) and set(table.units.values()) <= set(UNITS)
    assert table.title and table.place and table.heading
    for row, cells in table.rows.items():
        assert set(cells) == set(table.columns)
        for column, cell in cells.items():
            if cell is None:
                with pytest.raises(CalculationError):
                    table.cell(row, column)
            elif (row, column) in table.misprints:
                with pytest.raises(CalculationError, match="misprinted"):
                    lookup_si(table, row, column)
            else:
                low, middle, high = (lookup_si(table, row, column, e) for e in ("low", "middle", "high"))
                assert math.isfinite(middle) and low <= middle <= high


@pytest.mark.parametrize("id_", sorted(TABLES))
def test_source_is_not_weaker_than_the_table_says(id_: str) -> None:
    """A table is only 'read' where its source's note admits it was read."""
    table = TABLES[id_]
    note = sources.load(CONTENT)[table.source].note.lower()
    if table.seen == "from memory":
        assert "from memory" in note, id_
    else:
        assert "read" in note or "good for a number" in note, id_


# Not read in any source: whoever prints them must say so.
FROM_MEMORY = {
    "dozer-grade-chart", "soil-conversion-army", "shovel-swing-factors", "traction-nunnally",
    "traction-peurifoy", "rolling-resistance-factors", "repose-nunnally",
}  # fmt: skip


def test_what_is_from_memory_says_so() -> None:
    assert {t.id for t in TABLES.values() if t.seen == "from memory"} == FROM_MEMORY


def test_stability_and_slope_tables_carry_their_caution() -> None:
    for id_ in ("slope-limits-bc", "slope-limits-oregon", "slope-limits-nz"):
        assert "Not an allowed slope" in TABLES[id_].note
    for id_ in ("repose-site-notes", "repose-pile-notes", "repose-nunnally"):
        assert "not how steep a cut may stand" in TABLES[id_].note
    for id_ in ("line-clearance-excavators", "line-clearance-excavators-moving", "line-clearance-travelling"):
        assert "check it before relying on it" in TABLES[id_].note
    assert "unloaded edge" in TABLES["excavation-slopes"].note
    assert "no safe distance for a machine" in TABLES["excavation-rules"].note
    assert "not the governing rule" in TABLES["line-clearance-table-a"].note


# --- printed digits ------------------------------------------------------------------------------


@pytest.mark.parametrize("id_", sorted(PRINTED.keys() | TABLES.keys()))
def test_whole_table_as_printed(id_: str) -> None:
    got = {row: [c.text if c else "." for c in cells.values()] for row, cells in TABLES[id_].rows.items()}
    wanted = {row: text.split("|") if "|" in text else text.split() for row, text in PRINTED[id_].items()}
    assert got == wanted


def test_no_figure_where_the_source_leaves_it_to_a_person() -> None:
    # Table A, over 1000 kV: the utility or a registered engineer
    with pytest.raises(CalculationError, match="prints no 'clearance' for over 1000 kV"):
        TABLES["line-clearance-table-a"].cell("over 1000 kV", "clearance")


# --- consistent in themselves --------------------------------------------------------------------


def middles(table: Table, row: str) -> list[float]:
    return [c.middle for c in table.rows[row].values() if c is not None]


def column(table: Table, name: str) -> list[float]:
    return [c.middle for cells in table.rows.values() if (c := cells[name]) is not None]


@pytest.mark.parametrize("soil", sorted(PRINTED["soil-densities"]))
def test_swell_follows_from_the_densities(soil: str) -> None:
    t = TABLES["soil-densities"]
    swell = t.cell(soil, "swell").middle
    for suffix in ("", " metric"):
        loose, bank = (t.cell(soil, s + suffix).middle for s in ("loose", "bank"))
        assert round(100 * (bank / loose - 1)) == swell
        # load factor times (1 + swell) is one
        assert loose / bank * (1 + lookup_si(t, soil, "swell")) == pytest.approx(1, abs=0.005)


@pytest.mark.parametrize("soil", sorted(PRINTED["soil-densities"]))
@pytest.mark.parametrize("state", ["loose", "bank", "compacted"])
def test_both_printed_densities_are_one_density(soil: str, state: str) -> None:
    t = TABLES["soil-densities"]
    assert lookup_si(t, soil, state) == pytest.approx(lookup_si(t, soil, f"{state} metric"), abs=1.0)


@pytest.mark.parametrize(
    ("soil", "shrinkage", "load_factor"),
    # the lost columns as remembered; negative: rock fill stays looser than the bank
    [("clay", 20, 0.77), ("common earth", 10, 0.80), ("rock (blasted)", -30, 0.67), ("sand and gravel", 12, 0.89)],
)
def test_lost_columns_agree_with_memory(soil: str, shrinkage: float, load_factor: float) -> None:
    t = TABLES["soil-densities"]
    loose, bank, compacted = (t.cell(soil, s).middle for s in ("loose", "bank", "compacted"))
    assert round(100 * (1 - bank / compacted)) == shrinkage
    assert loose / bank == pytest.approx(load_factor, abs=0.0051)


STATES = ("bank", "loose", "compacted")


def wrong_pairs(table: Table) -> set[frozenset[tuple[str, str]]]:
    """Pairs of cells that ought to undo each other and, rounding allowed for, do not."""
    wrong = set()
    for soil in {row.rpartition(" ")[0] for row in table.rows}:
        for here, there in (("bank", "loose"), ("bank", "compacted"), ("loose", "compacted")):
            a, b = (f"{soil} {here}", f"to {there}"), (f"{soil} {there}", f"to {here}")
            cells = [table.rows.get(row, {}).get(col) for row, col in (a, b)]
            if cells[0] is None or cells[1] is None:
                continue
            x, y = cells[0].middle, cells[1].middle
            if abs(x * y - 1) > 0.005 * (x + y) + 0.0001:
                wrong.add(frozenset((a, b)))
    return wrong


def test_conversions_there_and_back_or_flagged() -> None:
    assert wrong_pairs(TABLES["soil-conversion-army"]) == set()
    table = published("soil-conversion-factors")
    wrong = wrong_pairs(table)
    assert len(wrong) == len(table.misprints) == 3
    for pair in wrong:
        assert len(pair & table.misprints) == 1, pair


def test_conversions_by_way_of_the_third_state() -> None:
    table = TABLES["soil-conversion-army"]
    for soil in {row.rpartition(" ")[0] for row in table.rows}:

        def step(a: str, b: str, soil: str = soil) -> float:
            return table.cell(f"{soil} {a}", f"to {b}").middle

        for s in STATES:
            assert step(s, s) == 1
        assert step("loose", "bank") * step("bank", "compacted") == pytest.approx(step("loose", "compacted"), abs=0.011)


def test_read_conversions_agree_with_remembered_ones() -> None:
    read, army = published("soil-conversion-factors"), TABLES["soil-conversion-army"]
    for theirs, ours in (("common earth", "loam or common earth"), ("clay", "clay"), ("sandy soil", "sand")):
        for state in STATES:
            for to in STATES:
                key = (f"{theirs} {state}", f"to {to}")
                cell = read.rows[key[0]][key[1]]
                if cell is None or key in read.misprints:
                    continue
                assert cell.middle == army.cell(f"{ours} {state}", f"to {to}").middle, key


def test_navy_figures_agree_with_the_army_sand_row() -> None:
    # Navy manual Table 10-1, as quoted: 100 in place, 111 loose, 95 compacted
    row = TABLES["soil-conversion-army"].rows["sand bank"]
    assert [100 * c.middle for c in row.values() if c] == pytest.approx([100, 111, 95])


def test_cycle_times_are_cycles_an_hour() -> None:
    # cycles an hour of the construction text, from memory
    cycles = {"sand gravel or organic soil": (250, 200, 150), "earth or soft clay": (200, 160, 120), "rock or hard clay": (160, 130, 100)}
    for row, per_hour in cycles.items():
        assert middles(TABLES["excavator-cycle-times"], row) == pytest.approx([60 / c for c in per_hour], abs=0.0005)


def test_swing_depth_falls_both_ways() -> None:
    t = TABLES["swing-depth-factors"]
    for row in t.rows:
        assert middles(t, row) == sorted(middles(t, row), reverse=True)
    for name in t.columns:
        assert column(t, name) == sorted(column(t, name), reverse=True)
    # the remembered shovel factors are the row for 70 % of the depth
    assert middles(t, "70") == column(TABLES["shovel-swing-factors"], "factor")


def test_efficiency_falls_both_ways() -> None:
    t = TABLES["job-efficiency"]
    for row in t.rows:
        assert middles(t, row) == sorted(middles(t, row), reverse=True)
    for name in t.columns:
        assert column(t, name) == sorted(column(t, name), reverse=True)


def test_minutes_worked_an_hour() -> None:
    t = TABLES["dozer-job-factors"]
    for minutes in (50, 40):
        assert t.cell(f"{minutes} min worked an hour", "track-type").middle == pytest.approx(minutes / 60, abs=0.005)


@pytest.mark.parametrize("id_", ["dozer-grade-factors", "dozer-grade-chart"])
def test_grade_factors_fall_uphill(id_: str) -> None:
    t = TABLES[id_]
    rows = sorted((t.cell(r, "grade").middle, -t.cell(r, "factor").middle) for r in t.rows)
    assert [f for _, f in rows] == sorted(f for _, f in rows)
    assert t.cell("level", "factor").middle == 1


def test_remembered_grade_chart_near_the_factors_applied() -> None:
    chart, applied = TABLES["dozer-grade-chart"], TABLES["dozer-grade-factors"]
    for row in ("downhill 10", "level", "uphill 30"):
        assert chart.cell(row, "factor").middle == pytest.approx(applied.cell(row, "factor").middle, abs=0.051)


def test_rolling_resistance_in_both_units() -> None:
    t = TABLES["rolling-resistance-factors"]
    for row in t.rows:
        us, metric = t.cell(row, "us"), t.cell(row, "metric")
        assert (us.low / 2, us.high / 2) == (metric.low, metric.high)
        assert lookup_si(t, row, "us") == pytest.approx(lookup_si(t, row, "metric"), rel=1e-9)


def test_excavation_degrees_follow_from_the_ratio() -> None:
    t = TABLES["excavation-slopes"]
    for row in t.rows:
        run = lookup_si(t, row, "run for 1 of rise")
        degrees = math.degrees(math.atan2(1, run))
        assert t.cell(row, "angle").middle == pytest.approx(degrees, abs=0.5)
        # the rule's own rounding of 12 ft to 3.67 m is the widest
        assert lookup_si(t, row, "depth up to") == pytest.approx(lookup_si(t, row, "depth up to metric"), abs=0.015)


def test_excavation_rule_in_feet_and_metres() -> None:
    t = TABLES["excavation-rules"]
    for row, cells in t.rows.items():
        metres = cells["metres"]
        if metres is not None:
            half = 0.5 * 10 ** -len(metres.text.partition(".")[2])
            assert lookup_si(t, row, "feet") == pytest.approx(metres.middle, abs=half)


def test_soil_types_leave_no_gap() -> None:
    # 1.5 and 0.5 tons a square foot
    t = TABLES["excavation-soil-types"]
    assert t.cell("A", "strength from").middle == t.cell("B", "strength to").middle
    assert t.cell("B", "strength from").middle == t.cell("C", "strength to").middle
    for tons, row, name in ((1.5, "A", "strength from"), (0.5, "C", "strength to")):
        assert lookup_si(t, row, name) == pytest.approx(tons * 2000 * 4.4482216 / 0.09290304, rel=0.005)


@pytest.mark.parametrize(
    "id_", ["line-clearance-table-a", "line-clearance-start", "line-clearance-travelling", "line-clearance-excavators-moving"]
)
def test_voltages_join_and_clearances_grow(id_: str) -> None:
    t = TABLES[id_]
    over, up_to, distance = (column(t, c) for c in (*t.columns[:2], t.columns[2]))
    assert over[0] == 0 and over[1:] == up_to[: len(over) - 1]
    assert distance == sorted(set(distance))


def test_crane_table_is_never_below_the_rule_for_excavators() -> None:
    crane, own = TABLES["line-clearance-table-a"], TABLES["line-clearance-excavators"]
    row = "over 50 kV"
    least, start = (lookup_si(own, row, c) for c in ("clearance", "over"))
    slope = lookup_si(own, row, "add") / lookup_si(own, row, "for each")
    equal = []
    for kv in range(51, 1001):
        # by hand: the first row whose top is at or above the voltage
        name = next(r for r in crane.rows if kv <= crane.cell(r, "up to").middle)
        gap = lookup_si(crane, name, "clearance") - (least + slope * (kv * 1000 - start))
        assert gap > -1e-9, kv
        if gap < 1e-9:
            equal.append(kv)
    assert equal == [200, 350, 500]
    # 29 CFR 1910.269 prints the slope as 4 in for each 10 kV
    assert slope == pytest.approx(4 * 0.0254 / 10_000)


def test_slope_ratios_as_percent() -> None:
    t = TABLES["slope-ratios"]
    for row in t.rows:
        assert t.cell(row, "grade").middle == round(100 / t.cell(row, "run for 1 of rise").middle)


def test_slopes_in_degrees_and_percent_pair_up_or_are_flagged() -> None:
    t = published("slope-limits-nz")
    odd = {row for row in t.rows if abs(100 * math.tan(math.radians(t.cell(row, "angle").middle)) - t.cell(row, "grade").middle) > 1}
    assert odd == {row for row, _ in t.flags} == {"plan needed above (wheeled)"}
    # both figures stay readable, as printed, and the note says what is wrong with them
    assert not t.misprints
    assert t.note.count("18 degrees is 32.5 %") == 1


def test_misprints_are_refused_and_named() -> None:
    t = TABLES["soil-conversion-factors"]
    with pytest.raises(CalculationError, match=r"clay bank, to loose .*1\.35 contradicts.*another table"):
        t.cell("clay bank", "to loose")
    assert "1.35 contradicts" in t.note
    row = t.rows["clay bank"]["to loose"]
    assert row is not None and row.text == "1.35"  # still there to be shown as printed


# --- looking up ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("id_", "row", "name", "si"),
    [
        ("soil-densities", "clay", "bank metric", 1780.0),
        ("soil-densities", "clay", "swell", 0.30),
        ("repose-nunnally", "clay", "angle", math.radians(35)),
        ("excavation-slopes", "C", "run for 1 of rise", 1.5),
        ("excavator-cycle-times", "earth or soft clay", "small", 18.0),
        ("tolerance-zones", "Colorado", "each side", 0.4572),
        ("line-clearance-table-a", "up to 50 kV", "up to", 50_000.0),
        ("line-clearance-table-a", "up to 50 kV", "clearance", 3.048),
        ("rolling-resistance-factors", "concrete or asphalt", "us", 0.02),
        ("rolling-resistance", "loose sand", "crawler", 0.12),
        ("excavation-soil-types", "C", "strength to", 48_000.0),
        ("bucket-fill-factors", "hard clay", "fill", 0.80),
    ],
)
def test_lookup_si(id_: str, row: str, name: str, si: float) -> None:
    assert lookup_si(TABLES[id_], row, name) == pytest.approx(si, rel=1e-9)


def test_lookup_of_the_ends_of_a_range() -> None:
    t = TABLES["bucket-fill-factors"]
    assert lookup_si(t, "hard clay", "fill", "low") == pytest.approx(0.65)
    assert lookup_si(t, "hard clay", "fill", "high") == pytest.approx(0.95)


def test_lookup_of_what_is_not_there() -> None:
    with pytest.raises(CalculationError, match="has no row 'mud'; its rows are clay, common earth"):
        lookup_si(TABLES["soil-densities"], "mud", "bank")
    with pytest.raises(CalculationError, match="prints no 'wheel-type' for direct drive; it prints track-type"):
        lookup_si(TABLES["dozer-job-factors"], "direct drive", "wheel-type")


def test_the_kind_of_every_unit() -> None:
    unkept = ("kg/m2", "ft/kV", "m/kV")  # no quantity is kept in these
    for unit in UNITS:
        if unit not in (*unkept, *AS_FORCE):  # a weight on a square foot is read as the force it is
            assert convertible(unit, kind_of_unit(unit)), unit
    for unit in (*unkept, "furlong"):
        with pytest.raises(NumberProblem, match=f"no kind of quantity is written in {unit}; check the unit's spelling"):
            kind_of_unit(unit)
    kinds = {
        "lcy": "loose_volume", "ft": "length", "kg/t": "resistance", "lb/ton": "resistance", "kV": "voltage", "deg": "angle",
        "1/h": "frequency", "rpm": "turning", "%": "fraction", ":1": "ratio", "min": "time", "lb/yd3": "density",
    }  # fmt: skip
    assert {unit: kind_of_unit(unit) for unit in kinds} == kinds


# --- mistakes in a file --------------------------------------------------------------------------


def write(folder: Path, text: str) -> Path:
    (folder / "tables").mkdir(exist_ok=True)
    (folder / "sources.yml").write_text(SOURCES, "utf-8")
    path = folder / "tables" / "x.csv"
    path.write_text(text, "utf-8", newline="")
    return path


def test_a_good_file(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    table = load(tmp_path)["x"]
    assert isinstance(table, PublishedTable)
    assert (table.heading, table.columns, table.note) == ("soil", ("loose", "swell"), "")
    cell = table.cell("sand", "swell")
    assert (cell.text, cell.low, cell.high, cell.middle) == ("12-14", 12, 14, 13)
    assert table.rows["sand"]["loose"] is None


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("-10", -10, -10), ("3/4", 0.75, 0.75), ("1 1/2", 1.5, 1.5), ("1/2-3/4", 0.5, 0.75), ("0.60-0.80", 0.6, 0.8), ("-30-20", -30, 20)],
)
def test_cells(tmp_path: Path, text: str, low: float, high: float) -> None:
    write(tmp_path, GOOD.replace("12-14", text))
    cell = load(tmp_path)["x"].cell("sand", "swell")
    assert (cell.text, cell.low, cell.high) == (text, low, high)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("# id: x", "# id: y", ":1: id is 'y'; write the file's name, x"),
        ("# id: x\n", "", ":4: has no id; add '# id: …' above the header row"),
        ("# title: T\n", "", ":4: has no title; add"),
        ("# source: a-key", "# source: nobody", ":3: source 'nobody' is not in sources.yml; add it there, or correct the key"),
        ("# seen: read", "# seen: yes", ":5: seen is 'yes'; write read or from memory"),
        ("# place: p. 1", "# page: 1", ":4: 'page' is no key; the keys are id, title"),
        ("# place: p. 1", "# title: U\n# place: p. 1", ":4: gives title twice; keep one"),
        ("# place: p. 1", "# place", ":4: cannot read '# place'; write '# key: value'"),
        ("[lb/yd3]", "[stone]", ":6: unknown unit 'stone'; use a unit"),
        ("loose [lb/yd3]", "loose", ":6: cannot read the heading 'loose'; write 'name [unit]'"),
        ("loose [lb/yd3]", "lo.ose [lb/yd3]", ":6: cannot read the heading 'lo.ose [lb/yd3]'; write"),
        ("swell [%]", "loose [%]", ":6: two columns are called 'loose'; give each its own name"),
        ("soil,loose", ",loose", ":6: the header row is not complete; name the rows first"),
        ("clay,2310,30", "clay,2310", ":7: has 2 cells where line 6 has 3; fill in or take out cells"),
        ("clay,2310,30", "clay,2,310,30", ":7: has 4 cells where line 6 has 3; fill in"),
        ("sand,", "clay,", ":8: two rows are called 'clay'; give each its own name"),
        ("clay,", "c.lay,", ":7: 'c.lay' is no row name; write words without dots or commas"),
        ("clay,", "clay ,", ":7: 'clay ' is no row name; write"),
        ("clay,2310", "clay,about 2310", ":7: cannot read 'about 2310' under loose; write a figure"),
        ("clay,2310", "clay,=1+1", ":7: cannot read '=1+1' under loose; write a figure"),
        ("clay,2310", "clay,nan", ":7: cannot read 'nan' under loose; write a figure"),
        ("clay,2310", "clay, 2310", ":7: cannot read ' 2310' under loose; write a figure"),
        ("12-14", "14-12", ":8: the range '14-12' under swell does not rise; write the low end first"),
        ("12-14", "12-12", ":8: the range '12-12' under swell does not rise; write"),
        ("12-14", "1/0", ":8: '1/0' divides by zero under swell; correct the fraction"),
        ("clay,2310", "clay,", ":6: 'loose' has no figures; take the column out"),
        ("clay,2310,30\n", "clay,2310,30\n\n", ":8: is a blank line; take it out"),
        ("clay,2310,30\n", "clay,2310,30\n# note: late\n", ":8: '#' below the header row; move it to the top of the file"),
        ("clay,", '"clay,', ":7: cannot be read (unexpected end of data); check the quote marks"),
        ("clay,2310,30\nsand,,12-14\n", "", ":6: has no rows; add a header row"),
        ("# seen: read\n", "# seen: read\n# misprint: clay loose\n", ":6: cannot read 'clay loose'; write '# misprint: ROW | COLUMN: why'"),
        ("# seen: read\n", "# seen: read\n# mismatch: mud | loose: odd\n", ":6: flags 'mud | loose', which is not printed; name a filled cell"),
        ("# seen: read\n", "# seen: read\n# misprint: sand | loose: odd\n", ":6: flags 'sand | loose', which is not printed; name"),
        (
            "# seen: read\n", "# seen: read\n# misprint: clay | loose: odd\n# mismatch: clay | loose: odd\n",
            ":7: clay, loose is flagged twice; keep one",
        ),
    ],
)  # fmt: skip
def test_mistakes(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert old in GOOD
    write(tmp_path, GOOD.replace(old, new, 1))
    with pytest.raises(ReferenceProblem) as caught:
        load(tmp_path)
    assert str(caught.value).startswith(f"tables/x.csv{message}")
    assert "\n" not in str(caught.value)


def test_empty_file_no_folder_and_wrong_encoding(tmp_path: Path) -> None:
    with pytest.raises(ReferenceProblem, match=r"^tables: has no tables; "):
        load(tmp_path)
    path = write(tmp_path, "")
    with pytest.raises(ReferenceProblem, match=r"^tables/x\.csv:1: has no id; "):
        load(tmp_path)
    path.write_bytes(b"# id: \xff\n")
    with pytest.raises(ReferenceProblem, match=r"^tables/x\.csv: is not UTF-8 text; "):
        load(tmp_path)


def test_read_again_when_a_file_changed(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    first = load(tmp_path)["x"]
    assert load(tmp_path)["x"] is first
    write(tmp_path, GOOD.replace("2310", "23100"))
    assert load(tmp_path)["x"].cell("clay", "loose").middle == 23100


def test_the_caller_cannot_spoil_what_others_get(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    load(tmp_path).clear()
    assert set(load(tmp_path)) == {"x"}
