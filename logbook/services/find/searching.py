"""Searching: all facts of a question with its words first, then what has only parts of it.

One surprising decision: when nothing answers the whole question, what is nearest is shown all the same, each
with what it has and what speaks against it; an answer never pretends to be more than it is.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from logbook.services.find.holding import AskedPart, Holdings, parts_of
from logbook.services.find.limits import Limits, facts_of
from logbook.services.find.nearest import NearestDocument, nearest
from logbook.services.find.reading import QuestionRead, Term, read
from logbook.services.find.synonyms import Synonyms, folded
from logbook.store.book import Book
from logbook.store.desk import Desk
from logbook.store.text_index import about
from logbook.store.text_index.asking import Days, FoundDocument, Index, Ranked
from logbook.store.text_index.clauses import (
    Phrase,
    WantedFact,
    Words,
    all_of,
    any_of,
    told,
    written,
)
from logbook.store.text_index.facts import NOUNS

ENOUGH = 10  # results; with fewer that have all words, what has most of them is looked for as well
FEW = 5  # results; with fewer that have all facts, the nearest are shown as well
MOST_NEAR = 4  # words that are offered where nothing was found
FEW_WORDS = 2  # the index finds them faster together than one after the other
MOST_COMBINED = 6  # words of which most are looked for before any
LOOKED_AT = 3  # times as many as shown are looked at before words as typed go before those that mean the same
MEANS_THE_SAME = 0.4  # of the score, for what has only words that mean the same; chosen on our questions


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts of a question that a record has, and those that it contradicts, as they were typed."""

    has: tuple[str, ...]
    against: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found, best first; the `nearest` have only parts, and stand below.

    `parts` says which, by the id of the record; `let_go` is what none of the nearest has.
    """

    reading: QuestionRead
    limits: Limits
    results: tuple[FoundDocument, ...]
    nearest: tuple[FoundDocument, ...] = ()
    parts: Mapping[str, Parts] = field(default_factory=dict)
    let_go: tuple[str, ...] = ()
    more: bool = False
    near_words: tuple[str, ...] = ()  # of the book, where nothing was found


def find(book: Book, question: str, limits: Limits, synonyms: Synonyms, *, limit: int) -> Answer:
    """Answer a question with at most `limit` results; raises NotFoundError for an unknown trip or site."""
    reading = read(question, synonyms)
    book.prove_index()
    with book.reading() as desk:
        if not desk.index.is_behind:
            return _answer(desk, reading, limits, limit)
    with book.deriving() as desk:  # another program wrote to the book: bring the index up to date first
        desk.index.refresh()
        return _answer(desk, reading, limits, limit)


def _answer(desk: Desk, reading: QuestionRead, limits: Limits, limit: int) -> Answer:
    index = desk.index
    reading = replace(reading, terms=tuple(_going_on(index, term) for term in reading.terms))
    holdings = Holdings(index, _within(limits.days, reading))
    parts = parts_of(index, reading.terms)
    asked = _Asked(
        holdings,
        limit + 1,
        words=[part for part in parts if not part.term.is_fact],
        told=told(term.clause for term in reading.facts if isinstance(term.clause, WantedFact)),
    )
    limiting = facts_of(desk, limits)
    if not (limiting or reading.terms) and holdings.days != Days():
        limiting = [WantedFact(about.NOUN, NOUNS)]  # whatever is of those days
    fixed = index.said(limiting)
    facts = [part.said for part in parts if part.term.is_fact]
    whole = asked.ranked([*fixed, *facts])
    partial: list[NearestDocument] = []
    if facts and len(whole) < min(FEW, limit):
        have = {one.row for one in whole}
        partial = nearest(holdings, fixed, parts, have, limit + 1)
    marking = written(term.clause for term in reading.terms)
    shown, below = whole[:limit], partial[: max(0, limit - len(whole))]
    documents = index.show([*shown, *(one.ranked for one in below)], marking)
    found, found_below = documents[: len(shown)], documents[len(shown) :]
    return Answer(
        reading,
        limits,
        tuple(found),
        tuple(found_below),
        {
            document.record_id: Parts(
                tuple(term.typed for term in one.has), tuple(term.typed for term in one.against)
            )
            for document, one in zip(found_below, below, strict=True)
        },
        tuple(t.says for t in reading.terms if below and not any(t in one.has for one in below)),
        len(whole) > limit or len(partial) > len(below),
        () if whole or partial else _near_words(index, reading),
    )


def _within(limits: Days, reading: QuestionRead) -> Days:
    """The days of a question within those of its limits."""
    if not reading.days:
        return limits
    first, last = min(reading.days).isoformat(), max(reading.days).isoformat()
    return Days(max(first, limits.since or first), min(last, limits.until or last))


def _near_words(index: Index, reading: QuestionRead) -> tuple[str, ...]:
    """Words of the book that are spelled nearly as those that were looked for."""
    typed = [word for term in reading.words for word in term.typed.split()]
    near = [word for one in typed for word in index.near_words(folded(one))]
    return tuple(dict.fromkeys(near))[:MOST_NEAR]


@dataclass(frozen=True, slots=True)
class _Asked:
    """The words of a question, and how many answers are wanted."""

    holdings: Holdings
    wanted: int
    words: Sequence[AskedPart] = ()
    told: str | None = None  # the facts as words; what somebody said goes before what was worked out

    def ranked(self, facts: Sequence[str]) -> list[Ranked]:
        """What has all of the facts, and all of the words; below, what has most of the words."""
        if not self.words:
            return self._newest(facts) if facts else []
        found: list[Ranked] = []
        if facts or len(self.words) > FEW_WORDS:
            self._add_most(found, facts)
        else:
            self._add_best(found, all_of, len(self.words))
            if len(self.words) > 1 and len(found) < self._enough:
                self._add_best(found, any_of, 1)
        return found[: self.wanted]

    @property
    def _enough(self) -> int:
        return min(ENOUGH, self.wanted)

    def _add_best(self, found: list[Ranked], combined: Callable[[Iterable[str]], str], count: int) -> None:
        """Put the best for words below what was found, as the index finds them."""
        index, days = self.holdings.index, self.holdings.days
        have = {one.row for one in found}
        best = index.best(combined(word.said for word in self.words), days, self._looked_at)
        ranked = [one for one in best if one.row not in have]
        own: Collection[int] = [one.row for one in ranked]
        if self._has_others:
            own = index.among(own, combined(word.typed for word in self.words))
        self._add(found, ranked, own, count)

    def _add_most(self, found: list[Ranked], facts: Sequence[str]) -> None:
        """Put what has only so many of the words below what was found, while that is not enough."""
        levels: list[tuple[int, list[int]]] = []
        have: set[int] = set()
        for count in self._counts():
            if len(have) >= self._enough or (have and 2 * count < len(self.words)):
                break
            level = [row for row in self.holdings.with_most(self.words, count, facts) if row not in have]
            levels.append((count, level))
            have.update(level)
        scores = self.holdings.index.scores(any_of(word.said for word in self.words), have)
        typed = [self.holdings.of(word.typed) for word in self.words]
        for count, level in levels:
            best = sorted(level, key=lambda row: (-scores[row], -row))[: self._looked_at]
            own = [row for row in best if sum(row in rows for rows in typed) >= count]
            self._add(found, [Ranked(row, scores[row]) for row in best], own, count)

    def _counts(self) -> Sequence[int]:
        """How many of the words at once are looked for, the most first."""
        most = len(self.words)
        return range(most, 0, -1) if most <= MOST_COMBINED else (most, 1)

    @property
    def _has_others(self) -> bool:
        return any(word.meant for word in self.words)

    @property
    def _looked_at(self) -> int:
        return LOOKED_AT * self.wanted if self._has_others else self.wanted

    def _add(self, found: list[Ranked], ranked: Sequence[Ranked], own: Collection[int], count: int) -> None:
        """Put what has so many of the words below what was found; `own` has them as typed and goes first."""
        lowest = found[-1].score if found else float("inf")
        share = count / len(self.words)
        scores = {one.row: one.score if one.row in own else one.score * MEANS_THE_SAME for one in ranked}
        best = sorted(ranked, key=lambda one: -scores[one.row])[: self.wanted]
        found += [Ranked(one.row, min(scores[one.row] * share, lowest)) for one in best]

    def _newest(self, facts: Sequence[str]) -> list[Ranked]:
        """What has all of the facts, the newest first; those before in which somebody said so."""
        index, days = self.holdings.index, self.holdings.days
        said = []
        if self.told:
            said = index.newest(all_of([*facts, self.told]), days, self.wanted)
        have = {one.row for one in said}
        rest = index.newest(all_of(facts), days, self.wanted)
        return [*said, *(one for one in rest if one.row not in have)][: self.wanted]


def _going_on(index: Index, term: Term) -> Term:
    """A word that nobody wrote down is read as the beginning of one."""
    clause = term.clause
    if not isinstance(clause, Words) or clause.phrase.beginning or clause.apart:
        return term
    if index.occurs(index.said([clause])[0]):
        return term
    longer = replace(clause, phrase=Phrase(clause.phrase.text, beginning=True))
    return replace(term, says=f"{clause.phrase.text} with any ending", clause=longer)
