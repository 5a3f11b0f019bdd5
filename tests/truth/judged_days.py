"""How proposals are measured against days whose filters are known.

Measures
- A *true change* is a pair of neighbouring acts of exposing (a bracket or burst is one) of one body at one
  viewpoint between which the filters that darken the whole scene differ.
- It is *visible* when these filters differ by at least 2.5 stops, the camera recorded the same framing, and
  not more than 10 minutes passed. That is a property of the day, not of any answer.
- It is *found* when one proposal ends exactly before it, the next begins exactly after it, and the true stack
  on either side is among the explanations of its proposal; what was worn throughout the stretch may be named
  or not.
- It is *asked* when it is not found and a question begins exactly after it.
- *Recall* is found, or found and asked, of visible; by strength (below and from 3.5 stops: nd16 and stronger)
  and by manner (both frames metered by the camera, or one of them set by hand).
- A proposal is *wrong* when the true stack of any of its frames is not among its explanations (in the same
  sense), or when the border it asserts is no true change. A day is wrong when any of its proposals is.
  Polarisers count in full unless a measure says otherwise.
"""

import itertools
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from logbook.craft.filter_types import FilterKind
from logbook.craft.inference.frames import Frame
from logbook.craft.inference.proposal import FilterProposal
from tests.truth.simulated_days import Act, Day

VISIBLE_STOPS, STRONG_STOPS, VISIBLE_MIN = 2.5, 3.5, 10.0


@dataclass(frozen=True, slots=True)
class Recall:
    """Visible changes of one sort: how many there were, were asserted rightly, were asked about."""

    visible: int = 0
    found: int = 0
    asked: int = 0

    def __add__(self, other: "Recall") -> "Recall":
        """Counts add."""
        return Recall(self.visible + other.visible, self.found + other.found, self.asked + other.asked)

    @property
    def share(self) -> float:
        """Found or asked, of those that were visible."""
        return (self.found + self.asked) / max(1, self.visible)

    @property
    def text(self) -> str:
        """Found, found or asked, and how many there were."""
        both = self.found + self.asked
        return f"{_share(self.found, self.visible)} / {_share(both, self.visible)} of {self.visible}"


@dataclass(frozen=True, slots=True)
class Score:
    """Counts over days; see the module's text for what each means."""

    days: int = 0
    wrong_days: int = 0
    wrong_nd_days: int = 0
    asserting_days: int = 0
    asking_days: int = 0
    changes: int = 0
    found: int = 0
    proposals: int = 0
    wrong_proposals: int = 0
    questions: int = 0
    useless_questions: int = 0  # where nothing changed
    explanations: int = 0
    first_right: int = 0
    weak_metered: Recall = Recall()
    weak_by_hand: Recall = Recall()
    strong_metered: Recall = Recall()
    strong_by_hand: Recall = Recall()

    def __add__(self, other: "Score") -> "Score":
        """Counts add."""
        return Score(*(getattr(self, name) + getattr(other, name) for name in self.__slots__))

    @property
    def weak(self) -> Recall:
        """Changes of 2.5 to 3.5 stops."""
        return self.weak_metered + self.weak_by_hand

    @property
    def strong(self) -> Recall:
        """Changes of 3.5 stops and more: nd16 and stronger."""
        return self.strong_metered + self.strong_by_hand

    @property
    def visible(self) -> Recall:
        """All visible changes."""
        return self.weak + self.strong

    @property
    def text(self) -> str:
        """The measures in one line."""
        return (
            f"days {self.days}, changes {self.changes}; found / found or asked: {self.visible.text}; "
            f"2.5 to 3.5 stops metered {self.weak_metered.text}, by hand {self.weak_by_hand.text}; "
            f"stronger metered {self.strong_metered.text}, by hand {self.strong_by_hand.text}; "
            f"wrong days {_share(self.wrong_days, self.days)} "
            f"(polarisers aside {_share(self.wrong_nd_days, self.days)}), "
            f"{self.questions / max(1, self.days):.2f} questions a day, "
            f"{self.questions / max(1, self.changes):.2f} a change, {self.useless_questions} where none was; "
            f"wrong proposals {_share(self.wrong_proposals, self.proposals)} of {self.proposals}, "
            f"{self.explanations / max(1, self.proposals):.1f} explanations each, "
            f"the first one right {_share(self.first_right, self.proposals)}"
        )


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.2f} %" if whole else "none"


def judged(day: Day, answer: Sequence[FilterProposal]) -> Score:
    """Return the measures of one day."""
    proposals = [one for one in answer if not one.asked]
    questions = {one.keys[0] for one in answer if one.asked}
    act_of = {key: act for acts in day.viewpoints for act in acts for key in act.keys}
    by_first = {p.keys[0]: p for p in proposals}
    by_last = {p.keys[-1]: p for p in proposals}
    worn = {
        stretch: _common([_names(act_of[k]) for p in proposals if p.stretch == stretch for k in p.keys])
        for stretch in {p.stretch for p in proposals}
    }
    wrong = {
        id(p): any(not _among(_names(act_of[key]), worn[p.stretch], p) for key in p.keys) for p in proposals
    }
    wrong_nd = {
        id(p): any(not _among(_names(act_of[key]), worn[p.stretch], p, aside="pol") for key in p.keys)
        for p in proposals
    }
    frames = {frame.key: frame for frame in day.frames}
    changes = Counter[str]()
    recalls: dict[str, Recall] = {}
    true_borders = set()
    for acts in day.viewpoints:
        for before, after in itertools.pairwise(acts):
            if sorted(_names(before)) == sorted(_names(after)):
                continue
            true_borders.add(after.keys[0])
            left, right = by_last.get(before.keys[-1]), by_first.get(after.keys[0])
            found = (
                left is not None
                and right is not None
                and left.stretch == right.stretch
                and _among(_names(before), worn[left.stretch], left)
                and _among(_names(after), worn[right.stretch], right)
            )
            changes["changes"] += 1
            changes["found"] += found
            first, second = frames[before.keys[-1]], frames[after.keys[0]]
            if _visible(first, second, before, after):
                strength = "strong" if _stops_between(before, after) >= STRONG_STOPS else "weak"
                manner = "metered" if first.metered and second.metered else "by_hand"
                asked = after.keys[0] in questions and not found
                name = f"{strength}_{manner}"
                recalls[name] = recalls.get(name, Recall()) + Recall(1, int(found), int(asked))
    for earlier, later in itertools.pairwise(proposals):
        if earlier.stretch == later.stretch and later.keys[0] not in true_borders:
            wrong[id(later)] = wrong_nd[id(later)] = True
    return Score(
        days=1,
        wrong_days=int(any(wrong.values())),
        wrong_nd_days=int(any(wrong_nd.values())),
        asserting_days=int(bool(proposals)),
        asking_days=int(bool(questions)),
        changes=changes["changes"],
        found=changes["found"],
        proposals=len(proposals),
        wrong_proposals=sum(wrong.values()),
        questions=len(questions),
        useless_questions=len(questions - true_borders),
        explanations=sum(len(p.explanations) for p in proposals),
        first_right=sum(
            all(
                _among(_names(act_of[key]), worn[p.stretch], replace(p, explanations=p.explanations[:1]))
                for key in p.keys
            )
            for p in proposals
        ),
        **recalls,
    )


def _names(act: Act) -> tuple[str, ...]:
    """Names of the filters that darken the whole scene."""
    unseen = (FilterKind.GRADUATED, FilterKind.CLEAR)
    return tuple(item.name for item in act.stack if item.kind not in unseen)


def _common(stacks: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    common = Counter(stacks[0])
    for stack in stacks[1:]:
        common &= Counter(stack)
    return tuple(common.elements())


def _among(names: tuple[str, ...], worn: tuple[str, ...], proposal: FilterProposal, aside: str = "") -> bool:
    """Whether an explanation names the true stack, with or without what was worn throughout the stretch."""
    true = Counter(name for name in names if name != aside)
    least = true - Counter(name for name in worn if name != aside)
    named = [Counter(name for name in one.filters if name != aside) for one in proposal.explanations]
    return any(least <= one <= true for one in named)


def _visible(before_frame: Frame, after_frame: Frame, before: Act, after: Act) -> bool:
    same = all(
        getattr(before_frame, name) == getattr(after_frame, name)
        for name in ("focal_mm", "portrait", "direction_deg")
    )
    near = after_frame.at_s - before_frame.end_s <= VISIBLE_MIN * 60
    return _stops_between(before, after) >= VISIBLE_STOPS and same and near


def _stops_between(before: Act, after: Act) -> float:
    stops = [math.fsum(item.typical_stops or 0.0 for item in act.stack) for act in (before, after)]
    return abs(stops[0] - stops[1])
