"""Words that speak of another time, a plan, a forecast or a guess, so that nobody saw what they say.

One surprising decision: a comparison is no other time: "lower than last year" was seen today.
"""

import re

from logbook.domain.condition_kinds import KINDS
from logbook.domain.words import ConditionKind
from logbook.domain.written.moments import MONTH

TOMORROW = r"(?:tomorrow|tommorr?ow|tomorow|tmrw|tmr|2moro)(?!['’])"
_WEEKDAY = r"(?:mon|tues|wednes|thurs|fri|satur|sun)day"
_PERIOD = rf"(?:year|yr|week|month|season|summer|winter|spring|autumn|time|{_WEEKDAY})"
_MAYBE = r"(?:maybe|perhaps|probably|possibly|presumably)"
_THEN = r"(?<!than )(?<!like )(?<!as )(?<!as in )(?<!since )"  # what is only compared with
# Behind a level or an outcome: it was so at another time, or only thought to come; "due to rain" is neither.
_ELSEWHEN = re.compile(
    rf"\s*\(?(?:(?:was|were|is|are)\s)?(?:yest(?:erday)?|{TOMORROW}|the\s(?:day|night)\sbefore|last\s(?:{_PERIOD}|night)"
    rf"|next\s{_PERIOD}|expected|forecast(?:ed)?(?!\s[0-9])|in\s+the\s+forecast|predicted|announced|feared|likely|usually"
    r"|normally|on\s+(?:a\s+)?(?:normal|usual|busy|good|bad|weekend|wkend)\w*|on\s+\w+days|warnings?|used\s+to"
    r"|in\s(?:19|20)[0-9]{2}|(?:\w+\s){1,3}ago"
    r"|due(?!\sto\b)|(?:earlier|before)(?=.*\bnow\b)|coming(?=\s*(?:$|[,;.!)]|tomorrow|tonight|later|soon)))\b",
    re.IGNORECASE,
)
# What closes or opens at another time than now, by plan or guess; "closed until tomorrow" is now.
_CLOSES = (
    r"(?:clos(?:e|ed|ing|ure)|shut(?:ting)?|block(?:ed)?|lock(?:ed)?|barr(?:ed|icaded)"
    r"|(?:re-?)?open(?:ed|ing|s)?|impassable|inaccessible|off[\s-]limits)"
)
_LATER = re.compile(
    rf"(?<!until )(?<!till )(?<!til )(?<!to )\b(?:{TOMORROW}|next\s{_PERIOD})\b",
    re.IGNORECASE,
)
# It is open by now, whatever was closed before.
_OPEN_AGAIN = re.compile(
    r"\b(?:now|again)\s+open\b|\bopen(?:ed)?\s+(?:now|again)\b|\bre-?opened\b",
    re.IGNORECASE,
)
_NOT_NOW = re.compile(
    rf"\b(?:may|might|could|will|would|shall|should)\s+(?:(?:soon|also|well|be|get|have\s+to|{_MAYBE})\s+){{0,3}}{_CLOSES}\b"
    rf"|\b(?:going|about|due|expected|planned|scheduled|set|likely|bound|supposed|said|want(?:ed|s)?)\s+to\s+(?:be\s+)?{_CLOSES}\b"
    r"|\bclos(?:es|ing|ure)\s+(?:soon|later|planned|expected|announced|likely|possible|from|on)\b"
    r"|\b(?:planned|scheduled|announced|expected|predicted|likely|possible|rumou?red)\s+"
    r"(?:for|on|from|closures?)\b"
    rf"|\b{_MAYBE}\s+(?:\w+\s+){{0,2}}?{_CLOSES}\b|\A\s*{_MAYBE}\b|\bused\s+to\s+be\b"
    rf"|\b(?:open(?:s|ing)?\s+again|re-?open(?:s|ing)?|open(?:s|ing)?\s+(?:on\s+)?{_WEEKDAY}(?!s))\b"
    rf"|\bto\s+be\s+{_CLOSES}\b|{_OPEN_AGAIN.pattern}"
    rf"|\b{_CLOSES}\s+(?:only\s+)?(?:yest(?:erday)?|the\s+(?:day|night)\s+before|last\s+(?:night|{_PERIOD})"
    rf"|in\s+(?:{MONTH}|(?:19|20)[0-9]{{2}}))\b"
    rf"|(?<!\bas )\bif\b|{_LATER.pattern}",
    re.IGNORECASE,
)
# In any words: a forecast, a table, a custom or a guess.
_NOT_SEEN = re.compile(
    rf"\b(?:{TOMORROW}|forecast(?:s|ed)?|fcst|predicted|expect(?:ed|ing|s)?|announced|feared|supposed\s+to|going\s+to"
    r"|usually|normally|typically|used\s+to|hopefully|table\s?s?\s+sa(?:ys?|id)|app\s+sa(?:ys?|id)|likely|probable|chance\s+of"
    r"|(?:should|could|would|might|may|will)\s+(?:(?:still|well|even|also|soon|not)\s+)?(?:be|get|have|turn|come|go|stay|clear|rain|snow)"
    r"|[a-z]+['’]ll\s+(?:be|get))\b"
    rf"|\bnext\s+(?:low|high|ebb|tide|flood|{_PERIOD})\b|{_THEN}\b(?:yesterday|last\s+{_PERIOD})\b",
    re.IGNORECASE,
)
# Before a word: it was not so.
NEGATED = re.compile(
    r"\b(?:not|never|no\s+longer|nothing|none|no|isn't|wasn't|weren't|aren't|neither)\s+(?:\w+\s+){0,2}?$"
    r"|\bnone\s+of\s+(?:\w+\s+){1,4}$",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"\s*(?:[,;(]|\.(?=\s)|\s[-–—]\s|\b(?:and|but)\b)\s*", re.IGNORECASE)


def follows_elsewhen(rest: str) -> bool:
    """Return whether what follows a level or an outcome moves it to another time: `tomorrow`."""
    return _ELSEWHEN.match(rest) is not None


def is_denied(text: str, found: re.Match[str]) -> bool:
    """Return whether a text denies a word found in it, such as `open` in `not open`; never a denial."""
    is_denial = re.match(r"not?\b|\w+n't", found[0], re.IGNORECASE)
    return not is_denial and NEGATED.search(text[: found.start()]) is not None


def says_the_contrary(kind: ConditionKind, said: str) -> bool:
    """Return whether all that a text says of a kind is denied: `wasn't closed after all`."""
    plain = said.replace("’", "'")
    every = list(re.finditer(KINDS[kind].said, plain, re.IGNORECASE))
    return bool(every) and all(is_denied(plain, one) for one in every)


def is_elsewhen(kind: ConditionKind, said: str) -> bool:
    """Return whether a text only says what was, comes, may be or is forecast: `path closed tomorrow`.

    A clause beside it that was seen makes the whole an observation, unless it is over: `closed, open again`.
    """
    of = KINDS[kind]
    if of.within and not of.is_barrier:
        return bool(_LATER.search(said))  # "no drones if birds nest" is a rule
    if of.is_barrier and _OPEN_AGAIN.search(said):
        return True
    pattern = _NOT_NOW if of.is_barrier else _NOT_SEEN
    clauses = [one for one in _CLAUSE.split(said) if one.strip()]
    elsewhen = [bool(pattern.search(clause)) for clause in clauses]
    return any(elsewhen) and not any(
        re.search(of.said, clause, re.IGNORECASE)
        for clause, not_now in zip(clauses, elsewhen, strict=True)
        if not not_now
    )
