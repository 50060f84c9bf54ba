"""The words of another language laid over a text whose figures, calls and order they leave alone.

A lesson or a set of questions is written once. In another language there is beside it a file of the same shape that
holds words alone; what is not words is taken from the first. Words that have no place there are told with their line.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from generator.source.near import suggest
from generator.source.yamltext import Text, as_text, entries, line_of

Wrong = Callable[[int | None, str, str], None]

RENAMED = ("columns",)  # blocks whose names are words that people read: there each name is given its other one
WORDS = frozenset({
    "title", "summary", "find", "why", "watch", "stop_work", "show", "show_beside", "points", "ask", "says", "cost", "caption", "text",
    "describe", "because", "items", "choices", *("set_out", "do", "measure", "expect", "if_off", "standard", "record"),
})  # fmt: skip
"""What holds words, at any depth below it; the answers of a sheet are words where they stand below ``ask``."""
NO_WORDS = frozenset({"scene", "with", "numbers", "id", "gives", "draw", "kind", "read_again", "sum", "frame", "way"})
"""What holds none, wherever it stands; nor does the ``right`` spot of a question, though the right way of a pair says something."""
FREE = ("find",)  # lists that may be of any length in each language


def lay_over(base: Any, words: Any, wrong: Wrong, place: tuple[str, ...] = ()) -> Any:
    """``base``, a YAML text as :func:`load_yaml` gives it, with ``words`` in the place of its own.

    A block takes words by name, a list by place, and a text is replaced. A block in a list of ``{id: …}`` takes words by
    that id. What does not fit goes to ``wrong`` and is left as it was.
    """
    line, name = line_of(words, line_of(base, 1)), place[-1] if place else ""
    where = ".".join(place) or "the file"
    if words is None:
        return base
    if isinstance(base, list) and isinstance(words, list) and name in FREE:
        return words
    if isinstance(base, list) and isinstance(words, dict):
        return _by_id(base, words, wrong, place)
    if isinstance(base, list):
        if not isinstance(words, list) or len(words) != len(base):
            count = len(words) if isinstance(words, list) else 1
            wrong(line, f"{where} has {count} entries and {len(base)} in the other language", "give each its words, in the same order")
            return base
        return [lay_over(b, w, wrong, (*place, str(i))) for i, (b, w) in enumerate(zip(base, words, strict=True), 1)]
    if isinstance(base, dict):
        if not isinstance(words, dict):  # the words of a block that has little else
            words = {"text": words}
        if name in RENAMED:
            return _renamed(base, words, wrong, where)
        made = dict(base)
        for key, value in entries(words).items():
            if key not in base:
                wrong(line_of(value, line), f"{where} has no '{key[:60]}' in the other language",
                      suggest(key, entries(base), "take it out"))  # fmt: skip
            else:
                made[key] = lay_over(base[key], value, wrong, (*place, key))
        return made
    if isinstance(words, dict) and set(entries(words)) == {"text"}:
        words = words["text"]
    named = frozenset(place)
    if isinstance(words, dict | list) or not isinstance(base, str) or name == "right" or named & NO_WORDS or not named & WORDS:
        wrong(line, f"{where} is no text in the other language", "take it out")
        return base
    return as_text(words)


def words_in(base: Any, place: tuple[str, ...] = ()) -> Any:
    """The words of a text alone, in the shape that :func:`lay_over` takes; None where there are none.

    Laid over the text they came from they give that text again.
    """
    name = place[-1] if place else ""
    if isinstance(base, dict):
        if name in RENAMED:
            return {str(key): str(key) for key in entries(base)}
        found = {str(key): words_in(value, (*place, str(key))) for key, value in entries(base).items()}
        found = {key: words for key, words in found.items() if words is not None}
        return found or None
    if isinstance(base, list) and base and all(isinstance(entry, dict) and "id" in entry for entry in base):
        by_id = {str(entry["id"]): words_in(entry, (*place, str(entry["id"]))) for entry in base}
        said = {id_: words["says"] if set(words) == {"says"} else words for id_, words in by_id.items() if words is not None}
        return said or None
    if isinstance(base, list):
        each = [words_in(entry, (*place, str(i))) for i, entry in enumerate(base, 1)]
        return each if any(words is not None for words in each) else None
    named = frozenset(place)
    if not isinstance(base, str) or name == "right" or named & NO_WORDS or not named & WORDS:
        return None
    return str(base)


def _by_id(base: list[Any], words: dict[str, Any], wrong: Wrong, place: tuple[str, ...]) -> list[Any]:
    known = {str(entry["id"]): i for i, entry in enumerate(base) if isinstance(entry, dict) and "id" in entry}
    made = list(base)
    for key, value in entries(words).items():
        if key not in known:
            wrong(line_of(value, line_of(words, 1)), f"there is no '{key[:60]}' in the other language", suggest(key, known, "take it out"))
        else:
            given = {"says": value} if isinstance(value, str) else value  # what a mistake tells
            made[known[key]] = lay_over(base[known[key]], given, wrong, (*place, key))
    return made


def _renamed(base: dict[str, Any], words: dict[str, Any], wrong: Wrong, where: str) -> dict[str, Any]:
    there = entries(base)
    for key, value in entries(words).items():
        if key not in there:
            wrong(
                line_of(value, line_of(words, 1)), f"{where} has no '{key[:60]}' in the other language", suggest(key, there, "take it out")
            )
    new = {key: str(words.get(key, key)) for key in there}
    if len(set(new.values())) < len(new):
        wrong(line_of(words, 1), f"two of {where} have the same words", "give each its own")
        return base
    return {Text(new[key]) if key in new else key: value for key, value in base.items()}
