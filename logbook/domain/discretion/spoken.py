"""Numbers in words, as figures: "fifty-five point one two", "a hundred and three".

One surprising decision: only English is read, the language that the program itself speaks.
"""

import re
from collections.abc import Iterator

from logbook.domain.discretion.folding import SeenText

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_VALUES = {word: value for value, word in enumerate(_SMALL.split())}
_VALUES |= {word: 10 * value for value, word in enumerate(_TENS.split(), start=2)}
_VALUES |= {"oh": 0, "nought": 0, "fourty": 40}
_POINTS = ("point", "dot", "decimal")
_HUNDRED = 100
_WORD = "|".join(sorted((*_VALUES, "hundred"), key=len, reverse=True))
_SPOKEN = re.compile(
    rf"\b(?:a\s+)?(?:{_WORD})(?:[\s-]+(?:and\s+)?(?:{_WORD}|{'|'.join(_POINTS)}))*\b", re.IGNORECASE
)
_PARTS = re.compile(rf"{_WORD}|{'|'.join(_POINTS)}", re.IGNORECASE)


def in_figures(shown: SeenText) -> SeenText:
    """Return a seen text with its numbers in figures; every figure knows where its words were typed."""
    found = list(_SPOKEN.finditer(shown.text))
    if not found:
        return shown
    letters: list[str] = []
    begins: list[int] = []
    ends: list[int] = []
    at = 0
    for one in found:
        letters.append(shown.text[at : one.start()])
        begins += shown.begins[at : one.start()]
        ends += shown.ends[at : one.start()]
        figures = " ".join(_numbers(_PARTS.findall(one[0].lower())))
        begin, end = shown.typed(*one.span())
        letters.append(figures)
        begins += [begin] * len(figures)
        ends += [end] * len(figures)
        at = one.end()
    letters.append(shown.text[at:])
    return SeenText("".join(letters), [*begins, *shown.begins[at:]], [*ends, *shown.ends[at:]])


def _numbers(parts: list[str]) -> Iterator[str]:
    """Yield the numbers that follow each other; after a point, figures are put side by side."""
    if _POINTS[0] in parts or _POINTS[1] in parts or _POINTS[2] in parts:
        at = next(place for place, part in enumerate(parts) if part in _POINTS)
        *before, whole = [*_counted(parts[:at])] or [0]
        yield from map(str, before)
        yield f"{whole}." + "".join(map(str, _counted([part for part in parts[at:] if part in _VALUES])))
        return
    yield from map(str, _counted(parts))


def _counted(parts: list[str]) -> Iterator[int]:
    number: int | None = None
    for part in parts:
        if part == "hundred":
            number = (number or 1) * _HUNDRED
            continue
        value = _VALUES[part]
        goes_on = number is not None and (
            (number % _HUNDRED == 0 and number)
            or (number % 10 == 0 and number % _HUNDRED >= 20 and 0 < value < 10)
        )
        if number is not None and not goes_on:
            yield number
        number = (number or 0) + value if goes_on else value
    if number is not None:
        yield number
