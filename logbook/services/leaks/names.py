"""Finding a name by its words: each that tells alone, all in any order, run together, or its initials.

Surprising decisions: nothing is searched for as a whole. A name is a set of words, and where a name has no
word that would tell alone ("Long Bridge"), it is found only where its words stand side by side. What its
words may also mean stands in lists that are this search's own: were they those of the striking, a word that
is missing there would be missed here too. Endings are judged by length and not by a language's grammar,
because a journal bends a name the way its writer's language does. What English makes of any verb is left out:
"branded" is no Brand.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from itertools import chain, permutations

from logbook.services.leaks.words import WordedText, name_words

_LISTS = (files("logbook.services.leaks") / "ordinary.txt").read_text(encoding="utf-8")
_LINES = [line for line in _LISTS.splitlines() if not line.startswith("#")]
ORDINARY = frozenset(name_words(" ".join(_LINES[2:])))  # alone they name no place and no person
JOINING = frozenset(name_words(_LINES[0]))  # they only join the words of a name
CODES = frozenset(_LINES[1].split())  # capitals that stand for something else on a photographer's page
SHORTEST_ALONE = 3  # letters of a word that tells alone
SHORTEST_JOINED = 6  # letters of a whole name that is found run together
LEAST_CUT = 2  # letters that are left out of a word that is cut short
SHORTEST_PARTED = 4  # letters of a word that is found in pieces, as at the end of a line
SHORTEST_BENT = 4  # letters of a name that may take an ending
LONGEST_ENDING = 3
SHORTEST_MISSPELT = 7  # letters of a name that may be one slip away; shorter words become others
SHORTEST_INSIDE = 7  # letters of a name that are found inside a longer word
_OF_VERBS = ("ed", "ing", "ly", "er", "ers")
_OF_A_PLACE = (
    *((f"{sound}k{end}", 5) for sound in "sc" for end in ("y", "a", "e", "i", "o", "ie")),
    ("er", 6),
)
_VOWELS = "aeiouy"


@dataclass(frozen=True, slots=True)
class Name:
    """A name that must not be told, and what it is.

    `words`: all its words but those that only join; `allowed`: words that may be said, in plain spelling.
    """

    text: str
    what: str
    is_person: bool
    allowed: frozenset[str] = frozenset()
    words: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        every = name_words(self.text)
        telling = tuple(word for word in every if word not in JOINING) or every
        object.__setattr__(self, "words", telling)


@dataclass(frozen=True, slots=True)
class FoundName:
    """A name in a text: from which of its words to before which."""

    name: Name
    first: int
    end: int


class SecretNames:
    """All names that must not be told, ready to be looked for; `own` is what the program writes by itself."""

    def __init__(self, names: Iterable[Name], own: WordedText) -> None:
        self._own = frozenset(word.plain for word in own.words)
        self._names = tuple(dict.fromkeys(name for name in names if name.words))
        self._telling = [
            (w, name) for name in self._names for w in dict.fromkeys(name.words) if _tells(w, name)
        ]
        self._people = [
            (w, name)
            for name in self._names
            for w in dict.fromkeys(name.words)
            if name.is_person and w in ORDINARY and w not in name.allowed
        ]
        self._joined = {
            joined: name
            for name in self._names
            for joined in _run_together(name)
            if len(joined) >= SHORTEST_JOINED and len(name.words) > 1
        }
        parts = [(w, name) for w, name in self._telling if len(w) >= SHORTEST_PARTED]
        self._pieces = dict(parts) | self._joined
        self._beginnings = frozenset(one[:end] for one in self._pieces for end in range(1, len(one) + 1))
        self._alone_known: dict[str, Name | None] = {}
        self._part_known: dict[str, tuple[tuple[Name, str], ...]] = {}
        self._said_by_us: frozenset[Name] = frozenset()
        self._said_by_us = frozenset(found.name for found in self._side_by_side(own))

    def in_text(self, text: WordedText) -> Iterator[FoundName]:
        """Yield each name found and where; a name may be found many times."""
        yield from self._alone(text)
        yield from self._side_by_side(text)
        yield from self._in_pieces(text)
        yield from self._initials(text)
        yield from self._cut_short(text)

    def _alone(self, text: WordedText) -> Iterator[FoundName]:
        for at, word in enumerate(text.words):
            name = self._alone_name(word.plain)
            if name is None and self._people and word.written[0].isupper() and _amid_a_sentence(text, at):
                name = next((n for w, n in self._people if w == word.plain and w not in self._own), None)
            elif name is not None and len(word.plain) < SHORTEST_ALONE and not word.written[0].isupper():
                name = None
            if name is not None:
                yield FoundName(name, at, at + 1)

    def _cut_short(self, text: WordedText) -> Iterator[FoundName]:
        """Yield names cut short with a point: a word after three letters or more, or after its first."""
        for at, word in enumerate(text.words):
            if not word.written[0].isupper() or not text.plain.startswith(".", word.end):
                continue
            if len(word.plain) >= SHORTEST_ALONE and word.plain not in self._own | ORDINARY:
                cut = (n for w, n in self._telling if w.startswith(word.plain) and _is_cut(w, word.plain, n))
                yield from (FoundName(name, at, at + 1) for name in cut)
            elif len(word.plain) == 1 and at + 1 < len(text.words) and not text.gap(at).strip(". "):
                after = text.words[at + 1].plain
                beside = (
                    n for w, n in self._telling if w[0] == word.plain and after in n.words and after != w
                )
                yield from (FoundName(name, at, at + 2) for name in beside)

    def _alone_name(self, word: str) -> Name | None:
        """Return the name that a word tells of alone."""
        if word not in self._alone_known:
            told = (
                name
                for secret, name in self._telling
                if is_form_of(word, secret) or (not name.is_person and is_its_place(word, secret))
            )
            whole = (name for joined, name in self._joined.items() if joined in word)
            self._alone_known[word] = None if word in self._own else next(chain(told, whole), None)
        return self._alone_known[word]

    def _side_by_side(self, text: WordedText) -> Iterator[FoundName]:
        """Yield names whose words stand beside each other, in any order, joined by nothing that says more."""
        content = [at for at, word in enumerate(text.words) if word.plain not in JOINING]
        for place, at in enumerate(content):
            for name, _ in self._parts_of(text.words[at].plain):
                count = len(set(name.words))
                near = content[place : place + count]
                there = {w for i in near for n, w in self._parts_of(text.words[i].plain) if n is name}
                if len(there) < count or name in self._said_by_us:
                    continue
                if count == 1 and text.words[at].plain in self._own:
                    continue
                if name.is_person and not _only_its_own(text, near, name):
                    continue
                if not any(_ends_something(text.gap(i)) for i in range(near[0], near[-1])):
                    yield FoundName(name, near[0], near[-1] + 1)

    def _parts_of(self, word: str) -> tuple[tuple[Name, str], ...]:
        """Return of which names, and of which of their words, a word is a form."""
        if word not in self._part_known:
            self._part_known[word] = tuple(
                (name, part)
                for name in self._names
                if not name.allowed.issuperset(name.words)
                for part in dict.fromkeys(name.words)
                if (is_same if part in ORDINARY else is_form_of)(word, part)
            )
        return self._part_known[word]

    def _in_pieces(self, text: WordedText) -> Iterator[FoundName]:
        """Yield names run together from several pieces: parted at a line's end, spelled out, hyphened."""
        for first in range(len(text.words)):
            joined, at = text.words[first].plain, first
            while joined in self._beginnings:
                name = self._pieces.get(joined)
                if (
                    name is not None
                    and at > first
                    and (joined in self._joined or self._is_one(text, first, at))
                ):
                    yield FoundName(name, first, at + 1)
                at += 1
                if at == len(text.words) or _ends_something(text.gap(at - 1)):
                    break
                joined += text.words[at].plain

    @staticmethod
    def _is_one(text: WordedText, first: int, last: int) -> bool:
        """Tell whether pieces are meant as one word: hyphened or spelled out, not just side by side."""
        spelled = all(len(word.plain) == 1 for word in text.words[first : last + 1])
        return spelled or all(text.gap(at).strip() for at in range(first, last))

    def _initials(self, text: WordedText) -> Iterator[FoundName]:
        """Yield people and places by initials with points, people by bare capitals too."""
        for name in self._names:
            letters = "".join(word[0] for word in name.words)
            if len(letters) < 2 or name.allowed.issuperset(name.words):
                continue
            for order in {letters, letters[::-1]}:
                yield from self._lettered(text, name, order)
            for at in range(len(text.words) - 1):
                if name.is_person and _is_initialled(text, at, name.words):
                    yield FoundName(name, at, at + 2)

    @staticmethod
    def _lettered(text: WordedText, name: Name, letters: str) -> Iterator[FoundName]:
        many = len(letters)
        for at, word in enumerate(text.words):
            if word.plain[0] != letters[0] or not word.written.isupper():
                continue
            if name.is_person and word.plain == letters and word.written not in CODES:
                yield FoundName(name, at, at + 1)
            run = text.words[at : at + many]
            if len(word.written) > 1 or len(run) < many or not all(one.written.isupper() for one in run):
                continue
            gaps = [text.gap(at + step) for step in range(many - 1)]
            pointed = all(gap.strip() in (".", ".-") for gap in gaps)
            if (
                pointed
                and "".join(one.plain for one in run) == letters
                and "".join(one.written for one in run) not in CODES
            ):
                yield FoundName(name, at, at + many)


def _is_cut(whole: str, part: str, name: Name) -> bool:
    """Tell whether a word is cut so far that it is neither bent nor misspelt."""
    return len(whole) - len(part) >= LEAST_CUT and part not in name.allowed


def _tells(word: str, name: Name) -> bool:
    """Tell whether a word of a name gives it away alone."""
    if word in name.allowed or word[0].isdigit() or ORDINARY & {word, word.removesuffix("s")}:
        return False
    return len(word) >= SHORTEST_ALONE or (name.is_person and len(word) > 1)


def _run_together(name: Name) -> Iterator[str]:
    """Yield a name without what parts its words, in every order that people put few words in."""
    if name.allowed.issuperset(name.words):
        return
    yield "".join(name_words(name.text))
    if name.is_person:
        yield name.words[0][0] + name.words[-1]  # as in an address
    orders = permutations(name.words) if len(name.words) <= 3 else [name.words]
    yield from ("".join(order) for order in orders)


def _amid_a_sentence(text: WordedText, at: int) -> bool:
    """Tell whether a capital is a name's: common words are beside it, and no sentence begins there."""
    if at == 0 or text.gap(at - 1).strip(" ,(\"'“‘"):
        return False
    after = text.words[at + 1] if at + 1 < len(text.words) else None
    return text.words[at - 1].written.islower() and (after is None or not after.written[0].isupper())


def _is_initialled(text: WordedText, at: int, words: tuple[str, ...]) -> bool:
    """Tell whether a first name stands with the surname's letter, as in "Rose M."."""
    word, letter = text.words[at], text.words[at + 1]
    if len(letter.written) != 1 or not (letter.written.isupper() and word.written[0].isupper()):
        return False
    pointed = text.plain[letter.end : letter.end + 1] == "." and text.gap(at) == " "
    return pointed and word.plain == words[0] and any(letter.plain == other[0] for other in words[1:])


def _only_its_own(text: WordedText, near: Sequence[int], name: Name) -> bool:
    """Tell whether only what is in the name joins a person's words: "a rose by the marsh" is nobody."""
    between = (text.words[at].plain for at in range(near[0], near[-1]) if at not in near)
    return set(between) <= set(name_words(name.text))


def _ends_something(gap: str) -> bool:
    """Tell whether a sentence, a cell or a paragraph ends in what stands between two words."""
    return any(one in gap for one in ("!", "?", ";", "|", ". ", ".\n", "\n\n"))


def is_form_of(word: str, name: str) -> bool:
    """Tell whether a word, in its plain spelling, is a word of a name: as it is, bent or misspelt."""
    if word == name:
        return True
    if len(name) >= SHORTEST_INSIDE and (name in word or _one_slip(word, name)):
        return True
    if len(name) < SHORTEST_BENT or not word.startswith(name[:-1]):
        return False
    if word.startswith(name):
        return _is_ending(word[len(name) :])
    stem = name[:-1]  # the last vowel changes with the case: Petra, Petry
    return name[-1] in _VOWELS and len(stem) >= SHORTEST_BENT and _is_ending(word[len(stem) :])


def is_its_place(word: str, adjective: str) -> bool:
    """Tell whether a word is the place, bent or not, that a name's adjective speaks of ("Lhotsky")."""
    for ending, shortest in _OF_A_PLACE:
        place = adjective.removesuffix(ending)
        if place != adjective and len(place) >= shortest and word.startswith(place):
            return _is_ending(word[len(place) :])
    return False


def is_same(word: str, common: str) -> bool:
    """Tell whether a word is a common word of a name, or its plural."""
    return word in (common, f"{common}s", f"{common}es")


def _is_ending(rest: str) -> bool:
    return len(rest) <= LONGEST_ENDING and rest not in _OF_VERBS


def _one_slip(word: str, name: str) -> bool:
    """Tell whether one letter was left out, put in, mistaken, or two were swapped (Damerau 1964)."""
    if len(name) < SHORTEST_MISSPELT or abs(len(word) - len(name)) > 1:
        return False
    same = 0
    while same < min(len(word), len(name)) and word[same] == name[same]:
        same += 1
    one, other = word[same:], name[same:]
    return (
        one[1:] == other[1:]
        or one[1:] == other
        or one == other[1:]
        or (one[:2] == other[:2][::-1] and one[2:] == other[2:])
    )
