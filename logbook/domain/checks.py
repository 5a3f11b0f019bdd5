"""Checks that several nouns share; each raises InvalidValueError with one sentence a person can act on."""

import re
from collections.abc import Iterable

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import zone_written
from logbook.domain.zones import zone_of

LONGEST_TEXT = 200_000  # characters; a journal of a long day has about 10,000
LONGEST_TITLE = 200  # characters
LARGEST_SHOWN = 10**300  # beyond it an integer no longer fits a float

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def check_title(title: str, noun: str) -> None:
    """Refuse an empty, overlong or multi-line title."""
    if not title.strip():
        raise InvalidValueError(f"A {noun} needs a title; this one is empty.")
    if len(title) > LONGEST_TITLE or "\n" in title:
        raise InvalidValueError(
            f"A {noun}'s title is one line of up to {LONGEST_TITLE} characters; put the rest in a note."
        )
    check_text(title, f"title of a {noun}")


def check_names(names: Iterable[str], what: str) -> None:
    """Refuse a name that is empty, overlong or more than one line."""
    for name in names:
        if not name.strip():
            raise InvalidValueError(f"The {what} is empty; type at least one letter.")
        if len(name) > LONGEST_TITLE or "\n" in name:
            raise InvalidValueError(f"The {what} is one line of up to {LONGEST_TITLE} characters.")
        check_text(name, what)


def check_text(text: str | None, what: str) -> None:
    """Refuse text with control characters (they break terminals and pages) or of absurd length."""
    if text is None:
        return
    if _CONTROL.search(text):
        raise InvalidValueError(f"The {what} contains a control character; type it again as plain text.")
    if len(text) > LONGEST_TEXT:
        raise InvalidValueError(f"The {what} is longer than {LONGEST_TEXT} characters; split it.")


def check_range(value: float | None, what: str, low: float, high: float, unit: str = "") -> None:
    """Refuse a number that is not finite or is outside [low, high]."""
    if value is None:
        return
    if not low <= value <= high:  # also refuses what is not a number
        shown = f"{value:g}" if abs(value) < LARGEST_SHOWN else "given"
        raise InvalidValueError(f"The {what} {shown}{unit} is outside {low:g} to {high:g}{unit}.")


def check_place(latitude_deg: float | None, longitude_deg: float | None, noun: str) -> None:
    """Refuse half a position, or one that is not on the earth."""
    if (latitude_deg is None) != (longitude_deg is None):
        raise InvalidValueError(f"A {noun}'s position needs both a latitude and a longitude.")
    check_range(latitude_deg, "latitude", -90, 90, "°")
    check_range(longitude_deg, "longitude", -180, 180, "°")


def check_zone(zone: str | None) -> None:
    """Refuse a zone that is not as the book stores it: of the IANA database, or an offset such as +02:00."""
    if zone is None:
        return
    try:
        zone_of(zone)
    except InvalidValueError:
        meant = zone_written(zone)
        raise InvalidValueError(f'"{zone}" is not a time zone; write it like {meant}.') from None
