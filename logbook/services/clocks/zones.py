"""The zone of a trip that nobody gave one: where its pictures or its places lie, or what its files say.

One surprising decision: a zone found so is used to show times, and proposed at night, but nothing is written
down without a person's Enter: a zone is what makes times of two places comparable.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from logbook.domain.account import TripAccount
from logbook.domain.position import Position
from logbook.domain.site import Site
from logbook.domain.zones import EAST_MIN, WEST_MIN, offset_name
from logbook.intake.exif.times import minutes_east
from logbook.services.light.stands import zone_at
from logbook.store.desk import Desk

_NOWHERE = "UTC"  # what is answered for a coordinate that lies in no zone


@dataclass(frozen=True, slots=True)
class FoundZone:
    """A zone as the book stores it, and what told it."""

    name: str
    reason: str


def zone_found(desk: Desk, account: TripAccount) -> FoundZone | None:
    """Return the zone in which most pictures lie, else that of the trip's places where they share one."""
    at = Counter(
        (round(one.latitude_deg, 1), round(one.longitude_deg, 1))
        for one in account.keepers
        if one.latitude_deg is not None and one.longitude_deg is not None
    )
    of_pictures: Counter[str] = Counter()
    for (latitude_deg, longitude_deg), count in at.items():
        of_pictures[str(zone_at(Position(latitude_deg, longitude_deg)))] += count
    del of_pictures[_NOWHERE]
    if of_pictures:
        name, count = of_pictures.most_common(1)[0]
        return FoundZone(name, f"from the position of {count} picture{'s' if count > 1 else ''}")
    for sites in (account.sites.values(), desk.sites.all()):
        zones = set(_zones(desk, sites)) - {_NOWHERE}
        if len(zones) == 1:
            return FoundZone(zones.pop(), "the trip's places are there")
    return None


def _zones(desk: Desk, sites: Iterable[Site]) -> Iterator[str]:
    for site in sites:
        if site.zone is not None:
            yield site.zone
            continue
        places = [site.position, *(one.position for one in desk.viewpoints.all(site_id=site.id))]
        at = next((one for one in places if one is not None), None)
        if at is not None:
            yield str(zone_at(at))


def zone_of_files(account: TripAccount) -> FoundZone | None:
    """Return the offset that all offset tags agree on, as a zone; it is no place's own."""
    texts = {one.utc_offset_text.strip() for one in account.keepers if one.utc_offset_text}
    said = texts.pop() if len(texts) == 1 else ""
    east_min = minutes_east(said)
    if east_min is None or not WEST_MIN <= east_min <= EAST_MIN:
        return None
    return FoundZone(offset_name(east_min), f"the files say {said}")


def in_its_zone(desk: Desk, account: TripAccount) -> TripAccount:
    """Return an account whose trip has a zone, if anything tells one; nothing is stored."""
    if account.trip.zone is not None:
        return account
    found = zone_found(desk, account) or zone_of_files(account)
    return account if found is None else replace(account, trip=replace(account.trip, zone=found.name))
