"""How long a whole build takes, one after nothing and one after a cell was changed, beside a plain ``mkdocs build`` of the very Markdown it wrote.

Of a site in several languages plain is one ``mkdocs build`` of each language's Markdown, one after the other.

Run: python -m benchmarks.whole_build [--runs N] [--machines 25 50 100 200]

Every build is a process of its own, so starting Python counts. Its modules are compiled beforehand, as an installed
program's are. The large sites are invented, see ``large_site.py``. All are done in turns, and with several runs the shortest of each is told: what else a machine
does only adds. Where it does much else, compare processor seconds: those of all processes of a build, added up. A
build uses all cores and the plain site builder one, so on two free cores its seconds are far fewer than those.
"""

from __future__ import annotations

import argparse
import csv
import gzip
import itertools
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from functools import reduce
from pathlib import Path
from typing import Any

from benchmarks.large_site import DEMO, large_site
from generator.source.store import FOLDER

ROOT = Path(__file__).resolve().parent.parent
MATERIALS = 30


@dataclass(frozen=True)
class Spent:
    """Seconds by the clock, and of processors in all processes."""

    seconds: float
    processor: float

    def plus(self, more: Spent) -> Spent:
        """Both together."""
        return Spent(self.seconds + more.seconds, self.processor + more.processor)

    def least(self, other: Spent) -> Spent:
        """The fewer of each."""
        return Spent(min(self.seconds, other.seconds), min(self.processor, other.processor))


def compiled() -> dict[str, str]:
    """The environment of all builds, whose modules are compiled now."""
    env = {n: v for n, v in os.environ.items() if n != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run([sys.executable, "-m", "compileall", "-q", "generator", "benchmarks"], cwd=ROOT, check=True, env=env)
    return env


def spent(command: list[str], env: dict[str, str]) -> tuple[Spent, str]:
    """What a command took, with all processes it started, and what it printed."""
    before, start = _processor(), time.perf_counter()
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True, env=env)
    return Spent(time.perf_counter() - start, _processor() - before), done.stdout


def _processor() -> float:
    used = os.times()
    return used.children_user + used.children_system


@dataclass(frozen=True)
class Times:
    """Seconds of one build by stage, of one after nothing and one after a cell changed, of the plain site builder, and what was written."""

    read: float
    render: float
    site: float
    total: Spent
    same: Spent
    again: Spent
    plain: Spent
    pages: int
    kept: str
    heaviest: str
    memory: int  # MB, at most

    def least(self, other: Times) -> Times:
        """The shortest of each of two runs."""
        best = min(self, other, key=lambda t: t.total.seconds)
        return replace(best, **{n: getattr(self, n).least(getattr(other, n)) for n in ("total", "same", "again", "plain")})


def staged(folder: Path, tree: str) -> None:
    """In a process of its own: builds, and prints when each stage began."""
    from generator.publish.build import build

    marks: list[tuple[float, str]] = []
    built = build(folder, lambda said: marks.append((time.perf_counter(), said)), keep_tree=Path(tree) if tree else None)
    end = time.perf_counter()
    print(json.dumps({"marks": marks, "end": end, "pages": built.pages, "kept": built.kept, "memory": peak()}))


def peak() -> int:
    """The most memory this process had, in MB; 0 where the system does not say."""
    try:
        import resource
    except ImportError:  # not to be had on Windows
        return 0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def changed_cell(folder: Path) -> None:
    """Another figure in one cell of the machines: the stick of the second excavator, a tenth longer."""
    path = folder / "machines.csv"
    rows = list(csv.reader(path.read_text("utf-8").splitlines()))
    at = next(i for i, head in enumerate(rows[0]) if head.startswith("stick_length"))
    row = [r for r in rows if r[2] == "excavator"][1]
    row[at] = f"{float(row[at]) * 1.1:.4g}"
    with path.open("w", encoding="utf-8", newline="") as f:
        csv.writer(f, lineterminator="\n").writerows(rows)


def build_of(folder: Path, env: dict[str, str], tree: Path | str = "") -> tuple[Spent, dict[str, Any]]:
    """A build in a process of its own: what it took, and what it says of itself."""
    took, said = spent([sys.executable, "-m", "benchmarks.whole_build", "--staged", str(folder), str(tree)], env)
    return took, json.loads(said.splitlines()[-1])


def plain_builds(tree: Path, place: Path, env: dict[str, str]) -> Spent:
    """What the site builder alone takes for a tree, for each of its languages after the other."""
    took = Spent(0.0, 0.0)
    for config in (tree / "mkdocs.yml", *sorted(tree.glob("??/mkdocs.yml"))):
        command = [
            sys.executable,
            "-m",
            "mkdocs",
            "build",
            "--quiet",
            "--config-file",
            str(config),
            "--site-dir",
            str(place / config.parent.name),
        ]
        took = took.plus(spent(command, {**env, "NO_MKDOCS_2_WARNING": "1"})[0])
    return took


def measured(folder: Path, place: Path, env: dict[str, str]) -> Times:
    """One build of ``folder``, one plain build of its tree, one build more as it is and one after a cell was changed."""
    tree, plain = place / "tree", place / "plain"
    for old in (tree, plain, folder / "out", folder / "editions", folder / FOLDER):
        shutil.rmtree(old, ignore_errors=True)
    total, said = build_of(folder, env, tree)
    marks: list[tuple[float, str]] = [(at, words) for at, words in said["marks"]]
    read = marks[0][0]
    rendered = marks[1][0]
    site = next(at for at, words in marks if words == "building the web folder")
    beside = plain_builds(tree, plain, env)
    sizes = {p: len(gzip.compress(p.read_bytes(), 6, mtime=0)) for p in (folder / "out" / "web").rglob("*.html")}
    largest = max(sizes, key=lambda p: sizes[p])
    same, _ = build_of(folder, env)
    table = (folder / "machines.csv").read_bytes()
    changed_cell(folder)
    again, more = build_of(folder, env)
    (folder / "machines.csv").write_bytes(table)
    return Times(
        rendered - read, site - rendered, said["end"] - site, total, same, again, beside, said["pages"], more["kept"],
        f"{largest.stem} {sizes[largest] / 1024:.0f} KB", said["memory"],
    )  # fmt: skip


HEAD = (
    f"{'seconds':16}{'read':>7}{'render':>8}{'site':>7}{'first':>8}{'same':>7}{'cell':>7}{'plain':>7}{'first':>7}{'same':>6}{'cell':>6}"
    f"{'| processor':>12}{'same':>7}{'cell':>7}{'plain':>7}{'first':>7}{'same':>6}{'cell':>6}{'pages':>7}{'MB':>6}"
    "   kept after the cell, heaviest page compressed"
)


def row(name: str, t: Times) -> str:
    """A line of the printed table: seconds of each build, and each beside plain, by the clock and then of processors."""
    plain = t.plain
    by_clock = (t.total.seconds, t.same.seconds, t.again.seconds)
    processor = (t.total.processor, t.same.processor, t.again.processor)
    clock, work = ([x / p for x in xs] for xs, p in ((by_clock, plain.seconds), (processor, plain.processor)))
    return (
        f"{name:16}{t.read:7.2f}{t.render:8.2f}{t.site:7.2f}{by_clock[0]:8.2f}{by_clock[1]:7.2f}{by_clock[2]:7.2f}{plain.seconds:7.2f}"
        f"{clock[0]:7.2f}{clock[1]:6.2f}{clock[2]:6.2f}"
        f"{processor[0]:12.2f}{processor[1]:7.2f}{processor[2]:7.2f}{plain.processor:7.2f}"
        f"{work[0]:7.2f}{work[1]:6.2f}{work[2]:6.2f}{t.pages:7}{t.memory:6}   {t.kept}, {t.heaviest}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=1, help="builds of each site; the shortest is told")
    parser.add_argument("--machines", type=int, nargs="*", default=[25, 50, 100, 200], help="sizes of the large sites")
    parser.add_argument("--staged", nargs=2, metavar=("FOLDER", "TREE"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.staged:
        staged(Path(asked.staged[0]), asked.staged[1])
        return
    print(HEAD)
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        sites = {"demo": place / "demo"}
        shutil.copytree(DEMO, sites["demo"], ignore=shutil.ignore_patterns("out", "editions", "results", "register", ".*"))
        for machines in asked.machines:
            sites[f"{machines} machines"] = large_site(place / f"site-{machines}", machines, MATERIALS)
        env = compiled()
        found: dict[str, Times] = {}
        for words, folder in sites.items():
            found[words] = reduce(Times.least, (measured(folder, place, env) for _ in range(max(1, asked.runs))))
            print(row(words, found[words]), flush=True)
            for made in ("tree", "plain"):
                shutil.rmtree(place / made, ignore_errors=True)
    print("beside plain: goal on the demo at most 1.25 first, at most 0.5 after nothing or a cell was changed")
    grown = [(n, found[f"{n} machines"].total.seconds) for n in sorted(asked.machines)]
    for (few, less), (many, more) in itertools.pairwise(grown):
        print(f"from {few} to {many} machines: {(more - less) / (many - few) * 1000:.0f} ms a machine")


if __name__ == "__main__":
    main()
