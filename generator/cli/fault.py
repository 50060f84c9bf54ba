"""What happens where the program itself is at fault: one line, and a file to send to whoever looks after it."""

from __future__ import annotations

import datetime
import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

from generator import __version__

STATUS = 70  # an internal software error, as sysexits.h numbers it (from memory)
_SAID = "seatwork: this is a fault of the program, not of your tables"


def told(error: Exception, given: Sequence[str]) -> int:
    """Say that the program failed, and where the trace of it lies; the exit status."""
    text = report(error, given)
    place = _kept(text)
    if place is None:
        print(f"{_SAID}; no file could be written, so send the lines below to whoever looks after Seatwork", file=sys.stderr)
        print(text, file=sys.stderr)
    else:
        print(f"{_SAID}; send the file {place} to whoever looks after Seatwork", file=sys.stderr)
    return STATUS


def report(error: Exception, given: Sequence[str]) -> str:
    """What is needed to find the fault: versions, the command line and the trace; nothing of the site's files."""
    trace = "".join(traceback.format_exception(error))
    return (
        f"Seatwork {__version__}\nPython {sys.version}\n{platform.platform()}\n"
        f"command line: {' '.join(map(repr, ['seatwork', *given]))}\n\n{trace}"
    )


def _kept(text: str) -> Path | None:
    """The file it was written to, a new one here or among temporary files; None where neither can be written."""
    name = f"seatwork-fault-{datetime.datetime.now():%Y%m%d-%H%M%S}-{os.getpid()}"
    for folder in (Path.cwd, lambda: Path(tempfile.gettempdir())):
        for n in range(1, 100):
            try:
                path = folder() / f"{name}{f'-{n}' if n > 1 else ''}.txt"
                with path.open("x", encoding="utf-8", errors="backslashreplace", newline="\n") as f:
                    f.write(text)
                return path
            except FileExistsError:
                continue
            except OSError:
                break
    return None
