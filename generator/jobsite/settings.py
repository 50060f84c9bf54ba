"""Reading ``settings.yml``: every key known, every line kept, every problem told."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from types import MappingProxyType
from typing import TypeVar, cast

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
    Column,
)
from generator.jobsite.model import LookedAt, OwnLimit, Paper, Role, Settings, Value
from generator.source.log import Log
from generator.source.near import near, suggest
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
from generator.units.table import KINDS, System

# every key of settings.yml that is not a figure: its meaning, whether it must be there, an example
KEYS: Mapping[str, tuple[str, bool, str]] = {
    "site": ("what the site is called", True, "site: {key: north-cut, name: North Cut}"),
    "site.key": ("short id of the site, used in file names", True, "key: north-cut"),
    "site.name": ("the site's name, as printed", True, "name: North Cut"),
    "site.invented": ("true for an example site that does not exist", False, "invented: true"),
    "site.note": ("a sentence about the site", False, "note: a cut and fill job"),
    "edition": ("which edition of the handbook this is", True, "edition: 2026-1"),
    "units": ("us or metric: the units the handbook opens in", True, "units: us"),
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
}
OWN_LIMIT = (
    "own: {wind_for_lifting: {is: highest wind for lifting, value: 25 mph, way: most, decided_by: A. Person, decided_on: 2026-03-14}}"
)
OWN_LIMIT_KEYS = ("is", "value", "way", "decided_by", "decided_on")
LOOKED_AT_KEYS = ("notice", "at", "seen", "by", "on")
ROLE_KEYS = ("title", "machines", "lessons")
ROLE_MAY = ("lead",)  # what a role may say besides: the machines its lessons are shown for
T = TypeVar("T")

_PASSING = Column("passing_mark", KEYS["passing_mark"][0], "fraction", "50%", "100%", "80%", "80%")
_DRAW = Column("draw", "number of questions a try asks", "count", "6", "60", "8", "8")
_UNITS = Column("units", "unit system", "choice", us="us", metric="metric", options=("us", "metric"))
_DATES = Column("dates", "order of dates", "choice", us="month first", options=("month first", "day first"))
_WAY = Column("way", "which way it limits", "choice", us="most", metric="most", options=("most", "least"))
_PAPER = Column("paper", "paper size", "choice", us="letter", metric="a4", options=("letter", "a4"))
_INVENTED = Column("invented", "answer", "choice", us="true", options=("true", "false", "yes", "no"))
_MACHINE = Column("machines", "kind of machine", "choice", us="dozer", options=(*OPERATED, ON_FOOT))


@dataclass
class _Reader:
    log: Log
    lessons: Collection[str] | None
    lines: dict[str, int] = field(default_factory=dict)
    unsure_roles: set[str] = field(default_factory=set)

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


UNREAD = Read(None, None, {}, None, {}, {}, {}, {}, {})


def read_settings(text: str, log: Log, lessons: Collection[str] | None) -> Read:
    """The settings in ``text``; problems go to ``log``. ``lessons`` are the ids there are, if known."""
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
    dates = _scalar(r, top, "", "dates", lambda t: cells.choice(t, _DATES))
    mark = _scalar(r, top, "", "passing_mark", lambda t: cells.quantity(t, _PASSING))
    quiz = _section(r, top, "quiz", ("draw",))
    asked = _scalar(r, quiz, "quiz", "draw", lambda t: cells.quantity(t, _DRAW))
    sheets = _section(r, top, "sheets", ("paper",))
    paper = _scalar(r, sheets, "sheets", "paper", lambda t: cells.choice(t, _PAPER))
    order = cast("DateOrder | None", dates)

    lead, lesson_lead = _lead(r, top)
    roles, role_ids = _roles(r, top)
    taught = {lesson for role in roles.values() for lesson in role.lessons}
    limits, ask_first = _limits(r, top, taught, order)
    own_limits = _own_limits(r, top, limits, order)
    job = _figures(r, top, "job", JOB_BY_NAME, JOB, taught, order)
    looked_at = _looked_at(r, top, order)
    settings = None
    if not log.problems and key and name and edition and units and mark:
        settings = Settings(
            key=key, name=name, invented=invented in {"true", "yes"}, note=note, edition=edition,
            units=cast(System, units), passing_mark=mark,
            paper=cast(Paper, paper or ("letter" if units == "us" else "a4")), lead=MappingProxyType({}),
            roles=MappingProxyType(roles), limits=MappingProxyType(limits), ask_first=ask_first,
            job=MappingProxyType(job), lines=MappingProxyType(r.lines), dates=order, looked_at=looked_at,
            asked=int(asked.figure) if asked else None,
            own_limits=MappingProxyType(own_limits),
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
    )


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
        roles[id_] = Role(id_, title, machines, _role_lessons(r, entries, path), at, _role_lead(r, entries, path), on_foot)
    return roles, frozenset(found)


def _machine_kind(text: str) -> str:
    return cells.choice(text, _MACHINE)


def _role_machines(r: _Reader, entries: Entries, path: str) -> tuple[str, ...]:
    if "machines" not in entries:
        return ()
    kinds: list[str] = []
    line, node = entries["machines"]
    for at, text in r.list_of(node, f"{path}.machines", line, "machines: [dozer]"):
        kind = r.taken(f"{path}.machines", at, _machine_kind, text)
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
        text = r.text(value_node, dotted, at, f"{key}: {column.expects}")
        value = None if text is None else r.taken(dotted, at, partial(_figure, column=column, order=order), text)
        if value is not None:
            values[key] = value
    for column in columns if _can_hold(node) else ():
        if column.name in found or column.name in guessed:
            continue
        wanted_by = sorted(column.needed_for & set(taught))
        if "*" in column.needed_for or wanted_by:
            reason = f"lesson {wanted_by[0]} needs it" if wanted_by else "it must be known"
            example = Quantity.read(column.us, column.kind) if column.is_quantity else column.us
            written = column.us if isinstance(example, Quantity) else example
            r.log.add(line, f"{path}.{column.name}", f"{path} has no {column.name} ({column.meaning}); {reason}",
                      f"add {column.name}: with a value such as {written}", Severity.HEADINGS)  # fmt: skip
    return values


def _figure(text: str, column: Column, order: DateOrder | None) -> Value:
    if column.is_quantity:
        return cells.quantity(text, column)
    if column.kind == "choice":
        return cells.choice(text, column)
    if column.kind == "date":
        day: datetime.date = cells.date(text, order)
        return day.isoformat()
    return cells.name(text)
