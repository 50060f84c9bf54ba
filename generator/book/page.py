"""What a lesson's template calls: numbers with their working, tables, drawings, cautions, quiz."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from functools import partial
from html import escape
from typing import Any, TypeVar

from generator.book.content import Content
from generator.book.drawn import Asked, Drawings, Drawn, Steps
from generator.book.errors import FITS_NONE
from generator.book.filmed import canvases_of, instead_html, pair_html, steps_html
from generator.book.lesson import TRUCK_BESIDE, WIDENS, Lesson
from generator.book.model import WAYS, Exercise, Way
from generator.book.render import render_line, without
from generator.book.scene import (
    LawsBroken,
    canvas_of,
    figures_for,
    held_to_laws,
    in_units,
    is_film_scene,
    parameters,
    refuse_other_kinds,
    scene_function,
)
from generator.book.words import bullets, capital, cited, row_head, safe
from generator.calc.formula import Source
from generator.calc.rules import TOPICS, US_FEDERAL
from generator.calc.steps import Rows
from generator.calc.under_rules import is_law
from generator.drawing.canvas import Canvas
from generator.drawing.errors import DrawingRefused, LeftOut
from generator.drawing.film import Film
from generator.drawing.measure import AsIs, Measure
from generator.drawing.spec import Argument, DrawingSpec
from generator.jobsite.columns import LIMITS, LIMITS_BY_NAME, OPTIONS
from generator.jobsite.model import WHERE, JobSite, Row
from generator.language.words import mark, tr
from generator.quiz.draw import Drawer
from generator.quiz.question import Picture, Question
from generator.source.memo import Same
from generator.source.near import suggest
from generator.source.problem import Refusal
from generator.source.yamltext import Text
from generator.units.quantity import Quantity, natural, places_for, retold, shown, to_places, trimmed
from generator.units.table import SYSTEMS, System
from generator.working.aloud import voice_for, words_of
from generator.working.errors import DoesNotFit, FiguresRefused, Lacking, NoFigure, NoneHere, NumberProblem, PictureLeftOut
from generator.working.explain import Explained, Shown, as_html, cell_figure
from generator.working.ledger import SCALE, Entry, Ledger
from generator.working.numbers import Context, Found, Numbers

T = TypeVar("T")
CLASSES: tuple[tuple[System, str], ...] = (("us", "us"), ("metric", "si"))
_SHARE = re.compile(r"(\d{1,2}(?:\.\d{1,3})?) of ([a-z_]+(?:\.[a-z0-9_]+)*)")  # such as "0.4 of limits.edge_distance"
_IDENT = "drawing-of-page"
_NUMBER, _WORD = mark("Where this number comes from"), mark("What this word means")
_NOT_A_LIMIT = re.compile(r"( \(not [^()]*\))$")  # the caution behind a stability result may wrap
ROWS = frozenset({"machine", "truck"})  # what a reader can pick
_IN_WORDS = re.compile(r"\b(?:machine|truck)[.][a-z_]+|\bn\(\s*['\"]([^'\"]+)['\"]")  # what a text names of a row, and the numbers it calls
_FIGURE = re.compile(r"^[−-]?\d[\d,.]*")
EXERCISE_ID, EXERCISE_HEAD, GOOD_ENOUGH = "field-exercise", mark("Field exercise"), mark("Good enough:")
PLURAL = {
    "dozer": mark("dozers"), "excavator": mark("excavators"), "compact excavator": mark("compact excavators"),
    "truck": mark("trucks"), "any": mark("machines"),
}  # fmt: skip


def _blank(text: str, line: str) -> str:
    """A printed result with a line to write on in the place of its figure; its unit stays. Words stay as they are."""
    return _FIGURE.sub(line, text)


def _kept(text: str) -> str:
    """The class that keeps a figure and its unit on one line, or lets many words go on in the next.

    A figure with a long caution behind it is wider than a phone is, in languages of long words.
    """
    figure = _FIGURE.match(text)
    if figure and len(text) <= 16:
        return " sw-whole"
    return " sw-words" if len(text) > (34 if figure else 40) else ""


# columns that a dozer has too, and of which it means another side: a lesson it stands in for is not worked from them
_OF_ANOTHER_SIDE = frozenset({"machine.sill_height", "machine.sill_distance"})


WHOM_TO_CALL, IN_AN_EMERGENCY = mark("Whom to call:"), mark("In an emergency:")
OPENING = 60  # rows of a table whose numbers open their working; a phone has some 500 pieces of a page to lay out for each


@dataclass(frozen=True)
class Named:
    """A machine, truck or material as a template sees it: escaped words."""

    id: str
    name: str
    kind: str = ""


@dataclass
class Workings:
    """The popovers of one page: each number's working, written once."""

    html: dict[str, str] = field(default_factory=dict)
    _keys: dict[str, str] = field(default_factory=dict)
    _words: set[str] = field(default_factory=set)
    _letter: str = "w"

    def more(self, letter: str) -> Workings:
        """Popovers beside these, each written once: what stands here already keeps its id."""
        return Workings({}, dict(self._keys), set(), letter)

    def key(self, content: str, *, word: bool = False) -> str:
        """The id of the popover with this content; ``word`` says that it tells what a word means."""
        if content not in self._keys:
            key = f"{self._letter}{len(self._keys) + 1}"
            self._keys[content] = key
            self.html[key] = content
            if word:
                self._words.add(key)
        return self._keys[content]

    def block(self) -> str:
        """All popovers, for the end of the page. The search leaves them out: each says again what stands above."""
        if not self.html:
            return ""
        made = "\n\n".join(self.written())
        return f"<section data-search-exclude>\n{made}\n</section>"

    def written(self) -> list[str]:
        """Each popover with its button to close it."""
        close = tr("Close")
        return [
            f'<div id="{key}" popover="auto" class="sw-pop" role="dialog" aria-label="{tr(_WORD if key in self._words else _NUMBER)}">'
            f'{content}<button type="button" class="sw-close" popovertarget="{key}" popovertargetaction="hide">{close}</button></div>'
            for key, content in self.html.items()
        ]


@dataclass(frozen=True)
class _Given:
    """What a scene is given: the arguments, also as ``printed`` for a key; figures of columns; what the ledger says of them."""

    arguments: dict[str, Any]
    printed: str
    columns: list[tuple[str, str, Measure]]
    entries: list[Entry]


@dataclass(frozen=True)
class _Worked:
    """What the ledger says of how a number was worked, alike for all of its results: the inputs as printed, and the sources."""

    inputs: dict[str, str]
    sources: list[str]


class LessonPage:
    """The functions a lesson's template may call.

    Every figure they print is entered in the ledger; a stability result is printed with its
    caution or not at all.
    """

    def __init__(
        self, lesson: Lesson, content: Content, site: JobSite, lead: Context, ledger: Ledger, drawings: Drawings | None = None
    ) -> None:
        self.lesson, self.content, self.site_model, self.ledger = lesson, content, site, ledger
        self.context = lead_for(lesson.about, site, lead, lesson.needs, lesson.id, wanted_columns(lesson))
        self.numbers = Numbers(
            lesson.numbers, site, content.tables, self.context, absent=_OF_ANOTHER_SIDE if lesson.about == lesson.stand_in else frozenset()
        )
        self.workings = Workings()
        self.page = f"lessons/{lesson.id}.html"
        self.explained_terms: set[str] = set()
        self._drawings = drawings or Drawings()
        self._made: dict[tuple[str, str, str], Canvas | Film] = {}  # several steps of one scene may be asked for
        self._columns: list[tuple[str, str, Measure]] = []  # figures of columns that the drawing being made is given
        self._given: dict[tuple[Any, ...], _Given] = {}
        self._written: dict[Same, str] = {}
        self._worked: dict[Same, _Worked] = {}
        self._cited: dict[tuple[Source, ...], str] = {}
        self.round_weights = False  # on a cab card: two digits, to the safe side
        self.aloud = False  # in a text that is read to a crew, figures stand as words
        self.paper = False  # on paper nothing opens, so no working is written for it
        self.left_blank: frozenset[str] = frozenset()  # number.result that a crew works out on paper: a line to write on
        self.lacking: list[Lacking] = []  # blank columns for which something was left out
        self.no_figure: dict[str, dict[str, None]] = {}  # by topic the rows for which the site's own rule gives no figure
        self.shows_none_here = False  # whether something was left out, as it is of a truck and this site has none
        self.noted: dict[str, str] | None = None  # while the body is written: its pieces that another machine changes, by name

    def for_row(self, row: Any, page: str) -> LessonPage:
        """The same lesson worked for another machine or truck of the site, to stand on ``page``.

        It shares what is worked already, and the popovers that say the same.
        """
        made = self.on_page(page)
        made.context = with_row(self.context, "truck" if row.kind == "truck" else "machine", row)
        return made

    def on_page(self, page: str) -> LessonPage:
        """The same lesson, with what it prints entered under another page."""
        made = copy(self)
        made.page, made.noted, made.lacking, made.no_figure = page, None, [], {}
        made._given = {}  # its entries name the page
        made.workings, made.explained_terms = self.workings.more("m"), set(self.explained_terms)
        return made

    def _piece(self, name: str, rests: bool, made: Callable[[], str], tag: str) -> str:
        """A part of the body that another machine may change: marked in the page, so that a script can."""
        if self.noted is None or not rests:
            return made()
        noted, self.noted = self.noted, None  # what stands in it is changed with it
        try:
            html = made()
        finally:
            self.noted = noted
        noted[name] = html
        inside = html.strip("\n").replace("\n\n", "")
        around = ("\n\n", "\n\n") if tag == "div" else ("", "")
        return f'{around[0]}<{tag} data-piece="{escape(name)}">{inside}</{tag}>{around[1]}'

    def rests_on_a_row(self, refs: Iterable[str], rows: frozenset[str] = ROWS) -> bool:
        """Whether one of the references is worked from a figure of a machine or a truck."""
        seen: set[str] = set()
        to_do = list(refs)
        while to_do:
            ref = to_do.pop()
            ref = share[2] if (share := _SHARE.fullmatch(ref)) else ref
            head, _, rest = ref.partition(".")
            if head in {"value", "words", "text"}:  # of a drawing's arguments
                to_do += re.findall(r"[a-z_]+(?:[.][a-z_]+)*", rest)
            if head in rows:
                return True
            if head in seen or head not in self.lesson.numbers:
                continue
            seen.add(head)
            to_do += [r for refs in self.lesson.numbers[head].inputs.values() for r in refs]
        return False

    # --- numbers ---

    def shown(self, ref: str, context: Context | None = None, place: str = "text") -> str:
        """A number as HTML in both systems, each opening its working. Enters it in the ledger."""
        ctx = context or self.context
        parts = self.texts(ref, ctx, place)
        said = self.said(ref, ctx) if place == "text" else {}  # tables are not read aloud
        if self.aloud:
            return self._in_words(ref, {s: said.get(s) or parts[s][0] for s in SYSTEMS})
        buttons = []
        for system, cls in CLASSES:
            text, popover = parts[system]
            text = _NOT_A_LIMIT.sub(r'<span class="sw-not">\1</span>', text)
            key = self.workings.key(popover)
            say = f' data-say="{escape(said[system])}"' if said.get(system) else ""
            buttons.append((cls, text, key, say))
        if buttons[0][1:] == buttons[1][1:]:
            cls, text, key, say = buttons[0]
            return f'<button type="button" class="sw-num{_kept(text)}" popovertarget="{key}"{say}>{text}</button>'
        return "".join(
            f'<button type="button" class="sw-num{_kept(text)} {cls}" popovertarget="{key}"{say}>{text}</button>'
            for cls, text, key, say in buttons
        )

    def _in_words(self, ref: str, said: Mapping[System, str]) -> str:
        """A number as it is read to a crew; what they work out themselves is left to them."""
        head, _, rest = ref.partition(".")
        if head in self.lesson.numbers and f"{head}.{rest or self.numbers.explained(head, self.context, 'us').main}" in self.left_blank:
            return f"<b>{tr('the figure we work out together')}</b>"
        us, metric = (escape(said[s].rstrip(",")) for s in SYSTEMS)
        return f"<b>{us}</b>" if us == metric else f'<b class="us">{us}</b><b class="si">{metric}</b>'

    def said(self, ref: str, ctx: Context) -> dict[System, str]:
        """The words a voice reads for a number in each system; empty for what is told in words anyway."""
        voice = voice_for(self.site_model)
        head, _, rest = ref.partition(".")
        if head not in self.lesson.numbers:
            value = self.numbers.look_up(ref, ctx).value
            return {s: words_of(value.in_system(s) if isinstance(value, Quantity) else value, voice) for s in SYSTEMS}
        out: dict[System, str] = {}
        for system in SYSTEMS:
            explained = self.numbers.explained(head, ctx, system)
            result = Numbers._result(explained, rest or explained.main, head)
            out[system] = words_of(result.quantity, voice, result.caution)
        return out

    def plain(self, ref: str, context: Context, place: str) -> str:
        """A number as :meth:`shown` prints it that opens nothing. It is entered in the ledger all the same."""
        was, self.paper = self.paper, True
        try:
            parts = self.texts(ref, context, place)
        finally:
            self.paper = was
        both = [(cls, _NOT_A_LIMIT.sub(r'<span class="sw-not">\1</span>', parts[system][0])) for system, cls in CLASSES]
        if both[0][1] == both[1][1]:
            return f'<span class="{_kept(both[0][1]).strip()}">{both[0][1]}</span>'
        return "".join(f'<span class="{cls}{_kept(text)}">{text}</span>' for cls, text in both)

    def texts(self, ref: str, ctx: Context, place: str) -> dict[System, tuple[str, str]]:
        """Printed text and popover of a number in each system, entered in the ledger."""
        head, _, rest = ref.partition(".")
        if head in self.lesson.numbers:
            return self._calculated(head, rest, ctx, place)
        found = self.numbers.look_up(ref, ctx)
        return self._looked_up(ref, found, ctx, place)

    def _calculated(self, head: str, rest: str, ctx: Context, place: str) -> dict[System, tuple[str, str]]:
        both = {s: self.numbers.explained(head, ctx, s) for s in SYSTEMS}
        printed = {s: escape(self._text(Numbers._result(e, rest or e.main, head))) for s, e in both.items()}
        if f"{head}.{rest or both['us'].main}" in self.left_blank:
            return {s: (_blank(printed[s], '<span class="blank"></span>'), s) for s in SYSTEMS}
        different = self.paper and printed["us"] != printed["metric"]
        out = {s: (printed[s], s if different else self.working_html(e)) for s, e in both.items()}
        self._enter_calculated(both, rest or both["us"].main, ctx, place)
        return out

    def _enter_calculated(self, both: Mapping[System, Explained], name: str, ctx: Context, place: str) -> None:
        """Enters one result of a number in the ledger."""
        us = both["us"]
        self.ledger.enter(
            Entry(
                self.page, place_words(place, ctx), us.results[name].meaning,
                {s: self._text(both[s].results[name]) for s in SYSTEMS}, us.results[name].si,
                us.calculation.id, self._inputs(both), self._how(us).sources,
            )
        )  # fmt: skip

    def _how(self, explained: Explained) -> _Worked:
        """How a number was worked, for the ledger: printed once for all the pages of a lesson it stands on."""
        found = self._worked.get(Same(explained))
        if found is None:
            inputs = {k: str(v) for k, v in explained.inputs.items()}
            found = self._worked[Same(explained)] = _Worked(inputs, self.source_keys(explained.sources))
        return found

    def _inputs(self, explained: Mapping[System, Explained]) -> dict[System, dict[str, str]]:
        return {s: self._how(explained[s]).inputs for s in SYSTEMS}

    def _text(self, result: Shown) -> str:
        """A result as this page prints it. On a cab card a weight has two digits: rounded up, or down to a most."""
        q = result.quantity
        if not self.round_weights or q is None or q.kind not in {"mass", "density"} or result.caution:
            return result.text()
        return shown(trimmed(to_places(q.figure, places_for(q.figure, 2), q.limit or "least")), q.unit)

    def _looked_up(self, ref: str, found: Found, ctx: Context, place: str) -> dict[System, tuple[str, str]]:
        out: dict[System, tuple[str, str]] = {}
        for system in SYSTEMS:
            value = found.value.in_system(system) if isinstance(found.value, Quantity) else found.value
            out[system] = (escape(tr(value) if value in OPTIONS else str(value)), f'<p class="sw-source">{self._whence(ref, found)}</p>')
        si = found.value.si if isinstance(found.value, Quantity) else None
        self.ledger.enter(
            Entry(self.page, place_words(place, ctx), ref, {s: out[s][0] for s in SYSTEMS}, si, None,
                  {}, [], found.origin)
        )  # fmt: skip
        return out

    def _whence(self, ref: str, found: Found) -> str:
        """Where a value stands, as a reader is told: of a limit, who set it and when."""
        head, _, name = ref.partition(".")
        if head != "limits":
            return tr("From {place}.", place=escape(tr(found.origin)))
        if not isinstance(found.value, Quantity):
            return limits_set_by(self.site_model)
        if own := self.site_model.settings.own_limits.get(name.removeprefix("own.")):
            return _site_limit(own.meaning, set_by(own.decided_by, own.decided_on))
        return _site_limit(tr(LIMITS_BY_NAME[name].meaning), limits_set_by(self.site_model))

    def working_html(self, explained: Explained, mark: Any = None) -> str:
        """The working as HTML, with its sources in words."""
        if mark is not None:
            return as_html(explained, self.source_words, mark)
        # one procedure gives many results, all with the same working
        done = self._written.get(Same(explained))
        if done is None:
            done = self._written[Same(explained)] = as_html(explained, self.source_words)
        return done

    def source_keys(self, sources: Iterable[Source]) -> list[str]:
        """Keys and standings for the ledger."""
        return [f"{s.key or s.standing}{f', {s.place}' if s.place and s.key else ''}" for s in self._named(sources)]

    def _named(self, sources: Iterable[Source]) -> tuple[Source, ...]:
        """The sources that are named here: under other rules no law of the United States."""
        if self.site_model.rules.name == US_FEDERAL:
            return tuple(sources)
        return tuple(s for s in sources if not is_law(s.key)) or (Source(None, "worked out from what its words say", "derived"),)

    def source_words(self, sources: Iterable[Source]) -> str:
        """Sources as one line of HTML."""
        sources = self._named(sources)
        if sources in self._cited:
            return self._cited[sources]
        words = []
        for s in sources:
            if s.key is None:
                word = escape(tr("common practice, no source") if s.standing == "common practice" else retold(tr(s.place or "geometry")))
            else:
                word = cited(self.content.sources[s.key], retold(s.place))
                if s.standing == "from memory":
                    word = tr("{source} (from memory)", source=word)
            words.append(word)
        self._cited[sources] = tr("Source: {sources}.", sources="; ".join(dict.fromkeys(words)))
        return self._cited[sources]

    # --- called from templates ---

    def n(self, ref: str) -> str:
        """A number: ``{{ n('bench') }}`` or ``{{ n('machine.stick_length') }}``."""
        return self._piece(f"n {ref}", self.rests_on_a_row([ref]), lambda: self.shown(ref), "span")

    def working(self, name: str) -> str:
        """The worked example of a number, in both systems: folded on a screen, open on paper."""
        return self._piece(f"working {name}", self.rests_on_a_row([name]), lambda: self._working(name), "div")

    def _working(self, name: str) -> str:
        html: dict[System, str] = {}
        for system in SYSTEMS:
            html[system] = self.working_html(self.numbers.explained(name, self.context, system))
        self.texts(name, self.context, "worked example")
        if html["us"] == html["metric"]:
            inside = f"<div>{html['us']}</div>"
        else:
            inside = f'<div class="us">{html["us"]}</div><div class="si">{html["metric"]}</div>'
        return f'\n\n<details class="sw-how"><summary>{tr("How this was worked out")}</summary>{inside}</details>\n\n'

    def rows(self) -> list[Row]:
        """The machines or trucks the lesson is about."""
        return rows_about(self.lesson.about, self.site_model, self.lesson.needs)

    def table(self) -> str:
        """A table over all machines that fit, from ``table:`` in the front matter."""
        spec = self.lesson.table
        if spec is None or not spec.columns:
            raise NumberProblem("the lesson has no table", "add 'table:' with 'columns:' to the front matter")
        over = spec.over or self.lesson.about
        body, left_out, lacking = [], [], None
        rows = rows_about(over, self.site_model, self.lesson.needs if over == self.lesson.about else "")
        opening = self._opening(rows)
        for row in rows:
            ctx = with_row(self.context, over, row)
            try:
                cells = [(self.shown if row.id in opening else self.plain)(ref, ctx, "table") for ref in spec.columns.values()]
            except DoesNotFit as e:
                lacking = e if isinstance(e, Lacking) else lacking
                told = (
                    tr("{machine}, as {reason}", machine=row_head(row), reason=tr(e.why)) if isinstance(e, FiguresRefused) else tr(e.what)
                )
                left_out.append(safe(told))
                continue
            body.append(f'<tr data-row="{escape(row.id)}"><th scope="row">{safe(row_head(row))}</th>'
                        + "".join(f"<td>{c}</td>" for c in cells) + "</tr>")  # fmt: skip
        if not body and lacking is not None:
            raise lacking
        if not body:
            raise NumberProblem("no machine of this site fits the lesson's table", "fill in the columns it needs", code=FITS_NONE)
        what = tr(PLURAL.get(over, over))
        head = "".join(f'<th scope="col">{escape(h)}</th>' for h in spec.columns)
        caption = escape(spec.caption or tr("All {machines} of this site", machines=what))
        note = f'<p class="sw-note">{tr("Left out: {rows}.", rows="; ".join(left_out))}</p>' if left_out else ""
        if len(opening) < len(rows):
            long = tr(
                "This table is long, so only the numbers of some {machines} open their working. The ledger, which the coordinator has, "
                "says of every number how it was worked.",
                machines=what,
            )
            note += f'<p class="sw-note">{long}</p>'
        return (
            f'\n\n<div class="sw-scroll" data-over="{escape(over)}" tabindex="0" role="region" aria-label="{caption}"><table class="sw-table" data-search-exclude>'
            f'<caption>{caption}</caption><thead><tr><th scope="col">{tr("Machine") if over == "any" else escape(capital(tr(over)))}</th>{head}</tr></thead>'
            f"<tbody>{''.join(body)}</tbody></table></div>{note}\n\n"
        )

    def _opening(self, rows: Sequence[Row]) -> frozenset[str]:
        """Ids of the rows of a table whose numbers open their working: of a very long one those that somebody runs come first."""
        if len(rows) > OPENING:
            run = {i for person in self.site_model.crew for i in person.machines}
            rows = sorted(rows, key=lambda r: r.id not in run)[:OPENING]
        return frozenset(r.id for r in rows)

    def drawing(self, name: str = "drawing") -> str:
        """A drawing to scale, from ``drawing:`` (or an entry of ``drawings:``)."""
        spec = self.drawing_spec(name)
        if spec is None:
            raise NumberProblem(f"the lesson has no drawing '{name}'", "add it to the front matter")
        return self._piece(f"drawing {name}", self.rests_on_a_row(references(spec)), lambda: self._drawing(spec, name), "div")

    def drawing_spec(self, name: str) -> DrawingSpec | None:
        """What the front matter says of a drawing; None where it has none of the name."""
        return self.lesson.drawing if name == "drawing" else self.lesson.drawings.get(name)

    def _drawing(self, spec: DrawingSpec, name: str) -> str:
        caption = f"<figcaption>{self.words(spec.caption)}</figcaption>" if spec.caption else ""
        svg = self.scene(spec, f"{self.lesson.id}-{name}")
        return f'\n\n<figure class="sw-drawing">{svg}{caption}</figure>\n\n'

    def steps(self, name: str) -> str:
        """A scene in steps, from an entry of ``steps:``."""
        spec = self.lesson.steps.get(name)
        if spec is None:
            raise NumberProblem(f"the lesson has no scene in steps '{name}'", "add it under 'steps:' in the front matter")
        return f"\n\n{self._as_it_is(lambda: self._figure(spec, f'{self.lesson.id}-{name}'), references(spec))}\n\n"

    def ways(self, name: str) -> str:
        """The wrong way beside the right one, from an entry of ``ways:``."""
        pair = self.lesson.ways.get(name)
        if pair is None:
            raise NumberProblem(f"the lesson has no pair of ways '{name}'", "add it under 'ways:' in the front matter")

        def made() -> str:
            figures = [
                self._figure(side.picture, f"{self.lesson.id}-{name}-{way}", way, self.words(side.says))
                for way, side in zip(WAYS, pair.sides, strict=True)
            ]
            return pair_html(figures, self.words(pair.cost), pair.first)

        refs = [ref for side in pair.sides for ref in references(side.picture, side.says)]
        return f"\n\n{self._as_it_is(made, [*refs, *in_words(pair.cost)])}\n\n"

    def _as_it_is(self, made: Callable[[], str], refs: Sequence[str]) -> str:
        """A part of the body that stays that of this machine, whatever the reader picks, and says so.

        Scenes in steps would make the file of each machine many times as large. One that is left out
        is told in a sentence.
        """
        noted, self.noted = self.noted, None
        try:
            html = made()
        except PictureLeftOut as e:
            return instead_html(e.problem.reason)
        finally:
            self.noted = noted
        named = [r for r in ("machine", "truck") if self.rests_on_a_row(refs, frozenset({r}))]
        rows = [row for r in named if (row := getattr(self.context, r)) is not None]
        names = [safe(row.name) for row in rows]
        if not names:
            return html
        whose = (
            tr("Drawn for the {machine} and the {truck}.", machine=names[0], truck=names[1])
            if len(names) > 1
            else tr("Drawn for the {machine}.", machine=names[0])
        )
        return f'{html}<p class="sw-note sw-worked-for">{whose}</p>'

    def _figure(self, spec: DrawingSpec, ident: str, way: Way = "", says: str = "") -> str:
        """The figure of a drawing or of a scene in steps."""
        svg, steps = self.picture(spec, way=way)
        caption = self.words(spec.caption) if spec.caption else ""
        return steps_html(svg.replace(_IDENT, ident), steps, ident, caption=caption, way=way, says=says)

    def scene(self, spec: DrawingSpec, ident: str, frame: int | None = None, way: Way = "") -> str:
        """The SVG of a scene with its references put in; of a scene in steps, that of step ``frame``.

        ``way`` is ``wrong`` where what it shows must not be done: the laws of scenes leave it alone then.
        """
        return self.picture(spec, frame, way, alone=True)[0].replace(_IDENT, ident)

    def picture(self, spec: DrawingSpec, frame: int | None = None, way: Way = "", *, alone: bool = False) -> tuple[str, Steps | None]:
        """The SVG of a scene under a name to be replaced, and its steps if it has some.

        ``alone`` is for one drawing, which of a scene in steps is that of step ``frame``.
        """
        draw = scene_function(spec.scene)
        if spec.kind == "drawing" and is_film_scene(draw):
            raise NumberProblem(f"{spec.scene} is a scene in steps", "name a scene that is one drawing")
        given = self._given_to(draw, spec, way)
        arguments, self._columns = given.arguments, given.columns
        key = (str(spec.scene), given.printed, frame, way)
        # one drawing stands on the page, its sheet and its key
        drawn = self._drawings.get(key) or self._kept_or_drawn(key, spec, arguments, alone=alone)
        for what, measure in drawn.scales:
            self._enter_drawn(what, measure, f"the scale at which the drawing '{spec.scene}' fits its frame")
        for name, heading, measure in self._columns:  # of a column a scene in steps may print some only
            if frame is None and (drawn.steps is None or measure in drawn.steps.told):
                self._enter_step(name, heading, measure)
        return drawn.svg, drawn.steps

    def _given_to(self, draw: Callable[..., Any], spec: DrawingSpec, way: Way) -> _Given:
        """What a scene is given for the rows of this page, its figures entered in the ledger.

        A question's picture is asked for again and again: whether the site's figures give it, for the quiz and for the
        practice. Its figures are looked up once, and what that entered is entered again.
        """
        asked = tuple((spec.given or {}).items())
        plain = not any(isinstance(ref, str) and ref.startswith("text.") for _, ref in asked)  # words may be other ones the second time
        key = (str(spec.scene), repr(asked), way == "wrong", self.context.key, self.left_blank, self.round_weights, Same(self.numbers))
        known = self._given.get(key) if plain else None
        if known is not None:
            self.ledger.entries.extend(known.entries)
            return known
        before = len(self.ledger.entries)
        arguments, columns = self._arguments(draw, asked, way)
        made = _Given(arguments, repr(arguments), columns, self.ledger.entries[before:])
        if plain:
            self._given[key] = made
        return made

    def _arguments(
        self, draw: Callable[..., Any], asked: Iterable[tuple[str, Argument]], way: Way
    ) -> tuple[dict[str, Any], list[tuple[str, str, Measure]]]:
        """The arguments of a scene, and the figures of columns among them. Raises NumberProblem."""
        wanted = parameters(draw)
        arguments: dict[str, Any] = {}
        self._columns = []
        for name, ref in asked:
            # an optional column left blank, or a limit this site has not set: the scene does without
            share = _SHARE.fullmatch(ref) if isinstance(ref, str) else None
            if name in wanted and wanted[name].default is None and self.numbers.lacks(share[2] if share else ref, self.context):
                continue
            if share and way != "wrong":
                raise NumberProblem(f"'{ref}' is no figure of the site", "a part of one is for a picture with 'way: wrong' alone")
            given = self._share_of(float(share[1]), share[2]) if share else self._argument(ref)
            arguments[name] = AsIs(given) if isinstance(given, str) else given  # a name of the site's tables is one in any language
        if self.left_blank and "blanks" in wanted:  # a scene that tells a result by other means than its text
            arguments["blanks"] = True
        refuse_other_kinds(draw, arguments)
        return arguments, self._columns

    def _kept_or_drawn(
        self, key: tuple[str, str, int | None, Way], spec: DrawingSpec, arguments: Mapping[str, Any], *, alone: bool
    ) -> Drawn:
        """A drawing that the laws let through."""
        scene, _, frame, way = key
        figures = Asked(figures_for(self.site_model, self.context, self.numbers.given))
        given = (arguments, alone)
        if (kept := self._drawings.kept(key, given, figures)) is not None:
            return kept
        draw = scene_function(spec.scene)
        try:
            made = self._made.get((scene, key[1], way)) or draw(ident=_IDENT, **arguments)
            self._made[scene, key[1], way] = made
            picture = canvas_of(made, scene, frame) if alone else made
            if way:
                for canvas in canvases_of(picture):
                    canvas.way = way
            drawn = Drawn.of(picture)
        except DrawingRefused as e:
            said = in_units(e.what, arguments, self.site_model.settings.units)
            if isinstance(e, LeftOut):
                raise PictureLeftOut(f"the drawing cannot be made ({said})", e.fix, reason=e.instead) from None
            causes = self.numbers.causes_of(spec.references, self.context)
            raise NumberProblem(f"the drawing cannot be made ({said})", e.fix, reason=said, causes=causes) from None
        place = (spec.file, spec.scene.line)
        wrong = held_to_laws(drawn.svg, spec.scene, self.site_model, self.context, figures, place)
        if wrong:
            raise LawsBroken(wrong)
        self._drawings.put(key, given, drawn, figures)  # only what the laws let through
        return drawn

    def able(self, questions: Sequence[Question]) -> tuple[Question, ...]:
        """The questions whose pictures this site's figures give; all of them where they give none."""
        found = tuple(q for q in questions if not any(map(self._left_out, q.all_pictures)))
        return found or tuple(questions)

    def shows_another(self, question: Question) -> bool:
        """Whether a picture of a question is of a truck or an excavator, and the site has none."""
        try:
            for picture in question.all_pictures:
                self.scene(picture.drawing, "able", picture.frame, picture.way)
        except NoneHere:
            return True
        except Refusal:
            return False
        return False

    def _left_out(self, picture: Picture) -> bool:
        """Whether a question's picture is a step of a scene that is left out, or past its last step."""
        try:
            self.scene(picture.drawing, "able", picture.frame, picture.way)
        except (Lacking, NoneHere) as e:
            self.lacks(e)
            return True
        except PictureLeftOut:
            return picture.frame is not None
        except Refusal:  # told where the question is written
            return False
        return False

    def _argument(self, ref: Argument) -> Any:
        if isinstance(ref, bool | int | float):
            if abs(ref) > 1000:  # a count of things to draw
                raise NumberProblem(f"{ref} is too large for a drawing", "give a figure up to a thousand, or a reference")
            return ref
        if isinstance(ref, tuple):
            return [self._argument(r) for r in ref]
        head, _, rest = ref.partition(".")
        if head == "value":  # a plain number for the drawing, such as a ratio
            return self._measure(rest).si
        if head == "words":
            return self._measure(rest).words
        if head in self.lesson.numbers and rest.startswith("column."):
            heading, _, few = rest.removeprefix("column.").partition("/")
            found = self._column(head, heading)
            if few and not (few.isdecimal() and 0 < int(few) <= 1000):
                raise NumberProblem(f"'{ref}' asks for '{few[:20]}' of a column", "write how many behind the stroke, such as /4")
            # so many of them, evenly spread, the last one always
            count = min(int(few), len(found)) if few else len(found)
            found = [found[round(len(found) * (i + 1) / count) - 1] for i in range(count)]
            self._columns.extend((head, heading, measure) for measure in found)
            return found
        if head == "text":
            return self.words(rest)
        if head not in self.lesson.numbers and isinstance(told := self.numbers.look_up(ref, self.context).value, str):
            return told  # a word of a row, such as its kind
        return self._measure(ref)

    def _share_of(self, share: float, ref: str) -> Measure:
        """So much of a figure, for a picture of a wrong way: half the distance to keep, whatever the site keeps."""
        whole = self._measure(ref)
        head, _, rest = ref.partition(".")
        figures: dict[System, Quantity | None] = {}
        for s in SYSTEMS:
            if head in self.lesson.numbers and ref not in self.numbers.given:
                done = self.numbers.explained(head, self.context, s)
                result = Numbers._result(done, rest or done.main, head)
                figures[s] = None if result.caution else result.quantity
            else:
                found = self.numbers.look_up(ref, self.context).value
                figures[s] = found.in_system(s) if isinstance(found, Quantity) else None
        parts = [Quantity(natural(float(q.figure) * share, 2), q.unit, q.kind) for q in figures.values() if q is not None]
        if len(parts) < len(SYSTEMS):
            raise NumberProblem(f"'{ref}' is no figure to take a part of", "name another")
        measure = Measure(whole.si * share, *map(str, parts))
        self._enter_drawn(f"{share:g} of {ref}", measure, "the wrong way in a picture of the quiz")
        return measure

    def _measure(self, ref: str) -> Measure:
        head, _, rest = ref.partition(".")
        if head in self.lesson.numbers and ref not in self.numbers.given:
            system = self.site_model.settings.units
            done = {s: self.numbers.explained(head, self.context, s) for s in SYSTEMS}
            results = {s: Numbers._result(e, rest or e.main, head) for s, e in done.items()}
            si = results[system].si
            if si is None:
                raise NumberProblem(f"'{ref}' is no figure to draw", "name another")
            if f"{head}.{rest or done['us'].main}" in self.left_blank:
                return Measure(si, *(_blank(results[s].text(), "_____") for s in SYSTEMS))
            self._enter_calculated(done, rest or done["us"].main, self.context, "drawing")  # nothing opens in a drawing
            return Measure(si, results["us"].text(), results["metric"].text())
        found = self.numbers.look_up(ref, self.context)
        if not isinstance(found.value, Quantity):
            raise NumberProblem(f"'{ref}' is no figure to draw", "name another")
        self._looked_up(ref, found, self.context, "drawing")
        return Measure(found.value.si, *(str(found.value.in_system(s)) for s in SYSTEMS))

    def _column(self, name: str, heading: str) -> list[Measure]:
        explained = self.numbers.explained(name, self.context, self.site_model.settings.units)
        table, _, of_table = heading.rpartition(".")  # TABLE.HEADING where several tables of a working have the column
        for block in explained.blocks:
            if isinstance(block, Rows) and (not table or slug(block.title) == table):
                for i, c in enumerate(block.columns):
                    if slug(c.heading) == of_table:
                        return [Measure(float(r[i]), *(str(cell_figure(float(r[i]), c, s)) for s in SYSTEMS)) for r in block.rows]
        raise NumberProblem(f"'{name}' has no column '{heading}'", "look at its working for the headings")

    def _enter_step(self, name: str, heading: str, measure: Measure) -> None:
        """Enters a figure that a drawing takes from a column of a number's working."""
        done = {s: self.numbers.explained(name, self.context, s) for s in SYSTEMS}
        self.ledger.enter(
            Entry(
                self.page, place_words("drawing", self.context), heading.replace(".", ", ").replace("_", " "),
                {"us": measure.us, "metric": measure.metric}, measure.si, done["us"].calculation.id,
                self._inputs(done), self._how(done["us"]).sources,
            )
        )  # fmt: skip

    def _enter_drawn(self, what: str, measure: Measure, origin: str) -> None:
        """Enters a figure that a drawing sets itself."""
        values: dict[System, str] = {"us": measure.us, "metric": measure.metric}
        self.ledger.enter(Entry(self.page, place_words(SCALE, self.context), what, values, measure.si, None, {}, [], origin))

    def term(self, word: str, shown: str = "") -> str:
        """A word of the glossary: explained where it first stands, a pop-up everywhere."""
        found = self.content.glossary.get(word)
        if found is None:
            raise NumberProblem(f"the glossary has no '{word}'", "add it to glossary.yml")
        meaning = found.text
        key = self.workings.key(f"<p><b>{escape(found.shown)}</b>: {escape(meaning)}</p>", word=True)
        first = word not in self.explained_terms
        self.explained_terms.add(word)
        tail = f" ({escape(meaning.rstrip('.')[:1].lower() + meaning.rstrip('.')[1:])})" if first and len(meaning) < 90 else ""
        return f'<button type="button" class="sw-term" popovertarget="{key}">{escape(shown or found.shown)}</button>{tail}'

    def limits(self) -> str:
        """The site's own limits as its settings give them, and when to ask first."""
        settings = self.site_model.settings
        rows = "".join(
            f'<tr><th scope="row">{safe(capital(tr(c.meaning)))}</th><td>{self.shown(f"limits.{c.name}", place="table")}</td></tr>'
            for c in LIMITS
            if isinstance(settings.limits.get(c.name), Quantity)
        )
        rows += "".join(
            f'<tr><th scope="row">{safe(own.meaning[:1].upper() + own.meaning[1:])}</th>'
            f"<td>{self.shown(f'limits.own.{own.name}', place='table')}</td></tr>"
            for own in settings.own_limits.values()
        )
        caption = tr(
            "The limits of this site. {set_by} The rules where you work and the machine's manual stand above them.",
            set_by=limits_set_by(self.site_model),
        )
        call = "".join(
            f"<p><b>{tr(words)}</b> {safe(str(settings.limits[name]))}</p>"
            for name, words in (("call", WHOM_TO_CALL), ("emergency", IN_AN_EMERGENCY))
            if name in settings.limits
        )
        ask = call
        if settings.ask_first:
            ask += f"<p><b>{tr('Ask first when')}</b></p>{bullets([safe(a) for a in settings.ask_first])}"
        table = (
            f'<div class="sw-scroll" tabindex="0" role="region" aria-label="{tr("The limits of this site")}">'
            f'<table class="sw-table"><caption>{caption}</caption><thead><tr><th scope="col">{tr("What")}</th>'
            f'<th scope="col">{tr("Limit")}</th></tr></thead><tbody>{rows}</tbody></table></div>'
        )
        return f"\n\n{table if rows else ''}\n\n<div>{ask}</div>\n\n"

    def where(self, sites: str) -> str:
        """Nothing, where this site is one of those; of any other the paragraph, entry or line is left out without a word."""
        if sites not in WHERE:
            raise NumberProblem(f"where('{sites[:40]}') names no sites", suggest(sites, WHERE, f"write one of {', '.join(WHERE)}"))
        if not self.site_model.is_one_of(sites):
            raise NoneHere(f"this is no site of '{sites}'", "take the line out", code=f"none-here:{sites}")
        return ""

    def rule(self, topic: str) -> str:
        """The site's own rule on a topic: its title, its place and who answers for it. Of any other set what it stands in is left out."""
        if topic not in TOPICS:
            raise NumberProblem(f"rule('{topic[:40]}') names no topic", suggest(topic, TOPICS, f"write one of {', '.join(TOPICS)}"))
        own = self.site_model.rules.own.get(topic)
        if own is None:
            raise NoneHere(f"this site has no rule of its own on {topic}", "take the line out", code=f"none-here:own {topic}")
        return escape(tr(own.cited))

    def caution(self, name: str) -> str:
        """A standard caution from ``cautions.yml``."""
        if name not in self.content.cautions:
            raise NumberProblem(f"no caution is called '{name}'", "add it to cautions.yml")
        return f'\n\n<div class="sw-caution" role="note" data-word="{tr("Caution.")}">{escape(self.content.cautions[name].text)}</div>\n\n'

    def words(self, text: object) -> str:
        """A line of the front matter, with its template calls carried out; a bare figure is a text too."""
        return render_line(self, text if isinstance(text, str) else str(text))

    def lines(self, texts: Iterable[str]) -> list[str]:
        """Lines of the front matter, but for those that rest on a blank column."""
        made, before = [], ""
        for text in texts:
            made.append(self.unless_lacking(partial(self.words, text), partial(self.instead, before)))
            before = str(text)
        return [line for line in made if line is not None]

    def instead(self, before: str, topic: str) -> str | None:
        """The words for sites without a topic, where they stand right before what lacks a figure of it."""
        words = without(before, topic)
        return None if words is None else self.unless_lacking(partial(self.words, words))

    def unless_lacking(self, made: Callable[[], T], instead: Callable[[str], T | None] = lambda _: None) -> T | None:
        """What is made; None where it rests on a blank column, which is noted. Where a rule gives no figure, ``instead`` of its topic."""
        before = self.mark()
        try:
            return made()
        except (Lacking, NoneHere) as e:
            self.lacks(e)
            self.forget(before)
            return instead(e.topic) if isinstance(e, NoFigure) else None

    def lacks(self, what: Lacking | NoneHere) -> None:
        """Notes a blank column that something rested on, once for all machines. Of a truck on a site without, the page says nothing."""
        if isinstance(what, NoFigure):
            for row in what.rows:
                self.no_figure.setdefault(what.topic, {})[row] = None
        elif isinstance(what, NoneHere):
            self.shows_none_here = True
        elif all((w.table, w.column) != (what.table, what.column) for w in self.lacking):
            self.lacking.append(what)

    def mark(self) -> tuple[int, dict[str, str] | None]:
        """How much is in the ledger, and which pieces are noted."""
        return len(self.ledger.entries), None if self.noted is None else dict(self.noted)

    def forget(self, mark: tuple[int, dict[str, str] | None]) -> None:
        """Goes back to that: what was left out is entered nowhere."""
        del self.ledger.entries[mark[0] :]
        if self.noted is not None and mark[1] is not None:
            self.noted.clear()
            self.noted.update(mark[1])

    def what_it_lacks(self) -> str:
        """A note of the blank columns for which something of this lesson was left out; nothing where there are none."""
        return self._blank_columns() + "".join(
            '<p class="sw-note sw-lacks">'
            + tr("Left out, as the rule has no figure for it: {figures}. Ask the competent person. ({rule})",
                 figures="; ".join(escape(tr(row)) for row in rows), rule=escape(tr(self.site_model.rules.own[topic].title))) + "</p>"
            for topic, rows in self.no_figure.items()
        )  # fmt: skip

    def _blank_columns(self) -> str:
        if not self.lacking:
            return ""
        told = []
        for what in self.lacking:
            figure = tr(what.column.rpartition(": ")[2].replace("_", " "))
            told.append(safe(tr("{figure} of the {machine}", figure=figure, machine=what.row) if what.row != what.table else figure))
        note = tr("Left out, as this site has not given the figures yet: {figures}. Ask your mentor.", figures="; ".join(told))
        return f'<p class="sw-note sw-lacks">{note}</p>'

    def why(self) -> str:
        """Why it matters."""
        return " ".join(self.lines(self.lesson.why))

    def watch(self) -> str:
        """What to watch for, and when to stop work."""
        html = bullets(self.lines(self.lesson.watch))
        stop = self.lesson.stop_work
        if stop:
            html += '<div class="sw-stop"><p><b>' + tr("Stop work when") + "</b></p>" + bullets(self.lines(stop)) + "</div>"
        return f"\n\n<div>{html}</div>\n\n"

    def exercise(self) -> str:
        """The field exercise, from ``exercise:`` in the front matter."""
        spec = self.lesson.exercise
        if spec is None:
            raise NumberProblem("the lesson has no exercise", "add 'exercise:' to the front matter")
        shown = (self.unless_lacking(lambda: self.drawing(str(spec.drawing))) or "") if spec.drawing else ""
        parts = [f"<h4>{tr(head)}</h4>{bullets(made, kind)}" for head, lines, kind in parts_of(spec) if (made := self.lines(lines))]
        parts.insert(1, shown.strip("\n"))  # below what is set out
        standard = "".join(f'<p class="sw-standard"><b>{tr(GOOD_ENOUGH)}</b> {s}</p>' for s in self.lines([spec.standard]))
        sheet = f'<a data-sheet href="../sheets/{self.lesson.id}.html">'
        note = tr("The back of the {link}tailgate sheet{end} has it with a table to write in.", link=sheet, end="</a>")
        return (
            f'\n\n<section class="sw-exercise" aria-labelledby="{EXERCISE_ID}"><h3 id="{EXERCISE_ID}">{tr(EXERCISE_HEAD)}</h3>{"".join(parts)}{standard}'
            f'<p class="sw-note">{note}</p></section>\n\n'
        )

    def show(self) -> str:
        """What a mentor must see the operator do, and what those show who work beside the machine."""
        lines = self.lines(self.lesson.show)
        if self.lesson.exercise:
            link = f'<a href="#{EXERCISE_ID}">'
            lines.append(tr("Does the {link}field exercise{end} to its standard.", link=link, end="</a>"))
        beside = self.lines(self.lesson.show_beside)
        more = f"<p><b>{tr('Who works beside the machine and does not run it')}</b></p>{bullets(beside)}" if beside else ""
        return f"\n\n<div>{bullets(lines)}{more}</div>\n\n"

    @property
    def names(self) -> dict[str, Named]:
        """``machine``, ``truck``, ``material`` for templates."""
        out = {}
        for key in ("machine", "truck", "material"):
            row: Row | None = getattr(self.context, key)
            if row is not None:
                out[key] = Named(safe(row.id), safe(row.name), safe(tr(row.kind)))
        return out

    def name_of(self, row: str, part: str) -> str:
        """``{{ machine.name }}``: a word of one of :attr:`names`."""
        return self._piece(f"{row}.{part}", row in ROWS, lambda: str(getattr(self.names[row], part)), "span")


def parts_of(exercise: Exercise) -> tuple[tuple[str, tuple[Text, ...], str], ...]:
    """The parts of a field exercise: its heading, its lines, and the kind of list they make."""
    return (
        (mark("Set out"), exercise.set_out, "ul"), (mark("Do"), exercise.do, "ol"), (mark("Measure"), exercise.measure, "ul"),
        (mark("What to expect here"), exercise.expect, "ul"), (mark("If it is off"), exercise.if_off, "ul"),
    )  # fmt: skip


def in_words(text: str) -> list[str]:
    """The references a text holds: figures and names of a machine or truck, and the numbers it calls."""
    return [m[1] or m[0] for m in _IN_WORDS.finditer(text)]


def references(spec: DrawingSpec, says: str = "") -> list[str]:
    """What a drawing rests on: what it is given, and what its caption and the words beside it name."""
    return [*spec.references, *in_words(spec.caption or ""), *in_words(says)]


def limits_set_by(site: JobSite) -> str:
    """Who set the site's limits, and when, as a sentence of HTML."""
    limits = site.settings.limits
    return set_by(str(limits["decided_by"]), str(limits["decided_on"]))


def set_by(by: str, on: str) -> str:
    """Who set a limit, and when, as a sentence of HTML."""
    return tr("Set by {person}, {day}.", person=escape(by), day=escape(on))


def _site_limit(meaning: str, by: str) -> str:
    """What a limit of the site is, and who set it, as HTML."""
    return tr("This site's limit: {limit}. {set_by} It is not worked out.", limit=escape(meaning), set_by=by)


def slug(heading: str) -> str:
    """A column heading as one word: ``Push distance`` is ``push_distance``."""
    return "_".join("".join(ch if ch.isalnum() else " " for ch in heading.lower()).split())


def place_words(place: str, ctx: Context) -> str:
    """Where on the page, with the rows it is about."""
    ids = [i for i in ctx.key if i]
    return f"{place}: {' '.join(ids)}" if ids else place


def rows_about(about: str, site: JobSite, needs: str = "") -> list[Row]:
    """The rows a lesson about this kind of machine has in its table; with ``needs`` only those that have that.

    A lesson that needs a haul truck has none on a site without.
    """
    if needs == TRUCK_BESIDE:
        return _rows_of(about, site) if site.trucks else []
    return [row for row in _rows_of(about, site) if not needs or _widens(row)]


def _widens(row: Row) -> bool:
    """Whether the tracks of a machine widen; those of one that has no gauges but the one it works with do not."""
    if not {"gauge_narrow", "gauge_wide"} <= set(row.values):
        return False
    return row.get("gauge_wide").si > row.get("gauge_narrow").si


def _rows_of(about: str, site: JobSite) -> list[Row]:
    if about == "truck":
        return list(site.trucks)
    if about == "material":
        return list(site.materials)
    if about == "any":
        return list(site.machines)
    return list(site.machines_for(about))


def drawer_for(lesson: Lesson, drawer: Drawer) -> Drawer:
    """The drawer of a lesson's questions: one that asks of no machine the lesson leaves out."""
    if lesson.needs != WIDENS:
        return drawer
    machines = tuple(m for m in drawer.site.machines if m.kind != lesson.about or _widens(m))
    return replace(drawer, site=replace(drawer.site, machines=machines))


def with_row(ctx: Context, about: str, row: Row) -> Context:
    """The context with one row put in its slot."""
    if about == "truck":
        return Context(ctx.machine, row, ctx.material)
    if about == "material":
        return Context(ctx.machine, ctx.truck, row)
    return Context(row, ctx.truck, ctx.material)


def wanted_columns(lesson: Lesson) -> frozenset[str]:
    """The columns, such as ``machine.eye_height``, without which some number of the lesson cannot be worked."""
    alone = (refs[0] for spec in lesson.numbers.values() for refs in spec.inputs.values() if len(refs) == 1)
    return frozenset(ref for ref in alone if ref.partition(".")[0] in ROWS)


def lead_for(about: str, site: JobSite, lead: Context, needs: str = "", lesson: str = "", wanted: frozenset[str] = frozenset()) -> Context:
    """The rows of a lesson's worked example: the one it is given under ``lead: lessons:``, those under ``lead:``, the first that fits.

    One of which a ``wanted`` column is blank gives way to the first that has more of them.
    """
    found = _lead_for(about, site, lead, needs, lesson)
    own = site.settings.lesson_lead.get(lesson)

    def fuller(row: Row | None, rows: Sequence[Row], head: str) -> Row | None:
        columns = [ref.partition(".")[2] for ref in wanted if ref.startswith(f"{head}.")]
        if row is None or row.id == own or not columns:
            return row
        return max((row, *rows), key=lambda r: sum(c == "kind" or c in r.values for c in columns))

    machines = [] if about == "truck" else rows_about(about, site, needs)
    return Context(fuller(found.machine, machines, "machine"), fuller(found.truck, site.trucks, "truck"), found.material)


def _lead_for(about: str, site: JobSite, lead: Context, needs: str, lesson: str) -> Context:
    own = site.settings.lesson_lead.get(lesson)
    if own is not None:
        row = next((r for r in (*rows_about(about, site, needs), *site.trucks) if r.id == own), None)
        if row is not None and row.kind == "truck":
            lead = Context(lead.machine, row, lead.material)
        elif row is not None:
            return Context(row, lead.truck, lead.material)
    if about in {"truck", "any"}:
        return lead
    rows = rows_about(about, site, needs)
    chosen = site.settings.lead.get(rows[0].kind if rows else about)
    machine = next((m for m in rows if m.id == chosen), rows[0] if rows else None)
    return Context(machine, lead.truck, lead.material)


def site_lead(site: JobSite) -> Context:
    """The site's lead truck and material (and its first machine)."""

    def pick(rows: Sequence[Row], key: str) -> Row | None:
        chosen = site.settings.lead.get(key)
        return next((r for r in rows if r.id == chosen), rows[0] if rows else None)

    return Context(
        site.machines[0] if site.machines else None,
        pick(site.trucks, "truck"),
        pick(site.materials, "material"),
    )
