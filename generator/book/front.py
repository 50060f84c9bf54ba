"""The first page, one for each kind of reader, the bar on top of a page, the mentor folder's index."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from html import escape
from typing import Any

from generator.book.card import framed
from generator.book.content import Content, own_lines
from generator.book.lesson import Lesson, in_order
from generator.book.mine import picture_file
from generator.book.page import PLURAL
from generator.book.part import Chapter, Nav
from generator.book.reference import reference_chapter
from generator.book.tofill import TO_FILL_IN, has_workbook
from generator.book.words import bullets, safe
from generator.calc.catalogue import calculations
from generator.jobsite.columns import CREW, MACHINES, MATERIALS, TRUCKS
from generator.jobsite.model import JobSite
from generator.reference.checks import GROUPS
from generator.units.table import SYSTEMS
from generator.units.writing import counted
from generator.working.ledger import Entry, Ledger

Docs = dict[str, str | bytes]
# "previous" and "next" would lead from one reader's page to another's: these pages say themselves what is next
_NO_NEXT = "---\nhide: [footer]\n---"


def bar(site: JobSite, lesson: Lesson | None, mine: str = "") -> str:
    """The bar on top of a page: the unit switch and, for a lesson, its minutes and its sheet.

    ``mine`` are the attributes that say which machines the lesson can be shown for.
    """
    units = site.settings.units
    switch = (
        '<span role="group" aria-label="Units">'
        '<button type="button" data-set-units="us" aria-pressed="false">feet, pounds</button>'
        '<button type="button" data-set-units="metric" aria-pressed="false">metres, kilograms</button></span>'
    )
    extra = ""
    if lesson is not None:
        extra = f'<p>{lesson.minutes} minutes to read</p><a data-sheet href="../sheets/{lesson.id}.html">Tailgate sheet to print</a>'
    return f'<div class="sw-bar" data-search-exclude data-default-units="{units}"{mine}>{switch}{extra}</div>'


def front_pages(
    content: Content, site: JobSite, docs: Docs, nav: Nav, ledger: Ledger,
    chapter: Chapter | None = None,
) -> None:  # fmt: skip
    """Adds to ``docs`` the first page, the readers' pages, the glossary and the reference chapter.

    ``chapter`` is the reference chapter where it is made already.

    ``docs`` must hold the sheets and ``ledger`` the numbers of the lessons already: the pages
    list and count them. Their places in the navigation are put into ``nav``.
    """
    settings = site.settings
    invented = '<p class="sw-note">This site, its machines and its crew are invented.</p>' if settings.invented else ""
    cards = "".join(
        f'<a class="sw-card" href="{href}"><b>{words}</b><span>{what}</span></a>'
        for href, words, what in (
            ("operator.html", "New operator", "Find your role. Read its lessons and pass its quizzes before seat time."),
            ("mentor.html", "Mentor", "Print sheets for tailgate talks and cab cards. Sign off what you have seen."),
            ("coordinator.html", "Coordinator", "Keep the handbook: what is in it, where its numbers come from, who is ready."),
        )
    )
    chapters = [
        f"<b>{escape(c.title)}</b>: "
        + "; ".join(f'<a href="lessons/{i}.html">{escape(content.lessons[i].title)}</a>' for i in c.lessons)
        + "."
        for c in content.chapters
        if c.lessons
    ]
    docs["index.md"] = "\n\n".join(
        [_NO_NEXT, f"# {safe(settings.name)}: operator handbook", bar(site, None), invented,
         '<div class="sw-front" hidden></div>',
         "## Who are you?", f'<div class="sw-cards sw-choices">{cards}</div>', first_picture(content, docs, ledger),
         f'<div class="sw-caution" role="note">{escape(content.cautions["manual"].text)}</div>',
         "## Look one thing up",
         "Search on top of every page. Type your own word for the thing, such as <i>windrow</i>, <i>hoe</i> or "
         '<i>cave-in</i>. <a href="glossary.html">Words</a> says what each word of the trade means.',
         "## What is in it",
         f'<details class="sw-fold"><summary>All {_counted(ledger, "index.html", "counts", "lessons", len(content.lessons), "settings.yml, lessons of all roles")} lessons</summary>{bullets(chapters)}</details>', ""]
    )  # fmt: skip
    docs["assets/roles.js"] = roles_script(content, site, docs, ledger)
    docs["operator.md"] = operator_page(content, site, ledger)
    docs["mentor.md"] = mentor_page(content, site, docs)
    docs["assets/machines.js"] = machines_script(site, docs)
    docs["glossary.md"] = glossary_page(content)
    front = {"Start here": "index.md"}, {"New operator": "operator.md"}, {"Mentor": "mentor.md"}
    nav[:0] = [*front, {"Coordinator": "coordinator.md"}]
    pages, reference, checked = chapter or reference_chapter(content)
    docs.update(pages)
    nav.append({"Where the numbers come from": reference})
    nav.append({"Mixed practice": "practice.md"})
    if "sign-off.md" in docs:  # where the site has mentors
        nav.append({"Sign off on the machine": "sign-off.md"})
    nav.append({"Words": "glossary.md"})
    docs["coordinator.md"] = coordinator_page(content, site, ledger, checked)  # last: it counts the ledger


# whose picture the first page shows, the first of these that the site teaches: a machine at its work
PICTURED = ("bench-height", "slot-front-to-back", "trench-to-grade", "truck-match", "building-a-slope", "backfill-with-the-blade")


def first_picture(content: Content, docs: Docs, ledger: Ledger) -> str:
    """One drawing of the site's work for the first page, made for a lesson already. Its figures are entered again here."""
    found = next((i for i in (*PICTURED, *content.lessons) if picture_file(i) in docs), None)
    if found is None or found not in content.lessons:
        return ""
    script = str(docs[picture_file(found)])
    svg = json.loads(script[script.index("(") + 1 : script.rindex(")")])["html"]
    ledger.entries.extend([replace(e, page="index.html") for e in ledger.entries if e.page == picture_file(found)])
    title = escape(content.lessons[found].title)
    return (
        f'<figure class="sw-drawing sw-first">{svg}<figcaption>Work on this site, drawn for the lesson '
        f'<a href="lessons/{found}.html">{title}</a>.</figcaption></figure>'
    )


def roles_script(content: Content, site: JobSite, docs: Mapping[str, str | bytes], ledger: Ledger) -> str:
    """The roles with their lessons in order, for ``progress.js``, which says what comes next. Enters what it prints."""
    settings = site.settings
    roles = []
    for role in settings.roles.values():
        known = list(in_order((i for i in role.lessons if i in content.lessons), content.lessons))
        if known:
            _counted(ledger, "index.html", role.id, "lessons", len(known), "settings.yml, lessons of the role")
            roles.append([role.id, role.title, known])
    for x in content.lessons.values():
        _counted(ledger, "index.html", x.id, "minutes to read", x.minutes, f"{x.file}, minutes")
    order = [i for c in content.chapters for i in c.lessons]
    lessons = {i: [content.lessons[i].title, content.lessons[i].minutes, picture_file(i) in docs] for i in order}
    data: dict[str, Any] = {"site": settings.key, "edition": settings.edition, "roles": roles, "order": order, "lessons": lessons}
    if settings.hand_in is not None:  # where the pages' hand-in.js sends results
        data["hand_in"] = settings.hand_in
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return f"window.seatworkRoles = {text};\n"


def glossary_page(content: Content) -> str:
    """All words of the glossary with their meaning."""
    glossary = [
        "# Words", "",
        "Words of the trade, from A to Z. In a lesson such a word has a dotted line: tap it to see what it means.", "",
    ]  # fmt: skip
    for word, meaning in sorted(content.glossary.items(), key=lambda entry: entry[0].casefold()):
        glossary += [f"**{safe(word)}**", f":   {safe(meaning.text)}", ""]
    return "\n".join(glossary)


def operator_page(content: Content, site: JobSite, ledger: Ledger) -> str:
    """What a new operator of each role reads, and how long it takes. Enters the minutes in the ledger."""
    cards, parts = [], []
    for role in site.settings.roles.values():
        known = [content.lessons[i] for i in in_order((i for i in role.lessons if i in content.lessons), content.lessons)]
        if not known:
            continue
        total = sum(x.minutes for x in known)
        count = _counted(ledger, "operator.html", role.id, "lessons", len(known), "settings.yml, lessons of the role")
        minutes = _counted(ledger, "operator.html", role.id, "minutes to read", total, "minutes: of the lessons, added up")
        runs = "Works on foot. " if role.on_foot else f"Runs {_and([PLURAL[k] for k in role.machines])}. " if role.machines else ""
        about = f"{count} lessons, {minutes} minutes to read in all."
        anchor = f"role-{escape(role.id)}"
        cards.append(
            f'<a class="sw-card" href="#{anchor}" data-role="{escape(role.id)}"><b>{escape(role.title)}</b><span>{runs}{about}</span></a>'
        )
        items = []
        for x in known:
            each = _counted(ledger, "operator.html", x.id, "minutes to read", x.minutes, f"{x.file}, minutes")
            items.append(
                f'<li data-lesson="{x.id}"><a href="lessons/{x.id}.html">{escape(x.title)}</a>, <span class="sw-whole">{each} minutes</span> '
                '<b class="sw-passed"></b></li>'
            )
        parts += [
            f"## {safe(role.title)} {{#{anchor}}}", "",
            f'<div class="sw-role" data-role="{escape(role.id)}"><p>{about}</p><p class="sw-next"></p><ol>{"".join(items)}</ol></div>', "",
        ]  # fmt: skip
    s = site.settings
    steps = [
        "Tap your role below. This device remembers it, and the first page then says what comes next.",
        "Read its lessons in this order. Take the quiz at the end of each.",
        "Save your result and hand it in, as the quiz tells you.",
        "Show your mentor on the machine. The mentor signs your sheet.",
    ]
    return "\n".join(
        [_NO_NEXT, "", "# New operator", "", bar(site, None), "", bullets(steps, "ol"), "",
         "You are ready for seat time when every line of your sign-off sheet is signed.", "",
         "Tap any number to see how it was worked. Tap a word with a dotted line to see what it means.", "",
         f'<p class="sw-whose" data-site="{escape(s.key)}" data-edition="{escape(s.edition)}"></p>', "",
         f'<div class="sw-cards">{"".join(cards)}</div>', "",
         '<p>Passed some lessons? <a href="practice.html">Mixed practice</a> asks about all of them, a few questions a day.</p>', "", *parts]
    )  # fmt: skip


def practice_page(content: Content, site: JobSite, marking: Mapping[str, Mapping[str, Any]]) -> str:
    """Mixed practice over what was passed on the reader's device; ``marking`` names the questions of each lesson."""
    s = site.settings
    lessons = [
        {"id": i, "title": content.lessons[i].title, "questions": [q["id"] for q in marking[i]["questions"]]}
        for c in content.chapters for i in c.lessons if i in marking
    ]  # fmt: skip
    data = json.dumps({"lessons": lessons}, ensure_ascii=False, separators=(",", ":")).replace("</", "<\\/")
    return "\n".join(
        [_NO_NEXT, "", "# Mixed practice", "", bar(site, None), "",
         "Ten questions over all lessons you have passed on this device. What you miss comes again sooner.", "",
         "It is for you alone. It stays on this device, is handed in nowhere and counts for nothing.", "",
         f'<seatwork-practice data-search-exclude data-site="{escape(s.key)}" data-edition="{escape(s.edition)}">'
         "<noscript>It needs scripts. Without them, read a lesson again and take its quiz.</noscript>"
         f'<script type="application/json">{data}</script></seatwork-practice>', ""]
    )  # fmt: skip


def mentor_page(content: Content, site: JobSite, docs: Mapping[str, str | bytes]) -> str:
    """The sheets a mentor prints; a cab card is listed when ``docs`` holds it."""
    sheets = [
        f"<h3>{escape(c.title)}</h3>" + bullets([_sheet(i, content.lessons[i].title) for i in c.lessons])
        for c in content.chapters
        if c.lessons
    ]
    cards = "".join(
        f'<li data-row="{escape(m.id)}">{_sheet(f"cab-{m.id.lower()}", m.name)}</li>'
        for m in (*site.machines, *site.trucks)
        if f"sheets/cab-{m.id.lower()}.html" in docs
    )
    steps = [
        "Before a shift, print a tailgate sheet and work it through with the crew.",
        "Put a cab card into each cab.",
        "Watch the operator do what the lesson's last part lists. Only then sign the sign-off sheet.",
    ]
    phone = (
        ['<a href="sign-off.html">Sign off on the phone</a>: tick each line there, sign with your own code, and hand in the file. '
         "The paper sheet does the same.", ""]
        if "sign-off.md" in docs else []
    )  # fmt: skip
    return "\n".join(
        [_NO_NEXT, "", "# Mentor", "", bar(site, None), "", bullets(steps, "ol"), "",
         "Each sheet is one page, and a second with the field exercise where the lesson has one. Open it and press its print button. "
         "It prints in the units shown.", "",
         "## Tailgate sheets", "", f"<div>{''.join(sheets)}</div>", "",
         "## Cab cards", "", f'<ul class="sw-find" data-over="machine">{cards}</ul>', "", "## Sign-off", "",
         *phone, "Sign-off sheets and answer keys are in the mentor folder, not in this handbook. The coordinator has it.", ""]
    )  # fmt: skip


def _sheet(name: str, title: str) -> str:
    return f'<a data-sheet href="sheets/{name}.html">{escape(title)}</a>'


def coordinator_page(content: Content, site: JobSite, ledger: Ledger, figures: Mapping[str, int]) -> str:
    """What this edition holds and how to keep it; ``figures`` are those that checks rest on, by kind. Enters its counts in the ledger, the ledger's own count last."""
    s = site.settings

    def count(what: str, number: int, origin: str, source: str = "site tables") -> str:
        return f"{_counted(ledger, 'coordinator.html', 'counts', what, number, origin, source)} {what}"

    tables = ((MACHINES, site.machines), (TRUCKS, site.trucks), (MATERIALS, site.materials), (CREW, site.crew))
    held = [
        ", ".join(count(form.sheet, len(rows), site.table(form.file)) for form, rows in tables),
        count("lessons", len(content.lessons), "settings.yml, lessons of all roles")
        + ", " + count("roles", len(s.roles), "settings.yml, roles"),
    ]  # fmt: skip
    shipped = "what Seatwork is shipped with"
    held.append(count("calculations", len(calculations()), "the calculations", shipped))
    checked = [count(GROUPS[name], number, "content/checks and content/library-checks.yml", shipped) for name, number in figures.items()]
    held.append(count("numbers in the ledger", len(ledger.rows()) + 1, "ledger.json"))
    own = [safe(line) for line in own_lines(content, content.lessons)]
    mine = (
        ["## This site's own words", "", "These files of the job site stand in place of the shipped ones, or beside them.", "", bullets(own), ""]
        if own else []
    )  # fmt: skip
    steps = [
        "Check this site's own limits in <code>settings.yml</code>. A competent person sets them.",
        "Put the folder <code>web</code> on the intranet. Keep the folder <code>mentor</code> off it: it holds the answers.",
        "Print each role's sign-off sheet from the mentor folder.",
        *_taking_in(s.hand_in is not None),
    ]
    return "\n".join(
        [_NO_NEXT, "", "# Coordinator", "", "## What to do", "", bullets(steps, "ol"), "",
         "## What this edition holds", "", f"Edition {safe(s.edition)} of {safe(s.name)}:", "", bullets(held), "",
         "The ledger is the list of every number that this handbook prints.", "",
         "## Where every number comes from", "",
         "Tap any number in a lesson to see how it was worked and where it comes from.", "",
         "The calculations are checked against figures from outside. A figure that checks two of them is counted once:", "",
         bullets(checked), "",
         '<a href="reference/index.html">Where the numbers come from</a> lists each calculation, its source and the checks '
         "it has passed. The ledger, the file <code>ledger.json</code> beside the folder <code>web</code>, lists every number "
         "with its page, calculation, inputs and source.", "",
         "## When a table changes", "",
         "Run the build again and give the handbook a new edition name. <code>seatwork compare</code> then says which "
         "numbers changed and which lessons must be taken again.", "",
         *mine,
         "## What a quiz proves", "",
         "A quiz is for learning. Who knows how to look into a web page can find its answers there. "
         "So a passed quiz alone makes nobody ready: the mentor's sign-off on the machine does.", ""]
    )  # fmt: skip


def _taking_in(by_server: bool) -> list[str]:
    """How results come in, and what says who is ready."""
    if not by_server:
        return [
            "Put the results that are handed in into the folder <code>results</code>, then run <code>seatwork tally</code>. "
            "It says who is ready."
        ]
    return [
        "Give the folder <code>headers</code> to whoever runs the web server. With it the server takes in what phones hand in, "
        "and keeps it in a drop folder.",
        "Leave <code>seatwork tally FOLDER DROP --watch</code> running, with the site's folder and the drop folder for FOLDER and DROP. "
        "It takes in what comes and says who is ready.",
        "Put files that come in another way, and the codes of slips, into the folder <code>results</code>, "
        "then run <code>seatwork tally FOLDER</code>.",
    ]


def _counted(ledger: Ledger, page: str, place: str, what: str, number: int, origin: str, source: str = "site tables") -> str:
    """A count as it is printed, entered in the ledger."""
    text = counted(number)
    ledger.enter(Entry(page, place, what, dict.fromkeys(SYSTEMS, text), float(number), None, {}, [source], origin))
    return text


def _and(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def machines_script(site: JobSite, docs: Mapping[str, str | bytes]) -> str:
    """The machines and trucks a reader may pick as their own, for ``my-machine.js``."""
    rows = [[m.id, m.name, f"sheets/cab-{m.id.lower()}.html" in docs, m.kind] for m in (*site.machines, *site.trucks)]
    leads = {role.id: list(role.lead) for role in site.settings.roles.values() if role.lead}
    text = json.dumps({"site": site.settings.key, "machines": rows, "leads": leads}, separators=(",", ":"))
    return f"window.seatworkMachines = {text};\n"


def _to_fill_in(site: JobSite) -> str:
    """How what mentors signed comes into a table that is read."""
    ending = "xlsx" if has_workbook(site) else "csv"
    picked = " Ids are picked from lists." if has_workbook(site) else ""
    return (
        f'<p>Print a sheet from both sides of the paper. Put a copy of <a href="signoff/{TO_FILL_IN}.{ending}">{TO_FILL_IN}.{ending}</a> into '
        f"the folder results, beside settings.yml, and type there what came back: machine, date, mentor, conditions, hours.{picked} "
        "The number of the sheet stands in its row already. A row without date and mentor is not signed yet, and is passed over. "
        "Or type it into signoffs.csv beside settings.yml, with the columns crew, lesson, machine, date, mentor.</p>"
        "<p>Who was at a tailgate talk goes into talks.csv beside settings.yml: date, sheet, leader, crew. The sheet's number stands "
        "at its head, the crew ids have spaces between them.</p>"
    )


NOT_YET = "<!-- nothing has been written here yet -->"


def mentor_folder(content: Content, site: JobSite) -> dict[str, str | bytes]:
    """The first page of the mentor folder, and the pages of records and paper quizzes until there are any."""
    keys = bullets([f'<a href="keys/{i}.html">{escape(x.title)}</a>' for i, x in content.lessons.items()])
    roles = bullets([f'<a href="signoff/{r.id}.html">{escape(r.title)}</a>' for r in site.settings.roles.values()])
    body = (
        '<p class="caution">Keep this folder off the intranet: it holds answers.</p>'
        '<h2>Results</h2><ul><li><a href="records/readiness.html">Who is ready for seat time</a></li>'
        '<li><a href="paper/index.html">Paper quizzes and their keys</a></li></ul>'
        "<p><code>seatwork tally</code> marks the results handed in and writes who is ready for which machine. "
        "<code>seatwork paper</code> writes quizzes on paper, with their keys. A new build keeps both.</p>"
        f"<h2>Sign-off sheets</h2>{roles}{_to_fill_in(site)}<h2>Answer keys of the tailgate sheets</h2>{keys}"
    )
    back = ("../index.html", "Mentor folder")
    return {
        "index.html": framed(body, "Mentor folder", content, site, ("", ""), alone=True),
        "records/readiness.html": framed(
            f"{NOT_YET}<p>No results have been marked yet. Run <code>seatwork tally</code> with the name of the site's folder; "
            "then this page says who is ready.</p>", "Who is ready for seat time", content, site, back, alone=True,
        ),
        "paper/index.html": framed(
            f"{NOT_YET}<p>No quizzes have been printed yet. Run <code>seatwork paper</code> with the name of the site's folder; "
            "then this page lists them.</p>", "Paper quizzes", content, site, back, alone=True,
        ),
    }  # fmt: skip
