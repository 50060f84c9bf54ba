"""The site builder's slow step, Markdown to HTML and the search's entries, on all cores.

The site builder turns one page after another. Here copies of this process turn pages with its own
methods, and it takes what they made in the place of making it: the site is the same byte for byte.
Where this process cannot be copied (not on Linux, or threads run), or the site builder has changed
inside (``builder.py``), nothing is done ahead.
"""

from __future__ import annotations

import copy
import logging
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from generator.book.parallel import Job, spread
from generator.publish.builder import PRERENDER, all_there, listen, no_headings, plain, search_index
from generator.publish.kept import Found, Keeping, KeptPages, Shelved


@dataclass(frozen=True)
class Prerendered:
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


def prerender_page(shared: tuple[Any, Any], job: Job) -> Prerendered | None:
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
            whole, page.content = page.content, plain(page.content)
            index.add_entry_from_context(page)
            page.content = whole
    finally:
        log.handlers, log.propagate = was
    if warned.any:
        return None
    links = page.links_to_anchors
    return Prerendered(
        {n: getattr(page, n) for n in ("content", "toc", "_title_from_render", "present_anchor_ids")},
        None if links is None else {file.src_uri: anchors for file, anchors in links.items()}, entries,
    )  # fmt: skip


def prerender(config: Any, keeping: Keeping | None = None, alike: str = "") -> None:
    """Makes the site builder take from copies of this process what they turned. Call it before building.

    With ``keeping`` it also takes the pages that an earlier build made from the same, and keeps those of this one; ``alike``
    is what all pages are made from besides: the settings' text and the day.
    """
    kept: list[KeptPages] = []

    def on_nav(nav: Any, /, *, config: Any, files: Any) -> Any:
        """All pages are known now."""
        pages = {f.src_uri: f.page for f in files.documentation_pages() if f.page is not None}

        def turned(names: Iterable[str]) -> dict[str, Prerendered]:
            jobs = {n: Job("page", n) for n in names}
            with spread(prerender_page, (config, files), list(jobs.values()), anew=False) as parts:
                return {n: found for n, job in jobs.items() if (found := parts.of(job)) is not None}

        if keeping is not None and keeping.store is not None:
            book = KeptPages(keeping, [alike, *sorted(files.src_uris)])
            known = book.look({n: page.file.content_string for n, page in pages.items()})
            new = [n for n in pages if n not in known]
            ready = turned(new)
            for name in new:  # few: no copies were made
                if name not in ready and (found := prerender_page((config, files), Job("page", name))) is not None:
                    ready[name] = found
            whole = book.titled({n: _found(p) for n, p in ready.items()})
            ready.update(turned(n for n in known if n not in whole))
            ready.update({n: _given(known[n]) for n in whole})
            kept.append(book)
        else:
            ready = turned(pages)
        for name, found in ready.items():
            _stand_in(pages[name], found, files)
        index = search_index(config)
        if index is not None:

            def add(page: Any) -> None:
                # once: a preview may turn the page again
                found = ready.pop(page.file.src_uri, None)
                if found is None:
                    type(index).add_entry_from_context(index, page)
                else:
                    index.entries.extend(found.entries)

            index.add_entry_from_context = add
        return nav

    def on_env(env: Any, /, *, config: Any, files: Any) -> Any:
        return Shelved(env, kept[0]) if kept else env

    if all_there(PRERENDER):
        listen(config, "seatwork prerender", on_nav=on_nav, on_env=on_env)


def _found(page: Prerendered) -> Found:
    made = page.attributes
    return Found(made["_title_from_render"], tuple(sorted(made["present_anchor_ids"])), page.links, page.entries)


def _given(found: Found) -> Prerendered:
    """A page that need not be made: nobody reads its content."""
    attributes = {
        "content": "", "toc": no_headings(), "_title_from_render": found.title, "present_anchor_ids": set(found.anchors),
    }  # fmt: skip
    return Prerendered(attributes, found.links, found.entries)


def _stand_in(page: Any, found: Prerendered, files: Any) -> None:
    def render(config: Any, files: Any) -> None:
        del page.render  # once: a preview may turn the page again
        for name, value in found.attributes.items():
            setattr(page, name, value)
        if found.links is not None:
            page.links_to_anchors = {files.get_file_from_path(n): anchors for n, anchors in found.links.items()}

    page.render = render
