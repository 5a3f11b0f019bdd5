"""No picture is shown that is not the one that was taken in, and the way out is said."""

import hashlib
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import piexif
import pytest
from PIL import Image

Run = Callable[..., Any]
CLIENT = ("report", "valley", "--for", "client", "--into", "client")
COLOURS = {"red": (220, 20, 20), "green": (20, 160, 20), "blue": (20, 20, 220)}


def photograph(path: Path, colour: str, taken: str | None = None) -> Path:
    """A picture of one colour, with the time of taking where one is given."""
    exif = piexif.dump({"Exif": {piexif.ExifIFD.DateTimeOriginal: taken}} if taken else {})
    Image.new("RGB", (640, 480), COLOURS[colour]).save(path, "JPEG", exif=exif)
    return path


def shown(folder: Path) -> set[str]:
    """The colours of a report's pictures."""
    found = set()
    for path in (folder / "pictures").glob("*.jpg"):
        with Image.open(path) as made:
            pixel = made.convert("RGB").getpixel((5, 5))
        assert isinstance(pixel, tuple)
        far = {
            name: sum(abs(a - b) for a, b in zip(colour, pixel, strict=True))
            for name, colour in COLOURS.items()
        }
        found.add(min(far, key=far.__getitem__))
    return found


@pytest.fixture
def run(logbook: Run, tmp_path: Path) -> Run:
    """A trip with a red and a green picture, in the folder `pics`."""
    (tmp_path / "pics").mkdir()
    photograph(tmp_path / "pics" / "a.jpg", "red")
    photograph(tmp_path / "pics" / "b.jpg", "green")
    assert logbook("trip", "add", "Valley", "--zone", "UTC").status == 0
    assert logbook("keeper", "import", "pics", "--trip", "valley").status == 0
    return logbook


@pytest.mark.slow
def test_an_overwritten_original_stops_what_others_get_and_is_named(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    refused = run(*CLIENT)
    assert (refused.status, (tmp_path / "client").exists()) == (1, False)
    for word in ("keeper a (", "keeper locate", "keeper import", "--leave-out a "):
        assert word in refused.err
    assert "keeper b (" not in refused.err
    assert run("report", "valley", "--for", "students", "--into", "students").status == 1


@pytest.mark.slow
def test_it_stops_it_too_where_size_and_time_are_put_back(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "pics" / "a.jpg"
    before, content = path.stat(), bytearray(path.read_bytes())
    content[-20] ^= 1
    path.write_bytes(content)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert run(*CLIENT).status == 1


@pytest.mark.slow
def test_a_report_that_stands_there_already_is_no_excuse(run: Run, tmp_path: Path) -> None:
    assert run(*CLIENT).status == 0
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    before = (tmp_path / "client" / "index.html").read_bytes()
    assert run(*CLIENT).status == 1
    assert (tmp_path / "client" / "index.html").read_bytes() == before


@pytest.mark.slow
def test_the_archive_is_built_without_it_and_says_so(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    built = run("report", "valley", "--for", "archive", "--into", "mine", "--json")
    assert (built.status, built.data["pictures"]) == (0, 1)
    assert built.data["changed"] == [str(tmp_path / "pics" / "a.jpg")]
    assert "keeper import" in built.err
    assert shown(tmp_path / "mine") == {"green"}
    whole = run("report", "--all", "--for", "archive", "--into", "all", "--json")
    assert (whole.status, whole.data["changed"]) == (0, [str(tmp_path / "pics" / "a.jpg")])
    assert shown(next((tmp_path / "all" / "trips").iterdir())) == {"green"}


@pytest.mark.slow
def test_it_can_be_left_out_by_name(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    assert run(*CLIENT, "--leave-out", "a").status == 0
    assert shown(tmp_path / "client") == {"green"}
    assert "a.jpg" not in (tmp_path / "client" / "index.html").read_text(encoding="utf-8")
    assert run(*CLIENT, "--leave-out", "nobody").status == 1


@pytest.mark.slow
@pytest.mark.parametrize(
    ("audience", "begin"), [("students", 0), ("archive", 1), ("client", 0), ("students", 1)]
)
def test_every_sample_picture_can_be_left_out_for_everybody(
    demo: Path, on_demo: Run, tmp_path: Path, audience: str, begin: int
) -> None:
    """A set, a pair, a shot or an exercise may lose any of its pictures."""
    shutil.copytree(demo / audience, tmp_path / audience)  # so that its pictures are not made again
    slugs = [one["slug"] for one in on_demo("keeper", "list", "--trip", "high-valley", "--json").data]
    left_out = slugs[begin::2]
    line = ("report", "high-valley", "--for", audience, "--into", audience)
    built = on_demo(*line, "--leave-out", ",".join(left_out), "--json")
    assert (built.status, built.data["pictures"]) == (0, len(slugs) - len(left_out)), built.err


@pytest.mark.slow
def test_import_takes_the_new_version_in_and_says_whose(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    taken = run("keeper", "import", "pics", "--trip", "valley")
    assert "1 updated" in taken.out
    assert "Updated because their files have changed: a." in taken.err
    assert run(*CLIENT).status == 0
    assert shown(tmp_path / "client") == {"blue", "green"}


@pytest.mark.slow
def test_another_photograph_by_the_same_name_becomes_no_new_version(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "c.jpg", "red", "2031:10:14 17:00:00")
    assert run("keeper", "import", "pics", "--trip", "valley").status == 0
    photograph(tmp_path / "pics" / "c.jpg", "blue", "2031:10:15 09:00:00")  # the camera counted on from 1
    taken = run("keeper", "import", "pics", "--trip", "valley", "--json").data
    assert (taken["added"], taken["renewed"]) == (1, [])
    refused = run(*CLIENT)
    assert refused.status == 1
    assert "keeper c (" in refused.err
    assert run(*CLIENT, "--leave-out", "c").status == 0
    assert shown(tmp_path / "client") == {"red", "green", "blue"}


@pytest.mark.slow
def test_locate_finds_what_was_taken_in_where_something_else_lies_now(run: Run, tmp_path: Path) -> None:
    (tmp_path / "disk").mkdir()
    shutil.copyfile(tmp_path / "pics" / "a.jpg", tmp_path / "disk" / "kept.jpg")
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    assert run("keeper", "locate", "pics", "--json").data["changed"] == [str(tmp_path / "pics" / "a.jpg")]
    found = run("keeper", "locate", "disk", "--json").data
    assert [one["new"] for one in found["found"]] == [str(tmp_path / "disk" / "kept.jpg")]
    assert (found["missing"], found["changed"]) == ([], [])
    assert run(*CLIENT).status == 0
    assert shown(tmp_path / "client") == {"red", "green"}


@pytest.mark.slow
def test_importing_a_true_copy_moves_the_keeper_to_it(run: Run, tmp_path: Path) -> None:
    (tmp_path / "disk").mkdir()
    shutil.copyfile(tmp_path / "pics" / "a.jpg", tmp_path / "disk" / "a.jpg")
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    assert run("keeper", "import", "disk", "--trip", "valley", "--json").data["moved"] == 1
    assert run(*CLIENT).status == 0
    assert shown(tmp_path / "client") == {"red", "green"}


def test_check_names_it(run: Run, tmp_path: Path) -> None:
    photograph(tmp_path / "pics" / "a.jpg", "blue")
    checked = run("check")
    assert checked.status == 1
    assert f"{tmp_path / 'pics' / 'a.jpg'} has changed" in checked.out.replace("\n", " ")


def foreign(run: Run, tmp_path: Path, **claims: Any) -> None:
    """Take in a book of somebody else's whose picture lies where they say."""
    (tmp_path / "theirs").mkdir()
    photograph(tmp_path / "theirs" / "x.jpg", "blue")
    theirs = ("--book", "theirs.sqlite")
    run("trip", "add", "Coast", "--zone", "UTC", *theirs)
    run("keeper", "import", "theirs", "--trip", "coast", *theirs)
    run("export", "--as", "json", "--private", "--into", "theirs.json", *theirs)
    document = json.loads((tmp_path / "theirs.json").read_text(encoding="utf-8"))
    document["keepers"][0] |= claims
    (tmp_path / "theirs.json").write_text(json.dumps(document), encoding="utf-8")
    assert run("import", "theirs.json").status == 0


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["file", "device", "pipe", "folder", "socket", "link"])
@pytest.mark.parametrize("size", ["true", "wrong"])
def test_a_book_from_elsewhere_carries_no_file_of_this_computer_anywhere(
    run: Run, tmp_path: Path, kind: str, size: str
) -> None:
    path = tmp_path / "secret.jpg"
    if kind == "file":
        photograph(path, "blue")
    elif kind == "device":
        path = Path("/dev/zero")
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    elif kind == "socket":
        import socket

        with socket.socket(socket.AF_UNIX) as listening:
            listening.bind(str(path))
    else:
        path.symlink_to("/dev/zero")
    size_bytes = path.stat().st_size if size == "true" else 1
    also = [f"{'0' * 64}  {path}", f"{'0' * 64}  {path}.xmp"]
    foreign(run, tmp_path, path=str(path), hash="0" * 64, size_bytes=size_bytes, also=also)
    for audience in ("client", "students"):
        refused = run("report", "coast", "--for", audience, "--into", audience)
        assert (refused.status, (tmp_path / audience).exists()) == (1, False)
        assert "keeper x (" in refused.err
    built = run("report", "coast", "--for", "archive", "--into", "mine", "--zip", "--json")
    assert (built.status, built.data["pictures"], shown(tmp_path / "mine")) == (0, 0, set())
    assert run("check", "--originals").status == 1
    assert run("keeper", "locate", "theirs").status == 0
    assert run("keeper", "import", "theirs", "--trip", "coast").status == 0


@pytest.mark.slow
def test_a_picture_from_elsewhere_is_shown_once_its_content_was_compared_here(
    run: Run, tmp_path: Path
) -> None:
    foreign(run, tmp_path)
    assert run("check", "--json").data["unread"] == 1
    assert run("report", "coast", "--for", "client", "--into", "coast").status == 0
    assert shown(tmp_path / "coast") == {"blue"}
    assert run("check", "--json").data["unread"] == 0  # the report has read it


@pytest.mark.slow
def test_what_a_foreign_record_says_lies_beside_a_picture_is_not_read(run: Run, tmp_path: Path) -> None:
    packet = (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">'
        "{}</rdf:Description></rdf:RDF></x:xmpmeta>"
    )
    diary = packet.format(
        '<dc:description><rdf:Alt><rdf:li xml:lang="x-default">The safe is behind the clock</rdf:li>'
        "</rdf:Alt></dc:description>"
    )
    (tmp_path / "private").mkdir()
    (tmp_path / "private" / "diary.xmp").write_text(diary, encoding="utf-8")
    photograph(tmp_path / "private" / "diary.jpg", "green")
    true = hashlib.sha256((tmp_path / "private" / "diary.xmp").read_bytes()).hexdigest()
    also = [f"{true}  {tmp_path}/private/diary.xmp", f"{'0' * 64}  {tmp_path}/private/diary.jpg"]
    foreign(run, tmp_path, also=also)
    run("keeper", "import", "theirs", "--trip", "coast")
    (tmp_path / "theirs" / "x.xmp").write_text(packet.format("<xmp:Rating>3</xmp:Rating>"))
    assert run("keeper", "import", "theirs", "--trip", "coast", "--json").data["updated"] == 1
    shown_now = run("keeper", "show", "x", "--trip", "coast", "--json")
    assert shown_now.data["rating"] == 3
    assert "safe" not in shown_now.out


@pytest.mark.slow
def test_a_merged_book_cannot_do_it_either(run: Run, tmp_path: Path) -> None:
    secret = photograph(tmp_path / "secret.jpg", "blue")
    foreign_book = ("--book", "theirs.sqlite")
    (tmp_path / "theirs").mkdir()
    photograph(tmp_path / "theirs" / "x.jpg", "blue")
    run("trip", "add", "Coast", "--zone", "UTC", *foreign_book)
    run("keeper", "import", "theirs", "--trip", "coast", *foreign_book)
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(tmp_path / "theirs.sqlite")) as connection:
        connection.execute("UPDATE keeper SET path = ?, hash = ?", (str(secret), "0" * 64))
        connection.commit()
    assert run("merge", "theirs.sqlite").status == 0
    refused = run("report", "coast", "--for", "client", "--into", "coast")
    assert (refused.status, (tmp_path / "coast").exists()) == (1, False)


@pytest.mark.slow
def test_an_unchanged_file_is_not_read_again_for_a_report(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run(*CLIENT).status == 0
    monkeypatch.setattr(
        "logbook.services.keepers.originals.open_plain", lambda _path: pytest.fail("it was read")
    )
    assert run(*CLIENT).status == 0
    assert run("check").status == 0
    assert run("keeper", "locate", "pics").status == 0
