"""``seatwork own FOLDER --new-lesson ID``: a skeleton that passes a check at once, and is told until it is filled in."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.cli.main import main
from tests.records.small import small_site


def run(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str, str]:
    status = main(args)
    out, err = capsys.readouterr()
    return status, out, err


def test_the_skeleton_passes_the_check_and_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small_site(tmp_path / "site")
    status, out, err = run(capsys, "own", str(site), "--new-lesson", "gate-rules")
    assert (status, err) == (0, "")
    assert out.splitlines() == [
        f"written: {site / 'lessons/gate-rules.md'}", f"written: {site / 'questions/gate-rules.yml'}",
        "Put your words into both, then list gate-rules under a role in settings.yml.",
    ]  # fmt: skip
    settings = site / "settings.yml"
    text = settings.read_text("utf-8")
    assert text.count("lessons: [bench-height, truck-match]") == 1
    settings.write_text(text.replace("lessons: [bench-height, truck-match]", "lessons: [bench-height, truck-match, gate-rules]"), "utf-8")
    status, out, err = run(capsys, "check", str(site))
    assert status == 0 and "all good: 3 lessons" in out
    assert "lessons/gate-rules.md:2: the words are still those of the skeleton" in err
    lesson = site / "lessons/gate-rules.md"
    lesson.write_text(lesson.read_text("utf-8").replace("# skeleton: take this line out once the words below are yours\n", ""), "utf-8")
    assert "skeleton" not in run(capsys, "check", str(site))[2]


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("--new-lesson", "Gate rules"), "Gate rules: it is no lesson id; use small letters a to z, digits and single hyphens, at most 60"),
        (("--new-lesson", "../out"), "../out: it is no lesson id; "),
        (("--new-lesson", "stop-work"), "lessons/stop-work.md: a shipped lesson is called that; "),
        (("lessons/stop-work.md", "--new-lesson", "gate"), "--new-lesson writes one lesson and copies nothing; "),
    ],
)
def test_what_it_does_not_write(tmp_path: Path, capsys: pytest.CaptureFixture[str], args: tuple[str, ...], told: str) -> None:
    site = small_site(tmp_path / "site")
    status, out, err = run(capsys, "own", str(site), *args)
    assert (status, out) == (2, "") and told in err and err.count("\n") == 1
    assert not (site / "lessons").exists() and not (site / "questions").exists()


def test_it_writes_over_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small_site(tmp_path / "site")
    (site / "questions").mkdir()
    (site / "questions/gate.yml").write_text("mine", "utf-8")
    status, _, err = run(capsys, "own", str(site), "--new-lesson", "gate")
    assert status == 2 and "the site has its own already" in err
    assert (site / "questions/gate.yml").read_text("utf-8") == "mine" and not (site / "lessons/gate.md").exists()
