"""Keeper lines of a day file: `keepers 0412-0419: nd64 + pol, tripod, for bridge-smooth, "Under the arch"`.

One surprising decision: a line with one part that is not understood is loose as a whole; half a statement
about filters would read like a full one.
"""

import re
from dataclasses import replace

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Sharpness, Support
from logbook.domain.written.choices import SUPPORT_WORDS
from logbook.domain.written.entry import KeepersEntry
from logbook.domain.written.filters import says_no_filter, stack_written, unknown_filters
from logbook.domain.written.ranges import keeper_range
from logbook.domain.written.understanding import NotUnderstoodError, tidied

_NAMED = re.compile(r"[\w.\-]+")  # a picture without a number, only before a colon
_WITHOUT_COLON = re.compile(
    r"((?:\S*[0-9]\S*)(?:\s+(?:-|–|—|to|until)\s+\S*[0-9]\S*)?)(?:\s+(.*))?", re.IGNORECASE | re.DOTALL
)
_CAPTION = re.compile(r'["“„«](.*)["”“»]', re.DOTALL)
_ANY_FILTERS = re.compile(r"filters?\s*:\s*(.+)", re.IGNORECASE)
_FILTERS = re.compile(r"^filters?(?:\s*:|\s)\s*", re.IGNORECASE)
_FILTER_UNKNOWN = re.compile(r"(?:filters?:?\s*(?:unknown|\?))|unknown\s+filters?", re.IGNORECASE)
_PARTS = re.compile(r";|,(?!(?<=[0-9],)[0-9])")  # a comma between figures is a decimal one


def read_keepers(said: str) -> list[KeepersEntry]:
    """One entry for each picture or range named; raises NotUnderstoodError for any part not understood."""
    named, colon, stated = said.partition(":")
    if not colon:
        found = _WITHOUT_COLON.fullmatch(said)
        if found is None:
            raise NotUnderstoodError("a keepers line needs file numbers, such as 0412 or 0412-0419")
        named, stated = found[1], found[2] or ""
    names = [name.strip() for name in re.split(r"[,;&]|(?<![\w-])and(?![\w-])", named)]
    is_word = bool(colon) and len(names) == 1 and not re.search("[0-9]", named)
    ranges = (
        [(named.strip(),) * 2] if is_word and _NAMED.fullmatch(named.strip()) else map(keeper_range, names)
    )
    statement = _statement(stated)
    return [_with_range(statement, first, last) for first, last in ranges]


def written_keepers(entry: KeepersEntry) -> str:
    """The line (without its bullet) that reads back as this entry."""
    parts: list[str] = []
    if entry.filters is not None:
        named = " + ".join(entry.filters) or "no filter"
        parts.append(f"filters: {named}" if unknown_filters(entry.filters) else named)
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
    for part in (tidied(part) for part in _PARTS.split(stated)):
        if not part:
            continue
        if _FILTER_UNKNOWN.fullmatch(part):
            is_unknown = True
        elif says_no_filter(_FILTERS.sub("", part)):
            _once(filters is None, "filters")
            filters = []
        elif (word := " ".join(part.lower().split())) in SUPPORT_WORDS:
            _once(support is None, "the support")
            support = SUPPORT_WORDS[word]
        elif part.lower() in list(Sharpness):
            _once(sharpness is None, "the sharpness")
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
                f'"{part[:40]}" is not a filter (nd8 + pol, none, or filters: with any name), a '
                f'support, sharp, soft, a shot (for ...) or a "caption"'
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
        names = stack_written(any_name[1])
        if not names:
            raise NotUnderstoodError(f'"{any_name[1][:40]}" cannot be combined with a filter')
        return list(names)
    return _known(_FILTERS.sub("", part))


def are_filters(said: str) -> bool:
    """Whether a text is nothing but filters of a known strength or kind."""
    return bool(_known(said))


def _known(said: str) -> list[str]:
    """The filters of a text that all have a known strength or kind; empty where one has not."""
    try:
        names = stack_written(said) or ()
    except InvalidValueError:
        return []
    return [] if unknown_filters(names) else list(names)


def _once(holds: bool, what: str) -> None:
    if not holds:
        raise NotUnderstoodError(f"it gives {what} twice; keep one")
