"""Every bad result is flagged by its own name, and the rest count."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.cli.main import main
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import cell, csv_text
from generator.records.demo_class import slip_code
from generator.records.desk import tally
from generator.records.flags import NAMES, Refused
from generator.records.intake import MOST_BYTES
from generator.records.letters import fnv1a, sum_letters
from generator.records.readiness import readiness
from generator.records.readiness_page import SCRIPT
from generator.records.report import files, terminal
from generator.records.results import read_slip
from tests.records.small import (
    NOW,
    a_result,
    marking,
    put,
    put_edition,
    sign_first,
    signed,
    small_site,
    tallied,
)


@pytest.fixture(scope="module")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site without results, only to be read."""
    return small_site(tmp_path_factory.mktemp("small") / "site")


@pytest.fixture(scope="module")
def tables(ready: Path) -> JobSite:
    return read(ready)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for one file at a time."""
    return tmp_path_factory.mktemp("one")


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


def names(site: Path) -> list[str]:
    return [f.name for f in tallied(site).flags]


def answers(file: dict[str, Any], place: int, **changes: Any) -> list[Any]:
    return [a | changes if i == place else a for i, a in enumerate(file["answers"])]


def test_a_good_result_counts_and_passes(site: Path) -> None:
    put(site, "a.json", a_result(site))
    done = tallied(site)
    assert done.flags == []
    assert [(m.right, m.of, m.passed) for m in done.marked] == [(5, 5, True)]


def test_one_must_be_right_question_missed_fails_alone(site: Path) -> None:
    put(site, "a.json", a_result(site, rights=(False, True, True, True, True)))
    put(site, "b.json", a_result(site, crew="P-02", rights=(True, False, True, True, True)))
    assert [(m.right, m.passed, m.missed_must) for m in tallied(site).marked] == [(4, False, ("bench-01",)), (4, True, ())]


BAD: dict[str, Callable[[Any], Any]] = {
    "altered": lambda f: f | {"score_shown": 0.99},
    "altered answer": lambda f: f | {"answers": answers(f, 1, answer=[0])} | {"tries": 7},
    "altered variant": lambda f: signed(f, answers=answers(f, 0, variant=99)),
    "altered choice": lambda f: signed(f, answers=answers(f, 1, answer=[31])),
    "altered, two for one": lambda f: signed(f, answers=answers(f, 1, answer=[0, 1])),
    "altered, one item twice": lambda f: signed(f, answers=answers(f, 3, answer=[0, 0, 1, 2])),
    "altered, not a figure": lambda f: signed(f, answers=answers(f, 0, answer="about 5")),
    "altered, no answer": lambda f: signed(f, answers=answers(f, 2, answer=[])),
    "altered time": lambda f: signed(f, finished="2026-02-31T00:00:00Z"),
    "altered, true for 1": lambda f: signed(f, answers=answers(f, 1, variant=True)),
    "foreign site": lambda f: signed(f, site="gravel-pit"),
    "foreign crew": lambda f: signed(f, crew="P-99"),
    "foreign lesson": lambda f: signed(f, lesson="tea-making"),
    "foreign edition": lambda f: signed(f, edition="1999-1"),
    "foreign figures": lambda f: signed(f, figures="00000000"),
    "foreign questions": lambda f: signed(f, answers=answers(f, 0, q="other-01")),
    "foreign, one answer less": lambda f: signed(f, answers=f["answers"][:-1]),
    "foreign layout": lambda f: signed(f, seatwork_result=9),
    "future": lambda f: signed(f, finished="2026-05-01T13:00:00Z"),
    "times": lambda f: signed(f, started="2026-04-01T00:00:00Z"),
    "times of an answer": lambda f: signed(f, answers=answers(f, 2, at="2026-03-09T00:00:00Z")),
    "truncated": lambda f: json.dumps(f)[:-40],
    "truncated early": lambda f: json.dumps(f)[:60],
    "truncated, fields gone": lambda f: {k: v for k, v in f.items() if k != "answers"},
    "truncated to nothing": lambda f: "",
    "unreadable": lambda f: "hello there",
    "unreadable bytes": lambda f: b"\xff\xfe\x00\x01",
    "unreadable list": lambda f: [1, 2, 3][:1],
    "unreadable depth": lambda f: "[" * 100_000,
    "unreadable number": lambda f: "1" * 10_000,
}  # fmt: skip


@pytest.mark.parametrize("what", BAD)
def test_each_bad_result_is_named_and_the_good_one_kept(site: Path, what: str) -> None:
    put(site, "good.json", a_result(site, crew="P-02", seed=7))
    put(site, "bad.json", BAD[what](a_result(site)))
    done = tallied(site)
    assert [m.result.crew for m in done.marked] == ["P-02"]
    assert len(done.flags) == 1
    flag = done.flags[0]
    assert flag.name == what.split()[0].rstrip(",") and flag.name in NAMES
    assert flag.where == "results/bad.json:1" and not flag.counted
    assert str(flag).startswith("results/bad.json:1: ") and "; " in str(flag) and "\n" not in str(flag)


def test_a_result_handed_in_twice_counts_once(site: Path) -> None:
    file = a_result(site)
    put(site, "a.json", file)
    put(site, "b.json", file)
    put(site, "slips.csv", f"code\n{slip_code(file, marking(site))}\n")
    done = tallied(site)
    assert len(done.marked) == 1 and [f.name for f in done.flags] == ["duplicate", "duplicate"]


def test_the_same_try_with_other_answers_counts_on_neither_side(site: Path) -> None:
    file = a_result(site, rights=(True, False, True, True, True))
    put(site, "a.json", file)
    put(site, "b.json", signed(file, answers=answers(file, 1, answer=[0])))
    done = tallied(site)
    assert done.marked == [] and [f.name for f in done.flags] == ["conflict", "conflict"]


def test_a_result_copied_to_another_id_is_noticed(site: Path) -> None:
    file = a_result(site)
    put(site, "a.json", file)
    put(site, "b.json", signed(file, crew="P-02"))
    done = tallied(site)
    assert done.marked == [] and [f.name for f in done.flags] == ["copied", "copied"]


def test_the_browsers_score_is_not_trusted(site: Path) -> None:
    put(site, "a.json", signed(a_result(site, rights=(False,) * 5), score_shown=1))
    done = tallied(site)
    assert [(m.right, m.passed) for m in done.marked] == [(0, False)]
    assert [(f.name, f.counted) for f in done.flags] == [("score", True)]


def test_a_file_saved_again_by_another_program_still_counts(site: Path) -> None:
    file = a_result(site) | {"pass_mark": 0.8}
    text = json.dumps(file, indent=4, sort_keys=True).replace('"tries": 1', '"tries": 1.0').replace("\n", "\r\n")
    put(site, "a.txt", "\ufeff" + text)
    assert names(site) == [] and len(tallied(site).marked) == 1


def test_several_results_in_one_text(site: Path) -> None:
    two = [a_result(site), a_result(site, crew="P-02")]
    put(site, "a.txt", "\n\n".join(map(json.dumps, two)))
    put(site, "b.json", [a_result(site, days=2)])
    assert names(site) == [] and len(tallied(site).marked) == 3


def test_slips_are_read_however_they_are_typed(site: Path) -> None:
    codes = [slip_code(a_result(site, days=d, rights=(d % 2 == 0,) * 5), marking(site)) for d in range(4)]
    typed = [codes[0].lower(), codes[1].replace("-", " "), codes[2].replace("0", "O").replace("1", "l"), codes[3].replace("-", "")]
    put(site, "slips.csv", "name;Code\n" + "".join(f"x;{c}\n" for c in typed))
    done = tallied(site)
    assert done.flags == [] and [m.right for m in done.marked] == [5, 0, 5, 0]
    put(site, "slips.csv", "".join(f"{c}\n" for c in typed))  # without a heading
    assert len(tallied(site).marked) == 4


@pytest.mark.parametrize(("text", "printed"), [("", 0x811C9DC5), ("a", 0xE40C292C), ("foobar", 0xBF9CF968)])
def test_check_sum_against_the_published_test_vectors(text: str, printed: int) -> None:
    # test vectors of the FNV-1a 32-bit hash as published by its authors (from memory)
    assert fnv1a(text) == printed


def test_any_typing_slip_in_a_code_is_noticed(ready: Path) -> None:
    code = slip_code(a_result(ready), marking(ready))
    read_slip(code, "x")
    for i, letter in enumerate(code):
        if letter != "-":
            with pytest.raises(Refused) as told:
                read_slip(code[:i] + ("7" if letter != "7" else "8") + code[i + 1 :], "x")
            assert told.value.name == "mistyped"
    with pytest.raises(Refused) as told:
        read_slip(code[:-2], "x")
    assert told.value.name == "truncated"


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        (lambda g: [g[0], "S" + g[1][1:], *g[2:]], "look at group 2: does the slip say {1} there, not S"),
        (lambda g: [*g[:5], g[5][1] + g[5][0] + g[5][2:], *g[6:]], "look at group 6: does the slip say {5} there, not "),
        (lambda g: [*g[:-1], g[-1][:3] + ("7" if g[-1][3] != "7" else "8")], "does the slip say {last} there, not "),
        (lambda g: [*g[:3], *g[4:]], "{fewer} groups were typed"),
        (lambda g: [*g[:3], g[2], *g[3:]], "{more} groups were typed"),
        (lambda g: [*g[:3], g[3][:3], *g[4:]], "look at group 4, '{short}': each group has 4 letters"),
    ],
    ids=["letter", "swapped", "last group", "group missing", "group twice", "letter missing"],
)  # fmt: skip
def test_a_mistyped_slip_says_where_to_look(ready: Path, slip: Any, told: str) -> None:
    # a code with different letters in the groups that are touched, so that each slip is one
    codes = (slip_code(a_result(ready, days=d), marking(ready)) for d in range(40))
    groups = next(g for g in (c.split("-") for c in codes) if g[5][0] != g[5][1] and g[1][0] != "S" and g[2] != g[3])
    with pytest.raises(Refused) as error:
        read_slip("-".join(slip(groups)), "x")
    words = told.format(*groups, last=groups[-1], fewer=len(groups) - 1, more=len(groups) + 1, short=groups[3][:3])
    assert words in error.value.fix, error.value.fix


def test_sign_offs_that_cannot_count_are_named(site: Path) -> None:
    put(site, "a.json", a_result(site))
    rows = [
        ("P-01,bench-height,E-2,2026-03-12,mentor 1", None), ("P-01,bench-height,E-2,2026-03-12,mentor 1", "duplicate"),
        ("P-09,bench-height,E-2,2026-03-12,mentor 1", "foreign"), ("P-01,bench-hight,E-2,2026-03-12,mentor 1", "foreign"),
        ("P-01,bench-height,E-9,2026-03-12,mentor 1", "foreign"), ("P-01,bench-height,T-1,2026-03-12,mentor 1", "unsigned"),
        ("P-01,bench-height,E-2,2026-05-04,mentor 1", "future"), ("P-01,bench-height,E-2,12/3,mentor 1", "unreadable"),
        ("P-01,bench-height,E-2,2026-03-12,p-01", "unsigned"), ("P-01,bench-height,E-2,2026-03-12,Ines Holloway", "unsigned"),
        ("P-01,bench-height,,2026-03-12,mentor 1", "unsigned"), ("P-01,bench-height,E-2,2026-03-12,=1+1", "unreadable"),
    ]  # fmt: skip
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\n" + "\n".join(r for r, _ in rows))
    done = tallied(site)
    assert len(done.signoffs) == 1
    wanted = [(f"results/signoffs.csv:{i}", n) for i, (_, n) in enumerate(rows, 2) if n]
    assert [(f.where, f.name) for f in done.flags] == wanted


@pytest.mark.parametrize(
    ("order", "days"), [("month first", ["2026-03-04", "2026-03-14"]), ("day first", ["2026-04-03", "2026-03-14"]), ("", [])]
)
def test_dates_are_read_in_the_settings_order(site: Path, order: str, days: list[str]) -> None:
    sign_first(site)
    path = site / "settings.yml"
    line = "dates: month first"
    assert line in path.read_text("utf-8")
    path.write_text(path.read_text("utf-8").replace(line, f"dates: {order}" if order else "# no order", 1), "utf-8")
    rows = ["P-01,bench-height,E-2,3/4/2026,mo", f"P-01,truck-match,E-2,{'14/3' if order == 'day first' else '3/14'}/2026,mo"]
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\n" + "\n".join(rows[: 2 if order else 1]))
    done = tallied(site)
    assert [str(s.day) for s in done.signoffs] == days
    if not order:
        assert [f.name for f in done.flags] == ["unreadable"] and "add 'dates: month first' (or day first)" in done.flags[0].fix


def test_each_machine_has_its_line_and_says_where_it_was_signed(site: Path) -> None:
    for i in ("bench-height", "truck-match"):
        put(site, f"{i}.json", a_result(site, lesson=i))
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-12,mo\nP-01,truck-match,E-2,2026-03-12,mo\n")
    r = readiness(read(site), tallied(site))
    assert [(m.machine, m.kind, m.state) for m in r.people[0].machines] == [
        ("E-1", "excavator", "ready, signed on E-2"), ("E-2", "excavator", "ready"),
    ]  # fmt: skip
    made = files(r)
    assert '"ready, signed on E-2"' in made["people.csv"] and "ready, signed on E-2" in made["readiness.html"]


def test_readiness_names_what_is_missing_on_which_machine(site: Path) -> None:
    put(site, "a.json", a_result(site))
    put(site, "b.json", a_result(site, lesson="truck-match", rights=(False, True, True, True, True)))
    put(site, "c.json", a_result(site, crew="P-03", lesson="truck-match"))
    put(site, "signoffs.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-12,mo\nP-03,truck-match,T-1,2026-03-12,mo\n")
    r = readiness(read(site), tallied(site))
    people = {p.person.id: p for p in r.people}
    assert people["P-03"].machines[0].ready and people["P-03"].machines[0].machine == "T-1"
    assert people["P-01"].standings["bench-height"].state == "ready"
    assert people["P-01"].machines[0].missing == ("truck-match: not passed, 4 of 5, missed bench-01, which must be right",)
    assert people["P-02"].machines[0].missing == ("bench-height: not taken", "truck-match: not taken")
    first = next(q for q in r.questions if (q.lesson, q.q) == ("truck-match", "bench-01"))
    assert (first.answers, first.right, first.mistake, first.mistake_count) == (2, 1, "used-boom", 1)


def test_passed_but_not_signed_is_not_ready(site: Path) -> None:
    put(site, "a.json", a_result(site, crew="P-03", lesson="truck-match"))
    r = readiness(read(site), tallied(site))
    driver = next(p for p in r.people if p.person.id == "P-03")
    assert not driver.machines[0].ready and driver.machines[0].missing == ("truck-match: sign-off missing",)


def prints(folder: Path) -> dict[str, str]:
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_twice_gives_the_same_and_nothing_handed_in_changes(site: Path, capsys: Any) -> None:
    for i in range(6):
        put(site, f"{i}.json", a_result(site, crew=f"P-0{i % 3 + 1}", lesson="truck-match", days=i, rights=(i % 2 == 0,) * 5))
    put(site, "bad.json", "{")
    before = prints(site)
    assert main(["tally", str(site), "--as-of", "2026-05-01"]) == 0
    first_said, first = capsys.readouterr().out, prints(site)
    assert main(["tally", str(site), str(site / "results"), str(site / "results" / "1.json"), "--as-of", "2026-05-01"]) == 0
    again = capsys.readouterr().out
    assert again.replace(", 0 of what", ", 6 of what") == first_said != again and prints(site) == first
    assert {k: v for k, v in first.items() if not k.startswith(("out/", "register/"))} == before


def test_exit_status(site: Path, capsys: Any) -> None:
    assert main(["tally", str(site)]) == 2
    assert "nothing to tally" in capsys.readouterr().err
    assert main(["tally", str(site), str(site / "nowhere.json")]) == 2
    assert "no such file" in capsys.readouterr().err
    put(site, "a.json", "nonsense")
    assert main(["tally", str(site)]) == 2
    assert "results/a.json:1: unreadable:" in capsys.readouterr().err
    put(site, "b.json", a_result(site))
    assert main(["tally", str(site)]) == 0
    assert "results/a.json:1: unreadable:" in capsys.readouterr().out
    (site / "editions" / "2026-1.json").unlink()
    assert main(["tally", str(site)]) == 2
    assert "run seatwork build" in capsys.readouterr().err


def test_odd_files_are_named_and_nothing_else_is_lost(site: Path) -> None:
    """A zip, a picture, a huge file, links that go round, folders in folders, a spreadsheet's own CSV."""
    results = site / "results"
    put(site, "deep/er/a.json", a_result(site))
    with zipfile.ZipFile(results / "all.zip", "w") as z:
        z.writestr("a.json", json.dumps(a_result(site, crew="P-02")))
    (results / "renamed.json").write_bytes((results / "all.zip").read_bytes())
    (results / "photo.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(200))
    with (results / "huge.json").open("wb") as f:
        f.truncate(MOST_BYTES + 1)
    (results / "round").symlink_to(results)
    (results / "self.json").symlink_to(results / "self.json")
    (results / "gone.json").symlink_to(site / "nowhere.json")
    (results / ".hidden.json").write_text("{", "utf-8")
    code = slip_code(a_result(site, crew="P-02", days=3), marking(site))
    # as a spreadsheet with decimal commas saves it: marked as UTF-8, semicolons, empty columns and rows
    put(site, "codes.csv", b"\xef\xbb\xbf" + f";Code;\r\nTom;{code};\r\n;;\r\n".encode())
    put(site, "utf16.csv", f"code\r\n{slip_code(a_result(site, crew='P-02', days=5), marking(site))}\r\n".encode("utf-16"))
    done = tallied(site)
    assert [m.result.where for m in done.marked] == ["results/deep/er/a.json:1", "results/codes.csv:2", "results/utf16.csv:2"]
    flagged = {f.where.partition(":")[0].removeprefix("results/"): f.name for f in done.flags}
    assert flagged == dict.fromkeys(("renamed.json", "huge.json", "self.json", "gone.json", "round"), "unreadable")
    assert done.left_aside == 2  # the zip and the picture, which the report counts
    assert "2 other files left aside" in terminal(readiness(read(site), done))[0]


def test_a_damaged_edition_file_is_named_and_the_others_still_mark(site: Path) -> None:
    put_edition(site, "2026-2")
    put(site, "a.json", a_result(site))
    (site / "editions" / "2026-2.json").write_text("{", "utf-8")
    done = tallied(site)
    assert len(done.marked) == 1 and [f.where for f in done.flags] == ["editions/2026-2.json"]


# --- hostile input --------------------------------------------------------------------------


def test_formula_looking_text_is_neutralised_in_every_table(site: Path) -> None:
    put(site, "a.json", signed(a_result(site), crew='=HYPERLINK("x")', lesson="@SUM(1)"))
    put(site, "b.json", signed(a_result(site), crew="a;=1+1\n-2", lesson="<script>alert(1)</script>"))
    made = files(readiness(read(site), tallied(site)))
    assert "HYPERLINK" in made["results.csv"]
    for name, text in made.items():
        if name.endswith(".csv"):
            for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"))):
                assert not any(c.lstrip().startswith(("=", "+", "-", "@")) for c in row), (name, row)
    assert made["readiness.html"].count("<script") == 1 and f"<script>{SCRIPT}</script>" in made["readiness.html"]
    assert "&lt;script&gt;" in made["readiness.html"]


@given(st.lists(st.text(), min_size=1, max_size=4))
def test_no_cell_starts_a_formula_whatever_the_separator(cells: list[str]) -> None:
    text = csv_text([f"h{i}" for i in range(len(cells))], [cells]).removeprefix("\ufeff")
    assert text.encode()
    for delimiter in ",;\t":
        for row in csv.reader(io.StringIO(text), delimiter=delimiter):
            assert not any(c.strip().startswith(("=", "+", "-", "@")) for c in row if c)
    assert cell(cell(cells[0])) == cell(cells[0])


@given(st.data())
def test_no_damage_to_a_file_is_ever_counted_or_crashes(ready: Path, tables: JobSite, place: Path, data: st.DataObject) -> None:
    good = json.dumps(a_result(ready)).encode()
    at = data.draw(st.integers(0, len(good) - 1))
    kind = data.draw(st.sampled_from(["flip", "cut", "drop", "insert"]))
    piece = data.draw(st.binary(min_size=1, max_size=6))
    bad = {
        "flip": good[:at] + piece + good[at + len(piece) :], "cut": good[:at], "drop": good[:at] + good[at + len(piece) :],
        "insert": good[:at] + piece + good[at:],
    }[kind]  # fmt: skip
    (place / "a.json").write_bytes(bad)
    done = tally(tables, [place], NOW)
    try:
        same = json.loads(bad) == json.loads(good)
    except (ValueError, RecursionError):
        same = False
    assert len(done.marked) == (1 if same else 0)
    assert same or done.flags


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4), max_leaves=12,
)  # fmt: skip


@given(st.sampled_from(["crew", "lesson", "edition", "site", "figures", "units", "pass_mark", "started", "finished", "tries", "answers",
                        "score_shown", "seatwork_result", "extra", "q", "variant", "answer", "at"]), _JSON)  # fmt: skip
def test_any_value_in_any_place_gives_flags_not_crashes(ready: Path, tables: JobSite, place: Path, key: str, value: Any) -> None:
    file = a_result(ready)
    forged = dict(file)
    if key in file["answers"][0]:
        forged["answers"] = answers(file, 0, **{key: value})
    else:
        forged[key] = value
    try:
        forged = signed(forged)
        text = json.dumps(forged)
    except (ValueError, OverflowError):
        text = json.dumps(forged)
    (place / "a.json").write_text(text, "utf-8", errors="surrogatepass")
    files(readiness(tables, tally(tables, [place], NOW)))


@given(st.one_of(st.binary(max_size=400), st.text(max_size=200).map(lambda t: ("code\n" + t).encode("utf-8", "replace")),
                 st.text(max_size=200).map(lambda t: ("crew,lesson,machine,date,mentor\n" + t).encode("utf-8", "replace")),
                 st.text(max_size=200).map(lambda t: ("sheet,crew,lesson,date,1,2\n" + t).encode("utf-8", "replace"))))  # fmt: skip
def test_any_table_gives_flags_not_crashes(tables: JobSite, tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    place = tmp_path_factory.mktemp("table")
    (place / "a.csv").write_bytes(content)
    files(readiness(tables, tally(tables, [place], NOW)))


@given(st.text("0123456789ABCDEFGHJKMNPQRSTVWXYZ", max_size=60))
def test_any_letters_with_a_right_last_group_give_a_slip_or_a_flag(letters: str) -> None:
    letters += "0" * (-len(letters) % 4)
    try:
        read_slip(letters + sum_letters(letters), "x")
    except Refused as e:
        assert e.name in {"altered", "foreign", "mistyped"}
