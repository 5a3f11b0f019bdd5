"""Kinds of number, and of what is counted and measured."""

import math
import re
from fractions import Fraction
from typing import Any

from logbook.craft.errors import CraftValueError
from logbook.domain.errors import InvalidValueError, LogbookError
from logbook.domain.horizon import SEA, SEA_WORD, Horizon, horizon_kept, horizon_written
from logbook.domain.kinds.kind import DocumentError, Kind, Schema, Stored, parsed, wrong
from logbook.sky.observer import HORIZON_MAX_DEG, HORIZON_MIN_DEG

_THOUSANDS = re.compile(r"(?<=[0-9])[.,'’\s](?=[0-9]{3}(?![0-9]))")  # the sign that groups figures
LARGEST_WHOLE = 2**63 - 1  # SQLite's integers have 64 bits


class Truth(Kind[bool]):
    """Yes or no."""

    stored = Stored.TRUTH

    @property
    def schema(self) -> Schema:
        """True or false."""
        return {"type": "boolean"}

    def from_json(self, data: Any, where: str) -> bool:
        """Return true or false, and take no number for it."""
        if not isinstance(data, bool):
            raise wrong(where, data, "true or false")
        return data


class Whole(Kind[int]):
    """A whole number that a book can hold."""

    stored = Stored.WHOLE

    @property
    def schema(self) -> Schema:
        """A whole number of 64 bits."""
        return {"type": "integer", "minimum": -LARGEST_WHOLE, "maximum": LARGEST_WHOLE}

    def from_json(self, data: Any, where: str) -> int:
        """Return a whole number."""
        if isinstance(data, bool) or not isinstance(data, int):
            raise wrong(where, data, "a whole number")
        if abs(data) > LARGEST_WHOLE:
            raise DocumentError(where, "the number is larger than a book can hold.")
        return data

    def typed(self, text: str) -> int:
        """Read a whole number."""
        if not re.fullmatch(r"\s*[+-]?[0-9]{1,18}\s*", text):
            raise InvalidValueError(f'"{text}" is not a whole number; write one, such as 24.')
        return int(text)


class Tries(Whole):
    """How many frames were tried."""

    def typed(self, text: str) -> int:
        """Read a number of tries as `14`, `~20` or `about 20`."""
        from logbook.domain.written.counts import count_written

        count = count_written(text)
        if count is None:
            raise InvalidValueError(f'"{text}" is not a number of tries; write one such as 14 or about 20.')
        return count


class Iso(Whole):
    """An ISO setting."""

    def typed(self, text: str) -> int:
        """Read an ISO setting as cameras mark it or as sheets write numbers: 1.600, 100,0."""
        from logbook.craft.marks import parse_iso

        try:
            return parse_iso(re.sub(r"(?<=[0-9])[.,]0{1,2}$", "", _THOUSANDS.sub("", text.strip())))
        except CraftValueError as error:
            raise InvalidValueError(str(error)) from None


class Number(Kind[float]):
    """A finite number; its unit stands in the name of its field."""

    stored = Stored.REAL

    @property
    def schema(self) -> Schema:
        """Any number."""
        return {"type": "number"}

    def from_json(self, data: Any, where: str) -> float:
        """Return a finite number."""
        if isinstance(data, bool) or not isinstance(data, int | float):
            raise wrong(where, data, "a number")
        try:
            number = float(data)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise DocumentError(where, "the number is larger than a book can hold.")
        return number

    def typed(self, text: str) -> float:
        """Read a plain number."""
        return number_typed(text, "number")


class Bearing(Number):
    """Degrees clockwise from true north."""

    def typed(self, text: str) -> float:
        """Read a bearing as degrees or as a compass word."""
        from logbook.domain.position import parse_bearing

        return parse_bearing(text)


class Aperture(Number):
    """An f-number."""

    def typed(self, text: str) -> float:
        """Read an aperture as `8` or `f/8`."""
        from logbook.craft.marks import parse_aperture

        try:
            return parse_aperture(text)
        except CraftValueError as error:
            raise InvalidValueError(str(error)) from None


class Measured(Number):
    """A number that may be typed with its unit."""

    def __init__(self, what: str, unit: str) -> None:
        self.what, self.unit = what, unit

    def typed(self, text: str) -> float:
        """Read a number, with or without its unit."""
        return number_typed(text, self.what, self.unit)


class FocalLength(Measured):
    """A focal length in mm, which no lens has below 5 to a thousandth: 1.200 is twelve hundred."""

    def typed(self, text: str) -> float:
        """Read a focal length, with or without its unit."""
        plain = re.sub(r"(?i)\s?millimet(?:er|re)s?$", "", text.strip())
        if re.match(r"[1-4][.,][0-9]{3}(?![0-9])|[0-9]{1,2}['’\s][0-9]{3}(?![0-9])", plain):
            plain = _THOUSANDS.sub("", plain)
        return super().typed(plain)


def number_typed(text: str, what: str, unit: str = "") -> float:
    """Read a plain number, with or without its unit."""
    plain = text.strip().lower().removesuffix(unit).strip().replace(",", ".") if unit else text.strip()
    try:
        number = float(plain)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise InvalidValueError(f'"{text}" is not a number; write the {what} as one, such as 24.')
    return number


class Rational(Kind[Fraction]):
    """An exact rational number, such as an exposure time in seconds."""

    stored = Stored.CODED
    _SHAPE = "-?[0-9]{1,60}/[0-9]{1,60}"

    @property
    def schema(self) -> Schema:
        """Numerator and denominator."""
        return {"type": "string", "pattern": f"^{self._SHAPE}$"}

    def coded(self, value: Fraction) -> str:
        """Return numerator and denominator."""
        return f"{value.numerator}/{value.denominator}"

    def decoded(self, text: str) -> Fraction:
        """Return the exact value."""
        return Fraction(text)

    def to_json(self, value: Fraction) -> str:
        """Return numerator and denominator, so that nothing is rounded."""
        return self.coded(value)

    def to_answer(self, value: Fraction) -> float:
        """Return the decimal."""
        return float(value)

    def from_json(self, data: Any, where: str) -> Fraction:
        """Return the exact value."""
        return parsed(self._SHAPE, _fraction, data, where, 'a fraction such as "1/125"')

    def typed(self, text: str) -> Fraction:
        """Read an exposure time as `1/125`, `0.6s` or `2 min 8 s`."""
        from logbook.craft.marks import parse_exposure

        try:
            return parse_exposure(text)
        except CraftValueError as error:
            raise InvalidValueError(str(error)) from None


def _fraction(text: str) -> Fraction:
    over, _, under = text.partition("/")
    if not int(under):
        raise ValueError
    return Fraction(int(over), int(under))


class HorizonDeg(Kind[Horizon]):
    """A viewpoint's horizon: degrees of skyline, or the sea's."""

    stored = Stored.CODED

    @property
    def schema(self) -> Schema:
        """Degrees, or the word."""
        return {
            "anyOf": [
                {"type": "number", "minimum": HORIZON_MIN_DEG, "maximum": HORIZON_MAX_DEG},
                {"const": SEA_WORD},
            ]
        }

    def decoded(self, text: str) -> Horizon:
        """Return the horizon of degrees in text, or of the word."""
        return horizon_kept(text)

    def to_json(self, value: Horizon) -> float | str:
        """Return the degrees, or the word."""
        return value.plain

    def from_json(self, data: Any, where: str) -> Horizon:
        """Return a horizon that a sun rises over."""
        if data == SEA_WORD:
            return SEA
        if isinstance(data, str):
            raise wrong(where, data, f'degrees or "{SEA_WORD}"')
        try:
            return Horizon(NUMBER.from_json(data, where))
        except LogbookError as error:
            raise DocumentError(where, str(error)) from None

    def typed(self, text: str) -> Horizon:
        """Read a horizon as degrees of skyline, such as `6`, or `sea`."""
        return horizon_written(text)


TRUTH = Truth()
WHOLE = Whole()
TRIES = Tries()
ISO = Iso()
NUMBER = Number()
BEARING = Bearing()
APERTURE = Aperture()
FOCAL = FocalLength("focal length", "mm")
RATIONAL = Rational()
HORIZON = HorizonDeg()
