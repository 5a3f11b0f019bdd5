"""The pages as text: one template for pages of text, one for the large view of a picture.

One surprising decision: a template that asks for something its page model does not have fails the build;
there is no silent blank.
"""

from collections.abc import Collection, Iterator, Mapping
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.faces.report.page_models import Leaf, Page
from logbook.faces.report.rows import high_px, in_rows, offered, shape_of
from logbook.faces.typeface import type_beside
from logbook.faces.words.scripts import written_in

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

_COPIED = ("style.css", "light.css", "tones.css", "page.js", "table.js", "icon.svg")


def brought(templates: Path, signs: Collection[str] | None = None) -> Mapping[str, bytes]:
    """Return what lies in a report as the program brought it, by path inside the report.

    `signs` are those of its pages, by which the type is chosen; None is all that any report may have.
    """
    own = {name: (templates / "report" / name).read_bytes() for name in _COPIED}
    return {**own, **type_beside(templates, signs)}


def rendered(page: Page, templates: Path) -> Iterator[tuple[str, str]]:
    """Yield each page's path inside the report and its HTML, index first."""
    pages = environment(templates)
    text = pages.get_template("report/leaf.html")
    for number, leaf in enumerate(page.leaves):
        yield (
            leaf.file,
            text.render(
                page=page,
                leaf=leaf,
                before=page.leaves[number - 1] if number else None,
                after=page.leaves[number + 1] if number + 1 < len(page.leaves) else None,
                at=partial(page.at, leaf=leaf),
                root="",
                alone=page.alone,
            ),
        )
    large = pages.get_template("report/picture.html")
    last = len(page.picture_pages)
    for number, picture in enumerate(page.picture_pages):
        leaf, position, of = _place_of(page, number)
        yield (
            picture.figure.page,
            large.render(
                page=page,
                picture=picture,
                leaf=leaf,
                position=position,
                of=of,
                before=page.picture_pages[number - 1].figure if number else None,
                after=page.picture_pages[number + 1].figure if number + 1 < last else None,
                root="../",
                alone=page.alone,
            ),
        )


def _place_of(page: Page, number: int) -> tuple[Leaf, int, int]:
    """The page that a picture stands on, which of its pictures it is, and how many there are."""
    files = [page.homes[one.figure.anchor] for one in page.picture_pages]
    here = files[number]
    leaf = page.home(page.picture_pages[number].figure.anchor)
    return leaf, files[: number + 1].count(here), files.count(here)


@cache
def environment(templates: Path) -> "Environment":
    """Return what reads the templates, compiled once: all text is escaped, and a blank is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    found = Environment(
        loader=FileSystemLoader(templates),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    found.filters |= {"high_px": high_px, "in_rows": in_rows, "shape_of": shape_of, "offered": offered}
    found.filters["tongue"] = _tongue
    return found


def _tongue(text: str | None) -> "Markup":
    """Return the attribute that names a text's language, where that is beyond doubt."""
    from markupsafe import Markup

    code = written_in(text)
    return Markup(' lang="{}"').format(code) if code else Markup()
