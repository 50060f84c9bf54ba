"""Reading without a signal: the whole handbook is kept on the device, never half of it, never an old number."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from generator.publish.edition_folder import folder_of
from generator.publish.offline import write_offline, write_page_script
from tests.publish.webserver import UNDER, flaky, nginx

KEPT = ".sw-kept"
CACHES = """async () => { const out = {}; for (const n of await caches.keys())
  out[n] = (await (await caches.open(n)).keys()).map(r => r.url.replace(location.origin, '')).sort(); return out; }"""
UPDATE = """async () => { const found = await navigator.serviceWorker.getRegistration(); await found.update();
  const coming = found.installing || found.waiting;
  if (coming) await new Promise(done => { const see = () => { if (['activated', 'redundant'].includes(coming.state)) done(); };
    coming.addEventListener('statechange', see); see(); });
  return coming ? coming.state : 'no change'; }"""


def test_after_one_visit_all_of_the_handbook_opens_without_a_signal(demo: Path, tmp_path: Path, browser: Any) -> None:
    """Behind the strict policy, below a path, and then with the server gone."""
    web = demo / "out/web"
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    said: list[str] = []
    context.on("console", lambda m: said.append(m.text) if m.type in {"error", "warning"} else None)
    context.on("weberror", lambda e: said.append(str(e.error)))
    page.clock.install()
    with nginx(web, demo / "out/headers", tmp_path) as server:
        address = server.address + UNDER
        page.goto(f"{address}index.html")
        _wait_until_kept(page)
        held = page.evaluate(CACHES)
    context.set_offline(True)
    page.on("requestfailed", lambda r: said.append(r.url))
    page.goto(f"{address}lessons/truck-match.html")
    assert page.locator("seatwork-quiz .sq-enter").is_visible()
    policy = page.evaluate("fetch(location.href).then(async r => { await r.text(); return r.headers.get('Content-Security-Policy'); })")
    assert policy == (demo / "out/headers/policy.txt").read_text("utf-8").strip()
    page.goto(f"{address}sheets/truck-match.html?units=metric")
    assert page.locator("h1").first.is_visible()
    page.goto(address)
    page.locator("input.md-search__input").click()
    page.keyboard.type("bench")
    page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15_000)
    assert said == []
    assert len(held) == 1
    pages = {n for p in web.rglob("*.html") if not (n := p.relative_to(web).as_posix()).startswith("es/")} - {"404.html"}
    assert pages <= {u.removeprefix(UNDER) for u in next(iter(held.values()))}
    context.close()


def _wait_until_kept(page: Any) -> None:
    """The page waits a little before it asks for the rest of the handbook; a test need not."""
    page.clock.fast_forward(3000)
    page.wait_for_selector(KEPT, timeout=60_000)


def _small(web: Path, words: str) -> None:
    """A handbook of three pages."""
    (web / "lessons").mkdir(parents=True, exist_ok=True)
    for name, text in (("index", "first page"), ("lessons/a", words), ("lessons/b", "never changes")):
        script = ("../" if "/" in name else "") + "assets/offline.js"
        (web / f"{name}.html").write_text(
            f'<!doctype html><html lang="en"><meta charset="utf-8"><link rel="icon" href="data:,"><title>t</title>'
            f'<p id="said">{text}</p><div class="md-copyright"></div><script src="{script}"></script></html>', "utf-8",
        )  # fmt: skip
    write_page_script(web)
    write_offline(web)


def test_a_new_edition_comes_whole_or_not_at_all(tmp_path: Path, browser: Any) -> None:
    web = tmp_path / "web"
    _small(web, "edition one")
    context = browser.new_context()
    page = context.new_page()
    page.clock.install()
    with flaky(web) as site:

        def reads(name: str) -> str:
            page.goto(site.address + name)
            return str(page.locator("#said").inner_text())

        page.goto(site.address)
        _wait_until_kept(page)
        one = page.evaluate(CACHES)
        assert len(one) == 1 and len(next(iter(one.values()))) == 4
        # with a signal the server's page shows at once, not the kept one
        _small(web, "edition two")
        assert reads("lessons/a.html") == "edition two"
        site.asked.clear()
        assert page.evaluate(UPDATE) == "activated"
        assert "lessons/a.html" in site.asked and "lessons/b.html" not in site.asked  # only what changed is fetched
        two = page.evaluate(CACHES)
        assert len(two) == 1 and two.keys() != one.keys()
        # a file that fails: nothing of the new edition is kept, the old one stays whole
        _small(web, "edition three")
        site.broken = {"lessons/a.html"}
        assert page.evaluate(UPDATE) == "redundant"
        assert page.evaluate(CACHES) == two
        # a file of another edition than the list: the same
        site.broken = set()
        (web / "lessons/a.html").write_text("half copied", "utf-8")
        assert page.evaluate(UPDATE) == "redundant"
        assert page.evaluate(CACHES) == two
        site.down = True
        assert reads("lessons/a.html") == "edition two"
        site.down, site.silent = False, True  # takes the question and does not answer
        assert reads("lessons/b.html?units=us") == "never changes"
        site.silent = False
        site.broken = {"lessons/b.html"}  # the server is there and sick
        assert reads("lessons/b.html") == "never changes"
        assert page.goto(f"{site.address}lessons/gone.html").status == 404
    context.close()


def test_two_handbooks_on_one_server_keep_apart(tmp_path: Path, browser: Any) -> None:
    for name in ("north", "south"):
        _small(tmp_path / name, name)
    context = browser.new_context()
    page = context.new_page()
    page.clock.install()
    with flaky(tmp_path, "/") as site:
        for name in ("north", "south"):
            page.goto(f"{site.address}{name}/index.html")
            _wait_until_kept(page)
        assert len(page.evaluate(CACHES)) == 2
        _small(tmp_path / "south", "south again")
        assert page.evaluate(UPDATE) == "activated"
        held = page.evaluate(CACHES)
        assert len(held) == 2
        site.down = True
        page.goto(f"{site.address}north/lessons/a.html")
        assert page.locator("#said").inner_text() == "north"
    context.close()


@pytest.mark.parametrize("over", ["disk", "plain http"])
def test_where_it_is_not_allowed_nothing_is_said(tmp_path: Path, browser: Any, over: str) -> None:
    _small(tmp_path, "a page")
    context = browser.new_context()
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda m: said.append(m.text))
    page.on("pageerror", lambda e: said.append(str(e)))
    host = "http://handbook.invalid/"

    def give(route: Any) -> None:
        route.fulfill(path=str(tmp_path / route.request.url.removeprefix(host)))

    context.route(f"{host}**", give)
    page.clock.install()
    page.goto(f"{host}index.html" if over == "plain http" else (tmp_path / "index.html").as_uri())
    page.clock.run_for(5000)
    page.wait_for_timeout(100)
    assert page.locator("#said").inner_text() == "first page"
    assert said == [] and page.locator(KEPT).count() == 0
    context.close()


def test_the_worker_lists_all_that_a_page_asks_for(demo: Path, tmp_path: Path) -> None:
    shutil.copytree(demo / "out/web", tmp_path / "web")
    before = (tmp_path / "web/offline-worker.js").read_bytes()
    write_offline(tmp_path / "web", apart=("es",))
    assert (tmp_path / "web/offline-worker.js").read_bytes() == before
    text = before.decode("utf-8")
    assert (
        f'"{folder_of(tmp_path / "web").name}/search/search_index.json"' in text
        and '"lessons/bench-height.html"' in text
        and '"sheets/bench-height.html"' in text
    )
    assert '"offline-worker.js"' not in text and '"404.html"' not in text
