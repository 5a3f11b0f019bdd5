"""Keeper lines of a day file: `keepers 0412-0419: nd8 + nd8, braced, for bridge-silk, "Silk under the arch"`.

One surprising decision: a line with one part that is not understood is loose as a whole; half a statement
about filters would read like a full one.
"""

import re
from dataclasses import replace

from logbook.craft.errors import CraftValueError
from logbook.craft.filters import parse_stack
from logbook.domain.words import Sharpness, Support
from logbook.intake.dayfile.model import KeepersEntry
from logbook.intake.dayfile.understanding import NotUnderstoodError, tidied

LONGEST_NAME = 200  # characters of a file name or range

_NUMBERED = re.compile(r"(?=\S*[0-9])[\w.\-–—]+")
_NAMED = re.compile(r"[\w.\-]+")  # a picture without a number, only before a colon
_WITHOUT_COLON = re.compile(
    r"((?:\S*[0-9]\S*)(?:\s+(?:-|–|—|to|until)\s+\S*[0-9]\S*)?)(?:\s+(.*))?", re.IGNORECASE | re.DOTALL
)
_CAPTION = re.compile(r'["“„«](.*)["”“»]', re.DOTALL)
_FILTER = re.compile(
    r"nd\s?[0-9]{1,5}(?:\.[0-9]+)?|(?:soft\s|hard\s)?gnd\s?[0-9]{1,2}(?:\.[0-9]+)?|od\s?[0-9]\.[0-9]{1,2}"
    r"|c?pol|cpl|polari[sz]er|uv",
    re.IGNORECASE,
)
_ANY_FILTERS = re.compile(r"filters?\s*:\s*(.+)", re.IGNORECASE)
_NO_FILTER = re.compile(r"none|no\s+filters?|without\s+filters?|filters?:?\s+none", re.IGNORECASE)
_FILTER_UNKNOWN = re.compile(r"(?:filters?:?\s*(?:unknown|\?))|unknown\s+filters?", re.IGNORECASE)
_SUPPORTS = {support.value: support for support in Support} | {
    "hand-held": Support.HANDHELD,
    "hand held": Support.HANDHELD,
    "support unknown": Support.UNKNOWN,
    "support ?": Support.UNKNOWN,
    "?": Support.UNKNOWN,
}


def read_support(said: str) -> Support:
    """The support a word stands for; raises NotUnderstoodError for another word."""
    support = _SUPPORTS.get(" ".join(said.lower().split()))
    if support is None:
        raise NotUnderstoodError(f"no support: {', '.join(Support)}")
    return support


def read_keepers(said: str) -> list[KeepersEntry]:
    """One entry for each picture or range named; raises NotUnderstoodError for any part not understood."""
    named, colon, stated = said.partition(":")
    if not colon:
        found = _WITHOUT_COLON.fullmatch(said)
        if found is None:
            raise NotUnderstoodError("no file number behind keepers, such as 0412 or 0412-0419")
        named, stated = found[1], found[2] or ""
    names = [name.strip() for name in re.split(r"[,;&]|(?<![\w-])and(?![\w-])", named)]
    is_word = bool(colon) and len(names) == 1 and not re.search("[0-9]", named)
    ranges = [(named.strip(),) * 2] if is_word and _NAMED.fullmatch(named.strip()) else map(_range, names)
    statement = _statement(stated)
    return [_with_range(statement, first, last) for first, last in ranges]


def written_keepers(entry: KeepersEntry) -> str:
    """The line (without its bullet) that reads back as this entry."""
    parts: list[str] = []
    if entry.filters is not None:
        named = " + ".join(entry.filters) or "no filter"
        parts.append(named if all(map(_FILTER.fullmatch, entry.filters)) else f"filters: {named}")
    elif entry.filters_said:
        parts.append("filters unknown")
    if entry.support is not None:
        parts.append("support unknown" if entry.support is Support.UNKNOWN else entry.support.value)
    if entry.sharpness is not None:
        parts.append(str(entry.sharpness))
    if entry.shot is not None:
        parts.append(f"for {entry.shot}")
    if entry.viewpoint is not None:
        parts.append(f"at {entry.viewpoint}")
    if entry.caption is not None:
        parts.append(f'"{entry.caption}"')
    which = f"keeper {entry.first}" if entry.first == entry.last else f"keepers {entry.first}–{entry.last}"
    return f"{which}: {', '.join(parts)}".rstrip(": ")


def _range(named: str) -> tuple[str, str]:
    """First and last of `0412`, `0412-0419`, `A_0412–0419`, `IMG-0412-IMG-0419`, `0412 to 0419`."""
    for sign in (r"\s+(?:to|until)\s+", r"\s*[–—]\s*", r"\s+-\s+"):
        ends = re.split(sign, named, flags=re.IGNORECASE)
        if len(ends) == 2:
            return _numbered(ends[0]), _numbered(ends[1])
    if len(named) > LONGEST_NAME:
        raise NotUnderstoodError("a file name that long cannot be read")
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
        raise NotUnderstoodError("no file number behind keepers, such as 0412 or 0412-0419")
    return name


def _shape(name: str) -> str:
    return re.sub(r"[0-9]+", "0", name)


def _with_range(statement: KeepersEntry, first: str, last: str) -> KeepersEntry:
    return replace(statement, first=first, last=last)


def _statement(stated: str) -> KeepersEntry:
    caption = shot = viewpoint = None
    support: Support | None = None
    sharpness: Sharpness | None = None
    filters: list[str] | None = None
    is_unknown = False
    if found := _CAPTION.search(stated):
        caption = found[1].strip() or None
        stated = f"{stated[: found.start()]},{stated[found.end() :]}"
    for part in (tidied(part) for part in re.split(r"[,;]", stated)):
        if not part:
            continue
        if _FILTER_UNKNOWN.fullmatch(part):
            is_unknown = True
        elif _NO_FILTER.fullmatch(part):
            _once(filters is None, "filters")
            filters = []
        elif " ".join(part.lower().split()) in _SUPPORTS:
            _once(support is None, "the support")
            support = read_support(part)
        elif part.lower() in list(Sharpness):
            _once(sharpness is None, "whether it is sharp")
            sharpness = Sharpness(part.lower())
        elif part.lower().startswith("for "):
            _once(shot is None, "the shot")
            shot = part[4:].strip()
        elif part.lower().startswith("at "):
            _once(viewpoint is None, "the viewpoint")
            viewpoint = part[3:].strip()
        elif found_filters := _stack(part):
            _once(filters is None or bool(filters), "filters")
            filters = (filters or []) + found_filters
        else:
            raise NotUnderstoodError(
                f'"{part[:40]}" is no filter (nd8 + pol, none, or filters: with any name), '
                'support, sharp, soft, shot (for ...) or "caption"'
            )
    _once(not (is_unknown and filters is not None), "filters")
    return KeepersEntry(
        first="",
        last="",
        filters=None if filters is None else tuple(filters),
        filters_known=filters is not None,
        support=support,
        shot=shot,
        viewpoint=viewpoint,
        caption=caption,
        filters_said=is_unknown or filters is not None,
        sharpness=sharpness,
    )


def _stack(part: str) -> list[str]:
    """The filters of one part, in the order written; empty when it is anything else.

    Behind `filters:` any name is a filter, as it is everywhere else.
    """
    if any_name := _ANY_FILTERS.fullmatch(part):
        return [
            one for name in re.split(r"\+|&|\band\b", any_name[1]) for one in _named_filters(name.strip())
        ]
    names = [
        name.strip() for name in re.split(r"\+|&|\band\b", re.sub(r"^(?:with\s+|filters?:?\s+)", "", part))
    ]
    if not all(_FILTER.fullmatch(name) for name in names):
        names = part.split()
    if not all(_FILTER.fullmatch(name) for name in names):
        return []
    return [_plain(name) for name in names]


def _named_filters(name: str) -> list[str]:
    if _FILTER.fullmatch(name):
        return [_plain(name)]
    try:
        stack = parse_stack(name)
    except CraftValueError as error:
        raise NotUnderstoodError(str(error).rstrip(".")) from None
    if not stack:
        raise NotUnderstoodError(f'"{name[:40]}" cannot stand beside a filter')
    return [one.name for one in stack]


def _plain(name: str) -> str:
    return re.sub(r"(?<=[a-z])\s(?=[0-9])", "", name.lower())


def _once(holds: bool, what: str) -> None:
    if not holds:
        raise NotUnderstoodError(f"it says {what} twice, in different words")
