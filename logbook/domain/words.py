"""The vocabularies: every choice the book can hold, as plain trade words.

One surprising decision: "unknown" is a word only where a person can look and still not know (a tripod rule,
a support). Everywhere else unknown is `None`, so that it can never be mistaken for "none".
"""

from enum import StrEnum


class Provenance(StrEnum):
    """Where a value came from; only a person turns `assumed` or `inferred` into `stated`."""

    CAMERA = "camera"
    STATED = "stated"
    ASSUMED = "assumed"
    INFERRED = "inferred"


class Audience(StrEnum):
    """Whom a report is for."""

    CLIENT = "client"
    STUDENTS = "students"
    ARCHIVE = "archive"


class Disclosure(StrEnum):
    """How much of a location others are shown."""

    EXACT = "exact"
    AREA = "area"
    WITHHELD = "withheld"


class SubjectKind(StrEnum):
    """What kind of subject a site offers; a site may offer several."""

    BRIDGE = "bridge"
    BUILDING = "building"
    CLIFF = "cliff"
    COAST = "coast"
    DESERT = "desert"
    DUNE = "dune"
    FESTIVAL = "festival"
    FOREST = "forest"
    GARDEN = "garden"
    GORGE = "gorge"
    HARBOUR = "harbour"
    ICE = "ice"
    INTERIOR = "interior"
    LAKE = "lake"
    MARKET = "market"
    MOUNTAIN = "mountain"
    NIGHT_SKY = "night-sky"
    PEOPLE = "people"
    RIVER = "river"
    RUIN = "ruin"
    SALT_FLAT = "salt-flat"
    STREET = "street"
    TOWN = "town"
    VALLEY = "valley"
    WATERFALL = "waterfall"
    WILDLIFE = "wildlife"
    OTHER = "other"


class Footing(StrEnum):
    """What one stands on, which decides what a support is worth."""

    PAVED = "paved"
    BOARDS = "boards"
    PATH = "path"
    ROCK = "rock"
    GRAVEL = "gravel"
    SAND = "sand"
    MUD = "mud"
    GRASS = "grass"
    SNOW = "snow"
    ICE = "ice"
    WATER = "water"


class TripodRule(StrEnum):
    """Whether a tripod may stand at a viewpoint."""

    ALLOWED = "allowed"
    AWKWARD = "awkward"
    FORBIDDEN = "forbidden"
    UNKNOWN = "unknown"


class Support(StrEnum):
    """What supported the camera."""

    TRIPOD = "tripod"
    MONOPOD = "monopod"
    BRACED = "braced"
    HANDHELD = "handheld"
    OTHER = "other"
    UNKNOWN = "unknown"


class Priority(StrEnum):
    """How much a planned shot matters."""

    ESSENTIAL = "essential"
    WANTED = "wanted"
    OPTIONAL = "optional"


class WhichShots(StrEnum):
    """Which shots of an earlier trip a new one takes over."""

    ALL = "all"
    TO_GET = "to-get"


class OutcomeWord(StrEnum):
    """What became of a planned shot."""

    OPEN = "open"
    MADE = "made"
    PARTLY = "partly"
    REPLACED = "replaced"
    MISSED = "missed"


class Reason(StrEnum):
    """Why an outcome was what it was."""

    CLOSURE = "closure"
    CROWD = "crowd"
    WEATHER = "weather"
    WATER = "water"
    LIGHT = "light"
    TIME = "time"
    COST = "cost"
    RULE = "rule"
    GEAR = "gear"
    TECHNIQUE = "technique"
    OTHER = "other"


class VisitPurpose(StrEnum):
    """What a visit was for."""

    SCOUTING = "scouting"
    SHOOTING = "shooting"


class ConditionKind(StrEnum):
    """What was observed."""

    CROWD = "crowd"
    WATER = "water"
    CLOSURE = "closure"
    WEATHER = "weather"
    WIND = "wind"
    LIGHT = "light"
    GROUND = "ground"
    RULE = "rule"


class Crowd(StrEnum):
    """How many people stood in the way; `none` was seen to be empty, which differs from not noted."""

    NONE = "none"
    FEW = "few"
    DOZENS = "dozens"
    HUNDREDS = "hundreds"
    THOUSANDS = "thousands"


class Water(StrEnum):
    """How high the water stood."""

    DRY = "dry"
    LOW = "low"
    NORMAL = "normal"
    HIGH = "high"
    FLOOD = "flood"


class KitKind(StrEnum):
    """What a piece of kit is."""

    CAMERA = "camera"
    LENS = "lens"
    FILTER = "filter"
    SUPPORT = "support"
    POWER = "power"
    OTHER = "other"


class Packing(StrEnum):
    """What was decided about a piece of kit for one trip."""

    CONSIDERED = "considered"
    TAKEN = "taken"
    LEFT = "left"


class LessonVerb(StrEnum):
    """What to do about it next time."""

    KEEP = "keep"
    CHANGE = "change"
    AVOID = "avoid"


class SetKind(StrEnum):
    """Why keepers belong together; a pair is one frame in two files.

    `apart` says that no two of them do: without it a set that a person split would be proposed again.
    """

    BRACKET = "bracket"
    PANORAMA = "panorama"
    BURST = "burst"
    PAIR = "pair"
    APART = "apart"


class JoinedKind(StrEnum):
    """As what a person joins keepers; a pair is seen by its file names."""

    BRACKET = "bracket"
    PANORAMA = "panorama"
    BURST = "burst"


class Sharpness(StrEnum):
    """How a keeper was judged; not judged is unknown."""

    SHARP = "sharp"
    SOFT = "soft"


class ClockEvidence(StrEnum):
    """The evidence for the zone and offset of a camera's clock."""

    OFFSET_TAG = "offset tag"
    GPS_TIME = "gps time"
    PHOTOGRAPHED_CLOCK = "photographed clock"
    SAME_MOMENT = "same moment"
    STATED = "stated"
    ASSUMED = "assumed"
