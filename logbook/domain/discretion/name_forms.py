"""The forms that a name takes in a text: with endings, with a slip of the pen, cut short, as initials.

Cut short is with a point ("Kersw."), by one letter ("K. Crag"), and people by initials ("J. D.", "jdoe").

Surprising decisions: a telling word may take any ending of up to three letters but those of English verbs,
because a journal bends a name as its writer's language does. A common word takes only endings of a list. A
cut word needs a capital and three letters, because fewer end too many sentences. Two capitals without points
are no initials where the trade uses them for something else ("ND", "PM"); with points they always are.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from logbook.domain.discretion.common_words import JOINING, common_words
from logbook.domain.discretion.folding import FoldedWord, folded, spellings

SHORTEST_STEM = 4  # letters; a shorter name takes only the plural and possessive s
OPEN = "~"  # stands for a last vowel, which Slavic and Romance endings replace
_VOWELS = "aeiouy"
# English, German, Scandinavian, Romance, Slavic, Finnish and Hungarian, folded.
_ENDINGS = """
    s es ish ian ians ean er ers ite ites like side ward e n en ern em ens ischer isch sche sch et ene
    na ne a i o u y os as om ou ov ova ovi ove ovu ovy ami ach ech ich ych ym im ej oj mi mu ie iem owi
    ow owie cie ska ski sko sky skie skim nie in ssa sta lla lta lle lte iin ban ben bol ra re nak nek
"""
ENDINGS = frozenset(_ENDINGS.split())
_VOWEL_ENDINGS = (
    "a e i o u y ou ie ies es en er ers in ina ino ini om em am ami ach ech ich ow ov ova an ans ian"
)
_INSTEAD_OF_A_VOWEL = frozenset(_VOWEL_ENDINGS.split())
_OF_VERBS = frozenset(("ed", "ing", "ly"))
_SLAVIC_ADJECTIVES = ("sky", "ska", "ske", "ski", "sko", "skie", "cky", "cka", "cke", "cki", "ckie")
_LONGEST_ANY = 3
_LONGEST = max(map(len, ENDINGS))
SHORTEST_MISSPELT = 7  # letters of a name that may be one slip away; shorter words become others
SHORTEST = 3  # letters of a word that was cut
LEAST_CUT = 2  # letters that were cut off; of one it is an ending or a slip
_OTHERS = """
    jan feb mar apr jun jul aug sep sept oct nov dec mon tue tues wed thu thur thurs fri sat sun min max sec
    approx etc est ext int incl vol fig prof
"""
_OTHER_WORDS = frozenset(_OTHERS.split())


def keys_of(name_word: str) -> Iterator[str]:
    """Yield under which keys a name's word is kept: itself, and open where it ends in a vowel."""
    yield name_word
    if len(name_word) > SHORTEST_STEM and name_word[-1] in _VOWELS:
        yield name_word[:-1] + OPEN


def keys_for(word: str) -> Iterator[tuple[str, bool]]:
    """Yield the keys of all name words that a text's word may be a form of, itself first.

    With each whether its ending, if any, is on the list, so that a common word may take it too.
    """
    yield word, True
    if len(word) >= SHORTEST_STEM:
        yield word + OPEN, False
    if len(word) > 2 and word[-1] == "s":
        yield word[:-1], True
    for length in range(1, min(_LONGEST, len(word) - SHORTEST_STEM) + 1):
        ending, stem = word[-length:], word[:-length]
        if is_ending(ending):
            yield stem, ending in ENDINGS
            yield stem + OPEN, ending in _INSTEAD_OF_A_VOWEL


def is_ending(ending: str) -> bool:
    """Tell whether a name may end so: on the list, or short and of no verb."""
    return ending in ENDINGS or (len(ending) <= _LONGEST_ANY and ending not in _OF_VERBS)


def is_form_of(word: str, name_word: str) -> bool:
    """Tell whether a text's word is a name's word, with an ending or without."""
    kept = set(keys_of(name_word))
    return any(key in kept for key, _ in keys_for(word))


def gaps_of(word: str) -> set[str]:
    """Return a word with each of its letters left out in turn; words that share one are nearly alike."""
    return {word[:at] + word[at + 1 :] for at in range(len(word))}


def places_within(word: str) -> Iterator[str]:
    """Yield the place that an adjective of a name is made of: "Lhotsky", "Grindelwalder"."""
    for endings, shortest in ((_SLAVIC_ADJECTIVES, 5), (("er",), 6)):
        for ending in endings:
            if word.endswith(ending) and len(word) - len(ending) >= shortest:
                yield word.removesuffix(ending)


def is_one_slip(word: str, other: str) -> bool:
    """Tell whether one letter was left out, put in or mistaken, or two were swapped (Damerau 1964)."""
    at = 0
    while at < min(len(word), len(other)) and word[at] == other[at]:
        at += 1
    rest, wanted = word[at:], other[at:]
    swapped = rest[:2] == wanted[:2][::-1] and rest[2:] == wanted[2:]
    return swapped or rest[1:] == wanted[1:] or rest[1:] == wanted or rest == wanted[1:]


class Abbreviations:
    """The beginnings of the telling words of names, and their first letters beside the common ones."""

    def __init__(self, names: Iterable[Sequence[str]]) -> None:
        self._beginnings: set[str] = set()
        self._beside: set[tuple[str, str]] = set()
        for name in names:
            plain = [folded(part) for part in name]
            telling = [part for part in name if folded(part) not in common_words()]
            for word in (spelling for part in telling for spelling in spellings(part)):
                self._beginnings |= {word[:end] for end in range(SHORTEST, len(word) - LEAST_CUT + 1)}
                self._beside |= {(word[0], one) for one in plain if one in common_words() - JOINING}
        self._beginnings -= common_words() | _OTHER_WORDS

    def find(self, text: str, read: Sequence[FoldedWord]) -> Iterator[tuple[int, int]]:
        """Yield where names are cut short, as numbers of the first and last word."""
        for at, word in enumerate(read):
            if not word.is_capital or text[word.end : word.end + 1] != ".":
                continue
            if word.folded in self._beginnings:
                yield at, at
                continue
            if at + 1 == len(read) or text[word.end + 1 : read[at + 1].begin].strip(" \u00a0"):
                continue
            if (word.folded, read[at + 1].folded) in self._beside:
                yield at, at + 1


_ABBREVIATIONS = """
    ad ae af am av bc cd cm cpl dng e eg ene ese eu ev ft gnd gps hd hdr id ie ir iso jpg km mf mm n nb nd ne
    nne nnw nw ok pc pl pm pol ps raw s se sse ssw sw tv uk us utc uv w wnw wsw
"""


_OF_THE_TRADE = frozenset(_ABBREVIATIONS.split())


_COMPASS = "nsew"


class Initials:
    """The initials of names, given as their words, each known by the number of one reading of a name.

    With the words that only join and without them: "Anna von Holt" is A. H. and A. v. H.
    `only_pointed`: of places, where bare capitals are too often something else.
    """

    def __init__(self, people: Mapping[int, Sequence[str]], *, only_pointed: bool = False) -> None:
        self._only_pointed = only_pointed
        self._people = {
            number: [one for one in parts if folded(one) not in JOINING] or parts
            for number, parts in people.items()
        }
        self._letters = {number: _first_letters(parts) for number, parts in self._people.items()}
        self._sought = {
            run
            for letters in (*self._letters.values(), *map(_first_letters, people.values()))
            for run in (letters, letters[::-1], letters[:1] + letters[-1:])
            if len(run) > 1
        }

    def logins(self) -> Iterator[str]:
        """Yield first and last names run together with an initial: "jdoe", "johnd", "doej"."""
        for parts in self._people.values():
            if len(parts) < 2:
                continue
            for first in spellings(parts[0]):
                for last in spellings(parts[-1]):
                    yield from (
                        one
                        for one in (first[0] + last, first + last[0], last + first[0])
                        if len(one) > 3 and one not in JOINING
                    )

    def is_one_of(self, names: set[int], word: FoldedWord) -> bool:
        """Tell whether a word is a single capital with which one of these people's names begins."""
        is_single = not self._only_pointed and word.is_capital and len(word.folded) == 1
        return is_single and any(word.folded in self._letters.get(name, "") for name in names)

    def find(self, text: str, read: Sequence[FoldedWord]) -> Iterator[tuple[int, int]]:
        """Yield where initials stand, as numbers of the first and last word."""
        if not self._sought:
            return
        for at, word in enumerate(read):
            if not word.is_capital:
                continue
            if word.folded in self._sought:
                is_bare = text[word.begin : word.end].isupper() and word.folded not in _OF_THE_TRADE
                if is_bare and not self._only_pointed:
                    yield at, at
            elif len(word.folded) == 1:
                for run in self._sought:
                    if self._is_spelled(run, text, read[at : at + len(run)]):
                        yield at, at + len(run) - 1

    def _is_spelled(self, run: str, text: str, some: Sequence[FoldedWord]) -> bool:
        """Whether single capitals follow each other as initials do, with points or without."""
        if len(some) < len(run) or any(
            not one.is_capital or one.folded != letter for one, letter in zip(some, run, strict=True)
        ):
            return False
        gaps = [text[a.end : b.begin] for a, b in pairwise(some)]
        if any(len(gap) > 3 or gap.strip(" .-'’\u00a0") for gap in gaps):
            return False
        dotted = any("." in gap for gap in gaps)
        if self._only_pointed:
            return all("." in gap for gap in gaps)
        return dotted or not (set(run) <= set(_COMPASS) or run in _OF_THE_TRADE)


def _first_letters(parts: Sequence[str]) -> str:
    return "".join(folded(part)[0] for part in parts if part[0].isalpha())
