"""Only the bytes that are asked for come out, and they stay what they are."""

import os
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

import pytest

from logbook.intake import verified
from logbook.intake.plain_files import NotPlainError, blocks_of
from logbook.intake.verified import AnotherContentError, open_verified

CONTENT = bytes(range(256)) * 9000  # more than one block
HASH = sha256(CONTENT).hexdigest()


@pytest.fixture(params=[0, 2**40], ids=["on the disk", "in memory"])
def path(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(verified, "IN_MEMORY_BYTES", request.param)
    (tmp_path / "a.jpg").write_bytes(CONTENT)
    return tmp_path / "a.jpg"


def test_the_content_that_is_asked_for_comes_out_and_cannot_be_changed_any_more(path: Path) -> None:
    with open_verified(path, HASH, len(CONTENT)) as file:
        path.write_bytes(b"another")
        assert file.read() == CONTENT


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (CONTENT[:-1] + b"x", "its content has changed since it was imported"),
        (CONTENT[:-1], f"it is {len(CONTENT) - 1} bytes and was {len(CONTENT)}"),
        (b"", f"it is 0 bytes and was {len(CONTENT)}"),
    ],
)
def test_another_content_does_not(path: Path, content: bytes, why: str) -> None:
    path.write_bytes(content)
    with pytest.raises(AnotherContentError) as refused:
        open_verified(path, HASH, len(CONTENT))
    assert str(refused.value) == why
    with pytest.raises(AnotherContentError):
        open_verified(path, HASH)


def test_what_grows_while_it_is_read_is_what_it_was_or_nothing(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def growing(file: BinaryIO) -> Iterator[bytes]:
        for block in blocks_of(file):
            with path.open("ab") as more:
                more.write(b"more")
            yield block

    monkeypatch.setattr(verified, "blocks_of", growing)
    with open_verified(path, HASH, len(CONTENT)) as file:
        assert file.read() == CONTENT


def test_a_pipe_is_not_waited_for_and_a_missing_file_is_missing(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.jpg")
    with pytest.raises(NotPlainError):
        open_verified(tmp_path / "a.jpg", HASH)
    with pytest.raises(FileNotFoundError):
        open_verified(tmp_path / "gone.jpg", HASH)
