"""What was measured of keepers, as it stands beside them wherever they are shown."""

from collections.abc import Sequence

from logbook.domain.acutance import Judged
from logbook.domain.keeper import Keeper
from logbook.store.desk import Desk


def measured_of(desk: Desk, keepers: Sequence[Keeper]) -> dict[str, Judged]:
    """Return what was measured of keepers, by their ids; those that were not measured have none."""
    found = desk.measures.of(one.hash for one in keepers)
    named = {one.hash: one.file for one in keepers}
    elsewhere = {one.sharpest for one in found.values() if one.sharpest} - named.keys()
    if elsewhere:
        named |= {one.hash: one.file for one in desk.keepers.all(hash=elsewhere)}
    result = {}
    for keeper in keepers:
        one = found.get(keeper.hash)
        result[keeper.id] = Judged(keeper, one, named.get(one.sharpest or "") if one else None)
    return result
