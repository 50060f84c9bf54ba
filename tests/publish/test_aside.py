"""Drawings and formulas that are set aside while a page is turned: the page and the search are as without."""

from __future__ import annotations

import re

import markdown
from material.plugins.search.plugin import Parser  # type: ignore[import-not-found, import-untyped, unused-ignore]
from pytest import mark

from generator.publish.aside import FOREIGN, SetAside, each_foreign
from generator.publish.builder import plain

EXTENSIONS = ["attr_list", "def_list", "md_in_html", "toc"]
DRAWING = '<svg class="drawing" id="pile"><title id="pile-title">A pile</title><path d="M0,0L1,1"/><text x="1">10 ft *high*</text></svg>'
FORMULA = "<math><mi>v</mi><mo>=</mo><mfrac><mi>s</mi><mi>t</mi></mfrac></math>"
SPACED = "<math><mn>3</mn><mo> </mo><mi>ft</mi></math>"
PAGE = f"""# A page

A sum {FORMULA} in a *line*, and `code` after it.

<figure class="sw-drawing">{DRAWING}<figcaption>What it shows</figcaption></figure>

<div markdown="1">

## In a box

- one {FORMULA}
- two, {SPACED} and *more*

</div>

{DRAWING}

| a | b |
|---|---|
| {FORMULA} | 2 |

<script type="application/json">{{"shown": "<math><mi>v<\\/mi><\\/math>"}}</script>

<p>The last: {FORMULA}</p>

<div class="sw-quiz"><seatwork-quiz data-search-exclude data-lesson="a"><form><fieldset><legend>Ask &amp; *see*</legend>{DRAWING}
</fieldset></form></seatwork-quiz></div>

<div class="sw-quiz"><seatwork-quiz data-search-exclude data-lesson="b"><form><p>Which <b>way</b>?</p>{FORMULA}</form><script type="application/json">{{"a": "<b>\u003c/b>"}}</script></seatwork-quiz></div>

<section data-search-exclude>
<div id="w1" popover="auto" class="sw-pop" role="dialog"><div class="sw-working"><p>3 ft &#45; 1 ft {FORMULA}</p><table><tr><td>10</td></tr></table></div><button type="button">Close</button></div>

<div id="w2" popover="auto" class="sw-pop" role="dialog">A word.<button type="button">Close</button></div>
</section>
"""


def turned(page: str, *, aside: bool) -> str:
    html: str = markdown.markdown(page, extensions=[*EXTENSIONS, *([SetAside()] if aside else [])])
    return html


def found_by_search(html: str) -> list[tuple[list[str], str]]:
    parser = Parser()
    parser.feed(html)
    parser.close()
    return [(s.title, "".join(s.text)) for s in parser.data]


@mark.parametrize("page", [PAGE, PAGE.replace("\n\n", "\n"), PAGE.replace("\n", "\r\n"), DRAWING, f"# {FORMULA}", "No drawing at all."])
def test_a_page_is_the_same_with_its_drawings_set_aside(page: str) -> None:
    assert turned(page, aside=True) == turned(page, aside=False).replace("10 ft <em>high</em>", "10 ft *high*")
    assert "\x02" not in turned(page, aside=True)


def test_what_is_set_aside_is_not_read() -> None:
    read: list[str] = []

    class Reader(markdown.preprocessors.Preprocessor):  # type: ignore[misc]
        def run(self, lines: list[str]) -> list[str]:
            read.extend(lines)
            return lines

    md = markdown.Markdown(extensions=[*EXTENSIONS, SetAside()])
    md.preprocessors.register(Reader(), "reader", 21)
    md.convert(PAGE)
    text = "\n".join(read)
    assert "<mi>" not in text.replace("<mi>v<\\/mi>", "") and "<path" not in text
    assert text.count('<svg class="drawing" id="pile">') >= 2  # a link may name the place
    assert '<div id="w1" popover="auto"' in text and "sw-working" not in text and "A word." not in text
    assert 'data-lesson="b"' in text and "Which" not in text


@mark.parametrize("typed", ["\x02aside:0\x03", f"{FORMULA} \x02aside:0\x03 \x02aside:7\x03"])
def test_a_typed_mark_brings_nothing_back(typed: str) -> None:
    assert turned(typed, aside=True) == turned(typed, aside=False)


def test_the_search_finds_the_same_words() -> None:
    html = turned(PAGE, aside=True)
    assert found_by_search(plain(html)) == found_by_search(html)
    assert "<mfrac>" not in plain(html) and "<path" not in plain(html)
    assert SPACED in plain(html)  # a space by itself is told otherwise there
    hidden = DRAWING.replace("<svg ", "<svg data-search-exclude ")
    assert plain(hidden) == hidden


def test_a_script_is_passed_over_whole() -> None:
    page = f'<script>"<math>"</script>{FORMULA}<script>"</math>"</script>'
    assert each_foreign(page, lambda _: "-") == page.replace(FORMULA, "-")
    assert [m[1] for m in re.finditer(FOREIGN, page)] == ["script", "math", "script"]
