"""A web server that takes results in at a path, and does whatever else a test asks of it."""

from __future__ import annotations

import functools
import http.server
import socket
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

UNDER = "/training/"
PATH = "/training/hand-in/"
TAKEN = 201
SIGN_IN = b"<!doctype html><title>Sign in</title><p>Sign in to the wifi."


class Server:
    """``answer`` is a status, "drop" (the connection), "redirect" or "sign-in" (200, as a wifi's page answers to all)."""

    def __init__(self) -> None:
        self.address = ""
        self.answer: int | str = TAKEN
        self.slow = threading.Event()  # while it is clear, an answer to a PUT waits
        self.slow.set()
        self.put: list[tuple[str, bytes, str]] = []  # path, body and content type of every whole body that came
        self.kept: list[bytes] = []  # what it answered 201 or 204 to
        self.other: list[str] = []  # methods other than GET and PUT
        self.at_once = self.most_at_once = 0
        self.keeping = False  # whether pages may ask for the worker that keeps the handbook: it takes time

    def wait_for(self, many: int, came: Sequence[Any] | None = None) -> None:
        """Until so many files were taken in, or ``came`` is so long."""
        seen = self.kept if came is None else came
        end = time.monotonic() + 10
        while len(seen) < many:
            if time.monotonic() > end:
                raise TimeoutError(f"{len(seen)} of {many} came")
            threading.Event().wait(0.02)


class _Handler(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def __init__(self, server_: Server, policy: str, *args: Any, **more: Any) -> None:
        self.about, self.policy = server_, policy
        super().__init__(*args, **more)

    def translate_path(self, path: str) -> str:
        return super().translate_path("/" + path.removeprefix(UNDER))

    def do_GET(self) -> None:
        if self.path.endswith("/assets/offline.js") and not self.about.keeping:
            self.send_response(200)
            self.send_header("Content-Type", "text/javascript")
            self.send_header("Content-Length", "0")
            self.end_headers()
            return
        super().do_GET()

    def do_PUT(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
        about = self.about
        about.at_once += 1
        about.most_at_once = max(about.most_at_once, about.at_once)
        answer = about.answer
        about.slow.wait(10)
        about.at_once -= 1
        about.put.append((self.path, body, self.headers.get("Content-Type", "")))
        if answer == "drop":
            self.close_connection = True
            self.connection.shutdown(socket.SHUT_RDWR)
            return
        status = {"redirect": 302, "sign-in": 200}.get(str(answer), answer)
        if status in {201, 204}:
            about.kept.append(body)
        said = SIGN_IN if answer == "sign-in" else b""
        self.send_response(int(status))
        if answer == "redirect":
            self.send_header("Location", f"{UNDER}index.html")
        if status != 204:
            self.send_header("Content-Length", str(len(said)))
        self.end_headers()
        self.wfile.write(said)

    def do_POST(self) -> None:
        self.about.other.append(self.command)
        self.send_error(405)

    do_DELETE = do_POST

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", self.policy)
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:
        pass


@contextmanager
def taking_in(web: Path, policy: str) -> Iterator[Server]:
    """A web folder below ``UNDER`` with the build's own policy, and ``PATH`` to put results to."""
    about = Server()
    handler = functools.partial(_Handler, about, policy, directory=str(web))
    running = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    about.address = f"http://127.0.0.1:{running.server_address[1]}{UNDER}"
    thread = threading.Thread(target=running.serve_forever, daemon=True)
    thread.start()
    try:
        yield about
    finally:
        about.slow.set()
        running.shutdown()
        thread.join()
        running.server_close()
