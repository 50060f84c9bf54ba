"""What the report prints: each column of its tables, its page and its lines, from results made here. Worked out by hand, no source."""

from __future__ import annotations

import csv
import dataclasses
import io
import re
from datetime import timedelta
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.flags import NAMES, Flag
from generator.records.readiness import STATES, LessonLine, QuestionLine, Readiness
from generator.records.readiness_page import MOST_SHOWN, SHORT, in_words, page, s_roles
from generator.records.report import files, terminal, write
from tests.records.small import small_site
from tests.records.test_ready import MARCH, done, lesson, of, sign

TRUCK = lesson("truck-match", about="any")
FLAGS = [
    Flag("a.json:1", "score", "shown", "ask", "P-01", "bench-height", True),
    Flag("b.json:2", "foreign", "bad <b>", "mend", "P-9", "x"),
]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    return read(small_site(tmp_path_factory.mktemp("report") / "site"))


@pytest.fixture(scope="module")
def made(site: JobSite) -> Readiness:
    """P-01 is ready; P-02 was signed on numbers that hold no longer and failed the other; P-03 has not passed."""
    marked = [
        done(), done(of=TRUCK), done(crew="P-02", of=lesson(figures="old")), done(crew="P-02", of=TRUCK, right=2, mistake="b", at=MARCH + timedelta(2)),
        done(crew="P-03", of=TRUCK, right=3, mistake="b"),
    ]  # fmt: skip
    paper = dataclasses.replace(marked[4], result=dataclasses.replace(marked[4].result, origin="paper"))
    signed = [sign(), sign(id_="truck-match"), sign("P-02")]
    return of(site, [*marked[:4], paper], signed, flags=FLAGS, left_aside=1)


def table(r: Readiness, name: str) -> list[dict[str, str]]:
    text = files(r)[name]
    assert text.startswith("\ufeff")
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"))))


def cells(html: str) -> list[list[str]]:
    """The rows of the tables in a page as text, a list of cells each."""
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", html, re.S)
    return [[unescape(re.sub(r"(<[^>]+>)+", "|", c)).strip("|") for c in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", r, re.S)] for r in rows]


# --- tables -------------------------------------------------------------------------------------


def test_who_is_ready_a_line_a_person(made: Readiness) -> None:
    first, second, third = table(made, "readiness.csv")
    assert first == {
        "role": "Loader", "crew": "P-01", "name": "Ines Holloway", "machines": "E-1 E-2", "ready for": "E-1 E-2", "not ready for": "",
        "truck-match": "ready", "bench-height": "ready",
        "works alone on": "no rule", "hours with a mentor": "0", "hours on slopes": "0", "next due": "", "lessons due": "", "lessons held": "",
        "passed in another language": "",
    }  # fmt: skip
    assert (second["crew"], second["ready for"], second["not ready for"]) == ("P-02", "none", "E-2: 2 missing")
    assert (second["bench-height"], second["truck-match"]) == ("take again, signed off", "not passed, 2 of 5")
    assert (third["role"], third["not ready for"], third["bench-height"]) == ("Driver", "T-1: 2 missing", "")
    assert third["truck-match"] == "not passed, 3 of 5"


def test_who_is_missing_what_a_line_a_machine(made: Readiness) -> None:
    rows = table(made, "people.csv")
    assert [(r["crew"], r["machine"], r["kind"], r["seat time"]) for r in rows] == [
        ("P-01", "E-1", "excavator", "ready, signed on E-2"), ("P-01", "E-2", "excavator", "ready"), ("P-02", "E-2", "excavator", "not ready"),
        ("P-03", "T-1", "truck", "not ready"),
    ]  # fmt: skip
    assert rows[2]["missing before seat time"] == "bench-height: take again, signed off | truck-match: not passed, 2 of 5"
    assert [r["latest result"] for r in rows] == ["2026-03-10", "2026-03-10", "2026-03-12", "2026-03-10"]
    assert rows[0]["missing before seat time"] == "" and rows[3]["name"] == "Kofi Lindqvist" and rows[3]["role"] == "Driver"


def test_how_questions_were_answered(made: Readiness) -> None:
    rows = {(r["lesson"], r["question"]): r for r in table(made, "questions.csv")}
    first, third, fourth = (rows["truck-match", f"q-{i}"] for i in (1, 3, 4))
    assert (first["must be right"], first["answers"], first["right"], first["share right"], first["most picked mistake"], first["times picked"]) == (
        "yes", "3", "3", "100%", "", "")  # fmt: skip
    # three people: all right in two questions, two of them in the third, one in the fourth
    assert (third["must be right"], third["answers"], third["right"], third["share right"], third["share right at first try"]) == (
        "", "3", "2", "67%", "67%")  # fmt: skip
    assert (third["most picked mistake"], third["times picked"], third["edition"], third["asks"]) == ("b", "1", "2026-1", "Ask 3?")
    assert (fourth["share right"], fourth["times picked"]) == ("33%", "2")


def test_how_lessons_went(made: Readiness) -> None:
    trucks, bench = table(made, "lessons.csv")
    assert trucks == {
        "lesson": "truck-match", "title": "Truck-match", "people": "3", "passed at first try": "1", "share right at first try": "67%",
        "hardest question": "q-4", "teach again": "yes",
    }  # fmt: skip
    assert (bench["people"], bench["passed at first try"], bench["share right at first try"], bench["teach again"]) == (
        "2",
        "2",
        "100%",
        "",
    )


def test_every_result_and_every_flag(made: Readiness) -> None:
    rows = table(made, "results.csv")
    assert [r["counts"] for r in rows] == ["yes"] * 5 + ["yes", "no"]
    assert [r["flag"] for r in rows] == [""] * 5 + ["score", "foreign"]
    assert [r["passed"] for r in rows] == ["yes", "yes", "yes", "no", "no", "", ""]
    assert [(r["right"], r["of"]) for r in rows[2:5]] == [("5", "5"), ("2", "5"), ("3", "5")]
    # of a sheet of paper only the day is known
    assert [r["finished (UTC)"] for r in rows[3:5]] == ["2026-03-12 09:00", "2026-03-10"]
    assert [r["handed in as"] for r in rows[3:5]] == ["file", "paper"]
    assert (rows[6]["where"], rows[6]["crew"], rows[6]["lesson"], rows[6]["what"], rows[6]["what to do"]) == (
        "b.json:2",
        "P-9",
        "x",
        "bad <b>",
        "mend",
    )


# --- the page -----------------------------------------------------------------------------------


def test_the_line_on_top(site: JobSite, made: Readiness) -> None:
    html = page(made)
    assert "<b>1 of 3</b> people are ready for all their machines. " in html
    assert ' <a href="#people" data-look="state=take-again"><b>1</b> must take a lesson again</a>, as its numbers have changed.' in html
    assert "<b>2</b> results or sign-offs are flagged: see the end of this page." in html and "Results up to 2026-03-12." in html
    assert ", invented site." in html
    none = page(of(site))
    assert "<b>0 of 3</b> people" in none and "must take" not in none and "are flagged" not in none and "No results yet." in none
    real = page(of(dataclasses.replace(site, settings=dataclasses.replace(site.settings, invented=False))))
    assert "invented site" not in real
    # whoever is ready for one machine of two is not ready for all
    half = of(site, [done(), done(of=TRUCK)], [sign(), sign(id_="truck-match")]).people[0]
    lacking = dataclasses.replace(
        half, machines=(half.machines[0], dataclasses.replace(half.machines[1], gaps=(("x", "not taken", "not taken"),)))
    )
    assert "<b>0 of 1</b> people" in page(dataclasses.replace(made, people=(lacking,)))


def test_lessons_by_person(made: Readiness) -> None:
    html = page(made)
    key = html[html.index("<h2>Lessons by person</h2>") :]
    assert [unescape(re.sub("<[^>]+>", "", x)) for x in re.findall("<li>(.*?)</li>", key)] == [
        f"{SHORT[k]} {k}: {v}" for k, v in STATES.items()
    ]
    assert len(set(SHORT.values())) == len(STATES)
    loaders, drivers = re.findall(r'<table class="matrix">(.*?)</table>', html, re.S)
    rows = cells(loaders)
    assert rows[0] == ["Crew", "Truck-match", "Bench-height", "Seat time"]
    assert rows[1][0] == "P-01 Ines Holloway" and [c.split("|")[0] for c in rows[1][1:3]] == [SHORT["ready"]] * 2
    assert [c.split("|")[-1] for c in rows[2][1:3]] == ["not passed, 2 of 5", "take again, signed off"]
    assert [c.split("|")[0] for c in rows[2][1:3]] == [SHORT["not passed"], SHORT["take again"]]
    assert rows[1][3] == "E-1: |ready, signed on E-2|E-2: |ready" and rows[2][3] == "E-2: 2 missing"
    assert cells(drivers)[0] == ["Crew", "Truck-match", "Seat time"] and "<caption>Driver</caption>" in drivers
    assert [(title, [p.person.id for p in people]) for title, people in s_roles(made)] == [
        ("Loader", ["P-01", "P-02"]),
        ("Driver", ["P-03"]),
    ]


def test_seat_time_by_person_and_machine(site: JobSite, made: Readiness) -> None:
    html = page(made)
    loaders, drivers = re.findall(r'<table role="table" class="wide stack">(.*?)</table>', html, re.S)
    rows = cells(loaders)
    assert rows[0] == ["Crew", "Lessons", "Machine", "Seat time", "Missing before seat time"]
    assert rows[1] == [
        "P-01 Ines Holloway",
        "2 of 2 passed|2 signed|latest 2026-03-10",
        "E-1, excavator",
        "ready, signed on E-2",
        "nothing",
    ]
    assert rows[2] == ["E-2, excavator", "ready", "nothing"]  # the same person's other machine
    assert rows[3][1:4] == ["0 of 2 passed|1 signed|latest 2026-03-12", "E-2, excavator", "not ready"]
    assert rows[3][4] == ("take again|: Bench-height (signed off; stick length of the machine: 9 ft (2.7 m) is now 10 ft (3 m))"
                          "|not passed|: Truck-match (2 of 5)")  # fmt: skip
    assert loaders.count("<tbody") == 2 and loaders.count('rowspan="2"') == 2 and len(cells(drivers)) == 2
    assert loaders.count('role="rowheader"') == 2 and loaders.count('role="columnheader"') == 5 and loaders.count('role="row"') == len(rows)
    assert loaders.count('role="rowgroup"') == 3 and loaders.count('data-head="Seat time"') == len(rows) - 1
    # machines that lack the same share a row; one that lacks something else has its own
    rows = cells(re.findall(r'<table role="table" class="wide stack">(.*?)</table>', page(of(site)), re.S)[0])
    assert len(rows) == 3 and rows[1][1:] == [
        "0 of 2 passed|0 signed|no result yet", "E-1 E-2, excavator", "not ready", "not taken|: Bench-height · Truck-match"]  # fmt: skip


@pytest.mark.parametrize(("count", "told"), [(1, "n1"), (3, "n1; n2; n3"), (4, "n1; n2; n3; and more"), (6, "n1; n2; n3; and more")])
def test_numbers_that_changed_are_named_up_to_three(made: Readiness, count: int, told: str) -> None:
    person = made.people[1]
    changed = tuple(f"n{i}" for i in range(1, count + 1))
    standing = dataclasses.replace(person.standings["bench-height"], changed=changed)
    other = dataclasses.replace(person.standings["truck-match"], changed=changed)  # not taken again: nothing to tell
    more = dataclasses.replace(person, standings={"bench-height": standing, "truck-match": other})
    html = page(dataclasses.replace(made, people=(more,)))
    assert f"<li><b>take again</b>: Bench-height (signed off; {told})</li><li><b>not passed</b>: Truck-match (2 of 5)</li>" in html


def a_question(n: int, right: int, of_: int = 4, **more: Any) -> QuestionLine:
    made: dict[str, Any] = {"mistake": "used-the-boom", "mistake_count": of_ - right} | more
    return QuestionLine("bench-height", "Bench height", "2026-1", f"q-{n:02}", f"Ask {n}?", n == 1, of_, right, of_, right, **made)


def questions_of(r: Readiness, questions: list[QuestionLine]) -> tuple[list[list[str]], list[list[str]], str]:
    html = page(dataclasses.replace(r, questions=tuple(questions)))
    part = html[html.index("<h2>Questions, hardest first</h2>") : html.index('<h2 id="flagged">')]
    shown, _, folded = part.partition("<details>")
    return cells(shown)[1:], cells(folded)[1:], part


def test_questions_hardest_first(made: Readiness) -> None:
    shown, folded, part = questions_of(
        made, [a_question(1, 3), a_question(2, 1), a_question(3, 4, mistake="", mistake_count=0), a_question(4, 1)]
    )
    assert [r[0] for r in shown] == ["q-02", "q-04", "q-01, must be right"] and [r[0] for r in folded] == ["q-03"]
    assert shown[0][1:] == ["Bench height", "Ask 2?", "4", "25%", "used the boom (3)"] and folded[0][1:] == [
        "Bench height",
        "Ask 3?",
        "4",
        "100%",
        "",
    ]
    assert "The other 1 questions" in part
    old = dataclasses.replace(a_question(1, 3), edition="2025-9")
    assert questions_of(made, [old])[0][0][1] == "Bench height (edition 2025-9)"
    none = questions_of(made, [a_question(3, 4)])
    assert "No question has been missed yet." in none[2] and len(none[1]) == 1
    assert "<details>" not in questions_of(made, [a_question(1, 3)])[2]


def test_the_hardest_questions_stand_open_and_the_rest_is_folded(made: Readiness) -> None:
    missed = [a_question(n, 1) for n in range(1, MOST_SHOWN + 3)]
    shown, folded, part = questions_of(made, [*missed, a_question(90, 4)])
    assert len(shown) == MOST_SHOWN and [r[0] for r in folded] == [f"q-{MOST_SHOWN + 1}", f"q-{MOST_SHOWN + 2}", "q-90"]
    assert "The other 3 questions" in part
    assert len(questions_of(made, missed[:MOST_SHOWN])[0]) == MOST_SHOWN and "<details>" not in questions_of(made, missed[:MOST_SHOWN])[2]


def test_lessons_to_teach_again(made: Readiness) -> None:
    html = page(
        dataclasses.replace(
            made, taught=(LessonLine("a", "A lesson", 4, 1, 20, 9, "q-3", True), LessonLine("b", "B", 0, 0, 0, 0, "q-1", False))
        )
    )
    rows = cells(html[html.index("<h2>Lessons to teach again</h2>") : html.index("<h2>Questions")])
    assert rows[1:] == [["A lesson", "4", "1", "45%", "q-3", "teach it again"], ["B", "0", "0", "", "q-1", ""]]


def test_figures_stand_to_the_right_in_their_columns(made: Readiness) -> None:
    html = page(made)
    lessons = html[html.index("<h2>Lessons to teach again</h2>") : html.index("<h2>Questions")]
    row = re.findall('<tr><th scope="row">.*?</tr>', lessons)[0]
    assert [("class=number" in t) for t in re.findall("<td[^>]*>", row)] == [True, True, True, False, False]
    row = re.findall('<tr><th scope="row">.*?</tr>', html[html.index("<h2>Questions") : html.index('<h2 id="flagged"')])[0]
    assert [("class=number" in t) for t in re.findall("<td[^>]*>", row)] == [False, False, True, True, False]


def test_what_is_flagged(site: JobSite, made: Readiness) -> None:
    html = page(made)
    part = html[html.index('<h2 id="flagged">') :]
    assert f"score: {NAMES['score']}; foreign: {NAMES['foreign']}." in unescape(part)
    assert cells(part)[1:] == [
        ["a.json:1", "score", "yes", "P-01", "bench-height", "shown", "ask"], ["b.json:2", "foreign", "no", "P-9", "x", "bad <b>", "mend"]]  # fmt: skip
    assert "bad &lt;b&gt;" in part and "Nothing is flagged." not in part and "<p>Nothing is flagged.</p>" in page(of(site))


@pytest.mark.parametrize(
    ("mistake", "words"),
    [
        ("used-the-boom", "used the boom"),
        ("half-2", "half 2"),
        ("left open", "left open"),
        ("boom", "boom"),
        ("A-b", "A-b"),
        ("a--b", "a--b"),
        ("On the 30-ton", "On the 30-ton"),
    ],
)
def test_a_mistakes_id_is_told_in_words(mistake: str, words: str) -> None:
    assert in_words(mistake) == words


# --- the terminal -------------------------------------------------------------------------------


def test_the_lines_for_a_terminal(made: Readiness) -> None:
    out = terminal(made, 200)
    assert out[0].endswith(", edition 2026-1: 5 results count, 3 sign-offs, 2 flagged, 1 other files left aside") and out[1] == ""
    rows = [re.split(r"\s{2,}", line) for line in out[2:7]]
    assert rows == [
        ["crew", "role", "passed", "signed", "again", "machine", "seat time"], ["P-01", "Loader", "2 of 2", "2 of 2", "E-1", "ready, signed on E-2"],
        ["", "E-2", "ready"], ["P-02", "Loader", "0 of 2", "1 of 2", "1", "E-2", "2 missing, first bench-height: take again, signed off"],
        ["P-03", "Driver", "0 of 1", "0 of 1", "T-1", "2 missing, first truck-match: not passed, 3 of 5"],
    ]  # fmt: skip
    # columns stand below each other
    assert len({line.index(x) for line, x in zip(out[2:7], ("machine", "E-1", "E-2", "E-2", "T-1"), strict=True)}) == 1
    assert len({line.index(x) for line, x in zip(out[2:4], ("passed", "2 of 2"), strict=True)}) == 1
    assert out[7:10] == ["", "Teach again:", "  truck-match: 1 of 3 passed at the first try, hardest question q-4"]
    assert out[10:15] == [
        "", "Hardest questions:", "  q-4 (truck-match): 33% of 3 right, most picked mistake: b (2)",
        "  q-5 (truck-match): 33% of 3 right, most picked mistake: b (2)", "  q-3 (truck-match): 67% of 3 right, most picked mistake: b (1)",
    ]  # fmt: skip
    assert out[15:19] == ["", "Flagged:", "  a.json:1: score: shown; ask (counts)", "  b.json:2: foreign: bad <b>; mend"]
    assert out[19:] == [
        "",
        "This week:",
        "  due:     nothing lapses within 60 days",
        "  held:    nothing",
        "  to sign: nobody waits for a sign-off",
    ]


def test_a_terminal_lists_five_questions_and_only_what_there_is(site: JobSite, made: Readiness) -> None:
    many = dataclasses.replace(made, questions=tuple(a_question(n, 1, mistake="m" * 80, mistake_count=3) for n in range(1, 8)))
    out = terminal(many, 300)
    start = out.index("Hardest questions:")
    assert [line.split()[0] for line in out[start + 1 : start + 6]] == [f"q-0{n}" for n in range(1, 6)] and out[start + 6] == ""
    assert out[start + 1].endswith(f"most picked mistake: {'m' * 60} (3)")
    bare = dataclasses.replace(made, questions=(a_question(1, 3, mistake="", mistake_count=0),))
    assert "  q-01 (bench-height): 75% of 4 right" in terminal(bare)
    assert terminal(dataclasses.replace(made, people=()))[2].split()[0] == "crew"
    none = terminal(of(site))
    assert none[0].endswith(": 0 results count, 0 sign-offs, 0 flagged") and len(none) == 12
    assert not {"Teach again:", "Hardest questions:", "Flagged:"} & set(none)


def test_a_line_that_just_fits_is_not_cut(made: Readiness) -> None:
    lines = terminal(made, 1000)
    longest = max(lines[2:7], key=len)
    at = lines.index(longest)
    assert terminal(made, len(longest))[at] == longest
    assert terminal(made, len(longest) - 1)[at] == longest[:-2] + "…"


# --- writing ------------------------------------------------------------------------------------


def test_the_report_is_written_whole_and_leaves_nothing_beside(made: Readiness, tmp_path: Path) -> None:
    place = tmp_path / "deep" / "records"
    paths = write(made, place)
    assert [p.name for p in paths] == [
        "readiness.csv",
        "people.csv",
        "questions.csv",
        "lessons.csv",
        "results.csv",
        "due.csv",
        "readiness.html",
    ]
    assert sorted(p.name for p in place.iterdir()) == sorted(p.name for p in paths)
    assert all(p.read_bytes().decode("utf-8") == files(made)[p.name] for p in paths)
    assert write(made, place) == paths and len(list(place.iterdir())) == 7
