"""What a question is, and reading questions from ``questions/LESSON.yml``."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal

from generator.calc.expression import Node, names_in, tree_in
from generator.drawing.spec import DrawingSpec, read_drawing
from generator.jobsite.model import WHERE
from generator.quiz.edition import fits
from generator.source.near import suggest
from generator.source.overlay import lay_over
from generator.source.problem import Problem, Refusal
from generator.source.yamltext import line_of, load_yaml
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity, trimmed
from generator.units.reading import read_written
from generator.units.table import SYSTEMS, System, find_unit, unit_key
from generator.working.errors import NumberProblem
from generator.working.numbers import Spec, kind_of_unit, read_specs

QuestionKind = Literal["number", "one", "several", "order", "point"]
KINDS_OF_QUESTION: tuple[QuestionKind, ...] = ("number", "one", "several", "order", "point")
ROWS = ("dozer", "excavator", "compact excavator", "truck", "material")
BLANK = re.compile(r"\{([a-z][a-z0-9_]*)\}")


@dataclass(frozen=True, slots=True)
class Draw:
    """How one figure is drawn.

    Exactly one of: ``row`` (a row of a table: a kind of ROWS), ``of`` (a column of a drawn row or
    another reference), ``steps`` (low, high, step by system), ``around`` (a kind and column of
    the site's tables, with ``step`` by system) or ``pick`` (a list by system).
    """

    name: str
    row: str | None = None
    of: str | None = None
    steps: Mapping[System, tuple[Quantity, Quantity, Quantity]] = field(default_factory=lambda: MappingProxyType({}))
    around: str | None = None
    step: Mapping[System, Quantity] = field(default_factory=lambda: MappingProxyType({}))
    pick: Mapping[System, tuple[Quantity, ...]] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Mistake:
    """A named mistake: what it gives (an expression over SI values), and what to tell."""

    id: str
    says: str
    gives: Node


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing in a question: the whole of a scene, or one ``frame`` of a scene in steps, the first being 1.

    ``describe`` says in neutral words what it shows, for whoever cannot see it; the drawing's own
    title often tells the answer. ``way`` is ``wrong`` where it shows what must not be done, which the
    laws of scenes then leave alone.
    """

    drawing: DrawingSpec
    frame: int | None = None
    describe: str = ""
    way: Literal["", "wrong"] = ""


@dataclass(frozen=True, slots=True)
class ChoiceText:
    """A choice written out, drawn or both, right or wrong; a wrong one says what is wrong with it."""

    text: str
    right: bool
    says: str = ""
    picture: Picture | None = None


@dataclass(frozen=True, slots=True)
class Pointing:
    """One thing that can be asked about a drawing: the right spot, and what each other one says."""

    ask: str
    right: str
    says: Mapping[str, str]
    because: str = ""


@dataclass(frozen=True)
class Question:
    """One question. Fields that its kind does not use are empty."""

    id: str
    kind: QuestionKind
    ask: str
    line: int
    must_be_right: bool = False
    draws: tuple[Draw, ...] = ()
    numbers: Mapping[str, Spec] = field(default_factory=lambda: MappingProxyType({}))
    answer: str = ""
    within: float = 0.05
    limit: Limit = ""  # whether the answer must not be gone past: then only the safe side counts
    mistakes: tuple[Mistake, ...] = ()
    choices: tuple[ChoiceText, ...] = ()
    items: tuple[str, ...] = ()
    item_pictures: tuple[Picture | None, ...] = ()  # of the items, by place
    free: tuple[tuple[int, ...], ...] = ()  # places whose items may change among themselves
    picture: Picture | None = None  # shown above the answers
    spots: tuple[str, ...] = ()
    asks: tuple[Pointing, ...] = ()  # of a point question: each variant asks one of them
    because: str = ""  # shown with the right answer where there is no working
    read_again: str = ""
    where: str = ""  # the sites it is asked at, of WHERE; all where it says none

    @cached_property
    def blanks(self) -> frozenset[str]:
        """Names that stand as blanks in any of its texts."""
        texts = [self.ask, self.because, *self.items, *(c.text for c in self.choices)]
        texts += [c.says for c in self.choices] + [m.says for m in self.mistakes]
        texts += [t for p in self.asks for t in (p.ask, p.because, *p.says.values())]
        return frozenset(name for t in texts for name in BLANK.findall(t))

    @property
    def drawing(self) -> DrawingSpec | None:
        """The drawing above its answers."""
        return self.picture.drawing if self.picture else None

    @property
    def pictures(self) -> tuple[Picture | None, ...]:
        """The pictures of its choices or items, by place; empty where none has one."""
        found = tuple(c.picture for c in self.choices) or self.item_pictures
        return found if any(found) else ()

    @property
    def all_pictures(self) -> tuple[Picture, ...]:
        """Every picture in it."""
        return tuple(p for p in (self.picture, *self.pictures) if p is not None)

    @property
    def on_a_picture(self) -> bool:
        """Whether it is answered by looking at a picture."""
        return bool(self.all_pictures)

    def fits(self, item: int, place: int) -> bool:
        """Whether an item of an order question may stand in a place: its own, or one of those it may change with."""
        return fits(self.free, item, place)

    @cached_property
    def figured(self) -> bool:
        """Whether figures are drawn for it, other than those of a drawn row."""
        return any(d.row is None for d in self.draws)

    @property
    def computed(self) -> bool:
        """Whether choices are figures: the right one and what the named mistakes give."""
        return self.kind == "one" and bool(self.answer)


def words_of(value: Any) -> str:
    """A value as text that still knows its line."""
    return value if isinstance(value, str) else str(value)


MOST_QUESTIONS = 60  # of one lesson
_LONGEST_EXPRESSION = 200  # signs of what a mistake gives


def questions_in(
    text: str, file: str, mistakes: Mapping[str, str], problems: list[Problem], words: tuple[str, str] | None = None
) -> tuple[Question, ...]:
    """The questions of one lesson, in order. What is wrong with any of them goes to ``problems``.

    With ``words``, a text and its name, they say in another language what they ask; all else is as it was.
    """
    try:
        raw = load_yaml(text, file)
        over = load_yaml(*words) if words is not None else None
    except Refusal as e:
        problems.append(e.problem)
        return ()
    if words is not None and isinstance(raw, list):
        raw = lay_over(raw, over, lambda line, what, fix: problems.append(Problem.of(words[1], line, what, fix)))
    if not isinstance(raw, list) or not raw:
        problems.append(Problem.of(file, 1, "no list of questions", "start each question with '- id: …'"))
        return ()
    if len(raw) > MOST_QUESTIONS:
        problems.append(Problem.of(file, 1, f"{len(raw)} questions are more than {MOST_QUESTIONS}",
                                        "keep the best ones"))  # fmt: skip
        return ()
    questions: list[Question] = []
    seen: set[str] = set()
    for body in raw:
        if not isinstance(body, dict):
            problems.append(Problem.of(file, line_of(body, 1), "an entry is no question", "start it with '- id: …'"))
            continue
        try:
            question = _Reader(file, body, mistakes).question()
            if question.id in seen:
                raise Refusal.of(file, question.line, f"question '{question.id}' stands twice", "rename one")
        except Refusal as e:
            problems.append(e.problem)
            continue
        seen.add(question.id)
        questions.append(question)
    return tuple(questions)


_ASK_KEYS = ("ask", "right", "says", "because")
_DRAW_KEYS = ("row", "of", "us", "metric", "around", "step", "pick")
_KEYS = {
    "id", "kind", "ask", "must_be_right", "draw", "numbers", "answer", "within", "limit", "mistakes",
    "choices", "items", "free", "drawing", "frame", "describe", "way", "spots", "in_turn", "right", "says", "because",
    "read_again", "where", "__line__",
}  # fmt: skip
_PICTURE_KEYS = ("drawing", "with", "frame", "describe", "way")
MOST_PICTURES = 4  # to choose from: more are too many to compare on a phone
MOST_PICTURED_ITEMS = 6
_GIVES_AWAY = re.compile(r"\b(wrong|right way|correct|mistake)\b", re.IGNORECASE)


class _Reader:
    """Reads one question's mapping, naming its line in every complaint."""

    def __init__(self, file: str, body: dict[str, Any], mistakes: Mapping[str, str]) -> None:
        self.file, self.body, self.known = file, body, mistakes
        self.line = int(body["__line__"])

    def wrong(self, what: str, fix: str, line: int | None = None) -> Refusal:
        return Refusal.of(self.file, line or self.line, what, fix)

    def question(self) -> Question:
        body = self.body
        for key in body:
            if key not in _KEYS:
                known = sorted(_KEYS - {"__line__"})
                raise self.wrong(f"a question has no '{str(key)[:60]}'", suggest(str(key), known, f"use {', '.join(known)}"),
                                 line_of(key, self.line))  # fmt: skip
        id_, kind = str(body.get("id", "")), str(body.get("kind", ""))
        if not re.fullmatch(r"[a-z0-9-]{1,60}", id_):
            raise self.wrong("a question needs an id of small letters, digits and hyphens", "add 'id: …'")
        if kind not in KINDS_OF_QUESTION:
            raise self.wrong(f"{id_}: no kind '{kind[:60]}'", suggest(kind, KINDS_OF_QUESTION, f"use {', '.join(KINDS_OF_QUESTION)}"),
                             line_of(body.get("kind"), self.line))  # fmt: skip
        for key in ("ask", "because", "answer", "right", "read_again"):
            self.words(key)
        for key in ("choices", "items"):
            self.entries(key)  # refuses what is no list
        asks = self.asks(id_) if kind == "point" else ()
        if not body.get("ask") and not asks:
            raise self.wrong(f"{id_} asks nothing", "add 'ask: …'")
        draws = tuple(self.draw(n, d) for n, d in self.mapping("draw").items())
        numbers = self.numbers()
        where = str(body.get("where", ""))
        if where and where not in WHERE:
            raise self.wrong(f"{id_}: '{where[:60]}' names no sites", suggest(where, WHERE, f"use {', '.join(WHERE)}"),
                             line_of(body["where"], self.line))  # fmt: skip
        answer = str(body.get("answer", ""))
        if answer and answer not in numbers:
            raise self.wrong(f"{id_}: the answer '{answer[:60]}' is none of its numbers",
                             suggest(answer, numbers, "name one of numbers:"), line_of(body["answer"], self.line))  # fmt: skip
        items, item_pictures = self.items()
        question = Question(
            id=id_, kind=kind, ask=asks[0].ask if asks else words_of(body["ask"]), line=self.line,
            must_be_right=bool(body.get("must_be_right", False)), draws=draws, numbers=MappingProxyType(numbers),
            answer=answer, within=self.share(body.get("within", "5%")), limit=self.limit(), mistakes=self.mistakes(),
            choices=self.choices(), items=items, item_pictures=item_pictures, free=self.free(len(items)),
            picture=self.picture_above(), spots=tuple(map(str, self.entries("spots"))), asks=asks,
            because=words_of(body.get("because", "")), read_again=str(body.get("read_again", "")), where=where,
        )  # fmt: skip
        self.check(question)
        return question

    def only(self, given: dict[str, Any], keys: Sequence[str], what: str) -> None:
        """Refuse what stands beside ``keys``: most often the rest of a sentence after its first comma."""
        for key, value in given.items():
            if key == "__line__" or key in keys:
                continue
            if value is None:
                raise self.wrong(f"{what} is cut off at a comma: '{str(key)[:60]}' is no part of it",
                                 "put the whole text in quotes", line_of(key, line_of(given, self.line)))  # fmt: skip
            raise self.wrong(f"{what} has no '{str(key)[:60]}'", suggest(str(key), keys, f"use {', '.join(keys)}"),
                             line_of(key, line_of(given, self.line)))  # fmt: skip

    def mapping(self, key: str) -> dict[str, Any]:
        value = self.body.get(key) or {}
        if not isinstance(value, dict):
            raise self.wrong(f"{key} is no mapping", f"write '{key}:' with one entry a line")
        return {k: v for k, v in value.items() if k != "__line__"}

    def drawing(self) -> DrawingSpec | None:
        if not self.mapping("drawing"):  # refuses what is no mapping
            return None
        return read_drawing(self.body["drawing"], self.file, self.line, "either")

    def picture_above(self) -> Picture | None:
        """The picture above the answers: none where choices or items are made of the question's drawing."""
        made_of_it = any(
            isinstance(e, dict) and "drawing" not in e and ("frame" in e or "with" in e)
            for key in ("choices", "items")
            for e in self.entries(key)
        )
        if made_of_it:
            return None
        body = {k: v for k, v in self.body.items() if k in _PICTURE_KEYS and k != "with"} | {"__line__": self.line}
        return self.picture(body, str(self.body.get("id", "")), None)

    def picture(self, raw: Mapping[str, Any], what: str, base: DrawingSpec | None) -> Picture | None:
        """The picture of a choice, an item or the question; ``base`` is the question's drawing where ``raw`` has none."""
        line = line_of(raw, self.line)
        if not any(k in raw for k in _PICTURE_KEYS):
            return None
        if "drawing" in raw:
            if not isinstance(raw["drawing"], dict) or not raw["drawing"]:
                raise self.wrong(f"{what}: drawing is no mapping", "write 'drawing: {scene: …, with: {…}}'", line)
            spec = read_drawing(raw["drawing"], self.file, line, "either")
        elif base is None or not ("frame" in raw or "with" in raw):
            raise self.wrong(
                f"{what} has {', '.join(k for k in _PICTURE_KEYS if k in raw)} and no drawing", "add 'drawing: {scene: …}'", line
            )
        else:
            spec = base
        if "with" in raw:
            more = read_drawing({"scene": spec.scene, "with": raw["with"]}, self.file, line, "either")
            if more.given is None:
                raise self.wrong(f"{what}: with is no block of names", "write 'with: {NAME: REFERENCE}'", line)
            spec = replace(spec, given=MappingProxyType({**(spec.given or {}), **more.given}))
        frame, way, describe = raw.get("frame"), raw.get("way", ""), raw.get("describe", "")
        if frame is not None and (type(frame) is not int or frame < 1):
            raise self.wrong(f"{what}: frame is '{str(frame)[:40]}'", "write the number of a step, the first being 1", line)
        if way not in ("", "wrong"):
            raise self.wrong(f"{what}: way is '{str(way)[:40]}'", "write 'way: wrong', or leave it out", line)
        if isinstance(describe, dict | list) or BLANK.search(str(describe)):
            raise self.wrong(f"{what}: describe is no plain text", "say in words what the picture shows", line)
        told = _GIVES_AWAY.search(str(describe))
        if told:
            raise self.wrong(
                f"{what}: describe says '{told[0]}', which may tell the answer", "say what is to be seen, in neutral words", line
            )
        return Picture(spec, frame, str(describe), "wrong" if way else "")

    def items(self) -> tuple[tuple[str, ...], tuple[Picture | None, ...]]:
        """The texts of the items in their right order, and the picture of each."""
        texts: list[str] = []
        pictures: list[Picture | None] = []
        for n, entry in enumerate(self.entries("items"), 1):
            if not isinstance(entry, dict):
                texts.append(words_of(entry))
                pictures.append(None)
                continue
            self.only(entry, ("text", *_PICTURE_KEYS), "an item")
            texts.append(words_of(entry.get("text") or ""))
            pictures.append(self.picture(entry, f"item {n}", self.drawing()))
            self.seen(texts[-1], pictures[-1], f"item {n}", line_of(entry, self.line))
        return tuple(texts), tuple(pictures) if any(pictures) else ()

    def seen(self, text: str, picture: Picture | None, what: str, line: int) -> None:
        """Refuse what shows nothing, and a picture that says nothing to whoever cannot see it."""
        if not text and picture is None:
            raise self.wrong(f"{what} has no text and no drawing", "add 'text: …' or 'drawing: …'", line)
        if not text and picture is not None and not picture.describe:
            raise self.wrong(f"{what} is a picture alone and does not say what it shows", "add 'describe: …' in neutral words", line)

    def free(self, count: int) -> tuple[tuple[int, ...], ...]:
        """Groups of neighbouring places, counted from 0, whose items may stand in any order."""
        raw = self.entries("free")
        line = next((line_of(key, self.line) for key in self.body if key == "free"), self.line)
        groups = [raw] if raw and all(type(x) is int for x in raw) else raw
        made: list[tuple[int, ...]] = []
        for group in groups:
            whole = isinstance(group, list) and len(group) > 1 and all(type(x) is int for x in group)
            if not whole or sorted(group) != list(range(min(group), min(group) + len(group))) or min(group) < 1 or max(group) > count:
                raise self.wrong("free is no list of places that follow each other", "write 'free: [[2, 3]]', the first item being 1",
                                 line)  # fmt: skip
            made.append(tuple(sorted(x - 1 for x in group)))
        places = [x for group in made for x in group]
        if len(set(places)) != len(places) or any(len(group) == count for group in made):
            raise self.wrong("free names a place twice, or all of them", "leave some order to find", line)
        return tuple(made)

    def entries(self, key: str) -> list[Any]:
        value = self.body.get(key) or []
        if not isinstance(value, list):
            raise self.wrong(f"{key} is no list", "start each entry with a hyphen", line_of(value, self.line))
        return value

    def words(self, key: str) -> None:
        value = self.body.get(key)
        if isinstance(value, dict | list):
            raise self.wrong(f"{key} is no text", "write it on one line, in quotes", line_of(value, self.line))

    def share(self, text: Any) -> float:
        try:
            found = Quantity.read(str(text), "fraction").si
        except CalculationError as e:
            raise self.wrong(f"within: {e.what}", e.fix, line_of(text, self.line)) from None
        if not 0 <= found < 1:
            raise self.wrong(f"within: {str(text)[:40]} is no tolerance", "write a share such as 5%", line_of(text, self.line))
        return found

    def limit(self) -> Limit:
        said = self.body.get("limit", "")
        if said == "most" or said == "least" or said == "":
            return said  # type: ignore[no-any-return]
        raise self.wrong(f"limit is '{str(said)[:40]}'", "write least (a distance to keep) or most (a load)",
                         line_of(said, self.line))  # fmt: skip

    def numbers(self) -> dict[str, Spec]:
        specs: dict[str, Spec] = {}
        for n, b in self.mapping("numbers").items():
            raw = {k: v for k, v in b.items() if k != "__line__"} if isinstance(b, dict) else b
            try:
                specs.update(read_specs({str(n): raw}))
            except NumberProblem as e:
                raise self.wrong(e.what, e.fix, line_of(b, self.line)) from None
        return specs

    def mistakes(self) -> tuple[Mistake, ...]:
        out = []
        for m in self.entries("mistakes"):
            line = line_of(m, self.line)
            if not isinstance(m, dict) or "id" not in m or "gives" not in m:
                raise self.wrong("a mistake needs an id and what it gives", "write '{id: …, gives: …}'", line)
            self.only(m, ("id", "gives", "says"), "a mistake")
            says = str(m.get("says") or self.known.get(str(m["id"]), ""))
            if not says:
                raise self.wrong(f"no mistake is called '{str(m['id'])[:60]}'",
                                 suggest(str(m["id"]), self.known, "add it to mistakes.yml, or 'says:' here"), line)  # fmt: skip
            if len(str(m["gives"])) > _LONGEST_EXPRESSION:
                raise self.wrong(f"mistake {m['id']}: is too long", "write an expression over the question's names", line)
            try:
                gives = tree_in(str(m["gives"]))
            except Exception as e:  # sympy and Python's parser raise errors of every kind on what is no formula
                what = " ".join(str(e).split())[:120]
                raise self.wrong(f"mistake {m['id']}: {what}", "write an expression over the question's names", line) from None
            out.append(Mistake(str(m["id"]), says, gives))
        return tuple(out)

    def choices(self) -> tuple[ChoiceText, ...]:
        out = []
        for c in self.entries("choices"):
            if not isinstance(c, dict) or not {"text", "drawing", "frame", "with"} & set(c):
                raise self.wrong("a choice needs a text", "write '- text: …', or '- drawing: …'", line_of(c, self.line))
            self.only(c, ("text", "right", "says", *_PICTURE_KEYS), "a choice")
            right = bool(c.get("right", False))
            if not right and not c.get("says"):
                raise self.wrong("a wrong choice says nothing", "add 'says: …', one line on just that mistake",
                                 c["__line__"])  # fmt: skip
            picture = self.picture(c, "a choice", self.drawing())
            text = words_of(c["text"]) if c.get("text") is not None else ""
            self.seen(text, picture, "a choice", line_of(c, self.line))
            out.append(ChoiceText(text, right, words_of(c.get("says", "")), picture))
        return tuple(out)

    def asks(self, id_: str) -> tuple[Pointing, ...]:
        """What a point question asks: its ``in_turn``, or the one thing written in the question itself."""
        given = self.entries("in_turn")
        if not given:
            if not self.body.get("ask"):
                return ()
            told = MappingProxyType({k: words_of(v) for k, v in self.mapping("says").items()})
            body = self.body
            return (Pointing(words_of(body["ask"]), str(body.get("right", "")), told, words_of(body.get("because", ""))),)
        if any(key in self.body for key in _ASK_KEYS):
            raise self.wrong(f"{id_} has in_turn: and an ask, right, says or because beside it", "write them under in_turn: only")
        out = []
        for a in given:
            line = line_of(a, self.line)
            if not isinstance(a, dict) or not a.get("ask") or not a.get("right"):
                raise self.wrong(f"{id_}: an entry of in_turn: needs an ask and a right spot", "write '- ask: …' and 'right: …'", line)
            self.only(a, _ASK_KEYS, "an entry of in_turn:")
            says = a.get("says") or {}
            if not isinstance(says, dict) or any(isinstance(a.get(k), dict | list) for k in ("ask", "right", "because")):
                raise self.wrong(f"{id_}: an entry of in_turn: cannot be read", "compare it with another one", line)
            out.append(Pointing(
                words_of(a["ask"]), str(a["right"]), MappingProxyType({k: words_of(v) for k, v in says.items() if k != "__line__"}),
                words_of(a.get("because") or ""),
            ))  # fmt: skip
        return tuple(out)

    def draw(self, name: str, raw: Any) -> Draw:
        if not isinstance(raw, dict):
            raise self.wrong(f"draw {name} is no mapping", "write '{row: …}', '{of: …}', '{us: …, metric: …}' …",
                             line_of(raw, self.line))  # fmt: skip
        self.only(raw, _DRAW_KEYS, f"draw {name}")
        d = {k: v for k, v in raw.items() if k != "__line__"}
        line = line_of(raw, self.line)
        incomplete = self.wrong(f"draw {name} is not complete", "give low, high and step (or the list) for us and for metric", line)
        both = d.get("step") if "around" in d else d.get("pick") if "pick" in d else d
        if not {"row", "of"} & set(d) and (
            not isinstance(both, dict) or not all(isinstance(both.get(s), list) or ("around" in d and s in both) for s in SYSTEMS)
        ):
            raise incomplete
        try:
            if "row" in d:
                if d["row"] not in ROWS:
                    raise self.wrong(f"draw {name}: no rows of '{str(d['row'])[:60]}'",
                                     suggest(str(d["row"]), ROWS, f"use {', '.join(ROWS)}"), line_of(raw, self.line))  # fmt: skip
                return Draw(name, row=str(d["row"]))
            if "of" in d:
                return Draw(name, of=str(d["of"]))
            if "around" in d:
                return Draw(name, around=str(d["around"]), step=MappingProxyType({s: quantity(d["step"][s]) for s in SYSTEMS}))
            if "pick" in d:
                return Draw(name, pick=MappingProxyType({s: tuple(quantity(x) for x in d["pick"][s]) for s in SYSTEMS}))
            made: dict[System, tuple[Quantity, Quantity, Quantity]] = {}
            for s in SYSTEMS:
                if len(d[s]) != 3:
                    raise incomplete
                low, high, step = (quantity(x) for x in d[s])
                made[s] = (low, high, step)
            return Draw(name, steps=MappingProxyType(made))
        except (CalculationError, NumberProblem) as e:
            raise self.wrong(f"draw {name}: {e.what}", e.fix, line) from None

    def check(self, q: Question) -> None:
        if q.kind == "number" and not q.answer:
            raise self.wrong(f"{q.id} has no answer", "add 'answer: NAME' of one of its numbers")
        if q.kind in {"one", "several"} and not q.answer:
            right = sum(c.right for c in q.choices)
            least = 2 if q.pictures and all(q.pictures) else 3
            if len(q.choices) < least or right == 0 or (q.kind == "one" and right != 1):
                raise self.wrong(
                    f"{q.id} needs three choices or more (two where all are pictures), {'one' if q.kind == 'one' else 'some'} right",
                    "mark with 'right: true'",
                )
        if q.kind == "one" and q.answer and len(q.mistakes) < 2:
            raise self.wrong(f"{q.id} needs two named mistakes or more", "add to mistakes:")
        if len(q.pictures) > (MOST_PICTURED_ITEMS if q.items else MOST_PICTURES):
            raise self.wrong(f"{q.id} has {len(q.pictures)} pictures to look at, too many for a phone",
                             f"keep {MOST_PICTURED_ITEMS if q.items else MOST_PICTURES}")  # fmt: skip
        if q.free and q.kind != "order":
            raise self.wrong(f"{q.id} puts nothing in order", "take out free:")
        if q.pictures and q.computed:
            raise self.wrong(f"{q.id} has figures to choose from, and pictures", "take out one or the other")
        if q.kind == "order" and len(q.items) < 3:
            raise self.wrong(f"{q.id} needs three items or more, in the right order", "add to items:")
        if q.kind == "point" and (q.picture is None or not q.asks or any(p.right not in q.spots for p in q.asks)):
            raise self.wrong(f"{q.id} needs a drawing, spots and the right one", "add drawing:, spots:, right:")
        for p in q.asks:
            for spot in q.spots:
                if spot != p.right and spot not in p.says:
                    raise self.wrong(f"{q.id}: spot {spot} says nothing", "add a line to says:", line_of(p.ask, self.line))
        self.check_names(q)

    def check_names(self, q: Question) -> None:
        """Refuses a blank or a mistake with a name that nothing of the question gives."""
        names = {d.name for d in q.draws} | set(q.numbers) | {"machine", "truck", "material"}
        texts: Sequence[str] = [q.ask, q.because, *q.items, *(c.text for c in q.choices),
                                *(c.says for c in q.choices),
                                *(t for p in q.asks for t in (p.ask, p.because, *p.says.values()))]  # fmt: skip
        for text in texts:
            for blank in BLANK.findall(text):
                if blank not in names:
                    raise self.wrong(f"{q.id}: nothing fills the blank {{{blank[:60]}}}",
                                     suggest(blank, names, f"use {', '.join(sorted(names))}"), line_of(text, self.line))  # fmt: skip
        for m in q.mistakes:
            for used in names_in(m.gives):
                if used not in names | {"right", "pi"}:
                    raise self.wrong(f"{q.id}: mistake {m.id} uses '{used[:60]}'",
                                     suggest(used, names | {"right"}, f"use right, {', '.join(sorted(names))}"))  # fmt: skip


def quantity(text: Any) -> Quantity:
    """A quantity whose kind follows from its unit. Raises CalculationError."""
    found = read_written(re.sub("[^\\S\u202f]+", " ", str(text)).strip(), None)
    # a bare number counts something; so does one of passes or trucks
    kind = {"": "count", "1": "count", ":1": "ratio"}.get(unit_key(found.unit) or found.unit) or kind_of_unit(found.unit)
    return Quantity(trimmed(Decimal(found.digits)), find_unit(found.unit, kind), kind)
