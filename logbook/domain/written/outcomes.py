"""What became of a planned shot, and why: `partly, light`, `replaced by X, closure - the road was shut`.

One surprising decision: a reason said in words of one's own ("too many people") is a reason and stays, whole,
in the note; only the vocabulary's own words are taken out of it.
"""

import re
from difflib import get_close_matches

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import OutcomeWord, Reason
from logbook.domain.written.choices import OUTCOME_WORDS, REASON_WORDS
from logbook.domain.written.elsewhen import follows_elsewhen
from logbook.domain.written.entry import ShotEntry
from logbook.domain.written.understanding import (
    NotUnderstoodError,
    alternatives,
    folded,
    in_doubt,
    is_between,
    noted,
    tidied,
)

_OUTCOME = re.compile(
    rf"(?P<shot>\S(?:.*?\S)??)\s*(?::|\s)\s*(?P<outcome>{alternatives(OUTCOME_WORDS)})(?![\w-])(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
_OPENING = re.compile(
    rf"\s*(?P<outcome>{alternatives(OUTCOME_WORDS)})(?![\w-])(?P<rest>.*)", re.IGNORECASE | re.DOTALL
)
_CAUSE = r"(?:because(?:\s+of)?|b/?c(?:\s+of)?|cuz|due\s+to|owing\s+to|thanks\s+to)"
_BY = re.compile(
    rf"\s*(?:by|with)\s+(.+?)\s*(?=[,;:(]|\s[-–—]\s|\s{_CAUSE}(?!\w)|$)", re.IGNORECASE | re.DOTALL
)
_REASON = re.compile(
    rf"(?:\s*[,;:/+&]|\s+and\b)?\s*(?P<reason>{alternatives(Reason)})(?=\s*(?:$|[,;:/+&(]|and\b|[-–—]\s))",
    re.IGNORECASE,
)
_CAUSED = rf"(?:{_CAUSE}\s+(?:the\s+)?)?"
# "light was fine" names no reason
_REASON_IN_TEXT = re.compile(
    rf"\s*[,;:]?\s*{_CAUSED}({alternatives(REASON_WORDS)})(?![\w-])"
    r"(?!\s+(?:was|were|is|are|stayed)\s+(?:\w+\s+)?(?:fine|ok|okay|good|great|perfect|lovely|not)\b)",
    re.IGNORECASE,
)
# "made it", "missed that one": the shot itself, no note about it
_ITSELF = re.compile(
    r"\s+(?:it|(?:this|that|them)(?:\s+one)?(?=\s*(?:$|[,;:.!(]|[-–—]\s)))(?![\w'’-])", re.IGNORECASE
)
_BECAUSE = re.compile(rf"\s*[,;:]?\s*{_CAUSE}(?!\w)", re.IGNORECASE)
_DASH = re.compile(r"\s*[-–—]\s")
_ANOTHER = re.compile(
    rf"\s*(?:[,;/]|or\b|and\b|->|→)\s*(?:or\s+)?{alternatives(OUTCOME_WORDS)}\s*(?=$|[,;?!])", re.IGNORECASE
)
_NOT_YET = re.compile(
    r"\s+(?:hopefully|maybe|perhaps|probably|half|only\s+half|next\s+time|later)\b",
    re.IGNORECASE,
)


def read_shot(said: str) -> ShotEntry:
    """Read `bridge-smooth: partly, light`, the shot's name first."""
    found = _OUTCOME.fullmatch(said)
    if found is None:
        raise NotUnderstoodError(
            f"a shot line needs an outcome after the name: write one of {', '.join(OutcomeWord)}"
        )
    if is_between(found["shot"]):
        raise NotUnderstoodError(
            f'words stand between the colon and "{found["outcome"]}"; put the outcome right behind the colon'
        )
    return _entry(tidied(found["shot"]).strip("'\"“”„"), found["outcome"], found["rest"])


def outcome_written(shot: str, text: str) -> ShotEntry:
    """Read what became of a shot that is known: `partly, light`, `replaced by X, closure - why`."""
    found = _OPENING.fullmatch(text)
    if found is None:
        first = re.split(r"[\s,]", text.strip(), maxsplit=1)[0]
        raise InvalidValueError(f'"{first}" is not an outcome; write one of {", ".join(OutcomeWord)}.')
    return _entry(shot, found["outcome"], found["rest"])


def reason_written(text: str) -> Reason:
    """Read one reason by any of its names: `light`, `too late`; InvalidValueError lists the words."""
    reason = REASON_WORDS.get(folded(text))
    if reason is None:
        near = get_close_matches(folded(text), REASON_WORDS, 1)
        meant = f"did you mean {REASON_WORDS[near[0]]}? It can be" if near else "write one of"
        raise InvalidValueError(f'"{text.strip()}" is not a reason; {meant} {", ".join(Reason)}.')
    return reason


def reasons_written(shot: str, outcome: OutcomeWord, text: str) -> ShotEntry:
    """Read why an outcome was what it was: `light`, `light, too late`, `by ledge-dusk, crowd`, any words."""
    is_by = outcome is OutcomeWord.REPLACED and re.match(r"by\s", text.strip(), re.IGNORECASE)
    return _entry(shot, outcome.value, f"{' ' if is_by else ', '}{text.strip()}")


def written_shot(entry: ShotEntry) -> str:
    """The line (without its bullet) that reads back as this entry."""
    by = f" by {entry.replaced_by}" if entry.replaced_by else ""
    reasons = "".join(f", {reason}" for reason in entry.reasons)
    return f"shot {entry.shot}: {entry.outcome}{by}{reasons}" + (f" - {entry.note}" if entry.note else "")


def _entry(shot: str, word: str, rest: str) -> ShotEntry:
    outcome = OUTCOME_WORDS[folded(word)]
    if in_doubt(rest) or _NOT_YET.match(rest) or (rest[:1].isspace() and follows_elsewhen(rest)):
        raise NotUnderstoodError(f'"{tidied(word + rest)[:60]}" leaves it open; write what became of it')
    if _ANOTHER.match(rest):
        raise NotUnderstoodError("two outcomes at once; write one, and the rest behind a dash")
    rest = _ITSELF.sub("", rest, count=1) if _ITSELF.match(rest) else rest
    replaced_by = None
    if outcome is OutcomeWord.REPLACED and (by := _BY.match(rest)):
        replaced_by, rest = by[1], rest[by.end() :]
    reasons: list[Reason] = []
    while not _DASH.match(rest) and (said_reason := _REASON.match(rest)):
        reason = Reason(said_reason["reason"].lower())
        rest = rest[said_reason.end() :]
        if reason not in reasons:
            reasons.append(reason)
    explains = outcome is not OutcomeWord.MADE or _BECAUSE.match(rest)  # "made, crowd gone"
    if explains and not _DASH.match(rest) and (in_text := _REASON_IN_TEXT.match(rest)):
        reason = REASON_WORDS[folded(in_text[1])]  # "light was flat": a reason and the note
        reasons.extend([] if reason in reasons else [reason])
    return ShotEntry(shot, outcome, tuple(reasons), replaced_by, noted(rest))
