"""What statements are held against: a validator of npm, and the specification's rules as read."""

from __future__ import annotations

import json
import re
import subprocess
import uuid
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

NPM = Path(__file__).parent / "qti"
Json = dict[str, Any]
VOIDED = "http://adlnet.gov/expapi/verbs/voided"
# the verbs of the ADL vocabulary, by the profile that is named in xAPI's specification (read: a library's list of them)
ADL_VERBS = {
    f"http://adlnet.gov/expapi/verbs/{v}"
    for v in ["answered", "asked", "attempted", "attended", "commented", "completed", "exited", "experienced", "failed", "imported", "initialized", "interacted", "launched", "mastered", "passed", "preferred", "progressed", "registered", "responded", "resumed", "scored", "shared", "suspended", "terminated", "voided"]
}  # fmt: skip


def installed() -> Path:
    """The folder with what npm installed; fails where it is missing."""
    if not (NPM / "node_modules").is_dir():
        pytest.fail("the packages of npm are missing; run sh tests/need_npm.sh")
    return NPM


def validator_says(statements: Sequence[Json]) -> list[str]:
    """What the validator finds wrong with each of the statements, as one list."""
    run = subprocess.run(
        ["node", "validate.cjs"], cwd=installed(), input=json.dumps(list(statements)), capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    return [f"{n}: {what}" for n, found in enumerate(json.loads(run.stdout)) for what in found]


# --- the specification, Data part, version 1.0.3 (read; the numbers are its sections) ----------------

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")  # 4.5: ISO 8601, and a zone
_SPAN = re.compile(r"PT(?=\d)(\d+H)?(\d+M)?(\d+(\.\d+)?S)?")  # 4.6, as far as it is used
_TAG = re.compile(r"[a-z]{2,3}(-[A-Z]{2})?")  # RFC 5646, as far as it is used


def rules_broken(statements: Sequence[Json], now: datetime) -> list[str]:
    """The rules that the statements break, as seen at ``now``."""
    out = [f"{n}: {what}" for n, s in enumerate(statements) for what in _broken(s, now)]
    ids = [s.get("id") for s in statements]
    out += [f"{i} stands twice" for i in {i for i in ids if ids.count(i) > 1}]
    voiding = {s["id"] for s in statements if s["verb"]["id"] == VOIDED}
    for s in statements:
        if s["id"] in voiding and s["object"]["id"] in voiding:
            out.append(f"{s['id']} voids what voids")  # 2.3.2
    return out


def _broken(s: Json, now: datetime) -> Iterator[str]:
    try:
        if str(uuid.UUID(s["id"])) != s["id"]:
            yield "the id is no UUID in its usual form"  # 2.4.1
    except (KeyError, ValueError):
        yield "the id is no UUID"
    if set(s) - {"id", "actor", "verb", "object", "result", "context", "timestamp"}:
        yield "it sets what the store sets, or something of its own"  # 2.4: version, stored and authority are the store's
    yield from _agent(s["actor"], "actor")
    yield from _verb(s["verb"])
    activity = s["object"].get("objectType") == "Activity"
    if activity:
        yield from _activity(s["object"])
    elif s["object"].get("objectType") != "StatementRef":
        yield "the object is of another type"
    if (s["verb"]["id"] == VOIDED) != (not activity):
        yield "what voids names a statement, and nothing else does"  # 2.3.2
    yield from _context(s.get("context", {}), activity=activity)
    yield from _result(s.get("result", {}))
    time = s.get("timestamp", "")
    if not _TIME.fullmatch(time):
        yield "the timestamp is none"
    elif datetime.fromisoformat(time) > now:
        yield "the timestamp is still to come"  # 2.4.7
    yield from _nothing_empty(s)


def _agent(a: Json, where: str) -> Iterator[str]:
    kinds = set(a) & {"mbox", "mbox_sha1sum", "openid", "account"}
    if len(kinds) != 1:
        yield f"{where} has {len(kinds)} identifiers"  # 2.4.2.1
    if a.get("objectType") != "Agent" or set(a) - kinds - {"objectType", "name"}:
        yield f"{where} is no agent"
    account = a.get("account", {})
    if set(account) != {"homePage", "name"} or not account["name"] or not _address(account["homePage"]):
        yield f"{where} has no account"  # 2.4.2.4


def _address(text: str) -> bool:
    """Whether a text is an IRI that is an address of the web."""
    parts = urlsplit(text)
    return parts.scheme in {"http", "https"} and bool(parts.netloc) and not re.search(r"[\s<>\"{}|\\^`]", text)


def _verb(v: Json) -> Iterator[str]:
    if not _address(v["id"]) or set(v) != {"id", "display"}:
        yield "the verb has no id or no display"  # 2.4.3
    if v["id"].startswith("http://adlnet.gov/") and v["id"] not in ADL_VERBS:
        yield "the verb is none of the vocabulary it names"
    yield from _words(v["display"])


def _words(found: Mapping[str, str]) -> Iterator[str]:
    if not found or not all(_TAG.fullmatch(tag) and text for tag, text in found.items()):
        yield "a text is in no language"  # 4.2


def _activity(a: Json) -> Iterator[str]:
    if a.get("objectType") != "Activity" or not _address(a["id"]):
        yield "an activity has no id"  # 2.4.4.1
    definition = a.get("definition", {})
    if set(definition) - {"name", "description", "type", "moreInfo", "extensions"} or not _address(definition.get("type", "")):
        yield "an activity is not defined"
    if "name" in definition:
        yield from _words(definition["name"])


def _context(c: Json, *, activity: bool) -> Iterator[str]:
    if set(c) - {"registration", "instructor", "team", "contextActivities", "revision", "platform", "language", "statement", "extensions"}:
        yield "the context has something of its own"  # 2.4.6
    if not activity and set(c) & {"revision", "platform"}:
        yield "revision and platform are of activities only"
    if "instructor" in c:
        yield from _agent(c["instructor"], "instructor")
    if "language" in c and not _TAG.fullmatch(c["language"]):
        yield "the language is none"
    for kind, found in c.get("contextActivities", {}).items():
        if kind not in {"parent", "grouping", "category", "other"} or not isinstance(found, list):
            yield "context activities stand in lists of four kinds"  # 2.4.6.2
        else:
            for a in found:
                yield from _activity(a)
    yield from _extensions(c.get("extensions", {}))


def _result(r: Json) -> Iterator[str]:
    if set(r) - {"score", "success", "completion", "response", "duration", "extensions"}:
        yield "the result has something of its own"  # 2.4.5
    if any(not isinstance(r[k], bool) for k in ("success", "completion") if k in r):
        yield "success and completion are true or false"
    if "duration" in r and not _SPAN.fullmatch(r["duration"]):
        yield "the duration is none"
    score = r.get("score")
    if score is not None:
        if set(score) - {"scaled", "raw", "min", "max"} or not -1 <= score["scaled"] <= 1:
            yield "the score is no share"  # 2.4.5.1
        if not score["min"] < score["max"] or not score["min"] <= score["raw"] <= score["max"]:
            yield "the score is outside of its ends"
    yield from _extensions(r.get("extensions", {}))


def _extensions(found: Mapping[str, Any]) -> Iterator[str]:
    if not all(_address(key) for key in found):
        yield "an extension has no IRI"  # 4.1


def _nothing_empty(value: Any) -> Iterator[str]:
    if value is None or value in ("", {}):
        yield "something is empty"  # 2.2
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from _nothing_empty(inner)
