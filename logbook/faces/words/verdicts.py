"""How far light and filters are from what a picture needs, in words: for tables, pages and sheets alike."""

from typing import TYPE_CHECKING

from logbook.craft.marks import counted_stops

if TYPE_CHECKING:
    from logbook.craft.feasible import Feasibility


def feasibility_words(judged: "Feasibility") -> str:
    """A verdict as a table shows it: `feasible`, `2 stops too bright`, `doubtful, 1 stop too dark`."""
    word = str(judged.verdict)
    if not judged.off_stops:
        return word
    off = off_text(judged.off_stops)
    return f"{word}, {off}" if word == "doubtful" else off


def off_text(off_stops: float) -> str:
    """How far the light misses: `2 stops too bright`."""
    return f"{counted_stops(round(abs(off_stops), 1))} too {'bright' if off_stops > 0 else 'dark'}"
