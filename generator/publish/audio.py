"""Lessons as sound files, made when the handbook is built: for phones whose browser has no voice for the language.

A Debian speech program says the sentences of the finished page (:mod:`generator.publish.reading`), so figures are heard by
the words made from their values, and Opus (RFC 6716, in Ogg, RFC 7845) packs them at about 16 kbit/s. The same page, spoken
by the same programs, gives the same bytes; what an earlier build recorded is taken again.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from generator.book.parallel import workers
from generator.language.catalogue import catalogue
from generator.language.words import ENGLISH, using
from generator.publish.reading import sentences
from generator.source.problem import Refusal
from generator.source.store import Store, digest
from generator.units.table import System

FOLDER = "audio"
LIST = "recorded.js"
SPEAKER = "SEATWORK_SPEAKER"  # names another speech program that takes the same options
_SPEAKERS = ("espeak-ng", "espeak")
# the voice of a language, in the Americas; any other language has the voice of its code, where the program has one
VOICES = {"en": "en-us", "es": "es-419"}
_WORDS_A_MINUTE = "145"
_BITRATE = "16"
_LANGUAGE = re.compile(r"<html[^>]*\blang=[\"']?([a-z]{2})")
_SPOKEN = re.compile(r'<div class="sw-spoken" lang="([a-z]{2})"')  # a lesson without words in the language of the pages around it


class NoSpeaker(Refusal):
    """No program that speaks, or none that packs what it says, was found."""

    code = "no-speaker"


class RecordingFailed(Refusal):
    """A lesson was not recorded."""

    code = "recording-failed"


@dataclass(frozen=True)
class Programs:
    """The speech program and the one that packs, with a print of which they are, and the languages that are spoken."""

    speaker: str
    packer: str
    made_by: str
    languages: frozenset[str]


@dataclass(frozen=True)
class Recorded:
    """How many lessons were recorded, and how large they are together."""

    files: int
    size: int

    def __str__(self) -> str:
        return f"{self.files} recordings, {self.size / 1e6:.1f} MB"


def find_programs() -> Programs:
    """The installed programs. Raises NoSpeaker."""
    named = os.environ.get(SPEAKER)
    speaker = next((p for name in ((named,) if named else _SPEAKERS) if (p := shutil.which(name))), None)
    packer = next((p for name in ("opusenc", "ffmpeg") if (p := shutil.which(name))), None)
    if speaker is None or packer is None:
        what = "no speech program found" if speaker is None else "no program that packs speech as Opus found"
        raise NoSpeaker(what, "on Debian: apt-get install espeak-ng opus-tools; or leave --audio out")
    made_by = f"{_told_by(speaker, '--version')}\n{_told_by(packer, '-version' if packer.endswith('ffmpeg') else '--version')}"
    return Programs(speaker, packer, made_by, _languages(_told_by(speaker, "--voices")))


def _languages(table: str) -> frozenset[str]:
    """The codes in the second column of the program's table of voices: a row begins with a priority."""
    return frozenset(m[1] for m in re.finditer(r"(?m)^ *\d+ +([a-z]{2})\b", table))


def _told_by(program: str, option: str) -> str:
    try:
        return subprocess.run([program, option], capture_output=True, text=True, timeout=30, check=False).stdout
    except (OSError, subprocess.TimeoutExpired) as e:
        raise NoSpeaker(f"{program} does not run", "install it anew, or leave --audio out") from e


def record(web: Path, system: System, progress: Callable[[str], None], store: Store | None = None, words: Iterable[Path] = ()) -> Recorded:
    """Record every lesson of a web folder, in the site's own unit system, and list the recordings for the pages.

    A language in a folder of its own below has its own list and files there. ``words`` are the folders with the program's
    strings in other languages. It is for a folder whose edition has no folder of its own yet. Raises NoSpeaker or RecordingFailed.
    """
    programs, words = find_programs(), tuple(words)
    bases = sorted(p.parent.parent for p in web.rglob(f"assets/{LIST}"))
    todo = [(base, page) for base in bases for page in sorted(base.rglob("lessons/*.html")) if _nearest(page, bases) == base]
    made: dict[Path, dict[str, dict[str, object]]] = {base: {} for base in bases}
    total = 0
    with ThreadPoolExecutor(max_workers=workers()) as pool:  # the work is done by programs of their own
        running = [(base, page, pool.submit(_recording, page, system, programs, store, words)) for base, page in todo]
        try:
            for i, (base, page, done) in enumerate(running, 1):
                share = round(20 * i / len(running))
                found = done.result()
                progress(f"audio [{'#' * share}{'.' * (20 - share)}] {i} of {len(running)} {page.stem}")
                if found is None:
                    continue
                language, data = found
                path = f"{FOLDER}/{language}/{page.stem}.ogg"
                (base / path).parent.mkdir(parents=True, exist_ok=True)
                (base / path).write_bytes(data)
                made[base][f"{language}/{page.stem}"] = {"path": path, "bytes": len(data)}
                total += len(data)
        except BaseException:
            for *_, waiting in running:
                waiting.cancel()
            raise
    for base, files in made.items():
        text = json.dumps({"units": system, "files": dict(sorted(files.items()))}, ensure_ascii=False, separators=(",", ":"))
        (base / "assets" / LIST).unlink()  # it may be another name of one that is kept elsewhere
        (base / "assets" / LIST).write_text(f"window.seatworkRecorded = {text};\n", "utf-8", newline="\n")
    return Recorded(sum(map(len, made.values())), total)


def _nearest(page: Path, bases: list[Path]) -> Path | None:
    return max((b for b in bases if page.is_relative_to(b)), key=lambda b: len(b.parts), default=None)


def _recording(page: Path, system: System, programs: Programs, store: Store | None, words: tuple[Path, ...]) -> tuple[str, bytes] | None:
    """The language of a page and its lesson as Opus; None of a page in a language that the speech program has no voice for."""
    text = page.read_text("utf-8")
    found = _SPOKEN.search(text) or _LANGUAGE.search(text)
    language = found[1] if found else ENGLISH
    voice = VOICES.get(language, language)
    if language not in VOICES and language not in programs.languages:
        return None
    with using(catalogue(language, words)):
        script = "\n\n".join(_paused(sentences(text, system))) + "\n"
    made_from = digest("audio", programs.made_by, voice, _WORDS_A_MINUTE, _BITRATE, script)
    data = store.get(made_from) if store is not None else None
    if data is None:
        data = _spoken(script, voice, programs, page.stem)
        if store is not None:
            store.put(made_from, data)
    return language, data


def _paused(lines: list[str]) -> Iterator[str]:
    """Each sentence with an end that a voice rests at."""
    for line in lines:
        yield line if line.endswith((".", "!", "?", ":")) else f"{line}."


def _spoken(script: str, voice: str, programs: Programs, name: str) -> bytes:
    """The Opus file of a text. Raises RecordingFailed."""
    with tempfile.TemporaryDirectory(prefix="seatwork-audio-") as place:
        said, wave, packed = (Path(place) / n for n in ("said.txt", "said.wav", "said.ogg"))
        said.write_text(script, "utf-8")
        _run([programs.speaker, "-v", voice, "-s", _WORDS_A_MINUTE, "-f", str(said), "-w", str(wave)], wave, name)
        if Path(programs.packer).stem == "ffmpeg":
            exact = ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:a", "+bitexact"]
            command = [programs.packer, "-v", "error", "-i", str(wave), *exact, "-c:a", "libopus", "-b:a", f"{_BITRATE}k", str(packed)]
        else:
            # a fixed number of the stream, which would be drawn by chance
            command = [
                programs.packer,
                "--quiet",
                "--bitrate",
                _BITRATE,
                "--comp",
                "5",
                "--serial",
                "1",
                "--padding",
                "0",
                str(wave),
                str(packed),
            ]
        _run(command, packed, name)
        return packed.read_bytes()


def _run(command: list[str], made: Path, name: str) -> None:
    try:
        done = subprocess.run(command, capture_output=True, timeout=600, check=False)
    except (OSError, subprocess.TimeoutExpired):
        raise RecordingFailed(f"{name}: {Path(command[0]).name} did not finish", "leave --audio out") from None
    if done.returncode != 0 or not made.is_file():
        raise RecordingFailed(f"{name}: {Path(command[0]).name} failed (status {done.returncode})", "leave --audio out")
