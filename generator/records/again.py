"""Whether the register's rows say what comes out: its results marked again by the editions that are kept, and its names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from generator.jobsite.model import JobSite
from generator.language.words import said
from generator.quiz.edition import FOLDER, figures_of
from generator.records.editions import Editions, LessonMarking, lesson_of
from generator.records.flags import Refused
from generator.records.mark import Marked, mark
from generator.records.paper import paper_result
from generator.records.results import Result, read_file, read_slip
from generator.records.roster import name_print, printed
from generator.register.entry import Entry
from generator.register.store import FILE, Register
from generator.source.problem import Problem
from generator.working.ledger import SCALE


def misnamed(register: Register) -> tuple[int, Problem | None]:
    """How many names are those that the rows were written for, by their prints, and the first that is not, by id.

    A name that was taken out fits; one that is gone otherwise, or that lost its salt, does not.
    """
    names, salts, forgotten = register.names(), register.salts(), register.forgotten()
    rows = sorted((*register.entries(kind="person"), *register.entries(kind="mentor")), key=lambda e: e.n)
    fit = 0
    for id_, told in sorted(printed(rows).items()):
        if id_ not in names and id_ in forgotten:
            continue
        if id_ in names and id_ in salts and name_print(salts[id_], names[id_]) == told:
            fit += 1
            continue
        what = "its name is not the one that its rows were written for" if id_ in names else "its name is gone, and nobody took it out"
        return fit, Problem(FILE, None, None, f"{id_}: {what}", "somebody changed the names in the file: compare them with a copy",
                            code="name-changed")  # fmt: skip
    return fit, None


@dataclass
class Remarked:
    """How many results were marked again; those whose edition is kept no longer, by row; the first that does not hold."""

    marked: int = 0
    without: tuple[int, ...] = ()
    wrong: Problem | None = None


def marked_again(site: JobSite, editions: Editions, entry: Entry) -> Marked:
    """One result marked from what its row keeps of it. Raises Refused."""
    given, where = entry.body["handed_in"], f"row {entry.n}"
    if entry.body["origin"] == "paper":
        made = paper_result(site, editions, {"crew": "", "lesson": "", "date": entry.day, **given}, where)
        if made is None:
            raise Refused("unreadable", said("it holds no answers"), said("put back a copy of the register"))
        return mark(*made)
    result: Result = read_file(given, where) if entry.body["origin"] == "file" else read_slip(given, where, search=False)
    return mark(result, editions.find(result.edition, result.lesson, result.figures))


def as_built(editions: Editions, lesson: LessonMarking) -> bool:
    """Whether a lesson's questions and the numbers of its ledger are still those its print was made of when it was built.

    True too where the ledger is not kept: there is nothing then that could say otherwise.
    """
    rows = editions.rows(lesson.ledger)
    if rows is None:
        return True
    numbers = [(r["place"], r["what"], r["us"], r["metric"]) for r in rows if lesson_of(r["page"]) == lesson.id]
    counted = [n for n in numbers if not n[0].startswith(SCALE)]
    # the scale of a drawing was among them once
    return lesson.figures in {figures_of(lesson.questions, found, lesson.sets) for found in (counted, numbers)}


def remark(site: JobSite, editions: Editions, entries: Iterable[Entry]) -> Remarked:
    """Mark every result again, and stop at the first row that says otherwise."""
    out = Remarked()
    looked: set[tuple[str, str, str]] = set()
    for e in entries:
        if e.kind != "result" or e.body.get("told"):
            continue
        try:
            now = marked_again(site, editions, e)
        except Refused:
            out.without = (*out.without, e.n)
            continue
        out.marked += 1
        told = (e.body["right"], e.body["of"], e.body["passed"], tuple(tuple(a) for a in e.body["answers"]), e.crew, e.lesson)
        found = (now.right, now.of, now.passed, tuple((a.q, a.right, a.mistake) for a in now.answers), now.result.crew, now.lesson.id)
        if told != found:
            out.wrong = Problem(
                FILE, None, None,
                f"row {e.n} says {told[0]} of {told[1]} right; marked again by edition {e.edition} it is {found[0]} of {found[1]}",
                "somebody changed the row or the edition: compare both with a copy", code="marked-otherwise",
            )  # fmt: skip
            return out
        key = (now.lesson.edition, now.lesson.id, now.lesson.figures)
        if key in looked:
            continue
        looked.add(key)
        if e.body["figures"] != now.lesson.figures or not as_built(editions, now.lesson):
            out.wrong = Problem(
                f"{FOLDER}/{now.lesson.ledger.name}", None, None,
                f"the numbers or the questions of {now.lesson.id} are other ones than those row {e.n} was taken on",
                "somebody changed the kept edition: put back its files from a copy", code="edition-changed",
            )  # fmt: skip
            return out
    return out
