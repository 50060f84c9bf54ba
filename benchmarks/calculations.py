"""How long the calculations take: one value, many drawn variants, the help text.

Run: python -m benchmarks.calculations
"""

from __future__ import annotations

import random
import subprocess
import sys
import time
import timeit
from pathlib import Path

from generator.book.content import content_folder, read_content
from generator.book.page import site_lead
from generator.calc.catalogue import find
from generator.calc.formula import Formula
from generator.jobsite.reader import read
from generator.quiz.draw import Drawer

ROOT = Path(__file__).resolve().parent.parent


def one_value() -> None:
    """A compiled formula beside the plain sympy way."""
    formula = find("dozing.u_blade_capacity")
    assert isinstance(formula, Formula)
    values = {"blade_width": 3.6, "blade_height": 1.2, "wing_length": 0.6, "wing_angle": 0.4}
    formula(**values)
    mine = timeit.timeit(lambda: formula(**values), number=100_000) / 100_000
    plain = timeit.timeit(lambda: formula.expression.subs(values).evalf(), number=200) / 200
    print(f"one value, ranges checked      {mine * 1e6:8.2f} µs   (goal: under 5)")
    print(f"the plain subs().evalf() way   {plain * 1e6:8.2f} µs   ({plain / mine:,.0f} times as long)")


def variants(count: int = 10_000) -> None:
    """Drawn figures, right answer and what the named mistakes give: a plain and a fuller question."""
    content = read_content(content_folder())
    site = read(ROOT / "site_demo")
    drawer = Drawer(site, content.tables, site_lead(site))
    for lesson, place in (("bench-height", 0), ("side-slope-limits", 1)):
        question = content.questions[lesson][place]
        rng = random.Random(1)
        drawer.figures(question, rng, "us")
        start = time.perf_counter()
        for _ in range(count):
            drawer.figures(question, rng, "us")
        taken = time.perf_counter() - start
        what = f"{len(question.draws)} drawn, {len(question.mistakes)} mistakes"
        print(f"{count:,} variants of {question.id} ({what}) {taken:6.2f} s    (goal: under 1)")


def help_text() -> None:
    """A fresh process that prints the help."""
    command = [sys.executable, "-m", "generator", "--help"]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
        times.append(time.perf_counter() - start)
    print(f"python -m generator --help     {min(times):8.2f} s    (goal: under 0.3)")


if __name__ == "__main__":
    one_value()
    variants()
    help_text()
