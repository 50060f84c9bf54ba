"""The pages of paper a site may write itself: plain HTML with names to fill in, checked before use."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from generator.book.style import wrong_css
from generator.book.template import TemplateProblem, parsed
from generator.language.scripts import HELPER, NAME
from generator.language.words import ENGLISH, current
from generator.source.near import suggest

Found = tuple[int, str, str]

# what each page is given to fill in; a name of a list is followed by what its entries hold
GIVEN: Mapping[str, Mapping[str, tuple[str, ...] | None]] = {
    "tailgate.html": {
        "key": None, "sign": (), "units": None, "title": None, "lesson": None, "base": None, "site": None,
        "edition": None, "invented": None, "summary": None, "points": (), "drawing": None, "machine": None,
        "sum": None, "ask_left": None, "watch_left": None, "tight": None, "ask": ("ask", "answer"), "watch": (), "caution": None, "limits_by": None,
        "exercise": ("head", "list"), "standard": None, "record": (), "number": None, "language": None, "aloud": None,
        "switch": None,
    },
    "frame.html": {
        "units": None, "title": None, "site": None, "edition": None, "invented": None, "body": None, "style": None,
        "back": None, "back_words": None, "language": None, "switch": None,
    },
}  # fmt: skip
_MUST = {"tailgate.html": ("caution", "sum", "title"), "frame.html": ("body", "title")}
_TAGS = (
    "html", "head", "body", "title", "meta", "link", "style", "script", "header", "footer", "main", "section", "div",
    "span", "p", "h1", "h2", "h3", "h4", "ul", "ol", "li", "dl", "dt", "dd", "table", "caption", "thead", "tbody",
    "tr", "th", "td", "b", "i", "em", "strong", "sub", "sup", "small", "br", "hr", "a", "button", "img",
)  # fmt: skip
_ATTRIBUTES = {
    "class", "id", "lang", "title", "alt", "scope", "colspan", "rowspan", "width", "height", "charset", "name",
    "content", "rel", "href", "src", "defer", "type", "role", "start", "data-units", "data-default-units", "data-units-fixed",
    "data-print", "data-set-units", "data-piece", "data-sheet-of", "aria-label",
}  # fmt: skip
# what is filled in stands as one sign while the HTML is looked at: an address of ours, escaped words,
# ready HTML, the style, and a condition or loop. Only the first two may stand inside a tag.
_PATH, _WORDS, _READY, _STYLE, _BRANCH = "\ue000", "\ue001", "\ue002", "\ue003", "\ue004"
_SIGNS = {
    **dict.fromkeys(("base", "back"), _PATH), "style": _STYLE,
    **dict.fromkeys(("units", "lesson", "title", "site", "edition", "back_words", "machine", "number", "language"), _WORDS),
}  # fmt: skip
_HELD = re.compile("[\ue000-\ue004]")
_TAG = re.compile(r'<(/?)([a-z][a-z0-9]*)((?:\s+[a-z-]+(?:="[^"<>\ue002-\ue004]*")?)*)\s*/?>')
_ATTRIBUTE = re.compile(r'([a-z-]+)(?:="([^"]*)")?')
_ADDRESS = re.compile(rf"(?:{_PATH}|\.\./)[a-z0-9{_WORDS}/._-]*(?:#[a-z0-9-]*)?|data:,|#[a-z0-9-]*")
_SCRIPT = re.compile(rf"(?:{_PATH}|\.\./)assets/(?:strings|words|seatwork|machines|my-machine)\.js")
_MARK = "<!-- what another machine changes -->"  # where the part ends that a picked machine changes
_FROM_SHIPPED = re.compile(
    r"<script>.*?</script>|<[a-z][a-z0-9]*(?: [a-z-]+(?:=\"[^\"<>]*\")?)*\{%[^<>]*>|<[a-z][^<>{}]*\{\{ '[^<>]*>", re.DOTALL
)
_CONSTANT = re.compile(r"[\w\s=\"'.-]*")
_DEEPEST = 2


def wrong_sheet(name: str, text: str, shipped: str) -> Iterator[Found]:
    """Everything in a site's own page of paper that is not allowed or not known.

    Scripts, and tags with a condition in them, may stand in it as they stand in the ``shipped`` page.
    """
    odd = _HELD.search(text) or re.search(r"\{%[-+]?\s*raw", text)
    if odd:
        yield text.count("\n", 0, odd.start()) + 1, "holds what no sheet may hold", "leave it out"
        return
    try:
        tree = parsed(text)
    except TemplateProblem as e:
        yield e.line, e.what, e.fix
        return
    used: set[str] = set()
    yield from _wrong_nodes(tree.body, name, {}, used, 0)
    for needed in _MUST[name]:
        if needed not in used:
            yield 1, f"does not print '{needed}'", f"put {{{{ {needed} }}}} where it belongs"
    for piece in _FROM_SHIPPED.findall(shipped):
        text = text.replace(piece, _READY + "\n" * piece.count("\n"))
    yield from _wrong_html(text)


def _wrong_nodes(body: list[Any], name: str, loops: Mapping[str, str], used: set[str], deep: int) -> Iterator[Found]:
    from jinja2 import nodes

    for node in body:
        if isinstance(node, nodes.Output):
            for part in node.nodes:
                if not isinstance(part, nodes.TemplateData):
                    yield from _wrong_value(part, name, loops, used)
        elif isinstance(node, nodes.If):
            yield from _wrong_value(node.test, name, loops, set())
            for other in node.elif_:
                yield from _wrong_value(other.test, name, loops, set())
                yield from _wrong_nodes(other.body, name, loops, used, deep)
            for branch in (node.body, node.else_):
                yield from _wrong_nodes(branch, name, loops, used, deep)
        elif isinstance(node, nodes.For):
            known = [n for n, parts in GIVEN[name].items() if parts is not None]
            if deep + 1 > _DEEPEST:
                yield node.lineno, f"template: more than {_DEEPEST} loops in one another", "take one out"
            if not isinstance(node.iter, nodes.Name) or node.iter.name not in known or node.recursive or node.test is not None:
                yield node.lineno, "template: a loop runs over one of the lists", f"the lists are {', '.join(known)}"
            elif not isinstance(node.target, nodes.Name) or node.target.name in GIVEN[name]:
                yield node.lineno, "template: a loop has one name of its own", "write {% for x in LIST %}"
            else:
                used.add(node.iter.name)
                yield from _wrong_nodes(node.body, name, {**loops, node.target.name: node.iter.name}, used, deep + 1)
        else:
            yield (node.lineno, f"template: {{% {type(node).__name__.lower()} %}} is not for a sheet",
                   "use {{ NAME }}, {% if NAME %} and {% for x in LIST %}")  # fmt: skip


def _wrong_value(node: Any, name: str, loops: Mapping[str, str], used: set[str]) -> Iterator[Found]:
    from jinja2 import nodes

    given = GIVEN[name]
    if isinstance(node, nodes.Name):
        used.add(node.name)
        if node.name not in given and node.name not in loops:
            yield (
                node.lineno,
                f"template: nothing is called '{node.name[:60]}'",
                suggest(node.name, [*given, *loops], f"use {', '.join(given)}"),
            )
        return
    if isinstance(node, nodes.Getattr) and isinstance(node.node, nodes.Name) and node.node.name in loops:
        of_entry = given[loops[node.node.name]] or ()
        if node.attr not in of_entry:
            yield (node.lineno, f"template: '{node.node.name}' has no '{node.attr[:60]}'",
                   suggest(node.attr, of_entry, f"it has {', '.join(of_entry) or 'no parts'}"))  # fmt: skip
        return
    if isinstance(node, nodes.Const) and isinstance(node.value, str) and _CONSTANT.fullmatch(node.value):
        return
    parts: tuple[Any, ...] = ()
    if isinstance(node, nodes.Call) and isinstance(node.node, nodes.Name) and node.node.name == "tr":
        yield from _wrong_words(node, name, loops, used)
        return
    if isinstance(node, nodes.Not):
        parts = (node.node,)
    elif isinstance(node, nodes.And | nodes.Or):
        parts = (node.left, node.right)
    elif isinstance(node, nodes.Compare) and all(o.op in {"eq", "ne", "in", "notin"} for o in node.ops):
        parts = (node.expr, *(o.expr for o in node.ops))
    elif isinstance(node, nodes.CondExpr) and node.expr2 is not None:
        parts = (node.test, node.expr1, node.expr2)
    if not parts:
        yield node.lineno, "template: only names can be filled in", f"use {', '.join(given)}"
    for part in parts:
        yield from _wrong_value(part, name, loops, set())


def _wrong_words(node: Any, name: str, loops: Mapping[str, str], used: set[str]) -> Iterator[Found]:
    """Words of a page that stand in every language: ``tr("…")``, its figures by name."""
    from jinja2 import nodes

    plain = [isinstance(a, nodes.Const) and isinstance(a.value, str) and not re.search(r"[<>&\"]", a.value) for a in node.args]
    if plain != [True] or node.dyn_args or node.dyn_kwargs:
        yield node.lineno, "template: tr() takes plain words in quotes", 'write {{ tr("Say") }}'
    for pair in node.kwargs:
        yield from _wrong_value(pair.value, name, loops, used)


def _wrong_html(text: str) -> Iterator[Found]:
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}", lambda m: _BRANCH + "\n" * m[0].count("\n"), text, flags=re.DOTALL)
    text = re.sub(r"\{\{[-+]?\s*(.*?)\s*[-+]?\}\}", lambda m: _SIGNS.get(m[1], _READY) + "\n" * m[0].count("\n"), text, flags=re.DOTALL)
    at = 0
    while (start := text.find("<", at)) >= 0:
        line = text.count("\n", 0, start) + 1
        at = start + 1
        if text[start : start + 15].lower() == "<!doctype html>":
            continue
        if text.startswith(_MARK, start):
            continue
        match = _TAG.match(text, start)
        if match is None:
            yield line, f"'{_short(text[start:])}' cannot be read as a tag", 'write <tag name="value">, and &lt; for the sign itself'
            continue
        at = match.end()
        closing, tag, attributes = match.groups()
        if tag not in _TAGS:
            yield line, f"<{tag}> is not for a sheet", "use headings, paragraphs, lists and tables"
            continue
        given = {m[1]: m[2] or "" for m in _ATTRIBUTE.finditer(attributes)}
        if (
            tag == "script"
            and not closing
            and not (set(given) <= {"src", "defer"} and _SCRIPT.fullmatch(given.get("src", "")) and text.startswith("</script>", at))
        ):
            yield (
                line,
                "a script is not for a sheet",
                "only assets/seatwork.js, which switches units and prints, and the ones for a picked machine",
            )
            continue
        for key, value in given.items():
            if key not in _ATTRIBUTES:
                yield line, f"the attribute {key} is not for a sheet", "style goes into look/sheet.css"
            elif key in {"href", "src"} and not _ADDRESS.fullmatch(value):
                yield line, f"{key} may not lead to '{_short(value)}'", "write a page of the handbook, such as ../mentor.html"
        if tag == "style" and not closing:
            end = text.find("</style>", at)
            inside = text[at : end if end >= 0 else len(text)]
            if end < 0 or "<" in inside or _HELD.search(inside.replace(_STYLE, "")):
                yield line, "<style> holds what is no style", "close it with </style>; only {{ style }} is filled in there"
            for i, what, fix in wrong_css(inside):
                yield line + i - 1, what, fix
            at = end if end >= 0 else len(text)


_SAYS = re.compile(r"<script\b[^>]*\bsrc=\"([^\"]*assets/)(?:machines|my-machine)\.js\"[^>]*></script>")


def with_words(html: str) -> str:
    """A sheet with the scripts that say what a picked machine's sheet is, before the first that needs them.

    They are put in here, as a template of a site's own may be older than they are.
    """
    first = _SAYS.search(html)
    if first is None or HELPER in html:
        return html
    names = (HELPER,) if current() == ENGLISH else (NAME, HELPER)
    tags = "".join(f'<script src="{first[1]}{name}" defer></script>\n' for name in names)
    return html[: first.start()] + tags + html[first.start() :]


def _short(text: str) -> str:
    return "".join(ch if ch.isprintable() else " " for ch in _HELD.sub("…", text[:24])).strip()
