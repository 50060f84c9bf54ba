"""The handbook's questions as a content package of QTI 3.0 items, for those who make their own tests.

A package is a zip file: ``imsmanifest.xml``, an item a file, and their pictures as SVG. It holds the questions of all
lessons that are taught here, in the site's own units, each with up to ``VARIANTS`` sets of figures; a question that draws
no figures, or whose choices are always the same, stands in it once. A question answered by tapping a picture has no place
in it: those are named.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path

from generator import __version__
from generator.book.content import Content
from generator.book.page import LessonPage, drawer_for, site_lead
from generator.book.tree import taught
from generator.drawing import stylesheet
from generator.drawing.svg import clean
from generator.exchange.qti_item import INTERACTIONS, LANGUAGE, XSI, ItemOf, Pictured, document, item_xml, written
from generator.exchange.zipped import zipped
from generator.jobsite.model import JobSite
from generator.publish.build import Problems
from generator.quiz.draw import Drawer, Drawn, NotEnoughVariants
from generator.quiz.markup import Built, Page
from generator.quiz.question import Question
from generator.source.problem import Problem, Refusal, Refusals
from generator.units.table import System
from generator.units.writing import using
from generator.working.errors import NumberProblem
from generator.working.ledger import Ledger

Progress = Callable[[str], None]

VARIANTS = 3
"""How many sets of figures a question has: neighbours get different ones, and one person can still look at them all."""
SALT = "qti-3"  # other figures than the web's, so that a test is not what was practised

MANIFEST = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
MANIFEST_SCHEMA = "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqtiv3p0_imscpv1p2_v1p0.xsd"
METADATA = "http://www.imsglobal.org/xsd/imsqti_metadata_v3p0"
METADATA_SCHEMA = "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_metadatav3p0_v1p0.xsd"
LOM = "http://ltsc.ieee.org/xsd/LOM"
LOM_SCHEMA = "https://purl.imsglobal.org/spec/md/v1p3/schema/xsd/imsmd_loose_v1p3p2.xsd"
MUST = "must be right"
_TAG = re.compile(r"<[^>]+>")
_SVG = "http://www.w3.org/2000/svg"
_LONGEST_ALT = 1000
WIDE, SMALL = 520, 240  # pixels across: of the picture over the answers, and of one to choose


@dataclass(frozen=True)
class Item:
    """An item of the package: its document, its pictures by their place in the package, what the manifest says of it."""

    id: str
    lesson: str
    question: Question
    variant: int
    title: str
    xml: bytes
    pictures: Mapping[str, bytes]
    sources: tuple[str, ...]
    made: ItemOf

    @property
    def file(self) -> str:
        return f"items/{self.id}.xml"


@dataclass
class Items:
    """The items of a site, and the questions that are in none, as LESSON/QUESTION with the reason."""

    items: list[Item] = field(default_factory=list)
    left_out: dict[str, str] = field(default_factory=dict)


def package_name(site: JobSite) -> str:
    """What the package of a site is called: its key and its edition, as a file may be named."""
    return f"{_word(site.settings.key)}_{_word(site.settings.edition)}_qti-3.zip"


def write_items(content: Content, site: JobSite, folder: Path, progress: Progress) -> list[Path]:
    """Write the content package of a site's questions into ``folder``; what was written.

    Where questions are left out, a text beside the package names them. ``progress`` is told of each lesson, and at the
    end of both. Raises Problems with what cannot be drawn, and OSError.
    """
    made = items_of(content, site, progress)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / package_name(site)
    path.write_bytes(packed(made, site))
    told = folder / f"{path.stem}_left-out.txt"
    lines = left_out(made)
    if lines:
        told.write_text("\n".join(lines) + "\n", "utf-8", newline="\n")
    else:
        told.unlink(missing_ok=True)
    for line in (f"{len(made.items)} items of {len({(i.lesson, i.question.id) for i in made.items})} questions", *lines):
        progress(line)
    return [path, *([told] if lines else [])]


def left_out(made: Items) -> list[str]:
    """A line for each reason why questions are in no item, with their names."""
    reasons = dict.fromkeys(made.left_out.values())
    return [f"left out, {why}: {', '.join(n for n, reason in made.left_out.items() if reason == why)}" for why in reasons]


def items_of(content: Content, site: JobSite, progress: Progress = lambda _: None) -> Items:
    """The items of all lessons that are taught on a site. Raises Problems."""
    content = taught(content, site)
    lead = site_lead(site)
    drawer = Drawer(site, content.tables, lead)
    out = Items()
    problems: list[Problem] = []
    for id_ in (i for chapter in content.chapters for i in chapter.lessons):
        progress(f"questions of {id_}")
        try:
            with using(site.settings.writing):
                _Lesson(LessonPage(content.lessons[id_], content, site, lead, Ledger()), drawer, out).all()
        except Refusals as e:
            problems += e.problems
    if problems:
        raise Problems(problems)
    return out


class _Lesson:
    """Makes the items of one lesson."""

    def __init__(self, page: LessonPage, drawer: Drawer, out: Items) -> None:
        self.page, self.content, self.site, self.out = page, page.content, page.site_model, out
        self.lesson = page.lesson
        self.drawer = drawer_for(self.lesson, drawer)
        self.system: System = self.site.settings.units
        settings = self.site.settings
        self.around = Page(
            site=settings.key, edition=settings.edition, pass_mark=settings.passing_mark.si, crew=(), writes_working=lambda _e, _mark: "",
            draws=lambda p, name: page.scene(p.drawing, name, p.frame, p.way), read_again={},
        )  # fmt: skip

    def all(self) -> None:
        """Every question of the lesson that can be asked here, or its reason. Raises Refusals."""
        written = self.content.questions[self.lesson.id]
        fitting = self.drawer.fitting(written)
        able = self.page.able([q for q in fitting if self.drawer.lacking(q) is None] or fitting)
        problems = []
        for q in written:
            name = f"{self.lesson.id}/{q.id}"
            if q not in able:
                self.out.left_out[name] = "as this site has not what they ask about"
            elif q.kind not in INTERACTIONS:
                self.out.left_out[name] = "as a tap on a picture is no kind of item here"
            else:
                try:
                    self.out.items += self.items(q)
                except (NumberProblem, NotEnoughVariants) as e:
                    problems.append(e.told_of(q.id, self.content.questions_file(self.lesson.id), q.line))
                except Refusal as e:
                    problems.append(e.at(self.content.questions_file(self.lesson.id)))
        if problems:
            raise Refusals(problems)

    def items(self, q: Question) -> Iterator[Item]:
        both = self.drawer.variants(q, _variants(q), SALT)
        built = Built(q, both, self.around)
        above, pictures, files = self.pictures(q, built)
        done: set[object] = set()
        for n, drawn in enumerate(v[self.system] for v in both):
            same = _same(q, drawn)
            if same in done:
                continue
            done.add(same)
            number = len(done)
            id_ = f"{_word(self.lesson.id)}_{_word(q.id)}_{number}"
            sources = self.sources(drawn)
            title = f"{self.lesson.title}, {q.id}" + (f", figures {number}" if n or _figured(q) else "")
            made = ItemOf(
                id_, title, built, drawn, self.system, above, pictures, f"Source: {'; '.join(sources)}." if sources else "", __version__
            )
            yield Item(id_, self.lesson.id, q, n, title, item_xml(made), files, sources, made)

    def sources(self, drawn: Drawn) -> tuple[str, ...]:
        """The sources of the right answer, in words."""
        if drawn.explained is None:
            return ()
        words = (unescape(_TAG.sub("", self.page.source_words([s]))) for s in drawn.explained.sources)
        return tuple(dict.fromkeys(w.removeprefix("Source: ").removesuffix(".") for w in words))

    def pictures(self, q: Question, built: Built) -> tuple[Pictured | None, dict[int, Pictured], dict[str, bytes]]:
        """The picture over the answers, those of choices and items by index, and the files. Raises NumberProblem."""
        files: dict[str, bytes] = {}
        base = f"{_word(self.lesson.id)}_{_word(q.id)}"
        above = None
        if q.picture is not None:
            svg = built.picture_above()
            name = f"pictures/{base}.svg"
            files[name] = alone(svg, self.system)
            above = Pictured(f"../{name}", described_in(svg) or "The picture of this question", size_of(svg, WIDE))
        found: dict[int, Pictured] = {}
        for i, picture in enumerate(q.pictures):
            if picture is None:
                continue
            name = f"pictures/{base}_{i + 1}.svg"
            svg = built.picture(i)
            files[name] = alone(svg, self.system)
            found[i] = Pictured(f"../{name}", picture.describe or built.texts()[i], size_of(svg, SMALL))
        return above, found, files


def _variants(q: Question) -> int:
    """How many variants are drawn: more than one only where they can differ in more than the order of choices."""
    return VARIANTS if _figured(q) or q.kind == "several" else 1


def _figured(q: Question) -> bool:
    return bool(q.draws)


def _same(q: Question, drawn: Drawn) -> object:
    """What makes two variants of a question the same item: what is asked, and which choices there are."""
    shown = frozenset(drawn.order) if q.kind == "several" else ()
    return (tuple(drawn.figures.items()), drawn.right, shown)


def _word(text: str) -> str:
    """A text as part of an identifier or a file name."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", text).strip("-") or "x"


# --- pictures -------------------------------------------------------------------------------------


def size_of(svg: str, width: int) -> tuple[int, int]:
    """How wide and how high a drawing is shown that is ``width`` pixels wide."""
    _, _, across, down = map(float, str(_svg(svg).get("viewBox")).split())
    return width, round(width * down / across)


def alone(svg: str, system: System) -> bytes:
    """A drawing as a file that stands alone: with its styles, in one unit system, black on white."""
    root = _svg(svg)
    other = "si" if system == "us" else "us"
    for parent in list(root.iter()):
        for child in list(parent):
            if {other, f"{other}-step"} & set(child.get("class", "").split()):
                parent.remove(child)
    for element in root.iter():
        for name in [n for n in element.attrib if n.startswith("data-")]:
            del element.attrib[name]
    for name in ("aria-hidden", "focusable"):
        root.attrib.pop(name, None)
    width, height = map(str, size_of(svg, WIDE))  # without a size of its own it has none on a page
    root.attrib |= {"width": width, "height": height}
    shown = ("inline", "none") if system == "us" else ("none", "inline")
    style = ET.Element(f"{{{_SVG}}}style")
    style.text = (
        f"{stylesheet()}\nsvg.drawing {{ color: #111; background: #fff; font-family: sans-serif; width: {width}px; height: {height}px; max-width: none; "
        f"--drawing-paper: #fff; "
        f"--drawing-us: {shown[0]}; --drawing-si: {shown[1]}; }}\n"
    )
    root.insert(0, style)
    return written(root)


def described_in(svg: str) -> str:
    """What a drawing says of itself: its title and its description, as text beside it."""
    root = _svg(svg)
    parts = [" ".join("".join(e.itertext()).split()) for n in ("title", "desc") if (e := root.find(f"{{{_SVG}}}{n}")) is not None]
    return ". ".join(p.rstrip(".") for p in parts if p)[:_LONGEST_ALT]


def _svg(text: str) -> ET.Element:
    ET.register_namespace("", _SVG)
    return ET.fromstring(text)


# --- the package ----------------------------------------------------------------------------------


def packed(made: Items, site: JobSite) -> bytes:
    """The content package: the same items give the same bytes."""
    files: dict[str, bytes] = {"imsmanifest.xml": manifest(made.items, site)}
    for item in made.items:
        files[item.file] = item.xml
        files.update(item.pictures)
    return zipped(files, "imsmanifest.xml")


def manifest(items: Sequence[Item], site: JobSite) -> bytes:
    """``imsmanifest.xml``: a resource an item and a picture, with what the item is about."""
    settings = site.settings
    root = ET.Element("manifest", {
        "xmlns": MANIFEST, "xmlns:xsi": XSI,
        "xsi:schemaLocation": f"{MANIFEST} {MANIFEST_SCHEMA} {METADATA} {METADATA_SCHEMA} {LOM} {LOM_SCHEMA}",
        "identifier": f"seatwork-{_word(settings.key)}-{_word(settings.edition)}",
    })  # fmt: skip
    about = ET.SubElement(root, "metadata")
    _text(about, "schema", "QTI Package")
    _text(about, "schemaversion", "3.0.0")
    _lom(about, f"{settings.name}: questions", f"Edition {settings.edition}", ["questions", settings.key], (), settings.edition)
    ET.SubElement(root, "organizations")
    resources = ET.SubElement(root, "resources")
    pictures: dict[str, str] = {}
    for item in items:
        q = item.question
        resource = ET.SubElement(resources, "resource", {"identifier": f"item-{item.id}", "type": "imsqti_item_xmlv3p0", "href": item.file})
        metadata = ET.SubElement(resource, "metadata")
        keywords = [f"lesson {item.lesson}", f"question {q.id}", f"kind {q.kind}", *([MUST] if q.must_be_right else [])]
        _lom(metadata, item.title, f"A question of the lesson {item.lesson}.", keywords, item.sources, settings.edition)
        qti = ET.SubElement(metadata, "qtiMetadata", {"xmlns": METADATA})
        for tag, text in (
            ("timeDependent", "false"), ("composite", "false"), ("interactionType", INTERACTIONS[q.kind]),  # type: ignore[index]
            ("feedbackType", "nonadaptive"), ("solutionAvailable", "true"), ("scoringMode", "responseprocessing"),
            ("toolName", "Seatwork"), ("toolVersion", __version__),
        ):  # fmt: skip
            _text(qti, tag, text)
        ET.SubElement(resource, "file", {"href": item.file})
        for name in item.pictures:
            ET.SubElement(resource, "dependency", {"identifierref": pictures.setdefault(name, f"picture-{_word(Path(name).stem)}")})
    for name, id_ in pictures.items():
        resource = ET.SubElement(resources, "resource", {"identifier": id_, "type": "webcontent", "href": name})
        ET.SubElement(resource, "file", {"href": name})
    return document(root)


def _text(parent: ET.Element, tag: str, text: str, **attributes: str) -> None:
    ET.SubElement(parent, tag, attributes).text = clean(text)


def _lom(parent: ET.Element, title: str, about: str, keywords: Sequence[str], sources: Sequence[str], edition: str) -> None:
    """What learning object metadata (IEEE 1484.12.3) says: title, keywords, edition, and what it is based on."""
    lom = ET.SubElement(parent, "lom", {"xmlns": LOM})

    def words(parent: ET.Element, tag: str, text: str) -> None:
        _text(ET.SubElement(parent, tag), "string", text, language=LANGUAGE)

    general = ET.SubElement(lom, "general")
    words(general, "title", title)
    _text(general, "language", LANGUAGE)
    words(general, "description", about)
    for keyword in keywords:
        words(general, "keyword", keyword)
    words(ET.SubElement(lom, "lifeCycle"), "version", edition)
    for source in sources:
        relation = ET.SubElement(lom, "relation")
        kind = ET.SubElement(relation, "kind")
        _text(kind, "source", "LOMv1.0")
        _text(kind, "value", "isbasedon")
        words(ET.SubElement(relation, "resource"), "description", source)
