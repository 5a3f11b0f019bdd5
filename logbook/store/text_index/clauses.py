"""What can be asked of the index, as frozen values, and how each is said in the index's own language.

One surprising decision: a fact *decides* for records that know it and falls back on the words for those that
do not: "tripod" finds keepers made from one, and lessons that speak of one, but no keeper held in the hand.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from logbook.store.text_index.about import FactKind
from logbook.store.text_index.facts import KNOWN, number_of, word_token

TEXT_COLUMNS = "{title body context}"
OWN_COLUMNS = "{title body}"


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words as typed, in their order; `beginning`: the last of them may go on."""

    text: str
    beginning: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """One thing to look for in what was written: a phrase, or its words `apart`, or what means the same.

    What means the same counts in a record's own words only, not in the names of its place and trip.
    """

    phrase: Phrase
    apart: tuple[Phrase, ...] = ()
    others: tuple[Phrase, ...] = ()


@dataclass(frozen=True, slots=True)
class WantedFact:
    """One thing to look for in what is known.

    Either any of `words`, or any number from `low` to `high`; `is_other`: what is known and none of these.
    `mentions` are phrases that count for records which know nothing of this kind, or for all records where
    that kind of fact does not decide; `alternatives` are facts of other kinds that answer as well.
    """

    kind: FactKind
    words: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    mentions: tuple[Phrase, ...] = ()
    is_other: bool = False
    alternatives: tuple["WantedFact", ...] = ()


Clause = Words | WantedFact


def said(clause: Clause, numbers: Iterable[str]) -> str:
    """A clause in the index's language; `numbers` are the words for numbers that occur in the index."""
    if isinstance(clause, Words):
        phrase = [_mentions([clause.phrase])] if clause.apart else []  # counts more than its words apart
        meant = meant_by(clause)
        return any_of([*phrase, as_typed(clause), *([meant] if meant else [])])
    wanted = [word_token(clause.kind, word) for word in clause.words]
    if clause.low is not None and clause.high is not None:
        wanted += [
            token
            for token in numbers
            if token.startswith(clause.kind.value) and _within(token, clause.low, clause.high)
        ]
    parts = []
    these = "facts:(" + " OR ".join(f'"{token}"' for token in wanted) + ")" if wanted else ""
    if clause.is_other:
        parts.append(f"({known(clause.kind)} NOT {these})" if these else known(clause.kind))
    elif these:
        parts.append(these)
    parts += [said(one, numbers) for one in clause.alternatives]
    if clause.mentions:
        mentioned = _mentions(_shortest(clause.mentions), OWN_COLUMNS)
        decided = f'facts:"{clause.kind.value}{KNOWN}"'
        parts.append(f"({mentioned} NOT {decided})" if clause.kind.decides else mentioned)
    return "(" + " OR ".join(parts) + ")" if parts else 'facts:"qnothing"'


def known(kind: FactKind) -> str:
    """That a record says something of a kind of fact, and not that nobody knows, in the index's language."""
    anything = f'facts:"{kind.value}{KNOWN}"' if kind.decides else f'facts:"{kind.value}" *'
    untold = [f'facts:"{word_token(kind, word)}"' for word in kind.untold]
    return f"({anything} NOT {any_of(untold)})" if untold else anything


def as_typed(words: Words) -> str:
    """The words themselves, without what means the same, in the index's language."""
    return all_of(_mentions([one]) for one in words.apart) if words.apart else _mentions([words.phrase])


def meant_by(words: Words) -> str | None:
    """What means the same as the words, in the index's language."""
    return _mentions(words.others) if words.others else None


def told(facts: Iterable[WantedFact]) -> str | None:
    """That somebody said those facts in words which are else worked out, in the index's language."""
    loose = [_mentions(one.mentions, OWN_COLUMNS) for one in facts if one.mentions and one.kind.is_told]
    return all_of(loose) if loose else None


def written(clauses: Iterable[Clause]) -> str | None:
    """What may be marked in the text of an answer to clauses, in the index's language."""
    phrases = [
        phrase
        for clause in clauses
        for phrase in (
            (clause.phrase, *clause.apart, *clause.others) if isinstance(clause, Words) else clause.mentions
        )
    ]
    return _mentions(dict.fromkeys(phrases)) if phrases else None


def all_of(clauses: Iterable[str]) -> str:
    """All of several clauses."""
    return " AND ".join(f"({clause})" for clause in clauses)


def any_of(clauses: Iterable[str]) -> str:
    """Any of several clauses."""
    return " OR ".join(f"({clause})" for clause in clauses)


def _mentions(phrases: Iterable[Phrase], columns: str = TEXT_COLUMNS) -> str:
    return f"{columns}:(" + " OR ".join(_quoted(phrase) for phrase in phrases) + ")"


def _shortest(phrases: Sequence[Phrase]) -> list[Phrase]:
    """Phrases without those that begin with another one and so find nothing more."""
    return [
        phrase for phrase in phrases if not any(phrase.text.startswith(f"{other.text} ") for other in phrases)
    ]


def _quoted(phrase: Phrase) -> str:
    text = phrase.text.replace('"', '""').replace("\x00", " ").encode("utf-8", "replace").decode("utf-8")
    return f'"{text}"' + (" *" if phrase.beginning else "")


def _within(token: str, low: float, high: float) -> bool:
    try:
        return low <= number_of(token) <= high
    except (ValueError, ZeroDivisionError):
        return False  # "known", which is no number
