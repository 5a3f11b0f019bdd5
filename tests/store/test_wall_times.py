"""The time at a place read from a row is that of the keeper, also around a change of clocks."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from logbook.domain.keeper import Keeper
from logbook.store.wall_times import place_time, place_time_text

BASE = datetime(2031, 10, 26, 0, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    "zone", ["Europe/Lisbon", "Australia/Lord_Howe", "Asia/Kathmandu", "-03:30", "UTC", None]
)
@pytest.mark.parametrize("minutes", [0, 55, 59, 60, 61, 180, 60 * 24 * 150 + 14 * 60 + 59])
def test_a_row_and_its_keeper_agree(zone: str | None, minutes: int) -> None:
    instant = BASE + timedelta(minutes=minutes, seconds=7)
    local = datetime(2031, 1, 1, 12, tzinfo=UTC).replace(tzinfo=None)
    keeper = Keeper(
        id="k", created=BASE, updated=BASE, slug="k", trip_id="t", file="k.jpg", path="k.jpg", hash="0",
        size_bytes=1, format="JPEG", taken_local=local, taken_utc=instant, zone=zone, exposure_s=Fraction(1),
    )  # fmt: skip
    stored = instant.isoformat().replace("+00:00", "Z")
    assert place_time(local.isoformat(), stored, zone) == keeper.place_time
    assert place_time_text(local.isoformat(), stored, zone) == (keeper.place_time or local).isoformat()


def test_what_nobody_knows_has_no_time() -> None:
    assert place_time(None, None, "UTC") is None
    assert place_time_text(None, None, None) is None
