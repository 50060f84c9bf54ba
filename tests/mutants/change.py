"""Every small change that makes a module wrong: another comparison, operator, figure, condition or result."""

from __future__ import annotations

import ast
import copy
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

_COMPARE: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.Gt), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.Lt), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,), ast.NotIn: (ast.In,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,),
}  # fmt: skip
_BINARY: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.BitXor: ast.BitOr, ast.LShift: ast.RShift, ast.RShift: ast.LShift,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One wrong version. ``name`` stays the same while the code around it moves."""

    module: str
    line: int
    name: str
    old: str
    new: str
    good: bytes
    begin: int
    end: int
    put: bytes

    @property
    def source(self) -> str:
        """The wrong module; what is not changed keeps its line where the change is on one."""
        return (self.good[: self.begin] + self.put + self.good[self.end :]).decode("utf-8")

    def __str__(self) -> str:
        return f"{self.module}:{self.line}: {self.old}  ->  {self.new}"


def mutants(module: str, source: str) -> Iterator[Mutant]:
    """All wrong versions of a module's source, outer nodes first."""
    tree = ast.parse(source)
    text = source.encode("utf-8")
    starts = [0]
    for row in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(row))
    seen: Counter[str] = Counter()
    for node, where in _nodes(tree, ()):
        begin = starts[node.lineno - 1] + node.col_offset
        end = starts[node.end_lineno - 1] + node.end_col_offset  # type: ignore[operator]
        old = text[begin:end].decode("utf-8")
        for changed in _changes(node):
            new = ast.unparse(changed)
            put = f"({new})" if isinstance(changed, ast.expr) else new
            shown = (" ".join(old.split())[:100], " ".join(new.split())[:100])
            name = f"{module} {'.'.join(where) or 'module'}: {shown[0]} -> {shown[1]}"
            seen[name] += 1
            yield Mutant(
                module, node.lineno, name if seen[name] == 1 else f"{name} #{seen[name]}", *shown, text, begin, end, put.encode("utf-8")
            )


def _nodes(node: ast.AST, where: tuple[str, ...]) -> Iterator[tuple[ast.expr | ast.Return, tuple[str, ...]]]:
    """What can be changed, outer nodes first. Texts, annotations, decorators and imports are left alone."""
    if isinstance(node, ast.JoinedStr | ast.Import | ast.ImportFrom):
        return
    if isinstance(node, ast.keyword) and node.arg == "strict":  # a net below lengths that are equal
        return
    if isinstance(node, ast.Assert) and isinstance(node.test, ast.BoolOp) and isinstance(node.test.op, ast.And):
        for each in node.test.values:  # where all of it holds, one or another does: that version would be the same
            yield from _nodes(each, where)
        return
    if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
        return
    if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.AsyncFunctionDef):
        where = (*where, node.name)
    if isinstance(node, ast.Return) or (isinstance(node, ast.expr) and not _is_text(node)):
        yield node, where
    skip = {"annotation", "returns", "decorator_list", "type_comment", "type_params"}
    for name, value in ast.iter_fields(node):
        if name in skip:
            continue
        for child in value if isinstance(value, list) else (value,):
            if isinstance(child, ast.AST):
                yield from _nodes(child, where)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str | bytes | type(None) | type(...))


def _changes(node: ast.expr | ast.Return) -> Iterator[ast.expr | ast.Return]:
    if isinstance(node, ast.Compare):
        for i, op in enumerate(node.ops):
            for other in _COMPARE[type(op)]:
                made = copy.deepcopy(node)
                made.ops[i] = other()
                yield made
    elif isinstance(node, ast.BinOp) and type(node.op) in _BINARY and not _joins_texts(node):
        made_b = copy.deepcopy(node)
        made_b.op = _BINARY[type(node.op)]()
        yield made_b
    elif isinstance(node, ast.BoolOp):
        made_o = copy.deepcopy(node)
        made_o.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield made_o
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield copy.deepcopy(node.operand)
    elif isinstance(node, ast.IfExp):
        yield ast.copy_location(ast.IfExp(copy.deepcopy(node.test), copy.deepcopy(node.orelse), copy.deepcopy(node.body)), node)
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            yield ast.Constant(not node.value)
        elif isinstance(node.value, int):
            yield ast.Constant(node.value + 1)
            if node.value > 0:
                yield ast.Constant(node.value - 1)
        elif isinstance(node.value, float):
            yield ast.Constant(node.value * 1.1 if node.value else 1.0)
    elif isinstance(node, ast.Return) and node.value is not None and not _is_nothing(node.value):
        yield ast.Return(ast.Constant(None))


def _is_nothing(node: ast.expr) -> bool:
    """Whether it is None, or a plain no, which is read as nothing is: a function that gives yes or no is only asked whether."""
    return isinstance(node, ast.Constant) and (node.value is None or node.value is False)


def _joins_texts(node: ast.BinOp) -> bool:
    """Whether it puts texts together: another operator would not even run."""
    return any(isinstance(x, ast.JoinedStr) or _is_text(x) for x in (node.left, node.right))


def is_excused(name: str, excused: Mapping[str, str]) -> bool:
    """Whether ``excused.yml`` names a wrong version: by itself, or with all of its function by ``FILE FUNCTION: *``."""
    return name in excused or f"{name.partition(': ')[0]}: *" in excused


def unused(excused: Mapping[str, str], names: Iterable[str]) -> list[str]:
    """Entries of ``excused.yml`` that name no version there is."""
    found = set(names) | {f"{name.partition(': ')[0]}: *" for name in names}
    return sorted(set(excused) - found)
