"""Colour and weight on a terminal: they repeat what a word beside them says, and are never the only sign.

One surprising decision: a table is coloured by the words in its cells, so that a status has one colour
wherever it stands and no command says which.
"""

import os
import re
import sys
from collections.abc import Iterator
from enum import StrEnum
from typing import TextIO

from logbook.domain.words import OutcomeWord, Provenance


class Ink(StrEnum):
    """What a colour means, and which it is."""

    HEADING = "bold"
    ASIDE = "dim"
    GOOD = "green"
    DOUBT = "yellow"
    BAD = "red"


_SGR = {Ink.HEADING: 1, Ink.ASIDE: 2, Ink.GOOD: 32, Ink.DOUBT: 33, Ink.BAD: 31}  # ECMA-48
OF_STATUS: dict[str, Ink] = {
    **dict.fromkeys((OutcomeWord.MADE, "feasible"), Ink.GOOD),
    **dict.fromkeys((OutcomeWord.PARTLY, OutcomeWord.REPLACED, "doubtful"), Ink.DOUBT),
    OutcomeWord.MISSED: Ink.BAD,
}
_STATUS = re.compile(rf"({'|'.join(sorted(OF_STATUS, key=len, reverse=True))})(?=$|,| \(|\n)")
_DOUBTED = re.compile(rf"\((?:{Provenance.ASSUMED}|{Provenance.INFERRED})\)|impossible light")


def is_coloured(stream: TextIO) -> bool:
    """Return whether somebody sees colours there: a terminal that knows them, and NO_COLOR is not set."""
    old_console = sys.platform == "win32" and "WT_SESSION" not in os.environ
    return (
        stream.isatty()
        and not os.environ.get("NO_COLOR")
        and os.environ.get("TERM") != "dumb"
        and not old_console
    )


def inked(text: str, ink: Ink | None, stream: TextIO | None = None) -> str:
    """Return text in a colour, where it is seen; the text must be clean already."""
    if ink is None or not is_coloured(stream or sys.stdout):
        return text
    return f"\x1b[{_SGR[ink]}m{text}\x1b[0m"


def marks_in(cell: str) -> Iterator[tuple[int, int, Ink]]:
    """Yield what of a table's cell has a colour: a status that it begins with, or a doubt about a value."""
    if status := _STATUS.match(cell):
        yield *status.span(), OF_STATUS[status[0]]
    for found in _DOUBTED.finditer(cell):
        yield *found.span(), Ink.DOUBT
