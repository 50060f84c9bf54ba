"""An invented class for an invented site: results, slips, sign-offs, and the usual mishaps.

``python -m generator.records.demo_class site_demo`` writes ``site_demo/results``, and into
``site_demo/editions`` an earlier edition that a part of the class was taken on. The same edition
gives the same class. Nobody in it exists, and it writes only to a site that says of itself that
it is invented.
"""

from __future__ import annotations

import json
import random
import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import csv_text
from generator.quiz.edition import FOLDER
from generator.records.answers import KEYS, read_typed
from generator.records.editions import LessonMarking, load_editions
from generator.records.letters import LETTERS, sum_letters
from generator.records.results import KINDS, check_of
from generator.source.problem import Refusal, Refusals
from generator.units.table import System

_PLAIN = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
FIRST_DAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
_CLASS = re.compile(r"[A-Z]+-[0-9]+_[a-z0-9-]+_[0-9]\.json|x-[a-z-]+\.(json|txt)")  # what this program writes
WINTER_DAY = datetime(2026, 2, 17, 8, 0, tzinfo=UTC)  # some learned from the earlier edition


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
    lesson: LessonMarking, site: str, crew: str, started: datetime, rng: random.Random, rights: Sequence[bool], units: System
) -> dict[str, Any]:
    """A result file as the player writes it. ``rights`` is by question asked; where a try asks some, a set is drawn."""
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

    drawn = file.get("set")
    put(2 if drawn is None else 3, 4)
    for key in ("crew", "lesson", "edition"):
        words(file[key])
    put(int(file["figures"][:5], 16), 20)
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
            typed = read_typed(a["answer"])
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


def write_class(folder: Path) -> Written:
    """Write the class into ``folder/results``, in place of the last one.

    Raises SiteProblems, Refusal or OSError.
    """
    from generator.records.demo_edition import CHANGED, NAME, SAME, earlier_edition

    site = read(folder)
    if not site.settings.invented:
        raise Refusal("this site is not invented", "the demo class is only for one that is", file=str(folder))
    lessons = {m.id: m for m in load_editions(folder).lessons(site.settings.edition)}
    if not lessons:
        raise Refusal("no edition is kept here", "run seatwork build first", file=str(folder))
    earlier = earlier_edition(site, {CHANGED, SAME} & lessons.keys())
    for name, text in (earlier.files if earlier else {}).items():
        (folder / FOLDER / name).write_bytes(text.encode())
    winter = {m.id: m for m in load_editions(folder).lessons(NAME)} if earlier else {}
    place = folder / "results"
    place.mkdir(exist_ok=True)
    texts = _class(site, lessons, winter)
    for path in sorted(place.glob("*")):
        if _CLASS.fullmatch(path.name) and path.name not in texts:
            path.unlink()
    for name, text in texts.items():
        (place / name).write_bytes(text.encode())
    return Written(len(texts), earlier.what if earlier else "")


def _text(file: Mapping[str, Any]) -> str:
    return json.dumps(file, ensure_ascii=False, indent=1) + "\n"


def _class(site: JobSite, lessons: Mapping[str, LessonMarking], winter: Mapping[str, LessonMarking]) -> dict[str, str]:
    texts: dict[str, str] = {}
    slips: list[tuple[str, str]] = []
    signed: list[tuple[str, ...]] = []
    kinds = {m.id: m.kind for m in (*site.machines, *site.trucks)}
    files: list[dict[str, Any]] = []
    hard = sorted(lessons)[len(lessons) // 2]  # one lesson nobody finds easy
    for n, person in enumerate(site.crew):
        rng = random.Random(f"demo class|{person.id}")
        role = site.settings.roles[person.role]
        # whoever is to load from a bench was in the winter class; every fourth took it again since
        old = [i for i in winter if i in role.lessons] if "excavator" in role.machines else []
        for step, id_ in enumerate(old):
            lesson = winter[id_]
            start = WINTER_DAY + timedelta(minutes=7 * n + 40 * step)
            file = result_file(lesson, site.settings.key, person.id, start, rng, [True] * count_of(lesson), site.settings.units)
            texts[f"{person.id}_{id_}_0.json"] = _text(file)
        skill = (0.97, 0.9, 0.72, 0.95)[n % 4]
        done = [i for i in role.lessons if i in lessons]
        if n % 5 == 4:  # some are halfway through
            done = done[: len(done) // 2]
        for step, id_ in enumerate(done):
            if id_ in old and n % 4 != 3:
                continue
            lesson = lessons[id_]
            start = FIRST_DAY + timedelta(days=step + n % 3, minutes=rng.randrange(0, 600), seconds=rng.randrange(60))
            share = min(skill, 0.5) if id_ == hard else skill
            rights = [rng.random() < share for _ in range(count_of(lesson))]
            units: System = "metric" if n % 6 == 5 else site.settings.units
            file = result_file(lesson, site.settings.key, person.id, start, rng, rights, units)
            files.append(file)
            if n % 4 == 3:
                slips.append((slip_code(file, lesson), ""))
            else:
                texts[f"{person.id}_{id_}_1.json"] = _text(file)
            if all(rights) or skill < 0.8 or n % 4 == 0:
                again = start + timedelta(days=3)
                if not all(rights):
                    second = result_file(lesson, site.settings.key, person.id, again, rng, [True] * len(rights), units)
                    texts[f"{person.id}_{id_}_2.json"] = _text(second)
                if n % 3 != 2 or step < 3:
                    machine = next((m for m in person.machines if kinds[m] == lesson.about), (*person.machines, ON_FOOT)[0])
                    signed.append((person.id, id_, machine, f"{again:%Y-%m-%d}", "mentor 1" if n % 2 else "mentor 2"))
        if n % 4 == 0:
            known = {(c, i) for c, i, *_ in signed}
            machine = (*person.machines, ON_FOOT)[0]
            signed += [(person.id, i, machine, "2026-04-17", "mentor 1") for i in done if (person.id, i) not in known]
    texts |= _mishaps(site, files)
    slips.append((slips[0][0][:-1] + ("7" if slips[0][0][-1] != "7" else "8"), "typed in a hurry"))
    texts["slips.csv"] = csv_text(("code", "note"), slips)
    signed.append((site.crew[0].id, "stop-work", site.crew[0].machines[0], "2027-01-04", "mentor 1"))
    texts["signoffs.csv"] = csv_text(("crew", "lesson", "machine", "date", "mentor"), signed)
    return texts


def _mishaps(site: JobSite, files: Sequence[dict[str, Any]]) -> dict[str, str]:
    """What comes in besides good results: each is flagged by name."""
    a, b, c, d, e = files[0], files[1], files[2], files[3], files[4]
    future = c | {"started": "2027-02-01T08:00:00Z", "finished": "2027-02-01T09:00:00Z",
                  "answers": [x | {"at": "2027-02-01T08:30:00Z"} for x in c["answers"]]}  # fmt: skip
    foreign = d | {"site": "some-other-site"}
    boasted = e | {"score_shown": 1, "finished": e["finished"][:-3] + "59Z"}
    return {
        "x-again.json": _text(a),
        "x-cut-off.json": _text(b)[:-120],
        "x-edited.json": _text(a | {"score_shown": 0.99}),
        "x-other-site.json": _text(foreign | {"check": check_of(foreign)}),
        "x-next-year.json": _text(future | {"check": check_of(future)}),
        "x-note.txt": "Results from my phone are on the way.\n",
        "x-unknown-person.json": _text((boasted | {"crew": "P-99"}) | {"check": check_of(boasted | {"crew": "P-99"})}),
    }


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
