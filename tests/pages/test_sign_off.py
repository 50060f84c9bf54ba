"""The page on which mentors sign off, in a real browser: ticked, signed, handed in, and read again by the program."""

from __future__ import annotations

import functools
import http.server
import json
import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from html import unescape
from pathlib import Path
from typing import Any

import pytest
import yaml

import generator.publish.build as building
from generator.book.content import content_folder, read_content
from generator.book.signing import ASSETS
from generator.book.tree import render_tree
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.flags import Refused
from generator.records.letters import LETTERS
from generator.records.mentor_codes import adds_up, hand_out, new_code, read_codes
from generator.records.results import objects
from generator.records.signed_file import SignedFile, read_signed
from tests.conftest import copy_demo, once
from tests.pages.test_access import AXE, COLOURS, STRUCTURE
from tests.records.signing import MADE, vectors, with_mentors

ROLES = """roles:
  digger: {title: Digger and dozer, machines: [excavator, dozer], lessons: [stop-work, bench-height, truck-match, slot-front-to-back]}
  spotter: {title: Spotter, machines: [on foot], lessons: [stop-work, bench-height]}
"""
CREW = "id,name,role,machines,start\nP-01,Ines Holloway,digger,E-1 D-1,2026-01-05\nP-02,Tom Abernethy,spotter,,2026-01-05\n"
LESSONS = ("stop-work", "bench-height", "truck-match", "slot-front-to-back")
TODAY = date(2026, 5, 20)
NOW = datetime(2026, 5, 20, 15, 20, tzinfo=UTC)  # by the clock of the phone


def _site(folder: Path) -> Path:
    copy_demo(folder)
    settings = folder / "settings.yml"
    head, _, rest = settings.read_text("utf-8").partition("roles:\n")
    settings.write_text(head + ROLES + rest[rest.index("\n# This site's own limits") :], "utf-8")
    (folder / "crew.csv").write_text(CREW, "utf-8")
    return folder


def _read(*args: Any) -> JobSite:
    return with_mentors(read(*args))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of two roles and two mentors with codes, built."""

    def make(folder: Path) -> None:
        hand_out(_site(folder), _read(folder), MADE)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(building, "read", _read)
            building.build(folder, lambda _: None)

    return once(tmp_path_factory, "sign-off", make)


@pytest.fixture(scope="module")
def addresses(site: Path) -> Iterator[dict[str, str]]:
    """The page from disk, and over plain http with the policy that the build writes for a server."""
    policy = (site / "out/headers/policy.txt").read_text("utf-8").strip()

    class Handler(http.server.SimpleHTTPRequestHandler):
        def end_headers(self) -> None:
            self.send_header("Content-Security-Policy", policy)
            super().end_headers()

        def log_message(self, *args: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Handler, directory=str(site / "out/web")))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield {"file": (site / "out/web/sign-off.html").as_uri(), "http": f"http://127.0.0.1:{server.server_address[1]}/sign-off.html"}
    server.shutdown()
    server.server_close()


@pytest.fixture
def phone(browser: Any) -> Iterator[Any]:
    """A phone of 360 px that fails the test on a fault, and on a request to another host."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True, accept_downloads=True)
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.clock.set_fixed_time(NOW)
    faults: list[str] = []
    page.on("pageerror", lambda e: faults.append(str(e)))
    page.on("console", lambda m: faults.append(m.text) if m.type in {"error", "warning"} else None)
    page.on("request", lambda r: None if re.match(r"file:|data:|blob:|http://127\.0\.0\.1:", r.url) else faults.append(r.url))
    yield page
    assert faults == []
    context.close()


def pick(page: Any, crew: str, machine: str | None) -> None:
    page.locator(".so-crew").select_option(crew)
    if machine is not None:
        page.locator(".so-machine").select_option(machine)


def tick(page: Any, lesson: str, *marks: str) -> None:
    """Ticks the lines of a lesson in turn: s for seen, n for not yet, - for neither."""
    box = page.locator(f'.so-lesson[data-lesson="{lesson}"]:not([data-off])')
    if not box.evaluate("e => e.open"):
        box.locator("summary").tap()
    assert box.locator(".so-line").count() == len(marks), lesson
    for at, mark in enumerate(marks):
        if mark != "-":
            box.locator(".so-ticks").nth(at).locator("label").nth("sn".index(mark)).tap()


def count(page: Any, lesson: str) -> int:
    return int(page.locator(f'.so-lesson[data-lesson="{lesson}"]:not([data-off]) .so-line').count())


def fill(page: Any, code: str, mentor: str = "M-1") -> None:
    page.locator(".so-hours").fill("1,5")
    if not page.locator(".so-chips input").first.is_checked():
        page.locator(".so-chips label").first.tap()
    page.locator(".so-mentor").select_option(mentor)
    page.locator(".so-code").fill(code)


# below the bar that stays at the top of the page
ON_SHOW = "e => { const r = e.getBoundingClientRect(); return r.height > 0 && r.top >= 48 && r.bottom <= innerHeight; }"


def press(page: Any) -> str:
    """Presses the button. What is wrong stands beside its place, and both are on show."""
    page.locator(".so-main").tap()
    told, wrong = page.locator(".so-told"), page.locator("[aria-invalid]")
    if wrong.count():
        assert wrong.get_attribute("aria-describedby") == told.get_attribute("id")
        for part in (told, wrong):
            assert part.evaluate(ON_SHOW), f"{part} is out of sight"
    return str(told.inner_text())


def saved(page: Any) -> str:
    with page.expect_download() as found:
        page.locator(".so-done .so-save").tap()
    assert re.fullmatch(r"seatwork_sign-off_[\w-]+_M-\d_\d{8}T\d{6}Z\.json", found.value.suggested_filename)
    return Path(found.value.path()).read_text("utf-8")


def take(text: str, site: Path) -> SignedFile:
    [(_, value)] = objects(text)
    return read_signed(value, "x.json:1", read_codes(site), _read(site), LESSONS, NOW)


@pytest.mark.parametrize("over", ["file", "http"])
def test_what_is_ticked_and_signed_is_read_with_the_mentors_code_and_no_other(
    site: Path, addresses: dict[str, str], phone: Any, over: str
) -> None:
    phone.goto(addresses[over])
    pick(phone, "P-01", "E-1")
    assert phone.locator(".so-role").inner_text() == "Digger and dozer"
    n = {lesson: count(phone, lesson) for lesson in LESSONS}
    assert n["slot-front-to-back"] == 0 and min(n["stop-work"], n["bench-height"], n["truck-match"]) >= 3  # a dozer's is seen on a dozer
    tick(phone, "stop-work", *"s" * n["stop-work"])
    tick(phone, "bench-height", "n", *"s" * (n["bench-height"] - 1))
    phone.locator(".so-other").fill("=gusts,\ttoward évening 🙂")
    code = read_codes(site)["M-1"][0]
    fill(phone, code.grouped.lower().replace("0", "o").replace("1", "l"))
    assert (
        "1 lesson seen in full (" in phone.locator(".so-sum").inner_text() and "1 lesson not yet" in phone.locator(".so-sum").inner_text()
    )
    assert press(phone) == ""
    assert "1 lesson seen in full for P-01, 1 lesson not yet, signed by M-1" in phone.locator(".so-done").inner_text()
    text = saved(phone)
    file = take(text, site)
    assert (file.mentor, file.edition, file.refused, file.old_code) == ("M-1", "2026-1", (), False)
    stop, bench = file.entries
    assert stop.whole and stop.seen == tuple(range(1, n["stop-work"] + 1))
    assert not bench.whole and bench.not_yet == (1,) and bench.seen == tuple(range(2, n["bench-height"] + 1))
    s = stop.signoff
    assert (s.crew, s.lesson, s.machine, s.kind, s.mentor, s.hours) == ("P-01", "stop-work", "E-1", "excavator", "M-1", 1.5)
    assert (s.day, file.signed) == (TODAY, NOW) and s.conditions == "dry; gusts, toward évening 🙂"
    phone.locator(".so-done .so-copy summary").tap()
    assert take(phone.locator(".so-done pre").inner_text(), site).mac == file.mac  # the text to copy is the same file
    # the right file under another mentor's code, and with one byte changed
    codes = read_codes(site)
    with pytest.raises(Refused, match="not that of M-1"):
        read_signed(json.loads(text), "x", {"M-1": codes["M-2"]}, _read(site), LESSONS, NOW)
    for old, new in (
        ('"E-1"', '"E-2"'),
        ("dry", "wet"),
        ("1.5", "7.5"),
        ('"P-01"', '"P-02"'),
        ("2026-1", "2026-2"),
        ("évening", "evening"),
    ):
        assert old in text
        with pytest.raises(Refused) as caught:
            take(text.replace(old, new), site)
        assert caught.value.name == "unsigned"


def test_ticks_outlast_a_reload_and_the_code_is_kept_nowhere(site: Path, addresses: dict[str, str], phone: Any) -> None:
    phone.goto(addresses["file"])
    pick(phone, "P-01", "E-1")
    tick(phone, "bench-height", *"s" * count(phone, "bench-height"))
    code = read_codes(site)["M-1"][0]
    fill(phone, code.grouped)
    phone.reload()
    assert (phone.locator(".so-crew").input_value(), phone.locator(".so-machine").input_value()) == ("P-01", "E-1")
    assert phone.locator(".so-hours").input_value() == "1,5" and phone.locator(".so-chips input").first.is_checked()
    assert phone.locator(".so-mentor").input_value() == "M-1" and phone.locator(".so-code").input_value() == ""
    far = phone.locator('.so-lesson[data-lesson="bench-height"]:not([data-off]) .so-far')
    assert re.fullmatch(r"✓ all \d seen", far.inner_text())
    # ticks belong to the person and the machine; those of another are told, so that they are not forgotten
    pick(phone, "P-01", "E-2")
    assert far.inner_text() == "" and phone.locator(".so-others").inner_text() == "Ticked and not signed yet: P-01 on E-1."
    pick(phone, "P-01", "E-1")
    assert far.inner_text() != ""
    phone.locator(".so-code").fill(code.grouped)
    assert press(phone) == "" and phone.locator(".so-code").input_value() == ""
    store = phone.evaluate("JSON.stringify(localStorage) + JSON.stringify(sessionStorage)")
    assert "P-01" in store and code.code not in store and code.grouped not in store
    assert far.inner_text() == ""  # signed, so it begins anew
    phone.reload()
    phone.locator(".so-earlier > summary").tap()
    phone.locator(".so-earlier .so-copy summary").tap()
    assert take(phone.locator(".so-earlier pre").inner_text(), site).entries[0].whole


def test_a_lesson_can_be_cleared(addresses: dict[str, str], phone: Any) -> None:
    phone.goto(addresses["file"])
    pick(phone, "P-01", "E-1")
    tick(phone, "stop-work", "s", *"-" * (count(phone, "stop-work") - 1))
    phone.locator(".so-clear:visible").tap()
    assert phone.locator(".so-lesson input:checked").count() == 0 and phone.locator(".so-sum").inner_text() == "Nothing is ticked yet."


def test_what_is_missing_or_odd_is_said_before_anything_is_signed(site: Path, addresses: dict[str, str], phone: Any) -> None:
    code = read_codes(site)["M-2"][0]
    phone.goto(addresses["file"])
    pick(phone, "P-01", "E-1")
    assert "how many hours" in press(phone)
    phone.locator(".so-hours").fill("25")
    assert "how many hours" in press(phone)
    phone.locator(".so-hours").fill("2")
    assert "conditions" in press(phone)
    phone.locator(".so-chips label").nth(1).tap()
    assert "tick what you have seen" in press(phone)
    tick(phone, "bench-height", "s", "n", *"-" * (count(phone, "bench-height") - 2))
    assert "Pick your mentor id" in press(phone)
    phone.locator(".so-mentor").select_option("M-2")
    assert "Type your own code" in press(phone)
    phone.locator(".so-code").fill(code.grouped[:-1] + ("0" if code.code[-1] != "0" else "1"))
    assert "slip in that code" in press(phone)
    phone.locator(".so-code").fill(code.grouped)
    phone.locator(".so-date").fill("2026-05-21")
    assert "still to come" in press(phone)
    phone.locator(".so-date").fill(TODAY.isoformat())
    said = press(phone)  # M-2 signs for trucks
    assert "M-2 may not sign for this kind of machine" in said and "ticked neither way" in said and "press the button again" in said
    assert phone.locator(".so-done").is_hidden()
    assert press(phone) == ""
    file = take(saved(phone), site)
    assert file.entries[0].seen == (1,) and file.entries[0].not_yet[0] == 2 and not file.entries[0].whole


def test_those_on_foot_are_seen_on_foot(site: Path, addresses: dict[str, str], phone: Any) -> None:
    phone.goto(addresses["file"])
    pick(phone, "P-02", None)
    assert phone.locator(".so-machine").input_value() == "on foot"
    n = count(phone, "stop-work")
    tick(phone, "stop-work", *"s" * n)
    fill(phone, read_codes(site)["M-1"][0].grouped)
    assert press(phone) == ""
    assert take(saved(phone), site).entries[0].signoff.machine == "on foot"


def test_the_lines_are_those_of_the_roles_sheet(site: Path, addresses: dict[str, str], phone: Any) -> None:
    """What the mentor's paper sheet of each role lists, word for word, and as many as the lesson has for that role."""
    lessons = read_content(content_folder()).lessons
    phone.goto(addresses["file"])
    for crew, machine, role, wanted in (
        ("P-01", "E-1", "digger", LESSONS[:3]), ("P-01", "D-1", "digger", (LESSONS[0], LESSONS[3])), ("P-02", None, "spotter", LESSONS[:2]),
    ):  # fmt: skip
        sheet = " ".join(unescape(re.sub(r"<[^>]+>", "", (site / f"out/mentor/signoff/{role}.html").read_text("utf-8"))).split())
        pick(phone, crew, machine)
        boxes = phone.locator(".so-lesson:not([data-off])")
        assert boxes.evaluate_all("a => a.map(e => e.dataset.lesson)") == list(wanted)  # in the role's order
        for lesson in wanted:
            own = (
                boxes.locator(f'xpath=self::*[@data-lesson="{lesson}"]').locator(".so-line").evaluate_all("a => a.map(e => e.textContent)")
            )
            x = lessons[lesson]
            beside = role == "spotter" and x.show_beside
            assert len(own) == (len(x.show_beside) if beside else len(x.show) + (x.exercise is not None)), lesson
            assert all(" ".join(line.split()) in sheet for line in own), (role, lesson)
    # where a lesson has other lines for those beside the machine, each role has its own
    assert phone.locator('.so-lesson[data-lesson="stop-work"]').count() == 2


def test_without_scripts_it_is_a_list_that_says_what_it_needs(addresses: dict[str, str], browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(addresses["file"])
    said = page.locator("seatwork-sign-off noscript p")
    assert said.is_visible() and "needs scripts to hand in" in said.inner_text()
    lines = page.locator(".so-lesson li")
    assert lines.count() > 10 and all(lines.nth(i).is_visible() for i in range(lines.count()))
    assert page.locator("seatwork-sign-off :is(input, select, button)").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    context.close()


def test_no_name_and_no_code_is_published(site: Path) -> None:
    page = (site / "out/web/sign-off.html").read_text("utf-8")
    assert "P-01" in page and "M-2" in page
    secret = [c.code for own in read_codes(site).values() for c in own] + [c.grouped for own in read_codes(site).values() for c in own]
    for name in ("Holloway", "Abernethy", "Rosa Lind", "Sam Oke", *secret):
        for path in (site / "out").rglob("*"):
            if path.is_file() and (name in secret or path.name == "sign-off.html"):
                assert name.encode() not in path.read_bytes(), (name, path)


def test_a_thumb_hits_everything_and_axe_finds_nothing(addresses: dict[str, str], browser: Any) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
    page = context.new_page()
    page.add_init_script(AXE)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(addresses["file"])
        pick(page, "P-01", "E-1")
        n = count(page, "bench-height")
        tick(page, "bench-height", "n", *"s" * (n - 2), "-")
        page.locator(".so-main").tap()  # with something told
        small = page.evaluate(
            """[...document.querySelectorAll('seatwork-sign-off :is(button, select, summary, label, input[type=text], input[type=date])')]
               .filter(e => e.checkVisibility()).map(e => [e.className || e.tagName, e.getBoundingClientRect()])
               .filter(([, r]) => r.height < 48 || r.width < 48).map(([n, r]) => n + ' ' + r.width + 'x' + r.height)"""
        )
        assert small == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        for options in (COLOURS, STRUCTURE):
            found = page.evaluate("options => axe.run(document, options)", options)["violations"]
            assert [(v["id"], v["nodes"][0]["target"]) for v in found] == [], scheme
    context.close()


def test_the_browsers_mark_is_the_published_hmac_sha_256(addresses: dict[str, str], phone: Any) -> None:
    """RFC 4231, section 4."""
    phone.goto(addresses["file"])
    for case, key, data, mac in vectors():
        got = phone.evaluate("([key, data]) => window.sha256.hmac(key, data)", [list(key), list(data)])
        assert got[: len(mac)] == mac, case


def test_the_page_finds_the_slips_of_the_pen_that_the_program_does(addresses: dict[str, str], phone: Any) -> None:
    phone.goto(addresses["file"])
    codes = [new_code() for _ in range(20)]
    codes += [c[:5] + LETTERS[(LETTERS.index(c[5]) + 7) % 32] + c[6:] for c in codes] + ["", "0" * 11, "0" * 12, "U" * 12]
    found = phone.evaluate("codes => codes.map(c => customElements.get('seatwork-sign-off').addsUp(c))", codes)
    assert found == [adds_up(c) for c in codes] and sum(found) == 21


def test_the_figures_of_the_lines_are_in_the_ledger(site: Path) -> None:
    rows = [r for r in json.loads((site / "out/ledger.json").read_text("utf-8"))["numbers"] if r["page"] == "sign-off.html"]
    page = (site / "out/web/sign-off.html").read_text("utf-8")
    lists = page[page.index("<seatwork-sign-off") : page.index("</seatwork-sign-off>")]
    shown = set(re.findall(r"<b class=\"[^\"]*us[^\"]*\">([^<]+)</b>", lists))
    assert rows and shown <= {unescape(r["us"]) for r in rows}


def test_a_site_without_mentors_has_no_such_page(tmp_path: Path) -> None:
    folder = _site(tmp_path / "site")
    content, site = read_content(content_folder(), folder), read(folder)
    for mentors in (None, ()):  # no table, and one without rows
        tree = render_tree(content, replace(site, mentors=mentors))
        assert not tree.problems and "sign-off.md" not in tree.docs and not set(ASSETS) & set(tree.docs)
        assert "sign-off" not in yaml.safe_dump(tree.nav) and "sign-off.html" not in str(tree.docs["mentor.md"])
    tree = render_tree(content, with_mentors(site))
    assert set(ASSETS) <= set(tree.docs) and {"Sign off on the machine": "sign-off.md"} in tree.nav
    assert "sign-off.html" in str(tree.docs["mentor.md"])
