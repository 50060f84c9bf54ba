"""The sentences of a lesson as they are heard, taken from its finished page: what a recording says.

``content/look/aloud.js`` reads the page in a browser by the same rules; a test holds the two to each other, sentence by
sentence. Figures are heard by the words in ``data-say``, which the build made from their values; tables, drawings and
workings are told by a few words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

from generator.language.words import current, tr
from generator.speech.say import voice_of
from generator.units.table import System


def _words() -> dict[str, str]:
    """What is said in the place of what no voice can say, in the language of now; as in aloud.js."""
    return {
        "table": tr("There is a table here."),
        "drawing": tr("There is a picture here."),
        "working": tr("The working stands on the page."),
        "figure": tr("the figure on the page"),
    }


_VOID = frozenset(["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"])
_SKIPPED = frozenset(
    ["script", "style", "template", "select", "input", "textarea", "noscript", "math", "svg", "seatwork-quiz", "seatwork-practice"]
)
_SKIPPED_CLASSES = frozenset(
    [
        "headerlink",
        "sw-note",
        "sw-strip",
        "sw-saying",
        "sw-steps-bar",
        "sw-pick",
        "sw-to-wall",
        "sw-panel",
        "sw-panel-box",
        "sw-aloud",
        "sw-next",
    ]
)
_BLOCKS = frozenset(
    [
        "p",
        "li",
        "ul",
        "ol",
        "dl",
        "dt",
        "dd",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "div",
        "section",
        "figure",
        "figcaption",
        "blockquote",
        "fieldset",
        "legend",
        "label",
        "details",
        "article",
    ]
)
_FIGURES = frozenset(["sw-num", "sq-figure"])
_LONGEST = 220
_CITED = re.compile(r"\b(\d+) (CFR|CCR) (\d+)(?:\.(\d+))?((?:\([A-Za-z0-9]+\))*)")
_SYMBOLS = re.compile(r"[×÷=→←°²³√±·•§|*_~^<>#+/]+")
_END = re.compile(r"[.!?…]+[\"”’')\]]*(?=\s|$)")
_INITIAL = re.compile(r"(?:^|\s)[A-ZÁÉÍÓÚÑÜ]\.$")
_SAYABLE = re.compile(r"[^\W_]")
_UNPLAIN = re.compile(r"[\d%°×÷=]")


@dataclass
class _Node:
    tag: str
    given: dict[str, str] = field(default_factory=dict)
    inside: list[_Node | str] = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        return frozenset(self.given.get("class", "").split())

    def text(self) -> str:
        return "".join(x if isinstance(x, str) else x.text() for x in self.inside)

    def find(self, tag: str) -> _Node | None:
        return next((n for n in self.all() if n.tag == tag), None)

    def all(self) -> Iterator[_Node]:
        for child in self.inside:
            if isinstance(child, _Node):
                yield child
                yield from child.all()


class _Tree(HTMLParser):
    """A page as a tree; tags that a browser closes by itself are closed by the next that ends."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = _Node("")
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        made = _Node(tag, {k: v or "" for k, v in attrs})
        self._open[-1].inside.append(made)
        if tag not in _VOID:
            self._open.append(made)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].inside.append(_Node(tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag: str) -> None:
        for at in range(len(self._open) - 1, 0, -1):
            if self._open[at].tag == tag:
                del self._open[at:]
                return

    def handle_data(self, data: str) -> None:
        self._open[-1].inside.append(data)


def speakable(text: str) -> str:
    """Text as a voice can say it: citations by letters and digits, and no symbols."""

    def cited(m: re.Match[str]) -> str:
        parts = (m[1], m[2], m[3], m[4] or "", *re.findall(r"[A-Za-z0-9]+", m[5]))
        return ", ".join(" ".join(p) for p in parts if p)

    text = _SYMBOLS.sub(" ", re.sub(r"\b911\b", "9 1 1", _CITED.sub(cited, text)))
    # a caution behind a figure ends with a comma, which the sentence may not need
    return re.sub(r"\s+", " ", re.sub(r",(?=[.,;:!?])", "", re.sub(r"\s+([.,;:!?])", r"\1", text))).strip()


def _ended(text: str) -> str:
    return text if text.endswith((".", "!", "?", ":")) else f"{text}."


class _Reading:
    def __init__(self, hidden: str) -> None:
        self.words, self.hidden = _words(), hidden
        self.counted = voice_of(current()) is not None
        self.out: list[str] = []
        self.run: list[tuple[str, bool]] = []  # text, and whether it is one that is never cut

    def walk(self, node: _Node) -> None:
        for child in node.inside:
            if isinstance(child, str):
                self.run.append((re.sub(r"\s", " ", child), False))
            else:
                self._one(child)

    def _one(self, node: _Node) -> None:
        classes = node.classes
        if "hidden" in node.given or self.hidden in classes:
            return
        if node.tag == "svg" and node.given.get("role") == "img":
            self._told("drawing", node.find("title"))
            return
        table = node.tag == "table" or "sw-scroll" in classes
        if (
            node.tag in _SKIPPED
            or classes & _SKIPPED_CLASSES
            or node.given.get("aria-hidden") == "true"
            or ("data-search-exclude" in node.given and not table)
        ):
            return
        if node.given.get("data-say"):
            self.run.append((node.given["data-say"], True))
        elif not self.counted and classes & _FIGURES and re.search(r"[0-9]", node.text()):
            self.run.append((self.words["figure"], True))
        elif table:
            self._told("table", node.find("caption"))
        elif node.tag == "details":
            self._told("working", None)
        elif node.tag == "br":
            self.run.append((" ", True))
        elif node.tag in _BLOCKS:
            self.flush()
            self.walk(node)
            self.flush()
        else:
            self.walk(node)

    def _told(self, what: str, title: _Node | None) -> None:
        """A few words in the place of what a voice cannot say, with its title where that is words alone."""
        self.flush()
        said = title.text().strip() if title is not None else ""
        self.out.append(self.words[what] + (f" {_ended(said)}" if said and not _UNPLAIN.search(said) else ""))

    def flush(self) -> None:
        run, self.run = self.run, []
        text = "".join(part for part, _ in run)
        if not _SAYABLE.search(text):
            return
        held, at = [], 0
        for part, whole in run:
            if whole:
                held.append((at, at + len(part)))
            at += len(part)
        for start, end in _cut(text, held):
            said = speakable(text[start:end])
            if _SAYABLE.search(said):
                self.out.append(said)


def _cut(text: str, held: list[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Where the sentences of a block begin and end; a long one is cut at its commas."""

    def inside(i: int) -> bool:
        return any(a < i < b for a, b in held)

    ends = [m.end() for m in _END.finditer(text) if not inside(m.start()) and not _INITIAL.search(text[: m.start() + 1])]
    if not ends or ends[-1] != len(text):
        ends.append(len(text))
    start = 0
    for end in ends:
        while end - start > _LONGEST:
            found = [
                m.end()
                for m in re.finditer(r"[,;:](?=\s)", text[start : start + _LONGEST])
                if m.start() > 40 and not inside(start + m.start())
            ]
            if not found:
                break
            yield start, start + found[-1]
            start += found[-1]
        yield start, end
        start = end


def sentences(page: str, system: System) -> list[str]:
    """What is heard of a lesson's page in one unit system, in the language of now, which is to be the page's."""
    tree = _Tree()
    tree.feed(page)
    article = tree.root.find("article") or tree.root
    reading = _Reading("si" if system == "us" else "us")
    reading.walk(article)
    reading.flush()
    return reading.out
