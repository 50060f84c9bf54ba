"""Two editions never mix: all that pages ask for lies in a folder named after its own bytes, ``e-`` and twelve hex digits.

A page asks for scripts, styles and data by that folder. A page of another edition, open since yesterday or out of a
browser's cache, then gets the files it was made with, where they are the same, or none at all: never some of another
edition. What does not come is told by a short script that stands in the page itself: while the page loads, it loads it
once more; later it says so. The folder is named by content, so that the same tables give the same name, and an edition
with the same files keeps it. It works from disk too, where nothing can be asked with a query.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from pathlib import Path

from generator.language.catalogue import catalogue
from generator.language.words import ENGLISH, Catalogue
from generator.publish.manifest import hashes

STAYS = ("offline-worker.js",)  # asked for by its place, and written after this
_FOLDER = r"e-[0-9a-f]{12}"
_IN_FOLDER = re.compile(rf"{_FOLDER}/")
_SEARCH = (b'"search/search_index.js"', b'"search/search_index.json"')  # as the theme's script asks for it
_BUNDLE = "assets/javascripts/bundle.*.js"

# let in by its hash; without what is there for the reader of the file alone
_SCRIPT = (Path(__file__).parent / "scripts/edition-guard.js").read_text("utf-8")
_GUARD = f"<script>{re.sub(r'(?m)^ +| // .*$', '', _SCRIPT.partition('*/')[2]).strip()}</script>"
_SAYS = re.compile(r'say\(("(?:[^"\\]|\\.)*")\)')
_ANY_GUARD = re.compile(r'"(?:[^"\\]|\\.)*"'.join(re.escape(part) for part in _SAYS.sub("\0", _GUARD).split("\0")).encode())
_LANGUAGE = re.compile(rb"<html[^>]*\blang=[\"']?([a-z]{2})\b", re.IGNORECASE)
_CHARSET = re.compile(rb"<meta charset=[\"']?utf-8[\"']?\s*/?>", re.IGNORECASE)


def guard(words: Catalogue) -> bytes:
    """The script that stands in a page, saying what it says in a language."""
    return _SAYS.sub(lambda m: json.dumps(words.texts.get(json.loads(m[1]), json.loads(m[1])), ensure_ascii=False), _GUARD).encode()


def plain_name(name: str) -> str:
    """A file's path without its edition's folder: the same in every edition."""
    return _IN_FOLDER.sub("", name, count=1) if _IN_FOLDER.match(name) else name


def folder_of(web: Path) -> Path:
    """The edition's folder of a built web folder; that itself where it has none.

    That of an older edition is there too where somebody put a file of their own into it: it is not the one pages ask for.
    """
    found = [p for p in sorted(web.glob("e-*")) if re.fullmatch(_FOLDER, p.name)]
    if len(found) > 1 and (web / "index.html").is_file():
        page = (web / "index.html").read_text("utf-8")
        found = [p for p in found if f'"{p.name}/' in page] or found
    return next(iter(found), web)


def plain_page(page: bytes) -> bytes:
    """A page as it was before :func:`write_edition_folder`: it asks for files by their plain names."""
    return re.sub(rb"(?<=[\"'])((?:\.\./)*)" + _FOLDER.encode() + b"/", rb"\1", _ANY_GUARD.sub(b"", page))


def plain_script(script: bytes) -> bytes:
    """The theme's script as it was before :func:`write_edition_folder`: it asks for the search by its plain name."""
    return re.sub(rb'"' + _FOLDER.encode() + rb"/(?=search/search_index)", b'"', script)


def write_edition_folder(web: Path, texts: Sequence[Path] = ()) -> str:
    """Move what pages ask for into the edition's folder, and have each page ask for it there; the folder's name.

    Moved is each top-level folder without a page in it. Files are made anew and never changed in place, so that a page
    may be another name of one that is kept elsewhere. Nothing is done twice. ``texts`` are the folders of translations.
    """
    tops = [p for p in sorted(web.iterdir()) if p.is_dir() and not re.fullmatch(_FOLDER, p.name) and not any(p.rglob("*.html"))]
    bundles = [p for top in tops if top.name == "assets" for p in web.glob(_BUNDLE)]
    if not all(all(mark in p.read_bytes() for mark in _SEARCH) for p in bundles):
        tops = [p for p in tops if p.name != "search"]  # the theme asks for it in a way this does not know
    found = {f"{top.name}/{name}": value for top in tops for name, value in hashes(top).items()}
    if not found:
        return ""
    made = hashlib.sha256("".join(f"{value}  {name}\n" for name, value in sorted(found.items())).encode()).hexdigest()[:12]
    folder = web / f"e-{made}"
    folder.mkdir()
    for top in tops:
        top.rename(folder / top.name)
    if any(top.name == "search" for top in tops):
        for path in folder.glob(_BUNDLE):
            text = path.read_bytes()
            for mark in _SEARCH:
                text = text.replace(mark, mark.replace(b'"', f'"{folder.name}/'.encode(), 1))
            _anew(path, text)
    names = {name.encode() for name in found}
    inside = rb"((?:" + b"|".join(re.escape(t.name.encode()) for t in tops) + rb")/[^\"?#\s<>]+)"
    here = folder.name.encode()
    guards: dict[str, bytes] = {}
    for path in sorted(web.rglob("*.html")):
        up = b"../" * (len(path.relative_to(web).parts) - 1)
        asked = re.compile(b'"' + re.escape(up) + inside)  # it begins with plain bytes, which are found quickly

        def there(m: re.Match[bytes], up: bytes = up) -> bytes:
            return b'"' + up + here + b"/" + m[1] if m[1] in names else m[0]

        before = path.read_bytes()
        page = asked.sub(there, before)
        if page != before:
            head = _CHARSET.search(page)
            at = head.end() if head else page.find(b"<head>") + len(b"<head>")
            said = _LANGUAGE.search(page)
            language = said[1].decode().lower() if said else ENGLISH
            if language not in guards:
                guards[language] = guard(catalogue(language, texts))
            _anew(path, page[:at] + guards[language] + page[at:])
    return folder.name


def _anew(path: Path, data: bytes) -> None:
    """Write a file that may have another name elsewhere, which keeps its bytes."""
    path.unlink()
    path.write_bytes(data)
