"""How the problems of lessons, questions and other texts are told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from generator.source.problem import Problem

NONE_HERE = "none-here:"  # begins the code of what shows a truck, machine or material where the site has none
FITS_NONE = "fits-none"  # the code of a table for which every machine is left out
_OF_LESSON = "'with:'"  # in a fix that only who writes the lesson can carry out
_SHIPPED = re.compile(r"content/(?:lessons|questions)/([a-z0-9-]+)\.")


def told(problems: Iterable[Problem]) -> list[Problem]:
    """What to tell of each problem. What a shipped lesson makes of the site's own figures is told once, where they stand."""
    found = [(p, m[1] if (m := _SHIPPED.match(p.file)) else "") for p in problems]
    caused = {lesson for p, lesson in found if lesson and p.causes}
    out: dict[Problem, None] = {}
    said: set[tuple[str, str]] = set()
    for p, lesson in found:
        if lesson and p.code.startswith(NONE_HERE):
            none = p.code.removeprefix(NONE_HERE)
            out[Problem("settings.yml", None, None, f"the lesson {lesson} shows a {none}, and this site has none",
                        f"add one to the table {none}s, or take the lesson out of the roles", code=p.code)] = None  # fmt: skip
        elif lesson and p.causes:
            if (lesson, p.reason) not in said:
                said.add((lesson, p.reason))
                out[_at_its_cause(p, lesson)] = None
        elif p.causes:
            out[replace(p, fix=f"{p.fix}, worked from {', '.join(map(str, p.causes))}")] = None
        elif lesson and p.code == FITS_NONE:
            if lesson not in caused:  # else mended with the figures
                out[Problem("settings.yml", None, None, f"no machine of this site has all that the table of the lesson {lesson} needs",
                            "fill in the blank columns of one, or take the lesson out of the roles", code=p.code)] = None  # fmt: skip
        else:
            out[p] = None
    return list(out)


def _at_its_cause(p: Problem, lesson: str) -> Problem:
    first, *others = p.causes
    beside = f", with {', '.join(map(str, others))}" if others else ""
    fix = "check these figures and their units, or take the lesson out of the roles" if _OF_LESSON in p.fix else p.fix
    what = f"the lesson {lesson} cannot be worked from this figure ({first.figure}){beside}: {p.reason}"
    return replace(p, file=first.file, line=first.line, column=first.column, what=what, fix=fix)
