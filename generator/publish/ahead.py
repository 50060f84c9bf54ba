"""The site builder's slow step, Markdown to HTML and the search's entries, on all cores.

The site builder turns one page after another. Here copies of this process turn pages with its own
methods, and it takes what they made in the place of making it: the site is the same byte for byte.
Where this process cannot be copied (not on Linux, or threads run) nothing is done ahead.
"""

from __future__ import annotations

import copy
import logging
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from generator.book.parallel import Job, spread

# where a figure in feet ends and the same in metres begins: a page shows one of the two
_OTHER_SYSTEM = re.compile(r'(?<=>)(?=<(?:span|button|b)\b[^<>]*\bclass="(?:[^"<>]* )?si")')


@dataclass(frozen=True)
class Turned:
    """What turning a page gives it, and its entries in the search. ``links`` name files by their path."""

    attributes: Mapping[str, Any]
    links: Mapping[str, Mapping[str, str]] | None
    entries: list[dict[str, Any]]


class _Warned(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.any = False

    def emit(self, record: logging.LogRecord) -> None:
        self.any = True


def turned(shared: tuple[Any, Any], job: Job) -> Turned | None:
    """In a copy of the process: one page; None where the site builder has to warn of something in it."""
    config, files = shared
    page = files.get_file_from_path(job.name).page
    log, warned = logging.getLogger("mkdocs"), _Warned()
    # whom it would warn is warned by the site builder itself
    was, log.handlers, log.propagate = (log.handlers, log.propagate), [warned], False
    try:
        page.read_source(config)
        page.render(config, files)
        entries: list[dict[str, Any]] = []
        if (index := search_index(config)) is not None:
            index = copy.copy(index)
            index.entries = entries
            add_entries(index, page)
    finally:
        log.handlers, log.propagate = was
    if warned.any:
        return None
    links = page.links_to_anchors
    return Turned(
        {n: getattr(page, n) for n in ("content", "toc", "_title_from_render", "present_anchor_ids")},
        None if links is None else {file.src_uri: anchors for file, anchors in links.items()}, entries,
    )  # fmt: skip


def add_entries(index: Any, page: Any) -> None:
    """Adds a page to the search. It holds plain text: the figures of the two unit systems are told apart by a word."""
    whole = page.content
    page.content = _OTHER_SYSTEM.sub(" or ", whole)
    try:
        type(index).add_entry_from_context(index, page)
    finally:
        page.content = whole


def search_index(config: Any) -> Any:
    """The search's index while the site is built; None where there is no search."""
    return next((index for p in config.plugins.values() if (index := getattr(p, "search_index", None)) is not None), None)


def take_from_copies(config: Any) -> None:
    """Makes the site builder take from copies of this process what they turned. Call it before building."""
    from mkdocs.plugins import BasePlugin

    class Ahead(BasePlugin):  # type: ignore[misc]
        """Starts when all pages are known, and stands in for their slow methods."""

        def on_nav(self, nav: Any, /, *, config: Any, files: Any) -> Any:
            pages = {f.src_uri: f.page for f in files.documentation_pages() if f.page is not None}
            with spread(turned, (config, files), [Job("page", n) for n in pages], anew=False) as parts:
                ready = {n: found for n in pages if (found := parts.of(Job("page", n))) is not None}
            for name, found in ready.items():
                _stand_in(pages[name], found, files)
            index = search_index(config)
            if index is not None:
                def add(page: Any) -> None:
                    # once: a preview may turn the page again
                    found = ready.pop(page.file.src_uri, None)
                    if found is None:
                        add_entries(index, page)
                    else:
                        index.entries.extend(found.entries)

                index.add_entry_from_context = add
            return nav

    config.plugins["seatwork ahead"] = Ahead()


def _stand_in(page: Any, found: Turned, files: Any) -> None:
    def render(config: Any, files: Any) -> None:
        del page.render  # once: a preview may turn the page again
        for name, value in found.attributes.items():
            setattr(page, name, value)
        if found.links is not None:
            page.links_to_anchors = {files.get_file_from_path(n): anchors for n, anchors in found.links.items()}

    page.render = render
