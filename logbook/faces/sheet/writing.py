"""The sheet as one file, rendered with its style inside.

One surprising decision: the page carries the digest of its own style in its security policy, so that not even
a style written into a note could take effect.
"""

import base64
import hashlib
from collections.abc import Sequence
from pathlib import Path

from logbook.faces.report.site import environment
from logbook.faces.sheet.models import Paper, Sheet
from logbook.faces.typeface import type_within
from logbook.store.outputs import Purpose

FIELD_SHEET = Purpose("field sheet", is_private=True)
MARK = '<meta name="generator" content="shoot-logbook sheet">'
_SIZES = {Paper.A4: "A4", Paper.LETTER: "letter"}


def rendered(sheet: Sheet, templates: Path) -> str:
    """Return the sheet as HTML, complete in itself."""
    return complete_page("sheet.html", ("sheet.css",), sheet.paper, templates, sheet=sheet)


def complete_page(name: str, styles: Sequence[str], paper: Paper, templates: Path, **shown: object) -> str:
    """Return a page in the sheet's look, style and type inside, and the digest that lets in only these."""
    from markupsafe import Markup

    folder = templates / "sheet"
    page = environment(folder).get_template(name)
    bare = page.render(**shown, style="", style_digest="", mark="")
    own = "".join((folder / one).read_text(encoding="utf-8") for one in styles)
    style = f"{type_within(templates, bare)}\n@page {{ size: {_SIZES[paper]}; }}\n{own}"
    known = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return page.render(**shown, style=Markup(style), style_digest=known, mark=Markup(MARK))  # noqa: S704
