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
    ledge = replace(account.viewpoints["ledge"], latitude_deg=47.1235, longitude_deg=12.7346)
    at = datetime(2031, 10, 14, 9, tzinfo=UTC)
    return replace(
        account,
        viewpoints={**account.viewpoints, "ledge": ledge},
        keepers=tuple(replace(one, taken_utc=at) for one in account.keepers),
    )


def index(report: BuiltReport) -> str:
    return Path(report.index).read_text(encoding="utf-8")


def test_a_client_sees_the_map_but_no_day_no_sun_and_no_exposure(
    placed: TripAccount, build: Callable[..., BuiltReport]
) -> None:
    bench = replace(placed.viewpoints["ledge"], id="bench", slug="bench", title="Bench", latitude_deg=47.1245)
    seat = replace(placed.visits[0], id="at-bench", slug="at-bench", viewpoint_id="bench")
    two = replace(placed, viewpoints={**placed.viewpoints, "bench": bench}, visits=(*placed.visits, seat))
    shown = index(build(two, Audience.CLIENT))
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
        assert not re.search(r"href|url\(|style=|https?:|<script|<image|<foreignObject", one)
    ids = re.findall(r'\sid="([^"]+)"', shown)
    assert len(ids) == len(set(ids))
