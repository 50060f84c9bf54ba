"""One browser for all the player's tests; pages from disk and from a local server."""

from __future__ import annotations

import functools
import http.server
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from tests.player.pages import write_site
from tests.player.playing import Player

POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"


class _Handler(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002
        pass


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("player")
    write_site(folder)
    return folder


@pytest.fixture(scope="session")
def http_url(site: Path) -> Iterator[str]:
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Handler, directory=str(site)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as p:
        chromium = p.chromium.launch(
            executable_path=shutil.which("chromium") or "chromium",
            args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
        )
        yield chromium
        chromium.close()


Opener = Callable[..., Player]


@pytest.fixture
def opened(browser: Browser, site: Path, http_url: str) -> Iterator[Opener]:
    """Opens a fixture page and fails the test on any error the page reports.

    ``context`` opens the page beside others of the same person's browser.
    """
    contexts: list[BrowserContext] = []
    errors: list[str] = []

    def open_page(
        name: str = "all", *, http: bool = False, phone: bool = False, init: str = "",
        context: BrowserContext | None = None, url: str | None = None, **options: Any,
    ) -> Player:  # fmt: skip
        if context is None:
            size = {"width": 360, "height": 740} if phone else {"width": 1100, "height": 900}
            context = browser.new_context(viewport=size, has_touch=phone, is_mobile=phone, **options)  # type: ignore[arg-type]
            context.set_default_timeout(5000)
            contexts.append(context)
            if init:
                context.add_init_script(init)
        page: Page = context.new_page()
        page.on("pageerror", lambda e: errors.append(f"page error: {e}"))
        page.on("console", lambda m: errors.append(f"{m.type}: {m.text}") if m.type in {"error", "warning"} else None)
        page.goto(url or (f"{http_url}/{name}.html" if http else (site / f"{name}.html").as_uri()))
        return Player(page)

    yield open_page
    for context in contexts:
        context.close()
    assert errors == []
