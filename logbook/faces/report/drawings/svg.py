"""Small pieces of SVG: escaped text, elements, labels that keep out of each other's way, the whole drawing.

One surprising decision: nothing here sets a colour. Every mark has a class, and the style sheet draws it in
the page's own ink, so that light, dark and paper need one drawing only.
"""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field

from markupsafe import Markup

from logbook.faces.words.scripts import closed, without_last

TEXT_PX = 12.0  # size of all words, in units of the drawing; the narrow drawing is shown about 1:1
NARROW, WIDE = 326.0, 760.0  # units across: a phone of 360 px less its margins, and a column of a page
_GLYPH = 0.56  # mean width of a sans-serif glyph in ems, a little on the wide side
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle that something occupies."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Tell whether two rectangles overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def number(value: float) -> str:
    """Return a coordinate with one decimal and no needless zero."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def clean(text: str) -> str:
    """Return text without characters that XML cannot hold."""
    return _NOT_XML.sub("", text)


def element(name: str, inside: str = "", **attributes: str | float) -> Markup:
    """Return one element; `inside` is escaped unless it is markup, `class_` stands for `class`."""
    told = [
        Markup(' {}="{}"').format(key.rstrip("_").replace("_", "-"), _value(attributes[key]))
        for key in attributes
    ]
    held = inside if isinstance(inside, Markup) else Markup("{}").format(clean(inside))
    inner = f"<{name}{Markup('').join(told)}" + (f">{held}</{name}>" if held else "/>")
    return Markup(inner)  # noqa: S704  the name is ours; all else was escaped above


def _value(value: str | float) -> str:
    return clean(value) if isinstance(value, str) else number(value)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> Markup:
    """Return a straight line."""
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_=class_)


def rect(left: float, top: float, width: float, height: float, class_: str) -> Markup:
    """Return a rectangle."""
    return element("rect", x=left, y=top, width=width, height=height, class_=class_)


def words(text: str, x: float, y: float, class_: str = "word", anchor: str = "start") -> Markup:
    """Return a word at its baseline."""
    return element("text", text, x=x, y=y, class_=class_, text_anchor=anchor)


def width_of(text: str) -> float:
    """Return about how wide a text is; wide scripts count double, marks on a letter nothing."""
    return sum(_share(glyph) for glyph in text) * TEXT_PX * _GLYPH


def _share(glyph: str) -> int:
    """How many mean glyphs wide one is."""
    if glyph.isascii():
        return 1
    if unicodedata.category(glyph) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(glyph) in ("W", "F") else 1


def shortened(text: str, width: float) -> str:
    """Return a text cut to a width, with an ellipsis where something was cut."""
    if width_of(text) <= width:
        return text
    while text and width_of(text) + TEXT_PX > width:
        text = without_last(text)
    return closed(f"{text.rstrip()}…")


@dataclass(slots=True)
class Rows:
    """Rows of words in which nothing overlaps: each word goes into the first row with room for it."""

    left: float
    right: float
    height: float = TEXT_PX + 3
    _taken: list[float] = field(default_factory=list)  # how far each row is filled

    def place(self, text: str, middle: float) -> tuple[str, float, int]:
        """Return the text (cut where there is no room), its left edge and its row; ask from left to right."""
        text = shortened(text, self.right - self.left)
        width = width_of(text)
        start = min(max(middle - width / 2, self.left), self.right - width)
        for row, filled in enumerate(self._taken):
            if start >= filled:
                self._taken[row] = start + width + 6
                return text, start, row
        self._taken.append(start + width + 6)
        return text, start, len(self._taken) - 1

    @property
    def depth(self) -> float:
        """The height of all rows."""
        return len(self._taken) * self.height


def drawing(
    anchor: str, title: str, description: str, size: tuple[float, float], marks: Iterable[Markup], class_: str
) -> Markup:
    """Return a whole drawing with its name and description; `anchor` makes its ids unique on the page."""
    width, height = size
    inside = Markup("").join(
        [
            element("title", title, id=f"{anchor}-name"),
            element("desc", description, id=f"{anchor}-said"),
            *marks,
        ]
    )
    return element(
        "svg",
        inside,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby=f"{anchor}-name",
        aria_describedby=f"{anchor}-said",
        class_=class_,
    )
