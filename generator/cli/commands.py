"""What each command does."""

from __future__ import annotations

import argparse
import errno
import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from generator.calc.catalogue import TOPICS, Calculation, find
from generator.calc.catalogue import calculations as all_calculations
from generator.calc.formula import Formula, Input
from generator.calc.procedure import Tables
from generator.publish.swap import LOCK, STAGE
from generator.source.problem import Refusal, Refusals
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, trimmed
from generator.units.table import UNITS, System, find_unit, from_si


def _fail(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return 2


def not_written(e: OSError, folder: Path, choose: str | None = "choose another folder") -> str:
    """The line about a place that cannot be written. The files a build works with stand for ``folder`` itself."""
    place = Path(os.fsdecode(e.filename)) if e.filename else folder
    hidden = next((p for p in (place, *place.parents) if p.name.startswith((LOCK, STAGE))), None)
    fix = "check its access rights" if e.errno in (errno.EACCES, errno.EPERM, errno.EROFS) else "free space"
    return f"{folder if hidden else place}: cannot be written ({e.strerror or e}); {fix}" + (f" or {choose}" if choose else "")


# --- new ------------------------------------------------------------------------------------


def new(args: argparse.Namespace) -> int:
    """Start a job site."""
    from generator.book.content import content_folder
    from generator.jobsite.starter import starter_files, write_starter
    from generator.source.files import is_device

    if is_device(args.folder.name):
        return _fail(f"{args.folder}: Windows keeps this name for a device, and no folder there can have it; choose another name")
    try:
        files = starter_files(content_folder(), args.units, workbook=args.workbook, like=args.like, rules=args.rules)
        write_starter(args.folder, files)
    except Refusal as e:
        return _fail(str(e))
    except OSError as e:
        return _fail(not_written(e, args.folder))
    folder = str(args.folder)
    shown = f'"{folder}"' if " " in folder else folder
    print(f"{args.folder} holds a small job site of invented placeholders: {', '.join(files)}")
    if args.rules == "own":
        print("0. Fill in the tables in the folder rules first: seatwork check tells each figure that is missing. Take a file away")
        print("   where your handbook shall give no figure on it.")
    print(f"1. See it work:    seatwork build {shown}")
    trucks = "trucks, " if not args.like or "loading" in args.like else ""
    print(f"2. Put in your own machines, {trucks}ground, crew and limits. A competent person sets the limits.")
    print(f"3. Find mistakes:  seatwork check {shown}")
    print("4. When no placeholder is left, write  invented: false  in settings.yml and build again.")
    return 0


# --- build, check, serve --------------------------------------------------------------------


def build_one(args: argparse.Namespace, folder: Path) -> int:
    """Build the handbook of one site."""
    from generator.publish.audio import RecordingFailed
    from generator.publish.build import Problems
    from generator.publish.build import build as run
    from generator.publish.pdf import PrintFailed
    from generator.publish.site import SiteError

    progress = _Progress(quiet=args.quiet)
    try:
        built = run(folder, progress.line, pdf=args.pdf, keep_tree=args.tree, strict=args.strict, fresh=args.fresh,
                    audio=args.audio or args.audio_offline, audio_offline=args.audio_offline)  # fmt: skip
    except Problems as e:
        progress.end()
        return _fail(*e.lines, _kept(folder))
    except Refusal as e:
        progress.end()
        return _fail(str(e.at(str(folder))), *([_kept(folder)] if isinstance(e, PrintFailed | RecordingFailed | SiteError) else []))
    except OSError as e:
        progress.end()
        return _fail(not_written(e, folder), _kept(folder))
    progress.end()
    for line in built.notes:
        print(line, file=sys.stderr)
    print(f"{built.pages} pages, {built.numbers} numbers in the ledger, {built.seconds:.1f} s{_also(built.to_look_at)}")
    if built.kept:
        print(f"kept:     {built.kept}, which would come out the same")
    if built.recorded:
        print(f"audio:    {built.recorded}, {'kept on phones too' if args.audio_offline else 'not kept on phones'}")
    print(f"publish:  {built.out / 'web'}")
    print(f"keep:     {built.out / 'mentor'}")
    print(f"open:     {built.out / 'web' / 'index.html'}")
    if args.tree is not None:
        print(f"tree:     {args.tree / 'mkdocs.yml'}")
    return 0


def _also(to_look_at: str) -> str:
    return f", {to_look_at}" if to_look_at else ""


def _kept(folder: Any) -> str:
    if (folder / "out" / "web" / "index.html").is_file():
        return "nothing was changed: the last handbook is still in place"
    return "nothing was written"


def progress_of(*, quiet: bool) -> _Progress:
    """Where a command of another module says how far it is."""
    return _Progress(quiet=quiet)


class _Progress:
    """Progress on one line of a terminal, or a line each where the output is a file."""

    def __init__(self, *, quiet: bool) -> None:
        self.quiet, self.terminal, self.width = quiet, sys.stderr.isatty(), 0

    def line(self, text: str) -> None:
        if self.quiet:
            return
        if self.terminal:
            print("\r" + text.ljust(self.width), end="", file=sys.stderr, flush=True)
            self.width = len(text)
        else:
            print(text, file=sys.stderr)

    def end(self) -> None:
        if self.terminal and self.width and not self.quiet:
            print("\r" + " " * self.width + "\r", end="", file=sys.stderr, flush=True)


def check_one(args: argparse.Namespace, folder: Path) -> int:
    """Check tables and lessons of one site."""
    from generator.book.content import own_lines
    from generator.book.errors import told
    from generator.book.figures import typed_figures
    from generator.book.tree import render_tree, taught
    from generator.jobsite.doubts import counted, grouped, told_settled
    from generator.publish.build import Problems, load, strict_failure

    try:
        content, site = load(folder)
    except Problems as e:
        return _fail(*e.lines)
    tree = render_tree(content, site)
    if tree.problems:
        return _fail(*map(str, told(tree.problems)))
    found = typed_figures(content)
    if found:
        return _fail(*found)
    lessons = taught(content, site).lessons
    lines = list(own_lines(content, lessons))
    if lines:
        print("this site's own files:" if content.own.below is None else "this site's own files, after those it shares:")
        for line in lines:
            print(f"  {line}")
    for line in (*told_settled(site), *grouped((*site.notices, *tree.notices))):
        print(line, file=sys.stderr)
    if args.strict and site.notices:
        return _fail(*strict_failure(site))
    for line in _without_words(content, site, lessons):
        print(line)
    print(f"all good: {len(lessons)} lessons, {len(tree.ledger.rows())} numbers with their source"
          + _also(counted(site.notices) if site.notices else ""))  # fmt: skip
    return _reading(tree.docs, each=args.grades)


def _without_words(content: Any, site: Any, taught: Mapping[str, object]) -> list[str]:
    """What has no words yet in a language of the site."""
    if site.settings.languages == ("en",):
        return []
    from generator.book.tongue import missing

    return [line for code in site.settings.languages for line in missing(site, content.folder, code, taught).lines]


def own(args: argparse.Namespace) -> int:
    """Copy shipped texts into a site, to be changed there; without a name, list what there is."""
    from generator.book.content import content_folder
    from generator.book.overrides import can_be_taken, gather_shared, take
    from generator.jobsite.shared import is_shared_folder

    if not ((args.folder / "settings.yml").is_file() or is_shared_folder(args.folder)):
        return _fail(f"{args.folder}: no settings.yml here; name the folder with your tables")
    shipped = content_folder()
    if args.language is not None:
        return _language(args, shipped)
    if args.new_lesson is not None:
        return _new_lesson(args, shipped)
    below = gather_shared(args.folder, shipped)
    if not args.names:
        for name in can_be_taken(shipped, below):
            print(name)
        return 0
    status = 0
    for name in args.names:
        try:
            print(f"written: {take(args.folder, shipped, name, below)}")
        except Refusal as e:
            status = _fail(str(e))
        except OSError as e:
            return _fail(not_written(e, args.folder, None))
        except UnicodeDecodeError:
            status = _fail(f"{name}: your file is not UTF-8 text; save it as UTF-8")
    return status


def _language(args: argparse.Namespace, shipped: Path) -> int:
    """Write the skeleton of a language, or words of it to translate, and say what to do with them."""
    from generator.book.tongue import add_language, add_words
    from generator.jobsite import cells
    from generator.publish.build import load

    if args.new_lesson is not None:
        return _fail("--language writes words of what there is; leave --new-lesson out")
    try:
        code = cells.language(args.language[0])
    except Refusal as e:
        return _fail(f"--language: {e}")
    names = [*args.names, *args.language[1:]]
    place = args.folder / code
    made = not place.exists()
    try:
        place.mkdir(exist_ok=True)  # the settings may name it already
        content, site = load(args.folder)
        lines = [line for name in names for line in add_words(site, content, code, name)] or add_language(site, shipped, code)
    except (Refusal, Refusals) as e:
        if made and not any(place.iterdir()):
            place.rmdir()
        return _fail(*(map(str, e.problems) if isinstance(e, Refusals) else [str(e)]))
    except OSError as e:
        return _fail(not_written(e, args.folder, None))
    for line in lines:
        print(f"written: {args.folder}/{line}")
    if not lines:
        print(f"{place} has all strings and names already; 'seatwork check {args.folder}' says which have no words yet")
        return 0
    if not names:
        listed = [*site.settings.languages, *([] if code in site.settings.languages else [code])]
        print("1. Put the words in. Leave what stands in {braces} and <marks> as it is. A program for .po files helps.")
        print(f"2. List it in settings.yml:   languages: [{', '.join(listed)}]")
        print(f"3. Lesson by lesson:          seatwork own {args.folder} --language {code} stop-work")
        print(
            f"   and the tables of words:   seatwork own {args.folder} --language {code} cautions.yml glossary.yml mistakes.yml chapters.yml cards.yml"
        )
        print(f"4. What is missing still:     seatwork check {args.folder}")
        print("Somebody who did not translate it reads it back, and an operator who speaks it says whether crews talk so.")
    else:
        print("Write your words in the place of the English ones, leave {{ … }} and {…} as they are, and take out the line")
        print("with '# skeleton:'. Until then none of that file is read.")
    return 0


def _new_lesson(args: argparse.Namespace, shipped: Path) -> int:
    """Write the skeleton of a lesson of the site's own and say what to do with it."""
    from generator.book.overrides import new_lesson

    if args.names:
        return _fail("--new-lesson writes one lesson and copies nothing; leave the other names out")
    try:
        files = new_lesson(args.folder, shipped, args.new_lesson, args.chapter)
    except Refusal as e:
        return _fail(str(e))
    except OSError as e:
        return _fail(not_written(e, args.folder, None))
    for file in files:
        print(f"written: {file}")
    print(f"Put your words into both, then list {args.new_lesson} under a role in settings.yml.")
    return 0


def _reading(docs: Mapping[str, str | bytes], *, each: bool) -> int:
    """Prints the reading grades. A lesson that reads too hard is named and still all right to build."""
    from generator.book import readability

    try:
        lines, above = readability.said(readability.grades(docs), each=each)
    except ImportError as e:
        print(f"reading grade: not measured, {e.name} is not installed; install Seatwork again", file=sys.stderr)
        return 0
    for line in lines:
        print(line)
    for line in above:
        print(line, file=sys.stderr)
    return 0


def serve(args: argparse.Namespace) -> int:
    """Serve with live reload."""
    from generator.publish.serve import serve as run

    if not (args.folder / "settings.yml").is_file():
        return _fail(f"{args.folder}: no settings.yml here; name the folder with your tables")
    try:
        return run(args.folder, args.port)
    except Refusal as e:
        return _fail(str(e.at(str(args.folder))))


# --- work -----------------------------------------------------------------------------------


def published_tables() -> Tables:
    """The shipped published tables."""
    from generator.book.content import content_folder
    from generator.reference.tables import load

    tables: Tables = load(content_folder())
    return tables


def work(args: argparse.Namespace) -> int:
    """Work one calculation."""
    from generator.working.byhand import DishonestWorking

    try:
        calculation = find(args.calculation)
        texts: dict[str, str] = {}
        for pair in args.values:
            name, equals, value = pair.partition("=")
            if not equals or not value.strip():
                raise CalculationError(f"'{pair[:60]}' is no input", "write name=value, such as stick_length=10ft")
            if name in texts:
                raise CalculationError(f"{name} stands twice", "give it once")
            texts[name] = value
        _percent_or_factor(calculation, texts)
        given = calculation.read(texts)
        system = args.units or _system(given)
        result = _worked(calculation, given, system, args.unit)
    except CalculationError as e:
        return _fail(f"{args.calculation}: {e}")
    except DishonestWorking as e:  # whoever typed the figures can type others; in a handbook it is a fault
        return _fail(f"{e}; give figures farther from the ends of their ranges")
    mixed = _mixed({name: given[name] for name in texts})
    if mixed:
        print(f"{args.calculation}: {mixed}", file=sys.stderr)
    if args.json:
        print(json.dumps(result, ensure_ascii=False, indent=2))
        return 0
    print(calculation.title)
    for name, text in result["inputs"].items():
        print(f"  {name} = {text}")
    print()
    for step in result["steps"]:
        print(f"  {step}")
    print()
    for line in result["shown"]:
        print(line)
    if result["caution"]:
        print(f"Caution: {result['caution']}")
    print(f"Limits: {result['limits']}")
    print("Source: " + "; ".join(_source_text(s) for s in result["sources"]))
    return 0


# inputs of the kind factor that are a part of a whole: 83% says the same as 0.83
_PARTS = frozenset({"efficiency", "traction"})
# shares that many books print as a factor: a swell of 25% as 1.25, a shrinkage of 10% as 0.9
_ALSO_FACTORS: Mapping[str, tuple[float, float, float]] = {"swell": (1.0, 2.2, 1.0), "shrinkage": (0.6, 1.6, -1.0)}


def _percent_or_factor(calculation: Calculation, texts: Mapping[str, str]) -> None:
    """Raises CalculationError where a percentage is typed for a factor, or a factor for a percentage."""
    for i in calculation.inputs:
        if i.name not in texts or i.kind not in {"factor", "fraction"}:
            continue
        try:
            typed = Quantity.read(texts[i.name], i.kind)
        except CalculationError:
            continue  # what is wrong with it is told when it is read
        figure = typed.figure
        if i.kind == "factor" and typed.unit == "%" and i.name not in _PARTS:
            raise CalculationError(
                f"{i.name}: {typed} is a percentage, and a factor is meant ({i.meaning})",
                f"write {i.name}={trimmed(figure / 100)} if that is the factor",
            )
        if i.kind == "fraction" and typed.unit == "%" and 0 < abs(figure) < 1:
            raise CalculationError(
                f"{i.name}: {typed} is less than one part in a hundred", f"write {i.name}={trimmed(figure * 100)}% if that is meant"
            )
        if i.kind != "fraction" or typed.unit != "1":
            continue
        assert isinstance(i, Input)
        lowest, highest = i.bounds
        low, high, sign = _ALSO_FACTORS.get(i.name, (0.0, 0.0, 0.0))
        if low < figure < high:
            share = trimmed((figure - 1) * 100 * int(sign))
            raise CalculationError(
                f"{i.name}: {figure} without a % reads like a factor, and a share is meant ({i.meaning})",
                f"write {i.name}={share}%" + (f", or {trimmed(figure * 100)}% if that is meant" if figure <= highest else ""),
            )
        if figure > highest and lowest <= figure / 100 <= highest:
            raise CalculationError(f"{i.name} is out of range ({i.low} to {i.high})", f"write {i.name}={figure}% if that is meant")


_TONS = frozenset({"t", "ton"})


def _mixed(given: Mapping[str, Any]) -> str:
    """What to say of figures of both unit systems in one sum; nothing where there is one."""
    first: dict[System, tuple[str, Quantity]] = {}
    tons: dict[System, tuple[str, Quantity]] = {}
    for name, value in given.items():
        system = UNITS[value.unit].system if isinstance(value, Quantity) else None
        if system is not None:
            first.setdefault(system, (name, value))
            if value.unit in _TONS:
                tons.setdefault(system, (name, value))
    pair = tons if len(tons) == 2 else first
    if len(pair) < 2:
        return ""
    (us, a), (metric, b) = pair["us"], pair["metric"]
    if pair is tons:
        return f"{us} is in tons ({a}) and {metric} in tonnes ({b}); check that both are meant: a ton is 2,000 lb and a tonne (t) 1,000 kg"
    return f"{us} is in US units ({a}) and {metric} in metric units ({b}); check that both are meant"


def _source_text(s: Mapping[str, str]) -> str:
    words = s["title"] + (f", {s['place']}" if s["place"] else "")
    return words + (" (from memory)" if s["standing"] == "from memory" else "")


def _system(given: Mapping[str, Any]) -> System:
    for value in given.values():
        if isinstance(value, Quantity):
            system = UNITS[value.unit].system
            if system is not None:
                return system
    return "us"


def _worked(calculation: Calculation, given: Mapping[str, Any], system: System, unit: str | None) -> dict[str, Any]:
    from generator.working.explain import as_text, explain, result_kind, stability_caution

    tables: Tables = published_tables() if not isinstance(calculation, Formula) and calculation.tables else {}
    key: str | None = None
    if unit is not None:
        kind = calculation.result.kind if isinstance(calculation, Formula) else None
        if kind is None:
            first = explain(calculation, given, system, tables, as_typed=True)
            kind = first.result.quantity.kind if first.result.quantity is not None else "text"
        if kind == "text":
            raise CalculationError("this result is words and has no unit", "leave --unit out")
        key = find_unit(unit, kind)
    explained = explain(calculation, given, system, tables, unit=key, as_typed=True)
    result = explained.result
    quantity = result.quantity
    value: Any = result.words
    if quantity is not None and result.si is not None:
        value = _tidy(from_si(result.si, quantity.unit, quantity.kind))
        if quantity.kind == "count" and value == int(value):
            value = int(value)
    return {
        "id": calculation.id,
        "value": value,
        "unit": quantity.unit if quantity is not None else "",
        "inputs": {n: str(v) for n, v in explained.inputs.items()},
        "steps": as_text(explained),
        "sources": [_source(s) for s in explained.sources],
        "results": {
            n: {
                "value": r.words if r.quantity is None or r.si is None else _tidy(from_si(r.si, r.quantity.unit, r.quantity.kind)),
                "unit": "" if r.quantity is None else r.quantity.unit,
            }
            for n, r in explained.results.items()
        },
        "shown": [f"{r.meaning}: {r.text()}" + (f" ({r.rounding})" if r.rounding else "") for r in explained.results.values()],
        "caution": stability_caution(result_kind(explained)) if calculation.stability else "",
        "limits": calculation.limits,
    }


def _tidy(value: float) -> float:
    return float(format(value, ".12g"))


def _source(source: Any) -> dict[str, str]:
    title = source.place or source.standing
    place = ""
    if source.key is not None:
        from generator.book.content import content_folder
        from generator.reference.sources import load

        title, place = load(content_folder()).cite(source.key), source.place
    elif source.standing == "common practice":
        title = "common practice, no source"
    return {"key": source.key or "", "title": title, "place": place, "standing": source.standing}


# --- calculations ---------------------------------------------------------------------------


def calculations(args: argparse.Namespace) -> int:
    """List the calculations."""
    if args.topic is not None and args.topic not in TOPICS:
        return _fail(f"no topic is called '{args.topic}'; choose {', '.join(TOPICS)}")
    rows = [c for c in all_calculations().values() if args.topic in {None, c.id.partition(".")[0]}]
    if args.json:
        print(json.dumps([_listed(c) for c in rows], ensure_ascii=False, indent=2))
        return 0
    topic = ""
    for c in rows:
        if c.id.partition(".")[0] != topic:
            topic = c.id.partition(".")[0]
            print(f"\n{topic}" if rows[0] is not c else topic)
        print(f"  {c.id:32} {c.title}")
        for i in c.inputs:
            default = f", {i.default} if not given" if i.default else ", may be left out" if i.default == "" else ""
            span = f" ({i.low} to {i.high}{default})" if isinstance(i, Input) else f" ({', '.join(i.options)}{default})"
            print(f"      {i.name}: {i.meaning}{span}")
    return 0


def _listed(c: Calculation) -> dict[str, Any]:
    return {
        "id": c.id, "title": c.title,
        "inputs": [
            {"name": i.name, "kind": i.kind, "meaning": i.meaning, "default": i.default,
             **({"low": i.low, "high": i.high} if isinstance(i, Input) else {"options": list(i.options)})}
            for i in c.inputs
        ],
        "result": c.result.meaning if isinstance(c, Formula) else "",
        "source": _source(c.source), "limits": c.limits, "stability": c.stability,
    }  # fmt: skip
