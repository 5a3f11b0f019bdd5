"""The camera body, named as people say it.

One surprising decision: company forms ("Corporation", "Co., Ltd.") are dropped, and a maker whose name the
model already carries is not said twice.
"""

import re

from logbook.intake.exif.tags import Tags

_COMPANY_WORDS = frozenset(
    {
        *("corporation", "corp", "company", "co", "ltd", "co,ltd", "inc", "llc", "gmbh", "ag", "kk"),
        *("optical", "imaging", "computer", "electric", "electronics", "camera", "digital"),
        *("techwin", "technologies", "communications"),
    }
)
_EDGES = re.compile(r"^[\s,.]+|[\s,.]+$")


def read_body(tags: Tags) -> str | None:
    """Maker and model joined; None when neither was written."""
    return join_body(tags.text("Make"), tags.text("Model"))


def join_body(make: str | None, model: str | None) -> str | None:
    """Maker and model as one name: "EXAMPLE CORPORATION", "EXAMPLE Quill" is "EXAMPLE Quill";
    "Example Inc.", "Quill" is "Example Quill".
    """
    if not make or not model:
        return model or make
    words = make.split()
    while len(words) > 1 and _EDGES.sub("", words[-1]).replace(".", "").lower() in _COMPANY_WORDS:
        words.pop()
    short = _EDGES.sub("", " ".join(words))
    spoken = {_EDGES.sub("", w).lower() for w in words}
    first = model.replace("-", " ").split()[0].lower() if model.replace("-", " ").split() else ""
    if first in spoken or model.lower().startswith(short.lower()):
        return model
    return f"{short} {model}"
