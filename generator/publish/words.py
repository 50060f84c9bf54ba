"""The words that the search knows, for a reader who slips in one: ``search/words.js``.

The script ``assets/search-words.js`` fetches it when somebody first searches, and takes a typed word
that the handbook does not have for the nearest one that it has.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from html import unescape
from pathlib import Path

NAME = "search/words.js"
INDEX = "search/search_index.json"
SHORTEST = 3
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def words_of(index: str) -> list[str]:
    """The words of a search index in small letters, those first that most of its entries have."""
    seen: Counter[str] = Counter()
    for entry in json.loads(index)["docs"]:
        texts = (entry.get("title", ""), entry.get("text", ""), *entry.get("tags", ()))
        bare = (unescape(re.sub(r"<[^>]*>", " ", text)).casefold() for text in texts)
        seen.update({w for text in bare for w in _WORD.findall(text) if len(w) >= SHORTEST})
    return sorted(seen, key=lambda w: (-seen[w], w))


def write_words(web: Path) -> None:
    """Write the words of a built web folder's search; nothing where it has no search."""
    index = web / INDEX
    if not index.is_file():
        return
    found = " ".join(words_of(index.read_text("utf-8")))
    (web / NAME).write_text(f"window.seatworkWords = {json.dumps(found, ensure_ascii=False)};\n", "utf-8", newline="\n")
