"""Writing paper quizzes into the mentor folder, and what marks them into ``editions/paper``."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from generator.book.card import framed
from generator.book.content import Content, read_content
from generator.book.paper import Sheet, paper_quiz
from generator.book.words import bullets
from generator.jobsite.columns import CREW
from generator.jobsite.model import JobSite
from generator.jobsite.names import printed_in
from generator.jobsite.spreadsheet import csv_text
from generator.language.words import tr
from generator.language.words import using as said_in
from generator.publish.build import Problems, load
from generator.publish.languages import speech
from generator.publish.swap import staging
from generator.quiz.edition import FOLDER
from generator.source.jsontext import NotAsWritten, load_json, part
from generator.source.near import suggest, suggest_id
from generator.source.problem import Problem, Refusals
from generator.units.table import System
from generator.units.writing import using


@dataclass(frozen=True)
class Printed:
    """What was written; ``answers`` is the new answer table, None where all sheets were printed before."""

    folder: Path
    sheets: tuple[Sheet, ...]
    answers: Path | None


def write_papers(
    folder: Path, lessons: Sequence[str], crew: Sequence[str], attempt: int, units: System | None, today: datetime.date | None = None
) -> Printed:
    """Draw and write the sheets. Nothing that was printed before is overwritten or lost.

    Nobody who has left by ``today`` gets one. Each is in the person's language of the crew table, where the site has it, and else
    in the site's main one; all are marked alike.

    Raises Problems, swap.Busy or OSError.
    """
    content, site = load(folder)
    wanted = wanted_papers(content, site, lessons, crew, today or datetime.date.today())
    figures = _figures(folder, site)
    sheets: list[Sheet] = []
    spoken: dict[str, Content] = {}  # by language, but for the main one
    wrong: list[Problem] = []
    people = {p.id: p for p in site.crew}
    for id_, lesson in wanted:
        if lesson not in figures:
            wrong.append(
                Problem.of(str(folder), None, f"lesson {lesson} is not in the built edition {site.settings.edition}", "run seatwork build")
            )
            continue
        try:
            person = people[id_]
            other = person.language if person.language in site.settings.languages[1:] else ""
            drawn = lesson, person, attempt, units or site.settings.units, figures[lesson]
            with using(site.settings.writing):
                with said_in(speech(content.language, content.folder, folder)):
                    sheet = paper_quiz(content, printed_in(site, content.language), *drawn, language=other)
                if other:
                    if other not in spoken:
                        with said_in(speech(other, content.folder, folder)):
                            spoken[other] = read_content(
                                content.folder, folder, rules=printed_in(site, other).rules, language=other, main=content.language
                            )
                    with said_in(speech(other, content.folder, folder)):
                        sheet = paper_quiz(spoken[other], printed_in(site, other), *drawn, language=other, marked=sheet)
            sheets.append(sheet)
        except Refusals as e:
            wrong += e.problems
    if wrong:
        raise Problems(wrong)
    with staging(folder) as stage, said_in(speech(content.language, content.folder, folder)):
        return _write(folder, stage, sheets, content, printed_in(site, content.language))


def wanted_papers(
    content: Content, site: JobSite, lessons: Sequence[str], crew: Sequence[str], today: datetime.date
) -> list[tuple[str, str]]:
    """The person and lesson of each sheet, in the order of the crew, without those who had left by ``today``. Raises Problems."""
    ids = [p.id for p in site.crew]
    wrong = [
        Problem.of("", None, f"no crew id '{c[:40]}' in {site.table(CREW.file)}", suggest_id(c, ids, "check the id"))
        for c in crew
        if c not in ids
    ]
    wrong += [
        Problem.of("", None, f"{p.id} left on {p.left}", f"take {p.id} out, or put the day right in {site.table(CREW.file)}")
        for p in site.crew if p.id in crew and p.gone_on(today)
    ]  # fmt: skip
    wrong += [
        Problem.of("", None, f"no lesson '{x[:40]}'", suggest(x, content.lessons, "use the id of a lesson"))
        for x in lessons if x not in content.lessons
    ]  # fmt: skip
    if wrong:
        raise Problems(wrong)
    out = []
    for person in site.crew:
        if (crew and person.id not in crew) or person.gone_on(today):
            continue
        role = site.settings.roles.get(person.role)
        own = list(lessons) or [i for i in (role.lessons if role else ()) if i in content.lessons]
        out += [(person.id, i) for i in dict.fromkeys(own)]
    return out


def _figures(folder: Path, site: JobSite) -> dict[str, str]:
    """The print of each lesson of the built edition."""
    path = folder / FOLDER / f"{site.settings.edition}.json"
    try:
        return {i: part(x, "figures", str) for i, x in part(load_json(path), "lessons", dict).items()}
    except (NotAsWritten, OSError):
        raise Problems(
            [Problem.of(str(folder), None, f"edition {site.settings.edition} has not been built", "run seatwork build first")]
        ) from None


def _write(folder: Path, stage: Path, sheets: Sequence[Sheet], content: Content, site: JobSite) -> Printed:
    place, kept = folder / "out" / "mentor" / "paper", folder / FOLDER / "paper"
    for target in (place, kept):
        target.mkdir(parents=True, exist_ok=True)
    known = "".join(p.read_text("utf-8-sig", "replace") for p in sorted(place.glob("answers*.csv")))
    new = [s for s in sheets if s.code not in known]
    texts = {kept / f"{s.code.replace('-', '')}.json": s.kept for s in sheets}
    for s in sheets:
        texts[place / f"{s.name}.html"], texts[place / f"{s.name}-key.html"] = s.html, s.key
    answers = None
    if new:
        names = ("answers.csv", *(f"answers-{i}.csv" for i in range(2, 10_000)))
        answers = next(place / n for n in names if not (place / n).exists())
        most = max(s.count for s in new)
        texts[answers] = csv_text(
            ("sheet", "crew", "lesson", "date", *map(str, range(1, most + 1))),
            ((s.code, s.crew, s.lesson, "", *("" for _ in range(most))) for s in new),
        )
    there = {p.stem for p in place.glob("*.html")} | {p.stem for p in texts if p.suffix == ".html" and p.parent == place}
    quizzes = sorted(n for n in there if not n.endswith("-key") and n != "index")
    texts[place / "index.html"] = framed(
        f'<p class="caution">{tr("Keep this folder off the intranet: it holds answers.")}</p>'
        f"<p>{tr('Hand out the sheets. Type the answers into the answer table and give it to seatwork tally.')}</p>{_listed(quizzes, content, site)}",
        tr("Paper quizzes"), content, site, ("../index.html", tr("Mentor folder")), alone=True,
    )  # fmt: skip
    for i, (path, text) in enumerate(texts.items()):  # what marks a sheet first, then the sheet
        beside = stage / f"{i}"
        beside.write_bytes(text.encode())
        beside.replace(path)
    return Printed(place, tuple(sheets), answers)


def _listed(quizzes: Sequence[str], content: Content, site: JobSite) -> str:
    """Links to all sheets, by person; those of people who are no longer of the crew come last."""
    people = {p.id: p for p in site.crew}
    by_person: dict[str, list[str]] = {p: [] for p in people}
    for name in quizzes:
        # a file's name is LESSON-CREW-CODE, and ids may hold hyphens of their own
        lesson, crew = next(
            ((i, name[len(i) + 1 : -9]) for i in sorted(content.lessons, key=len, reverse=True) if name.startswith(f"{i}-")), ("", "")
        )
        title = content.lessons[lesson].title if lesson and crew in people else name
        by_person.setdefault(crew if crew in people else "", []).append(
            f'<a href="{escape(name)}.html">{escape(title)}</a> <span class="small">{escape(name[-8:-4])}-{escape(name[-4:])}</span>, '
            f'<a href="{escape(name)}-key.html">{tr("key")}</a>'
        )
    heads = {p: f"{p} {person.name}" for p, person in people.items()} | {"": tr("Others")}
    return "".join(f"<h2>{escape(heads[crew])}</h2>{bullets(links)}" for crew, links in by_person.items() if links)
