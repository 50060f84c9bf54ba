"""The site as it stood on a day: the day before a change and the day of it. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
from datetime import date
from typing import Any

import pytest

from generator.jobsite.model import JobSite, Mentor
from generator.jobsite.reader import read
from generator.records.roster import History, Signers, aliases, name_print, plain, site_on
from generator.register.entry import Entry
from tests.records.small import small_site


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    return read(small_site(tmp_path_factory.mktemp("past") / "site"))


PERSON: dict[str, Any] = {"role": "loader", "machines": ["E-2"], "start": "", "left": "", "former_id": "", "role_from": ""}
MACHINE: dict[str, Any] = {"name": "Old one", "kind": "excavator", "class": "excavator", "retired": ""}


def rows(*told: tuple[str, int, str, dict[str, Any]]) -> History:
    """Rows of (kind, day of March, id, what differs), in this order."""
    out = []
    for n, (kind, day, id_, body) in enumerate(told, 1):
        usual: dict[str, Any] = {"person": PERSON, "machine": MACHINE}.get(kind, {})
        at = f"2026-03-{day:02}"
        out.append(Entry(n, kind, at, "", f"{at}T12:00:00Z", "", "", "", "", None, {"id": id_, **usual, **body}, "", ""))  # type: ignore[arg-type]
    return History(out)


def on(site: JobSite, history: History, day: int, **more: Any) -> JobSite:
    return site_on(site, history, date(2026, 3, day), more.pop("names", {}), more.pop("days", {}), **more)


def with_person(site: JobSite, **changes: Any) -> JobSite:
    return dataclasses.replace(site, crew=tuple(dataclasses.replace(p, **changes) if p.id == "P-01" else p for p in site.crew))


def crew(site: JobSite) -> set[str]:
    return {p.id for p in site.crew}


@pytest.mark.parametrize(("day", "there"), [(9, False), (10, True), (19, True), (20, False)])
def test_one_of_the_crew_is_there_from_the_first_day_to_the_one_before_leaving(site: JobSite, day: int, there: bool) -> None:
    made = with_person(site, start=date(2026, 3, 10), left=date(2026, 3, 20))
    assert ("P-01" in crew(on(made, rows(), day))) is there
    assert ("P-01" in crew(on(made, rows(), day, leavers=True))) is (day >= 10)
    before = rows(("person", 1, "P-90", {}))
    known = with_person(site, start=date(2026, 3, 10), left=date(2026, 3, 20), former_id="P-90")
    assert ("P-01" in crew(on(known, before, day))) is (day < 20), "who had another id before was there before"


@pytest.mark.parametrize(("day", "there"), [(9, False), (10, True), (19, True), (20, False)])
def test_the_same_of_somebody_whose_row_is_gone_by_now(site: JobSite, day: int, there: bool) -> None:
    told = rows(("person", 5, "P-70", {"start": "2026-03-10", "left": "2026-03-20"}))
    assert ("P-70" in crew(on(site, told, day))) is there
    (found,) = [p for p in on(site, told, 25, leavers=True).crew if p.id == "P-70"]
    assert (found.start, found.left, found.role, found.machines) == (date(2026, 3, 10), date(2026, 3, 20), "loader", ("E-2",))


@pytest.mark.parametrize(("day", "there"), [(14, True), (15, False)])
def test_who_was_taken_out_of_the_table_left_on_the_day_that_was_seen(site: JobSite, day: int, there: bool) -> None:
    told = rows(("person", 5, "P-70", {}), ("person", 15, "P-70", {"gone": True}))
    assert ("P-70" in crew(on(site, told, day, names={"P-70": "Ned"}))) is there
    (found,) = [p for p in on(site, told, 20, leavers=True, names={"P-70": "Ned"}).crew if p.id == "P-70"]
    assert (found.name, found.left) == ("Ned", date(2026, 3, 15))


@pytest.mark.parametrize(("day", "role"), [(9, "loader"), (10, "driver"), (11, "driver")])
def test_a_role_is_had_from_its_first_day(site: JobSite, day: int, role: str) -> None:
    made = with_person(site, role="driver", role_from=date(2026, 3, 10), start=date(2026, 3, 2))
    told = rows(("person", 2, "P-01", {"machines": ["E-1"]}), ("person", 12, "P-01", {"role": "driver", "role_from": "2026-03-10"}))
    found = next(p for p in on(made, told, day).crew if p.id == "P-01")
    assert found.role == role and (found.machines == ("E-1",)) is (role == "loader")


@pytest.mark.parametrize(("day", "role"), [(3, "loader"), (11, "loader"), (12, "driver")])
def test_a_role_without_a_day_is_had_from_when_it_was_told(site: JobSite, day: int, role: str) -> None:
    told = rows(("person", 4, "P-70", {}), ("person", 12, "P-70", {"role": "driver"}))
    assert next(p for p in on(site, told, day).crew if p.id == "P-70").role == role


@pytest.mark.parametrize(("day", "there"), [(9, True), (10, False), (11, False)])
@pytest.mark.parametrize("id_", ["E-2", "T-1"])
def test_a_machine_is_there_until_the_day_before_it_is_retired(site: JobSite, id_: str, day: int, there: bool) -> None:
    def with_end(found: Any) -> Any:
        return tuple(dataclasses.replace(m, retired=date(2026, 3, 10)) if m.id == id_ else m for m in found)

    made = dataclasses.replace(site, machines=with_end(site.machines), trucks=with_end(site.trucks))
    here = on(made, rows(), day)
    assert (id_ in {m.id for m in (*here.machines, *here.trucks)}) is there


@pytest.mark.parametrize(("day", "there"), [(4, True), (9, True), (10, False)])
@pytest.mark.parametrize("kind", ["excavator", "truck"])
def test_the_same_of_a_machine_whose_row_is_gone(site: JobSite, kind: str, day: int, there: bool) -> None:
    retired = rows(("machine", 5, "X-9", {"kind": kind, "retired": "2026-03-10"}))
    gone = rows(("machine", 5, "X-9", {"kind": kind}), ("machine", 10, "X-9", {"kind": kind, "gone": True}))
    for told in (retired, gone):
        here = on(site, told, day)
        among = here.trucks if kind == "truck" else here.machines
        assert [(m.name, m.kind) for m in among if m.id == "X-9"] == ([("Old one", kind)] if there else [])
        assert "X-9" not in {m.id for m in (here.machines if kind == "truck" else here.trucks)}


@pytest.mark.parametrize(
    ("day", "edition"), [(1, "2026-1"), (2, "2025-1"), (4, "2025-1"), (5, "2025-2"), (9, "2025-2"), (10, "2026-1"), (11, "2026-1")]
)
def test_the_edition_is_the_last_one_built_by_then(site: JobSite, day: int, edition: str) -> None:
    """Before the first one the present one stands, for want of another."""
    days = {"2025-2": date(2026, 3, 5), "2025-1": date(2026, 3, 2), "2026-1": date(2026, 3, 10)}
    assert on(site, rows(), day, days=days).settings.edition == edition


def test_an_edition_whose_day_nobody_knows_stands_at_any_time(site: JobSite) -> None:
    assert on(site, rows(), 1, days={"2025-1": date(2026, 3, 2)}).settings.edition == "2026-1"


def test_ids_of_one_person_lead_to_the_last_of_them(site: JobSite) -> None:
    told = rows(("person", 1, "B", {"former_id": "A"}), ("person", 2, "C", {"former_id": "B"}), ("person", 3, "Y", {"former_id": "X"}),
                ("person", 4, "X", {"former_id": "Y"}))  # fmt: skip
    found = aliases(with_person(site, former_id="C"), told)
    assert {k: found[k] for k in "ABC"} == {"A": "P-01", "B": "P-01", "C": "P-01"}
    assert found["X"] in {"X", "Y"} and found["Y"] in {"X", "Y"}, "a circle ends"


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [("Inés Holloway", "holloway, ines", True), ("O'Hara Mo", "mo  o hara", True), ("Straße", "STRASSE", True), ("Bo Lind", "Bo Lund", False),
     ("M-1", "m 1", True)],
)  # fmt: skip
def test_a_name_is_the_same_however_it_is_written(one: str, other: str, same: bool) -> None:
    assert (plain(one) == plain(other)) is same


def test_whose_name_it_is_where_one_has_it_and_nobodys_where_two_have(site: JobSite) -> None:
    mentors = (
        Mentor("M-1", "Mo Orozco", (), None, None, 2),
        Mentor("M-2", "Ed Grant", (), None, None, 3),
        Mentor("M-3", "Grant, Ed", (), None, None, 4),
    )
    told = rows(("mentor", 1, "M-8", {}))
    who = Signers(
        dataclasses.replace(site, mentors=mentors), told, {"M-8": "Al Beck", "~1": "orozco mo", "~2": "Ed Grant", "~3": "nobody known"}
    )
    assert [who.known(x) for x in ("MO OROZCO", "m-1", "Ed Grant", "M-2", "Beck Al", "P-02", "P-99")] == [
        "M-1",
        "M-1",
        "",
        "M-2",
        "M-8",
        "P-02",
        "",
    ]
    assert [who.of(x) for x in ("~1", "~2", "~3", "M-2")] == ["M-1", "~2", "~3", "M-2"]


def test_the_kind_and_the_class_of_a_machine_are_those_told_last() -> None:
    told = rows(("machine", 1, "X-9", {"kind": "dozer", "class": "small"}), ("machine", 2, "X-9", {"kind": "truck", "class": "large"}),
                ("machine", 3, "X-9", {"kind": "excavator", "class": "middle"}), ("machine", 3, "X-8", {}))  # fmt: skip
    assert told.kinds() == {"X-9": "excavator", "X-8": "excavator"} and told.classes() == {"X-9": "middle", "X-8": "excavator"}


@pytest.mark.parametrize(("day", "machines"), [(9, ("E-1",)), (11, ("E-1",)), (12, ("E-2",))])
def test_other_machines_in_the_same_role_are_had_from_when_they_were_told(site: JobSite, day: int, machines: tuple[str, ...]) -> None:
    """Only a new role reaches back to its first day."""
    told = rows(
        ("person", 5, "P-70", {"machines": ["E-1"], "role_from": "2026-03-08"}), ("person", 12, "P-70", {"role_from": "2026-03-08"})
    )
    assert next(p for p in on(site, told, day).crew if p.id == "P-70").machines == machines


def test_what_stood_of_a_person_is_told_under_the_id_of_that_time(site: JobSite) -> None:
    told = rows(("person", 1, "P-90", {"role": "driver", "machines": ["T-1"]}), ("person", 9, "P-90", {"machines": ["T-1"], "gone": True}),
                ("person", 9, "P-91", {"former_id": "P-90"}), ("person", 3, "P-92", {"machines": ["D-1"]}))  # fmt: skip
    alias = aliases(site, told)
    found = {d: told.person_on("P-91", date(2026, 3, d), alias) for d in (1, 8, 9)}
    assert [f and (f["role"], f["machines"]) for f in found.values()] == [("driver", ["T-1"]), ("driver", ["T-1"]), ("loader", ["E-2"])]
    assert told.machines_of("P-90") == {"T-1"} and told.machines_of("P-91") == {"E-2"} and told.machines_of("P-00") == set()
    assert told.person_on("P-00", date(2026, 3, 9), alias) is None
    assert "P-90" not in crew(on(site, told, 10, leavers=True)) and {"P-91", "P-92"} <= crew(on(site, told, 10))


def test_a_former_id_that_was_never_here_brings_nobody_in_before_the_first_day(site: JobSite) -> None:
    made = with_person(site, start=date(2026, 3, 10), former_id="P-00")
    assert "P-01" not in crew(on(made, rows(("person", 1, "P-90", {})), 9))
    assert "P-01" not in crew(on(with_person(site, start=date(2026, 3, 10)), rows(("person", 1, "", {})), 9))


def test_who_was_taken_out_came_back_and_was_taken_out_again_left_the_last_time(site: JobSite) -> None:
    told = rows(
        ("person", 2, "P-70", {}), ("person", 5, "P-70", {"gone": True}), ("person", 8, "P-70", {}), ("person", 15, "P-70", {"gone": True})
    )
    days = {d: "P-70" in crew(on(site, told, d)) for d in (4, 5, 7, 8, 14, 15)}
    assert days == {4: True, 5: False, 7: False, 8: True, 14: True, 15: False}
    assert next(p for p in on(site, told, 20, leavers=True).crew if p.id == "P-70").left == date(2026, 3, 15)


ROLE = {
    "title": "Loader of then",
    "machines": ["excavator"],
    "lessons": ["bench-height"],
    "on_foot": False,
    "valid_months": 6,
    "hours": 40.0,
    "slope_hours": None,
}


def test_roles_are_those_of_the_day_also_one_that_is_no_more(site: JobSite) -> None:
    told = rows(("role", 2, "loader", ROLE), ("role", 10, "loader", {**ROLE, "title": "Loader", "valid_months": 12}), ("role", 2, "spotter", ROLE),
                ("role", 10, "spotter", {**ROLE, "gone": True}))  # fmt: skip
    then, now = on(site, told, 9).settings.roles, on(site, told, 10).settings.roles
    assert (then["loader"].title, then["loader"].lessons, then["loader"].valid_months, then["loader"].hours) == (
        "Loader of then",
        ("bench-height",),
        6,
        40.0,
    )
    assert (now["loader"].title, now["loader"].valid_months) == ("Loader", 12)
    assert then["spotter"].title == "Loader of then" and then["spotter"].line == 0 and "spotter" not in now
    assert then["loader"].line == site.settings.roles["loader"].line and then["driver"] == site.settings.roles["driver"]


def test_rules_are_those_of_the_day_and_what_a_later_program_wrote_is_passed_over(site: JobSite) -> None:
    told = rows(
        ("rules", 2, "records", {"valid_months": 6, "due_days": 30}), ("rules", 10, "records", {"valid_months": 12, "moon": "full"})
    )
    then, now = on(site, told, 9).settings.records, on(site, told, 10).settings.records
    assert (then.valid_months, then.due_days, now.valid_months, now.due_days) == (6, 30, 12, site.settings.records.due_days)
    assert on(site, rows(), 9).settings.records == site.settings.records


def test_the_print_of_a_name_is_that_of_salt_and_plain_name() -> None:
    """24 hex digits are 96 bits: of a million names no two have the same by chance. SHA-256 by hashlib, FIPS 180-4."""
    import hashlib

    whole = hashlib.sha256(b"salt" + b"holloway ines").hexdigest()
    assert (
        name_print(b"salt", "Ines Holloway")
        == name_print(b"salt", "HOLLOWAY, Inés")
        == whole[:24]
        != name_print(b"pepper", "Ines Holloway")
    )


@pytest.mark.parametrize(("day", "there"), [(7, False), (8, True), (9, True), (10, False)])
def test_a_first_and_a_last_day_that_were_told_late_hold(site: JobSite, day: int, there: bool) -> None:
    told = rows(("person", 2, "P-70", {"start": "2026-03-02"}), ("person", 12, "P-70", {"start": "2026-03-08", "left": "2026-03-10"}))
    assert ("P-70" in crew(on(site, told, day))) is there
