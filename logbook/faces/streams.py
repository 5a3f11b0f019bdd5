"""Standard output and error, which may be full, closed or gone: what a command did is still said truly.

One surprising decision: a closed stream is opened on nothing at once. Else the next file that is opened, the
book among them, would get its number, and answers would be printed into it.
"""

import errno
import io
import os
import sys
from typing import Any, TextIO


class OutputLostError(OSError):
    """An answer could not be written to standard output; what the command did stands."""


class _Output(io.FileIO):
    """Standard output; the first refusal is raised, and nothing is written after it."""

    refused = False

    def __init__(self, number: int, *, is_closed: bool) -> None:
        super().__init__(number, "wb", closefd=False)
        self.is_closed = is_closed

    def write(self, data: Any) -> int:
        """Write bytes; raises OutputLostError where they go nowhere, once."""
        if self.refused:
            return len(data)
        try:
            if self.is_closed:
                raise OSError(errno.EBADF, "it is closed")
            return super().write(data)
        except BrokenPipeError:
            raise
        except OSError as error:
            self.refused = True
            raise OutputLostError(error.errno, error.strerror) from error


def prepare_streams() -> None:
    """Make standard output and error tell what they cannot write, and write whatever text there is."""
    closed = sys.stdout is None
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # the lowest free number is this one
    sys.stdout = _text(_Output(1, is_closed=closed))
    if sys.stderr is None:
        sys.stderr = open(2, "w", closefd=False)  # noqa: SIM115  # as long as the program lives
    if isinstance(sys.stderr, io.TextIOWrapper):
        sys.stderr.reconfigure(errors="backslashreplace")


def _text(raw: _Output) -> TextIO:
    was = sys.stdout
    encoding = was.encoding if was is not None else "utf-8"
    is_terminal = raw.isatty()
    return io.TextIOWrapper(
        io.BufferedWriter(raw), encoding=encoding, errors="backslashreplace", line_buffering=is_terminal
    )
