"""What all readers share: the refusal, how what was read is said back, and two text helpers."""

import re
import string
from collections.abc import Iterable

from logbook.domain.errors import InvalidValueError

_SPACES = f"{string.whitespace}\u00a0\u2003\x85"


class NotUnderstoodError(InvalidValueError):
    """A line starts like an entry but says something else; its text is the reason, without a full stop."""


def understood(typed: str, kept: str) -> str | None:
    """Return the sentence that says what was read, where it differs from what was typed; else None."""
    return None if _plain(typed) == _plain(kept) else f'"{" ".join(typed.split())}" is kept as {kept}.'


def alternatives(words: Iterable[str]) -> str:
    """A regular expression for any of the words, longest first, with any white space and apostrophe."""
    longest_first = sorted(words, key=len, reverse=True)
    return (
        "(?:"
        + "|".join(r"\s+".join(map(re.escape, word.split())) for word in longest_first).replace("'", "['’]")
        + ")"
    )


def folded(text: str) -> str:
    """The text as vocabularies have it: lower case, single spaces, plain apostrophes."""
    return " ".join(text.lower().replace("’", "'").split())


def tidied(text: str) -> str:
    """The text without the separators and white space that stood around it."""
    return text.strip(f"{_SPACES},;:–—-")


def in_doubt(rest: str) -> bool:
    """Whether what follows a word takes it back by a question mark: `made?`, `none ?? maybe few`."""
    return rest.lstrip().startswith("?")


def is_between(name: str) -> bool:
    """Whether words stand between the colon behind a name and what follows: `nd8: wish I'd`."""
    return re.search(r":\s+\S", name) is not None and not name.rstrip().endswith(":")


def noted(text: str) -> str:
    """The text as a note, tidied; a full stop that is left of a sentence is none."""
    return tidied(text) if text.strip(f"{_SPACES}.!") else ""


def _plain(text: str) -> str:
    return "".join(text.casefold().split())
