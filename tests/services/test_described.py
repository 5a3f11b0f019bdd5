"""A place is described in the words of `find`, and a wish there is judged by the craft."""

from datetime import date
from fractions import Fraction

import pytest

from logbook.craft.bearings import year_angle_deg
from logbook.craft.feasible import Verdict
from logbook.craft.filters import parse_stack
from logbook.domain.words import Support
from logbook.services.alike import PartOfDay
from logbook.services.described import WishJudged, WishThere, described, judged_there
from logbook.services.find.synonyms import synonyms_with

SYNONYMS = synonyms_with()


def test_words_become_the_traits_that_sites_are_compared_by() -> None:
    place = described("crowded pier, no tripod", SYNONYMS)
    assert place.traits == {
        "crowd": dict.fromkeys(PartOfDay, "hundreds"),
        "kinds": frozenset({"harbour"}),
        "tripod": frozenset({"forbidden"}),
    }
    assert place.forbids_tripod
    assert len(place.read) == 3
    assert place.not_compared == ()


def test_light_way_wind_and_month_are_read_too_and_the_rest_is_said() -> None:
    place = described("windy dune at sunset in October, on foot, quirky", SYNONYMS)
    assert place.traits["kinds"] == frozenset({"dune"})
    assert place.traits["phase"] == frozenset({"golden hour"})
    assert place.traits["access"] == frozenset({"path"})
    assert place.traits["wind"] == 9
    assert "season" in place.traits
    assert place.not_compared == ("quirky",)


def test_a_date_is_the_season_and_several_kinds_are_kept_together() -> None:
    place = described("forest waterfall 2031-10-14", SYNONYMS)
    assert place.traits["kinds"] == frozenset({"forest", "waterfall"})
    assert place.traits["season"] == pytest.approx(year_angle_deg(date(2031, 10, 14)))


def test_what_says_nothing_has_no_traits() -> None:
    assert described("xyzzy", SYNONYMS).traits == {}


def judged(owned: str, exposure_s: Fraction = Fraction(1), *, forbids: bool = False) -> WishJudged:
    wish = WishThere(exposure_s, 16.0, 15.0, parse_stack(owned) or ())
    return judged_there(wish, forbids_tripod=forbids)


def test_a_wish_is_judged_by_the_light_that_is_stated_and_the_filters_at_hand() -> None:
    out = judged("nd8 + nd4")
    assert out.verdict is Verdict.TOO_BRIGHT
    assert out.reach.short_stops == pytest.approx(2, abs=0.1)
    assert "it needs 7 stops of filtration" in out.reason
    assert judged("nd128").verdict is Verdict.FEASIBLE
    assert "with nd128" in judged("nd128").reason


def test_where_no_tripod_may_stand_a_long_time_is_doubtful() -> None:
    held = judged("nd128", forbids=True)
    assert (held.verdict, held.support) == (Verdict.DOUBTFUL, Support.HANDHELD)
    assert judged("none", Fraction(1, 125), forbids=True).verdict is Verdict.FEASIBLE
