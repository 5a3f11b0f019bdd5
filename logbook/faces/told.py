"""What a person told of a noun by options: its fields, read by their kinds, and what `--clear` takes.

One surprising decision: an option has the name of its field, so that only what a person reads (spelling and
help) stands beside a command. What can be cleared is not listed: it is what can be told and may be unknown.
"""

from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import Field, dataclass, fields, replace
from typing import Any, ClassVar, get_args, get_type_hints

from logbook.domain.errors import WrongUseError
from logbook.domain.fields import FieldFacts, facts_of
from logbook.domain.kinds import DATE, FILTER, FILTERS, TIME_OF_DAY, Names
from logbook.domain.names import Amended
from logbook.domain.record import Record
from logbook.faces import typed


@dataclass(frozen=True, slots=True)
class Together:
    """Marks options that tell fields only together, such as a position; `read` takes what was typed."""

    fields: tuple[str, ...]
    options: tuple[str, ...]
    read: Callable[..., Mapping[str, Any]]


PLACE = Together(("latitude_deg", "longitude_deg"), ("position", "lat", "lon"), typed.place)
_SAYING: Mapping[Any, Callable[[str], Any]] = {  # what was understood of these is said
    DATE: typed.a_date,
    TIME_OF_DAY: typed.a_time,
    FILTERS: typed.filters,
    FILTER: typed.one_filter,
}


@dataclass(frozen=True, slots=True)
class Told:
    """A group of options that tell the fields of a noun, each named after its field.

    One that tells a reference has the field's name without `_id`; it takes a name.
    """

    noun: ClassVar[type[Record]]

    def fields(self, *, but: Container[str] = ()) -> dict[str, Any]:
        """Return the fields that were told, but for some; InvalidValueError says what was typed wrongly."""
        found: dict[str, Any] = {}
        for option, together in _options(type(self)):
            if together is not None:
                if option.name == together.options[0]:
                    found |= together.read(*(getattr(self, name) for name in together.options))
            elif option.name not in but and (value := getattr(self, option.name)) not in (None, []):
                field = _field(self.noun, option.name)
                assert field is not None, f"{self.noun.__name__} has no field {option.name}"
                found[option.name] = _read(field, value)
        return found

    def changes(self, clear: Sequence[str] | None, **beside: Any) -> dict[str, Any]:
        """Return the fields that were told, here and beside it, and None for those to be cleared."""
        changes = typed.given(**beside)
        for name, value in self.fields().items():
            changes.setdefault(name, value)
        return self.cleared(changes, clear, beside)

    def cleared(
        self, changes: dict[str, Any], clear: Sequence[str] | None, beside: Iterable[str] = ()
    ) -> dict[str, Any]:
        """Return changes with every `--clear FIELD` as None; WrongUseError where there is no such field.

        Names can be emptied and are never unknown; what is added in the same line is then alone.
        """
        told = tellable(type(self), beside)
        allowed = {name: one for name, one in told.items() if one.may_be_unknown or _are_names(one)}
        for name in clear or ():
            field = name.strip().lower().replace("-", "_")
            if field not in allowed:
                raise WrongUseError(
                    f'"{name}" cannot be cleared; --clear takes {", ".join(sorted(allowed))}.'
                )
            emptied = replace(changes.get(field, Amended()), anew=True) if _are_names(told[field]) else None
            changes[field] = emptied
        return changes


def tellable(told: type[Told], beside: Iterable[str] = ()) -> dict[str, FieldFacts]:
    """Return the fields that can be told by a group, or beside it; by the name that is typed."""
    names = dict.fromkeys(beside)
    for option, together in _options(told):
        names |= dict.fromkeys((option.name,) if together is None else together.fields)
    return {name: field for name in names if (field := _field(told.noun, name)) is not None}


def _options(told: type[Told]) -> Iterator[tuple[Field[Any], Together | None]]:
    hints = get_type_hints(told, include_extras=True)
    for option in fields(told):
        marks = get_args(hints[option.name])
        yield option, next((one for one in marks if isinstance(one, Together)), None)


def _field(noun: type[Record], name: str) -> FieldFacts | None:
    """Return the facts of the field that an option names."""
    facts = facts_of(noun)
    return facts.get(name) or facts.get(f"{name}_id")


def _are_names(field: FieldFacts) -> bool:
    return isinstance(field.kind, Names)


def _read(field: FieldFacts, value: Any) -> Any:
    if _are_names(field):
        return typed.names(value)
    if isinstance(value, list):
        return tuple(value)
    if type(value) is not str or field.refers_to is not None:
        return value  # the option library has read it, or a service knows whom a name means
    return _SAYING.get(field.kind, field.kind.typed)(value)
