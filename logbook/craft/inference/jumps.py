"""Filters seen as jumps in exposure: proposals with every explanation nearly as good, or silence.

One surprising decision: exposures witness changes of filters, never filters. A filter worn throughout cannot
be seen, so every explanation is meant apart from it, and the result says so.

And a day is read as a whole: by day a small jump is asked about only where something else shows that filters
were used, since turns and clouds make more of them than filters do.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from operator import add

from logbook.craft.filter_types import Filter, FilterKind
from logbook.craft.inference.costs import Moves, first_nats, minutes_between, sunlit_nats
from logbook.craft.inference.explain import Explanation, Row, Stretch, Ways, cheapest_ways
from logbook.craft.inference.frames import Frame, Framing, framing_between, in_order
from logbook.craft.inference.proposal import FilterInference, FilterProposal, jump_reason
from logbook.craft.inference.sets import FrameSet
from logbook.craft.inference.stacks import alphabet, moved, stated_stack, witnessed
from logbook.craft.inference.steps import Step, chains

# An assertion against silence. A nat is a factor of e in likelihood.
JUMP_STOPS = 2.5  # stops; smaller jumps are never proposed: clouds and polarisers make them too
ASSERT_NATS = 3.5  # a change is proposed where "nothing changed" is worse by this: 33 to 1
# and asked about where it is worse by this: what one of eight answers with yes is worth a question, but where
# the camera looked elsewhere the light may well differ, and only likely changes are asked about
ASK_NATS = {Framing.SAME: -2.1, Framing.NEAR: 1.0, Framing.OTHER: 2.0}
LEAST_ASK_NATS = min(ASK_NATS.values()) - 1.0  # nobody asks below this
ASK_STOPS = 2.5  # stops; smaller changes are never asked about
DAY_DEG = 6.0  # degrees; where the golden hour ends, above it the sun changes light slowly (common practice)
FIT_NATS = 3.5  # and where the best explanation leaves less than this to light and noise: 2.6 deviations
MARGIN_MAX_NATS = 100.0  # a statement makes "nothing changed" impossible; this stands for that
UNEXPLAINED_NATS = 7.0  # light that leaps so far is no ground to go on from
STEADY_NATS = 6.0  # a run goes on across a jump where "something changed" is worse by this


@dataclass(frozen=True, slots=True)
class Seam:
    """The place between two steps: is a change of filters asserted, ruled out, open, or worth a question?"""

    asserted: bool
    steady: bool
    margin: float
    asked: bool
    alone: bool  # worth a question even on a day that shows no filters elsewhere
    sign: bool  # shows that filters were used that day
    change: tuple[int, int]  # the likeliest stacks on either side, if something changed
    unchanged: int  # and the likeliest one, if nothing did


def infer_filters(
    frames: Iterable[Frame],
    filters: Iterable[Filter],
    sets: Sequence[FrameSet] = (),
) -> FilterInference:
    """Return proposals for runs of frames beside a change of filters; stated filters are anchors.

    `filters` are those packed; `sets` those of find_sets, or as a person joined them.
    """
    ordered, packed = in_order(list(frames)), tuple(filters)
    stated = {f.known_filters: stated_stack(f.known_filters) for f in ordered if f.known_filters is not None}
    letters = alphabet(packed, [stack for stack in stated.values() if stack is not None])
    notes = _notes(packed)
    if len(letters.stacks) < 2:
        return FilterInference((), notes)
    moves = Moves(letters)
    pieces = [piece for steps in chains(ordered, sets) for piece in _readable(steps, stated)]
    read = [_Chain(piece, moves, stated) for piece in pieces]
    used = any(stated) or any(seam.sign for chain in read for seam in chain.seams)
    proposals: list[FilterProposal] = []
    for chain in read:
        stretch = proposals[-1].stretch + 1 if proposals else 0
        proposals += chain.proposals(stretch, used=used)
    said = {frame.key for frame in ordered if frame.known_filters is not None}
    return FilterInference(tuple(p for one in proposals if (p := _unsaid(one, said))), notes)


def _notes(packed: Sequence[Filter]) -> tuple[str, ...]:
    notes = [
        "A filter that stayed on throughout does not show in the exposures: the proposals here do not "
        "allow for one."
    ]
    unseen = sorted({item.name for item in packed if not witnessed(item)})
    if unseen:
        notes.append(f"Never inferred, because exposures do not show them: {', '.join(unseen)}.")
    if any(item.kind is FilterKind.POLARISER for item in packed):
        notes.append(
            "A polariser on its own changes the exposure too little to tell from metering noise, so it "
            "is never proposed by itself."
        )
    return tuple(notes)


def _readable(
    steps: Sequence[Step], stated: dict[tuple[str, ...], tuple[Filter, ...] | None]
) -> list[list[Step]]:
    """The chain without steps behind filters of unknown strength: nothing can be read across them."""
    pieces: list[list[Step]] = [[]]
    for step in steps:
        if step.known is not None and stated[step.known] is None:
            pieces.append([])
        else:
            pieces[-1].append(step)
    return [piece for piece in pieces if len(piece) > 1]


def _unsaid(proposal: FilterProposal, said: set[str]) -> FilterProposal | None:
    """The proposal without frames whose filters a person stated; None when none is left."""
    keys = tuple(key for key in proposal.keys if key not in said)
    if not keys or (proposal.asked and keys[0] != proposal.keys[0]):
        return None
    return replace(proposal, keys=keys)


class _Chain:
    """One chain of steps with all costs worked out."""

    def __init__(
        self,
        steps: Sequence[Step],
        moves: Moves,
        stated: dict[tuple[str, ...], tuple[Filter, ...] | None],
    ) -> None:
        self.steps, self.moves, self.letters = steps, moves, moves.letters
        self.plain = [self._without_polarisers(stack.parts) for stack in self.letters.stacks]
        self.anchors = [
            None if stack is None else self.letters.stack_of([item.name for item in stack])
            for stack in (None if step.known is None else stated[step.known] for step in steps)
        ]
        self.own = [self._own(place) for place in range(len(steps))]
        self.between: list[Sequence[Row]] = []
        self.kept: list[Row] = []
        for left, right in pairwise(steps):
            rows, kept = moves.costs(left, right)
            self.between.append(rows)
            self.kept.append(kept)
        self.ways: Ways = cheapest_ways(self.own, self.between)
        self.seams = [self._seam(place) for place in range(len(self.between))]

    def _without_polarisers(self, parts: frozenset[int]) -> frozenset[int]:
        return frozenset(i for i in parts if self.letters.filters[i].kind is not FilterKind.POLARISER)

    def _own(self, place: int) -> list[float]:
        step, anchor = self.steps[place], self.anchors[place]
        costs = []
        for index, stack in enumerate(self.letters.stacks):
            worn = first_nats(step, stack) if place == 0 and anchor is None else 0.0
            allowed = anchor is None or index == anchor
            costs.append(worn + sunlit_nats(step, stack) if allowed else math.inf)
        return costs

    def proposals(self, stretch: int, *, used: bool) -> list[FilterProposal]:
        """Return the proposals for every run that borders on an asserted change, and the questions.

        `used` is whether the day shows filters at all; if not, steady light raises fewer questions.
        """
        seams = self.seams
        runs: list[tuple[int, int]] = []  # first and last step of each run
        start = 0
        for place, seam in enumerate(seams):
            if not seam.steady:
                runs.append((start, place))
                start = place + 1
        runs.append((start, len(self.steps) - 1))
        found: list[FilterProposal] = []
        here: list[tuple[int, int]] = []
        for run in runs:
            here.append(run)
            if run[1] == len(seams) or not seams[run[1]].asserted:  # the stretch ends
                if len(here) > 1:
                    found += self._stretch(here, seams, stretch)
                    stretch += 1
                here = []
        for place, seam in enumerate(seams):
            if seam.asked and (used or seam.alone):
                found.append(self._question(place, seams, stretch))
                stretch += 1
        return found

    def _question(self, place: int, seams: Sequence[Seam], number: int) -> FilterProposal:
        """The run that begins here, asked about: did filters change, or the light?"""
        seam, left, right = seams[place], self.steps[place], self.steps[place + 1]
        end = next((at for at in range(place + 1, len(seams)) if not seams[at].steady), len(self.steps) - 1)
        before, after = (self.letters.stacks[index] for index in seam.change)
        off, on = moved(before, after)
        lost = left.ev100 - right.ev100
        ways = (after, self.letters.stacks[seam.unchanged])
        asked = FilterProposal(
            keys=tuple(key for step in self.steps[place + 1 : end + 1] for key in step.keys),
            jump_stops=round(lost, 2),
            explanations=tuple(Explanation(one.names, round(one.middle, 2), 0.0) for one in ways),
            margin_nats=round(seam.margin, 2),
            stretch=number,
            reason="",
            asked=True,
            put_on=tuple(self.letters.filters[index].name for index in sorted(on)),
            taken_off=tuple(self.letters.filters[index].name for index in sorted(off)),
        )
        told = [asked.change, f"the light has {asked.light}"]
        return replace(asked, reason=jump_reason(lost, minutes_between(left, right), first=False, ways=told))

    def _seam(self, place: int) -> Seam:
        """Compare the best way that changes filters here, polarisers aside, with the best that does not."""
        before, kept, plain = self.ways.up_to[place], self.kept[place], self.plain
        ahead = [a + b for a, b in zip(self.ways.after[place + 1], self.own[place + 1], strict=True)]
        stayed = [a + b + c for a, b, c in zip(before, kept, ahead, strict=True)]
        same = min(stayed)
        # ways that cost more than these decide nothing (a nat more, against rounding)
        change, pair = same + STEADY_NATS + 1.0, (0, 0)
        large = same - LEAST_ASK_NATS  # the best way with a change worth a question
        polariser = same  # the best way in which nothing but a polariser went on or off
        least_ahead = min(ahead)
        for source, (cost, row) in enumerate(zip(before, self.between[place], strict=True)):
            if cost + min(row) + least_ahead >= max(change, polariser, large):
                continue
            mine, level = plain[source], self.letters.stacks[source].middle
            for target, (step, rest) in enumerate(zip(row, ahead, strict=True)):
                total = cost + step + rest
                if total >= max(change, polariser, large):
                    continue
                if mine != plain[target] or (source == target and step < kept[source]):
                    if total < change:
                        change, pair = total, (source, target)
                    if total < large and abs(self.letters.stacks[target].middle - level) >= ASK_STOPS:
                        large = total
                elif source != target:
                    polariser = min(polariser, total)
        jump = abs(self.steps[place + 1].ev100 - self.steps[place].ev100)
        unexplained = min(kept) >= UNEXPLAINED_NATS
        steady = change - min(same, polariser) >= STEADY_NATS and not unexplained
        margin = min(same, polariser) - change
        asserted = margin >= ASSERT_NATS and jump >= JUMP_STOPS
        asserted = asserted and self._fits(place, *pair)
        doubt = min(same, polariser) - large
        framing = framing_between(self.steps[place].last, self.steps[place + 1].first)
        asked = not asserted and doubt >= ASK_NATS[framing]
        likely = jump >= JUMP_STOPS and framing is Framing.SAME and doubt >= 0.0
        alone = jump >= JUMP_STOPS or not self._by_day(place)
        return Seam(asserted, steady, margin, asked, alone, asserted or likely, pair, stayed.index(same))

    def _by_day(self, place: int) -> bool:
        """Whether the sun is known to stand high on both sides, so that only clouds change the light."""
        heights = (self.steps[place].last.sun_height_deg, self.steps[place + 1].first.sun_height_deg)
        return all(height is not None and height >= DAY_DEG for height in heights)

    def _fits(self, place: int, source: int, target: int) -> bool:
        """Whether the change leaves little to light and noise."""
        return self.moves.left_to_light(self.between[place], source, target) <= FIT_NATS

    def _changed(self, place: int) -> Sequence[Row]:
        """Costs across an asserted change: staying as it was is out of the question."""
        return [
            [*row[:i], math.inf if row[i] >= kept else row[i], *row[i + 1 :]]
            for i, (row, kept) in enumerate(zip(self.between[place], self.kept[place], strict=True))
        ]

    def _stretch(
        self, runs: Sequence[tuple[int, int]], seams: Sequence[Seam], number: int
    ) -> list[FilterProposal]:
        """Proposals for runs joined by asserted changes; each run is one stack, which its steps agree on."""
        own: list[Row] = []
        for start, end in runs:
            # what came before the stretch weighs on its first step, what comes after on its last
            costs = [self.own[start] if own else self.ways.up_to[start]]
            costs += [*self.own[start + 1 : end + 1], *self.kept[start:end]]
            own.append([math.fsum(column) for column in zip(*costs, strict=True)])
        first, last = runs[0][0], runs[-1][1]
        own[-1] = list(map(add, own[-1], self.ways.after[last]))
        between = [self._changed(end) for _, end in runs[:-1]]
        anchored = any(anchor is not None for anchor in self.anchors[first : last + 1])
        stretch = Stretch(self.letters, own, between, anchored=anchored)
        if math.isinf(stretch.ways.best):  # statements that contradict each other
            return []
        found = []
        for place, (start, end) in enumerate(runs):
            seam = end if place == 0 else start - 1
            left, right = self.steps[seam], self.steps[seam + 1]
            lost = left.ev100 - right.ev100 if place else right.ev100 - left.ev100
            explanations = stretch.explanations(place, lost)
            keys = tuple(key for step in self.steps[start : end + 1] for key in step.keys)
            names = [" + ".join(one.filters) or "no filter" for one in explanations]
            reason = jump_reason(lost, minutes_between(left, right), first=place == 0, ways=names)
            margin = round(min(seams[seam].margin, MARGIN_MAX_NATS), 2)
            found.append(FilterProposal(keys, round(lost, 2), explanations, margin, number, reason))
        return found
