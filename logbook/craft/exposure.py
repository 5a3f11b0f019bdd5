"""Exposure arithmetic in stops: exposure value, the light of a scene, equivalent settings, comparisons.

Surprising decisions: marked numbers are snapped to their exact powers of two first, so f/11 at 1/30 s is
EV 12 and not 11.83; `snap=False` takes the numbers as they stand. A light level between two of the familiar
scenes is named by the nearest, within one stop, else by nothing.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import Filter
from logbook.craft.filters import stack_stops, stack_text, transmission
from logbook.craft.marks import (
    APERTURE_MAX,
    APERTURE_MIN,
    EXPOSURE_MAX_S,
    EXPOSURE_MIN_S,
    aperture_text,
    checked_aperture,
    checked_exposure,
    checked_iso,
    exact_aperture,
    exact_exposure_s,
    exact_iso,
    exposure_text,
    iso_text,
    nearest_aperture,
    number_text,
)
from logbook.craft.series import EXPOSURES, EXPOSURES_HALF, ISOS
from logbook.craft.settings_text import APERTURE_FIRST, settings_told

SAME_STOPS = 1 / 3  # stops; one click of a dial: nearer than this, two exposures are the same
EXIF_SPEED_CONSTANT = 1 / 3.125  # Sv = log2(ISO * constant), so ISO 100 is 5; CIPA DC-008 (Exif), Annex C
METER_K = 12.5  # cd s/m2; reflected-light meter constant, ISO 2720:1974, usual choice
METER_C = 250.0  # lx s; incident-light meter constant, ISO 2720:1974, usual choice
_DIALLED = [(math.log2(exact), mark) for mark, exact in (EXPOSURES | EXPOSURES_HALF).items()]


@dataclass(frozen=True, slots=True)
class Settings:
    """What was set for one picture; filters () is none, None is unknown. Raises CraftValueError."""

    f_number: float
    exposure_s: Fraction
    iso: int = 100
    filters: tuple[Filter, ...] | None = ()

    def __post_init__(self) -> None:
        checked_aperture(self.f_number)
        checked_iso(self.iso)
        object.__setattr__(self, "exposure_s", checked_exposure(self.exposure_s))

    @property
    def text(self) -> str:
        """The settings as people write them: `f/11, 4 s, ISO 200, nd64 + nd8`."""
        parts = settings_told(self, APERTURE_FIRST, dialled=True)
        if self.filters:
            parts.append(stack_text(self.filters))
        elif self.filters is None:
            parts.append("filters unknown")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class SceneLight:
    """What settings say about the light: EV at ISO 100 in the camera, and in front of the filters."""

    ev100: float
    scene_ev100: float | None
    scene_low_ev100: float | None
    scene_high_ev100: float | None
    filter_stops: float | None
    transmission: float | None
    bias_stops: float
    working: str


@dataclass(frozen=True, slots=True)
class Equal:
    """Settings that expose as others did; `difference_stops` is how much brighter (+) rounding makes it."""

    f_number: float
    exposure_s: Fraction
    exposure: str
    iso: int
    filters: tuple[Filter, ...]
    difference_stops: float
    same: bool
    working: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """How much brighter (+) the second picture is than the first in the same light, in stops."""

    difference_stops: float | None
    aperture_stops: float
    time_stops: float
    iso_stops: float
    filter_stops: float | None
    same: bool | None
    working: str


class Free(StrEnum):
    """Which setting is worked out when the others are given."""

    EXPOSURE = "exposure"
    APERTURE = "aperture"
    ISO = "iso"


def aperture_value(f_number: float, *, snap: bool = True) -> float:
    """Return Av = 2 log2(N) in stops (APEX); raise CraftValueError."""
    return 2 * math.log2(exact_aperture(f_number) if snap else checked_aperture(f_number))


def time_value(exposure_s: Fraction | float, *, snap: bool = True) -> float:
    """Return Tv = -log2(t) in stops, t in s (APEX); raise CraftValueError."""
    return -math.log2(exact_exposure_s(exposure_s) if snap else float(checked_exposure(exposure_s)))


def speed_stops(iso: float, *, snap: bool = True) -> float:
    """Return stops of a speed above ISO 100, log2(ISO/100); raise CraftValueError."""
    return math.log2((exact_iso(iso) if snap else checked_iso(iso)) / 100)


def exif_speed_value(iso: float, constant: float = EXIF_SPEED_CONSTANT) -> float:
    """Return Sv = log2(ISO * constant) in stops, as Exif Annex C writes it: ISO 100 is 5."""
    return math.log2(iso * constant)


def ev100(f_number: float, exposure_s: Fraction | float, iso: float = 100, *, snap: bool = True) -> float:
    """Return EV at ISO 100 = Av + Tv − log2(ISO/100) (APEX); raise CraftValueError."""
    return (
        aperture_value(f_number, snap=snap) + time_value(exposure_s, snap=snap) - speed_stops(iso, snap=snap)
    )


def illuminance_lx(scene_ev100: float) -> float:
    """Return the illuminance in lx an incident-light meter reads as this EV: 2^EV C/100 (ISO 2720)."""
    return 2**scene_ev100 * METER_C / 100


def scene_light(settings: Settings, *, bias_stops: float = 0.0, snap: bool = True) -> SceneLight:
    """Return the light of the scene: EV at ISO 100 + filter stops + bias where the camera metered.

    A bias of +1 made the camera expose a stop more than it metered, so the metered light is one EV higher.
    Leave the bias at 0 for manual exposure, where it changes nothing. Unknown filters leave the scene None.
    """
    if not abs(bias_stops) <= 10:
        raise CraftValueError(f"A bias of {bias_stops:g} stops is not possible; write −10 to +10.")
    camera = ev100(settings.f_number, settings.exposure_s, settings.iso, snap=snap)
    stack = stack_stops(settings.filters)
    low, scene, high = (
        None if stops is None else camera + stops + bias_stops
        for stops in (stack.low_stops, stack.typical_stops, stack.high_stops)
    )
    working = f"{_ev_working(settings, snap=snap)}; {stack.working}"
    if bias_stops:
        working += f"; bias {number_text(bias_stops)}"
    working += "; scene unknown" if scene is None else f"; scene EV100 {number_text(scene)}"
    passed = None if stack.typical_stops is None else transmission(stack.typical_stops)
    return SceneLight(camera, scene, low, high, stack.typical_stops, passed, bias_stops, working)


def compare(first: Settings, second: Settings, *, snap: bool = True) -> Comparison:
    """Return how much brighter the second picture is in the same light, part by part in stops."""
    aperture = aperture_value(first.f_number, snap=snap) - aperture_value(second.f_number, snap=snap)
    time = time_value(first.exposure_s, snap=snap) - time_value(second.exposure_s, snap=snap)
    speed = speed_stops(second.iso, snap=snap) - speed_stops(first.iso, snap=snap)
    before, after = stack_stops(first.filters).typical_stops, stack_stops(second.filters).typical_stops
    filtered = None if before is None or after is None else before - after
    total = None if filtered is None else aperture + time + speed + filtered
    parts = f"aperture {_signed(aperture)}, shutter speed {_signed(time)}, ISO {_signed(speed)}"
    parts += f", filters {'unknown' if filtered is None else _signed(filtered)}"
    working = f"{parts}: {'unknown' if total is None else _signed(total)} stops"
    return Comparison(total, aperture, time, speed, filtered, None if total is None else same(total), working)


def same(difference_stops: float) -> bool:
    """Return whether a difference is within a third of a stop, the smallest click of a dial."""
    return abs(difference_stops) <= SAME_STOPS + 1e-9


def equivalent(
    settings: Settings,
    *,
    f_number: float | None = None,
    exposure_s: Fraction | float | None = None,
    iso: float | None = None,
    filters: tuple[Filter, ...] | None = None,
    free: Free | None = None,
) -> Equal:
    """Return settings that expose the scene alike; what is not named stays, `free` is worked out.

    Without `free` the time is worked out if it was not named, else the aperture, else the ISO. The answer is
    a number a dial has; `difference_stops` says how far that is from equal. Raises CraftValueError when
    filters are unknown, when everything was named, or when no camera can do it.
    """
    named = {Free.EXPOSURE: exposure_s, Free.APERTURE: f_number, Free.ISO: iso}
    solved = free or next((part for part in Free if named[part] is None), None)
    if solved is None or named[solved] is not None:
        raise CraftValueError(
            "Nothing is left to work out; leave out the shutter speed, the aperture or the ISO."
        )
    new_filters = settings.filters if filters is None else filters
    scene = scene_light(settings).scene_ev100
    stops = stack_stops(new_filters).typical_stops
    if scene is None or stops is None or new_filters is None:
        raise CraftValueError("The filters' strength is unknown; say which filters were on, or none.")
    camera = scene - stops
    new_f = settings.f_number if f_number is None else checked_aperture(f_number)
    new_s = settings.exposure_s if exposure_s is None else checked_exposure(exposure_s)
    new_iso = settings.iso if iso is None else checked_iso(iso)
    if solved is Free.EXPOSURE:
        new_s = dial_exposure(aperture_value(new_f) - speed_stops(new_iso) - camera)
    elif solved is Free.APERTURE:
        new_f = dial_aperture(camera - time_value(new_s) + speed_stops(new_iso))
    else:
        new_iso = dial_iso(aperture_value(new_f) + time_value(new_s) - camera)
    answer = Settings(new_f, new_s, new_iso, new_filters)
    compared = compare(settings, answer)
    difference = compared.difference_stops or 0.0
    working = f"{settings.text} = {answer.text}; {compared.working}"
    return Equal(
        new_f, new_s, exposure_text(new_s), new_iso, new_filters, difference, same(difference), working
    )


def dial_exposure(stops: float) -> Fraction:
    """Return the time 2^stops in s, as a dial or a timer would be set; raise CraftValueError out of range."""
    if not math.log2(EXPOSURE_MIN_S) <= stops <= math.log2(EXPOSURE_MAX_S):
        raise CraftValueError(
            f"That needs 2^{number_text(stops, 1)} s, which is outside 1/1000000 s to 24 h; "
            "change another setting."
        )
    if stops > 5 + 1e-9:  # past the dial's 30 s a clock is used, to the second
        return Fraction(round(2**stops))
    return min(_DIALLED, key=lambda one: abs(one[0] - stops))[1]


def dial_aperture(av: float) -> float:
    """Return the marked f-number nearest to an Av in stops; raise CraftValueError where no lens has it."""
    if not 2 * math.log2(APERTURE_MIN) <= av <= 2 * math.log2(APERTURE_MAX):
        raise CraftValueError(f"That needs f/{2 ** (av / 2):.3g}, which no lens has; change another setting.")
    return nearest_aperture(2 ** (av / 2))


def dial_iso(stops: float) -> int:
    """Return the marked ISO nearest to so many stops above ISO 100; raise CraftValueError out of range."""
    exact = 100 * 2**stops
    if not min(ISOS) / 1.2 <= exact <= max(ISOS) * 1.2:
        raise CraftValueError(f"That needs ISO {exact:.3g}, which no camera has; change another setting.")
    return min(ISOS, key=lambda mark: abs(math.log2(ISOS[mark] / exact)))


def _ev_working(settings: Settings, *, snap: bool) -> str:
    """`f/11 (Av 7) + 4 s (Tv −2) − ISO 200 (1) = EV100 4`."""
    av, tv = aperture_value(settings.f_number, snap=snap), time_value(settings.exposure_s, snap=snap)
    speed = speed_stops(settings.iso, snap=snap)
    return (
        f"{aperture_text(settings.f_number)} (Av {number_text(av)}) + {exposure_text(settings.exposure_s)} "
        f"(Tv {number_text(tv)}) − {iso_text(settings.iso)} ({number_text(speed)}) "
        f"= EV100 {number_text(av + tv - speed)}"
    )


def _signed(stops: float) -> str:
    body = number_text(stops)
    return body if body == "0" or stops < 0 else f"+{body}"


@dataclass(frozen=True, slots=True)
class Scene:
    """A kind of light and its range of EV at ISO 100; sun rows are for front light, side −1, back −2."""

    words: str
    low_ev100: float
    high_ev100: float


SCENES = (  # EV at ISO 100; ANSI PH2.7-1973 (R1986), daylight, natural and artificial light rows
    Scene("light sand or snow in full or slightly hazy sun", 16, 16),
    Scene("a typical scene in full or slightly hazy sun", 15, 15),
    Scene("a typical scene in hazy sun with soft shadows", 14, 14),
    Scene("a typical scene, cloudy bright, no shadows", 13, 13),
    Scene("a typical scene under heavy overcast", 12, 12),
    Scene("open shade in clear sunlight", 12, 12),
    Scene("a skyline just before sunset", 12, 14),
    Scene("a skyline at sunset", 12, 12),
    Scene("a skyline just after sunset", 9, 11),
    Scene("a rainbow against a clear sky", 15, 15),
    Scene("a rainbow against a cloudy sky", 14, 14),
    Scene("a bright street at night", 8, 8),
    Scene("a street with window displays at night", 7, 8),
    Scene("floodlit buildings, monuments and fountains", 3, 5),
    Scene("distant lit buildings", 2, 2),
    Scene("a landscape under a full moon above 40°", -3, -2),
    Scene("a landscape under a gibbous moon", -4, -4),
    Scene("a landscape under a quarter moon", -6, -6),
    Scene("a bright aurora", -4, -3),
    Scene("a medium aurora", -6, -5),
)


def scenes_like(scene_ev100: float) -> tuple[Scene, ...]:
    """Return the known scenes nearest to this EV at ISO 100, within one stop; () when there is none.

    All that lie as near to a third of a stop, for a meter tells no more.
    """
    away = {s: max(s.low_ev100 - scene_ev100, scene_ev100 - s.high_ev100, 0.0) for s in SCENES}
    least = min(away.values())
    return tuple(s for s in SCENES if away[s] <= least + SAME_STOPS) if least <= 1 else ()
