"""Measures as people type them for the craft's arithmetic, and the craft's refusals as wrong use.

One surprising decision: a filter whose strength nobody can tell is refused here, though a plan or a keeper
may hold one, because arithmetic with an unknown number has no answer.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from fractions import Fraction
from typing import TYPE_CHECKING

from logbook.craft.errors import CraftValueError
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.faces import typed
from logbook.sky.errors import SkyValueError

if TYPE_CHECKING:
    from logbook.craft.exposure import Settings
    from logbook.craft.filter_types import Filter
    from logbook.craft.optics import Sensor

METRES = {"": 1.0, "m": 1.0, "km": 1000.0, "cm": 0.01, "mm": 0.001, "ft": 0.3048}  # unit to m
SPEEDS = {"": 1.0, "m/s": 1.0, "km/h": 1 / 3.6}  # unit to m/s

_STOPS = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?P<whole>\d+)\s+)?(?P<top>\d+(?:\.\d+)?)(?:/(?P<bottom>[1-9]\d*))?"
)
_SENSOR = re.compile(r"(\d+(?:\.\d+)?)\s*(?:mm)?\s*[x×*]\s*(\d+(?:\.\d+)?)\s*(?:mm)?")
_MEASURE = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*([a-z/]*)")


@contextmanager
def plainly() -> Iterator[None]:
    """Turn what the craft or the sky refuses into wrong use, its sentence unchanged."""
    try:
        yield
    except (CraftValueError, SkyValueError) as error:
        raise InvalidValueError(str(error)) from None


def needed(value: str | None, option: str, example: str) -> str:
    """Return an option's text; WrongUseError where it was not given."""
    if value is None:
        raise WrongUseError(f"This needs {option}, such as {option} {example}.")
    return value


def stops(text: str | None) -> float:
    """Read a number of stops as `+1`, `-2/3`, `1 1/3` or `-0.7`; not given is 0."""
    if text is None:
        return 0.0
    plain = text.strip().lower().replace("−", "-").replace(",", ".").removesuffix("stops").removesuffix("ev")
    found = _STOPS.fullmatch(plain.strip())
    if not found:
        raise InvalidValueError(f'"{text}" is not a number of stops; write one such as +1, -2/3 or 0.7.')
    amount = Fraction(found["top"]) / int(found["bottom"] or 1) + int(found["whole"] or 0)
    return float(-amount if found["sign"] == "-" else amount)


def sensor(text: str | None) -> "Sensor":
    """Read a sensor's size in mm as `36x24`; not given is 36x24."""
    from logbook.craft.optics import FULL_FRAME, Sensor

    if text is None:
        return FULL_FRAME
    found = _SENSOR.fullmatch(text.strip().lower().replace(",", "."))
    if not found:
        raise InvalidValueError(f'"{text}" is not a sensor size; write width x height in mm, such as 36x24.')
    with plainly():
        return Sensor(float(found[1]), float(found[2]))


def measure(text: str | None, what: str, units: Mapping[str, float], example: str) -> float | None:
    """Read a number with one of the units; not given is None."""
    if text is None:
        return None
    found = _MEASURE.fullmatch(text.strip().lower().replace(",", "."))
    if not found or found[2] not in units:
        raise InvalidValueError(f'"{text}" is not a {what}; write one such as {example}.')
    return float(found[1]) * units[found[2]]


def metres(text: str | None, what: str) -> float | None:
    """Read a length as `3`, `3 m`, `40 cm`, `1.2 km` or `10 ft`, in m."""
    return measure(text, what, METRES, "3 m or 40 cm")


def focal_mm(text: str) -> float:
    """Read a focal length in mm."""
    from logbook.craft.optics import checked_focal

    with plainly():
        return checked_focal(float(typed.settings(focal=text)["focal_mm"]))


def filters(text: str | None) -> "tuple[Filter, ...] | None":
    """Read filters of known strength; not given is none, `unknown` is None."""
    from logbook.craft.filters import parse_stack

    with plainly():
        stack = () if text is None else parse_stack(text)
    for one in stack or ():
        if one.low_stops is None:
            raise InvalidValueError(
                f'The strength of the filter "{one.name}" is unknown; write one such as nd8, 3 stops or pol.'
            )
    return stack


def settings(
    f_number: str | None,
    exposure: str | None,
    iso: str | None,
    stack: "tuple[Filter, ...] | None" = (),
) -> "Settings":
    """Read the settings of a picture or a reading; the ISO is 100 where it was not given."""
    from logbook.craft.exposure import Settings

    read = typed.settings(
        f_number=needed(f_number, "--f-number", "8"),
        exposure=needed(exposure, "--exposure", "1/125"),
        iso=iso,
    )
    with plainly():
        return Settings(read["f_number"], read["exposure_s"], read.get("iso", 100), stack)
