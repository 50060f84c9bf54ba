"""The editions a job site keeps: how to mark each one's results, and which numbers still hold."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from generator.language.words import said
from generator.quiz.edition import FOLDER
from generator.records.flags import Flag, Refused
from generator.source.jsontext import NotAsWritten, load_json, part, whole
from generator.units.table import SYSTEMS, System
from generator.working.ledger import SCALE

MOST_BYTES = 60_000_000
_HEAD = re.compile(r'\{"seatwork_edition": 1, "edition": ("(?:[^"\\]|\\.)*")')
_WORDS = re.compile(r"\s*\([^()0-9]*\)$")


@dataclass(frozen=True)
class LessonMarking:
    """One lesson of one edition, as it is marked."""

    id: str
    edition: str
    title: str
    about: str
    figures: str
    pass_mark: float
    questions: tuple[Mapping[str, Any], ...]
    ledger: Path  # where the numbers of these figures stand
    sets: tuple[tuple[int, ...], ...] = ()  # which questions a try may ask, by place; without any it asks all

    def asked(self, drawn: int | None) -> tuple[Mapping[str, Any], ...]:
        """The questions of a try: those of set ``drawn``, or all of them."""
        return self.questions if drawn is None else tuple(self.questions[i] for i in self.sets[drawn])


@dataclass(frozen=True, slots=True)
class Change:
    """A printed number of a lesson that is another one in the newer ledger.

    ``old`` and ``new`` are the printed texts (us, metric); ``new`` is empty where the number no
    longer stands there and ``old`` where it is new.
    """

    page: str
    place: str
    what: str
    old: tuple[tuple[str, str], ...]
    new: tuple[tuple[str, str], ...]
    series: bool = False  # a drawing made for many figures, which the reader moves through

    @property
    def holds_no_longer(self) -> bool:
        """Whether the number is still there, but another one."""
        return bool(self.old and self.new) and not self.series

    @property
    def words(self) -> str:
        """What the number is, in words: ``machine.stick_length`` is the machine's stick length."""
        owner, dot, name = self.what.partition(".")
        if not dot or not re.fullmatch(r"[a-z_]+\.[a-z0-9_.]+", self.what):
            return self.what
        plain = name.replace("_", " ").replace(".", " ")
        return f"{plain} of the {owner}" if owner in {"machine", "truck", "material", "job"} else f"{plain} ({owner})"

    @property
    def lesson(self) -> str:
        """Id of the lesson, or '' for a sheet."""
        return lesson_of(self.page)


def texts(values: Sequence[tuple[str, str]], units: System, most: int | None = None) -> str:
    """Printed numbers (us, metric) as one text, those of the site's own unit system first."""
    pairs = (pair if units == "us" else pair[::-1] for pair in values[:most])
    shown = ", ".join(own if own == other else f"{own} ({other})" for own, other in pairs)
    return shown + (", …" if most is not None and len(values) > most else "")


# what says again, for another machine or as a picture, what a lesson's own page, its tables and its drawings say
SAID_AGAIN = ("mine/", "pictures/", "index.html")


def lesson_of(page: str) -> str:
    """``lessons/ID.html`` is ID; '' for any other page."""
    return page.removeprefix("lessons/").removesuffix(".html") if page.startswith("lessons/") else ""


@dataclass
class Editions:
    """All editions kept in a job site's folder. An edition is read when something first asks for it."""

    newest: dict[tuple[str, str], LessonMarking] = field(default_factory=dict)  # (edition, lesson) of those read
    by_figures: dict[tuple[str, str, str], LessonMarking] = field(default_factory=dict)
    flags: list[Flag] = field(default_factory=list)
    _files: dict[str, list[Path]] = field(default_factory=dict)  # by edition, its own file first
    _read: set[str] = field(default_factory=set)
    _ledgers: dict[Path, list[dict[str, Any]] | None] = field(default_factory=dict)
    _changes: dict[tuple[Path, Path, str], list[Change]] = field(default_factory=dict)
    _questions: dict[tuple[str, str, str], Mapping[str, Mapping[str, Any]]] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """The editions that are kept, but for those that were found damaged."""
        return tuple(self._files)

    def read(self, edition: str) -> None:
        """Read an edition's files, once. One that cannot be read is flagged and left out."""
        if edition in self._read:
            return
        self._read.add(edition)
        good = []
        for path in self._files.get(edition, ()):
            try:
                data = _load(path)
                if data["edition"] != edition:
                    raise NotAsWritten("it is of another edition")
                marked = _lessons(data, path)
            except (NotAsWritten, OSError) as e:
                self.flags.append(_damaged(path, e))
                continue
            good.append(path)
            for m in marked:
                self.by_figures.setdefault((m.edition, m.id, m.figures), m)
                if path.name == f"{edition}.json":
                    self.newest[m.edition, m.id] = m
        if edition in self._files and not good:
            del self._files[edition]

    def title(self, lesson: str) -> str | None:
        """A lesson's title in any edition, the last one's first; None where no edition has it."""
        if not self.knows(lesson):
            return None
        return next((m.title for (_, i), m in reversed(self.newest.items()) if i == lesson), None)

    def knows(self, lesson: str) -> bool:
        """Whether any edition has a lesson. Where none of those read has it, all are read."""
        if any(i == lesson for _, i in self.newest):
            return True
        for edition in self.names:
            self.read(edition)
        return any(i == lesson for _, i in self.newest)

    def find(self, edition: str, lesson: str, figures: str | None) -> LessonMarking:
        """How a result is marked. ``figures`` may be its first digits only. Raises Refused."""
        self.read(edition)
        if edition not in self._files:
            raise Refused(
                "foreign", said("edition '{edition}' is not kept here", edition=edition[:40]), said("put its file back into editions/")
            )
        if figures is None:
            found = self.newest.get((edition, lesson))
        else:
            found = self.by_figures.get((edition, lesson, figures)) or next(
                (m for (e, i, f), m in self.by_figures.items() if e == edition and i == lesson and f.startswith(figures)),
                None,
            )
        if found is not None:
            return found
        if (edition, lesson) not in self.newest and not any(k[:2] == (edition, lesson) for k in self.by_figures):
            raise Refused(
                "foreign",
                said("edition {edition} has no lesson '{lesson}'", edition=edition, lesson=lesson[:40]),
                said("check which handbook it comes from"),
            )
        raise Refused("foreign", said('it was taken on figures of edition {edition} that are not kept here', edition=edition),
                      said('put the older files back into editions/, or ask for another try'))  # fmt: skip

    def resolved(self, lesson: LessonMarking) -> LessonMarking:
        """A lesson of a row of the register as its edition keeps it, with its ledger; as it is where that is not kept."""
        if lesson.questions:
            return lesson
        try:
            return self.find(lesson.edition, lesson.id, lesson.figures)
        except Refused:
            return replace(lesson, ledger=lesson.ledger.with_name(f"{lesson.edition}.{lesson.figures}.ledger.json"))

    def questions(self, lesson: LessonMarking) -> Mapping[str, Mapping[str, Any]]:
        """A lesson's questions by id, read from its edition where it came from the register; none where that is not kept."""
        key = (lesson.edition, lesson.id, lesson.figures)
        if key not in self._questions:
            found = self.resolved(lesson).questions
            self._questions[key] = {str(q["id"]): q for q in found}
        return self._questions[key]

    def lessons(self, edition: str) -> list[LessonMarking]:
        """The newest lessons of an edition, in the handbook's order."""
        self.read(edition)
        return [m for (e, _), m in self.newest.items() if e == edition]

    def rows(self, path: Path) -> list[dict[str, Any]] | None:
        """A ledger's numbers; None where it cannot be read."""
        if path not in self._ledgers:
            try:
                self._ledgers[path] = read_ledger(path).numbers
            except Refused:
                self._ledgers[path] = None
        return self._ledgers[path]

    def changed(self, old: LessonMarking, new: LessonMarking) -> list[Change] | None:
        """Numbers of the lesson that no longer hold; None where a ledger is missing."""
        if old.figures == new.figures:
            return []
        old = self.resolved(old)
        key = (old.ledger, new.ledger, old.id)
        if key not in self._changes:
            before, after = self.rows(old.ledger), self.rows(new.ledger)
            if before is None or after is None:
                return None
            page = f"lessons/{old.id}.html"
            found = changes([r for r in before if r["page"] == page], [r for r in after if r["page"] == page])
            self._changes[key] = [c for c in found if c.holds_no_longer]
        return self._changes[key]


def load_editions(folder: Path) -> Editions:
    """The editions kept below ``folder``: only how each file begins and ends is read here.

    A file that is no edition, or is cut off, is flagged and left out.
    """
    out = Editions()
    found: list[tuple[bool, str, Path]] = []
    for path in sorted((folder / FOLDER).glob("*.json")):
        if path.name.endswith(".ledger.json"):
            continue
        try:
            edition = _edition_of(path)
        except (NotAsWritten, OSError) as e:
            out.flags.append(_damaged(path, e))
            continue
        found.append((path.name != f"{edition}.json", edition, path))
    for _, edition, path in sorted(found, key=lambda f: f[0]):
        out._files.setdefault(edition, []).append(path)
    return out


def _damaged(path: Path, e: NotAsWritten | OSError) -> Flag:
    why = e.what if isinstance(e, NotAsWritten) else e.strerror or "it cannot be opened"
    return Flag(
        f"{FOLDER}/{path.name}",
        "unreadable",
        said("this edition cannot be read ({why})", why=why),
        said("put back the file the build wrote"),
    )


def _edition_of(path: Path) -> str:
    """The edition a file says it holds, by its first line; a file written otherwise is read whole."""
    with path.open("rb") as f:
        head = f.read(1000)
        f.seek(max(0, path.stat().st_size - 20))
        tail = f.read(20)
    if not tail.rstrip().endswith(b"}"):
        raise NotAsWritten("it is cut off")
    m = _HEAD.match(head.decode("utf-8", "replace"))
    if m is None:
        return str(_load(path)["edition"])
    try:
        return str(json.loads(m[1]))
    except ValueError:
        raise NotAsWritten("its first line is damaged") from None


def _load(path: Path) -> dict[str, Any]:
    data: dict[str, Any] = whole(load_json(path, MOST_BYTES), dict)
    if data.get("seatwork_edition") != 1:
        raise NotAsWritten("it is no edition")
    part(data, "edition", str)
    return data


def _lessons(data: Mapping[str, Any], path: Path) -> list[LessonMarking]:
    ledger = path.with_name(path.name.removesuffix(".json") + ".ledger.json")
    return [
        LessonMarking(
            str(id_), part(data, "edition", str), part(x, "title", str), part(x, "about", str), part(x, "figures", str),
            float(part(data, "pass_mark", (int, float))), tuple(marking_of(q) for q in part(x, "questions", list)), ledger,
            _sets(x),
        )
        for id_, x in part(data, "lessons", dict).items()
    ]  # fmt: skip


def _sets(lesson: Mapping[str, Any]) -> tuple[tuple[int, ...], ...]:
    """Which questions a try may ask; none in an edition whose tries asked them all. Raises NotAsWritten."""
    if "sets" not in lesson:
        return ()
    count = len(lesson["questions"])
    made = []
    for places in part(lesson, "sets", list):
        if not isinstance(places, list) or not places or not all(type(i) is int and 0 <= i < count for i in places):
            raise NotAsWritten("it asks for questions that are not there")
        made.append(tuple(places))
    return tuple(made)


def marking_of(q: Any) -> Mapping[str, Any]:
    """What marks one question, each part that marking reads of the kind it was written as. Raises NotAsWritten."""
    kind = part(q, "kind", str)
    part(q, "id", str), part(q, "ask", str), part(q, "must", bool)
    labels = part(q, "labels", list)
    if kind != "number":
        part(q, "count", int)
        _places(part(q, "right", list), labels)
    for variant in part(q, "variants", list):
        for system in SYSTEMS:
            one = part(variant, system, dict)
            if kind == "number":
                part(one, "unit", str)
                _spans(part(one, "accept", dict))
                for mistake in part(one, "mistakes", list):
                    if len(whole(mistake, list, "a mistake")) != 2:
                        raise NotAsWritten("a mistake is not what was written")
                    whole(mistake[0], str, "a mistake")
                    _spans(whole(mistake[1], dict, "a mistake"))
            else:
                _places(part(one, "order", list), labels)
                _places(part(one, "right", list) if "right" in one else [], labels)
    return dict(q)


def _places(found: Sequence[Any], labels: Sequence[Any]) -> None:
    """Raises NotAsWritten where ``found`` are not places of ``labels``."""
    if not all(type(i) is int and 0 <= i < len(labels) for i in found):
        raise NotAsWritten("a choice is not what was written")


def _spans(accept: Mapping[str, Any]) -> None:
    """Raises NotAsWritten where a unit is not given two figures."""
    for ends in accept.values():
        if len(whole(ends, list, "a span")) != 2:
            raise NotAsWritten("a span is not what was written")
        for end in ends:
            whole(end, (int, float), "a span")


# --- ledgers --------------------------------------------------------------------------------


@dataclass(frozen=True)
class LedgerFile:
    """A ledger as read; ``only`` names its pages where it holds a part of its edition.

    ``units`` is the site's own unit system, None where the ledger does not say.
    """

    path: Path
    site: str
    edition: str
    numbers: list[dict[str, Any]]
    only: frozenset[str] | None = None
    units: System | None = None


def read_ledger(path: Path) -> LedgerFile:
    """Read a ledger file. Raises Refused."""
    try:
        data = load_json(path, MOST_BYTES)
        if part(data, "ledger", int) != 1:
            raise NotAsWritten("its layout is another one")
        numbers = part(data, "numbers", list)
        for row in numbers:
            for key in ("page", "place", "what", "us", "metric"):
                part(row, key, str)
        only = frozenset(map(str, part(data, "only", list))) if "only" in data else None
        units = next((s for s in SYSTEMS if data.get("units") == s), None)
        return LedgerFile(path, part(data, "site", str), part(data, "edition", str), numbers, only, units)
    except FileNotFoundError:
        raise Refused("unreadable", said("there is no such file"), said("name a ledger.json, or an edition of the site")) from None
    except (NotAsWritten, OSError):
        raise Refused("unreadable", said("this is no ledger"), said("name a ledger.json that a build wrote")) from None


def _key(row: Mapping[str, Any]) -> tuple[str, str, str]:
    """Where a number stands, so that it can be found again in another edition.

    Rows of a table keep the machine they are about. Elsewhere the machine may be another one:
    whoever read the lesson read the figure of that place.
    """
    place = row["place"]
    return (row["page"], place if place.startswith("table") else place.partition(":")[0], row["what"])


def _figures(row: Mapping[str, Any]) -> tuple[str, str]:
    """The printed figures, without a caution in brackets after them: words are no number."""
    us, metric = (_WORDS.sub("", row[s]) for s in ("us", "metric"))
    return us, metric


def changes(old: Iterable[Mapping[str, Any]], new: Iterable[Mapping[str, Any]]) -> list[Change]:
    """What differs between two ledgers in the printed numbers, by page and place; scale bars aside."""
    before: dict[tuple[str, str, str], dict[tuple[str, str], None]] = {}
    after: dict[tuple[str, str, str], dict[tuple[str, str], None]] = {}
    for rows, found in ((old, before), (new, after)):
        for row in rows:
            if not row["place"].startswith(SCALE):
                found.setdefault(_key(row), {})[_figures(row)] = None
    out = []
    for key in sorted(before.keys() | after.keys()):
        gone = [v for v in before.get(key, {}) if v not in after.get(key, {})]
        come = [v for v in after.get(key, {}) if v not in before.get(key, {})]
        if gone or come:
            series = key[1] == "drawing" and max(len(before.get(key, {})), len(after.get(key, {}))) > 1
            out.append(Change(*key, tuple(gone), tuple(come), series))
    return out


def compare(old: LedgerFile, new: LedgerFile) -> list[Change]:
    """All changes between two ledgers, on the pages both hold."""
    only = old.only if new.only is None else new.only if old.only is None else old.only & new.only

    def kept(rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        return [r for r in rows if (only is None or r["page"] in only) and not r["page"].startswith(SAID_AGAIN)]

    return changes(kept(old.numbers), kept(new.numbers))
