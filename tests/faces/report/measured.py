"""How pictures stand on a page as a browser draws them: loaded against drawn widths, and the rows."""

from collections.abc import Iterator
from typing import Any

# Every picture is loaded, and measured beside the files that were offered.
PICTURES = """async () => {
  const found = [];
  for (const image of document.querySelectorAll('figure img')) {
    image.loading = 'eager';
    await image.decode();
    const file = new Image();
    file.src = image.currentSrc;
    await file.decode();
    const box = image.getBoundingClientRect();
    if (!box.width) continue;
    found.push({
      name: image.currentSrc.split('/').pop(),
      place: image.closest('.plates, .opening, .large').className + ' | ' + image.closest('figure').className,
      drawn: box.width, high: box.height, sizes: image.sizes,
      loaded: file.naturalWidth, ratio: file.naturalWidth / file.naturalHeight,
      files: image.srcset.split(',').map(one => parseInt(one.trim().split(' ')[1])),
    });
  }
  return found;
}"""

# Every row of every grid: how much of the line its figures take, and how high their frames are.
ROWS = """() => [...document.querySelectorAll('.plates.rows')].map(grid => {
  const line = grid.getBoundingClientRect();
  const rows = new Map();
  for (const figure of grid.querySelectorAll(':scope > figure')) {
    const box = figure.getBoundingClientRect(), frame = figure.querySelector('a').getBoundingClientRect();
    const image = figure.querySelector('img')?.getBoundingClientRect() ?? frame;
    const top = Math.round(frame.top);
    if (!rows.has(top)) rows.set(top, []);
    rows.get(top).push({
      number: parseInt(figure.querySelector('.number').lastChild.textContent),
      left: box.left - line.left, frame: frame.width,
      width: getComputedStyle(figure).display === 'grid' ? box.width : frame.width, high: frame.height,
      picture: image.width, pictureHigh: image.height,
    });
  }
  return { name: grid.className, line: line.width, rows: [...rows.values()] };
})"""


def pictures_of(page: Any) -> list[dict[str, Any]]:
    """Return each picture of an opened page: drawn, loaded and offered widths."""
    return list(page.evaluate(PICTURES))


def rows_of(page: Any) -> list[dict[str, Any]]:
    """Return each grid of an opened page with its rows."""
    return list(page.evaluate(ROWS))


def faults(pictures: list[dict[str, Any]], scale: float) -> list[tuple[str, dict[str, Any]]]:
    """Return what is wrong with files and sizes on a screen with that many pixels to one of the page.

    A file wider than needed is no fault where the same picture is drawn larger elsewhere on the page, as a
    browser takes the file that it has.
    """
    needed: dict[str, float] = {}
    for one in pictures:
        needed[_stem(one)] = max(needed.get(_stem(one), 0), one["drawn"] * scale)
    return [(fault, one) for one in pictures for fault in _faults(one, scale, needed[_stem(one)])]


def _stem(picture: dict[str, Any]) -> str:
    return str(picture["name"]).partition("-")[0]


def _faults(picture: dict[str, Any], scale: float, needed_anywhere: float) -> Iterator[str]:
    needed, widest = picture["drawn"] * scale, max(picture["files"])
    below = max((one for one in picture["files"] if one < picture["loaded"]), default=0)
    if picture["loaded"] < min(needed - 1, widest):
        yield "soft"
    if needed > widest + 1:
        yield "enlarged"
    if below > 1.02 * needed_anywhere + 2:
        yield "wasteful"
    if abs(picture["drawn"] / picture["high"] / picture["ratio"] - 1) > 0.02 + 1.5 / picture["high"]:
        yield "distorted"
