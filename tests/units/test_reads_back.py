"""Whatever is printed reads back as what it was, through every door a figure comes in by."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.jobsite import cells
from generator.jobsite.columns import Column
from generator.quiz.question import quantity
from generator.records.answers import figure_for
from generator.records.editions import LessonMarking
from generator.records.results import read_slip
from generator.records.short import answers_hash, read_short
from generator.source.problem import Refusal
from generator.units import browser as of_the_page
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.reading import read_typed
from generator.units.table import KINDS, UNITS, convertible, find_unit, to_si, unit_key

LOOK = Path(__file__).parents[2] / "content" / "look"
PAIRS = [(kind, unit) for kind in KINDS for unit in UNITS if convertible(unit, kind)]
FIGURES = [Decimal(x) for x in ("1", "1.5", "1234.5", "0.25", "10", "14", "3", "1234", "-2.5", "1234567", "0.001", "100000000")]
SIGNS = {" ": " ", "thin": "\u2009", "narrow": "\u202f", "no-break": "\u00a0"}


def column(kind: str) -> Column:
    """A column wide enough for any figure of its kind."""
    end = "1000000000000000" + {":1": ":1", "1": ""}.get(KINDS[kind].us, f" {KINDS[kind].us}")
    return Column("c", "a figure", kind, f"-{end}", end, KINDS[kind].example.split(" or ")[0], KINDS[kind].example.split(" or ")[0])


COLUMNS = {kind: column(kind) for kind in KINDS}


def by_table(text: str, kind: str) -> Quantity:
    return cells.quantity(cells.clean(text), COLUMNS[kind])


def by_work(text: str, kind: str) -> Quantity:
    return Quantity.read(text, kind)


def by_question(text: str, kind: str) -> Quantity:
    found = quantity(text)  # its kind follows from its unit: a grade in degrees is an angle there
    return Quantity(found.figure, found.unit, kind)


def by_answer(text: str, kind: str, unit: str) -> float:
    got = figure_for(text, {"unit": unit, "accept": {unit: [0, 1]}, "comma": True})
    return to_si(got.value, got.unit, kind)


WRITTEN: dict[str, Callable[[str, str], Quantity]] = {"table": by_table, "work": by_work, "question": by_question}


def refused_on_purpose(door: str, q: Quantity) -> bool:
    """What a table does not hold, whoever printed it: a part of a thing, less than one part in a hundred, and
    a grade without its unit, which may be a share, a percentage or degrees."""
    if q.unit == "1" and q.kind == "resistance":
        return door != "question"  # 40 lb to the ton, or forty times the weight? it is always asked for
    if door != "table":
        return False
    whole = q.figure == q.figure.to_integral_value()
    return (
        (q.kind == "count" and not whole)
        or (q.kind == "grade" and q.unit == "1")
        or (q.kind == "fraction" and q.unit == "%" and abs(q.figure) < 1)
    )


def same(got: Quantity, q: Quantity) -> bool:
    """The same figure in the same unit; a bare ratio is one to 1."""
    unit = ":1" if (q.kind, q.unit, got.kind) == ("ratio", "1", "ratio") and got.unit != "1" else q.unit
    return (got.figure, got.unit, got.si) == (q.figure, unit, q.si)


# the metric unit a thousand of another is said in: 28 t and not 28,000 kg
SAID = {"kg": "t", "mm": "m", "mL": "L", "N": "kN", "Pa": "kPa"}


def as_said(q: Quantity) -> Quantity:
    if q.unit not in SAID or abs(q.figure) < 1000:
        return q
    return Quantity(Decimal(format(q.figure.scaleb(-3).normalize(), "f")), SAID[q.unit], q.kind)


def printed() -> Iterator[tuple[str, Quantity]]:
    for kind, unit in PAIRS:
        for figure in FIGURES:
            q = Quantity(figure, unit, kind)
            for there in dict.fromkeys((q, q.in_system("us"), q.in_system("metric"))):
                for blank in SIGNS.values():
                    yield str(there).replace(" ", blank), as_said(there)


PRINTED = list(dict.fromkeys(printed()))


@pytest.mark.parametrize("door", WRITTEN)
def test_what_is_printed_reads_back_where_figures_are_written(door: str) -> None:
    for text, q in PRINTED:
        if refused_on_purpose(door, q):
            with pytest.raises((CalculationError, cells.BadCell), match=r"whole number|one part in a hundred|has no unit|unit is missing"):
                WRITTEN[door](text, q.kind)
            continue
        got = WRITTEN[door](text, q.kind)
        assert same(got, q), (door, text, q.kind)


def test_what_is_printed_reads_back_as_an_answer() -> None:
    for text, q in PRINTED:
        assert by_answer(text, q.kind, q.unit) == pytest.approx(q.si, rel=1e-12), text


FIGURE_FOR = "list => list.map(([text, answer]) => window.seatworkNumbers.figureFor(text, answer))"
SLIP = """list => window.seatworkResults.slipCode(
  { crew: 'P-01', lesson: 'l', edition: 'e', finished: '2027-03-04T05:06:00Z',
    answers: list.map(([answer]) => ({ units: 'us', variant: 0, answer })) },
  list.map(([, answer]) => ({ kind: 'number', variants: [{ us: { answer } }] })))"""

SHORT = """list => window.seatworkResults.shortCode(
  { crew: 'P-01', lesson: 'l', edition: 'e', finished: '2027-03-04T05:06:00Z',
    answers: list.map(([answer]) => ({ units: 'us', variant: 0, answer })) },
  list.map(([, answer]) => ({ kind: 'number', variants: [{ us: { answer } }] })), { right: 0, of: 1, must: [] })"""


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    """A page with the scripts that read figures, the table of units as the build writes it."""
    page = browser.new_page()
    page.add_script_tag(content=of_the_page.script())
    for name in ("words.js", "typed-number.js", "result-code.js"):
        page.add_script_tag(content=(LOOK / name).read_text("utf-8"))
    yield page
    page.close()


def asked(q: Quantity) -> dict[str, Any]:
    return {"unit": q.unit, "accept": {q.unit: [0, 1]}, "comma": True}


def test_what_is_printed_reads_back_in_the_page_and_from_slips(page: Any) -> None:
    cases = [(text, asked(q)) for text, q in PRINTED]
    for (text, q), got in zip(PRINTED, page.evaluate(FIGURE_FOR, cases), strict=True):
        assert got.get("unit") == q.unit, (text, got)
        assert to_si(got["figure"], q.unit, q.kind) == pytest.approx(q.si, rel=1e-12), text
    plain = [(text, q) for text, q in PRINTED if not set(text) & set("\u2009\u00a0")]
    for start in range(0, len(plain), 60):
        some = plain[start : start + 60]
        slip = read_slip(page.evaluate(SLIP, [(text, asked(q)) for text, q in some]), "slip")
        for (text, q), given_ in zip(some, slip.answers, strict=True):
            assert isinstance(given_.answer, str)
            assert by_answer(given_.answer, q.kind, q.unit) == pytest.approx(q.si, rel=1e-12), text


def test_the_short_code_says_the_same_of_a_figure_typed_and_of_one_from_a_slip(page: Any) -> None:
    plain = [(text, asked(q)) for text, q in PRINTED if not set(text) & set("\u2009\u00a0")]
    for start in range(0, len(plain), 60):
        some = plain[start : start + 60]
        short = read_short(page.evaluate(SHORT, some), "s")
        slip = read_slip(page.evaluate(SLIP, some), "slip")
        typed = replace(slip, answers=tuple(replace(g, answer=text) for g, (text, _) in zip(slip.answers, some, strict=True)))
        questions = tuple({"id": str(n), "kind": "number", "variants": [{"us": answer}]} for n, (_, answer) in enumerate(some))
        lesson = LessonMarking("l", "e", "L", "dozer", "", 0.8, questions, Path("x"))
        assert answers_hash(slip, lesson) == short.answers == answers_hash(typed, lesson)


def test_the_page_reads_by_this_table(page: Any) -> None:
    rows = page.evaluate("window.seatworkNumbers.UNITS")
    assert rows == [[u.key, u.what, u.label, u.spelled] for u in UNITS.values()]
    assert of_the_page.script() == of_the_page.script()
    words = sorted({w for u in UNITS.values() for w in (u.key, u.label, u.one, *u.spelled.split("|"))} | {"tph", "T", "feets", "lb/cu ft"})
    assert page.evaluate("words => words.map(window.seatworkNumbers.unitKey)", words) == [unit_key(w) for w in words]


@pytest.mark.parametrize("unit", UNITS)
def test_every_label_and_spelling_is_of_its_unit(unit: str) -> None:
    u = UNITS[unit]
    spelled = [w for w in u.spelled.split("|") if w]
    for word in filter(None, (u.key if unit != "1" else "", u.label, u.one, *spelled, *map(str.upper, spelled))):
        assert unit_key(word) == unit
        for kind in (k for k, key in PAIRS if key == unit):
            if word.lower() != "tph":  # tons to some and tonnes to others
                assert find_unit(word, kind) == unit
                for door in WRITTEN.values():
                    assert door(f"4000 {word}", kind) == Quantity(Decimal(4000), unit, kind)
                assert by_answer(f"4000 {word}", kind, unit) == pytest.approx(to_si(4000, unit, kind), rel=1e-12)


# --- what nobody prints, and people write all the same -----------------------------------------

# as written, its kind; what a written figure is told; the answer it is, in SI, where it is one
ODD = [
    ("10'6\"", "length", "write 10.5 ft", 3.2004), ("10 ft 6 in", "length", "write 10.5 ft", 3.2004),
    ("10′ 6 1/2″", "length", "write 126.5 in", 3.2131), ("10' 6½\"", "length", "write 126.5 in", 3.2131),
    ("10 1/2 ft", "length", "write 10.5 ft", 3.2004), ("10-1/2 ft", "length", "write 10.5 ft", 3.2004),
    ("10½ ft", "length", "write 10.5 ft", 3.2004), ("3/4 in", "length", "write 0.75 in", 0.01905),
    ("10 1/3 ft", "length", "write it with a point", 3.1496), ("1 h 30 min", "time", "write 1.5 h", 5400),
    ("1 h 20 min", "time", "write 80 min", 4800), ("3 to 1", "ratio", "write 3:1", 3), ("3 to 1", "grade", "write 3:1", 1 / 3),
    ("1:4", "grade", "write 4:1 if it goes 4 along for 1 up", None), ("1 to 4", "ratio", "write 4:1 if it goes 4 along for 1 up", None), ("1 TO 4", "ratio", "write 4:1 if it goes 4 along for 1 up", None),
    ("1:10", "grade", "write 10:1 if it goes 10 along for 1 up", None), ("1 234.5 ft", "length", "write the digits together", 376.2756),
    ("10-12 ft", "length", "holds two figures", None), ("10 ft 14 in", "length", "write the rest below 12 in", None),
    ("1.234,5 ft", "length", "two ways", 376.2756), ("1e30 ft", "length", "too large", None), ("1e-30 ft", "length", "too small", None),
    ("1e999999999999 ft", "length", "too large", None), ("1e-999999999999 ft", "length", "too small", None),
    ("nan", "length", "is not a quantity", None), ("inf ft", "length", "is not a quantity", None), ("ten ft", "length", "is not a quantity", None),
]  # fmt: skip


@pytest.mark.parametrize("door", WRITTEN)
@pytest.mark.parametrize(("text", "kind", "says", "si"), ODD, ids=[f"{t}-{k}" for t, k, *_ in ODD])
def test_another_way_of_writing_is_told_alike_at_every_door(door: str, text: str, kind: str, says: str, si: float | None) -> None:
    with pytest.raises((Refusal, cells.BadCell)) as caught:
        WRITTEN[door](text, kind)
    told = f"{caught.value.what}; {caught.value.fix}"
    assert says in told and "\n" not in told
    if says.startswith("write ") and "if it goes" not in says and says[6].isdigit():
        # what is told to be written can be, and is what an answer of the kind would have counted as
        assert si is not None and WRITTEN[door](says[6:], kind).si == pytest.approx(si, rel=1e-12)


def test_an_answer_may_be_written_in_all_these_ways(page: Any) -> None:
    cases = [(text, kind, "ft" if kind == "length" else "h" if kind == "time" else ":1", si) for text, kind, _, si in ODD]
    calls = [[text, {"unit": unit, "accept": {unit: [0, 1], "in": [0, 1]}, "comma": True}] for text, _, unit, _ in cases]
    for (text, kind, _, si), got, call in zip(cases, page.evaluate(FIGURE_FOR, calls), calls, strict=True):
        if si is None:
            assert got["problem"] and len(got["problem"]) < 160, text
            with pytest.raises(CalculationError) as caught:
                figure_for(text, call[1])  # type: ignore[arg-type]
            for word in ("too large", "too small", "along for 1 up"):
                assert (word in got["problem"]) == (word in str(caught.value)), (text, got)
        else:
            ours = figure_for(text, call[1])  # type: ignore[arg-type]
            assert (got["figure"], got["unit"]) == (ours.value, ours.unit)
            assert to_si(ours.value, ours.unit, kind) == pytest.approx(si, rel=1e-12), text


def test_a_pound_weighs_a_pound_of_force(page: Any) -> None:
    """So that pcf and psf say a unit weight and a pressure as well as a density."""
    for text, kind, unit in (
        ("120 pcf", "density", "lb/ft3"), ("120 pcf", "unit_weight", "lbf/ft3"), ("120 lb/ft³", "unit_weight", "lbf/ft3"),
        ("120 psf", "pressure", "lbf/ft2"), ("120 lb/ft2", "pressure", "lbf/ft2"),
    ):  # fmt: skip
        q = Quantity(Decimal(120), unit, kind)
        assert (by_table(text, kind), by_work(text, kind)) == (q, q)
        assert by_answer(text, kind, unit) == q.si
        assert page.evaluate(FIGURE_FOR, [[text, asked(q)]])[0]["unit"] == unit
    # common practice, no source: a cubic foot of soil of 120 pcf weighs 120 lbf
    assert Quantity.read("120 pcf", "unit_weight").si == pytest.approx(Quantity.read("120 pcf", "density").si * 9.80665, rel=1e-12)


def test_tons_of_either_kind_are_asked_about_wherever_both_fit(page: Any) -> None:
    for text, kind in (("9 T", "mass"), ("400 tph", "mass_rate")):
        for door in WRITTEN:
            with pytest.raises((Refusal, cells.BadCell), match="tons of 2,000 lb or tonnes"):
                WRITTEN[door](text, kind)
    answer = {"unit": "ton", "accept": {"ton": [0, 1], "t": [0, 1]}}
    assert page.evaluate(FIGURE_FOR, [["9 T", answer]])[0]["either"] == ["9 ton", "9 t"]
    with pytest.raises(CalculationError, match="either ton"):
        figure_for("9 T", answer)


def test_square_feet_are_no_feet_and_inches() -> None:
    for door in WRITTEN.values():
        for text in ("4000 ft2", "4000 ft 2", "4000 ft²", "4000 sq ft"):
            assert door(text, "area") == Quantity(Decimal(4000), "ft2", "area")
    for text, told in (("5 ft 2", "two units"), ("5' 2", "two units"), ("5 ft2", "not a unit of length")):
        with pytest.raises(CalculationError, match=told):
            by_work(text, "length")


@settings(max_examples=400)
@given(
    pair=st.sampled_from(PAIRS), whole=st.integers(-10**9, 10**9).filter(bool), places=st.integers(0, 6),
    blank=st.sampled_from(sorted(SIGNS.values())),
)  # fmt: skip
def test_any_figure_printed_reads_back(pair: tuple[str, str], whole: int, places: int, blank: str) -> None:
    kind, unit = pair
    q = Quantity(Decimal(whole).scaleb(-places), unit, kind)
    text = str(q).replace(" ", blank)
    q = as_said(q)
    unit = q.unit
    for name, door in WRITTEN.items():
        if not refused_on_purpose(name, q):
            got = door(text, kind)
            assert same(got, q), (name, text)
    assert by_answer(text, kind, unit) == pytest.approx(q.si, rel=1e-12)


@settings(max_examples=300)
@given(text=st.text(alphabet="0123456789.,:/'\"-−eE ftinhmso½T%°\u2009", max_size=14))
def test_any_text_is_a_figure_or_one_line(text: str) -> None:
    for door in WRITTEN.values():
        try:
            door(text, "length")
        except (Refusal, cells.BadCell) as e:
            assert "\n" not in str(e) and e.fix
    try:
        read_typed(text)
    except CalculationError as e:
        assert "\n" not in str(e) and e.fix


def test_the_slips_order_is_kept() -> None:
    """The rows of last year's slips: a new row goes behind them."""
    from tests.player.slips import UNITS as OF_SLIPS

    assert list(UNITS)[: len(OF_SLIPS)] == OF_SLIPS
    assert json.dumps(list(UNITS))  # keys are plain text
