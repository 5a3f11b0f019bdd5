"""The verbs that all nouns share: add, find, list, edit, remove, and another short name.

One surprising decision: a place keeps its old short name among its other names, so that a day file which
names it is read into the same place; a shot or a piece of kit does not, and a miss is answered with the
nearest names.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, time
from typing import TYPE_CHECKING, Any

from logbook.domain.errors import ConflictError, InUseError, WrongUseError
from logbook.domain.keeper import KeeperSet
from logbook.domain.names import Amended, check_slug, is_slug, meant, name_key
from logbook.domain.record import Record, new_record
from logbook.domain.said import counted_names
from logbook.domain.trip import Trip
from logbook.services.kinds import REFERENCES, TRIP, Fields, Noun, NounKind
from logbook.store.book import Book
from logbook.store.desk import Desk, RecordReference

if TYPE_CHECKING:
    from logbook.craft.clock_light import LightFlag
    from logbook.domain.acutance import Judged
    from logbook.domain.zones import TimeDoubt

NOTHING_TO_CHANGE = "Say what to change; the command's --help lists the options."
STANDS_WITHOUT = frozenset(("visit_id",))  # an observation keeps its place and day when its visit goes
WORDS_OF_TABLES = {
    "packed": "packing decision",
    "keeper_set": "set",
    "day_line": "day file line",
    "loose_line": "loose line",
}


@dataclass(frozen=True, slots=True)
class Listing:
    """Records, and the slugs of what they refer to, by id."""

    records: tuple[Any, ...]
    names: Mapping[str, str]
    sites: Mapping[str, str]  # viewpoint id to site slug
    light_doubts: Mapping[str, "LightFlag"] = field(default_factory=dict)  # of keepers, by id
    time_doubts: Mapping[str, "TimeDoubt"] = field(default_factory=dict)  # of keepers, by id
    measured: Mapping[str, "Judged"] = field(default_factory=dict)  # how sharp keepers are, by id


@dataclass(frozen=True, slots=True)
class Removed:
    """What was taken out of the book, and what went or changed with it."""

    slug: str
    removed: tuple[RecordReference, ...] = ()
    let_go: tuple[RecordReference, ...] = ()


def find(desk: Desk, kind: NounKind[Noun], wanted: str, **within: Any) -> Noun:
    """Return the record meant by a slug, a title, an other name or an unambiguous beginning.

    Raises NotFoundError with the nearest names, and AmbiguousNameError with those that fit.
    """
    shelf = kind.shelf(desk)
    exact = shelf.all(slug=wanted, **within) if is_slug(wanted) else ()
    if len(exact) == 1:  # a slug goes before all other names, so they need not be read
        return exact[0]
    names = (shelf.slugs(**within), shelf.titles(**within), shelf.other_names(**within))
    found = shelf.get(meant(wanted, *names, kind.word))
    assert found is not None
    return found


def the_trip(desk: Desk, wanted: str | None) -> Trip:
    """Return the trip that is meant; without a name, the only one in the book."""
    if wanted is not None:
        return find(desk, TRIP, wanted)
    trips = desk.trips.all()
    if len(trips) == 1:
        return trips[0]
    if not trips:
        raise WrongUseError('The book has no trips yet; "logbook trip add TITLE" starts one.')
    raise WrongUseError(f"Say which trip with --trip: {', '.join(sorted(trip.slug for trip in trips))}.")


def resolved(desk: Desk, fields: Fields, before: Record | None = None) -> dict[str, Any]:
    """Return the fields with every reference by slug (`viewpoint`) turned into one by id (`viewpoint_id`).

    Lists that are amended are what they then are, of the record as it was `before`.
    """
    result: dict[str, Any] = {}
    for name, value in fields.items():
        kind = REFERENCES.get(name)
        if isinstance(value, Amended):
            result[name] = value.of(getattr(before, name, ()))
        elif kind is None:
            result[name] = value
        else:
            result[f"{name}_id"] = None if value is None else find(desk, kind, value).id
    return result


def put_new(desk: Desk, kind: NounKind[Noun], now: datetime, fields: Fields, slug: str | None = None) -> Noun:
    """Add a record whose references are ids already; the slug is made from its name unless given."""
    shelf = kind.shelf(desk)
    if slug is not None and check_slug(slug) in shelf.taken():
        raise ConflictError(f'There is already a {kind.word} called "{slug}"; choose another --slug.')
    named = {"slug": slug or shelf.new_slug(kind.name_of(desk, fields))}
    made = kind.noun(**{**new_record(now), **named, **fields})
    shelf.add(made)
    return made


def add(book: Book, kind: NounKind[Noun], fields: Fields, slug: str | None = None) -> Listing:
    """Add one record in a transaction of its own."""
    with book.writing() as desk:
        made = put_new(desk, kind, book.now(), resolved(desk, fields), slug)
        return listing(desk, (made,))


def edited(record: Noun, now: datetime, changes: Fields) -> Noun:
    """Return the record with changes that a person stated; the same record when nothing changes."""
    real = {name: value for name, value in changes.items() if getattr(record, name) != value}
    confirmed = [name for name in changes if name in record.provenance]
    if not real and not confirmed:
        return record
    provenance = {name: word for name, word in record.provenance.items() if name not in changes}
    return replace(record, **real, provenance=provenance, updated=now)


def changed(desk: Desk, kind: NounKind[Noun], before: Noun, now: datetime, changes: Fields) -> Noun:
    """Return the record with changes as they were typed, references by slug; itself where none is real."""
    return edited(before, now, with_new_slug(desk, kind, before, resolved(desk, changes, before), now))


def edit(book: Book, kind: NounKind[Noun], wanted: str, changes: Fields, **within: Any) -> Listing:
    """Change fields of one record; a change to None makes the field unknown."""
    if not changes:
        raise WrongUseError(NOTHING_TO_CHANGE)
    with book.writing() as desk:
        before = find(desk, kind, wanted, **within)
        after = changed(desk, kind, before, book.now(), changes)
        if after is not before:
            kind.shelf(desk).put(after)
        return listing(desk, (after,))


def show(book: Book, kind: NounKind[Noun], wanted: str, **within: Any) -> Listing:
    """Return one record."""
    with book.reading() as desk:
        return listing(desk, (find(desk, kind, wanted, **within),))


def list_all(book: Book, kind: NounKind[Noun], fields: Fields) -> Listing:
    """Return all records whose fields equal the given ones (references by slug)."""
    with book.reading() as desk:
        return listing(desk, tuple(kind.shelf(desk).all(**resolved(desk, fields))))


def day_ends(desk: Desk) -> dict[str, time]:
    """Return when the days of each trip end, by the trip's id."""
    return dict(desk.trips.columns("id", "day_ends_at"))


def listing(desk: Desk, records: tuple[Any, ...]) -> Listing:
    """Return records with the slugs of whatever they may refer to."""
    names: dict[str, str] = {}
    for shelf in (desk.trips, desk.sites, desk.viewpoints, desk.shots, desk.kit, desk.visits):
        names.update({record_id: slug for slug, record_id in shelf.slugs().items()})
    sites = {viewpoint.id: names[viewpoint.site_id] for viewpoint in desk.viewpoints.all()}
    return Listing(records, names, sites)


def remove(book: Book, kind: NounKind[Noun], wanted: str, *, with_dependents: bool, **within: Any) -> Removed:
    """Remove one record; raises InUseError where others refer to it, unless told to let those go too."""
    with book.writing() as desk:
        record = find(desk, kind, wanted, **within)
        slug = str(record.slug)  # type: ignore[attr-defined]
        references = desk.references_to(kind.table, record.id)
        needing = [one for one in references if one.column not in STANDS_WITHOUT]
        if needing and not with_dependents:
            raise InUseError(_refusal(kind, slug, needing))
        removed: list[RecordReference] = []
        let_go: list[RecordReference] = []
        _take_out(desk, kind.table, record.id, removed, let_go)
        for group in _sets_with(desk, kind, record.id):
            left = group.without({record.id}, book.now())
            reference = RecordReference("keeper_set", group.id, "", "keeper_ids", needed=left is None)
            if left is None:
                desk.sets.remove([group.id])
                removed.append(reference)
            else:
                desk.sets.put(left)
                let_go.append(reference)
        return Removed(slug, tuple(removed), tuple(let_go))


def _sets_with(desk: Desk, kind: NounKind[Any], record_id: str) -> list[KeeperSet]:
    """Return the sets a keeper is in: they list their members, which no foreign key tells."""
    if kind.table != desk.keepers.table.name:
        return []
    return [group for group in desk.sets.all() if record_id in group.keeper_ids]


def _take_out(
    desk: Desk, table: str, record_id: str, removed: list[RecordReference], let_go: list[RecordReference]
) -> None:
    for reference in desk.references_to(table, record_id):
        if reference.needed:
            _take_out(desk, reference.table, reference.id, removed, let_go)
            removed.append(reference)
        else:
            desk.let_go(reference)
            let_go.append(reference)
    desk.remove(table, record_id)


def take_out(desk: Desk, kind: NounKind[Any], record_id: str) -> None:
    """Take a record out within a transaction; references to it become unknown, what needs it goes too."""
    _take_out(desk, kind.table, record_id, [], [])


def in_words(references: Iterable[RecordReference]) -> list[str]:
    """Return references as people name them; records that have no name of their own are counted."""
    references = list(references)
    nameless = Counter(WORDS_OF_TABLES.get(one.table, one.table) for one in references if not one.name)
    return [f"{one.table} {one.name}" for one in references if one.name] + [
        f"{count} {word}{'s' if count > 1 else ''}" for word, count in nameless.items()
    ]


def told_briefly(references: Iterable[RecordReference]) -> str:
    """Return references counted by noun; of few, their names."""
    return counted_names((one.table, one.name) for one in references)


def _refusal(kind: NounKind[Any], slug: str, references: list[RecordReference]) -> str:
    return (
        f"The {kind.word} {slug} is still needed by {told_briefly(references)}; nothing was removed. "
        "--with-dependents also removes what cannot exist without it, and clears the other references."
    )


def with_new_slug(
    desk: Desk, kind: NounKind[Any], before: Record, changes: Fields, now: datetime
) -> dict[str, Any]:
    """Return changes of a record with all that another short name among them brings along.

    Raises InvalidValueError for what is no short name, and ConflictError for one that is taken.
    """
    old, new = before.slug, changes.get("slug")  # type: ignore[attr-defined]
    if new is None or new == old:
        return dict(changes)
    if check_slug(new) in kind.shelf(desk).slugs():
        raise ConflictError(f'There is already a {kind.word} called "{new}"; choose another --slug.')
    if kind.word == "viewpoint":
        headed_anew(desk, old, new, now)
    if not hasattr(before, "also_called"):
        return dict(changes)
    names = changes.get("also_called", before.also_called)
    title = changes.get("title", getattr(before, "title", ""))
    return dict(changes) | {"also_called": with_old_slug(names, old, title)}


def headed_anew(desk: Desk, old: str, new: str, now: datetime) -> None:
    """Let the remembered lines of day files stand under another viewpoint's short name."""
    for line in desk.day_lines.all(section=old):
        desk.day_lines.put(replace(line, section=new, updated=now))


def with_old_slug(names: tuple[str, ...], old: str, title: str) -> tuple[str, ...]:
    """Return the other names of a place with a short name that it had, unless that is but its title."""
    return names if name_key(old) == name_key(title) else Amended(add=(old,)).of(names)
