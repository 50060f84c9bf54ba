"""``seatwork serve``: the preview behind the site builder's own server, which loads changed pages again."""

from __future__ import annotations

import atexit
import contextlib
import logging
import os
import re
import socket
import sys
import tempfile
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import Any

from generator.book.content import content_folder
from generator.jobsite.shared import shared_of
from generator.publish.builder import server as web_server
from generator.publish.preview import Preview
from generator.source.problem import Refusal

HOST = "127.0.0.1"
POLLING = 0.25  # seconds between two looks at the watched files


class PortRefused(Refusal):
    """The port cannot be opened."""

    code = "port"


class NoPlace(Refusal):
    """No folder for temporary files can be written."""

    code = "no-place"


def serve(folder: Path, port: int) -> int:
    """Serve a job site until stopped; the exit status. Raises PortRefused, NoPlace or NoServer."""
    _try_port(port)  # say so before the long work
    _say("mkdocs")
    # where a page cannot be written the preview says so, in its own line
    logging.getLogger("mkdocs.commands.build").addFilter(lambda _: not isinstance(sys.exc_info()[1], OSError))
    try:
        own_place = tempfile.TemporaryDirectory(prefix="seatwork-serve-")
    except OSError as e:
        raise NoPlace(f"there is no place for the preview's pages ({e.strerror or e})",
                      "free space, or name a folder for temporary files in TMPDIR", file=str(folder)) from None  # fmt: skip
    with own_place as place:
        preview = Preview(folder.resolve(), Path(place), f"http://{HOST}:{port}/")

        watched: set[Path] = set()

        def watch() -> None:
            """Watch the site, what is shipped, and the folder the site shares: a save of its settings may name another."""
            shared = shared_of(folder.resolve())
            for place in (folder, content_folder(), *([shared.folder] if shared is not None else [])):
                if place not in watched:
                    watched.add(place)
                    server.watch(str(place))

        def rebuild() -> None:
            preview.rebuild()
            server.root = str(preview.root)
            watch()

        server = web_server(rebuild, HOST, port, preview.root, POLLING)
        server.set_app(local_only(server.serve_request))
        server.error_handler = lambda _: preview.in_memory
        try:
            rebuild()
            server.serve()
        except KeyboardInterrupt:
            pass
        finally:
            server.shutdown()
    return 0


_LOCAL = frozenset({"localhost", "127.0.0.1", "[::1]"})


def local_only(app: Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]) -> Callable[..., Iterable[bytes]]:
    """``app``, answering only requests made to this computer by one of its own names.

    A page of another site may have a name of its own lead here, and would then read the handbook
    as if it were its own.
    """

    def answer(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        host = re.sub(r":\d*$", "", str(environ.get("HTTP_HOST", "")).strip()).lower()
        if host in _LOCAL:
            return app(environ, start_response)
        start_response("421 Misdirected Request", [("Content-Type", "text/plain; charset=utf-8")])
        return [
            f"This preview answers to localhost alone; open http://{HOST}:{environ.get('SERVER_PORT', '')}/ on this computer.\n".encode()
        ]

    return answer


@cache
def scratch() -> Path:
    """A folder of this process's own, the same until the process ends, which takes it away."""
    folder = tempfile.TemporaryDirectory(prefix="seatwork-live-")
    atexit.register(folder.cleanup)
    return Path(folder.name)


def _try_port(port: int) -> None:
    with contextlib.closing(socket.socket()) as tried:
        if os.name != "nt":  # there it would open a port that another program listens at
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((HOST, port))
        except OSError as e:
            raise PortRefused(
                f"port {port} cannot be opened ({e.strerror or e})", "stop what uses it, or name another with --port"
            ) from None


def _say(name: str) -> None:
    """What the server and the site builder say goes to the terminal."""
    log = logging.getLogger(name)
    if not log.handlers:
        shown = logging.StreamHandler(sys.stderr)
        shown.setFormatter(logging.Formatter("%(levelname)s  %(message)s"))
        log.addHandler(shown)
        log.setLevel(logging.INFO)
