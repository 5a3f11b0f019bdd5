"""The sheet as one file: rendered with its style inside, and put in its place whole.

One surprising decision: the page carries the digest of its own style in its security policy, so that not even
a style written into a note could take effect.
"""

import base64
import hashlib
import os
from pathlib import Path
from uuid import uuid4

from logbook.domain.errors import OutputError
from logbook.faces.report.site import environment
from logbook.faces.sheet.models import Paper, Sheet

MARK = '<meta name="generator" content="shoot-logbook sheet">'
MARK_WITHIN = 2000  # characters; the mark stands in the head of every sheet
_SIZES = {Paper.A4: "A4", Paper.LETTER: "letter"}


def rendered(sheet: Sheet, templates: Path) -> str:
    """Return the sheet as HTML, complete in itself."""
    size = f"@page {{ size: {_SIZES[sheet.paper]}; }}\n"
    style = "\n" + size + (templates / "sheet" / "sheet.css").read_text(encoding="utf-8")
    return complete_page("sheet.html", style, templates, sheet=sheet)


def complete_page(name: str, style: str, templates: Path, **shown: object) -> str:
    """Return a page in the sheet's look: its style inside, and the digest that lets only that style in."""
    from markupsafe import Markup

    known = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    page = environment(templates / "sheet").get_template(name)
    return page.render(**shown, style=Markup(style), style_digest=known, mark=Markup(MARK))  # noqa: S704


def check_place(into: Path) -> Path:
    """Return where the sheet will lie; OutputError where that is a folder, or a file that is no sheet."""
    try:
        place = into.expanduser().resolve()
        if place.is_dir():
            raise OutputError(f"{place} is a folder, and a sheet is a file; name one such as sheet.html.")
        if not place.parent.is_dir():
            raise OutputError(
                f"The folder {place.parent} does not exist; create it, or choose another place."
            )
        if place.exists() and not _is_ours(place):
            raise OutputError(f"{place} is no field sheet of this program; choose another name.")
    except (OSError, ValueError, RuntimeError) as error:
        raise OutputError(
            f"The sheet cannot be written to {into}: {_why(error)}; choose another place."
        ) from None
    return place


def write_sheet(html: str, into: Path) -> Path:
    """Put a sheet in its place and return that; on any error what was there before is unchanged."""
    place = check_place(into)
    beside = place.with_name(f".{uuid4().hex[:8]}.sheet")
    try:
        with beside.open("x", encoding="utf-8", newline="\n") as file:
            file.write(html)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(place)
    except OSError as error:
        raise OutputError(
            f"The sheet cannot be written to {place}: {_why(error)}; choose another place."
        ) from None
    finally:
        beside.unlink(missing_ok=True)
    return place


def _is_ours(place: Path) -> bool:
    with place.open(encoding="utf-8", errors="replace") as file:
        return MARK in file.read(MARK_WITHIN)


def _why(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error).lower()
