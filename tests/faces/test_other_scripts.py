"""Reports, sheets and briefs in other scripts: nothing turned round, cut or too wide, every sign drawn."""

import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import ImageFont

from logbook.faces.main import status_of
from tests.faces.demo_pages import text_pages
from tests.faces.other_scripts import DAY, SAID, fill
from tests.once import Once

AUDIENCES = ("client", "students", "archive")
LEFTWARDS = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]"
# Of every text node with a letter that runs leftwards: what stands there outside isolating signs, and the
# whole text of the nearest element that sets its text apart or finds its direction (empty without one).
EXPOSED = f"""() => {{
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {{
    const node = walk.currentNode;
    if (node.parentElement.closest('script, style')) continue;
    const outside = node.data.replace(/\\u2068[^\\u2069]*\\u2069/g, '');
    if (!/{LEFTWARDS}/.test(outside)) continue;
    const apart = node.parentElement.closest('bdi, [dir=auto]');
    found.push([outside, apart ? apart.textContent.trim() : '']);
  }}
  return found;
}}"""
ATTRIBUTES = """() => [...document.querySelectorAll('*')].flatMap(one =>
  ['alt', 'title', 'aria-label', 'content'].map(name => one.getAttribute(name)).filter(Boolean))"""
# Letters that stand out of the window to either side, but for what scrolls in a frame of its own.
TOO_WIDE = """() => [...document.querySelectorAll('body *')].filter(one => {
  if (one.closest('.scroll, svg, .spoken, .skip, dialog') || !one.textContent.trim()) return false;
  const style = getComputedStyle(one);
  if (style.position === 'fixed' || style.visibility === 'hidden') return false;
  const box = one.getBoundingClientRect();
  return box.width > 1 && (box.right > innerWidth + 1 || box.left < -1);
}).map(one => one.outerHTML.slice(0, 120))"""
# Lines whose letters are cut: an element that hides what runs over, and is too low for its text.
CUT = """() => [...document.querySelectorAll('body *')].filter(one => {
  const style = getComputedStyle(one);
  return style.overflowY === 'hidden' && one.clientHeight > 4 && one.scrollHeight > one.clientHeight + 1
    && one.textContent.trim() && !one.closest('svg, .spoken');
}).map(one => one.outerHTML.slice(0, 120))"""
# Words of drawings that leave their drawing.
OUTSIDE = """() => [...document.querySelectorAll('svg text')].filter(one => {
  const box = one.getBoundingClientRect(), all = one.ownerSVGElement.getBoundingClientRect();
  return box.width && (box.left < all.left - 2 || box.right > all.right + 2);
}).map(one => one.textContent)"""


@pytest.fixture(scope="session")
def world(once: Once) -> Path:
    """The book, its three reports, its sheet and a brief."""

    def build(folder: Path) -> None:
        book = ("--book", str(fill(folder, lambda *said: status_of(list(said)))))
        for audience in AUDIENCES:
            into = str(folder / audience)
            assert status_of([*book, "report", "trip", "--for", audience, "--into", into]) == 0
        assert status_of([*book, "sheet", "trip", "--on", DAY, "--into", str(folder / "sheet.html")]) == 0
        brief = ("before", "s-hebrew", "--on", "2032-10-14", "--into", str(folder / "before.html"))
        assert status_of([*book, *brief]) == 0

    return once("other-scripts", build)


def pages_of(world: Path) -> list[Path]:
    reports = [page for audience in AUDIENCES for page in text_pages(world / audience)]
    pictures = [world / "students" / "pages" / f"picture-00{number}.html" for number in range(1, 7)]
    return [*reports, *pictures, world / "sheet.html", world / "before.html"]


@pytest.fixture(scope="module")
def page(browser: Any) -> Iterator[Any]:
    opened = browser.new_page(viewport={"width": 360, "height": 740})
    yield opened
    opened.close()


@pytest.mark.slow
def test_no_text_turns_a_sentence_of_ours_round(world: Path, page: Any) -> None:
    """What runs leftwards stands apart, by signs or in an element that holds nothing else."""
    own = {re.sub(r"\s+", " ", text) for said in SAID.values() for text in said}
    seen = 0
    for path in pages_of(world):
        page.goto(path.as_uri())
        for outside, apart in page.evaluate(EXPOSED):
            assert apart.strip("\u2068\u2069") in own, f"{path.name}: {outside} in {apart or 'nothing'}"
            seen += 1
        text = page.evaluate("document.body.textContent")
        assert text.count("\u2068") == text.count("\u2069")
        for value in page.evaluate(ATTRIBUTES):
            rest = re.sub("\u2068[^\u2069]*\u2069", "", value)
            assert not re.search(LEFTWARDS, rest) or rest in own, f"{path.name}: {value}"
    assert seen > 20


@pytest.mark.slow
def test_the_table_for_spreadsheets_has_no_unseen_signs(world: Path) -> None:
    for audience in AUDIENCES:
        assert not re.search("[\u2066-\u2069]", (world / audience / "settings.csv").read_text("utf-8"))


@pytest.mark.slow
@pytest.mark.parametrize("width", [360, 1280])
def test_nothing_is_too_wide_or_cut_and_drawings_hold_their_words(
    world: Path, browser: Any, width: int
) -> None:
    page = browser.new_page(viewport={"width": width, "height": 740})
    words = 0
    for path in pages_of(world):
        page.goto(path.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path.name
        assert page.evaluate(TOO_WIDE) == [], path.name
        assert page.evaluate(CUT) == [], path.name
        assert page.evaluate(OUTSIDE) == [], path.name
        words += page.evaluate("document.querySelectorAll('svg text').length")
    page.close()
    assert words > 20


def font_file(family: str) -> Path | None:
    """The file that fontconfig gives for a family; None where it gives another family's."""
    told = subprocess.run(
        ["fc-match", "-f", "%{file}\n%{family}", family], capture_output=True, text=True, check=True
    ).stdout.split("\n")
    return Path(told[0]) if family in told[1] else None


def has_sign(file: Path, sign: str) -> bool:
    """Whether a font draws a sign otherwise than one that no font has."""
    for index in range(10 if file.suffix == ".ttc" else 1):
        try:
            font = ImageFont.truetype(str(file), 24, index=index)
        except OSError:
            break
        if bytes(font.getmask(sign)) != bytes(font.getmask("\U000f0000")):
            return True
    return False


@pytest.mark.slow
@pytest.mark.parametrize("paper", [False, True], ids=["screen", "paper"])
def test_every_sign_is_drawn_by_a_face_that_has_it(world: Path, browser: Any, paper: bool) -> None:
    """Chromium is asked which faces draw the captions, and each letter must be in one of them."""
    if shutil.which("fc-match") is None:
        pytest.skip("fc-match (fontconfig) is not installed")
    page = browser.new_page()
    if paper:
        page.emulate_media(media="print")
    page.goto((world / "students" / "index.html").as_uri())
    page.evaluate("document.fonts.ready")
    tool = page.context.new_cdp_session(page)
    tool.send("DOM.enable")
    tool.send("CSS.enable")
    root = tool.send("DOM.getDocument")["root"]["nodeId"]
    nodes = tool.send("DOM.querySelectorAll", {"nodeId": root, "selector": ".caption"})["nodeIds"]
    texts = page.evaluate("[...document.querySelectorAll('.caption')].map(one => one.textContent)")
    fonts = [tool.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"] for node in nodes]
    page.close()
    bare = []
    for script, (_, caption, *_) in SAID.items():
        used = [
            one
            for text, drawn_with in zip(texts, fonts, strict=True)
            if text.strip("\u2068\u2069") == caption
            for one in drawn_with
        ]
        assert any(one["isCustomFont"] and one["glyphCount"] for one in used), script
        drawn = {one["familyName"] for one in used if not one["isCustomFont"] and one["glyphCount"]}
        if script == "Vietnamese":
            assert not drawn, "a word in faces of two designs"
            continue
        assert drawn, script
        signs = {sign for sign in caption if ord(sign) > 0x24F and sign.isalpha()}
        faces = [file for family in drawn if (file := font_file(family))]
        lacking = {sign for sign in signs if not any(has_sign(file, sign) for file in faces)}
        if lacking == signs:
            bare.append(script)
        else:
            assert lacking == set(), (script, drawn)
    if bare:
        pytest.skip(f"no font with {', '.join(bare)} letters (Debian fonts-noto-core, fonts-noto-cjk)")


@pytest.mark.slow
def test_japanese_is_named_so_that_its_signs_have_their_own_shapes(world: Path, page: Any) -> None:
    page.goto((world / "students" / "index.html").as_uri())
    named = page.evaluate(
        "[...document.querySelectorAll('body [lang]')].map(one => [one.lang, one.textContent])"
    )
    languages = {language for language, _ in named}
    assert languages == {"ja", "vi"}
    for language, text in named:
        own = SAID["Japanese" if language == "ja" else "Vietnamese"]
        assert text.strip() in own


@pytest.mark.slow
def test_a_page_on_paper_holds_the_texts_and_no_letter_is_lost(
    world: Path, browser: Any, tmp_path: Path
) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed")
    page = browser.new_page()
    for path in (world / "students" / "index.html", world / "sheet.html"):
        page.goto(path.as_uri())
        page.pdf(path=str(tmp_path / "page.pdf"), format="A4")
        told = subprocess.run(
            ["pdffonts", str(tmp_path / "page.pdf")], capture_output=True, text=True, check=True
        ).stdout.splitlines()[2:]
        assert told
        assert all(" yes " in line for line in told), "a face that is not in the file"
        text = subprocess.run(
            ["pdftotext", str(tmp_path / "page.pdf"), "-"], capture_output=True, text=True, check=True
        ).stdout
        flat = re.sub(r"\s", "", text)
        assert "古い橋" in flat or "川の門" in flat
        assert "河门" in flat
        assert "Cổng" in flat
    page.close()
