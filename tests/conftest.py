"""What several tests share: the demo built once, a browser, a server."""

from __future__ import annotations

import functools
import http.server
import os
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import hypothesis
import pytest

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "site_demo"
LESSONS = sorted(p.stem for p in (ROOT / "content/lessons").glob("*.md"))  # as they lie on the disk, whatever reads them

# the suite itself runs on all cores: a build in a test keeps to its own one
os.environ.setdefault("SEATWORK_WORKERS", "1")

# a test that plants a fault builds the same site twice: nothing of the first build may stand in the second
os.environ.setdefault("SEATWORK_FRESH", "1")

hypothesis.settings.register_profile(
    "suite", derandomize=True, deadline=None, max_examples=60, database=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow, hypothesis.HealthCheck.function_scoped_fixture],
)  # fmt: skip
hypothesis.settings.load_profile("suite")


# what takes longest, first: the other worker takes quick tests from the end meanwhile, and both end together
HEAVY = ("tests/pages/", "tests/book/test_scene_laws.py", "tests/test_", "tests/publish/", "tests/player/", "tests/cli/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files in ``HEAVY`` before the others, in that order; what stands in a file stays together."""
    items.sort(key=lambda item: next((k for k, name in enumerate(HEAVY) if item.nodeid.startswith(name)), len(HEAVY)))


def copy_demo(target: Path, *, languages: bool = True) -> Path:
    """A copy of the demo job site without anything built; without its ``languages`` in English alone, and its crew with it."""
    shutil.copytree(DEMO, target, ignore=shutil.ignore_patterns("out", "editions", "results", "register", ".*"))
    if not languages:
        path = target / "settings.yml"
        path.write_text("".join(x for x in path.read_text("utf-8").splitlines(True) if not x.startswith("languages:")), "utf-8", newline="")
        crew = target / "crew.csv"
        rows = [line.split(",") for line in crew.read_text("utf-8").splitlines()]
        at = rows[0].index("language")
        crew.write_text("".join(",".join(cells[:at] + cells[at + 1 :]) + "\n" for cells in rows), "utf-8", newline="")
    return target


def once(factory: pytest.TempPathFactory, name: str, make: Any) -> Path:
    """A folder made once for all workers of a parallel run; the others wait for it."""
    base = factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        base = base.parent
    folder, lock, ready = base / name, base / f"{name}.lock", base / f"{name}.ready"
    try:
        lock.mkdir()
    except FileExistsError:
        for _ in range(1800):
            if ready.exists():
                return folder
            threading.Event().wait(0.1)
        raise TimeoutError(f"{name} was not made by the other worker") from None
    make(folder)
    ready.touch()
    return folder


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo job site, built: the folder holding ``out``, and the Markdown ``tree`` beside it."""

    def make(folder: Path) -> None:
        from generator.publish.build import build

        build(copy_demo(folder, languages=True), lambda _: None, keep_tree=folder / "tree")

    return once(tmp_path_factory, "demo", make)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A headless Chromium."""
    from playwright.sync_api import sync_playwright

    names = [os.environ.get("SEATWORK_BROWSER", ""), "chromium", "chromium-browser", "google-chrome"]
    path = next((found for n in names if n and (found := shutil.which(n))), None)
    if path is None:
        pytest.fail("no Chromium found; run sh tests/need_browser.sh")
    with sync_playwright() as p:
        running = p.chromium.launch(
            executable_path=path,
            args=["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                  "--disable-background-networking", "--disable-component-update", "--disable-sync"],
        )  # fmt: skip
        yield running
        running.close()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"  # one connection for many files

    def log_message(self, *args: Any) -> None:
        pass

    def do_GET(self) -> None:
        # keeping the handbook on the device has tests of its own; here it would only cost time
        if self.path.endswith("/assets/offline.js"):
            self.send_response(200)
            self.send_header("Content-Type", "text/javascript")
            self.send_header("Content-Length", "0")
            self.end_headers()
            return
        super().do_GET()


@pytest.fixture(scope="session")
def served(demo: Path) -> Iterator[str]:
    """Address of the demo's web folder over http."""
    handler = functools.partial(_Quiet, directory=str(demo / "out" / "web"))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()
