"""Words of a plan that are filters, a support, a priority or a long time, and nothing else.

Two surprising decisions: words are taken for kit only where all of them are, so that `tripod if allowed`
stays what it is: a note; and a number is a filter only beside a word for one, though makers engrave 64 alone.
"""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from logbook.craft.filters import parse_filter, stack_stops
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Support
from logbook.domain.written.choices import PRIORITY_WORDS, SUPPORT_WORDS
from logbook.domain.written.filters import says_no_filter, stack_words, stack_written, unknown_filters
from logbook.domain.written.plan_tokens import minutes_written
from logbook.domain.written.understanding import NotUnderstoodError, folded

MOST_WORDS = 12  # of a part in which kit is looked for
NEAR_STOPS = 0.5  # of a count of stops, which people round to whole ones
UNCERTAIN = frozenset((Support.UNKNOWN, Support.OTHER))  # words that mean other things too

EMOJI = r"[\u2190-\u21ff\u2300-\u23ff\u2600-\u27bf\u2b00-\u2bff\ufe0f\u200d\U0001f000-\U0001faff]"
_AROUND_EMOJI = re.compile(rf"^(?:{EMOJI}|\s)+|(?:{EMOJI}|\s)+$")
_JOINING = re.compile(r"^(?:at|with|using|on|and|&|\+|w/|via)\s+|\s+(?:and|&|\+)$", re.IGNORECASE)
_NUMBER = r"(?:[0-9]+(?:[.,][0-9]+)?|one|two|three|four|five|six|eight|ten)"
_RANGE = rf"{_NUMBER}(?:\s?(?:-|–|—|to)\s?(?:nd\s?)?{_NUMBER})?"
_EDGE = r"(?:(?:soft|medium|hard|reverse)(?:[ -]edged?)?\s)?"
# a strength on either side of the word for its filter: 2x nd8, od 0.9, 3 stop soft grad, 10-stop filter
_STRENGTH = re.compile(
    rf"\b(?:[2-9]\s?[x×]\s?)?(?:"
    rf"(?:g?nd|od|density|grad(?:uated)?|vnd|filter)\s?-?\s?{_RANGE}(?:\s?x(?!\s?[0-9a-z])|[\s-]stops?)?"
    rf"|{_RANGE}(?:\s?x|[\s-]?stops?)?(?:\sof)?[\s-]?{_EDGE}(?:g?nd|od|density|grad(?:uated)?|filter)"
    rf"|{_RANGE}[\s-]?stopper"
    rf")\b(?:\s?[x×]\s?[2-9]\b)?"
)
_COUNTED = re.compile(
    r"(?:=\s?|about\s|~\s?)?([0-9]{1,2}(?:[.,][0-9])?)[\s-]?stops?(?:\s(?:in all|in total|total|together))?",
    re.IGNORECASE,
)
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


def stops_counted(text: str) -> float | None:
    """How many stops a text counts, `(13 stops)` or `9 stops in all`, if it says nothing else."""
    found = _COUNTED.fullmatch(text.strip())
    return float(found[1].replace(",", ".")) if found else None


def agree_on_stops(text: str, filters: Sequence[str] | None) -> None:
    """Raise NotUnderstoodError where the stops that a text counts are not what filters take together."""
    count = stops_counted(text)
    taken = stack_stops([parse_filter(one) for one in filters]) if filters else None
    if taken is None or count is None:
        raise NotUnderstoodError(f'"{text}" could be a filter or a correction; name the filter, such as nd8')
    low, high = taken.low_stops, taken.high_stops
    if low is None or high is None or not low - NEAR_STOPS <= count <= high + NEAR_STOPS:
        raise NotUnderstoodError(
            f'"{text}" does not match {stack_words(filters)}; write the filters without the stops'
        )


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
    is_named = re.match(r"filters?\s?:?\s+(?=\S)", said)
    said = said[is_named.end() :] if is_named else said
    if said in ("none", "-", "–", "without", "w/o") and said == folded(text):
        return None  # of what, nobody said
    try:
        if says_no_filter(said):
            return {"filters": ()}
        is_stack = not _HOLDS.search(said) and (is_named or _names_its_strengths(said))
        stack = stack_written(said) if is_stack else None
    except InvalidValueError:
        return None
    return {"filters": stack} if stack and not unknown_filters(stack) else None


def _names_its_strengths(said: str) -> bool:
    """Whether each number of a stack stands beside a word for a filter."""
    return re.search(r"[0-9]|\bstops?\b", _STRENGTH.sub("", said)) is None
