"""An editor's marks in whole files: extended XMP, IPTC in every container, and which goes first."""

import hashlib
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import piexif
import pytest
from piexif import ImageIFD

from tests.intake.made import EXIF, SIZE, XMP, chunk, picture, png_with, segment
from tests.intake.reading import read_picture


def test_what_did_not_fit_the_xmp_packet_is_read_in_the_order_of_its_pieces(tmp_path: Path) -> None:
    digest = hashlib.md5(b"extended").hexdigest().upper().encode()
    main = XMP.replace(
        b"<rdf:Description ",
        b'<rdf:Description xmlns:note="http://ns.adobe.com/xmp/note/" note:HasExtendedXMP="%s" ' % digest,
    )
    words = b"".join(b"<rdf:li>word %d</rdf:li>" % number for number in range(20))
    extended = XMP.replace(
        b'xmp:Rating="4"/>',
        b'xmp:Label="Red"><dc:subject xmlns:dc="http://purl.org/dc/elements/1.1/"><rdf:Bag>'
        + words
        + b"</rdf:Bag></dc:subject></rdf:Description>",
    )
    half = len(extended) // 2

    def piece(at: int, text: bytes, name: bytes = digest) -> bytes:
        place = struct.pack(">II", len(extended), at)
        return segment(0xE1, b"http://ns.adobe.com/xmp/extension/\0" + name + place + text)

    whole = picture("JPEG")
    path = tmp_path / "a.jpg"
    path.write_bytes(
        whole[:2]
        + segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + main)
        + piece(half, extended[half:])
        + piece(0, b"<stranger/>", b"F" * 32)
        + piece(0, extended[:half])
        + whole[2:]
    )
    facts = read_picture(path)
    assert (facts.rating, facts.label, len(facts.keywords)) == (4, "Red", 20)
    assert facts.notes == ()


IPTC = b"\x1c\x02\x78\0\x06Bridge" + b"\x1c\x02\x19\0\x05water"
RESOURCES = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(IPTC)) + IPTC + b"\0" * (len(IPTC) % 2)


def iptc_tiff() -> bytes:
    loaded = piexif.load(EXIF)
    loaded["0th"] |= {ImageIFD.ImageWidth: SIZE[0], ImageIFD.ImageLength: SIZE[1]}
    loaded["0th"] |= {ImageIFD.ImageResources: RESOURCES}
    block: bytes = piexif.dump(loaded)
    return block[6:]


@pytest.mark.parametrize(
    ("name", "build"),
    [
        (
            "a.jpg",
            lambda: b"\xff\xd8" + segment(0xED, b"Photoshop 3.0\0" + RESOURCES) + picture("JPEG")[2:],
        ),
        ("a.tif", iptc_tiff),
        (
            "a.png",
            lambda: png_with(
                chunk(
                    b"zTXt",
                    b"Raw profile type iptc\0\0"
                    + zlib.compress(b"\niptc\n%8d\n" % len(RESOURCES) + RESOURCES.hex().encode()),
                )
            ),
        ),
    ],
)
def test_iptc_is_read_from_every_container(tmp_path: Path, name: str, build: Callable[[], bytes]) -> None:
    path = tmp_path / name
    path.write_bytes(build())
    facts = read_picture(path)
    assert (facts.caption, facts.keywords) == ("Bridge", ("water",))


def test_xmp_goes_before_iptc_and_exif_and_these_fill_its_gaps(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    exif = piexif.dump({"0th": {ImageIFD.Rating: 2, ImageIFD.Artist: b"A. Example"}})
    path.write_bytes(
        b"\xff\xd8"
        + segment(0xE1, exif)
        + segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP)
        + segment(0xED, b"Photoshop 3.0\0" + RESOURCES)
        + picture("JPEG")[2:]
    )
    facts = read_picture(path)
    assert (facts.rating, facts.caption, facts.credit) == (4, "Bridge", "A. Example")
