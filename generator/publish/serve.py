"""``seatwork serve``: the preview behind the site builder's own server, which loads changed pages again."""

from __future__ import annotations

import logging
import sys
import tempfile
from pathlib import Path

from generator.book.content import content_folder
from generator.publish.preview import Preview

HOST = "127.0.0.1"
POLLING = 0.25  # seconds between two looks at the watched files


def serve(folder: Path, port: int) -> int:
    """Serve a job site until stopped; the exit status."""
    from mkdocs.livereload import LiveReloadServer

    _say("mkdocs")
    with tempfile.TemporaryDirectory(prefix="seatwork-serve-") as place:
        preview = Preview(folder.resolve(), Path(place), f"http://{HOST}:{port}/")

        def rebuild() -> None:
            preview.rebuild()
            server.root = str(preview.root)

        server = LiveReloadServer(rebuild, HOST, port, str(preview.root), polling_interval=POLLING)
        try:
            rebuild()
            for watched in (folder, content_folder()):
                server.watch(str(watched))
            server.serve()
        except KeyboardInterrupt:
            pass
        finally:
            server.shutdown()
    return 0


def _say(name: str) -> None:
    """What the server and the site builder say goes to the terminal."""
    log = logging.getLogger(name)
    if not log.handlers:
        shown = logging.StreamHandler(sys.stderr)
        shown.setFormatter(logging.Formatter("%(levelname)s  %(message)s"))
        log.addHandler(shown)
        log.setLevel(logging.INFO)
