"""Measured sharpness as plain data and in words: what is proposed, by how much, and against which frame."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from logbook.craft.marks import number_text
from logbook.domain.words import Provenance, Sharpness
from logbook.faces.terminal import answer_prose, say

if TYPE_CHECKING:
    from logbook.domain.acutance import Judged

STEP_PX = 2.5  # that a perfect step measures
NOTHING_PX = 0.5  # lost: less is nothing
UNMEASURED_SHOWN = 5  # pictures; --json has all


def measured_json(one: "Judged | None") -> dict[str, Any] | None:
    """Return what was measured of a keeper; None where not measured yet."""
    if one is None or one.acutance is None:
        return None
    found = one.acutance
    return {
        "proposed": found.proposed and str(found.proposed),
        "provenance": str(Provenance.INFERRED),
        "edge_px": found.edge_px,
        "lost_px": found.lost_px,
        "along_deg": found.along_deg,
        "frames": found.frames,
        "sharpest": one.sharpest,
        "words": measured_words(one),
        "reason": reason_words(one),
    }


def judged_json(one: "Judged") -> dict[str, Any]:
    """Return a keeper's file, what a person said of its sharpness, and what was measured."""
    return {
        "keeper": one.keeper.slug,
        "file": one.keeper.file,
        "said": one.said and str(one.said),
        "measured": measured_json(one),
    }


def measured_words(one: "Judged") -> str:
    """Return the proposal in a word or two."""
    found = one.acutance
    if found is None or found.edge_px is None:
        return "not measured"
    return f"seems {found.proposed}" if found.proposed else "not decided"


def reason_words(one: "Judged") -> str:
    """Return what speaks for the proposal, or why there is none."""
    found = one.acutance
    if found is None:
        return "not measured yet"
    if found.edge_px is None:
        return found.why or "there is nothing in it to measure"
    if found.lost_px is None:
        alone = "this view has no other frame to compare it with"
        if found.frames > 1:
            alone = "it shows too little of what the other frames of this view show"
        good = f"edges {number_text(found.edge_px, 1)} px wide ({STEP_PX} would be perfectly sharp)"
        return f"{good}; {alone}"
    of_frames = f"the sharpest of {found.frames} frames of this view"
    if found.sharpest == one.keeper.hash:
        return f"it is {of_frames}"
    if found.lost_px < NOTHING_PX:
        return f"its edges are as sharp as those of {one.sharpest}, {of_frames}"
    wider = (
        f"its edges are {number_text(found.lost_px, 1)} px wider than those of {one.sharpest}, {of_frames}"
    )
    if found.proposed is not Sharpness.SOFT:
        return wider
    one_way = found.along_deg is not None
    return f"{wider}; the blur runs {'one way, as when the camera moves' if one_way else 'in all directions'}"


def show_judged(all_of_them: Sequence["Judged"], trip: str | None) -> None:
    """Print what is proposed and nobody has judged yet, with the commands that confirm it."""
    asked = {word: [one for one in all_of_them if one.asks is word] for word in Sharpness}
    for one in asked[Sharpness.SOFT]:
        answer_prose(f"{one.keeper.file} seems soft: {reason_words(one)}.")
    if good := asked[Sharpness.SHARP]:
        answer_prose(f"{counted_pictures(len(good))} sharp: {', '.join(one.keeper.file for one in good)}.")
    open_ones = [one for one in all_of_them if one.said is None and one.asks is None and one.acutance]
    undecided = [one for one in open_ones if one.acutance and one.acutance.edge_px is not None]
    if undecided:
        named = ", ".join(one.keeper.file for one in undecided)
        answer_prose(f"Not decided, for lack of evidence: {named}.")
    unmeasured = [one for one in open_ones if one not in undecided]
    for one in unmeasured[:UNMEASURED_SHOWN]:
        say(f"{one.keeper.file} was not measured: {reason_words(one)}.")
    if len(unmeasured) > UNMEASURED_SHOWN:
        say(f"{len(unmeasured) - UNMEASURED_SHOWN} more were not measured; --json has them all.")
    new = sum(one.acutance is None for one in all_of_them)
    if new:
        say(f"{new} of {len(all_of_them)} not measured yet.")
    if not any(asked.values()):
        say("There is nothing to confirm: every picture was judged, or there is too little evidence.")
        return
    say("Look at them and confirm what you see:")
    for word, found in asked.items():
        if found:
            say(f"  {_note(found, word, trip)}")


def counted_pictures(count: int) -> str:
    """Return how many pictures seem to be something: `1 picture seems`, `3 pictures seem`."""
    return "1 picture seems" if count == 1 else f"{count} pictures seem"


def _note(found: Sequence["Judged"], word: Sharpness, trip: str | None) -> str:
    of_trip = f" --trip {trip}" if trip else ""
    return f"logbook keeper note {','.join(one.keeper.slug for one in found)}{of_trip} --judged {word}"
