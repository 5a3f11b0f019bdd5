"""Taking what the lines of a file say into the book: made, changed, taken back, or left as it is.

One surprising decision: a plan whose outcome is known is not changed, whatever its file says by now; the line
then waits among those to sort out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, replace
from datetime import datetime
from difflib import get_close_matches
from typing import Any

from logbook.domain.day import DayLine, LooseLine
from logbook.domain.errors import LogbookError
from logbook.domain.kit import PackedItem
from logbook.domain.record import Record, new_record
from logbook.domain.said import field_words
from logbook.domain.shot import Outcome, Shot
from logbook.domain.visit import Visit
from logbook.domain.words import Packing, Provenance
from logbook.services.dayfiles.entries import Drafts, LineDraft, Loose
from logbook.services.dayfiles.lines import (
    LEFT_TO_OTHERS,
    NEAR_LINES,
    PROPOSED,
    Saying,
    confirmed,
    is_about,
    known_now,
    matched,
    plain,
    said_besides,
    says_the_same,
    stated_before,
    then,
    told,
    told_before,
    touched,
)
from logbook.services.dayfiles.reading import DayReading, line_of, lines_of
from logbook.services.dayfiles.texts import take_text
from logbook.services.dayfiles.withdrawing import OWNED, first_line, record_of, shelf_of, withdraw
from logbook.services.plans.outcomes import check_still_planned
from logbook.services.records import edited, put_new
from logbook.services.visits.room import make_room

EDITED = 0.6  # of difflib's ratio, from which a line is likely another one edited (own choice)
SILENT_CLEARS = frozenset(("visit", "shot"))  # nouns whose line says all: what it no longer says is unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRead:
    """What reading a file did; `gone` are lines taken back, `elsewhere` says what was changed outside it.

    `understood` says what was taken of new and edited lines, where that differs from what is written there.
    """

    trip: str
    added: int
    changed: int
    unchanged: int
    removed: int
    gone: tuple[str, ...]
    elsewhere: tuple[str, ...]
    understood: tuple[str, ...]
    loose: tuple[Loose, ...]


def taken_in(reading: DayReading, found: Drafts) -> dict[str, Any]:
    """Take all drafts in and keep what is to sort out; return the fields of a FileRead."""
    found.loose += _apply(reading, found)
    found.loose.sort(key=lambda loose: loose.line)
    _keep_loose(reading, found.loose)
    counts = reading.counts
    return {
        "trip": reading.trip.slug,
        "added": counts["added"],
        "changed": counts["changed"],
        "unchanged": counts["same"],
        "removed": counts["gone"],
        "gone": tuple(reading.gone),
        "elsewhere": tuple(reading.elsewhere),
        "understood": tuple(dict.fromkeys(reading.told)),
        "loose": tuple(found.loose),
    }


def _apply(reading: DayReading, found: Drafts) -> list[Loose]:
    """Take all drafts in; return those that cannot be, such as an outcome that names its own shot.

    A line that stands in the file as ever but names something that is called otherwise by now takes nothing
    back, nor does one that was edited and is not understood; why it was not read is among the lines to sort
    out.
    """
    drafts = found.drafts
    loose: list[Loose] = []
    old = lines_of(reading)
    pairs, gone = matched(drafts, old, reading.file, reading.trip.day_ends_at)
    reading.claimed = {line.record_id for line in old if line.file != reading.file}
    reading.claimed |= {line.record_id for _, line in pairs if line is not None}
    unread = {loose.key for loose in found.loose}
    if reading.on_date is None and gone and all(before is None for _, before in pairs):
        reading.elsewhere.append(
            "it has no line in common with the file of this name that was read before, "
            f"so the earlier shots stay ({len(gone)})."
        )
        gone = []
    for line in sorted(gone, key=_is_named_by_others):
        if first_line(line.text) in unread:
            reading.lines.append(line)
        elif edit := _edited(line, found.loose):
            reading.elsewhere.append(
                f'line {edit.line} may be an edited version of "{first_line(line.text)}"; what the old '
                "line said stays until the new one is sorted out."
            )
            reading.lines.append(line)
        else:
            withdraw(reading, line)
    for draft, before in pairs:
        try:
            take_draft(reading, draft, before)
        except LogbookError as error:
            loose.append(Loose(draft.line, draft.written or draft.text, str(error)))
            if before is not None:
                reading.lines.append(before)
    kept = {line.id: line for line in reading.lines}
    reading.desk.day_lines.remove(
        line.id for line in old if line.file == reading.file and line.id not in kept
    )
    before_by_id = {line.id: line for line in old}
    reading.desk.day_lines.add(*(line for line in reading.lines if line.id not in before_by_id))
    for line in reading.lines:
        if line != before_by_id.get(line.id, line):
            reading.desk.day_lines.put(replace(line, updated=reading.book.now()))
    return loose


def take_draft(reading: DayReading, draft: LineDraft, before: DayLine | None) -> None:
    """Put what one line says into the book; `before` is that line as it was read before."""
    if draft.noun == "day":
        take_text(reading, draft, before)
        return
    placed = reading.placed(draft)
    wanted = before.record_id if before else draft.target_id or _unclaimed(reading, placed)
    record = record_of(reading, draft.noun, wanted)
    draft = draft if reading.is_there_already(placed, record) else placed
    if before is not None and before.text == draft.text and (record is None or says_the_same(before, draft)):
        if record is None:
            reading.elsewhere.append(
                f"line {draft.line}: its {draft.noun} was removed elsewhere and stays removed."
            )
        elif changes := touched(record, before):
            reading.elsewhere.append(f"line {draft.line}: {told(changes)}; the book's value stays.")
        reading.counts["same"] += 1
        reading.visited.add(before.record_id)
        reading.lines.append(line_of(reading, draft, before.record_id, before, draft.fields))
        if record is not None:
            reading.made[draft.line] = record.id
        return
    if draft.told:
        reading.told.append(f"line {draft.line}: {draft.told}")
    is_second_file = before is not None and before.file != reading.file
    edits = _edits(draft, record, before, is_second_file)
    if before is not None and record is not None:
        changes = {name: pair for name, pair in touched(record, before).items() if name in edits}
        if changes:
            reading.elsewhere.append(f"line {draft.line}: {told(changes)}; the edited line takes its place.")
    is_news = before is None
    known = known_now(record, draft) if is_news and record is not None else {}
    overridden = stated_before(record, edits, draft.marks) if is_news or is_second_file else {}
    if overridden:
        reading.elsewhere.append(f"line {draft.line}: {told_before(overridden)}; the line takes its place.")
    if is_news and isinstance(record, Shot) and (silent := _silent(record, draft)):
        reading.elsewhere.append(
            f"line {draft.line}: it does not mention {', '.join(map(field_words, silent))}, so the book "
            f'keeps that; "logbook shot edit {record.slug} --clear FIELD" removes it.'
        )
    record_id, is_changed = _write(reading, draft, edits, record)
    reading.visited.add(record_id)
    if draft.noun in OWNED:
        reading.made[draft.line] = record_id
    reading.claimed.add(record_id)  # a second line in the same words is a second observation
    word = "changed" if before is not None or overridden else "added"
    reading.counts[word if is_changed else "same"] += 1
    left = _heard(draft, record, draft.fields)
    if left:
        reading.lines.append(line_of(reading, draft, record_id, before, left, known))


def _silent(shot: Shot, draft: LineDraft) -> list[str]:
    """Return the few fields of a plan that a line, read for the first time, leaves out of what it repeats."""
    left = list(said_besides(shot, draft.noun, (*draft.fields, "continues_id", "fallback_for_id")))
    defaults = LEFT_TO_OTHERS[draft.noun]
    repeated = [name for name in defaults if draft.fields.get(name) not in (None, defaults[name])]
    return left if len(left) < len(repeated) else []


def _unclaimed(reading: DayReading, draft: LineDraft) -> str | None:
    """Return the record that a line speaks of though it came from no file, as a session leaves it."""
    if draft.noun not in OWNED or reading.on_date is None:
        return None  # a plan names its shots
    shelf = shelf_of(reading.desk, draft.noun)
    of_day = shelf.held(trip_id=reading.trip.id, on_date=reading.on_date)
    if draft.noun != "visit":  # which may be many
        saying = reading.saying.get(draft.noun)
        if saying is None:
            saying = reading.saying[draft.noun] = Saying(draft, of_day)
        of_day = [record for one in saying.ids(draft) if (record := shelf.get(one))]
    for record in of_day:
        if record.id not in reading.claimed and is_about(draft, record, reading.trip.day_ends_at):
            reading.claimed.add(record.id)
            return str(record.id)
    return None


def _edits(
    draft: LineDraft, record: Any, before: DayLine | None, is_second_file: bool = False
) -> dict[str, Any]:
    """Return the fields to write: those the line said otherwise before, and those whose ? was taken away.

    A second file that tells of the same stay takes nothing back by its silence.
    """
    if record is None or before is None:
        return _heard(draft, record, draft.fields)
    left = then(before)
    edits = {
        name: value
        for name, value in draft.fields.items()
        if plain(value) != left.get(name, ...)
        or (name not in draft.marks and record.provenance.get(name) in PROPOSED)
    }
    if draft.noun in SILENT_CLEARS and not is_second_file:
        silent = {name for name, value in left.items() if value is not None} - set(draft.fields)
        defaults = {name: one.default for name, one in type(record).__dataclass_fields__.items()}
        cleared = {name: defaults[name] for name in silent - confirmed(record, before)}
        edits |= {
            name: value for name, value in cleared.items() if value is not MISSING
        }  # nothing without it
    return _heard(draft, record, edits)


def _heard(draft: LineDraft, record: Any, fields: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields, leaving out a proposal where the record has a value that is not one."""
    if record is None or not draft.marks:
        return dict(fields)
    return {
        name: value
        for name, value in fields.items()
        if name not in draft.marks or record.provenance_of(name) in (None, *PROPOSED)
    }


def _write(
    reading: DayReading, draft: LineDraft, fields: Mapping[str, Any], record: Record | None
) -> tuple[str, bool]:
    """Write fields of a record, made where there is none; return its id and whether anything changed."""
    desk, now = reading.desk, reading.book.now()
    if record is not None:
        after = _marked(record, now, fields, draft.marks)
        if after is not record:
            if isinstance(after, Visit):
                after = _fitted(reading, draft, after)
            elif isinstance(after, Shot):
                check_still_planned(desk, after)
            shelf_of(desk, draft.noun).put(after)
        return draft.target_id or record.id, after is not record
    fields = {**fields, "provenance": dict(draft.marks)}
    if draft.noun == "visit":
        visit = _fitted(reading, draft, Visit(**new_record(now), slug="", **fields))
        names = ("arrived_at", "departed_at", "provenance")
        fields |= {name: value for name in names if (value := getattr(visit, name)) is not None}
    if draft.noun in OWNED:
        return str(put_new(desk, OWNED[draft.noun], now, fields, draft.slug).id), True
    base = new_record(now)
    assert draft.target_id is not None
    if draft.noun == "outcome":
        desk.outcomes.add(Outcome(**base, shot_id=draft.target_id, **fields))
    else:
        packing = Packing.TAKEN if fields["used"] else Packing.CONSIDERED
        of: dict[str, Any] = {"trip_id": reading.trip.id, "item_id": draft.target_id, "packing": packing}
        desk.packed.add(PackedItem(**base, **of, **fields))
    return draft.target_id, True


def _is_named_by_others(line: DayLine) -> bool:
    """Whether lines of the same file may name the record of a line, which then goes after theirs."""
    return line.noun == "visit" or (line.noun == "shot" and "fallback_for_id" not in then(line))


def _edited(gone: DayLine, loose: Sequence[Loose]) -> Loose | None:
    """Return the line to sort out that a line which is gone may have become."""
    first = first_line(gone.text)
    near = get_close_matches(first, [one.key for one in loose[:NEAR_LINES]], n=1, cutoff=EDITED)
    return next((one for one in loose if one.key in near), None)


def _fitted(reading: DayReading, draft: LineDraft, visit: Visit) -> Visit:
    """Return a visit that has room among the others of its day; headings further down are not there yet."""
    ahead = reading.claimed - reading.visited
    fitted, told = make_room(reading.desk, reading.trip, visit, reading.book.now(), ahead)
    reading.elsewhere += [f"line {draft.line}: {sentence}" for sentence in told]
    return fitted


def _marked(
    record: Record, now: datetime, fields: Mapping[str, Any], marks: Mapping[str, Provenance]
) -> Record:
    """Return the record with what was stated, and with what was proposed marked so."""
    after = edited(record, now, {name: value for name, value in fields.items() if name not in marks})
    proposed = {
        name: value for name, value in fields.items() if name in marks and getattr(record, name) != value
    }
    if not proposed:
        return after
    provenance = {**after.provenance, **{name: marks[name] for name in proposed}}
    return replace(after, **proposed, provenance=provenance, updated=now)


def _keep_loose(reading: DayReading, loose: list[Loose]) -> None:
    desk = reading.desk
    kept = desk.loose_lines.all(trip_id=reading.trip.id, on_date=reading.on_date, file=reading.file)
    if [(line.line, line.text, line.why) for line in kept] == [
        (one.line, one.text, one.why) for one in loose
    ]:
        return
    desk.loose_lines.remove(line.id for line in kept)
    desk.loose_lines.add(
        *(
            LooseLine(
                **new_record(reading.book.now()),
                trip_id=reading.trip.id,
                on_date=reading.on_date,
                file=reading.file,
                line=one.line,
                text=one.text,
                why=one.why,
            )
            for one in loose
        )
    )
