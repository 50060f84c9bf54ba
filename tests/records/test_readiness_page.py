"""The page of who is ready for a class of 150 in a browser: looking for people, a narrow phone, without its script, and on paper."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.reader import read
from generator.records.readiness import Readiness
from generator.records.readiness_page import SCRIPT
from generator.records.report import write
from generator.records.week import states_of, week
from tests.conftest import DEMO
from tests.records.many import a_class


@pytest.fixture(scope="module")
def crowd() -> Readiness:
    return a_class(read(DEMO))


@pytest.fixture(scope="module")
def url(crowd: Readiness, tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("crowd")
    write(crowd, folder)
    return (folder / "readiness.html").as_uri()


@pytest.fixture
def page(browser: Any, url: str) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    context.set_default_timeout(15_000)
    made = context.new_page()
    said: list[str] = []
    made.on("console", lambda m: said.append(m.text))
    made.on("pageerror", lambda e: said.append(str(e)))
    made.goto(url)
    yield made
    context.close()
    assert said == []


def shown(page: Any) -> list[str]:
    """The ids of the people whose rows can be seen."""
    found: list[str] = page.locator("tbody[data-who]").evaluate_all("all => all.filter(e => e.checkVisibility()).map(e => e.dataset.who)")
    return found


def look(page: Any, find: str = "", **picked: str) -> list[str]:
    for name, value in picked.items():
        page.locator(f"#look select[name={name}]").select_option(value)
    page.locator("#look input").fill(find)
    return shown(page)


def who(crowd: Readiness, state: str) -> list[str]:
    w = week(crowd)
    due, held = {d.who.person.id for d in w.due}, {h.marked.result.crew for h in w.held}
    return [p.person.id for p in crowd.people if state in states_of(p, due, held)]


def test_at_first_all_are_shown(page: Any) -> None:
    assert len(shown(page)) == 150 and page.locator("#shown").inner_text() == "All 150 people are shown."


@pytest.mark.parametrize(
    "state", ["ready", "not-ready", "alone", "due", "held", "lapsed", "train-again", "sign-off", "take-again", "failed"]
)
def test_people_are_looked_for_by_state(page: Any, crowd: Readiness, state: str) -> None:
    found = look(page, state=state)
    assert found == who(crowd, state) and 0 < len(found) < 150
    assert page.locator("#shown").inner_text().startswith(f"Shown: {len(found)} of 150 people. Looked for: ")
    option = page.locator(f"#look option[value={state}]").inner_text()
    assert option.endswith(f"({len(found)})")


def test_the_same_people_stand_in_the_table_of_lessons(page: Any) -> None:
    found = look(page, role="truck-driver", state="not-ready")
    rows = page.locator("tr[data-who]").evaluate_all("all => all.filter(e => e.checkVisibility()).map(e => e.dataset.who)")
    assert found == rows and found
    # a role nobody is shown of leaves no heading behind
    heads = page.locator("#people h3").evaluate_all("all => all.filter(e => e.checkVisibility()).map(e => e.textContent)")
    assert heads == ["Haul truck driver"]


@pytest.mark.parametrize("typed", ["P-004", "p4", "P-4", "p 004", " P-04 "])
def test_an_id_is_found_however_it_is_written(page: Any, typed: str) -> None:
    assert look(page, typed if " " not in typed.strip() else typed.replace(" ", "")) == ["P-004"]


def test_names_and_machines_are_found_without_accents_and_capitals(page: Any, crowd: Readiness) -> None:
    assert look(page, "ibanez") == [p.person.id for p in crowd.people if "Ibáñez" in p.person.name]
    both = [p.person.id for p in crowd.people if "Ibáñez" in p.person.name and "E-2" in p.person.machines]
    assert look(page, "IBÁÑ e-2") == both and both
    assert look(page, "nobody of that name") == [] and page.locator("#shown").inner_text().startswith("Shown: 0 of 150 people.")


def test_what_is_looked_for_stands_in_the_address_and_can_be_sent(page: Any, url: str) -> None:
    found = look(page, "varga", role="dozer-operator", state="not-ready")
    sent = page.url
    assert sent == f"{url}#role=dozer-operator&state=not-ready&find=varga" and found
    other = page.context.new_page()
    other.goto(sent)
    assert shown(other) == found and other.locator("#look input").input_value() == "varga"
    other.get_by_role("button", name="Show all").click()
    other.locator("#shown", has_text=re.compile("^All")).wait_for()  # the page's policy lets no wait look by script
    assert len(shown(other)) == 150 and "state" not in other.url
    # what nobody can pick is left out, and the rest holds
    other.goto(f"{url}#role=no-such-role&state=held")
    other.reload()
    assert shown(other) == ["P-014", "P-015", "P-040", "P-041", "P-101", "P-140"]
    other.close()


def test_a_link_of_what_to_do_shows_the_people_it_is_about(page: Any, crowd: Readiness) -> None:
    page.locator('#week a[data-look="state=due"]').first.click()
    page.locator("#shown", has_text=re.compile("^Shown")).wait_for()
    assert shown(page) == who(crowd, "due") and page.url.endswith("#state=due")
    assert page.locator("#people h2").evaluate("e => Math.abs(e.getBoundingClientRect().top) < 200")


def test_a_link_to_a_part_of_the_page_leaves_what_is_looked_for(page: Any) -> None:
    found = look(page, state="held")
    page.locator('#week a[href="#due"]').click()
    assert shown(page) == found


def test_without_its_script_all_can_be_read_and_nothing_dead_stands_there(browser: Any, url: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{url}#state=due")
    assert page.locator("tbody[data-who]").count() == 150 and not page.locator("#look").is_visible()
    assert page.locator("tbody[data-who]").last.is_visible() and page.locator("#shown").inner_text() == "150 people."
    links = page.locator('a[data-look][href="#people"]').count()
    assert links == page.locator("a[data-look]").count()
    context.close()


def test_the_policy_lets_this_script_run_and_no_other(url: str) -> None:
    from generator.book.guard import guarded

    html = Path(url.removeprefix("file://")).read_text("utf-8")
    policy = re.findall(r"script-src ([^;]+);", html)
    assert policy == re.findall(r"script-src ([^;]+);", guarded("", f"<script>{SCRIPT}</script>")) and policy[0].count("sha256-") == 1
    assert "</script" not in SCRIPT and "innerHTML" not in SCRIPT and html.count("<script") == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_a_phone_nothing_sticks_out_and_it_can_be_read(browser: Any, url: str, scheme: str) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme=scheme)
    page = context.new_page()
    page.goto(url)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.locator("#look select, #look input, #look button, .todo a").evaluate_all(
        "all => all.filter(e => e.getBoundingClientRect().height < 44).length"
    )
    assert small == 0
    assert page.locator(".todo li").first.evaluate("e => e.getBoundingClientRect().top < 740")  # what to do is on the first screen
    context.close()


# --- paper ----------------------------------------------------------------------------------------


def printed(page: Any, place: Path, paper: str) -> list[str]:
    """The text of each page of paper."""
    page.add_style_tag(content=f"@page {{ size: {paper} landscape; }}")
    page.pdf(path=str(place), prefer_css_page_size=True)
    text = subprocess.run(["pdftotext", "-layout", str(place), "-"], capture_output=True, text=True, check=True).stdout
    return text.split("\f")[:-1]


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_no_page_of_paper_is_empty_and_each_begins_with_a_heading_or_the_heads_of_its_table(page: Any, tmp_path: Path, paper: str) -> None:
    pages = printed(page, tmp_path / "all.pdf", paper)
    assert 20 < len(pages) <= 70
    # a table wider than the paper would have the browser print all of it smaller, at the first time at least
    assert len(printed(page, tmp_path / "again.pdf", paper)) == len(pages)
    heads = re.compile(r"Crew|Lesson|Question|Where|Flag|Who is ready|Readiness by role|Right at")
    for i, text in enumerate(pages, 1):
        body = text.rsplit(f"page {i} of {len(pages)}", 1)[0]
        assert body != text, f"page {i} has no foot"
        words = " ".join(body.split())
        assert len(words) > 250, f"page {i} is all but empty: {words}"
        if re.search("[●○◐✕]  +[●○◐✕]", body):  # its lessons' heads stand upright, and come out as they like
            assert "Crew" in words and "Seat time" in words, f"page {i} has marks without their heads"
        else:
            assert heads.search(" ".join(body.splitlines()[:6])), f"page {i} begins with {words[:80]}"
    assert "What to do this week" in pages[0] and "Held: say which counts" in pages[0]
    first = next(i for i, text in enumerate(pages) if "Readiness by role" in text)
    assert first <= 5 and pages[first].lstrip().startswith("Readiness by role")


def test_a_head_is_never_left_behind_at_the_foot_of_a_page(page: Any, tmp_path: Path) -> None:
    for text in printed(page, tmp_path / "all.pdf", "letter"):
        rows = [x for x in text.splitlines() if x.strip()][-4:-1]
        assert not any(re.match(r"\s*(Crew\s+Less|Flag\s+What|Lesson\s+People|Question\s+Lesson|Where\s+Flag)", x) for x in rows[-1:]), rows


def test_on_paper_stands_what_is_looked_for_and_says_so(page: Any, tmp_path: Path) -> None:
    look(page, role="truck-driver", state="not-ready")
    pages = printed(page, tmp_path / "part.pdf", "letter")
    assert len(pages) <= 6 and "What to do this week" not in pages[0]
    said = " ".join(pages[0].split())
    assert re.search(r"Shown: \d+ of 150 people\. Looked for: Haul truck driver, something missing on a machine\.", said)
    assert "Dozer operator" not in "".join(pages) and "Questions, hardest first" not in "".join(pages)
