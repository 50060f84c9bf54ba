"""Numbers of what is printed: a code for each sheet, made of all that the sheet stands for, and what is kept of it.

A sheet of paper comes back with its code typed into a table. What the code stands for is kept beside the
editions, in ``editions/sheets/CODE.json``, and never changed: other content has another code.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

SHEETS = "sheets"  # the folder below editions
Kind = Literal["sign-off", "talk"]
_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def sheet_code(kept: Mapping[str, Any]) -> str:
    """Eight letters that stand for what is kept of a sheet, in two groups: ``7KQ2-M4XR``."""
    number = int.from_bytes(hashlib.sha256(json.dumps(kept, sort_keys=True).encode()).digest()[:5], "big")
    letters = "".join(_LETTERS[(number >> shift) & 31] for shift in range(35, -1, -5))
    return f"{letters[:4]}-{letters[4:]}"


@dataclass(frozen=True)
class Printed:
    """The code of a sheet and the text of the file that is kept of it."""

    code: str
    kept: str

    @property
    def name(self) -> str:
        """The file's name below ``editions/sheets``."""
        return f"{self.code.replace('-', '')}.json"


def _printed(kind: Kind, site: str, edition: str, rest: Mapping[str, Any]) -> Printed:
    kept: dict[str, Any] = {"seatwork_sheet": 1, "kind": kind, "site": site, "edition": edition, **rest}
    code = sheet_code(kept)
    return Printed(code, json.dumps(kept | {"sheet": code}, ensure_ascii=False, indent=1) + "\n")


def talk_sheet(site: str, edition: str, lesson: str, title: str, figures: str) -> Printed:
    """The tailgate sheet of a lesson; ``figures`` is the lesson's print (:func:`generator.quiz.edition.figures_of`)."""
    return _printed("talk", site, edition, {"lesson": lesson, "title": title, "figures": figures})


def sign_off_sheet(site: str, edition: str, role: str, title: str, leaf: int, leaves: int, lessons: Iterable[Mapping[str, Any]]) -> Printed:
    """A leaf of a role's sign-off sheets.

    Of each of its ``lessons`` there are ``id``, ``title``, ``figures`` (its print) and ``criteria``, the lines to tick
    as ``{"us": ..., "metric": ...}``.
    """
    return _printed(
        "sign-off", site, edition, {"role": role, "title": title, "leaf": leaf, "leaves": leaves, "lessons": [dict(x) for x in lessons]}
    )
