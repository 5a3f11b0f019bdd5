"""Which one decision two pictures of a view differ in, and what only makes up for it.

One surprising decision: an aperture that changed is always the decision and never makes up for another one,
because its mark on the picture cannot be told from a choice; a neutral filter is never the decision while
something else changed, because it leaves no mark of its own. Equal times and apertures that traded places are
therefore a pair about the aperture.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from logbook.craft.exposure import SAME_STOPS, Settings, compare, same
from logbook.craft.filter_types import Filter
from logbook.craft.filters import stack_stops

_FIRMNESS = {"handheld": 0, "braced": 1, "monopod": 2, "tripod": 3}  # other supports may be any of these


class Decision(StrEnum):
    """What was decided otherwise for the second picture."""

    FILTER = "filter"
    APERTURE = "aperture"
    TIME = "time"
    ISO = "ISO"
    SUPPORT = "support"
    LIGHT = "light"


class LightBetween(StrEnum):
    """Whether two pictures of a view were made in the light of one moment."""

    SAME = "same"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class AsSet:
    """What was set for a picture; `bias_stops` counts where the camera metered."""

    settings: Settings
    support: str = "unknown"
    bias_stops: float = 0.0


@dataclass(frozen=True, slots=True)
class MadeUp:
    """A setting that changed only to make up for the decision: stops brighter (+) in the second picture."""

    setting: Decision
    stops: float


@dataclass(frozen=True, slots=True)
class OneChange:
    """The decision, by how many stops it makes the second picture brighter (+), and what makes up for it.

    `left_stops` is how much brighter the second picture is in the end: 0 where the exposure is the same
    within a third of a stop, else what the decision gives. For light, `stops` is by how much it rose if both
    pictures came out equally bright.
    """

    decision: Decision
    stops: float
    made_up: tuple[MadeUp, ...] = ()
    left_stops: float = 0.0


@dataclass(frozen=True, slots=True)
class _Apart:
    """What parts two settings, in stops brighter (+) in the second; a polariser's loss is a range."""

    aperture: float
    time: float
    iso: float
    neutral: float
    marked: float
    marked_low: float
    marked_high: float
    other_glass: bool  # a filter that leaves a mark was put on or taken off
    two_glasses: bool  # or more than one

    @property
    def total(self) -> float:
        return self.aperture + self.time + self.iso + self.neutral + self.marked


def one_change(first: AsSet, second: AsSet, light: LightBetween = LightBetween.SAME) -> OneChange | None:
    """Return the one decision in which two pictures differ; None for none, several, or unknown filters.

    Changes of up to a third of a stop are none. Other settings may make up for the decision within a third of
    a stop (within its range for a polariser): neutral filters, and one of time and ISO. A support may be
    another where the longer time has the firmer one.
    """
    apart = _apart(first.settings, second.settings)
    if apart is None or not _support_follows(first, second, apart):
        return None
    if light is LightBetween.OTHER:
        return _by_light(apart, second.bias_stops - first.bias_stops)
    settings = {
        Decision.APERTURE: apart.aperture,
        Decision.TIME: apart.time,
        Decision.ISO: apart.iso,
        Decision.FILTER: apart.neutral,
    }
    if apart.other_glass:
        return None if apart.two_glasses else _decided(Decision.FILTER, apart.marked, settings, apart)
    changed = [setting for setting, stops in settings.items() if not same(stops)]
    if not changed:
        return None if _support(first, second) is None else OneChange(Decision.SUPPORT, 0.0)
    decision = changed[0]
    stops = settings.pop(decision)
    return _decided(decision, stops, settings, apart)


def changed_settings(first: Settings, second: Settings) -> tuple[MadeUp, ...] | None:
    """Return each of aperture, time, ISO and filters that changed, in stops; None for unknown filters."""
    apart = _apart(first, second)
    if apart is None:
        return None
    stops = (
        MadeUp(Decision.APERTURE, apart.aperture),
        MadeUp(Decision.TIME, apart.time),
        MadeUp(Decision.ISO, apart.iso),
    )
    found = tuple(one for one in stops if not same(one.stops))
    glass = MadeUp(Decision.FILTER, apart.neutral + apart.marked)
    return (*found, glass) if apart.other_glass or not same(glass.stops) else found


def _decided(
    decision: Decision, stops: float, others: dict[Decision, float], apart: _Apart
) -> OneChange | None:
    """The decision, if nothing else changed, or if what did only makes up for it."""
    made_up = _changed(others)
    if not made_up:
        return OneChange(decision, stops, (), stops) if same(apart.total - stops) else None
    if decision is Decision.FILTER and apart.other_glass:
        low, high = apart.marked_low, apart.marked_high
    else:
        low = high = stops
    given = apart.total - stops
    is_even = low - SAME_STOPS - 1e-9 <= -given <= high + SAME_STOPS + 1e-9
    return OneChange(decision, stops, made_up) if is_even and _only_makes_up(made_up, stops) else None


def _by_light(apart: _Apart, bias_stops: float) -> OneChange | None:
    """Another light, and settings that followed it; aperture, filter or bias would be a second decision."""
    if apart.other_glass or not same(apart.aperture) or not same(bias_stops):
        return None
    others = {Decision.TIME: apart.time, Decision.ISO: apart.iso, Decision.FILTER: apart.neutral}
    made_up, rose = _changed(others), -apart.total
    if made_up and (same(rose) or not _only_makes_up(made_up, rose)):
        return None
    return OneChange(Decision.LIGHT, rose, made_up)


def _changed(settings: dict[Decision, float]) -> tuple[MadeUp, ...]:
    return tuple(MadeUp(setting, stops) for setting, stops in settings.items() if not same(stops))


def _only_makes_up(made_up: tuple[MadeUp, ...], stops: float) -> bool:
    """Whether all work against the decision, none is an aperture, and no more than one leaves a mark."""
    marks = [one.setting for one in made_up if one.setting is not Decision.FILTER]
    return (
        len(marks) <= 1 and Decision.APERTURE not in marks and all(one.stops * stops < 0 for one in made_up)
    )


def _apart(first: Settings, second: Settings) -> _Apart | None:
    if first.filters is None or second.filters is None:
        return None
    compared = compare(first, second)
    before, after = Counter(first.filters), Counter(second.filters)
    gone, come = list((before - after).elements()), list((after - before).elements())
    grey_off, grey_on = (_stops(one for one in some if not one.type.leaves_mark) for some in (gone, come))
    off, on = ([one for one in some if one.type.leaves_mark] for some in (gone, come))
    lost, met = _stops(off), _stops(on)
    if grey_off is None or grey_on is None or lost is None or met is None:
        return None
    is_swap = len(off) == len(on) == 1 and off[0].kind is on[0].kind
    return _Apart(
        aperture=compared.aperture_stops,
        time=compared.time_stops,
        iso=compared.iso_stops,
        neutral=grey_off.typical - grey_on.typical,
        marked=lost.typical - met.typical,
        marked_low=lost.low - met.high,
        marked_high=lost.high - met.low,
        other_glass=bool(off or on),
        two_glasses=len(off) + len(on) > 1 and not is_swap,
    )


class _Loss(NamedTuple):
    low: float
    typical: float
    high: float


def _stops(filters: Iterable[Filter]) -> _Loss | None:
    """What some filters take, in stops; None where one's loss is unknown."""
    stack = stack_stops(tuple(filters))
    low, typical, high = stack.low_stops, stack.typical_stops, stack.high_stops
    return None if low is None or typical is None or high is None else _Loss(low, typical, high)


def _support(first: AsSet, second: AsSet) -> int | None:
    """1 where the second picture has the firmer support, -1 the first; None where neither is known to."""
    one, other = _FIRMNESS.get(first.support), _FIRMNESS.get(second.support)
    if one is None or other is None or one == other:
        return None
    return 1 if other > one else -1


def _support_follows(first: AsSet, second: AsSet, apart: _Apart) -> bool:
    """Whether another support is the only change, or belongs to a longer time, or there is none."""
    firmer = _support(first, second)
    if firmer is None:
        return True
    if not same(apart.time):
        return apart.time * firmer > 0
    others = (apart.aperture, apart.iso, apart.neutral)
    return not apart.other_glass and all(same(stops) for stops in others)
