"""From the lines of a day file to what they would put into the book.

One surprising decision: a line that names something the book does not have (a viewpoint, a shot, a keeper not
taken in yet) is not an error but a line to sort out; reading the file again later takes it in. What stands
behind a ? is only proposed: it is marked as such and never counts against what was stated.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from logbook.domain.checks import check_zone
from logbook.domain.errors import LogbookError
from logbook.domain.keeper import Keeper
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Provenance
from logbook.domain.written.entry import (
    ConditionEntry,
    Entry,
    KeepersEntry,
    KitEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import names_now
from logbook.intake.dayfile import DayFile, Section
from logbook.services.kinds import KIT, SHOT, VIEWPOINT
from logbook.services.naming import (
    Narrow,
    Pool,
    SeveralKeepersError,
    is_bare_number,
    matching,
    named,
    pool_of,
)
from logbook.services.places.headed import headed
from logbook.services.plans.outcomes import OutcomeSaid, replacement
from logbook.services.records import find
from logbook.store.desk import Desk

# What a record is about, or what only a person gives; never proposed.
STRUCTURE = frozenset(("trip_id", "on_date", "kind", "verb", "reasons"))

LATER_COUNTS = "a later line differs; the later one is used"


@dataclass(frozen=True, slots=True)
class LineDraft:
    """What one line says about one record; `target_id` names a record that exists whatever the file says.

    `marks` names the fields that are only proposed, and what they are until a person takes the ? away.
    `of_lines` gives fields that name the record of another line, by the number of that line: an observation
    the visit of its heading, a shot the one that it is the fallback of. A new record is called by `slug`.
    `written` are its words in the file, where `text` has them in another form: a heading. `told` is the
    sentence that says what was understood, where that differs from what was written.
    """

    noun: str
    section: str
    line: int
    text: str
    fields: Mapping[str, Any]
    target_id: str | None = None
    marks: Mapping[str, Provenance] = field(default_factory=dict)
    of_lines: Mapping[str, int] = field(default_factory=dict)
    slug: str | None = None
    written: str = ""
    told: str = ""


@dataclass(frozen=True, slots=True)
class Loose:
    """A line that was not understood, word for word, and why.

    `known_as` is how a line that was read is remembered, where that is not word for word: a heading.
    """

    line: int
    text: str
    why: str
    known_as: str = ""

    @property
    def key(self) -> str:
        """What tells whether a line that was read before still stands in the file."""
        return self.known_as or self.text


@dataclass(slots=True)
class Drafts:
    """All drafts of a file, and what is left to sort out."""

    drafts: list[LineDraft] = field(default_factory=list)
    loose: list[Loose] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where and when a section's lines belong."""

    desk: Desk
    trip: Trip
    on_date: date
    keepers: Pool
    viewpoint: Viewpoint | None
    is_proposed: bool = False
    heading: int | None = None

    @property
    def section(self) -> str:
        return self.viewpoint.slug if self.viewpoint else ""


def drafts_of(desk: Desk, trip: Trip, on_date: date, day: DayFile) -> Drafts:
    """Return what a day file would put into the book."""
    result = Drafts(loose=[Loose(line.line, line.text, line.why) for line in day.loose])
    keepers = pool_of(desk, trip)
    journal: list[str] = []
    for read in day.sections:
        section = read
        if section.viewpoint is None:
            place = _Place(desk, trip, on_date, keepers, None)
            journal.append(_printable(section.journal))
        else:
            try:
                section, viewpoint = headed(desk, section)
            except LogbookError as error:
                _set_aside(section, str(error), result)
                text = _printable(section.journal)
                journal.append(text and f"**{section.viewpoint}**\n\n{text}")
                continue
            place = _Place(desk, trip, on_date, keepers, viewpoint, section.times_proposed, section.line)
            result.drafts.append(_visit(section, place))
        for entry in section.entries:
            try:
                result.drafts.extend(_drafts(entry, place))
            except LogbookError as error:
                result.loose.append(Loose(entry.line, entry.text, str(error)))
    _keep_last_words(result)
    text = "\n\n".join(part for part in journal if part)
    zone = _zone(day, result)
    if text or zone:
        result.drafts.insert(0, LineDraft("day", "", 1, text, {"journal": text or None, "zone": zone}))
    return result


def _zone(day: DayFile, result: Drafts) -> str | None:
    try:
        check_zone(day.zone)
    except LogbookError as error:
        result.loose.append(Loose(1, f"zone: {day.zone}", str(error)))
        return None
    return day.zone


def _keep_last_words(result: Drafts) -> None:
    """Where two lines speak of the same thing the later counts, so that a range may have exceptions.

    What is stated counts before what is proposed, wherever it stands.
    """
    kept: dict[int, LineDraft] = {}
    said: set[tuple[str, str, str]] = set()
    latest_first = reversed(list(enumerate(result.drafts)))
    for at, draft in sorted(latest_first, key=lambda pair: bool(pair[1].marks)):
        if draft.target_id is None:
            kept[at] = draft
            continue
        names = {name: (draft.noun, draft.target_id, name) for name in draft.fields}
        fields = {name: draft.fields[name] for name, key in names.items() if key not in said}
        said.update(names.values())
        if draft.noun == "keeper" and fields:
            marks = {name: word for name, word in draft.marks.items() if name in fields}
            kept[at] = replace(draft, fields=fields, marks=marks)
        elif len(fields) == len(draft.fields):
            kept[at] = draft
        elif draft.noun != "keeper" and not draft.marks:
            result.loose.append(Loose(draft.line, draft.text, LATER_COUNTS))
    result.drafts = [kept[at] for at in sorted(kept)]


_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def _printable(journal: str) -> str:
    """Return a journal with control characters made visible: one stray byte must not reject a day."""
    return _CONTROL.sub("\N{REPLACEMENT CHARACTER}", journal)


def _heading(section: Section) -> str:
    times = "-".join(f"{at:%H:%M}" for at in (section.arrived, section.departed) if at)
    mark = "?" if section.times_proposed else None
    return " ".join(part for part in ("##", section.viewpoint, mark, times, section.purpose) if part)


def _set_aside(section: Section, why: str, result: Drafts) -> None:
    heading = section.heading  # word for word
    result.loose.append(Loose(section.line, heading, why, _heading(section)))
    lines = {entry.line: entry.text for entry in section.entries}  # one line may hold several entries
    result.loose.extend(
        Loose(line, text, f'it is under "{heading}", which is not a known viewpoint')
        for line, text in lines.items()
    )


def _visit(section: Section, place: _Place) -> LineDraft:
    """Return the visit a section stands for; what it does not speak of is not among its fields."""
    entries = sorted(section.entries, key=lambda entry: entry.proposed)
    tries = next((entry for entry in entries if isinstance(entry, TriesEntry)), None)
    support = next((entry for entry in entries if isinstance(entry, SupportEntry)), None)
    own = [entry.text for entry in section.entries if isinstance(entry, TriesEntry | SupportEntry)]
    fields = {
        "trip_id": place.trip.id,
        "viewpoint_id": place.viewpoint.id if place.viewpoint else None,
        "on_date": place.on_date,
        "arrived_at": section.arrived,
        "departed_at": section.departed,
        "purpose": section.purpose,
        "tries": tries.count if tries else None,
        "support": support.support if support else None,
        "journal": _printable(section.journal) or None,
    }
    marks = {}
    if section.times_proposed:
        names = ("viewpoint_id", "arrived_at", "departed_at", "purpose")
        marks = {name: Provenance.INFERRED for name in names if fields[name] is not None}
    if tries and tries.proposed:
        marks["tries"] = Provenance.INFERRED
    if support and support.proposed:
        marks["support"] = Provenance.ASSUMED
    return LineDraft(
        "visit",
        place.section,
        section.line,
        "\n".join([_heading(section), *own, section.journal]),
        {name: value for name, value in fields.items() if value is not None},
        marks=marks,
        written="\n".join([section.heading, *own, section.journal]),
        told=" ".join(filter(None, (section.told, tries.told if tries else ""))),
    )


def _marks(fields: Mapping[str, Any]) -> dict[str, Provenance]:
    """Return what the fields of a proposed line are: support is carried forward, all else worked out."""
    return {
        name: Provenance.ASSUMED if name == "support" else Provenance.INFERRED
        for name, value in fields.items()
        if value is not None and name not in STRUCTURE
    }


def _drafts(entry: Entry, place: _Place) -> Iterator[LineDraft]:
    def draft(noun: str, fields: Mapping[str, Any], target_id: str | None = None) -> LineDraft:
        marks = _marks(fields) if entry.proposed else {}
        of_lines = {"visit_id": place.heading} if noun == "condition" and place.heading is not None else {}
        return LineDraft(
            noun, place.section, entry.line, entry.text, fields, target_id, marks, of_lines, told=entry.told
        )

    viewpoint_id = place.viewpoint.id if place.viewpoint else None
    match entry:
        case ConditionEntry():
            yield draft(
                "condition",
                {
                    "trip_id": place.trip.id,
                    "kind": entry.kind,
                    "on_date": place.on_date,
                    "at": entry.at,
                    "viewpoint_id": viewpoint_id,
                    "level": entry.level,
                    "direction": entry.direction,
                    "note": entry.note or None,
                    "source": entry.source,
                },
            )
        case LessonEntry():
            yield draft(
                "lesson",
                {
                    "verb": entry.verb,
                    "text": entry.lesson,
                    "trip_id": place.trip.id,
                    "on_date": place.on_date,
                    "viewpoint_id": viewpoint_id,
                    "shown_to": entry.audience,
                },
            )
        case ShotEntry() if entry.proposed:
            raise LogbookError("an outcome is never a proposal; remove the ? to state it")
        case ShotEntry():
            shot = find(place.desk, SHOT, entry.shot, trip_id=place.trip.id)
            said = OutcomeSaid(entry.outcome, entry.reasons, entry.note or None, entry.replaced_by)
            shot_id, keeper_id = replacement(place.desk, shot, said.replaced_by, place.on_date)
            yield draft(
                "outcome",
                {
                    "word": said.word,
                    "reasons": said.reasons,
                    "note": said.note,
                    "replaced_by_shot_id": shot_id,
                    "replaced_by_keeper_id": keeper_id,
                },
                shot.id,
            )
        case KeepersEntry():
            yield from _keeper_notes(entry, place, draft)
        case KitEntry():
            item = find(place.desk, KIT, entry.item)
            yield draft("packed", {"used": entry.used} | ({"why": entry.why} if entry.why else {}), item.id)
        case TriesEntry() | SupportEntry():
            if place.viewpoint is None:
                yield from ()
                raise LogbookError("it needs a viewpoint; put it under a heading")


def _keeper_notes(entry: KeepersEntry, place: _Place, draft: Any) -> Iterator[LineDraft]:
    found = _pictures(entry.first, entry.last, place)
    fields: dict[str, Any] = {}
    if entry.filters_said:
        fields["filters"] = entry.filters
    if entry.support is not None:
        fields["support"] = entry.support
    if entry.shot is not None:
        fields["shot_id"] = find(place.desk, SHOT, entry.shot, trip_id=place.trip.id).id
    if entry.caption is not None:
        fields["caption"] = entry.caption
    if entry.sharpness is not None:
        fields["sharpness"] = entry.sharpness
    if entry.viewpoint is not None:
        fields["viewpoint_id"] = find(place.desk, VIEWPOINT, entry.viewpoint).id
    elif place.viewpoint is not None:
        fields["viewpoint_id"] = place.viewpoint.id
    for keeper in found:
        is_same = entry.filters_said and names_now(keeper.filters) == entry.filters
        of_it = fields | {"filters": keeper.filters} if is_same else fields  # an earlier name of the same
        made: LineDraft = draft("keeper", of_it, keeper.id)
        if place.is_proposed and entry.viewpoint is None and not entry.proposed:
            # What is said of a picture is no word on the place, which its heading only proposes.
            marks = {"viewpoint_id": Provenance.INFERRED}
            made = replace(made, marks=marks, text=f"{made.text}\n(at a proposed place)")
        yield made


def _pictures(first: str, last: str, place: _Place) -> list[Keeper]:
    """Return the pictures that a line of this day names; one that names its file may be of another day.

    Raises LogbookError where several of the day could be meant, or none is there.
    """
    of_day = place.keepers.narrowed(Narrow(on=place.on_date))
    try:
        if found := of_day.meant(first, last):
            return found
        by_name = first == last and not is_bare_number(first) and named(place.keepers.keepers, first)
        if by_name and (found := place.keepers.meant(first, last)):
            return found
        undated = [one for one in place.keepers.keepers if place.keepers.day_of(one) is None]
        if found := replace(of_day, keepers=tuple(undated)).meant(first, last):
            return found
    except SeveralKeepersError as error:
        listed = error.listed()
        raise LogbookError(
            f"more than one picture has the number {error.name}: {', '.join(listed)}; write the file name"
        ) from None
    which = f"keeper {first}" if first == last else f"keeper {first} to {last}"
    others = matching(place.keepers.keepers, first, last)
    elsewhere = sorted({str(day) for one in others if (day := place.keepers.day_of(one))})
    if elsewhere:
        raise LogbookError(
            f"the book has no {which} from that day, only from {', '.join(elsewhere[:3])}; if you mean "
            f"that one, write its file name"
        )
    raise LogbookError(f"the book has no {which} yet; import {'it' if first == last else 'them'} first")
