"""Reading a lesson: one Markdown file with front matter."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.book.errors import BookError
from generator.quiz.question import QuestionProblem, load_yaml_text
from generator.working.errors import NumberProblem
from generator.working.numbers import Spec, read_specs

HEADINGS = (
    "Why it matters", "Do it", "The numbers", "Watch for", "Check yourself", "Show your mentor",
)  # fmt: skip
ABOUT = ("dozer", "excavator", "compact excavator", "truck", "any")
_REQUIRED = ("title", "chapter", "summary", "about", "minutes", "why", "watch", "show", "sheet")
_KNOWN = {*_REQUIRED, "numbers", "table", "drawing", "drawings", "panel", "stop_work", "find", "__line__"}


@dataclass(frozen=True)
class Lesson:
    """One lesson as its file says it; ``front`` is the checked front matter."""

    id: str
    title: str
    chapter: str
    summary: str
    about: str
    minutes: int
    front: Mapping[str, Any]
    numbers: Mapping[str, Spec]
    body: str
    body_line: int  # line of the file the body starts on
    path: Path

    @property
    def file(self) -> str:
        """Short name for messages."""
        return f"{self.path.parent.name}/{self.path.name}"


def read_lesson(path: Path) -> Lesson:
    """Read and check one lesson. Raises BookError naming the line."""
    short = f"{path.parent.name}/{path.name}"
    try:
        text = path.read_text("utf-8-sig")
    except UnicodeDecodeError:
        raise BookError(short, 1, "is not UTF-8 text", "save it as UTF-8") from None
    match = re.match(r"---\r?\n(.*?)\r?\n---\r?\n", text, re.DOTALL)
    if match is None:
        raise BookError(short, 1, "has no front matter", "start it with --- and end that part with ---")
    try:
        # the opening rule is line 1, so one empty line keeps YAML's line numbers the file's
        front = load_yaml_text("\n" + match[1], short)
    except QuestionProblem as e:
        raise BookError(short, e.line, e.what, e.fix) from None
    if not isinstance(front, dict):
        raise BookError(short, 2, "front matter is no mapping", "write 'title: …' and so on")
    for key in _REQUIRED:
        if not front.get(key):
            raise BookError(short, 2, f"front matter lacks '{key}'", f"add '{key}:'")
    for key in front:
        if key not in _KNOWN:
            raise BookError(short, 2, f"front matter has an unknown '{key}'", f"use {', '.join(sorted(_KNOWN - {'__line__'}))}")
    if front["about"] not in ABOUT:
        raise BookError(short, 2, f"about: '{front['about']}' is no machine kind", f"use {', '.join(ABOUT)}")
    numbers = front.get("numbers") or {}
    try:
        specs = read_specs(
            {
                n: {k: v for k, v in b.items() if k != "__line__"} if isinstance(b, dict) else b
                for n, b in numbers.items()
                if n != "__line__"
            }
        )
    except NumberProblem as e:
        line = numbers.get("__line__", 2) if isinstance(numbers, dict) else 2
        raise BookError(short, line, e.what, e.fix) from None
    body = text[match.end() :]
    body_line = text[: match.end()].count("\n") + 1
    found = re.findall(r"^## (.+?)\s*$", body, re.MULTILINE)
    if tuple(found) != HEADINGS:
        raise BookError(
            short, body_line, f"headings are {', '.join(found) or 'missing'}",
            f"use these six, in this order: {', '.join(HEADINGS)}",
        )  # fmt: skip
    return Lesson(
        path.stem, str(front["title"]), str(front["chapter"]), str(front["summary"]), str(front["about"]),
        int(front["minutes"]), front, specs, body, body_line, path,
    )  # fmt: skip
