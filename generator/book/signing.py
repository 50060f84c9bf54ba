"""The page on which a mentor signs off on the phone: what the sign-off sheet asks, a line each, by lesson and role.

It names people, mentors and machines by their ids, as the quiz pages do, and holds no code and nothing made from one.
Without scripts it is a list of what a mentor must see (``content/look/sign-off.js`` makes the form of it).
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape

from generator.book.content import Content
from generator.book.front import bar
from generator.book.lesson import in_order
from generator.book.page import LessonPage
from generator.book.signoff import beside, shown
from generator.jobsite.columns import ON_FOOT
from generator.jobsite.model import JobSite, Role, works
from generator.language.words import mark, tr
from generator.working.ledger import Ledger

PAGE = "sign-off"
SCRIPTS = ("vendor/sha256.js", "sign-off.js")
STYLE = "sign-off.css"
ASSETS = tuple(f"assets/{name}" for name in (*SCRIPTS, STYLE))  # which no other page asks for

# what a mentor watched in: words to tap, since a glove types badly
CONDITIONS = (mark("dry"), mark("wet"), mark("slope"), mark("dust"), mark("dark"), mark("others close by"))


@dataclass
class _Listed:
    """One list of lines: of a lesson, for the roles that show the same."""

    page: LessonPage
    lines: tuple[str, ...]
    roles: list[Role] = field(default_factory=list)


def signing_page(pages: Mapping[str, LessonPage], content: Content, site: JobSite, ledger: Ledger) -> str:
    """The page as Markdown; '' where the site has no mentors. Enters the figures of its lines in the ledger."""
    s = site.settings
    if not site.mentors:
        return ""
    order: dict[str, list[str]] = {}
    listed: dict[tuple[str, bool], _Listed] = {}
    for role in s.roles.values():
        order[role.id] = [i for i in in_order(role.lessons, content.lessons) if i in pages]
        for id_ in order[role.id]:
            key = id_, beside(content.lessons[id_], role)
            if key not in listed:
                page = pages[id_].on_page(f"{PAGE}.html")
                page.ledger, page.paper = ledger, True
                listed[key] = _Listed(page, shown(role, page).lines)
            listed[key].roles.append(role)
    in_book = [i for c in content.chapters for i in c.lessons]
    ordered = sorted(listed.items(), key=lambda entry: (in_book.index(entry[0][0]), entry[0][1]))
    both = {i for i, is_beside in listed if is_beside and (i, False) in listed}
    lists = "".join(_list(one, told=id_ in both) for (id_, _), one in ordered if one.lines)
    data = {
        "crew": [[p.id, p.role] for p in site.crew if p.left is None and order.get(p.role)],
        "roles": [[r.id, r.title, list(r.machines), r.on_foot, order[r.id]] for r in s.roles.values() if order[r.id]],
        "machines": [
            *([m.id, m.name, m.kind] for m in site.machines if m.retired is None),
            *([t.id, t.name, t.kind] for t in site.trucks if t.retired is None),
        ],
        "mentors": [[m.id, list(m.kinds), m.since.isoformat() if m.since else "", m.until.isoformat() if m.until else ""] for m in site.mentors],
        "works": {kind: [a for a in _abouts(content) if works(a, kind)] for kind in dict.fromkeys(m.kind for m in (*site.machines, *site.trucks))},
        "on_foot": ON_FOOT, "conditions": CONDITIONS,
    }  # fmt: skip
    raw = json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    scripts = "".join(f'<script defer src="assets/{name}"></script>' for name in SCRIPTS)
    no_script = tr("This page needs scripts to hand in. Without them, use the paper sign-off sheet; the coordinator has it.")
    return "\n".join(
        ["---\nhide: [footer, toc]\n---", "", f"# {tr('Sign off on the machine')}", "", bar(site, None), "",
         tr("For mentors. Pick the person and the machine, then tick what you have seen with your own eyes. "
            "A lesson is signed off when every line of it is seen. What is not yet seen is handed in too."), "",
         tr("Your own code stands for your signature. It shows that somebody who had your code signed these lines and that nobody changed "
            "them after. It cannot show that you stood there and watched."), "",
         f'<div><link rel="stylesheet" href="assets/{STYLE}">'
         f'<seatwork-sign-off data-search-exclude data-site="{escape(s.key)}" data-edition="{escape(s.edition)}">'
         f'<noscript><p class="sw-note">{no_script}</p></noscript>'
         f'<form novalidate autocomplete="off">{lists}</form><script type="application/json">{raw}</script></seatwork-sign-off>{scripts}</div>', ""]
    )  # fmt: skip


def _abouts(content: Content) -> list[str]:
    return list(dict.fromkeys(x.about for x in content.lessons.values()))


def _list(one: _Listed, *, told: bool) -> str:
    """One lesson's lines. ``told`` says for which roles they are, where there are others for other roles."""
    lesson = one.page.lesson
    lines = "".join(f"<li>{line}</li>" for line in one.lines)
    roles = " ".join(escape(r.id) for r in one.roles)
    whose = f'<p class="so-whose">{escape(", ".join(r.title for r in one.roles))}</p>' if told else ""
    return (
        f'<details class="so-lesson" open data-lesson="{lesson.id}" data-about="{escape(lesson.about)}" data-roles="{roles}">'
        f"<summary>{escape(lesson.title)}</summary>{whose}<ol>{lines}</ol>"
        f'<p class="so-read"><a href="lessons/{lesson.id}.html">{tr("Read the lesson")}</a></p></details>'
    )
