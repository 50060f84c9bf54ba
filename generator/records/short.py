"""The short code of a slip: 24 letters copied by hand, which say what the phone showed and no more.

It holds hashes of who, which lesson and which figures, the minute the try was finished, the score and a hash of the
answers. The answers themselves are not in it, so **nothing of it is marked again**: whoever can work out the
letters can write any score. What comes of it is kept as told (``Marked.told``) until the file or the long code is
handed in; ``same_try`` joins the two. The layout stands at the top of ``content/look/result-code.js``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache

from generator.language.words import said
from generator.records.answers import from_slip, typed_for
from generator.records.editions import LessonMarking
from generator.records.flags import Refused
from generator.records.letters import LETTERS, Bits, fnv1a, fold, payload_of, sum_letters
from generator.records.mark import Marked, asked_in, needed
from generator.records.results import Given, Result, canonical, read_payload, sound

LAYOUT = 4  # the long codes have 1, 2 and 3
LENGTH = 20  # letters, without the last group
A_MUST = "a question"  # the code says that one was missed, not which
_START = datetime(2020, 1, 1, tzinfo=UTC)
# who, figures, lesson with edition, minute, right, of, whether a question that must be right was missed, answers
_WIDTHS = (21, 20, 9, 24, 5, 5, 1, 11)
_CREW, _FIGURES, _LESSON, _MINUTE, _COUNT, _, _, _ANSWERS = _WIDTHS
_FILE = said("ask for the result file, or read the square on the slip")


@dataclass(frozen=True, slots=True)
class ShortCode:
    """What a short code says. ``crew``, ``figures``, ``lesson`` and ``answers`` are hashes; ``finished`` is UTC, to the minute."""

    where: str
    crew: int
    figures: int
    lesson: int
    finished: datetime
    right: int
    of: int
    missed_must: bool
    answers: int

    @property
    def letters(self) -> str:
        """The code itself, in groups of four."""
        minute = (self.finished - _START) // timedelta(minutes=1)
        values = (self.crew, self.figures, self.lesson, minute, self.right, self.of, self.missed_must, self.answers)
        bits = f"{LAYOUT:04b}" + "".join(f"{v:0{w}b}" for v, w in zip(values, _WIDTHS, strict=True))
        payload = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, len(bits), 5))
        whole = payload + sum_letters(payload)
        return "-".join(whole[i : i + 4] for i in range(0, len(whole), 4))


# --- hashes: the same in the page -----------------------------------------------------------------


@lru_cache(maxsize=4096)
def crew_hash(crew: str) -> int:
    """21 bits of a crew id, whatever the case of its letters: the page takes an id in either."""
    return fold(fnv1a(canonical("".join(c.upper() if c.isascii() else c for c in crew))), _CREW)


@lru_cache(maxsize=4096)
def _lesson_hash(lesson: str, edition: str, width: int) -> int:
    return fold(fnv1a(canonical([lesson, edition])), width)


def _figures(figures: str | None, lesson: str, edition: str) -> int:
    """The first five hex digits of a lesson's figures; a hash of its name where a page has none."""
    return int(figures[:5], 16) if figures else _lesson_hash(lesson, edition, _FIGURES)


def answers_hash(result: Result, lesson: LessonMarking) -> int:
    """11 bits of the answers of a result that was marked by ``lesson``: the same from a file and from its long code."""
    rows = []
    for given, q in zip(result.answers, asked_in(result, lesson), strict=True):
        rows.append(f"{given.units[0]}{given.variant}:{_plain(given, q['variants'][given.variant][given.units])}")
    return fold(fnv1a(f"{'' if result.set is None else result.set}|{';'.join(rows)}"), _ANSWERS)


def _plain(given: Given, variant: object) -> str:
    if not isinstance(given.answer, str):
        picked: Sequence[int] = given.answer
        return ",".join(map(str, picked))
    assert isinstance(variant, dict)
    typed = typed_for(given.answer, variant if given.q is not None else from_slip(variant))
    return typed.sign + " ".join(f"{p.plain} {p.unit}" for p in typed.parts)


# --- reading ----------------------------------------------------------------------------------------


def read_code(code: str, where: str, *, search: bool = True) -> Result | ShortCode:
    """What a typed code says: a short one, or the long one with all answers. Raises Refused."""
    payload = payload_of(code, _either if search else None)
    return _short(payload, where) if _is_short(payload) else read_payload(payload, where)


def read_short(code: str, where: str, *, search: bool = True) -> ShortCode:
    """What a short code says. Raises Refused; with ``search`` its line says where the slip of the pen may be."""
    found = read_code(code, where, search=search)
    if isinstance(found, Result):
        raise Refused("foreign", said("this is the long code"), said("read it as such"), found.crew, found.lesson)
    return found


def _is_short(payload: str) -> bool:
    return len(payload) == LENGTH and Bits(payload).take(4) == LAYOUT


def _either(payload: str) -> bool:
    """Whether letters that add up hold a result, in one way or the other."""
    if not _is_short(payload):
        return sound(payload)
    try:
        _short(payload, "")
    except Refused:
        return False
    return True


def _short(payload: str, where: str) -> ShortCode:
    bits = Bits(payload)
    bits.take(4)
    crew, figures, lesson, minute, right, of, missed, answers = (bits.take(w) for w in _WIDTHS)
    if not of or right > of or (missed and right == of):
        raise Refused("altered", said("the short code holds no result"), said("ask for the slip again"))
    return ShortCode(where, crew, figures, lesson, _START + timedelta(minutes=minute), right, of, bool(missed), answers)


# --- what it comes to -------------------------------------------------------------------------------


def resolve(short: ShortCode, crew: Iterable[str], lessons: Iterable[LessonMarking]) -> tuple[LessonMarking, str]:
    """The lesson and the crew id a short code is about, of those given. Raises Refused where none or several fit.

    ``lessons`` are those of all editions kept, the older figures among them.
    """
    who = [c for c in dict.fromkeys(crew) if crew_hash(c) == short.crew]
    if len(who) != 1:
        some = " and ".join(who[:2])
        raise Refused("foreign", said('the short code fits {some} alike', some=some) if who else said('no crew id of this site fits the short code'),
                      _FILE if who else said('check who handed it in, and at which site'))  # fmt: skip
    fitting = {(m.id, m.edition, m.figures): m for m in lessons if _fits(short, m)}
    if len(fitting) != 1:
        raise Refused("foreign", said('the short code fits more than one lesson') if fitting else said('no lesson of the editions kept here fits the short code'),
                      _FILE if fitting else said('check which handbook it comes from, or put the older files back into editions/'), who[0])  # fmt: skip
    lesson = next(iter(fitting.values()))
    counts = {len(s) for s in lesson.sets} or {len(lesson.questions)}
    if short.of not in counts:
        raise Refused("altered", said('the short code has {of} questions where a try asks {names}', of=short.of, names=' or '.join(map(str, sorted(counts)))),
                      _FILE, who[0], lesson.id)  # fmt: skip
    return lesson, who[0]


def _fits(short: ShortCode, m: LessonMarking) -> bool:
    digits = m.figures[:5] == f"{short.figures:05x}" or short.figures == _lesson_hash(m.id, m.edition, _FIGURES)
    return digits and short.lesson == _lesson_hash(m.id, m.edition, _LESSON)


def told(short: ShortCode, lesson: LessonMarking, crew: str) -> Marked:
    """What a short code tells, as a result. It was **not marked again**: the score is the one the phone showed."""
    result = Result(
        "code", short.where, crew, lesson.id, lesson.edition, lesson.figures, None, None, short.finished, (), short.right / short.of
    )
    passed = short.right >= needed(lesson.pass_mark, short.of) and not short.missed_must
    return Marked(result, lesson, (), (), short.right, passed, (A_MUST,) if short.missed_must else (), told=True, count=short.of)


def short_of(marked: Marked) -> ShortCode | None:
    """The short code that belongs to a result which was marked here; None where a slip would carry none."""
    r = marked.result
    minute = (r.finished - _START) // timedelta(minutes=1)
    if r.figures and not re.match(r"[0-9a-f]{5}", r.figures):
        return None  # no build writes such an edition
    if r.origin not in {"file", "slip"} or marked.of >= 1 << _COUNT or not 0 <= minute < 1 << _MINUTE:
        return None
    return ShortCode(
        r.where, crew_hash(r.crew), _figures(r.figures, r.lesson, r.edition), _lesson_hash(r.lesson, r.edition, _LESSON),
        _START + timedelta(minutes=minute), marked.right, marked.of, bool(marked.missed_must), answers_hash(r, marked.lesson),
    )  # fmt: skip


def same_try(short: ShortCode, marked: Marked) -> bool:
    """Whether a file or long code is that of the try a short code tells of, whatever score either says."""
    other = short_of(marked)
    return other is not None and (short.crew, short.figures, short.lesson, short.finished, short.answers) == (
        other.crew, other.figures, other.lesson, other.finished, other.answers,
    )  # fmt: skip
