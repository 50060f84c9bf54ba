"""Those on foot, and those whose role teaches nothing about working their machine. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
from datetime import date
from pathlib import Path

import pytest

from generator.jobsite.model import JobSite, works
from generator.jobsite.reader import read
from generator.records.flags import Refused
from generator.records.readiness_page import page
from generator.records.report import files, terminal
from generator.records.signoffs import SignOff, read_signoff
from generator.source.problem import Refusals
from tests.records.small import small_site
from tests.records.test_ready import done, lesson, of


@pytest.fixture
def site(tmp_path: Path) -> JobSite:
    return read(small_site(tmp_path / "site"))


def role(site: JobSite, **changed: object) -> JobSite:
    """The site with another role of the driver's, P-03."""
    made = dataclasses.replace(site.settings.roles["driver"], **changed)  # type: ignore[arg-type]
    return dataclasses.replace(site, settings=dataclasses.replace(site.settings, roles={**site.settings.roles, "driver": made}))


def test_sums_about_a_machine_make_nobody_fit_to_work_it(site: JobSite) -> None:
    marked = [done("P-03", of=lesson("truck-match", about="any"))]
    signed = [SignOff("P-03", "truck-match", "T-1", date(2026, 3, 12), "m")]
    r = of(role(site, lessons=("truck-match",)), marked, signed)
    driver = next(p for p in r.people if p.person.id == "P-03")
    assert [m.missing for m in driver.machines] == [("working a truck: no lesson about it in the role",)]
    assert not driver.machines[0].ready
    assert "<b>no lesson</b>: working a truck" in page(r)
    assert any("working a truck: no lesson" in line for line in terminal(r))
    assert "working a truck: no lesson about it in the role" in files(r)["people.csv"]


@pytest.mark.parametrize(
    ("about", "kind", "fits"),
    [("truck", "truck", True), ("any", "truck", False), ("excavator", "truck", False), ("excavator", "compact excavator", True),
     ("compact excavator", "excavator", False), ("dozer", "dozer", True), ("excavator", "dozer", False)],
)  # fmt: skip
def test_which_lesson_is_about_working_which_machine(about: str, kind: str, fits: bool) -> None:
    assert works(about, kind) is fits


def test_on_foot_one_is_ready_without_a_machine(site: JobSite) -> None:
    crew = tuple(dataclasses.replace(p, machines=()) if p.id == "P-03" else p for p in site.crew)
    foot = dataclasses.replace(role(site, machines=(), on_foot=True, lessons=("truck-match", "bench-height")), crew=crew)
    book = lesson("truck-match", about="any")
    half = next(p for p in of(foot, [done("P-03", of=book)], []).people if p.person.id == "P-03")
    assert [(m.machine, m.ready, [g[0] for g in m.gaps]) for m in half.machines] == [("on foot", False, ["truck-match", "bench-height"])]
    signed = [SignOff("P-03", i, "on foot", date(2026, 3, 12), "m") for i in ("truck-match", "bench-height")]
    r = of(foot, [done("P-03", of=book), done("P-03")], signed)
    whole = next(p for p in r.people if p.person.id == "P-03")
    assert [(m.machine, m.state) for m in whole.machines] == [("on foot", "ready")]
    assert "<b>1 of 3</b> people are ready" in page(r)


@pytest.mark.parametrize("machine", ["", "on foot", "On Foot", "none"])
def test_a_sign_off_on_foot_names_no_machine(site: JobSite, machine: str) -> None:
    foot = role(site, machines=(), on_foot=True)
    row = {"crew": "P-03", "lesson": "truck-match", "machine": machine, "date": "2026-03-12", "mentor": "mo"}
    made = signed_by(foot, row)
    assert made is not None and made.machine == "on foot"


def test_who_runs_a_machine_names_it(site: JobSite) -> None:
    row = {"crew": "P-03", "lesson": "truck-match", "machine": "on foot", "date": "2026-03-12", "mentor": "mo"}
    with pytest.raises(Refused, match="no machine 'on foot' in the tables"):
        signed_by(site, row)


def signed_by(site: JobSite, row: dict[str, str]) -> SignOff | None:
    people, kinds = {p.id: p.name for p in site.crew}, {m.id: m.kind for m in (*site.machines, *site.trucks)}
    return read_signoff(row, site, people, kinds, {"truck-match"}, date(2026, 5, 1), str, kinds)[0]


def test_a_role_on_foot_is_read(tmp_path: Path) -> None:
    folder = small_site(tmp_path / "site")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    assert text.count("machines: [truck]") == 1
    settings.write_text(text.replace("machines: [truck]", "machines: [on foot]"), "utf-8")
    crew = folder / "crew.csv"
    crew.write_text(crew.read_text("utf-8").replace("T-1", ""), "utf-8")
    found = read(folder).settings.roles["driver"]
    assert found.on_foot and found.machines == ()
    settings.write_text(text.replace("machines: [truck]", "machines: [on foot, truck]"), "utf-8")
    with pytest.raises(Refusals) as e:
        read(folder)
    assert any("a role on foot runs no machine" in p.what for p in e.value.problems)
