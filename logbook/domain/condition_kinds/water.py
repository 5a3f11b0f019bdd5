"""How high the water stood: a level, or a measure, a tide or a swell in the words it was noted in."""

from logbook.domain.condition_kinds.kind import (
    AskedLevels,
    HowCompared,
    KindOfCondition,
    Opens,
    by_name,
    words_of,
)
from logbook.domain.words import Reason, Water

WATERS = r"(?:river|stream|creek|brook|lake|sea|falls|waterfall|riverbed|reservoir|pond|weir|canal)"

WATER = KindOfCondition(
    levels=tuple(Water),
    scale=Water,
    reason=Reason.WATER,
    lasts=True,
    remembered=4,
    words=words_of(Water, (Water.FLOOD, ("flooded",))),
    not_before=(
        r"\s*-?(?:swell|waves?|surf|tides?|spray|water|warnings?|risk|alert|gates?|lights?|plain|barrier)\b"
    ),
    measured=(
        rf"\b(?:tides?|ebb|neap|level|swell|waves?|surge|surf|flood(?:ed|ing|s)?|submerged|underwater|water|{WATERS})\b"
        r"|\b(?:ankle|knee|waist|hip|chest)[\s-](?:deep|high)\b"
        r"|[0-9]\s?(?:m|cm|ft|feet|metres?|meters?|inch(?:es)?)\b"
    ),
    stated=(
        rf"\b(?:tides?|water|level|{WATERS})(?:\s+level)?(?:\s+(?:is|was|very|rather|still))*\s+"
        r"(?P<after>dry|low|normal|high|flooded)\b|\b(?P<before>low|high|normal)\s+(?:tide|water)\b"
    ),
    timed=r"\b(?:tides?|ebb|flood|(?:low|high|slack)\s+water)\s+",
    opens=(
        Opens(
            ("tide", "tides"),
            keeps=True,
            bare=r"(?:(?:is|was|at)\s+)?(?:[0-9]|low|high|out|in\b|rising|falling|turn|ebb)",
        ),
    ),
    idioms=r"water\s(?:bottles?|tank|taxi)",
    said=(
        r"\b(?:high|low|spring|neap|flood|ebb)\s+(?:tides?|water)\b|\btides?\b|\bflood(?:ed|ing|s)?\b(?!\s*-?lights?|lights?)"
        r"|\bwater\b(?!\s+bottle)|\b(?:surge|surf|swell|waves?|submerged|underwater|ebb)\b|\b(?:knee|ankle|waist)[\s-]deep\b"
        rf"|\b{WATERS}\b.{{0,20}}?\b(?:dry|low|high|higher|lower|up|down|rising|falling|full|over)\b"
    ),
    claim=4,
    is_deniable=True,
    fact="qwa",
    asked=(
        *by_name("water", Water, "{} water"),
        AskedLevels(("flood", "flooded"), (Water.FLOOD,), "water flood"),
    ),
    synonyms=(("flood", "flooded", "high water"),),
    compared=HowCompared.AS_USUAL,
    limits=True,
    help=("How high the water is.", "The water level noted there."),
    moving="the surface of the water",
    moving_from=Water.LOW,
)
