"""What a style of a site may hold, read as a browser reads it: nothing that fetches, runs or ends the page's style."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Any

import tinycss2

Found = tuple[int, str, str]

_AT_RULES = frozenset({
    "media", "supports", "page", "font-face", "keyframes", "-webkit-keyframes", "counter-style", "layer", "container", "property",
    *(f"{edge}-{place}" for edge in ("top", "bottom") for place in ("left-corner", "left", "center", "right", "right-corner")),
    *(f"{edge}-{place}" for edge in ("left", "right") for place in ("top", "middle", "bottom")),
})  # fmt: skip
_PROPERTIES = frozenset({"behavior", "behaviour", "-ms-behavior", "-moz-binding"})  # old browsers ran what these name
_FETCHES = frozenset({"url", "src", "image", "image-set", "-webkit-image-set"})  # functions that take an address as a text
_RUNS = frozenset({"expression", "-moz-element", "paint"})
_PICTURE = re.compile(r"(?:\./|\.\./assets/)?([a-z0-9][a-z0-9._-]{0,80})")
_DATA = re.compile(r"data:image/(?:png|jpeg|gif|webp|svg\+xml)[;,][^<>\s]*", re.IGNORECASE)
_INNER = re.compile(r"#[\w-]+", re.ASCII)
# wherever it stands, in comments and texts too: the page's own reader looks for it there
_ENDS_STYLE = re.compile(r"</|<!|<\?")
_END = "sw-this-is-the-end"
_FIX = "use what lies in this folder; nothing is fetched from elsewhere"


def wrong_css(text: str, pictures: Collection[str] | None = None) -> Iterator[Found]:
    """What a style may not hold, as (line, what is wrong, what to do), in the order of the lines.

    ``pictures`` are the names a ``url()`` may lead to; None is any name of a file beside the style.
    """
    found = [*_ends(text), *_tokens(text, pictures)]
    yield from sorted(dict.fromkeys(found), key=lambda f: f[0])


def _ends(text: str) -> Iterator[Found]:
    for m in _ENDS_STYLE.finditer(text):
        yield (
            text.count("\n", 0, m.start()) + 1,
            f"'{_short(text[m.start() : m.start() + 10])}' is not for a look",
            "leave it out, in a comment too",
        )


def _tokens(text: str, pictures: Collection[str] | None) -> Iterator[Found]:
    tokens = tinycss2.parse_component_value_list(f"{text}\n{_END}")
    if not tokens or getattr(tokens[-1], "value", "") != _END:
        last = tokens[-1].source_line if tokens else 1
        yield last, "a comment, text or bracket that begins here has no end", "close it with */, a quote, } or )"
    # of each level: what stands in it, and the function it belongs to that takes addresses
    levels: list[tuple[list[Any], str]] = [(tokens, "")]
    while levels:
        inside, taker = levels.pop()
        for i, token in enumerate(inside):
            yield from _wrong_token(token, inside, i, taker, pictures)
            for part in ("content", "arguments"):
                held = getattr(token, part, None)
                if isinstance(held, list):
                    name = token.lower_name if token.type == "function" else ""
                    levels.append((held, name if name in _FETCHES else taker))


def _wrong_token(token: Any, inside: list[Any], at: int, taker: str, pictures: Collection[str] | None) -> Iterator[Found]:
    line, kind = token.source_line, token.type
    if kind == "error":
        yield line, f"it cannot be read as a style here ({_short(token.message)})", "look for a quote or bracket too many or too few"
    elif kind == "at-keyword" and token.lower_value not in _AT_RULES:
        yield line, f"'@{_short(token.value)}' is not for a look", _FIX
    elif kind == "ident" and (token.lower_value in _PROPERTIES or token.lower_value == "progid") and _colon_follows(inside, at):
        yield line, f"'{_short(token.value)}:' is not for a look", "leave it out"
    elif kind == "function":
        if token.lower_name in _RUNS or (taker and token.lower_name in {"var", "attr", "env"}):
            yield line, f"'{_short(token.name)}(' is not for a look", "leave it out"
    elif kind == "url" or (kind == "string" and taker):
        yield from _wrong_address(line, token.value, pictures)


def _wrong_address(line: int, address: str, pictures: Collection[str] | None) -> Iterator[Found]:
    if _DATA.fullmatch(address) or _INNER.fullmatch(address):
        return
    name = _PICTURE.fullmatch(address)
    if name is None:
        yield line, f"'{_short(address)}' is not for a look", _FIX
    elif pictures is not None and name[1] not in pictures:
        yield line, f"there is no picture '{_short(name[1])}' in look", "put it there, or mend its name"


def _colon_follows(inside: list[Any], at: int) -> bool:
    after = next((t for t in inside[at + 1 :] if t.type not in {"whitespace", "comment"}), None)
    return after is not None and after.type == "literal" and after.value == ":"


def _short(text: str) -> str:
    return "".join(ch if ch.isprintable() else "�" for ch in text[:40])
