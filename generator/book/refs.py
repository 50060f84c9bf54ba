"""What a lesson may refer to, checked before anything is worked: names with the nearest one there is."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any

from generator.calc.tables import Table
from generator.jobsite.columns import JOB_BY_NAME, LIMITS_BY_NAME, MACHINES, MATERIALS, TRUCKS
from generator.source.near import suggest
from generator.working.numbers import LARGEST

_COLUMNS = {"machine": MACHINES, "truck": TRUCKS, "material": MATERIALS}
_SETTINGS: Mapping[str, Mapping[str, Any]] = {"job": JOB_BY_NAME, "limits": LIMITS_BY_NAME}
HEADS = (*_COLUMNS, *_SETTINGS, LARGEST, "table")


def wrong_reference(ref: str, numbers: Collection[str], tables: Mapping[str, Table]) -> tuple[str, str] | None:
    """What is wrong with a reference and what to do; None where it can be followed."""
    head, dot, rest = ref.partition(".")
    if head in numbers:
        return None
    shown = ref[:60]
    if head in _COLUMNS:
        form = _COLUMNS[head]
        names = [c.name for c in (*form.columns, *form.taken) if c.is_quantity or c.kind == "choice"]
        if rest in names:
            return None
        return f"{form.file} has no column '{rest[:60]}' ('{shown}')", suggest(rest, names, f"its columns are {', '.join(names)}")
    if head == LARGEST:
        named = [c.name for c in TRUCKS.columns if c.is_quantity]
        column = rest.removeprefix("truck.")
        if column != rest and column in named:
            return None
        return f"'{shown}' is no largest figure of the trucks", suggest(column, named, "write largest.truck.COLUMN")
    if head == "limits" and re.fullmatch(r"own[.][a-z][a-z0-9_]*", rest):
        return None  # whether this site has it is told where it is looked up
    if head in _SETTINGS:
        names = list(_SETTINGS[head])
        if rest in names:
            return None
        return f"settings.yml has no {head}: {rest[:60]}", suggest(rest, names, f"use one of the figures under {head}:")
    if head == "table":
        return _wrong_cell(rest, tables)
    if not dot:
        return f"no number is called '{shown}'", suggest(ref, numbers, f"this lesson has {', '.join(numbers) or 'none'}")
    return (
        f"cannot read the reference '{shown}'",
        suggest(head, [*numbers, *HEADS], "write machine.COLUMN, truck.COLUMN, material.COLUMN, job.NAME, limits.NAME, "
                "table.ID.ROW.COLUMN or the name of a number"),
    )  # fmt: skip


def _wrong_cell(rest: str, tables: Mapping[str, Table]) -> tuple[str, str] | None:
    parts = rest.split(".")
    if len(parts) != 3:
        return f"'table.{rest[:60]}' is no place in a table", "write table.ID.ROW.COLUMN"
    id_, row, column = parts
    if id_ not in tables:
        return f"no published table is called '{id_[:60]}'", suggest(id_, tables, "see content/tables")
    table = tables[id_]
    if row not in table.rows:
        return f"table {id_} has no row '{row[:60]}'", suggest(row, table.rows, f"its rows are {', '.join(table.rows)}")
    if table.rows[row].get(column) is None:
        filled = [c for c in table.columns if table.rows[row].get(c) is not None]
        return f"table {id_} prints no '{column[:60]}' for {row}", suggest(column, filled, f"it prints {', '.join(filled)}")
    return None
