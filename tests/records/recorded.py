"""A person with everything that a record can hold, for the tests of records. All invented."""

from __future__ import annotations

import dataclasses
from datetime import date
from pathlib import Path

from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.flags import Flag
from generator.records.readiness import Readiness, readiness
from generator.records.signoffs import SignOff
from generator.records.told import Correction, Hours, Retrain, Talk
from tests.records.small import NOW, a_result, put, small_site, tallied

NAMES = {"~1": "Rene Delacroix", "M-2": "Ada Quist"}
CHAIN = "9f3a1c" + "0" * 58
ORDER = Retrain("P-01", "truck-match", date(2026, 4, 20), "incident", 40)


def site_of(folder: Path) -> JobSite:
    """The small site with what its records name: contractor, number, place."""
    site = read(small_site(folder))
    rules = dataclasses.replace(
        site.settings.records, contractor="Quarrel Earthworks", site_number="00-12345", place="the pad beside the workshop"
    )
    return dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))


def recorded(folder: Path) -> Readiness:
    """P-01 passed both lessons, the first on paper's terms twice, was signed, sat, heard talks, had an incident.

    P-02 told a lesson by a short code and failed the other, P-03 has taken nothing.
    """
    made = site_of(folder)
    results = made.folder
    put(results, "a.json", a_result(results, "P-01"))
    put(results, "b.json", a_result(results, "P-01", days=20))
    put(results, "c.json", a_result(results, "P-01", "truck-match", (True, True, True, True, False)))
    put(results, "d.json", a_result(results, "P-02", days=1))
    put(results, "e.json", a_result(results, "P-02", "truck-match", (False, True, False, True, False)))
    done = tallied(results, NOW)
    done.marked = [
        dataclasses.replace(m, entry=i, told=m.result.crew == "P-02" and m.lesson.id == "bench-height")
        for i, m in enumerate(done.marked, 11)
    ]
    done.signoffs = [
        SignOff(
            "P-01", "bench-height", "E-2", date(2026, 4, 2), "M-2", "excavator", "to 60,000 lb", "wet clay, light rain", 2.5, "S-7", 21
        ),
        SignOff("P-01", "truck-match", "E-2", date(2026, 4, 2), "M-2", "excavator", "to 60,000 lb", "wet clay, light rain", 2.5, "S-7", 22),
        SignOff("P-01", "bench-height", "E-1", date(2026, 4, 9), "~1", "excavator", "to 90,000 lb", "dry", None, "", 23),
    ]
    done.hours = [
        Hours("P-01", "E-2", "excavator", date(2026, 4, 3), 4.5, "M-2", "benching", False, 31),
        Hours("P-01", "E-2", "excavator", date(2026, 4, 4), 3.0, "M-2", "loading trucks", True, 32),
        Hours("P-01", "E-2", "excavator", date(2026, 4, 5), 6.0, "", "benching", True, 33),
        Hours("P-02", "E-2", "excavator", date(2026, 4, 5), 8.0, "M-2", "benching", True, 34),
    ]
    done.talks = [
        Talk("P-01", "bench-height", "T-14", "M-2", date(2026, 3, 30), 35),
        Talk("P-02", "bench-height", "T-14", "M-2", date(2026, 3, 30), 36),
        Talk("P-01", "", "T-99", "", date(2026, 4, 13), 37),
    ]
    done.orders = [ORDER, Retrain("P-01", "", date(2026, 3, 1), "long away", 39)]
    done.corrections = [
        Correction(12, "", "void", "M-2", "typed under the wrong id", date(2026, 4, 21), 41),
        Correction(None, "P-01", "same person", "M-2", "married", date(2026, 4, 22), 42),
        Correction(34, "", "void", "M-2", "the machine stood that day", date(2026, 4, 22), 44),
        Correction(99, "", "void", "M-2", "of nobody here", date(2026, 4, 22), 43),
    ]
    done.held = [done.marked[1]]
    done.flags.append(Flag("x.json:1", "copied", "the same try", "ask again", "P-01", "bench-height"))
    r = readiness(made, done)
    people = list(r.people)
    first = people[0]
    standings = dict(first.standings)
    standings["bench-height"] = dataclasses.replace(standings["bench-height"], until=date(2026, 6, 15), due=True)
    standings["truck-match"] = dataclasses.replace(
        standings["truck-match"], state="train again", ordered=ORDER, failed_since=date(2026, 4, 25)
    )
    machines = tuple(
        dataclasses.replace(
            m, machine_class="to 60,000 lb", alone=("32.5 h under a mentor",), gaps=(("truck-match", "train again", "train again"),)
        )
        for m in first.machines
    )
    person = dataclasses.replace(first.person, former_id="P-90", role_from=date(2026, 3, 9))
    role = dataclasses.replace(first.role, hours=40.0, slope_hours=8.0)
    people[0] = dataclasses.replace(first, person=person, role=role, standings=standings, machines=machines)
    crew = tuple(person if p.id == "P-01" else p for p in made.crew)
    return dataclasses.replace(r, site=dataclasses.replace(made, crew=crew), people=tuple(people), day=NOW.date(), row=(43, CHAIN))
