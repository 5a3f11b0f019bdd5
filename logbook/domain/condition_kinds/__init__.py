"""The kinds of condition: one entry a kind, which every reader, page and count goes by.

A kind with a language of its own (people, tides, Beaufort) has a module; the others stand here. Whoever adds
one adds its word and its levels to `domain.words` and its entry here.
"""

from collections.abc import Mapping

from logbook.domain.condition_kinds.crowd import CROWD
from logbook.domain.condition_kinds.hours import OPENING_HOURS
from logbook.domain.condition_kinds.kind import HowCompared, KindOfCondition, Opens, words_of
from logbook.domain.condition_kinds.water import WATER
from logbook.domain.condition_kinds.wind import WIND
from logbook.domain.words import ConditionKind, Reason, TripodRule
from logbook.domain.written.understanding import alternatives

_WAYS = (
    r"(?:bridge|(?:foot)?path|trail|track|road|lane|steps?|stairs?|stairway|boardwalk|walkway|pier|jetty|ladder"
    r"|railing|planks?)"
)
_RULED = r"\b(?:allowed|awkward|forbidden|banned|prohibited|ok|fine|needed|required|unknown)\b"

_CLOSURE = KindOfCondition(
    reason=Reason.CLOSURE,
    is_barrier=True,
    lasts=True,
    remembered=6,
    opens=(Opens(("closed", "shut", "closures", "closing")),),
    said=(
        r"\b(?:closed|closes|closure|shut|locked|padlocked|chained|barred|barricaded|cordoned|sealed|fenced|blocked"
        r"|impassable|inaccessible|boarded\s+up|off[\s-]limits|no\s+(?:access|entry|entrance|admission|way\s+through)"
        r"|(?:roped|taped|railed)\s+off|(?:washed|swept|torn|carried)\s+(?:away|out)|not\s+(?:open|accessible|passable)"
        r"|(?:wasn't|isn't|weren't|aren't)\s+(?:open|accessible|passable)"
        rf"|(?:chains?|ropes?|tape|barriers?|bars?|fence|gate)\s+(?:\w+\s+)?across\s+(?:(?:the|a|our|its)\s+)?(?:\w+\s+)?(?:{_WAYS}|entrance|entry|way)"
        rf"|{_WAYS}\s+(?:is\s+|was\s+|has\s+)?(?:gone|collapsed|fallen|missing|destroyed|broken))\b"
    ),
    claim=6,
    synonyms=(("closure", "closed", "shut", "barrier", "locked"),),
)
_WEATHER = KindOfCondition(
    reason=Reason.WEATHER,
    is_of_light=True,
    opens=(
        Opens(("rain", "snow", "fog", "mist", "hail", "drizzle", "sleet"), keeps=True),
        Opens(("sky", "clouds", "temperature", "temp", "thunder"), keeps=True),
    ),
    alone=(r"(?is:(?:light|heavy)\s(?:rain|snow|drizzle|fog|mist|showers?|hail|cloud)s?\b.*)",),
    idioms=r"weather\s(?:permitting|forecasts?|app|report|map)",
    said=(
        r"\b(?:rain|rains|raining|rained|rainy|drizzle|drizzling|showers?|snow|snowing|snowed|sleet|hail|fog|foggy|mist|misty|haze|hazy|cloud|clouds|cloudy|overcast"
        r"|sunny|sunshine|thunder|thunderstorms?|lightning|storm|stormy|frost|frosty|freezing|humid|heat|hot|cold|mild|blizzard|smog|dusty|downpour|clear\s+sk(?:y|ies)|blue\s+sky)\b"
        r"|[0-9]\s?(?:°\s?[cf]?|degrees)\b|[🌧🌦⛈🌩🌨❄🌫☔]"
    ),
    claim=1,
)
_LIGHT = KindOfCondition(
    reason=Reason.LIGHT,
    is_of_light=True,
    idioms=r"light\s(?:meter|house|table|bulb|pollution|stand|lunch|supper|breakfast|jacket|bag)",
    said=r"\b(?:lights?|lamps?|lanterns?|floodlights?|streetlights?|glow|illuminations?)\b",
)
_GROUND = KindOfCondition(
    lasts=True,
    remembered=3,
    opens=(Opens(("mud", "ice", "footing"), keeps=True),),
    idioms=r"ground\s(?:floor|level|crew)",
    said=(
        r"\b(?:mud|muddy|ice|icy|verglas|slippery|slippy|slick|greasy|scree|boggy|marshy|quicksand|footing|sodden|rockfall|landslip|landslide|fallen\s+trees?)\b"
        r"|\bloose\s+(?:stones?|rocks?|gravel|boards?|planks?|sand)\b|\bsnow(?:drifts?)?\s+(?:\w+\s+)?on\s+the\s+(?:ground|path|steps|stairs|road|trail|boards|track)\b"
        r"|\b(?:deep|soft|frozen|wet)\s+(?:snow|sand|ground|rocks?|stones|grass)\b|\b(?:rocks?|stones?|steps|boards)\s+(?:are\s+|were\s+)?(?:wet|loose|rotten|worn)\b"
    ),
    claim=2,
)
_RULE = KindOfCondition(
    levels=tuple(TripodRule),
    scale=TripodRule,
    reason=Reason.RULE,
    lasts=True,
    remembered=5,
    words=words_of(TripodRule, (TripodRule.FORBIDDEN, ("not allowed",))),
    within=(
        r"\bno\s+tripods?(?:\s+allowed)?\b|\btripods?\s+(?:(?:are|is|was|were|rule)\s+)?"
        rf"(?P<word>not\s+allowed|{alternatives(TripodRule)})(?!\w)"
    ),
    denied=TripodRule.FORBIDDEN,
    before="tripods",
    opens=(
        Opens(("tripod", "tripods", "drones", "permit"), keeps=True, must=_RULED),
        Opens(("rules",)),
    ),
    alone=(
        r"(?i:no\s(?:tripods|tripods?\sallowed)|tripods?(?:\s(?:are|is))?\s(?:forbidden|allowed|awkward|not\sallowed))[.!]?",
    ),
    idioms=r"rule\sof\sth\w+",
    said=(
        r"(?!\Ano\s+tripod\W*\Z)\bno\s+(?:tripods?|monopods?|drones?|flash|photos?|photography|pictures|filming|dogs|swimming|climbing"
        r"|parking|camping|bathing|selfie\s+sticks?|flying)\b"
        r"|\b(?:forbidden|prohibited|banned|not\s+allowed|permits?|permission|allowed|verboten|on-the-spot\s+fine)\b"
        rf"|\b(?:tickets?|guides?|reservation)\s+(?:\w+\s+)?(?:needed|required|compulsory|only)\b|{OPENING_HOURS}"
    ),
    claim=5,
    texts={rule.value: f"tripods {rule}" for rule in TripodRule} | {"unknown": "tripod rule unknown"},
)

KINDS: Mapping[ConditionKind, KindOfCondition] = {
    ConditionKind.CROWD: CROWD,
    ConditionKind.WATER: WATER,
    ConditionKind.CLOSURE: _CLOSURE,
    ConditionKind.WEATHER: _WEATHER,
    ConditionKind.WIND: WIND,
    ConditionKind.LIGHT: _LIGHT,
    ConditionKind.GROUND: _GROUND,
    ConditionKind.RULE: _RULE,
}

BY_THE_HOUR = tuple(kind for kind, of in KINDS.items() if of.compared is HowCompared.BY_THE_HOUR)
AS_USUAL = tuple(kind for kind, of in KINDS.items() if of.compared is HowCompared.AS_USUAL)
COMPARED = (*BY_THE_HOUR, *AS_USUAL)
DIVIDING = tuple(kind for kind, of in KINDS.items() if of.divides)
LASTING = tuple(kind for kind, of in KINDS.items() if of.lasts)
REMEMBERED = tuple(
    sorted((kind for kind, of in KINDS.items() if of.remembered), key=lambda kind: -KINDS[kind].remembered)
)
LIMITING = tuple(kind for kind, of in KINDS.items() if of.limits)
