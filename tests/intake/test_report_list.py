"""A report is known by its list wherever it lies, file by file, and says for whom it is."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.words import Audience
from logbook.intake.pictures import find_files
from logbook.intake.report_list import LIST_NAME, Listed, digest, list_text, read_list, report_around

NAMES = st.text(st.characters(codec="utf-8", exclude_characters="\t\0/"), min_size=1).filter(
    lambda name: name.splitlines() == [name] and name != ".."
)


def report(folder: Path, *pictures: str) -> Path:
    """A folder with pictures and the list that a report of them has."""
    folder.mkdir(parents=True)
    for name in pictures:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(b"x")
    listed = Listed({name: digest(b"x") for name in pictures}, Audience.CLIENT, "trip")
    (folder / LIST_NAME).write_text(list_text(listed), encoding="utf-8")
    return folder


def found(folder: Path, *, recursive: bool = True) -> tuple[set[str], int]:
    there = find_files(folder, recursive)
    return {Path(path).name for path in there.pictures}, sum(there.made_here.values())


@given(
    names=st.dictionaries(NAMES, st.just("0" * 32)),
    mine=st.frozensets(NAMES),
    audience=st.sampled_from(Audience),
    trip_id=st.none() | st.uuids().map(str),
)
def test_a_list_is_read_back_as_it_was_written(
    tmp_path_factory: pytest.TempPathFactory,
    names: dict[str, str],
    mine: frozenset[str],
    audience: Audience,
    trip_id: str | None,
) -> None:
    folder = tmp_path_factory.mktemp("report")
    listed = Listed(names, audience, trip_id, mine - names.keys())
    (folder / LIST_NAME).write_text(list_text(listed), encoding="utf-8", newline="\n")
    assert read_list(folder) == listed


def test_its_pictures_are_passed_by_and_those_of_a_person_are_not(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"x")
    report(tmp_path / "for-the-client", "pictures/1-480.jpg", "pictures/1-720.jpg", "top.jpg")
    (tmp_path / "for-the-client" / "pictures" / "own.jpg").write_bytes(b"x")
    (tmp_path / "for-the-client" / "mine").mkdir()
    (tmp_path / "for-the-client" / "mine" / "1-480.jpg").write_bytes(b"x")
    assert found(tmp_path) == ({"a.jpg", "own.jpg", "1-480.jpg"}, 3)


@pytest.mark.parametrize("name", ["", "pictures"])
def test_a_folder_within_a_report_is_known_too(tmp_path: Path, name: str) -> None:
    folder = report(tmp_path / "somewhere" / "else", "pictures/1-480.jpg")
    assert found(folder / name) == (set(), 1)


def test_a_link_into_a_report_leads_to_no_picture_of_a_persons(tmp_path: Path) -> None:
    folder = report(tmp_path / "reports" / "client", "pictures/1-480.jpg")
    (tmp_path / "pics").mkdir()
    (tmp_path / "pics" / "web").symlink_to(folder / "pictures")
    assert found(tmp_path / "pics") == (set(), 1)


def test_a_report_within_a_report_has_a_list_of_its_own(tmp_path: Path) -> None:
    report(tmp_path / "all", "trips/1/1-480.jpg")
    report(tmp_path / "all" / "mine" / "client", "pictures/2-480.jpg")
    assert found(tmp_path / "all") == (set(), 2)


@pytest.mark.parametrize("content", [b"", b"another program's\na.jpg\t0", b"\xff\xfe"])
def test_another_file_of_that_name_means_nothing(tmp_path: Path, content: bytes) -> None:
    (tmp_path / LIST_NAME).write_bytes(content)
    (tmp_path / "a.jpg").write_bytes(b"x")
    assert found(tmp_path) == ({"a.jpg"}, 0)
    assert report_around(tmp_path) is None


def test_neither_does_a_folder_or_a_pipe(tmp_path: Path) -> None:
    (tmp_path / "one" / LIST_NAME).mkdir(parents=True)
    (tmp_path / "two").mkdir()
    os.mkfifo(tmp_path / "two" / LIST_NAME)
    for name in ("one", "two"):
        (tmp_path / name / "a.jpg").write_bytes(b"x")
        assert found(tmp_path / name) == ({"a.jpg"}, 0)


def test_a_list_speaks_only_of_what_is_in_its_folder(tmp_path: Path) -> None:
    report(tmp_path / "pics" / "report", "1.jpg")
    with (tmp_path / "pics" / "report" / LIST_NAME).open("a", encoding="utf-8") as file:
        file.write("../a.jpg\t0\n/etc/passwd\t0\n")
    listed = read_list(tmp_path / "pics" / "report")
    assert listed is not None
    assert set(listed.digests) == {"1.jpg"}
