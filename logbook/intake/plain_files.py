"""Files whose names others gave: plain files only, each opened once, and known again by state and hash.

One surprising decision: a name is looked at before it is opened, and what was opened is looked at again. To
open a device can already do something (a tape winds back), to open a pipe waits for ever, and what stands
behind a name may have become another thing in between. Where the very bytes of a hash are wanted, they are
copied while they are compared, and the copy is what is decoded: a file may be overwritten between the look
at it and its use; its copy cannot be.
"""

import hashlib
import os
import stat
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryFile
from typing import BinaryIO

from logbook.domain.errors import UnreadableFileError

# A pipe that slips in between the look and the opening must not wait, nor a terminal become ours.
_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_NOCTTY", 0)
    | getattr(os, "O_BINARY", 0)
)
_KINDS: tuple[tuple[Callable[[int], bool], str], ...] = (
    (stat.S_ISDIR, "folder"),
    (stat.S_ISFIFO, "pipe"),
    (stat.S_ISSOCK, "socket"),
)
_BLOCK_BYTES = 2**20


class NotPlainError(UnreadableFileError):
    """What lies there is a folder, a pipe, a socket or a device; it was not read."""


def open_plain(path: Path) -> BinaryIO:
    """Open a plain file for reading; links are followed.

    Raises NotPlainError for anything else and for a name that no file can have, OSError where there is
    nothing or reading is refused.
    """
    try:
        refuse_other(path, path.stat())
    except ValueError as error:
        raise NotPlainError(f"{str(path)!r} cannot be read: that is not a valid file name.") from error
    file = open(path, "rb", opener=lambda name, flags: os.open(name, flags | _FLAGS))  # noqa: SIM115
    try:
        refuse_other(path, os.fstat(file.fileno()))
    except BaseException:
        file.close()
        raise
    return file


def refuse_other(path: Path, status: os.stat_result) -> None:
    """Raise NotPlainError where a status is not that of a plain file."""
    if not stat.S_ISREG(status.st_mode):
        raise NotPlainError(f"{path} cannot be read: it is a {kind_of(status)}, not a file.")


def kind_of(status: os.stat_result) -> str:
    """Return the word for what is not a plain file."""
    return next((word for is_so, word in _KINDS if is_so(status.st_mode)), "device")


def state_of(status: os.stat_result) -> str:
    """Return the text by which a file is known to be unchanged, on the machine where it was made.

    It holds the size, both instants of change (the second cannot be set by hand) and the file's number: a
    copy of the file, or the same name on another machine, has another state.
    """
    return f"{status.st_size} {status.st_mtime_ns} {status.st_ctime_ns} {status.st_ino}"


def blocks_of(file: BinaryIO) -> Iterator[bytes]:
    """Yield an open file's bytes from its beginning, no more than its size says.

    What a system shows as a file of no size (a log that waits for its next line) is not read at all.
    """
    file.seek(0)
    left = os.fstat(file.fileno()).st_size
    while left > 0 and (block := file.read(min(left, _BLOCK_BYTES))):
        left -= len(block)
        yield block


def hash_of(file: BinaryIO) -> str:
    """Return the SHA-256 of an open file's bytes, in hexadecimal."""
    digest = hashlib.sha256()
    for block in blocks_of(file):
        digest.update(block)
    return digest.hexdigest()


NOT_THERE = "the original is gone"
CHANGED = "its content has changed since it was imported"
IN_MEMORY_BYTES = 32 * 2**20  # the copy of a larger file lies on the disk, without a name


class AnotherContentError(UnreadableFileError):
    """A file does not hold what was asked for."""


def size_differs(size_bytes: int, was_bytes: int) -> str:
    """Return the words for a file of another size."""
    return f"it is {size_bytes} bytes and was {was_bytes}"


def open_verified(path: Path, hashed: str, size_bytes: int | None = None) -> BinaryIO:
    """Return the content with a SHA-256 as a file of its own that nobody else can change.

    Raises AnotherContentError where the file holds another, NotPlainError where it is not a plain file, and
    OSError where it is not there or refuses.
    """
    with open_plain(path) as file:
        size = os.fstat(file.fileno()).st_size
        if size_bytes is not None and size != size_bytes:
            raise AnotherContentError(size_differs(size, size_bytes))
        copy: BinaryIO = BytesIO() if size <= IN_MEMORY_BYTES else TemporaryFile()  # noqa: SIM115 - returned
        try:
            digest = hashlib.sha256()
            for block in blocks_of(file):
                digest.update(block)
                copy.write(block)
            if digest.hexdigest() != hashed:
                raise AnotherContentError(CHANGED)
            copy.seek(0)
        except BaseException:
            copy.close()
            raise
    return copy
