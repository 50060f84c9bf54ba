"""How the problems of lessons, questions and other texts are told."""

from __future__ import annotations

import re
from collections.abc import Iterable

from generator.source.problem import Problem

NONE_HERE = "none-here:"  # begins the code of what shows a truck, machine or material where the site has none
_SHIPPED = re.compile(r"content/(?:lessons|questions)/([a-z0-9-]+)\.")


def told(problems: Iterable[Problem]) -> list[str]:
    """A line for each problem; one for a shipped lesson that shows what the site has none of."""
    lines: dict[str, None] = {}
    for p in problems:
        lesson = _SHIPPED.match(p.file)
        if lesson and p.code.startswith(NONE_HERE):
            none = p.code.removeprefix(NONE_HERE)
            lines[f"settings.yml: the lesson {lesson[1]} shows a {none}, and this site has none; "
                  f"add one to the table {none}s, or take the lesson out of the roles"] = None  # fmt: skip
        else:
            lines[str(p)] = None
    return list(lines)
