"""Lines of day files as the book remembers them, and which line of a file is which of those.

One surprising decision: a line is known again by what it says, not only by its words, so that a draft written
from the book reads back into the very records it was written from.
"""

import json
from collections import defaultdict, deque
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import MISSING, fields
from datetime import date, datetime, time
from itertools import islice
from typing import Any

from logbook.domain.day import DayLine, window_on
from logbook.domain.record import Record, new_record
from logbook.domain.said import field_words
from logbook.domain.shot import Shot
from logbook.domain.words import Provenance
from logbook.services.dayfiles.entries import LineDraft

PROPOSED = frozenset((Provenance.INFERRED, Provenance.ASSUMED))
MARKS = "?"  # the key under which `seen` names the fields that a line only proposed
KNOWN = "="  # the key under which `seen` names the fields that the book had so before the line said them
OF_TARGETS = frozenset(("outcome", "keeper", "packed"))  # nouns whose records exist whatever a file says
ANYWHERE = frozenset(("outcome", "packed"))  # of these, nouns that mean the same under any heading
NEAR_LINES = 50  # remembered lines among which the one is looked for that a reworded shot was
# What a line may leave to others to say, and what is there while nobody has said it.
LEFT_TO_OTHERS: Mapping[str, Mapping[str, Any]] = {
    "visit": dict.fromkeys(("arrived_at", "departed_at", "purpose", "tries", "support", "journal")),
    "shot": {one.name: one.default for one in fields(Shot) if one.default is not MISSING},
}


def plain(value: Any) -> Any:
    """Return a field's value as JSON has it."""
    if value is None or isinstance(value, bool | int):
        return value
    return [str(item) for item in value] if isinstance(value, tuple) else str(value)


def seen(fields: Mapping[str, Any], marks: Mapping[str, Provenance], known: Mapping[str, Provenance]) -> str:
    """Return what a line says of its record, to be remembered."""
    data = {name: plain(value) for name, value in fields.items()}
    for key, words in ((MARKS, marks), (KNOWN, known)):
        if held := {name: str(word) for name, word in words.items() if name in fields}:
            data[key] = held
    return json.dumps(data, ensure_ascii=False)


def then(line: DayLine) -> dict[str, Any]:
    """Return the fields a line set, as it left them."""
    said: dict[str, Any] = json.loads(line.seen)
    for key in (MARKS, KNOWN):
        said.pop(key, None)
    return said


def known_before(line: DayLine) -> dict[str, Provenance]:
    """Return the fields that the book had so before the line said them, and where they came from."""
    return {name: Provenance(word) for name, word in json.loads(line.seen).get(KNOWN, {}).items()}


def known_now(record: Record, draft: LineDraft) -> dict[str, Provenance]:
    """Return the fields of a record that a new line only repeats, and where they came from."""
    return {
        name: word
        for name, value in draft.fields.items()
        if name not in draft.marks
        and getattr(record, name) == value
        and (word := record.provenance_of(name)) is not None
        and word not in PROPOSED
    }


def confirmed(record: Record, line: DayLine) -> set[str]:
    """Return the fields that a line only proposed and a person stated since."""
    marks = json.loads(line.seen).get(MARKS, {})
    return {name for name in marks if record.provenance_of(name) is Provenance.STATED}


def touched(record: Record, line: DayLine) -> dict[str, tuple[Any, Any]]:
    """Return the fields that differ from what the line left behind: field to (then, now)."""
    return {
        name: (left, now)
        for name, left in then(line).items()
        if (now := plain(getattr(record, name))) != left
    }


def said_besides(record: Record, noun: str, told: Container[str]) -> dict[str, tuple[Any, Any]]:
    """Return what is known of a visit or shot beyond what a line tells: field to (default, now)."""
    return {
        name: (plain(default), plain(said))
        for name, default in LEFT_TO_OTHERS.get(noun, {}).items()
        if name not in told and (said := getattr(record, name)) != default
    }


def stated_before(record: Record | None, edits: Mapping[str, Any], marks: Container[str]) -> dict[str, Any]:
    """Return what a person had said of fields that a new line says otherwise; nothing of what was unknown."""
    if record is None:
        return {}
    return {
        name: plain(old)
        for name, value in edits.items()
        if name not in marks
        and record.provenance_of(name) is Provenance.STATED
        and (old := getattr(record, name)) != value
        and (old or name == "filters")
    }


def says_the_same(line: DayLine, draft: LineDraft) -> bool:
    """Whether a remembered line and a draft say the same; silence and unknown are alike here.

    The visit of an observation counts only once it is known which one its heading stands for.
    """
    said = then(line)
    if "visit_id" not in draft.fields:
        said.pop("visit_id", None)
    return _known(said) == _known({name: plain(value) for name, value in draft.fields.items()})


def is_about(draft: LineDraft, record: Record, day_ends_at: time) -> bool:
    """Whether a draft speaks of a record that did not come from a file: the same stay, the same words."""
    if draft.noun == "visit":
        fields = {name: getattr(record, name) for name in ("arrived_at", "departed_at")}
        return bool(getattr(record, "viewpoint_id", None) == draft.fields["viewpoint_id"]) and _together(
            fields, draft.fields, day_ends_at
        )
    return all(
        _flat(told_of) == _flat(value) or (name == "visit_id" and told_of is None)
        for name, value in draft.fields.items()
        for told_of in (getattr(record, name),)
    )


class Saying:
    """The observations of a day by what they say but for their visit, so that none is compared in vain."""

    def __init__(self, draft: LineDraft, records: Iterable[Record]) -> None:
        self._names = sorted(set(draft.fields) - {"visit_id"})  # drafts of one noun have the same fields
        self._ids: dict[tuple[Any, ...], list[str]] = defaultdict(list)
        for record in records:
            self._ids[self._key(record.__getattribute__)].append(record.id)

    def ids(self, draft: LineDraft) -> Sequence[str]:
        """Return the ids of those that say what a draft says, in their order."""
        return self._ids.get(self._key(draft.fields.__getitem__), ())

    def _key(self, value_of: Callable[[str], Any]) -> tuple[Any, ...]:
        return tuple(_flat(value_of(name)) for name in self._names)


def _flat(value: Any) -> Any:
    """Return text without line breaks and double spaces, which a line of a file cannot hold."""
    return " ".join(value.split()) if type(value) is str else value


def matched(
    drafts: list[LineDraft], old: Iterable[DayLine], file: str, day_ends_at: time
) -> tuple[list[tuple[LineDraft, DayLine | None]], list[DayLine]]:
    """Pair each draft with the line it was, and return this file's lines that are gone.

    The same words in this file come first, then the same words in another (it was renamed), then the same
    said in other words, then the same place in order, then the same stay at a viewpoint.
    """
    left: dict[tuple[str, str, str | None], _Lines] = defaultdict(lambda: _Lines(file, day_ends_at))
    named = {draft.target_id for draft in drafts}
    for line in old:
        is_named = line.noun in OF_TARGETS or line.record_id in named
        target_id = line.record_id if is_named else None
        left[_where(line.noun, line.section, target_id)].add(line)
    found: dict[int, DayLine] = {}
    for rule in range(6):
        for index, draft in enumerate(drafts):
            if index in found:
                continue
            lines = left[_where(draft.noun, draft.section, draft.target_id)]
            if taken := lines.taken(rule, draft):
                found[index] = taken
    pairs = [(draft, found.get(index)) for index, draft in enumerate(drafts)]
    return pairs, [line for lines in left.values() for line in lines.left() if line.file == file]


def _where(noun: str, section: str, target_id: str | None) -> tuple[str, str, str | None]:
    """Return where a line is looked for: an outcome or a piece of kit is the same under any heading."""
    return noun, "" if noun in ANYWHERE else section, target_id


class _Lines:
    """Remembered lines of one noun and place in their order, by what each rule knows them again by.

    A line that was taken is passed over where it stands first, so that each is looked at once for each rule.
    """

    def __init__(self, file: str, day_ends_at: time) -> None:
        self._file = file
        self._day_ends_at = day_ends_at
        self._lines: dict[str, DayLine] = {}
        self._by: dict[tuple[Any, ...], deque[DayLine]] = defaultdict(deque)

    def add(self, line: DayLine) -> None:
        self._lines[line.id] = line
        with_visit = _as_key(then(line))
        for key in ((1, line.text), (3, with_visit), (3, _as_key(then(line), "visit_id"))):
            if key not in self._by or self._by[key][-1] is not line:  # without a visit both keys are one
                self._by[key].append(line)
            if line.file == self._file:
                of_file = (key[0] - 1, key[1])
                if of_file not in self._by or self._by[of_file][-1] is not line:
                    self._by[of_file].append(line)
        if line.file == self._file:
            self._by[4,].append(line)

    def taken(self, rule: int, draft: LineDraft) -> DayLine | None:
        """Take the first line that a draft is by a rule."""
        match rule:
            case 0 | 1:
                return self._first(self._by.get((rule, draft.text)))
            case 2 | 3 if draft.noun != "day":
                said = _as_key({name: plain(value) for name, value in draft.fields.items()})
                return self._first(self._by.get((rule, said)))
            case 4 if draft.noun == "shot" and draft.target_id is None:  # order says little
                of_file = (line for line in self._lines.values() if line.file == self._file)
                near = islice(of_file, NEAR_LINES)
                return self._pop(line for line in near if _resembles(then(line), draft.fields))
            case 4:
                return self._first(self._by.get((4,)))
            case 5 if draft.noun == "visit":
                lines = self._lines.values()
                return self._pop(
                    line for line in lines if _together(then(line), draft.fields, self._day_ends_at)
                )
        return None

    def _pop(self, fitting: Iterator[DayLine]) -> DayLine | None:
        line = next(fitting, None)
        return self._lines.pop(line.id) if line else None

    def _first(self, lines: "deque[DayLine] | None") -> DayLine | None:
        while lines:
            if line := self._lines.pop(lines.popleft().id, None):
                return line
        return None

    def left(self) -> Iterable[DayLine]:
        return self._lines.values()


def _resembles(said: Mapping[str, Any], fields: Mapping[str, Any]) -> bool:
    """Whether half of what two lines say of a shot at the least is the same."""
    now = {name: plain(value) for name, value in fields.items()}
    names = (_known(said).keys() | _known(now).keys()) - {"trip_id"}
    alike = sum(1 for name in names if said.get(name) == now.get(name))
    return 2 * alike >= len(names)


def _as_key(said: Mapping[str, Any], *without: str) -> str:
    """What is known of what was said, as one text: silence and unknown are alike here."""
    return json.dumps(
        _known({name: value for name, value in said.items() if name not in without}), sort_keys=True
    )


def remembered(
    draft: LineDraft,
    fields: Mapping[str, Any],
    record_id: str,
    before: DayLine | None,
    known: Mapping[str, Provenance],
    **where: Any,
) -> DayLine:
    """Return what the book remembers of a line; a line that was there before keeps its record.

    `known` is what the book had before it, `where` gives now, trip_id, on_date and file.
    """
    base = new_record(where.pop("now"))
    if before is not None:
        base = {"id": before.id, "created": before.created, "updated": before.updated}
    return DayLine(
        **base,
        **where,
        section=draft.section,
        line=draft.line,
        text=draft.text,
        noun=draft.noun,
        record_id=record_id,
        seen=seen(fields, draft.marks, known if before is None else known_before(before)),
    )


def told(changes: Mapping[str, tuple[Any, Any]]) -> str:
    """Return in words what was changed elsewhere: field to (then, now)."""
    parts = [
        f"{_field(name)} was changed elsewhere since"
        + (
            ""
            if name.endswith("_id")
            else f" (the file had set {_quoted(left)}, the book now has {_quoted(now)})"
        )
        for name, (left, now) in changes.items()
    ]
    return ", ".join(parts)


def told_before(said: Mapping[str, Any]) -> str:
    """Return in words what a person had said before: field to value."""
    return ", ".join(
        f"{_field(name)} was stated before" + ("" if name.endswith("_id") else f" as {_quoted(value)}")
        for name, value in said.items()
    )


def _field(name: str) -> str:
    return "outcome" if name == "word" else field_words(name)


def _quoted(value: Any) -> str:
    if value is None:
        return "unknown"
    text = ", ".join(value) or "none" if isinstance(value, list) else str(value)
    return f'"{text}"' if len(text) <= 60 else f'"{text[:57]}..."'


def _known(said: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in said.items() if value is not None}


def _together(one: Mapping[str, Any], other: Mapping[str, Any], day_ends_at: time) -> bool:
    """Whether two stays at one viewpoint are the same: they overlap, or neither says when."""
    if not any((one.get(name) or other.get(name)) for name in ("arrived_at", "departed_at")):
        return True
    first, second = _span(one, day_ends_at), _span(other, day_ends_at)
    if first is None or second is None:
        return False
    return first[0] == second[0] or max(first[0], second[0]) < min(first[1], second[1])


def _span(said: Mapping[str, Any], day_ends_at: time) -> tuple[datetime, datetime] | None:
    """From when to when a stay lasted, on any day, for all are of the same; None without an arrival."""
    at, until = (said.get(name) for name in ("arrived_at", "departed_at"))
    arrived, departed = window_on(
        date.min,
        None if at is None else time.fromisoformat(str(at)),
        None if until is None else time.fromisoformat(str(until)),
        day_ends_at,
    )
    return None if arrived is None else (arrived, departed or arrived)
