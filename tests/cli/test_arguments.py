"""What is typed wrongly on the command line gets one line that helps, and exit status 2."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from generator.cli.commands import not_written
from generator.cli.main import COMMANDS, main, parser
from generator.publish.swap import LOCK, STAGE


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    try:
        status = main(words)
    except SystemExit as e:
        status = e.code  # type: ignore[assignment]
    out, err = capsys.readouterr()
    assert status == 2 and out == "" and err.count("\n") == 1
    return err.strip()


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("biuld", "there is no command 'biuld'; did you mean build?"),
        ("Check", "there is no command 'Check'; did you mean check?"),
        ("publish", "there is no command 'publish'; seatwork --help lists the commands"),
    ],
)
def test_a_mistyped_command(typed: str, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, typed, "site_demo") == f"seatwork: {line}"


@pytest.mark.parametrize(
    ("number", "fix"),
    [
        (errno.EACCES, "check its access rights or choose another folder"),
        (errno.EPERM, "check its access rights or choose another folder"),
        (errno.EROFS, "check its access rights or choose another folder"),
        (errno.ENOSPC, "free space or choose another folder"),
        (errno.EFBIG, "free space or choose another folder"),
    ],
)
def test_a_place_that_cannot_be_written(
    number: int, fix: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Access rights are no matter of space. The lock and the stage of a build stand for the folder."""

    def refused(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number), str(tmp_path / "settings.yml"))

    monkeypatch.setattr("generator.jobsite.starter.write_starter", refused)
    assert said(capsys, "new", str(tmp_path)) == f"{tmp_path / 'settings.yml'}: cannot be written ({os.strerror(number)}); {fix}"
    for hidden in (LOCK, f"{STAGE}17/out/web/index.html"):
        e = OSError(number, os.strerror(number), str(tmp_path / hidden))
        assert not_written(e, tmp_path) == f"{tmp_path}: cannot be written ({os.strerror(number)}); {fix}"


def test_a_folder_for_a_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, str(tmp_path)).endswith(f"to build that folder: seatwork build {tmp_path}")


def test_what_is_missing_or_too_much(capsys: pytest.CaptureFixture[str]) -> None:
    see = "seatwork build --help shows how to write it"
    assert said(capsys, "build") == f"seatwork build: FOLDER is missing; {see}"
    assert said(capsys, "compare", "a") == "seatwork compare: NEW is missing; seatwork compare --help shows how to write it"
    assert said(capsys, "serve", "x", "--port", "http").startswith("seatwork serve: argument --port: 'http' is no port; ")
    assert said(capsys, "build", "x", "--pfd").startswith("seatwork: unrecognized arguments: --pfd; ")


def test_nothing_typed_shows_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    out = capsys.readouterr().out
    for name in COMMANDS:
        assert f"    {name}" in out


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([name, "--help"])
    assert stopped.value.code == 0
    out = capsys.readouterr().out
    assert f"seatwork {name}" in out and len(out) > 300


def test_no_other_commands() -> None:
    known = next(a.choices for a in parser()._actions if a.dest == "command")
    assert list(known or ()) == list(COMMANDS)
