"""Which small picture stands for a trip, a site, a shot, a visit or a day on the page over all trips.

One surprising decision: a picture stands for a record only where it was made for it, on it or at it; what no
picture belongs to (a piece of kit, a lesson of no place) has none rather than any.
"""

from collections.abc import Iterator, Mapping

from logbook.domain.choosing import Chosen
from logbook.domain.condition import Condition
from logbook.domain.day import day_of
from logbook.domain.keeper import Keeper
from logbook.domain.lesson import Lesson
from logbook.faces.report.order import Order
from logbook.faces.report.parts import Images
from logbook.faces.report.whole.models import Thumbnail
from logbook.faces.words.prose import line


def thumbnails(order: Order, images: Images, chosen: Chosen, folder: str) -> Mapping[str, Thumbnail]:
    """Return the best picture that stands for each record of a trip, by record id."""
    found: dict[str, Thumbnail] = {}
    keepers = {one.id: one for one in order.keepers}
    frames = (frame for plate in chosen.plates for frame in (plate.keeper.id, *plate.frames))
    for frame in dict.fromkeys(frames):
        if small := _small(order, keepers[frame], images, folder):
            for record in _stands_for(order, keepers[frame]):
                found.setdefault(record, small)
    return {**dict(_by_place(order, found)), **found}


def _small(order: Order, keeper: Keeper, images: Images, folder: str) -> Thumbnail | None:
    image = images.get(keeper.id)
    if image is None:
        return None
    words = line(keeper.alternative) or line(keeper.caption) or f"Picture {order.keeper_numbers[keeper.id]}"
    first = image.candidates[0]
    height_px = round(first.width_px * image.height_px / image.width_px)
    return Thumbnail(f"{folder}/{first.path}", first.width_px, height_px, words, image.tone)


def _stands_for(order: Order, keeper: Keeper) -> Iterator[str]:
    """The records that a picture was made for, on or at."""
    account = order.account
    yield keeper.id
    yield account.trip.id
    yield from filter(None, (keeper.shot_id, keeper.viewpoint_id, account.site_id_of(keeper.viewpoint_id)))
    if visit_id := order.visit_by_keeper.get(keeper.id):
        yield visit_id
    if at := keeper.place_time:
        day = day_of(at, account.trip.day_ends_at)
        yield from (one.id for one in account.days if one.on_date == day)


def _by_place(order: Order, found: Mapping[str, Thumbnail]) -> Iterator[tuple[str, Thumbnail]]:
    """What was seen or learned somewhere has the picture of that place."""
    account = order.account
    tied: tuple[Condition | Lesson, ...] = (*account.conditions, *account.lessons)
    for one in tied:
        if small := found.get(one.viewpoint_id or "") or found.get(one.site_id or ""):
            yield one.id, small
