"""The folder that several job sites of one contractor share: which it is, what may stand in it, and what a site makes of it.

A site's ``shared:`` names it. Its machines, trucks, materials, mentors, lift charts and texts come first, and the
site's own come after and win. Settings, the crew and all that is a record stay each site's own.
"""

from __future__ import annotations

import errno
import os
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast

from generator.jobsite import cells
from generator.jobsite.cells import BadCell, DateOrder
from generator.jobsite.columns import CREW, LIFT_CHART, MACHINES, MATERIALS, MENTORS, TRUCKS, Column
from generator.jobsite.workbook import Book
from generator.source.files import read_text
from generator.source.log import Log, printable
from generator.source.near import near
from generator.source.problem import Problem, Refusal, Severity
from generator.source.yamltext import MappingNode, ScalarNode, Unreadable, compose, is_blank, node_line

SETTINGS = "settings.yml"
TABLES = (MACHINES, TRUCKS, MATERIALS, LIFT_CHART, MENTORS)
"""The tables that may be shared."""

# tables and folders that are about one site's people and days, whatever its machines are
_EACH_SITES_OWN = (CREW.sheet, "signoffs", "hours", "talks", "retrain", "corrections")
_FOLDERS = ("results", "register", "editions", "out")
_TEXTS = ("lessons", "questions", "sheets", "look", "cautions.yml", "glossary.yml", "mistakes.yml", "cards.yml", "chapters.yml",
          "allowed-figures.yml")  # fmt: skip
_ORDER = Column("dates", "order of dates", "choice", us="month first", options=("month first", "day first"))


class WrongShared(Refusal):
    """What ``shared:`` names cannot be shared."""

    code = "shared"


@dataclass(frozen=True, slots=True)
class Shared:
    """A shared folder; ``at`` is how messages name it, as in ``../our-fleet``."""

    folder: Path
    at: str

    def under(self, file: str) -> str:
        """How messages name a file in it."""
        return f"{self.at}/{file}"

    def told(self, problem: Problem) -> Problem:
        """A problem of a file in it, told by the way that leads there from the site."""
        return replace(
            problem,
            file=self.under(problem.file),
            what=problem.what.replace("the job site folder", "the shared folder"),
            fix=problem.fix.replace("to settings.yml", f"to {self.under(SETTINGS)}"),
        )

    def move(self, log: Log) -> None:
        """Name a log's file by the way that leads there, in all that it holds as well."""
        log.problems = [self.told(p) for p in log.problems]
        log.notices = [self.told(p) for p in log.notices]
        log.file = printable(self.under(log.file))


def find_shared(site: Path, written: str) -> Shared:
    """The folder that a site's ``shared:`` names. Raises WrongShared."""
    text = written.strip().replace("\\", "/").rstrip("/")
    at = printable(text)[:80]
    if not text:
        raise WrongShared("no folder is named", "write the way to it from this folder, such as ../our-fleet")
    if text.startswith(("/", "~")) or re.match(r"[A-Za-z]:", text) or "\0" in text:
        raise WrongShared(f"'{at}' is a place on one computer alone", "write the way to it from this folder, such as ../our-fleet")
    home = site.resolve()
    place = Path(os.path.normpath(home / text))
    if place == home:
        raise WrongShared(f"'{at}' is this site's own folder", "name a folder beside it, such as ../our-fleet, or take the line out")
    if home.is_relative_to(place):
        raise WrongShared(f"this site lies in '{at}'", "put what is shared into a folder beside this one, such as ../our-fleet")
    if place.is_relative_to(home):
        beside = "/" not in text and not place.exists() and (home.parent / text).is_dir()
        fix = f"write ../{at}, the folder beside this one" if beside else "put it beside this one, where the other sites find it too"
        raise WrongShared(f"'{at}' lies in this site's own folder", fix)
    try:
        real = place.resolve(strict=True)
        names = {entry.name for entry in place.iterdir()}
    except FileNotFoundError:
        found = near(place.name, _beside(place))
        way = at[: at.rfind("/") + 1]
        fix = f"did you mean {way}{printable(found)}?" if found else "check the way to it from this folder"
        raise WrongShared(f"there is no folder '{at}'", fix) from None
    except NotADirectoryError:
        raise WrongShared(f"'{at}' is not a folder", "name the folder that holds what is shared") from None
    except (OSError, RuntimeError) as e:  # RuntimeError: a circle of links, in older versions
        circle = isinstance(e, RuntimeError) or e.errno == errno.ELOOP
        reason = "its links go round in a circle" if circle else getattr(e, "strerror", None) or "it cannot be opened"
        raise WrongShared(f"'{at}' cannot be read ({reason})", "check its access rights") from None
    if os.path.normcase(real) != os.path.normcase(place):
        raise WrongShared(f"'{at}' is a link, or leads through one", "name the folder itself, by the way that leads there without a link")
    if not (names & {*(t.file for t in TABLES), *_TEXTS} or any(n.lower().endswith((".csv", ".xlsx")) for n in names)):
        raise WrongShared(f"'{at}' holds nothing that a site could share",
                          f"put {MACHINES.file}, {TRUCKS.file}, {MENTORS.file} or texts there, or take the line out")  # fmt: skip
    return Shared(place, at)


def _beside(place: Path) -> list[str]:
    try:
        return sorted(entry.name for entry in place.parent.iterdir() if entry.is_dir())
    except OSError:
        return []


def shared_of(site: Path) -> Shared | None:
    """The folder a site shares, for who reads texts alone; None where there is none, or where reading its tables tells what is wrong with it."""
    written = said_in(site, "shared")
    try:
        return find_shared(site, written[0]) if written is not None else None
    except WrongShared:
        return None


def said_in(site: Path, *names: str) -> tuple[str, int] | None:
    """What a site's settings say under a name, or a name within it, and in which line; None where that cannot be read, or not so."""
    text = read_text(site, SETTINGS, "the site's settings", Log(SETTINGS)) if site.is_dir() else None
    try:
        node = compose(text, SETTINGS) if text is not None else None
    except Unreadable:
        return None
    for name in names:
        if not isinstance(node, MappingNode):
            return None
        named = [value for key, value in node.value if isinstance(key, ScalarNode) and key.value.strip() == name]
        if len(named) != 1:
            return None
        node = named[0]
    return (str(node.value).strip(), node_line(node)) if isinstance(node, ScalarNode) and not is_blank(node) else None


def is_shared_folder(folder: Path) -> bool:
    """Whether a folder without a site's settings holds tables that sites can share."""
    try:
        names = {entry.name for entry in folder.iterdir()}
    except OSError:
        return False
    return bool(names & {t.file for t in TABLES} or any(n.lower().endswith(".xlsx") for n in names))


def date_order(shared: Shared, log: Log) -> DateOrder | None:
    """How the shared tables write days with slashes, as the folder's own ``settings.yml`` says. What else stands there goes to ``log``.

    Never the site's own order: another site that shares the folder may have another.
    """
    if not os.path.lexists(shared.folder / SETTINGS):
        return None
    text = read_text(shared.folder, SETTINGS, "how its dates are written", log)
    if text is None:
        return None
    try:
        root = compose(text, log.file)
    except Unreadable as e:
        log.add(e.line, None, e.what, e.fix, Severity.UNREADABLE)
        return None
    if root is None or is_blank(root):
        return None
    if not isinstance(root, MappingNode):
        log.add(node_line(root), None, "names and values are expected here", "write dates: month first, or dates: day first",
                Severity.HEADINGS)  # fmt: skip
        return None
    keys = {key.value.strip(): (node_line(key), value) for key, value in root.value if isinstance(key, ScalarNode)}
    if "site" in keys:
        log.add(keys["site"][0], "site", "this folder is a job site of its own",
                "put what both share into a third folder, and name that one in both", Severity.UNREADABLE)  # fmt: skip
        return None
    if "shared" in keys:
        log.add(keys["shared"][0], "shared", "a shared folder shares none itself",
                "put what both hold into one folder", Severity.UNREADABLE)  # fmt: skip
        return None
    for key, (line, _) in keys.items():
        if key != "dates":
            log.add(line, printable(key)[:40], f"'{printable(key)[:40]}' is each site's own to say",
                    "only dates: stands in the settings of a shared folder", Severity.HEADINGS)  # fmt: skip
    if "dates" not in keys:
        return None
    line, value = keys["dates"]
    try:
        return cast(DateOrder, cells.choice(cells.clean(str(value.value)) if isinstance(value, ScalarNode) else "", _ORDER))
    except BadCell as e:
        log.add(line, "dates", e.what, e.fix)
        return None


def refuse_own(shared: Shared, book: Book | None, log: Log) -> None:
    """Tell what lies in a shared folder, or in its workbook, and is never shared."""
    fix = "move it into the folder of the site it is about"
    for sheet in book.sheets if book is not None else ():
        if book is not None and sheet.strip().casefold() in _EACH_SITES_OWN:
            log.problems.append(Problem(f"{book.file}[{printable(sheet)[:40]}]", None, None, "this is each site's own, and never shared", fix,
                                        Severity.UNREADABLE))  # fmt: skip
    for name in (*(f"{table}.csv" for table in _EACH_SITES_OWN), *_FOLDERS):
        if os.path.lexists(shared.folder / name):
            log.problems.append(Problem(name, None, None, "this is each site's own, and never shared", fix, Severity.UNREADABLE))
