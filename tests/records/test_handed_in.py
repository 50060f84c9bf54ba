"""Which of the results handed in count, which are held back, and what is said of each. Worked out by hand, no source."""

from __future__ import annotations

import dataclasses
import json
import os
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.fillin import workbook_to_fill_in
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.quiz.edition import Plan, keep_sheets
from generator.quiz.printed import talk_sheet
from generator.records.demo_class import slip_code
from generator.records.desk import tally
from generator.records.intake import MOST_BYTES, MOST_HINTS
from generator.records.sheets import SheetLesson, SignOffSheet
from generator.records.tally import Tally
from tests.records.small import NOW, START, a_result, marking, put, signed, small_site, tallied
from tests.records.test_reading import LETTERS, grouped

HEADS = "crew,lesson,machine,date,mentor\n"


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_site(tmp_path_factory.mktemp("handed") / "site")


@pytest.fixture(scope="module")
def tables(place: Path) -> JobSite:
    site = read(place)
    rules = dataclasses.replace(site.settings.records, sign_before_pass=True)  # sign-offs are looked at by themselves here
    return dataclasses.replace(site, settings=dataclasses.replace(site.settings, records=rules))


@pytest.fixture
def site(place: Path) -> Iterator[Path]:
    """The site with nothing handed in yet: whatever a test puts there is taken away after it."""
    before = set(place.iterdir())
    yield place
    for path in set(place.iterdir()) - before:
        shutil.rmtree(path)


@pytest.fixture
def done(site: Path, tables: JobSite) -> Any:
    def now(*given: Path) -> Tally:
        return tally(tables, given or (site / "results",), NOW)

    return now


def told(found: Tally) -> list[str]:
    return [str(f) for f in found.flags]


def other_answer(file: dict[str, Any], place: int, answer: Any, **more: Any) -> dict[str, Any]:
    return signed(file, answers=[a | {"answer": answer} if i == place else a for i, a in enumerate(file["answers"])], **more)


# --- what is read -------------------------------------------------------------------------------


def test_results_stand_in_the_order_of_the_crew_then_of_time_then_of_the_lesson(site: Path, done: Any) -> None:
    put(site, "1.json", a_result(site, crew="P-03", lesson="truck-match"))
    put(site, "2.json", a_result(site, crew="P-01", lesson="truck-match", days=2))
    put(site, "3.json", a_result(site, crew="P-02"))
    put(site, "4.json", a_result(site, crew="P-01", days=1))
    at = a_result(site, crew="P-01", lesson="truck-match", days=5)
    put(site, "5.json", at)
    put(site, "6.json", signed(a_result(site, crew="P-01", days=5), finished="2026-03-16T00:00:00Z"))
    put(site, "7.json", signed(at, finished="2026-03-16T00:00:00Z"))
    assert [m.result.where for m in done().marked] == [f"results/{i}.json:1" for i in (4, 2, 5, 6, 7, 3, 1)]


def test_flags_stand_by_file_and_line(site: Path, done: Any) -> None:
    put(site, "b.json", "".join(json.dumps([n]) + "\n" for n in range(12)))
    put(site, "a.csv", HEADS + "P-01,bench-height,E-9,2026-03-12,mo\n" * 10)
    put(site, "c.json", "{")
    found = done()
    assert [f.where for f in found.flags] == (
        [f"results/a.csv:{n}" for n in range(2, 12)] + [f"results/b.json:{n}" for n in range(1, 13)] + ["results/c.json:1"]
    )
    assert found.files == 3 and found.left_aside == 0


def test_what_lies_in_the_folder_is_read_or_left_aside(site: Path, done: Any) -> None:
    good = [a_result(site, days=n) for n in range(6)]
    put(site, "A.JSON", good[0])
    put(site, "deep/down/b.txt", good[1])
    put(site, ".hidden/c.json", good[2])
    put(site, "deep/.d.json", good[2])
    put(site, "photo.png", b"x")
    put(site, "list.xlsx", b"x")
    put(site, "~$list.xlsx", b"x")  # a spreadsheet has it open
    (site / "results" / "linked.json").symlink_to(site / "results" / "A.JSON")
    (site / "results" / "round").symlink_to(site / "results")
    found = done()
    assert [m.result.where for m in found.marked] == ["results/A.JSON:1", "results/deep/down/b.txt:1"]
    assert sorted(told(found)) == [
        "results/linked.json:1: duplicate: it was handed in as results/A.JSON:1 too; nothing to do: it counts once",
        "results/list.xlsx:1: unreadable: the file is no workbook, whatever its ending says; save it again as an ordinary .xlsx workbook",
        "results/round: unreadable: a link to a folder is not followed; name that folder itself",
    ]
    assert (found.files, found.left_aside) == (4, 1)


def test_a_file_named_twice_is_read_once_and_one_alone_goes_by_its_name(site: Path, done: Any) -> None:
    path = put(site, "a.json", a_result(site))
    found = done(path, site / "results", path)
    assert [m.result.where for m in found.marked] == ["a.json:1"] and found.flags == [] and found.files == 1
    assert told(done(site / "nowhere"))[0].endswith("/nowhere: unreadable: there is no such file or folder; check the name")


def test_the_sites_own_folder_may_be_named(site: Path, done: Any) -> None:
    """What the program wrote itself is not taken for something handed in: neither editions nor the last report."""
    put(site, "a.json", a_result(site))
    (site / "out").mkdir()
    (site / "out" / "b.json").write_text(json.dumps(a_result(site, days=1)), "utf-8")
    put(site, "out/c.json", a_result(site, days=2))  # a folder of that name elsewhere is read
    found = done(site)
    assert [m.result.where for m in found.marked] == ["site/results/a.json:1", "site/results/out/c.json:1"]
    assert not [f for f in found.flags if "/editions/" in f.where or "/out/b" in f.where]


def test_what_cannot_be_opened_is_told(site: Path, done: Any) -> None:
    put(site, "empty.json", "")
    put(site, "blank.json", " \n\n")
    os.mkfifo(site / "results" / "pipe.json")
    (site / "results" / "self.json").symlink_to(site / "results" / "self.json")
    with (site / "results" / "huge.csv").open("wb") as f:
        f.truncate(MOST_BYTES + 1)
    with (site / "results" / "large.json").open("wb") as f:
        f.write(b" " * MOST_BYTES)
    # one that cannot be listed as a file is never opened
    found = told(done(site / "results", site / "results" / "pipe.json"))
    empty = "the file is empty; ask for the file again, or for the slip"
    assert f"results/empty.json:1: truncated: {empty}" in found and f"results/blank.json:1: truncated: {empty}" in found
    assert f"results/large.json:1: truncated: {empty}" in found  # just not too large
    assert "results/huge.csv:1: unreadable: it is larger than 8 MB; check what was saved" in found
    assert "pipe.json:1: unreadable: it is not a file; hand in the file itself" in found
    assert [
        f for f in found if f.startswith("results/self.json:1: unreadable: it cannot be read (") and f.endswith("check its access rights")
    ]
    assert len(found) == 6 and not done().read_something


def test_something_was_read_where_a_person_could_be_told(site: Path, done: Any) -> None:
    put(site, "bad.json", "nonsense")
    assert not done().read_something
    put(site, "s.csv", HEADS + "P-09,bench-height,E-2,2026-03-12,mo\n")
    assert done().read_something  # a line that names a person was understood, though it does not count
    put(site, "s.csv", HEADS + "P-01,bench-height,E-2,2026-03-12,mo\n")
    assert done().read_something


def test_empty_rows_of_a_table_of_slips_say_nothing(site: Path, done: Any) -> None:
    put(site, "slips.csv", f"name,code\nTom,\nInes,Result code {slip_code(a_result(site), marking(site))}\n,\n")
    found = done()
    assert [m.result.where for m in found.marked] == ["results/slips.csv:3"] and found.flags == []


def test_a_code_of_somebody_else_than_the_learner_is_not_taken(site: Path, tables: JobSite) -> None:
    """As a learning system's report says whose each code is: the table of learners says which crew id that is."""
    code = slip_code(a_result(site), marking(site))  # of P-01
    known = dataclasses.replace(tables, learners={"Ines@lms.example": "P-01", "tom@lms.example": "P-02"})
    for learner, counts in (("ines@LMS.example ", True), ("tom@lms.example", False), ("who@else.example", True), ("", True)):
        shutil.rmtree(site / "register", ignore_errors=True)
        put(site, "slips.csv", f"learner,code\n{learner},{code}\n")
        found = tally(known, (site / "results",), NOW)
        assert bool(found.marked) == counts, learner
        assert [(f.name, f.crew) for f in found.flags] == ([] if counts else [("learner", "P-02")])


def test_a_hint_is_searched_for_in_the_first_rows_of_a_table(site: Path, done: Any) -> None:
    code = slip_code(a_result(site), marking(site)).replace("-", "")
    wrong = [code[:i] + LETTERS[(LETTERS.index(code[i]) + 7) % 32] + code[i + 1 :] for i in range(MOST_HINTS + 4)]
    put(site, "slips.csv", "code\n" + "".join(grouped(w) + "\n" for w in wrong))
    fixes = [f.fix for f in done().flags]
    assert all(f.startswith("look at group ") for f in fixes[:MOST_HINTS])
    assert fixes[MOST_HINTS:] == ["compare it with the slip, letter by letter"] * 4


# --- who it belongs to --------------------------------------------------------------------------


def test_what_belongs_elsewhere_is_told_with_what_to_do(site: Path, done: Any) -> None:
    good = a_result(site)
    for name, changes in {
        "a": {"site": "s" * 50},
        "b": {"crew": "P-O1"},
        "c": {"crew": "Zebulon"},
        "d": {"finished": "2026-05-01T12:16:00Z"},
    }.items():
        put(site, f"{name}.json", signed(good, **changes))
    found = done()
    assert told(found) == [
        f"results/a.json:1: foreign: it is from site '{'s' * 40}', not juniper-bench; hand it in there",
        "results/b.json:1: foreign: no crew id 'P-O1' in crew.csv; did you mean P-01?",
        "results/c.json:1: foreign: no crew id 'Zebulon' in crew.csv; check the id, or add the person to crew.csv",
        "results/d.json:1: future: it is dated 2026-05-01 12:16 UTC, which was still to come when it was handed in; "
        "check the clock it was taken by, and ask for another try",
    ]
    assert [(f.crew, f.lesson, f.counted) for f in found.flags] == [
        ("P-01", "bench-height", False), ("P-O1", "bench-height", False), ("Zebulon", "bench-height", False), ("P-01", "bench-height", False)
    ]  # fmt: skip


def test_the_marking_here_counts_and_not_the_score_shown(site: Path, done: Any) -> None:
    put(site, "a.json", signed(a_result(site, rights=(True, True, True, False, False)), score_shown=0.8))
    put(site, "b.json", signed(a_result(site, days=1), score_shown="all"))
    put(site, "c.json", signed(a_result(site, days=2), score_shown=0))
    found = done()
    assert [(m.right, m.passed) for m in found.marked] == [(3, False), (5, True), (5, True)]
    assert told(found) == [
        "results/a.json:1: score: the quiz showed 80% right, marked again it is 3 of 5; ask how that came about; the marking here counts",
        "results/b.json:1: score: the file's score is no share, marked again it is 5 of 5; "
        "ask how that came about; the marking here counts",
        "results/c.json:1: score: the quiz showed 0% right, marked again it is 5 of 5; ask how that came about; the marking here counts",
    ]
    assert all(f.counted and (f.crew, f.lesson) == ("P-01", "bench-height") for f in found.flags)


# --- the same try handed in again ---------------------------------------------------------------


def test_a_slip_of_a_file_counts_once_whichever_comes_first(site: Path, done: Any) -> None:
    file = a_result(site)
    put(site, "a.csv", f"code\n{slip_code(file, marking(site))}\n")
    put(site, "b.json", file)
    found = done()
    assert [m.result.where for m in found.marked] == ["results/b.json:1"]
    assert told(found) == ["results/a.csv:2: duplicate: it was handed in as results/b.json:1 too; nothing to do: it counts once"]


def test_answers_are_the_same_however_they_are_written(site: Path, done: Any) -> None:
    file = a_result(site)
    right = file["answers"][0]["answer"]
    several, order = file["answers"][2]["answer"], file["answers"][3]["answer"]
    assert len(several) == 2 and len(order) == 4
    for name, made in {"b": other_answer(file, 0, f"{float(right):.4f} ft"), "c": other_answer(file, 2, several[::-1])}.items():
        put(site, "a.json", file)
        put(site, f"{name}.json", made)
    found = done()
    assert len(found.marked) == 1 and [f.name for f in found.flags] == ["duplicate", "duplicate"]
    put(site, "d.json", other_answer(file, 3, order[::-1]))
    assert [f.name for f in done().flags] == ["conflict"] * 4


def test_figures_of_one_length_in_two_units_are_two_answers(site: Path, done: Any) -> None:
    """Who typed 120 in and who typed 10 ft did not write the same."""
    file = a_result(site)
    put(site, "a.json", other_answer(file, 0, "10 ft"))
    put(site, "b.json", other_answer(file, 0, "10 in"))
    assert [f.name for f in done().flags] == ["conflict", "conflict"]


def test_other_tries_are_not_taken_for_the_same(site: Path, done: Any) -> None:
    file = a_result(site)
    minute = signed(file, finished=f"{START + timedelta(minutes=59):%Y-%m-%dT%H:%M:%SZ}")
    lesson = a_result(site, lesson="truck-match") | {"answers": file["answers"], "finished": file["finished"], "started": file["started"]}
    variants = [len(q["variants"]) for q in marking(site).questions]
    v = (file["answers"][1]["variant"] + 1) % variants[1]
    variant = signed(file, answers=[a | {"variant": v} if i == 1 else a for i, a in enumerate(file["answers"])])
    units = signed(file, answers=[a | {"units": "metric"} if i == 1 else a for i, a in enumerate(file["answers"])])
    for name, made in {"a": file, "b": minute, "c": signed(lesson), "d": variant, "e": units}.items():
        put(site, f"{name}.json", made)
    found = done()
    assert len(found.marked) == 5 and {f.name for f in found.flags} <= {"score"}


def test_a_conflict_names_the_others_and_at_most_four(site: Path, done: Any) -> None:
    file = a_result(site)
    for n in range(7):
        put(site, f"{n}.json", other_answer(file, 1, [2], note=n) if n else other_answer(file, 1, [1]))
    found = done()
    assert found.marked == [] and len(found.flags) == len(found.held) == 7
    assert found.flags[0].what == (
        "the same try has other answers in results/1.json:1, results/2.json:1, results/3.json:1, results/4.json:1 and 2 more"
    )
    assert found.flags[6].what.endswith("in results/0.json:1, results/1.json:1, results/2.json:1, results/3.json:1 and 2 more")
    row = found.flags[0].row
    assert found.flags[0].fix == f"held: write {row}, counts or void, your id and why in corrections.csv, or ask for another try"
    for n in (5, 6):
        (site / "results" / f"{n}.json").unlink()
    assert done().flags[4].what.endswith("in results/0.json:1, results/1.json:1, results/2.json:1, results/3.json:1")


def test_a_copied_try_names_all_who_handed_it_in(site: Path, done: Any) -> None:
    file = a_result(site, lesson="truck-match")
    for n in (3, 1, 2):
        put(site, f"{n}.json", signed(file, crew=f"P-0{n}"))
    found = done()
    assert found.marked == []
    assert told(found)[0] == (
        "results/1.json:1: copied: the same try was handed in by P-01, P-02, P-03; "
        f"held: write {found.flags[0].row}, counts or void, your id and why in corrections.csv, or ask for another try"
    )
    assert [(f.crew, f.lesson, f.counted) for f in found.flags] == [(f"P-0{n}", "truck-match", False) for n in (1, 2, 3)]


# --- sign-offs ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (",bench-height,E-2,2026-03-12,mo", "unsigned: the sign-off has no crew; fill in crew from the paper sheet"),
        ("P-01,,E-2,2026-03-12,mo", "unsigned: the sign-off has no lesson; fill in lesson from the paper sheet"),
        ("P-01,bench-height,,2026-03-12,mo", "unsigned: the sign-off has no machine; fill in machine from the paper sheet"),
        ("P-01,bench-height,E-2,,mo", "unsigned: the sign-off has no date; fill in date from the paper sheet"),
        ("P-01,bench-height,E-2,2026-03-12,", "unsigned: the sign-off has no mentor; fill in mentor from the paper sheet"),
        ("P-O1,bench-height,E-2,2026-03-12,mo", "foreign: no crew id 'P-O1' in crew.csv; did you mean P-01?"),
        (f"{'x' * 50},bench-height,E-2,2026-03-12,mo", f"foreign: no crew id '{'x' * 40}' in crew.csv; check the id"),
        ("P-01,bench-hight,E-2,2026-03-12,mo", "foreign: no lesson 'bench-hight' here; did you mean bench-height?"),
        (f"P-01,{'x' * 50},E-2,2026-03-12,mo", f"foreign: no lesson '{'x' * 40}' here; use the lesson's id"),
        ("P-01,bench-height,E-22,2026-03-12,mo", "foreign: no machine 'E-22' in the tables; check the id"),
        (f"P-01,bench-height,{'q' * 50},2026-03-12,mo", f"foreign: no machine '{'q' * 40}' in the tables; check the id"),
        ("P-01,bench-height,E-2,2026-05-03,mo", "future: it is signed for 2026-05-03, which is still to come; check the date on the paper sheet"),
        ("P-01,bench-height,T-1,2026-03-12,mo", "unsigned: T-1 is no machine of a loader; check the machine on the paper sheet"),
        ("P-01,bench-height,E-2,2026-03-12,INES holloway", "unsigned: nobody signs for himself or herself; ask another mentor"),
        ("P-01,bench-height,E-2,2026-03-12,p-01", "unsigned: nobody signs for himself or herself; ask another mentor"),
    ],
)  # fmt: skip
def test_a_sign_off_that_cannot_count_says_why(site: Path, done: Any, row: str, said: str) -> None:
    put(site, "s.csv", HEADS + row + "\nP-03,truck-match,T-1,2026-03-12,mo\n")
    found = done()
    assert [(s.crew, s.lesson, s.machine, str(s.day), s.mentor) for s in found.signoffs] == [
        ("P-03", "truck-match", "T-1", "2026-03-12", "mo")
    ]
    assert told(found) == [f"results/s.csv:2: {said}"]
    assert (found.flags[0].crew, found.flags[0].lesson) == tuple(row.split(",")[:2])


def test_a_sign_off_in_two_tables_counts_once_and_twice_in_one_is_told(site: Path, done: Any) -> None:
    row = "P-01,bench-height,E-2,2026-03-12,mo\n"
    put(site, "a.csv", HEADS + row)
    put(site, "b.csv", HEADS + row + row.replace("-12", "-13") + row)
    found = done()
    assert [s.day.day for s in found.signoffs] == [12, 13]
    assert told(found) == ["results/b.csv:4: duplicate: the same sign-off stands above; take one of them out"]


def test_the_table_to_fill_in_is_read_from_a_workbook(site: Path, done: Any) -> None:
    heads = ("crew", "name", "lesson", "title", "machine", "date", "mentor", "conditions", "hours", "sheet")
    rows = [
        ("P-01", "Ines Holloway", "bench-height", "x", "E-2", "2026-03-12", "Ana Ruiz", "dry", "1.5", "AAAA-AAAA"),
        ("P-01", "Ines Holloway", "truck-match", "x", "", "", "", "", "", "AAAA-AAAA"),  # not signed yet
        ("P-02", "Tom Abernethy", "bench-height", "x", "E-2", "2026-03-12", "", "", "", "AAAA-AAAA"),
    ]
    put(site, "signed.xlsx", workbook_to_fill_in("sign-offs", heads, rows, {"mentor": ["M-1"]}, days=("date",)))
    found = done()
    assert [(s.crew, s.lesson, s.machine, str(s.day), s.conditions, s.hours, s.sheet) for s in found.signoffs] == [
        ("P-01", "bench-height", "E-2", "2026-03-12", "dry", 1.5, "AAAA-AAAA")
    ]
    assert told(found) == [
        "results/signed.xlsx[sign-offs]:2: mistyped: no sheet AAAA-AAAA was printed for this site; copy it from the head of the sheet",
        "results/signed.xlsx[sign-offs]:4: unsigned: the sign-off has no mentor; fill in mentor from the paper sheet",
    ]
    assert found.flags[0].counted


def test_a_talk_is_found_by_the_number_on_its_sheet(site: Path, done: Any) -> None:
    printed = talk_sheet("juniper-bench", "2026-1", "bench-height", "Bench height", "abcd1234")
    plan = Plan(first=True)
    keep_sheets(plan, site, site / ".stage", [printed])
    plan.carry_out()
    try:
        put(
            site,
            "talks.csv",
            f"date,sheet,leader,crew\n2026-03-12,{printed.code.lower()},Ana Ruiz,P-01 P-02\n2026-03-12,AAAA-AAAA,Ana Ruiz,P-01\n",
        )
        found = done()
    finally:
        shutil.rmtree(site / "editions/sheets")
    assert [(t.crew, t.lesson, str(t.day)) for t in found.talks] == [
        ("P-01", "bench-height", "2026-03-12"),
        ("P-02", "bench-height", "2026-03-12"),
    ]
    assert told(found) == [
        "results/talks.csv:3: mistyped: no sheet AAAA-AAAA was printed for this site; copy it from the head of the sheet"
    ]


@pytest.mark.parametrize("lesson", ["bench-height", "truck-match"])
def test_what_was_signed_counts_whatever_became_of_its_sheet_but_for_a_lesson_that_is_not_on_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lesson: str
) -> None:
    site = small_site(tmp_path / "site")
    row = f"P-01,{lesson},E-2,2026-04-12,M-1,ABCD2345\n"
    put(site, "quiz.json", a_result(site, lesson=lesson))
    (site / "results/signoffs.csv").write_text("crew,lesson,machine,date,mentor,sheet\n" + row, "utf-8")
    found = tallied(site)  # no such sheet is kept
    assert [(s.lesson, s.sheet) for s in found.signoffs] == [(lesson, "ABCD2345")]
    assert [(f.crew, f.lesson, f.counted) for f in found.flags if "heet" in f.what] == [("P-01", lesson, True)]
    printed = SignOffSheet("ABCD2345", "juniper-bench", "2026-1", "one", "One", 1, 1, (SheetLesson("bench-height", "Bench", "f", ()),))
    other = small_site(tmp_path / "other")
    put(other, "quiz.json", a_result(other, lesson=lesson))
    (other / "results/signoffs.csv").write_text("crew,lesson,machine,date,mentor,sheet\n" + row, "utf-8")
    monkeypatch.setattr("generator.records.intake.load_signoff_sheet", lambda *_: printed)
    found = tallied(other)
    there = lesson == "bench-height"
    assert [s.lesson for s in found.signoffs] == (["bench-height"] if there else [])
    assert [f.what for f in found.flags if "heet" in f.what] == ([] if there else ["lesson truck-match does not stand on sheet ABCD2345"])
