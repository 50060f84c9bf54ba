"""One damaged site, result file or workbook, or the drawings of one drawn site: made from its seed, and held to what must come out."""

from __future__ import annotations

import contextlib
import io
import json
import random
import zipfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from openpyxl.utils.exceptions import IllegalCharacterError

from generator.book.content import content_folder
from generator.book.errors import told
from generator.book.overrides import MERGED, entries_of, take
from generator.book.tree import render_tree
from generator.jobsite.columns import MENTORS, TABLES
from generator.jobsite.problems import SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.spreadsheet import csv_text
from generator.publish.build import Problems, load
from generator.records.demo_class import slip_code
from generator.records.desk import tally
from generator.records.readiness import readiness
from generator.records.report import files, terminal
from tests.book.drawn_sites import drawings, drawn_site, sites
from tests.book.places import added, put, small
from tests.book.test_scene_laws import SHIPPED, breaches, by_name
from tests.fuzz import damage
from tests.jobsite.lessons import LESSONS
from tests.jobsite.sheets import as_book
from tests.records import small as records

NOW = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
TAKEN = (
    "cautions.yml:manual", "glossary.yml:crest", "mistakes.yml", "cards.yml:excavator", "sheets/frame.html", "sheets/tailgate.html",
)  # fmt: skip


class Fuzz:
    """Cases of one kind in a folder of their own. ``run`` raises AssertionError, or whatever the program raised."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self.prepare()

    def prepare(self) -> None:
        raise NotImplementedError

    def run(self, seed: int) -> str:
        """The case of a seed; a word about what came out."""
        raise NotImplementedError


def held(lines: list[str]) -> None:
    """What a person reads is lines that can be printed, and short enough to be read."""
    assert lines
    for line in lines:
        assert line.isprintable(), f"not printable: {line!r}"
        assert len(line) < 2000, f"{len(line)} letters: {line[:200]}"


class Sites(Fuzz):
    """A small site with files of its own of every kind; one or two of them damaged."""

    def prepare(self) -> None:
        shipped = content_folder()
        self.site = small(self.place / "site", "gate-check", "bench-height")
        added(self.site, "gate-check")
        for name in TAKEN:
            for entry in entries(shipped, name):
                take(self.site, shipped, entry)
        put(self.site, {
            "chapters.yml": "- id: ground\n  title: The ground here\n",
            "allowed-figures.yml": "- text: \"channel 4\"\n  reason: The channel of this site.\n",
            "look/sheet.css": "h1 { color: #123; }\n@media print { p { margin: 0 } }\n",
        })  # fmt: skip
        self.originals = {p.relative_to(self.site).as_posix(): p.read_bytes() for p in sorted(self.site.rglob("*")) if p.is_file()}
        self.names = [n for n in self.originals if not n.startswith(".")]

    def run(self, seed: int) -> str:
        rng = random.Random(f"site {seed}")
        chosen = rng.sample(self.names, rng.choice((1, 1, 1, 2)))
        try:
            for name in chosen:
                original = self.originals[name]
                if rng.random() < 0.1:
                    new = damage.raw(rng, original)
                else:
                    others = tuple(d.decode("utf-8", "replace") for n, d in self.originals.items() if n != name)
                    new = damage.text(rng, original.decode("utf-8", "replace"), others).encode("utf-8", "surrogatepass")
                (self.site / name).write_bytes(new)
            try:
                content, site = load(self.site)
            except Problems as e:
                held(e.lines)
                return "refused"
            tree = render_tree(content, site)
            if tree.problems:
                held([str(p) for p in told(tree.problems)])
                return "refused late"
            return "rendered"
        finally:
            for name in chosen:
                (self.site / name).write_bytes(self.originals[name])


def entries(shipped: Path, name: str) -> Iterator[str]:
    """A name to take, or where a whole table of words is named its first entries."""
    if name in MERGED:
        yield from (f"{name}:{key}" for key in list(entries_of(shipped / name))[:5])
    else:
        yield name


class Results(Fuzz):
    """Result files, slips, paper and sign-offs, with damage and with good checks over forged values."""

    def prepare(self) -> None:
        self.site = records.small_site(self.place / "site")
        self.tables = read(self.site)
        self.good = [records.a_result(self.site, lesson=i, days=d) for i in records.LESSONS for d in range(2)]
        self.slip = slip_code(self.good[0], records.marking(self.site))
        self.results = self.site / "results"
        self.results.mkdir()

    def made(self, rng: random.Random) -> tuple[str, bytes]:
        """A name and what stands in the file."""
        kind = rng.randrange(8)
        file = rng.choice(self.good)
        if kind < 3:
            forged: Any = file
            for _ in range(rng.choice((1, 1, 2))):
                forged = damage.within(rng, forged)
            if isinstance(forged, dict):
                with contextlib.suppress(ValueError, OverflowError, TypeError, RecursionError):
                    forged = records.signed(forged)
            return "a.json", dumped(forged)
        if kind == 3:
            return "a.json", damage.raw(rng, json.dumps(file).encode())
        if kind == 4:
            return "a.json", damage.text(rng, json.dumps(file, indent=1)).encode("utf-8", "surrogatepass")
        if kind == 5:
            many = [damage.value(rng) for _ in range(rng.choice((10, 300, 1500)))]
            return "a.json", dumped(many) if rng.random() < 0.5 else b"\n".join(dumped(v) for v in many)
        if kind == 6:
            codes = [(damage.text(rng, self.slip),) for _ in range(rng.choice((1, 30)))]
            return "a.csv", csv_text(("code",), codes).encode("utf-8", "surrogatepass")
        table = rng.choice((
            "crew,lesson,machine,date,mentor\nP-01,bench-height,E-2,2026-03-12,m\nP-02,truck-match,E-1,3/14/2026,n\n",
            "sheet,crew,lesson,date,1,2,3\nABCD-EFGH,P-01,bench-height,2026-03-12,A,12 ft,BC\n", f"code\n{self.slip}\n",
        ))  # fmt: skip
        return "a.csv", damage.text(rng, table).encode("utf-8", "surrogatepass")

    def run(self, seed: int) -> str:
        rng = random.Random(f"result {seed}")
        name, data = self.made(rng)
        (self.results / name).write_bytes(data)
        (self.results / "good.json").write_text(json.dumps(self.good[0]), "utf-8")
        try:
            done = tally(self.tables, [self.results], NOW)
            for flag in done.flags:
                held([str(flag)])
            made = readiness(self.tables, done)
            held([line for line in terminal(made, 10_000) if line])
            for text in files(made).values():
                text.encode("utf-8", "replace")
            # the good one counts, unless the other is the same try or claims to be
            again = {"duplicate", "copied", "conflict"} & {f.name for f in done.flags}
            assert again or any(m.result.where.startswith("results/good.json") for m in done.marked), "the good file was lost"
            return "flagged" if done.flags else "counted"
        finally:
            (self.results / name).unlink()


def dumped(value: Any) -> bytes:
    """JSON with whatever stands in it."""
    return json.dumps(value).encode("utf-8", "surrogatepass")


class Workbooks(Fuzz):
    """A site's tables as a workbook: cells, parts of the file and its bytes damaged."""

    def prepare(self) -> None:
        self.site = small(self.place / "site")
        self.tables = self.place / "tables"
        self.tables.mkdir()
        for table in (*TABLES, MENTORS):
            (self.site / table.file).rename(self.tables / table.file)
        out = io.BytesIO()
        self.book().save(out)
        self.original = out.getvalue()
        with zipfile.ZipFile(io.BytesIO(self.original)) as archive:
            self.parts = {n: archive.read(n) for n in archive.namelist()}

    def book(self) -> Any:
        return as_book(self.tables, (MENTORS,))

    def made(self, rng: random.Random) -> bytes:
        kind = rng.randrange(5)
        if kind == 0:
            return damage.raw(rng, self.original)
        if kind == 1:
            book = self.book()
            for _ in range(rng.choice((1, 3, 10))):
                sheet = rng.choice(book.worksheets)
                cell = sheet.cell(rng.randint(1, sheet.max_row + 2), rng.randint(1, sheet.max_column + 2))
                new = rng.choice((*damage.PIECES, 0, -1, 1e308, 1e-308, True, datetime(1900, 1, 1), datetime(9999, 12, 31), "=1/0", "=A1"))
                try:
                    cell.value = new
                except (ValueError, IllegalCharacterError):  # a sign no workbook can hold
                    cell.value = "x"
            out = io.BytesIO()
            book.save(out)
            return out.getvalue()
        parts = dict(self.parts)
        name = rng.choice(list(parts))
        if kind == 2:
            parts[name] = damage.text(rng, parts[name].decode("utf-8")).encode("utf-8", "surrogatepass")
        elif kind == 3:
            parts[name] = damage.raw(rng, parts[name])
        else:
            parts.pop(name)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
            for part, data in parts.items():
                archive.writestr(part, data)
        return out.getvalue()

    def run(self, seed: int) -> str:
        (self.site / "site.xlsx").write_bytes(self.made(random.Random(f"workbook {seed}")))
        try:
            read(self.site, LESSONS)
        except SiteProblems as e:
            held([str(p) for p in e.problems])
            return "refused"
        return "read"


class Drawings(Fuzz):
    """Drawings of a site with other machines, ground, limits and job, measured by a stranger; a few of each site."""

    def prepare(self) -> None:
        self.shipped = sites(self.place)

    def run(self, seed: int) -> str:
        refused = 0
        # an eighth is a second or two of work; seeds that follow one another take one eighth after the other
        for drawn in drawings(drawn_site(self.shipped[SHIPPED[seed % 3]], seed), each=8, start=seed):
            refused += bool(drawn.refused)
            assert all(map(by_name, drawn.refused)), drawn.refused
            found = [] if drawn.refused else breaches(drawn)
            assert found == [], (drawn.lesson, drawn.scene, found)
        return "refused in part" if refused else "drawn"


KINDS: dict[str, Callable[[Path], Fuzz]] = {"site": Sites, "result": Results, "workbook": Workbooks, "drawing": Drawings}
