"""How long one record of ten years takes: ``python benchmarks/record_ten_years.py [FOLDER]``.

FOLDER is a job site with a built edition (default: site_demo). One person takes every lesson of the role twice a year, sits
two hundred days a year and hears a talk a week; the edition is kept anew each year, so that the record looks into ten
ledgers. Only the record is timed: its page, its seal and its code, once it is known who is ready.
"""

from __future__ import annotations

import dataclasses
import random
import shutil
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from generator.jobsite.model import JobSite, Person
from generator.jobsite.reader import read
from generator.records.demo_class import result_file
from generator.records.editions import load_editions
from generator.records.mark import Marked, mark
from generator.records.readiness import Readiness, readiness
from generator.records.record import Records
from generator.records.record_page import SealOn, person_body, person_page, text_digest
from generator.records.results import read_file
from generator.records.seal import fingerprint, picture, seal
from generator.records.signoffs import SignOff
from generator.records.tally import Tally
from generator.records.told import Hours, Talk

YEARS, SITTINGS, SEAT_DAYS, TALKS = 10, 2, 200, 52
WANTED = 1.0  # s


def ten_years(folder: Path, site: JobSite, person: Person) -> Readiness:
    """Everything of ten years; the ledgers of the years lie in ``folder``."""
    editions = load_editions(site.folder)
    rng = random.Random("ten years")
    role = site.settings.roles[person.role]
    machine = person.machines[0]
    kind = next(m.kind for m in (*site.machines, *site.trucks) if m.id == machine)
    first = date(2026 - YEARS, 1, 4)
    marked: list[Marked] = []
    signed, hours, talks = [], [], []
    for year in range(YEARS):
        begin = first + timedelta(days=365 * year)
        for sitting in range(SITTINGS):
            for i, lesson in enumerate(role.lessons):
                book = editions.find(site.settings.edition, lesson, None)
                ledger = folder / f"{year}-{book.ledger.name}"
                if not ledger.exists():
                    shutil.copy(book.ledger, ledger)
                at = datetime.combine(begin + timedelta(days=180 * sitting + i), datetime.min.time(), UTC) + timedelta(hours=9)
                asked = len(book.asked(0 if book.sets else None))
                file = result_file(
                    book, site.settings.key, person.id, at, rng, [rng.random() < 0.95 for _ in range(asked)], site.settings.units
                )
                found = mark(read_file(file, "bench:1"), book)
                marked.append(dataclasses.replace(found, entry=len(marked) + 1, lesson=dataclasses.replace(found.lesson, ledger=ledger)))
                signed.append(
                    SignOff(
                        person.id, lesson, machine, at.date(), f"~{i % 3}", kind, "", "dry, firm", 2.0, f"S-{year}-{sitting}-{i // 8}", i
                    )
                )
        hours += [
            Hours(person.id, machine, kind, begin + timedelta(days=d), 7.5, "~1" if d % 3 else "", f"task {d % 9}", d % 5 == 0, d)
            for d in range(SEAT_DAYS)
        ]
        talks += [
            Talk(person.id, role.lessons[w % len(role.lessons)], f"T-{year}-{w}", "~2", begin + timedelta(weeks=w), w) for w in range(TALKS)
        ]
    done = Tally(marked=marked, signoffs=signed, hours=hours, talks=talks, editions=editions)
    return dataclasses.replace(readiness(site, done), day=date(2026, 1, 1), row=(len(marked), "ab" * 32))


def main() -> None:
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo")
    site = read(folder)
    if not load_editions(folder).lessons(site.settings.edition):
        raise SystemExit(f"{folder}: no edition is kept here; run seatwork build first")
    person = next(p for p in site.crew if p.machines)
    key = Ed25519PrivateKey.generate()
    with tempfile.TemporaryDirectory() as name:
        made = ten_years(Path(name), site, person)
        begin, busy = time.perf_counter(), time.process_time()
        record = Records(made, {"~1": "Mentor One", "~2": "Mentor Two"}).of(person.id)
        body = person_body(record)
        text = seal(key, record.facts(text_digest(body)))
        html = person_page(record, SealOn(text, picture(text, "seal"), fingerprint(key.public_key())), body)
        took, worked = time.perf_counter() - begin, time.process_time() - busy
    told = f"{len(made.tally.marked)} results, {len(made.tally.hours)} days of seat time, {len(made.tally.talks)} talks, {YEARS} ledgers"
    print(f"{told}: a page of {len(html) / 1000:.0f} kB, its seal {len(text)} signs")
    print(f"one record of ten years {took:.2f} s (wanted: under {WANTED:g} s), processor time {worked:.2f} s")


if __name__ == "__main__":
    main()
