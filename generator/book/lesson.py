"""Reading a lesson: one Markdown file with front matter."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from generator.book import model
from generator.book.model import EXERCISE, WAYS, Exercise, PanelSpec, Sheet, TableSpec, WaysSpec
from generator.drawing.spec import DrawingSpec, read_drawing
from generator.jobsite.columns import LIMITS, MACHINE_KINDS
from generator.language.words import ENGLISH
from generator.source.near import suggest
from generator.source.overlay import lay_over
from generator.source.problem import Problem, Refusal, Refusals
from generator.source.yamltext import Text, entries, line_of, load_yaml
from generator.working.errors import NumberProblem
from generator.working.numbers import Spec, read_specs

HEADINGS = (
    "Why it matters", "Do it", "The numbers", "Watch for", "Check yourself", "Show your mentor",
)  # fmt: skip
NUMBERS = HEADINGS[2]
ABOUT = ("dozer", "excavator", "compact excavator", "truck", "any")
WIDENS, TRUCK_BESIDE = "tracks that widen", "a haul truck"
NEEDS = (WIDENS, TRUCK_BESIDE)  # what a machine of the lesson's kind must have, or have beside it, to be worked in it
ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")  # of a lesson or chapter: it becomes a file name
_REQUIRED = ("title", "chapter", "summary", "about", "minutes", "why", "watch", "show", "sheet")
_BLOCKS = {
    "numbers": None, "table": ("caption", "over", "columns"), "drawing": ("scene", "with", "caption"), "drawings": None,
    "steps": None, "ways": None,
    "panel": ("number", "move", "drawing", "limit"), "sheet": ("points", "sum", "ask"),
    "exercise": (*EXERCISE, "standard", "record", "drawing"),
}  # fmt: skip
_TEXTS = ("title", "chapter", "summary", "about", "needs", "stand_in")
_LISTS = ("why", "watch", "show", "show_beside", "stop_work", "find", "builds_on")
_KNOWN = (*_REQUIRED, *(b for b in _BLOCKS if b != "sheet"), "show_beside", "stop_work", "find", "needs", "stand_in", "builds_on")
_NAME = re.compile(r"[a-z][a-z0-9_]*")
MOST_BODY = 60_000  # characters
MOST_FRONT = 60_000
OVER = (*ABOUT, "material")
MOST_COLUMNS, LONGEST_HEADING = 6, 24  # of what an exercise is written down in, across a page of paper
_EXERCISE_CALL = re.compile(r"\{\{\s*exercise\(")


@dataclass(frozen=True)
class Lesson:
    """One lesson as its file says it, read and checked. A cab card's page has the first five alone."""

    id: str
    title: str
    about: str
    numbers: Mapping[str, Spec]
    file: str  # its name in messages
    chapter: str = ""
    summary: str = ""
    minutes: int = 1
    needs: str = ""  # one of NEEDS; machines without it are left out of the lesson
    stand_in: str = ""  # the kind it is worked for where the site has none of its own kind; what only that one has is left out
    why: tuple[Text, ...] = ()
    watch: tuple[Text, ...] = ()
    stop_work: tuple[Text, ...] = ()
    show: tuple[Text, ...] = ()
    show_beside: tuple[Text, ...] = ()  # what those show who work beside the machine and do not run it
    find: tuple[Text, ...] = ()
    builds_on: tuple[Text, ...] = ()  # ids of the lessons to read before it
    sheet: Sheet | None = None
    exercise: Exercise | None = None
    table: TableSpec | None = None
    drawing: DrawingSpec | None = None
    drawings: Mapping[str, DrawingSpec] = field(default_factory=lambda: MappingProxyType({}))
    steps: Mapping[str, DrawingSpec] = field(default_factory=lambda: MappingProxyType({}))
    ways: Mapping[str, WaysSpec] = field(default_factory=lambda: MappingProxyType({}))
    panel: PanelSpec | None = None
    lines: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))  # of title, chapter and summary
    number_lines: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    body: str = ""
    body_line: int = 1  # line of the file the body starts on
    spoken: str = ENGLISH  # the language of its words: another than the handbook's where it has none in that

    @property
    def picture(self) -> DrawingSpec | None:
        """The picture that stands for the lesson: its drawing, else its first one. Of a pair never the wrong way."""
        right = (pair.right.picture for pair in self.ways.values())
        return self.drawing or next(iter((*self.drawings.values(), *self.steps.values(), *right)), None)

    @property
    def all_drawings(self) -> tuple[DrawingSpec, ...]:
        """Its drawing, those under ``drawings:`` and ``steps:``, and both sides of each of ``ways:``."""
        sides = (side.picture for pair in self.ways.values() for side in pair.sides)
        return (*([self.drawing] if self.drawing else ()), *self.drawings.values(), *self.steps.values(), *sides)


@dataclass(frozen=True)
class InWords:
    """A lesson's words, or its questions', in another language: the text of their file, its name and the language."""

    text: str
    file: str
    language: str


def read_lesson(
    text: str, id_: str, file: str, problems: list[Problem], *, words: InWords | None = None, headings: tuple[str, ...] = HEADINGS,
    spoken: str = ENGLISH,
) -> Lesson | None:  # fmt: skip
    """Read and check one lesson. Every mistake goes to ``problems`` with its line; None if there was one.

    With ``words`` its words are those, and all else is the text's own. ``headings`` are the six as the language of the
    words has them: what is read has them in English, whatever they are printed in.
    """
    before = len(problems)

    def wrong(line: int | None, what: str, fix: str) -> None:
        problems.append(Problem.of(file, line, what, fix))

    parts = _parts(text, file, problems)
    if parts is None:
        return None
    front, body, body_line = parts
    if words is not None:
        parts = _parts(words.text, words.file, problems)
        if parts is None:
            return None
        over, body, body_line = parts
        front = lay_over(front, over, lambda line, what, fix: problems.append(Problem.of(words.file, line, what, fix)))
        file, spoken = words.file, words.language
    body = _with_english_headings(body, headings)
    _check_front(front, wrong)
    specs = _numbers(front, wrong)
    if len(body) > MOST_BODY:
        wrong(body_line, f"the text is longer than {MOST_BODY:,} characters", "make two lessons of it")
    (_check_headings if file.startswith("content/") else _check_own_headings)(body, body_line, wrong)
    if len(problems) == before and front.get("exercise"):
        _check_place(body, line_of(front["exercise"], 2), wrong)
    if len(problems) > before:
        return None
    lists = {key: model.texts(front.get(key)) for key in _LISTS}
    lines = {str(name): line_of(body, 2) for name, body in entries(front.get("numbers")).items()}
    table, drawing, panel, exercise = (front.get(key) for key in ("table", "drawing", "panel", "exercise"))
    return Lesson(
        id_, str(front["title"]), str(front["about"]), MappingProxyType(specs), file,
        chapter=str(front["chapter"]), summary=str(front["summary"]), minutes=int(front["minutes"]),
        needs=str(front.get("needs") or ""), stand_in=str(front.get("stand_in") or ""), **lists,
        sheet=model.sheet(front["sheet"], file), exercise=model.exercise(exercise, file) if exercise else None,
        table=model.table(table, file) if table else None,
        drawing=read_drawing(drawing, file) if drawing else None,
        drawings=MappingProxyType({name: read_drawing(spec, file) for name, spec in entries(front.get("drawings")).items()}),
        steps=MappingProxyType({name: read_drawing(spec, file, kind="steps") for name, spec in entries(front.get("steps")).items()}),
        ways=MappingProxyType({name: model.ways(spec, file) for name, spec in entries(front.get("ways")).items()}),
        panel=model.panel(panel, file) if panel else None,
        lines=MappingProxyType({key: line_of(front[key], 2) for key in ("title", "chapter", "summary")}), number_lines=MappingProxyType(lines), body=body, body_line=body_line,
        spoken=spoken,
    )  # fmt: skip


def _parts(text: str, file: str, problems: list[Problem]) -> tuple[dict[str, Any], str, int] | None:
    """The front matter of a lesson's file, its body and the line that starts on; None where there is none."""

    def wrong(line: int | None, what: str, fix: str) -> None:
        problems.append(Problem.of(file, line, what, fix))

    text = text.removeprefix("\ufeff")
    match = re.match(r"---[ \t]*\r?\n(.*?)\r?\n---[ \t]*(\r?\n|$)", text, re.DOTALL)
    if match is None:
        wrong(1, "has no front matter", "start it with --- and end that part with ---")
        return None
    if len(match[1]) > MOST_FRONT:
        wrong(1, f"the front matter is longer than {MOST_FRONT:,} characters", "shorten it; the text belongs below it")
        return None
    try:
        # the opening rule is line 1, so one empty line keeps YAML's line numbers the file's
        front = load_yaml("\n" + match[1], file)
    except Refusal as e:
        problems.append(e.problem)
        return None
    if not isinstance(front, dict):
        wrong(2, "front matter is no mapping", "write 'title: …' and so on")
        return None
    return front, text[match.end() :].replace("\r\n", "\n"), text[: match.end()].count("\n") + 1


def front_and_body(text: str) -> tuple[dict[str, Any], str]:
    """The front matter and the body of a lesson that was read before. Raises Refusals."""
    problems: list[Problem] = []
    parts = _parts(text, "the lesson", problems)
    if parts is None:
        raise Refusals(problems)
    return parts[0], parts[1]


def _with_english_headings(body: str, headings: tuple[str, ...]) -> str:
    """A body whose six headings are the English ones, by which places are named and pieces put in."""
    for mine, english in zip(headings, HEADINGS, strict=True) if headings != HEADINGS else ():
        body = re.sub(rf"(?m)^## {re.escape(mine)}[ \t]*$", f"## {english}", body)
    return body


def _check_front(front: dict[str, Any], wrong: Any) -> None:
    for key in _REQUIRED:
        if not front.get(key):
            wrong(line_of(front.get(key), 2), f"front matter lacks '{key}'", f"add '{key}:'")
    for key in front:
        if key not in {*_KNOWN, "__line__"}:
            wrong(line_of(key, 2), f"front matter has an unknown '{str(key)[:60]}'",
                  suggest(str(key), _KNOWN, f"use {', '.join(sorted(_KNOWN))}"))  # fmt: skip
    for key in _TEXTS:
        value = front.get(key)
        if isinstance(value, dict | list):
            wrong(line_of(value, 2), f"{key}: is no text", "write it on one line, in quotes")
        elif key in {"title", "summary"} and ("<" in str(value) or ">" in str(value)):
            wrong(line_of(value, 2), f"{key}: holds < or >", "write it in words")
        elif value and "\n" in str(value).strip():
            wrong(line_of(value, 2), f"{key}: has more than one line", "write it on one line")
    _check_kinds(front, wrong)
    for key in _LISTS:
        _texts(front.get(key), key, wrong)
    for key, names in _BLOCKS.items():
        value = front.get(key)
        if value is None or not value:
            continue
        if not isinstance(value, dict):
            wrong(line_of(value, 2), f"{key}: is no block of names", f"write '{key}:' with one 'name: value' a line below it")
        elif names is not None:
            _named(value, key, names, wrong)
    _check_blocks(front, wrong)


def _check_kinds(front: Mapping[str, Any], wrong: Any) -> None:
    """What is one of a few words, and the minutes."""
    about = front.get("about")
    if about and not isinstance(about, dict | list) and about not in ABOUT:
        wrong(line_of(about, 2), f"about: '{str(about)[:60]}' is no machine kind", suggest(str(about), ABOUT, f"use {', '.join(ABOUT)}"))
    other = front.get("stand_in")
    if other and not isinstance(other, dict | list) and other not in MACHINE_KINDS:
        wrong(line_of(other, 2), f"stand_in: '{str(other)[:60]}' is no machine kind", f"use {', '.join(MACHINE_KINDS)}")
    needs = front.get("needs")
    if needs and not isinstance(needs, dict | list) and needs not in NEEDS:
        wrong(line_of(needs, 2), f"needs: '{str(needs)[:60]}' is not known", suggest(str(needs), NEEDS, f"use {', '.join(NEEDS)}"))
    minutes = front.get("minutes")
    if minutes and (not isinstance(minutes, int) or isinstance(minutes, bool) or not 1 <= minutes <= 240):
        wrong(line_of(minutes, 2), f"minutes: '{str(minutes)[:40]}' is no number of minutes", "write a whole number such as 5")


def _named(block: dict[str, Any], where: str, names: tuple[str, ...], wrong: Any) -> None:
    for key in block:
        if key not in {*names, "__line__"}:
            wrong(line_of(key, line_of(block, 2)), f"{where}: has an unknown '{str(key)[:60]}'",
                  suggest(str(key), names, f"use {', '.join(names)}"))  # fmt: skip


def _texts(value: Any, where: str, wrong: Any) -> None:
    for entry in value if isinstance(value, list) else [value]:
        if isinstance(entry, dict | list):
            wrong(line_of(entry, 2), f"{where}: an entry is no text", "put it in quotes; a colon inside makes it something else")


def _text(value: Any, where: str, wrong: Any) -> None:
    if isinstance(value, dict | list):
        wrong(line_of(value, 2), f"{where}: is no text", "put it in quotes, on one line")


def _block(front: Mapping[str, Any], key: str) -> dict[str, Any]:
    value = front.get(key)
    return value if isinstance(value, dict) else {}


def _check_blocks(front: dict[str, Any], wrong: Any) -> None:
    table = _block(front, "table")
    if table:
        if not isinstance(table.get("columns"), dict):
            wrong(line_of(table, 2), "table: has no columns", "add 'columns:' with one 'Heading: reference' a line")
        over = table.get("over")
        if over is not None and over not in OVER:
            wrong(line_of(over, line_of(table, 2)), f"table: over '{str(over)[:60]}' is nothing it can run over",
                  suggest(str(over), OVER, f"use {', '.join(OVER)}"))  # fmt: skip
        _texts(table.get("caption"), "table: caption", wrong)
    for name, pair in entries(_block(front, "ways")).items():
        _pair(name, pair, wrong)
    for name, spec, names in _drawings(front):
        if not isinstance(spec, dict) or not isinstance(spec.get("scene"), str):
            wrong(line_of(spec, 2), f"{name}: names no scene", "add 'scene: TOPIC.name'")
            continue
        if name != "drawing":
            _named(spec, name, names, wrong)
        _text(spec.get("caption"), f"{name}: caption", wrong)
        given = spec.get("with")
        if given is not None and not isinstance(given, dict):
            wrong(
                line_of(given, line_of(spec, 2)),
                f"{name}: with is no block of names",
                "write 'with:' with one 'argument: reference' a line",
            )
    panel = _block(front, "panel")
    if panel and not isinstance(panel.get("number"), str):
        wrong(line_of(panel, 2), "panel: names no number", "add 'number: NAME'")
    if panel and not isinstance(panel.get("move"), dict):
        wrong(line_of(panel, 2), "panel: moves nothing", "add 'move:' with one 'reference: {us: […], metric: […]}' a line")
    if "limit" in panel:
        _limit(panel, wrong)
    _check_sheet(_block(front, "sheet"), wrong)
    _check_exercise(_block(front, "exercise"), wrong)


def _check_sheet(sheet: dict[str, Any], wrong: Any) -> None:
    for key in ("points", "ask") if sheet else ():
        if not sheet.get(key):
            wrong(line_of(sheet, 2), f"sheet: lacks '{key}'", f"add '{key}:' to it")
    if sheet.get("points"):
        if not isinstance(sheet["points"], list):
            wrong(line_of(sheet["points"], line_of(sheet, 2)), "sheet: points is no list", "start each point with a hyphen")
        _texts(sheet["points"], "sheet: points", wrong)
    _text(sheet.get("sum"), "sheet: sum", wrong)
    ask = sheet.get("ask") or []
    for entry in ask if isinstance(ask, list) else [ask]:
        if not isinstance(entry, dict) or not entry.get("ask") or not entry.get("answer"):
            wrong(
                line_of(entry, line_of(sheet, 2)),
                "sheet: something under ask lacks its question or answer",
                "write '- ask: …' and below it 'answer: …'",
            )
        else:
            _named(entry, "sheet: ask", ("ask", "answer"), wrong)
            for key in ("ask", "answer"):
                _text(entry[key], f"sheet: {key}", wrong)
    if ask and not isinstance(ask, list):
        wrong(line_of(ask, 2), "sheet: ask is no list", "start each question with a hyphen")


def _check_exercise(exercise: dict[str, Any], wrong: Callable[[int, str, str], None]) -> None:
    """``exercise:`` has its five lists, its standard and what heads the columns to write in."""
    if not exercise:
        return
    line = line_of(exercise, 2)
    for key in (*EXERCISE, "standard", "record"):
        if not exercise.get(key):
            wrong(line, f"exercise: lacks '{key}'", f"add '{key}:' to it")
    _text(exercise.get("standard"), "exercise: standard", wrong)
    _text(exercise.get("drawing"), "exercise: drawing", wrong)
    for key in (*EXERCISE, "record"):
        value = exercise.get(key)
        if value and not isinstance(value, list):
            wrong(line_of(value, line), f"exercise: {key} is no list", "start each line of it with a hyphen")
        _texts(value, f"exercise: {key}", wrong)
    heads = exercise.get("record")
    if not isinstance(heads, list):
        return
    if len(heads) > MOST_COLUMNS:
        wrong(
            line_of(heads[MOST_COLUMNS], line),
            f"exercise: record has {len(heads)} columns",
            f"leave {MOST_COLUMNS}, which a page has room for",
        )
    for head in heads:
        if not isinstance(head, dict | list) and len(str(head)) > LONGEST_HEADING:
            wrong(line_of(head, line), f"exercise: the heading '{str(head)[:60]}' is long", f"use {LONGEST_HEADING} letters at most")


def _limit(panel: Mapping[str, Any], wrong: Callable[[int, str, str], None]) -> None:
    """``limit: limits.NAME`` of a panel's number, or ``limit: {REF: limits.NAME}`` of an input that it moves."""
    raw = panel["limit"]
    ref = next((v for k, v in raw.items() if k != "__line__"), None) if isinstance(raw, dict) else raw
    line = line_of(ref, line_of(raw, line_of("limit" if raw is None else raw, line_of(panel, 2))))
    known = [f"limits.{c.name}" for c in LIMITS if c.limit]
    if not isinstance(ref, str):
        wrong(line, "panel: limit names no limit of the site", "write 'limit: limits.NAME', or 'limit: {REFERENCE: limits.NAME}'")
    elif ref not in known:
        wrong(line, f"panel: '{ref[:60]}' is no limit of the site", suggest(ref, known, f"use {', '.join(known)}"))


def _pair(name: str, pair: Any, wrong: Callable[[int, str, str], None]) -> None:
    """What is wrong with an entry of ``ways:``, but for its two drawings."""
    line = line_of(pair, line_of(name, 2))
    if not isinstance(pair, dict):
        wrong(line, f"{name}: is no pair", "write 'wrong:', 'right:' and 'cost:' below it")
        return
    _named(pair, name, (*WAYS, "cost", "first"), wrong)
    if pair.get("first", "wrong") not in WAYS:
        wrong(
            line_of(pair.get("first"), line), f"{name}: first is '{str(pair['first'])[:40]}'", "write 'wrong' or 'right', or leave it out"
        )
    for key in (*WAYS, "cost"):
        if not pair.get(key):
            wrong(line, f"{name}: lacks '{key}'", f"add '{key}:' to it; a pair shows both ways and says what the wrong one costs")
    _text(pair.get("cost"), f"{name}: cost", wrong)
    for side in WAYS:
        spec = pair.get(side)
        if isinstance(spec, dict) and not spec.get("says"):
            wrong(line_of(spec, line), f"{name}: the {side} way says nothing", "add 'says:' with what it shows, in words")
        elif isinstance(spec, dict):
            _text(spec["says"], f"{name}: says of the {side} way", wrong)


def _drawings(front: Mapping[str, Any]) -> Iterator[tuple[str, Any, tuple[str, ...]]]:
    """Every drawing of a front matter with its name, and what may be said of it."""
    if front.get("drawing"):
        yield "drawing", front["drawing"], ()
    for block in ("drawings", "steps"):
        for name, spec in entries(_block(front, block)).items():
            yield name, spec, ("scene", "with", "caption")
    for name, pair in entries(_block(front, "ways")).items():
        for side in WAYS:
            if isinstance(pair, dict) and pair.get(side):
                yield f"{name}: {side}", pair[side], ("scene", "with", "caption", "says")


def in_order(ids: Iterable[str], lessons: Mapping[str, Lesson]) -> tuple[str, ...]:
    """Ids of lessons in the order to learn them: as given, but each after those of them it builds on.

    A circle, which :func:`content.read_content` refuses, would leave the given order.
    """
    given = tuple(ids)
    out: dict[str, None] = {}

    def put(id_: str, above: tuple[str, ...]) -> None:
        if id_ in out or id_ in above:
            return
        lesson = lessons.get(id_)
        for before in lesson.builds_on if lesson is not None else ():
            if before in given:
                put(before, (*above, id_))
        out[id_] = None

    for id_ in given:
        put(id_, ())
    return tuple(out)


def read_by_people(lesson: Lesson) -> Iterator[Text]:
    """The lines of a front matter that are printed with their template calls carried out."""
    for lines in (lesson.why, lesson.watch, lesson.stop_work, lesson.show, lesson.show_beside):
        yield from lines
    if lesson.exercise:
        yield from lesson.exercise.texts
    if lesson.sheet:
        yield from lesson.sheet.points
        for entry in lesson.sheet.asks:
            yield from (entry.ask, entry.answer)
    yield from (spec.caption for spec in lesson.all_drawings if spec.caption)
    for pair in lesson.ways.values():
        yield from (pair.wrong.says, pair.right.says, pair.cost)


def references(lesson: Lesson) -> Iterator[tuple[str, int]]:
    """Every reference a front matter makes to a number, column, setting or table, with its line."""
    for name, spec in lesson.numbers.items():
        for refs in spec.inputs.values():
            for ref in refs:
                yield ref, line_of(ref, lesson.number_lines.get(name, 2))
    if lesson.table:
        for ref in lesson.table.columns.values():
            yield ref, line_of(ref, lesson.table.line)


def _numbers(front: dict[str, Any], wrong: Any) -> dict[str, Spec]:
    specs: dict[str, Spec] = {}
    for name, body in _block(front, "numbers").items():
        if name == "__line__":
            continue
        line = line_of(name, line_of(body, 2))
        if not isinstance(name, str) or not _NAME.fullmatch(name):
            wrong(line, f"number '{str(name)[:60]}' has an odd name", "use small letters, digits and underscores")
            continue
        raw = {k: v for k, v in body.items() if k != "__line__"} if isinstance(body, dict) else body
        try:
            specs.update(read_specs({name: raw}))
        except NumberProblem as e:
            wrong(line, e.what, e.fix)
    return specs


def headings_of(body: str) -> tuple[str, ...]:
    """The headings of a lesson's body, in order."""
    return tuple(heading for _, heading in _headings(body))


def _headings(body: str) -> list[tuple[int, str]]:
    """Each heading with the lines that stand above it."""
    return [(i, m[1]) for i, row in enumerate(body.split("\n")) if (m := re.match(r"## (.+?)[ \t]*$", row))]


def _check_own_headings(body: str, body_line: int, wrong: Any) -> None:
    """A site's own lesson has the headings it wants, each once, and asks its questions somewhere."""
    found = _headings(body)
    if not found:
        wrong(body_line, "the text has no headings", f"write lines such as '## {HEADINGS[1]}'")
    first = {heading: i for i, heading in reversed(found)}
    for i, heading in found:
        if i != first[heading]:
            wrong(body_line + i, f"the heading '{heading[:60]}' stands twice", "give one of them other words")
    if not re.search(r"\{\{\s*quiz\(\)\s*\}\}", body):
        wrong(body_line, "the lesson asks none of its questions", "write {{ quiz() }} on a line of its own where they are to stand")


def _check_place(body: str, line: int, wrong: Callable[[int, str, str], None]) -> None:
    """A field exercise is called once, first of what the mentor is shown: after the quiz one goes out and does it."""
    calls = list(_EXERCISE_CALL.finditer(body))
    last = body.find(f"\n## {HEADINGS[-1]}")
    show = re.search(r"\{\{\s*show\(", body)
    if len(calls) != 1 or calls[0].start() < last or (show is not None and show.start() < calls[0].start()):
        wrong(line, f"exercise: it does not stand first under '{HEADINGS[-1]}'", "write {{ exercise() }} there once, above {{ show() }}")


def _check_headings(body: str, body_line: int, wrong: Any) -> None:
    found = _headings(body)
    if tuple(h for _, h in found) == HEADINGS:
        return
    odd = next((f for f in found if f[1] not in HEADINGS), None)
    if odd is not None:
        wrong(body_line + odd[0], f"'{odd[1][:60]}' is none of the six headings", suggest(odd[1], HEADINGS, f"use {', '.join(HEADINGS)}"))
        return
    shown = ", ".join(h for _, h in found)
    wrong(body_line, f"headings are {shown or 'missing'}", f"use these six, in this order: {', '.join(HEADINGS)}")
