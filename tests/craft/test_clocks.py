from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.clock_facts import (
    ClockFact,
    EvidenceKind,
    Tie,
    from_gps_time,
    from_offset_tag,
    from_shown_clock,
    stated,
)
from logbook.craft.clocks import AssumedOffset, SettledClock, clock_at, settle_clocks

WALL = datetime(2031, 10, 14, 17, 42, 5)  # noqa: DTZ001  (a camera writes no zone)
HOUR_S = 3600


def gps(ahead_s: float, *, body: str = "one", wall: datetime = WALL, source: str = "0412") -> ClockFact:
    return from_gps_time(body, wall, (wall - timedelta(seconds=ahead_s)).replace(tzinfo=UTC), source)


def all_along(ahead_s: float) -> dict[str, list[AssumedOffset]]:
    return {body: [AssumedOffset(None, ahead_s)] for body in ("one", "two")}


def settled(*facts: ClockFact, body: str = "one", assumed: float | None = None) -> SettledClock:
    (clock,) = settle_clocks([body], facts, assumed=all_along(assumed) if assumed is not None else {})
    return clock


def test_satellite_time_gives_zone_and_error_at_once() -> None:
    clock = settled(gps(2 * HOUR_S + 65))
    assert clock.kind is EvidenceKind.GPS_TIME
    assert clock.zone_offset_s == 2 * HOUR_S
    assert clock.correction_s(2 * HOUR_S) == -65
    assert clock.instant(WALL) == datetime(2031, 10, 14, 15, 41, 0, tzinfo=UTC)
    assert clock.doubts == ()


def test_a_clock_left_on_the_zone_of_home_is_put_right_for_the_place() -> None:
    assert settled(gps(1 * HOUR_S)).correction_s(5 * HOUR_S) == 4 * HOUR_S


def test_daylight_saving_changes_the_correction_and_not_the_clock() -> None:
    clock = settled(from_offset_tag("one", WALL, 120, "0412"))
    assert (clock.correction_s(2 * HOUR_S), clock.correction_s(1 * HOUR_S)) == (0, -HOUR_S)


def test_the_middle_satellite_time_wins_over_an_old_fix() -> None:
    clock = settled(gps(7203), gps(7201), gps(7650, source="0415"))
    assert clock.ahead_s == 7203
    assert "differ by up to 7 min 29 s" in clock.doubts[0]


def test_an_offset_tag_says_nothing_of_minutes() -> None:
    clock = settled(from_offset_tag("one", WALL, 120, "0412"), gps(7200 + 240))
    assert clock.kind is EvidenceKind.GPS_TIME
    assert clock.zone_offset_s == 7200
    assert clock.correction_s(7200) == -240
    assert clock.doubts == ()


def test_a_tag_of_the_wrong_zone_is_doubted() -> None:
    clock = settled(from_offset_tag("one", WALL, 60, "0412"), gps(5 * HOUR_S, source="0413"))
    assert clock.ahead_s == 5 * HOUR_S
    assert clock.doubts == ("offset tag (0412) and gps time (0413) disagree by 4 h; gps time is used",)
    assert clock.zone_offset_s == 5 * HOUR_S


def test_the_tag_tells_the_zone_where_satellites_lie_near_none() -> None:
    tag = from_offset_tag("one", WALL, 300, "0412")
    assert settled(tag, gps(5 * HOUR_S + 52 * 60)).zone_offset_s == 5 * HOUR_S
    assert settled(tag, gps(77 * HOUR_S)).zone_offset_s == 5 * HOUR_S  # no zone lies that far from UTC
    assert settled(gps(77 * HOUR_S)).zone_offset_s is None


def test_a_body_seven_minutes_off_keeps_the_zone_of_its_tag() -> None:
    clock = settled(from_offset_tag("one", WALL, 300, "0412"), gps(5 * HOUR_S + 420))
    assert clock.zone_offset_s == 5 * HOUR_S
    assert clock.correction_s(5 * HOUR_S) == -420
    assert len(clock.doubts) == 1  # seven minutes are more than a tag allows


def test_a_photographed_clock_gives_the_error_to_the_minute() -> None:
    shown = WALL.replace(hour=17, minute=35, second=0)
    clock = settled(from_shown_clock("one", WALL, shown, 5 * HOUR_S, "0430 shows 17:35"))
    assert clock.ahead_s == 5 * HOUR_S + 425
    assert clock.tolerance_s == 60


def test_a_face_of_twelve_hours_is_read_in_the_nearest_half_day() -> None:
    shown = datetime(2031, 10, 14, 5, 35)  # noqa: DTZ001
    fact = from_shown_clock("one", WALL, shown, 5 * HOUR_S, "0430", twelve_hours=True)
    assert fact.ahead_s == 5 * HOUR_S + 425


def test_a_camera_set_to_am_instead_of_pm_shows_against_a_clock_of_twenty_four_hours() -> None:
    fact = from_shown_clock("one", WALL.replace(hour=5), WALL, 0, "0430")
    assert fact.ahead_s == -12 * HOUR_S


def test_what_a_person_states_wins_and_the_last_word_counts() -> None:
    clock = settled(gps(7200), stated("one", 3600), stated("one", 3900))
    assert clock.kind is EvidenceKind.STATED
    assert clock.ahead_s == 3900
    assert "gps time (0412) and stated (stated) disagree by 55 min; stated is used" in clock.doubts


def test_two_bodies_tied_by_one_moment_share_what_one_knows() -> None:
    tie = Tie("two", WALL + timedelta(seconds=425), "one", WALL, "0412 and 7001")
    one, two = settle_clocks(["one", "two"], [gps(7200)], [tie])
    assert two.kind is EvidenceKind.SAME_MOMENT
    assert two.ahead_s == 7200 + 425
    assert two.tolerance_s == 15
    assert one.instant(WALL) == two.instant(WALL + timedelta(seconds=425))
    assert two.evidence[0].source == "0412 and 7001, with the clock of one from gps time"


def test_ties_reach_along_a_chain_in_either_direction() -> None:
    ties = [Tie("three", WALL, "two", WALL + timedelta(seconds=10), "b"), Tie("one", WALL, "two", WALL, "a")]
    clocks = settle_clocks(["three", "two", "one"], [gps(7200)], ties)
    assert [clock.ahead_s for clock in clocks] == [7190, 7200, 7200]


def test_a_tie_beats_an_offset_tag_and_a_tag_is_passed_on_where_there_is_nothing_better() -> None:
    tie = Tie("two", WALL, "one", WALL, "a")
    tag = from_offset_tag("two", WALL, 60, "7001")
    _, two = settle_clocks(["one", "two"], [gps(7200), tag], [tie])
    assert two.kind is EvidenceKind.SAME_MOMENT
    assert two.doubts == (
        "offset tag (7001) and same moment (a, with the clock of one from gps time) disagree by 1 h; "
        "same moment is used",
    )
    one, _ = settle_clocks(["one", "two"], [tag], [tie])
    assert (one.kind, one.ahead_s) == (EvidenceKind.SAME_MOMENT, 3600)


def test_bodies_tied_only_to_each_other_stay_unknown() -> None:
    tie = Tie("two", WALL, "one", WALL, "a")
    assert [clock.ahead_s for clock in settle_clocks(["one", "two"], [], [tie])] == [None, None]


def test_a_tie_that_two_known_clocks_contradict_is_doubted() -> None:
    tie = Tie("two", WALL, "one", WALL, "0412 and 7001")
    _, two = settle_clocks(["one", "two"], [gps(7200), gps(7300, body="two")], [tie])
    assert two.ahead_s == 7300
    assert two.doubts == ("0412 and 7001: the clocks of two and one are 1 min 40 s apart at the same moment",)


def test_without_evidence_the_zone_of_the_trip_is_assumed_and_doubted() -> None:
    clock = settled(assumed=18000)
    assert (clock.kind, clock.ahead_s) == (EvidenceKind.ASSUMED, 18000)
    assert clock.doubts == ("nothing confirms the clock of one; the place's zone is assumed",)


def test_without_anything_the_clock_is_unknown() -> None:
    clock = settled()
    assert (clock.ahead_s, clock.kind, clock.zone_offset_s, clock.instant(WALL)) == (None, None, None, None)
    assert clock.correction_s(0) is None


def test_a_clock_set_anew_on_the_way_is_two_clocks() -> None:
    days = [WALL + timedelta(days=day) for day in range(4)]
    tags = [from_offset_tag("one", wall, 60 if day < 2 else 300, str(day)) for day, wall in enumerate(days)]
    first, second = settle_clocks(["one"], tags)
    assert (first.since, first.ahead_s, second.since, second.ahead_s) == (None, 3600, days[2], 18000)
    assert "was reset before 2031-10-16 17:42" in second.doubts[0]
    assert clock_at((first, second), "one", days[1]) is first
    assert clock_at((first, second), "one", days[3]) is second
    assert clock_at((first, second), "two", days[3]) is None


def test_a_tag_that_changes_while_the_clock_runs_on_does_not_part_it() -> None:
    days = [WALL + timedelta(days=day) for day in range(4)]
    facts = [gps(3600, wall=wall) for wall in days]
    facts += [from_offset_tag("one", wall, 60 if day < 2 else 120, str(day)) for day, wall in enumerate(days)]
    clock = settled(*facts)
    assert (clock.since, clock.ahead_s) == (None, 3600)


def test_one_old_fix_does_not_part_a_clock() -> None:
    days = [WALL + timedelta(days=day) for day in range(4)]
    assert (
        settled(*(gps(7200 + (900 if day == 2 else 0), wall=wall) for day, wall in enumerate(days))).since
        is None
    )


def test_an_instant_before_the_calendar_is_unknown() -> None:
    assert settled(stated("one", 7200)).instant(datetime.min) is None  # noqa: DTZ901


OFFSETS_S = st.integers(-48, 56).map(lambda quarters: quarters * 900)


@given(OFFSETS_S, st.integers(-290, 290), st.lists(st.integers(-2, 2), min_size=1, max_size=7))
def test_zone_and_error_come_back_from_noisy_satellite_times(
    zone_s: int, error_s: int, noise_s: list[int]
) -> None:
    clock = settled(*(gps(zone_s + error_s + noise) for noise in noise_s))
    assert clock.zone_offset_s == zone_s
    correction_s = clock.correction_s(zone_s)
    assert correction_s is not None
    assert abs(correction_s + error_s) <= 2


@given(st.integers(-50_000, 50_000), st.integers(-50_000, 50_000))
def test_order_across_tied_bodies_is_the_order_of_the_moments(ahead_s: int, apart_s: int) -> None:
    tie = Tie("two", WALL + timedelta(seconds=apart_s), "one", WALL, "a")
    one, two = settle_clocks(["one", "two"], [gps(ahead_s)], [tie])
    later = WALL + timedelta(seconds=apart_s + 30)
    first, second = one.instant(WALL), two.instant(later)
    assert first is not None
    assert second is not None
    assert second - first == timedelta(seconds=30)


def ranged(ahead_s: float, since: datetime | None, until: datetime | None) -> ClockFact:
    return replace(stated("one", ahead_s), since=since, until=until)


def spans(clocks: tuple[SettledClock, ...]) -> list[tuple[float | None, datetime | None, datetime | None]]:
    return [(one.ahead_s, one.since, one.until) for one in clocks]


def test_what_is_said_of_a_range_lies_over_what_files_tell() -> None:
    since, until = WALL + timedelta(hours=1), WALL + timedelta(hours=2)
    clocks = settle_clocks(["one"], [gps(7200), ranged(7620, since, until)])
    assert spans(clocks) == [(7200, None, since), (7620, since, until), (7200, until, None)]
    assert [one.kind for one in clocks] == [EvidenceKind.GPS_TIME, EvidenceKind.STATED, EvidenceKind.GPS_TIME]
    assert clock_at(clocks, "one", since) is clocks[1]
    assert clock_at(clocks, "one", until) is clocks[2]


def test_frames_within_a_said_range_vouch_for_nothing_outside() -> None:
    (before, after) = settle_clocks(["one"], [gps(7200), ranged(7200, WALL, None)], assumed=all_along(3600))
    assert (before.ahead_s, before.kind, before.until) == (3600, EvidenceKind.ASSUMED, WALL)
    assert (after.ahead_s, after.kind, after.doubts) == (7200, EvidenceKind.STATED, ())
    assert settle_clocks(["one"], [ranged(7200, WALL, None)])[0].ahead_s is None  # unknown stays unknown


def test_a_better_witness_within_a_range_wins_there_with_a_doubt() -> None:
    shown = replace(from_shown_clock("one", WALL, WALL, 3600, "0430"), wall=None, since=WALL)
    clocks = settle_clocks(["one"], [gps(7200), shown], assumed=all_along(0))
    assert [one.kind for one in clocks] == [EvidenceKind.ASSUMED, EvidenceKind.GPS_TIME]
    assert "disagree by 1 h" in clocks[1].doubts[0]


def test_a_tie_within_a_said_range_passes_on_what_was_said_and_one_outside_does_not() -> None:
    facts = [ranged(7200, WALL, None)]
    inside = Tie("two", WALL, "one", WALL, "0412 and 7001")
    outside = Tie("two", WALL, "one", WALL - timedelta(hours=1), "0411 and 7001")
    assert [one.ahead_s for one in settle_clocks(["two", "one"], facts, [inside])] == [7200, None, 7200]
    assert [one.ahead_s for one in settle_clocks(["two", "one"], facts, [outside])] == [None, None, 7200]


@given(
    st.lists(st.integers(0, 50), min_size=2, max_size=8, unique=True),
    st.lists(st.tuples(st.integers(0, 50), st.sampled_from([7200, 7500])), max_size=6),
)
def test_each_moment_has_exactly_one_clock_and_a_range_its_own(
    ends: list[int], seen: list[tuple[int, int]]
) -> None:
    at = [WALL + timedelta(minutes=minute) for minute in sorted(ends)]
    pairs = list(zip(at[::2], at[1::2], strict=False))
    facts = [ranged(100 + i, since, until) for i, (since, until) in enumerate(pairs)]
    facts += [gps(ahead_s, wall=WALL + timedelta(minutes=minute)) for minute, ahead_s in seen]
    clocks = settle_clocks(["one"], facts, assumed=all_along(0))
    for minute in range(-1, 52):
        wall = WALL + timedelta(minutes=minute)
        (clock,) = (one for one in clocks if one.holds_at(wall))
        inside = [100 + i for i, (since, until) in enumerate(pairs) if since <= wall < until]
        assert (clock.ahead_s == inside[0]) if inside else clock.ahead_s in (0, 7200, 7500, 7350)


def test_behind_a_said_range_the_clock_is_taken_to_run_as_before_unless_files_tell() -> None:
    until = WALL + timedelta(hours=1)
    behind = ClockFact("one", EvidenceKind.ASSUMED, 7200, 300, "as before", since=until)
    said = [ranged(7260, None, until), behind]
    _, assumed = settle_clocks(["one"], [gps(7200), *said], assumed=all_along(0))
    assert (assumed.ahead_s, assumed.kind, assumed.since) == (7200, EvidenceKind.ASSUMED, until)
    assert "as before" in assumed.doubts[0]
    _, known = settle_clocks(["one"], [gps(3600, wall=until), *said], assumed=all_along(0))
    assert (known.ahead_s, known.kind) == (3600, EvidenceKind.GPS_TIME)


def test_an_assumed_offset_holds_until_the_next_one_and_only_where_nothing_confirms() -> None:
    winter, summer = AssumedOffset(None, 0), AssumedOffset(WALL, HOUR_S)
    one, two, three = settle_clocks(["one", "two"], [gps(7200)], assumed={"two": [winter, summer]})
    assert (one.body, one.ahead_s, one.since) == ("one", 7200, None)
    assert (two.ahead_s, two.since, two.until) == (0, None, WALL)
    assert (three.ahead_s, three.since, three.until) == (HOUR_S, WALL, None)


def test_a_phone_that_turned_its_clock_back_for_winter_has_two_clocks_even_with_one_frame_each() -> None:
    later = WALL + timedelta(days=1)
    facts = [
        gps(HOUR_S),
        from_offset_tag("one", WALL, 60, "0412"),
        gps(0, wall=later),
        from_offset_tag("one", later, 0, "0413"),
    ]
    summer, winter = settle_clocks(["one"], facts)
    assert (summer.ahead_s, summer.until, winter.ahead_s, winter.since) == (HOUR_S, later, 0, later)


def test_of_two_satellite_times_that_differ_no_clock_is_made_up_between_them() -> None:
    fresh, old = gps(HOUR_S), gps(HOUR_S + 1800, wall=WALL + timedelta(minutes=40))
    clock = settled(fresh, old)
    assert clock.ahead_s == HOUR_S
    assert clock.doubts == ("2 gps time readings differ by up to 30 min; the smaller one is used",)
