"""Endings that a name takes in a sentence, slips of the pen, and the words that remain without them.

One surprising decision: a telling word may take any ending of up to three letters but those of English verbs,
because a journal bends a name as its writer's language does. A common word takes only endings of a list.
"""

from collections.abc import Iterator

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
