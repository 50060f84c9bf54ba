"""Slips in the settings' roles, and in the table of learners: each is a line that says where and what to write."""

from __future__ import annotations

import re

import pytest

from generator.jobsite.columns import LEARNERS
from generator.jobsite.grid import from_csv
from generator.jobsite.learners import MOST, read_learners
from generator.jobsite.settings import read_settings
from generator.source.log import Log
from tests.conftest import DEMO

TEXT = (DEMO / "settings.yml").read_text("utf-8")
HEAD, REST = TEXT.partition("\nroles:\n")[0], TEXT[TEXT.index("\n# This site's own limits") :]
AT = HEAD.count("\n") + 3  # the line of the first role
ROLE = "  one:\n    title: One\n    machines: [dozer]\n    lessons: [stop-work]\n"


def told(roles: str, lessons: frozenset[str] | None = frozenset({"stop-work"})) -> list[str]:
    """What is told of these roles in the demo's settings, with lines counted from that of the first role, which is line 1."""
    log = Log("settings.yml")
    read_settings(f"{HEAD}\nroles:\n{roles}{REST}", log, lessons)
    found = [str(p) for p in log.problems]
    return [re.sub(r"^settings.yml:(\d+):", lambda m: f"{int(m[1]) - AT + 1}:", line) for line in found if "roles" in line]


def test_roles_that_are_right_are_told_of_by_nothing() -> None:
    assert told(ROLE) == [] and told(ROLE, None) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("[dozer]", "[dozer, dozer]", "3:roles.one.machines: dozer stands twice; keep one of them"),
        ("[dozer]", "dozer", "3:roles.one.machines: a list is expected here; write it like machines: [dozer]"),
        ("[dozer]", "{dozer: yes}", "3:roles.one.machines: a list is expected here; write it like machines: [dozer]"),
        ("[dozer]", "[boat]", "3:roles.one.machines: "),
        ("[stop-work]", "[stop-work, stop-work]", "4:roles.one.lessons: the lesson stop-work stands twice; keep one of them"),
        ("[stop-work]", "[]", "4:roles.one.lessons: the role has no lessons; list at least one, such as stop-work"),
        ("[stop-work]", "[stop-wrk]", "4:roles.one.lessons: there is no lesson 'stop-wrk'; did you mean stop-work?"),
        ("    title: One\n", "", "1:roles.one: the role has no title; add title: to it"),
        ("    lessons: [stop-work]\n", "", "1:roles.one: the role has no lessons; add lessons: to it"),
        (
            "    title: One\n",
            "    ? [title]\n    : One\n",
            "2:roles.one: a name is expected before the colon; write it like title: Dozer operator",
        ),
    ],
)
def test_a_slip_in_a_role_is_told_with_its_line(old: str, new: str, says: str) -> None:
    assert old in ROLE
    found = told(ROLE.replace(old, new))
    assert any(line.startswith(says) for line in found), found


@pytest.mark.parametrize("lesson", ["Stop Work", "l" * 81, "stop work"])
def test_where_the_lessons_are_not_known_an_id_has_at_least_the_form_of_one(lesson: str) -> None:
    (line,) = told(ROLE.replace("[stop-work]", f"[{lesson}]"), None)
    assert line == f"4:roles.one.lessons: '{lesson[:60]}' is no lesson id; write an id such as stop-work"
    assert told(ROLE.replace("[stop-work]", f"[{'l' * 80}]"), None) == []


def test_there_is_a_role_and_no_two_are_told_apart_by_capitals_alone() -> None:
    assert any("there are no roles; add at least one" in line for line in told("  {}\n"))
    found = told(ROLE + ROLE.replace("  one:", "  ONE:"))
    assert any("is too much like 'one'; give one of them another id" in line and line.startswith("5:") for line in found), found


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("learner,person,person\na,C-01,C-01\n", ["learners.csv:1:person: the column person stands twice; keep one of them"]),
        ("learner\na\n", ["learners.csv:1: there is no column person; add it: a learner's id, and the crew id beside it"]),
        ("learner,person,team\na,C-01,x\n", ["learners.csv:1:team: unknown column 'team'; the columns are learner, person"]),
        ("learner,person\n,C-01\n", ["learners.csv:2:learner: the cell is empty; write the id by which"]),
        ("learner,person\na\n", ["learners.csv:2:person: the cell is empty; write the person's id in the table crew, or delete the row"]),
        (f"learner,person\n{'a' * (MOST + 1)},C-01\n", [f"learners.csv:2:learner: an id of {MOST + 1} characters; write the id alone"]),
        ("learner,person\na,C-09\n", ["learners.csv:2:person: nobody in the crew table has the id 'C-09'; "]),
        (
            "learner,person\na,C-01\nA,C-02\n",
            ["learners.csv:3:learner: the learner 'A' stands twice (first in line 2); keep one of the rows"],
        ),
        (f"learner,person\n{'a' * MOST},C-01\nb,C-01\n", []),
    ],
)
def test_a_slip_in_the_table_of_learners_is_told_with_its_line(text: str, says: list[str]) -> None:
    log = Log("learners.csv")
    found = read_learners(from_csv(text, log, tuple(LEARNERS.by_name)), log, {"C-01", "C-02"})
    lines = [str(p) for p in log.problems]
    assert len(lines) == len(says) and all(line.startswith(say) for line, say in zip(lines, says, strict=True)), lines
    assert set(found.people.values()) <= {"C-01", "C-02"} and (bool(says) or found.people == {"a" * MOST: "C-01", "b": "C-01"})
