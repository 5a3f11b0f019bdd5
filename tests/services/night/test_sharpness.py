"""What measuring proposes is asked at night, of soft frames apart, and Enter states nothing."""

import pytest

from logbook.domain.acutance import Acutance
from logbook.domain.words import Provenance, Sharpness
from logbook.services.night.questions import Asks, Question
from tests.services.night.sittings import Sitting

WHY = "measured: edges 6.2 px wider than those of the sharpest frame of the same view"


def measured(sitting: Sitting, proposed: dict[str, Sharpness]) -> None:
    """Let some keepers, by the digits of their files, have been measured before the night."""
    with sitting.book.writing() as desk:
        for keeper in desk.keepers.all():
            word = next((word for digits, word in proposed.items() if digits in keeper.file), None)
            if word:
                lost = 6.2 if word is Sharpness.SOFT else 0.2
                desk.measures.keep(keeper.hash, None, 2.9, None)
                found = Acutance(frames=3, lost_px=lost, proposed=word)
                desk.measures.judge({keeper.hash: found})


def asked(sitting: Sitting) -> list[Question]:
    """Go through the night with Enter; return the questions whether frames are sharp."""
    found = []
    while (question := sitting.next()) is not None:
        if question.asks is Asks.SHARPNESS:
            found.append(question)
        sitting.enter()
    return found


def about(sitting: Sitting, question: Question) -> list[str]:
    with sitting.book.reading() as desk:
        found = (desk.keepers.get(one) for one in question.about.split(","))
        return [one.file for one in found if one is not None]


@pytest.mark.slow
def test_without_measures_nothing_is_proposed(sitting: Sitting) -> None:
    assert {(one.default, one.came_from) for one in asked(sitting)} == {("", None)}


@pytest.mark.slow
def test_soft_frames_of_a_group_are_asked_about_apart(sitting: Sitting) -> None:
    measured(sitting, {"0473": Sharpness.SOFT})
    found = asked(sitting)
    (soft,) = (one for one in found if one.default)
    assert (soft.default, soft.came_from, soft.why) == ("soft", Provenance.INFERRED, (WHY,))
    assert about(sitting, soft) == ["TRN_0473.JPG"]
    rest = [name for one in found for name in about(sitting, one) if not one.default]
    assert "TRN_0473.JPG" not in rest
    assert {"TRN_0472.JPG", "TRN_0474.JPG"} <= set(rest)


@pytest.mark.slow
@pytest.mark.parametrize("typed", [None, "sharp"])
def test_enter_infers_and_only_typing_states(sitting: Sitting, typed: str | None) -> None:
    measured(sitting, {"0473": Sharpness.SOFT})
    while (question := sitting.ask()).asks is not Asks.SHARPNESS or not question.default:
        sitting.enter()
    sitting.type(typed) if typed else sitting.enter()
    with sitting.book.reading() as desk:
        (keeper,) = (one for one in desk.keepers.all() if "0473" in one.file)
    expected = (Sharpness.SHARP, Provenance.STATED) if typed else (Sharpness.SOFT, Provenance.INFERRED)
    assert (keeper.sharpness, keeper.provenance_of("sharpness")) == expected


@pytest.mark.slow
def test_a_group_measured_sharp_throughout_is_proposed_as_that(sitting: Sitting) -> None:
    measured(sitting, dict.fromkeys(("TRN", "PKT"), Sharpness.SHARP))
    assert {(one.default, one.came_from) for one in asked(sitting)} == {("sharp", Provenance.INFERRED)}
