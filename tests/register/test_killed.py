"""A taking-in that is killed leaves all of a batch or nothing of it, and the next one goes on."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.conftest import ROOT
from tests.register.killed import CRASHES


def dying(folder: Path, *what: object) -> Any:
    done = subprocess.run(
        [sys.executable, "-m", "tests.register.killed", str(folder), *map(str, what)],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout)


def test_fifty_takings_in_killed_at_random_moments_leave_whole_batches(tmp_path: Path) -> None:
    counts = dying(tmp_path, 50, 20260501)
    assert counts["batches"] and counts["in the middle"], counts


def test_a_kill_with_the_file_half_written_is_undone(tmp_path: Path) -> None:
    counts = dying(tmp_path, "crashed")
    assert counts["rounds"] == CRASHES and counts["half written"] >= CRASHES // 2, counts
