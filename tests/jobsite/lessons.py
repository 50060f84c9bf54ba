"""The ids of the lessons, as the chapters list them."""

from __future__ import annotations

import yaml

from tests.conftest import ROOT

CHAPTERS = yaml.safe_load((ROOT / "content" / "chapters.yml").read_text("utf-8"))
LESSONS = frozenset(str(lesson) for chapter in CHAPTERS for lesson in chapter["lessons"])
