"""Reading grade of the lessons: school years a reader needs, by the Flesch-Kincaid formula.

Syllables are counted by syllapy, from a list of words and by rule for words it does not hold. Only
prose is measured: what stands in drawings, tables, workings, pop-ups and formulas is left out,
and a printed figure with its unit counts as two short words, as it is read aloud.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html.parser import HTMLParser

HARDEST = 8.0  # a lesson should read no harder than this school grade
_LEFT_OUT_TAGS = frozenset({"svg", "table", "math", "style", "script", "figcaption", "output", "legend", "h1", "h2", "h3"})
_LEFT_OUT_CLASSES = frozenset(
    {"si", "sw-bar", "sw-working", "sw-panel-box", "sw-pop", "sw-source", "sw-legend", "sw-filter", "sq-tolerance", "sq-answer", "sq-must"}
)  # fmt: skip
_FIGURES = frozenset({"sw-num", "sq-figure"})
_BLOCKS = frozenset({"p", "div", "li", "ol", "ul", "section", "fieldset", "h1", "h2", "h3", "dt", "dd", "seatwork-quiz", "form", "figure"})
_VOID = frozenset({"br", "hr", "img", "input", "meta", "link", "wbr"})
_FRONT = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)
_ITEM = re.compile(r"^\s*(?:\d+\.|[-*+])\s+", re.MULTILINE)
_HEADING = re.compile(r"^#{1,6}\s.*$", re.MULTILINE)
_FIGURE = re.compile(r"\d+(?:[.,/:]\d+)*")
_BULK = re.compile(r"<(svg|script|math)\b.*?</\1>", re.DOTALL)  # left out anyway, and most of a page
_WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*")
_STOP = re.compile(r"[.!?]+(?=\s|$)|\n+")
_MARK = "\n\n"


@dataclass(frozen=True)
class Grade:
    """Reading grade of one lesson's text and of its questions, school years."""

    lesson: str
    text: float
    questions: float
    hardest: str  # the sentence to mend first, if the lesson is too hard

    @property
    def worst(self) -> float:
        """The harder of the two."""
        return max(self.text, self.questions)


class _Prose(HTMLParser):
    """Text of a page without what is no prose; quiz text apart."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.text: list[str] = []
        self.questions: list[str] = []
        self._open: list[tuple[str, bool, bool]] = []  # tag, left out, in the quiz

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _VOID:
            return
        classes = set((dict(attrs).get("class") or "").split())
        out, quiz = (self._open[-1][1], self._open[-1][2]) if self._open else (False, False)
        if tag in _BLOCKS or tag in _LEFT_OUT_TAGS:
            self._write(_MARK)
        if not out and classes & _FIGURES and "si" not in classes:
            self._write("ten feet")
            out = True
        out = out or tag in _LEFT_OUT_TAGS or bool(classes & _LEFT_OUT_CLASSES)
        self._open.append((tag, out, quiz or tag == "seatwork-quiz"))

    def handle_endtag(self, tag: str) -> None:
        for i in range(len(self._open) - 1, -1, -1):
            if self._open[i][0] == tag:
                if tag in _BLOCKS:
                    self._write(_MARK)
                del self._open[i:]
                return

    def handle_data(self, data: str) -> None:
        self._write(data)

    def _write(self, data: str) -> None:
        _, out, quiz = self._open[-1] if self._open else ("", False, False)
        if not out:
            (self.questions if quiz else self.text).append(data)


def prose(page: str) -> tuple[str, str]:
    """The prose of a lesson's page, a Markdown file with HTML: its text and its questions.

    Each paragraph and each item of a list is one line that ends a sentence.
    """
    reader = _Prose()
    reader.feed(_BULK.sub("", _FRONT.sub("", page)))
    reader.close()
    return _lines("".join(reader.text)), _lines("".join(reader.questions))


def _lines(text: str) -> str:
    text = _HEADING.sub(_MARK, text)
    text = _ITEM.sub(_MARK, text).replace("**", "").replace("`", "")
    text = _FIGURE.sub("ten", text)
    blocks = (" ".join(b.split()) for b in re.split(r"\n\s*\n", text))
    # a choice that is only a figure is no sentence
    return "\n".join(b if b[-1] in ".!?" else b + "." for b in blocks if len(b.split()) > 2)


def sentences(text: str) -> Iterator[str]:
    """The sentences of text that ``prose`` gave."""
    for line in text.splitlines():
        yield from (s.strip() for s in re.split(r"(?<=[.!?])\s+", line) if len(s.split()) > 2)


def grade(text: str) -> float:
    """Flesch-Kincaid grade of English text: school years, never below zero.

    0.39 × words a sentence + 11.8 × syllables a word − 15.59 (Kincaid, Fishburne, Rogers and
    Chissom 1975). A line ends a sentence, as ``prose`` writes them.
    """
    import syllapy  # reads its list of words: only where a grade is asked for

    words = _WORD.findall(text)
    if not words:
        return 0.0
    syllables = sum(max(1, int(syllapy.count(part))) for word in words for part in word.split("-") if part)
    stops = max(1, len([s for s in _STOP.split(text) if _WORD.search(s)]))
    return max(0.0, 0.39 * len(words) / stops + 11.8 * syllables / len(words) - 15.59)


def grades(docs: Mapping[str, str | bytes]) -> list[Grade]:
    """Reading grades of all lessons of a tree's pages, in the order of the tree."""
    out = []
    for path, page in docs.items():
        if path.startswith("lessons/") and path.endswith(".md") and isinstance(page, str):
            text, questions = prose(page)
            whole = grade(text)
            hardest = max(sentences(text), key=grade, default="") if whole > HARDEST else ""
            out.append(Grade(path[len("lessons/") : -len(".md")], whole, grade(questions), hardest))
    return out


def said(found: list[Grade], *, each: bool) -> tuple[list[str], list[str]]:
    """What ``check`` prints of the reading grades: the summary (with ``each`` a line a lesson), and
    a line for each lesson that reads harder than grade 8."""
    if not found:
        return [], []
    hardest = max(found, key=lambda g: g.worst)
    mean = sum(g.text for g in found) / len(found)
    lines = [f"reading grade: {mean:.1f} on average, hardest {hardest.worst:.1f} ({hardest.lesson}); no lesson should be above {HARDEST:g}"]
    if each:
        width = max(len(g.lesson) for g in found)
        lines += [f"  {g.lesson:{width}}  {g.text:4.1f}  questions {g.questions:4.1f}" for g in found]
    above = [
        f"lessons/{g.lesson}.md: reads at school grade {g.text:.1f}, above {HARDEST:g}; "
        f"use shorter words and sentences, first here: '{_cut(g.hardest)}'"
        for g in found
        if g.text > HARDEST
    ] + [
        f"questions/{g.lesson}.yml: read at school grade {g.questions:.1f}, above {HARDEST:g}; use shorter words and sentences"
        for g in found
        if g.questions > HARDEST
    ]
    return lines, above


def _cut(sentence: str, room: int = 90) -> str:
    return sentence if len(sentence) <= room else sentence[: room - 1].rsplit(" ", 1)[0] + " …"
