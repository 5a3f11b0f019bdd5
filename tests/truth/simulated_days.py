"""Simulated days of a photographer whose filters are known; measured by judged_days.py.

The simulator shares no number with the inference but the third of a stop of metering noise and the light at
sunset and at the end of civil twilight, which both have from one source. Light follows the
sun's height (see LIGHT_BY_HEIGHT), clouds come as a slow wander and as edges that pass, and the photographer
turns, zooms, brackets, bursts, changes aperture and ISO, and screws filters on and off with or without a new
framing. What a camera cannot know (the filters) is kept beside the frames.
"""

import itertools
import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter
from logbook.craft.inference.frames import Frame

PATIENCE_S, COMFORT_S = (
    240.0,
    60.0,
)  # nobody waits longer; past the latter aperture opens and ISO rises
FLOOR_EV100 = -4.0  # stars, a low moon and the glow of a village

# Height of the sun in degrees against EV100 of a level grey surface in clear air: log2(lx / 2.5). 100 000 lx
# high, 585-410 lx at sunset and 3.5-2 lx at -6 deg (AMS Glossary of Meteorology); the rest recalled from
# memory.
LIGHT_BY_HEIGHT = (
    (-18.0, -9.5),
    (-12.0, -8.0),
    (-6.0, 0.2),
    (-0.8, 7.6),
    (5.0, 10.9),
    (10.0, 12.0),
    (20.0, 13.3),
    (40.0, 14.7),
    (90.0, 15.3),
)
STRENGTHS = ("nd4", "nd8", "nd16", "nd32", "nd64", "nd256", "nd1024")
OTHERS = ("pol", "gnd8", "soft gnd4", "uv")
MARKS_F = (2.8, 4.0, 5.6, 8.0, 11.0, 16.0)


@dataclass(frozen=True, slots=True)
class Manner:
    """How hard a day is; the defaults are the standard trial."""

    name: str = "standard"
    filters: tuple[int, int] = (2, 6)  # packed, fewest and most
    others: float = 0.5  # chance that a packed filter is a polariser, graduated or clear one
    metering_stops: float = 1 / 3  # deviation of each metered exposure
    change: float = 0.3  # chance of other filters between two acts
    reframe: float = 0.3  # chance of another framing between two acts
    with_change: float = 0.3  # the same, when filters change too
    framing_stops: float = 0.6  # deviation of light between framings
    compass: float = 0.4  # chance that a body writes its direction
    cloud_stops: tuple[float, float] = (0.7, 1.8)  # depth of passing clouds
    broken_cloud: float = 0.35  # chance of a day with passing clouds
    pause_min: float = 1.5  # median pause between acts
    acts: tuple[int, int] = (3, 12)  # per viewpoint
    manual_deviation: float = 0.25  # deliberate departure from the meter when exposing by hand, unrecorded
    sun_known: bool = True  # place and clock known, so that the sun's height is
    twilight: float = 0.4  # chance that a viewpoint is visited around sunrise or sunset


STANDARD = Manner()
MANNERS = (
    STANDARD,
    replace(STANDARD, name="sun unknown", sun_known=False),
    replace(STANDARD, name="few keepers", acts=(2, 5), pause_min=4.0),
    replace(STANDARD, name="no polariser or other packed", others=0.0),
    replace(STANDARD, name="no filter ever used", change=0.0),
    replace(STANDARD, name="always twilight", twilight=1.0),
    replace(STANDARD, name="no compass", compass=0.0),
    replace(STANDARD, name="noise of half a stop", metering_stops=0.5),
    replace(STANDARD, name="new framing with each change", with_change=1.0),
    replace(STANDARD, name="heavy clouds", cloud_stops=(1.5, 3.5), broken_cloud=1.0),
    replace(STANDARD, name="contrasty places", framing_stops=1.5, reframe=0.6, compass=0.0),
)


@dataclass(frozen=True, slots=True)
class Act:
    """One act of exposing: its frames, and the filters really on the lens."""

    keys: tuple[str, ...]
    stack: tuple[Filter, ...]


@dataclass(frozen=True, slots=True)
class Day:
    """Frames of one day, the kit packed, and the truth: acts of each viewpoint in order."""

    frames: tuple[Frame, ...]
    kit: tuple[Filter, ...]
    viewpoints: tuple[tuple[Act, ...], ...]


class Sky:
    """Scene light of one day as EV100 over time in s."""

    def __init__(self, chance: random.Random, manner: Manner) -> None:
        """Draw latitude, season and clouds."""
        self.chance = chance
        self.latitude = math.radians(chance.uniform(0, 55))
        self.declination = math.radians(chance.uniform(-23, 23))
        self.broken = chance.random() < manner.broken_cloud
        self.depth = chance.uniform(*manner.cloud_stops)
        self.veil = -abs(chance.gauss(0, 1.0)) if chance.random() < 0.5 else 0.0
        self.wander_stops = chance.choice((0.1, 0.2, 0.35))
        self.wander = chance.gauss(0, self.wander_stops)
        self.clouded = chance.random() < 0.5
        self.slope = chance.uniform(0.85, 1.15)  # how steeply dusk falls: haze, hills, the side one looks at
        self.until_s = 0.0
        self.last_s = 0.0

    def height_deg(self, at_s: float) -> float:
        """Height of the sun in degrees."""
        hour = math.radians((at_s / 3600 - 12) * 15)
        sine = math.sin(self.latitude) * math.sin(self.declination) + math.cos(self.latitude) * math.cos(
            self.declination
        ) * math.cos(hour)
        return math.degrees(math.asin(sine))

    def ev100(self, at_s: float) -> float:
        """Light at a time; asked in order of time."""
        height = self.height_deg(at_s)
        clear = LIGHT_BY_HEIGHT[0][1]
        for (low, dim), (high, bright) in itertools.pairwise(LIGHT_BY_HEIGHT):
            if height >= low:
                clear = dim + (bright - dim) * (height - low) / (high - low)
        passed = max(0.0, at_s - self.last_s)
        keep = math.exp(-passed / 720)  # the wander forgets in twelve minutes
        self.wander = keep * self.wander + math.sqrt(1 - keep * keep) * self.chance.gauss(
            0, self.wander_stops
        )
        while self.broken and self.until_s < at_s:
            self.clouded = not self.clouded
            self.until_s = max(self.until_s, at_s - 3600) + self.chance.expovariate(1 / 300)
        self.last_s = at_s
        clear = 7.0 + (clear - 7.0) * self.slope
        cloud = -self.depth if self.broken and self.clouded and height > 3 else 0.0
        return max(FLOOR_EV100, clear + self.veil + self.wander + cloud)


def packed_kit(chance: random.Random, manner: Manner) -> tuple[Filter, ...]:
    """Draw a kit: at least one neutral-density filter; the same strength may be packed twice."""
    count = chance.randint(*manner.filters)
    names = [chance.choice(STRENGTHS)]
    for _ in range(count - 1):
        other = chance.random() < manner.others / 2
        names.append(chance.choice(OTHERS) if other else chance.choice(STRENGTHS))
    return tuple(parse_filter(name) for name in names)


def simulated_day(seed: int, manner: Manner = STANDARD) -> Day:
    """Return the day of this seed."""
    chance = random.Random(f"{manner.name} {seed}")
    sky = Sky(chance, manner)
    kit = packed_kit(chance, manner)
    return _Photographer(chance, manner, sky, kit).day()


class _Photographer:
    def __init__(self, chance: random.Random, manner: Manner, sky: Sky, kit: tuple[Filter, ...]) -> None:
        self.chance, self.manner, self.sky, self.kit = chance, manner, sky, kit
        self.number = chance.randint(1, 9999)
        self.frames: list[Frame] = []
        self.writes_direction = chance.random() < manner.compass
        self.at_s = 0.0

    def day(self) -> Day:
        starts = sorted(self._start() for _ in range(self.chance.randint(1, 4)))
        viewpoints = []
        for number, start in enumerate(starts):
            self.at_s = max(start, self.at_s + 600)
            viewpoints.append(self._viewpoint(f"viewpoint {number}"))
        return Day(tuple(self.frames), self.kit, tuple(viewpoints))

    def _start(self) -> float:
        low = [m for m in range(1440) if -8 <= self.sky.height_deg(m * 60.0) <= 4]
        if low and self.chance.random() < self.manner.twilight:
            return (self.chance.choice(low) - 15) * 60.0
        high = [m for m in range(1440) if self.sky.height_deg(m * 60.0) > 8]
        return self.chance.choice(high or list(range(600, 900))) * 60.0

    def _viewpoint(self, name: str) -> tuple[Act, ...]:
        chance = self.chance
        metered = chance.random() < 0.6
        stack: tuple[Filter, ...] = self._other_stack(()) if chance.random() < 0.25 else ()
        if not self.manner.change:
            stack = ()
        place = chance.gauss(0.8, 0.7)  # sky in the frame, bright or dark ground
        framing, offset = self._framing(), chance.gauss(0, self.manner.framing_stops)
        f_number, iso = chance.choice(MARKS_F), 100.0
        acts = []
        for number in range(chance.randint(*self.manner.acts)):
            if number:
                pause = self.manner.pause_min * 60 * math.exp(chance.gauss(0, 0.8))
                changed = chance.random() < self.manner.change
                if changed:
                    stack = self._other_stack(stack)
                    pause = max(pause, 15.0)
                if chance.random() < (self.manner.with_change if changed else self.manner.reframe):
                    framing, offset = self._framing(), chance.gauss(0, self.manner.framing_stops)
                if chance.random() < 0.3:
                    f_number = chance.choice(MARKS_F)
                if chance.random() < 0.1:
                    iso = chance.choice((100.0, 200.0, 400.0))
                self.at_s += max(1.0, pause)
            # nobody waits an hour: what is too dark even wide open and fast comes off
            while stack and self._longest_stops(stack, place + offset) > math.log2(PATIENCE_S):
                stack = tuple(sorted(stack, key=lambda item: item.typical_stops or 0.0)[:-1])
                self.at_s += 15.0
            acts.append(self._act(name, metered, stack, place + offset, framing, f_number, iso))
        return tuple(acts)

    def _longest_stops(self, stack: tuple[Filter, ...], offset: float) -> float:
        """log2 of the time in s that f/2.8 and ISO 1600 would need."""
        light = self.sky.ev100(self.at_s) + offset - math.fsum(item.typical_stops or 0.0 for item in stack)
        return 2 * math.log2(2.8) - 4 - light

    def _framing(self) -> Frame:
        """A framing as the camera writes it; its direction only if this body has a compass."""
        direction = self.chance.uniform(0, 360) if self.writes_direction else None
        return Frame(
            key="",
            at_s=0,
            focal_mm=self.chance.choice((16.0, 20.0, 24.0, 24.0, 35.0, 35.0, 50.0, 70.0, 135.0)),
            portrait=self.chance.random() < 0.3,
            direction_deg=direction,
        )

    def _other_stack(self, stack: tuple[Filter, ...]) -> tuple[Filter, ...]:
        """Put one on, take one off, take all off, or exchange one."""
        chance = self.chance
        packed = list(self.kit)
        for item in stack:
            packed.remove(item)
        ways = ["on"] * 3 if packed and len(stack) < 3 else []
        ways += ["off", "all", "all", "exchange"] if stack else []
        way = chance.choice(ways)
        left = list(stack)
        if way == "all":
            return ()
        if way in ("off", "exchange"):
            left.remove(chance.choice(left))
        if way in ("on", "exchange") and packed:
            left.append(chance.choice(packed))
        return tuple(left)

    def _act(
        self,
        viewpoint: str,
        metered: bool,
        stack: tuple[Filter, ...],
        offset: float,
        framing: Frame,
        f_number: float,
        iso: float,
    ) -> Act:
        chance = self.chance
        light = min(16.3, self.sky.ev100(self.at_s) + offset)  # no scene is brighter than sunlit snow
        lost = math.fsum(
            chance.uniform(item.low_stops or 0.0, item.high_stops or 0.0) for item in stack
        )  # a polariser takes what its turn gives
        error = chance.gauss(0, self.manner.metering_stops)
        bias = chance.choice((-1.0, -2 / 3, -1 / 3, 1 / 3, 2 / 3)) if chance.random() < 0.25 else 0.0
        by_hand = 0.0 if metered else chance.gauss(0, self.manner.manual_deviation)
        aimed = light - lost + error - (bias if metered else by_hand)
        while 2 ** (2 * math.log2(f_number) - math.log2(iso / 100) - aimed) > COMFORT_S and (
            f_number > 2.8 or iso < 3200
        ):
            if f_number > 2.8:
                f_number = MARKS_F[MARKS_F.index(f_number) - 1]
            else:
                iso *= 2
        kind = chance.choices(("single", "bracket", "burst"), (0.78, 0.14, 0.08))[0]
        shifts: Sequence[float] = (0.0,)
        if kind == "bracket":
            shifts = chance.choice(((0.0, -2.0, 2.0), (0.0, -1.0, 1.0), (-2.0, -1.0, 0.0, 1.0, 2.0)))
        elif kind == "burst":
            shifts = (0.0,) * chance.randint(3, 8)
        tagged = kind == "bracket" and chance.random() < 0.7
        keys = []
        av = 2 * math.log2(f_number)
        for shift in shifts:
            tv = round((aimed - shift - av + math.log2(iso / 100)) * 3) / 3  # dials have thirds
            exposure_s = 2**-tv
            recorded = bias + shift if metered else (shift if tagged else 0.0)
            key = f"{len(self.frames):05d}"
            keys.append(key)
            self.frames.append(
                replace(
                    framing,
                    key=key,
                    at_s=float(int(self.at_s)),
                    ev100=av + tv - math.log2(iso / 100),
                    aperture=f_number,
                    exposure_s=exposure_s,
                    iso=iso,
                    bias_stops=recorded,
                    metered=metered,
                    auto_bracket=tagged,
                    viewpoint=viewpoint,
                    body="one body",
                    file_number=self.number,
                    stem="frame",
                    suffix=".raw",
                    sun_height_deg=self.sky.height_deg(self.at_s) if self.manner.sun_known else None,
                )
            )
            self.number = self.number % 9999 + 1
            self.at_s += exposure_s + (0.3 if kind == "burst" else 0.8)
        return Act(tuple(keys), stack)
