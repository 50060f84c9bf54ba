"""What a part of the book reads is noted, all of it, and what it does not read cannot change it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import Content
from generator.book.seen import ALL, Sources, Unprintable, Watched, bare, print_of
from generator.jobsite.model import JobSite
from generator.publish.build import load
from generator.units.quantity import Quantity
from tests.book.places import small


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> tuple[Content, JobSite]:
    return load(small(tmp_path_factory.mktemp("seen") / "site", "stop-work", "bench-height"))


def test_every_way_into_a_table_is_noted() -> None:
    table: dict[str, Any] = {"a": 1, "b": 2}

    def noted(use: Any) -> set[tuple[str, str]]:
        seen: set[tuple[str, str]] = set()
        use(Watched("t", table, seen))
        return seen

    assert noted(lambda t: t["a"]) == {("t", "a")}
    assert noted(lambda t: t.get("c")) == {("t", "c")}
    assert noted(lambda t: "c" in t) == {("t", "c")}
    with pytest.raises(KeyError):
        noted(lambda t: t["c"])
    whole = {("t", ALL), ("t", "a"), ("t", "b")}
    for use in (dict, lambda t: list(t.items()), lambda t: list(t.values()), lambda t: t == {"a": 1}, lambda t: {**t}):
        assert noted(use) == whole
    for use in (list, set, len, lambda t: {"a"} <= set(t), bool):
        assert noted(use) == {("t", ALL)}
    with pytest.raises(TypeError):
        hash(Watched("t", table, set()))


def test_a_print_tells_all_apart(read: tuple[Content, JobSite]) -> None:
    ten = Quantity.read("10 ft", "length")
    values: list[Any] = [
        ten, replace(ten, limit="most"), Quantity.read("10.5 ft", "length"), Quantity.read("10 m", "length"), "10 ft", 10, 10.0, True, 1, None, "",
        [], {}, {"a": 1, "b": 2}, {"b": 2, "a": 1}, ("a", "b"), ("ab",), datetime.date(2026, 1, 5), "2026-01-05", b"a", "a", Path("a"), frozenset("a"),
    ]  # fmt: skip
    assert len({print_of(v) for v in values}) == len(values)
    with pytest.raises(Unprintable):
        print_of(object())
    with pytest.raises(Unprintable):
        print_of(lambda: None)


def other(value: Any) -> Any:
    """Another value of the same kind."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        return f"{value}x"
    if isinstance(value, int | float):
        return value + 1
    if isinstance(value, Quantity):
        return replace(value, figure=value.figure + 1)
    if isinstance(value, datetime.date):
        return value + datetime.timedelta(1)
    if isinstance(value, tuple):
        return (*value, "x")
    if isinstance(value, Path):
        return value / "x"
    if isinstance(value, dict) or hasattr(value, "items"):
        return {**value, "x": "x"}
    return "x" if value is None else replace(value, **{f: other(getattr(value, f)) for f in [fields(value)[0].name]})


# what no part of the book is given, so that it need not be the same
LEFT_OUT = {"site.notices", "site.settled", "site.folder", "site.mentors", "site.learners", "settings.looked_at", "settings.records"}
LEFT_OUT |= {f"person.{n}" for n in ("name", "role", "start", "line", "former_id", "role_from", "language")}
# what is noted entry by entry
NOTED = {"settings.limits", "settings.job", "settings.lines", "row.values"}


def with_field(site: JobSite, name: str, value: Any) -> JobSite:
    more: dict[str, Any] = {name: value}
    return replace(site, **more)


def changed(site: JobSite) -> Iterator[tuple[str, JobSite]]:
    """The site with each of its fields made another, one at a time."""
    for f in fields(site):
        if f.name in {"machines", "trucks", "materials", "crew"}:
            rows: tuple[Any, ...] = getattr(site, f.name)
            kind = "person" if f.name == "crew" else "row"
            made: dict[str, Any] = {f"site.{f.name}": rows[:-1]}
            for g in fields(rows[0]):
                made[f"{kind}.{g.name}"] = (replace(rows[0], **{g.name: other(getattr(rows[0], g.name))}), *rows[1:])
            for name, found in made.items():
                yield name, with_field(site, f.name, found)
        elif f.name != "settings":
            yield f"site.{f.name}", with_field(site, f.name, other(getattr(site, f.name)))
    for f in fields(site.settings):
        yield f"settings.{f.name}", replace(site, settings=replace(site.settings, **{f.name: other(getattr(site.settings, f.name))}))


def test_whatever_is_not_noted_is_fixed_or_left_out(read: tuple[Content, JobSite]) -> None:
    content, site = read
    content = replace(content, glossary={}, tables={}, cards={})  # quicker to tell apart
    fixed = Sources(content, site, "p").fixed
    assert fixed == Sources(content, site, "p").fixed
    assert fixed != Sources(content, site, "another program").fixed
    seen = set()
    for name, made in changed(site):
        seen.add(name)
        if name in LEFT_OUT:
            assert bare(made) == bare(site), name
        else:
            assert (Sources(content, made, "p").fixed == fixed) == (name in NOTED), name
    assert seen >= LEFT_OUT | NOTED
    for f in fields(content):
        if f.name in {"lessons", "questions"}:
            continue
        nothing: dict[str, Any] = {f.name: None}
        if f.name != "own":
            assert Sources(replace(content, **nothing), site, "p").fixed != fixed, f.name
    pictured = replace(content, own=replace(content.own, pictures={"yard.jpg": b"1"}))
    assert Sources(pictured, site, "p").fixed != fixed


def test_a_note_has_the_print_of_its_entry(read: tuple[Content, JobSite]) -> None:
    content, site = read
    first = site.machines[0]
    column = next(iter(first.values))
    more = replace(site, machines=(replace(first, values={**first.values, column: other(first.values[column])}), *site.machines[1:]))
    before, after = Sources(content, site, "p"), Sources(content, more, "p")
    assert before.fixed == after.fixed
    assert before.print_of(("machines 0", column)) != after.print_of(("machines 0", column))
    assert before.print_of(("machines 0", ALL)) == after.print_of(("machines 0", ALL))
    assert before.print_of(("machines 0", "no_such")) == before.print_of(("machines 999", "x")) == before.print_of(("nothing", "x"))
    fewer = Sources(replace(content, lessons={}), site, "p")
    assert before.print_of(("lessons", "stop-work")) != fewer.print_of(("lessons", "stop-work"))


def test_a_part_is_given_nothing_but_watched_tables(read: tuple[Content, JobSite]) -> None:
    content, site, seen = Sources(*read, "p").watched()
    rows = [*site.machines, *site.trucks, *site.materials]
    tables = [r.values for r in rows] + [site.settings.limits, site.settings.job, site.settings.lines]
    assert all(isinstance(t, Watched) for t in (*tables, content.lessons, content.questions, content.own.texts))
    assert not seen
    assert site.of_kind("dozer") and not seen
    rows[0].get("mass")
    assert seen == {("machines 0", "mass")}
