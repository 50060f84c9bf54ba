"""``python -m tests.mutants``: plants one wrong version after another in a copy of the program and runs the tests that judge it.

The versions are drawn by a seed from all there are, and as many are tried as the time allows. A version that no test
notices is listed with its file and line, unless ``excused.yml`` names it with a reason. A test that fails without any
change judges nothing: it is named, and the versions that came to it are not counted. Ctrl-C ends a run with its summary.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from tests.conftest import ROOT
from tests.mutants.change import Mutant, is_excused, mutants, unused
from tests.mutants.runner import Copy, Unfit, warm

HERE = Path(__file__).parent
PACKAGES = ("units", "calc", "working", "quiz", "records", "register", "language")
MODULES = ("jobsite/rules.py", "reference/rules.py", "source/overlay.py")  # of packages that are not gone through as a whole


def all_mutants(only: Sequence[str] = ()) -> list[Mutant]:
    """Every wrong version there is, by module; ``only`` names beginnings of modules."""
    out: list[Mutant] = []
    program = ROOT / "generator"
    packages = [path for package in PACKAGES for path in sorted((program / package).rglob("*.py"))]
    for path in [*packages, *(program / module for module in MODULES)]:
        module = path.relative_to(program).as_posix()
        if not only or any(module.startswith(o) for o in only):
            out += mutants(module, path.read_text("utf-8"))
    return out


def judges(module: str, table: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """The tests that judge a module, but for those that are not there."""
    found = next((tests for start, tests in table.items() if module.startswith(start)), ())
    return tuple(t for t in found if (ROOT / t).exists())


def drawn(found: Sequence[Mutant], seed: int) -> list[Mutant]:
    """All of them in an order by the seed, the packages taking turns so that a short run sees each."""
    rng = random.Random(seed)
    by_package: dict[str, list[Mutant]] = {}
    for m in found:
        by_package.setdefault(m.module.partition("/")[0], []).append(m)
    for group in by_package.values():
        rng.shuffle(group)
    out = []
    while any(by_package.values()):
        out += [group.pop() for group in by_package.values() if group]
    return out


_copy: Copy | None = None  # of this process


def _begin(folder: str) -> None:
    global _copy
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the process that sums up
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the tests under way end with it
    _copy = Copy(Path(tempfile.mkdtemp(dir=folder)))


def _try(job: tuple[Mutant, tuple[str, ...]]) -> tuple[Mutant, bool | str]:
    """A wrong version, and whether it is noticed; a test that fails without any change by its name."""
    assert _copy is not None
    try:
        return job[0], _copy.plant(*job)
    except Unfit as e:
        return job[0], str(e)


@dataclass
class Run:
    """What a run has found."""

    tried: Counter[str] = field(default_factory=Counter)  # by package
    caught: Counter[str] = field(default_factory=Counter)
    survivors: list[Mutant] = field(default_factory=list)
    unfit: Counter[str] = field(default_factory=Counter)  # versions that are not counted, by the test that fails without them

    @property
    def code(self) -> int:
        """What the process ends with: 2 where a test fails by itself, 1 where a version was not noticed."""
        return 2 if self.unfit else 1 if self.survivors else 0


def gone_through(results: Iterable[tuple[Mutant, bool | str]], end: float) -> Run:
    """Counts what comes until ``end`` on the monotonic clock, or until Ctrl-C; what is not noticed is printed at once."""
    run = Run()
    try:
        for mutant, noticed in results:
            package = mutant.module.partition("/")[0]
            if isinstance(noticed, str):
                if noticed not in run.unfit:
                    print(f"without any change this fails: {noticed}", flush=True)
                run.unfit[noticed] += 1
            else:
                run.tried[package] += 1
                run.caught[package] += noticed
                if not noticed:
                    run.survivors.append(mutant)
                    print(f"not noticed: {mutant}", flush=True)
            if time.monotonic() > end:
                break
    except KeyboardInterrupt:
        print("\nended by hand")
    return run


def summed_up(run: Run, let: int, unknown: Sequence[str]) -> list[str]:
    """The lines at the end; ``let`` versions were excused, and ``unknown`` excuses name none there is."""
    lines = [""]
    for package, tried in run.tried.items():
        lines.append(f"{package}: {run.caught[package]} of {tried} noticed ({100 * run.caught[package] / tried:.0f}%)")
    total, caught = run.tried.total(), run.caught.total()
    share = f" ({100 * caught / total:.0f}%)" if total else ""
    lines.append(f"all: {caught} of {total} noticed{share}" + (f", {let} excused" if let else ""))
    if run.survivors:
        lines += ["", "not noticed, by name for excused.yml:"]
        for m in sorted(run.survivors, key=lambda m: (m.module, m.line)):
            lines += [f"  generator/{m.module}:{m.line}", f"    {m.name}"]
    lines += [f"without any change {test} fails: {count} not counted" for test, count in run.unfit.items()]
    return lines + [f"excused.yml names a version that is no more: {name}" for name in unknown]


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutants", description="Wrong versions of the program, and whether the tests notice them."
    )
    parser.add_argument("modules", nargs="*", help="beginnings of modules, such as records/ or calc/units (usually all)")
    parser.add_argument("--minutes", type=float, default=60.0, help="how long to go on (usually 60)")
    parser.add_argument("--seed", type=int, help="which versions are drawn (usually at random, and printed)")
    parser.add_argument("--most", type=int, default=10**9, help="how many to try at most")
    parser.add_argument("--workers", type=int, default=2, help="how many are tried at a time (usually 2)")
    args = parser.parse_args()
    seed = random.SystemRandom().randrange(1_000_000) if args.seed is None else args.seed
    table = yaml.safe_load((HERE / "tests_of.yml").read_text("utf-8"))
    excused = yaml.safe_load((HERE / "excused.yml").read_text("utf-8")) or {}
    found = all_mutants(args.modules)
    unknown = unused(excused, [m.name for m in all_mutants()])
    print(f"{len(found)} wrong versions can be made; drawn by seed {seed}, for {args.minutes:g} minutes", flush=True)
    end = time.monotonic() + 60 * args.minutes
    let = 0
    jobs = []
    for mutant in drawn(found, seed)[: args.most]:
        if is_excused(mutant.name, excused):
            let += 1
            continue
        tests = judges(mutant.module, table)
        if not tests:
            print(f"tests_of.yml names no tests for {mutant.module}")
            return 2
        jobs.append((mutant, tests))
    warm()
    with (
        tempfile.TemporaryDirectory(prefix="seatwork-mutants-") as name,
        multiprocessing.get_context("fork").Pool(args.workers, _begin, (name,)) as pool,
    ):
        run = gone_through(pool.imap_unordered(_try, jobs), end)
    for line in summed_up(run, let, unknown):
        print(line)
    return run.code or (1 if unknown else 0)


if __name__ == "__main__":
    sys.exit(main())
