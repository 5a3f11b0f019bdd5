"""The large view: as large as window and file allow, words on demand, turned by keys and by a finger."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

# What was drawn against what was loaded, for the one picture of the page.
DRAWN = """async () => {
  const picture = document.querySelector('figure.large img');
  await picture.decode();
  const file = new Image();
  file.src = picture.currentSrc;
  await file.decode();
  const box = picture.getBoundingClientRect();
  return {
    stretched: devicePixelRatio * Math.min(box.width / file.naturalWidth, box.height / file.naturalHeight),
    filled: Math.max(box.width / innerWidth, box.height / innerHeight),
    above: box.top, below: innerHeight - box.bottom,
  };
}"""

Visit = Callable[..., Any]


@pytest.fixture
def visit(browser: Any, demo: Path) -> Any:
    """Open the large view of the picture with a number."""
    opened = []

    def open_(number: int, width: int = 1280, height: int = 800, dpr: int = 1, **context: Any) -> Any:
        within = browser.new_context(
            viewport={"width": width, "height": height}, device_scale_factor=dpr, **context
        )
        opened.append(within)
        page = within.new_page()
        page.goto((demo / "client" / "pages" / f"picture-{number:03d}.html").as_uri())
        return page

    yield open_
    for one in opened:
        one.close()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("size", "dpr"),
    [
        ((360, 740), 2),
        ((740, 360), 1),
        ((1280, 800), 1),
        ((1920, 1080), 2),
        ((360, 740), 1),
        ((740, 360), 2),
        ((1280, 800), 2),
        ((1920, 1080), 1),
    ],
)
def test_a_picture_is_never_drawn_larger_than_its_file(visit: Visit, size: tuple[int, int], dpr: int) -> None:
    assert visit(5, *size, dpr=dpr).evaluate(DRAWN)["stretched"] <= 1.001


@pytest.mark.slow
@pytest.mark.parametrize("size", [(360, 740), (740, 360), (1280, 800)])
def test_it_fills_the_window_in_one_direction_and_stands_whole_in_it(
    visit: Visit, size: tuple[int, int]
) -> None:
    drawn = visit(5, *size).evaluate(DRAWN)
    assert drawn["filled"] > 0.98
    assert min(drawn["above"], drawn["below"]) >= -1


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_room_is_dark_whatever_light_the_reader_prefers(visit: Visit, scheme: str) -> None:
    page = visit(5, color_scheme=scheme)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(11, 13, 14)"


@pytest.mark.slow
def test_it_says_which_of_how_many_it_is(visit: Visit) -> None:
    page = visit(5)
    assert page.inner_text(".place-in-row") == "5 of 25"


@pytest.mark.slow
def test_words_come_on_demand_and_without_script_too(visit: Visit) -> None:
    page = visit(5, java_script_enabled=False)
    assert not page.locator(".about-picture .facts").is_visible()
    page.click(".about-picture summary")
    assert page.locator(".about-picture .facts").is_visible()


@pytest.mark.slow
def test_a_click_on_the_picture_takes_the_words_away_and_the_keyboard_brings_them_back(visit: Visit) -> None:
    page = visit(5)
    page.locator("figure.large img").dispatch_event("click")
    assert not page.locator(".turn").is_visible()
    page.keyboard.press("c")
    assert page.locator(".about-picture .facts").is_visible()


@pytest.mark.slow
@pytest.mark.parametrize(("key", "number"), [("ArrowRight", 6), ("ArrowLeft", 4)])
def test_arrow_keys_turn_to_the_neighbours(visit: Visit, key: str, number: int) -> None:
    page = visit(5)
    with page.expect_navigation():
        page.keyboard.press(key)
    assert page.url.endswith(f"picture-{number:03d}.html")


@pytest.mark.slow
def test_turning_leaves_the_way_back_to_the_report_one_step_long(visit: Visit, demo: Path) -> None:
    page = visit(5)
    page.goto((demo / "client" / "index.html").as_uri())
    page.goto((demo / "client" / "pages" / "picture-005.html").as_uri())
    for _ in range(3):
        with page.expect_navigation():
            page.keyboard.press("ArrowRight")
    page.go_back()
    assert page.url.endswith("client/index.html")


@pytest.mark.slow
@pytest.mark.parametrize(("across", "number"), [(-200, 6), (200, 4), (-20, 5)])
def test_a_finger_turns_and_a_short_touch_does_not(visit: Visit, across: int, number: int) -> None:
    page = visit(5, 360, 740, has_touch=True)
    page.evaluate(
        """across => {
          const figure = document.querySelector('figure.large');
          const touch = x => new Touch({identifier: 1, target: figure, clientX: x, clientY: 300});
          const tell = (what, touches, changedTouches) =>
            figure.dispatchEvent(new TouchEvent(what, {touches, changedTouches}));
          tell('touchstart', [touch(250)], [touch(250)]);
          tell('touchend', [], [touch(250 + across)]);
        }""",
        across,
    )
    page.wait_for_timeout(300)
    assert page.url.endswith(f"picture-{number:03d}.html")


@pytest.mark.slow
def test_the_neighbours_are_fetched_in_advance(visit: Visit) -> None:
    page = visit(5)
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url))
    page.reload(wait_until="networkidle")
    assert len({url.rpartition("-")[0] for url in asked if url.endswith(".jpg")}) == 3


@pytest.mark.slow
def test_on_paper_the_words_stand_under_the_picture(visit: Visit) -> None:
    page = visit(5)
    page.emulate_media(media="print")
    assert page.locator(".about-picture .facts").is_visible()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != "rgb(11, 13, 14)"
