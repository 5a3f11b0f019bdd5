"""Names cut short with a point: "Kersw.", and by one letter beside their common words: "K. Crag".

One surprising decision: a cut word needs a capital and three letters, because fewer end too many sentences.
"""

from collections.abc import Iterable, Iterator, Sequence

from logbook.domain.discretion.common_words import JOINING, common_words
from logbook.domain.discretion.folding import FoldedWord, folded, spellings

SHORTEST = 3  # letters of a word that was cut
LEAST_CUT = 2  # letters that were cut off; of one it is an ending or a slip
_OTHERS = """
    jan feb mar apr jun jul aug sep sept oct nov dec mon tue tues wed thu thur thurs fri sat sun min max sec
    approx etc est ext int incl vol fig prof
"""
_OTHER_WORDS = frozenset(_OTHERS.split())


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
