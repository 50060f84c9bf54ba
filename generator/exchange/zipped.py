"""Zip files that are the same bytes whenever they are made of the same files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

# the earliest day a zip file can name: what is in a package has no day of its own
_DAY = (1980, 1, 1, 0, 0, 0)
_UNIX, _PLAIN_FILE = 3, 0o100644


def zipped(files: Mapping[str, bytes], first: str) -> bytes:
    """``files`` by their names in the package, the one named ``first`` at the front, the others in order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as made:
        for name in (first, *sorted(n for n in files if n != first)):
            info = zipfile.ZipInfo(name, _DAY)
            info.create_system, info.external_attr = _UNIX, _PLAIN_FILE << 16
            info.compress_type = zipfile.ZIP_DEFLATED
            made.writestr(info, files[name])
    return out.getvalue()
