"""The error tree: what can go wrong, said in one sentence, with the exit status that follows.

One surprising decision: an error knows its exit status, so that turning errors into exit codes happens in a
single place (`faces.main`) without a table of types.
"""

from typing import ClassVar


class LogbookError(Exception):
    """A request that could not be met; its text is one sentence that says what to do next."""

    exit_status: ClassVar[int] = 1


class WrongUseError(LogbookError):
    """The request itself is malformed: a value outside its range, an option that contradicts another."""

    exit_status: ClassVar[int] = 2


class InvalidValueError(WrongUseError):
    """A value a person typed cannot be what it claims to be (a latitude of 95, an aperture of 0)."""


class NotFoundError(LogbookError):
    """Nothing in the book goes by that name; the text offers the nearest names."""


class AmbiguousNameError(LogbookError):
    """The beginning of a slug fits several; the text lists them."""


class InUseError(LogbookError):
    """Others refer to what was to be removed; the text says which."""


class ConflictError(LogbookError):
    """The request contradicts what the book already holds."""


class BookError(LogbookError):
    """The book cannot be opened, read or written; the text says why and what to do."""


class UnreadableFileError(LogbookError):
    """A file that others wrote cannot be read; the text is the one-line reason."""


class OutputError(LogbookError):
    """What was asked for cannot be written where it was asked."""
