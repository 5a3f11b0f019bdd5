"""Searching: all facts of a question with its words first, then what has only parts of it.

One surprising decision: when nothing answers the whole question, what is nearest is shown all the same, each
with what it has and what speaks against it; an answer never pretends to be more than it is.
"""

from collections.abc import Collection, Mapping, Sequence
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
        count = len(self.words)
        found: list[Ranked] = []
        if not facts:  # the index finds what has all words faster than one word after the other
            found = self._with_all()
            count -= 1
        self._fill(found, facts, count)
        return found[: self.wanted]

    def _with_all(self) -> list[Ranked]:
        """The best of what has all of the words."""
        index, days = self.holdings.index, self.holdings.days
        every, typed = all_of(word.said for word in self.words), all_of(word.typed for word in self.words)
        if every == typed:
            return index.best(every, days, self.wanted)
        ranked = index.best(every, days, LOOKED_AT * self.wanted)
        return self._weighed(ranked, index.among([one.row for one in ranked], typed))

    def _fill(self, found: list[Ranked], facts: Sequence[str], most: int) -> None:
        """Put what has only so many of the words below what was found, where that was not enough."""
        levels: list[tuple[int, list[int]]] = []
        have = {one.row for one in found}
        for count in self._counts(most):
            if len(have) >= min(ENOUGH, self.wanted) or (have and 2 * count < len(self.words)):
                break
            level = [row for row in self.holdings.with_most(self.words, count, facts) if row not in have]
            levels.append((count, level))
            have.update(level)
        words = any_of(word.said for word in self.words)
        scores = self.holdings.index.scores(words, [row for _, level in levels for row in level])
        for count, level in levels:
            lowest = found[-1].score if found else float("inf")
            share = count / len(self.words)
            best = sorted(level, key=lambda row: (-scores[row], -row))[: LOOKED_AT * self.wanted]
            own = [
                row
                for row in best
                if sum(row in self.holdings.of(word.typed) for word in self.words) >= count
            ]
            found += [
                Ranked(one.row, min(one.score * share, lowest))
                for one in self._weighed([Ranked(row, scores[row]) for row in best], own)
            ]

    def _counts(self, most: int) -> Sequence[int]:
        """How many of the words at once are looked for, the most first."""
        return [
            n for n in range(most, 0, -1) if n in (1, len(self.words)) or len(self.words) <= MOST_COMBINED
        ]

    def _newest(self, facts: Sequence[str]) -> list[Ranked]:
        """What has all of the facts, the newest first; those before in which somebody said so."""
        index, days = self.holdings.index, self.holdings.days
        said = []
        if self.told:
            said = index.newest(all_of([*facts, self.told]), days, self.wanted)
        have = {one.row for one in said}
        rest = index.newest(all_of(facts), days, self.wanted)
        return [*said, *(one for one in rest if one.row not in have)][: self.wanted]

    def _weighed(self, ranked: Sequence[Ranked], own: Collection[int]) -> list[Ranked]:
        """The best first; those that have the words as typed go before those that mean the same."""
        weighed = [
            one if one.row in own else replace(one, score=one.score * MEANS_THE_SAME) for one in ranked
        ]
        return sorted(weighed, key=lambda one: -one.score)[: self.wanted]


def _going_on(index: Index, term: Term) -> Term:
    """A word that nobody wrote down is read as the beginning of one."""
    clause = term.clause
    if not isinstance(clause, Words) or clause.phrase.beginning or clause.apart:
        return term
    if index.occurs(index.said([clause])[0]):
        return term
    longer = replace(clause, phrase=Phrase(clause.phrase.text, beginning=True))
    return replace(term, says=f"{clause.phrase.text}…", clause=longer)
