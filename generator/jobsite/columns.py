"""Every column and setting: what it means, its kind of quantity, its range, who needs it.

This is the one source for reading the tables, for the errors and for the documentation.
Names are the input names of the calculations.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from generator.calc.rules import US_FEDERAL, Name
from generator.units.quantity import Limit, Quantity
from generator.units.table import KINDS, UNITS, System

# what a new job site holds until a coordinator puts the site's own in
NOBODY = "NOBODY YET"
PLACEHOLDER = "placeholder:"

DOZER, EXCAVATOR, COMPACT = "dozer", "excavator", "compact excavator"
MACHINE_KINDS = (DOZER, EXCAVATOR, COMPACT)
TRUCK, MATERIAL, PERSON, MENTOR = "truck", "material", "person", "mentor"
LEAD_KINDS = (*MACHINE_KINDS, TRUCK, MATERIAL)
OPERATED = (*MACHINE_KINDS, TRUCK)
ON_FOOT = "on foot"  # what a role runs that runs nothing

# what a column holds where it is no quantity
WORD_KINDS = {
    "id": "a short id of letters, digits, point, hyphen and underscore",
    "ids": "ids with a space between them",
    "name": "a name",
    "note": "free text",
    "choice": "one of a few words",
    "words": "words with a comma or semicolon between them",
    "date": "a date such as 2026-03-14",
    "language": "a language by its code of two letters, such as es",
}


@dataclass(frozen=True)
class Column:
    """A column of a table, or a figure of ``settings.yml``.

    ``kind`` is a key of ``calc.units.KINDS`` or of WORD_KINDS. ``low`` and ``high`` are
    quantities as written, ends included. ``needed_for`` are the kinds of row that must have it
    and ``also_for`` those that may; on any other kind of row it must be blank. ``needed_for`` of
    a setting are the lessons that use it. ``us`` and ``metric`` are example figures with units.
    """

    name: str
    meaning: str
    kind: str
    low: str = ""
    high: str = ""
    us: str = ""
    metric: str = ""
    needed_for: frozenset[str] = frozenset()
    also_for: frozenset[str] = frozenset()
    options: tuple[str, ...] = ()
    limit: Limit = ""  # whether its figure must not be gone past, and which way
    beyond: str = ""  # what to do where a figure is past ``high``, if not just to check it
    below: str = ""  # and what where it is under ``low``, or reads like a share of one
    system: System | None = None  # the site's own units, where its reader is known: examples are in them alone
    comma: bool = False  # and a decimal comma in them, as that table has

    @property
    def is_quantity(self) -> bool:
        """Whether it holds a figure rather than words."""
        return self.kind in KINDS

    @property
    def fits(self) -> frozenset[str]:
        """The kinds of row that may have it."""
        return self.needed_for | self.also_for

    @cached_property
    def bounds(self) -> tuple[float, float]:
        """Lowest and highest SI value, ends included, with a hair for binary fractions."""
        ends = sorted(Quantity.read(text, self.kind).si for text in (self.low, self.high))
        return ends[0] - abs(ends[0]) * 1e-9, ends[1] + abs(ends[1]) * 1e-9

    @property
    def header(self) -> str:
        """The heading to write, with the unit of its example, or of either: which it is, only its writer knows."""
        if not self.is_quantity:
            return self.name
        units, headings = self._units, self.headings
        behind = ", whichever the figures are in"
        if self.system is not None:  # which unit they are in, only their writer knows all the same
            behind = ", or with the unit its figures are in"
            return headings[0] + (behind if UNITS[next(iter(units))].system else "")
        return " or ".join(headings) + (behind if len(headings) > 1 else "")

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings it may be written under: with the unit of its example, or of either."""
        return tuple(self.name if unit == "1" else f"{self.name} [{unit}]" for unit in self._units) if self.is_quantity else (self.name,)

    @property
    def _units(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(Quantity.read(text, self.kind).unit for text in self._examples))

    @property
    def _examples(self) -> tuple[str, ...]:
        return (self.us, self.metric) if self.system is None else (self.us if self.system == "us" else self.metric,)

    def told_in(self, system: System | None, *, comma: bool = False) -> Column:
        """The same column as it is told of on a site: examples in its own units, with its own decimal mark."""
        return replace(self, system=system, comma=comma)

    @property
    def expects(self) -> str:
        """What to write in a cell, in a few words."""
        if self.is_quantity:
            said = " or ".join(dict.fromkeys(self._examples))
            return with_comma(said) if self.comma else said
        if self.options:
            return ", ".join(self.options)
        return self.us or WORD_KINDS[self.kind]


def with_comma(text: str) -> str:
    """A text whose figures have a decimal point, with commas."""
    return re.sub(r"(?<=\d)\.(?=\d)", ",", text)


@dataclass(frozen=True)
class TableFormat:
    """The format of one table: a CSV file or a sheet. ``row_kind`` is None where the column ``kind`` gives it."""

    file: str
    what: str
    a_row: str
    row_kind: str | None
    columns: tuple[Column, ...]
    taken: tuple[Column, ...] = ()  # what its rows have from another table, and nobody writes here

    @property
    def sheet(self) -> str:
        """The name of its sheet in a workbook."""
        return self.file.removesuffix(".csv")

    @cached_property
    def by_name(self) -> Mapping[str, Column]:
        """Columns by name."""
        return {c.name: c for c in self.columns}

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of row there are."""
        return MACHINE_KINDS if self.row_kind is None else (self.row_kind,)


def _q(
    name: str, meaning: str, kind: str, low: str, high: str, us: str, metric: str,
    needed: Iterable[str] = (), also: Iterable[str] = (), beyond: str = "", below: str = "", limit: Limit = "",
) -> Column:  # fmt: skip
    return Column(
        name, meaning, kind, low, high, us, metric, frozenset(needed), frozenset(also),
        limit=limit, beyond=beyond, below=below,
    )  # fmt: skip


def _words(name: str, meaning: str, kind: str, example: str, needed: Iterable[str] = (),
           also: Iterable[str] = (), options: tuple[str, ...] = ()) -> Column:  # fmt: skip
    return Column(name, meaning, kind, us=example, metric=example, needed_for=frozenset(needed),
                  also_for=frozenset(also), options=options)  # fmt: skip


_ALL = MACHINE_KINDS
_DIGGERS = (EXCAVATOR, COMPACT)

MACHINES = TableFormat(
    "machines.csv", "the machines of this site", "a machine", None,
    (
        _words("id", "short id, used in the crew table and settings.yml", "id", "D-1", _ALL),
        _words("name", "plain name people on site use", "name", "D-1 Middle dozer", _ALL),
        _words("kind", "kind of machine", "choice", DOZER, _ALL, options=MACHINE_KINDS),
        _q("mass", "weight ready to work, with operator and full tank", "mass", "1500 lb", "400000 lb",
           "45000 lb", "20 t", _ALL),
        _q("track_gauge", "centre of one track to centre of the other, as it usually works", "length",
           "1.5 ft", "16 ft", "6.5 ft", "2 m", _ALL),
        _q("shoe_width", "width of one track shoe", "length", "5 in", "50 in", "24 in", "600 mm", _ALL),
        _q("track_length", "length of track on the ground", "length", "2.5 ft", "25 ft", "10 ft", "3 m", _ALL),
        _q("fuel_tank", "what its fuel tank holds", "liquid", "1 gal", "2000 gal", "85 gal", "320 L", (), _ALL, limit="most"),
        _q("fuel_use", "fuel it uses in an hour of the work it does here", "liquid_rate", "0.1 gal/h", "150 gal/h", "6 gal/h", "22 L/h", (), _ALL),
        _q("step_height", "height of the step or track one climbs down from, above the ground", "length", "0.5 ft", "12 ft", "3.5 ft", "1.1 m",
           (), _ALL),
        _q("track_sag_least", "the least track sag its manual allows, measured as the manual says", "length", "0.1 in", "24 in", "1.5 in", "40 mm",
           (), _ALL, limit="least"),
        _q("track_sag_most", "the most track sag its manual allows", "length", "0.1 in", "24 in", "2 in", "50 mm", (), _ALL, limit="most"),
        _q("track_sag", "track sag as last measured, the looser track", "length", "0.1 in", "24 in", "2.5 in", "65 mm", (), _ALL),
        _q("cg_height", "height of the centre of gravity above the ground", "length", "0.8 ft", "12 ft",
           "3.2 ft", "1 m", _ALL),
        _q("travel_height", "height as it stands on a trailer, boom folded, blade down, to its highest part", "length", "4 ft", "25 ft",
           "10 ft", "3 m", (), _ALL, limit="least"),
        _q("overall_width", "width over the tracks or body, tracks wide, blade not counted", "length",
           "2 ft", "22 ft", "8.5 ft", "2.6 m", _ALL, limit="least"),
        _q("eye_height", "height of the operator's eyes above the ground, seated", "length", "3 ft", "30 ft", "9 ft", "2.7 m", (), _ALL),
        _q("sill_height", "height of the edge that hides the ground from the seat: on the right of an excavator (deck or hood), ahead of "
           "a dozer (hood)", "length", "1 ft", "28 ft", "6.5 ft", "2 m", (), _ALL),
        _q("sill_distance", "how far that edge is from straight below the eyes, level", "length", "0.5 ft", "40 ft", "8.5 ft", "2.6 m", (),
           _ALL),
        _q("narrow_width", "widest part with tracks and blade set narrow, as it goes through a gate", "length",
           "1.5 ft", "12 ft", "3.25 ft", "1 m", (), (COMPACT,), limit="least"),
        _q("gauge_narrow", "centre to centre of the tracks, set narrow; blank where they do not widen", "length", "1 ft", "12 ft", "2.5 ft",
           "0.75 m", (), (COMPACT,)),
        _q("gauge_wide", "centre to centre of the tracks, set wide; blank where they do not widen", "length", "1.2 ft", "14 ft", "3.75 ft",
           "1.1 m", (), (COMPACT,)),
        _q("blade_width", "width of the blade", "length", "2 ft", "26 ft", "12 ft", "3.6 m", (DOZER, COMPACT)),
        _q("blade_height", "height of the blade, cutting edge to top", "length", "0.4 ft", "10 ft", "4 ft",
           "1.2 m", (DOZER, COMPACT)),
        _q("blade_load", "loose ground a full blade carries, from its data sheet or measured", "loose_volume",
           "0.1 yd3", "80 yd3", "5.5 yd3", "4.2 m3", (DOZER,), (COMPACT,)),
        _q("push_speed", "travel speed pushing a full blade", "speed", "0.5 mph", "6 mph", "2.2 mph",
           "3.5 km/h", (DOZER,), (COMPACT,)),
        _q("return_speed", "travel speed in reverse", "speed", "0.5 mph", "9 mph", "3.6 mph", "5.8 km/h",
           (DOZER,), (COMPACT,)),
        _q("stick_length", "length of the stick, pin to pin", "length", "2 ft", "40 ft", "10 ft", "3 m", _DIGGERS),
        _q("boom_reach_height", "highest point any part of boom, stick or bucket can reach", "length", "6 ft",
           "80 ft", "31 ft", "9.5 m", _DIGGERS, limit="least"),
        _q("bucket_capacity", "heaped capacity of the bucket", "loose_volume", "0.01 yd3", "50 yd3", "1.5 yd3",
           "1.2 m3", _DIGGERS),
        _q("bucket_width", "width of the bucket over the side cutters", "length", "6 in", "15 ft", "48 in",
           "1.2 m", _DIGGERS),
        _q("max_digging_depth", "greatest digging depth", "length", "3 ft", "60 ft", "21 ft", "6.5 m", _DIGGERS,
           limit="most"),
        _q("max_reach", "greatest reach at ground level, from the swing centre", "length", "5 ft", "90 ft",
           "32 ft", "10 m", _DIGGERS, limit="least"),
        _q("bucket_length", "length of the bucket, from its pin to the tips of its teeth", "length", "6 in", "14 ft",
           "5 ft", "1.5 m", (), _DIGGERS),
        _q("tail_radius", "distance from the swing centre to the back of the counterweight", "length", "1.5 ft", "25 ft",
           "10 ft", "3 m", (), _DIGGERS, limit="least"),
        _q("swing_speed", "mean swing speed with starting and stopping, timed over half a turn", "turning", "1 rpm", "20 rpm",
           "5 rpm", "5 rpm", _DIGGERS),
        _q("bucket_mass", "weight of the bucket and coupler that stay on while it lifts, where its lift chart does not count them in already",
           "mass", "20 lb", "60000 lb", "2000 lb", "900 kg", (), _DIGGERS, limit="least"),
        _q("dig_time", "time to fill the bucket", "time", "1 s", "60 s", "6 s", "6 s", _DIGGERS),
        _q("dump_time", "time to empty the bucket", "time", "0.5 s", "30 s", "3 s", "3 s", _DIGGERS),
        _words("attachments", "what it works with besides bucket and blade, for the classes under records: in settings.yml", "words",
               "ripper; hammer", (), _ALL),
        _words("retired", "the first day that nobody works it any more; its row stays, as records name it", "date", "2027-03-14", (), _ALL),
        _words("note", "anything worth saying; not used in sums", "note", "wide shoes", (), _ALL),
    ),
    (
        _q("chart_radius", "the radius of the lift chart that counts for the job's lift", "length", "2 ft", "90 ft", "20 ft", "6 m", (), _DIGGERS),
        _q("chart_load", "what the lift chart allows there", "mass", "50 lb", "300000 lb", "14500 lb", "6500 kg", (), _DIGGERS, limit="most"),
    ),
)  # fmt: skip

TRUCKS = TableFormat(
    "trucks.csv", "the haul trucks of this site", "a truck", TRUCK,
    (
        _words("id", "short id, used in the crew table and settings.yml", "id", "T-1", (TRUCK,)),
        _words("name", "plain name people on site use", "name", "T-1 Middle haul truck", (TRUCK,)),
        _q("payload", "rated payload", "mass", "3 ton", "450 ton", "30 ton", "28 t", (TRUCK,), limit="most"),
        _q("body_volume", "heaped volume of the body", "loose_volume", "2 yd3", "400 yd3", "25 yd3", "19 m3",
           (TRUCK,)),
        _q("empty_mass", "weight empty, ready to work", "mass", "2 ton", "350 ton", "25 ton", "23 t", (TRUCK,)),
        _q("axle_height", "height of the middle of the axle above the road", "length", "0.8 ft", "7 ft",
           "2.9 ft", "0.9 m", (TRUCK,), limit="least"),
        _q("body_length", "inside length of the body", "length", "6 ft", "45 ft", "18 ft", "5.5 m", (TRUCK,)),
        _q("body_width", "inside width of the body", "length", "5 ft", "30 ft", "9.5 ft", "2.9 m", (TRUCK,)),
        _q("overall_width", "widest part of the truck", "length", "6 ft", "35 ft", "10.2 ft", "3.1 m", (TRUCK,)),
        _q("body_height", "height of the top of the body's sides above the ground, empty", "length", "3 ft", "25 ft", "9 ft",
           "2.7 m", (), (TRUCK,), limit="least"),
        _q("body_up_height", "highest point of the truck with its body all the way up", "length", "8 ft", "70 ft", "21 ft", "6.4 m",
           (), (TRUCK,), limit="least"),
        _q("overall_length", "whole length of the truck, body down", "length", "10 ft", "70 ft", "34 ft", "10.4 m", (), (TRUCK,),
           limit="least"),
        _q("downhill_speed", "highest speed down this site's steepest haul grade, loaded, by the retarder chart of its manual", "speed",
           "2 mph", "45 mph", "14 mph", "22 km/h", (), (TRUCK,), limit="most"),
        _words("cab_guard", "whether a guard over its cab keeps what falls off its driver: guarded or open", "choice", "guarded", (), (TRUCK,),
               options=("guarded", "open")),
        _q("eye_height", "height of the driver's eyes above the ground, seated", "length", "3 ft", "30 ft", "8.5 ft", "2.6 m", (), (TRUCK,)),
        _q("sill_height", "height of the edge ahead that hides the ground from the seat: hood or deck", "length", "1 ft", "28 ft", "5.5 ft",
           "1.7 m", (), (TRUCK,)),
        _q("sill_distance", "how far that edge is from straight below the eyes, level", "length", "0.5 ft", "40 ft", "8 ft", "2.4 m", (),
           (TRUCK,)),
        _words("build", "how its frame is built: rigid, or articulated, which bends in the middle; drawn rigid if left out", "choice",
               "rigid", (), (TRUCK,), options=("rigid", "articulated")),
        _words("attachments", "what is fitted to it, for the classes under records: in settings.yml", "words", "tailgate", (), (TRUCK,)),
        _words("retired", "the first day that nobody drives it any more; its row stays, as records name it", "date", "2027-03-14", (), (TRUCK,)),
        _words("note", "anything worth saying; not used in sums", "note", "tailgate fitted", (), (TRUCK,)),
    ),
)  # fmt: skip

SOIL_TYPES = ("A", "B", "C", "rock")


# limits of a site whose range ends at a figure of United States law; elsewhere they are held to the site's own table, where it
# has that figure, and else to no more than what they mean: some way, and no deeper than any trench the handbook tells of
_OF_LAW: Mapping[str, tuple[str, str]] = {"trench_entry_depth": ("0.1 ft", "20 ft"), "spoil_setback": ("0.1 ft", "50 ft")}


def under_rules(column: Column, rules: Name) -> Column:
    """The column as a site with these rules has it: soil types are words of its own, as its rules name them, and no table must have
    one; and where a range ends at a figure of United States law, its own rules hold the figure, or none do."""
    if rules != US_FEDERAL and column.name in _OF_LAW:
        low, high = _OF_LAW[column.name]
        return replace(column, low=low, high=high)
    if rules == US_FEDERAL or column.options != SOIL_TYPES:
        return column
    in_table = MATERIAL in column.needed_for
    return replace(
        column,
        kind="note",
        options=(),
        needed_for=frozenset() if in_table else column.needed_for,
        also_for=column.fits if in_table else column.also_for,
    )


MATERIALS = TableFormat(
    "materials.csv", "the ground and materials of this site", "a material", MATERIAL,
    (
        _words("id", "short id, used in settings.yml", "id", "common-earth", (MATERIAL,)),
        _words("name", "plain name people on site use, as it stands in a sentence", "name", "common earth", (MATERIAL,)),
        _q("bank_density", "weight of the ground as it lies, before digging", "density", "800 lb/yd3",
           "6500 lb/yd3", "3100 lb/yd3", "1840 kg/m3", (MATERIAL,)),
        _q("swell", "how much the volume grows when dug", "fraction", "3%", "120%", "25%", "25%", (MATERIAL,),
           below="write only what is added: a factor of 1.25 is a swell of 25%"),
        _q("shrinkage", "how much the volume is less than bank when compacted; below 0 for rock that takes more room",
           "fraction", "-60%", "50%", "10%", "10%", (MATERIAL,),
           below="write only what is lost: a factor of 0.9 is a shrinkage of 10%"),
        _q("fill", "how full a bucket gets, as a share of its heaped capacity", "fraction", "20%", "130%", "105%",
           "105%", (MATERIAL,)),
        _q("repose", "steepest angle a loose pile lies at", "angle", "10 deg", "60 deg", "35 deg", "35 deg",
           (MATERIAL,)),
        _q("traction", "grip of tracks on it, as a share of the weight (coefficient of traction)", "factor", "0.05",
           "1.1", "0.9", "0.9", (MATERIAL,)),
        _q("traction_loose", "the same on it once it is loose, as on a spoil pile; left out, a published figure counts", "factor",
           "0.05", "1.1", "0.5", "0.5", (), (MATERIAL,)),
        _words("soil_type", "soil type for trench walls, as the competent person classed it", "choice", "B",
               (MATERIAL,), options=SOIL_TYPES),
        _words("note", "anything worth saying; not used in sums", "note", "keep dry", (), (MATERIAL,)),
    ),
)  # fmt: skip

CREW = TableFormat(
    "crew.csv", "the people who run the machines", "a person", PERSON,
    (
        _words("id", "short id, written on results and sign-off sheets", "id", "C-01", (PERSON,)),
        _words("name", "the person's name", "name", "Ada Example", (PERSON,)),
        _words("role", "the role, one of those under roles: in settings.yml", "id", "dozer-operator", (PERSON,)),
        _words("machines", "ids of the machines and trucks the person runs", "ids", "D-1 D-2", (), (PERSON,)),
        _words("start", "first day on the job", "date", "2026-03-14", (), (PERSON,)),
        _words("left", "the first day that the person no longer works here; the row stays, as records name it", "date", "2027-03-14", (), (PERSON,)),
        _words("former_id", "the id the person had before, where it was changed", "id", "C-31", (), (PERSON,)),
        _words("role_from", "first day in this role, where it is not the first day on the job", "date", "2026-06-01", (), (PERSON,)),
        _words("language", "the language the person is taught in, as two letters", "language", "es", (), (PERSON,)),
        _words("note", "anything worth saying; not used in sums", "note", "nights", (), (PERSON,)),
    ),
)  # fmt: skip

# A site may have it. Its figures are copied from the charts in the manuals of its own machines.
LIFT_CHART = TableFormat(
    "lift_chart.csv", "what the makers' lift charts allow", "a figure of a chart", "lift",
    (
        _words("id", "a short id or number of the row", "id", "1", ("lift",)),
        _words("machine", "the machine whose chart it is, by its id in the table machines", "id", "E-1", ("lift",)),
        _words("over", "over the front of the tracks, or over their side", "choice", "side", ("lift",), options=("front", "side")),
        _q("radius", "level, from the swing centre to the point that the load hangs from", "length", "2 ft", "90 ft", "20 ft", "6 m", ("lift",)),
        _q("height", "height of that point over the ground; below zero in a trench. Left out, the figure holds for any height", "length", "-60 ft",
           "60 ft", "5 ft", "1.5 m", (), ("lift",)),
        _q("chart_load", "what the chart allows there", "mass", "50 lb", "300000 lb", "14500 lb", "6500 kg", ("lift",), limit="most"),
        _words("note", "anything worth saying, such as the stick and bucket it holds for; not used in sums", "note", "manual, page 3-8", (),
               ("lift",)),
    ),
)  # fmt: skip

# A site may have it. Without it anybody whom a sign-off names counts as a mentor.
MENTORS = TableFormat(
    "mentors.csv", "who may sign for others", "a mentor", MENTOR,
    (
        _words("id", "short id, written on sign-offs: the id in the crew table for one of the crew", "id", "M-1", (MENTOR,)),
        _words("name", "the mentor's name", "name", "Ben Example", (MENTOR,)),
        _words("machines", f"the kinds of machine the mentor may sign for, with semicolons between them: {', '.join(OPERATED)}, {ON_FOOT}",
               "words", "dozer; excavator", (MENTOR,)),
        _words("from", "first day on which the mentor may sign", "date", "2026-03-14", (), (MENTOR,)),
        _words("until", "last day on which the mentor may sign", "date", "2028-03-13", (), (MENTOR,)),
        _words("note", "anything worth saying; not used in sums", "note", "nights", (), (MENTOR,)),
    ),
)  # fmt: skip

# A site may have it, for its learning system. It changes no page of the handbook: packages alone use it.
LEARNERS = TableFormat(
    "learners.csv", "who a learner of the learning system is in the crew table", "a learner", "learner",
    (
        _words("learner", "the id by which the learning system knows the person, as it stands there", "name", "a.example@site.example", ("learner",)),
        _words("person", "the person's id in the table crew", "id", "C-01", ("learner",)),
    ),
)  # fmt: skip

FOR_RECORDS = frozenset({"attachments", "retired", "left", "former_id", "role_from", "language"})
"""Columns that only the records of training use."""

TABLES = (MACHINES, TRUCKS, MATERIALS, CREW)
MAY_HAVE = (LIFT_CHART, MENTORS, LEARNERS)
"""Tables a site may leave out."""


def may_be_blank(column: str, kind: str) -> bool:
    """Whether a row of this kind may have the column and need not."""
    return any(c.name == column and kind in c.also_for for table in TABLES for c in (*table.columns, *table.taken) if kind in table.kinds)


def taken_from(column: str) -> str:
    """The table that a column of the machines is taken from, where nobody writes it in theirs; else nothing."""
    return LIFT_CHART.file if any(c.name == column for c in MACHINES.taken) else ""


# --- settings.yml ---

_SLOT = ("slot-front-to-back",)
_GRADES = ("reading-grades", "holding-a-grade")
_PILES = ("bank-loose-compacted",)
_LOADING = ("truck-match",)
_MOVING = ("moving-the-machine",)
_LIFTING = ("lifting-with-the-bucket",)
_PLACING = ("spread-and-compact",)
_LEVELS = ("string-and-laser",)

# The figures of the job that the lessons' worked examples use.
JOB: tuple[Column, ...] = (
    # every sum of output
    _q("working_minutes", "minutes really worked in an hour", "factor", "20 min/h", "60 min/h", "50 min/h",
       "50 min/h", ("slot-front-to-back", "truck-match", "stripping", "ripping-first", "reverse-is-wear", "spread-and-compact")),
    _q("shift_hours", "hours worked in a shift", "time", "1 h", "16 h", "10 h", "10 h",
       ("reverse-is-wear", "heat-and-hours", "walk-around", "spread-and-compact")),
    # the day: fuel, parking, heat and hours
    _q("fuel_gauge", "how full the fuel gauge stands in the example", "fraction", "5%", "100%", "75%", "75%", ("walk-around",)),
    _q("fuel_reserve", "share of a tank that is never used up on this site", "fraction", "5%", "50%", "25%", "25%", ("walk-around",),
       limit="least"),
    _q("park_grade", "grade of the place in the parking example", "grade", "3%", "25%", "8%", "8%", ("park-and-leave",)),
    _q("roll_distance", "how far below that place the next people or machines are, along the slope", "length", "10 ft", "500 ft", "60 ft", "18 m",
       ("park-and-leave",)),
    _q("heat_crew", "people who drink from one water cooler", "count", "1", "100", "6", "6", ("heat-and-hours",)),
    _q("travel_time", "time on the road to the site, one way", "time", "0 h", "3 h", "45 min", "45 min", ("heat-and-hours",)),
    _q("own_time", "time a day for eating, washing, family and getting ready", "time", "0.5 h", "6 h", "3 h", "3 h", ("heat-and-hours",)),
    _q("up_before", "how long before the shift people get up, the way there counted", "time", "0.5 h", "6 h", "2 h", "2 h",
       ("heat-and-hours",)),
    # grades
    _q("rise", "how far the example grade goes up", "length", "0.1 ft", "1000 ft", "6 ft", "2 m",
       ("reading-grades", "side-slope-limits")),
    _q("run", "how far it goes along, measured level", "length", "1 ft", "10000 ft", "120 ft", "40 m",
       ("reading-grades", "side-slope-limits")),
    _q("grade_distance", "distance over which a grade is carried", "length", "1 ft", "10000 ft", "250 ft", "75 m",
       _GRADES),
    _q("main_fall", "fall of the finished ground along its length", "grade", "0%", "60%", "3%", "3%", _GRADES),
    _q("cross_slope", "fall of the finished ground across", "grade", "0%", "60%", "4%", "4%",
       (*_GRADES, "side-slope-limits")),
    _q("heading", "angle between the machine's heading and the steepest fall", "angle", "0 deg", "90 deg", "30 deg",
       "30 deg", ("reading-grades", "holding-a-grade")),
    # volumes
    _q("cut_volume", "ground to be dug, as it lies", "bank_volume", "1 yd3", "5000000 yd3", "600 yd3", "450 m3",
       _PILES),
    _q("stockpile_height", "height of the stockpile", "length", "1 ft", "200 ft", "12 ft", "4 m", _PILES),
    _q("stockpile_length", "length of the stockpile ridge", "length", "2 ft", "5000 ft", "80 ft", "25 m", _PILES),
    # slot dozing
    _q("slot_length", "length of the slot", "length", "20 ft", "1500 ft", "150 ft", "45 m",
       (*_SLOT, "spoil-pile", "reverse-is-wear")),
    _q("slot_width", "width of the slot, about a blade", "length", "3 ft", "30 ft", "12 ft", "3.6 m",
       (*_SLOT, "spoil-pile", "reverse-is-wear")),
    _q("slot_depth", "depth of the slot, three quarters to one blade height", "length", "0.3 ft", "10 ft", "3 ft",
       "1 m", (*_SLOT, "spoil-pile", "reverse-is-wear")),
    _q("spoil_ratio", "run for 1 of rise up the spoil ramp", "ratio", "1.5:1", "10:1", "3:1", "3:1",
       (*_SLOT, "spoil-pile", "reverse-is-wear")),
    _q("spoil_width", "width of the top of the spoil pile: the blade, and the distance to an edge on both sides", "length",
       "3 ft", "200 ft", "24 ft", "8 m", ("spoil-pile",), limit="least"),
    _q("carry", "share of the blade load still ahead of the blade at the dump", "fraction", "30%", "100%", "85%",
       "85%", (*_SLOT, "reverse-is-wear")),
    _q("push_distance", "distance of an average push; in stripping the length of a strip", "length", "10 ft", "1500 ft", "150 ft", "45 m",
       (*_SLOT, "reverse-is-wear", "stripping")),
    _q("fixed_time", "time for shifting and turning in each push", "time", "0 min", "2 min", "0.1 min", "0.1 min",
       (*_SLOT, "reverse-is-wear", "stripping")),
    _q("push_grade", "grade the push runs down", "grade", "0%", "50%", "10%", "10%", _SLOT),
    _q("climb_grade", "steepest grade climbed with a load", "grade", "0%", "60%", "30%", "30%", ("spoil-pile",)),
    _q("rolling_resistance", "pull the ground takes from tracks or tires", "resistance", "0 lb/ton", "500 lb/ton",
       "60 lb/ton", "30 kg/t", ("spoil-pile",)),
    _q("slip_track_distance", "track laid down in the slip check", "length", "1 ft", "2000 ft", "115 ft", "35 m",
       ("undercarriage-left",)),
    _q("slip_ground_distance", "ground covered in the slip check", "length", "1 ft", "2000 ft", "100 ft", "30 m",
       ("undercarriage-left",)),
    _q("far_side_ratio", "run for 1 of rise on the far side of the spoil pile", "ratio", "0.5:1", "10:1", "1.5:1",
       "1.5:1"),
    _q("ground_grade", "grade of the ground from the cut to the spoil; above 0 uphill, below 0 downhill", "grade",
       "-40%", "25%", "0%", "0%"),
    _q("load_distance", "distance in which the blade fills", "length", "3 ft", "300 ft", "40 ft", "12 m"),
    _q("open_carry", "share of a load that arrives where there are no slot walls", "fraction", "10%", "100%", "60%",
       "60%"),
    _words("operator_skill", "operator's skill in the output example", "choice", "average",
           options=("excellent", "average", "poor")),
    _words("material_state", "state of the ground in the output example", "choice", "loose stockpile",
           options=("loose stockpile", "hard to cut or frozen with tilt", "hard to cut without tilt",
                    "hard to drift (dead or sticky)", "ripped or blasted rock")),
    _words("dozing_method", "way of dozing in the output example", "choice", "slot dozing",
           options=("slot dozing", "side by side")),
    _words("sight", "sight in the output example, where it is not good", "choice", "poor", options=("poor",)),
    _q("wing_length", "length of a blade wing, along the blade", "length", "0.2 ft", "10 ft", "2 ft", "0.6 m"),
    _q("wing_angle", "how far a blade wing is turned forward", "angle", "0 deg", "45 deg", "20 deg", "20 deg"),
    _q("measured_pile_height", "height of one blade load, tipped and measured", "length", "0.5 ft", "12 ft", "4 ft",
       "1.2 m", _SLOT),
    _q("measured_pile_width", "width of that load", "length", "1 ft", "30 ft", "8 ft", "2.4 m", _SLOT),
    _q("measured_pile_length", "length of that load", "length", "1 ft", "40 ft", "12 ft", "3.6 m", _SLOT),
    # stripping and ripping
    _q("strip_area", "area to strip", "area", "100 ft2", "500 acre", "1 acre", "0.4 ha", ("stripping",)),
    _q("strip_depth", "depth of topsoil", "length", "2 in", "36 in", "8 in", "200 mm", ("stripping",)),
    _q("strip_windrow_height", "height of a topsoil windrow", "length", "0.5 ft", "6 ft", "1.5 ft", "0.5 m",
       ("stripping",)),
    _q("rip_length", "length of a ripping pass", "length", "20 ft", "2000 ft", "300 ft", "90 m", ("ripping-first",)),
    _q("rip_spacing", "distance between ripping passes", "length", "1 ft", "12 ft", "3 ft", "0.9 m",
       ("ripping-first",)),
    _q("rip_depth", "depth the ripper reaches", "length", "0.5 ft", "7 ft", "2 ft", "0.6 m", ("ripping-first",)),
    _q("rip_speed", "speed while ripping", "speed", "0.3 mph", "4 mph", "1 mph", "1.6 km/h", ("ripping-first",)),
    _q("rip_turn_time", "time to turn at the end of a ripping pass", "time", "0 min", "5 min", "0.25 min", "0.25 min",
       ("ripping-first",)),
    # drift
    _q("drift_distance", "distance over which the blade's drift was measured", "length", "5 ft", "1000 ft", "50 ft",
       "15 m", ("steer-with-the-blade",)),
    _q("drift_offset", "how far the machine ran off line over it", "length", "0.1 ft", "50 ft", "2 ft", "0.6 m",
       ("steer-with-the-blade",)),
    _q("blade_tilt", "how much lower one corner of the blade is set in the drift example", "length", "0.25 in", "3 ft",
       "4 in", "100 mm", ("steer-with-the-blade",)),
    # loading
    _q("face_height", "height of the bench face as it stands", "length", "1 ft", "40 ft", "10 ft", "3 m",
       ("bench-height", "standing-on-the-bench")),
    _q("face_angle", "angle of the tracks to the face", "angle", "10 deg", "90 deg", "45 deg", "45 deg",
       ("standing-on-the-bench",)),
    _q("truck_angle", "angle of the truck to the line from the excavator's swing centre to it", "angle", "20 deg", "160 deg", "90 deg", "90 deg",
       ("standing-on-the-bench", "loading-order", "under-the-bucket")),
    _q("edge_distance", "no longer used: limits.edge_distance counts", "length", "1 ft", "50 ft", "6 ft", "2 m"),
    _q("bucket_angle", "angle of the bucket to the ground as it enters", "angle", "5 deg", "90 deg", "30 deg",
       "30 deg", ("digging-pass",)),
    _q("stick_angle_start", "angle of the stick to the ground from which it pulls hardest", "angle", "30 deg", "120 deg",
       "75 deg", "75 deg", ("digging-pass",)),
    _q("stick_angle_end", "angle of the stick to the ground when the bucket is full", "angle", "45 deg", "130 deg",
       "90 deg", "90 deg", ("digging-pass",)),
    _q("swing_angle", "average swing from the face to the truck", "angle", "10 deg", "180 deg", "60 deg", "60 deg",
       (*_LOADING, "loading-order")),
    _q("swing_near", "swing from the near end of the dig to the near (rear) end of the body", "angle", "5 deg",
       "170 deg",
       "30 deg", "30 deg", ("loading-order",)),
    _q("dig_arc", "arc of the pile dug from for one truck", "angle", "0 deg", "150 deg", "40 deg", "40 deg",
       ("loading-order",)),
    _q("truck_distance", "distance from the swing centre to the middle of the truck body, where it is more than it must be",
       "length", "4 ft", "100 ft", "31 ft", "9.5 m", ("loading-order",)),
    _q("digging_depth", "depth of the dig below the tracks", "length", "0.5 ft", "50 ft", "10 ft", "3 m", _LOADING),
    _q("good_passes", "passes to a truck that this site takes for a good match", "count", "2", "15", "6", "6", _LOADING),
    _q("bucket_struck_volume", "what the bucket holds struck off level", "volume", "0.001 yd3", "50 yd3", "2.5 yd3",
       "2 m3"),
    _q("bucket_inside_width", "inside width of the bucket", "length", "0.3 ft", "16 ft", "62 in", "1.6 m"),
    _q("bucket_opening", "opening from the cutting edge to the back of the bucket", "length", "0.3 ft", "16 ft",
       "56 in", "1.4 m"),
    # hauling
    _q("trucks", "trucks on this haul", "count", "1", "60", "4", "4", _LOADING),
    _q("loaders", "machines that load them", "count", "1", "20", "1", "1", _LOADING),
    _q("haul_distance", "distance from the face to the dump", "length", "100 ft", "20 mi", "3000 ft", "900 m",
       _LOADING),
    _q("haul_speed", "average speed loaded", "speed", "1 mph", "45 mph", "12 mph", "20 km/h", _LOADING),
    _q("empty_speed", "average speed back empty", "speed", "1 mph", "45 mph", "18 mph", "30 km/h", _LOADING),
    _q("spot_time", "time to back up to the excavator", "time", "0 min", "10 min", "0.5 min", "0.5 min", (*_LOADING, "under-the-bucket")),
    _q("truck_dump_time", "time to turn and tip at the dump", "time", "0 min", "15 min", "1.5 min", "1.5 min",
       _LOADING),
    _q("haul_grade", "steepest grade of the haul road", "grade", "1%", "20%", "8%", "8%", ("haul-road",)),
    _q("haul_lanes", "lanes beside each other on the haul road", "count", "1", "4", "2", "2", ("haul-road",)),
    _q("sight_distance", "shortest distance a driver sees ahead on the haul road, over a crest or around a bend", "length", "20 ft",
       "2000 ft", "150 ft", "45 m", ("haul-road",), limit="most"),
    _q("road_grip", "grip of tires on the haul road when dry, as a share of the weight", "factor", "0.1", "1", "0.5", "0.5",
       ("haul-road",)),
    _q("road_grip_wet", "the same when wet, as tested on this site, or as the person in charge takes it", "factor", "0.1", "1", "0.2",
       "0.2", ("haul-road",)),
    _q("backing_speed", "speed at which machines and trucks back up where people may be", "speed", "0.5 mph", "20 mph", "3 mph", "5 km/h",
       ("seeing-people", "signals"), limit="most"),
    # payload
    _q("measured_load", "weight of one truck load off the scale, truck not counted", "mass", "1 ton", "450 ton",
       "27 ton", "25 t", ("payload-tally", "what-the-screen-tells")),
    _q("scale_shown", "weight the screen in the cab showed for that load", "mass", "1 ton", "450 ton", "26 ton", "24 t",
       ("what-the-screen-tells",)),
    _q("measured_buckets", "buckets that made up that load", "count", "1", "60", "6", "6", ("payload-tally",)),
    _q("loads_hauled", "loads hauled in the shift", "count", "1", "2000", "38", "38", ("payload-tally", "under-the-bucket")),
    # slopes
    _q("slope_height", "height of the slope to build", "length", "1 ft", "500 ft", "20 ft", "6 m",
       ("building-a-slope",)),
    _q("slope_ratio", "run for 1 of rise of the slope to build", "ratio", "1:1", "20:1", "3:1", "3:1",
       ("reading-grades", "building-a-slope")),
    _q("slope_length", "length of the slope to build, along its top", "length", "5 ft", "10000 ft", "200 ft", "60 m",
       ("building-a-slope",)),
    _q("working_side_slope", "side slope of the ground in the example", "grade", "0%", "60%", "10%", "10%",
       ("side-slope-limits", "building-a-slope", "if-it-slides", "holding-a-grade", "excavator-on-a-slope")),
    _q("pad_room", "level ground left free all around the tracks on a pad cut into a slope", "length", "1 ft", "20 ft", "3 ft", "1 m",
       ("excavator-on-a-slope",), limit="least"),
    _q("cg_offset", "how far a load moves the centre of gravity sideways", "length", "0 ft", "4 ft", "0.25 ft",
       "0.1 m", ("side-slope-limits",)),
    _q("berm_ratio", "run for 1 of rise of the sides of a road berm", "ratio", "1:1", "4:1", "1.5:1", "1.5:1",
       ("building-a-slope", "haul-road", "at-the-tip")),
    _q("windrow_height", "height of the windrow on the low edge of a cut; where trucks run, the largest axle counts", "length", "0.5 ft", "6 ft", "2 ft",
       "0.6 m"),
    _q("cohesion", "cohesion of the ground in the slope, as the engineer measured it", "pressure", "0 lbf/ft2",
       "5000 lbf/ft2", "200 lbf/ft2", "10 kPa", (), ()),
    _q("friction_angle", "friction angle of the ground in the slope, as the engineer measured it", "angle", "0 deg",
       "50 deg", "30 deg", "30 deg"),
    _q("unit_weight", "unit weight of the ground in the slope, as the engineer measured it", "unit_weight",
       "65 lbf/ft3", "180 lbf/ft3", "115 lbf/ft3", "18 kN/m3"),
    _q("slide_depth", "how deep the weak layer lies, straight down", "length", "0.5 ft", "100 ft", "4 ft", "1.2 m"),
    _q("cut_face_angle", "angle of a cut face to the level", "angle", "10 deg", "90 deg", "60 deg", "60 deg"),
    _q("safety_factor", "factor of safety the engineer asks for", "factor", "1", "5", "1.5", "1.5"),
    # trench
    _q("trench_bottom_width", "width of the trench floor", "length", "0.5 ft", "40 ft", "3 ft", "0.9 m",
       ("trench-to-grade", "trench-walls", "trench-boxes")),
    _q("trench_depth", "depth of the trench", "length", "0.5 ft", "20 ft", "6 ft", "1.8 m",
       ("trench-to-grade", "trench-walls", "trench-boxes", "found-a-line")),
    _q("trench_length", "length of the trench", "length", "5 ft", "20000 ft", "180 ft", "55 m",
       ("trench-to-grade", "trench-walls")),
    _q("trench_grade", "grade of the trench floor, down to its low end", "grade", "0%", "25%", "1%", "1%", ("trench-to-grade",)),
    _q("surface_grade", "grade of the ground along the trench, down to the trench's low end; below zero where it falls the other way",
       "grade", "-25%", "25%", "0.5%", "0.5%"),
    _q("move_grade", "grade of the ground an excavator moves along as it digs a trench, up or down", "grade", "0.1%", "20%", "0.5%", "0.5%",
       ("what-the-screen-tells",)),
    Column("trench_soil_type", "soil type of the trench walls, as the competent person classed it", "choice",
           us="C", metric="C", needed_for=frozenset({"trench-walls", "trench-boxes"}), options=SOIL_TYPES),
    _q("box_height", "height of one trench box", "length", "2 ft", "12 ft", "6 ft", "1.8 m", ("trench-boxes",)),
    _q("box_length", "length of the trench box", "length", "3 ft", "40 ft", "8 ft", "2.4 m", ("trench-boxes",)),
    _q("box_above", "how far the trench box stands out above the ground, by this site's rule", "length", "0 in", "60 in", "18 in",
       "450 mm", ("trench-boxes",), limit="least"),
    _q("box_rated_depth", "depth the trench box is rated for in this soil, by its own data", "length", "2 ft", "60 ft", "10 ft", "3 m",
       ("trench-boxes",), limit="most"),
    _q("box_rating", "pressure the trench box is rated for, by its own data", "pressure", "100 lbf/ft2", "20000 lbf/ft2",
       "900 lbf/ft2", "43 kPa", also=("trench-boxes",), limit="most"),
    _words("trench_upper_soil_type", "soil type of the upper layer; where it is one soil, give it for both layers", "choice", "B",
           ("trench-boxes",), options=SOIL_TYPES),
    _q("trench_upper_depth", "how thick the upper layer is", "length", "0.2 ft", "20 ft", "2 ft", "0.6 m", ("trench-boxes",)),
    _words("trench_lowest_soil_type", "soil type of the lowest layer", "choice", "C", ("trench-boxes",), options=SOIL_TYPES),
    _q("trench_lowest_depth", "how thick the lowest layer is, down to the floor", "length", "0.2 ft", "20 ft", "4 ft", "1.2 m", ("trench-boxes",)),
    _q("start_elevation", "elevation of the grade line at the high end: the inside bottom of the pipe, or the floor where no pipe "
       "is laid", "length", "-1500 ft", "20000 ft",
       "512.4 ft", "156.2 m", ("trench-to-grade",)),
    _q("surface_elevation", "elevation of the ground above the low end of the trench", "length", "-1500 ft",
       "20000 ft", "517 ft", "157.6 m", ("trench-to-grade",)),
    _q("first_run_depth", "depth taken in the first run", "length", "0.5 ft", "20 ft", "3.5 ft", "1 m",
       ("trench-to-grade",)),
    _q("pipe_inside", "inside width of the pipe", "length", "1 in", "12 ft", "12 in", "300 mm"),
    _q("pipe_wall", "how thick the wall of the pipe is; the floor is dug that much lower", "length", "0.05 in", "24 in",
       "2 in", "50 mm"),
    _q("bedding", "how thick the bedding under the pipe is, packed; the floor is dug that much lower", "length", "0 in", "60 in",
       "4 in", "100 mm"),
    # placing and compacting
    _q("fill_length", "length of the strip to fill", "length", "10 ft", "5000 ft", "150 ft", "45 m", _PLACING),
    _q("fill_width", "width of the strip to fill, at its top", "length", "6 ft", "500 ft", "32 ft", "10 m", _PLACING),
    _q("fill_depth", "depth to fill, packed", "length", "4 in", "20 ft", "2.25 ft", "0.7 m", _PLACING),
    _q("fill_layer", "thickness of a layer once it is packed, by the plan", "length", "2 in", "4 ft", "6 in", "15 cm", _PLACING,
       limit="most"),
    _q("roller_width", "width of the roller's drum", "length", "2 ft", "12 ft", "7 ft", "2.1 m", _PLACING),
    _q("roller_overlap", "how far each lane of the roller laps over the one before", "length", "1 in", "3 ft", "6 in", "15 cm", _PLACING),
    _q("roller_speed", "speed of the roller as it packs", "speed", "0.5 mph", "8 mph", "2.5 mph", "4 km/h", _PLACING, limit="most"),
    _q("roller_passes", "passes over each spot, from the test strip or the plan; there and back is two", "count", "1", "40", "6", "6", _PLACING,
       limit="least"),
    # levels
    _q("benchmark", "elevation of the benchmark", "length", "-1500 ft", "20000 ft", "521.36 ft", "158.91 m", _LEVELS),
    _q("backsight", "reading of the rod on the benchmark when the laser is set up", "length", "0.3 ft", "25 ft", "7.05 ft", "2.15 m", _LEVELS),
    _q("second_backsight", "the same reading at the next check, in the example", "length", "0.3 ft", "25 ft", "7.17 ft", "2.19 m", _LEVELS),
    _q("check_tolerance", "how far that check may be off", "length", "0.005 ft", "0.4 ft", "0.02 ft", "5 mm", _LEVELS, limit="most"),
    _q("design_elevation", "elevation the plan asks for at the spot", "length", "-1500 ft", "20000 ft", "519.2 ft", "158.25 m", _LEVELS),
    _q("rod_on_ground", "reading of the rod on the ground at the spot, before the work", "length", "0.1 ft", "25 ft", "7.8 ft", "2.38 m",
       _LEVELS),
    _q("grade_tolerance", "how far finished ground may be off, up or down", "length", "0.01 ft", "1 ft", "0.1 ft", "3 cm", _LEVELS,
       limit="most"),
    _q("laser_distance", "distance from the laser to the far end of the work", "length", "20 ft", "1500 ft", "150 ft", "45 m", _LEVELS),
    _q("laser_off_level", "how far the laser is off level in the example", "grade", "0.05%", "2%", "0.3%", "0.3%", _LEVELS),
    _q("string_above", "how far the string hangs above the finished floor", "length", "0.5 ft", "15 ft", "5 ft", "1.5 m", _LEVELS),
    _q("string_measured", "what is measured from the string down to the ground, in the example", "length", "0.2 ft", "20 ft", "4.4 ft", "1.32 m",
       _LEVELS),
    # lines
    _q("line_voltage", "voltage of the nearest overhead line, as its owner says", "voltage", "0.1 kV", "1000 kV",
       "115 kV", "115 kV", ("lines-above-and-below",),
       beyond="no table gives a distance for it: the line's owner or a registered engineer sets it; use another "
       "line as the example"),
    _q("line_height", "height of its lowest wire above the ground", "length", "8 ft", "300 ft", "38 ft", "11.5 m",
       ("lines-above-and-below", "at-the-tip"), limit="most"),
    _q("buried_line_width", "outside width of the buried line", "length", "0.25 in", "20 ft", "8 in", "200 mm",
       ("lines-above-and-below", "found-a-line")),
    _q("tolerance", "no-machine zone each side of a buried line, by the local rule", "length", "12 in", "10 ft", "24 in",
       "600 mm", ("lines-above-and-below", "found-a-line"), limit="least"),
    _q("lines_apart", "how far apart two buried lines cross the trench, middle to middle, as found by hand", "length", "1 in", "200 ft",
       "14 ft", "4.2 m", ("found-a-line",), limit="most"),
    _q("pothole_run", "how far the trench runs along a marked line", "length", "1 ft", "20000 ft", "120 ft", "36 m", ("found-a-line",)),
    _q("pothole_spacing", "farthest from one hole dug by hand to the next along a line, by its owner or this site's rule", "length", "1 ft",
       "200 ft", "25 ft", "8 m", ("found-a-line",), limit="most"),
    _q("pothole_time", "time to dig one hole by hand and move on", "time", "1 min", "8 h", "25 min", "25 min", ("found-a-line",)),
    # moving a machine on a trailer
    _q("hauler_mass", "weight of the truck that pulls the trailer", "mass", "3000 lb", "120000 lb", "20000 lb", "9 t", _MOVING),
    _q("trailer_mass", "weight of the empty trailer", "mass", "500 lb", "150000 lb", "25000 lb", "11 t", _MOVING),
    _q("deck_height", "height of the trailer's deck over the road", "length", "0.5 ft", "6 ft", "3 ft", "0.9 m", _MOVING, limit="least"),
    _q("ramp_length", "length of a ramp, along its slope", "length", "2 ft", "60 ft", "12 ft", "3.7 m", _MOVING),
    _q("ramp_grade_limit", "steepest that ramps may lie: the smaller of the machine manual's figure and the mark on the ramps", "grade", "1%",
       "60%", "27%", "27%", _MOVING, limit="most"),
    _q("trailer_base", "from the hitch back to the middle of the trailer's axles", "length", "5 ft", "120 ft", "40 ft", "12.2 m", _MOVING),
    _q("machine_place", "from the hitch back to where the middle of the machine is to stand", "length", "3 ft", "120 ft", "27 ft", "8.2 m",
       _MOVING),
    _q("axles_empty", "what the trailer's axles carry with no machine on it", "mass", "300 lb", "100000 lb", "15000 lb", "7 t", _MOVING),
    _q("axles_allowed", "the most the trailer's axles may carry together on this way, by the road's owner or the permit", "mass", "1000 lb",
       "300000 lb", "72000 lb", "33 t", _MOVING, limit="most"),
    _q("route_height", "lowest bridge, wire or sign on the way", "length", "6 ft", "60 ft", "15 ft", "4.6 m", _MOVING, limit="most"),
    _q("tie_down_load", "working load limit of one tie-down: its weakest piece", "mass", "500 lb", "100000 lb", "11300 lb", "5 t", _MOVING,
       limit="most"),
    # lifting with the bucket
    _q("lift_load", "weight of what is lifted in the example, from its tag or a scale", "mass", "20 lb", "200000 lb", "3600 lb", "1600 kg",
       _LIFTING, limit="least"),
    _q("lift_rigging", "weight of the slings, chains, hooks and beams of that lift", "mass", "1 lb", "20000 lb", "100 lb", "45 kg", _LIFTING,
       limit="least"),
    _q("lift_radius", "farthest that the load is from the swing centre in that lift, level", "length", "3 ft", "90 ft", "20 ft", "6 m", _LIFTING,
       limit="least"),
    _words("lift_over", "side that lift is made over; left out, the smaller figure of both counts", "choice", "side", options=("front", "side")),
    # wear
    _q("wear_new", "size of the part when new", "length", "0.1 in", "40 in", "2.8 in", "71 mm",
       ("undercarriage-left", "reverse-is-wear")),
    _q("wear_limit", "size at which it is worn out", "length", "0.05 in", "40 in", "1.2 in", "30 mm",
       ("undercarriage-left", "reverse-is-wear")),
    _q("wear_measured", "size measured today", "length", "0.05 in", "40 in", "2.0 in", "51 mm",
       ("undercarriage-left", "reverse-is-wear")),
    _q("wear_hours", "machine hours on the part", "time", "1 h", "60000 h", "1800 h", "1800 h",
       ("undercarriage-left", "reverse-is-wear")),
    _q("hours_left_low", "hours with the left side low", "time", "0 h", "60000 h", "320 h", "320 h", ("even-wear",)),
    _q("hours_right_low", "hours with the right side low", "time", "0 h", "60000 h", "180 h", "180 h",
       ("even-wear",)),
    _q("grouser_difference", "grouser height on one side less that on the other", "length", "0 in", "6 in", "0.5 in",
       "12 mm", ("holding-a-grade", "even-wear", "what-the-screen-tells")),
    _q("sweep_force", "sideways force at the bucket in a sweep", "force", "100 lbf", "200000 lbf", "6000 lbf",
       "25 kN", ("pins-and-side-loads",)),
    _q("sweep_reach", "distance from the pins at the boom's foot to the bucket in that sweep", "length", "1 ft", "60 ft",
       "24 ft", "7 m", ("pins-and-side-loads",)),
    # compact excavators
    _q("gate_width", "clear width of the gate", "length", "2 ft", "20 ft", "3.5 ft", "1.1 m", ("track-width",),
       limit="most"),
    _q("backfill_distance", "distance the compact machine pushes backfill", "length", "1 ft", "200 ft", "15 ft",
       "4.5 m", ("backfill-with-the-blade",)),
    _q("backfill_length", "length of trench to backfill", "length", "1 ft", "20000 ft", "60 ft", "18 m",
       ("backfill-with-the-blade",)),
    _q("backfill_trench_width", "width of that trench, its walls upright", "length", "0.3 ft", "20 ft", "1.5 ft",
       "0.45 m", ("backfill-with-the-blade",)),
    _q("backfill_trench_depth", "depth of that trench", "length", "0.3 ft", "4.9 ft", "3 ft", "0.9 m",
       ("backfill-with-the-blade",)),
    _q("backfill_layer", "thickest layer of fill, loose, by the plan", "length", "2 in", "24 in", "8 in", "20 cm",
       also=("backfill-with-the-blade",), limit="most"),
)  # fmt: skip

# The site's own limits. A competent person sets them; nothing here is calculated.
LIMITS: tuple[Column, ...] = (
    Column("decided_by", "the competent person who set these limits", "name", us="R. Calloway, superintendent",
           needed_for=frozenset({"*"})),
    Column("decided_on", "the day they were set", "date", us="2026-01-05", needed_for=frozenset({"*"})),
    Column("call", "whom to call on this site when something is not right, and how", "name", us="Site office, channel 3"),
    Column("emergency", "what to do first in an emergency: whom to call, and where helpers are met", "name",
           us="Call 911, then meet them at the gate", metric="Call 112, then meet them at the gate"),
    _q("side_slope", "steepest ground worked across, by this site's rule", "grade", "1%", "40%", "15%", "15%",
       (*_GRADES, "stop-work", "side-slope-limits", "building-a-slope", "if-it-slides", "excavator-on-a-slope"), limit="most"),
    _q("up_down_slope", "steepest ground worked straight up and down, by this site's rule", "grade", "1%", "60%",
       "35%", "35%", ("reading-grades", "side-slope-limits", "building-a-slope", "spoil-pile", "excavator-on-a-slope"), limit="most"),
    _q("bench_height", "highest bench on this site", "length", "2 ft", "40 ft", "10 ft", "3 m",
       ("bench-height", "standing-on-the-bench"), limit="most"),
    _q("edge_distance", "nearest a machine's tracks come to an edge", "length", "1 ft", "60 ft", "6 ft", "2 m",
       ("standing-on-the-bench", "trench-walls", "trench-boxes", "found-a-line", "backfill-with-the-blade", "spread-and-compact",
        "at-the-tip"), limit="least"),
    _q("fall_zone", "how far out from the foot of a face nobody stands and no truck stops; never less than the face is high",
       "length", "1 ft", "100 ft", "10 ft", "3 m", limit="least"),
    _q("trench_entry_depth", "depth from which nobody enters without protected walls", "length", "1 ft", "5 ft",
       "4 ft", "1.2 m", ("trench-walls",), limit="most"),
    _q("spoil_setback", "nearest spoil lies to a trench edge", "length", "2 ft", "50 ft", "2 ft", "0.61 m",
       ("trench-walls", "backfill-with-the-blade"), limit="least"),
    _q("line_clearance", "nearest any part comes to a live overhead line", "length", "10 ft", "100 ft", "20 ft",
       "6 m", ("lines-above-and-below", "standing-on-the-bench", "at-the-tip"), limit="least"),
    _q("site_speed", "highest speed on haul roads", "speed", "3 mph", "45 mph", "20 mph", "30 km/h", ("haul-road",), limit="most"),
    _q("following_distance", "nearest one truck follows another on haul roads", "length", "30 ft", "1000 ft", "200 ft", "60 m",
       limit="least"),
    _q("tip_distance", "nearest the rear wheels of a truck come to the edge at the tip", "length", "1 ft", "100 ft", "10 ft", "3 m",
       limit="least"),
    _q("tip_cross_slope", "steepest ground across under a truck that tips", "grade", "0.5%", "15%", "3%", "3%",
       ("at-the-tip",), limit="most"),
    _q("person_distance", "nearest anyone on foot comes to all that a machine at work can reach with bucket, blade, tail, tracks or wheels",
       "length", "3 ft", "200 ft", "15 ft", "5 m", ("seeing-people", "signals", "lifting-with-the-bucket"), limit="least"),
)  # fmt: skip


def _by_name(columns: tuple[Column, ...]) -> dict[str, Column]:
    found = {c.name: c for c in columns}
    if len(found) != len(columns):
        raise ValueError("a setting stands twice in columns.py")
    return found


# figures that are read still, so that old settings build, and used no more
RETIRED: Mapping[str, str] = {"edge_distance": "limits.edge_distance"}

JOB_BY_NAME: Mapping[str, Column] = _by_name(JOB)
LIMITS_BY_NAME: Mapping[str, Column] = _by_name(LIMITS)
OPTIONS = frozenset(
    o for c in (*(c for form in (*TABLES, *MAY_HAVE) for c in form.columns), *JOB, *LIMITS) for o in c.options if " " in o or len(o) > 1
)
"""The words that a cell or a figure of the job may be, where it is one of a few."""
