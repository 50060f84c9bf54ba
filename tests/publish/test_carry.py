"""A build loses nothing that it did not write: it takes it over, or refuses and says which."""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from generator.publish import carry as carrying
from generator.publish import swap as swapping
from generator.publish.carry import InTheWay, carry, find, gather, remove
from generator.publish.manifest import MANIFEST, write_manifest
from generator.publish.swap import LOCK, PLAIN_LOCK, Busy, Stuck, recover, staging, swap
from tests.publish.dying import copied, of_edition
from tests.records.small import small_site

# Any: tests put functions of their own in the place of its
building: Any = import_module("generator.publish.build")

KEPT = ("mentor/paper", "mentor/records")
PAGES = {"web/index.html": "old page", "web/lessons/a.html": "old a", "mentor/index.html": "old mentor", "ledger.json": "{}"}
NEW = {"web/index.html": "new page", "web/lessons/b.html": "new b", "mentor/index.html": "new mentor", "ledger.json": "{1}"}


def written(folder: Path, pages: dict[str, str]) -> Path:
    """A build's folder with its list."""
    for name, text in pages.items():
        put(folder, name, text)
    write_manifest(folder, KEPT)
    return folder


def put(folder: Path, name: str, text: str = "mine") -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return path


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return written(tmp_path / "out", PAGES)


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return written(tmp_path / "new", NEW)


def held(folder: Path) -> dict[str, str]:
    return {p.relative_to(folder).as_posix(): p.read_text("utf-8") for p in folder.rglob("*") if p.is_file() and p.name != MANIFEST}


def test_what_the_last_build_wrote_goes_and_all_else_stays(out: Path, new: Path) -> None:
    mine = {"notes.txt": "a", ".hidden": "b", "mentor/signed/2026/scan.pdf": "c", "web/lessons/photo.jpg": "d", "web/index.html~": "e"}
    for name, text in mine.items():
        put(out, name, text)
    (out / "mentor/for later/more").mkdir(parents=True)
    before = held(out)
    carry(out, new, KEPT, ())
    assert held(new) == NEW | mine and held(out) == before
    assert (new / "mentor/for later/more").is_dir()
    # and once more: what was taken over is no build's page now either
    put(new, "extra", "x")
    again = written(new.with_name("again"), {"web/index.html": "newest"})
    carry(new, again, KEPT, ())
    assert held(again) == {"web/index.html": "newest", "extra": "x"} | mine


def test_a_folder_of_pages_that_are_no_more_is_not_kept_empty(out: Path, tmp_path: Path) -> None:
    new = written(tmp_path / "new", {"ledger.json": "{}"})
    carry(out, new, KEPT, ())
    assert held(new) == {"ledger.json": "{}"} and not (new / "web").exists()


@pytest.mark.parametrize("name", ["web/lessons/b.html", "web/lessons/b.html/scan.pdf", "web/assets"])
def test_what_stands_in_the_way_is_named_and_nothing_changes(out: Path, new: Path, name: str) -> None:
    put(new, "web/assets/a.css", "new")
    put(out, name)
    before = held(out)
    with pytest.raises(InTheWay, match="no build wrote this, and this build writes a page of that name; move it") as told:
        carry(out, new, KEPT, ())
    assert str(out / "web") in str(told.value) and held(out) == before


def test_an_empty_folder_in_the_way_of_a_page_is_named(out: Path, new: Path) -> None:
    (out / "web/lessons/b.html").mkdir()
    with pytest.raises(InTheWay, match=r"b\.html: no build wrote this"):
        carry(out, new, KEPT, ())


def test_the_same_bytes_are_in_nobodys_way(out: Path, new: Path) -> None:
    put(out, "web/lessons/b.html", NEW["web/lessons/b.html"])
    put(out, "web/index.html", NEW["web/index.html"])
    carry(out, new, KEPT, ())
    assert held(new) == NEW


@pytest.mark.parametrize("name", ["web/index.html", "web/lessons/a.html"])
def test_a_page_somebody_changed_is_named_whether_or_not_it_is_written_again(out: Path, new: Path, name: str) -> None:
    put(out, name, "by hand")
    with pytest.raises(InTheWay, match="was changed after a build wrote it") as told:
        carry(out, new, KEPT, ())
    assert str(told.value).startswith(str(out / name)) and (out / name).read_text("utf-8") == "by hand"


def test_many_are_told_in_one_line(out: Path, new: Path) -> None:
    for name in PAGES:
        put(out, name, "by hand")
    put(out, "web/a\nb\x1b[31m", "x")
    with pytest.raises(InTheWay) as told:
        carry(out, new, KEPT, ())
    assert str(told.value).isprintable() and " and 1 more: was changed" in str(told.value)


def test_what_other_commands_wrote_stands_before_the_builds_own(out: Path, new: Path) -> None:
    put(out, "mentor/records/readiness.html", "tallied")
    put(out, "mentor/paper/index.html", "nothing yet")
    put(out, "mentor/paper/a-key.html", "key")
    put(new, "mentor/records/readiness.html", "not yet")
    put(new, "mentor/paper/index.html", "still nothing")
    carry(out, new, KEPT, {"mentor/paper/index.html"})
    there = held(new)
    assert there["mentor/records/readiness.html"] == "tallied" and there["mentor/paper/a-key.html"] == "key"
    assert there["mentor/paper/index.html"] == "still nothing"


def test_links_are_kept_as_links_and_not_followed(out: Path, new: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    put(elsewhere, "secret.txt", "secret")
    (out / "mentor/scans").symlink_to(elsewhere)
    (out / "mentor/nowhere").symlink_to("gone")
    (out / "mentor/paper").mkdir()
    (out / "mentor/paper/round").symlink_to(out)
    carry(out, new, KEPT, ())
    assert (new / "mentor/scans").is_symlink() and (new / "mentor/scans").readlink() == elsewhere
    assert (new / "mentor/nowhere").is_symlink() and (new / "mentor/paper/round").is_symlink()
    remove(out)
    assert (elsewhere / "secret.txt").read_text("utf-8") == "secret" and not out.exists()


@pytest.mark.parametrize("name", ["web", "mentor/index.html"])
def test_a_link_in_the_place_of_a_page_or_folder_is_named(out: Path, new: Path, tmp_path: Path, name: str) -> None:
    moved = tmp_path / "www"
    (out / name).rename(moved)
    (out / name).symlink_to(moved)
    with pytest.raises(InTheWay) as told:
        carry(out, new, KEPT, ())
    assert str(told.value).startswith(str(out / name)) and moved.exists()


def test_without_its_list_nothing_is_taken_for_a_builds(out: Path, new: Path) -> None:
    (out / MANIFEST).unlink()
    with pytest.raises(InTheWay, match=r"files\.sha256: is missing, and without it nobody can tell"):
        carry(out, new, KEPT, ())
    for name in PAGES:  # a folder that was made before the first build
        (out / name).unlink()
    put(out, "mentor/signed/scan.pdf")
    carry(out, new, KEPT, ())
    assert held(new) == NEW | {"mentor/signed/scan.pdf": "mine"}


@pytest.mark.parametrize("text", ["", "no list\n", "0" * 64 + "  web/index.html\n", "\xff\xfe"])
def test_a_damaged_list_loses_nothing(out: Path, new: Path, text: str) -> None:
    (out / MANIFEST).write_bytes(text.encode("latin-1"))
    before = held(out)
    with pytest.raises(InTheWay):
        carry(out, new, KEPT, ())
    assert held(out) == before


def test_closed_folders_and_times_come_along(out: Path, new: Path) -> None:
    scan = put(out, "mentor/signed/scan.pdf")
    os.utime(scan, (1_700_000_000, 1_700_000_000))
    (out / "mentor/signed").chmod(0o555)
    carry(out, new, KEPT, ())
    assert (new / "mentor/signed/scan.pdf").stat().st_mtime == 1_700_000_000
    assert stat.S_IMODE((new / "mentor/signed").stat().st_mode) == 0o555
    remove(new)
    assert not new.exists() and scan.read_text("utf-8") == "mine"


def test_a_disk_that_knows_no_second_names_gets_copies(out: Path, new: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no(*_: Any, **__: Any) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no)
    put(out, "mentor/signed/scan.pdf", "scan")
    carry(out, new, KEPT, ())
    assert (new / "mentor/signed/scan.pdf").read_text("utf-8") == "scan"
    assert (new / "mentor/signed/scan.pdf").stat().st_ino != (out / "mentor/signed/scan.pdf").stat().st_ino
    os.mkfifo(out / "pipe")
    with pytest.raises(InTheWay, match="pipe: is neither file nor folder"):
        carry(out, new, KEPT, ())


def test_what_cannot_be_read_is_named(out: Path, new: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(out, "mentor/closed/scan.pdf")
    usual = Path.iterdir

    def closed(path: Path) -> Any:
        if path.name == "closed":
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return usual(path)

    monkeypatch.setattr(Path, "iterdir", closed)
    with pytest.raises(InTheWay, match=r"closed: cannot be read \(Permission denied\), so a build would lose what is in it"):
        carry(out, new, KEPT, ())


def test_what_comes_in_during_the_swap_is_moved_over_afterwards(out: Path, new: Path) -> None:
    put(out, "mentor/late/scan.pdf", "late")
    put(out, "web/lessons/b.html", "late, but the place is taken")
    (out / "mentor/empty").mkdir()
    gather(out, new)
    assert held(new) == NEW | {"mentor/late/scan.pdf": "late"} and (new / "mentor/empty").is_dir()


# --- the whole command ------------------------------------------------------------------------


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Path]:
    """Builds a small site as one edition or another; its folder. The site builder only copies."""
    folder = small_site(tmp_path / "site")
    found = building.render(folder, lambda _: None)
    monkeypatch.setattr("generator.publish.one_language.build_site", copied)

    def build(edition: str) -> Path:
        monkeypatch.setattr(building, "load", lambda *_: (None, found[1]))
        monkeypatch.setattr(building, "rendered", lambda *_: of_edition(found, edition))
        building.build(folder, lambda _: None)
        return folder

    return build


def test_a_scan_put_beside_the_sheets_outlives_every_build(site: Callable[[str], Path]) -> None:
    out = site("one") / "out"
    scan = put(out, "mentor/signed/P-01 2026-03-12.pdf", "scan")
    put(out, "notes.txt", "notes")
    for edition in ("two", "three"):
        site(edition)
        assert f"edition mark {edition}" in (out / "web/index.md").read_text("utf-8")
        assert scan.read_text("utf-8") == "scan" and (out / "notes.txt").read_text("utf-8") == "notes"
        assert "signed" not in (out / MANIFEST).read_text("utf-8")
    assert find(out).changed == []
    assert [p.name for p in out.parent.glob(".out*")] == []


def test_a_page_changed_by_hand_stops_the_build_before_its_long_work(site: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch) -> None:
    folder = site("one")
    (folder / "out/web/index.md").write_text("mine", "utf-8")
    monkeypatch.setattr(building, "render", lambda *_, **__: pytest.fail("rendered"))
    with pytest.raises(building.Problems, match=r"index\.md: was changed after a build wrote it"):
        building.build(folder, lambda _: None)
    assert (folder / "out/web/index.md").read_text("utf-8") == "mine"


def test_a_file_in_the_way_of_a_new_page_stops_the_build(site: Callable[[str], Path]) -> None:
    folder = site("one")
    shutil.move(folder / "out/web/index.md", folder / "away")
    write_manifest(folder / "out", KEPT)
    put(folder / "out", "web/index.md")
    with pytest.raises(building.Problems, match=r"index\.md: no build wrote this"):
        site("two")
    assert (folder / "out/web/index.md").read_text("utf-8") == "mine"
    assert "edition mark one" in (folder / "out/web/operator.md").read_text("utf-8")
    assert [p.name for p in folder.glob(".out*")] == []


def test_what_is_put_there_in_the_moment_of_the_swap_stays(site: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch) -> None:
    out, usual = site("one") / "out", building.swap

    def meanwhile(new: Path, old: Path) -> None:
        put(old, "mentor/signed/late.pdf", "late")
        usual(new, old)

    monkeypatch.setattr(building, "swap", meanwhile)
    site("two")
    assert (out / "mentor/signed/late.pdf").read_text("utf-8") == "late"
    monkeypatch.setattr(swapping, "_exchange", lambda *_: False)
    (out / "mentor/signed/late.pdf").unlink()
    site("three")
    assert (out / "mentor/signed/late.pdf").read_text("utf-8") == "late"
    assert "edition mark three" in (out / "web/index.md").read_text("utf-8")


# --- disks that are not as others ---------------------------------------------------------------


@pytest.mark.parametrize("number", [errno.EBUSY, errno.EXDEV])
@pytest.mark.parametrize("step", ["out", "new"])
def test_an_out_that_cannot_be_renamed_is_told_and_stays(
    number: int, step: str, site: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = site("one")
    scan = put(folder / "out", "mentor/signed/scan.pdf", "scan")
    usual = Path.rename

    def rename(path: Path, target: Any) -> Path:
        if path == folder / "out" if step == "out" else path.name == "out" and path.parent != folder:
            raise OSError(number, os.strerror(number), str(path))
        return usual(path, target)

    monkeypatch.setattr(swapping, "_exchange", lambda *_: False)
    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(building.Problems, match="out: is a disk of its own or lies on another one"):
        site("two")
    assert "edition mark one" in (folder / "out/web/index.md").read_text("utf-8")
    assert scan.read_text("utf-8") == "scan" and [p.name for p in folder.glob(".out*")] == []


def test_a_mount_point_is_told_before_the_long_work(site: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch) -> None:
    folder = site("one")
    monkeypatch.setattr(os.path, "ismount", lambda p: Path(p) == folder / "out")
    monkeypatch.setattr(building, "render", lambda *_, **__: pytest.fail("rendered"))
    with pytest.raises(building.Problems, match="out: is a disk of its own"):
        building.build(folder, lambda _: None)


def test_another_failure_of_the_swap_is_not_called_a_disk(out: Path, new: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(swapping, "_exchange", lambda *_: False)
    shutil.rmtree(new)
    with pytest.raises(FileNotFoundError):
        swap(new, out)
    assert held(out) == PAGES
    assert not issubclass(Stuck, OSError)


@pytest.mark.parametrize("number", [errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOSYS, 0])
def test_where_there_are_no_locks_a_plain_file_stands_for_one(number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import filelock

    def no_locks(self: Any, *_: Any, **__: Any) -> None:
        raise OSError(number, os.strerror(number), str(tmp_path / LOCK)) if number else NotImplementedError("no flock here")

    monkeypatch.setattr(filelock.FileLock, "acquire", no_locks)
    for _ in range(2):  # it is taken away at the end
        with staging(tmp_path) as stage:
            assert stage.is_dir() and (tmp_path / PLAIN_LOCK).is_file()
            with pytest.raises(Busy, match=f"if none is, one died: delete .*{PLAIN_LOCK}"), staging(tmp_path):
                pass
            assert stage.is_dir()
        assert not (tmp_path / PLAIN_LOCK).exists()


def test_another_failure_of_the_lock_is_passed_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import filelock

    def full(self: Any, *_: Any, **__: Any) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(tmp_path / LOCK))

    monkeypatch.setattr(filelock.FileLock, "acquire", full)
    with pytest.raises(OSError, match="No space left"), staging(tmp_path):
        pass
    assert not (tmp_path / PLAIN_LOCK).exists()


def test_after_a_kill_between_the_two_steps_nothing_is_lost(out: Path, new: Path) -> None:
    put(out, "mentor/late.pdf", "late")
    old = out.with_name(".out-old")
    out.rename(old)
    new.rename(out)  # killed before the old one was removed
    recover(out)
    assert not old.exists() and held(out) == NEW | {"mentor/late.pdf": "late"}


def test_the_walk_tells_folders_before_what_is_in_them(out: Path) -> None:
    put(out, "a/b/c/d.txt")
    assert find(out).folders == ["a", "a/b", "a/b/c"]
    assert carrying.find(out).files == ["a/b/c/d.txt"]
