"""A scripted evening in a real browser, by keyboard alone and by pointer alone, against the day's truth.

Acts and seconds are counted by `keystrokes`, which says where M stands. By pointer alone every choice is
pointed at; the three texts that only a person can know (what was locked, a lesson, the journal) are typed
either way.
"""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from logbook.faces.private.serving import PrivatePages
from tests.faces.private.keystrokes import Person
from tests.services.night.scripted_day import DAY, TRIP, TRUTH, truth_in

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

EVENING = f"/trip/{TRIP}/evening/{DAY}"
MOST_ACTS, MOST_S = 45, 180.0


@pytest.fixture
def book_path(scripted_book: Path) -> Path:
    """The scripted day, with nothing written down."""
    return scripted_book


@pytest.fixture
def evening(page: "Page", pages: PrivatePages) -> "Page":
    """The evening's page."""
    page.goto(pages.guard.origin + EVENING)
    return page


def in_bounds(person: Person, how: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Print the figures and hold them to what was asked."""
    with capsys.disabled():
        sys.stdout.write(f"\nby {how}: {len(person.acts)} acts, {person.seconds:.0f} s by the model\n")
    assert len(person.acts) <= MOST_ACTS, person.acts
    assert person.seconds <= MOST_S


@pytest.mark.slow
def test_an_evening_by_keyboard_alone_ends_in_the_truth(
    evening: "Page", book_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hand = Person(evening)
    hand.move("n")
    hand.act("the second clock is an hour slow")
    hand.press("z", "PageUp", "Enter")
    hand.move("n")  # the weir
    hand.act("crowd")
    hand.press("c")
    hand.write("dozens")
    hand.act("lesson")
    hand.press("l")
    hand.write("come before the coaches")
    hand.act("on a tripod")
    hand.press("s", "t")
    hand.act("silk was made")
    hand.press("o", "Enter")
    hand.act("wide was partly made")
    hand.press("o", "ArrowRight", "Enter")
    hand.act("because of the crowd")
    hand.press("c", "Enter")
    hand.move("n")  # the mill
    hand.act("braced")
    hand.press("s", "b")
    hand.act("inside was made")
    hand.press("o", "Enter")
    hand.move("n", "j", "j", "j", "j")  # the ferry, and the first picture taken elsewhere
    hand.act("a new stay from there")
    hand.press("b")
    hand.act("handheld")
    hand.press("s", "h")
    hand.act("lines were missed")
    hand.press("o", "m", "Enter")
    hand.act("because of the light")
    hand.press("l")
    hand.move("n")  # the row that was cut off
    hand.act("it was at the poplars")
    hand.press("w", "ArrowRight", "Enter")
    hand.act("handheld as well")
    hand.press("s", "h")
    hand.move("n")  # the lamps
    hand.act("on a tripod again")
    hand.press("s", "t")
    hand.act("lamps were made")
    hand.press("o", "Enter")
    hand.move("n", "n")  # the day
    hand.act("what was closed")
    hand.press("c")
    hand.write("north gate: gate locked")
    hand.act("journal")
    hand.press("m")
    hand.write("Long day, cold hands.")
    hand.move("p")  # planned and not reached
    hand.act("the arch was missed for that")
    hand.press("o", "Enter")
    hand.move("n", "n")  # the day as it will be read
    hand.act("no filter on the others")
    hand.press("f")
    hand.act("all of it is right")
    hand.press("y")
    evening.get_by_text("Done: the day is written up.").wait_for()
    assert truth_in(book_path) == TRUTH
    in_bounds(hand, "keyboard", capsys)


@pytest.mark.slow
def test_an_evening_by_pointer_alone_ends_in_the_truth(
    evening: "Page", book_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hand = Person(evening, at_keys=False)

    def press(card: str, name: str, row: str = "") -> None:
        within: Locator = evening.locator(card)
        if row:
            within = within.get_by_role("group", name=row, exact=True)
        hand.click(within.get_by_role("button", name=name).first)
        hand.settle()

    hand.act("the second clock is an hour slow")
    press("#clocks", "1 h slow")
    hand.act("on a tripod")
    press("#stay-1", "tripod", "Support")
    hand.act("crowd")
    press("#stay-1", "dozens", "crowd")
    hand.act("lesson")
    hand.click(evening.locator("#stay-1").get_by_label("What was learned there"))
    hand.write("come before the coaches")
    hand.act("silk was made")
    press("#plan-1", "made")
    hand.act("wide was partly made")
    press("#plan-2", "partly")
    hand.act("because of the crowd")
    press("#plan-2", "crowd", "Why")
    hand.act("braced")
    press("#stay-2", "braced", "Support")
    hand.act("inside was made")
    press("#stay-2 .plan", "made")
    hand.act("a new stay from where the poplars begin")
    press("#stay-3 li:has-text('TRN_0495.JPG')", "New stay from here")
    hand.act("handheld")
    press("#stay-3", "handheld", "Support")
    hand.act("lines were missed")
    press("#stay-3 .plan", "missed")
    hand.act("because of the light")
    press("#stay-3 .plan", "light", "Why")
    hand.act("it was at the poplars")
    press("#stay-4", "Poplar row", "Where")
    hand.act("handheld as well")
    press("#stay-4", "handheld", "Support")
    hand.act("on a tripod again")
    press("#stay-5", "tripod", "Support")
    hand.act("lamps were made")
    press("#stay-5 .plan", "made")
    hand.act("what was closed")
    hand.click(evening.locator("#day").get_by_label("What closed, flooded or changed today"))
    hand.write("north gate: gate locked")
    hand.act("journal")
    hand.click(evening.locator("#day textarea").last)
    hand.write("Long day, cold hands.")
    hand.act("the arch was missed for that")
    press("#unreached", "missed, closure")
    hand.act("no filter on the others")
    press("#reading", "No filter on these")
    hand.act("all of it is right")
    press("#reading", "Everything shown is right")
    evening.get_by_text("Done: the day is written up.").wait_for()
    assert truth_in(book_path) == TRUTH
    in_bounds(hand, "pointer", capsys)
