"""A build that takes up what earlier builds made writes the very bytes of one that makes all of it."""

from __future__ import annotations

import csv
import os
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from generator.book import content as content_of
from generator.book import kept as book_kept
from generator.book import tree
from generator.book.content import read_content
from generator.book.kept import FRESH, KeptParts, made_with, packed, unpacked
from generator.book.parallel import Job
from generator.book.reference import reference_chapter
from generator.book.seen import Sources
from generator.publish.build import Built, Problems, _today, build, load
from generator.publish.kept import Keeping
from generator.quiz.edition import DAYS
from generator.source.store import FOLDER, Store
from tests.book.places import added, put, small
from tests.conftest import ROOT
from tests.records.small import without_rules

FEW = {"stop-work", "bench-height", "reading-grades"}


_PAGES: list[Any] = []


def reference_pages(content: Path) -> Any:
    """The first page of the reference chapter alone, worked out once."""
    if not _PAGES:
        first = "reference/index.md"
        pages, _, counts = reference_chapter(read_content(content))
        _PAGES.append(({first: pages[first]}, [{"All calculations": first}], counts))
    return _PAGES[0]


@pytest.fixture
def shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Shipped content of a few lessons, and builds that keep what they make."""
    content = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    chapters = (content / "chapters.yml").read_text("utf-8")
    few = re.sub(r"\[(.*?)\]", lambda m: f"[{', '.join(i for i in m[1].split(', ') if i in FEW)}]", chapters)
    (content / "chapters.yml").write_text(few, "utf-8")
    monkeypatch.setattr("generator.publish.build.content_folder", lambda: content)
    few_pages = reference_pages(content)  # nothing here changes them, and they take long
    monkeypatch.setattr(tree, "reference_chapter", lambda _: few_pages)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "home"))
    monkeypatch.setattr(book_kept, "_SINCE", 1 << 70)  # the program's files may be older or newer than this run
    monkeypatch.delenv(FRESH, raising=False)
    return content


@pytest.fixture
def site(tmp_path: Path, shipped: Path) -> Path:
    made = added(small(tmp_path / "site", "gate", "stop-work", "bench-height"), "gate")
    without_rules(made)  # they name lessons that are left out here
    settings = made / "settings.yml"
    settings.write_text(re.sub(r"(?m)^languages:.*\n", "", settings.read_text("utf-8")), "utf-8")
    return made


def run(site: Path, *, fresh: bool = False) -> Built:
    return build(site, lambda _: None, fresh=fresh)


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def clean(site: Path, place: Path) -> dict[str, bytes]:
    """What a build of the same tables gives that knows of no other."""
    shutil.copytree(site, place, ignore=shutil.ignore_patterns("out", "editions", ".*"))
    run(place)
    made = files(place / "out")
    shutil.rmtree(place)
    return made


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text, f"{old} is not in {path.name}"
    path.write_text(text.replace(old, new, 1), "utf-8")


def cell(site: Path, table: str, row: str, column: str, new: str) -> None:
    """Another figure in one cell of a table."""
    path = site / table
    rows = list(csv.reader(path.read_text("utf-8").splitlines()))
    at = next(i for i, head in enumerate(rows[0]) if head.split(" ")[0] == column)
    found = next(r for r in rows if r[0] == row)
    assert found[at] and found[at] != new
    found[at] = new
    with path.open("w", encoding="utf-8", newline="") as f:
        csv.writer(f, lineterminator="\n").writerows(rows)


def sold(site: Path) -> None:
    lines = (site / "machines.csv").read_text("utf-8").splitlines(keepends=True)
    (site / "machines.csv").write_text("".join(x for x in lines if not x.startswith("D-4,")), "utf-8")


# what a coordinator changes between two builds, one after the other
BUILT: dict[str, Callable[[Path], object]] = {
    "a figure of the machine that the lesson is worked for": lambda s: cell(s, "machines.csv", "E-2", "stick_length", "10.5"),
    "a new edition": lambda s: edit(s / "settings.yml", "edition: ", "edition: next-"),
}  # fmt: skip
RENDERED: dict[str, Callable[[Path], object]] = {
    "words of a lesson": lambda s: edit(s / "lessons/gate.md", "Look both ways", "Look all ways"),
    "a figure of another machine": lambda s: cell(s, "machines.csv", "E-3", "stick_length", "8.5"),
    "a figure that no lesson uses": lambda s: cell(s, "machines.csv", "D-1", "blade_load", "5"),
    "a limit of the site": lambda s: edit(s / "settings.yml", "edge_distance: 6 ft", "edge_distance: 7 ft"),
    "the look": lambda s: put(s, {"look/seatwork.css": ".sw-note { color: #123456; }\n"}),
}  # fmt: skip
# what goes into the print that all parts share: none is taken again
MADE_ANEW: dict[str, Callable[[Path], object]] = {
    "a machine that was sold": sold,
    "a word of the trade": lambda s: (s / "glossary.yml").write_text("bench: A shelf cut into the ground.\n", "utf-8"),
    "somebody who left": lambda s: (s / "crew.csv").write_text("id,name,role,machines\nP-02,Tom Abernethy,loader,E-1\n", "utf-8"),
    "one more lesson": lambda s: edit(s / "settings.yml", "      - stop-work\n", "      - stop-work\n      - reading-grades\n"),
    "the other unit system": lambda s: edit(s / "settings.yml", "units: us", "units: metric"),
}  # fmt: skip


def test_after_each_change_all_is_as_a_clean_build_gives(site: Path, tmp_path: Path) -> None:
    assert run(site).kept == ""
    first = files(site / "out")
    again = run(site)
    pages = len(
        [n for n in first if n.startswith("web/") and n.endswith(".html") and not re.search("/(sheets|aloud)/", n) and n != "web/404.html"]
    )
    assert again.kept == f"{pages} of {pages} pages" and files(site / "out") == first
    kept: dict[str, int] = {}
    for name, change in BUILT.items():
        before = files(site / "out")
        change(site)
        kept[name] = int((run(site).kept or "0").split()[0])
        after = files(site / "out")
        assert after != before, name
        if kept[name]:  # else all is made anew, as by a clean build
            there = clean(site, tmp_path / "clean")
            assert sorted(after) == sorted(there), name
            assert [n for n in after if after[n] != there[n]] == [], name
    # a cell changes the pages it stands in, and those that count or show a picture; every page shows the edition
    assert pages > next(iter(kept.values())) >= pages - 5 and kept["a new edition"] == 0


def test_after_each_change_the_tree_is_as_one_that_is_rendered_anew(site: Path) -> None:
    store = Store.beside(site)
    assert store is not None
    made: dict[str, tuple[int, int]] = {}
    before = None
    for name, change in {"nothing": lambda _: None, **RENDERED}.items():
        change(site)
        content, read = load(site)
        kept = tree.render_tree(content, read, store=store, program="p")
        anew = tree.render_tree(content, read)
        assert kept.docs == anew.docs and list(kept.docs) == list(anew.docs), name
        assert (kept.mentor, kept.nav, kept.marking, kept.sheets, kept.notices) == (
            anew.mentor,
            anew.nav,
            anew.marking,
            anew.sheets,
            anew.notices,
        ), name
        assert kept.ledger.rows() == anew.ledger.rows(), name
        assert anew.docs != before or name == "a figure that no lesson uses", name
        before = anew.docs
        made[name] = kept.kept, kept.parts
    parts = made["nothing"][1]
    assert made["nothing"] == (0, parts) and parts == 3 + 1 + 2  # lessons, the reference chapter, two handfuls of cab cards
    assert made["a figure of another machine"] == (parts - 3, parts)  # two lessons work it out, and it has a card
    assert parts > made["a figure that no lesson uses"][0] >= parts - 2
    assert made["words of a lesson"] == (parts - 1, parts)


def test_what_all_parts_may_read_is_in_the_print_they_share(site: Path) -> None:
    seen: set[str] = set()
    for name, change in {"nothing": lambda _: None, **MADE_ANEW}.items():
        change(site)
        content, read = load(site)
        fixed = Sources(tree.taught(content, read), read, "p").fixed
        assert fixed not in seen, name
        seen.add(fixed)
    content, read = load(site)
    assert Sources(tree.taught(content, read), read, "p").fixed in seen
    assert Sources(tree.taught(content, read), read, "another program").fixed not in seen


def test_texts_found_sound_are_looked_at_again_once_anything_is_another(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = Store.beside(site)
    looked: list[str] = []
    check = content_of._Reading.check

    def noted(self: Any, lesson: Any, *rest: Any) -> None:
        looked.append(lesson.id)
        check(self, lesson, *rest)

    monkeypatch.setattr(content_of._Reading, "check", noted)

    def looked_at(program: str = "p") -> int:
        looked.clear()
        load(site, Keeping(store, program))
        return len(looked)

    assert looked_at() and not looked_at() and looked_at("another program")
    edit(site / "lessons/gate.md", "Look both ways", "Look all ways")
    assert looked_at() and not looked_at()
    (site / "glossary.yml").write_text("bench: A shelf cut into the ground.\n", "utf-8")
    assert looked_at() and not looked_at()
    edit(site / "lessons/gate.md", "Look all ways", "{{ term('no-such-word') }}")
    for _ in range(2):  # what is wrong is told by every build
        with pytest.raises(Problems, match="no-such-word"):
            load(site, Keeping(store, "p"))
    edit(site / "lessons/gate.md", "{{ term('no-such-word') }}", "Look all ways")
    assert not looked_at()
    edit(site / "questions/gate.yml", "  ask: Who", "  drawing: {scene: loading.no_such_scene}\n  describe: A gate.\n  ask: Who")
    for _ in range(2):
        with pytest.raises(Problems, match="no_such_scene"):
            load(site, Keeping(store, "p"))


def test_what_is_kept_may_go_be_damaged_or_be_somebody_elses(site: Path, shipped: Path) -> None:
    run(site)
    first = files(site / "out")
    kept = site / FOLDER
    for path in kept.iterdir():  # each says otherwise, in its own way
        raw = path.read_bytes()
        path.write_bytes(raw[:60] + bytes([raw[60] ^ 1]) + raw[61:] if len(raw) % 2 else raw[:-3])
    (kept / "foreign").write_bytes(b"seatwork kept 1\n" + bytes(64))
    assert run(site).kept == "" and files(site / "out") == first
    assert not [n for n in first if FOLDER in n]
    kept.rename(site / "elsewhere")
    kept.symlink_to(site / "elsewhere")
    assert Keeping.begun(site, shipped, fresh=False).store is None
    assert Keeping.begun(site, shipped, fresh=True).store is not None and kept.is_dir() and not kept.is_symlink()
    assert any((site / "elsewhere").iterdir())  # a link is taken away, never followed


def test_fresh_throws_away_what_is_kept(tmp_path: Path, shipped: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def keeping(*, fresh: bool) -> Store:
        made = Keeping.begun(tmp_path, shipped, fresh=fresh).store
        assert made is not None
        return made

    keeping(fresh=False).put("page", b"x")
    assert keeping(fresh=False).get("page") == b"x"
    assert keeping(fresh=True).get("page") is None
    keeping(fresh=False).put("page", b"x")
    monkeypatch.setenv(FRESH, "1")  # where the environment says so, nothing is kept either
    assert Keeping.begun(tmp_path, shipped, fresh=False).store is None and not (tmp_path / ".seatwork-kept").exists()


def test_a_program_or_text_written_meanwhile_keeps_nothing(site: Path, shipped: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    name = "sheets/tailgate.html"
    before = made_with(shipped)
    edit(shipped / name, "</body>", "<!-- other --></body>")
    assert made_with(shipped) != before
    keeping = Keeping.begun(site, shipped, fresh=False)
    assert keeping.store is not None
    keeping.store.put("page", b"x")
    keeping.still()
    assert keeping.store is not None
    edit(shipped / name, "<!-- other -->", "<!-- another -->")  # while it renders
    store = keeping.store
    keeping.still()
    assert keeping.store is None and store.get("page") is None
    monkeypatch.setattr(book_kept, "_SINCE", 0)  # the program's own files are newer than what runs
    assert made_with(shipped) is None and Keeping.begun(site, shipped, fresh=False).store is None


def test_a_program_file_put_in_its_place_with_an_older_day_keeps_nothing(
    tmp_path: Path, shipped: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A copy brings its day along, and what runs is what was there before it."""
    package = tmp_path / "program"
    package.mkdir()
    (package / "scene.py").write_text("DEEP = 10\n", "utf-8")
    (package / "scene.css").write_text("p {}\n", "utf-8")
    monkeypatch.setattr(book_kept, "_PACKAGE", package)
    newest = max(max(p.stat().st_mtime_ns, p.stat().st_ctime_ns) for p in package.iterdir())
    monkeypatch.setattr(book_kept, "_SINCE", newest + 1)
    before = made_with(shipped)
    (package / "__pycache__").mkdir()
    (package / "__pycache__" / "scene.pyc").write_bytes(b"")  # the program's own run writes these
    assert before is not None and made_with(shipped) == before
    for name in ("scene.py", "scene.css"):
        was = (package / name).stat()
        text = (package / name).read_text("utf-8")
        while (package / name).stat().st_ctime_ns <= newest:
            (package / name).write_text(text, "utf-8")
            os.utime(package / name, ns=(was.st_atime_ns, was.st_mtime_ns))
        assert made_with(shipped) is None, name
        newest = (package / name).stat().st_ctime_ns
        monkeypatch.setattr(book_kept, "_SINCE", newest + 1)
        assert made_with(shipped) == before


def test_an_edition_is_of_the_day_of_its_build_and_not_of_its_pages(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tries from before that day are held: a day long ago would let them count."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    first = _today()
    run(site)
    days = {first.isoformat(), _today().isoformat()}
    assert "SOURCE_DATE_EPOCH" not in os.environ
    edit(site / "settings.yml", "edition: ", "edition: next-")
    run(site)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1780272000")  # 1 June 2026
    edit(site / "settings.yml", "edition: next-", "edition: last-")
    run(site)
    assert os.environ["SOURCE_DATE_EPOCH"] == "1780272000"
    noted = [row[1] for row in csv.reader((site / DAYS).read_text("utf-8").splitlines())]
    assert len(noted) == 4 and set(noted[1:3]) <= days | {_today().isoformat()} and noted[3] == "2026-06-01"


def test_a_part_comes_back_as_it_was(site: Path) -> None:
    content, read = load(site)
    sources = Sources(tree.taught(content, read), read, "p")
    for job in (Job("lesson", "bench-height"), Job("lesson", "gate"), Job("cards", first=0, end=3), Job("reference")):
        part = tree.render_part((sources, None), job)
        back = unpacked(packed(part))
        assert packed(back) == packed(part)
        assert (back.tree.docs, back.tree.mentor, back.tree.notices, back.tree.sheets) == (
            part.tree.docs,
            part.tree.mentor,
            part.tree.notices,
            part.tree.sheets,
        )
        assert back.tree.ledger.rows() == part.tree.ledger.rows()
        assert (back.formulas, back.terms) == (part.formulas, part.terms)


def test_no_figure_that_a_part_did_not_note_changes_it(site: Path, tmp_path: Path) -> None:
    """Each cell of the tables is made another: a part that is then taken from before is the part made anew."""
    content, read = load(site)
    store = Store.beside(site)
    assert store is not None
    job = Job("lesson", "bench-height")
    sources = Sources(tree.taught(content, read), read, "p")
    part = tree.render_part((sources, store), job)
    shelf = KeptParts(store, sources)
    found = shelf.get(job)
    assert found is not None and packed(found) == packed(part)
    noted = {read for reads in shelf._lists(job) for read in reads}
    assert {n for n, _ in noted} >= {"machines 4", "limits", "questions"}
    assert not [n for n, _ in noted if n == "machines 0"], "a lesson about an excavator read a dozer's figures"
    other = Path(shutil.copytree(site, tmp_path / "other"))
    cell(other, "machines.csv", "D-1", "mass", "46000")
    content, read = load(other)
    sources = Sources(tree.taught(content, read), read, "p")
    kept = KeptParts(store, sources).get(job)
    assert kept is not None and packed(kept) == packed(tree.render_part((sources, None), job))
    cell(other, "machines.csv", "E-2", "stick_length", "10.5")
    content, read = load(other)
    assert KeptParts(store, Sources(tree.taught(content, read), read, "p")).get(job) is None
