"""Exercises about two pictures of one view: the light between them, what changed, what nobody noted.

One surprising decision: pictures in which too much changed at once to be a pair are asked about here, because
taking the change apart is what a class can learn from them.
"""

from logbook.craft.exposure import Settings, compare, same
from logbook.craft.marks import counted_stops, number_text
from logbook.craft.one_change import Decision, changed_settings
from logbook.craft.reach import reach
from logbook.faces.report.asked import Made, TripAsked, bare, named, near, scene_text, see, with_filters
from logbook.faces.report.frames import MeteredPicture
from logbook.faces.report.pairs import (
    OTHER_LIGHT,
    SAME_HOUR,
    gap,
    light_change,
    matches,
    of_one_view,
    pair_of,
)
from logbook.faces.words.glass import filter_text, filters_text
from logbook.faces.words.phrases import capitalised, listed, sentence

CHANGES_MIN = 3  # settings; fewer are a pair, or too little to take apart
UNNOTED_STOPS = 1.0  # stops; less may be the light

_WORDS = {
    Decision.APERTURE: "the aperture",
    Decision.TIME: "the shutter speed",
    Decision.ISO: "the ISO",
    Decision.FILTER: "the filters",
}


def light_between(trip: TripAsked) -> Made | None:
    """How far the light went between two pictures of one view: the pair in which it went furthest."""
    lit = {frame.number for frame in trip.lit}
    changed = [
        (abs(change), match)
        for match in matches(trip.order)
        if match.decision is Decision.LIGHT
        and {match.first.number, match.second.number} <= lit
        and (change := light_change(match.first, match.second)) is not None
        and abs(change) >= 1
    ]
    if not changed:
        return None
    _, match = max(changed, key=lambda one: (one[0], -one[1].first.number))
    first, second = match.first, match.second
    change = light_change(first, second) or 0.0
    question = (
        f"Picture {first.number} was made at {with_filters(first.settings)}, picture {second.number} from "
        f"the same place at {with_filters(second.settings)}. By how many stops had the light changed, if "
        "both came out equally bright?"
    )
    answer = f"It had {'risen' if change > 0 else 'fallen'} by {counted_stops(abs(change))}."
    working = (
        f"picture {first.number}: {first.light.working}",
        f"picture {second.number}: {second.light.working}",
        f"{scene_text(second)} − {scene_text(first)} = {number_text(change)}",
    )
    return question, see(first, second), answer, working


def many_changes(trip: TripAsked) -> Made | None:
    """Too many changes for a pair, taken apart: of the pictures that balance, those with the most changes."""
    known = {frame.number: frame for frame in trip.sure if frame.light.filter_stops is not None}
    found = []
    for first, second in of_one_view(trip.order):
        if not {first.number, second.number} <= known.keys() or gap(first, second) > SAME_HOUR:
            continue
        changed = changed_settings(first.settings, second.settings) or ()
        if len(changed) >= CHANGES_MIN and pair_of(trip.order, first, second) is None:
            left = sum(one.stops for one in changed)
            found.append((not same(left), -len(changed), round(abs(left), 2), first.number, second.number))
    if not found:
        return None
    first, second = (known[number] for number in min(found)[3:])
    compared = compare(first.settings, second.settings)
    changed = changed_settings(first.settings, second.settings) or ()
    question = (
        f"Picture {first.number} was made at {with_filters(first.settings)}, picture {second.number} of the "
        f"same view at {with_filters(second.settings)}. That is too much at once to compare as a pair. "
        f"How many stops "
        "brighter or darker does each change make the second picture, and all of them together?"
    )
    left = compared.difference_stops or 0.0
    together = "together they cancel out" if same(left) else f"together {_stops(left)}"
    parts = listed([f"{_WORDS[one.setting]} {_stops(one.stops)}" for one in changed])
    answer = f"{capitalised(parts)}; {together}.{_turned(first, second)}"
    return question, see(first, second), answer, (sentence(compared.working),)


def _turned(*both: MeteredPicture) -> str:
    """With what a filter was counted whose strength hangs on how it was turned."""
    kinds = {one for frame in both for one in frame.settings.filters or () if one.low_stops != one.high_stops}
    return "".join(
        f" The {filter_text(one.name)} is counted as {counted_stops(one.typical_stops or 0.0)}; turned "
        f"differently, it takes {number_text(one.low_stops or 0.0)} to {number_text(one.high_stops or 0.0)}."
        for one in sorted(kinds, key=lambda one: one.name)
    )


def _stops(stops: float) -> str:
    return f"{counted_stops(abs(round(stops, 2)))} {'brighter' if stops > 0 else 'darker'}"


def unnoted_filters(trip: TripAsked) -> Made | None:
    """What the filters took that nobody noted, from the other picture of a view in the same light."""
    lit, sure = {frame.number for frame in trip.lit}, {frame.number for frame in trip.sure}
    found = []
    for one, other in of_one_view(trip.order):
        if not {one.number, other.number} <= sure or gap(one, other) > OTHER_LIGHT:
            continue
        noted, silent = (one, other) if other.settings.filters is None else (other, one)
        if silent.settings.filters is not None or noted.number not in lit:
            continue
        plain = Settings(silent.settings.f_number, silent.settings.exposure_s, silent.settings.iso)
        compared = compare(noted.settings, plain)
        if (compared.difference_stops or 0.0) >= UNNOTED_STOPS:
            found.append((compared.difference_stops or 0.0, -silent.number, noted, silent, plain, compared))
    if not found:
        return None
    taken, _, noted, silent, plain, compared = max(found, key=lambda one: one[:2])
    packed = filters_text(item.name for item in trip.packed)
    question = (
        f"Picture {noted.number} was made at {with_filters(noted.settings)}, picture {silent.number} of the "
        f"same view at {bare(plain)}. Nobody noted the filters of picture {silent.number}. If the light was "
        "the same, how many stops did they take"
    ) + (f", and which of the neutral filters packed would take that: {packed}?" if packed else "?")
    fitting = near(reach(plain, noted.scene_ev100 or 0.0, trip.packed))
    answer = f"{counted_stops(round(taken, 2))}"
    if packed:
        stacks = [named(choice.filters) for choice in fitting if choice.filters]
        answer += f": {', or '.join(stacks)}" if stacks else ": none of them, alone or stacked"
    return question, see(noted, silent), f"{answer}.", (sentence(compared.working),)
