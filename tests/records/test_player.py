"""Marking again agrees with the player in the page, answer by answer, in a real browser."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from generator.jobsite.reader import read
from generator.records.answers import KEYS, NotAFigure, figure_for, read_typed
from generator.records.demo_class import an_answer, count_of, result_file, slip_code
from generator.records.desk import tally
from generator.records.editions import LessonMarking, load_editions
from generator.records.flags import Refused
from generator.records.mark import mark, mark_answer
from generator.records.results import Given, canonical, check_of, read_file, read_slip
from generator.records.short import read_short, resolve, same_try, short_of, told
from generator.units.table import UNITS

FORMATS = json.loads((Path(__file__).parents[1] / "player" / "number_formats.json").read_text("utf-8"))
GRADE = """cases => {
  const quiz = document.querySelector('seatwork-quiz');
  return cases.map(item => {
    try { return quiz.grade(item).right; } catch (e) { return null; }
  });
}"""
READ = """texts => {
  const { readNumber } = customElements.get('seatwork-quiz');
  return texts.map(text => {
    const r = readNumber(text);
    return r.parts ? [r.parts.map(p => [p.value, p.plain, p.unit]), r.sign, Boolean(r.capitalT)] : null;
  });
}"""


def page_of(browser: Any, demo: Path, lesson: str) -> Any:
    page = browser.new_page()
    page.set_default_timeout(60_000)
    page.goto((demo / "out/web/lessons" / f"{lesson}.html").as_uri())
    page.wait_for_selector("seatwork-quiz.sq-on")
    return page


@pytest.fixture(scope="module")
def lessons(demo: Path) -> dict[str, LessonMarking]:
    return {m.id: m for m in load_editions(demo).lessons(read(demo).settings.edition)}


@pytest.fixture(scope="module")
def bench(browser: Any, demo: Path) -> Iterator[Any]:
    """A lesson's page whose quiz runs."""
    page = page_of(browser, demo, "bench-height")
    yield page
    page.close()


def test_units_are_the_players(bench: Any) -> None:
    assert bench.evaluate("customElements.get('seatwork-quiz').UNITS") == list(KEYS)


def fragments() -> list[str]:
    spellings = [*UNITS, *(o for u in UNITS.values() for o in u.spelled.split("|") if o)]
    return [
        *spellings, *map(str.upper, spellings), "0", "1", "5", "7", "12", "14", "60", "100", "234", "1234", "000", ".", ",", " ", "  ", "-", "–", "−", "+",
        "/", "⁄", "½", "⅞", ":", " to ", "to", "'", "\"", "′", "″", "²", "³", "^2", "^3", "·", "×", "*", "sq ", "cu. ", "cubic ", "square", "loose ",
        " bank", "compacted ", " per ", " a ", " an ", "T", "about", "\u00a0", "\u2009", "\ufeff", "\t", "é", "ſ", "K", "İ", "𝟝", "٣", "e5", "x",
    ]  # fmt: skip


def typed() -> list[str]:
    """Typed answers, sound and odd, the same on every run."""
    out = [row[0] for kind in ("reads", "compound", "two_ways", "unreadable") for row in FORMATS[kind]]
    rng, some = random.Random("typed answers"), fragments()
    for _ in range(4000):
        out.append("".join(rng.choice(some) for _ in range(rng.randint(1, 5))))
    for _ in range(4000):
        number = rng.choice(["5", "5.5", "5,5", "1,234", "1 234.5", "5 1/2", "7½", ".5", "12"])
        out.append(number + rng.choice(["", " "]) + rng.choice(some) + rng.choice(["", " ", "6", " 6 in", " 30", "/h", " per h", " 1/2"]))
    return out


def test_every_typed_answer_is_read_as_the_player_reads_it(bench: Any) -> None:
    texts = typed()
    for text, theirs in zip(texts, bench.evaluate(READ, texts), strict=True):
        try:
            t = read_typed(text)
            ours: Any = [[[p.value, p.plain, p.unit] for p in t.parts], t.sign, t.capital_t]
        except NotAFigure:
            ours = None
        assert ours == theirs, repr(text)


def test_a_comma_is_read_as_the_page_prints_it() -> None:
    accept = {key: [0, 1] for key in ("lb", "kg", "ft", "m")}
    for text, unit, comma, value, found in FORMATS["as_printed"]:
        answer = {"unit": unit, "accept": accept, "comma": comma}
        if value is None:
            with pytest.raises(NotAFigure):
                figure_for(text, answer)
        else:
            got = figure_for(text, answer)
            assert (got.value, got.unit) == (value, found), text


def answers_to(q: dict[str, Any], variant: int, units: Any, rng: random.Random) -> list[Any]:
    """Answers to one variant: right, wrong, at the edges, and impossible."""
    v = q["variants"][variant][units]
    out: list[Any] = [an_answer(q, variant, units, rng, right=r) for r in (True, False)]
    if q["kind"] != "number":
        count = q["count"]
        picked = rng.sample(range(count), rng.randint(1, count))
        return [*out, sorted(picked) if q["kind"] == "several" else picked[:1] if q["kind"] != "order" else rng.sample(range(count), count)]
    for unit, (low, high) in v["accept"].items():
        name = "times" if unit == "1" else unit
        for figure in (low, high, (low + high) / 2, low * (1 - 1e-6), high * (1 + 1e-6), low * 0.9, high * 1.1):
            out.append(f"{figure:.12f} {name}")
    for _, accept in v["mistakes"]:
        out.append(f"{sum(accept[v['unit']]) / 2:.6f}")
    return [
        *out,
        "about 5",
        "",
        "1,234",
        "12,500 lb",
        "1,234 kg",
        f"{round(sum(v['accept'][v['unit']]) / 2):,}",
        "12 parsecs",
        "20 T",
        "-1",
        "5 ft 6 in",
    ]


def test_every_kind_is_marked_as_the_player_marks_it(browser: Any, demo: Path, lessons: dict[str, LessonMarking]) -> None:
    rng, wanted = random.Random("marking"), {"number", "one", "several", "order", "point"}
    kinds: set[str] = set()
    for id_ in sorted(lessons):
        if kinds >= wanted and id_ > sorted(lessons)[2]:
            break  # all kinds seen, in a few lessons: what each question holds is tested elsewhere
        cases, ours = [], []
        for q in lessons[id_].questions:
            kinds.add(q["kind"])
            for variant in rng.sample(range(len(q["variants"])), 8):
                for units in ("us", "metric"):
                    for answer in answers_to(dict(q), variant, units, rng):
                        cases.append({"q": q["id"], "variant": variant, "units": units, "answer": answer})
                        given = Given(q["id"], None, variant, units, answer if isinstance(answer, str) else tuple(answer))
                        try:
                            # the player never takes an empty answer: it asks again
                            ours.append(None if answer == "" else mark_answer(given, q).right)
                        except Refused:
                            ours.append(None)
        page = page_of(browser, demo, id_)
        theirs = page.evaluate(GRADE, cases)
        page.close()
        for case, a, b in zip(cases, ours, theirs, strict=True):
            assert a == b, case
        assert True in ours and False in ours
    assert kinds == wanted


def test_a_try_on_the_real_page_is_handed_in_and_marked_alike(
    bench: Any, demo: Path, lessons: dict[str, LessonMarking], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lesson = lessons["bench-height"]
    bench.evaluate("() => { const quiz = document.querySelector('seatwork-quiz'); quiz.enter('P-04'); }")
    rng = random.Random("real page")
    plan: dict[str, bool] = {}
    drawn = bench.evaluate("() => document.querySelector('seatwork-quiz').run().set")
    asked = lesson.asked(drawn)
    assert len(asked) == count_of(lesson) == 8 < len(lesson.questions)  # the lesson has more than a try asks
    for i, q in enumerate(asked):
        item = bench.evaluate("i => { const quiz = document.querySelector('seatwork-quiz'); return quiz.run().items[i]; }", i)
        assert item["q"] == q["id"]
        plan[q["id"]] = i != 1
        answer = an_answer(q, item["variant"], "us", rng, right=plan[q["id"]])
        bench.evaluate(
            """([kind, answer]) => {
              const set = [...document.querySelectorAll('fieldset.sq')].find(f => f.checkVisibility());
              if (kind === 'number') set.querySelector('input').value = answer;
              else if (kind === 'order') for (const i of answer) set.querySelector('.sq-order').append(set.querySelector(`[data-item="${i}"]`));
              else {
                const inputs = [...set.querySelectorAll('input')];
                const quiz = document.querySelector('seatwork-quiz'), q = quiz.questionAt();
                for (const i of answer) (kind === 'point' ? inputs.find(x => x.value === q.spots[i]) : inputs.find(x => x.value === String(i))).checked = true;
              }
              document.querySelector('seatwork-quiz').answer();
              document.querySelector('seatwork-quiz .sq-next').click();
            }""",
            [q["kind"], answer],
        )
    done = bench.evaluate("() => { const quiz = document.querySelector('seatwork-quiz'); return quiz.resultOf(quiz.state); }")
    (tmp_path / "a.json").write_text(json.dumps(done["file"], indent=1), "utf-8")
    (tmp_path / "b.csv").write_text(f"code\n{done['code']}\n", "utf-8")
    site = read(demo)
    monkeypatch.setattr("generator.records.judge.FASTEST", float("inf"))  # a program answers faster than anyone reads
    found = tally(site, [tmp_path], datetime.now(UTC) + timedelta(hours=1))
    assert [f.name for f in found.flags] == ["duplicate"]  # the slip says the same as the file
    m = found.marked[0]
    assert (m.right, m.of, m.passed) == (done["right"], done["of"], done["passed"])
    assert {a.q: a.right for a in m.answers} == plan
    slip = mark(read_slip(done["code"], "slip"), lesson)
    assert [a.right for a in slip.answers] == [a.right for a in m.answers] and done["file"]["figures"] == lesson.figures
    # what this program writes for the demo is what the player writes
    assert slip_code(done["file"], lesson) == done["code"]
    short = short_of(m)
    assert short is not None and done["short"] == short.letters and same_try(read_short(done["short"], "x"), slip)
    told_ = told(short, *resolve(short, [p.id for p in site.crew], found.editions.by_figures.values()))
    assert (told_.result.crew, told_.lesson, told_.right, told_.of, told_.passed) == (m.result.crew, lesson, m.right, m.of, m.passed)


def test_check_and_slip_are_the_players(bench: Any, lessons: dict[str, LessonMarking]) -> None:
    lesson = lessons["bench-height"]
    for n in range(20):
        rng = random.Random(f"slip {n}")
        rights = [rng.random() < 0.6 for _ in range(count_of(lesson))]
        start = datetime(2026, 3, 1, 7, n, tzinfo=UTC)
        file = result_file(lesson, "juniper-bench", "P-04", start, rng, rights, "metric" if n % 2 else "us")
        file |= {"site": 'Zürich "q" \\ \u2028 😀 \x7f'}
        file |= {"check": check_of(file)}
        theirs = bench.evaluate(
            """file => {
              const quiz = document.querySelector('seatwork-quiz'), { canonical, slipCode, shortCode } = customElements.get('seatwork-quiz');
              const asked = quiz.askedIn(file.set), items = file.answers.map(a => ({ ...a, answer: a.answer }));
              const missed = asked.filter((q, i) => !quiz.grade(items[i]).right);
              const score = { right: asked.length - missed.length, of: asked.length, must: missed.filter(q => q.must) };
              return [canonical(file), slipCode(file, asked), shortCode(file, asked, score)];
            }""",
            file,
        )
        short = short_of(mark(read_file(file, "x"), lesson))
        assert short is not None
        assert theirs == [canonical(file), slip_code(file, lesson), short.letters]
        assert [a.right for a in mark(read_slip(theirs[1], "x"), lesson).answers] == rights
        assert read_file(file, "x").crew == "P-04"
