"""Paper quizzes have figures of their own, keys stay out of the web folder, answers are marked."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.reader import read
from generator.quiz.asked import MOST_ASKED
from generator.records.desk import tally
from tests.conftest import copy_demo, once
from tests.records.small import NOW

LESSON, CREW = "bench-height", ("P-04", "P-05")


@pytest.fixture(scope="session")
def printed(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built, with two paper quizzes."""

    def make(folder: Path) -> None:
        copy_demo(folder)
        for name in ("out", "editions"):
            shutil.copytree(demo / name, folder / name)
        assert main(["paper", str(folder), "--lesson", LESSON, "--crew", *CREW]) == 0

    return once(tmp_path_factory, "printed", make)


@pytest.fixture
def site(printed: Path, tmp_path: Path) -> Path:
    target = tmp_path / "site"
    shutil.copytree(printed, target, ignore=shutil.ignore_patterns("web"))
    return target


def sheets(site: Path) -> list[dict[str, Any]]:
    found = [json.loads(p.read_text("utf-8")) for p in (site / "editions/paper").glob("*.json")]
    return sorted(found, key=lambda s: str(s["crew"]))


def key_answers(site: Path, sheet: dict[str, Any]) -> list[str]:
    """The answers as the printed key says them."""
    name = f"{sheet['lesson']}-{sheet['crew']}-{sheet['sheet'].replace('-', '')}-key.html"
    html = (site / "out/mentor/paper" / name).read_text("utf-8")
    return [re.sub(r"<[^>]*>.*", "", a).strip() for a in re.findall(r'<p class="answer">(.*?)</p>', html)]


def filled(site: Path, rows: list[list[str]]) -> Path:
    """The answer table, filled in."""
    text = (site / "out/mentor/paper/answers.csv").read_text("utf-8-sig")
    head = next(csv.reader(io.StringIO(text)))
    path = site / "filled.csv"
    with path.open("w", encoding="utf-8", newline="") as f:
        csv.writer(f).writerows([head, *rows])
    return path


def keep_one_lesson(site: Path) -> None:
    """Leaves the lesson of the sheets in the kept edition: reading all of them takes a second a tally."""
    path = site / "editions" / f"{read(site).settings.edition}.json"
    kept = json.loads(path.read_text("utf-8"))
    kept["lessons"] = {LESSON: kept["lessons"][LESSON]}
    path.write_text(json.dumps(kept), "utf-8")


def test_no_paper_question_or_key_is_in_the_web_folder(printed: Path) -> None:
    web = [p for p in (printed / "out/web").rglob("*") if p.is_file()]
    assert web and not any("paper" in p.name or "key" in p.stem.split("-") for p in web)
    content = b"".join(p.read_bytes() for p in web)
    for sheet in sheets(printed):
        assert sheet["sheet"].encode() not in content and sheet["sheet"].replace("-", "").encode() not in content
    assert b"Keep it in the mentor folder" not in content and b"seatwork_paper" not in content
    assert (printed / "out/mentor/paper/index.html").is_file()


def test_each_person_gets_figures_of_their_own_and_not_the_webs(printed: Path) -> None:
    edition = read(printed).settings.edition
    web = json.loads((printed / "editions" / f"{edition}.json").read_text("utf-8"))["lessons"][LESSON]["questions"]
    a, b = ({q["id"]: q["variants"][0]["us"] for q in s["questions"]} for s in sheets(printed))
    must = {q["id"] for q in web if q["must"]}
    for sheet in (a, b):  # a sheet asks as many of the pool as a try in the page does
        assert must <= set(sheet) < {q["id"] for q in web} and len(sheet) == MOST_ASKED
    assert a != b
    for i in range(len(web[0]["variants"])):
        drawn = {q["id"]: q["variants"][i]["us"] for q in web}
        assert all({k: drawn[k] for k in sheet} != sheet for sheet in (a, b))
    pages = [p.read_text("utf-8") for p in (printed / "out/mentor/paper").glob(f"{LESSON}-P-04-*.html") if "-key" not in p.name]
    assert len(pages) == 1 and "<input" not in pages[0] and "The working" not in pages[0]
    assert sheets(printed)[0]["sheet"] in pages[0]


def test_the_answers_of_the_printed_key_are_all_right(site: Path) -> None:
    rows = [[s["sheet"].lower(), s["crew"], s["lesson"], "2026-04-20", *key_answers(site, s)] for s in sheets(site)]
    done = tally(read(site), [filled(site, rows)], NOW)
    assert done.flags == []
    assert [(m.result.crew, m.right, m.passed) for m in done.marked] == [(c, len(sheets(site)[0]["questions"]), True) for c in CREW]


def test_open_and_wrong_answers_are_wrong_and_mistypings_are_named(site: Path) -> None:
    keep_one_lesson(site)
    # each sheet asks some of the pool by chance: here one that has a number to work out
    first = next(s for s in sheets(site) if {"number", "one"} <= {q["kind"] for q in s["questions"]})
    second = next(s for s in sheets(site) if s["crew"] != first["crew"])
    good = key_answers(site, first)
    count, tables = len(good), read(site)
    numbers = [i for i, q in enumerate(first["questions"]) if q["kind"] == "number"]
    ones = [i for i, q in enumerate(first["questions"]) if q["kind"] == "one"]

    def row(changes: dict[int, str], day: str = "2026-04-20", sheet: dict[str, Any] = first, crew: str = "") -> list[str]:
        return [sheet["sheet"], crew, "", day, *(changes.get(i, a) for i, a in enumerate(good))]

    def one(cells: list[str]) -> tuple[int | None, list[str]]:
        done = tally(tables, [filled(site, [cells])], NOW)
        return (done.marked[0].right if done.marked else None), [f.name for f in done.flags]

    assert one(row({})) == (count, [])
    assert one(row({numbers[0]: ""})) == (count - 1, [])
    assert one(row({numbers[0]: "0.001"})) == (count - 1, [])
    assert one(row({numbers[0]: "about five"})) == (None, ["mistyped"])
    assert one(row({ones[0]: "Z"})) == (None, ["mistyped"])
    assert one(row({ones[0]: "A B"})) == (None, ["mistyped"])
    assert one(row({}, day="")) == (None, ["unreadable"])
    assert one(row({}, day="2026-06-20")) == (None, ["future"])
    assert one(row({}, day="4/5/2026")) == (count, [])  # 5 April: the demo's settings say month first
    assert one(row({}, day="5/4/2026")) == (None, ["future"])
    assert one(row({}, crew=second["crew"])) == (None, ["mistyped"])
    assert one(["0000-0000", *row({})[1:]]) == (None, ["mistyped"])
    assert one(["../../settings", *row({})[1:]]) == (None, ["mistyped"])
    assert one([first["sheet"], "", "", "", *[""] * count]) == (None, [])
    twice = tally(tables, [filled(site, [row({}), row({})])], NOW)
    assert len(twice.marked) == 1 and [f.name for f in twice.flags] == ["duplicate"]
    other = tally(tables, [filled(site, [row({}), row({numbers[0]: ""})])], NOW)
    assert other.marked == [] and [f.name for f in other.flags] == ["conflict", "conflict"]


def test_printing_again_overwrites_nothing(site: Path, capsys: Any) -> None:
    place = site / "out/mentor/paper"
    (place / "answers.csv").write_text("typed by hand " + (place / "answers.csv").read_text("utf-8-sig"), "utf-8")
    before = {p.name: p.read_bytes() for p in place.iterdir()}
    assert main(["paper", str(site), "--lesson", LESSON, "--crew", *CREW]) == 0
    assert "answers:" not in capsys.readouterr().out
    assert {p.name: p.read_bytes() for p in place.iterdir()} == before
    assert main(["paper", str(site), "--lesson", LESSON, "--crew", "P-04", "--attempt", "2"]) == 0
    assert (place / "answers-2.csv").is_file() and len(sheets(site)) == 3
    assert all((place / name).read_bytes() == content for name, content in before.items() if name != "index.html")


def test_paper_says_what_it_does_not_know(site: Path, capsys: Any) -> None:
    assert main(["paper", str(site), "--lesson", "bench-hight", "--crew", "P-77"]) == 2
    err = capsys.readouterr().err
    assert "no crew id 'P-77'" in err and "did you mean bench-height?" in err
    shutil.rmtree(site / "editions")
    assert main(["paper", str(site), "--lesson", LESSON]) == 2
    assert "run seatwork build first" in capsys.readouterr().err
