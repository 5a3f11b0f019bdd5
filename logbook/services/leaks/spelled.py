"""Numbers that a text spells out ("fifty-five degrees seven minutes"), as digits.

One surprising decision: English only. Who dictates a position to a telephone gets digits in every language;
what is written out by hand is written in the language of the pages.
"""

import re

_ONES = (
    *(
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
    ),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_VALUES = {word: value for value, word in enumerate(_ONES)} | {"oh": 0, "nought": 0}
_VALUES |= {word: 10 * value for value, word in enumerate(_TENS, 2)}
_WORD = rf"(?:{'|'.join(_VALUES)}|hundred)"
_NUMBER = re.compile(
    rf"\b{_WORD}(?:(?:\s+and)?[\s-]+{_WORD})*(?:\s+(?:point|decimal)(?:[\s-]+{_WORD})+)?\b", re.I
)
_POINT = re.compile(r"\s+(?:point|decimal)\s+", re.IGNORECASE)
_PARTS = re.compile(r"[\s-]+")


def spelled_out(text: str) -> str:
    """Return a text whose spelled numbers are digits; what is no number stays as it is."""
    return _NUMBER.sub(lambda found: _digits(found[0]), text)


def _digits(words: str) -> str:
    whole, *fraction = _POINT.split(words.casefold())
    numbers = _numbers(whole)
    if not fraction:
        return " ".join(map(str, numbers))
    return " ".join(map(str, numbers)) + "." + "".join(map(str, _numbers(fraction[0])))


def _numbers(words: str) -> list[int]:
    """Return the numbers that words say one after the other: a ten takes a one, a hundred takes both."""
    found: list[int] = []
    last = 0  # what the number being said can still take: below 100 after a hundred, below 10 after a ten
    for word in _PARTS.split(words):
        if word == "and":
            continue
        if word == "hundred":
            found = [*found[:-1], (found[-1] if found else 1) * 100]
            last = 100
            continue
        value = _VALUES[word]
        if found and 0 < value < last:
            found[-1] += value
        else:
            found.append(value)
        last = 10 if 20 <= value < 100 else 0
    return found
