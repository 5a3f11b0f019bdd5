"""Keepers named by a file, a number, or the first and last of a range."""

import re

from logbook.domain.written.understanding import NotUnderstoodError

LONGEST_NAME = 200  # characters of a file name or range

_NUMBERED = re.compile(r"(?=\S*[0-9])[\w.\-–—]+")


def keeper_range(named: str) -> tuple[str, str]:
    """Return first and last of `0412`, `0412-0419`, `0412-19`, `A_0412–0419`, `0412 to 0419`."""
    first, last = _ends(named)
    digits = re.search(r"[0-9]+$", first)
    if digits is None or not last.isdigit() or len(last) >= len(digits[0]):
        return first, last
    whole = digits[0][: -len(last)] + last  # 0412-19
    return first, whole if int(whole) >= int(digits[0]) else last


def _ends(named: str) -> tuple[str, str]:
    for sign in (r"\s+(?:to|until)\s+", r"\s*[–—]\s*", r"\s+-\s+"):
        ends = re.split(sign, named, flags=re.IGNORECASE)
        if len(ends) == 2:
            return _numbered(ends[0]), _numbered(ends[1])
    if len(named) > LONGEST_NAME:
        raise NotUnderstoodError("that file name is too long to read")
    hyphens = [at for at, letter in enumerate(named) if letter == "-"]
    for at in hyphens:
        first, last = named[:at], named[at + 1 :]
        if _shape(first) == _shape(last) and first[-1:].isdigit():
            return _numbered(first), _numbered(last)
    if hyphens:
        first, last = named[: hyphens[-1]], named[hyphens[-1] + 1 :]
        if re.fullmatch(r"[0-9]+", last) and re.search(r"(?<![0-9])[0-9]{3,}$", first):
            return _numbered(first), last
    return _numbered(named), named


def _numbered(name: str) -> str:
    if not _NUMBERED.fullmatch(name):
        raise NotUnderstoodError("a keepers line needs file numbers, such as 0412 or 0412-0419")
    return name


def _shape(name: str) -> str:
    return re.sub(r"[0-9]+", "0", name)
