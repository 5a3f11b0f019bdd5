"""Marked numbers: what dials show, the exact power of two behind it, and how people write it.

One surprising decision: exposure times stay exact `Fraction`s as written (1/125), and only arithmetic sees
the power of two behind the mark (1/128), so nothing a person or a camera wrote is rounded in storage.
"""

import math
import re
from fractions import Fraction
from functools import lru_cache

from logbook.craft.errors import CraftValueError, shown
from logbook.craft.series import APERTURES, APERTURES_HALF, EXPOSURES, EXPOSURES_HALF, ISOS

APERTURE_MIN, APERTURE_MAX = 0.5, 512.0  # f-numbers; fastest lens to pinhole (common practice, no source)
EXPOSURE_MIN_S, EXPOSURE_MAX_S = Fraction(1, 1_000_000), Fraction(86_400)  # s; a day is the longest
ISO_MIN, ISO_MAX = 1, 10_000_000  # ISO arithmetic speed; wider than any dial
NEAR_MARK_STOPS = 1 / 12  # stops; a quarter of the way to the next mark: this near, a number is that mark
EXACT_MARK_STOPS = 1 / 36  # stops; how far a camera-written power of two may be off

_TEXT_MAX = 40  # characters; nothing anybody writes for one number is longer
_VULGAR = {"½": "1/2", "⅓": "1/3", "¼": "1/4", "⅕": "1/5", "⅙": "1/6", "⅛": "1/8", "⅒": "1/10"}
_NUMBER = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_SECONDS = r"(?:s|sec|secs|seconds?|\"|″|'')"
_CLOCK = re.compile(
    rf"(?:(?P<h>{_NUMBER})\s*(?:h|hours?))?\s*(?:(?P<m>{_NUMBER})\s*(?:m|min|mins|minutes?|'|′))?\s*"
    rf"(?:(?P<s>{_NUMBER})\s*{_SECONDS})?"
)
_RATIO = re.compile(rf"(?P<top>{_NUMBER})\s*/\s*(?P<bottom>{_NUMBER})\s*{_SECONDS}?")
_APERTURE = re.compile(rf"(?:[fƒ]\s*/?\s*)?(?P<n>{_NUMBER})")
_ISO = re.compile(r"(?:iso\s*)?(?P<n>[0-9]+)")


def checked_aperture(f_number: float) -> float:
    """Return the f-number as a float; raise CraftValueError unless it lies in 0.5..512."""
    if not APERTURE_MIN <= f_number <= APERTURE_MAX:  # also refuses nan
        raise CraftValueError(
            f"Aperture f/{f_number:g} is not possible; write an f-number from 0.5 to 512, such as f/8."
        )
    return float(f_number)


def checked_exposure(exposure_s: Fraction | float) -> Fraction:
    """Return the time in s as an exact rational; raise CraftValueError unless in 1/1000000 s..24 h."""
    if not EXPOSURE_MIN_S <= exposure_s <= EXPOSURE_MAX_S:
        raise CraftValueError(
            f"Shutter speed {_compact(exposure_s)} s is not possible; write one from 1/1000000 s to 24 h."
        )
    return Fraction(exposure_s)


def checked_iso(iso: float) -> int:
    """Return the ISO speed as a whole number; raise CraftValueError unless it is one in 1..10000000."""
    if not ISO_MIN <= iso <= ISO_MAX or iso != int(iso):
        raise CraftValueError(f"ISO {_compact(iso)} is not possible; write a whole number such as ISO 200.")
    return int(iso)


def exact_aperture(f_number: float) -> float:
    """Return the power of two behind a marked f-number (22 -> 22.627); far from any mark, the number itself.

    Third-stop marks win over half-stop marks, so f/1.2 is 1.26 and f/13 is 12.70. Raises CraftValueError.
    """
    mark = marked_aperture(f_number)
    return APERTURES.get(mark) or APERTURES_HALF.get(mark) or mark


@lru_cache(maxsize=1024)  # the nearest mark is looked for among all
def exact_exposure_s(exposure_s: Fraction | float) -> float:
    """Return the power of two behind a marked time in s (1/30 -> 1/32); far from any mark, itself."""
    mark = marked_exposure(exposure_s)
    return EXPOSURES.get(mark) or EXPOSURES_HALF.get(mark) or float(mark)


def exact_iso(iso: float) -> float:
    """Return the exact speed behind a marked ISO (125 -> 125.99); far from any mark, the number itself."""
    number = checked_iso(iso)
    if number in ISOS:
        return ISOS[number]
    nearest = min(ISOS.values(), key=lambda exact: abs(math.log2(number / exact)))
    return nearest if abs(math.log2(number / nearest)) <= NEAR_MARK_STOPS else float(number)


def nearest_aperture(f_number: float) -> float:
    """Return the third-stop mark nearest in stops, however far: what to set on a lens."""
    number = checked_aperture(f_number)
    return min(APERTURES.items(), key=lambda pair: abs(math.log2(number / pair[1])))[0]


def marked_aperture(f_number: float) -> float:
    """Return the marked f-number (22.63 -> 22); far from any mark, the number itself."""
    number = checked_aperture(f_number)
    if number in APERTURES or number in APERTURES_HALF:
        return number
    gaps = {
        n: min(abs(2 * math.log2(number / n)), abs(2 * math.log2(number / APERTURES[n]))) for n in APERTURES
    }
    mark = min(gaps, key=gaps.__getitem__)
    return mark if gaps[mark] <= NEAR_MARK_STOPS else number


@lru_cache(maxsize=4096)  # a camera has few times, and each is asked for again and again
def marked_exposure(exposure_s: Fraction | float) -> Fraction:
    """Return the time in s as photographers write it: 10/1250 and 1/124 are 1/125, 1/70 stays 1/70.

    Whole seconds stay as they are, because a clock measured them; only 16 and 32 are the dial's 15 and 30.
    """
    time_s = checked_exposure(exposure_s)
    if time_s in EXPOSURES or time_s in EXPOSURES_HALF:
        return time_s
    if time_s in (16, 32):
        return Fraction(15 if time_s == 16 else 30)
    if time_s > 30 or time_s.denominator == 1:
        return time_s
    gaps = {mark: (_apart(time_s, mark), _apart(time_s, exact)) for mark, exact in EXPOSURES.items()}
    mark = min(gaps, key=lambda candidate: min(gaps[candidate]))
    to_mark, to_exact = gaps[mark]
    return mark if to_mark <= NEAR_MARK_STOPS or to_exact <= EXACT_MARK_STOPS else time_s


def exposure_text(exposure_s: Fraction | float) -> str:
    """Return a time as people write it: `1/125 s`, `0.6 s`, `2 s`, `2 min 8 s`, `1 h 4 min`."""
    time_s = marked_exposure(exposure_s)
    if time_s >= 30:
        whole = round(marked_exposure(round(time_s)))  # 31.9 s is the dial's 30, as 32 s is
        parts = ((whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s"))
        return " ".join(f"{count} {unit}" for count, unit in parts if count)
    if time_s not in EXPOSURES and time_s not in EXPOSURES_HALF:
        time_s = marked_exposure(_readable(time_s))  # rounding may bring it near a mark: then it is that mark
    if time_s < 1 and time_s.numerator == 1:
        return f"1/{time_s.denominator} s"
    return f"{number_text(float(time_s))} s"


def ended_exposure_text(exposure_s: Fraction) -> str:
    """Return a time as people write it; one cut to an end of the scale says so: `24 h or more`."""
    ends = {min(EXPOSURES): " or less", EXPOSURE_MAX_S: " or more"}
    return exposure_text(exposure_s) + ends.get(exposure_s, "")


def aperture_text(f_number: float) -> str:
    """Return an f-number as people write it: `f/8`, `f/5.6`, `f/0.95`."""
    mark = marked_aperture(f_number)
    return f"f/{round(mark, 2 if mark < 1 else 1):g}"


def written_exposure(exposure_s: Fraction | float) -> str:
    """Return a time as it was written down, near a mark or not: `1/120 s`, `1/1848 s`, `0.6 s`, `31.9 s`.

    Raises CraftValueError for a time that cannot be.
    """
    time_s = checked_exposure(exposure_s)
    if time_s >= 60:
        whole = round(time_s)
        parts = ((whole // 3600, "h"), (whole // 60 % 60, "min"), (whole % 60, "s"))
        return " ".join(f"{count} {unit}" for count, unit in parts if count)
    one_over = Fraction(1, max(1, round(1 / time_s)))
    is_part = one_over < 1 and (time_s.numerator == 1 or time_s < Fraction(1, 10))
    return f"1/{one_over.denominator} s" if is_part else f"{number_text(float(time_s))} s"


def written_aperture(f_number: float) -> str:
    """Return an f-number as it was written down, near a mark or not: `f/3.6`, `f/8`, `f/0.95`.

    A power of two to many decimals is how files write a mark: 5.656854 is `f/5.6`. Raises CraftValueError.
    """
    number = checked_aperture(f_number)
    plain = round(number, 2)
    if not math.isclose(plain, number, abs_tol=1e-4):
        mark = marked_aperture(number)
        exact = APERTURES.get(mark) or APERTURES_HALF.get(mark) or mark
        plain = mark if math.isclose(exact, number, rel_tol=1e-4) else plain
    return f"f/{plain:g}"


def iso_text(iso: float) -> str:
    """Return a speed as people write it: `ISO 200`."""
    return f"ISO {checked_iso(iso)}"


def number_text(number: float, places: int = 2) -> str:
    """Return a finite number for a line of working: at most `places` decimals, a true minus sign."""
    body = f"{abs(number):.{places}f}"
    body = body.rstrip("0").rstrip(".") if places else body
    return f"−{body}" if number < 0 and body != "0" else body


def digits_text(number: float, digits: int = 3) -> str:
    """Return a positive number to so many digits that count, without an exponent: 0.0756, 31.2, 1240."""
    if number <= 0:
        return number_text(number)
    return number_text(number, max(0, digits - 1 - math.floor(math.log10(number))))


def range_text(low: float, high: float, unit: str) -> str:
    """Return a range in as many decimals as it takes to tell its ends apart: `0.308 m to 0.312 m`."""
    differ = (n for n in range(2, 7) if number_text(low, n) != number_text(high, n))
    places = next(differ, 2)
    return f"{number_text(low, places)} {unit} to {number_text(high, places)} {unit}"


def counted_stops(stops: float) -> str:
    """Return a number of stops for a sentence: `1 stop`, `2.5 stops`."""
    body = number_text(stops)
    return f"{body} stop" if body in ("1", "−1") else f"{body} stops"


def stops_text(stops: float, *, signed: bool = True) -> str:
    """Return stops to the nearest third or half: `+1⅓`, `−⅔`, `0`; unsigned leaves the plus away."""
    if not math.isfinite(stops):
        raise CraftValueError("A number of stops must be finite; write stops such as 1.5.")
    whole = math.floor(abs(stops))
    parts = ((0.0, ""), (1 / 3, "⅓"), (0.5, "½"), (2 / 3, "⅔"), (1.0, ""))
    value, glyph = min(parts, key=lambda part: abs(abs(stops) - whole - part[0]))
    body = f"{whole + int(value) or ''}{glyph}" or "0"
    sign = "" if body == "0" else "−" if stops < 0 else "+" if signed else ""
    return sign + body


def parse_exposure(text: str) -> Fraction:
    """Read a time in s from `1/125`, `1/125 s`, `0.6s`, `2 min 8 s` or `2m8s`; else CraftValueError.

    A bare whole number above 30 is refused: some dials mark 1/125 s as 125, so it could mean either.
    """
    plain = _plain(text)
    for glyph, ratio in _VULGAR.items():
        plain = plain.replace(glyph, f" {ratio}").strip()  # the space keeps 1½ from reading as 11/2
    if found := _RATIO.fullmatch(plain):
        top, bottom = Fraction(found["top"]), Fraction(found["bottom"])
        if not bottom:
            raise CraftValueError(f"Shutter speed {shown(text)} divides by zero; write one such as 1/125 s.")
        return checked_exposure(top / bottom)
    if re.fullmatch(_NUMBER, plain):
        if Fraction(plain) > 30:
            raise CraftValueError(
                f"Shutter speed {shown(text)} could mean 1/{plain} s or {plain} s; write the one you mean."
            )
        return checked_exposure(Fraction(plain))
    if plain and (found := _CLOCK.fullmatch(plain)):
        hours, minutes, seconds = (Fraction(found[unit] or 0) for unit in "hms")
        return checked_exposure(hours * 3600 + minutes * 60 + seconds)
    raise CraftValueError(
        f"Shutter speed {shown(text)} is not understood; write one such as 1/125 s, 0.6 s or 2 min 8 s."
    )


def parse_aperture(text: str) -> float:
    """Read an f-number from `f/8`, `8`, `f8` or `F/5.6`; raise CraftValueError otherwise."""
    found = _APERTURE.fullmatch(_plain(text))
    if not found:
        raise CraftValueError(f"Aperture {shown(text)} is not understood; write an f-number such as f/8.")
    return checked_aperture(float(found["n"]))


def parse_iso(text: str) -> int:
    """Read a speed from `200` or `ISO 200`; raise CraftValueError otherwise."""
    found = _ISO.fullmatch(_plain(text))
    if not found:
        raise CraftValueError(f"ISO speed {shown(text)} is not understood; write one such as ISO 200.")
    return checked_iso(int(found["n"]))


def _apart(time_s: Fraction, other_s: Fraction | float) -> float:
    """Stops between two times, without sign."""
    return abs(math.log2(float(time_s) / float(other_s)))


def _readable(time_s: Fraction) -> Fraction:
    """A time below 30 s in the digits people write: 1/70, 0.28, 1.7; 1/n only where it is nearly the time."""
    digits = time_s if time_s < Fraction(1, 10) else round(time_s, 1 if time_s >= 1 else 2)
    one_over = Fraction(1, max(1, round(1 / digits)))
    near = digits < Fraction(1, 10) or (digits < Fraction(3, 10) and _apart(digits, one_over) < 0.05)
    return one_over if near else digits


def _plain(text: str) -> str:
    """Lower case, single spaces, decimal point; empty when longer than anybody writes one number."""
    if len(text) > _TEXT_MAX:
        return ""
    return re.sub(r"(?<=[0-9]),(?=[0-9])", ".", " ".join(text.lower().replace("⁄", "/").split()))


def _compact(number: Fraction | float) -> str:
    """A refused number for a message; a rational may be too large for a float."""
    return f"{number:g}" if isinstance(number, float) else str(number)[:_TEXT_MAX]
