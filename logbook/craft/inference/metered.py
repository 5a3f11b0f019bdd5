"""The light that a frame met behind its filters, by all that bears witness to it, and how sure that is.

One surprising decision: what a body wrote down of the light goes before what was set, where it follows the
settings of the same body; else how bright the picture came out tells what was set, to half a stop.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from logbook.craft.inference.frames import Frame

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
        return Behind(settings, _spread(departures))
    meant = (frame.ev100 or 0.0) - settings  # what the settings were meant to be off, as by a bias
    off, variance = _departed(departures, frame.picture_stops - SHOWN_MEAN_STOPS + meant)
    return Behind(settings + off, variance)


def _spread(departures: Sequence[tuple[float, float]]) -> float:
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
