"""Tables, pairs and exercises in a real browser: by keyboard, without script, on a phone, on paper."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.faces.demo_pages import text_pages

ROWS = 25  # keepers of the sample whose settings students see
COLUMN = "rows => rows.map(row => row.cells[{}].textContent.trim())"


@pytest.fixture
def page(browser: Any, demo: Path) -> Iterator[Any]:
    opened = browser.new_page(viewport={"width": 1280, "height": 900})
    opened.goto((demo / "students" / "pictures.html").as_uri())
    yield opened
    opened.close()


def column(page: Any, index: int) -> list[str]:
    """The texts of a column of the settings table, of the rows that are shown."""
    found: list[str] = page.eval_on_selector_all("#settings tbody tr:not([hidden])", COLUMN.format(index))
    return found


def seconds(text: str) -> float:
    """A marked time in seconds."""
    number, unit = text.split()
    top, _, bottom = number.partition("/")
    return float(top) / float(bottom or 1) * {"s": 1, "min": 60}[unit]


@pytest.mark.slow
def test_a_heading_sorts_by_keyboard_and_says_which_way(page: Any) -> None:
    before = column(page, 1)
    button = page.get_by_role("button", name="Shutter speed", exact=True)
    button.focus()
    page.keyboard.press("Enter")
    head = page.locator("#settings thead th", has_text="Shutter speed")
    assert head.get_attribute("aria-sort") == "ascending"
    rising = [seconds(text) for text in column(page, 1)]
    assert rising == sorted(rising)
    assert rising[-1] == 1800  # 30 min counts as time, not as text
    page.keyboard.press("Space")
    assert head.get_attribute("aria-sort") == "descending"
    assert [seconds(text) for text in column(page, 1)] == rising[::-1]
    told = page.locator("#settings output").inner_text()
    assert told == f"{ROWS} of {ROWS} rows, by Shutter speed, falling"
    assert page.locator("#settings [aria-sort]").count() == 1
    page.get_by_role("button", name="Picture", exact=True).click()
    assert column(page, 1) == before


@pytest.mark.slow
def test_what_is_unknown_comes_last_both_ways(page: Any) -> None:
    button = page.locator("#settings thead button", has_text="Filters")
    for last in ("none", "none"), ("ND128", "ND128"):
        button.click()
        filters = column(page, 5)
        assert filters[0] == last[0]
        assert filters[-2:] == ["unknown", "unknown"]
        assert "unknown" not in filters[:-2]


@pytest.mark.slow
def test_the_labelled_filter_shows_rows_with_every_word_and_tells_their_number(page: Any) -> None:
    field = page.locator("#settings").get_by_label("Rows that contain")
    assert field.evaluate("field => field.tagName + field.type") == "INPUTsearch"
    status = page.locator("#settings").get_by_role("status")
    assert status.inner_text() == f"{ROWS} of {ROWS} rows"
    field.fill("TRIPOD none")
    shown = column(page, 6)
    assert 0 < len(shown) < ROWS
    assert set(shown) == {"tripod"}
    assert set(column(page, 5)) == {"none"}
    assert status.inner_text() == f"{len(shown)} of {ROWS} rows"
    page.locator("#settings thead button", has_text="ISO").click()
    assert len(column(page, 6)) == len(shown)
    field.fill("no such thing")
    assert status.inner_text() == f"0 of {ROWS} rows"
    field.fill("")
    assert len(column(page, 0)) == ROWS


@pytest.mark.slow
def test_without_script_every_row_and_every_answer_is_there(browser: Any, demo: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo / "students" / "pictures.html").as_uri())
    assert page.locator("#settings tbody tr").count() == ROWS
    assert page.locator("main button, main input").count() == 0
    page.goto((demo / "students" / "exercises.html").as_uri())
    folded = page.locator("#exercises details")
    assert folded.count() >= 5
    for n in range(folded.count()):
        answer = folded.nth(n).locator(".answer")
        assert not answer.is_visible()
        folded.nth(n).locator("summary").focus()
        page.keyboard.press("Enter")
        assert answer.is_visible()
    context.close()


@pytest.mark.slow
@pytest.mark.parametrize("audience", ["client", "students", "archive"])
def test_nothing_is_wider_than_a_phone_with_everything_unfolded(
    browser: Any, demo: Path, audience: str
) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    for path in text_pages(demo / audience):
        page.goto(path.as_uri())
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        wide, room = page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert wide <= room, path
        targets = "Array.from(document.querySelectorAll('button, input, summary, .at-hand a, .turning a'))"
        small = f"{targets}.filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 24).length"
        assert page.evaluate(small) == 0, path  # WCAG 2.2, 2.5.8: 24 CSS pixels
    page.close()


@pytest.mark.slow
def test_paper_shows_the_answers_and_no_controls(page: Any, demo: Path) -> None:
    page.emulate_media(media="print")
    assert page.locator("#settings .tools").count() == 1
    assert not page.locator("#settings .tools").is_visible()
    page.goto((demo / "students" / "exercises.html").as_uri())
    folded = page.locator("#exercises details:not([open]) .answer")
    assert folded.count() >= 5
    assert all(folded.nth(n).bounding_box()["height"] > 0 for n in range(folded.count()))


@pytest.mark.slow
def test_the_download_is_the_file_beside_the_page(page: Any, demo: Path) -> None:
    with page.expect_download() as waiting:
        page.click("#settings .download a")
    assert waiting.value.suggested_filename == "settings.csv"
    saved = Path(waiting.value.path()).read_bytes()
    assert saved == (demo / "students" / "settings.csv").read_bytes()
