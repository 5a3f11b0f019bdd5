"""Rows of pictures on a page: composed for four widths of window, as classes, style and `sizes`.

One surprising decision: a class is what it means ("c4-6000": in a window of width c, four pictures whose
shapes add up to 6.000), so that the style is made from the finished pages alone and none of them
carries a style of its own, which its security policy forbids.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from logbook.domain.composing import Line, PictureCell, PictureRow, Shape, composed, is_long
from logbook.faces.report.models import Figure, Image

MISSING = 1.5  # width to height of what stands where a picture was not found
FINE = 2  # file pixels for each pixel of the page, on the fine screens that rows are composed for
GAP_PX = 18
SCROLLS_PX = 117  # height under which a panorama is scrolled and not made smaller; 6.5rem in the style sheet


class RowsPlace(StrEnum):
    """Where rows stand on a page, which says how wide their line is."""

    FULL = "full"  # across the page
    DAY = "day"  # beside a day's margin
    LEAF = "leaf"  # one of two facing pages
    MADE = "made"  # one of the columns of shots made as planned


@dataclass(frozen=True, slots=True)
class Window:
    """A range of windows with one composition: its letter, and its media query's bounds in rem of 16 px."""

    letter: str
    from_rem: float | None
    below_rem: float | None

    @property
    def query(self) -> str:
        """The range as a media query."""
        bounds = [f"(min-width: {self.from_rem:g}rem)"] if self.from_rem else []
        if self.below_rem:
            bounds.append(f"(max-width: {self.below_rem - 0.01:g}rem)")
        return " and ".join(bounds)


WINDOWS = (Window("a", None, 36), Window("b", 36, 60), Window("c", 60, 80), Window("d", 80, None))

# By window: how wide a line is, as the smallest of some (share of the window in hundredths, pixels more), and
# the line that rows are composed for. Both follow from the widths and margins in style.css.
_Ways = tuple[tuple[float, float], ...]
_LINES: Mapping[RowsPlace, tuple[tuple[_Ways, Line], ...]] = {
    RowsPlace.FULL: (
        (((100, -36), (92, 0)), Line(380, 125, 480, GAP_PX, 84)),
        (((92, 0),), Line(680, 150, 420, GAP_PX, 96)),
        (((92, 0),), Line(1000, 180, 520, GAP_PX, 104)),
        (((92, 0), (0, 1386)), Line(1300, 200, 650, GAP_PX, 108)),
    ),
    RowsPlace.DAY: (
        (((100, -36), (92, 0)), Line(380, 190, 480, GAP_PX, 110)),
        (((92, 0),), Line(680, 220, 420, GAP_PX, 130)),
        (((92, -369),), Line(640, 220, 420, GAP_PX, 130)),
        (((92, -369), (0, 1017)), Line(930, 250, 480, GAP_PX, 140)),
    ),
    RowsPlace.LEAF: (
        (((100, -65),), Line(340, 120, 420, GAP_PX, 84)),
        (((92, -47), (85.6, -2)), Line(600, 150, 420, GAP_PX, 96)),
        (((39.6, -2),), Line(440, 140, 330, GAP_PX, 96)),
        (((39.6, -2), (0, 596)), Line(550, 150, 400, GAP_PX, 96)),
    ),
    RowsPlace.MADE: (
        (((100, -36), (92, 0)), Line(380, 190, 480, GAP_PX, 96)),
        (((46, -21),), Line(330, 160, 330, GAP_PX, 96)),
        (((46, -21),), Line(480, 200, 360, GAP_PX, 96)),
        (((30.7, -28), (0, 434)), Line(410, 190, 330, GAP_PX, 96)),
    ),
}


@dataclass(frozen=True, slots=True)
class PlacedFigure:
    """A figure in its row: the classes that place it, and how wide it is drawn, for the browser's choice."""

    figure: Figure
    classes: str
    sizes: str


def in_rows(figures: Sequence[Figure], place: str) -> tuple[PlacedFigure, ...]:
    """Return figures with what places them in rows, in the kind of place that the word names."""
    shapes = [_shape(one.image) for one in figures]
    classes: list[list[str]] = [[] for _ in figures]
    sizes: list[list[tuple[Window, str]]] = [[] for _ in figures]
    for window, (ways, line) in zip(WINDOWS, _LINES[RowsPlace(place)], strict=True):
        at = 0
        for row in composed(shapes, line):
            total = sum(_frame(shapes[at + n], cell, row) for n, cell in enumerate(row.cells))
            for n, cell in enumerate(row.cells):
                shape = shapes[at + n]
                classes[at + n] += _classes(window, row, shape, cell, total, line)
                sizes[at + n].append((window, _drawn(ways, row, shape, cell, line)))
            at += len(row.cells)
    return tuple(
        PlacedFigure(figure, " ".join((shape_of(figure.image), *own)), _sizes(drawn))
        for figure, own, drawn in zip(figures, classes, sizes, strict=True)
    )


def shape_of(image: Image | None) -> str:
    """Return the classes that say a picture's width to height, in thousandths, and its file's width."""
    if image is None:
        return f"r{1000 * MISSING:.0f}"
    return f"r{max(1, round(1000 * image.width_px / image.height_px))} w{image.candidates[-1].width_px}"


def offered(image: Image | None, lengths: str, high: float = 0, wide: str = "") -> str:
    """Return the `sizes` of a picture that stands by itself, as large as its place lets it be.

    `lengths` is a list for `min()`, `wide` the one of windows with facing pages; `high` the part of the
    window that it takes in height at most, in hundredths.
    """
    if image is None:
        return ""
    tall = f", {high * image.width_px / image.height_px:.1f}vh" if high else ""
    told = [(Window("", None, None), f"min({lengths}{tall})")]
    if wide:
        told.append((Window("", 60, None), f"min({wide}{tall})"))
    return _sizes(told)


def high_px(image: Image | None, px: float) -> str:
    """Return how wide a picture of a height is, as a length of CSS."""
    return f"{px * _shape(image).ratio:.0f}px"


def classes_of(page: str) -> set[str]:
    """Return the classes of a finished page's figures and links."""
    return {name for names in _NAMED.findall(page) for name in names.split()}


def style_of(classes: Iterable[str]) -> str:
    """Return the style of some figures' classes; those that are not of rows have theirs in style.css."""
    found = sorted(classes)
    common = [rule for name in found if (rule := _rule(name))]
    parts = ["/* Rows of pictures, composed for these pages: see style.css. */", *common]
    for window in WINDOWS:
        own = [rule for name in found if (rule := _placing(name, window))]
        if own:
            parts.append(
                f"@media screen{' and ' if window.query else ''}{window.query} {{\n" + "\n".join(own) + "\n}"
            )
    return "\n".join(parts) + "\n"


_NAMED = re.compile(r'<(?:figure|a)\b[^>]*?class="([^"]*)"')
_SHAPE = re.compile(r"r(\d+)")
_FILE = re.compile(r"w(\d+)")
_ROW = re.compile(r"([a-d])(\d+)-(\d+)")
_MATTED = re.compile(r"([a-d])m(\d+)-(\d+)")
_ALONE = re.compile(r"([a-d])s(\d+)")
_PART = re.compile(r"([a-d])o(\d+)")
_LONG = re.compile(r"([a-d])l")


def _rule(name: str) -> str:
    if told := _SHAPE.fullmatch(name):
        return f".{name}{{--ratio:{int(told[1]) / 1000:g}}}"
    if told := _FILE.fullmatch(name):
        return f".{name}{{--px:{int(told[1])}px}}"
    return ""


def _placing(name: str, window: Window) -> str:
    if (told := _ROW.fullmatch(name)) and told[1] == window.letter:
        return f".{name}{{--gaps:{int(told[2]) - 1};--sum:{int(told[3]) / 1000:g}}}"
    if (told := _MATTED.fullmatch(name)) and told[1] == window.letter:
        return f".{name}{{--frame:{int(told[2]) / 1000:g};--part:{int(told[3]) / 1000:g}}}"
    if (told := _ALONE.fullmatch(name)) and told[1] == window.letter:
        beside = f"{int(told[2]) / 10:g}% minmax(0,1fr);gap:{GAP_PX}px;align-items:end"
        return f".plates.rows>.{name}{{display:grid;width:100%;grid-template-columns:{beside}}}"
    if (told := _PART.fullmatch(name)) and told[1] == window.letter:  # whole, so that the next begins a line
        return f".plates.rows>.{name}{{width:100%}}.rows>.{name}>a{{width:{int(told[2]) / 10:g}%}}"
    if (told := _LONG.fullmatch(name)) and told[1] == window.letter:
        return (
            f".rows>.{name}>a{{display:block;place-items:start;aspect-ratio:auto;overflow-x:auto}}"
            f".rows>.{name} img{{width:min(max(100%,{SCROLLS_PX}px*var(--ratio)),var(--file))}}"
        )
    return ""


def _shape(image: Image | None) -> Shape:
    if image is None:
        return Shape(MISSING, 3200.0)
    return Shape(image.width_px / image.height_px, image.candidates[-1].width_px / FINE)


def _frame(shape: Shape, cell: PictureCell, row: PictureRow) -> float:
    """Width to height of a cell, to the thousandth that its class says."""
    return round(1000 * (shape.ratio if _is_bare(shape, cell, row) else cell.width_px / row.height_px)) / 1000


def _is_bare(shape: Shape, cell: PictureCell, row: PictureRow) -> bool:
    """Whether a picture leaves no ground in its cell, at the sides or above and below."""
    return cell.picture_px > cell.width_px - 0.5 and cell.picture_px / shape.ratio > row.height_px - 0.5


def _classes(
    window: Window, row: PictureRow, shape: Shape, cell: PictureCell, total: float, line: Line
) -> Iterator[str]:
    frame = _frame(shape, cell, row)
    if row.is_short:
        yield f"{window.letter}s{1000 * cell.width_px / line.width_px:.0f}"
    elif cell.width_px < line.width_px - 0.5 and len(row.cells) == 1:
        yield f"{window.letter}o{1000 * cell.width_px / line.width_px:.0f}"
    else:
        yield f"{window.letter}{len(row.cells)}-{1000 * total:.0f}"
    if not _is_bare(shape, cell, row):
        yield f"{window.letter}m{1000 * frame:.0f}-{1000 * cell.picture_px / cell.width_px:.0f}"
    if is_long(shape, line):
        yield f"{window.letter}l"


def _drawn(ways: _Ways, row: PictureRow, shape: Shape, cell: PictureCell, line: Line) -> str:
    """How wide a picture is drawn, as a length of CSS."""
    room = line.width_px - line.gap_px * (len(row.cells) - 1)
    share = cell.picture_px / room
    gaps = line.gap_px * (len(row.cells) - 1)
    lengths = [_length(share * of, share * (more - gaps)) for of, more in ways]
    width = f"min({', '.join(lengths)})"
    return f"max({width}, {SCROLLS_PX * shape.ratio:.0f}px)" if is_long(shape, line) else width


def _length(share: float, px: float) -> str:
    """A share of the window's width and some pixels, a little more rather than less."""
    if not share:
        return f"{px + 0.5:.0f}px"
    return f"{share + 0.005:.2f}vw" + (f" {'-' if px < 0 else '+'} {abs(px):.0f}px" if abs(px) >= 0.5 else "")


def _sizes(drawn: Sequence[tuple[Window, str]]) -> str:
    """How wide a picture is drawn, from wide windows to narrow ones."""
    told = ((_from(window), width) for window, width in reversed(drawn))
    return ", ".join(f"{when} {width}" if when else width for when, width in told)


def _from(window: Window) -> str:
    return f"(min-width: {window.from_rem:g}rem)" if window.from_rem else ""
