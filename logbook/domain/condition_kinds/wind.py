"""Wind: Beaufort force by number or by name, and where it comes from; speeds and ranges keep their words."""

from logbook.domain.condition_kinds.kind import TIME_OR_END, AskedLevels, HowCompared, KindOfCondition, Opens
from logbook.domain.position import COMPASS
from logbook.domain.words import Reason
from logbook.domain.written.understanding import alternatives

FORCES = tuple(str(force) for force in range(13))  # WMO-No. 306, Beaufort scale 0 to 12
# WMO-No. 306, Manual on Codes, Vol. I.1, Section E
NAMES = (
    "calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
    "near gale", "gale", "strong gale", "storm", "violent storm", "hurricane",
)  # fmt: skip
BLOWING = r"\b(?:winds?|windy|windless|gusts?|gusty|gusting|breez[ey]y?|squalls?|gales?|becalmed)\b"
_BFT = r"(?:bft\b|beaufort|bf\b|force|f(?=[0-9]))\.?"
_POINTS = alternatives(COMPASS)
# A figure without a unit is a force only where no other word follows it than these: not "4 hours of it".
_NO_OTHER_THING = (
    r"(?!\s*°)(?!\s*(?:about|ca\.?)?\s+(?!(?:at|on|in|by|along|near|around|up|down|over|from|to|or|and|then|later|now|here|there|all|most"
    r"|with|when|while|until|till|since|after|before|during|but|though|said|says|was|were|is|are|not|no|too|very|quite|rather|only"
    r"|almost|nearly|maybe|perhaps|gusting|gusty|rising|falling|dropping|picking|increasing|easing|dying|steady|strong|cold"
    r"|icy|warm|expected|forecast(?:ed)?|predicted|announced|feared|likely|usually|normally|earlier|yesterday|tomorrow|last|the"
    rf"|due|coming|beaufort|bft|bf|(?:north|south|east|west)[\w-]*|{_POINTS})\b|[0-9])\w)"
)
_FORCES = r"[0-9]{1,2}(?:\s?[-–—]\s?[0-9]{1,2})?(?:\s?(?:bft|bf))?"
_MEASURE = (
    rf"(?:{_BFT}\s?|gusts?\s+(?:of|to|up\s+to)?\s*|(?:about|ca\.?|~|up\s+to)\s*)?[0-9]{{1,3}}(?:[.,][0-9])?"
    r"(?:\s?(?:-|–|—|to|or|/)\s?[0-9]{1,3})?"
)

WIND = KindOfCondition(
    levels=FORCES,
    reason=Reason.WEATHER,
    has_bearing=True,
    remembered=2,
    words=dict(zip(NAMES, FORCES, strict=True)) | {"none": "0", "no wind": "0"},
    figures=rf"(?:{_BFT}\s?)?([0-9]{{1,2}})(?:\s?{_BFT})?",
    needs="not a wind force: write Beaufort 0 to 12, a name such as fresh breeze, or unknown",
    beyond="not a wind force: the Beaufort scale runs from 0 to 12",
    not_before=(
        rf"(?<=[0-9])\s?(?:m/s|m s|km|kn|kt|knots?|mph|kph|[-–—/]\s?[0-9]|to\s?[0-9]|[.,][0-9])"
        rf"|(?<=[0-9])(?!{_NO_OTHER_THING})"
    ),
    measured=(
        rf"{_MEASURE}\s?(?:{_BFT}|m/s|m\ss|km/?h|kph|kn|kt|knots?|mph)(?!\w)"
        rf"|{_MEASURE}(?!\w|[-–—/.,][0-9]){_NO_OTHER_THING}"
    ),
    opens=(Opens(("gusts",), keeps=True),),
    alone=(
        r"(?is:light\s(?:winds?|breeze|airs?|gusts?)\b.*)",
        rf"(?:(?i:{_FORCES})\s(?:from\s)?{_POINTS}|{_POINTS}\s(?i:{_FORCES})){TIME_OR_END}",
    ),
    idioms=r"wind\s(?:farm|turbine|mill)s?",
    said=rf"{BLOWING}|\b(?:bft|beaufort)\b",
    claim=3,
    fact="qwi",
    asked=(
        AskedLevels(("strong wind", "windy", "high wind"), FORCES[6:], "wind force 6 or more"),
        AskedLevels(("gale", "storm"), FORCES[8:], "wind force 8 or more"),
        AskedLevels(("calm", "no wind", "windless", "still air"), FORCES[:2], "wind force 0 or 1"),
    ),
    asked_number=r"(?:wind\s*)?force\s*\d+|beaufort\s*\d+|bft\s*\d+|\d+\s*bft|wind\s*\d+",
    synonyms=(("wind", "gale", "gusts", "windy"),),
    compared=HowCompared.AS_USUAL,
    help=("Beaufort force.", "The wind force noted there."),
    texts={force: f"wind force {force}, {name}" for force, name in zip(FORCES, NAMES, strict=True)},
    titles={force: f"wind force {force}" for force in FORCES},
    in_brief="Beaufort 0-12",
    moving="what the wind moves: leaves, grass, sand",
    moving_from="4",  # it moves small branches (Beaufort scale, WMO)
)
