"""What a word that is not known may have meant: a lesson's name by its letters, an id by its number. Worked out by hand, no source."""

from __future__ import annotations

import pytest

from generator.source.near import same_id, suggest, suggest_id, suggest_language

CREW = ["P-01", "P-02", "P-04", "P-14", "P-40", "A03", "A30", "DRV-7"]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("A3", "A03"), ("a3", "A03"), ("A-3", "A03"), ("A 003", "A03"), ("A30 ", "A30"), ("P-4", "P-04"), ("p4", "P-04"), ("P–4", "P-04"),
        ("P004", "P-04"), ("p_14", "P-14"), ("DRV7", "DRV-7"), ("DVR-7", None), ("DRVR-07", "DRV-7"),
        # a letter that was read for a figure
        ("P-O1", "P-01"), ("P-l4", "P-14"), ("P-4O", "P-40"), ("PO4", "P-04"),
        # another number is another person, however near the letters are
        ("P-05", None), ("P-44", None), ("P-00", None), ("P-011", None), ("P-1 4", None), ("A33", None), ("P-4-0", None),
        # another letter is another list
        ("Q-04", None), ("4", None), ("04", None), ("", None), ("--", None), ("x" * 500, None), ("9" * 500, None),
    ],
)  # fmt: skip
def test_an_id_is_meant_by_its_number(typed: str, meant: str | None) -> None:
    assert suggest_id(typed, CREW, "check the id") == (f"did you mean {meant}?" if meant else "check the id")


def test_where_two_ids_fit_alike_none_is_named() -> None:
    assert suggest_id("A3", ["A03", "A-3"], "check the id") == "check the id"
    assert suggest_id("A3", ["A03", "A03"], "check the id") == "did you mean A03?"
    assert suggest_id("CREWS-3", ["CREW-3", "TRUCK-3"], "check") == "did you mean CREW-3?"
    assert suggest_id("CREWE-3", ["CREW-3", "CREWED-3"], "check") == "check"
    # as it stands comes before as it may have been misread
    assert suggest_id("PO4", ["PO-04", "P-04"], "check") == "did you mean PO-04?"


@pytest.mark.parametrize(("typed", "meant"), [("holoway", "holloway"), ("HOLLOWAY", "holloway"), ("tim", None), ("hallowed", None)])
def test_ids_without_numbers_go_by_their_letters(typed: str, meant: str | None) -> None:
    assert suggest_id(typed, ["holloway", "tom"], "check") == (f"did you mean {meant}?" if meant else "check")


def test_it_names_nobody_else_as_the_plain_hint_does() -> None:
    # the plain hint goes by letters alone, which is right for a lesson's name
    assert suggest("A3", ["A30", "B03"], "check") == "did you mean A30?"
    assert suggest_id("A3", ["A30", "B03"], "check") == "check"


def test_an_id_says_the_same_however_it_is_written() -> None:
    assert same_id("P-04") == same_id("p 4") == ("p", 4) and same_id("P-40") != same_id("P-04") and same_id("–") == ()


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("esp", "es"), ("sp", "es"), ("SPA", "es"), ("Spanish", "es"), ("Español", "es"), ("espanol", "es"), ("spanisch", "es"),
        ("es-MX", "es"), ("es_AR", "es"), ("eng", "en"), ("English", "en"), ("en-US", "en"), ("polski", "pl"), ("po", "pl"),
        # another language is not put in the place of one, nor where two fit alike
        ("fr", None), ("xx", None), ("e", None), ("", None), ("---", None), ("fr-ES", None), ("german", None), ("x" * 500, None),
    ],
)  # fmt: skip
def test_a_language_is_meant_by_its_name_or_code(typed: str, meant: str | None) -> None:
    assert suggest_language(typed, ["en", "es", "pl"], "write one") == (f"did you mean {meant}?" if meant else "write one")


def test_where_two_languages_fit_alike_none_is_named() -> None:
    assert suggest_language("po", ["pl", "pt"], "write one") == "write one"  # Polish, Portuguese
    assert suggest_language("es", ["zz"], "write one") == "write one"  # a code of no language has no name
