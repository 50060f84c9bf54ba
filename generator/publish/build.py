"""One command's work: read the tables, render the tree, build the web folder, swap."""

from __future__ import annotations

import datetime
import os
import shutil
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from generator.book.cache import PartCache
from generator.book.content import Content, content_folder, lesson_kinds, read_content, skeletons
from generator.book.errors import told
from generator.book.front import NOT_YET
from generator.book.likeness import Likeness, unlike
from generator.book.parallel import uncollected
from generator.book.part import Tree
from generator.book.tree import edition_file, lines_not_taught, not_taught, not_worked, render_tree, silent
from generator.calc.procedure import Tables
from generator.calc.rules import US
from generator.jobsite.doubts import counted, doubts, entry_for, grouped, settled, told_settled
from generator.jobsite.model import JobSite
from generator.jobsite.names import printed_in, read_names
from generator.jobsite.reader import SiteProblems, read
from generator.language.catalogue import languages_in
from generator.language.words import ENGLISH, using
from generator.publish.audio import find_programs, record
from generator.publish.beside import Beside, Work, all_beside
from generator.publish.carry import InTheWay, carry, refuse_changed
from generator.publish.hand_in import write_server_files
from generator.publish.headers import write_headers
from generator.publish.kept import Keeping
from generator.publish.languages import own_name, place_of, speech
from generator.publish.manifest import write_manifest
from generator.publish.one_language import Rendered, Written, finish, other_language, pages_of, sound, write_language
from generator.publish.packages import stale
from generator.publish.pdf import find_browser, print_all
from generator.publish.swap import Stuck, pend, staging, stuck, swap
from generator.quiz.edition import EditionDamaged, Plan, keep_sheets, note_day, prepare
from generator.quiz.printed import Printed
from generator.reference.errors import ReferenceProblem
from generator.reference.tables import load as load_tables
from generator.source.problem import Problem, Refusal, Refusals
from generator.units.writing import using as written_as

Progress = Callable[[str], None]


def _today() -> datetime.date:
    """The day of the build: that of SOURCE_DATE_EPOCH where it is set, else of this computer's clock."""
    when = os.environ.get("SOURCE_DATE_EPOCH", "")
    now = datetime.datetime.fromtimestamp(int(when), datetime.UTC) if when.isdecimal() else datetime.datetime.now(datetime.UTC)
    return now.date()


# the same inputs give the same bytes: dates in the pages are this one unless SOURCE_DATE_EPOCH is set
FIXED_DATE = 1_767_225_600

# folders below out/mentor that other commands write and a build takes over
KEPT = ("paper", "records")


class Problems(Refusals):
    """All that is wrong, most important first."""

    @property
    def lines(self) -> list[str]:
        """What is told of it, one line each."""
        return list(dict.fromkeys(map(str, self.problems)))


class StrictFailure(Problems):
    """What is only to look at, where ``--strict`` was asked for."""

    def __init__(self, site: JobSite) -> None:
        super().__init__(site.notices)
        self.site = site

    @property
    def lines(self) -> list[str]:
        """The notices in their groups, and why nothing was built."""
        return [*grouped(self.problems), *strict_failure(self.site)]


@dataclass(frozen=True)
class Built:
    """What a build wrote."""

    out: Path
    pages: int
    numbers: int
    seconds: float
    notes: tuple[str, ...] = ()
    to_look_at: str = ""  # how many notices there are among the notes, in words
    kept: str = ""  # how much an earlier build had made already, in words
    recorded: str = ""  # how many lessons were recorded and how large they are, in words


def load(folder: Path, keeping: Keeping | None = None) -> tuple[Content, JobSite]:
    """Content and job site, read and checked, in the site's main language. Raises Problems with every line there is.

    Texts that ``keeping`` knows to be sound are not looked at again. The content is what is shipped with the site's own lessons, words and sheets in their places.
    """
    try:
        shipped = content_folder()
    except Refusal as e:
        raise Problems([e.problem]) from None
    wrong: list[Problem] = []
    content = site = None
    try:
        site = read(folder, lesson_kinds(shipped, folder), published(shipped), languages_in((shipped, folder)))
    except SiteProblems as e:
        wrong += e.problems
    main = site.settings.languages[0] if site is not None else ENGLISH
    for code in site.settings.languages[1:] if site is not None else ():
        try:
            read_names(folder, code)
        except Refusals as e:
            wrong += e.problems
    try:
        with using(speech(main, shipped, folder)):
            rules = printed_in(site, main).rules if site is not None else US
            content = read_content(shipped, folder, sound(keeping), rules, language=main, main=main)
    except Refusals as e:
        wrong += e.problems
    except ReferenceProblem as e:
        wrong.append(e.problem)
    if wrong or content is None or site is None:
        raise Problems(wrong)
    with written_as(site.settings.writing):
        return content, _looked_over(content, site, shipped)


def _looked_over(content: Content, site: JobSite, shipped: Path) -> JobSite:
    """The site with all that is only to look at, but for what somebody looked at."""
    found = (*site.notices, *not_taught(content, site), *not_worked(content, site), *lines_not_taught(content, site), *skeletons(content))
    found = (*found, *doubts(site, today=datetime.date.today(), content=shipped))
    return settled(replace(site, notices=found))


def published(shipped: Path) -> Tables | None:
    """The published tables; None where they are damaged, which reading the content tells."""
    try:
        tables: Tables = load_tables(shipped)
    except ReferenceProblem:
        return None
    return tables


def render(folder: Path, progress: Progress, kept: PartCache | None = None) -> tuple[Tree, JobSite]:
    """The tree of a job site, with what of an earlier one is ``kept`` and still holds. Raises Problems."""
    return rendered(*load(folder), progress, kept, Keeping())


def rendered(
    content: Content, site: JobSite, progress: Progress, kept: PartCache | None, keeping: Keeping
) -> tuple[Tree, JobSite]:  # fmt: skip
    """The tree of what was read, in the main language, and the site with what was left out; ``keeping`` is what is kept on disk.

    Raises Problems.
    """
    keeping.still()
    with using(speech(content.language, content.folder, site.folder)):
        tree = render_tree(content, printed_in(site, content.language), progress, kept, store=keeping.store, program=keeping.program)
    keeping.still()
    if tree.problems:
        raise Problems(told(tree.problems))
    # what was left out is told, and is nothing that --strict could ask anybody to mend
    return tree, replace(site, notices=(*site.notices, *tree.notices))


def _work_on(
    code: str, site: JobSite, stage: Path, when: int, keeping: Keeping, progress: Progress, whole: bool
) -> Work:  # fmt: skip
    """All work on another language. Nobody sees how far it is where it goes on beside that on the main one."""
    return lambda beside: other_language(code, site, stage, when, keeping, silent if beside else progress, whole=whole)


def alike(tree: Tree, others: Mapping[str, Beside], progress: Progress) -> None:
    """Holds each other language, by its code, to the numbers and marks of the main one's ``tree``. Raises Problems."""
    wrong: list[Problem] = []
    for code, other in others.items():
        progress(own_name(code))
        found: Rendered = other.hear()
        wrong += found.problems
        if not found.problems and found.alike != tree.alike:
            other.tell(None)
            wrong += unlike(Likeness.of(tree), other.hear(), code)
    if wrong:
        raise Problems(wrong)


def strict_failure(site: JobSite) -> list[str]:
    """The last lines where ``--strict`` was asked for and there is something to look at: how to mend or settle it."""
    entries = [f"  {line}" for line in dict.fromkeys(entry_for(site, one) for one in site.notices) if line]
    if entries:
        entries = ["where the figures are right, say so in settings.yml, under looked_at:, with your name and the day:", *entries]
    return [*entries, f"{counted(site.notices)}, and --strict passes none; mend the figures, or leave --strict out"]


def _replaceable(out: Path) -> None:
    """A build puts a folder in the place of ``out``: what is no folder would be lost. Raises Problems."""
    if out.is_symlink():
        raise Problems(
            [
                Problem.of(
                    str(out),
                    None,
                    "is a link, and a build would put a folder in its place",
                    f"take it away, and copy {out / 'web'} to where it is published",
                )
            ]
        )
    if out.exists() and not out.is_dir():
        raise Problems([Problem.of(str(out), None, "is no folder, and a build would put one in its place", "move it away first")])
    if os.path.ismount(out):
        raise Problems([stuck(out).problem])
    try:
        refuse_changed(out)
    except InTheWay as e:
        raise Problems([e.problem]) from None


def _free(place: Path, out: Path) -> None:
    """The Markdown tree goes only where nothing can be lost. Raises Problems."""
    if place.resolve().is_relative_to(out.resolve()):
        raise Problems([Problem.of(str(place), None, f"lies in {out}, which every build replaces", "name a folder outside of it")])
    if place.exists() and (not place.is_dir() or any(place.iterdir())):
        raise Problems([Problem.of(str(place), None, "is there already and not empty", "name a new folder for the tree")])


def _not_yet(out: Path) -> set[str]:
    """Pages of the last build that only say that nothing is there yet: this build writes its own."""
    pages = [p for kept in KEPT for p in (out / "mentor" / kept).rglob("*.html") if p.is_file() and not p.is_symlink()]
    return {p.relative_to(out).as_posix() for p in pages if NOT_YET in p.read_text("utf-8", "replace")}


def _keeping(folder: Path, fresh: bool) -> Keeping:
    """What is kept for this build; nothing where the shipped content is missing, which reading it tells."""
    try:
        return Keeping.begun(folder, content_folder(), fresh=fresh)
    except Refusal:
        return Keeping()


def _edition(tree: Tree, site: JobSite, sheets: Iterable[Printed], ledger: str, stage: Path) -> Plan:
    """What is kept of the edition, so that its results and ``sheets`` can be read later, written into the stage. Raises Problems."""
    try:
        plan = prepare(site.folder, stage / "editions", site.settings.edition, edition_file(tree, site), ledger)
        keep_sheets(plan, site.folder, stage / "editions", list({sheet.code: sheet for sheet in sheets}.values()))
    except EditionDamaged as e:
        raise Problems([e.problem]) from None
    return plan


def _sheets(new: Path, codes: tuple[str, ...]) -> list[tuple[Path, Path]]:
    """All sheets of a new ``out``, each with the file it is printed to."""
    return [
        (page, page.with_suffix(".pdf"))
        for place in (*(new / "web" / place_of(code, codes) / "sheets" for code in codes), new / "mentor")
        for page in sorted(place.rglob("*.html"))
        if page.name != "index.html" and page.parent.name not in KEPT
    ]


@uncollected()
def build(
    folder: Path,
    progress: Progress,
    *,
    pdf: bool = False,
    keep_tree: Path | None = None,
    strict: bool = False,
    fresh: bool = False,
    audio: bool = False,
    audio_offline: bool = False,
) -> Built:
    """Build ``folder/out``. What was there stays until the new one is whole.

    With ``pdf`` the sheets are printed to PDF as well; ``keep_tree`` names a new folder for the
    Markdown tree and its ``mkdocs.yml``, as the site builder gets them. With ``audio`` lessons are recorded, which phones keep for
    reading without a signal only if ``audio_offline``. If ``strict``, what wants a
    look stops it too; if ``fresh``, nothing that earlier builds kept is used. Raises Problems, swap.Busy, SiteError,
    pdf.NoBrowser, pdf.PrintFailed, audio.NoSpeaker, audio.RecordingFailed or OSError.
    """
    start = time.perf_counter()
    if pdf:
        find_browser()  # say so before the long work
    if audio:
        find_programs()
    _replaceable(folder / "out")
    if keep_tree is not None:
        _free(keep_tree, folder / "out")
    progress("reading tables")
    keeping = _keeping(folder, fresh)
    content, site = load(folder, keeping)
    if strict and site.notices:
        raise StrictFailure(site)
    codes = site.settings.languages
    when = int(os.environ.get("SOURCE_DATE_EPOCH", FIXED_DATE))
    with staging(folder) as stage:
        new = stage / "out"
        whole = not (pdf or audio)  # else files come into the web folders that lists of theirs must name
        pieces = {code: _work_on(code, site, stage, when, keeping, progress, whole) for code in codes[1:]}
        with all_beside(pieces, wanted=whole) as others:
            tree, site = rendered(content, site, progress, None, keeping)
            alike(tree, others, progress)
            keeping.still()
            progress("building the web folder")
            figures = {lesson: str(made["figures"]) for lesson, made in tree.marking.items()}
            for other in others.values():
                other.tell(figures)
            ledger = write_language(tree, site, codes[0], stage, when, keeping)
            if whole:
                finish(new / "web", site, codes[0], keeping)
            written: dict[str, Written] = {code: other.hear() for code, other in others.items()}
        for code, made in written.items():
            made.take_in(stage, code)
            keeping.add(made.kept)
        if pdf:
            print_all(_sheets(new, codes), progress, when)
        recorded = str(record(new / "web", site.settings.units, progress, keeping.store, (content_folder(), folder))) if audio else ""
        if not whole:
            for code in reversed(codes):  # the main language last: the others lie in its folder
                finish(new / "web" / place_of(code, codes), site, code, keeping, recordings=audio_offline)
        write_headers(new / "web", new / "headers")
        write_server_files(new / "headers", site.settings.hand_in)
        write_manifest(new, [f"mentor/{kept}" for kept in KEPT])
        out, kept = folder / "out", [f"mentor/{kept}" for kept in KEPT]
        try:
            # what was printed or worked out since the last build stays, and what people put there
            carry(out, new, kept, _not_yet(out))
        except InTheWay as e:
            raise Problems([e.problem]) from None
        if keep_tree is not None:
            shutil.copytree(stage / "tree", keep_tree, dirs_exist_ok=True)
        plan = _edition(tree, site, [*tree.sheets, *(sheet for made in written.values() for sheet in made.sheets)], ledger, stage)
        progress("swapping the new handbook in")
        pend(stage, new, plan.moves)
        try:
            swap(new, out)
        except Stuck as e:
            raise Problems([e.problem]) from None
        plan.carry_out()
        if plan.first:  # of one that is kept already nobody knows the day
            note_day(site.folder, site.settings.edition, _today())
        keeping.done()
    line = site.settings.lines.get("edition")
    notes: tuple[str, ...] = (f"settings.yml{f':{line}' if line else ''}: {plan.note}",) if plan.note else ()
    pages = pages_of(tree) + sum(made.pages for made in written.values())
    notes += (*stale(out), *told_settled(site), *grouped(site.notices))
    to_look_at = counted(site.notices) if site.notices else ""
    return Built(folder / "out", pages, ledger.count('"page"'), time.perf_counter() - start, notes, to_look_at, keeping.told, recorded)
