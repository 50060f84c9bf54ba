"""An invented class over two years for an invented site: results, slips, sign-offs, seat time, talks, and the usual mishaps.

``python -m generator.records.demo_class site_demo`` writes ``site_demo/results``, and into
``site_demo/editions`` an earlier edition that a part of the class was taken on, and invented days on
which the editions were first built. Where the site has no register yet it begins one with the people
and roles as they were before. The same edition gives the same class. Nobody in it exists, and it
writes only to a site that says of itself that it is invented.
"""

from __future__ import annotations

import csv
import io
import json
import math
import random
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from generator.jobsite.classes import class_of
from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Person, works
from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import csv_text
from generator.quiz.edition import DAYS, FOLDER
from generator.records.answers import KEYS, typed_for
from generator.records.desk import open_desk
from generator.records.editions import LessonMarking, load_editions
from generator.records.letters import LETTERS, sum_letters
from generator.records.results import KINDS, check_of
from generator.register.store import FILE
from generator.source.problem import Refusal, Refusals
from generator.units.table import System

_PLAIN = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
FIRST_DAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
_CLASS = re.compile(r"[A-Z]+-[0-9]+_[a-z0-9-]+_[0-9]\.json|x-[a-z-]+\.(json|txt)")  # what this program writes
EARLIER_BUILT, BUILT = date(2024, 5, 1), date(2026, 2, 16)  # the days on which the two editions were first built
LAST_TALK = date(2026, 4, 22)
LAST_DAY = date(2026, 4, 29)  # the last of which anything is


def figure(low: float, high: float) -> str:
    """A figure between two ends as a person types it: no more digits than it takes."""
    middle = (low + high) / 2
    for digits in range(12):
        text = f"{middle:.{digits}f}"
        if low <= float(text) <= high:
            return text.rstrip("0").rstrip(".") if "." in text else text
    return repr(middle)


def an_answer(q: Mapping[str, Any], variant: int, units: System, rng: random.Random, *, right: bool) -> str | list[int]:
    """A right answer, or a wrong one that shows a usual mistake."""
    v = q["variants"][variant][units]
    if q["kind"] == "number":
        ends = v["accept"][v["unit"]]
        if right:
            return figure(*ends)
        accepts = [accept for _, accept in v["mistakes"] if v["unit"] in accept]
        return figure(*accepts[min(rng.randrange(3), len(accepts) - 1)][v["unit"]]) if accepts else figure(ends[1] * 3, ends[1] * 4)
    good, count = [i for i in v.get("right", q["right"]) if i in v["order"]], int(q["count"])
    if right:
        return good
    if q["kind"] == "order":
        i = rng.randrange(count - 1)
        return [*good[:i], good[i + 1], good[i], *good[i + 2 :]]
    others = [i for i in sorted(v["order"]) if i not in good]
    if q["kind"] == "several":
        return sorted([*good[1:], *others[:1]])
    return [others[min(rng.randrange(2), len(others) - 1)]]


def result_file(
    lesson: LessonMarking, site: str, crew: str, started: datetime, rng: random.Random, rights: Sequence[bool], units: System,
    language: str = "",
) -> dict[str, Any]:  # fmt: skip
    """A result file as the player writes it. ``rights`` is by question asked; where a try asks some, a set is drawn.
    ``language`` is the code of the page's; without it, the file is one of before pages said theirs."""
    answers = []
    at = started
    drawn = rng.randrange(len(lesson.sets)) if lesson.sets else None
    for q, right in zip(lesson.asked(drawn), rights, strict=True):
        at += timedelta(seconds=rng.randint(20, 90))
        variant = rng.randrange(len(q["variants"]))
        answers.append({
            "q": q["id"], "variant": variant, "units": units,
            "answer": an_answer(q, variant, units, rng, right=right), "at": f"{at:%Y-%m-%dT%H:%M:%SZ}",
        })  # fmt: skip
    score = int(100 * sum(rights) / len(rights) + 0.5) / 100
    file: dict[str, Any] = {
        "seatwork_result": 1, "crew": crew, "lesson": lesson.id, "edition": lesson.edition, "site": site, "units": units,
        "pass_mark": lesson.pass_mark, "started": f"{started:%Y-%m-%dT%H:%M:%SZ}", "finished": answers[-1]["at"], "tries": 1,
        "answers": answers, "score_shown": int(score) if score == int(score) else score, "figures": lesson.figures,
    }  # fmt: skip
    if drawn is not None:
        file["set"] = drawn
    if language:
        file["language"] = language
    return file | {"check": check_of(file)}


def count_of(lesson: LessonMarking) -> int:
    """How many questions a try asks."""
    return len(lesson.asked(0 if lesson.sets else None))


def slip_code(file: Mapping[str, Any], lesson: LessonMarking) -> str:  # noqa: C901  the layout reads in its order
    """The slip's code of a result (layout: see the player)."""
    bits: list[str] = []

    def put(value: int, width: int) -> None:
        bits.append(f"{value:0{width}b}")

    def words(text: str) -> None:
        put(0, 1)
        put(len(text), 6)
        for ch in text:
            put(_PLAIN.index(ch), 6)

    drawn, language = file.get("set"), file.get("language", "")
    put(5 if language else 2 if drawn is None else 3, 4)
    for key in ("crew", "lesson", "edition"):
        words(file[key])
    put(int(file["figures"][:5], 16), 20)
    for letter in language:
        put(ord(letter) - ord("a"), 5)
    if language:
        put(drawn is not None, 1)
    if drawn is not None:
        put(drawn, 8)
    finished = datetime.fromisoformat(file["finished"][:-1]).replace(tzinfo=UTC)
    put(int((finished - datetime(2020, 1, 1, tzinfo=UTC)).total_seconds() // 60), 25)
    put(len(file["answers"]), 6)
    for a, q in zip(file["answers"], lesson.asked(drawn), strict=True):
        put(a["units"] == "metric", 1)
        put(KINDS.index(q["kind"]), 3)
        put(a["variant"], 8)
        if q["kind"] == "number":
            typed = typed_for(a["answer"], q["variants"][a["variant"]][a["units"]])
            if typed.sign:
                put(13, 4)
            for part in typed.parts:
                for ch in part.plain:
                    put("0123456789./ -".index(ch), 4)
                if part.unit:
                    put(14, 4)
                    put(KEYS.index(part.unit), 8)
            put(15, 4)
        elif q["kind"] == "several":
            put(q["count"], 5)
            for i in range(q["count"]):
                put(i in a["answer"], 1)
        elif q["kind"] == "order":
            put(q["count"], 5)
            for i in a["answer"]:
                put(i, 5)
        else:
            put(a["answer"][0], 5)
    line = "".join(bits)
    line += "0" * (-len(line) % 20)
    code = "".join(LETTERS[int(line[i : i + 5], 2)] for i in range(0, len(line), 5))
    code += sum_letters(code)
    return "-".join(code[i : i + 4] for i in range(0, len(code), 4))


@dataclass(frozen=True)
class Written:
    """How many files of results, and in words what the earlier edition had different."""

    files: int
    earlier: str


@dataclass(frozen=True)
class Story:
    """What is told of one person, beside what is told of everybody.

    ``before`` are lessons passed on the earlier edition, with their days; those in ``stands`` were not taken again since.
    ``under`` is the id he or she had then, ``on`` a machine that was signed on then. ``done`` is the share of the role's
    lessons that was taken on the present edition, ``signs`` how many of them a mentor has signed. ``seat`` are hours of seat
    time with a mentor by machine: on the level, on slopes. ``role`` is an earlier one.
    ``drives`` are days of work alone on the first machine. ``in_main`` are lessons taken in the site's main language by
    somebody who is taught in another one.
    """

    before: Mapping[str, str] = field(default_factory=dict)
    stands: tuple[str, ...] = ()
    under: str = ""
    on: str = ""
    done: float = 1.0
    signs: int = 99
    seat: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    role: str = ""
    drives: tuple[str, ...] = ()
    in_main: tuple[str, ...] = ()


BANK, BENCH, WALLS, WEAR, TIP = "bank-loose-compacted", "bench-height", "trench-walls", "reverse-is-wear", "at-the-tip"
DRIVES = ("2024-08-20", "2025-01-14", "2025-06-10", "2025-11-18", "2026-04-14")
HARD = "reading-grades"  # a lesson that most fail at first
STORIES: Mapping[str, Story] = {
    "P-01": Story({BANK: "2024-05-14", WEAR: "2024-05-21"}, seat={"D-1": (30, 10), "D-3": (6, 0)}, drives=DRIVES),  # works alone
    "P-02": Story({BANK: "2024-09-10"}, seat={"D-1": (20, 4), "D-2": (7.5, 0)}, drives=(*DRIVES[1:3], "2025-09-12")),  # not alone; long away
    "P-03": Story(done=0.5, signs=4, seat={"D-4": (6, 0)}),  # new
    "P-04": Story({BANK: "2024-05-15", BENCH: "2024-05-22", WALLS: "2024-10-22"}),
    "P-05": Story({BANK: "2025-02-10", BENCH: "2025-02-12"}, (BENCH,)),  # passed by the longer stick's numbers
    "P-06": Story({BANK: "2025-03-25", BENCH: "2025-04-02", WALLS: "2025-04-08"}, (WALLS,)),  # lapsed
    "P-07": Story({BANK: "2024-05-13", TIP: "2024-05-27"}, (BANK,), on="T-2"),  # will lapse soon; signed on a machine sold since
    "P-08": Story({BANK: "2024-10-07", TIP: "2024-10-14"}, (BANK,), under="A-14"),  # came from another company with another id
    "P-09": Story({BANK: "2025-03-19"}),
    "P-10": Story(done=0.6, signs=3),  # new
    # will lapse soon; that pass is from before there were pages in Spanish, and two more were taken in English
    "P-11": Story({WALLS: "2025-05-28"}, (WALLS,), in_main=("signals", "seeing-people")),
    "P-12": Story(done=0.5, signs=5),  # new
    "P-13": Story({BANK: "2024-05-16", WEAR: "2024-05-23"}, seat={"D-2": (26, 18), "E-1": (12, 0)}, role="dozer-operator", drives=DRIVES),  # alone on one of the two
    "P-14": Story(seat={"D-4": (12, 4)}),
    "P-15": Story({WALLS: "2025-03-18"}),
    "P-16": Story(signs=3),  # has passed everything and waits for a mentor
    "P-17": Story({WALLS: "2024-06-04", TIP: "2024-06-11"}),
    "P-18": Story({BANK: "2024-06-12", WEAR: "2024-06-19"}, done=0, seat={"D-1": (18, 2)}, drives=DRIVES[:3]),  # has left
}  # fmt: skip
USUAL = Story()


def write_class(folder: Path) -> Written:
    """Write the class into ``folder/results``, in place of the last one.

    Raises SiteProblems, Refusal or OSError.
    """
    from generator.records.demo_edition import LESSONS, NAME, earlier_edition

    site = read(folder)
    if not site.settings.invented:
        raise Refusal("this site is not invented", "the demo class is only for one that is", file=str(folder))
    lessons = {m.id: m for m in load_editions(folder).lessons(site.settings.edition)}
    if not lessons:
        raise Refusal("no edition is kept here", "run seatwork build first", file=str(folder))
    earlier = earlier_edition(site, LESSONS & lessons.keys())
    for name, text in (earlier.files if earlier else {}).items():
        (folder / FOLDER / name).write_bytes(text.encode())
    days = {NAME: EARLIER_BUILT, site.settings.edition: BUILT} if earlier else {site.settings.edition: BUILT}
    (folder / DAYS).write_bytes(_with_days(folder / DAYS, days).encode())
    old = {m.id: m for m in load_editions(folder).lessons(NAME)} if earlier else {}
    place = folder / "results"
    place.mkdir(exist_ok=True)
    texts = _Class(site, lessons, old).texts()
    for path in sorted(place.glob("*")):
        if _CLASS.fullmatch(path.name) and path.name not in texts:
            path.unlink()
    for name, text in texts.items():
        (place / name).write_bytes(text.encode())
    if earlier and not (folder / FILE).exists():
        _as_it_was(site, NAME, tuple(old))
    return Written(len(texts), earlier.what if earlier else "")


def _as_it_was(site: JobSite, edition: str, taught: Sequence[str]) -> None:
    """Begin the site's register with what its tables said before: other people, other roles, fewer lessons. Raises RegisterFault."""
    was = date(2024, 10, 7)
    crew = []
    for p in site.crew:
        story = STORIES.get(p.id, USUAL)
        if story.under:
            crew.append(replace(p, id=story.under, start=was, former_id="", left=None, language=""))
        elif p.start is not None and p.start <= was:
            role = story.role if story.role in site.settings.roles else p.role
            kinds = site.settings.roles[role].machines
            own = tuple(m.id for m in (*site.machines, *site.trucks) if m.id in {*p.machines, story.on} and m.kind in kinds)
            crew.append(replace(p, role=role, machines=own, left=None, role_from=None, language=""))
    roles = {r.id: replace(r, lessons=tuple(i for i in r.lessons if i in taught)) for r in site.settings.roles.values()}
    then = replace(
        site, crew=tuple(crew), settings=replace(site.settings, edition=edition, roles=roles),
        machines=tuple(replace(m, retired=None) for m in site.machines), trucks=tuple(replace(t, retired=None) for t in site.trucks),
    )  # fmt: skip
    since = replace(site, crew=tuple(p for p in site.crew if p.start is None or p.start <= BUILT))
    for at, day in ((then, was), (since, BUILT)):
        with open_desk(at, write=True) as desk:
            desk.take_in([], datetime.combine(day, time(7), UTC))


def _with_days(path: Path, days: Mapping[str, date]) -> str:
    """The table of the editions' days with these in place of what stood there of them."""
    known = list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))[1:] if path.is_file() else []
    others = [row for row in known if row and row[0] not in days]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([("edition", "first built"), *others, *((e, d.isoformat()) for e, d in days.items())])
    return text.getvalue()


def _text(file: Mapping[str, Any]) -> str:
    return json.dumps(file, ensure_ascii=False, indent=1) + "\n"


def _moved(file: Mapping[str, Any], by: timedelta) -> dict[str, Any]:
    """The same try at another time."""

    def later(text: str) -> str:
        return f"{datetime.fromisoformat(text[:-1]) + by:%Y-%m-%dT%H:%M:%SZ}"

    return {**file, "started": later(file["started"]), "finished": later(file["finished"]),
            "answers": [a | {"at": later(a["at"])} for a in file["answers"]]}  # fmt: skip


def _checked(file: Mapping[str, Any]) -> str:
    return _text({**file, "check": check_of(file)})


def _luck(*of: str) -> random.Random:
    """Chance of its own for each person and lesson, so that a changed lesson changes nothing else."""
    return random.Random("|".join(("demo class", *of)))


def _rights(rng: random.Random, count: int, fails: float) -> list[bool]:
    """Which questions of a first try are right: half of them where it fails, all but one in a third of the rest."""
    luck = rng.random()
    wrong = count // 2 if luck < fails else 1 if luck < fails + 0.3 else 0
    missed = rng.sample(range(count), wrong)
    return [i not in missed for i in range(count)]


def _chance(lesson: LessonMarking) -> float:
    """How many bits of chance there are in what a try of the lesson draws."""
    sets = len(lesson.sets)
    return sum(math.log2(len(q["variants"])) for q in lesson.asked(0 if sets else None)) + (math.log2(sets) if sets else 0.0)


class _Class:
    """The class in the making: what each person of the site has handed in, and what mentors and the coordinator wrote."""

    def __init__(self, site: JobSite, lessons: Mapping[str, LessonMarking], old: Mapping[str, LessonMarking]) -> None:
        self.site, self.lessons, self.old = site, lessons, old
        self.rows = {m.id: m for m in (*site.machines, *site.trucks)}
        self.files: dict[str, dict[str, Any]] = {}  # by the name of the file
        self.slips: list[tuple[str, str]] = []
        self.signed: list[tuple[str, str, str, date, str]] = []
        self.passed: dict[tuple[str, str], date] = {}
        self.hours: list[tuple[object, ...]] = []

    def texts(self) -> dict[str, str]:
        """Every file of the folder ``results`` by its name."""
        for n, person in enumerate(self.site.crew):
            story = STORIES.get(person.id, USUAL)
            self.earlier(person, story)
            self.present(n, person, story)
            self.seat_time(person, story)
        self.later()
        texts = self.mishaps()
        texts |= {name: _text(file) for name, file in self.files.items()}
        first = self.slips[0][0] if self.slips else ""
        if first:
            self.slips.append((first[:-1] + ("7" if first[-1] != "7" else "8"), "typed in a hurry"))
        texts["slips.csv"] = csv_text(("code", "note"), self.slips)
        signed = sorted(self.signed, key=lambda s: (s[3], s[0], s[1], s[2]))
        texts["signoffs.csv"] = csv_text(
            ("crew", "lesson", "machine", "date", "mentor"), [(*s[:3], s[3].isoformat(), s[4]) for s in signed]
        )
        texts["hours.csv"] = csv_text(
            ("person", "machine", "date", "hours", "mentor", "task", "slope"), sorted(self.hours, key=lambda h: str(h[2]))
        )
        texts["talks.csv"] = csv_text(("date", "sheet", "leader", "crew", "language"), self.talks())
        texts["retrain.csv"] = csv_text(("person", "lesson", "from", "why"), self.orders())
        return texts

    # --- results ---

    def attempt(
        self, person: Person, lesson: LessonMarking, day: date, rng: random.Random, rights: Sequence[bool] = (), **more: Any
    ) -> dict[str, Any]:
        """A try of a day, all right unless ``rights`` say otherwise; where it is passed, the first day of that is kept."""
        at = datetime.combine(day, time(11), UTC) + timedelta(seconds=rng.randrange(9 * 3600))
        rights = rights or [True] * count_of(lesson)
        units: System = more.get("units", self.site.settings.units)
        language = self.language(person, lesson.id) if lesson.edition == self.site.settings.edition else ""
        file = result_file(lesson, self.site.settings.key, more.get("crew", person.id), at, rng, rights, units, language)
        asked = lesson.asked(file.get("set"))
        if sum(rights) >= lesson.pass_mark * len(rights) and all(r or not q["must"] for r, q in zip(rights, asked, strict=True)):
            self.passed[person.id, lesson.id] = day
        return file

    def language(self, person: Person, lesson: str) -> str:
        """The language of the page somebody takes a lesson on: the own one, where the handbook is made in it."""
        made, story = self.site.settings.languages, STORIES.get(person.id, USUAL)
        return person.language if person.language in made and lesson not in story.in_main else made[0]

    def earlier(self, person: Person, story: Story) -> None:
        """What was passed, and signed ten days later, on the earlier edition."""
        for id_, text in story.before.items():
            if id_ not in self.old:
                continue
            crew, day, rng = story.under or person.id, date.fromisoformat(text), _luck(person.id, id_, "before")
            self.files[f"{crew}_{id_}_0.json"] = self.attempt(person, self.old[id_], day, rng, crew=crew)
            self.sign(person, id_, day + timedelta(days=10), on=story.on, crew=crew)

    def present(self, n: int, person: Person, story: Story) -> None:
        """What was taken on the present edition: two lessons in three days; whoever fails takes it again after three."""
        fails = (0.04, 0.08, 0.2, 0.06)[n % 4]
        first = max(BUILT + timedelta(days=1 + n % 4), person.start or BUILT)
        role = self.site.settings.roles[person.role]
        open_ = [i for i in role.lessons if i in self.lessons and i not in story.stands]
        taken = open_[: round(len(open_) * story.done)]
        for step, id_ in enumerate(taken):
            lesson = self.lessons[id_]
            day = first + timedelta(days=step * 2 // 3)
            rng = _luck(person.id, id_)
            rights = _rights(rng, count_of(lesson), 0.5 if id_ == HARD else fails)
            trying = story.done < 1 and step == len(taken) - 1  # somebody new, who has not passed the last one yet
            if trying:
                rights = [i % 2 == 0 for i in range(len(rights))]
            self.passed.pop((person.id, id_), None)  # what was passed earlier
            units: System = "metric" if n % 6 == 5 else self.site.settings.units
            file = self.attempt(person, lesson, day, rng, rights, units=units)
            if n % 4 == 3:
                self.slips.append((slip_code(file, lesson), ""))
            else:
                self.files[f"{person.id}_{id_}_1.json"] = file
            if (person.id, id_) not in self.passed and not trying:
                self.files[f"{person.id}_{id_}_2.json"] = self.attempt(person, lesson, day + timedelta(days=3), rng, units=units)
        passed = [i for i in taken if (person.id, i) in self.passed]
        for at in range(0, len(passed), 5):  # a mentor sees some of them on one day
            some = passed[at : at + 5]
            day = min(max(self.passed[person.id, i] for i in some) + timedelta(days=2), LAST_DAY)
            for i in some[: max(0, story.signs - at)]:
                self.sign(person, i, day)

    # --- what mentors write ---

    def mentor(self, kind: str, day: date, person: Person) -> str:
        """Who signs for a kind of machine on a day."""
        found = [m.id for m in self.site.mentors_on(kind, day) if m.id != person.id]
        if self.site.mentors is None or not found:
            return "mentor 1"
        return found[sum(map(ord, person.id)) % len(found)]

    def machines(self, person: Person, lesson: str) -> list[str]:
        """The machines on which a mentor has to see a lesson: one of each class where it is about working a kind, else one."""
        about = self.lessons[lesson].about if lesson in self.lessons else "any"
        runs = [m for m in person.machines if works(about, self.rows[m].kind)]
        by_class: dict[str, str] = {}
        for m in runs:
            by_class.setdefault(class_of(self.rows[m], self.site.settings.records), m)
        return list(by_class.values()) or list(person.machines[:1]) or [ON_FOOT]

    def sign(self, person: Person, lesson: str, day: date, on: str = "", crew: str = "") -> None:
        for machine in [on] if on in self.rows else self.machines(person, lesson):
            kind = self.rows[machine].kind if machine in self.rows else ON_FOOT
            self.signed.append((crew or person.id, lesson, machine, day, self.mentor(kind, day, person)))

    def seat_time(self, person: Person, story: Story) -> None:
        """Seat time of at most six hours a day with a mentor, some of it on slopes; and days of work alone."""
        self.hours += [(person.id, person.machines[0], day, "8", "", "the day's work", "no") for day in story.drives if person.machines]
        for machine, (level, slope) in story.seat.items():
            if machine not in self.rows:
                continue
            kind, day = self.rows[machine].kind, self.first_seat(person)
            for hours, on_slope in ((level, False), (slope, True)):
                left = hours
                while left > 0:
                    spent = min(left, 6.0)
                    task = "slope under a mentor's eye" if on_slope else "first passes and spoil"
                    self.hours.append(
                        (
                            person.id,
                            machine,
                            day.isoformat(),
                            f"{spent:g}",
                            self.mentor(kind, day, person),
                            task,
                            "yes" if on_slope else "no",
                        )
                    )
                    left, day = left - spent, day + timedelta(days=2)

    def first_seat(self, person: Person) -> date:
        start = person.start or BUILT
        used = [date.fromisoformat(str(h[2])) for h in self.hours if h[0] == person.id and h[4]]
        return max([start + timedelta(days=3), *(d + timedelta(days=3) for d in used)])

    def talks(self) -> Iterator[tuple[str, str, str, str, str]]:
        """Talks over the two years, each with those who were here that day; the last in each language of the crew."""
        for day, lesson, share in (
            ("2024-09-16", "heat-and-hours", 1), ("2025-03-24", WALLS, 2), ("2025-09-08", "signals", 1), ("2026-03-09", "seeing-people", 1),
            (LAST_TALK.isoformat(), "lines-above-and-below", 1),
        ):  # fmt: skip
            on = date.fromisoformat(day)
            here = list(self.site.crew_on(on))[::share]
            leader = next((m.id for m in self.site.mentors_on(ON_FOOT, on)), "mentor 1")
            if lesson not in self.lessons or not here:
                continue
            made = self.site.settings.languages
            spoken = made if on >= LAST_TALK else made[:1] if on >= BUILT else ("",)  # before, nobody wrote it down
            for language in spoken:
                there = [p.id for p in here if len(spoken) == 1 or (p.language if p.language in made else made[0]) == language]
                if there:
                    yield day, lesson, leader, " ".join(there), language

    def orders(self) -> list[tuple[str, str, str, str]]:
        """Two incidents: after the first somebody was trained again, the other is open."""
        here = {p.id: self.site.settings.roles[p.role].lessons for p in self.site.crew}
        rows = [("P-15", WALLS, "2026-03-25", "incident"), ("P-09", "at-the-tip", "2026-04-21", "incident")]
        return [row for row in rows if row[1] in here.get(row[0], ())]

    # --- what else came in ---

    def person(self, crew: str) -> Person | None:
        return next((p for p in self.site.crew if p.id == crew), None)

    def later(self) -> None:
        """What some did later: trained again after the incident, and failed what was passed before."""
        rng = _luck("later")
        for crew, id_, day, passes in (("P-15", WALLS, "2026-03-31", True), ("P-02", "reading-grades", "2026-04-16", False)):
            person, lesson, on = self.person(crew), self.lessons.get(id_), date.fromisoformat(day)
            if person is None or lesson is None:
                continue
            rights = [passes or i % 2 == 0 for i in range(count_of(lesson))]
            self.files[f"{crew}_{id_}_3.json"] = self.attempt(person, lesson, on, rng, rights)
            if passes:
                self.sign(person, id_, on + timedelta(days=2))
        self.odd_signatures()

    def odd_signatures(self) -> None:
        """Signatures that don't count: too soon, by no mentor for that machine, on a machine sold before, of a day to come."""
        by = {(s[0], s[1]): s for s in self.signed}
        soon = by.get(("P-14", "string-and-laser"))
        if soon:
            self.signed[self.signed.index(soon)] = (*soon[:3], soon[3] - timedelta(days=12), soon[4])
        other = by.get(("P-11", "backfill-with-the-blade"))
        if other:
            self.signed.append((*other[:3], other[3] - timedelta(days=1), "P-17"))
        sold = by.get(("P-07", "haul-road"))
        if sold and "T-2" in self.rows:
            self.signed.append((*sold[:2], "T-2", *sold[3:]))
        if self.signed:
            self.signed.append((*self.signed[0][:3], date(2090, 1, 4), self.signed[0][4]))

    def mishaps(self) -> dict[str, str]:
        """What comes in besides good results: each is flagged by name."""
        good = [f for n, f in self.files.items() if n.endswith("_1.json")]
        if not good:
            return {}
        a, b, c, d, e = (good[i % len(good)] for i in range(5))
        years = date(2090, 2, 1) - date.fromisoformat(c["started"][:10])
        texts = {
            "x-again.json": _text(a),
            "x-cut-off.json": _text(b)[:-120],
            "x-edited.json": _text(a | {"score_shown": 0.99}),
            "x-other-site.json": _checked(d | {"site": "some-other-site"}),
            "x-year-wrong.json": _checked(_moved(c, years)),
            "x-note.txt": "Results from my phone are on the way.\n",
            "x-unknown-person.json": _checked(e | {"crew": "P-99", "score_shown": 1}),
        }
        return texts | self.disputed()

    def disputed(self) -> dict[str, str]:
        """What is held until the coordinator has looked: a copied file, a try nobody can have read, a clock that was wrong."""
        texts: dict[str, str] = {}
        rng = _luck("disputed")
        owner, copier = self.person("P-11"), self.person("P-12")
        if owner and copier:
            files = {f["lesson"]: f for n, f in self.files.items() if n.startswith(f"{owner.id}_") and n.endswith("_1.json")}
            open_ = [i for i in self.site.settings.roles[copier.role].lessons if i in files and not self.taken(copier, i)]
            id_ = max(open_, key=lambda i: _chance(self.lessons[i]))
            began = date.fromisoformat(files[id_]["started"][:10])
            texts["x-copied.json"] = _checked(_moved(files[id_], date(2026, 4, 23) - began) | {"crew": copier.id})
            self.files[f"{owner.id}_{id_}_3.json"] = self.attempt(owner, self.lessons[id_], began + timedelta(days=1), rng)
        quick = self.person("P-10")
        if quick:
            id_ = next(i for i in self.site.settings.roles[quick.role].lessons if i in self.lessons and not self.taken(quick, i))
            file = self.attempt(quick, self.lessons[id_], date(2026, 4, 27), rng)
            start = datetime.fromisoformat(file["started"][:-1])
            at = [f"{start + timedelta(seconds=2 * i + 2):%Y-%m-%dT%H:%M:%SZ}" for i in range(len(file["answers"]))]
            texts["x-quick.json"] = _checked(
                file | {"finished": at[-1], "answers": [x | {"at": t} for x, t in zip(file["answers"], at, strict=True)]}
            )
        wrong = self.person("P-04")
        if wrong and "stop-work" in self.lessons:
            texts["x-clock-wrong.json"] = _text(self.attempt(wrong, self.lessons["stop-work"], date(2026, 1, 12), rng))
        return texts

    def taken(self, person: Person, lesson: str) -> bool:
        return (person.id, lesson) in self.passed or f"{person.id}_{lesson}_1.json" in self.files


def main() -> int:
    """Write the class of the site named on the command line."""
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo")
    try:
        made = write_class(folder)
    except (Refusals, Refusal, OSError) as e:
        print(e, file=sys.stderr)
        return 2
    print(f"{made.files} files of an invented class in {folder / 'results'}")
    if made.earlier:
        print(f"an invented earlier edition in {folder / FOLDER}: {made.earlier}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
