"""Other rules than those of the United States: nothing of theirs in a reader's file, and the site's own figures in their place."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

import pytest

from generator.book.content import content_folder, read_content
from generator.book.tree import render_tree
from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.calc.rules import CONDITIONS, TOPICS, US, OwnRule, Rules, kept, marked
from generator.calc.under_rules import is_law, law_table, under, withheld
from generator.jobsite.model import RUNS
from generator.jobsite.rules import FORMS, skeleton
from generator.jobsite.starter import starter_files, write_starter
from generator.publish.build import Problems, load
from generator.reference.tables import load as load_tables
from tests.sites import OWN_RULES, own_rules

CONTENT = content_folder()
# law of the United States and those who make or watch over it, as they are written
UNITED_STATES = re.compile(
    r"\b[CF]FR\b|\bCCR\b|\bWAC\b|\bOAR\b|\b[Ff]ederal\b|United States|OSHA|MSHA|NIOSH|National Institute for Occupational|FMCSA|FHWA|NHTSA|MUTCD|Caltrans|California|Oregon|Texas"
    r"|Bureau of Mines|\bDepartment of (?:Labor|Transportation)|Subpart|\bmine rules?\b|\b(?:osha|msha|niosh|cfr|cal|wac|oregon|nhtsa)-[a-z0-9-]*\d"
)
OTHER = {"none": Rules("none"), "own": Rules("own", {t: OwnRule(t, "A rule", "part 1", "A. Person") for t in TOPICS})}


def files(site: Path) -> Mapping[str, str]:
    """Every text of a site's tree and its ledger, by name."""
    content, read = load(site)
    tree = render_tree(content, read)
    assert tree.problems == []
    found = {
        f"{place}/{name}": text for place in ("docs", "mentor") for name, text in getattr(tree, place).items() if isinstance(text, str)
    }
    return found | {"ledger.json": tree.ledger.as_json(read.settings.edition, read.settings.key, read.settings.units)}


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    """The tree of a metric site with rules of its own."""
    return files(own_rules(tmp_path_factory.mktemp("own") / "site"))


@pytest.fixture(scope="module")
def none(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    """The tree of a new site of all kinds of work, with no rules."""
    folder = tmp_path_factory.mktemp("none") / "site"
    write_starter(folder, starter_files(CONTENT, "us", rules="none"))
    return files(folder)


def united_states(tree: Mapping[str, str]) -> list[str]:
    """Each place that names United States law or who makes it."""
    return [f"{name}: {text[max(0, m.start() - 60) : m.end() + 30]}" for name, text in tree.items() for m in UNITED_STATES.finditer(text)]


def test_the_pattern_finds_what_a_site_of_the_united_states_says() -> None:
    text = (CONTENT / "lessons/trench-walls.md").read_text("utf-8") + (CONTENT / "sources.yml").read_text("utf-8")
    assert {"United States", "OSHA", "MSHA", "National Institute for Occupational", "CFR", "federal"} <= {
        m[0] for m in UNITED_STATES.finditer(text)
    }


def test_no_file_of_a_site_with_its_own_rules_names_united_states_law(own: Mapping[str, str]) -> None:
    assert "docs/lessons/trench-walls.md" in own and "docs/reference/sources.md" in own and united_states(own) == []


def test_no_file_of_a_site_without_rules_names_united_states_law(none: Mapping[str, str]) -> None:
    assert "docs/lessons/haul-road.md" in none and "docs/reference/sources.md" in none and united_states(none) == []


def words(page: str) -> str:
    """The text of a page, without its pictures."""
    page = re.sub(r"<(svg|script).*?</\1>", " ", page, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_own_figures_and_who_answers_for_them_stand_in_the_lessons(own: Mapping[str, str]) -> None:
    walls = words(own["docs/lessons/trench-walls.md"])
    assert "Excavation order of an invented land, part 4, table 2 (Ida Moreno, works engineer answers for it)" in walls
    assert all(figure in walls for figure in ("1.25 m", "1.1 m", "14 m", "4.5 m", "loose ground"))
    lines = words(own["docs/lessons/lines-above-and-below.md"])
    assert "Order on work near lines, section 8" in lines and "7.7 m" in lines and "5.6 m" in lines
    moving = words(own["docs/lessons/moving-the-machine.md"])
    assert "1.44 t" in moving and "38.5 t" in moving and "2.6 m" in moving  # 80% of 1.8 t
    heat = words(own["docs/lessons/heat-and-hours.md"])
    assert "Order on heat" in heat and "25%" in heat and "250 mL" in heat


def test_questions_for_other_rules_are_asked_and_those_on_united_states_law_are_not(
    own: Mapping[str, str], none: Mapping[str, str]
) -> None:
    questions = [q for asked in read_content(CONTENT).questions.values() for q in asked if q.where in CONDITIONS]
    asked = {
        name: {q.id for q in questions if any(f'"{q.id}' in text or f"{q.id}" in text for n, text in tree.items() if "/lessons/" in n)}
        for name, tree in (("own", own), ("none", none))
    }
    assert {"walls-13", "walls-14"} <= asked["own"] & asked["none"] and "lines-20" in asked["own"] - asked["none"]
    assert not {q.id for q in questions if q.where == "us-federal"} & (asked["own"] | asked["none"])


def test_the_working_of_walls_is_by_the_sites_own_table(own: Mapping[str, str]) -> None:
    ledger = json.loads(own["ledger.json"])
    rows = [e for e in ledger["numbers"] if e["calculation"] == "trench.top_width"]
    top = float(Fraction("0.45") + 2 * Fraction("0.9") * Fraction("1.75"))  # the floor and both walls, by hand
    assert rows and {e["metric"] for e in rows if "width at the top" in e["what"]} == {f"{top:g} m"}
    assert all(any(s.startswith("own-trench-walls") for s in e["sources"]) for e in rows)
    assert not [e for e in ledger["numbers"] if any(is_law(s.partition(",")[0]) for s in e["sources"])]


def test_a_figure_that_the_rule_does_not_give_takes_nothing_else_with_it(tmp_path: Path) -> None:
    """What asks in its stead is there, the rest of the topic too, the page says what it lacks, and check in which lessons."""
    site = own_rules(tmp_path / "site")
    path = site / "rules/trench-entry.csv"
    text = path.read_text("utf-8")
    for row in ("ladder above the edge at least", "way out needed from this depth", "air tested past this depth where it may be bad",
                "shield above the vertical part"):  # fmt: skip
        text, n = re.subn(rf"(?m)^{row};.*$", f"{row};none", text)
        assert n == 1
    path.write_text(text, "utf-8")
    content, read = load(site)
    tree = render_tree(content, read)
    assert tree.problems == []
    walls = words(str(tree.docs["lessons/trench-walls.md"]))
    assert "Ask how far apart, and how far a ladder stands out above the edge." in walls and "A ladder stands steep" not in walls
    assert "A way out is needed from" not in walls and "Bad air. Exhaust, gas from the ground" in walls
    assert (
        "1.25 m deep walls are sloped" in walls
        and "4.5 m deep a registered engineer" in walls
        and "The rules where you work say from what" not in walls
    )
    assert (
        "Left out, as the rule has no figure for it: ladder above the edge at least; way out needed from this depth. "
        "Ask the competent person. (Excavation order of an invented land)" in walls
    )
    sheet = words(str(tree.docs["sheets/trench-walls.html"]))
    assert "Ask how near, and how far a ladder stands out above the edge." in sheet and "A way out from" not in sheet
    told = {str(n) for n in tree.notices if n.code == "rule-blank"}
    assert any(
        t.startswith("rules/trench-entry.csv: it gives no figure for ") and "left out of trench-walls; write the figure" in t for t in told
    )
    assert not any("shield" in t for t in told)  # no lesson of this site tells of it


def test_with_no_rules_no_figure_of_law_is_worked_and_words_say_so(none: Mapping[str, str]) -> None:
    ledger = json.loads(none["ledger.json"])
    law = {id_ for id_, table in load_tables(CONTENT).items() if law_table(table)}
    assert not [e for e in ledger["numbers"] if e["calculation"] and withheld(e["calculation"], OTHER["none"])]
    assert not [e for e in ledger["numbers"] if e["what"].startswith("table.") and e["what"].split(".")[1] in law]
    for lesson in ("trench-walls", "haul-road", "moving-the-machine"):
        assert "No figure" in words(none[f"docs/lessons/{lesson}.md"]), lesson
    assert "None is given here" in words(none["docs/lessons/lines-above-and-below.md"])


def test_every_calculation_that_is_told_of_is_free_of_the_law() -> None:
    for c in calculations().values():
        if withheld(c.id, OTHER["none"]):
            continue
        told = under(c, OTHER["none"])
        sources = [told.source, *told.also, *((k.source for k in told.constants) if isinstance(told, Formula) else ())]
        assert not [s for s in sources if is_law(s.key)], c.id
        assert not UNITED_STATES.search(f"{told.title} {told.words} {told.limits}"), c.id
    assert all(under(c, US) is c for c in calculations().values())


def test_every_mark_in_the_texts_names_a_condition_and_leaves_whole_words() -> None:
    seen = set()
    for path in sorted(CONTENT.rglob("*")):
        if path.suffix not in {".md", ".yml"} or path.parent.name == "checks":
            continue
        text = path.read_text("utf-8")
        called = re.findall(r"where\('([^']*)'\)|^  where: (.+)$", text, re.M)
        names = {*marked(text), *(a or b for a, b in called)}
        assert names <= {*CONDITIONS, *RUNS}, path.name
        seen |= names
        for rules in (US, *OTHER.values()):
            left = kept(text, rules)
            assert "|" not in left or "[[" not in left.replace("[[text.", ""), path.name
            for part in re.split(r"\n\s*\n|\n(?=\s*(?:-|\d+[.]) )", left):  # of paragraphs and entries those that such a site prints
                wanted = [c for c in re.findall(r"where\('([^']*)'\)", part) if c in CONDITIONS]
                if all(map(rules.hold, wanted)):
                    assert not re.search(r"[a-z] [.,;](?:\s|$)| \(\)", part), (path.name, rules.name, part)
                    assert rules is US or "lessons" not in path.parts or not UNITED_STATES.search(part), (path.name, rules.name, part)
            if rules is not US:
                assert left.count("\n") == text.count("\n"), path.name
    assert {"us-federal", "other rules", "no trench-walls", "own trench-walls", "trench-entry", "excavator"} <= seen


def test_a_new_site_with_own_rules_asks_for_each_of_its_figures(tmp_path: Path) -> None:
    write_starter(tmp_path / "site", starter_files(CONTENT, "metric", rules="own"))
    with pytest.raises(Problems) as told:
        load(tmp_path / "site")
    lines = told.value.lines
    for topic, form in FORMS.items():
        mine = [x for x in lines if x.startswith(f"rules/{topic}.csv:")]
        assert [f"# {key}:" in x for key, x in zip(("title", "place", "answers"), mine, strict=False)] == [True] * 3, topic
        if form.rows:
            assert [
                i for i, c in enumerate(form.rows, 5) if not any(x.startswith(f"rules/{topic}.csv:{i}:") and "; fill in" in x for x in mine)
            ] == []
        else:
            assert any(x.startswith(f"rules/{topic}.csv:4:") and "has no rows; write one for each" in x for x in mine), topic
    assert all("; " in x for x in lines)


@pytest.mark.parametrize(
    ("topic", "old", "new", "told"),
    [
        ("lines", "66;5,4", "66;5,4 ft m", "rules/lines.csv:6:at work"),
        ("lines", "middle", "low", "two rows are called 'low'"),
        ("tie-downs", "tie-downs at least;4", "tie-downs at least;four", "rules/tie-downs.csv:7:figure"),
        ("roads", "truck and load;2,6 m\n", "", "there is no row 'truck and load'"),
        ("trench-entry", "way out needed", "ways out needed", "is no row of this table"),
        ("trench-walls", "loose ground", "sand", "'loose ground' is no soil of rules/trench-walls.csv"),
        ("heat", "# answers: Ida Moreno, works engineer\n", "", "does not say who answers for these figures"),
    ],
)  # fmt: skip
def test_a_slip_in_a_table_of_rules_is_told_with_its_line(tmp_path: Path, topic: str, old: str, new: str, told: str) -> None:
    folder = own_rules(tmp_path / "site")
    assert old in OWN_RULES[topic]
    (folder / f"rules/{topic}.csv").write_text(OWN_RULES[topic].replace(old, new), "utf-8")
    with pytest.raises(Problems) as wrong:
        load(folder)
    assert any(told in line for line in wrong.value.lines), wrong.value.lines


def test_own_rules_without_a_table_and_a_table_of_no_topic_are_told(tmp_path: Path) -> None:
    folder = own_rules(tmp_path / "site")
    for path in (folder / "rules").iterdir():
        path.unlink()
    (folder / "rules/trench-wals.csv").write_text("what,figure\n", "utf-8")
    with pytest.raises(Problems) as wrong:
        load(folder)
    assert any("rules/trench-wals.csv is no table of rules; " in x for x in wrong.value.lines)
    assert any("the folder rules holds no table; start with those of" in x for x in wrong.value.lines)


def test_a_topic_without_a_table_is_left_out_as_with_no_rules(tmp_path: Path) -> None:
    folder = own_rules(tmp_path / "site")
    (folder / "rules/lines.csv").unlink()
    content, site = load(folder)
    assert set(site.rules.own) == set(OWN_RULES) - {"lines"} and site.is_one_of("no lines") and site.is_one_of("own heat")
    assert not [t for t in content.tables if t.startswith("line-clearance")] and "own-heat" in content.sources.entries


def test_a_site_that_says_nothing_has_the_rules_of_the_united_states(tmp_path: Path) -> None:
    write_starter(tmp_path / "site", starter_files(CONTENT, "us"))
    content, site = load(tmp_path / "site")
    assert site.settings.rules == "us-federal" and site.rules == US and content.tables == read_content(CONTENT).tables


def test_the_skeleton_holds_no_figure() -> None:
    assert not re.search(r"[,;]\s*\d", "".join(skeleton(True).values()).replace(" on day ", ""))
