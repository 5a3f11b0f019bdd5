"""A build refuses to finish, and --check says so, where a report holds what its audience must not see."""

from base64 import b64encode
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from logbook.domain.account import TripAccount
from logbook.domain.discretion import PERSON_STRUCK, Discretion
from logbook.domain.errors import OutputError
from logbook.domain.words import Audience, OutcomeWord
from logbook.faces.report import BuiltReport
from logbook.faces.report.leaks import find_leaks
from logbook.intake.private_tags import private_values

TEMPLATES = Path(__file__).parents[3] / "templates"
OTHERS = [Audience.CLIENT, Audience.STUDENTS]
Build = Callable[..., BuiltReport]

PLACE, COORDINATES = (
    "the name of a withheld place",
    "the coordinates of a place whose position is kept private",
)
PERSON, FILE, HASH = (
    "the name of a private person",
    "the file name of an original",
    "the hash of an original",
)
PLANTED = [
    ("<p>Hollow Arch</p>", PLACE),
    ("<p>hollow <b>ar</b>ch</p>", PLACE),
    ("<p title='HOLLOW-ARCH'>", PLACE),
    ("<p>Hollow&#32;Arch</p>", PLACE),
    ("<a href='https://maps.example/Hollow%20Arch'>", PLACE),
    ("const a = 'Hollow\\u0020\\x41rch';", PLACE),
    ("owl_wood;1", PLACE),
    ("Otter Shelf", PLACE),
    (f"<img src='data:text/plain;base64,{b64encode(b'to the Hollow Arch').decode()}'>", PLACE),
    ("61.23456, -7.65432", COORDINATES),
    ("lat=61.235", COORDINATES),  # rounded
    ("lon=7,654", COORDINATES),  # cut, with a comma
    ("[-7.65, 61.23]", COORDINATES),
    ("61° 14′ 4″ N", COORDINATES),
    ("61°14.07'", COORDINATES),
    ("47.33333", COORDINATES),  # an area's exact latitude
    ("12.9876", COORDINATES),
    ("met Ilse Brandauer", PERSON),
    ("Ilse-Brandauer's boat", PERSON),
    ("TRN_0412", FILE),
    ("trn_0412.jpg", FILE),
    ("{its hash}", HASH),
    ("OWNER OF THIS", "the owner in an original"),
    ("SN-998877", "the serial number in an original"),
    ("Darkroom 7.5", "the software in an original"),
    ("An Unnamed Artist", "the artist in an original"),
    ("the Arch at the Hollow", PLACE),
    ("asked Brandauer's brother", PERSON),
    ("I. B. held the lamp", PERSON),
    ("61 14 04 N 7 39 16 W", COORDINATES),
    ("9CHJ68MW+R7", COORDINATES),
]
HARMLESS = [
    "47.12345° N",  # a place that is shown exactly
    "near 47.3° N, 13.0° E",
    '<path d="M 47.333 500.1 L 61.235 230.2"/>',  # a drawing's own measures
    "f/2.8 for 47.3 s at 1013.251 hPa",
    "archery at the hollow",
    "a" * 5000,
]


@pytest.fixture
def guarded(account: TripAccount, tmp_path: Path) -> TripAccount:
    """The trip with a private person, and a first original that tells of its owner and its body."""
    exif = Image.Exif()
    exif[0x013B], exif[0x0131] = "An Unnamed Artist", "Darkroom 7.5"
    details = exif.get_ifd(0x8769)
    details[0xA430], details[0xA431] = "OWNER OF THIS", "SN-998877"
    path = tmp_path / "originals" / "TRN_0412.JPG"
    Image.new("RGB", (600, 400), (90, 120, 150)).save(path, exif=exif)
    content = path.read_bytes()
    first = replace(
        account.keepers[0],
        path=str(path),
        file=path.name,
        hash=sha256(content).hexdigest(),
        size_bytes=len(content),
    )
    trip = replace(account.trip, private_names=("Ilse Brandauer",))
    return replace(account, trip=trip, keepers=(first, *account.keepers[1:]))


def found(folder: Path, account: TripAccount) -> set[str]:
    return {leak.what for leak in find_leaks(folder, account, TEMPLATES)}


@pytest.mark.parametrize("audience", OTHERS)
def test_a_finished_report_holds_nothing_it_must_not(
    guarded: TripAccount, build: Build, audience: Audience
) -> None:
    assert found(build(guarded, audience).index.parent, guarded) == set()


@pytest.mark.parametrize(("text", "what"), PLANTED)
@pytest.mark.parametrize("name", ["page.html", "data.csv", "drawing.svg", "deep/er.json"])
def test_a_planted_secret_is_found_however_it_is_spelled(
    guarded: TripAccount, tmp_path: Path, text: str, what: str, name: str
) -> None:
    (tmp_path / "out" / "deep").mkdir(parents=True)
    text = text.replace("{its hash}", guarded.keepers[0].hash[:12])
    (tmp_path / "out" / name).write_text(f"before {text} after", encoding="utf-8")
    assert what in found(tmp_path / "out", guarded)


@pytest.mark.parametrize("text", HARMLESS)
def test_what_may_be_shown_is_not_taken_for_a_secret(guarded: TripAccount, tmp_path: Path, text: str) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "page.html").write_text(text, encoding="utf-8")
    assert found(tmp_path / "out", guarded) == set()


def test_a_secret_in_a_file_name_is_found(guarded: TripAccount, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "hollow-arch.jpg").write_bytes(b"")
    assert "the name of a withheld place in a file name" in found(tmp_path / "out", guarded)


@pytest.mark.parametrize(
    ("options", "what"),
    [
        ({"comment": b"x"}, "a comment"),
        ({"exif": b"Exif\0\0II*\0\x08\0\0\0\0\0\0\0\0\0"}, "Exif or XMP metadata"),
        ({"xmp": b"<x/>"}, "Exif or XMP metadata"),
        ({"icc_profile": b"p" * 200}, "a colour profile"),
    ],
)
def test_a_picture_that_carries_anything_is_found(
    guarded: TripAccount, tmp_path: Path, options: dict[str, Any], what: str
) -> None:
    (tmp_path / "out").mkdir()
    path = tmp_path / "out" / "a.jpg"
    Image.effect_noise((200, 120), 90).save(path, "JPEG", progressive=True)
    assert found(tmp_path / "out", guarded) == set()
    Image.effect_noise((200, 120), 90).save(path, "JPEG", progressive=True, **options)
    assert found(tmp_path / "out", guarded) == {f"a picture with {what}"}


def test_bytes_after_a_picture_a_cut_one_and_unknown_content_are_found(
    guarded: TripAccount, tmp_path: Path
) -> None:
    (tmp_path / "out").mkdir()
    path = tmp_path / "out" / "a.jpg"
    Image.effect_noise((200, 120), 90).save(path, "JPEG")
    whole = path.read_bytes()
    path.write_bytes(whole + b"Hollow Arch")
    assert found(tmp_path / "out", guarded) == {"a picture with bytes after its end"}
    path.write_bytes(whole[:-40])
    assert found(tmp_path / "out", guarded) == {"a damaged picture"}
    path.write_bytes(b"\x89PNG\r\n\x1a\n\xff")
    assert found(tmp_path / "out", guarded) == {"content of a kind that cannot be searched"}


def test_a_build_that_would_leak_is_refused_and_the_old_report_stays(
    guarded: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    folder = build(guarded).index.parent
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    partly = changed(guarded, "outcomes", "silk", word=OutcomeWord.PARTLY)
    telling = changed(partly, "outcomes", "silk", note="See TRN_0412, body SN-998877")
    with pytest.raises(OutputError) as refused:
        build(telling)
    assert "index.html shows the file name of an original" in str(refused.value)
    assert "SN-998877".lower() not in str(refused.value).lower()
    assert "the serial number in an original (“sn…”, 9 characters)" in str(refused.value)
    assert "found in: outcome of shot silk, note" in str(refused.value)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_finding_is_traced_to_the_records_that_hold_it(
    guarded: TripAccount, tmp_path: Path, changed: Callable[..., TripAccount]
) -> None:
    telling = changed(guarded, "lessons", "l3", text="Ask Brandauer for the key")
    telling = changed(telling, "keepers", "one", caption="Brandauer's boat", note="Brandauer was ill")
    (tmp_path / "out").mkdir()
    page = "<figcaption>Brandauer's boat</figcaption><p>Next time: Ask Brandauer for the key.</p>"
    (tmp_path / "out" / "page.html").write_text(page, encoding="utf-8")
    leaks = find_leaks(tmp_path / "out", telling, TEMPLATES)
    assert {str(origin) for leak in leaks for origin in leak.origins} == {
        "lesson l3, text",
        "keeper one, caption",  # and not its note, which reads otherwise
    }


def test_what_stands_in_no_text_of_the_book_names_no_record(guarded: TripAccount, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "page.html").write_text("Hollow Arch", encoding="utf-8")
    assert {leak.origins for leak in find_leaks(tmp_path / "out", guarded, TEMPLATES)} == {()}


def test_the_photographers_own_archive_is_not_refused(
    guarded: TripAccount, build: Build, changed: Callable[..., TripAccount]
) -> None:
    telling = changed(guarded, "outcomes", "silk", note="See TRN_0412, met Ilse Brandauer")
    assert "Ilse Brandauer" in build(telling, Audience.ARCHIVE).index.read_text(encoding="utf-8")


def test_what_the_trip_states_for_showing_is_no_secret(guarded: TripAccount, tmp_path: Path) -> None:
    credited = replace(guarded, trip=replace(guarded.trip, credit="Photographs: An Unnamed Artist"))
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "page.html").write_text("Photographs: An Unnamed Artist", encoding="utf-8")
    assert found(tmp_path / "out", credited) == set()


@pytest.mark.parametrize("name", ["May", "Settings", "Bridge"])
def test_a_private_name_that_the_pages_themselves_use_does_not_stop_a_report(
    guarded: TripAccount, build: Build, name: str
) -> None:
    named = replace(guarded, trip=replace(guarded.trip, private_names=(name,)))
    assert build(named).index.is_file()


@pytest.mark.parametrize("audience", OTHERS)
def test_private_people_are_struck_from_text(guarded: TripAccount, audience: Audience) -> None:
    say = Discretion(guarded, audience)
    assert say.scrub("with ILSE  Brandauer's help") == f"with {PERSON_STRUCK}'s help"
    assert Discretion(guarded, Audience.ARCHIVE).scrub("with Ilse Brandauer") == "with Ilse Brandauer"


def test_xmp_tells_of_owner_serial_and_program(tmp_path: Path) -> None:
    packet = (
        b"<rdf:Description aux:SerialNumber=\"S 1 2\" aux:OwnerName='A &amp; B'><xmp:CreatorTool>Tool"
        b"</xmp:CreatorTool><dc:creator><rdf:Seq><rdf:li>Some One</rdf:li></rdf:Seq></dc:creator>"
    )
    path = tmp_path / "a.jpg"
    Image.new("RGB", (60, 40)).save(path, xmp=packet)
    assert {(one.kind, one.text) for one in private_values(path)} == {
        ("serial number", "S 1 2"),
        ("owner", "A & B"),
        ("software", "Tool"),
        ("artist", "Some One"),
    }
    assert private_values(tmp_path / "gone.jpg") == ()
