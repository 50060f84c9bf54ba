"""One browser for all the player's tests; pages from disk and from a local server."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.player.pages import write_site
from tests.player.playing import Player

POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"


class _Handler(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:
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


Opener = Callable[..., Player]


@pytest.fixture(scope="session")
def pool(browser: Browser) -> Iterator[dict[bool, Page]]:
    """One page for the desktop and one for the phone: a new one costs a new process."""
    pages: dict[bool, Page] = {}
    yield pages
    for page in pages.values():
        page.context.close()


@pytest.fixture
def opened(browser: Browser, site: Path, http_url: str, pool: dict[bool, Page]) -> Iterator[Opener]:
    """Opens a fixture page and fails the test on any error the page reports.

    ``beside`` opens the page in a second window of the same browser. A page with ``init`` or
    other options gets a browser profile of its own; the others take turns in two, emptied after
    each test.
    """
    borrowed: list[bool] = []
    extra: list[Page | BrowserContext] = []
    errors: list[str] = []

    def on_error(error: Any) -> None:
        errors.append(f"page error: {error}")

    def on_console(message: Any) -> None:
        if message.type in {"error", "warning"}:
            errors.append(f"{message.type}: {message.text}")

    def new_context(phone: bool, **options: Any) -> BrowserContext:
        size = {"width": 360, "height": 740} if phone else {"width": 1100, "height": 900}
        context = browser.new_context(viewport=size, has_touch=phone, is_mobile=phone, **options)  # type: ignore[arg-type]
        context.set_default_timeout(10_000)
        return context

    def open_page(
        name: str = "all", *, http: bool = False, phone: bool = False, init: str = "",
        beside: Player | None = None, **options: Any,
    ) -> Player:  # fmt: skip
        if beside is not None:
            page = beside.page.context.new_page()
            extra.append(page)
        elif init or options:
            context = new_context(phone, **options)
            if init:
                context.add_init_script(init)
            page = context.new_page()
            extra.append(context)
        else:
            if phone not in pool:
                pool[phone] = new_context(phone).new_page()
            page = pool[phone]
            borrowed.append(phone)
        page.on("pageerror", on_error)
        page.on("console", on_console)
        page.goto(f"{http_url}/{name}.html" if http else (site / f"{name}.html").as_uri())
        return Player(page)

    yield open_page
    for thing in extra:
        thing.close()
    for phone in borrowed:
        page = pool[phone]
        page.context.set_offline(False)
        page.evaluate("localStorage.clear(); sessionStorage.clear()")
        page.remove_listener("pageerror", on_error)
        page.remove_listener("console", on_console)
        page.goto("about:blank")
    assert errors == []
