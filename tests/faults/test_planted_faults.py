"""A fault planted in each layer is told as one: a line, a file with the trace, and nothing of what was published lost."""

from __future__ import annotations

import hashlib
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator import __version__
from generator.book import parallel
from generator.cli.main import main
from tests.book.places import LESSON, added, small
from tests.conftest import ROOT, once

LINE = "seatwork: this is a fault of the program, not of your tables; send the file "

# layer: the function that fails, what it raises, and the command that comes to it
PLANTED: dict[str, tuple[str, type[Exception], str]] = {
    "calc": ("generator.calc.formula.Formula.__call__", ZeroDivisionError, "build"),
    "jobsite": ("generator.jobsite.cells.quantity", KeyError, "build"),
    "reference": ("generator.reference.checks.value_of", KeyError, "build"),
    "drawing": ("generator.drawing.canvas.Canvas.to_svg", TypeError, "build"),
    "working": ("generator.working.byhand._agrees", KeyError, "build"),
    "quiz-reading": ("generator.quiz.question._Reader.choices", AttributeError, "build"),
    "quiz-drawing": ("generator.quiz.draw.Drawer._attempt", ZeroDivisionError, "build"),
    "book-template": ("generator.book.page.LessonPage.term", TypeError, "build"),
    "book-body": ("generator.book.page.LessonPage.why", KeyError, "build"),
    "book-card": ("generator.book.card._lines", ValueError, "build"),
    "publish": ("generator.publish.carry._found", ValueError, "build"),
    "publish-site": ("generator.publish.site._tidy", RecursionError, "build"),
    "publish-paper": ("generator.publish.paper.part", KeyError, "paper"),
    "records-editions": ("generator.records.editions._lessons", TypeError, "tally"),
    "records-marking": ("generator.records.editions._edition_of", AttributeError, "tally"),
    "source": ("generator.source.yamltext._plain", LookupError, "build"),
}


def prints(folder: Path) -> dict[str, str]:
    """What is published and kept, each file by the hash of its bytes."""
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for place in ("out", "editions") for p in (folder / place).rglob("*") if p.is_file()
    }  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small site, built once."""

    def make(folder: Path) -> None:
        site = added(small(folder / "site", "gate"), "gate", LESSON)
        assert main(["build", str(site), "--quiet"]) == 0

    return once(tmp_path_factory, "faults", make) / "site"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty current folder, and no workers."""
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setenv(parallel.WORKERS, "1")
    yield folder


def plant(monkeypatch: pytest.MonkeyPatch, place: str, error: type[Exception]) -> list[int]:
    """Let a function raise; how often it was come to."""
    met: list[int] = []

    def planted(*_: Any, **__: Any) -> Any:
        met.append(1)
        raise error("planted")

    monkeypatch.setattr(place, planted)
    monkeypatch.setattr("generator.working.explain._CHAINS", {})  # what was worked before is worked anew
    monkeypatch.setattr("generator.book.reference._MADE", [])
    return met


@pytest.mark.parametrize("layer", PLANTED)
def test_a_fault_of_the_program_says_so(
    layer: str, built: Path, here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    place, error, command = PLANTED[layer]
    before = prints(built)
    met = plant(monkeypatch, place, error)
    (built / "results").mkdir(exist_ok=True)
    status = main([command, str(built), *(["--quiet"] if command == "build" else [])])
    said = capsys.readouterr().err
    assert met, "the planted fault was never come to"
    assert (status, said.count("\n"), said.startswith(LINE)) == (70, 1, True), said
    (file,) = here.iterdir()
    assert said == f"{LINE}{file} to whoever looks after Seatwork\n"
    text = file.read_text("utf-8")
    assert f"Seatwork {__version__}\n" in text and platform.python_version() in text and platform.platform() in text
    assert f"command line: 'seatwork' '{command}'" in text and "Traceback (most recent call last)" in text
    assert f"{error.__name__}: " in text and "in planted" in text
    assert prints(built) == before
    assert not [p.name for p in built.iterdir() if p.name.startswith(".out-")]


# in a process of its own: where threads run, as in a whole run of the tests, workers are no copies and know no planted fault
_IN_WORKERS = """
import sys
from generator.book import page, parallel
from generator.cli.main import main

def planted(self):
    raise KeyError("planted")

page.LessonPage.why = planted
parallel.FEWEST_JOBS = 2
sys.exit(main(["build", sys.argv[1], "--quiet"]))
"""


def test_a_fault_in_a_worker_comes_through(built: Path, here: Path) -> None:
    env = {**os.environ, parallel.WORKERS: "2", "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", _IN_WORKERS, str(built)], cwd=here, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 70, done.stderr
    assert done.stderr.startswith(LINE)
    (file,) = here.iterdir()
    assert "in planted" in file.read_text("utf-8")


def test_where_nothing_can_be_written_here_the_temporary_folder_has_it(
    here: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    other = tmp_path / "temporary"
    other.mkdir()
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(other))
    monkeypatch.setattr("generator.cli.commands.find", None)  # not callable: a fault
    opened = Path.open

    def closed(path: Path, mode: str = "r", *rest: Any, **more: Any) -> Any:
        if "x" in mode and path.parent == here:
            raise PermissionError(13, os.strerror(13), str(path))
        return opened(path, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", closed)
    assert main(["work", "loading.bench_height"]) == 70
    assert main(["work", "loading.bench_height"]) == 70
    files = sorted(other.iterdir())
    assert len(files) == 2 and list(here.iterdir()) == []  # no file is ever written over
    assert all(str(f) in said for f, said in zip(files, sorted(capsys.readouterr().err.splitlines()), strict=True))
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(tmp_path / "gone"))
    assert main(["work", "loading.bench_height"]) == 70
    said = capsys.readouterr().err
    assert "no file could be written" in said and "Traceback (most recent call last)" in said


def test_nothing_of_the_site_stands_in_the_file(built: Path, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plant(monkeypatch, "generator.book.page.LessonPage.why", KeyError)
    assert main(["build", str(built), "--quiet"]) == 70
    (file,) = here.iterdir()
    text = file.read_text("utf-8")
    assert "Juniper" not in text and "gate open lets people" not in text


def test_a_refusal_is_no_fault(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", str(here / "nowhere"), "--quiet"]) == 2
    assert "fault" not in capsys.readouterr().err and list(here.iterdir()) == []
