"""How long 5,000 results take from file to register and report: ``python benchmarks/tally_5000.py [FOLDER]``.

FOLDER is a job site with a built edition (default: site_demo). Its tables and editions are copied
into a temporary folder, where a register is begun; a third of the results are slip codes.
"""

from __future__ import annotations

import json
import random
import shutil
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import csv_text
from generator.records.demo_class import FIRST_DAY, count_of, result_file, slip_code
from generator.records.desk import open_desk
from generator.records.editions import load_editions
from generator.records.readiness import readiness
from generator.records.report import write

COUNT = 5000
NOW = datetime(2026, 12, 31, tzinfo=UTC)


def copied(folder: Path, place: Path) -> Path:
    """The site's tables and editions, and nothing that was handed in."""
    place.mkdir()
    for path in folder.iterdir():
        if path.is_file():
            shutil.copy(path, place)
    shutil.copytree(folder / "editions", place / "editions")
    (place / "editions" / "days.csv").unlink(missing_ok=True)  # these results are of days before it was built
    return place


def main() -> None:
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo")
    if not load_editions(folder).lessons(read(folder).settings.edition):
        raise SystemExit(f"{folder}: no edition is kept here; run seatwork build first")
    with tempfile.TemporaryDirectory() as name:
        place = copied(folder, Path(name) / "site")
        site = read(place)
        lessons = load_editions(place).lessons(site.settings.edition)
        crew = [p for p in site.crew if p.left is None]
        given = place / "results"
        given.mkdir()
        slips = []
        for i in range(COUNT):
            rng = random.Random(f"benchmark|{i}")
            lesson, person = lessons[i % len(lessons)], crew[i % len(crew)]
            rights = [rng.random() < 0.85 for _ in range(count_of(lesson))]
            start = FIRST_DAY + timedelta(days=60, minutes=7 * i)  # when everybody had started
            file = result_file(lesson, site.settings.key, person.id, start, rng, rights, site.settings.units)
            if i % 3:
                (given / f"{i:05}.json").write_text(json.dumps(file, indent=1), "utf-8")
            else:
                slips.append((slip_code(file, lesson),))
        (given / "slips.csv").write_text(csv_text(("code",), slips), "utf-8")
        begin, busy = time.perf_counter(), time.process_time()
        with open_desk(site, write=True) as desk:
            desk.take_in([given], NOW)
            desk.settle(NOW)
            taken = time.perf_counter()
            on_day, done = desk.on(NOW)
            rows = desk.rows.head()
        judged = time.perf_counter()
        write(readiness(on_day, done, NOW.date(), rows), place / "report")
        end = time.perf_counter()
        print(f"{len(done.marked)} of {COUNT} results count, {len(done.flags)} flagged, {rows[0]} rows, {len(lessons)} lessons kept")
        print(
            f"taken in {taken - begin:.2f} s, judged {judged - taken:.2f} s, report {end - judged:.2f} s, together {end - begin:.2f} s "
            f"(wanted: under 10 s), processor time {time.process_time() - busy:.2f} s"
        )
        begin = time.perf_counter()
        with open_desk(site, write=True) as desk:
            desk.take_in([given], NOW)
            if desk.taken:
                raise SystemExit(f"{desk.taken} results were taken in twice")
        print(f"the same handed in again: {time.perf_counter() - begin:.2f} s")


if __name__ == "__main__":
    main()
