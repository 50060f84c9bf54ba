"""Parts of an earlier rendering that still hold, so that a preview renders only what was changed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from generator.book.content import Content
from generator.book.parallel import Job
from generator.jobsite.model import JobSite
from generator.language.words import now

_OF_ONE_LESSON = ("lessons/", "questions/")


class PartCache:
    """The parts of the last rendering by job, each with what it was made from.

    A part of a lesson rests on the lesson, its questions, and on what all lessons share: the
    site's tables, the words, the published tables, the sheets, the look and the checks. When
    anything shared changes, nothing is kept.
    """

    def __init__(self) -> None:
        self._shared: Any = None
        self._parts: dict[Job, tuple[Any, Any]] = {}

    def look(self, content: Content, site: JobSite) -> None:
        """Forgets what does not hold for this content and site."""
        shared = _shared(content, site)
        if shared != self._shared:
            self._shared = shared
            self._parts = {}
        for job, (made_from, _) in list(self._parts.items()):
            if made_from != _own(content, job):
                del self._parts[job]

    def has(self, job: Job) -> bool:
        """Whether the part is there."""
        return job in self._parts

    def of(self, job: Job) -> Any:
        """The part, or None."""
        found = self._parts.get(job)
        return found[1] if found else None

    def keep(self, job: Job, part: Any, content: Content) -> None:
        """Keeps a part that has no mistake in it."""
        self._parts[job] = (_own(content, job), part)


def _own(content: Content, job: Job) -> Any:
    if job.what != "lesson":
        return None
    return content.lessons.get(job.name), content.questions.get(job.name)


def _shared(content: Content, site: JobSite) -> Any:
    own = content.own
    return (
        now().print, site, tuple(content.lessons), content.glossary, content.cautions, content.cards, content.tables, content.sources,
        content.may_stand, own.all_pictures, [{n: t for n, t in layer.texts.items() if not n.startswith(_OF_ONE_LESSON)} for layer in own.layers],
        [_print(p) for sub in ("sheets", "look", "checks") for p in sorted((content.folder / sub).rglob("*"))],
        _print(content.folder / "library-checks.yml"),
    )  # fmt: skip


def _print(path: Path) -> tuple[str, int, int]:
    found = path.stat()
    return str(path), found.st_mtime_ns, found.st_size
