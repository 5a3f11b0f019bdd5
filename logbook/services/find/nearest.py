"""What answers only parts of a question: ranked by what each record has, leaves open and contradicts.

One surprising decision: what is known to be otherwise costs less than a part is worth. A harbour at
dusk from a tripod is still nearer to "harbour dusk handheld" than a handheld picture of something else.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

from logbook.services.find.reading import Term
from logbook.store.text_index.asking import Days, Index, Ranked
from logbook.store.text_index.clauses import Words, all_of, any_of, as_typed, some_of

MOST_COMBINATIONS = 24  # of parts that are asked for at once; of more parts only all but one or two
# What a part counts; chosen on the questions of tests/truth/questions.toml.
A_WORD, A_FACT = 1.5, 1.0  # words mostly say of what the picture is
MEANS_THE_SAME = 0.8  # of a word, for another word for the same
AGAINST = 0.3  # of a part, what a record that knows better loses
WORTH_SHOWING = 0.5  # of the best score; what has less is hardly an answer
MOST_HELD = 4_000  # documents of an index whose rows are combined here; in a larger one the index is faster


@dataclass(frozen=True, slots=True)
class NearestDocument:
    """A document that has some parts of a question and speaks against others; the rest it leaves open."""

    ranked: Ranked
    has: tuple[Term, ...]
    against: tuple[Term, ...]


def nearest(
    index: Index, days: Days, fixed: Sequence[str], terms: Sequence[Term], have: set[int], wanted: int
) -> list[NearestDocument]:
    """Return what has parts of a question, best first, without the rows that one has already.

    `fixed` is what every answer has to have, in the index's language.
    """
    clauses = [term.clause for term in terms]
    parts, against = index.said(clauses), index.contradicted(clauses)
    asked = wanted + len(have)
    if index.has_at_most(MOST_HELD):
        queries = dict.fromkeys((*fixed, *parts, *(one for one in against if one)))
        held = _Held({query: index.rows(query, days) for query in queries})
        rows = held.candidates(fixed, parts, [one for one in against if one], asked) - have
        has = [held.rows[part] & rows for part in parts]
        speaks = [held.rows[one] & rows if one else set() for one in against]
    else:
        rows = _candidates(index, days, fixed, parts, [one for one in against if one], asked) - have
        has = [index.among(rows, part) for part in parts]
        speaks = [index.among(rows, one) if one else set() for one in against]
    typed = [
        index.among(found, as_typed(clause)) if isinstance(clause, Words) and clause.others else found
        for clause, found in zip(clauses, has, strict=True)
    ]
    weights = [A_FACT if term.is_fact else A_WORD for term in terms]
    weighed = []
    for row in rows:
        score = sum(
            weight
            * ((1.0 if row in own else MEANS_THE_SAME if row in found else 0.0) - AGAINST * (row in other))
            for weight, own, found, other in zip(weights, typed, has, speaks, strict=True)
        )
        weighed.append(
            NearestDocument(
                Ranked(row, score),
                tuple(term for term, found in zip(terms, has, strict=True) if row in found),
                tuple(term for term, found in zip(terms, speaks, strict=True) if row in found),
            )
        )
    weighed.sort(key=lambda one: (-one.ranked.score, len(one.against), -one.ranked.row))
    least = weighed[0].ranked.score * WORTH_SHOWING if weighed else 0.0
    return [one for one in weighed[:wanted] if one.ranked.score >= least]


@dataclass(frozen=True, slots=True)
class _Held:
    """All rows of each part of a question, by the part in the index's language."""

    rows: dict[str, set[int]]

    def candidates(
        self, fixed: Sequence[str], parts: Sequence[str], against: Sequence[str], wanted: int
    ) -> set[int]:
        """Return what `_candidates` does."""
        counts = Counter(row for part in parts for row in self.rows[part])
        for query in fixed:
            counts = Counter({row: count for row, count in counts.items() if row in self.rows[query]})
        spoken = set().union(*(self.rows[query] for query in against))
        newest = sorted(counts, reverse=True)
        rows: set[int] = set()
        clean: set[int] = set()
        for count in _counts(len(parts)):
            some = [row for row in newest if counts[row] >= count]
            clean.update([row for row in some if row not in spoken][:wanted])
            rows.update(some[:wanted])
            if len(clean) >= wanted:
                break
        return rows | clean


def _counts(parts: int) -> Sequence[int]:
    """Of how many parts at once answers are looked for, the most first."""
    return [n for n in range(parts - 1, 0, -1) if n == 1 or comb(parts, n) <= MOST_COMBINATIONS]


def _candidates(
    index: Index, days: Days, fixed: Sequence[str], parts: Sequence[str], against: Sequence[str], wanted: int
) -> set[int]:
    """Return the newest rows with most of the parts, those that nothing speaks against before the others."""
    rows: set[int] = set()
    clean: set[int] = set()
    for count in _counts(len(parts)):
        some = all_of([*fixed, some_of(parts, count)])
        if against:
            clean |= _rows(index, days, f"({some}) NOT ({any_of(against)})", wanted)
        found = _rows(index, days, some, wanted)
        rows |= found
        if not against:
            clean = rows
        if len(clean) >= wanted:
            break
    return rows | clean


def _rows(index: Index, days: Days, query: str, wanted: int) -> set[int]:
    return {one.row for one in index.rank(None, query, days, wanted)}
