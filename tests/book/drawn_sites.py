"""Job sites drawn at random, and every drawing of the handbook made for one (invented figures).

A drawn site is one of the three that are shipped, with its machines, trucks, ground, limits and
figures of the job made larger or smaller within the ranges the tables allow. It is put together in
memory: what is tested is the drawings, and reading tables has tests of its own.
"""

from __future__ import annotations

import random
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from pathlib import Path

from generator.book.content import Content, content_folder, read_content
from generator.book.model import WAYS
from generator.book.page import LessonPage, site_lead
from generator.drawing.film import strip
from generator.jobsite.columns import JOB, LIMITS, MACHINES, MATERIALS, TRUCKS, Column
from generator.jobsite.model import JobSite, Row, Value
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files, write_starter
from generator.quiz.question import Picture
from generator.source.problem import Refusal, Refusals
from generator.units.quantity import Quantity, trimmed
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger
from tests.drawing.unpacked import steps

_LENGTHS = {"length"}
_SMALL = {"fraction", "angle", "grade", "ratio", "factor"}


@dataclass(frozen=True)
class Drawn:
    """One drawing of a site's handbook: its SVG, or why the build refuses it."""

    lesson: str
    scene: str
    svg: str
    refused: tuple[str, ...]
    figures: Mapping[str, float]


@cache
def shipped_content() -> Content:
    return read_content(content_folder())


def sites(folder: Path) -> dict[str, JobSite]:
    """The demo and the starter in both unit systems."""
    known = frozenset(shipped_content().lessons)
    made = {"demo": read(Path(__file__).parents[2] / "site_demo", known)}
    for units in ("us", "metric"):
        write_starter(folder / units, starter_files(content_folder(), units))
        made[units] = read(folder / units, known)
    return made


def _moved(value: Value, column: Column | None, times: float) -> Value:
    if column is None or not isinstance(value, Quantity):
        return value
    low, high = column.bounds
    figure = trimmed(Decimal(repr(round(float(value.figure) * times, 3))))
    moved = replace(value, figure=figure)
    return moved if low <= moved.si <= high else value


def _row(row: Row, columns: Mapping[str, Column], size: float, rng: random.Random) -> Row:
    """A machine of another size and about the same build; a material of other figures."""
    values = {}
    for name, value in row.values.items():
        column = columns.get(name)
        kind = column.kind if column else ""
        power = 1.0 if kind in _LENGTHS else 3.0 if kind in {"mass", "loose_volume"} else 0.0
        odd = rng.uniform(0.97, 1.03) if power else rng.uniform(0.85, 1.15) if kind in _SMALL else 1.0
        values[name] = _moved(value, column, size**power * odd)
    return replace(row, values=values)


def drawn_site(base: JobSite, seed: int) -> JobSite:
    """A site like ``base`` with other machines, ground, limits and job."""
    rng = random.Random(f"{base.settings.key}-{seed}")
    size = rng.uniform(0.55, 1.8)

    def rows(kind: str) -> tuple[Row, ...]:
        found: tuple[Row, ...] = getattr(base, kind)
        columns = {"machines": MACHINES, "trucks": TRUCKS, "materials": MATERIALS}[kind].by_name
        return tuple(_row(r, columns, size * rng.uniform(0.9, 1.1), rng) for r in found)

    def block(values: Mapping[str, Value], columns: tuple[Column, ...]) -> dict[str, Value]:
        known = {c.name: c for c in columns}
        return {
            n: _moved(v, known.get(n), rng.uniform(0.7, 1.4) if known.get(n) is not None and known[n].kind in _LENGTHS | _SMALL else 1.0)
            for n, v in values.items()
        }

    settings = replace(base.settings, limits=block(base.settings.limits, LIMITS), job=block(base.settings.job, JOB))
    return replace(
        base,
        settings=settings,
        machines=rows("machines"),  # type: ignore[arg-type]
        trucks=rows("trucks"),  # type: ignore[arg-type]
        materials=rows("materials"),  # type: ignore[arg-type]
    )


def drawings(site: JobSite, only: frozenset[str] | None = None, *, films: bool = True, each: int = 1, start: int = 0) -> Iterator[Drawn]:
    """Every drawing of every lesson of the site and of its questions; of a scene in steps, those on paper.

    Without ``films`` scenes in steps are left out: one of them is the work of fifty drawings. ``each``
    takes one drawing in so many, beginning with number ``start``, so that many sites share the work.
    """
    count = start
    from generator.book.scene import figures_for, is_film_scene, scene_function

    content = shipped_content()
    for lesson in content.lessons.values():
        page = LessonPage(lesson, content, site, site_lead(site), Ledger())
        if page.context.machine is None:
            continue
        figures = figures_for(site, page.context, {})
        sides = {id(side.picture): way for pair in lesson.ways.values() for way, side in zip(WAYS, pair.sides, strict=True)}
        pictures = [Picture(spec, way="wrong" if sides.get(id(spec)) == "wrong" else "") for spec in lesson.all_drawings]
        pictures += [p for q in content.questions.get(lesson.id, ()) for p in q.all_pictures]
        for picture in pictures:
            spec = picture.drawing
            scene = str(spec.scene)
            if only is not None and scene not in only:
                continue
            if not films and is_film_scene(scene_function(scene)):
                continue
            count += 1
            if count % each:
                continue
            try:
                alone = picture.frame is not None
                svg, film = page.picture(spec, picture.frame, picture.way, alone=alone)
                if film is None:
                    yield Drawn(lesson.id, scene, svg, (), figures)
                    continue
                frames = steps(svg)
                for k in strip(len(frames)):
                    yield Drawn(lesson.id, scene, ET.tostring(frames[k - 1], encoding="unicode"), (), figures)
            except Refusals as e:
                yield Drawn(lesson.id, scene, "", tuple(str(p) for p in e.problems), figures)
            except (NumberProblem, Refusal) as e:
                yield Drawn(lesson.id, scene, "", (str(e),), figures)
