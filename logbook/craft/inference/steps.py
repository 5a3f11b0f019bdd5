"""From frames to steps: what was one act of exposing, with the light the settings stand for.

One surprising decision: frames that follow each other faster than a filter can be changed are one step, set
or no set, and its light is their median; so a bracket nobody recognised still cannot pass for a filter.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from logbook.craft.inference.frames import Frame, in_order
from logbook.craft.inference.sets import FoundKind, FrameSet

CHANGE_MIN_S = 4.0  # s; nobody changes a filter faster (common practice, no source)
CHAIN_GAP_S = 45 * 60.0  # s; after that the light of before says nothing about the light of now
NOISE_STOPS = 1 / 3  # stops; how far a metered exposure is off: one click of a dial
MANUAL_NOISE_STOPS = 0.45  # stops; dialled by hand, after a meter (common practice, no source)


@dataclass(frozen=True, slots=True)
class Step:
    """One act of exposing: its keys, the metered EV100, the variance of that in stops squared."""

    keys: tuple[str, ...]
    first: Frame
    last: Frame
    ev100: float
    variance: float
    known: tuple[str, ...] | None


def settings_ev100(frame: Frame) -> float | None:
    """Return the EV at ISO 100 the camera metered behind its filters: settings plus bias, if it metered.

    A bias of +1 exposes a stop more than metered, so the light is one EV higher than the settings say.
    """
    if frame.ev100 is None:
        return None
    return frame.ev100 + ((frame.bias_stops or 0.0) if frame.metered else 0.0)


def chains(frames: Iterable[Frame], sets: Sequence[FrameSet]) -> list[list[Step]]:
    """Return the steps of each body at each viewpoint, in order of time, cut at long pauses.

    Frames without exposure are left out, as are sets whose stated filters contradict each other.
    """
    ordered = in_order(list(frames))
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
    return [steps for chain in done if (steps := [step for group in chain if (step := _step(group))])]


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


def _step(group: list[Frame]) -> Step | None:
    """The group as one step: its light is the median, with or without bias, whichever agrees better."""
    exposed = [frame for frame in group if frame.ev100 is not None]
    if not exposed or _contradict(exposed, ()):
        return None
    metered = [value for frame in exposed if (value := settings_ev100(frame)) is not None]
    biased = [(frame.ev100 or 0.0) + (frame.bias_stops or 0.0) for frame in exposed]
    readings = metered if _spread(metered) <= _spread(biased) else biased
    noise = NOISE_STOPS if all(frame.metered for frame in exposed) else MANUAL_NOISE_STOPS
    variance = noise**2 + (_spread(readings) / 4) ** 2
    known = next((frame.known_filters for frame in exposed if frame.known_filters is not None), None)
    keys = tuple(frame.key for frame in exposed)
    return Step(keys, exposed[0], exposed[-1], median(readings), variance, known)


def _spread(values: Sequence[float]) -> float:
    return max(values) - min(values)
