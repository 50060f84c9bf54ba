"""The preview makes only what a save changed, and what it serves is what a whole build gives."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from generator.book import tree
from generator.book.cache import PartCache
from generator.book.parallel import WORKERS, Job
from generator.book.part import Part, Tree
from generator.publish.build import render
from generator.publish.preview import Preview
from tests.book.places import added, put, small
from tests.conftest import ROOT

ADDRESS = "http://127.0.0.1:1/"
LESSON = "lessons/gate.md"


@pytest.fixture(autouse=True)
def _one_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file() and p.suffix != ".gz"}


def whole(site: Path, place: Path) -> dict[str, bytes]:
    """What a preview that knows of no earlier one serves."""
    fresh = Preview(site, place, ADDRESS)
    fresh.rebuild()
    return files(fresh.root)


def edited(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_what_a_save_changes_is_made_anew_and_all_is_as_a_whole_build_gives(tmp_path: Path) -> None:
    site = added(small(tmp_path / "site", "gate", "stop-work"), "gate")
    preview = Preview(site, tmp_path / "preview", ADDRESS)
    preview.rebuild()
    before, built = files(preview.root), preview._site
    assert b"Look both ways" in before["lessons/gate.html"]

    # nothing changed: nothing is written
    preview.rebuild()
    assert preview._site is built and files(preview.root) == before

    # a lesson's words
    edited(site / LESSON, "Look both ways", "Look all ways, {{ n('bench') }} is deep")
    preview.rebuild()
    after = files(preview.root)
    assert preview._site is built, "the whole site was built for one lesson"
    assert b"Look all ways" in after["lessons/gate.html"]
    assert {"lessons/gate.html", "search/search_index.json"} <= {n for n in after if after[n] != before[n]}
    assert after["lessons/stop-work.html"] == before["lessons/stop-work.html"]

    # a figure of a table: every page that shows it, and the sheets
    edited(site / "machines.csv", "45000", "46000")
    preview.rebuild()
    assert preview._site is built
    assert files(preview.root) == whole(site, tmp_path / "whole")

    # a title stands in the navigation of every page
    edited(site / LESSON, "title: Keep the yard gate shut", "title: Shut the gate behind you")
    preview.rebuild()
    after = files(preview.root)
    assert b"Shut the gate behind you" in after["lessons/stop-work.html"]
    assert b"Keep the yard gate shut" not in after["lessons/stop-work.html"]


def test_a_save_renders_only_the_parts_that_rest_on_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(WORKERS, "1")
    content = Path(shutil.copytree(ROOT / "content", tmp_path / "content"))
    monkeypatch.setattr("generator.publish.build.content_folder", lambda: content)
    made: list[str] = []
    render_part = tree.render_part

    def noted(shared: Any, job: Job) -> Part:
        made.append(job.name or job.what)
        return render_part(shared, job)

    monkeypatch.setattr(tree, "render_part", noted)
    site = added(small(tmp_path / "site", "gate", "stop-work"), "gate")
    kept = PartCache()

    def again() -> Tree:
        made.clear()
        return render(site, lambda _: None, kept)[0]

    again()
    everything = sorted(made)
    assert {"gate", "stop-work", "cards", "reference"} == set(everything)
    first = again()
    assert made == []
    edited(site / LESSON, "Look both ways", "Look all ways")
    assert "Look all ways" in again().docs[LESSON] and made == ["gate"]
    edited(site / "questions/gate.yml", "Somebody must.", "Somebody has to.")
    assert "Somebody has to." in again().docs[LESSON] and made == ["gate"]

    # what all parts share
    edited(content / "sheets" / "tailgate.html", "</body>", "<p>Also this.</p></body>")
    assert "Also this." in again().docs["sheets/gate.html"] and sorted(made) == everything
    edited(content / "library-checks.yml", "grade.angle:", "grade.angle:\n- {library: a new one, what: all of it}")
    assert "a new one" in again().docs["reference/grade.md"]
    edited(site / "machines.csv", "45000", "46000")
    assert again().docs != first.docs and sorted(made) == everything
    put(site, {"allowed-figures.yml": "- {text: channel 4, reason: the radio}\n"})
    again()
    assert sorted(made) == everything


def test_a_mistake_stands_on_every_page_until_it_is_mended(tmp_path: Path) -> None:
    site = added(small(tmp_path / "site", "gate"), "gate")
    good = (site / LESSON).read_text("utf-8")
    edited(site / LESSON, "{{ why() }}", "{{ wyh() }}")
    preview = Preview(site, tmp_path / "preview", ADDRESS)
    preview.rebuild()  # from the first moment
    assert "no call is named" in (preview.root / "lessons/gate.html").read_text("utf-8")
    (site / LESSON).write_text(good, "utf-8")
    preview.rebuild()
    mended = files(preview.root)
    assert b"Keep the yard gate shut" in mended["lessons/gate.html"]

    edited(site / LESSON, "{{ why() }}", "{{ wyh() }}<b>")
    preview.rebuild()
    for page in ("index.html", "lessons/gate.html", "sheets/gate.html", "glossary.html"):
        said = (preview.root / page).read_text("utf-8")
        assert "Not built" in said and "lessons/gate.md:" in said and "no call is named" in said
        assert "</body>" in said  # where the server puts the script that loads the page again
    (site / LESSON).write_text(good, "utf-8")
    preview.rebuild()
    assert files(preview.root) == mended
