"""How many frames were tried, approximated from the numbers in file names.

One surprising decision: numbers that jump too far for the time between two frames were reset or come from
another card; such a gap counts as one frame, because a guess must not invent hundreds of tries.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from logbook.craft.inference.frames import Frame, in_order

NUMBER_MAX = 9999  # after 9999 comes 0001; DCF (CIPA DC-009) numbers files 0001..9999
FRAMES_PER_S = 5.0  # over any stretch of a day; faster means a new card (common practice, no source)
FRAMES_AT_ONCE = 30  # a burst between two readings of a clock that ticks in seconds


@dataclass(frozen=True, slots=True)
class BodyTries:
    """Frames one body made from the first to the last keeper."""

    body: str | None
    count: int
    resets: int


@dataclass(frozen=True, slots=True)
class TriesCounted:
    """Frames tried; `approximate` is True unless a person counted; None is unknown."""

    count: int | None
    approximate: bool
    bodies: tuple[BodyTries, ...]
    reason: str


def tries_from_numbers(frames: Iterable[Frame]) -> TriesCounted:
    """Return how many frames lie between the first and last number, per body; unknown without any number.

    Frames before the first and after the last keeper are not seen, so the truth may be higher; deleted ones
    are counted, as they should be.
    """
    bodies: dict[str | None, list[Frame]] = {}
    for frame in in_order(list(frames)):
        if frame.file_number is not None and 0 <= frame.file_number <= NUMBER_MAX:
            bodies.setdefault(frame.body, []).append(frame)
    counted = tuple(_body(body, numbered) for body, numbered in bodies.items())
    if not counted:
        return TriesCounted(None, True, (), "unknown: no file numbers")
    parts = []
    for (_, numbered), tries in zip(bodies.items(), counted, strict=True):
        first, last = (f"{one.file_number:04d}" for one in (numbered[0], numbered[-1]))
        part = f"{first} to {last}" if len(numbered) > 1 else f"{first} alone"
        if tries.resets:
            times = {1: "once", 2: "twice"}.get(tries.resets, f"{tries.resets} times")
            part += f", numbering restarted {times}"
        parts.append(part)
    count = sum(tries.count for tries in counted)
    return TriesCounted(count, True, counted, f"about {count}, from file numbers {'; '.join(parts)}")


def _body(body: str | None, frames: list[Frame]) -> BodyTries:
    count, resets, latest = 1, 0, frames[0]
    for frame in frames[1:]:
        here, there = latest.file_number or 0, frame.file_number or 0
        step = (there - here) % NUMBER_MAX
        if step <= FRAMES_AT_ONCE + FRAMES_PER_S * (frame.at_s - latest.at_s):
            count += step
        elif (here - there) % NUMBER_MAX <= FRAMES_AT_ONCE:
            continue  # written in another order than taken: its number lies within what was counted
        else:
            count += 1
            resets += 1
        latest = frame
    return BodyTries(body, count, resets)
