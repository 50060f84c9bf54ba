"""Errors put into the procedures on purpose: their Python is changed in one place and run.

A procedure holds what no formula can: choices, loops, tables, roundings, and the names its results
go by. Each slip here is one that a hand can make in writing that: plus for minus, the smaller for
the larger, a rounding the other way, the next row, a result under another's name. It is compiled,
put in place of the right code, and the outside checks of the topic judge it, among them the cases
that must be refused (``refused.yml``). What only explains a result (``Rows``, ``Note``,
``Applied``) is left alone: the tests of the working look after it.
"""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from functools import cache, cached_property, lru_cache, partial
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import yaml

import generator.calc.catalogue as catalogue
from generator.calc.catalogue import TOPICS, calculations, find
from generator.calc.formula import Formula, Input
from generator.calc.procedure import Procedure
from generator.calc.tables import Table
from generator.reference import checks as written_checks
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from tests.outside.collected import ROOT, Prepared, prepared, procedure_checks, tables
from tests.outside.planted import Score, exceptions

REFUSED = ROOT / "tests" / "outside" / "refused.yml"
EXPLAINS = {"Rows", "Note", "Applied", "Column", "CalculationError"}
# what the steps are gathered in, and how a figure is printed
GATHERED = {"steps", "bands", "chain", "note", "named", "ranged", "used_columns", "offset", "front", "square"}
PRINTED = {"places", "significant", "rounding"}
SWAPPED_CALLS = {
    "min": "max", "max": "min", "up": "int", "floor": "ceil", "ceil": "floor", "sin": "cos", "cos": "sin",
    "atan": "tan", "tan": "atan", "degrees": "radians", "radians": "degrees",
}  # fmt: skip
SWAPPED_NAMES = {"middle": "low"}
SWAPPED_SIGNS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
}  # fmt: skip
ROUNDS = 20_000  # of a loop that a slip keeps from ending


class TooLong(ArithmeticError):
    """A slip made a loop run on."""


@dataclass(frozen=True)
class Change:
    """One change of a function's tree: ``new`` in a field of ``node``, or in the list there."""

    tree: ast.FunctionDef
    node: ast.AST
    field: str
    place: int | None
    new: ast.AST

    def code(self) -> CodeType:
        """The function's code with the change; the tree stays as it is."""
        held = getattr(self.node, self.field)
        old = held if self.place is None else held[self.place]
        put(self.node, self.field, self.place, self.new)
        try:
            return _code(self.tree)
        finally:
            put(self.node, self.field, self.place, old)


@dataclass(frozen=True)
class Slip:
    """One slip in one function. ``code`` stands in for the function's own."""

    topic: str
    where: str  # module and function
    what: str
    function: FunctionType
    change: Change

    @property
    def id(self) -> str:
        """Name in the list of exceptions and in the tests."""
        return f"{self.where}: {self.what}"

    @cached_property
    def code(self) -> CodeType:
        """Compiled when it is first wanted: there are a thousand slips."""
        return self.change.code()


@cache
def modules() -> dict[str, ModuleType]:
    """The catalogue's modules by name, those that a topic's module is split into among them."""
    names = sorted(p.stem for p in Path(inspect.getfile(catalogue)).parent.glob("*.py") if p.stem != "__init__")
    return {name: import_module(f"{catalogue.__name__}.{name}") for name in names}


def topic_of(module: str) -> str:
    """The topic that a module's procedures belong to."""
    return next(t for t in TOPICS if module == t or module.startswith(f"{t}_"))


@cache
def functions(module: ModuleType) -> tuple[tuple[str, ast.FunctionDef, FunctionType], ...]:
    """Name, tree and object of every function and method written in a module.

    Left out are those that only explain, and those that make inputs when the module is loaded.
    The trees have no decorators, and their endless loops are stopped.
    """
    found = []
    for name, tree, function in _functions(module):
        tree.decorator_list = []
        for node in ast.walk(tree):
            if isinstance(node, ast.While):
                node.body.insert(0, ast.Expr(ast.Call(ast.Name("__round__of__a__loop", ast.Load()), [], [])))
        found.append((name, tree, function))
    return tuple(found)


def _functions(module: ModuleType) -> Iterator[tuple[str, ast.FunctionDef, FunctionType]]:
    for node in ast.parse(inspect.getsource(module)).body:
        inside = node.body if isinstance(node, ast.ClassDef) else [node]
        for one in inside:
            if not isinstance(one, ast.FunctionDef) or one.returns is None:
                continue
            if any(isinstance(n, ast.Name) and n.id in {"Rows", "Input"} for n in ast.walk(one.returns)):
                continue
            owner = getattr(module, node.name) if isinstance(node, ast.ClassDef) else module
            found = vars(owner)[one.name]
            found = found.fget if isinstance(found, property) else found
            name = f"{node.name}.{one.name}" if isinstance(node, ast.ClassDef) else one.name
            if isinstance(found, FunctionType):
                yield name, one, found


def _slips(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What can go wrong at this node, with what stands there then."""
    match node:
        case ast.BinOp(left, op, right) if type(op) in SWAPPED_SIGNS:
            yield "", ast.BinOp(left, SWAPPED_SIGNS[type(op)](), right)
        case ast.Compare(left, [op], [right]) if type(op) in TURNED:
            yield "", ast.Compare(left, [TURNED[type(op)]()], [right])
        case ast.BoolOp(op, values):
            yield "", ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), values)
        case ast.UnaryOp(ast.USub(), operand) | ast.UnaryOp(ast.Not(), operand):
            yield "", operand
        case ast.IfExp(test, body, orelse):
            yield "", ast.IfExp(test, orelse, body)
        case ast.Call(ast.Name(name) as function, args, keywords) if name in SWAPPED_CALLS:
            yield "", ast.Call(replace_name(function, SWAPPED_CALLS[name]), args, keywords)
        case ast.Call(ast.Attribute(value, name), args, keywords) if name in SWAPPED_CALLS:
            yield "", ast.Call(ast.Attribute(value, SWAPPED_CALLS[name], ast.Load()), args, keywords)
        case ast.Attribute(value, name, ast.Load()) if name in SWAPPED_NAMES:
            yield "", ast.Attribute(value, SWAPPED_NAMES[name], ast.Load())
        case ast.Constant(bool() | str() | bytes() | None):
            pass
        case ast.Constant(float() | int() as number) if not 0 < abs(number) < 1e-6:
            yield "", ast.Constant(number * 2 if number else number + 1)
        case ast.Dict(keys, values):
            # a result under the name of the next one
            for i in range(len(values) - 1):
                a, b = values[i], values[i + 1]
                if _is_value(a) and _is_value(b):
                    yield f"{_name(keys[i])} and {_name(keys[i + 1])} mixed up", ast.Dict(keys, [*values[:i], b, a, *values[i + 2 :]])
        case _:
            pass


def replace_name(node: ast.Name, name: str) -> ast.Name:
    """The same kind of name, another one."""
    return ast.Name(name, node.ctx)


def _is_value(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {"Value", "seconds", "angle"}


def _name(key: ast.expr | None) -> str:
    return str(key.value) if isinstance(key, ast.Constant) else ast.unparse(key) if key else "?"


def _explains(node: ast.AST) -> bool:
    """Whether a part only explains a result, prints it, guards a type or allows for binary fractions."""
    match node:
        case ast.Call(ast.Name(name)) if name in EXPLAINS:
            return True
        case ast.Assert() | ast.JoinedStr():
            return True
        case ast.Expr(ast.Call(ast.Attribute(ast.Name(name)))) if name in GATHERED:
            return True
        case ast.Assign([ast.Name(name)]) | ast.AnnAssign(ast.Name(name)) if name in GATHERED:
            return True
        case ast.Assign([ast.Subscript(ast.Name(name))]) | ast.Subscript(ast.Name(name)) if name in GATHERED:
            return True
        case ast.If(_, body, orelse):
            return all(map(_explains, [*body, *orelse]))
        case ast.IfExp(_, body, orelse):
            return _explains(body) and _explains(orelse)
        case ast.Tuple(elements) | ast.List(elements):
            return all(map(_explains, elements))
        case ast.Starred(value) | ast.keyword(_, value) if _explains(value):
            return True
        case ast.keyword(name):
            return name in PRINTED
        case ast.BinOp(left, _, right):
            return _tiny(left) or _tiny(right)
        case _:
            return False


def _tiny(node: ast.AST) -> bool:
    """A hair for binary fractions, or a hair more or less than one."""
    match node:
        case ast.Constant(float() as number):
            return 0 < abs(number) < 1e-6
        case ast.BinOp(left, _, right):
            return _tiny(left) or _tiny(right)
        case _:
            return False


def _everywhere(tree: ast.FunctionDef) -> Iterator[tuple[str, Change]]:
    """Every slip of a function."""
    places: list[tuple[ast.AST, str, int | None]] = []

    def walk(node: ast.AST) -> None:
        for field, value in ast.iter_fields(node):
            if field in {"annotation", "returns", "decorator_list", "args"} and not isinstance(node, ast.Call):
                continue
            for i, child in enumerate(value if isinstance(value, list) else [value]):
                if isinstance(child, ast.AST) and not _explains(child):
                    places.append((node, field, i if isinstance(value, list) else None))
                    walk(child)

    walk(tree)
    for node, field, i in places:
        old = getattr(node, field) if i is None else getattr(node, field)[i]
        for words, new in _slips(old):
            yield words or f"{ast.unparse(new)} for {ast.unparse(old)}", Change(tree, node, field, i, new)


def put(node: ast.AST, field: str, i: int | None, new: ast.AST) -> None:
    """Puts ``new`` into a field of a node, or into the list there."""
    if i is None:
        setattr(node, field, new)
    else:
        getattr(node, field)[i] = new


def _code(tree: ast.FunctionDef) -> CodeType:
    """The code of a function."""
    future = ast.ImportFrom("__future__", [ast.alias("annotations")], 0)
    module = ast.fix_missing_locations(ast.Module([future, tree], []))
    return next(c for c in compile(module, "<planted>", "exec").co_consts if isinstance(c, CodeType) and c.co_name == tree.name)


@cache
def _stopped(module: ModuleType) -> tuple[tuple[FunctionType, CodeType], ...]:
    """The functions of a module that loop until something holds, with code that stops a loop that runs on."""
    return tuple((f, _code(tree)) for _, tree, f in functions(module) if any(isinstance(n, ast.While) for n in ast.walk(tree)))


@lru_cache(maxsize=1)
def planted() -> tuple[Slip, ...]:
    """All slips of all procedures, each once."""
    found = []
    for name, module in modules().items():
        for where, tree, function in functions(module):
            names: dict[str, int] = {}
            for what, changed in _everywhere(tree):
                names[what] = names.get(what, 0) + 1
                told = what if names[what] == 1 else f"{what} (place {names[what]})"
                found.append(Slip(topic_of(name), f"{name}.{where}", told, function, changed))
    return tuple(found)


@contextmanager
def in_place(slip: Slip) -> Iterator[None]:
    """The function works as planted; loops of its module are stopped when they run on."""
    space = slip.function.__globals__
    left = [ROUNDS]

    def tick() -> None:
        left[0] -= 1
        if left[0] < 0:
            raise TooLong

    with ExitStack() as after:
        for function, code in _stopped(modules()[slip.function.__module__.rpartition(".")[2]]):
            after.enter_context(_swapped(function, code))
        after.enter_context(_swapped(slip.function, slip.code))
        space["__round__of__a__loop"] = tick
        after.callback(lambda: space.pop("__round__of__a__loop"))
        yield


@contextmanager
def _swapped(function: FunctionType, code: CodeType) -> Iterator[None]:
    right = function.__code__
    function.__code__ = code
    try:
        yield
    finally:
        function.__code__ = right


@dataclass(frozen=True)
class Refused:
    """Inputs a calculation must turn away, and what for; ``takes`` are inputs just on the right side.

    ``says`` are words that the refusal must hold, none where any will do.
    """

    calculation: str
    inputs: dict[str, str]
    takes: dict[str, str | None]
    source: str | None
    why: str
    says: str = ""

    def outcome(self, inputs: dict[str, str], read: Mapping[str, Table]) -> str | None:
        """What is said in turning ``inputs`` away; None where they are taken."""
        calculation = find(self.calculation)
        try:
            given: Any = calculation.read(inputs)
            if isinstance(calculation, Formula):
                calculation.value(given)
            else:
                calculation.run(given, "us", read)
        except CalculationError as e:
            return str(e)
        return None

    def met(self, read: Mapping[str, Table]) -> bool:
        """Whether the wrong inputs are turned away and the right ones are not. Any other error is a fault."""
        try:
            taken = {name: text for name, text in {**self.inputs, **self.takes}.items() if text is not None}
            refusal = self.outcome(self.inputs, read)
            return refusal is not None and self.says in refusal and self.outcome(taken, read) is None
        except (ValueError, ArithmeticError, KeyError, IndexError, AssertionError, TypeError, NameError, AttributeError):
            return False


@lru_cache(maxsize=1)
def refused() -> tuple[Refused, ...]:
    """Every case of ``refused.yml``."""
    rows = yaml.safe_load(REFUSED.read_text("utf-8"))

    def texts(some: dict[str, Any]) -> dict[str, Any]:
        return {name: None if value is None else str(value) for name, value in some.items()}

    return tuple(Refused(r["calculation"], texts(r["inputs"]), texts(r["takes"]), r["source"], r["why"], r.get("says", "")) for r in rows)


def _met(check: Prepared, read: Mapping[str, Table]) -> bool:
    try:
        value = written_checks.value_given(check.check, check.calculation, check.given, read)
        return written_checks.agrees(check.check, value)
    except (ValueError, ArithmeticError, KeyError, IndexError, AssertionError, TypeError, NameError, AttributeError):
        return False


def judged(topic: str, read: Mapping[str, Table] | None = None) -> str | None:
    """What the topic's checks of procedures object to at this moment; None where all is met.

    ``read`` are other tables than the shipped ones.
    """
    shipped = read or tables()
    asked = _asked(topic)
    for number, one in enumerate(asked):
        if not (_met(one, shipped) if isinstance(one, Prepared) else one.met(shipped)):
            # what finds one slip often finds the next one too, and is asked first then
            asked.insert(0, asked.pop(number))
            return one.check.id if isinstance(one, Prepared) else f"{one.calculation} takes {one.inputs}"
    return None


@cache
def _asked(topic: str) -> list[Prepared | Refused]:
    """All that can object to a procedure of a topic."""
    return [*procedure_checks().get(topic, ()), *(case for case in refused() if case.calculation.startswith(f"{topic}."))]


def found_by(slip: Slip) -> str | None:
    """What finds the slip; None where nothing does."""
    with in_place(slip):
        return judged(slip.topic)


# --- limits: a range that lets the wrong inputs by --------------------------------------------


@dataclass(frozen=True)
class Wider:
    """A range of an input that reaches further than it should, past the value a case has refused."""

    case: Refused
    input: Input
    bounds: tuple[float, float]

    @property
    def id(self) -> str:
        """Name in the tests."""
        return f"{self.case.calculation}: {self.input.name} may be {self.case.inputs[self.input.name]}"


@lru_cache(maxsize=1)
def wider() -> tuple[Wider, ...]:
    """For each refused value that lies outside the range of its input, that range made to hold it.

    All other ranges only say what is plausible: no rule sets their ends.
    """
    found = []
    for case in refused():
        for i in find(case.calculation).inputs:
            if isinstance(i, Input) and i.name in case.inputs:
                value = Quantity.read(case.inputs[i.name], i.kind).si
                low, high = i.bounds
                if not low <= value <= high:
                    found.append(Wider(case, i, (min(low, value), max(high, value))))
    return tuple(found)


@contextmanager
def widened(slip: Wider) -> Iterator[None]:
    """The input takes the wider range, in every formula that has it."""
    right = slip.input.bounds

    def put_in(bounds: tuple[float, float]) -> None:
        slip.input.__dict__["bounds"] = bounds
        for c in calculations().values():
            if isinstance(c, Formula):
                c.__dict__.pop("_plan", None)

    put_in(slip.bounds)
    try:
        yield
    finally:
        put_in(right)


def widening_is_found(slip: Wider) -> bool:
    """Whether a case of the topic objects to the wider range.

    Several calculations can share an input. One whose table ends at the limit as well still refuses
    what is past it, so it takes another one to find that the range lets go.
    """
    topic = slip.case.calculation.partition(".")[0]
    with widened(slip):
        return judged(topic) is not None


# --- tables: the next row or column is read --------------------------------------------------


@dataclass(frozen=True)
class Misread:
    """A table read one row or one column off."""

    table: Table
    what: str

    @property
    def id(self) -> str:
        """Name in the list of exceptions and in the tests."""
        return f"table {self.table.id}: {self.what}"


def procedures_with(table: str) -> tuple[Procedure, ...]:
    """The procedures that read a table."""
    return tuple(c for c in calculations().values() if isinstance(c, Procedure) and table in c.tables)


@lru_cache(maxsize=1)
def misread() -> tuple[Misread, ...]:
    """Every table that a procedure reads, with each of its rows, or columns, taken for its neighbours.

    What reads the same there is left out.
    """
    found = []
    for table in tables().values():
        if not procedures_with(table.id):
            continue
        rows, columns = list(table.rows), list(table.columns)
        for a, b in (*pairwise(rows), *pairwise(rows[::-1])):
            if table.rows[a] != table.rows[b]:
                changed = {**table.rows, a: table.rows[b]}
                found.append(Misread(replace(table, rows=changed), f"row {b} for {a}"))
        for a, b in (*pairwise(columns), *pairwise(columns[::-1])):
            changed = {row: {**cells, a: cells.get(b)} for row, cells in table.rows.items()}
            if changed != table.rows:
                found.append(Misread(replace(table, rows=changed), f"column {b} for {a}"))
    return tuple(found)


def misreading_found_by(slip: Misread) -> str | None:
    """What finds the misreading; None where nothing does."""
    read = {**tables(), slip.table.id: slip.table}
    topics = dict.fromkeys(c.id.partition(".")[0] for c in procedures_with(slip.table.id))
    return next((found for topic in topics if (found := judged(topic, read))), None)


# --- what a result is said to be --------------------------------------------------------------

STATES = ("bank", "loose", "compacted")
ROUNDED = ("up", "down")
SAID = ROOT / "tests" / "outside" / "said.yml"


@lru_cache(maxsize=1)
def said() -> dict[str, str]:
    """The state of ground, or the way of rounding, that each result must name."""
    return dict(yaml.safe_load(SAID.read_text("utf-8")))


@cache
def labels() -> Mapping[str, str]:
    """Every result with the words, kind and unit it goes by, in the form ``CALCULATION`` or ``CALCULATION result``."""
    found = {}
    for c in calculations().values():
        if isinstance(c, Formula):
            found[c.id] = _label(c.result.kind, c.result.meaning, c.result.rounding)
            continue
        for check in prepared()[c.id]:
            outcome = c.run(c.complete(check.given), "us", tables())
            for name, value in outcome.values.items():
                found.setdefault(f"{c.id} {name}", _label(value.kind, value.meaning, value.rounding))
    return found


def _label(kind: str, meaning: str, rounding: str | None) -> str:
    return f"{kind.replace('_', ' ')}; {meaning}; {rounding or ''}"


def rounded_or_in_a_state(label: str) -> bool:
    """Whether a result is of a kind that has a state, or is a count that says how it was rounded."""
    kind, _, rest = label.partition("; ")
    return "volume" in kind or rest.rpartition("; ")[2].startswith("rounded")


def tells(label: str, word: str) -> bool:
    """Whether a label names the state or the rounding ``word``, and none beside it. ``as given`` names none.

    What a share is of does not count: shrinkage is a share of bank or of compacted ground.
    """
    words = set(re.findall("[a-z]+", re.sub("share of (bank|compacted)", "", label.lower())))
    family = ROUNDED if word in ROUNDED else STATES
    return words.isdisjoint(STATES) if word == "as given" else words & set(family) == {word}


def mislabelled() -> Iterator[tuple[str, str]]:
    """Each result that must name something, with a label that names another, or nothing."""
    for name, word in said().items():
        family = ROUNDED if word in ROUNDED else STATES
        for other in (*family, "") if word != "as given" else ():
            if other != word:
                yield name, re.sub(rf"\b{word}\b", other, labels()[name], flags=re.IGNORECASE)
        if word == "as given":
            for state in STATES:
                yield name, f"{labels()[name]} {state}"


# --- scores -----------------------------------------------------------------------------------


def _is_found(slip: Slip) -> bool:
    return found_by(slip) is not None


def _misreading_is_found(table: Misread) -> bool:
    return misreading_found_by(table) is not None


def _label_is_found(name: str, label: str) -> bool:
    return not tells(label, said()[name])


def scores() -> dict[str, Score]:
    """The score of the procedures of each topic, of the tables, of what is refused and of the labels."""
    count: dict[str, list[int]] = {}

    def add(heap: str, id_: str, find: Callable[[], bool]) -> None:
        row = count.setdefault(heap, [0, 0, 0])
        row[0] += 1
        if id_ in exceptions():
            row[2] += 1
        elif find():
            row[1] += 1

    for slip in planted():
        add(slip.topic, slip.id, partial(_is_found, slip))
    for table in misread():
        add("tables misread", table.id, partial(_misreading_is_found, table))
    for limit in wider():
        add("limits widened", limit.id, partial(widening_is_found, limit))
    for name, label in mislabelled():
        add("labels", f"label {name}: {label}", partial(_label_is_found, name, label))
    return {heap: Score(*row) for heap, row in count.items()}
