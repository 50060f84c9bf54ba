"""Text from tables made safe for a Markdown page, and small pieces of markup."""

from __future__ import annotations

from generator.jobsite.cells import isolated
from generator.jobsite.model import Material, Row


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


def capital(text: str) -> str:
    """The text with a capital first."""
    return text[:1].upper() + text[1:]


def row_head(row: Row) -> str:
    """A row's name where it begins a line. Ground is named as in a sentence; a machine's name stays as it is."""
    return capital(row.name) if isinstance(row, Material) else row.name


def bullets(items: list[str], kind: str = "ul") -> str:
    """A list of ready HTML items, without blank lines."""
    return f"<{kind}>" + "".join(f"<li>{i}</li>" for i in items) + f"</{kind}>"
