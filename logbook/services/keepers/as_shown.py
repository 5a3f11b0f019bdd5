"""Which pictures of a trip open, stand large and follow in the report for an audience.

One surprising decision: a report and the page that shows its order beforehand ask the same function; only
where the sizes come from differs: from the pictures that were made, or from what the files say of themselves.
"""

from collections.abc import Mapping, Sequence

from logbook.domain.account import TripAccount
from logbook.domain.choosing import SMALL_PX, Chosen, choose
from logbook.domain.discretion.showing import pictures_for
from logbook.domain.keeper import Keeper, by_place_time
from logbook.domain.words import Audience
from logbook.services.keepers.proposals import sets_of

USUAL_PX = (6000, 4000)  # of a picture whose file does not say; 3:2, common practice, no source


def as_shown(account: TripAccount, audience: Audience) -> Chosen:
    """Return the pictures of a trip as its report for an audience will show them, originals being there."""
    keepers = sorted(pictures_for(account, audience), key=by_place_time)
    return chosen_of(account, keepers, {one.id: one.upright_px or USUAL_PX for one in keepers}, audience)


def chosen_of(
    account: TripAccount,
    keepers: Sequence[Keeper],
    sizes_px: Mapping[str, tuple[int, int]],
    audience: Audience,
) -> Chosen:
    """Return which of the keepers that an audience sees are large, as the photographer chose, else by merit.

    `keepers` are the book's own, in order of time; `sizes_px` are width and height of those whose picture is
    there. What speaks for a picture may be nothing that its audience sees.
    """
    return choose(
        account,
        keepers,
        {one: width / height for one, (width, height) in sizes_px.items()},
        next((one.id for one in keepers if one.opening), None),
        account.trip.order_for(audience),
        sets_of(account),
        {one for one, size in sizes_px.items() if max(size) < SMALL_PX},
    )
