"""Broken job sites: the demo with one small edit each.

What the reader must say of each, to the letter, stands in ``said.txt``: the wording is the
program's own interface. A line of settings.yml stands there as its text in braces.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Broken:
    """One edit: ``old`` (once in ``file``) becomes ``new``, or ``do`` does something else."""

    id: str
    file: str
    old: str
    new: str
    do: Callable[[Path], object] | None = None

    def apply(self, folder: Path) -> None:
        """Break the copy of the demo in ``folder``."""
        path = folder / self.file
        if self.do is not None:
            self.do(path)
            return
        text = path.read_text("utf-8")
        assert text.count(self.old) >= 1, f"{self.old!r} is not in {self.file}"
        path.write_text(text.replace(self.old, self.new, 1), "utf-8")


def _set(file: str, line: int, column: str, value: str) -> Callable[[Path], object]:
    """Put ``value`` into the cell of ``column`` in ``line`` (the heading is line 1)."""

    def do(path: Path) -> None:
        lines = path.read_text("utf-8").split("\n")
        names = [re.sub(r" \[.*", "", n) for n in lines[0].split(",")]
        cells = lines[line - 1].split(",")
        cells[names.index(column)] = value
        lines[line - 1] = ",".join(cells)
        path.write_text("\n".join(lines), "utf-8")

    return do


def cell(id: str, file: str, line: int, column: str, value: str) -> Broken:
    """A broken cell."""
    return Broken(id, file, "", "", _set(file, line, column, value))


def edit(id: str, file: str, old: str, new: str) -> Broken:
    """A broken text."""
    return Broken(id, file, old, new)


def deed(id: str, file: str, do: Callable[[Path], object]) -> Broken:
    """A file done something to."""
    return Broken(id, file, "", "", do)


def _recode(encoding: str) -> Callable[[Path], object]:
    return lambda path: path.write_bytes(path.read_text("utf-8").encode(encoding))


def _drop_column(name: str) -> Callable[[Path], object]:
    def do(path: Path) -> None:
        lines = path.read_text("utf-8").rstrip("\n").split("\n")
        index = [re.sub(r" \[.*", "", n) for n in lines[0].split(",")].index(name)
        kept = [",".join(c for i, c in enumerate(line.split(",")) if i != index) for line in lines]
        path.write_text("\n".join(kept) + "\n", "utf-8")

    return do


def _to_directory(path: Path) -> None:
    path.unlink()
    path.mkdir()


def _two_ways_date(path: Path) -> None:
    settings = path.with_name("settings.yml")
    text = settings.read_text("utf-8")
    settings.write_text(re.sub(r"(?m)^dates:.*\n", "", text), "utf-8")
    path.write_text(path.read_text("utf-8").replace("2024-05-06", "5/6/2024", 1), "utf-8")


def _rows(change: Callable[[list[list[str]]], list[list[str]]]) -> Callable[[Path], object]:
    """The table with its rows changed."""

    def do(path: Path) -> None:
        rows = [line.split(",") for line in path.read_text("utf-8").rstrip("\n").split("\n")]
        path.write_text("\n".join(",".join(row) for row in change(rows)) + "\n", "utf-8")

    return do


def _units_below(rows: list[list[str]]) -> list[list[str]]:
    bare = [re.sub(r" \[.*", "", h) for h in rows[0]]
    return [bare, [h.partition("[")[2].rstrip("]") for h in rows[0]], *rows[1:]]


def _changes(*pairs: tuple[str, str]) -> Callable[[Path], object]:
    """Several edits of one file."""

    def do(path: Path) -> None:
        for old, new in pairs:
            text = path.read_text("utf-8")
            assert text.count(old) == 1, old
            path.write_text(text.replace(old, new), "utf-8")

    return do


def _lessons_as_text(role: str) -> Callable[[Path], object]:
    """The list of lessons of a role becomes the bare name of its first."""

    def do(path: Path) -> None:
        text = path.read_text("utf-8")
        pattern = rf"(?m)^(  {role}:\n(?:    .*\n)*?    lessons:)\n      - (.*)\n(?:      - .*\n)+"
        text, times = re.subn(pattern, r"\1 \2\n", text)
        assert times == 1, role
        path.write_text(text, "utf-8")

    return do


def _placeholders(path: Path) -> None:
    _changes(("invented: true", "invented: false"))(path)
    trucks = path.with_name("trucks.csv")
    trucks.write_text(re.sub(r"(?m),[^,\n]*$", ",Placeholder: ours to come", trucks.read_text("utf-8")).replace(
        "Placeholder: ours to come", "note", 1), "utf-8")  # fmt: skip


def _link_out(path: Path) -> None:
    outside = path.parent.parent / "outside.csv"
    path.rename(outside)
    path.symlink_to(outside)


def expected() -> dict[str, tuple[str, ...]]:
    """The lines of every broken site by its id, from ``said.txt``."""
    found: dict[str, tuple[str, ...]] = {}
    text = Path(__file__).with_name("said.txt").read_text("utf-8")
    for block in text.split("## ")[1:]:
        id_, *lines = block.rstrip().split("\n")
        assert id_ not in found, f"{id_} stands twice"
        found[id_] = tuple(lines)
    return found


M, T, G, C, S = "machines.csv", "trucks.csv", "materials.csv", "crew.csv", "settings.yml"

SITES: list[Broken] = [
    # --- files ---
    deed("no-file", T, Path.unlink),
    deed("misnamed", M, lambda p: p.rename(p.with_name("machine.csv"))),
    deed("wrong-case", M, lambda p: p.rename(p.with_name("Machines.CSV"))),
    deed("workbook-beside", T, lambda p: p.rename(p.with_name("trucks.xlsx"))),
    deed("settings-other-ending", S, lambda p: p.rename(p.with_name("settings.yaml"))),
    deed("utf-16-cut-off", C, lambda p: p.write_bytes(p.read_text("utf-8").encode("utf-16")[:-1])),
    deed("utf-16-no-mark", C, _recode("utf-16-le")),
    deed("utf-32", C, _recode("utf-32")),
    deed("other-spreadsheet", T, lambda p: p.rename(p.with_name("site.ods"))),
    deed("other-spreadsheet-same-name", T, lambda p: p.rename(p.with_name("trucks.ods"))),
    deed("cp1252", C, lambda p: p.write_bytes(p.read_bytes().replace(b"Ines", b"In\xe9s"))),
    deed("workbook-renamed", T, lambda p: p.write_bytes(b"PK\x03\x04 and so on")),
    deed("empty", G, lambda p: p.write_text("")),
    deed("empty-settings", S, lambda p: p.write_text("# nothing yet\n")),
    deed(
        "heading-only",
        T,
        lambda p: p.write_text(p.read_text("utf-8").split("\n")[0] + "\n"),
    ),
    deed("a-folder", T, _to_directory),
    deed("link-out", T, _link_out),
    deed("too-many-rows", T, lambda p: p.write_text(p.read_text("utf-8") + "x,\n" * 20001)),
    deed("too-large", T, lambda p: p.write_text(p.read_text("utf-8") + "\n" * 8_000_001)),
    edit("open-quote", G, "common-earth,common", 'common-earth,"common'),
    edit("quote-inside", T, "T-2 Small haul truck", '"T-2" Small haul truck'),
    # --- headings ---
    edit("misspelt-column", M, "blade_height [ft]", "blade_hieght [ft]"),
    edit("unknown-column", T, ",note", ",colour"),
    edit("kind-renamed", M, "id,name,kind", "id,name,maker"),
    deed("column-gone", M, _drop_column("stick_length")),
    deed("id-gone", T, _drop_column("id")),
    edit("column-twice", T, "body_width [ft],overall_width [ft]", "body_width [ft],body_width [ft]"),
    edit("unit-of-another-kind", M, "mass [lb]", "mass [ft]"),
    edit("unknown-unit", M, "stick_length [ft]", "stick_length [cubits]"),
    edit("no-unit", M, "push_speed [mph]", "push_speed"),
    edit("unit-on-a-name", G, "id,name,", "id,name [ft],"),
    edit("bank-for-loose", T, "body_volume [yd3]", "body_volume [bcy]"),
    edit(
        "value-without-heading",
        T,
        "T-1 Middle haul truck,30,25,25,2.9,18,9.5,10.2,9.2,8.6,5.5,7.9,21,34,14,guarded,articulated,,",
        "T-1 Middle haul truck,30,25,25,2.9,18,9.5,10.2,9.2,8.6,5.5,7.9,21,34,14,guarded,articulated,,,7",
    ),
    edit("gap-in-heading", T, "axle_height [ft]", ""),
    edit("row-above-heading", T, "id,name,payload", "T-9,T-9 Haul truck,30\nid,name,payload"),
    edit("heading-of-another-name", M, "mass [lb]", "weight [lb]"),
    edit("unit-without-brackets", M, "mass [lb]", "mass in lb"),
    edit("unit-with-half-a-bracket", M, "stick_length [ft]", "stick length [ft"),
    deed("no-heading", T, _rows(lambda rows: rows[1:])),
    deed("on-its-side", T, _rows(lambda rows: [list(column) for column in zip(*rows, strict=True)])),
    deed("units-in-a-row-below", M, _rows(_units_below)),
    deed("note-below", M, _rows(lambda rows: [*rows, ["* from the data sheets of March"]])),
    deed("row-of-sums", T, _rows(lambda rows: [*rows, ["", "All", "100"]])),
    edit("thousands-comma-bare", M, "D-1,D-1 Middle dozer,dozer,45000", "D-1,D-1 Middle dozer,dozer,45,000"),
    edit("decimal-comma-bare", M, "D-1,D-1 Middle dozer,dozer,45000,6.5,", "D-1,D-1 Middle dozer,dozer,45000,6,5,"),
    deed("separated-by-bars", G, lambda p: p.write_text(p.read_text("utf-8").replace(",", "|"))),
    # --- cells ---
    cell("blank", M, 2, "mass", ""),
    cell("blank-name", G, 3, "name", ""),
    cell("blank-role", C, 3, "role", ""),
    cell("not-a-number", M, 6, "stick_length", "long"),
    cell("out-of-range", M, 3, "mass", "45"),
    cell("above-range", G, 2, "repose", "88"),
    cell("share-in-percent-column", G, 2, "swell", "0.25"),
    cell("wrong-unit-in-cell", M, 2, "blade_width", "12 lb"),
    cell("space-in-number", M, 2, "mass", "45 000"),
    cell("comma-decimal", M, 2, "cg_height", '"3,2"'),
    cell("feet-and-inches", M, 2, "blade_width", "12 ft 6 in"),
    cell("feet-and-inches-marks", M, 2, "blade_width", "12’ 4”"),
    cell("feet-and-inches-parts", M, 6, "stick_length", "10' 3 3/4\""),
    cell("fraction", M, 7, "bucket_capacity", "1 1/2"),
    cell("fraction-one-letter", M, 7, "bucket_capacity", "1½ cu yd"),
    cell("fraction-third", M, 7, "bucket_capacity", "1 1/3"),
    cell("fraction-alone", M, 7, "bucket_capacity", "3/4"),
    cell("two-figures", M, 6, "stick_length", "10-12"),
    cell("quote-mark-before", M, 6, "stick_length", "'10"),
    cell("thousands-mark-above", M, 2, "mass", "45’000"),
    cell("thin-space", M, 2, "mass", "45\u2009000"),
    cell("either-ton", T, 2, "payload", "30 T"),
    cell("swell-factor", G, 2, "swell", "1.25"),
    cell("shrinkage-factor", G, 2, "shrinkage", "0.9"),
    cell("fill-factor", G, 2, "fill", "1.05"),
    cell("formula", M, 2, "mass", "=SUM(D3:D4)"),
    cell("formula-in-name", C, 2, "name", "+cmd|' /C calc'!A0"),
    cell("formula-at", C, 4, "note", "@SUM(1)"),
    cell("formula-minus", T, 3, "note", "-A1"),
    cell("formula-wide", T, 3, "note", "＝A1"),
    cell("sheet-error", M, 2, "cg_height", "#REF!"),
    cell("too-narrow", M, 2, "mass", "########"),
    cell("clock", G, 2, "repose", "4:01:00"),
    cell("huge-exponent", M, 2, "mass", "1e-99999"),
    cell("too-long", T, 3, "note", "x" * 2001),
    cell("line-break", T, 3, "note", '"two\nlines"'),
    cell("control", T, 3, "note", "be\x07ll"),
    cell("reordering-mark", C, 3, "name", "Tom\u202eevil"),
    cell("bad-kind", M, 2, "kind", "bulldozer"),
    cell("kind-also-called", M, 9, "kind", "mini-excavator"),
    cell("far-kind", M, 2, "kind", "grader"),
    cell("bad-soil", G, 3, "soil_type", "D"),
    cell("slipped", M, 2, "bucket_capacity", "1.5"),
    cell("bad-id", M, 4, "id", "../D 3"),
    cell("id-twice", M, 5, "id", "D-3"),
    cell("id-case", M, 5, "id", "d-3"),
    cell("name-twice", T, 3, "name", "T-1 middle haul truck"),
    cell("id-in-both", T, 5, "id", "D-4"),
    cell("no-date", C, 4, "start", "soon"),
    cell("short-year", C, 4, "start", "3/14/26"),
    deed("date-two-ways", C, _two_ways_date),
    cell("day-not-there", C, 4, "start", "2026-02-30"),
    # --- figures that contradict each other ---
    cell("kilograms-as-pounds", M, 7, "mass", "400000"),
    cell("feet-as-inches", M, 2, "shoe_width", "24 ft"),
    cell("gauges-swapped", M, 9, "gauge_narrow", "4"),
    cell("too-narrow-overall", M, 3, "overall_width", "6"),
    cell("depth-over-reach", M, 8, "max_digging_depth", "28"),
    cell("load-over-blade", M, 2, "blade_load", "15"),
    cell("light-payload", T, 2, "payload", "3"),
    # --- references ---
    cell("no-such-machine", C, 2, "machines", "D-1 D-9"),
    cell("machine-dash", C, 2, "machines", "D–1"),
    cell("machines-and", C, 2, "machines", "D-1 and D-2"),
    cell("machine-case", C, 2, "machines", "d-1"),
    cell("machine-twice", C, 2, "machines", "D-1 D-1"),
    cell("role-does-not-run-it", C, 2, "machines", "D-1 E-1"),
    cell("no-such-role", C, 2, "role", "dozer operator"),
    edit("lead-unknown", S, "dozer: D-1", "dozer: D-11"),
    edit("lead-other-kind", S, "excavator: E-2", "excavator: D-2"),
    edit("lesson-unknown", S, "      - slot-front-to-back\n", "      - slot-front-to-bak\n"),
    deed(
        "role-without-machines",
        M,
        lambda p: p.write_text("\n".join(line for line in p.read_text("utf-8").split("\n") if not line.startswith("C-"))),
    ),
    edit("slot-too-narrow", S, "slot_width: 12 ft", "slot_width: 11 ft"),
    edit("slot-too-deep", S, "slot_depth: 3 ft", "slot_depth: 5 ft"),
    edit("worn-out", S, "wear_measured: 2 in", "wear_measured: 1 in"),
    edit("over-the-side-slope", S, "working_side_slope: 10%", "working_side_slope: 20%"),
    edit("higher-than-the-bench", S, "face_height: 10 ft", "face_height: 4 m"),
    # --- settings ---
    edit("yaml-tab", S, "  key: juniper-bench", "\tkey: juniper-bench"),
    edit("yaml-colon", S, "note: An invented site.", "note: Beware: an invented site."),
    edit("yaml-no-blank-behind-colon", S, "slot_length: 150 ft", "slot_length:150 ft"),
    edit("yaml-equals", S, "slot_length: 150 ft", "slot_length = 150 ft"),
    edit("yaml-no-blank-behind-hyphen", S, "      - slot-front-to-back\n", "      -slot-front-to-back\n"),
    edit("yaml-dash", S, "      - slot-front-to-back\n", "      – slot-front-to-back\n"),
    edit("yaml-other-blank", S, "  slot_length: 150 ft", "\u00a0\u00a0slot_length: 150 ft"),
    edit("yaml-other-blank-behind-colon", S, "slot_length: 150 ft", "slot_length:\u00a0150 ft"),
    edit("yaml-too-far-in", S, "  slot_length: 150 ft", "   slot_length: 150 ft"),
    edit("yaml-too-far-out", S, "  slot_length: 150 ft", "slot_length: 150 ft"),
    edit("yaml-quotes", S, "name: Juniper Bench Cut and Fill", "name: 'Juniper's Bench'"),
    edit("yaml-colon-in-a-list", S, "  ask_first:\n", "  ask_first:\n    - Beware: the ground is wet.\n"),
    edit("ratio-turned", S, 'spoil_ratio: "3:1"', 'spoil_ratio: "1:3"'),
    edit("ratio-in-words", S, 'spoil_ratio: "3:1"', "spoil_ratio: 3 to 1"),
    edit("yaml-anchor", S, "key: juniper-bench", "key: &k juniper-bench"),
    edit("yaml-tag", S, "key: juniper-bench", "key: !!python/name:os.system juniper"),
    edit("yaml-deep", S, "key: juniper-bench", "key: " + "[" * 40 + "]" * 40),
    edit("yaml-second-document", S, "edition: 2026-1", "---\nedition: 2026-1"),
    edit("yaml-control", S, "juniper-bench", "juniper\x01bench"),
    edit("yaml-twice", S, "units: us ", "units: us\nunits: us "),
    edit("setting-unknown", S, "passing_mark: 80%", "pasing_mark: 80%"),
    edit("setting-gone", S, "edition: 2026-1\n", ""),
    edit("language-in-words", S, "units: us ", "language: Spanish\nunits: us "),
    edit("language-cut-short", S, "units: us ", "language: esp\nunits: us "),
    edit("language-by-its-first-letters", S, "units: us ", "languages: [en, sp]\nunits: us "),
    edit("language-without-words", S, "units: us ", "languages: [en, xx]\nunits: us "),
    edit("languages-twice", S, "units: us ", "languages: [es, ES]\nunits: us "),
    edit("languages-none", S, "units: us ", "languages: []\nunits: us "),
    edit("languages-as-one", S, "units: us ", "languages: en, es\nunits: us "),
    edit("language-and-languages", S, "units: us ", "language: es\nlanguages: [en, es]\nunits: us "),
    deed(
        "language-of-a-person",
        C,
        _rows(lambda rows: [[*row, *(["language"] if n == 0 else ["Spanish"] * (n == 1))] for n, row in enumerate(rows)]),
    ),
    edit("units-unknown", S, "units: us ", "units: imperial "),
    edit("passing-mark-low", S, "passing_mark: 80%", "passing_mark: 8%"),
    edit("passing-mark-bare", S, "passing_mark: 80%", "passing_mark: 80"),
    edit("quiz-draw-few", S, "sheets:\n", "quiz:\n  draw: 3\n\nsheets:\n"),
    edit("quiz-draw-half", S, "sheets:\n", "quiz: {draw: 7.5}\n\nsheets:\n"),
    edit("quiz-draw-key", S, "sheets:\n", "quiz: {drow: 8}\n\nsheets:\n"),
    edit("key-path", S, "key: juniper-bench", "key: ../../etc/site"),
    edit("paper", S, "paper: letter", "paper: legal"),
    edit("value-list", S, "name: Juniper Bench Cut and Fill", "name: [Juniper, Bench]"),
    edit("section-is-a-value", S, "sheets:\n  paper: letter ", "sheets: letter "),
    edit("no-roles", S, "roles:\n", "roles: []\nnoroles:\n"),
    edit("role-key", S, "    title: Dozer operator\n", "    titel: Dozer operator\n"),
    edit("role-machine", S, "machines: [truck]", "machines: [lorry]"),
    deed("role-lessons-text", S, _lessons_as_text("truck-driver")),
    edit("job-unknown", S, "slot_length: 150 ft", "slot_lenght: 150 ft"),
    edit("job-gone", S, "  trench_depth: 6 ft\n", ""),
    edit("job-no-unit", S, "slot_length: 150 ft", "slot_length: 150"),
    edit("job-bare-grade", S, "main_fall: 3%", "main_fall: 0.5"),
    edit("job-share", S, "carry: 85%", "carry: 85"),
    edit("job-section-is-a-value", S, "job:\n", "job: none\nrest:\n"),
    edit("job-blank", S, "slot_length: 150 ft", "slot_length:"),
    edit("job-range", S, "slot_length: 150 ft", "slot_length: 150 mi"),
    edit("job-half-a-truck", S, "trucks: 4", "trucks: 4.5"),
    edit("job-soil", S, "trench_soil_type: C", "trench_soil_type: hard"),
    edit("limits-nobody", S, "  decided_by: R. Calloway, site superintendent\n", ""),
    edit("limits-steep", S, "side_slope: 15%", "side_slope: 45deg"),
    edit("limits-no-ask", S, "  ask_first:\n", "  ask_never:\n"),
    edit("line-clearance", S, "line_clearance: 20 ft", "line_clearance: 3 ft"),
    edit("line-clearance-under-the-rules", S, "line_clearance: 20 ft", "line_clearance: 14 ft"),
    # 6 m is a hair less than 20 ft
    deed(
        "line-clearance-rounded-down",
        S,
        _changes(("line_voltage: 115 kV", "line_voltage: 345 kV"), ("line_clearance: 20 ft", "line_clearance: 6 m")),
    ),
    edit("line-voltage-past-the-tables", S, "line_voltage: 115 kV", "line_voltage: 1100 kV"),
    edit("spoil-ramp-over-the-limit", S, 'spoil_ratio: "3:1"', 'spoil_ratio: "2:1"'),
    deed("nobody-set-the-limits", S, _changes(("invented: true", "invented: false"), ("R. Calloway, site superintendent", "Nobody yet"))),
    deed("placeholders-left", S, _placeholders),
    edit("yaml-key-on", S, "sheets:\n", "on: yes\nsheets:\n"),
    edit("yaml-key-no-in-job", S, "  trucks: 4\n", "  trucks: 4\n  no: 4\n"),
    edit("yaml-yes-for-units", S, "units: us ", "units: yes "),
    edit("yaml-on-for-invented", S, "invented: true", "invented: on"),
    edit("yaml-merge-key", S, "  trucks: 4\n", "  trucks: 4\n  <<: {loaders: 2}\n"),
    edit("yaml-laughs", S, "site:\n", "a: &a [x, x]\nb: [*a, *a, *a]\nsite:\n"),
]
