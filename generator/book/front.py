"""The first page, one for each kind of reader, the bar on top of a page, the mentor folder's index."""

from __future__ import annotations

import json
import unicodedata
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
from generator.language.words import ENGLISH, mark, tr
from generator.reference.checks import GROUPS
from generator.units.table import SYSTEMS
from generator.units.writing import counted
from generator.working.ledger import Entry, Ledger

Docs = dict[str, str | bytes]
# "previous" and "next" would lead from one reader's page to another's: these pages say themselves what is next
_NO_NEXT = "---\nhide: [footer]\n---"


def bar(site: JobSite, lesson: Lesson | None, mine: str = "") -> str:
    """The bar on top of a page: the unit switch, if the site has one, and, for a lesson, its minutes and its sheet.

    ``mine`` are the attributes that say which machines the lesson can be shown for.
    """
    units = site.settings.units
    switch, fixed = "", " data-units-fixed"
    if site.settings.both_units:
        fixed = ""
        switch = (
            f'<span role="group" aria-label="{tr("Units")}">'
            f'<button type="button" data-set-units="us" aria-pressed="false">{tr("feet, pounds")}</button>'
            f'<button type="button" data-set-units="metric" aria-pressed="false">{tr("metres, kilograms")}</button></span>'
        )
    extra = ""
    if lesson is not None:
        minutes = tr("{minutes} minutes to read", minutes=lesson.minutes)
        extra = f'<p>{minutes}</p><a data-sheet href="../sheets/{lesson.id}.html">{tr("Tailgate sheet to print")}</a>'
    return f'<div class="sw-bar" data-search-exclude data-default-units="{units}"{fixed}{mine}>{switch}{extra}</div>'


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
    invented = f'<p class="sw-note">{tr("This site, its machines and its crew are invented.")}</p>' if settings.invented else ""
    cards = "".join(
        f'<a class="sw-card" href="{href}"><b>{words}</b><span>{what}</span></a>'
        for href, words, what in (
            ("operator.html", tr("New operator"), tr("Find your role. Read its lessons and pass its quizzes before seat time.")),
            ("mentor.html", tr("Mentor"), tr("Print sheets for tailgate talks and cab cards. Sign off what you have seen.")),
            ("coordinator.html", tr("Coordinator"), tr("Keep the handbook: what is in it, where its numbers come from, who is ready.")),
        )
    )
    chapters = [
        f"<b>{escape(c.title)}</b>: "
        + "; ".join(f'<a href="lessons/{i}.html">{escape(content.lessons[i].title)}</a>' for i in c.lessons)
        + "."
        for c in content.chapters
        if c.lessons
    ]
    number = _counted(ledger, "index.html", "counts", "lessons", len(content.lessons), "settings.yml, lessons of all roles")
    docs["index.md"] = "\n\n".join(
        [_NO_NEXT, f"# {tr('{site}: operator handbook', site=safe(settings.name))}", bar(site, None), invented,
         '<div class="sw-front" hidden></div>',
         f"## {tr('Who are you?')}", f'<div class="sw-cards sw-choices">{cards}</div>', first_picture(content, docs, ledger),
         f'<div class="sw-caution" role="note" data-word="{tr("Caution.")}">{escape(content.cautions["manual"].text)}</div>',
         f"## {tr('Look one thing up')}",
         tr("Search on top of every page. Type your own word for the thing, such as <i>windrow</i>, <i>hoe</i> or "
            "<i>cave-in</i>. {link}Words{end} says what each word of the trade means.", link='<a href="glossary.html">', end="</a>"),
         f"## {tr('What is in it')}",
         f'<details class="sw-fold"><summary>{tr("All {number} lessons", number=number)}</summary>{bullets(chapters)}</details>', ""]
    )  # fmt: skip
    docs["assets/roles.js"] = roles_script(content, site, docs, ledger)
    docs["operator.md"] = operator_page(content, site, ledger)
    docs["mentor.md"] = mentor_page(content, site, docs)
    docs["assets/machines.js"] = machines_script(site, docs)
    docs["glossary.md"] = glossary_page(content)
    front = {tr("Start here"): "index.md"}, {tr("New operator"): "operator.md"}, {tr("Mentor"): "mentor.md"}
    nav[:0] = [*front, {tr("Coordinator"): "coordinator.md"}]
    pages, reference, checked = chapter or reference_chapter(content)
    docs.update(pages)
    nav.append({tr("Where the numbers come from"): reference})
    nav.append({tr("Mixed practice"): "practice.md"})
    if "sign-off.md" in docs:  # where the site has mentors
        nav.append({tr("Sign off on the machine"): "sign-off.md"})
    nav.append({tr("Words"): "glossary.md"})
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
    caption = tr("Work on this site, drawn for the lesson {lesson}.", lesson=f'<a href="lessons/{found}.html">{title}</a>')
    return f'<figure class="sw-drawing sw-first">{svg}<figcaption>{caption}</figcaption></figure>'


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
        f"# {tr('Words')}", "",
        tr("Words of the trade, from A to Z. In a lesson such a word has a dotted line: tap it to see what it means."), "",
    ]  # fmt: skip
    for name, entry in sorted(content.glossary.items(), key=lambda found: _by_letters(found[1].shown)):
        said = [safe(entry.text)]
        if entry.also:
            said.append(tr("Others say: {words}.", words=safe(", ".join(entry.also))))
        if entry.word:  # the English word is what a machine's manual, a mentor or a sign may say
            said.append(tr("In English: {word}.", word=f'<i lang="{ENGLISH}">{safe(name)}</i>'))
        glossary += [f"**{safe(entry.shown)}**", f":   {' '.join(said)}", ""]
    return "\n".join(glossary)


def _by_letters(word: str) -> str:
    """What a word is sorted by: its letters without accents, as in a dictionary."""
    return "".join(c for c in unicodedata.normalize("NFD", word.casefold()) if not unicodedata.combining(c))


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
        runs = ""
        if role.on_foot:
            runs = tr("Works on foot.") + " "
        elif role.machines:
            runs = tr("Runs {machines}.", machines=_and([tr(PLURAL[k]) for k in role.machines])) + " "
        about = tr("{number} lessons, {minutes} minutes to read in all.", number=count, minutes=minutes)
        anchor = f"role-{escape(role.id)}"
        cards.append(
            f'<a class="sw-card" href="#{anchor}" data-role="{escape(role.id)}"><b>{escape(role.title)}</b><span>{runs}{about}</span></a>'
        )
        items = []
        for x in known:
            each = _counted(ledger, "operator.html", x.id, "minutes to read", x.minutes, f"{x.file}, minutes")
            items.append(
                f'<li data-lesson="{x.id}"><a href="lessons/{x.id}.html">{escape(x.title)}</a>, <span class="sw-whole">{tr("{number} minutes", number=each)}</span> '
                '<b class="sw-passed"></b></li>'
            )
        parts += [
            f"## {safe(role.title)} {{#{anchor}}}", "",
            f'<div class="sw-role" data-role="{escape(role.id)}"><p>{about}</p><p class="sw-next"></p><ol>{"".join(items)}</ol></div>', "",
        ]  # fmt: skip
    s = site.settings
    practice = tr(
        "Passed some lessons? {link}Mixed practice{end} asks about all of them, a few questions a day.",
        link='<a href="practice.html">', end="</a>",
    )  # fmt: skip
    steps = [
        tr("Tap your role below. This device remembers it, and the first page then says what comes next."),
        tr("Read its lessons in this order. Take the quiz at the end of each."),
        tr("Save your result and hand it in, as the quiz tells you."),
        tr("Show your mentor on the machine. The mentor signs your sheet."),
    ]
    return "\n".join(
        [_NO_NEXT, "", f"# {tr('New operator')}", "", bar(site, None), "", bullets(steps, "ol"), "",
         tr("You are ready for seat time when every line of your sign-off sheet is signed."), "",
         tr("Tap any number to see how it was worked. Tap a word with a dotted line to see what it means."), "",
         f'<p class="sw-whose" data-site="{escape(s.key)}" data-edition="{escape(s.edition)}"></p>', "",
         f'<div class="sw-cards">{"".join(cards)}</div>', "",
         f"<p>{practice}</p>", "", *parts]
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
        [_NO_NEXT, "", f"# {tr('Mixed practice')}", "", bar(site, None), "",
         tr("Ten questions over all lessons you have passed on this device. What you miss comes again sooner."), "",
         tr("It is for you alone. It stays on this device, is handed in nowhere and counts for nothing."), "",
         f'<seatwork-practice data-search-exclude data-site="{escape(s.key)}" data-edition="{escape(s.edition)}">'
         f"<noscript>{tr('It needs scripts. Without them, read a lesson again and take its quiz.')}</noscript>"
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
        tr("Before a shift, print a tailgate sheet and work it through with the crew."),
        tr("Put a cab card into each cab."),
        tr("Watch the operator do what the lesson's last part lists. Only then sign the sign-off sheet."),
    ]
    phone = (
        [tr("{link}Sign off on the phone{end}: tick each line there, sign with your own code, and hand in the file. "
            "The paper sheet does the same.", link='<a href="sign-off.html">', end="</a>"), ""]
        if "sign-off.md" in docs else []
    )  # fmt: skip
    return "\n".join(
        [_NO_NEXT, "", f"# {tr('Mentor')}", "", bar(site, None), "", bullets(steps, "ol"), "",
         tr("Each sheet is one page, and a second with the field exercise where the lesson has one. Open it and press its print button. "
            "It prints in the units shown."), "",
         f"## {tr('Tailgate sheets')}", "", f"<div>{''.join(sheets)}</div>", "",
         f"## {tr('Cab cards')}", "", f'<ul class="sw-find" data-over="machine">{cards}</ul>', "", f"## {tr('Sign-off')}", "",
         *phone, tr("Sign-off sheets and answer keys are in the mentor folder, not in this handbook. The coordinator has it."), ""]
    )  # fmt: skip


def _sheet(name: str, title: str) -> str:
    return f'<a data-sheet href="sheets/{name}.html">{escape(title)}</a>'


def coordinator_page(content: Content, site: JobSite, ledger: Ledger, figures: Mapping[str, int]) -> str:
    """What this edition holds and how to keep it; ``figures`` are those that checks rest on, by kind. Enters its counts in the ledger, the ledger's own count last."""
    s = site.settings

    def count(what: str, number: int, origin: str, source: str = "site tables") -> str:
        printed = _counted(ledger, "coordinator.html", "counts", what, number, origin, source)
        return tr("{number} {things}", number=printed, things=tr(what))

    tables = ((MACHINES, site.machines), (TRUCKS, site.trucks), (MATERIALS, site.materials), (CREW, site.crew))
    held = [
        ", ".join(count(form.sheet, len(rows), site.table(form.file)) for form, rows in tables),
        count(mark("lessons"), len(content.lessons), "settings.yml, lessons of all roles")
        + ", " + count(mark("roles"), len(s.roles), "settings.yml, roles"),
    ]  # fmt: skip
    shipped = "what Seatwork is shipped with"
    held.append(count(mark("calculations"), len(calculations()), "the calculations", shipped))
    checked = [count(GROUPS[name], number, "content/checks and content/library-checks.yml", shipped) for name, number in figures.items()]
    held.append(count(mark("numbers in the ledger"), len(ledger.rows()) + 1, "ledger.json"))
    own = [safe(tr(line)) for line in own_lines(content, content.lessons)]
    mine = (
        [f"## {tr(_OWN_WORDS)}", "", tr("These files of the job site stand in place of the shipped ones, or beside them."), "", bullets(own), ""]
        if own else []
    )  # fmt: skip
    steps = [
        tr("Check this site's own limits in <code>settings.yml</code>. A competent person sets them."),
        tr("Put the folder <code>web</code> on the intranet. Keep the folder <code>mentor</code> off it: it holds the answers."),
        tr("Print each role's sign-off sheet from the mentor folder."),
        *_taking_in(s.hand_in is not None),
    ]
    return "\n".join(
        [_NO_NEXT, "", f"# {tr('Coordinator')}", "", f"## {tr('What to do')}", "", bullets(steps, "ol"), "",
         f"## {tr('What this edition holds')}", "", tr("Edition {edition} of {site}:", edition=safe(s.edition), site=safe(s.name)), "",
         bullets(held), "",
         tr("The ledger is the list of every number that this handbook prints."), "",
         f"## {tr('Where every number comes from')}", "",
         tr("Tap any number in a lesson to see how it was worked and where it comes from."), "",
         tr("The calculations are checked against figures from outside. A figure that checks two of them is counted once:"), "",
         bullets(checked), "",
         tr("{link}Where the numbers come from{end} lists each calculation, its source and the checks "
            "it has passed. The ledger, the file <code>ledger.json</code> beside the folder <code>web</code>, lists every number "
            "with its page, calculation, inputs and source.", link='<a href="reference/index.html">', end="</a>"), "",
         f"## {tr('When a table changes')}", "",
         tr("Run the build again and give the handbook a new edition name. <code>seatwork compare</code> then says which "
            "numbers changed and which lessons must be taken again."), "",
         *mine,
         f"## {tr('What a quiz proves')}", "",
         tr("A quiz is for learning. Who knows how to look into a web page can find its answers there. "
            "So a passed quiz alone makes nobody ready: the mentor's sign-off on the machine does."), ""]
    )  # fmt: skip


def _taking_in(by_server: bool) -> list[str]:
    """How results come in, and what says who is ready."""
    if not by_server:
        return [
            tr(
                "Put the results that are handed in into the folder <code>results</code>, then run <code>seatwork tally</code>. "
                "It says who is ready."
            )
        ]
    return [
        tr(
            "Give the folder <code>headers</code> to whoever runs the web server. With it the server takes in what phones hand in, "
            "and keeps it in a drop folder."
        ),
        tr(
            "Leave <code>seatwork tally FOLDER DROP --watch</code> running, with the site's folder and the drop folder for FOLDER and DROP. "
            "It takes in what comes and says who is ready."
        ),
        tr(
            "Put files that come in another way, and the codes of slips, into the folder <code>results</code>, "
            "then run <code>seatwork tally FOLDER</code>."
        ),
    ]


def _counted(ledger: Ledger, page: str, place: str, what: str, number: int, origin: str, source: str = "site tables") -> str:
    """A count as it is printed, entered in the ledger."""
    text = counted(number)
    ledger.enter(Entry(page, place, what, dict.fromkeys(SYSTEMS, text), float(number), None, {}, [source], origin))
    return text


def _and(words: list[str]) -> str:
    return tr("{first} and {last}", first=", ".join(words[:-1]), last=words[-1]) if len(words) > 1 else words[0]


def machines_script(site: JobSite, docs: Mapping[str, str | bytes]) -> str:
    """The machines and trucks a reader may pick as their own, for ``my-machine.js``."""
    rows = [[m.id, m.name, f"sheets/cab-{m.id.lower()}.html" in docs, m.kind] for m in (*site.machines, *site.trucks)]
    leads = {role.id: list(role.lead) for role in site.settings.roles.values() if role.lead}
    text = json.dumps({"site": site.settings.key, "machines": rows, "leads": leads}, separators=(",", ":"))
    return f"window.seatworkMachines = {text};\n"


def _to_fill_in(site: JobSite) -> str:
    """How what mentors signed comes into a table that is read."""
    ending = "xlsx" if has_workbook(site) else "csv"
    said = [
        tr("Print a sheet from both sides of the paper. Put a copy of {file} into the folder results, beside settings.yml, and type there "
           "what came back: machine, date, mentor, conditions, hours.", file=f'<a href="signoff/{TO_FILL_IN}.{ending}">{TO_FILL_IN}.{ending}</a>'),
        *([tr("Ids are picked from lists.")] if has_workbook(site) else []),
        tr("The number of the sheet stands in its row already. A row without date and mentor is not signed yet, and is passed over."),
        tr("Or type it into signoffs.csv beside settings.yml, with the columns crew, lesson, machine, date, mentor."),
    ]  # fmt: skip
    talks = tr(
        "Who was at a tailgate talk goes into talks.csv beside settings.yml: date, sheet, leader, crew. The sheet's number stands "
        "at its head, the crew ids have spaces between them."
    )
    return f"<p>{' '.join(said)}</p><p>{talks}</p>"


_OWN_WORDS = mark("This site's own words")
NOT_YET = "<!-- nothing has been written here yet -->"


def mentor_folder(content: Content, site: JobSite) -> dict[str, str | bytes]:
    """The first page of the mentor folder, and the pages of records and paper quizzes until there are any."""
    keys = bullets([f'<a href="keys/{i}.html">{escape(x.title)}</a>' for i, x in content.lessons.items()])
    roles = bullets([f'<a href="signoff/{r.id}.html">{escape(r.title)}</a>' for r in site.settings.roles.values()])
    kept = tr(
        "<code>seatwork tally</code> marks the results handed in and writes who is ready for which machine. "
        "<code>seatwork paper</code> writes quizzes on paper, with their keys. A new build keeps both."
    )
    body = (
        f'<p class="caution">{tr("Keep this folder off the intranet: it holds answers.")}</p>'
        f'<h2>{tr("Results")}</h2><ul><li><a href="records/readiness.html">{tr("Who is ready for seat time")}</a></li>'
        f'<li><a href="paper/index.html">{tr("Paper quizzes and their keys")}</a></li></ul>'
        f"<p>{kept}</p>"
        f"<h2>{tr('Sign-off sheets')}</h2>{roles}{_to_fill_in(site)}<h2>{tr('Answer keys of the tailgate sheets')}</h2>{keys}"
    )
    back = ("../index.html", tr("Mentor folder"))
    no_results = tr(
        "No results have been marked yet. Run <code>seatwork tally</code> with the name of the site's folder; then this page says who is ready."
    )
    no_quizzes = tr(
        "No quizzes have been printed yet. Run <code>seatwork paper</code> with the name of the site's folder; then this page lists them."
    )
    return {
        "index.html": framed(body, tr("Mentor folder"), content, site, ("", ""), alone=True),
        "records/readiness.html": framed(
            f"{NOT_YET}<p>{no_results}</p>", tr("Who is ready for seat time"), content, site, back, alone=True,
        ),
        "paper/index.html": framed(
            f"{NOT_YET}<p>{no_quizzes}</p>", tr("Paper quizzes"), content, site, back, alone=True,
        ),
    }  # fmt: skip
