"""A mentor's file from the phone: the code proves who signed, and one changed byte is refused."""

from __future__ import annotations

import hashlib
import hmac
import json
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from generator.jobsite.model import JobSite
from generator.jobsite.reader import read
from generator.records.flags import NAMES, Refused
from generator.records.mentor_codes import MentorCode
from generator.records.results import canonical, objects
from generator.records.signed_file import MOST_ENTRIES, SignedFile, mac_of, read_signed
from generator.records.signoffs import SignOff
from tests.records.signing import CODE, CODES, MADE, OTHER, entry, signed, vectors, with_mentors
from tests.records.small import LESSONS, small_site

LATEST = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> JobSite:
    return with_mentors(read(small_site(tmp_path_factory.mktemp("signed") / "site")))


def take(value: Any, site: JobSite, codes: Any = CODES) -> SignedFile:
    return read_signed(value, "a.json:1", codes, site, LESSONS, LATEST)


def refusal(value: Any, site: JobSite, codes: Any = CODES) -> Refused:
    with pytest.raises(Refused) as caught:
        take(value, site, codes)
    assert caught.value.name in NAMES and caught.value.what and caught.value.fix
    return caught.value


@pytest.mark.parametrize(("case", "key", "data", "mac"), vectors())
def test_the_mark_is_the_published_hmac_sha_256(case: int, key: bytes, data: bytes, mac: str) -> None:
    """RFC 4231, section 4; the browser's is held to the same in tests/pages/test_sign_off.py."""
    assert hmac.new(key, data, hashlib.sha256).hexdigest()[: len(mac)] == mac, case


def test_the_mark_is_over_the_canonical_text_keyed_by_the_letters() -> None:
    file = {"b": [1.5, "ü"], "a": None, "mac": "left out"}
    text = '{"a":null,"b":[1.5,"\\u00fc"]}'
    assert mac_of(file, CODE) == hmac.new(CODE.encode(), text.encode(), hashlib.sha256).hexdigest()[:32]
    assert len(mac_of(file, CODE)) == 32 and mac_of(file, CODE) != mac_of(file, OTHER)


def test_a_file_with_the_right_code_is_read(site: JobSite) -> None:
    file = take(signed(entry(), entry(lesson="truck-match", seen=[2], not_yet=[1, 3], hours=None)), site)
    assert (file.mentor, file.edition, file.signed) == ("M-1", "2026-1", datetime(2026, 3, 10, 15, 20, tzinfo=UTC))
    assert not file.refused and not file.old_code
    bench, match = file.entries
    assert bench.whole and bench.signoff == SignOff("P-01", "bench-height", "E-2", date(2026, 3, 10), "M-1")
    assert (bench.signoff.kind, bench.signoff.conditions, bench.signoff.hours) == ("excavator", "dry, slope; gusts", 1.5)
    assert match.more == {"seen": [2], "not_yet": [1, 3]}
    assert not match.whole and (match.seen, match.not_yet, match.signoff.hours) == ((2,), (1, 3), None)


def test_a_file_saved_again_by_another_program_still_fits(site: JobSite) -> None:
    file = signed(entry(hours=2))
    text = json.dumps(dict(reversed(file.items())), indent=3).replace('"hours": 2', '"hours": 2.0')
    assert take(objects(text)[0][1], site).entries[0].signoff.hours == 2.0


def test_the_wrong_code_is_refused(site: JobSite) -> None:
    found = refusal(signed(code=OTHER), site)
    assert found.name == "unsigned" and "not that of M-1" in found.what
    assert refusal(signed(mentor="M-2"), site).name == "unsigned"  # the code of M-1 under the name of M-2
    assert take(signed(mentor="M-2", code=OTHER), site).mentor == "M-2"
    missing = refusal(signed(mentor="M-11"), site)
    assert missing.name == "unsigned" and "no code of a mentor 'M-11'" in missing.what and "M-1" in missing.fix
    assert refusal(signed(), site, {}).name == "unsigned"


def test_one_changed_letter_anywhere_is_refused(site: JobSite) -> None:
    """Every place of the file in turn: either it is no JSON any more, or it does not fit; the same value alone is read."""
    text = json.dumps(signed(), separators=(",", ":"))
    value, read_as_it_was, refused = json.loads(text), 0, 0
    for at, old in enumerate(text):
        for new in "x17":
            if new == old:
                continue
            try:
                changed = objects(text[:at] + new + text[at + 1 :])[0][1]
            except Refused:
                continue
            if canonical(changed) == canonical(value):
                read_as_it_was += 1
                continue
            refusal(changed, site)
            refused += 1
    assert refused > 500 and read_as_it_was == 0


@pytest.mark.parametrize("change", [
    {"crew": "P-02"}, {"lesson": "truck-match"}, {"machine": "E-1"}, {"date": "2026-03-09"}, {"seen": [1, 2, 3, 4]}, {"not_yet": [4]},
    {"conditions": ""}, {"hours": 15}, {"extra": 1},
])  # fmt: skip
def test_nothing_of_an_entry_can_be_changed_afterwards(site: JobSite, change: dict[str, Any]) -> None:
    file = signed()
    file["entries"][0] |= change
    assert refusal(file, site).name == "unsigned"


def test_an_entry_that_cannot_count_leaves_the_others(site: JobSite) -> None:
    bad: dict[str, list[Any]] = {
        "foreign": [entry(crew="P-99"), entry(lesson="swimming"), entry(machine="E-77")],
        "future": [entry(date="2026-03-12")],
        "duplicate": [entry()],
        "altered": [
            entry(date="2026-02-30"), entry(date="10/3/2026"), entry(seen=[1, 3]), entry(seen=[1, 1, 2]), entry(seen=[]), entry(seen="all"),
            entry(seen=[True, 2, 3]), entry(seen=[0, 1, 2]), entry(hours=0), entry(hours=25), entry(hours=True), entry(hours="2"),
            entry(conditions="x" * 201), entry(conditions="a\nb"), entry(conditions="=1+1"), entry(conditions=None), entry(crew=7), entry(lesson=""),
            "no entry",
        ],
    }  # fmt: skip
    for name, entries in bad.items():
        for one in entries:
            file = signed()
            file["entries"] = [entry(), one]
            found = take(file | {"mac": mac_of(file, CODE)}, site)
            assert [e.signoff.lesson for e in found.entries] == ["bench-height"], one
            assert [r.name for r in found.refused] == [name], (one, found.refused)


def test_nobody_signs_for_himself_or_herself(site: JobSite) -> None:
    """By id, by a former id, and by a name turned round."""
    people = {"P-01": "M-1", "P-02": "", "P-03": ""}
    crew = tuple(replace(p, former_id=people[p.id]) for p in site.crew)
    turned = tuple(replace(p, name="LÏND, Rosa") if p.id == "P-02" else p for p in crew)
    mine = replace(site, crew=(*turned, replace(site.crew[0], id="M-1", name="Someone Else")))
    found = take(signed(*(entry(crew=c) for c in ("P-01", "P-02", "P-03", "M-1"))), mine)
    assert [e.signoff.crew for e in found.entries] == ["P-03"]
    assert [(r.name, r.crew) for r in found.refused] == [("unsigned", "P-01"), ("unsigned", "P-02"), ("unsigned", "M-1")]


def test_whom_and_what_the_register_knows_beside_the_tables(site: JobSite) -> None:
    """Somebody who is in no table any more, and a machine that was sold: what was signed for them is still read."""
    file = signed(entry(crew="P-90", machine="E-90"), entry(crew="P-91"))
    assert [r.name for r in take(file, site).refused] == ["foreign", "foreign"]
    found = read_signed(file, "a.json:1", CODES, site, LESSONS, LATEST, people={"P-90": "Old Hand", "P-91": "Rosa Lind"},
                        kinds={"E-90": "excavator", "E-2": "excavator"}, classes={"E-90": "large"})  # fmt: skip
    assert [(e.signoff.kind, e.signoff.machine_class) for e in found.entries] == [("excavator", "large")]
    assert [(r.name, r.crew) for r in found.refused] == [("unsigned", "P-91")]  # the name of M-1


def test_another_site_a_later_day_and_a_day_before_the_code_was_made(site: JobSite) -> None:
    assert refusal(signed(site="elsewhere"), site).name == "foreign"
    assert refusal(signed(signed="2026-05-01T12:00:01Z"), site).name == "future"
    assert refusal(signed(signed="2026-02-27T12:00:00Z"), site).name == "times"
    assert take(signed(entry(date="2026-02-28"), signed="2026-02-28T23:00:00Z"), site).entries  # the phone's day may be the one before
    assert refusal(signed(signed="2026-03-10 15:20"), site).name == "altered"
    assert refusal(signed(signed="2026-13-10T15:20:00Z"), site).name == "altered"


def test_an_old_code_fits_what_was_signed_before_the_new_one(site: JobSite) -> None:
    new = MentorCode("M-1", OTHER, date(2026, 4, 2))
    codes = {"M-1": [MentorCode("M-1", CODE, MADE, until=date(2026, 4, 2)), new]}
    old = take(signed(signed="2026-04-02T23:59:00Z"), site, codes)
    assert old.old_code and old.entries
    late = refusal(signed(signed="2026-04-03T00:00:00Z"), site, codes)
    assert late.name == "unsigned" and "held until 2026-04-02" in late.what
    assert not take(signed(signed="2026-04-03T00:00:00Z", code=OTHER), site, codes).old_code


@pytest.mark.parametrize("value", [
    None, [], "text", 7, {}, {"seatwork_result": 1}, {"seatwork_signoffs": 2}, {"seatwork_signoffs": True}, {"seatwork_signoffs": 1},
    signed() | {"mac": ""}, signed() | {"mac": "0" * 64}, signed() | {"mac": 5}, signed() | {"entries": []}, signed() | {"entries": {}},
    signed() | {"entries": [entry()] * (MOST_ENTRIES + 1)}, signed() | {"mentor": ""}, signed() | {"mentor": "x" * 81}, signed() | {"mentor": "a\u202eb"},
    signed() | {"edition": None}, signed() | {"big": 10**5000}, signed() | {"deep": [[[[[[[[[[]]]]]]]]]]},
])  # fmt: skip
def test_what_no_page_has_written_is_refused_in_one_line(site: JobSite, value: Any) -> None:
    assert "\n" not in str(refusal(value, site).flag("a.json:1"))


def test_a_site_without_codes_reads_nothing_by_chance(site: JobSite) -> None:
    """A mark under no code at all, and one under an empty code."""
    file = signed()
    empty = file | {
        "mac": hmac.new(b"", canonical({k: v for k, v in file.items() if k != "mac"}).encode(), hashlib.sha256).hexdigest()[:32]
    }
    assert refusal(empty, site).name == "unsigned" and refusal(empty, site, {"M-1": []}).name == "unsigned"
