"""A small record store for cmi5 in memory, and the rules of the specification that a unit's statements must keep.

The rules are those of the cmi5 specification (ADL, "quartz"), sections 7 to 10; each line a rule gives names its section.
"""

from __future__ import annotations

import base64
import http.server
import json
import threading
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import parse_qs, quote, urlsplit

Json = dict[str, Any]
VERBS = "http://adlnet.gov/expapi/verbs/"
CMI5 = "https://w3id.org/xapi/cmi5/context/categories/cmi5"
MOVE_ON = "https://w3id.org/xapi/cmi5/context/categories/moveon"
SESSION = "https://w3id.org/xapi/cmi5/context/extensions/sessionid"
MASTERY = "https://w3id.org/xapi/cmi5/context/extensions/masteryscore"


class Store:
    """One learner's registration for one unit, over any number of sessions."""

    def __init__(self, **launch: Any) -> None:
        self.launch = launch
        self.registration = str(uuid.uuid4())
        self.activity = f"http://system.example/activity/{uuid.uuid4()}"
        self.publisher = "urn:uuid:5953e3eb-9b69-5d81-a20d-2a2f7505bef0"
        self.actor = {"objectType": "Agent", "name": "Person Two", "account": {"homePage": "http://system.example/", "name": "lms-2"}}
        self.sessions: list[str] = []
        self.statements: list[Json] = []
        self.states: dict[str, str] = {}
        self.token = ""
        self.used: set[str] = set()
        self.down = False
        self.deaf = False  # takes statements, and answers as if it had not
        self.strict = False  # takes no list with a statement it has
        self.asked: list[str] = []
        self.address = ""

    def launched(self, page: str) -> str:
        """A new session: the address the system opens."""
        self.sessions.append(str(uuid.uuid4()))
        self.token = base64.b64encode(f"a:{self.sessions[-1]}".encode()).decode()
        context = {
            "contextActivities": {"grouping": [{"objectType": "Activity", "id": self.publisher}]},
            "extensions": {SESSION: self.sessions[-1]},
        }
        self.states["LMS.LaunchData"] = json.dumps({"contextTemplate": context, "launchMode": "Normal", "moveOn": "Passed", **self.launch})
        given = {
            "endpoint": f"{self.address}/xapi/", "fetch": f"{self.address}/fetch/{len(self.sessions)}", "actor": json.dumps(self.actor),
            "registration": self.registration, "activityId": self.activity,
        }  # fmt: skip
        return page + "?" + "&".join(f"{k}={quote(v, safe='')}" for k, v in given.items())

    def of_session(self, which: int = -1) -> list[Json]:
        """The statements of a session, in the order of their times."""
        found = [s for s in self.statements if s["context"]["extensions"][SESSION] == self.sessions[which]]
        return sorted(found, key=lambda s: str(s["timestamp"]))

    def verbs(self, which: int = -1, *, defined: bool = True) -> list[str]:
        return [s["verb"]["id"].removeprefix(VERBS) for s in self.of_session(which) if is_defined(s) or not defined]


def categories(s: Json) -> list[str]:
    return [a["id"] for a in s["context"].get("contextActivities", {}).get("category", [])]


def is_defined(s: Json) -> bool:
    """Whether cmi5 defines the statement, rather than allowing it."""
    return CMI5 in categories(s)


def broken(store: Store) -> list[str]:
    """Every rule that the statements of a registration break."""
    out = []
    verbs_before: list[str] = []
    for session in store.sessions:
        found = sorted(
            (s for s in store.statements if s["context"]["extensions"].get(SESSION) == session), key=lambda s: str(s["timestamp"])
        )
        verbs = [s["verb"]["id"].removeprefix(VERBS) for s in found if is_defined(s)]
        if len(set(verbs)) != len(verbs):
            out.append("9.3 a verb twice in a session")
        if {"passed", "failed"} <= set(verbs):
            out.append("9.3 passed and failed in a session")
        if found and found[0]["verb"]["id"] != VERBS + "initialized":
            out.append("9.3 initialized is not first")
        if "terminated" in verbs and found[-1]["verb"]["id"] != VERBS + "terminated":
            out.append("9.3 terminated is not last")
        for once in ("passed", "completed"):
            if once in verbs and once in verbs_before:
                out.append(f"9.3 {once} twice in a registration")
        if "failed" in verbs and "passed" in verbs_before:
            out.append("9.3 failed after passed")
        verbs_before += verbs
        if store.launch.get("launchMode", "Normal") != "Normal" and set(verbs) - {"initialized", "terminated"}:
            out.append("10 more than initialized and terminated in another mode than normal")
    for s in store.statements:
        out += _broken(store, s)
    return out


def _broken(store: Store, s: Json) -> list[str]:  # noqa: C901  a rule a line
    out = []
    verb, result, context = s["verb"]["id"].removeprefix(VERBS), s.get("result", {}), s["context"]
    try:
        uuid.UUID(s["id"])
    except ValueError:
        out.append("9.1 the id is no UUID")
    if s["actor"] != store.actor:
        out.append("9.2 another actor")
    if context.get("registration") != store.registration:
        out.append("9.6.1 another registration")
    if context["extensions"].get(SESSION) not in store.sessions:
        out.append("9.6.3.1 no session id")
    if {"objectType": "Activity", "id": store.publisher} not in context.get("contextActivities", {}).get("grouping", []):
        out.append("10 the context template was changed")
    if not str(s["timestamp"]).endswith("Z"):
        out.append("9.7 a time that is not UTC")
    if not is_defined(s):
        return [*out, *(["9.6.2.2 moveon in a statement of another kind"] if MOVE_ON in categories(s) else [])]
    if s["object"]["id"] != store.activity:
        out.append("9.4 another object")
    if ("score" in result) and verb not in {"passed", "failed"}:
        out.append("9.5.1 a score")
    score, mark = result.get("score", {}), store.launch.get("masteryScore")
    if "raw" in score and not (
        score["min"] <= score["raw"] <= score["max"] and 0 <= score["scaled"] <= 1 and isinstance(score["raw"], int)
    ):
        out.append("9.5.1 a score out of its range")
    if mark is not None and "scaled" in score and (score["scaled"] >= mark) != (verb == "passed"):
        out.append("9.3.4 a score against the mastery score")
    if mark is not None and verb in {"passed", "failed"} and context["extensions"].get(MASTERY) != mark:
        out.append("9.6.3.2 no mastery score")
    if result.get("success") != {"passed": True, "failed": False}.get(verb):
        out.append("9.5.2 success")
    if result.get("completion") != {"completed": True}.get(verb):
        out.append("9.5.3 completion")
    if verb in {"terminated", "completed", "passed", "failed"} and "duration" not in result:
        out.append("9.5.4 no duration")
    if (MOVE_ON in categories(s)) != ("success" in result or "completion" in result):
        out.append("9.6.2.2 moveon")
    return out


class _Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    store: Store

    def log_message(self, *args: Any) -> None:
        pass

    def _answer(self, status: int, body: str = "", kind: str = "application/json") -> None:
        data = body.encode()
        self.send_response(status)
        self.send_header("Access-Control-Allow-Origin", "*")
        self.send_header("Access-Control-Allow-Headers", "Authorization, Content-Type, X-Experience-API-Version")
        self.send_header("Access-Control-Allow-Methods", "GET, POST, PUT")
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def do_OPTIONS(self) -> None:
        self._answer(204)

    def _let_in(self) -> bool:
        store = self.store
        store.asked.append(f"{self.command} {urlsplit(self.path).path}")
        if store.down:
            self._answer(503)
        elif self.headers.get("Authorization") != f"Basic {store.token}" or not (
            self.headers.get("X-Experience-API-Version") or ""
        ).startswith("1.0"):
            self._answer(401)
        else:
            return True
        return False

    def _body(self) -> str:
        return self.rfile.read(int(self.headers.get("Content-Length") or 0)).decode()

    def _state(self) -> str | None:
        """The state's id where it is asked for as the specification says, else None."""
        query = {k: v[0] for k, v in parse_qs(urlsplit(self.path).query).items()}
        store = self.store
        fits = (
            query.get("activityId") == store.activity
            and query.get("registration") == store.registration
            and json.loads(query.get("agent", "{}")) == store.actor
        )
        return query.get("stateId") if fits else None

    def do_GET(self) -> None:
        if not self._let_in():
            return
        place = urlsplit(self.path).path
        if place == "/xapi/activities/state" and (name := self._state()) in self.store.states:
            self._answer(200, self.store.states[str(name)])
        else:
            self._answer(404)

    def do_PUT(self) -> None:
        body = self._body()
        if not self._let_in():
            return
        name = self._state() if urlsplit(self.path).path == "/xapi/activities/state" else None
        if name is None or name == "LMS.LaunchData":
            self._answer(403)
            return
        self.store.states[name] = body
        self._answer(204)

    def do_POST(self) -> None:
        body = self._body()
        place = urlsplit(self.path).path
        if place.startswith("/fetch/"):
            used = place in self.store.used
            self.store.used.add(place)
            self._answer(200, json.dumps({"error-code": "1", "error-text": "used"} if used else {"auth-token": self.store.token}))
            return
        if not self._let_in():
            return
        if place != "/xapi/statements":
            self._answer(404)
            return
        given = json.loads(body)
        known = {s["id"]: s for s in self.store.statements}
        new = given if isinstance(given, list) else [given]
        if any(s["id"] in known and (self.store.strict or known[s["id"]] != s) for s in new):
            self._answer(409)
            return
        self.store.statements += [s for s in new if s["id"] not in known]
        if self.store.deaf:
            self._answer(503)
            return
        self._answer(200, json.dumps([s["id"] for s in new]))


@contextmanager
def kept_by(store: Store) -> Iterator[Store]:
    """Serves a store on the loopback, on a port of its own as a record store has a host of its own."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), type("_Bound", (_Handler,), {"store": store}))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    store.address = f"http://127.0.0.1:{server.server_address[1]}"
    try:
        yield store
    finally:
        server.shutdown()
        server.server_close()
