"""Runs tests on a copy of the program in which a wrong version is planted, one process forked for each run.

What the tests import of the libraries is imported once, before the fork: a run costs little more than its tests.
"""

from __future__ import annotations

import compileall
import contextlib
import importlib
import os
import py_compile
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from tests.conftest import ROOT
from tests.mutants.change import Mutant

LINKED = ("content", "site_demo", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", "Makefile", "requirements.txt", "benchmarks")
LIBRARIES = ("pytest", "hypothesis", "sympy", "pint", "yaml", "jinja2", "markupsafe", "openpyxl", "shapely")
MEMORY = 4 << 30  # bytes; written to; a wrong version that loops may fill all there is, and a browser maps far more than it fills
OPTIONS = ("-x", "-q", "-n", "0", "-p", "no:cacheprovider", "-p", "no:randomly", "-W", "ignore::pytest.PytestAssertRewriteWarning")


class Unfit(Exception):
    """A test that fails without any change."""


def warm() -> None:
    """Imports the libraries, so that each run finds them."""
    for name in LIBRARIES:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


class Copy:
    """A copy of the program in which wrong versions are planted."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self.limits: dict[str, float] = {}  # seconds, by test
        self.unfit: set[str] = set()  # tests that fail without any change
        shutil.copytree(ROOT / "generator", place / "generator", ignore=shutil.ignore_patterns("__pycache__"))
        for name in LINKED:
            (place / name).symlink_to(ROOT / name)
        # compiled once; each import compares the hash of the source, so that a planted one is seen whatever its time
        checked = py_compile.PycInvalidationMode.CHECKED_HASH
        compileall.compile_dir(place / "generator", quiet=2, invalidation_mode=checked, workers=1)

    def run(self, tests: Sequence[str], limit: float) -> tuple[bool, float]:
        """Whether the tests pass, and how long they took in seconds. Too long is a failure: a loop without end."""
        start = time.monotonic()
        child = os.fork()
        if child == 0:
            self._tests(tests)
        done = 0
        try:
            while time.monotonic() - start < limit:
                done, status = os.waitpid(child, os.WNOHANG)
                if done:
                    return status == 0, time.monotonic() - start
                time.sleep(0.02)
        finally:
            if not done:  # too long, or this process is being ended
                for end in (os.killpg, os.kill):  # it leads no group before it has made one
                    with contextlib.suppress(ProcessLookupError):
                        end(child, signal.SIGKILL)
                os.waitpid(child, 0)
        return False, time.monotonic() - start

    def _tests(self, tests: Sequence[str]) -> None:
        """Runs the tests in this process, which ends with them."""
        status = 1
        try:
            os.setsid()
            signal.signal(signal.SIGINT, signal.default_int_handler)
            signal.signal(signal.SIGTERM, signal.SIG_DFL)
            nowhere = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1, 2):
                os.dup2(nowhere, stream)
            resource.setrlimit(resource.RLIMIT_DATA, (MEMORY, MEMORY))
            os.environ.update(PYTHONPATH=str(self.place), PYTHONDONTWRITEBYTECODE="1", SEATWORK_WORKERS="1")
            os.chdir(self.place)
            for name in [n for n in sys.modules if n.partition(".")[0] in {"generator", "tests"}]:
                del sys.modules[name]
            sys.dont_write_bytecode = True
            sys.path[:] = [str(self.place), *(p for p in sys.path if p and Path(p).resolve() != ROOT)]
            import pytest

            with tempfile.TemporaryDirectory(prefix="seatwork-mutant-") as folder:
                status = int(pytest.main([*OPTIONS, f"--basetemp={folder}/t", *tests]))
        finally:
            os._exit(status)

    def plant(self, mutant: Mutant, tests: Sequence[str]) -> bool:
        """Whether one of the tests notices a wrong version; the later ones run only if no earlier one does.

        Raises Unfit where a test fails without any change.
        """
        target = self.place / "generator" / mutant.module
        good = target.read_bytes()
        for test in tests:
            if test in self.unfit:
                raise Unfit(test)
            if test not in self.limits:
                fit, seconds = self.run([test], 3600)
                if not fit:
                    self.unfit.add(test)
                    raise Unfit(test)
                self.limits[test] = 60 + 4 * seconds
            try:
                target.write_text(mutant.source, "utf-8", newline="")
                if not self.run([test], self.limits[test])[0]:
                    return True
            finally:
                target.write_bytes(good)
        return False
