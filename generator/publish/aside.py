"""Drawings, formulas, popovers and quizzes are set aside while the site builder turns a page from Markdown to HTML.

Nine tenths of a page's tags stand in its ``svg`` and ``math`` elements, in the popovers at its end and in its
quiz, none of which hold Markdown. Three parsers in turn would read each of these tags only to write it again as
it was. The page is the same byte for byte. No link leads into any of them by its Markdown.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from markdown.extensions import Extension
from markdown.postprocessors import Postprocessor
from markdown.preprocessors import Preprocessor

# scripts are passed over whole: their texts may hold a piece of a picture
FOREIGN = re.compile(r"<(script|svg|math)\b.*?</\1>", re.DOTALL)
# a line each: a popover, and what else is plain HTML to its end
_WHOLE = re.compile(r'<div id="[^"<>]*" popover="auto"[^<>]*>.*</div>')
_QUIZ = re.compile(r"<(seatwork-quiz)\b.*?</\1>")
_POPOVER = re.compile(r'(?m)^<div id="[^"<>]*" popover="auto"[^<>]*>.*</div>$')  # these stand in a section that it leaves out
_QUIZ_SAID = re.compile(r"<(seatwork-quiz) data-search-exclude\b.*?</\1>")
_MARK = "\x02aside:{}\x03"  # the two signs are taken out of what is typed, before
_SET = re.compile("\x02aside:([0-9]+)\x03")
BEFORE_ALL_READERS = 25  # after the typed signs are taken out (30), before HTML is looked at (21, 20)
AFTER_ALL = -10


def each_foreign(text: str, change: Callable[[str], str]) -> str:
    """The text with ``change`` made to each of its ``svg`` and ``math`` elements."""
    return FOREIGN.sub(lambda found: found[0] if found[1] == "script" else change(found[0]), text)


def without_unsearched(text: str) -> str:
    """A page without the insides of its popovers and quiz, which the search leaves out by their own word."""
    return _QUIZ_SAID.sub("", _POPOVER.sub("", text))


class SetAside(Extension):  # type: ignore[misc]
    """Keeps each drawing and formula of a page out of its turning, and puts it back where it stood."""

    def extendMarkdown(self, md: Any) -> None:
        kept: list[str] = []
        md.preprocessors.register(_Take(kept), "seatwork aside", BEFORE_ALL_READERS)
        md.postprocessors.register(_PutBack(kept), "seatwork put back", AFTER_ALL)


class _Take(Preprocessor):  # type: ignore[misc]
    def __init__(self, kept: list[str]) -> None:
        super().__init__()
        self.kept = kept

    def run(self, lines: Sequence[str]) -> list[str]:
        self.kept.clear()

        def take(element: str) -> str:
            # its own tags stay: links may name the place where a drawing is
            inside, end = element.index(">") + 1, element.rindex("<")
            self.kept.append(element[inside:end])
            return f"{element[:inside]}{_MARK.format(len(self.kept) - 1)}{element[end:]}"

        def taken(line: str) -> str:
            if line.startswith("#"):
                return line
            if _WHOLE.fullmatch(line):
                return take(line)
            if "<seatwork-quiz" in line:
                line = _QUIZ.sub(lambda found: take(found[0]), line)
            return each_foreign(line, take)

        return [taken(line) for line in lines]


class _PutBack(Postprocessor):  # type: ignore[misc]
    def __init__(self, kept: list[str]) -> None:
        super().__init__()
        self.kept = kept

    def run(self, text: str) -> str:
        return _SET.sub(lambda found: self.kept[int(found[1])], text)
