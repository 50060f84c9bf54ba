"""Text from tables made safe for a Markdown page, and small pieces of markup."""

from __future__ import annotations

from html import escape

from generator.jobsite.cells import isolated
from generator.jobsite.model import Material, Row
from generator.language.words import ENGLISH, current
from generator.reference.sources import Entry

OWN = "own-"  # how the keys of rules begin that are the site's own


def safe(text: str) -> str:
    """Text from a table: neither HTML nor Markdown nor template syntax in it does anything."""
    out = []
    for ch in isolated(text):
        if ch.isalnum() or ch in " ,;'’–—" or ord(ch) > 127:
            out.append(ch)
        else:
            out.append(f"&#{ord(ch)};")
    return "".join(out)


def both(us: str, metric: str) -> str:
    """HTML that shows one of two texts, by the reader's unit system."""
    if us == metric:
        return us
    return f'<span class="us">{us}</span><span class="si">{metric}</span>'


def in_english(html: str) -> str:
    """HTML of words that stay English in every language, such as a source's title: a page in another says so, for voices."""
    return html if current() == ENGLISH or not html else f'<span lang="{ENGLISH}">{html}</span>'


def cited(source: Entry, place: str = "") -> str:
    """A source's name and the place in it as HTML; what a site gives of its own is in the site's language."""
    wrapped = str if source.key.startswith(OWN) else in_english
    if not source.told:
        return wrapped(escape(f"{source.named}, {place}" if place else source.named))
    return wrapped(escape(source.named)) + escape(source.told) + (wrapped(escape(f", {place}")) if place else "")


def capital(text: str) -> str:
    """The text with a capital first."""
    return text[:1].upper() + text[1:]


def row_head(row: Row) -> str:
    """A row's name where it begins a line. Ground is named as in a sentence; a machine's name stays as it is."""
    return capital(row.name) if isinstance(row, Material) else row.name


def bullets(items: list[str], kind: str = "ul") -> str:
    """A list of ready HTML items, without blank lines."""
    return f"<{kind}>" + "".join(f"<li>{i}</li>" for i in items) + f"</{kind}>"
