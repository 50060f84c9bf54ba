"""What tests of mentors' codes and signed files share: the published vectors, mentors, a signed file."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import yaml

from generator.jobsite.model import JobSite, Mentor
from generator.records.letters import LETTERS
from generator.records.mentor_codes import MentorCode, adds_up
from generator.records.signed_file import mac_of

MENTORS = (
    Mentor("M-1", "Rosa Lind", ("dozer", "excavator", "compact excavator", "truck", "on foot"), None, None, 2),
    Mentor("M-2", "Sam Oke", ("truck",), datetime.date(2026, 1, 1), datetime.date(2026, 6, 30), 3),
)  # fmt: skip
MADE = datetime.date(2026, 3, 1)


def vectors() -> list[tuple[int, bytes, bytes, str]]:
    """Case, key, data and mark of each of the RFC's cases."""
    found = yaml.safe_load((Path(__file__).parent / "hmac_sha256.yml").read_text("utf-8"))["cases"]
    return [
        (c["case"], bytes.fromhex(c["key"]) * c.get("key_times", 1), bytes.fromhex(c["data"]) * c.get("data_times", 1), c["mac"])
        for c in found
    ]


def code_from(start: str) -> str:
    """A code that adds up and begins with eleven letters."""
    return next(start + last for last in LETTERS if adds_up(start + last))


CODE, OTHER = code_from("4T9KQ2XW7BZ"), code_from("7M3HD0VRA5C")
CODES = {"M-1": [MentorCode("M-1", CODE, MADE)], "M-2": [MentorCode("M-2", OTHER, MADE)]}


def with_mentors(site: JobSite) -> JobSite:
    """The site with the two mentors."""
    return replace(site, mentors=MENTORS)


def entry(**changed: Any) -> dict[str, Any]:
    """One lesson, seen in full."""
    made = {
        "crew": "P-01", "lesson": "bench-height", "machine": "E-2", "date": "2026-03-10", "seen": [1, 2, 3], "not_yet": [],
        "conditions": "dry, slope; gusts", "hours": 1.5,
    }  # fmt: skip
    return made | changed


def signed(*entries: Mapping[str, Any], code: str = CODE, **changed: Any) -> dict[str, Any]:
    """A file as the page saves it, marked with a code."""
    file: dict[str, Any] = {
        "seatwork_signoffs": 1, "mentor": "M-1", "site": "juniper-bench", "edition": "2026-1", "signed": "2026-03-10T15:20:00Z",
        "entries": [dict(e) for e in entries or (entry(),)],
    } | changed  # fmt: skip
    return file | {"mac": mac_of(file, code)}
