"""Finding names in text: alone, with endings, reordered, run together, spaced out, as initials.

One surprising decision: a name's distinctive words are found one by one, its common words ("bridge", "old")
only together. A name of nothing but common words is found where all of them, or of three and more all but
one, stand together in any order.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import permutations

from logbook.domain.discretion.common_words import JOINING, common_words
from logbook.domain.discretion.folding import FoldedWord, folded, seen, shortened, spellings, words
from logbook.domain.discretion.name_forms import (
    ENDINGS,
    SHORTEST_MISSPELT,
    Abbreviations,
    Initials,
    gaps_of,
    is_ending,
    is_form_of,
    is_one_slip,
    keys_for,
    keys_of,
    places_within,
)

GAP = 6  # joining words that may stand between two words of a name
REACH = 16  # words of names within which one is complete; a text that repeats one word would take for ever
BESIDE = 3  # characters between a found word and another word of its name that goes with it
SHORTEST_RUN = 5  # letters that are looked for across the borders of words
SHORTEST_INSIDE = 6  # letters that are looked for at an end of a longer word; anywhere in it:
SHORTEST_ANYWHERE = 7
_REMEMBERED = 50_000  # words
_FEW = 3  # words of a name that are run together in any order

Stretch = tuple[int, int]  # numbers of the first and the last word


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of a word: whether it is struck alone, only with a capital, and of which names it is."""

    alone: bool = False
    only_capital: bool = False
    members: frozenset[tuple[int, int]] = frozenset()  # number of the name, number of the word in it


_NOTHING = _Known()


@dataclass(slots=True)
class HiddenNames:
    """Names, made ready once for finding them in many texts.

    `phrases` are found whole only. Of people each word is found alone, a common one only with a capital, and
    their initials. `may_say` are words that stand although they are part of a name.
    """

    names: Iterable[str]
    phrases: Iterable[str] = ()
    of_people: bool = False
    may_say: Iterable[str] = ()
    _needed: list[int] = field(init=False, default_factory=list)
    _alone: dict[str, bool] = field(init=False, default_factory=dict)  # key: only with a capital
    _members: dict[str, set[tuple[int, int]]] = field(init=False, default_factory=dict)
    _common: set[str] = field(init=False, default_factory=set)  # keys of common words, which bend less
    _slips: dict[str, set[str]] = field(init=False, default_factory=dict)  # telling words by their gaps
    _runs: set[str] = field(init=False, default_factory=set)
    _spelled_out: set[str] = field(init=False, default_factory=set)
    _initials: Initials = field(init=False)
    _abbreviations: Abbreviations = field(init=False)
    _let: list[list[str]] = field(init=False)
    _remembered: dict[str, _Known] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        people: dict[int, list[str]] = {}
        for name, is_phrase in [*((n, False) for n in self.names), *((n, True) for n in self.phrases)]:
            every, parts = _readings(name)
            whole, parts = _telling(every), _telling(parts)
            run = "".join(one.folded for one in words(seen(name).text))
            if len(run) >= SHORTEST_RUN and len(parts) > 1:
                self._runs.add(run)
            people[len(self._needed)] = every
            self._learn(whole, is_phrase)
            if parts != whole:  # "HollowArch" is two words; "McDonald" and "hut7" are not
                self._learn(parts, is_phrase or self.of_people or not all(map(str.isalpha, parts)))
        self._initials = Initials(people, only_pointed=not self.of_people)
        self._abbreviations = Abbreviations(people.values())
        self._let = [[one.folded for one in words(seen(text).text)] for text in self.may_say]
        for login in self._initials.logins() if self.of_people else ():
            self._alone.setdefault(login, False)

    def _learn(self, parts: list[str], is_phrase: bool) -> None:
        if not parts:
            return
        number = len(self._needed)
        telling = [part for part in parts if not is_common(part)]
        self._needed.append(len(parts) if is_phrase or telling or len(parts) < 3 else len(parts) - 1)
        for place, part in enumerate(parts):
            for spelling in spellings(part):
                for key in keys_of(spelling):
                    self._members.setdefault(key, set()).add((number, place))
                    if is_common(part):
                        self._common.add(key)
        if not is_phrase:
            for part in parts:
                self._learn_alone(part, is_whole=len(parts) == 1)
        if len(parts) > 1:
            for order in permutations(parts) if len(parts) <= _FEW else (parts,):
                self._runs |= {run for run in _together(order) if len(run) >= SHORTEST_RUN}

    def _learn_alone(self, part: str, *, is_whole: bool) -> None:
        short, common = len(part) < 3, is_common(part)
        if not any(letter.isalpha() for letter in part) and not (is_whole and len(part) > 3):
            return
        if len(part) < 2 or ((short or common) and not (self.of_people or is_whole)):
            return
        only_capital = common and not (is_whole and not self.of_people)
        within = () if self.of_people or common else places_within(folded(part))
        for spelling in (*spellings(part), *(one for one in within if not is_common(one))):
            for key in keys_of(spelling):
                self._alone[key] = self._alone.get(key, True) and only_capital
            if not common and len(spelling) >= SHORTEST_MISSPELT and spelling.isalpha():
                for gap in (spelling, *gaps_of(spelling)):
                    self._slips.setdefault(gap, set()).add(spelling)
            if not common:
                (self._runs if len(spelling) >= SHORTEST_RUN else self._spelled_out).add(spelling)

    def find(self, text: str, read: Sequence[FoldedWord]) -> list[Stretch]:
        """Return where names stand, as numbers of the first and last word; they may overlap."""
        if not self._needed:
            return []
        known = [self._about(word.folded) for word in read]
        found = [
            (at, at)
            for at, (one, word) in enumerate(zip(known, read, strict=True))
            if one.alone and (word.is_capital or not one.only_capital)
        ]
        found += self._in_parts(read)
        found += self._reordered(read, known)
        found += self._run_together(read)
        found += self._initials.find(text, read)
        found += self._abbreviations.find(text, read)
        kept = [one for one in found if not self._may_stand(read, *one)]
        return [self._with_neighbours(text, read, known, *one) for one in kept]

    def _about(self, word: str) -> _Known:
        if (one := self._remembered.get(word)) is not None:
            return one
        alone: list[bool] = []
        members: set[tuple[int, int]] = set()
        for key in self._keys_of_names(word):
            if (only_capital := self._alone.get(key)) is not None:
                alone.append(only_capital)
            members |= self._members.get(key, set())
        one = _Known(bool(alone), all(alone), frozenset(members)) if alone or members else _NOTHING
        if len(self._remembered) >= _REMEMBERED:
            self._remembered.clear()
        self._remembered[word] = one
        return one

    def _keys_of_names(self, word: str) -> Iterator[str]:
        """Yield the keys of the names' words that a word is a form of, or one slip away from."""
        typed = dict.fromkeys((word, shortened(word)))
        for key, is_listed in (one for spelling in typed for one in keys_for(spelling)):
            if (key in self._members or key in self._alone) and (is_listed or key not in self._common):
                yield key
        if len(word) >= SHORTEST_MISSPELT - 1:
            near = {one for gap in (word, *gaps_of(word)) for one in self._slips.get(gap, ())}
            yield from (one for one in near if is_one_slip(word, one))

    def _in_parts(self, read: Sequence[FoldedWord]) -> Iterator[Stretch]:
        """Words whose CamelCase or figures cut a name apart: "McKerswell", "Kerswell2"."""
        first = 0
        for at in range(1, len(read) + 1):
            if at < len(read) and read[at].token == read[first].token:
                continue
            if at - first > 1:
                whole = self._about("".join(one.folded for one in read[first:at]))
                if whole.alone and (not whole.only_capital or read[first].is_capital):
                    yield first, at - 1
            first = at

    def _reordered(self, read: Sequence[FoldedWord], known: Sequence[_Known]) -> Iterator[Stretch]:
        """Names whose words stand together in any order, with nothing but joining words between them."""
        cluster: list[int] = []
        for at, one in enumerate(known):
            if not one.members:
                continue
            between = read[cluster[-1] + 1 : at] if cluster else []
            if len(between) > GAP or any(word.folded not in JOINING for word in between):
                yield from self._covered(cluster, known)
                cluster = []
            cluster.append(at)
        yield from self._covered(cluster, known)

    def _covered(self, cluster: list[int], known: Sequence[_Known]) -> Iterator[Stretch]:
        """The shortest stretches in which all needed words of a name stand."""
        for start, first in enumerate(cluster[:-1]):
            met = {name: {place} for name, place in known[first].members}
            begun = set(known[first].members)
            for at in cluster[start + 1 : start + REACH]:
                begun -= known[at].members  # the name's word comes again: a shorter stretch begins there
                if not begun:
                    break
                names = {name for name, _ in begun}
                for name, place in known[at].members:
                    if name in names:
                        met[name].add(place)
                        if len(met[name]) >= max(2, self._needed[name]):
                            yield first, at
                            begun = {one for one in begun if one[0] != name}

    def _run_together(self, read: Sequence[FoldedWord]) -> Iterator[Stretch]:
        """Names without the borders of words: "kerswellcrag", "k e r s", "Ker-swell", "Kerswelltal"."""
        if not read:
            return
        offsets, at = [], 0
        for word in read:
            offsets.append(at)
            at += len(word.folded)
        run = "".join(word.folded for word in read)
        for form in (*self._runs, *self._spelled_out):
            at = run.find(form)
            while at >= 0:
                first = bisect_right(offsets, at) - 1
                last = bisect_right(offsets, at + len(form) - 1) - 1
                if self._is_whole(form, read, offsets, at, first, last):
                    yield first, last
                at = run.find(form, at + 1)

    def _is_whole(
        self, form: str, read: Sequence[FoldedWord], offsets: list[int], at: int, first: int, last: int
    ) -> bool:
        """Whether a run begins and ends with words, or lies in one word that it makes a compound of."""
        rest = read[last].folded[at + len(form) - offsets[last] :]
        begins = at == offsets[first]
        ends = not rest or (is_ending(rest) if first == last else rest in ENDINGS)  # "hollow archway" is none
        if form in self._spelled_out:
            return begins and not rest and all(len(word.folded) == 1 for word in read[first : last + 1])
        if begins and ends:
            return True
        if read[first].token != read[last].token or len(form) < SHORTEST_INSIDE:
            return False
        token = read[first].token
        opens = begins and (first == 0 or read[first - 1].token != token)
        closes = not rest and (last + 1 == len(read) or read[last + 1].token != token)
        return opens or closes or len(form) >= SHORTEST_ANYWHERE

    def _may_stand(self, read: Sequence[FoldedWord], first: int, last: int) -> bool:
        told = [word.folded for word in read[first : last + 1] if word.folded not in JOINING]
        return any(
            len(told) == len(let) and all(is_form_of(a, b) for a, b in zip(told, let, strict=True))
            for let in self._let
        )

    def _with_neighbours(
        self, text: str, read: Sequence[FoldedWord], known: Sequence[_Known], first: int, last: int
    ) -> Stretch:
        """Take along the words beside a found one that are others of its name, and a person's initials."""
        taken = {one for known_word in known[first : last + 1] for one in known_word.members}
        names = {name for name, _ in taken}

        def belongs(at: int, between: str) -> bool:
            if len(between) > BESIDE or any(letter in "\n;!?()" for letter in between):
                return False
            others = {one for one in known[at].members if one[0] in names} - taken
            taken.update(others)
            return bool(others) or self._initials.is_one_of(names, read[at])

        lowest, highest = max(0, first - REACH), min(len(read) - 1, last + REACH)
        while first > lowest and belongs(first - 1, text[read[first - 1].end : read[first].begin]):
            first -= 1
        while last < highest and belongs(last + 1, text[read[last].end : read[last + 1].begin]):
            last += 1
        return first, last


def is_common(word: str) -> bool:
    """Tell whether a word says nothing by itself."""
    return folded(word) in common_words()


def _readings(name: str) -> tuple[list[str], list[str]]:
    """Return a name's words, and the same with words in CamelCase in parts."""
    shown = seen(name).text
    read = words(shown)
    parts = [shown[one.begin : one.end] for one in read]
    whole: dict[int, str] = {}
    for one, part in zip(read, parts, strict=True):
        whole[one.token] = whole.get(one.token, "") + part
    return list(whole.values()), parts


def _telling(parts: list[str]) -> list[str]:
    return [part for part in parts if folded(part) not in JOINING] or parts


def _together(parts: Sequence[str]) -> set[str]:
    return {"".join(one) for one in zip(*(sorted(_three(part)) for part in parts), strict=True)}


def _three(part: str) -> list[str]:
    every = sorted(spellings(part))
    return (every * 3)[:3]
