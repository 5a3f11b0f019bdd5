"""A text taken apart into words and digits, whatever it was written in.

One surprising decision: the words of a text, and those of a name, are brought to one plain spelling first (no
accents, no escapes, ä, ae and å all one letter), so that no two spellings are ever compared.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from html import unescape
from urllib.parse import unquote

ROUNDS = 3  # how often a text may have been escaped on top of another escape
_ESCAPE = re.compile(
    r"\\u([0-9a-fA-F]{4})|\\u\{([0-9a-fA-F]{2,6})\}|\\x([0-9a-fA-F]{2})|\\([0-9a-fA-F]{4,6})\s?"
)
_PIECE = re.compile(r"[^\W\d_]+|\d+")
_EMPHASIS = str.maketrans("", "", "*~`\\")  # what Markdown puts inside a word without parting it
_SMALL_CAPITALS = [
    code
    for code in (*range(0x0250, 0x02B0), *range(0x1D00, 0x1D30), *range(0xA730, 0xA732))
    if re.fullmatch("LATIN LETTER SMALL CAPITAL [A-Z]", unicodedata.name(chr(code), ""))
]
# Letters that Unicode does not take apart, and look-alikes of the Latin ones in Cyrillic and Greek.
_PLAIN = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"}
    | dict(zip("авеікмнорстухѕјԁ", "abeikmhopctyxsjd", strict=True))
    | {chr(code): unicodedata.name(chr(code))[-1].lower() for code in _SMALL_CAPITALS}
    | dict(zip("αβεικνορτυχ", "abeiknoptyx", strict=True))
)
_TWICE = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("aa", "a"))  # ä and å as they are also typed


@dataclass(frozen=True, slots=True)
class PlainWord:
    """A run of letters or of digits: as written, in its plain spelling, and where it stands in the text."""

    written: str
    plain: str
    start: int
    end: int


def unescaped(text: str) -> str:
    """Return a text as it is read: no entities, percent signs, backslashes, hidden characters."""
    for _ in range(ROUNDS):
        before = text
        text = _ESCAPE.sub(_character, unquote(unescape(text)))
        if text == before:
            break
    return visible(text)


def visible(text: str) -> str:
    """Return a text composed of plain letters and digits, without what no reader sees."""
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text.replace("º", "°"))
    unseen = {ord(one): None for one in set(apart) if unicodedata.category(one) in ("Cf", "Mn")}
    return apart.translate(unseen)


@dataclass(frozen=True, slots=True)
class WordedText:
    """A text without emphasis and hidden characters, and its words in order."""

    plain: str
    words: tuple[PlainWord, ...]

    def gap(self, index: int) -> str:
        """Return what stands between a word and the next one."""
        return self.plain[self.words[index].end : self.words[index + 1].start]


def read(text: str) -> WordedText:
    """Return a text taken apart."""
    bare = unescaped(text).translate(_EMPHASIS)
    return WordedText(
        bare, tuple(PlainWord(one[0], plain_word(one[0]), *one.span()) for one in _PIECE.finditer(bare))
    )


@lru_cache(maxsize=65_536)
def plain_word(word: str) -> str:
    """Return a word's plain spelling."""
    if word[0].isdigit():
        return "".join(str(unicodedata.digit(one, 0)) for one in word)
    plain = word.casefold().translate(_PLAIN)
    for typed, letter in _TWICE:
        plain = plain.replace(typed, letter)
    return plain


def name_words(name: str) -> tuple[str, ...]:
    """Return the words of a name in their plain spelling."""
    return tuple(word.plain for word in read(name).words)


def _character(escape: re.Match[str]) -> str:
    code = int(next(filter(None, escape.groups())), 16)
    return chr(code) if code < 0x110000 else escape[0]
