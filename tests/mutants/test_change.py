"""The maker of wrong versions: what it changes, that each version is one change, and the files beside it."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from tests.conftest import ROOT
from tests.mutants.__main__ import HERE, MODULES, PACKAGES, all_mutants, drawn, gone_through, judges, summed_up
from tests.mutants.change import Mutant, is_excused, mutants, unused
from tests.mutants.runner import Copy, Unfit


def news(source: str) -> set[tuple[str, str]]:
    return {(m.old, m.new) for m in mutants("a.py", source)}


@pytest.mark.parametrize(
    ("source", "wanted"),
    [
        ("x = a < b", {("a < b", "a <= b"), ("a < b", "a > b")}),
        ("x = a in b", {("a in b", "a not in b")}),
        (
            "x = a < b <= c",
            {("a < b <= c", "a <= b <= c"), ("a < b <= c", "a > b <= c"), ("a < b <= c", "a < b < c"), ("a < b <= c", "a < b > c")},
        ),
        ("x = a + b", {("a + b", "a - b")}),
        ("x = a * b / c", {("a * b / c", "a * b * c"), ("a * b", "a / b")}),
        ("x = 'é' + b\ny = a // b", {("a // b", "a * b")}),
        ("x = a and b or c", {("a and b or c", "(a and b) and c"), ("a and b", "a or b")}),
        ("x = not a", {("not a", "a")}),
        ("x = a if b else c", {("a if b else c", "c if b else a")}),
        ("x = 3", {("3", "4"), ("3", "2")}),
        ("x = 0", {("0", "1")}),
        ("x = 2.5", {("2.5", "2.75")}),
        ("x = True", {("True", "False")}),
        ("def f():\n    return a", {("return a", "return None")}),
        ("def f() -> int | None:\n    return None", set()),
        ("def f() -> bool:\n    return False", {("False", "True")}),
        ("assert a and b < c", {("b < c", "b <= c"), ("b < c", "b > c")}),
        ("assert a or b", {("a or b", "a and b")}),
        ("@d(n=3)\ndef f(a: int | None = None): pass", set()),
        ("x = zip(a, b, strict=True)", set()),
        ("x = f'{a + 1}'\ny = 'a'\n'docs'", set()),
    ],
)
def test_what_is_changed(source: str, wanted: set[tuple[str, str]]) -> None:
    assert news(source) == wanted


def test_each_version_is_one_change_and_its_line_is_right() -> None:
    source = "é = 'ö'\n\ndef f(a, b):\n    if a < b and (\n        b > 3\n    ):\n        return a\n    return b\n"
    before = ast.dump(ast.parse(source))
    found = list(mutants("a.py", source))
    assert {m.line for m in found} == {4, 5, 7, 8}
    assert len({m.source for m in found}) == len(found) == len({m.name for m in found})
    for m in found:
        assert ast.dump(ast.parse(m.source)) != before
        assert m.source.split("\n")[0] == "é = 'ö'"


def test_a_name_does_not_depend_on_the_line() -> None:
    source = "def f(a):\n    return a < 1\n\n\ndef g(a):\n    return a < 1 or a < 1\n"
    first, second = ([m.name for m in mutants("a.py", s)] for s in (source, "\n\n# moved\n" + source))
    assert first == second and len(set(first)) == len(first)
    assert "a.py f: a < 1 -> a <= 1" in first and "a.py g: a < 1 -> a <= 1 #2" in first


def test_the_same_seed_draws_the_same_and_every_package_takes_its_turn() -> None:
    found = all_mutants()
    first, again, other = drawn(found, 1), drawn(found, 1), drawn(found, 2)
    assert [m.name for m in first] == [m.name for m in again] != [m.name for m in other]
    assert len(first) == len(found) > 3000
    packages = {*PACKAGES, *(module.partition("/")[0] for module in MODULES)}
    assert {m.module.partition("/")[0] for m in first[: len(packages)]} == packages


def test_every_module_has_tests_and_every_excuse_a_version() -> None:
    table = yaml.safe_load((HERE / "tests_of.yml").read_text("utf-8"))
    found = all_mutants()
    assert [m for m in {m.module for m in found} if not judges(m, table)] == []
    assert [t for tests in table.values() for t in tests if not (ROOT / t).exists()] == []
    excused = yaml.safe_load((HERE / "excused.yml").read_text("utf-8"))
    assert unused(excused, [m.name for m in found]) == []
    assert all(isinstance(reason, str) and len(reason) > 20 for reason in excused.values())


def test_a_planted_version_is_noticed_and_taken_out_again(tmp_path: Path) -> None:
    copy = Copy(tmp_path)
    (tmp_path / "check.py").write_text(
        "from generator.records.mark import needed\nfrom pathlib import Path\nimport generator\n\n"
        "def test_it():\n    assert needed(0.8, 10) == 8 and Path(generator.__file__).parent.parent == Path(__file__).parent\n", "utf-8",
    )  # fmt: skip
    target = tmp_path / "generator/records/mark.py"
    good = target.read_bytes()
    assert copy.run(["check.py"], 120)[0]
    wrong = next(m for m in mutants("records/mark.py", good.decode()) if m.old == "pass_mark * count" and m.new == "pass_mark / count")
    assert copy.plant(wrong, ["check.py"])
    blind = next(m for m in mutants("records/mark.py", good.decode()) if "_label" in m.name)
    assert not copy.plant(blind, ["check.py"])
    (tmp_path / "bad.py").write_text("def test_it(): assert False\n", "utf-8")
    for _ in range(2):
        with pytest.raises(Unfit, match=r"bad\.py"):
            copy.plant(blind, ["check.py", "bad.py"])
    assert copy.plant(wrong, ["check.py", "bad.py"])  # noticed before it comes to that one
    assert target.read_bytes() == good and (ROOT / "generator/records/mark.py").read_bytes() == good


def test_an_excuse_names_a_version_or_all_of_a_function() -> None:
    excused = {"a.py f: 1 -> 2": "one", "a.py g: *": "all", "b.py h: *": "gone"}
    names = ["a.py f: 1 -> 2", "a.py f: 1 -> 0", "a.py g: 3 -> 4"]
    assert [is_excused(n, excused) for n in names] == [True, False, True]
    assert unused(excused, names) == ["b.py h: *"]


def three(*noticed: bool | str) -> Iterator[tuple[Mutant, bool | str]]:
    """A run of wrong versions of one function that is ended by Ctrl-C."""
    yield from zip(mutants("units/a.py", "x = 1 + 2 + 3 + 4"), noticed, strict=False)
    raise KeyboardInterrupt


def test_what_was_found_is_told_although_a_test_fails_by_itself_and_the_run_is_ended(capsys: pytest.CaptureFixture[str]) -> None:
    run = gone_through(three(True, "tests/bad.py", False, "tests/bad.py", True), math.inf)
    told = capsys.readouterr().out
    assert told.count("without any change this fails: tests/bad.py") == 1 and told.endswith("ended by hand\n") and run.code == 2
    assert (run.tried["units"], run.caught["units"]) == (3, 2)
    (survivor,) = run.survivors
    assert summed_up(run, 5, ["b.py f: 1 -> 2"]) == [
        "", "units: 2 of 3 noticed (67%)", "all: 2 of 3 noticed (67%), 5 excused", "", "not noticed, by name for excused.yml:",
        "  generator/units/a.py:1", f"    {survivor.name}", "without any change tests/bad.py fails: 2 not counted",
        "excused.yml names a version that is no more: b.py f: 1 -> 2",
    ]  # fmt: skip


def test_a_run_ends_in_time_and_its_code_says_whether_all_was_noticed() -> None:
    late = gone_through(three(False, True), -math.inf)
    assert late.tried.total() == 1 and late.code == 1
    assert gone_through(three(True), math.inf).code == 0
    assert summed_up(gone_through(three(), math.inf), 0, ()) == ["", "all: 0 of 0 noticed"]
