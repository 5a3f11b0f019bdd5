"""The pictures of the demo's pages that the README shows, taken again by `python -m sample_trip.show`.

Needs Chromium and the `dev` extra. One surprising decision: parts of pages are taken by what they are (the
third shot, the second stay), so that a change of layout cannot leave half of one in the picture.
"""

import io
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

HERE = Path(__file__).parent
SHEET_DAY = "2025-10-14"
QUALITY = 82  # WebP; below it the small figures of the tables fray
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update")
STILL = """() => { for (const one of document.querySelectorAll("*"))
  if (getComputedStyle(one).position === "sticky") one.style.position = "static"; }"""  # no bar over a part
EVENING = "/trip/high-valley-autumn/evening/2025-10-18"
DECODED = "() => Promise.all([...document.images].map(i => { i.loading = 'eager'; return i.decode(); }))"


@dataclass(frozen=True, slots=True)
class View:
    """One picture: which page, what of it (a selector, or None for the top), and the window."""

    name: str
    page: str  # relative to the demo's folder
    part: str | None
    width_px: int
    height_px: int


VIEWS = (
    View("client", "client/index.html", None, 1100, 800),
    View("plan-and-outcome", "students/day-2.html", "#shot-3", 1100, 800),
    View("sheet", "sheet.html", None, 800, 1000),
)


def show(demo: Path, into: Path) -> list[Path]:
    """Write a picture of each view of a built demo and return them."""
    from playwright.sync_api import sync_playwright

    sheet = ("sheet", "high-valley-autumn", "--on", SHEET_DAY, "--into", str(demo / "sheet.html"))
    _logbook("--book", str(demo / "book.sqlite"), *sheet)
    made = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
        for view in VIEWS:
            page = browser.new_page(viewport={"width": view.width_px, "height": view.height_px})
            page.goto((demo / view.page).resolve().as_uri())
            page.evaluate(DECODED)
            made.append(_kept(_taken(page, view), into / f"{view.name}.webp"))
            page.close()
        made.append(_kept(_evening(browser, demo / "book.sqlite"), into / "evening.webp"))
        browser.close()
    return made


def _kept(taken: bytes, path: Path) -> Path:
    with Image.open(io.BytesIO(taken)) as picture:
        picture.convert("RGB").save(path, quality=QUALITY, method=6)
    return path


def _evening(browser: "Browser", book: Path) -> bytes:
    """Take an evening of the private pages, which are served as long as that takes."""
    command = [sys.executable, "-m", "logbook", "--book", str(book), "open", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, stderr=subprocess.DEVNULL) as pages:
        try:
            assert pages.stdout is not None
            address = pages.stdout.readline().strip()
            page = browser.new_page(viewport={"width": 1100, "height": 800})
            page.goto(address)
            page.goto(address.partition("/?")[0] + EVENING)
            page.evaluate(DECODED)
            page.evaluate(STILL)
            page.locator("#stay-2").scroll_into_view_if_needed()
            return page.locator("#stay-2").screenshot()
        finally:
            pages.terminate()


def _taken(page: "Page", view: View) -> bytes:
    if view.part is None:
        return page.screenshot()
    page.evaluate(STILL)
    return page.locator(view.part).first.screenshot()


def _logbook(*arguments: str) -> None:
    subprocess.run([sys.executable, "-m", "logbook", *arguments], check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    """Build the demo in a folder of its own and take the pictures into `pages/`."""
    (HERE / "pages").mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        _logbook("demo", "--into", f"{folder}/demo")
        for path in show(Path(folder) / "demo", HERE / "pages"):
            sys.stdout.write(f"{path} ({path.stat().st_size // 1000} kB)\n")


if __name__ == "__main__":
    main()
