"""How many: tries, and people, as they are written.

One surprising decision: a number of people says a level of the crowd, but a range over two levels says none;
the words are kept either way.
"""

import re

from logbook.domain.words import Crowd

_ABOUT = r"(?:about|around|roughly|approx(?:\.|imately)?|circa|ca?\.|some|~|≈|±)\s*"
_COUNT = re.compile(
    rf"(?:{_ABOUT}|ca\s)?\s*([0-9]{{1,5}})(?:\s*(?:x|×|tries|frames|exposures|shots))?", re.IGNORECASE
)
_PEOPLE = r"(?:people|persons?|visitors?|tourists?|walkers|hikers|anglers|photographers|pax|ppl|folks)"
_WHERE = r"(?:at|on|in|by|along|near|around|there|here|or|and|then|later|to|from|said|of\s+them)\b"
# A number of people, where a time or a length is hardly meant: ~20 people, 20-30, 50+ visitors.
PEOPLE = (
    rf"(?:{_ABOUT}|[<>≥]\s?|(?:ca|maybe|over|under|up\s+to|at\s+least|almost|nearly|more\s+than|less\s+than)\s+)?"
    r"(?<![0-9:.,])[0-9]{1,6}(?:\s?(?:-|–|—|\bto\b|\bor\b)\s?[0-9]{1,6})?\+?"
    r"(?![0-9]|[:.,h][0-9]|\s?[ap]\.?m\b|\s?%|\s?m\b)"
    rf"(?:\s+(?:other\s+)?{_PEOPLE}\b|(?!\s+(?!{_WHERE})[a-z]))"
)
_AT_LEAST = {1: Crowd.FEW, 12: Crowd.DOZENS, 100: Crowd.HUNDREDS, 1000: Crowd.THOUSANDS}


def count_written(text: str) -> int | None:
    """Return a count of tries, `14` or `about 20`; None where the text is none."""
    found = _COUNT.fullmatch(text.strip())
    return int(found[1]) if found else None


def people_level(text: str) -> Crowd | None:
    """Return the level of a crowd that a text matching PEOPLE says; None where it spans two."""
    levels = {_level(int(number)) for number in re.findall(r"[0-9]+", text)}
    return levels.pop() if len(levels) == 1 else None


def _level(count: int) -> Crowd:
    return next((word for least, word in reversed(_AT_LEAST.items()) if count >= least), Crowd.NONE)
