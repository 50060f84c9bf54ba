"""Templates read: plain text with the few calls a lesson may make, and the pages of paper.

A lesson's text may hold ``{{ call('word') }}`` and ``{{ machine.name }}`` and nothing else: no
loops, filters, arithmetic or inclusion. It is read by jinja2's parser and carried out by
:mod:`generator.book.render`, so there is nothing to break out of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from generator.source.near import suggest
from generator.source.problem import Refusal

# name of each call: fewest and most words it takes
CALLS: Mapping[str, tuple[int, int]] = {
    "n": (1, 1), "working": (1, 1), "table": (0, 0), "drawing": (0, 1), "steps": (1, 1), "ways": (1, 1), "panel": (0, 0), "term": (1, 2),
    "caution": (1, 1), "limits": (0, 0), "why": (0, 0), "watch": (0, 0), "quiz": (0, 0), "exercise": (0, 0),
    "show": (0, 0), "where": (1, 1), "rule": (1, 1),
}  # fmt: skip
_ROW = ("id", "name", "kind")
NAMES: Mapping[str, tuple[str, ...]] = {
    "site": ("name", "edition"), "machine": _ROW, "truck": _ROW, "material": ("id", "name"),
}  # fmt: skip
_ODD = re.compile(r"\{%|\{#|\{\{[-+]|[-+]\}\}|\{\{[^{}\n]*\n")
_ODD_FIX = {
    "{%": "a lesson has calls such as {{ n('bench') }} only", "{#": "leave the note out; {: #name } names a place",
    "{{": "write a call on one line, such as {{ n('bench') }}", "-}": "write }} alone", "+}": "write }} alone",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of plain text (``call`` is empty), a call with its words, or ``name.part``."""

    line: int
    text: str = ""
    call: str = ""
    words: tuple[str, ...] = ()


class TemplateProblem(Refusal):
    """A template that cannot be read; its line is that of the template."""

    code = "template"

    def __init__(self, line: int, what: str, fix: str) -> None:
        super().__init__(what, fix, line=line)

    @property
    def line(self) -> int:
        """Its line in the template."""
        return self.problem.line or 1


@lru_cache(maxsize=1)
def environment() -> Any:
    """jinja2's sandbox, for the pages of paper; every value put in is escaped before."""
    from jinja2 import StrictUndefined
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    env = ImmutableSandboxedEnvironment(undefined=StrictUndefined, autoescape=False, keep_trailing_newline=True)
    env.globals.clear()
    return env


@lru_cache(maxsize=64)
def paper_template(text: str) -> Any:
    """A page of paper, compiled once."""
    return environment().from_string(text)


def parsed(text: str) -> Any:
    """jinja2's syntax tree. Raises TemplateProblem."""
    from jinja2 import TemplateSyntaxError

    try:
        return environment().parse(text)
    except TemplateSyntaxError as e:
        what = " ".join((e.message or "").split())[:120]
        if what.startswith("Unexpected end of template"):
            raise TemplateProblem(e.lineno, "template: an if or a for has no end", "end it with {% endif %} or {% endfor %}") from None
        raise TemplateProblem(e.lineno, f"template: {what}", "mend the {{ … }} on that line") from None
    except (RecursionError, ValueError):  # brackets without end; a number of thousands of digits
        # no line comes with these: it is the one that cannot be read alone
        rows = text.split("\n")
        line = next((i for i, row in enumerate(rows, 1) if len(rows) > 1 and not _reads(row)), 1)
        raise TemplateProblem(line, "template: it cannot be read", "mend the {{ … }} on that line") from None


def _reads(row: str) -> bool:
    try:
        parsed(row)
    except TemplateProblem:
        return False
    return True


@lru_cache(maxsize=4096)
def pieces(text: str) -> tuple[Piece | TemplateProblem, ...]:
    """Text and calls in order, and a problem in the place of each that is not allowed."""
    if "{" not in text:
        return (Piece(1, text),)
    # what would join texts that do not stand side by side: nobody needs it, and it hides things
    odd = _ODD.search(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        return (TemplateProblem(line, f"template: {odd[0][:2]} is not for a lesson", _ODD_FIX[odd[0][:2]]),)
    try:
        return tuple(_pieces(parsed(text).body))
    except TemplateProblem as e:
        return (e,)


def _pieces(body: list[Any]) -> Iterator[Piece | TemplateProblem]:
    from jinja2 import nodes

    for node in body:
        if not isinstance(node, nodes.Output):
            yield TemplateProblem(
                node.lineno, f"template: {{% {type(node).__name__.lower()} %}} is not for a lesson",
                "a lesson has calls such as {{ n('bench') }} only",
            )  # fmt: skip
            continue
        for part in node.nodes:
            if isinstance(part, nodes.TemplateData):
                yield Piece(part.lineno, part.data)
                continue
            try:
                yield _call(part, nodes)
            except TemplateProblem as e:
                yield e


def _call(node: Any, nodes: Any) -> Piece:
    line = node.lineno
    if isinstance(node, nodes.Getattr) and isinstance(node.node, nodes.Name):
        name, attribute = node.node.name, node.attr
        if name not in NAMES:
            raise TemplateProblem(line, f"template: nothing is called '{name[:60]}'", suggest(name, NAMES, f"use {', '.join(NAMES)}"))
        if attribute not in NAMES[name]:
            raise TemplateProblem(line, f"template: {name} has no '{attribute[:60]}' to print",
                                  suggest(attribute, NAMES[name], f"it has {', '.join(NAMES[name])}; a figure is {{{{ n('{name}.COLUMN') }}}}"))  # fmt: skip
        return Piece(line, call=name, words=(attribute,))
    if not isinstance(node, nodes.Call) or not isinstance(node.node, nodes.Name):
        named = isinstance(node, nodes.Name)
        if named and node.name in CALLS:
            raise TemplateProblem(line, f"template: '{node.name}' is a call", f"write {node.name}()")
        what = f"nothing is called '{node.name[:60]}'" if named else "this is no call a lesson may make"
        raise TemplateProblem(line, f"template: {what}", suggest(node.name, [*CALLS, *NAMES], _calls()) if named else _calls())
    name = node.node.name
    if name not in CALLS:
        raise TemplateProblem(line, f"template: no call is named '{name[:60]}'", suggest(name, CALLS, _calls()))
    if (
        node.kwargs
        or node.dyn_args
        or node.dyn_kwargs
        or not all(isinstance(a, nodes.Const) and isinstance(a.value, str) for a in node.args)
    ):
        raise TemplateProblem(line, f"template: {name}() takes plain words in quotes", f"write {_example(name)}")
    least, most = CALLS[name]
    if not least <= len(node.args) <= most:
        raise TemplateProblem(line, f"template: {name}() has {len(node.args)} words in its brackets", f"write {_example(name)}")
    return Piece(line, call=name, words=tuple(a.value for a in node.args))


def _example(name: str) -> str:
    inside = ", ".join(["'…'"] * CALLS[name][0])
    return f"{{{{ {name}({inside}) }}}}"


def _calls() -> str:
    return f"the calls are {', '.join(CALLS)}; words come from {', '.join(NAMES)}"
