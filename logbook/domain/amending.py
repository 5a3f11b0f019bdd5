"""How a list of names is changed: what is added to it, what is dropped from it, or all of it let go.

One surprising decision: naming something adds to what is there. A list that the last command replaced would
lose a private person or an other name without a word.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from logbook.domain.errors import NotFoundError
from logbook.domain.names import name_key


@dataclass(frozen=True, slots=True)
class Amended:
    """A change of a list; `anew` drops what was there."""

    add: tuple[str, ...] = ()
    drop: tuple[str, ...] = ()
    anew: bool = False

    def of(self, names: Sequence[str]) -> tuple[str, ...]:
        """Return the list after the change, each name once; NotFoundError where one to drop is not there."""
        kept = {name_key(name): name for name in ([] if self.anew else names)}
        for name in self.drop:
            if kept.pop(name_key(name), None) is None:
                there = f"it has {', '.join(kept.values())}" if kept else "it has none"
                raise NotFoundError(f'"{name}" is not one of its names; {there}.')
        for name in self.add:
            kept.setdefault(name_key(name), " ".join(name.split()))
        return tuple(kept.values())
