"""The first page, one for each kind of reader, the bar on top of a page, the mentor folder's index."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from generator.book.card import framed
from generator.book.content import Content
from generator.book.lesson import Lesson
from generator.book.reference import reference_pages
from generator.book.words import bullets, safe
from generator.jobsite.model import JobSite
from generator.working.ledger import Ledger

Nav = list[dict[str, Any]]
Docs = dict[str, str | bytes]


def bar(site: JobSite, lesson: Lesson | None) -> str:
    """The bar on top of a page: the unit switch and, for a lesson, its minutes and its sheet."""
    units = site.settings.units
    switch = (
        '<span role="group" aria-label="Units">'
        '<button type="button" data-set-units="us" aria-pressed="false">feet, pounds</button>'
        '<button type="button" data-set-units="metric" aria-pressed="false">metres, kilograms</button></span>'
    )
    extra = ""
    if lesson is not None:
        extra = (
            f"<p>{lesson.minutes} minutes to read</p>"
            f'<a data-sheet href="../sheets/{lesson.id}.html">Tailgate sheet to print</a>'
        )
    return f'<div class="sw-bar" data-search-exclude data-default-units="{units}">{switch}{extra}</div>'


def front_pages(content: Content, site: JobSite, docs: Docs, nav: Nav, ledger: Ledger) -> None:
    """Adds to ``docs`` the first page, the readers' pages, the glossary and the reference chapter.

    ``docs`` must hold the sheets and ``ledger`` the numbers of the lessons already: the pages
    list and count them. Their places in the navigation are put into ``nav``.
    """
    settings = site.settings
    invented = '<p class="sw-note">This site, its machines and its crew are invented.</p>' if settings.invented else ""
    cards = "".join(
        f'<a class="sw-card" href="{href}"><b>{words}</b><span>{what}</span></a>'
        for href, words, what in (
            ("operator.html", "New operator", "What to read and pass before seat time"),
            ("mentor.html", "Mentor", "Sheets to print for tailgate talks, cab cards"),
            ("coordinator.html", "Coordinator", "Edition, machines, where every number comes from"),
        )
    )
    docs["index.md"] = "\n\n".join(
        [f"# {safe(settings.name)}: operator handbook", bar(site, None), invented,
         f"Edition {safe(settings.edition)}. Who are you?", f'<div class="sw-cards">{cards}</div>',
         f'<div class="sw-caution" role="note">{escape(content.cautions["manual"])}</div>', ""]
    )  # fmt: skip
    docs["operator.md"] = operator_page(content, site)
    docs["mentor.md"] = mentor_page(content, site, docs)
    docs["coordinator.md"] = coordinator_page(content, site, ledger)
    docs["glossary.md"] = glossary_page(content)
    front = {"Start here": "index.md"}, {"New operator": "operator.md"}, {"Mentor": "mentor.md"}
    nav[:0] = [*front, {"Coordinator": "coordinator.md"}]
    pages, reference = reference_pages(content)
    docs.update(pages)
    nav.append({"Where the numbers come from": reference})
    nav.append({"Words": "glossary.md"})


def glossary_page(content: Content) -> str:
    """All words of the glossary with their meaning."""
    glossary = ["# Words", ""]
    for word, meaning in sorted(content.glossary.items()):
        glossary += [f"**{safe(word)}**", f":   {safe(meaning)}", ""]
    return "\n".join(glossary)


def operator_page(content: Content, site: JobSite) -> str:
    """What a new operator of each role reads, and how long it takes."""
    lines = ["# New operator", "", "Find your role. Read each lesson and take its quiz. When you have passed, show "
             "your mentor on the machine. You are ready for seat time when every line of your sign-off sheet is signed.", ""]  # fmt: skip
    for role in site.settings.roles.values():
        known = [content.lessons[i] for i in role.lessons if i in content.lessons]
        links = [f'<a href="lessons/{x.id}.html">{escape(x.title)}</a>, {x.minutes} minutes' for x in known]
        if links:
            lines += [f"## {safe(role.title)}", "", bullets(links, "ol"), ""]
    return "\n".join(lines)


def mentor_page(content: Content, site: JobSite, docs: Mapping[str, str | bytes]) -> str:
    """The sheets a mentor prints; a cab card is listed when ``docs`` holds it."""
    sheets = [f'<a data-sheet href="sheets/{i}.html">{escape(x.title)}</a>' for i, x in content.lessons.items()]
    cards = [
        f'<a data-sheet href="sheets/cab-{m.id.lower()}.html">{escape(m.name)}</a>'
        for m in (*site.machines, *site.trucks)
        if f"sheets/cab-{m.id.lower()}.html" in docs
    ]
    return "\n".join(
        ["# Mentor", "", bar(site, None), "", "Each sheet is one page. Open it and press its print button. It prints in the units shown.",
         "", "## Tailgate sheets", "", bullets(sheets), "", "## Cab cards", "", bullets(cards), "", "## Sign-off",
         "", "Sign-off sheets and answer keys are in the mentor folder, not in this handbook. The coordinator has it.", ""]
    )  # fmt: skip


def coordinator_page(content: Content, site: JobSite, ledger: Ledger) -> str:
    """What this edition holds and how to keep it."""
    s = site.settings
    counts = [
        f"{len(site.machines)} machines, {len(site.trucks)} trucks, {len(site.materials)} materials, {len(site.crew)} crew",
        f"{len(content.lessons)} lessons",
        f"{len(ledger.entries)} numbers in the ledger",
    ]
    return "\n".join(
        ["# Coordinator", "", f"Edition {safe(s.edition)} of {safe(s.name)}.", "", bullets(counts), "",
         "Tap any number in a lesson to see how it was worked and where it comes from. The file ledger.json, "
         "beside this handbook, lists every number with its calculation, inputs and source.", "",
         "After you change a table, run the build again and give the handbook a new edition name.", "",
         "A web quiz can be read in the page's source. It is for learning and readiness. "
         "The mentor's sign-off on the machine is the gate.", ""]
    )  # fmt: skip


def mentor_index(content: Content, site: JobSite) -> str:
    """The first page of the mentor folder."""
    keys = bullets([f'<a href="keys/{i}.html">{escape(x.title)}</a>' for i, x in content.lessons.items()])
    roles = bullets([f'<a href="signoff/{r.id}.html">{escape(r.title)}</a>' for r in site.settings.roles.values()])
    body = (
        '<p class="caution">Keep this folder off the intranet: it holds answers.</p>'
        f"<h2>Sign-off sheets</h2>{roles}<h2>Answer keys of the tailgate sheets</h2>{keys}"
        "<h2>Results</h2><p>Type what mentors signed into signoffs.csv, beside settings.yml, with the columns crew, "
        "lesson, machine, date, mentor. Then <code>seatwork tally</code> marks the results handed in and writes "
        "records/readiness.html here: who is ready for which machine. <code>seatwork paper</code> writes quizzes on "
        "paper, with their keys, into paper/ here. A new build keeps both.</p>"
    )
    return framed(body, "Mentor folder", content, site, ("", ""), alone=True)
