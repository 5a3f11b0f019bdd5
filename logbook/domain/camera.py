"""What a camera wrote into one picture file, as far as it can be believed.

One surprising decision: every field may be None, which means *unknown*, and `notes` says why a value that
was present was not believed. Nothing here is corrected: `taken_text` is the camera's own text.
"""

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from fractions import Fraction


class ExposureMode(StrEnum):
    """How aperture and time were chosen (Exif ExposureProgram, refined by ExposureMode)."""

    MANUAL = "manual"
    PROGRAM = "program"
    APERTURE_PRIORITY = "aperture priority"
    SHUTTER_PRIORITY = "shutter priority"
    CREATIVE = "creative program"
    ACTION = "action program"
    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"
    BULB = "bulb"
    AUTO = "auto"


class Metering(StrEnum):
    """How the camera metered (Exif MeteringMode)."""

    AVERAGE = "average"
    CENTRE_WEIGHTED = "centre-weighted"
    SPOT = "spot"
    MULTI_SPOT = "multi-spot"
    PATTERN = "pattern"
    PARTIAL = "partial"
    OTHER = "other"


class DistanceRange(StrEnum):
    """How far the subject was, in a word (Exif SubjectDistanceRange)."""

    MACRO = "macro"
    CLOSE = "close"
    DISTANT = "distant"


@dataclass(frozen=True, slots=True)
class CameraFacts:
    """The facts read from one picture file; None is unknown, `notes` explains doubtful values."""

    format: str  # "JPEG", "TIFF", "PNG", "WebP", "HEIC", or a raw format's name
    width_px: int | None = None  # as stored, before orientation is applied
    height_px: int | None = None
    orientation: int | None = None  # Exif 1..8
    taken_text: str | None = None  # the camera's own text, e.g. "2031:10:14 17:42:05"
    taken_local: datetime | None = None  # naive wall time of the camera, with sub-seconds
    utc_offset_text: str | None = None  # OffsetTimeOriginal as written, e.g. "+02:00"
    utc_offset_min: int | None = None  # the same, minutes east of UTC
    gps_utc: datetime | None = None  # aware, from GPSDateStamp and GPSTimeStamp
    exposure_s: Fraction | None = None  # exact rational seconds
    f_number: float | None = None
    iso: int | None = None
    bias_stops: float | None = None  # exposure bias, + is brighter
    focal_mm: float | None = None
    focal_35mm: float | None = None  # 35 mm-equivalent
    exposure_mode: ExposureMode | None = None
    auto_bracket: bool | None = None  # Exif ExposureMode 2
    metering: Metering | None = None
    flash_fired: bool | None = None
    brightness_ev: float | None = None  # APEX brightness of the scene; EV at ISO 100 is 5 more
    metered_ev100: float | None = None  # the maker's own figure for the scene's light, EV at ISO 100
    subject_distance_m: float | None = None
    subject_distance_range: DistanceRange | None = None
    body: str | None = None  # make and model, joined as people say it
    lens: str | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    direction_deg: float | None = None  # GPSImgDirection
    direction_is_magnetic: bool | None = None
    rating: int | None = None  # 0..5 stars (xmp:Rating or Exif Rating); -1 = rejected
    label: str | None = None  # a colour or word that an editor gave (xmp:Label)
    keywords: tuple[str, ...] = ()
    caption: str | None = None  # title and description, as an editor wrote them
    place: str | None = None  # the place in words, e.g. "Quarry ledge, Valley"
    credit: str | None = None
    copyright: str | None = None
    notes: tuple[str, ...] = field(default=())
