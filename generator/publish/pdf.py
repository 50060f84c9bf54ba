"""Sheets as PDF, through whatever Chromium-family browser is installed."""

from __future__ import annotations

import datetime
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

from generator.source.problem import Refusal

BROWSERS = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge",
    "microsoft-edge", "brave-browser",
)  # fmt: skip
PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
    r"C:\Program Files\Microsoft\Edge\Application\msedge.exe",
)


class NoBrowser(Refusal):
    """No browser that can print to PDF was found."""

    code = "no-browser"


class PrintFailed(Refusal):
    """The browser did not print a page."""

    code = "print-failed"


_BY_HAND = "open the page and print it by hand"


def find_browser() -> str:
    """The browser named in SEATWORK_BROWSER, else the first installed. Raises NoBrowser."""
    named = os.environ.get("SEATWORK_BROWSER")
    for name in (named, *BROWSERS) if named else BROWSERS:
        found = shutil.which(name)
        if found:
            return found
    for place in PLACES:
        if Path(place).is_file():
            return place
    raise NoBrowser("no Chromium-family browser found", "install Chromium, or name your browser in SEATWORK_BROWSER, or leave --pdf out")


def print_all(pages: list[tuple[Path, Path]], progress: Callable[[str], None], when: int) -> None:
    """Print each (page, PDF) pair, dated ``when`` (seconds since 1970). Raises NoBrowser or PrintFailed."""
    browser = find_browser()
    with tempfile.TemporaryDirectory(prefix="seatwork-pdf-") as profile:
        for i, (page, target) in enumerate(pages, 1):
            done = round(20 * i / len(pages))
            progress(f"PDF [{'#' * done}{'.' * (20 - done)}] {i} of {len(pages)} {target.name}")
            target.parent.mkdir(parents=True, exist_ok=True)
            _print(browser, page, target, profile)
            target.write_bytes(dated(target.read_bytes(), when))


def dated(pdf: bytes, when: int) -> bytes:
    """A PDF with the two dates that its maker wrote set to ``when``: the same sheet is the same file.

    A date is changed only for one of its own length, so that all else stays where the file's table
    says it is; a date written in another form stays.
    """
    day = datetime.datetime.fromtimestamp(when, datetime.UTC).strftime("%Y%m%d%H%M%S").encode()
    return re.sub(rb"(/(?:CreationDate|ModDate) ?\(D:)\d{14}(Z|\+00'00'?)(?=\))", lambda m: m[1] + day + m[2], pdf)


def _print(browser: str, page: Path, target: Path, profile: str) -> None:
    # as root (in a container) a browser refuses to start with its sandbox
    root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    command = [
        browser, "--headless=new", *root, "--disable-gpu", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync", f"--user-data-dir={profile}", "--no-pdf-header-footer",
        f"--print-to-pdf={target.resolve()}", page.resolve().as_uri(),
    ]  # fmt: skip
    try:
        done = subprocess.run(command, capture_output=True, timeout=60, check=False)
    except subprocess.TimeoutExpired:
        raise PrintFailed(f"{page.name}: the browser did not answer within a minute", _BY_HAND) from None
    if done.returncode != 0 or not target.is_file():
        raise PrintFailed(f"{page.name}: the browser could not print it (status {done.returncode})", _BY_HAND)
