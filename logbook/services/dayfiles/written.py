"""What the book says of a day as entries of a day file, for a draft and for the Markdown export alike.

One surprising decision: what a day file cannot say is not bent until it fits. It is read back first, and
where that would find something else in it, it stays in the book.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from logbook.domain.account import TripAccount
from logbook.domain.lesson import Lesson
from logbook.domain.record import Record
from logbook.domain.shot import Outcome, Shot
from logbook.domain.visit import Visit
from logbook.domain.words import Provenance
from logbook.domain.written.entry import (
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.intake.dayfile import DayFile, Section, parse_day_file, write_day_file


def reads_back(section: Section) -> bool:
    """Whether a section, once written, is read as what it says, without blanks around its journal."""
    day = DayFile(None, date(2000, 1, 1), None, (section,))
    read = parse_day_file(write_day_file(day))
    return not read.loose and read.sections == (replace(section, journal=section.journal.strip()),)


def is_stated(record: Record, name: str) -> bool:
    """Whether a person stated a field; an unknown one nobody did."""
    return record.provenance_of(name) is Provenance.STATED


def lesson_entry(one: Lesson) -> LessonEntry:
    """Return what was learnt."""
    return LessonEntry(one.verb, one.shown_to, one.text)


def visit_entries(visit: Visit) -> Iterator[TriesEntry | SupportEntry]:
    """Yield how often was tried on a visit, and on what the camera stood, as far as that is known."""
    if visit.tries is not None:
        yield TriesEntry(visit.tries, proposed=not is_stated(visit, "tries"))
    if visit.support is not None:
        yield SupportEntry(visit.support, proposed=not is_stated(visit, "support"))


def shot_entry(account: TripAccount, shot: Shot, outcome: Outcome) -> ShotEntry:
    """Return what became of a shot; what replaced it is named by its slug."""
    shots = {one.id: one.slug for one in account.shots}
    keepers = {one.id: one.slug for one in account.keepers}
    replaced_by = shots.get(outcome.replaced_by_shot_id or "")
    replaced_by = replaced_by or keepers.get(outcome.replaced_by_keeper_id or "")
    return ShotEntry(shot.slug, outcome.word, outcome.reasons, replaced_by, outcome.note or "")
