"""Names as people write them: random dresses of the names of withheld places and of private people."""

import random
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass

PLACES = ("Lauterfall Arch", "Ottermoor Ledge", "Vieux Moulin de Sarre", "Grindelgrund")
PEOPLE = ("Ilse Brandauer", "Jiří Kovařík", "Marit Solheim")
# Words of the names that everybody uses: alone they tell nothing.
COMMON = frozenset(("arch", "ledge", "de"))


@dataclass(frozen=True, slots=True)
class Planted:
    """A piece of text, and the pieces of it of which none may be left, without accents and in lower case."""

    text: str
    needles: tuple[str, ...]


def squeezed(text: str) -> str:
    """Letters and digits alone, in lower case and without accents: the simplest way to compare two texts."""
    apart = unicodedata.normalize("NFKD", text.replace("º", "°")).casefold()
    return "".join(one for one in apart if one.isalnum())


def _words(name: str) -> list[str]:
    return name.split()


def _telling(name: str) -> list[str]:
    return [word for word in _words(name) if word.casefold() not in COMMON]


def _all(name: str) -> tuple[str, ...]:
    return tuple(squeezed(word) for word in _telling(name))


def _possessive(name: str, rng: random.Random) -> str:
    return name + rng.choice(("'s boat", "’s", "s'", "´s", "'s"))


def _bent(name: str, rng: random.Random) -> str:
    word = rng.choice([one for one in _telling(name) if len(one) >= 5] or _telling(name))
    return word + rng.choice(("s", "es", "n", "en", "em", "ovi", "em", "a", "u", "y", "ska", "in", "ssa"))


def _reordered(name: str, rng: random.Random) -> str:
    words = [word for word in _words(name) if word != "de"]
    rng.shuffle(words)
    return rng.choice((" at ", ", ", " of the ", " – ", " by the ", " (")).join(words)


def _initials(name: str, rng: random.Random) -> str:
    first, *rest = _words(name)
    return rng.choice(
        (
            f"{first[0]}. {rest[-1]}",
            f"{first[0]}.{rest[-1]}",
            f"{rest[-1]}, {first[0]}.",
            f"{first} {rest[-1][0]}.",
        )
    )


def _without_accents(name: str, _rng: random.Random) -> str:
    return "".join(one for one in unicodedata.normalize("NFD", name) if not unicodedata.combining(one))


def _with_accents(name: str, rng: random.Random) -> str:
    accent = rng.choice(("\u0301", "\u0308", "\u0300"))
    return unicodedata.normalize("NFC", "".join(one + accent if one in "aeo" else one for one in name))


def _entities(name: str, rng: random.Random) -> str:
    at = rng.randrange(len(name))
    return f"{name[:at]}&#{ord(name[at])};{name[at + 1 :]}"


def _unseen(name: str, rng: random.Random) -> str:
    at = rng.randrange(1, len(name) - 1)
    return name[:at] + rng.choice(("\u00ad", "\u200b", "\u2060", "\u200d")) + name[at:]


def _emphasis(name: str, rng: random.Random) -> str:
    word = rng.choice([one for one in _telling(name) if len(one) >= 5] or _telling(name))
    at = rng.randrange(2, len(word) - 1)
    return rng.choice(
        (f"**{word[:at]}**{word[at:]}", f"*{word}*", f"__{word}__", f"`{word}`", f"{word[:at]}*{word[at:]}*")
    )


def _fullwidth(name: str, _rng: random.Random) -> str:
    return "".join(chr(ord(one) + 0xFEE0) if "!" <= one <= "~" else one for one in name)


def _spaced(name: str, _rng: random.Random) -> str:
    return " ".join("".join(_telling(name)[0]))


def _together(name: str, rng: random.Random) -> str:
    words = [word for word in _words(name) if word != "de"]
    return rng.choice(
        (
            "".join(word.capitalize() for word in words),
            "#" + "".join(words).lower(),
            "_".join(words).lower(),
            "-".join(words),
            "".join(reversed(words)).lower() + str(rng.randrange(1, 99)),
        )
    )


def _linked(name: str, rng: random.Random) -> str:
    slug = "-".join(squeezed(word) for word in _words(name))
    return rng.choice(
        (f"[{name}](https://maps.example/x)", f"https://trips.example/{slug}", f"<{slug}@mail.example>")
    )


def _percent(name: str, _rng: random.Random) -> str:
    return name.replace(" ", "%20")


def _spacing(name: str, rng: random.Random) -> str:
    return rng.choice(("  ", "\u00a0", " \u2013 ", "\u202f", "/")).join(_words(name))


def _case(name: str, rng: random.Random) -> str:
    return rng.choice((name.upper(), name.lower(), name.swapcase(), f"“{name}”", f"({name})", f"{name}!"))


def _alone(name: str, rng: random.Random) -> str:
    word = rng.choice(_telling(name))
    return rng.choice((word, word.lower(), word.upper(), f"old {word}", f"{word}-side"))


DRESSES: tuple[Callable[[str, random.Random], str], ...] = (
    lambda name, _rng: name,
    _possessive,
    _bent,
    _reordered,
    _without_accents,
    _with_accents,
    _entities,
    _unseen,
    _emphasis,
    _fullwidth,
    _spaced,
    _together,
    _linked,
    _percent,
    _spacing,
    _case,
    _alone,
)


def names(count: int, rng: random.Random) -> list[Planted]:
    """Return random forms of the names, every dress in turn; of people a fifth by their initials."""
    made: list[Planted] = []
    while len(made) < count:
        for dress in (*DRESSES, None, None):
            name = rng.choice(PEOPLE if dress is None else PLACES + PEOPLE)
            if dress is None and rng.random() < 0.4:
                letters = [word[0] for word in _words(name)]
                text = rng.choice((". ".join(letters) + ".", ".".join(letters) + "."))
                made.append(Planted(text, (squeezed(text),)))
                continue
            made.append(_planted((dress or _initials)(name, rng), name))
    return made[:count]


def _planted(text: str, name: str) -> Planted:
    """Return a form with those words of its name that it holds."""
    whole = squeezed(text)
    held = tuple(word for word in _all(name) if word in whole or word[:-1] in whole)
    return Planted(text, held or _all(name))
