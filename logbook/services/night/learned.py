"""What was learned at one stay, in the words of a day file's lesson line.

One surprising decision: a line that does not say whether to keep, change or avoid is something to change, as
in a day file.
"""

from itertools import count, takewhile

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.choices import says_nothing
from logbook.domain.written.entry import LessonEntry
from logbook.domain.written.lines import read_entries, written_entry
from logbook.services import kinds
from logbook.services.night.evening import Evening, Given, Understood, id_of, put, said, told
from logbook.services.night.questions import Question, is_answer_elsewhere
from logbook.services.night.visits import NOTHING_NOTED, visit_there
from logbook.services.records import put_new


def say_learned(evening: Evening, question: Question, given: Given | None) -> Understood:
    """Say what was learned at a stay; each line is a lesson and they take the place of those said before."""
    visit = visit_there(evening, question.about)
    if visit is None or (given is not None and not given.text):
        return Understood()
    lines = given.text.splitlines() if given else []
    entries = [_lesson(line) for line in lines if not says_nothing(line)]
    of_visit = {"trip_id": visit.trip_id, "on_date": visit.on_date, "viewpoint_id": visit.viewpoint_id}
    numbered = (id_of(evening, f"learned {visit.id} {number}") for number in count(1))
    for entry, lesson_id in zip(entries, numbered, strict=False):
        fields = {"verb": entry.verb, "text": entry.lesson, "shown_to": entry.audience, **of_visit}
        before = evening.desk.lessons.get(lesson_id)
        if before is None:
            put_new(evening.desk, kinds.LESSON, evening.now, {"id": lesson_id, **fields})
        elif given is not None:
            put(evening.desk.lessons, before, said(before, evening.now, given.word, fields))
    surplus = takewhile(bool, map(evening.desk.lessons.get, numbered))
    evening.desk.lessons.remove([one.id for one in surplus if one])
    if not entries:
        return told(NOTHING_NOTED if given else None)
    return told(*(written_entry(one).removeprefix("- ") for one in entries))


def _lesson(line: str) -> LessonEntry:
    if is_answer_elsewhere(line):
        raise InvalidValueError(
            f'"{line}" alone is not enough here; write it out in full, or write: nothing.'
        )
    (entry,) = read_entries(f"- lesson {line}")
    assert isinstance(entry, LessonEntry)
    return entry
