"""The rules a site gives of its own: FOLDER/rules/TOPIC.csv, one file a topic.

Above the heading stand three lines, ``# title:``, ``# place:`` and ``# answers:``. A table of single figures has two
columns, ``what`` and ``figure``, and the rows that the handbook asks for; the others have a row for each soil, voltage or
weight. Figures carry their unit, in the cell or in the heading, as in the site's other tables.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

from generator.calc.rules import TOPICS, Name, OwnRule, Rules
from generator.calc.tables import Cell, Table
from generator.jobsite import cells
from generator.jobsite.cells import BadCell
from generator.jobsite.columns import Column
from generator.jobsite.grid import Grid, GridRow, from_csv, heading
from generator.language.words import said
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import suggest
from generator.source.problem import Severity
from generator.units.quantity import Limit, Quantity, trimmed

FOLDER = "rules"
HEAD = {"title": "how the rule is called", "place": "where these figures stand in it", "answers": "who answers for these figures"}
_NOTE = re.compile(r'"?#\s*([a-z]+)\s*:\s*(.*?)[;,\t"\s]*')
_Q = Column


def _length(name: str, meaning: str, us: str, metric: str, limit: Limit = "") -> Column:
    return Column(name, meaning, "length", "0.1 in", "300 ft", us, metric, limit=limit)


@dataclass(frozen=True)
class Form:
    """What a file of one topic holds: single figures by row, or columns of rows that the site names."""

    topic: str
    key: str  # heading of the first column
    rows: tuple[Column, ...] = ()  # single figures; the words of a row are its name
    columns: tuple[Column, ...] = ()
    may_be_blank: frozenset[str] = frozenset()
    each: str = ""  # what there is a row for

    @property
    def file(self) -> str:
        """Its path from the site's folder."""
        return f"{FOLDER}/{self.topic}.csv"

    def heads(self, us: bool) -> list[str]:
        """The headings of its columns, with the unit a site of these units would write."""
        if self.rows:
            return [self.key, "figure"]
        named = []
        for c in self.columns:
            unit = Quantity.read(c.us if us else c.metric, c.kind).unit
            named.append(f"{c.name} [{unit}]" if unit not in {"1", ":1"} else c.name)
        return [self.key, *named]


FORMS: Mapping[str, Form] = {
    f.topic: f for f in (
        Form("trench-walls", "soil", columns=(
            Column("run for 1 of rise", "the run of a wall for each one of rise", "ratio", "0:1", "10:1", "1.5", "1.5"),
            _length("depth up to", "the depth down to which that holds", "12 ft", "4 m", "most"),
        ), each="type of soil, the flattest last"),
        Form("trench-entry", "what", rows=(
            _length("protection needed from this depth", "", "4 ft", "1.25 m", "most"),
            _length("engineer designs past this depth", "", "16 ft", "5 m", "most"),
            _length("way out needed from this depth", "", "4 ft", "1.25 m", "most"),
            _length("farthest from a way out", "", "50 ft", "15 m", "most"),
            _length("air tested past this depth where it may be bad", "", "4 ft", "1.2 m", "most"),
            _length("spoil back from the edge", "", "2 ft", "0.6 m", "least"),
            _length("ladder above the edge at least", "", "3 ft", "1 m", "least"),
            _length("shield above the vertical part", "", "6 in", "0.1 m", "least"),
            _length("dig below the shield at most", "", "1 ft", "0.3 m", "most"),
        )),
        Form("lines", "voltage", columns=(
            Column("up to", "the voltage up to which the row holds", "voltage", "0.01 kV", "2000 kV", "50 kV", "50 kV"),
            _length("at work", "the distance any part keeps at work", "15 ft", "5 m", "least"),
            _length("on the move", "the distance on the move, with no load and all let down", "10 ft", "3 m", "least"),
        ), may_be_blank=frozenset({"on the move"}), each="voltage, the lowest first"),
        Form("berms", "what", rows=(
            Column("of the height of the axle", "height of the berm as a share of the middle of the largest axle", "fraction", "10%", "300%", "100%", "100%"),
        )),
        Form("brakes", "loaded truck", columns=(
            Column("from", "the weight from which the row holds", "mass", "0 lb", "2000000 lb", "40000 lb", "20 t"),
            Column("brakes bite after", "the time the brakes need", "time", "0.1 s", "4 s", "1 s", "1 s"),
            Column("hold", "what they hold, as a share of the weight", "factor", "0.05", "0.8", "0.3", "0.3", limit="most"),
        ), each="weight of a loaded truck, the lightest first"),
        Form("tie-downs", "what", rows=(
            Column("all together of the weight", "", "fraction", "10%", "400%", "50%", "50%"),
            Column("counted of each", "what counts of a tie-down that runs from the trailer to the machine", "fraction", "10%", "100%", "50%", "50%"),
            Column("tie-downs at least", "", "count", "1", "20", "4", "4"),
        )),
        Form("roads", "what", rows=(
            Column("all together", "weight in all that needs no permit", "mass", "2000 lb", "400000 lb", "80000 lb", "40 t", limit="most"),
            _length("truck and load", "width that needs no permit", "102 in", "2.55 m", "most"),
        )),
        Form("heat", "what", rows=(
            *(Column(f"{who} on day {day}", "share of the shift in the heat at most", "fraction", "1%", "100%", "20%", "20%")
              for who in ("new", "back") for day in range(1, 6)),
            Column("a cup", "", "liquid", "2 fl oz", "32 fl oz", "8 fl oz", "240 mL"),
            Column("from one cup to the next", "", "time", "5 min", "2 h", "15 min", "15 min"),
            Column("never more than", "water in an hour", "liquid_rate", "5 fl oz/h", "100 fl oz/h", "48 fl oz/h", "1.4 L/h", limit="most"),
        )),
    )
}  # fmt: skip
assert tuple(FORMS) == tuple(TOPICS)


@dataclass
class OwnRules:
    """What FOLDER/rules gives: the set, the tables made of it by id, and what is wrong with it."""

    rules: Rules
    tables: dict[str, Table] = field(default_factory=dict)
    logs: list[Log] = field(default_factory=list)


def read_rules(folder: Path, name: Name, us: bool) -> OwnRules:
    """The rules of a site. Of ``us-federal`` and ``none`` nothing is read; mistakes go to the logs."""
    found = OwnRules(Rules(name))
    if name != "own":
        return found
    own: dict[str, OwnRule] = {}
    lacking: dict[str, tuple[str, ...]] = {}
    place = folder / FOLDER
    there = sorted(p.name for p in place.iterdir() if p.is_file()) if place.is_dir() else []
    log = Log("settings.yml")
    found.logs.append(log)
    for file in there:
        if not file.startswith((".", "~$")) and file.removesuffix(".csv") not in FORMS:
            log.add(None, "rules", f"{FOLDER}/{file[:60]} is no table of rules",
                    suggest(file, [f"{t}.csv" for t in FORMS], f"the tables are {', '.join(f'{t}.csv' for t in FORMS)}"))  # fmt: skip
    if not any(f"{t}.csv" in there for t in FORMS):
        log.add(None, "rules", "rules: own, and the folder rules holds no table",
                "start with those of 'seatwork new FOLDER --rules own', or write rules: none", Severity.UNREADABLE)  # fmt: skip
    for form in FORMS.values():
        if f"{form.topic}.csv" not in there:
            continue
        one = Log(form.file)
        found.logs.append(one)
        text = read_text(folder, form.file, f"the rules on {TOPICS[form.topic]}", one)
        if text is not None:
            _read(text, form, us, one, own, found.tables, lacking)
    found.rules = Rules(name, own, found.tables, lacking)
    return found


def _read(
    text: str, form: Form, us: bool, log: Log, own: dict[str, OwnRule], tables: dict[str, Table], lacking: dict[str, tuple[str, ...]]
) -> None:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    said: dict[str, str] = {}
    at: dict[str, int] = {}
    for i, row in enumerate(lines):
        if row.lstrip('" ').startswith("#"):
            match = _NOTE.fullmatch(row)
            if match is not None and match[1] in HEAD:
                at[match[1]] = i + 1
                said[match[1]] = " ".join(match[2].replace('""', '"').split())
            lines[i] = ""
    for key, meaning in HEAD.items():
        if not said.get(key):
            log.add(at.get(key, 1), None, f"does not say {meaning}", f"write it behind '# {key}:' above the heading", Severity.HEADINGS)
        elif len(said[key]) > 200 or "<" in said[key] or ">" in said[key]:
            log.add(at[key], None, f"{key} is longer than 200 letters, or holds < or >", "shorten it to plain words")
    known = (form.key, "figure", *(c.name.replace(" ", "_") for c in form.columns))
    grid = from_csv("\n".join(lines), log, known)
    if grid is None:
        return
    figures = _figures(grid, form, us, log)
    if not log.problems and form.rows and not any(figures.values()):
        log.add(grid.header.line, None, "the rule gives no figure at all",
                f"keep {form.file} somewhere else, and the handbook gives no figure on all of it", Severity.HEADINGS)  # fmt: skip
    if log.problems:
        return
    rule = OwnRule(form.topic, said["title"], said["place"], said["answers"])
    own[form.topic] = rule
    if blank := tuple(name for name, row in figures.items() if form.rows and not row):
        lacking[form.topic] = blank
    tables.update(_tables(form, rule, {name: row for name, row in figures.items() if row}, us))


Figures = dict[str, dict[str, Quantity]]  # by row and column


def _figures(grid: Grid, form: Form, us: bool, log: Log) -> Figures:
    wanted = ("figure",) if form.rows else tuple(c.name for c in form.columns)
    heads = [heading(h) for h in grid.header.cells]
    names = [h[0].replace("_", " ") for h in heads]
    at: dict[str, int] = {}
    for name in (form.key, *wanted):
        if name in names:
            at[name] = names.index(name)
        else:
            log.add(
                grid.header.line, None, f"there is no column '{name}'", f"write the headings {', '.join(form.heads(us))}", Severity.HEADINGS
            )
    if len(at) <= len(wanted):
        return {}
    found: Figures = {}
    lines: dict[str, int] = {}
    by_row = {c.name: c for c in form.rows}
    for row in grid.rows:
        name = " ".join(_cell(row, at[form.key]).split())
        if form.rows and name not in by_row:
            log.add(row.line, None, f"'{name[:60]}' is no row of this table", suggest(name, by_row, f"its rows are {', '.join(by_row)}"))
            continue
        if not name or "." in name or len(name) > 60:
            log.add(row.line, None, f"'{name[:60]}' cannot name a row", "write a few words without dots")
            continue
        if name in found:
            log.add(row.line, None, f"two rows are called '{name}'", "keep one")
            continue
        found[name], lines[name] = {}, row.line
        for column in [by_row[name]] if form.rows else form.columns:
            head = "figure" if form.rows else column.name
            text = _cell(row, at[head])
            if not text or (form.rows and text.casefold() == NO_FIGURE):
                if not text and head not in form.may_be_blank:
                    log.add(row.line, name, f"{'the row' if form.rows else column.name} has no figure",
                            f"fill in what the rule says, such as {column.us if us else column.metric}{f'; {_WITHOUT}' if form.rows else ''}",
                            Severity.HEADINGS)  # fmt: skip
                continue
            try:
                unit = cells.header_unit(heads[at[head]][1] or "", column) if heads[at[head]][1] else None
                found[name][head] = cells.quantity(text, column, unit, comma_decimals=grid.comma_decimals)
            except BadCell as e:
                log.add(row.line, head, e.what, e.fix)
    missing = [c.name for c in form.rows if c.name not in found]
    for name in missing:
        log.add(grid.header.line, None, f"there is no row '{name}'", f"add it with the figure of the rule; {_WITHOUT}", Severity.HEADINGS)
    _entry_before_design(found, lines, log)
    if not form.rows and not found:
        log.add(grid.header.line, None, "has no rows", f"write one for each {form.each}, as the rule has them", Severity.HEADINGS)
    if not form.rows:
        _in_order(found, lines, form, log)
    return found


# nobody must have to make a figure up to get a handbook
NO_FIGURE = "none"
_WITHOUT = f"if it gives none, write {NO_FIGURE}, and the handbook gives no figure on it"


def _entry_before_design(figures: Figures, lines: Mapping[str, int], log: Log) -> None:
    """A trench is protected before it is so deep that an engineer designs it: 12 m in place of 1,2 m must not pass."""
    first, then = "protection needed from this depth", "engineer designs past this depth"
    low, high = (figures.get(name, {}).get("figure") for name in (first, then))
    if low is not None and high is not None and low.si > high.si * (1 + 1e-9):
        log.add(lines[first], first, f"{low} is deeper than '{then}' ({high})", "check both figures, and where the decimal comma stands")


def _in_order(figures: Figures, lines: Mapping[str, int], form: Form, log: Log) -> None:
    """That rows go up by their first figure: which row holds for a truck, a line or ground nobody has named is told by its place."""
    by = form.columns[0]
    given = [(name, row[by.name].si) for name, row in figures.items() if by.name in row]
    for (above, low), (name, figure) in pairwise(given):
        if figure < low * (1 - 1e-9) or (by.kind != "ratio" and figure <= low * (1 + 1e-9)):  # two soils may lie back alike
            log.add(lines[name], by.name, f"'{name}' does not come behind '{above}'", f"write a row for each {form.each}")


def _cell(row: GridRow, index: int) -> str:
    try:
        return cells.clean(row.cells[index]) if index < len(row.cells) else ""
    except BadCell:
        return row.cells[index][:60]


def _told(value: Quantity) -> Cell:
    figure = float(value.figure)
    return Cell(f"{trimmed(Decimal(str(value.figure))):f}", figure, figure)


def _tables(form: Form, rule: OwnRule, figures: Figures, us: bool) -> dict[str, Table]:
    """The tables made of a file: as it stands, and under the ids of the published ones whose places it takes."""
    source = f"own-{form.topic}"

    def table(
        id_: str, columns: tuple[str, ...], rows: Mapping[str, Mapping[str, Cell | None]], units: Mapping[str, str], **more: object
    ) -> Table:
        note = said("{who} answers for it.", who=rule.answers)
        return Table(id_, rule.title, source, rule.place, "read", columns, units, rows, note, **more)  # type: ignore[arg-type]

    if form.rows:
        cells_of = {name: _told(row["figure"]) for name, row in figures.items()}
        units = {name: row["figure"].unit for name, row in figures.items()}
        limits = {c.name: c.limit for c in form.rows if c.limit}
        made = {source: table(source, ("figure",), {n: {"figure": c} for n, c in cells_of.items()}, {}, row_units=units, limits=limits)}

        def part(id_: str, columns: tuple[str, ...], rows: Mapping[str, str]) -> None:
            """A published table's rows and columns with these figures; ``rows`` are its rows by the site's."""
            rows = {name: of for name, of in rows.items() if of in cells_of}
            made[id_] = table(id_, (), {name: dict.fromkeys(columns, cells_of[of]) for name, of in rows.items()}, {},
                              row_units={name: units[of] for name, of in rows.items()},
                              limits={name: limits[of] for name, of in rows.items() if of in limits})  # fmt: skip

        if form.topic == "trench-entry":
            part("excavation-rules", ("feet", "metres", "inches"), {n: n for n in cells_of if n != "ladder above the edge at least"})
            part("trench-ladders", ("feet", "metres"), {"ladder above the edge at least": "ladder above the edge at least"})
        elif form.topic == "roads":
            part("road-weights", ("most",), {"all together": "all together"})
            part("road-width", ("most",), {"truck and load": "truck and load"})
        elif form.topic == "heat":
            has = {name: row["figure"] for name, row in figures.items()}
            days: dict[str, dict[str, Cell | None]] = {
                f"day {d}": {who: _percent(has[name]) if (name := f"{who} on day {d}") in has else None for who in ("new", "back")}
                for d in range(1, 6)
            }
            made["heat-first-days"] = table("heat-first-days", (), days, {"new": "%", "back": "%"})
            cup, most = (_in_unit(has[n], u) if n in has else None for n, u in (("a cup", CUP[us]), ("never more than", MOST[us])))
            every, unit = cells_of.get("from one cup to the next"), units.get("from one cup to the next", "min")
            drink: dict[str, dict[str, Cell | None]] = {
                "drink": {"cup": cup, "from": every, "to": every}, "never more than": {"most": most},
            }  # fmt: skip
            made["heat-water"] = table("heat-water", (), drink, {"cup": CUP[us], "from": unit, "to": unit, "most": MOST[us]})
        return made
    columns: dict[str, str] = {}
    rows: dict[str, dict[str, Cell | None]] = {name: {} for name in figures}
    for column in form.columns:
        given = [row[column.name] for row in figures.values() if column.name in row]
        if not given:
            continue
        columns[column.name] = given[0].unit
        for name, row in figures.items():
            value = row.get(column.name)
            if value is None and column.name == "on the move":  # the distance for work holds there too
                value = row["at work"]
            rows[name][column.name] = _in_unit(value, columns[column.name]) if value is not None else None
    if form.topic == "lines" and "on the move" not in columns:
        columns["on the move"] = columns["at work"]
        for row_cells in rows.values():
            row_cells["on the move"] = row_cells["at work"]
    id_ = {"trench-walls": "excavation-slopes", "brakes": "haul-brake-test"}.get(form.topic, source)
    limits = {c.name: c.limit for c in form.columns if c.limit}
    return {id_: table(id_, tuple(columns), rows, columns, limits=limits)}


def _in_unit(value: Quantity, unit: str) -> Cell:
    if value.unit == unit:
        return _told(value)
    from generator.units.table import from_si

    figure = float(f"{from_si(value.si, unit, value.kind):.6g}")
    return Cell(f"{figure:g}", figure, figure)


def _percent(value: Quantity) -> Cell:
    figure = float(f"{value.si * 100:.6g}")
    return Cell(f"{figure:g}", figure, figure)


CUP, MOST = {True: "fl oz", False: "mL"}, {True: "fl oz/h", False: "L/h"}  # the units water is told in, US customary or metric
OF_TRUCKS = ("berms", "brakes")


def skeleton(us: bool, *, trucks: bool = True) -> dict[str, str]:
    """The files of a new site's own rules, to be filled in: headings, and the rows that are asked for, without a figure."""
    files = {}
    for form in FORMS.values():
        if form.topic in OF_TRUCKS and not trucks:
            continue
        rows = [f"# {key}:" for key in HEAD] + [",".join(form.heads(us))]
        rows += [f"{c.name}," for c in form.rows]
        files[form.file] = "\n".join(rows) + "\n"
    return files
