"""A hook for ``mkdocs serve`` in a source checkout: renders the demo, and again on every change.

mkdocs loads this file by its path (see ``hooks:`` in mkdocs.yml), anew before each rendering; the
rest of the program it loads once. On a mistake in a table or a lesson the page says so, and the
next save mends it. ``seatwork serve`` does without this file.
"""

from __future__ import annotations

import html
import logging
import os
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from generator.book.content import content_folder  # noqa: E402
from generator.jobsite.names import printed_in  # noqa: E402
from generator.language.scripts import NAME as STRINGS  # noqa: E402
from generator.language.words import using  # noqa: E402
from generator.publish.build import Problems, render  # noqa: E402
from generator.publish.languages import speech  # noqa: E402
from generator.publish.one_language import footer  # noqa: E402
from generator.publish.serve import scratch  # noqa: E402
from generator.publish.site import hands_in, quotable, scripts, translated, write_files  # noqa: E402

_log = logging.getLogger("mkdocs.hooks.seatwork")


def folder() -> Path:
    """The job site to serve: SEATWORK_SITE, else the demo."""
    return Path(os.environ.get("SEATWORK_SITE", ROOT / "site_demo"))


def on_config(config: Any) -> Any:
    """Render the job site into the folder mkdocs reads, and set the navigation."""
    docs = scratch() / "docs"
    docs.mkdir(exist_ok=True)
    config["docs_dir"] = str(docs)
    try:
        tree, site = render(folder(), lambda _: None)
    except Problems as e:
        return _not_built(e.lines, docs, config)
    except OSError as e:
        return _not_built([f"{e.filename or folder()}: cannot be read ({e.strerror}); check its access rights"], docs, config)
    names = set(tree.docs)
    for old in docs.rglob("*"):
        if old.is_file() and old.relative_to(docs).as_posix() not in names:
            old.unlink()
    write_files(tree.docs, docs)
    config["nav"] = tree.nav
    main = site.settings.languages[0]
    with using(speech(main, content_folder(), folder())):
        config["site_name"] = quotable(printed_in(site, main).settings.name)
        config["copyright"] = footer(site)
    if hands_in(tree):
        config["extra_javascript"] = scripts(config["extra_javascript"])
    if translated(tree):
        config["extra_javascript"] = [f"assets/{STRINGS}", *config["extra_javascript"]]
    return config


def _not_built(lines: list[str], docs: Path, config: Any) -> Any:
    """Every page there is says what is wrong, so that the reader sees it on the page that is open."""
    for line in lines:
        _log.error(line)
    rows = "".join(f"<li><code>{html.escape(line)}</code></li>" for line in lines)
    text = f"# Not built\n\n<p>Mend this and save; the page loads again by itself.</p>\n\n<ul>{rows}</ul>\n"
    pages = {p.relative_to(docs).as_posix() for p in docs.rglob("*.md")} | {"index.md"}
    write_files(dict.fromkeys(sorted(pages), text), docs)
    config["nav"] = [{"Not built": "index.md"}]
    return config


def on_serve(server: Any, config: Any, builder: Any) -> Any:
    """Watch the tables, the content and the code instead of the rendered pages."""
    server.unwatch(config["docs_dir"])
    for watched in (folder(), ROOT / "content", ROOT / "generator"):
        server.watch(str(watched))
    return server
