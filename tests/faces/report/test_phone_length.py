"""How long the students' pages are on a phone, and that what is folded there is lost nowhere."""

from pathlib import Path
from typing import Any

import pytest

from tests.faces.demo_pages import text_pages

PHONE = {"width": 360, "height": 800}
LONGEST, LONGEST_FIRST = 15_000, 10_000  # px; before there was a page a day, one page had 83,292
FOLDED = (
    "[...document.querySelectorAll('details:not([open])')]"
    ".filter(e => !e.closest('.at-hand, .drawing') && !e.parentElement.closest('details'))"
    ".map(e => [e.querySelector('summary').innerText, e.lastElementChild.checkVisibility()])"
)


@pytest.fixture
def phone(browser: Any) -> Any:
    return browser.new_page(viewport=PHONE)


@pytest.mark.slow
def test_no_page_for_students_is_long_on_a_phone(demo: Path, phone: Any) -> None:
    heights = {}
    for path in text_pages(demo / "students"):
        phone.goto(path.as_uri())
        heights[path.name] = phone.evaluate("document.documentElement.scrollHeight")
    phone.close()
    assert len(heights) >= 10
    assert heights.pop("index.html") < LONGEST_FIRST
    assert max(heights.values()) < LONGEST, heights


@pytest.mark.slow
def test_a_summary_says_what_is_folded_and_paper_and_a_wide_window_show_it(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport=PHONE)
    page.goto((demo / "students" / "day-2.html").as_uri())
    folded = page.evaluate(FOLDED)
    assert len(folded) >= 4
    assert not any(shown for _, shown in folded)
    assert all(len(summary) > 12 for summary, _ in folded)
    assert any(summary.startswith("Seen:") and "closure" in summary for summary, _ in folded)
    page.set_viewport_size({"width": 1280, "height": 900})
    assert all(shown for _, shown in page.evaluate(FOLDED))
    page.set_viewport_size(PHONE)
    page.emulate_media(media="print")
    assert all(shown for _, shown in page.evaluate(FOLDED))
    page.close()


@pytest.mark.slow
def test_a_link_to_something_folded_opens_it_also_without_script(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE, reduced_motion="reduce")
    page = context.new_page()
    page.goto((demo / "students" / "day-2.html").as_uri())
    link = page.locator(".seen-then a").first
    target = page.locator(link.get_attribute("href"))
    assert not target.is_visible()
    link.click()
    target.wait_for(state="visible")
    assert target.evaluate(
        "e => e.getBoundingClientRect().top >= document.querySelector('.at-hand').offsetHeight"
    )
    context.close()


@pytest.mark.slow
def test_each_observation_stands_once_on_a_page_for_students(demo: Path, phone: Any) -> None:
    told: list[str] = []
    for path in text_pages(demo / "students"):
        phone.goto(path.as_uri())
        told += phone.evaluate(
            "[...document.querySelectorAll('[id^=condition-]')].map(e => `${location.pathname}#${e.id}`)"
        )
        lines = phone.evaluate(
            "[...document.querySelectorAll('.observed li')].map(e => e.textContent.trim())"
        )
        text = phone.evaluate("document.querySelector('main').textContent")
        notes = [line.partition(": ")[2] for line in lines if len(line.partition(": ")[2]) > 30]
        assert [note for note in notes if text.count(note) > 1] == []
    phone.close()
    anchors = [one.partition("#")[2] for one in told]
    assert len(anchors) == len(set(anchors)) > 30


@pytest.mark.slow
def test_the_contents_stay_at_hand_and_unfold_by_keyboard_without_script(demo: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=PHONE, reduced_motion="reduce")
    page = context.new_page()
    page.goto((demo / "students" / "day-2.html").as_uri())
    page.evaluate("window.scrollTo({top: 4000, behavior: 'instant'})")
    bar = page.locator(".at-hand")
    assert bar.bounding_box()["y"] == 0
    link = bar.get_by_role("link", name="Day 3")
    assert not link.is_visible()
    bar.locator("summary").focus()
    page.keyboard.press("Enter")
    link.click()
    page.wait_for_url("**/day-3.html")
    assert page.locator(".at-hand [aria-current=page]").get_attribute("href") == "#content"
    context.close()


@pytest.mark.slow
def test_wide_the_contents_lie_open_in_a_bar_that_stays(demo: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 800}, reduced_motion="reduce")
    page.goto((demo / "students" / "day-2.html").as_uri())
    page.evaluate("window.scrollTo({top: 2500, behavior: 'instant'})")
    bar = page.locator(".at-hand")
    assert bar.bounding_box()["y"] == 0
    assert bar.bounding_box()["height"] < 100
    shown = [text for text in bar.get_by_role("link").all_inner_texts() if text]
    assert {"Overview", "Day 1", "Day 2", "Day 6", "Places"} <= {
        text.split("\n")[0].strip() for text in shown
    }
    bar.get_by_role("link", name="Plan and outcome").click()
    top = page.locator("#otherwise h2").bounding_box()["y"]
    assert bar.bounding_box()["height"] <= top < 300
    page.close()


@pytest.mark.slow
def test_a_contents_that_was_unfolded_folds_again_when_a_part_is_chosen(demo: Path, phone: Any) -> None:
    phone.goto((demo / "students" / "day-2.html").as_uri())
    bar = phone.locator(".at-hand")
    bar.locator("summary").click()
    bar.get_by_role("link", name="Settings").click()
    assert phone.url.endswith("#settings")
    assert bar.locator("details").get_attribute("open") is None
    bar.locator("summary").click()
    phone.keyboard.press("Escape")
    assert bar.locator("details").get_attribute("open") is None
    phone.close()
