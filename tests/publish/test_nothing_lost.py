"""What was published stays: builds that fail, are killed, meet each other or a full disk."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT
from tests.records.small import small_site


def dying(site: Path, *what: object) -> Any:
    done = subprocess.run(
        [sys.executable, "-m", "tests.publish.dying", str(site), *map(str, what)],
        cwd=ROOT, capture_output=True, text=True, check=False, timeout=200,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


def test_builds_killed_at_random_moments_leave_a_whole_handbook(site: Path) -> None:
    counts = dying(site, "killed", 32, 20260501)
    assert sum(counts.values()) == 32
    assert counts["before"] + counts["after"] >= 13 and counts["before"] and counts["after"], counts


def test_a_kill_right_after_the_swap_loses_no_figures(site: Path) -> None:
    assert dying(site, "dies_after_swap") == {"out": "second", "kept": False, "kept after": True}


def test_two_builds_at_once_do_not_mix(site: Path) -> None:
    found = dying(site, "two_at_once")
    assert found["good"] >= 1 and found["out"] in {"one", "two"}


def test_a_folder_that_cannot_be_written_stays_as_it_was(site: Path) -> None:
    site.parent.chmod(0o755)
    assert dying(site, "read_only") == {"out": "first", "status": 0}


def test_a_full_disk_leaves_the_last_good_handbook(site: Path) -> None:
    assert dying(site, "full_disk", 12) == {"refused": 12}


def test_the_real_command_killed(site: Path) -> None:
    """With the real site builder, from a terminal: built, then killed when it begins to write and when it writes pages."""
    command = [sys.executable, "-m", "generator", "build", str(site), "--quiet"]
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    subprocess.run(command, cwd=site.parent, check=True, capture_output=True, env=env)
    before = prints(site / "out")
    settings = site / "settings.yml"
    settings.write_text(settings.read_text("utf-8").replace("edition: ", "edition: x", 1), "utf-8")
    for seen in (".out-*/tree", ".out-*/out/web/lessons/*.html"):
        for left in site.glob(".out-*"):
            shutil.rmtree(left)
        running = subprocess.Popen(command, cwd=site.parent, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL, env=env)
        try:
            while not any(site.glob(seen)):
                assert running.poll() is None, f"it ended before there was {seen}"
                time.sleep(0.005)
        finally:
            running.send_signal(signal.SIGKILL)
            ended = running.wait()
        assert ended == -signal.SIGKILL
        assert prints(site / "out") == before
    subprocess.run(command, cwd=site.parent, check=True, capture_output=True, env=env)
    assert prints(site / "out") != before


def prints(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*")) if p.is_file()
    }  # fmt: skip
