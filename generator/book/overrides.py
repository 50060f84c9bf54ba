"""A site's own lessons, questions, words and sheets: which files they are, read safely, and what they replace.

A file in the job site folder replaces the shipped one of the same name, or adds to what is shipped:

    lessons/ID.md  questions/ID.yml          replace the shipped lesson or add one
    cautions.yml glossary.yml mistakes.yml cards.yml   entries replace or add, one by one
    chapters.yml                             titles of chapters, and further chapters
    allowed-figures.yml                      figures the site's lessons may hold, each with its reason
    sheets/tailgate.html sheets/frame.html   replace the shipped page of paper
    look/seatwork.css quiz.css sheet.css     added after the shipped look; pictures for lessons beside them

A file taken with ``seatwork own`` records the print of the shipped text it was taken from. Sites of one contractor may
share a folder of such files: they come before the site's own, which replace them in the same way.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from string import Template
from typing import Any

from generator.book.lesson import ID
from generator.book.style import wrong_css
from generator.jobsite.shared import Shared, shared_of
from generator.source.files import read_text
from generator.source.log import Log
from generator.source.near import suggest
from generator.source.problem import Problem, Refusal
from generator.source.yamltext import MappingNode, compose, load_yaml

MERGED = ("cautions.yml", "glossary.yml", "mistakes.yml", "cards.yml")
SINGLE = (*MERGED, "chapters.yml", "allowed-figures.yml")
ENDINGS = {"lessons": ".md", "questions": ".yml", "sheets": ".html"}
LOOKS = ("seatwork.css", "quiz.css", "sheet.css")
_PICTURES = {
    ".png": b"\x89PNG\r\n\x1a\n", ".jpg": b"\xff\xd8\xff", ".jpeg": b"\xff\xd8\xff", ".webp": b"RIFF", ".gif": b"GIF8",
}  # fmt: skip
_PICTURE_NAME = re.compile(r"[a-z0-9][a-z0-9._-]{0,80}")
_MOST_FILES = 300  # in one folder
_MOST_PICTURE = 4_000_000  # bytes
_LONGEST_ID = 60
_TAKEN = re.compile(r"^(?:#|\{#) (shipped|shared) (.+): ([0-9a-f]{12})(?: -?#\})?\s*$", re.MULTILINE)


@dataclass
class Overrides:
    """The site's own files as they were read: texts and pictures by name, such as ``lessons/x.md``.

    ``at`` stands before the names in messages. ``below`` are the files of the folder the site shares.
    """

    texts: dict[str, str] = field(default_factory=dict)
    pictures: dict[str, bytes] = field(default_factory=dict)
    at: str = ""
    below: Overrides | None = None

    @property
    def layers(self) -> tuple[Overrides, ...]:
        """What is shared, if anything, and then the site's own."""
        return (self,) if self.below is None else (self.below, self)

    def shown(self, name: str) -> str:
        """A file of these as messages name it."""
        return f"{self.at}{name}"

    def found(self, name: str) -> tuple[str, str] | None:
        """The text that counts of a file that is replaced whole, and how messages name it; None where there is none."""
        for layer in reversed(self.layers):
            if name in layer.texts:
                return layer.texts[name], layer.shown(name)
        return None

    def each(self, name: str) -> Iterator[tuple[str, str]]:
        """The texts of a file whose entries are put together, each with how messages name it: the last wins."""
        return ((layer.texts[name], layer.shown(name)) for layer in self.layers if name in layer.texts)

    @property
    def counting(self) -> dict[str, tuple[str, str]]:
        """The texts that count, by name, each with how messages name it."""
        return {name: found for layer in self.layers for name in layer.texts if (found := self.found(name)) is not None}

    @property
    def all_pictures(self) -> dict[str, bytes]:
        """The pictures by name, the site's own in the place of shared ones."""
        return {name: data for layer in self.layers for name, data in layer.pictures.items()}

    @property
    def of_files(self) -> set[str]:
        """How messages name the files of all layers."""
        return {layer.shown(name) for layer in self.layers for name in layer.texts}

    def lessons(self) -> Iterator[str]:
        """Ids of the site's own lessons, shared ones among them."""
        return (n[8:-3] for layer in self.layers for n in layer.texts if n.startswith("lessons/"))


def shown(name: str) -> str:
    """A file name that is safe to print on one line."""
    return "".join(ch if ch.isprintable() else "�" for ch in name)[:80]


def gather_all(site: Path, shipped: Path, problems: list[Problem], shared: Shared | None) -> Overrides:
    """Read the files of the folder that is shared, if any, and the site's own over them."""
    if shared is None:
        return gather(site, shipped, problems)
    found: list[Problem] = []
    below = gather(shared.folder, shipped, found)
    below.at = shared.under("")
    problems += map(shared.told, found)
    return gather(site, shipped, problems, below)


def gather_shared(site: Path, shipped: Path) -> Overrides | None:
    """The files of the folder a site shares, as far as they can be read; None where it shares none."""
    shared = shared_of(site)
    if shared is None:
        return None
    below = gather(shared.folder, shipped, [])
    below.at = shared.under("")
    return below


def gather(site: Path, shipped: Path, problems: list[Problem], below: Overrides | None = None) -> Overrides:
    """Read the site's own files. What cannot be read goes to ``problems``; nothing outside ``site`` is read."""
    own = Overrides(below=below)
    for name in SINGLE:
        if (site / name).exists() or (site / name).is_symlink():
            _read(site, name, own, problems)
    for sub, ending in ENDINGS.items():
        for entry in _entries(site, sub, problems):
            name = f"{sub}/{entry}"
            stem = entry.removesuffix(ending)
            if stem == entry:
                problems.append(
                    Problem.of(shown(name), None, f"files in {sub} end in {ending}", f"rename it to …{ending}, or move it elsewhere")
                )
            elif sub == "sheets":
                known = sorted(p.name for p in (shipped / "sheets").glob("*.html"))
                if entry in known:
                    _read(site, name, own, problems)
                else:
                    problems.append(
                        Problem.of(shown(name), None, "no sheet is called that", suggest(entry, known, f"use {', '.join(known)}"))
                    )
            elif not ID.fullmatch(stem) or len(stem) > _LONGEST_ID:
                problems.append(
                    Problem.of(
                        shown(name), None, "the name is no lesson id", "use small letters a to z, digits and single hyphens, at most 60"
                    )
                )
            else:
                _read(site, name, own, problems)
    for entry in _entries(site, "look", problems):
        _look(site, entry, own, problems)
    for name in (f"look/{entry}" for entry in LOOKS):
        found = wrong_css(own.texts.get(name, ""), own.all_pictures)
        problems.extend(Problem.of(name, line, what, fix) for line, what, fix in found)
    return own


def own_lesson_ids(site: Path) -> tuple[str, ...]:
    """Ids of the site's own lessons, readable or not."""
    names = _entries(site, "lessons", [])
    return tuple(s for n in names if n.endswith(".md") and ID.fullmatch(s := n.removesuffix(".md")) and len(s) <= _LONGEST_ID)


def _entries(site: Path, sub: str, problems: list[Problem]) -> list[str]:
    folder = site / sub
    try:
        if not folder.resolve(strict=True).is_relative_to(site.resolve()):
            problems.append(
                Problem.of(sub, None, "it is a link that leads out of the job site folder", f"put the files themselves into {sub}")
            )
            return []
        names = sorted(p.name for p in folder.iterdir() if not p.name.startswith(".") and not p.name.endswith(("~", ".bak")))
    except FileNotFoundError:
        if folder.is_symlink():
            problems.append(Problem.of(sub, None, "it is a link that leads nowhere", "delete it"))
        return []
    except (OSError, RuntimeError) as e:
        reason = getattr(e, "strerror", None) or "it cannot be opened"
        problems.append(Problem.of(sub, None, f"the folder cannot be read ({reason})", "make it a folder, or delete it"))
        return []
    if len(names) > _MOST_FILES:
        problems.append(Problem.of(sub, None, f"holds more than {_MOST_FILES} files", "keep only what belongs to the handbook"))
        return []
    return names


def _read(site: Path, name: str, own: Overrides, problems: list[Problem]) -> None:
    log = Log(name)
    text = read_text(site, name, "the site's own text", log)
    problems.extend(Problem.of(p.file, p.line, p.what, p.fix) for p in log.all())
    if text is not None:
        own.texts[name] = text


def _look(site: Path, entry: str, own: Overrides, problems: list[Problem]) -> None:
    name = f"look/{entry}"
    ending = Path(entry).suffix.lower()
    if ending == ".css" and entry in LOOKS:
        _read(site, name, own, problems)
        return
    if ending not in _PICTURES:
        problems.append(Problem.of(shown(name), None, "no look or picture is called that",
                                  suggest(entry, LOOKS, f"use {', '.join(LOOKS)}, or a picture: {', '.join(_PICTURES)}")))  # fmt: skip
        return
    if not _PICTURE_NAME.fullmatch(entry):
        problems.append(
            Problem.of(shown(name), None, "the name does not work in every browser", "use small letters a to z, digits, hyphens")
        )
        return
    path = site / name
    try:
        if not path.resolve(strict=True).is_relative_to(site.resolve()):
            problems.append(Problem.of(name, None, "it is a link that leads out of the job site folder", "put the picture itself there"))
            return
        if not path.is_file() or path.stat().st_size > _MOST_PICTURE:
            problems.append(
                Problem.of(name, None, f"it is no picture, or larger than {_MOST_PICTURE // 1_000_000} MB", "save a smaller one")
            )
            return
        data = path.read_bytes()
    except (OSError, RuntimeError) as e:
        problems.append(
            Problem.of(name, None, f"cannot be read ({getattr(e, 'strerror', None) or 'a circle of links'})", "check its access rights")
        )
        return
    if not data.startswith(_PICTURES[ending]):
        problems.append(Problem.of(name, None, f"it is no {ending} picture", "save it again in that format"))
        return
    own.pictures[entry] = data


# --- what was taken from the shipped text ---------------------------------------------------


def fingerprint(text: str) -> str:
    """The short fingerprint of a shipped text, the same on every system."""
    return hashlib.sha256(text.replace("\r\n", "\n").encode("utf-8")).hexdigest()[:12]


def fingerprint_of_entry(value: Any) -> str:
    """The short fingerprint of one entry of a table of words."""

    def bare(v: Any) -> Any:
        if isinstance(v, dict):
            return {str(k): bare(x) for k, x in v.items() if k != "__line__"}
        return [bare(x) for x in v] if isinstance(v, list) else " ".join(str(v).split())

    return fingerprint(json.dumps(bare(value), sort_keys=True, ensure_ascii=False))


def taken(text: str, of: str = "shipped") -> Mapping[str, str]:
    """The fingerprints a file records, by the name of what was taken ``of`` what is shipped, or shared."""
    return {m[2]: m[3] for m in _TAKEN.finditer(text) if m[1] == of}


def entries_of(path: Path) -> dict[str, str]:
    """The entries of a shipped table of words as they are written, by key."""
    return entries_in(path.read_text("utf-8"), f"content/{path.name}")


def entries_in(text: str, file: str) -> dict[str, str]:
    """The entries of a table of words as they are written, by key; none where it is no table. Raises Unreadable."""
    root = compose(text, file)
    if not isinstance(root, MappingNode):
        return {}
    starts = [k.start_mark.index for k, _ in root.value] + [len(text)]
    return {str(k.value): text[starts[i] : starts[i + 1]].rstrip() + "\n" for i, (k, _) in enumerate(root.value)}


def can_be_taken(shipped: Path, below: Overrides | None = None) -> list[str]:
    """Names of all that ``seatwork own`` can copy, in order; what is shared and not shipped among them."""
    names = [f"{sub}/{p.name}" for sub, ending in ENDINGS.items() for p in sorted((shipped / sub).glob(f"*{ending}"))]
    shared = sorted(n for n in below.texts if n.partition("/")[0] in ENDINGS) if below is not None else []
    entries = {file: list(entries_of(shipped / file)) for file in MERGED}
    for file in MERGED if below is not None else ():
        entries[file] += _shared_entries(below, file)
    return list(dict.fromkeys([*names, *shared, *(f"{file}:{key}" for file in MERGED for key in entries[file])]))


def _shared_entries(below: Overrides | None, file: str) -> dict[str, str]:
    """The entries of a shared table of words as they are written."""
    if below is None or file not in below.texts:
        return {}
    return entries_in(below.texts[file], below.shown(file))


def take(site: Path, shipped: Path, name: str, below: Overrides | None = None) -> Path:
    """Copy one text into the site, with the print it is taken from; the file written. What is shared goes before what is shipped.

    Never writes over anything and never outside ``site``. Raises Refusal, or OSError.
    """
    known = can_be_taken(shipped, below)
    if name not in known:
        raise Refusal.of(shown(name), None, "nothing that is shipped is called that",
                        suggest(name, known, "'seatwork own FOLDER' lists what there is"))  # fmt: skip
    file, _, key = name.partition(":")
    target = site / file
    parent = target.parent
    if not parent.resolve().is_relative_to(site.resolve()) or target.is_symlink():
        raise Refusal.of(file, None, "it is a link that leads out of the job site folder", "put a folder or file there")
    if key:
        shared = _shared_entries(below, file)
        if key in shared:
            assert below is not None
            value = load_yaml(below.texts[file], below.shown(file))[key]
            _take_entry(target, f"# shared {key}: {fingerprint_of_entry(value)}\n{shared[key]}", file, key)
        else:
            value = load_yaml((shipped / file).read_text("utf-8"), file)[key]
            _take_entry(target, f"# shipped {key}: {fingerprint_of_entry(value)}\n{entries_of(shipped / file)[key]}", file, key)
        return target
    if target.exists():
        raise Refusal.of(file, None, "the site has its own already", "edit that one, or move it away first")
    found = below.found(file) if below is not None else None
    text = found[0] if found is not None else (shipped / file).read_text("utf-8")
    mark = f"# {'shipped' if found is None else 'shared'} {file}: {fingerprint(text)}\n"
    if file.endswith(".md"):
        made = text.replace("---\n", "---\n" + mark, 1)
    elif file.endswith(".html"):
        made = f"{{{mark.rstrip()} -#}}\n{text}"
    else:
        made = mark + text
    parent.mkdir(exist_ok=True)
    with target.open("x", encoding="utf-8", newline="\n") as f:
        f.write(made)
    return target


SKELETON = "# skeleton:"  # stands in a new lesson until its words are the site's own


def new_lesson(site: Path, shipped: Path, id_: str, chapter: str) -> tuple[Path, Path]:
    """Write the skeleton of a lesson of the site's own and its questions, which pass a check; the files written.

    Never writes over anything and never outside ``site``. Raises Refusal, or OSError.
    """
    if not ID.fullmatch(id_) or len(id_) > _LONGEST_ID:
        raise Refusal.of(shown(id_), None, "it is no lesson id", "use small letters a to z, digits and single hyphens, at most 60")
    files = (f"lessons/{id_}.md", f"questions/{id_}.yml")
    for file in files:
        target = site / file
        if (shipped / file).is_file():
            raise Refusal.of(file, None, "a shipped lesson is called that", f"'seatwork own FOLDER {file}' copies it; or take another id")
        if not target.parent.resolve().is_relative_to(site.resolve()) or target.is_symlink():
            raise Refusal.of(file, None, "it is a link that leads out of the job site folder", "put a folder or file there")
        if target.exists():
            raise Refusal.of(file, None, "the site has its own already", "edit that one, or take another id")
    words = {"id": id_, "title": id_.replace("-", " ").capitalize(), "chapter": chapter}
    for file, skeleton in zip(files, ("new-lesson.md", "new-questions.yml"), strict=True):
        text = Template((shipped / "starter" / skeleton).read_text("utf-8")).substitute(words)
        (site / file).parent.mkdir(exist_ok=True)
        with (site / file).open("x", encoding="utf-8", newline="\n") as f:
            f.write(text)
    return site / files[0], site / files[1]


def _take_entry(target: Path, made: str, file: str, key: str) -> None:
    text = ""
    if target.exists():
        text = target.read_text("utf-8-sig")
        there = load_yaml(text, file) or {}
        if not isinstance(there, dict):
            raise Refusal.of(
                file, 1, "is no list of names with a text each", f"write each entry as 'name: text', or move {file} away first"
            )
        if key in there:
            raise Refusal.of(file, None, f"the site has its own '{key}' already", "edit that one")
    # behind what is there, which stays as it is to the byte
    with target.open("a", encoding="utf-8", newline="\n") as f:
        f.write(made if not text or text.endswith("\n") else f"\n{made}")
