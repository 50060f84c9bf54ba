"""What must be kept of an edition so that its results can be marked again later.

A job site keeps, beside ``out``, ``editions/EDITION.json`` (how every question of that edition
is marked) and ``editions/EDITION.ledger.json`` (the numbers its lessons stood on). Where an
edition is built again with other figures, what the new files no longer say is kept as
``EDITION.PRINT.json`` and ``EDITION.PRINT.ledger.json``. Results name their ``figures``, a print
of the lesson's questions and numbers, so that each is marked by the figures it was taken on.
What stands on sign-off and tailgate sheets is kept by their codes in ``editions/sheets``.
"""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
import json
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from generator.quiz.printed import SHEETS, Printed
from generator.source.jsontext import NotAsWritten, load_json, part, whole
from generator.source.problem import Refusal

FOLDER = "editions"
FIGURES = "figures-go-here"  # in the page until the whole lesson is known


class EditionDamaged(Refusal):
    """The file kept of an edition is not as it was written, so what it says cannot be kept on."""

    code = "edition-damaged"


_TAGS = re.compile(r"<[^>]*>")
_BLANK = re.compile(r"⟦\d+⟧")


def plain(text: str) -> str:
    """A template of the page as a line for a report: no markup, blanks as dots."""
    from html import unescape

    return " ".join(unescape(_TAGS.sub("", _BLANK.sub("…", text))).split())


def fits(free: Iterable[Sequence[int]], item: int, place: int) -> bool:
    """Whether an item of an order question may stand in a place: its own, or one of those it may change with."""
    return item == place or any(item in group and place in group for group in free)


READS_AS = ("decimal", "comma", "point")  # what an answer says of how figures typed for it are read


def question_marking(data: Mapping[str, Any], labels: Sequence[str]) -> dict[str, Any]:
    """How one question is marked: of the page's data, only what marking needs.

    ``labels`` name its choices, items or spots in a report, by index.
    """
    kind = data["kind"]
    count = len(data["spots"]) if kind == "point" else len(data["texts"]["us"])
    made: dict[str, Any] = {
        "id": data["id"], "kind": kind, "must": bool(data["must"]), "ask": plain(data["ask"]["us"]),
        "right": list(range(count)) if kind == "order" else list(data["right"]),
        "count": count, "labels": [plain(text) for text in labels], "variants": [],
    }  # fmt: skip
    if data.get("free"):
        made["free"] = data["free"]
    for variant in data["variants"]:
        both: dict[str, Any] = {}
        for system in ("us", "metric"):
            v = variant[system]
            if kind == "number":
                a = v["answer"]
                both[system] = {
                    "shown": a["shown"], "unit": a["unit"], "accept": a["accept"],
                    "mistakes": [[m["id"], m["accept"]] for m in a["mistakes"]],
                }  # fmt: skip
                both[system] |= {k: a[k] for k in READS_AS if k in a}
            else:
                both[system] = {"order": v["order"]}
                if "k" in v:  # the question asks one thing or another about its drawing
                    asked = data["asks"][v["k"]]
                    both[system] |= {"right": asked["right"], "ask": plain(asked["ask"]["us"])}
        made["variants"].append(both)
    return made


def figures_of(questions: Iterable[Mapping[str, Any]], numbers: Iterable[Sequence[str]], sets: Sequence[Sequence[int]] = ()) -> str:
    """The print of a lesson: eight small hex digits over its marking, its ledger rows and the sets a try asks."""
    made: list[Any] = [list(questions), sorted({tuple(n) for n in numbers})]
    if sets:
        made.append([list(s) for s in sets])
    text = json.dumps(made, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:8]


def edition_text(edition: str, site: str, pass_mark: float, lessons: Mapping[str, Mapping[str, Any]]) -> str:
    """The edition file: compact, one question a line."""
    head = json.dumps({"seatwork_edition": 1, "edition": edition, "site": site, "pass_mark": pass_mark})
    rows = []
    for id_, lesson in lessons.items():
        rest = {k: v for k, v in lesson.items() if k != "questions"}
        questions = ",\n".join(_compact(q) for q in lesson["questions"])
        rows.append(f'{_compact(id_)}:{_compact(rest)[:-1]},"questions":[\n{questions}]}}')
    return f'{head[:-1]}, "lessons": {{\n' + ",\n".join(rows) + "\n}}\n"


def _compact(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


@dataclass
class Plan:
    """Files written beside, and where they go once the new handbook is in place."""

    first: bool  # nothing was kept of this edition before
    moves: list[tuple[Path, Path]] = field(default_factory=list)
    note: str = ""

    def carry_out(self) -> None:
        """Put every file in its place, the older figures first so that nothing is ever lost."""
        for made, target in self.moves:
            target.parent.mkdir(parents=True, exist_ok=True)
            made.replace(target)


DAYS = f"{FOLDER}/days.csv"
"""When each edition was first built: a line an edition, which is never changed here."""


def note_day(folder: Path, edition: str, day: datetime.date) -> None:
    """Write down that an edition was first built on ``day``, unless its day is known. Raises OSError."""
    path = folder / DAYS
    heads = ("edition", "first built")
    known: list[list[str]] = []
    if path.is_file():
        with path.open(encoding="utf-8-sig", errors="replace", newline="") as f:
            known = [row for row in csv.reader(f) if row][1:]
    if any(row[0] == edition for row in known):
        return
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([heads, *known, (edition, day.isoformat())])
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        _write(beside, text.getvalue())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def prepare(folder: Path, stage: Path, edition: str, text: str, ledger: str) -> Plan:
    """Write an edition's files into ``stage`` (on the same disk as ``folder``); nothing else changes.

    ``text`` is its edition file and ``ledger`` its ledger. Raises EditionDamaged where the file there is
    cannot be read, and OSError.
    """
    place = folder / FOLDER
    plan = Plan(first=not (place / f"{edition}.json").exists())
    stage.mkdir(parents=True)
    target, target_ledger = place / f"{edition}.json", place / f"{edition}.ledger.json"
    old = _kept(target)
    if old is not None:
        new = json.loads(text)
        changed = {i: x for i, x in old["lessons"].items() if new["lessons"].get(i, {}).get("figures") != x["figures"]}
        if changed:
            _keep_older(plan, stage, place, edition, old, changed, _kept_ledger(target_ledger))
    for path, words in ((target, text), (target_ledger, ledger)):
        if not path.is_file() or path.read_bytes() != words.encode():
            made = stage / path.name
            _write(made, words)
            plan.moves.append((made, path))
    return plan


def _keep_older(
    plan: Plan, stage: Path, place: Path, edition: str, old: Mapping[str, Any],
    changed: Mapping[str, Mapping[str, Any]], ledger: Mapping[str, Any] | None,
) -> None:  # fmt: skip
    words = edition_text(old["edition"], old["site"], old["pass_mark"], changed)
    key = hashlib.sha256(words.encode()).hexdigest()[:8]
    pages = sorted(f"lessons/{i}.html" for i in changed)
    texts = {f"{edition}.{key}.json": words}
    if ledger is not None:
        said = {k: ledger[k] for k in ("site", "units") if k in ledger}
        head = json.dumps({"ledger": 1, **said, "edition": edition, "only": pages}, ensure_ascii=False)
        rows = ",\n".join(json.dumps(r, ensure_ascii=False, sort_keys=True) for r in ledger["numbers"] if r["page"] in pages)
        texts[f"{edition}.{key}.ledger.json"] = f'{head[:-1]}, "numbers": [\n{rows}\n]}}\n'
    for name, content in texts.items():
        if not (place / name).exists():
            _write(stage / name, content)
            plan.moves.append((stage / name, place / name))
    some = ", ".join(list(changed)[:4]) + (f" and {len(changed) - 4} more" if len(changed) > 4 else "")
    plan.note = (
        f"edition {edition} was built before with other figures in {some}; if that handbook was handed out, "
        "give this one a new edition name. The older figures are kept, so its results can still be marked"
    )


def _write(path: Path, text: str) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as f:
        f.write(text)
        f.flush()
        os.fsync(f.fileno())


def _kept(path: Path) -> Mapping[str, Any] | None:
    """The edition file there is, with all that is read of it here; None where there is none. Raises EditionDamaged."""
    try:
        found: Mapping[str, Any] = whole(load_json(path), dict)
        part(found, "edition", str), part(found, "site", str), part(found, "pass_mark", (int, float))
        for lesson in part(found, "lessons", dict).values():
            part(lesson, "figures", str)
            for question in part(lesson, "questions", list):
                whole(question, dict, "a question")
    except FileNotFoundError:
        return None
    except (NotAsWritten, OSError) as e:
        why = e.what if isinstance(e, NotAsWritten) else "it cannot be opened"
        raise EditionDamaged(
            f"the edition kept here cannot be read ({why})", "put back the file the build wrote, or move it away",
            file=f"{FOLDER}/{path.name}",
        ) from None  # fmt: skip
    return found


def _kept_ledger(path: Path) -> Mapping[str, Any] | None:
    """The ledger there is; None where it is missing or damaged: without it the marking is kept all the same."""
    try:
        found: Mapping[str, Any] = whole(load_json(path), dict)
        for row in part(found, "numbers", list):
            part(row, "page", str)
    except (NotAsWritten, OSError):
        return None
    return found


def keep_sheets(plan: Plan, folder: Path, stage: Path, sheets: Sequence[Printed]) -> None:
    """Add to a plan what is kept of ``sheets`` and is not kept in ``folder`` yet; what is stays as it is.

    ``stage`` is where the plan's files wait. Raises EditionDamaged where what is kept of one is not what the build wrote,
    and OSError.
    """
    for sheet in sheets:
        target = folder / FOLDER / SHEETS / sheet.name
        try:
            if load_json(target) == json.loads(sheet.kept):
                continue
            why = "it is not what the build wrote"
        except FileNotFoundError:
            made = stage / SHEETS / sheet.name
            made.parent.mkdir(parents=True, exist_ok=True)
            _write(made, sheet.kept)
            plan.moves.append((made, target))
            continue
        except (NotAsWritten, OSError) as e:
            why = e.what if isinstance(e, NotAsWritten) else "it cannot be opened"
        raise EditionDamaged(
            f"what is kept of sheet {sheet.code} cannot be read ({why})", "move it away; the build writes it again",
            file=f"{FOLDER}/{SHEETS}/{sheet.name}",
        )  # fmt: skip
