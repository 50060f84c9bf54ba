"""How long a whole build takes, beside a plain ``mkdocs build`` of the very Markdown it wrote.

Run: python -m benchmarks.whole_build [--runs N] [--machines 25 50 100 200]

Every build is a process of its own, so starting Python counts. The large sites are invented, see
``large_site.py``. With several runs the shortest is told: what else a machine does only adds.
"""

from __future__ import annotations

import argparse
import gzip
import itertools
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from benchmarks.large_site import DEMO, large_site

ROOT = Path(__file__).resolve().parent.parent
MATERIALS = 30


@dataclass(frozen=True)
class Times:
    """Seconds of one build by stage, of the plain site builder, and what the build wrote."""

    read: float
    render: float
    site: float
    total: float
    plain: float
    pages: int
    heaviest: str
    memory: int  # MB, at most

    @property
    def ratio(self) -> float:
        """The whole build as a multiple of the plain site builder."""
        return self.total / self.plain


def staged(folder: Path, tree: Path) -> None:
    """In a process of its own: builds, and prints when each stage began."""
    from generator.publish.build import build

    marks: list[tuple[float, str]] = []
    built = build(folder, lambda said: marks.append((time.perf_counter(), said)), keep_tree=tree)
    end = time.perf_counter()
    try:
        import resource

        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    except ImportError:  # not to be had on Windows
        memory = 0
    print(json.dumps({"marks": marks, "end": end, "pages": built.pages, "memory": memory}))


def measured(folder: Path, place: Path) -> Times:
    """One build of ``folder`` and one plain build of its tree."""
    tree, plain = place / "tree", place / "plain"
    for old in (tree, plain, folder / "out", folder / "editions"):
        shutil.rmtree(old, ignore_errors=True)
    env = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks.whole_build", "--staged", str(folder), str(tree)],
        cwd=ROOT, check=True, capture_output=True, text=True, env=env,
    )  # fmt: skip
    total = time.perf_counter() - start
    said = json.loads(done.stdout.splitlines()[-1])
    marks: list[tuple[float, str]] = [(at, words) for at, words in said["marks"]]
    read = marks[0][0]
    rendered = marks[1][0]
    site = next(at for at, words in marks if words == "building the web folder")
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--quiet", "--config-file", str(tree / "mkdocs.yml"), "--site-dir", str(plain)],
        check=True, capture_output=True, env=env,
    )  # fmt: skip
    beside = time.perf_counter() - start
    sizes = {p: len(gzip.compress(p.read_bytes(), 6, mtime=0)) for p in (folder / "out" / "web").rglob("*.html")}
    largest = max(sizes, key=lambda p: sizes[p])
    return Times(
        rendered - read, site - rendered, said["end"] - site, total, beside, said["pages"],
        f"{largest.stem} {sizes[largest] / 1024:.0f} KB", said["memory"],
    )  # fmt: skip


def row(name: str, t: Times) -> str:
    """A line of the printed table."""
    return (
        f"{name:24}{t.read:7.2f}{t.render:9.2f}{t.site:8.2f}{t.total:8.2f}{t.plain:9.2f}{t.ratio:8.2f}"
        f"{t.pages:7}{t.memory:6}   {t.heaviest}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=1, help="builds of each site; the shortest is told")
    parser.add_argument("--machines", type=int, nargs="*", default=[25, 50, 100, 200], help="sizes of the large sites")
    parser.add_argument("--staged", nargs=2, metavar=("FOLDER", "TREE"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.staged:
        staged(*(Path(p) for p in asked.staged))
        return
    print(
        f"{'seconds':24}{'read':>7}{'render':>9}{'site':>8}{'total':>8}{'plain':>9}{'ratio':>8}{'pages':>7}{'MB':>6}   heaviest page, compressed"
    )
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        sites = {"demo": place / "demo"}
        shutil.copytree(DEMO, sites["demo"], ignore=shutil.ignore_patterns("out", "editions", "results", "register", ".*"))
        for machines in asked.machines:
            sites[f"{machines} machines"] = large_site(place / f"site-{machines}", machines, MATERIALS)
        found: dict[str, Times] = {}
        for words, folder in sites.items():
            found[words] = min((measured(folder, place) for _ in range(max(1, asked.runs))), key=lambda t: t.total)
            print(row(words, found[words]), flush=True)
            for made in ("tree", "plain"):
                shutil.rmtree(place / made, ignore_errors=True)
    print("ratio: total beside plain, goal at most 1.3 on the demo and on 200 machines")
    grown = [(n, found[f"{n} machines"].total) for n in sorted(asked.machines)]
    for (few, less), (many, more) in itertools.pairwise(grown):
        print(f"from {few} to {many} machines: {(more - less) / (many - few) * 1000:.0f} ms a machine")


if __name__ == "__main__":
    main()
