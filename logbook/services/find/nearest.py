"""What answers only parts of a question: ranked by what each record has, leaves open and contradicts.

One surprising decision: what is known to be otherwise costs less than a part is worth. A harbour at
dusk from a tripod is still nearer to "harbour dusk handheld" than a handheld picture of something else.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import comb

from logbook.services.find.holding import AskedPart, Holdings
from logbook.services.find.reading import Term
from logbook.store.text_index.asking import Ranked
from logbook.store.text_index.clauses import WantedFact, known

MOST_COMBINATIONS = 24  # of parts that are asked for at once; of more parts only all but one or two
# What a part counts; chosen on the questions of tests/truth/questions.toml.
A_WORD, A_FACT = 1.5, 1.0  # words mostly say of what the picture is
MEANS_THE_SAME = 0.8  # of a word, for another word for the same
AGAINST = 0.3  # of a part, what a record that knows better loses
LOOKED_AT = 10  # times as many as wanted are looked at for contradictions, then so many times more
WORTH_SHOWING = 0.5  # of the best score; what has less is hardly an answer


@dataclass(frozen=True, slots=True)
class NearestDocument:
    """A document that has some parts of a question and speaks against others; the rest it leaves open."""

    ranked: Ranked
    has: tuple[Term, ...]
    against: tuple[Term, ...]


def nearest(
    holdings: Holdings, fixed: Sequence[str], parts: Sequence[AskedPart], have: set[int], wanted: int
) -> list[NearestDocument]:
    """Return what has parts of a question, best first, without the rows that one has already.

    `fixed` is what every answer has to have, in the index's language.
    """
    contradictions = _Contradictions(holdings, parts, [set() for _ in parts])
    rows = _candidates(contradictions, fixed, wanted + len(have)) - have
    terms = [part.term for part in parts]
    has = [holdings.having(part) for part in parts]
    typed = [holdings.of(part.typed) for part in parts]
    speaks = contradictions.found
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
class _Contradictions:
    """Which rows speak against which part of a question, as far as they were looked at.

    What speaks against a fact says another one of its kind. Silence is no contradiction, and neither is a
    word for "nobody knows".
    """

    holdings: Holdings
    parts: Sequence[AskedPart]
    found: Sequence[set[int]]  # of each part
    seen: set[int] = field(default_factory=set)

    def look_at(self, rows: Iterable[int]) -> None:
        """Find out which parts some rows speak against."""
        new = set(rows) - self.seen
        self.seen.update(new)
        for part, found in zip(self.parts, self.found, strict=True):
            clause = part.term.clause
            if isinstance(clause, WantedFact) and clause.kind.tells:
                lacking = new - self.holdings.having(part)
                found |= self.holdings.index.among(lacking, known(clause.kind))

    def without(self, rows: Sequence[int], wanted: int) -> list[int]:
        """Return the first of some rows that speak against nothing."""
        clean: list[int] = []
        begin, size = 0, LOOKED_AT * wanted
        while begin < len(rows) and len(clean) < wanted:
            some = rows[begin : begin + size]
            self.look_at(some)
            spoken = set[int]().union(*self.found)
            clean += [row for row in some if row not in spoken]
            begin, size = begin + size, size * LOOKED_AT
        return clean[:wanted]


def _candidates(contradictions: _Contradictions, fixed: Sequence[str], wanted: int) -> set[int]:
    """Return the newest rows with most of the parts, those that speak against none before the others."""
    holdings, parts = contradictions.holdings, contradictions.parts
    rows: set[int] = set()
    clean: set[int] = set()
    for count in _counts(len(parts)):
        some = sorted(holdings.with_most(parts, count, fixed), reverse=True)
        rows.update(some[:wanted])
        clean.update(contradictions.without(some, wanted))
        if len(clean) >= wanted:
            break
    return rows | clean


def _counts(parts: int) -> Sequence[int]:
    """Of how many parts at once answers are looked for, the most first."""
    return [n for n in range(parts - 1, 0, -1) if n == 1 or comb(parts, n) <= MOST_COMBINATIONS]
