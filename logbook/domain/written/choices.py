"""One word of a vocabulary, as people write it: in full, shortened, or by another name for the same thing.

One surprising decision: a single letter is never read. `h` is handheld to one person and help to the next.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from logbook.domain.condition import Condition
from logbook.domain.condition_kinds.crowd import CROWD, PEOPLE
from logbook.domain.errors import InvalidValueError
from logbook.domain.words import (
    Audience,
    ConditionKind,
    Crowd,
    Disclosure,
    OutcomeWord,
    Priority,
    Reason,
    Sharpness,
    SubjectKind,
    Support,
    TripodRule,
)
from logbook.domain.written.understanding import folded

SHORTEST = 2  # letters of a word's beginning that are enough to mean it
UNKNOWN_WORDS = frozenset(("unknown", "?", "not known", "don't know", "dont know", "no idea", "not sure"))
UNKNOWN_WORDS |= {
    "dunno",
    "no clue",
    "forgot",
    "i forgot",
    "forgotten",
    "forgot which",
    "not noted",
    "i don't know",
}
UNKNOWN_WORDS |= {
    "don't remember",
    "can't remember",
    "cannot remember",
    "can't say",
    "cannot say",
    "couldn't tell",
}

SUPPORT_WORDS: Mapping[str, Support] = {word.value: word for word in Support} | {
    **dict.fromkeys(("hand-held", "hand held", "by hand", "in hand", "freehand"), Support.HANDHELD),
    **dict.fromkeys(("support unknown", "support ?", "?"), Support.UNKNOWN),
    **dict.fromkeys(("on tripod", "on a tripod", "on the tripod", "with tripod"), Support.TRIPOD),
    **dict.fromkeys(("on monopod", "on a monopod"), Support.MONOPOD),
    **dict.fromkeys(("bean bag", "beanbag", "on a bean bag", "on the bean bag", "leaning"), Support.BRACED),
}
OUTCOME_WORDS: Mapping[str, OutcomeWord] = {word.value: word for word in OutcomeWord} | {
    **dict.fromkeys(("done", "got it", "success", "nailed it"), OutcomeWord.MADE),
    **dict.fromkeys(("partial", "partially", "in part", "partly made", "partly done"), OutcomeWord.PARTLY),
    **dict.fromkeys(
        ("failed", "not made", "not done", "no luck", "skipped", "not tried"), OutcomeWord.MISSED
    ),
    **dict.fromkeys(("didn't happen", "didn't get it", "didn't work", "never tried"), OutcomeWord.MISSED),
    "still open": OutcomeWord.OPEN,
}
REASON_WORDS: Mapping[str, Reason] = {word.value: word for word in Reason} | {
    **dict.fromkeys(("crowds", "people", "too many people", "too crowded"), Reason.CROWD),
    **dict.fromkeys(("closed", "shut"), Reason.CLOSURE),
    **dict.fromkeys(("rain", "fog", "snow", "wind", "clouds"), Reason.WEATHER),
    **dict.fromkeys(("too late", "no time", "ran out of time"), Reason.TIME),
    **dict.fromkeys(("no light", "bad light", "too dark", "too bright"), Reason.LIGHT),
    **dict.fromkeys(("rules", "forbidden", "not allowed"), Reason.RULE),
    **dict.fromkeys(("too expensive", "money"), Reason.COST),
}
PRIORITY_WORDS: Mapping[str, Priority] = {word.value: word for word in Priority} | {
    **dict.fromkeys(("must have", "must-have", "must", "a must", "musthave"), Priority.ESSENTIAL),
    **dict.fromkeys(("must do", "top priority", "high priority", "most important"), Priority.ESSENTIAL),
    **dict.fromkeys(("want", "should have", "would like", "normal priority"), Priority.WANTED),
    **dict.fromkeys(("nice to have", "nice-to-have", "could have", "low priority"), Priority.OPTIONAL),
    **dict.fromkeys(("if time", "if time allows", "if there is time", "bonus"), Priority.OPTIONAL),
    **dict.fromkeys(("if there's time", "only if time", "maybe"), Priority.OPTIONAL),
}
TRIPOD_WORDS: Mapping[str, TripodRule] = {word.value: word for word in TripodRule} | {
    **dict.fromkeys(("ok", "okay", "fine", "permitted", "tripods allowed"), TripodRule.ALLOWED),
    **dict.fromkeys(("tight", "cramped", "difficult", "hardly any room"), TripodRule.AWKWARD),
    **dict.fromkeys(("banned", "prohibited", "not allowed", "not permitted"), TripodRule.FORBIDDEN),
}
DISCLOSURE_WORDS: Mapping[str, Disclosure] = {word.value: word for word in Disclosure} | {
    **dict.fromkeys(("hidden", "secret", "nowhere", "not at all"), Disclosure.WITHHELD),
    **dict.fromkeys(("roughly", "approximate", "rough"), Disclosure.AREA),
}
SUBJECT_WORDS: Mapping[str, SubjectKind] = {word.value: word for word in SubjectKind} | {
    **dict.fromkeys(("animals", "birds"), SubjectKind.WILDLIFE),
    **dict.fromkeys(("beach", "sea", "seaside", "shore"), SubjectKind.COAST),
    **dict.fromkeys(("canyon", "ravine"), SubjectKind.GORGE),
    **dict.fromkeys(("church", "house", "mill", "castle", "temple"), SubjectKind.BUILDING),
    **dict.fromkeys(("city", "village"), SubjectKind.TOWN),
    **dict.fromkeys(("wood", "woods"), SubjectKind.FOREST),
    **dict.fromkeys(("falls", "cascade"), SubjectKind.WATERFALL),
    **dict.fromkeys(("stars", "night sky"), SubjectKind.NIGHT_SKY),
}
OBSERVED_WORDS: Mapping[str, ConditionKind] = {word.value: word for word in ConditionKind} | {
    **dict.fromkeys(("people", "tourists", "crowds", "visitors"), ConditionKind.CROWD),
    **dict.fromkeys(("closed", "closures", "shut"), ConditionKind.CLOSURE),
    **dict.fromkeys(("fog", "rain", "snow", "storm", "clouds"), ConditionKind.WEATHER),
    **dict.fromkeys(("rules", "forbidden"), ConditionKind.RULE),
}
AUDIENCE_WORDS: Mapping[str, Audience] = {word.value: word for word in Audience} | {
    **dict.fromkeys(("customer", "the client"), Audience.CLIENT),
    **dict.fromkeys(("class", "pupils", "student", "my students"), Audience.STUDENTS),
    **dict.fromkeys(("me", "myself", "mine"), Audience.ARCHIVE),
}
_CROWD_WORDS: Mapping[str, Crowd] = {said: Crowd(level) for said, level in CROWD.words.items()}
_SHARPNESS_WORDS: Mapping[str, Sharpness] = {word.value: word for word in Sharpness}
_SAID: Mapping[type[StrEnum], Mapping[str, StrEnum]] = {
    Support: SUPPORT_WORDS,
    OutcomeWord: OUTCOME_WORDS,
    Reason: REASON_WORDS,
    Priority: PRIORITY_WORDS,
    TripodRule: TRIPOD_WORDS,
    Disclosure: DISCLOSURE_WORDS,
    SubjectKind: SUBJECT_WORDS,
    ConditionKind: OBSERVED_WORDS,
    Audience: AUDIENCE_WORDS,
}
_YES = {"y", "yes", "yep", "yeah", "yup", "ok", "okay", "sure", "right", "correct", "true"}
_NO = {"n", "no", "nope", "nah", "wrong", "false"}
_SEEN = (
    r"(?: (?:new|special|else|much|really|to report|to note|noted|noticed|unusual|at all|today|here|seen))*"
)
_DONE = r"(?: was)?(?: (?:closed|flooded|shut|locked|changed?|closed,? flooded or changed))?"
_SO = r"(?:open|fine|good|ok|okay|clear|well|quiet|normal|unchanged|planned|expected|accessible|passable)"
_KNOWN = r"that i (?:know|noticed|saw)(?: of)?"
_NOTHING = re.compile(
    "|".join(
        (
            rf"(?:no|none){_SEEN}",
            r"-|nope|nah|nil|nada|nix|zero|na|n/a|n\.a|not applicable|no news|unchanged|open|normal",
            r"fine|ok|okay|good",
            rf"nothing{_DONE}{_SEEN}(?: {_KNOWN})?",
            rf"no (?:new )?lessons?(?: learn(?:ed|t))?{_SEEN}",
            rf"no (?:changes?|closures?|flood(?:s|ing)?|surprises|problems?|issues?){_SEEN}",
            r"none of (?:it|that|them)",
            rf"not (?:today|really|much|closed|changed|flooded|anything|{_KNOWN})",
            r"(?:it'?s |it was |is |was )?(?:all|everything|everywhere|every path)"
            r"(?:'s| is| was| were| are| paths| still)*"
            rf" (?:{_SO}|as (?:usual|before|planned|expected))(?: (?:today|again|as usual|so far))?",
            r"(?:(?:the )?same )?as (?:before|ever|always|usual|yesterday|last time|planned)",
        )
    )
)
_CHANGES = re.compile(r"\s*(?:[,;/|→>]|->|\bthen\b|\blater\b|\band\b)\s*", re.IGNORECASE)
_AROUND_NOTHING = " .!-–—👍✅✔️🤷"
MOST_CROWDS = 3  # on arrival, at the peak, on leaving

_Word = TypeVar("_Word", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class CrowdSaid:
    """How many people were there; `level` None is unknown, and `note` keeps a number in its words."""

    level: Crowd | None
    note: str = ""


def crowds_written(text: str) -> tuple[CrowdSaid, ...]:
    """Read one to three crowds in order: `few, dozens, none`, `a few`, `~20 people`; `?` is unknown."""
    parts = [part for part in _CHANGES.split(text.strip(" \t,;/")) if part]
    said = [_crowd(part) for part in parts]
    if None in said or not said:  # three words without commas: few dozens none
        said = [_crowd(word) for word in text.replace(",", " ").split()]
    crowds = [one for one in said if one is not None]
    if len(crowds) > MOST_CROWDS:
        raise InvalidValueError("Write at most three crowd words: on arrival, at the peak and on leaving.")
    if len(crowds) != len(said) or not crowds:
        raise InvalidValueError(f'"{text.strip()}" is not a crowd size; write {_listed(Crowd)}, or a number.')
    return tuple(crowds)


def written_crowds(crowds: Iterable[CrowdSaid | Condition]) -> str:
    """Return crowds in order as `crowds_written` reads them: `few, dozens, none`."""
    return ", ".join(str(crowd.level or crowd.note or "?") for crowd in crowds)


def word_written(text: str, vocabulary: type[_Word]) -> _Word | None:
    """Return the word of any vocabulary that a text means; None where it means none or could mean two."""
    words = _SAID.get(vocabulary) or {word.value: word for word in vocabulary}
    if is_unknown(text) and "unknown" in words:
        return vocabulary("unknown")
    found = _word(text, words)
    return None if found is None else vocabulary(found)


def support_written(text: str) -> Support:
    """Read what held the camera: `tripod`, `hand-held`, `tri`; InvalidValueError lists the words."""
    found = _word(text, SUPPORT_WORDS)
    if found is None:
        raise InvalidValueError(f'"{text.strip()}" is not a support; write {_listed(Support)}.')
    return found


def priority_written(text: str) -> Priority:
    """Read how much a shot matters: `essential`, `must have`, `opt`; InvalidValueError lists the words."""
    found = _word(text, PRIORITY_WORDS)
    if found is None:
        raise InvalidValueError(f'"{text.strip()}" is not a priority; write {_listed(Priority)}.')
    return found


def sharpness_written(text: str) -> Sharpness:
    """Read sharp or soft, or the beginning of one."""
    found = _word(text, _SHARPNESS_WORDS)
    if found is None:
        raise InvalidValueError(f'"{text.strip()}" is not a judgement; write sharp or soft.')
    return found


def yes_written(text: str) -> bool:
    """Read yes or no; InvalidValueError asks for one of them."""
    typed = folded(text).rstrip(".!")
    if typed not in _YES | _NO:
        raise InvalidValueError(f'"{text.strip()}" is neither yes nor no; write y or n.')
    return typed in _YES


def is_unknown(text: str) -> bool:
    """Whether a text says that nobody knows."""
    return folded(text) in UNKNOWN_WORDS


def says_nothing(text: str) -> bool:
    """Whether a text says that there was nothing to note: `nothing`, `none`, `all open`, `n/a`, `-`."""
    parts = (part.strip(_AROUND_NOTHING) for part in re.split(r"[,;()]", folded(text)))
    return all(_NOTHING.fullmatch(part) for part in parts if part)


def _crowd(text: str) -> CrowdSaid | None:
    typed = folded(text)
    if is_unknown(typed):
        return CrowdSaid(None)
    if re.fullmatch(PEOPLE.pattern, typed):
        level = PEOPLE.level(typed)
        return CrowdSaid(None if level is None else Crowd(level), " ".join(text.split()))
    word = _word(re.sub(r"\s+(?:people|others?)$", "", typed), _CROWD_WORDS)
    return None if word is None else CrowdSaid(word)


def _word(text: str, words: Mapping[str, _Word]) -> _Word | None:
    """The word that a text means: in full, by another name, or by a beginning that is no other's."""
    typed = folded(text).rstrip(".!")
    if typed in words:
        return words[typed]
    if len(typed) < SHORTEST:
        return None
    fitting = {word for word in words.values() if word.value.startswith(typed)}
    return fitting.pop() if len(fitting) == 1 else None


def _listed(words: Iterable[StrEnum]) -> str:
    return ", ".join(words)
