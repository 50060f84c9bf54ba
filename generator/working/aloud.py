"""What a page says aloud of its numbers: the words a voice reads in the place of a figure."""

from __future__ import annotations

import datetime

from generator.jobsite.model import JobSite
from generator.language.words import current, tr
from generator.speech.say import Voice, spoken, spoken_date, voice_of
from generator.units.quantity import Quantity


def voice_for(site: JobSite) -> Voice | None:
    """The voice of the language that is printed now, in the site's country; None where nothing can be said in it."""
    return voice_of(current(), site.settings.country)


def words_of(value: object, voice: Voice | None, caution: str = "") -> str:
    """The words of a printed value, with the caution that must stand wherever the figure does; a day as it is said; '' for other words."""
    if voice is not None and (day := _day(value)) is not None:
        return spoken_date(day, voice)
    if voice is None or not isinstance(value, Quantity):
        return ""
    said = spoken(value, voice)
    return f"{said}, {tr(caution)}," if caution else said


def _day(value: object) -> datetime.date | None:
    """A day as the settings hold it, YYYY-MM-DD; None of anything else."""
    if isinstance(value, datetime.date):
        return value
    try:
        return datetime.date.fromisoformat(value) if isinstance(value, str) and len(value) == 10 else None
    except ValueError:
        return None
