"""What is wrong with a number, and what to do."""

from __future__ import annotations

from collections.abc import Iterable

from generator.language.words import said
from generator.source.problem import Cause, Refusal


class NumberProblem(Refusal):
    """A number that cannot be worked: says what and what to do; the caller knows where."""

    code = "number"


class PictureLeftOut(NumberProblem):
    """A picture of work that this site's figures do not give; ``reason`` is the sentence that stands in its place."""

    code = "picture-left-out"


class DoesNotFit(NumberProblem):
    """A machine that lacks a value a number needs: left out of tables, and said so."""

    code = "does-not-fit"


class Lacking(DoesNotFit):
    """A column that may be left blank, and is: what rests on it is left out, and the page says once what it lacks.

    ``table`` and ``row_line`` are where it would stand, ``row`` whose it is, ``column`` its name.
    """

    code = "lacking"

    def __init__(self, row: str, column: str, table: str, line: int | None, file: str) -> None:
        super().__init__(said("{row} has no {column}", row=row, column=column), f"fill it in in {file}")
        self.row, self.column, self.table, self.row_line = row, column, table, line


class NoneHere(NumberProblem):
    """A figure of a truck or an excavator on a site that runs none, or of law its rules do not give: what rests on it is left out."""

    code = "none-here"


class NoFigure(NoneHere):
    """A figure of law for which the site's own rule gives none, though it gives others on the topic. ``rows`` are those it lacks."""

    code = "none-here:figure"

    def __init__(self, topic: str, rows: Iterable[str]) -> None:
        self.topic, self.rows = topic, tuple(rows)
        what = " or ".join(f"'{row}'" for row in self.rows)
        super().__init__(f"rules/{topic}.csv gives no figure for {what}", "write it there, if the rule gives one", code=NO_RULE)


NO_RULE = "none-here:rule"  # the code of one for a figure of law that the rules of the site do not give


class FiguresRefused(DoesNotFit):
    """A machine whose figures a calculation refuses, such as a blade lower than the slot is deep.

    ``causes`` are the site's own figures it is worked from.
    """

    code = "figures-refused"

    def __init__(self, name: str, why: str, fix: str, causes: Iterable[Cause] = ()) -> None:
        super().__init__(f"number '{name}': {why}", fix, reason=why, causes=causes)

    @property
    def why(self) -> str:
        """What the calculation says, without the number's name."""
        return self.problem.reason
