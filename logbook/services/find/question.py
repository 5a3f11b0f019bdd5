"""A question as typed, taken apart into words and phrases.

One surprising decision: there is nothing to get wrong. No character is an operator; quotes hold words
together, a star lets a word go on, and whatever is left over is looked for or left out, never refused.
"""

import re
import unicodedata
from dataclasses import dataclass

MOST_PIECES = 24  # of one question; what goes beyond is said to be left out
LONGEST_PIECE = 80  # characters; no word of a book is longer
_QUOTES = str.maketrans(dict.fromkeys("“”„«»‟″", '"') | dict.fromkeys("’‘ʼ`´′", "'"))
_SECONDS = re.compile(r'(?<![\w.])(\d+(?:[.,]\d+)?)"(?=\s|$)')
_PIECE = re.compile(r'"([^"]*)"(\*?)|"?([^\s"]+)')
_EDGES = (
    "".join(chr(code) for code in range(33, 127) if not chr(code).isalnum() and chr(code) not in "*/")
    + "…·–—¿¡"
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One word, or several held together by quotes; `goes_on`: a star was typed behind it."""

    text: str
    quoted: bool = False
    goes_on: bool = False


def pieces_of(question: str) -> tuple[Piece, ...]:
    """Take a question apart; whatever a person types gives pieces, each with a letter or digit in it."""
    text = "".join(
        letter if letter.isprintable() else " " for letter in unicodedata.normalize("NFC", question)
    )
    text = text.translate(_QUOTES)
    if text.count('"') % 2:
        text = _SECONDS.sub(r"\1s", text)  # 30" is a time, unless it closes a quotation
    found = []
    for phrase, star, word in _PIECE.findall(text):
        plain = " ".join(phrase.split()) if phrase else word.strip(_EDGES).strip("/")
        goes_on = bool(star) or plain.endswith("*")
        plain = plain.replace("*", " ").strip()[:LONGEST_PIECE]
        if any(letter.isalnum() for letter in plain):
            found.append(Piece(plain, quoted=bool(phrase), goes_on=goes_on))
    return tuple(found)
