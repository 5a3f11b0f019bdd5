"""From frames to steps: what was one act of exposing, with the light that its frames met behind the filters.

Surprising decisions: frames that follow each other faster than a filter can be changed are one step, set or
no set, and its light is their median; so a bracket nobody recognised still cannot pass for a filter. What a
body wrote down of the light goes before what was set, where it follows the settings of the same body; else
how bright the picture came out tells what was set, to half a stop.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from logbook.craft.inference.frames import Frame, in_order
from logbook.craft.inference.sets import FoundKind, FrameSet

METERED_STOPS = 1 / 3  # stops; how far a metered exposure is off: one click of a dial
# How far exposures set by hand lie from the meter: share of frames and deviation in stops. Most follow it,
# some are meant otherwise, or left as they stood (common practice, no source).
BY_HAND = ((0.93, 0.4), (0.07, 1.5))
BRACKET_STOPS = 1.7  # stops; how far the frames of a bracket lie from its middle (common practice, no source)
BRACKET_FROM_STOPS = 1.0  # stops; settings of one act that lie farther apart are a bracket
BULB_STOPS = 0.3  # stops more; times counted in the head (common practice, no source)
# Written readings lie 0.36 stops (deviation) from the settings of nine bodies that metered without flash,
# measured 2026-11-30 on the camera files of Debian's golang-github-rwcarlsen-goexif-dev; one body is nearer.
READING_STOPS = 0.3
READING_FOLLOWS_STOPS = 1.5  # stops; a body whose readings scatter more about its settings is not read
READING_FLOOR_EV100 = -2.0  # EV at ISO 100; bodies meter little below (makers' figures lie from -6 to 0)
# Embedded previews of 31 frames metered without flash, of as many cameras: mean linear light 0.26 stops above
# a middle grey of 18 %, deviation 0.48; measured as above. What a person developed shows less of what was set
# (common practice, no source): share of pictures, share of the departure that shows, deviation in stops.
SHOWN_MEAN_STOPS = 0.26
SHOWN = ((0.6, 1.0, 0.5), (0.4, 0.3, 0.6))


@dataclass(frozen=True, slots=True)
class Behind:
    """The EV at ISO 100 behind the filters, and its variance in stops squared."""

    ev100: float
    variance: float


@dataclass(frozen=True, slots=True)
class Meters:
    """By body, how far what it writes lies from what it sets, in stops; only bodies whose readings follow."""

    offsets: Mapping[str | None, float]

    def reading(self, frame: Frame) -> float | None:
        """Return the light that a frame's body wrote down, if it can be believed."""
        if frame.body not in self.offsets or frame.reading_ev100 is None:
            return None
        return frame.reading_ev100 if frame.reading_ev100 >= READING_FLOOR_EV100 else None


def meters(frames: Iterable[Frame]) -> Meters:
    """Return the offset of each body's readings, unless they scatter about the settings."""
    found: dict[str | None, list[float]] = {}
    for frame in frames:
        settings = settings_ev100(frame)
        if settings is None or frame.reading_ev100 is None or frame.reading_ev100 < READING_FLOOR_EV100:
            continue
        found.setdefault(frame.body, []).append(frame.reading_ev100 - settings)
    offsets = {}
    for body, differences in found.items():
        middle = median(differences)
        if (
            median(abs(one - middle) for one in differences) <= READING_FOLLOWS_STOPS * 0.6745
        ):  # of a normal one
            offsets[body] = middle
    return Meters(offsets)


def settings_ev100(frame: Frame) -> float | None:
    """Return the EV at ISO 100 the camera metered behind its filters: settings plus bias, if it metered.

    A bias of +1 exposes a stop more than metered, so the light is one EV higher than the settings say. By
    hand it says nothing, but in a bracket that the camera made.
    """
    if frame.ev100 is None:
        return None
    return frame.ev100 + ((frame.bias_stops or 0.0) if frame.metered or frame.auto_bracket else 0.0)


def behind(frame: Frame, settings: float, known: Meters, *, bracketed: bool = False) -> Behind:
    """Return the light behind a frame's filters; `settings` is the EV its settings were meant for.

    `bracketed` frames were set apart without saying how far: their settings alone tell little.
    """
    reading = known.reading(frame)
    if reading is not None:
        return Behind(reading - known.offsets[frame.body], READING_STOPS**2)
    departures: Sequence[tuple[float, float]] = ((1.0, METERED_STOPS),) if frame.metered else BY_HAND
    if bracketed:
        departures = ((1.0, BRACKET_STOPS),)
    if frame.by_bulb:
        departures = tuple((share, math.hypot(stops, BULB_STOPS)) for share, stops in departures)
    if frame.picture_stops is None:
        return Behind(settings, _variance(departures))
    meant = (frame.ev100 or 0.0) - settings  # what the settings were meant to be off, as by a bias
    off, variance = _departed(departures, frame.picture_stops - SHOWN_MEAN_STOPS + meant)
    return Behind(settings + off, variance)


def _variance(departures: Sequence[tuple[float, float]]) -> float:
    return math.fsum(share * stops**2 for share, stops in departures)


def _departed(departures: Sequence[tuple[float, float]], shown: float) -> tuple[float, float]:
    """Return mean and variance of what was set brighter than metered, given how bright the picture came out.

    Each kind of departure with each kind of picture is a normal estimate; they are weighed by how well they
    foresee the picture.
    """
    parts = []
    for share, stops in departures:
        for often, slope, noise in SHOWN:
            foreseen = (slope * stops) ** 2 + noise**2
            weight = share * often * math.exp(-(shown**2) / (2 * foreseen)) / math.sqrt(foreseen)
            parts.append((weight, slope * stops**2 * shown / foreseen, (stops * noise) ** 2 / foreseen))
    total = math.fsum(weight for weight, _, _ in parts)
    mean = math.fsum(weight * middle for weight, middle, _ in parts) / total
    square = math.fsum(weight * (variance + middle**2) for weight, middle, variance in parts) / total
    return mean, square - mean**2


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
