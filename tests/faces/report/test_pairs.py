"""Pairs: which pictures stand together, and stops that a second, independent reckoning agrees with.

The reckoning here knows only that marked numbers stand for powers of two in thirds of a stop (ISO 516, 517
and 12232 series) and that an ND filter's number is its factor; it uses nothing of the product's arithmetic.
"""

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.camera import ExposureMode
from logbook.domain.discretion import account_for
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.words import Audience, Disclosure, Provenance, SetKind, Support
from logbook.faces.report import BuiltReport
from logbook.faces.report.order import put_in_order
from logbook.faces.report.pairs import Contrast, ViewPair, light_change, matches, unnoted_stops
from tests.faces.report.conftest import keeper, picture, record

BEGAN = datetime(2031, 10, 14, 16, 0)  # noqa: DTZ001 - the place's wall time is naive
TOLERANCE = 1e-9  # stops; both sides count in exact thirds


def thirds(stops: float) -> float:
    """To the third of a stop that a mark stands for."""
    return round(3 * stops) / 3


def reckoned(one: Keeper, other: Keeper) -> float:
    """How many stops brighter the other picture is in the same light, from marked numbers alone."""

    def taken(k: Keeper) -> float:
        assert k.f_number is not None
        assert k.exposure_s is not None
        assert k.iso is not None
        assert k.filters is not None
        filters = sum(math.log2(int(name.removeprefix("nd"))) for name in k.filters)
        return (
            thirds(math.log2(k.exposure_s))
            - thirds(2 * math.log2(k.f_number))
            + thirds(math.log2(k.iso / 100))
            - filters
        )

    return taken(other) - taken(one)


@pytest.fixture
def seen(account: TripAccount, tmp_path: Path) -> Callable[..., tuple[ViewPair, ...]]:
    """ViewPair pictures of one viewpoint, a minute apart where nothing else is said."""
    original = picture(tmp_path / "view.jpg")

    def match(*settings: dict[str, Any], **trip: Any) -> tuple[ViewPair, ...]:
        given = {"viewpoint_id": "ledge", "focal_35mm": 24.0}
        keepers = tuple(
            keeper(f"k{n}", original, **(given | {"taken_local": BEGAN + timedelta(minutes=n)} | one))
            for n, one in enumerate(settings)
        )
        told = replace(account, keepers=keepers, sets=(), **trip)
        return matches(put_in_order(account_for(told, Audience.STUDENTS)))

    return match


FREE: dict[str, Any] = {
    "exposure_s": Fraction(1, 500),
    "f_number": 5.6,
    "iso": 400,
    "filters": (),
    "support": Support.HANDHELD,
}
SILK: dict[str, Any] = {
    "exposure_s": Fraction(2),
    "f_number": 11.0,
    "iso": 100,
    "filters": ("nd8", "nd8"),
    "support": Support.BRACED,
}


def test_the_same_view_with_and_without_filters_is_a_pair_and_its_stops_add_up(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    (match,) = seen(FREE, SILK)
    assert match.contrast is Contrast.FILTERS
    assert match.compared.difference_stops == pytest.approx(
        reckoned(match.first.keeper, match.second.keeper), abs=TOLERANCE
    )
    assert match.compared.filter_stops == pytest.approx(-6, abs=TOLERANCE)
    assert light_change(match) == pytest.approx(0, abs=TOLERANCE)


@pytest.mark.parametrize("f_number", [2.8, 8.0, 13.0, 22.0])
@pytest.mark.parametrize("exposure_s", [Fraction(1, 1000), Fraction(1, 30), Fraction(3, 10), Fraction(15)])
@pytest.mark.parametrize("filters", [(), ("nd64",)])
def test_any_pair_is_counted_as_its_marks_are(
    seen: Callable[..., tuple[ViewPair, ...]],
    f_number: float,
    exposure_s: Fraction,
    filters: tuple[str, ...],
) -> None:
    (match,) = seen(SILK, {"f_number": f_number, "exposure_s": exposure_s, "iso": 320, "filters": filters})
    expected = reckoned(match.first.keeper, match.second.keeper)
    assert match.compared.difference_stops == pytest.approx(expected, abs=TOLERANCE)
    assert light_change(match) == pytest.approx(-expected, abs=TOLERANCE)


def test_two_supports_with_the_same_filters_are_a_pair(seen: Callable[..., tuple[ViewPair, ...]]) -> None:
    (match,) = seen(FREE, FREE | {"support": Support.TRIPOD})
    assert match.contrast is Contrast.SUPPORT


def test_a_support_that_nobody_noted_is_no_second_support(seen: Callable[..., tuple[ViewPair, ...]]) -> None:
    assert seen(FREE, FREE | {"support": None}) == ()
    assert seen(FREE, FREE | {"support": Support.UNKNOWN}) == ()


def test_another_light_makes_a_pair_only_where_it_differs_by_a_stop(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    later = {"taken_local": BEGAN + timedelta(hours=1)}
    assert seen(FREE, FREE | later) == ()
    (match,) = seen(FREE, FREE | later | {"exposure_s": Fraction(1, 60)})
    assert match.contrast is Contrast.LIGHT
    assert light_change(match) == pytest.approx(-3, abs=TOLERANCE)


def test_a_bias_is_not_taken_for_light(seen: Callable[..., tuple[ViewPair, ...]]) -> None:
    later = {"taken_local": BEGAN + timedelta(hours=1), "exposure_s": Fraction(1, 60)}
    biased = later | {"bias_stops": 3.0, "exposure_mode": ExposureMode.APERTURE_PRIORITY}
    assert seen(FREE, FREE | biased) == ()
    assert seen(FREE, FREE | biased | {"exposure_mode": ExposureMode.MANUAL}) != ()


@pytest.mark.parametrize(
    "other",
    [
        {"viewpoint_id": "bend"},
        {"viewpoint_id": None},
        {"focal_35mm": 35.0},
        {"focal_35mm": None},
        {"taken_local": None},
        {"f_number": None},
        {"taken_local": BEGAN + timedelta(hours=5)},
    ],
)
def test_another_view_or_hour_or_an_unknown_setting_is_no_pair(
    seen: Callable[..., tuple[ViewPair, ...]], other: dict[str, Any]
) -> None:
    assert seen(FREE, SILK | other) == ()


def test_bearings_that_look_elsewhere_part_a_pair_and_north_is_no_seam(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    assert seen(FREE | {"direction_deg": 350.0}, SILK | {"direction_deg": 5.0})
    assert not seen(FREE | {"direction_deg": 350.0}, SILK | {"direction_deg": 60.0})


def test_filters_nobody_noted_are_worked_out_for_the_same_light_and_said_to_be(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    plain = FREE | {"exposure_s": Fraction(1, 60), "support": Support.TRIPOD}
    (match,) = seen(plain, plain | {"exposure_s": Fraction(15), "filters": None})
    assert match.contrast is Contrast.FILTERS
    assert match.compared.difference_stops is None
    assert light_change(match) is None
    assert unnoted_stops(match) == pytest.approx(10, abs=TOLERANCE)  # 1/64 s to 16 s
    (turned,) = seen(plain | {"exposure_s": Fraction(15), "filters": None}, plain)
    assert unnoted_stops(turned) == pytest.approx(10, abs=TOLERANCE)
    assert seen(plain, plain | {"filters": None}) == ()  # nothing says that there was a filter at all


def test_a_withheld_place_has_no_pairs(
    account: TripAccount, seen: Callable[..., tuple[ViewPair, ...]], changed: Callable[..., TripAccount]
) -> None:
    assert seen(FREE | {"viewpoint_id": "shelf"}, SILK | {"viewpoint_id": "shelf"}) == ()
    hidden = changed(account, "sites", "quarry", location_shown=Disclosure.WITHHELD)
    assert seen(FREE, SILK, sites=hidden.sites) == ()


def test_no_picture_stands_in_two_pairs_and_the_order_is_always_the_same(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    found = seen(FREE, SILK, FREE | {"iso": 800}, SILK | {"iso": 200})
    numbers = [n for match in found for n in (match.first.number, match.second.number)]
    assert len(numbers) == len(set(numbers)) == 4
    assert numbers[::2] == sorted(numbers[::2])
    assert found == seen(FREE, SILK, FREE | {"iso": 800}, SILK | {"iso": 200})


def test_of_a_bracket_only_the_middle_frame_was_meant_as_it_is(account: TripAccount, tmp_path: Path) -> None:
    original = picture(tmp_path / "view.jpg")
    given = {"viewpoint_id": "ledge", "focal_35mm": 24.0}
    times = (Fraction(1, 250), Fraction(1, 60), Fraction(1, 15))
    frames = [
        keeper(f"b{n}", original, **(given | FREE | {"exposure_s": time, "taken_local": BEGAN}))
        for n, time in enumerate(times)
    ]
    silk = keeper("silk", original, **(given | SILK | {"taken_local": BEGAN + timedelta(minutes=5)}))
    group = KeeperSet(
        **record("s"), trip_id="trip", kind=SetKind.BRACKET, keeper_ids=tuple(f.id for f in frames)
    )
    told = replace(account, keepers=(*frames, silk), sets=(group,))
    (match,) = matches(put_in_order(account_for(told, Audience.STUDENTS)))
    assert match.first.keeper.id == "b1"


def test_a_page_shows_the_pair_its_stops_in_one_line_and_words_for_what_was_assumed(
    account: TripAccount, build: Callable[..., BuiltReport], tmp_path: Path
) -> None:
    original = picture(tmp_path / "view.jpg")
    given = {"viewpoint_id": "ledge", "focal_35mm": 35.0, "taken_local": BEGAN}
    assumed = {"provenance": {"filters": Provenance.ASSUMED}}
    told = replace(
        account,
        keepers=(
            keeper("one", original, **(given | FREE)),
            keeper("two", original, **(given | SILK | assumed)),
        ),
        sets=(),
    )
    html = build(told, Audience.STUDENTS).index.read_text("utf-8")
    shown = html[html.index('id="pair-1"') :].split("</article>")[0]
    assert "Picture 1 to picture 2: aperture −2, time +10, ISO −2, filters −6: 0 stops." in shown
    assert '<bdi>two ND8</bdi> <span class="origin">assumed</span>' in shown
    assert "EV 12 at ISO 100" in shown  # f/5.6, 1/500 s, ISO 400: Av 5 + Tv 9 − 2
    assert "2 s is 6.1 stops slower than it; braced usually adds 1 to 3." in shown  # log2(2 × 35)
    assert math.log2(2 * 35) == pytest.approx(6.1, abs=0.05)
    assert "Quarry ledge: 1/500 s and 2 s" in shown
    assert "With and without filters, Quarry bridge" in shown
    for other in (Audience.CLIENT,):
        assert 'id="pair-1"' not in build(told, other, "client").index.read_text("utf-8")
