"""Questions that were looked at before are read when somebody asks for them, and are parted by all they are read from."""

from __future__ import annotations

import pickle
from typing import Any

import pytest

from generator.book import content as content_of
from generator.book.content import Questions, Written
from generator.book.lesson import InWords
from generator.book.seen import print_of
from generator.calc.rules import US
from generator.source.problem import Refusals

TEXT = """\
- id: gate-1
  kind: one
  ask: Who opens the gate?
  choices:
    - {text: The foreman., right: true}
    - {text: Anybody., says: It is locked.}
    - {text: Nobody., says: Then nobody gets in.}
  because: The foreman has the key.
  read_again: do-it
"""
WRONG = TEXT.replace("kind: one", "kind: two")
UNKNOWN = TEXT.replace("  because:", "  drawing: {scene: loading.no_such_scene}\n  describe: A gate.\n  because:")
MISTAKES = (("upside-down", "You turned it over."),)


def of(**texts: str) -> Questions:
    written: dict[str, Written] = {id_: (text, f"questions/{id_}.yml", None) for id_, text in texts.items()}
    return Questions(written, MISTAKES, US)


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The files that were read."""
    files: list[str] = []
    reads = content_of._questions

    def reading(text: str, file: str, *rest: Any) -> Any:
        files.append(file)
        return reads(text, file, *rest)

    monkeypatch.setattr(content_of, "_questions", reading)
    return files


def test_nothing_is_read_before_it_is_asked_for(read: list[str]) -> None:
    questions = of(gate=TEXT, fence=TEXT)
    assert (list(questions), len(questions), "gate" in questions, "hedge" in questions) == (["gate", "fence"], 2, True, False)
    assert questions.made_from("gate")[0][0] == TEXT and not read
    assert [q.id for q in questions["gate"]] == ["gate-1"]
    assert questions["gate"] is questions["gate"] and questions.get("hedge") is None
    assert read == ["questions/gate.yml"]


def test_what_was_looked_at_is_not_read_again(read: list[str]) -> None:
    questions = of(gate=TEXT, shed=UNKNOWN)
    assert questions.look_at("gate") == []
    (wrong,) = questions.look_at("shed")
    assert "no_such_scene" in wrong.what and wrong.file == "questions/shed.yml"
    assert questions["gate"] and read == ["questions/gate.yml", "questions/shed.yml"]


def test_what_nobody_looked_at_and_is_wrong_is_told() -> None:
    with pytest.raises(Refusals, match=r"questions/gate\.yml.*'two'"):
        of(gate=WRONG)["gate"]


def test_they_go_to_another_process() -> None:
    sent = pickle.loads(pickle.dumps(of(gate=TEXT)))
    assert sent["gate"] == of(gate=TEXT)["gate"]


def test_all_they_are_read_from_is_in_their_print() -> None:
    words = InWords("- id: gate-1\n  ask: ¿Quién?\n", "es/questions/gate.yml", "es")
    written: list[Written] = [
        (TEXT, "questions/gate.yml", None), (TEXT.replace("foreman", "owner"), "questions/gate.yml", None),
        (TEXT, "content/questions/gate.yml", None), (TEXT, "questions/gate.yml", words),
    ]  # fmt: skip
    made = [Questions({"gate": w}, MISTAKES, US) for w in written] + [
        Questions({"gate": written[0]}, (("upside-down", "It is over."),), US)
    ]
    assert len({print_of(q.made_from("gate")) for q in made}) == len(made)
