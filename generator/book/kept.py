"""Parts of the book that an earlier build rendered, found again by what they were made from.

A part is asked for in two steps. Under the print of all that is fixed (:attr:`Sources.fixed`) and the
job stands what such parts have read, each time a list of notes. For each list the notes' entries are
looked up as they are now, and under the print of those stands the part itself. So no part is taken
that read anything which is otherwise now.

Only plain data is kept: JSON, of which the part is made anew.
"""

from __future__ import annotations

import base64
import json
import os
import platform
import sys
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

from generator.book.parallel import Job
from generator.book.part import Part, Tree
from generator.book.seen import Read, Sources, Unprintable
from generator.quiz.printed import Printed
from generator.source.problem import Cause, Problem, Severity
from generator.source.store import Store, digest, files_print, packages_print
from generator.working.ledger import Entry, Ledger

FRESH = "SEATWORK_FRESH"  # set to 1, nothing that is kept is used
_LISTS = 6  # of what the parts of a job have read, the latest first
_PACKAGE = Path(__file__).resolve().parent.parent
_MAKE_PAGES = ("mkdocs", "material", "markdown", "jinja2")  # installed packages whose files shape every page
_SINCE = time.time_ns()  # the program that runs was read before


def fresh_wanted() -> bool:
    """Whether the environment asks for a build without what is kept."""
    return os.environ.get(FRESH, "") not in {"", "0"}


def made_with(content: Path) -> str | None:
    """The print of the program, its packages and the shipped files that are read while parts are rendered.

    None where the program's own files were written while it ran: nobody can tell then what it is.
    """
    if any(_written(p) >= _SINCE for p in _PACKAGE.rglob("*") if "__pycache__" not in p.parts and p.is_file()):
        return None
    return digest(
        files_print(_PACKAGE),
        files_print(content, ("lessons/", "questions/")),
        packages_print(_MAKE_PAGES),
        sys.version,
        platform.machine(),
    )


def _written(path: Path) -> int:
    """When a file was last written, or put where it is with an older day: a copy may bring its day along."""
    found = path.stat()
    return max(found.st_mtime_ns, found.st_ctime_ns)


class KeptParts:
    """What is kept of a site's parts. ``taken`` and ``made`` count."""

    def __init__(self, store: Store, sources: Sources) -> None:
        self.store, self.sources = store, sources

    def _reads_of(self, job: Job) -> str:
        return digest("reads", self.sources.fixed, *_words(job))

    def _part_of(self, job: Job, reads: Iterable[Read]) -> str:
        found = [text for read in sorted(reads) for text in (*read, self.sources.print_of(read))]
        return digest("part", self.sources.fixed, *_words(job), "reads", *found)

    def _lists(self, job: Job) -> list[list[Read]]:
        raw = self.store.get(self._reads_of(job))
        return [[(str(n), str(k)) for n, k in reads] for reads in json.loads(raw)] if raw is not None else []

    def get(self, job: Job) -> Part | None:
        """The part of a job, where one is kept that read only what is the same now."""
        with suppress(Unprintable):
            return self._get(job)
        return None

    def _get(self, job: Job) -> Part | None:
        for reads in self._lists(job):
            raw = self.store.get(self._part_of(job, reads))
            if raw is not None:
                return unpacked(raw)
        return None

    def put(self, job: Job, part: Part, seen: set[Read]) -> None:
        """Keeps a part that has no mistake in it, with the notes of what it read."""
        if part.tree.problems:
            return
        reads = sorted(seen)
        with suppress(Unprintable):
            self.store.put(self._part_of(job, reads), packed(part))
            lists = [reads, *(found for found in self._lists(job) if found != reads)]
            self.store.put(self._reads_of(job), json.dumps(lists[:_LISTS]).encode())


def _words(job: Job) -> tuple[str, ...]:
    return job.what, job.name, str(job.first), str(job.end)


def packed(part: Part) -> bytes:
    """A part as bytes."""
    tree = part.tree
    data = {
        "docs": _files(tree.docs), "mentor": _files(tree.mentor), "ledger": [_entry(e) for e in tree.ledger.entries],
        "marking": tree.marking, "sheets": [[s.code, s.kept] for s in tree.sheets], "notices": [asdict(n) for n in tree.notices],
        "formulas": part.formulas, "terms": None if part.terms is None else sorted(part.terms), "chapter": part.chapter,
        "alike": part.alike,
    }  # fmt: skip
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def unpacked(raw: bytes) -> Part:
    """The part that :func:`packed` made bytes of."""
    data = json.loads(raw.decode("utf-8", "surrogatepass"))
    tree = Tree(
        docs=_bytes(data["docs"]), mentor=_bytes(data["mentor"]), ledger=Ledger([Entry(*e) for e in data["ledger"]]),
        marking=data["marking"], sheets=[Printed(code, kept) for code, kept in data["sheets"]],
        notices=[_notice(n) for n in data["notices"]],
    )  # fmt: skip
    terms, chapter = data["terms"], data["chapter"]
    return Part(
        tree, tuple(data["formulas"]), None if terms is None else frozenset(terms), None if chapter is None else tuple(chapter), data["alike"]
    )  # fmt: skip


def _entry(e: Entry) -> list[Any]:
    return [
        e.page,
        e.place,
        e.what,
        dict(e.values),
        e.si,
        e.calculation,
        {s: dict(v) for s, v in e.inputs.items()},
        list(e.sources),
        e.origin,
    ]


def _notice(data: dict[str, Any]) -> Problem:
    causes = tuple(Cause(**c) for c in data.pop("causes"))
    return Problem(**{**data, "causes": causes, "about": tuple(data["about"]), "severity": Severity(data["severity"])})


def _files(files: Mapping[str, str | bytes]) -> dict[str, Any]:
    return {n: d if isinstance(d, str) else {"bytes": base64.b64encode(d).decode("ascii")} for n, d in files.items()}


def _bytes(files: Mapping[str, Any]) -> dict[str, str | bytes]:
    return {n: d if isinstance(d, str) else base64.b64decode(d["bytes"]) for n, d in files.items()}
