"""The table of learners: read with the site, from a file or a sheet, its faults told by their lines."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from tests.conftest import copy_demo


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copy_demo(tmp_path_factory.mktemp("learners") / "site")


def faults(folder: Path, text: str) -> list[str]:
    (folder / "learners.csv").write_text(text, "utf-8")
    with pytest.raises(SiteProblems) as told:
        read(folder)
    return [str(p) for p in told.value.problems]


def test_a_site_without_it_knows_no_learner(folder: Path) -> None:
    (folder / "learners.csv").unlink(missing_ok=True)
    assert read(folder).learners == {}


def test_it_says_who_is_who(folder: Path) -> None:
    (folder / "learners.csv").write_text("person;learner\nP-01;a.b@lms.example\nP-02;10231\n", "utf-8")
    assert read(folder).learners == {"a.b@lms.example": "P-01", "10231": "P-02"}


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("learner,person\na@b.example,P-99\n", "learners.csv:2:person: nobody in the crew table has the id 'P-99'"),
        ("learner,person\na@b.example,\n", "learners.csv:2:person: the cell is empty"),
        (
            "learner,person\nx,P-01\nX,P-02\n",
            "learners.csv:3:learner: the learner 'X' stands twice (first in line 2); keep one of the rows",
        ),
        ("learner,who\nx,P-01\n", "learners.csv:1: there is no column person"),
        ("learner,person,name\nx,P-01,Jo\n", "learners.csv:1:name: unknown column 'name'; the columns are learner, person"),
        ("learner,learner,person\nx,x,P-01\n", "learners.csv:1:learner: the column learner stands twice"),
        (f"learner,person\n{'x' * 201},P-01\n", "learners.csv:2:learner: an id of 201 characters"),
    ],
)
def test_faults_are_told_by_line(folder: Path, text: str, line: str) -> None:
    told = faults(folder, text)
    assert any(one.startswith(line) for one in told), told


def test_two_learners_may_be_one_person(folder: Path) -> None:
    (folder / "learners.csv").write_text("learner,person\nold-id,P-01\nnew-id,P-01\n", "utf-8")
    assert set(read(folder).learners.values()) == {"P-01"}


def test_it_may_be_a_sheet(tmp_path: Path) -> None:
    from generator.book.content import content_folder
    from generator.jobsite.starter import starter_files, write_starter

    site = tmp_path / "site"
    write_starter(site, starter_files(content_folder(), "us", workbook=True))
    book = openpyxl.load_workbook(site / "site.xlsx")
    crew = book["crew"]
    person = crew.cell(2, [c.value for c in crew[1]].index("id") + 1).value
    sheet = book.create_sheet("learners")
    for row in (("learner", "person"), (10231, person)):
        sheet.append(row)
    book.save(site / "site.xlsx")
    assert read(site).learners == {"10231": person}
    sheet.append(("x", "nobody"))
    book.save(site / "site.xlsx")
    with pytest.raises(SiteProblems, match=r"site\.xlsx\[learners\]:3:person: nobody in the crew table"):
        read(site)
