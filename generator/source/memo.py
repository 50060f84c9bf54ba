"""Keys for what was worked out before."""

from __future__ import annotations


class Same:
    """An object as a key: equal to itself alone, however alike another is.

    For objects that cannot be hashed, or whose comparing takes long. It holds the object, so that no
    later one can be taken for it.
    """

    __slots__ = ("it",)

    def __init__(self, it: object) -> None:
        self.it = it

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.it is other.it

    def __hash__(self) -> int:
        return id(self.it)
