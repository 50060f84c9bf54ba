"""The strings of the program for translators: gathered from its sources and its data, and laid into ``.po`` files.

``python -m generator.book.strings`` brings the files of ``content/LANGUAGE/words/`` up to date for every language there
is: what is translated stays, what is new stands there with an empty translation, and what nothing says any more goes.
Each string stands in one file, that of the first area below that says it; the player's stand in its own in any case.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from generator.book.content import content_folder
from generator.book.lesson import HEADINGS
from generator.book.panel import limit_words
from generator.calc.catalogue import calculations
from generator.calc.formula import Formula
from generator.calc.procedure import Choice
from generator.calc.rules import Rules
from generator.calc.under_rules import under, withheld
from generator.jobsite.columns import (
    CREW,
    JOB,
    LIMITS,
    LIMITS_BY_NAME,
    MACHINE_KINDS,
    MACHINES,
    MATERIAL,
    MATERIALS,
    ON_FOOT,
    OPTIONS,
    TRUCK,
    TRUCKS,
    may_be_blank,
)  # fmt: skip
from generator.jobsite.rules import FORMS
from generator.language.scripts import po_text as po_of_keys
from generator.reference import sources
from generator.reference.checks import load as load_checks
from generator.reference.tables import PublishedTable
from generator.reference.tables import load as load_tables
from generator.source.yamltext import load_plain
from generator.units.table import UNITS

PROGRAM = Path(__file__).resolve().parent.parent
CONTENT = content_folder()
# each area with the folders its strings stand in, and the file they are translated in
AREAS: Mapping[str, tuple[str, ...]] = {
    "handbook": ("book", "quiz", "working", "units", "jobsite", "reference", "publish", "source"),
    "calculations": ("calc",),
    "drawings": ("drawing",),
    "records": ("records", "register", "exchange"),
    "tables": (),
    "sources": (),
    "columns": (),
    "player": (),
}
PLAYER = "player"
OPEN = frozenset({"drawings", PLAYER})  # files that strings come into by other ways too: what stands there stays
ONE, SEVERAL = frozenset({"tr", "mark", "said"}), "ntr"
_WORD = re.compile(r"[^\W\d_]{2,}")
_SUBSCRIPT = re.compile(r"[^_]+_[a-z]{3,}.*")  # a symbol with a word below its letter
_IN_SCRIPT = re.compile(r"""\b(tr|ntr)\(\s*(?P<a>"(?:[^"\\]|\\.)*")(?:\s*,\s*(?P<b>"(?:[^"\\]|\\.)*"))?""")


class NoString(ValueError):
    """A call of ``tr`` whose text cannot be read from the source."""


@dataclass
class Strings:
    """Strings in the order in which they are found: English (and its plural, else '') -> the files they stand in."""

    found: dict[tuple[str, str], dict[str, None]] = field(default_factory=dict)

    def add(self, text: str, where: str, many: str = "") -> None:
        """Notes a string; an empty one is none."""
        if text.strip():
            self.found.setdefault((text, many), {})[where] = None

    def texts(self) -> frozenset[str]:
        """The English of all of them, without the plurals."""
        return frozenset(one for one, _ in self.found)


def from_python(path: Path, where: str, out: Strings) -> None:
    """The strings of ``tr``, ``ntr``, ``mark`` and ``said`` in a Python file, those inside of f-strings too.

    Raises NoString where one of them is put together in the call, as no catalogue could hold it.
    """
    calls = (n for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call) and isinstance(n.func, ast.Name))
    for call in sorted(calls, key=lambda n: (n.lineno, n.col_offset)):
        assert isinstance(call.func, ast.Name)
        wanted = 2 if call.func.id == SEVERAL else 1 if call.func.id in ONE else 0
        words = call.args[:wanted]
        if any(isinstance(w, ast.JoinedStr | ast.BinOp) for w in words):
            raise NoString(f"{where}:{call.lineno}: {call.func.id}() is given a text that is put together; write its figures as {{name}}")
        for word in _constants(words[0]) if wanted == 1 and words else ():
            out.add(word, where)
        if wanted == 2 and len(words) == 2:
            one, many = (next(iter(_constants(w)), "") for w in words)
            if one and many:
                out.add(one, where, many)


_REFUSES = frozenset({"ValueError", "KeyError"})
_REASON = "CalculationError"
_GIVES = {"Note": 0, "Rows": 0, "Column": 0, "Value": 2}  # of what explains a result, where its words stand


def of_workings(path: Path, where: str, out: Strings) -> None:
    """What the functions of a calculation say as they work: notes, headings, what results mean, and results that are words.

    Every text in them counts that has a blank or a capital, but for what a refusal says; of the calls above any does.
    """
    for top in ast.parse(path.read_text("utf-8")).body:
        if isinstance(top, ast.FunctionDef):
            docstring = top.body[0].value if isinstance(top.body[0], ast.Expr) else None
            for node in top.body:
                _worked(node, where, out, docstring)
        elif isinstance(top, ast.Assign | ast.AnnAssign):
            for call in ast.walk(top):
                if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in _GIVES:
                    _worked(call, where, out, None)


def _worked(node: ast.AST, where: str, out: Strings, left_out: ast.AST | None) -> None:
    if node is left_out or isinstance(node, ast.JoinedStr):
        return
    if isinstance(node, ast.Call):
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name in _REFUSES or name in ONE:
            return
        if name == _REASON:  # a reader is told why his machine is left out, and not what to do in the tables
            for text in _constants(node.args[0]):
                out.add(text, where)
            return
        if name in _GIVES and len(node.args) > _GIVES[name]:
            for text in _constants(node.args[_GIVES[name]]):
                out.add(text, where)
        for key in node.keywords:
            if key.arg == "rounding":
                for text in _constants(key.value):
                    out.add(text, where)
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.search(r"[a-z] [a-z]|^[A-Z][a-z]{2}", node.value):
        out.add(node.value, where)
    for child in ast.iter_child_nodes(node):
        _worked(child, where, out, left_out)


def _constants(node: ast.expr) -> list[str]:
    """The texts that an argument can be: itself, or either side of a choice."""
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) else []
    if isinstance(node, ast.IfExp):
        return [*_constants(node.body), *_constants(node.orelse)]
    return []


def from_template(path: Path, where: str, out: Strings) -> None:
    """The strings of ``tr`` and ``ntr`` in a page of paper."""
    from jinja2.ext import extract_from_ast

    from generator.book.template import parsed

    for _, _, words in extract_from_ast(parsed(path.read_text("utf-8")), ("tr", SEVERAL)):
        one, *more = [w for w in (words if isinstance(words, tuple) else (words,)) if w]
        out.add(one, where, more[0] if more else "")


def from_script(path: Path, where: str, out: Strings) -> None:
    """The strings of ``tr`` and ``ntr`` in a script of the look."""
    for m in _IN_SCRIPT.finditer(path.read_text("utf-8")):
        many = ast.literal_eval(m["b"]) if m[1] == SEVERAL and m["b"] else ""
        out.add(ast.literal_eval(m["a"]), where, many)


def of_calculations(out: Strings) -> None:
    """What calculations say of themselves: titles, words, limits, and what their inputs and results mean."""
    for c in calculations().values():
        where = (
            f"generator/calc/catalogue/{c.run.__module__.rpartition('.')[2] if not isinstance(c, Formula) else c.id.partition('.')[0]}.py"
        )
        for text in (c.title, c.words, c.limits):
            out.add(text, where)
        if isinstance(c, Formula):
            out.add(c.result.meaning, where)
            out.add(c.result.rounding or "", where)
            for k in c.constants:
                out.add(k.meaning, where)
            for relation in (*c.requires, *c.positive):
                out.add(relation[-1], where)
        symbols = [i.symbol for i in c.inputs]
        if isinstance(c, Formula):
            symbols += [c.result.symbol, *(k.symbol for k in c.constants)]
        for symbol in symbols:
            if _SUBSCRIPT.fullmatch(symbol):
                out.add(symbol[symbol.index("_") :], where)
        for i in c.inputs:
            out.add(i.meaning, where)
            for option in i.options if isinstance(i, Choice) else ():
                if _WORD.search(option):
                    out.add(option, where)
        for source in (c.source, *c.also, *(k.source for k in c.constants)) if isinstance(c, Formula) else (c.source, *c.also):
            if source.key is None:
                out.add(source.place, where)


def of_other_rules(out: Strings) -> None:
    """What calculations and a site's own tables say under other rules than those of the United States."""
    where = "generator/calc/under_rules.py"
    for c in calculations().values():
        if not withheld(c.id, none := Rules("none")):
            for text in (under(c, none).words, under(c, none).limits):
                out.add(text, where)
    of_workings(PROGRAM / "calc/under_rules.py", where, out)
    for form in FORMS.values():
        for column in (*form.rows, *form.columns):
            out.add(column.name, "generator/jobsite/rules.py")
        out.add(form.key, "generator/jobsite/rules.py")


def of_tables(content: Path, out: Strings) -> None:
    """Titles, columns, rows and notes of the published tables, as far as they are words."""
    for table in load_tables(content).values():
        where = f"content/tables/{table.id}.csv"
        heading = table.heading if isinstance(table, PublishedTable) else ""
        for text in (table.title, heading, *table.columns, *table.rows, table.note or ""):
            if _WORD.search(text):
                out.add(text, where)


def of_sources(content: Path, out: Strings) -> None:
    """What is noted of a source, and what the checks say: why one is met so far, and what a library did."""
    known = sources.load(content)
    for key in known:
        out.add(known[key].note or "", "content/sources.yml")
    for check in load_checks(content):
        where = f"content/checks/{check.calculation.partition('.')[0]}.yml"
        out.add(check.why, where)
        if check.erratum is not None:
            out.add(check.erratum.why, where)
    for rows in load_plain((content / "library-checks.yml").read_text("utf-8"), "content/library-checks.yml").values():
        for row in rows:
            out.add(row["what"], "content/library-checks.yml")


def of_units(out: Strings) -> None:
    """Labels of units that are words, such as acres, and what units measure."""
    for unit in UNITS.values():
        for label in (unit.label, unit.one):
            if label and unit.in_words(label):
                out.add(label, "generator/units/table.py")
        out.add(unit.what, "generator/units/table.py")


def of_sites(out: Strings) -> None:
    """Kinds of machines, and what a site's limits mean."""
    for word in (*MACHINE_KINDS, TRUCK, MATERIAL, ON_FOOT, *sorted(OPTIONS), *(form.sheet for form in (MACHINES, TRUCKS, MATERIALS, CREW))):
        if _WORD.search(word):
            out.add(word, "generator/jobsite/columns.py")
    for limit in (*LIMITS, *LIMITS_BY_NAME.values()):
        out.add(limit.meaning, "generator/jobsite/columns.py")
        out.add(limit_words(limit.name), "generator/jobsite/columns.py")
    for heading in HEADINGS:
        out.add(heading, "generator/book/lesson.py")


def of_columns(out: Strings) -> None:
    """Figures a site may leave out, by their columns' names, which a page says where it lacks them."""
    columns = [
        c for form in (MACHINES, TRUCKS, MATERIALS) for c in (*form.columns, *form.taken) if any(may_be_blank(c.name, k) for k in c.fits)
    ]
    for column in (*columns, *JOB, *LIMITS):
        out.add(column.name.replace("_", " "), "generator/jobsite/columns.py")


@cache
def all_strings(content: Path = CONTENT) -> Mapping[str, Strings]:
    """All strings of the program by area; each in the first that says it."""
    made = {area: Strings() for area in AREAS}
    for area, folders in AREAS.items():
        for folder in folders:
            for path in sorted((PROGRAM / folder).rglob("*.py")):
                where = f"generator/{path.relative_to(PROGRAM).as_posix()}"
                from_python(path, where, made[area])
                if "catalogue" in path.parts:
                    of_workings(path, where, made[area])
    for path in sorted((content / "sheets").glob("*.html")):
        from_template(path, f"content/sheets/{path.name}", made["handbook"])
    for path in sorted((content / "look").glob("*.js")):
        from_script(path, f"content/look/{path.name}", made[PLAYER])
    of_units(made["handbook"])
    of_sites(made["handbook"])
    of_calculations(made["calculations"])
    of_other_rules(made["calculations"])
    of_tables(content, made["tables"])
    of_sources(content, made["sources"])
    of_columns(made["columns"])
    seen: set[tuple[str, str]] = set()
    for area, strings in made.items():
        if area != PLAYER:
            strings.found = {key: files for key, files in strings.found.items() if key not in seen}
            seen |= set(strings.found)
    return made


Known = dict[tuple[str, str], Any]  # English and its plural -> the message of a translator


def translated(files: Iterable[Path]) -> Known:
    """What is translated already, of one language."""
    from babel.messages.pofile import read_po

    known: Known = {}
    for path in files:
        with path.open("rb") as file:
            for message in read_po(file):
                if message.id and any(message.string if isinstance(message.string, tuple | list) else [message.string]):
                    one, many = message.id if isinstance(message.id, tuple) else (message.id, "")
                    known[str(one), str(many)] = message
    return known


def po_text(language: str, strings: Strings, known: Known) -> str:
    """One ``.po`` file as text: file names without lines, so that it changes where a string does."""
    return po_of_keys(language, {key: list(files) for key, files in strings.found.items()}, known)


def with_others(strings: Strings, path: Path) -> Strings:
    """The strings, and behind them those that stand in the file already."""
    from babel.messages.pofile import read_po

    made = Strings({key: dict(files) for key, files in strings.found.items()})
    if path.is_file():
        with path.open("rb") as file:
            for message in read_po(file):
                one, many = message.id if isinstance(message.id, tuple) else (message.id, "")
                if one and (str(one), str(many)) not in made.found:
                    made.found[str(one), str(many)] = dict.fromkeys(where for where, _ in message.locations)
    return made


def languages(content: Path = CONTENT) -> Iterator[str]:
    """The languages of the texts beside the English ones."""
    yield from sorted(p.parent.name for p in content.glob("*/words") if p.is_dir())


def update(language: str, folder: Path, content: Path = CONTENT) -> dict[str, tuple[int, int]]:
    """Brings the files of a language up to date: by area, how many strings there are and how many have no translation."""
    folder.mkdir(parents=True, exist_ok=True)
    known = translated(sorted(folder.glob("*.po")))
    told = {}
    for area, found in all_strings(content).items():
        strings = with_others(found, folder / f"{area}.po") if area in OPEN else found
        if not strings.found:
            continue
        text = po_text(language, strings, known)
        path = folder / f"{area}.po"
        if not path.exists() or path.read_text("utf-8") != text:
            path.write_text(text, "utf-8")
        told[area] = len(strings.found), sum(key not in known for key in strings.found)
    return told


def main(wanted: list[str]) -> None:
    """Updates the languages named, or all there are."""
    for language in wanted or languages():
        for area, (number, empty) in update(language, CONTENT / language / "words").items():
            print(f"{language} {area}: {number} strings, {empty} to translate")


if __name__ == "__main__":
    main(sys.argv[1:])
