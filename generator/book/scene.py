"""Drawings by their name: which scenes there are, and what each one is given."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from importlib import import_module
from inspect import Parameter, isfunction, signature
from pkgutil import iter_modules
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from generator.drawing import scenes
from generator.drawing.canvas import Canvas
from generator.drawing.errors import ONE_STEP
from generator.drawing.film import Film, is_film, parsed_frames
from generator.drawing.laws import Breach, broken
from generator.drawing.measure import Measure
from generator.drawing.spec import DrawingSpec
from generator.jobsite.model import JobSite
from generator.source.near import suggest
from generator.source.problem import Problem, Refusals
from generator.source.yamltext import line_of
from generator.units.quantity import Quantity
from generator.units.table import System
from generator.working.errors import NumberProblem, PictureLeftOut
from generator.working.numbers import Context

IDENT = "ident"  # what every scene is given: the name its parts carry in the page


@cache
def scene_function(name: str) -> Any:
    """The function that draws a scene, such as ``loading.bench_loading``. Raises NumberProblem."""
    topic = name.partition(".")[0]
    topics = [m.name for m in iter_modules(scenes.__path__) if not m.name.startswith("_")]
    if topic not in topics:
        raise NumberProblem(f"no scene is called '{name[:60]}'", suggest(topic, topics, f"its first part is one of {', '.join(topics)}"))
    module = import_module(f"{scenes.__name__}.{topic}")
    known = {
        f"{topic}.{n}": f for n, f in vars(module).items()
        if isfunction(f) and f.__module__ == module.__name__ and not n.startswith("_") and IDENT in parameters(f)
    }  # fmt: skip
    if name not in known:
        raise NumberProblem(f"no scene is called '{name[:60]}'", suggest(name, known, f"there are {', '.join(known)}"))
    return known[name]


@cache
def is_film_scene(draw: Any) -> bool:
    """Whether a scene is one in steps."""
    return _hints(draw)["return"] is Film


@cache
def parameters(draw: Callable[..., Any]) -> Mapping[str, Parameter]:
    """What a scene can be given."""
    return signature(draw).parameters


@cache
def _hints(draw: Any) -> dict[str, Any]:
    """What a scene is given and gives, by name: the annotations of its function, which are compiled anew whenever they are asked for."""
    return get_type_hints(draw)


def canvas_of(made: Canvas | Film, scene: str, frame: int | None) -> Canvas:
    """What a scene gave as one drawing: step ``frame`` of it, the first being 1. Raises NumberProblem."""
    if isinstance(made, Canvas):
        if frame is not None:
            raise NumberProblem(f"{scene} is one drawing and has no steps", "take out 'frame:'")
        return made
    count = len(made.frames)
    if frame is None:
        raise NumberProblem(f"{scene} is a scene in steps", f"say which one: 'frame: 1' to 'frame: {count}'")
    if frame > count:
        raise PictureLeftOut(f"{scene} has {count} steps and no step {frame}", f"write 1 to {count}", reason=ONE_STEP)
    return made.frames[frame - 1].canvas


def wrong_drawing(spec: DrawingSpec) -> Iterator[tuple[int, str, str]]:
    """What is wrong with a drawing's scene and with the names it is given, each with its line."""
    try:
        draw = scene_function(spec.scene)
    except NumberProblem as e:
        yield spec.scene.line, e.what, e.fix
        return
    film = is_film_scene(draw)
    if spec.kind == "drawing" and film:
        yield spec.scene.line, f"{spec.scene} is a scene in steps", "move it under 'steps:', or to a side of 'ways:'"
    elif spec.kind == "steps" and not film:
        yield spec.scene.line, f"{spec.scene} is one drawing and has no steps", "move it under 'drawings:'"
    if spec.given is None:
        yield spec.given_line, "with is no block of names", "write 'with:' with one 'argument: reference' a line"
        return
    wanted = {n: p for n, p in parameters(draw).items() if n != IDENT}
    for key in spec.given:
        if key not in wanted:
            yield (line_of(key, spec.given_line), f"{spec.scene} is given no '{key[:60]}'",
                   suggest(key, wanted, f"it is given {', '.join(wanted)}"))  # fmt: skip
    for name, parameter in wanted.items():
        if parameter.default is parameter.empty and name not in spec.given:
            yield spec.scene.line, f"{spec.scene} lacks '{name}'", f"add '{name}:' to its 'with:'"


def refuse_other_kinds(draw: Any, arguments: Mapping[str, Any]) -> None:
    """Raises NumberProblem where a scene is given something of another kind than it draws, as a bare figure for a length."""
    wanted = _hints(draw)
    for name, value in arguments.items():
        if not _is(value, wanted[name]):
            raise NumberProblem(f"the drawing cannot be made ('{name}' is given {_kind(value)}, and is {_meant(wanted[name])})",
                                "check its 'with:'")  # fmt: skip


def _is(value: Any, hint: Any) -> bool:
    kind, parts = get_origin(hint), get_args(hint)
    if kind in {Union, UnionType}:
        return any(_is(value, p) for p in parts)
    if kind is tuple:
        return isinstance(value, list | tuple) and len(value) == len(parts) and all(map(_is, value, parts))
    if kind is Sequence:
        return isinstance(value, list | tuple) and all(_is(v, parts[0]) for v in value)
    if hint is float:
        return isinstance(value, int | float) and not isinstance(value, bool)
    if hint is int:  # a count that is worked out comes as 4.0
        return isinstance(value, int | float) and not isinstance(value, bool) and value == int(value)
    return isinstance(value, hint)


def _kind(value: Any) -> str:
    if isinstance(value, Measure):
        return "a reference to a figure with its unit"
    if isinstance(value, bool):
        return "yes or no"
    if isinstance(value, list | tuple):
        return "a list"
    return f"the bare figure {value}" if isinstance(value, int | float) else "words"


def _meant(hint: Any) -> str:
    kind, parts = get_origin(hint), get_args(hint)
    if kind in {Union, UnionType}:
        return " or ".join(dict.fromkeys(_meant(p) for p in parts if p is not NoneType))
    if kind in {tuple, Sequence}:
        return "a list"
    return {Measure: "a reference to a figure with its unit", bool: "yes or no", int: "a whole number", float: "a number"}.get(
        hint, "words"
    )


class Figures(Mapping[str, float]):
    """SI values of the site's limits, job and rows by reference; each is looked up as it is asked for.

    ``given`` are figures that a question or a panel puts in place of the site's own.
    """

    def __init__(self, blocks: Mapping[str, Mapping[str, Any]], given: Mapping[str, Quantity]) -> None:
        self._blocks, self._given = blocks, given

    def __getitem__(self, ref: str) -> float:
        head, _, name = ref.partition(".")
        value = self._blocks[head][name]
        if not isinstance(value, Quantity):
            raise KeyError(ref)
        return self._given[ref].si if ref in self._given else value.si

    def __iter__(self) -> Iterator[str]:
        return (f"{head}.{name}" for head, block in self._blocks.items() for name, v in block.items() if isinstance(v, Quantity))

    def __len__(self) -> int:
        return sum(1 for _ in self)


def figures_for(site: JobSite, context: Context, given: Mapping[str, Quantity]) -> Figures:
    """What the laws of scenes hold a drawing to."""
    blocks: dict[str, Mapping[str, Any]] = {"limits": site.settings.limits, "job": site.settings.job}
    for head in ("machine", "truck", "material"):
        row = getattr(context, head)
        if row is not None:
            blocks[head] = row.values
    return Figures(blocks, given)


def in_units(text: str, arguments: Mapping[str, Any], system: System) -> str:
    """What a scene says of its figures, told in the units of ``system``: scenes name them in feet and pounds."""
    if system == "us":
        return text
    told = {m.us: m.metric for m in _measures(arguments.values()) if m.us != m.metric}
    if not told:
        return text
    figures = "|".join(re.escape(us) for us in sorted(told, key=len, reverse=True))
    return re.sub(rf"(?<![\d.,])(?:{figures})(?!\w)", lambda m: told[m[0]], text)


def _measures(values: Iterable[Any]) -> Iterator[Measure]:
    for value in values:
        if isinstance(value, Measure):
            yield value
        elif isinstance(value, list | tuple):
            yield from _measures(value)


class LawsBroken(Refusals):
    """A drawing that shows what the site's own figures forbid; ``why`` says it in words for a reader."""

    @property
    def why(self) -> str:
        """What is wrong, without the scene's and the law's names."""
        return "; ".join(p.what.partition("': ")[2] or p.what for p in self.problems)


def held_to_laws(
    svg: str, scene: str, site: JobSite, context: Context, figures: Mapping[str, float], place: tuple[str, int | None]
) -> list[Problem]:
    """What a finished drawing breaks of the laws of scenes: a line each, at the figure to change.

    ``figures`` are those of :func:`figures_for`; ``place`` is the lesson's file and line, for what no figure of the site can mend.
    """
    if not is_film(svg):
        return [_told(breach, scene, site, context, place) for breach in broken(svg, figures)]
    first: dict[tuple[str, str], Problem] = {}  # a step that breaks a law is like the next: the first is told
    for k, frame in enumerate(parsed_frames(svg), 1):
        for breach in broken(frame, figures):
            first.setdefault((breach.law, breach.figure), _told(breach, f"{scene}, step {k},", site, context, place))
    return list(first.values())


def _told(breach: Breach, scene: str, site: JobSite, context: Context, place: tuple[str, int | None]) -> Problem:
    head, _, name = breach.figure.partition(".")
    file, line = place
    fix = "choose other figures for its 'with:'"
    if head in {"limits", "job"}:
        file, line = "settings.yml", site.settings.lines.get(breach.figure)
        fix = f"change {breach.figure}, or a figure the drawing is made of"
    elif (row := getattr(context, head, None)) is not None:
        file, line = site.file_of(row, f"{head}s.csv"), row.line
        fix = f"check {name} of {row.id}"
    return Problem.of(file, line, f"the drawing {scene} breaks the law '{breach.law}': {breach.what}", fix)
