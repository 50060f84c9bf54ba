"""A content security policy in a page itself, for pages that are opened from disk: no server sends them one.

Such a page carries its style and at most the script it was shipped with; whatever else came into
it, by a hole in one of the checks, does not run and fetches nothing.
"""

from __future__ import annotations

import base64
import hashlib
import re

# the head of a page begins behind these, written or not
_BEFORE = re.compile(r"\s*(?:<!doctype[^>]*>\s*)?(?:<html\b[^>]*>\s*)?(?:<head\b[^>]*>)?", re.IGNORECASE)
_SCRIPT = re.compile(r"<script>(.*?)</script>", re.DOTALL)


def guarded(page: str, template: str = "") -> str:
    """The page with its policy before all else in its head.

    Of scripts only those run that stand in ``template``, the shipped text of the page, as they stand there.
    """
    hashes = [base64.b64encode(hashlib.sha256(s.encode()).digest()).decode("ascii") for s in _SCRIPT.findall(template)]
    scripts = " ".join(f"'sha256-{h}'" for h in hashes) or "'none'"
    policy = (
        f"default-src 'none'; script-src {scripts}; style-src 'unsafe-inline'; "
        "img-src 'self' file: data:; base-uri 'none'; form-action 'none'"
    )
    at = _BEFORE.match(page)
    end = at.end() if at else 0
    return f'{page[:end]}\n<meta http-equiv="Content-Security-Policy" content="{policy}">{page[end:]}'
