"""What became of a shot is read as it is said, and what says nothing more is no note."""

import pytest

from logbook.domain.words import OutcomeWord, Reason
from logbook.domain.written.lines import read_entries
from logbook.domain.written.outcomes import outcome_written
from logbook.domain.written.understanding import NotUnderstoodError

MADE, PARTLY, MISSED = OutcomeWord.MADE, OutcomeWord.PARTLY, OutcomeWord.MISSED


@pytest.mark.parametrize(
    ("text", "word", "reasons", "note"),
    [
        ("made it", MADE, (), ""),
        ("made it, just", MADE, (), "just"),
        ("missed it", MISSED, (), ""),
        ("missed it by a minute", MISSED, (), "by a minute"),
        ("missed that one - overslept", MISSED, (), "overslept"),
        ("missed that light", MISSED, (), "that light"),
        ("Missed!", MISSED, (), ""),
        ("partly made", PARTLY, (), ""),
        ("didn’t happen", MISSED, (), ""),
        ("missed because of the crowd", MISSED, (Reason.CROWD,), "because of the crowd"),
        ("missed, too dark", MISSED, (Reason.LIGHT,), "too dark"),
        ("missed, itchy feet", MISSED, (), "itchy feet"),
    ],
)
def test_an_outcome_keeps_what_was_said_beside_it(
    text: str, word: OutcomeWord, reasons: tuple[Reason, ...], note: str
) -> None:
    said = outcome_written("bridge-flow", text)
    assert (said.outcome, said.reasons, said.note) == (word, reasons, note)
    (of_day_file,) = read_entries(f"- shot bridge-flow: {text}")
    assert of_day_file == said


@pytest.mark.parametrize(
    "text",
    [
        "made?",
        "missed? or partly",
        "made tomorrow hopefully",
        "made / missed",
        "made, partly",
        "made or missed",
    ],
)
def test_an_outcome_that_is_left_open_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstoodError, match=r"leaves it open|two outcomes"):
        outcome_written("bridge-flow", text)
    with pytest.raises(NotUnderstoodError):
        read_entries(f"- shot bridge-flow: {text}")


def test_what_was_fine_is_no_reason() -> None:
    said = outcome_written("bridge-flow", "partly, light was fine but a coach stopped")
    assert (said.reasons, said.note) == ((), "light was fine but a coach stopped")


@pytest.mark.parametrize("note", ["crowd gone", "weather perfect", "light was gorgeous"])
def test_what_went_well_is_no_reason_for_a_shot_that_was_made(note: str) -> None:
    said = outcome_written("bridge-flow", f"made, {note}")
    assert (said.reasons, said.note) == ((), note)
    assert outcome_written("bridge-flow", "made because of the weather").reasons == (Reason.WEATHER,)
