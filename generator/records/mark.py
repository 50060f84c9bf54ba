"""Marking a result again, by the figures of its edition and nothing else."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from generator.language.words import said
from generator.quiz.edition import fits
from generator.records.answers import NotAFigure, figure_for, from_slip, within
from generator.records.editions import LessonMarking
from generator.records.flags import Refused
from generator.records.results import Given, Result

_AGAIN = said("ask for the file as the quiz saved it, or for the slip")
LEFT_OPEN = "left open"


@dataclass(frozen=True, slots=True)
class MarkedAnswer:
    """Whether one answer is right, and the mistake it shows: an id, or what was picked."""

    q: str
    right: bool
    mistake: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A result marked again. ``missed_must`` are questions that had to be right.

    ``entry`` is its row of the register. ``told`` says that a short code gave only the score the phone showed:
    ``answers`` is empty then, and nothing was marked here.
    """

    result: Result
    lesson: LessonMarking
    asked: tuple[Mapping[str, Any], ...]  # the questions of this try, in the order of its answers
    answers: tuple[MarkedAnswer, ...]
    right: int
    passed: bool
    missed_must: tuple[str, ...]
    entry: int | None = field(default=None, compare=False)
    told: bool = False
    count: int | None = None  # of questions, where ``answers`` is empty

    @property
    def of(self) -> int:
        """How many questions there were."""
        return len(self.answers) if self.count is None else self.count


def needed(pass_mark: float, count: int) -> int:
    """How many of ``count`` must be right, as the player reckons it."""
    return math.ceil(pass_mark * count - 1e-9)


def mark(result: Result, lesson: LessonMarking) -> Marked:
    """Mark a result. Raises Refused where it does not fit the lesson's questions."""
    questions = asked_in(result, lesson)
    if len(result.answers) != len(questions):
        raise Refused(
            "foreign", said("it has {n} answers where this try asks {of} questions", n=len(result.answers), of=len(questions)) if lesson.sets
            else said("it has {n} answers where this lesson asks {of} questions", n=len(result.answers), of=len(questions)),
            said('check which handbook it comes from'), result.crew, result.lesson,
        )  # fmt: skip
    answers = []
    for given, q in zip(result.answers, questions, strict=True):
        if given.q not in {None, q["id"]} or given.kind not in {None, q["kind"]}:
            raise Refused("foreign", said('its questions are not those of this lesson (at {id})', id=q['id']),
                          said('check which handbook it comes from'), result.crew, result.lesson)  # fmt: skip
        try:
            if not given.answer and result.origin != "paper":
                raise Refused("altered", said("question {id} has no answer", id=q["id"]), _AGAIN)
            answers.append(mark_answer(given, q))
        except Refused as e:
            raise Refused(e.name, e.what, e.fix, result.crew, result.lesson) from None
    right = sum(a.right for a in answers)
    must = tuple(a.q for a, q in zip(answers, questions, strict=True) if q["must"] and not a.right)
    passed = right >= needed(lesson.pass_mark, len(questions)) and not must
    return Marked(result, lesson, questions, tuple(answers), right, passed, must)


def asked_in(result: Result, lesson: LessonMarking) -> tuple[Mapping[str, Any], ...]:
    """The questions a try had to answer: those of its set, or all of the lesson's. Raises Refused."""
    if not lesson.sets:
        if result.set is not None:
            raise Refused("altered", said("it names a set, and this lesson asks all its questions"), _AGAIN, result.crew, result.lesson)
    elif result.set is None or result.set >= len(lesson.sets):
        raise Refused("altered", said("it does not say which of the lesson's questions it was asked"), _AGAIN, result.crew, result.lesson)
    return lesson.asked(result.set)


def mark_answer(given: Given, q: Mapping[str, Any]) -> MarkedAnswer:
    """Mark one answer by its question's marking. Raises Refused where it is no answer to it."""
    if given.variant >= len(q["variants"]):
        raise Refused("altered", said("question {id} has no variant {variant}", id=q["id"], variant=given.variant), _AGAIN)
    variant = q["variants"][given.variant][given.units]
    if not given.answer:  # on paper a question may be left open; the player waits for an answer
        return MarkedAnswer(q["id"], False, LEFT_OPEN)
    if q["kind"] == "number":
        return _number(given, q, variant)
    return _picked(given, q, variant)


def _number(given: Given, q: Mapping[str, Any], variant: Mapping[str, Any]) -> MarkedAnswer:
    if not isinstance(given.answer, str):
        raise Refused("altered", said("question {id} asks for a figure", id=q["id"]), _AGAIN)
    try:
        got = figure_for(given.answer, variant if given.q is not None else from_slip(variant))
    except NotAFigure as e:
        raise Refused("altered", said("question {id}: {what}", id=q["id"], what=e.what), _AGAIN) from None
    if within(variant["accept"].get(got.unit), got.value):
        return MarkedAnswer(q["id"], True, "")
    named = next((name for name, accept in variant["mistakes"] if within(accept.get(got.unit), got.value)), None)
    return MarkedAnswer(q["id"], False, named or "another figure")


def _picked(given: Given, q: Mapping[str, Any], variant: Mapping[str, Any]) -> MarkedAnswer:
    picked, count = given.answer, q["count"]
    if isinstance(picked, str) or not set(picked) <= set(variant["order"]) or len(set(picked)) != len(picked):
        raise Refused("altered", said("question {id} has no such choice", id=q["id"]), _AGAIN)
    if q["kind"] in {"one", "point"} and len(picked) != 1:
        raise Refused("altered", said("question {id} takes one choice", id=q["id"]), _AGAIN)
    if q["kind"] == "order":
        if len(picked) != count:
            raise Refused("altered", said("question {id} asks for all items in order", id=q["id"]), _AGAIN)
        places = [fits(q.get("free", ()), item, place) for place, item in enumerate(picked)]
        if all(places):
            return MarkedAnswer(q["id"], True, "")
        place = places.index(False)
        return MarkedAnswer(q["id"], False, f"{_label(q, picked[place]).rstrip('.')} in place {place + 1}")
    right = set(variant.get("right", q["right"])) & set(variant["order"])
    if set(picked) == right:
        return MarkedAnswer(q["id"], True, "")
    if q["kind"] == "several":
        extra = [i for i in picked if i not in right]
        if extra:
            return MarkedAnswer(q["id"], False, _label(q, extra[0]))
        missed = min(right - set(picked))
        return MarkedAnswer(q["id"], False, f"left out: {_label(q, missed)}")
    # where a drawing is asked about in several ways, the spot alone tells nothing
    asked = f" (asked: {variant['ask']})" if "ask" in variant else ""
    return MarkedAnswer(q["id"], False, _label(q, picked[0]) + asked)


def _label(q: Mapping[str, Any], index: int) -> str:
    return str(q["labels"][index])
