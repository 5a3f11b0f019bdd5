"""Texts of other scripts inside sentences of ours: set apart, cut without losing marks, named by language.

One surprising decision: what runs from right to left stands between unseen isolating signs, and not only in
elements of a page, because a place's name becomes part of sentences, labels of drawings and attributes, where
no element can stand.
"""

import re
import unicodedata

SET_APART, POP = "\u2068", "\u2069"  # first strong isolate, pop directional isolate (Unicode, UAX #9)
_LEFTWARDS = ("R", "AL", "AN")  # bidirectional classes
_MARKS = ("Mn", "Mc", "Me", "Cf")  # categories of what belongs to the letter before it
_SIGNS = {  # patterns, which only pages need and each command would wait for
    "ja": "[\u3041-\u3096\u30a1-\u30fa]",  # kana
    "ko": "[\uac00-\ud7a3]",  # hangul
    # Horned letters and those with two marks: no other spelling in use has them.
    "vi": "[\u01a0\u01a1\u01af\u01b0\u1ea4-\u1eb7\u1ebe-\u1ec7\u1ed0-\u1ed9\u1eda-\u1ee3\u1ee8-\u1ef1]",
}


def apart(text: str) -> str:
    """Return text between isolating signs where any of it runs from right to left, else as it is."""
    if text.isascii() or not any(unicodedata.bidirectional(sign) in _LEFTWARDS for sign in text):
        return text
    return f"{SET_APART}{text}{POP}"


def closed(text: str) -> str:
    """Return a text that was cut with the closing signs that the cut took."""
    return text + POP * (text.count(SET_APART) - text.count(POP))


def without_last(text: str) -> str:
    """Return text without its last letter and the marks on it."""
    end = len(text) - 1
    while end > 0 and unicodedata.category(text[end]) in _MARKS:
        end -= 1
    return text[: max(0, end)]


def written_in(text: str | None) -> str:
    """Return the language of a text where its signs leave no doubt: "ja", "ko" or "vi", else nothing.

    A browser chooses the shapes of Chinese signs by it, and the style sheet one face for a whole word.
    """
    return next((code for code, signs in _SIGNS.items() if text and re.search(signs, text)), "")
