"""A register whose writers die: run as a program of its own, so that it can fork and kill its children.

``python -m tests.register.killed FOLDER ROUNDS SEED`` lets a child take in batch after batch, kills it at a random
moment, and looks at what is left: the file opens, its chain holds, every batch is there whole or not at all, and
none is missing that the child had said was in.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from collections import Counter
from pathlib import Path

from generator.register.entry import New
from generator.register.store import FILE, Register
from tests.register.rows import TAKEN

BATCH = 40
CRASHES = 12
FRESH = 10  # rounds, and then another register, so that its beginning is met too


def batch(start: int, number: int) -> list[New]:
    """A batch of a round: always the same, as a file that lies there to be read."""
    return [
        New("result", "2026-03-10", {"batch": [start, number], "answers": ["x" * 200]}, f"{start}.{number}.{i}", crew=f"P-{i:02}",
            lesson="bench-height", where=f"results/{start}-{number}-{i}.json")
        for i in range(BATCH)
    ]  # fmt: skip


def writer(folder: Path, start: int, told: int) -> None:
    with Register.open(folder, create=True) as r:
        r._db.execute("PRAGMA cache_size = 8")  # so that pages go to the file before the end, as they do in a large batch
        for number in range(10_000):
            r.take(batch(start, number), TAKEN)
            os.write(told, b".")


def whole(folder: Path, start: int) -> int:
    """How many batches of a round are there, all whole and in order; and everything holds."""
    with Register.open(folder) as r:
        walked = r.verify()
        assert walked.problem is None, walked
        found = Counter(e.body["batch"][1] for e in r.entries() if e.body["batch"][0] == start)
        places = sum(bool(e.where) for e in r.entries())
    assert places == walked.rows, "a place was lost"
    assert set(found.values()) <= {BATCH}, found
    assert sorted(found) == list(range(len(found))), found
    return len(found)


def killed(place: Path, rounds: int, seed: int) -> dict[str, int]:
    """Kills at random moments; how many batches were taken in, and how many kills fell into a batch."""
    dice = random.Random(seed)
    counts = Counter[str]()
    for start in range(rounds):
        folder = place / str(start // FRESH)
        folder.mkdir(exist_ok=True)
        reads, told = os.pipe()
        child = os.fork()
        if not child:
            os.close(reads)
            try:
                writer(folder, start, told)
            finally:
                os._exit(1)
        os.close(told)
        said = b""
        for _ in range(dice.choice((0, 0, 1, 2))):
            said += os.read(reads, 1)
        time.sleep(dice.uniform(0.0, 0.02))
        os.kill(child, signal.SIGKILL)
        assert os.waitpid(child, 0)[1] == signal.SIGKILL
        while more := os.read(reads, 4096):
            said += more
        os.close(reads)
        counts["in the middle"] += (folder / f"{FILE}-journal").exists()
        there = 0
        if (folder / FILE).exists():
            there = whole(folder, start)
            assert len(said) <= there <= len(said) + 1, (len(said), there)
        else:  # killed before it began one
            assert not said
            counts["before"] += 1
        counts["batches"] += there
        again(folder, start, there)
    return dict(counts)


def again(folder: Path, start: int, there: int) -> None:
    """What lies there is read again: what is in stays, what is not comes in."""
    with Register.open(folder, create=True) as r:
        before = r.head()
        for number in range(there):
            assert not any(new for _, new in r.take(batch(start, number), TAKEN))
        assert r.head() == before
        answers = r.take(batch(start, there), TAKEN)
        assert [n for n, new in answers if new] == list(range(before[0] + 1, before[0] + BATCH + 1))
    assert [p.name for p in (folder / FILE).parent.iterdir()] == [Path(FILE).name]


def crashed(folder: Path) -> dict[str, int]:
    """Dies by its own hand at set moments of one taking-in, from its first statement to its last."""
    with Register.open(folder, create=True) as r:
        r.take(batch(0, 0), TAKEN)
    counts = Counter[str]()
    for start in range(1, CRASHES + 1):
        before = (folder / FILE).read_bytes()
        child = os.fork()
        if not child:
            at = 1 + start * (2 * BATCH) // CRASHES
            with Register.open(folder, write=True) as r:
                r._db.execute("PRAGMA cache_size = 8")
                seen = [0]

                def count(_: str, seen: list[int] = seen, at: int = at) -> None:
                    seen[0] += 1
                    if seen[0] == at:
                        os.kill(os.getpid(), signal.SIGKILL)

                r._db.set_trace_callback(count)
                r.take(batch(start, 0), TAKEN)
            os._exit(1)
        assert os.waitpid(child, 0)[1] == signal.SIGKILL
        counts["half written"] += (folder / FILE).read_bytes() != before
        assert whole(folder, start) == 0
        again(folder, start, 0)
        counts["rounds"] += 1
    return dict(counts)


if __name__ == "__main__":
    place = Path(sys.argv[1])
    print(json.dumps(crashed(place) if sys.argv[2] == "crashed" else killed(place, int(sys.argv[2]), int(sys.argv[3]))))
