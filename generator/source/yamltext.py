"""YAML as people write it: one reader for every file, with the line of every word.

Only plain lists, blocks and words are read. References (``&`` and ``*``), tags (``!``), a second
document and deep nesting are refused: a few lines of them can grow without end or run something,
and nobody who writes a lesson or settings needs them. Where a line cannot be read, the slip of the
keyboard that made it so is looked for, as the parser gives up where things no longer make sense,
often lines below.

``compose`` gives the nodes of a document, ``load_yaml`` plain lists, mappings and texts that know their
lines, ``load_plain`` the same without lines. All raise Unreadable with file and line.
"""

from __future__ import annotations

import re
from typing import Any

import yaml
from yaml import MappingNode, Node, ScalarNode, SequenceNode

from generator.source.problem import Refusal, Severity

__all__ = [
    "MappingNode", "Node", "ScalarNode", "SequenceNode", "Text", "Unreadable", "as_text", "compose", "entries", "is_blank", "line_of",
    "load_plain", "load_yaml", "node_line",
]  # fmt: skip

# libyaml's loader is ten times as fast where it is there
_Safe: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DEEPEST = 20  # brackets and blocks in one another
_MOST_NODES = 50_000
_MOST_LOOKED_AT = 40  # lines above the one where the parser gave up


class Unreadable(Refusal):
    """A text that is no YAML, or holds what is not read here."""

    code = "yaml"


class Text(str):
    """Words from a YAML file that know the line they start on."""

    line: int = 0


class _Lines(_Safe):  # type: ignore[misc]
    """Keeps the line each mapping and each text starts on."""


def _text(loader: _Lines, node: yaml.ScalarNode) -> Text:
    made = Text(loader.construct_scalar(node))
    made.line = node.start_mark.line + 1
    return made


def _mapping(loader: _Lines, node: yaml.MappingNode) -> dict[Any, Any]:
    loader.flatten_mapping(node)
    made: dict[Any, Any] = {}
    for key_node, value_node in node.value:
        if not isinstance(key_node, yaml.ScalarNode):
            raise yaml.constructor.ConstructorError(None, None, "a name is no plain word", key_node.start_mark)
        key = loader.construct_object(key_node, deep=True)
        if key in made:
            raise yaml.constructor.ConstructorError(None, None, f"'{str(key)[:60]}' stands twice", key_node.start_mark)
        try:
            made[key] = loader.construct_object(value_node, deep=True)
        except (ValueError, OverflowError):  # a date or number that is none
            shown = str(getattr(value_node, "value", ""))[:40]
            raise yaml.constructor.ConstructorError(
                None, None, f"'{shown}' is no number or date; put it in quotes", value_node.start_mark
            ) from None
    made["__line__"] = node.start_mark.line + 1
    return made


_Lines.add_constructor(yaml.resolver.BaseResolver.DEFAULT_MAPPING_TAG, _mapping)
_Lines.add_constructor("tag:yaml.org,2002:str", _text)


def line_of(value: Any, otherwise: int) -> int:
    """The line a text, a mapping or the first entry of a list starts on, where it is known."""
    if isinstance(value, dict):
        return int(value.get("__line__", otherwise))
    if isinstance(value, list) and value:
        return line_of(value[0], otherwise)
    return getattr(value, "line", 0) or otherwise


def as_text(value: Any) -> Text:
    """A value as words that know their line; 0 where it is not known."""
    return value if isinstance(value, Text) else Text(value)


def entries(block: Any) -> dict[str, Any]:
    """The entries of a block by name."""
    return {k if isinstance(k, str) else str(k): v for k, v in (block or {}).items() if k != "__line__"}


def node_line(node: yaml.Node) -> int:
    """The line a node starts on."""
    return int(node.start_mark.line) + 1


def is_blank(node: yaml.Node) -> bool:
    """Whether nothing is written there."""
    return isinstance(node, yaml.ScalarNode) and not node.style and node.value in {"", "~", "null"}


def load_yaml(text: str, file: str) -> Any:
    """A document as lists, mappings (each with ``__line__``) and ``Text``. Raises Unreadable."""
    return _read(text, file, yaml.load, _Lines)


def load_plain(text: str, file: str) -> Any:
    """A document as plain lists, mappings and values, without lines. Raises Unreadable."""
    return _read(text, file, yaml.load, _Safe)


def compose(text: str, file: str) -> yaml.Node | None:
    """The root node of a document, None where it is empty. Raises Unreadable."""
    node: yaml.Node | None = _read(text, file, yaml.compose, _Safe)
    return node


def _read(text: str, file: str, reads: Any, loader: Any) -> Any:
    try:
        _plain(text, file)
        return reads(text, Loader=loader)
    except yaml.reader.ReaderError as e:
        at = e.position if isinstance(e.position, int) else 0
        # libyaml counts bytes, the other reader letters
        before = text[:at] if _Safe is yaml.SafeLoader else text.encode("utf-8", "surrogatepass")[:at].decode("utf-8", "ignore")
        raise _refused(file, before.count("\n") + 1, "there is a hidden character that is not allowed", "type the line again") from None
    except yaml.MarkedYAMLError as e:
        raise _explained(text, file, e) from None
    except (yaml.YAMLError, ValueError, OverflowError, RecursionError):
        raise _refused(file, None, "this is not valid YAML", "start again from a copy of an example") from None


def _refused(file: str, line: int | None, what: str, fix: str) -> Unreadable:
    return Unreadable(what, fix, file=file, line=line, severity=Severity.UNREADABLE)


def _plain(text: str, file: str) -> None:
    depth = nodes = documents = 0
    for event in yaml.parse(text, Loader=_Safe):
        mark: Any = event.start_mark
        line = mark.line + 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise _refused(file, line, "anchors (&) and aliases (*) are not used here", "write the value out, or put it in quotes")
        if isinstance(event, yaml.NodeEvent) and getattr(event, "tag", None) not in {None, "!"}:
            raise _refused(file, line, "a tag (!) is not used here", "put the value in quotes")
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > _DEEPEST:
            raise _refused(file, line, f"more than {_DEEPEST} lists or blocks in one another",
                           "check the brackets and the spaces at the start of the lines")  # fmt: skip
        nodes += isinstance(event, yaml.NodeEvent)
        if nodes > _MOST_NODES:
            raise _refused(file, line, "the file is far too long", "check what was saved")
        documents += isinstance(event, yaml.DocumentStartEvent)
        if documents > 1:  # it would be dropped without a word
            raise _refused(file, line, "a second document starts here", "take the line '---' out")


# ---- what the slip was ------------------------------------------------------------------------------


def _explained(text: str, file: str, error: yaml.MarkedYAMLError) -> Unreadable:
    mark: Any = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else None
    said = " ".join((error.problem or "it cannot be read").split())
    if isinstance(error, yaml.constructor.ConstructorError):
        what, _, fix = said.partition("; ")
        return _refused(file, line, what, fix or "keep one of them")
    if "\\t" in said or (line and re.match(r" *\t", _at(text, line))):
        return _refused(file, line, "the line starts with a tab", "use spaces at the start of lines")
    if "single document" in f"{error.context} {error.problem}":
        return _refused(file, line, "a second document starts here", "take the line '---' out")
    if "mapping values are not allowed" in said and line and re.search(r":\s.*:(\s|$)", _at(text, line)):
        return _refused(file, line, "there is a second colon in this value", "put the whole value in quotes")
    if "',' or '" in said and line:
        closing = said.rsplit("'", 2)[1]
        return _refused(file, line, f"a bracket is not closed here or above, or a comma is missing ('{closing}' is expected)",
                        "close the bracket, and put a text with a comma or a bracket in quotes")  # fmt: skip
    if "flow" in (error.context or "") and line:
        return _refused(file, line, "a bracket is not closed here or above", "close it, and put a text with a bracket in quotes")
    slip = _slip(text, line) if line else None
    if slip is not None:
        return _refused(file, *slip)
    return _refused(file, line, f"this line cannot be read ({said[:120]})",
                    "check colons, quotes, brackets and the spaces at the start of this line and the one above")  # fmt: skip


def _at(text: str, line: int) -> str:
    return next(iter(text.replace("\r\n", "\n").split("\n")[line - 1 : line]), "")


def _slip(text: str, last: int) -> tuple[int, str, str] | None:
    """The slip of the keyboard that made a line unreadable: its line, what is wrong, what to do."""
    lines = text.replace("\r\n", "\n").split("\n")
    for at in range(min(last, len(lines)), max(last - 3, 0), -1):
        if re.match(r" *[\u00a0\u2000-\u200a\u202f\u3000]|[^#]*?:[\u00a0\u202f]", lines[at - 1]):
            return at, "a blank of this line is not an ordinary one, as copied text may hold", "type the blanks of the line again"
    for at in range(min(last, len(lines)), max(last - _MOST_LOOKED_AT, 0), -1):
        bare = lines[at - 1].strip()
        if not bare or bare.startswith("#"):
            continue
        found = _slip_in_line(bare, at)
        if found is not None:
            return found
        out_of_line = _out_of_line(lines, at) if re.fullmatch(r"\w+:.*", bare) else None
        if out_of_line is not None:
            return (out_of_line, "the line does not start with as many blanks as its neighbours",
                    "line it up with the lines above and below")  # fmt: skip
    return None


def _slip_in_line(bare: str, at: int) -> tuple[int, str, str] | None:
    if re.match(r"[–—−‐•*]\s*\S", bare):
        return at, f"'{bare[0]}' stands where a hyphen belongs", "start the line of a list with a hyphen and a blank"
    if re.match(r"-[^\s-]", bare) and not re.match(r"-\d", bare):
        return at, "there is no blank behind the hyphen", f"write - {bare[1:41]}"
    if match := re.fullmatch(r"([A-Za-z]\w*):(\S[^:#]*?)\s*(?:#.*)?", bare):
        return at, "there is no blank behind the colon", f"write {match[1]}: {match[2][:40]}"
    if match := re.fullmatch(r"([A-Za-z]\w*)\s*=\s*([^#]*?)\s*(?:#.*)?", bare):
        return at, "there is an equals sign where a colon belongs", f"write {match[1]}: {match[2][:40]}"
    if match := re.fullmatch(r"\w+: *(['\"])(.*)", bare):
        rest = re.sub(r"\s#.*", "", match[2]).rstrip()
        if not rest.endswith(match[1]) or match[1] in rest[:-1].replace(match[1] * 2, ""):
            other = '"' if match[1] == "'" else "'"
            return at, "the quotes of this value do not match", f"put {other} around the whole value"
    return None


def _out_of_line(lines: list[str], at: int) -> int | None:
    """The line that starts too far in or out: the one at ``at``, or the one above it."""
    filled = [i for i in range(1, at) if lines[i - 1].strip() and not lines[i - 1].strip().startswith("#")]
    if not filled:
        return None
    line, above = lines[at - 1], lines[filled[-1] - 1]
    opens = re.sub(r"\s#.*", "", above).rstrip().endswith(":")
    if _indent(line) > _indent(above) and not opens:
        straight = len(filled) > 1 and _indent(lines[filled[-2] - 1]) == _indent(line)
        return filled[-1] if straight else at
    held = {_indent(lines[i - 1]) for i in filled}
    return at if _indent(line) < _indent(above) and _indent(line) not in held else None


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
