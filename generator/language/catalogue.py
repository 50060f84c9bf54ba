"""Catalogues read from ``.po`` files, with Babel."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from generator.language.words import ENGLISH, Catalogue, is_code


@lru_cache(maxsize=16)
def _read(path: Path, stamp: tuple[int, int]) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    """The strings of one file that have a translation which nobody marked as doubtful."""
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        found = read_po(file)
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for message in found:
        if not message.id or message.fuzzy:
            continue
        if isinstance(message.id, tuple | list):
            forms = message.string if isinstance(message.string, tuple | list) else (message.string,)
            if all(forms):
                plurals[message.id[0]] = tuple(map(str, forms))
        elif message.string:
            texts[message.id] = str(message.string)
    return texts, plurals


def languages_in(folders: Iterable[Path]) -> tuple[str, ...]:
    """The codes of the languages that have words: English, and every folder of two small letters in one of these."""
    found = {path.name for folder in folders if folder.is_dir() for path in folder.iterdir() if path.is_dir()}
    return (ENGLISH, *sorted(code for code in found if is_code(code) and code != ENGLISH))


def catalogue(language: str, folders: Iterable[Path]) -> Catalogue:
    """The strings of a language: every ``.po`` file below ``FOLDER/LANGUAGE/words/`` of each folder, later ones counting first.

    English has no files and needs none.
    """
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for folder in folders if language != ENGLISH else ():
        for path in sorted((folder / language / "words").glob("*.po")):
            at = path.stat()
            some, more = _read(path, (at.st_mtime_ns, at.st_size))
            texts.update(some)
            plurals.update(more)
    return Catalogue(language, texts, plurals)
