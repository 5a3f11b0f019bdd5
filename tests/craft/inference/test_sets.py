"""Sets of frames: what belongs together, and what does not."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.craft.inference.frames import Frame, in_order
from logbook.craft.inference.sets import FoundKind, FrameSet, cut_apart, find_sets

PLAIN = Frame(
    key="a",
    at_s=1000.0,
    ev100=12.0,
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


def frames(*changes: Mapping[str, object]) -> list[Frame]:
    return [replace(PLAIN, key=f"f{i}", **change) for i, change in enumerate(changes)]  # type: ignore[arg-type]


def kinds(found: tuple[FrameSet, ...]) -> list[tuple[FoundKind, int]]:
    return [(one.kind, len(one.keys)) for one in found]


def test_distinct_biases_in_quick_order_are_a_bracket() -> None:
    found = find_sets(
        frames(
            {"at_s": 0.0},
            {"at_s": 1.0, "ev100": 14.0, "bias_stops": -2.0},
            {"at_s": 2.0, "ev100": 10.0, "bias_stops": 2.0},
        )
    )
    assert kinds(found) == [(FoundKind.BRACKET, 3)]
    assert (
        found[0].reason
        == "3 exposures in steps of 2 stops, 4 stops in all, at one aperture, each with its own bias"
    )


def test_a_tagged_bracket_needs_no_bias_and_two_in_a_row_stay_two() -> None:
    tagged = [
        {"at_s": float(i), "ev100": 12.0 + shift, "auto_bracket": True, "metered": False}
        for i, shift in enumerate((0, -2, 2, 0, -2, 2))
    ]
    assert kinds(find_sets(frames(*tagged))) == [(FoundKind.BRACKET, 3), (FoundKind.BRACKET, 3)]


def test_a_bracket_dialled_by_hand_is_known_by_its_even_steps() -> None:
    even = [{"at_s": 9.0 * i, "ev100": 12.0 - 2 * i, "metered": False} for i in range(3)]
    assert kinds(find_sets(frames(*even))) == [(FoundKind.BRACKET, 3)]
    uneven = [{"at_s": 9.0 * i, "ev100": ev, "metered": False} for i, ev in enumerate((12.0, 9.0, 2.0))]
    assert find_sets(frames(*uneven)) == ()


def test_step_and_span_of_a_bracket_are_both_said() -> None:
    for shifts, told in (
        ((0, -1, 1), "3 exposures in steps of 1 stop, 2 stops in all, at one aperture"),
        ((0, -2, -1, 1, 2), "5 exposures in steps of 1 stop, 4 stops in all, at one aperture"),
        ((0, -2 / 3, 2 / 3), "3 exposures in steps of 0.7 stops, 1.3 stops in all, at one aperture"),
        ((0, 2), "2 exposures, 2 stops apart at one aperture"),
        ((0, 1, 3), "3 exposures in steps of 1 to 2 stops, 3 stops in all, at one aperture"),
    ):
        tagged = [{"at_s": float(i), "ev100": 12.0 + s, "auto_bracket": True} for i, s in enumerate(shifts)]
        assert find_sets(frames(*tagged))[0].reason.startswith(told)


def test_a_bracket_that_no_tag_tells_of_is_known_by_its_evenness() -> None:
    """Steady aperture and ISO, one pace of time, one step of exposure, whether or not the mode is known."""

    def untagged(*shifts: float, pace_s: Sequence[float] = (), **changes: object) -> list[Frame]:
        at, plain = 0.0, {"bias_stops": None, "metered": None, **changes}
        found = []
        for place, shift in enumerate(shifts):
            exposure_s = 2.0**shift / 60
            found.append({"at_s": float(int(at)), "ev100": 12.0 - shift, "exposure_s": exposure_s, **plain})
            at += exposure_s + (pace_s[place] if pace_s else 0.6)
        return frames(*found)

    for shifts in ((0, -2, 2), (-1, 0, 1), (0, -4 / 3, 4 / 3), (-3, -2, -1, 0, 1, 2, 3)):
        for metered in (None, True):
            found = find_sets(untagged(*shifts, metered=metered))
            assert kinds(found) == [(FoundKind.BRACKET, len(shifts))], shifts
            assert "not tagged" in found[0].reason
    no_brackets = (
        untagged(0, -2, 1),  # uneven steps
        untagged(0, -1 / 3, 1 / 3),  # within what light and meter do
        untagged(0, -2, 2, pace_s=(0.5, 3.9, 0.5)),  # at no pace
        [replace(one, iso=iso) for one, iso in zip(untagged(0, -2, 2), (100, 100, 400), strict=True)],
    )
    for no_bracket in no_brackets:
        assert FoundKind.BRACKET not in {one.kind for one in find_sets(no_bracket)}


def test_another_aperture_framing_or_a_long_pause_is_no_bracket() -> None:
    first = {"at_s": 0.0}
    for change in (
        {"aperture": 11.0},
        {"focal_mm": 70.0},
        {"at_s": 60.0},
        {"viewpoint": "rim"},
        {"body": "two"},
    ):
        second = {"at_s": 1.0, "ev100": 14.0, "bias_stops": -2.0, **change}
        assert find_sets(frames(first, second)) == (), change


def test_turning_one_way_at_one_exposure_is_a_panorama() -> None:
    turning = [{"at_s": 8.0 * i, "direction_deg": (350.0 + 20 * i) % 360} for i in range(5)]
    found = find_sets(frames(*turning))
    assert kinds(found) == [(FoundKind.PANORAMA, 5)]
    assert "turning 80°" in found[0].reason
    back = [{"at_s": 8.0 * i, "direction_deg": bearing} for i, bearing in enumerate((10.0, 30.0, 10.0, 30.0))]
    assert find_sets(frames(*back)) == ()


def test_upright_frames_in_a_steady_rhythm_are_a_panorama_and_hasty_or_level_ones_are_not() -> None:
    steady = [{"at_s": 5.0 * i, "portrait": True} for i in range(6)]
    assert kinds(find_sets(frames(*steady))) == [(FoundKind.PANORAMA, 6)]
    level = [{"at_s": 5.0 * i} for i in range(6)]
    assert find_sets(frames(*level)) == ()
    uneven = [{"at_s": at, "portrait": True} for at in (0.0, 3.0, 14.0, 16.0, 29.0)]
    assert find_sets(frames(*uneven)) == ()
    timer = [{"at_s": 5.0 * i, "portrait": True} for i in range(90)]
    assert find_sets(frames(*timer)) == ()


def test_frames_without_pause_are_a_burst() -> None:
    assert kinds(find_sets(frames(*({"at_s": 0.3 * i} for i in range(8))))) == [(FoundKind.BURST, 8)]
    assert find_sets(frames({"at_s": 0.0}, {"at_s": 1.0})) == ()


def test_a_pair_is_one_frame_and_its_bracket_stays_a_bracket_of_three() -> None:
    files = []
    for i, shift in enumerate((0.0, -2.0, 2.0)):
        for suffix in (".raw", ".jpg"):
            files.append(
                replace(
                    PLAIN,
                    key=f"{i}{suffix}",
                    at_s=float(i),
                    ev100=12 - shift,
                    bias_stops=shift,
                    file_number=9 + i,
                    stem="frame",
                    suffix=suffix,
                )
            )
    found = find_sets(files)
    assert kinds(found) == [(FoundKind.PAIR, 2)] * 3 + [(FoundKind.BRACKET, 3)]
    assert found[0].reason == "one frame: .jpg + .raw"
    assert set(found[-1].keys) == {pair.keys[0] for pair in found[:3]}


def test_the_same_name_hours_later_or_with_the_same_suffix_is_no_pair() -> None:
    name = {"file_number": 9, "stem": "frame"}
    later = [{**name, "at_s": 0.0, "suffix": ".raw"}, {**name, "at_s": 9000.0, "suffix": ".jpg"}]
    assert find_sets(frames(*later)) == ()
    copies = [{**name, "at_s": 0.0, "suffix": ".jpg"}, {**name, "at_s": 0.0, "suffix": ".JPG"}]
    assert find_sets(frames(*copies)) == ()


@pytest.mark.slow
@given(
    st.lists(
        st.builds(
            Frame,
            key=st.uuids().map(str),
            at_s=st.floats(0, 600),
            ev100=st.none() | st.floats(-5, 16),
            aperture=st.none() | st.sampled_from((4.0, 8.0)),
            exposure_s=st.none() | st.floats(0.001, 30),
            bias_stops=st.none() | st.sampled_from((-1.0, 0.0, 1.0)),
            metered=st.none() | st.booleans(),
            portrait=st.none() | st.booleans(),
            direction_deg=st.none() | st.floats(0, 359),
            auto_bracket=st.none() | st.booleans(),
            file_number=st.none() | st.integers(1, 5),
            suffix=st.none() | st.sampled_from((".raw", ".jpg")),
        ),
        max_size=25,
        unique_by=lambda frame: frame.key,
    )
)
def test_no_frame_is_in_two_sets_and_sets_keep_the_order_of_time(given_frames: list[Frame]) -> None:
    found = find_sets(given_frames)
    order = {frame.key: place for place, frame in enumerate(in_order(given_frames))}
    for pairs in (True, False):
        keys = [key for one in found if (one.kind is FoundKind.PAIR) is pairs for key in one.keys]
        assert len(keys) == len(set(keys))
    for one in found:
        assert len(one.keys) >= 2
        assert list(one.keys) == sorted(one.keys, key=order.__getitem__)


def burst(count: int) -> list[Frame]:
    return frames(*({"at_s": float(i), "exposure_s": 1 / 1000} for i in range(count)))


def said(kind: FoundKind, *keys: str) -> FrameSet:
    return FrameSet(kind, keys, "stated by a person", stated=True)


def test_a_stated_set_stands_and_its_frames_are_found_in_no_other() -> None:
    found = find_sets(burst(8), [said(FoundKind.PANORAMA, "f4", "f3")])
    assert [(one.kind, one.keys) for one in found] == [
        (FoundKind.BURST, ("f0", "f1", "f2")),
        (FoundKind.PANORAMA, ("f3", "f4")),
        (FoundKind.BURST, ("f5", "f6", "f7")),
    ]
    assert [one.stated for one in found] == [False, True, False]


def test_a_stated_set_joins_what_nobody_would_find() -> None:
    far = frames({"at_s": 0.0}, {"at_s": 900.0, "aperture": 11.0}, {"at_s": 1800.0})
    assert find_sets(far) == ()
    assert [one.keys for one in find_sets(far, [said(FoundKind.BRACKET, "f0", "f1", "gone")])] == [
        ("f0", "f1")
    ]
    assert find_sets(far, [said(FoundKind.BRACKET, "f0", "gone")]) == ()  # one frame here is no set


def test_frames_that_are_apart_are_in_no_set_together() -> None:
    assert kinds(find_sets(burst(6))) == [(FoundKind.BURST, 6)]
    cut = find_sets(burst(6), apart=[("f2", "f3")])
    assert [one.keys for one in cut] == [("f0", "f1", "f2"), ("f3", "f4", "f5")]
    assert find_sets(burst(6), apart=[tuple(f"f{i}" for i in range(6))]) == ()


def test_a_pair_stays_one_frame_in_sets_that_a_person_joined_or_took_apart() -> None:
    names = [{"at_s": float(i), "stem": "T_", "file_number": i} for i in range(3)]
    both = frames(*({**one, "suffix": suffix} for one in names for suffix in (".jpg", ".raf")))
    every = tuple(frame.key for frame in both)
    joined = find_sets(both, [said(FoundKind.BURST, *every)])
    assert kinds(joined) == [(FoundKind.PAIR, 2)] * 3 + [(FoundKind.BURST, 3)]
    assert kinds(find_sets(both, apart=[every])) == [(FoundKind.PAIR, 2)] * 3
    assert kinds(find_sets(both, apart=[("f0", "f1")]))[:2] == [(FoundKind.PAIR, 2)] * 2  # that pair is none


def test_cutting_puts_no_two_that_are_apart_in_one_piece() -> None:
    assert cut_apart("abcdef", ["bd", "ef"]) == [("a", "b", "c"), ("d", "e"), ("f",)]
    assert cut_apart("", ["ab"]) == []


@given(
    st.lists(st.sets(st.integers(0, 11), min_size=1, max_size=4), max_size=4),
    st.lists(st.sets(st.integers(0, 11), min_size=1, max_size=5), max_size=4),
)
def test_no_frame_is_in_two_sets_and_no_two_that_are_apart_in_one(
    joined: list[set[int]], apart: list[set[int]]
) -> None:
    taken: set[int] = set()
    stated = []
    for group in joined:
        stated.append(said(FoundKind.BRACKET, *(f"f{i}" for i in sorted(group - taken))))
        taken |= group
    parted = [{f"f{i}" for i in group} for group in apart]
    found = find_sets(burst(12), stated, parted)
    keys = [key for one in found for key in one.keys]
    assert len(keys) == len(set(keys))
    assert {one.keys for one in found if one.stated} == {one.keys for one in stated if len(one.keys) > 1}
    for one in found:
        assert one.stated or all(len(group & set(one.keys)) < 2 for group in parted)
        assert one.stated or not {f"f{i}" for i in taken} & set(one.keys)
