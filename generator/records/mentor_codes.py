"""Mentors' own codes: what proves on a file from the phone page that a mentor signed it.

They stand in ``FOLDER/register/`` and nowhere else. A build never reads them, and nothing of them is published: the
page on the phone asks the mentor for the code and keeps none.
"""

from __future__ import annotations

import csv
import datetime
import io
import os
import re
import secrets
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape
from pathlib import Path

from generator.jobsite.model import JobSite, Mentor
from generator.language.words import current, tr
from generator.records.letters import LETTERS, slip_letters
from generator.records.wording import in_its_language
from generator.source.near import suggest
from generator.source.problem import Problem, Refusal, Refusals

FOLDER = "register"
TABLE = f"{FOLDER}/mentor-codes.csv"
PAGE = f"{FOLDER}/mentor-codes.html"
HEADS = ("mentor", "code", "made on", "until")
LENGTH = 12
MOST = 2000  # rows of the table
Codes = Mapping[str, Sequence["MentorCode"]]


@dataclass(frozen=True, slots=True)
class MentorCode:
    """A mentor's code in its 12 letters. ``until`` is the last day of an old one that a new one took the place of."""

    mentor: str
    code: str
    made: datetime.date
    until: datetime.date | None = None

    @property
    def grouped(self) -> str:
        """The code as printed: three groups of four."""
        return "-".join(self.code[i : i + 4] for i in range(0, LENGTH, 4))


class NoMentors(Refusal):
    """A site without mentors has nobody to make a code for."""

    code = "no-mentors"


# --- the letters ---


def _after(total: int, letter: str) -> int:
    """One more letter of a code: doubled in the field of 32 elements, then added."""
    total <<= 1
    return (total ^ 0x25 if total & 32 else total) ^ LETTERS.index(letter)


def adds_up(code: str) -> bool:
    """Whether the last of 12 letters fits the others. One letter mistyped or two neighbours swapped never do.

    The page on the phone asks the same, so that a slip of the pen is told there and not weeks later.
    """
    total = 0
    for letter in code:
        if letter not in LETTERS:
            return False
        total = _after(total, letter)
    return len(code) == LENGTH and total == 0


def new_code() -> str:
    """Twelve letters: eleven drawn by the system's own source of chance (55 bits), and one that makes them add up."""
    drawn = "".join(secrets.choice(LETTERS) for _ in range(LENGTH - 1))
    return next(drawn + last for last in LETTERS if adds_up(drawn + last))


# --- the table ---


def read_codes(folder: Path) -> dict[str, list[MentorCode]]:
    """The codes of a job site's folder by mentor, in the order of the table; none where it has none. Raises Refusals."""
    path = folder / TABLE
    try:
        text = path.read_text("utf-8-sig")
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as e:
        raise Refusals([_problem(None, "cannot be read", f"check it ({type(e).__name__}), or put back a copy of it")]) from None
    first = text.partition("\n")[0]
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in first else ","))
    wrong: list[Problem] = []
    out: dict[str, list[MentorCode]] = {}
    if not rows or [c.strip().lower() for c in rows[0][: len(HEADS)]] != list(HEADS):
        raise Refusals([_problem(1, "its headings are not those of the table of codes", f"they are {', '.join(HEADS)}")])
    if len(rows) > MOST:
        raise Refusals([_problem(None, f"it has more than {MOST:,} rows", "put back a copy of it")])
    for line, row in enumerate(rows[1:], 2):
        cells = [c.strip() for c in (*row, "", "", "", "")[: len(HEADS)]]
        if not any(cells):
            continue
        mentor, letters = cells[0][:80], slip_letters(cells[1])
        if not mentor:
            wrong.append(_problem(line, "there is no mentor's id", "fill it in, or take the row out"))
        elif not adds_up(letters):
            wrong.append(
                _problem(line, f"the code of {mentor} does not add up", f"put back a copy of the table, or run it with --new-code {mentor}")
            )
        elif (made := _day(cells[2])) is None or (cells[3] and _day(cells[3]) is None):
            wrong.append(_problem(line, f"a day of {mentor} is no day", "write it as 2026-03-14"))
        else:
            out.setdefault(mentor, []).append(MentorCode(mentor, letters, made, _day(cells[3])))
    if wrong:
        raise Refusals(wrong)
    return out


def _problem(line: int | None, what: str, fix: str) -> Problem:
    return Problem.of(TABLE, line, what, fix)


def _day(text: str) -> datetime.date | None:
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
        return None
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        return None


# --- making them ---


@dataclass(frozen=True)
class HandedOut:
    """What a run of :func:`hand_out` did: the mentors who got a code, and those whose old one holds no more."""

    made: tuple[str, ...]
    renewed: tuple[str, ...]
    page: Path

    @property
    def lines(self) -> list[str]:
        """What to tell of it."""
        said = [f"made a code for {', '.join(self.made)}"] if self.made else ["every mentor has a code"]
        said += [f"the old code of {i} holds for nothing signed after today" for i in self.renewed]
        return [*said, f"print {self.page}, cut it, give each mentor their own slip, then delete the page"]


def hand_out(folder: Path, site: JobSite, today: datetime.date, renew: Collection[str] = ()) -> HandedOut:
    """Make the codes that are missing, and new ones for the mentors of ``renew``; write the table and the page of slips.

    Both are written so that only the account that runs this may read them. Raises NoMentors, Refusals or OSError.
    """
    mentors = {m.id: m for m in site.mentors or ()}
    if not mentors:
        raise NoMentors("this site has no mentors", "list them in mentors.csv first")
    for id_ in renew:
        if id_ not in mentors:
            raise Refusals(
                [Problem.of(site.table("mentors.csv"), None, f"there is no mentor '{id_[:40]}'", suggest(id_, mentors, "check the id"))]
            )
    kept = read_codes(folder)
    made, renewed = [], []
    for id_, mentor in mentors.items():
        if mentor.until is not None and mentor.until < today:
            continue
        own = kept.setdefault(id_, [])
        if id_ in renew:
            renewed += [id_] if any(c.until is None for c in own) else []
            own[:] = [c if c.until is not None else replace(c, until=today) for c in own]
        if all(c.until is not None for c in own):
            own.append(MentorCode(id_, new_code(), today))
            made.append(id_)
    rows = io.StringIO(newline="")
    table = csv.writer(rows, lineterminator="\n")
    table.writerow(HEADS)
    for codes in kept.values():
        table.writerows([c.mentor, c.grouped, c.made.isoformat(), c.until.isoformat() if c.until else ""] for c in codes)
    (folder / FOLDER).mkdir(exist_ok=True)
    _write(folder / TABLE, rows.getvalue())
    now = [(mentors[i], codes[-1]) for i, codes in kept.items() if i in mentors and codes and codes[-1].until is None]
    with in_its_language(site):
        _write(folder / PAGE, slips_page(site, now))
    return HandedOut(tuple(made), tuple(renewed), folder / PAGE)


def _write(path: Path, text: str) -> None:
    """Writes a file whole or not at all, for the owner alone."""
    new = path.with_name(f".{path.name}.new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)


_STYLE = """\
:root { color-scheme: light dark; }
body { font: 11pt/1.45 system-ui, "Segoe UI", Roboto, "Noto Sans", "DejaVu Sans", sans-serif; margin: 0 auto; padding: 1rem; max-width: 46rem; }
.slips { display: grid; grid-template-columns: repeat(auto-fit, minmax(20rem, 1fr)); }
.slip { border: 1.5pt dashed #767676; padding: 12pt 14pt; break-inside: avoid; overflow-wrap: anywhere; }
.slip h2 { font-size: 12pt; margin: 0; }
.slip p { margin: 4pt 0; }
.code { font: 700 17pt/1.5 ui-monospace, "DejaVu Sans Mono", monospace; letter-spacing: .06em; white-space: nowrap; }
@media print { body { padding: 0; max-width: none; } .note { display: none; } }
"""


def slips_page(site: JobSite, codes: Sequence[tuple[Mentor, MentorCode]]) -> str:
    """A page of slips to cut, one for each mentor. It stands by itself and runs nothing."""
    name = escape(site.settings.name)
    title, head = tr("Mentors' codes: {site}", site=name), tr("Mentors' codes")
    slips = "".join(
        f'<section class="slip"><h2>{tr("Mentor {id}: {name}", id=escape(m.id), name=escape(m.name))}</h2><p>{name}</p>'
        f"<p>{tr('Your own code for signing off on the phone:')}</p>"
        f'<p class="code">{c.grouped}</p><p>'
        + tr(
            "It stands for your signature. Tell it to nobody, take no photo of it, and type it yourself. Lost, or seen by somebody? Tell your "
            "coordinator the same day: you get a new one. Made on {day}.",
            day=c.made.isoformat(),
        )
        + "</p></section>"
        for m, c in codes
    )
    return (
        f'<!doctype html>\n<html lang="{current()}">\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f'<title>{title}</title>\n<style>\n{_STYLE}</style>\n<h1 class="note">{head}</h1>\n'
        '<p class="note">'
        + tr(
            "Print this page, cut it along the lines, and give each mentor their own slip by hand. "
            "Then delete this page: it is written again when it is asked for."
        )
        + "</p>\n"
        f'<div class="slips">{slips}</div>\n</html>\n'
    )
