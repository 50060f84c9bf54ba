"""Paper quizzes in each person's language of the crew table, marked alike."""

from __future__ import annotations

import json
import re
from pathlib import Path

from generator.publish.build import build, load
from generator.publish.paper import write_papers
from generator.records.editions import load_editions
from generator.records.paper import paper_result
from tests.conftest import copy_demo
from tests.sites import own_lesson


def test_each_is_in_the_persons_language_and_all_are_marked_alike(tmp_path: Path) -> None:
    folder = own_lesson(copy_demo(tmp_path / "site", languages=True), lessons="[stop-work]")
    for name in ("lessons/look-first.md", "questions/look-first.yml", "mentors.csv"):
        (folder / name).unlink()
    rows = (
        "P-01,Ana,digger,E-1,2026-01-05,es",
        "P-02,Bo,digger,E-1,2026-01-05,en",
        "P-03,Cy,digger,E-1,2026-01-05,pl",
        "P-04,Di,digger,E-1,2026-01-05,",
    )
    crew = folder / "crew.csv"
    crew.write_text("\n".join(("id,name,role,machines,start,language", *rows, "")), "utf-8")
    build(folder, lambda _: None)
    made = {s.crew: s for s in write_papers(folder, ["stop-work"], [], 1, None).sheets}
    words = {id_: re.search(r'<html[^>]* lang="(\w+)"', s.html) for id_, s in made.items()}
    assert {id_: m and m[1] for id_, m in words.items()} == {"P-01": "es", "P-02": "en", "P-03": "en", "P-04": "en"}
    assert "Cualquiera puede parar el trabajo" in made["P-01"].html and made["P-01"].code in made["P-01"].html
    assert "Anyone may stop the work" in made["P-02"].html and "Anyone may stop" not in made["P-01"].html + made["P-01"].key
    spanish = json.loads(made["P-01"].kept)
    assert spanish["language"] == "es" and "language" not in json.loads(made["P-02"].kept)
    crew.write_text(crew.read_text("utf-8").replace("-05,es", "-05,en"), "utf-8")
    english = json.loads(write_papers(folder, ["stop-work"], ["P-01"], 1, None).sheets[0].kept)
    assert english["questions"] == spanish["questions"]  # the same figures, in the same order, with the same right answers
    site = load(folder)[1]
    row = {"sheet": made["P-01"].code, "crew": "P-01", "lesson": "stop-work", "date": "2026-03-14"}
    found = paper_result(site, load_editions(folder), row, "answers.csv:2")
    assert found is not None and found[0].language == "es" and found[1].questions == tuple(spanish["questions"])
