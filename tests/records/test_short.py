"""The short code of a slip: what it says, whom it fits, and that nothing of it is taken for marked."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from generator.records.demo_class import result_file, slip_code
from generator.records.editions import LessonMarking
from generator.records.flags import Refused
from generator.records.letters import LETTERS, fnv1a, slip_letters, sum_letters
from generator.records.mark import mark
from generator.records.results import Given, Result, check_of, read_file, read_slip
from generator.records.short import ShortCode, answers_hash, crew_hash, read_code, read_short, resolve, same_try, short_of, told
from tests.records.small import questions
from tests.records.test_marking import slip

START = datetime(2026, 3, 10, 9, 0, 30, tzinfo=UTC)
IDS = ("P-01", "P-02", "P-03")


def lesson(id_: str = "bench-height", edition: str = "2026-1", figures: str = "abcde123", sets: Any = ()) -> LessonMarking:
    return LessonMarking(id_, edition, id_, "excavator", figures, 0.8, tuple(questions()), Path("x"), sets)


def a_file(m: LessonMarking, crew: str = "P-01", rights: tuple[bool, ...] = (True,) * 5, seed: int = 0) -> dict[str, Any]:
    return result_file(m, "juniper-bench", crew, START, random.Random(f"short|{seed}"), rights, "us")


def short(crew: str = "P-01", m: LessonMarking | None = None, rights: tuple[bool, ...] = (True,) * 5) -> ShortCode:
    one = m or lesson()
    found = short_of(mark(read_file(a_file(one, crew, rights), "f"), one))
    assert found is not None
    return found


def refused(code: str, **options: bool) -> Refused:
    with pytest.raises(Refused) as caught:
        read_code(code, "s.csv:2", **options)
    return caught.value


def unfit(one: ShortCode, crew: tuple[str, ...] = IDS, lessons: tuple[LessonMarking, ...] = ()) -> str:
    with pytest.raises(Refused) as caught:
        resolve(one, crew, lessons or (lesson(),))
    return str(caught.value.flag("s.csv:2"))


# --- the letters --------------------------------------------------------------------------------


def folded(text: str, width: int) -> int:
    h = fnv1a(text)
    return ((h >> width) ^ h) % (1 << width)


def test_the_layout_by_hand() -> None:
    minute = int((datetime(2026, 3, 10, 9, 6, tzinfo=UTC) - datetime(2020, 1, 1, tzinfo=UTC)).total_seconds()) // 60
    who, which = folded('"P-01"', 21), folded('["bench-height","2026-1"]', 9)
    bits = f"0100{who:021b}{0xABCDE:020b}{which:09b}"
    bits += f"{minute:024b}" + "00100" + "00101" + "1" + f"{1234:011b}"
    assert len(bits) == 100
    payload = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, 100, 5))
    whole = payload + sum_letters(payload)
    found = read_short(whole, "s.csv:2")
    assert found == ShortCode("s.csv:2", who, 0xABCDE, which,
                              datetime(2026, 3, 10, 9, 6, tzinfo=UTC), 4, 5, True, 1234)  # fmt: skip
    assert found.letters == "-".join(whole[i : i + 4] for i in range(0, 24, 4))


def test_what_is_written_is_read() -> None:
    one = short()
    again = read_short(one.letters.lower().replace("-", " "), "f")
    assert again == one and len(slip_letters(one.letters)) == 24 and one.letters[0] in "89"
    assert (one.right, one.of, one.missed_must, one.figures) == (5, 5, False, 0xABCDE)
    assert one.finished == mark(read_file(a_file(lesson()), "f"), lesson()).result.finished.replace(second=0)


@pytest.mark.parametrize("day", ["2020-01-01T00:00:00", "2050-12-31T23:59:00"])
def test_days_it_can_hold(day: str) -> None:
    one = replace(short(), finished=datetime.fromisoformat(day).replace(tzinfo=UTC))
    assert read_short(one.letters, "f") == one


def test_what_does_not_fit_has_no_short_code() -> None:
    m = lesson()
    marked = mark(read_file(a_file(m), "f"), m)
    first = datetime(2020, 1, 1, tzinfo=UTC)
    late, early, soon, last = (
        replace(marked, result=replace(marked.result, finished=first + timedelta(minutes=n))) for n in (2**24, -1, 0, 2**24 - 1)
    )
    assert [one.finished for one in map(short_of, (soon, last)) if one] == [soon.result.finished, last.result.finished]
    paper = replace(marked, result=replace(marked.result, origin="paper"))
    assert [short_of(x) for x in (late, early, paper, replace(marked, count=32))] == [None] * 4
    most = short_of(replace(marked, count=31))
    assert most is not None and read_short(most.letters, "f").of == 31


def test_every_letter_mistyped_and_every_two_neighbours_swapped_are_found() -> None:
    good = short().letters
    for at, letter in enumerate(good):
        if letter == "-":
            continue
        for other in LETTERS.replace(letter, ""):
            assert refused(good[:at] + other + good[at + 1 :], search=False).name == "mistyped"
        group, was = at // 5, good[5 * (at // 5) : 5 * (at // 5) + 4]
        typed = good[:at] + ("7" if letter != "7" else "4") + good[at + 1 :]
        assert refused(typed).fix == f"look at group {group + 1}: does the slip say {was} there, not {typed[5 * group : 5 * group + 4]}?"
    letters = good.replace("-", "")
    for at in range(23):
        if letters[at] != letters[at + 1]:
            assert refused(letters[:at] + letters[at + 1] + letters[at] + letters[at + 2 :]).name == "mistyped"
    assert refused(letters[:-1]).name == "truncated" and refused("x").name == "mistyped"


def test_a_hint_is_a_code_that_holds_a_result() -> None:
    m = lesson()
    long = slip_code(a_file(m), m)
    wrong = ("7" if long[0] != "7" else "6") + long[1:]
    assert refused(wrong).fix == f"look at group 1: does the slip say {long[:4]} there, not {wrong[:4]}?"
    with pytest.raises(Refused) as caught:
        read_short("B" + short().letters[1:], "f")
    assert caught.value.fix.startswith("look at group 1: ")
    empty = replace(short(), of=0, right=0).letters
    assert refused(empty[:-1] + ("7" if empty[-1] != "7" else "6")).fix.startswith("compare it with the slip")


def test_letters_that_hold_no_result() -> None:
    for wrong in (replace(short(), of=0, right=0), replace(short(), right=6), replace(short(), missed_must=True)):
        assert "holds no result" in refused(wrong.letters).what


def test_any_letters_that_add_up_are_read_or_refused() -> None:
    rng = random.Random("any letters")
    read = 0
    for _ in range(3000):
        payload = rng.choice("89" + LETTERS) + "".join(rng.choices(LETTERS, k=rng.choice((19, 19, 3, 23, 39))))
        try:
            found = read_code(payload + sum_letters(payload), "f")
        except Refused as e:
            assert e.name in {"altered", "foreign"}
            continue
        if isinstance(found, ShortCode):
            read += 1
            assert found.letters.replace("-", "")[1:20] == payload[1:]
    assert read > 50


def test_long_and_short_codes_are_told_apart() -> None:
    m = lesson()
    long = slip_code(a_file(m), m)
    assert read_code(long, "f") == read_slip(long, "f") and isinstance(read_code(short().letters, "f"), ShortCode)
    with pytest.raises(Refused, match="this is the long code"):
        read_short(long, "f")
    for layout in (1, 2, 3):  # printed on slips of other years
        assert read_code(slip(layout=layout), "f") == read_slip(slip(layout=layout), "f")
    # a long code of 24 letters: ids of one letter, one question
    text = "0" + f"{1:06b}" + f"{10:06b}"
    bits = "0001" + text * 3 + f"{61:025b}" + f"{1:06b}" + "0" + "001" + f"{3:08b}" + f"{2:05b}"
    bits += "0" * (100 - len(bits))
    payload = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, 100, 5))
    found = read_code(payload + sum_letters(payload), "f")
    assert isinstance(found, Result) and found.crew == "A"


# --- whom and what it is about ------------------------------------------------------------------


def test_the_person_and_the_lesson_are_found() -> None:
    others = (lesson(figures="abcdf123"), lesson(edition="2026-2"), lesson("truck-match", figures="12345678"), lesson())
    assert resolve(short("P-02"), IDS, others) == (lesson(), "P-02")
    assert resolve(short("P-02", others[1]), IDS, others) == (others[1], "P-02")  # the same figures in another edition
    plain = replace(short(), figures=folded('["bench-height","2026-1"]', 20))  # from a page without figures
    assert resolve(plain, IDS, (lesson(),)) == (lesson(), "P-01")


def test_an_id_is_found_whatever_its_case() -> None:
    assert crew_hash("p-01") == crew_hash("P-01") != crew_hash("P-02")
    assert resolve(short("p-01"), IDS, (lesson(),))[1] == "P-01"
    assert crew_hash("Jörg 7") == folded('"J\\u00f6RG 7"', 21)


def test_nobody_no_lesson_or_more_than_one() -> None:
    assert unfit(short("P-09")) == (
        "s.csv:2: foreign: no crew id of this site fits the short code; check who handed it in, and at which site")  # fmt: skip
    assert "foreign: the short code fits P-01 and p-01 alike; ask for the result file" in unfit(short(), ("P-01", "p-01"))
    assert "foreign: no lesson of the editions kept here fits" in unfit(
        short(), lessons=(lesson(edition="2026-2"), lesson(figures="fffff123"))
    )
    assert "put the older files back into editions/" in unfit(short(), lessons=(lesson(edition="2026-2"),))
    assert "fits more than one lesson; ask for the result file" in unfit(short(), lessons=(lesson(), lesson(figures="abcde999")))
    assert "the short code has 5 questions where a try asks 2 or 3" in unfit(short(), lessons=(lesson(sets=((0, 1), (2, 3, 4))),))


def test_a_class_of_200_has_hashes_of_its_own() -> None:
    ids = [f"P-{n:02}" for n in range(1, 201)]
    assert len({crew_hash(i) for i in ids}) == 200


# --- what it comes to ---------------------------------------------------------------------------


@pytest.mark.parametrize(("right", "must", "passed"), [(5, False, True), (4, False, True), (3, False, False), (4, True, False)])
def test_it_is_told_and_not_marked(right: int, must: bool, passed: bool) -> None:
    one = replace(short(), right=right, missed_must=must)
    found = told(one, *resolve(one, IDS, (lesson(),)))
    assert found.told and found.answers == () and found.result.answers == () and found.result.origin == "code"
    assert (found.right, found.of, found.passed, found.result.claimed) == (right, 5, passed, right / 5)
    assert bool(found.missed_must) is must and found.result.crew == "P-01" and found.result.site is None
    assert short_of(found) is None


def test_the_file_and_the_long_code_are_the_same_try() -> None:
    m = lesson(sets=((0, 1, 2, 3, 4), (4, 3, 2, 1, 0)))
    for seed in range(30):
        file = a_file(m, rights=(True, False, True, seed % 2 == 0, True), seed=seed)
        by_file, by_slip = mark(read_file(file, "f"), m), mark(read_slip(slip_code(file, m), "s"), m)
        one = short_of(by_file)
        assert one is not None and same_try(one, by_file) and same_try(one, by_slip)
        assert one == replace(short_of(by_slip) or one, where="f")


def test_the_hash_of_the_answers_by_hand() -> None:
    m = lesson(sets=((0, 1), (3, 2)))
    made = a_file(m, rights=(True, True))
    answers = [{"q": q["id"], "variant": v, "units": u, "answer": a, "at": made["finished"]} for q, v, u, a in (
        (m.questions[0], 2, "us", "-9' 10½\""), (m.questions[1], 1, "metric", [2]))]  # fmt: skip
    file = made | {"answers": answers, "set": 0}
    marked = mark(read_file(file | {"check": check_of(file)}, "f"), m)
    assert answers_hash(marked.result, m) == folded("0|u2:-9 ft 10 1/2 in;m1:2", 11)
    several = replace(marked.result, set=1, answers=(Given(None, None, 0, "us", (3, 0, 1, 2)), Given(None, None, 0, "us", (0, 2))))
    assert answers_hash(several, m) == folded("1|u0:3,0,1,2;u0:0,2", 11)
    alone = lesson()
    assert answers_hash(replace(several, set=None, answers=several.answers[:1]), replace(alone, questions=alone.questions[3:4])) == folded(
        "|u0:3,0,1,2", 11
    )


def test_another_try_is_another() -> None:
    m = lesson()
    one, marked = short(), mark(read_file(a_file(m), "f"), m)
    r = marked.result
    swapped = replace(r, answers=(replace(r.answers[0], variant=r.answers[0].variant ^ 1), *r.answers[1:]))
    wrong = replace(r, answers=(*r.answers[:1], replace(r.answers[1], answer=(2,)), *r.answers[2:]))
    for other in (replace(r, crew="P-02"), replace(r, finished=r.finished + timedelta(minutes=1)), replace(r, edition="2026-2"),
                  replace(r, figures="fffff123"), swapped, wrong):  # fmt: skip
        assert not same_try(one, replace(marked, result=other))
    assert same_try(replace(one, right=3), marked)  # whatever the score: the marking here counts
    assert not same_try(one, told(one, m, "P-01"))  # a code does not prove itself
