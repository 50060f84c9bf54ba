"""What is written to do harm is refused with a line; nothing runs, nothing outside the folder is read."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any

import pytest

from generator.book.content import content_folder, read_content
from generator.book.lesson import read_lesson
from generator.book.markup import wrong_markdown, wrong_words
from generator.book.overrides import gather
from generator.book.sheets import wrong_sheet
from generator.book.style import wrong_css
from generator.cli.main import main
from generator.publish.build import Problems, render
from generator.publish.site import build_site, write_tree
from generator.source.problem import Problem, Refusal, Refusals
from generator.source.yamltext import load_yaml
from tests.book.hostile import BODIES, FRONTS, SHEETS, STYLES, YAMLS
from tests.book.places import LESSON, QUESTIONS, added, put, small

SHIPPED = content_folder()
SECONDS = 5.0  # far more than any of them takes; a loop without end would take forever


def problems_of(site: Path) -> list[str]:
    with pytest.raises(Refusals) as caught:
        read_content(SHIPPED, site)
    return [str(p) for p in caught.value.problems]


@pytest.mark.parametrize("id_", BODIES)
def test_a_hostile_body_is_refused_at_its_line(id_: str) -> None:
    text = "A line.\n\n" + BODIES[id_] + "\n\nThe end.\n"
    start = time.perf_counter()
    found = list(wrong_words(text)) or list(wrong_markdown(text))
    assert time.perf_counter() - start < SECONDS
    assert found
    if id_ not in {"many-lines"}:
        assert 3 <= found[0][0] <= 3 + BODIES[id_].count("\n"), found
    for _, what, fix in found:
        assert what.isprintable() and fix.isprintable() and len(what) < 300


def test_hostile_lessons_are_all_told_in_one_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site")
    for id_, text in BODIES.items():
        added(site, id_, LESSON.replace("1. Look both ways.\n2. Shut the gate.", text))
    for id_, text in FRONTS.items():
        added(site, id_, LESSON.replace("  - A gate left open lets people walk in.", f"  - {text!r}"))
    start = time.perf_counter()
    assert main(["check", str(site)]) == 2
    assert time.perf_counter() - start < 60
    err = capsys.readouterr().err
    assert "Traceback" not in err
    told = {line.split("/")[1].split(".md")[0] for line in err.splitlines() if line.startswith("lessons/")}
    assert told == {*BODIES, *FRONTS}


@pytest.mark.parametrize("id_", YAMLS)
def test_hostile_yaml_is_refused(id_: str) -> None:
    start = time.perf_counter()
    with pytest.raises(Refusal) as caught:
        load_yaml(YAMLS[id_], "a.yml")
    assert time.perf_counter() - start < SECONDS
    assert str(caught.value).isprintable() and (caught.value.line or 0) >= 1 and len(str(caught.value)) < 400


@pytest.mark.parametrize("id_", SHEETS)
def test_a_hostile_sheet_is_refused_at_its_line(id_: str) -> None:
    text = "<!doctype html>\n<h1>{{ title }}</h1>\n" + SHEETS[id_] + "\n{{ body }}\n"
    found = list(wrong_sheet("frame.html", text, (SHIPPED / "sheets/frame.html").read_text("utf-8")))
    assert found and found[0][0] == 3, found
    good = text.replace(SHEETS[id_], "<p>Fine.</p>")
    assert list(wrong_sheet("frame.html", good, good)) == []


@pytest.mark.parametrize("id_", STYLES)
def test_a_hostile_style_is_refused(id_: str) -> None:
    start = time.perf_counter()
    found = list(wrong_css("p { color: red }\n" + STYLES[id_]))
    assert time.perf_counter() - start < SECONDS
    assert found and found[0][0] == 2, found
    for _, what, fix in found:
        assert what.isprintable() and fix.isprintable() and len(what) < 200


def test_each_hostile_style_is_told_with_its_file_and_line(tmp_path: Path) -> None:
    site = small(tmp_path / "site")
    put(site, {"look/sheet.css": "p { color: red }\n/* </style><b> */\n@import 'a.css';\np { background: url(gone.png) }\n"})
    told = [line.partition(";")[0] for line in problems_of(site)]
    assert told == [
        "look/sheet.css:2: '</style><b' is not for a look", "look/sheet.css:3: '@import' is not for a look",
        "look/sheet.css:4: there is no picture 'gone.png' in look",
    ]  # fmt: skip


PLAIN = """\
@media screen and (width >= 40em) { p { background: url(gate.png), url("./gate.png") , url( '../assets/gate.png' ); } }
@media (400px < width < 900px) { p { scroll-behavior: smooth; content: "see http://x.test // \\201C"; } }
@supports (display: grid) { .a > .b::after { content: "\\2192"; transition: color .2s cubic-bezier(.1, .2, .3, 1); } }
@page :first { margin: 10mm; @bottom-right { content: counter(page); } }
@font-face { font-family: Own; src: local("Sans") }
@keyframes turn { to { transform: rotate(1turn) } }
:root { --mine: #123456; } p { color: var(--mine); background: url(data:image/png;base64,AAAA); filter: url(#soft); }
.a { .b & { color: color-mix(in srgb, red 20%, blue) } } /* it's fine: a // b */
"""


def test_plain_styles_are_allowed() -> None:
    assert list(wrong_css(PLAIN, {"gate.png"})) == []


def test_pieces_of_the_shipped_script_cannot_be_reused() -> None:
    shipped = (SHIPPED / "sheets/frame.html").read_text("utf-8")
    for text in ("<script>run()\n</script>", "<script>\n</script><script>run()</script>", '<p title="<script></script>" onclick="run()">'):
        page = f"{{{{ title }}}}{{{{ body }}}}\n{text}"
        assert list(wrong_sheet("frame.html", page, shipped))


# --- what is allowed -------------------------------------------------------------------------------

HARMLESS = """\
A **strong** <b>word</b>, H<sub>2</sub>O, a line<br>break, 3 < 5, a &lt;script&gt; and an &amp;.

- A [lesson](stop-work.md#do-it), a [page](https://example.test/a?b=c#d), a [number](tel:112).
- ![The gate](../assets/gate.png "Our gate")

    > Quoted `code`.

Word
:   Meaning.
"""


def test_plain_markdown_is_allowed() -> None:
    assert list(wrong_words(HARMLESS)) == [] and list(wrong_markdown(HARMLESS)) == []


def test_what_is_allowed_runs_nothing_in_a_browser(tmp_path: Path, browser: Any) -> None:
    tricks = (
        "A &lt;img src=x onerror=&quot;run()&quot;&gt; and &#60;script&#62;run()&#60;/script&#62;.\n\n"
        "3 < script > run() and \\[x](javascript:run()) and `javascript:run()`.\n\n[x]( javascript:run() 'y'\n"
    )
    lesson = LESSON.replace("1. Look both ways.", HARMLESS + "\n" + tricks)
    lesson = lesson.replace("Keep the yard gate shut", "Shut \\\" onload=run() x=' &lt;img&gt; it")
    lesson = lesson.replace("title: Shut", 'title: "Shut').replace("&lt;img&gt; it", '&lt;img&gt; it"')
    lesson = lesson.replace("summary: Shut the gate", "summary: Shut \" http-equiv=refresh content='0;url=x' the gate")
    lesson = lesson.replace("Nobody stands", "&lt;script&gt;run()&lt;/script&gt; nobody stands")
    questions = QUESTIONS.replace("Nobody.", "'<img src=x onerror=run()></script><script>run()</script>'").replace(
        "ask: Who", "ask: <svg onload=run()> Who"
    )
    site = added(small(tmp_path / "site", "stop-work", "gate"), "gate", lesson, questions)
    put(site, {
        "cautions.yml": "edge: <script>run()</script>\n", "look/seatwork.css": "h1 { color: maroon }\n",
        "glossary.yml": "crest: '<img src=x onerror=run()> {{ x }} [x](javascript:run())'\n",
        "mistakes.yml": "half-of-it: <script>run()</script>\n",
        "chapters.yml": "- id: ground\n  title: \"Ground ' onload=run()\"\n",
    })  # fmt: skip
    (site / "look/gate.png").write_bytes(b"\x89PNG\r\n\x1a\n...")
    tree, _ = render(site, lambda _: None)
    # the pages in question and no others: a whole build takes its time
    kept = ("lessons/", "sheets/", "assets/", "glossary.md")
    tree.docs = {n: d for n, d in tree.docs.items() if n.startswith(kept)}
    tree.nav = [v for v in tree.nav if "lessons/" in str(v)] + [{"Words": "glossary.md"}]
    web = tmp_path / "web"
    build_site(write_tree(tree, tmp_path / "tree", 'Site " onmouseover=run() <script>run()</script>', "note"), web, 0)
    (web / "key.html").write_text(str(tree.mentor["keys/gate.html"]), "utf-8")
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    page.on("dialog", lambda d: d.dismiss())
    page.add_init_script("window.ran = 0; window.run = () => { window.ran += 1 }")
    try:
        for name in ("lessons/gate.html", "sheets/gate.html", "glossary.html", "key.html"):
            page.goto((web / name).resolve().as_uri())
            page.evaluate(
                "document.querySelectorAll('a,button,b,li,p').forEach(e => e.dispatchEvent(new MouseEvent('mouseover', {bubbles: true})))"
            )
            assert page.evaluate("window.ran") == 0, name
            assert page.locator("meta[http-equiv=refresh]").count() == 0
            names = page.evaluate("[...document.querySelectorAll('*')].flatMap(e => e.getAttributeNames()).join(' ')")
            assert "onload" not in names and "onmouseover" not in names
        # the words are all there, as words
        page.goto((web / "lessons/gate.html").resolve().as_uri())
        text = page.locator("article").inner_text()
        assert "<script>run()</script>" in text and "a &lt;script&gt;" not in text
    finally:
        page.close()
    assert all(url.startswith(("file://", "data:", "blob:")) for url in asked)


# --- files -----------------------------------------------------------------------------------------


def test_links_that_lead_out_are_not_followed(tmp_path: Path) -> None:
    site, outside = small(tmp_path / "site"), tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.md").write_text(LESSON, "utf-8")
    (outside / "gate.yml").write_text("edge: secret\n", "utf-8")
    (outside / "a.png").write_bytes(b"\x89PNG\r\n\x1a\n secret")
    (site / "lessons").mkdir()
    (site / "lessons/gate.md").symlink_to(outside / "secret.md")
    (site / "lessons/round.md").symlink_to(site / "lessons/round.md")
    (site / "questions").symlink_to(outside)
    (site / "cautions.yml").symlink_to(outside / "gate.yml")
    (site / "look").mkdir()
    (site / "look/a.png").symlink_to(outside / "a.png")
    problems: list[Problem] = []
    own = gather(site, SHIPPED, problems)
    assert own.texts == {} and own.pictures == {}
    said = [str(p) for p in problems]
    for name in ("lessons/gate.md", "questions", "cautions.yml", "look/a.png"):
        assert any(line.startswith(f"{name}: it is a link that leads out of the job site folder; ") for line in said), said
    assert any(line.startswith("lessons/round.md: ") for line in said)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("gate.png", b"<svg xmlns='http://www.w3.org/2000/svg' onload='run()'/>", "it is no .png picture; save it again in that format"),
        ("gate.jpg", b"\x89PNG\r\n\x1a\n", "it is no .jpg picture"),
        ("gate.svg", b"<svg/>", "no look or picture is called that"),
        ("gate.webp", b"RIFF" + b"\0" * 4_000_000, "it is no picture, or larger than 4 MB"),
        ("Gate 1.png", b"\x89PNG\r\n\x1a\n", "the name does not work in every browser"),
    ],
)  # fmt: skip
def test_a_picture_is_what_its_name_says(name: str, data: bytes, said: str, tmp_path: Path) -> None:
    (tmp_path / "look").mkdir()
    (tmp_path / "look" / name).write_bytes(data)
    problems: list[Problem] = []
    assert gather(tmp_path, SHIPPED, problems).pictures == {}
    assert [str(p).startswith(f"look/{name}: {said}") for p in problems] == [True], problems


@pytest.mark.parametrize(
    "name",
    ["UPPER.md", "a b.md", "..md", "a..b.md", "-x.md", "caf\u00e9.md", "\u202egnp.md", "a\u200bb.md", "x" * 61 + ".md",
     "a%2fb.md", "con\nx.md", "\uff41.md", "a.md.md", "<img>.md", "{{x}}.md"],
)  # fmt: skip
def test_odd_file_names_are_refused_on_one_plain_line(name: str, tmp_path: Path) -> None:
    problems: list[Problem] = []
    own = gather(put(tmp_path, {f"lessons/{name}": LESSON}), SHIPPED, problems)
    assert own.texts == {}
    if name.startswith("."):  # a hidden file is none of ours
        assert problems == []
        return
    said = [str(p) for p in problems]
    assert len(said) == 1 and said[0].isprintable() and "no lesson id" in said[0]


def test_a_pipe_a_folder_and_a_large_file_are_refused(tmp_path: Path) -> None:
    site = small(tmp_path / "site")
    (site / "lessons/folder.md").mkdir(parents=True)
    if hasattr(os, "mkfifo"):
        os.mkfifo(site / "lessons/pipe.md")
    put(site, {
        "lessons/large.md": LESSON.replace("minutes: 3", "find: [" + "x, " * 3_500_000 + "]"),
        "lessons/long-front.md": LESSON.replace("minutes: 3", "find: [" + "x, " * 25_000 + "]"),
        "lessons/long-body.md": LESSON + "word\n" * 13_000,
        "lessons/half.md": "---\ntitle: x\n",
        "lessons/empty.md": "",
        "cautions.yml": "a: b\n" * 50_000,
    })  # fmt: skip
    (site / "lessons/latin.md").write_bytes(LESSON.replace("gate", "g\u00e4te").encode("latin-1"))
    start = time.perf_counter()
    said = problems_of(site)
    assert time.perf_counter() - start < 20
    for name in ("folder", "large", "long-front", "long-body", "half", "empty", "latin"):
        assert any(line.startswith(f"lessons/{name}.md") for line in said), (name, said)
    assert any(line.startswith("cautions.yml: the file is larger") for line in said)
    assert "lessons/latin.md:2: a letter is not saved as UTF-8" in " ".join(said)


def test_too_many_files_and_questions_are_refused(tmp_path: Path) -> None:
    site = small(tmp_path / "site")
    one = QUESTIONS.split("- id: gate-2")[0]
    put(site, {"questions/stop-work.yml": "".join(one.replace("gate-1", f"gate-{i}") for i in range(100))})
    assert problems_of(site) == ["questions/stop-work.yml:1: 100 questions are more than 60; keep the best ones"]
    put(site, {f"lessons/a{i}.md": "x" for i in range(301)})
    assert "lessons: holds more than 300 files; keep only what belongs to the handbook" in problems_of(site)


@pytest.mark.parametrize(
    ("again", "said"),
    [("{{ n('bench') }} ", "more than 1,000 calls in one lesson"), ("{{ table() }}\n\n", "the page grows far too long here")],
)
def test_a_page_cannot_grow_without_end(again: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    many = (again * 20).rstrip(" ") + "\n"
    site = added(small(tmp_path / "site", "gate"), "gate", LESSON.replace("1. Look both ways.", many * (60 if "n(" in again else 15)))
    if "table" in again:
        monkeypatch.setattr("generator.book.render.MOST_TEXT", 100_000)
    with pytest.raises(Problems) as caught:
        render(site, lambda _: None)
    assert any(said in line for line in caught.value.lines), caught.value.lines


def test_a_lesson_reads_the_same_with_any_line_ends() -> None:
    problems: list[Problem] = []
    plain = read_lesson(LESSON, "gate", "lessons/gate.md", problems)
    windows = read_lesson("\ufeff" + LESSON.replace("\n", "\r\n"), "gate", "lessons/gate.md", problems)
    assert problems == [] and plain is not None and windows is not None
    assert plain.body == windows.body and plain.body_line == windows.body_line
