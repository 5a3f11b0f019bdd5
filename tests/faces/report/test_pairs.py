"""Pairs: two pictures of one view in which one thing differs, and what the page says to look at.

What one thing is, is tested with the arithmetic (`tests/craft/test_one_change.py`); here it is which pictures
come together, how many, and the words.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from fractions import Fraction
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from logbook.craft.one_change import Decision
from logbook.domain.account import TripAccount
from logbook.domain.camera import ExposureMode
from logbook.domain.condition import Condition
from logbook.domain.discretion import account_for
from logbook.domain.keeper import KeeperSet
from logbook.domain.visit import Visit
from logbook.domain.words import Audience, ConditionKind, Disclosure, Provenance, SetKind, Support
from logbook.faces.report import BuiltReport
from logbook.faces.report.order import put_in_order
from logbook.faces.report.pairs import ViewPair, matches
from tests.faces.report.conftest import keeper, picture, record

BEGAN = datetime(2031, 10, 14, 16, 0)  # noqa: DTZ001 - the place's wall time is naive


@pytest.fixture
def seen(account: TripAccount, tmp_path: Path) -> Callable[..., tuple[ViewPair, ...]]:
    """Match pictures of one viewpoint, a minute apart where nothing else is said."""
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


FAST: dict[str, Any] = {
    "exposure_s": Fraction(1, 500),
    "f_number": 8.0,
    "iso": 1600,
    "filters": (),
    "support": Support.HANDHELD,
}
SLOW: dict[str, Any] = FAST | {  # 8 stops longer; ISO and filter make up for it, and a tripod goes with it
    "exposure_s": Fraction(1, 2),
    "iso": 800,
    "filters": ("nd128",),
    "support": Support.TRIPOD,
}
WIDE: dict[str, Any] = FAST | {"f_number": 2.8, "exposure_s": Fraction(1, 4000)}
EVERYTHING: dict[str, Any] = {  # aperture, time, ISO and filter: they cancel out, and it is no pair
    "exposure_s": Fraction(4),
    "f_number": 11.0,
    "iso": 100,
    "filters": ("nd64",),
    "support": Support.TRIPOD,
}
LATER: dict[str, Any] = {"taken_local": BEGAN + timedelta(hours=2)}


def decisions(found: tuple[ViewPair, ...]) -> list[Decision]:
    return [match.decision for match in found]


@pytest.mark.parametrize(
    ("second", "decision"),
    [
        (SLOW, Decision.TIME),
        (WIDE, Decision.APERTURE),
        (FAST | {"exposure_s": Fraction(1, 160), "filters": ("pol",)}, Decision.FILTER),
        (FAST | {"filters": ("gnd8",)}, Decision.FILTER),
        (FAST | {"iso": 6400}, Decision.ISO),
        (FAST | {"support": Support.TRIPOD}, Decision.SUPPORT),
        (FAST | {"exposure_s": Fraction(1, 60)} | LATER, Decision.LIGHT),
    ],
)
def test_one_thing_that_differs_makes_a_pair_of_that_kind(
    seen: Callable[..., tuple[ViewPair, ...]], second: dict[str, Any], decision: Decision
) -> None:
    assert decisions(seen(FAST, second)) == [decision]
    assert decisions(seen(second | {"taken_local": BEGAN}, FAST | second_time(second))) == [decision]


def second_time(second: dict[str, Any]) -> dict[str, Any]:
    return {"taken_local": second["taken_local"]} if "taken_local" in second else {}


@pytest.mark.parametrize(
    "second",
    [
        EVERYTHING,
        FAST | {"f_number": 11.0, "exposure_s": Fraction(1, 60)},  # aperture and exposure
        FAST | {"f_number": 11.0, "filters": ("gnd8",)},
        FAST | {"f_number": 11.0} | LATER,  # aperture and light
        FAST | {"filters": ("gnd8",)} | LATER,
        SLOW | {"filters": None},  # unknown is not none
        FAST | {"filters": None},
        SLOW | {"support": Support.HANDHELD} | {"taken_local": BEGAN + timedelta(hours=3)},
        FAST | {"support": None},
        FAST | {"support": Support.UNKNOWN},
        FAST,
        FAST | {"exposure_s": Fraction(1, 640)},  # a third of a stop
        FAST | {"iso": 2500},  # less than a class can see
    ],
)
def test_two_things_or_none_make_no_pair(
    seen: Callable[..., tuple[ViewPair, ...]], second: dict[str, Any]
) -> None:
    assert seen(FAST, second) == ()


def test_settings_that_do_not_balance_are_the_light_once_time_has_passed(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    darker = FAST | {"exposure_s": Fraction(1, 60)}

    def after(minutes: int) -> list[Decision]:
        return decisions(seen(FAST, darker | {"taken_local": BEGAN + timedelta(minutes=minutes)}))

    assert after(4) == [Decision.TIME]
    assert after(20) == []  # a choice, or the light? Nobody can tell
    assert after(31) == [Decision.LIGHT]


def test_a_camera_that_metered_tells_light_from_choice_at_once(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    auto = FAST | {"exposure_mode": ExposureMode.APERTURE_PRIORITY}
    slower = auto | {"exposure_s": Fraction(1, 60)}
    assert decisions(seen(auto, slower)) == [Decision.LIGHT]
    assert decisions(seen(auto, slower | {"bias_stops": 3.0})) == [Decision.TIME]
    assert seen(auto, slower | {"bias_stops": 3.0} | LATER) == ()  # a bias would be a second decision


def test_exposures_that_balance_an_hour_apart_were_made_in_the_same_light(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    def after(minutes: int) -> list[Decision]:
        return decisions(seen(FAST, SLOW | {"taken_local": BEGAN + timedelta(minutes=minutes)}))

    assert after(59) == [Decision.TIME]
    assert after(61) == []


@pytest.mark.parametrize(
    "other",
    [
        {"viewpoint_id": "bend"},
        {"viewpoint_id": None},
        {"focal_35mm": 27.0},
        {"focal_35mm": None},
        {"taken_local": None},
        {"f_number": None},
    ],
)
def test_another_view_or_an_unknown_setting_is_no_pair(
    seen: Callable[..., tuple[ViewPair, ...]], other: dict[str, Any]
) -> None:
    assert seen(FAST, SLOW)
    assert seen(FAST, SLOW | other) == ()


def test_a_shot_joins_pictures_of_which_nobody_said_the_viewpoint(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    nowhere = {"viewpoint_id": None, "shot_id": "silk"}
    assert decisions(seen(FAST | nowhere, SLOW | nowhere)) == [Decision.TIME]


def test_a_tenth_of_the_focal_length_is_the_same_framing(seen: Callable[..., tuple[ViewPair, ...]]) -> None:
    assert seen(FAST, SLOW | {"focal_35mm": 26.4})
    assert not seen(FAST, SLOW | {"focal_35mm": 26.5})


def test_bearings_that_look_elsewhere_part_a_pair_and_north_is_no_seam(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    assert seen(FAST | {"direction_deg": 350.0}, SLOW | {"direction_deg": 5.0})
    assert not seen(FAST | {"direction_deg": 350.0}, SLOW | {"direction_deg": 60.0})


def test_a_withheld_place_has_no_pairs(
    account: TripAccount, seen: Callable[..., tuple[ViewPair, ...]], changed: Callable[..., TripAccount]
) -> None:
    assert seen(FAST | {"viewpoint_id": "shelf"}, SLOW | {"viewpoint_id": "shelf"}) == ()
    hidden = changed(account, "sites", "quarry", location_shown=Disclosure.WITHHELD)
    assert seen(FAST, SLOW, sites=hidden.sites) == ()
    nowhere = {"viewpoint_id": None, "shot_id": "silk"}
    assert seen(FAST | nowhere, SLOW | nowhere, sites=hidden.sites) == ()


def test_no_picture_stands_in_two_pairs_and_of_a_kind_there_is_one_at_a_place(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    many = (FAST, SLOW, FAST, WIDE, FAST, FAST | {"iso": 6400}, SLOW, WIDE)
    found = seen(*many)
    numbers = [n for match in found for n in (match.first.number, match.second.number)]
    assert len(numbers) == len(set(numbers)) == 6
    kinds = decisions(found)
    assert len(kinds) == len(set(kinds))
    assert numbers[::2] == sorted(numbers[::2])
    assert found == seen(*many)


def test_what_nobody_guessed_and_what_differs_more_goes_before(
    seen: Callable[..., tuple[ViewPair, ...]],
) -> None:
    less = SLOW | {"exposure_s": Fraction(1, 4), "filters": ("nd64",)}
    (match,) = seen(FAST, less, SLOW)
    assert match.second.number == 3
    guessed = SLOW | {"provenance": {"filters": Provenance.ASSUMED}}
    (match,) = seen(FAST, less, guessed)
    assert match.second.number == 2


def test_of_a_bracket_only_the_middle_frame_was_meant_as_it_is(account: TripAccount, tmp_path: Path) -> None:
    original = picture(tmp_path / "view.jpg")
    given = {"viewpoint_id": "ledge", "focal_35mm": 24.0}
    times = (Fraction(1, 2000), Fraction(1, 500), Fraction(1, 125))
    frames = [
        keeper(f"b{n}", original, **(given | FAST | {"exposure_s": time, "taken_local": BEGAN}))
        for n, time in enumerate(times)
    ]
    slow = keeper("slow", original, **(given | SLOW | {"taken_local": BEGAN + timedelta(minutes=5)}))
    group = KeeperSet(
        **record("s"), trip_id="trip", kind=SetKind.BRACKET, keeper_ids=tuple(f.id for f in frames)
    )
    told = replace(account, keepers=(*frames, slow), sets=(group,))
    (match,) = matches(put_in_order(account_for(told, Audience.STUDENTS)))
    assert match.first.keeper.id == "b1"


@pytest.fixture
def shown(account: TripAccount, build: Callable[..., BuiltReport], tmp_path: Path) -> Callable[..., str]:
    """The first pair of a page, without its tags."""
    original = picture(tmp_path / "view.jpg")

    def made(*settings: dict[str, Any], **trip: Any) -> str:
        given = {"viewpoint_id": "ledge", "focal_35mm": 24.0, "trip_id": "trip"}
        keepers = tuple(
            keeper(f"k{n}", original, **(given | {"taken_local": BEGAN + timedelta(minutes=n)} | one))
            for n, one in enumerate(settings)
        )
        told = replace(account, keepers=keepers, sets=(), **trip)
        html = build(told, Audience.STUDENTS).index.read_text("utf-8")
        pair = html[html.index('id="pair-1"') :].split("</article>")[0]
        return " ".join(unescape(re.sub("<[^>]+>", "", pair)).split())

    return made


@pytest.mark.parametrize(
    ("second", "words"),
    [
        (
            SLOW,
            (
                "Shutter speed: 1/500 s and 1/2 s",
                "1/500 s (picture 1) stops movement, 1/2 s (picture 2) blurs it.",
                "In picture 2 the shutter speed gives 8 stops; to make up for it, the ISO takes 1 stop and "
                "the filters take 7 stops: the exposure is the same.",
                "The lower ISO gives less noise in the shadows.",
                "Picture 1 to picture 2: aperture 0, shutter speed +8, ISO −1, filters −7: 0 stops.",
                "1/500 s is 4.4 stops faster",  # log2(512 / 24)
            ),
        ),
        (
            WIDE,
            (
                "Aperture: f/8 and f/2.8",
                "Look at the nearest and the farthest edges: f/8 (picture 1) keeps more of both sharp than "
                "f/2.8 (picture 2).",
                "In picture 2 the aperture gives 3 stops; to make up for it, the shutter speed takes 3 "
                "stops: "
                "the exposure is the same. The faster shutter speed blurs less of what moved.",
            ),
        ),
        (
            FAST | {"exposure_s": Fraction(1, 160), "filters": ("pol",)},
            (
                "Filter: no filter and polariser",
                "Look at reflections on water, wet stone and leaves",
                "only the polariser (picture 2) can change those",
                "the filters take 1.5 stops; to make up for it, the shutter speed gives 1.7 stops",
            ),
        ),
        (
            FAST | {"filters": ("gnd8",)},
            (
                "Filter: no filter and graduated ND8",
                "Look at the sky, and at what rises into it",
                "Every other setting is the same, and so is the exposure.",
            ),
        ),
        (
            FAST | {"filters": ("nd8",)},
            ("Look only at the brightness", "(picture 2)", "it is 3 stops darker too."),
        ),
        (
            FAST | {"iso": 6400},
            ("ISO: ISO 1600 and ISO 6400", "ISO 6400 (picture 2) shows more noise", "2 stops brighter too."),
        ),
        (FAST | {"support": Support.TRIPOD}, ("Support: handheld and tripod", "Every setting is the same.")),
        (
            FAST | {"exposure_s": Fraction(1, 60)} | LATER,
            (
                "Light: 16:00 and 18:00",
                "Look at the colours, at where the shadows fall and at how hard their edges are.",
                "If both came out equally bright, the light had fallen by 3 stops; in picture 2 the "
                "shutter speed "
                "gives 3 stops to follow it.",
            ),
        ),
    ],
)
def test_a_page_says_the_one_thing_what_to_look_at_and_the_stops(
    shown: Callable[..., str], second: dict[str, Any], words: tuple[str, ...]
) -> None:
    text = shown(FAST, second)
    for one in words:
        assert one in text
    assert "Quarry ledge, Quarry bridge" in text
    assert "Not stated" not in text


def test_what_was_assumed_or_inferred_is_said(shown: Callable[..., str]) -> None:
    guessed = {"filters": Provenance.ASSUMED, "support": Provenance.INFERRED}
    text = shown(FAST, SLOW | {"provenance": guessed})
    assert (
        "Not confirmed: the filters of picture 2 (assumed) and the support of picture 2 (inferred). The "
        "comparison holds only if that is right."
    ) in text
    assert "ND128 assumed" in text


@pytest.mark.slow
def test_what_moved_is_named_where_somebody_noted_it(
    account: TripAccount, shown: Callable[..., str], changed: Callable[..., TripAccount]
) -> None:
    noted = tuple(
        Condition(**record(f"c{n}"), slug=f"c{n}", trip_id="trip", viewpoint_id="ledge", kind=kind,
                  level=level, on_date=BEGAN.date())
        for n, (kind, level) in enumerate(
            ((ConditionKind.WATER, "high"), (ConditionKind.WIND, "1"), (ConditionKind.CROWD, "none"))
        )
    )  # fmt: skip
    visit = Visit(
        **record("there"), slug="there", trip_id="trip", viewpoint_id="ledge", on_date=BEGAN.date(),
        arrived_at=time(15, 0), departed_at=time(19, 0),
    )  # fmt: skip
    told = {"conditions": noted, "visits": (visit,)}
    assert "Look at the surface of the water: 1/500 s" in shown(FAST, SLOW, **told)
    assert "Look at whatever moved: 1/500 s" in shown(FAST, SLOW, **told | {"conditions": noted[1:]})


def test_the_sun_is_told_where_it_lit_a_view_otherwise(shown: Callable[..., str]) -> None:
    at = {"zone": "UTC", "taken_utc": datetime(2031, 10, 14, 9, 0, tzinfo=UTC)}
    later = at | {"taken_utc": datetime(2031, 10, 14, 12, 0, tzinfo=UTC)}
    text = shown(FAST | at, FAST | later)
    assert "The settings are the same: what differs came with the light." in text
    assert re.search(r"The sun was \d+° high.* \(picture 1\) and \d+° high.* \(picture 2\)\.", text)


@pytest.mark.slow
def test_a_compass_does_not_say_from_which_side_the_sun_came(shown: Callable[..., str]) -> None:
    """Where its north lies tens of degrees off, in the far north, it would turn left into right."""
    at = {"zone": "UTC", "taken_utc": datetime(2031, 10, 14, 9, 0, tzinfo=UTC), "direction_deg": 20.0}
    later = at | {"taken_utc": datetime(2031, 10, 14, 12, 0, tzinfo=UTC)}
    texts = []
    for by_compass in (False, True):
        north = {"direction_is_magnetic": by_compass}
        texts += re.findall(r"The sun was [^.]+\.", shown(FAST | at | north, FAST | later | north))
    true, magnetic = texts
    plain = {key: value for key, value in at.items() if key != "direction_deg"}
    (unknown,) = re.findall(
        r"The sun was [^.]+\.", shown(FAST | plain, FAST | plain | {"taken_utc": later["taken_utc"]})
    )
    assert magnetic == unknown != true


def test_only_students_see_pairs(account: TripAccount, build: Callable[..., BuiltReport]) -> None:
    assert 'id="pair-' not in build(account, Audience.CLIENT, "client").index.read_text("utf-8")
