"""What axe-core (npm `axe-core`, installed into `.node` by `.ci/run`) finds on an opened page."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

AXE = Path(__file__).parents[2] / ".node" / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WIDTHS_PX = (1280, 360)  # a desk and a phone
# A new size is laid out with the next frame; until then the bar at the head lies where it lay.
SETTLED = (
    "() => { scrollTo(0, 0); return new Promise((done) => requestAnimationFrame(() => setTimeout(done))); }"
)


def violations_of(page: "Page", name: str, high_px: int = 800) -> list[str]:
    """What is wrong with a page, wide and on a phone, in words; its policy has to be bypassed.

    In a window as high as the page, a bar that stays in sight lies over no button by chance.
    """
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found: list[str] = []
    for width in WIDTHS_PX:
        page.set_viewport_size({"width": width, "height": high_px})
        page.evaluate(SETTLED)
        done = page.evaluate(
            "tags => axe.run({runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']})", TAGS
        )
        found += [
            f"{name} at {width} px: {one['id']}: {node['html'][:200]} {node['failureSummary'][:300]}"
            for one in done["violations"]
            for node in one["nodes"]
        ]
    return found
