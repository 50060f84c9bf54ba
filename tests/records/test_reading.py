"""Reading what was handed in: files cut anywhere, slips typed wrong, tables. Worked out by hand where no source is named."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.jobsite.grid import GridRow
from generator.records.flags import NAMES, Flag, Refused
from generator.records.letters import slip_letters, sum_letters
from generator.records.results import MOST_DEEP, Given, canonical, objects, read_file, read_slip, sound
from generator.records.signoffs import NO_HOURS, hours_of
from generator.records.tables import KINDS, HandedIn, read_table
from tests.records.small import signed
from tests.records.test_marking import file, slip

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def refused(text: str) -> tuple[str, str]:
    with pytest.raises(Refused) as told:
        objects(text)
    return told.value.name, told.value.what


# --- files --------------------------------------------------------------------------------------


def test_a_result_cut_off_anywhere_is_called_cut_off() -> None:
    text = json.dumps(file(crew="Ines {1}", answer={"answer": [0, 2]}))
    known = text.index("seatwork_result") + len("seatwork_result")
    for end in range(known, len(text)):
        assert refused(text[:end])[0] == "truncated", text[:end]
        assert refused(text[:end] + "\n")[0] == "truncated", text[:end]
    assert len(objects(text)) == 1


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ('{"seatwork_result":1,"crew":"P-01}', "truncated"),  # a text without its end, whatever the last sign
        ('{"seatwork_result":1,"crew":nul', "truncated"), ('{"seatwork_result":1,"answers":[1,}', "truncated"),
        ('{"seatwork_result":1 "crew":"P-01","tries":1}', "unreadable"), ('{"seatwork_result":1,"crew":P-01,"tries":[1]}', "unreadable"),
        ('{"another":1,"crew":"P-0', "unreadable"), ("hello", "unreadable"), ('{"seatwork_result": NaN, "tries": 1}', "unreadable"),
    ],
)  # fmt: skip
def test_what_is_cut_off_and_what_is_no_result(text: str, name: str) -> None:
    assert refused(text)[0] == name


@pytest.mark.parametrize(("before", "line"), [("", 1), ('{"a": 1}\n', 2), ("\n\n\n", 4), ('[1,\n2]\n\n{"a":\n1}\n', 6)])
def test_the_line_of_what_cannot_be_read_is_told(before: str, line: int) -> None:
    assert refused(before + "hello") == ("unreadable", f"this is no result file (line {line})")


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        # whole numbers have their digits up to 10^21, from there on an exponent: ECMA-262, Number::toString (from memory)
        ("1.0", "1"), ("0.80", "0.8"), ("2.5", "2.5"), ("-3.0", "-3"), ("1e20", "100000000000000000000"), ("1e21", "1e+21"), ("1.05e21", "1.05e+21"),
        ("-1e21", "-1e+21"),
    ],
)  # fmt: skip
def test_a_number_saved_again_with_a_point_checks_as_the_player_wrote_it(typed: str, plain: str) -> None:
    assert canonical(objects(typed)[0][1]) == plain


def test_letters_beyond_ascii_are_checked_as_escapes() -> None:
    # the G clef, U+1D11E, is escaped as uD834 uDD1E, each behind a backslash: RFC 8259, section 7 (from memory)
    assert canonical({"b": "\U0001d11e", "a": 1}).upper() == '{"A":1,"B":"\\UD834\\UDD1E"}'
    assert read_file(file(crew="Søren \U0001d11e"), "x").crew == "Søren \U0001d11e"


def test_a_check_is_of_all_that_stands_in_the_file() -> None:
    good = file()
    assert len(good["check"]) == 8 and set(good["check"]) <= set("0123456789abcdef")
    read_file(good, "x")
    for key in sorted(good.keys() - {"check", "seatwork_result"}):
        with pytest.raises(Refused, match="its check does not fit") as told:
            read_file(good | {key: [good[key]]}, "x")
        assert told.value.name == "altered"
    with pytest.raises(Refused, match="its check does not fit"):
        read_file(good | {"note": "passed"}, "x")
    with pytest.raises(Refused, match="its check does not fit"):
        read_file(good | {"check": None}, "x")


@pytest.mark.parametrize("answer", ["5 ft", [0]])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_an_answer_is_in_the_units_it_was_given_in(units: str, answer: Any) -> None:
    found = read_file(file(answer={"units": units, "answer": answer}), "x").answers[0]
    assert found == Given("one-1", None, 0, units, answer if isinstance(answer, str) else tuple(answer))  # type: ignore[arg-type]


def test_a_try_may_begin_and_end_in_the_same_second() -> None:
    at = "2026-03-10T09:00:00Z"
    assert read_file(file(started=at, finished=at, answer={"at": at}), "x").finished == datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


@pytest.mark.parametrize("inside", ["list", "object"])
def test_lists_and_objects_in_one_another_count_alike(inside: str) -> None:
    deep: Any = 1
    for _ in range(MOST_DEEP - 2):  # the file and the value within are levels too
        deep = [deep] if inside == "list" else {"a": deep}
    read_file(signed(file(), extra=deep), "x")
    with pytest.raises(Refused, match="nested far deeper") as told:
        read_file(signed(file(), extra=[deep]), "x")
    assert told.value.name == "unreadable"
    with pytest.raises(Refused, match="nested far deeper"):
        read_file(signed(file(), extra=[1, {"b": 2}, deep, [deep], 3]), "x")  # wherever it is


def test_a_refused_file_names_whose_it_says_it_is_and_no_more_of_a_long_name() -> None:
    for crew, told_crew in (("x" * 40, "x" * 40), ("x" * 60, "x" * 40), (7, "")):
        with pytest.raises(Refused) as told:
            read_file(signed(file(), crew=crew, answers=[]), "x")
        assert (told.value.crew, told.value.lesson) == (told_crew, "bench")
    with pytest.raises(Refused, match="this is no result of a quiz"):
        read_file([1], "x")
    with pytest.raises(Refused, match="it lacks edition, tries; ask for the file"):
        read_file({k: v for k, v in file().items() if k not in {"tries", "edition"}}, "x")
    with pytest.raises(Refused, match=r"question q{40} has an answer"):
        read_file(file(answer={"q": "q" * 60, "answer": {}}), "x")


# --- slips --------------------------------------------------------------------------------------


def code(bits: str) -> str:
    """Bits as a slip's letters with their last group, filled up with noughts to whole groups."""
    bits += "0" * (-len(bits) % 20)
    letters = "".join(LETTERS[int(bits[i : i + 5], 2)] for i in range(0, len(bits), 5))
    return letters + sum_letters(letters)


def grouped(letters: str) -> str:
    return "-".join(letters[i : i + 4] for i in range(0, len(letters), 4))


def fix(typed: str) -> str:
    with pytest.raises(Refused) as told:
        read_slip(typed, "x")
    return told.value.fix


def test_the_last_group_is_the_hash_folded_to_four_letters() -> None:
    # FNV-1a of "" and "foobar" by the published test vectors (from memory): 811C9DC5 and BF9CF968. Folded to 20 bits:
    # 811 xor C9DC5 = C95D4, which is 25 5 14 20 in fives; BF9 xor CF968 = CF291, which is 25 28 20 17
    assert sum_letters("") == "".join(LETTERS[i] for i in (25, 5, 14, 20))
    assert sum_letters("foobar") == "".join(LETTERS[i] for i in (25, 28, 20, 17))


def test_letters_that_look_alike_are_read_alike() -> None:
    assert slip_letters(" o0-iL 1–a—b_c.d ") == "00111ABCD"


def test_a_letter_mistyped_in_any_group_is_found() -> None:
    good = slip()
    for at, letter in enumerate(good):
        new = LETTERS[(LETTERS.index(letter) + 7) % 32]
        typed = good[:at] + new + good[at + 1 :]
        group = at // 4
        was, is_ = (x[4 * group : 4 * group + 4] for x in (good, typed))
        assert fix(grouped(typed)) == f"look at group {group + 1}: does the slip say {was} there, not {is_}?"


def test_neighbours_swapped_are_found_within_a_group_only() -> None:
    good = slip()
    for at in range(len(good) - 1):
        if good[at] == good[at + 1]:
            continue
        typed = good[:at] + good[at + 1] + good[at] + good[at + 2 :]
        group = at // 4
        if at % 4 == 3:
            assert fix(grouped(typed)).startswith("compare it with the slip, letter by letter; ")
        else:
            assert fix(grouped(typed)).startswith(f"look at group {group + 1}: does the slip say {good[4 * group : 4 * group + 4]} there")


def test_what_is_told_where_no_single_slip_explains_it() -> None:
    good = slip()
    groups = len(good) // 4
    last = good[:-3] + "".join(LETTERS[(LETTERS.index(x) + 5) % 32] for x in good[-3:])
    assert fix(grouped(last)) == f"compare it with the slip, letter by letter; {groups} groups were typed"
    assert fix(good[:-4]) == f"compare it with the slip, letter by letter; {groups - 1} groups were typed"
    # typed without hyphens there are no groups to count letters in
    assert fix(good[:5] + good[6:]) == f"compare it with the slip, letter by letter; {groups} groups were typed"
    assert fix(grouped(good[:5] + good[6:])) == f"look at group {groups}, '{good[-3:]}': each group has 4 letters"
    assert fix(grouped(good[:8]) + "-" + good[8:-1]).startswith("look at group 3, '")
    assert fix(good[:3] + "-" + grouped(good[4:])) == f"look at group 1, '{good[:3]}': each group has 4 letters"


def test_a_long_code_is_not_searched() -> None:
    """A search of a code of 400 letters is as long as may be; a code longer than 2,000 letters is none."""

    def mistyped(length: int) -> str:
        payload = slip()[:-4] + "0" * (length - len(slip()))
        good = payload + sum_letters(payload)
        return fix(grouped(good[:1] + ("7" if good[1] != "7" else "8") + good[2:]))

    assert mistyped(400).startswith("look at group 1: ")
    assert mistyped(404) == "compare it with the slip, letter by letter; 101 groups were typed"
    for length, said in ((4, "is no slip code"), (8, "a layout this program"), (2000, "a layout this program"), (2004, "is no slip code")):
        payload = "0" * (length - 4)
        with pytest.raises(Refused, match=said):
            read_slip(payload + sum_letters(payload), "x")


def test_a_code_with_letters_over_is_cut_off_and_one_without_is_mistyped() -> None:
    good = slip()
    for typed, name in ((good[:-1], "truncated"), (good[:-4], "mistyped"), (good + "0", "truncated"), (good[:-1] + "*", "mistyped")):
        with pytest.raises(Refused) as told:
            read_slip(typed, "x")
        assert told.value.name == name


HEAD = "0010" + "".join("0000001" + f"{n:06b}" for n in (11, 12, 13)) + f"{0xABCDE:020b}"  # crew A, lesson B, edition C


def test_a_slip_may_use_its_very_last_bit_and_needs_it() -> None:
    point = "0" + "100" + f"{0:08b}" + "00001"
    tries = f"{60 * 24:025b}" + f"{2:06b}"
    order = "1" + "011" + f"{2:08b}" + f"{2:05b}" + "00001" + "00000"
    bits = HEAD + tries + point + order
    fill = -len(bits) % 20  # longer names until no bit is over: each letter takes six
    letters = next(n for n in range(1, 20) if (fill - 6 * n) % 20 == 0 or n == 19)
    if (fill - 6 * letters) % 20:
        pytest.fail("no name fills the groups")
    bits = HEAD[:4] + "0" + f"{1 + letters:06b}" + f"{11:06b}" * (1 + letters) + HEAD[17:] + tries + point + order
    assert len(bits) % 20 == 0
    found = read_slip(code(bits), "x")
    assert found.crew == "B" * (1 + letters) and found.finished == datetime(2020, 1, 2, tzinfo=UTC)
    assert found.answers == (Given(None, "point", 0, "us", (1,)), Given(None, "order", 2, "metric", (1, 0)))
    with pytest.raises(Refused, match="holds no result"):
        read_slip(code(bits[:-20]), "x")


@pytest.mark.parametrize("gone", ["crew", "lesson", "edition", "answers"])
def test_a_slip_without_a_name_or_an_answer_holds_no_result(gone: str) -> None:
    names = ["" if k == gone else "A" for k in ("crew", "lesson", "edition")]
    bits = "0010" + "".join("0" + f"{len(n):06b}" + f"{10:06b}" * len(n) for n in names) + f"{0:020b}" + f"{5:025b}"
    bits += f"{0 if gone == 'answers' else 1:06b}" + "0" + "100" + f"{0:08b}" + "00001"
    with pytest.raises(Refused, match="the slip code holds no result") as told:
        read_slip(code(bits), "x")
    assert told.value.name == "altered"


def test_a_slips_time_is_minutes_since_2020() -> None:
    bits = HEAD + f"{2**25 - 1:025b}" + f"{1:06b}" + "0" + "100" + f"{0:08b}" + "00001"
    assert read_slip(code(bits), "x").finished == datetime(2020, 1, 1, tzinfo=UTC) + timedelta(minutes=33_554_431)


def test_a_plain_number_on_a_slip_is_told_by_a_word() -> None:
    from generator.records.answers import KEYS

    figures = "0011" + "1110" + f"{KEYS.index('1'):08b}" + "1111"
    bits = HEAD + f"{5:025b}" + f"{1:06b}" + "0" + "000" + f"{0:08b}" + figures
    assert read_slip(code(bits), "x").answers[0].answer == "3 times"


def test_a_hint_is_a_code_that_holds_a_result() -> None:
    point = "0" + "100" + f"{0:08b}" + "00001"
    bits = HEAD + f"{5:025b}" + f"{2:06b}" + point * 2
    whole = bits + "0" * (-len(bits) % 5)
    payload = "".join(LETTERS[int(whole[i : i + 5], 2)] for i in range(0, len(whole), 5))
    assert len(whole) - len(bits) < 5
    assert sound(payload)
    for wrong in (payload[:-1], "0" + payload[1:]):  # a letter short, and of no layout there is
        assert not sound(wrong)


# --- tables -------------------------------------------------------------------------------------


def rows(text: str, name: str = "t.csv") -> tuple[str, list[tuple[str, dict[str, str]]], list[str]]:
    flags: list[Flag] = []
    table = read_table(text, name)
    found = [(where, dict(cells)) for where, cells in table.each(flags)]
    return table.kind, found, [str(f) for f in flags]


def test_a_table_is_known_by_its_headings() -> None:
    assert rows("Code,Name\nABC,x\n") == ("slips", [("t.csv:2", {"code": "ABC", "name": "x"})], [])
    assert rows(" SHEET , crew,Lesson,1\nA,B,C,D\n")[0] == "paper"
    assert rows("crew,lesson,machine,date,mentor,note\nA,B,C,D,E,F\n")[0] == "signoffs"
    assert rows("Person,lesson,machine,date,mentor\nA,B,C,D,E\n")[1][0][1]["crew"] == "A"
    for heads in ("sheet,crew", "crew,lesson,machine", "name,place", "ABCDEFGHJKMN"):
        with pytest.raises(Refused, match="its headings are not those of a table") as told:
            rows(heads + "\n1,2\n")
        assert told.value.name == "unreadable"


@pytest.mark.parametrize(("name", "heads", "what", "order"), [
    ("results/a.csv", "crew,lesson,machine,date", "as a table of sign-offs it has no heading mentor", "crew, lesson, machine, date, mentor"),
    ("hours.csv", "name,machine,day,hours", "as a table of hours it has no heading person, date", "person, machine, date, hours"),
    ("hours.csv", "crew,machine,day,hours", "as a table of hours it has no heading date", "person, machine, date, hours"),
    ("corrections.csv", "row,who,reason", "as a table of corrections it has no heading entry, says, by, why", "entry, says, by, why"),
    ("results/May.xlsx[Sign-offs]", "crew,lesson", "as a table of sign-offs it has no heading machine, date, mentor",
     "crew, lesson, machine, date, mentor"),
    ("signoffs.csv", "person,lesson,machine,day,mentor", "as a table of sign-offs it has no heading date",
     "crew, lesson, machine, date, mentor"),
    ("results/May.csv", "date,sheet,speaker,crew", "as a table of talks it has no heading leader", "date, sheet, leader, crew"),
])  # fmt: skip
def test_a_heading_that_is_missing_is_named_where_the_table_meant_is_plain(name: str, heads: str, what: str, order: str) -> None:
    with pytest.raises(Refused) as told:
        rows(heads + "\n1,2,3,4\n", name)
    assert (told.value.what, told.value.fix) == (what, f"the headings, in its first row, are {order}")


def test_codes_without_a_heading_are_slips_from_the_first_line() -> None:
    good = slip()
    kind, found, flags = rows(f"{grouped(good)}\n{good}\n")
    assert (kind, flags) == ("slips", []) and found == [("t.csv:1", {"code": grouped(good)}), ("t.csv:2", {"code": good})]
    short = "00000000" + sum_letters("00000000")  # twelve letters are no result
    with pytest.raises(Refused, match="its headings are not those"):
        rows(short + "\nx\n")
    longer = "0" * 12 + sum_letters("0" * 12)
    assert rows(longer + "\nx\n")[0] == "slips"
    with pytest.raises(Refused, match="its headings are not those"):
        rows("".join(LETTERS[(LETTERS.index(x) + 1) % 32] for x in longer) + "\nx\n")


def test_a_heading_may_stand_once_only_but_empty_ones_often() -> None:
    assert rows("code,,\nA,,\n")[0] == "slips"
    with pytest.raises(Refused, match="the heading 'note' stands twice; keep one of them") as told:
        rows("code,note,note\nA,1,2\n")
    assert told.value.name == "unreadable"


def test_rows_that_cannot_be_read_are_told_with_their_line_and_the_others_taken() -> None:
    _, found, flags = rows("code,note\nA,1,2\nB,1,\nC\nD,=1+1\nE,x\n")
    assert [w for w, _ in found] == ["t.csv:3", "t.csv:4", "t.csv:6"]
    assert found[1][1] == {"code": "C", "note": ""}  # what is not there is empty
    assert flags[0] == (
        "t.csv:2: unreadable: the row has more cells than there are headings; put quotes around a cell that holds the separator"
    )
    assert len(flags) == 2 and flags[1].startswith("t.csv:5: unreadable: column 'note': ")


# --- flags --------------------------------------------------------------------------------------


def test_a_flag_is_one_line_with_its_place_its_name_and_what_to_do() -> None:
    told = Refused("foreign", "no crew\nid", "check it", "P-1", "bench")
    flag = told.flag("a.json:3")
    assert flag == Flag("a.json:3", "foreign", "no crew\nid", "check it", "P-1", "bench", False)
    assert str(flag) == "a.json:3: foreign: no crew�id; check it"
    assert told.name in NAMES and (told.crew, told.lesson) == ("P-1", "bench")


def test_a_refusal_comes_through_another_process_whole() -> None:
    import pickle

    told = pickle.loads(pickle.dumps(Refused("foreign", "what", "fix", "P-1", "bench")))
    assert (told.name, told.what, told.fix, told.crew, told.lesson) == ("foreign", "what", "fix", "P-1", "bench")


def test_a_table_of_no_rows_and_of_no_text(tmp_path: Path) -> None:
    assert rows("code\n") == ("slips", [], [])
    with pytest.raises(Refused) as told:
        rows("")
    assert told.value.name == "unreadable"


def test_the_help_names_the_headings_of_every_table_that_can_be_handed_in(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["tally", "--help"])
    told = capsys.readouterr().out
    assert "(.json, .txt), tables (.csv, .xlsx) and folders" in told
    for kind, ways in KINDS.items():
        if kind != "paper":  # that table is written for them
            assert any(set(ways[0]) <= set(re.findall(r"[a-z]+", line)) for line in told.splitlines()), kind


@pytest.mark.parametrize(
    ("shown", "claimed"),
    [(0.5, 0.5), (1, 1.0), (0, 0.0), (True, -1.0), ("1", -1.0), (None, -1.0), (999_999, 999_999.0), (1_000_000, -1.0), (-1_000_000, -1.0)],
)
def test_the_score_that_was_shown_is_a_number_or_none(shown: Any, claimed: float) -> None:
    assert read_file(file(score_shown=shown), "a.json:1").claimed == claimed


@pytest.mark.parametrize(
    ("text", "hours"),
    [("0", 0.0), ("3.5", 3.5), ("3,5", 3.5), ("3.5 h", 3.5), ("3.5H", 3.5), ("24", 24.0), ("24.01", NO_HOURS), ("-0.5", NO_HOURS), ("nan", NO_HOURS),
     ("inf", NO_HOURS), ("a day", NO_HOURS), ("", NO_HOURS), ("3 h 30", NO_HOURS)],
)  # fmt: skip
def test_hours_of_a_day(text: str, hours: float) -> None:
    assert hours_of(text) == hours


def test_a_fault_past_the_headings_is_told_by_its_column() -> None:
    rows = (
        GridRow(2, ("C17", "x"), faults={2: ("it holds a formula", "type the figure")}),
        GridRow(3, ("C18",), faults={0: ("no", "yes")}),
    )
    flags: list[Flag] = []
    assert list(HandedIn("slips", "slips.xlsx[a]", ("code",), rows).each(flags)) == []
    assert [f"{f.where}: {f.what}" for f in flags][1:] == ["slips.xlsx[a]:3: column 'code': no"]
    flags.clear()
    assert (
        list(
            HandedIn("slips", "slips.xlsx[a]", ("code",), (GridRow(2, ("C17",), faults={2: ("it holds a formula", "type it")}),)).each(
                flags
            )
        )
        == []
    )
    assert [str(f.what) for f in flags] == ["column '3': it holds a formula"]
