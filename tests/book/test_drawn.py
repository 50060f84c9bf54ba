"""A drawing that an earlier build made is taken where all it was made from is the same, and is then the same in every way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from generator.book.drawn import Asked, Drawings, Drawn, Steps
from generator.book.kept import packed
from generator.book.parallel import Job
from generator.book.seen import Sources
from generator.book.tree import render_part
from generator.drawing.laws import broken
from generator.drawing.measure import AsIs, Measure
from generator.jobsite.model import JobSite
from generator.language.words import Catalogue, said, using
from generator.publish.build import load
from generator.source.store import Store
from generator.units.quantity import Quantity
from tests.book.places import small
from tests.drawing.samples import FILMS, SAMPLES

KEY = ("loading.bench_loading", "x", None, "")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    folder = tmp_path / "kept"
    folder.mkdir()
    return Store(folder, b"k" * 32)


def drawn(name: str) -> tuple[dict[str, Any], Drawn]:
    """A sampled scene: what it is given, and the finished drawing."""
    scene: Any
    scene, arguments = {**SAMPLES, **FILMS}[name]
    given = dict(arguments[0])
    return given, Drawn.of(scene(ident="drawing-of-page", **given))


@pytest.mark.parametrize("name", ["bench_loading", "slot_passes_film"])
def test_it_comes_back_as_it_was(store: Store, name: str) -> None:
    given, made = drawn(name)
    figures = Asked({"limits.edge_distance": 0.1})
    broken(made.svg, figures)
    first = Drawings(store, "part")
    first.put(KEY, given, made, figures)
    first.done()
    later = Drawings(store, "part")
    assert later.kept(KEY, given, {"limits.edge_distance": 0.1}) == made
    assert later.get(KEY) == made, "the second time it is asked for it is there"
    assert (made.steps is None) == (name == "bench_loading")


@pytest.mark.parametrize(
    "other",
    [
        {"a": Measure(2.0, "2 ft", "1 m")}, {"a": Measure(1.0, "1.0 ft", "1 m")}, {"a": Measure(1.0, "1 ft", "1.0 m")}, {"b": Measure(1.0, "1 ft", "1 m")},
        {"a": Measure(1.0, "1 ft", "1 m"), "n": 1}, {"a": [Measure(1.0, "1 ft", "1 m")]}, {"a": "1 ft"}, {"a": AsIs("1 ft")}, {"a": 1}, {"a": 1.0}, {"a": True}, {},
    ],
)  # fmt: skip
def test_whatever_else_it_is_given_it_is_another(store: Store, other: dict[str, Any]) -> None:
    given = {"a": Measure(1.0, "1 ft", "1 m")}
    first = Drawings(store, "part")
    first.put(KEY, given, Drawn("<svg/>", (), None), Asked({}))
    first.put(KEY, {"a": "1"}, Drawn("<svg/>", (), None), Asked({}))
    first.done()
    later = Drawings(store, "part")
    assert later.kept(KEY, other, {}) is None
    for key in (("other", *KEY[1:]), (*KEY[:2], 1, ""), (*KEY[:3], "wrong")):
        assert later.kept(key, given, {}) is None
    assert later.kept(KEY, given, {}) is not None
    assert Drawings(store, "another part").kept(KEY, given, {}) is None


def test_what_the_laws_asked_for_has_to_be_the_same_and_is_asked_for_again(store: Store) -> None:
    figures = Asked({"limits.edge_distance": 2.0, "job.depth": 3.0})
    assert (figures.get("limits.edge_distance"), figures.get("truck.width")) == (2.0, None)
    first = Drawings(store, "part")
    first.put(KEY, {}, Drawn("<svg/>", (), None), figures)
    first.done()
    for now, same in (
        ({"limits.edge_distance": 2.0}, True),
        ({"limits.edge_distance": 2.0, "job.depth": 4.0}, True),  # nobody asked for it
        ({"limits.edge_distance": 2.0000000001}, False),
        ({"limits.edge_distance": 2.0, "truck.width": 1.0}, False),
        ({}, False),
    ):
        asked = Asked(now)
        assert (Drawings(store, "part").kept(KEY, {}, asked) is not None) == same, now
        assert asked.noted.keys() == {"limits.edge_distance", "truck.width"}, "the part has to note all of them"


def test_where_laws_went_through_all_figures_or_words_hold_more_than_letters_nothing_is_kept(store: Store) -> None:
    whole = Asked({"limits.edge_distance": 2.0})
    assert list(whole) == ["limits.edge_distance"]
    first = Drawings(store, "part")
    first.put(KEY, {}, Drawn("<svg/>", (), None), whole)
    first.put(KEY, {"a": said("a {b}", b="c")}, Drawn("<svg/>", (), None), Asked({}))
    first.put(KEY, {"a": 1}, Drawn("<svg/>", ((said("a {b}", b="c"), Measure(1.0, "1 ft", "1 m")),), None), Asked({}))
    first.put(KEY, {"a": object()}, Drawn("<svg/>", (), None), Asked({}))
    first.done()
    later = Drawings(store, "part")
    assert not any(later.kept(KEY, given, {"limits.edge_distance": 2.0}) for given in ({}, {"a": said("a {b}", b="c")}, {"a": 1}))


@pytest.fixture(scope="module")
def sources(tmp_path_factory: pytest.TempPathFactory) -> Sources:
    return Sources(*load(small(tmp_path_factory.mktemp("drawn") / "site", "bench-height")), "program")


def test_the_program_the_language_and_the_writing_part_what_is_kept(sources: Sources) -> None:
    content, site = sources.content, sources.site
    prints = {sources.drawn_with, Sources(content, site, "another").drawn_with}
    other = replace(site, settings=replace(site.settings, country="DE"))
    prints.add(Sources(content, other, "program").drawn_with)
    for catalogue in (
        Catalogue("es"),
        Catalogue("es", {"Drawn to scale.": "A escala."}),
        Catalogue("es", {"Drawn to scale.": "En escala."}),
    ):
        with using(catalogue):
            prints.add(Sources(content, site, "program").drawn_with)
    assert len(prints) == 6
    crew = replace(site, settings=replace(site.settings, edition="another"))
    assert Sources(content, crew, "program").drawn_with == sources.drawn_with, "nothing of it is drawn"


def _changed(site: JobSite) -> Iterator[JobSite]:
    """The site with other figures: some that drawings show, some that laws hold them to."""
    for name in ("edge_distance", "person_distance"):
        found = site.settings.limits[name]
        assert isinstance(found, Quantity)
        yield replace(
            site, settings=replace(site.settings, limits={**site.settings.limits, name: replace(found, figure=found.figure * 9 / 10)})
        )
    for i, row in enumerate(site.machines):
        if isinstance(stick := row.values.get("stick_length"), Quantity):
            values: dict[str, Any] = {**row.values, "stick_length": replace(stick, figure=stick.figure * 11 / 10)}
            longer = replace(row, values=values)
            yield replace(site, machines=(*site.machines[:i], longer, *site.machines[i + 1 :]))


def test_a_part_with_kept_drawings_is_the_part_drawn_anew_and_notes_the_same(
    sources: Sources, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = Job("lesson", "bench-height")
    noted: list[set[Any]] = []
    watched = Sources.watched

    def noting(self: Sources) -> Any:
        found = watched(self)
        noted.append(found[2])
        return found

    monkeypatch.setattr(Sources, "watched", noting)
    render_part((sources, store), job)
    taken: list[Drawn | None] = []
    kept = Drawings.kept

    def taking(*asked: Any) -> Drawn | None:
        taken.append(kept(*asked))
        return taken[-1]

    monkeypatch.setattr(Drawings, "kept", taking)
    for site in _changed(sources.site):
        made = Sources(sources.content, site, "program")
        again = packed(render_part((made, store), job))
        assert again == packed(render_part((made, None), job))
        assert noted[-1] == noted[-2]
    assert any(taken) and None in taken, "some were taken, some drawn"


def test_steps_say_what_the_film_says() -> None:
    scene, arguments = FILMS["slot_passes_film"]
    film = scene(ident="x", **arguments[0])
    steps = Steps.of(film)
    assert [us for us, _ in steps.says] == [frame.words.us for frame in film.frames]
    assert (steps.picture_box, steps.key_box, set(steps.told)) == (film.picture_box, film.key_box, film.told)
