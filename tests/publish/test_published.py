"""The handbook as the coordinator's web server gives it out: behind a strict policy, and light."""

from __future__ import annotations

import base64
import gzip
import hashlib
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.publish.build import KEPT, Problems, build
from generator.publish.headers import inline_scripts, policy
from generator.publish.manifest import write_manifest
from tests.publish.reading import answer_one
from tests.publish.webserver import UNDER, Nginx, nginx

PAGE_LIMIT = 100_000  # bytes of one page as compressed for the wire, without the shared files
FIRST_VIEW_LIMIT = 260_000  # all that a first visit to a lesson asks for, compressed; the search comes when it is opened
LESSON = "lessons/bench-height.html"


@pytest.fixture(scope="module")
def server(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Nginx]:
    with nginx(demo / "out/web", demo / "out/headers", tmp_path_factory.mktemp("nginx")) as running:
        yield running


def _use_it(page: Any, base: str) -> None:
    """What a reader does: opens pages, takes a question, moves a slider, opens a number, searches."""
    page.goto(f"{base}index.html")
    assert page.locator(".sw-card").first.is_visible()
    page.goto(base + LESSON)
    page.locator("label[for=__palette_1]").click()
    assert page.locator("body").get_attribute("data-md-color-scheme") == "slate"
    page.get_by_role("button", name="metres, kilograms").first.click()
    number = page.locator("button.sw-num:visible").first
    number.click()
    assert page.locator(f"#{number.get_attribute('popovertarget')}").is_visible()
    page.keyboard.press("Escape")
    slider = page.locator("seatwork-panel input[type=range]:visible").first
    before = page.locator("seatwork-panel .sw-panel-result").inner_text()
    slider.focus()
    page.keyboard.press("End")
    assert page.locator("seatwork-panel .sw-panel-result").inner_text() != before
    page.locator(".sq-pick").select_option(index=1)
    page.locator(".sq-enter .sq-main").click()
    assert answer_one(page)
    page.goto(f"{base}sheets/bench-height.html")
    page.get_by_role("button", name="metres, kilograms").click()
    assert page.locator(".si").first.is_visible()
    page.goto(f"{base}reference/loading.html")
    assert page.locator("math").first.is_visible()
    page.locator("input.md-search__input").click()
    page.keyboard.type("bench")
    page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15_000)


@pytest.mark.parametrize("under", ["/", UNDER])
def test_nothing_breaks_the_strict_policy_behind_nginx(server: Nginx, browser: Any, under: str) -> None:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    context.set_default_timeout(15_000)
    said: list[str] = []
    asked: list[str] = []
    context.on("console", lambda m: said.append(f"{m.type}: {m.text}") if m.type in {"error", "warning"} else None)
    context.on("weberror", lambda e: said.append(str(e.error)))
    context.on("request", lambda r: asked.append(r.url))
    page = context.new_page()
    _use_it(page, server.address + under)
    assert said == []
    assert [u for u in asked if not u.startswith((server.address + under, "data:", "blob:"))] == []
    # and the policy holds: what is not the handbook's own does not run
    page.evaluate(
        """() => { const s = document.createElement('script'); s.textContent = 'document.title = "ran"';
           document.body.append(s); const i = document.createElement('img');
           i.setAttribute('onerror', 'document.title = "ran"'); i.src = 'data:,'; document.body.append(i); }"""
    )
    page.wait_for_timeout(200)
    assert page.title() != "ran"
    assert any("Content Security Policy" in line for line in said)
    context.close()


def test_the_policy_lets_in_no_inline_script_but_by_hash(demo: Path, server: Nginx) -> None:
    line = (demo / "out/headers/policy.txt").read_text("utf-8").strip()
    parts = {p.split()[0]: p.split()[1:] for p in line.split("; ")}
    assert parts["default-src"] == parts["base-uri"] == parts["form-action"] == ["'none'"]
    assert parts["style-src"] == parts["connect-src"] == parts["worker-src"] == ["'self'"]
    assert parts["script-src"][0] == "'self'"
    assert all(re.fullmatch(r"'sha256-[A-Za-z0-9+/]{43}='", p) for p in parts["script-src"][1:])
    assert 1 <= len(parts["script-src"][1:]) <= 8  # the theme's few, and none of ours
    assert "unsafe" not in line and "*" not in line and "http" not in line
    assert f'"{line}"' in (demo / "out/headers/nginx.conf").read_text("utf-8")
    sent = subprocess.run(
        ["curl", "-sI", f"{server.address}{UNDER}{LESSON}"], capture_output=True, text=True, check=False
    ).stdout if shutil.which("curl") else ""  # fmt: skip
    assert not sent or f"Content-Security-Policy: {line}" in sent


def test_what_is_not_there_is_answered_with_the_handbooks_own_page(server: Nginx, browser: Any) -> None:
    """The line that the header file tells to add, at two depths and below another path, under the policy."""
    page = browser.new_page()
    for under in ("/", UNDER):
        for gone in ("gone.html", "lessons/gone.html"):
            answer = page.goto(f"{server.address}{under}{gone}")
            assert answer.status == 404 and page.locator("h1").inner_text() == "Not in this handbook"
            assert page.get_by_role("link").evaluate("a => new URL(a.href).pathname") == f"{under}index.html"
    page.close()


def test_no_page_carries_a_handler_or_a_style_of_its_own(demo: Path) -> None:
    mark = re.compile(rb"""<[a-zA-Z][^<>]*\s(on[a-z]+|style)\s*=\s*\\?["']""")
    found = [f"{p.name}: {m[0][:90]!r}" for p in (demo / "out/web").rglob("*.html") for m in [mark.search(p.read_bytes())] if m]
    assert found == []


def test_inline_scripts_are_found_as_a_browser_runs_them(tmp_path: Path) -> None:
    page = (
        b'<script>one()</script><SCRIPT type="module">two()</SCRIPT ><script src="a.js"></script>'
        b'<script type="application/json">{"not": "run"}</script><script\ntype=text/javascript>\nthree()\n</script>'
    )
    assert inline_scripts(page) == [b"one()", b"two()", b"\nthree()\n"]
    (tmp_path / "a.html").write_bytes(page)
    wanted = {base64.b64encode(hashlib.sha256(s).digest()).decode() for s in (b"one()", b"two()", b"\nthree()\n")}
    assert set(re.findall(r"'sha256-([^']+)'", policy(tmp_path))) == wanted


def test_every_page_and_a_first_view_are_light(demo: Path, browser: Any, tmp_path: Path) -> None:
    web = demo / "out/web"
    sizes = {p.relative_to(web).as_posix(): len(gzip.compress(p.read_bytes(), 6)) for p in web.rglob("*.html")}
    assert {n: s for n, s in sizes.items() if s > PAGE_LIMIT} == {}
    heaviest = max((n for n in sizes if n.startswith("lessons/")), key=lambda n: sizes[n])
    context = browser.new_context(service_workers="block")  # it comes after the first view
    # a server of its own: the workers of pages opened before go on keeping the handbook for a while
    with nginx(web, demo / "out/headers", tmp_path / "nginx") as server:
        page = context.new_page()
        page.goto(f"{server.address}/{heaviest}", wait_until="networkidle")
        page_sent = server.answered()
        assert f"/{heaviest}" in {path for path, _, _ in page_sent}
        assert not {path for path, _, _ in page_sent if "/search/" in path}
        assert sum(size for _, _, size in page_sent) < FIRST_VIEW_LIMIT, page_sent
        with page.expect_response("**/search/search_index.json"):  # the heaviest file comes when the search is opened
            page.locator("input.md-search__input").focus()
        page.keyboard.type("bench")
        page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15_000)
        page.goto(f"{server.address}/index.html?q=bench")  # or when the address asks
        page.wait_for_selector(".md-search-result__item a[href*='bench-height']", timeout=15_000)
        context.close()


def test_what_no_page_asks_for_is_not_published(demo: Path) -> None:
    web = demo / "out/web"
    assert [p for p in web.rglob("*") if p.suffix == ".map" or "lunr" in p.parts or p.name.startswith("sitemap")] == []


# --- the list of files ----------------------------------------------------------------------


def test_the_file_list_holds_what_was_built(demo: Path) -> None:
    out = demo / "out"
    rows = [line.split("  ", 1) for line in (out / "files.sha256").read_text("utf-8").splitlines()]
    # the pages of records and paper quizzes are written anew by other commands
    later = tuple(f"mentor/{k}/" for k in KEPT)
    there = {p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file() and p.name != "files.sha256"}
    assert {name for _, name in rows} == {name for name in there if not name.startswith(later)}
    assert [name for _, name in rows] == sorted(name for _, name in rows)
    assert [name for value, name in rows if hashlib.sha256((out / name).read_bytes()).hexdigest() != value] == []
    program = shutil.which("sha256sum")
    if program is not None:  # the format's own reader, where there is one
        done = subprocess.run([program, "-c", "--strict", "--quiet", "files.sha256"], cwd=out, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr


def test_what_is_written_after_a_build_is_not_in_the_list(tmp_path: Path) -> None:
    for name in ("web/index.html", "mentor/index.html", "mentor/records/readiness.html", "mentor/paper/answers.csv", "ledger.json"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(name, "utf-8")
    write_manifest(tmp_path, [f"mentor/{k}" for k in KEPT])
    first = (tmp_path / "files.sha256").read_text("utf-8")
    assert [row.split("  ")[1] for row in first.splitlines()] == ["ledger.json", "mentor/index.html", "web/index.html"]
    (tmp_path / "mentor/records/readiness.html").write_text("tallied again", "utf-8")
    write_manifest(tmp_path, [f"mentor/{k}" for k in KEPT])
    assert (tmp_path / "files.sha256").read_text("utf-8") == first


# --- the Markdown tree ----------------------------------------------------------------------


def test_the_tree_goes_only_where_nothing_is_lost(demo: Path, tmp_path: Path, capsys: Any) -> None:
    (tmp_path / "mine.txt").write_text("mine", "utf-8")
    assert main(["build", str(demo), "--quiet", "--tree", str(tmp_path)]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{tmp_path}: is there already and not empty; name a new folder") and "still in place" in err
    with pytest.raises(Problems, match="name a folder outside"):
        build(demo, lambda _: None, keep_tree=demo / "out" / "web" / "tree")
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]
    assert (demo / "tree/mkdocs.yml").is_file() and (demo / "tree/docs" / LESSON).with_suffix(".md").is_file()
