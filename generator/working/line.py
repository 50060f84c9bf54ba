"""A printed line of working: the part that never changes, and the figures that stand in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from generator.calc.expression import Figure, Node, children, rebuilt

_NONE = Decimal(0)
Manner = tuple[str, ...]


def figures_in(node: Node) -> Iterator[Figure]:
    """The figures of a tree, in the order they are printed."""
    if isinstance(node, Figure):
        yield node
    for part in children(node):
        yield from figures_in(part)


def with_figures(node: Node, change: Callable[[Figure], Node]) -> Node:
    """The tree with each figure, in printed order, changed to another node."""
    if isinstance(node, Figure):
        return change(node)
    parts = children(node)
    return rebuilt(node, tuple(with_figures(p, change) for p in parts)) if parts else node


@dataclass(frozen=True)
class Shape:
    """A line without its figures (they stand as noughts, with their units).

    ``rounds`` marks the line that rounds the figure worked out to the one that is printed elsewhere:
    its second side is about its first, to the safe side where it is a limit.

    Lines that differ in their figures only share one shape, so what is printed around the
    figures is made once: ``printed`` keeps it for :mod:`generator.working.explain`.
    """

    words: str
    left: Node | None
    sides: tuple[Node, ...]
    redo: bool
    rounds: str = ""  # "near", "most" (down) or "least" (up)
    printed: dict[Manner, tuple[object, tuple[str, ...]]] = field(default_factory=dict, compare=False)

    @cached_property
    def units(self) -> tuple[str, ...]:
        """The unit of each figure, in the order they are printed."""
        return tuple(f.unit for s in self.sides for f in figures_in(s))

    @cached_property
    def plain(self) -> Manner:
        """The manner of a line with no figure that changes what is printed around it."""
        return ("",) * sum(1 for s in self.sides for _ in figures_in(s))


class Line:
    """One printed line: ``words`` say what it does, ``left`` is what is worked out.

    ``sides`` are equal by the figures as printed; with one side and no figures it is a formula
    in symbols. ``redo`` tells whether a reader can redo it with the figures on it. ``figures``
    are those of all sides, in the order they are printed.
    """

    __slots__ = ("figures", "shape")

    def __init__(self, shape: Shape, figures: tuple[Decimal, ...]) -> None:
        self.shape, self.figures = shape, figures

    @classmethod
    def of(cls, words: str, left: Node | None, sides: tuple[Node, ...], redo: bool = True, rounds: str = "") -> Line:
        """From trees with their figures in them."""
        figures = tuple(f.value for s in sides for f in figures_in(s))
        bare = tuple(with_figures(s, lambda f: Figure(_NONE, f.unit)) for s in sides)
        return cls(Shape(words, left, bare, redo, rounds), figures)

    @property
    def words(self) -> str:
        return self.shape.words

    @property
    def left(self) -> Node | None:
        return self.shape.left

    @property
    def rounds(self) -> str:
        return self.shape.rounds

    @property
    def redo(self) -> bool:
        return self.shape.redo

    @property
    def sides(self) -> tuple[Node, ...]:
        """The sides as trees, with the figures in them."""
        rest = iter(self.figures)
        return tuple(with_figures(s, lambda f: Figure(next(rest), f.unit)) for s in self.shape.sides)

    @property
    def manner(self) -> Manner:
        """What each figure does to the print around it: one below nought gets brackets, one is one acre."""
        for f in self.figures:
            if f < 0 or f == 1:
                return tuple("below nought" if g < 0 else "one" if g == 1 else "" for g in self.figures)
        return self.shape.plain

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Line):
            return NotImplemented
        return self.figures == other.figures and (self.shape is other.shape or self.shape == other.shape)

    def __hash__(self) -> int:
        return hash((self.words, self.figures))

    def __repr__(self) -> str:
        return f"Line({self.words!r}, {self.left!r}, {self.sides!r}, redo={self.redo})"
