"""Editions as they are kept and found again, and what a change of their numbers is. Worked out by hand, no source."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from generator.records.editions import (
    Change,
    LedgerFile,
    _sets,
    changes,
    compare,
    lesson_of,
    load_editions,
    read_ledger,
    texts,
)
from generator.records.flags import Refused
from generator.records.intake import Lessons
from generator.source.jsontext import NotAsWritten
from tests.records.small import ledger, put_edition, questions

Row = dict[str, Any]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    put_edition(tmp_path)
    return tmp_path


def row(
    us: str = "10 ft", metric: str = "3 m", what: str = "bench height", place: str = "text: E-2", page: str = "lessons/bench-height.html"
) -> Row:
    return {"page": page, "place": place, "what": what, "us": us, "metric": metric}


def edited(folder: Path, change: Any, edition: str = "2026-1") -> Path:
    """The edition's file with a change of what stands in it."""
    path = folder / "editions" / f"{edition}.json"
    data = json.loads(path.read_text("utf-8"))
    change(data)
    path.write_text(json.dumps(data), "utf-8")
    return path


# --- finding a lesson's marking -----------------------------------------------------------------


def test_a_lesson_is_found_by_its_edition_and_figures(folder: Path) -> None:
    kept = load_editions(folder)
    found = kept.find("2026-1", "bench-height", None)
    assert (found.id, found.edition, found.title, found.about, found.pass_mark) == (
        "bench-height",
        "2026-1",
        "Bench-height",
        "excavator",
        0.8,
    )
    assert (
        [q["id"] for q in found.questions] == [q["id"] for q in questions()]
        and found.ledger == folder / "editions" / "2026-1.ledger.json"
        and len(found.figures) == 8
    )
    # a slip has room for five digits of them only
    assert kept.find("2026-1", "bench-height", found.figures) is found and kept.find("2026-1", "bench-height", found.figures[:5]) is found
    assert [m.id for m in kept.lessons("2026-1")] == ["bench-height", "truck-match"] and kept.lessons("2025-1") == []


def test_a_lesson_of_the_same_figures_in_another_edition_or_lesson_is_not_taken(folder: Path) -> None:
    figures = load_editions(folder).find("2026-1", "bench-height", None).figures
    put_edition(folder, "2026-2")
    kept = load_editions(folder)
    found = kept.find("2026-2", "bench-height", figures)
    assert (found.edition, found.figures) == ("2026-2", figures)  # the same questions on the same numbers
    assert kept.find("2026-2", "bench-height", figures[:5]) is found
    assert kept.find("2026-2", "truck-match", None).id == "truck-match"
    with pytest.raises(Refused, match="it was taken on figures of edition 2026-2"):
        kept.find("2026-2", "truck-match", figures)


@pytest.mark.parametrize(
    ("edition", "lesson", "figures", "what", "fix"),
    [
        ("1999-1", "bench-height", None, "edition '1999-1' is not kept here", "put its file back into editions/"),
        ("e" * 60, "bench-height", None, f"edition '{'e' * 40}' is not kept here", "put its file back into editions/"),
        ("2026-1", "tea", None, "edition 2026-1 has no lesson 'tea'", "check which handbook it comes from"),
        ("2026-1", "t" * 60, "00000", f"edition 2026-1 has no lesson '{'t' * 40}'", "check which handbook it comes from"),
        ("2026-1", "bench-height", "00000", "it was taken on figures of edition 2026-1 that are not kept here",
         "put the older files back into editions/, or ask for another try"),
    ],
)  # fmt: skip
def test_what_is_not_kept_is_told(folder: Path, edition: str, lesson: str, figures: str | None, what: str, fix: str) -> None:
    with pytest.raises(Refused) as told:
        load_editions(folder).find(edition, lesson, figures)
    assert (told.value.name, told.value.what, told.value.fix) == ("foreign", what, fix)


def test_figures_an_edition_was_built_with_before_stay_findable(folder: Path) -> None:
    first = load_editions(folder).find("2026-1", "bench-height", None)
    assert put_edition(folder, "2026-1", ledger("2026-1", bench="12 ft"))
    kept = load_editions(folder)
    newest = kept.find("2026-1", "bench-height", None)
    assert newest.figures != first.figures and newest.ledger.name == "2026-1.ledger.json"
    for figures in (first.figures, first.figures[:5]):
        older = kept.find("2026-1", "bench-height", figures)
        assert older.figures == first.figures and older.ledger.name not in {"2026-1.ledger.json"} and older.ledger.is_file()
    assert len(kept.lessons("2026-1")) == 2 and kept.names == ("2026-1",)
    # where only the older figures are left, a result on them still counts and one on the newer does not
    (folder / "editions" / "2026-1.json").unlink()
    kept = load_editions(folder)
    assert kept.find("2026-1", "bench-height", first.figures).figures == first.figures
    for lost in (None, newest.figures):
        with pytest.raises(Refused, match="it was taken on figures of edition 2026-1 that are not kept here"):
            kept.find("2026-1", "bench-height", lost)


def test_figures_that_came_back_are_those_of_the_editions_own_file(folder: Path) -> None:
    first = load_editions(folder).find("2026-1", "bench-height", None)
    for bench in ("12 ft", "10 ft"):
        put_edition(folder, "2026-1", ledger("2026-1", bench=bench))
    kept = load_editions(folder)
    assert len(list((folder / "editions").glob("2026-1.*[0-9a-f].json"))) >= 2  # both are kept beside it
    for figures in (first.figures, first.figures[:5], None):
        found = kept.find("2026-1", "bench-height", figures)
        assert (found.figures, found.ledger.name) == (first.figures, "2026-1.ledger.json")


def test_a_title_is_that_of_the_last_edition_that_was_read(folder: Path) -> None:
    put_edition(folder, "2026-2")
    edited(folder, lambda d: d["lessons"]["bench-height"].update(title="Newer title"), "2026-2")
    edited(folder, lambda d: d["lessons"].update({"old": d["lessons"]["truck-match"] | {"title": "An old one"}}))
    kept = load_editions(folder)
    assert kept.title("bench-height") == "Newer title" and kept.title("old") == "An old one"
    assert kept.title("tea") is None and not kept.knows("tea") and kept.knows("old")


def test_lessons_that_may_be_signed_are_those_of_the_roles_and_of_any_edition(folder: Path) -> None:
    lessons = Lessons(load_editions(folder), ["planned"])
    assert "planned" in lessons and "bench-height" in lessons and "tea" not in lessons
    assert list(lessons) == ["planned", "bench-height", "truck-match"] and len(lessons) == 3


# --- editions that are damaged ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda d: d.update(seatwork_edition=2), "it is no edition"), (lambda d: d.update(edition=7), ""), (lambda d: d.update(lessons=[]), ""),
        (lambda d: d.update(pass_mark="most"), ""), (lambda d: d["lessons"]["bench-height"].pop("title"), ""),
        (lambda d: d["lessons"]["bench-height"].update(about=None), ""), (lambda d: d["lessons"]["bench-height"].update(figures=5), ""),
        (lambda d: d["lessons"]["bench-height"].update(questions={}), ""), (lambda d: d["lessons"]["bench-height"]["questions"].append(7), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0].pop("kind"), ""), (lambda d: d["lessons"]["bench-height"]["questions"][0].update(id=1), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0].update(must="yes"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0].update(variants=None), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0]["variants"][0].pop("metric"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0]["variants"][0]["us"].pop("unit"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0]["variants"][0]["us"].update(accept=[]), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][0]["variants"][0]["us"].pop("mistakes"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][1]["variants"][0]["us"].pop("order"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][1].pop("count"), ""), (lambda d: d["lessons"]["bench-height"]["questions"][1].pop("right"), ""),
        (lambda d: d["lessons"]["bench-height"]["questions"][1].update(right=[99]), "a choice is not what was written"),
        (lambda d: d["lessons"]["bench-height"]["questions"][1].update(right=[-1]), "a choice is not what was written"),
        (lambda d: d["lessons"]["bench-height"]["questions"][1].update(right=[True]), "a choice is not what was written"),
        (lambda d: d["lessons"]["bench-height"]["questions"][1]["variants"][0]["us"].update(order=[0, 1, 9]), "a choice is not what was written"),
    ],
)  # fmt: skip
def test_an_edition_with_a_part_that_is_no_such_part_marks_nothing(folder: Path, change: Any, why: str) -> None:
    put_edition(folder, "2026-2")
    edited(folder, change)
    kept = load_editions(folder)
    with pytest.raises(Refused, match="edition '2026-1' is not kept here"):
        kept.find("2026-1", "bench-height", None)
    (flag,) = kept.flags
    assert (flag.where, flag.name, flag.fix) == ("editions/2026-1.json", "unreadable", "put back the file the build wrote")
    assert flag.what.startswith("this edition cannot be read (") and why in flag.what
    assert kept.find("2026-2", "bench-height", None).edition == "2026-2" and kept.names == ("2026-2",)
    kept.read("2026-1")
    assert len(kept.flags) == 1  # told once


def test_a_file_cut_off_is_told_at_once_and_what_comes_after_its_end_does_no_harm(folder: Path) -> None:
    path = folder / "editions" / "2026-1.json"
    text = path.read_text("utf-8")
    path.write_text(text + "\n \n", "utf-8")
    assert load_editions(folder).names == ("2026-1",)
    for cut in (text.rstrip()[:-4], text[:5000], text[:30], ""):
        path.write_text(cut, "utf-8")
        kept = load_editions(folder)
        assert kept.names == () and [f.what for f in kept.flags] == ["this edition cannot be read (it is cut off)"]
    path.write_text(text.replace('"edition": "2026-1"', '"edition": "2026-1\\x"', 1), "utf-8")
    assert [f.what for f in load_editions(folder).flags] == ["this edition cannot be read (its first line is damaged)"]


def test_an_edition_is_known_by_what_it_says_and_not_by_its_files_name(folder: Path) -> None:
    path = folder / "editions" / "2026-1.json"
    for name in ("2026-1 (copy).json", "aa.json"):
        path = path.rename(folder / "editions" / name)
        kept = load_editions(folder)
        assert kept.names == ("2026-1",) and kept.lessons("2026-1") == []  # which are the newest nobody knows
        figures = next(iter(kept.by_figures))[2]
        assert kept.find("2026-1", "bench-height", figures).figures == figures


def test_a_part_of_the_first_figures_is_enough_to_be_told_cut_off(folder: Path) -> None:
    (folder / "editions" / "2026-9.json").mkdir()
    kept = load_editions(folder)
    assert kept.names == ("2026-1",) and [f.where for f in kept.flags] == ["editions/2026-9.json"]
    assert kept.flags[0].what == "this edition cannot be read (Is a directory)"


# --- ledgers ------------------------------------------------------------------------------------


def test_a_ledger_is_read_with_what_it_says(tmp_path: Path) -> None:
    path = tmp_path / "ledger.json"
    data: Row = {"ledger": 1, "site": "s", "edition": "e", "numbers": [row()]}
    path.write_text(json.dumps(data), "utf-8")
    assert read_ledger(path) == LedgerFile(path, "s", "e", [row()], None, None)
    path.write_text(json.dumps(data | {"only": ["a.html"], "units": "metric"}), "utf-8")
    assert read_ledger(path) == LedgerFile(path, "s", "e", [row()], frozenset({"a.html"}), "metric")
    path.write_text(json.dumps(data | {"units": "ells"}), "utf-8")
    assert read_ledger(path).units is None
    wrong = [
        data | {"ledger": 2},
        data | {"numbers": {}},
        data | {"numbers": [row() | {"us": 5}]},
        data | {"only": "a"},
        data | {"site": 1},
        [data],
    ]
    wrong += [{k: v for k, v in data.items() if k != key} for key in data]
    wrong += [data | {"numbers": [{k: v for k, v in row().items() if k != key}]} for key in row()]
    for bad in wrong:
        path.write_text(json.dumps(bad), "utf-8")
        with pytest.raises(Refused, match="this is no ledger") as told:
            read_ledger(path)
        assert (told.value.name, told.value.fix) == ("unreadable", "name a ledger.json that a build wrote")
    with pytest.raises(Refused, match="there is no such file"):
        read_ledger(tmp_path / "gone.json")


@pytest.mark.parametrize(
    ("old", "new", "holds"),
    [
        ([row()], [row()], []), ([row()], [row("11 ft")], [True]), ([row()], [row(metric="3.1 m")], [True]), ([row()], [], [False]), ([], [row()], [False]),
        # on another machine it is still the number of that place, in a table it is that machine's
        ([row()], [row("11 ft", place="text: E-3")], [True]), ([row(place="table: E-1")], [row("11 ft", place="table: E-2")], [False, False]),
        ([row(place="table: E-1")], [row("11 ft", place="table: E-1")], [True]),
        # words in brackets are no number, figures in them are
        ([row("10 ft (not a safe limit)")], [row()], []), ([row("10 ft (about 3)")], [row()], [True]), ([row("10 ft(x)")], [row()], []),
        # scale bars are no numbers of the lesson
        ([row(place="scale bar")], [row("11 ft", place="scale bar")], None),
        # two figures in one place: those that stand in both are no change
        ([row(), row("12 ft")], [row("12 ft"), row()], []), ([row(), row("12 ft")], [row(), row("13 ft")], [True]), ([row(), row()], [row()], []),
        # a drawing through which a reader moves is a series; one that shows one figure is not
        ([row(place="drawing: E-1")], [row("11 ft", place="drawing: E-1")], [True]),
        ([row(place="drawing"), row("12 ft", place="drawing")], [row("11 ft", place="drawing")], [False]),
        ([row(place="drawing")], [row("11 ft", place="drawing"), row("12 ft", place="drawing")], [False]),
        ([row(), row("12 ft")], [row("11 ft"), row("13 ft")], [True]),
        # another page, another number
        ([row(), row(page="lessons/a.html")], [row(), row("12 ft", page="lessons/a.html")], [True]), ([row()], [row("11 ft", what="reach")], [False, False]),
    ],
)  # fmt: skip
def test_what_is_a_change(old: list[Row], new: list[Row], holds: list[bool] | None) -> None:
    from generator.working.ledger import SCALE

    if holds is None:
        old, new, holds = [r | {"place": SCALE} for r in old], [r | {"place": SCALE + ": E-1"} for r in new], []
    assert [c.holds_no_longer for c in changes(old, new)] == holds


def test_a_change_says_both_figures_and_stands_by_page_and_place() -> None:
    old = [
        row("1 ft", "0.3 m", page="lessons/b.html"),
        row("2 ft", "0.6 m", page="lessons/a.html", place="table: E-2"),
        row("5 ft", "1.5 m", page="lessons/a.html"),
    ]
    new = [row("3 ft", "0.9 m", page="lessons/b.html"), row("4 ft", "1.2 m", page="lessons/a.html", place="table: E-2")]
    assert changes(old, new) == [
        Change("lessons/a.html", "table: E-2", "bench height", (("2 ft", "0.6 m"),), (("4 ft", "1.2 m"),), False),
        Change("lessons/a.html", "text", "bench height", (("5 ft", "1.5 m"),), (), False),
        Change("lessons/b.html", "text", "bench height", (("1 ft", "0.3 m"),), (("3 ft", "0.9 m"),), False),
    ]
    assert [c.lesson for c in changes(old, new)] == ["a", "a", "b"]
    alone = Change("lessons/a.html", "text", "bench height", (("2 ft", "0.6 m"),), (("4 ft", "1.2 m"),))
    assert alone.holds_no_longer  # no drawing of many figures unless it says so


@pytest.mark.parametrize(
    ("old_only", "new_only", "pages"),
    [(None, None, "ab"), (["a"], None, "a"), (None, ["b"], "b"), (["a"], ["a", "b"], "a"), (["a"], ["b"], "")],
)
def test_two_ledgers_are_compared_on_the_pages_both_hold(old_only: Any, new_only: Any, pages: str) -> None:
    def made(us: str, only: Any) -> LedgerFile:
        return LedgerFile(Path("x"), "s", "e", [row(us, page="a"), row(us, page="b")], None if only is None else frozenset(only))

    assert "".join(c.page for c in compare(made("1 ft", old_only), made("2 ft", new_only))) == pages


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("machine.stick_length", "stick length of the machine"), ("truck.rated_payload", "rated payload of the truck"), ("job.slope.height", "slope height of the job"),
        ("material.density", "density of the material"), ("limits.cut_2", "cut 2 (limits)"), ("bench height", "bench height"), ("Reach. At 3", "Reach. At 3"),
        ("machine.", "machine."), ("Machine.reach", "Machine.reach"),
    ],
)  # fmt: skip
def test_a_number_is_named_in_words(what: str, words: str) -> None:
    assert Change("p", "text", what, (), ()).words == words


def test_pages_that_are_no_lesson() -> None:
    assert lesson_of("lessons/a-b.html") == "a-b" and lesson_of("sheets/lessons/a.html") == "" and lesson_of("index.html") == ""


def test_figures_are_told_in_the_sites_own_units_first() -> None:
    pairs = [("10 ft", "3 m"), ("5", "5"), ("20 ft", "6 m"), ("30 ft", "9 m")]
    assert texts(pairs[:2], "us") == "10 ft (3 m), 5" and texts(pairs[:2], "metric") == "3 m (10 ft), 5"
    assert texts(pairs, "us", 3) == "10 ft (3 m), 5, 20 ft (6 m), …" and texts(pairs[:3], "us", 3) == "10 ft (3 m), 5, 20 ft (6 m)"


def test_numbers_of_a_lesson_that_hold_no_longer(folder: Path) -> None:
    put_edition(folder, "2026-2", ledger("2026-2", bench="12 ft", reach="40 ft", loads="7"))
    kept = load_editions(folder)
    old, new = (kept.find(e, "bench-height", None) for e in ("2026-1", "2026-2"))
    found = kept.changed(old, new)
    assert found is not None and [(c.page, c.what, c.old, c.new) for c in found] == [
        ("lessons/bench-height.html", "bench height", (("10 ft", "3.05 m"),), (("12 ft", "3.05 m"),))
    ]
    assert kept.changed(old, new) is found and kept.changed(old, old) == []
    trucks = [kept.find(e, "truck-match", None) for e in ("2026-1", "2026-2")]
    assert trucks[0].figures != trucks[1].figures and kept.changed(*trucks) == []  # a number more takes no pass away
    for gone in ("2026-1", "2026-2"):
        fresh = load_editions(folder)
        pair = [fresh.find(e, "bench-height", None) for e in ("2026-1", "2026-2")]
        path = folder / "editions" / f"{gone}.ledger.json"
        text = path.read_text("utf-8")
        path.write_text("{", "utf-8")
        assert fresh.changed(*pair) is None and fresh.rows(path) is None
        path.write_text(text, "utf-8")
        assert load_editions(folder).changed(*pair)


def test_questions_asked_anew_on_the_same_numbers_leave_a_pass_as_it_is(folder: Path) -> None:
    other = questions()
    other[0]["variants"].reverse()
    put_edition(folder, "2026-2", ledger("2026-2"), {"bench-height": other})
    kept = load_editions(folder)
    old, new = (kept.find(e, "bench-height", None) for e in ("2026-1", "2026-2"))
    assert old.figures != new.figures and kept.changed(old, new) == []


@pytest.mark.parametrize(
    ("sets", "kept"),
    [([[0, 1], [1]], ((0, 1), (1,))), ([], ()), ([[0]], ((0,),)), ([[]], None), ([0], None), ([[0, 2]], None), ([[-1]], None), ([[True]], None),
     ([["0"]], None), ({"0": 1}, None)],
)  # fmt: skip
def test_which_questions_a_try_may_ask_is_read_or_told(sets: Any, kept: tuple[tuple[int, ...], ...] | None) -> None:
    lesson = {"questions": [{}, {}], "sets": sets}
    if kept is None:
        with pytest.raises(NotAsWritten):
            _sets(lesson)
    else:
        assert _sets(lesson) == kept
    assert _sets({"questions": [{}]}) == ()
