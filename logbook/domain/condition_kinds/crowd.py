"""How many people stood in the way, in words or in numbers: `dozens`, `~20 people`, `nobody else`.

One surprising decision: a number of people says a level, but a range over two levels says none; the words are
kept either way.
"""

from logbook.domain.condition_kinds.kind import (
    ABOUT,
    TIME_OR_END,
    Amount,
    AskedLevels,
    HowCompared,
    KindOfCondition,
    Opens,
    by_name,
    words_of,
)
from logbook.domain.words import Crowd, Reason

_PEOPLE = (
    r"(?:people|persons?|visitors?|tourists?|walkers|hikers|anglers|photographers|pax|ppl|folks|locals|kids|children"
    r"|families|couples|guys|men|women|fishermen|climbers|cyclists|swimmers|surfers|students|pilgrims|guests|others)"
)
_WHERE = r"(?:at|on|in|by|along|near|around|there|here|or|and|then|later|to|from|said|of\s+them)\b"
# A number of people, where a time or a length is hardly meant: ~20 people, 20-30, 50+ visitors.
PEOPLE = Amount(
    rf"(?:{ABOUT}|[<>≥]\s?|(?:ca|maybe|over|under|up\s+to|at\s+least|almost|nearly|more\s+than|less\s+than)\s+)?"
    r"(?<![0-9:.,])[0-9]{1,6}(?:\s?(?:-|–|—|\bto\b|\bor\b)\s?[0-9]{1,6})?\+?"
    r"(?![0-9]|[:.,h][0-9]|\s?[ap]\.?m\b|\s?%|\s?m\b)"
    rf"(?:\s+(?:other\s+)?{_PEOPLE}\b|(?!\s+(?!{_WHERE})[a-z]))",
    {0: Crowd.NONE, 1: Crowd.FEW, 12: Crowd.DOZENS, 100: Crowd.HUNDREDS, 1000: Crowd.THOUSANDS},
)
# Words of number that count something else: dozens of geese, a couple of hours, a few cars.
_OTHER_THINGS = (
    rf"\s+of\s+(?!(?:the\s+|other\s+|us\b|them\b|these\b|those\b)*(?:{_PEOPLE}|them|us|these|those|others)\b)"
    r"|(?:\s+(?:more|other|parked|empty|tour))?\s+(?:sec(?:ond)?s?|min(?:ute)?s?|h(?:ou)?rs?|days?|weeks?|months?|years?"
    r"|times?|k?m|met(?:re|er)s?|miles?|yards?|steps?|cars?|vans?|bus(?:es)?|coach(?:es)?|trucks?|bikes?|boats?|ships?"
    r"|tents?|geese|ducks?|birds?|gulls?|sheep|goats?|cows?|horses?|dogs?|deer|frames?|pictures?|shots?)\b"
)
# all that may follow words that need no "crowd" before them
_THERE = r"(?:\s(?:there|here))?(?:\s(?:at|@)\s?[0-9][0-9:.h]*(?:\s?[ap]m)?)?[.!]?"
_SOME = tuple(Crowd)[1:]
_MANY = (Crowd.DOZENS, Crowd.HUNDREDS, Crowd.THOUSANDS)

CROWD = KindOfCondition(
    levels=tuple(Crowd),
    scale=Crowd,
    reason=Reason.CROWD,
    remembered=1,
    words=words_of(
        Crowd,
        (
            Crowd.NONE,
            (
                *("nobody", "nobody else", "no one", "no one else", "no-one", "noone", "no people"),
                *("no crowd", "no crowds", "empty", "deserted", "not a soul", "alone", "zero"),
            ),
        ),
        (
            Crowd.FEW,
            (
                *(
                    "a few",
                    "very few",
                    "a couple",
                    "a handful",
                    "handful",
                    "several",
                    "one or two",
                    "couple",
                    "half a dozen",
                ),
                *("two or three", "three or four", "hardly anyone", "hardly anybody", "almost nobody"),
                "almost empty",
            ),
        ),
        (
            Crowd.DOZENS,
            (
                *(
                    "a dozen",
                    "dozen",
                    "two dozen",
                    "several dozen",
                    "a few dozen",
                    "few dozen",
                    "a couple of dozen",
                ),
                "a couple dozen",
            ),
        ),
        (
            Crowd.HUNDREDS,
            (
                *(
                    "a hundred",
                    "hundred",
                    "several hundred",
                    "a few hundred",
                    "few hundred",
                    "couple hundred",
                    "a couple of hundred",
                ),
                "a couple hundred",
            ),
        ),
        (Crowd.THOUSANDS, ("a thousand", "thousand", "several thousand", "a few thousand", "few thousand")),
    ),
    unit="people",
    not_before=_OTHER_THINGS,
    amount=PEOPLE,
    opens=(Opens(("people", "visitors", "tourists", "crowds")),),
    alone=(
        rf"(?i:{PEOPLE.pattern}(?<=[a-z]){TIME_OR_END})",
        rf"(?i:(?:(?:a\s)?few|(?:dozens|hundreds|thousands)(?:\sof)?)\s(?:people|visitors|tourists){_THERE})",
        rf"(?i:(?:nobody|no[\s-]?one|no\speople){_THERE})",
    ),
    idioms=r"crowd\s(?:control|pleaser)",
    fact="qcr",
    asked=(
        *by_name("crowd", Crowd),
        *(
            AskedLevels((f"{level} people", f"{level} of people"), (level,), f"crowd {level}")
            for level in _SOME
        ),
        *(AskedLevels((level,), (level,), f"crowd {level}") for level in _MANY),
        AskedLevels(
            (
                *("nobody", "no crowd", "no people", "deserted", "nobody there", "without people"),
                *("without crowd", "without a crowd", "empty"),
            ),
            (Crowd.NONE,),
            "crowd none",
        ),
        AskedLevels(
            ("not crowded", "uncrowded", "not busy", "hardly anybody", "not many people"),
            (Crowd.NONE, Crowd.FEW),
            "crowd few or none",
        ),
        AskedLevels(("crowded", "crowd", "busy", "big crowd", "large crowd"), _MANY, "crowd dozens or more"),
    ),
    synonyms=(
        ("crowd", "crowds", "crowded", "too many people", "tourists", "coaches", "buses"),
        ("nobody", "empty", "deserted", "no one", "no people"),
    ),
    compared=HowCompared.BY_THE_HOUR,
    limits=True,
    divides=True,
    help=("How many people.", "The crowd noted there."),
    texts={
        Crowd.NONE: "nobody there",
        Crowd.FEW: "a few people",
        **{level: f"{level} of people" for level in _MANY},
    },
    titles={Crowd.NONE: "nobody there"},  # whoever asks for crowds does not ask for this
    drawn="People",
    drawn_as={Crowd.NONE: "nobody", Crowd.FEW: "a few"},
    moving="the people",
    moving_from=Crowd.DOZENS,
)
