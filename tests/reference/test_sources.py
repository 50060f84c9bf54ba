"""The bibliography: complete, neutral, and strict about mistakes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.reference import sources
from generator.reference.errors import ReferenceProblem
from generator.reference.sources import KINDS, NUMBER_ONLY, Bibliography

CONTENT = Path(__file__).resolve().parents[2] / "content"


@pytest.fixture(scope="module")
def shipped() -> Bibliography:
    return sources.load(CONTENT)


def test_every_kind_is_used(shipped: Bibliography) -> None:
    assert {shipped[k].kind for k in shipped} == set(KINDS)


def test_no_web_addresses(shipped: Bibliography) -> None:
    text = (CONTENT / "sources.yml").read_text("utf-8")
    assert not re.search(r"https?:|www\.|\.(com|org|net|gov|edu|io|co)\b", text, re.I)


def test_number_only_sources_say_so(shipped: Bibliography) -> None:
    for key in shipped:
        entry = shipped[key]
        said = "good for a number, not for a citation" in entry.note.lower()
        assert said == (entry.kind in NUMBER_ONLY), key
        assert (f"({entry.kind})" in entry.cite()) == (entry.kind in NUMBER_ONLY), key


def test_every_note_says_how_it_was_read(shipped: Bibliography) -> None:
    for key in shipped:
        entry = shipped[key]
        if entry.kind in NUMBER_ONLY or entry.kind == "library":
            continue
        assert re.search(r"\bread\b|from memory", entry.note, re.I), key


def test_fact_ids_at_the_top_point_at_real_keys(shipped: Bibliography) -> None:
    text = (CONTENT / "sources.yml").read_text("utf-8")
    top = text.partition("\n\n#")[0].partition("keys to name them by:")[2]
    # a key holds a hyphen and no capital, as do the lower-case fact ids, which have a prefix of their own
    fact = re.compile(r"(exc|ovh|util|berm|dump|haul|roll|slope|daily|rops|lift|geo|trac|gp|tr|q|vol)-")
    named = {w for w in re.findall(r"[\w.*-]+", top) if "-" in w and w.islower()}
    missing = {w for w in named if w not in shipped and not fact.match(w)}
    assert missing <= {"set-back", "no-key"}, missing
    # and the other way: hardly any source is left out of the list
    assert len(set(shipped) - named) < 25


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("nunnally", "S. W. Nunnally, Construction Methods and Management, 7th ed., 2007"),
        ("osha-1926-1408", "US OSHA, 29 CFR 1926.1408, Table A"),
        ("sae-j296", "SAE J296, Hoe bucket volumetric rating, 1999"),
        ("dozing-article-2010", "Doze More Dirt, construction trade magazine, 2010"),
        ("civl-392", "CIVL 392 lecture notes, chapter 2 (lecture notes)"),
        (
            "co-drms-ripping-1996",
            "Colorado Division of Minerals and Geology, Bulldozer ripping form of 23 May 1996 (document 741997, page 9)",
        ),
    ],
)
def test_cite(shipped: Bibliography, key: str, line: str) -> None:
    assert shipped.cite(key) == line


def test_unknown_key(shipped: Bibliography) -> None:
    with pytest.raises(ReferenceProblem, match=r"sources.yml: has no source 'nobody'; add it"):
        shipped.cite("nobody")


GOOD = "a-key:\n  title: T\n  author: A\n  year: current\n  kind: book\n  note: Read.\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (GOOD + GOOD, "sources.yml:7: 'a-key' stands twice; merge the two entries"),
        (GOOD.replace("a-key", "A key"), "sources.yml:1: 'A key' is no key; write small letters, digits and hyphens"),
        (GOOD.replace("book", "novel"), "sources.yml:5: a-key is of no known kind 'novel'; choose "),
        (GOOD.replace("  year: current\n", ""), "sources.yml:1: a-key has no year; add 'year:'"),
        (GOOD.replace("T\n", "''\n"), "sources.yml:2: a-key has an empty title; write one line of text"),
        (GOOD.replace("T\n", "[T]\n"), "sources.yml:2: a-key has an empty title; write one line of text"),
        (GOOD.replace("note", "address"), "sources.yml:6: a-key has no field 'address'; its fields are "),
        (GOOD + "  note: Read.\n", "sources.yml:7: a-key gives note twice; keep one"),
        ("a-key: text\n", "sources.yml:1: a-key is not a list of 'name: value'; write it so"),
        ("- a\n", "sources.yml:1: the file is not a list of 'name: value'; write it so"),
        ("a: [\n", "sources.yml:2: a bracket is not closed here or above"),
        ("a: \x07\n", "sources.yml:1: there is a hidden character that is not allowed; type the line again"),
        ("", "sources.yml: has no sources; install Seatwork again"),
    ],
)
def test_mistakes(tmp_path: Path, text: str, message: str) -> None:
    (tmp_path / "sources.yml").write_text(text, "utf-8")
    with pytest.raises(ReferenceProblem) as caught:
        sources.load(tmp_path)
    assert str(caught.value).startswith(message)
    assert "\n" not in str(caught.value)


def test_missing_file_and_wrong_encoding(tmp_path: Path) -> None:
    with pytest.raises(ReferenceProblem, match=r"^sources.yml: is missing; "):
        sources.load(tmp_path)
    (tmp_path / "sources.yml").write_bytes(b"\xff\xfe")
    with pytest.raises(ReferenceProblem, match=r"^sources.yml: is not UTF-8 text; "):
        sources.load(tmp_path)
