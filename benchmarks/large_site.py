"""An invented job site of any size, for measuring: the demo's rows scaled by seeded factors.

No row stands for a real machine, person or ground. The settings are the demo's, so every lesson is taught.

Run: python -m benchmarks.large_site [--machines 1000] [--people 500] [--keep FOLDER]

It builds such a site, changes one cell and builds it again, and prints how long each took, the memory it needed
at most, and what the heaviest pages weigh as they are and compressed.
"""

from __future__ import annotations

import argparse
import csv
import gzip
import io
import random
import re
import shutil
import tempfile
from pathlib import Path

from generator.publish.edition_folder import folder_of
from generator.source.yamltext import load_plain

DEMO = Path(__file__).resolve().parent.parent / "site_demo"
# columns that keep the figure of the row they come from: shares, angles, speeds, soil facts
_KEPT = {
    "id", "name", "kind", "note", "shoe_width", "narrow_width", "gauge_narrow", "gauge_wide", "track_gauge",
    "overall_width", "body_width", "push_speed", "return_speed", "swing_speed", "soil_type", "traction", "shrinkage", "fill",
    "repose", "swell", "blade_height",
}  # fmt: skip


_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


def _rows(name: str) -> tuple[list[str], list[list[str]]]:
    rows = list(csv.reader((DEMO / name).read_text("utf-8").splitlines()))
    return rows[0], rows[1:]


def _grown(name: str, count: int, words: str, rng: random.Random) -> str:
    """A table of ``count`` rows: the demo's own first, then copies scaled by up to a tenth."""
    header, rows = _rows(name)
    columns = [h.partition(" ")[0] for h in header]
    kept = rows[:count]
    while len(kept) < count:
        at = len(kept)
        made = list(rows[at % len(rows)])
        factor = 1 + rng.randint(-10, 10) / 100
        for i, column in enumerate(columns):
            if made[i] and column not in _KEPT and _NUMBER.fullmatch(made[i]):
                made[i] = f"{float(made[i]) * factor:.3g}" if float(made[i]) < 1000 else f"{float(made[i]) * factor:.0f}"
        made[columns.index("id")] = f"{made[0].rstrip('0123456789').rstrip('-')}-{at + 1:03}"
        made[columns.index("name")] = f"{words} {at + 1}"
        kept.append(made)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([header, *kept])
    return out.getvalue()


def _crew(people: int, rows: dict[str, list[str]], rng: random.Random) -> str:
    """The demo's crew, and more people of its roles, each with up to three of the machines that the role runs."""
    header, known = _rows("crew.csv")
    roles = load_plain((DEMO / "settings.yml").read_text("utf-8"), "settings.yml")["roles"]
    columns = [h.partition(" ")[0] for h in header]
    made = list(known[:people])
    taken = {row[0] for row in made}
    number = 100
    while len(made) < people:
        number += 1
        if (id_ := f"P-{number}") in taken:
            continue
        role = list(roles)[number % len(roles)]
        runs = [id_ for kind in roles[role]["machines"] or () for id_ in rows.get(kind, ())]
        cells = {"id": id_, "name": f"Person {number}", "role": role, "machines": " ".join(rng.sample(runs, min(3, len(runs)))),
                 "start": "2026-01-05"}  # fmt: skip
        made.append([cells.get(c, "") for c in columns])
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([header, *made])
    return out.getvalue()


def _ids(table: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in csv.DictReader(table.splitlines()):
        found.setdefault(row.get("kind") or "truck", []).append(row["id"])
    return found


def large_site(folder: Path, machines: int, materials: int, seed: int = 1, people: int | None = None) -> Path:
    """Writes the tables of an invented site into the new ``folder`` and returns it.

    One in ten of the ``machines`` is a haul truck, the others are of all kinds in turn. The crew is the demo's unless the number
    of ``people`` is given.
    """
    rng = random.Random(seed)
    folder.mkdir(parents=True)
    trucks = max(4, machines // 10)
    worked = _grown("machines.csv", max(9, machines - trucks), "Machine", rng)
    (folder / "machines.csv").write_text(worked, "utf-8")
    hauling = _grown("trucks.csv", trucks, "Haul truck", rng)
    (folder / "trucks.csv").write_text(hauling, "utf-8")
    (folder / "materials.csv").write_text(_grown("materials.csv", max(6, materials), "Ground", rng), "utf-8")
    for name in ("crew.csv", "settings.yml"):
        shutil.copy(DEMO / name, folder / name)
    if people is not None:
        (folder / "crew.csv").write_text(_crew(people, {**_ids(worked), **_ids(hauling)}, rng), "utf-8")
    return folder


def weights(web: Path) -> list[str]:
    """What the pages of a web folder weigh: the heaviest, and those that everybody opens, in KB as they are and compressed."""

    def told(path: Path) -> str:
        raw = path.read_bytes()
        return f"{len(raw) / 1024:8.0f} KB  {len(gzip.compress(raw, 6, mtime=0)) / 1024:6.0f} KB  {path.relative_to(web).as_posix()}"

    pages = sorted(web.rglob("*.html"), key=lambda p: (-p.stat().st_size, p.as_posix()))
    opened = (
        "index.html",
        "mentor.html",
        "operator.html",
        "sign-off.html",
        "assets/machines.js",
        "search/search_index.js",
        "offline-worker.js",
    )
    found = (next((p for p in (web / name, folder_of(web) / name) if p.is_file()), None) for name in opened)
    return [*(told(p) for p in pages[:5]), *(told(p) for p in found if p is not None)]


def main() -> None:
    from benchmarks.whole_build import build_of, changed_cell, compiled

    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--machines", type=int, default=1000)
    parser.add_argument("--people", type=int, default=500)
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="a new folder for the site, to look at it")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        site = large_site(asked.keep or Path(name) / "site", asked.machines, 30, people=asked.people)
        env = compiled()
        took, said = build_of(site, env)
        print(f"{asked.machines} machines and trucks, {asked.people} people: {said['pages']} pages")
        print(f"built     {took.seconds:7.1f} s, {took.processor:7.1f} s of processors, {said['memory']} MB at most")
        changed_cell(site)
        took, said = build_of(site, env)
        print(f"again     {took.seconds:7.1f} s, {took.processor:7.1f} s of processors, after one cell was changed; {said['kept']} kept")
        made = [p.stat().st_size for p in (site / "out").rglob("*") if p.is_file()]
        print(f"written   {len(made)} files, {sum(made) / 1e6:.0f} MB")
        print("\n".join(weights(site / "out" / "web")))


if __name__ == "__main__":
    main()
