"""Searching a finished folder for what must not be there, pictures included.

One surprising decision: a published picture may carry nothing beside its pixels, so its metadata is never
searched for secrets: finding any is the finding.
"""

import re
from base64 import b64decode
from binascii import Error as NotBase64
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from logbook.domain.account import TripAccount
from logbook.domain.errors import OutputError
from logbook.faces.report.jpeg import NotJpegError, carried, read_jpeg
from logbook.faces.report.site import brought
from logbook.intake.report_list import LIST_NAME
from logbook.services.leaks.readings import FileReading, reading_of
from logbook.services.leaks.search import FoundSecret, Origin, TextOrigins, find_in_reading
from logbook.services.leaks.secrets import PERSON, PLACE, Secrets, secrets_of

OUR_FAULT = "it comes from this program itself, so send nothing, and tell whoever maintains it."
LISTED = 6  # findings, and fields of each, that a refusal names
_DATA = re.compile(r"data:[\w/+.;=-]*?;base64,([A-Za-z0-9+/=\s]{16,})")


@dataclass(frozen=True, slots=True)
class Leak:
    """One thing that must not be there: in which file, what it is, its beginning, and where to mend it."""

    file: str
    what: str
    hint: str = ""
    origins: tuple[Origin, ...] = ()


def refuse_leaks(leaks: Sequence[Leak], what: str, otherwise: str = OUR_FAULT) -> None:
    """Raise OutputError that lists what was found, where, and what to mend; do nothing where nothing was.

    `otherwise`: what to do about that which stands in no record.
    """
    if not leaks:
        return
    groups: dict[tuple[str, str, tuple[Origin, ...]], list[str]] = {}
    for leak in leaks:
        groups.setdefault((leak.what, leak.hint, leak.origins), []).append(leak.file)
    told = "; ".join(_told(*group, files) for group, files in list(groups.items())[:LISTED])
    more = f"; and {len(groups) - LISTED} more" if len(groups) > LISTED else ""
    named = any(leak.what.startswith((PLACE, PERSON)) for leak in leaks)
    stand = ", or allow a harmless word with trip edit TRIP --may-say WORD" if named else ""
    traced = [leak for leak in leaks if leak.origins]
    mend = f"Remove it from the texts in the book{stand}, then try again." if traced else ""
    if len(traced) < len(leaks):
        rest = (
            "Anything listed without a record is not in the book"
            if traced
            else "No record in the book contains it"
        )
        mend = f"{mend} {rest}: {otherwise}".strip()
    raise OutputError(f"{what} would show others what they must not see: {told}{more}. {mend}")


def _told(what: str, hint: str, origins: tuple[Origin, ...], files: Sequence[str]) -> str:
    names = list(dict.fromkeys(files))
    where = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"
    few = "; ".join(map(str, origins[:LISTED]))
    rest = f"; and {len(origins) - LISTED} more" if len(origins) > LISTED else ""
    mend = f", found in: {few}{rest}" if origins else ""
    return f"{where} {'shows' if len(names) == 1 else 'show'} {what}{f' ({hint})' if hint else ''}{mend}"


def find_leaks(folder: Path, account: TripAccount, templates: Path) -> tuple[Leak, ...]:
    """Search every file of a folder; files that the program copied unchanged from `templates` are its own."""
    search = _Search(account)
    own = brought(templates)
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        search.text(name, FileReading(name, name), " in a file name")
        if path.is_symlink():
            search.add(name, "a symbolic link")
        elif path.is_file():
            content = path.read_bytes()
            if own.get(name) != content and name != LIST_NAME:
                search.file(name, content)
    return search.leaks()


def find_in_texts(texts: Iterator[tuple[str, str]], account: TripAccount) -> tuple[Leak, ...]:
    """Search texts, each with the name of the file that it becomes."""
    search = _Search(account)
    for name, text in texts:
        search.text(name, reading_of(name, text))
    return search.leaks()


class _Search:
    """One search of several files for the secrets of one account."""

    def __init__(self, account: TripAccount) -> None:
        self._account = account
        self._secrets: Secrets = secrets_of(account)
        self._found: dict[tuple[str, str, FoundSecret | None], None] = {}

    def add(self, file: str, what: str, finding: FoundSecret | None = None) -> None:
        """Note that a file holds something."""
        self._found[file, what, finding] = None

    def text(self, file: str, reading: FileReading, where: str = "") -> None:
        """Search a text."""
        for finding in find_in_reading(reading, self._secrets):
            self.add(file, finding.what + where, finding)

    def file(self, name: str, content: bytes) -> None:
        """Search a file, and what is written into it as data."""
        if content[:2] == b"\xff\xd8":
            try:
                for what in carried(read_jpeg(content)):
                    self.add(name, f"a picture with {what}")
            except NotJpegError:
                self.add(name, "a damaged picture")
            return
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError:
            self.add(name, "content of a kind that cannot be searched")
            return
        for inside in _DATA.findall(text):
            try:
                self.file(name, b64decode(inside))
            except NotBase64:
                continue
        self.text(name, reading_of(name, text))

    def leaks(self) -> tuple[Leak, ...]:
        """Return what was found, each with where in the book it stands."""
        if not self._found:
            return ()
        origins = TextOrigins(self._account, self._secrets)
        leaks = (
            Leak(file, what, finding.hint if finding else "", origins.of(finding) if finding else ())
            for file, what, finding in self._found
        )
        return tuple(dict.fromkeys(leaks))
