"""Runs cases in processes of their own, with limits on their memory and time."""

from __future__ import annotations

import json
import os
import resource
import selectors
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.conftest import ROOT

MEMORY = 1 << 30  # bytes of one process, all of the program in it
SECONDS = 10.0  # of one case, of the processor
PATIENCE = 300.0  # of one case, by the clock: a busy machine is no fault


@dataclass
class Outcome:
    """What came out: how often what, and the cases that failed with what they said."""

    counts: Counter[str] = field(default_factory=Counter)
    failed: list[tuple[str, str]] = field(default_factory=list)
    slowest: tuple[float, str] = (0.0, "")
    largest: int = 0  # bytes, of any process


class _Worker:
    def __init__(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.fuzz.pool"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": os.pathsep.join((str(ROOT), os.environ.get("PYTHONPATH", ""))), "SEATWORK_WORKERS": "1"},
        )  # fmt: skip
        self.case, self.since = "", 0.0

    def give(self, case: str) -> None:
        assert self.process.stdin is not None
        self.case, self.since = case, time.monotonic()
        self.process.stdin.write(f"{case}\n".encode())
        self.process.stdin.flush()

    def end(self) -> None:
        self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                pipe.close()


def run(cases: Sequence[str], workers: int = 1) -> Outcome:
    """Run cases such as ``site:12``; the same cases give the same outcome, but for the times."""
    out = Outcome()
    waiting: Iterator[str] = iter(cases)
    with selectors.DefaultSelector() as ready:

        def start(worker: _Worker | None = None) -> None:
            case = next(waiting, None)
            if case is None:
                if worker is not None:
                    worker.end()
                return
            worker = worker or _Worker()
            worker.give(case)
            ready.register(worker.process.stdout, selectors.EVENT_READ, worker)  # type: ignore[arg-type]

        for _ in range(min(workers, len(cases))):
            start()
        while ready.get_map():
            answered = [key.data for key, _ in ready.select(timeout=1.0)]
            for worker in [key.data for key in list(ready.get_map().values())]:
                late = time.monotonic() - worker.since > PATIENCE
                if worker not in answered and not late:
                    continue
                ready.unregister(worker.process.stdout)
                line = worker.process.stdout.readline() if worker in answered else b""
                if line:
                    _note(out, worker.case, json.loads(line))
                    start(worker)
                else:
                    worker.end()
                    out.failed.append(
                        (
                            worker.case,
                            f"no answer in {PATIENCE:.0f} s" if late else f"the process died (status {worker.process.returncode})",
                        )
                    )
                    start()
    return out


def _note(out: Outcome, case: str, told: dict[str, object]) -> None:
    seconds = float(str(told["seconds"]))
    out.largest = max(out.largest, int(str(told["memory"])))
    out.slowest = max(out.slowest, (seconds, case))
    if told["error"]:
        out.failed.append((case, str(told["error"])))
    elif seconds > SECONDS:
        out.failed.append((case, f"took {seconds:.1f} s"))
    else:
        out.counts[f"{case.partition(':')[0]} {told['word']}"] += 1


def _work() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)  # nothing else may answer
    from tests.fuzz.cases import KINDS, Fuzz

    made: dict[str, Fuzz] = {}
    with tempfile.TemporaryDirectory(prefix="seatwork-fuzz-") as place:
        for line in sys.stdin:
            kind, _, seed = line.strip().partition(":")
            word = error = ""
            if kind not in made:
                (Path(place) / kind).mkdir()
                made[kind] = KINDS[kind](Path(place) / kind)
            begin = time.process_time()
            try:
                word = made[kind].run(int(seed))
            except BaseException:
                error = traceback.format_exc()[-3000:]
            told = {"word": word, "error": error, "seconds": time.process_time() - begin,
                    "memory": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024}  # fmt: skip
            answers.write(json.dumps(told) + "\n")
            answers.flush()


if __name__ == "__main__":
    _work()
