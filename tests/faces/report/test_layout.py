"""Where things stand on the demo's pages, wide and on a phone, in a real browser."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.faces.demo_pages import text_pages

# Of every link to a shot: its height, whether it looks like one, how far its detail begins beside its title
LINKS = (
    "[...document.querySelectorAll('.planned li > a, .outcomes li > a')].map(a => ["
    " a.getBoundingClientRect().height, getComputedStyle(a.querySelector('bdi')).textDecorationLine,"
    " getComputedStyle(a).color === getComputedStyle(document.body).color,"
    " Math.abs(parseFloat(getComputedStyle(a.parentElement.querySelector('.detail')).paddingLeft)"
    " + a.getBoundingClientRect().left - a.querySelector('bdi').getBoundingClientRect().left)])"
)
WIDTHS = {"wide": 1280, "phone": 360}


@pytest.fixture(params=WIDTHS)
def page(browser: Any, demo: Path, request: pytest.FixtureRequest) -> Iterator[Any]:
    """The client's report."""
    opened = browser.new_page(viewport={"width": WIDTHS[request.param], "height": 900})
    opened.goto((demo / "client" / "index.html").as_uri())
    yield opened
    opened.close()


@pytest.mark.slow
@pytest.mark.parametrize("audience", ["client", "students"])
def test_a_link_to_a_shot_looks_like_a_link_and_is_large_enough_for_a_thumb(
    browser: Any, demo: Path, audience: str
) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    links = []
    for path in text_pages(demo / audience):
        page.goto(path.as_uri())
        links += page.evaluate(LINKS)
    page.close()
    assert len(links) >= 5
    for high, line, black, askew in links:
        assert high >= 24  # CSS pixels: WCAG 2.2, success criterion 2.5.8
        assert line == "underline"
        assert not black
        assert askew < 1  # what is said of a shot begins under its title


@pytest.mark.slow
@pytest.mark.parametrize("width", WIDTHS.values(), ids=WIDTHS)
def test_one_picture_across_fills_its_page(browser: Any, demo: Path, width: int) -> None:
    students = browser.new_page(viewport={"width": width, "height": 900})
    shares = []
    for path in text_pages(demo / "students"):
        students.goto(path.as_uri())
        shares += students.evaluate(
            "[...document.querySelectorAll('.recto .plates.small')].filter(p => p.children.length === 1)"
            ".map(p => p.querySelector('img')).filter(i => i.width > i.height)"
            ".map(i => i.getBoundingClientRect().width / i.closest('.plates').getBoundingClientRect().width)"
        )
    students.close()
    assert len(shares) >= 5
    assert min(shares) > 0.95


@pytest.mark.slow
def test_the_best_pictures_stand_whole_in_the_window_and_as_large_as_it_lets_them(page: Any) -> None:
    drawn = page.evaluate(
        "[...document.querySelectorAll('.great img')].map(i => i.getBoundingClientRect())"
        ".map(r => [r.height / innerHeight, r.width / innerWidth])"
    )
    assert 6 <= len(drawn) <= 10
    for high, wide in drawn:
        assert high < 0.9
        assert high > 0.7 or wide > 0.85


@pytest.mark.slow
def test_the_first_ten_screens_of_a_client_are_mostly_picture(browser: Any, demo: Path) -> None:
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto((demo / "client" / "index.html").as_uri())
    shares = page.evaluate(
        """[...Array(10).keys()].map(screen => [...document.images].reduce((sum, image) => {
          const box = image.getBoundingClientRect(), top = screen * 900;
          return sum + box.width * Math.max(0, Math.min(box.bottom, top + 900) - Math.max(box.top, top));
        }, 0) / (1440 * 900))"""
    )
    page.close()
    assert sum(shares) / 10 > 0.45
    assert shares[0] > 0.5
    assert len([share for share in shares if share > 0.4]) >= 8


@pytest.mark.slow
def test_the_last_row_of_the_contact_sheet_is_as_high_as_the_others(browser: Any, demo: Path) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((demo / "students" / "pictures.html").as_uri())
    rows = page.evaluate(
        "[...document.querySelectorAll('.contact img')].map(i => i.getBoundingClientRect())"
        ".map(r => [r.top, r.height])"
    )
    page.close()
    heights = [high for _, high in rows]
    assert len({round(top) for top, _ in rows}) > 2
    last = max(high for top, high in rows if top == max(top for top, _ in rows))
    assert last <= max(heights[: len(heights) // 2]) * 1.05


@pytest.mark.slow
def test_a_day_without_a_plan_has_as_wide_a_line_as_one_with_a_plan(browser: Any, demo: Path) -> None:
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    wide: dict[bool, set[int]] = {}
    for day in sorted((demo / "students").glob("day-*.html")):
        page.goto(day.as_uri())
        has_plan = page.locator(".day > .margin").count() > 0
        told = page.locator(".told").first.evaluate("e => Math.round(e.offsetWidth)")
        wide.setdefault(has_plan, set()).add(told)
    page.close()
    assert wide[False] == wide[True]
