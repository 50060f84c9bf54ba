"""The questions as QTI 3.0 items: what is in the package, valid, and marked alike by a player of npm in a browser. The site is invented."""

from __future__ import annotations

import functools
import http.server
import io
import json
import shutil
import threading
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from generator.cli.main import main
from generator.exchange import qti
from generator.exchange.qti import Item, Items, items_of, packed, write_items
from generator.jobsite.model import JobSite
from generator.publish.build import Problems, load
from generator.publish.manifest import write_manifest
from generator.publish.packages import stale
from generator.records.flags import Refused
from generator.records.mark import mark_answer
from generator.records.results import Given
from tests.conftest import copy_demo
from tests.exchange.held import installed
from tests.exchange.qti_rules import ITEM, LOM, PACKAGE, item_broken, package_broken
from tests.sites import own_lesson

# the toe of a bank 12 ft high at 1.5:1 lies 18 ft out: row 12.0 of side slopes 1 1/2 to 1 of a printed slope stake table (read),
# the check run-stake-12 of content/checks/grade.yml; 5 % of the printed 18 are 0.9
PRINTED, INSIDE, OUTSIDE = "18", ("17.1", "18.9"), ("17.09", "18.91")

QUESTIONS = """
- id: toe-01
  kind: number
  must_be_right: true
  ask: A bank is {rise} high & lies at {slope} <sic>. How far out is its toe?
  draw:
    rise: {us: [12 ft, 16 ft, 2 ft], metric: [4 m, 6 m, 1 m]}
    slope: {pick: {us: [1.5:1], metric: [1.5:1]}}
  numbers:
    out: {calculation: grade.run, rise: rise, grade: slope}
  answer: out
  mistakes:
    - {id: turned, gives: rise * rise / right, says: You divided where the slope multiplies.}
    - {id: twice-as-far, gives: right * 2, says: That is twice as far as it is.}
- id: toe-02
  kind: one
  ask: A bank is {rise} high and lies at {slope}. How far out is its toe?
  draw:
    rise: {us: [12 ft, 16 ft, 2 ft], metric: [4 m, 6 m, 1 m]}
    slope: {pick: {us: [1.5:1], metric: [1.5:1]}}
  numbers:
    out: {calculation: grade.run, rise: rise, grade: slope}
  answer: out
  mistakes:
    - {id: turned, gives: rise * rise / right, says: You divided where the slope multiplies.}
    - {id: half-as-far, gives: right / 2, says: That is half as far as it is.}
    - {id: twice-as-far, gives: right * 2, says: That is twice as far as it is.}
- id: walk-01
  kind: order
  ask: Put them in order.
  items: [Look., Walk round., Look under it., Start it.]
  free: [[2, 3]]
  because: You look before you start it.
- id: stop-01
  kind: several
  ask: When do you stop?
  choices:
    - {text: Somebody is near., right: true}
    - {text: You see nobody., right: true}
    - {text: The horn sounds., right: true}
    - {text: It is noon., says: Noon is no danger.}
    - {text: The tank is full., says: A full tank is as it should be.}
  because: You stop for people.
"""


@dataclass(frozen=True)
class Made:
    """A small site's items."""

    content: Any
    site: JobSite
    items: Items

    def of(self, question: str) -> list[Item]:
        return [i for i in self.items.items if i.question.id == question]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """An own lesson with a question of each kind, and two shipped ones with pictures."""
    folder = own_lesson(
        copy_demo(tmp_path_factory.mktemp("qti") / "site"), machines="[excavator, truck]", lessons="[look-first, at-the-tip, bench-height]"
    )
    (folder / "questions/look-first.yml").write_text((folder / "questions/look-first.yml").read_text("utf-8") + QUESTIONS, "utf-8")
    content, site = load(folder)
    return Made(content, site, items_of(content, site))


@pytest.fixture(scope="module")
def package(made: Made) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(packed(made.items, made.site)))


def root_of(item: Item) -> ET.Element:
    return ET.fromstring(item.xml)


def texts(item: Item, tag: str) -> list[str]:
    return [" ".join("".join(e.itertext()).split()) for e in root_of(item).iter(f"{{{ITEM}}}{tag}")]


# --- what is in it -----------------------------------------------------------------------------------


def test_every_question_is_in_it_or_named(made: Made) -> None:
    asked = {f"{i}/{q.id}" for i in ("look-first", "at-the-tip", "bench-height") for q in made.content.questions[i]}
    there = {f"{i.lesson}/{i.question.id}" for i in made.items.items}
    assert there | set(made.items.left_out) == asked and not there & set(made.items.left_out)
    points = {f"{i}/{q.id}" for i in ("at-the-tip", "bench-height") for q in made.content.questions[i] if q.kind == "point"}
    assert points and points == set(made.items.left_out)
    assert {i.question.kind for i in made.items.items} == {"number", "one", "several", "order"}
    assert any(i.pictures for i in made.items.items)


def test_figures_differ_and_nothing_stands_twice(made: Made) -> None:
    assert [len(made.of(q)) for q in ("toe-01", "toe-02", "walk-01", "look-01")] == [3, 3, 1, 1]
    assert len({texts(i, "p")[0] for i in made.of("toe-01")}) == 3
    shown = [sorted(texts(i, "qti-simple-choice")) for i in made.of("stop-01")]
    assert 1 < len(shown) <= 3 and all(shown.count(s) == 1 for s in shown)
    assert len({i.id for i in made.items.items}) == len(made.items.items)


def test_a_figure_has_its_unit_told_and_its_ends_written_out(made: Made) -> None:
    item = next(i for i in made.of("toe-01") if "12 ft high" in texts(i, "p")[0])
    assert texts(item, "p")[:5] == [
        "A bank is 12 ft high & lies at 1.5:1 <sic>. How far out is its toe?", "Your answer in ft: ft",
        "Type digits, with a point for decimals and no comma. Type no unit: what you type is taken for ft, so work an answer in "
        "another unit over to ft first.", "Within 5% counts as right.", "(Must be right.)",
    ]  # fmt: skip
    assert b"qti-equal" not in item.xml
    ends = [float(v.text or "") for v in list(root_of(item).iter(f"{{{ITEM}}}qti-base-value"))[:2]]
    assert ends == pytest.approx([float(INSIDE[0]), float(INSIDE[1])], rel=1e-7)


def test_an_answer_has_one_text_with_what_was_wrong_the_working_and_the_source(made: Made) -> None:
    item = next(i for i in made.of("toe-01") if "12 ft high" in texts(i, "p")[0])
    said = {e.get("identifier"): " ".join("".join(e.itertext()).split()) for e in root_of(item).iter(f"{{{ITEM}}}qti-modal-feedback")}
    assert set(said) == {"right", "wrong", "wrong-1", "wrong-2"}
    assert said["right"].startswith("That is right. The answer is 18 ft.") and "12 ft" in said["right"] and "Source: " in said["right"]
    assert said["wrong-2"].startswith("That is not right. That is twice as far as it is. The answer is 18 ft.")


def test_letters_of_choices_tell_nothing(made: Made) -> None:
    right = [e[0].text for i in made.items.items if i.question.kind == "one" for e in root_of(i).iter(f"{{{ITEM}}}qti-correct-response")]
    assert len(set(right)) >= 3


def test_an_order_is_never_shown_right(made: Made) -> None:
    for item in (i for i in made.items.items if i.question.kind == "order"):
        (interaction,) = root_of(item).iter(f"{{{ITEM}}}qti-order-interaction")
        assert interaction.get("shuffle") == "false"
        q, order = item.question, item.made.drawn.order
        assert not all(q.fits(x, place) for place, x in enumerate(order))


def test_pictures_are_files_with_words_in_the_sites_units(made: Made, package: zipfile.ZipFile) -> None:
    pictured = [i for i in made.items.items if i.pictures]
    for item in pictured:
        for img in root_of(item).iter(f"{{{ITEM}}}img"):
            assert (img.get("src") or "").removeprefix("../") in item.pictures and img.get("alt")
    for name in (n for n in package.namelist() if n.endswith(".svg")):
        svg = ET.fromstring(package.read(name))
        classes = {c for e in svg.iter() for c in e.get("class", "").split()}
        assert not {"si", "si-step"} & classes and b"data-way" not in package.read(name)
        assert not [e for e in svg.iter() if e.tag.endswith("script")]


def test_the_manifest_says_lesson_must_be_right_and_sources(package: zipfile.ZipFile) -> None:
    root = ET.fromstring(package.read("imsmanifest.xml"))
    item = next(r for r in root.iter(f"{{{PACKAGE}}}resource") if r.get("identifier") == "item-look-first_toe-01_1")
    words = [e.text for e in item.iter(f"{{{LOM}}}string")]
    assert {"lesson look-first", "question toe-01", "kind number", "must be right"} <= set(words)
    assert [e.text for e in item.iter(f"{{{LOM}}}value")] == ["isbasedon"] * len(list(item.iter(f"{{{LOM}}}relation")))
    assert list(item.iter(f"{{{LOM}}}relation"))


def test_the_same_questions_give_the_same_bytes(made: Made, tmp_path: Path) -> None:
    told: list[str] = []
    path, beside = write_items(made.content, made.site, tmp_path / "new", told.append)
    assert path.read_bytes() == packed(made.items, made.site) and path.name == qti.package_name(made.site)
    assert f"{len(made.items.items)} items of " in told[-2]
    assert told[-1].startswith("left out, as a tap on a picture") and "bench-height/bench-06" in told[-1]
    assert beside.read_text("utf-8") == f"{told[-1]}\n"


def test_the_command_writes_them_and_knows_an_earlier_one(made: Made, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = shutil.copytree(made.site.folder, tmp_path / "site")
    asked = ["package", str(folder), "--as-built", "--standard", "qti-3", "--quiet"]
    assert main(asked) == 2  # nothing is built, so nobody could tell of which edition they are
    assert capsys.readouterr().err.splitlines()[0].endswith("there is no handbook here yet; run seatwork build first")
    out = folder / "out"
    (out / "web").mkdir(parents=True)
    (out / "web/index.html").write_text("one", "utf-8")
    write_manifest(out, ())
    assert main(asked) == 0
    path = out / "packages" / qti.package_name(made.site)
    beside = path.with_name(f"{path.stem}_left-out.txt")
    assert capsys.readouterr().out.splitlines() == [f"package:  {path}", f"left out:  {beside}"]
    assert path.read_bytes() == packed(made.items, made.site)
    assert stale(out) == ()
    (out / "web/index.html").write_text("another", "utf-8")
    write_manifest(out, ["packages"])
    assert stale(out)[0].startswith(f"{out / 'packages'}: 2 packages of an earlier build")
    old = path.rename(path.with_name("of-an-older-edition.zip"))
    listed = json.loads((out / "packages/packages.json").read_text("utf-8"))
    (out / "packages/packages.json").write_text(json.dumps({**listed, old.name: listed[path.name]}), "utf-8")
    assert main(asked) == 0
    assert path.is_file() and not old.exists()


def test_a_question_that_cannot_be_drawn_is_told_with_its_line(made: Made, tmp_path: Path) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site"), lessons="[look-first]")
    path = folder / "questions/look-first.yml"
    path.write_text(path.read_text("utf-8") + QUESTIONS.replace("us: [12 ft, 16 ft, 2 ft]", "us: [12 ft, 12 ft, 2 ft]"), "utf-8")
    content, site = load(folder)
    with pytest.raises(Problems) as e:
        write_items(content, site, tmp_path / "new", lambda _: None)
    assert [str(x) for x in e.value.problems] == [
        f"questions/look-first.yml:{line}: {q}: gives only 1 different variants in us; give it wider ranges" for line, q in ((11, "toe-01"), (24, "toe-02"))
    ]  # fmt: skip
    assert not (tmp_path / "new").exists()


# --- valid ------------------------------------------------------------------------------------------


def test_items_and_package_keep_the_rules(made: Made, package: zipfile.ZipFile) -> None:
    assert package_broken(package) == []
    assert {i.id: broken for i in made.items.items if (broken := item_broken(i.xml))} == {}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b' time-dependent="false"', b""), (b"<qti-gte>", b"<qti-gte><qti-null />"), (b"qti-lte>", b"qti-equal>"),
        (b'cardinality="single" base-type="float">\n    <qti-correct', b'cardinality="multiple" base-type="float">\n    <qti-correct'),
        (b'identifier="SCORE" cardinality', b'identifier="POINTS" cardinality'), (b'base-type="float">1<', b'base-type="identifier">1<'),
        (b'identifier="wrong-1" show', b'identifier="wrong-9" show'), (b"qti-content-body>", b"div>"), (b'identifier="RESPONSE" c', b'identifier="1 R" c'),
    ],
)  # fmt: skip
def test_the_rules_find_what_is_wrong(made: Made, old: bytes, new: bytes) -> None:
    good = made.of("toe-01")[0].xml
    assert old in good and item_broken(good.replace(old, new))


def test_the_rules_find_what_is_wrong_with_a_package(package: zipfile.ZipFile) -> None:
    def changed(change: Callable[[str, bytes], tuple[str, bytes]]) -> list[str]:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as z:
            for name in package.namelist():
                z.writestr(*change(name, package.read(name)))
        return package_broken(zipfile.ZipFile(out))

    assert changed(lambda n, d: (n, d)) == []
    assert changed(lambda n, d: (n.replace("_toe-01_1", "_toe-01_9"), d))
    for old, new in ((b"<schema>", b"<scheme>"), (b' type="webcontent"', b""), (b"<organizations />", b""), (b"picture-at", b"picture at")):
        assert changed(lambda n, d, old=old, new=new: (n, d.replace(old, new).replace(old.replace(b"<", b"</"), new.replace(b"<", b"</"))))  # type: ignore[misc]


# --- played -----------------------------------------------------------------------------------------

PAGE = """<!doctype html><meta charset="utf-8"><title>An item</title><link rel="stylesheet" href="item.css">
<script type="module" src="player.js"></script><main style="max-width: 44rem; margin: auto; padding: 1rem; font: 16px sans-serif"></main>
"""
PLAY = """async (url) => {
  const main = document.querySelector("main");
  main.innerHTML = "";
  const item = document.createElement("qti-item"), box = document.createElement("item-container");
  box.setAttribute("item-url", url);
  item.append(box);
  main.append(item);
  const there = () => box.shadowRoot && box.shadowRoot.querySelector("qti-assessment-item");
  for (let i = 0; i < 1000 && !(there() && there().variables && there().variables.some((v) => v.identifier === "RESPONSE")); i++) {
    await new Promise((done) => setTimeout(done, 5));
  }
  window.item = there();
  await window.item.updateComplete;
}"""
SCORE = """async (answer) => {
  if (answer !== null) window.item.updateResponseVariable("RESPONSE", answer);
  window.item.processResponse();
  await window.item.updateComplete;
  return Object.fromEntries(window.item.variables.map((v) => [v.identifier, v.value]));
}"""


@pytest.fixture(scope="module")
def player(made: Made, package: zipfile.ZipFile, tmp_path_factory: pytest.TempPathFactory, browser: Any) -> Iterator[Any]:
    """A page that plays the items of the package."""
    folder = tmp_path_factory.mktemp("played")
    package.extractall(folder)
    components = installed() / "node_modules/@citolab/qti-components"
    shutil.copy(components / "cdn/index.js", folder / "player.js")
    shutil.copy(components / "dist/item.css", folder / "item.css")
    (folder / "index.html").write_text(PAGE, "utf-8")

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *args: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    page = browser.new_page()
    page.goto(f"http://127.0.0.1:{server.server_address[1]}/index.html")
    page.evaluate("customElements.whenDefined('qti-assessment-item')")
    yield page
    page.close()
    server.shutdown()
    server.server_close()


def played(page: Any, item: Item, answer: Any = None) -> dict[str, Any]:
    """What the player makes of an answer that was given before, or of this one."""
    found: dict[str, Any] = page.evaluate(SCORE, answer)
    assert found["MAXSCORE"] == "1"
    return found


def ours(item: Item, answer: str | tuple[int, ...]) -> bool:
    """Whether this program's own marking, by which results count, takes an answer for right."""
    marking = item.made.built.marking()
    return mark_answer(Given(item.question.id, item.question.kind, item.variant, item.made.system, answer), marking).right


def answers_of(item: Item) -> list[tuple[Any, str | tuple[int, ...]]]:
    """Answers to try, right and wrong, as the player takes them and as ours are."""
    q, letters = item.question, item.made.letters
    if q.kind == "number":
        low, high = item.made.ends
        right = item.made.drawn.right
        assert right is not None
        step = 10.0 ** -max(0, 4 - len(str(int(high)))) if right.kind != "count" else 1.0
        tried = [f"{x:.9f}".rstrip("0").rstrip(".") for x in (low + 1e-6, high - 1e-6, low - step, high + step, low / 2, high * 3)] + [
            str(right.figure)
        ]
        tried += ["18,0", "18 ft", "no"] if q.id == "toe-01" else []
        return [(t, t) for t in tried if not (right.kind == "count" and "." in t and float(t) != round(float(t), 5))]
    order, right_ones = item.made.drawn.order, [i for i in item.made.drawn.order if i in item.made.built.right()]
    if q.kind == "one":
        return [(letters[i], (i,)) for i in order]
    if q.kind == "several":
        wrong = [i for i in order if i not in right_ones]
        sets = [right_ones, right_ones[::-1], right_ones[1:], [*right_ones, wrong[0]], list(order), wrong]
    else:
        n = len(q.items)
        sets = [list(range(n)), list(order), list(range(n))[::-1], *([*range(i), i + 1, i, *range(i + 2, n)] for i in range(n - 1))]
    return [([letters[i] for i in s], tuple(s)) for s in sets]


def test_a_player_marks_every_answer_as_this_program_does(made: Made, player: Any) -> None:
    seen = {True: 0, False: 0}
    for item in made.items.items:
        player.evaluate(PLAY, item.file)
        for theirs, answer in answers_of(item):
            try:
                right = ours(item, answer)
            except Refused:
                right = False  # no figure at all
            if answer in {"18,0", "18 ft"}:
                right = False  # ours takes these; the item says to type digits alone, and a player takes nothing else
            got = played(player, item, theirs)
            assert (got["SCORE"], got["FEEDBACK"] == "right") == ("1" if right else "0", right), (item.id, answer)
            seen[right] += 1
    assert seen[True] > 40 and seen[False] > 100


def test_a_player_marks_a_printed_figure_right_and_the_edges_as_they_are(made: Made, player: Any) -> None:
    """Typed into the item's own field: the printed 18 ft, and just inside and outside of 5 % of it."""
    item = next(i for i in made.of("toe-01") if "12 ft high" in texts(i, "p")[0])
    for typed, right in ((PRINTED, True), *((x, True) for x in INSIDE), *((x, False) for x in OUTSIDE), ("36", False), ("", False)):
        player.evaluate(PLAY, item.file)
        field = player.locator("qti-text-entry-interaction input")
        field.fill(typed)
        field.blur()
        got = played(player, item)
        assert got["SCORE"] == ("1" if right else "0"), typed
        assert not typed or ours(item, typed) is right
        assert got["FEEDBACK"] == ("right" if right else "wrong-2" if typed == "36" else "wrong")
    player.evaluate(PLAY, item.file)
    player.locator("qti-text-entry-interaction input").fill("36")
    player.locator("qti-text-entry-interaction input").blur()
    played(player, item)
    shown = player.locator("qti-modal-feedback dialog[open]")
    assert shown.count() == 1 and player.get_by_text("That is twice as far as it is.").is_visible()


def test_choices_are_clicked_and_pictures_are_there(made: Made, player: Any) -> None:
    item = made.of("stop-01")[0]
    letters, right = item.made.letters, [i for i in item.made.drawn.order if i in item.made.built.right()]
    player.evaluate(PLAY, item.file)
    for i in right[:-1]:
        player.locator(f"qti-simple-choice[identifier={letters[i]}]").click()
    assert played(player, item)["SCORE"] == "0"  # all of them or none
    player.evaluate(PLAY, item.file)
    for i in right:
        player.locator(f"qti-simple-choice[identifier={letters[i]}]").click()
    assert played(player, item)["SCORE"] == "1"
    pictured = next(i for i in made.items.items if i.made.pictures)
    player.evaluate(PLAY, pictured.file)
    shown = player.locator("qti-simple-choice img")
    assert shown.count() == len(pictured.made.pictures)
    loaded = "async es => { await Promise.all(es.map(e => e.decode())); return es.map(e => [e.naturalWidth, e.alt]) }"
    assert all(width > 0 and alt for width, alt in shown.evaluate_all(loaded))
    player.set_viewport_size({"width": 360, "height": 740})  # a phone: pictures to put in order are still to be seen
    across = [box["width"] for box in (shown.nth(n).bounding_box() for n in range(shown.count()))]
    assert min(across) > 200
    player.set_viewport_size({"width": 1280, "height": 720})
