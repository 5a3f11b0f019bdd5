"""Filters as pages name them: "two ND8", "graduated ND8", "polariser"; the codes stay in the table's file.

One surprising decision: sentences that the arithmetic has written are translated by their codes, because they
come whole and hold no words of a person.
"""

import re
from collections import Counter
from collections.abc import Iterable

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import TYPES
from logbook.craft.filters import parse_filter
from logbook.faces.words.phrases import counted, listed

_CODE = rf"(?:{'|'.join(of.code for of in TYPES.values() if of.code)})"
_STACK = re.compile(rf"\b{_CODE}\b(?: \+ {_CODE}\b)*")
_SPAN = re.compile(r"(?<=[0-9]{2}:[0-9]{2})-(?=[0-9]{2}:[0-9]{2})")
_KEEPERS = re.compile(
    r"\bkeeper(?=s? here (?:in the same light|without the eclipse) )"
)  # whoever reads a page sees pictures


def filter_text(code: str) -> str:
    """Return one filter as people say it; a name that is no code stays as it was written."""
    try:
        one = parse_filter(code)
    except CraftValueError:
        return code
    return one.type.shown(one.name) or code


def filters_text(codes: Iterable[str]) -> str:
    """Return a stack as people say it: "two ND8", "ND8 and polariser"; nothing for none."""
    times = Counter(map(filter_text, codes))
    return listed([name if number == 1 else counted(number, name, name) for name, number in times.items()])


def readable(text: str) -> str:
    """Return a sentence of the arithmetic in a page's words: filters named, spans set as elsewhere."""
    named = _STACK.sub(lambda found: filters_text(found[0].split(" + ")), text)
    return _KEEPERS.sub("picture", _SPAN.sub("–", named))
