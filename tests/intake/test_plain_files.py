"""Only plain files are opened, once; one is known again by its state; only the bytes asked for come out."""

import gc
import hashlib
import os
import socket
import stat
import sys
from collections.abc import Iterator
from hashlib import sha256
from itertools import count
from pathlib import Path
from typing import Any, BinaryIO

import pytest

from logbook.domain.errors import UnreadableFileError
from logbook.intake import plain_files
from logbook.intake.pictures import content_hash
from logbook.intake.plain_files import (
    AnotherContentError,
    NotPlainError,
    blocks_of,
    hash_of,
    open_plain,
    open_verified,
    state_of,
)
from tests.intake.reading import read_picture, read_sidecar


def odd(folder: Path, kind: str) -> Path:
    """Something at a path that is no plain file."""
    path = folder / "odd.jpg"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "socket":
        with socket.socket(socket.AF_UNIX) as listening:
            listening.bind(str(path))
    elif kind == "link to a device":
        path.symlink_to("/dev/zero")
    elif kind == "link to a pipe":
        os.mkfifo(folder / "pipe")
        path.symlink_to(folder / "pipe")
    return Path("/dev/zero") if kind == "device" else path


ODD = ("folder", "pipe", "socket", "device", "link to a device", "link to a pipe")


@pytest.mark.parametrize("kind", ODD)
def test_what_is_not_a_plain_file_is_never_opened(
    tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = odd(tmp_path, kind)
    opened: list[object] = []
    monkeypatch.setattr(os, "open", lambda *given, **how: opened.append(given))
    with pytest.raises(NotPlainError, match="not a file"):
        open_plain(path)
    assert opened == []


@pytest.mark.parametrize("kind", ODD)
def test_every_reader_of_pictures_refuses_it_in_one_sentence(tmp_path: Path, kind: str) -> None:
    path = odd(tmp_path, kind)
    for read in (content_hash, read_picture, read_sidecar):
        with pytest.raises(UnreadableFileError, match=r"^.* cannot be read: it is a .*\.$"):
            read(path)


def test_a_pipe_that_slips_in_after_the_look_neither_waits_nor_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"a picture")
    status = path.stat()
    path.unlink()
    os.mkfifo(path)
    assert stat.S_ISREG(status.st_mode)
    monkeypatch.setattr(Path, "stat", lambda _self: status)  # what was there a moment ago
    with pytest.raises(NotPlainError, match="a pipe"):
        open_plain(path)


def test_a_name_that_no_file_can_have_is_refused_and_a_missing_file_is_missing(tmp_path: Path) -> None:
    with pytest.raises(NotPlainError, match="not a valid file name"):
        open_plain(Path("a\0b"))
    with pytest.raises(FileNotFoundError):
        open_plain(tmp_path / "gone")


def test_links_to_plain_files_are_followed(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"a picture")
    (tmp_path / "b.jpg").symlink_to("a.jpg")
    with open_plain(tmp_path / "b.jpg") as file:
        assert file.read() == b"a picture"


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="needs files of no size that hold text")
def test_what_only_looks_like_a_file_gives_no_bytes() -> None:
    with open_plain(Path("/proc/self/environ")) as file:
        assert hash_of(file) == hashlib.sha256().hexdigest()


def test_a_state_changes_with_the_content_even_where_size_and_time_are_put_back(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"first")
    before = path.stat()
    assert state_of(path.stat()) == state_of(before)
    while path.stat().st_ctime_ns == before.st_ctime_ns:  # a clock may tick as rarely as every 10 ms
        path.write_bytes(b"other")
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    after = path.stat()
    assert (after.st_size, after.st_mtime_ns, after.st_ino) == (
        before.st_size,
        before.st_mtime_ns,
        before.st_ino,
    )
    assert state_of(after) != state_of(before)


def interrupted_at(moment: int, path: Path) -> bool:
    """Whether an interrupt at a moment of opening a file, counted in steps of the interpreter, stayed one."""
    moments = count()

    def interrupt(frame: Any, *_: Any) -> Any:
        frame.f_trace_opcodes = True  # an interrupt can come between a call and the use of what it returned
        if next(moments) == moment:
            raise KeyboardInterrupt
        return interrupt

    gc.disable()  # what a collection calls may be interrupted too, and loses the interrupt
    sys.settrace(interrupt)
    try:
        open_plain(path).close()
    except KeyboardInterrupt:
        return True
    finally:
        sys.settrace(None)
        gc.enable()
    return False


def test_an_interrupt_while_a_file_is_opened_stays_an_interrupt(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"x")
    moments = 0
    while interrupted_at(moments, path):
        moments += 1
    assert moments > 100


CONTENT = bytes(range(256)) * 9000  # more than one block
HASH = sha256(CONTENT).hexdigest()


@pytest.fixture(params=[0, 2**40], ids=["on the disk", "in memory"])
def path(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(plain_files, "IN_MEMORY_BYTES", request.param)
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

    monkeypatch.setattr(plain_files, "blocks_of", growing)
    with open_verified(path, HASH, len(CONTENT)) as file:
        assert file.read() == CONTENT


def test_a_pipe_is_not_waited_for_and_a_missing_file_is_missing(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.jpg")
    with pytest.raises(NotPlainError):
        open_verified(tmp_path / "a.jpg", HASH)
    with pytest.raises(FileNotFoundError):
        open_verified(tmp_path / "gone.jpg", HASH)
