"""Stars from XMP and Exif."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from piexif import ImageIFD

from logbook.intake.exif.rating import read_rating
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]
HEAD = (
    '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
)
TAIL = '</rdf:RDF></x:xmpmeta><?xpacket end="w"?>'
XMP_NAMESPACE = 'xmlns:xmp="http://ns.adobe.com/xap/1.0/"'


def attribute(value: str) -> bytes:
    return f'{HEAD}<rdf:Description {XMP_NAMESPACE} xmp:Rating="{value}"/>{TAIL}'.encode()


def element(value: str) -> bytes:
    inner = f"<rdf:Description {XMP_NAMESPACE}><xmp:Rating>{value}</xmp:Rating></rdf:Description>"
    return f"{HEAD}{inner}{TAIL}".encode()


@pytest.mark.parametrize("packet", [attribute, element])
@pytest.mark.parametrize(("written", "stars"), [("-1", -1), ("0", 0), ("3", 3), ("5", 5), ("4.0", 4)])
def test_stars_are_read_from_either_form_of_xmp(
    packet: Callable[[str], bytes], written: str, stars: int
) -> None:
    assert read_rating(Tags(), packet(written)) == (stars, ())


@pytest.mark.parametrize("written", ["6", "-2", "3.5", "nan", "inf", "many"])
def test_stars_that_cannot_be_are_unknown_and_noted(written: str) -> None:
    assert read_rating(Tags(), attribute(written)) == (None, (f"rating unknown: the file says {written!r}",))


def test_any_prefix_serves_but_another_namespace_does_not() -> None:
    other = attribute("3").replace(b"xmp:", b"xap:").replace(b"xmlns:xmp", b"xmlns:xap")
    assert read_rating(Tags(), other)[0] == 3
    assert read_rating(Tags(), attribute("3").replace(b"ns.adobe.com/xap/1.0", b"example.org"))[0] is None


def test_a_packet_with_a_document_type_is_not_read() -> None:
    bomb = b'<!DOCTYPE x [<!ENTITY a "5"><!ENTITY b "&a;&a;&a;&a;&a;">]>' + element("&b;").split(b"?>", 1)[1]
    stars, notes = read_rating(Tags(), bomb)
    assert stars is None
    assert "document type" in notes[0]


def test_xmp_goes_before_exif(tags_of: TagsOf) -> None:
    assert read_rating(tags_of(main={ImageIFD.Rating: 2}), attribute("4"))[0] == 4
    assert read_rating(tags_of(main={ImageIFD.Rating: 2}), None)[0] == 2
    assert read_rating(tags_of(main={ImageIFD.Rating: 2}), attribute("9"))[0] == 2


@pytest.mark.parametrize(
    ("percent", "stars"), [(0, 0), (1, 1), (25, 2), (50, 3), (75, 4), (99, 5)]
)  # what desktop systems write for 0 to 5 stars; from memory
def test_a_percentage_becomes_stars(tags_of: TagsOf, percent: int, stars: int) -> None:
    assert read_rating(tags_of(main={ImageIFD.RatingPercent: percent}), None) == (stars, ())


@given(st.binary(max_size=400), st.integers(0, 300))
def test_damaged_xmp_never_raises(noise: bytes, at: int) -> None:
    good = attribute("4")
    stars, _ = read_rating(Tags(), good[:at] + noise + good[at:])
    assert stars is None or -1 <= stars <= 5
