"""A quantity: how it is rounded, told in the other system, printed, and read; and what is said of one that cannot be."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity, alike, natural, places_for, shown, steady, to_places, trimmed, up
from generator.units.reading import NotAFigure, TwoWays, read_typed, read_written
from generator.units.table import KINDS, UNITS, System, convertible, counterpart, find_unit, from_si, to_si, unit_key
from generator.units.writing import written


@pytest.mark.parametrize(
    ("value", "places", "limit", "expected"),
    [
        (2.5, 0, "", "3"), (1.25, 1, "", "1.3"), (1.249, 1, "", "1.2"), (0.5, 0, "", "1"), (-2.5, 0, "", "-3"),  # half up
        (2.675, 2, "", "2.68"),  # as written, not as a binary fraction just below it
        (2.99, 0, "most", "2"), (2.01, 0, "least", "3"), (2.0, 0, "least", "2"), (2.0, 0, "most", "2"),
        (1.239, 2, "most", "1.23"), (1.231, 2, "least", "1.24"), (0.1 + 0.2, 1, "least", "0.3"),  # no noise rounds up
        (20549.0, -2, "", "20500"), (20550.0, -2, "", "20600"), (15.0, -1, "", "20"), (20549.0, -2, "least", "20600"),
        (-0.001, 2, "", "0.00"), (-0.4, 0, "", "0"), (1234567.0, -5, "", "1200000"),
        (0.12345678901234, 12, "", "0.123456789012"), (1.0, 13, "", "1.0000000000000"), (7.0, 0, "", "7"),
    ],
)  # fmt: skip
def test_rounded_to_places(value: float, places: int, limit: Limit, expected: str) -> None:
    assert str(to_places(value, places, limit)) == expected
    assert str(to_places(Decimal(repr(round(value, 12))), places, limit)).startswith(expected[:3])


def test_the_figure_a_person_would_write() -> None:
    assert [str(natural(v)) for v in (1234.5, 12.345, 0.012345, 250.0, 0.1 + 0.2, 0.0, 99950.0, -7.504)] == [
        "1230", "12.3", "0.0123", "250", "0.3", "0", "100000", "-7.5",
    ]  # fmt: skip
    assert [str(natural(1234.5, n)) for n in (1, 2, 4, 5)] == ["1000", "1200", "1235", "1234.5"]
    assert [places_for(v, 3) for v in (1234.5, 12.3, 1.0, 0.0123, 0.0)] == [-1, 1, 2, 4, 0]
    assert places_for(Decimal("0.5"), 3) == 3 and places_for(Decimal(0), 3) == 0
    assert [str(trimmed(Decimal(t))) for t in ("10.50", "1E+2", "100", "0.00", "-3.0", "0.250")] == [
        "10.5",
        "100",
        "100",
        "0",
        "-3",
        "0.25",
    ]
    assert steady(0.1 + 0.2) == Decimal("0.3") and steady(1 / 3) == Decimal("0.333333333333")


def test_to_the_next_whole_number() -> None:
    """A hair above a whole number is noise; a hundredth is a part load that takes a trip of its own."""
    assert [up(v) for v in (4.0, 4 + 1e-11, 4.01, 4.99, 0.0, 0.2)] == [4, 4, 5, 5, 0, 1]


def test_a_figure_and_its_unit_as_printed() -> None:
    cases = {
        ("1234.5", "ft"): "1,234.5 ft", ("-1234", "ft"): "−1,234 ft", ("0", "ft"): "0 ft", ("-0.5", "m"): "−0.5 m", ("0.5", "m"): "0.5 m",
        ("25", "%"): "25%", ("14", "deg"): "14°", ("3", ":1"): "3:1", ("36", "deg/s"): "36°/s", ("6", "1"): "6", ("1", "ton"): "1 ton",
        ("2", "ton"): "2 tons", ("1", "year"): "1 year", ("1000000", "lb"): "1,000,000 lb",
    }  # fmt: skip
    assert {(f, u): shown(Decimal(f), u) for f, u in cases} == cases
    assert str(Quantity.read("10.50 ft", "length")) == "10.5 ft"
    assert written(Decimal(0)) == "0" and written(Decimal("-12000.5")) == "−12,000.5"


# as typed, its kind, the other system, a limit: as it is told there (1 ft is 0.3048 m, 1 lb is 0.45359237 kg)
@pytest.mark.parametrize(
    ("text", "kind", "system", "limit", "expected"),
    [
        ("10 ft", "length", "metric", "", "3.05 m"), ("10 ft", "length", "us", "", "10 ft"), ("3 m", "length", "us", "", "9.84 ft"),
        ("10 ft", "length", "metric", "least", "3.05 m"), ("10 ft", "length", "metric", "most", "3.04 m"),
        ("20 ft", "length", "metric", "most", "6.09 m"), ("100 ft", "length", "metric", "", "30.5 m"),
        ("1000.25 ft", "length", "metric", "", "304.876 m"), ("100.1 ft", "length", "metric", "", "30.51 m"),  # no coarser than typed
        ("36 in", "length", "metric", "", "91 cm"), ("2.5 ft", "length", "metric", "", "0.76 m"), ("0.9 ft", "length", "metric", "", "0.274 m"),
        ("2.55 ft", "length", "metric", "", "0.777 m"), ("1.03 yd", "length", "metric", "", "0.942 m"),  # read finer than a tape is to the centimetre
        ("123.4 m2", "area", "us", "", "1328 ft²"),  # a tenth of it is 1.08 ft²
        ("45000 lb", "mass", "metric", "", "20.4 t"), ("45000 lb", "mass", "metric", "least", "20.5 t"),
        ("2000 lb", "mass", "metric", "", "907 kg"),
        ("30deg", "angle", "metric", "", "30°"), ("25%", "grade", "us", "", "25%"), ("4:1", "grade", "metric", "", "4:1"),
        ("2 mph", "speed", "metric", "", "3.22 km/h"), ("0 ft", "length", "metric", "", "0 m"),
    ],
)  # fmt: skip
def test_told_in_the_other_system(text: str, kind: str, system: System, limit: Limit, expected: str) -> None:
    q = Quantity.read(text, kind)
    there = Quantity(q.figure, q.unit, kind, limit).in_system(system)
    assert str(there).replace(",", "") == expected and there.limit == limit


def test_what_a_source_prints_in_both_systems_is_told_as_it_prints_it() -> None:
    """29 CFR 1926 subpart P prints 6.1 m beside its 20 feet, which are 6.096 m."""
    depth = Quantity(Decimal(20), "ft", "length", "most", (Decimal("6.1"), "m"))
    assert str(depth.in_system("metric")) == "6.1 m" and depth.in_system("metric").limit == "most"
    assert depth.in_system("us") is depth
    assert depth == Quantity(Decimal(20), "ft", "length") and hash(depth) == hash(Quantity(Decimal(20), "ft", "length"))


def test_a_quantity_of_an_si_value() -> None:
    assert str(Quantity.of(3.048, "length", "us")) == "10 ft" and str(Quantity.of(3.048, "length", "metric")) == "3.05 m"
    assert str(Quantity.of(3.0481, "length", "metric", significant=5)) == "3.0481 m"
    assert str(Quantity.of(3.048, "length", "us", unit="in")) == "120 in"
    assert str(Quantity.of(1234.0, "count", "us")) == "1,234"  # a count is whole, not three figures
    assert str(Quantity.of(1234.0, "mass", "metric")) == "1.23 t"


# --- units ---------------------------------------------------------------------------------------------


def test_grades_are_shares_degrees_or_a_run() -> None:
    assert to_si(25, "%", "grade") == from_si(25, "%", "grade") / 10000 == 0.25
    assert to_si(45, "deg", "grade") == pytest.approx(1) and from_si(1.0, "deg", "grade") == pytest.approx(45)
    assert (to_si(4, ":1", "grade"), from_si(0.25, ":1", "grade"), to_si(3, ":1", "ratio"), to_si(0.5, "1", "grade")) == (0.25, 4, 3, 0.5)
    with pytest.raises(CalculationError, match="a grade of 0:1 is a vertical face; give a run above 0"):
        to_si(0, ":1", "grade")
    assert to_si(0, ":1", "ratio") == 0.0
    with pytest.raises(CalculationError, match=r"lb is not a unit of length; write it as 10 ft or 3 m"):
        to_si(1, "lb", "length")


PLAIN = {"grade": {"%", "1", ":1", "deg"}, "ratio": {":1", "1"}, "fraction": {"%", "1"}, "factor": {"%", "1", "min/h"}, "count": {"1"},
         "resistance": {"lb/ton", "kg/t", "%", "1"}, "angle": {"deg", "rad"}, "turning": {"rpm", "deg/s"}, "frequency": {"1/h", "1/min"},
         "length": {"in", "ft", "yd", "mi", "mm", "cm", "m", "km"}, "time": {"s", "min", "h", "year"},
         "loose_volume": {"ft3", "yd3", "m3", "L", "lcy", "lcm"}, "bank_volume": {"ft3", "yd3", "m3", "L", "bcy", "bcm"},
         "liquid": {"gal", "fl oz", "mL", "L"}, "liquid_rate": {"gal/h", "fl oz/h", "L/h"},
         "volume_rate": {"yd3/h", "m3/h", "yd3/min", "m3/min", "ft3/min"}}  # fmt: skip


@pytest.mark.parametrize("kind", PLAIN)
def test_which_units_a_kind_takes(kind: str) -> None:
    assert {u for u in UNITS if convertible(u, kind)} == PLAIN[kind]


def test_the_counterpart_of_a_unit() -> None:
    pairs: tuple[tuple[str, System, str], ...] = (
        ("ft", "us", "ft"), ("ft", "metric", "m"), ("m", "us", "ft"), ("deg", "us", "deg"), ("min", "metric", "min"), ("lcy", "metric", "lcm"),
    )  # fmt: skip
    assert [(u, s, counterpart(u, s)) for u, s, _ in pairs] == list(pairs)


def test_a_tank_in_liters_goes_with_gallons_and_a_bucket_with_cubic_feet() -> None:
    tank, bucket = Quantity.read("227 L", "liquid"), Quantity.read("60 L", "loose_volume")
    assert (str(tank.in_system("us")), str(bucket.in_system("us"))) == ("60 gal", "2.12 ft³")
    assert str(Quantity.read("60 gal", "liquid").in_system("metric")) == "227 L"
    for text, kind in (("60 gal", "volume"), ("5 gal/h", "volume_rate"), ("2 yd3", "liquid"), ("2 yd3/h", "liquid_rate")):
        with pytest.raises(CalculationError, match=f"is not a unit of {KINDS[kind].name}"):
            Quantity.read(text, kind)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("cu. yd.", "yd3"), ("cubic yards", "yd3"), ("yd^3", "yd3"), ("YD³", "yd3"), ("sq ft", "ft2"), ("square feet", "ft2"), ("ft 2", "ft2"),
        ("lb per cubic yard", "lb/yd3"), ("lb / yd³", "lb/yd3"), ("loose yd3", "lcy"), ("cubic yards bank", "bcy"), ("compacted m³", "ccm"),
        ("", ""), (" ", ""), ("\u2000sq\u200aft\u200a", "ft2"), ("ft\u200b", None), ("\u1fffft", None), ("furlongs", None), ("cubic furlongs", None), ("loose ft3", None), ("ft/ft/ft", None), ("m ³", "m3"),
        ("yards an hour", None), ("feet per minute", "ft/min"), ("tons an hour", "ton/h"), ("ft·lb", "lbf*ft"), ("loose", None),
        ("gallons per hour", "gal/h"), ("Gal / h", "gal/h"), ("fl. oz.", "fl oz"), ("ounces", None), ("liters an hour", "L/h"), ("ML", "mL"),
    ],
)  # fmt: skip
def test_units_as_people_spell_them(text: str, key: str | None) -> None:
    assert unit_key(text) == key


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("", "length", "the unit is missing; write it as 10 ft or 3 m"), ("furlongs", "length", "unknown unit 'furlongs'; write it as 10 ft or 3 m"),
        ("lb", "length", "lb is not a unit of length; write it as 10 ft or 3 m"),
        ("loose yd3", "bank_volume", "loose yd³ given for a bank volume; give the bank volume, or convert it first"),
        ("loose yd3", "length", "loose yd3 is not a unit of length"), ("T", "mass", "'T' can be tons of 2,000 lb or tonnes of 1,000 kg; write ton or t"),
        ("tph", "mass_rate", "'tph' can be tons"), ("T", "length", "T is not a unit of length"), ("tph", "length", "tph is not a unit of length"),
        ("", "resistance", "the unit is missing"),
    ],
)  # fmt: skip
def test_a_unit_that_does_not_fit_is_told(text: str, kind: str, says: str) -> None:
    with pytest.raises(CalculationError) as caught:
        find_unit(text, kind)
    assert str(caught.value).startswith(says)


def test_where_no_unit_is_needed_none_is_asked_for() -> None:
    assert {k: find_unit("", k) for k in ("grade", "fraction", "factor", "ratio", "count")} == {
        "grade": "1", "fraction": "1", "factor": "1", "ratio": ":1", "count": "1",
    }  # fmt: skip
    assert (
        find_unit("lb/ft3", "unit_weight") == "lbf/ft3"
        and find_unit("lb/ft3", "density") == "lb/ft3"
        and find_unit(" FT ", "length") == "ft"
    )


# --- typed answers: what is read --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("raw", "sign", "parts"),
    [
        ("12", "", [(12, "12", "")]), ("-12 ft", "-", [(12, "12", "ft")]), ("+12 ft", "", [(12, "12", "ft")]), ("− 7.5 in", "-", [(7.5, "7.5", "in")]),
        (".5", "", [(0.5, "0.5", "")]), ("5.", "", [(5, "5", "")]), ("5 1/2 ft", "", [(5.5, "5 1/2", "ft")]), ("5-1/2", "", [(5.5, "5 1/2", "")]),
        ("1/2", "", [(0.5, "1/2", "")]), ("3/2", "", [(1.5, "3/2", "")]), ("5½", "", [(5.5, "5 1/2", "")]), ("½ ft", "", [(0.5, "1/2", "ft")]),
        ("1,234.5", "", [(1234.5, "1234.5", "")]), ("1.234,5", "", [(1234.5, "1234.5", "")]), ("1,234,567", "", [(1234567, "1234567", "")]),
        ("1.234.567", "", [(1234567, "1234567", "")]), ("1 234.5 ft", "", [(1234.5, "1234.5", "ft")]), ("1 234,5 ft", "", [(1234.5, "1234.5", "ft")]),
        ("1,5", "", [(1.5, "1.5", "")]), ("0,125", "", [(0.125, "0.125", "")]), ("1,2345", "", [(1.2345, "1.2345", "")]), ("1234,500", "", [(1234.5, "1234.500", "")]),
        ("3:1", "", [(3, "3", ":1")]), ("3 : 1", "", [(3, "3", ":1")]), ("3 to 1", "", [(3, "3", ":1")]), ("2.5 TO 1", "", [(2.5, "2.5", ":1")]), ("1:1", "", [(1, "1", ":1")]),
        ("5 ft 6 in", "", [(5, "5", "ft"), (6, "6", "in")]), ("5' 6\"", "", [(5, "5", "ft"), (6, "6", "in")]), ("5' 6", "", [(5, "5", "ft"), (6, "6", "in")]),
        ("5 ft 11.9 in", "", [(5, "5", "ft"), (11.9, "11.9", "in")]), ("5 ft-6 1/2 in", "", [(5, "5", "ft"), (6.5, "6 1/2", "in")]),
        ("1 h 30 min", "", [(1, "1", "h"), (30, "30", "min")]), ("2 min 15 s", "", [(2, "2", "min"), (15, "15", "s")]), ("12-ft", "", [(12, "12", "ft")]),
        ("1 000 000", "", [(1e6, "1000000", "")]), ("\u20005\u200a ft\u200a", "", [(5, "5", "ft")]),
    ],
)  # fmt: skip
def test_an_answer_as_it_is_typed(raw: str, sign: str, parts: list[tuple[float, str, str]]) -> None:
    got = read_typed(raw)
    assert (got.sign, [(p.value, p.plain, p.unit) for p in got.parts], got.capital_t) == (sign, parts, False)


def test_a_capital_t_is_kept_for_whoever_knows_what_fits() -> None:
    got = read_typed("9 T")
    assert got.capital_t is True and [(p.value, p.unit) for p in got.parts] == [(9, "")]


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ("", "nothing was typed; type a figure"), ("  ", "nothing was typed; type a figure"), ("ft", "there is no number in 'ft'"),
        ("1/0", "the fraction in '1/0' cannot be read; write it like 5 1/2"), ("5 3/2", "the fraction in '5 3/2' cannot be read"), ("5 2/2", "the fraction"),
        ("1,234", "'1,234' can be read two ways; write 1234 or 1.234"), ("-1,234 ft", "'-1,234 ft' can be read two ways; write -1234 ft or -1.234 ft"),
        ("999,999", "'999,999' can be read two ways"), ("1,23,4", "the points and commas in '1,23,4' cannot be read; write 1234.5 or 1,234.5"),
        (".5.5 ft", "'.5 ft' after the figure is no unit"), (",5,5", "',5' after the figure is no unit"),
        ("5\u200b", "'\u200b' after the figure is no unit"), ("\u1fff5", "there is no number in"),  # next to the blanks, and none
        ("1.2.3", "the points and commas"), ("1,2.3", "the points and commas"), ("12,34.5", "the points and commas"),
        ("1e3 ft", "'1e3 ft' is written with a power of ten; write 1000"), ("-1.5e2", "'-1.5e2' is written with a power of ten; write -150"),
        ("1e21", "'1e21' is too large"), ("1e-21", "'1e-21' is too small"), ("1e99999", "'1e99999' is too large"), ("1e-99999", "'1e-99999' is too small"),
        ("0e5", "'0e5' is too small"), ("1:4", "'1:4' is not written as run to rise; write 4:1 if it goes 4 along for 1 up"), ("1 to 2.5", "'1 to 2.5' is not written as run to rise"),
        ("2:3", "a ratio has the 1 last, such as 3:1; write it so"), ("1:", "a ratio has the 1 last"), ("5 furlongs", "'furlongs' after the figure is no unit known here"),
        ("5 ft 12 in", "'12 in' is 12 in or more; write the rest below 12 in"), ("1 h 60 min", "'60 min' is 60 min or more; write the rest below 60 min"),
        ("5 ft 6 lb", "'ft 6 lb' after the figure is no unit"), ("5.5 ft 6 in", "'ft 6 in' after the figure is no unit"), ("5 lb 6 oz", "'lb 6 oz' after the figure"),
        ("5 ft 1e1 in", "'ft 1e1 in' after the figure"), ("5 ft 1/0 in", "'ft 1/0 in' after"), ("5 m 6 cm", "'m 6 cm' after"),
    ],
)  # fmt: skip
def test_an_answer_that_cannot_be_read_is_told_why(raw: str, says: str) -> None:
    with pytest.raises(NotAFigure) as caught:
        read_typed(raw)
    assert str(caught.value).startswith(says), str(caught.value)
    assert isinstance(caught.value, TwoWays) == ("two ways" in says)


# --- written figures: one plain one ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind", "commas", "digits", "unit"),
    [
        ("10 ft", "length", "thousands", "10", "ft"), ("1,234 ft", "length", "thousands", "1234", "ft"), ("1,234.5 ft", "length", "thousands", "1234.5", "ft"),
        ("1,234,567 lb", "mass", "thousands", "1234567", "lb"), ("-2.5 ft", "length", "thousands", "-2.5", "ft"), (".5 ft", "length", "thousands", "0.5", "ft"),
        ("1.500 ft", "length", "thousands", "1.500", "ft"), ("1.5 ft", "length", "decimal", "1.5", "ft"), ("1,5 ft", "length", "decimal", "1.5", "ft"),
        ("1.234,5 ft", "length", "decimal", "1234.5", "ft"), ("1,234.5 ft", "length", "decimal", "1234.5", "ft"), ("1.234.567 lb", "mass", "decimal", "1234567", "lb"),
        ("1,234,567 lb", "mass", "decimal", "1234567", "lb"), (",5 ft", "length", "decimal", "0.5", "ft"), ("0,125 ft", "length", "decimal", "0.125", "ft"),
        ("4:1", "grade", "thousands", "4", ":1"), ("4 : 1", "ratio", "thousands", "4", ":1"), ("1:1", "grade", "thousands", "1", ":1"), ("1e3 ft", "length", "thousands", "1000", "ft"),
        ("100000000000000000000 ft", "length", "thousands", "1" + "0" * 20, "ft"), ("0 ft", "length", "thousands", "0", "ft"), ("15 1/h", "frequency", "thousands", "15", "1/h"),
        ("4000 ft 2", "area", "thousands", "4000", "ft 2"), ("0." + "0" * 19 + "1 ft", "length", "thousands", "0." + "0" * 19 + "1", "ft"),
        ("0." + "1" * 38 + " ft", "length", "thousands", "0." + "1" * 38, "ft"),
    ],
)  # fmt: skip
def test_a_figure_as_it_is_written(text: str, kind: str, commas: str, digits: str, unit: str) -> None:
    got = read_written(text, kind, commas=commas)  # type: ignore[arg-type]
    assert (got.digits, got.unit) == (digits, unit)


@pytest.mark.parametrize(
    ("text", "kind", "commas", "says"),
    [
        ("'10 ft", "length", "thousands", "there is a quote mark before the figure in ''10 ft'; write 10 ft"),
        ("'5 ft", "length", "thousands", "there is a quote mark before the figure in ''5 ft'; write 5 ft"), ("‘-.5 ft", "length", "thousands", "there is a quote mark before the figure in '‘-.5 ft'; write -.5 ft"),
        ("10:30", "length", "thousands", "'10:30' is not a quantity; write it as 10 ft or 3 m"), ("10:30 PM", "grade", "thousands", "'10:30 PM' is a time of day; write a grade as 25%"),
        ("7:30 am", "grade", "thousands", "'7:30 am' is a time of day"), ("٧:٣٠", "ratio", "thousands", "'٧:٣٠' is not a quantity; write it as 3:1"),
        ("1:05", "grade", "thousands", "'1:05' is a time of day"), ("1:15", "grade", "thousands", "'1:15' is not written as run to rise; write 15:1"),
        ("1'234 ft", "length", "thousands", "'1'234 ft' has a mark inside the number; write 1234 ft"),
        ("١'٢٣٤ ft", "length", "thousands", "'١'٢٣٤ ft' is not a quantity; write it as 10 ft or 3 m"),
        ("1/2 ft", "length", "thousands", "'1/2 ft' is written as a fraction; write 0.5 ft"), ("1/3 ft", "length", "thousands", "'1/3 ft' is written as a fraction; write it with a point"),
        ("-5 1/2 ft", "length", "thousands", "'-5 1/2 ft' is written as a fraction; write -5.5 ft"), ("1/2\"", "length", "thousands", "'1/2\"' is written as a fraction; write 0.5\""),
        ("1/2/3", "length", "thousands", "'1/2/3' is not a quantity"), ("1/2 3 ft", "length", "thousands", "'1/2 3 ft' is not a quantity"), ("1/16 in", "length", "thousands", "'1/16 in' is written as a fraction; write 0.0625 in"),
        ("1/32 in", "length", "thousands", "'1/32 in' is written as a fraction; write it with a point"), ("10/2 ft", "length", "thousands", "'10/2 ft' is written as a fraction; write 5 ft"),
        ("1 234 ft", "length", "thousands", "'1 234 ft' has a space inside the number; write the digits together"), ("12 34 ft", "length", "thousands", "'12 34 ft' has a space inside"),
        ("3 to 1", "grade", "thousands", "'3 to 1' is in words; write 3:1"), ("-3 to 1", "grade", "thousands", "'-3 to 1' is in words; write -3:1"),
        ("5 ft 6 in", "length", "thousands", "'5 ft 6 in' is in two units; write 5.5 ft"), ("5 ft 7 in", "length", "thousands", "'5 ft 7 in' is in two units; write 67 in"),
        ("2 min 30 s", "time", "thousands", "'2 min 30 s' is in two units; write 2.5 min"), ("2 min 59 s", "time", "thousands", "'2 min 59 s' is in two units; write 179 s"),
        ("2 min 60 s", "time", "thousands", "'60 s' is 60 s or more; write the rest below 60 s"),
        ("-5 ft 6 in", "length", "thousands", "'-5 ft 6 in' is in two units; write -5.5 ft"), ("5 ft 1/3 in", "length", "thousands", "'5 ft 1/3 in' is in two units; write it in in, with a point"),
        ("5-7 ft", "length", "thousands", "'5-7 ft' holds two figures; write one, as 10 ft or 3 m"), ("5 to 7 ft", "length", "thousands", "'5 to 7 ft' holds two figures"),
        ("1,5 ft", "length", "thousands", "'1,5' can be read two ways; write 1.5 if that is meant"), (",5 ft", "length", "thousands", "',5' can be read two ways; write 0.5 if that is meant"),
        ("1.234,5 ft", "length", "thousands", "'1.234,5' can be read two ways; use a point for decimals"), ("1.234.567 ft", "length", "thousands", "'1.234.567' can be read two ways"),
        ("1,23,456 ft", "length", "thousands", "'1,23,456' can be read two ways"), ("12,34.5 ft", "length", "thousands", "'12,34.5' can be read two ways"),
        (".5.5 ft", "length", "thousands", "'.5.5' can be read two ways; use a point"), (",5,5", "length", "decimal", "',5,5' can be read two ways"),
        ("\u200b5 ft", "length", "thousands", "'\u200b5 ft' is not a quantity"),
        ("0,500 ft", "length", "thousands", "'0,500' can be read two ways; write 0.500"), ("1,2345 ft", "length", "thousands", "'1,2345' can be read two ways; write 1.2345"),
        ("1,500 ft", "length", "decimal", "'1,500' can be read two ways; write 1500, or 1.5 for the small number"),
        ("1.500 ft", "length", "decimal", "'1.500' can be read two ways; write 1500, or 1.5 for the small number"),
        ("1.000 ft", "length", "decimal", "'1.000' can be read two ways; write 1000, or 1.0 for the small number"),
        ("1.234 ft", "length", "decimal", "'1.234' can be read two ways; write 1234, or 1.2340 for the small number"),
        ("5, ft", "length", "thousands", "'5,' ends in a comma; take it out, or write the digits behind it"), ("5. ft", "length", "thousands", "'5.' ends in a point"),
        ("ft", "length", "thousands", "'ft' is not a quantity"), ("1e21 ft", "length", "thousands", "'1e21 ft' is too large; write it as 10 ft or 3 m"),
        ("200000000000000000000 ft", "length", "thousands", "'200000000000000000000 ft' is too large"), ("1e-21 ft", "length", "thousands", "'1e-21 ft' is too small"),
        ("1e99999 ft", "length", "thousands", "'1e99999 ft' is too large"), ("1e-99999 ft", "length", "thousands", "'1e-99999 ft' is too small"),
        ("0e99999 ft", "length", "thousands", "'0e99999 ft' is too small"), ("0e5 ft", "length", "thousands", "'0e5 ft' is too small"),
        ("0." + "1" * 39 + " ft", "length", "thousands", "'0.11111111111111111111111111111111111111' has too many digits"),
    ],
)  # fmt: skip
def test_a_figure_that_is_not_one_plain_figure_is_told_how_to_write_it(text: str, kind: str, commas: str, says: str) -> None:
    with pytest.raises(NotAFigure) as caught:
        read_written(text, kind, commas=commas)  # type: ignore[arg-type]
    assert str(caught.value).startswith(says), str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_mark_inside_a_figure_is_seen_though_its_unit_stands_in_the_next_line() -> None:
    with pytest.raises(NotAFigure, match="has a mark inside the number"):
        read_written("1'234\nft", "length")


def test_the_example_of_a_message_is_the_columns_own() -> None:
    with pytest.raises(NotAFigure, match="write it as 12 ft 3"):
        read_written("ft", "length", example="12 ft 3")
    with pytest.raises(NotAFigure, match="a figure and its unit, such as 10 ft"):
        read_written("ft", None)


def test_from_a_thousand_on_the_larger_unit_is_said() -> None:
    assert [shown(Decimal(n), "kg") for n in (999, 1000, 1001)] == ["999 kg", "1 t", "1.001 t"]
    assert [shown(Decimal(n), "mm") for n in (999, 1000)] == ["999 mm", "1 m"]


def test_how_a_figure_is_printed_makes_it_no_other() -> None:
    figure = Quantity(Decimal(28000), "kg", "mass")
    ways = (replace(figure, as_is=True), replace(figure, limit="most"), replace(figure, told=(Decimal(62000), "lb")))
    assert all(other == figure and hash(other) == hash(figure) for other in ways)
    assert replace(figure, figure=Decimal(27000)) != figure


def test_figures_to_choose_among_are_said_in_one_unit() -> None:
    heavy, light, far = (
        Quantity(Decimal(n), unit, kind) for n, unit, kind in ((28000, "kg", "mass"), (900, "kg", "mass"), (12, "ft", "length"))
    )
    assert alike([heavy, light]) == alike([heavy, light][::-1])[::-1] == ["28 t", "0.9 t"]
    assert alike([light, light]) == ["900 kg", "900 kg"] and alike([heavy, far]) == ["28 t", "12 ft"]
