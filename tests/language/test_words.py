"""Strings in the language of now, files of them, and what languages and countries are called and write."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from generator.language.catalogue import NoCatalogue, catalogue, fits, languages_in
from generator.language.country import countries, signs
from generator.language.names import language_name
from generator.language.words import Catalogue, Said, current, found, is_code, mark, missing, now, ntr, said, tr, using

THIN = "\u202f"
SPANISH = Catalogue(
    "es", {"Sheet {number} of {all}": "Hoja {number} de {all}", "wet": "mojado"}, {"{n} lesson": ("{n} lección", "{n} lecciones")}
)


@pytest.mark.parametrize(
    ("text", "code"),
    [("es", True), ("en", True), ("zz", True), ("ES", False), ("Es", False), ("e", False), ("esp", False), ("", False), ("e1", False), ("ñu", False)],
)  # fmt: skip
def test_a_code_is_two_small_letters(text: str, code: bool) -> None:
    assert is_code(text) is code


def test_english_is_its_own_translation() -> None:
    assert current() == "en" and now().language == "en"
    assert tr("Sheet {number} of {all}", number=3, all=5) == "Sheet 3 of 5"
    assert tr("{braces} stay") == "{braces} stay" and found("") == "" and mark("wet") == "wet"
    assert [ntr("{n} lesson", "{n} lessons", n) for n in (0, 1, 2, 1.5)] == ["0 lessons", "1 lesson", "2 lessons", "1.5 lessons"]
    assert ntr("{n} of {all}", "{n} of {all} in all", 2, all=7) == "2 of 7 in all"
    assert missing() == frozenset()


def test_another_language_is_laid_over_and_taken_off_again() -> None:
    with using(SPANISH):
        assert current() == "es" and now() is SPANISH
        assert tr("Sheet {number} of {all}", number=3, all=5) == "Hoja 3 de 5" and found("wet") == "mojado"
        assert [now().form(n) for n in (0, 1, 2, 1.5)] == [1, 0, 1, 1]
        assert [ntr("{n} lesson", "{n} lessons", n) for n in (0, 1, 2)] == ["0 lecciones", "1 lección", "2 lecciones"]
        with using(Catalogue("de", {}, {"{n} lesson": ("{n} Lektion",)})):
            assert current() == "de" and ntr("{n} lesson", "{n} lessons", 2) == "2 Lektion"  # a language may have one form only
        assert current() == "es"
        with pytest.raises(ZeroDivisionError), using(Catalogue("de")):
            raise ZeroDivisionError
        assert current() == "es"
    assert current() == "en"


def test_what_is_not_there_stays_english_and_is_noted_but_for_what_is_no_word() -> None:
    bare = Catalogue("es")
    with using(bare):
        assert (
            tr("Not {there}", there=1) == "Not 1" and ntr("{n} day", "{n} days", 1) == "1 day" and ntr("{n} day", "{n} days", 3) == "3 days"
        )
        assert [tr(t) for t in ("", "5", "m", "±", "x_y", "3 x")] == ["", "5", "m", "±", "x_y", "3 x"]
        assert found("yd") == "yd"
        assert missing() == {"Not {there}", "{n} day", "yd"}
    assert missing() == frozenset()
    assert bare == Catalogue("es") and bare.print == Catalogue("es").print  # what was asked for in vain makes no other


def test_two_catalogues_are_told_apart_by_language_and_by_every_string() -> None:
    some: list[tuple[Any, ...]] = [
        ("es",), ("de",), ("es", {"a": "b"}), ("es", {"a": "c"}), ("es", {}, {"a": ("b", "c")}), ("es", {}, {"a": ("b", "d")}),
    ]  # fmt: skip
    prints = {Catalogue(*args).print for args in some}
    assert len(prints) == 6
    assert Catalogue("es", {"a": "1", "b": "2"}).print == Catalogue("es", {"b": "2", "a": "1"}).print


def test_a_text_with_figures_knows_what_it_was_made_of() -> None:
    plain = said("Rock {stays} whole")  # no figures: braces are its own
    assert plain == "Rock {stays} whole" and isinstance(plain, Said)
    assert (plain.template, plain.figures) == ("Rock {stays} whole", {})
    whole = said("{what} of {count}", what=said("wet"), count=3)
    assert whole == "wet of 3" and isinstance(whole, Said) and whole.template == "{what} of {count}"
    assert (Said("x").template, Said("x").figures) == ("x", {})
    with using(Catalogue("es", {"{what} of {count}": "{count} de {what}", "wet": "mojado"})):
        assert tr(whole) == "3 de mojado" and whole == "wet of 3"
        assert tr(said("wet")) == "mojado" and tr(str(whole)) == "wet of 3"
    assert tr(whole) == "wet of 3"


# --- files ------------------------------------------------------------------------------------

HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n"Language: es\\n"\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'


def put(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(HEAD + text, "utf-8")
    return path


def test_only_what_is_translated_and_not_doubtful_is_read(tmp_path: Path) -> None:
    """A ``#, fuzzy`` line marks a translation somebody has yet to look at (GNU gettext manual, PO Files; from memory)."""
    put(tmp_path, "es/words/a.po", (
        'msgid "wet"\nmsgstr "mojado"\n\nmsgid "dry"\nmsgstr ""\n\n#, fuzzy\nmsgid "dark"\nmsgstr "claro"\n\n'
        'msgid "{n} day"\nmsgid_plural "{n} days"\nmsgstr[0] "{n} día"\nmsgstr[1] "{n} días"\n\n'
        'msgid "{n} hour"\nmsgid_plural "{n} hours"\nmsgstr[0] "{n} hora"\nmsgstr[1] ""\n'
    ))  # fmt: skip
    made = catalogue("es", [tmp_path])
    assert made == Catalogue("es", {"wet": "mojado"}, {"{n} day": ("{n} día", "{n} días")})
    assert catalogue("en", [tmp_path]) == Catalogue("en") and catalogue("de", [tmp_path]) == Catalogue("de")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            b'msgid "wet"\nmsgstr "mojado\n',
            "es/words/a.po:2: this is no line of a .po file; write msgstr and the words in quotes, on one line",
        ),
        ('msgid "wet"\nmsgstr "húmedo"\n'.encode("latin-1"), "es/words/a.po: the file is no .po file in UTF-8; save it as UTF-8"),
        (b'msgstr "x"\nmsgid "y"\nmsgid "z"\n', "es/words/a.po: the file is no .po file in UTF-8; save it as UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read_is_named_from_its_language_on(tmp_path: Path, text: bytes, told: str) -> None:
    path = put(tmp_path, "es/words/a.po", "")
    path.write_bytes(text)
    with pytest.raises(NoCatalogue) as e:
        catalogue("es", [tmp_path])
    assert str(e.value).startswith(told) and "\n" not in str(e.value)


@pytest.mark.parametrize(
    ("english", "texts", "fit"),
    [
        (("Sheet {n}",), ("Arkusz {n}",), True), (("Sheet {n}",), ("Arkusz",), False), (("Sheet",), ("Arkusz {x}",), False),
        (("<b>Now</b>",), ("<b>Teraz</b>",), True), (("Now",), ("<script>Teraz</script>",), False), (("Now",), ("Teraz <", ), False),
        (("{n} hour", "{n} hours"), ("godzina", "{n} godziny"), True), (("{n} hour", "{n} hours"), ("{h}", "{h}"), False),
        (("a day", "days"), ("día", "días"), True), (("a day", "days"), ("día", "{n} días"), True), (("one", "{n} of {all}"), ("uno", "{n}"), False),
        (("<b>a</b> day", "{n} days"), ("<b>un</b> día", "{n} días"), False), (("{n} hour", "{n} hours"), ("godzina", "{n} godziny <b>"), False),
    ],
)  # fmt: skip
def test_a_translation_with_other_blanks_or_marks_does_not_fit(english: tuple[str, ...], texts: tuple[str, ...], fit: bool) -> None:
    assert fits(english, texts) is fit


def test_a_later_folder_counts_first_and_a_changed_file_is_read_anew(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    put(one, "es/words/a.po", 'msgid "wet"\nmsgstr "mojado"\n\nmsgid "dry"\nmsgstr "seco"\n')
    put(one, "es/words/notes.txt", "")
    path = put(two, "es/words/b.po", 'msgid "wet"\nmsgstr "húmedo"\n')
    assert catalogue("es", [one, two]).texts == {"wet": "húmedo", "dry": "seco"}
    assert catalogue("es", [two, one]).texts == {"wet": "mojado", "dry": "seco"}
    at = path.stat()
    path.write_text(path.read_text("utf-8").replace("húmedo", "lluvia"), "utf-8")
    os.utime(path, ns=(at.st_atime_ns, at.st_mtime_ns + 1_000_000_000))
    assert catalogue("es", [two]).texts == {"wet": "lluvia"}
    path.write_text(path.read_text("utf-8").replace("lluvia", "mojadito"), "utf-8")
    os.utime(path, ns=(at.st_atime_ns, at.st_mtime_ns + 1_000_000_000))  # a clock that stands still
    assert catalogue("es", [two]).texts == {"wet": "mojadito"}


def test_languages_are_folders_of_two_small_letters_with_english_first(tmp_path: Path) -> None:
    for name in ("a/es", "a/look", "a/en", "a/ES", "b/de", "b/es", "b/de-AT"):
        (tmp_path / name).mkdir(parents=True)
    (tmp_path / "a/fr").write_text("a file", "utf-8")
    assert languages_in([tmp_path / "a", tmp_path / "b", tmp_path / "none"]) == ("en", "de", "es")
    assert languages_in([]) == ("en",)


# --- names and countries ------------------------------------------------------------------------


def test_a_language_is_called_in_the_language_of_now() -> None:
    """The names of the Unicode CLDR (from memory)."""
    assert [language_name(c) for c in ("es", "de", "zz", "ES", "es_ES", "spanish", "")] == [
        "Spanish",
        "German",
        "zz",
        "ES",
        "es_ES",
        "spanish",
        "",
    ]
    with using(Catalogue("es")):
        assert (language_name("es"), language_name("en"), language_name("zz")) == ("español", "inglés", "zz")


@pytest.mark.parametrize(
    ("country", "decimal", "group"),
    [
        ("US", ".", ","), ("MX", ".", ","), ("GB", ".", ","), ("JP", ".", ","), ("ES", ",", "."), ("DE", ",", "."), ("BR", ",", "."), ("AR", ",", "."),
        ("FR", ",", THIN), ("PL", ",", THIN), ("SE", ",", THIN), ("ZA", ",", THIN), ("CH", ".", THIN),
    ],
)  # fmt: skip
def test_how_a_country_writes_numbers(country: str, decimal: str, group: str) -> None:
    """As the Unicode CLDR has them (from memory); every blank and the raised comma of Switzerland become one thin space."""
    assert signs(country) == (decimal, group)


def test_no_country_has_one_sign_for_both_and_codes_of_regions_and_tests_are_none() -> None:
    named = countries()
    assert named["ES"] == "Spain" and named["US"] == "United States" and 200 < len(named) < 300
    assert not {"EU", "EZ", "QO", "UN", "XA", "XB", "ZZ", "001", "419"} & set(named)
    for country in named:
        decimal, group = signs(country)
        assert decimal in {".", ","} and group in {".", ",", THIN} and decimal != group, country
