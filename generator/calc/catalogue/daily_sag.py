"""Track sag: what was measured, held against the range of the machine's manual."""

from __future__ import annotations

from collections.abc import Mapping

from generator.calc.formula import Formula, Input, Output, Source
from generator.calc.procedure import Procedure, Tables
from generator.calc.steps import Applied, Note, Outcome, Value
from generator.language.words import mark
from generator.units.errors import CalculationError
from generator.units.quantity import Quantity
from generator.units.table import System

ARMY_DOZER = Source("army-tm-5-2410-240-10", "track inspection: the mean of both gaps, held against a least and a most")
ARMY_EXCAVATOR = Source("army-tm-5-3805-280-10", "track sag at the middle roller")
LIMITS = (
    "Measured the way the manual of the machine says, on a track that has coasted to a stop, no mud packed in it. Only the manual's own "
    "figures count. A trained person sets the tension: the grease in the adjuster is under high pressure."
)


def _sag(name: str, symbol: str, meaning: str, us: str, metric: str) -> Input:
    return Input(
        name, symbol, "length", meaning, low="0.1 in", high="24 in", work_us="in", work_metric="mm", example_us=us, example_metric=metric
    )


SAG = _sag("sag", "s", "the sag as measured", "2.5 in", "60 mm")
LEAST = _sag("least_sag", "s_least", "the least sag the manual allows", "1.5 in", "40 mm")
MOST = _sag("most_sag", "s_most", "the most sag the manual allows", "2 in", "50 mm")
SHORT = _sag("sag", "s", "the sag as measured", "1 in", "30 mm")

MEAN_SAG = Formula(
    id="daily.mean_sag",
    title="The sag of a track measured at two places",
    words="Both gaps added, divided by two.",
    written="(front_gap + rear_gap) / 2",
    result=Output("s", "length", "mean sag", us="in", metric="mm", work_us="in", work_metric="mm"),
    inputs=(
        _sag("front_gap", "s_front", "the gap under a straight edge between idler and carrier roller", "1.5 in", "40 mm"),
        _sag("rear_gap", "s_rear", "the gap between carrier roller and sprocket", "2.5 in", "60 mm"),
    ),
    source=ARMY_DOZER,
    limits=LIMITS,
)
TOO_LOOSE = Formula(
    id="daily.too_loose",
    title="How much too loose a track is",
    words="The sag measured, less the most the manual allows.",
    written="sag - most_sag",
    result=Output("s_off", "length", "sag past the most the manual allows", us="in", metric="mm", work_us="in", work_metric="mm"),
    inputs=(SAG, MOST),
    requires=(("most_sag", "sag", "the track is not too loose"),),
    source=ARMY_DOZER,
    limits=LIMITS,
)
TOO_TIGHT = Formula(
    id="daily.too_tight",
    title="How much too tight a track is",
    words="The least sag the manual allows, less the sag measured.",
    written="least_sag - sag",
    result=Output("s_off", "length", "sag short of the least the manual allows", us="in", metric="mm", work_us="in", work_metric="mm"),
    inputs=(LEAST, SHORT),
    requires=(("sag", "least_sag", "the track is not too tight"),),
    source=ARMY_DOZER,
    limits=LIMITS,
)


def _track_sag(inputs: Mapping[str, Quantity | str], system: System, tables: Tables) -> Outcome:
    given = {name: q for name, q in inputs.items() if isinstance(q, Quantity)}
    sag, least, most = given["sag"], given["least_sag"], given["most_sag"]
    if least.si > most.si:
        raise CalculationError("the least sag is more than the most", "check both in the manual", about=("least_sag", "most_sag"))
    if sag.si < least.si:
        verdict, off = "too tight", TOO_TIGHT(least_sag=least.si, sag=sag.si)
        step: Applied | Note = Applied("off", TOO_TIGHT, {"least_sag": least, "sag": sag})
    elif sag.si > most.si:
        verdict, off = "too loose", TOO_LOOSE(sag=sag.si, most_sag=most.si)
        step = Applied("off", TOO_LOOSE, {"sag": sag, "most_sag": most})
    else:
        verdict, off, step = mark("right"), 0.0, Note("The sag lies between the manual's two figures.")
    return Outcome(
        "off",
        {
            "off": Value(off, "length", "how far the sag is outside the manual's figures", us="in", metric="mm"),
            "verdict": Value(verdict, "text", "what the track is"),
        },
        (step,),
    )


TRACK_SAG = Procedure(
    id="daily.track_sag",
    title="Track sag against the manual's figures",
    words="Less than the least is too tight, more than the most is too loose.",
    inputs=(SAG, LEAST, MOST),
    source=ARMY_DOZER,
    also=(ARMY_EXCAVATOR,),
    limits=LIMITS,
    run=_track_sag,
)

CALCULATIONS: tuple[Formula | Procedure, ...] = (TRACK_SAG, MEAN_SAG, TOO_LOOSE, TOO_TIGHT)
