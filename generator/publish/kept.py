"""Pages that an earlier build made, found again by what they were made from, and the store they lie in.

A page of the web handbook is made from its Markdown, from what all pages share (the site builder's
settings with the navigation in them, the names of all files, the day, the program and its packages) and
from the heads and titles of all pages, which its navigation shows. Where all that is the same, the
page of the earlier build is the page of this one, and the site builder is given it in the place of making
it. Its links are held to the places they name all the same.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from generator.book.kept import fresh_wanted, made_with
from generator.source.store import FOLDER, Store, digest


@dataclass(frozen=True)
class Used:
    """How many pages a part of a build had, how many of them were kept, and the names of what it took or put."""

    pages: int
    pages_kept: int
    names: frozenset[str]


@dataclass
class Keeping:
    """One build's use of what is kept. ``store`` is None where nothing can be, or is wanted to be, kept.

    ``program`` is the print of what builds. ``pages`` and ``pages_kept`` count once the pages are built.
    """

    store: Store | None = None
    program: str = ""
    content: Path = field(default_factory=Path)
    pages: int = 0
    pages_kept: int = 0

    @classmethod
    def begun(cls, site: Path, content: Path, *, fresh: bool) -> Keeping:
        """For a build that begins now, before anything is read. With ``fresh`` what is kept is thrown away first.

        Where the environment wants builds to be fresh, what they make is not kept either.
        """
        if fresh or fresh_wanted():
            thrown_away(site)
        if fresh_wanted():
            return cls(content=content)
        program = made_with(content) if site.is_dir() else None
        store = Store.beside(site) if program is not None else None
        return cls(store, program or "", content)

    def still(self) -> None:
        """Nothing is kept of a build during which the program or its texts were written: nobody knows what it was made from."""
        if self.store is not None and made_with(self.content) != self.program:
            self.store.forget()
            self.store = None

    def done(self) -> None:
        """The build is over: the store is held to its size."""
        if self.store is not None:
            self.store.trim()

    def used(self) -> Used:
        """What was used of it, as plain data."""
        return Used(self.pages, self.pages_kept, frozenset(self.store.used) if self.store is not None else frozenset())

    def add(self, more: Used) -> None:
        """Counts in what another part of the build used, a copy of this process perhaps."""
        self.pages += more.pages
        self.pages_kept += more.pages_kept
        if self.store is not None:
            self.store.used |= more.names

    @property
    def told(self) -> str:
        """How much was kept, in words; nothing where nothing was."""
        return f"{self.pages_kept} of {self.pages} pages" if self.pages_kept else ""


def thrown_away(site: Path) -> None:
    """Takes out all that is kept of a site; a link is only taken away."""
    folder = site / FOLDER
    if folder.is_symlink():
        folder.unlink()
    elif folder.is_dir():
        shutil.rmtree(folder, ignore_errors=True)


@dataclass(frozen=True)
class Found:
    """What the site builder has to know of a page that it need not make: title, places, links and search entries."""

    title: str | None
    anchors: tuple[str, ...]
    links: Mapping[str, Mapping[str, str]] | None
    entries: list[dict[str, Any]]

    def packed(self) -> bytes:
        """As bytes."""
        return json.dumps([self.title, self.anchors, self.links, self.entries], ensure_ascii=False).encode()

    @classmethod
    def of(cls, raw: bytes) -> Found:
        """From :meth:`packed`."""
        title, anchors, links, entries = json.loads(raw)
        return cls(title, tuple(anchors), links, entries)


class KeptPages:
    """The pages of one build by the names of their Markdown files. ``alike`` are what all pages are made from."""

    def __init__(self, keeping: Keeping, alike: list[str]) -> None:
        self.keeping = keeping
        self._alike = digest(keeping.program, *alike)
        self._made_from: dict[str, str] = {}
        self._heads: dict[str, str] = {}
        self._found: dict[str, Found] = {}
        self._html_from: dict[str, str] = {}
        self.html: dict[str, str] = {}

    def look(self, sources: Mapping[str, str]) -> dict[str, Found]:
        """What is kept of pages with these Markdown texts."""
        store = self.keeping.store
        self.keeping.pages += len(sources)
        for name, text in sources.items():
            self._made_from[name] = digest("page", self._alike, name, text)
            self._heads[name] = text.partition("\n---\n")[0] if text.startswith("---\n") else ""
            raw = store.get(self._made_from[name]) if store is not None else None
            if raw is not None:
                self._found[name] = Found.of(raw)
        return self._found

    def titled(self, made: Mapping[str, Found]) -> set[str]:
        """Names of pages whose HTML is kept too, now that what was ``made`` gives the titles of all others."""
        store = self.keeping.store
        if store is None:
            return set()
        known = {**self._found, **made}
        # of a page that nobody knows yet the site builder says more itself, and nothing is kept
        if set(known) != set(self._made_from):
            return set()
        shown = digest(*(x for name in self._made_from for x in (name, self._heads[name], json.dumps(known[name].title))))
        for name, found in made.items():
            store.put(self._made_from[name], found.packed())
        for name, made_from in self._made_from.items():
            self._html_from[name] = digest("html", made_from, shown)
            raw = store.get(self._html_from[name]) if name in self._found else None
            if raw is not None:
                self.html[name] = raw.decode("utf-8", "surrogatepass")
        self.keeping.pages_kept += len(self.html)
        return set(self.html)

    def put(self, name: str, html: str) -> None:
        """Keeps a page as it was made."""
        if self.keeping.store is not None and name in self._html_from:
            self.keeping.store.put(self._html_from[name], html.encode("utf-8", "surrogatepass"))


class Shelved:
    """The theme's templates, of which those of pages give what is kept, and keep what they make."""

    def __init__(self, env: Any, kept: KeptPages) -> None:
        self._env, self._kept = env, kept

    def __getattr__(self, name: str) -> Any:
        return getattr(self._env, name)

    def get_template(self, *args: Any, **options: Any) -> Any:
        """A template whose ``render`` looks for the page first, and for the template where it has to make the page."""
        return _Template(lambda: self._env.get_template(*args, **options), self._kept)


class _Template:
    def __init__(self, template: Callable[[], Any], kept: KeptPages) -> None:
        self._template, self._kept = template, kept

    def render(self, context: Any) -> str:
        page = context.get("page")
        name = page.file.src_uri if page is not None else ""
        if name in self._kept.html:
            return self._kept.html[name]
        html = str(self._template().render(context))
        if name:
            self._kept.put(name, html)
        return html
