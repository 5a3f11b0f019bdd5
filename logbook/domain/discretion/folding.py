"""Text as a reader sees it, in words folded for comparing, each with its place in what was typed.

One surprising decision: what a page would show decides, so entities, percent codes, invisible characters and
marks of emphasis within a word are read through before any word is looked at. Numbers in words are read as
figures ("fifty-five point one two"), only in English, the language that the program itself speaks.
"""

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import unescape
from urllib.parse import unquote

_UNSEEN = (
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f"
    "\u0300-\u036f\ufe00-\ufe0f\ufeff]+"
)
_TAG = r"</?(?:a|abbr|b|big|code|del|em|font|i|ins|mark|s|small|span|strong|sub|sup|tt|u|wbr)\s*/?>"
_ANY_TAG = r"<!--(?:(?!-->).){0,300}-->|</?[a-z][a-z0-9-]{0,20}(?:\s[^<>]{0,300})?/?>"
_MARKUP = re.compile(_ANY_TAG, re.IGNORECASE | re.DOTALL)
_BREAK = re.compile(r"</?(?:br|p|div|li|ul|ol|h\d|td|tr|table|blockquote|hr)\b", re.IGNORECASE)
_DRESSES = (
    r"(?P<entity>&(?:amp;|\#38;)*(?:#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,30});)"
    r"|(?P<percent>(?:%(?:25)*[0-9a-fA-F]{2})+)"
    r"|(?P<code>\\(?:u\{[0-9a-fA-F]{2,6}\}|u[0-9a-fA-F]{4}|x[0-9a-fA-F]{2}))"
    r"|(?P<mark>(?:(?<=[^\W_])|(?<=\d[.,:°]))[*`~\\]{1,3}(?=[^\W_]|[.,:°]\d))"
    rf"|(?P<unseen>{_UNSEEN})"
)
_DRESS = re.compile(f"{_DRESSES}|(?P<tag>{_TAG})", re.IGNORECASE)
_DRESS_AND_MARKUP = re.compile(f"{_DRESSES}|(?P<tag>{_ANY_TAG})", re.IGNORECASE | re.DOTALL)
_MAY_DRESS = re.compile("[&%<*`~\\\\\u00ad]|[^\x00-\u02ff]")
_CODES = 0x110000  # characters that Unicode has room for
_WORD = re.compile(r"[^\W_]+")
_LETTERS = str.maketrans(
    {"ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d", "ł": "l", "đ": "d", "ħ": "h", "ı": "i"}
    | {"ŋ": "n", "ŧ": "t", "ĸ": "k"}
    | dict(zip("ᴀʙᴄᴅᴇꜰɢʜɪᴊᴋʟᴍɴᴏᴘʀꜱᴛᴜᴠᴡʏᴢ", "abcdefghijklmnoprstuvwyz", strict=True))  # small capitals
    | dict(zip("авеікмнорстухѕјԁ", "abeikmhopctyxsjd", strict=True))  # look-alikes in Cyrillic and Greek
    | dict(zip("αβεικνορτυχ", "abeiknoptyx", strict=True))
)
_TWO_LETTERS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})
_ONE_FOR_TWO = re.compile("ae|oe|ue|aa")


@dataclass(frozen=True, slots=True)
class SeenText:
    """A text as it is seen; `begins` and `ends` say of each of its characters where it was typed."""

    text: str
    begins: Sequence[int]
    ends: Sequence[int]

    def typed(self, begin: int, end: int) -> tuple[int, int]:
        """Return where a stretch of the seen text (not empty) was typed."""
        return self.begins[begin], self.ends[end - 1]


@dataclass(frozen=True, slots=True)
class FoldedWord:
    """One word, or one part of a word in CamelCase: where it stands in the seen text, and folded."""

    begin: int
    end: int
    folded: str
    is_capital: bool
    token: int  # number of the unbroken word that it is a part of


def views(text: str) -> Iterator[SeenText]:
    """Yield a text as a page would show it, and where markup with more in it cuts words, also without that.

    Both, because what stands in the markup itself ("title=...") is written too.
    """
    yield seen(text)
    if _MARKUP.search(text):
        yield seen(text, _DRESS_AND_MARKUP)


def seen(text: str, dress: re.Pattern[str] = _DRESS) -> SeenText:
    """Return a text as a page would show it."""
    if not _MAY_DRESS.search(text):
        return SeenText(text, range(len(text)), range(1, len(text) + 1))
    letters: list[str] = []
    begins: list[int] = []
    ends: list[int] = []

    def add(shown: str, begin: int, end: int) -> None:
        letters.append(shown)
        begins.extend([begin] * len(shown))
        ends.extend([end] * len(shown))

    at = 0
    for found in dress.finditer(text):
        for place in range(at, found.start()):
            add(_compatible(text[place]), place, place + 1)
        add(_undressed(found), *found.span())
        at = found.end()
    for place in range(at, len(text)):
        add(_compatible(text[place]), place, place + 1)
    return SeenText("".join(letters), begins, ends)


def _compatible(letter: str) -> str:
    if letter < "\u02b0":
        return letter
    made = unicodedata.normalize("NFKC", letter)
    return made if made.isalnum() or len(made) == 1 else letter  # a double prime stays one mark


def _undressed(found: re.Match[str]) -> str:
    shown = _twice_escaped(found["entity"] or "", unescape) + _twice_escaped(found["percent"] or "", unquote)
    if found["code"] and (code := int(found["code"].strip("\\ux{}"), 16)) < _CODES:
        shown += chr(code)
    if found["tag"] and _BREAK.match(found["tag"]):
        shown = " "
    return re.sub(_UNSEEN, "", shown)


def _twice_escaped(text: str, read: Callable[[str], str]) -> str:
    """Read an escape that was escaped again as often as it was."""
    while text and (once := read(text)) != text:
        text = once
    return text


def words(text: str) -> list[FoldedWord]:
    """Return the words of a seen text; a word in CamelCase, or with figures in it, comes in its parts."""
    found: list[FoldedWord] = []
    for number, match in enumerate(_WORD.finditer(text)):
        whole, at = match[0], match.start()
        for begin, end in _parts(whole):
            part = whole[begin:end]
            found.append(FoldedWord(at + begin, at + end, folded(part), part[0].isupper(), number))
    return found


@lru_cache(maxsize=20_000)
def _parts(whole: str) -> tuple[tuple[int, int], ...]:
    if (whole.isalpha() and (whole[1:].islower() or whole.isupper())) or len(whole) == 1 or whole.isdigit():
        return ((0, len(whole)),)
    cuts = [0]
    for at in range(1, len(whole)):
        before, here, after = whole[at - 1], whole[at], whole[at + 1 : at + 2]
        grows = before.islower() and here.isupper()
        turns = before.isupper() and here.isupper() and after.islower()
        if grows or turns or before.isalpha() is not here.isalpha():
            cuts.append(at)
    return tuple(zip(cuts, [*cuts[1:], len(whole)], strict=True))


@lru_cache(maxsize=20_000)
def folded(word: str) -> str:
    """Return a word in lower case without accents."""
    lower = word.casefold()
    if lower.isascii():
        return lower
    apart = unicodedata.normalize("NFKD", lower.translate(_LETTERS))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def spellings(word: str) -> frozenset[str]:
    """Return a name's word as it may be spelled, folded: an umlaut as one letter or two, either way round."""
    composed = unicodedata.normalize("NFC", word.casefold())
    one, two = folded(composed), folded(composed.translate(_TWO_LETTERS))
    return frozenset((one, two, shortened(one)))


def shortened(word: str) -> str:
    """Return a folded word with one letter for what may be an umlaut typed as two."""
    return _ONE_FOR_TWO.sub(lambda pair: pair[0][0], word)


_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_VALUES = {word: value for value, word in enumerate(_SMALL.split())}
_VALUES |= {word: 10 * value for value, word in enumerate(_TENS.split(), start=2)}
_VALUES |= {"oh": 0, "nought": 0, "fourty": 40}
_POINTS = ("point", "dot", "decimal")
_HUNDRED = 100
_NUMBER = "|".join(sorted((*_VALUES, "hundred"), key=len, reverse=True))
_SPOKEN = re.compile(
    rf"\b(?:a\s+)?(?:{_NUMBER})(?:[\s-]+(?:and\s+)?(?:{_NUMBER}|{'|'.join(_POINTS)}))*\b",
    re.IGNORECASE,
)
_PARTS = re.compile(rf"{_NUMBER}|{'|'.join(_POINTS)}", re.IGNORECASE)


def in_figures(shown: SeenText) -> SeenText:
    """Return a seen text with its numbers in figures; every figure knows where its words were typed."""
    found = list(_SPOKEN.finditer(shown.text))
    if not found:
        return shown
    letters: list[str] = []
    begins: list[int] = []
    ends: list[int] = []
    at = 0
    for one in found:
        letters.append(shown.text[at : one.start()])
        begins += shown.begins[at : one.start()]
        ends += shown.ends[at : one.start()]
        figures = " ".join(_numbers(_PARTS.findall(one[0].lower())))
        begin, end = shown.typed(*one.span())
        letters.append(figures)
        begins += [begin] * len(figures)
        ends += [end] * len(figures)
        at = one.end()
    letters.append(shown.text[at:])
    return SeenText("".join(letters), [*begins, *shown.begins[at:]], [*ends, *shown.ends[at:]])


def _numbers(parts: list[str]) -> Iterator[str]:
    """Yield the numbers that follow each other; after a point, figures are put side by side."""
    if _POINTS[0] in parts or _POINTS[1] in parts or _POINTS[2] in parts:
        at = next(place for place, part in enumerate(parts) if part in _POINTS)
        *before, whole = [*_counted(parts[:at])] or [0]
        yield from map(str, before)
        yield f"{whole}." + "".join(map(str, _counted([part for part in parts[at:] if part in _VALUES])))
        return
    yield from map(str, _counted(parts))


def _counted(parts: list[str]) -> Iterator[int]:
    number: int | None = None
    for part in parts:
        if part == "hundred":
            number = (number or 1) * _HUNDRED
            continue
        value = _VALUES[part]
        goes_on = number is not None and (
            (number % _HUNDRED == 0 and number)
            or (number % 10 == 0 and number % _HUNDRED >= 20 and 0 < value < 10)
        )
        if number is not None and not goes_on:
            yield number
        number = (number or 0) + value if goes_on else value
    if number is not None:
        yield number
