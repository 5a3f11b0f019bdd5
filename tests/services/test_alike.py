"""Comparable sites: what is unknown is left out, and every value says where it came from."""

from dataclasses import replace
from datetime import time

import pytest

from logbook.domain.errors import NotFoundError, WrongUseError
from logbook.domain.horizon import Horizon
from logbook.domain.words import ConditionKind, LessonVerb, OutcomeWord, Reason, Water
from logbook.services import kinds, records
from logbook.services.alike import PartOfDay, alike
from tests.services.past import Past


@pytest.fixture
def past(places: Past) -> Past:
    places.visit("east-crest", "2030-10-14")
    places.visit("west-crest", "2029-10-20")
    places.visit("pool", "2030-05-14", "10:00", "12:00")
    places.seen(ConditionKind.WIND, "5", "east-crest", "2030-10-14")
    places.seen(ConditionKind.WIND, "6", "west-crest", "2029-10-20")
    places.seen(ConditionKind.WIND, "0", "pool", "2030-05-14")
    return places


def test_the_other_dune_is_more_like_a_dune_than_a_falls_or_a_market(past: Past) -> None:
    found = alike(past.book, "east-dune", {})
    assert found.sites[0].site.slug == "west-dune"
    assert (found.compared, found.unjudged) == (3, 0)
    best = found.sites[0].likeness
    assert best.similarity is not None
    assert best.similarity > 0.9
    assert best.alike == best.shared == 9  # kinds footing tripod light phase wind access walk season


def test_a_site_is_never_compared_with_itself(past: Past) -> None:
    assert "east-dune" not in [one.site.slug for one in alike(past.book, "east-dune", {}).sites]


def test_what_was_seen_at_one_site_alone_takes_no_part(past: Past) -> None:
    before = alike(past.book, "east-dune", {}).sites[0].likeness
    past.seen(ConditionKind.WATER, Water.HIGH, "east-crest", "2030-10-14")
    after = alike(past.book, "east-dune", {}).sites[0].likeness
    assert after == before, "water is unknown at the other dune: neither equal nor unlike"


def test_sites_of_which_too_little_is_known_have_no_figure(past: Past) -> None:
    from logbook.services import kinds, records

    records.add(past.book, kinds.SITE, {"title": "Nowhere"})
    found = alike(past.book, "east-dune", {})
    assert found.unjudged == 1
    assert "nowhere" not in [one.site.slug for one in found.sites]


def test_the_crowd_is_compared_at_the_same_part_of_the_day_only(past: Past) -> None:
    from datetime import time

    past.seen(ConditionKind.CROWD, "none", "east-crest", "2030-10-14", at=time(7))
    past.seen(ConditionKind.CROWD, "hundreds", "west-crest", "2029-10-20", at=time(17))
    best = alike(past.book, "east-dune", {}).sites[0].likeness
    assert "crowd" not in [part.name for part in best.parts]
    past.seen(ConditionKind.CROWD, "few", "west-crest", "2029-10-20", at=time(8))
    best = alike(past.book, "east-dune", {}).sites[0].likeness
    assert next(part.score for part in best.parts if part.name == "crowd") == 0.75


def test_a_description_finds_what_has_all_that_was_asked(past: Past) -> None:
    found = alike(past.book, None, {"kinds": frozenset({"dune"}), "wind": 6.0})
    assert found.described
    assert found.sites[0].site.slug == "west-dune"
    assert found.sites[0].likeness.similarity == pytest.approx(1.0)


def test_a_wish_beside_a_site_replaces_what_is_known_of_it(past: Past) -> None:
    found = alike(past.book, "east-dune", {"wind": 0.0})
    assert found.about.values["wind"] == 0.0
    assert found.facts["wind"].sources == ("asked",)


def test_both_what_worked_and_what_failed_there_is_told(past: Past) -> None:
    past.shot("ridge", "west-crest", "2029-10-20", OutcomeWord.MADE)
    past.shot("walkers", "west-crest", "2029-10-20", OutcomeWord.MISSED, (Reason.WEATHER,))
    past.shot("stars", "west-crest", "2029-10-20")
    past.lesson(LessonVerb.KEEP, "Stay below the crest.", viewpoint="west-crest")
    past.lesson(LessonVerb.AVOID, "The tripod on the crest.", site="west-dune")
    happened = alike(past.book, "east-dune", {}).sites[0].happened
    assert {str(word): count for word, count in happened.counts().items()} == {
        "open": 1,
        "made": 1,
        "missed": 1,
    }
    assert [lesson.verb for lesson in happened.lessons] == [LessonVerb.AVOID, LessonVerb.KEEP]
    assert [shot.reasons for shot in happened.shots if shot.slug == "walkers"] == [(Reason.WEATHER,)]


def test_every_value_names_the_rows_it_came_from(past: Past) -> None:
    facts = alike(past.book, "east-dune", {}).sites[0].facts
    assert facts["wind"].sources == ("condition wind-west-crest-2029-10-20",)
    assert facts["kinds"].sources == ("site west-dune",)
    assert facts["season"].sources == ("visit west-crest-2029-10-20",)
    assert set(facts["light"].sources) == {"visit west-crest-2029-10-20", "viewpoint west-crest"}
    assert all(fact.sources for fact in facts.values())


def test_evening_light_from_the_left_is_side_light(past: Past) -> None:
    light = alike(past.book, "east-dune", {}).about.values["light"]
    assert 60 < light < 120


def test_nothing_asked_and_an_unknown_site_are_refused(past: Past) -> None:
    with pytest.raises(WrongUseError, match="--kind dune"):
        alike(past.book, None, {})
    with pytest.raises(NotFoundError, match="east-dune"):
        alike(past.book, "east-dunes-of-old", {})
    assert PartOfDay.MORNING in dict.fromkeys(PartOfDay)


@pytest.mark.parametrize(
    ("day_ends_at", "begin", "end", "met"),
    [
        (time(4), "01:00", None, {"night"}),
        (time(4), "23:00", "01:00", {"night"}),
        (time(0), "01:00", None, {"astronomical twilight"}),
        (time(4), "01:00", "03:00", {"night", "astronomical twilight"}),
        (time(0), "01:00", "03:00", {"astronomical twilight"}),
    ],
)
def test_a_visit_in_the_small_hours_had_the_light_of_the_night_after_its_day(
    places: Past, day_ends_at: time, begin: str, end: str | None, met: set[str]
) -> None:
    """So far north the sun at one o'clock first stands 18 degrees down, which is night, on the 15th."""
    records.edit(places.book, kinds.TRIP, "first", {"day_ends_at": day_ends_at})
    records.edit(places.book, kinds.SITE, "east-dune", {"latitude_deg": 79.8})
    places.visit("east-crest", "2030-10-14", begin, end)
    assert alike(places.book, "east-dune", {}).about.values["phase"] == met


def test_a_visit_behind_the_skyline_had_no_sun_on_its_view(past: Past) -> None:
    before = alike(past.book, "east-dune", {}).about.values["light"]
    with past.book.writing() as desk:
        crest = desk.viewpoints.first(slug="east-crest")
        assert crest is not None
        desk.viewpoints.put(replace(crest, horizon=Horizon(44.0)))
    assert before is not None
    assert "light" not in alike(past.book, "east-dune", {}).about.values
