"""What worked: k of n with the stated denominator, never two kinds of count in one row."""

from dataclasses import replace
from datetime import UTC, datetime, time
from fractions import Fraction

import pytest

from logbook.domain.acutance import Acutance
from logbook.domain.errors import WrongUseError
from logbook.domain.words import (
    ConditionKind,
    Crowd,
    LessonVerb,
    OutcomeWord,
    Provenance,
    Reason,
    SubjectKind,
    Support,
)
from logbook.services.worked import By, Denominator, Row, WorkedQuestion, worked
from tests.services.past import SHARP, SOFT, Past


@pytest.fixture
def past(places: Past) -> Past:
    return places


def rows(past: Past, by: By | ConditionKind, **more: object) -> dict[str | None, Row]:
    return {row.approach: row for row in worked(past.book, WorkedQuestion(by, **more)).rows}  # type: ignore[arg-type]


def test_keepers_count_against_the_declared_tries_of_their_visit(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=30, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T16:30", sharpness=SHARP)
    past.keeper("east-crest", "2030-10-14T17:30")
    row = rows(past, By.SUPPORT)["tripod"]
    assert row.denominator is Denominator.TRIES
    assert (row.rate.successes, row.rate.tries, row.judged_sharp) == (2, 30, 1)


def test_a_soft_keeper_and_the_second_file_of_a_frame_are_no_successes(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=10, support=Support.TRIPOD)
    first = past.keeper("east-crest", "2030-10-14T16:30")
    past.pair(first, past.keeper("east-crest", "2030-10-14T16:30"))
    past.keeper("east-crest", "2030-10-14T16:40", sharpness=SOFT)
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 1


def test_a_picture_outside_the_hours_of_a_visit_is_not_counted_there(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "16:00", "18:00", tries=10, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T09:00", support=Support.TRIPOD)
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 0


def test_the_visit_that_contains_a_picture_comes_before_one_that_just_ended(past: Past) -> None:
    """The earlier visit's quarter of an hour reaches into the later one, whichever was written down first."""
    for begins, ends, support in (("17:00", "18:00", Support.HANDHELD), ("18:05", "19:00", Support.TRIPOD)):
        past.visit("east-crest", "2030-10-14", begins, ends, tries=10, support=support)
    past.keeper("east-crest", "2030-10-14T18:10")
    past.keeper("east-crest", "2030-10-14T18:13")
    found = rows(past, By.SUPPORT)
    assert (found["handheld"].rate.successes, found["handheld"].rate.tries) == (0, 10)
    assert (found["tripod"].rate.successes, found["tripod"].rate.tries) == (2, 10)


def test_a_picture_by_a_camera_on_home_time_is_counted_at_the_time_of_the_place(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "16:00", "18:00", tries=10, support=Support.TRIPOD)
    at = datetime(2030, 10, 14, 12, 30, tzinfo=UTC)  # 17:30 there
    past.keeper("east-crest", "2030-10-14T14:30", taken_utc=at)
    past.keeper(
        "east-crest", "2030-10-14T16:30", taken_utc=None, zone=None
    )  # only its camera's clock is known
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 2


def test_between_two_visits_a_picture_is_of_the_nearer_one(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "17:00", "18:00", tries=10, support=Support.HANDHELD)
    past.visit("east-crest", "2030-10-14", "18:20", "19:00", tries=10, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T18:12")
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 1


def test_a_visit_of_unknown_departure_ends_where_one_went_next(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "17:00", None, tries=10, support=Support.TRIPOD)
    past.visit("pool", "2030-10-14", "18:00", "19:00")
    past.keeper("east-crest", "2030-10-14T18:40", support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T17:40", support=Support.TRIPOD)
    found = rows(past, By.SUPPORT)
    assert found["tripod"].rate.successes == 1


def test_a_visit_after_midnight_keeps_its_pictures(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "22:00", "02:00", tries=4, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-15T01:10")
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 1


def test_tries_of_a_visit_that_mixed_approaches_belong_to_no_row(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=40)
    past.keeper("east-crest", "2030-10-14T16:30", filters=("nd8",))
    past.keeper("east-crest", "2030-10-14T17:30", filters=())
    found = worked(past.book, WorkedQuestion(By.FILTERS))
    assert [(one.tries, one.kept, one.approaches) for one in found.undivided] == [
        (40, 2, ("nd8", "no filter"))
    ]
    assert all(row.denominator is not Denominator.TRIES for row in found.rows)


def test_filters_in_another_order_are_the_same_stack_and_unknown_is_not_none(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=5)
    past.keeper("east-crest", "2030-10-14T16:30", filters=("pol", "nd8"))
    past.keeper("east-crest", "2030-10-14T16:40", filters=("nd8", "pol"))
    past.visit("pool", "2030-10-15", tries=7)
    past.keeper("pool", "2030-10-15T16:30", filters=None)
    found = rows(past, By.FILTERS)
    assert found["nd8 + pol"].rate.tries == 5
    assert found[None].rate.tries == 7
    assert "no filter" not in found


def test_without_tries_shots_count_and_only_made_ones_are_successes(past: Past) -> None:
    for number, word in enumerate((OutcomeWord.MADE, OutcomeWord.PARTLY, OutcomeWord.REPLACED, None)):
        reasons = (Reason.CROWD,) if word in (OutcomeWord.PARTLY, OutcomeWord.REPLACED) else ()
        past.shot(f"shot-{number}", "arcade", "2030-10-14", word, reasons, support=Support.HANDHELD)
    row = rows(past, By.SUPPORT)["handheld"]
    assert row.denominator is Denominator.SHOTS
    assert (row.rate.successes, row.rate.tries) == (1, 3), "partly is none, replaced never, open not counted"
    assert (row.shots.partly, row.shots.open) == (1, 1)
    assert [(miss.reason, miss.shots) for miss in row.misses] == [(Reason.CROWD, ("shot-1", "shot-2"))]


def test_without_tries_and_shots_file_numbers_approximate(past: Past) -> None:
    past.number = 10
    past.keeper("pool", "2030-10-14T16:00", support=Support.BRACED)
    past.number = 30
    past.keeper("pool", "2030-10-14T16:20", support=Support.BRACED)
    row = rows(past, By.SUPPORT)["braced"]
    assert row.denominator is Denominator.FILES
    assert (row.rate.successes, row.rate.tries) == (1, 20), "the first keeper opens the count"
    assert "approximate" in row.notes[0]


def test_one_keeper_alone_is_not_one_of_one(past: Past) -> None:
    past.keeper("pool", "2030-10-14T16:00", support=Support.BRACED)
    row = rows(past, By.SUPPORT)["braced"]
    assert (row.denominator, row.rate.tries) == (Denominator.NONE, 0)


def test_the_answer_says_when_its_rows_count_against_different_things(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=30, support=Support.TRIPOD)
    past.shot("a", "arcade", "2030-10-14", OutcomeWord.MADE, support=Support.HANDHELD)
    assert worked(past.book, WorkedQuestion(By.SUPPORT)).denominator is Denominator.MIXED
    only = worked(past.book, WorkedQuestion(By.SUPPORT, against=Denominator.SHOTS))
    assert {row.denominator for row in only.rows} <= {Denominator.SHOTS, Denominator.NONE}


def test_rows_are_ranked_by_the_lower_bound_and_not_by_the_share(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=1, support=Support.BRACED)
    past.keeper("east-crest", "2030-10-14T16:30")
    past.visit("east-crest", "2030-10-15", tries=10, support=Support.TRIPOD)
    for minute in range(9):
        past.keeper("east-crest", f"2030-10-15T16:3{minute}")
    found = worked(past.book, WorkedQuestion(By.SUPPORT)).rows
    assert [row.approach for row in found] == ["tripod", "braced"], "9 of 10 says more than 1 of 1"


def test_more_keepers_than_tries_is_said_and_not_more_than_certain(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=1, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T16:30")
    past.keeper("east-crest", "2030-10-14T16:40")
    row = rows(past, By.SUPPORT)["tripod"]
    assert (row.rate.successes, row.rate.tries) == (2, 2)
    assert "says 1 tries but holds 2 keepers" in row.notes[0]


def test_the_settings_are_those_of_pictures_that_were_kept(past: Past) -> None:
    for exposure, sharpness in ((Fraction(1, 4), None), (Fraction(1, 8), None), (Fraction(30), SOFT)):
        past.keeper(
            "pool", "2030-10-14T16:00", exposure_s=exposure, sharpness=sharpness, support=Support.TRIPOD
        )
    spread = rows(past, By.SUPPORT)["tripod"].settings["exposure_s"]
    assert (spread.count, spread.least, spread.most, spread.stops) == (2, 0.125, 0.25, 1.0)


def test_a_reason_counts_the_shots_it_cost_of_all_that_are_known(past: Past) -> None:
    past.shot("a", "arcade", "2030-10-14", OutcomeWord.MADE)
    past.shot("b", "arcade", "2030-10-14", OutcomeWord.MISSED, (Reason.CROWD, Reason.RULE))
    past.shot("c", "arcade", "2030-10-14")
    found = rows(past, By.REASON)
    assert {name: (row.rate.successes, row.rate.tries) for name, row in found.items()} == {
        "crowd": (1, 2),
        "rule": (1, 2),
    }


def test_the_crowd_is_the_one_noted_nearest_in_time(past: Past) -> None:
    past.visit("arcade", "2030-10-14", tries=9)
    past.seen(ConditionKind.CROWD, "hundreds", "arcade", "2030-10-14", at=time(16, 10))
    past.seen(ConditionKind.CROWD, "few", "arcade", "2030-10-14", at=time(17, 50))
    past.keeper("arcade", "2030-10-14T17:40")
    assert rows(past, ConditionKind.CROWD)["few"].rate.tries == 9


def test_the_light_is_worked_out_from_place_and_time(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "12:00", "13:00", tries=3)
    past.keeper("east-crest", "2030-10-14T12:30")
    past.visit("east-crest", "2030-10-14", "23:00", "23:50", tries=2)
    past.keeper("east-crest", "2030-10-14T23:30")
    found = rows(past, By.PHASE)
    assert (found["day"].rate.tries, found["night"].rate.tries) == (3, 2)


def test_conditions_narrow_what_is_counted(past: Past) -> None:
    past.shot(
        "a", "east-crest", "2030-10-14", OutcomeWord.MADE, technique="raking light", support=Support.TRIPOD
    )
    past.shot("b", "arcade", "2030-10-14", OutcomeWord.MISSED, technique="street", support=Support.HANDHELD)
    past.seen(ConditionKind.CROWD, "hundreds", "arcade", "2030-10-14")
    assert set(rows(past, By.TECHNIQUE, kind=SubjectKind.DUNE)) == {"raking light"}
    assert set(rows(past, By.TECHNIQUE, levels={ConditionKind.CROWD: Crowd.HUNDREDS})) == {"street"}
    assert set(rows(past, By.TECHNIQUE, support=Support.HANDHELD)) == {"street"}
    assert set(rows(past, By.SUPPORT, technique="RAKING")) == {"tripod"}


def test_near_a_site_is_that_site_and_those_like_it_or_those_in_reach(past: Past) -> None:
    for viewpoint, day in (("east-crest", "2030-10-14"), ("west-crest", "2029-10-16")):
        past.visit(viewpoint, day)
    like = worked(past.book, WorkedQuestion(By.SUPPORT, near="east-dune"))
    assert [one.slug for one in like.near] == ["east-dune", "west-dune"]
    close = worked(past.book, WorkedQuestion(By.SUPPORT, near="east-dune", within_km=30))
    assert [one.slug for one in close.near] == ["east-dune", "west-dune", "market"]
    assert close.near[1].distance_km == pytest.approx(11.1, abs=0.1)
    with pytest.raises(WrongUseError, match="--near"):
        worked(past.book, WorkedQuestion(By.SUPPORT, within_km=3))


def test_lessons_hang_on_their_visit_shot_or_technique(past: Past) -> None:
    from datetime import date

    past.visit("pool", "2030-10-14", tries=4, support=Support.TRIPOD)
    past.lesson(LessonVerb.KEEP, "One filter.", viewpoint="pool", on_date=date(2030, 10, 14))
    past.lesson(LessonVerb.AVOID, "Green stones.", viewpoint="pool", on_date=date(2030, 10, 14))
    past.lesson(LessonVerb.KEEP, "Elsewhere.", viewpoint="arcade", on_date=date(2030, 10, 14))
    row = rows(past, By.SUPPORT)["tripod"]
    assert [lesson.text for lesson in row.lessons] == ["Green stones.", "One filter."]


def test_every_count_names_its_rows(past: Past) -> None:
    visit = past.visit("east-crest", "2030-10-14", tries=30, support=Support.TRIPOD)
    keeper = past.keeper("east-crest", "2030-10-14T16:30")
    shot = past.shot("a", "east-crest", "2030-10-14", OutcomeWord.MADE, support=Support.TRIPOD)
    sources = rows(past, By.SUPPORT)["tripod"].sources
    assert sources["visits"] == (past.id("visit", visit),)
    assert sources["counted"] == sources["keepers"] == (keeper,)
    assert sources["shots"] == (shot,)


def test_a_visit_with_another_support_lends_no_tries_to_the_one_asked_for(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=30, support=Support.HANDHELD)
    past.keeper("east-crest", "2030-10-14T16:30", filters=())
    past.visit("pool", "2030-10-15", tries=8, support=Support.TRIPOD)
    past.keeper("pool", "2030-10-15T16:30", filters=())
    assert rows(past, By.FILTERS, support=Support.TRIPOD)["no filter"].rate.tries == 8


def test_tries_shared_with_another_technique_are_not_given_to_the_one_asked_for(past: Past) -> None:
    silk = past.shot("silk", "pool", "2030-10-14", OutcomeWord.MADE, technique="silky water")
    frozen = past.shot("frozen", "pool", "2030-10-14", OutcomeWord.MADE, technique="frozen water")
    past.visit("pool", "2030-10-14", tries=50)
    past.keeper("pool", "2030-10-14T16:30", shot_id=silk, support=Support.TRIPOD)
    past.keeper("pool", "2030-10-14T16:40", shot_id=frozen, support=Support.HANDHELD)
    found = worked(past.book, WorkedQuestion(By.SUPPORT, technique="silky"))
    assert [(one.tries, one.kept) for one in found.undivided] == [(50, 1)]
    assert [(row.approach, row.denominator) for row in found.rows] == [("tripod", Denominator.SHOTS)]


def test_a_visit_without_a_departure_lasts_to_the_end_of_its_night(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "22:00", None, tries=4, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-15T01:10")
    past.visit("pool", "2030-10-14", "01:00", None, tries=6, support=Support.BRACED)
    past.keeper("pool", "2030-10-15T02:00")
    past.keeper("pool", "2030-10-14T09:00", support=Support.BRACED)  # sixteen hours before the visit
    found = rows(past, By.SUPPORT)
    assert found["tripod"].rate.successes == 1
    assert found["braced"].rate.successes == 1


def test_the_minutes_around_a_visit_go_on_over_midnight(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", "00:05", "01:00", tries=4, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T23:55")
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 1


def test_a_picture_of_the_very_end_of_a_day_is_of_the_next_one(past: Past) -> None:
    past.visit("east-crest", "2030-10-15", "04:00", "05:00", tries=4, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-15T04:00")
    assert rows(past, By.SUPPORT)["tripod"].rate.successes == 1


def test_a_crowd_noted_before_midnight_is_that_of_a_picture_soon_after(past: Past) -> None:
    past.seen(ConditionKind.CROWD, "few", "east-crest", "2030-10-14", at=time(23, 50))
    past.seen(ConditionKind.CROWD, "hundreds", "east-crest", "2030-10-14", at=time(14))
    past.shot("stars", "east-crest", "2030-10-14", OutcomeWord.MADE, window_from=time(0, 10))
    past.keeper("east-crest", "2030-10-15T00:20")
    found = rows(past, ConditionKind.CROWD)
    assert found["few"].shots.made == 1
    assert found["few"].sources["keepers"]


def test_file_numbers_are_counted_through_a_day_of_the_place_and_not_of_utc(past: Past) -> None:
    """Midnight UTC is five in the morning at the place."""
    past.number = 10
    past.keeper("pool", "2030-10-14T04:55", support=Support.BRACED)
    past.number = 30
    past.keeper("pool", "2030-10-14T05:05", support=Support.BRACED)
    assert rows(past, By.SUPPORT)["braced"].rate.tries == 20


def test_a_crowd_without_a_time_is_that_of_the_visit_it_names(past: Past) -> None:
    morning = past.visit("east-crest", "2030-10-14", "07:00", "08:00", tries=10, support=Support.TRIPOD)
    evening = past.visit("east-crest", "2030-10-14", "17:00", "18:00", tries=20, support=Support.HANDHELD)
    past.seen(ConditionKind.CROWD, Crowd.NONE, "east-crest", "2030-10-14", visit=morning)
    past.seen(ConditionKind.CROWD, Crowd.DOZENS, "east-crest", "2030-10-14", visit=evening)
    past.keeper("east-crest", "2030-10-14T07:30")
    past.keeper("east-crest", "2030-10-14T17:30")
    found = rows(past, ConditionKind.CROWD)
    assert {name: row.rate.tries for name, row in found.items()} == {"none": 10, "dozens": 20}
    assert set(rows(past, By.SUPPORT, levels={ConditionKind.CROWD: Crowd.NONE})) == {"tripod"}


def test_an_outcome_that_nobody_stated_counts_as_open(past: Past) -> None:
    past.shot("silk", "east-crest", "2030-10-14", OutcomeWord.MADE, support=Support.TRIPOD)
    with past.book.writing() as desk:
        (made,) = desk.outcomes.all()
        desk.outcomes.put(replace(made, provenance={"word": Provenance.INFERRED}))
    counted = rows(past, By.SUPPORT)["tripod"].shots
    assert (counted.made, counted.open) == (0, 1)


def test_what_only_measuring_says_is_told_apart_and_changes_no_count(past: Past) -> None:
    past.visit("east-crest", "2030-10-14", tries=30, support=Support.TRIPOD)
    past.keeper("east-crest", "2030-10-14T16:30", sharpness=SHARP)
    past.keeper("east-crest", "2030-10-14T16:40", sharpness=SOFT)
    inferred = {"provenance": {"sharpness": Provenance.INFERRED}}
    past.keeper("east-crest", "2030-10-14T16:50", sharpness=SOFT, **inferred)
    measured = past.keeper("east-crest", "2030-10-14T17:00")
    with past.book.writing() as desk:
        keeper = desk.keepers.get(measured)
        assert keeper is not None
        desk.measures.keep(keeper.hash, None, 2.8, None)
        desk.measures.judge({keeper.hash: Acutance(frames=4, lost_px=0.1, proposed=SHARP)})
    row = rows(past, By.SUPPORT)["tripod"]
    assert (row.rate.successes, row.judged_sharp) == (3, 1)
    assert (row.measured_sharp, row.measured_soft) == (1, 1)
