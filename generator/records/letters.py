"""Letters copied by hand from a slip: what they may be, whether they add up, and where to look if not."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from generator.language.words import said
from generator.records.flags import Refused

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # five bits each: base 32 without I, L, O and U
_COMPARE = said("compare it with the slip, letter by letter")


def fnv1a(text: str) -> int:
    """FNV-1a, 32 bits, over ASCII text. Source: the published FNV algorithm."""
    h, prime, bits = 0x811C9DC5, 0x01000193, 0xFFFFFFFF
    for byte in text.encode("ascii"):
        h = ((h ^ byte) * prime) & bits
    return h


def fold(h: int, width: int) -> int:
    """``width`` bits of a hash of 32, the others folded onto them."""
    return ((h >> width) ^ h) & ((1 << width) - 1)


class NoSlip(Exception):
    """Letters that add up and still hold no result."""


class Bits:
    """The bits of letters, taken from the left. Raises NoSlip where they end too soon."""

    def __init__(self, letters: str) -> None:
        self.bits = "".join(f"{LETTERS.index(c):05b}" for c in letters)
        self.at = 0

    @property
    def left(self) -> str:
        """The bits not taken yet."""
        return self.bits[self.at :]

    def take(self, width: int) -> int:
        if self.at + width > len(self.bits):
            raise NoSlip
        self.at += width
        return int(self.bits[self.at - width : self.at], 2)

    def one_of(self, things: Sequence[str], width: int) -> str:
        at = self.take(width)
        if at >= len(things):
            raise NoSlip
        return things[at]


def slip_letters(code: str) -> str:
    """A code as typed, in the letters it is made of: O is read as 0, I and L as 1."""
    return re.sub(r"[\s\-–—_.]", "", code).upper().translate(str.maketrans("OIL", "011"))


def sum_letters(letters: str) -> str:
    """The last group of a code over the letters before it."""
    total = fold(fnv1a(letters), 20)
    return "".join(LETTERS[(total >> s) & 31] for s in (15, 10, 5, 0))


def adds_up(letters: str) -> bool:
    """Whether the last group is the one the letters before it call for."""
    return sum_letters(letters[:-4]) == letters[-4:]


def payload_of(code: str, sound: Callable[[str], bool] | None) -> str:
    """The letters of a typed code before its last group.

    Raises Refused where they do not add up; its line says where the slip of the pen may be, if ``sound`` tells
    which letters could be meant.
    """
    letters = slip_letters(code)
    if len(letters) < 8 or len(letters) > 2000 or any(c not in LETTERS for c in letters):
        raise Refused("mistyped", said("'{code}' is no slip code", code=code[:24]), _COMPARE)
    if not adds_up(letters) or len(letters) % 4:
        short = "truncated" if len(letters) % 4 else "mistyped"
        raise Refused(
            short,
            said("the slip code {code}… does not add up", code=code[:14]),
            _where_to_look(code, letters, sound) if sound else _COMPARE,
        )
    return letters[:-4]


def _where_to_look(code: str, letters: str, sound: Callable[[str], bool]) -> str:
    """What to do about a code that does not add up: a hint only, nothing is mended unasked."""
    typed = [g for g in re.split(r"[\s\-–—_.]+", code.strip()) if g]
    odd = next((i for i, g in enumerate(typed, 1) if len(g) != 4), 0) if len(typed) > 1 else 0
    if odd:
        return f"look at group {odd}, '{typed[odd - 1][:12]}': each group has 4 letters"
    if not len(letters) % 4 and len(letters) <= 400:
        found = [x for x in _one_slip_away(letters) if adds_up(x) and sound(x[:-4])]
        if len(found) == 1:
            at = next(i for i, (a, b) in enumerate(zip(letters, found[0], strict=True)) if a != b) // 4
            was, wanted = (x[4 * at : 4 * at + 4] for x in (letters, found[0]))
            if was != wanted and letters[4 * at + 4 :] == found[0][4 * at + 4 :]:
                return said("look at group {n}: does the slip say {wanted} there, not {was}?", n=at + 1, wanted=wanted, was=was)
    return said("{compare}; {n} groups were typed", compare=_COMPARE, n=-(-len(letters) // 4))


def _one_slip_away(letters: str) -> Iterator[str]:
    """All codes with one letter mistyped or two neighbours swapped."""
    for i, old in enumerate(letters):
        for new in LETTERS:
            if new != old:
                yield letters[:i] + new + letters[i + 1 :]
        if letters[i + 1 : i + 2] not in {"", old}:
            yield letters[:i] + letters[i + 1] + old + letters[i + 2 :]
