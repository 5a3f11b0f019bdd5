"""A name means the pictures that are meant, or the question is asked; never more than was meant."""

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import piexif
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from logbook.domain.errors import NotFoundError
from logbook.domain.words import JoinedKind, OutcomeWord, Support
from logbook.services import kinds, records
from logbook.services.dayfiles.days import read_day
from logbook.services.keepers import sets
from logbook.services.keepers.importing import take_in
from logbook.services.keepers.keeping import list_keepers, note_keepers, show_keeper, slug_of_keeper
from logbook.services.naming import (
    Narrow,
    SeveralKeepersError,
    is_bare_number,
    matching,
    number_of,
    split_range,
)
from logbook.services.plans import outcomes
from logbook.store.book import Book

Dump = Callable[[], dict[str, list[tuple[Any, ...]]]]
TWELFTH, FOURTEENTH = date(2031, 10, 12), date(2031, 10, 14)


def shoot(folder: Path, name: str, taken: str | None, body: str | None = "Thistle") -> None:
    """A picture as a camera writes one."""
    folder.mkdir(parents=True, exist_ok=True)
    exif: dict[int, Any] = {piexif.ExifIFD.DateTimeOriginal: taken} if taken else {}
    first: dict[int, Any] = {piexif.ImageIFD.ImageDescription: f"{name} {taken}"}
    if body:
        first |= {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: body}
    Image.new("RGB", (24, 16)).save(folder / name, "JPEG", exif=piexif.dump({"0th": first, "Exif": exif}))


@pytest.fixture
def crowded(book: Book, tmp_path: Path) -> Book:
    """BRK_0101 of the 12th and, of the 14th, BRK_0101 to 0103 of one camera and HAL_0102 of another."""
    cards = tmp_path / "cards"
    shoot(cards / "old", "BRK_0101.JPG", "2031:10:12 09:00:00", "Bramble")
    for number, minute in ((101, 0), (102, 1), (103, 2)):
        shoot(cards / "new", f"BRK_{number:04}.JPG", f"2031:10:14 17:{minute:02}:00", "Bramble")
    shoot(cards / "new", "HAL_0102.JPG", "2031:10:14 17:30:00", "Thistle")
    shoot(cards / "new", "HAL_0200.JPG", "2031:10:14 17:31:00", "Thistle")
    take_in(book, cards, trip=None, recursive=True)
    return book


def noted(book: Book) -> set[str]:
    """The pictures of which a support is known, each with its day."""
    return {
        f"{one.file} {one.place_time:%d}"
        for one in list_keepers(book, None, {}).records
        if one.support is not None
    }


def read(book: Book, tmp_path: Path, line: str) -> list[str]:
    """Read a day file of the 14th with one line; return what is left to sort out."""
    file = tmp_path / "day.md"
    file.write_text(f"---\ntrip: valley\ndate: 2031-10-14\n---\n- {line}\n", encoding="utf-8")
    return [one.why for one in read_day(book, file).loose]


def test_a_number_in_a_day_file_is_one_of_its_day(crowded: Book, tmp_path: Path) -> None:
    assert read(crowded, tmp_path, "keepers 0101: tripod") == []
    assert noted(crowded) == {"BRK_0101.JPG 14"}


def test_a_number_of_two_cameras_of_the_day_is_left_to_sort_out_with_both(
    crowded: Book, tmp_path: Path
) -> None:
    for line in ("keepers 0102: tripod", "keepers 0101-0102: tripod", "keepers 101 to 103: tripod"):
        (why,) = read(crowded, tmp_path, line)
        assert "BRK_010" in why
        assert "HAL_0102.JPG" in why
    assert noted(crowded) == set()


def test_a_range_that_only_two_cameras_together_fill_is_no_range(crowded: Book, tmp_path: Path) -> None:
    (why,) = read(crowded, tmp_path, "keepers 0103-0200: tripod")
    assert "BRK_0103.JPG" in why
    assert "HAL_0200.JPG" in why


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("keepers BRK_0101-0102: tripod", {"BRK_0101.JPG 14", "BRK_0102.JPG 14"}),
        ("keepers BRK_0101–BRK_0102: tripod", {"BRK_0101.JPG 14", "BRK_0102.JPG 14"}),
        ("keeper hal_0102.jpg: tripod", {"HAL_0102.JPG 14"}),
        ("keeper HAL0102: tripod", {"HAL_0102.JPG 14"}),
        ("keeper 0200: tripod", {"HAL_0200.JPG 14"}),
        ("keepers 0103, HAL_0102: tripod", {"BRK_0103.JPG 14", "HAL_0102.JPG 14"}),
    ],
)
def test_a_longer_name_settles_it(crowded: Book, tmp_path: Path, line: str, meant: set[str]) -> None:
    assert read(crowded, tmp_path, line) == []
    assert noted(crowded) == meant


def test_a_number_of_another_day_alone_says_of_which(crowded: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "more", "BRK_0090.JPG", "2031:10:12 08:00:00", "Bramble")
    take_in(crowded, tmp_path / "more", trip=None)
    (why,) = read(crowded, tmp_path, "keeper 0090: tripod")
    assert "only from 2031-10-12" in why
    assert read(crowded, tmp_path, "keeper BRK_0090: tripod") == []
    assert noted(crowded) == {"BRK_0090.JPG 12"}


@pytest.mark.slow
def test_a_picture_without_a_time_may_be_of_any_day(crowded: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "more", "SCAN_0300.JPG", None)
    take_in(crowded, tmp_path / "more", trip=None)
    assert read(crowded, tmp_path, "keeper 0300: tripod") == []
    shoot(tmp_path / "still", "SCAN_0103.JPG", None)
    take_in(crowded, tmp_path / "still", trip=None)
    assert read(crowded, tmp_path, "keeper 0103: tripod") == []
    with crowded.reading() as desk:
        found = {one.file for one in desk.keepers.all() if one.support}
    assert found == {"BRK_0103.JPG"}


def test_the_number_of_a_replacement_is_one_of_the_day(crowded: Book, tmp_path: Path) -> None:
    assert read(crowded, tmp_path, "shot bridge-flow: replaced by 0101") == []
    with crowded.reading() as desk:
        (outcome,) = desk.outcomes.all()
        keeper = desk.keepers.get(outcome.replaced_by_keeper_id)
    assert keeper is not None
    assert f"{keeper.file} {keeper.place_time:%d}" == "BRK_0101.JPG 14"
    assert "HAL_0102.JPG" in read(crowded, tmp_path, "shot bridge-flow: replaced by 0102")[0]


STATED: dict[str, Callable[[Book, str, Narrow], object]] = {
    "note": lambda book, which, narrow: note_keepers(
        book, None, which, {"support": Support.TRIPOD}, narrow=narrow
    ),
    "show": lambda book, which, narrow: show_keeper(book, None, which, narrow),
    "remove": lambda book, which, narrow: slug_of_keeper(book, None, which, narrow),
    "split": lambda book, which, narrow: sets.split(book, None, which, narrow),
    "join": lambda book, which, narrow: sets.join(book, None, which, JoinedKind.BRACKET, narrow),
    "replaced by": lambda book, which, narrow: outcomes.edit_shot(
        book, "bridge-flow", {}, outcomes.OutcomeSaid(OutcomeWord.REPLACED, replaced_by=which)
    ),
}


@pytest.mark.parametrize("verb", STATED)
@pytest.mark.parametrize("which", ["0101", "0102"])
def test_every_verb_asks_which_one_is_meant_and_changes_nothing(
    crowded: Book, dump: Dump, verb: str, which: str
) -> None:
    before = dump()
    with pytest.raises(SeveralKeepersError) as asked:
        STATED[verb](crowded, which, Narrow())
    assert dump() == before
    listed = str(asked.value)
    assert listed.count("JPG") + listed.count("brk-") >= 2
    assert "2031-10-14" in listed


@pytest.mark.parametrize(
    ("which", "narrow", "meant"),
    [
        ("0101", Narrow(on=TWELFTH), {"BRK_0101.JPG 12"}),
        ("0101-0103", Narrow(on=FOURTEENTH, body="bramble"), {f"BRK_010{one}.JPG 14" for one in (1, 2, 3)}),
        ("0102", Narrow(body="thistle"), {"HAL_0102.JPG 14"}),
        ("HAL_0102", Narrow(), {"HAL_0102.JPG 14"}),
        ("0103", Narrow(), {"BRK_0103.JPG 14"}),
        ("0103; 0200", Narrow(), {"BRK_0103.JPG 14", "HAL_0200.JPG 14"}),
        ("brk-0101-2", Narrow(), {"BRK_0101.JPG 12"}),
    ],
)
def test_a_day_a_camera_or_a_longer_name_says_which(
    crowded: Book, which: str, narrow: Narrow, meant: set[str]
) -> None:
    with crowded.reading() as desk:
        slugs = {one.slug: f"{one.file} {one.place_time:%d}" for one in desk.keepers.all()}
    if which == "brk-0101-2":
        meant = {slugs[which]}
    note_keepers(crowded, None, which, {"support": Support.TRIPOD}, narrow=narrow)
    assert noted(crowded) == meant


def test_a_name_of_another_day_or_camera_than_asked_is_not_taken(crowded: Book) -> None:
    with pytest.raises(NotFoundError):
        note_keepers(crowded, None, "HAL_0102", {"note": "x"}, narrow=Narrow(body="Bramble"))
    with pytest.raises(NotFoundError):
        note_keepers(crowded, None, "0200", {"note": "x"}, narrow=Narrow(on=TWELFTH))


def test_the_same_file_name_of_two_cameras_is_told_apart_by_slug(book: Book, tmp_path: Path) -> None:
    for body in ("Bramble", "Thistle"):
        shoot(tmp_path / "in" / body, "DSC_0007.JPG", "2031:10:14 17:00:00", body)
    take_in(book, tmp_path / "in", trip=None, recursive=True)
    with pytest.raises(SeveralKeepersError, match=r"dsc-0007 from .* or dsc-0007-2 from .*--body NAME"):
        note_keepers(book, None, "DSC_0007.JPG", {"note": "x"})
    assert len(note_keepers(book, None, "dsc-0007", {"note": "x"}).records) == 1


def test_the_files_of_one_frame_are_one_picture(book: Book, tmp_path: Path) -> None:
    shoot(tmp_path / "in", "DSC_0007.JPG", "2031:10:14 17:00:00")
    shoot(tmp_path / "in", "DSC_0007-print.JPG", "2031:10:14 17:00:00")
    take_in(book, tmp_path / "in", trip=None)
    assert len(note_keepers(book, None, "0007", {"note": "x"}).records) == 2


def test_pictures_of_two_trips_are_told_apart_by_trip(crowded: Book, tmp_path: Path) -> None:
    records.add(crowded, kinds.TRIP, {"title": "Salt coast"})
    shoot(tmp_path / "coast", "BRK_0103.JPG", "2031:11:14 17:00:00", "Bramble")
    take_in(crowded, tmp_path / "coast", trip="salt-coast")
    with pytest.raises(SeveralKeepersError, match="--trip"):
        show_keeper(crowded, None, "0103")


@pytest.mark.parametrize(
    ("which", "ends"),
    [
        ("0412-0419", ("0412", "0419")),
        ("0412 – 0419", ("0412", "0419")),
        ("TRN_0412..TRN_0419", ("TRN_0412", "TRN_0419")),
        ("0412", ("0412", "0412")),
        ("opening.jpg", ("opening.jpg", "opening.jpg")),
    ],
)
def test_a_range_has_two_ends_and_one_name_is_a_range_of_itself(which: str, ends: tuple[str, str]) -> None:
    assert split_range(which) == ends


@pytest.mark.parametrize(
    ("first", "last", "numbers"),
    [
        ("0412", "0412", [412]),
        ("412", "412", [412]),
        ("0414", "0416", [414, 415, 416]),
        ("TRN_0414", "TRN_0416", [414, 415, 416]),
        ("trn_0414.jpg", "trn_0414.jpg", [414]),
        ("trn-0414", "trn-0414", [414]),
        ("PKT_0414", "PKT_0416", []),
        ("0418", "0999", [418, 419]),
        ("0416", "0414", [414, 415, 416]),
        ("dawn", "dusk", []),
    ],
)
def test_keepers_match_by_number_name_or_range(
    book: Book, keepers: Path, first: str, last: str, numbers: list[int]
) -> None:
    found = matching(list_keepers(book, None, {}).records, first, last)
    assert [number_of(keeper.file) for keeper in found] == numbers


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("TRN_0412.JPG", 412),
        ("0412", 412),
        ("trn-0412", 412),
        ("2031_0007.heic", 7),
        ("dawn.jpg", None),
    ],
)
def test_a_file_number_is_the_last_number_of_its_name(name: str, number: int | None) -> None:
    assert number_of(name) == number


@given(st.text(max_size=20))
def test_any_name_has_a_number_or_none(text: str) -> None:
    assert (number_of(text) is None) is not bool(re.search(r"\d", Path(text).stem if "." in text else text))
    assert not is_bare_number(text) or number_of(text) is not None
