"""Where a rule of the records just holds and just no longer holds. Figures worked out by hand, no source."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from generator.jobsite.reader import read
from generator.records.desk import loose_desk
from generator.records.mark import needed
from generator.records.readiness import readiness
from tests.records.small import NOW, a_result, ledger, put, put_edition, sign_first, signed, small_site, tallied


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


@pytest.mark.parametrize(
    ("share", "count", "right"),
    [(0.8, 5, 4), (0.8, 6, 5), (0.7, 10, 7), (0.56, 25, 14), (0.28, 25, 7), (1.0, 7, 7), (0.81, 5, 5)],
)
def test_how_many_must_be_right(share: float, count: int, right: int) -> None:
    assert needed(share, count) == right  # 0.56 of 25 is 14, and a hair more in binary fractions


def test_a_sign_off_of_the_day_counts(site: Path) -> None:
    sign_first(site)
    put(site, "s.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-05-01,mo\n")
    # at noon UTC on May 1 it may be May 2 east of here, and nowhere May 3
    put(site, "t.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-1,2026-05-02,mo\nP-02,bench-height,E-2,2026-05-03,mo\n")
    done = tallied(site)
    assert [s.day.day for s in done.signoffs] == [1]
    assert [f.name for f in done.flags] == ["future"]
    desk = loose_desk(read(site))
    desk.take_in([site / "results"], NOW)
    assert [s.day.day for s in desk.on(NOW, date(2026, 5, 2))[1].signoffs] == [1, 2]


@pytest.mark.parametrize(("shown", "told"), [(0.8, False), (0.795, False), (0.805, False), (0.79, True), (0.81, True), (1, True)])
def test_a_score_shown_otherwise_is_told(shown: float, told: bool, site: Path) -> None:
    put(site, "a.json", signed(a_result(site, rights=(True, True, True, True, False)), score_shown=shown))
    done = tallied(site)
    assert [m.right for m in done.marked] == [4]
    assert [f.name for f in done.flags] == (["score"] if told else [])


def test_a_sign_off_holds_from_the_first_try_on_the_numbers_that_hold(site: Path) -> None:
    put(site, "a.json", a_result(site))
    put_edition(site, "2026-2", ledger("2026-2", bench="12 ft"))
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("edition: 2026-1", "edition: 2026-2"), "utf-8")
    for name, days in (("b.json", 20), ("c.json", 30)):  # March 30, and again on April 9
        put(site, name, a_result(site, edition="2026-2", days=days))
    put(site, "s.csv", "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-04-01,mo\n")
    person = readiness(read(site), tallied(site)).people[0]
    assert person.standings["bench-height"].state == "ready"


def test_one_who_missed_it_does_not_make_a_lesson_to_teach_again(site: Path) -> None:
    put(site, "a.json", a_result(site, rights=(False,) * 5))
    assert [t.teach_again for t in readiness(read(site), tallied(site)).taught] == [False]
    put(site, "b.json", a_result(site, crew="P-02", rights=(False,) * 5))
    assert [t.teach_again for t in readiness(read(site), tallied(site)).taught] == [True]
