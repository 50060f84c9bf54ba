"""A machine a calculation refuses is left out of a table, with the reason, and stops no build."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import LessonPage, site_lead, with_row
from generator.jobsite.model import Value
from generator.jobsite.reader import read
from generator.units.quantity import Quantity
from generator.working.errors import FiguresRefused
from generator.working.ledger import Ledger
from tests.conftest import copy_demo


def figure(value: Value) -> float:
    assert isinstance(value, Quantity)
    return value.si


def test_a_dozer_whose_blade_is_lower_than_the_slot(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    tables = folder / "machines.csv"
    text = tables.read_text("utf-8")
    assert text.count(",8.5,3,2.2,") == 1
    tables.write_text(text.replace(",8.5,3,2.2,", ",8.5,2,1.4,"), "utf-8")
    content = read_content(content_folder())
    site = read(folder, lessons=lesson_ids(content_folder()))
    dozers = [m for m in site.machines if m.kind == "dozer"]
    low = next(m for m in dozers if figure(m.values["blade_height"]) < figure(site.settings.job["slot_depth"]))

    page = LessonPage(content.lessons["slot-front-to-back"], content, site, site_lead(site), Ledger())
    table = page.table()
    assert "Left out: " in table and "as the slot is deeper than the blade is high" in table
    assert f'data-row="{low.id}"' not in table
    # the slot is one for all: a blade wider than it is left out too, each with its own reason
    slot = figure(dozers[0].values["blade_width"])
    wide = [m for m in dozers if figure(m.values["blade_width"]) > slot]
    assert wide and all(f"{m.name}, as a blade" in table.replace("&#45;", "-") for m in wide)
    assert table.count("<tr data-row=") == len(dozers) - 1 - len(wide)
    with pytest.raises(FiguresRefused, match=r"number 'plan': the slot is deeper"):
        page.numbers.explained("plan", with_row(site_lead(site), "dozer", low), "us")
