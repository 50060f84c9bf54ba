"""A site with compact excavators alone: its operators dig trenches and meet power lines as well."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from generator.cli.main import main


def compact_only(folder: Path) -> Path:
    """The starter without its larger machines, their roles and their people."""
    assert main(["new", str(folder), "--units", "metric"]) == 0
    machines = (folder / "machines.csv").read_text("utf-8-sig").splitlines()
    (folder / "machines.csv").write_text("\n".join([machines[0], *(m for m in machines if m.startswith("C-"))]) + "\n", "utf-8")
    crew = (folder / "crew.csv").read_text("utf-8-sig").splitlines()
    (folder / "crew.csv").write_text("\n".join([crew[0], *(c for c in crew if "compact-operator" in c)]) + "\n", "utf-8")
    text = (folder / "settings.yml").read_text("utf-8")
    first, last = text.index("  dozer-operator:"), text.index("  compact-operator:")
    text = (text[:first] + text[last:]).replace("  dozer: D-1\n  excavator: E-1\n", "")
    (folder / "settings.yml").write_text(text, "utf-8")
    return folder


def test_lessons_about_excavators_are_worked_for_the_compact_ones(tmp_path: Path, capsys: Any) -> None:
    folder = compact_only(tmp_path / "site")
    capsys.readouterr()
    assert main(["build", str(folder), "--quiet"]) == 0
    lines = folder / "out" / "web" / "lessons" / "lines-above-and-below.html"
    for lesson in ("trench-walls", "trench-to-grade", "pins-and-side-loads"):
        assert lines.with_name(f"{lesson}.html").is_file()
    assert "C-1 Compact excavator" in lines.read_text("utf-8")
    # a side slope tips any crawler, so these are worked for the machines there are
    told = [x for x in capsys.readouterr().err.splitlines() if "left out" in x or "leaves out" in x]
    assert not [x for x in told if "[not-taught]" in x]
    # what the small machines have no step of in their films is not asked, and said; in trench-to-grade, their tracks kept
    # from the edge, none of them comes to the floor of this trench: said, and not drawn
    asked = [re.match(r"\s*settings\.yml: the quiz of ([\w-]+) leaves out (.+?), as ", x) for x in told if "[question-left-out]" in x]
    assert {m[1]: m[2].split(", ") for m in asked if m} == {
        "excavator-on-a-slope": ["hillside-02"],
        "trench-to-grade": ["grade-trench-09", "grade-trench-10", "grade-trench-11", "grade-trench-12"],
        "trench-boxes": ["boxes-06", "boxes-12"],
        "found-a-line": ["found-05", "found-06"],
    }
    assert not [x for x in told if "[question-left-out]" not in x]
    assert "does not reach the floor of this trench" in lines.with_name("trench-to-grade.html").read_text("utf-8")
    for lesson in ("side-slope-limits", "if-it-slides"):
        assert " Compact excavator" in lines.with_name(f"{lesson}.html").read_text("utf-8")
    # and drawn: no dozer where there is none
    slides = lines.with_name("if-it-slides.html").read_text("utf-8")
    figures = slides[slides.index('<div class="sw-ways"') : slides.rindex("</figure>")]
    assert "If the compact excavator slides" in figures and 'data-part="bucket"' in figures
    assert not re.search(r"<(title|desc|p)[^>]*>[^<]*dozer", figures[: figures.index("<ol>") if "<ol>" in figures else None], re.IGNORECASE)


def test_a_lesson_for_a_machine_the_site_has_not_is_left_out_and_said(tmp_path: Path, capsys: Any) -> None:
    folder = compact_only(tmp_path / "site")
    text = (folder / "settings.yml").read_text("utf-8")
    at = text.index("  compact-operator:")
    (folder / "settings.yml").write_text(
        text[:at] + text[at:].replace("      - track-width\n", "      - track-width\n      - building-a-slope\n", 1), "utf-8"
    )
    capsys.readouterr()
    assert main(["build", str(folder), "--quiet"]) == 0
    told = [x for x in capsys.readouterr().err.splitlines() if "[not-taught]" in x]
    assert len(told) == 1 and "compact-operator" in told[0] and "building-a-slope is worked for a dozer" in told[0]
    assert not (folder / "out" / "web" / "lessons" / "building-a-slope.html").exists()


def set_gauges(folder: Path, fixed: tuple[str, ...]) -> None:
    """Give the machines of these ids one gauge alone: their narrow one."""
    head, *rows = ([*line.split(",")] for line in (folder / "machines.csv").read_text("utf-8-sig").splitlines())
    at = {name.split(" [")[0]: i for i, name in enumerate(head)}
    for row in rows:
        if row[at["id"]] in fixed:
            row[at["track_gauge"]] = row[at["gauge_wide"]] = row[at["gauge_narrow"]]
    (folder / "machines.csv").write_text("\n".join(",".join(row) for row in (head, *rows)) + "\n", "utf-8")


def test_where_no_tracks_widen_the_lesson_on_track_width_is_left_out_and_said(tmp_path: Path, capsys: Any) -> None:
    folder = compact_only(tmp_path / "site")
    set_gauges(folder, ("C-1", "C-2"))
    capsys.readouterr()
    assert main(["build", str(folder), "--quiet"]) == 0
    told = [x for x in capsys.readouterr().err.splitlines() if "[not-taught]" in x]
    assert len(told) == 1 and "track-width is worked for a compact excavator with tracks that widen" in told[0]
    lessons = folder / "out" / "web" / "lessons"
    assert (lessons / "trench-walls.html").is_file() and not (lessons / "track-width.html").exists()


def test_the_lesson_on_track_width_is_worked_only_for_machines_whose_tracks_widen(tmp_path: Path) -> None:
    folder = compact_only(tmp_path / "site")
    set_gauges(folder, ("C-1",))
    assert main(["build", str(folder), "--quiet"]) == 0
    page = (folder / "out" / "web" / "lessons" / "track-width.html").read_text("utf-8")
    assert "C-2 Small compact excavator" in page and "C-1 Compact excavator" not in page
