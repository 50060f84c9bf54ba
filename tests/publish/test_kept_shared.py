"""What is kept between builds knows what is shared with other sites, where results go, and who learns: a kept build is a clean one."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from generator.book.seen import bare
from generator.publish.build import load
from tests.publish import test_kept
from tests.publish.test_kept import cell, clean, edit, files, run

shipped, site = test_kept.shipped, test_kept.site  # fixtures


def with_a_fleet(site: Path) -> Path:
    """The site with a shared folder beside it, which has its machines and its lesson."""
    fleet = site.parent / "our-fleet"
    fleet.mkdir()
    for name in ("machines.csv", "trucks.csv", "materials.csv", "lift_chart.csv", "lessons", "questions"):
        (site / name).rename(fleet / name)
    settings = site / "settings.yml"
    settings.write_text(f"shared: ../our-fleet\n{settings.read_text('utf-8')}", "utf-8")
    return fleet


def put_in(site: Path, text: str) -> None:
    """A line at the head of a site's settings."""
    settings = site / "settings.yml"
    settings.write_text(f"{text}\n{settings.read_text('utf-8')}", "utf-8")


def shared_words(site: Path, fleet: Path) -> None:
    edit(fleet / "lessons/gate.md", "Look both ways", "Look all ways")
    put_in(site, "hand_in: /training/hand-in/")


def shared_question(site: Path, fleet: Path) -> None:
    edit(fleet / "questions/gate.yml", "shuts the gate", "closes it")
    edit(site / "settings.yml", "/training/hand-in/", "/drop/")


# what is changed in a shared folder, or in what server and learning system are told; each changes the lesson's page
CHANGES: dict[str, Callable[[Path, Path], None]] = {
    "a figure of a shared machine": lambda _, fleet: cell(fleet, "machines.csv", "E-2", "stick_length", "10.5"),
    "words of a shared lesson, and a path to hand in by": shared_words,
    "a shared question, and another path": shared_question,
}


def test_what_is_shared_or_handed_in_by_is_made_anew_where_it_changed(site: Path, tmp_path: Path) -> None:
    """As a clean build gives it, for sites that share a folder and are built one after the other in one process."""
    fleet = with_a_fleet(site)
    other = Path(shutil.copytree(site, tmp_path / "other", ignore=shutil.ignore_patterns("out", "editions", ".*")))
    edit(other / "settings.yml", "  key: ", "  key: other-")
    run(site)
    run(other)

    def as_clean(one: Path, name: str) -> dict[str, bytes]:
        there, here = clean(one, tmp_path / "clean"), files(one / "out")
        assert sorted(here) == sorted(there), name
        assert [n for n in here if here[n] != there[n]] == [], name
        return here

    for name, change in CHANGES.items():
        before = files(site / "out")
        change(site, fleet)
        run(site)
        after = as_clean(site, name)
        assert after["web/lessons/gate.html"] != before["web/lessons/gate.html"], name
    run(other)
    as_clean(other, "another site of the same folder")
    # who a learner is stands in no page
    _, read = load(site)
    (site / "learners.csv").write_text("learner,person\nlms-1,P-01\n", "utf-8")
    assert (again := run(site)).kept.split()[0] == again.kept.split()[2] and files(site / "out") == after
    _, told = load(site)
    assert told.learners == {"lms-1": "P-01"} != read.learners and bare(told) == bare(read)
