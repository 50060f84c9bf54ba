"""The day on which each edition was first built is written down once and stays."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from generator.quiz.edition import DAYS, note_day


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "editions").mkdir()
    return tmp_path


def test_a_line_an_edition_and_the_first_day_stays(folder: Path) -> None:
    for edition, day in (("2026-1", 1), ("2026-2", 8), ("2026-1", 15), ("2026-3", 22), ("2026-2", 29)):
        note_day(folder, edition, date(2026, 6, day))
    assert (folder / DAYS).read_text("utf-8") == "edition,first built\n2026-1,2026-06-01\n2026-2,2026-06-08\n2026-3,2026-06-22\n"
    assert [p.name for p in (folder / "editions").iterdir()] == ["days.csv"]


def test_what_a_spreadsheet_saved_is_kept(folder: Path) -> None:
    (folder / DAYS).write_bytes("\ufeffedition,first built\r\n\r\n2026-1,2026-06-01\r\n".encode())
    note_day(folder, "2026-1", date(2026, 7, 1))
    assert (folder / DAYS).read_bytes().startswith(b"\xef\xbb\xbf"), "nothing new, and nothing written"
    note_day(folder, "2026-2", date(2026, 7, 1))
    assert (folder / DAYS).read_text("utf-8") == "edition,first built\n2026-1,2026-06-01\n2026-2,2026-07-01\n"
