"""Whether an earlier build found all texts sound that are the same now, so that they need not be looked at again.

Looking means to hold each name in a lesson or question to what there is: calculations, scenes, terms, cautions. What is
wrong depends on the texts and on the program alone. That nothing was wrong is kept under the hash of all of them; that
something was is never kept, so it is told by every build.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass

from generator.book.overrides import Overrides
from generator.book.seen import Unprintable, print_of
from generator.source.store import Store, digest

_SOUND = b"sound"


@dataclass(frozen=True)
class Sound:
    """What is kept of it in ``store``. ``program`` is the print of the program and of the shipped files but lessons and questions."""

    store: Store
    program: str

    def _made_from(self, own: Overrides, texts: Mapping[str, tuple[str, str] | None]) -> str:
        return digest("sound", self.program, print_of(own), print_of(texts))

    def known(self, own: Overrides, texts: Mapping[str, tuple[str, str] | None]) -> bool:
        """Whether nothing was wrong with the texts of lessons and questions, those of the site's ``own`` in their places."""
        with suppress(Unprintable):
            return self.store.get(self._made_from(own, texts)) == _SOUND
        return False

    def note(self, own: Overrides, texts: Mapping[str, tuple[str, str] | None]) -> None:
        """Nothing was wrong with them."""
        with suppress(Unprintable):
            self.store.put(self._made_from(own, texts), _SOUND)
