"""Reading without a signal: a service worker that keeps the whole handbook on the device.

A service worker is an open standard (https://www.w3.org/TR/service-workers/); browsers allow one
over https and from the machine itself. The scripts stand in ``scripts/`` beside this file.
"""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from generator.book.content import content_folder
from generator.publish.compressed import PACKED
from generator.publish.edition_folder import plain_name
from generator.publish.manifest import hashes

_SCRIPTS = Path(__file__).parent / "scripts"
WORKER = "offline-worker.js"
HAND_IN = "hand-in-worker.js"
OUTBOX = "outbox.js"
PAGE_SCRIPT = "assets/offline.js"

# not kept on the device: the worker itself, and what no page asks for over http
NOT_KEPT = (WORKER, "404.html", "search/search_index.js")


def write_page_script(web: Path) -> None:
    """Put the page script into ``web``."""
    (web / PAGE_SCRIPT).parent.mkdir(parents=True, exist_ok=True)
    (web / PAGE_SCRIPT).write_bytes((_SCRIPTS / "offline.js").read_bytes())


def write_offline(
    web: Path, site: str = "", hand_in: str | None = None, apart: tuple[str, ...] = (), *, recordings: bool = False
) -> None:  # fmt: skip
    """Put the worker, with the hashes of this edition's files, into ``web``; folders ``apart`` have a worker of their own.

    Recordings of lessons are large, and are kept only if ``recordings``. With ``hand_in``, a path on the server, the worker also sends there what waits on the phone of ``site``'s results.
    """
    scripts = _SCRIPTS
    kept = {
        n: h
        for n, h in hashes(web).items()
        if plain_name(n) not in NOT_KEPT
        and n.partition("/")[0] not in apart
        and not n.endswith((".pdf", *PACKED))
        and (recordings or not n.endswith(".ogg"))
    }  # the sheets' pages are kept
    text = f"var FILES = {json.dumps(kept, indent=0)};\n" + (scripts / WORKER).read_text("utf-8")
    if hand_in is not None:
        where = json.dumps({"site": site, "path": hand_in})  # on a line of its own, where hand_in_of finds it
        outbox = (content_folder() / "look" / OUTBOX).read_text("utf-8")
        text += f"var HAND_IN = {where};\n{outbox}{(scripts / HAND_IN).read_text('utf-8')}"
    version = hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]
    (web / WORKER).write_text(f'var VERSION = "{version}";\n{text}', "utf-8", newline="\n")


def hand_in_of(web: Path) -> str | None:
    """The path to which a built web folder hands in; None where it hands nothing in."""
    worker = web / WORKER
    found = re.search(r"^var HAND_IN = (\{.*\});$", worker.read_text("utf-8"), re.MULTILINE) if worker.is_file() else None
    return str(json.loads(found[1])["path"]) if found else None
