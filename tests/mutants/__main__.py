"""``python -m tests.mutants``: plants one wrong version after another in a copy of the program and runs the tests that judge it.

The versions are drawn by a seed from all there are, and as many are tried as the time allows. A version that no test
notices is listed with its file and line, unless ``excused.yml`` names it with a reason.
"""

from __future__ import annotations

import argparse
import compileall
import os
import py_compile
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

import yaml

from tests.conftest import ROOT
from tests.mutants.change import Mutant, mutants

HERE = Path(__file__).parent
PACKAGES = ("units", "calc", "working", "quiz", "records")
LINKED = ("content", "site_demo", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", "Makefile", "requirements.txt", "benchmarks")


def all_mutants(only: Sequence[str] = ()) -> list[Mutant]:
    """Every wrong version there is, by module; ``only`` names beginnings of modules."""
    out: list[Mutant] = []
    for package in PACKAGES:
        for path in sorted((ROOT / "generator" / package).rglob("*.py")):
            module = path.relative_to(ROOT / "generator").as_posix()
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


class Copy:
    """A copy of the program in which wrong versions are planted."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self.limits: dict[str, float] = {}  # seconds, by test
        shutil.copytree(ROOT / "generator", place / "generator", ignore=shutil.ignore_patterns("__pycache__"))
        for name in LINKED:
            (place / name).symlink_to(ROOT / name)
        # compiled once; each import compares the hash of the source, so that a planted one is seen whatever its time
        checked = py_compile.PycInvalidationMode.CHECKED_HASH
        compileall.compile_dir(place / "generator", quiet=2, invalidation_mode=checked, workers=1)

    def run(self, tests: Sequence[str], limit: float) -> tuple[bool, float]:
        """Whether the tests pass, and how long they took in seconds. Too long is a failure: a loop without end."""
        start = time.monotonic()
        command = [sys.executable, "-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider", "-p", "no:randomly", *tests]
        rest = os.environ.get("PYTHONPATH", "").split(os.pathsep)
        path = os.pathsep.join((str(self.place), *(p for p in rest if p and Path(p).resolve() != ROOT)))
        env = {**os.environ, "PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1", "SEATWORK_WORKERS": "1"}
        with subprocess.Popen(command, cwd=self.place, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as running:
            try:
                status = running.wait(limit)
            except subprocess.TimeoutExpired:
                running.kill()
                status = -1
        return status == 0, time.monotonic() - start

    def plant(self, mutant: Mutant, tests: Sequence[str]) -> bool:
        """Whether one of the tests notices a wrong version; the later ones run only if no earlier one does.

        Raises Unfit where a test fails without any change.
        """
        target = self.place / "generator" / mutant.module
        good = target.read_bytes()
        for test in tests:
            if test not in self.limits:
                fit, seconds = self.run([test], 3600)
                if not fit:
                    raise Unfit(test)
                self.limits[test] = 60 + 4 * seconds
            try:
                target.write_text(mutant.source, "utf-8", newline="")
                if not self.run([test], self.limits[test])[0]:
                    return True
            finally:
                target.write_bytes(good)
        return False


class Unfit(Exception):
    """A test that fails without any change."""


def main() -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutants", description="Wrong versions of the program, and whether the tests notice them."
    )
    parser.add_argument("modules", nargs="*", help="beginnings of modules, such as records/ or calc/units (usually all)")
    parser.add_argument("--minutes", type=float, default=60.0, help="how long to go on (usually 60)")
    parser.add_argument("--seed", type=int, help="which versions are drawn (usually at random, and printed)")
    parser.add_argument("--most", type=int, default=10**9, help="how many to try at most")
    args = parser.parse_args()
    seed = random.SystemRandom().randrange(1_000_000) if args.seed is None else args.seed
    table = yaml.safe_load((HERE / "tests_of.yml").read_text("utf-8"))
    excused = yaml.safe_load((HERE / "excused.yml").read_text("utf-8")) or {}
    found = all_mutants(args.modules)
    unknown = sorted(set(excused) - {m.name for m in all_mutants()})
    print(f"{len(found)} wrong versions can be made; drawn by seed {seed}, for {args.minutes:g} minutes", flush=True)
    end = time.monotonic() + 60 * args.minutes
    caught: Counter[str] = Counter()
    tried: Counter[str] = Counter()
    survivors: list[Mutant] = []
    let = 0
    with tempfile.TemporaryDirectory(prefix="seatwork-mutants-") as name:
        copy = Copy(Path(name))
        for mutant in drawn(found, seed)[: args.most]:
            if time.monotonic() > end:
                break
            if mutant.name in excused:
                let += 1
                continue
            tests = judges(mutant.module, table)
            if not tests:
                print(f"tests_of.yml names no tests for {mutant.module}")
                return 2
            package = mutant.module.partition("/")[0]
            try:
                noticed = copy.plant(mutant, tests)
            except Unfit as e:
                print(f"without any change this fails: {e}")
                return 2
            tried[package] += 1
            if noticed:
                caught[package] += 1
            else:
                survivors.append(mutant)
                print(f"not noticed: {mutant}", flush=True)
    print()
    for package in tried:
        print(f"{package}: {caught[package]} of {tried[package]} noticed ({100 * caught[package] / tried[package]:.0f}%)")
    total = sum(tried.values())
    print(
        f"all: {sum(caught.values())} of {total} noticed"
        + (f" ({100 * sum(caught.values()) / total:.0f}%)" if total else "")
        + (f", {let} excused" if let else "")
    )
    if survivors:
        print("\nnot noticed, by name for excused.yml:")
        for m in sorted(survivors, key=lambda m: (m.module, m.line)):
            print(f"  generator/{m.module}:{m.line}\n    {m.name}")
    for name in unknown:
        print(f"excused.yml names a version that is no more: {name}")
    return 1 if survivors or unknown else 0


if __name__ == "__main__":
    sys.exit(main())
