"""XMP: what editors and converters write into a picture, or into a file of the same name beside it.

One surprising decision: the packet is read as a stream of elements and a document type declaration ends it at
once, so that no entity is ever expanded; of a damaged packet the beginning counts. Source: ISO 16684-1 for
the data model and its RDF forms; XMP specification part 2 for exif:GPSLatitude; IPTC Photo Metadata Standard
for the places.
"""

import codecs
import re
from typing import BinaryIO
from xml.parsers import expat

from logbook.intake.marks import Marks, caption_of, keywords_of, line_of, place_of, xmp_stars
from logbook.intake.xmp_camera import FIRED, FLASH, PROPERTIES, exif_of

_RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns# "
_RDF_ROOT, _NODE = _RDF + "RDF", _RDF + "Description"
_ITEM, _VALUE = _RDF + "li", _RDF + "value"
_PARTS = frozenset((_ITEM, _VALUE, FIRED))  # elements within a property that hold a value of it
_LANGUAGE = "http://www.w3.org/XML/1998/namespace lang"
_XMP = "http://ns.adobe.com/xap/1.0/ "
_DC = "http://purl.org/dc/elements/1.1/ "
_PHOTOSHOP = "http://ns.adobe.com/photoshop/1.0/ "
_IPTC = "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/ "
_EXIF = "http://ns.adobe.com/exif/1.0/ "
_KNOWN = frozenset(
    [_XMP + "Rating", _XMP + "Label"]
    + [_DC + name for name in ("subject", "title", "description", "creator", "rights")]
    + [_PHOTOSHOP + name for name in ("City", "State", "Country", "Credit", "Headline")]
    + [_IPTC + "Location", _EXIF + "GPSLatitude", _EXIF + "GPSLongitude"]
    + [*PROPERTIES]
)
_MOST_BYTES = 4_000_000
_MOST_ELEMENTS = 200_000  # reading that many takes about half a second
_MOST_ITEMS = 1000  # values of one property
_MOST_TEXT = 40_000  # characters of one value
_COORDINATE = re.compile(
    r"(\d{1,3}),(\d{1,2}(?:\.\d{1,12})?)(?:,(\d{1,2}(?:\.\d{1,12})?))?([NSEW])", re.ASCII
)
_ENCODINGS = (  # how a packet begins in each; the longer beginnings first
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (b"<\0\0\0", "utf-32-le"),
    (b"\0\0\0<", "utf-32-be"),
    (b"<\0", "utf-16-le"),
    (b"\0<", "utf-16-be"),
)


class _RefusedError(Exception):
    """Why the packet is not read any further."""


def read_open_sidecar(file: BinaryIO) -> Marks:
    """The marks in an open file beside a picture."""
    file.seek(0)
    return read_xmp(file.read(_MOST_BYTES + 1))


def read_xmp(packet: bytes) -> Marks:
    """The marks in an XMP packet; what cannot be read is noted, and never an error."""
    if len(packet) > _MOST_BYTES:
        return Marks(notes=("the XMP packet is larger than any editor would write, so it was not read",))
    properties = _Properties()
    notes = properties.read(packet)
    text, texts = properties.text, properties.texts
    rating, rating_notes = xmp_stars(written) if (written := text(_XMP + "Rating")) else (None, ())
    latitude, longitude = (
        _degrees(text(_EXIF + "GPSLatitude"), "NS", 90),
        _degrees(text(_EXIF + "GPSLongitude"), "EW", 180),
    )
    settings = dict(exif_of(texts))
    if (latitude, longitude) == (0, 0):  # without a fix, the height is none either
        settings.pop("GPS GPSAltitude", None)
    is_place = latitude is not None and longitude is not None and (latitude, longitude) != (0, 0)
    return Marks(
        rating=rating,
        label=line_of(text(_XMP + "Label")),
        keywords=keywords_of(texts(_DC + "subject")),
        caption=caption_of(text(_DC + "title") or text(_PHOTOSHOP + "Headline"), text(_DC + "description")),
        place=place_of(
            text(name)
            for name in (
                _IPTC + "Location",
                _PHOTOSHOP + "City",
                _PHOTOSHOP + "State",
                _PHOTOSHOP + "Country",
            )
        ),
        credit=line_of(text(_PHOTOSHOP + "Credit") or "; ".join(texts(_DC + "creator"))),
        copyright=line_of(text(_DC + "rights")),
        latitude_deg=latitude if is_place else None,
        longitude_deg=longitude if is_place else None,
        written=settings,
        notes=notes + rating_notes,
    )


class _Properties:
    """The values of the known properties of a packet, in attribute or element form."""

    def __init__(self) -> None:
        self._found: dict[str, list[tuple[str, str]]] = {}  # language and text
        self._path: list[str] = []
        self._property: tuple[str, int] | None = None  # the known property that is open, and its depth
        self._language = ""
        self._words: list[str] = []
        self._length = 0
        self._elements = 0

    def text(self, name: str) -> str | None:
        """The property's value; of several languages the default one."""
        values = self._found.get(name, [])
        return next(
            (text for language, text in values if language == "x-default"), values[0][1] if values else None
        )

    def texts(self, name: str) -> list[str]:
        """All values of a property."""
        return [text for _, text in self._found.get(name, [])]

    def read(self, packet: bytes) -> tuple[str, ...]:
        """Read a packet as far as it can be; return notes."""
        parser = expat.ParserCreate(encoding="utf-8", namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._data
        parser.StartDoctypeDeclHandler = self._refuse
        try:
            parser.Parse(_utf8(packet), True)
        except _RefusedError as refusal:
            return (f"the XMP packet {refusal}, so it was not read",)
        except expat.ExpatError:
            return ("the XMP packet is damaged; only the beginning was read",)
        return ()

    def _refuse(self, *_: object) -> None:
        raise _RefusedError("declares a document type")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._elements += 1
        if self._elements > _MOST_ELEMENTS:
            raise _RefusedError("holds more elements than any editor would write")
        path, depth = self._path, len(self._path)
        if self._property is None and depth and path[-1] == _RDF_ROOT:
            if name == _NODE:
                for key in attributes.keys() & _KNOWN:
                    self._add(key, "", attributes[key])
        elif self._property is None and name in _KNOWN and path[-2:] == [_RDF_ROOT, _NODE]:
            self._property = (name, depth)
            self._clear("")
        elif name in _PARTS:
            self._clear(attributes.get(_LANGUAGE, ""))
        if FIRED in attributes and self._property and self._property[0] == FLASH:
            self._add(FLASH, "", attributes[FIRED])
        path.append(name)

    def _end(self, name: str) -> None:
        path = self._path
        path.pop()
        if self._property is None:
            return
        known, depth = self._property
        if (len(path) == depth and known != FLASH) or name in _PARTS:
            self._add(known, self._language, "".join(self._words))
            self._clear("")
        if len(path) == depth:
            self._property = None

    def _data(self, data: str) -> None:
        if self._property is not None and self._length < _MOST_TEXT:
            self._words.append(data)
            self._length += len(data)

    def _clear(self, language: str) -> None:
        self._language, self._words, self._length = language, [], 0

    def _add(self, name: str, language: str, text: str) -> None:
        values = self._found.setdefault(name, [])
        if text.strip() and len(values) < _MOST_ITEMS:
            values.append((language, text[:_MOST_TEXT].strip()))


def _utf8(packet: bytes) -> bytes:
    """The packet in UTF-8, without the padding around it."""
    for start, encoding in _ENCODINGS:
        if packet.startswith(start):
            packet = packet.decode(encoding, "replace").lstrip("\ufeff").encode()
            break
    return packet.strip(b"\0 \r\n\t")


def _degrees(written: str | None, letters: str, most: int) -> float | None:
    """Signed degrees from "46,30.5N" or "46,30,30N"; None for anything else."""
    match = _COORDINATE.fullmatch((written or "").strip())
    if match is None or match[4] not in letters:
        return None
    minutes, seconds = float(match[2]), float(match[3] or 0)
    total = int(match[1]) + minutes / 60 + seconds / 3600
    if minutes >= 60 or seconds >= 60 or total > most:
        return None
    return total if match[4] == letters[0] else -total
