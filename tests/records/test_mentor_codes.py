"""Mentors' codes: one each, from the system's chance, for the owner's eyes, and an old one keeps what it signed."""

from __future__ import annotations

import re
import stat
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.letters import LETTERS
from generator.records.mentor_codes import (
    FOLDER,
    PAGE,
    TABLE,
    NoMentors,
    adds_up,
    hand_out,
    new_code,
    read_codes,
)
from generator.source.problem import Refusals
from tests.conftest import copy_demo
from tests.records.signing import MENTORS, with_mentors

TODAY = date(2026, 3, 1)


@pytest.fixture
def site(tmp_path: Path) -> JobSite:
    return with_mentors(read(copy_demo(tmp_path / "site")))


def test_a_code_is_twelve_letters_that_add_up() -> None:
    codes = [new_code() for _ in range(300)]
    assert len(set(codes)) == 300 and all(adds_up(c) and len(c) == 12 and set(c) <= set(LETTERS) for c in codes)
    assert set("".join(c[0] for c in codes)) > set("0123456789")  # every letter comes up


def test_every_slip_of_the_pen_shows() -> None:
    """Any one letter mistyped, any two neighbours swapped, a letter left out or typed twice."""
    code = "4T9KQ2XW7BZ"
    code += next(x for x in LETTERS if adds_up(code + x))
    for at, old in enumerate(code):
        assert not any(adds_up(code[:at] + new + code[at + 1 :]) for new in LETTERS if new != old)
        assert not adds_up(code[:at] + code[at + 1 :]) and not adds_up(code[:at] + old + code[at:])
        pair = code[at : at + 2]
        if len(set(pair)) == 2:
            assert not adds_up(code[:at] + pair[::-1] + code[at + 2 :])
    assert not adds_up("") and not adds_up("0" * 11) and not adds_up(code.lower()) and not adds_up(code[:-1] + "U")


def test_one_each_is_made_once_and_kept_for_the_owner_alone(site: JobSite) -> None:
    first = hand_out(site.folder, site, TODAY)
    assert first.made == ("M-1", "M-2") and not first.renewed
    codes = read_codes(site.folder)
    assert {i: len(c) for i, c in codes.items()} == {"M-1": 1, "M-2": 1}
    assert all(c[0].made == TODAY and c[0].until is None for c in codes.values())
    for name in (TABLE, PAGE):
        assert stat.S_IMODE((site.folder / name).stat().st_mode) == 0o600, name
    again = hand_out(site.folder, site, date(2026, 4, 1))
    assert again.made == () and read_codes(site.folder) == codes and again.lines[0] == "every mentor has a code"
    third = replace(site, mentors=(*MENTORS, replace(MENTORS[0], id="M-3", name="New Mentor")))
    assert hand_out(site.folder, third, TODAY).made == ("M-3",)
    assert {i: c for i, c in read_codes(site.folder).items() if i != "M-3"} == codes
    assert sorted(p.name for p in (site.folder / FOLDER).iterdir()) == ["mentor-codes.csv", "mentor-codes.html"]  # nothing half written


def test_the_page_has_a_slip_each_and_runs_nothing(site: JobSite) -> None:
    odd = replace(MENTORS[0], id="M-3", name="<b>O'Neil & Co</b>")
    hand_out(site.folder, replace(site, mentors=(*MENTORS, odd)), TODAY)
    page = (site.folder / PAGE).read_text("utf-8")
    shown = re.findall(r'<p class="code">([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})</p>', page)
    assert shown == [c[0].grouped for c in read_codes(site.folder).values()]
    assert "Mentor M-1: Rosa Lind" in page and "&lt;b&gt;O" in page and "<b>" not in page
    assert "<script" not in page and "default-src 'none'" in page and "http" not in page.replace("http-equiv", "")
    assert page.count("Tell it to nobody") == 3


def test_a_new_code_takes_the_place_of_a_lost_one(site: JobSite) -> None:
    hand_out(site.folder, site, TODAY)
    old = read_codes(site.folder)["M-1"][0]
    again = hand_out(site.folder, site, date(2026, 4, 2), renew=["M-1"])
    assert (again.made, again.renewed) == (("M-1",), ("M-1",))
    first, second = read_codes(site.folder)["M-1"]
    assert (first.code, first.until, second.until, second.made) == (old.code, date(2026, 4, 2), None, date(2026, 4, 2))
    assert first.code != second.code
    page = (site.folder / PAGE).read_text("utf-8")
    assert second.grouped in page and first.grouped not in page
    with pytest.raises(Refusals, match="no mentor 'M-9'"):
        hand_out(site.folder, site, TODAY, renew=["M-9"])


def test_a_mentor_who_is_none_any_more_gets_none_and_keeps_the_old(site: JobSite) -> None:
    hand_out(site.folder, site, TODAY)
    kept = read_codes(site.folder)
    assert hand_out(site.folder, replace(site, mentors=MENTORS[1:]), TODAY).made == ()
    assert read_codes(site.folder) == kept and "M-1:" not in (site.folder / PAGE).read_text("utf-8")
    (site.folder / TABLE).unlink()
    assert hand_out(site.folder, site, date(2026, 7, 1)).made == ("M-1",)  # the other's time ended in June


def test_a_site_without_mentors_is_told_so(site: JobSite) -> None:
    for mentors in (None, ()):
        with pytest.raises(NoMentors, match="has no mentors"):
            hand_out(site.folder, replace(site, mentors=mentors), TODAY)
    assert not (site.folder / FOLDER).exists() and read_codes(site.folder) == {}


def test_a_table_saved_by_a_spreadsheet_is_read(site: JobSite) -> None:
    hand_out(site.folder, site, TODAY)
    codes = read_codes(site.folder)
    text = (site.folder / TABLE).read_text("utf-8")
    (site.folder / TABLE).write_text("\ufeff" + text.replace(",", ";").replace("\n", "\r\n") + ";;;\r\n", "utf-8", newline="")
    assert read_codes(site.folder) == codes


@pytest.mark.parametrize(("row", "said"), [
    ("M-1,4T9K-Q2XW-7BZA,2026-03-01,", "does not add up"), ("M-1,,2026-03-01,", "does not add up"), ("M-1,0000-0000-0000,3/1/2026,", "is no day"),
    ("M-1,0000-0000-0000,2026-02-30,", "is no day"), ("M-1,0000-0000-0000,2026-03-01,soon", "is no day"), (",0000-0000-0000,2026-03-01,", "no mentor's id"),
])  # fmt: skip
def test_a_damaged_row_is_told_by_its_line_and_never_by_its_code(site: JobSite, row: str, said: str) -> None:
    (site.folder / FOLDER).mkdir()
    (site.folder / TABLE).write_text(f"mentor,code,made on,until\n{row}\n", "utf-8")
    with pytest.raises(Refusals) as caught:
        read_codes(site.folder)
    line = str(caught.value.problems[0])
    assert line.startswith(f"{TABLE}:2: ") and said in line and "0000" not in line and "4T9K" not in line


def test_what_is_no_table_of_codes_is_refused(site: JobSite) -> None:
    (site.folder / FOLDER).mkdir()
    for data in (b"", b"id,name\n", b"\xff\xfe\x00", b"mentor,code,made on,until\n" + b"M-1,0000-0000-0000,2026-03-01,\n" * 2001):
        (site.folder / TABLE).write_bytes(data)
        with pytest.raises(Refusals):
            read_codes(site.folder)
