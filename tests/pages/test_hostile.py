"""Names from the tables that try to be code: in the built pages they are names, and nothing runs."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import copy_demo, once

RUNS = "<img src=x onerror=ran=1>"
SCRIPT = "</script><script>ran=1</script>"
TEMPLATE = "{{ 7*7 }}{% if 1 %}x{% endif %}${7*7}"
LINK = "[look](javascript:ran=1) ![a](x) `b` **c**"
QUOTES = "a\" onload='ran=1' b=\"&lt;i&gt;"
HEBREW, ARABIC, EMOJI = "מחפר גדול", "حفارة 12", "🚜 Digger 👩‍🔧"
STYLE = "</style></title></textarea><svg onload=ran=1>"
COMMENT = "x --><b>x</b><!-- ]]> <?php"
YAML = "!!python/object:os.system 'x': {a: b} # c"
NAMES = (RUNS, SCRIPT, TEMPLATE, LINK, QUOTES, HEBREW, ARABIC, EMOJI, STYLE, COMMENT, YAML)

ROLES = """
roles:
  dozer-operator:
    title: %(role)s
    machines: [dozer]
    lessons: [stop-work, building-a-slope, even-wear]
  excavator-operator:
    title: Excavator operator
    machines: [excavator]
    lessons: [bench-height]
"""


def quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def in_yaml(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _hostile_site(folder: Path) -> None:
    copy_demo(folder)
    settings = folder / "settings.yml"
    text = settings.read_text("utf-8")
    head, rest = text.split("\nroles:\n", 1)
    text = head + ROLES % {"role": in_yaml(STYLE)} + rest[rest.index("\n# This site's own limits") :]
    for old, new in (
        ("Juniper Bench Cut and Fill", in_yaml(f"Site {QUOTES}")),
        ("An invented site. No such place, company, crew or machine exists.", in_yaml(COMMENT + RUNS)),
        ("R. Calloway, site superintendent", in_yaml(f"Boss {SCRIPT}")),
        ("The ground is wet, frozen, cracked or freshly filled.", in_yaml(f"Ask {RUNS} {TEMPLATE} {LINK}")),
    ):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    settings.write_text(text, "utf-8")
    for file, names in (
        ("machines.csv", {"D-1 Middle dozer": RUNS, "D-2 Small dozer": HEBREW, "D-3 Large dozer": TEMPLATE, "D-4 Wide-track dozer": LINK,
                          "E-1 Middle excavator": QUOTES, "E-2 Large excavator": ARABIC, "E-3 Trench excavator": EMOJI,
                          "C-1 Compact excavator": STYLE, "ripper fitted": quoted(RUNS + TEMPLATE)}),
        ("trucks.csv", {"T-1 Middle haul truck": SCRIPT, "T-2 Small haul truck": COMMENT, "tailgate fitted": LINK}),
        ("materials.csv", {"common earth": SCRIPT, "wet clay": YAML, "most of the cut": RUNS}),
    ):  # fmt: skip
        path = folder / file
        text = path.read_text("utf-8")
        for old, new in names.items():
            assert old in text, old
            text = text.replace(old, new if new.startswith('"') else quoted(new), 1)
        path.write_text(text, "utf-8")
    crew = [f"P-{i},{quoted(name)},dozer-operator,D-1,,{quoted(name)}" for i, name in enumerate(NAMES)]
    (folder / "crew.csv").write_text("\n".join(["id,name,role,machines,start,note", *crew]) + "\n", "utf-8")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small site of hostile names, built."""

    def make(folder: Path) -> None:
        from generator.publish.build import build

        _hostile_site(folder)
        build(folder, lambda _: None)

    return once(tmp_path_factory, "hostile-names", make)


def pages(site: Path) -> list[Path]:
    """The pages but those about calculations, which hold nothing of a table but the site's name."""
    found = sorted((site / "out").rglob("*.html"))
    return [p for p in found if p.parent.name != "reference" or p.name == "index.html"]


def test_names_run_nothing(hostile: Path, browser: Any) -> None:
    """Each page opened in a browser: no code of a name runs, no element of a name is there."""
    page = browser.new_page()
    said: list[str] = []

    def answer(dialog: Any) -> None:
        said.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", answer)
    page.on("request", lambda r: said.append(r.url) if not r.url.startswith(("file:", "data:", "blob:")) else None)
    for path in pages(hostile):
        page.goto(path.as_uri(), wait_until="load")
        # a click opens what is closed: workings, menus, the quiz
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        found = page.evaluate(
            """() => ({
                ran: typeof ran !== 'undefined',
                handlers: [...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a => a.name.startsWith('on'))).map(e => e.outerHTML),
                links: [...document.querySelectorAll('[href],[src]')].filter(e => /^\\s*javascript:/i.test(e.getAttribute('href') || e.getAttribute('src'))).map(e => e.outerHTML),
                images: [...document.querySelectorAll('img')].map(e => e.getAttribute('src')).filter(s => s === 'x'),
                scripts: [...document.querySelectorAll('script:not([src])')].map(e => e.textContent).filter(t => t.trim() === 'ran=1'),
            })"""
        )
        where = path.relative_to(hostile)
        assert found == {"ran": False, "handlers": [], "links": [], "images": [], "scripts": []}, where
    page.close()
    assert said == []


def _text(path: Path) -> str:
    """A page's text without its tags, white space evened out."""
    text = re.sub(r"<(script|style)\b.*?</\1>", " ", path.read_text("utf-8"), flags=re.S | re.I)
    return " ".join(html.unescape(re.sub(r"<[^<>]*>", "", text)).split())


def test_names_are_printed_as_they_are(hostile: Path) -> None:
    web = hostile / "out" / "web"
    lesson = _text(web / "lessons" / "even-wear.html")
    for name in (RUNS, HEBREW, TEMPLATE, LINK):
        assert name in lesson, name
    bench = _text(web / "lessons" / "bench-height.html")
    for name in (QUOTES, ARABIC, EMOJI):
        assert name in bench, name
    assert any(f"Boss {SCRIPT}" in _text(p) for p in pages(hostile))
    assert any(f"Ask {RUNS} {TEMPLATE} {LINK}" in _text(p) for p in pages(hostile))
    for path in pages(hostile):
        assert "49x49" not in _text(path) and "{{ 7*7 }}x" not in _text(path)


@pytest.mark.parametrize(("name", "lesson"), [(HEBREW, "even-wear"), (ARABIC, "bench-height")])
def test_a_name_written_from_right_to_left_turns_no_number(hostile: Path, name: str, lesson: str) -> None:
    """A Hebrew or Arabic name beside a figure is set apart, else the figure jumps to the name's other side."""
    raw = html.unescape((hostile / "out" / "web" / "lessons" / f"{lesson}.html").read_text("utf-8"))
    found = [raw[at.start() - 1 : at.end() + 1] for at in re.finditer(re.escape(name), raw)]
    assert found and set(found) == {f"\u2068{name}\u2069"}
