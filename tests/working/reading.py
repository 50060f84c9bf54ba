"""A reader of working in plain text: it knows the printed signs and nothing of the program.

Angles are in degrees, as printed; units are read past. A line such as
``V = 0.8 × 10 ft × (5 ft)² = 200 ft³`` is taken apart at its equals signs.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable
from dataclasses import dataclass

_UNIT = r"(?:1/)?[^\W\d_°²³⁰¹⁴-⁹][\w²³⁰¹⁴-⁹⁻·/^.]*(?:[ ][^\W\d_][\w²³/]*)*|°/s|°|%|:1"
_TOKENS = re.compile(
    rf"""\s*(?:
      (?P<number>\d[\d,\u202f]*(?:\.\d+)?)(?:[ ]?(?P<unit>{_UNIT}))?
    | (?P<function>round\ up|round\ down|smaller\ of|larger\ of|arcsin|arccos|arctan|sin|cos|tan|√)(?=\()
    | (?P<pi>π)
    | (?P<power>[²³]|\^(?=\())
    | (?P<sign>[-−+×÷();])
    )""",
    re.VERBOSE,
)  # fmt: skip


def _plain(figure: str) -> str:
    """Its digits, without what parts its thousands: a comma, or the thin space of metric figures."""
    return figure.replace(",", "").replace("\u202f", "")


def _degrees(function: Callable[[float], float]) -> Callable[[float], float]:
    return lambda x: function(math.radians(x))


def _to_degrees(function: Callable[[float], float]) -> Callable[[float], float]:
    return lambda x: math.degrees(function(x))


_FUNCTIONS: dict[str, Callable[..., float]] = {
    "sin": _degrees(math.sin), "cos": _degrees(math.cos), "tan": _degrees(math.tan),
    "arcsin": _to_degrees(math.asin), "arccos": _to_degrees(math.acos), "arctan": _to_degrees(math.atan),
    "round up": lambda x: math.ceil(x - 1e-9), "round down": lambda x: math.floor(x + 1e-9),
    "smaller of": min, "larger of": max, "√": math.sqrt,
}  # fmt: skip


@dataclass(frozen=True)
class Printed:
    """A side of an equation: its value, the figures on it, and whether it is one figure alone."""

    text: str
    value: float
    figures: tuple[str, ...]
    alone: bool

    @property
    def last_digit(self) -> float:
        """What one unit of the last printed digit is worth, for a figure alone."""
        return 10.0 ** -len(self.figures[0].partition(".")[2])


def read(text: str) -> Printed:
    """Work out one side. Raises ValueError on anything that is no printed arithmetic."""
    tokens: list[tuple[str, str]] = []
    position = 0
    while position < len(text.rstrip()):
        match = _TOKENS.match(text, position)
        if match is None:
            raise ValueError(f"cannot read {text[position:]!r} in {text!r}")
        kind = match.lastgroup or ""
        tokens.append(("number", match["number"]) if match["number"] else (kind, match[kind]))
        position = match.end()
    figures = tuple(_plain(t) for k, t in tokens if k == "number")
    reckoned = _Reckoner(tokens)
    value = reckoned.sum()
    if reckoned.position != len(tokens):
        raise ValueError(f"left over: {tokens[reckoned.position :]} in {text!r}")
    signless = [t for t in tokens if t != ("sign", "−")]
    return Printed(text, value, figures, alone=len(signless) == 1 and len(tokens) <= 2 and bool(figures))


class _Reckoner:
    """Brackets and functions, then powers, then × and ÷ in order, then + and −."""

    def __init__(self, tokens: list[tuple[str, str]]) -> None:
        self.tokens, self.position = tokens, 0

    def next_is(self, *texts: str) -> bool:
        return self.position < len(self.tokens) and self.tokens[self.position][1] in texts

    def take(self) -> tuple[str, str]:
        if self.position >= len(self.tokens):
            raise ValueError("ends too early")
        self.position += 1
        return self.tokens[self.position - 1]

    def sum(self) -> float:
        value = self.product()
        while self.next_is("+", "−"):
            if self.take()[1] == "+":
                value += self.product()
            else:
                value -= self.product()
        return value

    def product(self) -> float:
        value = self.signed()
        while self.next_is("×", "÷"):
            if self.take()[1] == "×":
                value *= self.signed()
            else:
                value /= self.signed()
        return value

    def signed(self) -> float:
        if self.next_is("−"):
            self.take()
            return -self.signed()
        return self.power()

    def power(self) -> float:
        value = self.single()
        while self.next_is("²", "³", "^"):
            sign = self.take()[1]
            exponent = {"²": 2.0, "³": 3.0}.get(sign) or self.single()
            value **= exponent
        return value

    def single(self) -> float:
        kind, text = self.take()
        if kind == "number":
            return float(_plain(text))
        if kind == "pi":
            return math.pi
        if kind == "function":
            self.expect("(")
            arguments = [self.sum()]
            while self.next_is(";"):
                self.take()
                arguments.append(self.sum())
            self.expect(")")
            return float(_FUNCTIONS[text](*arguments))
        if text == "(":
            value = self.sum()
            self.expect(")")
            return value
        raise ValueError(f"{text!r} where a figure should stand")

    def expect(self, text: str) -> None:
        if self.take()[1] != text:
            raise ValueError(f"{text} is missing")


def sides(line: str) -> list[Printed]:
    """The sides of a printed line that are figures; a symbol in front of them is left out."""
    _, _, after_words = line.rpartition(": ") if ": " in line else ("", "", line)
    parts = after_words.split(" = ")
    found = []
    for i, part in enumerate(parts):
        try:
            found.append(read(part))
        except ValueError:
            # only what stands first can be a symbol
            if i:
                raise
    return found


def disagreement(line: str) -> str | None:
    """What is wrong with a line; None where its figures give what is printed to the last digit."""
    found = sides(line)
    if len(found) < 2:
        return f"nothing to redo on it: {line}"
    for left, right in itertools.pairwise(found):
        if not right.alone:
            return f"does not end in a figure: {line}"
        if not abs(left.value - right.value) <= 0.5 * right.last_digit + 1e-9 * max(1.0, abs(right.value)):
            return f"redone it gives {left.value!r}: {line}"
    return None


_ABOUT = ", about "
_WAYS = {"Rounded": "near", "Rounded up": "up", "Rounded down": "down"}


@dataclass(frozen=True)
class Rounding:
    """A line that rounds: which way it says, the figure worked out and the one that is printed for it."""

    way: str
    worked: Printed
    printed: Printed

    def wrong(self, places: int | None, significant: int) -> str | None:
        """What is wrong with it, for a result of so many decimals or significant digits; None if nothing is.

        The printed figure has no digit that it should not have (one more where a sum would not come out),
        and it is the worked one to half its last digit, or on the side that is said.
        """
        if places is None:
            size = math.floor(math.log10(abs(self.worked.value)) + 1e-12)
            step = 10.0 ** (size - significant + 1)
        else:
            step = 10.0**-places
        many = self.printed.value / step
        if abs(many - round(many)) > 1e-6 and abs(10 * many - round(10 * many)) > 1e-6:
            return f"{self.printed.text} has finer digits than {step:g}"
        low, high = {"near": (-0.5, 0.5), "up": (0, 1), "down": (-1, 0)}[self.way]
        off = (self.printed.value - self.worked.value) / step
        return None if low - 1e-6 <= off <= high + 1e-6 else f"{self.printed.text} is not {self.worked.text} rounded {self.way}"


def rounding(line: str) -> Rounding | None:
    """The line taken apart where it is one that rounds. Raises ValueError where it reads like one and is none."""
    if _ABOUT not in line:
        return None
    words, _, rest = line.partition(": ")
    if words not in _WAYS:
        raise ValueError(f"no line that rounds: {line}")
    worked, printed = (read(x) for x in rest.partition(" = ")[2].split(_ABOUT))
    if not worked.alone or not printed.alone:
        raise ValueError(f"no line that rounds: {line}")
    return Rounding(_WAYS[words], worked, printed)
