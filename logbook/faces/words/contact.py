"""How a photographer is reached, with e-mail and web addresses as links.

One surprising decision: only an address that stands alone between spaces becomes a link, and a web address
only with its "https://". A link that leads elsewhere than it says is worse than words.
"""

import re

from markupsafe import Markup, escape

from logbook.domain.plain_text import line

_WORD = re.compile(r"([(\[<\"']*)(.*?)([)\]>.,;:!?\"']*)")  # what a sentence puts around an address
_HOST = r"(?:[A-Za-z0-9-]+\.)+[A-Za-z]{2,}"
_MAIL = re.compile(rf"(?:mailto:)?([A-Za-z0-9][A-Za-z0-9._+-]*@{_HOST})")
_WEB = re.compile(rf"https://{_HOST}(?:/[A-Za-z0-9._~/%?&=+#-]*)?")
_LINK = Markup('<a href="{}" rel="noopener noreferrer">{}</a>')


def contact(text: str | None) -> Markup | None:
    """Return one line with its addresses as mailto: and https: links, or None where nothing was said."""
    words = line(text).split()
    return Markup(" ").join(map(_linked, words)) if words else None


def _linked(word: str) -> Markup:
    found = _WORD.fullmatch(word)
    before, held, after = found.groups() if found else ("", word, "")
    if mail := _MAIL.fullmatch(held):
        return escape(before) + _LINK.format(f"mailto:{mail[1]}", mail[1]) + escape(after)
    if _WEB.fullmatch(held):
        return escape(before) + _LINK.format(held, held) + escape(after)
    return escape(word)
