"""Watching the folder where results arrive: each file once and whole, whatever happens to the tables meanwhile."""

from __future__ import annotations

import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.records.flags import Flag
from generator.records.watch import Watch
from generator.register.store import Register
from generator.source.problem import Refusal
from tests.conftest import ROOT
from tests.processes import can_be_interrupted
from tests.records.small import a_result, signed, small_site

LONG_AGO = 1_700_000_000


def aged(path: Path, when: int = LONG_AGO) -> Path:
    os.utime(path, (when, when))
    return path


@pytest.fixture
def drop(tmp_path: Path) -> Path:
    (tmp_path / "drop").mkdir()
    (tmp_path / "site").mkdir()
    (tmp_path / "site/settings.yml").write_text("x", "utf-8")
    return tmp_path / "drop"


def look(watch: Watch) -> set[str] | None:
    """The names of what is ripe, and reads it; None where there is nothing to do."""
    if not watch.look():
        return None
    names = {p.name for p in watch.ripe}
    watch.done([], len(names))
    return names


def test_a_file_is_ripe_when_two_looks_find_it_the_same_and_is_read_once(drop: Path) -> None:
    watch = Watch(drop.parent / "site", [drop], 5)
    (drop / "old.json").write_text("{}", "utf-8")
    aged(drop / "old.json")
    (drop / "new.json").write_text("{", "utf-8")
    (drop / ".hidden.json").write_text("{", "utf-8")
    (drop / ".arriving").mkdir()
    (drop / ".arriving/1.json").write_text("{", "utf-8")
    (drop / "photo.png").write_bytes(b"x")
    assert look(watch) == {"old.json"}  # it has lain there for long
    (drop / "new.json").write_text('{"a', "utf-8")  # still being written
    assert look(watch) is None
    assert look(watch) == {"new.json"}
    assert look(watch) is None
    with (drop / "new.json").open("a", encoding="utf-8") as f:  # its writer had stood still for a while
        f.write('": 1}')
    assert look(watch) is None
    assert look(watch) == {"new.json"}
    (drop / "part").write_text("{}", "utf-8")
    (drop / "part").rename(drop / "whole.json")
    assert look(watch) is None and look(watch) == {"whole.json"}
    (drop / "old.json").unlink()
    assert look(watch) is None


def test_of_thousands_of_old_files_none_is_opened_again(drop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for n in range(2000):
        (drop / f"{n}.json").write_text("{}", "utf-8")
        aged(drop / f"{n}.json")
    watch = Watch(drop.parent / "site", [drop], 5)
    assert len(look(watch) or ()) == 2000

    def opened(*_: Any, **__: Any) -> Any:
        raise AssertionError("a file was opened")

    monkeypatch.setattr(Path, "open", opened)
    monkeypatch.setattr(Path, "read_bytes", opened)
    assert look(watch) is None


def test_an_edited_table_is_looked_at_once_it_is_whole(drop: Path) -> None:
    watch = Watch(drop.parent / "site", [drop], 5)
    assert look(watch) == set()  # who is ready is told at the start, whatever comes
    (drop.parent / "site/crew.csv").write_text("id", "utf-8")
    assert look(watch) is None
    assert look(watch) == set()
    (drop.parent / "site/.~lock.crew.csv#").write_text("", "utf-8")
    assert look(watch) is None and look(watch) is None


def test_what_was_flagged_stays_told_until_the_file_is_read_again_or_gone(drop: Path) -> None:
    watch = Watch(drop.parent / "site", [drop], 5)
    for name in ("a.json", "b.json"):
        (drop / name).write_text("{", "utf-8")
        aged(drop / name)
    assert watch.look()
    flags = [Flag(f"drop/{n}.json:1", "truncated", "what", "fix") for n in "ab"]
    watch.done([*flags, Flag("signoffs.csv:3", "unsigned", "what", "fix")], 0)
    assert not watch.look() and watch.flagged() == flags
    (drop / "a.json").unlink()
    (drop / "b.json").write_text("{}", "utf-8")
    watch.look()
    assert watch.flagged() == flags[1:]
    assert watch.look() and watch.flagged() == []  # it is read again


def test_a_folder_that_goes_is_told_and_may_come_back(drop: Path) -> None:
    watch = Watch(drop.parent / "site", [drop], 5)
    (drop / "a.json").write_text("{}", "utf-8")
    aged(drop / "a.json")
    assert look(watch) == {"a.json"}
    drop.rename(drop.parent / "elsewhere")
    with pytest.raises(Refusal, match="is not there any more"):
        watch.look()
    (drop.parent / "elsewhere").rename(drop)
    assert look(watch) is None


def test_a_folder_that_may_not_be_read_is_not_taken_for_an_empty_one(drop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(path: Path) -> Any:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr("generator.records.watch.os.scandir", refused)
    with pytest.raises(Refusal, match=r"drop: cannot be read \(Permission denied\); check its access rights and your groups"):
        Watch(drop.parent / "site", [drop], 5).look()


# --- the command ----------------------------------------------------------------------------


class Running:
    """``seatwork tally --watch`` in a process of its own, and what it says."""

    def __init__(self, *given: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "generator", "tally", *given, "--watch", "--every", "0.2"],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, preexec_fn=can_be_interrupted,
        )  # fmt: skip
        self.lines: queue.Queue[str | None] = queue.Queue()  # None when it has ended
        self.all: list[str] = []
        self.reader = threading.Thread(target=self._read, daemon=True)
        self.reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.lines.put(line.rstrip("\n"))
        self.lines.put(None)

    def until(self, words: str) -> str:
        """The next line with these words."""
        while True:
            try:
                line = self.lines.get(timeout=120)  # a machine under load takes long to start it
            except queue.Empty:
                line = None
            if line is None:
                pytest.fail(f"never said {words!r}, but: {self.all}")
            self.all.append(line)
            if words in line:
                return line

    def stop(self) -> None:
        """Ends it, whatever it does, and waits until it is gone."""
        self.process.kill()
        self.process.wait()
        self.reader.join()
        assert self.process.stdout is not None
        self.process.stdout.close()


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


@pytest.fixture
def watching(site: Path, tmp_path: Path) -> Iterator[Running]:
    (tmp_path / "drop").mkdir()
    running = Running(str(site), str(tmp_path / "drop"))
    try:
        yield running
    finally:
        running.stop()


def test_what_comes_is_taken_in_while_tables_are_edited(site: Path, tmp_path: Path, watching: Running) -> None:
    drop, page = tmp_path / "drop", site / "out/mentor/records/readiness.html"
    watching.until("watching")
    assert "0 new rows" in watching.until("files read")  # who is ready, before anything came
    before = page.read_bytes()
    (drop / "1.json").write_text(json.dumps(a_result(site)), "utf-8")
    assert "1 file read, 1 new row, 0 flagged" in watching.until("file read")
    assert page.read_bytes() != before
    with Register.open(site) as register:  # no lock is held between
        assert sum(1 for _ in register.entries(kind="result")) == 1
    assert main(["tally", str(site), str(drop)]) == 0
    # an empty file, and the same result twice: told, and no harm
    (drop / "2.json").write_bytes(b"")
    (drop / "3.json").write_text(json.dumps(a_result(site)), "utf-8")
    told = ""
    while "flagged; register" not in told or " 1 flagged" not in told:
        told = watching.until("new rows")
    # a table half edited: told once, and what comes meanwhile is kept
    crew = site / "crew.csv"
    good = crew.read_text("utf-8")
    crew.write_text(good.replace("P-02", "P 02"), "utf-8")
    wrong = watching.until("crew.csv:")
    (drop / "4.json").write_text(json.dumps(a_result(site, days=1)), "utf-8")
    crew.write_text(good, "utf-8")
    said = watching.until("1 new row,")
    assert "1 flagged" not in said  # this time; the page still tells of the empty file
    assert b"2.json" in page.read_bytes()
    assert watching.all.count(wrong) == 1
    # the try of the first under another id: it is held, and somebody has to say which counts
    (drop / "5.json").write_text(json.dumps(signed(a_result(site), crew="P-02")), "utf-8")
    assert "1 held until you say which counts; register" in watching.until(" held")
    watching.process.send_signal(signal.SIGINT)
    assert "stopped; 3 taken in since it began" in watching.until("stopped")
    assert watching.process.wait(20) == 0
    assert not [line for line in watching.all if "Traceback" in line]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["nowhere"], "nowhere: there is no such folder; make it, or name the one where results arrive"),
        (["--as-of", "2026-03-14"], "--watch takes in what comes now; leave --as-of out"),
        (["--every", "0"], "'0' is no number of seconds from 0.1 to 3600"),
        (["--every", "soon"], "'soon' is no number of seconds"),
    ],
)
def test_what_cannot_be_watched_is_one_line(drop: Path, capsys: pytest.CaptureFixture[str], more: list[str], said: str) -> None:
    try:
        status = main(["tally", str(drop.parent / "site"), *more, "--watch"])
    except SystemExit as e:
        status = int(str(e.code))
    err = capsys.readouterr().err
    assert status == 2 and said in err and err.count("\n") == 1
