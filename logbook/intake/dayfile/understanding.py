"""What the readers of single lines share: the refusal that makes a line loose, and two text helpers."""

import re
from collections.abc import Iterable


class NotUnderstoodError(Exception):
    """The line starts like an entry but says something else; the text is the reason, without a full stop."""


def alternatives(words: Iterable[str]) -> str:
    """A regular expression for any of the words, longest first, with any white space inside them."""
    longest_first = sorted(words, key=len, reverse=True)
    return (
        "(?:"
        + "|".join(r"\s+".join(re.escape(part) for part in word.split()) for word in longest_first)
        + ")"
    )


def tidied(text: str) -> str:
    """The text without the separators and white space that stood around it."""
    return text.strip().strip(",;:–—-").strip()
