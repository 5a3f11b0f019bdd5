"""Endings that a name takes in a sentence, and the words that remain without them.

One surprising decision: endings are a list and at most four letters long. A rule that lets any letters follow
would strike "Kersten" for "Kers"; one that knows grammar would need to know the language.
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
_LONGEST = max(map(len, ENDINGS))


def keys_of(name_word: str) -> Iterator[str]:
    """Yield under which keys a name's word is kept: itself, and open where it ends in a vowel."""
    yield name_word
    if len(name_word) > SHORTEST_STEM and name_word[-1] in _VOWELS:
        yield name_word[:-1] + OPEN


def keys_for(word: str) -> Iterator[str]:
    """Yield the keys of all name words that a text's word may be a form of; itself comes first."""
    yield word
    if len(word) > 2 and word[-1] == "s":
        yield word[:-1]
    for length in range(1, min(_LONGEST, len(word) - SHORTEST_STEM) + 1):
        ending = word[-length:]
        if ending in ENDINGS:
            yield word[:-length]
        if ending in _INSTEAD_OF_A_VOWEL:
            yield word[:-length] + OPEN


def is_form_of(word: str, name_word: str) -> bool:
    """Tell whether a text's word is a name's word, with an ending or without."""
    kept = set(keys_of(name_word))
    return any(key in kept for key in keys_for(word))
