"""Small pictures: made once, by content and state, never wider than asked, the oldest dropped first."""

import os
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from logbook.domain.keeper import Keeper
from logbook.services.keepers.thumbnails import SMALL_PX, Thumbnails
from logbook.store.book import Book
from tests.services.night.sittings import now


@pytest.fixture
def keepers(sample_book: Path) -> list[Keeper]:
    """Keepers whose originals are there."""
    with Book(sample_book, now, create=False).reading() as desk:
        return sorted(desk.keepers.all(), key=lambda one: one.file)[:3]


def test_a_small_picture_is_made_once_and_has_its_width(keepers: list[Keeper], tmp_path: Path) -> None:
    small = Thumbnails(tmp_path / "small")
    first = keepers[0]
    assert small.of(first, SMALL_PX) is None
    told: dict[str, str] = {}
    small.make(keepers, SMALL_PX, lambda keeper, why: told.update({keeper.id: why}))
    assert told == {one.id: "" for one in keepers}
    path = small.of(first, SMALL_PX)
    assert path is not None
    with Image.open(path) as opened:
        assert opened.width == SMALL_PX
        assert not opened.getexif()
    made = path.stat().st_ino
    small.make(keepers, SMALL_PX)
    assert path.stat().st_ino == made, "it was not made again"
    assert (small.folder.stat().st_mode & 0o777) == 0o700, "nobody else reads it"


@pytest.mark.slow
def test_a_changed_original_is_looked_at_again_and_a_swapped_one_is_not_shown(
    keepers: list[Keeper], tmp_path: Path
) -> None:
    copy = tmp_path / "one.jpg"
    copy.write_bytes(Path(keepers[0].path).read_bytes())
    keeper = replace(keepers[0], path=str(copy))
    small = Thumbnails(tmp_path / "small")
    small.make([keeper], SMALL_PX)
    assert small.of(keeper, SMALL_PX) is not None
    copy.write_bytes(Path(keepers[1].path).read_bytes())
    assert small.of(keeper, SMALL_PX) is None
    told: list[str] = []
    small.make([keeper], SMALL_PX, lambda _keeper, why: told.append(why))
    assert told[0]
    assert small.of(keeper, SMALL_PX) is None


@pytest.mark.slow
def test_a_picture_whose_disk_is_away_is_still_seen(keepers: list[Keeper], tmp_path: Path) -> None:
    copy = tmp_path / "one.jpg"
    copy.write_bytes(Path(keepers[0].path).read_bytes())
    keeper = replace(keepers[0], path=str(copy))
    small = Thumbnails(tmp_path / "small")
    small.make([keeper], SMALL_PX)
    copy.unlink()
    assert small.of(keeper, SMALL_PX) is not None
    told: list[str] = []
    Thumbnails(tmp_path / "other").make([keeper], SMALL_PX, lambda _keeper, why: told.append(why))
    assert told[0]


@pytest.mark.slow
def test_the_oldest_go_where_there_are_too_many(keepers: list[Keeper], tmp_path: Path) -> None:
    small = Thumbnails(tmp_path / "small")
    small.make(keepers, SMALL_PX)
    sizes = {}
    for age, keeper in enumerate(keepers):
        path = small.of(keeper, SMALL_PX)
        assert path is not None
        sizes[keeper.id] = path.stat().st_size
        os.utime(path, (1000 + age, 1000 + age))
    tight = Thumbnails(small.folder, most_bytes=sum(sizes.values()))
    other = replace(keepers[0], id="other", path=keepers[0].path)
    tight.make([other], SMALL_PX * 2)
    left = [path.name for path in small.folder.glob("*.jpg")]
    assert len(left) < 4
    assert any(name.endswith(f"-{SMALL_PX * 2}.jpg") for name in left), "the newest stays"
