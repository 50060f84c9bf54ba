"""Reads the smallest QR code (21 modules a side) back from its SVG, by the standard's rules and none of the library's.

ISO/IEC 18004 (from memory): the place and mask of the format bits, the order of the modules, the letters of the
alphanumeric mode. Nothing is mended: a module that is wrong gives another text.
"""

from __future__ import annotations

import re
from collections.abc import Callable

SIZE, RIM = 21, 4
LETTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
MASKS: tuple[Callable[[int, int], bool], ...] = (
    lambda r, c: (r + c) % 2 == 0,
    lambda r, c: r % 2 == 0,
    lambda r, c: c % 3 == 0,
    lambda r, c: (r + c) % 3 == 0,
    lambda r, c: (r // 2 + c // 3) % 2 == 0,
    lambda r, c: r * c % 2 + r * c % 3 == 0,
    lambda r, c: (r * c % 2 + r * c % 3) % 2 == 0,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2 == 0,
)
LEVELS = {1: "L", 0: "M", 3: "Q", 2: "H"}


def modules(svg: str) -> list[list[bool]]:
    """Dark and light of an SVG whose dark modules are strokes one unit high, without its white rim."""
    side = SIZE + 2 * RIM
    assert f'viewBox="0 0 {side} {side}"' in svg
    grid = [[False] * side for _ in range(side)]
    path = re.search(r'stroke="#000"[^>]* d="([^"]+)"', svg)
    assert path
    x, y = 0.0, 0.0
    for step, numbers in re.findall(r"([Mmh])([^Mmh]*)", path[1]):
        found = [float(n) for n in re.findall(r"-?[\d.]+", numbers)]
        if step == "M":
            x, y = found
        elif step == "m":
            x, y = x + found[0], y + found[1]
        else:
            for i in range(int(found[0])):
                grid[int(y)][int(x) + i] = True
            x += found[0]
    rim = [row[:RIM] + row[-RIM:] for row in grid] + grid[:RIM] + grid[-RIM:]
    assert not any(map(any, rim))
    return [row[RIM:-RIM] for row in grid[RIM:-RIM]]


def read(svg: str) -> tuple[str, str]:
    """The text of a code and its level."""
    grid = modules(svg)
    corner = [grid[8][c] for c in (0, 1, 2, 3, 4, 5, 7, 8)] + [grid[r][8] for r in (7, 5, 4, 3, 2, 1, 0)]
    bits = int("".join("01"[b] for b in corner), 2) ^ 0b101010000010010
    mask, level = MASKS[bits >> 10 & 7], LEVELS[bits >> 13]
    taken = {(r, c) for r in range(9) for c in range(9)}
    taken |= {(r, c) for r in range(9) for c in range(SIZE - 8, SIZE)} | {(r, c) for r in range(SIZE - 8, SIZE) for c in range(9)}
    taken |= {(6, i) for i in range(SIZE)} | {(i, 6) for i in range(SIZE)}
    stream, up = "", True
    for right in (20, 18, 16, 14, 12, 10, 8, 5, 3, 1):
        for r in range(SIZE - 1, -1, -1) if up else range(SIZE):
            for c in (right, right - 1):
                if (r, c) not in taken:
                    stream += "01"[grid[r][c] ^ mask(r, c)]
        up = not up
    assert stream[:4] == "0010", "not the alphanumeric mode"
    count, at, text = int(stream[4:13], 2), 13, ""
    while count > 1:
        pair = int(stream[at : at + 11], 2)
        text, at, count = text + LETTERS[pair // 45] + LETTERS[pair % 45], at + 11, count - 2
    return text + (LETTERS[int(stream[at : at + 6], 2)] if count else ""), level
