"""What a client reads of each place: when to come, where tripods may stand, the cost, the dangers."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.horizon import Horizon
from logbook.domain.words import Audience, Disclosure, TripodRule
from logbook.faces.report import BuiltReport
from tests.faces.report.conftest import keeper, picture

Build = Callable[..., BuiltReport]
Changed = Callable[..., TripAccount]
# 17:52 in Vienna. pvlib 0.16 puts the sun 4.5, 2.8, 1.2 and -4.7 degrees high 0, 10, 20 and 55 minutes later,
# at azimuths of 253 to 263 degrees.
EVENING = datetime(2031, 10, 14, 15, 52, tzinfo=UTC)


def lit(account: TripAccount, *minutes: int, **fields: Any) -> TripAccount:
    """The trip with a picture at the ledge so many minutes after 17:52, and no other."""
    folder = account.keepers[0].path.rpartition("/")[0]
    names = [f"lit{at}" for at, _ in enumerate(minutes)]
    from pathlib import Path

    given = {"viewpoint_id": "ledge", "zone": "Europe/Vienna"} | fields
    made = (
        keeper(
            name, picture(Path(folder, f"{name}.jpg")), taken_utc=EVENING + timedelta(minutes=minute), **given
        )
        for name, minute in zip(names, minutes, strict=True)
    )
    return replace(account, keepers=tuple(made), sets=())


def card(report: BuiltReport, title: str) -> str:
    """The words of one place's card."""
    section = report.index.read_text("utf-8").partition('<section id="places"')[2].partition("</section>")[0]
    cards = [one for one in section.split("<article")[1:] if f">{title}</h3>" in one]
    return " ".join(re.sub(r"<[^>]+>", " ", cards[0]).split())


def test_the_best_light_is_that_of_the_pictures_made_there(account: TripAccount, build: Build) -> None:
    shown = card(build(lit(account, 10, 0, 20)), "Quarry bridge")
    assert (
        "Best light Golden hour in the evening; based on three pictures taken 17:52–18:12 on 14 Oct, "
        "sun 1–4° high, backlit." in shown
    )


@pytest.mark.parametrize(
    ("facing_deg", "side"),
    [(70.0, "lit from behind the camera"), (340.0, "lit from the left"), (150.0, "lit from the right")],
)
def test_where_the_light_came_from_is_said_as_the_camera_saw_it(
    account: TripAccount, build: Build, changed: Changed, facing_deg: float, side: str
) -> None:
    turned = changed(lit(account, 0), "viewpoints", "ledge", facing_deg=facing_deg)
    assert f"sun 4° high, {side}." in card(build(turned), "Quarry bridge")


def test_a_sun_behind_the_ridge_lights_nothing_from_anywhere(
    account: TripAccount, build: Build, changed: Changed
) -> None:
    behind = changed(lit(account, 0), "viewpoints", "ledge", horizon=Horizon(12.0))
    assert "sun 4° high. Region" in card(build(behind), "Quarry bridge")


def test_a_sun_whose_rim_still_shows_is_not_below_the_horizon(account: TripAccount, build: Build) -> None:
    """At 18:20 its centre is 0.7 degrees down, and some of it shows until 18:21 (USNO: 50')."""
    shown = card(build(lit(account, 28)), "Quarry bridge")
    assert "taken 18:20 on 14 Oct, sun 0° high, backlit. Region" in shown


def test_after_sunset_the_sun_stands_below_and_lights_from_no_side(
    account: TripAccount, build: Build
) -> None:
    shown = card(build(lit(account, 55)), "Quarry bridge")
    assert "Blue hour in the evening; based on one picture" in shown
    assert "taken 18:47 on 14 Oct, sun 5° below the horizon. Region" in shown


@pytest.mark.parametrize(
    "unknown",
    [
        {"taken_utc": None},
        {"zone": None, "taken_local": datetime(2031, 10, 14, 17, 42)},  # noqa: DTZ001 - a camera's wall time
        {"viewpoint_id": None},
    ],
)
def test_nothing_is_said_of_light_that_no_picture_tells(
    account: TripAccount, build: Build, unknown: dict[str, Any]
) -> None:
    shown = lit(account, 0)
    shown = replace(shown, keepers=tuple(replace(one, **unknown) for one in shown.keepers))
    assert "Best light" not in card(build(shown), "Quarry bridge")


def test_a_place_without_a_position_has_no_sun(account: TripAccount, build: Build, changed: Changed) -> None:
    nowhere = changed(lit(account, 0), "sites", "quarry", latitude_deg=None, longitude_deg=None)
    assert "Best light" not in card(build(nowhere), "Quarry bridge")


def test_a_picture_of_a_withheld_viewpoint_tells_no_light_of_its_shown_site(
    account: TripAccount, build: Build, changed: Changed
) -> None:
    secret = changed(lit(account, 0), "viewpoints", "ledge", location_shown=Disclosure.WITHHELD)
    assert "Best light" not in card(build(secret), "Quarry bridge")


@pytest.mark.slow
def test_tripod_rules_are_told_where_they_are_known(
    account: TripAccount, build: Build, changed: Changed
) -> None:
    assert "Tripods" not in card(build(account, name="unknown"), "Quarry bridge")
    ruled = changed(account, "viewpoints", "ledge", tripod_rule=TripodRule.AWKWARD)
    assert "Tripods awkward Region" in card(build(ruled, name="one"), "Quarry bridge")
    second = replace(
        ruled.viewpoints["ledge"],
        id="slab",
        slug="slab",
        title="Lower slab",
        tripod_rule=TripodRule.FORBIDDEN,
    )
    both = replace(ruled, viewpoints={**ruled.viewpoints, "slab": second})
    assert "Lower slab" not in card(build(both, name="unused"), "Quarry bridge")
    both = changed(both, "shots", "stones", viewpoint_id="slab")
    assert "forbidden at Lower slab" in card(build(both, name="two"), "Quarry bridge")
    assert "awkward at Quarry ledge" in card(build(both, name="two"), "Quarry bridge")


def test_dangers_costs_and_the_way_are_told_with_their_date_and_defer_to_local_rules(
    account: TripAccount, build: Build, changed: Changed
) -> None:
    paid = changed(account, "sites", "quarry", cost="Eight a person at the gate")
    report = build(paid)
    shown = card(report, "Quarry bridge")
    for said in (
        "Cost Eight a person at the gate",
        "Hazards Wet slabs",
        "Access Mill path",
        "First noted by the photographer on 20 October 2031; check again before going.",
    ):
        assert said in shown
    assert "Local rules, signs and wardens come first." in report.index.read_text("utf-8")


def test_what_nobody_wrote_down_has_no_row_and_a_lost_picture_no_frame(
    account: TripAccount, build: Build
) -> None:
    assert card(build(account), "Lauter gorge").endswith("> Lauter gorge Position near 47.3° N, 13.0° E")


@pytest.mark.parametrize("audience", [Audience.CLIENT, Audience.STUDENTS])
def test_the_way_to_an_area_is_told_to_nobody(
    account: TripAccount, build: Build, changed: Changed, audience: Audience
) -> None:
    area = changed(account, "sites", "quarry", location_shown=Disclosure.AREA, walk_min=25)
    shown = card(build(area, audience), "Quarry bridge")
    assert "Mill path" not in shown
    assert "Walk" not in shown
    assert "Hazards Wet slabs" in shown


def test_of_two_kinds_of_light_that_of_the_best_picture_is_told(account: TripAccount, build: Build) -> None:
    """Two pictures at dusk and one before; what is put first is better than what is more."""
    shown = lit(account, 55, 0, 56)
    best = replace(shown, trip=replace(shown.trip, client_order=("lit1", "lit0")))
    assert "Best light Golden hour in the evening; based on one picture" in card(
        build(best, name="golden"), "Quarry bridge"
    )
    other = replace(shown, trip=replace(shown.trip, client_order=("lit0", "lit1")))
    assert "Best light Blue hour in the evening; based on two pictures" in card(
        build(other, name="blue"), "Quarry bridge"
    )
