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


def test_a_result_says_where_it_ends_and_what_it_is_not(capsys: Any) -> None:
    """The limits of the calculation stand under every result, and under a stability result its caution."""
    slope = ("work", "slopes.static_tip_angle", "track_gauge=8ft", "cg_height=4ft")
    status, out, err = run(capsys, *slope)
    assert status == 0 and err == ""
    lines = out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("side slope where the machine at rest tips: 45°"))
    assert lines[at + 1].startswith("Caution: This is not an allowed slope.")
    assert lines[at + 2].startswith("Limits: A ceiling only") and lines[at + 3].startswith("Source: ")
    _, out, _ = run(capsys, *slope, "--json")
    made = json.loads(out)
    assert made["caution"].startswith("This is not an allowed slope.") and made["limits"].startswith("A ceiling only")
    assert set(made) >= {"id", "value", "unit", "inputs", "steps", "sources"}
    # of words too, and none where nothing tips
    _, out, _ = run(capsys, "work", "slopes.first_to_go", "track_gauge=8ft", "cg_height=4ft", "traction=0.7", "--json")
    assert json.loads(out)["caution"]
    _, out, _ = run(capsys, "work", "loading.bench_height", "stick_length=10ft", "--json")
    assert json.loads(out)["caution"] == "" and "the ground" in json.loads(out)["limits"].lower()


@pytest.mark.parametrize(
    ("args", "says"),
    [
        # a grade typed for the factor of a grade, and other percentages for what multiplies
        (["dozing.total_factor", "grade=10%"], "grade: 10% is a percentage, and a factor is meant (the factor for the grade: above one "
         "downhill, below one uphill); write grade=0.1 if that is the factor"),
        (["slopes.developed_friction", "friction_angle=30deg", "safety_factor=150%"], "write safety_factor=1.5 if that is the factor"),
        (["loading.time_at_loader", "trucks_ahead=50%", "load_time=3min", "trucks=4"], "write trucks_ahead=0.5"),
        # books print a swell of 25% as 1.25, and a shrinkage of 10% as 0.9
        (["soil.loose", "bank_volume=100yd3", "swell=1.12"], "write swell=12%, or 112% if that is meant"),
        (["soil.loose", "bank_volume=100yd3", "swell=1.25"], "reads like a factor, and a share is meant (how much the ground swells when "
         "it is dug); write swell=25%\n"),
        (["soil.compacted_by_share", "bank_volume=100yd3", "shrinkage=0.9"], "write shrinkage=10%\n"),
        (["soil.loose", "bank_volume=100yd3", "swell=0.25%"], "less than one part in a hundred; write swell=25% if that is meant"),
        (["soil.loose", "bank_volume=100yd3", "swell=25"], "swell is out of range (0% to 120%); write swell=25% if that is meant"),
        # 29 CFR 1926.1408 Table A ends at 1,000 kV
        (["lines.clearance", "voltage=1001kV"], "voltage is out of range (0.05 kV to 1000 kV); the rules end there: ask the line's owner, or a registered professional engineer"),
    ],
)  # fmt: skip
def test_a_percentage_and_a_factor_are_kept_apart(capsys: Any, args: list[str], says: str) -> None:
    status, out, err = run(capsys, "work", *args)
    assert (status, out, err.count("\n")) == (2, "", 1) and says in err


@pytest.mark.parametrize("swell", ["25%", "0.25", "1%", "1", "100%", "120%", "0"])
def test_a_share_may_be_written_both_ways(capsys: Any, swell: str) -> None:
    """100 bank yd³ swollen by the share are that much more."""
    status, out, _ = run(capsys, "work", "soil.loose", "bank_volume=100yd3", f"swell={swell}", "--json")
    share = float(swell.removesuffix("%")) / (100 if swell.endswith("%") else 1)
    assert status == 0 and json.loads(out)["value"] == pytest.approx(100 * (1 + share))


@pytest.mark.parametrize("efficiency", ["50min/h", "83.333333%", "0.83333333"])
def test_a_part_of_the_hour_may_be_written_in_three_ways(capsys: Any, efficiency: str) -> None:
    status, out, _ = run(capsys, "work", "dozing.total_factor", f"efficiency={efficiency}", "--json")
    assert status == 0 and json.loads(out)["value"] == pytest.approx(50 / 60, rel=1e-6)


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        (["target=20t", "bucket_load=2ton"], "bucket_load is in tons (2 tons) and target in tonnes (20 t); check that both are meant: a ton "
         "is 2,000 lb and a tonne (t) 1,000 kg"),
        (["target=20t", "bucket_load=4000lb"], "bucket_load is in US units (4,000 lb) and target in metric units (20 t); check that both are meant"),
        (["target=20t", "bucket_load=2000kg"], ""),
        (["target=20ton", "bucket_load=4000lb"], ""),
    ],
)  # fmt: skip
def test_two_unit_systems_in_one_sum_are_said(capsys: Any, figures: list[str], says: str) -> None:
    """The sum is worked all the same, and a program's JSON stays JSON."""
    status, out, err = run(capsys, "work", "loading.passes", *figures, "--json")
    assert status == 0 and json.loads(out)["value"] > 0
    assert err == (f"loading.passes: {says}\n" if says else "")


def test_figures_left_to_their_defaults_are_of_no_other_system(capsys: Any) -> None:
    status, _, err = run(capsys, "work", "slopes.static_tip_angle", "track_gauge=2m", "cg_height=1m")
    assert status == 0 and err == ""


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("1e20ft", "out of range"), ("1e21ft", "is too large"), ("1e30ft", "is too large"), ("1e400ft", "is too large"), ("9" * 400 + "ft", "is too large"),
        ("1e-20ft", "out of range"), ("1e-30ft", "is too small"), ("1e-400ft", "is too small"), ("0ft", "out of range"),
        ("nan", "is not a quantity"), ("inf ft", "is not a quantity"), ("-inf", "is not a quantity"),
    ],
)  # fmt: skip
def test_huge_and_tiny_figures_are_told_for_what_they_are(capsys: Any, typed: str, says: str) -> None:
    status, out, err = run(capsys, "work", "loading.bench_height", f"stick_length={typed}")
    assert (status, out, err.count("\n")) == (2, "", 1) and says in err and len(err) < 300
