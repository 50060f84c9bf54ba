"""What the checks rest on is counted in five heaps, each figure once, and the same on paper and on the page."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pytest import mark, raises

from generator.book.content import read_content
from generator.book.reference import rests_on as on_the_page
from generator.reference import checks as written_checks
from generator.reference.checks import GROUPS, Check, figure, group, tally
from generator.reference.errors import ReferenceProblem
from tests.outside.collected import CONTENT
from tests.outside.report import counted_lines
from tests.outside.report import rests_on as in_the_report

PRINTED = Check(
    id="a", calculation="soil.loose", inputs={}, result="", expected="1,250", unit="yd3", within="", why="",
    source="nunnally", place="page 1", seen="read", standing="published", erratum=None, file="checks/soil.yml",
)  # fmt: skip


def test_the_page_counts_what_the_report_counts() -> None:
    # the page goes by the list of second opinions, the report by the checks that are really run
    counted = on_the_page(read_content(CONTENT))
    assert counted == in_the_report()
    assert list(counted) == list(GROUPS) and all(counted.values())
    assert counted_lines() == [f"  {number:4}  {GROUPS[name]}" for name, number in counted.items()]


@mark.parametrize(
    ("seen", "standing", "source", "rests"),
    [
        ("read", "published", "nunnally", "published"), ("from memory", "published", "nunnally", "from memory"),
        ("read", "derived", "nunnally", "derived"), ("from memory", "derived", "nunnally", "from memory"),
        ("by hand", "derived", "", "derived"), ("from memory", "derived", "", "derived"),
        ("package", "derived", "ufc-3-220-20", "derived"), ("package", "library", "trimesh", "library"),
        ("from memory", "common practice", "", "common practice"), ("read", "common practice", "", "common practice"),
    ],
)  # fmt: skip
def test_what_a_check_rests_on(seen: str, standing: str, source: str, rests: str) -> None:
    assert group(replace(PRINTED, seen=seen, standing=standing, source=source)) == rests


def test_a_figure_used_twice_is_counted_once() -> None:
    again = replace(PRINTED, id="b", calculation="soil.loads", expected="1250.0", place="the same page")
    assert figure(again) == figure(PRINTED)
    other = replace(PRINTED, id="c", expected="1,251")
    metric = replace(PRINTED, id="d", unit="m3")
    elsewhere = replace(PRINTED, id="e", source="peurifoy")
    assert tally([PRINTED, again], [])["published"] == 1
    assert tally([PRINTED, again, other, metric, elsewhere], [])["published"] == 4
    # the same digits in two heaps are two: one was read, the other was not
    mixed = tally([PRINTED, replace(again, seen="from memory")], [])
    assert (mixed["published"], mixed["from memory"]) == (1, 1)


def test_a_library_has_one_opinion_of_a_calculation() -> None:
    cone = replace(PRINTED, standing="library", seen="package", source="trimesh", calculation="soil.cone_volume")
    bigger = replace(cone, id="b", expected="99")
    assert tally([cone, bigger], [("trimesh", "soil.cone_volume"), ("sympy", "soil.bank")])["library"] == 2


@mark.parametrize(
    ("was", "now"),
    [
        ("seen: by hand\n  standing: derived", "seen: by hand\n  standing: published"),
        ("source: null\n  place: geometry, 15 in too wide\n  seen: by hand", "source: nunnally\n  place: x\n  seen: by hand"),
        ("seen: read\n  standing: derived", "seen: package\n  standing: published"),
    ],
)  # fmt: skip
def test_a_check_cannot_say_more_than_it_is(was: str, now: str, tmp_path: Path) -> None:
    path = tmp_path / "compact.yml"
    text = (CONTENT / "checks/compact.yml").read_text("utf-8")
    assert was in text
    path.write_text(text.replace(was, now), "utf-8")
    reader = written_checks._Reader(path, frozenset({"nunnally", "slope-units-questions"}))
    with raises(ReferenceProblem):
        reader.checks()
