"""The number of a printed sheet: by it the sheet is found again, years later, whatever program prints then."""

from __future__ import annotations

import hashlib
import json

import pytest

from generator.quiz.printed import Printed, sign_off_sheet, talk_sheet

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # without I, L, O and U: Crockford's Base32 (from memory)

TALK = ("juniper-bench", "2026-1", "bench-height", "Bench height", "abc123")
LESSON = {"id": "bench-height", "title": "Bench height", "figures": "abc123", "criteria": [{"us": "Says 10 ft.", "metric": "Says 3 m."}]}


def signed(leaf: int = 1) -> Printed:
    return sign_off_sheet("juniper-bench", "2026-1", "loader", "Loader", leaf, 2, [LESSON])


@pytest.mark.parametrize("sheet", [talk_sheet(*TALK), signed(), signed(2)])
def test_the_number_is_the_first_forty_bits_of_what_is_kept_five_a_letter(sheet: Printed) -> None:
    kept = json.loads(sheet.kept)
    assert kept.pop("sheet") == sheet.code
    bits = f"{int(hashlib.sha256(json.dumps(kept, sort_keys=True).encode()).hexdigest()[:10], 16):040b}"
    letters = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, 40, 5))
    assert sheet.code == f"{letters[:4]}-{letters[4:]}" and sheet.name == f"{letters}.json"


def test_what_is_kept_of_a_talk_and_of_a_leaf() -> None:
    site, edition, lesson, title, figures = TALK
    assert json.loads(talk_sheet(*TALK).kept) == {
        "seatwork_sheet": 1, "kind": "talk", "site": site, "edition": edition, "lesson": lesson, "title": title, "figures": figures,
        "sheet": talk_sheet(*TALK).code,
    }  # fmt: skip
    assert json.loads(signed().kept) == {
        "seatwork_sheet": 1, "kind": "sign-off", "site": site, "edition": edition, "role": "loader", "title": "Loader", "leaf": 1,
        "leaves": 2, "lessons": [LESSON], "sheet": signed().code,
    }  # fmt: skip


@pytest.mark.parametrize("place", range(len(TALK)))
def test_other_content_has_another_number(place: int) -> None:
    other = [x + "x" if i == place else x for i, x in enumerate(TALK)]
    assert talk_sheet(*other).code != talk_sheet(*TALK).code == talk_sheet(*TALK).code
    assert signed().code != signed(2).code


def test_a_title_stays_readable_in_the_file() -> None:
    assert "Böschung" in talk_sheet(*TALK[:3], "Böschung", "x").kept and talk_sheet(*TALK).kept.endswith("}\n")
