"""Twenty thousand rows: few statements, questions by an index, and a chain that holds."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from generator.register.store import Register
from tests.register.rows import TAKEN, result

MANY = 20_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("many")
    new = [result(n, f"P-{n % 150:03}", f"lesson-{n % 40}") for n in range(MANY)]
    with Register.open(made, create=True) as r:
        seen: set[str] = set()  # a statement is told again for each trigger it sets off
        r._db.set_trace_callback(seen.add)
        answers = r.take(new, TAKEN)
        r._db.set_trace_callback(None)
    assert answers == [(n + 1, True) for n in range(MANY)]
    asked = Counter(s.split(maxsplit=1)[0] for s in seen)
    # one for a row and one for its place, and one for each 500 digests
    assert asked["INSERT"] == 2 * MANY and asked["SELECT"] <= MANY // 500 + 2 and asked["BEGIN"] == asked["COMMIT"] == 1, asked
    return made


def test_all_of_it_holds_and_is_taken_in_once(folder: Path) -> None:
    with Register.open(folder, write=True) as r:
        again = r.take([result(n, f"P-{n % 150:03}", f"lesson-{n % 40}") for n in range(MANY)], TAKEN)
        assert again == [(n + 1, False) for n in range(MANY)]
        walked = r.verify()
        assert walked.problem is None and walked.rows == MANY


@pytest.mark.parametrize(("asked", "index", "rows"), [
    ({"crew": "P-007"}, "entry_crew", MANY // 150 + 1), ({"lesson": "lesson-7"}, "entry_lesson", MANY // 40), ({"about": 5}, "entry_about", 0),
    ({"kind": "talk"}, "entry_kind", 0),
])  # fmt: skip
def test_questions_go_by_an_index_and_need_no_sorting(folder: Path, asked: dict[str, object], index: str, rows: int) -> None:
    with Register.open(folder) as r:
        seen: list[str] = []
        r._db.set_trace_callback(seen.append)
        assert len(list(r.entries(**asked))) == rows  # type: ignore[arg-type]
        r._db.set_trace_callback(None)
        plan = " / ".join(str(p[3]) for p in r._db.execute(f"EXPLAIN QUERY PLAN {seen[0]}"))
    assert f"USING INDEX {index}" in plan and "SCAN" not in plan and "TEMP B-TREE" not in plan, plan


def test_all_rows_come_in_order_without_sorting(folder: Path) -> None:
    with Register.open(folder) as r:
        seen: list[str] = []
        r._db.set_trace_callback(seen.append)
        assert next(r.entries()).n == 1
        r._db.set_trace_callback(None)
        plan = " / ".join(str(p[3]) for p in r._db.execute(f"EXPLAIN QUERY PLAN {seen[0]}"))
    assert "TEMP B-TREE" not in plan, plan
