"""A few cases of the long run (``make fuzz``) in every run of the tests, and the run's own limits."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest

from generator.book.tree import render_tree
from generator.jobsite.reader import read
from generator.publish.build import load
from tests.conftest import ROOT
from tests.fuzz import damage, pool
from tests.fuzz.cases import Sites, Workbooks, held
from tests.fuzz.pool import run
from tests.jobsite.lessons import LESSONS

SLICE = {"site": 4, "result": 12, "workbook": 6, "drawing": 1}


def test_damaged_sites_results_and_workbooks_give_lines_within_limits() -> None:
    out = run([f"{kind}:{20260501 + i}" for kind, count in SLICE.items() for i in range(count)])
    assert out.failed == []
    assert sum(out.counts.values()) == sum(SLICE.values())
    assert 0 < out.largest < pool.MEMORY


def test_a_traceback_a_dead_process_and_a_silent_one_are_failures(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    worker = tmp_path / "worker.py"
    worker.write_text(
        "import sys, os, time, json\n"
        "for line in sys.stdin:\n"
        "    seed = line.strip().partition(':')[2]\n"
        "    if seed == '1': os._exit(3)\n"
        "    if seed == '2': time.sleep(60)\n"
        "    slow = 11.0 if seed == '3' else 0.1\n"
        "    print(json.dumps({'word': 'read', 'error': 'Traceback' if seed == '4' else '', 'seconds': slow, 'memory': 5}), flush=True)\n"
    )
    usual = subprocess.Popen
    monkeypatch.setattr(subprocess, "Popen", lambda command, **more: usual([command[0], str(worker)], **more))
    monkeypatch.setattr(pool, "PATIENCE", 6.0)
    out = run([f"site:{i}" for i in range(6)])
    assert sorted(case for case, _ in out.failed) == ["site:1", "site:2", "site:3", "site:4"]
    assert dict(out.counts) == {"site read": 2} and out.slowest == (11.0, "site:3")


def test_the_memory_limit_is_in_force() -> None:
    code = (
        "import tests.fuzz.cases as c, tests.fuzz.pool as p\n"
        "class Greedy(c.Fuzz):\n    def prepare(self): pass\n    def run(self, seed): return str(len(bytearray(seed)))\n"
        "c.KINDS['greedy'] = Greedy\np._work()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, input=f"greedy:{1 << 20}\ngreedy:{1 << 30}\n", capture_output=True, text=True, check=False
    )
    first, second = done.stdout.splitlines()
    assert '"error": ""' in first and "MemoryError" in second


def test_the_same_seed_gives_the_same_damage() -> None:
    for seed in range(50):
        a, b = (damage.text(random.Random(seed), "a: 1\nb: [2, 3]\n" * 20, ("x" * 50,)) for _ in range(2))
        assert a == b
        assert damage.raw(random.Random(seed), b"abc" * 20) == damage.raw(random.Random(seed), b"abc" * 20)
        tree = {"a": [1, {"b": "c"}], "d": None}
        assert damage.within(random.Random(seed), tree) == damage.within(random.Random(seed), tree)
    assert len({damage.text(random.Random(seed), "a: 1\n" * 20) for seed in range(50)}) > 30


def test_the_site_that_is_damaged_is_a_good_one(tmp_path: Path) -> None:
    """Else the damage would be looked at by the first check only."""
    for kind in ("sites", "books"):
        (tmp_path / kind).mkdir()
    sites = Sites(tmp_path / "sites")
    assert {"settings.yml", "machines.csv", "chapters.yml", "lessons/gate-check.md", "questions/gate-check.yml", "glossary.yml", "cards.yml",
            "cautions.yml", "mistakes.yml", "sheets/frame.html", "look/sheet.css", "allowed-figures.yml"} <= sites.originals.keys()  # fmt: skip
    content, site = load(sites.site)
    assert render_tree(content, site).problems == []
    books = Workbooks(tmp_path / "books")
    (books.site / "site.xlsx").write_bytes(books.original)
    assert read(books.site, LESSONS).machines


@pytest.mark.parametrize("line", ["a\nb", "\x1b[31m", "x" * 3000])
def test_a_line_nobody_can_read_is_a_failure(line: str) -> None:
    with pytest.raises(AssertionError):
        held([line])
