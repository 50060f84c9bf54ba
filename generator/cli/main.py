"""Arguments of the ``seatwork`` command.

Mistakes a user can make end as lines on standard error and exit status 2, never as a traceback. What
the program itself does wrong says so: exit status 70 and a file with the trace.
Heavy modules are imported inside the commands, so that help is there at once.
"""

from __future__ import annotations

import argparse
import contextvars
import difflib
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from generator import __version__
from generator.cli import fault
from generator.source.problem import Refusal, Refusals

COMMANDS = ("new", "build", "check", "serve", "own", "work", "calculations", "tally", "record", "register", "compare", "paper", "package")

_ABOUT = """\
Seatwork writes a training handbook for your own machines from a few tables.

Start with the demo:    seatwork build site_demo
then open               site_demo/out/web/index.html
Start a site of yours:  seatwork new my_site
"""


def port(text: str) -> int:
    """The number of a port."""
    if not (text.isdecimal() and 0 < int(text) < 65_536):
        raise argparse.ArgumentTypeError(f"'{text[:40]}' is no port; give a number from 1 to 65535")
    return int(text)


def seconds(text: str) -> float:
    """A number of seconds between two looks, from a tenth to an hour."""
    try:
        found = float(text)
    except ValueError:
        found = 0.0
    if not 0.1 <= found <= 3600:
        raise argparse.ArgumentTypeError(f"'{text[:40]}' is no number of seconds from 0.1 to 3600")
    return found


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, and where to read on."""

    def error(self, message: str) -> NoReturn:
        message = message.removeprefix("the following arguments are required: ")
        told = f"{message} is missing" if re.fullmatch(r"[A-Z]+(, [A-Z]+)*", message) else message
        self.exit(2, f"{self.prog}: {told}; {self.prog} --help shows how to write it\n")


_WORK = ("dozing", "loading", "trenching", "compact")  # the keys of starter.LIKE: the parser imports nothing that takes time


def _work(text: str) -> str:
    """A kind of work that a new site is for."""
    if text not in _WORK:
        raise argparse.ArgumentTypeError(f"'{text[:40]}' is no kind of work: name {', '.join(_WORK)}, and FOLDER before --like")
    return text


def parser() -> argparse.ArgumentParser:
    """The command line's grammar and its help."""
    p = _Parser(prog="seatwork", description=_ABOUT, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("--version", action="version", version=f"seatwork {__version__}")
    commands = p.add_subparsers(dest="command", metavar="COMMAND", title="commands")

    def command(name: str, short: str, long: str) -> argparse.ArgumentParser:
        return commands.add_parser(name, help=short, description=long, formatter_class=argparse.RawDescriptionHelpFormatter)

    c = command(
        "new", "start a job site: a small folder to put your own figures in",
        "Makes FOLDER with settings.yml and the tables machines, trucks, materials and crew. All of it is\n"
        "invented and builds as it is; put your own figures in its place. The units are those of the tables\n"
        "to begin with; a cell or a heading may have any other.\n"
        "With --like it holds what that kind of work needs and nothing else: machines, ground, crew, roles,\n"
        "lessons, limits and figures. Name several where your site does several:\n\n"
        "  seatwork new my_site --like dozing loading\n\n"
        "  dozing      dozers alone: pushing, stripping, ripping, slopes, grading, placing fill\n"
        "  loading     excavators on a bench, and the haul trucks they load\n"
        "  trenching   excavators in a trench, with people on foot; no trucks\n"
        "  compact     compact excavators alone: trenches, backfilling, tight places\n\n"
        "With --rules own it has a folder rules, with tables of your own rules to fill in, in place of United\n"
        "States law; with --rules none the handbook gives no figure of law and says whom to ask.\n\n"
        "FOLDER must be new or empty: nothing is ever overwritten.\n"
        "Next: seatwork build FOLDER, and put your own figures in. seatwork check FOLDER says what to mend.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="a folder that is not there yet, or is empty")
    c.add_argument("--units", choices=("us", "metric"), default="us", help="unit system of the tables (default us)")
    c.add_argument(
        "--like", nargs="+", type=_work, default=[], metavar="WORK", help="dozing, loading, trenching or compact: only what this work needs"
    )
    c.add_argument(
        "--rules",
        choices=("us-federal", "own", "none"),
        default="us-federal",
        help="whose rules the handbook tells of (default us-federal)",
    )
    c.add_argument("--workbook", action="store_true", help="write the tables as sheets of one workbook, site.xlsx")
    c = command(
        "build", "write the handbook of a job site",
        "Reads the tables in FOLDER and writes FOLDER/out:\n"
        "  out/web      the handbook: publish this folder on the intranet\n"
        "  out/mentor   answer keys and sign-off: keep this folder\n"
        "  out/ledger.json   every number with its calculation and source\n"
        "  out/headers  what a web server sends with the pages, for whoever runs yours\n"
        "  out/files.sha256  all files with their hashes, for sha256sum -c\n"
        "If anything is wrong, the lines say where and the last handbook stays as it was.\n\n"
        "Several folders are built one after the other; one that cannot be built does not stop the others.\n"
        "  seatwork build north south --index handbooks\n"
        "writes handbooks/web as well: all their handbooks and a page to pick one, to publish as one folder.",
    )  # fmt: skip
    c.add_argument("folders", nargs="+", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables; or several")
    c.add_argument("--index", type=Path, metavar="DIR", help="put the handbooks of all these sites into DIR/web, with a page to pick one")
    c.add_argument("--quiet", action="store_true", help="no progress lines")
    c.add_argument("--strict", action="store_true", help="build nothing while there is something to look at (exit status 2)")
    c.add_argument("--pdf", action="store_true", help="print all sheets to PDF too (needs an installed Chromium-family browser)")
    c.add_argument("--audio", action="store_true", help="record every lesson for phones without a voice (needs espeak-ng and opus-tools)")
    c.add_argument("--audio-offline", action="store_true", help="the same, and phones keep the recordings for where there is no signal")
    c.add_argument(
        "--fresh", action="store_true", help="make every page anew, and use nothing that earlier builds kept in FOLDER/.seatwork-kept"
    )
    c.add_argument("--tree", type=Path, metavar="DIR", help="write the Markdown pages and mkdocs.yml to DIR too, for another site builder")
    c = command(
        "check",
        "check the tables and lessons without building",
        "Reads everything and renders every page, but writes nothing. Prints all problems at once. If there are\n"
        "none, it says so, with the reading grade of the lessons: the school years a reader needs.\n\n"
        "What is allowed and still wants a look is told in groups, a line each with a short code at its end:\n"
        "figures that hardly fit each other, tonnes among tons, days far off, placeholders that were never changed.\n"
        "It stops nothing unless you ask for --strict, which also prints the line for looked_at: in settings.yml\n"
        "that says of a figure: somebody looked, and it is right.",
    )
    c.add_argument("folders", nargs="+", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables; or several")
    c.add_argument("--grades", action="store_true", help="print the reading grade of each lesson")
    c.add_argument("--strict", action="store_true", help="exit status 2 while there is something to look at")
    c = command(
        "serve",
        "show the handbook in a browser and keep it up to date",
        "Shows the handbook at a local address. Save a table or a lesson and the page loads again.\n"
        "It is in the site's main language, without the switch to the others; 'seatwork build' makes them all.\nStop with Ctrl+C.",
    )
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("--port", type=port, default=8000, metavar="N", help="port number (default 8000)")
    c = command(
        "own", "copy a shipped lesson, question, caution, word, card or sheet into your site",
        "A file in FOLDER replaces the shipped one of the same name, or adds to what is shipped. This command\n"
        "copies a shipped text there for you to change, and notes which version it is, so that\n"
        "'seatwork check FOLDER' can say when the shipped one has changed since. Examples:\n"
        "  seatwork own FOLDER                           lists all that can be copied\n"
        "  seatwork own FOLDER lessons/bench-height.md questions/bench-height.yml\n"
        "  seatwork own FOLDER cautions.yml:edge         one entry of a list\n"
        "  seatwork own FOLDER --new-lesson gate-rules   the skeleton of a lesson of your own\n"
        "  seatwork own FOLDER --language pl             the skeleton of a language: the program's strings, your names\n"
        "  seatwork own FOLDER --language pl stop-work   the words of a lesson and its questions, or of a table of words\n\n"
        "What FOLDER may hold besides the tables:\n"
        "  lessons/ID.md, questions/ID.yml   a lesson in place of a shipped one, or one more. A new lesson names its\n"
        "                                    chapter in its front matter and needs questions, as nobody could pass it\n"
        "                                    without. It needs no numbers, and its headings are yours. List it under a\n"
        "                                    role in settings.yml.\n"
        "  cautions.yml, glossary.yml, mistakes.yml, cards.yml   entries in place of shipped ones, or more of them\n"
        "  chapters.yml                      more chapters (id and title), or other titles\n"
        "  allowed-figures.yml               figures your lessons may hold (text and reason)\n"
        "  sheets/tailgate.html, sheets/frame.html   your own layout of the pages of paper\n"
        "  look/seatwork.css, quiz.css, sheet.css    added to the shipped look\n"
        "  look/NAME.jpg (png, webp, gif)            pictures; a lesson shows one with ![words](../assets/NAME.jpg)\n"
        "  pl/ and the like                  a language by its two letters: words/*.po, names.csv, and the words of lessons,\n"
        "                                    questions and entries. List it in settings.yml: languages: [en, pl]. What has\n"
        "                                    no words there stays in the language it is written in, and 'seatwork check'\n"
        "                                    counts it\n\n"
        "Of what FOLDER shares with other sites (shared: in settings.yml) the shared text is copied, as that is what\n"
        "its handbook has now; what the site has of its own stands before both. A shared folder can be FOLDER too.\n\n"
        "Nothing is ever written over. Lessons are Markdown without scripts or other HTML.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("names", nargs="*", metavar="NAME", help="what to copy (default: list what can be copied)")
    c.add_argument(
        "--language",
        nargs="+",
        metavar=("CODE", "NAME"),
        help="write the skeleton of a language, or, with a NAME, the words of that lesson or table",
    )
    c.add_argument("--new-lesson", metavar="ID", help="write the skeleton of a lesson of your own, with its questions")
    c.add_argument("--chapter", default="ground", metavar="CHAPTER", help="the chapter of that lesson (usually ground)")
    c = command(
        "work", "work one calculation and show how",
        "Works a calculation with your figures and shows every step. Example:\n"
        "  seatwork work loading.bench_height stick_length=10ft\n"
        "  seatwork work soil.loose bank_volume=100yd3 swell=25% --unit m3\n"
        "'seatwork calculations' lists the calculations and their inputs.",
    )  # fmt: skip
    c.add_argument("calculation", metavar="CALCULATION", help="its id, such as loading.bench_height")
    c.add_argument("values", nargs="*", metavar="name=value", help="inputs with their units, such as stick_length=10ft")
    c.add_argument("--unit", help="give the result in this unit")
    c.add_argument("--units", choices=("us", "metric"), help="unit system of the working (default: that of your figures)")
    c.add_argument("--json", action="store_true", help="print JSON for other programs")
    c = command(
        "calculations",
        "list the calculations, their inputs and sources",
        "Lists every calculation by topic: what it gives, what it needs, where it comes from.",
    )
    c.add_argument("topic", nargs="?", metavar="TOPIC", help="only this topic, such as loading")
    c.add_argument("--json", action="store_true", help="print JSON for other programs")
    _records(command)
    _package(command)
    return p


def _records(command: Callable[[str, str, str], argparse.ArgumentParser]) -> None:
    """The commands about results."""
    from generator.cli.records import day

    def as_of(c: argparse.ArgumentParser) -> None:
        c.add_argument("--as-of", type=day, metavar="DAY", help="mark as on this day, such as 2026-03-14 (default: now, UTC)")

    c = command(
        "tally", "mark results again and say who is ready",
        "Reads result files (.json, .txt), tables (.csv, .xlsx) and folders of them. Marks every answer again\n"
        "by the figures of its own edition; the score a browser showed is not trusted. Writes\n"
        "FOLDER/out/mentor/records: readiness.html, and tables for a spreadsheet.\n\n"
        "Results that are altered, truncated, foreign, duplicate or dated in the future are listed by name,\n"
        "and the rest count. That is no error: the exit status is 0. It is 2 only when nothing could be read.\n\n"
        "  slip codes     a table with the heading  code\n"
        "  paper answers  the table that seatwork paper wrote, filled in\n"
        "  sign-offs      crew, lesson, machine, date, mentor\n"
        "  seat time      person, machine, date, hours  [mentor, task, slope: yes or no]\n"
        "  talks          date, sheet, leader, crew  (ids with blanks between them)\n"
        "  orders         person, lesson, from, why  (to train again; lesson may be: all)\n"
        "  corrections    entry, says, by, why  (entry: a row's number, says: void or counts;\n"
        "                 or entry: a crew id, says: same person)\n\n"
        "The headings tell what a table is. Always read are FOLDER/signoffs.csv, hours.csv, talks.csv,\n"
        "retrain.csv and corrections.csv, or the sheets of these names in FOLDER's own workbook.\n\n"
        "With --watch it stays, and takes in what comes into the folders named, such as those where a web server\n"
        "puts what phones hand in: one line for each taking-in, and the report written again. Each file is read\n"
        "once, when it has stopped growing; the tables may be edited meanwhile. Stop with Ctrl+C. Example:\n"
        "  seatwork tally FOLDER /srv/handbook-hand-in --watch",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("results", type=Path, nargs="*", metavar="RESULT", help="files and folders (default: FOLDER/results)")
    c.add_argument("--out", type=Path, metavar="DIR", help="write the report here (default: FOLDER/out/mentor/records)")
    c.add_argument("--watch", action="store_true", help="stay, and take in what comes until stopped with Ctrl+C")
    c.add_argument("--every", type=seconds, default=5.0, metavar="S", help="with --watch: seconds between two looks (default 5)")
    as_of(c)
    _record(command)
    _register(command)
    c = command(
        "compare", "say which numbers changed between two editions",
        "Names the numbers that changed, by lesson, and who passed on numbers that no longer hold.\n"
        "OLD and NEW are ledger files, job site folders, or with --site names of editions. Example:\n"
        "  seatwork compare 2026-1 2026-2 --site mysite",
    )  # fmt: skip
    c.add_argument("old", metavar="OLD", help="the older ledger")
    c.add_argument("new", metavar="NEW", help="the newer ledger")
    c.add_argument("--site", type=Path, metavar="FOLDER", help="the job site, to say who passed")
    c.add_argument("--results", type=Path, nargs="+", metavar="RESULT", help="files and folders (default: FOLDER/results)")
    as_of(c)
    c = command(
        "paper", "print quizzes on paper, one for each person",
        "Writes FOLDER/out/mentor/paper: for each lesson and crew id a quiz with figures of its own, its key, and\n"
        "a table to type the answers into. Nothing of it goes into the web folder. Without --lesson all lessons\n"
        "of each person's role, without --crew all of the crew.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("--lesson", nargs="+", metavar="ID", help="only these lessons")
    c.add_argument("--crew", nargs="+", metavar="ID", help="only these people")
    c.add_argument(
        "--attempt", type=int, default=1, choices=range(1, 21), metavar="N", help="2 for a second try with new figures, and so on"
    )
    c.add_argument("--units", choices=("us", "metric"), help="unit system (default: that of settings.yml)")


def _package(command: Callable[[str, str, str], argparse.ArgumentParser]) -> None:
    """The command about learning systems."""
    c = command(
        "package", "write the handbook for a learning system",
        "Builds the handbook, then writes FOLDER/out/packages: one zip file of all lessons and one for each\n"
        "role, to upload to the learning system your company has. Each lesson is a unit with its quiz.\n"
        "The learning system gets the score, whether the try passed by this site's own marking, every answer,\n"
        "and a result code: put its codes into a table with the heading  code  for seatwork tally.\n\n"
        "FOLDER/learners.csv (learner, person) says which crew id a learner of that system has.\n"
        "No pass mark is written into a package; set none in the learning system, as it would overrule\n"
        "a try that missed a question that must be right.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("--standard", choices=("scorm-1.2", "scorm-2004", "cmi5", "qti-3"), default="scorm-1.2",
                   help="which open standard your learning system reads (default scorm-1.2); qti-3 writes the questions alone")  # fmt: skip
    c.add_argument("--out", type=Path, metavar="DIR", help="write the packages here (default: FOLDER/out/packages)")
    c.add_argument("--as-built", action="store_true", help="build nothing: package what the last build published")
    c.add_argument("--quiet", action="store_true", help="no progress lines")


def _register(command: Callable[[str, str, str], argparse.ArgumentParser]) -> None:
    """The command about the register."""
    c = command(
        "register", "say what the register holds and whether it stands",
        "FOLDER/register/register.sqlite3 keeps what was once taken in: results, sign-offs, talks, seat time,\n"
        "retraining, corrections. Its rows are only ever added, and each holds a hash of the one before.\n"
        "Without an option this says how many rows there are of each kind, and which is the last.\n\n"
        "--xapi writes statements of the Experience API (xAPI 1.0.3) for a learning record store:\n"
        "one JSON array, a statement a line, which is the body of a POST to its statements resource. Send it as often\n"
        "as you like: the same thing has the same id, so a store keeps it once. What counts here is passed or failed\n"
        "by this program's marking; what is held is attempted; what was taken out is voided; the rest is left out.\n"
        "People are ids. It tells what happened, not who is ready: ask seatwork tally for that.\n\n"
        "Exit status 2 with one line where a row does not hold.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("--verify", action="store_true", help="walk all rows and say the first that does not hold")
    c.add_argument("--export", action="store_true", help="verify, and write all rows to register/exports/DAY.csv: keep a copy elsewhere")
    c.add_argument("--copy", type=Path, metavar="FILE", help="verify, and write a whole copy of the register to FILE")
    c.add_argument("--forget", nargs="+", metavar="ID", help="take the names of people out who left; their rows stay, under the id alone")
    c.add_argument("--new-key", action="store_true", help="make the key that seals records, register/key.pem; never over one that is there")
    c.add_argument(
        "--mentor-codes",
        action="store_true",
        help="make a code for each mentor who has none, and a page of slips to cut: register/mentor-codes.html",
    )
    c.add_argument(
        "--new-code", nargs="+", metavar="ID", help="make these mentors new codes; what was signed with the old ones up to today holds"
    )
    c.add_argument("--xapi", action="store_true", help="verify, and write what counts as xAPI statements: register/xapi.json")
    c.add_argument("--names", action="store_true", help="with --xapi: names beside the ids")
    c.add_argument(
        "--home", metavar="ADDRESS", help="with --xapi: your own address for ids, such as https://training.example.com/; keep to one"
    )
    c.add_argument("--out", type=Path, metavar="FILE", help="with --xapi: write to this file")


def _record(command: Callable[[str, str, str], argparse.ArgumentParser]) -> None:
    """The command about records of persons and lessons."""
    from generator.cli.records import day

    c = command(
        "record", "write the training record of a person or a lesson, or check one",
        "Writes one printable page: what a person was trained on, when, by whom, on which machine and numbers,\n"
        "until when it holds and what is missing, with lines to sign; or who was trained on a lesson. Examples:\n"
        "  seatwork record mysite P-04\n"
        "  seatwork record mysite --lesson trench-walls --as-of 2026-03-31\n"
        "  seatwork record mysite --all --pdf            one for each person, and an index\n"
        "  seatwork record --check P-04.html --key key.pub   needs neither the site nor its register\n\n"
        "Where the site has a key (seatwork register FOLDER --new-key), a person's page carries a seal: a QR code\n"
        "that --check verifies. It proves who wrote the page and that nothing was changed since, not that it is\n"
        "true. Keep register/key.pem to yourself, and give register/key.pub to whoever has to check.",
    )  # fmt: skip
    c.add_argument("folder", type=Path, nargs="?", metavar="FOLDER", help="the folder with settings.yml and the tables")
    c.add_argument("person", nargs="?", metavar="PERSON", help="a crew id, such as P-04")
    c.add_argument("--lesson", metavar="ID", help="the record of a lesson instead")
    c.add_argument("--all", action="store_true", help="one record for each person, and an index of them")
    c.add_argument("--as-of", type=day, metavar="DAY", help="as it stood on this day, such as 2026-03-14 (default: now, UTC)")
    c.add_argument("--out", type=Path, metavar="DIR", help="write here (default: people or lessons in FOLDER/out/mentor/records)")
    c.add_argument("--pdf", action="store_true", help="print to PDF too (needs an installed Chromium-family browser)")
    c.add_argument(
        "--check", metavar="PAGE", help="verify a record's page, or its seal's text: a file, the text itself, or - for standard input"
    )
    c.add_argument("--key", type=Path, metavar="FILE", help="the site's public key for --check (default: FOLDER/register/key.pub)")


def _no_command(word: str) -> str:
    found = difflib.get_close_matches(word.lower()[:40], COMMANDS, n=1)
    if found:
        fix = f"did you mean {found[0]}?"
    elif Path(word).is_dir():
        fix = f"to build that folder: seatwork build {word}"
    else:
        fix = "seatwork --help lists the commands"
    return f"seatwork: there is no command '{word[:40]}'; {fix}"


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; the exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    p = parser()
    given = list(sys.argv[1:] if argv is None else argv)
    if given and not given[0].startswith("-") and given[0] not in COMMANDS:
        print(_no_command(given[0]), file=sys.stderr)
        return 2
    args = p.parse_args(given)
    if args.command is None:
        p.print_help()
        return 0
    try:
        from generator.cli import commands, package, record, records, register, sites

        modules = {
            "build": sites,
            "check": sites,
            "tally": records,
            "compare": records,
            "paper": records,
            "register": register,
            "record": record,
            "package": package,
        }
        module = modules.get(args.command, commands)
        # a command may settle how its site writes numbers, for itself alone
        return int(contextvars.copy_context().run(getattr(module, args.command), args))
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:
        return 0
    except (Refusal, Refusals) as e:
        print(e, file=sys.stderr)
        return 2
    except Exception as e:  # a mistake of a person is a refusal, so this is none
        return fault.told(e, given)
