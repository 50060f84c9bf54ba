"""A first job site to start from: small, commented, and plainly made of placeholders.

The tables and the text of ``settings.yml`` lie in ``content/starter``. The lines of its limits
and figures are written here from ``columns``, which knows what each means and gives an example
of it in both unit systems, so that the starter never lacks a figure that a lesson asks for.
"""

from __future__ import annotations

import csv
import io
import string
import textwrap
from collections.abc import Iterable, Mapping
from pathlib import Path

from generator.jobsite.columns import JOB, LIMITS, NOBODY, RETIRED, TABLES, Column
from generator.jobsite.grid import heading
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
    "pipe_inside": "only where a pipe is laid",
    "pipe_wall": "only where a pipe is laid",
    "bedding": "only where a pipe is laid",
    "box_rating": "only where the box's own data gives it",
}

# what fits the starter's own machines better than the example of the column
_INSTEAD: Mapping[str, tuple[str, str]] = {
    "decided_by": (NOBODY, NOBODY),
    "decided_on": ("2026-01-05", "2026-01-05"),
    "line_height": ("40 ft", "12 m"),
    "spoil_setback": ("2 ft", "1 m"),
    "slot_depth": ("3 ft", "0.9 m"),
    "measured_load": ("22 ton", "20 t"),
    "scale_shown": ("21 ton", "19 t"),
}
_NOTE = 34  # where the notes stand


def starter_files(content: Path, units: System, *, workbook: bool = False) -> dict[str, bytes]:
    """The files of a new job site by name. ``content`` is the folder of the shipped content.

    With ``workbook`` the tables are the sheets of one ``site.xlsx``. Raises OSError.
    """
    place = content / FOLDER
    template = string.Template((place / "settings.yml").read_text("utf-8"))
    settings = template.substitute(
        units=units.ljust(6),
        dates="month first" if units == "us" else "day first  ",
        paper="letter" if units == "us" else "a4    ",
        class_end="40000 lb" if units == "us" else "18 t",
        limits="\n".join(_lines(LIMITS, units)),
        job="\n".join(_lines(JOB, units)),
    )
    files = {"settings.yml": settings.encode()}
    tables = {t.file: (place / units / t.file).read_text("utf-8") for t in TABLES}
    if workbook:
        from generator.jobsite.workbook import workbook_bytes

        rows = {name.removesuffix(".csv"): list(csv.reader(io.StringIO(text))) for name, text in tables.items()}
        return files | {WORKBOOK: workbook_bytes(rows, units)}
    # with a byte order mark a spreadsheet knows the letters, and keeps them when it saves
    return files | {name: text.encode("utf-8-sig") for name, text in tables.items()}


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


def _lines(columns: Iterable[Column], units: System) -> Iterable[str]:
    """A line for each figure: its name, its placeholder and, as a note, what it means."""
    for column in columns:
        if columns is JOB and column.name in RETIRED:
            continue
        if columns is JOB and column.name in _GROUPS:
            if column is not JOB[0]:
                yield ""
            yield f"  # {_GROUPS[column.name]}"
        us, metric = placeholder(column)
        value = us if units == "us" else metric
        if column.kind == "ratio":
            value = f'"{value}"'
        meaning = column.meaning
        if column.options:
            meaning += f": {', '.join(column.options)}"
        line = f"  {column.name}: {value}"
        if (columns is JOB or not column.is_quantity) and not column.needed_for:
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
        with (folder / name).open("xb") as f:  # never over what another program just wrote
            f.write(data)
