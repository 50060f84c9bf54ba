"""Broken lessons and questions of a site's own: a good one with one edit each.

What must be said of each, to the letter, stands in ``said.txt``: the wording is the program's own
interface. ``READ`` are found when the files are read, ``WORKED`` when the pages are made.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tests.book.places import EXERCISE, LESSON, QUESTIONS, added


@dataclass(frozen=True)
class Broken:
    """One edit of the good lesson or of its questions: ``old`` becomes ``new``."""

    id: str
    old: str
    new: str
    questions: bool = False

    def put(self, site: Path) -> None:
        """Add the broken lesson to a site."""
        good = QUESTIONS if self.questions else LESSON
        assert good.count(self.old) >= 1, f"{self.old!r} is not there"
        bad = good.replace(self.old, self.new, 1)
        added(site, self.id, *((LESSON, bad) if self.questions else (bad, QUESTIONS)))


def q(id: str, old: str, new: str) -> Broken:
    """Broken questions."""
    return Broken(id, old, new, questions=True)


B = Broken

READ = [
    # --- calls ---
    B("call-misspelt", "{{ why() }}", "{{ wyh() }}"),
    B("call-unknown", "{{ why() }}", "{{ everything() }}"),
    B("call-unclosed", "{{ why() }}", "{{ why( }}"),
    B("call-no-brackets", "{{ why() }}", "{{ why }}"),
    B("call-no-word", "{{ n('bench') }} high", "{{ n() }} high"),
    B("call-number-in-it", "{{ n('bench') }} high", "{{ n(3) }} high"),
    B("number-misspelt", "{{ n('bench') }} high", "{{ n('bnech') }} high"),
    B("working-misspelt", "working('bench')", "working('bensh')"),
    B("column-misspelt", "{{ n('bench') }} high", "{{ n('machine.stik_length') }} high"),
    B("head-misspelt", "{{ n('bench') }} high", "{{ n('machin.stick_length') }} high"),
    B("job-misspelt", "{{ n('bench') }} high", "{{ n('job.slot_lenght') }} high"),
    B("table-misspelt", "{{ n('bench') }} high", "{{ n('table.soil-densites.sand.bank') }} high"),
    B("term-misspelt", "term('crest')", "term('crets')"),
    B("caution-misspelt", "caution('edge')", "caution('egde')"),
    B("drawing-missing", "{{ table() }}", "{{ drawing('plan') }}"),
    B("panel-missing", "{{ table() }}", "{{ panel() }}"),
    B("row-misspelt", "{{ machine.name }}", "{{ machne.name }}"),
    B("row-figure", "{{ machine.name }}", "{{ machine.stick_length }}"),
    B("loop", "{{ why() }}", "{% for i in n %}x{% endfor %}"),
    B("several", "{{ why() }}\n\n## Do it\n", "{{ wyh() }} {{ n('bnech') }}\n\n## Do it\n\n{{ caution('egde') }}\n"),
    # --- front matter ---
    B("front-missing", "---\ntitle", "title"),
    B("front-yaml", "summary: Shut", "summary: [Shut"),
    B("front-twice", "minutes: 3\n", "minutes: 3\nminutes: 4\n"),
    B("front-unknown", "watch:\n", "wacht:\n"),
    B("front-no-sheet", '  ask:\n    - ask: "Who shuts the gate?"\n      answer: "Whoever came through it."\n', ""),
    B("front-about", "about: excavator", "about: excavater"),
    B("front-minutes", "minutes: 3", "minutes: three"),
    B("front-colon", "  - A gate left open lets people walk in.", "  - A gate left open: people walk in."),
    B("front-columns", "  columns:\n    Bench height: bench\n", "  columns: bench\n"),
    B("front-scene-block", "  scene: loading.bench_loading\n", ""),
    # --- a field exercise: the good one with one edit, and where the body calls it ---
    B("exercise-lacks", "sheet:\n", EXERCISE.replace("  if_off: [Go back and shut it.]\n", "") + "sheet:\n"),
    B("exercise-misspelt", "sheet:\n", EXERCISE.replace("if_off", "if_of") + "sheet:\n"),
    B("exercise-list", "sheet:\n", EXERCISE.replace("[Two flags at the gate.]", "Two flags at the gate.") + "sheet:\n"),
    B(
        "exercise-standard",
        "sheet:\n",
        EXERCISE.replace("Ten times through and shut each time, three days running.", "[Ten times, Shut]") + "sheet:\n",
    ),
    B("exercise-heading", "sheet:\n", EXERCISE.replace("[Through, Shut]", "[Through, How often the gate stayed open]") + "sheet:\n"),
    B("exercise-columns", "sheet:\n", EXERCISE.replace("[Through, Shut]", "[A, B, C, D, E, F, G]") + "sheet:\n"),
    B("exercise-drawing", "sheet:\n", EXERCISE.replace("exercise:\n", "exercise:\n  drawing: [a, b]\n") + "sheet:\n"),
    B("exercise-no-block", "sheet:\n", "exercise: ten times\nsheet:\n"),
    B("exercise-not-called", "sheet:\n", EXERCISE + "sheet:\n"),
    B("exercise-missing", "{{ show() }}", "{{ exercise() }}\n\n{{ show() }}"),
    B("chapter-unknown", "chapter: ground", "chapter: gruond"),
    B("calculation-misspelt", "loading.bench_height\n", "loading.bench_hight\n"),
    B("input-misspelt", "    stick_length: machine", "    stick_lenght: machine"),
    B("figure-typed", "    stick_length: machine.stick_length\ntable", "    stick_length: 10 ft\ntable"),
    B("scene-misspelt", "loading.bench_loading", "loading.bench_loadign"),
    B("scene-topic", "loading.bench_loading", "loadin.bench_loading"),
    B("scene-inside", "loading.bench_loading", "loading.Canvas"),
    B("scene-argument", "    bench_height: bench\n  caption", "    bench_hight: bench\n  caption"),
    B("circle", "    stick_length: machine.stick_length\ntable", "    stick_length: bench\ntable"),
    B("ref-misspelt", "Bench height: bench", "Bench height: bensch"),
    B("sum-misspelt", "  sum: bench", "  sum: bnch"),
    B("heading-twice", "## Watch for", "## Do it"),
    B("quiz-missing", "{{ quiz() }}\n", ""),
    # --- questions ---
    q("q-none", QUESTIONS, "# later\n"),
    q("q-yaml", "  kind: one", "  kind: {one"),
    q("q-kind", "kind: one", "kind: won"),
    q("q-key", "  ask: Who", "  aks: Who"),
    q("q-blank", "The stick is {stick}", "The stick is {stik}"),
    q("q-mistake", "half-of-it", "half-of-them"),
    q("q-mistake-name", "right / 2", "rihgt / 2"),
    q("q-expression", "right / 2", "right // 2"),
    q("q-range", "us: [6 ft, 18 ft, 0.25 ft], ", ""),
    q("q-unit", "6 ft, 18", "6 feets, 18"),
    q("q-answer", "answer: bench", "answer: bensh"),
    q("q-within", "  answer: bench", "  within: much\n  answer: bench"),
    q("q-limit", "  answer: bench", "  limit: some\n  answer: bench"),
    q("q-choice-silent", "{text: Nobody., says: Somebody must.}", "{text: Nobody.}"),
    q("q-choice-cut", "says: Somebody must.", "says: Somebody must, and soon."),
    q("q-choice-key", "says: Somebody must.", "sais: Somebody must."),
    q("q-choices", "  choices:\n", "  choices: none\n  items:\n"),
    q("q-twice", "id: gate-2", "id: gate-1"),
    q("q-id", "id: gate-2", "id: ../gate"),
]

WORKED = [
    B("w-count", "    bench_height: bench\n  caption", "    bench_height: 1000000000\n  caption"),
    B("w-result", "Bench height: bench", "Bench height: bench.depth"),
    B("w-no-truck-row", "{{ n('bench') }} high", "{{ n('machine.blade_width') }} high"),
    B("w-link", "1. Look both ways.", "1. Read [this](yard-rules.md)."),
    q("w-mistake-zero", "right / 2", "right / (right - right)"),
    q("w-mistake-power", "right / 2", "right ** 99999"),
]


def expected() -> dict[str, tuple[str, ...]]:
    """The lines of every broken lesson by its id, from ``said.txt``."""
    found: dict[str, tuple[str, ...]] = {}
    for block in Path(__file__).with_name("said.txt").read_text("utf-8").split("## ")[1:]:
        id_, *lines = block.rstrip().split("\n")
        assert id_ not in found, f"{id_} stands twice"
        found[id_] = tuple(lines)
    return found
