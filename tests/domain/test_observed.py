"""An observation belongs to the visit it was made on, and to no other."""

from datetime import date, time
from typing import Any

import pytest

from logbook.domain.condition import Condition
from logbook.domain.observed import seen_on, visit_seen_on
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind

DAY = date(2031, 10, 14)
ENDS = time(4)
BASE: dict[str, Any] = {"created": None, "updated": None, "trip_id": "t", "on_date": DAY}


def visit(name: str, arrived: time | None, departed: time | None, viewpoint: str = "ledge") -> Visit:
    return Visit(id=name, slug=name, viewpoint_id=viewpoint, arrived_at=arrived, departed_at=departed, **BASE)


def seen(at: time | None = None, visit_id: str | None = None, viewpoint: str | None = "ledge") -> Condition:
    return Condition(
        id="c",
        slug="c",
        kind=ConditionKind.CROWD,
        level="few",
        at=at,
        viewpoint_id=viewpoint,
        visit_id=visit_id,
        **BASE,
    )


MORNING = visit("morning", time(7), time(8))
EVENING = visit("evening", time(17, 20), time(18, 45))
NIGHT = visit("night", time(23, 30), time(1))
CREST = visit("crest", time(12), time(13), "crest")
VISITS = (MORNING, EVENING, NIGHT, CREST)


@pytest.mark.parametrize(
    ("condition", "meant"),
    [
        (seen(visit_id="evening"), "evening"),
        (seen(at=time(7, 30), visit_id="evening"), "evening"),
        (seen(), None),
        (seen(at=time(7, 30)), "morning"),
        (seen(at=time(17, 20)), "evening"),
        (seen(at=time(18, 55)), "evening"),
        (seen(at=time(0, 30)), "night"),
        (seen(at=time(12)), None),
        (seen(viewpoint="crest"), "crest"),
        (seen(at=time(9), viewpoint="crest"), "crest"),
        (seen(at=time(7, 30), viewpoint=None), None),
        (seen(viewpoint="elsewhere"), None),
    ],
)
def test_the_visit_that_is_named_then_the_only_one_then_the_one_at_that_time(
    condition: Condition, meant: str | None
) -> None:
    assert visit_seen_on(condition, VISITS, ENDS) == meant


def test_without_a_time_it_is_of_no_visit_where_there_were_several() -> None:
    assert all(seen_on(one, [seen()], VISITS, ENDS) == () for one in VISITS)


def test_a_visit_whose_times_are_unknown_holds_what_names_it_or_no_other_claims() -> None:
    whenever = visit("whenever", None, None)
    both = (whenever, EVENING)
    assert visit_seen_on(seen(), both, ENDS) is None
    assert visit_seen_on(seen(at=time(17, 30)), both, ENDS) == "evening"
    assert visit_seen_on(seen(at=time(7)), both, ENDS) == "whenever"
    assert seen_on(whenever, [seen(), seen(visit_id="whenever")], both, ENDS) == (seen(visit_id="whenever"),)
