"""Reads a slip's codes, written from the layout at the top of result-code.js alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
PLAIN = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-."
KINDS = ("number", "one", "several", "order", "point")
# the order is part of the layout: a slip printed last year must still be readable
UNITS = [
    "1",
    "in",
    "ft",
    "yd",
    "mi",
    "mm",
    "cm",
    "m",
    "km",
    "ft2",
    "in2",
    "yd2",
    "acre",
    "m2",
    "cm2",
    "ha",
    "ft3",
    "yd3",
    "m3",
    "L",
    "lb",
    "ton",
    "kg",
    "t",
    "lbf",
    "kN",
    "N",
    "lb/yd3",
    "lb/ft3",
    "ton/yd3",
    "kg/m3",
    "t/m3",
    "lbf/ft3",
    "kN/m3",
    "lbf/ft2",
    "lb/ft2",
    "kg/m2",
    "psi",
    "kPa",
    "Pa",
    "mph",
    "ft/min",
    "ft/s",
    "km/h",
    "m/min",
    "m/s",
    "s",
    "min",
    "h",
    "year",
    "min/h",
    "deg",
    "rad",
    "rpm",
    "deg/s",
    "yd3/h",
    "m3/h",
    "yd3/min",
    "m3/min",
    "ton/h",
    "t/h",
    "acre/h",
    "ha/h",
    "ft2/h",
    "m2/h",
    "1/h",
    "1/min",
    "lbf*ft",
    "kN*m",
    "V",
    "kV",
    "ft/kV",
    "m/kV",
    "%",
    ":1",
    "lb/ton",
    "kg/t",
    "lbf/lb",
    "kN/t",
    "lcy",
    "lcm",
    "bcy",
    "bcm",
    "ccy",
    "ccm",
    "hp",
    "kW",
    "ft*lbf/min",
    "kN*m/min",
    "gal",
    "fl oz",
    "mL",
    "gal/h",
    "fl oz/h",
    "L/h",
    "ft/s2",
    "m/s2",
]


class BadSlip(ValueError):
    """A code that was mistyped or is none."""


def fnv1a(text: str) -> int:
    h = 0x811C9DC5
    for byte in text.encode("ascii"):
        h = ((h ^ byte) * 0x01000193) & 0xFFFFFFFF
    return h


@dataclass
class Slip:
    crew: str
    lesson: str
    edition: str
    finished: datetime
    answers: list[dict[str, Any]]
    set: int | None = None


class _Bits:
    def __init__(self, letters: str) -> None:
        self.bits = "".join(f"{LETTERS.index(c):05b}" for c in letters)
        self.at = 0

    def take(self, width: int) -> int:
        self.at += width
        return int(self.bits[self.at - width : self.at], 2)

    def text(self) -> str:
        if self.take(1) == 0:
            return "".join(PLAIN[self.take(6)] for _ in range(self.take(6)))
        return bytes(self.take(8) for _ in range(self.take(8))).decode()

    def number(self) -> str:
        out = ""
        while (nibble := self.take(4)) != 15:
            out += f" {UNITS[self.take(8)]} " if nibble == 14 else "0123456789./ -"[nibble]
        return out.strip()


def _payload(code: str) -> str:
    letters = code.upper().replace("-", "").replace(" ", "")
    payload, check = letters[:-4], letters[-4:]
    h = fnv1a(payload)
    total = (h >> 20) ^ (h & 0xFFFFF)
    if check != "".join(LETTERS[(total >> s) & 31] for s in (15, 10, 5, 0)):
        raise BadSlip(code)
    return payload


def folded(text: str, width: int) -> int:
    """A hash of a text in so many bits."""
    h = fnv1a(text)
    return (h ^ (h >> width)) % (1 << width)


def read_short(code: str) -> dict[str, Any]:
    """The fields of a short code. Raises BadSlip where the checksum does not fit."""
    payload = _payload(code)
    assert len(payload) == 20
    bits = _Bits(payload)
    assert bits.take(4) == 4
    names = ("crew", "figures", "lesson", "minute", "right", "of", "missed", "answers")
    found: dict[str, Any] = {n: bits.take(w) for n, w in zip(names, (21, 20, 9, 24, 5, 5, 1, 11), strict=True)}
    found["finished"] = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(minutes=found.pop("minute"))
    return found


def read_slip(code: str) -> Slip:
    """Raises BadSlip where the checksum does not fit."""
    payload = _payload(code)
    bits = _Bits(payload)
    layout = bits.take(4)
    assert layout in {1, 3, 5}  # 2 has figures and no set
    crew, lesson, edition = bits.text(), bits.text(), bits.text()
    drawn = None
    if layout == 3:
        bits.take(20)
        drawn = bits.take(8)
    if layout == 5:
        bits.take(20)
        assert [bits.take(5), bits.take(5)] == [ord("e") - ord("a"), ord("n") - ord("a")]  # the language of the tests' pages
        drawn = bits.take(8) if bits.take(1) else None
    finished = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(minutes=bits.take(25))
    answers: list[dict[str, Any]] = []
    for _ in range(bits.take(6)):
        units, kind, variant = ("us", "metric")[bits.take(1)], KINDS[bits.take(3)], bits.take(8)
        answer: str | list[int]
        if kind == "number":
            answer = bits.number()
        elif kind == "several":
            answer = [i for i in range(bits.take(5)) if bits.take(1)]
        elif kind == "order":
            answer = [bits.take(5) for _ in range(bits.take(5))]
        else:
            answer = [bits.take(5)]
        answers.append({"units": units, "kind": kind, "variant": variant, "answer": answer})
    assert set(bits.bits[bits.at :]) <= {"0"} and len(payload) % 4 == 0
    return Slip(crew, lesson, edition, finished, answers, drawn)
