"""What is said is what is printed where a country writes numbers in another way than the demo's. All figures are invented."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

from generator.publish.build import render
from tests.conftest import copy_demo
from tests.sites import own_lesson
from tests.speech.test_ledger import figure_of
from tests.speech.test_say import heard_as

LESSONS = "[stop-work, bench-height, payload-tally]"
_NUMBER = re.compile(r'<button type="button" class="sw-num[^>]* data-say="([^"]*)">(.*?)</button>')


def test_a_country_that_writes_commas_says_comma(tmp_path: Path) -> None:
    """Argentina writes 5.301,5 and says ``coma``, as the Unicode locale data have it; a weight is said in the unit it is printed in."""
    site = own_lesson(copy_demo(tmp_path / "site", languages=True), lessons=LESSONS)
    settings = site / "settings.yml"
    text = (
        settings.read_text("utf-8").replace("languages: [en, es]", "languages: [es]\ncountry: AR").replace("units: us ", "units: metric ")
    )
    settings.write_text(text, "utf-8")
    tree, _ = render(site, lambda _: None)
    marks, tons, many = 0, 0, 0
    for name, page in tree.docs.items():
        if not name.startswith("lessons/") or not isinstance(page, str):
            continue
        for say, printed in _NUMBER.findall(page):
            shown = unescape(re.sub(r"<[^>]*>", "", printed))
            figure = figure_of(shown, "es", ",")
            if figure is None:
                continue
            words = say.partition(", ")[0]
            heard_as(figure, words, "es")
            assert ("," in shown) == bool(figure[0] % 1) and " punto " not in words
            many, marks, tons = many + 1, marks + (" coma " in words), tons + shown.endswith(" t")
    assert many > 20 and marks > 3 and tons > 1
