"""What one transaction has read of a shelf, kept true while it writes, so that nothing is read twice.

One surprising decision: what is written past the shelf (a removal by table and id, a merge) makes it forget
everything; it is read again when somebody asks.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from logbook.domain.names import Slugs
from logbook.domain.record import Record

Noun = TypeVar("Noun", bound=Record)
Wanted = frozenset[tuple[str, Any]]


@dataclass(slots=True)
class Held(Generic[Noun]):
    """Records by id, for each set of fields that was asked for, and the slugs in use."""

    records: dict[Wanted, dict[str, Noun]] = field(default_factory=dict)
    slugs: Slugs | None = None

    def of(self, equals: Mapping[str, Any], read: Callable[[], Iterable[Noun]]) -> Iterable[Noun]:
        """Return the records whose fields equal the given ones, read where they are not held."""
        wanted = frozenset(equals.items())
        if wanted not in self.records:
            self.records[wanted] = {one.id: one for one in read()}
        return self.records[wanted].values()

    def one(self, record_id: str) -> Noun | None:
        """Return a record that is held, by its id."""
        return next((held[record_id] for held in self.records.values() if record_id in held), None)

    def note(self, value: Noun, *, is_new: bool) -> None:
        """Take a record as it is written now."""
        for wanted, held in self.records.items():
            if all(getattr(value, name) == other for name, other in wanted):
                held[value.id] = value
            else:
                held.pop(value.id, None)
        if self.slugs is not None and hasattr(value, "slug"):
            if is_new:
                self.slugs.take(value.slug)
            elif value.slug not in self.slugs:
                self.slugs = None  # it was renamed, nobody knows from what

    def forget(self) -> None:
        """Hold nothing."""
        self.records.clear()
        self.slugs = None
