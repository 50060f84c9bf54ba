"""A mentor's sign-offs as the phone page saves them: one JSON file, marked with the mentor's own code. Nothing is trusted.

``{"seatwork_signoffs": 1, mentor, site, edition, signed, entries: [{crew, lesson, machine, date, seen: [1, 3],
not_yet: [2], conditions, hours}], mac}``. ``seen`` and ``not_yet`` hold the numbers of the lesson's lines as the page
showed them, from 1, each once. ``mac`` is HMAC-SHA-256 (RFC 2104 and FIPS 198-1) of the file's JSON without it, keyed by
the 12 letters of the code: its first 32 hex digits. The JSON for it has sorted keys, no blanks and ASCII only.
"""

from __future__ import annotations

import datetime
import hashlib
import hmac
import re
import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from generator.jobsite.cells import BadCell, clean
from generator.jobsite.columns import CREW, ON_FOOT
from generator.jobsite.model import JobSite
from generator.language.words import said
from generator.records.flags import Refused
from generator.records.mentor_codes import Codes, MentorCode
from generator.records.results import canonical, too_deep
from generator.records.signoffs import SignOff
from generator.source.near import suggest

KEY = "seatwork_signoffs"
_FIELDS = (KEY, "mentor", "site", "edition", "signed", "entries", "mac")
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_MAC = re.compile(r"[0-9a-f]{32}", re.ASCII)
MOST_ENTRIES = 200  # lessons of one file
MOST_LINES = 60  # of one lesson
MOST_WORDS = 200  # letters of the conditions
MOST_HOURS = 24.0
_DAY = datetime.timedelta(days=1)  # a phone's day may be the one before or after UTC's
_AGAIN = said("ask the mentor for the file as the page saved it")


@dataclass(frozen=True, slots=True)
class Seen:
    """What the mentor ticked for one lesson: the numbers of its lines that were seen, and of those not yet."""

    signoff: SignOff
    seen: tuple[int, ...]
    not_yet: tuple[int, ...]

    @property
    def more(self) -> dict[str, Any]:
        """What a row keeps of it beside the sign-off."""
        return {"seen": list(self.seen), "not_yet": list(self.not_yet)}

    @property
    def whole(self) -> bool:
        """Whether every line was seen: only then it is a sign-off. Else it is kept as what was not seen yet."""
        return not self.not_yet


@dataclass(frozen=True, slots=True)
class SignedFile:
    """A file whose code fits. ``refused`` are entries that cannot count, each with its own reason; the others stand.

    ``old_code`` says that it was signed with a code that a new one has taken the place of since. The file's own time is
    the phone's: who found an old code could set the clock back, so one that comes in late wants a question to the mentor.
    """

    where: str
    mentor: str
    edition: str
    signed: datetime.datetime
    entries: tuple[Seen, ...]
    refused: tuple[Refused, ...]
    mac: str
    old_code: bool = False


def mac_of(value: Mapping[str, Any], code: str) -> str:
    """The mark of a file under a code's letters: 32 hex digits over everything but the mark itself."""
    text = canonical({k: v for k, v in value.items() if k != "mac"})
    return hmac.new(code.encode("ascii"), text.encode("ascii"), hashlib.sha256).hexdigest()[:32]


def read_signed(
    value: Any, where: str, codes: Codes, site: JobSite, lessons: Collection[str], latest: datetime.datetime, *,
    people: Mapping[str, str] | None = None, kinds: Mapping[str, str] | None = None, classes: Mapping[str, str] | None = None,
) -> SignedFile:  # fmt: skip
    """What a mentor signed on the phone. ``latest`` is the last moment a clock may show. Raises Refused for a whole file.

    ``people`` are names by crew id, ``kinds`` and ``classes`` those of the machines by id, where more are known than the tables
    hold now. Whether the mentor may sign for that kind of machine on that day, and whether the machine is one of the person's,
    is not asked here: it hangs on the tables as they stood then.
    """
    if not isinstance(value, dict) or KEY not in value:
        raise Refused("unreadable", said("this is no file of sign-offs"), _AGAIN)
    if too_deep(value):
        raise Refused("unreadable", said("it is nested far deeper than sign-offs are"), _AGAIN)
    if type(value[KEY]) is not int or value[KEY] != 1:
        raise Refused("foreign", said("the sign-offs have a layout this program does not know"), said("use the newest Seatwork"))
    missing = [k for k in _FIELDS if k not in value]
    if missing:
        raise Refused("truncated", said("it lacks {names}", names=", ".join(missing)), _AGAIN)
    mentor, site_key, edition = (_short(value[k], k) for k in ("mentor", "site", "edition"))
    mac, entries = value["mac"], value["entries"]
    if not isinstance(mac, str) or not _MAC.fullmatch(mac):
        raise Refused("altered", said("its mark is no mark"), _AGAIN)
    if not isinstance(entries, list) or not 0 < len(entries) <= MOST_ENTRIES:
        raise Refused("altered", said("its entries are no list of lessons"), _AGAIN)
    signed = _time(value["signed"])
    if site_key != site.settings.key:
        raise Refused(
            "foreign", said("it was signed for the site '{site_key}'", site_key=site_key), said("send it to that site's coordinator")
        )
    code = _fitting(value, mentor, mac, signed, codes)
    if signed > latest:
        raise Refused(
            "future",
            said("it was signed on {signed} UTC, which is still to come", signed=f"{signed:%Y-%m-%d at %H:%M}"),
            said("check the phone's clock, and have it signed again"),
        )
    if signed.date() < code.made - _DAY:
        raise Refused(
            "times",
            said("it says {signed}, and its code was made on {made}", signed=f"{signed:%Y-%m-%d}", made=code.made),
            said("check the phone's clock, and have it signed again"),
        )
    reader = _Entries(
        site, lessons, mentor, signed,
        {p.id: p.name for p in site.crew} if people is None else people,
        {m.id: m.kind for m in (*site.machines, *site.trucks)} if kinds is None else kinds, classes or {},
    )  # fmt: skip
    found: list[Seen] = []
    refused: list[Refused] = []
    for entry in entries:
        try:
            found.append(reader.read(entry))
        except Refused as e:
            crew, lesson = (entry.get(k) if isinstance(entry, dict) else "" for k in ("crew", "lesson"))
            refused.append(Refused(e.name, e.what, e.fix, *(x[:40] if isinstance(x, str) else "" for x in (crew, lesson))))
    return SignedFile(where, mentor, edition, signed, tuple(found), tuple(refused), mac, code.until is not None)


def _fitting(value: Mapping[str, Any], mentor: str, mac: str, signed: datetime.datetime, codes: Codes) -> MentorCode:
    own = codes.get(mentor, ())
    if not own:
        raise Refused(
            "unsigned",
            said("there is no code of a mentor '{mentor}'", mentor=mentor[:40]),
            suggest(mentor, codes, said("make one for that mentor, or have the paper sheet signed")),
        )
    try:
        fits = [c for c in own if hmac.compare_digest(mac_of(value, c.code), mac)]
    except (ValueError, RecursionError):  # a whole number of thousands of digits
        raise Refused("altered", said("it holds what the page cannot have written"), _AGAIN) from None
    if not fits:
        raise Refused(
            "unsigned",
            said("the code it was signed with is not that of {mentor}, or it was changed after", mentor=mentor),
            said("have the mentor sign again, with their own code"),
        )
    code = fits[-1]
    if code.until is not None and signed.date() > code.until:
        raise Refused(
            "unsigned",
            said("it was signed with a code of {mentor} that held until {until}", mentor=mentor, until=code.until),
            said("have the mentor sign again, with the new code"),
        )
    return code


def _short(value: Any, what: str) -> str:
    if not isinstance(value, str) or not value or len(value) > 80 or not value.isprintable():
        raise Refused("altered", said("its {what} is no short text", what=what), _AGAIN)
    return value


def _time(value: Any) -> datetime.datetime:
    if isinstance(value, str) and _TIME.fullmatch(value):
        try:
            return datetime.datetime.fromisoformat(value[:-1]).replace(tzinfo=datetime.UTC)
        except ValueError:
            pass
    raise Refused("altered", said("the time it was signed is no time"), _AGAIN)


def _parts(name: str) -> list[str]:
    """The words of a name in one order, without accents."""
    plain = "".join(ch for ch in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(ch))
    return sorted(re.findall(r"[^\W_]+", plain))


class _Entries:
    """Reads the entries of one file."""

    def __init__(
        self, site: JobSite, lessons: Collection[str], mentor: str, signed: datetime.datetime,
        people: Mapping[str, str], kinds: Mapping[str, str], classes: Mapping[str, str],
    ) -> None:  # fmt: skip
        self.site, self.lessons, self.mentor, self.signed = site, lessons, mentor, signed
        self.people, self.kinds, self.classes = people, {**kinds, ON_FOOT: ""}, classes
        self.former = {p.id: p.former_id for p in site.crew}
        self.name = next((m.name for m in site.mentors or () if m.id == mentor), "")
        self.taken: set[tuple[str, str, str]] = set()

    def read(self, entry: Any) -> Seen:
        """One entry. Raises Refused."""
        if not isinstance(entry, dict):
            raise Refused("altered", said("an entry is no entry"), _AGAIN)
        crew, lesson, machine = (_short(entry.get(k), k) for k in ("crew", "lesson", "machine"))
        if crew not in self.people:
            raise Refused(
                "foreign",
                said("no crew id '{crew}' in {table}", crew=crew[:40], table=self.site.table(CREW.file)),
                suggest(crew, self.people, said("check the id")),
            )
        if lesson not in self.lessons:
            raise Refused(
                "foreign", said("no lesson '{lesson}' here", lesson=lesson[:40]), suggest(lesson, self.lessons, said("use the lesson's id"))
            )
        if machine not in self.kinds:
            raise Refused(
                "foreign",
                said("no machine '{machine}' in the tables", machine=machine[:40]),
                suggest(machine, self.kinds, said("check the id")),
            )
        day = self._day(entry.get("date"))
        seen, not_yet = self._lines(entry.get("seen"), entry.get("not_yet"))
        conditions, hours = self._conditions(entry.get("conditions")), self._hours(entry.get("hours"))
        if self._same(crew):
            raise Refused("unsigned", said("nobody signs for himself or herself"), said("ask another mentor"))
        if (crew, lesson, machine) in self.taken:
            raise Refused("duplicate", said("the same lesson stands above in the same file"), said("nothing to do: the first one is read"))
        self.taken.add((crew, lesson, machine))
        signoff = SignOff(
            crew,
            lesson,
            machine,
            day,
            self.mentor,
            kind=self.kinds[machine],
            machine_class=self.classes.get(machine, ""),
            conditions=conditions,
            hours=hours,
        )
        return Seen(signoff, seen, not_yet)

    def _same(self, crew: str) -> bool:
        """Whether the mentor is the person: by id, by the id before, or by name in whatever order its parts stand."""
        if self.mentor.casefold() in {crew.casefold(), self.former.get(crew, "").casefold()}:
            return True
        mine = _parts(self.name)
        return bool(mine) and mine == _parts(self.people[crew])

    def _day(self, value: Any) -> datetime.date:
        try:
            day = datetime.date.fromisoformat(value) if isinstance(value, str) and _DATE.fullmatch(value) else None
        except ValueError:
            day = None
        if day is None:
            raise Refused("altered", said("its date is no date"), _AGAIN)
        if day > self.signed.date() + _DAY:
            raise Refused(
                "future", said("it is about {day}, a day after it was signed", day=day), said("check the date, and have it signed again")
            )
        return day

    @staticmethod
    def _lines(seen: Any, not_yet: Any) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Both lists of numbers: together 1, 2, 3 and so on, each once."""
        both = [seen, not_yet]
        if not all(isinstance(x, list) and len(x) <= MOST_LINES and all(type(n) is int for n in x) for x in both):
            raise Refused("altered", said("what was seen is no list of numbers"), _AGAIN)
        numbers = sorted([*seen, *not_yet])
        if not numbers or numbers != list(range(1, len(numbers) + 1)):
            raise Refused("altered", said("what was seen does not name each line of the lesson once"), _AGAIN)
        return tuple(sorted(seen)), tuple(sorted(not_yet))

    @staticmethod
    def _conditions(value: Any) -> str:
        if not isinstance(value, str) or len(value) > MOST_WORDS:
            raise Refused("altered", said("its conditions are no short text"), _AGAIN)
        try:
            return clean(value)
        except BadCell as e:
            raise Refused("altered", said("its conditions cannot be read: {what}", what=e.what), _AGAIN) from None

    @staticmethod
    def _hours(value: Any) -> float | None:
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= MOST_HOURS:
            raise Refused("altered", said("its hours are no hours of a day"), _AGAIN)
        return float(value)
