"""The lesson on lifting goes by the site's own chart: with none it teaches the method and prints no figure of one."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead
from generator.jobsite.reader import read
from generator.source.problem import Refusals
from generator.working.errors import Lacking
from generator.working.ledger import Ledger
from tests.conftest import copy_demo

LESSON = "lifting-with-the-bucket"


def page_of(tmp_path: Path, chart: str | None) -> LessonPage:
    folder = copy_demo(tmp_path / "site")
    if chart is None:
        (folder / "lift_chart.csv").unlink()
    else:
        (folder / "lift_chart.csv").write_text("id,machine,over,radius [ft],height [ft],chart_load [lb]\n" + chart, "utf-8")
    content = read_content(content_folder())
    site = read(folder, lessons=lesson_ids(content_folder()))
    return LessonPage(content.lessons[LESSON], content, site, site_lead(site), Ledger())


def test_a_site_without_a_chart_is_told_what_to_look_up(tmp_path: Path) -> None:
    page = page_of(tmp_path, None)
    assert page.context.machine is not None
    with pytest.raises(Lacking) as missing:
        page.words("{{ n('machine.chart_load') }}")
    assert missing.value.table == "lift_chart.csv" and missing.value.row_line is None
    assert page.words("{{ n('total') }}")  # what hangs on it needs no chart
    assert "must stay under the chart's figure" in html.unescape(page.steps("lift"))
    assert page.lesson.drawing is not None and page.scene(page.lesson.drawing, "y")


def test_the_chart_s_figure_is_printed_as_it_was_copied(tmp_path: Path) -> None:
    page = page_of(tmp_path, "1,E-2,side,20,5,15437\n")
    assert "15,437 lb" in page.words("{{ n('machine.chart_load') }}")


def test_a_lift_past_the_chart_is_refused(tmp_path: Path) -> None:
    page = page_of(tmp_path, "1,E-2,side,20,5,8900\n")
    with pytest.raises(Refusals, match="all that the chart allows there"):
        page.words("{{ n('share') }}")
