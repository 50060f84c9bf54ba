"""A spoil pile planned too narrow: told, and the lesson works with what the machine needs."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.working.ledger import Ledger
from tests.conftest import copy_demo

FOOT = 0.3048


def site(tmp_path: Path, line: str) -> JobSite:
    folder = copy_demo(tmp_path / "site")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    assert text.count("  spoil_width: 26 ft\n") == 1
    settings.write_text(text.replace("  spoil_width: 26 ft\n", line), "utf-8")
    return read(folder, lessons=lesson_ids(content_folder()))


def page(job_site: JobSite, lesson: str) -> LessonPage:
    content = read_content(content_folder())
    return LessonPage(content.lessons[lesson], content, job_site, site_lead(job_site), Ledger())


def test_a_narrow_top_is_told_and_not_worked_with(tmp_path: Path) -> None:
    narrow = site(tmp_path, "  spoil_width: 14 ft\n")
    (notice,) = narrow.notices
    assert "spoil_width (14 ft) is less than the blade of D-3 and edge_distance (6 ft) on both sides (26 ft)" in str(notice)
    for lesson in ("spoil-pile", "slot-front-to-back", "reverse-is-wear"):
        made = page(narrow, lesson)
        assert made.numbers.explained("top", made.context, "us").result.si == pytest.approx(24 * FOOT)
    made = page(narrow, "spoil-pile")
    assert made.lesson.drawing is not None
    assert "At least" in made.scene(made.lesson.drawing, "x")


def test_a_wide_top_is_taken_as_planned(tmp_path: Path) -> None:
    wide = site(tmp_path, "  spoil_width: 40 ft\n")
    assert wide.notices == ()
    made = page(wide, "spoil-pile")
    assert made.numbers.explained("top", made.context, "us").result.si == pytest.approx(40 * FOOT)


def test_without_a_planned_width_the_slot_s_counts_or_what_the_machine_needs(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8").replace("  spoil_width: 26 ft\n", "").replace("      - spoil-pile\n", "")
    settings.write_text(text, "utf-8")
    made = page(read(folder, lessons=lesson_ids(content_folder())), "slot-front-to-back")
    assert made.numbers.explained("top", made.context, "us").result.si == pytest.approx(24 * FOOT)


def test_loose_fill_grips_as_measured_or_as_the_table_says_and_never_better_than_firm(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    materials = folder / "materials.csv"
    rows = materials.read_text("utf-8")

    def grip() -> float | None:
        made = page(read(folder, lessons=lesson_ids(content_folder())), "spoil-pile")
        return made.numbers.explained("grip", made.context, "us").result.si

    assert grip() == pytest.approx(0.5)
    head, *body = rows.rstrip("\n").split("\n")
    for own, counts in (("0.6", 0.6), ("1.05", 0.9)):
        materials.write_text("\n".join([f"{head},traction_loose", *(f"{r},{own}" for r in body)]) + "\n", "utf-8")
        assert grip() == pytest.approx(counts)
