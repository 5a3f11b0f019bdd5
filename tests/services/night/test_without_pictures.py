"""A stay without a picture: said like a section of a day file, and part of the evening from then on."""

from datetime import time

import pytest

from logbook.domain.errors import LogbookError
from logbook.domain.words import Provenance, VisitPurpose
from logbook.services.night.questions import Asks
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import Sitting

SCOUTED = "North rim 12:10-12:20 scouting\n- crowd: few\n- closure: gate locked\nTurned back at the chain."


@pytest.mark.slow
@pytest.mark.parametrize("is_begun", [False, True])
def test_a_stay_without_a_picture_is_a_visit_with_what_was_seen(sitting: Sitting, is_begun: bool) -> None:
    if is_begun:  # the day's plan is kept with the first answer
        sitting.until(Asks.SUPPORT)
        sitting.type("tripod")
    before = [one.visit.id for one in whole_evening(sitting.night).stays if one.visit]
    told = sitting.night.say("stay", SCOUTED)
    assert told[0] == "north-rim 12:10-12:20 scouting is kept."
    shown = whole_evening(sitting.night)
    added = shown.stays[0].visit
    assert added is not None
    assert (added.viewpoint, added.arrived, added.departed) == ("north-rim", "12:10", "12:20")
    assert [one.visit.id for one in shown.stays if one.visit] == [added.id, *before]
    with sitting.book.reading() as desk:
        visit = desk.visits.get(added.id)
        assert visit is not None
        assert (visit.purpose, visit.arrived_at) == (VisitPurpose.SCOUTING, time(12, 10))
        assert visit.journal == "Turned back at the chain."
        assert visit.provenance_of("purpose") is Provenance.STATED
        seen = [(str(one.kind), one.level, one.note) for one in desk.conditions.all(visit_id=visit.id)]
    assert seen == [("crowd", "few", None), ("closure", None, "gate locked")]


def test_saying_it_again_makes_no_second_stay(sitting: Sitting) -> None:
    sitting.night.say("stay", SCOUTED)
    count = len(whole_evening(sitting.night).stays)
    sitting.night.say("stay", "north rim 12:10-12:25 scouting")
    stays = whole_evening(sitting.night).stays
    assert len(stays) == count
    with sitting.book.reading() as desk:
        visit = desk.visits.get(stays[0].visit.id if stays[0].visit else "")
    assert visit is not None
    assert (visit.departed_at, visit.journal) == (time(12, 25), "Turned back at the chain.")


@pytest.mark.parametrize(
    "text",
    ["12:10-12:20", "nowhere 12:10", "north rim 12:10\n- shot bridge-silk: made", "north rim\n- crud: few"],
)
def test_what_names_no_place_or_says_too_much_is_one_sentence(sitting: Sitting, text: str) -> None:
    with pytest.raises(LogbookError):
        sitting.night.say("stay", text)
    with sitting.book.reading() as desk:
        assert desk.visits.all() == []
