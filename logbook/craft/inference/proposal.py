"""What is proposed about filters, asserted or asked, and its words.

One surprising decision: a question is a proposal of its own, beside what is asserted of the same frames. It
says what may have changed where its frames begin, and claims nothing about them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from logbook.craft.inference.explain import Explanation
from logbook.craft.marks import counted_stops, number_text


@dataclass(frozen=True, slots=True)
class FilterProposal:
    """One run of frames behind the same filters, as far as the exposures tell.

    `jump_stops` is the light lost since the frame before the run (negative: gained); for the first run of a
    stretch, against the frame after it. `margin_nats` is how much worse "nothing changed" is. Explanations
    may leave out filters worn throughout the runs of one `stretch`.

    Where the evidence cannot decide it is `asked`: did `put_on` go on and `taken_off` come off where the run
    begins (its first explanation), or did only the light change (its second)?
    """

    keys: tuple[str, ...]
    jump_stops: float
    explanations: tuple[Explanation, ...]
    margin_nats: float
    stretch: int
    reason: str
    asked: bool = False
    put_on: tuple[str, ...] = ()
    taken_off: tuple[str, ...] = ()

    @property
    def change(self) -> str:
        """What may have been done, of a question: `nd8 on`, `nd64 off`, `nd8 on instead of nd64`."""
        on, off = " + ".join(self.put_on), " + ".join(self.taken_off)
        if on and off:
            return f"{on} on instead of {off}"
        return f"{on} on" if on else f"{off} off"

    @property
    def light(self) -> str:
        """What the light must have done if no filter changed: `fallen` or `risen`."""
        return "fallen" if self.jump_stops > 0 else "risen"

    def question(self, first: str) -> str:
        """Return the question, with the name of the run's first frame."""
        return f"Was {self.change} from {first}, or has the light {self.light}?"


@dataclass(frozen=True, slots=True)
class FilterInference:
    """What the exposures of a day tell about filters, and what they cannot tell."""

    proposals: tuple[FilterProposal, ...]
    notes: tuple[str, ...]

    @property
    def asserted(self) -> tuple[FilterProposal, ...]:
        """What is proposed."""
        return tuple(one for one in self.proposals if not one.asked)

    @property
    def asked(self) -> tuple[FilterProposal, ...]:
        """What a person is asked."""
        return tuple(one for one in self.proposals if one.asked)


def jump_reason(lost: float, minutes: float, *, first: bool, ways: Sequence[str]) -> str:
    """Return why something is proposed: the jump, and what would explain it."""
    where = "after" if first else "before"
    more = "less" if lost > 0 else "more"
    gap = f"{number_text(minutes, 0)} min" if minutes >= 1 else "moments"
    stops = counted_stops(round(abs(lost), 1))
    return f"{stops} {more} light than the frame {where}, {gap} apart: {', or '.join(ways)}"
