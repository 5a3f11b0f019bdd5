"""Whether a written word is a word of a name: with endings of its case, or with one slip of the pen.

One surprising decision: endings are judged by length and not by a language's grammar, because a journal bends
a name the way its writer's language does. What English makes of any verb is left out: "branded" is no Brand.
"""

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
