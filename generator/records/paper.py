"""Paper quizzes as handed in: rows of the answer table, read by the sheet's own marking."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any

from generator.jobsite.cells import BadCell, DateOrder, date, language
from generator.jobsite.model import JobSite
from generator.language.words import said
from generator.quiz.edition import FOLDER
from generator.records.answers import NotAFigure, figure_for
from generator.records.editions import Editions, LessonMarking, marking_of
from generator.records.flags import Refused
from generator.records.letters import slip_letters
from generator.records.results import Given, Result
from generator.source.jsontext import NotAsWritten, load_json, part, whole
from generator.units.table import SYSTEMS

_FIX = said("type the letter or the figure as it stands on the paper, or leave the cell empty")


def load_sheet(folder: Path, code: str) -> dict[str, Any]:
    """What is kept of one printed sheet. Raises Refused."""
    letters = slip_letters(code)
    if not re.fullmatch("[0-9A-Z]{8}", letters, re.ASCII):
        raise Refused("mistyped", said("'{code}' is no sheet code", code=code[:20]), said("copy it from the top of the sheet"))
    path = folder / FOLDER / "paper" / f"{letters}.json"
    try:
        data: dict[str, Any] = whole(load_json(path), dict)
        if data.get("seatwork_paper") != 1:
            raise NotAsWritten("its layout is another one")
        for key in ("crew", "lesson", "edition", "site", "figures", "sheet"):
            part(data, key, str)
        part(data, "pass_mark", (int, float))
        if part(data, "units", str) not in SYSTEMS:
            raise NotAsWritten("its units are not what was written")
        for question in part(data, "questions", list):
            if not marking_of(question)["variants"]:
                raise NotAsWritten("it has no figures")
    except FileNotFoundError:
        raise Refused(
            "mistyped", said("no sheet {code} was printed for this site", code=code[:20]), said("copy it from the top of the sheet")
        ) from None
    except (NotAsWritten, OSError):
        raise Refused(
            "unreadable", said("what was kept of sheet {code} cannot be read", code=code[:20]), said("print the sheet again")
        ) from None
    return data


def paper_result(site: JobSite, editions: Editions, row: Mapping[str, str], where: str) -> tuple[Result, LessonMarking] | None:
    """A row of the answer table as a result; None for a sheet not handed in yet. Raises Refused."""
    columns = sorted((k for k in row if k.isdecimal()), key=int)
    if not row["sheet"] or not any(row[k] for k in (*columns, "date") if k in row):
        return None
    sheet = load_sheet(site.folder, row["sheet"])
    crew, lesson = str(sheet["crew"]), str(sheet["lesson"])
    try:
        return _result(editions, sheet, row, columns, where, site.settings.dates)
    except Refused as e:
        raise Refused(e.name, e.what, e.fix, crew, lesson) from None


def _result(
    editions: Editions,
    sheet: Mapping[str, Any],
    row: Mapping[str, str],
    columns: list[str],
    where: str,
    dates: DateOrder | None,
) -> tuple[Result, LessonMarking]:
    for key in ("crew", "lesson"):
        if row[key] and row[key] != sheet[key]:
            raise Refused("mistyped", said("sheet {sheet} was printed for {key} {sheet2}, not '{row}'", sheet=row['sheet'][:20], key=key, sheet2=sheet[key], row=row[key][:40]),
                          said('check the sheet code and the {key}', key=key))  # fmt: skip
    try:
        day = date(row.get("date", ""), dates)
    except BadCell as e:
        raise Refused("unreadable", e.what if row.get('date') else said('the row has no date'),
                      e.fix if row.get('date') else said('write it as 2026-03-14')) from None  # fmt: skip
    questions = sheet["questions"]
    wanted = [str(i) for i in range(1, len(questions) + 1)]
    spare = [c for c in columns if c not in wanted and row[c]]
    if spare:
        raise Refused("mistyped", said('this sheet has {n} questions, but there is an answer {spare}', n=len(questions), spare=spare[0]),
                      said('check the row'))  # fmt: skip
    units = sheet["units"]
    given = tuple(Given(q["id"], q["kind"], 0, units, _answer(row.get(n, ""), n, q, units)) for n, q in zip(wanted, questions, strict=True))
    result = Result(
        "paper", where, sheet["crew"], sheet["lesson"], sheet["edition"], sheet["figures"], sheet["site"], None,
        datetime.combine(day, time(), UTC), given, None, str(sheet["sheet"]), language=_language(row) or _printed(sheet),
    )  # fmt: skip
    book = editions.find(sheet["edition"], sheet["lesson"], sheet["figures"])
    return result, LessonMarking(
        book.id, book.edition, book.title, book.about, book.figures, float(sheet["pass_mark"]), tuple(questions), book.ledger
    )


def _language(row: Mapping[str, str]) -> str:
    """The language of the sheet, where the table says it; it need not. Raises Refused."""
    try:
        return language(row["language"]) if row.get("language") else ""
    except BadCell as e:
        raise Refused("unreadable", e.what, e.fix) from None


def _printed(sheet: Mapping[str, Any]) -> str:
    """The language a sheet was printed in, where it is not the site's main one."""
    return str(sheet.get("language") or "")


def _answer(text: str, n: str, q: Mapping[str, Any], units: str) -> str | tuple[int, ...]:
    if q["kind"] == "number":
        if text:
            try:
                figure_for(text, q["variants"][0][units])
            except NotAFigure as e:
                raise Refused("mistyped", said("answer {n}: {what} ({fix})", n=n, what=e.what, fix=e.fix), _FIX) from None
        return text
    letters = re.sub(r"[\s,;/.&+>)(-]|\band\b", "", text, flags=re.I).upper()
    order = q["variants"][0][units]["order"]
    picked = []
    for letter in letters:
        place = ord(letter) - ord("A")
        if not 0 <= place < len(order):
            raise Refused("mistyped", said("answer {n}: there is no choice '{letter}'", n=n, letter=letter[:1]), _FIX)
        picked.append(order[place])
    if len(set(picked)) != len(picked):
        raise Refused("mistyped", said("answer {n} names a letter twice", n=n), _FIX)
    if picked and q["kind"] in {"one", "point"} and len(picked) != 1:
        raise Refused("mistyped", said("answer {n} takes one letter", n=n), _FIX)
    if picked and q["kind"] == "order" and len(picked) != q["count"]:
        raise Refused("mistyped", said("answer {n} needs all {count} letters, in order", n=n, count=q["count"]), _FIX)
    return tuple(picked)
