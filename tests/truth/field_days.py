"""Days in the field: harder and nearer to what trips are than simulated_days.py, filters known as there.

Light is the illuminance of Janiczek and DeYoung, Computer Programs for Sun and Moon Illuminance, USNO
Circular 171 (1987), pp. 21-22, written here a second time and without the program's own light. Filters are
off their marks, dials have thirds, what takes longer than half a minute is counted by hand in round numbers,
small turns and zooms leave no trace, seven of ten frames are kept, exposures set by hand follow the meter, a
sum in the head or nothing, some bodies write down what they metered, and some pictures were developed by
hand. All the numbers of people and weather are the author's guess (common practice, no source).
"""

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.filters import parse_filter
from logbook.craft.inference.frames import Frame
from tests.truth.simulated_days import Act, Day

THIRD = 1 / 3
DARKEST_EV100 = -4.0  # stars and the lamps of a village
METER_FLOOR_EV100 = -3.0  # bodies meter no lower (makers' own figures lie from -6 to 0)
BULB_FROM_S = 30.0  # the longest time on a dial
COUNTED_S = (35, 40, 45, 50, 60, 75, 90, 105, 120, 150, 180, 210, 240, 300, 360, 480)
STOPS_F = tuple(math.sqrt(2) ** (third / 3) for third in range(9, 25))  # f/2.8 to f/16
NEUTRAL = ("nd4", "nd8", "nd8", "nd8", "nd16", "nd32", "nd64", "nd128", "nd256", "nd1024")
OTHER = ("pol", "pol", "gnd8", "uv")


@dataclass(frozen=True, slots=True)
class Habit:
    """How a day in the field goes; the defaults are the trial."""

    name: str = "field"
    change: float = 0.25  # chance of other filters between two acts
    by_hand: float = 0.45  # chance that a viewpoint is exposed by hand
    kept: float = 0.7  # share of frames kept
    moved: float = 0.35  # chance of a small turn or zoom that no tag tells of
    moved_stops: float = 0.5  # deviation of the light it brings
    reframed: float = 0.2  # chance of another framing, which focal length tells
    reframed_stops: float = 0.8
    off_mark: float = 0.04  # deviation of a filter's strength, as a share of its stops
    metering_stops: float = 0.25
    writes_light: float = 0.5  # chance that the body writes what it metered
    developed: float = 0.5  # chance that a picture was developed by hand
    broken_cloud: float = 0.35
    dusk: float = 0.45  # chance that a viewpoint is visited in the hour around sunrise or sunset
    acts: tuple[int, int] = (4, 12)
    shows_picture: bool = True  # the brightness of the pictures is known


FIELD = Habit()
HABITS = (
    FIELD,
    replace(FIELD, name="field, no filter used", change=0.0),
    replace(FIELD, name="field, steady light, no filter used", change=0.0, broken_cloud=-1.0, dusk=0.0),
    replace(FIELD, name="field, filters seldom changed", change=0.05),
    replace(FIELD, name="field, all metered", by_hand=0.0),
    replace(FIELD, name="field, all by hand", by_hand=1.0),
    replace(FIELD, name="field, all bodies write their reading", writes_light=1.0),
    replace(FIELD, name="field, no reading, pictures not looked at", writes_light=0.0, shows_picture=False),
    replace(FIELD, name="field, large untraced turns", moved=0.5, moved_stops=1.0),
    replace(FIELD, name="field, always dusk", dusk=1.0),
)


def circular_lx(height_deg: float) -> float:
    """Light on level ground in lx; REFR and ATMOS of the circular, its terms in its order."""
    lifted = height_deg
    if height_deg >= -5 / 6:
        lifted += 1 / math.tan(math.radians(height_deg + 8.6 / (height_deg + 4.42))) / 60
    sine, cosine = math.sin(math.radians(lifted)), math.cos(math.radians(lifted))
    tilt = math.asin(753.66156 * cosine / 754.66156)
    mass = 753.66156 * (math.cos(tilt) - sine) + math.cos(tilt)
    direct = math.exp(-0.21 * mass) * sine
    scattered = 0.0289 * math.exp(-0.042 * mass) * (1 + (lifted + 90) * sine / 57.29577951)
    return 133775 * (max(0.0, direct) + scattered)


def _counted(exposure_s: float) -> float:
    """The round number nearest to a time, as somebody with a watch counts."""
    return float(min(COUNTED_S, key=lambda counted_s: abs(math.log2(counted_s / exposure_s))))


class Weather:
    """Scene light of one day over time in s, as EV at ISO 100 of a grey surface."""

    def __init__(self, chance: random.Random, habit: Habit) -> None:
        """Draw latitude, season and clouds; a negative chance of broken cloud is a day without any change."""
        self.chance = chance
        self.latitude = math.radians(chance.uniform(-60, 60))
        self.declination = math.radians(chance.uniform(-23.4, 23.4))
        steady = habit.broken_cloud < 0
        self.broken = chance.random() < habit.broken_cloud
        self.depth = chance.uniform(0.6, 2.0)
        self.overcast = chance.choice((0.0, 0.0, chance.uniform(0.3, 3.0)))
        self.wander_stops = 0.05 if steady else chance.uniform(0.1, 0.4)
        self.wander = chance.gauss(0, self.wander_stops)
        self.is_covered, self.until_s, self.last_s = False, 0.0, 0.0

    def height_deg(self, at_s: float) -> float:
        """Geometric height of the sun in degrees."""
        turn = math.radians(at_s / 240 - 180)
        sine = math.sin(self.latitude) * math.sin(self.declination)
        sine += math.cos(self.latitude) * math.cos(self.declination) * math.cos(turn)
        return math.degrees(math.asin(max(-1.0, min(1.0, sine))))

    def ev100(self, at_s: float) -> float:
        """Light at a time; asked in order of time."""
        height = max(-11.0, self.height_deg(at_s))
        keep = math.exp(-max(0.0, at_s - self.last_s) / 600)
        self.wander = keep * self.wander + math.sqrt(1 - keep**2) * self.chance.gauss(0, self.wander_stops)
        while self.broken and self.until_s < at_s:
            self.is_covered = not self.is_covered
            self.until_s = max(self.until_s, at_s - 3600) + self.chance.expovariate(1 / 280)
        self.last_s = at_s
        cloud = self.depth if self.broken and self.is_covered and height > 2 else 0.0
        return math.log2(circular_lx(height) / 2.5) - self.overcast + self.wander - cloud


def field_day(seed: int, habit: Habit = FIELD) -> Day:
    """Return the day of this seed."""
    chance = random.Random(f"field {habit.name} {seed}")
    names = [chance.choice(NEUTRAL)]
    names += [
        chance.choice(NEUTRAL if chance.random() < 0.75 else OTHER) for _ in range(chance.randint(1, 4))
    ]
    return _Walk(chance, habit, tuple(parse_filter(name) for name in names)).day()


class _Walk:
    """One body carried through a day."""

    def __init__(self, chance: random.Random, habit: Habit, kit: tuple[Filter, ...]) -> None:
        self.chance, self.habit, self.kit = chance, habit, kit
        self.weather = Weather(chance, habit)
        self.off_mark = [max(-0.12, min(0.12, chance.gauss(0, habit.off_mark))) for _ in kit]
        self.writes_light = chance.random() < habit.writes_light
        self.body_off = chance.gauss(0, 0.3)  # what it writes lies off what it does, alike in all frames
        self.has_compass = chance.random() < 0.3
        self.frames: list[Frame] = []
        self.count = chance.randint(1, 9000)
        self.at_s = 0.0

    def day(self) -> Day:
        starts = sorted(self._begin() for _ in range(self.chance.randint(1, 4)))
        viewpoints = []
        for number, start in enumerate(starts):
            self.at_s = max(start, self.at_s + 900)
            viewpoints.append(self._viewpoint(f"viewpoint {number}"))
        kept = {frame.key for frame in self.frames if self.chance.random() < self.habit.kept}
        acts = tuple(
            tuple(
                Act(keys, act.stack)
                for act in acts
                if (keys := tuple(key for key in act.keys if key in kept))
            )
            for acts in viewpoints
        )
        return Day(tuple(frame for frame in self.frames if frame.key in kept), self.kit, acts)

    def _begin(self) -> float:
        heights = [(minute * 60.0, self.weather.height_deg(minute * 60.0)) for minute in range(0, 1440, 3)]
        dusk = [at for at, height in heights if -8 <= height <= 5]
        light = [at for at, height in heights if height > 12] or [at for at, height in heights if height > 0]
        wanted = dusk if dusk and self.chance.random() < self.habit.dusk else light or dusk
        return self.chance.choice(wanted) if wanted else 43_200.0

    def _viewpoint(self, name: str) -> list[Act]:
        chance, habit = self.chance, self.habit
        by_hand = chance.random() < habit.by_hand
        worn: tuple[int, ...] = ()
        if habit.change and chance.random() < 0.25:
            worn = self._other(())
        place = chance.gauss(-0.2, 0.8)  # walls, trees, snow, sky in the frame
        framing, turned = self._framing(), chance.gauss(0, habit.reframed_stops)
        f_number, iso = chance.choice(STOPS_F), 100.0
        last: tuple[float, float] | None = (
            None  # what was dialled last, in EV, and what the filters took then
        )
        acts = []
        for number in range(chance.randint(*habit.acts)):
            if number:
                pause = 80 * math.exp(chance.gauss(0, 0.9))
                if chance.random() < habit.change:
                    worn = self._other(worn)
                    pause = max(pause, 20.0)
                if chance.random() < habit.reframed:
                    framing, turned, last = self._framing(), chance.gauss(0, habit.reframed_stops), None
                elif chance.random() < habit.moved:
                    turned += chance.gauss(0, habit.moved_stops)
                if chance.random() < 0.25:
                    f_number = chance.choice(STOPS_F)
                if chance.random() < 0.1:
                    iso = chance.choice((64.0, 100.0, 200.0, 400.0))
                self.at_s += pause
            light = max(DARKEST_EV100, min(16.5, self.weather.ev100(self.at_s) + place + turned))
            while worn and light - self._lost(worn) + math.log2(iso / 100) < -2.0:  # f/8, 4 min
                worn = tuple(sorted(worn, key=lambda i: self.kit[i].typical_stops or 0.0)[:-1])
            act, last = self._act(name, by_hand, worn, light, framing, f_number, iso, last)
            acts.append(act)
        return acts

    def _lost(self, worn: Sequence[int]) -> float:
        """Stops the worn filters take, each off its mark; a polariser takes what its turn gives."""
        lost = 0.0
        for i in worn:
            item = self.kit[i]
            if item.kind in (FilterKind.GRADUATED, FilterKind.CLEAR):
                continue
            low, high = item.low_stops or 0.0, item.high_stops or 0.0
            lost += self.chance.uniform(low, high) if high > low else low * (1 + self.off_mark[i])
        return lost

    def _other(self, worn: tuple[int, ...]) -> tuple[int, ...]:
        """Put one on, take one or all off, or exchange one."""
        chance = self.chance
        left = [i for i in range(len(self.kit)) if i not in worn]
        ways = (["on"] * 3 if left and len(worn) < 3 else []) + (["off", "all", "all"] if worn else [])
        ways += ["exchange"] if worn and left else []
        way = chance.choice(ways)
        if way == "all":
            return ()
        now = list(worn)
        if way != "on":
            now.remove(chance.choice(now))
        if way != "off":
            now.append(chance.choice(left))
        return tuple(now)

    def _framing(self) -> Frame:
        direction = self.chance.uniform(0, 360) if self.has_compass else None
        focal = self.chance.choice((14.0, 18.0, 21.0, 24.0, 28.0, 35.0, 50.0, 85.0, 120.0))
        return Frame("", 0.0, focal_mm=focal, portrait=self.chance.random() < 0.3, direction_deg=direction)

    def _dialled(
        self, by_hand: bool, metered: float, nominal: float, last: tuple[float, float] | None
    ) -> float:
        """The EV aimed at: the camera's, or by hand after the meter, after the last frame, or as it stood."""
        if not by_hand:
            return metered
        way = self.chance.random()
        if last is not None and way < 0.3 and abs(metered - (last[0] + last[1] - nominal)) < 2:
            return last[0] + last[1] - nominal  # the last exposure, and a sum for the filters
        return metered + self.chance.gauss(0, 0.4)

    def _act(
        self,
        viewpoint: str,
        by_hand: bool,
        worn: tuple[int, ...],
        light: float,
        framing: Frame,
        f_number: float,
        iso: float,
        last: tuple[float, float] | None,
    ) -> tuple[Act, tuple[float, float]]:
        chance = self.chance
        behind = light - self._lost(worn)
        metered = behind + chance.gauss(0, self.habit.metering_stops)
        nominal = math.fsum(
            self.kit[i].typical_stops or 0.0 for i in worn if self.kit[i].kind is not FilterKind.GRADUATED
        )
        bias = chance.choice((-1.0, -2 / 3, -THIRD, THIRD, 2 / 3, 1.0)) if chance.random() < 0.25 else 0.0
        aimed = self._dialled(by_hand, metered, nominal, last)
        while 2 ** (2 * math.log2(f_number) - math.log2(iso / 100) - aimed) > 240 and iso < 3200:
            iso *= 2
        shifts: Sequence[float] = (0.0,)
        drawn = chance.random()
        if drawn < 0.12:
            shifts = chance.choice(((0.0, -2.0, 2.0), (0.0, -1.0, 1.0), (-2.0, -1.0, 0.0, 1.0, 2.0)))
        elif drawn < 0.18:
            shifts = (0.0,) * chance.randint(3, 6)
        tagged = len(set(shifts)) > 1 and chance.random() < 0.6
        keys, av = [], 2 * math.log2(f_number)
        content = chance.gauss(0, 0.35)
        for shift in shifts:
            meant = shift if by_hand else bias + shift
            tv = round((aimed - meant - av + math.log2(iso / 100)) * 3) / 3
            exposure_s, bulb = 2.0**-tv, False
            if exposure_s > BULB_FROM_S * 1.1:
                exposure_s, bulb = _counted(exposure_s), True
                meant, tagged = 0.0, False  # no dial says how it was meant
            ev100 = av - math.log2(exposure_s) - math.log2(iso / 100)
            key = f"{len(self.frames):05d}"
            keys.append(key)
            recorded = meant if tagged or not by_hand else 0.0
            self.frames.append(
                replace(
                    framing,
                    key=key,
                    at_s=float(int(self.at_s)),
                    ev100=ev100,
                    aperture=round(f_number, 1),
                    exposure_s=exposure_s,
                    iso=iso,
                    bias_stops=recorded,
                    metered=not (by_hand or bulb),
                    by_bulb=bulb,
                    auto_bracket=tagged,
                    viewpoint=viewpoint,
                    body="one body",
                    file_number=self.count,
                    stem="frame",
                    suffix=".raw",
                    sun_height_deg=self.weather.height_deg(self.at_s),
                    reading_ev100=self._written(metered),
                    picture_stops=self._shown(behind - ev100 + content),
                )
            )
            self.count = self.count % 9999 + 1
            self.at_s += exposure_s + 0.7
        return Act(tuple(keys), tuple(self.kit[i] for i in worn)), (aimed, nominal)

    def _written(self, metered: float) -> float | None:
        if not self.writes_light:
            return None
        return round(max(METER_FLOOR_EV100, metered) + self.body_off + self.chance.gauss(0, 0.1), 1)

    def _shown(self, over: float) -> float | None:
        """Stops from a middle grey; developing by hand takes most of what was off away and adds its own."""
        if not self.habit.shows_picture:
            return None
        if self.chance.random() < self.habit.developed:
            over = 0.3 * over + self.chance.gauss(0, 0.5)
        return max(-5.0, min(1.8, over))
