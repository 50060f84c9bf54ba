"""Every sheet on paper: one page, nothing cut, text that can be selected; Letter and A4."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest


def sheets(out: Path) -> list[Path]:
    return sorted((out / "web/sheets").glob("*.html")) + sorted((out / "mentor/keys").glob("*.html"))


def _text(pdf: Path) -> tuple[int, str]:
    """How many pages there are, and their text."""
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return text.count("\f"), text  # a form feed ends each page


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_every_sheet_is_one_page(demo: Path, browser: Any, tmp_path: Path, paper: str) -> None:
    wrong = []
    page = browser.new_page()
    for sheet in sheets(demo / "out"):
        for units in ("us", "metric"):
            if "mentor" in sheet.parts and (units == "metric" or paper == "A4"):
                continue
            page.goto(f"{sheet.as_uri()}?units={units}")
            page.emulate_media(media="print")
            cut = page.evaluate(
                """[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1
                   && !e.closest('svg, math')).length"""
            )
            pdf = tmp_path / f"{sheet.stem}.pdf"
            page.pdf(path=str(pdf), format=paper)
            pages, text = _text(pdf)
            # an answer key may run over; it is not handed round
            if pages != 1 and "keys" not in sheet.parts:
                wrong.append(f"{sheet.name} in {units} on {paper}: {pages} pages")
            if cut:
                wrong.append(f"{sheet.name}: {cut} parts stick out")
            title = page.title().split(":")[0].split()[0]
            if title not in text:
                wrong.append(f"{sheet.name}: its text cannot be selected")
    page.close()
    assert not wrong, wrong[:12]


def test_a_sheet_prints_from_its_button_and_shows_no_tools_on_paper(demo: Path, browser: Any) -> None:
    page = browser.new_page()
    page.add_init_script("window.print = () => { window.asked = (window.asked || 0) + 1; };")
    page.goto((demo / "out/web/sheets/bench-height.html").as_uri())
    page.get_by_role("button", name="Print this sheet").click()
    assert page.evaluate("window.asked") == 1
    page.emulate_media(media="print")
    assert not page.locator(".tools").is_visible()
    page.close()


def test_sheets_can_be_printed_to_pdf_from_the_command_line(demo: Path, tmp_path: Path) -> None:
    from generator.publish.pdf import print_all

    said: list[str] = []
    sheet = demo / "out/web/sheets/bench-height.html"
    print_all([(sheet, tmp_path / "bench.pdf")], said.append)
    pages, text = _text(tmp_path / "bench.pdf")
    assert pages == 1 and "bench" in text
    assert said and "1 of 1" in said[0]


def test_without_a_browser_there_is_one_clear_line(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    from generator.cli.main import main
    from generator.publish import pdf
    from tests.conftest import DEMO

    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("SEATWORK_BROWSER", raising=False)
    monkeypatch.setattr(pdf, "PLACES", ())
    assert main(["build", str(DEMO), "--pdf", "--quiet"]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1 and "no Chromium-family browser" in err and "SEATWORK_BROWSER" in err
