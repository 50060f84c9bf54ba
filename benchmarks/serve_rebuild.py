"""How long ``seatwork serve`` takes from a save to the page served anew, on the demo.

Run: python -m benchmarks.serve_rebuild [--saves N]

The demo is copied, with a lesson of its own: the shipped one, in which a line is changed.
"""

from __future__ import annotations

import argparse
import contextlib
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

from benchmarks.large_site import DEMO

ROOT = Path(__file__).resolve().parent.parent
LESSON = "bench-height"
HEADING = "## Do it\n"


@contextlib.contextmanager
def served(site: Path) -> Iterator[str]:
    """The address of a job site while it is served."""
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        port = int(s.getsockname()[1])
    running = subprocess.Popen(
        [sys.executable, "-m", "generator", "serve", str(site), "--port", str(port)],
        cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        yield f"http://127.0.0.1:{port}/"
    finally:
        running.send_signal(signal.SIGINT)
        running.wait(30)


def until(address: str, words: str, longest: float = 300) -> float:
    """Seconds until the page holds ``words``."""
    start = time.perf_counter()
    while time.perf_counter() - start < longest:
        with contextlib.suppress(urllib.error.URLError, ConnectionError, TimeoutError):
            if words in urllib.request.urlopen(address, timeout=60).read().decode("utf-8"):
                return time.perf_counter() - start
        time.sleep(0.02)
    raise SystemExit(f"{address} never held {words!r}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--saves", type=int, default=5, help="how often the lesson is saved")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        site = Path(name) / "demo"
        shutil.copytree(DEMO, site, ignore=shutil.ignore_patterns("out", "editions", "results", "register", ".*"))
        (site / "lessons").mkdir()
        text = (ROOT / "content" / "lessons" / f"{LESSON}.md").read_text("utf-8")
        lesson = site / "lessons" / f"{LESSON}.md"
        lesson.write_text(text, "utf-8")
        with served(site) as address:
            page = f"{address}lessons/{LESSON}.html"
            print(f"started                   {until(page, 'Bench'):6.2f} s")
            times = []
            for i in range(asked.saves):
                words = f"Saved again, {'n' * (i + 1)}o more."
                time.sleep(1)
                lesson.write_text(text.replace(HEADING, f"{HEADING}\n{words}\n"), "utf-8")
                times.append(until(page, words))
            print(f"one changed lesson        {min(times):6.2f} s to {max(times):.2f} s   (goal: under 2)")
            machines = site / "machines.csv"
            time.sleep(1)
            machines.write_text(machines.read_text("utf-8").replace("E-2 Large excavator", "E-2 Renamed excavator"), "utf-8")
            print(f"a changed table           {until(page, 'Renamed'):6.2f} s   (every page)")


if __name__ == "__main__":
    main()
