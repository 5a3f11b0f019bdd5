"""What exercises are asked of and written with: the sure pictures of a trip, and settings in words.

One surprising decision: a picture with a guessed value is not here at all, so that no answer can hang on one.
"""

import re
from collections.abc import Sequence

from logbook.craft.exposure import Settings, same
from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.marks import number_text
from logbook.craft.reach import Choice, Reach
from logbook.craft.settings_text import APERTURE_FIRST, settings_told
from logbook.faces.report.frames import MeteredPicture, frames
from logbook.faces.report.models import Reference
from logbook.faces.report.order import Order
from logbook.faces.words.glass import filters_text
from logbook.faces.words.phrases import listed
from logbook.services.plans.packing import packed_filters

_WITH_ARTICLE = re.compile(r"(?<!two )(?<!three )\b(polariser|graduated)")
CHOICES_MAX = 4  # stacks in one answer

Made = tuple[str, tuple[Reference, ...], str, tuple[str, ...]]  # question, what to look at, answer, working


class TripAsked:
    """What the questions are made from: sure pictures only."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.sure = tuple(frame for frame in frames(order) if frame.sure)
        self.lit = tuple(frame for frame in self.sure if _one_answer(frame))
        strong = [frame for frame in self.lit if (frame.light.filter_stops or 0) >= 1]
        self.filtered = sorted(strong, key=lambda frame: (-(frame.light.filter_stops or 0), frame.number))
        self.packed = _packed(order)


def _one_answer(frame: MeteredPicture) -> bool:
    """Whether a picture tells the light exactly: no bias, and no filter whose strength hangs on its turn."""
    low, high = frame.light.scene_low_ev100, frame.light.scene_high_ev100
    return low is not None and low == high and not frame.light.bias_stops


def _packed(order: Order) -> tuple[Filter, ...]:
    """The packed neutral filters whose strength is known, weakest first; the rest stays private."""
    known = [one for one in packed_filters(order.account) if one.kind is FilterKind.ND and one.typical_stops]
    return tuple(sorted(known, key=lambda one: (one.typical_stops or 0.0, one.name)))


def scene_text(frame: MeteredPicture) -> str:
    """Return the light of a scene, EV at ISO 100."""
    return number_text(frame.scene_ev100 or 0.0)


def see(*seen: MeteredPicture) -> tuple[Reference, ...]:
    """Return the links to the pictures that a question is about."""
    return tuple(Reference(f"Picture {frame.number}", frame.anchor) for frame in seen)


def bare(settings: Settings) -> str:
    """Return settings without their filters: "f/11, 4 s and ISO 100"."""
    return listed(settings_told(settings, APERTURE_FIRST))


def with_filters(settings: Settings) -> str:
    """Return settings with what was on the lens."""
    if not settings.filters:
        return f"{bare(settings)} without filters"
    stack = _WITH_ARTICLE.sub(r"a \1", named(settings.filters))
    return f"{bare(settings)} with {stack}"


def named(filters: Sequence[Filter]) -> str:
    """Return a stack as people say it; nothing for none."""
    return filters_text(one.name for one in filters)


def near(reached: Reach) -> list[Choice]:
    """Return the stacks that give a wished time as nearly as a dial can tell."""
    return [choice for choice in reached.choices if same(choice.beyond_stops)][:CHOICES_MAX]
