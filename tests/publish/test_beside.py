"""Work beside other work gives and raises the same in a copy of the process, here, and after a copy died."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any

import pytest

from generator.book import parallel
from generator.publish import beside
from generator.publish.beside import Beside, Work, all_beside
from tests.book.places import small

ROOT = Path(__file__).resolve().parents[2]


def adding(start: int) -> Work:
    """Says what it began with, adds up what it is told, and gives the sum and the process it was done in."""

    def work(in_copy: bool) -> Generator[Any, Any, Any]:
        found = yield start
        more = yield found + start
        return found + more + start, in_copy, os.getpid()

    return work


def in_turns(piece: Beside) -> tuple[int, bool, int]:
    """All it says, told 10 and 100."""
    assert piece.hear() == 1
    piece.tell(10)
    assert piece.hear() == 11
    piece.tell(100)
    sum_, in_copy, process = piece.hear()
    return sum_, in_copy, process


def dies(when: int) -> Work:
    """The same work; a copy of this process ends in the middle of it, before it says the ``when``-th thing."""

    def work(in_copy: bool) -> Generator[Any, Any, Any]:
        running, told, said = adding(1)(in_copy), None, 0
        while True:
            said += 1
            if in_copy and said == when:
                os._exit(1)
            try:
                told = yield running.send(told)
            except StopIteration as end:
                return end.value

    return work


def raises(in_copy: bool) -> Generator[Any, Any, Any]:
    yield 1
    raise ValueError("not today")


def in_a_copy() -> None:
    with all_beside({"one": adding(1), "two": adding(1)}) as pieces:
        assert parallel.workers() == 1  # three processes share two cores
        first, second = in_turns(pieces["one"]), in_turns(pieces["two"])
    assert parallel.workers() == 2
    assert first[:2] == second[:2] == (111, True)
    assert len({first[2], second[2], os.getpid()}) == 3


def after_it_died() -> None:
    for when in (1, 2, 3):
        with all_beside({"one": dies(when)}) as pieces:
            assert in_turns(pieces["one"]) == (111, False, os.getpid()), when


def what_it_raises() -> None:
    with all_beside({"one": raises}) as pieces:
        assert pieces["one"].hear() == 1
        pieces["one"].tell(None)
        with pytest.raises(ValueError, match="not today"):
            pieces["one"].hear()


def sleeps(place: str) -> Work:
    def work(in_copy: bool) -> Generator[Any, Any, Any]:
        Path(place).write_text(str(os.getpid()), "utf-8")
        time.sleep(600)
        yield None

    return work


def ended_before_it_was_heard(place: str) -> None:
    with all_beside({"one": sleeps(place)}):
        while not Path(place).is_file() or not Path(place).read_text("utf-8"):
            time.sleep(0.01)
    assert not is_running(int(Path(place).read_text("utf-8")))


def killed_with_the_copy_at_work(place: str) -> None:
    with all_beside({"one": sleeps(place)}):
        while not Path(place).is_file() or not Path(place).read_text("utf-8"):
            time.sleep(0.01)
        os.kill(os.getpid(), 9)


def is_running(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.parametrize("what", [in_a_copy, after_it_died, what_it_raises])
def test_in_copies(what: Callable[[], None]) -> None:
    """In a process of its own: only one without threads is copied, and here a browser's may run."""
    done = run(f"{what.__name__}()")
    assert (done.returncode, done.stderr) == (0, "")


def run(call: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", f"from tests.publish.test_beside import *; {call}"],
        cwd=ROOT, env={**os.environ, parallel.WORKERS: "2"}, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip


def test_no_copy_is_left_at_work(tmp_path: Path) -> None:
    done = run(f"ended_before_it_was_heard({str(tmp_path / 'ended')!r})")
    assert (done.returncode, done.stderr) == (0, "")
    killed = tmp_path / "killed"
    assert run(f"killed_with_the_copy_at_work({str(killed)!r})").returncode == -9
    until = time.monotonic() + 60
    while is_running(int(killed.read_text("utf-8"))) and time.monotonic() < until:
        time.sleep(0.01)
    assert not is_running(int(killed.read_text("utf-8")))


def test_here_where_no_copy_is_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "2")
    with all_beside({"one": adding(1)}, wanted=False) as pieces:
        assert parallel.workers() == 2
        assert in_turns(pieces["one"]) == (111, False, os.getpid())


def test_here_where_none_can_be_had(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: Any) -> Any:
        raise OSError("no more processes")

    monkeypatch.setenv(parallel.WORKERS, "2")
    monkeypatch.setattr(beside, "can_be_copied", lambda: True)
    monkeypatch.setattr("multiprocessing.get_context", lambda _: type("None", (), {"Pipe": none})())
    with all_beside({"one": adding(1)}) as pieces:
        assert in_turns(pieces["one"]) == (111, False, os.getpid())


def test_a_build_in_copies_writes_the_same_bytes(tmp_path: Path) -> None:
    folders = []
    for cores in ("1", "2"):
        folder = small(tmp_path / cores, "stop-work", "reading-grades")
        done = subprocess.run(
            [sys.executable, "-m", "generator", "build", str(folder)],
            cwd=ROOT, env={**os.environ, parallel.WORKERS: cores}, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        assert "Español" in done.stderr + done.stdout
        folders.append(folder / "out")
    ones, twos = ({p.relative_to(out).as_posix(): p.read_bytes() for p in out.rglob("*") if p.is_file()} for out in folders)
    assert ones == twos and "web/es/lessons/stop-work.html" in ones and "ledger-es.json" in ones
