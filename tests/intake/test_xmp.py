"""XMP packets in both their forms, hostile ones, and files beside pictures."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.intake.marks import Marks, caption_of
from logbook.intake.xmp import read_xmp
from tests.intake.reading import read_sidecar

SPACES = (
    'xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/" '
    'xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/" xmlns:exif="http://ns.adobe.com/exif/1.0/" '
    'xmlns:core="http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/"'
)
HEAD = (
    '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
    f'<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#" {SPACES}>'
)
TAIL = '</rdf:RDF></x:xmpmeta><?xpacket end="w"?>'


def attributes(**values: str) -> str:
    told = " ".join(f'{name.replace("_", ":")}="{value}"' for name, value in values.items())
    return f'{HEAD}<rdf:Description rdf:about="" {told}/>{TAIL}'


def elements(**values: str) -> str:
    told = "".join(
        f"<{name.replace('_', ':')}>{value}</{name.replace('_', ':')}>" for name, value in values.items()
    )
    return f'{HEAD}<rdf:Description rdf:about="">{told}</rdf:Description>{TAIL}'


def items(kind: str, *words: str, language: str = "") -> str:
    told = "".join(f"<rdf:li{language}>{word}</rdf:li>" for word in words)
    return f"<rdf:{kind}>{told}</rdf:{kind}>"


@pytest.mark.parametrize("form", [attributes, elements])
def test_simple_values_are_read_in_either_form(form: Callable[..., str]) -> None:
    packet = form(
        xmp_Rating="4",
        xmp_Label="Red",
        photoshop_City="Valley",
        core_Location="Quarry ledge",
        exif_GPSLatitude="46,30.5N",
        exif_GPSLongitude="8,6,36W",
    )
    marks = read_xmp(packet.encode())
    assert (marks.rating, marks.label, marks.place) == (4, "Red", "Quarry ledge, Valley")
    assert marks.latitude_deg == pytest.approx(46 + 30.5 / 60, abs=1e-12)
    assert marks.longitude_deg == pytest.approx(-8.11, abs=1e-12)
    assert marks.notes == ()


def test_lists_and_languages_are_read() -> None:
    title = (
        '<rdf:Alt><rdf:li xml:lang="de">Brücke</rdf:li><rdf:li xml:lang="x-default">Bridge</rdf:li></rdf:Alt>'
    )
    marks = read_xmp(
        elements(
            dc_subject=items("Bag", "water", "long exposure", "water"),
            dc_title=title,
            dc_description=items("Alt", "Silk &amp; stone", language=' xml:lang="x-default"'),
            dc_creator=items("Seq", "A. Example", "B. Example"),
            dc_rights=items("Alt", "© A. Example"),
        ).encode()
    )
    assert marks.keywords == ("water", "long exposure")
    assert marks.caption == "Bridge. Silk & stone"
    assert (marks.credit, marks.copyright) == ("A. Example; B. Example", "© A. Example")


def test_a_qualified_value_and_another_prefix_are_read() -> None:
    packet = elements(xmp_Label="<rdf:Description><rdf:value>Blue</rdf:value></rdf:Description>")
    assert read_xmp(packet.encode()).label == "Blue"
    assert (
        read_xmp(
            attributes(xmp_Rating="3").replace("xmp:", "xap:").replace("xmlns:xmp", "xmlns:xap").encode()
        ).rating
        == 3
    )
    assert read_xmp(attributes(xmp_Rating="3").replace("xap/1.0", "other/1.0").encode()).rating is None


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-16-le", "utf-32-be"])
def test_every_encoding_of_a_packet_is_read(encoding: str) -> None:
    packet = attributes(xmp_Rating="2", xmp_Label="Grün").replace("\ufeff", "")
    marks = read_xmp(packet.encode(encoding) + b"\0" * 400)
    assert (marks.rating, marks.label) == (2, "Grün")


def test_values_within_other_structures_are_not_taken() -> None:
    inner = "<rdf:Description><xmp:Rating>5</xmp:Rating></rdf:Description>"
    assert read_xmp(elements(photoshop_Other=inner).encode()).rating is None


@pytest.mark.parametrize("written", ["91,0.0N", "46,60.0N", "46.5", "46,30.5E", "N", "46,30.5"])
def test_a_coordinate_that_cannot_be_is_unknown(written: str) -> None:
    marks = read_xmp(attributes(exif_GPSLatitude=written, exif_GPSLongitude="8,0.0E").encode())
    assert (marks.latitude_deg, marks.longitude_deg) == (None, None)


@pytest.mark.parametrize("written", ["OLYMPUS DIGITAL CAMERA", "Digital Camera", "SONY DSC", "default", "  "])
def test_what_cameras_write_by_themselves_is_no_caption(written: str) -> None:
    assert caption_of(None, written) is None
    assert caption_of("Bridge", written) == "Bridge"


def test_a_title_that_the_description_repeats_is_not_said_twice() -> None:
    assert caption_of("Bridge", "Bridge in the morning") == "Bridge in the morning"
    assert caption_of("Bridge.", "Silk") == "Bridge. Silk"


def test_an_entity_bomb_is_refused_at_once() -> None:
    entities = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "ha"}">' for n in range(12))
    bomb = f"<!DOCTYPE x [{entities}]>" + elements(xmp_Label="&e11;").split("?>", 1)[1]
    began = time.process_time()
    marks = read_xmp(bomb.encode())
    assert (marks.label, marks.notes) == (
        None,
        ("the XMP packet declares a document type, so it was not read",),
    )
    assert time.process_time() - began < 1


@pytest.mark.parametrize(
    ("packet", "reason"),
    [
        (b"<a>" * 1_300_000, "more elements"),
        (b"<a>" + b"x" * 5_000_000, "larger than any editor"),
        (b'<a b="' + b"x" * 3_900_000, "damaged"),
        (b"\xff\xfe\xfd", "damaged"),
    ],
)
def test_an_endless_packet_ends_soon_and_leaves_a_note(packet: bytes, reason: str) -> None:
    began = time.process_time()
    (note,) = read_xmp(packet).notes
    assert reason in note
    assert time.process_time() - began < 5


def test_long_texts_and_long_lists_are_cut() -> None:
    marks = read_xmp(
        elements(
            xmp_Label="x" * 100_000,
            dc_subject=items("Bag", *(f"word {n}" for n in range(5000))),
            dc_description="y" * 100_000,
        ).encode()
    )
    assert len(marks.label or "") == 500
    assert len(marks.keywords) == 200
    assert len(marks.caption or "") == 4000


def test_a_packet_that_breaks_off_gives_what_came_before() -> None:
    packet = elements(xmp_Rating="3", xmp_Label="Red").encode()
    marks = read_xmp(packet[: packet.index(b"<xmp:Label>") + 12])
    assert (marks.rating, marks.label) == (3, None)
    assert "only the beginning" in marks.notes[0]


def test_control_characters_do_not_reach_the_book() -> None:
    assert read_xmp(elements(xmp_Label="Re&#x9;d\u2028x\x85").encode()).label == "Re d x"


def test_a_sidecar_is_a_packet_in_a_file(tmp_path: Path) -> None:
    path = tmp_path / "IMG_0412.xmp"
    path.write_text(attributes(xmp_Rating="-1"), encoding="utf-8")
    assert read_sidecar(path) == Marks(rating=-1)


@given(st.binary(max_size=400), st.integers(0, 700))
def test_damage_never_raises(noise: bytes, at: int) -> None:
    good = elements(xmp_Rating="4", dc_subject=items("Bag", "one", "two")).encode()
    marks = read_xmp(good[:at] + noise + good[at:])
    assert marks.rating is None or -1 <= marks.rating <= 5
