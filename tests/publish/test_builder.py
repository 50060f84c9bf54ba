"""What the program leans on inside the site builder is there, and a build goes without what an upgrade takes away."""

from __future__ import annotations

import ast
import socket
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import jinja2
import pytest

from generator.book import parallel
from generator.cli.main import main
from generator.publish import builder
from generator.publish.builder import ONE_PAGE, PRERENDER, PRIVATE, SERVER, Private
from generator.publish.preview import Preview
from tests.book.places import added, small
from tests.conftest import ROOT
from tests.publish.test_prerender import PAGES, built, copies  # noqa: F401

MODULES = (
    "mkdocs.structure.pages",
    "mkdocs.commands.build",
    "mkdocs.contrib.search",
    "material.plugins.search.plugin",
    "mkdocs.livereload",
)
NEW = "renamed_by_an_upgrade"


@pytest.mark.parametrize("private", PRIVATE, ids=str)
def test_it_is_there(private: Private) -> None:
    assert private.there(), f"{private} is gone: {private.why}; {', '.join(private.uses)} goes without until builder.py is mended"
    assert private.why and set(private.uses) <= {PRERENDER, ONE_PAGE, SERVER}


def test_each_is_named_once() -> None:
    assert len({str(p) for p in PRIVATE}) == len(PRIVATE)


def test_only_the_adapter_imports_the_site_builder() -> None:
    found = set()
    for path in (ROOT / "generator").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = (
                [a.name for a in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            if any(n.split(".")[0] in {"mkdocs", "material"} for n in names):
                found.add(path.name)
    assert found == {"builder.py"}


def recoded(code: CodeType, old: str) -> CodeType:
    """Code that says another name everywhere."""
    consts = tuple(recoded(c, old) if isinstance(c, CodeType) else c for c in code.co_consts)
    return code.replace(co_names=tuple(NEW if n == old else n for n in code.co_names), co_consts=consts)


def functions(of: ModuleType) -> Iterable[FunctionType]:
    for value in list(vars(of).values()):
        if getattr(value, "__module__", None) != of.__name__:
            continue
        for f in (value, *(vars(value).values() if isinstance(value, type) else ())):
            for one in (f, getattr(f, "fget", None), getattr(f, "__func__", None)):
                if isinstance(one, FunctionType):
                    yield one


def rename(private: Private, monkeypatch: pytest.MonkeyPatch) -> None:
    """The site builder as an upgrade could leave it: all of it calls the thing by a new name."""
    for module in map(import_module, MODULES):
        for f in functions(module):
            monkeypatch.setattr(f, "__code__", recoded(f.__code__, private.name))
    home: Any = import_module(private.module)
    home = getattr(home, private.owner) if private.owner else home
    if private.name in vars(home):
        monkeypatch.setattr(home, NEW, vars(home)[private.name], raising=False)
        monkeypatch.delattr(home, private.name)
    if private.name == "render":  # templates have one too, and are called from the same code
        monkeypatch.setattr(jinja2.Template, NEW, jinja2.Template.render, raising=False)


@pytest.mark.parametrize("private", [p for p in PRIVATE if PRERENDER in p.uses], ids=str)
def test_a_build_without_it_gives_the_same_bytes(
    private: Private,
    tmp_path: Path,
    copies: list[str],  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    monkeypatch.setenv(parallel.WORKERS, "2")
    usual = built(PAGES, tmp_path / "usual")
    assert sorted(copies) == sorted(PAGES)
    copies.clear()
    rename(private, monkeypatch)
    assert builder.missing() == [private]
    assert built(PAGES, tmp_path / "without") == usual
    assert copies == []


def served(place: Path) -> tuple[dict[str, bytes], bool]:
    """What a preview serves after a save, and whether it built that page by itself."""
    site = added(small(place / "site", "gate"), "gate")
    lesson = site / "lessons/gate.md"
    preview = Preview(site, place / "preview", "http://127.0.0.1:1/")
    preview.rebuild()
    before = preview._site
    lesson.write_text(lesson.read_text("utf-8").replace("Look both ways", "Look all ways"), "utf-8")
    preview.rebuild()
    found = {p.relative_to(preview.root).as_posix(): p for p in sorted(preview.root.rglob("*")) if p.is_file()}
    return {n: p.read_bytes() for n, p in found.items() if p.suffix != ".gz"}, preview._site is before


@pytest.fixture(scope="module")
def usual(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    with pytest.MonkeyPatch.context() as m:
        m.setenv("SOURCE_DATE_EPOCH", "1767225600")
        found, alone = served(tmp_path_factory.mktemp("usual"))
    assert alone and b"Look all ways" in found["lessons/gate.html"]
    return found


@pytest.mark.parametrize("private", [p for p in PRIVATE if ONE_PAGE in p.uses], ids=str)
def test_a_preview_without_it_serves_the_same_bytes(
    private: Private, usual: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    rename(private, monkeypatch)
    assert served(tmp_path) == (usual, False)


@pytest.mark.parametrize("private", [p for p in PRIVATE if SERVER in p.uses], ids=str)
def test_serve_without_it_says_what_to_do(
    private: Private, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rename(private, monkeypatch)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    assert main(["serve", str(small(tmp_path / "site", "gate")), "--port", str(port)]) == 2
    err = capsys.readouterr().err
    assert str(private) in err and "seatwork build" in err and "Traceback" not in err


def test_a_theme_that_is_gone_is_missing() -> None:
    assert not Private("material.no_such", "", "x", (), "").there()
    assert not Private("mkdocs.structure.pages", "NoSuch", "render", (), "").there()
    assert builder.missing() == []
