"""What counts on the very edge of a rule: a row just within it and one just past it. Worked out by hand, no source.

Days are those of some place on earth: the first of a day begins 14 hours before UTC's, the last of it 12 hours after
(time zones UTC+14 and UTC-12 as the IANA tables of Kiritimati and Etc/GMT+12 give them; from memory).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from generator.jobsite.model import JobSite, Mentor
from generator.jobsite.reader import read
from generator.records.desk import Loose
from generator.records.judge import FASTEST, LEEWAY, Judged, Scene, judge, some
from generator.records.mark import Marked
from generator.records.roster import History
from generator.records.rows import of_correction, of_hours, of_result, of_signoff
from generator.records.signoffs import SignOff
from generator.records.told import Correction, Hours, Says
from generator.register.entry import Entry, New
from tests.records.small import small_site
from tests.records.test_ready import Kept, done, lesson, other

NOW = datetime(2026, 3, 25, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    return read(small_site(tmp_path_factory.mktemp("edges") / "site"))


class Rows:
    """Rows as a register would hold them, each taken in when it is said."""

    def __init__(self, site: JobSite) -> None:
        self.site, self.rows = site, Loose()

    def put(self, new: New, taken: datetime = NOW) -> int:
        return self.rows.take([new], taken)[0][0]

    def result(self, at: datetime, taken: datetime = NOW, body: Mapping[str, Any] | None = None, **changes: Any) -> int:
        made: Marked = other(done(at=at), answers=(0,) * 5, **changes)
        new = of_result(made, {"made": len(self.rows.rows)}, taken, taken + timedelta(days=1))
        return self.put(dataclasses.replace(new, body={**new.body, **(body or {})}), taken)

    def sign(self, day: date, taken: datetime = NOW, mentor: str = "M-9", more: Mapping[str, Any] | None = None) -> int:
        return self.put(of_signoff(SignOff("P-01", "bench-height", "E-2", day, mentor, "excavator", "excavator"), "", more), taken)

    def hours(self, day: date, hours: float, mentor: str = "", machine: str = "E-2", task: str = "") -> int:
        return self.put(of_hours(Hours("P-01", machine, "excavator", day, hours, mentor, task), ""))

    def say(self, about: int, says: Says) -> int:
        return self.put(of_correction(Correction(about, "", says, "R-1", "looked at", NOW.date()), ""))

    def judged(self, now: datetime = NOW, history: list[Entry] | None = None, **scene: Any) -> Judged:
        kinds = {m.id: m.kind for m in (*self.site.machines, *self.site.trucks)}
        made = Scene(self.site, now, now.date(), History(history or []), {}, {}, Kept(), scene.pop("days", {}), kinds, kinds)
        return judge(self.rows.entries(), dataclasses.replace(made, **scene))


def with_person(site: JobSite, **changes: Any) -> JobSite:
    return dataclasses.replace(site, crew=tuple(dataclasses.replace(p, **changes) if p.id == "P-01" else p for p in site.crew))


def with_machine(site: JobSite, **changes: Any) -> JobSite:
    return dataclasses.replace(site, machines=tuple(dataclasses.replace(m, **changes) if m.id == "E-2" else m for m in site.machines))


def sign_first(site: JobSite) -> JobSite:
    rules = dataclasses.replace(site.settings.records, sign_before_pass=True)
    return dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))


def at(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-03-{text}+00:00")


# --- the first and the last day on the job ------------------------------------------------------


@pytest.mark.parametrize(
    ("finished", "counts"),
    [("09 09:59:59", False), ("09 10:00:00", True), ("12 11:59:59", True), ("12 12:00:00", False)],
)
def test_a_try_counts_where_it_may_have_been_a_day_on_the_job_somewhere(site: JobSite, finished: str, counts: bool) -> None:
    rows = Rows(with_person(site, start=date(2026, 3, 10), left=date(2026, 3, 12)))
    rows.result(at(finished))
    found = rows.judged()
    assert (len(found.marked), [f.name for f in found.flags]) == ((1, []) if counts else (0, ["outside"]))


@pytest.mark.parametrize(("day", "counts"), [(9, False), (10, True), (11, True), (12, False)])
def test_seat_time_counts_from_the_first_day_on_the_job_to_the_one_before_leaving(site: JobSite, day: int, counts: bool) -> None:
    rows = Rows(with_person(site, start=date(2026, 3, 10), left=date(2026, 3, 12)))
    n = rows.hours(date(2026, 3, day), 4)
    assert len(rows.judged().hours) == counts
    rows.say(n, "counts")
    assert len(rows.judged().hours) == 1
    rows.say(n, "void")
    assert rows.judged().hours == []


def test_a_correction_holds_from_its_day_on(site: JobSite) -> None:
    rows = Rows(site)
    rows.say(rows.hours(date(2026, 3, 10), 4), "void")
    assert len(rows.judged(NOW - timedelta(days=1)).hours) == 1 and rows.judged().hours == []
    (told_,) = rows.judged().corrections
    assert (told_.about, told_.of, told_.what, told_.undone) == (1, "P-01", "seat time, E-2, of 2026-03-10", False)
    n = rows.say(2, "void")  # takes the first correction out
    assert len(rows.judged().hours) == 1
    assert [(c.about, c.undone, c.what) for c in rows.judged().corrections] == [
        (1, True, "seat time, E-2, of 2026-03-10"), (2, False, "correction of row 1, seat time, E-2, of 2026-03-10"),
    ] and n == 3  # fmt: skip


# --- up to the moment it is looked at ------------------------------------------------------------


def test_rows_of_later_are_not_looked_at(site: JobSite) -> None:
    rows = Rows(site)
    rows.result(NOW + LEEWAY)
    rows.hours(NOW.date(), 4)
    rows.sign(NOW.date())
    rows.result(NOW, origin="paper", sheet="s-1")
    early, day_before = NOW - timedelta(seconds=1), NOW - timedelta(days=1)
    assert len(rows.judged().marked) == 2 and len(rows.judged().hours) == 1
    assert len(rows.judged(early).marked) == 1  # the paper's: it bears a day and no hour
    found = rows.judged(day_before)
    assert not (found.marked or found.hours or found.signoffs or found.flags)


def test_what_was_dated_ahead_is_told_once_it_is_taken_in(site: JobSite) -> None:
    rows = Rows(site)
    rows.result(NOW + timedelta(days=9), body={"early_by": 12960})
    assert [f.name for f in rows.judged(NOW).flags] == ["future"]
    assert rows.judged(NOW - LEEWAY).flags == rows.judged().flags
    assert rows.judged(NOW - LEEWAY - timedelta(seconds=1)).flags == []


# --- results that somebody has to look at -----------------------------------------------------------


@pytest.mark.parametrize(("finished", "held"), [("10 09:59:59", True), ("10 10:00:00", False)])
def test_a_try_of_before_its_edition_was_built_anywhere_is_held(site: JobSite, finished: str, held: bool) -> None:
    days = {"2026-1": date(2026, 3, 11)}
    rows = Rows(site)
    n = rows.result(at(finished))
    assert [f.name for f in rows.judged(days=days).flags] == (["clock"] if held else [])
    rows.say(n, "counts")
    assert len(rows.judged(days=days).marked) == 1
    on_paper = Rows(site)
    on_paper.result(at(finished), origin="paper", sheet="s-1")
    assert on_paper.judged(days=days).flags == []  # nobody's clock


@pytest.mark.parametrize(("words", "held"), [(476, False), (FASTEST, False), (FASTEST + 1, True), (714, True)])
def test_nobody_reads_three_times_as_fast_as_people_do(site: JobSite, words: int, held: bool) -> None:
    """238 words a minute is the mean of silent reading (Brysbaert 2019, Journal of Memory and Language 109; from memory)."""
    rows = Rows(site)
    rows.result(at("10 09:01:00"), started=at("10 09:00:00"), body={"words": words})
    found = rows.judged()
    assert [f.name for f in found.flags] == (["fast"] if held else []) and len(found.held) == held
    assert not held or f"of {words} words together were answered in 60 s" in found.flags[0].what


@pytest.mark.parametrize(("bits", "copied"), [(11.5, False), (11.6, True)])
def test_the_same_figures_of_two_people_are_doubted_where_chance_is_rarer_than_one_in_a_thousand(
    site: JobSite, bits: float, copied: bool
) -> None:
    """Three people make three pairs, log2(3) = 1.585 bits; one in a thousand is some 10 bits."""
    rows = Rows(site)
    for crew, hour in (("P-01", 9), ("P-02", 10)):
        rows.result(at(f"10 {hour:02}:00:00"), NOW + timedelta(hours=hour), {"bits": bits}, crew=crew)
    found = rows.judged(NOW + timedelta(days=1))
    assert [(f.name, f.crew) for f in found.flags] == ([("copied", "P-02")] if copied else [])


@pytest.mark.parametrize(
    ("shown", "said"),
    [(0.6, ""), (0.605, ""), (0.61, "the quiz showed 61% right, marked again it is 3 of 5"), (0.0, "the quiz showed 0% right, marked again it is 3 of 5"),
     (-1.0, "the file's score is no share, marked again it is 3 of 5"), (None, "")],
)  # fmt: skip
def test_another_score_than_the_quiz_showed_is_told_and_the_one_marked_here_counts(site: JobSite, shown: float | None, said: str) -> None:
    made = done(at=at("10 09:00:00"), right=3)
    made = dataclasses.replace(made, result=dataclasses.replace(made.result, claimed=shown))
    rows = Rows(site)
    rows.put(dataclasses.replace(of_result(other(made, answers=(0,) * 5), {}, NOW, NOW), identity="x"))
    found = rows.judged()
    assert [(f.what, f.counted) for f in found.flags] == ([(said, True)] if said else []) and len(found.marked) == 1


@pytest.mark.parametrize("count", [True, False])
def test_a_short_code_counts_where_the_site_says_so(site: JobSite, count: bool) -> None:
    rules = dataclasses.replace(site.settings.records, count_codes=count)
    rows = Rows(dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules)))
    told_ = {"told": True, "slip": "s", "right": 5, "of": 5}
    n = rows.result(at("10 09:00:00"), body=told_)
    found = rows.judged()
    assert [(f.name, f.counted) for f in found.flags] == [("told", count)] and "5 of 5" in found.flags[0].what
    assert (len(found.marked), len(found.held)) == ((1, 0) if count else (0, 1))
    if not count:
        assert f"write {n}, counts or void" in found.flags[0].fix
    rows.result(at("10 09:00:30"), body={"slip": "s"})  # its file came in too
    found = rows.judged()
    assert [m.told for m in found.marked] == [False] and [f.name for f in found.flags] == ["duplicate"] and not found.held


def test_of_one_try_under_two_editions_the_first_that_came_in_counts(site: JobSite) -> None:
    for gap, counts in ((1, 1), (0, 0)):
        rows = Rows(site)
        for i, edition in enumerate(("2026-1", "2025-1")):
            new = of_result(other(done(at=at("10 09:00:00"), of=lesson(edition=edition)), answers=(0,) * 5), {"made": i}, NOW, NOW)
            rows.put(new, NOW + timedelta(minutes=i * gap))
        found = rows.judged(NOW + timedelta(days=1))
        assert [m.lesson.edition for m in found.marked] == ["2026-1"] * counts
        assert {f.name for f in found.flags} == {"relabelled"} and len(found.held) == 2 - counts
        assert "2025-1, 2026-1" in found.flags[0].what
        if counts:
            rows.say(2, "counts")
            assert len(rows.judged(NOW + timedelta(days=1)).marked) == 2


def test_six_versions_of_one_try_and_the_one_that_somebody_chose(site: JobSite) -> None:
    rows = Rows(site)
    for i in range(6):
        made = other(done(at=at("10 09:00:00")), answers=(i, 0, 0, 0, 0), where=f"{i}.json:1")
        rows.put(of_result(made, {"made": i}, NOW, NOW))
    found = rows.judged()
    assert found.marked == [] and len(found.held) == 6
    assert found.flags[0].what == "the same try has other answers in 1.json:1, 2.json:1, 3.json:1, 4.json:1 and 1 more"
    assert found.flags[5].what == "the same try has other answers in 0.json:1, 1.json:1, 2.json:1, 3.json:1 and 1 more"
    rows.say(5, "void")
    assert len(rows.judged().held) == 5
    rows.say(2, "counts")
    rows.say(4, "counts")
    found = rows.judged()
    assert [m.entry for m in found.marked] == [4], "the last word"
    assert "of the same try row 4 counts: R-1 said so (looked at)" in {f.what for f in found.flags}


def test_who_is_not_here_has_no_say_and_may_have_been_copied(site: JobSite) -> None:
    rows = Rows(site)
    for crew, minute in (("P-77", 0), ("P-01", 1)):
        rows.result(at("10 09:00:00"), NOW + timedelta(minutes=minute), {"bits": 20.0}, crew=crew)
    found = rows.judged(NOW + timedelta(days=1))
    assert [(f.name, f.crew) for f in found.flags] == [("copied", "P-01")] and found.marked == [] and len(found.held) == 1
    rows.say(1, "void")
    found = rows.judged(NOW + timedelta(days=1))
    assert [m.result.crew for m in found.marked] == ["P-01"]


def test_the_same_figures_drawn_twice_by_one_person_are_no_copy(site: JobSite) -> None:
    rows = Rows(site)
    for hour in (9, 10):
        rows.result(at(f"10 {hour:02}:00:00"), NOW, {"bits": 20.0})
    found = rows.judged()
    assert len(found.marked) == 2 and found.flags == []


# --- sign-offs ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("finished", "day", "counts"),
    [("10 12:00:00", 10, True), ("10 12:00:00", 9, False), ("10 11:59:59", 9, True), ("10 11:59:59", 8, False)],
)
def test_a_mentor_signs_on_the_day_of_the_pass_or_later(site: JobSite, finished: str, day: int, counts: bool) -> None:
    rows = Rows(site)
    rows.result(at(finished))
    rows.result(at("14 12:00:00"))  # the first pass says from when
    n = rows.sign(date(2026, 3, day))
    assert ["before the quiz was passed" in f.what for f in rows.judged().flags] == ([] if counts else [True])
    assert len(rows.judged().signoffs) == counts
    rows.say(n, "counts")
    assert len(rows.judged().signoffs) == 1


@pytest.mark.parametrize(("came", "counts"), [(17, True), (18, False)])
def test_an_old_code_holds_for_a_week(site: JobSite, came: int, counts: bool) -> None:
    rows = Rows(sign_first(site))
    rows.sign(date(2026, 3, 10), at(f"{came} 00:00:01"), more={"old_code": True})
    found = rows.judged()
    assert len(found.signoffs) == counts
    assert counts or "came in 8 days later" in found.flags[0].what
    new = Rows(sign_first(site))
    new.sign(date(2026, 3, 10), at(f"{came} 00:00:01"), more={"old_code": False})
    assert len(new.judged().signoffs) == 1


@pytest.mark.parametrize(("whole", "counts"), [(True, True), (False, False), (None, True)])
def test_a_sign_off_is_of_all_lines_unless_it_says_otherwise(site: JobSite, whole: bool | None, counts: bool) -> None:
    rows = Rows(sign_first(site))
    rows.sign(date(2026, 3, 10), more={} if whole is None else {"whole": whole})
    assert len(rows.judged().signoffs) == counts


@pytest.mark.parametrize(
    ("since", "until", "counts"),
    [(10, 10, True), (None, 10, True), (10, None, True), (11, None, False), (None, 9, False), (None, None, True)],
)
def test_the_first_and_the_last_day_of_a_mentor_are_among_them(site: JobSite, since: int | None, until: int | None, counts: bool) -> None:
    days = [None if d is None else date(2026, 3, d) for d in (since, until)]
    mentor = Mentor("M-9", "Mo Orozco", ("excavator",), days[0], days[1], 2)
    rows = Rows(dataclasses.replace(sign_first(site), mentors=(mentor,)))
    rows.sign(date(2026, 3, 10))
    rows.hours(date(2026, 3, 10), 4, "M-9")
    found = rows.judged(names={"M-9": "Mo Orozco"})
    assert len(found.signoffs) == counts and [h.mentor for h in found.hours] == (["M-9"] if counts else [""])
    assert counts or (
        {f.name for f in found.flags} == {"mentor"} and "Mo Orozco was no mentor for excavator on 2026-03-10" in found.flags[0].what
    )


def told(what: str, day: str, n: int, **body: Any) -> Entry:
    return Entry(n, what, day, "", f"{day}T12:00:00Z", "", "", "", "", None, body, "", "")  # type: ignore[arg-type]


@pytest.mark.parametrize(("day", "counts"), [(9, True), (10, False), (11, False)])
def test_a_mentor_signs_for_the_role_that_somebody_had_on_that_day(site: JobSite, day: int, counts: bool) -> None:
    """From 10 March on P-01 drives trucks, and the register was told of no other role than the first."""
    was = told("person", "2026-03-02", 1, id="P-01", role="loader", machines=["E-2"], role_from="")
    rows = Rows(sign_first(with_person(site, role="driver", role_from=date(2026, 3, 10))))
    rows.sign(date(2026, 3, day))
    found = rows.judged(history=[was])
    assert len(found.signoffs) == counts and [f.what for f in found.flags] == ([] if counts else ["E-2 is no machine of a driver"])


@pytest.mark.parametrize(("day", "counts"), [(9, False), (10, True), (11, True), (12, False)])
def test_where_the_table_of_mentors_is_gone_its_last_rows_hold(site: JobSite, day: int, counts: bool) -> None:
    was = told("mentor", "2026-03-01", 1, id="M-9", kinds=["excavator"], **{"from": "2026-03-10", "until": "2026-03-11"})
    rows = Rows(sign_first(site))
    rows.sign(date(2026, 3, day))
    assert len(rows.judged(history=[was]).signoffs) == counts


@pytest.mark.parametrize(("day", "counts"), [(19, True), (20, False), (21, False)])
@pytest.mark.parametrize("known", ["table", "register", "gone"])
def test_a_machine_is_worked_until_the_day_before_it_is_retired(site: JobSite, day: int, counts: bool, known: str) -> None:
    there = {"kind": "excavator", "class": "excavator"}
    history = [told("machine", "2026-03-01", 1, id="E-2", retired="", **there)]
    if known == "table":
        made = with_machine(site, retired=date(2026, 3, 20))
    else:
        made = dataclasses.replace(site, machines=tuple(m for m in site.machines if m.id != "E-2"))
        last = {"retired": "2026-03-20"} if known == "register" else {"retired": "", "gone": True}
        history.append(told("machine", "2026-03-02", 2, id="E-2", **there, retired="", gone=True))  # a slip that was mended
        history.append(told("machine", "2026-03-20", 3, id="E-2", **there, **last))
    rows = Rows(sign_first(made))
    rows.sign(date(2026, 3, day))
    n = rows.hours(date(2026, 3, day), 4)
    found = rows.judged(history=history)
    assert (len(found.signoffs), len(found.hours)) == (counts, counts)
    assert [f.what for f in found.flags] == ([] if counts else ["E-2 was retired on 2026-03-20"] * 2)
    rows.say(n, "counts")
    assert len(rows.judged(history=history).hours) == 1


def test_a_mentor_is_told_by_id_and_one_without_by_name(site: JobSite) -> None:
    rows = Rows(sign_first(site))
    rows.sign(date(2026, 3, 10), mentor="M-9")
    rows.sign(date(2026, 3, 11), mentor="~1")
    found = rows.judged(names={"M-9": "Mo Orozco", "~1": "Ed Grant"})
    assert [s.mentor for s in found.signoffs] == ["M-9", "Ed Grant"]
    found = rows.judged(names={"M-9": "Mo Orozco", "~1": "Mo Orozco"}, signer=lambda i: "M-9" if i == "~1" else i)
    assert [s.mentor for s in found.signoffs] == ["M-9", "M-9"]


@pytest.mark.parametrize(
    ("machines", "kind_of", "class_of", "counts"),
    [(("E-2",), {}, {}, True), (("E-1",), {"E-1": "excavator"}, {"E-1": "excavator"}, True), (("E-1",), {"E-1": "excavator"}, {"E-1": "small"}, False),
     (("E-1",), {"E-1": "dozer"}, {"E-1": "excavator"}, False), ((), {}, {}, True)],
)  # fmt: skip
def test_a_sign_off_is_on_a_machine_of_ones_own_or_of_the_class_of_one(
    site: JobSite, machines: tuple[str, ...], kind_of: dict[str, str], class_of: dict[str, str], counts: bool
) -> None:
    """Who has no machine given yet may show it on any of the role's."""
    rows = Rows(sign_first(with_person(site, machines=machines)))
    rows.sign(date(2026, 3, 10))
    found = rows.judged(kind_of=kind_of, class_of=class_of)
    assert len(found.signoffs) == counts and [f.name for f in found.flags] == ([] if counts else ["not-theirs"])


# --- seat time --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("second", "counts"), [(12.0, 2), (12.5, 1)])
def test_a_day_has_24_hours_for_a_person(site: JobSite, second: float, counts: int) -> None:
    rows = Rows(site)
    rows.hours(date(2026, 3, 9), 23)  # of another day
    rows.hours(date(2026, 3, 10), 12)
    rows.hours(date(2026, 3, 10), second, machine="E-1")
    found = rows.judged()
    assert len(found.hours) == 1 + counts
    assert [f.what for f in found.flags] == ([] if counts == 2 else ["P-01 would have 24.5 hours on 2026-03-10"])


def test_nobody_is_a_mentor_of_himself_or_herself_and_the_hours_stay(site: JobSite) -> None:
    rows = Rows(site)
    n = rows.hours(date(2026, 3, 10), 4, "P-01")
    found = rows.judged()
    assert [(h.hours, h.mentor) for h in found.hours] == [(4, "")] and found.flags[0].counted
    rows.say(n, "counts")
    assert [h.mentor for h in rows.judged().hours] == ["P-01"]


# --- how it is told -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "text"),
    [(1, "a"), (4, "a, b, c, d"), (5, "a, b, c, d and 1 more"), (7, "a, b, c, d and 3 more")],
)
def test_as_many_names_as_a_line_holds(names: int, text: str) -> None:
    assert some("abcdefg"[:names]) == text
    assert some("abcd", 6) == "a, b, c, d and 2 more"


def test_rows_that_may_be_somebody_elses_are_left_out_up_to_the_last_of_them(site: JobSite) -> None:
    rows = Rows(site)
    for day in (10, 11, 12):
        rows.hours(date(2026, 3, day), 4)
    assert [h.day.day for h in rows.judged(doubtful={"P-01": 2}).hours] == [12]
    assert [h.day.day for h in rows.judged(doubtful={"P-02": 3}).hours] == [10, 11, 12]


def test_one_sheet_of_paper_typed_twice_counts_once(site: JobSite) -> None:
    for answers, flags, counts in (((0,) * 5, ["duplicate"], 1), ((1, 0, 0, 0, 0), ["conflict", "conflict"], 0)):
        rows = Rows(site)
        for i, given in enumerate(((0,) * 5, answers)):
            made = other(done(at=at(f"1{i} 09:00:00")), answers=given, origin="paper", sheet="s-1")
            rows.put(of_result(made, {"made": i}, NOW, NOW))
        found = rows.judged()
        assert [f.name for f in found.flags] == flags and len(found.marked) == counts


def test_a_copied_try_whose_owner_handed_it_in_twice_counts_once(site: JobSite) -> None:
    rows = Rows(site)
    for crew, minute in (("P-01", 0), ("P-01", 0), ("P-02", 5)):
        rows.result(at("10 09:00:00"), NOW + timedelta(minutes=minute), crew=crew)
    found = rows.judged(NOW + timedelta(days=1))
    assert [(m.result.crew, m.entry) for m in found.marked] == [("P-01", 1)]
    assert [(f.name, f.row) for f in found.flags] == [("copied", 3), ("duplicate", 2)]


@pytest.mark.parametrize(("mentor", "own"), [("P-01", True), ("A-14", True), ("~1", True), ("~2", False), ("P-02", False)])
def test_nobody_signs_for_himself_or_herself_by_whatever_id_or_name(site: JobSite, mentor: str, own: bool) -> None:
    rows = Rows(sign_first(site))
    rows.sign(date(2026, 3, 10), mentor=mentor)
    found = rows.judged(alias={"A-14": "P-01"}, names={"~1": "Holloway, Ines", "~2": "Mo Orozco", "A-14": "Somebody Else"})
    assert [f.what for f in found.flags] == (["nobody signs for himself or herself"] if own else []) and len(found.signoffs) == (not own)


@pytest.mark.parametrize(("now", "counts"), [("P-01", True), ("P-02", False)])
def test_a_machine_that_somebody_had_under_a_former_id_is_one_of_his_or_hers(site: JobSite, now: str, counts: bool) -> None:
    was = told("person", "2026-03-02", 1, id="P-90", role="loader", machines=["E-2"], role_from="")
    rows = Rows(sign_first(with_person(site, machines=("D-1",))))
    rows.sign(date(2026, 3, 10))
    assert len(rows.judged(history=[was], alias={"P-90": now}).signoffs) == counts
