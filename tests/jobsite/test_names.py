"""A site's own names in another language, from FOLDER/LANGUAGE/names.csv."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.names import in_language, lines_of_names, names_text, printed_in, read_names, site_names, strange
from generator.language.words import tr, using
from generator.publish.build import Problems, load
from generator.publish.languages import speech
from generator.source.problem import Refusals
from tests.conftest import DEMO, copy_demo
from tests.sites import own_rules

Named = Callable[[str], Path]


@pytest.fixture
def named(tmp_path: Path) -> Named:
    """A folder whose Spanish table of names has this text."""

    def make(text: str) -> Path:
        (tmp_path / "es").mkdir(exist_ok=True)
        (tmp_path / "es/names.csv").write_text(text, "utf-8")
        return tmp_path

    return make


@pytest.fixture(scope="module")
def demo_site() -> JobSite:
    return load(DEMO)[1]


def test_a_table_is_read_as_spreadsheets_save_it(named: Named) -> None:
    wanted = {"Middle dozer": "Topadora mediana", "clay; wet": "arcilla, mojada"}
    assert read_names(named('name,in_language\nMiddle dozer,Topadora mediana\nclay; wet,"arcilla, mojada"\n'), "es") == wanted
    text = '\ufeffsep=;\r\nName;In language\r\nMiddle dozer; Topadora mediana \r\n;\r\n"clay; wet";arcilla, mojada\r\n'
    assert read_names(named(text), "es") == wanted
    assert read_names(named(text.replace("Name;In language", "In language;Name")), "es") == {v: k for k, v in wanted.items()}
    assert read_names(named(text), "pl") == {}


def test_a_name_without_another_one_is_none(named: Named) -> None:
    folder = named("name,in_language\nclay,\nsand\ntopsoil,tierra vegetal\n")
    assert read_names(folder, "es") == {"topsoil": "tierra vegetal"}
    assert lines_of_names(folder, "es") == {"clay": 2, "sand": 3, "topsoil": 4}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,spanish\nclay,arcilla\n", "es/names.csv:1:spanish: unknown column 'spanish'"),
        ("name\nclay\n", "es/names.csv:1: there is no column in_language"),
        ("name,in_language\nclay,arcilla\n,arena\n", "es/names.csv:3:name: the cell is empty"),
        ("name,in_language\nclay,arcilla\nclay,barro\n", "es/names.csv:3:name: 'clay' stands twice (first in line 2)"),
        ("name,in_language\nclay,=A1\n", "es/names.csv:2:in_language: '=A1' looks like a formula"),
        ("name,in_language\nclay,--\n", "es/names.csv:2:in_language: '--' is no name"),
        (f"name,in_language\nclay,{'a' * 201}\n", "es/names.csv:2:in_language: the text is longer than 200 characters"),
        ("", "es/names.csv: the file is empty"),
    ],
)
def test_a_mistake_is_told_with_its_line(named: Named, text: str, said: str) -> None:
    with pytest.raises(Refusals) as found:
        read_names(named(text), "es")
    assert str(found.value.problems[0]).startswith(said)


def test_a_wrong_table_stops_a_build_and_a_check(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=True)
    (folder / "es/names.csv").write_text("name,spanish\n", "utf-8")
    with pytest.raises(Problems, match=r"es/names.csv:1"):
        load(folder)


def test_names_change_and_ids_and_figures_stay(demo_site: JobSite) -> None:
    marked = {name: f"«{name}»" for name in site_names(demo_site)}
    other = in_language(demo_site, marked)
    s, before = other.settings, demo_site.settings
    assert [m.name for m in other.machines] == [f"«{m.name}»" for m in demo_site.machines]
    assert [m.name for m in (*other.trucks, *other.materials)] == [f"«{m.name}»" for m in (*demo_site.trucks, *demo_site.materials)]
    assert s.roles["labourer"].title == "«Labourer on foot»" and s.ask_first[0] == f"«{before.ask_first[0]}»"
    assert s.limits["call"] == "«Site office, channel 3»" and s.limits["decided_on"] == before.limits["decided_on"]
    assert s.name == f"«{before.name}»" and s.key == before.key and s.edition == before.edition and s.job == before.job
    back = in_language(other, {v: k for k, v in marked.items()})
    for part in (*(f.name for f in dataclasses.fields(before)),):
        assert getattr(back.settings, part) == getattr(before, part), part
    assert (back.machines, back.trucks, back.materials, back.crew) == (
        demo_site.machines, demo_site.trucks, demo_site.materials, demo_site.crew,
    )  # fmt: skip


def test_the_demo_has_all_its_names_in_spanish(demo_site: JobSite) -> None:
    spanish = read_names(DEMO, "es")
    assert set(site_names(demo_site)) == set(spanish)
    assert not list(strange(demo_site, lines_of_names(DEMO, "es"), "es"))
    assert printed_in(demo_site, "es").machines[0].name == "D-1 Topadora mediana"


def test_a_name_that_is_nowhere_any_more_is_told(demo_site: JobSite) -> None:
    assert list(strange(demo_site, {"clay": 2, "wet clai": 3}, "es")) == [
        ("es/names.csv", 3, "nothing of this site is called 'wet clai'", "did you mean wet clay?")
    ]


def test_names_of_own_rules_are_told_too(tmp_path: Path) -> None:
    folder = own_rules(tmp_path / "site")
    site = load(folder)[1]
    assert {"stiff clay", "Order on heat", "section 5", "Ida Moreno, works engineer"} <= set(site_names(site))
    assert "a cup" not in site_names(site)  # a row that the program asks for
    (folder / "es").mkdir()
    (folder / "es/names.csv").write_text(names_text({"stiff clay": "arcilla dura", "Order on heat": "Orden sobre el calor"}), "utf-8")
    assert printed_in(site, "es").rules.own["heat"].title == "Orden sobre el calor"
    with using(speech("es", tmp_path, folder)):
        assert tr("stiff clay") == "arcilla dura"  # as the rows of published tables are told
