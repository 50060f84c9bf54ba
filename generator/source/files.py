"""Opening a job site's files: only the named ones, only inside the folder, only sane sizes."""

from __future__ import annotations

import difflib
import stat
from pathlib import Path

from generator.source.log import Log
from generator.source.problem import Severity

MOST_BYTES = {"csv": 8_000_000, "yml": 200_000, "md": 200_000, "html": 200_000, "css": 200_000,
              "xlsx": 8_000_000}  # fmt: skip
_OTHER_SHEETS = (".xls", ".xlsm", ".xlsb", ".ods", ".fods", ".numbers")
_SAVE = "save the file again as CSV UTF-8 (or plain text, UTF-8)"


def read_text(folder: Path, name: str, what: str, log: Log) -> str | None:
    """The text of ``folder/name``, or None with the reason in ``log``. Never raises."""
    data = read_bytes(folder, name, what, log)
    return None if data is None else decode(data, log)


def read_bytes(folder: Path, name: str, what: str, log: Log) -> bytes | None:
    """The bytes of ``folder/name``, or None with the reason in ``log``. Never raises."""
    path = folder / name
    try:
        real = path.resolve(strict=True)
        if not real.is_relative_to(folder.resolve()):
            log.add(None, None, "it is a link that leads out of the job site folder",
                    f"put the file itself into {folder.name or 'the folder'}", Severity.UNREADABLE)  # fmt: skip
            return None
        state = real.stat()
        if not stat.S_ISREG(state.st_mode):
            log.add(None, None, "it is not a file", f"put {what} there as a file", Severity.UNREADABLE)
            return None
        most = MOST_BYTES[name.rpartition(".")[2].lower()]
        if state.st_size > most:
            log.add(None, None, f"the file is larger than {most // 1000:,} kB",
                    "it should be a few pages long; check what was saved", Severity.UNREADABLE)  # fmt: skip
            return None
        return real.read_bytes()
    except FileNotFoundError:
        log.add(None, None, "the file is missing", _hint(folder, name, what), Severity.UNREADABLE)
        return None
    except (OSError, RuntimeError) as e:  # RuntimeError: a circle of links
        reason = getattr(e, "strerror", None) or "it cannot be opened"
        log.add(
            None,
            None,
            f"the file cannot be read ({reason})",
            "check its access rights",
            Severity.UNREADABLE,
        )
        return None


def _hint(folder: Path, name: str, what: str) -> str:
    try:
        there = sorted(entry.name for entry in folder.iterdir() if entry.name != name)
    except OSError:
        there = []
    stem, _, ending = name.rpartition(".")
    for entry in there:
        if entry.lower() == name.lower():
            return f"rename {entry[:60]} to {name}"
    for entry in there:
        if ending == "csv" and entry.lower() in {f"{stem}.xls", f"{stem}.ods"}:
            return f"save {entry[:60]} as CSV (UTF-8) under the name {name}"
    for entry in there:
        if ending == "csv" and entry.lower().endswith(_OTHER_SHEETS):
            return f"save {entry[:60]} again as an .xlsx workbook, or its sheet as {name}"
    near = difflib.get_close_matches(name, there, n=1, cutoff=0.75)
    if near:
        return f"rename {near[0][:60]} to {name}"
    return f"add {name} with {what}"


def decode(data: bytes, log: Log) -> str | None:
    """The text of a UTF-8 file, with or without a byte order mark, or of UTF-16 with one; else None."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) and b"\0\0" not in data[2:4]:
        try:
            return data.decode("utf-16")
        except UnicodeDecodeError:
            what = "the file is damaged: it starts as UTF-16 text and does not go on so"
    elif b"\0" in data[:200]:
        what = "the file is not UTF-8 text (it looks like UTF-16 or a binary file)"
    elif data.startswith(b"PK\x03\x04"):
        what = "the file is a workbook with another ending, not plain text"
    else:
        try:
            return data.decode("utf-8-sig")
        except UnicodeDecodeError as e:
            # guessing the encoding could turn a name into another one, so it is not guessed
            before = data[: e.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
            line = before.count(b"\n") + 1
            log.add(line, None, "a letter is not saved as UTF-8", _SAVE, Severity.UNREADABLE)
            return None
    log.add(None, None, what, _SAVE, Severity.UNREADABLE)
    return None


# names that Windows keeps for devices, whatever their ending
_DEVICES = frozenset({"con", "prn", "aux", "nul", "conin$", "conout$"}) | {f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³"}


def is_device(name: str) -> bool:
    """Whether Windows takes a file or folder of this name for a device, so that none can be made there."""
    return name.partition(".")[0].rstrip(" ").lower() in _DEVICES
