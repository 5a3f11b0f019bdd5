"""Sharpness measured: pictures that were not measured yet, one by one, and what is proposed of them.

One surprising decision: it comes after the import and is never needed. Each picture is written down when it
is measured, so that whatever stops it loses nothing, and measuring again goes on where it stopped.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from math import log2

from logbook.domain.acutance import LEAST_PX, NO_EDGES, Acutance, Judged
from logbook.domain.keeper import Keeper, in_order
from logbook.domain.words import Sharpness
from logbook.services.keepers.picture_files import real_path
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk

FOCAL_STEPS = 20  # within a doubling: focal lengths closer than 3.5 % are one (a zoom's own rounding)
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Unmeasured:
    """A picture that could not be measured, and why; `again` is whether another time may do it."""

    file: str
    why: str
    again: bool


@dataclass(frozen=True, slots=True)
class MeasuredNow:
    """What one run measured: how many pictures, and those that it could not."""

    measured: int
    unmeasured: tuple[Unmeasured, ...]


def measure(book: Book, trip: str | None, progress: Progress = lambda _done, _total: None) -> MeasuredNow:
    """Measure the pictures of a trip that were not measured yet, then compare the frames of each framing.

    Again is harmless. An original that is gone, or that was changed since it was taken in, is not measured.
    """
    from logbook.intake.acutance import MeasuredEdges, WantedPicture, measured
    from logbook.intake.workers import Ended, in_helpers

    with book.reading() as desk:
        keepers = desk.keepers.all(trip_id=the_trip(desk, trip).id)
        known = desk.measures.of(one.hash for one in keepers)
    new = {one.hash: one for one in keepers if one.hash not in known}
    left = [one for one in new.values() if not _is_small(one)]
    wanted = [
        WantedPicture(real_path(one.path), one.hash, one.size_bytes, one.format, _long_px(one))
        for one in left
    ]
    unmeasured = []
    count = 0
    if len(left) < len(new):
        _keep_small(book, [one for one in new.values() if _is_small(one)])
    with closing(in_helpers(measured, wanted)) as results:
        for done, (keeper, result) in enumerate(zip(left, results, strict=True), 1):
            found = MeasuredEdges(None, result.why) if isinstance(result, Ended) else result
            if not found.again:
                _keep(book, keeper.hash, found.edges, found.why, found.shown_stops)
            if found.edges is None:
                unmeasured.append(Unmeasured(keeper.file, found.why or "", found.again))
            else:
                count += 1
            progress(done, len(left))
    _judge(book, trip)
    return MeasuredNow(count, tuple(unmeasured))


def judged_of(book: Book, trip: str | None) -> tuple[Judged, ...]:
    """Return the keepers of a trip in order of time with what was measured of them."""
    with book.reading() as desk:
        keepers = in_order(desk.keepers.all(trip_id=the_trip(desk, trip).id))
        found = measured_of(desk, keepers)
        return tuple(found[one.id] for one in keepers)


def _long_px(keeper: Keeper) -> int | None:
    return max(keeper.width_px, keeper.height_px) if keeper.width_px and keeper.height_px else None


def _is_small(keeper: Keeper) -> bool:
    """Whether a picture is known to be too small, so that no helper need open it."""
    if not keeper.width_px or not keeper.height_px:
        return False
    return min(keeper.width_px, keeper.height_px) < LEAST_PX


def _keep_small(book: Book, keepers: Iterable[Keeper]) -> None:
    with book.writing() as desk:
        for keeper in keepers:
            desk.measures.keep(keeper.hash, None, None, NO_EDGES)


def _keep(book: Book, hashed: str, edges: str | None, why: str | None, shown: float | None) -> None:
    from logbook.craft.edges import Edges

    with book.writing() as desk:
        width = None if edges is None else Edges.of_text(edges).edge_px
        desk.measures.keep(hashed, edges, width, why, shown)


def _judge(book: Book, trip: str | None) -> None:
    """Compare the frames of each framing of a trip, and write down what that proposes."""
    with book.reading() as desk:
        keepers = {one.hash: one for one in desk.keepers.all(trip_id=the_trip(desk, trip).id)}
        texts = desk.measures.edges(keepers)
        before = desk.measures.of(texts)
    if not texts:
        return
    judged = _compared({hashed: keepers[hashed] for hashed in texts}, texts, before)
    if any(before[hashed] != one for hashed, one in judged.items()):
        with book.writing() as desk:
            desk.measures.judge(judged)
            desk.measures.forget_strangers()


def _compared(
    keepers: Mapping[str, Keeper], texts: Mapping[str, str], before: Mapping[str, Acutance]
) -> dict[str, Acutance]:
    from logbook.craft.edges import Edges
    from logbook.craft.softness import FramedPicture, framings, is_sharp, losses

    edges = {hashed: Edges.of_text(text) for hashed, text in texts.items()}
    views = [
        FramedPicture(hashed, _made_with(one), one.viewpoint_id, _at_s(one), edges[hashed].thumb)
        for hashed, one in keepers.items()
    ]
    result = {}
    for hashes in framings(views):
        frames = [edges[one] for one in hashes]
        for hashed, one, loss in zip(hashes, frames, losses(frames), strict=True):
            good = is_sharp(one, loss, frames[loss.sharpest] if loss else None)
            result[hashed] = replace(
                before[hashed],
                frames=len(frames),
                sharpest=hashes[loss.sharpest] if loss else None,
                lost_px=loss.lost_px if loss else None,
                along_deg=loss.along_deg if loss else None,
                proposed=None if good is None else Sharpness.SHARP if good else Sharpness.SOFT,
            )
    return result


def _made_with(keeper: Keeper) -> tuple[object, ...]:
    focal = keeper.focal_mm and round(log2(keeper.focal_mm) * FOCAL_STEPS)
    return keeper.camera, focal, keeper.width_px, keeper.height_px, keeper.orientation


def _at_s(keeper: Keeper) -> float | None:
    """When it was made by the clock of its own camera, in s; frames of two cameras are never compared."""
    at = keeper.taken_local
    return None if at is None else (at - at.min).total_seconds()


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
