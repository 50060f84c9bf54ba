"""What markup a site's own lessons may hold. What is not allowed is refused with its line, never cut out.

Two looks at each text. The first goes over the text as written: raw HTML is refused but for a few
tags without attributes. The second goes over what the Markdown converter makes of it: only the tags
Markdown has, and links that lead to a page of the handbook or a plain web address.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from urllib.parse import urlsplit

from generator.book.template import Piece, TemplateProblem, pieces

Found = tuple[int, str, str]  # line counted from 1, what is wrong, what to do

TAGS = ("b", "i", "em", "strong", "sub", "sup", "br", "kbd")
_TAG = re.compile(r"</?(?:" + "|".join(TAGS) + r")\s*/?>")
_STARTS = re.compile(r"<(?=[^\s\d=])")
_MADE = {
    "p", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "blockquote", "pre", "code", "em", "strong", "b", "i",
    "sub", "sup", "br", "hr", "kbd", "a", "img", "dl", "dt", "dd",
}  # fmt: skip
_ATTRIBUTES = {"a": {"href", "title"}, "img": {"src", "alt", "title"}, "ol": {"start"}}
_SCHEMES = {"http", "https", "mailto", "tel"}
_DEEPEST = 12
_MOST_BRACKETS = 40  # opening ones in one paragraph: the converter's time grows with their square
_LONGEST_LINE = 2_000
_MOST_LINES = 800
_HEADROOM = 200
_CALL = "swcall"
EXTENSIONS = ("attr_list", "def_list", "md_in_html", "toc")


def plain(text: str) -> str:
    """A text that is safe to print on one line."""
    return "".join(ch if ch.isprintable() else "�" for ch in text)


def wrong_words(text: str) -> Iterator[Found]:
    """Raw HTML and template mistakes in a text, whatever it stands in."""
    for piece in pieces(text):
        if isinstance(piece, TemplateProblem):
            yield piece.line, piece.what, piece.fix
    for line, row in _own_rows(text):
        left = _TAG.sub("", row.replace(f"<{_CALL}", "<!"))
        found = _STARTS.search(left)
        if found:
            shown = left[found.start() : found.start() + 20].split()[0]
            yield (line, f"'{plain(shown)}' is HTML, which a lesson may not hold",
                   f"use Markdown, or one of <{'>, <'.join(TAGS)}>; for the sign itself write &lt;")  # fmt: skip


def _own_rows(text: str) -> Iterator[tuple[int, str]]:
    """The text's lines with a plain word for each call."""
    yield from enumerate(_own_text(text).split("\n"), 1)


def _own_text(text: str) -> str:
    """The text as its writer wrote it, a plain word for each call."""
    return "".join(p.text if isinstance(p, Piece) and not p.call else _CALL for p in pieces(text))


def wrong_markdown(text: str) -> Iterator[Found]:
    """What the text's Markdown would make that a lesson may not hold. Look at :func:`wrong_words` first."""
    own = _own_text(text)
    rows = own.split("\n")
    if len(rows) > _MOST_LINES:
        yield 1, f"the text has more than {_MOST_LINES} lines", "make two lessons of it"
        return
    start = 1
    blocks: list[tuple[int, str]] = []
    for block in re.split(r"\n[ \t]*\n", own):
        blocks.append((start, block))
        start += block.count("\n") + 2
    for i, row in enumerate(rows, 1):
        if len(row) > _LONGEST_LINE:
            yield i, f"the line is longer than {_LONGEST_LINE:,} characters", "break it into shorter ones"
            return
    for start, block in blocks:
        if block.count("[") > _MOST_BRACKETS:
            yield start, f"more than {_MOST_BRACKETS} opening square brackets in one paragraph", "make it shorter"
            return
    whole = list(dict.fromkeys(_made_wrong(own)))
    for what, fix in whole:
        # where: the first block that gives it alone, and in it the first line
        line = next((s for s, b in blocks if (what, fix) in _made_wrong(b)), 0)
        if not line:  # a link whose address stands in another place
            named = re.search(r"'(.+)'", what)
            yield next((i for i, r in enumerate(rows, 1) if named and named[1] in r), 1), what, fix
            continue
        block = next((b for s, b in blocks if s == line), "")
        inside = next((i for i, r in enumerate(block.split("\n")) if (what, fix) in _made_wrong(r)), 0)
        yield line + inside, what, fix


def links_of(text: str) -> Iterator[tuple[int, str]]:
    """Links of a checked text to other pages: line and address without its anchor."""
    own = _own_text(text)
    if "](" not in own and "]:" not in own:
        return
    for href in dict.fromkeys(_walked(own).addresses):
        at = own.find(href)
        page = href.partition("#")[0]
        if page and not urlsplit(href).scheme:
            yield own.count("\n", 0, max(at, 0)) + 1, page


def _made_wrong(text: str) -> list[tuple[str, str]]:
    if not text.strip():
        return []
    try:
        return _walked(text).problems
    except RecursionError:
        return [("too many things in one another", "write it flatter")]


def _deeper(frames: int, work: Callable[[], str]) -> str:
    return work() if frames == 0 else _deeper(frames - 1, work)


def _walked(text: str) -> _Walk:
    import markdown

    walk = _Walk()
    # the site builder converts from deeper down the stack: what passes here must pass there
    walk.feed(_deeper(_HEADROOM, lambda: markdown.markdown(text, extensions=list(EXTENSIONS))))
    walk.close()
    return walk


class _Walk(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.problems: list[tuple[str, str]] = []
        self.addresses: list[str] = []
        self.deep = 0

    def wrong(self, what: str, fix: str) -> None:
        self.problems.append((what, fix))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in {"br", "hr", "img"}:
            self.deep += 1
            if self.deep > _DEEPEST:
                self.wrong(f"more than {_DEEPEST} lists or quotes in one another", "write it flatter")
        if tag == "h1":
            self.wrong("a heading of the first rank", "write it with three signs, ###")
        elif tag not in _MADE:
            self.wrong(f"<{tag}> is not for a lesson", "use Markdown's paragraphs, lists, links and emphasis")
        for name, value in attrs:
            if name == "id" and re.fullmatch(r"[A-Za-z0-9_-]{1,80}", value or ""):
                continue
            if name not in _ATTRIBUTES.get(tag, ()):
                self.wrong(f"the attribute {name[:30]} is not for a lesson", "leave it out; {: #name } names a place")
            elif name == "href":
                self.address(value or "")
            elif name == "src":
                self.picture(value or "")

    def handle_endtag(self, tag: str) -> None:
        self.deep -= 1

    def handle_comment(self, data: str) -> None:
        self.wrong("a comment is not for a lesson", "leave it out")

    def handle_decl(self, decl: str) -> None:
        self.wrong("<! is not for a lesson", "write &lt;")

    def handle_pi(self, data: str) -> None:
        self.handle_decl(data)

    def unknown_decl(self, data: str) -> None:
        self.handle_decl(data)

    def address(self, href: str) -> None:
        shown = plain(href[:60])
        if _CALL in href:
            self.wrong("a call in the address of a link", "write the address itself")
            return
        try:
            parts = urlsplit(href)
        except ValueError:
            parts = urlsplit("x:")
        if any(ord(ch) <= 32 or ch == "\\" for ch in href) or (parts.scheme and parts.scheme.lower() not in _SCHEMES):
            self.wrong(f"a link may not lead to '{shown}'", "use a page such as bench-height.md, or an address that starts with https:")
        elif parts.netloc and not parts.scheme:
            self.wrong(f"a link may not lead to '{shown}'", "start it with https:")
        else:
            self.addresses.append(href)

    def picture(self, src: str) -> None:
        shown = plain(src[:60])
        if not re.fullmatch(r"\.\./assets/[a-z0-9][a-z0-9._-]*", src):
            self.wrong(f"a picture may not come from '{shown}'", "put it into the folder look and write ../assets/NAME.jpg")
        else:
            self.addresses.append(src)
