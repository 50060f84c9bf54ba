"""Words of records in the language of the page."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from generator.book.content import content_folder
from generator.jobsite.model import JobSite
from generator.language.catalogue import catalogue
from generator.language.words import Said, tr, using


@contextmanager
def in_its_language(site: JobSite) -> Iterator[None]:
    """Within it pages are made in the site's main language, as those for mentors and inspectors are."""
    with using(catalogue(site.settings.languages[0], (content_folder(), site.folder))):
        yield


def worded(text: str) -> str:
    """A text that was kept in English with what it was made of, in the language of now; any other text as it is."""
    return tr(text) if isinstance(text, Said) else text


def thousands(n: int) -> dict[str, str]:
    """A number as it is printed, with thousands apart: ``{count}`` of a sentence for ``ntr``."""
    return {"count": f"{n:,}"}
