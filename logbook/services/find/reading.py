"""How a question is read: which of its words are facts, which are words, and what is left out.

One surprising decision: there is nothing to get wrong. No character is an operator; quotes hold words
together, a star lets a word go on, and whatever is left over is looked for or left out, never refused. How it
was read is shown with every answer, so that one sees when "soft" or "24" was taken for something else.
"""

import re
import unicodedata
from dataclasses import dataclass
from datetime import date

from logbook.services.find.numbers import LONGEST, setting_of, spelled
from logbook.services.find.synonyms import Synonyms, folded
from logbook.services.find.vocabulary import Meant, day_named, vocabulary
from logbook.store.text_index import about
from logbook.store.text_index.clauses import Clause, Phrase, WantedFact, Words

MOST_PIECES = 24  # of one question; what goes beyond is said to be left out
LONGEST_PIECE = 80  # characters; no word of a book is longer
_QUOTES = str.maketrans(dict.fromkeys("“”„«»‟″", '"') | dict.fromkeys("’‘ʼ`´′", "'"))
_SECONDS = re.compile(r'(?<![\w.])(\d+(?:[.,]\d+)?)"(?=\s|$)')
_PIECE = re.compile(r'"([^"]*)"(\*?)|"?([^\s"]+)')
_EDGES = (
    "".join(chr(code) for code in range(33, 127) if not chr(code).isalnum() and chr(code) not in "*/")
    + "…·–—¿¡"
)
_SMALL = (
    "a about an and any are as at be by did do for from had has have how i in into is it its me my near not "
    "of on or our so some that the their then there they this to us was we were what when where which who "
    "why will with you"
)
SMALL_WORDS = frozenset(_SMALL.split())
DENIALS = frozenset(("not", "no", "without", "never"))
ARTICLES = frozenset(("a", "an", "any", "the"))


@dataclass(frozen=True, slots=True)
class Piece:
    """One word, or several held together by quotes; `goes_on`: a star was typed behind it."""

    text: str
    quoted: bool = False
    goes_on: bool = False


def pieces_of(question: str) -> tuple[Piece, ...]:
    """Take a question apart; whatever a person types gives pieces, each with a letter or digit in it."""
    text = "".join(
        letter if letter.isprintable() else " " for letter in unicodedata.normalize("NFC", question)
    )
    text = text.translate(_QUOTES)
    if text.count('"') % 2:
        text = _SECONDS.sub(r"\1s", text)  # 30" is a time, unless it closes a quotation
    found = []
    for phrase, star, word in _PIECE.findall(text):
        plain = " ".join(phrase.split()) if phrase else word.strip(_EDGES).strip("/")
        goes_on = bool(star) or plain.endswith("*")
        plain = plain.replace("*", " ").strip()[:LONGEST_PIECE]
        if any(letter.isalnum() for letter in plain):
            found.append(Piece(plain, quoted=bool(phrase), goes_on=goes_on))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Term:
    """One part of a question: as typed, how it was read, and what it asks of the index."""

    typed: str
    says: str
    clause: Clause

    @property
    def is_fact(self) -> bool:
        """Whether it was read as a fact."""
        return isinstance(self.clause, WantedFact)


@dataclass(frozen=True, slots=True)
class QuestionRead:
    """A question as it was read."""

    terms: tuple[Term, ...]
    left_out: tuple[str, ...] = ()
    days: tuple[date, ...] = ()  # a day, or the days between the first and the last of several

    @property
    def says_days(self) -> str | None:
        """How the days were read."""
        if not self.days:
            return None
        first, last = min(self.days), max(self.days)
        return f"day {first}" if first == last else f"days {first} to {last}"

    @property
    def facts(self) -> tuple[Term, ...]:
        """The parts that were read as facts."""
        return tuple(term for term in self.terms if term.is_fact)

    @property
    def words(self) -> tuple[Term, ...]:
        """The parts that are looked for as words."""
        return tuple(term for term in self.terms if not term.is_fact)


def read(question: str, synonyms: Synonyms) -> QuestionRead:
    """Read a question; small words count only where there is nothing else."""
    pieces = pieces_of(question)
    beyond = pieces[MOST_PIECES:]
    pieces = pieces[:MOST_PIECES]
    terms: list[Term] = []
    small: list[Piece] = []
    days: list[date] = []
    at = 0
    while at < len(pieces):
        day = None if pieces[at].quoted else day_named(pieces[at].text)
        if day is not None:
            days.append(day)
            at += 1
            continue
        taken, term = _term(pieces[at:], synonyms)
        if term is not None:
            if term.clause not in [one.clause for one in terms]:
                terms.append(term)
        else:
            small.append(pieces[at])
        at += taken
    if not terms and not days:
        terms = [_word((piece,), synonyms) for piece in small]
        small = []
    return QuestionRead(tuple(terms), tuple(piece.text for piece in (*small, *beyond)), tuple(days))


def _term(rest: tuple[Piece, ...], synonyms: Synonyms) -> tuple[int, Term | None]:
    """Read the beginning of what is left: the longest fact or phrase with synonyms, else one word."""
    known = vocabulary()
    free = next((count for count, piece in enumerate(rest) if piece.quoted or piece.goes_on), len(rest))
    for count in range(min(free, max(LONGEST, synonyms.longest)), 0, -1):
        text = " ".join(piece.text for piece in rest[:count])
        meant = (setting_of(text) if count <= LONGEST else None) or known.get(folded(text))
        if meant is not None:
            return count, _fact(text, meant, synonyms)
        if count > 1 and synonyms.knows(text):
            return count, _word(rest[:count], synonyms)
    if (denied := _denied(rest[:free], synonyms)) is not None:
        return denied
    if not rest[0].quoted and not rest[0].goes_on and rest[0].text.casefold() in SMALL_WORDS:
        return 1, None
    return 1, _word(rest[:1], synonyms)


def _denied(rest: tuple[Piece, ...], synonyms: Synonyms) -> tuple[int, Term] | None:
    """Read "not" before a fact: what is known to be otherwise; None where it stands before anything else."""
    if not rest or rest[0].text.casefold() not in DENIALS:
        return None
    begin = 2 if len(rest) > 1 and rest[1].text.casefold() in ARTICLES else 1
    for count in range(min(len(rest) - begin, LONGEST), 0, -1):
        text = " ".join(piece.text for piece in rest[begin : begin + count])
        meant = setting_of(text) or vocabulary().get(folded(text))
        if meant is not None and meant.kind is not about.NOUN:
            typed = " ".join(piece.text for piece in rest[: begin + count])
            return begin + count, _fact(typed, meant.denied(), synonyms)
    return None


def _fact(text: str, meant: Meant, synonyms: Synonyms) -> Term:
    spellings = (text,) if meant.is_other else spelled(meant, text)
    mentions = dict.fromkeys((*spellings, *synonyms.of(text)))
    return Term(text, meant.says, _clause(meant, tuple(Phrase(mention) for mention in mentions)))


def _clause(meant: Meant, mentions: tuple[Phrase, ...] = ()) -> WantedFact:
    return WantedFact(
        meant.kind,
        words=meant.words,
        low=meant.low,
        high=meant.high,
        mentions=mentions,
        is_other=meant.is_other,
        alternatives=tuple(_clause(one) for one in meant.alternatives),
    )


def _word(pieces: tuple[Piece, ...], synonyms: Synonyms) -> Term:
    text = " ".join(piece.text for piece in pieces)
    exact = any(piece.quoted for piece in pieces)
    others = () if exact else synonyms.of(text)
    first = Phrase(text, beginning=pieces[-1].goes_on)
    apart = tuple(Phrase(word) for word in text.split() if word not in SMALL_WORDS) if len(pieces) > 1 else ()
    says = f'"{text}"' if exact else f"{text} with any ending" if first.beginning else text
    if others:
        says += f" (or {', '.join(others)})"
    return Term(text, says, Words(first, apart, tuple(Phrase(other) for other in others)))
