"""The pages to look things up, as `logbook help` shows them."""

import re

from flask import Blueprint, Response
from markupsafe import Markup

from logbook.faces.private.workplace import page
from logbook.faces.topics import topic, topics

part = Blueprint("helping", __name__)
_TABLE = re.compile(r"<table>.*?</table>", re.DOTALL)


@part.get("/help")
def index() -> Response:
    """All topics."""
    return page("help.html", topics=topics(), title="Help", text=None)


@part.get("/help/<wanted>")
def about(wanted: str) -> Response:
    """One topic."""
    import markdown

    found = topic(wanted)
    html = markdown.markdown(found.text, extensions=["tables", "fenced_code"], output_format="html")
    html = html.replace(r"\|", "|")  # a bar within a table's code
    html = _TABLE.sub(r'<div class="sheet" tabindex="0" role="region" aria-label="Table">\g<0></div>', html)
    return page("help.html", topics=topics(), title=found.title, text=Markup(html))  # noqa: S704  # our own file
