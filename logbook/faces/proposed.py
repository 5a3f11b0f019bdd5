"""Proposals as plain data and as lines: what the program worked out or was told, always with its reason."""

import shlex
from collections.abc import Mapping, Sequence
from itertools import islice
from typing import TYPE_CHECKING, Any

from logbook.craft.marks import counted_stops
from logbook.domain.words import Provenance
from logbook.domain.written.corrections import correction_words
from logbook.faces.plain import plain
from logbook.faces.sharpness_shown import judged_json
from logbook.faces.terminal import answer_prose
from logbook.services.night.frames_told import label_of

if TYPE_CHECKING:
    from logbook.craft.clock_facts import ClockFact
    from logbook.craft.inference.proposal import FilterProposal
    from logbook.services.clocks.proposed import ClockProposal
    from logbook.services.keepers.proposals import Proposals

WITNESSES = 6  # of a clock that are named; more files that say the same tell nothing new (own convention)


def proposals_json(found: "Proposals") -> dict[str, Any]:
    """Return all proposals with stable keys; keepers by file name."""
    files = {keeper.id: keeper.file for keeper in found.keepers}
    return {
        "clocks": [clock_json(one) for one in found.clocks],
        "sets": [
            {
                "kind": str(one.kind),
                "keepers": _files(one.keys, files),
                "reason": one.reason,
                "provenance": str(Provenance.STATED if one.stated else Provenance.INFERRED),
            }
            for one in found.sets
        ],
        "filters": [
            {
                "keepers": _files(one.keys, files),
                "jump_stops": round(one.jump_stops, 2),
                "explanations": [
                    {"filters": list(why.filters), "stops": round(why.stops, 2), "cost": round(why.cost, 2)}
                    for why in one.explanations
                ],
                "reason": one.reason,
                "asked": one.asked,
                "question": one.question(label_of([files[one.keys[0]]])) if one.asked else None,
                "answers": _answers_json(one) if one.asked else [],
            }
            for one in found.filters.proposals
        ],
        "filter_notes": list(found.filters.notes),
        "matches": [
            {
                "keeper": files[one.keeper],
                "shot": one.shot,
                "kind": str(one.kind),
                "reason": one.reason,
                "rivals": list(one.rivals),
            }
            for one in found.matches
        ],
        "visits": [
            {
                "viewpoint": one.spot,
                "arrived": plain(one.arrived),
                "departed": plain(one.departed),
                "source": str(one.source),
                "keepers": _files(one.frames, files),
                "distance_m": None if one.distance_m is None else round(one.distance_m),
                "reason": one.reason,
                "doubtful": [
                    {"departed": plain(two.departed), "arrived": plain(two.arrived), "reason": two.reason}
                    for two in one.doubtful
                ],
            }
            for one in found.visits
        ],
        "sharpness": [judged_json(one) for one in found.sharpness],
        "tries": {
            "count": found.tries.count,
            "approximate": found.tries.approximate,
            "reason": found.tries.reason,
        },
    }


def _answers_json(one: "FilterProposal") -> list[dict[str, Any]]:
    """Return both answers to a question, with the filters of its keepers in either case."""
    told = (one.change, f"the light has {one.light}")
    return [
        {"answer": words, "filters": list(why.filters)}
        for words, why in zip(told, one.explanations, strict=True)
    ]


def clock_json(one: "ClockProposal") -> dict[str, Any]:
    """Return one clock with stable keys; `keepers` are all the frames of the trip that it holds for."""
    return {
        "body": one.clock.body,
        "offset_s": one.offset_s,
        "zone": one.zone,
        "evidence": [f"{fact.kind}: {fact.source}" for fact in _witnesses(one.clock.evidence)],
        "doubts": list(one.doubts),
        "since": plain(one.clock.since),
        "until": plain(one.clock.until),
        "keepers": list(one.keepers),
        "taken": one.taken,
    }


def _witnesses(evidence: "Sequence[ClockFact]") -> "list[ClockFact]":
    """The first few witnesses, strongest first; of every kind at least one, however many files agree."""
    kinds = {fact.kind: fact for fact in reversed(evidence)}
    others = (fact for fact in evidence if fact is not kinds[fact.kind])
    shown = (*kinds.values(), *islice(others, max(0, WITNESSES - len(kinds))))
    return sorted(shown, key=evidence.index)


def clock_words(offset_s: int | None) -> str:
    """Return how right a clock is by the seconds to add to its time: `7 min slow`, `42 s fast`, `right`."""
    return "unknown" if offset_s is None else correction_words(offset_s)


def evidence_words(one: "ClockProposal") -> str:
    """Return what speaks for a clock: `as stated`, `by GPS time: TRN_0424.JPG`; empty where nothing does."""
    best = one.clock.evidence[0] if one.clock.evidence else None
    if best is None:
        return ""
    source = f": {best.source}" if best.source != best.kind else ""
    by = "" if best.kind == "assumed" else "by "
    return "as stated" if best.kind == "stated" else f"{by}{str(best.kind).replace('gps', 'GPS')}{source}"


def print_clock(one: "ClockProposal", trip: str | None) -> None:
    """Print one clock: the frames it holds for, how right it is, the evidence for it, and the doubts.

    What the book's times do not follow yet is a proposal, with the command that takes it.
    """
    frames = f" for {one.frames}" if one.frames else ""
    proposed = (
        "" if one.taken or not one.offset_s else f' (proposed, not stated; "{_taking(one, trip)}" states it)'
    )
    told = ", ".join(part for part in (clock_words(one.offset_s), evidence_words(one)) if part)
    answer_prose(f"Clock of {one.clock.body}{frames}: {told}{proposed}")
    for doubt in one.doubts:
        answer_prose(f"doubt: {doubt}", indent="    ")


def _taking(one: "ClockProposal", trip: str | None) -> str:
    """Return the command that takes a clock as it is proposed."""
    assert one.offset_s is not None
    line = ["logbook", "keeper", "clock", *(["--trip", trip] if trip else []), "--body", one.clock.body]
    line += ["--slow" if one.offset_s > 0 else "--fast", str(abs(one.offset_s))]
    line += ["--since", one.keepers[0]] if one.clock.since and one.keepers else []
    line += ["--until", one.keepers[-1]] if one.clock.until and one.keepers else []
    return shlex.join(line)


def _files(keys: tuple[str, ...], files: Mapping[str, str]) -> list[str]:
    return [files[key] for key in keys]


def filters_words(filters: tuple[str, ...]) -> str:
    """Return a stack as people say it; an empty one is no filter."""
    return " + ".join(filters) or "no filter"


def jump_words(stops: float) -> str:
    """Return a jump in stops as people say it."""
    return f"{counted_stops(round(abs(stops), 1))} {'darker' if stops > 0 else 'brighter'}"
