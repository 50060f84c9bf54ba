"""The lesson on stopping work shows every limit the site has set, and when to ask first."""

from __future__ import annotations

import html
import re
from pathlib import Path

import yaml


def test_every_limit_and_every_reason_to_ask_stands_on_the_page(demo: Path) -> None:
    limits = yaml.safe_load((demo / "settings.yml").read_text("utf-8"))["limits"]
    page = (demo / "out/web/lessons/stop-work.html").read_text("utf-8")
    text = html.unescape(re.sub(r"<[^>]+>", " ", page))
    table = text[text.index("The limits of this site. The rules") : text.index("Ask first when")]
    figures = {k: str(v) for k, v in limits.items() if k not in {"decided_by", "decided_on", "ask_first"}}
    assert len(figures) > 5
    for name, figure in figures.items():
        assert re.search(rf"(?<![\d.]){re.escape(figure)}(?![\d.])", table), f"{name}: {figure} is not in the table"
    for reason in limits["ask_first"]:
        assert reason in text, reason
    assert limits["decided_by"] in text
