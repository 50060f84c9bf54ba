"""A reader of printed working: takes MathML as it stands on a page and works it out again.

It shares no code with the program that printed it. Angles in trigonometric functions are in
degrees, as printed; units are read past. Of a site with a decimal comma ``mark`` is a comma.
"""

from __future__ import annotations

import html
import itertools
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator

_MATH = re.compile(r'<math data-redo="">.*?</math>', re.DOTALL)
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "tan": lambda x: math.tan(math.radians(x)), "sin": lambda x: math.sin(math.radians(x)),
    "cos": lambda x: math.cos(math.radians(x)), "arctan": lambda x: math.degrees(math.atan(x)),
    "arcsin": lambda x: math.degrees(math.asin(x)), "arccos": lambda x: math.degrees(math.acos(x)),
    "round up": lambda x: math.ceil(x - 1e-9), "round down": lambda x: math.floor(x + 1e-9),
    "smaller of": min, "larger of": max,
    # as Spanish pages have them
    "redondee hacia arriba": lambda x: math.ceil(x - 1e-9), "redondee hacia abajo": lambda x: math.floor(x + 1e-9),
    "el menor de": min, "el mayor de": max,
}  # fmt: skip


def plain(figure: str, mark: str = ".") -> str:
    """The digits of a printed figure with a point, without what parts its thousands."""
    other = "," if mark == "." else "."
    return figure.replace("\u202f", "").replace(other, "").replace(mark, ".").replace("−", "-")


def lines(page: str) -> Iterator[str]:
    """Each printed line a reader can redo."""
    for match in _MATH.finditer(page):
        yield match[0]


def disagreement(math_source: str, mark: str = ".") -> str | None:
    """What is wrong with a printed line; None where redoing it gives what is printed."""
    root = ET.fromstring(html.unescape(math_source.replace("&lt;", "‹").replace("&gt;", "›")))
    sides: list[list[ET.Element]] = [[]]
    for child in root:
        if child.tag == "mo" and child.text == "=":
            sides.append([])
        else:
            sides[-1].append(child)
    values = [(side, _value(side, mark)) for side in sides if not _symbol(side)]
    if len(values) < 2:
        return "nothing to redo on it"
    for (_, worked), (side, printed) in itertools.pairwise(values):
        digits = re.sub(r"[^\d.]", "", "".join(plain(t, mark) for e in side for t in _numbers(e)))
        decimals = len(digits.partition(".")[2])
        if not abs(worked - printed) <= 0.5 * 10**-decimals + 1e-9 * max(1.0, abs(worked)):
            return f"redone it gives {worked!r}, printed is {printed!r}: {''.join(root.itertext())}"
    return None


_ROUNDED = re.compile(
    r'<span class="sw-words">((?:Rounded|Redondeado)(?: up| down| hacia arriba| hacia abajo)?)</span> <math data-rounded="(near|most|least)">(.*?)</math>',
    re.DOTALL,
)
_SAID = {
    "near": {"Rounded", "Redondeado"}, "most": {"Rounded down", "Redondeado hacia abajo"}, "least": {"Rounded up", "Redondeado hacia arriba"},
}  # fmt: skip
_ABOUT = re.compile("<mtext>, (?:about|cerca de) </mtext>")


def roundings(page: str, mark: str = ".") -> Iterator[str | None]:
    """What is wrong with each line that rounds a result; None for one that is right.

    The printed figure has two to four digits that count more than nought (or decimals of its own), and is the
    worked one to half its last digit, or to the side that the line says.
    """
    told = page.count('data-rounded="')  # those in a script stand in escaped quotes, and are blanks
    found = list(_ROUNDED.finditer(page))
    if len(found) != told:
        yield f"{told - len(found)} lines round and do not say so"
    for words, way, inner in (m.groups() for m in found):
        figures = re.findall(r"<mn>([^<]*)</mn>", inner)
        if words not in _SAID[way] or len(figures) != 2 or not _ABOUT.search(inner):
            yield f"no line that rounds: {inner}"
            continue
        worked, printed = (float(plain(f, mark)) for f in figures)
        digits = plain(figures[1], mark).lstrip("-")
        decimals = len(digits.partition(".")[2])
        nought = len(digits) - len(digits.rstrip("0")) if not decimals else 0
        if not decimals and abs(printed) >= 10_000 and len(digits) - nought > 4:
            yield f"{figures[1]} is finer than its use"
            continue
        # trailing noughts of a whole number may count or not: three digits do, and of a small one all
        places = decimals if decimals or abs(printed) < 10_000 else -max(min(nought, len(digits) - 3), 0)
        low, high = {"near": (-0.5, 0.5), "least": (0, 1), "most": (-1, 0)}[way]
        # a decimal that is nought is not printed: 12.4 may be 12.40
        step = 10.0**-places
        off = (printed - worked) / step
        yield None if low - 1e-6 <= off <= high + 1e-6 and off else f"{figures[1]} is not {figures[0]}, {words.lower()}"


def _symbol(side: list[ET.Element]) -> bool:
    return len(side) == 1 and side[0].tag in {"mi", "msub"}


def _numbers(e: ET.Element) -> Iterator[str]:
    for n in e.iter("mn"):
        yield n.text or ""


def _value(elements: list[ET.Element], mark: str = ".") -> float:
    tokens: list[float | str] = []
    flat = list(_flatten(elements))
    i = 0
    while i < len(flat):
        e = flat[i]
        if isinstance(e, str):
            tokens.append(e)
        elif e.tag == "mn":
            tokens.append(float(plain(e.text or "", mark)))
        elif e.tag == "mi" and e.text == "π":
            tokens.append(math.pi)
        elif e.tag == "mi" and e.text in _FUNCTIONS:
            i += 1
            bracket = flat[i]
            assert not isinstance(bracket, str) and bracket.tag == "mrow", "a function without brackets"
            arguments: list[list[ET.Element]] = [[]]
            for child in list(bracket)[1:-1]:
                if child.tag == "mo" and child.text == ";":
                    arguments.append([])
                else:
                    arguments[-1].append(child)
            tokens.append(float(_FUNCTIONS[e.text](*(_value(a, mark) for a in arguments))))
        elif e.tag == "mfrac":
            top, bottom = list(e)
            tokens.append(_value([top], mark) / _value([bottom], mark))
        elif e.tag == "msup":
            base, power = list(e)
            tokens.append(_value([base], mark) ** _value([power], mark))
        elif e.tag == "msqrt":
            tokens.append(math.sqrt(_value(list(e), mark)))
        elif e.tag == "mtext":
            pass
        else:
            raise ValueError(f"cannot read <{e.tag}>{e.text}")
        i += 1
    return _reckon(tokens)


def _flatten(elements: list[ET.Element]) -> Iterator[ET.Element | str]:
    previous: ET.Element | None = None
    for e in elements:
        after_function = previous is not None and previous.tag == "mi" and previous.text in _FUNCTIONS
        if e.tag == "mrow" and not after_function:
            yield from _flatten(list(e))
        elif e.tag == "mo":
            yield e.text or ""
        else:
            yield e
        previous = e


def _reckon(tokens: list[float | str]) -> float:
    """Brackets, then × and ÷, then + and −."""
    position = 0

    def total() -> float:
        nonlocal position
        value = term()
        while position < len(tokens) and tokens[position] in {"+", "−"}:
            sign = tokens[position]
            position += 1
            value = value + term() if sign == "+" else value - term()
        return value

    def term() -> float:
        nonlocal position
        value = factor()
        while position < len(tokens) and tokens[position] in {"×", "÷"}:
            sign = tokens[position]
            position += 1
            value = value * factor() if sign == "×" else value / factor()
        return value

    def factor() -> float:
        nonlocal position
        token = tokens[position]
        position += 1
        if token == "−":
            return -factor()
        if token == "(":
            value = total()
            assert tokens[position] == ")", "an open bracket"
            position += 1
            return value
        assert isinstance(token, float | int), f"unexpected {token}"
        return float(token)

    value = total()
    assert position == len(tokens), f"left over: {tokens[position:]}"
    return value
