"""The Spanish beside the English: the same shape, calls, blanks and figures, every word there, and easy to read."""

from __future__ import annotations

import itertools
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from babel.messages.pofile import read_po

from generator.book.content import content_folder, lesson_ids
from generator.source.overlay import FREE, RENAMED, lay_over
from generator.source.yamltext import load_plain
from tests.english_words import ENGLISH_WORDS

CONTENT = content_folder()
SPANISH = CONTENT / "es"
IDS = lesson_ids(CONTENT)

# what holds words that people read, wherever it stands in a lesson or a question
WORD_BEARING = frozenset({
    "title", "summary", "why", "watch", "stop_work", "show", "show_beside", "points", "ask", "answer", "says", "cost", "caption", "text",
    "describe", "because", "items", "choices", "set_out", "do", "measure", "expect", "if_off", "standard", "record",
})  # fmt: skip
NO_WORDS = frozenset({"scene", "with", "numbers", "id", "gives", "draw", "kind", "read_again", "sum", "frame", "way"})

CALL = re.compile(r"\{\{.*?\}\}", re.DOTALL)
TERM = re.compile(r"""term\(\s*(?P<q>['"])(?P<name>.*?)(?P=q)\s*(?:,\s*(?P<r>['"])(?P<word>.*?)(?P=r)\s*)?\)""")
BLANK = re.compile(r"(?<!\{)\{(?!\{)\w*\}(?!\})")
RULE = re.compile(r"\[\[([a-z][a-z -]*)\|")
FIGURE = re.compile(r"\d+(?:[.,]\d+)*")
WORD = re.compile(r"[^\W\d_]+")
ANCHOR = re.compile(r"\{#[\w-]+\}")
COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)


def halves(path: Path) -> tuple[Any, str]:
    """A lesson's front matter, as plain values, and its body."""
    _, front, body = path.read_text("utf-8-sig").split("---\n", 2)
    return load_plain(front, path.name), body


def calls(text: str) -> Counter[str]:
    """The template calls of a text, each as often as it stands there; of a word of the glossary, which one."""
    return Counter(TERM.sub(lambda m: f"term({m['name']!r})", re.sub(r"\s+", " ", call)) for call in CALL.findall(text))


def marks(text: str) -> dict[str, Counter[str]]:
    """All that a translation must hold as its English does."""
    bare = ANCHOR.sub(" ", CALL.sub(" ", text))
    return {
        "calls": calls(text),
        "blanks": Counter(BLANK.findall(CALL.sub(" ", text))),
        "anchors": Counter(ANCHOR.findall(text)),
        "rules": Counter(RULE.findall(text)),
        "figures": Counter(FIGURE.findall(BLANK.sub(" ", bare))),
    }


def unlike(where: str, english: str, spanish: str) -> Iterator[str]:
    """What one text holds and the other does not, a line for each kind."""
    there = marks(spanish)
    for kind, held in marks(english).items():
        if there[kind] != held:
            yield f"{where}: {kind}: missing {dict(held - there[kind])}, too many {dict(there[kind] - held)}"


def leaves(base: Any, words: Any, place: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str, str | None]]:
    """Each text of the English that holds words, by its place, beside what stands there in Spanish; None where nothing does."""
    name = place[-1] if place else ""
    if name in FREE or name in NO_WORDS:
        return
    if name in RENAMED and isinstance(base, dict):
        for key in base:
            yield (*place, key), key, words.get(key) if isinstance(words, dict) else None
    elif isinstance(base, dict):
        given = words if isinstance(words, dict) else {} if words is None else {"text": words}
        for key, value in base.items():
            if key != "__line__":
                yield from leaves(value, given.get(key), (*place, str(key)))
    elif isinstance(base, list):
        if isinstance(words, dict):
            by_id = [words.get(str(b.get("id"))) if isinstance(b, dict) else None for b in base]
            for b, w in zip(base, by_id, strict=True):
                yield from leaves(b, {"says": w} if isinstance(w, str) else w, (*place, str(b.get("id"))))
        else:
            for i, b in enumerate(base):
                yield from leaves(b, words[i] if isinstance(words, list) and i < len(words) else None, (*place, str(i + 1)))
    elif name == "answer" and "ask" not in place:  # the number of a question that is its answer
        return
    elif isinstance(base, str) and set(place) & WORD_BEARING and WORD.search(CALL.sub("", BLANK.sub("", base))) and name != "right":
        yield place, base, words["text"] if isinstance(words, dict) and set(words) == {"text"} else words


def pairs(id_: str) -> Iterator[tuple[str, str, str | None]]:
    """All texts of a lesson, its body among them, and of its questions."""
    front, body = halves(CONTENT / "lessons" / f"{id_}.md")
    front_es, body_es = halves(SPANISH / "lessons" / f"{id_}.md")
    for place, english, spanish in leaves(front, front_es):
        yield f"lessons/{id_}: {'.'.join(place)}", english, spanish
    yield f"lessons/{id_}: body", COMMENT.sub("", body), COMMENT.sub("", body_es)
    asked = load_plain((CONTENT / "questions" / f"{id_}.yml").read_text("utf-8-sig"), id_)
    asked_es = load_plain((SPANISH / "questions" / f"{id_}.yml").read_text("utf-8-sig"), id_)
    for place, english, spanish in leaves(asked, asked_es):
        yield f"questions/{id_}: {'.'.join(place)}", english, spanish


def tables() -> Iterator[tuple[str, str, str | None]]:
    """The texts of cautions, glossary, mistakes, chapters and cards."""
    for name in ("cautions.yml", "glossary.yml", "mistakes.yml", "chapters.yml"):
        english = load_plain((CONTENT / name).read_text("utf-8-sig"), name)
        spanish = load_plain((SPANISH / name).read_text("utf-8-sig"), name)
        if isinstance(english, list):
            english = {chapter["id"]: chapter["title"] for chapter in english}
        for key, text in english.items():
            given = spanish.get(key)
            yield f"{name}: {key}", str(text), given["text"] if isinstance(given, dict) else given
    labels = load_plain((SPANISH / "cards.yml").read_text("utf-8-sig"), "cards.yml")
    for kind, card in load_plain((CONTENT / "cards.yml").read_text("utf-8-sig"), "cards.yml").items():
        wanted = [card["title"], *card.get("limits", {}), *card.get("lines", {})]
        for table in card.get("tables", ()):
            wanted += [table["title"], *table["columns"]]
        for label in wanted:
            yield f"cards.yml: {kind}: {label}", label, labels.get(label)


def all_texts() -> Iterator[tuple[str, str, str | None]]:
    """Everything there is."""
    for id_ in IDS:
        yield from pairs(id_)
    yield from tables()


def test_there_are_lessons_and_each_has_its_spanish() -> None:
    assert len(IDS) > 40
    for kind, ending in (("lessons", "md"), ("questions", "yml")):
        assert {p.stem for p in (SPANISH / kind).iterdir()} == {p.stem for p in (CONTENT / kind).iterdir()} >= set(IDS), (kind, ending)


@pytest.mark.parametrize("kind", ["lessons", "questions"])
def test_the_shape_is_that_of_the_english(kind: str) -> None:
    problems: list[str] = []
    for id_ in IDS:
        if kind == "lessons":
            base, words = (halves(folder / kind / f"{id_}.md")[0] for folder in (CONTENT, SPANISH))
        else:
            base, words = (load_plain((folder / kind / f"{id_}.yml").read_text("utf-8-sig"), id_) for folder in (CONTENT, SPANISH))
        lay_over(base, words, lambda line, what, fix, id_=id_: problems.append(f"{id_}: {what}"))  # type: ignore[misc]
    assert problems == []


@pytest.mark.parametrize("id_", IDS)
def test_a_lesson_has_all_its_words_calls_blanks_and_figures(id_: str) -> None:
    missing = [where for where, _, spanish in pairs(id_) if not str(spanish or "").strip()]
    assert missing == []
    assert [line for where, english, spanish in pairs(id_) for line in unlike(where, english, str(spanish))] == []


def test_tables_of_words_have_all_of_theirs() -> None:
    found = list(tables())
    assert len(found) > 200
    assert [where for where, _, spanish in found if not str(spanish or "").strip()] == []
    assert [line for where, english, spanish in found for line in unlike(where, english, str(spanish))] == []


@pytest.mark.parametrize("name", ["cautions.yml", "glossary.yml", "mistakes.yml"])
def test_tables_of_words_have_the_entries_of_the_english_and_no_others(name: str) -> None:
    english, spanish = (load_plain((folder / name).read_text("utf-8-sig"), name) for folder in (CONTENT, SPANISH))
    assert set(spanish) == set(english)


def test_every_label_of_the_cards_is_one_that_a_card_has() -> None:
    asked = {english for where, english, _ in tables() if where.startswith("cards.yml")}
    assert set(load_plain((SPANISH / "cards.yml").read_text("utf-8-sig"), "cards.yml")) == asked


def test_nothing_is_left_as_it_is_in_english() -> None:
    """A text of three words or more that is the same in both was not translated."""
    same = [
        f"{where}: {english}" for where, english, spanish in all_texts()
        if english == spanish and len(WORD.findall(CALL.sub(" ", BLANK.sub(" ", english)))) > 2
    ]  # fmt: skip
    assert same == []


def test_no_english_word_stands_in_the_spanish() -> None:
    found = []
    for where, _, spanish in all_texts():
        bare = RULE.sub(" ", ANCHOR.sub(" ", BLANK.sub(" ", CALL.sub(" ", str(spanish or "")))))
        bare = re.sub(r"</?[a-z][^>]*>|\]\([^)]*\)|\{[^}]*\}", " ", bare)
        english = {w for w in map(str.casefold, WORD.findall(bare)) if w in ENGLISH_WORDS}
        if english:
            found.append(f"{where}: {sorted(english)}")
    assert found == []


def test_a_term_is_said_in_one_way_only() -> None:
    """The word of the glossary and what lessons print in its place are forms of one word: they begin alike."""
    glossary = load_plain((SPANISH / "glossary.yml").read_text("utf-8-sig"), "glossary.yml")
    odd = defaultdict(set)
    for where, _, spanish in all_texts():
        for m in TERM.finditer(str(spanish or "")):
            word = glossary[m["name"]]["word"]
            if m["word"] and not alike(m["word"], word):
                odd[m["name"], word].add((m["word"], where.partition(":")[0]))
    assert dict(odd) == {}


def alike(shown: str, word: str) -> bool:
    """Whether one is the other in another form, or with fewer words: those of the one begin as words of the other do."""
    one, two = ({w[:3] for w in WORD.findall(text.casefold()) if len(w) > 2} for text in (shown, word))
    return bool(one) and (one <= two or two <= one)


# words that were settled: what stands for them everywhere, lessons, tables of words and the program's own strings alike
SETTLED = {
    r"l[íi]neas?( el[ée]ctricas?)?( a[ée]reas?)? vivas?|energizad[oa]s?": "con corriente",
    r"desenergizad[oa]s?|l[íi]neas?( el[ée]ctricas?)?( a[ée]reas?)? muertas?": "sin corriente",
    r"barlovento|sotavento": "hacia el lado de donde viene el viento",
    r"(en|punto) (neutral|muerto)": "en neutro",
    r"bulld[oó]zer(es)?|bald(e|es)|retroexcavadora": "topadora, cucharón, excavadora",
}  # fmt: skip


def test_a_word_that_was_settled_stands_everywhere() -> None:
    texts = {where: str(spanish) for where, _, spanish in all_texts()}
    for path in sorted((SPANISH / "words").glob("*.po")):
        with path.open("rb") as file:
            for message in read_po(file):
                texts[f"{path.name}: {message.id}"] = str(message.string)
    assert len(texts) > 5000
    odd = [f"{where}: {m[0]}" for where, text in texts.items() for wrong in SETTLED if (m := re.search(rf"\b(?:{wrong})\b", text, re.I))]
    assert odd == []


# ---- how easy it is to read ------------------------------------------------------------------------------------------

STRONG, WEAK = "aeoáéó", "iuü"
_VOWELS = re.compile(r"[aeiouáéíóúü]+")


def syllables(word: str) -> int:
    """Syllables of a Spanish word, by the rules of its spelling: two strong vowels part, so does an accented í or ú beside one."""
    word = re.sub(r"qu(?=[eiéí])", "q", word.casefold())
    word = re.sub(r"gu(?=[eiéí])", "g", word)
    word = re.sub(r"y(?![aeiouáéíóú])", "i", word)
    count = 0
    for run in _VOWELS.findall(word):
        parts = 1
        for a, b in itertools.pairwise(run):
            apart = (a in STRONG and b in STRONG) or (a in "íú" and b in STRONG) or (a in STRONG and b in "íú")
            parts += apart
        count += parts
    return max(count, 1)


# divided as the spelling rules of the academies of Spanish have it (Ortografía de la lengua española, 2010; from memory)
DIVIDED = (
    "po-e-ta", "pa-ís", "cie-lo", "gue-rra", "que-so", "a-ho-ra", "ma-íz", "ca-mión", "trans-por-te", "cons-truc-ción", "ve-hí-cu-lo", "a-gua", "pin-güi-no", "rey", "ca-í-da", "san-dí-a", "ex-ca-va-do-ra", "pen-dien-te", "a-é-re-o", "cui-da-do", "y", "ciu-dad", "re-ú-ne",
)  # fmt: skip


@pytest.mark.parametrize("divided", DIVIDED)
def test_syllables_are_counted_as_the_spelling_divides_them(divided: str) -> None:
    assert syllables(divided.replace("-", "")) == divided.count("-") + 1


def ease(text: str) -> float:
    """How easy a text is to read, 0 to 100 and more: 206.835 - 62.3 x syllables a word - words a sentence.

    Source: F. Szigriszt Pazos, Sistemas predictivos de legibilidad del mensaje escrito: fórmula de perspicuidad, thesis,
    Universidad Complutense de Madrid, 1993 (from memory). On the scale of Barrio-Cantalejo and others (2008, from memory)
    65 to 80 is fairly easy, as school books of the last primary years are; 55 to 65 is a newspaper.
    """
    sentences = [s for s in re.split(r"[.!?]+(?=\s|$)|\n+", text) if WORD.search(s)]
    words = [w for s in sentences for w in WORD.findall(s)]
    return 206.835 - 62.3 * sum(map(syllables, words)) / len(words) - len(words) / len(sentences)


def test_the_ease_is_the_printed_formula() -> None:
    # counted by hand: 8 words, 2 sentences, 17 syllables
    assert ease("El operador mira la máquina. Para el trabajo.") == pytest.approx(206.835 - 62.3 * 17 / 8 - 8 / 2)


def prose(texts: list[str]) -> str:
    """Texts as they are read: a call is a short figure or word, marks are left out."""
    read = []
    for text in texts:
        text = TERM.sub(lambda m: m["word"] or m["name"], text) if "term(" in text else text
        text = re.sub(
            r"\{\{\s*(?:why|watch|stop_work|show|steps|drawing|table|panel|caution|way|ways|exercise|limits|working)\b.*?\}\}", "", text
        )
        text = re.sub(r"^#+ .*$", "", CALL.sub("un dos", BLANK.sub("un dos", ANCHOR.sub("", text))), flags=re.MULTILINE)
        text = re.sub(r"\[\[[a-z -]+\||\]\]|\]\([^)]*\)|[*_`\[]", "", text)
        read.append(re.sub(r"(?<![\n.])\n(?!\n|\d|-)", " ", text))
    return "\n".join(read)


HARDEST = 70.0  # fairly easy or easier, with room to the edge of it


@pytest.mark.parametrize("kind", ["lessons", "questions"])
def test_lessons_and_questions_are_easy_to_read(kind: str) -> None:
    hard = {}
    for id_ in IDS:
        found = ease(prose([str(spanish) for where, _, spanish in pairs(id_) if where.startswith(kind)]))
        if found < HARDEST:
            hard[id_] = round(found, 1)
    assert hard == {}
