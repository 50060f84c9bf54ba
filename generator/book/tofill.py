"""The table of sign-offs to fill in: a row for each person and lesson, with all in it that the build knows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.book.content import Content
from generator.book.lesson import in_order
from generator.book.signoff import RoleSheets
from generator.jobsite.columns import CREW, ON_FOOT
from generator.jobsite.fillin import workbook_to_fill_in
from generator.jobsite.model import JobSite
from generator.jobsite.spreadsheet import csv_text

HEADS = ("crew", "name", "lesson", "title", "machine", "date", "mentor", "conditions", "hours", "sheet")
TO_FILL_IN = "to-fill-in"
SHEET = "sign-offs"
MOST = 10_000  # rows of a file: what is read again has no more than twice as many


def has_workbook(site: JobSite) -> bool:
    """Whether the site's tables are the sheets of a workbook, so that a table to fill in is one as well."""
    return ".xlsx" in site.table(CREW.file).lower()


def tables_to_fill_in(content: Content, site: JobSite, sheets: Mapping[str, RoleSheets]) -> dict[str, str | bytes]:
    """The files by name: CSV, and a workbook where the site has one. ``sheets`` are by the role's id.

    A site of very many people has several of each.
    """
    rows = list(_rows(content, site, sheets))
    machines = [
        *(m.id for m in (*site.machines, *site.trucks)),
        *([ON_FOOT] if any(r.on_foot for r in site.settings.roles.values()) else []),
    ]
    lists = {"lesson": list(content.lessons), "machine": machines, "mentor": [m.id for m in site.mentors or ()]}
    made: dict[str, str | bytes] = {}
    for first in range(0, max(len(rows), 1), MOST):
        name = TO_FILL_IN + (f"-{first // MOST + 1}" if first else "")
        some = rows[first : first + MOST]
        made[f"{name}.csv"] = csv_text(HEADS, some)
        if has_workbook(site):
            made[f"{name}.xlsx"] = workbook_to_fill_in(SHEET, HEADS, some, lists, days=("date",))
    return made


def _rows(content: Content, site: JobSite, sheets: Mapping[str, RoleSheets]) -> Iterator[tuple[str, ...]]:
    for person in site.crew:
        role = site.settings.roles.get(person.role)
        if role is None or person.left is not None:
            continue
        machine = ON_FOOT if role.on_foot else ""
        for i in in_order((i for i in role.lessons if i in content.lessons), content.lessons):
            yield person.id, person.name, i, content.lessons[i].title, machine, "", "", "", "", sheets[role.id].sheet_of(i)
