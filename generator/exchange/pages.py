"""The handbook's pages as a package holds them: a lesson without the ways out of it.

A learning system shows a unit in a frame and counts it until it is left, so what leads to pages that
are not in the package is taken out, and what leads to those that are opens beside the unit. The page
is read with the standard library's reader and cut at the places it names: all else stays as it was.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape
from html.parser import HTMLParser
from posixpath import dirname, join, normpath
from urllib.parse import unquote, urlsplit

QUIZ = "assets/quiz.js"
# scripts that serve the whole handbook: search, what comes next in it, reading without a signal, handing in
LEFT_OUT = ("assets/vendor/iframe-worker.js", "assets/search-words.js", "assets/roles.js", "assets/progress.js", "assets/practice.js",
            "assets/offline.js", "assets/outbox.js", "assets/hand-in.js")  # fmt: skip
# a page opened from a link, beside its unit: nothing of it is reported
READ = "?read=1"

_VOID = frozenset(["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"])
_DROPPED_CLASSES = frozenset({"md-sidebar", "md-search", "md-path", "md-footer__inner", "md-logo", "md-overlay"})
_DROPPED_LABELS = frozenset({"__search", "__drawer"})
_URL = re.compile(r"""url\(\s*["']?([^"')]+)""")


def target_of(page: str, link: str) -> str | None:
    """The file of the web folder that a link of a page leads to; None for an anchor, data or another host."""
    parts = urlsplit(link)
    if parts.scheme or parts.netloc or not parts.path:
        return None
    return normpath(join(dirname(page), unquote(parts.path)))


def style_files(name: str, text: str) -> list[str]:
    """The files a style sheet asks for."""
    return [found for link in _URL.findall(text) if (found := target_of(name, link)) is not None]


@dataclass
class Page:
    """A page for a package: its ``text``, the ``files`` it loads, the pages it links to, and whether it has a quiz."""

    text: str = ""
    files: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    quiz: bool = False


def packaged(name: str, html: str, holds: Collection[str], unit: Callable[[str], str] | None = None, foot: str = "") -> Page:
    """A page of the web folder as the package with the pages ``holds`` has it.

    ``unit`` gives the scripts of a unit for the way back to the package's root, in place of the quiz's
    script, which they load when they know the learner. ``foot`` is put at the end of the lesson.
    """
    return _read(name, html, unit, foot).page(holds)


@lru_cache(maxsize=128)
def _read(name: str, html: str, unit: Callable[[str], str] | None, foot: str) -> _Reader:
    """A page read once for all the packages it goes into: reading takes most of the time of a package."""
    reader = _Reader(name, html, unit, foot)
    reader.feed(html)
    reader.close()
    return reader


@dataclass(slots=True)
class _Anchor:
    """A link: where its two tags stand, the file it leads to, or None where that is on another host."""

    start: int
    text: str
    link: str
    target: str | None
    named: bool  # whether it names the window it opens in
    end: tuple[int, int] | None = None


class _Reader(HTMLParser):
    def __init__(self, name: str, html: str, unit: Callable[[str], str] | None, foot: str) -> None:
        super().__init__(convert_charrefs=False)
        self.name, self.html, self.unit, self.foot = name, html, unit, foot
        self.root = "../" * name.count("/")
        self.starts = [0]
        for line in html.split("\n"):
            self.starts.append(self.starts[-1] + len(line) + 1)
        self.edits: list[tuple[int, int, str]] = []
        self.dropping: tuple[str, int, int] | None = None  # the tag, where it began, how many of its kind are open
        self.anchors: list[_Anchor] = []
        self.open: list[_Anchor | None] = []  # of each link that is open, None for one within the page
        self.files: list[str] = []
        self.quiz = False

    def page(self, holds: Collection[str]) -> Page:
        """The page as a package with these pages has it."""
        made = Page("", list(self.files), [], self.quiz)
        edits = [*self.edits, *(edit for anchor in self.anchors for edit in self.linked(anchor, holds, made))]
        out, at = [], 0
        for start, end, text in sorted(edits):
            out += [self.html[at:start], text]
            at = end
        made.text = "".join((*out, self.html[at:]))
        return made

    def linked(self, anchor: _Anchor, holds: Collection[str], made: Page) -> list[tuple[int, int, str]]:
        """What becomes of a link's tags: one that leads out of the package is words alone, the others open beside it."""
        start, end = anchor.start, anchor.start + len(anchor.text)
        if anchor.target is None or anchor.target not in holds:
            mark = "<span>" if anchor.target is None else '<span class="su-away">'
            return [(start, end, mark), *([(*anchor.end, "</span>")] if anchor.end else [])]
        made.links.append(anchor.target)
        text = anchor.text
        if anchor.target.startswith("lessons/"):
            read = urlsplit(anchor.link)._replace(query=READ[1:]).geturl()
            text = text.replace(f'"{anchor.link}"', f'"{read}"', 1)
        if not anchor.named:
            text = text[:-1].rstrip("/") + ' target="_blank" rel="noopener">'
        return [(start, end, text)]

    def here(self) -> int:
        line, column = self.getpos()
        return self.starts[line - 1] + column

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.start(tag, dict(attrs), closed=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.start(tag, dict(attrs), closed=tag in _VOID)

    def start(self, tag: str, attrs: dict[str, str | None], *, closed: bool) -> None:
        at = self.here()
        text = self.get_starttag_text() or ""
        if self.dropping is not None:
            if tag == self.dropping[0] and not closed:
                self.dropping = (tag, self.dropping[1], self.dropping[2] + 1)
            return
        if self.dropped(tag, attrs):
            if closed:
                self.edits.append((at, at + len(text), ""))
            else:
                self.dropping = (tag, at, 1)
            return
        if tag == "a" and not closed:
            self.anchor(attrs, at, text)
        elif tag == "script" and attrs.get("src"):
            self.script(attrs["src"] or "", at)
        elif tag == "seatwork-quiz":
            self.quiz = True
        for key in ("src", "href", "data-src"):
            if tag != "a" and attrs.get(key) and self.dropping is None:
                found = target_of(self.name, attrs[key] or "")
                if found is not None:
                    self.files.append(found)

    def dropped(self, tag: str, attrs: dict[str, str | None]) -> bool:
        if _DROPPED_CLASSES & set((attrs.get("class") or "").split()):
            return True
        if tag == "label" and attrs.get("for") in _DROPPED_LABELS:
            return True
        if tag == "link" and attrs.get("rel") in {"prev", "next", "canonical"}:
            return True
        return tag == "script" and target_of(self.name, attrs.get("src") or "") in LEFT_OUT

    def script(self, src: str, at: int) -> None:
        if self.unit is not None and target_of(self.name, src) == QUIZ:
            self.files.append(QUIZ)
            self.edits.append((at, at, self.unit(self.root).replace("QUIZ", escape(src))))
            self.dropping = ("script", at, 1)

    def anchor(self, attrs: dict[str, str | None], at: int, text: str) -> None:
        link = attrs.get("href") or ""
        found = target_of(self.name, link)
        away = bool(urlsplit(link).scheme or urlsplit(link).netloc)
        if not away and (found is None or found == self.name):
            self.open.append(None)
            return
        self.anchors.append(_Anchor(at, text, link, None if away else found, "target" in attrs))
        self.open.append(self.anchors[-1])

    def handle_endtag(self, tag: str) -> None:
        at = self.here()
        end = self.html.index(">", at) + 1
        if self.dropping is not None:
            kind, begun, deep = self.dropping
            if tag == kind:
                self.dropping = (kind, begun, deep - 1) if deep > 1 else None
                if self.dropping is None:
                    self.edits.append((begun, end, ""))
            return
        if tag == "a" and self.open:
            anchor = self.open.pop()
            if anchor is not None:
                anchor.end = (at, end)
        elif tag == "article" and self.foot:
            self.edits.append((at, at, self.foot.replace("ROOT/", self.root)))
