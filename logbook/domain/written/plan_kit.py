"""Words of a plan that are filters, a support, a priority or a long time, and nothing else.

One surprising decision: words are taken for kit only where all of them are, so that `tripod if allowed` stays
what it is: a note.
"""

import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Support
from logbook.domain.written.choices import PRIORITY_WORDS, SUPPORT_WORDS
from logbook.domain.written.filters import says_no_filter, stack_written, unknown_filters
from logbook.domain.written.plan_tokens import minutes_written
from logbook.domain.written.understanding import folded

MOST_WORDS = 12  # of a part in which kit is looked for
UNCERTAIN = frozenset((Support.UNKNOWN, Support.OTHER))  # words that mean other things too

EMOJI = r"[\u2190-\u21ff\u2300-\u23ff\u2600-\u27bf\u2b00-\u2bff\ufe0f\u200d\U0001f000-\U0001faff]"
_AROUND_EMOJI = re.compile(rf"^(?:{EMOJI}|\s)+|(?:{EMOJI}|\s)+$")
_JOINING = re.compile(r"^(?:at|with|using|on|and|&|\+|w/|via)\s+|\s+(?:and|&|\+)$", re.IGNORECASE)
_HOLDS = re.compile(r"\b(?:tripod|monopod|hand[ -]?held|braced)\b")  # what no filter's name does


def kit_of(text: str) -> Mapping[str, Any] | None:
    """What a piece of words tells of filters, support, priority or a long time, if it tells nothing else."""
    plain = _AROUND_EMOJI.sub("", text)
    if not plain:
        return {}  # signs alone
    for said in (plain, _JOINING.sub("", plain)):
        words = said.split()
        if words and len(words) <= MOST_WORDS and (told := _consumed(tuple(words))) is not None:
            return told
    return None


@cache
def _known_words() -> Mapping[str, Mapping[str, Any]]:
    supports = {word: {"support": one} for word, one in SUPPORT_WORDS.items() if one not in UNCERTAIN}
    return {**supports, **{word: {"priority": one} for word, one in PRIORITY_WORDS.items()}}


def _consumed(words: tuple[str, ...]) -> Mapping[str, Any] | None:
    """What words tell that are kit from the first to the last."""
    for length in range(len(words), 0, -1):
        told = _atom(" ".join(words[:length]))
        if told is None:
            continue
        if length == len(words):
            return told
        rest = _consumed(words[length:] if words[length] not in ("+", "&", "and") else words[length + 1 :])
        if rest is not None and not (set(rest) & set(told)):
            return {**told, **rest}
    return None


def _atom(text: str) -> Mapping[str, Any] | None:
    said = folded(text).strip(".!")
    if said in _known_words():
        return _known_words()[said]
    if (long := minutes_written(text)) is not None:
        return long
    if said in ("filters unknown", "filter unknown", "unknown filter", "unknown filters"):
        return {}
    said = re.sub(r"^filters?\s?:?\s+(?=\S)", "", said)
    if said in ("none", "-", "–", "without") and said == folded(text):
        return None  # of what, nobody said
    try:
        if says_no_filter(said):
            return {"filters": ()}
        stack = stack_written(said) if not _HOLDS.search(said) else None
    except InvalidValueError:
        return None
    return {"filters": stack} if stack and not unknown_filters(stack) else None
