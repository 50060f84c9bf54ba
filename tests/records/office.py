"""A small site's office: what is handed in day by day, and how things stand. All invented."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from generator.jobsite.reader import read
from generator.records.desk import OWN_TABLES, Desk, open_desk
from generator.records.readiness import MachineLine, PersonLine, Readiness, Standing, readiness
from generator.records.tally import Tally
from tests.records.small import a_result, put

HEADS = {
    "signoffs.csv": "crew,lesson,machine,date,mentor", "hours.csv": "person,machine,date,hours,mentor,task,slope",
    "talks.csv": "date,sheet,leader,crew", "retrain.csv": "person,lesson,from,why", "corrections.csv": "entry,says,by,why",
    "mentors.csv": "id,name,machines,from,until",
}  # fmt: skip

ALL_PASS = ("bench-height", "truck-match")
"""The lessons of a loader."""


def noon(day: str) -> datetime:
    return datetime.combine(date.fromisoformat(day), datetime.min.time(), UTC).replace(hour=12)


class Office:
    """Tables are written, taken in on a day, and looked at as of a day."""

    def __init__(self, site: Path) -> None:
        self.site = site
        self.tally = Tally()

    def write(self, name: str, *rows: str) -> None:
        """A table with its headings, in place of the last."""
        (self.site / name).write_text("\n".join((HEADS[name], *rows)) + "\n", "utf-8")

    def crew(self, *rows: str, heads: str = "id,name,role,machines,start,left,former_id,role_from") -> None:
        (self.site / "crew.csv").write_text("\n".join((heads, *rows)) + "\n", "utf-8")

    def settings(self, old: str, new: str) -> None:
        path = self.site / "settings.yml"
        text = path.read_text("utf-8")
        assert text.count(old) == 1, old
        path.write_text(text.replace(old, new), "utf-8")

    def rules(self, text: str) -> None:
        self.settings("\nroles:\n", f"\nrecords:\n{text}\nroles:\n")

    def result(self, name: str, **more: Any) -> dict[str, Any]:
        file: dict[str, Any] = a_result(self.site, **more)
        put(self.site, f"{name}.json", file)
        return file

    def hand_in(self, name: str, file: Any) -> None:
        put(self.site, f"{name}.json", json.dumps(file))

    def take_in(self, day: str) -> Desk:
        """Everything there is is taken in on a day."""
        site = read(self.site)
        given = [self.site / "results", *(self.site / t for t in OWN_TABLES)]
        with open_desk(site, write=True) as desk:
            desk.take_in([p for p in given if p.exists()], noon(day))
            desk.settle(noon(day))
            _, self.tally = desk.on(noon(day))
            return desk

    def on(self, day: str, *, leavers: bool = False) -> Readiness:
        """How things stand as of a day, from the register alone."""
        with open_desk(read(self.site), write=False) as desk:
            site, self.tally = desk.on(noon(day), leavers=leavers)
            return readiness(site, self.tally, date.fromisoformat(day), desk.rows.head())

    def person(self, crew: str, day: str, **more: Any) -> PersonLine:
        return next(p for p in self.on(day, **more).people if p.person.id == crew)

    def standing(self, day: str, crew: str = "P-01", lesson: str = "bench-height") -> Standing:
        return self.person(crew, day).standings[lesson]

    def machine(self, day: str, crew: str, machine: str) -> MachineLine:
        return next(m for m in self.person(crew, day).machines if m.machine == machine)

    @property
    def flags(self) -> dict[str, str]:
        """What is said of each place, by the flag's name."""
        return {f.name: f.what for f in self.tally.flags}

    @property
    def rows(self) -> dict[str, int]:
        """The rows of what is flagged, by the flag's name."""
        return {f.name: f.row for f in self.tally.flags if f.row is not None}


def trained(office: Office, crew: str = "P-01", machine: str = "E-2", day: str = "2026-03-20", mentor: str = "M. Orozco") -> None:
    """The person has passed both lessons, and a mentor has signed both."""
    for i in ALL_PASS:
        office.result(f"{crew}-{i}", crew=crew, lesson=i)
    office.write("signoffs.csv", *(f"{crew},{i},{machine},{day},{mentor}" for i in ALL_PASS))


def ready(office: Office, day: str, crew: str = "P-01", machine: str = "E-2") -> bool:
    """Whether the person is ready for seat time on the machine."""
    return office.machine(day, crew, machine).ready
