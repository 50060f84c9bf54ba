"""What is allowed in a site's tables and still wants a look: figures that hardly fit each other,
units that may be a slip, days far off, and what was never changed since ``seatwork new``.

A doubt stops nothing. The reader refuses what cannot be; here is what seldom is. The usual spans
below are common practice, no source: proportions that machines of each kind keep whatever their
size, with room on both sides, so that an honest data sheet passes and a slipped cell, a wrong
unit or a weight with the load in it does not.
"""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from generator.calc.catalogue import find
from generator.calc.formula import Formula
from generator.jobsite.classes import fitting, sized_by
from generator.jobsite.columns import (
    COMPACT,
    CREW,
    DOZER,
    EXCAVATOR,
    JOB,
    LIMITS,
    MACHINE_KINDS,
    MACHINES,
    MATERIALS,
    MENTORS,
    TABLES,
    TRUCK,
    TRUCKS,
    Column,
    TableFormat,
)
from generator.jobsite.model import JobSite, LookedAt, Person, Row, Value, Worked
from generator.jobsite.problems import Code, notice
from generator.jobsite.starter import placeholder, placeholder_rows
from generator.source.files import is_device
from generator.source.near import suggest
from generator.source.problem import Problem
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity, natural, said, trimmed
from generator.units.table import UNITS, System
from generator.units.writing import current, written

FIT, UNIT, DAY, UNCHANGED, READ, LESSONS = (
    "figures that hardly fit each other", "units", "days", "not changed since seatwork new",
    "as the tables were read", "lessons",
)  # fmt: skip

# every notice there is by its code, and the group it is told in; groups in the order they are told
GROUPS: Mapping[str, str] = {
    "limit-unchanged": UNCHANGED, "figures-unchanged": UNCHANGED, "row-unchanged": UNCHANGED,
    "name-unchanged": UNCHANGED,
    "bucket-load": FIT, "bucket-width": FIT, "width": FIT, "narrow-width": FIT, "centre-of-gravity": FIT,
    "tracks": FIT, "blade": FIT, "blade-load": FIT, "stick": FIT, "reach": FIT,
    "empty-mass": FIT, "body-load": FIT, "measured-load": FIT, "swell": FIT,
    "tonne": UNIT, "mixed-units": UNIT,
    "limits-future": DAY, "limits-old": DAY, "start-far": DAY, "day-far": DAY,
    "steep-plan": LESSONS, "not-taught": LESSONS, "not-worked": LESSONS, "lines-not-taught": LESSONS, "question-left-out": LESSONS,
    "column-blank": LESSONS, "parts-not-taught": LESSONS,
    "skeleton": UNCHANGED,
    "truck-distance": FIT, "truck-reach": FIT, "narrow-pile": FIT, "lift-chart": FIT,
    "retired-lead": DAY, "retired-machine": DAY,
    "mentor-twin": FIT, "mentor-kind": FIT, "no-class": FIT, "class-attachment": FIT,
    "other-language": LESSONS, "no-language": LESSONS, "rule-blank": LESSONS,
    "replaces-shared": FIT,
    "hidden": READ, "retired": READ, "lost-words": READ, "device-name": READ, "looked-at": READ,
}  # fmt: skip

HAIR = 1e-9  # for binary fractions: a figure right at the end of a span is within it
MOST_NAMED = 12  # names in one line


@dataclass(frozen=True)
class Span:
    """How large one column usually is beside another of the same row, on some kinds of machine."""

    code: Code
    kinds: tuple[str, ...]
    column: str
    beside: str
    low: float
    high: float
    means: str = ""  # what a figure out of it comes to, if not just odd


_DIGGERS = (EXCAVATOR, COMPACT)
SPANS: tuple[Span, ...] = (
    # standing still, a machine tips sideways where the ground rises half a gauge on its centre of
    # gravity's height: at four fifths already on 62%
    Span("centre-of-gravity", MACHINE_KINDS, "cg_height", "track_gauge", 0.25, 0.8,
         "what tips a machine over is worked from them"),
    # shorter tracks than they are apart do not run straight, and twice as long ones hardly turn
    Span("tracks", MACHINE_KINDS, "track_length", "track_gauge", 0.9, 2.0),
    Span("blade", (DOZER,), "blade_height", "blade_width", 0.18, 0.6),
    Span("blade", (COMPACT,), "blade_height", "blade_width", 0.12, 0.5),
    # a blade clears the way for its tracks, and is not twice as wide as they are
    Span("blade", (DOZER,), "blade_width", "overall_width", 0.9, 1.9),
    Span("blade", (COMPACT,), "blade_width", "overall_width", 0.85, 1.2),
    # half is a long-reach front; a stick typed in the other unit is a tenth or nine tenths
    Span("stick", _DIGGERS, "stick_length", "max_reach", 0.15, 0.5),
    Span("reach", _DIGGERS, "max_digging_depth", "max_reach", 0.4, 0.85),
    # the power-line lesson stands on it: the bucket curled up at full height counts too
    Span("reach", _DIGGERS, "boom_reach_height", "max_reach", 0.7, 1.4,
         "the highest point counts, whether of boom, stick or bucket"),
    # from a cable bucket to one for cleaning ditches
    Span("bucket-width", _DIGGERS, "bucket_width", "overall_width", 0.08, 1.1),
    # past half again of the payload it is most likely the weight of the loaded truck
    Span("empty-mass", (TRUCK,), "empty_mass", "payload", 0.45, 1.5,
         "the weight empty is without the load"),
)  # fmt: skip

# gauge and one shoe are the width over the tracks; house, ladders and rails may stand out a little
WIDEST = 1.2
NARROWEST = 0.99  # figures of a data sheet are rounded
# the ground in a heaped bucket beside the machine's own weight
BUCKET = (0.015, 1 / 7)
# the ground in a heaped body beside the rated payload
BODY = (0.6, 1.4)
# the blade load beside the rule for a straight blade: side plates carry more, slopes less
BLADE = (0.5, 1.5)
# one load off the scale beside the rated payload; past the top the truck was weighed with it
LOAD = (0.4, 1.2)

MOST_YEARS = 2  # after this the ground, the crew or the machines that limits were set for are others
FAR_AHEAD = datetime.timedelta(days=366)
LONG_AGO = datetime.timedelta(days=366 * 50)  # a working life
# a row is the starter's where so much of it still is: some figures are alike on many machines
UNCHANGED_ROW = 0.5


def doubts(site: JobSite, *, today: datetime.date | None = None, content: Path | None = None) -> tuple[Problem, ...]:
    """What wants a look in the tables of ``site``, which were read without a mistake.

    Without ``today`` no day is looked at, and without ``content``, the folder of the shipped
    content, nothing is compared with the starter. Raises OSError where that cannot be read.
    """
    found = [*_rows(site), *_swells(site), *_job_loads(site), *_units(site), *_devices(site), *_classes(site), *_spoken(site)]
    if today is not None:
        found += _days(site, today)
    if content is not None and not site.settings.invented:
        found += _unchanged(site, content)
    return tuple(found)


def grouped(notices: Iterable[Problem]) -> list[str]:
    """The lines that tell the notices: each under the heading of its group, the weightiest group first."""
    by_group: dict[str, list[str]] = {group: [] for group in dict.fromkeys(GROUPS.values())}
    for one in notices:
        if one.code in GROUPS:
            by_group[GROUPS[one.code]].append(f"  {one}")
    return [line for group, told in by_group.items() if told for line in (f"{group}:", *told)]


def settled(site: JobSite) -> JobSite:
    """The site without the notices that somebody looked at; an entry of ``looked_at:`` that fits none is a notice itself.

    Only one that compares figures can be settled, and only while they are those. What is not about a
    figure is mended, or stays: limits set too long ago, a plan against a limit, a lesson nobody is taught.
    """
    entries = {(e.notice, e.at): e for e in site.settings.looked_at}
    left: list[Problem] = []
    done: list[tuple[Problem, LookedAt]] = []
    for one in site.notices:
        entry = entries.get((one.code, place_of(site, one)))
        if entry is not None and one.about and _ungrouped(entry.seen) == _ungrouped(seen_of(one)):
            done.append((one, entry))
        else:
            left.append(one)
    fits = [entry for _, entry in done]
    now = {(one.code, place_of(site, one)): seen_of(one) for one in left}
    left += [_stale(e, now.get((e.notice, e.at))) for e in site.settings.looked_at if e not in fits]
    return replace(site, notices=tuple(left), settled=tuple(done))


def place_of(site: JobSite, one: Problem) -> str:
    """Where a notice is, as an entry of ``looked_at:`` names it: ``E-1.bucket_capacity``, ``job.line_voltage`` or a file."""
    for table, rows in (
        (MACHINES, site.machines), (TRUCKS, site.trucks), (MATERIALS, site.materials), (CREW, site.crew), (MENTORS, site.mentors or ()),
    ):  # fmt: skip
        for row in rows:
            if row.line == one.line and one.file == (site.table(table.file) if isinstance(row, Person) else site.file_of(row, table.file)):
                return f"{row.id}.{one.column}" if one.column else row.id
    return one.column or one.file


def seen_of(one: Problem) -> str:
    """The figures a notice compares, as an entry of ``looked_at:`` gives them; empty where it compares none."""
    return "; ".join(" ".join(figure.split()) for figure in one.about)


_IN_A_SMALL_UNIT = re.compile("([0-9]+(?:[.,][0-9]+)?) (kg|mm)(?![\\w/²³])")
_THOUSANDS = {".": re.compile("(?<=[0-9])[, \u202f](?=[0-9]{3}(?![0-9]))"), ",": re.compile("(?<=[0-9])[. \u202f](?=[0-9]{3}(?![0-9]))")}


def _ungrouped(seen: str) -> str:
    """Figures as they are compared: without what stands between thousands, and 28,000 kg as 28 t, which was not always so written."""
    mark = current().decimal

    def larger(m: re.Match[str]) -> str:
        figure, unit = said(Decimal(m[1].replace(",", ".")), m[2])
        return f"{figure:f}".replace(".", mark) + f" {unit}"

    return _IN_A_SMALL_UNIT.sub(larger, _THOUSANDS[mark].sub("", seen))


def entry_for(site: JobSite, one: Problem) -> str:
    """The entry of ``looked_at:`` that would settle a notice, with the name and the day to fill in; empty where none can."""
    if not one.about:
        return ""
    return f'- {{notice: {one.code}, at: "{place_of(site, one)}", seen: "{seen_of(one)}", by: NAME, on: DAY}}'


def _stale(entry: LookedAt, now: str | None) -> Problem:
    if now is None:
        why, fix = "and there is no such notice now", "take the entry out"
    elif not now:
        why, fix = "which settles no notice that compares no figures", "take the entry out, and do what the notice says"
    else:
        why, fix = f"with {entry.seen}, and now it is {now}", "look again, and give the new figures and the day, or take the entry out"
    what = f"{entry.notice} at {entry.at} was looked at by {entry.by} on {entry.on.isoformat()}, {why}"
    return notice("settings.yml", entry.line, "looked_at", what, fix, "looked-at")


def told_settled(site: JobSite) -> list[str]:
    """The lines that tell what was looked at, by whom and when: nobody has to wonder why it is not told."""
    lines = [f"  {one}: right, says {entry.by} on {entry.on.isoformat()}" for one, entry in site.settled]
    return ["looked at:", *lines] if lines else []


def counted(notices: Sequence[Problem]) -> str:
    """How many there are, as said in a closing line."""
    return f"{len(notices)} thing{'' if len(notices) == 1 else 's'} to look at"


# --- figures of a row ---


def _rows(site: JobSite) -> Iterator[Problem]:
    for row in (*site.machines, *site.trucks):
        file = site.file_of(row, TRUCKS.file if row.kind == TRUCK else MACHINES.file)
        for span in SPANS:
            if row.kind in span.kinds:
                yield from _span(file, row, span)
        for look in (_width, _narrow, _bucket, _body, _blade):
            yield from look(site, file, row)


def _si(row: Row, name: str) -> float | None:
    value = row.values.get(name)
    return value.si if isinstance(value, Quantity) else None


def _outside(part: float, low: float, high: float) -> bool:
    return not low * (1 - HAIR) <= part <= high * (1 + HAIR)


def _percent(part: float, *ends: float) -> str:
    """A share as printed, with as many digits as tell it from the ends it lies beyond."""
    for digits in range(2, 7):
        shown = natural(100 * part, digits)
        if all(shown != natural(100 * end, digits) for end in ends):
            break
    return f"{written(shown)}%"


def _usual(low: float, high: float) -> str:
    return f"{_percent(low)} to {_percent(high)} is usual"


def _span(file: str, row: Row, span: Span) -> Iterator[Problem]:
    part, whole = _si(row, span.column), _si(row, span.beside)
    if part is None or whole is None or not _outside(part / whole, span.low, span.high):
        return
    yield notice(
        file, row.line, span.column,
        f"{span.column} ({row.values[span.column]}) of {row.id} is {_percent(part / whole, span.low, span.high)} of its "
        f"{span.beside} ({row.values[span.beside]}), where {_usual(span.low, span.high)}",
        f"check both figures and their units{': ' if span.means else ''}{span.means}", span.code,
        (row.values[span.column], row.values[span.beside]),
    )  # fmt: skip


def _width(site: JobSite, file: str, row: Row) -> Iterator[Problem]:
    # a compact excavator's width is that with its tracks set wide
    gauge_name = "gauge_wide" if row.kind == COMPACT else "track_gauge"
    gauge, shoe, width = (_si(row, n) for n in (gauge_name, "shoe_width", "overall_width"))
    if gauge is None or shoe is None or width is None:
        return
    part = width / (gauge + shoe)
    if _outside(part, NARROWEST, WIDEST):
        told = "less than" if part < 1 else f"{_percent(part - 1, WIDEST - 1)} more than"
        yield notice(
            file, row.line, "overall_width",
            f"overall_width ({row.values['overall_width']}) of {row.id} is {told} {gauge_name} and shoe_width together "
            f"({row.values[gauge_name]} and {row.values['shoe_width']}), where up to {_percent(WIDEST - 1)} more is usual",
            "check the three figures and their units: the gauge is from centre to centre of the tracks", "width",
            (row.values["overall_width"], row.values[gauge_name], row.values["shoe_width"]),
        )  # fmt: skip


def _narrow(site: JobSite, file: str, row: Row) -> Iterator[Problem]:
    gauge, shoe, width = (_si(row, n) for n in ("gauge_narrow", "shoe_width", "narrow_width"))
    if gauge is None or shoe is None or width is None or width >= (gauge + shoe) * NARROWEST * (1 - HAIR):
        return
    yield notice(
        file, row.line, "narrow_width",
        f"narrow_width ({row.values['narrow_width']}) of {row.id} is less than gauge_narrow and shoe_width together "
        f"({row.values['gauge_narrow']} and {row.values['shoe_width']}): its tracks alone would not pass so narrow a gate",
        "check the three figures and their units", "narrow-width",
        (row.values["narrow_width"], row.values["gauge_narrow"], row.values["shoe_width"]),
    )  # fmt: skip


def _worked(calculation: str, **values: float) -> float | None:
    """The SI result of a formula of the catalogue; None where it does not hold for these figures."""
    formula = find(calculation)
    assert isinstance(formula, Formula)
    try:
        return formula(**values)
    except CalculationError:
        return None


def _loose(site: JobSite) -> tuple[str, float] | None:
    """The name of the lead material and what a volume of it weighs loose, in kg/m³."""
    material = next((m for m in site.materials if m.id == site.settings.lead.get("material")), None)
    bank, swell = (_si(material, n) for n in ("bank_density", "swell")) if material else (None, None)
    if material is None or bank is None or swell is None:
        return None
    density = _worked("soil.loose_density", bank_density=bank, swell=swell)
    return None if density is None else (material.name, density)


def _told_load(site: JobSite, row: Row, volume: str, beside: str) -> tuple[float, str, str] | None:
    """The ground in ``volume`` as a share of ``beside``, what it weighs, and the ground's name."""
    loose, held, whole = _loose(site), _si(row, volume), _si(row, beside)
    if loose is None or held is None or whole is None:
        return None
    unit = row.get(beside).unit
    return held * loose[1] / whole, str(Quantity.of(held * loose[1], "mass", site.settings.units, unit=unit)), loose[0]


def _bucket(site: JobSite, file: str, row: Row) -> Iterator[Problem]:
    found = _told_load(site, row, "bucket_capacity", "mass")
    if found is not None and _outside(found[0], *BUCKET):
        part, load, ground = found
        yield notice(
            file, row.line, "bucket_capacity",
            f"a bucket of {row.values['bucket_capacity']} full of {ground} weighs {load}, {_percent(part, *BUCKET)} of the "
            f"machine {row.id} ({row.values['mass']}), where {_usual(*BUCKET)}",
            "check bucket_capacity and mass and their units", "bucket-load",
            (row.values["bucket_capacity"], load, row.values["mass"]),
        )  # fmt: skip


def _body(site: JobSite, file: str, row: Row) -> Iterator[Problem]:
    found = _told_load(site, row, "body_volume", "payload")
    if found is not None and _outside(found[0], *BODY):
        part, load, ground = found
        yield notice(
            file, row.line, "body_volume",
            f"a body of {row.values['body_volume']} heaped with {ground} weighs {load}, {_percent(part, *BODY)} of the payload of "
            f"{row.id} ({row.values['payload']}), where {_usual(*BODY)}",
            "check body_volume and payload and their units; if they are right, no operator may fill this body by eye"
            if part > 1 else "check body_volume and payload and their units", "body-load",
            (row.values["body_volume"], load, row.values["payload"]),
        )  # fmt: skip


def _blade(site: JobSite, file: str, row: Row) -> Iterator[Problem]:
    load, width, height = (_si(row, n) for n in ("blade_load", "blade_width", "blade_height"))
    if load is None or width is None or height is None:
        return
    rule = _worked("dozing.blade_capacity", blade_width=width, blade_height=height)
    if rule is not None and _outside(load / rule, *BLADE):
        yield notice(
            file, row.line, "blade_load",
            f"blade_load ({row.values['blade_load']}) of {row.id} is {_percent(load / rule, *BLADE)} of what the rule gives for a "
            f"straight blade of {row.values['blade_width']} by {row.values['blade_height']}, where {_usual(*BLADE)}",
            "check the three figures and their units", "blade-load",
            (row.values["blade_load"], row.values["blade_width"], row.values["blade_height"]),
        )  # fmt: skip


def _swells(site: JobSite) -> Iterator[Problem]:
    """Books print a swell of 25% as a factor of 1.25; without a % it is read as 125%."""
    for row in site.materials:
        swell = row.values.get("swell")
        if isinstance(swell, Quantity) and swell.unit == "1" and swell.figure >= 1:
            yield notice(
                site.file_of(row, MATERIALS.file), row.line, "swell",
                f"swell ({swell}) of {row.id} is read as {trimmed(swell.figure * 100)}%, more than ground grows by when dug",
                f"write {trimmed((swell.figure - 1) * 100)}% if {swell} is the factor", "swell", (swell,),
            )  # fmt: skip


def _devices(site: JobSite) -> Iterator[Problem]:
    """Names that cannot be a file's on Windows, where somebody may build or keep the handbook."""
    settings = site.settings
    named: list[tuple[str, int | None, str | None, str]]
    named = [("settings.yml", settings.lines.get(at), at, word) for at, word in (("site.key", settings.key), ("edition", settings.edition))]
    named += [("settings.yml", role.line, f"roles.{role.id}", role.id) for role in settings.roles.values()]
    for table, rows in ((MACHINES, site.machines), (TRUCKS, site.trucks), (MATERIALS, site.materials), (CREW, site.crew)):
        named += [(getattr(row, "file", "") or site.table(table.file), row.line, "id", row.id) for row in rows]
    for folder in ("lessons", "questions", "sheets", "look"):
        named += [(f"{folder}/{path.name}", None, None, path.name) for path in sorted((site.folder / folder).glob("*"))]
    named.append((site.folder.name, None, None, site.folder.name))
    for file, line, column, word in named:
        if is_device(word):
            yield notice(file, line, column, f"'{word}' is a name that Windows keeps for a device, so no file or folder there can have it",
                         f"name it otherwise, such as {word.partition('.')[0].lower()}-1", "device-name")  # fmt: skip


def _job_loads(site: JobSite) -> Iterator[Problem]:
    """One load off the scale against the payload of the truck it is worked for."""
    truck = next((t for t in site.trucks if t.id == site.settings.lead.get(TRUCK)), None)
    load = site.settings.job.get("measured_load")
    payload = _si(truck, "payload") if truck is not None else None
    if truck is None or payload is None or not isinstance(load, Quantity) or not _outside(load.si / payload, *LOAD):
        return
    part = load.si / payload
    yield notice(
        "settings.yml", site.settings.lines.get("job.measured_load"), "job.measured_load",
        f"measured_load ({load}) is {_percent(part, *LOAD)} of the payload of {truck.id} ({truck.values['payload']}), where {_usual(*LOAD)}",
        "take the truck's own weight off what the scale shows" if part > 1 else "check both figures and their units", "measured-load",
        (load, truck.values["payload"]),
    )  # fmt: skip


# --- units ---

_TONS: Mapping[System, str] = {"us": "t", "metric": "ton"}  # the one that is the other system's
_ABOUT: Mapping[System, str] = {
    "us": "a tonne of 1,000 kg is a tenth more than a ton of 2,000 lb",
    "metric": "a ton of 2,000 lb is 9% less than a tonne of 1,000 kg",
}
_NAMED: Mapping[System, str] = {"us": "US", "metric": "metric"}


def _units(site: JobSite) -> Iterator[Problem]:
    for table, rows in ((MACHINES, site.machines), (TRUCKS, site.trucks), (MATERIALS, site.materials)):
        for file in dict.fromkeys(site.file_of(r, table.file) for r in rows):
            here = [r for r in rows if site.file_of(r, table.file) == file]
            cells = [(r.id, c.name, v, r.line) for c in table.columns for r in here if isinstance(v := r.values.get(c.name), Quantity)]
            shared = bool(here[0].file)
            own = _most(cells, site.settings.units) if shared else site.settings.units
            yield from _units_of(cells, own, file, "the figures of the table", "", "table" if shared else "site")
    blocks: tuple[tuple[str, Mapping[str, Value]], ...] = (("job", site.settings.job), ("limits", site.settings.limits))
    for block, values in blocks:
        cells = [("", n, v, site.settings.lines.get(f"{block}.{n}") or 0) for n, v in values.items() if isinstance(v, Quantity)]
        yield from _units_of(cells, site.settings.units, "settings.yml", f"the figures under {block}:", f"{block}.")


_Cell = tuple[str, str, Quantity, int]  # the row's id, the column, the figure, the line


def _most(cells: Sequence[_Cell], otherwise: System) -> System:
    """The system that most figures are in: sites of either may share a table."""
    count = Counter(s for c in cells if (s := UNITS[c[2].unit].system) is not None)
    return count.most_common(1)[0][0] if count else otherwise


def _units_of(cells: Sequence[_Cell], own: System, file: str, place: str, prefix: str, whose: str = "site") -> Iterator[Problem]:
    """Tonnes where tons are the custom, column by column; and what is in other units than the rest."""
    other: System = "metric" if own == "us" else "us"
    tons = [c for c in cells if c[2].unit == _TONS[own]]
    for name in dict.fromkeys(c[1] for c in tons):
        id_, _, value, line = next(c for c in tons if c[1] == name)
        more = sum(c[1] == name for c in tons) - 1
        which = f" ({id_}{f' and {more} more' if more else ''})" if id_ else ""
        here = Quantity.of(value.si, "mass", own, unit=_TONS[other])
        yield notice(
            file, line, f"{prefix}{name}",
            f"{name} is in {'tonnes' if own == 'us' else 'US tons'} {'on' if whose == 'site' else 'in'} a {_NAMED[own]} {whose}: {_ABOUT[own]}, so {value}{which} is {here}",
            f"keep it if the data sheet says {_TONS[own]}; if not, write the unit as {_TONS[other]}", "tonne",
            [c[2] for c in tons if c[1] == name],
        )  # fmt: skip
    count = Counter(s for c in cells if (s := UNITS[c[2].unit].system) is not None)
    if not count[own] or not count[other]:
        return
    odd, rest = (other, own) if count[own] >= count[other] else (own, other)
    told = [c for c in cells if UNITS[c[2].unit].system == odd and c not in tons]
    if told:
        id_, name, value, line = told[0]
        names = list(dict.fromkeys(c[1] for c in told))
        where = f"{value}{f' of {id_}' if id_ else ''}"
        yield notice(
            file, line, f"{prefix}{name}",
            f"{_listed(names)} {'is' if len(names) == 1 else 'are'} in {_NAMED[odd]} units ({where}), and most of {place} are in {_NAMED[rest]} units",
            "keep it if the unit is the one it was measured in; if not, write the right one", "mixed-units",
            (_listed(names), value),
        )  # fmt: skip


def _listed(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


# --- days ---


def _days(site: JobSite, today: datetime.date) -> Iterator[Problem]:
    settings, now = site.settings, today
    decided = datetime.date.fromisoformat(str(settings.limits["decided_on"])) if "decided_on" in settings.limits else None
    if decided is not None and settings.invented:
        now = max(today, decided)  # an invented site has a calendar of its own
    elif decided is not None:
        line, column = settings.lines.get("limits.decided_on"), "limits.decided_on"
        old = today.year - decided.year - ((today.month, today.day) < (decided.month, decided.day))
        if decided > today:
            yield notice("settings.yml", line, column, f"the limits were set on {decided}, which is still to come (today is {today})",
                         "write the day on which the competent person looked at the ground", "limits-future")  # fmt: skip
        elif old >= MOST_YEARS:
            yield notice("settings.yml", line, column, f"the limits were set on {decided}, {old} years ago",
                         "ask the competent person whether they still hold, and write the day they say so", "limits-old")  # fmt: skip
    for person in site.crew:
        if person.start is None:
            continue
        if person.start > now + FAR_AHEAD:
            what = f"{person.id} starts on {person.start}, more than a year from now"
        elif person.start < now - LONG_AGO:
            what = f"{person.id} started on {person.start}, more than 50 years ago"
        else:
            continue
        yield notice(site.table(CREW.file), person.line, "start", what, "check the year", "start-far", (person.start,))
    if not settings.invented:
        yield from _far_days(site, now)
    yield from _retired(site, now)


def _far_days(site: JobSite, now: datetime.date) -> Iterator[Problem]:
    """Days that somebody left, changed or was made a mentor, or a machine was retired, in a year that is hardly meant."""
    days = [
        (site.table(CREW.file), p.id, p.line, name, when)
        for p in site.crew
        for name, when in (("left", p.left), ("role_from", p.role_from))
    ]
    days += [(site.file_of(m, _table_of(m).file), m.id, m.line, "retired", m.retired) for m in site.fleet]
    days += [(site.file_of(m, MENTORS.file), m.id, m.line, "from", m.since) for m in site.mentors or ()]
    for file, id_, line, column, when in days:
        if when is not None and not now - LONG_AGO <= when <= now + FAR_AHEAD:
            far = "more than a year from now" if when > now else "more than 50 years ago"
            yield notice(file, line, column, f"{column} of {id_} is {when}, {far}", "check the year", "day-far", (when,))


def _table_of(row: Worked) -> TableFormat:
    """The table a machine or truck stands in."""
    return TRUCKS if row.kind == TRUCK else MACHINES


def _retired(site: JobSite, now: datetime.date) -> Iterator[Problem]:
    """Machines that are no longer worked, and still lead a lesson or are somebody's."""
    gone = {m.id: m.retired for m in site.fleet if not m.works_on(now)}
    settings = site.settings
    leads = [(f"lead.{kind}", id_, f"examples of {kind}s") for kind, id_ in settings.lead.items()]
    leads += [(f"lead.lessons.{lesson}", id_, f"the lesson {lesson}") for lesson, id_ in settings.lesson_lead.items()]
    leads += [(f"roles.{role.id}.lead", id_, f"the lessons of {role.title}") for role in settings.roles.values() for id_ in role.lead]
    for place, id_, what in leads:
        if id_ in gone:
            yield notice("settings.yml", settings.lines.get(place), place, f"{id_} leads {what} and is retired since {gone[id_]}",
                         "lead with a machine that is worked, and give the handbook a new edition", "retired-lead")  # fmt: skip
    for person in site.crew:
        held = [id_ for id_ in person.machines if id_ in gone]
        if not held or person.gone_on(now):
            continue
        one = len(held) == 1
        since = f"is retired since {gone[held[0]]}" if one else "are retired"
        yield notice(site.table(CREW.file), person.line, "machines", f"{person.id} runs {' and '.join(held)}, which {since}",
                     f"take {'it' if one else 'them'} out; records of {'it' if one else 'them'} stay", "retired-machine")  # fmt: skip


# --- classes of machines ---


def _classes(site: JobSite) -> Iterator[Problem]:
    """Machines that fit none of the site's classes of their kind, and classes for what no machine has."""
    rules, rows = site.settings.records, site.fleet
    for row in rows:
        if not any(c.kind == row.kind for c in rules.classes) or fitting(row, rules) is not None:
            continue
        column = sized_by(row.kind)
        yield notice(site.file_of(row, _table_of(row).file), row.line, column,
                     f"{row.id} ({column} {row.values.get(column)}) fits none of the site's classes of {row.kind}s",
                     f"add a class for it under records, classes, in settings.yml; until then a sign-off on it holds for {row.kind}s of "
                     "no class alone", "no-class", (row.values.get(column),))  # fmt: skip
    fitted = {word for row in rows for word in row.attachments}
    for one in rules.classes:
        if one.attachment and one.attachment not in fitted:
            yield notice("settings.yml", site.settings.lines.get(f"records.classes.{one.id}"), f"records.classes.{one.id}",
                         f"no machine has the attachment {one.attachment}, which the class {one.id} is for",
                         suggest(one.attachment, fitted, "write it into the column attachments of the machines that have it"),
                         "class-attachment")  # fmt: skip


def _spoken(site: JobSite) -> Iterator[Problem]:
    """People who are taught in a language the handbook is not made in, or in one of several that nobody has told: they would
    get the main one without a word."""
    made = site.settings.languages
    for code in sorted({p.language for p in site.crew} - {"", *made}):
        first, *more = (p for p in site.crew if p.language == code)
        who = f"{first.id} and {len(more)} more are" if more else f"{first.id} is"
        yield notice(site.table(CREW.file), first.line, "language",
                     f"{who} taught in '{code}', and this handbook is made in {', '.join(made)} alone",
                     f"write languages: [{', '.join((*made, code))}] in settings.yml, or mend the column", "other-language")  # fmt: skip
    unsaid = [p for p in site.crew if not p.language and p.left is None] if len(made) > 1 else []
    if unsaid:
        whose, where = _listed([p.id for p in unsaid]), "the" if any(p.language for p in site.crew) else "a"
        yield notice(site.table(CREW.file), unsaid[0].line, "language",
                     f"no language for {whose}: they get quizzes on paper in {made[0]}, and no record says whether they understand it",
                     f"write the language each is taught in, {' or '.join(made)}, into {where} column language", "no-language")  # fmt: skip


# --- what was never changed ---


def _same(value: Value, column: Column, written_as: Iterable[str]) -> bool:
    """Whether ``value`` is one of the starter's; in another unit it was typed, and is not."""
    for text in written_as:
        if not isinstance(value, Quantity):
            if value == text:
                return True
        elif text:
            other = Quantity.read(text, column.kind)
            if other.unit == value.unit and abs(other.figure - value.figure) <= abs(other.figure) / 10**9:
                return True
    return False


def _unchanged(site: JobSite, content: Path) -> Iterator[Problem]:
    settings = site.settings
    if settings.name == "My job site" or settings.key == "my-site":
        name = "name" if settings.name == "My job site" else "key"
        yield notice("settings.yml", settings.lines.get(f"site.{name}"), f"site.{name}", f"the site's {name} is still that of a new job site",
                     "write its own: it is printed on every page and kept with every result", "name-unchanged")  # fmt: skip
    for column in LIMITS:
        value = settings.limits.get(column.name)
        if value is not None and _same(value, column, placeholder(column)):
            yield notice(
                "settings.yml", settings.lines.get(f"limits.{column.name}"), f"limits.{column.name}",
                f"{column.name} ({value}) is still what a new job site starts with, and nobody's decision",
                "have the competent person set it for this ground; keep it only if that is the same", "limit-unchanged", (value,),
            )  # fmt: skip
    asked = [c for c in JOB if c.needed_for and c.name in settings.job]
    same = [c.name for c in asked if _same(settings.job[c.name], c, placeholder(c))]
    if same:
        yield notice(
            "settings.yml", settings.lines.get(f"job.{same[0]}"), "job",
            f"{len(same)} of {len(asked)} figures are still those a new job site starts with: {', '.join(same)}",
            "put in what your crew sees; keep one only if it is so on your site", "figures-unchanged", same,
        )  # fmt: skip
    yield from _unchanged_rows(site, content)


def _unchanged_rows(site: JobSite, content: Path) -> Iterator[Problem]:
    starters = placeholder_rows(content)
    rows_of: Mapping[str, Sequence[Row]] = {MACHINES.file: site.machines, TRUCKS.file: site.trucks, MATERIALS.file: site.materials}
    for table in TABLES:
        if table is CREW:
            same = [(p.id, p.line, site.table(CREW.file)) for p in site.crew if any(p.name == s["name"] for s in starters[table.file])]
            shown = [id_ for id_, _, _ in same]
            what = "is still a name a new job site starts with" if len(same) == 1 else "are still names a new job site starts with"
        else:
            found = [(row, *_alike(row, table.by_name, starters[table.file])) for row in rows_of[table.file]]
            kept = [(row, n, of) for row, n, of in found if of and n >= of * UNCHANGED_ROW]
            same = [(row.id, row.line, site.file_of(row, table.file)) for row, _, _ in kept]
            shown = [f"{row.id} ({n} of {of} figures)" for row, n, of in kept]
            what = (
                "is still much like a row a new job site starts with"
                if len(same) == 1
                else "are still much like rows a new job site starts with"
            )
        if same:
            yield notice(same[0][2], same[0][1], None, f"{_listed(shown)} {what}",
                         "put in your own, from the data sheet, the scale or the tape; take out what your site has none of"
                         if table is not CREW else "put in your own people", "row-unchanged", shown)  # fmt: skip


def _alike(row: Row, columns: Mapping[str, Column], starters: Sequence[Mapping[str, str]]) -> tuple[int, int]:
    """How many of the row's values are those of one of the starter's rows of its kind, and of how many."""
    of_kind = [s for s in starters if s.get("kind", row.kind) == row.kind]
    written = {n: v for n, v in row.values.items() if n in columns}  # not what is taken from another table
    return max((sum(_same(v, columns[n], (s.get(n, ""),)) for n, v in written.items()) for s in of_kind), default=0), len(written)
