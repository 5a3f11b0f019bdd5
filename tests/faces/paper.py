"""What printed pages look like: how far each sheet is filled, headings left alone, cards that are cut."""

import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

PDFTOTEXT, PDFTOPPM = shutil.which("pdftotext"), shutil.which("pdftoppm")
MARK = "\N{PILCROW SIGN}"  # put behind every heading, so that it is known in the printed text
PAGE_NUMBER_PT = 800  # down the sheet; there and below stands its number
DPI = 30
INK = 200  # of 255; darker is printed
LINE = re.compile(
    r'<line xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</line>', re.DOTALL
)
# Puts a sign behind each heading, and numbered ones at the begin and the end of each card.
MARKED = """([headings, cards, mark]) => {
  document.querySelectorAll(headings).forEach(e => e.append(mark));
  return [...document.querySelectorAll(cards)].map((e, i) => {
    e.prepend(mark + 'b' + i + '. ');
    e.append(' ' + mark + 'e' + i + '.');
    return i;
  }).length;
}"""


def sheets_of(pdf: Path) -> list[str]:
    """Return the text of each sheet with its places, as pdftotext tells it."""
    assert PDFTOTEXT is not None
    told = subprocess.run([PDFTOTEXT, "-bbox-layout", str(pdf), "-"], check=True, capture_output=True)
    return told.stdout.decode().split("<page ")[1:]


def lines_of(sheet: str) -> list[str]:
    """Return the lines of a sheet."""
    return [" ".join(re.sub(r"<[^>]*>", " ", found[5]).split()) for found in LINE.finditer(sheet)]


def headings_left_alone(sheet: str) -> list[str]:
    """Marked headings below which nothing of their column follows on the same sheet."""
    boxes = [tuple(map(float, found.groups()[:4])) for found in LINE.finditer(sheet)]
    texts = lines_of(sheet)
    assert texts
    return [
        text
        for (left, _, right, bottom), text in zip(boxes, texts, strict=True)
        if text.endswith(MARK)
        and not any(
            x < right + 60 and left - 5 < until and bottom - 1 <= top < min(bottom + 200, PAGE_NUMBER_PT)
            for x, top, until, _ in boxes
        )
    ]


def cards_on(sheet: str) -> tuple[set[str], set[str]]:
    """Return the numbers of the marked cards that begin and of those that end on a sheet."""
    text = "".join(re.sub(r"<[^>]*>", " ", sheet).split())
    return set(re.findall(rf"{MARK}b(\d+)\.", text)), set(re.findall(rf"{MARK}e(\d+)\.", text))


def filled(pdf: Path, foot: float = 0.055) -> list[float]:
    """Return how far down each sheet is printed, as a share of it; its `foot` with the number is left out."""
    from PIL import Image

    assert PDFTOPPM is not None
    shares = []
    with TemporaryDirectory() as folder:
        subprocess.run([PDFTOPPM, "-r", str(DPI), "-gray", str(pdf), f"{folder}/sheet"], check=True)
        for path in sorted(Path(folder).iterdir()):
            with Image.open(path) as image:
                whole = image.crop((0, 0, image.width, int(image.height * (1 - foot))))
                box = whole.point(lambda grey: 255 if grey < INK else 0).getbbox()
                shares.append(box[3] / image.height if box else 0.0)
    return shares
