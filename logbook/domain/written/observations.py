"""A free line at "what closed, flooded or changed": conditions, nothing noted, or words to keep.

One surprising decision: a kind is only taken where a word of the line says it. "north rim road" alone is kept
as words, for nobody said that it was closed; and "not closed" and "open again" are no closure.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from logbook.domain.condition_kinds import KINDS
from logbook.domain.errors import InvalidValueError
from logbook.domain.names import slug_of
from logbook.domain.words import ConditionKind
from logbook.domain.written.choices import says_nothing
from logbook.domain.written.conditions import LEVELLED, read_conditions
from logbook.domain.written.elsewhen import NEGATED, is_denied, is_elsewhen
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.lines import opening, read_entries, written_entry
from logbook.domain.written.understanding import NotUnderstoodError, tidied

# What may be closed, shut or blocked without a way being closed.
_NO_WAY = re.compile(
    r"\b(?:view|sun|light|glow|sight|lens|aperture|shutter|eyes?|wind|horizon|sky|frame|bag|tripod|head|laptop|tent)"
    r"\s+(?:\w+\s+)?$",
    re.IGNORECASE,
)
# What one closes oneself: shut the laptop.
_OWN = re.compile(
    r"\s+(?:(?:the|my|our|up|down)\s+)*(?:laptop|computer|phone|bag|case|tent|car|van|eyes|lens|aperture|shutter|tripod"
    r"|book|curtains?|window|hood|zip|day|session)\b",
    re.IGNORECASE,
)
# The words of a free line that speak of each kind, those with the highest claim first.
_SAID = tuple(
    (kind, re.compile(KINDS[kind].said, re.IGNORECASE))
    for kind in sorted(KINDS, key=lambda kind: -KINDS[kind].claim)
    if KINDS[kind].said
)
_IN_WORDS = tuple(kind for kind, of in KINDS.items() if not of.levels)
_BARRIERS = tuple(kind for kind, of in KINDS.items() if of.is_barrier)
_NAMED = re.compile(r"\w+\s?:")
_CAUSE = re.compile(
    r"(?:because|due|owing|after|for|as|since|by|said|says|until|till)\b.*|(?:a\s+)?(?:rockfall|landslip|landslide|avalanche|road\s?works|works|repairs|maintenance"
    r"|fallen\s+trees?|storm\s+damage|flooding|floods?|ice|snow|strike|private)",
    re.IGNORECASE | re.DOTALL,
)
_CLAUSES = re.compile(
    r"(\s*(?:,(?!(?<=[0-9],)[0-9])|\.(?=\s)|\s(?:and|but|also|plus|&|\+)(?=\s))\s*)", re.IGNORECASE
)
_LEAD = re.compile(
    r"\s*(?:(?:at|on|near|by|in)\s+)?(?:the\s+)?(?P<name>[^,:;–—]+?)\s*(?:[,:–—]|\s-)\s*(?P<rest>.+)",
    re.IGNORECASE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Observation:
    """What one line says; `place` is what the caller calls the place that the line names.

    Without conditions, `is_nothing` says that nothing was noted; else the text is kept as words.
    """

    text: str
    place: str | None = None
    conditions: tuple[ConditionEntry, ...] = ()
    is_nothing: bool = False

    @property
    def words(self) -> str | None:
        """The text where it fits no kind, for the journal of its place or day; else None."""
        return None if self.conditions or self.is_nothing else self.text


def observations_written(text: str, places: Mapping[str, str] | None = None) -> tuple[Observation, ...]:
    """Read every line, and every part between semicolons, as an observation of its own.

    `places` gives, by every name that people may write for a place, what the caller calls it.
    """
    parts = (part.strip().lstrip("-*•·").strip() for part in re.split(r"[;\n\r]", text))
    by_slug = {slug_of(name): key for name, key in (places or {}).items()}
    return tuple(_observation(part, by_slug) for part in parts if part) or (
        (Observation(text.strip(), is_nothing=True),) if says_nothing(text) else ()
    )


def seen_at_stay(text: str) -> tuple[Observation, ...]:
    """Read what was seen at one stay; a level alone is of the only kind that has it: `dozens`, `low`."""
    return tuple(
        one if one.words is None else replace(one, conditions=_settled(_of_level(one.text)))
        for one in observations_written(text)
    )


def _of_level(said: str) -> Sequence[ConditionEntry]:
    """The conditions that a text is where it says levels of one kind and nothing beside them."""
    found = [entries for kind in LEVELLED if (entries := _levels_of(kind, said))]
    return found[0] if len(found) == 1 and not any(one.note for one in found[0]) else ()


def _levels_of(kind: ConditionKind, said: str) -> Sequence[ConditionEntry]:
    try:
        entries = read_conditions(kind, said)
    except InvalidValueError:
        return ()
    return entries if all(one.level is not None for one in entries) else ()


def kind_said(text: str) -> ConditionKind | None:
    """Return the kind of condition that a word of the text says; None where no word does."""
    for kind, pattern in _SAID:
        if KINDS[kind].is_barrier:
            speaks = any(_is_closed(text, found) for found in pattern.finditer(text))
        else:
            first = pattern.search(text)
            unsaid = first and KINDS[kind].is_deniable and NEGATED.search(text[: first.start()])
            speaks = first is not None and not unsaid
        if speaks:
            return kind
    return None


def _observation(text: str, places: Mapping[str, str]) -> Observation:
    if says_nothing(text):
        return Observation(text, is_nothing=True)
    place, said = _placed(text, places)
    found = opening(f"- {said}")
    if (place is not None and says_nothing(said)) or (
        found and found.word in _BARRIERS and says_nothing(found.said)
    ):
        return Observation(text, place, is_nothing=True)
    return Observation(text, place, _settled(_conditions(said)))


def _settled(entries: Iterable[ConditionEntry]) -> tuple[ConditionEntry, ...]:
    """The entries as their own lines say them; none where a line would not come back as one of its kind.

    A day file writes what the evening understood, so only what a line can say is understood.
    """
    settled: list[ConditionEntry] = []
    for entry in entries:
        again = _read_back(entry)
        if again is None or again.kind is not entry.kind or again != _read_back(again):
            return ()
        settled.append(again)
    return tuple(settled)


def _read_back(entry: ConditionEntry) -> ConditionEntry | None:
    """What an entry's own line says; None where it says none or several."""
    try:
        entries = read_entries(written_entry(entry))
    except NotUnderstoodError:
        return None
    return entries[0] if len(entries) == 1 and isinstance(entries[0], ConditionEntry) else None


def _conditions(said: str) -> Iterator[ConditionEntry]:
    found = opening(f"- {said}")
    if found is not None and found.word in _IN_WORDS and not _NAMED.match(said):
        yield from _of_kind(kind_said(said) or ConditionKind(found.word), said)
        return
    if found is not None and found.word in list(ConditionKind):
        kind = ConditionKind(found.word)
        if kind not in LEVELLED and is_elsewhen(kind, found.said):
            return
        try:
            yield from (entry for entry in read_entries(f"- {said}") if isinstance(entry, ConditionEntry))
        except NotUnderstoodError:
            pass  # "light on the lower path": the word is no entry here, and the line is read as free words
        else:
            return
    for kind, words in _clauses(said):
        yield from _of_kind(kind, words)


def _clauses(said: str) -> Iterator[tuple[ConditionKind, str]]:
    """Cut where another kind is spoken of; what says no kind belongs to what stands before it."""
    kinds: list[ConditionKind | None] = []
    clauses: list[str] = []
    between = ""
    for index, piece in enumerate(_CLAUSES.split(said)):
        if index % 2:
            between = piece
            continue
        if not clauses and says_nothing(piece):
            continue  # "none, rain from 3pm"
        kind = kind_said(piece)
        follows = bool(clauses) and (
            kind in (None, kinds[-1])
            or kinds[-1] is None
            or (kinds[-1] in _BARRIERS and _CAUSE.fullmatch(piece.strip()))
        )
        if follows:
            clauses[-1] += between + piece
            kinds[-1] = kinds[-1] or kind
        else:
            clauses.append(piece)
            kinds.append(kind)
    for kind, words in zip(kinds, clauses, strict=True):
        if kind is not None:
            yield kind, tidied(words)


def _of_kind(kind: ConditionKind, words: str) -> Sequence[ConditionEntry]:
    """The conditions of one kind that keep their words; a level only where they say one."""
    try:
        entries = read_conditions(kind, words)
    except InvalidValueError:
        return [] if is_elsewhen(kind, words) else [ConditionEntry(kind, note=words)]
    if len(entries) != 1:
        return entries
    entry = entries[0]
    if entry.level is None or entry.source or not entry.note or words.split()[0] == entry.note.split()[0]:
        return [entry]
    return [replace(entry, note=words)]  # the level opened the line: "flood on the lower stairs" stays whole


def _is_closed(text: str, found: re.Match[str]) -> bool:
    before = text[: found.start()]
    return not (is_denied(text, found) or _NO_WAY.search(before) or _OWN.match(text, found.end()))


def _placed(text: str, places: Mapping[str, str]) -> tuple[str | None, str]:
    """The place that a line names, and the line without the name where that stood in front of it."""
    if not places:
        return None, text
    lead = _LEAD.fullmatch(text)
    if lead and (place := _place(lead["name"], places)):
        rest = lead["rest"].strip()
        return place, rest if len(rest.split()) > 1 or says_nothing(rest) else text
    words = f"-{slug_of(text)}-"
    named = [slug for slug in places if f"-{slug}-" in words]
    return (places[max(named, key=len)] if named else None), text


def _place(name: str, places: Mapping[str, str]) -> str | None:
    slug = slug_of(name)
    if slug in places:
        return places[slug]
    fitting = {key for known, key in places.items() if known.startswith(f"{slug}-")}
    return fitting.pop() if len(fitting) == 1 else None
