"""The lesson on stopping work shows every limit the site has set, and when to ask first."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book.card import cab_card
from generator.book.content import content_folder, lesson_ids, read_content
from generator.book.page import site_lead
from generator.book.tree import lines_not_taught, not_taught, taught
from generator.jobsite.reader import read
from generator.source.problem import Refusals
from generator.working.ledger import Ledger
from tests.conftest import copy_demo


def test_every_limit_and_every_reason_to_ask_stands_on_the_page(demo: Path) -> None:
    limits = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["limits"]
    page = (demo / "out/web/lessons/stop-work.html").read_text("utf-8")
    text = html.unescape(re.sub(r"<[^>]+>", " ", page))
    table = text[text.index("The limits of this site. Set by") : text.index("Ask first when")]
    figures = {k: str(v) for k, v in limits.items() if k not in {"decided_by", "decided_on", "ask_first"}}
    assert len(figures) > 5
    for name, figure in figures.items():
        assert re.search(rf"(?<![\d.]){re.escape(figure)}(?![\d.])", table), f"{name}: {figure} is not in the table"
    for reason in limits["ask_first"]:
        assert reason in text, reason
    assert limits["decided_by"] in text


def test_a_tapped_limit_says_who_set_it_and_when(demo: Path, browser: Any) -> None:
    limits = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["limits"]
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto((demo / "out/web/lessons/stop-work.html").as_uri())
    table = page.locator("table").filter(has_text="The limits of this site")
    said = f"Set by {limits['decided_by']}, {limits['decided_on']}."
    assert said in table.locator("caption").inner_text()
    for name in ("side_slope", "line_clearance", "site_speed"):
        table.get_by_role("button", name=str(limits[name]), exact=True).first.click()
        opened = page.locator("[popover]:popover-open")
        assert said in opened.inner_text() and "settings.yml" not in opened.inner_text()
        opened.get_by_role("button", name="Close").click()
    page.close()
    # the ledger keeps where it stands
    assert '"origin": "settings.yml, limits: side_slope"' in (demo / "out/ledger.json").read_text("utf-8")


def test_a_cab_card_begins_with_the_sites_limits_and_whom_to_call(demo: Path) -> None:
    settings = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["limits"]
    cards = sorted((demo / "out/web/sheets").glob("cab-*.html"))
    assert len(cards) > 8
    for card in cards:
        text = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", card.read_text("utf-8"))).split())
        limits, machine = text.index("This site's limits"), text.index("This machine")
        first = text[limits:machine]
        # a truck backs to the tip and tips: the edge and slope that crawlers work by are not its own
        own = ("tip_distance", "tip_cross_slope") if card.name.startswith("cab-t-") else ("up_down_slope", "edge_distance")
        for name in (*own, "line_clearance"):
            assert str(settings[name]) in first, f"{card.name} {name}"
        assert f"Set by {settings['decided_by']}, {settings['decided_on']}." in first
        assert f"Whom to call: {settings['call']}" in first and f"In an emergency: {settings['emergency']}" in first
        # and every figure on it is a round one: no more than three digits that count
        for figure in re.findall(r"(?<![\w.-])\d{1,3}(?:[,\u202f]\d{3})+(?![\d.-])", text[machine:]):
            assert len(figure.replace(",", "").replace("\u202f", "").rstrip("0")) <= 3, f"{card.name}: {figure}"


def test_weights_of_a_card_are_told_to_the_safe_side(tmp_path: Path) -> None:
    """Two digits: what a bucket weighs is rounded up, and what a truck may be given is rounded down."""
    content, site = read_content(content_folder()), read(copy_demo(tmp_path / "site"))
    checked = 0
    for row in (*site.machines, *site.trucks):
        ledger = Ledger()
        cab_card(row, content.cards[row.kind], content, site, site_lead(site), ledger)
        for entry in ledger.entries:
            if entry.calculation not in {"loading.bucket_load", "loading.truck_target", "soil.mass", "soil.loose_density"}:
                continue
            unit = {"lb": 0.45359237, "kg": 1.0, "tons": 907.18474, "ton": 907.18474, "t": 1000.0,
                    "lb/yd³": 0.45359237 / 0.764554857984, "kg/m³": 1.0, "t/m³": 1000.0}  # fmt: skip
            figure, _, label = entry.values["us"].partition(" ")
            told, exact = float(figure.replace(",", "").replace("\u202f", "")) * unit[label], entry.si
            assert exact is not None
            checked += 1
            if entry.calculation == "loading.truck_target":
                assert 0.9 * exact < told <= exact * (1 + 1e-9), entry
            else:
                assert exact * (1 - 0.0051) <= told < 1.11 * exact, entry
            assert len(figure.replace(",", "").replace("\u202f", "").replace(".", "").strip("0")) <= 2, entry
    assert checked > 50


def test_where_nobody_to_call_is_named_the_card_has_a_line_to_write_on(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    settings = folder / "settings.yml"
    text = re.sub(r"(?m)^  (call|emergency): .*\n", "", settings.read_text("utf-8"))
    settings.write_text(text, "utf-8")
    content, site = read_content(content_folder()), read(folder)
    card = cab_card(site.machines[0], content.cards[site.machines[0].kind], content, site, site_lead(site), Ledger())
    for words in ("Whom to call", "In an emergency"):
        assert f'<b>{words}:</b> <span class="blank long"></span>' in card
    # a card of the site's own from before there were limits on it shows them all the same
    old = replace(content.cards["dozer"], limits={})
    dozer = next(m for m in site.machines if m.kind == "dozer")
    assert "Steepest ground worked across, by this site&#x27;s rule" in cab_card(dozer, old, content, site, site_lead(site), Ledger())


def test_a_card_names_limits_that_there_are(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    (folder / "cards.yml").write_text(
        "dozer:\n  title: Cab card\n  limits:\n    Side slope: limits.side_slop\n  numbers: {}\n  lines: {}\n", "utf-8"
    )
    with pytest.raises(Refusals) as e:
        read_content(content_folder(), folder)
    assert [str(p) for p in e.value.problems] == [
        "cards.yml:4: dozer: 'limits.side_slop' under limits is no limit of the site; did you mean limits.side_slope?"
    ]


def test_who_rips_or_strips_has_the_lesson_on_lines(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    content, site = read_content(content_folder()), read(folder, lesson_ids(content_folder()))
    assert lines_not_taught(content, site) == ()
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    role = text.index("  dozer-operator:")
    at = text.index("      - lines-above-and-below\n", role)
    settings.write_text(text[:at] + text[at + len("      - lines-above-and-below\n") :], "utf-8")
    (told,) = lines_not_taught(content, read(folder, lesson_ids(content_folder())))
    assert str(told) == (
        f"settings.yml:{text[:role].count(chr(10)) + 1}:roles.dozer-operator.lessons: Dozer operator has stripping and "
        "ripping-first and not lines-above-and-below: who opens the ground or lifts has to know of lines; "
        "add lines-above-and-below to the role [lines-not-taught]"
    )


def test_on_a_site_of_dozers_alone_the_lesson_on_lines_is_taught_for_them(tmp_path: Path) -> None:
    content, site = read_content(content_folder()), read(copy_demo(tmp_path / "site"), lesson_ids(content_folder()))
    dozers = replace(site, machines=tuple(m for m in site.machines if m.kind == "dozer"))
    assert "lines-above-and-below" in taught(content, dozers).lessons
    told = " ".join(map(str, not_taught(content, dozers)))
    assert "lines-above-and-below" not in told and "bench-height" in told
