"""Results handed in to a real nginx and a real Apache: nothing lost, nothing doubled, nothing written over.

What the two servers may do with PUT is in RFC 9110, section 9.3.4 (201 for what was made anew), and 15.5 (the refusals).
"""

from __future__ import annotations

import http.client
import json
import socket
import threading
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from queue import Empty, Queue

import pytest

from generator.cli.main import main
from generator.publish.hand_in import A_MINUTE, MOST_BYTES
from generator.register.store import Register
from tests.records.small import a_result, small_site
from tests.servers.running import HAND_IN, KINDS, Server, server

CLIENTS, HANDED_IN, REPEATED = 20, 300, 30


@pytest.fixture(scope="module", params=KINDS)
def running(request: pytest.FixtureRequest) -> Iterator[Server]:
    with server(request.param) as made:
        yield made


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return small_site(tmp_path / "site")


def ask(
    to: Server, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None, client: str = "127.0.0.1"
) -> int:
    """The status of one request by a client of an address of its own; 0 where there was no answer."""
    connection = http.client.HTTPConnection("127.0.0.1", to.port, timeout=10, source_address=(client, 0))
    try:
        connection.request(method, path, body, headers or {})
        answer = connection.getresponse()
        answer.read()
    except (OSError, http.client.HTTPException):
        return 0
    else:
        return answer.status
    finally:
        connection.close()


def raw(to: Server, text: bytes) -> bytes:
    """The first line of the answer to something no well-meant client sends; nothing where the line was closed."""
    with socket.create_connection(("127.0.0.1", to.port), timeout=10, source_address=("127.0.9.9", 0)) as line:
        line.sendall(text)
        line.shutdown(socket.SHUT_WR)
        try:
            return line.recv(4096).partition(b"\r\n")[0]
        except ConnectionError:
            return b""


def _results(site: Path) -> list[bytes]:
    """Results of three people, all different: what their phones send."""
    made = []
    for n in range((HANDED_IN - REPEATED) // 3):
        for crew, lesson in (("P-01", "bench-height"), ("P-02", "truck-match"), ("P-03", "truck-match")):
            made.append(json.dumps(a_result(site, crew, lesson, days=n // 2, seed=n), sort_keys=True).encode())
    return made


@pytest.mark.parametrize("kind", KINDS)
def test_twenty_phones_hand_in_three_hundred_results_while_the_server_is_started_again(
    kind: str, site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    results = _results(site)
    assert len(set(results)) == HANDED_IN - REPEATED
    waiting: Queue[bytes] = Queue()
    for body in (*results, *results[:REPEATED]):  # some phones send the same result twice
        waiting.put(body)
    arrived: Counter[bytes] = Counter()
    odd: list[int] = []
    guard, again = threading.Lock(), threading.Event()

    def phone(n: int) -> None:
        """Sends one after another; what did not arrive it keeps, and sends again."""
        while True:
            try:
                body = waiting.get_nowait()
            except Empty:
                return
            for _ in range(400):
                said = ask(to, "PUT", f"{HAND_IN}phone-{n}.json", body, {"Content-Type": "application/json"}, f"127.0.1.{n + 1}")
                if said in {201, 204}:
                    with guard:
                        arrived[body] += 1
                        if arrived.total() == HANDED_IN // 3:
                            again.set()
                    break
                if said not in {0, 429, 503}:
                    with guard:
                        odd.append(said)
                time.sleep(0.05)

    def cut_off() -> None:
        """A phone that loses its signal in the middle of a result, over and over."""
        for body in results[:20]:
            try:
                with socket.create_connection(("127.0.0.1", to.port), timeout=10, source_address=("127.0.2.1", 0)) as line:
                    line.sendall(
                        f"PUT {HAND_IN}cut HTTP/1.1\r\nHost: x\r\nContent-Length: {len(body)}\r\n\r\n".encode() + body[: len(body) // 2]
                    )
            except OSError:
                pass  # the server is being started again
            time.sleep(0.02)

    with server(kind) as to:
        threads = [threading.Thread(target=phone, args=(n,)) for n in range(CLIENTS)] + [threading.Thread(target=cut_off)]
        for thread in threads:
            thread.start()
        assert again.wait(30), (arrived.total(), odd, to.said())
        to.stop()
        to.start()
        for thread in threads:
            thread.join(60)
        assert arrived.total() == HANDED_IN and odd == [], (odd, to.said())
        there = Counter(p.read_bytes() for p in to.files())
        assert set(there) == set(results)  # each is whole, and nothing else is there
        # each that arrived has a file of its own; one more is there where the answer, not the result, was lost
        assert all(there[body] >= arrived[body] for body in results)
        assert there.total() - HANDED_IN <= CLIENTS
        assert {p.suffix for p in to.files()} == {".json"}
        assert main(["tally", str(site), str(to.drop)]) == 0
        assert f"{len(results)} of what was handed in is new" in capsys.readouterr().out
        kept = _rows(site)
        assert len(kept) == len(set(kept)) == len(results)
        assert main(["tally", str(site), str(to.drop)]) == 0
        assert "0 of what was handed in is new" in capsys.readouterr().out and _rows(site) == kept


def _rows(site: Path) -> list[str]:
    """What the register holds of results, each with what makes it one."""
    with Register.open(site) as register:
        return [f"{e.crew} {e.lesson} {e.at} {json.dumps(e.body, sort_keys=True)}" for e in register.entries(kind="result")]


def test_nothing_but_putting_in_is_allowed(running: Server) -> None:
    before = len(running.files())
    assert ask(running, "PUT", f"{HAND_IN}mine.json", b'{"a": 1}') == 201
    name = running.files()[0].name
    held = [p.read_bytes() for p in running.files()]
    more = {"Destination": f"{running.address}{HAND_IN}other.json", "Depth": "infinity"}
    for method in ("GET", "HEAD", "OPTIONS", "POST", "DELETE", "PROPFIND", "PROPPATCH", "MKCOL", "MOVE", "COPY", "LOCK", "UNLOCK",
                   "PATCH", "LIST", "REPORT", "SEARCH"):  # fmt: skip
        for path in (HAND_IN, f"{HAND_IN}mine.json", HAND_IN + name, f"{HAND_IN}.arriving/"):
            said = ask(running, method, path, b"" if method in {"POST", "PATCH"} else None, more)
            assert said == 405, (method, path, said)
    assert [p.read_bytes() for p in running.files()] == held and len(held) == before + 1


def test_the_server_makes_the_name_whatever_was_asked_for(running: Server) -> None:
    """Climbing out, folders, queries, names of files that are there: each is a new file in the drop, or nothing."""
    before = {p: p.read_bytes() for p in running.files()}
    outside = {p for p in running.place.rglob("*") if running.drop not in p.parents}
    taken = 0
    there = next(iter(before), running.drop / "none.json").name
    for path in ("", "a/b/c.json", "x?y=../../z", "%00.json", "%2e%2e/x.json", "..%2fx.json", "../x.json", "../../etc/x", "....//x", ".htaccess",
                 ".arriving/x", "%2Farriving", "a%0d%0aX: y", "\\..\\x", there, "x.php", "a" * 3000):  # fmt: skip
        said = raw(
            running, f"PUT {HAND_IN}{path} HTTP/1.1\r\nHost: localhost\r\nContent-Length: 3\r\nConnection: close\r\n\r\nabc".encode()
        )
        assert said.split(b" ")[1:2] in [[b"201"], [b"400"], [b"403"], [b"404"], [b"405"], [b"414"]], (path, said)
        taken += said.split(b" ")[1] == b"201"
    files = running.files()
    assert len(files) == len(before) + taken and taken >= 5
    assert all(p.parent == running.drop and p.suffix == ".json" for p in files)
    assert {p: p.read_bytes() for p in files if p in before} == before
    assert {p for p in running.place.rglob("*") if running.drop not in p.parents} == outside


def test_apache_takes_nothing_in_while_the_module_that_makes_the_names_is_off() -> None:
    with server("apache", without="unique_id") as to:  # no other module that is missing lets it start
        assert [ask(to, "PUT", f"{HAND_IN}{n}.json", b"{}") for n in range(2)] == [403, 403]
        assert to.files() == [] and to.hidden() == []


def test_what_is_too_large_empty_or_a_part_is_refused(running: Server) -> None:
    before = len(running.files())
    path, client = f"{HAND_IN}x.json", "127.0.3.1"
    assert ask(running, "PUT", path, b"x" * MOST_BYTES, client=client) == 201
    assert ask(running, "PUT", path, b"x" * (MOST_BYTES + 1), client=client) == 413
    assert ask(running, "PUT", path, b"x" * 5_000_000, client=client) in {0, 413}  # it may hang up before all was sent
    assert ask(running, "PUT", path, b"", client=client) in {403, 411}
    assert raw(running, f"PUT {path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n".encode()).split(b" ")[1] in {b"403", b"411"}
    chunked = f"PUT {path} HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n0\r\n\r\n".encode()
    assert raw(running, chunked).split(b" ")[1] in {b"403", b"411"}
    part = ask(running, "PUT", path, b"abc", {"Content-Range": "bytes 0-2/6"}, client)
    assert part in {400, 403, 501}
    assert len(running.files()) == before + 1 and running.hidden() == []


def test_a_lock_nobody_holds_and_other_conditions_change_nothing(running: Server) -> None:
    """Whatever is asked for with a request, the result has a name of its own and is kept whole."""
    client = "127.0.3.2"
    for more in ({"If-None-Match": "*"}, {"If": "(<opaquelocktoken:none>)"}, {"Overwrite": "T"}, {"Expect": "100-continue"}):
        before = len(running.files())
        said = ask(running, "PUT", f"{HAND_IN}same.json", b"once", more, client)
        assert said in {201, 400, 412}, (more, said)
        assert len(running.files()) == before + (said == 201)


def test_one_address_is_held_to_its_share_by_nginx() -> None:
    with server("nginx") as to:
        said = [ask(to, "PUT", HAND_IN, b"{}", client="127.0.4.1") for _ in range(A_MINUTE + 10)]
        assert said[:A_MINUTE] == [201] * A_MINUTE
        assert said.count(429) >= 8 and set(said) == {201, 429}
        assert ask(to, "PUT", HAND_IN, b"{}", client="127.0.4.2") == 201  # another address has its own
        assert len(to.files()) == said.count(201) + 1


@pytest.mark.parametrize("kind", KINDS)
def test_a_full_disk_is_told_and_loses_nothing_that_was_there(kind: str) -> None:
    with server(kind) as to:
        assert ask(to, "PUT", HAND_IN, b"a" * 40_000) == 201
        to.stop()
        to.most_bytes = 20_000
        to.start()
        assert ask(to, "PUT", HAND_IN, b"b" * 40_000) in {500, 503, 507}
        assert [p.read_bytes() for p in to.files()] == [b"a" * 40_000]
        assert ask(to, "PUT", HAND_IN, b"c" * 1000) == 201  # there is room for a small one
        to.stop()
        to.most_bytes = None
        to.start()
        assert ask(to, "PUT", HAND_IN, b"b" * 40_000) == 201
        assert sorted(p.stat().st_size for p in to.files()) == [1000, 40_000, 40_000]
        assert to.hidden() == []


def test_only_the_servers_user_writes_and_others_do_not_read(running: Server) -> None:
    assert ask(running, "PUT", HAND_IN, b"{}", client="127.0.3.3") == 201
    assert running.drop.stat().st_mode & 0o027 == 0 or running.drop.stat().st_mode & 0o007 == 0
    for path in running.files():
        assert path.stat().st_uid == running.drop.stat().st_uid and path.stat().st_mode & 0o022 == 0
        if running.kind == "nginx":
            assert path.stat().st_mode & 0o777 == 0o640
