"""One exposure, several files: raw and JPEG, sidecars, marks of an editor, and cards that go away."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import count, permutations
from pathlib import Path
from typing import Any

import piexif
import pytest

from logbook.domain.keeper import Companion, Keeper
from logbook.domain.words import Provenance
from logbook.services import kinds, records
from logbook.services.keepers.importing import TakenIn, take_in
from logbook.services.keepers.keeping import list_keepers, note_keepers, show_keeper
from logbook.services.keepers.picture_files import WantedMarks
from logbook.store.book import Book
from tests.services.keepers.frames import TAKEN, names, raw, sidecar, the_keeper

Picture = Callable[..., Path]
Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]


def test_raw_and_jpeg_of_one_frame_are_one_keeper_that_shows_the_jpeg(
    book: Book, tmp_path: Path, picture: Picture, dump: Dump
) -> None:
    folder = tmp_path / "card"
    picture(folder / "IMG_0412.JPG")
    raw(folder / "IMG_0412.CR2", lens="Halvern Fern")
    assert take_in(book, folder, trip=None) == TakenIn(1, 0, 0, (), joined=1)
    keeper = the_keeper(book)
    assert (keeper.file, keeper.format, names(keeper)) == ("IMG_0412.JPG", "JPEG", ["IMG_0412.CR2"])
    assert keeper.lens == "Halvern Fern"  # the JPEG does not say
    assert keeper.provenance_of("lens") is Provenance.CAMERA
    before = dump()
    assert take_in(book, folder, trip=None) == TakenIn(0, 2, 0, ())
    assert dump() == before


def plain_facts(keeper: Keeper) -> Keeper:
    """A keeper without what depends on when it was taken in."""
    start = datetime(2031, 1, 1, tzinfo=UTC)
    return replace(keeper, id="", created=start, updated=start, trip_id="")


@pytest.mark.slow
def test_the_order_in_which_the_files_come_makes_no_difference(tmp_path: Path, picture: Picture) -> None:
    kinds_of_file = ("JPG", "CR2", "xmp")
    found = []
    ticks = count()
    for number, order in enumerate([("all",), *permutations(kinds_of_file)]):
        book = Book(
            tmp_path / f"{number}.sqlite",
            lambda: datetime(2031, 10, 14, 18, tzinfo=UTC) + timedelta(seconds=next(ticks)),
            create=True,
        )
        records.add(book, kinds.TRIP, {"title": "Valley", "zone": "Asia/Dushanbe"}, "valley")
        folder = tmp_path / "card"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        for kind in order:
            if kind in ("JPG", "all"):
                picture(folder / "IMG_0412.JPG")
            if kind in ("CR2", "all"):
                raw(folder / "IMG_0412.CR2", lens="Halvern Fern")
            if kind in ("xmp", "all"):
                sidecar(folder / "IMG_0412.xmp", rating=4, title="Bridge")
            if kind != "xmp" or order[0] != "xmp":
                take_in(book, folder, trip=None)
        found.append(plain_facts(the_keeper(book)))
    assert found[0].rating == 4
    assert names(found[0]) == ["IMG_0412.CR2", "IMG_0412.xmp"]
    assert all(one == found[0] for one in found[1:])


@pytest.mark.parametrize(
    "other",
    [
        {"taken": "2031:10:14 17:42:06"},
        {"model": "H7"},
    ],
)
def test_a_raw_file_of_another_moment_or_body_is_a_keeper_of_its_own(
    book: Book, tmp_path: Path, picture: Picture, other: dict[str, str]
) -> None:
    picture(tmp_path / "card" / "IMG_0412.JPG")
    raw(tmp_path / "card" / "IMG_0412.CR2", **other)
    assert take_in(book, tmp_path / "card", trip=None) == TakenIn(2, 0, 0, ())


def test_a_raw_file_that_is_kept_elsewhere_joins_later(book: Book, tmp_path: Path, picture: Picture) -> None:
    picture(tmp_path / "road" / "IMG_0412.JPG")
    take_in(book, tmp_path / "road", trip=None)
    note_keepers(book, None, "0412", {"caption": "Mine."})
    raw(tmp_path / "home" / "img_0412.cr2")
    sidecar(tmp_path / "home" / "img_0412.xmp", title="Theirs", rating=3)
    assert take_in(book, tmp_path / "home", trip=None) == TakenIn(0, 0, 0, (), joined=1)
    keeper = the_keeper(book)
    assert (keeper.file, keeper.caption, keeper.rating) == ("IMG_0412.JPG", "Mine.", 3)


def test_a_raw_file_and_its_copy_in_another_raw_format_are_one_frame(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    folder = tmp_path / "card"
    for suffix in ("CR2", "DNG"):
        raw(folder / f"IMG_0412.{suffix}", lens=suffix)  # so that their contents differ
    assert take_in(book, folder, trip=None) == TakenIn(1, 0, 0, (), joined=1)
    picture(folder / "IMG_0412.JPG")
    assert take_in(book, folder, trip=None) == TakenIn(0, 2, 0, (), joined=1)
    assert (the_keeper(book).file, names(the_keeper(book))) == (
        "IMG_0412.JPG",
        ["IMG_0412.CR2", "IMG_0412.DNG"],
    )
    assert take_in(book, folder, trip=None) == TakenIn(0, 3, 0, ())


def test_a_raw_file_alone_is_a_keeper(book: Book, tmp_path: Path) -> None:
    raw(tmp_path / "card" / "IMG_0412.CR2")
    assert take_in(book, tmp_path / "card", trip=None).added == 1
    assert (the_keeper(book).format, the_keeper(book).iso) == ("CR2", 200)


def test_show_lists_all_files(book: Book, tmp_path: Path, picture: Picture) -> None:
    from logbook.faces.plain import keeper_json

    picture(tmp_path / "card" / "IMG_0412.JPG")
    raw(tmp_path / "card" / "IMG_0412.CR2")
    take_in(book, tmp_path / "card", trip=None)
    listing = show_keeper(book, None, "0412")
    data = keeper_json(listing.records[0], listing)
    assert [Path(one["path"]).name for one in data["also"]] == ["IMG_0412.CR2"]
    assert len(data["also"][0]["hash"]) == 64
    assert "keywords" not in data["provenance"]


@pytest.mark.parametrize("where", ["IMG_0412.xmp", "IMG_0412.CR2.xmp", "IMG_0412.JPG.XMP"])
def test_marks_beside_any_file_of_a_frame_select_the_whole_frame(
    book: Book, tmp_path: Path, picture: Picture, where: str
) -> None:
    folder = tmp_path / "card"
    picture(folder / "IMG_0412.JPG")
    raw(folder / "IMG_0412.CR2")
    picture(folder / "IMG_0413.JPG", look=2, taken="2031:10:14 17:43:05")
    sidecar(folder / where, rating=3, label="Red", words=("water", "Silk"), title="Bridge")
    done = take_in(book, folder, trip=None, wanted=WantedMarks(rating=3, label="red", keywords=("silk",)))
    assert done == TakenIn(1, 0, 0, (), joined=1, passed_over=1)
    keeper = the_keeper(book)
    assert (keeper.rating, keeper.label, keeper.keywords) == (3, "Red", ("water", "Silk"))
    assert keeper.caption == "Bridge"
    assert keeper.provenance_of("caption") is keeper.provenance_of("keywords") is Provenance.CAMERA


@pytest.mark.parametrize(
    ("wanted", "files"),
    [
        (WantedMarks(rating=3), ["A.JPG", "B.JPG"]),
        (WantedMarks(rating=4), ["A.JPG"]),
        (WantedMarks(rating=-1), ["A.JPG", "B.JPG", "C.JPG"]),
        (WantedMarks(label="RED"), ["A.JPG", "C.JPG"]),
        (WantedMarks(keywords=("water",)), ["A.JPG", "B.JPG"]),
        (WantedMarks(keywords=("water", "night")), ["B.JPG"]),
        (WantedMarks(rating=5, label="Red"), []),
        (WantedMarks(), ["A.JPG", "B.JPG", "C.JPG", "D.JPG"]),
    ],
)
def test_only_pictures_with_the_wanted_marks_are_taken(
    book: Book, tmp_path: Path, picture: Picture, wanted: WantedMarks, files: list[str]
) -> None:
    folder = tmp_path / "card"
    for look, name in enumerate("ABCD"):
        picture(folder / f"{name}.JPG", look=look, taken=f"2031:10:14 17:0{look}:00")
    sidecar(folder / "A.xmp", rating=4, label="Red", words=("water",))
    sidecar(folder / "B.xmp", rating=3, words=("water", "Night"))
    sidecar(folder / "C.xmp", rating=-1, label="Red")
    done = take_in(book, folder, trip=None, wanted=wanted)
    assert sorted(one.file for one in list_keepers(book, None, {}).records) == files
    assert (done.added, done.passed_over) == (len(files), 4 - len(files))


def test_a_changed_sidecar_updates_what_nobody_stated(book: Book, tmp_path: Path, picture: Picture) -> None:
    folder = tmp_path / "card"
    picture(folder / "A.JPG")
    sidecar(folder / "A.xmp", rating=2, label="Red", words=("water",), title="Old")
    take_in(book, folder, trip=None)
    note_keepers(book, None, "a", {"caption": "Mine."})
    sidecar(folder / "A.xmp", rating=5, words=("silk",), title="New")
    assert take_in(book, folder, trip=None) == TakenIn(0, 0, 0, (), updated=1)
    keeper = the_keeper(book)
    assert (keeper.rating, keeper.label, keeper.keywords, keeper.caption) == (5, None, ("silk",), "Mine.")
    assert keeper.provenance_of("caption") is Provenance.STATED
    assert take_in(book, folder, trip=None) == TakenIn(0, 1, 0, ())


def test_a_picture_that_an_editor_wrote_into_stays_the_same_keeper(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    path = picture(tmp_path / "card" / "A.JPG")
    take_in(book, path.parent, trip=None)
    note_keepers(book, None, "a", {"note": "kept"})
    before = the_keeper(book)
    packet = sidecar(tmp_path / "packet.xmp", rating=4).read_bytes()
    segment = b"http://ns.adobe.com/xap/1.0/\0" + packet
    whole = path.read_bytes()
    path.write_bytes(whole[:2] + b"\xff\xe1" + (len(segment) + 2).to_bytes(2, "big") + segment + whole[2:])
    assert take_in(book, path.parent, trip=None) == TakenIn(0, 0, 0, (), updated=1, renewed=("a",))
    after = the_keeper(book)
    assert (after.id, after.slug, after.note, after.rating) == (before.id, before.slug, "kept", 4)
    assert after.hash != before.hash


def test_a_damaged_sidecar_is_a_doubt_and_hinders_nothing(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    folder = tmp_path / "card"
    picture(folder / "A.JPG")
    (folder / "A.xmp").write_bytes(b"<!DOCTYPE x [<!ENTITY a 'b'>]><x>&a;</x>")
    assert take_in(book, folder, trip=None).added == 1
    assert any("document type" in doubt for doubt in the_keeper(book).doubts)


def test_a_companion_is_written_as_a_line_of_checksums() -> None:
    one = Companion("ab" * 32, "/card/two  words.CR2")
    assert Companion.of(str(one)) == one
    assert not one.is_sidecar
    assert Companion("0", "/card/A.XMP").is_sidecar


def test_a_caption_of_the_file_is_not_put_into_a_persons_mouth_by_a_draft(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    from logbook.services.dayfiles.draft import draft_day

    folder = tmp_path / "card"
    picture(folder / "IMG_0412.JPG")
    sidecar(folder / "IMG_0412.xmp", title="Bridge of silk")
    take_in(book, folder, trip=None)
    assert "Bridge of silk" not in str(draft_day(book, None, date(2031, 10, 14)))
    note_keepers(book, None, "0412", {"caption": "Bridge of silk"})
    assert "Bridge of silk" in str(draft_day(book, None, date(2031, 10, 14)))


def settings(path: Path, **values: str) -> Path:
    """An XMP file with camera settings: `exif_FNumber="8/1"`."""
    told = " ".join(f'{name.replace("_", ":")}="{value}"' for name, value in values.items())
    path.write_text(
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" '
        f'xmlns:tiff="http://ns.adobe.com/tiff/1.0/" {told}/></rdf:RDF></x:xmpmeta>',
        encoding="utf-8",
    )
    return path


def test_a_scan_with_a_sidecar_has_its_time_and_settings_from_there(
    book: Book, tmp_path: Path, dump: Dump
) -> None:
    from PIL import Image

    Image.new("RGB", (60, 40)).save(tmp_path / "scan.png")
    beside = tmp_path / "scan.xmp"
    settings(beside, exif_DateTimeOriginal="2031-10-14T17:42:05", exif_FNumber="8/1", tiff_Orientation="6")
    take_in(book, tmp_path, trip=None)
    keeper = the_keeper(book)
    assert (keeper.taken_text, keeper.f_number, keeper.orientation) == (TAKEN, 8.0, 6)
    assert keeper.taken_utc == datetime(2031, 10, 14, 12, 42, 5, tzinfo=UTC)
    assert keeper.provenance_of("f_number") is keeper.provenance_of("taken_text") is Provenance.CAMERA
    before = dump()
    assert take_in(book, tmp_path, trip=None) == TakenIn(0, 1, 0, ())
    assert dump() == before


def test_a_sidecar_that_comes_later_gives_time_settings_and_orientation(
    book: Book, tmp_path: Path, picture: Picture
) -> None:
    picture(tmp_path / "IMG_0412.JPG", taken=None)
    take_in(book, tmp_path, trip=None)
    assert the_keeper(book).taken_local is None
    beside = tmp_path / "IMG_0412.xmp"
    settings(beside, exif_DateTimeOriginal="2031-10-14T17:42:05", exif_FNumber="11/1", tiff_Orientation="8")
    assert take_in(book, tmp_path, trip=None) == TakenIn(0, 0, 0, (), updated=1)
    keeper = the_keeper(book)
    assert (keeper.taken_text, keeper.f_number, keeper.orientation) == (TAKEN, 8.0, 8)
    assert keeper.taken_utc == datetime(2031, 10, 14, 12, 42, 5, tzinfo=UTC)
    assert keeper.doubts == ("aperture differs: Exif says 8, XMP 11; Exif is used",)


@pytest.mark.slow
def test_what_an_older_program_did_not_read_comes_with_the_next_import_of_the_files(
    book: Book, tmp_path: Path, dump: Dump
) -> None:
    exif = {piexif.ExifIFD.DateTimeOriginal: TAKEN, piexif.ExifIFD.BrightnessValue: (-32, 10)}
    exif |= {piexif.ExifIFD.SubjectDistance: (25, 10), piexif.ExifIFD.SubjectDistanceRange: 2}
    (tmp_path / "IMG_0412.NEF").write_bytes(piexif.dump({"Exif": exif})[6:])
    take_in(book, tmp_path, trip=None)
    as_read = the_keeper(book)
    light = ("brightness_ev", "subject_distance_m", "subject_distance_range")
    unread = replace(as_read, brightness_ev=None, subject_distance_m=None, subject_distance_range=None)
    provenance = {name: word for name, word in as_read.provenance.items() if name not in light}
    with book.writing() as desk:
        desk.keepers.put(replace(unread, provenance=provenance, caption="stated"))
        files = desk.known_files.of([as_read.path]).values()
        desk.known_files.note(replace(one, reader="an older one") for one in files)
    assert take_in(book, tmp_path, trip=None) == TakenIn(0, 0, 0, (), updated=1)
    assert the_keeper(book) == replace(as_read, caption="stated", updated=the_keeper(book).updated)
    assert (as_read.brightness_ev, as_read.subject_distance_m) == (-3.2, 2.5)
    before = dump()
    assert take_in(book, tmp_path, trip=None) == TakenIn(0, 1, 0, ())
    assert dump() == before
