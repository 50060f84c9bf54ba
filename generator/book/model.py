"""What lessons and cab cards hold once they are read: plain records, each with its file and line.

The functions here make them of what a YAML file gave. ``lesson.py`` and ``content.py`` have looked at
that before and told what is wrong in it; beyond them nobody meets raw YAML.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from generator.drawing.spec import DrawingSpec, read_drawing
from generator.source.problem import Problem
from generator.source.yamltext import Text, as_text, entries, line_of
from generator.units.table import SYSTEMS, System
from generator.working.errors import NumberProblem
from generator.working.numbers import Spec, read_specs


@dataclass(frozen=True)
class SheetAsk:
    """One thing to ask the crew, with its answer."""

    ask: Text
    answer: Text


@dataclass(frozen=True)
class Sheet:
    """The tailgate sheet of a lesson: points to tell, the number to work out, what to ask."""

    file: str
    line: int
    points: tuple[Text, ...]
    sum: Text  # name of a number of the lesson; empty where there is none to work out
    asks: tuple[SheetAsk, ...]


EXERCISE = ("set_out", "do", "measure", "expect", "if_off")  # the lists of a field exercise, in the order in which they are read


@dataclass(frozen=True)
class Exercise:
    """The field exercise of a lesson: what to mark, do and measure, what to expect here, and what to change.

    ``standard`` is what a mentor watches for, on the sign-off sheet too; ``record`` heads the columns to
    write what was measured into, on the back of the tailgate sheet. ``drawing`` names the one of the
    lesson's drawings that shows what is set out, if any does.
    """

    file: str
    line: int
    set_out: tuple[Text, ...]
    do: tuple[Text, ...]
    measure: tuple[Text, ...]
    expect: tuple[Text, ...]
    if_off: tuple[Text, ...]
    standard: Text
    record: tuple[Text, ...]
    drawing: Text | None = None

    @property
    def texts(self) -> tuple[Text, ...]:
        """All that is read by people, in the order in which it is read."""
        return (*self.set_out, *self.do, *self.measure, *self.expect, *self.if_off, self.standard, *self.record)


@dataclass(frozen=True)
class TableSpec:
    """The table of a lesson; ``over`` is empty where it runs over what the lesson is about."""

    file: str
    line: int
    columns: Mapping[str, Text]  # heading -> reference
    over: str = ""
    caption: Text | None = None


@dataclass(frozen=True)
class Wording:
    """One entry of ``cautions.yml``, ``glossary.yml`` or ``mistakes.yml``: its words on one line.

    Where it stands is not what it is: an entry that only moved is the same one.
    """

    name: str
    text: str
    file: str = field(compare=False)
    line: int = field(compare=False)
    word: str = ""  # of the glossary: how it is printed, where that is not its name
    also: tuple[str, ...] = ()  # of the glossary: what else people call it

    @property
    def shown(self) -> str:
        """The word of the glossary as it is printed."""
        return self.word or self.name


Way = Literal["", "wrong", "right"]  # the side of a pair that a picture is; of no pair, none
WAYS: tuple[Way, Way] = ("wrong", "right")  # the sides of a pair, in the order in which they are shown


@dataclass(frozen=True)
class WaySide:
    """One side of a pair: its drawing, or scene in steps, and what it shows, in words."""

    picture: DrawingSpec
    says: Text


@dataclass(frozen=True)
class WaysSpec:
    """The wrong way beside the right way, and what the wrong one costs.

    ``first`` is the way a phone opens with, where there is room for one: the wrong one, but for a drill.
    """

    file: str
    line: int
    wrong: WaySide
    right: WaySide
    cost: Text
    first: Way = "wrong"

    @property
    def sides(self) -> tuple[WaySide, WaySide]:
        """The two, the wrong one first, as it is shown."""
        return self.wrong, self.right


@dataclass(frozen=True)
class PanelLimit:
    """The site's limit that a panel is held to: of the number, or of the input ``on`` that it moves."""

    name: str  # limits.NAME
    on: str | None = None
    alone: bool = True  # nothing else stands beside it


@dataclass(frozen=True)
class PanelSpec:
    """*Change a number* of a lesson: the number, and low, high, step of each input that is moved.

    ``drawing`` is None where the lesson does not say whether the drawing follows.
    """

    file: str
    line: int
    number: str
    moves: Mapping[str, Mapping[System, tuple[str, ...]]]
    drawing: bool | None = None
    limit: PanelLimit | None = None


@dataclass(frozen=True)
class CardTable:
    """A table of a cab card, over the site's materials or trucks."""

    title: str
    over: str
    columns: Mapping[str, str]  # heading -> reference


@dataclass(frozen=True)
class Card:
    """The cab card of a kind of machine. Without ``limits`` it shows every limit of the site."""

    file: str
    line: int
    title: str
    limits: Mapping[str, str]  # heading -> limits.NAME
    numbers: Mapping[str, Spec]
    lines: Mapping[str, str]  # heading -> reference
    tables: tuple[CardTable, ...]
    cautions: tuple[str, ...]
    wrong: Problem | None = None  # in its numbers: told where the site has a machine of the kind


# --- made of what YAML gave ------------------------------------------------------------------------


def texts(value: Any) -> tuple[Text, ...]:
    """A text or list of texts, each with its line."""
    if value is None:
        return ()
    return tuple(as_text(v) for v in (value if isinstance(value, list) else [value]))


def wording(name: str, raw: Any, file: str, line: int) -> Wording:
    """An entry of a table of words; ``line`` is where it stands if ``raw`` does not know."""
    return Wording(name, " ".join(str(raw).split()), file, line_of(raw, line))


def sheet(raw: Mapping[str, Any], file: str) -> Sheet:
    """``sheet:`` of a lesson."""
    asks = tuple(SheetAsk(as_text(a["ask"]), as_text(a["answer"])) for a in raw["ask"])
    return Sheet(file, _line(raw), texts(raw["points"]), as_text(raw.get("sum") or ""), asks)


def exercise(raw: Mapping[str, Any], file: str) -> Exercise:
    """``exercise:`` of a lesson."""
    lists = {key: texts(raw[key]) for key in (*EXERCISE, "record")}
    drawing = as_text(raw["drawing"]) if raw.get("drawing") else None
    return Exercise(file, _line(raw), standard=as_text(raw["standard"]), drawing=drawing, **lists)


def table(raw: Mapping[str, Any], file: str) -> TableSpec:
    """``table:`` of a lesson."""
    columns = MappingProxyType({heading: as_text(ref) for heading, ref in entries(raw["columns"]).items()})
    return TableSpec(file, _line(raw), columns, str(raw.get("over") or ""), _caption(raw))


def ways(raw: Mapping[str, Any], file: str) -> WaysSpec:
    """An entry of ``ways:`` of a lesson."""
    wrong, right = (WaySide(read_drawing(raw[side], file, _line(raw), "either"), as_text(raw[side]["says"])) for side in WAYS)
    first: Way = "right" if raw.get("first") == "right" else "wrong"
    return WaysSpec(file, _line(raw), wrong, right, as_text(raw["cost"]), first)


def panel(raw: Mapping[str, Any], file: str) -> PanelSpec:
    """``panel:`` of a lesson. A range that cannot be read stays out; the panel tells so."""
    moves: dict[str, Mapping[System, tuple[str, ...]]] = {
        ref: MappingProxyType(
            {s: tuple(map(str, ends[s])) for s in SYSTEMS if isinstance(ends.get(s), list)} if isinstance(ends, dict) else {}
        )
        for ref, ends in entries(raw.get("move")).items()
    }
    follows = bool(raw["drawing"]) if "drawing" in raw else None
    return PanelSpec(file, _line(raw), str(raw["number"]), MappingProxyType(moves), follows, _panel_limit(raw.get("limit")))


def card(raw: Mapping[str, Any], file: str) -> Card:
    """An entry of ``cards.yml``."""
    specs: dict[str, Spec] = {}
    wrong = None
    for name, body in entries(raw["numbers"]).items():
        try:
            specs.update(read_specs({name: entries(body) if isinstance(body, dict) else body}))
        except NumberProblem as e:
            wrong = e.at(file, line_of(body, _line(raw)))
            break
    tables = tuple(CardTable(str(t["title"]), str(t["over"]), _references(t["columns"])) for t in raw.get("tables") or ())
    return Card(
        file, _line(raw), str(raw["title"]), _references(raw.get("limits")), MappingProxyType(specs), _references(raw["lines"]), tables,
        tuple(map(str, raw.get("cautions") or ())), wrong,
    )  # fmt: skip


def _line(raw: Mapping[str, Any]) -> int:
    return line_of(raw, 2)


def _references(block: Any) -> Mapping[str, str]:
    return MappingProxyType({heading: str(ref) for heading, ref in entries(block).items()})


def _caption(raw: Mapping[str, Any]) -> Text | None:
    return as_text(raw["caption"]) if raw.get("caption") else None


def _panel_limit(raw: Any) -> PanelLimit | None:
    if not isinstance(raw, dict):
        return None if raw is None else PanelLimit(str(raw))
    (on, name), *more = entries(raw).items()
    return PanelLimit(str(name), on, not more)
