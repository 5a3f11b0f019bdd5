"""From frames to steps: what was one act of exposing, with the light the settings stand for.

One surprising decision: frames that follow each other faster than a filter can be changed are one step, set
or no set, and its light is their median; so a bracket nobody recognised still cannot pass for a filter.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from logbook.craft.inference.frames import Frame, in_order
from logbook.craft.inference.metered import BRACKET_FROM_STOPS, Meters, behind, meters, settings_ev100
from logbook.craft.inference.sets import FoundKind, FrameSet

CHANGE_MIN_S = 4.0  # s; nobody changes a filter faster (common practice, no source)
CHAIN_GAP_S = 45 * 60.0  # s; after that the light of before says nothing about the light of now


@dataclass(frozen=True, slots=True)
class Step:
    """One act of exposing: its keys, the metered EV100, the variance of that in stops squared."""

    keys: tuple[str, ...]
    first: Frame
    last: Frame
    ev100: float
    variance: float
    known: tuple[str, ...] | None


def chains(frames: Iterable[Frame], sets: Sequence[FrameSet]) -> list[list[Step]]:
    """Return the steps of each body at each viewpoint, in order of time, cut at long pauses.

    Frames without exposure are left out, as are sets whose stated filters contradict each other.
    """
    ordered = in_order(list(frames))
    known = meters(ordered)
    groups = _groups(ordered, sets)
    open_chains: dict[str | None, list[list[Frame]]] = {}
    done: list[list[list[Frame]]] = []
    for group in groups:
        body = group[0].body
        chain = open_chains.get(body)
        if chain:
            last = chain[-1][-1]
            pause = group[0].at_s - last.end_s
            if last.viewpoint == group[0].viewpoint and pause <= CHAIN_GAP_S:
                if pause < CHANGE_MIN_S and not _contradict(chain[-1], group):
                    chain[-1].extend(group)
                else:
                    chain.append(group)
                continue
        open_chains[body] = [group]
        done.append(open_chains[body])
    return [steps for chain in done if (steps := [step for group in chain if (step := _step(group, known))])]


def _groups(ordered: Sequence[Frame], sets: Sequence[FrameSet]) -> list[list[Frame]]:
    """Frames by set, pairs joined to the set of their first key; each group in order of time."""
    by_key: Mapping[str, Frame] = {frame.key: frame for frame in ordered}
    leader: dict[str, str] = {}
    for kind_is_pair in (False, True):
        for found in sets:
            if (found.kind is FoundKind.PAIR) is kind_is_pair:
                lead = leader.get(found.keys[0], found.keys[0])
                leader.update((key, lead) for key in found.keys if key in by_key)
    groups: dict[str, list[Frame]] = {}
    for frame in ordered:
        groups.setdefault(leader.get(frame.key, frame.key), []).append(frame)
    return [group for group in groups.values() if group]


def _contradict(first: Sequence[Frame], second: Sequence[Frame]) -> bool:
    stated = {f.known_filters for f in (*first, *second) if f.known_filters is not None}
    return len(stated) > 1


def _step(group: list[Frame], known: Meters) -> Step | None:
    """The group as one step: its light is the median, with or without bias, whichever agrees better."""
    exposed = [frame for frame in group if frame.ev100 is not None]
    if not exposed or _contradict(exposed, ()):
        return None
    metered = [value for frame in exposed if (value := settings_ev100(frame)) is not None]
    biased = [(frame.ev100 or 0.0) + (frame.bias_stops or 0.0) for frame in exposed]
    settings = metered if _spread(metered) <= _spread(biased) else biased
    found = [behind(frame, value, known) for frame, value in zip(exposed, settings, strict=True)]
    if (wide := _spread(settings) > BRACKET_FROM_STOPS) and all(
        frame.picture_stops is not None for frame in exposed
    ):
        found = [
            behind(frame, value, known, bracketed=wide)
            for frame, value in zip(exposed, settings, strict=True)
        ]
    lights = [one.ev100 for one in found]
    variance = median(one.variance for one in found) + (_spread(lights) / 4) ** 2
    stated = next((frame.known_filters for frame in exposed if frame.known_filters is not None), None)
    keys = tuple(frame.key for frame in exposed)
    return Step(keys, exposed[0], exposed[-1], median(lights), variance, stated)


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values)
