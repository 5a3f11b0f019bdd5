"""The tags of a picture: the directories of its TIFF structures, wherever its container keeps the Exif block.

One surprising decision: read here and not by a library, because an import reads ten thousand of them: only
tags this program knows are looked at, only four directories are followed, and so no file can make it loop
or take long. Maker notes are read whole only where they hold something that Exif lacks, because every company
lays them out its own way, and reading them takes 9 ms a file where all the rest takes 0.03 ms (processor
time, mean of 58 cameras' files). Source: TIFF revision 6.0, section 2; CIPA DC-008 (Exif 2.32 and 3.0) for
the tag numbers.
"""

import struct
from collections.abc import Mapping
from io import BytesIO
from typing import Any, BinaryIO

from logbook.intake.exif.gear import read_lens
from logbook.intake.exif.packets import DamagedError, Packets
from logbook.intake.exif.scene import read_iso
from logbook.intake.exif.tags import ExifRational, Tags, with_maker_notes

_MAIN = {
    0x010E: "ImageDescription",
    0x010F: "Make",
    0x0110: "Model",
    0x0112: "Orientation",
    0x0131: "Software",
    0x0132: "DateTime",
    0x013B: "Artist",
    0x013C: "HostComputer",
    0x4746: "Rating",
    0x4749: "RatingPercent",
    0x8298: "Copyright",
    0x9C9B: "XPTitle",
    0x9C9D: "XPAuthor",
    0x9C9E: "XPKeywords",
    0xC62F: "CameraSerialNumber",
    0xC630: "LensSpecification",  # DNG's own tag LensInfo, laid out like the Exif one
}
_EXIF = {
    0x829A: "ExposureTime",
    0x829D: "FNumber",
    0x8822: "ExposureProgram",
    0x8827: "ISOSpeedRatings",
    0x8830: "SensitivityType",
    0x8831: "StandardOutputSensitivity",
    0x8832: "RecommendedExposureIndex",
    0x8833: "ISOSpeed",
    0x9003: "DateTimeOriginal",
    0x9004: "DateTimeDigitized",
    0x9010: "OffsetTime",
    0x9011: "OffsetTimeOriginal",
    0x9012: "OffsetTimeDigitized",
    0x9201: "ShutterSpeedValue",
    0x9202: "ApertureValue",
    0x9203: "BrightnessValue",
    0x9204: "ExposureBiasValue",
    0x9206: "SubjectDistance",
    0x9207: "MeteringMode",
    0x9209: "Flash",
    0x920A: "FocalLength",
    0x9290: "SubSecTime",
    0x9291: "SubSecTimeOriginal",
    0x9292: "SubSecTimeDigitized",
    0xA215: "ExposureIndex",
    0xA402: "ExposureMode",
    0xA405: "FocalLengthIn35mmFilm",
    0xA40C: "SubjectDistanceRange",
    0xA420: "ImageUniqueID",
    0xA430: "CameraOwnerName",
    0xA431: "BodySerialNumber",
    0xA432: "LensSpecification",
    0xA434: "LensModel",
    0xA435: "LensSerialNumber",
}
_GPS = {
    0x01: "GPSLatitudeRef",
    0x02: "GPSLatitude",
    0x03: "GPSLongitudeRef",
    0x04: "GPSLongitude",
    0x05: "GPSAltitudeRef",
    0x06: "GPSAltitude",
    0x07: "GPSTimeStamp",
    0x10: "GPSImgDirectionRef",
    0x11: "GPSImgDirection",
    0x12: "GPSMapDatum",
    0x1D: "GPSDate",
}
_CANON = {0x0001: "MakerNote CameraSettings", 0x0004: "MakerNote ShotInfo"}
# Makers whose notes are a plain directory after a few fixed bytes, and what these hold that Exif may lack; as
# ExifTool documents them.
_MAKERS = {"Canon": (b"", _CANON), "CASIO": (b"QVC\0\0\0", {0x3014: "MakerNote ISO"})}
_EXIF_AT, _GPS_AT, _MAKER_AT = 0x8769, 0x8825, 0x927C
# Cameras write some of each other's tags into either directory, so both know all names.
_IMAGE_NAMES = {number: f"Image {name}" for number, name in (_EXIF | _MAIN).items()}
_EXIF_NAMES = {number: f"EXIF {name}" for number, name in (_MAIN | _EXIF).items()}
_GPS_NAMES = {number: f"GPS {name}" for number, name in _GPS.items()}

_ASCII, _UTF8 = 2, 129  # types of text
_FRACTIONS = {5: "L", 10: "l"}  # types of two whole numbers each
_NUMBERS = {1: "B", 3: "H", 4: "L", 6: "b", 7: "B", 8: "h", 9: "l", 11: "f", 12: "d", 13: "L"}
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 129: 1}
_MOST_ENTRIES = 4096  # of one directory; raw files have about a hundred
_MOST_BYTES = 65_536  # of one value: what fits a JPEG segment; longer ones are of no use here
_MOST_BYTES_TOGETHER = 1_000_000  # of one directory, which may name the same tag again and again


def read_directories(stream: BinaryIO, *, exif_first: bool = False) -> dict[str, Any]:
    """Values by name ("Image Make", "EXIF FNumber", "GPS GPSLatitude") of the TIFF structure in a stream.

    `exif_first`: the first directory is the Exif one, as in files that keep each in a block of its own.
    Raises DamagedError when there is no directory to read.
    """
    stream.seek(0)
    head = stream.read(8)
    if len(head) < 8 or head[:2] not in (b"II", b"MM"):
        raise DamagedError("the Exif block does not begin as it should")
    order = "<" if head[:2] == b"II" else ">"
    (at,) = struct.unpack(f"{order}L", head[4:])
    found: dict[str, Any] = {}
    pointers = _read(stream, order, at, _EXIF_NAMES if exif_first else _IMAGE_NAMES, found)
    if pointers is None:
        raise DamagedError("the Exif block is damaged (its first directory is missing)")
    camera = _read(stream, order, pointers[_EXIF_AT], _EXIF_NAMES, found) if _EXIF_AT in pointers else None
    if _GPS_AT in pointers:
        _read(stream, order, pointers[_GPS_AT], _GPS_NAMES, found)
    if camera and _MAKER_AT in camera:
        _read_maker(stream, order, camera[_MAKER_AT], found)
    return found


def _read_maker(stream: BinaryIO, order: str, at: int, found: dict[str, Any]) -> None:
    make = str(found.get("Image Make", ""))
    for maker, (head, names) in _MAKERS.items():
        if make.startswith(maker):
            stream.seek(at)
            if stream.read(len(head)) == head:
                _read(stream, order, at + len(head), names, found)


def read_satellites(stream: BinaryIO) -> dict[str, Any]:
    """Values of a TIFF structure whose first directory is that of the satellites."""
    return _first(stream, _GPS_NAMES)


def read_canon(stream: BinaryIO) -> dict[str, Any]:
    """Values of a TIFF structure whose first directory is Canon's own."""
    return _first(stream, _CANON)


def _first(stream: BinaryIO, names: Mapping[int, str]) -> dict[str, Any]:
    stream.seek(0)
    head = stream.read(8)
    found: dict[str, Any] = {}
    if len(head) == 8 and head[:2] in (b"II", b"MM"):
        order = "<" if head[:2] == b"II" else ">"
        _read(stream, order, struct.unpack(f"{order}L", head[4:])[0], names, found)
    return found


def _read(
    stream: BinaryIO, order: str, at: int, names: Mapping[int, str], found: dict[str, Any]
) -> dict[int, int] | None:
    """Add one directory's values to `found`; return where it points to, None where there is no directory."""
    stream.seek(at)
    start = stream.read(2)
    if len(start) < 2:
        return None
    count = min(struct.unpack(f"{order}H", start)[0], _MOST_ENTRIES)
    table = stream.read(12 * count)
    table = table[: len(table) // 12 * 12]
    if count and not table:
        return None
    pointers: dict[int, int] = {}
    left = _MOST_BYTES_TOGETHER
    for tag, kind, length, inline in struct.iter_unpack(f"{order}HHL4s", table):
        name = names.get(tag)
        if name is None:
            if (tag in (_EXIF_AT, _GPS_AT) and kind in (4, 13)) or (tag == _MAKER_AT and length > 4):
                pointers.setdefault(tag, struct.unpack(f"{order}L", inline)[0])
            continue
        size = _SIZES.get(kind, 0) * length
        if not 0 < size <= min(_MOST_BYTES, left):
            continue
        left -= size
        if size <= 4:
            data = inline[:size]
        else:
            stream.seek(struct.unpack(f"{order}L", inline)[0])
            data = stream.read(size)
        value = _value(order, kind, data)
        if value is not None:
            found[name] = value
    return pointers


def _value(order: str, kind: int, data: bytes) -> Any:
    """Text, or a list of numbers; None where nothing is left of it."""
    if kind in (_ASCII, _UTF8):
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError:
            return data.decode("latin-1")  # some cameras write their country's letters
    count = len(data) // _SIZES[kind]
    if not count:
        return None
    if kind in _FRACTIONS:
        parts = struct.unpack_from(f"{order}{2 * count}{_FRACTIONS[kind]}", data)
        return [ExifRational(*pair) for pair in zip(parts[::2], parts[1::2], strict=True)]
    return list(struct.unpack_from(f"{order}{count}{_NUMBERS[kind]}", data))


_MAKERS_WHOSE_NOTES_HELP = ("canon", "nikon")  # their notes hold ISO or lens where Exif lacks them


def tags_of(packets: Packets, stream: BinaryIO) -> Tags:
    """Tags of a picture, without maker notes; raises DamagedError when its block cannot be read."""
    if packets.is_tiff:
        return Tags(read_directories(stream))
    if packets.exif is None:
        return Tags()
    found = read_directories(BytesIO(packets.exif))
    if packets.camera is not None:
        found |= read_directories(BytesIO(packets.camera), exif_first=True)
    if packets.maker is not None:
        found |= read_canon(BytesIO(packets.maker))
    if packets.satellites is not None:
        found |= read_satellites(BytesIO(packets.satellites))
    return Tags(found)


def tags_with_notes(packets: Packets, stream: BinaryIO) -> Tags:
    """Tags of a picture; with maker notes only where these hold something that Exif lacks."""
    tags = tags_of(packets, stream)
    make = (tags.text("Make") or "").lower()
    if (
        make.startswith(_MAKERS_WHOSE_NOTES_HELP)
        and packets.camera is None
        and (read_iso(tags)[0] is None or read_lens(tags).name is None)
    ):
        try:
            return with_maker_notes(stream if packets.is_tiff else BytesIO(packets.exif or b""), tags)
        except DamagedError:
            return tags
    return tags
