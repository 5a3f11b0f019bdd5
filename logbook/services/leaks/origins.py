"""Where in the book the words stand that a finished text gives something away with.

One surprising decision: the records are searched in the same way as the text was, and no builder is asked
which of them it used; so whatever put the words there, the record to mend is named.
"""

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
from logbook.services.leaks.search import FoundSecret, find_in_reading
from logbook.services.leaks.secrets import Secrets
from logbook.services.leaks.words import read

# They say what is secret, or nothing that a person wrote; elsewhere the same words are worth naming.
_NO_TEXT = frozenset(
    ("id", "hash", "path", "file", "also", "private_names", "also_called", "may_say", "doubts")
)
_NAMES = frozenset(("title", "slug"))  # of a withheld place: the secret itself


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
