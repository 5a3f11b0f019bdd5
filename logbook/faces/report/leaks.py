"""Searching a finished folder for what must not be there, pictures included.

One surprising decision: a published picture may carry nothing beside its pixels, so its metadata is never
searched for secrets: finding any is the finding.
"""

import re
from base64 import b64decode
from binascii import Error as NotBase64
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from urllib.parse import unquote

from logbook.domain.errors import OutputError
from logbook.domain.written_positions import Written, written_positions
from logbook.faces.report.jpeg import NotJpegError, carried, read_jpeg
from logbook.faces.report.prose import plain
from logbook.faces.report.secrets import HASH_BEGINS, Secrets, own_words
from logbook.faces.report.site import COPIED
from logbook.faces.report.writing import LIST_NAME

LISTED = 6  # findings that a refusal names
_TAG = re.compile(r"<[^<>]*>")
_ESCAPE = re.compile(r"\\u\{?([0-9a-fA-F]{2,6})\}?|\\x([0-9a-fA-F]{2})|\\([0-9a-fA-F]{4,6})\s?")
_DATA = re.compile(r"data:[\w/+.;=-]*?;base64,([A-Za-z0-9+/=\s]{16,})")
_HEX = re.compile(rf"(?<![0-9a-z])[0-9a-f]{{{HASH_BEGINS},}}", re.IGNORECASE)
_GEOMETRY = re.compile(
    r"\s(?:d|points|transform|viewBox|width|height|r|rx|ry|[xy][12]?|c[xy]|d[xy]|style|stroke-\w+)=\"[^\"]*\""
)


@dataclass(frozen=True, slots=True)
class Leak:
    """One thing that must not be there: in which file, what it is, and its beginning as a hint."""

    file: str
    what: str
    hint: str = ""

    def __str__(self) -> str:
        return f"{self.file} shows {self.what}{f' ({self.hint})' if self.hint else ''}"


def refuse_leaks(leaks: Sequence[Leak], what: str) -> None:
    """Raise OutputError that lists what was found and where; do nothing where nothing was."""
    if not leaks:
        return
    told = "; ".join(map(str, leaks[:LISTED]))
    more = f"; and {len(leaks) - LISTED} more" if len(leaks) > LISTED else ""
    raise OutputError(
        f"{what} would show others what it must not: {told}{more}. "
        "Take it out of the texts in the book, then try again."
    )


def find_leaks(folder: Path, secrets: Secrets, templates: Path) -> tuple[Leak, ...]:
    """Search every file of a folder; files that the program copied unchanged from `templates` are its own."""
    found: dict[Leak, None] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        found.update(dict.fromkeys(_in_text(name, "a file name", name, secrets)))
        if path.is_symlink():
            found[Leak(name, "a link to somewhere else")] = None
        elif path.is_file():
            content = path.read_bytes()
            own = name in COPIED and (templates / "report" / name).read_bytes() == content
            if not own and name != LIST_NAME:
                found.update(dict.fromkeys(_in_file(name, content, secrets)))
    return tuple(found)


def find_in_words(name: str, words: str, secrets: Secrets) -> tuple[Leak, ...]:
    """Search what somebody wrote for names, files, people and machines; figures are left to whoever blurs."""
    told = plain(words)
    found = (*_named(told, secrets), *_literal(told, secrets))
    return tuple(Leak(name, one.what, one.hint) for one in dict.fromkeys(found))


def _in_file(name: str, content: bytes, secrets: Secrets) -> Iterator[Leak]:
    if content[:2] == b"\xff\xd8":
        try:
            for what in carried(read_jpeg(content)):
                yield Leak(name, f"a picture with {what}")
        except NotJpegError:
            yield Leak(name, "a damaged picture")
        return
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        yield Leak(name, "content of a kind that cannot be searched")
        return
    for inside in _DATA.findall(text):
        try:
            yield from _in_file(name, b64decode(inside), secrets)
        except NotBase64:
            continue
    yield from _in_text(name, "", text, secrets)


def _in_text(file: str, where: str, text: str, secrets: Secrets) -> Iterator[Leak]:
    """Search a text as it stands and as a browser would read it."""
    spellings = list(dict.fromkeys([text, unescape(text), unquote(text), _ESCAPE.sub(_character, text)]))
    bare = unescape(_TAG.sub("", text))
    spellings = [plain(one) for one in dict.fromkeys([*spellings, bare])]
    suffix = f" in {where}" if where else ""
    for spelling in spellings:
        for leak in (*_named(spelling, secrets), *_literal(spelling, secrets), *_placed(spelling, secrets)):
            yield Leak(file, leak.what + suffix, leak.hint)


def _character(escape: re.Match[str]) -> str:
    code = int(escape[1] or escape[2] or escape[3], 16)
    return chr(code) if code < 0x110000 else escape[0]


def _named(text: str, secrets: Secrets) -> Iterator[Leak]:
    for pattern, what in secrets.names.items():
        if (found := pattern.search(text)) and not pattern.search(own_words()):
            yield Leak("", what, _masked(found[0]))


def _literal(text: str, secrets: Secrets) -> Iterator[Leak]:
    folded = text.casefold()
    for secret, what in secrets.texts.items():
        if secret in folded and re.search(rf"(?<![^\W_]){re.escape(secret)}(?![^\W_])", folded):
            yield Leak("", what, _masked(secret))
    for run in _HEX.findall(folded):
        if run[:HASH_BEGINS] in secrets.hashes:
            yield Leak("", "the hash of an original", _masked(run))


def _placed(text: str, secrets: Secrets) -> Iterator[Leak]:
    """Find coordinates of hidden places, unless a place that may be shown has them too."""
    if not secrets.positions:
        return
    single = sorted({value for position in secrets.positions for value in position})
    allowed = sorted({value for position in secrets.shown for value in position})
    for one in written_positions(_GEOMETRY.sub("", text)):
        if len(one.degrees) == 1:
            (value,) = one.degrees
            found = _has(single, value, one.unit_deg) and not _has(allowed, value, one.unit_deg)
        else:
            found = _is_near(one, secrets.positions) and not _is_near(one, secrets.shown)
        if found:
            hint = f"{one.degrees[0]:.1f}…"
            yield Leak("", "the coordinates of a place whose position is not shown", hint)


def _has(values: Sequence[float], value: float, near: float) -> bool:
    """Whether a sorted value lies within one unit of the last place, as after rounding or cutting."""
    slack = near * 1.000001
    at = bisect_left(values, value - slack)
    return at < len(values) and values[at] <= value + slack


def _is_near(written: Written, positions: Sequence[tuple[float, float]]) -> bool:
    one, other = written.degrees
    near = written.unit_deg
    return any(
        abs(a - c) <= near and abs(b - d) <= near
        for c, d in positions
        for a, b in ((one, other), (other, one))
    )


def _masked(secret: str) -> str:
    return f"“{secret.strip()[:2]}…”, {len(secret.strip())} characters"
