"""Lines of sight towards a withheld place: bearings, what viewpoints look at, directions of pictures.

One surprising decision: they are taken out of the account before anything is made of it, so that no drawing,
advice, table or export can forget. The photographer's archive keeps them.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from logbook.domain.account import TripAccount
from logbook.domain.discretion.exactness import is_exact
from logbook.domain.keeper import Keeper
from logbook.domain.position import Position, bearing_deg, distance_m
from logbook.domain.record import Record
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Audience, Disclosure, Provenance

if TYPE_CHECKING:
    from logbook.domain.discretion.audience import Discretion

SEEN_M = 120_000.0  # metres; from a height of 1,100 m the sea's horizon is as far (3.57 km times its root)
UNKNOWN_FIELD_DEG = 35.0  # to either side, where no focal length is known: a wide lens, and the margin
MARGIN_DEG = 12.0  # beyond the edge of the picture; a bearing given as one of 16 winds is 11.25 degrees off
COMPASS_DEG = 25.0  # more where a direction was read from a compass: magnetic declination where people live
_HALF_FRAME_MM = 18.0  # of 36 mm; a smaller sensor sees less, so this errs to the wide side

_OF_VIEWPOINTS = ("facing_deg", "looks_at")
_OF_KEEPERS = ("direction_deg", "direction_is_magnetic")


def without_sight_lines(say: "Discretion") -> TripAccount:
    """Return the account without bearings, views and directions that lead towards a withheld place."""
    account = say.account
    if say.audience is Audience.ARCHIVE:
        return account
    telling, secrets = viewpoints_towards_secrets(say), say.withheld_positions()
    return replace(
        account,
        viewpoints={
            key: replace(one, facing_deg=None, looks_at=None, provenance=_without(one, _OF_VIEWPOINTS))
            if key in telling
            else one
            for key, one in account.viewpoints.items()
        },
        keepers=tuple(
            replace(
                one, direction_deg=None, direction_is_magnetic=None, provenance=_without(one, _OF_KEEPERS)
            )
            if one.viewpoint_id in telling or _points(say, one, secrets)
            else one
            for one in account.keepers
        ),
    )


def viewpoints_towards_secrets(say: "Discretion") -> frozenset[str]:
    """Return the ids of the viewpoints whose bearing, or what they look at, gives a withheld place away."""
    if say.audience is Audience.ARCHIVE:
        return frozenset()
    secrets = say.withheld_positions()
    return frozenset(one.id for one in say.account.viewpoints.values() if _tells(say, one, secrets))


def _tells(say: "Discretion", viewpoint: Viewpoint, secrets: Sequence[Position]) -> bool:
    if viewpoint.looks_at and say.names_a_place(viewpoint.looks_at):
        return True
    if say.shown(viewpoint) is not Disclosure.EXACT:
        return False  # from somewhere in an area a bearing leads nowhere
    site = say.account.sites.get(viewpoint.site_id)
    here = viewpoint.position or (site.position if site else None)
    if here is None or viewpoint.facing_deg is None:
        return False
    return _leads(here, viewpoint.facing_deg, _field_deg(say.account, viewpoint.id), secrets)


def _points(say: "Discretion", keeper: Keeper, secrets: Sequence[Position]) -> bool:
    viewpoint = say.account.viewpoints.get(keeper.viewpoint_id or "")
    here = None
    if viewpoint is not None and say.shown(viewpoint) is Disclosure.EXACT:
        here = viewpoint.position  # it tells where a picture was made whose own position is not shown
    if is_exact(say, keeper):
        here = keeper.position or here
    if here is None or keeper.direction_deg is None:
        return False
    slack_deg = COMPASS_DEG if keeper.direction_is_magnetic else 0.0
    field_deg = _half_deg([keeper.focal_35mm or keeper.focal_mm]) + slack_deg
    return _leads(here, keeper.direction_deg, field_deg, secrets)


def _leads(here: Position, towards_deg: float, field_deg: float, secrets: Sequence[Position]) -> bool:
    return any(
        0.5 < distance_m(here, place) < SEEN_M
        and abs((bearing_deg(here, place) - towards_deg + 180) % 360 - 180) <= field_deg
        for place in secrets
    )


def _field_deg(account: TripAccount, viewpoint_id: str) -> float:
    """How far to either side of its bearing a viewpoint's pictures and plans reach, with the margin."""
    focal: list[float | None] = [
        one.focal_35mm or one.focal_mm for one in account.keepers if one.viewpoint_id == viewpoint_id
    ]
    focal += [one.focal_mm for one in account.shots if one.viewpoint_id == viewpoint_id]
    return _half_deg(focal)


def _half_deg(focal_mm: Iterable[float | None]) -> float:
    widest = min(filter(None, focal_mm), default=None)
    if widest is None:
        return UNKNOWN_FIELD_DEG
    return math.degrees(math.atan(_HALF_FRAME_MM / widest)) + MARGIN_DEG


def _without(record: Record, names: Sequence[str]) -> dict[str, Provenance]:
    """Return where a record's values came from, without those that became unknown."""
    return {name: word for name, word in record.provenance.items() if name not in names}
