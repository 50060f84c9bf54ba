"""Imports run downwards only, and only the publishing layer knows the site builder."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def test_import_contracts_are_kept() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "4 kept, 0 broken" in done.stdout


def test_help_needs_no_heavy_library() -> None:
    code = (
        "import sys; from generator.cli.main import parser; parser().format_help();"
        "heavy = {'sympy', 'pint', 'mkdocs', 'jinja2', 'yaml'} & set(sys.modules); assert not heavy, heavy"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_types_are_sound() -> None:
    done = subprocess.run([sys.executable, "-m", "mypy"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_style_is_clean() -> None:
    done = subprocess.run([sys.executable, "-m", "ruff", "check", "."], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
