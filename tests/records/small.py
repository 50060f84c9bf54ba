"""A small edition with one question of each kind, and results for it. All invented."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from generator.jobsite.reader import read
from generator.quiz.edition import edition_text, figures_of, prepare, question_marking
from generator.records.demo_class import result_file
from generator.records.desk import tally
from generator.records.editions import LessonMarking, load_editions
from generator.records.results import check_of
from generator.records.tally import Tally
from tests.conftest import copy_demo
from tests.player.pages import quiz

NOW = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
START = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)
LESSONS = ("bench-height", "truck-match")
ABOUT = {"bench-height": "excavator", "truck-match": "truck"}  # here the second is about working a truck
Json = dict[str, Any]


def questions() -> list[Json]:
    """The player tests' questions as they are kept for marking."""
    data = quiz()
    for q in data["questions"]:
        for v in q["variants"]:
            for system in ("us", "metric"):
                for m in v[system].get("answer", {}).get("mistakes", ()):
                    m["id"] = "used-boom"
    return [question_marking(q, q.get("spots") or q["texts"]["us"]) for q in data["questions"]]


def ledger(edition: str, bench: str = "10 ft", **more: str) -> str:
    """A ledger with a few numbers."""
    rows = [
        {"page": "lessons/bench-height.html", "place": "text: E-2", "what": "bench height", "us": bench, "metric": "3.05 m"},
        {"page": "lessons/bench-height.html", "place": "table: E-1", "what": "bench height", "us": "8 ft", "metric": "2.44 m"},
        {"page": "lessons/truck-match.html", "place": "text: E-2 T-1", "what": "passes", "us": "6", "metric": "6"},
        {"page": "sheets/cab-e-1.html", "place": "cab card", "what": "reach", "us": more.get("reach", "30 ft"), "metric": "9.1 m"},
    ]  # fmt: skip
    rows += [
        {"page": "lessons/truck-match.html", "place": "text", "what": k, "us": v, "metric": v} for k, v in more.items() if k != "reach"
    ]
    return json.dumps({"ledger": 1, "site": "juniper-bench", "edition": edition, "numbers": rows})


def put_edition(folder: Path, edition: str = "2026-1", ledger_text: str = "", changed: Mapping[str, list[Json]] | None = None) -> str:
    """Keep an edition as a build does; the note it would print."""
    text = ledger_text or ledger(edition)
    rows = json.loads(text)["numbers"]
    lessons = {}
    for i in LESSONS:
        found = (changed or {}).get(i) or questions()
        numbers = [(r["place"], r["what"], r["us"], r["metric"]) for r in rows if r["page"] == f"lessons/{i}.html"]
        lessons[i] = {"title": i.capitalize(), "about": ABOUT[i], "figures": figures_of(found, numbers), "questions": found}
    stage = folder / ".stage"
    plan = prepare(folder, stage, edition, edition_text(edition, "juniper-bench", 0.8, lessons), text)
    plan.carry_out()
    stage.rmdir()
    return plan.note


def small_site(folder: Path, roles: bool = True) -> Path:
    """The demo's tables with a two-lesson edition."""
    site = copy_demo(folder, languages=False)
    without_rules(site)
    if roles:
        text = (site / "settings.yml").read_text("utf-8")
        head, rest = text.split("\nroles:\n", 1)
        tail = rest[rest.index("\n# This site's own limits") :]
        (site / "settings.yml").write_text(head + ROLES + tail, "utf-8")
        (site / "crew.csv").write_text(
            "id,name,role,machines,start,note\nP-01,Ines Holloway,loader,E-1 E-2,2026-03-02,\n"
            "P-02,Tom Abernethy,loader,E-2,2026-03-02,\nP-03,Kofi Lindqvist,driver,T-1,2026-03-02,\n", "utf-8",
        )  # fmt: skip
    put_edition(site)
    return site


def without_rules(site: Path) -> None:
    """The site as one was before there were mentors by id and rules for records."""
    (site / "mentors.csv").unlink(missing_ok=True)
    text = (site / "settings.yml").read_text("utf-8")
    start = text.index("\n# Rules of this site for its records")
    (site / "settings.yml").write_text(text[:start] + text[text.index("\n# The machines and the ground", start) :], "utf-8")


def sign_first(site: Path) -> None:
    """A mentor may sign before the quiz is passed."""
    path = site / "settings.yml"
    text = path.read_text("utf-8")
    assert text.count("\nroles:\n") == 1
    path.write_text(text.replace("\nroles:\n", "\nrecords:\n  sign_before_pass: yes\n\nroles:\n"), "utf-8")


def well_taught(folder: Path) -> Path:
    """A small site with nothing to look at: its driver is taught about working a truck too."""
    site = small_site(folder)
    path = site / "settings.yml"
    text = path.read_text("utf-8")
    old = "    machines: [truck]\n    lessons: [truck-match]\n"
    assert text.count(old) == 1
    path.write_text(text.replace(old, old.replace("]\n    lessons: [", "]\n    lessons: [haul-road, ")), "utf-8")
    return site


ROLES = """
roles:
  loader:
    title: Loader
    machines: [excavator]
    lessons: [bench-height, truck-match]
  driver:
    title: Driver
    machines: [truck]
    lessons: [truck-match]
"""


def marking(site: Path, lesson: str = "bench-height", edition: str = "2026-1") -> LessonMarking:
    return load_editions(site).find(edition, lesson, None)


def a_result(
    site: Path, crew: str = "P-01", lesson: str = "bench-height", rights: tuple[bool, ...] = (True,) * 5,
    days: int = 0, seed: int = 1, edition: str = "2026-1",
) -> Json:  # fmt: skip
    rng = random.Random(f"{crew}|{lesson}|{days}|{seed}")
    return result_file(marking(site, lesson, edition), "juniper-bench", crew, START + timedelta(days=days), rng, rights, "us")


def signed(file: Json, **changes: Any) -> Json:
    """The file with changes and a check that fits: what a forger would do."""
    made = copy.deepcopy(file) | changes
    return made | {"check": check_of(made)}


def put(site: Path, name: str, content: Any) -> Path:
    """Hand in one file."""
    path = site / "results" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content if isinstance(content, bytes) else (content if isinstance(content, str) else json.dumps(content)).encode())
    return path


def tallied(site: Path, now: datetime = NOW) -> Tally:
    return tally(read(site), [site / "results"], now)
