"""The README's walk from a build to a result handed in by a phone, carried out on a real nginx with a real browser.

Its commands, the server's config and what it says is printed are taken from the README; the drop folder, the published
folder, the port and the server's user are put in place of its own.
"""

from __future__ import annotations

import datetime
import grp
import os
import pwd
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import textwrap
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from generator.cli.main import main
from generator.publish.hand_in import DROP, NGINX, server_files
from tests.exchange.learning.playing import play, start
from tests.processes import can_be_interrupted
from tests.servers.running import HAND_IN, Server, free_port, nginx_command, server_user
from tests.test_readme import README, compare

PUBLISHED, PORT = "/srv/handbook", "8080"
SECTION = README.partition("\n## On your web server\n")[2].partition("\n## ")[0]
BLOCKS = [(kind, textwrap.dedent(text)) for kind, text in re.findall(r"(?ms)^   ```(\w*)\n(.*?)^   ```$", SECTION)]
# what changes the machine's own groups: whoever runs this may not, and the next machine has them already
NOT_HERE = re.compile(r"groupadd --system handbook|usermod -aG handbook NAME")


def commands(n: int) -> list[str]:
    return [text for kind, text in BLOCKS if kind == "sh"][n].splitlines()


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that the server's user reaches; the walk begins in a folder of its own."""
    made = Path(tempfile.mkdtemp(prefix="seatwork-walk-"))
    made.chmod(0o755)
    monkeypatch.chdir(tmp_path)
    yield made
    shutil.rmtree(made, ignore_errors=True)


def here(text: str, place: Path, port: int) -> str:
    """What the README or a server file says, with the folders, the port and the user of this test."""
    text = (
        text.replace(DROP, str(place / "drop"))
        .replace(PUBLISHED, str(place / "handbook"))
        .replace(f"listen {PORT};", f"listen 127.0.0.1:{port};")
    )
    user = server_user()
    group = grp.getgrgid(pwd.getpwnam(user).pw_gid).gr_name
    return text.replace("-o www-data -g handbook ", f"-o {user} -g {group} " if os.geteuid() == 0 else "")


def as_shown(printed: str, place: Path) -> str:
    return printed.replace(str(place / "drop"), DROP).replace("a look every 0.2 s", "a look every 5 s")


def without_times(text: str) -> str:
    return re.sub(r"\b\d\d:\d\d:\d\d\b", "hh:mm:ss", text)


def wait_for(what: Callable[[], Any], said: Callable[[], str]) -> None:
    end = time.monotonic() + 30
    while not what():
        if time.monotonic() > end:
            pytest.fail(said())
        time.sleep(0.05)


def test_from_a_build_to_the_readiness_page(place: Path, browser: Any, capsys: pytest.CaptureFixture[str]) -> None:
    port = free_port()
    # 1: as typed
    for line in commands(0):
        if line.startswith("seatwork "):
            assert main(shlex.split(line)[1:]) == 0, line
        else:
            subprocess.run(["sh", "-c", line], check=True)
    headers = Path("yard/out/headers")
    # 2: the same lines stand in the server's file
    told = server_files(HAND_IN)[NGINX]
    for line in commands(1):
        assert line.startswith(("mkdir", "cp")) or line in told, line
        if not NOT_HERE.fullmatch(line):
            subprocess.run(shlex.split(here(line, place, port)), check=True)
    for path in (place / "handbook/headers").iterdir():
        path.write_text(here(path.read_text("utf-8"), place, port), "utf-8")
    # 3
    (config,) = (text for kind, text in BLOCKS if kind == "nginx")
    made = nginx_command(place, here(config, place, port))
    subprocess.run([*made, "-t"], check=True, capture_output=True)
    to = Server("nginx", place, port, place / "drop", lambda: subprocess.Popen(made, stderr=subprocess.PIPE, text=True))
    to.start()
    watch = None
    try:
        # 4
        watched, came, tallied = (text for kind, text in BLOCKS if not kind)
        command, shown = watched.removeprefix("$ ").split("\n", 1)
        assert command.startswith("seatwork tally yard ")
        output, page = place / "watch.txt", Path("yard/out/mentor/records/readiness.html")

        def printed() -> str:
            return without_times(as_shown(output.read_text("utf-8"), place))

        with output.open("w", encoding="utf-8") as file:
            watch = subprocess.Popen(
                [sys.executable, "-m", "generator", *shlex.split(here(command, place, port))[1:], "--every", "0.2"],
                stdout=file,
                stderr=file,
                preexec_fn=can_be_interrupted,
            )
        wait_for(lambda: printed().count("\n") >= 3, printed)
        compare(command, without_times(shown), printed())
        before, after = re.findall(r"\*(\d of \d+ passed)\*", SECTION)
        assert before in page.read_text("utf-8") and after not in page.read_text("utf-8")
        # 5
        phone = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
        phone.set_default_timeout(10_000)
        _hands_in(phone, f"http://127.0.0.1:{port}/training/")
        phone.close()
        wait_for(lambda: printed().count("\n") >= 4, printed)
        compare(command, without_times(shown + came), printed())
        watch.send_signal(signal.SIGINT)
        assert watch.wait(20) == 0 and printed().endswith("stopped; 1 taken in since it began\n")
        assert after in page.read_text("utf-8") and before not in page.read_text("utf-8")
        command, shown = tallied.removeprefix("$ ").split("\n", 1)
        capsys.readouterr()
        assert main(shlex.split(here(command, place, port))[1:]) == 0
        compare(command, shown, as_shown(capsys.readouterr().out, place))
        # 6: the next edition, while the server runs
        for line in commands(2):
            subprocess.run(["sh", "-c", here(line, place, port)], check=True)
        assert {p.name for p in (place / "handbook").iterdir()} == {"web", "headers"}
        assert {p.name for p in (place / "handbook/headers").iterdir()} == {p.name for p in headers.iterdir()}
        assert (place / "handbook/web/index.html").read_bytes() == Path("yard/out/web/index.html").read_bytes()
    finally:
        if watch is not None:
            watch.kill()
            watch.wait()
        to.stop()


def _hands_in(phone: Any, address: str) -> None:
    """The lesson's quiz from the first page on, by somebody who takes ten minutes for it, and what the phone says then."""
    lesson, person = re.findall(r"read \*([^*]+)\*, take its quiz as (P-\d+) and press \*Hand in\*", SECTION)[0]
    said = re.findall(r"The phone says \*([^*]+)\*", SECTION)[0]
    now = datetime.datetime.now(datetime.UTC)
    phone.clock.set_fixed_time(now - datetime.timedelta(minutes=10))
    page = phone.new_page()
    page.goto(address)
    lessons = page.locator("details.sw-fold", has_text=lesson)
    lessons.locator("summary").click()
    lessons.get_by_role("link", name=lesson, exact=True).click()
    page.locator("seatwork-quiz .sq-pick").select_option(person)
    start(page)
    phone.clock.set_fixed_time(now)
    play(page)
    page.get_by_role("button", name="Hand in", exact=True).first.click()
    expect(page.locator(".sq-hand .hi-said").first).to_have_text(
        re.compile("^" + re.sub(r"\\d\\d:\\d\\d|\d\d:\d\d", r"\\d\\d:\\d\\d", re.escape(said)) + "$")
    )
