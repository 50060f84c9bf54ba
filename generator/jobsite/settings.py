"""Reading ``settings.yml``: every key known, every line kept, every problem told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from types import MappingProxyType
from typing import TypedDict, TypeVar, cast

from generator.calc.rules import NAMES, US_FEDERAL, Name
from generator.jobsite import cells
from generator.jobsite.cells import BadCell, DateOrder
from generator.jobsite.columns import (
    JOB,
    JOB_BY_NAME,
    LEAD_KINDS,
    LIMITS,
    LIMITS_BY_NAME,
    ON_FOOT,
    OPERATED,
    RETIRED,
    SOIL_TYPES,
    Column,
    under_rules,
)
from generator.jobsite.model import LookedAt, MachineClass, OwnLimit, Paper, RecordRules, Role, Settings, Value
from generator.language.country import HOME, countries, signs
from generator.language.words import ENGLISH
from generator.source.log import Log
from generator.source.near import near, suggest, suggest_language
from generator.source.problem import Severity
from generator.source.yamltext import (
    MappingNode,
    Node,
    ScalarNode,
    SequenceNode,
    Unreadable,
    compose,
    is_blank,
    node_line,
)
from generator.units.errors import CalculationError
from generator.units.quantity import Limit, Quantity
from generator.units.table import KINDS, System, from_si
from generator.units.writing import THIN, Writing, settle

# every key of settings.yml that is not a figure: its meaning, whether it must be there, an example
KEYS: Mapping[str, tuple[str, bool, str]] = {
    "site": ("what the site is called", True, "site: {key: north-cut, name: North Cut}"),
    "site.key": ("short id of the site, used in file names", True, "key: north-cut"),
    "site.name": ("the site's name, as printed", True, "name: North Cut"),
    "site.invented": ("true for an example site that does not exist", False, "invented: true"),
    "site.note": ("a sentence about the site", False, "note: a cut and fill job"),
    "edition": ("which edition of the handbook this is", True, "edition: 2026-1"),
    "units": ("us or metric: the units the handbook opens in", True, "units: us"),
    "switch_units": (
        "yes or no: whether readers can change to the other units; if left out, no where units is metric and the country has no feet",
        False,
        "switch_units: yes",
    ),
    "language": ("the handbook's language, as two letters; en, English, if left out", False, "language: es"),
    "languages": ("the handbook's languages, the site's main one first", False, "languages: [en, es]"),
    "rules": (
        "whose rules the handbook tells of: us-federal, own (tables in the folder rules) or none; us-federal if left out",
        False,
        "rules: own",
    ),
    "country": (
        "the country the site is in, by its two letters of ISO 3166: numbers are written as there; US if left out",
        False,
        "country: US",
    ),
    "dates": (
        "month first or day first: how dates with slashes are read",
        False,
        "dates: month first",
    ),
    "passing_mark": ("share of a quiz that must be right", True, "passing_mark: 80%"),
    "quiz": ("how quizzes are drawn", False, "quiz: {draw: 8}"),
    "quiz.draw": ("how many questions of a lesson a try asks at most; 8 if left out", False, "draw: 8"),
    "sheets": ("how sheets are printed", False, "sheets: {paper: letter}"),
    "sheets.paper": ("letter or a4", False, "paper: letter"),
    "lead": (
        "ids used in worked examples; the first of each kind if left out",
        False,
        "lead: {dozer: D-1}",
    ),
    "roles": (
        "the roles on site and the lessons each needs",
        True,
        "roles: (role id, title, machines, lessons)",
    ),
    "limits": ("the site's own limits, and who set them", True, "limits: {decided_by: …}"),
    "limits.ask_first": ("when to ask that person first", True, "ask_first: [the ground changes]"),
    "looked_at": (
        "notices somebody looked at and found right",
        False,
        'looked_at: [{notice: bucket-load, at: E-1.bucket_capacity, seen: "2 yd³; 4,960 lb; 50,000 lb", by: A. Person, on: 2026-03-14}]',
    ),
    "job": ("the figures of the job used in worked examples", False, "job: {slot_length: 150 ft}"),
    "hand_in": ("the path on your web server where phones hand results in", False, "hand_in: /training/hand-in/"),
    "shared": ("a folder whose machines, trucks, materials, mentors and texts this site has too", False, "shared: ../our-fleet"),
    "records": ("the site's own rules for records of training", False, "records: {valid_months: 24, due_days: 60}"),
    "records.valid_months": ("months that a passed and signed lesson holds; without an end if left out", False, "valid_months: 24"),
    "records.lessons": ("lessons that hold another time", False, "lessons: {trench-walls: {valid_months: 12}}"),
    "records.due_days": ("days before its end from which a lesson is told as due; 60 if left out", False, "due_days: 60"),
    "records.sign_before_pass": ("yes if a mentor may sign before the quiz is passed; no if left out", False, "sign_before_pass: no"),
    "records.seat_time": ("what seat time under a mentor needs", False, "seat_time: {sign_offs: yes}"),
    "records.seat_time.sign_offs": ("whether it needs the mentor's sign-offs; yes if left out", False, "sign_offs: yes"),
    "records.short_codes": (
        "whether a short slip code counts at once, or is held until its file is there: count or hold; count if left out",
        False,
        "short_codes: count",
    ),
    "records.classes": (
        "classes of machines: a sign-off holds for the machines of its class",
        False,
        "classes: [{id: small-dozer, kind: dozer, up_to: 40000 lb}, {id: large-dozer, kind: dozer}]",
    ),
    "records.other_class": ("yes if a sign-off counts for the other classes of its kind too; no if left out", False, "other_class: no"),
    "records.keep_months": ("months after somebody left that the name is kept; 60 if left out", False, "keep_months: 60"),
    "records.away_days": ("days without seat time that are told as long away; never told if left out", False, "away_days: 90"),
    "records.place": ("where the training is given, as it stands on records", False, "place: Training yard, north gate"),
    "records.contractor": ("who employs those trained, as it stands on records", False, "contractor: Example Earthworks"),
    "records.site_number": ("the site's number with the authorities, as it stands on records", False, 'site_number: "00-00000"'),
}
ROLE_MEANINGS: Mapping[str, tuple[str, str]] = {
    "valid_months": ("months that a lesson holds for this role, where the lesson has no time of its own", "valid_months: 12"),
    "hours": ("hours under a mentor before anyone of this role works alone", "hours: 40 h"),
    "slope_hours": ("those of them on slopes", "slope_hours: 8 h"),
}
CLASS_KEYS = ("id", "kind", "up_to", "attachment")
OWN_LIMIT = (
    "own: {wind_for_lifting: {is: highest wind for lifting, value: 25 mph, way: most, decided_by: A. Person, decided_on: 2026-03-14}}"
)
OWN_LIMIT_KEYS = ("is", "value", "way", "decided_by", "decided_on")
LOOKED_AT_KEYS = ("notice", "at", "seen", "by", "on")
ROLE_KEYS = ("title", "machines", "lessons")
ROLE_MAY = ("lead", *ROLE_MEANINGS)  # what a role may say besides: the machines its lessons are shown for, and rules for its records
T = TypeVar("T")

_PASSING = Column("passing_mark", KEYS["passing_mark"][0], "fraction", "50%", "100%", "80%", "80%")
_DRAW = Column("draw", "number of questions a try asks", "count", "6", "60", "8", "8")
_UNITS = Column("units", "unit system", "choice", us="us", metric="metric", options=("us", "metric"))
_RULES = Column("rules", "set of rules", "choice", us=US_FEDERAL, metric=US_FEDERAL, options=NAMES)
_DATES = Column("dates", "order of dates", "choice", us="month first", options=("month first", "day first"))
_WAY = Column("way", "which way it limits", "choice", us="most", metric="most", options=("most", "least"))
_PAPER = Column("paper", "paper size", "choice", us="letter", metric="a4", options=("letter", "a4"))
_INVENTED = Column("invented", "answer", "choice", us="true", options=("true", "false", "yes", "no"))
_MACHINE = Column("machines", "kind of machine", "choice", us="dozer", options=(*OPERATED, ON_FOOT))
_KIND = Column("kind", "kind of machine", "choice", us="dozer", options=OPERATED)
_YES = Column("yes", "answer", "choice", us="yes", options=("yes", "no", "true", "false"))
_CODES = Column("short_codes", "rule for short codes", "choice", us="count", options=("count", "hold"))
_MONTHS = Column("valid_months", "months a lesson holds", "count", "1", "120", "24", "24")
_KEEP = Column("keep_months", "months a name is kept", "count", "1", "600", "60", "60")
_DAYS = Column("due_days", "days", "count", "1", "365", "60", "60")
_HOURS = Column("hours", "hours under a mentor", "time", "0 h", "5000 h", "40 h", "40 h")
_UP_TO = Column("up_to", "largest weight of the class", "mass", "500 lb", "1000000 lb", "60000 lb", "27 t")


@dataclass
class _Reader:
    log: Log
    lessons: Collection[str] | None
    lines: dict[str, int] = field(default_factory=dict)
    unsure_roles: set[str] = field(default_factory=set)
    units: System | None = None
    rules: Name = US_FEDERAL
    comma: bool = False  # the country has a decimal comma, so that 1,5 is a figure and 1,500 may be two
    missing_figures: list[Missing] = field(default_factory=list)

    # --- nodes ---

    def mapping(self, node: Node, path: str, example: str) -> dict[str, tuple[int, Node]]:
        """The entries of a mapping node with their lines; duplicate and odd keys are told."""
        line = node_line(node)
        if is_blank(node):
            return {}
        if not isinstance(node, MappingNode):
            self.log.add(line, path or None, "names and values are expected here", f"write it like {example}",
                         Severity.HEADINGS)  # fmt: skip
            return {}
        found: dict[str, tuple[int, Node]] = {}
        for key_node, value in node.value:
            key_line = node_line(key_node)
            if not isinstance(key_node, ScalarNode):
                self.log.add(key_line, path or None, "a name is expected before the colon",
                             f"write it like {example}", Severity.HEADINGS)  # fmt: skip
                continue
            try:
                key = cells.clean(key_node.value)
            except BadCell as e:
                self.log.add(key_line, path or None, e.what, e.fix, Severity.HEADINGS)
                continue
            dotted = f"{path}.{key}" if path else key
            if key in found:
                self.log.add(key_line, dotted, f"'{key[:40]}' stands twice (first in line {found[key][0]})",
                             "keep one of them", Severity.HEADINGS)  # fmt: skip
                continue
            found[key] = (key_line, value)
            self.lines[dotted] = key_line
        return found

    def known(self, found: dict[str, tuple[int, Node]], path: str, names: Collection[str], what: str) -> set[str]:
        """Tell of every key that is not one of ``names``; the names they were likely meant as."""
        guessed: set[str] = set()
        left = [n for n in names if n not in found and not (path == "job" and n in RETIRED)]
        for key, (line, _) in found.items():
            if key in names:
                continue
            if self.log.full:
                break
            meant = near(key, left)
            guessed |= {meant} if meant else set()
            fix = f"did you mean {meant}?" if meant else _still(what, left)
            dotted = f"{path}.{key[:40]}" if path else key[:40]
            self.log.add(line, dotted, f"unknown {what} '{key[:40]}'", fix, Severity.HEADINGS)
        return guessed

    def text(self, node: Node, path: str, line: int, example: str) -> str | None:
        """The cleaned words of a scalar, told and None where there are none."""
        if isinstance(node, MappingNode) and not node.flow_style:
            self.log.add(line, path, "there is a colon in this text", "put the whole text in quotes")
            return None
        if not isinstance(node, ScalarNode):
            self.log.add(line, path, "one value is expected here", f"write it like {example}")
            return None
        try:
            text = cells.clean(node.value)
        except BadCell as e:
            self.log.add(line, path, e.what, e.fix)
            return None
        if not text or is_blank(node):
            self.log.add(line, path, "the value is missing", f"write it like {example}")
            return None
        return text

    def list_of(self, node: Node, path: str, line: int, example: str) -> Iterator[tuple[int, str]]:
        """The texts of a list with their lines."""
        if is_blank(node):
            return
        if isinstance(node, ScalarNode):
            self.log.add(line, path, "a list is expected here", f"write it like {example}")
            return
        if not isinstance(node, SequenceNode):
            self.log.add(line, path, "a list is expected here", f"write it like {example}")
            return
        for item in node.value:
            text = self.text(item, path, node_line(item), example)
            if text is not None:
                yield node_line(item), text

    def taken(self, path: str, line: int, make: Callable[[str], T], text: str) -> T | None:
        """What ``make`` makes of ``text``, or None with its BadCell told."""
        try:
            return make(text)
        except BadCell as e:
            self.log.add(line, path, e.what, e.fix)
            return None

    def missing(self, path: str, line: int | None, meaning: str, example: str) -> None:
        """Tell of a setting that must be there."""
        self.log.add(line, path, f"{path} is missing ({meaning})", f"add {example}", Severity.HEADINGS)


def _still(what: str, left: Collection[str]) -> str:
    return f"take it out; a {what} can still be {_listed(left)}" if left else "take it out"


def _listed(names: Collection[str]) -> str:
    names = list(names)
    return ", ".join(names[:12]) + (f" and {len(names) - 12} more" if len(names) > 12 else "")


def _notice_lost_words(text: str, log: Log) -> None:
    """A # with a word right behind it is seldom meant as a note: Cut #4 is read as Cut."""
    for at, line in enumerate(text.split("\n"), 1):
        match = re.match(r"\s*(?:- )?\w+: +([^\s#'\"][^#'\"]*?) (#[^\s#]\S*)", line)
        if match:
            log.notice(at, None, f"'{match[1].strip()[:40]}' was read, and '{match[2][:20]}' left out, as what stands behind # is a note",
                       "put the whole value in quotes if it belongs to it", "lost-words")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Missing:
    """A figure that is not there, in the block ``path`` that stands in ``line``, and the lessons that need it; none for all."""

    path: str
    column: Column
    line: int | None
    lessons: tuple[str, ...]

    @property
    def example(self) -> str:
        """A value to write."""
        return self.column.expects if self.column.is_quantity else self.column.us


@dataclass(frozen=True, slots=True)
class Read:
    """What could be read of the settings: ``settings`` only if nothing is wrong with them.

    The rest is for checking the tables against them, as far as they were readable.
    """

    settings: Settings | None
    dates: DateOrder | None
    roles: Mapping[str, Role]
    role_ids: frozenset[str] | None
    lead: Mapping[str, tuple[int, str]]
    lesson_lead: Mapping[str, tuple[int, str]]
    job: Mapping[str, Value]
    limits: Mapping[str, Value]
    lines: Mapping[str, int]
    unsure_roles: frozenset[str] = frozenset()  # those whose list of machines has a mistake
    invented: bool = True
    shared: str | None = None  # empty where what stands there could not be read
    units: System | None = None
    missing: tuple[Missing, ...] = ()  # told once the tables say which lessons this site can have
    rules: Name = US_FEDERAL


UNREAD = Read(None, None, {}, None, {}, {}, {}, {}, {})


def read_settings(text: str, log: Log, lessons: Collection[str] | None, languages: Collection[str] | None = None) -> Read:
    """The settings in ``text``; problems go to ``log``. ``lessons`` are the ids there are, if known, and ``languages`` the
    codes of those that have words.
    """
    try:
        root = compose(text, log.file)
    except Unreadable as e:
        log.add(e.line, None, e.what, e.fix, Severity.UNREADABLE)
        return UNREAD
    if root is None or is_blank(root):
        log.add(None, None, "the file is empty", "start from a copy of the example", Severity.UNREADABLE)
        return UNREAD
    if not isinstance(root, MappingNode):
        log.add(node_line(root), None, "settings are expected, each with a name and a colon",
                "start from a copy of the example", Severity.UNREADABLE)  # fmt: skip
        return UNREAD
    _notice_lost_words(text, log)
    r = _Reader(log, lessons)
    top = r.mapping(root, "", "units: us")
    tops = [k for k in KEYS if "." not in k]
    guessed = r.known(top, "", tops, "setting")
    for wanted in tops:
        if KEYS[wanted][1] and wanted not in top and wanted not in guessed:
            r.missing(wanted, 1, KEYS[wanted][0], KEYS[wanted][2])

    site = _section(r, top, "site", ("key", "name", "invented", "note"))
    key = _scalar(r, site, "site", "key", cells.identifier)
    name = _scalar(r, site, "site", "name", cells.name)
    note = _scalar(r, site, "site", "note", str) or ""
    invented = _scalar(r, site, "site", "invented", lambda t: cells.choice(t, _INVENTED))
    edition = _scalar(r, top, "", "edition", cells.identifier)
    units = _scalar(r, top, "", "units", lambda t: cells.choice(t, _UNITS))
    rules = _scalar(r, top, "", "rules", _rules) or US_FEDERAL
    r.rules = rules
    country = _scalar(r, top, "", "country", _country) or HOME
    r.comma = signs(country)[0] == ","
    switch = _scalar(r, top, "", "switch_units", _answer)
    if r.comma:  # with thin spaces between thousands, as a point there could be read two ways where it is typed again
        settle(Writing(",", THIN, THIN))
    dates = _scalar(r, top, "", "dates", lambda t: cells.choice(t, _DATES))
    mark = _scalar(r, top, "", "passing_mark", lambda t: cells.quantity(t, _PASSING))
    quiz = _section(r, top, "quiz", ("draw",))
    asked = _scalar(r, quiz, "quiz", "draw", lambda t: cells.quantity(t, _DRAW))
    sheets = _section(r, top, "sheets", ("paper",))
    paper = _scalar(r, sheets, "sheets", "paper", lambda t: cells.choice(t, _PAPER))
    hand_in = _scalar(r, top, "", "hand_in", _server_path)
    shared = _scalar(r, top, "", "shared", str)
    spoken = _languages(r, top, languages)
    order = cast("DateOrder | None", dates)

    lead, lesson_lead = _lead(r, top)
    roles, role_ids = _roles(r, top)
    taught = {lesson for role in roles.values() for lesson in role.lessons}
    r.units = cast("System | None", units)
    limits, ask_first = _limits(r, top, taught, order)
    own_limits = _own_limits(r, top, limits, order)
    job = _figures(r, top, "job", JOB_BY_NAME, JOB, taught, order)
    looked_at = _looked_at(r, top, order)
    records = _records(r, top)
    settings = None
    if not log.problems and key and name and edition and units and mark:
        settings = Settings(
            key=key, name=name, invented=invented in {"true", "yes"}, note=note, edition=edition,
            units=cast(System, units), passing_mark=mark,
            paper=cast(Paper, paper or ("letter" if units == "us" else "a4")), lead=MappingProxyType({}),
            roles=MappingProxyType(roles), limits=MappingProxyType(limits), ask_first=ask_first,
            job=MappingProxyType(job), lines=MappingProxyType(r.lines), dates=order, looked_at=looked_at,
            asked=int(asked.figure) if asked else None,
            own_limits=MappingProxyType(own_limits), records=records, hand_in=hand_in, shared=shared, rules=rules,
            languages=spoken, country=country, switch=switch,
        )  # fmt: skip
    return Read(
        settings,
        order,
        roles,
        role_ids,
        lead,
        lesson_lead,
        job,
        limits,
        r.lines,
        frozenset(r.unsure_roles),
        invented in {"true", "yes"},
        shared if shared is not None or "shared" not in top else "",
        cast("System | None", units),
        tuple(r.missing_figures),
        rules,
    )


def _languages(r: _Reader, top: Entries, known: Collection[str] | None) -> tuple[str, ...]:
    """The codes under ``language:`` or ``languages:``, the site's main one first; English where there are none."""
    if "language" in top and "languages" in top:
        r.log.add(top["languages"][0], "languages", f"language stands here too (line {top['language'][0]})",
                  "keep languages, the main one first, and take language out")  # fmt: skip
        return (ENGLISH,)
    if "language" in top:
        one = _scalar(r, top, "", "language", lambda t: _language(t, known))
        return (ENGLISH,) if one is None else (one,)
    if "languages" not in top:
        return (ENGLISH,)
    line, node = top["languages"]
    found: list[str] = []
    before = len(r.log.problems)
    for at, text in r.list_of(node, "languages", line, KEYS["languages"][2]):
        if r.log.full:
            break
        code = r.taken("languages", at, lambda t: _language(t, known), text)
        if code in found:
            r.log.add(at, "languages", f"{code} stands twice", "keep one of them")
        elif code is not None:
            found.append(code)
    if not found and len(r.log.problems) == before:
        r.log.add(line, "languages", "the list is empty", f"write it like {KEYS['languages'][2]}")
    return tuple(found) or (ENGLISH,)


def _language(text: str, known: Collection[str] | None) -> str:
    """The code of a language that has words. Raises BadCell."""
    code = cells.language(text, {ENGLISH, *(known or ())})
    if known is not None and code not in {ENGLISH, *known}:
        there = sorted({ENGLISH, *known})
        fix = suggest_language(code, there, f"write one of {_listed(there)}, or put its words into the folder {code}")
        raise BadCell(f"there are no words in the language '{code}'", fix)
    return code


def _rules(text: str) -> Name:
    return cast(Name, cells.choice(text, _RULES))


def _country(text: str) -> str:
    """A country's two letters. Raises BadCell."""
    wanted = " ".join(text.split())
    if wanted.upper() in ({HOME} if wanted.upper() == HOME else countries()):
        return wanted.upper()
    named = next((code for code, name in countries().items() if name.casefold() == wanted.casefold()), None)
    named = named or _ALSO_CODED.get(wanted.upper().replace(".", ""))
    raise BadCell(f"'{wanted[:40]}' is no country's two letters of ISO 3166",
                  f"write {named}" if named else "write them, such as US, MX, PR, ES, AR or CL")  # fmt: skip


_ALSO_CODED = {"USA": "US", "UK": "GB", "MEX": "MX", "ESP": "ES", "ARG": "AR", "CHL": "CL", "PRI": "PR", "CAN": "CA",
               "ESPAÑA": "ES", "MÉXICO": "MX", "EEUU": "US"}  # fmt: skip


# what a path may hold: it goes into a web server's settings and into pages as it is
_SERVER_PATH = re.compile(r"/(?:[A-Za-z0-9_-][A-Za-z0-9._-]*/)+")


def _server_path(text: str) -> str:
    """A folder's path on a web server, from its root, with a slash at both ends."""
    text = text.strip()
    made = text if text.endswith("/") else f"{text}/"
    if not _SERVER_PATH.fullmatch(made):
        raise BadCell(
            f"'{text[:60]}' is no path of a folder on a web server",
            "write it from the server's root, of letters, digits, dashes and slashes, such as /training/hand-in/",
        )
    return made


def _can_hold(node: Node | None) -> bool:
    """Whether entries can be missing from it: what is no mapping at all was told already."""
    return node is None or is_blank(node) or isinstance(node, MappingNode)


Entries = dict[str, tuple[int, Node]]


def _section(r: _Reader, top: Entries, path: str, names: tuple[str, ...]) -> Entries:
    if path not in top:
        return {}
    line, node = top[path]
    found = r.mapping(node, path, KEYS[path][2])
    guessed = r.known(found, path, names, f"setting of {path}")
    for name in names if _can_hold(node) else ():
        meaning, required, example = KEYS[f"{path}.{name}"]
        if required and name not in found and name not in guessed:
            r.missing(f"{path}.{name}", line, meaning, example)
    return found


def _scalar(r: _Reader, entries: Entries, path: str, key: str, make: Callable[[str], T]) -> T | None:
    dotted = f"{path}.{key}" if path else key
    if key not in entries:
        return None
    at, node = entries[key]
    text = r.text(node, dotted, at, KEYS[dotted][2])
    return None if text is None else r.taken(dotted, at, make, text)


def _lead(r: _Reader, top: Entries) -> tuple[dict[str, tuple[int, str]], dict[str, tuple[int, str]]]:
    """The ids under ``lead:``, by kind and by lesson, each with its line."""
    if "lead" not in top:
        return {}, {}
    found = r.mapping(top["lead"][1], "lead", KEYS["lead"][2])
    spaced = {key.replace("_", " "): entry for key, entry in found.items()}
    r.known(spaced, "lead", (*LEAD_KINDS, "lessons"), "kind")
    lead: dict[str, tuple[int, str]] = {}
    for kind, (line, node) in spaced.items():
        if kind in LEAD_KINDS:
            text = r.text(node, f"lead.{kind}", line, f"{kind}: an id from its table")
            if text is not None:
                lead[kind] = (line, text)
    of_lessons: dict[str, tuple[int, str]] = {}
    if "lessons" in spaced:
        for lesson, (line, node) in r.mapping(spaced["lessons"][1], "lead.lessons", "lessons: {bench-height: E-1}").items():
            if r.lessons is not None and lesson not in r.lessons:
                r.log.add(line, "lead.lessons", f"there is no lesson '{lesson[:60]}'",
                          suggest(lesson, r.lessons, "use the ids of the lessons in the handbook"), Severity.REFERENCE)  # fmt: skip
                continue
            text = r.text(node, f"lead.lessons.{lesson[:40]}", line, f"{lesson[:40]}: an id from its table")
            if text is not None:
                of_lessons[lesson] = (line, text)
    return lead, of_lessons


def _roles(r: _Reader, top: Entries) -> tuple[dict[str, Role], frozenset[str] | None]:
    if "roles" not in top:
        return {}, None
    line, node = top["roles"]
    found = r.mapping(node, "roles", KEYS["roles"][2])
    if not found and not _can_hold(node):
        return {}, None
    if not found:
        r.log.add(
            line,
            "roles",
            "there are no roles",
            "add at least one role with title, machines and lessons",
        )
        return {}, None
    roles: dict[str, Role] = {}
    folded: dict[str, str] = {}
    for id_, (at, body) in found.items():
        if r.log.full:
            break
        path = f"roles.{id_[:40]}"
        r.taken(path, at, cells.identifier, id_)
        if id_.casefold() in folded:
            r.log.add(at, path, f"the role '{id_[:40]}' is too much like '{folded[id_.casefold()]}'",
                      "give one of them another id")  # fmt: skip
        folded[id_.casefold()] = id_[:40]
        example = "title: Dozer operator"
        entries = r.mapping(body, path, example)
        guessed = r.known(entries, path, (*ROLE_KEYS, *ROLE_MAY), "setting of a role")
        for key in ROLE_KEYS if _can_hold(body) else ():
            if key not in entries and key not in guessed:
                r.log.add(at, path, f"the role has no {key}", f"add {key}: to it", Severity.HEADINGS)
        title = ""
        if "title" in entries:
            text = r.text(entries["title"][1], f"{path}.title", entries["title"][0], example)
            if text is not None:
                title = r.taken(f"{path}.title", entries["title"][0], cells.name, text) or ""
        before = len(r.log.problems)
        machines = _role_machines(r, entries, path)
        if "machines" not in entries or len(r.log.problems) > before:
            r.unsure_roles.add(id_)
        on_foot = machines == (ON_FOOT,)
        machines = () if on_foot else machines
        lessons = _role_lessons(r, entries, path)
        roles[id_] = Role(id_, title, machines, lessons, at, _role_lead(r, entries, path), on_foot, **_role_rules(r, entries, path))
    return roles, frozenset(found)


class _RoleRules(TypedDict):
    valid_months: int | None
    hours: float | None
    slope_hours: float | None


def _role_rules(r: _Reader, entries: Entries, path: str) -> _RoleRules:
    """What a role says of its records: months, and hours of seat time."""
    months = _whole(r, entries, path, "valid_months", _MONTHS, ROLE_MEANINGS["valid_months"][1])
    hours, slopes = (_value(r, entries, path, key, _hours, ROLE_MEANINGS[key][1]) for key in ("hours", "slope_hours"))
    if hours is not None and slopes is not None and slopes > hours:
        r.log.add(entries["slope_hours"][0], f"{path}.slope_hours", f"slope_hours ({slopes:g} h) is more than hours ({hours:g} h)",
                  "hours on slopes are among all hours: write as many hours or more", Severity.REFERENCE)  # fmt: skip
    return {"valid_months": months, "hours": hours, "slope_hours": slopes}


def _hours(text: str) -> float:
    """Hours, from any unit of time. Raises BadCell."""
    return float(from_si(cells.quantity(text, _HOURS).si, "h", "time"))


def _value(r: _Reader, entries: Entries, path: str, key: str, make: Callable[[str], T], example: str) -> T | None:
    """What ``make`` makes of the setting ``key`` of ``path``, where it is there and can be read."""
    if key not in entries:
        return None
    at, node = entries[key]
    text = r.text(node, f"{path}.{key}", at, example)
    return None if text is None else r.taken(f"{path}.{key}", at, make, text)


def _whole(r: _Reader, entries: Entries, path: str, key: str, column: Column, example: str) -> int | None:
    """A whole number within the range of ``column``."""
    found = _value(r, entries, path, key, partial(cells.quantity, column=column), example)
    return None if found is None else int(found.figure)


def _answer(text: str) -> bool:
    """Yes or no. Raises BadCell."""
    return cells.choice(text, _YES) in {"yes", "true"}


def _records(r: _Reader, top: Entries) -> RecordRules:
    """The section ``records:``; what it leaves out is as RecordRules has it."""
    path = "records"
    names = tuple(k.removeprefix(f"{path}.") for k in KEYS if k.startswith(f"{path}.") and k.count(".") == 1)
    found = _section(r, top, path, names)
    seat = r.mapping(found["seat_time"][1], "records.seat_time", KEYS["records.seat_time"][2]) if "seat_time" in found else {}
    r.known(seat, "records.seat_time", ("sign_offs",), "setting of seat_time")
    usual = RecordRules()

    def answer(entries: Entries, where: str, key: str, otherwise: bool) -> bool:
        said = _scalar(r, entries, where, key, _answer)
        return otherwise if said is None else said

    def whole(key: str, column: Column) -> int | None:
        return _whole(r, found, path, key, column, KEYS[f"{path}.{key}"][2])

    codes = _scalar(r, found, path, "short_codes", lambda t: cells.choice(t, _CODES))
    place, contractor, number = (_scalar(r, found, path, key, cells.name) or "" for key in ("place", "contractor", "site_number"))
    return RecordRules(
        valid_months=whole("valid_months", _MONTHS),
        lesson_months=MappingProxyType(_lesson_months(r, found)),
        due_days=whole("due_days", _DAYS) or usual.due_days,
        sign_before_pass=answer(found, path, "sign_before_pass", usual.sign_before_pass),
        seat_time_signed=answer(seat, "records.seat_time", "sign_offs", usual.seat_time_signed),
        count_codes=(codes or "count") == "count",
        classes=_classes(r, found),
        class_only=not answer(found, path, "other_class", not usual.class_only),
        keep_months=whole("keep_months", _KEEP) or usual.keep_months,
        away_days=whole("away_days", _DAYS),
        place=place, contractor=contractor, site_number=number,
    )  # fmt: skip


def _lesson_months(r: _Reader, found: Entries) -> dict[str, int]:
    """``lessons:`` of the records: the months that each of some lessons holds."""
    path, months = "records.lessons", {}
    if "lessons" not in found:
        return {}
    for lesson, (line, node) in r.mapping(found["lessons"][1], path, KEYS[path][2]).items():
        if r.log.full:
            break
        if r.lessons is not None and lesson not in r.lessons:
            r.log.add(line, path, f"there is no lesson '{lesson[:60]}'", suggest(lesson, r.lessons, "use the ids of the lessons in the handbook"),
                      Severity.REFERENCE)  # fmt: skip
            continue
        where = f"{path}.{lesson[:60]}"
        if isinstance(node, ScalarNode):
            r.log.add(
                line, where, "names and values are expected here", f"write it like {lesson[:60]}: {{valid_months: 12}}", Severity.HEADINGS
            )
            continue
        entries = r.mapping(node, where, "valid_months: 12")
        guessed = r.known(entries, where, ("valid_months",), "setting of a lesson")
        if "valid_months" not in entries and not guessed:
            r.log.add(line, where, "the lesson has no valid_months", "add valid_months: to it, or take it out", Severity.HEADINGS)
        held = _whole(r, entries, where, "valid_months", _MONTHS, "valid_months: 12")
        if held is not None:
            months[lesson] = held
    return months


def _classes(r: _Reader, found: Entries) -> tuple[MachineClass, ...]:
    """``classes:`` of the records, in their order: of those a machine fits, the first is its class."""
    path, example = "records.classes", KEYS["records.classes"][2]
    line, node = found.get("classes", (0, None))
    if node is None or is_blank(node):
        return ()
    if not isinstance(node, SequenceNode):
        r.log.add(line, path, "a list is expected here", f"write it like {example}", Severity.HEADINGS)
        return ()
    classes: list[MachineClass] = []
    for item in node.value:
        if r.log.full:
            break
        one = _class(r, item, example)
        if one is None:
            continue
        at = node_line(item)
        twin = next((c for c in classes if c.id.casefold() == one.id.casefold()), None)
        above = next((c for c in classes if _takes_all(c, one)), None)
        if twin is not None:
            r.log.add(at, f"{path}.id", f"the class '{one.id}' is too much like '{twin.id}' above", "give one of them another id")
        elif above is not None:
            r.log.add(at, path, f"no machine comes to the class {one.id}, as {above.id} above takes all that fit it",
                      "put the class with the smaller up_to first, and one for an attachment above one for any", Severity.REFERENCE)  # fmt: skip
        classes.append(one)
        r.lines[f"{path}.{one.id}"] = at
    return tuple(classes)


def _class(r: _Reader, item: Node, example: str) -> MachineClass | None:
    path, at, before = "records.classes", node_line(item), len(r.log.problems)
    if isinstance(item, ScalarNode):
        r.log.add(at, path, "names and values are expected here", f"write it like {example}", Severity.HEADINGS)
        return None
    kept = dict(r.lines)
    entries = r.mapping(item, path, example)
    r.lines.clear()
    r.lines.update(kept)  # the names of its settings are those of every class
    guessed = r.known(entries, path, CLASS_KEYS, "setting of a class")
    for key in ("id", "kind"):
        if key not in entries and key not in guessed and len(r.log.problems) == before:
            r.log.add(at, path, f"the class has no {key}", f"write it like {example}", Severity.HEADINGS)
    id_ = _value(r, entries, path, "id", _class_id, "id: small-dozer")
    kind = _value(r, entries, path, "kind", lambda t: cells.choice(t, _KIND), "kind: dozer")
    up_to = _value(r, entries, path, "up_to", partial(cells.quantity, column=_UP_TO), "up_to: 60000 lb")
    fitted = _value(r, entries, path, "attachment", cells.name, "attachment: ripper") or ""
    if id_ is None or kind is None or len(r.log.problems) > before:
        return None
    return MachineClass(id_, kind, up_to.si if up_to is not None else None, " ".join(fitted.casefold().split()))


def _class_id(text: str) -> str:
    """The id of a class; the kinds' own names are for machines of no class. Raises BadCell."""
    id_ = cells.identifier(text)
    if id_.casefold() in OPERATED:
        raise BadCell(f"'{id_}' is the name of a kind of machine", f"write an id of its own, such as small-{id_.casefold()}")
    return id_


def _takes_all(above: MachineClass, below: MachineClass) -> bool:
    """Whether every machine that fits ``below`` fits ``above``."""
    return (
        above.kind == below.kind and above.attachment in {"", below.attachment}
        and (above.up_to is None or (below.up_to is not None and below.up_to <= above.up_to))
    )  # fmt: skip


def machine_kind(text: str) -> str:
    """A kind of machine, or ``on foot``. Raises BadCell."""
    return cells.choice(text, _MACHINE)


def _role_machines(r: _Reader, entries: Entries, path: str) -> tuple[str, ...]:
    if "machines" not in entries:
        return ()
    kinds: list[str] = []
    line, node = entries["machines"]
    for at, text in r.list_of(node, f"{path}.machines", line, "machines: [dozer]"):
        kind = r.taken(f"{path}.machines", at, machine_kind, text)
        if kind in kinds:
            r.log.add(at, f"{path}.machines", f"{kind} stands twice", "keep one of them")
        elif kind is not None:
            kinds.append(kind)
    if ON_FOOT in kinds and len(kinds) > 1:
        r.log.add(line, f"{path}.machines", f"a role on foot runs no machine, and here it has {len(kinds) - 1}",
                  "take 'on foot' out, or make a role of its own for those on foot")  # fmt: skip
    return tuple(kinds)


def _role_lead(r: _Reader, entries: Entries, path: str) -> tuple[str, ...]:
    """The ids under ``lead:`` of a role: one, or a list."""
    if "lead" not in entries:
        return ()
    line, node = entries["lead"]
    if isinstance(node, ScalarNode):
        text = r.text(node, f"{path}.lead", line, "lead: D-2")
        return () if text is None else (text,)
    return tuple(text for _, text in r.list_of(node, f"{path}.lead", line, "lead: [D-2]"))


_LESSON_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def _role_lessons(r: _Reader, entries: Entries, path: str) -> tuple[str, ...]:
    if "lessons" not in entries:
        return ()
    lessons: list[str] = []
    line, node = entries["lessons"]
    where = f"{path}.lessons"
    before = len(r.log.problems)
    for at, text in r.list_of(node, where, line, "lessons: [stop-work]"):
        if r.log.full:
            break
        if r.lessons is not None and text not in r.lessons:
            r.log.add(at, where, f"there is no lesson '{text[:60]}'",
                      suggest(text, r.lessons, "use the ids of the lessons in the handbook"),
                      Severity.REFERENCE)  # fmt: skip
        elif not _LESSON_ID.fullmatch(text) or len(text) > 80:
            r.log.add(at, where, f"'{text[:60]}' is no lesson id", "write an id such as stop-work")
        elif text in lessons:
            r.log.add(at, where, f"the lesson {text} stands twice", "keep one of them")
        else:
            lessons.append(text)
    if not lessons and len(r.log.problems) == before:
        r.log.add(line, where, "the role has no lessons", "list at least one, such as stop-work")
    return tuple(lessons)


def _looked_at(r: _Reader, top: Entries, order: DateOrder | None) -> tuple[LookedAt, ...]:
    """``looked_at:``, a list of entries with a name and a day each."""
    path, example = "looked_at", KEYS["looked_at"][2]
    line, node = top.get(path, (0, None))
    if node is None or is_blank(node):
        return ()
    if not isinstance(node, SequenceNode):
        r.log.add(line, path, "a list is expected here", f"write it like {example}")
        return ()
    found: list[LookedAt] = []
    for item in node.value:
        if r.log.full:
            break
        at = node_line(item)
        before = len(r.log.problems)
        entries = r.mapping(item, path, example)
        guessed = r.known(entries, path, LOOKED_AT_KEYS, "part of an entry")
        said = {k: r.text(v, f"{path}.{k}", n, example) or "" for k, (n, v) in entries.items() if k in LOOKED_AT_KEYS}
        for key in LOOKED_AT_KEYS:
            if key not in entries and key not in guessed and len(r.log.problems) == before:
                r.log.add(at, path, f"the entry has no {key}", f"write it like {example}", Severity.HEADINGS)
        name = r.taken(f"{path}.by", at, cells.name, said.get("by", "")) if said.get("by") else None
        day = r.taken(f"{path}.on", at, lambda t: cells.date(t, order), said.get("on", "")) if said.get("on") else None
        if len(r.log.problems) == before and name and day:
            found.append(LookedAt(said["notice"], said["at"], " ".join(said["seen"].split()), name, day, at))
    return tuple(found)


def _limits(r: _Reader, top: Entries, taught: Collection[str], order: DateOrder | None) -> tuple[dict[str, Value], tuple[str, ...]]:
    if "limits" not in top:
        return {}, ()
    line, node = top["limits"]
    ask: list[str] = []
    if isinstance(node, MappingNode):
        for key_node, value in node.value:
            if key_node.value == "ask_first":
                at = node_line(key_node)
                before = len(r.log.problems)
                for said, text in r.list_of(value, "limits.ask_first", at, KEYS["limits.ask_first"][2]):
                    if len(text) > 200:
                        r.log.add(
                            said,
                            "limits.ask_first",
                            "the line is longer than 200 characters",
                            "shorten it",
                        )
                    ask.append(text)
                if not ask and len(r.log.problems) == before:
                    r.log.add(at, "limits.ask_first", "the list is empty",
                              "say at least once when to ask first")  # fmt: skip
                break
        else:
            r.missing("limits.ask_first", line, KEYS["limits.ask_first"][0], KEYS["limits.ask_first"][2])
    found = _figures(r, top, "limits", LIMITS_BY_NAME, LIMITS, taught, order, extra=("ask_first", "own"))
    return found, tuple(ask)


_OWN_NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")


def _own_limits(r: _Reader, top: Entries, limits: Mapping[str, Value], order: DateOrder | None) -> dict[str, OwnLimit]:
    """Limits of any name under ``limits: own:``, each with what it limits, a value with its unit, and who decided."""
    node = top["limits"][1] if "limits" in top else None
    if not isinstance(node, MappingNode):
        return {}
    found: dict[str, OwnLimit] = {}
    entry = next((pair for pair in node.value if pair[0].value == "own"), None)
    for name, (line, body) in r.mapping(entry[1], "limits.own", OWN_LIMIT).items() if entry is not None else ():
        if r.log.full:
            break
        path = f"limits.own.{name[:40]}"
        if not _OWN_NAME.fullmatch(name):
            r.log.add(
                line, path, f"'{name[:40]}' is no name for a limit", "use small letters, digits and underscores, such as wind_for_lifting"
            )
            continue
        entries = r.mapping(body, path, OWN_LIMIT)
        r.known(entries, path, OWN_LIMIT_KEYS, "setting of a limit of the site's own")
        texts = {k: r.text(n, f"{path}.{k}", at, OWN_LIMIT) or "" for k, (at, n) in entries.items() if k in OWN_LIMIT_KEYS}
        lacks = next((k for k in ("is", "value") if not texts.get(k)), None)
        if lacks:
            if lacks not in entries:  # what stands there and could not be read was told
                r.log.add(line, path, f"the limit has no {lacks}", f"write it like {OWN_LIMIT}", Severity.HEADINGS)
            continue
        by = texts.get("decided_by") or str(limits.get("decided_by", ""))
        on = r.taken(f"{path}.decided_on", line, lambda t: str(cells.date(t, order)), texts["decided_on"]) if texts.get("decided_on") \
            else str(limits.get("decided_on", ""))  # fmt: skip
        way = r.taken(f"{path}.way", line, lambda t: cells.choice(t, _WAY), texts["way"]) if texts.get("way") else ""
        value = r.taken(f"{path}.value", entries["value"][0], _any_quantity, texts["value"])
        if value is not None:
            meaning = r.taken(f"{path}.is", entries["is"][0], cells.name, texts["is"]) or ""
            found[name] = OwnLimit(name, meaning, replace(value, limit=cast(Limit, way or "")), by, on or "", line)
    return found


def _any_quantity(text: str) -> Quantity:
    """A figure with a unit of any kind. Raises BadCell."""
    for kind in KINDS.values():
        try:
            value = Quantity.read(text, kind.key)
        except CalculationError:
            continue
        if value.unit not in {"1", ":1"} or ":" in text:
            return value
    raise BadCell(f"'{text[:40]}' is no figure with a unit known here", "write a figure and its unit, such as 25 mph, 3 ft or 60%")


def _figures(
    r: _Reader, top: Entries, path: str, by_name: Mapping[str, Column], columns: tuple[Column, ...],
    taught: Collection[str], order: DateOrder | None, extra: tuple[str, ...] = (),
) -> dict[str, Value]:  # fmt: skip
    line, node = top.get(path, (None, None))
    found = r.mapping(node, path, KEYS[path][2]) if node is not None else {}
    guessed = r.known(found, path, (*by_name, *extra), "figure" if path == "job" else "limit")
    values: dict[str, Value] = {}
    for key, (at, value_node) in found.items():
        column = by_name.get(key)
        if column is None:
            continue
        dotted = f"{path}.{key}"
        column = under_rules(column.told_in(r.units, comma=r.comma), r.rules)
        text = r.text(value_node, dotted, at, f"{key}: {column.expects}")
        value = None if text is None else r.taken(dotted, at, partial(_figure, column=column, order=order, comma=r.comma), text)
        if value is not None:
            values[key] = value
    for column in columns if _can_hold(node) else ():
        if column.name in found or column.name in guessed or (column.options == SOIL_TYPES and r.rules == "none"):
            continue
        wanted_by = sorted(column.needed_for & set(taught))
        if "*" in column.needed_for or wanted_by:
            r.missing_figures.append(Missing(path, column.told_in(r.units), line, tuple(wanted_by)))
    return values


def _figure(text: str, column: Column, order: DateOrder | None, comma: bool = False) -> Value:
    if column.is_quantity:
        return cells.quantity(text, column, comma_decimals=comma)
    if column.kind == "choice":
        return cells.choice(text, column)
    if column.kind == "date":
        day: datetime.date = cells.date(text, order)
        return day.isoformat()
    return cells.name(text)
