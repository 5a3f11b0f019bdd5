"""A report in a zip: whole, the same each time, with plain names, and never over somebody's own file."""

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from zipfile import ZipFile

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.errors import OutputError
from logbook.faces.report import BuiltReport
from logbook.faces.report.zipping import zip_report


@pytest.fixture
def folder(account: TripAccount, build: Callable[..., BuiltReport]) -> Path:
    return build(account, name="Für the client.").index.parent


def test_it_holds_every_file_and_the_list_without_the_trip(folder: Path) -> None:
    with ZipFile(zip_report(folder)) as archive:
        held = {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}
        assert {name.partition("/")[0] for name in archive.namelist()} == {"fur-the-client"}
    there = {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    first, about, *files = there.pop(".logbook-report").decode().splitlines()
    assert about == "for client of trip trip"
    assert held.pop(".logbook-report").decode().splitlines() == [first, "for client of trip ", *files]
    assert held == there


def test_the_same_report_gives_the_same_bytes(folder: Path) -> None:
    first = zip_report(folder).read_bytes()
    for path in folder.rglob("*.html"):
        path.touch()
    assert zip_report(folder).read_bytes() == first


def test_a_file_of_somebody_elses_is_not_replaced(folder: Path) -> None:
    other = folder.with_name(f"{folder.name}.zip")
    other.write_bytes(b"years of work")
    with pytest.raises(OutputError, match="is not a zipped report"):
        zip_report(folder)
    assert other.read_bytes() == b"years of work"
    with ZipFile(other, "w") as archive:
        archive.writestr("thesis.txt", "more years")
    with pytest.raises(OutputError):
        zip_report(folder)


@pytest.mark.skipif(not shutil.which("unzip"), reason="unzip is not installed")
def test_an_outside_program_finds_it_sound(folder: Path) -> None:
    done = subprocess.run(["unzip", "-tq", str(zip_report(folder))], capture_output=True, timeout=60)
    assert done.returncode == 0, done.stdout
