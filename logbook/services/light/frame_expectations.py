"""The light that frames should have met: by the sun, the way a view faces, and what pictures met there.

One surprising decision: where a frame does not say which way it looks, its viewpoint's facing stands for it,
as it does when the light of a plan is foreseen.
"""

from collections.abc import Mapping, Sequence

from logbook.craft.daylight import ExpectedLight
from logbook.craft.met_light import light_here
from logbook.domain.account import TripAccount
from logbook.domain.keeper import Keeper
from logbook.services.light.frame_light import stands_of
from logbook.sky.rough import rough_sun


def expected_lights(account: TripAccount, keepers: Sequence[Keeper]) -> Mapping[str, ExpectedLight]:
    """Return the light to expect of each keeper whose instant and place are known, by its id."""
    stands = stands_of(account, keepers)
    found = {}
    for keeper in keepers:
        if keeper.taken_utc is None or keeper.id not in stands:
            continue
        stand = stands[keeper.id]
        sun = rough_sun(stand.latitude_deg, stand.longitude_deg, keeper.taken_utc.timestamp())
        met = account.met_light.get(keeper.viewpoint_id or "", ())
        found[keeper.id], _ = light_here(
            met, _facing_deg(account, keeper), round(sun.azimuth_deg, 1), round(sun.altitude_deg, 1)
        )
    return found


def _facing_deg(account: TripAccount, keeper: Keeper) -> float | None:
    if keeper.direction_deg is not None and not keeper.direction_is_magnetic:
        return keeper.direction_deg
    viewpoint = account.viewpoints.get(keeper.viewpoint_id or "")
    return viewpoint.facing_deg if viewpoint else None
