"""Tables made to do harm: what is harmless is kept as it is, the rest is one clear line."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import pytest

from generator.jobsite import cells
from generator.jobsite.cells import BadCell
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.reference.tables import load
from tests.conftest import ROOT, copy_demo
from tests.jobsite.broken import _set
from tests.jobsite.lessons import LESSONS

# names people have, and names someone tries things with: text is text
NAMES = [
    "Zoë Ångström-Müller", "山田 太郎", "אברהם כהן", "محمد الأمين", "Nguyễn Văn Ánh", "O’Neill", "José \"Pepe\" Ruiz", "D-1 🚜 Dozer",
    "👩‍🔧 Ada", "می‌خواهم", "<b>Bold</b>", "<script>alert(1)</script>", "{{ 7 * 7 }}", "{% raw %}x", "${7*7}", "[a](javascript:alert(1))",
    "!!python/object:os.system x", "&lt;i&gt;", "a' onload='x", "../../etc/passwd x", "%s%n%x", "x; DROP TABLE crew",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_harmless_name_is_kept(name: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "crew.csv"
    quoted = '"' + name.replace('"', '""') + '"'
    path.write_text(path.read_text("utf-8").replace("Ines Holloway", quoted), "utf-8")
    assert read(folder, LESSONS).crew[0].name == name


@pytest.mark.parametrize(
    "name",
    [
        "Tom\u202eevil", "Tom\u2066x\u2069", "a\u200bb", "a\u200fb", "a\u00adb", "\u3164", "a\u2800b", "a\u2063b", "a\ue000b", "a\U000e0041b",
        "a\ufffcb", "a\x00b", "a\x1b[31mb", "a\x85b", "a\ud800b", "a\u0378b",
    ],
)  # fmt: skip
def test_what_hides_or_turns_text_is_refused(name: str) -> None:
    with pytest.raises(BadCell, match="hidden character"):
        cells.clean(name)


@pytest.mark.parametrize("name", ["=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0", "-2+3", "＝1", " =1", "\u00a0@x"])
def test_what_a_spreadsheet_would_run_is_refused(name: str) -> None:
    with pytest.raises(BadCell, match="looks like a formula"):
        cells.clean(name)


@pytest.mark.parametrize(
    "id_",
    [
        "..", "a/b", "a\\b", "../x", "..x", "a..b", "/etc", "C:x", ".hidden", "x.", "a b", "a%2fb", "<b>", "а1", "١", "é", "a\u202eb", "🚜",
        "א", "-a", "_a", "a'", 'a"', "a&b", "{{a}}", "CON ", "x" * 41, "~", "a:b", "a?b", "a#b",
    ],
)  # fmt: skip
def test_an_id_is_plain(id_: str) -> None:
    """Ids become file names and parts of addresses."""
    with pytest.raises(BadCell):
        cells.identifier(cells.clean(id_).strip() if id_ != "CON " else id_)


WIDE = ",".join(["x"] * 250)
BOMBS = {
    "a cell of 7 MB": ("crew.csv", 'id,name,role\nP-1,"' + "x" * 7_000_000 + '",r\n', "crew.csv:2: a cell of this row is far too long; keep cells under 2,000 characters"),
    "100,000 rows": ("crew.csv", "id,name,role\n" + "P-1,x,r\n" * 100_000, "crew.csv: the table has more than 20,000 rows; check what was saved"),
    "blank lines": ("crew.csv", "\n" * 7_000_000, "crew.csv: the file has more than 200,000 lines; check what was saved"),
    "separators": ("crew.csv", "," * 2_000_000, "crew.csv: the file is empty; start with a row of column names"),
    "columns": ("trucks.csv", f"{WIDE}\n{WIDE}\n", "trucks.csv:1: the table has more than 200 columns; check what was saved"),
    "nulls": ("crew.csv", "\0" * 1000, "crew.csv: the file is not UTF-8 text (it looks like UTF-16 or a binary file); save the file again as CSV UTF-8 (or plain text, UTF-8)"),
    "laughs": ("settings.yml", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", "settings.yml:1: anchors (&) and aliases (*) are not used here; write the value out, or put it in quotes"),
    "many settings": ("settings.yml", "".join(f"k{i}: 1\n" for i in range(15_000)), "settings.yml:500: the file is far too long; check what was saved"),
    "long list": ("settings.yml", "a: [" + "b," * 90_000 + "]", "settings.yml:1: the file is far too long; check what was saved"),
    "a tag that runs": ("settings.yml", "a: !!python/object/apply:os.system [echo]\n", "settings.yml:1: a tag (!) is not used here; put the value in quotes"),
}  # fmt: skip


@pytest.mark.parametrize("case", BOMBS)
def test_a_bomb_is_one_line_and_little_memory(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.source.yamltext._MOST_NODES", 1_000)  # for speed: tracing memory is slow
    folder = copy_demo(tmp_path / "site")
    file, text, line = BOMBS[case]
    (folder / file).write_text(text, "utf-8")
    tracemalloc.start()
    try:
        with pytest.raises(SiteProblems) as caught:
            read(folder, LESSONS)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert [str(p) for p in caught.value.problems if p.file == file] == [line]
    assert peak < 80_000_000  # the largest table is 8 MB, held as bytes, text and a buffer


def test_a_table_wrong_in_every_row_is_not_read_to_its_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Guessing what was meant costs time: past the lines anyone reads it stops."""
    folder = copy_demo(tmp_path / "site")
    head = (folder / "machines.csv").read_text("utf-8").split("\n")[0]
    (folder / "machines.csv").write_text(head + "\n" + "".join(f"M-{i},Machine {i},dozzer{i},1,1,1,1\n" for i in range(15_000)))
    guessed = []
    monkeypatch.setattr(cells, "near", lambda word, known: guessed.append(word))
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    assert 0 < len(guessed) < 600
    lines = [str(p) for p in caught.value.problems]
    assert len(lines) == 501
    # machines that were not looked at are not missing: crew and settings are not told so
    assert all(line.startswith("machines.csv") for line in lines)


def test_a_steep_plan_is_said_and_built(tmp_path: Path) -> None:
    """The plan's slope may be one that no machine goes up: it is taught as such, and said."""
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    path.write_text(text.replace('slope_ratio: "4:1"', 'slope_ratio: "2:1"'), "utf-8")
    site = read(folder, LESSONS)
    (notice,) = site.notices
    line = next(i for i, t in enumerate(text.split("\n"), 1) if t.startswith("  slope_ratio"))
    assert str(notice) == (
        f"settings.yml:{line}:job.slope_ratio: slope_ratio (2:1, or 50%) is steeper than this site's limit up_down_slope "
        "(35%); the lesson tells operators to stop and ask before they go on it [steep-plan]"
    )


# 29 CFR 1926.1408 Table A: up to 50 kV 10 ft, 200 kV 15 ft, 350 kV 20 ft, 500 kV 25 ft, 750 kV 35 ft, 1000 kV 45 ft
@pytest.mark.parametrize(
    ("voltage", "least"),
    [("50 kV", "10 ft"), ("200 kV", "15 ft"), ("350 kV", "20 ft"), ("500 kV", "25 ft"), ("750 kV", "35 ft"), ("1000 kV", "45 ft")],
)
def test_the_distance_to_lines_is_never_less_than_the_rule(voltage: str, least: str, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    text = path.read_text("utf-8").replace("line_voltage: 115 kV", f"line_voltage: {voltage}")
    path.write_text(text.replace("line_clearance: 20 ft", f"line_clearance: {least}"), "utf-8")
    published = load(ROOT / "content")
    assert read(folder, LESSONS, published)
    if least == "10 ft":
        return  # less is out of the limit's own range
    path.write_text(text.replace("line_clearance: 20 ft", f"line_clearance: {int(least[:-3]) - 0.1} ft"), "utf-8")
    with pytest.raises(SiteProblems, match=rf"is less than the rules give for a line of [\d,]+ kV \({least}\); write {least} or more"):
        read(folder, LESSONS, published)


def test_what_only_looks_like_yes_and_no_stays_words(tmp_path: Path) -> None:
    """Some readers make truths of on, off, yes and no; here they are the words that stand there."""
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    text = path.read_text("utf-8").replace("slope-crew:", "no:").replace("note: An invented site.", "note: On")
    path.write_text(text.replace("On No such place, company, crew or machine exists.", "on"), "utf-8")
    crew = folder / "crew.csv"
    crew.write_text(crew.read_text("utf-8").replace("slope-crew", "no"), "utf-8")
    settings = read(folder, LESSONS).settings
    assert "no" in settings.roles and settings.note == "on"


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ("1e400", "is too large"), ("1e30", "is too large"), ("1E+30", "is too large"), ("9" * 39, "is too large"),
        ("1e15", "is out of range"), ("1e-15", "is out of range"), ("-1e15", "is out of range"),
        ("1e-30", "is too small"), ("1e-400", "is too small"), ("0." + "0" * 30 + "1", "is too small"),
        ("-1e400", "is too large"), ("nan", "is not a quantity"), ("NaN", "is not a quantity"), ("inf", "is not a quantity"),
        ("-inf", "looks like a formula"), ("1e" + "9" * 50, "is too large"), ("7" * 60, "is too large"),
    ],
)  # fmt: skip
def test_huge_and_tiny_figures_are_told_for_what_they_are(typed: str, fault: str, tmp_path: Path) -> None:
    """In a table and among the settings: one line, short, with its place."""
    folder = copy_demo(tmp_path / "site")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace("slot_length: 150 ft", f"slot_length: {typed} ft"), "utf-8")
    _set("", 2, "mass", typed)(folder / "machines.csv")
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    told = [p for p in caught.value.problems if fault in p.what]
    assert [(p.file, p.column) for p in caught.value.problems] == [("settings.yml", "job.slot_length"), ("machines.csv", "mass")]
    assert len(told) == 2 and all(len(str(p)) < 250 for p in told)
