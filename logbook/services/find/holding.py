"""Which documents have which parts of a question: each part is asked for once, and combined here.

One surprising decision: the index is not asked for combinations. It would look for each part again in every
one of them, and three of six words are twenty combinations.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field

from logbook.services.find.reading import Term
from logbook.store.text_index.asking import Days, Index
from logbook.store.text_index.clauses import Words, as_typed, meant_by


@dataclass(frozen=True, slots=True)
class AskedPart:
    """One part of a question in the index's language: all of it, as it was typed, and what means the same."""

    term: Term
    said: str
    typed: str
    meant: str | None = None


def parts_of(index: Index, terms: Sequence[Term]) -> list[AskedPart]:
    """Return the parts of a question as the index is asked for them."""
    said = index.said([term.clause for term in terms])
    return [
        AskedPart(term, one, as_typed(term.clause), meant_by(term.clause))
        if isinstance(term.clause, Words)
        else AskedPart(term, one, one)
        for term, one in zip(terms, said, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class Holdings:
    """The rows of the parts of one question, within its days."""

    index: Index
    days: Days
    _rows: dict[str, frozenset[int]] = field(default_factory=dict)

    def of(self, query: str) -> frozenset[int]:
        """Return all rows that answer a query in the index's language."""
        if query not in self._rows:
            self._rows[query] = self.index.rows(query, self.days)
        return self._rows[query]

    def having(self, part: AskedPart) -> frozenset[int]:
        """Return all rows that have a part, or what means the same."""
        if part.said not in self._rows:
            self._rows[part.said] = self.of(part.typed) | (self.of(part.meant) if part.meant else frozenset())
        return self._rows[part.said]

    def with_most(self, parts: Sequence[AskedPart], count: int, within: Iterable[str]) -> AbstractSet[int]:
        """Return the rows that have so many of the parts, and everything of `within`."""
        having = sorted((self.having(part) for part in parts), key=len)
        # Whatever has so many of the parts has one of the rarest.
        some = frozenset[int]().union(*having[: len(parts) - count + 1])
        for query in within:
            some &= self.of(query)
        if count == 1:
            return some
        counts: Counter[int] = Counter()
        for rows in having:
            counts.update(some & rows)
        return {row for row, number in counts.items() if number >= count}
