"""Exercises made from the trip's own numbers, with the answers that the program works out.

One surprising decision: nothing is drawn by lot. Each kind of question takes the picture that shows it best,
so that the same book asks the same questions, and a class can talk about them by number.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import pairwise

from logbook.craft.errors import CraftValueError
from logbook.craft.exposure import Equal, Free, Settings, compare, equivalent
from logbook.craft.marks import (
    aperture_text,
    counted_stops,
    exposure_text,
    iso_text,
    nearest_aperture,
    number_text,
    written_exposure,
)
from logbook.craft.reach import Choice, Reach, reach
from logbook.craft.series import EXPOSURES
from logbook.craft.steadiness import Steady, guide_s, steadiness
from logbook.domain.words import Support
from logbook.faces.report.asked import Made, TripAsked, bare, named, near, scene_text, see, with_filters
from logbook.faces.report.frames import MeteredPicture, are_apart, brackets
from logbook.faces.report.models import Exercise
from logbook.faces.report.order import Order
from logbook.faces.report.parts import shot_reference
from logbook.faces.report.view_questions import light_between, many_changes, unnoted_filters
from logbook.faces.words.glass import filters_text, readable
from logbook.faces.words.phrases import listed

DIALLED_S = Fraction(30)  # s; the longest time most dials have (common practice, no source)
WISH_APERTURE = 11.0  # f-number; where many landscapes end up (common practice, no source)
WISH_S = Fraction(1)  # s; water begins to look drawn (common practice, no source)
NEARLY = 2 ** (1 / 24)  # the dial's 1/13 is 1/12.7 s, and is inside a guide of 1/13 s
_HELD = (Support.HANDHELD, Support.BRACED, Support.MONOPOD)


def exercises(order: Order) -> tuple[Exercise, ...]:
    """Return the exercises that a trip has the numbers for, numbered from 1."""
    trip = TripAsked(order)
    made: list[tuple[str, Made]] = []
    for title, kind in _KINDS.items():
        try:
            asked = kind(trip)
        except CraftValueError:
            continue  # the question leads past what cameras can do; it is not asked
        if asked:
            made.append((title, asked))
    return tuple(
        Exercise(
            number,
            f"exercise-{number}",
            title,
            question,
            see,
            answer,
            tuple(readable(one) for one in working),
        )
        for number, (title, (question, see, answer, working)) in enumerate(made, start=1)
    )


def _scene(trip: TripAsked) -> Made | None:
    """How bright was the scene: the picture behind the strongest filters."""
    frame = next(iter(trip.filtered or trip.lit), None)
    if frame is None:
        return None
    question = (
        f"Picture {frame.number} was made at {with_filters(frame.settings)}. How bright was the scene, "
        "as an exposure value at ISO 100?"
    )
    return (
        question,
        see(frame),
        f"EV {scene_text(frame)}.",
        (frame.light.working,),
    )


def _bare_time(trip: TripAsked) -> Made | None:
    """What time without filters: the next strongest filters."""
    frame = next(iter(trip.filtered[1:] or trip.filtered), None)
    if frame is None:
        return None
    equal = equivalent(frame.settings, filters=())
    question = (
        f"Picture {frame.number} was made at {with_filters(frame.settings)}. What shutter speed "
        f"would have given the same exposure without filters?"
    )
    return question, see(frame), _equal(equal.exposure, equal), (equal.working,)


def _other_aperture(trip: TripAsked) -> Made | None:
    """What time at another aperture: the longest dialled exposure without filters."""
    plain = [f for f in trip.lit if not f.settings.filters and f.settings.exposure_s <= DIALLED_S]
    if not plain:
        return None
    frame = max(plain, key=lambda f: (f.settings.exposure_s, -f.number))
    was = frame.settings.f_number
    new = nearest_aperture(was / 2 if was >= 5.6 else was * 2)
    equal = equivalent(frame.settings, f_number=new)
    question = (
        f"Picture {frame.number} was made at {with_filters(frame.settings)}. Which shutter speed gives "
        f"the same exposure at {aperture_text(new)}, with nothing else changed?"
    )
    return question, see(frame), _equal(equal.exposure, equal), (equal.working,)


def _packed_filters(trip: TripAsked) -> Made | None:
    """Which packed filters reach a wished time: a plan in the light that was met there, else a wish."""
    if not trip.packed:
        return None
    found = _plan_to_reach(trip) or _wish_to_reach(trip)
    if found is None:
        return None
    frame, wish, why, reached = found
    question = (
        f"In the light of picture {frame.number}, EV {scene_text(frame)} at ISO 100, {why} {bare(wish)}. "
        f"These neutral filters were packed: {filters_text(item.name for item in trip.packed)}. "
        "Which of them, alone or stacked, give that shutter speed within a third of a stop?"
    )
    if fitting := near(reached):
        answer = f"{', or '.join(_choice(choice) for choice in fitting)}."
    elif reached.short_stops:
        short = counted_stops(reached.short_stops)
        answer = (
            f"None of them: the nearest is {_choice(reached.nearest)}, "
            f"and the strongest stack is {short} short."
        )
    else:
        answer = f"None of them exactly: the nearest is {_choice(reached.nearest)}."
    return question, see(frame), answer, (reached.working,)


def _beyond_guide(trip: TripAsked) -> Made | None:
    """How far a held time was beyond the guide: the picture that was furthest."""
    found = _held_beyond(trip)
    if found is None:
        return None
    frame, steady = found
    question = (
        f"Picture {frame.number} was made {_how(frame)} at {written_exposure(frame.settings.exposure_s)} and "
        f"{number_text(frame.keeper.focal_35mm or 0.0)} mm (35 mm equivalent). By how many stops is that "
        "slower than the guide for handheld pictures, one over the focal length, without stabilisation?"
    )
    return question, see(frame), f"{counted_stops(round(-steady.margin_stops, 1))}.", (steady.working,)


def _iso_for_guide(trip: TripAsked) -> Made | None:
    """Which ISO brings a held picture inside the guide; its filters stay as they were, known or not."""
    found = _held_beyond(trip)
    if found is None:
        return None
    frame, _ = found
    guide = guide_s(frame.keeper.focal_35mm or 0.0)
    inside = [mark for mark, exact in EXPOSURES.items() if exact <= guide * NEARLY]
    settings = Settings(frame.settings.f_number, frame.settings.exposure_s, frame.settings.iso)
    equal = equivalent(settings, exposure_s=max(inside), free=Free.ISO)
    question = (
        f"Picture {frame.number} was made at {bare(settings)}. The slowest marked shutter speed within the "
        f"guide for handheld pictures is {exposure_text(max(inside))}: at which ISO does it give the same "
        "exposure, with the same aperture and filters?"
    )
    return question, see(frame), _equal(iso_text(equal.iso), equal), (equal.working,)


def _bracket(trip: TripAsked) -> Made | None:
    """How far a bracket reaches: the largest that the book, or the camera, knows of."""
    groups = [group for group in _groups(trip) if len(group) >= 2 and _only_time_differs(group)]
    if not groups:
        return None
    group = max(groups, key=lambda one: (len(one), -one[0].number))
    steps = [compare(a.settings, b.settings) for a, b in pairwise(group)]
    spans = [step.difference_stops for step in steps]
    if any(span is None for span in spans):
        return None
    numbers = [str(frame.number) for frame in group]
    gaps = list(dict.fromkeys(counted_stops(abs(span or 0.0)) for span in spans))
    whole = compare(group[0].settings, group[-1].settings)
    times = [written_exposure(frame.settings.exposure_s) for frame in group]
    question = (
        f"Pictures {listed(numbers)} are a bracket at {listed(times)}, "
        "all else equal. How far apart are they, and how many stops do they span together?"
    )
    answer = f"{listed(gaps)} apart; {counted_stops(abs(whole.difference_stops or 0.0))} together."
    return question, see(*group), answer, tuple(step.working for step in steps)


_KINDS: Mapping[str, Callable[[TripAsked], Made | None]] = {
    "How bright the scene was": _scene,
    "The same exposure at another aperture": _other_aperture,
    "The same exposure without filters": _bare_time,
    "Filters for a shutter speed": _packed_filters,
    "Slower than the handheld guide": _beyond_guide,
    "The ISO for a handheld picture": _iso_for_guide,
    "How much the light changed": light_between,
    "Several changes at once": many_changes,
    "Filters that nobody noted": unnoted_filters,
    "The steps of a bracket": _bracket,
}


def _held_beyond(trip: TripAsked) -> tuple[MeteredPicture, Steady] | None:
    held = [
        (frame, steadiness(frame.settings.exposure_s, frame.keeper.focal_35mm, frame.support))
        for frame in trip.sure
        if frame.keeper.focal_35mm and frame.keeper.support in _HELD
    ]
    beyond = [one for one in held if one[1].margin_stops < -1 / 3]
    bare = [one for one in beyond if one[0].keeper.support is Support.HANDHELD]
    return min(bare or beyond, key=lambda one: (one[1].margin_stops, one[0].number), default=None)


def _plan_to_reach(trip: TripAsked) -> tuple[MeteredPicture, Settings, str, Reach] | None:
    """The plan that needs most stops in the light of a picture made at its own viewpoint."""
    found = []
    for shot in trip.order.shots:
        if not (shot.f_number and shot.exposure_s and shot.iso) or (
            shot.viewpoint_id not in trip.order.account.viewpoints
        ):
            continue
        wish = Settings(shot.f_number, shot.exposure_s, shot.iso)
        for frame in trip.lit:
            if frame.keeper.viewpoint_id == shot.viewpoint_id:
                reached = reach(wish, frame.scene_ev100 or 0.0, trip.packed)
                why = f"{shot_reference(trip.order, shot.id)}, was planned at"
                found.append((frame, wish, why, reached))
    needing = [one for one in found if one[3].needed_stops >= 1]
    return max(
        needing, key=lambda one: (bool(near(one[3])), one[3].needed_stops, -one[0].number), default=None
    )


def _wish_to_reach(trip: TripAsked) -> tuple[MeteredPicture, Settings, str, Reach] | None:
    """A second at f/11 in the brightest scene of the trip."""
    if not trip.lit:
        return None
    frame = max(trip.lit, key=lambda one: (one.scene_ev100 or 0.0, -one.number))
    wish = Settings(WISH_APERTURE, WISH_S, 100)
    return frame, wish, "you would like", reach(wish, frame.scene_ev100 or 0.0, trip.packed)


def _groups(trip: TripAsked) -> list[list[MeteredPicture]]:
    """Brackets that the book holds as sets, and runs of other frames that the camera marked as bracketed."""
    by_id = {frame.keeper.id: frame for frame in trip.sure}
    held = [[by_id[one] for one in ids if one in by_id] for ids in brackets(trip.order)]
    stated = {key for one in trip.order.account.sets for key in one.keeper_ids}
    runs: list[list[MeteredPicture]] = []
    for frame in trip.sure:
        if not frame.keeper.auto_bracket or frame.keeper.id in stated:
            continue
        before = runs[-1][-1] if runs else None
        follows = before and before.number + 1 == frame.number and _alike(before, frame)
        if follows and not are_apart(trip.order, frame, runs[-1]):
            runs[-1].append(frame)
        else:
            runs.append([frame])
    return [sorted(group, key=lambda frame: frame.number) for group in held if group] + runs


def _only_time_differs(group: list[MeteredPicture]) -> bool:
    """A person may have joined frames that differ in more than their time; the question would be untrue."""
    return all(_alike(one, other) for one, other in pairwise(group))


def _alike(one: MeteredPicture, other: MeteredPicture) -> bool:
    """Whether two frames differ in their time alone and were made at one place within two minutes."""
    a, b = one.settings, other.settings
    before, after = one.keeper.place_time, other.keeper.place_time
    near = before is not None and after is not None and (after - before).total_seconds() <= 120
    same_place = one.keeper.viewpoint_id == other.keeper.viewpoint_id
    return near and same_place and (a.f_number, a.iso, a.filters) == (b.f_number, b.iso, b.filters)


def _how(frame: MeteredPicture) -> str:
    return {"handheld": "handheld", "braced": "braced", "monopod": "on a monopod"}[frame.support]


def _choice(choice: Choice) -> str:
    return f"{named(choice.filters) or 'no filter'} ({exposure_text(choice.exposure_s)})"


def _equal(text: str, equal: Equal) -> str:
    """The answer, and by how much a dial's mark misses it."""
    if abs(equal.difference_stops) < 0.05:
        return f"{text}."
    side = "brighter" if equal.difference_stops > 0 else "darker"
    return f"{text}, the nearest mark: {counted_stops(abs(equal.difference_stops))} {side}."
