import random
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.craft.matching import COVERED, LEAST_SCORE, MatchKind, ShotMatch, least_cost, match_keepers
from logbook.craft.traits import KeeperTraits, ShotTraits, voices
from tests.examples import examples

DUSK = datetime(2031, 10, 14, 16, 0, tzinfo=UTC)
BRIDGE = ShotTraits(
    key="bridge-flow",
    viewpoint="ledge",
    opens=DUSK,
    closes=DUSK + timedelta(hours=1),
    bearing_deg=300,
    focal_mm=24,
    exposure_s=30,
    filters=("nd1000",),
    support="tripod",
)
ARCH = replace(BRIDGE, key="arch-detail", focal_mm=135, exposure_s=1 / 125, filters=())
KEEPER = KeeperTraits(
    key="0412",
    viewpoint="ledge",
    at=DUSK + timedelta(minutes=20),
    bearing_deg=304,
    focal_mm=24,
    exposure_s=25,
)


def pairs(matches: tuple[ShotMatch, ...]) -> list[tuple[str, str, MatchKind]]:
    return [(match.keeper, match.shot, match.kind) for match in matches]


def test_a_keeper_goes_to_the_shot_it_resembles_with_the_reason_in_one_line() -> None:
    (match,) = match_keepers([KEEPER], [ARCH, BRIDGE])
    assert (match.shot, match.kind, match.rivals) == ("bridge-flow", MatchKind.SHOT, ())
    assert match.reason == (
        "at the planned viewpoint, at the planned time, bearing 4° off, 24 mm (planned 24 mm), "
        "about the same shutter speed"
    )


def test_what_speaks_against_is_said_too() -> None:
    (match,) = match_keepers([replace(KEEPER, support="braced", filters=())], [BRIDGE])
    assert match.reason.endswith("about the same shutter speed; but without filters, braced")


def test_many_keepers_may_serve_one_shot() -> None:
    matches = match_keepers([KEEPER, replace(KEEPER, key="0413")], [BRIDGE])
    assert [match.keeper for match in matches] == ["0412", "0413"]
    assert {match.shot for match in matches} == {"bridge-flow"}


def test_the_place_alone_is_too_thin() -> None:
    assert match_keepers([KeeperTraits(key="k", viewpoint="ledge")], [BRIDGE]) == ()
    assert match_keepers([KeeperTraits(key="k")], [BRIDGE]) == ()


def test_nothing_is_proposed_without_shots_or_keepers() -> None:
    assert match_keepers([KEEPER], []) == ()
    assert match_keepers([], [BRIDGE]) == ()


def test_another_day_and_another_view_is_no_match() -> None:
    assert match_keepers([replace(KEEPER, at=DUSK + timedelta(days=3), bearing_deg=90)], [BRIDGE]) == ()


def test_a_keeper_from_elsewhere_is_a_replacement_and_never_the_shot() -> None:
    (match,) = match_keepers([replace(KEEPER, viewpoint="rail")], [BRIDGE])
    assert match.kind is MatchKind.REPLACEMENT
    assert (
        match.reason
        == "made from rail instead, at the planned time, 24 mm (planned 24 mm), about the same shutter speed"
    )


def test_a_shot_with_its_own_keeper_needs_no_replacement() -> None:
    matches = match_keepers([KEEPER, replace(KEEPER, key="0500", viewpoint="rail")], [BRIDGE])
    assert pairs(matches) == [("0412", "bridge-flow", MatchKind.SHOT)]


def test_a_keeper_from_elsewhere_at_another_time_replaces_nothing() -> None:
    elsewhere = replace(
        KEEPER, viewpoint="rail", at=DUSK - timedelta(hours=8), filters=("nd1000",), support="tripod"
    )
    assert match_keepers([elsewhere], [BRIDGE]) == ()


def test_a_set_goes_together_and_its_best_exposed_frame_speaks() -> None:
    bracket = [replace(KEEPER, key=f"{n}", set_key="b", exposure_s=s) for n, s in enumerate((1 / 8, 2, 30))]
    loose = replace(KEEPER, key="9", exposure_s=1 / 500, focal_mm=135)
    matches = match_keepers([*bracket, loose], [BRIDGE, ARCH])
    assert [match.shot for match in matches] == ["bridge-flow"] * 3 + ["arch-detail"]
    assert matches[0].reason.endswith("about the same shutter speed; a set of 3")


def test_a_set_with_one_member_made_elsewhere_is_not_the_shot() -> None:
    matches = match_keepers(
        [replace(KEEPER, set_key="b"), replace(KEEPER, key="0413", set_key="b", viewpoint="rail")], [BRIDGE]
    )
    assert {match.kind for match in matches} == {MatchKind.REPLACEMENT}


def test_two_shots_that_fit_alike_share_two_keepers_and_name_each_other() -> None:
    twin = replace(BRIDGE, key="bridge-again")
    matches = match_keepers([KEEPER, replace(KEEPER, key="0413")], [BRIDGE, twin])
    assert sorted(match.shot for match in matches) == ["bridge-again", "bridge-flow"]
    assert all(match.rivals for match in matches)
    assert "fits nearly as well" in matches[0].reason


def test_a_contested_keeper_goes_where_the_whole_costs_least() -> None:
    """Both keepers fit the first shot best; only the second one fits the other shot nearly as well."""
    wide, wider = replace(BRIDGE, key="wide", focal_mm=24), replace(BRIDGE, key="wider", focal_mm=20)
    at_24, at_23 = replace(KEEPER, key="24", focal_mm=26), replace(KEEPER, key="23", focal_mm=22.5)
    assert pairs(match_keepers([at_24, at_23], [wide, wider])) == [
        ("24", "wide", MatchKind.SHOT),
        ("23", "wider", MatchKind.SHOT),
    ]


def total(matches: tuple[ShotMatch, ...]) -> float:
    """The score of an outcome of keepers on their own, as the docstring of `match_keepers` defines it."""
    own = [match for match in matches if match.kind is MatchKind.SHOT]
    return -sum(match.cost for match in own) + COVERED * len({match.shot for match in own})


def brute_force(keepers: list[KeeperTraits], shots: list[ShotTraits]) -> float:
    """The best total over every way to give each keeper one shot or none."""

    def score(keeper: KeeperTraits, shot: ShotTraits) -> float | None:
        said = voices(keeper, shot)
        added = sum(voice.score for voice in said)
        return None if added < LEAST_SCORE or any(voice.elsewhere for voice in said) else added

    scores = [[score(keeper, shot) for shot in shots] for keeper in keepers]
    best = 0.0
    for choice in product((None, *range(len(shots))), repeat=len(keepers)):
        added = [scores[k][s] for k, s in enumerate(choice) if s is not None]
        if None not in added:
            covered = len({s for s in choice if s is not None})
            best = max(best, sum(a for a in added if a is not None) + COVERED * covered)
    return best


PLACES, MINUTES = st.sampled_from([None, "ledge", "rail"]), st.none() | st.integers(-90, 150)
KEEPERS = st.builds(
    lambda place, minute, focal, bearing: KeeperTraits(
        key="k",
        viewpoint=place,
        at=None if minute is None else DUSK + timedelta(minutes=minute),
        focal_mm=focal,
        bearing_deg=bearing,
    ),
    PLACES,
    MINUTES,
    st.none() | st.sampled_from([20, 22, 24, 28, 35, 135]),
    st.none() | st.floats(270, 330),
)
SHOTS = st.builds(
    lambda place, minute, focal, bearing: ShotTraits(
        key="s",
        viewpoint=place,
        opens=None if minute is None else DUSK + timedelta(minutes=minute),
        closes=None if minute is None else DUSK + timedelta(minutes=minute + 60),
        focal_mm=focal,
        bearing_deg=bearing,
    ),
    PLACES,
    MINUTES,
    st.none() | st.sampled_from([20, 24, 28, 135]),
    st.none() | st.floats(270, 330),
)


@pytest.mark.slow
@settings(max_examples=examples(3))
@given(st.lists(KEEPERS, max_size=5), st.lists(SHOTS, max_size=4))
def test_the_assignment_is_the_best_of_all(keepers: list[KeeperTraits], shots: list[ShotTraits]) -> None:
    named = [replace(keeper, key=f"k{i}") for i, keeper in enumerate(keepers)]
    planned = [replace(shot, key=f"s{i}") for i, shot in enumerate(shots)]
    assert total(match_keepers(named, planned)) == pytest.approx(brute_force(named, planned))


@settings(deadline=None)
@given(st.integers(1, 5), st.integers(0, 2), st.randoms(use_true_random=False))
def test_the_least_cost_is_the_least_of_all_permutations(rows: int, spare: int, rng: random.Random) -> None:
    costs = [[rng.choice([rng.uniform(-1, 1), 0.0]) for _ in range(rows + spare)] for _ in range(rows)]
    found = least_cost(costs)
    assert len(set(found)) == rows
    least = min(
        sum(costs[r][c] for r, c in enumerate(columns)) for columns in permutations(range(rows + spare), rows)
    )
    assert sum(costs[r][c] for r, c in enumerate(found)) == pytest.approx(least)


@pytest.mark.slow
def test_a_thousand_keepers_take_no_long_time() -> None:
    rng = random.Random(5)
    shots = [replace(BRIDGE, key=f"s{n}", focal_mm=rng.choice([20, 24, 28, 35])) for n in range(40)]
    keepers = [replace(KEEPER, key=f"k{n}", focal_mm=rng.uniform(18, 40)) for n in range(1000)]
    begun = time.process_time()
    matches = match_keepers(keepers, shots)
    assert time.process_time() - begun < 10  # about 1 s here; the bound only catches worse growth
    assert len(matches) == 1000
    assert len({match.shot for match in matches}) == 40
