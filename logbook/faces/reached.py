"""What filters reach, and what the kit does for a planned shot, as JSON and for the terminal."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from logbook.craft.marks import aperture_text, counted_stops, exposure_text, number_text
from logbook.craft.met_light import met_text
from logbook.faces.measured import plainly
from logbook.faces.plain import feasibility_json, plain
from logbook.faces.terminal import answer, answer_json, answer_pairs, answer_prose, answer_table
from logbook.faces.words.shots import feasibility_words, off_text

if TYPE_CHECKING:
    from logbook.craft.expected_light import ExpectedLight
    from logbook.craft.filter_types import Filter
    from logbook.craft.light import FrameSpan
    from logbook.craft.met_light import Witnesses
    from logbook.craft.plan import Moment
    from logbook.craft.reach import Choice, Reach
    from logbook.store.book import Book


UNSEEN_STOPS = 0.1  # stops; marks are rounded by more, so that 2 min 5 s would be called faster than 2 min


def names(stack: "Sequence[Filter] | None") -> list[str] | None:
    """Filters as JSON holds them: their names, None where unknown."""
    return None if stack is None else [one.name for one in stack]


def choice_json(choice: "Choice", focal_35mm: float | None = None) -> dict[str, Any]:
    """One stack of filters and the time it gives."""
    from logbook.craft.filters import vignetting_warning

    warning = None if focal_35mm is None else vignetting_warning(choice.filters, focal_35mm)
    return {
        "filters": names(choice.filters),
        "stops": choice.stops,
        "exposure_s": plain(choice.exposure_s),
        "exposure": exposure_text(choice.exposure_s),
        "beyond_stops": choice.beyond_stops,
    } | ({"corners": warning} if warning else {})


def reach_json(found: "Reach", focal_35mm: float | None = None) -> dict[str, Any]:
    """What filters at hand reach, as JSON."""
    return {
        "needed_stops": found.needed_stops,
        "short_stops": found.short_stops,
        "scene_limit_ev100": found.scene_limit_ev100,
        "choices": [choice_json(choice, focal_35mm) for choice in found.choices],
        "nearest": choice_json(found.nearest, focal_35mm),
        "strongest_stops": found.strongest_stops,
        "working": found.working,
    }


def show_choices(found: "Reach") -> None:
    """The stacks that reach the wish, best first; where none does, the nearest."""
    from logbook.craft.filters import stack_text

    rows = [
        [
            stack_text(choice.filters),
            number_text(choice.stops),
            choice.time_text,
            _beyond(choice.beyond_stops),
        ]
        for choice in found.choices or (found.nearest,)
    ]
    answer_table(("filters", "stops", "shutter speed", "compared to wish"), rows, "")


def spans_json(spans: Sequence["FrameSpan"]) -> list[dict[str, str]]:
    """Spans of local time as JSON."""
    return [
        {"from": span.enters.isoformat(timespec="seconds"), "to": span.leaves.isoformat(timespec="seconds")}
        for span in spans
    ]


def _beyond(stops: float) -> str:
    if abs(stops) < 0.005:
        return "exact"
    if abs(stops) < UNSEEN_STOPS:
        return "the same"
    return f"{counted_stops(abs(stops))} {'slower' if stops > 0 else 'faster'}"


def show_shot_reach(book: "Book", wanted: str, as_json: bool) -> None:
    """Print what the kit packed for a shot's trip does for it, with the hours of its light."""
    from logbook.craft.feasible import Verdict
    from logbook.craft.light import spans_text
    from logbook.services.light.day_light import SUN_CAUTION
    from logbook.services.plans import feasibility

    account, shot = feasibility.shot_in_account(book, wanted)
    with plainly():
        found = feasibility.reach_shot(account, shot)
    judged = found.feasibility
    if as_json:
        answer_json(
            reach_json(found.reach)
            | {
                "instead": None if found.instead is None else reach_json(found.instead),
                "scene_ev100": found.moment.scene_ev100,
                "shot": shot.slug,
                "at": found.moment.at.isoformat(timespec="seconds"),
                "zone": found.zone,
                "sun_altitude_deg": found.moment.altitude_deg,
                "low_enough": spans_json(found.low_enough),
                "possible": spans_json(found.possible),
                "feasibility": feasibility_json(judged),
                "caution": SUN_CAUTION if judged.sun_near else None,
            }
        )
        return
    assert shot.exposure_s is not None
    assert shot.f_number is not None
    verdict = "" if judged.verdict is Verdict.SUN_IN_FRAME else f"{feasibility_words(judged)}; "
    answer_prose(f"{shot.slug}: {verdict}{judged.reason}.")
    wish, aperture = exposure_text(shot.exposure_s), aperture_text(shot.f_number)
    if found.instead is None:
        answer(reach_title(found.reach, wish, aperture))
    else:
        answer(
            f"{wish} at {aperture} is within reach with the filters packed, though not with those planned:"
        )
    show_choices(found.instead or found.reach)
    late = found.moment.at.date() != shot.on_date
    zone = f"on {found.moment.at:%Y-%m-%d}, {found.zone}" if late else found.zone
    pairs = {
        "light": f"at {found.moment.at:%H:%M}, sun {number_text(found.moment.altitude_deg, 1)}°: about EV100 "
        f"{number_text(found.moment.scene_ev100, 1)} {range_text(found.moment, found.moment.witnesses)}",
        "dark enough": f"{spans_text(found.low_enough) or 'at no time'} ({zone})",
        "possible": spans_text(found.possible) or "at no time",
        "working": judged.working,
    }
    answer_pairs("", pairs)
    if judged.sun_near:
        answer_prose(f"Caution: the sun is in or near the frame {spans_text(judged.sun_near)}. {SUN_CAUTION}")


def range_text(light: "Moment | ExpectedLight", witnesses: "Witnesses | None") -> str:
    """The range in which the light may lie, and what that rests on: `(9.8 to 12.4); clear sky`."""
    low, high = (number_text(one, 1) for one in (light.low_ev100, light.high_ev100))
    rests_on = "clear sky" if witnesses is None else met_text(witnesses)
    return f"({low} to {high}); {rests_on}"


def reach_title(found: "Reach", wish: str, aperture: str) -> str:
    """The answer in one sentence."""
    from logbook.craft.exposure import same

    if found.short_stops and not same(found.short_stops):
        return f"{wish} at {aperture} is out of reach: {off_text(found.short_stops)}."
    if found.needed_stops < 0 and not same(found.needed_stops):
        return f"{wish} at {aperture} is out of reach: {off_text(found.needed_stops)}."
    needed = counted_stops(round(max(found.needed_stops, 0.0), 1))
    return f"{wish} at {aperture} is within reach: {needed} needed."
