"""Packages for a learning system: one of all lessons and one for each role, made of what the last build published.

A package holds its lessons and no more than they need: their sheets, cab cards, styles, scripts and
pieces for other machines, the words and the sources. What serves the whole handbook stays out, such as
the search and the service worker, which would keep pages of a learning system on the device.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from generator.book.content import Content, content_folder
from generator.book.lesson import Lesson, in_order
from generator.exchange import cmi5, scorm
from generator.exchange.learners import people
from generator.exchange.pages import QUIZ, packaged, style_files
from generator.exchange.scorm import Unit
from generator.exchange.zipped import zipped
from generator.jobsite.model import JobSite
from generator.language.words import tr
from generator.publish.edition_folder import folder_of, plain_page, plain_script
from generator.publish.manifest import hash_of, read_manifest
from generator.publish.packages import PLACE, Made, read_list, web_print, write_list
from generator.records.wording import in_its_language
from generator.source.problem import Refusal

Standard = Literal["scorm-1.2", "scorm-2004", "cmi5"]
STANDARDS: tuple[Standard, ...] = ("scorm-1.2", "scorm-2004", "cmi5")
ALL = "all-lessons"

_SCRIPTS = Path(__file__).parent / "scripts"
_ADAPTER = {"scorm-1.2": "scorm.js", "scorm-2004": "scorm.js", "cmi5": "cmi5.js"}
_HASHES = "assets/vendor/sha256.js"
_BESIDE = ("glossary.html", "reference/sources.html")
# fetched by scripts when they are wanted, so that no page names them
_FETCHED = ("assets/vendor/qrcode.js",)
_FOOT = """\
<p class="su-foot"><a href="ROOT/glossary.html" target="_blank" rel="noopener">{words}</a>.
<a href="ROOT/reference/sources.html" target="_blank" rel="noopener">{sources}</a>.</p>
"""


def _foot() -> str:
    return _FOOT.format(words=tr("Words"), sources=tr("Where the figures come from"))


class NotPackaged(Refusal):
    """There is nothing to package, or it is not what the build wrote."""

    code = "not-packaged"


@dataclass(frozen=True)
class Package:
    """A package to write: the id of its role or ALL, a title, what it is about, its lessons in order."""

    id: str
    title: str
    about: str
    lessons: tuple[Lesson, ...]


def packages_of(content: Content, site: JobSite, web: Path) -> list[Package]:
    """One package of all lessons the site has, then one for each role."""
    there = {i: lesson for i, lesson in content.lessons.items() if (web / "lessons" / f"{i}.html").is_file()}
    roles = site.settings.roles.values()
    everything = in_order(dict.fromkeys(i for role in roles for i in role.lessons if i in there), there)
    name = site.settings.name
    found = [
        Package(
            ALL,
            tr("{site}: all lessons", site=name),
            tr("Every lesson of the handbook of {site}.", site=name),
            tuple(there[i] for i in everything),
        )
    ]
    for role in roles:
        ids = in_order((i for i in role.lessons if i in there), there)
        if ids:
            about = tr("The lessons of the handbook of {site} for this role: {role}.", site=name, role=role.title)
            found.append(Package(role.id, f"{name}: {role.title}", about, tuple(there[i] for i in ids)))
    return found


def published(out: Path) -> Path:
    """The web folder of the last build. Raises NotPackaged where there is none or it was changed by hand."""
    web, listed = out / "web", read_manifest(out)
    if listed is None or not (web / "index.html").is_file():
        raise NotPackaged("there is no handbook here yet", "run seatwork build first", file=str(web))
    for name, value in listed.items():
        if name.startswith("web/lessons/") and (not (out / name).is_file() or hash_of(out / name) != value):
            raise NotPackaged("this page is not as the build wrote it", "build again, and package what it writes", file=str(out / name))
    return web


def write_packages(
    content: Content, site: JobSite, standard: Standard, progress: Callable[[str], None], target: Path | None = None
) -> list[Path]:
    """Write the packages of a site whose handbook is built; their paths.

    They go to ``target``, else to ``out/packages``. Packages of the same standard that an earlier run
    wrote there and nobody changed are taken away. Raises NotPackaged or OSError.
    """
    out = site.folder / "out"
    web = published(out)
    target = target or out / PLACE
    source = _Source(web, site, standard)
    written: dict[str, bytes] = {}
    with in_its_language(site):
        for package in packages_of(content, site, web):
            progress(f"packaging {package.title}")
            name = f"{site.settings.key}_{_plain(site.settings.edition)}_{standard}_{package.id}.zip"
            written[name] = source.package(package)
    target.mkdir(parents=True, exist_ok=True)
    for name, data in written.items():
        (target / name).write_bytes(data)
    note(out, target, standard, list(written))
    return [target / name for name in written]


def note(out: Path, target: Path, standard: str, names: Sequence[str]) -> None:
    """Note in ``target`` that the files of these names are of the last build in ``out``.

    Those of the same standard that an earlier run wrote there and nobody changed are taken away. Raises OSError.
    """
    old = read_list(target)
    for name, made in old.items():
        place = target / name
        if made.standard == standard and name not in names and place.is_file() and hash_of(place) == made.hash:
            place.unlink()
    rest = {n: made for n, made in old.items() if made.standard != standard and (target / n).is_file()}
    now = {n: Made(standard, hash_of(target / n), web_print(out)) for n in names}
    write_list(target, rest | now)


class _Source:
    """The web folder, each page of it read once for all packages of a run."""

    def __init__(self, web: Path, site: JobSite, standard: Standard) -> None:
        self.web, self.site, self.standard = web, site, standard
        self.asked = folder_of(web)  # where what pages ask for lies; a package is one edition and names it plainly
        self.cards = sorted(p.relative_to(web).as_posix() for p in (web / "sheets").glob("cab-*.html"))
        self.beside = tuple(name for name in _BESIDE if (web / name).is_file())
        scripts = (_HASHES, "assets/unit-data.js", f"assets/{_ADAPTER[standard]}")
        self.tags = "".join(f'<script src="ROOT/{name}"></script>\n' for name in scripts)

    def unit(self, root: str) -> str:
        """The tags that stand in the place of the quiz's script."""
        return self.tags.replace("ROOT/", root) + f'<script src="{root}assets/unit.js" data-quiz="QUIZ"></script>'

    def package(self, package: Package) -> bytes:
        """The bytes of one package."""
        lessons = [f"lessons/{lesson.id}.html" for lesson in package.lessons]
        sheets = [name for lesson in package.lessons if (self.web / (name := f"sheets/{lesson.id}.html")).is_file()]
        pages = [*lessons, *sheets, *self.cards, *self.beside]
        files, needs = self._pages(pages)
        silent = [name for name in lessons if b"assets/unit.js" not in files[name]]
        if silent:  # a unit that reports nothing would look like one whom nobody plays
            raise NotPackaged("this lesson has no quiz that could report anything", "build again", file=str(self.web / silent[0]))
        alone = {lesson.id: self._pieces(lesson.id) for lesson in package.lessons}
        wanted = {*needs, *_FETCHED, *(n for names in alone.values() for n in names)}
        # the handbook has it only where mentors sign on the phone, and without it no unit knows its learner
        files[_HASHES] = (content_folder() / "look" / _HASHES.removeprefix("assets/")).read_bytes()
        self._fetch(files, wanted)
        salt, crew = people(self.site.learners, self.site.settings.key)
        data = {"standard": self.standard, "salt": salt, "people": crew,
                "ids": {lesson.id: cmi5.iri(self.site.settings.key, "lesson", lesson.id) for lesson in package.lessons}}  # fmt: skip
        files["assets/unit-data.js"] = f"window.seatworkUnit = {json.dumps(data, ensure_ascii=True, sort_keys=True)};\n".encode()
        for name in ("unit.js", "unit.css", _ADAPTER[self.standard]):
            files[f"assets/{name}"] = (_SCRIPTS / name).read_bytes()
        units = [
            Unit(lesson.id, lesson.title, lesson.summary or lesson.title, f"lessons/{lesson.id}.html", tuple(sorted(alone[lesson.id])))
            for lesson in package.lessons
        ]
        if self.standard == "cmi5":
            files[cmi5.STRUCTURE] = cmi5.structure(self.site.settings.key, package.id, package.title, package.about, units)
            return zipped(files, cmi5.STRUCTURE)
        own = {name for unit in units for name in (unit.page, *unit.files)}
        shared = sorted(set(files) - own)
        identifier = f"{_plain(self.site.settings.key)}-{_plain(self.site.settings.edition)}-{package.id}"
        files[scorm.MANIFEST] = scorm.manifest(self.standard, identifier, package.title, units, shared)
        return zipped(files, scorm.MANIFEST)

    def _pages(self, pages: Sequence[str]) -> tuple[dict[str, bytes], set[str]]:
        """The pages as the package has them, and the files they load."""
        files: dict[str, bytes] = {}
        needs: set[str] = set()
        foot = _foot() if len(self.beside) == len(_BESIDE) else ""
        for name in pages:
            html = plain_page((self.web / name).read_bytes()).decode("utf-8")
            has_quiz = "<seatwork-quiz" in html and name.startswith("lessons/")
            made = packaged(name, html, pages, self.unit if has_quiz else None, foot if has_quiz else "")
            style = f'<link rel="stylesheet" href="{"../" * name.count("/")}assets/unit.css">\n'
            files[name] = made.text.replace("</head>", style + "</head>", 1).encode("utf-8")
            needs.update(f for f in made.files if has_quiz or f != QUIZ)
        return files, needs

    def _pieces(self, lesson: str) -> set[str]:
        """What a lesson fetches for a reader's other machine, and to be heard."""
        found = [p for name in (f"{lesson}.js", f"{lesson}-sheet.js") for p in (self.asked / "mine").glob(f"*/{name}")]
        found += [*(self.asked / "practice").glob(f"{lesson}-say.js"), *(self.asked / "audio").glob(f"*/{lesson}.ogg")]
        return {p.relative_to(self.asked).as_posix() for p in found}

    def _fetch(self, files: dict[str, bytes], wanted: Iterable[str]) -> None:
        """Put the files that are wanted beside the pages, and what their styles ask for. Raises NotPackaged."""
        todo = sorted(wanted)
        while todo:
            name = todo.pop()
            place = next((p for p in (self.web / name, self.asked / name) if p.is_file()), None)
            if place is None and name not in files and name.endswith((".js", ".css")):  # a page without it would be dead
                raise NotPackaged("a page asks for this file, and it is not there", "build again", file=str(self.asked / name))
            if name in files or place is None:
                continue
            files[name] = plain_script(place.read_bytes()) if name.endswith(".js") else place.read_bytes()
            if name.endswith(".css"):
                todo += style_files(name, files[name].decode("utf-8", "replace"))


def _plain(text: str) -> str:
    """Letters, digits, points and hyphens alone, as identifiers and file names have them."""
    return "".join(c if c.isascii() and (c.isalnum() or c in ".-") else "-" for c in text)


def told(site: JobSite, paths: Sequence[Path]) -> list[str]:
    """What to say of the packages written."""
    known = len(site.learners)
    lines = [f"package:  {path}" for path in paths]
    if known:
        lines.append(f"learners: {known} of {site.table('learners.csv')} are known by their crew id")
    else:
        lines.append("learners: no table learners.csv (learner, person), so everyone picks or types the crew id at the quiz")
    return lines
