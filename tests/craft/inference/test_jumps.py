"""Filters inferred from jumps in exposure: when to speak, what to say, and when to be silent."""

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter
from logbook.craft.inference.costs import Moves
from logbook.craft.inference.explain import cheapest_ways
from logbook.craft.inference.frames import Frame
from logbook.craft.inference.jumps import infer_filters
from logbook.craft.inference.proposal import FilterInference
from logbook.craft.inference.sets import find_sets
from logbook.craft.inference.stacks import alphabet
from logbook.craft.inference.steps import chains, settings_ev100
from logbook.craft.met_light import light_here
from tests.examples import examples

PLAIN = Frame(
    key="",
    at_s=0.0,
    aperture=8.0,
    exposure_s=1 / 60,
    iso=100,
    bias_stops=0.0,
    metered=True,
    focal_mm=24.0,
    portrait=False,
    viewpoint="ledge",
    body="one",
)


def kit(*names: str) -> tuple[Filter, ...]:
    return tuple(parse_filter(name) for name in names)


def row(*lights: float, every_s: float = 60.0, **changes: object) -> list[Frame]:
    """Frames a minute apart, each with this EV100 as dialled."""
    return [
        replace(PLAIN, key=f"f{i}", at_s=every_s * i, ev100=light, **changes)  # type: ignore[arg-type]
        for i, light in enumerate(lights)
    ]


def inferred(frames: Sequence[Frame], *names: str) -> FilterInference:
    return infer_filters(frames, kit(*names), find_sets(frames))


def said(found: FilterInference) -> list[tuple[tuple[str, ...], list[tuple[str, ...]]]]:
    return [(one.keys, [e.filters for e in one.explanations]) for one in found.proposals]


def test_a_strong_filter_put_on_and_taken_off_is_proposed_for_its_run() -> None:
    found = inferred(row(12.0, 12.3, 2.0, 2.3, 12.0), "nd8", "nd1024")
    assert [one.keys for one in found.proposals] == [("f0", "f1"), ("f2", "f3"), ("f4",)]
    assert [one.explanations[0].filters for one in found.proposals] == [(), ("nd1024",), ()]
    assert found.asked == ()
    middle = found.proposals[1]
    assert middle.jump_stops == pytest.approx(10.3)
    assert middle.explanations[0].stops == 10
    assert middle.reason.startswith("10.3 stops less light than the frame before, 1 min apart: nd1024")


def test_ten_stops_are_one_strong_filter_or_two_that_add_up() -> None:
    found = inferred(row(12.0, 12.0, 2.0, 2.0), "nd16", "nd64", "nd1024")
    assert {("nd1024",), ("nd16", "nd64")} <= set(said(found)[1][1])
    costs = [one.cost for one in found.proposals[1].explanations]
    assert costs[0] == 0
    assert costs == sorted(costs)


def test_two_filters_of_one_name_make_a_stack_of_two() -> None:
    found = inferred(row(12.0, 12.0, 6.0, 6.0), "nd8", "nd8")
    assert said(found)[1][1][0] == ("nd8", "nd8")


def test_filters_worn_at_first_and_taken_off_are_seen_afterwards() -> None:
    found = inferred(row(2.0, 2.0, 12.0, 12.0), "nd1024")
    assert said(found) == [(("f0", "f1"), [("nd1024",)]), (("f2", "f3"), [()])]
    assert "than the frame after" in found.proposals[0].reason


def test_a_filter_worn_throughout_cannot_be_seen_and_the_result_says_so() -> None:
    found = inferred(row(2.0, 2.0, 2.3, 2.0), "nd1024")
    assert found.proposals == ()
    assert "stayed on throughout does not show" in found.notes[0]


def test_a_change_of_aperture_and_time_at_equal_exposure_is_silence() -> None:
    frames = row(12.0, 12.0, 12.0)
    frames[1] = replace(frames[1], aperture=16.0, exposure_s=1 / 15)
    assert inferred(frames, "nd8", "nd64").proposals == ()


@pytest.mark.parametrize("every_s", [120.0, 300.0, 600.0, 1200.0, 2400.0])
def test_dusk_falling_over_forty_minutes_is_silence(every_s: float) -> None:
    count = int(2400 / every_s) + 1
    dusk = [10.0 - 10.0 * i / (count - 1) for i in range(count)]
    assert inferred(row(*dusk, every_s=every_s), "nd8", "nd64", "nd1024").proposals == ()
    sinking = [
        replace(frame, sun_height_deg=1.0 - 7.0 * i / (count - 1))
        for i, frame in enumerate(row(*dusk, every_s=every_s))
    ]
    assert inferred(sinking, "nd8", "nd64", "nd1024").proposals == ()


def test_a_bracket_is_silence_with_or_without_bias_or_tag() -> None:
    shifts = (0.0, -3.0, 3.0)
    for metered, biased, every_s in product((True, False), (True, False), (1.0, 8.0)):
        if every_s > 4 and (metered or biased):
            continue  # nobody's camera brackets so slowly
        frames = [
            replace(frame, metered=metered, bias_stops=shift if biased else 0.0)
            for shift, frame in zip(shifts, row(*(12 - s for s in shifts), every_s=every_s), strict=True)
        ]
        around = [
            replace(PLAIN, key="before", at_s=-60, ev100=12.0),
            replace(PLAIN, key="after", at_s=90, ev100=12.0),
        ]
        assert inferred([*frames, *around], "nd8", "nd64").proposals == ()


@pytest.mark.parametrize("other", [{"focal_mm": 135.0}, {"direction_deg": 200.0}])
def test_a_jump_between_two_framings_is_asserted_of_neither(other: dict[str, float]) -> None:
    frames = [replace(frame, direction_deg=20.0) for frame in row(13.0, 13.0, 9.0, 9.0)]
    frames[2:] = [replace(frame, **other) for frame in frames[2:]]  # type: ignore[arg-type]
    assert inferred(frames, "nd8", "nd16").asserted == ()


def test_another_viewpoint_or_body_or_a_long_pause_is_silence() -> None:
    for change in ({"viewpoint": "rim"}, {"body": "two"}, {"at_s": 9000.0}):
        frames = row(12.0, 2.0)
        frames[1] = replace(frames[1], **change)
        assert inferred(frames, "nd1024").proposals == ()


def test_a_polariser_is_silence_and_so_are_graduated_clear_and_unknown_filters() -> None:
    found = inferred(row(12.0, 12.0, 10.3, 10.3), "pol", "gnd8", "uv", "mystery")
    assert found.proposals == ()
    assert "Never inferred, because exposures do not show them: gnd8, mystery, uv." in found.notes
    deep = inferred(row(12.0, 12.0, 2.0, 2.0), "gnd1024", "uv")
    assert deep.proposals == ()


def test_a_jump_that_no_packed_filter_explains_is_silence() -> None:
    assert inferred(row(12.0, 12.0, 2.0, 2.0), "nd8").proposals == ()


def test_a_bias_of_a_metered_frame_is_no_filter() -> None:
    frames = row(12.0, 9.0, 12.0)
    frames[1] = replace(frames[1], bias_stops=3.0)
    assert inferred(frames, "nd8").proposals == ()
    by_hand = [replace(frame, metered=False) for frame in frames]
    assert settings_ev100(by_hand[1]) == 9.0


def test_nobody_changes_a_filter_within_seconds() -> None:
    assert inferred(row(12.0, 6.0, every_s=2.0), "nd64").proposals == ()
    assert inferred(row(12.0, 6.0, every_s=30.0), "nd64").proposals != ()


def test_a_scene_brighter_than_sunlit_snow_is_no_explanation() -> None:
    found = inferred(row(15.0, 15.0, 9.0, 9.0), "nd64", "nd8", "nd512")
    assert said(found)[0][1] == [()]
    assert said(found)[1][1][0] == ("nd64",)
    assert not any("nd512" in way for _, ways in said(found) for way in ways)


def test_stated_filters_anchor_their_neighbours_and_get_no_proposal() -> None:
    frames = row(9.0, 9.0, 3.0, 3.0)
    frames[0] = replace(frames[0], known_filters=("nd8",))
    found = inferred(frames, "nd8", "nd64")
    assert said(found)[0] == (("f1",), [("nd8",)])
    assert said(found)[1][1][0] == ("nd8", "nd64")


def test_a_stated_filter_that_nobody_packed_is_understood() -> None:
    frames = row(9.0, 9.0, 12.0, 12.0)
    frames[0] = replace(frames[0], known_filters=("nd8",))
    keys, explanations = said(inferred(frames, "nd64"))[-1]
    assert keys == ("f2", "f3")
    assert explanations[0] == ()


def test_stated_filters_that_contradict_the_light_raise_nothing() -> None:
    frames = row(12.0, 12.0, 2.0, 2.0)
    for known in (("nd1024",), (), ("mystery",), ("gnd8",), ("nd0",)):
        stated = [replace(frames[0], known_filters=known), replace(frames[1], known_filters=()), *frames[2:]]
        for proposal in inferred(stated, "nd1024").proposals:
            assert math.isfinite(proposal.margin_nats)
            assert set(proposal.keys) <= {"f2", "f3"}


def test_both_files_of_a_pair_are_in_the_proposal() -> None:
    frames = [
        replace(frame, key=frame.key + suffix, suffix=suffix, file_number=i, stem="frame")
        for i, frame in enumerate(row(12.0, 2.0))
        for suffix in (".raw", ".jpg")
    ]
    assert [len(one.keys) for one in inferred(frames, "nd1024").proposals] == [2, 2]


def test_a_variable_filter_explains_the_stops_it_was_turned_to() -> None:
    found = inferred(row(12.0, 12.0, 7.0, 7.0), "nd2-400")
    assert said(found)[1][1] == [("nd2-400",)]
    assert found.proposals[1].explanations[0].stops == pytest.approx(5.0)


def test_frames_that_tell_nothing_are_left_out_quietly() -> None:
    frames = [*row(12.0, 12.0, 2.0, 2.0), Frame("bare", 90.0), Frame("lone", 5e6, ev100=3.0)]
    assert all("bare" not in one.keys for one in inferred(frames, "nd1024").proposals)
    assert infer_filters([], kit("nd8")).proposals == ()
    assert infer_filters(frames, ()).proposals == ()


@pytest.mark.slow
@settings(max_examples=examples(0.3))
@given(
    st.lists(st.floats(-3, 15), min_size=2, max_size=5),
    st.sampled_from([("nd8", "nd64"), ("nd8", "pol", "nd8")]),
)
def test_the_cheapest_sequence_of_stacks_is_that_of_a_plain_enumeration(
    lights: list[float], names: tuple[str, ...]
) -> None:
    """Every sequence of stacks is written out; its cost is worked out here from the model's words."""
    frames = row(*lights)
    (steps,) = chains(frames, ())
    letters = alphabet(kit(*names))
    moves = Moves(letters)
    tables = [moves.costs(a, b)[0] for a, b in pairwise(steps)]
    own = [[1.4 * len(stack.parts) if i == 0 else 0.0 for stack in letters.stacks] for i in range(len(steps))]
    ways = cheapest_ways(own, tables)

    def stops(parts: frozenset[int], end: str) -> float:
        return math.fsum(getattr(letters.filters[part], end) for part in parts)

    def normal(off: float, variance: float) -> float:
        return math.exp(-(off**2) / (2 * variance)) / math.sqrt(2 * math.pi * variance)

    def cost(way: tuple[int, ...]) -> float:
        total = 1.4 * len(letters.stacks[way[0]].parts)
        for i, (a, b) in enumerate(pairwise(way)):
            first, second = letters.stacks[a], letters.stacks[b]
            off, on = first.parts - second.parts, second.parts - first.parts
            jump = lights[i + 1] - lights[i]
            low = jump + stops(on, "low_stops") - stops(off, "high_stops")
            high = jump + stops(on, "high_stops") - stops(off, "low_stops")
            scene = lights[i] + (first.low + first.high) / 2
            minutes = 1.0
            pace = 0.03 + min(1, max(0, round((14 - scene) / 4 * 2) / 2)) * 0.27
            variance = 2 / 9 + 0.3**2 + 0.5**2 * (1 - math.exp(-minutes / 10)) + (minutes * pace) ** 2
            off_mark = math.fsum((0.04 * stops(frozenset((part,)), "high_stops")) ** 2 for part in off | on)
            wide = variance + round(math.sqrt(off_mark), 1) ** 2
            excess = max(0, low, -high)
            density = 0.93 * normal(excess, wide) + 0.07 * normal(excess, wide + 1.2**2) + 0.003 / 20
            total += math.log(normal(0, variance) / density)
            total += (1.6 + 1.0 * len(off | on)) if off | on else 0.0
        return total

    every = [cost(way) for way in product(range(len(letters.stacks)), repeat=len(steps))]
    assert ways.best == pytest.approx(min(every))


def asked(found: FilterInference) -> list[tuple[str, str]]:
    return [(one.keys[0], one.question(one.keys[0])) for one in found.asked]


def test_three_stops_set_by_hand_are_asked_about_with_both_answers() -> None:
    found = inferred(row(12.0, 12.0, 9.3, 9.3, metered=False, sun_height_deg=20.0), "nd8")
    assert found.asserted == ()
    assert asked(found) == [("f2", "Was nd8 on from f2, or has the light fallen?")]
    (question,) = found.asked
    assert question.keys == ("f2", "f3")
    assert [one.filters for one in question.explanations] == [("nd8",), ()]
    assert question.reason == (
        "2.7 stops less light than the frame before, 1 min apart: nd8 on, or the light has fallen"
    )


def test_a_filter_that_may_have_come_off_is_asked_about() -> None:
    found = inferred(row(9.3, 9.3, 12.0, 12.0, metered=False, sun_height_deg=12.0), "nd8")
    assert asked(found) == [("f2", "Was nd8 off from f2, or has the light risen?")]


def test_a_small_jump_by_day_is_asked_about_only_where_filters_were_used() -> None:
    """2.2 stops under a high sun are a turn or a cloud, unless the day shows filters elsewhere."""
    small = row(12.0, 12.0, 9.8, 9.8, metered=False, sun_height_deg=20.0)
    assert asked(inferred(small, "nd8")) == []
    elsewhere = replace(small[0], key="said", at_s=small[0].at_s - 7200.0, viewpoint="quay")
    worn = replace(elsewhere, known_filters=("nd8",))
    assert asked(inferred([elsewhere, *small], "nd8")) == []
    assert asked(inferred([worn, *small], "nd8")) == [("f2", "Was nd8 on from f2, or has the light fallen?")]
    away = [replace(f, key=f"a{f.key}", at_s=f.at_s - 7200.0, viewpoint="quay") for f in small]
    likely = [replace(f, ev100=f.ev100 and (f.ev100 if f.ev100 > 11.0 else 5.8)) for f in away]
    assert ("f2", "Was nd8 on from f2, or has the light fallen?") in asked(
        inferred([*likely, *small], "nd8", "nd64")
    )


def test_a_small_jump_at_dusk_is_asked_about() -> None:
    small = row(12.0, 12.0, 9.8, 9.8, metered=False)
    for height_deg in (None, 2.0):
        frames = [replace(frame, sun_height_deg=height_deg) for frame in small]
        assert [key for key, _ in asked(inferred(frames, "nd8"))] == ["f2"]


def test_an_answer_settles_a_question() -> None:
    frames = row(12.0, 12.0, 9.3, 9.3, metered=False, sun_height_deg=20.0)
    for before, after in (((), ("nd8",)), ((), ())):
        answered = [
            replace(frame, known_filters=before if place < 2 else after) for place, frame in enumerate(frames)
        ]
        assert inferred(answered, "nd8").proposals == ()


def test_steady_light_raises_no_question() -> None:
    for metered in (True, False):
        frames = row(12.0, 12.3, 11.7, 12.7, 12.0, 11.3, metered=metered, sun_height_deg=40.0)
        assert inferred(frames, "nd8", "nd64", "pol").proposals == ()


def test_what_the_camera_metered_decides_where_the_settings_cannot() -> None:
    """A body that writes its reading met five stops less behind the filter, whatever was dialled."""
    dialled = row(12.0, 12.3, 8.7, 9.0, metered=False, sun_height_deg=20.0)
    read = [
        replace(frame, reading_ev100=light)
        for frame, light in zip(dialled, (12.1, 12.0, 7.1, 7.0), strict=True)
    ]
    assert inferred(dialled, "nd32").asserted == ()
    assert said(inferred(read, "nd32"))[1][1][0] == ("nd32",)


def test_readings_that_do_not_follow_the_settings_are_not_believed() -> None:
    frames = row(12.0, 12.0, 12.0, 12.0, 12.0, 12.0, sun_height_deg=20.0)
    odd = (3.0, 12.0, 7.0, 16.0, 1.0, 9.0)
    read = [replace(frame, reading_ev100=light) for frame, light in zip(frames, odd, strict=True)]
    assert inferred(read, "nd8", "nd64").proposals == ()


def test_a_picture_that_came_out_dark_was_set_dark_and_not_behind_a_filter() -> None:
    """Three stops less exposure, and the picture shows it: nobody put a filter on."""
    frames = row(12.0, 12.0, 15.0, 12.0, metered=False, sun_height_deg=20.0)
    assert inferred(frames, "nd8").proposals != ()
    shown = [
        replace(frame, picture_stops=dark) for frame, dark in zip(frames, (0.3, 0.2, -2.7, 0.3), strict=True)
    ]
    assert inferred(shown, "nd8").proposals == ()


def test_light_that_an_eclipse_takes_in_a_minute_is_no_filter() -> None:
    """Ten stops that go and come back between frames of one framing, with and without the eclipse known."""
    lights = (14.5, 14.5, 4.5, 4.5, 14.5, 14.5)
    plain = row(*lights, sun_height_deg=60.0)
    covered = (0.0, 0.0, 0.99905, 0.99905, 0.0, 0.0)
    known = [
        replace(frame, expected=light_here((), 0.0, 90.0, 60.0, sun_covered=share)[0])
        for frame, share in zip(plain, covered, strict=True)
    ]
    assert said(inferred(plain, "nd1000"))
    assert not said(inferred(known, "nd1000"))
