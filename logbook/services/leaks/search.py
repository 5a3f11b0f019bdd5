"""Searching one text for all that others must not be told, and where in the book a finding comes from.

Surprising decisions: a finding keeps the words beside it, by which it is found again in the record it came
from, so that a refusal can say what to mend. The records are searched in the same way as the text was, and
no builder is asked which of them it used; so whatever put the words there, the record to mend is named.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from logbook.domain.account import TripAccount
from logbook.domain.day import Day, LooseLine
from logbook.domain.fields import facts_of
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.record import Record
from logbook.domain.said import field_words
from logbook.domain.shot import Outcome
from logbook.domain.site import Site
from logbook.domain.trip import Trip
from logbook.domain.viewpoint import Viewpoint
from logbook.domain.words import Disclosure
from logbook.services.leaks.readings import FileReading
from logbook.services.leaks.secrets import HASH_BEGINS, Secrets
from logbook.services.leaks.words import read

POSITION = "the coordinates of a place whose position is kept private"
BEARING = "the direction of a withheld place"
HASH = "the hash of an original"
_HEX = re.compile(rf"(?<![0-9a-z])[0-9a-f]{{{HASH_BEGINS},}}", re.IGNORECASE)
# They say what is secret, or nothing that a person wrote; elsewhere the same words are worth naming.
_NO_TEXT = frozenset(
    ("id", "hash", "path", "file", "also", "private_names", "also_called", "may_say", "doubts")
)
_NAMES = frozenset(("title", "slug"))  # of a withheld place: the secret itself


@dataclass(frozen=True, slots=True)
class FoundSecret:
    """One thing that must not be told: what it is, which one, as it is written, and the words beside it."""

    what: str
    key: str  # equal for all spellings of one secret
    written: str
    before: str = ""
    after: str = ""

    @property
    def hint(self) -> str:
        """How it begins and how long it is, which tells its writer enough and a bystander little."""
        shown = self.written.strip()
        return f"“{shown[:2]}…”, {len(shown)} characters"


def find_in_reading(reading: FileReading, secrets: Secrets) -> Iterator[FoundSecret]:
    """Yield all that a text gives away."""
    yield from _named(reading.words, secrets)
    yield from _literal(reading.words, secrets)
    for place in secrets.positions.in_text(read(reading.figures).plain):
        yield FoundSecret(POSITION, "".join(filter(str.isalnum, place)), place)
    for bearing in secrets.bearings.in_reading(reading):
        yield FoundSecret(BEARING, "".join(filter(str.isdigit, bearing)), bearing)


def _named(words: str, secrets: Secrets) -> Iterator[FoundSecret]:
    text = read(words)
    for found in secrets.names.in_text(text):
        written = text.plain[text.words[found.first].start : text.words[found.end - 1].end]
        before = text.words[found.first - 1].plain if found.first else ""
        after = text.words[found.end].plain if found.end < len(text.words) else ""
        yield FoundSecret(found.name.what, found.name.text, written, before, after)


def _literal(words: str, secrets: Secrets) -> Iterator[FoundSecret]:
    folded = read(words).plain.casefold()
    for secret, what in secrets.texts.items():
        if secret in folded and re.search(rf"(?<![^\W_]){re.escape(secret)}(?![^\W_])", folded):
            yield FoundSecret(what, secret, secret)
    for run in _HEX.findall(folded):
        if run[:HASH_BEGINS] in secrets.hashes:
            yield FoundSecret(HASH, run[:HASH_BEGINS], run)


@dataclass(frozen=True, slots=True)
class Origin:
    """A field of a record: its noun, the name that the record goes by, the field."""

    noun: str
    record: str
    field: str

    def __str__(self) -> str:
        return f"{self.noun} {self.record}, {field_words(self.field)}"


class TextOrigins:
    """The free texts of an account, searched once, when something has been found."""

    def __init__(self, account: TripAccount, secrets: Secrets) -> None:
        self._found = [
            (origin, finding)
            for origin, text in _texts(account)
            for finding in find_in_reading(FileReading(text, text), secrets)
        ]

    def of(self, finding: FoundSecret) -> tuple[Origin, ...]:
        """Return the fields that hold a finding: those with the same words beside it, else all but slugs."""
        same = [
            (origin, one)
            for origin, one in self._found
            if one.what == finding.what and (one.key in finding.key or finding.key in one.key)
        ]
        alike = [origin for origin, one in same if _beside(one, finding)]
        return tuple(dict.fromkeys(alike or [origin for origin, _ in same if origin.field != "slug"]))


def _beside(one: FoundSecret, finding: FoundSecret) -> bool:
    """Tell whether a field's words are those of a text; beyond the ends of a field anything may be."""
    return one.before in ("", finding.before) and one.after in ("", finding.after) and _same(one, finding)


def _same(one: FoundSecret, finding: FoundSecret) -> bool:
    return [word.plain for word in read(one.written).words] == [
        word.plain for word in read(finding.written).words
    ]


def _texts(account: TripAccount) -> Iterator[tuple[Origin, str]]:
    """Yield each free text of an account with where it stands."""
    shots = {one.id: one.slug for one in account.shots}
    for record in _records(account):
        secret = isinstance(record, Site | Viewpoint) and account.shown(record) is Disclosure.WITHHELD
        for name in _text_fields(type(record)):
            if secret and name in _NAMES:
                continue
            value = getattr(record, name)
            texts = value if isinstance(value, tuple) else (value,)
            for text in texts:
                if type(text) is str and text:  # a word of a vocabulary tells nothing
                    yield Origin(*_called(record, account, shots), name), text


def _records(account: TripAccount) -> Iterator[Record]:
    yield account.trip
    groups: Sequence[Sequence[Record]] = (
        tuple(account.sites.values()),
        tuple(account.viewpoints.values()),
        account.shots,
        tuple(account.outcomes.values()),
        account.visits,
        account.conditions,
        account.lessons,
        account.days,
        account.keepers,
        tuple(account.kit.values()),
        account.packed,
        account.loose_lines,
    )
    for group in groups:
        yield from group


def _text_fields(noun: type[Record]) -> tuple[str, ...]:
    return tuple(
        name
        for name, field in facts_of(noun).items()
        if field.type in (str, tuple[str, ...])
        and name not in _NO_TEXT
        and not name.endswith(("_id", "_ids"))
    )


def _called(record: Record, account: TripAccount, shots: dict[str, str]) -> tuple[str, str]:
    """Return the noun of a record and the name that people know it by."""
    match record:
        case Outcome():
            return "outcome of shot", shots.get(record.shot_id, record.shot_id)
        case Day():
            return "day", str(record.on_date)
        case LooseLine():
            return "line to sort out", f"{record.file} {record.line}"
        case PackedItem():
            item = account.kit.get(record.item_id)
            return "kit", item.slug if item else record.item_id
        case KitItem():
            return "kit", record.slug
        case Trip() | _:
            return type(record).__name__.lower(), str(getattr(record, "slug", record.id))
