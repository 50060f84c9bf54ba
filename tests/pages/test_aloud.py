"""Lessons and quizzes read aloud, in a browser from disk, with a stand-in for its voices."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.language.words import Catalogue, using
from generator.publish import audio, reading
from generator.publish.edition_folder import folder_of
from generator.speech.units import WORDS as SPOKEN
from generator.units.table import SYSTEMS, System
from tests.conftest import ROOT
from tests.speech.test_ledger import WORDS, figure_of
from tests.speech.test_say import heard_as

FAKE = (ROOT / "tests" / "speech" / "fake_speech.js").read_text("utf-8")
ENGLISH = [{"name": "Test", "lang": "en-US", "localService": True}]
SPANISH = [{"name": "Prueba", "lang": "es-MX", "localService": True}]
PLACES = {"en": "", "es": "es/"}  # of the demo's languages, below its web folder
BOTH = pytest.mark.parametrize("language", PLACES)
MARKED = "() => [...(CSS.highlights.get('sw-aloud') || [])].map(r => r.toString()).join('')"
SAID = "() => said.map(u => u.text)"
LESSON = "bench-height"


class Heard:
    """One open page, and what it says."""

    def __init__(self, page: Any) -> None:
        self.page = page

    @property
    def said(self) -> list[str]:
        return list(self.page.evaluate(SAID))

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def ends(self, times: int = 1) -> None:
        """The voice comes to the end of so many texts."""
        for _ in range(times):
            self.page.evaluate("finish()")

    @property
    def listen(self) -> Any:
        return self.page.get_by_role("button", name="Listen", exact=True)


@pytest.fixture
def opened(browser: Any, demo: Path) -> Iterator[Any]:
    contexts = []

    def at(name: str = f"lessons/{LESSON}.html", voices: list[dict[str, Any]] | None = None, **how: Any) -> Heard:
        context = browser.new_context(**{"viewport": {"width": 360, "height": 740}, "reduced_motion": "reduce"} | how)
        context.set_default_timeout(10_000)
        contexts.append(context)
        context.add_init_script(FAKE)
        page = context.new_page()
        page.on("pageerror", lambda e: pytest.fail(str(e)))
        page.goto((demo / "out" / "web" / name.partition("?")[0]).as_uri() + name[len(name.partition("?")[0]) :])
        page.evaluate("found => arrive(found)", ENGLISH if voices is None else voices)
        return Heard(page)

    yield at
    for context in contexts:
        context.close()


def lessons(demo: Path, language: str = "en") -> list[Path]:
    return sorted((demo / "out" / "web" / f"{PLACES[language]}lessons").glob("*.html"))


def sentences(page: str, language: str, system: System) -> list[str]:
    with using(WORDS[language]):
        return reading.sentences(page, system)


# --- what is read ---

# what may stand in a text that a voice is given, beside letters and punctuation: names of rows, citations, and 911
_NAMED = re.compile(
    r"\b[A-Z]{1,3}-\d+\b|\bchannel \d+\b|\bChannel \d+\b|\b[Cc]anal \d+\b|\b9 1 1\b|(?:\d ?)+, C [FC] R(?:, (?:[A-Za-z0-9] ?)+)*"
)
_PLAIN = re.compile(r"[^\W\d_]|[\s.,;:!?¿¡'’\"“”«»()\-–—]")


# words of English that Spanish has not
_ENGLISH = re.compile(
    r"\b(?:the|of|and|is|are|was|with|for|from|to|you|your|that|this|by|not|an|it|at|feet|foot|pounds?|meters?|inch(?:es)?|yards?)\b", re.I
)


def own_words(site: Path) -> re.Pattern[str]:
    """What the site itself wrote of its limits, sentence by sentence: it is in the site's own language everywhere."""
    limits = yaml.safe_load((site / "settings.yml").read_text("utf-8"))["limits"]
    told = [*limits["ask_first"], *(v for v in limits.values() if isinstance(v, str))]
    lines = {line for text in told for line in re.split(r"(?<=\.) ", reading.speakable(text))}
    return re.compile("|".join(re.escape(line) for line in sorted(lines, key=len, reverse=True)))


@BOTH
def test_no_voice_is_given_a_symbol_or_a_figure(demo: Path, language: str) -> None:
    many = 0
    for path in lessons(demo, language):
        text = path.read_text("utf-8")
        for system in SYSTEMS:
            for said in sentences(text, language, system):
                many += 1
                assert _PLAIN.sub("", _NAMED.sub("", said)) == "", f"{path.stem}: {said}"
                assert len(said) < 320, f"{path.stem}: {said}"
                assert not re.search(r",[.,;:!?]", said), f"{path.stem}: {said}"
    assert many > 5000


def test_what_is_read_of_a_spanish_lesson_is_spanish(demo: Path) -> None:
    """No small word of English, beside what the site wrote itself; and nothing of the other unit system."""
    own = own_words(demo)
    for path in lessons(demo, "es"):
        text = path.read_text("utf-8")
        for system in SYSTEMS:
            for said in sentences(text, "es", system):
                left = own.sub("", said)
                assert not _ENGLISH.search(left), f"{path.stem}: {said}"


@BOTH
def test_every_number_in_prose_is_said_as_it_is_printed(demo: Path, language: str) -> None:
    many = 0
    for path in lessons(demo, language):
        for say, printed in re.findall(
            r'<button type="button" class="sw-num[^>]* data-say="([^"]*)">(.*?)</button>', path.read_text("utf-8")
        ):
            shown = unescape(re.sub(r"<[^>]*>", "", printed))
            found = figure_of(shown, language)
            if found is None:
                assert re.fullmatch(r"\d{4}-\d\d-\d\d", shown), shown
                continue
            many += 1
            said, _, caution = say.partition(", ")
            assert (caution != "") == ("(" in shown) and caution.rstrip(",") in shown, f"{say}: {shown}"
            heard_as(found, said, language)
    assert many > 800


@BOTH
def test_no_number_in_prose_is_without_words(demo: Path, language: str) -> None:
    for path in lessons(demo, language):
        body = re.sub(r"<table.*?</table>", "", path.read_text("utf-8"), flags=re.DOTALL)
        for printed in re.findall(r'<button type="button" class="sw-num[^>]*popovertarget="[^"]*">(.*?)</button>', body):
            assert figure_of(unescape(re.sub(r"<[^>]*>", "", printed)), language) is None, f"{path.stem}: {printed}"


@BOTH
def test_a_browser_reads_what_a_recording_says(demo: Path, opened: Any, language: str) -> None:
    """The script and the program agree on every sentence of every lesson, in both unit systems."""
    at = opened()
    for path in lessons(demo, language):
        text = path.read_text("utf-8")
        for system in SYSTEMS:
            at.page.goto(f"{path.as_uri()}?units={system}")
            read = at.page.evaluate("() => seatworkAloud.sentences(document.querySelector('article')).map(s => s.text)")
            assert read == sentences(text, language, system), path.stem


def test_the_voices_are_those_of_the_languages_with_words_for_numbers(opened: Any) -> None:
    """The script has an order of voices for each language in which the program makes words of figures, and for no other."""
    words = opened().page.evaluate("() => seatworkAloud.VOICES")
    assert words.keys() == SPOKEN.keys() == audio.VOICES.keys()
    for its, order in words.items():
        assert all(re.fullmatch(rf"{its}(-[a-z0-9]+)?", voice) for voice in order) and audio.VOICES[its] in order


# --- the player ---


def test_it_reads_sentence_by_sentence_and_marks_each(opened: Any, demo: Path) -> None:
    at = opened()
    at.listen.click()
    want = sentences((demo / f"out/web/lessons/{LESSON}.html").read_text("utf-8"), "en", "us")
    for i in range(12):
        assert at.said == want[: i + 1]
        marked = at.page.evaluate(MARKED)
        if not re.search(r"ten feet|fifteen|picture|thirty", want[i]):
            assert re.sub(r"\s+", " ", marked).strip() == want[i]
        box = at.page.evaluate("() => { const b = document.querySelector('.sw-heard').getBoundingClientRect(); return [b.top, b.bottom]; }")
        assert box[0] < 740 * 0.7 and box[1] > 0, want[i]
        at.ends()
    assert at.page.locator(".sw-heard").count() == 1


def test_it_goes_through_to_the_end(opened: Any, demo: Path) -> None:
    at = opened()
    at.listen.click()
    want = sentences((demo / f"out/web/lessons/{LESSON}.html").read_text("utf-8"), "en", "us")
    at.ends(len(want))
    assert at.said == want
    assert at.page.locator(".sw-aloud").is_hidden()
    assert at.page.locator(".sw-heard").count() == 0 and at.page.evaluate(MARKED) == ""


def test_pause_back_next_and_stop(opened: Any) -> None:
    at = opened()
    at.listen.click()
    at.ends(3)
    third = at.said[-1]
    at.press("Pause")
    assert at.page.evaluate("speechSynthesis.speaking") is False
    at.page.wait_for_timeout(50)  # the cancelled text tells so late, and moves nothing
    assert at.said[-1] == third and len(at.said) == 4
    at.press("Go on")
    assert at.said[-2:] == [third, third]  # begun again, as a browser may not go on where it was
    at.press("Go back")
    assert at.said[-1] == at.said[2]
    at.press("Forward")
    at.press("Forward")
    assert at.said[-1] not in at.said[:4]
    at.press("Stop now")
    before = len(at.said)
    assert at.page.locator(".sw-aloud").is_hidden() and at.page.evaluate(MARKED) == ""
    assert at.page.evaluate("document.activeElement.textContent") == "Listen"
    at.page.wait_for_timeout(50)
    assert len(at.said) == before
    at.listen.click()
    assert at.said[-1] == at.said[0]  # from the top
    at.page.keyboard.press("Escape")
    assert at.page.locator(".sw-aloud").is_hidden()


def test_its_speed_is_kept_and_heard_at_once(opened: Any) -> None:
    at = opened()
    at.listen.click()
    at.ends(2)
    at.page.get_by_label("Speed").select_option(label="Slow")
    assert at.said[-1] == at.said[-2]
    assert at.page.evaluate("said.map(u => u.rate)")[-2:] == [1, 0.75]
    at.page.reload()
    at.page.evaluate("found => arrive(found)", ENGLISH)
    at.listen.click()
    assert at.page.evaluate("said[said.length - 1].rate") == 0.75


def test_there_is_no_button_without_a_voice_of_the_language(opened: Any) -> None:
    at = opened(voices=[])
    assert at.page.locator(".sw-listen").count() == 0
    at.page.evaluate("found => arrive(found)", [{"name": "Uno", "lang": "es-MX", "localService": True}])
    assert at.page.locator(".sw-listen").count() == 0 and at.page.locator(".sq-ear-on").count() == 0
    at.page.evaluate(
        "found => arrive(found)",
        [{"name": "Far", "lang": "en-GB", "localService": False}, {"name": "Near", "lang": "en_US", "localService": True}],
    )
    at.listen.click()
    assert at.page.evaluate("said[0].voice.name") == "Near"
    at.press("Stop now")
    at.page.evaluate("arrive([])")
    assert at.page.locator(".sw-listen").is_hidden()


def test_a_spanish_page_is_read_by_a_spanish_voice_and_buttons(opened: Any, demo: Path) -> None:
    far = {"name": "Lejos", "lang": "es-ES", "localService": True}
    at = opened(f"es/lessons/{LESSON}.html", [*ENGLISH, far, *SPANISH])
    at.press("Escuchar")
    want = sentences((demo / f"out/web/es/lessons/{LESSON}.html").read_text("utf-8"), "es", "us")
    at.ends(len(want) - 1)
    assert at.said == want
    assert at.page.evaluate("said[0].voice.name") == "Prueba"
    assert at.page.locator(".sw-aloud").get_attribute("aria-label") == "Lectura en voz alta"
    assert at.page.locator(".sw-aloud button").all_inner_texts() == ["Atrás", "Pausa", "Adelante", "Parar"]
    at.press("Pausa")
    at.press("Seguir")
    at.page.get_by_label("Velocidad").select_option(label="Lenta")
    at.press("Parar")
    at.page.evaluate("found => arrive(found)", [*ENGLISH, far])
    at.press("Escuchar")
    assert at.page.evaluate("said[said.length - 1].voice.name") == "Lejos"


def test_a_third_language_is_read_by_its_voices_without_figures(browser: Any, demo: Path) -> None:
    """A page as it is in a language that has strings and no number words: no ``data-say``, and no quiz by ear, as its answers would be alike."""
    context = browser.new_context()
    context.add_init_script(
        FAKE
        + "window.seatworkStrings = { texts: { Listen: 'Słuchaj', 'the figure on the page': 'liczba na stronie' }, plurals: {} };"
        + "new MutationObserver(() => { if (document.documentElement) document.documentElement.lang = 'pl'; }).observe(document, { childList: true });"
    )
    page = context.new_page()
    page.goto((demo / f"out/web/lessons/{LESSON}.html").as_uri())
    page.evaluate("() => document.querySelectorAll('[data-say]').forEach(b => b.removeAttribute('data-say'))")
    page.evaluate("found => arrive(found)", [*ENGLISH, {"name": "Głos", "lang": "pl-PL", "localService": True}])
    page.get_by_role("button", name="Słuchaj", exact=True).click()
    assert page.evaluate("said[0].voice.name") == "Głos"
    read = page.evaluate("() => seatworkAloud.sentences(document.querySelector('article')).map(s => s.text)")
    assert sum("liczba na stronie" in text for text in read) > 5
    with using(Catalogue("pl", {"the figure on the page": "liczba na stronie"})):
        assert reading.sentences(page.evaluate("document.documentElement.outerHTML"), "us") == read
    assert page.locator(".sq-ear-on").count() == 0
    context.close()


def test_a_voice_that_fails_says_so_and_waits(opened: Any) -> None:
    at = opened()
    at.listen.click()
    at.page.evaluate("finish(true)")
    assert "does not answer" in at.page.locator(".sw-aloud").inner_text()
    assert len(at.said) == 1 and at.page.get_by_role("button", name="Go on", exact=True).is_visible()


def test_a_browser_that_forgets_to_say_that_it_ended_is_not_waited_for(opened: Any) -> None:
    at = opened()
    at.page.clock.install()
    at.listen.click()
    at.page.evaluate("speechSynthesis.speaking = false")
    at.page.clock.run_for(30_000)
    assert len(at.said) > 1


def test_other_units_are_heard_from_the_next_sentence_on(opened: Any, demo: Path) -> None:
    at = opened()
    at.listen.click()
    text = (demo / f"out/web/lessons/{LESSON}.html").read_text("utf-8")
    us, metric = (sentences(text, "en", s) for s in SYSTEMS)
    place = next(i for i, s in enumerate(us) if "six feet" in s)
    at.ends(place)
    assert at.said[-1] == us[place]
    at.page.evaluate("document.querySelector('[data-set-units=metric]').click()")
    assert at.said[-1] == metric[place] and "meters" in metric[place]


def test_of_two_ways_the_one_that_is_heard_is_seen(opened: Any) -> None:
    at = opened()
    at.listen.click()
    shown = "() => document.querySelector('.sw-ways').dataset.show"
    for _ in range(30):
        if at.said[-1] in {"Wrong.", "Right."}:
            assert at.page.evaluate(shown) == at.said[-1].lower().rstrip(".")
        if at.said[-1] == "Right.":
            break
        at.ends()
    assert at.said[-1] == "Right."
    assert at.page.locator(".sw-heard").is_visible()


def test_leaving_the_page_ends_it(opened: Any) -> None:
    at = opened()
    at.listen.click()
    at.page.evaluate("window.dispatchEvent(new PageTransitionEvent('pagehide'))")
    assert at.page.evaluate("speechSynthesis.speaking") is False and at.page.locator(".sw-aloud").is_hidden()


def test_its_buttons_suit_a_thumb_and_nothing_runs_over(opened: Any) -> None:
    at = opened()
    at.listen.click()
    sizes = at.page.evaluate(
        "() => [...document.querySelectorAll('.sw-aloud button, .sw-aloud select, .sw-listen')].map(b => { const r = b.getBoundingClientRect(); return [r.width, r.height, r.left, r.right]; })"
    )
    assert len(sizes) == 6
    for width, height, left, right in sizes:
        assert width >= 44 and height >= 44 and left >= 0 and right <= 360
    assert at.page.evaluate("document.documentElement.scrollWidth") <= 360
    assert at.page.locator(".sw-aloud").get_attribute("aria-label") == "Read aloud"


# --- the quiz ---


@BOTH
def test_every_figure_of_every_variant_has_its_words(demo: Path, language: str) -> None:
    many = 0
    for path in lessons(demo, language):
        found = re.search(r'<seatwork-quiz.*?<script type="application/json">(.*?)</script>', path.read_text("utf-8"), re.DOTALL)
        assert found
        quiz = json.loads(found[1])
        script = (folder_of(demo / "out" / "web" / PLACES[language]) / "practice" / f"{quiz['lesson']}-say.js").read_text("utf-8")
        words, by = json.loads(re.fullmatch(r'seatworkSaid\("[a-z0-9-]+",(.*)\);\n', script, re.DOTALL)[1])  # type: ignore[index]
        for q in quiz["questions"]:
            assert len(by[q["id"]]) == len(q["variants"])
            for variant, places in zip(q["variants"], by[q["id"]], strict=True):
                for system, spots in zip(SYSTEMS, places, strict=True):
                    assert len(spots) == len(variant[system]["f"])
                    for printed, spot in zip(variant[system]["f"], spots, strict=True):
                        figure = figure_of(unescape(printed), language)
                        if figure is None:
                            assert words[spot] == "" or "None" not in words[spot], printed
                            continue
                        many += 1
                        heard_as(figure, words[spot].partition(", ")[0], language)
    assert many > 5000


EAR = {
    "en": ("Read the questions to me", "questions", "Practise without an id", "Question ", "Then press: Check my answer.", "You picked:",
           "Check my answer", "Are you sure?", {"Right.", "Not right."}, "To go on, press Next.", "Stop reading"),
    "es": ("Léame las preguntas", "preguntas", "Practicar sin número", "Pregunta ", "Después toque: Revisar mi respuesta.", "Usted eligió:",
           "Revisar mi respuesta", "¿Está seguro?", {"Correcto.", "No es correcto."}, "Para seguir, toque Siguiente.", "Dejar de leer"),
}  # fmt: skip


@BOTH
def test_a_quiz_is_taken_by_ear_and_thumb(opened: Any, language: str) -> None:
    read, questions, practise, nth, then, picked, check, sure, verdicts, onward, stop = EAR[language]
    at = opened(f"{PLACES[language]}lessons/payload-tally.html", [*ENGLISH, *SPANISH])
    at.press(read)
    at.page.wait_for_function("said.length > 0")
    assert questions in at.said[0]
    at.press(practise)
    for _ in range(8):
        at.page.wait_for_function("said.length && said[said.length - 1].text.startsWith('" + nth + "')")
        start = len(at.said) - 1
        for _ in range(40):
            if at.said[-1] == then:
                break
            at.ends()
        told = at.said[start:]
        assert told[-1] == then
        shown = at.page.locator("fieldset.sq:visible")
        kind = shown.get_attribute("data-kind")
        for said in told[1:]:
            assert _PLAIN.sub("", _NAMED.sub("", said)) == "" and (language == "en" or not _ENGLISH.search(said)), said
        for figure in shown.locator(".sq-figure:visible").all():
            assert (figure.get_attribute("data-say") is not None) == (figure_of(figure.inner_text(), language) is not None)
        before = len(at.said)
        if kind == "number":
            shown.locator("input").fill("1")
        elif kind != "order":
            choice = shown.locator(".sq-choices > li:visible").first
            box = choice.bounding_box()
            assert box["height"] >= 72
            choice.locator("input").check()
            at.page.wait_for_function(f"said.length > {before}")
            assert at.said[-1].startswith(picked)
        before = len(at.said)
        at.press(check)
        if kind == "number" and at.page.get_by_text(sure).is_visible():
            at.press(check)
        at.page.wait_for_function(f"said.length > {before}")
        assert at.said[before] in verdicts
        for _ in range(40):
            if at.said[-1] == onward:
                break
            at.ends()
        for said in at.said[before:]:
            assert _PLAIN.sub("", _NAMED.sub("", said)) == "" and (language == "en" or not _ENGLISH.search(said)), said
        before = len(at.said)
        at.page.locator(".sq-next").click()
        at.page.wait_for_function(f"said.length > {before}")
    assert at.page.locator("seatwork-quiz").get_attribute("data-view") == "result"
    at.press(stop)
    assert at.page.evaluate("speechSynthesis.speaking") is False


def test_without_its_words_a_quiz_is_not_read(opened: Any) -> None:
    at = opened("lessons/payload-tally.html")
    at.page.evaluate("() => { window.seatworkSaid = () => {}; }")  # a file that does not come, or not whole
    at.press("Practise without an id")
    at.press("Read the questions to me")
    at.page.get_by_text("could not be fetched").wait_for()
    assert at.said == []
