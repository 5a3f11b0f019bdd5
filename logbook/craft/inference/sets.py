"""Frames that belong together: RAW + JPEG pairs, exposure brackets, panoramas, bursts.

One surprising decision: a pair is one frame. The other sets name only its first key, so that a bracket of
three stays a bracket of three whether or not the camera also wrote JPEGs. What a person joined or took apart
is never found otherwise.
"""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from statistics import median

from logbook.craft.exposure import SAME_STOPS
from logbook.craft.inference.frames import Frame, Framing, framing_between, in_order, turn_deg
from logbook.craft.marks import counted_stops, number_text

# Times from the end of one frame to the start of the next (common practice, no source); clocks tick in 1 s.
PAIR_GAP_S = 2.0
BRACKET_GAP_S = 4.0
HAND_BRACKET_GAP_S = 12.0  # dialled between the frames
BURST_GAP_S = 1.5
TURN_GAP_S = 30.0  # panorama with the direction written
CADENCE_GAP_S = 15.0  # panorama known only by its rhythm
CADENCE_SLACK_S = 2.5  # how uneven the rhythm may be

PACE_SLACK_S = 1.5  # how unevenly the frames of a bracket may follow each other
EVEN_STOPS = SAME_STOPS * 1.5  # stops; how uneven the steps of a bracket may be: dials have thirds
UNTAGGED_STEP_STOPS = 0.6  # stops; less may be the light (common practice, no source)
BRACKET_MAX, PANORAMA_MAX = 9, 30  # frames; more is something else
PANORAMA_TURN_MIN, PANORAMA_TURN_MAX = 0.1, 0.95  # of the width of a frame
PANORAMA_SAME_STOPS = 0.1  # exposure is locked in a panorama
FRAME_LONG_MM, FRAME_SHORT_MM = 36.0, 24.0  # mm; sides of the 35 mm frame, assumed for smaller ones too


class FoundKind(StrEnum):
    """How frames belong together."""

    BRACKET = "bracket"
    PANORAMA = "panorama"
    BURST = "burst"
    PAIR = "pair"


@dataclass(frozen=True, slots=True)
class FrameSet:
    """Frames that belong together, by key in order of time, and why in one line; `stated` by a person."""

    kind: FoundKind
    keys: tuple[str, ...]
    reason: str
    stated: bool = False


def find_sets(
    frames: Iterable[Frame],
    stated: Sequence[FrameSet] = (),
    apart: Iterable[Collection[str]] = (),
) -> tuple[FrameSet, ...]:
    """Return pairs, then brackets, panoramas and bursts in order of time; each frame is in one of the latter.

    `stated` are sets that a person joined (no frame is in two of them): they stand, and their frames are in
    no other. `apart` are groups of keys of which no two are in one found set. Both may name frames that are
    not here. Cost is linear in the number of frames, after sorting.
    """
    ordered = in_order(list(frames))
    groups = [group for group in map(frozenset, apart) if len(group) > 1]
    pairs = [pair for pair in _pairs(ordered) if not any(group <= set(pair.keys) for group in groups)]
    leader = {key: pair.keys[0] for pair in pairs for key in pair.keys}
    alone = [frame for frame in ordered if leader.get(frame.key, frame.key) == frame.key]
    by_key = {frame.key: frame for frame in alone}
    at_s = {key: frame.at_s for key, frame in by_key.items()}
    joined = [replace(one, keys=_leading(one.keys, leader, at_s)) for one in stated]
    taken = {key for one in joined for key in one.keys}
    parted = _by_key(frozenset(leader.get(key, key) for key in group) for group in groups)
    found = [one for one in joined if len(one.keys) > 1]
    for run in _runs(alone):
        for piece in _cut((frame.key for frame in run), parted, taken):
            found += _found_in([by_key[key] for key in piece])
    return (*pairs, *sorted(found, key=lambda one: at_s[one.keys[0]]))


def cut_apart(keys: Iterable[str], apart: Iterable[Collection[str]]) -> list[tuple[str, ...]]:
    """Return keys in pieces, cut before each that is apart from an earlier one of its piece."""
    return _cut(keys, _by_key(apart))


def _cut(
    keys: Iterable[str], groups_of: Mapping[str, Sequence[int]], taken: Collection[str] = ()
) -> list[tuple[str, ...]]:
    """The same by the numbers of the groups a key is in; `taken` keys are in no piece and cut as well."""
    pieces: list[list[str]] = [[]]
    met: set[int] = set()
    for key in keys:
        own = groups_of.get(key, ())
        if key in taken or not met.isdisjoint(own):
            pieces.append([])
            met = set()
        if key not in taken:
            pieces[-1].append(key)
            met.update(own)
    return [tuple(piece) for piece in pieces if piece]


def _by_key(groups: Iterable[Collection[str]]) -> Mapping[str, list[int]]:
    """The numbers of the groups that a key is in."""
    result: dict[str, list[int]] = {}
    for number, group in enumerate(groups):
        for key in group:
            result.setdefault(key, []).append(number)
    return result


def _leading(keys: Iterable[str], leader: dict[str, str], at_s: dict[str, float]) -> tuple[str, ...]:
    """The first key of each frame in order of time, without frames that are not here."""
    leading = dict.fromkeys(leader.get(key, key) for key in keys)
    return tuple(sorted((key for key in leading if key in at_s), key=lambda key: at_s[key]))


def _found_in(run: Sequence[Frame]) -> list[FrameSet]:
    found: list[FrameSet] = []
    start = 0
    while start < len(run):
        best = next((s for s in (_bracket(run, start), _panorama(run, start), _burst(run, start)) if s), None)
        if best:
            found.append(best)
        start += len(best.keys) if best else 1
    return found


def _pairs(ordered: Sequence[Frame]) -> list[FrameSet]:
    """Files of one frame: same name but for the suffix, at the same moment."""
    named: dict[tuple[str | None, str | None, int | None], list[list[Frame]]] = {}
    for frame in ordered:
        if (frame.stem is None and frame.file_number is None) or frame.suffix is None:
            continue
        groups = named.setdefault((frame.body, frame.stem, frame.file_number), [])
        if groups and frame.at_s - groups[-1][0].at_s <= PAIR_GAP_S:
            if frame.suffix.lower() not in {(other.suffix or "").lower() for other in groups[-1]}:
                groups[-1].append(frame)
        else:
            groups.append([frame])
    pairs = [group for groups in named.values() for group in groups if len(group) > 1]
    return [
        FrameSet(FoundKind.PAIR, _keys(group), "one frame: " + " + ".join(f"{f.suffix}" for f in group))
        for group in sorted(pairs, key=lambda group: group[0].at_s)
    ]


def _runs(frames: Sequence[Frame]) -> list[list[Frame]]:
    """Frames of one body at one viewpoint, without a long pause."""
    runs: list[list[Frame]] = []
    latest: dict[str | None, list[Frame]] = {}
    for frame in frames:
        run = latest.get(frame.body)
        if run and run[-1].viewpoint == frame.viewpoint and _gap_s(run[-1], frame) <= TURN_GAP_S:
            run.append(frame)
        else:
            latest[frame.body] = [frame]
            runs.append(latest[frame.body])
    return runs


def _bracket(run: Sequence[Frame], start: int) -> FrameSet | None:
    """Same framing and aperture, short gaps, no exposure twice; known by tag, bias or a dial's even steps."""
    first = run[start]
    if first.ev100 is None:
        return None
    members = [first]
    for frame in run[start + 1 : start + BRACKET_MAX]:
        last = members[-1]
        known = frame.ev100 is not None and all(
            abs(frame.ev100 - (other.ev100 or 0.0)) > SAME_STOPS * 0.75 for other in members
        )
        by_hand = first.metered is False and frame.metered is False
        allowed = HAND_BRACKET_GAP_S if by_hand and not first.auto_bracket else BRACKET_GAP_S
        allowed += last.exposure_s or 0.0  # a long exposure is followed by as long a dark frame
        still = _same_view(first, frame) and _same_aperture(first, frame)
        if not (known and still and _gap_s(last, frame) <= allowed and _same_tag(first, frame)):
            break
        members.append(frame)
    if len(members) < 2:
        return None
    steps = sorted(frame.ev100 for frame in members if frame.ev100 is not None)
    gaps = [high - low for low, high in pairwise(steps)]
    text = f"{_steps_text(gaps)} at one aperture"
    if first.auto_bracket:
        return FrameSet(FoundKind.BRACKET, _keys(members), f"{text}, tagged as a bracket by the camera")
    biases = {round(frame.bias_stops, 2) for frame in members if frame.bias_stops is not None}
    if len(biases) == len(members):
        return FrameSet(FoundKind.BRACKET, _keys(members), f"{text}, each with its own bias")
    if len(members) >= 3 and max(gaps) - min(gaps) <= EVEN_STOPS:
        if first.metered is False:
            return FrameSet(FoundKind.BRACKET, _keys(members), f"{text}, set by hand in even steps")
        if min(gaps) >= UNTAGGED_STEP_STOPS and _in_time(members) and len({one.iso for one in members}) == 1:
            return FrameSet(FoundKind.BRACKET, _keys(members), f"{text} and ISO, evenly timed, not tagged")
    return None


def _steps_text(gaps: Sequence[float]) -> str:
    """Say step and span of a bracket: `3 exposures in steps of 2 stops, 4 stops in all`."""
    span = counted_stops(round(math.fsum(gaps), 1))
    if len(gaps) == 1:
        return f"2 exposures, {span} apart"
    low, high = (number_text(one, 1) for one in (min(gaps), max(gaps)))
    if max(gaps) - min(gaps) <= EVEN_STOPS:
        step = counted_stops(round(math.fsum(gaps) / len(gaps), 1))
    else:
        step = f"{low} to {high} stops"
    return f"{len(gaps) + 1} exposures in steps of {step}, {span} in all,"


def _in_time(members: Sequence[Frame]) -> bool:
    """Whether frames follow each other at one pace, by clocks of whole seconds."""
    pauses = [_gap_s(one, other) for one, other in pairwise(members)]
    return max(pauses) - min(pauses) <= PACE_SLACK_S


def _panorama(run: Sequence[Frame], start: int) -> FrameSet | None:
    """Same exposure and focal length; the camera turns one way, or stands upright in a steady rhythm."""
    first = run[start]
    members = [first]
    turns: list[float] = []
    for frame in run[start + 1 : start + PANORAMA_MAX]:
        turn = turn_deg(members[-1], frame)
        if turn is None or not _locked(first, frame) or not _part_of_width(first, turn):
            break
        if turns and (turn > 0) != (turns[0] > 0):
            break
        members.append(frame)
        turns.append(turn)
    if len(members) >= 3:
        text = f"{len(members)} frames at one exposure, turning {number_text(abs(math.fsum(turns)), 0)}°"
        return FrameSet(FoundKind.PANORAMA, _keys(members), text)
    return _rhythm(run, start)


def _rhythm(run: Sequence[Frame], start: int) -> FrameSet | None:
    """Upright frames at one exposure, evenly paced; no burst, and fewer than an interval timer makes."""
    first = run[start]
    if start and _paced(run[start - 1], first):
        return None  # in the middle of a rhythm that was refused
    members = [first]
    gaps: list[float] = []
    for frame in run[start + 1 : start + PANORAMA_MAX]:
        gap = frame.at_s - members[-1].at_s
        even = not gaps or abs(gap - median(gaps)) <= CADENCE_SLACK_S
        if not (even and _paced(members[-1], frame)):
            break
        members.append(frame)
        gaps.append(gap)
    if not 4 <= len(members) < PANORAMA_MAX:
        return None
    text = f"{len(members)} upright frames at one exposure, one every {number_text(median(gaps), 0)} s"
    return FrameSet(FoundKind.PANORAMA, _keys(members), text)


def _paced(first: Frame, second: Frame) -> bool:
    """Upright, locked and of unknown direction, at the pace of somebody who turns and presses."""
    upright = first.portrait is True and second.portrait is True
    paced = BURST_GAP_S < second.at_s - first.at_s <= CADENCE_GAP_S
    return upright and paced and _locked(first, second) and turn_deg(first, second) is None


def _burst(run: Sequence[Frame], start: int) -> FrameSet | None:
    """The same view at the same aperture, one frame right after another."""
    first = run[start]
    end = start + 1
    while (
        end < len(run)
        and _gap_s(run[end - 1], run[end]) <= BURST_GAP_S
        and _same_view(first, run[end])
        and _same_aperture(first, run[end])
        and _same_exposure(first, run[end], 2 * SAME_STOPS)
    ):
        end += 1
    if end - start < 3:
        return None
    members = run[start:end]
    text = f"{len(members)} frames of the same view in {number_text(members[-1].end_s - first.at_s, 1)} s"
    return FrameSet(FoundKind.BURST, _keys(members), text)


def _gap_s(first: Frame, second: Frame) -> float:
    return max(0.0, second.at_s - first.end_s)


def _same_view(first: Frame, second: Frame) -> bool:
    return framing_between(first, second) is Framing.SAME


def _same_aperture(first: Frame, second: Frame) -> bool:
    if first.aperture is None or second.aperture is None:
        return first.aperture is second.aperture
    return abs(2 * math.log2(first.aperture / second.aperture)) < 0.1


def _same_tag(first: Frame, second: Frame) -> bool:
    return bool(first.auto_bracket) == bool(second.auto_bracket)


def _same_exposure(first: Frame, second: Frame, stops: float) -> bool:
    return first.ev100 is not None and second.ev100 is not None and abs(first.ev100 - second.ev100) <= stops


def _locked(first: Frame, second: Frame) -> bool:
    """Settings do not move within a panorama, and neither does the zoom."""
    same_focal = first.focal_mm == second.focal_mm and first.portrait == second.portrait
    return same_focal and _same_aperture(first, second) and _same_exposure(first, second, PANORAMA_SAME_STOPS)


def _part_of_width(frame: Frame, turn: float) -> bool:
    side = FRAME_SHORT_MM if frame.portrait else FRAME_LONG_MM
    width_deg = 2 * math.degrees(math.atan(side / 2 / (frame.focal_mm or 35.0)))
    return PANORAMA_TURN_MIN <= abs(turn) / width_deg <= PANORAMA_TURN_MAX


def _keys(frames: Iterable[Frame]) -> tuple[str, ...]:
    return tuple(frame.key for frame in frames)
