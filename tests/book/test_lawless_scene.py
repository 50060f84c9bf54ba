"""A drawing that breaks a law of scenes stops the build, with a line at the figure to change."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.book.content import content_folder
from generator.cli.main import main
from tests.book.places import small


def test_a_machine_drawn_too_near_an_edge_stops_the_build(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site", "standing-on-the-bench")
    (site / "lessons").mkdir()
    text = (content_folder() / "lessons/standing-on-the-bench.md").read_text("utf-8")
    nearer = text.replace("crest_distance: limits.edge_distance", "crest_distance: job.drift_offset")
    assert nearer != text
    (site / "lessons/standing-on-the-bench.md").write_text(nearer, "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    line = next(t for t in capsys.readouterr().err.splitlines() if "breaks the law" in t)
    settings = (site / "settings.yml").read_text("utf-8").split("\n")
    at = 1 + next(i for i, t in enumerate(settings) if t.startswith("  edge_distance:"))
    assert line.startswith(f"settings.yml:{at}: the drawing loading.standing_on_the_bench breaks the law 'edge': the tracks are drawn ")
    assert "the site's limit is 1.83 m (6.0 ft); change limits.edge_distance" in line
    assert not (site / "out").exists()


def test_a_truck_of_another_width_than_its_column_stops_the_build(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site", "standing-on-the-bench")
    (site / "lessons").mkdir()
    text = (content_folder() / "lessons/standing-on-the-bench.md").read_text("utf-8")
    i = text.index("drawing:")
    wider = text[:i] + text[i:].replace("truck_width: truck.overall_width", "truck_width: truck.body_length", 1)
    (site / "lessons/standing-on-the-bench.md").write_text(wider, "utf-8")
    assert main(["check", str(site)]) == 2
    line = next(t for t in capsys.readouterr().err.splitlines() if "breaks the law" in t)
    assert line.startswith("trucks.csv:2: the drawing loading.standing_on_the_bench breaks the law 'size': the truck is drawn ")
    assert line.endswith("; check overall_width of T-1")
