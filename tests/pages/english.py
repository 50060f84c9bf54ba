"""English that was left in a page of another language: what a reader sees or hears of it, text by text."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from typing import Any

from tests.english_words import ENGLISH_WORDS, INCHES

_WORD = re.compile(r"(?<![\w-])[^\W\d_]+(?![\w-])")  # a whole word, no part of an id
SPOKEN = ("title", "aria-label", "alt", "placeholder", "data-head", "data-say", "content", "aria-roledescription", "aria-description")
_SILENT = frozenset({"style", "noscript", "code", "kbd"})
_VOID = frozenset({"br", "hr", "img", "input", "meta", "link", "wbr", "path", "rect", "circle", "use", "line", "polygon", "polyline"})
_META = frozenset({"description", "author"})


class _Texts(HTMLParser):
    """Texts of a page, but for those within an element that says it is in English."""

    def __init__(self, english: str) -> None:
        super().__init__(convert_charrefs=True)
        self.english = english
        self.texts: list[str] = []
        self.open: list[tuple[str, bool, str]] = []  # tag, left out, kind of a script

    @property
    def left_out(self) -> bool:
        return bool(self.open) and self.open[-1][1]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        have = {k: v or "" for k, v in attrs}
        out = self.left_out or tag in _SILENT or have.get("lang") == self.english
        kind = have.get("type", "") if tag == "script" else ""
        if tag == "script" and kind != "application/json":
            out = True
        if not out:
            self.texts += [v for k, v in have.items() if k in SPOKEN and not (tag == "meta" and have.get("name") not in _META)]
            if tag == "input" and have.get("type") in {"button", "submit"}:
                self.texts.append(have.get("value", ""))
        if tag not in _VOID:
            self.open.append((tag, out, kind))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        for i in range(len(self.open) - 1, -1, -1):
            if self.open[i][0] == tag:
                del self.open[i:]
                return

    def handle_data(self, data: str) -> None:
        if self.left_out:
            return
        if self.open and self.open[-1][2]:
            self.texts += [t for t in strings(json.loads(data)) if " " in t]  # one word by itself is an id
        elif data.strip():
            self.texts.append(data)


def strings(value: Any) -> Iterator[str]:
    """The texts in what JSON holds, its keys left out; a text that is HTML is read as such."""
    if isinstance(value, str):
        if "<" in value and ">" in value:
            yield from texts(value)
        else:
            yield value
    elif isinstance(value, dict):
        for v in value.values():
            yield from strings(v)
    elif isinstance(value, list):
        for v in value:
            yield from strings(v)


def texts(page: str, english: str = "en") -> list[str]:
    """What a reader of a page sees or hears, text by text, without what says that it is in English."""
    reader = _Texts(english)
    reader.feed(page)
    reader.close()
    return [" ".join(t.split()) for t in reader.texts if t.strip()]


def english_in(found: list[str], allowed: Iterable[str] = ()) -> Iterator[str]:
    """Those of the texts that hold a word of English, once each, after the allowed texts are taken out of them."""
    for text in dict.fromkeys(found):
        bare = INCHES.sub(" ", text)
        for some in allowed:
            bare = bare.replace(some, " ")
        if any(w.casefold() in ENGLISH_WORDS for w in _WORD.findall(bare)):
            yield text
