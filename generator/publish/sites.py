"""Handbooks of several sites in one folder to publish, with a page to pick one.

``DIR/web`` holds ``index.html`` and a folder for each site by its key, a copy of what that site publishes.
``DIR/headers`` and ``DIR/files.sha256`` are as those of a single handbook; where a site hands in, its server files there bear
its key. ``DIR/sites.json`` says what is in it.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from generator.book.content import content_folder
from generator.jobsite.shared import said_in, shared_of
from generator.language.catalogue import catalogue
from generator.language.words import ENGLISH, current, ntr, tr, using
from generator.publish.carry import carry, refuse_changed
from generator.publish.compressed import write_packed
from generator.publish.hand_in import write_server_files
from generator.publish.headers import write_headers
from generator.publish.manifest import read_manifest, write_manifest
from generator.publish.offline import hand_in_of
from generator.publish.swap import pend, staging, stuck, swap
from generator.source.jsontext import NotAsWritten, load_json, part, whole
from generator.source.problem import Refusal

INDEX, LOOK, NOTED = "index.html", "sites.css", "sites.json"
_LANGUAGE = re.compile(r'<html[^>]* lang="([a-z-]+)"')
_TITLE = re.compile(r"<title>(.*?)</title>", re.DOTALL)


class WrongSites(Refusal):
    """Sites that cannot be put together, or a folder they cannot be put into."""

    code = "sites"


@dataclass(frozen=True, slots=True)
class Handbook:
    """A handbook as it is published: what the page to pick one says of it. ``of`` is its site's folder."""

    key: str
    name: str
    edition: str
    lessons: int
    invented: bool
    of: str


def refuse_alike(folders: Sequence[Path]) -> None:
    """Sites are told apart by their keys, in one folder to publish and on every phone. Raises WrongSites."""
    seen: dict[Path, Path] = {}
    keys: dict[str, Path] = {}
    for folder in folders:
        first = seen.setdefault(folder.resolve(), folder)
        if first is not folder:
            raise WrongSites("the folder is named twice", "name each site once", file=str(folder))
        said = said_in(folder, "site", "key")
        if said is None:
            continue  # its own build tells what is wrong
        key, line = said
        other = keys.setdefault(key.casefold(), folder)
        if other is not folder:
            raise WrongSites(f"the key '{key[:40]}' is that of {other} too", "give each site a key of its own, as phones and records tell sites by it",
                             file=str(folder / "settings.yml"), line=line)  # fmt: skip
        if key.casefold() in {INDEX, LOOK}:
            raise WrongSites(f"'{key}' is the name of a file beside the sites' handbooks", "give the site another key",
                             file=str(folder / "settings.yml"), line=line)  # fmt: skip


def refuse_place(place: Path, folders: Sequence[Path]) -> None:
    """A folder for the handbooks goes only where nothing can be lost. Raises WrongSites, InTheWay or OSError."""

    def no(what: str, fix: str) -> WrongSites:
        return WrongSites(what, fix, file=str(place))

    real = place.resolve()
    if place.is_symlink():
        raise no("is a link, and a build would put a folder in its place", "name the folder itself")
    if place.exists() and not place.is_dir():
        raise no("is no folder, and a build would put one in its place", "name another")
    if os.path.ismount(place):
        raise stuck(place)
    for folder in folders:
        shared = shared_of(folder.resolve())
        for other, what in ((folder, "the site"), (shared.folder if shared is not None else None, "what is shared,")):
            if other is not None and real.is_relative_to(other.resolve()):
                raise no(f"lies in {what} {other}", "name a folder outside of it")
            if other is not None and other.resolve().is_relative_to(real):
                raise no(f"holds {what} {other}, and a build replaces it", "name a folder for the handbooks alone")
    inside = next((p for p in real.parents if (p / "settings.yml").is_file()), None)
    if inside is not None:
        raise no(f"lies in the site {inside.name}", "name a folder outside of it")
    if place.is_dir() and any(place.iterdir()) and f"web/{INDEX}" not in (read_manifest(place) or {}):
        raise no("is there already and not empty", "name a new folder for the handbooks")
    refuse_changed(place)


def published(folder: Path, failed: bool, before: Mapping[str, Handbook], place: Path) -> tuple[Handbook, Path] | None:
    """A site's handbook and its web folder; of one that could not be built its last, None where there is none."""
    web = folder / "out" / "web"
    of = os.path.relpath(folder.resolve(), place.resolve()).replace(os.sep, "/")
    if (web / INDEX).is_file():
        noted = load_json(folder / "out" / "ledger.json")
        page = (web / INDEX).read_text("utf-8")
        title, edition = _TITLE.search(page), str(part(noted, "edition", str))
        return Handbook(
            str(part(noted, "site", str)), html.unescape(title[1]).strip() if title else folder.name, edition,
            sum(1 for _ in (web / "lessons").glob("*.html")), _is_invented(page, html.escape(edition)), of,
        ), web  # fmt: skip
    last = next((b for b in before.values() if b.of == of), None)
    if failed and last is not None and (place / "web" / last.key / INDEX).is_file():
        return last, place / "web" / last.key
    return None


def _is_invented(page: str, edition: str) -> bool:
    """Whether a handbook's first page says that its site is invented, in the language it is in."""
    spoken = _LANGUAGE.search(page)
    with using(catalogue(spoken[1] if spoken else ENGLISH, [content_folder()])):
        return f"{tr('Edition {edition}', edition=edition)}. {tr('Invented site.')}" in page


def write_sites(place: Path, folders: Sequence[Path], failed: Sequence[Path]) -> list[Handbook]:
    """Put the handbooks of ``folders`` together in ``place``; what was there stays until the new one is whole. The handbooks.

    Of the sites of ``failed``, which could not be built, the last handbook stays. Raises WrongSites, InTheWay, Stuck, swap.Busy
    or OSError.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    with staging(place.parent.resolve(), place.name) as stage:
        new = stage / "out"
        before = _noted(place)
        found = [one for folder in folders if (one := _published(folder, folder in failed, before, place)) is not None]
        keys: dict[str, Handbook] = {}
        for book, _ in found:
            first = keys.setdefault(book.key.casefold(), book)
            if first is not book:
                raise WrongSites(f"the handbooks of {first.of} and {book.of} have one key, {book.key}",
                                 "build both after giving each site a key of its own", file=str(place))  # fmt: skip
        if not found:
            return []
        (new / "web").mkdir(parents=True)
        for book, web in found:
            shutil.copytree(web, new / "web" / book.key, symlinks=True)
        books = [book for book, _ in found]
        (new / "web" / INDEX).write_text(index_page(books), "utf-8", newline="\n")
        shutil.copyfile(Path(__file__).parent / LOOK, new / "web" / LOOK)
        for name in (INDEX, LOOK):
            write_packed(new / "web" / name)
        (new / NOTED).write_text(json.dumps([asdict(b) for b in books], ensure_ascii=False, indent=1) + "\n", "utf-8", newline="\n")
        write_headers(new / "web", new / "headers")
        taken: dict[str, str] = {}
        for book in books:
            path = hand_in_of(new / "web" / book.key)
            first_key = taken.setdefault(path, book.key) if path is not None else book.key
            if first_key != book.key:
                raise WrongSites(f"{first_key} and {book.key} both hand in at {path}", "give each a hand_in of its own in its settings.yml: "
                                 "a result counts for its own site alone", file=str(place))  # fmt: skip
            write_server_files(new / "headers", path, book.key)
        write_manifest(new, ())
        carry(place, new, (), ())
        pend(stage, new, ())
        swap(new, place)
    return books


def _published(folder: Path, failed: bool, before: Mapping[str, Handbook], place: Path) -> tuple[Handbook, Path] | None:
    try:
        return published(folder, failed, before, place)
    except NotAsWritten as e:
        raise WrongSites(e.what, "build the site again", file=str(folder / "out" / "ledger.json")) from None


def _noted(place: Path) -> dict[str, Handbook]:
    """What the last time put together, by key."""
    try:
        rows = [whole(row, dict) for row in whole(load_json(place / NOTED), list)]
        return {
            str(row["key"]): Handbook(
                part(row, "key", str), part(row, "name", str), part(row, "edition", str), part(row, "lessons", int), part(row, "invented", bool),
                part(row, "of", str),
            )
            for row in rows
        }  # fmt: skip
    except (NotAsWritten, OSError, KeyError):
        return {}


_PAGE = """\
<!doctype html>
<html lang="{language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<link rel="icon" href="data:,">
<title>{title}</title>
<link rel="stylesheet" href="{look}">
</head>
<body>
<header><p>{title}</p></header>
<main>
<h1>{pick}</h1>
<p>{open}</p>
<ul>
{rows}
</ul>
<p>{counts}</p>
</main>
</body>
</html>
"""
_ROW = """\
<li><a href="{key}/index.html"><strong><bdi>{name}</bdi></strong> <span>{about}</span></a></li>"""


def index_page(books: Sequence[Handbook]) -> str:
    """The page to pick a site's handbook, with no name of anybody in it."""
    rows = [
        _ROW.format(
            key=html.escape(b.key), name=html.escape(b.name), about=_about(b),
        )
        for b in books
    ]  # fmt: skip
    return _PAGE.format(
        look=LOOK, rows="\n".join(rows), language=current(), title=tr("Training handbooks"), pick=tr("Pick your site"),
        open=tr("Open the handbook of the site where you work. Machines, ground and limits differ from site to site, and so do the numbers."),
        counts=tr("Each site counts its own quizzes. What you pass at one does not count at another."),
    )  # fmt: skip


def _about(book: Handbook) -> str:
    """What the page says of a site's handbook."""
    lessons = ntr("{n} lesson", "{n} lessons", book.lessons)
    edition = html.escape(book.edition)
    if book.invented:
        return tr("Edition {edition}, {lessons}. Invented site", edition=edition, lessons=lessons)
    return tr("Edition {edition}, {lessons}", edition=edition, lessons=lessons)
