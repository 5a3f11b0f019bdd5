"""What a field sheet knows of a day: the sun of its shots is that of the night they are planned for."""

from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.horizon import SEA, Horizon
from logbook.domain.shot import Shot
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import ConditionKind
from logbook.faces.words.sky import sun_text
from logbook.services.plans.sheets import day_in

ON = date(2031, 10, 14)
STAMP = datetime(2031, 10, 1, tzinfo=UTC)


def stamped(name: str) -> dict[str, object]:
    return {"id": name, "created": STAMP, "updated": STAMP, "slug": name, "title": name}


def account(day_ends_at: time, window: tuple[time | None, time | None]) -> TripAccount:
    shot = Shot(
        **stamped("stars"),  # type: ignore[arg-type]
        trip_id="valley",
        viewpoint_id="ledge",
        on_date=ON,
        window_from=window[0],
        window_to=window[1],
    )
    ledge = Viewpoint(**stamped("ledge"), site_id="quarry", latitude_deg=38.2, longitude_deg=73.4)  # type: ignore[arg-type]
    return TripAccount(
        trip=Trip(**stamped("valley"), zone="Asia/Dushanbe", day_ends_at=day_ends_at),  # type: ignore[arg-type]
        sites={"quarry": Site(**stamped("quarry"))},  # type: ignore[arg-type]
        viewpoints={"ledge": ledge},
        shots=(shot,),
    )


@pytest.mark.parametrize(
    ("day_ends_at", "window", "at"),
    [
        (time(4), (time(1), time(3)), "2031-10-15T02:00"),
        (time(4), (time(23), time(1)), "2031-10-15T00:00"),
        (time(4), (None, time(1)), "2031-10-15T01:00"),
        (time(4), (time(17), None), "2031-10-14T17:00"),
        (time(0), (time(1), time(3)), "2031-10-14T02:00"),
    ],
)
def test_the_sun_of_a_shot_is_that_of_the_middle_of_its_window(
    day_ends_at: time, window: tuple[time | None, time | None], at: str
) -> None:
    light = day_in(account(day_ends_at, window), ON, []).light["stars"]
    assert light.at.replace(tzinfo=None) == datetime.fromisoformat(at)


def test_what_was_observed_after_midnight_is_newer_than_what_was_observed_before() -> None:
    def shut(at: time) -> Condition:
        return Condition(
            id=f"at {at}",
            created=STAMP,
            updated=STAMP,
            slug="shut",
            trip_id="valley",
            kind=ConditionKind.CLOSURE,
            on_date=ON,
            at=at,
            viewpoint_id="ledge",
            note="gate shut",
        )

    conditions = [shut(time(23)), shut(time(1))]
    whole = account(time(4), (None, None))
    (newest,) = day_in(whole, ON, conditions).observed
    assert newest.at == time(1)
    (newest,) = day_in(whole, ON, conditions, {"valley": time(0)}).observed
    assert newest.at == time(23)


def test_behind_its_own_skyline_a_shots_sun_gives_no_direction() -> None:
    seen = account(time(4), (time(16, 30), time(16, 50)))
    ledge = replace(seen.viewpoints["ledge"], facing_deg=90.0)
    for horizon, hidden_by in ((None, None), (Horizon(20.0), "the 20° skyline")):
        there = replace(seen, viewpoints={"ledge": replace(ledge, horizon=horizon)})
        light = day_in(there, ON, []).light["stars"]
        assert light.hidden_by == hidden_by
        assert (light.direction is None) is (hidden_by is not None)


def test_a_site_has_a_sky_for_each_horizon_of_its_viewpoints() -> None:
    seen = account(time(4), (time(17), None))
    ledge = seen.viewpoints["ledge"]
    deep = replace(ledge, id="deep", slug="deep", title="Deep", horizon=Horizon(12.0))
    twin = replace(deep, id="twin", slug="twin", title="Twin")
    shots = tuple(replace(seen.shots[0], id=one.id, viewpoint_id=one.id) for one in (ledge, deep, twin))
    day = day_in(replace(seen, viewpoints={one.id: one for one in (ledge, deep, twin)}, shots=shots), ON, [])
    assert [light.standpoint.horizon for _, light in day.skies] == [None, Horizon(12.0)]


def test_a_sun_seen_below_level_from_a_height_is_in_sight() -> None:
    """The Nautical Almanac: the sea's horizon lies 1.76' times the root of 2500 m, 1.47° below level."""
    seen = account(time(4), (time(17, 36), None))
    ledge = replace(seen.viewpoints["ledge"], elevation_m=2500.0)
    for horizon, is_in_sight in ((None, False), (SEA, True)):
        there = replace(seen, viewpoints={"ledge": replace(ledge, horizon=horizon)})
        light = day_in(there, ON, []).light["stars"]
        assert -2.3 < light.altitude_deg < -0.9
        assert light.is_in_sight is is_in_sight
        assert ("sun on the horizon" in sun_text(light)) is is_in_sight
