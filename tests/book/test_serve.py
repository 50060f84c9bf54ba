"""``seatwork serve`` shows what is wrong on the page that is open, and the page again once it is mended; so does mkdocs in a checkout."""

from __future__ import annotations

import http.client
import os
import resource
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

import pytest

from generator.cli.main import main
from tests.book.places import added, small
from tests.conftest import ROOT

PAGE = "lessons/gate.html"


def free_port() -> int:
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return int(s.getsockname()[1])


@pytest.fixture
def served_site(tmp_path: Path) -> Iterator[tuple[Path, str, int]]:
    """A small site, the address it is served at, and the process that serves it."""
    site = added(small(tmp_path / "site", "gate"), "gate")
    port = free_port()
    log = (tmp_path / "log").open("w", encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "-m", "generator", "serve", str(site), "--port", str(port)],
        cwd=ROOT, stdout=log, stderr=log, start_new_session=True, env={**os.environ, "TMPDIR": str(tmp_path)},
    ) as running:  # fmt: skip
        try:
            yield site, f"http://127.0.0.1:{port}/", running.pid
        finally:
            os.killpg(running.pid, signal.SIGKILL)
            log.close()


def wait_for(address: str, words: str, absent: str = "\0") -> str:
    """The page once it holds ``words`` and not ``absent``."""
    text = "never answered"
    end = time.monotonic() + 120  # a machine under load takes long to start it and to build
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(address, timeout=20) as answer:
                text = answer.read().decode("utf-8")
        except urllib.error.HTTPError as e:
            text = e.read().decode("utf-8")
        except (urllib.error.URLError, ConnectionError, TimeoutError) as e:
            text = str(e)
        if words in text and absent not in text:
            return text
        time.sleep(0.1)
    raise AssertionError(f"no {words!r} in {text[:2000]}")


def test_a_mistake_is_shown_on_the_page_and_goes_when_mended(served_site: tuple[Path, str, int]) -> None:
    site, address, _ = served_site
    wait_for(address + PAGE, "Keep the yard gate shut", "Not built")
    machines, lesson = site / "machines.csv", site / "lessons" / "gate.md"
    good, good_lesson = machines.read_text("utf-8"), lesson.read_text("utf-8")
    # one rendering for both: a table and a lesson are told together
    lesson.write_text(good_lesson.replace("{{ why() }}", "{{ wyh() }}"), "utf-8")
    machines.write_text(good.replace("45000", "<b>heavy"), "utf-8")
    broken = wait_for(address + PAGE, "machines.csv:2:")
    assert "Not built" in broken and "&lt;b&gt;heavy" in broken and "Traceback" not in broken
    assert "lessons/gate.md:37: template: no call is named" in broken
    machines.write_text(good, "utf-8")
    lesson.write_text(good_lesson.replace("Look both ways", "Look all ways"), "utf-8")
    wait_for(address + PAGE, "Look all ways", "Not built")


def test_only_this_computer_is_answered(served_site: tuple[Path, str, int]) -> None:
    """By its own names, whatever the port: another site's page may have its own name lead here."""
    _, address, _ = served_site
    wait_for(address + PAGE, "gate")
    port = int(address.rstrip("/").rpartition(":")[2])

    def asked(host: str | None) -> tuple[int, str]:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        line.putrequest("GET", "/" + PAGE, skip_host=True)
        if host is not None:
            line.putheader("Host", host)
        line.endheaders()
        answer = line.getresponse()
        text = answer.read().decode("utf-8")
        line.close()
        return answer.status, text

    for host in (f"localhost:{port}", "LOCALHOST", f"127.0.0.1:{port}", f"[::1]:{port}", "127.0.0.1"):
        assert asked(host)[0] == 200, host
    for other in ("rebound.example", f"rebound.example:{port}", "localhost.rebound.example", "127.0.0.1.rebound.example", "192.168.1.7",
                  "localhost@rebound.example", "", "[::1", "xlocalhost", None):  # fmt: skip
        status, text = asked(other)
        assert status == 421, other
        assert text == f"This preview answers to localhost alone; open http://127.0.0.1:{port}/ on this computer.\n"


@pytest.mark.skipif(not hasattr(resource, "prlimit"), reason="the limit of another process can be set on Linux only")
@pytest.mark.parametrize(
    ("largest", "title"),
    [
        (2_000, "Shut the yard gate"),  # all is built anew, and hardly a page can be written
        (70_000, "Keep the yard gate shut"),  # one page is built anew, and its Markdown can be written, the page not
    ],
)
def test_pages_that_cannot_be_written_are_one_line_and_serving_goes_on(
    served_site: tuple[Path, str, int], tmp_path: Path, largest: int, title: str
) -> None:
    """As on a full disk: the system refuses to write what is larger."""
    site, address, pid = served_site
    wait_for(address + PAGE, "Keep the yard gate shut", "Not built")
    before = resource.prlimit(pid, resource.RLIMIT_FSIZE, (largest, resource.RLIM_INFINITY))
    lesson = site / "lessons" / "gate.md"
    good = lesson.read_text("utf-8")
    lesson.write_text(good.replace("title: Keep the yard gate shut", f"title: {title}").replace("Look both ways", "Look all ways"), "utf-8")
    for page in (PAGE, "index.html"):
        shown = wait_for(address + page, "cannot be written")
        assert "Not built" in shown and "free space there, then save once more" in shown and 'http-equiv="refresh"' in shown
    # a mistake is told all the same
    lesson.write_text(good.replace("{{ why() }}", "{{ wyh() }}"), "utf-8")
    wait_for(address + PAGE, "no call is named", "cannot be written")
    resource.prlimit(pid, resource.RLIMIT_FSIZE, before)
    lesson.write_text(good.replace("Look both ways", "Look all ways"), "utf-8")
    mended = wait_for(address + PAGE, "Look all ways", "Not built")
    assert "http-equiv" not in mended.partition("</head>")[0]
    log = (tmp_path / "log").read_text("utf-8")
    told = [line for line in log.splitlines() if line.startswith("ERROR")]
    assert len(told) == 2 and ": the pages cannot be written (" in told[0] and "lessons/gate.md:" in told[1]
    assert "Traceback" not in log


def test_no_place_for_the_preview_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "settings.yml").touch()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "settings.yml"))  # no folder
    assert main(["serve", str(tmp_path), "--port", str(free_port())]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{tmp_path}: there is no place for the preview's pages (") and err.count("\n") == 1
    assert "free space" in err and "TMPDIR" in err


def test_a_port_in_use_is_one_clear_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "settings.yml").touch()
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert main(["serve", str(tmp_path), "--port", str(port)]) == 2
    err = capsys.readouterr().err
    assert err.startswith(f"{tmp_path}: port {port} cannot be opened (") and err.count("\n") == 1
    assert "name another with --port" in err


@pytest.mark.parametrize("port", ["0", "65536", "eighty", "²"])
def test_a_port_is_a_number(port: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", str(tmp_path), "--port", port])
    assert ended.value.code == 2
    assert f"'{port}' is no port" in capsys.readouterr().err


def test_the_checkout_is_rendered_by_the_site_builder_too(tmp_path: Path) -> None:
    """The hook behind ``mkdocs serve``: the site, a mistake in it, and nothing left behind."""
    site, place = added(small(tmp_path / "site", "gate"), "gate"), tmp_path / "own"
    place.mkdir()

    def built() -> str:
        done = subprocess.run(
            [sys.executable, "-m", "mkdocs", "build", "--quiet", "--site-dir", str(tmp_path / "web")],
            cwd=ROOT, capture_output=True, text=True, check=False,
            env={**os.environ, "SEATWORK_SITE": str(site), "TMPDIR": str(place)},
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        assert list(place.iterdir()) == []
        return (tmp_path / "web" / "index.html").read_text("utf-8")

    assert "lessons/gate.html" in built()
    lesson = site / "lessons" / "gate.md"
    lesson.write_text(lesson.read_text("utf-8").replace("{{ why() }}", "{{ wyh() }}"), "utf-8")
    broken = built()
    assert "Not built" in broken and "lessons/gate.md:" in broken
