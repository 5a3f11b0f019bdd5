"""Planned shots judged with what a trip packed, in the light of their place and hour."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from logbook.craft.met_light import MetLight
from logbook.domain.account import TripAccount
from logbook.domain.horizon import Horizon
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import KitKind, Packing, SubjectKind, Support, TripodRule
from logbook.services import kinds, records
from logbook.services.light.standpoints import at_viewpoint
from logbook.services.plans import feasibility, outcomes, packing, windows
from logbook.services.plans.feasibility import Verdict, judge, judge_all, reach_shot
from logbook.store.book import Book

STAMP = datetime(2031, 10, 1, tzinfo=UTC)
ON = date(2031, 10, 14)
MIDDAY: Mapping[str, Any] = {"window_from": clock(11), "window_to": clock(13)}
EVENING: Mapping[str, Any] = {"window_from": clock(16), "window_to": clock(17)}
SLOW: Mapping[str, Any] = {
    "f_number": 32.0, "exposure_s": Fraction(4), "iso": 100, "focal_mm": 24.0, "support": Support.TRIPOD,
}  # fmt: skip
STARS: Mapping[str, Any] = {"f_number": 2.8, "exposure_s": Fraction(25), "iso": 3200, "focal_mm": 20.0}
HELD: Mapping[str, Any] = {
    "f_number": 8.0, "exposure_s": Fraction(1, 125), "iso": 100, "focal_mm": 24.0,
    "support": Support.HANDHELD,
}  # fmt: skip

Kit = Mapping[str, Any]


def stamped(name: str) -> dict[str, Any]:
    return {"id": name, "created": STAMP, "updated": STAMP}


def shot(*, name: str = "slow", **fields: Any) -> Shot:
    plan = {"viewpoint_id": "ledge", "on_date": ON, **fields}
    return Shot(**stamped(name), slug=name, title=name, trip_id="valley", **plan)


def account(
    *kit: tuple[str, Kit, Packing], facing_deg: float | None = 0.0, rule: TripodRule = TripodRule.ALLOWED
) -> TripAccount:
    """A trip with one viewpoint in the high valley, and kit with what was decided about it."""
    items = {name: KitItem(**stamped(name), slug=name, title=name, **fields) for name, fields, _ in kit}
    return TripAccount(
        trip=Trip(**stamped("valley"), slug="valley", title="High valley"),
        sites={"quarry": Site(**stamped("quarry"), slug="quarry", title="Quarry", zone="Asia/Dushanbe")},
        viewpoints={
            "ledge": Viewpoint(
                **stamped("ledge"),
                slug="ledge",
                title="Ledge",
                site_id="quarry",
                latitude_deg=38.2,
                longitude_deg=73.4,
                facing_deg=facing_deg,
                tripod_rule=rule,
            )
        },
        kit=items,
        packed=tuple(
            PackedItem(**stamped(f"packed {name}"), trip_id="valley", item_id=name, packing=state)
            for name, _, state in kit
        ),
    )


ND8 = ("nd8", {"kind": KitKind.FILTER, "filter_name": "nd8"}, Packing.TAKEN)
ND64 = ("nd64", {"kind": KitKind.FILTER, "filter_name": "nd64"}, Packing.TAKEN)
LEGS = ("legs", {"kind": KitKind.SUPPORT}, Packing.TAKEN)


def test_filters_that_were_taken_decide_at_midday() -> None:
    """In full sun, EV 15 (ANSI PH2.7), 4 s at f/32 needs 7 stops."""
    found = judge(account(ND8, LEGS), shot(**SLOW, **MIDDAY))
    assert found.verdict is Verdict.TOO_BRIGHT
    assert found.off_stops == pytest.approx(4, abs=0.3)
    assert "the packed filters give 3" in found.reason
    assert judge(account(ND64, ND8, LEGS), shot(**SLOW, **MIDDAY)).verdict is Verdict.FEASIBLE


def test_after_dusk_no_sun_judges_a_place_that_people_light() -> None:
    lit = account(ND8, LEGS)
    lit = replace(lit, sites={"quarry": replace(lit.sites["quarry"], kinds=(SubjectKind.FESTIVAL,))})
    late: dict[str, Any] = {"window_from": clock(19), "window_to": clock(20)}
    assert judge(account(ND8, LEGS), shot(**HELD, **late)).verdict is not Verdict.UNKNOWN
    found = judge(lit, shot(**HELD, **late))
    assert (found.verdict, found.off_stops) == (Verdict.UNKNOWN, None)
    assert "lamps light this place after dusk" in found.reason
    dusk: dict[str, Any] = {"window_from": clock(17), "window_to": clock(20)}  # begins in daylight
    assert judge(lit, shot(**HELD, **dusk)).verdict is not Verdict.UNKNOWN


def test_filters_that_stayed_at_home_do_not_count() -> None:
    left = ("nd64", ND64[1], Packing.LEFT)
    found = judge(account(ND8, left, LEGS), shot(**SLOW, **MIDDAY))
    assert found.verdict is Verdict.TOO_BRIGHT


def test_planned_filters_are_used_and_it_is_said_when_they_are_not_packed() -> None:
    found = judge(account(ND8, LEGS), shot(**SLOW, **MIDDAY, filters=("nd64", "nd2", "nd8")))
    assert found.verdict is Verdict.FEASIBLE
    assert found.reason.endswith("nd64 + nd2 planned but not packed")


def test_the_sensor_of_the_packed_camera_and_its_stabilisation_count() -> None:
    slow = {**HELD, "exposure_s": Fraction(1, 8), "f_number": 22.0}
    half = {"kind": KitKind.CAMERA, "sensor_width_mm": 18.0, "sensor_height_mm": 12.0}
    evening: dict[str, Any] = {"window_from": clock(16, 50), "window_to": clock(16, 55)}
    bare = judge(account(("body", half, Packing.TAKEN)), shot(**slow, **evening))
    assert bare.verdict is Verdict.DOUBTFUL
    # 24 mm on half the sensor is 48 mm: 1/8 s is 2.58 stops beyond 1/48 s
    assert "2.6 stops beyond the guide" in bare.reason
    steadied = ("body", {**half, "stabilisation_stops": 4.0}, Packing.TAKEN)
    assert judge(account(steadied), shot(**slow, **evening)).verdict is Verdict.FEASIBLE


def test_a_forbidden_tripod_makes_a_tripod_plan_unsteady() -> None:
    found = judge(account(ND64, ND8, rule=TripodRule.FORBIDDEN), shot(**SLOW, **MIDDAY))
    assert found.verdict is Verdict.DOUBTFUL
    assert "none is allowed at this viewpoint" in found.reason


def test_a_tripod_that_was_left_behind_makes_it_unsteady_and_an_undecided_one_is_only_noted() -> None:
    left = ("legs", LEGS[1], Packing.LEFT)
    assert judge(account(ND64, ND8, left), shot(**SLOW, **MIDDAY)).verdict is Verdict.DOUBTFUL
    undecided = judge(account(ND64, ND8), shot(**SLOW, **MIDDAY))
    assert undecided.verdict is Verdict.FEASIBLE
    assert "no support packed" in undecided.reason


def test_the_evening_sun_stands_in_a_frame_that_faces_it() -> None:
    found = judge(account(facing_deg=250.0), shot(**HELD, **EVENING))
    assert found.verdict is Verdict.SUN_IN_FRAME
    assert found.sun_near
    assert judge(account(facing_deg=70.0), shot(**HELD, **EVENING)).verdict is Verdict.FEASIBLE


def test_a_trip_that_packed_nothing_yet_says_so() -> None:
    assert judge(account(), shot(**HELD, **MIDDAY)).reason.endswith("nothing is packed for this trip yet")


@pytest.mark.parametrize("missing", [{"on_date": None}, {"viewpoint_id": None}])
def test_without_date_or_place_the_light_is_unknown(missing: dict[str, Any]) -> None:
    found = judge(account(), shot(**{**HELD, **missing}))
    assert found.verdict is Verdict.UNKNOWN
    assert "until the plan has a date and a place" in found.reason


def test_a_date_beyond_the_ephemeris_is_unknown_and_not_a_failure() -> None:
    found = judge(account(), shot(**{**HELD, "on_date": date(2131, 1, 1)}))
    assert found.verdict is Verdict.UNKNOWN
    assert "choose another date" in found.reason


def test_a_window_over_midnight_reaches_into_the_next_day() -> None:
    stars: dict[str, Any] = {"f_number": 2.8, "exposure_s": Fraction(25), "iso": 3200, "focal_mm": 20.0}
    night: dict[str, Any] = {"window_from": clock(23), "window_to": clock(2), "support": Support.TRIPOD}
    found = judge(account(LEGS), shot(**stars, **night))
    assert found.verdict is Verdict.FEASIBLE, found.reason


def test_the_hours_of_low_light_lie_round_sunrise_and_sunset() -> None:
    found = reach_shot(account(ND8, LEGS), shot(**SLOW, **MIDDAY))
    assert found.zone == "Asia/Dushanbe"
    morning, evening = found.possible
    # EV 8 to 11, looking north: from sunrise (06:14) to half an hour later, and so before sunset (17:31)
    assert clock(6, 5) < morning.enters.time() < clock(6, 20) < morning.leaves.time() < clock(6, 50)
    assert clock(16, 55) < evening.enters.time() < clock(17, 25) < evening.leaves.time() < clock(17, 40)
    assert found.low_enough[0].enters.time() == clock(0)
    assert found.low_enough[0].leaves == morning.leaves


def test_the_shots_of_a_day_at_a_place_share_one_path_of_the_sun() -> None:
    trip = account(ND8, ND64, LEGS)
    windows.moments_in.cache_clear()
    for number in range(20):
        judge(trip, shot(name=f"slow-{number}", **SLOW, **MIDDAY))
    assert windows.moments_in.cache_info().misses == 1


def test_all_shots_are_judged_as_each_alone_and_the_sky_is_asked_once() -> None:
    plans = (
        shot(name="slow", **SLOW, **MIDDAY),
        shot(name="evening", **HELD, **EVENING),
        shot(name="whole-day", **HELD),
        shot(name="far-future", **{**HELD, "on_date": date(2131, 1, 1)}),
        shot(name="no-place", **{**HELD, "viewpoint_id": None}),
    )
    trip = replace(account(ND8, ND64, LEGS), shots=plans)
    alone = {one.id: judge(trip, one) for one in plans}
    windows.moments_in.cache_clear()
    assert judge_all(trip) == alone
    assert windows.moments_in.cache_info().misses == 1


def test_a_shot_comes_with_the_account_of_its_own_trip(book: Book) -> None:
    records.edit(book, kinds.SITE, "quarry", {"latitude_deg": 38.2, "longitude_deg": 73.4})
    packing.add_kit(
        book, {"title": "ND", "kind": KitKind.FILTER, "filter_name": "nd8"}, None, "valley",
        {"packing": Packing.TAKEN},
    )  # fmt: skip
    outcomes.edit_shot(book, "bridge-flow", {**SLOW, **MIDDAY, "on_date": ON}, None)
    whole, found = feasibility.shot_in_account(book, "bridge-f")
    assert (whole.trip.slug, found.slug) == ("valley", "bridge-flow")
    assert judge(whole, found).verdict is Verdict.TOO_BRIGHT


def test_judging_changes_nothing(book: Book, dump: Callable[[], Any]) -> None:
    before = dump()
    whole, found = feasibility.shot_in_account(book, "bridge-flow")
    judge(whole, found)
    assert dump() == before


@pytest.mark.parametrize(
    ("window", "first", "last"),
    [
        ((clock(1), clock(3)), "2031-10-15T01:00", "2031-10-15T03:00"),
        ((clock(23), clock(2)), "2031-10-14T23:00", "2031-10-15T02:00"),
        ((clock(23), clock(5)), "2031-10-14T23:00", "2031-10-15T05:00"),
        ((clock(23), None), "2031-10-14T23:00", "2031-10-14T23:00"),
        ((clock(3, 45), None), "2031-10-15T03:45", "2031-10-15T03:45"),
        ((clock(4), None), "2031-10-14T04:00", "2031-10-14T04:00"),
        ((None, None), "2031-10-14T04:00", "2031-10-15T04:00"),
    ],
)
def test_a_plan_is_judged_in_the_light_of_its_own_night(
    window: tuple[clock | None, clock | None], first: str, last: str
) -> None:
    planned = shot(**STARS, window_from=window[0], window_to=window[1])
    found = reach_shot(account(LEGS), planned)
    assert first <= f"{found.moment.at:%Y-%m-%dT%H:%M}" <= last


def test_the_moment_and_the_hours_of_a_plan_for_the_small_hours_are_of_the_next_date() -> None:
    planned = shot(**STARS, window_from=clock(1), window_to=clock(3))
    found = reach_shot(account(LEGS), planned)
    assert found.moment.at.date() == date(2031, 10, 15)
    assert found.moment.at.utcoffset() == timedelta(hours=5)
    assert found.low_enough[0].enters == datetime.fromisoformat("2031-10-15T00:00+05:00")
    midnight = replace(account(LEGS).trip, day_ends_at=clock(0))
    found = reach_shot(replace(account(LEGS), trip=midnight), planned)
    assert found.moment.at.date() == ON


def test_light_that_comes_in_an_hour_that_clocks_show_twice_comes_at_the_instant_it_does() -> None:
    """The sun rises there at half past two by Berlin's clocks, which go back from three to two that night."""

    def dim_until(zone: str) -> datetime:
        there = account(LEGS)
        site = replace(there.sites["quarry"], zone=zone)
        ledge = replace(there.viewpoints["ledge"], longitude_deg=82.0)
        there = replace(there, sites={"quarry": site}, viewpoints={"ledge": ledge})
        night = shot(**HELD, on_date=date(2031, 10, 26), window_from=clock(1))
        return reach_shot(there, night).low_enough[0].leaves

    shown = dim_until("Europe/Berlin")
    assert shown.astimezone(UTC) == pytest.approx(dim_until("UTC"), abs=timedelta(seconds=1))
    assert f"{shown:%H %Z}" == "02 CET"


def test_behind_the_viewpoints_own_skyline_the_sun_gives_its_light_no_more() -> None:
    """The sun stands 16 to 8 degrees up from 16:00 to 16:45 there, behind 20 degrees of rock."""
    late: dict[str, Any] = {"window_from": clock(16), "window_to": clock(16, 45)}
    level = account(LEGS, facing_deg=90.0)
    hills = replace(level, viewpoints={"ledge": replace(level.viewpoints["ledge"], horizon=Horizon(20.0))})
    (lit, shaded) = (judge(one, shot(**HELD, **late)) for one in (level, hills))
    assert lit.moment is not None
    assert shaded.moment is not None
    assert shaded.moment.scene_ev100 < lit.moment.scene_ev100 - 1
    assert shaded.moment.high_ev100 >= lit.moment.low_ev100, "what lies beyond may still be sunlit"
    assert "the sun is behind the 20° skyline then" in shaded.reason
    assert "behind" not in lit.reason


def test_a_sun_behind_the_skyline_is_not_in_the_frame() -> None:
    west = account(LEGS, facing_deg=245.0)
    hills = replace(west, viewpoints={"ledge": replace(west.viewpoints["ledge"], horizon=Horizon(20.0))})
    late: dict[str, Any] = {"window_from": clock(16), "window_to": clock(17)}
    assert judge(west, shot(**HELD, **late)).sun_near
    assert judge(hills, shot(**HELD, **late)).sun_near == ()


def nile() -> TripAccount:
    """The same kit where the sun is total from 13:02 to 13:09 on 2 August 2027 (astronomy-engine)."""
    valley = account(ND8, LEGS)
    ledge = replace(valley.viewpoints["ledge"], latitude_deg=25.7, longitude_deg=32.65)
    site = replace(valley.sites["quarry"], zone="Africa/Cairo")
    return replace(valley, viewpoints={"ledge": ledge}, sites={"quarry": site})


def at(first: clock, last: clock) -> dict[str, Any]:
    return {"on_date": date(2027, 8, 2), "window_from": first, "window_to": last}


TOTAL: Mapping[str, Any] = {
    "f_number": 2.8, "exposure_s": Fraction(2), "iso": 100, "focal_mm": 24.0, "support": Support.TRIPOD,
}  # fmt: skip


def test_a_plan_for_totality_is_judged_in_its_light_and_in_doubt_where_the_range_allows_it() -> None:
    """f/2.8 and 2 s ask for EV 2, where a few lx give EV 0.5 or so, two stops either way."""
    found = judge(nile(), shot(**TOTAL, **at(clock(13, 4), clock(13, 6))))
    assert found.verdict is Verdict.DOUBTFUL
    assert found.moment is not None
    assert found.moment.low_ev100 < 2 < found.moment.high_ev100
    assert (
        "at 13:04 the moon covers the whole sun: about 14 stops less light, already counted" in found.reason
    )
    brief = {**TOTAL, "exposure_s": Fraction(1, 8)}
    assert judge(nile(), shot(**brief, **at(clock(13, 4), clock(13, 6)))).verdict is Verdict.TOO_DARK
    day_before = {**at(clock(13, 4), clock(13, 6)), "on_date": date(2027, 8, 1)}
    plain = judge(nile(), shot(**TOTAL, **day_before))
    assert plain.verdict is Verdict.TOO_BRIGHT
    assert "moon" not in plain.reason


def test_the_best_moment_of_a_window_may_lie_in_an_eclipse_or_beside_it_and_the_reason_says_which() -> None:
    """The sun is whole at 11:30; f/8 and 1/500 s ask for EV 15, f/2.8 and 2 s for EV 2."""
    held = judge(nile(), shot(**{**HELD, "exposure_s": Fraction(1, 500)}, **at(clock(11, 30), clock(13, 30))))
    assert "the eclipse takes no light yet" in held.reason
    after = judge(nile(), shot(**{**HELD, "exposure_s": Fraction(1, 500)}, **at(clock(13), clock(15))))
    assert "the eclipse no longer takes light" in after.reason
    dark = judge(nile(), shot(**TOTAL, **at(clock(11, 30), clock(13, 30))))
    assert dark.verdict is Verdict.FEASIBLE, "some moment about totality has just this light"
    assert dark.moment is not None
    assert dark.moment.dimming is not None
    assert dark.moment.dimming.sun_covered > 0.99
    assert "of the sun: about" in dark.reason


def test_totality_that_comes_and_goes_between_two_moments_is_not_missed() -> None:
    """At 43 N 3 W it lasts a minute and a half on 12 August 2026, about 20:28 (astronomy-engine)."""
    valley = account(LEGS)
    ledge = replace(valley.viewpoints["ledge"], latitude_deg=43.0, longitude_deg=-3.0)
    site = replace(valley.sites["quarry"], zone="Europe/Madrid")
    coast = replace(valley, viewpoints={"ledge": ledge}, sites={"quarry": site})
    for first, last in ((clock(20, 26), clock(20, 29)), (clock(20), clock(21))):
        when: dict[str, Any] = {"on_date": date(2026, 8, 12), "window_from": first, "window_to": last}
        moments = windows.moments_of(
            windows.shot_window(coast, shot(**TOTAL, **when), at_viewpoint(ledge, site))
        )
        assert any(one.dimming and one.dimming.sun_covered == 1.0 for one in moments)
        assert moments == tuple(sorted(moments, key=lambda one: one.at))
        local = [one.at.astimezone(ZoneInfo("Europe/Madrid")) for one in moments]
        assert (local[0].time(), local[-1].time()) == (first, last)


def test_pictures_made_without_the_eclipse_do_not_make_totality_too_bright() -> None:
    there = replace(nile(), met_light={})
    sunny = [MetLight(datetime(2027, 7, day, 10, 5, tzinfo=UTC), 200.0, 81.0, 15.0) for day in (10, 20)]
    met = replace(there, met_light={"ledge": tuple(sunny)})
    plain, informed = (judge(one, shot(**TOTAL, **at(clock(13, 4), clock(13, 6)))) for one in (there, met))
    assert plain.moment is not None
    assert informed.moment is not None
    assert informed.moment.witnesses is not None
    assert informed.moment.scene_ev100 == pytest.approx(plain.moment.scene_ev100, abs=1.0)
    assert "2 keepers here without the eclipse show EV 15" in informed.reason
