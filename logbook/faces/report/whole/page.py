"""The page over all trips, put together from the book and from how each trip's pages are numbered.

One surprising decision: what a search finds leads to the part of a trip's pages where the record is told, so
the numbers and anchors are taken from those very pages.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from logbook.domain.lesson import Lesson
from logbook.domain.plain_text import line as one_line
from logbook.domain.shown import Withheld
from logbook.domain.site import Site
from logbook.faces.report import parts
from logbook.faces.report.leaves import FIRST_FILE
from logbook.faces.report.models import Drawing
from logbook.faces.report.observed import anchor_of, entry
from logbook.faces.report.order import Order, day_of
from logbook.faces.report.whole.models import (
    Link,
    SiteLine,
    Thumbnail,
    TripLine,
    WholeLesson,
    WholePage,
)
from logbook.faces.report.whole.sites_map import sites_map
from logbook.faces.report.whole.wheel import WheelTrip, year_wheel
from logbook.faces.words.phrases import counted, date_text, listed, sentence, shortened, span_text
from logbook.faces.words.prose import line, prose
from logbook.services.books.whole_book import WholeBook

KINDS = {
    "loose_line": "line to sort out",
    "kit": "piece of kit",
}  # kinds of records that read badly as they are


TITLE_LENGTH = 90  # characters of what is found


@dataclass(frozen=True, slots=True)
class TripPages:
    """One trip as its pages tell it: the line in the list, the links by record id, what the wheel shows."""

    line: TripLine
    links: Mapping[str, str]
    sites: frozenset[str]  # ids
    stay: WheelTrip | None
    titles: Mapping[str, str]  # of records whose own words say too little by themselves, by id
    pictures: Mapping[str, Thumbnail]  # the picture that stands for a record, by id


def trip_pages(
    order: Order, number: int, folder: str, homes: Mapping[str, str], small: Mapping[str, Thumbnail]
) -> TripPages:
    """Return what is needed of one trip, whose pages lie in `folder` ("trips/3-dunes").

    `homes` says on which of them each anchor stands, `small` which picture stands for a record.
    """
    trip = order.account.trip
    shots, *others = parts.counts(order)
    told = TripLine(
        number=number,
        title=line(trip.title),
        href=f"{folder}/index.html",
        dates=span_text(trip.starts_on, trip.ends_on) or "No dates",
        region=parts.regions_text(site.region for site in order.account.sites.values()),
        shots=shots if others else "",
        pictures=others[-1] if others else shots,
        picture=small.get(trip.id),
    )
    links = {record: f"{folder}/{link}" for record, link in _links(order, homes)}
    sites = frozenset(order.account.sites)
    return TripPages(told, links, sites, _stay(order, number, told.title), _condition_titles(order), small)


def _condition_titles(order: Order) -> dict[str, str]:
    """What was seen, where, and the words about it: "Weather, Upper terrace: valley fog"."""
    found = {}
    for condition in order.account.conditions:
        if seen := entry(order.account, condition):
            place = order.account.place(condition.viewpoint_id, condition.site_id)
            named = "" if place is None or isinstance(place, Withheld) else line(place.title)
            what = f"{seen.what.rstrip('.')}, {named}" if named else seen.what.rstrip(".")
            found[condition.id] = shortened(f"{what}: {seen.note}" if seen.note else what, TITLE_LENGTH)
    return found


def _links(order: Order, homes: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    account = order.account

    def at(anchor: str) -> str:
        return f"{homes[anchor]}#{anchor}" if anchor in homes else FIRST_FILE  # nothing was drawn of it

    yield account.trip.id, FIRST_FILE
    for shot in order.shots:
        yield shot.id, at(f"shot-{order.shot_numbers[shot.id]}")
    for keeper in order.keepers:
        yield keeper.id, parts.page_of(order.keeper_numbers[keeper.id])
    days = {day: at(f"day-{number}") for number, day in enumerate(order.days, start=1)}
    for visit in account.visits:
        yield visit.id, days[visit.on_date]
    for day in account.days:
        yield day.id, days[day.on_date]
    for condition in account.conditions:
        yield condition.id, at(anchor_of(account, condition))
    for lesson in account.lessons:
        yield lesson.id, at("lessons")
    for loose in account.loose_lines:
        yield loose.id, at("loose")


def _stay(order: Order, number: int, title: str) -> WheelTrip | None:
    ends_at = order.account.trip.day_ends_at
    made = {day_of(keeper.place_time, ends_at) for keeper in order.keepers if keeper.place_time}
    trip, counts = order.account.trip, order.account.counts
    kept = set(filter(counts, made))
    days = sorted({*kept, *filter(counts, filter(None, (trip.starts_on, trip.ends_on)))})
    return WheelTrip(number, title, days[0], days[-1], tuple(sorted(kept))) if days else None


def whole_page(book: WholeBook, trips: Sequence[TripPages]) -> WholePage:
    """Return the page over all trips."""
    viewpoints = {one.id: one for one in book.viewpoints}
    sites = {one.id: one for one in book.sites}

    def place(lesson: Lesson) -> str:
        viewpoint = viewpoints.get(lesson.viewpoint_id or "")
        site = sites.get(viewpoint.site_id if viewpoint else lesson.site_id or "")
        return ", ".join(dict.fromkeys(line(one.title) for one in (viewpoint, site) if one))

    return WholePage(
        counts=tuple(_counts(book, trips)),
        trips=tuple(one.line for one in trips),
        drawings=_drawings(book, trips),
        sites=tuple(_site(number, site, trips) for number, site in enumerate(book.sites, start=1)),
        lessons=tuple(
            WholeLesson(str(lesson.verb), html, place(lesson), _trip_of(lesson.id, trips))
            for lesson in sorted(book.lessons, key=lambda one: (str(one.verb), one.on_date or date.min))
            if (html := prose(sentence(lesson.text)))
        ),
        kit=tuple(f"{line(item.title)} ({item.kind})" for item in book.kit),
        documents=len(book.documents),
    )


def documents(book: WholeBook, trips: Sequence[TripPages]) -> list[tuple[str, str, str, str]]:
    """Return title, whereabouts, link and picture, or "", of all that can be found, in the index's order."""
    links = {record: link for one in trips for record, link in one.links.items()}
    links |= {site.id: f"index.html#{_anchor(number)}" for number, site in enumerate(book.sites, start=1)}
    links |= {one.id: links[one.site_id] for one in book.viewpoints}
    titles = {trip.id: one.line.title for trip, one in zip(book.trips, trips, strict=True)}
    fuller = {record: title for one in trips for record, title in one.titles.items()}
    pictures = {record: small for one in reversed(trips) for record, small in one.pictures.items()}
    found = []
    for one in book.documents:
        when = date_text(date.fromisoformat(one.on_date)) if one.on_date else ""
        about = (KINDS.get(one.kind, one.kind), titles.get(one.trip_id or "", ""), when)
        where = sentence(", ".join(part for part in about if part))
        begins = line(one_line(one.body)[:TITLE_LENGTH])
        title = fuller.get(one.record_id) or line(one.title) or begins or where
        small = pictures.get(one.record_id)
        href = links.get(one.record_id, "index.html#kit")
        found.append((title, where, href, small.path if small else ""))
    return found


def _drawings(book: WholeBook, trips: Sequence[TripPages]) -> tuple[Drawing, ...]:
    stays = [one.stay for one in trips if one.stay]
    return (*year_wheel(stays), *sites_map(book.sites))


def _counts(book: WholeBook, trips: Sequence[TripPages]) -> Iterator[str]:
    yield sentence(
        f"{counted(len(trips), 'trip')} to {counted(len(book.sites), 'site')}, "
        f"with {counted(len(book.lessons), 'lesson')} written down"
    )


def _site(number: int, site: Site, trips: Sequence[TripPages]) -> SiteLine:
    return SiteLine(
        anchor=_anchor(number),
        title=line(site.title),
        facts=parts.facts(
            parts.fact("Kind", listed([str(kind).replace("-", " ") for kind in site.kinds])),
            parts.fact("Region", line(site.region)),
        ),
        trips=tuple(Link(one.line.title, f"{one.line.href}#places") for one in trips if site.id in one.sites),
        picture=next((one.pictures[site.id] for one in trips if site.id in one.pictures), None),
    )


def _anchor(number: int) -> str:
    return f"site-{number}"


def _trip_of(record_id: str, trips: Sequence[TripPages]) -> Link | None:
    return next((Link(one.line.title, one.links[record_id]) for one in trips if record_id in one.links), None)
