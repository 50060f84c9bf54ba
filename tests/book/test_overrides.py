"""A site's own lessons, questions, words and sheets take the place of shipped ones or add to them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.book.content import Content, content_folder, own_lines, read_content
from generator.book.figures import typed_figures
from generator.book.lesson import read_by_people
from generator.book.markup import wrong_markdown, wrong_words
from generator.book.overrides import can_be_taken, take
from generator.book.part import Tree
from generator.book.sheets import wrong_sheet
from generator.book.style import wrong_css
from generator.book.tree import render_tree, taught
from generator.cli.main import main
from generator.jobsite.reader import read
from generator.publish.build import load
from generator.source.problem import Refusal
from tests.book.places import LESSON, QUESTIONS, added, put, small

SHIPPED = content_folder()


@pytest.fixture(scope="module")
def shipped() -> Content:
    return read_content(SHIPPED)


def rendered(site: Path) -> Tree:
    content, tables = load(site)
    tree = render_tree(content, tables)
    assert tree.problems == []
    return tree


def text_of(tree: Tree, name: str) -> str:
    made = tree.docs[name]
    return made if isinstance(made, str) else made.decode("utf-8")


def test_a_lesson_is_added_to_its_chapter_and_its_role(tmp_path: Path) -> None:
    site = added(small(tmp_path / "site", "stop-work", "gate"), "gate")
    put(site, {"look/seatwork.css": "h1 { color: maroon }\n"})
    (site / "look/gate.png").write_bytes(b"\x89PNG\r\n\x1a\n...")
    tree = rendered(site)
    page = text_of(tree, "lessons/gate.md")
    assert "Keep the yard gate shut" in page and 'data-lesson="gate"' in page
    assert "sheets/gate.html" in tree.docs and "keys/gate.html" in tree.mentor
    ground = next(v for entry in tree.nav for k, v in entry.items() if k == "Ground and grades")
    assert [next(iter(p.values())) for p in ground] == ["lessons/stop-work.md", "lessons/gate.md"]
    assert "gate.html" in text_of(tree, "operator.md")
    assert set(tree.marking) == {"stop-work", "gate"}
    assert "Shuts the gate." in str(tree.mentor["signoff/loader.html"])
    css = text_of(tree, "assets/seatwork.css")
    assert css.startswith((SHIPPED / "look/seatwork.css").read_text("utf-8")) and css.endswith("h1 { color: maroon }\n")
    assert tree.docs["assets/gate.png"] == b"\x89PNG\r\n\x1a\n..."


def test_replaced_files_stand_in_the_shipped_ones_place(tmp_path: Path) -> None:
    site = small(tmp_path / "site", "stop-work", "reading-grades", "bench-height")
    lesson = (SHIPPED / "lessons/stop-work.md").read_text("utf-8").replace("Anyone may stop the work", "Say stop")
    put(site, {
        "lessons/stop-work.md": lesson,
        "questions/stop-work.yml": QUESTIONS,
        "cautions.yml": "around: Keep out of the swing of our machines.\n",
        "glossary.yml": "competent person: The one named on the board.\nmuster point: Where we meet.\n",
        "mistakes.yml": "half-of-it: Only half of it.\n",
        "chapters.yml": "- id: ground\n  title: Ground here\n",
        "sheets/tailgate.html": "<!doctype html>\n<html lang=\"en\"><body><h1>OUR SHEET {{ title }}</h1>{{ sum }}{{ caution }}</body></html>\n",
        "look/sheet.css": "h1 { letter-spacing: 0 }\n",
    })  # fmt: skip
    tree = rendered(site)
    page = text_of(tree, "lessons/stop-work.md")
    assert "# Say stop" in page and "gate-2" in page and "stop-01" not in page
    assert "Keep out of the swing of our machines." in page and "The one named on the board." in page
    assert "Only half of it." in page
    assert "**muster point**\n:   Where we meet" in text_of(tree, "glossary.md")
    assert any("Ground here" in entry for entry in tree.nav)
    assert "OUR SHEET Say stop" in text_of(tree, "sheets/stop-work.html")
    assert "letter-spacing: 0" in text_of(tree, "assets/sheet.css")
    assert "letter-spacing: 0" in str(tree.mentor["signoff/loader.html"])
    # the order of the chapter is the shipped one
    ground = next(v for entry in tree.nav for k, v in entry.items() if k == "Ground here")
    assert [next(iter(p.values())) for p in ground] == ["lessons/reading-grades.md", "lessons/stop-work.md"]


def test_a_card_is_replaced_by_its_kind(tmp_path: Path) -> None:
    site = put(small(tmp_path / "site"), {
        "cards.yml": "excavator:\n  title: Our card\n  numbers: {}\n  lines:\n    Stick: machine.stick_length\n",
    })  # fmt: skip
    tree = rendered(site)
    assert "Our card" in text_of(tree, "sheets/cab-e-2.html")
    assert "Our card" not in text_of(tree, "sheets/cab-d-1.html")


def test_a_chapter_of_its_own(tmp_path: Path) -> None:
    site = added(small(tmp_path / "site", "gate"), "gate", LESSON.replace("chapter: ground", "chapter: yard"))
    put(site, {"chapters.yml": "- id: yard\n  title: Our yard\n"})
    assert [k for entry in rendered(site).nav for k in entry if k == "Our yard"]


def test_without_own_files_all_is_as_shipped(tmp_path: Path, shipped: Content) -> None:
    site = small(tmp_path / "site")
    content = read_content(SHIPPED, site)
    assert list(content.lessons) == list(shipped.lessons) and content.chapters == shipped.chapters
    assert content.questions == shipped.questions and list(own_lines(content)) == []


def test_words_know_where_they_stand(tmp_path: Path, shipped: Content) -> None:
    site = put(
        small(tmp_path / "site"), {"cautions.yml": "# ours\naround: Keep out of\n  the swing.\n", "glossary.yml": "bench: A step.\n"}
    )
    content = read_content(SHIPPED, site)
    told = content.cautions["around"]
    assert (told.name, told.text, told.file, told.line) == ("around", "Keep out of the swing.", "cautions.yml", 2)
    edge, lines = content.cautions["edge"], (SHIPPED / "cautions.yml").read_text("utf-8").splitlines()
    assert edge.file == "content/cautions.yml" and lines[edge.line - 1].startswith("edge:")
    assert content.glossary["bench"].file == "glossary.yml"
    assert content.glossary["crest"].file == "content/glossary.yml"
    # one that only moved is the same one, so that nothing is rendered anew for it
    put(site, {"cautions.yml": "\n\n# ours\naround: Keep out of\n  the swing.\n"})
    assert read_content(SHIPPED, site).cautions == content.cautions != shipped.cautions


def test_a_typed_figure_is_named_unless_it_is_allowed(tmp_path: Path) -> None:
    site = added(small(tmp_path / "site", "gate"), "gate", LESSON.replace("1. Look both ways.", "1. Call on channel 4."))
    lines = typed_figures(taught(*load(site)))
    assert lines == ["lessons/gate.md:41: '4.' is typed; let a calculation or a table give it, or list its words in allowed-figures.yml"]
    put(site, {"allowed-figures.yml": "- text: channel 4\n  reason: the site's radio channel\n"})
    assert typed_figures(taught(*load(site))) == []


# --- taking a shipped text, and what check says of it later -------------------------------------


def test_taken_files_change_nothing_and_are_told_when_the_shipped_one_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = small(tmp_path / "site", "stop-work", "bench-height")
    before = rendered(site)
    names = ["lessons/bench-height.md", "questions/bench-height.yml", "cautions.yml:edge", "cautions.yml:around",
             "glossary.yml:competent person", "sheets/tailgate.html", "sheets/frame.html", "cards.yml:excavator", "mistakes.yml:added"]  # fmt: skip
    assert main(["own", str(site), *names]) == 0
    assert capsys.readouterr().out.count("written: ") == len(names)
    after = rendered(site)
    told = str(after.docs.pop("coordinator.md"))  # the coordinator's page alone says what was taken
    assert "own words" not in str(before.docs.pop("coordinator.md"))
    assert told.count("the shipped one is as it was then") == len(names)
    assert after.docs == before.docs and after.mentor == before.mentor
    assert main(["check", str(site)]) == 0
    out = capsys.readouterr().out
    assert out.count("the shipped one is as it was then") == len(names)
    for name in ("lessons/bench-height.md:", "cautions.yml: edge", "cautions.yml: around", "cards.yml: excavator"):
        assert f"  {name} replaces the shipped one; the shipped one is as it was then\n" in out
    # as if the shipped text had been another one then
    for file in ("lessons/bench-height.md", "cautions.yml"):
        path = site / file
        path.write_text(re.sub(r"(?m)^(# shipped (?:edge|lessons.*): ).*$", r"\g<1>0123456789ab", path.read_text("utf-8")), "utf-8")
    sheet = site / "sheets/tailgate.html"
    sheet.write_text(sheet.read_text("utf-8").partition("\n")[2], "utf-8")
    put(site, {"glossary.yml": "bench: A step.\nmuster point: Where we meet.\n"})
    lines = list(own_lines(load(site)[0], {"stop-work": None}))
    assert "lessons/bench-height.md: replaces the shipped one; the shipped one has changed since: look at both" \
           "; no role needs it, or no machine fits it, so it is not in the handbook" in lines  # fmt: skip
    assert "cautions.yml: edge replaces the shipped one; the shipped one has changed since: look at both" in lines
    assert "cautions.yml: around replaces the shipped one; the shipped one is as it was then" in lines
    assert "sheets/tailgate.html: replaces the shipped one; not known which version it was taken from" in lines
    assert "glossary.yml: bench replaces the shipped one; not known which version it was taken from" in lines
    assert "glossary.yml: muster point added" in lines


def test_taking_never_writes_over_or_outside(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site, outside = small(tmp_path / "site"), tmp_path / "outside"
    put(site, {"lessons/stop-work.md": "mine\n", "cautions.yml": "edge: Mine.\n"})
    outside.mkdir()
    (site / "questions").symlink_to(outside)
    (site / "glossary.yml").symlink_to(outside / "glossary.yml")
    for name in ("lessons/stop-work.md", "cautions.yml:edge", "questions/stop-work.yml", "glossary.yml:bench",
                 "../settings.yml", "lessons/../../x.md", "lessons/nowhere.md"):  # fmt: skip
        with pytest.raises(Refusal):
            take(site, SHIPPED, name)
    assert (site / "lessons/stop-work.md").read_text("utf-8") == "mine\n"
    assert (site / "cautions.yml").read_text("utf-8") == "edge: Mine.\n"
    assert list(outside.iterdir()) == []
    assert main(["own", str(site), "lessons/stop-wrok.md"]) == 2
    assert capsys.readouterr().err == "lessons/stop-wrok.md: nothing that is shipped is called that; did you mean lessons/stop-work.md?\n"
    assert main(["own", str(tmp_path)]) == 2
    capsys.readouterr()
    assert main(["own", str(site)]) == 0
    assert capsys.readouterr().out.split("\n")[:-1] == can_be_taken(SHIPPED)


@pytest.mark.parametrize("there", [b"", b"# nothing yet\n", b"edge: Mine.\r\n", b"\xef\xbb\xbfedge: Mine.", b"edge: Mine.\n\n"])
def test_an_entry_is_put_behind_what_is_there(there: bytes, tmp_path: Path) -> None:
    (tmp_path / "cautions.yml").write_bytes(there)
    target = take(tmp_path, SHIPPED, "cautions.yml:manual")
    assert target.read_bytes().startswith(there)
    entries = yaml.safe_load(target.read_text("utf-8-sig"))
    assert entries.pop("manual") == yaml.safe_load((SHIPPED / "cautions.yml").read_text("utf-8"))["manual"]
    assert entries == ({"edge": "Mine."} if b"edge" in there else {})


@pytest.mark.parametrize("there", ["- edge\n", "just words\n", "7\n"])
def test_an_entry_is_put_into_no_other_kind_of_file(there: str, tmp_path: Path) -> None:
    put(tmp_path, {"cautions.yml": there})
    with pytest.raises(Refusal, match=r"^cautions.yml:1: is no list of names with a text each; "):
        take(tmp_path, SHIPPED, "cautions.yml:manual")
    assert (tmp_path / "cautions.yml").read_text("utf-8") == there


# --- what is shipped keeps its own rules ---------------------------------------------------------


def test_shipped_texts_pass_the_rules_for_own_ones(shipped: Content) -> None:
    for lesson in shipped.lessons.values():
        for text in (*read_by_people(lesson), lesson.body):
            assert list(wrong_words(text)) == [], lesson.id
        for text in (*lesson.why, lesson.body):
            assert list(wrong_markdown(text)) == [], lesson.id
    for name in ("tailgate.html", "frame.html"):
        assert list(wrong_sheet(name, shipped.sheet(name), shipped.sheet(name))) == []
    for name in ("seatwork.css", "quiz.css", "sheet.css"):
        assert list(wrong_css((SHIPPED / "look" / name).read_text("utf-8"))) == []


def test_the_check_converts_as_the_handbook_does() -> None:
    import generator.publish.site as builder
    from generator.book.markup import EXTENSIONS

    theme: dict[str, Any] = yaml.safe_load((Path(builder.__file__).parent / "theme.yml").read_text("utf-8"))
    names = [e if isinstance(e, str) else next(iter(e)) for e in theme["markdown_extensions"]]
    assert tuple(names) == EXTENSIONS


def test_roles_may_name_added_lessons_and_misspelt_ones_are_told(tmp_path: Path) -> None:
    from generator.jobsite.reader import SiteProblems

    site = added(small(tmp_path / "site", "gaet"), "gate")
    with pytest.raises(SiteProblems, match="there is no lesson 'gaet'; did you mean gate"):
        from generator.book.content import lesson_ids

        read(site, lesson_ids(SHIPPED, site))
