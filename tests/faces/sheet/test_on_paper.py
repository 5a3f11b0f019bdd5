"""The sheet in a real browser: pages on paper, width of a phone, and nothing executed or fetched."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.faces.main import status_of
from logbook.faces.sheet.models import Paper
from tests.examples import first, slow
from tests.faces.paper import (
    MARK,
    MARKED,
    PDFTOPPM,
    PDFTOTEXT,
    cards_on,
    filled,
    headings_left_alone,
    sheets_of,
)

HOSTILE = (
    "<script>window.struck=1</script><img src=x onerror='window.struck=2'><svg onload='window.struck=3'>"
    "</style></title><base href='https://elsewhere.example/'> {{ 7*7 }} \u202e\u05e9\u05dc\u05d5\u05dd "
)
SIZES_PT = {Paper.A4: (595, 842), Paper.LETTER: (612, 792)}  # ISO 216 and ANSI/ASME Y14.1, in points


def hostile(account: TripAccount) -> TripAccount:
    long = HOSTILE + "x" * 9000
    return replace(
        account,
        trip=replace(account.trip, title=HOSTILE),
        shots=tuple(replace(s, title=HOSTILE, intent=long, notes=long) for s in account.shots),
        sites={k: replace(s, title=HOSTILE, access=long, hazards=long) for k, s in account.sites.items()},
        viewpoints={k: replace(v, title=HOSTILE, hazards=long) for k, v in account.viewpoints.items()},
        kit={key: replace(item, title=HOSTILE) for key, item in account.kit.items()},
    )


@pytest.mark.slow
@pytest.mark.parametrize("change", [lambda one: one, hostile], ids=["plain", "hostile"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_sheet_runs_nothing_asks_nobody_and_fits_the_screen(
    account: TripAccount, page_of: Callable[..., Path], browser: Any, width: int, change: Any
) -> None:
    place = page_of(change(account))
    page = browser.new_page(viewport={"width": width, "height": 740})
    asked: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(place.as_uri())
    across = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    struck = page.evaluate("window.struck")
    styled = page.evaluate("getComputedStyle(document.querySelector('h1')).fontWeight")
    page.close()
    assert asked == [place.as_uri()]
    assert (complaints, struck, across) == ([], None, 0)
    assert styled == "400", "the page's own style passed its security policy"


def pdf_of(browser: Any, place: Path, tmp_path: Path) -> tuple[int, tuple[int, int]]:
    """Print a page as its own style says; return the count of pages and their size in points."""
    page = browser.new_page()
    page.goto(place.as_uri())
    made = page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    page.close()
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", made)
    assert box
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", made)), (round(float(box[1])), round(float(box[2])))


@pytest.mark.slow
@pytest.mark.parametrize("paper", Paper)
def test_a_small_day_is_one_page_or_two(
    account: TripAccount, page_of: Callable[..., Path], browser_with_fonts: Any, paper: Paper, tmp_path: Path
) -> None:
    pages, size = pdf_of(browser_with_fonts, page_of(account, paper=paper), tmp_path)
    assert pages <= 2
    assert size == pytest.approx(SIZES_PT[paper], abs=1)


@pytest.mark.slow
@pytest.mark.parametrize("site", ["long-dune", "quarry-gorge"])
def test_no_table_of_the_page_before_going_back_is_wider_than_its_column_on_paper(
    demo_book: Path, browser_with_fonts: Any, site: str, tmp_path: Path
) -> None:
    place = tmp_path / "before.html"
    wish = ["--on", "2026-10-20", "--wish", "6s", "--f-number", "16"]
    assert status_of(["--book", str(demo_book), "before", site, *wish, "--into", str(place)]) == 0
    page = browser_with_fonts.new_page(
        viewport={"width": 718, "height": 1062}
    )  # A4 less its margins, in CSS pixels
    page.emulate_media(media="print")
    page.goto(place.as_uri())
    tables = page.evaluate(
        "[...document.querySelectorAll('table')].map(t => [t.scrollWidth, t.parentElement.clientWidth])"
    )
    page.close()
    assert tables
    assert [(wide, room) for wide, room in tables if wide > room + 1] == []


WISH = ["--on", "2026-10-20", "--wish", "6s", "--f-number", "16"]
PRINTED = {
    "a full day": ["sheet", "high-valley", "--on", "2025-10-16"],
    "a day of two places": ["sheet", "high-valley", "--on", "2025-10-14"],
    "before a place with many visits": ["before", "quarry-gorge", *WISH],
    "before a place of few words": ["before", "long-dune"],
}
CARDS = ".shot, .parts dl > div, .seen li, .cautions li, .kit li"


@pytest.mark.skipif(not (PDFTOTEXT and PDFTOPPM), reason="Poppler's tools are not installed")
@pytest.mark.parametrize("paper", [Paper.A4, *slow(Paper.LETTER)])
@pytest.mark.parametrize("name", first(PRINTED, 1))
def test_pages_are_filled_no_heading_stands_last_and_no_card_is_cut(
    demo_book: Path, browser_with_fonts: Any, paper: Paper, name: str, tmp_path: Path
) -> None:
    place, printed = tmp_path / "page.html", tmp_path / "page.pdf"
    into = ["--into", str(place), "--paper", str(paper)]
    assert status_of(["--book", str(demo_book), *PRINTED[name], *into]) == 0
    page = browser_with_fonts.new_page()
    page.goto(place.as_uri())
    cards = page.evaluate(MARKED, ["h2, h3", CARDS, MARK])
    page.pdf(path=printed, prefer_css_page_size=True)
    page.close()
    _, size = pdf_of(browser_with_fonts, place, tmp_path)
    assert size == pytest.approx(SIZES_PT[paper], abs=1)
    assert [share for share in filled(printed)[:-1] if share < 0.5] == []
    sheets = sheets_of(printed)
    assert [left for sheet in sheets for left in headings_left_alone(sheet)] == []
    told = [cards_on(sheet) for sheet in sheets]
    assert cards > 5
    assert sum(len(begun) for begun, _ in told) == cards
    assert [begun ^ ended for begun, ended in told if begun != ended] == []


@pytest.mark.slow
@pytest.mark.parametrize("paper", Paper)
def test_no_table_of_a_day_is_wider_than_its_column_on_paper(
    demo_book: Path, browser_with_fonts: Any, paper: Paper, tmp_path: Path
) -> None:
    place = tmp_path / "day.html"
    command = ["--book", str(demo_book), "sheet", "high-valley", "--on", "2025-10-16"]
    assert status_of([*command, "--into", str(place), "--paper", str(paper)]) == 0
    across_px = {Paper.A4: 718, Paper.LETTER: 740}[paper]  # less its margins
    page = browser_with_fonts.new_page(viewport={"width": across_px, "height": 1000})
    page.emulate_media(media="print")
    page.goto(place.as_uri())
    tables = page.evaluate(
        "[...document.querySelectorAll('table')].map(t => [t.scrollWidth, t.parentElement.clientWidth])"
    )
    page.close()
    assert len(tables) == 2
    assert [(wide, room) for wide, room in tables if wide > room + 1] == []


@pytest.mark.slow
@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_the_demos_fullest_day_prints_on_two_pages(
    demo_book: Path, browser_with_fonts: Any, paper: Paper, tmp_path: Path
) -> None:
    place = tmp_path / "day.html"
    command = ["--book", str(demo_book), "sheet", "high-valley", "--on", "2025-10-16"]
    assert status_of([*command, "--into", str(place), "--paper", str(paper)]) == 0
    pages, size = pdf_of(browser_with_fonts, place, tmp_path)
    assert pages <= 2
    assert size == pytest.approx(SIZES_PT[paper], abs=1)
    page = browser_with_fonts.new_page()
    page.emulate_media(media="print")
    page.goto(place.as_uri())
    smallest = page.evaluate(
        "Math.min(...[...document.querySelectorAll('body *')].filter(e => e.getClientRects().length)"
        ".map(e => parseFloat(getComputedStyle(e).fontSize)))"
    )
    over = page.evaluate(
        "[...document.querySelectorAll('table')].some(t => t.scrollWidth > t.parentElement.clientWidth + 1)"
    )
    page.close()
    assert smallest * 72 / 96 >= 8.5 - 0.01  # pt
    assert not over


@pytest.mark.slow
def test_on_a_phone_each_label_to_write_at_stands_on_one_row_with_its_line(
    account: TripAccount, page_of: Callable[..., Path], browser: Any
) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(page_of(account).as_uri())
    lines = page.evaluate(
        "[...document.querySelectorAll('.write i')].filter(i => !i.closest('.box')).map(i => {"
        " const label = document.createRange(); label.selectNode(i.previousSibling);"
        " const word = label.getBoundingClientRect(), line = i.getBoundingClientRect();"
        " return [line.left - word.right, Math.abs(line.bottom - word.bottom), line.width]; })"
    )
    page.close()
    assert len(lines) == 12  # six for each of two shots
    for after, below, wide in lines:
        assert after >= 0
        assert below < 8
        assert wide > 30
