"""What is kept is given back whole, or not at all."""

from __future__ import annotations

import os
import sys
from importlib import invalidate_caches
from pathlib import Path

import pytest

from generator.source import store
from generator.source.store import FOLDER, KEY, Store, digest, files_print, packages_print


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Store:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    (tmp_path / "site").mkdir()
    made = Store.beside(tmp_path / "site")
    assert made is not None
    made.put("page", b"<p>10 ft</p>" * 50)
    return made


def file_of(kept: Store, what: str) -> Path:
    return kept.folder / kept.name(what)


def test_what_was_put_comes_back_in_a_later_run(kept: Store) -> None:
    later = Store.beside(kept.folder.parent)
    assert later is not None and later.get("page") == b"<p>10 ft</p>" * 50
    assert later.get("another page") is None
    assert kept.folder.name == FOLDER


def test_what_copies_of_the_process_put_is_forgotten_too(kept: Store) -> None:
    for path in kept.folder.iterdir():  # of a build of yesterday
        os.utime(path, (1.7e9, 1.7e9))
    first, copy = (Store.beside(kept.folder.parent) for _ in range(2))
    assert first is not None and copy is not None
    first.put("mine", b"1")
    copy.put("a worker's", b"2")
    first.forget()
    assert first.get("mine") is None and first.get("a worker's") is None
    assert first.get("page") is not None, "what an earlier build kept stays, unless it was used"
    first.forget()
    assert first.get("page") is None


@pytest.mark.parametrize("at", [0, 20, 40, -1])
def test_a_byte_that_was_changed_makes_it_worth_nothing(kept: Store, at: int) -> None:
    path = file_of(kept, "page")
    raw = bytearray(path.read_bytes())
    raw[at] ^= 1
    path.write_bytes(raw)
    assert kept.get("page") is None


def test_what_is_cut_off_empty_or_too_long_is_worth_nothing(kept: Store) -> None:
    path = file_of(kept, "page")
    raw = path.read_bytes()
    for damaged in (raw[:-1], raw[:30], b"", raw + b"x"):
        path.write_bytes(damaged)
        assert kept.get("page") is None
    path.write_bytes(raw)
    assert kept.get("page") is not None


def test_a_sound_file_under_another_name_is_worth_nothing(kept: Store) -> None:
    file_of(kept, "another page").write_bytes(file_of(kept, "page").read_bytes())
    assert kept.get("another page") is None


def test_what_another_user_kept_is_worth_nothing(kept: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "another home"))
    other = Store.beside(kept.folder.parent)
    assert other is not None and other.get("page") is None
    # nor does it help to take the name that this user would give it
    other.put("page", b"<p>99 ft</p>")
    file_of(kept, "page").write_bytes(file_of(other, "page").read_bytes())
    assert kept.get("page") is None


@pytest.mark.skipif(os.name != "posix", reason="links and rights as on Linux")
def test_links_are_not_followed(kept: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = file_of(kept, "page")
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    assert kept.get("page") is None
    site = tmp_path / "linked"
    site.mkdir()
    (site / FOLDER).symlink_to(kept.folder)
    assert Store.beside(site) is None


@pytest.mark.skipif(os.name != "posix", reason="links and rights as on Linux")
def test_a_pipe_in_the_place_of_a_file_holds_nobody_up(kept: Store) -> None:
    for path in (file_of(kept, "page"), file_of(kept, "another page")):
        path.unlink(missing_ok=True)
        os.mkfifo(path)
    assert kept.get("page") is None and kept.get("another page") is None
    kept.put("page", b"x")
    assert kept.get("page") == b"x"


def test_a_key_that_others_may_read_is_not_used(kept: Store) -> None:
    key = store.home() / KEY
    assert key.stat().st_mode & 0o777 == 0o600
    first = key.read_bytes()
    key.chmod(0o644)
    again = Store.beside(kept.folder.parent)
    assert again is not None and again.get("page") is None
    assert key.read_bytes() != first and key.stat().st_mode & 0o777 == 0o600


def test_where_nothing_can_be_kept_nothing_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "no folder").write_text("", "utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "no folder"))
    assert Store.beside(tmp_path) is None
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / FOLDER).write_text("", "utf-8")
    assert Store.beside(tmp_path / "site") is None
    gone = Store(tmp_path / "gone", b"k" * 32)
    gone.put("page", b"x")  # a folder that was deleted meanwhile
    assert gone.get("page") is None
    gone.trim()


def test_the_folder_is_held_to_its_size_and_the_oldest_leave(kept: Store) -> None:
    for i in range(5):
        kept.put(f"page {i}", os.urandom(1000))
        os.utime(file_of(kept, f"page {i}"), (1_000 + i, 1_000 + i))
    (kept.folder / "new-abc").write_bytes(b"of a build that died")
    later = Store.beside(kept.folder.parent)
    assert later is not None and later.get("page 0") is not None  # used now, so it stays
    later.trim(3_300)
    there = [i for i in range(5) if later.get(f"page {i}") is not None]
    assert there == [0, 4] or there == [0, 3, 4]
    assert not list(kept.folder.glob("new-*"))
    assert sum(p.stat().st_size for p in kept.folder.iterdir()) <= 3_300


def test_a_digest_tells_where_the_parts_are_cut() -> None:
    assert len({digest("ab", "c"), digest("a", "bc"), digest("abc"), digest("ab", "c", "")}) == 4
    assert digest("ab") == digest(b"ab")


def test_files_are_told_by_their_names_and_bytes(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("1", "utf-8")
    first = files_print(tmp_path)
    (tmp_path / "__pycache__").mkdir()
    (tmp_path / "__pycache__" / "a.pyc").write_text("1", "utf-8")
    (tmp_path / ".hidden").write_text("1", "utf-8")
    assert files_print(tmp_path) == first
    (tmp_path / "a.py").rename(tmp_path / "b.py")
    assert files_print(tmp_path) != first
    assert files_print(tmp_path, ("b",)) == digest()


def installed(place: Path, version: str) -> Path:
    (place / f"theme-{version}.dist-info").mkdir(parents=True)
    (place / "seatwork_theme" / "templates").mkdir(parents=True)
    (place / "seatwork_theme" / "__init__.py").write_text("", "utf-8")
    page = place / "seatwork_theme" / "templates" / "main.html"
    page.write_text("<p>10 ft</p>", "utf-8")
    return page


def test_a_package_edited_where_it_lies_is_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    page = installed(tmp_path, "1")
    monkeypatch.setattr(sys, "path", [str(tmp_path)])
    invalidate_caches()
    before = packages_print(["seatwork_theme", "no_such_package"])
    assert before == packages_print(["seatwork_theme", "no_such_package"]) != packages_print()
    written = page.stat()
    page.write_text("<p>12 ft</p>", "utf-8")
    os.utime(page, ns=(written.st_atime_ns, written.st_mtime_ns + 1000))
    assert packages_print(["seatwork_theme", "no_such_package"]) != before


def test_of_two_versions_the_one_that_is_found_first_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    places = [str(installed(tmp_path / v, v).parents[2]) for v in ("1", "2")]
    monkeypatch.setattr(sys, "path", places)
    before = packages_print()
    monkeypatch.setattr(sys, "path", places[::-1])
    assert packages_print() != before
