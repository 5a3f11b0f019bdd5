"""What worked, in words and as JSON: never a share without its count and its interval."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import log2
from typing import TYPE_CHECKING, Any, TypeVar

from logbook.craft.marks import (
    aperture_text,
    counted_stops,
    exposure_text,
    iso_text,
    nearest_aperture,
    number_text,
)
from logbook.craft.series import EXPOSURES, ISOS
from logbook.domain.condition_kinds import KINDS
from logbook.domain.said import figured
from logbook.faces.alike_shown import hang, lesson_json, lesson_lines
from logbook.faces.ink import Ink
from logbook.faces.terminal import answer, answer_prose

if TYPE_CHECKING:
    from logbook.craft.statistics import Rate, SpreadInStops
    from logbook.services.worked import Row, Undivided, Worked

Mark = TypeVar("Mark", int, Fraction)
UNKNOWN = {"support": "support unknown", "filters": "filters unknown", "technique": "technique not named"}
UNKNOWN |= {"phase": "light unknown"} | {str(kind): f"{kind} not noted" for kind in KINDS}
HEADINGS = {
    "tries": "Counted against tries: pictures kept and not judged soft, out of the tries you noted. "
    "A good frame that was not kept counts as a miss, so the true share may be higher.",
    "shots": "Counted against planned shots: those made as planned, out of all with a known outcome. "
    "A partly made shot does not count as a success, and a replaced one never does.",
    "file numbers": "Counted against file numbers, an approximation: pictures kept and not judged soft, out "
    "of the frames that the numbers suggest between the first keeper of a day and its last.",
    "nothing": "Nothing to count against: no tries noted, no outcome noted, no file numbers.",
}
REASONS_HEADING = (
    "Shots lost to a reason, wholly or in part, out of all with a known outcome. "
    "One shot may have several reasons."
)
NOTHING = "Nothing has been planned, tried or kept there under these conditions yet."
MIXED = "The counts below are of different kinds; compare only within one kind."
UNDIVIDED_HEADING = "Tries not counted in any row, because their visit mixed several of these:"
UNDIVIDED_SHOWN = 5  # visits; the rest are counted


def worked_json(found: "Worked") -> dict[str, Any]:
    """Return the answer as JSON; `counted_from` holds the ids of the rows behind every count."""
    question = found.question
    return {
        "by": str(question.by),
        "denominator": str(found.denominator),
        "sites": found.sites,
        "near": [
            {"site": one.slug, "similarity": one.similarity, "distance_km": one.distance_km}
            for one in found.near
        ],
        "rows": [row_json(row) for row in found.rows],
        "undivided": [
            {"visit": one.visit, "tries": one.tries, "keepers": one.kept, "approaches": list(one.approaches)}
            for one in found.undivided
        ],
    }


def row_json(row: "Row") -> dict[str, Any]:
    """Return one approach as JSON; bounds are fractions."""
    rate, needed = row.rate, row.needed
    return {
        "approach": row.approach,
        "denominator": str(row.denominator),
        "k": rate.successes,
        "n": rate.tries,
        "low": rate.low,
        "high": rate.high,
        "says_little": rate.says_little,
        "judged_sharp": row.judged_sharp,
        "measured_sharp": row.measured_sharp,
        "measured_soft": row.measured_soft,
        "more_tries": None
        if needed is None
        else {
            "chance": needed.chance,
            "from_low": needed.at_low,
            "from_share": needed.at_estimate,
            "from_high": needed.at_high,
        },
        "shots": {
            word: getattr(row.shots, word) for word in ("made", "partly", "replaced", "missed", "open")
        },
        "reasons": [
            {"reason": str(miss.reason), "count": miss.count, "shots": list(miss.shots)}
            for miss in row.misses
        ],
        "settings": {name: _spread_json(name, spread) for name, spread in row.settings.items()},
        "lessons": [lesson_json(lesson) for lesson in row.lessons],
        "notes": list(row.notes),
        "counted_from": {name: list(ids) for name, ids in row.sources.items()},
    }


def _spread_json(name: str, spread: "SpreadInStops") -> dict[str, Any]:
    return {
        "count": spread.count,
        "median": spread.middle,
        "least": spread.least,
        "most": spread.most,
        "stops": spread.stops,
        "words": spread_words(name, spread),
    }


def rate_words(rate: "Rate", of: str = "") -> str:
    """Return k of n with its interval: `1 of 34 tries (95% interval 0.5 to 15 in 100)`."""
    if not rate.tries:
        return "nothing tried"
    little = ": says little" if rate.says_little else ""
    counted = f"{rate.successes} of {rate.tries}{f' {of}' if of else ''}"
    return f"{counted} (95% interval {share_words(rate)}){little}"


def share_words(rate: "Rate") -> str:
    """Return the interval alone: `0.5 to 15 in 100`."""
    return f"{_hundredths(rate.low)} to {_hundredths(rate.high)} in 100"


def _hundredths(share: float) -> str:
    per_cent = share * 100
    return number_text(per_cent, 1 if 0 < per_cent < 10 or 90 < per_cent < 100 else 0)


def needed_words(row: "Row") -> str | None:
    """Return how many more frames to plan for a good chance of one keeper: `plan 37 more frames for …`."""
    needed = row.needed
    if needed is None:
        return None
    goal = f"for a {needed.chance:.0%} chance of one keeper"
    if needed.at_low is not None and needed.at_estimate is not None:
        if row.rate.says_little:
            span = f"from {needed.at_high} to {needed.at_low}"
            return f"plan anything {span} more frames {goal}; too few were made to be sure"
        return f"plan {needed.at_estimate} more frames {goal}, {needed.at_low} to be on the safe side"
    if needed.at_high is not None:
        few = f"plan at least {needed.at_high} more frames {goal}"
        return f"{few}; none has worked yet, so it may take many more"
    return "it is too rare to plan for"


def spread_words(name: str, spread: "SpreadInStops") -> str:
    """Return a middle and a range: `f/8 (f/4 to f/16, 4 stops)`."""
    middle, least, most = (_setting(name, value) for value in (spread.middle, spread.least, spread.most))
    if least == most:
        return middle
    wide = "" if spread.stops is None else f", {counted_stops(round(spread.stops, 1))}"
    return f"{middle} ({least} to {most}{wide})"


def _setting(name: str, value: float) -> str:
    """A setting at the nearest mark one can dial, because a middle may lie between two."""
    if name == "f_number":
        return aperture_text(nearest_aperture(value))
    if name == "exposure_s":
        return exposure_text(
            _nearest(EXPOSURES, value) if value <= max(EXPOSURES) else Fraction(round(value))
        )
    if name == "iso":
        return iso_text(_nearest(ISOS, value))
    return f"{number_text(value, 1)} mm"


def _nearest(marks: Mapping[Mark, float], value: float) -> Mark:
    return min(marks, key=lambda mark: abs(log2(float(mark) / value)))


def show_worked(found: "Worked") -> None:
    """Print what every figure rests on, each kind of count under its own heading."""
    answer_prose(places_words(found))
    if found.denominator == "mixed":
        answer_prose(MIXED)
    last = None
    for row in found.rows:
        if row.denominator != last:
            last = row.denominator
            answer("")
            answer_prose(heading_words(row, found))
        _show_row(row, found)
    _show_undivided(found)


def title_words(found: "Worked") -> str:
    """Return what an answer is about."""
    by = found.question.by
    return f"What cost shots, by {by}" if by == "reason" else f"What worked, by {by}"


def heading_words(row: "Row", found: "Worked") -> str:
    """Return how rows like this one are counted."""
    return REASONS_HEADING if found.question.by == "reason" else HEADINGS[row.denominator]


def places_words(found: "Worked") -> str:
    """Return which sites the answer draws on, in a sentence."""
    if found.near:
        named = ", ".join(
            one.slug
            + (f" ({one.similarity:.2f})" if one.similarity is not None else f" ({one.distance_km:.1f} km)")
            for one in found.near
        )
        if (within_km := found.question.within_km) is not None:
            return f"From the sites within {within_km:g} km of {found.question.near}: {named}."
        return f"From {found.question.near} and sites like it: {named}."
    return f"From {figured(found.sites, 'site')} in the book."


def name_of(row: "Row", found: "Worked") -> str:
    """Return what a row counts, in words."""
    return row.approach or UNKNOWN.get(str(found.question.by), "unknown")


def _show_row(row: "Row", found: "Worked") -> None:
    by = str(found.question.by)
    answer("")
    answer_prose(f"{name_of(row, found)}: {counted_words(row)}", " ", ink=Ink.HEADING)
    for label, text in (*row_lines(row, by), *lesson_lines(row.lessons)):
        hang(label, text)


def counted_words(row: "Row") -> str:
    """Return how often a row worked, of how many, and how sure that is."""
    return rate_words(row.rate) if row.denominator != "nothing" else "not counted"


def row_lines(row: "Row", by: str) -> Iterator[tuple[str, str]]:
    """Yield what is known beside a row's count, each text with its label; its lessons are told apart."""
    if row.denominator in ("tries", "file numbers"):
        judged = f"{row.judged_sharp} of the {row.rate.successes} judged sharp, the others kept unjudged"
        if row.rate.successes and row.judged_sharp < row.rate.successes:
            yield "sharp", judged
        if row.measured_sharp or row.measured_soft:
            measured = f"of those, {row.measured_sharp} seem sharp and {row.measured_soft} soft"
            yield "measured", f"{measured}; nobody has confirmed it, so the counts leave it out"
    if needed := needed_words(row):
        yield "next", needed
    if by != "reason" and (told := _shots_words(row)):
        yield "shots", told
    for miss in row.misses:
        told = f"{_times(miss.count)}: {_some(miss.shots)}"
        yield ("shots", told) if by == "reason" else ("lost to", f"{miss.reason} {told}")
    if row.settings:
        yield "settings", "; ".join(spread_words(key, spread) for key, spread in row.settings.items())
    for note in row.notes:
        yield "note", note


def _shots_words(row: "Row") -> str:
    shots = row.shots
    words = (("made", "made"), ("partly", "partly made"), ("replaced", "replaced"), ("missed", "missed"))
    told = [f"{getattr(shots, name)} {text}" for name, text in words if getattr(shots, name)]
    if shots.open:
        told.append(f"{shots.open} with no outcome noted")
    return ", ".join(told)


def _times(count: int) -> str:
    return "once" if count == 1 else "twice" if count == 2 else f"{count} times"


def _some(slugs: tuple[str, ...], shown: int = 4) -> str:
    more = f" and {len(slugs) - shown} more" if len(slugs) > shown else ""
    return ", ".join(slugs[:shown]) + more


def _show_undivided(found: "Worked") -> None:
    if not found.undivided:
        return
    answer("")
    answer_prose(UNDIVIDED_HEADING)
    for one in found.undivided[:UNDIVIDED_SHOWN]:
        answer_prose(undivided_words(one), "   ")
    if len(found.undivided) > UNDIVIDED_SHOWN:
        answer_prose(f"and {len(found.undivided) - UNDIVIDED_SHOWN} more visits (--json has them all)", "   ")


def undivided_words(one: "Undivided") -> str:
    """Return a visit whose tries no row may claim, in one line."""
    kept = figured(one.kept, "keeper")
    tries = figured(one.tries, "try", "tries")
    return f"{one.visit}: {tries}, {kept} ({'; '.join(one.approaches)})"
