"""What an original tells of people and machines: owner, artist, serial numbers, software.

One surprising decision: read only so that nobody else is shown it; nothing here ever enters the book. Maker
notes are not searched, because reading them is slow and no report copies them.
"""

import re
from dataclasses import dataclass
from html import unescape
from pathlib import Path

from logbook.intake.exif.containers import read_packets
from logbook.intake.exif.directories import tags_of
from logbook.intake.exif.packets import DamagedError
from logbook.intake.exif.tags import Tags
from logbook.intake.plain_files import NotPlainError, open_plain

_EXIF = {
    "Image Artist": "artist",
    "Image XPAuthor": "artist",
    "EXIF CameraOwnerName": "owner",
    "EXIF BodySerialNumber": "serial number",
    "EXIF LensSerialNumber": "serial number",
    "Image CameraSerialNumber": "serial number",
    "EXIF ImageUniqueID": "picture number",
    "Image Software": "software",
    "Image HostComputer": "software",
}
_XMP = {
    "SerialNumber": "serial number",
    "BodySerialNumber": "serial number",
    "LensSerialNumber": "serial number",
    "OwnerName": "owner",
    "CameraOwnerName": "owner",
    "Artist": "artist",
    "creator": "artist",
    "CreatorTool": "software",
    "Software": "software",
    "DocumentID": "picture number",
    "OriginalDocumentID": "picture number",
}
_ATTRIBUTE = re.compile(r"\b\w+:(\w+)\s*=\s*(?:\"([^\"]*)\"|'([^']*)')")
_ELEMENT = re.compile(r"<\w+:(\w+)(?:\s[^>]*)?>((?:(?!</?\w+:\1[\s>]).){1,2000}?)</\w+:\1>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


@dataclass(frozen=True, slots=True)
class PrivateValue:
    """One value of an original and what kind of thing it is, in a word."""

    kind: str
    text: str


def private_values(path: Path) -> tuple[PrivateValue, ...]:
    """Return what a picture's metadata tells of people and machines; nothing where it cannot be read."""
    try:
        with open_plain(path) as file:
            packets = read_packets(file, path.suffix)
            tags = tags_of(packets, file)
    except (OSError, NotPlainError, DamagedError):
        return ()
    found = [PrivateValue(kind, text) for name, kind in _EXIF.items() if (text := _text(tags, name))]
    return tuple(dict.fromkeys([*found, *_of_xmp(packets.xmp)]))


def _text(tags: Tags, name: str) -> str:
    values = tags.values(name)
    if name == "Image XPAuthor" and isinstance(values, list):  # UTF-16, as this tag is written
        return bytes(v for v in values if isinstance(v, int)).decode("utf-16-le", "ignore").strip("\0 ")
    return tags.text(name) or ""


def _of_xmp(packet: bytes | None) -> list[PrivateValue]:
    text = (packet or b"").decode("utf-8", "replace")
    pairs = [(name, one or other) for name, one, other in _ATTRIBUTE.findall(text)]
    pairs += _ELEMENT.findall(text) if any(f":{name}" in text for name in _XMP) else []
    return [
        PrivateValue(_XMP[name], plain)
        for name, value in pairs
        if name in _XMP and (plain := " ".join(unescape(_TAG.sub(" ", value)).split()))
    ]
