"""The history of a picture that was planned for several trips, in words."""

from collections.abc import Sequence

from logbook.domain.attempts import Attempt
from logbook.domain.words import OutcomeWord
from logbook.faces.words.phrases import because, date_text


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
