"""Sign-off and tailgate sheets by the numbers printed on them: what stood there, in which edition, on which figures."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from generator.language.words import mark, said
from generator.quiz.edition import FOLDER
from generator.quiz.printed import SHEETS, Kind, sheet_code
from generator.records.flags import Refused
from generator.records.letters import slip_letters
from generator.source.jsontext import NotAsWritten, load_json, part, whole

_NAMES: Mapping[Kind, str] = {"sign-off": mark("a sign-off sheet"), "talk": mark("a tailgate sheet")}


@dataclass(frozen=True, slots=True)
class SheetLesson:
    """A lesson on a sign-off sheet. ``criteria`` are its lines to tick, each by unit system; ``figures`` the print of its numbers."""

    id: str
    title: str
    figures: str
    criteria: tuple[Mapping[str, str], ...]


@dataclass(frozen=True, slots=True)
class SignOffSheet:
    """One leaf of a role's sign-off sheets, as it was printed."""

    code: str
    site: str
    edition: str
    role: str
    title: str
    leaf: int
    leaves: int
    lessons: tuple[SheetLesson, ...]

    def lesson(self, id_: str) -> SheetLesson | None:
        """A lesson of it; None where it does not stand on it."""
        return next((x for x in self.lessons if x.id == id_), None)


@dataclass(frozen=True, slots=True)
class TalkSheet:
    """The tailgate sheet of a lesson, as it was printed."""

    code: str
    site: str
    edition: str
    lesson: str
    title: str
    figures: str


def load_signoff_sheet(folder: Path, code: str) -> SignOffSheet:
    """What stood on a sign-off sheet of the site in ``folder``, by its number however it was typed. Raises Refused."""
    found, letters = _load(folder, code, "sign-off")
    try:
        lessons = tuple(
            SheetLesson(
                part(x, "id", str), part(x, "title", str), part(x, "figures", str),
                tuple({s: part(line, s, str) for s in ("us", "metric")} for line in part(x, "criteria", list)),
            )
            for x in part(found, "lessons", list)
        )  # fmt: skip
        return SignOffSheet(
            letters, part(found, "site", str), part(found, "edition", str), part(found, "role", str), part(found, "title", str),
            part(found, "leaf", int), part(found, "leaves", int), lessons,
        )  # fmt: skip
    except NotAsWritten:
        raise _damaged(code) from None


def load_talk_sheet(folder: Path, code: str) -> TalkSheet:
    """Which lesson of which edition a tailgate sheet was about, by its number however it was typed. Raises Refused."""
    found, letters = _load(folder, code, "talk")
    try:
        return TalkSheet(letters, *(part(found, key, str) for key in ("site", "edition", "lesson", "title", "figures")))
    except NotAsWritten:
        raise _damaged(code) from None


def _load(folder: Path, code: str, kind: Kind) -> tuple[dict[str, Any], str]:
    letters = slip_letters(code)
    if not re.fullmatch("[0-9A-Z]{8}", letters, re.ASCII):
        raise Refused("mistyped", said("'{code}' is no sheet's number", code=code[:20]), said("copy it from the head of the sheet"))
    try:
        found: dict[str, Any] = whole(load_json(folder / FOLDER / SHEETS / f"{letters}.json"), dict)
        if found.get("seatwork_sheet") != 1:
            raise NotAsWritten("its layout is another one")
        # the number is made of all that is kept, so it says whether any of that was changed
        if found.get("sheet") != sheet_code({k: v for k, v in found.items() if k != "sheet"}):
            raise NotAsWritten("it was changed")
        is_kind = part(found, "kind", str)
    except FileNotFoundError:
        raise Refused(
            "mistyped", said("no sheet {code} was printed for this site", code=code[:20]), said("copy it from the head of the sheet")
        ) from None
    except (NotAsWritten, OSError):
        raise _damaged(code) from None
    if is_kind != kind:
        other = next((name for k, name in _NAMES.items() if k == is_kind), mark("another sheet"))
        raise Refused(
            "mistyped",
            said("sheet {code} is {other}, not {names}", code=code[:20], other=said(other), names=said(_NAMES[kind])),
            said("check the number, and the table it is typed in"),
        )
    return found, str(found["sheet"])


def _damaged(code: str) -> Refused:
    return Refused(
        "unreadable",
        said("what was kept of sheet {code} cannot be read", code=code[:20]),
        said("put back the folder {folder}/{sheets} from a copy", folder=FOLDER, sheets=SHEETS),
    )
