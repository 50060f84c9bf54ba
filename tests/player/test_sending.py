"""Results handed in to the site's own server from the phone: said truly whether they arrived, kept and sent until they do.

The handbook is a small one that the program builds; the browser is real, and so is the policy of its pages.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

import generator.publish.build as building
from generator.book.content import content_folder, read_content
from generator.book.tree import render_tree
from generator.cli.main import main
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.publish.offline import write_offline
from generator.publish.site import write_tree
from generator.records.mentor_codes import hand_out, read_codes
from generator.records.results import objects, read_file
from generator.records.signed_file import read_signed
from tests.conftest import copy_demo, once
from tests.pages.test_access import AXE, COLOURS, STRUCTURE
from tests.player.taking_in import PATH, Server, taking_in
from tests.records.signing import MADE, with_mentors
from tests.sites import own_lesson

CREW = ("P-01", "P-02")
LESSON = "lessons/look-first.html"


def _read(*args: Any) -> JobSite:
    return with_mentors(read(*args))


@pytest.fixture(scope="session")
def handbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of two lessons and two people whose server takes results in, built."""

    def make(folder: Path) -> None:
        own_lesson(copy_demo(folder, languages=False))
        settings = folder / "settings.yml"
        text = re.sub(r"(?m)^hand_in:.*\n", "", settings.read_text("utf-8"))
        settings.write_text(text.replace("\nroles:\n", f"\nhand_in: {PATH}\n\nroles:\n", 1), "utf-8")
        rows = "".join(f"{id_},Person {id_},digger,E-1,2026-01-05\n" for id_ in CREW)
        (folder / "crew.csv").write_text(f"id,name,role,machines,start\n{rows}", "utf-8")
        hand_out(folder, _read(folder), MADE)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(building, "read", _read)
            building.build(folder, lambda _: None, keep_tree=folder / "tree")

    return once(tmp_path_factory, "hands-in", make)


@pytest.fixture
def server(handbook: Path) -> Iterator[Server]:
    policy = (handbook / "out/headers/policy.txt").read_text("utf-8").strip()
    with taking_in(handbook / "out/web", policy) as running:
        yield running


Phone = Callable[..., BrowserContext]


@pytest.fixture
def phone(browser: Browser) -> Iterator[Phone]:
    """A phone of 360 px, with nothing kept on it. A page's own fault fails the test."""
    made: list[BrowserContext] = []
    faults: list[str] = []

    def new(init: str = "", **more: Any) -> BrowserContext:
        context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True, **more)
        context.set_default_timeout(10_000)
        context.on("weberror", lambda e: faults.append(str(e.error)))
        if init:
            context.add_init_script(init)
        made.append(context)
        return context

    yield new
    for context in made:
        context.close()
    assert faults == []


def opened(context: BrowserContext, server: Server, name: str = LESSON) -> Page:
    page = context.new_page()
    page.goto(server.address + name)
    return page


BEGIN = """crew => {
  const quiz = document.querySelector('seatwork-quiz');
  if (quiz.dataset.view === 'start') {
    const pick = quiz.querySelector('.sq-pick');
    pick.value = crew;
    pick.dispatchEvent(new Event('change', { bubbles: true }));
    quiz.querySelector('.sq-enter .sq-main').click();
  }
  if (quiz.dataset.view === 'result') quiz.querySelector('.sq-restart').click();
  if (quiz.dataset.view === 'again') quiz.querySelector('.sq-begin').click();
}"""
ANSWER = """right => {
  const quiz = document.querySelector('seatwork-quiz'), on = [...quiz.querySelectorAll('fieldset.sq li')].filter((li) => li.checkVisibility());
  on.find((li) => (li.innerText.trim() === 'You.') === right).querySelector('input').click();
  quiz.querySelector('.sq-check').click();
  quiz.querySelector('.sq-next').click();
}"""


def finish(page: Page, crew: str = "P-01", right: bool = True) -> None:
    """Plays the quiz of one question to its result."""
    page.evaluate(BEGIN, crew)
    page.evaluate(ANSWER, right)
    assert page.locator("seatwork-quiz").get_attribute("data-view") == "result"


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).first.click()


def said(page: Page) -> Any:
    return page.locator(".sq-hand .hi-said").first


def waits(page: Page) -> Any:
    return page.locator(".sw-waits")


def saved(page: Page, name: str = "Save my result") -> bytes:
    with page.expect_download() as caught:
        press(page, name)
    return Path(caught.value.path()).read_bytes()


def kept_result(page: Page, crew: str = "P-01") -> dict[str, Any]:
    key = f"seatwork-quiz|juniper-bench|2026-1|look-first|{crew}"
    text: str = page.evaluate("k => localStorage.getItem(k)", key)
    return dict(json.loads(text)["finished"][-1])


# ---- it arrives ----


@pytest.mark.parametrize("answer", [201, 204])
def test_it_arrives_as_it_would_be_saved_and_says_so(phone: Phone, server: Server, answer: int) -> None:
    server.answer = answer
    page = opened(phone(), server)
    finish(page)
    expect(waits(page)).to_be_hidden()
    press(page, "Hand in")
    expect(said(page)).to_have_text(re.compile(r"^Handed in at \d\d:\d\d\. The server has it for your coordinator\.$"))
    body = saved(page)
    [(path, came, kind)] = server.put
    assert came == body and path.startswith(PATH) and kind == "application/json"
    [(line, value)] = objects(body.decode("utf-8"))
    result = read_file(value, f"x:{line}")
    assert (result.crew, result.lesson) == ("P-01", "look-first")
    # nothing goes out a second time, however often it is pressed, and a new visit knows
    button = page.locator(".sq-hand .hi-button").first
    assert button.get_attribute("aria-disabled") == "true"
    button.click(force=True)
    page.reload()
    expect(said(page)).to_contain_text("Handed in at")
    expect(waits(page)).to_be_hidden()
    assert len(server.put) == 1


def test_tally_marks_what_came(phone: Phone, server: Server, handbook: Path, tmp_path: Path, capsys: Any) -> None:
    site = tmp_path / "site"
    shutil.copytree(handbook, site)
    page = opened(phone(), server)
    # what is answered in no time is held, not counted
    page.evaluate(
        "window.Clock = Date; Date = new Proxy(Clock, { construct: (made, at) => new made(...(at.length ? at : [made.now() - 60000])) })"
    )
    page.evaluate(BEGIN, "P-01")
    page.evaluate("Date = Clock")
    page.evaluate(ANSWER, True)
    press(page, "Hand in")
    server.wait_for(1)
    drop = tmp_path / "drop"
    drop.mkdir()
    for n, body in enumerate([server.kept[0], server.kept[0]]):  # sent twice, it is one result
        (drop / f"{n}.json").write_bytes(body)
    assert main(["tally", str(site), str(drop)]) == 0
    told = capsys.readouterr().out
    assert "1 results count, 0 sign-offs, 1 flagged" in told and "1.json:1: duplicate: it was handed in as drop/0.json:1 too" in told
    assert "P-01  Digger  1 of 2" in told


def test_focus_stays_and_a_reader_is_told(phone: Phone, server: Server) -> None:
    server.slow.clear()
    page = opened(phone(), server)
    finish(page)
    page.locator(".sq-hand .hi-button").first.focus()
    page.keyboard.press("Enter")
    expect(said(page)).to_have_text("Handing it in. Wait.")
    assert said(page).get_attribute("role") == "status"
    page.keyboard.press("Enter")  # in a hurry
    server.slow.set()
    expect(said(page)).to_contain_text("Handed in at")
    assert page.evaluate("document.activeElement.innerText") == "Handed in"
    assert len(server.put) == 1


# ---- it does not arrive ----


SIGN_IN = "Not handed in yet: something else answered, such as the sign-in page of a wifi. Sign in there, then press Try now."
ANOTHER_WAY = "Save the result and send it, or show the slip. Tell your coordinator."
LATER = "It is kept on this phone and is tried again later."
WHY: dict[int | str, str] = {
    "drop": "Not handed in yet: the server does not answer. It is kept on this phone and goes out when the server answers again"
    " and this handbook is open.",
    "sign-in": f"{SIGN_IN} {LATER}",
    "redirect": f"{SIGN_IN} {LATER}",
    413: f"Not handed in: the server says the file is too large. {ANOTHER_WAY}",
    429: f"Not handed in yet: the server is busy. {LATER}",
    503: f"Not handed in yet: the server is busy. {LATER}",
    **dict.fromkeys((401, 403, 404, 405, 501), f"Not handed in: the server is not set up to take it. {ANOTHER_WAY} {LATER}"),
    **{n: f"Not handed in yet: the server could not take it ({n}). It may be full. Tell your coordinator. {LATER}" for n in (500, 507)},
    411: f"Not handed in yet: the server could not take it (411). Tell your coordinator. {LATER}",
    202: f"{SIGN_IN} {LATER}",
}


def test_what_did_not_arrive_says_why_is_kept_and_goes_out_when_asked(phone: Phone, server: Server) -> None:
    page = opened(phone(), server)
    finish(page)
    button = page.locator(".sq-hand .hi-button").first
    for answer, words in WHY.items():
        server.answer = answer
        before = len(server.put)
        button.click()
        server.wait_for(before + 1, server.put)
        expect(button).to_have_text("Try now")
        expect(said(page)).to_have_text(words)
    assert server.kept == []
    page.goto(f"{server.address}operator.html")
    expect(waits(page)).to_contain_text("1 result of P-01 waits to be handed in.")
    server.answer = 201
    waits(page).get_by_role("button", name="Try now").click()
    expect(waits(page)).to_contain_text("1 result of P-01. The server has it for your coordinator.")
    assert len(server.kept) == 1 and json.loads(server.kept[0])["crew"] == "P-01"
    assert len(set(server.put)) == 1  # the same each time


def test_a_busy_server_is_left_alone_at_the_next_visit(phone: Phone, server: Server) -> None:
    server.answer = 429
    page = opened(phone(), server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("busy")
    page.goto(f"{server.address}index.html")
    expect(waits(page)).to_contain_text("the server is busy")
    page.wait_for_timeout(200)
    assert len(server.put) == 1


HASTY = "const later = setTimeout; window.setTimeout = (what, ms, ...more) => later(what, ms >= 60000 ? 200 : ms, ...more);"


def test_an_open_page_tries_again_by_itself(phone: Phone, server: Server) -> None:
    """A phone often thinks that it has a signal; a minute is shorter here."""
    server.answer = "drop"
    page = opened(phone(HASTY), server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("the server does not answer")
    server.answer = 201
    server.wait_for(1)
    expect(said(page)).to_contain_text("Handed in at")


def test_no_signal_and_back(phone: Phone, server: Server) -> None:
    context = phone()
    page = opened(context, server)
    finish(page)
    context.set_offline(True)
    press(page, "Hand in")
    expect(said(page)).to_have_text(
        "Not handed in yet: no signal. It is kept on this phone and goes out when the signal is back and this handbook is open."
    )
    assert page.locator(".sq-hand .hi-button").first.inner_text() == "Try now"
    expect(waits(page)).to_be_hidden()  # the result on show says it already
    page.locator(".sq-look").click()
    expect(waits(page)).to_contain_text("1 result of P-01 waits to be handed in.")
    context.set_offline(False)
    server.wait_for(1)
    expect(waits(page)).to_contain_text("1 result of P-01. The server has it for your coordinator.")


def test_closed_and_opened_again(phone: Phone, server: Server) -> None:
    context = phone()
    server.answer = "drop"
    page = opened(context, server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("Not handed in yet")
    page.close()
    server.answer = 201
    again = opened(context, server, "index.html")
    server.wait_for(1)
    expect(waits(again)).to_contain_text("The server has it for your coordinator.")


def test_closed_in_the_middle_of_it(phone: Phone, server: Server) -> None:
    context = phone()
    server.slow.clear()
    page = opened(context, server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("Wait.")
    page.close()
    other = opened(context, server, "glossary.html")  # of any page
    server.slow.set()
    server.wait_for(1)
    other.wait_for_function("() => self.seatworkOutbox('juniper-bench', '/').waiting().then((rows) => rows.length === 0)")
    assert set(server.kept) == {server.kept[0]}


NO_LOCKS = "Object.defineProperty(Navigator.prototype, 'locks', { get: () => undefined, configurable: true });"


@pytest.mark.parametrize("init", ["", NO_LOCKS], ids=["locks", "plain http"])
def test_two_tabs_do_not_send_the_same_at_once(phone: Phone, server: Server, init: str) -> None:
    context = phone(init)
    page = opened(context, server)
    finish(page)
    context.set_offline(True)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("no signal")
    server.answer = "drop"
    context.set_offline(False)
    other = opened(context, server)
    expect(waits(other)).to_contain_text("the server does not answer")
    page.wait_for_function("navigator.locks ? navigator.locks.query().then((l) => l.held.length === 0) : true")
    server.answer, server.most_at_once = 201, 0
    server.slow.clear()
    for tab in (page, other):
        tab.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_timeout(300)
    server.slow.set()
    server.wait_for(1)
    expect(said(page)).to_contain_text("Handed in at")
    expect(waits(other)).to_contain_text("The server has it for your coordinator.")  # told to the other tab
    assert server.most_at_once == 1 and len(server.kept) == 1


def test_another_person_on_the_phone(phone: Phone, server: Server) -> None:
    context = phone()
    page = opened(context, server)
    finish(page, "P-01")
    context.set_offline(True)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("no signal")
    press(page, "Change person")
    expect(waits(page)).to_contain_text("1 result of P-01 waits to be handed in.")
    finish(page, "P-02", right=False)
    expect(said(page)).to_have_text("")  # what became of another's is not told as theirs
    press(page, "Hand in")
    expect(waits(page)).to_contain_text("1 result of P-01 and 1 result of P-02 wait to be handed in.")
    context.set_offline(False)
    server.wait_for(2)
    assert sorted(json.loads(b)["crew"] for b in server.kept) == ["P-01", "P-02"]
    expect(waits(page)).to_contain_text(re.compile(r"Handed in at \d\d:\d\d: 1 result of P-01\. The server has it"))


def test_a_result_of_the_last_edition_alone_can_still_be_handed_in(phone: Phone, server: Server) -> None:
    context = phone()
    page = opened(context, server)
    finish(page)
    page.evaluate("""() => {
      const key = Object.keys(localStorage).find((k) => k.endsWith('|P-01')), parts = key.split('|');
      localStorage.setItem([...parts.slice(0, 2), 'older', ...parts.slice(3)].join('|'), localStorage.getItem(key));
      localStorage.removeItem(key);
    }""")
    page.close()
    page = opened(context, server, "operator.html")  # in a new tab nobody has said who they are
    press(page, "Hand in all my results")
    expect(page.locator(".sw-kept .hi-said")).to_have_text("All handed in: 1 result of P-01. The server has it for your coordinator.")
    assert len(server.kept) == 1


def test_results_of_before_and_all_of_them(phone: Phone, server: Server) -> None:
    page = opened(phone(), server)
    finish(page, right=False)
    finish(page)
    assert kept_result(page)["passed"] is True
    page.locator(".sq-older summary").click()
    page.locator(".sq-older .hi-button").click()
    expect(page.locator(".sq-older .hi-said").first).to_contain_text("Handed in at")
    page.goto(f"{server.address}operator.html")
    told = page.locator(".sw-kept .hi-said")
    expect(told).to_have_text("1 of 2 results of P-01 handed in.")
    server.answer = "drop"
    press(page, "Hand in all my results")
    expect(told).to_contain_text("1 of 2 results of P-01 handed in. Not handed in yet: the server does not answer.")
    server.answer = 201
    press(page, "Hand in all my results")
    expect(told).to_have_text("All handed in: 2 results of P-01. The server has them for your coordinator.")
    assert [json.loads(b)["score_shown"] for b in server.kept] == [0, 1]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_state_can_be_read_and_pressed(phone: Phone, server: Server, scheme: str) -> None:
    page = opened(phone(AXE, color_scheme=scheme), server)
    finish(page)
    for answer, state in (("drop", "waits"), (404, "refused"), (201, "arrived")):
        server.answer = answer
        page.locator(".sq-hand .hi-button").first.click()
        expect(page.locator(".sq-hand .hi-box").first).to_have_attribute("data-state", state)
        for options in (COLOURS, STRUCTURE):
            found = page.evaluate("options => axe.run('seatwork-quiz', options)", options)["violations"]
            assert [(v["id"], v["nodes"][0]["target"]) for v in found] == [], state
        size = page.locator(".sq-hand .hi-button").first.bounding_box()
        assert size is not None and size["height"] >= 48 and size["width"] >= 48
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


# ---- other browsers, other places ----


def test_a_browser_that_keeps_nothing_says_so(phone: Phone, server: Server) -> None:
    server.answer = "drop"
    page = opened(phone("indexedDB.open = () => { throw new Error('blocked'); };"), server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text(
        "This browser cannot keep it. Save the result and send it, or show the slip, or press Try now before you close the page."
    )
    server.answer = 201
    page.locator(".sq-hand .hi-button").first.click()
    expect(said(page)).to_contain_text("Handed in at")


def test_from_disk_the_old_ways_stand(phone: Phone, handbook: Path) -> None:
    page = phone().new_page()
    page.goto((handbook / "out/web" / LESSON).as_uri())
    finish(page)
    assert page.get_by_role("button", name="Hand in").count() == 0 and page.locator(".sw-waits").count() == 0
    hand = page.locator(".sq-hand").inner_text()
    assert "Save the file and send it to your training coordinator." in hand and "Show the slip" in hand
    assert json.loads(saved(page))["crew"] == "P-01"


SHARES = """navigator.canShare = (what) => what.files.length === 1;
navigator.share = async (what) => { if (window.sharesNot) throw new DOMException('no', 'NotAllowedError');
  window.shared = [what.files[0].name, what.files[0].type, await what.files[0].text()]; };"""


def test_share_where_the_browser_shares_files(phone: Phone, server: Server) -> None:
    page = opened(phone("navigator.canShare = undefined;"), server)
    finish(page)
    assert page.get_by_role("button", name="Share").count() == 0
    page = opened(phone(SHARES), server)
    finish(page)
    press(page, "Share")
    page.wait_for_function("window.shared")
    name, kind, text = page.evaluate("window.shared")
    assert text.encode("utf-8") == saved(page) and name.endswith(".txt") and kind == "text/plain"
    page.evaluate("window.sharesNot = true")
    press(page, "Share")
    expect(page.locator(".hi-share .hi-said").first).to_have_text("Sharing does not work here. Save the file instead.")
    assert server.put == []


def test_without_the_setting_the_pages_are_as_before(handbook: Path, tmp_path: Path) -> None:
    """Not a script more: a site that takes nothing in has pages that send nothing, and tells its coordinator the old way in."""
    site = tmp_path / "site"
    shutil.copytree(handbook, site, ignore=shutil.ignore_patterns("out", "editions", "tree"))
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace(f"hand_in: {PATH}\n", ""), "utf-8")
    made = render_tree(read_content(content_folder(), site), _read(site))
    told = write_tree(made, tmp_path / "tree", _read(handbook).settings.name, "").read_text("utf-8")
    without, with_it = files_in(tmp_path / "tree/docs"), files_in(handbook / "tree/docs")
    assert with_it.keys() - without.keys() == {"assets/outbox.js", "assets/hand-in.js"}
    assert {n for n in without if without[n] != with_it[n]} == {"assets/roles.js", "coordinator.md"}
    assert b"hand_in" not in without["assets/roles.js"] and b"hand_in" in with_it["assets/roles.js"]
    old, new = (re.split(r"(?=<li>)|\n", page["coordinator.md"].decode("utf-8")) for page in (without, with_it))
    [alone] = (step for step in old if step not in new)
    assert "into the folder <code>results</code>, then run <code>seatwork tally</code>" in alone
    told_new = [step for step in new if step not in old]
    assert len(told_new) == 3 and all(word in step for word, step in zip(("headers", "--watch", "slips"), told_new, strict=True))
    with_lines = (handbook / "tree/mkdocs.yml").read_text("utf-8").splitlines()
    assert [x for x in with_lines if x not in told.splitlines() and "copyright" not in x] == ["- assets/outbox.js", "- assets/hand-in.js"]
    write_offline(tmp_path)
    assert "HAND_IN" not in (tmp_path / "offline-worker.js").read_text("utf-8")


def files_in(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


# ---- mentors ----

SIGN = """([crew, machine, mentor, code]) => {
  const give = (s, value) => { const e = document.querySelector(s); e.value = value;
    for (const type of ['input', 'change']) e.dispatchEvent(new Event(type, { bubbles: true })); };
  give('.so-crew', crew);
  give('.so-machine', machine);
  give('.so-hours', '1.5');
  document.querySelector('.so-chips input').click();
  for (const box of document.querySelectorAll('.so-lesson[data-lesson="look-first"] input[value="seen"]:not(:disabled)')) box.click();
  give('.so-mentor', mentor);
  give('.so-code', code);
  document.querySelector('.so-hand button[type="submit"]').click();
}"""


NOBODY_SENDS = "navigator.locks.query().then((locks) => !locks.held.length && !locks.pending.length)"


def test_sign_offs_go_the_same_way(phone: Phone, server: Server, handbook: Path) -> None:
    codes = read_codes(handbook)
    server.answer = "drop"
    page = opened(phone(), server, "sign-off.html")
    page.evaluate(SIGN, ["P-01", "E-1", "M-1", codes["M-1"][0].grouped])
    press(page, "Hand in")
    expect(page.locator(".so-done .hi-said").first).to_contain_text("Not handed in yet: the server does not answer.")
    tried = len(server.put)
    page.reload()
    expect(waits(page)).to_contain_text("1 sign-off of M-1 waits to be handed in.")
    # The page tries by itself as it opens. Until it lets go of the lock that try is not over, whatever came here: a browser
    # sends once more what it sent on a connection that had stood open and was dropped
    server.wait_for(tried + 1, server.put)
    page.wait_for_function(NOBODY_SENDS)
    expect(waits(page).get_by_role("button")).to_have_text("Try now")
    server.answer = 201
    press(page, "Try now")
    server.wait_for(1)
    page.locator(".so-earlier > summary").click()
    expect(page.locator(".so-earlier .hi-said").first).to_contain_text("Handed in at")
    [body] = server.kept
    assert saved(page, "Save the file") == body
    signed = read_signed(json.loads(body), "x", codes, _read(handbook), ["look-first"], datetime.now(UTC) + timedelta(minutes=1))
    assert signed.mentor == "M-1"


# ---- the worker ----


def worker(page: Page, server: Server) -> tuple[Any, str]:
    """The handbook's worker, in charge of the page: a line to the browser's tools, and the worker's number there."""
    server.keeping = True
    tools = page.context.new_cdp_session(page)
    found: list[str] = []
    tools.on("ServiceWorker.workerRegistrationUpdated", lambda e: found.extend(r["registrationId"] for r in e["registrations"]))
    tools.send("ServiceWorker.enable")
    page.evaluate(
        "navigator.serviceWorker.register('/training/offline-worker.js').then(() => navigator.serviceWorker.ready).then(() => true)"
    )
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    assert found
    return tools, found[-1]


def test_the_worker_sends_with_no_page_of_the_handbook_open(phone: Phone, server: Server) -> None:
    server.answer = "drop"
    context = phone()
    page = opened(context, server)
    tools, number = worker(page, server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("goes out when the server answers again.")  # by itself: the browser wakes the worker
    assert page.evaluate("navigator.serviceWorker.ready.then((r) => r.sync.getTags())") == ["seatwork-hand-in"]
    page.goto("about:blank")
    before = len(server.put)
    server.answer = 204
    origin = server.address.removesuffix("/training/")
    tools.send("ServiceWorker.dispatchSyncEvent", {"origin": origin, "registrationId": number, "tag": "another", "lastChance": False})
    tools.send(
        "ServiceWorker.dispatchSyncEvent", {"origin": origin, "registrationId": number, "tag": "seatwork-hand-in", "lastChance": False}
    )
    server.wait_for(1)
    assert len(server.put) == before + 1
    page.goto(f"{server.address}{LESSON}")
    expect(said(page)).to_contain_text("Handed in at")


def test_the_worker_answers_no_put_and_keeps_none(phone: Phone, server: Server) -> None:
    context = phone()
    page = opened(context, server)
    worker(page, server)
    finish(page)
    press(page, "Hand in")
    expect(said(page)).to_contain_text("Handed in at")
    held = page.evaluate("""async () => { const out = []; for (const n of await caches.keys())
      out.push(...(await (await caches.open(n)).keys()).map((r) => r.method + ' ' + new URL(r.url).pathname)); return out; }""")
    assert held and not [h for h in held if h.startswith("PUT") or PATH in h]
    assert server.other == []
