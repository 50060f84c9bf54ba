"""Texts that several sites share: they come before a site's own, which replace them or are put after them."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from typing import Any

import pytest

from generator.book.cache import _shared as of_all_parts
from generator.book.content import Content, content_folder, own_lines, read_content
from generator.book.overrides import can_be_taken, gather_shared, take
from generator.cli.main import main
from generator.source.problem import Refusals
from tests.book.places import LESSON, QUESTIONS, put

SHIPPED = content_folder()
FEW = ("stop-work",)
PICTURE = b"\x89PNG\r\n\x1a\n"


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What is shipped with one lesson alone: reading it takes no time."""
    folder = tmp_path_factory.mktemp("few") / "content"
    others = [p.name for sub in ("lessons", "questions") for p in (SHIPPED / sub).iterdir() if p.stem not in FEW]
    shutil.copytree(SHIPPED, folder, ignore=shutil.ignore_patterns(*others, "checks"))
    (folder / "chapters.yml").write_text("- {id: ground, title: Ground and grades, lessons: [stop-work]}\n", "utf-8")
    return folder


@pytest.fixture(autouse=True)
def _shipped_few(few: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.modules[__name__], "SHIPPED", few)
    monkeypatch.setattr("generator.book.content.content_folder", lambda: few)


@pytest.fixture
def fleet(tmp_path: Path) -> Path:
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "settings.yml").write_text("shared: ../our-fleet\n", "utf-8")
    folder = tmp_path / "our-fleet"
    folder.mkdir()
    return put(folder, {"machines.csv": "id\n", "lessons/gate.md": LESSON, "questions/gate.yml": QUESTIONS})


@pytest.fixture
def site(fleet: Path) -> Path:
    return fleet.parent / "site"


def read(site: Path) -> Content:
    return read_content(SHIPPED, site)


def said(site: Path) -> list[str]:
    with pytest.raises(Refusals) as e:
        read(site)
    return [str(p) for p in e.value.problems]


def lines(site: Path) -> list[str]:
    return list(own_lines(read(site)))


def test_whole_files_of_the_sites_own_win_and_lists_are_put_together(site: Path, fleet: Path) -> None:
    put(
        fleet,
        {
            "cautions.yml": "edge: Shared edge.\nyard: Shared yard.\n", "chapters.yml": "- id: ours\n  title: Ours\n- id: ground\n  title: Shared ground\n",
            "allowed-figures.yml": '- text: "channel 4"\n  reason: the radio\n', "look/seatwork.css": "h1 { color: maroon }\n",
            "sheets/tailgate.html": (SHIPPED / "sheets/tailgate.html").read_text("utf-8") + "<p>Ours.</p>",
        },
    )  # fmt: skip
    (fleet / "look/gate.png").write_bytes(PICTURE + b"shared")
    (fleet / "look/yard.png").write_bytes(PICTURE + b"yard")
    put(
        site,
        {
            "cautions.yml": "edge: Own edge.\n", "chapters.yml": "- id: ground\n  title: Own ground\n",
            "allowed-figures.yml": '- text: "gate 2"\n  reason: painted on it\n', "look/seatwork.css": "h2 { color: url(../assets/yard.png) }\n",
        },
    )  # fmt: skip
    (site / "look/gate.png").write_bytes(PICTURE + b"own")
    content = read(site)
    assert content.lessons["gate"].file == "../our-fleet/lessons/gate.md" and [q.id for q in content.questions["gate"]] == [
        "gate-1",
        "gate-2",
    ]
    assert content.questions_file("gate") == "../our-fleet/questions/gate.yml"
    assert (content.cautions["edge"].text, content.cautions["yard"].text) == ("Own edge.", "Shared yard.")
    assert {c.id: c.title for c in content.chapters} | {"ours": "Ours", "ground": "Own ground"} == {c.id: c.title for c in content.chapters}
    assert content.may_stand == ("channel 4", "gate 2")
    assert content.added_look("seatwork.css").endswith("h1 { color: maroon }\n\nh2 { color: url(../assets/yard.png) }\n")
    assert content.sheet("tailgate.html").endswith("<p>Ours.</p>")
    assert content.own.all_pictures == {"gate.png": PICTURE + b"own", "yard.png": PICTURE + b"yard"}
    # a lesson of the site's own in its place, with the shared questions
    put(site, {"lessons/gate.md": LESSON.replace("Keep the yard gate shut", "Our gate")})
    content = read(site)
    assert (content.lessons["gate"].title, content.lessons["gate"].file) == ("Our gate", "lessons/gate.md")
    assert content.questions_file("gate") == "../our-fleet/questions/gate.yml"


@pytest.mark.parametrize(
    "faults",
    [
        [
            ("lessons/gate.md", LESSON.replace("term('crest')", "term('crust')"), "23: the glossary has no 'crust'; did you mean crest?"),
            ("questions/gate.yml", QUESTIONS.replace("kind: one", "kind: two"), "2: "),
            ("questions/none.yml", QUESTIONS, " there is no such lesson; "),
            ("cautions.yml", "edge:\n", "1: 'edge' has no text; write 'edge: …'"),
            ("glossary.yml", "crest: [\n", "2: a bracket is not closed"),
            ("chapters.yml", "- id: x\n", "1: a chapter needs an id and a title; "),
            ("allowed-figures.yml", "- 4\n", "1: an entry needs a text, in quotes, and a reason; "),
            ("cards.yml", "dozer: 3\n", "1: 'dozer' is no card; "),
            ("lessons/Gate!.md", LESSON, " the name is no lesson id; "),
            ("look/seatwork.css", "@import 'x';\n", "1: "),
            ("sheets/tailgate.html", "{% x %}\n", "1: "),
        ],
        [
            ("lessons/gate.md", LESSON.replace("1. Look both ways.", "1. Look <script>both</script> ways."), "41: "),
            ("cautions.yml", "- edge\n", "1: is no table of names; write 'name: text', one a line"),
        ],
    ],
    ids=["most", "more"],
)  # fmt: skip
def test_a_fault_in_a_shared_text_is_told_by_the_way_there(site: Path, fleet: Path, faults: list[tuple[str, str, str]]) -> None:
    put(fleet, {file: text for file, text, _ in faults})
    told = said(site)
    for file, _, line in faults:
        assert [t for t in told if t.startswith(f"../our-fleet/{file}:{line}")], (file, told)
    assert not [t for t in told if not t.startswith("../our-fleet/")]


def test_a_link_in_a_shared_folder_leads_nowhere_else(site: Path, fleet: Path) -> None:
    (site.parent / "elsewhere.md").write_text(LESSON, "utf-8")
    (fleet / "lessons/gate.md").unlink()
    (fleet / "lessons/gate.md").symlink_to("../../elsewhere.md")
    assert (
        said(site)[0]
        == "../our-fleet/lessons/gate.md: it is a link that leads out of the shared folder; put the file itself into our-fleet"
    )


def test_check_says_whose_each_version_is(site: Path, fleet: Path) -> None:
    take(fleet, SHIPPED, "lessons/stop-work.md")
    take(fleet, SHIPPED, "cautions.yml:edge")
    (fleet / "look").mkdir()
    (fleet / "look/gate.png").write_bytes(PICTURE)
    assert lines(site) == [
        "../our-fleet/cautions.yml: edge replaces the shipped one; the shipped one is as it was then",
        "../our-fleet/lessons/gate.md: added in chapter ground",
        "../our-fleet/lessons/stop-work.md: replaces the shipped one; the shipped one is as it was then",
        "../our-fleet/questions/gate.yml: added",
        "../our-fleet/look/gate.png: a picture, ../assets/gate.png in a lesson",
    ]
    # what is copied now is the shared text, as that is what the site's handbook has
    below = gather_shared(site, SHIPPED)
    for name in ("lessons/gate.md", "lessons/stop-work.md", "cautions.yml:edge", "cautions.yml:bench"):
        if name in can_be_taken(SHIPPED, below):
            take(site, SHIPPED, name, below)
    put(site, {"look/gate.png": ""})
    (site / "look/gate.png").write_bytes(PICTURE + b"own")
    own = [
        "cautions.yml: edge replaces that of ../our-fleet/cautions.yml; the shared one is as it was then",
        "lessons/gate.md: replaces ../our-fleet/lessons/gate.md; the shared one is as it was then",
        "lessons/stop-work.md: replaces ../our-fleet/lessons/stop-work.md; the shared one is as it was then",
    ]
    told = lines(site)
    assert [line for line in told if line in own] == own
    assert "../our-fleet/lessons/gate.md: the site's own stands in its place" in told
    assert "../our-fleet/cautions.yml: edge has one of the site's own in its place" in told
    assert "../our-fleet/look/gate.png: the site's own stands in its place" in told
    # the shared one is put right: whoever copied it should look
    put(fleet, {"lessons/gate.md": LESSON.replace("Look both ways.", "Look left and right."), "cautions.yml": "edge: Stay back.\n"})
    now = lines(site)
    assert "lessons/gate.md: replaces ../our-fleet/lessons/gate.md; the shared one has changed since: look at both" in now
    assert "cautions.yml: edge replaces that of ../our-fleet/cautions.yml; the shared one has changed since: look at both" in now


def test_the_command_knows_what_is_shared(site: Path, fleet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["own", str(site)]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert "lessons/gate.md" in listed and listed.count("lessons/stop-work.md") == 1
    assert main(["own", str(site), "lessons/gate.md"]) == 0
    made = (site / "lessons/gate.md").read_text("utf-8")
    assert made.startswith("---\n# shared lessons/gate.md: ") and made.replace(made.split("\n")[1] + "\n", "", 1) == LESSON
    # and the shared folder itself takes texts, though it has no settings of a site
    assert main(["own", str(fleet), "cautions.yml:edge"]) == 0
    assert (fleet / "cautions.yml").read_text("utf-8").startswith("# shipped edge: ")
    capsys.readouterr()
    (site.parent / "nothing").mkdir()
    assert main(["own", str(site.parent / "nothing")]) == 2


def test_a_saved_shared_text_makes_its_parts_anew(site: Path, fleet: Path) -> None:
    """The preview keeps parts only as long as all that went into them is the same, under what the site has of its own too."""
    tables: Any = None
    put(fleet, {"chapters.yml": "- id: ours\n  title: Ours\n"})
    put(site, {"chapters.yml": "- id: ground\n  title: Own ground\n"})
    before = of_all_parts(read(site), tables)
    assert of_all_parts(read(site), tables) == before
    put(fleet, {"chapters.yml": "- id: ours\n  title: Theirs\n"})
    assert of_all_parts(read(site), tables) != before
