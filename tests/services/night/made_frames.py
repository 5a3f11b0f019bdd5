"""Picture files as two invented cameras write them: small, with Exif, one of them with positions."""

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from pathlib import Path

import piexif
from PIL import Image, ImageDraw

THISTLE, SORREL = "Thistle", "Sorrel"
STEMS = {THISTLE: "TRN", SORREL: "OST"}
MAKERS = {THISTLE: "Halvern", SORREL: "Ostrey"}
LONGITUDE_DEG = 73.4  # of all places; they differ in latitude


@dataclass(frozen=True, slots=True)
class MadeFrame:
    """One picture: its camera and number, when by the camera's own clock, where, and its settings.

    `latitude_deg` None is a frame without a position. The Thistle writes its zone, five hours ahead of UTC;
    the Sorrel writes none and has no receiver.
    """

    camera: str
    number: int
    taken: datetime
    exposure_s: Fraction
    f_number: int
    focal_mm: int
    latitude_deg: float | None = None
    bias_stops: int | None = None  # of a bracket
    colour: tuple[int, int, int] = (120, 140, 90)
    size: tuple[int, int] = (24, 16)

    @property
    def file(self) -> str:
        """The name of its file."""
        return f"{STEMS[self.camera]}_{self.number:04}.JPG"


def make_picture(folder: Path, frame: MadeFrame) -> None:
    """Write a frame into a folder; no two files are alike."""
    exif: dict[int, object] = {
        piexif.ExifIFD.DateTimeOriginal: f"{frame.taken:%Y:%m:%d %H:%M:%S}",
        piexif.ExifIFD.ExposureTime: (frame.exposure_s.numerator, frame.exposure_s.denominator),
        piexif.ExifIFD.FNumber: (frame.f_number, 1),
        piexif.ExifIFD.ISOSpeedRatings: 100,
        piexif.ExifIFD.FocalLength: (frame.focal_mm, 1),
        piexif.ExifIFD.ExposureProgram: 3,
    }
    if frame.camera == THISTLE:
        exif[piexif.ExifIFD.OffsetTimeOriginal] = "+05:00"
    if frame.bias_stops is not None:
        exif[piexif.ExifIFD.ExposureBiasValue] = (frame.bias_stops, 1)
        exif[piexif.ExifIFD.ExposureMode] = 2
    gps: dict[int, object] = {}
    if frame.latitude_deg is not None:
        gps = {
            piexif.GPSIFD.GPSLatitudeRef: "N",
            piexif.GPSIFD.GPSLatitude: ((38, 1), (round((frame.latitude_deg - 38) * 60 * 100), 100), (0, 1)),
            piexif.GPSIFD.GPSLongitudeRef: "E",
            piexif.GPSIFD.GPSLongitude: ((73, 1), (24, 1), (0, 1)),
        }
    first = {
        piexif.ImageIFD.Make: MAKERS[frame.camera],
        piexif.ImageIFD.Model: frame.camera,
        piexif.ImageIFD.ImageDescription: frame.file,
    }
    data = piexif.dump({"0th": first, "Exif": exif, "GPS": gps})
    image = Image.new("RGB", frame.size, frame.colour)
    width, height = frame.size
    horizon = height * (3 + frame.number % 4) // 8
    lighter = tuple(min(255, value + 60) for value in frame.colour)
    ImageDraw.Draw(image).rectangle((0, 0, width, horizon), fill=lighter)
    image.save(folder / frame.file, exif=data)
