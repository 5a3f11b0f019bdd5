"""What in a line of a plan looks like a setting and was not understood, so that the whole shot waits.

One surprising decision: `10 min walk` may be a note, but `5-10 min` alone may not: figures beside nothing but
units were meant as a setting.
"""

import re
from collections.abc import Sequence
from typing import NoReturn

from logbook.domain.written.elsewhen import TOMORROW
from logbook.domain.written.plan_tokens import TIMES, Token
from logbook.domain.written.understanding import NotUnderstoodError

# what makes one number of two, directly before or behind a setting: 15-30 s, 10 x 30 s, f/8-16, 15 to 30 s
_JOINS = r"(?:[-–—−±×+/]|x(?![a-z])|\s(?:to|or)\s)"
_BEFORE = re.compile(rf"[0-9](?:{_JOINS}\s?|\s?[x×±/]\s?)$", re.IGNORECASE)
_BEHIND = re.compile(rf"(?:{_JOINS}|\s?[x×±]\s?)\s?[0-9]", re.IGNORECASE)
_SPACED_BEFORE = re.compile(r"[0-9]\s[-–—−]\s$")
_SPACED = re.compile(r"\s[-–—−]\s")

_LENS = re.compile(r"[0-9]{1,4}\s?[-–]\s?[0-9]{1,4}\s?mm\b", re.IGNORECASE)
_YEARS = re.compile(
    r"\b(?:1[0-9]|20)[0-9]0s\b|(?:\b(?:the|early|mid|late)[\s-]+['’]?|(?<!\w)['’])[0-9]0s\b", re.IGNORECASE
)
_CENTURY = re.compile(r"\W*[12][0-9]00s\W*", re.IGNORECASE)
_NO_SHOT = re.compile(r"(?:don['’]?t|do\s+not|same\s+(?:as|again))(?!\w)", re.IGNORECASE)
_DITTO = re.compile(r"(?:^|\s)ditto[.!]?$", re.IGNORECASE)
# Before a setting or a time: it was somebody's, or is that of something else.
_REPORTED = re.compile(
    r"\b(?:was|were|had|used|shot\s+(?:it|this|that)|(?:closes|shuts|opens|locks|ends)"
    r"(?:\s+(?:at|from))?)$",
    re.IGNORECASE,
)
_RELATIVE = re.compile(rf"(?:^|\s)(?:{TOMORROW})$", re.IGNORECASE)
_TIMES = re.compile(r"[0-9]:[0-5][0-9]\s?(?:/|,|\bor\b)\s?[0-9]{1,2}:[0-5][0-9]")
_BARE_APERTURE = re.compile(r"\s(?:1\.[2478]|2\.[0258]|3\.[258]|4\.[05]|5\.[06]|6\.3|7\.1)$")
_HOUR = re.compile(r"(?:^|\s)(?P<hour>[01]?[0-9]|2[0-4])\s?h$", re.IGNORECASE)
_ASPECT = re.compile(r"[0-9]{1,2}:[0-9]{1,2}")  # 16:9
_UNIT = (
    r"(?:x|s|secs?|seconds?|m|mins?|minutes?|h|hrs?|hours?|mm|f|iso|ev|[ap]\.?m|stops?|to|or"
    r"|g?nd|od|pol|cpl|grad|filters?|about|around|approx|circa|ca|max|each)"
)
_UNITS = re.compile(rf"(?<![^\W\d_]){_UNIT}(?![^\W\d_])", re.IGNORECASE)
_SETTING = re.compile(
    r"[0-9]\s?(?:s|secs?|seconds?|mm|[ap]\.?m)\b|\b(?:iso|f\s?/)\s?[0-9.]|(?<![^\W_])f[0-9]|\b(?:g?nd|od)[\s-]?[0-9]",
    re.IGNORECASE,
)
_IN_TITLE = re.compile(
    r"\biso\s?[0-9]|\b[fƒ]/\s?[0-9]|[0-9]\s?[-–—/×x]\s?[0-9.,]+\s?(?:s|secs?|seconds?|mins?|minutes?)\b",
    re.IGNORECASE,
)


def refuse_joined(text: str, found: Sequence[Token]) -> None:
    """Raise NotUnderstoodError where a sign makes a range or product of a setting and a number beside it."""
    for one in found:
        if set(one.told) <= TIMES:
            continue
        before, behind = text[: one.begin], text[one.end :]
        is_joined = _BEFORE.search(before) or _BEHIND.match(behind)
        # two numbers about a dash, where no other dash parts anything: Pier trail 15 - 30 s
        is_spaced = (
            "exposure_s" in one.told and _SPACED_BEFORE.search(before) and len(_SPACED.findall(text)) == 1
        )
        if is_joined or is_spaced:
            begin = max(before.rfind(sign) for sign in ",;(\n") + 1
            until = re.search(r"[,;)\n]\s|$", behind)
            end = one.end + (until.start() if until else 0)
            raise NotUnderstoodError(
                f'"{text[begin:end].strip()}" mixes settings: a plan has one number for each; write the one '
                'you mean, or put "note:" before it'
            )


def refuse_figures(words: str, text: str) -> None:
    """Raise NotUnderstoodError where words of a text hold a figure meant as a setting, and none we know."""
    if hour := _HOUR.fullmatch(words.strip()):
        _refuse_hour(hour)
    plain = _ASPECT.sub("", _LENS.sub("", words))
    plain = plain if _CENTURY.fullmatch(words) else _YEARS.sub("", plain)
    if _SETTING.search(plain) or are_figures(plain):
        raise _unknown(text)


def refuse_no_shot(title: str) -> None:
    """Raise NotUnderstoodError where what would be a title says not to, or the same as something else."""
    if _NO_SHOT.match(title) or _DITTO.search(title):
        raise NotUnderstoodError(
            'it names no shot of its own; start with what the picture shows, or put "note:" before it'
        )


def refuse_report(words: str) -> None:
    """Raise NotUnderstoodError where the words before a setting or time say whose it is: not this shot's."""
    if _REPORTED.search(words):
        raise NotUnderstoodError(
            f'"{words.strip()}" does not say what is planned; write the plan alone, or put "note:" before it'
        )
    if late := _RELATIVE.search(words):
        raise NotUnderstoodError(f'"{late[0].strip()}" depends on the day it was written; write the date')
    if _BARE_APERTURE.search(words):
        raise _unknown(words)


def refuse_title(title: str) -> None:
    """Raise NotUnderstoodError where a title has a setting among its words: ISO 1600/3200, a lone 18h."""
    if hour := _HOUR.search(title):
        _refuse_hour(hour)
    if _IN_TITLE.search(_LENS.sub("", title)) or _TIMES.search(title):
        raise _unknown(title)


def _unknown(text: str) -> NotUnderstoodError:
    return NotUnderstoodError(
        f'"{text.strip()}" is not understood; write settings as f/8, 1/125 s, ISO 200 or nd8, '
        'or put "note:" before it'
    )


def _refuse_hour(found: re.Match[str]) -> NoReturn:
    """Raise NotUnderstoodError for a lone hour, such as 18h."""
    raise NotUnderstoodError(
        f'"{found[0].strip()}" could be a time of day or a shutter speed; write it as '
        f'{int(found["hour"]):02}:00 or as "exposure {found["hour"]} h"'
    )


def are_figures(words: str) -> bool:
    """Whether words are figures, signs and units and nothing else."""
    return re.search("[0-9]", words) is not None and not re.search(r"[^\W\d_]|[%°€$£]", _UNITS.sub("", words))
