"""How long a tally of 5,000 results takes: ``python benchmarks/tally_5000.py [FOLDER]``.

FOLDER is a job site with a built edition (default: site_demo). The results are made in a
temporary folder, a third of them as slip codes; the report is written there too.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import csv_text
from generator.records.demo_class import FIRST_DAY, result_file, slip_code
from generator.records.desk import tally
from generator.records.editions import load_editions
from generator.records.readiness import readiness
from generator.records.report import write

COUNT = 5000


def main() -> None:
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo")
    site = read(folder)
    lessons = load_editions(folder).lessons(site.settings.edition)
    if not lessons:
        raise SystemExit(f"{folder}: no edition is kept here; run seatwork build first")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name) / "results"
        place.mkdir()
        slips = []
        for i in range(COUNT):
            rng = random.Random(f"benchmark|{i}")
            lesson, person = lessons[i % len(lessons)], site.crew[i % len(site.crew)]
            rights = [rng.random() < 0.85 for _ in lesson.questions]
            start = FIRST_DAY + timedelta(minutes=7 * i)
            file = result_file(lesson, site.settings.key, person.id, start, rng, rights, site.settings.units)
            if i % 3:
                (place / f"{i:05}.json").write_text(json.dumps(file, indent=1), "utf-8")
            else:
                slips.append((slip_code(file, lesson),))
        (place / "slips.csv").write_text(csv_text(("code",), slips), "utf-8")
        begin, busy = time.perf_counter(), time.process_time()
        done = tally(site, [place], datetime(2026, 12, 31, tzinfo=UTC))
        marked = time.perf_counter()
        write(readiness(site, done), Path(name) / "report")
        end = time.perf_counter()
        print(f"{len(done.marked)} of {COUNT} results count, {len(done.flags)} flagged, {len(lessons)} lessons kept")
        print(
            f"read and marked {marked - begin:.2f} s, report {end - marked:.2f} s, together {end - begin:.2f} s "
            f"(wanted: under 10 s), processor time {time.process_time() - busy:.2f} s"
        )


if __name__ == "__main__":
    main()
