"""A printed line: the part that never changes, and the figures that stand in it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from generator.calc.expression import Add, Div, Figure, Mul, Node, Num, Ref
from generator.working.line import Line, figures_in, with_figures


def figure(value: str, unit: str = "ft") -> Figure:
    return Figure(Decimal(value), unit)


AREA = Mul((figure("3"), Add((figure("4"), Num(Decimal(5)), Div(figure("6", "yd"), Ref("a"))), (1, 1, -1))))


def test_figures_stand_in_the_order_they_are_printed() -> None:
    assert [f.value for f in figures_in(AREA)] == [3, 4, 6]
    assert [f.value for f in figures_in(Ref("a"))] == []
    put = iter("xyz")
    changed = with_figures(AREA, lambda f: Ref(next(put)))
    assert changed == Mul((Ref("x"), Add((Ref("y"), Num(Decimal(5)), Div(Ref("z"), Ref("a"))), (1, 1, -1))))
    assert with_figures(Num(Decimal(5)), lambda f: Ref("x")) == Num(Decimal(5))


def test_a_line_gives_back_what_was_put_in() -> None:
    line = Line.of("how far", Ref("="), (AREA, figure("27")), rounds="near")
    assert (line.words, line.left, line.sides, line.rounds) == ("how far", Ref("="), (AREA, figure("27")), "near")
    assert line.redo and not Line.of("", None, (AREA,), redo=False).redo
    assert list(map(int, line.figures)) == [3, 4, 6, 27]
    assert Line.of("", None, (AREA,)).rounds == "" and Line.of("", None, (AREA,)).left is None
    assert repr(line).startswith("Line('how far', Ref(") and repr(line).endswith("redo=True)")


def test_lines_of_other_figures_share_their_shape_and_others_do_not() -> None:
    def line(words: str = "w", left: Node | None = None, value: str = "2", unit: str = "ft", redo: bool = True, rounds: str = "") -> Line:
        return Line.of(words, left, (figure(value, unit), figure("7", unit)), redo, rounds)

    one = line()
    assert one == line() and hash(one) == hash(line()) and len({one, line()}) == 1
    assert one.shape == line(value="3").shape and one != line(value="3")
    same_shape = Line(one.shape, one.figures)
    assert one == same_shape and one != Line(one.shape, (Decimal(9), Decimal(7)))
    for other in (line(words="x"), line(left=Ref("=")), line(unit="m"), line(redo=False), line(rounds="near")):
        assert one.shape != other.shape and one != other
    # what is no line is never equal to one, and may say so itself
    assert one != "w" and one.__eq__("w") is NotImplemented
    # what has been printed of it does not make it another line
    used = line()
    used.shape.printed[used.manner] = (None, ("",))
    assert used == one and used.shape == one.shape


@pytest.mark.parametrize(
    ("values", "manner"),
    [
        (("2", "3"), ("", "")), (("0", "3"), ("", "")), (("0.5", "1.5"), ("", "")), (("1", "3"), ("one", "")), (("3", "1"), ("", "one")),
        (("-2", "3"), ("below nought", "")), (("1", "-1"), ("one", "below nought")), (("1", "0"), ("one", "")), (("-0.5", "0.5"), ("below nought", "")),
        (("-1", "2"), ("below nought", "")), (("2", "1.0"), ("", "one")), (("1", "1"), ("one", "one")), (("-2", "0"), ("below nought", "")),
    ],
)  # fmt: skip
def test_what_a_figure_does_to_the_print_around_it(values: tuple[str, str], manner: tuple[str, str]) -> None:
    """One acre, but several acres and no acres; a figure below nought stands in brackets."""
    assert Line.of("", None, tuple(figure(v, "acre") for v in values)).manner == manner


def test_lines_of_the_same_manner_are_printed_alike_whatever_their_figures() -> None:
    many = [Line.of("", None, (Mul((figure(v, "acre"), figure("2"))),)) for v in ("5", "0", "2.5")]
    assert {line.manner for line in many} == {("", "")} == {many[0].shape.plain}
