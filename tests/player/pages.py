"""Hand-made quiz pages for the player's tests, as the handbook's builder writes them.

Every figure here is invented for the tests; none is asserted as a fact of the trade.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

from generator.units import browser

LOOK = Path(__file__).parents[2] / "content" / "look"
SCRIPTS = (browser.NAME, "words.js", "typed-number.js", "result-code.js", "slip.js", "quiz.js")
LIBRARY = "vendor/qrcode.js"  # fetched when a slip is shown
Json = dict[str, Any]

LENGTHS = {"ft": 1.0, "in": 12.0, "m": 0.3048, "cm": 30.48}


def span(low: float, high: float, unit: str) -> dict[str, list[float]]:
    """An accepted range given in one unit of length, in all of them."""
    return {u: [low / LENGTHS[unit] * f, high / LENGTHS[unit] * f] for u, f in LENGTHS.items()}


def both(text: str) -> dict[str, str]:
    return {"us": text, "metric": text}


def height(value: float, unit: str, wrong: float) -> Json:
    shown = f"{value:g} {unit}"
    return {
        "f": [shown],
        "w": 0,
        "wf": [f"{value:g}", unit],
        "answer": {
            "shown": shown,
            "unit": unit,
            "accept": span(value * 0.95, value * 1.05, unit),
            "mistakes": [{
                "accept": span(wrong * 0.99, wrong * 1.01, unit),
                "says": "You took the boom, not the stick of <b>⟦0⟧</b>.",
            }],
        },
    }  # fmt: skip


def figures(us: list[str], metric: list[str], order: list[int]) -> Json:
    return {
        "us": {"f": us, "order": order, "w": 0, "wf": us},
        "metric": {"f": metric, "order": order, "w": 0, "wf": metric},
    }


def number_question() -> Json:
    working = "<p><math><mi>h</mi><mo>=</mo><mn>⟦0⟧</mn><mtext> ⟦1⟧</mtext></math></p>"
    pairs = [(10.0, 3.0), (9.5, 2.9), (12.0, 3.6), (8.0, 2.4)]
    return {
        "id": "bench-01", "kind": "number", "must": True, "right": [],
        "ask": both("The stick is <b class=\"sq-figure\">⟦0⟧</b> long. How high is the bench?"),
        "texts": {"us": [], "metric": []}, "says": {"us": [], "metric": []},
        "workings": both("") | {"us": [working], "metric": [working]},
        "variants": [{"us": height(us, "ft", us * 2), "metric": height(m, "m", m * 2)} for us, m in pairs],
    }  # fmt: skip


def one_question() -> Json:
    texts = ["⟦0⟧ passes", "⟦1⟧ passes", "⟦2⟧ passes"]
    says = ["", "Rounded down: the truck is not full.", "That is the ratio upside down."]
    rows = [("6", "5", "1"), ("4", "3", "2"), ("8", "7", "9")]
    orders = [[1, 0, 2], [2, 1, 0], [0, 2, 1]]
    return {
        "id": "bench-02", "kind": "one", "must": False, "right": [0], "ask": both("How many passes fill the truck?"),
        "texts": {"us": texts, "metric": texts}, "says": {"us": says, "metric": says},
        "workings": {"us": ["<p>Round up to ⟦0⟧.</p>"], "metric": ["<p>Round up to ⟦0⟧.</p>"]},
        "variants": [figures(list(r), list(r), o) for r, o in zip(rows, orders, strict=True)],
    }  # fmt: skip


def several_question() -> Json:
    texts = [
        "Look for cracks along the crest",
        "Stand the tracks at an angle",
        "Dig under the tracks",
        "Park under the bucket",
    ]
    says = [
        "",
        "",
        "That takes the ground from under you.",
        "Nobody stands or parks under a bucket.",
    ]
    return {
        "id": "bench-03", "kind": "several", "must": True, "right": [0, 1], "ask": both("What keeps you safe on the bench?"),
        "texts": {"us": texts, "metric": texts}, "says": {"us": says, "metric": says},
        "workings": {"us": ["<p>The edge may go at any time.</p>"], "metric": ["<p>The edge may go at any time.</p>"]},
        "variants": [figures([], [], o) for o in ([2, 0, 3, 1], [0, 2, 1, 3], [3, 1, 0, 2])],
    }  # fmt: skip


def order_question() -> Json:
    texts = ["Touch off", "Dig to depth", "Set zero on the floor", "Hold the grade"]
    return {
        "id": "bench-04", "kind": "order", "must": False, "right": [], "ask": both("Put the steps in order."),
        "texts": {"us": texts, "metric": texts}, "says": {"us": [], "metric": []},
        "workings": {"us": ["<p>Zero comes from the floor.</p>"], "metric": ["<p>Zero comes from the floor.</p>"]},
        "variants": [figures([], [], o) for o in ([2, 0, 1, 3], [3, 2, 1, 0], [1, 0, 3, 2])],
    }  # fmt: skip


def point_question() -> Json:
    says = ["", "That is the toe, the foot of the face.", "That is the pile."]
    return {
        "id": "bench-05", "kind": "point", "must": False, "right": [0], "spots": ["crest", "toe", "pile"],
        "ask": both("Where is the crest?"), "texts": {"us": [], "metric": []}, "says": {"us": says, "metric": says},
        "workings": {"us": ["<p>The crest is the upper edge.</p>"], "metric": ["<p>The crest is the upper edge.</p>"]},
        "variants": [figures([], [], [0, 1, 2])] * 1,
    }  # fmt: skip


def count_question() -> Json:
    """A whole number, which must be exact."""
    q = number_question()
    q |= {"id": "bench-08", "must": False, "ask": both("How many passes? Not ⟦0⟧.")}
    for n, v in enumerate(q["variants"], 5):
        for system in ("us", "metric"):
            v[system] = {"f": [f"{n - 0.6:.1f}"], "w": 0, "wf": [str(n), ""], "answer": {
                "shown": str(n), "unit": "1", "accept": {"1": [n, n]}, "mistakes": [{"accept": {"1": [n - 1, n - 1]}, "says": "You rounded down."}],
            }}  # fmt: skip
    return q


def some_shown_question() -> Json:
    """Of four wrong figures each variant shows two."""
    texts = [f"⟦{i}⟧ passes" for i in range(5)]
    says = ["", *(f"That is slip {i}." for i in range(1, 5))]
    rows = [["6", "5", "1", "7", "12"], ["4", "3", "2", "5", "8"], ["8", "7", "9", "10", "16"]]
    orders = [[1, 0, 2], [4, 3, 0], [0, 2, 4]]
    return one_question() | {
        "id": "bench-06", "texts": {"us": texts, "metric": texts}, "says": {"us": says, "metric": says},
        "variants": [figures(list(r), list(r), o) for r, o in zip(rows, orders, strict=True)],
    }  # fmt: skip


def in_turn_question() -> Json:
    """Asks one thing or another about the same drawing."""
    asks = [
        {"right": [0], "ask": both("Where is the crest?"),
         "says": both("") | {s: ["", "That is the toe.", "That is the pile."] for s in ("us", "metric")}},
        {"right": [2], "ask": both("Where is the pile?"),
         "says": both("") | {s: ["That is the upper edge.", "That is the foot.", ""] for s in ("us", "metric")}},
    ]  # fmt: skip
    why = ["<p>The crest is the upper edge.</p>", "<p>The pile lies on the floor.</p>"]
    variants = []
    for k in (0, 1, 0, 1):
        v = figures([], [], [0, 1, 2])
        for system in ("us", "metric"):
            v[system] |= {"k": k, "w": k}
        variants.append(v)
    return point_question() | {"id": "bench-07", "asks": asks, "workings": {"us": why, "metric": why}, "variants": variants}


def picture_question() -> Json:
    """Two pictures to choose from; the right one is the first."""
    return one_question() | {
        "id": "bench-09", "ask": both("Which of the two is right?"), "pictures": [True, True],
        "texts": {"us": ["", ""], "metric": ["", ""]}, "says": both("") | {s: ["", "The tracks lie along the edge."] for s in ("us", "metric")},
        "workings": {s: ["<p>Half across, it can drive off.</p>"] for s in ("us", "metric")},
        "variants": [figures([], [], o) for o in ([1, 0], [0, 1])],
    }  # fmt: skip


def picture_order_question() -> Json:
    """Four pictures to put in order; the last two may change places."""
    return order_question() | {
        "id": "bench-10", "pictures": [True] * 4, "free": [[2, 3]], "texts": {"us": [""] * 4, "metric": [""] * 4},
        "variants": [figures([], [], o) for o in ([3, 0, 1, 2], [1, 2, 0, 3])],
    }  # fmt: skip


def pool() -> Json:
    """Seven questions, of which a try asks three: the first always."""
    more = [one_question() | {"id": f"more-{i}"} for i in (1, 2)]
    return quiz(
        questions=[*quiz()["questions"], *more], figures="abcde123", sets=[[0, 1, 3], [0, 4, 6], [0, 2, 5]],
        read_again={q: {"href": "#do-it", "text": "Do it"} for q in ("bench-01", "bench-02", "bench-05", "more-2")},
    )  # fmt: skip


def quiz(**changes: Any) -> Json:
    """Data of a quiz with one question of each kind."""
    data: Json = {
        "lesson": "bench-height", "title": "How high is the bench?", "edition": "2026-1", "site": "gravel-pit",
        "pass_mark": 0.8, "crew": ["C01", "C02", "C17"],
        "read_again": {q: {"href": "#do-it", "text": "Do it"} for q in ("bench-01", "bench-02", "bench-05")},
        "questions": [number_question(), one_question(), several_question(), order_question(), point_question()],
    }  # fmt: skip
    return copy.deepcopy(data | changes)


def filled(text: str, values: list[str]) -> str:
    return re.sub(r"⟦(\d+)⟧", lambda m: values[int(m[1])], text)


def in_both(us: str, metric: str) -> str:
    return us if us == metric else f'<span class="us">{us}</span><span class="si">{metric}</span>'


SVG = (
    '<svg viewBox="0 0 320 160" width="320" height="160" role="img"><title>Bench</title>'
    '<path d="M0 40h140v90h180" fill="none" stroke="currentColor" stroke-width="2"></path>'
    + "".join(
        f'<g class="spot" data-spot="{s}"><circle cx="{x}" cy="{y}" r="16" fill="var(--sq-bg, #fff)" '
        f'stroke="currentColor"></circle><text x="{x}" y="{y + 5}" text-anchor="middle" fill="currentColor">{t}</text></g>'
        for s, x, y, t in (("crest", 140, 40, "A"), ("toe", 140, 130, "B"), ("pile", 260, 105, "C"))
    )
    + "</svg>"
)  # fmt: skip


def fieldset(q: Mapping[str, Any], number: int) -> str:
    first = q["variants"][0]

    def text(tpl: Mapping[str, str]) -> str:
        return in_both(*(filled(tpl[s], first[s]["f"]) for s in ("us", "metric")))

    def row(i: int) -> str:
        return text({s: q["texts"][s][i] for s in ("us", "metric")})

    def shown(i: int, place: int) -> str:
        if not q.get("pictures"):
            return f'<span class="sq-text">{row(i)}</span>'
        svg = f'<svg viewBox="0 0 300 150" aria-hidden="true"><text x="9" y="90" fill="currentColor">drawing {i}</text></svg>'
        told = f'<span class="sq-described">Tracks and edge {i}.</span>'
        return f'<span class="sq-picture">{svg}</span><span class="sq-text"><b>Picture {chr(65 + place)}</b></span>{told}'

    kind = q["kind"]
    must = ' <span class="sq-must">Must be right</span>' if q["must"] else ""
    if kind == "number":
        units = in_both(first["us"]["answer"]["unit"], first["metric"]["answer"]["unit"])
        body = (
            f'<p class="sq-answer"><label>Your answer <input name="{q["id"]}" type="text" inputmode="decimal" '
            f'autocomplete="off"></label> <span class="sq-unit">{units}</span></p>'
            '<p class="sq-tolerance">Within 5% counts as right.</p>'
        )
    elif kind == "order":
        body = (
            '<ol class="sq-order">'
            + "".join(
                f'<li data-item="{i}">{shown(i, place) if q.get("pictures") else row(i)}</li>'
                for place, i in enumerate(first["us"]["order"])
            )
            + "</ol>"
        )
    elif kind == "point":
        letters = "".join(
            f'<li><label><input type="radio" name="{q["id"]}" value="{s}"> <span class="sq-text">{chr(65 + i)}</span></label></li>'
            for i, s in enumerate(q["spots"])
        )
        body = f'<figure class="sq-drawing">{SVG}</figure><ul class="sq-choices sq-letters">{letters}</ul>'
    else:
        box = "radio" if kind == "one" else "checkbox"
        body = f'<ul class="sq-choices{" sq-pictures" if q.get("pictures") else ""}">' + "".join(
            f'<li><label><input type="{box}" name="{q["id"]}" value="{i}"> {shown(i, place)}</label></li>'
            for place, i in enumerate([*first["us"]["order"], *(i for i in range(len(q["texts"]["us"])) if i not in first["us"]["order"])])
        ) + "</ul>"  # fmt: skip
    return (
        f'<fieldset class="sq" data-q="{q["id"]}" data-kind="{kind}"{" data-must" if q["must"] else ""}>'
        f'<legend>Question {number}{must}</legend><div class="sq-ask">{text(q["ask"])}</div>{body}</fieldset>'
    )


def page(
    data: Mapping[str, Any],
    *,
    scheme: str = "default",
    units: str = "us",
    in_head: bool = True,
    scripts: Sequence[str] = SCRIPTS,
) -> str:
    """A whole page around the quiz. No inline scripts or styles: it must run under a strict policy."""
    script = "".join(f'<script src="{name}"></script>' for name in scripts)
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    form = "".join(fieldset(q, i) for i, q in enumerate(data["questions"], 1))
    return (
        f'<!doctype html><html lang="en" data-units="{units}"><head><meta charset="utf-8"><title>Quiz</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">'
        f'<link rel="stylesheet" href="page.css"><link rel="stylesheet" href="quiz.css">{script if in_head else ""}</head>'
        f'<body data-md-color-scheme="{scheme}"><header>Site header</header><main class="md-typeset"><h1>{escape(data["title"])}</h1>'
        f'<h2 id="do-it">Do it</h2><p>Lesson text.</p><seatwork-quiz data-lesson="{data["lesson"]}" data-edition="{data["edition"]}" '
        f'data-site="{data["site"]}"><form>{form}</form><script type="application/json">{text}</script></seatwork-quiz>'
        f"<p>Text after the quiz.</p></main>{'' if in_head else script}</body></html>"
    )


PAGE_CSS = """body { margin: 0; font: 16px/1.5 system-ui, sans-serif; }
body[data-md-color-scheme="slate"] { background: #1a1d23; color: #e6e9ee; }
html:not([data-units="metric"]) .si, html[data-units="metric"] .us { display: none; }
main { max-width: 46em; margin: 0 auto; padding: 0 12px; }
"""


ROLES = """window.seatworkRoles = {"site": "gravel-pit", "edition": "2026-1", "roles": [["digger", "Digger", ["bench-height"]]],
  "order": ["bench-height", "stop-work"], "lessons": {"bench-height": ["How high to dig", 5, false], "stop-work": ["Stop", 4, false]}};
"""
OPERATOR = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>New operator</title><link rel="icon" href="data:,">'
    '<script src="words.js"></script><script src="roles.js"></script><script src="progress.js"></script></head><body><main class="md-typeset">'
    '<p class="sw-whose" data-site="gravel-pit" data-edition="2026-1"></p><div class="sw-role" data-role="digger"><p class="sw-next"></p>'
    '<ol><li data-lesson="bench-height"><a href="all.html">How high to dig</a> <b class="sw-passed"></b></li></ol></div></main></body></html>'
)


def write_site(folder: Path) -> None:
    """The fixture pages, with the player beside them."""
    (folder / browser.NAME).write_text(browser.script(), "utf-8")
    (folder / LIBRARY).parent.mkdir()
    (folder / "roles.js").write_text(ROLES, "utf-8")
    (folder / "operator.html").write_text(OPERATOR, "utf-8")
    for name in (*SCRIPTS[1:], "quiz.css", "progress.js", LIBRARY):
        (folder / name).write_bytes((LOOK / name).read_bytes())
    (folder / "page.css").write_text(PAGE_CSS, "utf-8")
    number, one = number_question(), one_question()
    rebuilt = quiz()
    rebuilt["questions"][0]["variants"].reverse()
    commas = number_question()
    for v in commas["variants"]:
        for system in ("us", "metric"):
            v[system]["answer"]["comma"] = True
    pages = {
        "comma": page(quiz(questions=[commas])),
        "all": page(quiz()),
        "all-foot": page(quiz(), in_head=False),
        "dark": page(quiz(), scheme="slate"),
        "number": page(quiz(questions=[number])),
        "one": page(quiz(questions=[one])),
        "count": page(quiz(questions=[count_question()])),
        "some": page(quiz(questions=[some_shown_question(), in_turn_question()])),
        "two": page(quiz(questions=[number, one], pass_mark=0.5)),
        "rebuilt": page(rebuilt),
        "broken": page(quiz()).replace('{"lesson"', '{broken "lesson"'),
        "pool": page(pool()),
        "pictures": page(quiz(questions=[picture_question(), picture_order_question()], pass_mark=0.5)),
        "one-script": page(quiz(), scripts=SCRIPTS[-1:]),
        "no-crew": page(quiz(crew=[])),
    }
    for name, html in pages.items():
        (folder / f"{name}.html").write_text(html, "utf-8")
