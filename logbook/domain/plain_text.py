"""Free text made plain: without characters that steer a terminal or turn a page round.

One surprising decision: text is composed (NFC), so that a name is found however its accents were typed.
"""

import re
import unicodedata

_REORDERING = re.compile("[\u202a-\u202e\u2066-\u2069]")  # bidi overrides: text may not turn the page round
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def plain(text: str | None) -> str:
    """Return text without control and reordering characters, composed (NFC)."""
    return _CONTROL.sub("", _REORDERING.sub("", unicodedata.normalize("NFC", text or "")))


def line(text: str | None) -> str:
    """Return text as one plain line."""
    return " ".join(plain(text).split())
