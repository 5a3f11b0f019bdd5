"""The pages as text: one template for the index, one for the large view of a picture.

One surprising decision: a template that asks for something its page model does not have fails the build;
there is no silent blank.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from logbook.faces.report.models import Page
from logbook.faces.typeface import type_beside

if TYPE_CHECKING:
    from jinja2 import Environment

_COPIED = ("style.css", "tones.css", "page.js", "table.js", "icon.svg")


def brought(templates: Path) -> Mapping[str, bytes]:
    """Return what lies in every report as the program brought it, by path inside the report."""
    own = {name: (templates / "report" / name).read_bytes() for name in _COPIED}
    return {**own, **type_beside(templates)}


def rendered(page: Page, templates: Path) -> Iterator[tuple[str, str]]:
    """Yield each page's path inside the report and its HTML, index first."""
    pages = environment(templates)
    index = pages.get_template("report/index.html")
    yield "index.html", index.render(page=page, root="", alone=page.alone)
    large = pages.get_template("report/picture.html")
    last = len(page.picture_pages)
    for number, picture in enumerate(page.picture_pages):
        yield (
            picture.figure.page,
            large.render(
                page=page,
                picture=picture,
                position=number + 1,
                before=page.picture_pages[number - 1].figure if number else None,
                after=page.picture_pages[number + 1].figure if number + 1 < last else None,
                root="../",
                alone=page.alone,
            ),
        )


def environment(templates: Path) -> "Environment":
    """Return what reads the templates: all text is escaped, and a blank is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(templates),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
