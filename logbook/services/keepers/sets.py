"""Sets of keepers as a person joins and splits them; of what nobody spoke of, the program finds its own.

One surprising decision: a split is kept as a record too, of kind `apart`: no two of its frames are ever
proposed as one set again. A frame is in at most one stated set; joining moves it.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from logbook.craft.inference.sets import FoundKind, FrameSet, cut_apart
from logbook.domain.errors import WrongUseError
from logbook.domain.keeper import Keeper, KeeperSet, in_order
from logbook.domain.record import new_record
from logbook.domain.trip import Trip
from logbook.domain.words import JoinedKind, Provenance, SetKind
from logbook.services.accounts import account_in
from logbook.services.keepers.proposals import sets_in
from logbook.services.naming import ANY, Narrow, keepers_meant
from logbook.services.records import the_trip
from logbook.store.book import Book
from logbook.store.desk import Desk


@dataclass(frozen=True, slots=True)
class ShownSet:
    """A set as it is listed: its files in order of time, where it came from, and why."""

    kind: SetKind
    keepers: tuple[str, ...]
    provenance: Provenance
    reason: str


@dataclass(frozen=True, slots=True)
class SetsChanged:
    """What joining or splitting did; `left` are the files that left a stated set, by that set's kind."""

    trip: str
    kind: SetKind
    keepers: tuple[str, ...]
    left: tuple[tuple[SetKind, tuple[str, ...]], ...]


def join(book: Book, trip: str | None, which: str, joined: JoinedKind, narrow: Narrow = ANY) -> SetsChanged:
    """State that keepers are one set; those of another stated set move out of it.

    Raises WrongUseError for fewer than two frames, or frames of two cameras.
    """
    with book.writing() as desk:
        table = _laid_out(desk, book, trip)
        keepers = in_order(keepers_meant(desk, table.trip, which, narrow))
        if len(table.frames(keepers)) < 2:
            raise WrongUseError(f"{which} is one frame; a set needs two or more, such as 0412-0414.")
        bodies = sorted({keeper.camera for keeper in keepers})
        if len(bodies) > 1:
            raise WrongUseError(
                f"{which} names frames from more than one camera ({', '.join(bodies)}); "
                "start both ends of the range with the letters of the file name."
            )
        return _joined(desk, book, table, keepers, SetKind(joined))


def join_in(desk: Desk, book: Book, trip: Trip, keepers: Sequence[Keeper], joined: JoinedKind) -> SetsChanged:
    """State within an open transaction that some keepers of one camera, in order of time, are one set."""
    return _joined(desk, book, _laid_out(desk, book, trip.slug), keepers, SetKind(joined))


def _joined(desk: Desk, book: Book, table: "_Table", keepers: Sequence[Keeper], kind: SetKind) -> SetsChanged:
    ids = tuple(keeper.id for keeper in keepers)
    for group in table.apart:
        if len(table.leaders(group.keeper_ids) & table.leaders(ids)) > 1:
            _leave(desk, book, table, group, ids)
    left = []
    is_new = True
    for group in table.joined:
        if set(group.keeper_ids) == set(ids):
            is_new = False
            if group.kind is not kind:
                desk.sets.put(replace(group, kind=kind, updated=book.now()))
        elif met := _files(keepers, group.keeper_ids):
            left.append((group.kind, met))
            _leave(desk, book, table, group, ids)
    if is_new:
        desk.sets.add(KeeperSet(**new_record(book.now()), trip_id=table.trip.id, kind=kind, keeper_ids=ids))
    return SetsChanged(table.trip.slug, kind, _files(keepers, ids), tuple(left))


def split(book: Book, trip: str | None, which: str, narrow: Narrow = ANY) -> SetsChanged:
    """State that no two of some keepers are one set; a single frame is taken out of the set it is in.

    Raises WrongUseError for a single frame that is in no set.
    """
    with book.writing() as desk:
        table = _laid_out(desk, book, trip)
        keepers = in_order(keepers_meant(desk, table.trip, which, narrow))
        ids = tuple(keeper.id for keeper in keepers)
        is_single = len(table.frames(keepers)) == 1
        apart = table.around(ids) if is_single else [ids]
        if not apart:
            raise WrongUseError(f"{which} is not in a set; name the frames to split, such as 0412-0414.")
        left = []
        for group in table.joined:
            rest = tuple(one for one in group.keeper_ids if one not in ids)
            pieces = [rest] if is_single else table.cut(group.keeper_ids, ids)
            if pieces == [group.keeper_ids]:
                continue
            left.append((group.kind, _files(keepers, group.keeper_ids)))
            _put(desk, book, group, [piece for piece in pieces if len(table.leaders(piece)) > 1])
        for group_ids in apart:
            _keep_apart(desk, book, table, group_ids)
        return SetsChanged(table.trip.slug, SetKind.APART, _files(keepers, ids), tuple(left))


def list_sets(book: Book, trip: str | None, on_date: date | None) -> tuple[ShownSet, ...]:
    """Return what is stated of sets and what is found, in order of time; nothing is stored."""
    with book.reading() as desk:
        account = account_in(desk, the_trip(desk, trip))
        keepers, found = sets_in(desk, account, on_date, book.now())
    shown = [
        ShownSet(group.kind, _files(keepers, group.keeper_ids), Provenance.STATED, "stated by a person")
        for group in (*account.sets, *account.apart)
    ]
    shown += [
        ShownSet(SetKind(one.kind), _files(keepers, one.keys), Provenance.INFERRED, one.reason)
        for one in found
        if not one.stated
    ]
    place = {keeper.file: number for number, keeper in enumerate(keepers)}
    return tuple(sorted((one for one in shown if one.keepers), key=lambda one: place[one.keepers[0]]))


@dataclass(frozen=True, slots=True)
class _Table:
    """What there is of sets before a change; a frame that lies in two files is known by its first."""

    trip: Trip
    joined: tuple[KeeperSet, ...]
    apart: tuple[KeeperSet, ...]
    in_force: tuple[FrameSet, ...]
    leader: Mapping[str, str]  # first file of a pair, by the others
    stems: Mapping[str, str]  # file names without what tells the files of a pair from each other

    def leaders(self, ids: Iterable[str]) -> set[str]:
        return {self.leader.get(one, one) for one in ids}

    def is_of_pair(self, ids: Iterable[str]) -> bool:
        return len({self.stems.get(one, one) for one in ids}) == 1

    def frames(self, keepers: Iterable[Keeper]) -> set[str]:
        return self.leaders(keeper.id for keeper in keepers)

    def cut(self, ids: Sequence[str], apart: Iterable[str]) -> list[tuple[str, ...]]:
        """Return keepers in pieces of which none holds two frames that are apart."""
        leading = dict.fromkeys(self.leader.get(one, one) for one in ids)
        pieces = cut_apart(leading, [self.leaders(apart)])
        return [tuple(one for one in ids if self.leader.get(one, one) in piece) for piece in pieces]

    def around(self, ids: tuple[str, ...]) -> list[tuple[str, ...]]:
        """Return one frame with each of its neighbours in its sets; one file of a pair with the other."""
        result = []
        (leader,) = self.leaders(ids)
        for one in self.in_force:
            if one.kind is FoundKind.PAIR and ids[0] in one.keys and len(ids) == 1:
                result.append(one.keys)
            elif one.kind is not FoundKind.PAIR and leader in one.keys:
                at = one.keys.index(leader)
                result += [(before, *ids) for before in one.keys[max(0, at - 1) : at]]
                result += [(*ids, after) for after in one.keys[at + 1 : at + 2]]
        return result


def _laid_out(desk: Desk, book: Book, trip: str | None) -> _Table:
    account = account_in(desk, the_trip(desk, trip))
    keepers, in_force = sets_in(desk, account, None, book.now())
    pairs = [one.keys for one in in_force if one.kind is FoundKind.PAIR]
    leader = {key: keys[0] for keys in pairs for key in keys[1:]}
    stems = {keeper.id: Path(keeper.file).stem for keeper in keepers}
    return _Table(account.trip, account.sets, account.apart, in_force, leader, stems)


def _keep_apart(desk: Desk, book: Book, table: _Table, ids: tuple[str, ...]) -> None:
    """Remember that some keepers are apart; what another record says already is not said twice.

    That two files are no pair is another statement than that their frames are apart from others.
    """
    trip = table.trip
    before = [
        one
        for one in desk.sets.all(trip_id=trip.id, kind=SetKind.APART)
        if table.is_of_pair(one.keeper_ids) == table.is_of_pair(ids)
    ]
    if any(set(ids) <= set(one.keeper_ids) for one in before):
        return
    desk.sets.remove(one.id for one in before if set(one.keeper_ids) <= set(ids))
    base = new_record(book.now())
    desk.sets.add(KeeperSet(**base, trip_id=trip.id, kind=SetKind.APART, keeper_ids=ids))


def _leave(desk: Desk, book: Book, table: _Table, group: KeeperSet, ids: Collection[str]) -> None:
    """Take keepers out of a set; what is left as a single frame is no set."""
    rest = tuple(one for one in group.keeper_ids if one not in ids)
    _put(desk, book, group, [rest] if len(table.leaders(rest)) > 1 else [])


def _put(desk: Desk, book: Book, group: KeeperSet, pieces: Sequence[tuple[str, ...]]) -> None:
    """Put pieces in place of a set: the first keeps its id."""
    if not pieces:
        desk.sets.remove([group.id])
        return
    desk.sets.put(replace(group, keeper_ids=pieces[0], updated=book.now()))
    desk.sets.add(*(replace(group, **new_record(book.now()), keeper_ids=piece) for piece in pieces[1:]))


def _files(keepers: Iterable[Keeper], ids: Iterable[str]) -> tuple[str, ...]:
    """Return the files of those of the keepers that are named, in the keepers' order."""
    wanted = set(ids)
    return tuple(keeper.file for keeper in keepers if keeper.id in wanted)
