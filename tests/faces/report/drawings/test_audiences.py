"""Which drawings each audience's page holds."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.words import Audience
from logbook.faces.report import BuiltReport


@pytest.fixture
def placed(account: TripAccount) -> TripAccount:
    """The trip with three exact viewpoints near each other: a map of fewer says nothing."""
    ledge = replace(account.viewpoints["ledge"], latitude_deg=47.1235, longitude_deg=12.7346)
    beside = {
        name: replace(ledge, id=name, slug=name, title=name.title(), latitude_deg=latitude_deg)
        for name, latitude_deg in (("bench", 47.1245), ("slab", 47.1225))
    }
    seen = (
        replace(account.visits[0], id=f"at-{name}", slug=f"at-{name}", viewpoint_id=name) for name in beside
    )
    at = datetime(2031, 10, 14, 9, tzinfo=UTC)
    return replace(
        account,
        viewpoints={**account.viewpoints, "ledge": ledge, **beside},
        visits=(*account.visits, *seen),
        keepers=tuple(replace(one, taken_utc=at) for one in account.keepers),
    )


def index(report: BuiltReport) -> str:
    return Path(report.index).read_text(encoding="utf-8")


def test_a_client_sees_the_map_but_no_day_no_sun_and_no_exposure(
    placed: TripAccount, build: Callable[..., BuiltReport]
) -> None:
    shown = index(build(placed, Audience.CLIENT))
    assert 'class="map"' in shown
    assert "light-of-day" not in shown
    assert "sunline" not in shown
    assert "exposure-of-day" not in shown
    assert "nobody there" not in shown


@pytest.mark.parametrize("audience", [Audience.STUDENTS, Audience.ARCHIVE])
def test_students_and_the_archive_see_all_three(
    placed: TripAccount, build: Callable[..., BuiltReport], audience: Audience
) -> None:
    shown = index(build(placed, audience))
    for told in ('class="map"', "sunline", 'id="light-of-day-1"', 'id="exposure-of-day-1"'):
        assert told in shown


@pytest.mark.parametrize("audience", Audience)
def test_every_drawing_is_named_described_and_asks_for_nothing_outside(
    placed: TripAccount, build: Callable[..., BuiltReport], audience: Audience
) -> None:
    shown = index(build(placed, audience))
    drawings = re.findall(r"<svg.*?</svg>", shown, re.DOTALL)
    assert drawings
    for one in drawings:
        assert 'role="img"' in one
        assert re.search(r"<title [^>]*>[^<]+</title><desc [^>]*>[^<]+</desc>", one)
        without = re.sub(r'<image href="pictures/[0-9a-f]+-\d+\.jpg" [^>]*/>', "", one)
        assert not re.search(r"href|url\(|style=|https?:|<script|<image|<foreignObject", without)
    ids = re.findall(r'\sid="([^"]+)"', shown)
    assert len(ids) == len(set(ids))
