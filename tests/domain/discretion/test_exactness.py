"""A bearing that leads towards a withheld place is not known to others."""

from dataclasses import replace

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import Discretion
from logbook.domain.discretion.exactness import without_sight_lines
from logbook.domain.words import Audience, Disclosure, Provenance
from tests.domain.discretion.conftest import with_focal


def seen(account: TripAccount, audience: Audience = Audience.STUDENTS) -> tuple[object, object, object]:
    """Return the bearing, what is looked at and the picture's direction as an audience gets them."""
    shown = without_sight_lines(Discretion(account, audience))
    bank = shown.viewpoints["bank"]
    return bank.facing_deg, bank.looks_at, shown.keepers[0].direction_deg


def turned(account: TripAccount, facing_deg: float | None, direction_deg: float | None) -> TripAccount:
    """Return the account with other bearings."""
    bank = replace(account.viewpoints["bank"], facing_deg=facing_deg)
    keeper = replace(account.keepers[0], direction_deg=direction_deg)
    return replace(account, viewpoints={"bank": bank}, keepers=(keeper,))


@pytest.mark.parametrize("audience", [Audience.STUDENTS, Audience.CLIENT])
def test_a_view_with_a_withheld_place_in_it_is_left_out_whole(
    account: TripAccount, audience: Audience
) -> None:
    assert seen(account, audience) == (None, None, None)
    assert seen(account, Audience.ARCHIVE) == (60, "the far wood", 50.0)


@pytest.mark.parametrize(
    ("facing_deg", "focal_mm", "is_told"),
    [
        (45, 400, False),
        (58, 400, False),  # a long lens, within the margin of a compass point
        (75, 400, True),
        (90, 24, False),  # 37 degrees to either side and the margin
        (96, 24, True),
        (79, None, False),  # unknown: 35 degrees
        (81, None, True),
        (225, 24, True),
        (2, 24, False),
    ],
)
def test_how_wide_a_view_is_decides(
    account: TripAccount, facing_deg: float, focal_mm: float | None, is_told: bool
) -> None:
    told = seen(with_focal(turned(account, facing_deg, None), focal_mm))[0]
    assert (told is not None) is is_told


def test_a_picture_that_points_there_tells_nothing_of_its_direction(account: TripAccount) -> None:
    assert seen(turned(account, 225, 50.0)) == (225, "the far wood", None)
    assert seen(turned(account, 225, 230.0)) == (225, "the far wood", 230.0)


def test_a_name_in_what_is_looked_at_is_enough(account: TripAccount) -> None:
    bank = replace(account.viewpoints["bank"], facing_deg=225, looks_at="Anvarra, over the water")
    assert seen(replace(account, viewpoints={"bank": bank})) == (None, None, None)


def test_a_withheld_place_of_another_trip_counts_and_one_far_away_does_not(account: TripAccount) -> None:
    hide = account.sites["hide"]
    assert hide.position is not None
    elsewhere = replace(account, sites={"river": account.sites["river"]}, withheld_positions=(hide.position,))
    assert seen(elsewhere)[0] is None
    far = replace(hide, latitude_deg=49.0, longitude_deg=15.0)
    assert seen(replace(account, sites={**account.sites, "hide": far}))[0] == 60


def test_an_area_keeps_its_bearing_unless_it_names_the_place(account: TripAccount) -> None:
    rough = replace(account.viewpoints["bank"], location_shown=Disclosure.AREA)
    assert seen(replace(account, viewpoints={"bank": rough}))[:2] == (60, "the far wood")
    telling = replace(rough, looks_at="the Kerswell side")
    assert seen(replace(account, viewpoints={"bank": telling}))[:2] == (None, None)


def test_what_became_unknown_has_no_origin_and_an_open_book_loses_nothing(account: TripAccount) -> None:
    bank = replace(account.viewpoints["bank"], provenance={"facing_deg": Provenance.INFERRED})
    quiet = without_sight_lines(Discretion(replace(account, viewpoints={"bank": bank}), Audience.STUDENTS))
    assert quiet.viewpoints["bank"].provenance == {}
    open_hide = replace(account.sites["hide"], location_shown=Disclosure.EXACT)
    shown = replace(account, sites={**account.sites, "hide": open_hide})
    assert without_sight_lines(Discretion(shown, Audience.STUDENTS)) == shown


def test_a_picture_so_near_that_its_own_position_is_kept_back_keeps_its_direction_back_too(
    account: TripAccount,
) -> None:
    near = turned(account, 225, 50.0)
    placed = replace(near.keepers[0], latitude_deg=47.0, longitude_deg=12.0)
    assert seen(replace(near, keepers=(placed,))) == (225, "the far wood", None)
    away = replace(placed, direction_deg=230.0)
    assert seen(replace(near, keepers=(away,))) == (225, "the far wood", 230.0)
