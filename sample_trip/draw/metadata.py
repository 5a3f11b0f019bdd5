"""What the invented cameras wrote into their files, set by ExifTool (Debian libimage-exiftool-perl).

One surprising decision: several files carry an owner, an artist and a serial number on purpose, so that a
report that lets metadata through is caught.
"""

import subprocess
from collections.abc import Mapping
from datetime import UTC, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sample_trip.draw.frames import Frame

OWNER = "Invented Owner"


def arguments(frame: Frame, path: Path, place: Mapping[str, Any], zone: str) -> list[str]:
    """Return ExifTool's arguments, one a line, for one picture."""
    body = frame.body
    shown = frame.taken - timedelta(seconds=body.slow_s.get(frame.trip, 0))
    true = frame.taken.replace(tzinfo=ZoneInfo(zone))
    tags: dict[str, object] = {
        "Make": body.make,
        "Model": body.model,
        "Orientation#": 6 if frame.stored_sideways else 1,
        "Software": body.software,
        "ModifyDate": shown.strftime("%Y:%m:%d %H:%M:%S"),
        "DateTimeOriginal": shown.strftime("%Y:%m:%d %H:%M:%S"),
        "CreateDate": shown.strftime("%Y:%m:%d %H:%M:%S"),
        "SubSecTimeOriginal": f"{sum(map(ord, frame.name)) * 37 % 100:02d}",
        "ExposureTime": _rational(frame.exposure_s),
        "FNumber": frame.f_number,
        "ISO": frame.iso,
        "ExposureCompensation": frame.bias_stops,
        "ExposureProgram#": 1 if frame.manual else 3,
        "ExposureMode#": 2 if frame.bracket else int(frame.manual),
        "MeteringMode#": 5,
        "EXIF:Flash#": 16,
        "FocalLength": frame.focal_mm,
        "FocalLengthIn35mmFormat": round(frame.focal_mm * body.crop),
        "LensModel": frame.lens,
        "ColorSpace#": 1,
        "XMP-xmp:Rating": frame.rating,
    }
    if body.writes_offset:
        offset = true.strftime("%z")
        tags["OffsetTimeOriginal"] = tags["OffsetTime"] = f"{offset[:3]}:{offset[3:]}"
    if frame.owner:
        tags |= {"OwnerName": OWNER, "Artist": OWNER, "SerialNumber": body.serial}
    if frame.gps:
        tags |= _position(frame, place, true.astimezone(UTC).strftime("%Y:%m:%d %H:%M:%S").split())
    return [f"-{name}={value}" for name, value in tags.items()] + [
        "-overwrite_original",
        "-q",
        str(path),
        "-execute",
    ]


def _position(frame: Frame, place: Mapping[str, Any], utc: list[str]) -> dict[str, object]:
    latitude, longitude = place["latitude_deg"], place["longitude_deg"]
    astray = (sum(map(ord, frame.name)) % 9 - 4) * 0.00001  # degrees; a receiver is a few metres out
    tags: dict[str, object] = {
        "GPSVersionID": "2 3 0 0",
        "GPSLatitude": abs(latitude + astray),
        "GPSLatitudeRef": "N" if latitude >= 0 else "S",
        "GPSLongitude": abs(longitude - astray),
        "GPSLongitudeRef": "E" if longitude >= 0 else "W",
        "GPSAltitude": place["elevation_m"] + 2,
        "GPSAltitudeRef#": 0,
        "GPSDateStamp": utc[0],
        "GPSTimeStamp": utc[1],
        "GPSMapDatum": "WGS-84",
    }
    if frame.direction_deg is not None:
        tags |= {"GPSImgDirection": frame.direction_deg, "GPSImgDirectionRef": "T"}
    return tags


def _rational(seconds: Fraction) -> str:
    return f"{seconds.numerator}/{seconds.denominator}" if seconds.denominator > 1 else str(seconds.numerator)


def write(lines: list[str], work: Path) -> None:
    """Let ExifTool write all pictures in one process; raises CalledProcessError where it refuses."""
    listing = work / "exiftool-arguments.txt"
    listing.write_text("\n".join(lines) + "\n", encoding="utf-8")
    try:
        subprocess.run(["exiftool", "-@", str(listing)], check=True)
    finally:
        listing.unlink()
