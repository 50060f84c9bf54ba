"""``seatwork work`` and ``seatwork calculations`` as a person and another program use them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from generator.cli.main import main


def run(capsys: Any, *args: str) -> tuple[int, str, str]:
    try:
        status = main(args)
    except SystemExit as e:
        status = int(e.code or 0)
    out = capsys.readouterr()
    return status, out.out, out.err


def test_bench_height_as_json(capsys: Any) -> None:
    """Common practice, no source: a bench as high as the stick, 10 ft for 10 ft."""
    status, out, _ = run(capsys, "work", "loading.bench_height", "stick_length=10ft", "--json")
    made = json.loads(out)
    assert status == 0
    assert (made["id"], made["value"], made["unit"]) == ("loading.bench_height", 10, "ft")
    assert made["inputs"] == {"stick_length": "10 ft"}
    assert made["steps"][-1] == "H = 10 ft"
    assert made["sources"][0]["standing"] == "common practice"


def test_the_result_in_another_unit(capsys: Any) -> None:
    """1 ft is 0.3048 m by definition (international yard and pound agreement, 1959)."""
    status, out, _ = run(capsys, "work", "loading.bench_height", "stick_length=10ft", "--unit", "m", "--json")
    assert status == 0
    assert json.loads(out)["value"] == pytest.approx(3.048)


def test_plain_output_shows_working_and_source(capsys: Any) -> None:
    status, out, _ = run(capsys, "work", "grade.percent", "rise=25ft", "run=100ft")
    assert status == 0
    assert "25%" in out and "Source:" in out


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["loading.bench_height", "stick_length=10lb"], "lb is not a unit of length"),
        (["loading.bench_height", "stick_length=10"], "the unit is missing"),
        (["loading.bench_height"], "needs stick_length"),
        (["loading.bench_height", "stick_length=10ft", "boom=3ft"], "has no input 'boom'"),
        (["loading.bench_height", "stick_length=900ft"], "out of range"),
        (["loading.bench_height", "stick_length=-3ft"], "out of range"),
        (["loading.bench_height", "stick_length=ten feet"], "is not a quantity"),
        (["loading.bench_height", "stick_length=1,5ft"], "two ways"),
        (["loading.bench_height", "stick_length"], "is no input"),
        (["loading.bench_height", "stick_length=3ft", "stick_length=4ft"], "stands twice"),
        (["loading.bench_hight", "stick_length=3ft"], "did you mean loading.bench_height"),
        (["loading.bench_height", "stick_length=3ft", "--unit", "kg"], "not a unit of length"),
        (["loading.bench_height", "stick_length=nanft"], "is not a quantity"),
        (["loading.bench_height", "stick_length=1e999ft"], "too large"),
        (["slopes.low_track_share", "cg_height=6ft", "side_slope=100%", "track_gauge=4ft"], "already tipped"),
        (["loading.fill_bearing", "offset=-20ft", "truck_distance=4ft", "truck_angle=30deg"], "behind the swing centre"),
        (["wear.side_share", "hours_left_low=0.005min", "hours_right_low=100000h"], "cannot be worked by hand"),
    ],
)
def test_bad_input_is_one_line_and_status_2(capsys: Any, args: list[str], says: str) -> None:
    status, out, err = run(capsys, "work", *args)
    assert status == 2
    assert out == ""
    assert err.count("\n") == 1 and says in err and "; " in err
    assert "Traceback" not in err


def test_calculations_are_listed_by_topic(capsys: Any) -> None:
    status, out, _ = run(capsys, "calculations")
    assert status == 0
    assert out.startswith("grade\n") and "loading.bench_height" in out and "stick_length" in out
    status, out, _ = run(capsys, "calculations", "loading", "--json")
    assert status == 0
    assert all(c["id"].startswith("loading.") for c in json.loads(out))
    status, _, err = run(capsys, "calculations", "baking")
    assert status == 2 and err.count("\n") == 1


def test_help_says_what_each_command_is_for(capsys: Any) -> None:
    status, out, _ = run(capsys, "--help")
    assert status == 0
    for command in ("build", "check", "serve", "work", "calculations"):
        assert command in out
    for command in ("build", "check", "serve", "work", "calculations"):
        status, out, _ = run(capsys, command, "--help")
        assert status == 0 and len(out.splitlines()) > 4
