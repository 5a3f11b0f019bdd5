"""Camera settings in XMP, as the Exif tags that they mirror.

One surprising decision: nothing is judged here. The values are put under the names and into the form of Exif
tags, so that the very readers that judge a camera's own tags judge these too. Source: XMP specification part
2 and CIPA DC-010 (Exif metadata for XMP) for properties and forms; MWG guidelines 2.0 for the dates.
"""

import re
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

from logbook.intake.exif.tags import ExifRational
from logbook.intake.exif.times import minutes_east

_EXIF, _EXIF_EX = "http://ns.adobe.com/exif/1.0/ ", "http://cipa.jp/exif/1.0/ "
_TIFF, _AUX = "http://ns.adobe.com/tiff/1.0/ ", "http://ns.adobe.com/exif/1.0/aux/ "
_XMP, _PHOTOSHOP = "http://ns.adobe.com/xap/1.0/ ", "http://ns.adobe.com/photoshop/1.0/ "
FLASH, FIRED = _EXIF + "Flash", _EXIF + "Fired"  # a structure, and the one of its fields that counts

# Exif tag and the properties that say the same, the best first.
_NUMBERS = {
    f"EXIF {name}": (_EXIF + name,)
    for name in (
        *("ExposureTime", "FNumber", "ExposureProgram", "ShutterSpeedValue", "ApertureValue"),
        *("BrightnessValue", "ExposureBiasValue", "MeteringMode", "FocalLength", "ExposureIndex"),
        *("ExposureMode", "FocalLengthIn35mmFilm", "SubjectDistanceRange"),
    )
} | {
    "EXIF ISOSpeedRatings": (_EXIF_EX + "PhotographicSensitivity", _EXIF + "ISOSpeedRatings"),
    "EXIF SubjectDistance": (_EXIF + "SubjectDistance", _AUX + "ApproximateFocusDistance"),
    "EXIF LensSpecification": (_EXIF_EX + "LensSpecification", _AUX + "LensInfo"),
    "Image Orientation": (_TIFF + "Orientation",),
    "GPS GPSAltitude": (_EXIF + "GPSAltitude",),
    "GPS GPSAltitudeRef": (_EXIF + "GPSAltitudeRef",),
    "GPS GPSImgDirection": (_EXIF + "GPSImgDirection",),
}
_NUMBERS |= {
    f"EXIF {name}": (_EXIF_EX + name, _EXIF + name)
    for name in ("SensitivityType", "StandardOutputSensitivity", "RecommendedExposureIndex", "ISOSpeed")
}
_TEXTS = {
    "EXIF LensModel": (_EXIF_EX + "LensModel", _AUX + "Lens"),
    "Image Make": (_TIFF + "Make",),
    "Image Model": (_TIFF + "Model",),
    "GPS GPSImgDirectionRef": (_EXIF + "GPSImgDirectionRef",),
}
_TIMES = {
    "Original": (_EXIF + "DateTimeOriginal", _PHOTOSHOP + "DateCreated"),
    "Digitized": (_EXIF + "DateTimeDigitized", _XMP + "CreateDate"),
    "": (_XMP + "ModifyDate", _TIFF + "DateTime"),
}
_SATELLITES = _EXIF + "GPSTimeStamp"
PROPERTIES = frozenset(
    [name for names in (*_NUMBERS.values(), *_TEXTS.values(), *_TIMES.values()) for name in names]
    + [_SATELLITES, FLASH]
)

_NUMBER = re.compile(r"([+-]?\d{1,10})(?:/(\d{1,10})|\.(\d{1,12}))?", re.ASCII)
_TIME = re.compile(
    r"(\d{4})[-:](\d\d)[-:](\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(?:\.(\d{1,9}))?)?\s?(Z|[+-]\d\d:?\d\d)?",
    re.ASCII,
)
_SHORT_S = Fraction(1, 4)  # shorter times are marked as one over a number
_ROUNDED = Fraction(1, 100)  # how far a decimal may lie from the marked time that it stands for


def exif_of(texts: Callable[[str], list[str]]) -> Mapping[str, Any]:
    """Values by Exif tag ("EXIF FNumber"), as `Tags` holds them; `texts` gives all values of a property."""
    found: dict[str, Any] = {}
    for tag, names in _NUMBERS.items():
        numbers = next((numbers for name in names if (numbers := _numbers(texts(name)))), None)
        if numbers:
            found[tag] = numbers
    for tag, names in _TEXTS.items():
        text = next((text for name in names for text in texts(name)), None)
        if text:
            found[tag] = text
    for which, names in _TIMES.items():
        written = [text for name in names for text in texts(name)[:1]]
        if written:
            found |= _time_tags(next(filter(_TIME.fullmatch, written), written[0]), which)
    if "EXIF ExposureTime" in found and "/" not in texts(_EXIF + "ExposureTime")[0]:
        found["EXIF ExposureTime"] = [_marked(found["EXIF ExposureTime"][0])]
    fired = _fired(texts(FLASH))
    if fired is not None:
        found["EXIF Flash"] = [ExifRational(int(fired))]
    return found | _satellite_tags(texts(_SATELLITES))


def _numbers(texts: list[str]) -> list[ExifRational]:
    """All numbers of a property, an array or several in one text ("24/1 70/1 28/10 28/10"); one bad, none."""
    words = [word for text in texts for word in text.split()]
    found = [_number(word) for word in words[:8]]
    return [number for number in found if number is not None] if None not in found else []


def _number(word: str) -> ExifRational | None:
    match = _NUMBER.fullmatch(word)
    if match is None:
        return None
    if match[3] is not None:
        value = Fraction(word)
        return ExifRational(value.numerator, value.denominator)
    return ExifRational(int(match[1]), int(match[2]) if match[2] else 1)


def _marked(seconds: ExifRational) -> ExifRational:
    """The exposure time that a decimal was rounded from: 0.0166667 is 1/60."""
    value = seconds.value
    if value is None or not 0 < value < _SHORT_S:
        return seconds
    parts = round(1 / value)
    return ExifRational(1, parts) if abs(value * parts - 1) <= _ROUNDED else seconds


def _time_tags(text: str, which: str) -> dict[str, str]:
    """A time of XMP as the three Exif tags for time, fraction and offset; what is no time as it stands."""
    match = _TIME.fullmatch(text)
    names = (f"EXIF {name}{which}" for name in ("DateTime", "SubSecTime", "OffsetTime"))
    if match is None:
        return {next(names): text}
    year, month, day, hour, minute, second, fraction, offset = match.groups()
    values = (f"{year}:{month}:{day} {hour}:{minute}:{second or '00'}", fraction, offset)
    return {name: value for name, value in zip(names, values, strict=True) if value}


def _satellite_tags(texts: list[str]) -> dict[str, Any]:
    match = _TIME.fullmatch(texts[0]) if texts else None
    if match is None:
        return {}
    year, month, day, hour, minute, second, fraction, offset = match.groups()
    try:
        time = datetime(*map(int, (year, month, day, hour, minute, second or 0)), tzinfo=UTC)  # type: ignore[arg-type,misc]
        time -= timedelta(minutes=minutes_east(offset or "Z") or 0)
    except (ValueError, OverflowError):
        return {}
    seconds = Fraction(f"{time.second}.{fraction or 0}")
    return {
        "GPS GPSDate": f"{time:%Y:%m:%d}",
        "GPS GPSTimeStamp": [
            ExifRational(time.hour),
            ExifRational(time.minute),
            ExifRational(seconds.numerator, seconds.denominator),
        ],
    }


def _fired(texts: list[str]) -> bool | None:
    return {"true": True, "false": False}.get(texts[0].lower() if texts else "")
