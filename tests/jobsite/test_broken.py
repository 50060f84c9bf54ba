"""Every broken site gets its exact lines, and several mistakes are told in one run."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.jobsite.problems import FILES, SiteProblems
from generator.jobsite.reader import read
from generator.jobsite.starter import starter_files
from generator.reference.tables import load
from generator.source.problem import Problem, Severity
from generator.source.yamltext import _slip
from tests.conftest import ROOT, copy_demo
from tests.jobsite.broken import SITES, Broken, cell, expected
from tests.jobsite.lessons import LESSONS

SAID = expected()
PUBLISHED = load(ROOT / "content")
LINE = re.compile(r"(settings\.yml|(machines|trucks|materials|crew|mentors)\.csv|[\w.]+\.xlsx(\[\w+\])?)(:\d+)?(:[^:;]+)?: .+; .+")


def said_of(folder: Path) -> list[str]:
    """The lines the reader gives."""
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS, PUBLISHED, ("en", "es"))
    return [str(p) for p in caught.value.problems]


def by_text(line: str, folder: Path) -> str:
    """A line about settings.yml with the text of its line, in braces, for the number.

    The demo's settings grow; what a line number must point at does not change.
    """
    match = re.match(r"settings\.yml:(\d+)(?=:)", line)
    if match is None:
        return line
    text = (folder / "settings.yml").read_text("utf-8").split("\n")[int(match[1]) - 1].strip()
    text = "".join(ch if ch.isprintable() else "�" for ch in text)
    return f"settings.yml:{{{text}}}{line[match.end() :]}"


@pytest.mark.parametrize("broken", SITES, ids=lambda b: b.id)
def test_broken_site_gets_its_lines(broken: Broken, tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    broken.apply(folder)
    lines = said_of(folder)
    assert [by_text(line, folder) for line in lines] == list(SAID[broken.id])
    for line in lines:
        assert "\n" not in line and line.isprintable() and LINE.fullmatch(line), line


def test_catalogue_is_whole() -> None:
    assert [b.id for b in SITES] == list(SAID)
    assert len(SITES) >= 40


# mistakes that don't touch one another: each must be told as if it stood alone
TOGETHER = (
    "misspelt-column", "blank", "not-a-number", "formula-at", "unit-of-another-kind", "above-range",
    "unknown-column", "short-year", "no-such-machine", "lesson-unknown", "job-unknown", "job-share",
    "limits-nobody", "passing-mark-low", "paper", "role-key",
)  # fmt: skip


def test_all_problems_in_one_run(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    by_id = {b.id: b for b in SITES}
    for id_ in TOGETHER:
        by_id[id_].apply(folder)
    together = {by_text(line, folder) for line in said_of(folder)}
    alone = {line for id_ in TOGETHER for line in SAID[id_]}
    assert together == alone


def test_most_important_first(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    by_id = {b.id: b for b in SITES}
    for id_ in ("no-such-machine", "blank", "misspelt-column", "empty"):
        by_id[id_].apply(folder)
    with pytest.raises(SiteProblems) as caught:
        read(folder, LESSONS)
    weights = [p.severity for p in caught.value.problems]
    assert weights == sorted(weights)
    assert weights[0] is Severity.UNREADABLE and weights[-1] is Severity.REFERENCE
    assert str(caught.value).split("\n") == [str(p) for p in caught.value.problems]


FIXES = [
    match for b in SITES if len(SAID[b.id]) == 1
    and (match := re.fullmatch(r"(\w+)\.csv:(\d+):(\w+): .*; write (\d[\d.]*(?: ?[^\s;,]+)?)( if that is meant)?", SAID[b.id][0]))
]  # fmt: skip


@pytest.mark.parametrize("fix", FIXES, ids=lambda m: m[4])
def test_the_fix_of_a_cell_can_be_typed_as_it_stands(fix: re.Match[str], tmp_path: Path) -> None:
    """Where a line says what to write in a cell, writing it mends the cell."""
    folder = copy_demo(tmp_path / "site", languages=False)
    cell("again", f"{fix[1]}.csv", int(fix[2]), fix[3], fix[4]).apply(folder)
    try:
        read(folder, LESSONS, PUBLISHED, ("en", "es"))
    except SiteProblems as e:  # a figure that was read and does not fit this machine
        assert all("; check both figures" in str(p) for p in e.problems), e


def test_fixes_of_cells_are_among_the_lines() -> None:
    assert len(FIXES) >= 8


def test_no_slip_is_seen_in_settings_that_can_be_read(tmp_path: Path) -> None:
    """The search for the slip that stopped the reader is quiet about every line that is right."""
    texts = [(ROOT / "site_demo" / "settings.yml").read_text("utf-8")]
    texts += [starter_files(ROOT / "content", units)["settings.yml"].decode() for units in ("us", "metric")]
    for text in texts:
        for line in range(1, text.count("\n") + 1):
            assert _slip(text, line) is None, text.split("\n")[line - 1]


def test_words_behind_a_number_sign_are_not_lost_without_a_word(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    path.write_text(text.replace("name: Juniper Bench Cut and Fill", "name: Juniper Bench #4"), "utf-8")
    site = read(folder, LESSONS)
    assert site.settings.name == "Juniper Bench"
    line = next(i for i, t in enumerate(text.split("\n"), 1) if t.startswith("  name: "))
    assert [str(n) for n in site.notices] == [
        f"settings.yml:{line}: 'Juniper Bench' was read, and '#4' left out, as what stands behind # is a note; "
        "put the whole value in quotes if it belongs to it [lost-words]"
    ]
    path.write_text(text.replace("name: Juniper Bench Cut and Fill", 'name: "Juniper Bench #4"'), "utf-8")
    site = read(folder, LESSONS)
    assert site.settings.name == "Juniper Bench #4" and site.notices == ()


def test_old_figures_of_the_bench_are_read_and_the_safer_ones_used(tmp_path: Path) -> None:
    """A site from before the fall zone: its own edge figure, and a truck that stood close under the face."""
    folder = copy_demo(tmp_path / "site", languages=False)
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    text = text.replace("  truck_distance: 31 ft", "  edge_distance: 8 ft\n  truck_distance: 22 ft").replace("  fall_zone: 10 ft\n", "")
    path.write_text(text.replace("  excavator: E-2", "  excavator: E-3"), "utf-8")
    machines = (folder / "machines.csv").read_text("utf-8").split("\n")
    lines = {name: next(i for i, t in enumerate(text.split("\n"), 1) if t.startswith(f"  {name}: ")) for name in ("truck_distance",)}
    edge = next(i for i, t in enumerate(text.split("\n"), 1) if t == "  edge_distance: 8 ft")
    site = read(folder, LESSONS)
    assert {str(n) for n in site.notices} == {
        f"settings.yml:{edge}:job.edge_distance: edge_distance is no longer used, as limits.edge_distance counts; take the line out [retired]",
        f"settings.yml:{lines['truck_distance']}:job.truck_distance: truck_distance (22 ft) would put T-1 in the zone where the face may "
        "fall, so the lessons use 25.6 ft; write 25.7 ft or more [truck-distance]",
        f"machines.csv:{next(i for i, t in enumerate(machines, 1) if t.startswith('E-3'))}: E-3 dumps 23.2 ft out, and from a bench of 8.0 ft "
        "the middle of T-1 is 25.6 ft away; set limits.bench_height to 5.5 ft or less, or lead with a machine that reaches "
        "farther; no distance to an edge is given up for reach [truck-reach]",
    }


def without_trucks(folder: Path) -> Path:
    """The demo without a truck: no role runs one, nobody has one, no lesson asks for one."""
    settings, crew = folder / "settings.yml", folder / "crew.csv"
    text = re.sub(r"(?m)^  truck: T-\d.*\n", "", settings.read_text("utf-8"))
    text = re.sub(r"(?m)^  truck-driver:.*\n(?:    .*\n)+", "", text)
    text = re.sub(r"(?m)^      - (truck-match|loading-order|payload-tally|bench-height|standing-on-the-bench|digging-pass)\n", "", text)
    settings.write_text(re.sub(r"(machines: \[.*?),? ?\btruck\b(.*\])", r"\1\2", text), "utf-8")
    lines = [x for x in crew.read_text("utf-8").splitlines() if ",truck-driver," not in x]
    crew.write_text("\n".join(re.sub(r" ?\bT-\d\b", "", x) for x in lines) + "\n", "utf-8")
    return folder


def test_a_site_without_trucks_needs_no_table_of_them(tmp_path: Path) -> None:
    folder = without_trucks(copy_demo(tmp_path / "site", languages=False))
    trucks = folder / "trucks.csv"
    assert read(folder, LESSONS).trucks
    trucks.write_text(trucks.read_text("utf-8").split("\n")[0] + "\n", "utf-8")
    assert read(folder, LESSONS).trucks == ()
    trucks.unlink()
    assert read(folder, LESSONS).trucks == ()
    # a file that may have been meant is not passed over
    (folder / "Trucks.CSV").write_text("id\n", "utf-8")
    assert said_of(folder) == ["trucks.csv: the file is missing; rename Trucks.CSV to trucks.csv"]


def test_problem_lines() -> None:
    assert str(Problem("a.csv", 3, "mass", "it is blank", "fill it in")) == ("a.csv:3:mass: it is blank; fill it in")
    assert str(Problem("a.csv", 3, None, "x", "y")) == "a.csv:3: x; y"
    assert str(Problem("a.csv", None, None, "x", "y")) == "a.csv: x; y"


def test_a_thousand_wrong_cells_stay_readable(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    rows = "".join(f"Z-{i},Truck {i},much,25,25,2.9,18,9.5,10.2,\n" for i in range(2000))
    path = folder / "trucks.csv"
    path.write_text(path.read_text("utf-8") + rows, "utf-8")
    lines = said_of(folder)
    assert len(lines) == 501
    assert lines[0].startswith("trucks.csv:6:payload: 'much' is not a quantity")
    assert lines[-1] == "trucks.csv: there are more problems like these; fix the first ones and check again"


def test_no_folder(tmp_path: Path) -> None:
    assert said_of(tmp_path / "nowhere") == ["nowhere: the job site folder does not exist; give a folder with settings.yml and the tables"]
    (tmp_path / "file").write_text("")
    assert said_of(tmp_path / "file") == ["file: it is not a folder; give a folder with settings.yml and the tables"]


def test_an_empty_folder_names_every_file(tmp_path: Path) -> None:
    lines = said_of(tmp_path)
    assert [line.partition(":")[0] for line in lines] == list(FILES)
    assert all("the file is missing" in line for line in lines)


def test_a_circle_of_links_is_told(tmp_path: Path) -> None:
    folder = copy_demo(tmp_path / "site", languages=False)
    (folder / "crew.csv").unlink()
    (folder / "crew.csv").symlink_to(folder / "crew.csv")
    assert [line.partition(":")[0] for line in said_of(folder)] == ["crew.csv"]


def test_a_site_teaches_only_what_it_needs_figures_for(tmp_path: Path) -> None:
    """A job figure is asked for only where a role has the lesson that uses it."""
    folder = copy_demo(tmp_path / "site", languages=False)
    path = folder / "settings.yml"
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"(?m)^  trench_.*\n", "", text), "utf-8")
    assert said_of(folder)
    for lesson in ("trench-to-grade", "trench-walls", "trench-boxes", "found-a-line"):
        text = text.replace(f"      - {lesson}\n", "")
    path.write_text(re.sub(r"(?m)^  trench_(?!entry).*\n", "", text), "utf-8")
    assert "trench_depth" not in read(folder, LESSONS).settings.job
