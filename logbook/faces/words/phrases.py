"""Values as words: dates, times, counts, bearings, statuses, conditions.

One surprising decision: the English is written here and not taken from the system's locale, so that the same
book gives the same report on every machine.
"""

from collections.abc import Mapping
from datetime import date, datetime, time

from logbook.craft.settings_text import settings_told
from logbook.domain.condition_kinds import KINDS
from logbook.domain.dates import DAYS, MONTHS
from logbook.domain.words import ConditionKind, OutcomeWord, Reason
from logbook.faces.words.scripts import POP, closed

_SMALL = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
REASONS: dict[Reason, str] = {
    Reason.CLOSURE: "a closure",
    Reason.CROWD: "the crowd",
    Reason.WEATHER: "the weather",
    Reason.WATER: "the water",
    Reason.LIGHT: "the light",
    Reason.TIME: "lack of time",
    Reason.COST: "the cost",
    Reason.RULE: "a local rule",
    Reason.GEAR: "the gear",
    Reason.TECHNIQUE: "the technique",
    Reason.OTHER: "another reason",
}
WHY_NOT: dict[Reason, str] = {
    Reason.CLOSURE: "something was closed",
    Reason.CROWD: "the crowd was in the way",
    Reason.WEATHER: "the weather was against it",
    Reason.WATER: "the water was against it",
    Reason.LIGHT: "the light was against it",
    Reason.TIME: "there was not enough time",
    Reason.COST: "it cost too much",
    Reason.RULE: "a local rule forbade it",
    Reason.GEAR: "the gear was not up to it",
    Reason.TECHNIQUE: "the technique proved too difficult",
    Reason.OTHER: "something else stood in the way",
}
STATUSES: dict[OutcomeWord, str] = {
    OutcomeWord.OPEN: "Still open",
    OutcomeWord.MADE: "Made",
    OutcomeWord.PARTLY: "Partly made",
    OutcomeWord.REPLACED: "Replaced",
    OutcomeWord.MISSED: "Missed",
}
_PARTS = {
    "place": ("viewpoint_id", "viewpoint"),
    "times": ("arrived_at", "departed_at"),
    "purpose": ("purpose",),
    "support": ("support",),
    "tries": ("tries",),
}


def number_word(number: int) -> str:
    """Return a count in words up to ninety-nine, in figures beyond; zero is "no"."""
    if number < len(_SMALL):
        return _SMALL[number]
    if number > 99:
        return str(number)
    tens, ones = divmod(number, 10)
    return _TENS[tens - 2] + (f"-{_SMALL[ones]}" if ones else "")


def counted(number: int, one: str, many: str | None = None) -> str:
    """Return a count with its noun: "no pictures", "one picture", "twelve pictures"."""
    return f"{number_word(number)} {one if number == 1 else many or one + 's'}"


def capitalised(text: str) -> str:
    """Return text with a capital at its beginning and no other letter changed."""
    return f"{text[:1].upper()}{text[1:]}"


# Words that are no name wherever they stand: only these lose their capital.
_PLAIN = frozenset(
    (
        "a", "across", "along", "an", "around", "at", "back", "between", "by", "down", "downstream", "from",
        "in", "inside", "into", "off", "on", "out", "over", "past", "the", "through", "to", "towards", "two",
        "under", "up", "upstream",
    )
)  # fmt: skip


def uncapitalised(text: str) -> str:
    """Return text that goes on after a colon: a plain first word loses its capital, a name keeps it."""
    first, space, rest = text.partition(" ")
    return f"{first.lower()}{space}{rest}" if first.lower() in _PLAIN else text


def shortened(text: str, most: int) -> str:
    """Return text of at most so many characters, cut after a word, with a sign that it goes on."""
    if len(text) <= most:
        return text
    return closed(f"{text[: most - 1].rpartition(' ')[0] or text[: most - 1]}…")


def ended(text: str) -> str:
    """Return text with a full stop, unless it ends as a sentence does."""
    return text if text.rstrip(POP).endswith((".", "!", "?", "…", "。", "؟", "।")) else f"{text}."


def sentence(text: str) -> str:
    """Return text with a capital and a full stop."""
    return ended(capitalised(text))


def listed(parts: list[str] | tuple[str, ...]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1]))) if parts else ""


def date_text(day: date, *, weekday: bool = False) -> str:
    """Return "14 October 2031", with "Tuesday" before it where asked."""
    text = f"{day.day} {MONTHS[day.month - 1]} {day.year}"
    return f"{DAYS[day.weekday()]} {text}" if weekday else text


def short_date(day: date) -> str:
    """Return "14 Oct"."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def span_text(first: date | None, last: date | None) -> str:
    """Return a span of days without saying a month or year twice."""
    if not first or not last or first == last:
        day = first or last
        return date_text(day) if day else ""
    if first.year != last.year:
        return f"{date_text(first)} – {date_text(last)}"
    if first.month != last.month:
        return f"{first.day} {MONTHS[first.month - 1]} – {date_text(last)}"
    return f"{first.day}–{date_text(last)}"


def clock(moment: time | datetime) -> str:
    """Return "17:20"."""
    return f"{moment.hour:02d}:{moment.minute:02d}"


def window_text(start: time | None, end: time | None) -> str:
    """Return "17:20–18:45", "from 17:20", "until 18:45" or nothing."""
    if start and end:
        return f"{clock(start)}–{clock(end)}"
    return f"from {clock(start)}" if start else f"until {clock(end)}" if end else ""


def time_of_day(moment: time | datetime) -> str:
    """Return the part of the day that the clock says; it claims nothing about the light."""
    parts = ((5, "at night"), (8, "in the early morning"), (11, "in the morning"), (14, "around midday"))
    later = ((17, "in the afternoon"), (21, "in the evening"), (24, "at night"))
    return next(words for until, words in parts + later if moment.hour < until)


def whole_bearing(bearing_deg: float) -> str:
    """Return a bearing in whole degrees: "225°", and north as "0°"."""
    return f"{round(bearing_deg) % 360}°"


def bearing_text(bearing_deg: float) -> str:
    """Return a bearing from true north in words and degrees: "south-west (225°)"."""
    names = (
        "north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west",
    )  # fmt: skip
    return f"{names[round(bearing_deg / 45) % 8]} ({whole_bearing(bearing_deg)})"


def position_text(latitude_deg: float, longitude_deg: float, decimals: int) -> str:
    """Return "47.1° N, 12.7° E" to so many decimals."""
    north, east = round(latitude_deg, decimals), round(longitude_deg, decimals)
    return (
        f"{abs(north):.{decimals}f}° {'S' if north < 0 else 'N'}, "
        f"{abs(east):.{decimals}f}° {'W' if east < 0 else 'E'}"
    )


def condition_text(kind: ConditionKind, level: str | None, direction: str | None) -> str:
    """Return what was observed: "dozens of people", "wind force 4, moderate breeze, from west"."""
    of = KINDS[kind]
    said = kind.value if level is None else of.texts.get(level, f"{kind} {level}")
    if not direction:
        return said
    if of.has_bearing:
        return f"{said} from {direction}" if level is None else f"{said}, from {direction}"
    return f"{said}, {direction}"


def why_not(reasons: tuple[Reason, ...]) -> str:
    """Return "the crowd was in the way and it cost too much", or nothing."""
    return listed([WHY_NOT[reason] for reason in reasons])


def because(reasons: tuple[Reason, ...]) -> str:
    """Return "because the crowd was in the way and it cost too much", or nothing."""
    return f"because {why_not(reasons)}" if reasons else ""


def settings_words(record: object) -> str:
    """Return settings in one line as photographers write them: `1/125 s f/8 ISO 200 24 mm`."""
    return " ".join(settings_told(record))


def unstated_of_visit(provenance: Mapping[str, str]) -> str:
    """Return the parts of a visit that were only worked out or carried forward: `times, tries`."""
    return ", ".join(part for part, names in _PARTS.items() if any(name in provenance for name in names))
