"""A class of many invented people at once, without files: their readiness is made here, so that a page of them is quick to make."""

from __future__ import annotations

import dataclasses
import random
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from generator.jobsite.model import JobSite, Mentor, Person, Role
from generator.records.editions import LessonMarking
from generator.records.flags import NAMES, Flag
from generator.records.mark import Marked, MarkedAnswer
from generator.records.readiness import LessonLine, MachineLine, PersonLine, QuestionLine, Readiness, Standing, State
from generator.records.results import Given, Result
from generator.records.signoffs import SignOff
from generator.records.tally import Tally
from generator.records.told import REASONS, Hours, Retrain
from tests.conftest import LESSONS, ROOT

DAY = date(2026, 11, 26)
FIRST = ("Ines", "Tom", "Kofi", "Marta", "Dale", "Sunita", "Gus", "Leah", "Andre", "José", "Åse", "Petra", "Wanjiru", "Omar", "Bo", "Lupe")
LAST = ("Holloway", "Abernethy", "Lindqvist", "Oyelaran", "Pettibone", "Varga", "Marchetti", "Norquist", "Whitlow", "Ibáñez", "Tang")


def titles() -> dict[str, str]:
    """The titles of the shipped lessons."""
    out = {}
    for i in LESSONS:
        found = re.search(r"^title: *(.+)$", (ROOT / f"content/lessons/{i}.md").read_text("utf-8"), re.MULTILINE)
        out[i] = found[1].strip("\"'") if found else i
    return out


def a_try(crew: str, lesson: str, right: int = 7, of: int = 8, day: date = date(2026, 3, 10), entry: int | None = None) -> Marked:
    """A result with ``right`` of ``of`` answers right."""
    at = datetime(day.year, day.month, day.day, 9, 0, tzinfo=UTC)
    asked = tuple({"id": f"q-{i}", "ask": f"Ask {i}?", "must": i == 1} for i in range(of))
    book = LessonMarking(lesson, "2026-1", lesson, "any", "new", 0.8, asked, Path("2026-1"))
    given = tuple(Given(f"q-{i}", None, 0, "us", (0,)) for i in range(of))
    result = Result("file", f"results/{crew}_{lesson}.json:1", crew, lesson, "2026-1", "new", None, at, at, given)
    answers = tuple(MarkedAnswer(f"q-{i}", i < right, "" if i < right else "used-boom") for i in range(of))
    return Marked(result, book, asked, answers, right, right >= 0.8 * of, (), entry)


def a_class(site: JobSite, count: int = 150, seed: int = 15, *, rules: bool = True) -> Readiness:
    """The readiness of ``count`` people over the site's roles. With ``rules`` the site has mentors, hours and days of validity."""
    rng = random.Random(seed)
    names = titles()
    roles = list(site.settings.roles.values())
    kinds = {m.id: m.kind for m in (*site.machines, *site.trucks)}
    people, tally = [], Tally()
    for n in range(1, count + 1):
        role = roles[(n - 1) * len(roles) // count]
        of_role = [m for m, k in kinds.items() if k in role.machines]
        machines = tuple(rng.sample(of_role, min(len(of_role), rng.choice((1, 1, 2, 3)))))
        person = Person(f"P-{n:03}", f"{rng.choice(FIRST)} {rng.choice(LAST)}", role.id, machines, date(2026, 1, 5), n + 1)
        people.append(_person(rng, person, _timed(role) if rules else role, kinds, tally, rules=rules))
    if rules:
        for k, (crew, other) in enumerate((("P-014", "P-015"), ("P-040", "P-041"), ("P-101", "P-140"))):
            for who in (crew, other):
                made = a_try(who, "stop-work", day=date(2026, 11, 20), entry=4100 + k)
                tally.held.append(made)
                tally.flags.append(Flag(made.result.where, "copied", f"the same try was handed in by {crew}, {other}",
                                        "say which counts in corrections.csv", who, "stop-work"))  # fmt: skip
    for i, name in enumerate(NAMES):
        tally.flags += [Flag(f"results/x-{name}-{k}.json:1", name, "it is not as it should be", "ask for it again", f"P-{k:03}", "stop-work")
                        for k in range(1, 2 + 3 * i)]  # fmt: skip
    wanted = tuple(i for i in names if any(i in r.lessons for r in roles))
    questions = tuple(
        QuestionLine(i, names[i], "2026-1", f"{i}-{k}", "How high may the bench be here, and who says so?", k == 1, 90, right, 60, right // 2,
                     "used-the-boom", 90 - right)
        for i in wanted for k in range(1, 9) for right in (rng.randint(30, 90),)
    )  # fmt: skip
    taught = tuple(LessonLine(i, names[i], 90, 40 + len(i), 700, 600, f"{i}-3", len(i) > 14) for i in wanted)
    mentors = (
        Mentor("M-1", "R. Vance", ("dozer",), None, None, 2), Mentor("M-2", "L. Osei", ("excavator", "compact excavator", "dozer"), None, None, 3),
        Mentor("M-3", "K. Brandt", ("on foot",), None, date(2026, 1, 1), 4),
    )  # fmt: skip
    site = dataclasses.replace(site, mentors=mentors if rules else None)
    return Readiness(site, "2026-1", wanted, names, tuple(people), questions, taught, tally, "2026-11-20", DAY if rules else None,
                     (4212, "9f3a" * 16) if rules else None)  # fmt: skip


def _timed(role: Role) -> Role:
    """The role with hours under a mentor; work on foot has none."""
    return role if role.on_foot else dataclasses.replace(role, hours=40.0, slope_hours=8.0 if "dozer" in role.machines else None)


def _person(rng: random.Random, person: Person, role: Role, kinds: dict[str, str], tally: Tally, *, rules: bool) -> PersonLine:
    """Somebody by chance: new, half way, ready, or with something that ends, lapsed, was ordered or is held."""
    kind_of = rng.choices(("ready", "nearly", "half", "new", "ended", "ordered"), (50, 25, 20, 10, 8 if rules else 0, 4 if rules else 0))[0]
    order = Retrain(person.id, "", date(2026, 11, rng.randint(1, 25)), rng.choice(list(REASONS)), 4000) if kind_of == "ordered" else None
    standings = {i: _standing(rng, person, i, kind_of, order, rules=rules) for i in role.lessons}
    gaps = tuple((i, s.state, s.words) for i, s in standings.items() if s.state != "ready")
    spent = [] if role.on_foot or not rules else [
        Hours(person.id, person.machines[0], kinds[person.machines[0]], date(2026, 9, d), 6.5, "M-1", "", d % 3 == 0) for d in range(1, rng.randint(2, 12))
    ]  # fmt: skip
    mentored, slope = sum(h.hours for h in spent), sum(h.hours for h in spent if h.slope)
    lacks = [f"{needed - given:g} h {words}" for needed, given, words in ((role.hours, mentored, "under a mentor"), (role.slope_hours, slope, "on slopes"))
             if needed and given < needed]  # fmt: skip
    alone = tuple(lacks) if role.hours else None
    lines = tuple(MachineLine(m, kinds[m], gaps, (person.machines[0],) if not gaps else (), "", alone) for m in person.machines)
    if role.on_foot:
        lines = (MachineLine("on foot", "no machine", gaps),)
    return PersonLine(person, role, standings, lines, "2026-03-10" if kind_of != "new" else "", tuple(spent))


def _standing(rng: random.Random, person: Person, lesson: str, kind_of: str, order: Retrain | None, *, rules: bool) -> Standing:
    by_chance: dict[str, tuple[State, ...]] = {
        "ready": ("ready",), "nearly": ("ready", "ready", "sign-off missing"), "half": ("ready", "not taken", "not passed", "take again", "sign-off missing"),
        "new": ("not taken",), "ended": ("ready", "ready", "ready", "lapsed"), "ordered": ("train again",),
    }  # fmt: skip
    state = rng.choice(by_chance[kind_of])
    best = None if state == "not taken" else a_try(person.id, lesson, 4 if state == "not passed" else 7)
    signed = (
        (SignOff(person.id, lesson, person.machines[0] if person.machines else "on foot", date(2026, 3, 12), "M-1"),)
        if state == "ready"
        else ()
    )
    until = None
    if rules and state in {"ready", "sign-off missing"}:
        until = DAY + timedelta(days=rng.choices((rng.randint(0, 60), rng.randint(61, 700)), (1, 60))[0])
    if state == "lapsed":
        until = DAY - timedelta(days=rng.randint(1, 90))
    failed = date(2026, 11, 12) if rules and state == "ready" and rng.random() < 0.004 else None
    return Standing(lesson, state, best, 0 if best is None else 1, signed, ("stick length: 9 ft is now 10 ft",) if state == "take again" else (),
                    until=until, failed_since=failed, ordered=order if state == "train again" else None)  # fmt: skip
