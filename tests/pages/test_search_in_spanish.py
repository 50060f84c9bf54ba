"""The search of a Spanish handbook, opened from disk: with and without accents, one or many, in the crews' words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from generator.publish.build import build
from tests.conftest import copy_demo, once

LESSONS = ("stop-work", "trench-walls", "ripping-first", "truck-match", "signals", "haul-road")
# what an operator types, and the lesson that must be among the first three
TYPED = {
    "camion": "truck-match", "camión": "truck-match", "CAMIONES": "truck-match", "camiones": "truck-match", "zanja": "trench-walls",
    "zanjas": "trench-walls", "derrumbe": "trench-walls", "bulldozer": "ripping-first", "ripper": "ripping-first", "desgarrador": "ripping-first",
    "desgarradores": "ripping-first", "banderero": "signals", "señas": "signals", "senas": "signals", "señalero": "signals",
    "senalero": "signals", "precaucion": "stop-work", "límites": "stop-work", "limites": "stop-work", "camino de acarreo": "haul-road",
    "zamja": "trench-walls",
}  # fmt: skip


@pytest.fixture(scope="module")
def spanish(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site in Spanish alone, of a few lessons."""

    def make(folder: Path) -> None:
        copy_demo(folder / "site", languages=True)
        settings = folder / "site/settings.yml"
        head, _, rest = settings.read_text("utf-8").replace("languages: [en, es]", "language: es").partition("roles:\n")
        role = f"roles:\n  all: {{title: Todos, machines: [dozer, excavator, truck], lessons: [{', '.join(LESSONS)}]}}\n"
        settings.write_text(head + role + rest[rest.index("\n# This site's own limits") :], "utf-8")
        (folder / "site/crew.csv").write_text("id,name,role,machines,start\nP-01,Ana,all,E-1 D-1 T-1,2026-01-05\n", "utf-8")
        (folder / "site/mentors.csv").unlink()
        build(folder / "site", lambda _: None)

    return once(tmp_path_factory, "spanish_search", make) / "site"


def test_the_words_of_crews_find_the_lesson(spanish: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    page.goto((spanish / "out/web/index.html").as_uri())
    box = page.locator("input.md-search__input")
    box.click()
    wrong = []
    for typed, lesson_id in TYPED.items():
        box.fill("")
        page.wait_for_function("!document.querySelector('.md-search-result__item')")
        page.keyboard.type(typed)
        try:
            page.wait_for_selector(".md-search-result__item a", timeout=10000)
        except Exception:
            wrong.append((typed, "nothing"))
            continue
        page.wait_for_timeout(700)  # the answer to the last letter typed
        found = page.evaluate(
            "[...document.querySelectorAll('.md-search-result__item')].map(i => i.querySelector('a').getAttribute('href'))"
        )
        if not any(f"/{lesson_id}.html" in href for href in found[:3]):
            wrong.append((typed, found[:3]))
        said = page.locator(".sw-meant:visible")
        if said.count() and typed not in {"zamja", "desgarradores"}:  # accents are not told as slips; a slip and an unknown plural are
            wrong.append((typed, said.first.inner_text()))
    context.close()
    assert not wrong, wrong
