"""Free text on its way to a page: Markdown to cleaned HTML, or one plain line.

One surprising decision: headings and pictures inside a person's text become bold lines and their alternative
text, so that no note can break the order of headings or fetch anything.
"""

import re

from markupsafe import Markup

from logbook.domain.plain_text import line as one_line
from logbook.domain.plain_text import plain
from logbook.faces.words.scripts import apart

__all__ = ["line", "plain", "prose"]

_TAGS = {
    "a", "b", "blockquote", "br", "code", "dd", "del", "dl", "dt", "em", "hr", "i", "li", "ol", "p", "pre",
    "s", "strong", "sub", "sup", "ul",
}  # fmt: skip
_SCHEMES = ("https://", "http://", "mailto:")
_PICTURE = re.compile(r"<img\b[^>]*?\balt=\"([^\"]*)\"[^>]*>", re.IGNORECASE)
_HEADING = re.compile(r"<(/?)h[1-6]\b[^>]*>", re.IGNORECASE)


def line(text: str | None) -> str:
    """Return text as one plain line, set apart from a sentence around it where it runs from right to left."""
    return apart(one_line(text))


def prose(text: str | None) -> Markup | None:
    """Return Markdown as cleaned HTML: no script, no style, no picture, absolute web and mail links only."""
    import markdown
    import nh3

    if not plain(text).strip():
        return None
    html = markdown.markdown(plain(text), extensions=["sane_lists", "smarty"], output_format="html")
    html = _PICTURE.sub(r"\1", html)
    html = _HEADING.sub(lambda tag: "</strong></p>" if tag[1] else "<p><strong>", html)
    cleaned = nh3.clean(
        html,
        tags=_TAGS,
        clean_content_tags={"script", "style"},
        attributes={"a": {"href"}},
        attribute_filter=_only_absolute_links,
        url_schemes={"http", "https", "mailto"},
        link_rel="noopener noreferrer nofollow",
    )
    return Markup(cleaned) if cleaned.strip() else None  # noqa: S704 - cleaned on the line above


def _only_absolute_links(_tag: str, _attribute: str, value: str) -> str | None:
    """A relative link could point beside the report, into the reader's own files."""
    return value if value.strip().lower().startswith(_SCHEMES) else None
