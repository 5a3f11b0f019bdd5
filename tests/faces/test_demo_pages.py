"""The demo's reports in a real browser, opened from disk: quiet, self-contained, and within the screen."""

import json
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.examples import slow
from tests.faces.demo_pages import AUDIENCES, EVERY, SOME, pages_of, text_pages
from tests.faces.paper import (
    MARK,
    MARKED,
    PDFTOPPM,
    PDFTOTEXT,
    cards_on,
    filled,
    headings_left_alone,
    lines_of,
    sheets_of,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

EXIFTOOL = shutil.which("exiftool")
# Groups of facts that every JPEG has by being one; anything else would be metadata.
STRUCTURE = {"SourceFile", "ExifTool", "File", "Composite"}

SCREENS = ((360, "light"), (768, "dark"), (1280, "light"), (1920, "dark"))
ALL = [(audience, *screen) for audience in AUDIENCES for screen in SCREENS]
SHOWN = [("client", *SCREENS[0]), ("students", *SCREENS[1])]  # the others are looked at with `-m slow`


def page_with_pictures(browser: "Browser", path: Path) -> "Page":
    """A page with every picture loaded, as paper needs it."""
    page = browser.new_page()
    page.goto(path.resolve().as_uri())
    page.evaluate(
        "() => Promise.all([...document.images].map(i => { i.loading = 'eager'; return i.decode(); }))"
    )
    return page


def left(request: Any) -> bool:
    """Whether a request was given up because the reader went on: pictures fetched in advance, the icon."""
    return bool(request.failure == "net::ERR_ABORTED")


@pytest.mark.parametrize(
    ("audience", "width", "scheme", "which"),
    [*((*one, SOME) for one in SHOWN), *slow(*((*one, EVERY) for one in ALL))],
)
def test_every_page_is_quiet_self_contained_and_within_the_screen(
    demo: Path, browser: "Browser", audience: str, width: int, scheme: Any, which: tuple[int, int]
) -> None:
    complaints: list[str] = []
    requests: list[str] = []
    page = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)
    page.on(
        "console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None
    )
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "requestfailed",
        lambda request: None if left(request) else complaints.append(f"failed: {request.url}"),
    )
    page.on("request", lambda request: requests.append(request.url))
    home = (demo / audience).resolve().as_uri() + "/"
    for path in pages_of(demo, audience, which):
        page.goto(path.resolve().as_uri())
        page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
        wide, seen = page.evaluate(
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        )
        assert wide <= seen, f"{path.name} is {wide} px wide on a screen of {seen} px"
    page.close()
    assert not complaints
    assert requests
    assert [url for url in requests if not url.startswith((home, "data:"))] == []


@pytest.mark.slow
@pytest.mark.parametrize("audience", ["client", "students", "archive"])
def test_every_page_can_be_read_without_script(demo: Path, browser: "Browser", audience: str) -> None:
    def text(scripted: bool) -> str:
        context = browser.new_context(java_script_enabled=scripted)
        page = context.new_page()
        read = []
        for path in text_pages(demo / audience):
            page.goto(path.resolve().as_uri())
            read.append(page.inner_text("main"))
        context.close()
        return "\n".join(read)

    without = text(scripted=False)
    assert len(without) > 2000
    for line in text(scripted=True).splitlines():
        assert len(line) < 20 or line in without, "a line needs the script to be read"


@pytest.mark.slow
@pytest.mark.skipif(PDFTOTEXT is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("audience", ["client", "students", "archive"])
def test_every_section_and_caption_is_on_paper_too(
    demo: Path, browser: "Browser", audience: str, tmp_path: Path
) -> None:
    assert PDFTOTEXT is not None
    seen = 0
    for path in text_pages(demo / audience):
        page = page_with_pictures(browser, path)
        page.pdf(path=tmp_path / "printed.pdf", format="A4")
        page.emulate_media(media="print")
        page.evaluate("() => document.querySelectorAll('.spoken').forEach(e => e.remove())")
        shown = page.evaluate(
            "() => [...document.querySelectorAll('h1, h2, h3, h4, figcaption .caption')]"
            ".filter(e => e.checkVisibility()).map(e => e.innerText)"
        )
        page.close()
        # In the order of the page's own text: captions side by side would else be read across.
        subprocess.run([PDFTOTEXT, "-raw", tmp_path / "printed.pdf", tmp_path / "printed.txt"], check=True)
        printed = "".join((tmp_path / "printed.txt").read_text(encoding="utf-8").split())
        assert [text for text in shown if "".join(text.split()).casefold() not in printed.casefold()] == []
        seen += len(shown)
    assert seen > 40


# Sheets of A4 that the sample trip may take at most.
SHEETS = {"client": 13, "students": 30, "archive": 25}


@pytest.mark.slow
@pytest.mark.skipif(PDFTOTEXT is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_report_prints_on_few_sheets_and_no_heading_stands_last_on_one(
    demo: Path, browser_with_fonts: "Browser", audience: str, tmp_path: Path
) -> None:
    assert PDFTOTEXT is not None
    rows, sheets = [], []
    for path in text_pages(demo / audience):
        page = page_with_pictures(browser_with_fonts, path)
        page.emulate_media(media="print")
        page.set_viewport_size({"width": 688, "height": 1017})  # A4 less its margins, in CSS pixels
        rows += page.evaluate(
            "() => [...document.querySelectorAll('.spread .plates, .made .plates')]"
            ".filter(p => p.children.length === 3)"
            ".map(p => new Set([...p.children].map(f => f.getBoundingClientRect().top)).size)"
        )
        page.evaluate(
            f"() => document.querySelectorAll('h2, h3, h4, .running').forEach(e => e.append('{MARK}'))"
        )
        page.pdf(path=tmp_path / "printed.pdf", prefer_css_page_size=True)
        page.close()
        sheets += sheets_of(tmp_path / "printed.pdf")
    assert len(sheets) <= SHEETS[audience]
    assert [left for sheet in sheets for left in headings_left_alone(sheet)] == []
    assert bool(rows) == (audience != "client")  # whose sets are one picture
    assert set(rows) <= {1}, "a bracket of three stands in one row"


@pytest.mark.slow
@pytest.mark.skipif(not (PDFTOTEXT and PDFTOPPM), reason="Poppler's tools are not installed")
def test_a_clients_sheets_are_filled_and_hold_one_or_two_of_the_best_pictures(
    demo: Path, browser_with_fonts: "Browser", tmp_path: Path
) -> None:
    page = page_with_pictures(browser_with_fonts, demo / "client" / "index.html")
    great = page.evaluate(
        "mark => [...document.querySelectorAll('.plates.great figcaption')].map(e => e.append(mark)).length",
        MARK,
    )
    cards = page.evaluate(MARKED, ["h6", "#places .place", MARK])
    printed = tmp_path / "printed.pdf"
    page.pdf(path=printed, prefer_css_page_size=True)
    page.close()
    shares = filled(printed)
    assert len(shares) > 3
    assert [share for share in shares[:-1] if share < 0.5] == []
    sheets = sheets_of(printed)
    counts = [sum(text.endswith(MARK) for text in lines_of(sheet)) for sheet in sheets]
    assert great >= 6
    assert sum(counts) == great
    assert max(counts) <= 2
    assert cards >= 3
    assert [begun ^ ended for begun, ended in map(cards_on, sheets) if begun != ended] == []


@pytest.mark.slow
@pytest.mark.skipif(EXIFTOOL is None, reason="ExifTool is not installed")
@pytest.mark.parametrize("audience", AUDIENCES)
def test_no_published_picture_carries_metadata(demo: Path, audience: str) -> None:
    assert EXIFTOOL is not None
    folder = demo / audience / "pictures"
    done = subprocess.run(
        [EXIFTOOL, "-json", "-G0", "-r", "-a", "-u", str(folder)], capture_output=True, text=True, timeout=120
    )
    pictures = json.loads(done.stdout)
    assert len(pictures) >= 24
    for picture in pictures:
        groups = {name.partition(":")[0] for name in picture} - STRUCTURE
        # A JFIF header holds a density, an ICC profile the meaning of colours; neither tells of the shot.
        assert groups <= {"JFIF", "ICC_Profile"}, f"{picture['SourceFile']} carries {groups}"


@pytest.mark.parametrize("audience", ["client", "students"])
def test_no_serial_owner_or_software_of_an_original_is_published(demo: Path, audience: str) -> None:
    sample = Path(__file__).resolve().parents[2] / "sample_trip"
    from PIL import Image

    hidden: set[bytes] = set()
    for original in sample.rglob("*.JPG"):
        exif = Image.open(original).getexif()
        details = exif.get_ifd(0x8769)
        for value in (exif.get(0x013B), exif.get(0x0131), details.get(0xA430), details.get(0xA431)):
            if value:
                hidden.add(str(value).strip("\x00 ").encode())
        hidden.add(original.name.encode())
    assert len(hidden) > 30, "the originals must carry something to hide"
    for file in (demo / audience).rglob("*"):
        if file.is_file():
            content = file.read_bytes()
            found = {value for value in hidden if value in content}
            assert not found, f"{file.name} shows {found}"
