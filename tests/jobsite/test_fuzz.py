"""Whatever bytes stand in the files, the reader answers with a site or with problems."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.jobsite.problems import FILES, SiteProblems
from generator.jobsite.reader import read
from tests.conftest import DEMO, copy_demo
from tests.jobsite.lessons import LESSONS

ALL = (*FILES, "mentors.csv")
ORIGINAL = {name: (DEMO / name).read_bytes() for name in ALL}
SHORT = """\
site: {key: short, name: Short}
edition: 2026-1
units: us
passing_mark: 80%
roles: {dozer-operator: {title: Dozer operator, machines: [dozer], lessons: [stop-work]}}
limits: {decided_by: A. Person, decided_on: 2026-01-05, ask_first: [it rains]}
"""


def site_to_break(file: str, target: Path) -> Path:
    """A copy of the demo; with short settings where another file is to be broken, for speed."""
    folder = copy_demo(target)
    if file != "settings.yml":
        (folder / "settings.yml").write_text(SHORT, "utf-8")
    return folder


# pieces that have meaning in CSV, YAML, numbers or units
PIECES = st.sampled_from(
    ["", ",", ";", "\t", "\n", "\r", '"', '""', "'", ":", ": ", "- ", "  ", "#", "&a", "*a", "!!int ", "[", "]", "{", "}",
     "|", ">", "%", "@", "=", "\ufeff", "\0", "\x1b", "\x85", "\u2028", "null", "~", "yes", "1e400", "-0", "0", "1e-400", "NaN",
     "inf", "4:1", "0:1", "١", "9" * 50, "ft", " ft", "[ft]", "°", "D-1", "dozer", "-", "--- ", "..", "<<: ", "? ", "%YAML 9.9\n"]
)  # fmt: skip


def answers(folder: Path) -> None:
    """Reads, and checks that every problem is one printable line."""
    try:
        read(folder, LESSONS)
    except SiteProblems as told:
        assert told.problems
        for problem in told.problems:
            line = str(problem)
            assert "\n" not in line and len(line) < 2000
            assert problem.what and problem.fix
            assert line.isprintable(), repr(line)


@pytest.mark.parametrize("file", ALL)
def test_any_bytes(file: str, tmp_path: Path) -> None:
    folder = site_to_break(file, tmp_path / "site")

    @settings(max_examples=20)
    @given(st.binary(max_size=400))
    def run(data: bytes) -> None:
        (folder / file).write_bytes(data)
        answers(folder)

    run()


@pytest.mark.parametrize("file", ALL)
def test_any_text(file: str, tmp_path: Path) -> None:
    folder = site_to_break(file, tmp_path / "site")

    @settings(max_examples=20)
    @given(st.lists(st.one_of(PIECES, st.text(max_size=12)), max_size=40).map("".join))
    def run(text: str) -> None:
        (folder / file).write_bytes(text.encode("utf-8", "surrogatepass"))
        answers(folder)

    run()


@pytest.mark.parametrize("file", ALL)
def test_the_demo_with_pieces_cut_and_put_in(file: str, tmp_path: Path) -> None:
    folder = site_to_break(file, tmp_path / "site")
    original = ORIGINAL[file].decode("utf-8")
    place = st.tuples(st.integers(0, len(original)), st.integers(0, 30), st.one_of(PIECES, st.text(max_size=6)))

    @settings(max_examples=30)
    @given(st.lists(place, min_size=1, max_size=4))
    def run(edits: list[tuple[int, int, str]]) -> None:
        text = original
        for start, length, new in edits:
            text = text[:start] + new + text[start + length :]
        (folder / file).write_bytes(text.encode("utf-8", "surrogatepass"))
        answers(folder)

    run()


@pytest.mark.parametrize("file", FILES[1:])
@pytest.mark.parametrize("text", ["9" * 1999, "1e" + "9" * 1990, "-" * 1999, "(" * 1999, "[" * 1999, '"' * 1999, "1,"])
def test_long_cells_stay_quick(file: str, text: str, tmp_path: Path) -> None:
    folder = site_to_break(file, tmp_path / "site")
    lines = ORIGINAL[file].decode("utf-8").split("\n")
    for line in (0, 1):
        broken = lines.copy()
        broken[line] = ",".join(text for _ in broken[line].split(","))
        (folder / file).write_text("\n".join(broken), "utf-8")
        answers(folder)


def test_nested_and_repeated_yaml_stays_quick(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site")
    for text in (
        "[" * 10_000,
        "{a: " * 10_000,
        "a: &a [*a, *a]",
        "- " * 10_000,
        "a:\n" * 5_000,
        "? " * 5_000,
    ):
        (folder / "settings.yml").write_text(text)
        answers(folder)
