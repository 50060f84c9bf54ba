"""Imports run downwards only, and only the publishing layer knows the site builder."""

from __future__ import annotations

import ast
import re
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


def test_the_formatter_decides() -> None:
    done = subprocess.run([sys.executable, "-m", "ruff", "format", "--check", "."], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_one_reader_of_yaml() -> None:
    """Another reader would let in what this one refuses, and tell the same slip in other words."""
    found = {
        path.relative_to(ROOT / "generator").as_posix()
        for path in (ROOT / "generator").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if (isinstance(node, ast.Import) and any(a.name.partition(".")[0] == "yaml" for a in node.names))
        or (isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] == "yaml")
    }
    assert found == {"source/yamltext.py", "publish/site.py", "book/tongue.py"}  # the other two only write
    for name in ("publish/site.py", "book/tongue.py"):
        text = (ROOT / "generator" / name).read_text("utf-8")
        assert "yaml.safe_dump" in text and not re.search(r"yaml\.\w*load", text)
