"""Published tables, sources and checks under a set of rules, on a few that are made up here and on those that are shipped."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from generator.calc.rules import TOPICS, US, OwnRule, Rules
from generator.calc.tables import Cell, Table
from generator.calc.under_rules import RESTS_ON, is_law
from generator.reference import checks, sources, tables
from generator.reference.checks import Check
from generator.reference.rules import checks_under, sources_under, tables_under, told_of
from generator.reference.sources import Bibliography, Entry
from tests.conftest import ROOT

CONTENT = ROOT / "content"
NONE = Rules("none")


def table(id_: str, source: str) -> Table:
    return Table(id_, "Depths", source, "p. 5", "read", ("feet",), {"feet": "ft"}, {"deepest": {"feet": Cell("4", 4.0, 4.0)}}, "")


def entry(key: str, author: str = "A. Person", note: str = "Read.") -> Entry:
    return Entry(key, "A book", author, "1990", "book", note)


OWN = Rules(
    "own",
    {"lines": OwnRule("lines", "Order on lines", "section 8", "Ida Moreno")},
    {"excavation-rules": table("excavation-rules", "own-x")},
)
TABLES = {t.id: t for t in (table("excavation-rules", "osha-1926-651"), table("swell", "nunnally"), table("timber-pressures", "nunnally"))}


def test_the_united_states_have_all_that_is_published_and_nothing_else() -> None:
    assert tables_under(TABLES, US) == TABLES
    shipped = sources.load(CONTENT)
    assert sources_under(shipped, US) is shipped
    every = checks.load(CONTENT)
    assert checks_under(iter(every), US) == tuple(every) and len(every) > 100
    assert all(told_of(id_, US) for id_ in RESTS_ON)


def test_tables_of_their_law_go_and_the_sites_own_stand_in_their_place() -> None:
    assert tables_under(TABLES, NONE) == {"swell": TABLES["swell"]}
    assert tables_under(TABLES, OWN) == {"swell": TABLES["swell"], "excavation-rules": OWN.tables["excavation-rules"]}
    left = tables_under(tables.load(CONTENT), NONE)
    assert len(left) > 10 and not [t for t in left.values() if is_law(t.source)]


def test_of_the_sources_their_law_goes_and_the_sites_own_rules_say_who_answers() -> None:
    found = sources_under(Bibliography({"osha-1926-651": entry("osha-1926-651"), "nunnally": entry("nunnally")}), OWN)
    assert list(found) == ["own-lines", "nunnally"]
    assert found["nunnally"] == entry("nunnally")  # a book of engineering stays as it is
    assert found["own-lines"] == Entry(
        "own-lines", "Order on lines", "not stated", "not stated", "regulation",
        "The rule this site works by, as Ida Moreno gave it: section 8.",
    )  # fmt: skip
    left = sources_under(sources.load(CONTENT), NONE)
    assert len(set(left)) > 50 and not [key for key in left if is_law(key) or key.startswith("own-")]


@pytest.mark.parametrize(
    ("author", "note", "named", "said"),
    [
        ("S. W. Nunnally", "Read in print.", "S. W. Nunnally", "Read in print."),
        ("US Army", "Read in print.", "not stated", "Read in print."),
        ("S. W. Nunnally", "Read beside 29 CFR 1926.", "S. W. Nunnally", ""),
        ("the Federal Highway Administration", "As OSHA prints it.", "not stated", ""),
        ("A. Washington-Smith", "Of Texas.", "not stated", ""),
        ("J. Austin", "For thus and Austria.", "J. Austin", "For thus and Austria."),
    ],
)
def test_a_body_of_the_united_states_is_named_by_its_title_alone(author: str, note: str, named: str, said: str) -> None:
    found = sources_under(Bibliography({"a-book": entry("a-book", author, note)}), NONE)["a-book"]
    assert (found.title, found.author, found.note, found.year) == ("A book", named, said, "1990")


def test_checks_of_their_law_and_of_what_a_site_gives_itself_go_and_all_others_stay() -> None:
    every = checks.load(CONTENT)
    for rules in (NONE, OWN):
        left = checks_under(iter(every), rules)
        assert not [c.id for c in left if c.calculation in RESTS_ON or is_law(c.source)]
        gone = [c for c in every if c not in left]
        assert left and gone and all(c.calculation in RESTS_ON or is_law(c.source) for c in gone)
        by: tuple[Callable[[Check], bool], ...] = (lambda c: c.calculation in RESTS_ON, lambda c: is_law(c.source))
        for this, other in (by, by[::-1]):
            assert [c for c in gone if this(c) and not other(c)]


def test_the_reference_chapter_tells_of_a_calculation_whose_figures_the_site_has() -> None:
    assert told_of("soil.loose", NONE) is told_of("soil.loose", OWN) is True
    assert told_of("lines.clearance", OWN) is True and told_of("lines.clearance", NONE) is False
    assert told_of("trench.area", OWN) is False  # of lines alone it gives figures
    every = Rules("own", {t: OwnRule(t, "A rule", "part 1", "A. Person") for t in TOPICS})
    assert [id_ for id_ in RESTS_ON if not told_of(id_, every)] == [id_ for id_, needs in RESTS_ON.items() if not needs.topic]
