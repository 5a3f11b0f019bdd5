"""What a field of a noun says of itself, beside its name and type, and one reading of it.

A field carries its facts as `Annotated[type, marker, ...]`: its kind where the type alone does not say it,
who may see it, whether it is searched, what it refers to. Where it says nothing, the careful answer holds: it
stays at home, and nobody finds it. Its unit stands in its name.

One surprising decision: markers are read by whoever needs them and do nothing themselves, so that a noun
stays a plain dataclass.
"""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from enum import Enum
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, get_args, get_origin

from logbook.domain.kinds import ID, Kind, kind_of, without_none
from logbook.domain.words import Audience


@dataclass(frozen=True, slots=True)
class Seen:
    """Who beside the photographer may see a field; `is_struck`: its text only without what is withheld."""

    by: frozenset[Audience] = frozenset()
    is_struck: bool = False


class Mark(Enum):
    """What else may be so of a field."""

    UNIQUE = "no two records share it"
    LOOKED_UP = "records are looked up by it"  # an index; references have one anyway
    GAINED = "books of an earlier version gain it"  # its column then needs a default


@dataclass(frozen=True, slots=True)
class Searched:
    """`find` looks into the field, which reads there as `words` say; the word `but` says nothing."""

    words: str = "{}"
    but: str | None = None


@dataclass(frozen=True, slots=True)
class Refers:
    """The field holds the id of a record of this noun."""

    noun: str


_OTHERS = frozenset((Audience.CLIENT, Audience.STUDENTS))

AT_HOME = Seen()  # so is a field that says nothing
SHOWN = Seen(_OTHERS)
STRUCK = Seen(_OTHERS, is_struck=True)
SHOWN_TO_STUDENTS = Seen(frozenset((Audience.STUDENTS,)))
STRUCK_FOR_STUDENTS = Seen(frozenset((Audience.STUDENTS,)), is_struck=True)
STRUCK_FOR_CLIENT = Seen(frozenset((Audience.CLIENT,)), is_struck=True)
SEARCHED = Searched()
UNIQUE = Mark.UNIQUE
LOOKED_UP = Mark.LOOKED_UP
GAINED = Mark.GAINED


@dataclass(frozen=True, slots=True)
class FieldFacts:
    """What is known of one field of a noun."""

    name: str
    kind: Kind[Any]
    type: Any  # without None and without markers
    may_be_unknown: bool
    is_needed: bool  # a record cannot be made without it
    seen: Seen
    searched: Searched | None
    refers_to: str | None  # a noun's word
    marks: frozenset[Mark]


def facts_of(noun: type) -> Mapping[str, FieldFacts]:
    """Return the facts of each field of a noun (a dataclass), by name, in the order of its fields."""
    return _facts_of(noun)


@cache
def _facts_of(noun: Any) -> Mapping[str, FieldFacts]:
    return MappingProxyType(
        {
            field.name: _facts(
                field.name,
                field.type,
                is_needed=field.default is MISSING and field.default_factory is MISSING,
            )
            for field in fields(noun)
        }
    )


def _facts(name: str, hint: Any, *, is_needed: bool) -> FieldFacts:
    marks: tuple[Any, ...] = ()
    if get_origin(hint) is Annotated:
        hint, *found = get_args(hint)
        marks = tuple(found)
    plain_type, may_be_unknown = without_none(hint)
    refers = next((one for one in marks if isinstance(one, Refers)), None)
    kind = next((one for one in marks if isinstance(one, Kind)), ID if refers else None)
    return FieldFacts(
        name=name,
        kind=kind or kind_of(plain_type),
        type=plain_type,
        may_be_unknown=may_be_unknown,
        is_needed=is_needed,
        seen=next((one for one in marks if isinstance(one, Seen)), AT_HOME),
        searched=next((one for one in marks if isinstance(one, Searched)), None),
        refers_to=refers.noun if refers else None,
        marks=frozenset(one for one in marks if isinstance(one, Mark)),
    )
