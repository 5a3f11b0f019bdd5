"""How sharp a picture was measured to be, and what is proposed of it; nobody stated any of it.

One surprising decision: it belongs to a picture's content, not to a keeper. The same file taken in again,
moved, or in two trips, is as sharp as it was, and a changed one was never measured.
"""

from dataclasses import dataclass

from logbook.domain.keeper import Keeper
from logbook.domain.words import Provenance, Sharpness

METHOD = 2  # of measuring (`craft.edges`): change it when the same picture would be measured otherwise
LEAST_PX = 144  # shorter side of a picture that can be measured
NO_EDGES = "too small, or with too few strong edges"


@dataclass(frozen=True, slots=True)
class Acutance:
    """What was measured of one picture; widths are px of a straight ramp as steep as the edges.

    `edge_px` is None where nothing could be measured, for the reason `why`. `frames` of one framing were
    compared, with `sharpest` (the hash of its file) as the sharpest; `lost_px` is None where a frame could
    not be compared. `along_deg` is the direction of a blur that goes one way, from the rows downwards.
    """

    edge_px: float | None = None
    why: str | None = None
    frames: int = 1
    sharpest: str | None = None
    lost_px: float | None = None
    along_deg: float | None = None
    proposed: Sharpness | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """One keeper with what was measured of it; `sharpest` is the file that it was compared with."""

    keeper: Keeper
    acutance: Acutance | None
    sharpest: str | None = None

    @property
    def said(self) -> Sharpness | None:
        """What a person said of it."""
        stated = self.keeper.provenance_of("sharpness") is Provenance.STATED
        return self.keeper.sharpness if stated else None

    @property
    def asks(self) -> Sharpness | None:
        """What is proposed and nobody has judged yet."""
        return self.acutance.proposed if self.acutance and self.said is None else None
