"""Prints what the outside checks say: ``python -m tests.outside.report``."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Iterable, Sequence

from generator.calc.catalogue import TOPICS, calculations
from generator.reference import checks as written_checks
from generator.reference.checks import GROUPS, Check, CheckResult
from generator.units.quantity import natural
from generator.units.table import UNITS
from generator.units.writing import written
from tests.outside import planted_steps
from tests.outside.collected import CONTENT, all_checks, library_checks, tables
from tests.outside.planted import scores
from tests.outside.test_outside_checks import unchecked

WIDTH = 99


def kind(check: Check) -> str:
    """What a check rests on, in a word or two."""
    if check.standing == "library":
        return "library"
    if check.standing == "common practice":
        return "common practice"
    memory = ", from memory" if check.seen == "from memory" else ""
    if check.standing == "published":
        return "printed" + memory
    if memory:
        return "worked" + memory
    return "worked from source" if check.source else "worked by rule"


def library(check: Check) -> str:
    """Which library gives an opinion."""
    if check.file.startswith("tests"):
        return check.place.partition(":")[0]
    return check.source or "library"


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: str) -> list[str]:
    """Rows as lines of plain text; ``right`` holds an ``r`` for each column set to the right."""
    rows = [head, *rows]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    out = []
    for row in rows:
        cells = [c.rjust(w) if side == "r" else c.ljust(w) for c, w, side in zip(row, widths, right, strict=True)]
        out.append("  ".join(cells).rstrip())
    out.insert(1, "  ".join("-" * w for w in widths))
    return out


def short(text: str, longest: int) -> str:
    """Text cut to a length, with a mark where it is cut."""
    return text if len(text) <= longest else text[: longest - 1] + "…"


def digits(value: float, unit: str) -> str:
    """Seven digits of a figure that a library gives with all of its own."""
    label = UNITS[unit].label
    gap = "" if not label or label in {"%", "°", ":1"} else " "
    return written(natural(value, 7)) + gap + label


def check_rows(results: Iterable[CheckResult]) -> list[list[str]]:
    """A row for each check; a calculation is named on its first row only."""
    rows, before = [], ""
    for r in results:
        name, says, gets, rests = r.check.calculation, r.says, r.gets, kind(r.check)
        if r.check.standing == "library" and isinstance(r.value, float):
            says, gets = digits(float(r.check.expected), r.check.unit), digits(r.value, r.check.unit)
            rests = library(r.check)
        if not r.ok:
            rests = f"FAILS, {rests}"
        elif r.check.erratum is not None:
            rests = f"misprinted {r.check.erratum.printed}"
        rows.append([
            "" if name == before else name, short(says, 18), short(gets, 18),
            r.differs.replace("less than ", "<"), short(rests, 22),
        ])  # fmt: skip
        before = name
    return rows


def listed(title: str, names: Sequence[str]) -> list[str]:
    """A heading and a wrapped list, or that there are none."""
    if not names:
        return [f"{title}: none"]
    return [f"{title}:", *textwrap.wrap(", ".join(names), WIDTH - 2, initial_indent="  ", subsequent_indent="  ")]


def rests_on() -> dict[str, int]:
    """How many different figures the checks rest on, with the libraries that are really asked."""
    asked = {(check.library, check.calculation) for _, check in library_checks()}
    return written_checks.tally(written_checks.load(CONTENT), asked)


def counted_lines() -> list[str]:
    """A line for each of the five counts."""
    return [f"  {n:4}  {GROUPS[name]}" for name, n in rests_on().items()]


def report() -> tuple[list[str], bool]:
    """The lines to print, and whether all is well."""
    order = {id_: i for i, id_ in enumerate(calculations())}
    results = [written_checks.run(c, tables()) for c in all_checks()]
    results.sort(key=lambda r: order[r.check.calculation])
    failing = [r for r in results if not r.ok]
    lines = ["OUTSIDE CHECKS", ""]
    lines += table(("calculation", "source says", "we get", "differs", "rests on"), check_rows(results), "lrrrl")
    lines += ["", f"{len(results)} checks, {len(failing)} failing. The figures they rest on, each counted once:"]
    lines += counted_lines()

    missed = 0
    found = scores()
    for title, heaps in (
        ("ERRORS PLANTED IN THE FORMULAS", found),
        ("ERRORS PLANTED IN PROCEDURES, TABLES, LIMITS AND LABELS", planted_steps.scores()),
    ):
        rows = [[t, str(s.planted), str(s.found), str(s.excepted), str(s.missed)] for t, s in heaps.items()]
        total = [sum(getattr(s, part) for s in heaps.values()) for part in ("planted", "found", "excepted", "missed")]
        rows.append(["all", *map(str, total)])
        lines += ["", title, "", *table(("planted in", "planted", "found", "excepted", "missed"), rows, "lrrrr")]
        missed += total[3]

    lines += ["", "WHAT THE CHECKS LEAVE OPEN", ""]
    rests = {id_: [c for c in all_checks() if c.calculation == id_] for id_ in calculations()}
    memory = [id_ for id_, some in rests.items() if some and all(c.seen == "from memory" for c in some)]
    unread = [
        id_ for id_, some in rests.items()
        if some and not any(c.seen == "read" and c.standing == "published" for c in some)
    ]  # fmt: skip
    lines += listed("Calculations checked from memory only", memory)
    lines += listed("Calculations without any check", [f"{k} ({v})" for k, v in unchecked().items()])
    lines += listed("Calculations without a printed answer that was read (libraries or rules check them)", unread)
    assert set(found) <= set(TOPICS)
    return lines, not failing and missed == 0


def main() -> int:
    """Prints the report; 1 where a check fails or a planted error is missed."""
    lines, well = report()
    print("\n".join(lines))
    return 0 if well else 1


if __name__ == "__main__":
    sys.exit(main())
