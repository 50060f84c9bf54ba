"""Finished drawings of a part of the book, those that an earlier build drew among them.

A scene is drawn from what it is given and nothing else, in a language and a way of writing numbers, by this program: under
the print of all of that a drawing is found again, so a part that has to be rendered anew draws only what is another. That
an earlier build held it to the laws of scenes counts only where each figure of the site that the laws asked for then is
the same now; they are asked for again, so that the part notes them as if it had held the drawing itself.

The drawings of a part lie in one file, which holds those of its last rendering.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from generator.book.parallel import Job
from generator.book.seen import Sources, Unprintable, print_of
from generator.drawing.canvas import Canvas
from generator.drawing.film import Film
from generator.drawing.measure import Measure
from generator.source.store import Store, digest

Scales = tuple[tuple[str, Measure], ...]


@dataclass(frozen=True)
class Steps:
    """What a page says of a scene in steps: a sentence for each step in both unit systems, the boxes of a step and of the key, all figures printed."""

    says: tuple[tuple[str, str], ...]
    picture_box: str
    key_box: str | None
    told: frozenset[Measure]

    @classmethod
    def of(cls, film: Film) -> Steps:
        """Those of a film."""
        says = tuple((str(f.words.us), str(f.words.metric)) for f in film.frames)
        return cls(says, film.picture_box, film.key_box, frozenset(film.told))


@dataclass(frozen=True)
class Drawn:
    """A finished drawing: its SVG, the scales it prints of itself, and its steps if it has some."""

    svg: str
    scales: Scales
    steps: Steps | None

    @classmethod
    def of(cls, picture: Canvas | Film) -> Drawn:
        """What a scene gave, written out."""
        svg = picture.to_svg().replace("\n", "")  # which makes the scales too
        return cls(svg, tuple(picture.scales), Steps.of(picture) if isinstance(picture, Film) else None)


class Asked(Mapping[str, float]):
    """Figures that note which of them were asked for, and what they were; ``whole`` once somebody went through all of them."""

    def __init__(self, figures: Mapping[str, float]) -> None:
        self._figures = figures
        self.noted: dict[str, str | None] = {}
        self.whole = False

    def __getitem__(self, ref: str) -> float:
        try:
            value = self._figures[ref]
        except KeyError:
            self.noted[ref] = None
            raise
        self.noted[ref] = float(value).hex()
        return value

    def __iter__(self) -> Iterator[str]:
        self.whole = True
        return iter(self._figures)

    def __len__(self) -> int:
        self.whole = True
        return len(self._figures)


Noted = Mapping[str, str | None]  # a reference, and the figure as hexadecimal; None where the site gives none


def _same(noted: Noted, figures: Mapping[str, float]) -> bool:
    """Whether all figures are as they were. Each is asked for, whatever the others are."""
    now = Asked(figures)
    for ref in noted:
        now.get(ref)
    return now.noted == noted


class Drawings:
    """The drawings of one part. Without a store it is a table for the time of rendering."""

    def __init__(self, store: Store | None = None, name: str = "") -> None:
        self._store, self._name = store, name
        self._earlier: dict[str, Any] | None = None  # as kept, once it was asked for
        self._kept: dict[str, Any] = {}
        self._new = False
        self._made: dict[tuple[Any, ...], Drawn] = {}

    @classmethod
    def of(cls, store: Store | None, sources: Sources, job: Job) -> Drawings:
        """Those of a job, in the language and the writing of its sources."""
        if store is None:
            return cls()
        return cls(store, digest("drawings", sources.drawn_with, job.what, job.name, str(job.first), str(job.end)))

    def get(self, key: tuple[Any, ...]) -> Drawn | None:
        """A drawing of this rendering."""
        return self._made.get(key)

    def kept(self, key: tuple[Any, ...], given: Any, figures: Mapping[str, float]) -> Drawn | None:
        """A drawing of an earlier build, made from the same, that the laws let through with the same ``figures``.

        ``key`` and ``given`` are all that it is drawn from.
        """
        if self._store is None:
            return None
        with suppress(Unprintable):
            name = _name(key, given)
            found = self._before().get(name)
            if found is not None and _same(found["laws"], figures):
                self._kept[name] = found
                self._made[key] = _unpacked(found)
                return self._made[key]
        return None

    def put(self, key: tuple[Any, ...], given: Any, drawn: Drawn, asked: Asked) -> None:
        """A drawing that the laws let through, with the figures they ``asked`` for."""
        self._made[key] = drawn
        if self._store is not None and not asked.whole:
            with suppress(Unprintable):
                self._kept[_name(key, given)] = _packed(drawn, asked.noted)
                self._new = True

    def done(self) -> None:
        """The part is rendered: its drawings are kept for a later build."""
        if self._store is not None and self._new:
            self._store.put(self._name, json.dumps(self._kept, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass"))

    def _before(self) -> dict[str, Any]:
        if self._earlier is None:
            raw = self._store.get(self._name) if self._store is not None else None
            self._earlier = json.loads(raw.decode("utf-8", "surrogatepass")) if raw is not None else {}
        return self._earlier


def _name(key: tuple[Any, ...], given: Any) -> str:
    return print_of([_plain(key), _plain(given)])


def _plain(value: Any) -> Any:
    """What a scene is given, as lists and words that are the same only for the same. Raises Unprintable."""
    if isinstance(value, Mapping):
        return [[_plain(k), _plain(v)] for k, v in value.items()]
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    if isinstance(value, Measure):
        return ["measure", value.si, _plain(value.us), _plain(value.metric)]
    if isinstance(value, str):
        if type(value).__name__ not in _WORDS:  # it may hold more than its letters, such as how it is said elsewhere
            raise Unprintable(type(value).__name__)
        return [type(value).__name__, str(value)]
    if value is None or isinstance(value, bool | int | float):
        return [type(value).__name__, value]
    raise Unprintable(type(value).__name__)


_WORDS = frozenset({"str", "AsIs", "Text"})


def _packed(drawn: Drawn, noted: Noted) -> dict[str, Any]:
    steps = drawn.steps
    return {
        "svg": drawn.svg, "scales": [[_word(what), *_measure(m)] for what, m in drawn.scales], "laws": dict(noted),
        "steps": None if steps is None else [steps.says, steps.picture_box, steps.key_box, sorted(map(_measure, steps.told))],
    }  # fmt: skip


def _word(text: str) -> str:
    if type(text) is not str:
        raise Unprintable(type(text).__name__)
    return text


def _measure(m: Measure) -> list[str]:
    return [float(m.si).hex(), *(str(t) if type(t).__name__ == "AsIs" else _word(t) for t in (m.us, m.metric))]


def _unpacked(found: Mapping[str, Any]) -> Drawn:
    steps = found["steps"]
    return Drawn(
        found["svg"],
        tuple((what, _measured(rest)) for what, *rest in found["scales"]),
        None if steps is None else Steps(
            tuple((us, metric) for us, metric in steps[0]), steps[1], steps[2], frozenset(_measured(m) for m in steps[3])
        ),
    )  # fmt: skip


def _measured(packed: Sequence[str]) -> Measure:
    si, us, metric = packed
    return Measure(float.fromhex(si), us, metric)
