"""A picture's settings as the arithmetic takes them, and the light that they tell of.

One surprising decision: a value that was assumed or inferred still counts in a pair, where its word stands
beside it, but never in an exercise, whose answer must not hang on a guess.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import SceneLight, Settings, scene_light
from logbook.craft.filter_types import Filter
from logbook.craft.filters import parse_filter
from logbook.domain.camera import ExposureMode
from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, SetKind, Support
from logbook.faces.report.order import Order

_SURE = (Provenance.CAMERA, Provenance.STATED)
_BY_HAND = (ExposureMode.MANUAL, ExposureMode.BULB)  # there a bias changes nothing


@dataclass(frozen=True, slots=True)
class MeteredPicture:
    """One picture whose aperture, time and speed are known; `sure`: none of it assumed or inferred."""

    keeper: Keeper
    number: int
    settings: Settings
    light: SceneLight
    sure: bool

    @property
    def scene_ev100(self) -> float | None:
        """The light of the scene, EV at ISO 100; None where the filters are unknown."""
        return self.light.scene_ev100

    @property
    def anchor(self) -> str:
        """Where the page shows the picture."""
        return f"picture-{self.number}"

    @property
    def is_metered(self) -> bool:
        """Whether the camera set the exposure by the light that it found."""
        mode = self.keeper.exposure_mode
        return mode is not None and mode not in _BY_HAND

    @property
    def support(self) -> str:
        """What held the camera, as a word; nothing noted is unknown."""
        return str(self.keeper.support or Support.UNKNOWN)


def frames(order: Order) -> tuple[MeteredPicture, ...]:
    """Return the pictures whose exposure is known, in the order they were taken."""
    found = (_frame(keeper, order.keeper_numbers[keeper.id]) for keeper in order.keepers)
    return tuple(frame for frame in found if frame)


def brackets(order: Order) -> tuple[tuple[str, ...], ...]:
    """Return the keeper ids of every bracket that the book knows of, each in its own order."""
    return tuple(one.keeper_ids for one in order.account.sets if one.kind is SetKind.BRACKET)


def are_apart(order: Order, frame: MeteredPicture, others: Iterable[MeteredPicture]) -> bool:
    """Tell whether a person said that a picture is no set with any of some others."""
    ids = {one.keeper.id for one in others}
    groups = (set(one.keeper_ids) for one in order.account.apart)
    return any(frame.keeper.id in group and ids & group for group in groups)


def filters_of(names: tuple[str, ...] | None) -> tuple[Filter, ...] | None:
    """Return filters as they were written; None is unknown; a name that cannot be one takes unknown stops."""
    if names is None:
        return None
    return tuple(_filter(name) for name in names)


def _filter(name: str) -> Filter:
    try:
        return parse_filter(name)
    except CraftValueError:
        return parse_filter("another filter")  # an impossible strength says nothing


def _frame(keeper: Keeper, number: int) -> MeteredPicture | None:
    if keeper.f_number is None or keeper.exposure_s is None or keeper.iso is None:
        return None
    bias = 0.0 if keeper.exposure_mode in _BY_HAND else keeper.bias_stops or 0.0
    try:
        settings = Settings(keeper.f_number, keeper.exposure_s, keeper.iso, filters_of(keeper.filters))
        light = scene_light(settings, bias_stops=bias)
    except CraftValueError:
        return None  # a file may carry an aperture of 0
    names = ("f_number", "exposure_s", "iso") + (("filters",) if keeper.filters is not None else ())
    sure = all(keeper.provenance_of(name) in _SURE for name in names)
    return MeteredPicture(keeper, number, settings, light, sure)
