"""The lift chart of a site: its rows are checked, and the smallest figure that fits the job's lift counts."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.units.quantity import Quantity
from tests.conftest import ROOT

DEMO = ROOT / "site_demo"
HEAD = "id,machine,over,radius [ft],height [ft],chart_load [lb],note\n"


@pytest.fixture
def site(tmp_path: Path) -> Callable[..., JobSite]:
    def made(rows: str | None, **job: str) -> JobSite:
        for path in DEMO.iterdir():
            if path.is_file() and path.name != "lift_chart.csv":
                text = path.read_text("utf-8")
                for name, value in job.items():
                    lines = [line for line in text.splitlines() if not line.startswith(f"  {name}: ")]
                    text = "\n".join(lines) + "\n"
                    if path.name == "settings.yml" and value:
                        text = text.replace("job:\n", f"job:\n  {name}: {value}\n")
                (tmp_path / path.name).write_text(text, "utf-8")
        if rows is not None:
            (tmp_path / "lift_chart.csv").write_text(HEAD + rows, "utf-8")
        return read(tmp_path)

    return made


def chart_of(site: JobSite, id_: str) -> tuple[str, str] | None:
    machine = next(m for m in site.machines if m.id == id_)
    if "chart_load" not in machine.values:
        return None
    load, radius = machine.get("chart_load"), machine.get("chart_radius")
    return str(load), str(radius)


def told(make: Callable[[], JobSite]) -> list[str]:
    with pytest.raises(SiteProblems) as raised:
        make()
    return [str(p) for p in raised.value.problems]


def test_a_site_may_have_none(site: Callable[..., JobSite]) -> None:
    assert all("chart_load" not in m.values for m in site(None).machines)


CHART = "1,E-2,side,15,5,22400,\n2,E-2,side,20,5,15400,\n3,E-2,side,25,5,11400,\n4,E-2,side,20,-5,14900,\n5,E-2,front,20,5,24200,\n6,E-2,front,25,5,18300,\n"


def test_the_next_larger_radius_and_the_smallest_of_its_heights_count(site: Callable[..., JobSite]) -> None:
    assert chart_of(site(CHART, lift_radius="20 ft"), "E-2") == ("14,900 lb", "20 ft")
    assert chart_of(site(CHART, lift_radius="20.1 ft"), "E-2") == ("11,400 lb", "25 ft")
    assert chart_of(site(CHART, lift_radius="9 ft"), "E-2") == ("22,400 lb", "15 ft")


def test_the_side_is_the_one_the_lift_is_made_over_or_else_the_weaker(site: Callable[..., JobSite]) -> None:
    assert chart_of(site(CHART, lift_radius="20 ft", lift_over="front"), "E-2") == ("24,200 lb", "20 ft")
    assert chart_of(site(CHART, lift_radius="20 ft", lift_over=""), "E-2") == ("14,900 lb", "20 ft")


def test_nothing_is_worked_out_past_the_end_of_a_chart(site: Callable[..., JobSite]) -> None:
    (line,) = told(lambda: site(CHART, lift_radius="26 ft"))
    assert line.startswith("settings.yml:") and "past the end of the lift chart of E-2 over the side" in line
    # a machine that is not the example has no figure then, and stops nothing
    rows = CHART.replace("E-2", "E-1").replace("22400", "14600").replace("24200", "9600")
    assert chart_of(site(rows, lift_radius="26 ft"), "E-1") is None
    # a chart of one side says nothing of the other
    assert chart_of(site("1,E-1,front,20,5,9600,\n", lift_radius="20 ft", lift_over=""), "E-1") is None


def test_a_height_may_be_left_out(site: Callable[..., JobSite]) -> None:
    assert chart_of(site("1,E-2,side,20,,15400,\n", lift_radius="20 ft"), "E-2") == ("15,400 lb", "20 ft")


@pytest.mark.parametrize(
    ("row", "line"),
    [
        ("1,E-9,side,20,5,15400,\n", "lift_chart.csv:2:machine: no machine is 'E-9'"),
        ("1,D-1,side,20,5,15400,\n", "lift_chart.csv:2:machine: D-1 is a dozer, which has no lift chart"),
        ("1,E-2,sides,20,5,15400,\n", "lift_chart.csv:2:over: "),
        ("1,E-2,side,39,5,15400,\n", "lift_chart.csv:2:radius: radius (39 ft) is more than E-2 reaches (38 ft)"),
        ("1,E-2,side,20,5,154000,\n", "lift_chart.csv:2:chart_load: chart_load (154,000 lb) is more than E-2 weighs (110,000 lb)"),
        ("1,E-2,side,20,5,,\n", "lift_chart.csv:2:chart_load: chart_load is blank for 1"),
        (
            "1,E-2,side,20,5,15400,\n2,E-2,side,20,5,15000,\n",
            "lift_chart.csv:3:radius: E-2 has two figures for this radius, height and side",
        ),
        ("1,E-2,side,20,5,15400,\n1,E-2,side,25,5,15000,\n", "lift_chart.csv:3:id: the id '1' stands twice"),
    ],
)
def test_a_wrong_row_is_told_with_its_line(row: str, line: str, site: Callable[..., JobSite]) -> None:
    assert any(one.startswith(line) for one in told(lambda: site(row, lift_radius="20 ft")))


def test_a_chart_that_allows_more_farther_out_is_worth_a_look(site: Callable[..., JobSite]) -> None:
    found = [n for n in site("1,E-2,side,15,5,15400,\n2,E-2,side,20,5,16000,\n", lift_radius="15 ft").notices if n.code == "lift-chart"]
    assert [n.line for n in found] == [3]
    assert "more than at 15 ft" in found[0].what
    level = site("1,E-2,side,15,5,15400,\n2,E-2,side,20,5,15400,\n", lift_radius="15 ft")
    assert not [n for n in level.notices if n.code == "lift-chart"]


def test_nobody_writes_the_charts_figure_into_the_machines(site: Callable[..., JobSite], tmp_path: Path) -> None:
    site(CHART)
    path = tmp_path / "machines.csv"
    head, *rows = path.read_text("utf-8").splitlines()
    path.write_text("\n".join([f"{head},chart_load [lb]", *(f"{row}," for row in rows)]), "utf-8")
    assert any("unknown column 'chart_load [lb]'" in line for line in told(lambda: read(tmp_path)))


def test_the_figure_is_a_most(site: Callable[..., JobSite]) -> None:
    load = next(m for m in site(CHART, lift_radius="20 ft").machines if m.id == "E-2").get("chart_load")
    assert isinstance(load, Quantity) and load.limit == "most"
