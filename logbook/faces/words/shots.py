"""A planned shot in words: how far light and filters are from what it needs, and its history over trips."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from logbook.craft.marks import counted_stops
from logbook.domain.attempts import Attempt
from logbook.domain.words import OutcomeWord
from logbook.faces.words.phrases import because, date_text

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


def attempts_text(attempts: Sequence[Attempt]) -> str:
    """Return "planned 2029, missed because the water was against it; planned 2031, made", or nothing."""
    years = [one.shot.on_date.year for one in attempts if one.shot.on_date]
    are_enough = len(set(years)) == len(years)
    return "; ".join(_attempt_text(one, by_year=are_enough) for one in attempts)


def _attempt_text(one: Attempt, *, by_year: bool) -> str:
    on_date = one.shot.on_date
    when = "" if on_date is None else f" {on_date.year}" if by_year else f" for {date_text(on_date)}"
    word = "only partly made" if one.word is OutcomeWord.PARTLY else str(one.word)
    why = f" {because(one.outcome.reasons)}" if one.outcome and one.outcome.reasons else ""
    return f"planned{when}, {word}{why}"
