"""How wrong a camera's clock is, as people say it: `+420`, `63 minutes fast`, `an hour slow`, `1h3`.

One surprising decision: without a direction a number is what to add to the camera's time, as `+420` is; with
one, a figure behind hours is minutes and one behind minutes seconds: 1h3 is one hour three minutes.
"""

import re
from fractions import Fraction

from logbook.craft.minutes import length_text
from logbook.domain.errors import InvalidValueError

LONGEST_S = 40 * 366 * 86_400  # s; a camera whose battery died shows the year of its making
_TEXT_MAX = 80  # characters

_UNITS_S = {"d": 86_400, "h": 3600, "m": 60, "s": 1}
_NEXT = {"d": "h", "h": "m", "m": "s"}  # the unit of a figure that follows without one
_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60}
_WORDS = dict(zip(_ONES, range(1, 10), strict=True)) | _TENS
_WORDS |= {f"{ten}-{one}": _TENS[ten] + _WORDS[one] for ten in _TENS for one in _ONES}
_WORDS |= {"a": 1, "an": 1, "ten": 10, "eleven": 11, "twelve": 12, "fifteen": 15}
_WORD = re.compile(rf"\b({'|'.join(sorted(_WORDS, key=len, reverse=True))})\b(?=[\s-]*[a-z])", re.IGNORECASE)
_AND_A_HALF = re.compile(r"\band\s+an?\s+(half|quarter)(?=\s+(?:h|m|d))", re.IGNORECASE)
_SLOW = r"slow|behind|late|back"
_FAST = r"fast|ahead|early|forward"
_DIRECTION = re.compile(rf"\b(?:too\s+)?(?:(?P<slow>{_SLOW})|(?P<fast>{_FAST}))\b(?:\s+by\b)?", re.IGNORECASE)
_FILLING = re.compile(
    r"\b(?:it|is|was|it's|the|camera|clock|runs?|running|about|around|exactly|by|of|and|add|plus)\b|,(?=\s)",
    re.IGNORECASE,
)
_RIGHT = re.compile(
    r"(?:(?:it's|it|is|was|the|camera|clock)\s+)*"
    r"(?:right|correct|exact|exactly right|on time|spot on|accurate|fine|ok|in sync|no correction)[.!]?",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"([0-9]{1,4}):([0-5][0-9])(?::([0-5][0-9]))?(?:\s?h)?")
_PART = re.compile(
    r"\s*(?P<n>[0-9]{1,9}(?:[.,][0-9]{1,3})?)?\s*(?P<half>½|¼|¾|half(?:\s+an?)?|quarter(?:\s+an?)?)?"
    r"\s*(?P<unit>days?|d|hours?|hrs?|h|minutes?|mins?|min\.|m|'|′|seconds?|secs?|sec\.|s|\"|″)?(?![a-z])",
    re.IGNORECASE,
)
_PARTS_OF = {"½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4)}
_PARTS_OF |= {"half": Fraction(1, 2), "quarter": Fraction(1, 4)}


def correction_written(text: str) -> int:
    """Return the seconds to add to the camera's own time so that it shows the place's: slow is positive.

    Raises InvalidValueError for what is not a correction, and where sign and word contradict each other.
    """
    plain = " ".join(text.replace("−", "-").replace("’", "'").split())
    if len(plain) > _TEXT_MAX:
        raise InvalidValueError(_no_correction(plain))
    if _RIGHT.fullmatch(plain):
        return 0
    plain = _AND_A_HALF.sub(r"\1", plain).rstrip(".! ")
    found = list(_DIRECTION.finditer(plain))
    rest = _FILLING.sub(" ", _DIRECTION.sub(" ", plain)).strip()
    sign = rest[:1] if rest[:1] in ("+", "-") else ""
    seconds = _duration_s(rest[len(sign) :].strip(), is_clock=bool(found or sign))
    if seconds is None or len(found) > 1 or not 0 <= seconds <= LONGEST_S:
        raise InvalidValueError(_no_correction(plain))
    is_fast = bool(found and found[0]["fast"])
    if sign and found and is_fast != (sign == "-"):
        raise InvalidValueError(
            f'"{plain}" contradicts itself: + is for a slow clock, - for a fast one; write only 7 min slow.'
        )
    return -seconds if is_fast or sign == "-" else seconds


def duration_written(text: str) -> int:
    """Return the seconds of a duration, where its direction is known: `420`, `7 min`, `1:03`, `an hour`."""
    plain = _AND_A_HALF.sub(r"\1", " ".join(text.replace("−", "-").split()))
    rest = _FILLING.sub(" ", plain).strip()
    sign = -1 if rest[:1] == "-" else 1
    seconds = _duration_s(rest[rest[:1] in ("+", "-") :].strip(), is_clock=True)
    if seconds is None or seconds > LONGEST_S or len(plain) > _TEXT_MAX:
        raise InvalidValueError(f'"{plain[:60]}" is not a duration; write seconds (420), 7 min or 1 h 3 min.')
    return sign * seconds


def correction_words(add_s: int) -> str:
    """Return how wrong a clock is by the seconds to add to its time: `7 min slow`, `42 s fast`, `right`."""
    return f"{length_text(abs(add_s))} {'slow' if add_s > 0 else 'fast'}" if add_s else "right"


def correction_text(add_s: int) -> str:
    """Return what a correction means, as a sentence: how wrong the clock was, and what is done about it."""
    if not add_s:
        return "The clock was right; its times stay as they are."
    done = "added to" if add_s > 0 else "taken off"
    return f"The clock was {correction_words(add_s)}: {length_text(abs(add_s))} will be {done} its times."


def _duration_s(text: str, *, is_clock: bool) -> int | None:
    """The seconds of `1 h 3`, `1:03`, `half an hour`, `90`; None where the text is no duration."""
    if is_clock and (found := _CLOCK.fullmatch(text)):
        return int(found[1]) * 3600 + int(found[2]) * 60 + int(found[3] or 0)
    text = re.sub(r"^an?\s+(?=half|quarter)", "", text, flags=re.IGNORECASE)
    text = re.sub(r"(hours?)\s+an?\s+(half|quarter)$", r"\1 \2", text, flags=re.IGNORECASE)
    text = _WORD.sub(lambda one: str(_WORDS[one[1].lower()]), text)
    text = re.sub(r"\b(half|quarter)\s+1\b", r"\1", text, flags=re.IGNORECASE)
    total, unit, at = Fraction(0), "", 0
    while at < len(text):
        found = _PART.match(text, at)
        if found is None or not (found["n"] or found["half"]):
            return None
        count = Fraction((found["n"] or "0").replace(",", "."))
        part = _PARTS_OF[found["half"].lower().split()[0]] if found["half"] else Fraction(0)
        named = _unit(found["unit"])
        if found["half"] and not named and not unit:
            return None
        if found["half"] and not named and not found["n"]:
            total += part * _UNITS_S[unit]  # an hour and a half
        else:
            following = named or (_NEXT.get(unit, "") if unit else "s")
            if not following or (unit and _UNITS_S[following] >= _UNITS_S[unit]):
                return None
            total += (count + part) * _UNITS_S[following]
            unit = following
        at = found.end()
        at += len(text[at:]) - len(text[at:].lstrip(" "))
    return round(total) if text else None


def _unit(text: str | None) -> str:
    return {"'": "m", "′": "m", '"': "s", "″": "s"}.get(text, text[0].lower()) if text else ""


def _no_correction(text: str) -> str:
    shown = text if len(text) <= 60 else f"{text[:60]}…"
    return f'"{shown}" is not a correction; write 7 min slow, 1 h 3 min fast, or the seconds to add (+420).'
