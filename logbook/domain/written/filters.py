"""Filters as people write them: one stored name for each filter, per keeper where a list says so.

What a single filter's name means in stops is craft's; here is what a person may write for it.

One surprising decision: an odd name is kept, since photographers put odd things before a lens, but never a
word that answers another question.
"""

import math
import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from logbook.craft.errors import CraftValueError
from logbook.craft.filter_types import TYPES, Filter, FilterKind
from logbook.craft.filters import parse_filter, parse_stack
from logbook.domain.condition_kinds import KINDS, LIMITING
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import OutcomeWord, Reason
from logbook.domain.written.choices import (
    SUPPORT_WORDS,
    is_unknown,
    says_nothing,
)
from logbook.domain.written.ranges import keeper_range
from logbook.domain.written.understanding import understood

_EXAMPLES = [example for of in TYPES.values() for example in of.examples]
HOW_TO = "write them as nd8 + pol, none for no filter, or unknown"
SAME_STOPS = 0.05  # stops; nearer to whole stops than this, factor, density and stops are sold as one filter
LONGEST_LIST = 2000  # characters of a list by keeper

_OTHER_WORDS = {"no", "yes", "same", "ditto", "as", "before", "again", "the", "both", "all", "rest", "others"}
_OTHER_WORDS |= {
    "ok",
    "sure",
    "skip",
    "help",
    "quit",
    "exit",
    "back",
    "sharp",
    "soft",
    "done",
    "y",
    "n",
    "and",
}
_OTHER_WORDS |= {
    "last",
    "time",
    "above",
    "like",
    "them",
    "it",
    "that",
    "this",
    "not",
    "used",
    "usual",
    "always",
}
_OTHER_WORDS |= {*SUPPORT_WORDS, *(word for kind in LIMITING for word in KINDS[kind].words)}
_OTHER_WORDS |= set(map(str, (*OutcomeWord, *Reason)))
_REST = r"(?:all\s+)?(?:the\s+)?(?:rest|others?|remaining|everything\s+else|all\s+else)"
_MARKS = [mark for of in TYPES.values() for mark in of.marks]
_NAME = rf"#?(?!{'|'.join(_MARKS)})(?=\S*[0-9]{{4}}|\S*_[0-9]|#)[\w.\-–—#]+"
_KEEPERS = re.compile(
    rf"(?:keepers?\s+|frames?\s+)?(?:(?P<rest>{_REST})|(?P<named>{_NAME}(?:\s+(?:-|–|—|to)\s+{_NAME})?))"
    r"\s*(?:[:=]|\s)\s*(?P<stack>\S.*)",
    re.IGNORECASE,
)
# Where a list by keeper goes on without a comma: `0472 none others nd8`; not inside a range or a strength.
_GOES_ON = re.compile(
    "".join(f"(?<!{mark})" for mark in (*_MARKS, "to", "all", "the"))
    + r"(?<![-–—+&,;:=])\s+(?:(?:and|but)\s+)?"
    rf"(?P<whose>(?:keepers?\s+|frames?\s+)?(?:{_REST}|{_NAME}(?:\s+(?:-|–|—|to)\s+{_NAME})?))"
    r"(?=\s*[:=\s]\s*[^\s+&,;-])",
    re.IGNORECASE,
)
_EXCEPT = re.compile(
    r"(?P<stack>.+?)[,;]?\s+(?:except(?:\s+for)?|but(?:\s+for)?|apart\s+from|only)\s+(?P<list>.+)",
    re.IGNORECASE | re.DOTALL,
)
# Words around a stack that say nothing of the glass, and words that part two filters.
_AROUND = re.compile(
    r"^(?:(?:with|all|everything|both|just|only|the|an?)\s+)+|\s+(?:only|throughout|at\s+all|(?:(?:on|for)\s+)?(?:all|both)(?:\s+of\s+them)?)$",
    re.IGNORECASE,
)
_APART = re.compile(
    r"\s+(?:stacked\s+)?(?:with|plus|on|behind|under|over)(?:\s+(?:the|an?))?\s+|\s+", re.IGNORECASE
)
_EITHER = re.compile(r"\s*[/|\\]\s*|\s+(?:or|vs\.?|oder|ou)\s+")  # one or the other; never in 1/4 of a mist
# What no filter's name holds: it says that somebody was not sure or used none, or speaks of other keepers.
_NOT_A_NAME = re.compile(
    r"\b(?:none|nothing|rest|others?|maybe|perhaps|probably|possibly|think|guess|either|or|except|but|without|then|off"
    r"|would|should|could|needs?|needed|wish(?:ed)?|wanted|same|not|never|no(?!\.?\s?[0-9])|forgot(?:ten)?|unused|(?:did|do|does|was|were|could|would)n['’]?t)\b|[a-z]['’]s\b|\?"
)


@dataclass(frozen=True, slots=True)
class KeeperStack:
    """What was before the lens for the keepers from `first` to `last`; both None is the rest of those meant.

    `filters` () is none, and None is unknown.
    """

    first: str | None
    last: str | None
    filters: tuple[str, ...] | None

    @property
    def text(self) -> str:
        """The statement as it is written: `1207 nd8 + pol`."""
        if self.first is None:
            return f"rest {stack_words(self.filters)}"
        span = self.first if self.first == self.last else f"{self.first}-{self.last}"
        return f"{span} {stack_words(self.filters)}"


def stack_written(text: str) -> tuple[str, ...] | None:
    """Return the stored names of the filters in a text; () is none, and None is unknown.

    Raises InvalidValueError for an impossible strength, a word of another question, or a list by keeper.
    """
    if _by_keeper(text):
        raise InvalidValueError(
            f'"{_short(text)}" lists filters by keeper; write only the filters, such as nd8 + pol.'
        )
    if is_unknown(text):
        return None
    text = re.sub(r"(?<![\w/])w/(?!o\b)\s*", "with ", text, flags=re.IGNORECASE)
    if _is_either(text):
        raise InvalidValueError(f'"{_short(text)}" is one or the other, which is not a filter; {HOW_TO}.')
    try:
        stack = _parsed(text)
    except CraftValueError as error:
        raise InvalidValueError(str(error)) from None
    for one in stack or ():
        _refuse_slips(one)
    return None if stack is None else tuple(stored_name(one) for one in stack)


def _is_either(text: str) -> bool:
    """Whether a slash or "or" stands between two filters, or a filter and none: `nd8/nd64`."""
    for part in re.split(r"[+,;&]|\band\b", text.casefold()):
        sides = [side.strip() for side in _EITHER.split(part)]
        if len(sides) > 1 and any(map(_is_filter, sides)) and all(re.search("[a-z]", side) for side in sides):
            return True
    return False


def _is_filter(text: str) -> bool:
    with suppress(CraftValueError):
        return all(one.kind is not FilterKind.OTHER for one in _parsed(text) or ())
    return False


def _parsed(text: str) -> tuple[Filter, ...] | None:
    """The stack of a text without the words around it, words between taken for a plus, if that is known."""
    stack = parse_stack(text)
    plain = _AROUND.sub("", text.strip())
    stored = stack_words([one.name for one in stack] if stack else None)  # as it would be read again
    for said in (plain, *(" + ".join(filter(None, _APART.split(one))) for one in (plain, stored))):
        if all(one.kind is not FilterKind.OTHER for one in stack or ()):
            break
        with suppress(CraftValueError):
            again = parse_stack(said)
            if said and all(one.kind is not FilterKind.OTHER for one in again or ()):
                return again
    return stack


def says_no_filter(text: str) -> bool:
    """Whether a text says that there was no filter: `none`, `no filter`, `without`, `bare lens`."""
    try:
        return stack_written(text) == ()
    except InvalidValueError:
        return False


def stacks_written(text: str) -> tuple[KeeperStack, ...]:
    """Return what is before the lens of which keepers: `1201 none, 1207-1209 nd8 + pol, rest none`.

    A plain stack is one statement about the rest, which is all of those meant.
    """
    parts = _by_keeper(text)
    if not parts:
        return (KeeperStack(None, None, stack_written(text)),)
    said = [_keeper_stack(part) for part in parts]
    if sum(one.first is None for one in said) > 1:
        raise InvalidValueError(f'"{_short(text)}" names the rest twice; give its filters once.')
    return tuple(said)


def filter_written(text: str) -> str:
    """Return the stored name of one filter, such as that of a piece of kit."""
    stack = stack_written(text)
    if stack is None or len(stack) != 1:
        raise InvalidValueError(f'"{_short(text)}" is not one filter; write one such as nd8, pol or gnd8.')
    return stack[0]


def stored_name(item: Filter) -> str:
    """Return the one name under which a filter is kept: nd1000 for nd 3.0, nd1024 and ten stops alike."""
    stops, factor = item.dark_stops if item.type.is_partial else item.typical_stops, item.type.factor
    if not factor or stops is None:
        return item.name
    whole = round(stops)
    if whole < 1 or not math.isclose(stops, whole, abs_tol=SAME_STOPS):
        return item.name
    edge, _, _ = item.name.rpartition(factor)
    return f"{edge}{factor}{2**whole if whole < 10 else 1000 * 2 ** (whole - 10)}"


def names_now(names: Sequence[str] | None) -> tuple[str, ...] | None:
    """Return today's names of stored filters; a book of an earlier version may hold `cpl` or `od0.9`."""
    if names is None:
        return None
    now = list(names)
    for at, name in enumerate(names):
        with suppress(CraftValueError):
            now[at] = stored_name(parse_filter(name))
    return tuple(now)


def unknown_filters(names: Iterable[str] | None) -> tuple[str, ...]:
    """Return the stored names that no filter is known by, whose stops are therefore unknown."""
    return tuple(name for name in names or () if parse_filter(name).kind is FilterKind.OTHER)


def stack_words(names: Sequence[str] | None) -> str:
    """Return stored names as they are written: `nd8 + pol`, `none`, `unknown`."""
    return "unknown" if names is None else " + ".join(names) or "none"


def filters_understood(typed: str, said: Sequence[KeeperStack]) -> tuple[str, ...]:
    """Return the sentences that say how filters were read: names that differ, and stops nobody knows."""
    kept = [one.text for one in said] if _by_keeper(typed) else [stack_words(said[0].filters)]
    told = understood(typed, ", ".join(kept))
    names = dict.fromkeys(name for one in said for name in unknown_filters(one.filters))
    odd = [
        f'"{name}" is kept as a name, with its strength unknown. Known filters are {", ".join(_EXAMPLES)}.'
        for name in names
    ]
    return tuple(([told] if told else []) + odd)


def _by_keeper(text: str) -> list[str]:
    """The statements of a list by keeper, each with the filters behind its commas; [] for no list."""
    if len(text) > LONGEST_LIST:
        raise InvalidValueError(f"A list of filters that long cannot be read; {HOW_TO}.")
    if (found := _EXCEPT.fullmatch(text.strip())) and _KEEPERS.fullmatch(found["list"]):
        text = f"{found['list']}, rest {found['stack']}"
    if _KEEPERS.fullmatch(text.strip()):
        text = _GOES_ON.sub(r", \g<whose>", text)
    parts: list[str] = []
    for piece in re.split(r"([,;\n])", text):
        if _KEEPERS.fullmatch(piece.strip()):
            parts.append(piece.strip())
        elif parts:
            parts[-1] += piece
        elif piece.strip():
            return []
    return [part.strip(" ,;\n") for part in parts]


def _keeper_stack(part: str) -> KeeperStack:
    found = _KEEPERS.fullmatch(part.replace("\n", ","))
    if found is None:
        raise InvalidValueError(f'"{_short(part)}" is not understood; write it like 1207 nd8 + pol.')
    filters = stack_written(found["stack"])
    if found["rest"]:
        return KeeperStack(None, None, filters)
    first, last = keeper_range(found["named"].replace("#", ""))
    return KeeperStack(first, last, filters)


def _refuse_slips(item: Filter) -> None:
    """Refuse a name no filter can have: a letter, a bare number, a word that answers another question."""
    name = item.name
    if item.kind is not FilterKind.OTHER:
        return
    if re.fullmatch(r"[0-9.,]+", name):
        raise InvalidValueError(f'"{name}" could be a factor or stops; write nd{name} or {name} stops.')
    is_word = name in _OTHER_WORDS or set(re.findall(r"\w+", name)) <= _OTHER_WORDS
    if (bare := re.sub(r"\s*\([^()]*\)", "", name)) != name and _is_filter(bare):
        raise InvalidValueError(
            f'"{_short(name)}" has a remark; write only the filter, such as {bare.strip()}.'
        )
    is_word = is_word or says_nothing(name) or _NOT_A_NAME.search(name) is not None
    if is_word or (len(name) == 1 and name.isalpha()) or re.match(r"[0-9]{3,}\b|\bnd?\s?[0-9]", name):
        raise InvalidValueError(f'"{_short(name)}" is not a filter; {HOW_TO}.')


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return plain if len(plain) <= 60 else f"{plain[:60]}…"
