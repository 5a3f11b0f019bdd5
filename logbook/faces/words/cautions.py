"""The usual cautions, by what a place is and what was observed there.

One surprising decision: three cautions always stand, because they hold wherever a camera is pointed.
"""

from collections.abc import Iterable

from logbook.domain.words import ConditionKind, Footing, SubjectKind

ALWAYS = (
    "A closed path is closed: turn back at the barrier, whatever a plan or this page says.",
    "Never look at the sun through an optical finder or a long lens; compose on the screen.",
    "Drones, tripods and paid work need the site's permission. "
    "Local rules, wardens and licensed guides decide.",
)

_WET = {
    SubjectKind.RIVER, SubjectKind.GORGE, SubjectKind.WATERFALL, SubjectKind.LAKE, SubjectKind.COAST,
    SubjectKind.HARBOUR, SubjectKind.BRIDGE,
}  # fmt: skip
_HIGH = {SubjectKind.MOUNTAIN, SubjectKind.CLIFF, SubjectKind.GORGE, SubjectKind.WATERFALL, SubjectKind.COAST}
_OPEN = {SubjectKind.MOUNTAIN, SubjectKind.DESERT, SubjectKind.DUNE, SubjectKind.SALT_FLAT, SubjectKind.CLIFF}
_BY_KIND = (
    (
        _WET,
        "Water rises faster than you notice: know the way out before setting up, and stay off wet rock.",
    ),
    (
        {SubjectKind.COAST},
        "Watch the surf for ten minutes before going near it, and never turn your back on it.",
    ),
    (_HIGH, "Keep back from edges; look at the ground first, and through the viewfinder afterwards."),
    ({SubjectKind.ICE}, "Walk on ice only where people who know it walk; it is never the same twice."),
    (_OPEN, "In the open, heat and lightning decide: leave early rather than finish the exposure."),
    ({SubjectKind.WILDLIFE}, "Let the animal set the distance; no picture is worth driving it off."),
)
_SLIPPERY = {Footing.ICE, Footing.SNOW}
_ICE_NOTE = "Snow and ice underfoot: spikes on boots and tripod feet, and nobody works alone."


def cautions(
    kinds: Iterable[SubjectKind], footings: Iterable[Footing | None], observed: Iterable[ConditionKind]
) -> tuple[str, ...]:
    """Return the cautions that apply to these kinds of place, footings and observations; some always do."""
    present, underfoot, seen = set(kinds), set(footings), set(observed)
    texts = list(ALWAYS)
    for where, text in _BY_KIND:
        if where & present or (where is _WET and ConditionKind.WATER in seen):
            texts.append(text)
    if underfoot & _SLIPPERY:
        texts.append(_ICE_NOTE)
    return tuple(texts)
