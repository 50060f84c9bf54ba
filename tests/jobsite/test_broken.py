"""Every broken site gets its exact lines, and several mistakes are told in one run."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.jobsite.problems import FILES, Problem, SiteProblems, Weight
from generator.jobsite.reader import read
from generator.reference.tables import load
from tests.conftest import ROOT, copy_demo
from tests.jobsite.broken import SITES, Broken, expected
from tests.jobsite.lessons import LESSONS

SAID = expected()
PUBLISHED = load(ROOT / "content")
LINE = re.compile(
    r"(settings\.yml|(machines|trucks|materials|crew)\.csv|[\w.]+\.xlsx(\[\w+\])?)(:\d+)?(:[^:;]+)?: .+; .+"
)


def said_of(folder: Path) -> list[str]:
    """The lines the reader gives."""
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS, PUBLISHED)
    return [str(p) for p in caught.value.problems]


def by_text(line: str, folder: Path) -> str:
    """A line about settings.yml with the text of its line, in braces, for the number.

    The demo's settings grow; what a line number must point at does not change.
    """
    match = re.match(r"settings\.yml:(\d+)(?=:)", line)
    if match is None:
        return line
    text = (folder / "settings.yml").read_text("utf-8").split("\n")[int(match[1]) - 1].strip()
    text = "".join(ch if ch.isprintable() else "�" for ch in text)
    return f"settings.yml:{{{text}}}{line[match.end() :]}"


@pytest.mark.parametrize("broken", SITES, ids=lambda b: b.id)
def test_broken_site_gets_its_lines(broken: Broken, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    broken.apply(folder)
    lines = said_of(folder)
    assert [by_text(line, folder) for line in lines] == list(SAID[broken.id])
    for line in lines:
        assert "\n" not in line and line.isprintable() and LINE.fullmatch(line), line


def test_catalogue_is_whole() -> None:
    assert [b.id for b in SITES] == list(SAID)
    assert len(SITES) >= 40


# mistakes that don't touch one another: each must be told as if it stood alone
TOGETHER = (
    "misspelt-column", "blank", "not-a-number", "formula-at", "unit-of-another-kind", "above-range",
    "unknown-column", "short-year", "no-such-machine", "lesson-unknown", "job-unknown", "job-share",
    "limits-nobody", "passing-mark-low", "paper", "role-key",
)  # fmt: skip


def test_all_problems_in_one_run(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    by_id = {b.id: b for b in SITES}
    for id_ in TOGETHER:
        by_id[id_].apply(folder)
    together = {by_text(line, folder) for line in said_of(folder)}
    alone = {line for id_ in TOGETHER for line in SAID[id_]}
    # the heading that gives the example's unit is itself broken here
    shown = ("write a value such as 45,000 lb", "write a value such as 45000 lb or 20 t")
    assert together == {line.replace(*shown) for line in alone}


def test_most_important_first(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    by_id = {b.id: b for b in SITES}
    for id_ in ("no-such-machine", "blank", "misspelt-column", "empty"):
        by_id[id_].apply(folder)
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    weights = [p.weight for p in caught.value.problems]
    assert weights == sorted(weights)
    assert weights[0] is Weight.UNREADABLE and weights[-1] is Weight.REFERENCE
    assert str(caught.value).split("\n") == [str(p) for p in caught.value.problems]


def test_problem_lines() -> None:
    assert str(Problem("a.csv", 3, "mass", "it is blank", "fill it in")) == (
        "a.csv:3:mass: it is blank; fill it in"
    )
    assert str(Problem("a.csv", 3, None, "x", "y")) == "a.csv:3: x; y"
    assert str(Problem("a.csv", None, None, "x", "y")) == "a.csv: x; y"


def test_a_thousand_wrong_cells_stay_readable(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    rows = "".join(f"Z-{i},Truck {i},much,25,25,2.9,18,9.5,10.2,\n" for i in range(2000))
    path = folder / "trucks.csv"
    path.write_text(path.read_text("utf-8") + rows, "utf-8")
    lines = said_of(folder)
    assert len(lines) == 501
    assert lines[0].startswith("trucks.csv:6:payload: 'much' is not a quantity")
    assert (
        lines[-1]
        == "trucks.csv: there are more problems like these; fix the first ones and check again"
    )


def test_no_folder(tmp_path: Path) -> None:
    assert said_of(tmp_path / "nowhere") == [
        "nowhere: the job site folder does not exist; give a folder with settings.yml and the tables"
    ]
    (tmp_path / "file").write_text("")
    assert said_of(tmp_path / "file") == [
        "file: it is not a folder; give a folder with settings.yml and the tables"
    ]


def test_an_empty_folder_names_every_file(tmp_path: Path) -> None:
    lines = said_of(tmp_path)
    assert [line.partition(":")[0] for line in lines] == list(FILES)
    assert all("the file is missing" in line for line in lines)


def test_a_circle_of_links_is_told(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    (folder / "crew.csv").unlink()
    (folder / "crew.csv").symlink_to(folder / "crew.csv")
    assert [line.partition(":")[0] for line in said_of(folder)] == ["crew.csv"]


def test_a_site_teaches_only_what_it_needs_figures_for(tmp_path: Path) -> None:
    """A job figure is asked for only where a role has the lesson that uses it."""
    folder = copy_demo(tmp_path / "site")
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"(?m)^  trench_.*\n", "", text), "utf-8")
    assert said_of(folder)
    for lesson in ("trench-to-grade", "trench-walls"):
        text = text.replace(f"      - {lesson}\n", "")
    path.write_text(re.sub(r"(?m)^  trench_(?!entry).*\n", "", text), "utf-8")
    assert "trench_depth" not in read(folder, LESSONS).settings.job
