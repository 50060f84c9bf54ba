"""``seatwork new --like``: what a kind of work needs and nothing else, and right at the first try."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest

from generator.book.content import lesson_kinds, read_content
from generator.book.tree import lines_not_taught, not_taught, not_worked, render_tree, taught
from generator.cli.main import _WORK, main
from generator.jobsite.columns import JOB_BY_NAME, LIMITS_BY_NAME, MACHINES
from generator.jobsite.model import JobSite
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.starter import LIKE, starter_files, write_starter
from generator.publish.build import load
from generator.reference.tables import load as published
from generator.units.table import System
from tests.conftest import ROOT

CONTENT = ROOT / "content"
SHIPPED = read_content(CONTENT)
WAYS = [*((name,) for name in LIKE), *itertools.combinations(LIKE, 2), tuple(LIKE)]


def made(folder: Path, *like: str, units: System = "us", workbook: bool = False) -> Path:
    write_starter(folder, starter_files(CONTENT, units, workbook=workbook, like=like))
    return folder


def site_of(folder: Path) -> JobSite:
    return read(folder, lesson_kinds(CONTENT, folder), published(CONTENT))


def test_the_command_knows_the_kinds() -> None:
    assert tuple(LIKE) == _WORK


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("like", WAYS, ids="+".join)
def test_nothing_is_missing_and_nothing_is_there_for_other_work(like: tuple[str, ...], units: System, tmp_path: Path) -> None:
    site = site_of(made(tmp_path / "site", *like, units=units))
    kinds = {kind for name in like for kind in LIKE[name]}
    assert site.notices == ()
    assert [*not_taught(SHIPPED, site), *not_worked(SHIPPED, site), *lines_not_taught(SHIPPED, site)] == []
    assert {m.kind for m in site.fleet} == kinds
    assert (tmp_path / "site" / "trucks.csv").exists() == ("truck" in kinds)
    assert set(site.settings.lead) == {*kinds, "material"}
    assert {k for role in site.settings.roles.values() for k in role.machines} == kinds
    assert {p.role for p in site.crew} == set(site.settings.roles)
    lessons = taught(SHIPPED, site).lessons
    assert {"stop-work", "seeing-people", "signals", "lines-above-and-below"} <= set(lessons)
    texts = [(CONTENT / part / f"{i}.{end}").read_text("utf-8") for i in lessons for part, end in (("lessons", "md"), ("questions", "yml"))]
    for block, columns in (("job", JOB_BY_NAME), ("limits", LIMITS_BY_NAME)):
        for name in getattr(site.settings, block):
            if name in {"call", "emergency"} or "*" in columns[name].needed_for:
                continue
            asked = columns[name].needed_for & set(lessons) or any(re.search(rf"\b{block}\.{name}\b", text) for text in texts)
            assert asked, f"{block}.{name} is for no lesson of this site"


def test_a_column_that_nothing_fills_is_not_there(tmp_path: Path) -> None:
    for units in ("us", "metric"):
        heads = (made(tmp_path / units, "dozing", units=units) / "machines.csv").read_text("utf-8-sig").partition("\n")[0]
        assert "blade_width [" in heads and not re.search(r"stick_length|bucket|gauge_narrow|swing", heads)
        for name in (re.sub(r" \[.*", "", h) for h in heads.split(",")):
            assert name in MACHINES.by_name and "dozer" in MACHINES.by_name[name].fits


def test_all_work_together_is_the_whole_starter_but_for_the_lesson_that_needs_a_chart(tmp_path: Path) -> None:
    def roles(folder: Path) -> dict[str, tuple[str, ...]]:
        return {r.id: r.lessons for r in site_of(folder).settings.roles.values()}

    whole = roles(made(tmp_path / "whole"))
    assert roles(made(tmp_path / "like", *LIKE)) == {
        id_: tuple(x for x in lessons if x != "lifting-with-the-bucket") for id_, lessons in whole.items()
    }


def few(folder: Path, *lessons: str) -> Path:
    """The site in ``folder`` with only some of its lessons, for speed."""
    settings = folder / "settings.yml"
    text = re.sub(r"(?m)^      - ([a-z-]+)\n", lambda m: m[0] if m[1] in {"stop-work", *lessons} else "", settings.read_text("utf-8"))
    settings.write_text(text, "utf-8")
    return folder


def test_a_compact_site_checks_at_the_first_try(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "my site"
    assert main(["new", str(folder), "--units", "metric", "--workbook", "--like", "compact"]) == 0
    out = capsys.readouterr().out
    assert "2. Put in your own machines, ground, crew" in out and f'seatwork build "{folder}"' in out
    assert main(["check", str(folder)]) == 0
    said = capsys.readouterr()
    assert said.err == "" and said.out.startswith("all good: 18 lessons") and "to look at" not in said.out


def test_dozers_alone_are_taught_of_people_and_lines(tmp_path: Path) -> None:
    """What only an excavator has, such as its swing, is left out of both, and nothing is said of it."""
    folder = few(
        made(tmp_path / "site", "dozing"), "seeing-people", "lines-above-and-below", "signals", "bank-loose-compacted", "building-a-slope",
        "park-and-leave",
    )  # fmt: skip
    tree = render_tree(*load(folder))
    assert tree.problems == [] and tree.notices == []
    for i in ("seeing-people", "lines-above-and-below"):
        page = re.sub(r'popover id=.*?</div>|tags: .*|class="sw-source">.*?</p>', "", str(tree.docs[f"lessons/{i}.md"]))
        told = page.partition("<seatwork-quiz")[0]
        assert not re.search(r"\bboom|\bswing cent|\bbucket down|counterweight|truck body", re.sub(r"<[^>]+>", "", told))
        assert {q["id"] for q in tree.marking[i]["questions"]} & {"lines-16", "seeing-12"}
    assert "sw-drawing" not in str(tree.docs["lessons/seeing-people.md"])  # nothing of it is measured here, and no truck is
    # without a truck the windrow is as high as the site has set it
    slope = str(tree.docs["lessons/building-a-slope.md"])
    assert "From the top there is nothing above any" in slope and "No truck runs here" in slope and 'data-part="windrow"' in slope
    parked = str(tree.docs["lessons/park-and-leave.md"])
    assert "such as a pickup or a trailer" in parked and 'data-part="truck"' not in parked
    drawn = [re.sub(r"\s+", " ", " ".join(re.findall(r">([^<]+)<", svg))) for svg in re.findall(r"<svg.*?</svg>", parked, re.S)]
    assert any("room all round, blade down." in words for words in drawn)  # a dozer has no bucket to let down, in whatever picture
    assert not [words for words in drawn if re.search(r"\b[Bb]ucket|\bexcavator", words)]
    people, lines, signs, volumes = (
        str(tree.docs[f"lessons/{i}.md"]) for i in ("seeing-people", "lines-above-and-below", "signals", "bank-loose-compacted")
    )
    # a dozer's hood hides the ground ahead, and this lesson draws the ground to the right of an excavator
    assert "Past its right edge" not in people and "walk_in_film" not in people and "sw-steps" not in people
    assert "stay in." in lines and "leave." in lines and "Ahead of the" not in people
    for page in (people, lines, signs, volumes):
        assert "Excavator" not in page and "E-1" not in page and "T-1" not in page and "sw-lacks" not in page
        assert page.count("<seatwork-quiz") == 1
    assert {q["id"] for q in tree.marking["lines-above-and-below"]["questions"]}.isdisjoint({"lines-07", "lines-08", "lines-09"})


@pytest.mark.parametrize("gone", [False, True])
def test_a_compact_excavator_of_one_gauge(gone: bool, tmp_path: Path) -> None:
    folder = made(tmp_path / "site", "compact", units="metric")
    table = folder / "machines.csv"
    rows = [line.split(",") for line in table.read_text("utf-8-sig").splitlines()]
    at = [i for i, head in enumerate(rows[0]) if re.match("narrow_width|gauge_", head)]
    assert len(at) == 3
    for row in rows[0 if gone else 1 :]:
        for i in reversed(at):
            row[i : i + 1] = [] if gone else [""]
    table.write_text("".join(",".join(row) + "\n" for row in rows), "utf-8")
    site = site_of(folder)
    (told,) = not_taught(SHIPPED, site)
    assert "track-width is worked for a compact excavator with tracks that widen" in told.what
    assert site.notices == () and "track-width" not in taught(SHIPPED, site).lessons
    few(folder, "backfill-with-the-blade", "trench-to-grade")
    tree = render_tree(*load(folder))
    assert tree.problems == [] and tree.notices == []


def test_half_of_a_pair_of_gauges_is_told(tmp_path: Path) -> None:
    folder = made(tmp_path / "site", "compact")
    table = folder / "machines.csv"
    text = table.read_text("utf-8-sig")
    head = [re.sub(r" \[.*", "", h) for h in text.split("\n")[0].split(",")]
    row = text.split("\n")[1].split(",")
    row[head.index("gauge_wide")] = ""
    table.write_text(text.replace(text.split("\n")[1], ",".join(row)), "utf-8")
    with pytest.raises(SiteProblems) as caught:
        site_of(folder)
    assert [str(p) for p in caught.value.problems] == [
        "machines.csv:2:gauge_wide: gauge_wide is blank for C-1, and gauge_narrow (2.5 ft) is not; "
        "fill it in; where the tracks do not widen, leave both blank"
    ]


def test_a_kind_of_work_there_is_not(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["--like", "mining", str(tmp_path / "x")], ["--like", "dozing", str(tmp_path / "x")]):
        with pytest.raises(SystemExit):
            main(["new", *words])
        assert "is no kind of work: name dozing, loading, trenching, compact, and FOLDER before --like" in capsys.readouterr().err
    assert not (tmp_path / "x").exists()


def test_a_placeholder_for_emergencies_cannot_pass_for_a_real_one(tmp_path: Path) -> None:
    folder = made(tmp_path / "site", "dozing")
    settings = folder / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("invented: true ", "invented: false "), "utf-8")
    with pytest.raises(SiteProblems) as caught:
        site_of(folder)
    assert any(p.column == "limits.emergency" and "placeholder" in p.what for p in caught.value.problems)
