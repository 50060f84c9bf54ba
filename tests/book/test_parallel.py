"""Worker processes change nothing but the time, and a build does without them where they fail."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from generator.book import parallel, tree
from generator.book.parallel import Job, Parts, spread
from generator.book.seen import Sources
from generator.publish.build import load
from generator.source.problem import Problem
from generator.source.store import Store
from tests.book.places import added, small

ROOT = Path(__file__).resolve().parents[2]


def squared(shared: int, job: Job) -> int:
    return shared * job.first**2


def dying(shared: int, job: Job) -> int:
    if job.first == 3 and os.getpid() != shared:
        os._exit(1)
    return job.first


def failing(shared: int, job: Job) -> int:
    raise ValueError("not today")


JOBS = [Job("cards", first=i) for i in range(12)]


def made(parts: Parts) -> list[Any]:
    return [parts.of(j) for j in JOBS]


def parts_come_by_job() -> None:
    with spread(squared, 2, JOBS) as parts:
        assert made(parts) == [2 * j.first**2 for j in JOBS]
        assert parts.of(JOBS[0]) is None  # it was handed over


def test_parts_come_by_job_from_new_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "2")
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    parts_come_by_job()


def test_parts_come_by_job_from_copies_of_this_one() -> None:
    """In a process of its own: only one without threads is copied, and here a browser's may run."""
    done = subprocess.run(
        [sys.executable, "-c", "from tests.book.test_parallel import parts_come_by_job; parts_come_by_job()"],
        cwd=ROOT, env={**os.environ, parallel.WORKERS: "2"}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")


def test_one_worker_is_the_caller(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "1")
    with spread(squared, 2, JOBS) as parts:
        assert made(parts) == [None] * 12


def test_what_a_dead_worker_owed_is_left_to_the_caller(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "2")
    with spread(dying, os.getpid(), JOBS) as parts:
        found = made(parts)
    assert found[3] is None
    assert all(x in (i, None) for i, x in enumerate(found))


def test_what_a_job_raises_is_raised_where_its_part_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "2")
    with pytest.raises(ValueError, match="not today") as told, spread(failing, 0, JOBS) as parts:
        made(parts)
    assert "in failing" in str(told.value.__cause__)  # the trace of the worker


def test_no_process_to_be_had(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: Any) -> Any:
        raise OSError("no more processes")

    monkeypatch.setenv(parallel.WORKERS, "2")
    monkeypatch.setattr(parallel, "ProcessPoolExecutor", none)
    with spread(squared, 2, JOBS) as parts:
        assert made(parts) == [None] * 12


def one_worker_too_few() -> None:
    """The system lets one worker start and refuses the second."""
    fork, asked = os.fork, []

    def refused() -> int:
        asked.append(1)
        if len(asked) > 1:
            raise BlockingIOError(11, "Resource temporarily unavailable")
        return fork()

    os.fork = refused
    with spread(squared, 2, JOBS) as parts:
        assert made(parts) == [None] * 12
    assert len(asked) == 2


def test_a_worker_without_its_fellows_does_not_keep_the_build_from_ending() -> None:
    """In a process of its own, which would wait at its end for a worker that waits for work."""
    done = subprocess.run(
        [sys.executable, "-c", "from tests.book.test_parallel import one_worker_too_few; one_worker_too_few()"],
        cwd=ROOT, env={**os.environ, parallel.WORKERS: "2"}, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")


def test_how_many_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(parallel.WORKERS, "3")
    assert parallel.workers() == 3
    monkeypatch.setenv(parallel.WORKERS, "0")
    assert parallel.workers() == 1
    for odd in ("", "many", "²", "-2"):  # no number: as many as there are cores
        monkeypatch.setenv(parallel.WORKERS, odd)
        assert 1 <= parallel.workers() <= parallel.MOST


def test_a_site_can_be_handed_to_a_new_process(tmp_path: Path) -> None:
    """A part made from what was sent is the part made here: pages, keys, ledger, marking, mistakes."""
    site = added(small(tmp_path / "site", "gate", "bench-height"), "gate")
    content, read = load(site)
    shared: tuple[Sources, Store | None] = Sources(tree.taught(content, read), read, ""), None
    sent = pickle.loads(parallel._packed(shared))
    for job in (Job("lesson", "bench-height"), Job("lesson", "gate"), Job("cards", first=0, end=3)):
        here, there = tree.render_part(shared, job), tree.render_part(sent, job)
        back = pickle.loads(pickle.dumps(there))  # as it comes home
        assert back == here
        assert here.tree.docs and not here.tree.problems
    broken = pickle.loads(pickle.dumps(Problem.of("lessons/x.md", 3, "is wrong", "mend it")))
    assert str(broken) == "lessons/x.md:3: is wrong; mend it"


def test_the_tree_is_the_same_with_and_without_workers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site = added(small(tmp_path / "site", "gate", "bench-height"), "gate")
    content, read = load(site)
    monkeypatch.setattr(parallel, "FEWEST_JOBS", 2)
    monkeypatch.setenv(parallel.WORKERS, "1")
    alone = tree.render_tree(content, read)
    monkeypatch.setenv(parallel.WORKERS, "2")
    with spread(
        tree.render_part, (Sources(tree.taught(content, read), read, ""), None), [Job("lesson", "gate"), Job("lesson", "bench-height")]
    ) as parts:
        assert parts.of(Job("lesson", "gate")) is not None
    together = tree.render_tree(content, read)
    assert (together.docs, together.mentor, together.nav, together.marking) == (alone.docs, alone.mentor, alone.nav, alone.marking)
    assert list(together.docs) == list(alone.docs)
    assert together.ledger.entries == alone.ledger.entries
