"""How a site writes numbers, by its country: the signs, what is printed with them, and that it is read back.

The signs are held to figures printed outside of the project: `5,301.5` and `5.301,5` as the site's own people write them
(Mexico, Puerto Rico and the United States; Spain, Argentina and Chile), the thin space to the SI Brochure, 9th edition, 2019,
5.4.4 (read as it is quoted in a report about another library): groups of three are parted by a space, neither by dots nor by
commas, and the decimal mark is a point or a comma.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder, read_content
from generator.book.reference import reference_pages
from generator.jobsite.doubts import _ungrouped
from generator.jobsite.reader import SiteProblems, read
from generator.language.country import countries, signs
from generator.records.answers import figure_for, from_slip
from generator.records.results import read_slip
from generator.units import browser as of_the_page
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, retold, said, shown
from generator.units.reading import TwoWays, read_typed, read_written
from generator.units.table import SYSTEMS, System, to_si
from generator.units.writing import THIN, US, Writing, counted, current, pointed, using, written
from generator.working.byhand import worked
from generator.working.explain import as_text, explain, line_html
from tests.every_formula import example, formulas
from tests.pages.redo import disagreement, roundings

LOOK = Path(__file__).parents[2] / "content" / "look"
SPAIN = Writing(",", ".", ".")
FRANCE = Writing(",", THIN, THIN)
METRIC_SPAIN = Writing(",", ".", THIN)


@pytest.mark.parametrize(
    ("country", "printed"),
    [(c, "5,301.5") for c in ("US", "MX", "PR", "CA", "GB")] + [(c, "5.301,5") for c in ("ES", "AR", "CL", "DE", "BR")]
    + [("FR", f"5{THIN}301,5"), ("PL", f"5{THIN}301,5"), ("CH", f"5{THIN}301.5")],
)  # fmt: skip
def test_a_country_writes_its_numbers_so(country: str, printed: str) -> None:
    decimal, group = signs(country)
    writing = Writing("," if decimal == "," else ".", group, group)
    assert writing(Decimal("5301.5"), "us") == printed == writing(Decimal("5301.5"))
    assert writing(Decimal("5301.5"), "metric") == f"5{THIN}301{decimal}5"


def test_every_country_has_a_decimal_mark_that_parts_no_thousands() -> None:
    assert len(countries()) > 230 and {"US", "ES", "PR", "MX"} <= set(countries())
    for country in countries():
        decimal, group = signs(country)
        assert decimal in {".", ","} and group in {".", ",", THIN} and decimal != group, country


@pytest.mark.parametrize(
    ("figure", "system", "us", "spain"),
    [
        ("5301.5", "us", "5,301.5", "5.301,5"), ("5301.5", "metric", "5\u202f301.5", "5\u202f301,5"),
        ("1234567.25", "us", "1,234,567.25", "1.234.567,25"), ("1234567.25", "metric", "1\u202f234\u202f567.25", "1\u202f234\u202f567,25"),
        ("-1000", "us", "−1,000", "−1.000"), ("-0.5", "metric", "−0.5", "−0,5"), ("999", "us", "999", "999"), ("0", "metric", "0", "0"),
        ("1200", None, "1,200", "1.200"),
    ],
)  # fmt: skip
def test_a_figure_is_written_by_its_system_and_country(figure: str, system: System | None, us: str, spain: str) -> None:
    assert written(Decimal(figure), system) == us
    with using(SPAIN):
        assert written(Decimal(figure), system) == spain
    assert current() is US


def test_a_metric_site_parts_no_thousands_by_point_or_comma() -> None:
    with using(METRIC_SPAIN):
        assert counted(1200) == "1\u202f200" and shown(Decimal(1200), "h") == "1\u202f200 h" and pointed("2.5") == "2,5"


# what the unit is, the figure, and as people say it; exact, as a thousand of one is one of the other
@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("28000 kg", "mass", "28 t"), ("6000 mm", "length", "6 m"), ("999 kg", "mass", "999 kg"), ("1000 kg", "mass", "1 t"),
        ("12345.6 kg", "mass", "12.3456 t"), ("950 mm", "length", "950 mm"), ("1500 mL", "liquid", "1.5 L"), ("-2500 N", "force", "−2.5 kN"),
        ("1600 m", "length", "1\u202f600 m"), ("28000 lb", "mass", "28,000 lb"), ("1700 kg/m3", "density", "1\u202f700 kg/m³"),
    ],
)  # fmt: skip
def test_a_metric_figure_is_told_in_the_unit_people_say(text: str, kind: str, says: str) -> None:
    q = Quantity.read(text, kind)
    assert str(q) == says
    figure, unit = said(q.figure, q.unit)
    assert to_si(float(figure), unit, kind) == pytest.approx(q.si, rel=1e-15)


def test_what_somebody_typed_with_a_unit_is_written_like_all_else() -> None:
    text = "Not past 20 ft (6.1 m): Table 7.2, 29 CFR 1926.54, section 2-3.3; 20,000 kg or 10,000 lb, 0.5%, 3.5:1, in 2004."
    assert retold(text) == text.replace("20,000 kg", "20\u202f000 kg")
    with using(SPAIN):
        assert retold(text) == (
            "Not past 20 ft (6,1 m): Table 7.2, 29 CFR 1926.54, section 2-3.3; 20\u202f000 kg or 10.000 lb, 0,5%, 3,5:1, in 2004."
        )


@pytest.mark.parametrize("writing", [SPAIN, METRIC_SPAIN, FRANCE], ids=["spain", "metric-spain", "france"])
def test_printed_lines_redone_give_what_is_printed_wherever_they_are(writing: Writing) -> None:
    lines = 0
    for formula in formulas():
        for system in SYSTEMS:
            with using(US):
                plain = as_text(explain(formula, example(formula, system), system, {}))
            with using(writing):
                working = worked(formula, example(formula, system), system)
                html = [line_html(line, formula, system=system) for line in working.lines]
                there = as_text(explain(formula, example(formula, system), system, {}))
            for line, printed in zip(working.lines, html, strict=True):
                assert not any(roundings(printed, ","))
                if system == "metric":  # but for a figure in a US unit
                    assert not re.search(r"<mn>[^<]*\.[^<]*</mn>(?!<mtext>[^<]*(?:lb|ft|yd|in|mi|gal|ton))", printed), printed
                if line.redo:
                    math = printed[printed.index("<math") : printed.index("</math>") + 7]
                    assert disagreement(math, ",") is None
                    lines += 1
            # the same figures, in other signs
            assert [x.replace(THIN, "").replace(".", "").replace(",", "") for x in there] == [
                x.replace(THIN, "").replace(".", "").replace(",", "") for x in plain
            ]
    assert lines > 100


# typed, what it is where the point is the decimal mark, and where the comma is; None where it is asked about
TYPED = [
    ("1.5", 1.5, 1.5), ("1,5", 1.5, 1.5), ("1.500", 1.5, None), ("1,500", None, 1.5), ("0.500", 0.5, 0.5), ("0,500", 0.5, 0.5),
    ("1.234,5", 1234.5, 1234.5), ("1,234.5", 1234.5, 1234.5), ("1.234.567", 1234567, 1234567), ("1,234,567", 1234567, 1234567),
    ("1 500", 1500, 1500), ("1\u202f500,5", 1500.5, 1500.5), ("1\u202f500.5", 1500.5, 1500.5), ("1500", 1500, 1500), ("12.3456", 12.3456, 12.3456),
    ("1.5.2", "refused", "refused"), ("-1,5", -1.5, -1.5), ("5 1/2", 5.5, 5.5),
]  # fmt: skip


@pytest.mark.parametrize(("text", "point", "comma"), TYPED)
def test_a_typed_figure_is_read_by_the_mark_of_its_site(text: str, point: Any, comma: Any) -> None:
    for mark, expected in ((".", point), (",", comma)):
        if expected is None:
            with pytest.raises(TwoWays) as caught:
                read_typed(text, mark)  # type: ignore[arg-type]
            # both ways are written so that this site reads them one way only
            assert [read_typed(way, mark).parts[0].value for way in caught.value.ways] == [1500, 1.5]  # type: ignore[arg-type]
        elif expected == "refused":
            with pytest.raises(CalculationError, match="write 1234.5 or 1,234.5" if mark == "." else "write 1234,5 or 1.234,5"):
                read_typed(text, mark)  # type: ignore[arg-type]
        else:
            got = read_typed(text, mark)  # type: ignore[arg-type]
            assert got.parts[0].value * (-1 if got.sign else 1) == expected
            assert "," not in got.parts[0].plain


def test_what_a_page_prints_for_thousands_is_read_so_in_its_unit_alone() -> None:
    answer = {"unit": "lb", "accept": {"lb": [0, 1], "kg": [0, 1]}, "decimal": ",", "point": True}
    assert figure_for("12.500", answer).value == 12500 and figure_for("12,500", answer).value == 12.5
    with pytest.raises(TwoWays):
        figure_for("12.500 kg", answer)
    with pytest.raises(TwoWays):
        figure_for("12.500", {k: v for k, v in answer.items() if k != "point"})
    # a kept edition from before sites had countries says nothing of a decimal mark, and has a point
    old = {"unit": "lb", "accept": {"lb": [0, 1]}, "comma": True}
    assert figure_for("12,500", old).value == 12500 and figure_for("12.500", old).value == 12.5


def test_the_thin_space_of_a_page_reads_back_where_figures_are_kept_and_no_other_blank_does() -> None:
    assert read_written("12\u202f500 kg", "mass").digits == "12500"
    for text in ("12 500 kg", "12\u00a0500 kg", "12\u202f50 kg", "1234\u202f5 kg"):
        with pytest.raises(CalculationError):
            read_written(text, "mass")


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    """A page with the scripts that read figures."""
    page = browser.new_page()
    page.add_script_tag(content=of_the_page.script())
    for name in ("words.js", "typed-number.js", "result-code.js"):
        page.add_script_tag(content=(LOOK / name).read_text("utf-8"))
    yield page
    page.close()


def test_the_page_reads_as_the_program_does_and_slips_keep_a_point(page: Any) -> None:
    figures = [
        str(Quantity(Decimal(f), u, k))
        for f in ("1.234", "1234.5", "0.25", "5301.5", "1500")
        for u, k in (("m", "length"), ("ft", "length"))
    ]
    with using(SPAIN):
        figures += [str(Quantity(Decimal(f), u, "length")) for f in ("1.234", "1234.5", "0.25", "5301.5", "1500") for u in ("m", "ft")]
    texts = [t for t, *_ in TYPED] + figures
    accept = {"ft": [0, 1], "m": [0, 1], "in": [0, 1]}
    for signs_of in ({}, {"comma": True}, {"decimal": ","}, {"decimal": ",", "point": True}):
        answer = {"unit": "ft", "accept": accept, **signs_of}
        told = page.evaluate("list => list.map(([t, a]) => window.seatworkNumbers.figureFor(t, a))", [[t, answer] for t in texts])
        for text, got in zip(texts, told, strict=True):
            try:
                ours = figure_for(text, answer)
            except TwoWays as e:
                assert got["either"] == list(e.ways), (text, signs_of)
            except CalculationError:
                assert got.get("problem"), (text, signs_of, got)
            else:
                assert (got["figure"], got["unit"]) == (ours.value, ours.unit), (text, signs_of)
                slip = page.evaluate(
                    """([text, answer]) => window.seatworkResults.slipCode(
                      { crew: 'P-01', lesson: 'l', edition: 'e', finished: '2027-03-04T05:06:00Z', answers: [{ units: 'us', variant: 0, answer: text }] },
                      [{ kind: 'number', variants: [{ us: { answer } }] }])""",
                    [text, answer],
                )
                kept = read_slip(slip, "slip").answers[0].answer
                assert isinstance(kept, str)
                again = figure_for(kept, from_slip(answer))
                assert again.value == pytest.approx(ours.value, rel=1e-12) and again.unit == ours.unit, (text, signs_of, kept)


def site_with(folder: Path, lines: str, slot_length: str = "") -> Path:
    shutil.copytree(Path(__file__).parents[2] / "site_demo", folder, ignore=shutil.ignore_patterns("out", ".*", "editions", "register"))
    settings = folder / "settings.yml"
    text = re.sub(r"(?m)^units: us", f"{lines}units: us", settings.read_text("utf-8"))
    settings.write_text(re.sub(r"(?m)^( +slot_length:)[^#\n]*", rf"\1 {slot_length}", text) if slot_length else text, "utf-8")
    return folder


def test_a_figure_in_the_settings_of_a_site_with_a_decimal_comma(tmp_path: Path) -> None:
    """1,5 is one and a half there; what somebody may read as a thousand times another is refused with both."""
    site = read(site_with(tmp_path / "a", "country: ES\n", '"150,5 ft"'))
    assert isinstance(site.settings.job["slot_length"], Quantity) and site.settings.job["slot_length"].figure == Decimal("150.5")
    for n, text in enumerate(("1,500 ft", "1.500 ft")):
        with pytest.raises(SiteProblems, match="two ways"):
            read(site_with(tmp_path / str(n), "country: ES\n", f'"{text}"'))
    # without a country a comma is for thousands, as before
    assert read(site_with(tmp_path / "us", "", '"1,500 ft"')).settings.job["slot_length"] == Quantity(Decimal(1500), "ft", "length")


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ("country: USA", "'USA' is no country's two letters of ISO 3166; write US"),
        ("country: Spain", "'Spain' is no country's two letters of ISO 3166; write ES"),
        ("country: UK", "'UK' is no country's two letters of ISO 3166; write GB"),
        ("country: EU", "'EU' is no country's two letters of ISO 3166; write them, such as US, MX, PR, ES, AR or CL"),
    ],
)  # fmt: skip
def test_a_wrong_country_is_one_line_with_what_to_write(tmp_path: Path, line: str, wrong: str) -> None:
    with pytest.raises(SiteProblems) as caught:
        read(site_with(tmp_path / "s", f"{line}\n"))
    assert [str(p) for p in caught.value.problems if "country" in str(p)] == [
        next(str(p) for p in caught.value.problems if wrong in str(p))
    ]


def test_a_site_is_in_the_united_states_where_it_says_nothing(tmp_path: Path) -> None:
    assert read(site_with(tmp_path / "us", "")).settings.writing == US
    there = read(site_with(tmp_path / "es", "country: es\n")).settings
    assert there.country == "ES" and there.writing == SPAIN


def test_figures_somebody_looked_at_hold_in_either_way_of_writing() -> None:
    """Entries of ``looked_at:`` from before metric figures had a thin space and the unit people say."""
    assert _ungrouped("2 yd³; 4,960 lb; 28,350 kg; 1,700 kg/m³") == _ungrouped("2 yd³; 4,960 lb; 28.35 t; 1 700 kg/m³")
    assert _ungrouped("28,350 kg") != _ungrouped("28.36 t") and _ungrouped("950 kg") == "950 kg" and _ungrouped("6,000 mm") == "6 m"
    with using(SPAIN):
        assert _ungrouped("28.350 kg; 1,234 m") == _ungrouped("28,35 t; 1,234 m") != _ungrouped("28,35 t; 1.234 m")


def test_the_reference_chapter_of_two_sites_is_written_for_each() -> None:
    """Built in one run, the second site gets no figure in the signs of the first."""
    content = read_content(content_folder())
    first, _ = reference_pages(content)
    with using(SPAIN):
        there, _ = reference_pages(content)
    assert "60,000 lb" in "".join(first.values()) and "60.000 lb" in "".join(there.values())
    assert "60,000 lb" not in there["reference/loading.md"] and reference_pages(content)[0] == first
