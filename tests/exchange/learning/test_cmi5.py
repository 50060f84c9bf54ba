"""A package for cmi5 played in Chromium beside a record store that holds each statement to the specification."""

from __future__ import annotations

import copy
import datetime
import json
import subprocess
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.reader import read
from generator.records.desk import tally
from tests.exchange.learning.lrs import CMI5, MASTERY, MOVE_ON, VERBS, Store, broken, is_defined, kept_by
from tests.exchange.learning.playing import HERE, LESSON, play, start


class Unit:
    """A unit launched by a learning system, in a page of its own."""

    def __init__(self, browser: Any, system: str, store: Store) -> None:
        self.store, self.system = store, system
        self.context = browser.new_context()
        self.page = self.context.new_page()
        self.faults: list[str] = []
        self.page.on("pageerror", lambda e: self.faults.append(str(e)))

    def launch(self) -> Any:
        self.page.goto(self.store.launched(f"{self.system}/cmi5/lessons/{LESSON}.html"))
        self.page.locator("seatwork-quiz.sq-on").wait_for()
        return self.page

    def leave(self) -> None:
        self.page.goto(f"{self.system}/system.html")
        for _ in range(100):
            if "terminated" in self.store.verbs():
                return
            self.page.wait_for_timeout(50)


@pytest.fixture
def units(browser: Any, system: str) -> Iterator[Callable[..., Unit]]:
    made: list[Unit] = []
    with ExitStack() as stack:

        def make(store: Store | None = None, **launch: Any) -> Unit:
            if store is None:
                store = stack.enter_context(kept_by(Store(**launch)))
            made.append(Unit(browser, system, store))
            return made[-1]

        yield make
        for unit in made:
            assert unit.faults == []
            unit.context.close()


def validated(statements: list[dict[str, Any]]) -> list[Any]:
    """What the validator of others finds, of each statement."""
    text = json.dumps(statements)
    done = subprocess.run(["node", "validate.js"], cwd=HERE, input=text, capture_output=True, text=True, check=True)
    found: list[Any] = json.loads(done.stdout)
    return found


def test_failed_then_passed_in_one_session(units: Callable[..., Unit], small: Path, tmp_path: Path) -> None:
    u = units()
    page = u.launch()
    assert "Crew id P-02" in page.locator(".su-strip").inner_text()
    start(page)
    done = play(page, wrong="must")
    page.locator(".su-told", has_text="6 of 7, not passed").wait_for()
    assert u.store.verbs(defined=False) == ["initialized", *["answered"] * 7, "scored"]  # told at once, by statements cmi5 allows
    tried = u.store.of_session()[-1]["result"]
    assert (tried["success"], tried["score"]) == (False, {"scaled": 0.8571, "raw": 6, "min": 0, "max": 7})
    page.locator(".sq-restart").click()
    start(page, "I have read it")
    play(page)
    page.locator(".su-told", has_text="7 of 7, passed").wait_for()
    u.leave()
    assert u.store.verbs() == ["initialized", "passed", "completed", "terminated"]
    assert broken(u.store) == []
    assert validated(u.store.statements) == [[] for _ in u.store.statements]

    answers = [s for s in u.store.of_session() if s["verb"]["id"] == VERBS + "answered"][:7]
    assert [s["result"]["success"] for s in answers] == [d["right"] for d in done]
    for s in answers:
        what = s["object"]["definition"]
        assert s["object"]["id"].startswith(u.store.publisher + "#")
        assert what["interactionType"] in {"choice", "fill-in", "sequencing"}
        assert len(what["correctResponsesPattern"]) == 1
        assert s["result"]["duration"].startswith("PT")

    codes = [s["result"]["response"] for s in u.store.of_session() if s["verb"]["id"] in (VERBS + "scored", VERBS + "passed")]
    (tmp_path / "codes.csv").write_text("\n".join(("code", *dict.fromkeys(codes))) + "\n", "utf-8")
    marked = tally(read(small), [tmp_path / "codes.csv"], datetime.datetime.now(datetime.UTC)).marked
    assert sorted((m.right, m.of, m.passed, m.result.crew) for m in marked) == [(6, 7, False, "P-02"), (7, 7, True, "P-02")]


def test_failed_is_told_when_the_session_ends(units: Callable[..., Unit]) -> None:
    u = units()
    page = u.launch()
    start(page)
    play(page, wrong="must")
    page.locator(".su-told", has_text="not passed").wait_for()
    u.leave()
    assert u.store.verbs() == ["initialized", "failed", "terminated"]
    assert broken(u.store) == []
    failed = next(s for s in u.store.of_session() if s["verb"]["id"] == VERBS + "failed")
    assert failed["result"]["score"]["scaled"] == 0.8571  # 6 of 7: 86 percent
    assert set(failed["context"]["extensions"]) == {"https://w3id.org/xapi/cmi5/context/extensions/sessionid"}


def test_a_mastery_score_of_the_system_overrules_nothing(units: Callable[..., Unit]) -> None:
    u = units(masteryScore=0.8)
    page = u.launch()
    start(page)
    play(page, wrong="must")
    page.locator(".su-told", has_text="not passed").wait_for()
    u.leave()
    assert u.store.verbs() == ["initialized", "failed", "terminated"]
    assert broken(u.store) == []
    failed = next(s for s in u.store.of_session() if s["verb"]["id"] == VERBS + "failed")
    assert "score" not in failed["result"]
    assert failed["context"]["extensions"][MASTERY] == 0.8
    assert len(failed["result"]["response"]) > 80


def test_a_try_goes_on_on_another_device_and_a_pass_is_told_once(units: Callable[..., Unit]) -> None:
    u = units()
    page = u.launch()
    start(page)
    play(page, upto=3)
    state = page.evaluate("() => document.querySelector('seatwork-quiz').state")
    u.leave()
    other = units(u.store)
    page = other.launch()
    page.locator("fieldset.sq:visible").wait_for()
    assert page.evaluate("() => document.querySelector('seatwork-quiz').state") == state
    if not page.locator(".sq-check").is_visible():
        page.locator(".sq-next").click()
    play(page)
    page.locator(".su-told", has_text="7 of 7, passed").wait_for()
    other.leave()
    assert u.store.verbs(0) == ["initialized", "terminated"]
    assert u.store.verbs(1) == ["initialized", "passed", "completed", "terminated"]
    third = units(u.store)
    page = third.launch()
    page.locator(".sq-start .sq-main, .sq-restart").first.wait_for()
    page.locator(".sq-restart").click()
    play(page, wrong="all")
    page.locator(".su-told", has_text="0 of 7, not passed").wait_for()
    third.leave()
    assert u.store.verbs(2) == ["initialized", "terminated"]  # no failed after a pass
    assert broken(u.store) == []


@pytest.mark.parametrize("mode", ["Browse", "Review"])
def test_a_look_around_counts_for_nothing(units: Callable[..., Unit], mode: str) -> None:
    u = units(launchMode=mode)
    page = u.launch()
    assert "nothing done here counts" in page.locator(".su-strip").inner_text()
    start(page)
    play(page)
    page.locator(".sq-head", has_text="Passed.").wait_for()
    u.leave()
    assert u.store.verbs(defined=False) == ["initialized", "terminated"]
    assert broken(u.store) == []
    assert set(u.store.states) == {"LMS.LaunchData"}  # nothing a later launch could go on from
    u.store.launch["launchMode"] = "Normal"
    page = u.launch()
    page.locator(".sq-start .sq-main", has_text="Start").wait_for()
    u.leave()
    assert u.store.verbs(defined=False) == ["initialized", "terminated"]


def test_a_store_that_takes_nothing_twice_gets_all_that_is_new(units: Callable[..., Unit]) -> None:
    """A store may refuse a list for one statement it has: those beside it are sent alone."""
    u = units()
    page = u.launch()
    start(page)
    u.store.deaf = True  # it takes what comes, and its answer is lost
    play(page, upto=1)
    page.locator(".su-told.is-bad", has_text="did not answer").wait_for()
    u.store.deaf = False
    u.store.strict = True
    page.locator(".sq-next").click()
    play(page, upto=1)
    page.locator(".su-told", has_text="This answer is kept").wait_for()
    assert u.store.verbs(defined=False) == ["initialized", "answered", "answered"]
    assert "is-bad" not in (page.locator(".su-told").get_attribute("class") or "")


def test_a_long_time_without_the_store_is_not_too_much_to_send(units: Callable[..., Unit]) -> None:
    """A browser sends no more than 64 KB of what outlives its page."""
    u = units()
    u.store.actor["name"] = "Person Two " * 600  # so that two tries are enough
    page = u.launch()
    start(page)
    u.store.down = True
    play(page, wrong="all")
    page.locator(".sq-restart").click()
    start(page, "I have read it")
    play(page, wrong="all", upto=6)
    page.locator(".su-told.is-bad", has_text="did not answer").wait_for()
    u.store.down = False
    page.locator(".sq-next").click()
    play(page)
    page.locator(".su-told", has_text="1 of 7, not passed").wait_for()
    assert u.store.verbs(defined=False).count("answered") == 14
    assert len(json.dumps(u.store.statements)) > 65536


def test_what_did_not_arrive_is_sent_again(units: Callable[..., Unit]) -> None:
    u = units()
    page = u.launch()
    start(page)
    u.store.down = True
    play(page, upto=2)
    page.locator(".su-told.is-bad", has_text="did not answer").wait_for()
    u.store.down = False
    page.locator(".sq-next").click()
    play(page)
    page.locator(".su-told", has_text="7 of 7, passed").wait_for()
    u.leave()
    assert u.store.verbs(defined=False).count("answered") == 7
    assert broken(u.store) == []


def test_a_failed_try_of_a_session_that_broke_off_is_told_by_the_next(units: Callable[..., Unit]) -> None:
    u = units()
    page = u.launch()
    start(page)
    play(page, wrong="all")
    page.locator(".su-told", has_text="not passed").wait_for()
    u.store.down = True  # the end of the session never arrives
    u.store.asked.clear()
    page.goto(f"{u.system}/system.html")
    for _ in range(200):
        if {"POST /xapi/statements", "PUT /xapi/activities/state"} <= set(u.store.asked):
            break
        page.wait_for_timeout(50)
    u.store.down = False
    assert u.store.verbs() == ["initialized"]
    other = units(u.store)
    other.launch()
    other.leave()
    assert u.store.verbs() == ["initialized", "failed", "terminated"]
    assert broken(u.store) == []


def test_the_way_back_is_gone(units: Callable[..., Unit], system: str) -> None:
    u = units(returnURL=f"{system}/system.html")
    page = u.launch()
    page.locator(".su-leave").click()
    page.wait_for_url(f"{system}/system.html")
    assert u.store.verbs() == ["initialized", "terminated"]
    assert broken(u.store) == []


def test_an_address_used_twice_is_no_session(units: Callable[..., Unit]) -> None:
    u = units()
    page = u.launch()
    page.reload()
    page.locator(".su-strip.is-bad", has_text="The learning system did not answer").wait_for()
    page.locator(".sq-start .sq-main").wait_for()  # the page works all the same
    assert u.store.asked[:3] == ["GET /xapi/activities/state", "GET /xapi/agents/profile", "GET /xapi/activities/state"]


GOOD_VERBS = ("initialized", "passed", "completed", "terminated")


def session(*verbs: str) -> Store:
    """A store with a session of faultless statements of these verbs."""
    store = Store()
    store.launched("")
    template = json.loads(store.states["LMS.LaunchData"])["contextTemplate"]
    results: dict[str, dict[str, Any]] = {"passed": {"success": True, "duration": "PT1S"}, "failed": {"success": False, "duration": "PT1S"},
               "completed": {"completion": True, "duration": "PT1S"}, "terminated": {"duration": "PT1S"}}  # fmt: skip
    for i, verb in enumerate(verbs):
        context = copy.deepcopy(template) | {"registration": store.registration}
        context["contextActivities"]["category"] = [{"id": CMI5}, *([{"id": MOVE_ON}] if verb in {"passed", "failed", "completed"} else [])]
        store.statements.append(
            {"id": f"6b1c1f0e-0000-4000-8000-{i:012d}", "actor": store.actor, "verb": {"id": VERBS + verb}, "object": {"id": store.activity},
             "context": context, "timestamp": f"2026-01-01T00:00:{i:02d}Z"} | ({"result": dict(results[verb])} if verb in results else {})
        )  # fmt: skip
    return store


def test_the_rules_let_a_faultless_session_pass() -> None:
    assert broken(session(*GOOD_VERBS)) == []
    assert all(is_defined(s) for s in session(*GOOD_VERBS).statements)


@pytest.mark.parametrize(
    ("verbs", "rule"),
    [
        (("passed", "initialized", "terminated"), "initialized is not first"),
        (("initialized", "terminated", "completed"), "terminated is not last"),
        (("initialized", "failed", "passed"), "passed and failed"),
        (("initialized", "completed", "completed"), "a verb twice"),
    ],
)
def test_the_rules_find_a_wrong_order(verbs: tuple[str, ...], rule: str) -> None:
    assert any(rule in line for line in broken(session(*verbs)))


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (lambda s: s["result"].pop("duration"), "no duration"),
        (lambda s: s["result"].pop("success"), "success"),
        (lambda s: s["result"].update(completion=True), "completion"),
        (lambda s: s["context"].pop("registration"), "registration"),
        (lambda s: s["context"]["contextActivities"].pop("grouping"), "template"),
        (lambda s: s["context"]["contextActivities"]["category"].pop(), "moveon"),
        (lambda s: s["object"].update(id="x"), "another object"),
        (lambda s: s["actor"] is not None and s.update(actor={}), "another actor"),
        (lambda s: s.update(timestamp="2026-01-01T00:00:01+02:00"), "not UTC"),
        (lambda s: s["result"].update(score={"scaled": 0.5, "raw": 9, "min": 0, "max": 7}), "out of its range"),
        (lambda s: s.update(id="x"), "no UUID"),
    ],
)
def test_the_rules_find_a_wrong_statement(change: Callable[[Any], Any], rule: str) -> None:
    store = session(*GOOD_VERBS)
    change(store.statements[1])
    assert any(rule in line for line in broken(store))


def test_the_validator_finds_a_wrong_statement() -> None:
    good = session("initialized").statements[0]
    bad = copy.deepcopy(good) | {"verb": {"id": "no address"}}
    found = validated([good, bad])
    assert found[0] == []
    assert found[1] != []
