"""The thin last step: the site builder turns the Markdown tree into the web handbook."""

from __future__ import annotations

import logging
import os
import shutil
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import yaml

from generator.book.part import Nav, Tree
from generator.book.tree import HAND_IN
from generator.language.scripts import NAME as STRINGS
from generator.language.words import current, mark, tr
from generator.publish.builder import build_all, loaded
from generator.publish.kept import Keeping
from generator.publish.prerender import prerender
from generator.publish.words import write_words
from generator.source.problem import Refusal
from generator.source.yamltext import load_plain


def theme() -> dict[str, Any]:
    """All the site builder is told, from ``theme.yml`` beside this file."""
    made = dict(load_plain((Path(__file__).parent / "theme.yml").read_text("utf-8"), "theme.yml"))
    for palette in made["theme"]["palette"]:
        palette["toggle"]["name"] = tr(palette["toggle"]["name"])
    return made


_TOGGLES = (mark("Dark pages"), mark("Light pages"))  # of theme.yml


def settings(name: str, nav: Nav, note: str, *, hands_in: bool = False, translated: bool = False) -> dict[str, Any]:
    """The site builder's settings for a tree in ``docs/`` beside them.

    ``hands_in``: its pages send results to the server; ``translated``: their scripts speak another language than English.
    """
    made = theme()
    made["theme"]["language"] = current()
    # the search takes words as they are written: the theme's stemmers made it worse, and fetch more files
    made["plugins"] = [{"search": {"lang": "en"}} if name == "search" else name for name in made["plugins"]]
    made.update({"site_name": quotable(name), "docs_dir": "docs", "site_dir": "site", "nav": nav, "copyright": note})
    if hands_in:
        made["extra_javascript"] = scripts(made["extra_javascript"])
    if translated:
        made["extra_javascript"] = [f"assets/{STRINGS}", *made["extra_javascript"]]
    return made


def scripts(names: Sequence[Any]) -> list[Any]:
    """The pages' scripts with those that hand results in, which the quiz asks for: before it."""
    at = [str(n) for n in names].index("assets/quiz.js")
    return [*names[:at], *(f"assets/{n}" for n in HAND_IN), *names[at:]]


def hands_in(tree: Tree) -> bool:
    """Whether the pages of a tree send results to the server."""
    return f"assets/{HAND_IN[-1]}" in tree.docs


def translated(tree: Tree) -> bool:
    """Whether the scripts of a tree's pages speak another language than English."""
    return f"assets/{STRINGS}" in tree.docs


def quotable(name: str) -> str:
    """A site's name as the theme can print it: it prints names unescaped, between straight quotes too."""
    return name.translate({ord('"'): "”", ord("<"): "‹", ord(">"): "›"})


def write_tree(tree: Tree, folder: Path, name: str, note: str) -> Path:
    """Write the Markdown tree and its ``mkdocs.yml`` into ``folder``; the settings' path."""
    write_files(tree.docs, folder / "docs")
    path = folder / "mkdocs.yml"
    text = yaml.safe_dump(
        settings(name, tree.nav, note, hands_in=hands_in(tree), translated=translated(tree)), allow_unicode=True, sort_keys=False
    )
    path.write_text(text, "utf-8", newline="\n")
    return path


def write_files(files: Mapping[str, str | bytes], folder: Path) -> None:
    """Write files below ``folder``, leaving alone those that already hold the same bytes."""
    for name, data in files.items():
        path = folder / name
        if not path.resolve().is_relative_to(folder.resolve()):
            raise ValueError(f"{name} would leave the folder")
        raw = data if isinstance(data, bytes) else data.encode("utf-8")
        if path.is_file() and path.read_bytes() == raw:
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)


class SiteError(Refusal):
    """The site builder warned or failed."""

    code = "site-builder"


class _Warnings(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(" ".join(record.getMessage().split()))


_DATE = "SOURCE_DATE_EPOCH"  # where the site builder looks for the time that its pages bear


@contextmanager
def _dated(when: int) -> Iterator[None]:
    """Within it the environment says ``when``, unless it says another time. What comes after goes by the clock again."""
    said = _DATE in os.environ
    os.environ.setdefault(_DATE, str(when))
    try:
        yield
    finally:
        if not said:
            del os.environ[_DATE]


def build_site(config: Path, target: Path, when: int, keeping: Keeping | None = None) -> None:
    """Build the web handbook into ``target``; dates in it are ``when`` (seconds since 1970).

    With ``keeping``, pages that an earlier build made from the same are taken from there.
    Raises SiteError on any warning: a broken link is one.
    """
    log = logging.getLogger("mkdocs")
    warnings = _Warnings()
    log.addHandler(warnings)
    was, log.propagate = log.propagate, False
    log.setLevel(logging.WARNING)
    try:
        with _dated(when):
            made = loaded(config.resolve(), site_dir=str(target.resolve()))
            prerender(made, keeping, f"{when} {os.environ[_DATE]} {config.read_text('utf-8')}")
            build_all(made, "build")
            made.plugins.on_shutdown()
    finally:
        log.removeHandler(warnings)
        log.propagate = was
    if warnings.lines:
        raise SiteError(f"the pages could not be built ({'; '.join(dict.fromkeys(warnings.lines))})", "mend the lesson it names")
    write_words(target)
    _tidy(target)


# A page that is not there is answered at any depth of any path, so this one asks for no other file. Its script
# finds the first page by the folders a handbook has; the policy lets it in by its hash, and no style sheet but files.
_NOT_FOUND = """\
<!doctype html>
<html lang="@LANGUAGE">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<link rel="icon" href="data:,">
<title>@TITLE</title>
<h1>@TITLE</h1>
<p>@NONE</p>
<p>@BACK</p>
<script>
  document.querySelector("a").href = location.pathname.replace(/(?:(?:lessons|reference|sheets)[/])?[^/]*$/, "index.html");
  document.body.style.cssText = "font: 1.15rem/1.6 system-ui, sans-serif; max-width: 34rem; margin: 10vh auto; padding: 0 1rem";
</script>
</html>
"""


def _tidy(web: Path) -> None:
    """Take out what no page asks for: the theme's debugging maps, the search's other languages, an empty site map."""
    for path in (*web.rglob("*.map"), *web.glob("sitemap.xml*")):
        path.unlink()
    shutil.rmtree(web / "assets" / "javascripts" / "lunr", ignore_errors=True)
    (web / "404.html").write_text(_not_found(), "utf-8", newline="\n")


def _not_found() -> str:
    """That page, in the language of now."""
    words = {
        "@LANGUAGE": current(),
        "@TITLE": tr("Not in this handbook"),
        "@NONE": tr("There is no page of this name. An older edition may have had one."),
        "@BACK": tr("Go back, or open {link}the first page of the handbook{end} and search from there.", link="<a>", end="</a>"),
    }
    page = _NOT_FOUND
    for name, said in words.items():
        page = page.replace(name, said)
    return page
