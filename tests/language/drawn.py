"""The words of the drawings, for translators: scenes put them together as they draw, so they are gathered by drawing.

``python -m tests.language.drawn`` brings ``scenes.po`` of each language up to date: what is translated stays, what is new
has an empty translation, and what no scene says any more goes.
"""

from __future__ import annotations

from typing import Any

from generator.book.strings import CONTENT, Strings, languages, po_text, translated
from generator.drawing.film import Film
from generator.drawing.measure import AsIs
from generator.language.words import Catalogue, using
from tests.drawing import samples

FILE = "scenes.po"


def _as_given(value: Any) -> Any:
    """A name as a lesson gives it to a scene: in any language as it is."""
    return AsIs(value) if isinstance(value, str) else value


def drawn() -> Strings:
    """Every sentence, label and title that the scenes write with the figures of the samples, in the order of the scenes."""
    made = Strings()
    scenes: dict[str, tuple[Any, Any]] = {**samples.SAMPLES, **samples.FILMS}
    for name, (scene, sizes) in sorted(scenes.items()):
        said = Catalogue("xx")
        with using(said):
            for given in sizes:
                canvas = scene(ident="d", **{key: _as_given(value) for key, value in given.items()})
                canvas.to_svg()
                if isinstance(canvas, Film):
                    for frame in canvas.frames:
                        frame.words  # noqa: B018  its sentence is asked for
        for text in sorted(said.missing):
            if (text, "") not in made.found:  # the first scene that says it
                made.add(text, f"drawing/{name}")
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
