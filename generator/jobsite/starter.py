"""A first job site to start from: small, commented, and plainly made of placeholders.

The tables and the text of ``settings.yml`` lie in ``content/starter``. The lines of its limits
and figures are written here from ``columns``, which knows what each means and gives an example
of it in both unit systems, so that the starter never lacks a figure that a lesson asks for.
"""

from __future__ import annotations

import csv
import io
import re
import string
import textwrap
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from generator.calc.rules import US_FEDERAL, Name
from generator.jobsite.columns import (
    COMPACT,
    DOZER,
    EXCAVATOR,
    JOB,
    LIMITS,
    MACHINES,
    MATERIALS,
    NOBODY,
    PLACEHOLDER,
    RETIRED,
    SOIL_TYPES,
    TABLES,
    TRUCK,
    TRUCKS,
    Column,
)
from generator.jobsite.grid import heading
from generator.jobsite.rules import skeleton
from generator.source.problem import Refusal
from generator.units.table import System

FOLDER = "starter"
WORKBOOK = "site.xlsx"

# the first figure of each group, and what stands above it
_GROUPS: Mapping[str, str] = {
    "working_minutes": "hours",
    "fuel_gauge": "the day: fuel, parking, heat and hours",
    "rise": "grades",
    "cut_volume": "volumes",
    "slot_length": "slot dozing",
    "strip_area": "stripping and ripping",
    "drift_distance": "drift",
    "face_height": "bench loading",
    "trucks": "hauling",
    "measured_load": "payload",
    "slope_height": "slopes",
    "trench_bottom_width": "trench",
    "fill_length": "placing and compacting",
    "benchmark": "levels",
    "line_voltage": "power lines and buried lines",
    "hauler_mass": "moving a machine on a trailer",
    "lift_load": "lifting with the bucket",
    "wear_new": "wear",
    "gate_width": "compact excavators",
}

# a figure here goes before what the example would otherwise take from a published table
_ONLY_IF = {
    "open_carry": "only if you have measured it",
    "material_state": "only if the ground is none of the usual",
    "sight": "only if the sight is not good",
    "cohesion": "only from an engineer",
    "friction_angle": "only from an engineer",
    "unit_weight": "only from an engineer",
    "safety_factor": "only from an engineer",
    "windrow_height": "only where no truck runs",
    "pipe_inside": "only where a pipe is laid",
    "pipe_wall": "only where a pipe is laid",
    "bedding": "only where a pipe is laid",
    "box_rating": "only where the box's own data gives it",
}

# what fits the starter's own machines better than the example of the column
_INSTEAD: Mapping[str, tuple[str, str]] = {
    "decided_by": (NOBODY, NOBODY),
    "emergency": (f'"{PLACEHOLDER} whom to call first, and where helpers are met"',) * 2,
    "decided_on": ("2026-01-05", "2026-01-05"),
    "line_height": ("40 ft", "12 m"),
    "spoil_setback": ("2 ft", "1 m"),
    "slot_depth": ("3 ft", "0.9 m"),
    "measured_load": ("22 ton", "20 t"),
    "scale_shown": ("21 ton", "19 t"),
}
_NOTE = 34  # where the notes stand

LIKE: Mapping[str, tuple[str, ...]] = {
    "dozing": (DOZER,),
    "loading": (EXCAVATOR, TRUCK),
    "trenching": (EXCAVATOR,),
    "compact": (COMPACT,),
}
"""The kinds of work a new job site can be made for, each with what runs in it."""

# the work that a lesson belongs to, where not all of it; a lesson of no work needs a table that no starter has
_OF_WORK: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(
        ("bench-height", "standing-on-the-bench", "truck-match", "loading-order", "payload-tally", "under-the-bucket",
         "what-the-screen-tells"), ("loading",)
    ),
    **dict.fromkeys(("trench-to-grade", "trench-walls", "found-a-line"), ("trenching", "compact")),
    "trench-boxes": ("trenching",),
    "lifting-with-the-bucket": (),
}  # fmt: skip
# and the ground that not all work is in
_CLASS_END = {DOZER: ("40000 lb", "18 t"), EXCAVATOR: ("60000 lb", "27 t"), COMPACT: ("4000 lb", "1.8 t")}
_GROUND_OF_WORK: Mapping[str, tuple[str, ...]] = {"topsoil": ("dozing",), "sand-gravel": ("loading", "trenching", "compact")}
# figures that a compact excavator can work with where it is the only one that digs
_FOR_COMPACT: Mapping[str, tuple[str, str]] = {
    "edge_distance": ("2 ft", "0.7 m"),
    "pad_room": ("1.5 ft", "0.5 m"),
    "trench_bottom_width": ("1.5 ft", "0.45 m"),
    "trench_depth": ("3 ft", "0.9 m"),
    "trench_length": ("60 ft", "18 m"),
    "surface_elevation": ("514.5 ft", "156.8 m"),
    "first_run_depth": ("1.5 ft", "0.5 m"),
    "pipe_inside": ("4 in", "100 mm"),
    "pipe_wall": ("0.25 in", "6 mm"),
    "lines_apart": ("8 ft", "2.5 m"),
    "sweep_force": ("900 lbf", "4 kN"),
    "sweep_reach": ("9 ft", "2.7 m"),
}

# and on the trailer that it is moved on, where nothing larger is
_ON_A_SMALL_TRAILER: Mapping[str, tuple[str, str]] = {
    "hauler_mass": ("8000 lb", "3.5 t"),
    "trailer_mass": ("3000 lb", "1.3 t"),
    "deck_height": ("1.8 ft", "0.55 m"),
    "ramp_length": ("7 ft", "2.2 m"),
    "trailer_base": ("12 ft", "3.7 m"),
    "machine_place": ("10.5 ft", "3.2 m"),
    "axles_empty": ("2600 lb", "1.1 t"),
    "axles_allowed": ("9000 lb", "4 t"),
    "tie_down_load": ("3300 lb", "1.5 t"),
}


@dataclass(frozen=True)
class Work:
    """What a new job site holds: all there is, or what some kinds of work need and nothing else.

    ``like`` are some of LIKE, none for all. ``content`` is the folder of the shipped content.
    """

    content: Path
    like: tuple[str, ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of machine there are, trucks among them, in the order of the tables."""
        run = {kind for name in self.like or LIKE for kind in LIKE[name]}
        return tuple(k for k in (DOZER, EXCAVATOR, COMPACT, TRUCK) if k in run)

    def teaches(self, lesson: str) -> bool:
        """Whether its roles have this lesson."""
        return not self.like or any(name in self.like for name in _OF_WORK.get(lesson, self.like))

    def roles(self, text: str) -> str:
        """The roles of the whole starter, without those that run what is not there, and without lessons of other work."""
        if not self.like:
            return text
        kept = []
        for role in re.split(r"(?m)^(?=  [a-z-]+:)", text):
            runs = re.search(r"machines: \[([a-z ]+)\]", role)
            if runs is None or runs[1] in {*self.kinds, "on foot"}:
                kept.append(re.sub(r"(?m)^ {6}- ([a-z-]+)\n", lambda m: m[0] if self.teaches(m[1]) else "", role))
        return "".join(kept)

    @cached_property
    def lessons(self) -> frozenset[str]:
        """The lessons of its roles."""
        return frozenset(re.findall(r"(?m)^ {6}- ([a-z-]+)$", self.roles((self.content / FOLDER / "settings.yml").read_text("utf-8"))))

    @cached_property
    def _named(self) -> frozenset[str]:
        """The figures that its lessons and their questions name: ``job.rise``."""
        files = [self.content / "lessons" / f"{i}.md" for i in self.lessons] + [
            self.content / "questions" / f"{i}.yml" for i in self.lessons
        ]
        return frozenset(name for path in files for name in re.findall(r"\b(?:job|limits)\.\w+", path.read_text("utf-8")))

    def needs(self, column: Column, block: str) -> bool:
        """Whether a limit or a figure of the job is one that this work needs."""
        if not self.like or "*" in column.needed_for or column.name in {"call", "emergency"}:
            return True
        return bool(column.fits & self.lessons) or (not column.needed_for and f"{block}.{column.name}" in self._named)

    def placeholder(self, column: Column) -> tuple[str, str]:
        """What it holds for a figure, in US and in metric units."""
        digs = self.like and COMPACT in self.kinds and EXCAVATOR not in self.kinds
        small = {**(_FOR_COMPACT if digs else {}), **(_ON_A_SMALL_TRAILER if self.kinds == (COMPACT,) else {})}
        return small.get(column.name, placeholder(column))

    def table(self, file: str, text: str) -> str:
        """A table without the rows, and then the columns, of what is not there."""
        rows = list(csv.reader(io.StringIO(text)))
        if not self.like:
            return text
        head, *body = rows
        if file == MACHINES.file:
            body = [row for row in body if row[head.index("kind")] in self.kinds]
        elif file == MATERIALS.file:
            body = [row for row in body if any(n in self.like for n in _GROUND_OF_WORK.get(row[0], self.like))]
        elif file != TRUCKS.file:
            roles = self.roles((self.content / FOLDER / "settings.yml").read_text("utf-8"))
            body = [row for row in body if f"\n  {row[head.index('role')]}:" in roles]
        used = [i for i in range(len(head)) if any(row[i] for row in body)]
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows([row[i] for i in used] for row in (head, *body))
        return out.getvalue()


def starter_files(
    content: Path, units: System, *, workbook: bool = False, like: Collection[str] = (), rules: Name = US_FEDERAL
) -> dict[str, bytes]:
    """The files of a new job site by name. ``content`` is the folder of the shipped content.

    With ``workbook`` the tables are the sheets of one ``site.xlsx``. ``like`` are kinds of work, of LIKE: what they do
    without is left out. With rules of its own it has the tables of them, to be filled in. Raises OSError.
    """
    place = content / FOLDER
    work = Work(content, tuple(name for name in LIKE if name in like))
    template = string.Template(_for_work((place / "settings.yml").read_text("utf-8"), work))
    settings = template.substitute(
        units=units.ljust(6),
        rules=(f"rules: {rules}" if rules != US_FEDERAL else "# rules: own").ljust(_NOTE),
        dates="month first" if units == "us" else "day first  ",
        paper="letter" if units == "us" else "a4    ",
        class_end=_CLASS_END[work.kinds[0]][0 if units == "us" else 1],
        limits="\n".join(_lines(LIMITS, units, work)),
        job="\n".join(_lines(JOB, units, work)),
    )
    files = {"settings.yml": (_without_soils(settings) if rules == "none" else settings).encode()}
    if rules == "own":
        files |= {name: text.encode("utf-8-sig") for name, text in skeleton(units == "us", trucks=TRUCK in work.kinds).items()}
    tables = {
        t.file: work.table(t.file, (place / units / t.file).read_text("utf-8"))
        for t in TABLES if t is not TRUCKS or TRUCK in work.kinds
    }  # fmt: skip
    if workbook:
        from generator.jobsite.workbook import workbook_bytes

        rows = {name.removesuffix(".csv"): list(csv.reader(io.StringIO(text))) for name, text in tables.items()}
        return files | {WORKBOOK: workbook_bytes(rows, units)}
    # with a byte order mark a spreadsheet knows the letters, and keeps them when it saves
    return files | {name: text.encode("utf-8-sig") for name, text in tables.items()}


def _without_soils(settings: str) -> str:
    """The settings without the soil types, which no rule of the site classes."""
    names = "|".join(c.name for c in JOB if c.options == SOIL_TYPES)
    return re.sub(rf"(?m)^(?:  # soil type [^\n]*\n)*  (?:{names}): [^\n]*\n", "", settings)


def placeholder(column: Column) -> tuple[str, str]:
    """What a new job site holds for a limit or a figure of the job, in US and in metric units."""
    return _INSTEAD.get(column.name, (column.us, column.metric or column.us))


def placeholder_rows(content: Path) -> dict[str, tuple[dict[str, str], ...]]:
    """The rows of a new job site's tables in both unit systems, by file.

    A row has its cells by the names of the columns, with the unit of the heading: ``10 ft``.
    Raises OSError.
    """
    found: dict[str, tuple[dict[str, str], ...]] = {}
    for table in TABLES:
        rows = []
        for units in ("us", "metric"):
            text = (content / FOLDER / units / table.file).read_text("utf-8")
            for row in csv.DictReader(io.StringIO(text)):
                cells = {}
                for head, cell in row.items():
                    name, unit = heading(head)
                    cells[name] = f"{cell} {unit or ''}".strip() if cell else ""
                rows.append(cells)
        found[table.file] = tuple(rows)
    return found


def _for_work(text: str, work: Work) -> str:
    """The text of the settings, without what is about other work."""
    if not work.like:
        return text
    head, rest = text.split("\nroles:\n")
    roles, rest = rest.split("\n# Your site's own limits")
    there = [k for k in (DOZER, EXCAVATOR, COMPACT, TRUCK) if k in work.kinds]
    for kind in (DOZER, EXCAVATOR, COMPACT, TRUCK):
        if kind not in there:
            head = re.sub(rf"(?m)^  {kind}: .-1\n", "", head)
    first = there[0]
    head = head.replace("dozer; truck; on foot", f"{'; '.join(there[:2])}; on foot")
    if first != DOZER:
        short = first.split()[0]
        head = head.replace("small-dozer, kind: dozer", f"small-{short}, kind: {first}").replace(
            "large-dozer, kind: dozer", f"large-{short}, kind: {first}"
        )
    if TRUCK not in there:
        head = head.replace(" (a truck: payload)", "").replace("retired (machines, trucks)", "retired (machines)")
    if "trench-walls" not in work.lessons:
        head = head.replace("trench-walls: {valid", "side-slope-limits: {valid")
        rest = rest.replace("    - Anyone has to go into a trench.\n", "")
    if not {EXCAVATOR, COMPACT} & set(there):
        rest = re.sub(r" What the lift charts in.*?leaves it out\.", "", rest, flags=re.DOTALL)
    else:
        rest = rest.replace(
            " A site that lifts nothing leaves it out.",
            " Then give the role the\n# lesson lifting-with-the-bucket. A site that lifts nothing leaves both out.",
        )
    return f"{head}\nroles:\n{work.roles(roles)}\n# Your site's own limits{rest}"


def _lines(columns: Sequence[Column], units: System, work: Work) -> Iterable[str]:
    """A line for each figure: its name, its placeholder and, as a note, what it means."""
    group = ""
    for column in columns:
        if columns is JOB and column.name in RETIRED:
            continue
        if columns is JOB and column.name in _GROUPS:
            group = f"  # {_GROUPS[column.name]}"
        if not work.needs(column, "job" if columns is JOB else "limits"):
            continue
        if columns is JOB and group:
            if group != f"  # {_GROUPS[JOB[0].name]}":
                yield ""
            yield group
            group = ""
        us, metric = work.placeholder(column)
        value = us if units == "us" else metric
        if column.kind == "ratio":
            value = f'"{value}"'
        meaning = column.meaning
        if column.options:
            meaning += f": {', '.join(column.options)}"
        line = f"  {column.name}: {value}"
        stands = column.name == "emergency" or (column.name == "windrow_height" and TRUCK not in work.kinds)
        if (columns is JOB or not column.is_quantity) and not column.needed_for and not stands:
            line = f"  # {column.name}: {value}"
        if column.name in _ONLY_IF:
            meaning = f"{_ONLY_IF[column.name]}; {meaning}"
        if len(line) > _NOTE - 1 or len(meaning) > 64:
            yield from (f"  # {part}" for part in textwrap.wrap(meaning, 94))
            yield line
        else:
            yield f"{line.ljust(_NOTE)}# {meaning}"


class NotEmpty(Refusal):
    """The folder for a new job site holds something, or is none."""

    code = "not-empty"


def write_starter(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` into ``folder``, which is made, or must be empty. Raises NotEmpty or OSError."""
    try:
        folder.mkdir(parents=True)
    except FileExistsError:
        if not folder.is_dir():
            raise NotEmpty("there is a file of that name", "choose another folder", file=str(folder)) from None
        if any(folder.iterdir()):
            raise NotEmpty(
                "the folder is not empty", "name a new or an empty folder, so that nothing is overwritten", file=str(folder)
            ) from None
    for name, data in files.items():
        (folder / name).parent.mkdir(exist_ok=True)
        with (folder / name).open("xb") as f:  # never over what another program just wrote
            f.write(data)
