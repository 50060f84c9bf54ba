"""A person's record holds what public rules ask of one, item by item; each with its source in ``records.yml``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from pathlib import Path
from typing import Any, get_args

import pytest

from generator.records.readiness import Readiness
from generator.records.record import record_of
from generator.records.record_page import person_page
from generator.records.told import REASONS, Reason
from generator.source.yamltext import load_plain
from tests.outside.collected import CONTENT
from tests.records.recorded import NAMES, recorded

RULES: Mapping[str, Any] = load_plain(Path(__file__).with_name("records.yml").read_text("utf-8"), "records.yml")
SOURCES: Mapping[str, Any] = load_plain((CONTENT / "sources.yml").read_text("utf-8"), "sources.yml")
# where each item stands on the page, and what stands there of a person of whom all is known
SHOWN = {
    "name": r"Name Ines Holloway Crew id P-01",
    "type": r"Type of training lessons of the handbook, each with a quiz, work watched and signed for by a mentor, seat time under a mentor, tailgate talks",
    "duration": r"Duration \d+ min at the quizzes shown, 2\.5 h watched by mentors, 7\.5 h of seat time under a mentor",
    "passed": r"Bench-height 2026-03-30 5 of 5",
    "signed": r"2026-04-02 Ada Quist \(M-2\) E-2, excavator, to 60,000 lb wet clay, light rain 2\.5 h",
    "trained by": r"Trained or evaluated by Ada Quist \(M-2\)",
    "all trainers": r"Trained or evaluated by Ada Quist \(M-2\), Rene Delacroix Duration",
    "contractor": r"Contractor Quarrel Earthworks Site or mine Juniper Bench Cut and Fill",
    "number": r"Its number, if any 00-12345",
    "place": r"Place of training the pad beside the workshop",
    "certifying": r"Answerable for training: I certify that this was completed\. Name, signature, day",
    "own words": r"words of its own on a record .* stand above the last signature",
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Readiness:
    return recorded(tmp_path_factory.mktemp("rules") / "site")


def words(html: str) -> str:
    """The words of a page as they are read, one space between."""
    inside = html[html.index("<main>") : html.index("</main>")]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", inside)).split()).replace(" :", ":").replace(" ,", ",")


CASES = [(rule["id"], item, key) for rule in RULES["contents"] for item, key in rule["items"].items()]


@pytest.mark.parametrize(("rule", "item", "key"), CASES, ids=[f"{r}: {i}" for r, i, _ in CASES])
def test_the_record_holds_each_item(made: Readiness, rule: str, item: str, key: str) -> None:
    assert re.search(SHOWN[key], words(person_page(record_of(made, "P-01", NAMES)))), f"{rule} asks for {item}"


def test_every_item_is_asked_for_by_a_rule_that_is_named() -> None:
    assert {key for _, _, key in CASES} == set(SHOWN)
    for rule in (*RULES["contents"], RULES["again"]):
        assert rule["source"] in SOURCES and rule["place"] and rule["rule"]
        assert rule["seen"] in {"read", "from memory"}


@pytest.mark.parametrize(("said", "reason"), RULES["again"]["reasons"].items())
def test_an_order_to_train_again_can_name_each_reason(said: str, reason: str) -> None:
    assert reason in get_args(Reason) and REASONS[reason], said  # type: ignore[index]  # a word of a file


def test_what_the_site_has_not_said_is_left_to_write(tmp_path: Path) -> None:
    import dataclasses

    from generator.jobsite.model import RecordRules

    r = recorded(tmp_path / "site")
    bare = dataclasses.replace(r, site=dataclasses.replace(r.site, settings=dataclasses.replace(r.site.settings, records=RecordRules())))
    html = person_page(record_of(bare, "P-01", NAMES))
    for item in ("Contractor", "Its number, if any", "Place of training"):
        assert f'<dt>{item}</dt><dd><span class="blank"></span></dd>' in html
    assert "Quarrel" not in html
