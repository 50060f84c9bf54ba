"""One result as handed in: the file the player saves, or the long code on a slip. Nothing is trusted.

The short code of a slip holds no answers: ``short.py`` reads it, and tells the two apart.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Literal

from generator.language.words import is_code, said
from generator.records.answers import KEYS
from generator.records.flags import Refused
from generator.records.letters import Bits, NoSlip, fnv1a, payload_of
from generator.units.table import System

Origin = Literal["file", "slip", "code", "paper"]
KINDS = ("number", "one", "several", "order", "point")
_PLAIN = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
_ALPHABET = "abcdefghijklmnopqrstuvwxyz"
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_FIELDS = {
    "seatwork_result", "crew", "lesson", "edition", "site", "units", "pass_mark", "started", "finished",
    "tries", "answers", "score_shown", "check",
}  # fmt: skip
_BETWEEN = re.compile(r"[ \t\r\n,;]*")
MOST_PIECES = 600_000  # of one file: values, by the signs that begin or part them
MOST_RESULTS = 20_000  # of one file
MOST_DEEP = 8
_AGAIN = said("ask for the file as the quiz saved it, or for the slip")


@dataclass(frozen=True, slots=True)
class Given:
    """One answer. ``q`` is None on a slip, which only says the kind, by place."""

    q: str | None
    kind: str | None
    variant: int
    units: System
    answer: str | tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Result:
    """A result that is whole. Times are UTC; a slip knows its finish to the minute only."""

    origin: Origin
    where: str
    crew: str
    lesson: str
    edition: str
    figures: str | None
    site: str | None
    started: datetime | None
    finished: datetime
    answers: tuple[Given, ...]
    claimed: float | None = None
    sheet: str = ""
    set: int | None = None  # which of the lesson's sets was asked, where a try asks only some questions
    language: str = ""  # of the page it was taken on; '' where that is not told: the site's main one


def canonical(value: Any) -> str:
    """JSON as the player writes it for its check: sorted keys, no spaces, ASCII only."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)


def _decimal(text: str) -> float | int:
    """A number with a point; a whole one as the player writes it, whoever saved the file again."""
    value = float(text)
    return int(value) if math.isfinite(value) and abs(value) < 1e21 and value == int(value) else value


def check_of(file: Mapping[str, Any]) -> str:
    """The check of a result file: eight hex digits over everything but the check itself."""
    return f"{fnv1a(canonical({k: v for k, v in file.items() if k != 'check'})):08x}"


# --- the file -------------------------------------------------------------------------------


def _no_constant(text: str) -> Any:
    raise ValueError(text)


def objects(text: str) -> list[tuple[int, Any]]:
    """The JSON values in a text, one or several after another, with the lines they start on.

    Raises Refused.
    """
    if sum(map(text.count, ",{[")) > MOST_PIECES:
        raise Refused("unreadable", said("it holds far more than results do"), said("check what was saved"))
    decoder = json.JSONDecoder(parse_constant=_no_constant, parse_float=_decimal)
    out: list[tuple[int, Any]] = []
    at, end, line, seen = 0, len(text), 1, 0
    while True:
        at = _BETWEEN.match(text, at).end()  # type: ignore[union-attr]  # it matches nothing too
        if at >= end:
            break
        line, seen = line + text.count("\n", seen, at), at
        try:
            value, at = decoder.raw_decode(text, at)
        except (ValueError, RecursionError) as e:
            broken = "seatwork_result" in text and isinstance(e, json.JSONDecodeError) and (
                e.pos >= end - 1 or "Unterminated" in e.msg or not text.rstrip().endswith(("}", "]"))
            )  # fmt: skip
            if broken:
                raise Refused("truncated", said("the text ends in the middle"), _AGAIN) from None
            raise Refused("unreadable", said("this is no result file (line {line})", line=line), _AGAIN) from None
        if isinstance(value, list):
            out += [(line, v) for v in value]
        else:
            out.append((line, value))
        if len(out) > MOST_RESULTS:
            raise Refused(
                "unreadable",
                said("it holds more than {most_results} results", most_results=f"{MOST_RESULTS:,}"),
                said("check what was saved, or hand it in in parts"),
            )
    return out


def too_deep(value: Any) -> bool:
    """Whether lists and objects lie deeper in one another than a result's do."""
    level, depth = [value], 0
    while level:
        depth += 1
        if depth > MOST_DEEP:
            return True
        level = [x for v in level for x in (v.values() if isinstance(v, dict) else v if isinstance(v, list) else ())]
    return False


def read_file(file: Any, where: str) -> Result:
    """A result from the JSON of its file. Raises Refused."""
    if not isinstance(file, dict) or "seatwork_result" not in file:
        raise Refused("unreadable", said("this is no result of a quiz"), _AGAIN)
    if too_deep(file):
        raise Refused("unreadable", said("it is nested far deeper than a result is"), _AGAIN)
    crew, lesson = _short(file.get("crew")), _short(file.get("lesson"))
    try:
        return _checked(file, where)
    except Refused as e:
        raise Refused(e.name, e.what, e.fix, crew, lesson) from None


def _short(value: Any) -> str:
    return value[:40] if isinstance(value, str) else ""


def _checked(file: dict[str, Any], where: str) -> Result:
    if file["seatwork_result"] != 1 or isinstance(file["seatwork_result"], bool):
        raise Refused("foreign", said("the result has a layout this program does not know"), said("use the newest Seatwork"))
    missing = sorted(_FIELDS - file.keys())
    if missing:
        raise Refused("truncated", said("it lacks {names}", names=", ".join(missing)), _AGAIN)
    try:
        right = file["check"] == check_of(file)
    except ValueError:  # a whole number of thousands of digits
        right = False
    if not right:
        raise Refused("altered", said("its check does not fit what stands in it"), _AGAIN)
    texts = {k: file[k] for k in ("crew", "lesson", "edition", "site")}
    if "figures" in file:
        texts["figures"] = file["figures"]
    for key, value in texts.items():
        if not isinstance(value, str) or not value or len(value) > 80:
            raise Refused("altered", said("its {key} is no short text", key=key), _AGAIN)
    started, finished = _time(file["started"], "started"), _time(file["finished"], "finished")
    if started > finished:
        raise Refused("times", said("it was finished before it was started"), said("ask for another try; check the phone's clock"))
    answers = file["answers"]
    if not isinstance(answers, list) or not 0 < len(answers) <= 1000:
        raise Refused("altered", said("its answers are no list"), _AGAIN)
    given = []
    for a in answers:
        one = _given(a)
        when = _time(a.get("at"), "at")
        if not started <= when <= finished:
            raise Refused("times", said('question {q} was answered outside the time of the try', q=one.q),
                          said("ask for another try; check the phone's clock"))  # fmt: skip
        given.append(one)
    drawn = file.get("set")
    if drawn is not None and (type(drawn) is not int or not 0 <= drawn < 256):
        raise Refused("altered", said("its set is no set"), _AGAIN)
    language = file.get("language", "")
    if language != "" and not (isinstance(language, str) and is_code(language)):
        raise Refused("altered", said("its language is no code of a language"), _AGAIN)
    score = file["score_shown"]
    claimed = float(score) if isinstance(score, int | float) and not isinstance(score, bool) and abs(score) < 1e6 else -1.0
    return Result("file", where, texts["crew"], texts["lesson"], texts["edition"], texts.get("figures"),
                  texts["site"], started, finished, tuple(given), claimed, set=drawn, language=language)  # fmt: skip


def _time(value: Any, what: str) -> datetime:
    if isinstance(value, str) and _TIME.fullmatch(value):
        try:
            return datetime.fromisoformat(value[:-1]).replace(tzinfo=UTC)
        except ValueError:
            pass
    raise Refused("altered", said("its time '{what}' is no time", what=what), _AGAIN)


def _given(a: Any) -> Given:
    if not isinstance(a, dict):
        raise Refused("altered", said("an answer is no answer"), _AGAIN)
    q, variant, units, answer = a.get("q"), a.get("variant"), a.get("units"), a.get("answer")
    if not isinstance(q, str) or type(variant) is not int or variant < 0 or units not in ("us", "metric"):
        raise Refused("altered", said("an answer does not say what it answers"), _AGAIN)
    if isinstance(answer, str) and len(answer) <= 200:
        return Given(q, None, variant, "us" if units == "us" else "metric", answer)
    if isinstance(answer, list) and len(answer) <= 64 and all(type(i) is int for i in answer):
        return Given(q, None, variant, "us" if units == "us" else "metric", tuple(answer))
    raise Refused("altered", said("question {q} has an answer the quiz cannot have written", q=q[:40]), _AGAIN)


# --- the slip -------------------------------------------------------------------------------


class _SlipBits(Bits):
    """The bits of a long code, with its texts and figures."""

    def text(self) -> str:
        if self.take(1) == 0:
            return "".join(self.one_of(_PLAIN, 6) for _ in range(self.take(6)))
        try:
            return bytes(self.take(8) for _ in range(self.take(8))).decode("utf-8")
        except UnicodeDecodeError:
            raise NoSlip from None

    def number(self) -> str:
        out = ""
        while (nibble := self.take(4)) != 15:
            if nibble == 14:
                key = self.one_of(KEYS, 8)
                # a plain number is told by a word: a second figure would not be read as a unit
                out += f" {'times' if key == '1' else key} "
            else:
                out += "0123456789./ -"[nibble]
        return out.strip()


def read_slip(code: str, where: str, *, search: bool = True) -> Result:
    """A result from a slip's code. Raises Refused; with ``search`` its line says where the slip of the pen may be."""
    return read_payload(payload_of(code, sound if search else None), where)


def read_payload(payload: str, where: str) -> Result:
    """A result from the letters of a slip's code before its last group. Raises Refused."""
    try:
        return _slip(_SlipBits(payload), where)
    except NoSlip:
        raise Refused("altered", said("the slip code holds no result"), said("ask for the slip again")) from None


def sound(payload: str) -> bool:
    """Whether letters that add up hold a result too."""
    try:
        _slip(_SlipBits(payload), "")
    except (NoSlip, Refused):
        return False
    return True


def _slip(bits: _SlipBits, where: str) -> Result:
    layout = bits.take(4)
    if layout not in {1, 2, 3, 5}:
        raise Refused("foreign", said("the slip has a layout this program does not know"), said("use the newest Seatwork"))
    crew, lesson, edition = bits.text(), bits.text(), bits.text()
    figures = f"{bits.take(20):05x}" if layout > 1 else None
    language = "".join(bits.one_of(_ALPHABET, 5) for _ in range(2)) if layout == 5 else ""
    drawn = bits.take(8) if layout == 3 or (layout == 5 and bits.take(1)) else None
    finished = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(minutes=bits.take(25))
    given: list[Given] = []
    for _ in range(bits.take(6)):
        units: System = "metric" if bits.take(1) else "us"
        kind, variant = bits.one_of(KINDS, 3), bits.take(8)
        answer: str | tuple[int, ...]
        if kind == "number":
            answer = bits.number()
        elif kind == "several":
            answer = tuple(i for i in range(bits.take(5)) if bits.take(1))
        elif kind == "order":
            answer = tuple(bits.take(5) for _ in range(bits.take(5)))
        else:
            answer = (bits.take(5),)
        given.append(Given(None, kind, variant, units, answer))
    if not given or not crew or not lesson or not edition:
        raise NoSlip
    return Result("slip", where, crew, lesson, edition, figures, None, None, finished, tuple(given), set=drawn, language=language)
