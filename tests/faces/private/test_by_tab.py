"""The tab key alone: whatever it comes to is in sight with its outline, nothing lies over it, and it ends."""

from typing import TYPE_CHECKING

import pytest

from logbook.faces.private.serving import PrivatePages
from tests.faces.private.test_in_a_browser import PATHS, go
from tests.services.night.sittings import TRIP

if TYPE_CHECKING:
    from playwright.sync_api import Page

MOST_STOPS = 600
PLAN = f"/trip/{TRIP}/plan"
QUICK = ("/", f"/trip/{TRIP}/pictures")
# What has the focus, in words, and why a person would not see it; null when the page is left again.
STOP = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const box = at.getBoundingClientRect(), look = getComputedStyle(at);
  const within = (one, most) => Math.min(Math.max(one, 1), most - 1);
  const [across, down] = [box.left + box.width / 2, box.top + box.height / 2];
  const over = document.elementFromPoint(within(across, innerWidth), within(down, innerHeight));
  const seen = at === over || at.contains(over) || over?.contains(at);
  const why = box.width < 5 || look.clipPath !== "none" ? "too small to see"
    : look.outlineStyle === "none" || parseFloat(look.outlineWidth) < 2 ? "without an outline"
    : box.bottom <= 0 || box.top >= innerHeight ? "out of sight"
    : seen ? "" : `under ${over?.outerHTML.slice(0, 80)}`;
  return [at.outerHTML.slice(0, 120), why];
}"""


@pytest.mark.parametrize(
    "path",
    [*QUICK, *(pytest.param(one, marks=pytest.mark.slow) for one in (*PATHS, PLAN) if one not in QUICK)],
)
def test_the_tab_key_comes_to_nothing_unseen_and_leaves_the_page(
    pages: PrivatePages, page: "Page", path: str
) -> None:
    go(page, pages, path)
    page.keyboard.press("Tab")
    assert "Skip to content" in page.evaluate(STOP)[0], "first what leads past the head"
    unseen = []
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        stop = page.evaluate(STOP)
        if stop is None:
            break
        if stop[1]:
            unseen.append(stop)
    else:
        pytest.fail("the page cannot be left")
    assert unseen == []
