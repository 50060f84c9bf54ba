"""The one place that knows the site builder: what of it the program calls, and what it leans on besides.

:data:`PRIVATE` names each part of the site builder and its theme that no documentation promises, once,
with what it is for. Whoever leans on some asks :func:`all_there` first and does without where an
upgrade took one away: pages are then turned by the site builder alone, a preview builds the whole
site after every save, and the bytes are the same. ``tests/publish/test_builder.py`` says which are gone.
"""

from __future__ import annotations

import dis
import os
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from types import FunctionType
from typing import Any, Literal

from generator.book.part import SPOKEN
from generator.publish.aside import SetAside, each_foreign, without_unsearched
from generator.source.problem import Refusal

PRERENDER = "prerender"  # pages turned by copies of the process
ONE_PAGE = "one page"  # one page built again by itself
SERVER = "server"  # the preview's web server

# where a figure in feet ends and the same in metres begins: a page shows one of the two
_OTHER_SYSTEM = re.compile(r'(?<=>)(?=<(?:span|button|b)\b[^<>]*\bclass="(?:[^"<>]* )?si")')

_TAG = re.compile("<[^<>]*>")
_ONLY_SPACE = re.compile(r">\s+<")  # which the search makes one space of

_PAGES, _BUILD = "mkdocs.structure.pages", "mkdocs.commands.build"
_SEARCH, _SERVE = "material.plugins.search.plugin", "mkdocs.livereload"


@dataclass(frozen=True)
class Private:
    """A name no documentation promises: of a module, or of the class ``owner`` in it and what is made of it."""

    module: str
    owner: str
    name: str
    uses: tuple[str, ...]
    why: str

    def __str__(self) -> str:
        return ".".join(part for part in (self.module, self.owner, self.name) if part)

    def there(self) -> bool:
        """Whether the installed version has it."""
        try:
            home: Any = import_module(self.module)
        except ImportError:
            return False
        if self.owner:
            home = getattr(home, self.owner, None)
        return hasattr(home, self.name) or (isinstance(home, type) and self.name in _set_on(home))


PRIVATE = (
    Private(_PAGES, "Page", "read_source", (PRERENDER,), "reads a page's Markdown in a copy of the process"),
    Private(_PAGES, "Page", "render", (PRERENDER,), "turns it there, and is stood in for here"),
    Private(_PAGES, "Page", "_title_from_render", (PRERENDER,), "the title that turning a page finds"),
    Private(_PAGES, "Page", "present_anchor_ids", (PRERENDER,), "the places in a page that links may name"),
    Private(_PAGES, "Page", "links_to_anchors", (PRERENDER,), "the places its links name, held to those"),
    Private(_PAGES, "Page", "validate_anchor_links", (ONE_PAGE,), "holds the links of a page built alone to those"),
    Private(_BUILD, "", "_populate_page", (ONE_PAGE,), "reads and turns one page with all that listens"),
    Private(_BUILD, "", "_build_page", (ONE_PAGE,), "puts one page into the theme and writes it"),
    Private(_SEARCH, "SearchPlugin", "search_index", (PRERENDER, ONE_PAGE), "the search's index while a site is built"),
    Private(_SEARCH, "SearchIndex", "entries", (PRERENDER, ONE_PAGE), "its entries: a page's are taken from a copy, or replaced"),
    Private(_SEARCH, "SearchIndex", "add_entry_from_context", (PRERENDER,), "makes a page's entries in a copy, and is stood in for here"),
    Private(_SERVE, "LiveReloadServer", "serve_request", (SERVER,), "answers a request, once it is known to come from this computer"),
    Private(_SERVE, "LiveReloadServer", "root", (SERVER,), "the folder that is served: the pages, or those that say what is wrong"),
    Private(_SERVE, "LiveReloadServer", "error_handler", (SERVER,), "gives the page to show where none can be written"),
)  # fmt: skip


def _set_on(owner: type) -> frozenset[str]:
    """What a class's own methods set on its instances."""
    made = (f for f in vars(owner).values() if isinstance(f, FunctionType))
    return frozenset(str(i.argval) for f in made for i in dis.get_instructions(f) if i.opname == "STORE_ATTR")


def missing(use: str | None = None) -> list[Private]:
    """The private names, all or of one use, that the installed version does not have."""
    return [p for p in PRIVATE if (use is None or use in p.uses) and not p.there()]


def all_there(use: str) -> bool:
    """Whether the installed version has all private names of a use."""
    return not missing(use)


def loaded(config_file: Path, **options: str) -> Any:
    """The site builder's settings, read from their file; ``options`` go before it."""
    # the theme's word about the builder's next major version, below which both are held
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    from mkdocs.config import load_config

    config = load_config(config_file=str(config_file), **options)
    config.markdown_extensions.append(SetAside())
    # pages of the builder's own that this program takes out or writes itself
    config.theme.static_templates.clear()
    _search_plain_text(config)
    listen(config, "seatwork language", on_page_content=_in_its_language)
    return config


def _in_its_language(html: str, page: Any, config: Any, files: Any) -> str:
    """A page whose words are in another language than the pages around it says so to voices and browsers."""
    spoken = page.meta.get(SPOKEN)
    return f'<div class="sw-spoken" lang="{spoken}">{html}</div>' if spoken else html


def build_all(config: Any, command: Literal["build", "serve"], address: str | None = None) -> None:
    """Builds the whole site. ``address`` is where it is served, if it is."""
    from mkdocs.commands.build import build

    config.plugins.on_startup(command=command, dirty=False)
    build(config, serve_url=address)


class NoServer(Refusal):
    """The installed site builder has no web server that this program knows."""

    code = "no-server"


def server(rebuild: Callable[[], None], host: str, port: int, root: Path, polling: float) -> Any:
    """The site builder's web server, which loads changed pages again; it looks for changes every ``polling`` seconds.

    Raises NoServer.
    """
    if not all_there(SERVER):
        gone = ", ".join(map(str, missing(SERVER)))
        raise NoServer(
            f"the installed site builder has no {gone}, so nothing can be served", "install requirements.txt, or use seatwork build"
        )
    from mkdocs.livereload import LiveReloadServer

    return LiveReloadServer(rebuild, host, port, str(root), polling_interval=polling)


def listen(config: Any, name: str, **events: Callable[..., Any]) -> None:
    """Calls functions at the site builder's events, each by its event's name (``on_nav=...``)."""
    from mkdocs.plugins import BasePlugin

    config.plugins[name] = type("Listener", (BasePlugin,), {event: staticmethod(f) for event, f in events.items()})()


def plain(page: str) -> str:
    """A page for the search, which holds plain text: the figures of the two unit systems are told apart by a word."""
    return each_foreign(_OTHER_SYSTEM.sub(" or ", without_unsearched(page)), _words_of)


def _words_of(element: str) -> str:
    """A drawing or formula for the search, which leaves out its tags but not the words between them."""
    if "data-search-exclude" in element or _ONLY_SPACE.search(element):
        return element
    return _TAG.sub("", element)


def no_headings() -> Any:
    """The list of headings of a page that has none."""
    from mkdocs.structure.toc import get_toc

    return get_toc([])


def search_index(config: Any) -> Any:
    """The search's index while the site is built; None where there is no search."""
    return next((index for p in config.plugins.values() if (index := getattr(p, "search_index", None)) is not None), None)


def _search_plain_text(config: Any) -> None:
    """While the search takes a page in, the page holds what :func:`plain` makes of it."""
    from mkdocs.plugins import event_priority

    whole: dict[str, Any] = {}

    def before(context: Any, *, page: Any, **_: Any) -> None:
        whole["content"] = page.content
        page.content = plain(page.content)

    def after(context: Any, *, page: Any, **_: Any) -> None:
        page.content = whole.pop("content")

    listen(config, "seatwork before search", on_page_context=event_priority(100)(before))
    listen(config, "seatwork after search", on_page_context=event_priority(-100)(after))


class Site:
    """A site built whole, with what the builder needs to build one page of it again.

    ``page_by_page`` says whether it can; where it cannot, each change wants a new Site.
    """

    def __init__(self, config: Any, address: str) -> None:
        self.nav: Any = None
        self.files: Any = None
        self.env: Any = None
        self.config = config
        self.page_by_page = all_there(ONE_PAGE)

        def on_nav(nav: Any, /, *, config: Any, files: Any) -> Any:
            self.nav, self.files = nav, files
            return nav

        def on_env(env: Any, /, *, config: Any, files: Any) -> Any:
            self.env = env
            return env

        listen(config, "seatwork keeper", on_nav=on_nav, on_env=on_env)
        build_all(config, "serve", address)

    def rebuild_pages(self, names: Iterable[str]) -> None:
        """Builds pages again by the names of their Markdown files, and the search's index."""
        from mkdocs.commands.build import _build_page, _populate_page

        found = [self.files.get_file_from_path(n).page for n in names]
        if not found:
            return
        for page in found:
            _populate_page(page, self.config, self.files, dirty=False)
        shown = self.files.documentation_pages()
        index = search_index(self.config)
        for page in found:
            with _replaced_entries([] if index is None else index.entries, page.url):
                _build_page(page, self.config, shown, self.nav, self.env)
        for page in found:
            page.validate_anchor_links(files=self.files, log_level=self.config.validation.links.anchors)
        self.config.plugins.on_post_build(config=self.config)


@contextmanager
def _replaced_entries(entries: list[dict[str, Any]], url: str) -> Iterator[None]:
    """Within it a page adds its entries to the search anew: they take the place of its old ones."""

    def of_page(entry: dict[str, Any]) -> bool:
        return str(entry["location"]).partition("#")[0] == url

    at = next((i for i, e in enumerate(entries) if of_page(e)), len(entries))
    entries[:] = [e for e in entries if not of_page(e)]
    before = len(entries)
    yield
    new = entries[before:]
    del entries[before:]
    entries[at:at] = new
