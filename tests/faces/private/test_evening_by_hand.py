"""The evening's page under the hand: dragging, keys, sets, large pictures, sliding clocks, what was seen.

Outside judge: axe-core, in every state of the page.
"""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import pytest

from logbook.domain.words import Provenance
from logbook.faces.private.serving import PrivatePages
from logbook.services.night.questions import Asks
from logbook.store.book import Book
from logbook.store.desk import Desk
from tests.faces.axe import AXE, violations_of
from tests.services.night.scripted_day import DAY, TRIP
from tests.services.night.sittings import now

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page

Found = TypeVar("Found")
WHOLE_PX = 12_000  # a window as high as the page, also on a phone
EVENING = f"/trip/{TRIP}/evening/{DAY}"


@pytest.fixture
def book_path(scripted_book: Path) -> Path:
    """The scripted day, with nothing written down."""
    return scripted_book


@pytest.fixture
def cache(shared_cache: Path) -> Path:
    """Small pictures are made for the first of these tests alone."""
    return shared_cache


@pytest.fixture
def evening(page: "Page", pages: PrivatePages) -> "Page":
    """The evening's page, with the clock of the second camera put right."""
    page.goto(pages.guard.origin + EVENING)
    page.locator("#clocks").get_by_role("button", name="1 h slow").click()
    settled(page)
    return page


def settled(page: "Page") -> None:
    """Wait until the page has answered."""
    page.locator("form[aria-busy]").wait_for(state="detached")


def press(page: "Page", *keys: str) -> None:
    """Press keys, and wait for what each does."""
    for key in keys:
        page.keyboard.press(key)
        settled(page)


def in_book(path: Path, look: Callable[[Desk], Found]) -> Found:
    """What the book says."""
    with Book(path, now, create=False).reading() as desk:
        return look(desk)


def serving(path: Path, shot: str) -> list[str]:
    """The files that serve a shot by somebody's word."""

    def look(desk: Desk) -> list[str]:
        found = desk.shots.first(slug=shot)
        assert found is not None
        own = desk.keepers.all(shot_id=found.id)
        return sorted(one.file for one in own if one.provenance_of("shot_id") is Provenance.STATED)

    return in_book(path, look)


@pytest.mark.slow
def test_a_dragged_picture_serves_the_plan_it_is_dropped_on(evening: "Page", book_path: Path) -> None:
    frames = evening.locator("#stay-1 .thumb")
    frames.nth(3).drag_to(evening.locator("#plan-2"))
    settled(evening)
    evening.locator("#plan-2").get_by_text("1 picture so far.").wait_for()
    assert serving(book_path, "weir-wide") == ["OST_1201.JPG"]
    frames.nth(0).get_by_role("checkbox").check()
    frames.nth(1).get_by_role("checkbox").check()
    frames.nth(1).drag_to(evening.locator("#plan-1"))
    settled(evening)
    assert serving(book_path, "weir-silk") == ["TRN_0471.JPG", "TRN_0472.JPG"], "ticked ones come along"


@pytest.mark.slow
def test_a_number_puts_the_ticked_or_the_focused_picture_onto_its_plan(
    evening: "Page", book_path: Path
) -> None:
    press(evening, "n", "j", "x", "j", "x", "2")
    assert serving(book_path, "weir-wide") == ["TRN_0471.JPG", "TRN_0472.JPG"]
    press(evening, "j", "1")
    assert len(serving(book_path, "weir-silk")) == 1
    press(evening, "u")
    evening.get_by_text(f"Undone: evening of {DAY}.").wait_for()
    assert serving(book_path, "weir-silk") == []


@pytest.mark.slow
def test_a_set_is_a_stack_that_a_key_opens_and_stays_open(evening: "Page", book_path: Path) -> None:
    stack = evening.locator("#stay-2 .stack")
    assert stack.get_by_text("Bracket of 3").is_visible()
    assert not stack.get_by_text("TRN_0486.JPG").is_visible()
    press(evening, "n", "n", "j", "Enter")
    assert stack.get_by_text("TRN_0486.JPG").is_visible()
    press(evening, "x", "f", *("ArrowRight",) * 3, "Enter")
    assert stack.get_by_text("TRN_0486.JPG").is_visible(), "an act closes nothing"
    filters = in_book(book_path, lambda desk: {one.file: one.filters for one in desk.keepers.all()})
    assert {file for file, worn in filters.items() if worn == ("pol",)} == {
        "TRN_0485.JPG",
        "TRN_0486.JPG",
        "TRN_0487.JPG",
    }


@pytest.mark.slow
def test_a_picture_is_large_by_a_key_and_what_was_typed_is_there_afterwards(evening: "Page") -> None:
    evening.locator("#stay-1 textarea").first.fill("half a thought")
    press(evening, "Escape", "j", "Enter")
    room = evening.locator("dialog[open]")
    room.get_by_role("heading", name="TRN_0471.JPG").wait_for()
    press(evening, "ArrowRight")
    room.get_by_role("heading", name="TRN_0472.JPG").wait_for()
    press(evening, "Escape")
    assert evening.locator("dialog[open]").count() == 0
    assert evening.locator("#stay-1 textarea").first.input_value() == "half a thought"
    assert evening.evaluate("document.activeElement.closest('.thumb').textContent.includes('TRN_0472')")


@pytest.mark.slow
def test_single_keys_can_be_switched_off(evening: "Page") -> None:
    evening.get_by_role("button", name="Single keys: on").click()
    press(evening, "n", "j")
    assert evening.evaluate("document.activeElement.closest('.card')") is None
    evening.get_by_role("button", name="Single keys: off").click()
    press(evening, "n")
    assert evening.evaluate("document.activeElement.id") == "stay-1"


@pytest.mark.slow
@pytest.mark.parametrize("between", [(), ("Escape",)], ids=["at once", "after Escape"])
def test_a_look_at_a_row_of_choices_and_the_next_part_state_nothing(
    evening: "Page", book_path: Path, between: tuple[str, ...]
) -> None:
    def noted() -> list[object]:
        return in_book(book_path, lambda desk: [one.filters for one in desk.keepers.all()])

    before = noted()
    press(evening, "n", "f")
    assert evening.evaluate("document.activeElement.closest('.choices').ariaLabel") == "Filters"
    press(evening, *between, "n")
    assert evening.evaluate("document.activeElement.id") == "stay-2"
    assert noted() == before


@pytest.mark.slow
def test_escape_leaves_a_row_of_choices_and_a_letter_takes_nothing_then(evening: "Page") -> None:
    press(evening, "n", "s", "Escape")
    assert evening.evaluate("document.activeElement.id") == "stay-1"
    press(evening, "t")
    assert evening.evaluate("document.activeElement.closest('.choices')") is None
    assert evening.locator("#stay-1 [aria-label=Support] [aria-pressed=true]").count() == 0


@pytest.mark.slow
def test_the_next_day_is_a_key_away_from_any_part(evening: "Page") -> None:
    press(evening, "n", "d")
    evening.wait_for_url(lambda url: not url.endswith(EVENING))


@pytest.mark.slow
def test_a_clock_slides_by_keys_until_the_cameras_agree(
    page: "Page", pages: PrivatePages, book_path: Path
) -> None:
    page.goto(pages.guard.origin + EVENING)
    page.get_by_text(
        "1 h slow: 5 of its 5 pictures would then fall near one from the other camera."
    ).wait_for()
    group = page.locator("g[data-slid]")
    press(page, "n", "z", "PageUp", "ArrowRight")
    assert page.locator("output").inner_text() == "1 h 1 min slow"
    assert "translate(" in (group.get_attribute("transform") or "")
    press(page, "ArrowLeft", "Enter")
    page.get_by_text("The clock was 1 h slow").wait_for()
    (clock,) = in_book(book_path, lambda desk: desk.clocks.all(body="Ostrey Sorrel"))
    assert clock.ahead_s == 4 * 3600


@pytest.mark.slow
def test_levels_are_chosen_by_a_press_and_what_was_typed_beside_them_stays(
    evening: "Page", book_path: Path
) -> None:
    seen = evening.locator("#stay-1").get_by_label("Water, wind, weather, light, ground")
    seen.fill("water: low; closure: lower steps, said the miller")
    seen.press("Enter")
    settled(evening)
    for kind, level in (("water", "high"), ("wind", "4"), ("crowd", "few"), ("wind", "5")):
        row = evening.locator("#stay-1").get_by_role("group", name=kind, exact=True)
        row.get_by_role("button", name=level).click()
        settled(evening)
    found = in_book(
        book_path,
        lambda desk: sorted(f"{one.kind}: {one.level or one.note}" for one in desk.conditions.all()),
    )
    assert found == ["closure: lower steps", "crowd: few", "water: high", "wind: 5"]
    pressed = evening.locator("#stay-1 .seen [aria-pressed=true]")
    assert [one.partition(":")[0] for one in pressed.all_text_contents()] == ["few", "high", "5"]


@pytest.mark.slow
def test_a_stay_without_a_picture_is_added_by_a_small_form(evening: "Page", book_path: Path) -> None:
    form = evening.locator("#without")
    form.locator("summary").click()
    form.get_by_label("Where").fill("North gate")
    form.get_by_label("Times", exact=True).fill("12:10-12:20")
    form.get_by_label("What for").select_option("scouting")
    form.get_by_label("Seen there").fill("crowd: few; closure: gate locked")
    form.get_by_label("Note").fill("Turned back at the chain.")
    form.get_by_role("button", name="Add this stay").click()
    settled(evening)
    evening.locator("#stay-3").get_by_role("heading", name="North gate 12:10–12:20").wait_for()
    offered = evening.locator("#stay-3 .plan").get_by_role("button", name="missed, closure")
    offered.click()
    settled(evening)
    outcomes = in_book(book_path, lambda desk: [(one.word, one.reasons) for one in desk.outcomes.all()])
    assert [(str(word), list(map(str, reasons))) for word, reasons in outcomes] == [("missed", ["closure"])]


@pytest.mark.slow
def test_pressing_a_button_beside_a_field_with_focus_presses_it(evening: "Page", book_path: Path) -> None:
    """A line that went with the focus would move the button away from under the pointer."""
    evening.set_viewport_size({"width": 1280, "height": 1400})
    evening.locator("#stay-1").get_by_label("What was learned there").focus()
    box = evening.locator("#plan-1").get_by_role("button", name="made").bounding_box()
    assert box is not None
    evening.mouse.move(box["x"] + 5, box["y"] + 5)
    evening.mouse.down()
    after = evening.locator("#plan-1").get_by_role("button", name="made").bounding_box()
    evening.mouse.up()
    assert after == box
    settled(evening)
    assert in_book(book_path, lambda desk: len(desk.outcomes.all())) == 1


@pytest.mark.slow
@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not installed in .node")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_any_state_of_the_page(
    page: "Page", pages: PrivatePages, browser: "Browser", scheme: Any
) -> None:
    state = page.context.storage_state()
    context = browser.new_context(color_scheme=scheme, bypass_csp=True, storage_state=state)
    judged = context.new_page()
    judged.goto(pages.guard.origin + EVENING)
    found = violations_of(judged, "a clock in doubt", WHOLE_PX)
    judged.set_viewport_size({"width": 1280, "height": 800})
    judged.locator("#clocks").get_by_role("button", name="1 h slow").click()
    settled(judged)
    judged.locator("#plan-2").get_by_role("button", name="partly").click()
    settled(judged)
    for summary in ("#stay-2 .stack summary", "#without summary", "#reading summary"):
        judged.locator(summary).first.click()
    judged.locator("input[name=tick]").first.check()
    found += violations_of(judged, "everything open", WHOLE_PX)
    judged.set_viewport_size({"width": 1280, "height": 800})
    judged.locator(f"#stay-1 [data-understood$='.{Asks.CONDITIONS}']").fill("nothing anybody understands")
    judged.get_by_role("button", name="Keep what I typed").last.click()
    judged.locator(".item .refusal").wait_for()
    found += violations_of(judged, "a line refused", WHOLE_PX)
    judged.set_viewport_size({"width": 1280, "height": 800})
    judged.locator("a[data-large]").first.click()
    judged.locator("dialog[open] h1").wait_for()
    found += violations_of(judged, "a picture large")
    assert judged.evaluate("document.documentElement.scrollWidth") <= 360
    context.close()
    assert found == [], "\n".join(found[:20])


@pytest.mark.slow
def test_what_is_pressed_while_the_page_waits_is_done_on_what_comes_back(
    evening: "Page", book_path: Path
) -> None:
    evening.locator("#stay-1").get_by_label("What was learned there").fill("come before the coaches")
    evening.evaluate(
        """() => {
          document.querySelector("form[data-evening] .first").click();
          document.querySelector("#stay-1 input[name=tick]").click();
          document.querySelector("#plan-2 .serving button").click();
          document.querySelector("#stay-2 [aria-label=Support] button:nth-of-type(1)").click();
        }"""
    )
    evening.locator("#stay-2 .picked b").wait_for()
    assert serving(book_path, "weir-wide") == ["TRN_0471.JPG"]
    assert in_book(book_path, lambda desk: len(desk.lessons.all())) == 1
    assert evening.locator("input[name=tick]:checked").count() == 0


@pytest.mark.slow
def test_ticks_stay_while_something_else_is_said(evening: "Page") -> None:
    evening.locator("#stay-1 .thumb input").first.check()
    press(evening, "Escape", "n", "c")
    evening.keyboard.type("dozens")
    press(evening, "Enter")
    assert evening.locator("input[name=tick]:checked").count() == 1


@pytest.mark.slow
def test_a_button_pressed_while_a_cut_is_under_way_is_for_the_stay_that_it_stood_beside(
    evening: "Page", book_path: Path
) -> None:
    second = evening.locator("#stay-2 .thumb input").evaluate_all("all => all.map((one) => one.value)")
    evening.evaluate(
        """() => {
          document.querySelectorAll("#stay-1 button[value^='cut:']")[1].click();
          document.querySelector("#stay-2 [aria-label=Support] button[value$='=braced']").click();
        }"""
    )
    evening.locator("#stay-3 .picked b", has_text="braced").wait_for()
    braced = in_book(
        book_path, lambda desk: [one.id for one in desk.keepers.all() if str(one.support) == "braced"]
    )
    assert sorted(braced) == sorted(second)


@pytest.mark.slow
def test_what_was_typed_is_there_after_an_undo(evening: "Page") -> None:
    evening.locator("#stay-1").get_by_role("button", name="tripod").first.click()
    settled(evening)
    journal = evening.locator("#day textarea").last
    journal.fill("Two lines\nof the day.")
    press(evening, "Escape", "u")
    evening.get_by_text(f"Undone: evening of {DAY}.").wait_for()
    assert journal.input_value() == "Two lines\nof the day."


@pytest.mark.slow
def test_a_key_that_is_held_down_undoes_once(evening: "Page") -> None:
    for name in ("tripod", "braced", "handheld"):
        evening.locator("#stay-1").get_by_role("button", name=name).first.click()
        settled(evening)
    evening.locator("#stay-1").focus()
    evening.keyboard.down("u")
    for _ in range(3):  # what a keyboard repeats
        evening.keyboard.down("u")
        settled(evening)
    evening.keyboard.up("u")
    evening.get_by_text(f"Undone: evening of {DAY}.").wait_for()
    evening.locator("#stay-1 .picked b", has_text="braced").wait_for()


@pytest.mark.slow
def test_leaving_with_something_typed_asks_first_and_without_does_not(evening: "Page") -> None:
    asked: list[str] = []

    def stay(dialog: "Dialog") -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    evening.on("dialog", stay)
    journal = evening.locator("#day textarea").last
    journal.fill("half a thought")
    evening.get_by_role("link", name="Pictures").first.click()
    evening.wait_for_timeout(500)
    assert asked == ["beforeunload"]
    assert journal.input_value() == "half a thought"
    journal.press("Enter")
    settled(evening)
    evening.get_by_role("link", name="Pictures").first.click()
    evening.locator("h1", has_text="Pictures of").wait_for()
    assert asked == ["beforeunload"]


@pytest.mark.slow
def test_a_logbook_that_does_not_answer_leaves_the_page_and_the_words_on_it(
    page: "Page", pages: PrivatePages, browser: "Browser"
) -> None:
    context = browser.new_context(storage_state=page.context.storage_state())
    evening = context.new_page()
    evening.goto(pages.guard.origin + EVENING)
    evening.route("**/*", lambda route: route.abort())
    journal = evening.locator("#day textarea").last
    journal.fill("Two lines\nof the day.")
    journal.press("Enter")
    evening.get_by_text("Nothing was kept: the logbook is not answering.").wait_for()
    assert journal.input_value() == "Two lines\nof the day."
    evening.unroute("**/*")
    journal.press("Enter")
    settled(evening)
    evening.reload()
    assert journal.input_value() == "Two lines\nof the day."
    context.close()
