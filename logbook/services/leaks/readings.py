"""What a file says: its words as a reader meets them, its figures, and the views its drawings point out.

One surprising decision: markup is parsed and not cut out, because a drawing's own measures look like
coordinates and a name may run on through tags. What is broken is read as it stands.
"""

import csv
import io
import json
import math
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from html.parser import HTMLParser

PARTED = " | "  # between pieces that no sentence runs through
_BLOCKS = frozenset(
    (
        *(
            "address",
            "article",
            "aside",
            "blockquote",
            "body",
            "br",
            "button",
            "caption",
            "cell",
            "dd",
            "desc",
        ),
        *(
            "details",
            "div",
            "dl",
            "dt",
            "figcaption",
            "figure",
            "footer",
            "form",
            "h1",
            "h2",
            "h3",
            "h4",
            "h5",
        ),
        *("h6", "head", "header", "hr", "html", "label", "legend", "li", "main", "nav", "ol", "option", "p"),
        *("pre", "section", "summary", "table", "tbody", "td", "text", "tfoot", "th", "thead", "title", "tr"),
        *("tspan", "ul"),
    )
)
# Further elements that pages and drawings are made of; their names are nobody's words.
_ELEMENTS = frozenset(
    (
        *("a", "abbr", "b", "circle", "code", "data", "defs", "del", "ellipse", "em", "g", "i", "img"),
        *("input", "ins", "kbd", "line", "lineargradient", "link", "marker", "mask", "meta", "path"),
        *("pattern", "polygon", "polyline", "rect", "s", "script", "small", "source", "span", "stop"),
        *("strong", "style", "sub", "sup", "svg", "time", "u", "use", "wbr"),
    )
)
_MEASURES = frozenset(
    (
        *(
            "d",
            "points",
            "transform",
            "viewbox",
            "width",
            "height",
            "r",
            "rx",
            "ry",
            "x",
            "y",
            "x1",
            "x2",
            "y1",
        ),
        *("y2", "cx", "cy", "dx", "dy", "style", "stroke-width", "stroke-dasharray", "tabindex", "colspan"),
        *("rowspan", "sizes", "class", "id", "for", "aria-labelledby", "aria-describedby"),
    )
)
_CONE = re.compile(r"M\s*(\S+) (\S+)\s*L\s*(\S+) (\S+)\s*A\s*\S+ \S+ \S+ (\d) \d (\S+) (\S+)")
_ICS_FOLD = re.compile(r"\r?\n[ \t]")
_ICS_ESCAPE = re.compile(r"\\([nN,;\\])")


@dataclass(frozen=True, slots=True)
class FileReading:
    """One file read: `words` without markup, `figures` without measures, `views` bearings in degrees."""

    words: str
    figures: str
    views: tuple[float, ...] = ()


def reading_of(name: str, text: str) -> FileReading:
    """Return what a file says, read as the ending of its name asks for and else as it stands."""
    ending = name.rpartition(".")[2].lower()
    if ending in ("json", "geojson"):
        try:
            return _of_json(json.loads(text))
        except ValueError:
            return _of_markup(text)
    if ending == "ics":
        text = _ICS_ESCAPE.sub(lambda one: "\n" if one[1] in "nN" else one[1], _ICS_FOLD.sub("", text))
    if ending == "csv":
        with suppress(csv.Error):
            return _of_table(text, list(csv.reader(io.StringIO(text, newline=""))))
    return _of_markup(text)


def _of_table(text: str, rows: list[list[str]]) -> FileReading:
    """Return a table's cells, each figure beside the head of its column."""
    inside = _of_markup("\n".join(PARTED.join(row) for row in rows))
    heads = rows[0] if rows else []
    cells = (f"{head} {cell}" for row in rows[1:] for head, cell in zip(heads, row, strict=False) if cell)
    return FileReading(inside.words, "\n".join([text, *cells]), inside.views)


def _of_json(document: object) -> FileReading:
    """Return the values of a document; its keys are the program's own words and only name figures."""
    values, figures = [], []
    for key, value in _values("", document):
        if isinstance(value, str):
            values.append(value)
        figures.append(f"{key} {value}")
    inside = _of_markup(f"\n{PARTED}\n".join(values))
    return FileReading(inside.words, "\n".join([*figures, inside.figures]), inside.views)


def _values(key: str, value: object) -> Iterator[tuple[str, object]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _values(str(name), inner)
    elif isinstance(value, list) and value and all(isinstance(one, int | float) for one in value):
        yield key, " ".join(map(str, value))
    elif isinstance(value, list):
        for inner in value:
            yield from _values(key, inner)
    elif value is not None:
        yield key, value


def _of_markup(text: str) -> FileReading:
    if "<" not in text:
        return FileReading(text, text)
    parser = _Parser()
    parser.feed(text)
    parser.close()
    return FileReading("".join([*parser.words, *parser.beside]), "".join(parser.figures), tuple(parser.views))


class _Parser(HTMLParser):
    """Gathers what stands between tags and in attributes; comments and broken declarations too."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self.beside: list[str] = []  # attributes: no tag may part a word
        self.figures: list[str] = []
        self.views: list[float] = []
        self._styles = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _BLOCKS:
            self._say(PARTED)
        self._styles += tag == "style"
        told = [(name, value if value is not None else name) for name, value in attrs]
        if tag not in _BLOCKS and tag not in _ELEMENTS:  # an address between angle brackets is no tag
            self.beside.append(f"{PARTED}{tag}")
        self.beside += [f"{PARTED}{value}" for name, value in told if name == "id" or name not in _MEASURES]
        self.figures += [f" {name}={value} " for name, value in told if name not in _MEASURES]
        self.views += _views(dict(told))

    def handle_endtag(self, tag: str) -> None:
        if tag in _BLOCKS:
            self._say(PARTED)
        self._styles -= tag == "style"

    def handle_data(self, data: str) -> None:
        self.words.append(data)
        if self._styles <= 0:
            self.figures.append(data)

    def handle_comment(self, data: str) -> None:
        self.beside.append(f"{PARTED}{data}")  # what stands before and behind it is read as one
        self.figures.append(f"{PARTED}{data}{PARTED}")

    def handle_decl(self, decl: str) -> None:
        self._say(f"{PARTED}{decl}{PARTED}")

    def handle_pi(self, data: str) -> None:
        self._say(f"{PARTED}{data}{PARTED}")

    def unknown_decl(self, data: str) -> None:
        inside = _of_markup(data.removeprefix("CDATA["))
        self.words.append(inside.words)
        self.figures.append(inside.figures)

    def _say(self, text: str) -> None:
        self.words.append(text)
        self.figures.append(text)


def _views(attributes: dict[str, str]) -> list[float]:
    """Return the bearing that a mark on a map points out as a direction of view, as the drawing has it."""
    kinds = attributes.get("class", "").split()
    try:
        if "cone" in kinds and (told := _CONE.match(attributes.get("d", ""))):
            x, y, left, up, _, right, down = map(float, told.groups())
            first, last = _bearing(left - x, up - y), _bearing(right - x, down - y)
            return [(first + (last - first) % 360 / 2) % 360]
        if "facing" in kinds:
            x1, y1, x2, y2 = (float(attributes[name]) for name in ("x1", "y1", "x2", "y2"))
            return [_bearing(x2 - x1, y2 - y1)]
    except (KeyError, ValueError):
        pass
    return []


def _bearing(east: float, down: float) -> float:
    return math.degrees(math.atan2(east, -down)) % 360
