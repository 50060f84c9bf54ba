"""The recipes of DEVELOPERS.md, carried out word for word in a copy of the project.

A recipe is a section whose heading starts with "Add". Its steps are lines of these forms, and
anything else that looks like a step is an error, so that no step is passed over in silence:

    Write `path`:                                       and a block: a new file
    Write over `path`:                                  and a block: all of a file that is there
    Add to the end of `path`:                           and a block
    In `path`, put this above the line with `text`:     and a block
    In `path`, write `new` in place of `old`.
    a block marked sh                                   commands to run
    a block marked text, right after it                 lines the last command prints, in order;
                                                        … stands for anything
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import ROOT

PAGE = ROOT / "DEVELOPERS.md"
COPIED = ("generator", "content", "tests", "pyproject.toml", "README.md", "LICENSE")
LONGEST = 120  # seconds of one command on a busy machine
FENCE = re.compile(r"```(\w*)$")
NAME = r"`([^`\n]+)`"
WRITE = re.compile(rf"Write {NAME}:")
WRITE_OVER = re.compile(rf"Write over {NAME}:")
APPEND = re.compile(rf"Add to the end of {NAME}:")
ABOVE = re.compile(rf"In {NAME}, put this above the line with {NAME}:")
REPLACE = re.compile(rf"In {NAME}, write {NAME} in place of {NAME}\.")
LOOKS_LIKE_A_STEP = re.compile(r"(Write|Add to|In|Put|Replace|Take out|Change) .*`")


class BadRecipe(AssertionError):
    """A recipe that cannot be followed, with the step it stops at."""


@dataclass(frozen=True)
class Edit:
    """One change of a file. ``how`` is write, over, append, above or replace."""

    how: str
    path: str
    text: str
    anchor: str = ""

    def carry_out(self, root: Path) -> None:
        """Change the file under ``root``. Raises BadRecipe where that cannot be done as said."""
        path = root / self.path
        if not path.resolve().is_relative_to(root.resolve()):
            raise BadRecipe(f"{self.path} lies outside the project")
        if self.how == "write":
            if path.exists():
                raise BadRecipe(f"{self.path} is there already; the recipe says to write it")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(self.text, "utf-8")
            return
        if not path.is_file():
            raise BadRecipe(f"{self.path} is not there; the recipe says to change it")
        if self.how == "over":
            path.write_text(self.text, "utf-8")
            return
        old = path.read_text("utf-8")
        if self.how == "append":
            path.write_text(old + self.text, "utf-8")
            return
        if old.count(self.anchor) != 1:
            raise BadRecipe(f"{self.path} holds {self.anchor!r} {old.count(self.anchor)} times, not once")
        at = old.index(self.anchor)
        if self.how == "above":
            at = old.rfind("\n", 0, at) + 1
            path.write_text(old[:at] + self.text + old[at:], "utf-8")
        else:
            path.write_text(old[:at] + self.text + old[at + len(self.anchor) :], "utf-8")


@dataclass(frozen=True)
class Run:
    """Commands, one a line, and the lines the last of them prints."""

    commands: tuple[str, ...]
    prints: tuple[str, ...] = ()

    def carry_out(self, root: Path) -> None:
        """Run the commands in ``root``. Raises BadRecipe where one fails or says something else."""
        said = ""
        for command in self.commands:
            said = _run(command, root)
        lines = iter(line.strip() for line in said.splitlines())
        for expected in self.prints:
            pattern = re.compile(".*".join(map(re.escape, expected.strip().split("…"))))
            # the iterator goes on where the last line was found: the order counts
            if not any(pattern.fullmatch(line) for line in lines):
                raise BadRecipe(f"{self.commands[-1]}\ndoes not print (in this order)\n{expected}\nbut\n{said}")


Step = Edit | Run


def _run(command: str, root: Path) -> str:
    words = shlex.split(command)
    starts = {"seatwork": [sys.executable, "-m", "generator"], "python": [sys.executable]}
    if words[0] not in starts:
        raise BadRecipe(f"{command}: a recipe runs seatwork or python, nothing else")
    # the tests inside must not take themselves for a worker of the run they are in
    env = {k: v for k, v in os.environ.items() if not k.startswith(("PYTEST_", "PYTHONPATH"))}
    env["PYTHONIOENCODING"] = "utf-8"
    done = subprocess.run(
        [*starts[words[0]], *words[1:]], cwd=root, env=env, timeout=LONGEST, encoding="utf-8",
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False,
    )  # fmt: skip
    if done.returncode:
        raise BadRecipe(f"{command}\nends with {done.returncode}:\n{done.stdout}")
    return done.stdout


def recipes(page: str) -> dict[str, list[Step]]:
    """The recipes of a page by heading, in order. Raises BadRecipe for a step that is no step."""
    sections: dict[str, list[str]] = {}
    here: list[str] = []
    inside = False  # of a block, where a heading is a lesson's
    for line in page.splitlines():
        if not inside and line.startswith("## "):
            here = sections[line[3:]] = []
        else:
            here.append(line)
            inside ^= bool(FENCE.match(line))
    return {h: list(_steps(h, lines)) for h, lines in sections.items() if h.startswith("Add ")}


def _steps(heading: str, lines: list[str]) -> Iterator[Step]:  # noqa: C901  one kind of step after another
    rows = iter(enumerate(lines))
    waiting: Edit | None = None  # an edit whose block comes next
    ran: Run | None = None  # commands whose text block may come next
    for at, line in rows:
        fence = FENCE.match(line)
        if fence:
            block = []
            for _, row in rows:
                if row == "```":
                    break
                block.append(row)
            else:
                raise BadRecipe(f"{heading}: the block in line {at + 1} does not end")
            if waiting is not None:
                if ran is not None:
                    yield ran
                ran = None
                yield Edit(waiting.how, waiting.path, "\n".join(block) + "\n", waiting.anchor)
                waiting = None
            elif fence[1] == "sh":
                if ran is not None:
                    yield ran
                ran = Run(tuple(c for c in block if c and not c.startswith("#")))
            elif fence[1] == "text" and ran is not None:
                yield Run(ran.commands, tuple(row for row in block if row.strip()))
                ran = None
            else:
                raise BadRecipe(f"{heading}: nothing says what to do with the block in line {at + 1}")
            continue
        if waiting is not None and line.strip():
            raise BadRecipe(f"{heading}: a block should follow {waiting.path!r}, not {line!r}")
        for how, form in (("write", WRITE), ("over", WRITE_OVER), ("append", APPEND), ("above", ABOVE)):
            if found := form.fullmatch(line):
                waiting = Edit(how, found[1], "", found[2] if how == "above" else "")
        if found := REPLACE.fullmatch(line):
            if ran is not None:
                yield ran
            ran = None
            yield Edit("replace", found[1], found[2], found[3])
        elif waiting is None and LOOKS_LIKE_A_STEP.match(line):
            raise BadRecipe(f"{heading}: this is no step a reader or a test could carry out: {line!r}")
    if waiting is not None:
        raise BadRecipe(f"{heading}: the block of {waiting.path!r} is missing")
    if ran is not None:
        yield ran


def copy_project(target: Path) -> Path:
    """What a change of the project needs, without what is built or installed."""
    target.mkdir()
    for name in COPIED:
        if (ROOT / name).is_dir():
            # compiled files come along, or each command would compile everything again
            shutil.copytree(ROOT / name, target / name)
        else:
            shutil.copy2(ROOT / name, target / name)
    return target


def test_each_recipe_changes_something_and_shows_it() -> None:
    found = recipes(PAGE.read_text("utf-8"))
    assert [heading.split(":")[0] for heading in found] == [
        "Add a calculation", "Add a drawing", "Add a lesson", "Add steps", "Add a question",
    ]  # fmt: skip
    for heading, steps in found.items():
        assert any(isinstance(s, Edit) for s in steps), heading
        assert any(isinstance(s, Run) for s in steps), heading
        assert isinstance(steps[-1], Run) and steps[-1].prints, f"{heading} ends without showing anything"


def test_a_newcomer_can_follow_the_recipes(tmp_path: Path) -> None:
    root = copy_project(tmp_path / "project")
    for heading, steps in recipes(PAGE.read_text("utf-8")).items():
        for number, step in enumerate(steps, 1):
            try:
                step.carry_out(root)
            except BadRecipe as e:
                pytest.fail(f"DEVELOPERS.md, {heading}, step {number}: {e}", pytrace=False)


# --- the test above can fail ----------------------------------------------------------------------

SAY = "python -c \"print(open('a.txt').read())\""
GOOD = f"""\
## Add a line

In `a.txt`, put this above the line with `second`:

```text
new
```

In `a.txt`, write `2nd` in place of `second`.

```sh
{SAY}
```

```text
new
2… line
```
"""


def follow(page: str, root: Path) -> None:
    (root / "a.txt").write_text("the first line\nsecond line\n", "utf-8")
    for steps in recipes(page).values():
        for step in steps:
            step.carry_out(root)


def test_steps_are_carried_out_in_order(tmp_path: Path) -> None:
    follow(GOOD, tmp_path)
    assert (tmp_path / "a.txt").read_text("utf-8") == "the first line\nnew\n2nd line\n"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("with `second`", "with `third`", "holds 'third' 0 times"),
        ("with `second`", "with `line`", "holds 'line' 2 times"),
        ("of `second`", "of `third`", "holds 'third' 0 times"),
        ("In `a.txt`, write", "In `b.txt`, write", "b.txt is not there"),
        ("In `a.txt`, put this above the line with `second`:", "Write `a.txt`:", "is there already"),
        ("In `a.txt`, put this above the line with `second`:", "Write `../b.txt`:", "outside the project"),
        ("In `a.txt`, put this above the line with `second`:", "Put this into `a.txt`:", "no step"),
        ("In `a.txt`, put this above the line with `second`:", "A block:", "nothing says what to do"),
        ("`second`.", "`second`, then save.", "no step"),
        ("print(", "exit(", "ends with 1"),
        ("python -c", "rm -c", "nothing else"),
        ("2… line", "2… row", "does not print"),
        ("new\n2… line", "2… line\nnew", "does not print"),
    ],
)  # fmt: skip
def test_a_recipe_that_cannot_be_followed_is_found(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert GOOD.count(old) == 1
    with pytest.raises(BadRecipe, match=re.escape(message)):
        follow(GOOD.replace(old, new), tmp_path)
