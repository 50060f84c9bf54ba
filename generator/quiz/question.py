"""What a question is, and reading questions from ``questions/LESSON.yml``."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Any, Literal

from generator.calc.expression import Node, names_in, tree_of, written_expression
from generator.drawing.spec import DrawingSpec, read_drawing
from generator.source.near import suggest
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
    steps: Mapping[System, tuple[Quantity, Quantity, Quantity]] = field(default_factory=dict)
    around: str | None = None
    step: Mapping[System, Quantity] = field(default_factory=dict)
    pick: Mapping[System, tuple[Quantity, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Mistake:
    """A named mistake: what it gives (an expression over SI values), and what to tell."""

    id: str
    says: str
    gives: Node


@dataclass(frozen=True, slots=True)
class ChoiceText:
    """A choice written out, right or wrong; a wrong one says what is wrong with it."""

    text: str
    right: bool
    says: str = ""


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
    numbers: Mapping[str, Spec] = field(default_factory=dict)
    answer: str = ""
    within: float = 0.05
    limit: Limit = ""  # whether the answer must not be gone past: then only the safe side counts
    mistakes: tuple[Mistake, ...] = ()
    choices: tuple[ChoiceText, ...] = ()
    items: tuple[str, ...] = ()
    drawing: DrawingSpec | None = None
    spots: tuple[str, ...] = ()
    asks: tuple[Pointing, ...] = ()  # of a point question: each variant asks one of them
    because: str = ""  # shown with the right answer where there is no working
    read_again: str = ""

    @cached_property
    def blanks(self) -> frozenset[str]:
        """Names that stand as blanks in any of its texts."""
        texts = [self.ask, self.because, *self.items, *(c.text for c in self.choices)]
        texts += [c.says for c in self.choices] + [m.says for m in self.mistakes]
        texts += [t for p in self.asks for t in (p.ask, p.because, *p.says.values())]
        return frozenset(name for t in texts for name in BLANK.findall(t))

    @property
    def computed(self) -> bool:
        """Whether choices are figures: the right one and what the named mistakes give."""
        return self.kind == "one" and bool(self.answer)


def words_of(value: Any) -> str:
    """A value as text that still knows its line."""
    return value if isinstance(value, str) else str(value)


MOST_QUESTIONS = 60  # of one lesson
_LONGEST_EXPRESSION = 200  # signs of what a mistake gives


def questions_in(text: str, file: str, mistakes: Mapping[str, str], problems: list[Problem]) -> tuple[Question, ...]:
    """The questions of one lesson, in order. What is wrong with any of them goes to ``problems``."""
    try:
        raw = load_yaml(text, file)
    except Refusal as e:
        problems.append(e.problem)
        return ()
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
    "choices", "items", "drawing", "spots", "in_turn", "right", "says", "because", "read_again", "__line__",
}  # fmt: skip


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
        asks = self.asks(id_) if kind == "point" else ()
        if not body.get("ask") and not asks:
            raise self.wrong(f"{id_} asks nothing", "add 'ask: …'")
        draws = tuple(self.draw(n, d) for n, d in self.mapping("draw").items())
        numbers = self.numbers()
        answer = str(body.get("answer", ""))
        if answer and answer not in numbers:
            raise self.wrong(f"{id_}: the answer '{answer[:60]}' is none of its numbers",
                             suggest(answer, numbers, "name one of numbers:"), line_of(body["answer"], self.line))  # fmt: skip
        question = Question(
            id=id_, kind=kind, ask=asks[0].ask if asks else words_of(body["ask"]), line=self.line,
            must_be_right=bool(body.get("must_be_right", False)), draws=draws, numbers=numbers,
            answer=answer, within=self.share(body.get("within", "5%")), limit=self.limit(), mistakes=self.mistakes(),
            choices=self.choices(), items=tuple(words_of(i) for i in self.entries("items")),
            drawing=self.drawing(), spots=tuple(map(str, self.entries("spots"))), asks=asks,
            because=words_of(body.get("because", "")), read_again=str(body.get("read_again", "")),
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
        return read_drawing(self.body["drawing"], self.file, self.line)

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
            return Quantity.read(str(text), "fraction").si
        except CalculationError as e:
            raise self.wrong(f"within: {e.what}", e.fix, line_of(text, self.line)) from None

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
                gives = tree_of(written_expression(str(m["gives"])))
            except Exception as e:  # sympy and Python's parser raise errors of every kind on what is no formula
                what = " ".join(str(e).split())[:120]
                raise self.wrong(f"mistake {m['id']}: {what}", "write an expression over the question's names", line) from None
            out.append(Mistake(str(m["id"]), says, gives))
        return tuple(out)

    def choices(self) -> tuple[ChoiceText, ...]:
        out = []
        for c in self.entries("choices"):
            if not isinstance(c, dict) or "text" not in c:
                raise self.wrong("a choice needs a text", "write '- text: …'", line_of(c, self.line))
            self.only(c, ("text", "right", "says"), "a choice")
            right = bool(c.get("right", False))
            if not right and not c.get("says"):
                raise self.wrong("a wrong choice says nothing", "add 'says: …', one line on just that mistake",
                                 c["__line__"])  # fmt: skip
            out.append(ChoiceText(words_of(c["text"]), right, words_of(c.get("says", ""))))
        return tuple(out)

    def asks(self, id_: str) -> tuple[Pointing, ...]:
        """What a point question asks: its ``in_turn``, or the one thing written in the question itself."""
        given = self.entries("in_turn")
        if not given:
            if not self.body.get("ask"):
                return ()
            says = {k: words_of(v) for k, v in self.mapping("says").items()}
            body = self.body
            return (Pointing(words_of(body["ask"]), str(body.get("right", "")), says, words_of(body.get("because", ""))),)
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
                words_of(a["ask"]), str(a["right"]), {k: words_of(v) for k, v in says.items() if k != "__line__"},
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
                return Draw(name, around=str(d["around"]), step={s: quantity(d["step"][s]) for s in SYSTEMS})
            if "pick" in d:
                return Draw(name, pick={s: tuple(quantity(x) for x in d["pick"][s]) for s in SYSTEMS})
            made: dict[System, tuple[Quantity, Quantity, Quantity]] = {}
            for s in SYSTEMS:
                if len(d[s]) != 3:
                    raise incomplete
                low, high, step = (quantity(x) for x in d[s])
                made[s] = (low, high, step)
            return Draw(name, steps=made)
        except (CalculationError, NumberProblem) as e:
            raise self.wrong(f"draw {name}: {e.what}", e.fix, line) from None

    def check(self, q: Question) -> None:
        if q.kind == "number" and not q.answer:
            raise self.wrong(f"{q.id} has no answer", "add 'answer: NAME' of one of its numbers")
        if q.kind in {"one", "several"} and not q.answer:
            right = sum(c.right for c in q.choices)
            if len(q.choices) < 3 or right == 0 or (q.kind == "one" and right != 1):
                raise self.wrong(
                    f"{q.id} needs three choices or more, {'one' if q.kind == 'one' else 'some'} right",
                    "mark with 'right: true'",
                )
        if q.kind == "one" and q.answer and len(q.mistakes) < 2:
            raise self.wrong(f"{q.id} needs two named mistakes or more", "add to mistakes:")
        if q.kind == "order" and len(q.items) < 3:
            raise self.wrong(f"{q.id} needs three items or more, in the right order", "add to items:")
        if q.kind == "point" and (not q.drawing or not q.asks or any(p.right not in q.spots for p in q.asks)):
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
    found = read_written(" ".join(str(text).split()), None)
    # a bare number counts something; so does one of passes or trucks
    kind = {"": "count", "1": "count", ":1": "ratio"}.get(unit_key(found.unit) or found.unit) or kind_of_unit(found.unit)
    return Quantity(trimmed(Decimal(found.digits)), find_unit(found.unit, kind), kind)
