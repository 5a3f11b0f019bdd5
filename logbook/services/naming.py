"""Keepers as people name them: by file, by slug, by number, by a range of numbers.

One surprising decision: a number is never more than one frame. Where two cameras share it, or two days of one
camera, nothing is taken; the candidates are named, and a file name, a day or a camera says which is meant.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from logbook.domain.day import day_of
from logbook.domain.errors import AmbiguousNameError, NotFoundError
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.services.kinds import KEEPER
from logbook.services.records import find
from logbook.store.desk import Desk

LISTED = 5  # how many candidates a sentence lists
MOST_REVERSED = 5000  # numbers of a range typed backwards; beyond it the camera's counter began again

_NUMBER = re.compile(r"(\d+)\D*$")
_RANGE = re.compile(r"(?P<first>\S*\d)\s*(?:-|–|\.\.)\s*(?P<last>\S*\d)")


@dataclass(frozen=True, slots=True)
class PicturesMeant:
    """Pictures of one trip, camera and day that a name may mean; `day` None where nobody knows it."""

    trip: str  # its slug
    slugs: tuple[str, ...]
    files: tuple[str, ...]
    day: date | None
    body: str

    def words(self, *, with_slug: bool = False) -> str:
        """Return the candidate as people tell it: `BRK_0102.JPG of 2031-10-12 (Brakel Bramble)`."""
        names = self.slugs if with_slug else self.files
        named = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
        return f"{named}{f' from {self.day}' if self.day else ''} ({self.body})"


class SeveralKeepersError(AmbiguousNameError):
    """A name that could mean pictures of several cameras or days; `name` is as typed."""

    def __init__(self, name: str, candidates: Sequence[PicturesMeant]) -> None:
        self.name = name
        self.candidates = tuple(candidates)
        more = len(candidates) - LISTED
        listed = self.listed()[:LISTED] + ([f"{more} more"] if more > 0 else [])
        super().__init__(f'"{name}" could be {", ".join(listed[:-1])} or {listed[-1]}; {self._how()}.')

    def _how(self) -> str:
        """Return what would settle it."""
        if len({one.trip for one in self.candidates}) > 1:
            return "name the trip with --trip"
        by_day = "--on DATE" if len({one.day for one in self.candidates}) > 1 else ""
        by_body = "--body NAME" if len({one.body for one in self.candidates}) > 1 else ""
        settling = " or ".join(filter(None, (by_day, by_body)))
        return f"name one of these{f', or add {settling}' if settling else ''}"

    def listed(self) -> list[str]:
        """Return the candidates in words; where files share their names, by slug."""
        firsts = [one.files[0] for one in self.candidates]
        return [one.words(with_slug=firsts.count(one.files[0]) > 1) for one in self.candidates]


@dataclass(frozen=True, slots=True)
class Narrow:
    """What narrows the keepers that a name may mean: a day, a camera or a part of its name."""

    on: date | None = None
    body: str | None = None


ANY = Narrow()


@dataclass(frozen=True, slots=True)
class Pool:
    """The keepers that a name may mean, and their trips by id."""

    keepers: tuple[Keeper, ...]
    trips: Mapping[str, Trip]

    def day_of(self, keeper: Keeper) -> date | None:
        """Return the photographer's day of a keeper, or None where its time is unknown."""
        at = keeper.place_time
        return day_of(at, self.trips[keeper.trip_id].day_ends_at) if at else None

    def narrowed(self, to: Narrow) -> "Pool":
        """Return the pool without keepers of other days or cameras."""
        wanted = (to.body or "").strip().casefold()
        kept = (
            one
            for one in self.keepers
            if wanted in one.camera.casefold() and (to.on is None or self.day_of(one) == to.on)
        )
        return replace(self, keepers=tuple(kept))

    def meant(self, first: str, last: str) -> list[Keeper]:
        """Return the keepers from `first` to `last`, by file name, slug or number; none where none fits.

        Several are the files of one frame, or the frames of a range by one camera. Raises SeveralKeepersError
        where a number is that of several frames, or a range of several cameras.
        """
        name = first if first == last else f"{first}-{last}"
        slug = [one for one in self.keepers if one.slug == name.lower()]
        if len(slug) == 1 and (first != last or name == slug[0].slug):
            return slug
        found = named(self.keepers, name) or matching(self.keepers, first, last)
        if is_one(found):
            return found
        raise SeveralKeepersError(name, self._candidates(found))

    def one(self, wanted: str) -> Keeper:
        """Return one keeper; raises SeveralKeepersError where several fit, NotFoundError where none does."""
        found = self.meant(wanted, wanted)
        if len(found) > 1:
            raise SeveralKeepersError(wanted, [self._candidate([one]) for one in found])
        if found:
            return found[0]
        raise NotFoundError(f'No keeper is called "{wanted}"; "logbook keeper list" lists them all.')

    def _candidates(self, found: Iterable[Keeper]) -> list[PicturesMeant]:
        groups: dict[tuple[str, str, date | None, str], list[Keeper]] = {}
        for one in found:
            key = (one.trip_id, _camera(one), self.day_of(one), _prefix(one.file))
            groups.setdefault(key, []).append(one)
        if len(groups) == 1:  # one camera gave a number twice on one day
            return [self._candidate([one]) for group in groups.values() for one in group]
        return [self._candidate(group) for group in groups.values()]

    def _candidate(self, group: list[Keeper]) -> PicturesMeant:
        slugs, files = (tuple(getattr(one, name) for one in group) for name in ("slug", "file"))
        first = group[0]
        return PicturesMeant(self.trips[first.trip_id].slug, slugs, files, self.day_of(first), first.camera)


def is_one(found: Iterable[Keeper]) -> bool:
    """Whether keepers are of one camera, and no two frames among them share a number."""
    frames: dict[int | None, set[tuple[str, datetime | None]]] = {}
    cameras = set()
    for one in found:
        cameras.add((one.trip_id, _camera(one)))
        frames.setdefault(number_of(one.file), set()).add((_prefix(one.file), one.place_time))
    return len(cameras) <= 1 and all(_is_frame(frame) for frame in frames.values())


def _is_frame(seen: set[tuple[str, datetime | None]]) -> bool:
    """Whether files of one number are of one frame: of one moment, or alike in name where none is known."""
    return len({at for _, at in seen}) == 1 and (None not in {at for _, at in seen} or len(seen) == 1)


def _camera(keeper: Keeper) -> str:
    """Return what tells cameras apart: the body, else the letters of the file's name."""
    return keeper.body or _prefix(keeper.file)


def pool_of(desk: Desk, trip: Trip | None) -> Pool:
    """Return the keepers of a trip, or of all trips."""
    trips = {one.id: one for one in desk.trips.all()} if trip is None else {trip.id: trip}
    keepers = desk.keepers.all() if trip is None else desk.keepers.all(trip_id=trip.id)
    return Pool(tuple(keepers), trips)


def one_keeper(desk: Desk, wanted: str, trip: Trip | None, narrow: Narrow = ANY) -> Keeper:
    """Return one keeper by file name, number or slug.

    Raises SeveralKeepersError where several fit; NotFoundError names the nearest.
    """
    pool = pool_of(desk, trip).narrowed(narrow)
    try:
        return pool.one(wanted)
    except NotFoundError:
        return _nearly(desk, pool, wanted, trip)


def keepers_meant(desk: Desk, trip: Trip, which: str, narrow: Narrow = ANY) -> list[Keeper]:
    """Return the keepers that a name, a range (`0412-0419`) or a list of them means.

    Raises SeveralKeepersError where that could be several, NotFoundError where it is none.
    """
    pool = pool_of(desk, trip).narrowed(narrow)
    several = [part.strip() for part in re.split("[,;]", which) if part.strip()]
    if len(several) < 2 or named(pool.keepers, which.strip()):
        several = [which.strip()]
    found: dict[str, Keeper] = {}
    for part in several:
        first, last = (part, part) if named(pool.keepers, part) else split_range(part)
        meant = pool.meant(first, last)
        if not meant and first != last:
            raise NotFoundError(
                f'{trip.slug} has no keeper from {first} to {last}; see "logbook keeper list".'
            )
        found |= {one.id: one for one in meant or [_nearly(desk, pool, part, trip)]}
    return list(found.values())


def _nearly(desk: Desk, pool: Pool, wanted: str, trip: Trip | None) -> Keeper:
    """Return the keeper whose slug begins so; raises NotFoundError with the nearest names."""
    everyone = pool_of(desk, trip).keepers
    others = named(everyone, wanted) or matching(everyone, wanted, wanted)
    if not others:
        found = find(desk, KEEPER, wanted, **({} if trip is None else {"trip_id": trip.id}))
        if any(one.id == found.id for one in pool.keepers):
            return found
        others = [found]
    raise NotFoundError(f"{others[0].file} is from another day or camera; leave out --on or --body.")


def number_of(name: str) -> int | None:
    """Return the number at the end of a file name's stem (`TRN_0412.JPG` is 412), or None."""
    found = _NUMBER.search(Path(name).stem if "." in name else name)
    return int(found[1]) if found else None


def matching(keepers: Iterable[Keeper], first: str, last: str) -> list[Keeper]:
    """Return the keepers whose numbers lie between those of two names, and whose names begin so too."""
    low, high = number_of(first), number_of(last)
    if low is None or high is None:
        return []
    if 0 < low - high < MOST_REVERSED:
        low, high = high, low
    begins = {_prefix(one) for one in (first, last)} - {""}
    return [
        keeper
        for keeper in keepers
        if (number := number_of(keeper.file)) is not None
        and low <= number <= high
        and begins <= {_prefix(keeper.file)}
    ]


def is_bare_number(name: str) -> bool:
    """Whether a name is a number alone, which every camera uses again."""
    return name.strip().isdecimal()


def named(keepers: Iterable[Keeper], name: str) -> list[Keeper]:
    """Return the keepers of a file name, with or without its suffix, or of a slug."""
    wanted = name.lower()
    return [k for k in keepers if wanted in (k.file.lower(), k.slug, Path(k.file).stem.lower())]


def split_range(which: str) -> tuple[str, str]:
    """Return the two ends of `0412-0419`; one name is a range of itself."""
    found = _RANGE.fullmatch(which.strip())
    return (found["first"], found["last"]) if found else (which.strip(), which.strip())


def _prefix(name: str) -> str:
    """Return the letters and digits before a file's number: `TRN_0412.JPG` is `trn`."""
    stem = Path(name).stem if "." in name else name
    return re.sub(r"[^a-z0-9]", "", _NUMBER.sub("", stem).casefold())
