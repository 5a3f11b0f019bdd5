"""How many tries, and which numbers of a list, as they are written."""

import re

from logbook.domain.condition_kinds.kind import ABOUT

_COUNT = re.compile(
    rf"(?P<about>{ABOUT}|ca\s)?\s*([0-9]{{1,5}})(?P<ish>\s?-?ish\b)?(?:\s*(?:x|×|tries|frames|exposures|shots))?",
    re.IGNORECASE,
)
_NUMBERS = re.compile(r"([0-9]{1,4})(?:-([0-9]{1,4}))?")


def count_written(text: str) -> int | None:
    """Return a count of tries, `14` or `about 20`; None where the text is none."""
    found = _COUNT.fullmatch(text.strip())
    return int(found[2]) if found else None


def is_about_count(text: str) -> bool:
    """Whether a count is only about right: `~20`, `20ish`."""
    found = _COUNT.fullmatch(text.strip())
    return found is not None and bool(found["about"] or found["ish"])


def numbers_written(text: str) -> tuple[int, ...] | None:
    """Return the numbers of `3`, `3,5-7` or `3 5 to 7`, each once, in order; None where that is none."""
    pieces = re.split(r"[,;\s]+", re.sub(r"\s*(?:-|–|\bto\b)\s*", "-", text.strip()))
    numbers: set[int] = set()
    for piece in pieces:
        found = _NUMBERS.fullmatch(piece)
        if found is None:
            return None
        first, last = int(found[1]), int(found[2] or found[1])
        if first > last:
            return None
        numbers.update(range(first, last + 1))
    return tuple(sorted(numbers))
