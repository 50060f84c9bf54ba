"""What a tally spends on a file has limits, and on editions that nothing names it spends nothing."""

from __future__ import annotations

import json
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.reader import read
from generator.records import editions, letters
from generator.records.flags import NAMES, Refused
from generator.records.intake import MOST_BYTES, MOST_HINTS, Lessons
from generator.records.readiness import readiness
from generator.records.report import files
from generator.records.results import MOST_DEEP, MOST_PIECES, MOST_RESULTS, objects, read_file
from generator.records.tally import MOST_FLAGS
from tests.records.small import a_result, marking, put, put_edition, signed, small_site, tallied


@pytest.fixture(scope="module")
def one(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_site(tmp_path_factory.mktemp("limits") / "site")


@pytest.fixture
def site(one: Path, tmp_path: Path) -> Path:
    import shutil

    return Path(shutil.copytree(one, tmp_path / "site"))


HUGE: dict[str, Callable[[], str]] = {
    "three-million-numbers": lambda: "[" + "1," * 3_000_000 + "1]",
    "two-million-objects": lambda: "[" + "{}," * 2_000_000 + "{}]",
    "values-one-after-another": lambda: "1 " * 3_000_000,
    "lines-of-values": lambda: "1\n" * 3_000_000,
    "texts": lambda: '""' * 3_000_000,
    "blanks": lambda: " " * 7_900_000 + "x",
    "brackets": lambda: "[" * 7_900_000,
    "brackets-in-objects": lambda: '{"a":' * 1_500_000,
    "digits": lambda: "9" * 7_900_000,
    "digits-after-a-point": lambda: "0." + "9" * 7_900_000,
    "one-text": lambda: '{"seatwork_result":1,"crew":"' + "P" * 7_900_000 + '"}',
    "one-text-without-end": lambda: '"' + "P" * 7_900_000,
    "escapes": lambda: '"' + "\\u0041" * 1_300_000 + '"',
}


@pytest.mark.parametrize("name", HUGE)
def test_a_huge_file_is_one_flag_and_the_others_count(site: Path, name: str) -> None:
    put(site, "a.json", a_result(site))
    put(site, "huge.json", HUGE[name]())
    tracemalloc.start()
    try:
        done = tallied(site)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert len(done.marked) == 1
    assert [(f.where, f.name) for f in done.flags] == [("results/huge.json:1", "truncated" if name == "one-text" else "unreadable")]
    assert len(str(done.flags[0])) < 300 and peak < 200_000_000


def test_as_many_results_as_may_stand_in_one_file_are_read_and_one_more_is_not() -> None:
    good = json.dumps({"a": 1}) + "\n"
    assert len(objects(good * MOST_RESULTS)) == MOST_RESULTS
    assert objects(good * MOST_RESULTS)[-1][0] == MOST_RESULTS  # with its line
    with pytest.raises(Refused, match=f"more than {MOST_RESULTS:,} results"):
        objects(good * (MOST_RESULTS + 1))
    with pytest.raises(Refused, match="more than"):
        objects(json.dumps([{}] * (MOST_RESULTS + 1)))


def test_a_file_full_of_true_results_is_within_the_limits(site: Path) -> None:
    """The limits are no bar to what the player writes: as many as the largest file can hold."""
    text = json.dumps(a_result(site), separators=(",", ":")) + "\n"
    many = text * (MOST_BYTES // len(text))
    assert sum(map(many.count, ",{[")) < MOST_PIECES
    assert len(objects(many)) == MOST_BYTES // len(text) < MOST_RESULTS


def test_nesting_has_a_limit(site: Path) -> None:
    file = a_result(site)
    deep: Any = 1
    for _ in range(MOST_DEEP - 2):  # the file itself and the value are levels too
        deep = [deep]
    read_file(signed(file, extra=deep), "x")
    for more in ([deep], {"a": deep}):
        with pytest.raises(Refused, match="nested far deeper"):
            read_file(signed(file, extra=more), "x")


def test_many_flags_of_one_file_are_listed_to_a_limit_and_then_counted(site: Path) -> None:
    put(site, "bad.json", json.dumps([1] * 5000))
    put(site, "few.json", json.dumps([1] * MOST_FLAGS))
    put(site, "good.json", a_result(site))
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\n" + "P-09,bench-height,E-2,2026-03-12,mo\n" * 5000)
    done = tallied(site)
    assert len(done.marked) == 1
    for file, count in (("bad.json", MOST_FLAGS + 1), ("few.json", MOST_FLAGS), ("signoffs.csv", MOST_FLAGS + 1)):
        own = [f for f in done.flags if f.where.startswith(f"results/{file}:")]
        assert len(own) == count, file
        if count > MOST_FLAGS:
            assert own[-1].name == "more" and f"4,800 more things are wrong in results/{file}" in own[-1].what
    assert {f.name for f in done.flags} <= NAMES.keys()
    assert "4,800 more things" in files(readiness(read(site), done))["results.csv"]


def test_a_file_of_nothing_but_rubbish_was_not_read(site: Path) -> None:
    put(site, "bad.json", json.dumps([1] * 5000))
    assert not tallied(site).read_something


def test_the_same_result_many_times_costs_no_line_of_thousands_of_names(site: Path) -> None:
    same = a_result(site)
    put(site, "same.json", "\n".join([json.dumps(same)] * 1500))
    other = signed(same, answers=[{**same["answers"][0], "answer": "99"}, *same["answers"][1:]], score_shown=0.8)
    put(site, "conflict.json", "\n".join([json.dumps(other)] * 500))
    done = tallied(site)
    assert done.marked == []
    assert {f.name for f in done.flags} == {"conflict", "duplicate", "more"}
    assert max(len(str(f)) for f in done.flags) < 400
    assert len(done.held) == 2  # what was handed in thousands of times is one row


def test_the_search_for_a_slip_of_the_pen_is_made_for_some_of_a_table_only(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = [0]
    usual = letters._one_slip_away

    def counted(typed: str) -> Any:
        made[0] += 1
        return usual(typed)

    monkeypatch.setattr(letters, "_one_slip_away", counted)
    put(site, "slips.csv", "code\n" + "".join(f"ABCD-EFGH-JKM{n:x}\n" for n in range(10)) * 30)
    done = tallied(site)
    assert made[0] <= MOST_HINTS and len(done.flags) == MOST_FLAGS + 1
    assert all(f.fix.startswith("compare it with the slip") or f.fix.startswith("look at") for f in done.flags[:-1])


# --- editions -----------------------------------------------------------------------------------


@pytest.fixture
def loaded(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the edition files that are read whole."""
    names: list[str] = []
    usual = editions._load

    def counted(path: Path) -> dict[str, Any]:
        names.append(path.name)
        return usual(path)

    monkeypatch.setattr(editions, "_load", counted)
    return names


def test_only_editions_that_something_names_are_read(site: Path, loaded: list[str]) -> None:
    for i in range(2, 30):
        put_edition(site, f"2026-{i}")
    put(site, "a.json", a_result(site, edition="2026-7"))
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-04-12,mo\n")
    loaded.clear()
    done = tallied(site)
    readiness(read(site), done)
    assert len(done.marked) == 1 and len(done.signoffs) == 1 and len(done.editions.names) == 29
    assert sorted(loaded) == ["2026-1.json", "2026-7.json"]


def test_older_figures_are_read_with_their_edition(site: Path, loaded: list[str]) -> None:
    put_edition(site, "2026-2")
    file = a_result(site)
    from tests.records.small import ledger

    assert put_edition(site, "2026-1", ledger("2026-1", bench="11 ft"))
    assert marking(site).figures != file["figures"]
    put(site, "a.json", file)
    loaded.clear()
    done = tallied(site)
    assert [m.lesson.figures for m in done.marked] == [file["figures"]]
    assert len(loaded) == 2 and all(n.startswith("2026-1.") for n in loaded)


def test_a_lesson_of_an_old_edition_can_still_be_signed(site: Path) -> None:
    path = site / "editions" / "2025-9.json"
    put_edition(site, "2025-9")
    path.write_text(path.read_text("utf-8").replace('"truck-match":', '"old-lesson":'), "utf-8")
    found = editions.load_editions(site)
    lessons = Lessons(found, ["bench-height"])
    assert "bench-height" in lessons and list(lessons) == ["bench-height"]
    assert "old-lesson" in lessons and "no-lesson" not in lessons
    assert sorted(lessons) == ["bench-height", "old-lesson", "truck-match"] and len(lessons) == 3
    assert found.title("old-lesson") == "Truck-match" and found.title("no-lesson") is None


def test_an_edition_written_with_other_spaces_is_read_all_the_same(site: Path) -> None:
    path = site / "editions" / "2026-1.json"
    path.write_text(json.dumps(json.loads(path.read_text("utf-8")), indent=2), "utf-8")
    put(site, "a.json", a_result(site))
    assert len(tallied(site).marked) == 1


@pytest.mark.parametrize("named", [True, False])
def test_a_damaged_edition_is_told_where_it_is_cut_off_or_needed(site: Path, named: bool) -> None:
    put_edition(site, "2026-2")
    if named:
        put(site, "a.json", a_result(site, edition="2026-2"))
    put(site, "b.json", a_result(site))
    path = site / "editions" / "2026-2.json"
    text = path.read_text("utf-8")
    path.write_text(text.replace('"variants"', '"variants', 1), "utf-8")  # in the middle
    done = tallied(site)
    assert [m.result.where for m in done.marked] == ["results/b.json:1"]
    assert [f.where for f in done.flags] == (["editions/2026-2.json", "results/a.json:1"] if named else [])
    assert ("2026-2" in done.editions.names) != named
    path.write_text(text[: len(text) // 2], "utf-8")
    done = tallied(site)
    assert "editions/2026-2.json" in [f.where for f in done.flags] and "2026-2" not in done.editions.names


def test_a_file_under_the_name_of_another_edition_marks_nothing(site: Path) -> None:
    file = a_result(site)
    (site / "editions" / "2026-1.json").rename(site / "editions" / "2025-4.json")
    put(site, "a.json", file)
    done = tallied(site)  # as a file of older figures it still marks its own edition
    assert [m.lesson.edition for m in done.marked] == ["2026-1"]
    assert done.editions.lessons("2025-4") == [] and done.editions.newest == {}
