"""The preview behind ``seatwork serve``: after a save only what the save changed is made anew.

The first time, and whenever pages come, go or change their titles, the site builder builds the
whole site. Else each page whose Markdown changed is built alone, with the site builder's own
steps for one page, into the folder that is served; the page is the one a whole build gives. Where
the site builder has changed inside (``builder.py``), each change builds the whole site.
"""

from __future__ import annotations

import html
import logging
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from generator.book.cache import PartCache
from generator.book.content import content_folder
from generator.book.part import Tree
from generator.jobsite.model import JobSite
from generator.jobsite.names import printed_in
from generator.language.words import using
from generator.publish.build import Problems, render
from generator.publish.builder import Site, loaded
from generator.publish.languages import speech
from generator.publish.one_language import footer
from generator.publish.prerender import prerender
from generator.publish.site import write_tree

_log = logging.getLogger("mkdocs.seatwork")

_NOT_BUILT = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">{more}
<title>Not built</title>
<style>body {{ font: 1.1rem/1.5 sans-serif; margin: 1rem auto; max-width: 50rem; padding: 0 1rem }} code {{ overflow-wrap: anywhere }}</style>
</head>
<body>
<h1>Not built</h1>
<p>Mend this and save; the page loads again by itself.</p>
<ul>{rows}</ul>
</body>
</html>
"""


def not_built(lines: Iterable[str], *, again: bool = False) -> str:
    """A page that says what is wrong, in the place of every other. With ``again`` it asks for itself anew every few seconds."""
    more = '\n<meta http-equiv="refresh" content="3">' if again else ""
    return _NOT_BUILT.format(more=more, rows="".join(f"<li><code>{html.escape(line)}</code></li>" for line in lines))


class Preview:
    """A job site built into ``place``. ``root`` is the folder to serve, and changes with :meth:`rebuild`.

    Where the pages cannot be written, as on a full disk, ``root`` is a folder that is not there,
    and ``in_memory`` is the page that says so.
    """

    def __init__(self, folder: Path, place: Path, address: str) -> None:
        self.folder, self.place, self.address = folder, place, address
        self.web, self.wrong = place / "site", place / "not-built"
        self.root = self.web
        self.in_memory: bytes | None = None
        self.kept = PartCache()
        self._docs: dict[str, str | bytes] = {}
        self._whole: tuple[Any, ...] = ()  # what, when it changes, changes every page
        self._site: Site | None = None

    def rebuild(self) -> None:
        """Reads the tables and lessons again and makes what changed. Mistakes are shown on every page."""
        try:
            tree, site = render(self.folder, lambda _: None, self.kept)
        except Problems as e:
            self._tell(e.lines)
            return
        except OSError as e:
            self._tell([f"{e.filename or self.folder}: cannot be read ({e.strerror}); check its access rights"])
            return
        try:
            self.publish(tree, site)
        except OSError as e:
            self._site, self._docs = None, {}  # half written: all of it is made anew
            line = f"{self.place}: the pages cannot be written ({e.strerror or e}); free space there, then save once more"
            _log.error(line)
            self._from_memory([line])
            return
        self.root, self.in_memory = self.web, None

    def publish(self, tree: Tree, site: JobSite) -> None:
        """Writes a tree, and builds the pages whose text is new: in the site's main language, without a switch."""
        main = site.settings.languages[0]
        with using(speech(main, content_folder(), site.folder)):
            self._publish(tree, printed_in(site, main))

    def _publish(self, tree: Tree, site: JobSite) -> None:
        whole = (
            tree.nav, site.settings.name, footer(site),
            sorted(n for n in tree.docs if n.endswith(".md")), sorted(n for n in tree.docs if not n.endswith(".md")),
            {n: _head(str(d)) for n, d in tree.docs.items() if n.endswith(".md")},
        )  # fmt: skip
        changed = {n: d for n, d in tree.docs.items() if self._docs.get(n) != d}
        if self._site is None or whole != self._whole or (changed and not self._site.page_by_page):
            self._site, self._docs = None, {}
            self._site = self._build(tree, site)
        else:
            for name, data in changed.items():
                raw = data if isinstance(data, bytes) else data.encode("utf-8")
                (self.place / "docs" / name).write_bytes(raw)
                if not name.endswith(".md"):
                    (self.web / name).write_bytes(raw)
            self._site.rebuild_pages([n for n in changed if n.endswith(".md")])
        self._docs, self._whole = dict(tree.docs), whole

    def _build(self, tree: Tree, site: JobSite) -> Site:
        docs = self.place / "docs"
        if docs.is_dir():
            for old in [p for p in docs.rglob("*") if p.is_file() and p.relative_to(docs).as_posix() not in tree.docs]:
                old.unlink()
        config = loaded(write_tree(tree, self.place, site.settings.name, footer(site)), site_dir=str(self.web), site_url=self.address)
        prerender(config)
        return Site(config, self.address)

    def _tell(self, lines: list[str]) -> None:
        for line in lines:
            _log.error(line)
        names = {"index.html"} | {n.removesuffix(".md").removesuffix(".html") + ".html" for n in self._docs if n.endswith((".md", ".html"))}
        names |= {f"lessons/{p.stem}.html" for p in (self.folder / "lessons").glob("*.md")}
        text = not_built(lines)
        try:
            for name in sorted(names):
                path = self.wrong / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, "utf-8", newline="\n")
        except OSError:
            self._from_memory(lines)
            return
        self.root, self.in_memory = self.wrong, None

    def _from_memory(self, lines: list[str]) -> None:
        self.root, self.in_memory = self.place / "nowhere", not_built(lines, again=True).encode()


def _head(page: str) -> str:
    """A page's title and the like, which other pages may show."""
    return page.partition("\n---\n")[0] if page.startswith("---\n") else ""
