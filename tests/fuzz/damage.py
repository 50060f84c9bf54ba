"""Random damage to texts, bytes and JSON values. The same seed gives the same damage."""

from __future__ import annotations

import random
from typing import Any

# pieces that have meaning in CSV, YAML, Markdown, HTML, templates, CSS, numbers or units
PIECES = (
    "", ",", ";", "\t", "\n", "\r", "\r\n", '"', '""', "'", ":", ": ", "- ", "  ", "#", "# ", "&a ", "*a", "!!int ", "!!python/name:os.system ",
    "[", "]", "{", "}", "{}", "[]", "|\n", ">", "%", "@", "=", "=1+1", "\ufeff", "\0", "\x1b", "\x85", "\u2028", "\u202e", "\ud7ff", "null", "~", "yes",
    "true", "1e400", "-1", "-0", "0", "1e-400", "NaN", "inf", "4:1", "0:1", "1/0", "١", "9" * 50, "9" * 5000, "ft", " ft", "m", "[ft]", "°", "%", "D-1",
    "dozer", "truck", "-", "---\n", "...", "..", "../", "<<: ", "? ", "<b>", "</b>", "<script>", "</style>", "<!--", "{{", "}}", "{{ n('x') }}", "{%", "%}",
    "{{ table() }}", "{#", "![", "](", "**", "`", "```\n", "\n## ", "\n### Do it\n", "\\", "\\u0000", "@import ", "url(", "/*", "*/", "(", ")", "a" * 3000,
    "[" * 500, "{a: " * 300, "> " * 200, "\n" * 3000, "é", "🚜", "״",
)  # fmt: skip
_NUMBERS = (
    "0",
    "-1",
    "1e9",
    "1e308",
    "1e-308",
    "0.0000001",
    "99999999999999999999",
    "1,5",
    "1.000,5",
    "½",
    "1e",
    "0x10",
    "1_000",
    "١٢",
    "three",
)


def text(rng: random.Random, original: str, others: tuple[str, ...] = ()) -> str:
    """A text with one to four things done to it. ``others`` are texts to take pieces from."""
    out = original
    for _ in range(rng.choice((1, 1, 1, 2, 3, 4))):
        out = _once(rng, out, others)
    return out


def _once(rng: random.Random, out: str, others: tuple[str, ...]) -> str:
    kind = rng.randrange(12)
    at = rng.randint(0, len(out))
    to = min(len(out), at + rng.choice((1, 2, 5, 30, 300)))
    lines = out.split("\n")
    i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
    if kind == 0:
        return out[:at] + rng.choice(PIECES) + out[at:]
    if kind == 1:
        return out[:at] + out[to:]
    if kind == 2:
        return out[:at] + rng.choice(PIECES) + out[to:]
    if kind == 3:
        return out[:at]
    if kind == 4:  # a line away, twice, in another place
        return "\n".join((*lines[:i], *lines[i + 1 :]))
    if kind == 5:
        return "\n".join((*lines[:j], lines[i], *lines[j:]))
    if kind == 6:
        lines[i], lines[j] = lines[j], lines[i]
        return "\n".join(lines)
    if kind == 7:
        lines[i] = " " * rng.randrange(9) + lines[i].lstrip()
        return "\n".join(lines)
    if kind == 8:  # a figure becomes another
        starts = [n for n, ch in enumerate(out) if ch.isdigit() and (n == 0 or not out[n - 1].isdigit())]
        if not starts:
            return out
        start = rng.choice(starts)
        end = start
        while end < len(out) and (out[end].isdigit() or out[end] in ".,"):
            end += 1
        return out[:start] + rng.choice(_NUMBERS) + out[end:]
    if kind == 9:  # a word becomes another one of this file
        words = out.split(" ")
        words[rng.randrange(len(words))] = rng.choice(words)
        return " ".join(words)
    if kind == 10 and others:
        other = rng.choice(others)
        start = rng.randint(0, len(other))
        return out[:at] + other[start : start + rng.choice((10, 100, 1000))] + out[to:]
    return out[:at] + out[at:to] * rng.choice((2, 20, 400)) + out[to:]


def raw(rng: random.Random, original: bytes) -> bytes:
    """Bytes with one to three things done to them."""
    out = original
    for _ in range(rng.choice((1, 1, 2, 3))):
        at = rng.randint(0, len(out))
        to = min(len(out), at + rng.choice((1, 2, 8, 100)))
        piece = rng.randbytes(rng.choice((0, 1, 1, 4, 40)))
        out = rng.choice((out[:at] + piece + out[to:], out[:at] + piece + out[at:], out[:at], out[:at] + out[at:to] * 50 + out[to:]))
    return out


def value(rng: random.Random, deep: int = 0) -> Any:
    """Some JSON value."""
    simple: tuple[Any, ...] = (
        None, True, False, 0, -1, 1, 2**31, 2**70, 10**400, 1.5, -1e308, "", "x", "P-01", "bench-height", "2026-03-10T09:00:00Z", "9" * 300,
        "\0", "\ud800", "=1+1", "<script>", "a" * 5000, "12 ft", "1/0", "1e999",
    )  # fmt: skip
    kind = rng.randrange(6 if deep < 4 else 4)
    if kind < 4:
        return rng.choice(simple)
    if kind == 4:
        return [value(rng, deep + 1) for _ in range(rng.choice((0, 1, 3, 40)))]
    return {str(rng.choice(simple)): value(rng, deep + 1) for _ in range(rng.choice((0, 1, 3)))}


def within(rng: random.Random, tree: Any) -> Any:
    """A copy of a JSON value in which one place holds something else, or is gone."""
    if isinstance(tree, dict) and tree and rng.random() < 0.9:
        key = rng.choice(list(tree))
        if rng.random() < 0.1:
            return {k: v for k, v in tree.items() if k != key}
        return {k: within(rng, v) if k == key else v for k, v in tree.items()}
    if isinstance(tree, list) and tree and rng.random() < 0.8:
        i = rng.randrange(len(tree))
        if rng.random() < 0.1:
            return tree[:i] + tree[i + 1 :]
        if rng.random() < 0.1:
            return tree + [tree[i]] * rng.choice((1, 100))
        return [within(rng, v) if n == i else v for n, v in enumerate(tree)]
    return value(rng)
