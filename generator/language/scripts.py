"""The strings of the scripts: found in them, kept in ``player.po``, and written out for a page's language.

``content/look/words.js`` says what scripts write: ``say("…", {…})``, ``sayIn``, ``sayHtml``, and ``sayMany("…", "…", n)``.
``python -m generator.language.scripts`` brings the ``player.po`` of each language up to date: what is translated stays,
what is new has an empty translation, and what no script says any more goes.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any

from generator.language.words import ENGLISH, Catalogue

NAME = "strings.js"  # in assets/: the translations of a page's scripts
HELPER = "words.js"  # of the look: what reads them
PROGRAM = Path(__file__).resolve().parent.parent
CONTENT = PROGRAM.parent / "content"
PLAYER = "player.po"
FOLDERS = ("content/look", "generator/publish/scripts", "generator/records/scripts", "generator/exchange/scripts")
_CALL = re.compile(r"(?<!\w)(say|sayIn|sayHtml|sayMany)\(\s*")
_LITERAL = re.compile(r"""'((?:[^'\\\n]|\\.)*)'|"((?:[^"\\\n]|\\.)*)\"""")
_ESCAPE = re.compile(r"\\(u[0-9a-fA-F]{4}|.)", re.DOTALL)
_NOTES = re.compile(r"""('(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`)|/\*.*?\*/|(?<![:\\\w/"'])//[^\n]*""", re.DOTALL)
_HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n"Language: {language}\\n"\n"Plural-Forms: {plural}\\n"\n\n'

Key = tuple[str, str]  # the English, and that of many, '' where there is none


class NoString(ValueError):
    """A call whose sentence is not written out in it, so that no catalogue could hold it."""


def _plain(literal: re.Match[str]) -> str:
    text = literal[1] if literal[1] is not None else literal[2]
    return _ESCAPE.sub(
        lambda m: chr(int(m[1][1:], 16)) if m[1][0] == "u" and len(m[1]) > 1 else {"n": "\n", "t": "\t"}.get(m[1], m[1]), text
    )


def _sentence(script: str, at: int, where: str) -> tuple[str, int]:
    """The sentence at a place, which may be put together of literals, and the place behind it."""
    out, found = "", _LITERAL.match(script, at)
    while found:
        out += _plain(found)
        at = found.end()
        more = re.compile(r"\s*\+\s*").match(script, at)
        found = _LITERAL.match(script, more.end()) if more else None
        if more and not found:
            out = ""
    if not out:
        line = script.count("\n", 0, at) + 1
        raise NoString(f"{where}:{line}: the sentence has to be written out in the call, its figures as {{name}}")
    return out, at


def strings_in(script: str, where: str = "") -> list[Key]:
    """The sentences that a script says, in their order. Raises NoString where one is not written out in its call."""
    script = _NOTES.sub(lambda m: m[1] or re.sub(r"[^\n]", " ", m[0]), script)  # a note may tell of a call
    keys: dict[Key, None] = {}
    for call in _CALL.finditer(script):
        if re.search(r"function\s+$", script[max(0, call.start() - 12) : call.start()]):
            continue  # where it is made
        one, at = _sentence(script, call.end(), where)
        many = ""
        if call[1] == "sayMany":
            comma = re.compile(r"\s*,\s*").match(script, at)
            many = _sentence(script, comma.end() if comma else at, where)[0]
        keys[one, many] = None
    return list(keys)


def script_files(content: Path = CONTENT) -> list[tuple[Path, str]]:
    """All scripts that may say something, with their names in a catalogue, in a steady order."""
    folders = [(content / "look" if name == FOLDERS[0] else PROGRAM.parent / name, name) for name in FOLDERS]
    return [(path, f"{name}/{path.name}") for folder, name in folders for path in sorted(folder.glob("*.js"))]


def all_strings(files: Iterable[tuple[Path, str]] | None = None) -> dict[Key, list[str]]:
    """The sentences of all scripts, each with the scripts that say it. Raises NoString."""
    found: dict[Key, list[str]] = {}
    for path, where in script_files() if files is None else files:
        for key in strings_in(path.read_text("utf-8"), where):
            found.setdefault(key, []).append(where)
    return found


def table(catalogue: Catalogue, content: Path) -> str:
    """The script that gives the pages of a language what their scripts say; '' for English. ``content`` is the shipped folder.

    A sentence without a translation is noted in the catalogue's ``missing`` and stays English.
    """
    if catalogue.language == ENGLISH:
        return ""
    texts: dict[str, str] = {}
    plurals: dict[str, list[str]] = {}
    for one, many in all_strings(script_files(content)):
        if many and one in catalogue.plurals:
            plurals[one] = list(catalogue.plurals[one])
        elif not many and one in catalogue.texts:
            texts[one] = catalogue.texts[one]
        else:
            catalogue.missing.add(one)
    data: dict[str, Any] = {"language": catalogue.language, "texts": texts, "plurals": plurals}
    forms = [catalogue.form(n) for n in range(200)]  # every rule goes by a number itself, or by its last two digits
    if forms != [int(n != 1) for n in range(200)]:
        data["forms"] = forms
    return f"window.seatworkStrings = {json.dumps(data, ensure_ascii=False, sort_keys=True)};\n"


# ---- the file for translators ----


def po_text(language: str, keys: Mapping[Key, list[str]], known: Mapping[Key, Any]) -> str:
    """``player.po`` as text, without lines of the scripts, so that it changes where a sentence does."""
    from babel.messages.catalog import Catalog
    from babel.messages.plurals import get_plural
    from babel.messages.pofile import write_po

    made = Catalog(locale=language)
    for (one, many), files in keys.items():
        old = known.get((one, many))
        made.add(
            (one, many) if many else one, old.string if old else None, locations=[(f, 1) for f in files],
            flags={f for f in old.flags if f == "fuzzy"} if old else (), user_comments=old.user_comments if old else (),
        )  # fmt: skip
    raw = BytesIO()
    write_po(raw, made, width=120, omit_header=True, include_lineno=False)
    return _HEAD.format(language=language, plural=get_plural(language)) + raw.getvalue().decode("utf-8")


def update(path: Path, language: str, keys: Mapping[Key, list[str]]) -> int:
    """Bring one ``player.po`` up to date; how many sentences have no translation."""
    from babel.messages.pofile import read_po

    known: dict[Key, Any] = {}
    if path.exists():
        with path.open("rb") as file:
            for message in read_po(file):
                if message.id:
                    one, many = message.id if isinstance(message.id, tuple | list) else (message.id, "")
                    known[str(one), str(many)] = message
    text = po_text(language, keys, known)
    if not path.exists() or path.read_text("utf-8") != text:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
    strings = (known[key].string if key in known else "" for key in keys)
    return sum(not all(s if isinstance(s, tuple | list) else [s]) for s in strings)


def main(wanted: list[str]) -> None:
    """Update the languages named, or all there are."""
    keys = all_strings()
    for language in wanted or sorted(p.parent.name for p in CONTENT.glob("*/words") if p.is_dir()):
        empty = update(CONTENT / language / "words" / PLAYER, language, keys)
        print(f"{language} {PLAYER}: {len(keys)} sentences, {empty} to translate")


if __name__ == "__main__":
    main(sys.argv[1:])
