"""A planned shot in the words people write: `Mill at low water 18:10-18:50, 24 mm f/11 2 s, nd8, must have`.

One surprising decision: a setting that stands amid other words behind the title (`f/11 for depth`) is neither
taken nor kept as a note: nobody knows which was meant, so the whole shot is left to sort out.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from logbook.domain.errors import InvalidValueError
from logbook.domain.written.moments import is_about
from logbook.domain.written.plan_cells import about_told, values_written
from logbook.domain.written.plan_columns import PLAN_COLUMNS, PlanColumn, column_headed
from logbook.domain.written.plan_doubts import (
    are_figures,
    refuse_figures,
    refuse_joined,
    refuse_no_shot,
    refuse_report,
    refuse_title,
)
from logbook.domain.written.plan_kit import EMOJI, agree_on_stops, kit_of, stops_counted
from logbook.domain.written.plan_tokens import (
    ANY_TIME,
    TIMES,
    Around,
    Token,
    day_written,
    minutes_written,
    tokens,
)
from logbook.domain.written.understanding import NotUnderstoodError, folded

LONGEST_SHOT = 20_000  # characters of one shot with its notes
LONGEST_WORDS = 2000  # characters of the line that a shot opens with

TEXTS = ("intent", "notes")  # fields whose words go to the end of the line


_LEADING_EMOJI = re.compile(rf"^(?:{EMOJI}|\s)+")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
_CHECKBOX = re.compile(r"^\[[ xX]?\]\s+")
_SLUG = re.compile(r"\s*\[(?P<slug>[a-z0-9]+(?:-[a-z0-9]+)*)\]")
_ELSE = re.compile(
    r"(?:^|\s*[;,.(]\s*|\s)(?:or\s)?(?:else|otherwise|plan\s?b|fallback)\s?(?::\s?|\s)(?P<names>[^;,()]+?)\s*\)?(?=\s*[;,.]|\s*$)",
    re.IGNORECASE,
)
_SEPARATOR = re.compile(r"\s*(?:,(?!(?<=[0-9],)[0-9])|[;|•·()]|\s[-–—]\s|\s[-–—]$|\n)\s*")
_KEY = re.compile(r"\s*(?P<key>[A-Za-z][A-Za-z -]{0,30}?)\s?:(?!//)\s?(?P<said>.*)", re.DOTALL)
_DANGLING = re.compile(
    r"(?:\s|^)(?:at|with|using|from|on|in|between|around|by|@|and|&|\+|w/)$", re.IGNORECASE
)
_BETWEEN = frozenset(("at", "with", "using", "on", "and", "&", "+", "w/", "by", "for", "@"))  # two settings
_NUMBERED = re.compile(r"^[0-9]{1,2}[.)]\s+")
# a comma without a space before what can be no decimals: f4,35mm
# but not in 1,200 mm
_TIGHT = re.compile(
    r"(?<!(?<![\w/.])(?<!f\s)[1-4]),(?=1/[0-9]|[0-9]{2,4}\s?mm\b|iso|f/?[0-9])", re.IGNORECASE
)
_YEARS = re.compile(r"[0-9]{4}s", re.IGNORECASE)
_DECADE_FIRST = re.compile(r"[2-9]0s\s(?=[^\W\d_]{2})", re.IGNORECASE)
_STRUCK = re.compile(r"~~(?=\S)([^~]+)~~")
_QUOTED = re.compile(
    rf"(?:{EMOJI}|\s)*(?:\"([^\"\n]+)\"|[“”„]([^“”„\n]+)[“”]|«([^«»\n]+)»"
    rf"|»([^«»\n]+)«|[‘‚]([^‘‚\n]+?)[’‘])"
)
_PARTED = re.compile(r"\s*(?:[,;|•·(\[\n]|[-–—]\s|$)")
_GOES_ON = re.compile(
    r"\s*(?:(?:at|from|until|till|before|after|between|on|by)\s|[@~0-9]|f/|iso)", re.IGNORECASE
)
_OPEN_QUOTE = re.compile(r"(?<![0-9])\"|[“”„]")
_QUOTES = "\"'“”„«»‚‘’"


@dataclass(frozen=True, slots=True)
class PlannedWords:
    """What one entry of a plan says of a shot, by field; what it names (viewpoint, fallback for) as typed.

    `otherwise` names the shots to fall back on. A field that the entry does not speak of is not there.
    `told` is the sentence that says what was understood, where a time is only about right.
    """

    said: Mapping[str, Any]
    otherwise: tuple[str, ...] = ()
    line: int = field(default=0, compare=False)
    text: str = field(default="", compare=False)
    told: str = field(default="", compare=False)
    heading: int = field(default=0, compare=False)  # the line of the heading that names its viewpoint


@dataclass(slots=True)
class _ShotReading:
    """What was understood of one entry so far."""

    around: Around
    said: dict[str, Any] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    otherwise: list[str] = field(default_factory=list)
    parts: set[str] = field(default_factory=set)  # fields told by parts of a line, which may add up
    stops: list[str] = field(default_factory=list)  # what its filters take, as it says itself

    def tell(self, told: Mapping[str, Any]) -> None:
        """Take fields; NotUnderstoodError where one was said otherwise before."""
        for name, value in told.items():
            if value is None:
                continue
            if name == "filters" and name in self.said and name in self.parts:
                value = (*self.said[name], *value)
            elif name in self.said and self.said[name] != value:
                heading = next(one.heading for one in PLAN_COLUMNS if one.field == name)
                raise NotUnderstoodError(f"it gives two values for {heading}")
            self.said[name] = value
            self.parts.add(name)


def shot_written(lines: Sequence[str], around: Around = ANY_TIME) -> PlannedWords:
    """Read one shot: the line it opens with, without its bullet, and what stands indented below it.

    Raises NotUnderstoodError, which says what is not understood or who should say more.
    """
    if sum(map(len, lines)) > LONGEST_SHOT or len(lines[0]) > LONGEST_WORDS:
        raise NotUnderstoodError("it is too long for one shot")
    if any(map(_CONTROL.search, lines)):
        raise NotUnderstoodError("it contains a control character")
    reading = _ShotReading(around)
    words: list[str] = []
    for line in lines:
        column, text = _keyed(line)
        if column is None:
            words.append(line)
        elif column.field in TEXTS and column.field in reading.said:
            reading.said[column.field] += f"\n{text}"
        elif column.field in ("title", *TEXTS):
            reading.tell({column.field: text})
        else:
            reading.tell(values_written(column, text, around))
    text_end = [name for name in TEXTS if name in reading.said]
    for name in text_end:
        reading.said[name] = reading.said[name].strip("\n")
    if words:
        _read_words("\n".join(words), reading)
    if reading.notes:
        kept = [reading.said["notes"]] if "notes" in reading.said else []
        reading.said["notes"] = "\n".join([*reading.notes, *kept])
    for stops in reading.stops:
        agree_on_stops(stops, reading.said.get("filters"))
    if not reading.said.get("title") and "slug" not in reading.said:
        raise NotUnderstoodError(
            'it has no title; start with what the picture shows, such as "Mill at low water"'
        )
    return PlannedWords(reading.said, tuple(reading.otherwise), told=_about_told("\n".join(lines), reading))


def _about_told(text: str, reading: _ShotReading) -> str:
    """The sentence that says what times are kept as, where one is only about right."""
    about = [
        found
        for one in (tokens(text, reading.around) if is_about(text) else ())
        if set(one.told) <= TIMES and is_about(found := one.text_in(text))
    ]
    return about_told(
        ", ".join(about), {name: reading.said.get(name) for name in ("window_from", "window_to")}
    )


def speaks_of_settings(text: str) -> bool:
    """Whether a line without a bullet is a shot: a title, and behind it two things that plans say."""
    try:
        read = shot_written([text])
        found = tokens(text, ANY_TIME)
    except InvalidValueError:
        return False
    told = {name for one in found for name in one.told}
    is_apart = bool(found) and text[: found[0].begin].strip(" ,;:") == read.said.get("title")
    return is_apart and len(told) >= 2 and "notes" not in read.said


def heading_written(text: str, around: Around) -> dict[str, Any]:
    """Return what a heading says for the shots below it: day, viewpoint as typed, window.

    `on_date` or `viewpoint` None is said to be none (`Any day`, `Anywhere`).
    """
    column, said = _keyed(text)
    if column is not None and column.field == "viewpoint":
        return {"viewpoint": said}
    if folded(text) in ("any day", "no day", "no date", "undated", "some day"):
        return {"on_date": None}
    if folded(text) in ("anywhere", "no viewpoint", "no place"):
        return {"viewpoint": None}
    if (day := day_written(text, around)) is not None:
        return {"on_date": day}
    found = [one for one in tokens(text, around) if set(one.told) <= TIMES]
    told: dict[str, Any] = {}
    for one in found:
        told |= one.told
    rest = _without(text, found)
    if number := re.match(r"day\s+[0-9]{1,3}\b", rest, re.IGNORECASE):
        rest = rest[number.end() :]
        if "on_date" not in told:
            told["on_date"] = day_written(number[0], around)
    name = re.sub(r"\s+", " ", rest).strip(" ,;:–—-()·|")
    return told | ({"viewpoint": name} if name else {})


def _keyed(line: str) -> tuple[PlanColumn | None, str]:
    """The column that a line names before a colon, and what it says of it."""
    found = _KEY.fullmatch(line)
    column = column_headed(found["key"]) if found else None
    return (column, found["said"].rstrip()) if found and column else (None, line)


def _read_words(text: str, reading: _ShotReading) -> None:
    """Read the free words of a shot, lines of them apart."""
    text = _CHECKBOX.sub("", text.strip().replace("\u00a0", " ").replace("⁄", "/"))
    if struck := _STRUCK.search(text):
        raise NotUnderstoodError(
            f'"{struck[1].strip()}" is struck out; delete it, or plan it again without the "~~"'
        )
    text = _TIGHT.sub(", ", _cut_title(_NUMBERED.sub("", text), reading))
    text = _cut_texts(text, reading)
    for found in _SLUG.finditer(text):
        reading.tell({"slug": found["slug"]})
    text = _SLUG.sub("", text)
    for found in _ELSE.finditer(text):
        names = (name.strip(_QUOTES + " .") for name in re.split(r"\s+or\s+", found["names"]))
        reading.otherwise += [name for name in names if name]
    text = _ELSE.sub("", text)
    for at, part in enumerate(_parts(text, reading)):
        column, said = _keyed(part.text) if at or "title" in reading.said else (None, "")
        if column is not None:
            reading.tell(values_written(column, said, reading.around))
        elif "title" not in reading.said:
            _read_title(part, reading)
        else:
            _read_part(part, reading)


@dataclass(frozen=True, slots=True)
class _Part:
    """What stands between two commas: its text, and what stands for itself in it."""

    text: str
    tokens: tuple[Token, ...]

    @property
    def pieces(self) -> list[str]:
        """The words before, between and behind the tokens."""
        ends = [0, *(end for one in self.tokens for end in (one.begin, one.end)), len(self.text)]
        return [self.text[ends[at] : ends[at + 1]].strip() for at in range(0, len(ends), 2)]


def _parts(text: str, reading: _ShotReading) -> Iterator[_Part]:
    found = tokens(text, reading.around)
    refuse_joined(text, found)
    begin = 0
    separators = [
        (one.start(), one.end())
        for one in _SEPARATOR.finditer(text)
        if not any(token.begin < one.end() and one.start() < token.end for token in found)
    ]
    if "title" not in reading.said:  # a title may speak of years, 1200s, but says no seconds so
        title_end = min((begin for begin, _ in separators), default=len(text))
        found = [one for one in found if one.begin >= title_end or not _YEARS.fullmatch(one.text_in(text))]
    for at, until in [*separators, (len(text), len(text))]:
        own = tuple(
            Token(one.begin - begin, one.end - begin, one.told) for one in found if begin <= one.begin < at
        )
        if text[begin:at].strip():
            yield _Part(text[begin:at], own)
        begin = until


def _cut_title(text: str, reading: _ShotReading) -> str:
    """Take a title in quotes with all that it holds, unless it goes on behind them; return the rest."""
    found = None if "title" in reading.said else _QUOTED.match(text)
    if found is None:
        return text
    title, rest = "".join(filter(None, found.groups())), text[found.end() :]
    holds_signs = _SEPARATOR.search(title.strip()) is not None
    if _PARTED.match(rest) is None and not (holds_signs and _GOES_ON.match(rest)):
        return text
    reading.tell({"title": " ".join(title.split())})
    return rest


def _cut_texts(text: str, reading: _ShotReading) -> str:
    """Take what stands behind `note:` and its like to the end of the line; return the rest."""
    lines = []
    for line in text.split("\n"):
        for found in re.finditer(r"(?:^|[,;.(]|\s)\s*([A-Za-z]+)\s?:\s?", line):
            column = column_headed(found[1])
            if column is not None and column.field in TEXTS:
                said = line[found.end() :].strip()
                if "(" in found[0] and ")" in said:
                    said, _, rest = said.partition(")")
                    line = f"{line[: found.start()]}, {rest}"
                else:
                    line = line[: found.start()]
                kept = reading.said.get(column.field)
                reading.said[column.field] = said if kept is None else f"{said}\n{kept}"
                break
        lines.append(line)
    return "\n".join(lines)


def _read_title(part: _Part, reading: _ShotReading) -> None:
    """Read the part that holds the title: its words are the title, but for kit named behind a setting."""
    words: list[str] = []
    if (years := _DECADE_FIRST.match(part.text)) and kit_of(part.text[years.end() :]) is None:
        raise NotUnderstoodError(
            f'"{years[0].strip()}" could be years or a shutter speed; write "the {years[0].strip()}", '
            "or put the shutter speed after the title"
        )
    for at, piece in enumerate(part.pieces):
        piece = _bare(piece)
        if not piece:
            continue
        if at < len(part.tokens):
            refuse_report(piece)
        if at and (told := kit_of(piece)) is not None:
            reading.tell(told)
            continue
        if at and are_figures(piece):
            refuse_figures(piece, part.text)
        if at < len(part.tokens):
            piece, long = _long_behind(piece)
            reading.tell(long)
        words.append(_DANGLING.sub("", piece).strip() if at < len(part.tokens) else piece)
    for one in part.tokens:
        reading.tell(one.told)
    for word in words:
        refuse_title(word)
        if len(_OPEN_QUOTE.findall(word)) % 2:
            raise NotUnderstoodError("a quotation mark in its title is not closed before the comma")
    title = " ".join(word for word in words if word)
    told = None if part.tokens else kit_of(title)
    if told is not None and (set(told) != {"support"} or "slug" in reading.said):
        reading.tell(told)
        return
    title = _LEADING_EMOJI.sub("", title).strip(" :;,.-–—").strip()
    if (
        len(title) > 1
        and title[0] in _QUOTES
        and title[-1] in _QUOTES
        and not _OPEN_QUOTE.search(title[1:-1])
    ):
        title = title[1:-1].strip()
    if title:
        refuse_no_shot(title)
        reading.tell({"title": title})


def _long_behind(piece: str) -> tuple[str, Mapping[str, Any]]:
    """Words before a setting without the minutes or hours that they end in, and these as a shutter speed."""
    words = piece.split()
    told = minutes_written(" ".join(words[-2:])) if len(words) > 2 else None
    return (piece, {}) if told is None else (" ".join(words[:-2]), told)


def _read_part(part: _Part, reading: _ShotReading) -> None:
    """Read a part behind the title: settings and kit, or else words for the note."""
    if stops_counted(part.text) is not None:
        reading.stops.append(part.text.strip())
        return
    told: list[Mapping[str, Any]] = [one.told for one in part.tokens]
    words = [piece for piece in map(_bare, part.pieces) if piece]
    for piece in list(words):
        kit = kit_of(piece)
        if kit is not None:
            told.append(kit)
            words.remove(piece)
    if not words:
        for one in told:
            reading.tell(one)
        return
    settings = {name for one in part.tokens for name in one.told} - TIMES
    if settings:
        raise NotUnderstoodError(
            f'"{part.text.strip()}" mixes settings with other words; separate them with a comma, '
            'or put "note:" before the words'
        )
    for piece in words:
        refuse_figures(piece, part.text)
    reading.notes.append(part.text.strip(" .()"))


def _bare(piece: str) -> str:
    """A piece of words without the signs that parted it from others; nothing where it only joins two."""
    bare = piece.strip().strip("(),;:.!|/").strip().strip("–—-").strip()
    return "" if bare.lower() in _BETWEEN else bare


def _without(text: str, found: Iterable[Token]) -> str:
    for one in sorted(found, key=lambda one: one.begin, reverse=True):
        text = f"{text[: one.begin]} {text[one.end :]}"
    return text.strip()
