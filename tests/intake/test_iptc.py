"""IIM datasets, bare and within Photoshop's resources."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.intake.iptc import read_iptc
from logbook.intake.marks import Marks


def dataset(number: int, value: bytes, record: int = 2) -> bytes:
    return bytes((0x1C, record, number)) + len(value).to_bytes(2, "big") + value


WHOLE = b"".join(
    (
        dataset(5, b"Bridge"),
        dataset(25, b"water"),
        dataset(25, b"silk"),
        dataset(80, b"A. Example"),
        dataset(90, b"Valley"),
        dataset(92, b"Quarry ledge"),
        dataset(116, b"(c) A. Example"),
        dataset(120, b"Silk and stone"),
    )
)
MARKS = Marks(
    keywords=("water", "silk"),
    caption="Bridge. Silk and stone",
    place="Quarry ledge, Valley",
    credit="A. Example",
    copyright="(c) A. Example",
)


def resource(kind: int, data: bytes, name: bytes = b"\0\0") -> bytes:
    return (
        b"8BIM"
        + kind.to_bytes(2, "big")
        + name
        + len(data).to_bytes(4, "big")
        + data
        + b"\0" * (len(data) % 2)
    )


def test_datasets_are_read_bare_and_within_resources() -> None:
    assert read_iptc(WHOLE) == MARKS
    assert read_iptc(resource(0x03ED, b"abc") + resource(0x0404, WHOLE, b"\x05hello")) == MARKS


def test_a_credit_line_goes_before_the_by_line() -> None:
    assert read_iptc(WHOLE + dataset(110, b"Example Press")).credit == "Example Press"


@pytest.mark.parametrize(
    ("head", "written"),
    [
        (dataset(90, b"\x1b%G", record=1), "Brücke".encode()),
        (b"", "Brücke".encode()),
        (b"", "Brücke".encode("cp1252")),
    ],
)
def test_text_is_read_in_the_declared_character_set_and_without_one(head: bytes, written: bytes) -> None:
    assert read_iptc(head + dataset(120, written)).caption == "Brücke"


def test_an_extended_dataset_says_how_long_its_length_is() -> None:
    long = b"\x1c\x02\x78\x80\x04" + (6).to_bytes(4, "big") + b"Bridge"
    assert read_iptc(long).caption == "Bridge"
    assert read_iptc(b"\x1c\x02\x78\xff\xff" + b"Bridge") == Marks()


@given(st.binary(max_size=200), st.integers(0, 200))
def test_damage_never_raises(noise: bytes, at: int) -> None:
    for whole in (WHOLE, resource(0x0404, WHOLE)):
        read_iptc(whole[:at] + noise + whole[at:])
