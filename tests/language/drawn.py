"""The words of the drawings, for translators: scenes put them together as they draw, so they are gathered by drawing.

The scenes are drawn with the figures of the samples, and as the lessons and questions of the demo ask for them.
``python -m tests.language.drawn`` brings ``scenes.po`` of each language up to date: what is translated stays, what is new
has an empty translation, and what no scene says any more goes.
"""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import Any

import pytest

from generator.book.strings import CONTENT, Strings, all_strings, languages, po_text, translated
from generator.drawing.film import Film
from generator.drawing.measure import AsIs
from generator.language.words import Catalogue, using
from generator.publish.build import render
from tests.conftest import copy_demo
from tests.drawing import samples

FILE = "scenes.po"


def _as_given(value: Any) -> Any:
    """A name as a lesson gives it to a scene: in any language as it is."""
    return AsIs(value) if isinstance(value, str) else value


class _Asked(dict[str, str]):
    """Texts of a language that puts all in marks, so that what is asked for twice is known, and keeps what was asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str] = set()

    def get(self, text: str, default: Any = None) -> Any:
        if "«" in text or not re.search(r"[^\W\d_]{2,}", text):
            return text
        self.asked.add(text)
        # the stop stays at the end: where two texts are joined it tells where the next sentence begins
        return f"«{text[:-1]}»{text[-1]}" if text[-1] in ".!?" else f"«{text}»"


def in_the_demo() -> set[str]:
    """What the pictures of the demo's handbook say, and nothing else of it."""
    asked = _Asked()
    words = Catalogue("es", asked)
    with tempfile.TemporaryDirectory() as folder, using(words), pytest.MonkeyPatch.context() as patch:
        patch.setenv("SEATWORK_WORKERS", "1")
        patch.setattr("generator.publish.build.speech", lambda *_: words)
        patch.setattr(
            "generator.book.tree.Catalogue", lambda _: words
        )  # its lessons are in English, and a page in English asks for nothing
        render(copy_demo(Path(folder) / "site"), lambda _: None)
    return {text for text in asked.asked if all(text not in found.texts() for found in all_strings().values())}


def drawn() -> Strings:
    """Every sentence, label and title that the scenes write, in the order of the scenes; last what the demo alone asks for."""
    made = Strings()
    scenes: dict[str, tuple[Any, Any]] = {**samples.SAMPLES, **samples.FILMS}
    for name, (scene, sizes) in sorted(scenes.items()):
        asked = _Asked()
        with using(Catalogue("xx", asked)):
            for given in sizes:
                canvas = scene(ident="d", **{key: _as_given(value) for key, value in given.items()})
                canvas.to_svg()
                if isinstance(canvas, Film):
                    for frame in canvas.frames:
                        frame.words  # noqa: B018  its sentence is asked for
        for text in sorted(asked.asked):
            if (text, "") not in made.found:  # the first scene that says it
                made.add(text, f"drawing/{name}")
    for text in sorted(in_the_demo()):
        if (text, "") not in made.found:
            made.add(text, "content/lessons content/questions")
    return made


def update(language: str) -> int:
    """Writes the file of a language; how many of its strings have no translation."""
    folder = CONTENT / language / "words"
    strings, known = drawn(), translated(sorted(folder.glob("*.po")))
    (folder / FILE).write_text(po_text(language, strings, known), "utf-8")
    return sum(key not in known for key in strings.found)


if __name__ == "__main__":
    for language in languages():
        print(f"{language}: {update(language)} to translate")
