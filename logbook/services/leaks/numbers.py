"""Reading angles out of a text, in digits or spelled out: degrees, minutes, seconds, whatever parts them.

Surprising decisions: a text is not matched against notations. Every run of digits is read as every angle
that it and its neighbours could mean; which is meant is decided later, by where on the earth that would be.
Spelled out ("fifty-five degrees seven minutes") is English only: who dictates a position to a telephone
gets digits in every language; what is written out by hand is written in the language of the pages.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_DIGITS = re.compile(r"\d+")
_POINTS = (".", ",", "·", "٫")
# What people put for a point by mistake or in speech; then so many decimals that they are none of a list.
_LOOSE = (" ", "_", "'", "’", ":", ". ", " .", " . ", ", ", " point ", " comma ", "-")
LEAST_LOOSE = 3
_PARTS = frozenset(
    (
        *("d", "deg", "degs", "degree", "degrees", "grad", "grados", "gradi", "and", "und", "et", "y", "e"),
        *("m", "min", "mins", "minute", "minutes", "minuten", "minuti", "minutos", "prime", "arc"),
        *(
            "stupne",
            "stupnu",
            "stopni",
            "stopnie",
            "grader",
            "astetta",
            "graden",
            "gradus",
            "градус",
            "градуса",
        ),
        *("градусов", "минута", "минуты", "минут", "секунд", "секунды", "minut", "minuty", "度", "分", "秒"),
        *("s", "sec", "secs", "second", "seconds", "sekunden", "secondes", "segundos"),
    )
)
_LETTERS = re.compile(r"[^\W\d_]+")
_SIDE = re.compile(
    r"°|(?<![^\W\d_])(?:[NSEWO]|(?i:deg\w*|lat\w*|lon\w*|lng|north\w*|south\w*|east\w*|west\w*"
    r"|nord|sud|ost|est|ouest))(?![^\W\d_])"
)
LEAST_POINTLESS, MOST_POINTLESS = 6, 10  # digits of decimal degrees whose point was left out
LONGEST_GAP = 14  # characters between degrees and minutes
BESIDE = 12  # characters beside an angle in which a sign or a side of the world belongs to it
_HEX = re.compile(r"(?<![0-9a-z])(?=(?:[0-9]*[a-f]){3})(?=[a-f]*[0-9])[0-9a-f]{12,}", re.IGNORECASE)
_MINUTE, _SECOND = 1 / 60, 1 / 3600
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


@dataclass(frozen=True, slots=True)
class DigitRun:
    """A run of digits and where it stands."""

    digits: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class ReadAngle:
    """One reading: degrees without sign, what one of its last place is worth, the runs it takes up.

    `is_decimal`: degrees with a point and nothing else; `says_so`: its degree sign or side of the world.
    """

    degrees: float
    unit_deg: float
    first: int
    end: int
    is_decimal: bool
    says_so: bool


class Digits:
    """The runs of digits of a text, and the angles that they could mean."""

    def __init__(self, text: str) -> None:
        self.text = spelled_out(_HEX.sub(lambda code: " " * len(code[0]), text))  # a digest is no number
        self.runs = [
            DigitRun("".join(str(int(one)) for one in found[0]), *found.span())
            for found in _DIGITS.finditer(self.text)
        ]

    def gap(self, index: int) -> str:
        """Return what stands between a run and the next one; of the last run, the end of the text."""
        end = self.runs[index + 1].start if index + 1 < len(self.runs) else len(self.text)
        return self.text[self.runs[index].end : end]

    def angles(self, first: int) -> Iterator[ReadAngle]:
        """Yield all angles of at most 180 degrees that begin with a run."""
        for degrees, unit_deg, end, is_decimal in self._readings(first):
            if degrees <= 180:
                yield ReadAngle(degrees, unit_deg, first, end, is_decimal, self._says_so(first, end))

    def _readings(self, first: int) -> Iterator[tuple[float, float, int, bool]]:
        digits = self.runs[first].digits
        if len(digits) <= 3:
            whole = int(digits)
            yield whole, 1.0, first + 1, False
            for value, unit, end, is_strict in self._fractions(first):
                yield whole + value, unit, end, is_strict
            for value, unit, end in self._sixtieths(first + 1, self.gap(first)):
                yield whole + value * _MINUTE, unit * _MINUTE, end, False
        elif len(digits) <= 7:
            yield from self._packed(first, digits)
        if LEAST_POINTLESS <= len(digits) <= MOST_POINTLESS:
            for whole in (1, 2, 3):
                unit = 10.0 ** (whole - len(digits))
                yield int(digits) * unit, unit, first + 1, False

    def _packed(self, first: int, digits: str) -> Iterator[tuple[float, float, int, bool]]:
        """Yield readings of DDMM, DDDMM, DDMMSS and DDDMMSS, with or without a fraction (ISO 6709, NMEA)."""
        degrees = len(digits) - (2 if len(digits) <= 5 else 4)
        parts = [int(digits[:degrees]), int(digits[degrees : degrees + 2]), int(digits[degrees + 2 :] or 0)]
        if degrees not in (2, 3) or parts[1] >= 60 or parts[2] >= 60:
            return
        unit = _MINUTE if len(digits) <= 5 else _SECOND
        value = parts[0] + parts[1] * _MINUTE + parts[2] * _SECOND
        yield value, unit, first + 1, False
        for fraction, place, end, _ in self._fractions(first):
            yield value + fraction * unit, place * unit, end, False

    def _fractions(self, first: int) -> Iterator[tuple[float, float, int, bool]]:
        """Yield what the next run adds as decimals, and whether a point says so."""
        if first + 1 < len(self.runs):
            digits, gap = self.runs[first + 1].digits, self.gap(first)
            is_strict = gap.strip("°˚") in _POINTS  # "55°.12" on old maps
            if is_strict or (gap in _LOOSE and len(digits) >= LEAST_LOOSE):
                yield int(digits) / 10 ** len(digits), 10.0 ** -len(digits), first + 2, is_strict

    def _sixtieths(self, at: int, gap: str) -> Iterator[tuple[float, float, int]]:
        """Yield minutes at a run, with what follows of decimals or seconds; in units of a minute."""
        if at >= len(self.runs) or len(self.runs[at].digits) > 2 or not _only_parts(gap):
            return
        whole = int(self.runs[at].digits)
        if whole >= 60:
            return
        yield whole, 1.0, at + 1
        for value, unit, end, _ in self._fractions(at):
            yield whole + value, unit, end
        for value, unit, end in self._seconds(at + 1, self.gap(at)):
            yield whole + value * _MINUTE, unit * _MINUTE, end

    def _seconds(self, at: int, gap: str) -> Iterator[tuple[float, float, int]]:
        if at >= len(self.runs) or len(self.runs[at].digits) > 2 or not _only_parts(gap):
            return
        whole = int(self.runs[at].digits)
        if whole < 60:
            yield whole, 1.0, at + 1
            for value, unit, end, _ in self._fractions(at):
                yield whole + value, unit, end

    def _says_so(self, first: int, end: int) -> bool:
        before = self.runs[first - 1].end if first else 0
        start = self.runs[first].start
        after = self.gap(end - 1)[:BESIDE]
        inside = self.text[max(before, start - BESIDE) : self.runs[end - 1].end]
        return _SIDE.search(inside + after) is not None


def _only_parts(gap: str) -> bool:
    """Tell whether nothing stands in a gap but marks, and words for degrees, minutes and seconds."""
    return len(gap) <= LONGEST_GAP and all(word in _PARTS for word in _LETTERS.findall(gap.casefold()))


_VALUES |= {word: 10 * value for value, word in enumerate(_TENS, 2)}


_WORD = rf"(?:{'|'.join(_VALUES)}|hundred)"


_NUMBER = re.compile(
    rf"\b{_WORD}(?:(?:\s+and)?[\s-]+{_WORD})*(?:\s+(?:point|decimal)(?:[\s-]+{_WORD})+)?\b", re.I
)


_POINT = re.compile(r"\s+(?:point|decimal)\s+", re.IGNORECASE)


_SPELLED_PARTS = re.compile(r"[\s-]+")


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
    for word in _SPELLED_PARTS.split(words):
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
