"""An invented job site of any size, for measuring: the demo's rows scaled by seeded factors.

No row stands for a real machine or ground. The settings are the demo's, so every lesson is taught.
"""

from __future__ import annotations

import csv
import io
import random
import shutil
from pathlib import Path

DEMO = Path(__file__).resolve().parent.parent / "site_demo"
# columns that keep the figure of the row they come from: shares, angles, speeds, soil facts
_KEPT = {
    "id", "name", "kind", "note", "shoe_width", "narrow_width", "gauge_narrow", "gauge_wide", "track_gauge",
    "overall_width", "body_width", "push_speed", "return_speed", "swing_speed", "soil_type", "traction", "shrinkage", "fill",
    "repose", "swell", "blade_height",
}  # fmt: skip


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
            if made[i] and column not in _KEPT:
                made[i] = f"{float(made[i]) * factor:.3g}" if float(made[i]) < 1000 else f"{float(made[i]) * factor:.0f}"
        made[columns.index("id")] = f"{made[0].rstrip('0123456789').rstrip('-')}-{at + 1:03}"
        made[columns.index("name")] = f"{words} {at + 1}"
        kept.append(made)
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([header, *kept])
    return out.getvalue()


def large_site(folder: Path, machines: int, materials: int, seed: int = 1) -> Path:
    """Writes the tables of an invented site into the new ``folder`` and returns it.

    One in ten of the ``machines`` is a haul truck, the others are of all kinds in turn.
    """
    rng = random.Random(seed)
    folder.mkdir(parents=True)
    trucks = max(4, machines // 10)
    (folder / "machines.csv").write_text(_grown("machines.csv", max(9, machines - trucks), "Machine", rng), "utf-8")
    (folder / "trucks.csv").write_text(_grown("trucks.csv", trucks, "Haul truck", rng), "utf-8")
    (folder / "materials.csv").write_text(_grown("materials.csv", max(6, materials), "Ground", rng), "utf-8")
    for name in ("crew.csv", "settings.yml"):
        shutil.copy(DEMO / name, folder / name)
    return folder
