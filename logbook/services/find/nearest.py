"""What answers only parts of a question: ranked by what each record has, leaves open and contradicts.

One surprising decision: what is known to be otherwise costs less than a part is worth. A harbour at
dusk from a tripod is still nearer to "harbour dusk handheld" than a handheld picture of something else.
"""

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
    rows = _candidates(index, days, fixed, parts, [one for one in against if one], wanted + len(have))
    rows -= have
    has = [index.among(rows, part) for part in parts]
    typed = [
        index.among(found, as_typed(clause)) if isinstance(clause, Words) and clause.others else found
        for clause, found in zip(clauses, has, strict=True)
    ]
    speaks = [index.among(rows, one) if one else set() for one in against]
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


def _candidates(
    index: Index, days: Days, fixed: Sequence[str], parts: Sequence[str], against: Sequence[str], wanted: int
) -> set[int]:
    """Return the newest rows with most of the parts, those that nothing speaks against before the others."""
    rows: set[int] = set()
    clean: set[int] = set()
    for count in range(len(parts) - 1, 0, -1):
        if count > 1 and comb(len(parts), count) > MOST_COMBINATIONS:
            continue
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
