"""Pictures in an outside viewer: copies in order, and one sentence where it cannot be run."""

import sys
from pathlib import Path

import pytest

from logbook.domain.errors import LogbookError
from logbook.domain.keeper import Keeper
from logbook.faces.viewing import show_pictures
from logbook.store.book import Book
from tests.faces.commands.sloppy_day import build_long_day
from tests.services.night.scripted_day import build_scripted_day
from tests.services.night.sittings import now


@pytest.fixture
def keepers(tmp_path: Path) -> list[Keeper]:
    """Three pictures whose originals are at hand."""
    book = Book(build_scripted_day(tmp_path), now, create=False)
    with book.reading() as desk:
        return sorted(desk.keepers.all(), key=lambda one: one.file)[:3]


def viewer(folder: Path) -> str:
    """A program that writes down what it was asked to show."""
    program = folder / "viewer.py"
    program.write_text(
        "import sys\nopen(sys.argv[1], 'w').write('\\n'.join(sys.argv[2:]))\n", encoding="utf-8"
    )
    return f"{sys.executable} {program} {folder / 'shown.txt'}"


@pytest.mark.slow
def test_the_named_viewer_gets_copies_in_order(
    keepers: list[Keeper], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LOGBOOK_VIEWER", viewer(tmp_path))
    folder = tmp_path / "copies"
    folder.mkdir()
    before = {one.path: Path(one.path).read_bytes() for one in keepers}
    assert show_pictures(keepers, folder) == 0
    shown = [Path(line) for line in (tmp_path / "shown.txt").read_text(encoding="utf-8").splitlines()]
    names = [f"00{at} {Path(one.file).stem}.jpg" for at, one in enumerate(keepers, 1)]
    assert [one.name for one in shown] == names
    assert {one.parent for one in shown} == {folder}
    assert {one.path: Path(one.path).read_bytes() for one in keepers} == before


@pytest.mark.slow
@pytest.mark.parametrize("named", ["no-such-viewer", "false", '"'])
def test_a_viewer_that_cannot_be_run_is_one_sentence(
    keepers: list[Keeper], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    monkeypatch.setenv("LOGBOOK_VIEWER", named)
    with pytest.raises(LogbookError, match=r"could not be run; name another in LOGBOOK_VIEWER\.$"):
        show_pictures(keepers, tmp_path)


@pytest.mark.slow
def test_without_originals_there_is_nothing_to_show(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOGBOOK_VIEWER", "true")
    book = Book(build_long_day(tmp_path), now, create=False)
    with book.reading() as desk:
        found = desk.keepers.all()
    with pytest.raises(LogbookError, match="no picture to show"):
        show_pictures(found, tmp_path)
