"""A build is all or nothing, the same every time, and says what is wrong in lines."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.publish.swap import LOCK, PENDING, STAGE, Busy, finish, recover, staging, swap
from tests.conftest import ROOT, copy_demo
from tests.records.small import small_site


def prints(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*")) if p.is_file()
    }  # fmt: skip


def test_two_builds_on_two_paths_give_the_same_bytes(demo: Path, tmp_path: Path) -> None:
    again = copy_demo(tmp_path / "some other place")
    done = subprocess.run(
        [sys.executable, "-m", "generator", "build", str(again), "--quiet"],
        cwd=ROOT, capture_output=True, text=True, check=False, env={**os.environ, "PYTHONHASHSEED": "77"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert str(again / "out" / "web" / "index.html") in done.stdout
    first, second = prints(demo / "out"), prints(again / "out")
    assert first.keys() == second.keys()
    assert [n for n in first if first[n] != second[n]] == []


def test_a_broken_table_leaves_the_last_good_handbook(demo: Path, tmp_path: Path, capsys: Any) -> None:
    site = copy_demo(tmp_path / "site")
    shutil.copytree(demo / "out", site / "out")
    before = prints(site / "out")
    machines = site / "machines.csv"
    machines.write_text(machines.read_text("utf-8").replace("45000", "heavy"), "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    err = capsys.readouterr().err
    assert err.startswith("machines.csv:2:") and "Traceback" not in err
    assert "last handbook is still in place" in err
    assert prints(site / "out") == before
    assert [p.name for p in site.glob(".out*")] == []


def test_the_ledger_names_every_number_shown(demo: Path) -> None:
    ledger = json.loads((demo / "out/ledger.json").read_text("utf-8"))
    assert ledger["edition"] and ledger["numbers"]
    for entry in ledger["numbers"]:
        assert entry["us"] and entry["metric"] and entry["page"]
        assert (entry["calculation"] and entry["sources"]) or entry["origin"]


def test_answer_keys_stay_out_of_the_web_folder(demo: Path) -> None:
    keys = sorted((demo / "out/mentor/keys").glob("*.html"))
    assert len(keys) == len(list((demo / "out/web/lessons").glob("*.html")))
    web = b"".join(p.read_bytes() for p in (demo / "out/web").rglob("*.html"))
    assert b": answer key" not in web and b"mentor/keys" not in web


def left(folder: Path) -> list[str]:
    return [p.name for p in folder.iterdir() if p.name != LOCK]


def test_a_second_build_at_once_is_turned_away(tmp_path: Path) -> None:
    with staging(tmp_path), pytest.raises(Busy, match="another build"), staging(tmp_path):
        pass
    assert left(tmp_path) == []


def test_a_lock_of_a_dead_build_is_recognised(tmp_path: Path) -> None:
    hold = "import sys, pathlib, os\nfrom generator.publish.swap import staging\n"
    hold += "with staging(pathlib.Path(sys.argv[1])):\n    print('held', flush=True)\n    sys.stdin.read()"
    with subprocess.Popen(
        [sys.executable, "-c", hold, str(tmp_path)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None and other.stdout.readline() == "held\n"
        with pytest.raises(Busy), staging(tmp_path):
            pass
        other.kill()
    assert (tmp_path / LOCK).is_file() and len(left(tmp_path)) == 1
    with staging(tmp_path) as stage:
        assert stage.is_dir()
    assert left(tmp_path) == []


def old_and_new(place: Path) -> tuple[Path, Path]:
    """A handbook in its place and the one to be swapped in, each a folder with one page."""
    out, new = place / "out", place / "new"
    for folder, text in ((out, "old"), (new, "new")):
        folder.mkdir()
        (folder / "page").write_text(text, "utf-8")
    return out, new


def test_swap_and_recover(tmp_path: Path) -> None:
    out, new = old_and_new(tmp_path)
    swap(new, out)
    assert (out / "page").read_text("utf-8") == "new"
    out.rename(tmp_path / ".out-old")  # as after a kill between the two steps
    recover(out)
    assert (out / "page").read_text("utf-8") == "new"


def test_swap_in_two_steps_where_one_is_not_to_be_had(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.publish.swap._exchange", lambda *_: False)
    out, new = old_and_new(tmp_path)
    swap(new, out)
    assert (out / "page").read_text("utf-8") == "new"
    assert left(tmp_path) == ["out"]
    with pytest.raises(FileNotFoundError):  # the second step fails, and the first is taken back
        swap(new, out)
    assert (out / "page").read_text("utf-8") == "new"
    assert left(tmp_path) == ["out"]


def test_what_is_pending_goes_nowhere_but_into_the_site(tmp_path: Path) -> None:
    site = tmp_path / "site"
    stage, out = site / f"{STAGE}1", site / "out"
    for folder in (stage, out):
        folder.mkdir(parents=True)
    for name in ("one", "two"):
        (stage / name).write_text(name, "utf-8")
    moves = [["one", "../stolen"], ["two", "editions/kept"]]
    note = {"swapped": out.stat().st_ino, "moves": moves}
    (stage / PENDING).write_text(json.dumps({**note, "swapped": out.stat().st_ino + 1}), "utf-8")
    finish(stage, site)  # another folder was swapped in
    assert not (site / "editions").exists()
    (stage / PENDING).write_text(json.dumps(note), "utf-8")
    finish(stage, site)
    assert (site / "editions" / "kept").read_text("utf-8") == "two"
    assert not (tmp_path / "stolen").exists()


def test_what_is_no_folder_is_not_built_over(tmp_path: Path, capsys: Any) -> None:
    site, elsewhere = small_site(tmp_path / "site"), tmp_path / "www"
    elsewhere.mkdir()
    (site / "out").symlink_to(elsewhere)
    assert main(["build", str(site), "--quiet"]) == 2
    assert capsys.readouterr().err.startswith(f"{site / 'out'}: is a link, and a build would put a folder in its place; take it away")
    assert (site / "out").is_symlink()
    (site / "out").unlink()
    (site / "out").write_text("mine", "utf-8")
    assert main(["build", str(site), "--quiet"]) == 2
    assert capsys.readouterr().err.startswith(f"{site / 'out'}: is no folder")
    assert (site / "out").read_text("utf-8") == "mine"


def test_a_folder_without_tables_is_one_clear_line(tmp_path: Path, capsys: Any) -> None:
    assert main(["build", str(tmp_path / "nowhere"), "--quiet"]) == 2
    err = capsys.readouterr().err
    assert "does not exist" in err and "Traceback" not in err


def test_check_finds_nothing_wrong(tmp_path: Path, capsys: Any) -> None:
    """The command on a small site; the demo's pages are judged as built, its lessons' figures here."""
    from generator.book.content import content_folder, read_content
    from generator.book.figures import typed_figures

    assert main(["check", str(small_site(tmp_path / "site"))]) == 0
    assert "all good: 2 lessons" in capsys.readouterr().out
    assert typed_figures(read_content(content_folder())) == []
