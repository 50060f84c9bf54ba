"""Catalogues read from ``.po`` files, with Babel."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from pathlib import Path

from generator.language.words import ENGLISH, Catalogue, is_code


class NoCatalogue(ValueError):
    """A file that holds no strings that can be read: its name, the line if known, what is wrong and what to do."""

    def __init__(self, file: str, line: int | None, what: str, fix: str) -> None:
        super().__init__(f"{file}{f':{line}' if line else ''}: {what}; {fix}")
        self.file, self.line, self.what, self.fix = file, line, what, fix


_PO_LINE = re.compile(r'(?:#.*|(?:msg(?:id|id_plural|ctxt|str)(?:\[\d+\])?[ \t]*)?"(?:[^"\\]|\\.)*")?')
_BLANK = re.compile(r"\{\w*\}")
_MARK = re.compile(r"<[^>]*>?")


def fits(english: tuple[str, ...], texts: tuple[str, ...]) -> bool:
    """Whether a translation has the marks of the English and no other blanks, so that it can stand in its place.

    The form of one may leave the number out.
    """
    blanks, marks = set(_BLANK.findall(english[-1])), sorted(_MARK.findall(english[0]))
    return all(
        sorted(_MARK.findall(text)) == marks and (set(_BLANK.findall(text)) | ({"{n}"} if len(english) > 1 else set())) == blanks | (
            {"{n}"} if len(english) > 1 else set()
        )
        for text in texts
    )  # fmt: skip


def messages_in(path: Path) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], bool]]:
    """All strings of a file: the English (of one, and of many), the translation, and whether it is marked as doubtful.

    Raises NoCatalogue where it is no such file.
    """
    from babel.messages.pofile import PoFileError, read_po

    named = "/".join(path.parts[-3:])
    try:
        for i, line in enumerate(path.read_text("utf-8-sig").split("\n"), 1):
            if not _PO_LINE.fullmatch(line.strip()):
                raise NoCatalogue(named, i, "this is no line of a .po file", "write msgstr and the words in quotes, on one line")
        with path.open("rb") as file:
            found = read_po(file, abort_invalid=True)
    except NoCatalogue:
        raise
    except (UnicodeDecodeError, LookupError, ValueError, PoFileError):
        raise NoCatalogue(named, None, "the file is no .po file in UTF-8", "save it as UTF-8 with a program for .po files") from None
    for message in found:
        if message.id:
            english = message.id if isinstance(message.id, tuple | list) else (message.id,)
            texts = message.string if isinstance(message.string, tuple | list) else (message.string,)
            yield tuple(map(str, english)), tuple(str(t or "") for t in texts), bool(message.fuzzy)


@lru_cache(maxsize=16)
def _read(path: Path, stamp: tuple[int, int]) -> tuple[dict[str, str], dict[str, tuple[str, ...]]]:
    """The strings of one file that have a translation which fits and nobody marked as doubtful."""
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for english, said, doubtful in messages_in(path):
        if doubtful or not all(said) or not fits(english, said):
            continue
        if len(english) > 1:
            plurals[english[0]] = said
        else:
            texts[english[0]] = said[0]
    return texts, plurals


def languages_in(folders: Iterable[Path]) -> tuple[str, ...]:
    """The codes of the languages that have words: English, and every folder of two small letters in one of these."""
    found = {path.name for folder in folders if folder.is_dir() for path in folder.iterdir() if path.is_dir()}
    return (ENGLISH, *sorted(code for code in found if is_code(code) and code != ENGLISH))


def catalogue(language: str, folders: Iterable[Path]) -> Catalogue:
    """The strings of a language: every ``.po`` file below ``FOLDER/LANGUAGE/words/`` of each folder, later ones counting first.

    English has no files and needs none. Raises NoCatalogue where a file is damaged.
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
