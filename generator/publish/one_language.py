"""One language's share of a handbook in the stage of a build: its web folder, what mentors keep, its ledger.

The main language is written by the build itself. Each other one is a piece of work of its own, from reading its words to
its web folder, which can go on beside that.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass, replace
from html import escape
from pathlib import Path

from generator.book.content import content_folder, read_content
from generator.book.errors import told
from generator.book.likeness import Likeness
from generator.book.part import Tree
from generator.book.sound import Sound
from generator.book.tree import render_tree
from generator.jobsite.model import JobSite
from generator.jobsite.names import printed_in
from generator.language.words import tr, using
from generator.publish.compressed import write_compressed
from generator.publish.edition_folder import write_edition_folder
from generator.publish.kept import Keeping, Used
from generator.publish.languages import of_one_print, place_of, speech, switched
from generator.publish.offline import write_offline, write_page_script
from generator.publish.site import build_site, write_files, write_tree
from generator.quiz.printed import Printed
from generator.source.problem import Problem, Refusals


@dataclass(frozen=True)
class Rendered:
    """A language once it is rendered: what is wrong in it, and the prints of what must be alike in all."""

    problems: tuple[Problem, ...]
    alike: Mapping[str, str]


@dataclass(frozen=True)
class Written:
    """What was written of a language, and how much of it was kept."""

    pages: int
    sheets: tuple[Printed, ...]
    kept: Used

    def take_in(self, stage: Path, code: str) -> None:
        """Puts its web folder where it belongs, once that of the main language is there."""
        _apart(stage, code).rename(stage / "out" / "web" / code)


def footer(site: JobSite) -> str:
    """The line at the foot of every page."""
    edition = tr("Edition {edition}", edition=escape(site.settings.edition))
    return f"{edition}. {tr('Invented site.')}" if site.settings.invented else edition


def pages_of(tree: Tree) -> int:
    """How many pages and sheets a tree has."""
    return sum(1 for name in tree.docs if name.endswith((".md", ".html")))


def sound(keeping: Keeping | None) -> Sound | None:
    """What is known of texts that an earlier build found sound."""
    return Sound(keeping.store, keeping.program) if keeping is not None and keeping.store is not None else None


def other_language(
    code: str, site: JobSite, stage: Path, when: int, keeping: Keeping, progress: Callable[[str], None], *, whole: bool
) -> Generator[Rendered | Likeness, Mapping[str, str] | None, Written | None]:  # fmt: skip
    """All work on one language but the main one. First it says what it :class:`Rendered`.

    Sent None it tells its :class:`Likeness`; sent the prints of the main language's quizzes by lesson, it writes. If ``whole``
    its web folder is finished too. Raises what building the pages raises.
    """
    for begun in (_apart(stage, code), stage / "tree" / code):
        shutil.rmtree(begun, ignore_errors=True)  # by a copy that died
    keeping = replace(keeping, pages=0, pages_kept=0)
    shipped = content_folder()
    try:
        speaks, said = speech(code, shipped, site.folder), printed_in(site, code)
        with using(speaks):
            content = read_content(shipped, site.folder, sound(keeping), said.rules, language=code, main=site.settings.languages[0])
    except Refusals as e:
        yield Rendered(tuple(e.problems), {})
        return None
    with using(speaks):
        tree = render_tree(content, said, progress, store=keeping.store, program=keeping.program)
    keeping.still()
    figures = yield Rendered(tuple(told(tree.problems)), tree.alike)
    while figures is None:
        figures = yield Likeness.of(tree)
    tree = of_one_print(figures, tree)
    write_language(tree, site, code, stage, when, keeping)
    if whole:
        finish(_apart(stage, code), site, code, keeping)
    return Written(pages_of(tree), tuple(tree.sheets), keeping.used())


def write_language(tree: Tree, site: JobSite, code: str, stage: Path, when: int, keeping: Keeping) -> str:
    """Writes a tree's pages, what mentors keep and the ledger into the stage; the ledger's text. Raises SiteError."""
    codes, out = site.settings.languages, stage / "out"
    main = code == codes[0]
    with using(speech(code, content_folder(), site.folder)):
        name = printed_in(site, code).settings.name
        config = write_tree(switched(tree, code, codes), stage / "tree" / place_of(code, codes), name, footer(site))
        build_site(config, out / "web" if main else _apart(stage, code), when, keeping)
    write_files(tree.mentor, out / "mentor" / place_of(code, codes))
    ledger = tree.ledger.as_json(site.settings.edition, site.settings.key, site.settings.units)
    (out / ("ledger.json" if main else f"ledger-{code}.json")).write_text(ledger, "utf-8", newline="\n")
    return ledger


def finish(web: Path, site: JobSite, code: str, keeping: Keeping, *, recordings: bool = False) -> None:
    """What stands in a web folder by all its other files: the folder of the edition, the list that phones keep, the packed files."""
    write_page_script(web)
    write_edition_folder(web, (content_folder(), site.folder))
    codes = site.settings.languages
    apart = codes[1:] if code == codes[0] else ()
    write_offline(web, site.settings.key, site.settings.hand_in, apart, recordings=recordings)
    write_compressed(web, keeping.store, apart)


def _apart(stage: Path, code: str) -> Path:
    """Where the web folder of a language but the main one is written: the site builder empties the folder it builds into."""
    return stage / f"web-{code}"
