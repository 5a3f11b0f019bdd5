"""Pictures of any shape and size stand well: in filled rows, sharp, and none larger than its file."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.words import Audience
from tests.faces.report.conftest import Build
from tests.faces.report.measured import faults, pictures_of, rows_of
from tests.faces.report.odd_pictures import drawn, many, odd_mix, with_pictures

WIDTHS_PX = (360, 480, 720, 1080, 1440, 1920)
SCALES = (1, 2)
Open = Callable[..., Any]


@pytest.fixture
def open_(browser: Any) -> Iterator[Open]:
    """Open a page in a window of its own, so that nothing is cached that another width had loaded."""
    opened = []

    def opening(page: Path, width: int, scale: int = 1, **how: Any) -> Any:
        within = browser.new_context(
            viewport={"width": width, "height": 800}, device_scale_factor=scale, **how
        )
        opened.append(within)
        shown = within.new_page()
        shown.goto(page.as_uri())
        return shown

    yield opening
    for one in opened:
        one.close()


def judged(page: Any, scale: int) -> list[str]:
    """What is wrong with the pictures of an opened page, in words."""
    pictures = pictures_of(page)
    assert pictures
    found = [
        f"{fault}: {one['name']} {one['drawn']:.0f} px in {one['place']}"
        for fault, one in faults(pictures, scale)
    ]
    across = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    return [*found, *holes(page), *([f"{across} px too wide"] if across > 0 else [])]


def holes(page: Any) -> Iterator[str]:
    """Rows that leave over a third of their line, whose pictures differ in height, or that changed order."""
    for grid in rows_of(page):
        numbers = [one["number"] for row in grid["rows"] for one in row]
        if "delivered" not in grid["name"] and numbers != sorted(numbers):
            yield f"{grid['name']}: {numbers}"
        for row in grid["rows"]:
            taken = max(one["left"] + one["width"] for one in row) / grid["line"]
            heights = [one["high"] for one in row]
            if not 2 / 3 <= taken <= 1.001:
                yield f"{grid['name']}: a row takes {taken:.2f} of its line"
            if max(heights) - min(heights) > 1.5:
                yield f"{grid['name']}: heights {heights}"


def pages_of(folder: Path) -> list[Path]:
    """A report's pages that have pictures, and two of its large views."""
    views = sorted((folder / "pages").glob("*.html"))
    pages = [page for page in sorted(folder.glob("*.html")) if "<img" in page.read_text(encoding="utf-8")]
    assert pages
    return [*pages, *views[:: max(1, len(views) - 1)]]


@pytest.mark.slow
@pytest.mark.parametrize("width", WIDTHS_PX)
@pytest.mark.parametrize("audience", list(Audience))
def test_every_picture_of_the_sample_is_sharp_and_no_larger_a_file_than_needed(
    demo: Path, open_: Open, audience: Audience, width: int
) -> None:
    for page in pages_of(demo / str(audience)):
        for scale in SCALES:
            assert judged(open_(page, width, scale), scale) == [], page.name


@pytest.mark.slow
@pytest.mark.parametrize("audience", list(Audience))
def test_every_picture_of_an_odd_trip_is_sharp_and_stands_in_a_filled_row(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open, audience: Audience
) -> None:
    report = build(with_pictures(account, odd_mix(tmp_path), captioned=True), audience)
    for page in pages_of(report.index.parent):
        for width in WIDTHS_PX:
            for scale in SCALES:
                assert judged(open_(page, width, scale), scale) == [], (page.name, width, scale)


@pytest.mark.slow
@pytest.mark.parametrize("count", [60, 400])
def test_many_pictures_without_a_word_stand_in_filled_rows(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open, count: int
) -> None:
    report = build(with_pictures(account, many(tmp_path, count)))
    for width in (360, 1440):
        assert judged(open_(report.index, width), 1) == []


@pytest.mark.slow
@pytest.mark.parametrize("width", [360, 1440])
def test_a_few_odd_pictures_stand_in_filled_rows(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open, width: int
) -> None:
    sizes = [(1400, 200), (160, 800), (100, 75), (4, 20), (900, 600), (600, 900)]
    paths = [drawn(tmp_path, f"odd-{at}", size) for at, size in enumerate(sizes)]
    report = build(with_pictures(account, paths), Audience.ARCHIVE)
    assert judged(open_(report.index, width), 1) == []


@pytest.mark.slow
def test_a_trip_of_one_picture_has_no_empty_headings(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open
) -> None:
    report = build(with_pictures(account, [drawn(tmp_path, "one", (1500, 1000))]))
    page = open_(report.index, 1440)
    assert page.locator(".opening img").count() == 1
    assert page.locator("#more, #pictures").count() == 0
    told = (
        "[...document.querySelectorAll('section')].map(s => [s.innerText, s.querySelector('h2')?.innerText])"
    )
    sections = page.evaluate(told)
    assert len(sections) > 3
    assert [head for text, head in sections if text.strip() == head] == []


@pytest.mark.slow
def test_a_stamp_never_opens_while_there_is_a_picture_of_some_size(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open
) -> None:
    paths = [drawn(tmp_path, "stamp", (120, 80)), drawn(tmp_path, "tower", (300, 1500))]
    page = open_(build(with_pictures(account, paths)).index, 1440)
    assert page.evaluate("document.querySelector('.opening img').naturalHeight") > 400
    assert page.locator("#more img").count() == 1


@pytest.mark.slow
@pytest.mark.parametrize("size", [(120, 80), (300, 1500), (3000, 400)])
def test_a_lone_odd_picture_opens_whole_and_in_its_own_size(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open, size: tuple[int, int]
) -> None:
    page = open_(build(with_pictures(account, [drawn(tmp_path, "odd", size)])).index, 1440)
    box = page.locator(".opening img").bounding_box()
    assert box["width"] <= size[0] + 0.5
    assert box["height"] <= 0.86 * 800 + 1
    assert box["width"] / box["height"] == pytest.approx(size[0] / size[1], rel=0.02)


@pytest.mark.slow
def test_a_panorama_is_scrolled_by_keys_on_a_phone_and_without_script(
    account: TripAccount, build: Build, tmp_path: Path, open_: Open
) -> None:
    paths = [drawn(tmp_path, "pano", (2800, 400)), drawn(tmp_path, "other", (900, 600))]
    report = build(with_pictures(account, paths), Audience.ARCHIVE)
    page = open_(report.index, 360, java_script_enabled=False)
    frame = page.locator("#pictures .rows a").first
    frame.scroll_into_view_if_needed()
    until(page, lambda: frame.evaluate("a => a.scrollWidth > 2 * a.clientWidth"))
    assert frame.evaluate("a => a.getBoundingClientRect().height") > 100
    frame.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    until(page, lambda: frame.evaluate("a => a.scrollLeft > 50"))


def until(page: Any, holds: Callable[[], bool]) -> None:
    """Wait until something holds; the page's policy allows no function that would wait within it."""
    for _ in range(100):
        if holds():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it never did")
