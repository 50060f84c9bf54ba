"""The command about records of persons and lessons, and about their seals."""

from __future__ import annotations

import argparse
import datetime
import os
import sys
from pathlib import Path
from typing import Any

from generator.cli.commands import not_written
from generator.cli.records import _fail, _site
from generator.source.problem import Refusal

MOST_TEXT = 5_000_000  # bytes of a file to check


def _readiness(folder: Path, as_of: datetime.datetime | None) -> Any:
    """Who is ready on a day by the register, who had left by then among them, and the names beside the ids. Raises Refusal and Refusals."""
    from generator.records.desk import open_desk
    from generator.records.readiness import readiness

    clock = datetime.datetime.now(datetime.UTC)
    day = as_of.date() if as_of else datetime.datetime.now().astimezone().date()
    with open_desk(_site(folder), write=False) as desk:
        site, found = desk.on(as_of or clock, day, leavers=True)
        return readiness(site, found, day, desk.rows.head()), dict(desk.rows.names())


def record(args: argparse.Namespace) -> int:
    """Write the record of a person, of a lesson, or of everybody; or check one."""
    asked = sum((args.person is not None, args.lesson is not None, args.all, args.check is not None))
    if asked != 1:
        return _fail("say what to write: a crew id, --lesson ID or --all; or name a page or a seal's text with --check")
    if args.check is not None:
        return _check(args)
    if args.folder is None:
        return _fail("name the job site's folder")
    folder: Path = args.folder
    from generator.jobsite.reader import SiteProblems
    from generator.records.wording import in_its_language

    try:
        readiness, names = _readiness(folder, args.as_of)
        with in_its_language(readiness.site):
            written = _write(args, readiness, names)
    except SiteProblems as e:
        return _fail(*(str(p) for p in e.problems))
    except OSError as e:
        return _fail(not_written(e, args.out or folder, "choose another folder with --out"))
    for line in written:
        print(line)
    return 0


def _write(args: argparse.Namespace, readiness: Any, names: Any) -> list[str]:
    """Write what was asked for; the lines that say where. Raises Refusal and OSError."""
    from generator.publish.pdf import find_browser
    from generator.records.record import Records
    from generator.records.record_page import Listed, file_name, index_page, lesson_page
    from generator.records.seal import private_key

    records = Records(readiness, names)
    base: Path = args.out or args.folder / "out" / "mentor" / "records" / ("lessons" if args.lesson is not None else "people")
    if args.pdf:
        find_browser()  # before anything is written
    key = private_key(args.folder)
    pages: dict[str, str] = {}
    if args.lesson is not None:
        pages[file_name(args.lesson)] = lesson_page(records.lesson(args.lesson))
    else:
        found = [records.of(i) for i in (records.ids if args.all else (args.person,))]
        pages = {file_name(r.id): _sealed(r, key) for r in found}
        if args.all:
            if not found:
                raise Refusal(f"{args.folder}: nobody has a record", "fill in the crew table first")
            listed = [Listed(r, f"{file_name(r.id)}.html", f"{file_name(r.id)}.pdf" if args.pdf else "") for r in found]
            pages["index"] = index_page(listed)
    base.mkdir(parents=True, exist_ok=True)
    for name, text in pages.items():
        _put(base / f"{name}.html", text)
    if args.pdf:
        _print(base, [n for n in pages if n != "index"], readiness.day)
    first = base / f"{'index' if args.all else next(iter(pages))}.html"
    out = [f"{len(pages) - 1} records"] if args.all else []
    if key is None and args.lesson is None:
        out.append(f"no seal:  the site has no key; seatwork register {args.folder} --new-key makes one")
    if args.pdf:
        out.append("PDF:      " + (str(base) if args.all else str(first.with_suffix(".pdf"))))
    return [*out, f"open:     {first}"]


def _sealed(r: Any, key: Any) -> str:
    from generator.records.record_page import SealOn, person_body, person_page, text_digest
    from generator.records.seal import fingerprint, picture, seal

    body = person_body(r)
    if key is None:
        return person_page(r, None, body)
    text = seal(key, r.facts(text_digest(body)))
    return person_page(r, SealOn(text, picture(text, f"Seal of the record {r.id}"), fingerprint(key.public_key())), body)


def _put(path: Path, text: str) -> None:
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        beside.write_bytes(text.encode("utf-8", "replace"))
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def _print(base: Path, names: list[str], day: datetime.date) -> None:
    from generator.publish.pdf import print_all

    when = int(datetime.datetime.combine(day, datetime.time(), datetime.UTC).timestamp())

    def progress(line: str) -> None:
        if sys.stderr.isatty():
            print(f"\r{line}", end="\n" if line.startswith(f"PDF [{'#' * 20}]") else "", file=sys.stderr)

    print_all([(base / f"{n}.html", base / f"{n}.pdf") for n in names], progress, when)


# --- checking -------------------------------------------------------------------------------


def _check(args: argparse.Namespace) -> int:
    """Say whether a seal holds, and what it says."""
    from generator.records.record_page import in_groups as _groups
    from generator.records.record_page import of_page
    from generator.records.seal import FOLDER, PUBLIC, NotSealed, check, fingerprint, public_key

    if args.key is None and args.folder is None:
        return _fail("name the site's public key with --key, or the job site's folder")
    key = public_key(args.key or args.folder / FOLDER / PUBLIC)
    text, digest = _given(args.check), ""
    if "<main>" in text:
        text, digest = of_page(text)
        if not text:
            raise NotSealed("this page bears no seal", "ask for one that does, or compare it with the site's register")
    facts = check(text, key)
    if digest and digest != facts.get("digest"):
        raise NotSealed(
            "the seal holds, and the page's text is not the one it was put on", "do not rely on the page; ask the site for it again"
        )
    print(f"The seal holds: signed with key {fingerprint(key)}" + (", and the page's text is the one it was put on." if digest else "."))
    for name, value in facts.items():
        print(f"  {name:<10} {_groups(str(value)) if name == 'digest' else _plain(value) or 'none'}")
    if not digest:
        print("Compare these with the page: its digest must be this one.")
    print("This proves who wrote it and that it was not changed since; not that it is true, that the bearer is the person,")
    print("or that nothing has happened since that day.")
    return 0


def _plain(value: object) -> str:
    return "".join(ch if ch.isprintable() else "�" for ch in str(value))


def _given(what: str) -> str:
    """The text itself, that of a file, or with - what comes in on standard input. Raises Refusal."""
    from generator.records.seal import PREFIX

    if what == "-":
        return sys.stdin.read(MOST_TEXT)
    if what.lstrip().upper().startswith(PREFIX):
        return what
    path = Path(what)
    try:
        with path.open("rb") as f:
            data = f.read(MOST_TEXT + 1)
        if len(data) > MOST_TEXT:
            raise Refusal(f"{what[:200]}: it is larger than {MOST_TEXT // 1_000_000} MB", "name the record's page, or its seal")
        return data.decode("utf-8-sig")
    except (OSError, ValueError):  # no such file, no name of a file, or no text
        raise Refusal(
            f"{what[:200]}: this is no file with a record and no seal, which begins with {PREFIX}", "name the page, or give the seal's text"
        ) from None
