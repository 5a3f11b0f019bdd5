"""How many lines of plans that people type become the right shot: `python -m tests.trials.natural_plans`.

The lines stand in natural_plans.txt, each with what it should become. *Right* is that; *to sort out* is one
that was kept word for word instead; *wrong* is a shot that nobody planned.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

from logbook.domain.written.filters import stack_words
from logbook.domain.written.plan_tokens import Around
from logbook.intake.planfile.markdown import plan_in

LINES = Path(__file__).with_name("natural_plans.txt")
TRIP = Around(date(2031, 10, 10), date(2031, 10, 18))
RIGHT, SORT_OUT, WRONG = "right", "to sort out", "wrong"
FIELDS = {
    "title": "title",
    "date": "on_date",
    "from": "window_from",
    "to": "window_to",
    "mm": "focal_mm",
    "f": "f_number",
    "s": "exposure_s",
    "iso": "iso",
    "filters": "filters",
    "support": "support",
    "priority": "priority",
    "technique": "technique",
    "note": "notes",
}


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line, what it should become, and in which part it stands; `may_wait` is right to sort out, too."""

    part: str
    text: str
    wanted: dict[str, str]
    may_wait: bool


def plan_lines() -> Iterator[PlanLine]:
    """Yield the lines of the file in their order."""
    part = ""
    for line in LINES.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            part = line.strip("[]")
        elif line.startswith("- "):
            text, _, wanted = line.rpartition(" => ")
            told = [one.strip() for one in wanted.split(" | ")]
            pairs = (one.partition("=") for one in told if "=" in one)
            yield PlanLine(part, text, {name: value for name, _, value in pairs}, "sort out" in told)


def judged_plan(line: PlanLine) -> str:
    """Return what became of a line: right, to sort out or wrong."""
    plan = plan_in(f"{line.text}\n", TRIP)
    if plan.loose or len(plan.shots) != 1:
        return RIGHT if line.may_wait else SORT_OUT
    (shot,) = plan.shots
    said, wanted = dict(shot.said), dict(line.wanted)
    if list(shot.otherwise) != [wanted[name] for name in ("else",) if name in wanted]:
        return WRONG
    wanted.pop("else", None)
    if set(said) != {FIELDS[name] for name in wanted}:
        return WRONG
    return RIGHT if all(_is(name, said[FIELDS[name]], text) for name, text in wanted.items()) else WRONG


def _is(name: str, value: Any, text: str) -> bool:
    match name:
        case "note":
            return text in value
        case "from" | "to":
            return f"{value:%H:%M}" == text
        case "mm" | "f":
            return bool(value == float(text))
        case "s":
            return bool(value == Fraction(text))
        case "filters":
            return stack_words(value) == text
    return str(value) == text


def counted_plans() -> dict[str, Counter[str]]:
    """Return how many lines of each part became what."""
    counts: dict[str, Counter[str]] = {}
    for line in plan_lines():
        counts.setdefault(line.part, Counter())[judged_plan(line)] += 1
    return counts


if __name__ == "__main__":
    for line in plan_lines():
        if (found := judged_plan(line)) != RIGHT:
            print(f"{found}: {line.text}")  # noqa: T201
    for part, counts in counted_plans().items():
        print(f"part {part}: {counts.total()} lines, {dict(counts)}")  # noqa: T201
