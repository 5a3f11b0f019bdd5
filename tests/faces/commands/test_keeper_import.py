"""`keeper import` as a person sees it: marks, frames, and what was left out."""

import shutil
from pathlib import Path

import piexif
from PIL import Image

from tests.faces.conftest import Run

CAMERAS = Path(__file__).parents[2] / "intake" / "files" / "cameras"


def card(folder: Path) -> Path:
    """A frame as JPEG and raw, and a raw file of a real camera with an editor's file beside it."""
    folder.mkdir()
    exif = {"0th": {piexif.ImageIFD.Make: "Halvern", piexif.ImageIFD.Model: "Thistle"}}
    exif["Exif"] = {piexif.ExifIFD.DateTimeOriginal: "2031:10:14 17:42:05"}
    block = piexif.dump(exif)
    Image.new("RGB", (24, 16)).save(folder / "IMG_0412.JPG", exif=block)
    (folder / "IMG_0412.CR2").write_bytes(block[6:])
    shutil.copy(CAMERAS / "FujiFilm.raf", folder / "IMG_0413.RAF")
    shutil.copy(CAMERAS / "XMP6.xmp", folder / "IMG_0413.xmp")
    return folder


def test_only_marked_pictures_are_taken_and_the_others_are_counted(stocked: Run, tmp_path: Path) -> None:
    folder = card(tmp_path / "card")
    answer = stocked("keeper", "import", str(folder), "--rating", "2", "--keyword", "X")
    assert answer.status == 0
    assert "1 added" in answer.out
    assert "2 skipped" in answer.out
    (keeper,) = stocked("keeper", "list", "--json").data
    assert (keeper["file"], keeper["rating"], keeper["keywords"]) == ("IMG_0413.RAF", 2, ["x"])
    assert keeper["provenance"]["rating"] == keeper["provenance"]["keywords"] == "camera"


def test_a_frame_in_two_files_is_one_line_of_the_list_and_shows_both(stocked: Run, tmp_path: Path) -> None:
    folder = card(tmp_path / "card")
    answer = stocked("keeper", "import", str(folder))
    assert "2 added, 1 joined to a keeper." in answer.out
    assert "IMG_0412.JPG + CR2" in stocked("keeper", "list").out
    shown = stocked("keeper", "show", "0412", "--json").data
    assert [Path(one["path"]).name for one in shown["also"]] == ["IMG_0412.CR2"]
    assert "IMG_0412.CR2" in stocked("keeper", "show", "0412").out.replace("\n", "").replace(" ", "")
    assert stocked("find", "x").status == 0


def test_a_rating_that_cannot_be_is_wrong_use(stocked: Run, tmp_path: Path) -> None:
    assert stocked("keeper", "import", str(card(tmp_path / "card")), "--rating", "6").status == 2
