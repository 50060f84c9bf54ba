"""The chain, worked out again without the program: SHA-256 as FIPS 180-4 has it, over the text that is documented."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import hypothesis
import hypothesis.strategies as st

from generator.register.chain import canonical, digest, link, text_of
from generator.register.entry import New
from tests.register.rows import begun, six

BY_SQLITE = """SELECT e.chain, json_array(
  ifnull((SELECT before.chain FROM entry AS before WHERE before.n = e.n - 1), ''), e.n, e.kind, e.day, e.at, e.taken,
  e.crew, e.lesson, e.machine, e.edition, e.about, json(e.body), e.digest) FROM entry AS e ORDER BY e.n"""


def texts(path: Path) -> Iterator[tuple[str, str]]:
    with closing(sqlite3.connect(path)) as db:
        yield from db.execute(BY_SQLITE).fetchall()


def test_the_hash_is_that_of_the_standard() -> None:
    """The digest of the message abc: FIPS 180-4, examples of SHA-256 (from memory)."""
    assert hashlib.sha256(b"abc").hexdigest() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    row = (1, "k", "d", "a", "t", "c", "l", "m", "e", None, "{}", "x")
    assert text_of("", row) == '["",1,"k","d","a","t","c","l","m","e",null,{},"x"]'
    assert digest("k", "i") == hashlib.sha256(b'["k","i"]').hexdigest()


def test_every_row_is_chained_as_documented(tmp_path: Path) -> None:
    """Worked out from the columns alone, with a JSON writer of its own."""
    path = begun(tmp_path)
    before = ""
    with closing(sqlite3.connect(path)) as db:
        rows = db.execute("SELECT * FROM entry ORDER BY n").fetchall()
        heads = [c[0] for c in db.execute("SELECT * FROM entry").description]
    assert heads == ["n", "kind", "day", "at", "taken", "crew", "lesson", "machine", "edition", "about", "body", "digest", "chain"]
    for *columns, chain in rows:
        columns[10] = json.loads(columns[10])
        text = json.dumps([before, *columns], ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        assert hashlib.sha256(text.encode()).hexdigest() == chain
        before = chain
    assert len(rows) == 6


def test_the_tools_of_the_system_agree(tmp_path: Path) -> None:
    tools = [t for t in (["sha256sum"], ["shasum", "-a", "256"], ["openssl", "dgst", "-r", "-sha256"]) if shutil.which(t[0])]
    for chain, text in texts(begun(tmp_path)):
        for tool in tools:
            done = subprocess.run(tool, input=text.encode(), capture_output=True, check=True)
            assert done.stdout.split()[0].decode() == chain


words = st.text(st.characters(exclude_categories=(), max_codepoint=0x10FFFF), max_size=6)
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3), max_leaves=6,
)  # fmt: skip


@hypothesis.given(st.lists(st.tuples(words, words, st.dictionaries(words, values, max_size=4)), min_size=1, max_size=4))
def test_sqlite_writes_the_same_text_whatever_is_in_a_row(made: list[tuple[str, str, dict[str, object]]]) -> None:
    with closing(sqlite3.connect(":memory:")) as db:
        for crew, kind, body in made:
            text = canonical(body)
            assert canonical(json.loads(text)) == text
            columns = json.loads(canonical([crew, kind]))
            row = (7, columns[1], "", "", "", columns[0], "", "", "", None, text, "0")
            asked = "SELECT json_array('c', 7, ?, '', '', '', ?, '', '', '', NULL, json(?), '0')"
            assert db.execute(asked, (columns[1], columns[0], text)).fetchone()[0] == text_of("c", row)


def test_each_part_of_a_row_moves_its_chain() -> None:
    row = (1, "k", "d", "a", "t", "c", "l", "m", "e", None, "{}", "x")
    chains = {link("", row), link("0", row)}
    for at, value in enumerate(row):
        other = 2 if at in {0, 9} else '{"a":1}' if at == 10 else f"{value}."
        chains.add(link("", (*row[:at], other, *row[at + 1 :])))  # type: ignore[arg-type]
    assert len(chains) == 2 + len(row)
    moved = (1, "k", "d", "a", "t", "cl", "", "m", "e", None, "{}", "x")
    assert link("", moved) not in chains  # a letter from one column in the next


def test_the_same_rows_make_the_same_file_content_anywhere(tmp_path: Path) -> None:
    one, two = begun(tmp_path / "a"), begun(tmp_path / "b", [New(**{f: getattr(n, f) for f in n.__slots__}) for n in six()])
    assert list(texts(one)) == list(texts(two))


def test_a_figure_that_json_cannot_hold_is_kept_as_a_word() -> None:
    """JSON knows neither infinity nor what is no number (RFC 8259, section 6): as a bare word no other program could read the row."""
    text = canonical({"hours": [float("nan"), float("inf"), -float("inf"), 6.5]})
    assert text == '{"hours":["nan","inf","-inf",6.5]}' and json.loads(text)
