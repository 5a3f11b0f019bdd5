"""The very bytes of a picture that somebody knows by their hash, and of no other.

One surprising decision: the bytes are copied while they are compared, and the copy is what is decoded. A file
may be overwritten between the look at it and its use; its copy cannot be.
"""

import hashlib
import os
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryFile
from typing import BinaryIO

from logbook.domain.errors import UnreadableFileError
from logbook.intake.plain_files import blocks_of, open_plain

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
