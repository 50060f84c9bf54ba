"""Lessons recorded when a handbook is built, with the speech programs that are installed."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.language.scripts import CONTENT
from generator.publish import audio
from generator.publish.audio import NoSpeaker, RecordingFailed, find_programs, record
from generator.publish.build import build
from generator.publish.edition_folder import folder_of
from generator.source.store import Store
from tests.conftest import copy_demo
from tests.sites import own_lesson
from tests.speech.test_say import EN, ES

PAGE = (
    '<!doctype html><html lang="{lang}"><head></head><body><article><h1>{title}</h1><p>{text} '
    '<button class="sw-num us" data-say="{us}">10 ft</button><button class="sw-num si" data-say="{si}">3 m</button>.</p>'
    "<table><caption>Heights</caption><tr><td>7</td></tr></table></article></body></html>"
)
ENGLISH = {"lang": "en", "title": "The bench", "text": "The bench is as high as", "us": "ten feet", "si": "three meters"}
SPANISH = {"lang": "es", "title": "El banco", "text": "El banco tiene una altura de", "us": "diez pies", "si": "tres metros"}


def web_of(folder: Path, *pages: tuple[str, dict[str, str]]) -> Path:
    for name, words in pages:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(PAGE.format(**words), "utf-8")
    (folder / "assets").mkdir()
    (folder / "assets" / "recorded.js").write_text("window.seatworkRecorded = null;\n", "utf-8")
    return folder


def listed(web: Path) -> dict[str, Any]:
    text = (web / "assets" / "recorded.js").read_text("utf-8")
    found: dict[str, Any] = json.loads(re.fullmatch(r"window\.seatworkRecorded = (.*);\n", text)[1])  # type: ignore[index]
    return found


def quiet(_: str) -> None:
    pass


def test_each_lesson_is_recorded_in_its_language_and_listed(tmp_path: Path) -> None:
    web = web_of(
        tmp_path / "web",
        ("lessons/bench.html", ENGLISH),
        ("es/lessons/bench.html", SPANISH),
        ("lessons/other.html", {**ENGLISH, "lang": "xx"}),  # which no program speaks
    )
    told: list[str] = []
    made = record(web, "us", told.append)
    assert made.files == 2 and str(made) == f"2 recordings, {made.size / 1e6:.1f} MB"
    found = listed(web)
    assert found["units"] == "us" and sorted(found["files"]) == ["en/bench", "es/bench"]
    for entry in found["files"].values():
        data = (web / entry["path"]).read_bytes()
        assert len(data) == entry["bytes"] and data.startswith(b"OggS") and b"OpusHead" in data[:80]
    assert [line[:7] for line in told] == ["audio ["] * 3 and "3 of 3" in told[-1]


def test_it_is_some_16_kbit_a_second(tmp_path: Path) -> None:
    words = {**ENGLISH, "text": "Keep the tracks back from the edge, and look at the crest again after every few trucks. " * 12}
    web = web_of(tmp_path / "web", ("lessons/bench.html", words))
    size = record(web, "us", quiet).size
    wave = tmp_path / "out.wav"
    subprocess.run(["opusdec", "--quiet", "--rate", "48000", str(web / "audio/en/bench.ogg"), str(wave)], check=True)
    seconds = (wave.stat().st_size - 44) / 2 / 48000
    assert seconds > 30
    assert 11_000 < 8 * size / seconds < 22_000


def test_the_same_page_gives_the_same_bytes(tmp_path: Path) -> None:
    both = [web_of(tmp_path / n, ("lessons/bench.html", ENGLISH)) for n in ("one", "two")]
    for web in both:
        record(web, "us", quiet)
    assert (both[0] / "audio/en/bench.ogg").read_bytes() == (both[1] / "audio/en/bench.ogg").read_bytes()
    record(web_of(tmp_path / "three", ("lessons/bench.html", ENGLISH)), "metric", quiet)
    assert (tmp_path / "three/audio/en/bench.ogg").read_bytes() != (both[0] / "audio/en/bench.ogg").read_bytes()


def test_what_is_said_are_the_words_of_the_figures(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[tuple[str, str]] = []

    def spoken(script: str, voice: str, programs: audio.Programs, name: str) -> bytes:
        said.append((script, voice))
        return b"OggS"

    monkeypatch.setattr(audio, "_spoken", spoken)
    web = web_of(tmp_path / "web", ("lessons/bench.html", ENGLISH), ("es/lessons/bench.html", SPANISH))
    record(web, "us", quiet, words=(CONTENT,))
    assert sorted(said) == [
        ("El banco.\n\nEl banco tiene una altura de diez pies.\n\nAquí hay una tabla. Heights.\n", "es-419"),
        ("The bench.\n\nThe bench is as high as ten feet.\n\nThere is a table here. Heights.\n", "en-us"),
    ]
    assert {EN.language, ES.language} == set(audio.VOICES)


def test_another_language_has_the_voice_of_its_code_and_no_figures(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No words are made for its figures, and a voice would make noise of them."""
    said: list[tuple[str, str]] = []

    def spoken(script: str, voice: str, programs: audio.Programs, name: str) -> bytes:
        said.append((script, voice))
        return b"OggS"

    monkeypatch.setattr(audio, "_spoken", spoken)
    words = tmp_path / "own" / "pl" / "words"
    words.mkdir(parents=True)
    (words / "x.po").write_text(
        'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\nmsgid "the figure on the page"\nmsgstr "liczba na stronie"\n',
        "utf-8",
    )
    web = web_of(tmp_path / "web", ("lessons/bench.html", {"lang": "pl", "title": "Skarpa", "text": "Skarpa ma", "us": "", "si": ""}))
    assert record(web, "us", quiet, words=(tmp_path / "own",)).files == 1
    assert said == [("Skarpa.\n\nSkarpa ma liczba na stronie.\n\nThere is a table here. Heights.\n", "pl")]
    assert listed(web)["files"]["pl/bench"]["path"] == "audio/pl/bench.ogg"


def test_what_was_recorded_before_is_taken_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "kept").mkdir()
    store = Store(tmp_path / "kept", b"k" * 32)
    record(web_of(tmp_path / "one", ("lessons/bench.html", ENGLISH)), "us", quiet, store)
    monkeypatch.setattr(audio, "_spoken", lambda *_: pytest.fail("it was spoken anew"))
    record(web_of(tmp_path / "two", ("lessons/bench.html", ENGLISH)), "us", quiet, store)
    assert (tmp_path / "two/audio/en/bench.ogg").read_bytes() == (tmp_path / "one/audio/en/bench.ogg").read_bytes()


def test_without_the_programs_a_line_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    site = copy_demo(tmp_path / "site")
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NoSpeaker, match="no speech program found"):
        find_programs()
    assert main(["build", str(site), "--audio", "--quiet"]) == 2
    err = capsys.readouterr().err
    assert "apt-get install espeak-ng opus-tools" in err.splitlines()[0] and "Traceback" not in err
    assert not (site / "out").exists()


def test_a_speech_program_that_fails_is_told_with_its_lesson(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = tmp_path / "says-nothing"
    broken.write_text("#!/bin/sh\nexit 3\n", "utf-8")
    broken.chmod(0o755)
    monkeypatch.setenv(audio.SPEAKER, str(broken))
    with pytest.raises(RecordingFailed, match=r"bench: says-nothing failed \(status 3\)"):
        record(web_of(tmp_path / "web", ("lessons/bench.html", ENGLISH)), "us", quiet)


def two_languages(folder: Path) -> Path:
    """A site with two lessons, in English and Spanish."""
    site = own_lesson(copy_demo(folder / "site", languages=True), lessons="[stop-work, bench-height]")
    assert "languages: [en, es]" in (site / "settings.yml").read_text("utf-8")
    return site


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """That site, built with recordings."""
    site = two_languages(tmp_path_factory.mktemp("recorded"))
    made = build(site, quiet, audio=True)
    size = sum(p.stat().st_size for p in (site / "out" / "web").rglob("*.ogg"))
    assert made.recorded == f"4 recordings, {size / 1e6:.1f} MB"
    return site


WEBS = {"en": "", "es": "es/"}
IN_EACH = pytest.mark.parametrize("language", WEBS)


@IN_EACH
def test_recordings_lie_beside_the_pages_of_their_language_and_are_not_kept_on_phones(recorded: Path, language: str) -> None:
    web = recorded / "out" / "web" / WEBS[language]
    folder = folder_of(web)
    found = listed(folder)
    assert sorted(found["files"]) == [f"{language}/bench-height", f"{language}/stop-work"]
    worker = (web / "offline-worker.js").read_text("utf-8")
    for entry in found["files"].values():
        assert (folder / entry["path"]).stat().st_size == entry["bytes"]
        assert entry["path"] not in worker and ".ogg" not in worker
    assert sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*.ogg")) == sorted(e["path"] for e in found["files"].values())
    assert "media-src 'self'" in (recorded / "out/headers/policy.txt").read_text("utf-8")


HEARD = {"en": ("Listen to a recording", "in feet and pounds"), "es": ("Escuchar una grabación", "en pies y libras")}


@IN_EACH
def test_a_browser_without_a_voice_plays_the_recording_of_the_page(recorded: Path, browser: Any, language: str) -> None:
    button, units = HEARD[language]
    page = browser.new_page()
    page.goto((recorded / f"out/web/{WEBS[language]}lessons/stop-work.html").as_uri())
    page.locator(".sw-recorded").wait_for(timeout=10_000)
    size = listed(folder_of(recorded / "out/web" / WEBS[language]))["files"][f"{language}/stop-work"]["bytes"]
    assert page.locator(".sw-recorded").inner_text() == f"{button} ({size / 1e6:.1f} MB)"
    page.locator(".sw-recorded").click()
    page.wait_for_function("() => { const a = document.querySelector('.sw-bar audio'); return a && a.duration > 20; }", timeout=10_000)
    assert page.evaluate("document.querySelector('.sw-bar audio').currentSrc").endswith(f"/audio/{language}/stop-work.ogg")
    assert page.locator(".sw-listen").count() == 0
    assert units in page.locator(".sw-bar").inner_text()
    page.close()


def test_two_builds_record_the_same_and_phones_keep_it_where_told_to(recorded: Path, tmp_path: Path) -> None:
    site = two_languages(tmp_path)
    build(site, quiet, audio=True, audio_offline=True, fresh=True)
    for language, place in WEBS.items():
        web, other = (s / "out" / "web" / place for s in (site, recorded))
        found = listed(folder_of(web))
        assert found == listed(folder_of(other))
        worker = (web / "offline-worker.js").read_text("utf-8")
        for entry in found["files"].values():
            assert (folder_of(web) / entry["path"]).read_bytes() == (folder_of(other) / entry["path"]).read_bytes()
            assert entry["path"] in worker
        others = "en" if language == "es" else "es"
        assert f"audio/{others}/" not in worker
