"""How many lines that people write become the right entry: `python -m tests.trials.natural_lines`.

The lines stand in natural_lines.txt, each with what it should become. *Right* is that; *to sort out* is a
line that should have become an entry and was kept word for word instead; *prose*
one that went into the journal; *wrong* is an entry that nobody wrote.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from logbook.domain.written.entry import (
    ClockEntry,
    ConditionEntry,
    Entry,
    KeepersEntry,
    KitEntry,
    LessonEntry,
    ShotEntry,
    SupportEntry,
    TriesEntry,
)
from logbook.domain.written.filters import stack_words
from logbook.intake.dayfile import parse_day_file

LINES = Path(__file__).with_name("natural_lines.txt")
RIGHT, SORT_OUT, PROSE, WRONG = "right", "to sort out", "prose", "wrong"


@dataclass(frozen=True, slots=True)
class Line:
    """One line, the entries it should become (or `prose`, or `sort out`), and in which part it stands."""

    part: str
    text: str
    wanted: tuple[str, ...]


def lines() -> Iterator[Line]:
    """Yield the lines of the file in their order."""
    part = ""
    for line in LINES.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            part = line.strip("[]")
        elif line.startswith("- "):
            text, _, wanted = line.rpartition(" => ")
            yield Line(part, text, tuple(one.strip() for one in wanted.split(" | ")))


def judged(line: Line) -> str:
    """Return what became of a line: right, to sort out, prose or wrong."""
    day = parse_day_file(f"---\ndate: 2031-10-14\n---\n## Quarry ledge\n{line.text}\n")
    (section,) = day.sections
    if day.loose:
        return RIGHT if line.wanted == ("sort out",) else SORT_OUT
    if section.journal:
        return RIGHT if line.wanted == ("prose",) else PROSE
    if len(section.entries) != len(line.wanted):
        return WRONG
    pairs = zip(section.entries, line.wanted, strict=True)
    return RIGHT if all(is_entry(entry, wanted) for entry, wanted in pairs) else WRONG


def is_entry(entry: Entry, wanted: str) -> bool:
    """Return whether an entry is the one that was written: its kind and value, and what it says besides."""
    parts = re.split(r"\s(?=(?:at|from|note|by|filters|support|reasons)=)", wanted)
    fields = dict(part.split("=", 1) for part in parts[1:])
    said = _fields(entry)
    note = fields.pop("note", None)
    return (
        parts[0] == said.pop("entry")
        and all(said.pop(name, "") == value for name, value in fields.items())
        and (note is None or note in said.pop("note", ""))
        and not any(said.get(name) for name in ("at", "from", "by", "filters", "support", "reasons"))
    )


def _fields(entry: Entry) -> dict[str, str]:
    match entry:
        case ConditionEntry():
            return {
                "entry": f"{entry.kind} {entry.level or '-'}",
                "at": f"{entry.at:%H:%M}" if entry.at else "",
                "from": entry.direction or "",
                "by": entry.source or "",
                "note": entry.note,
            }
        case KeepersEntry():
            filters = stack_words(entry.filters).replace(" + ", "+") if entry.filters_said else ""
            return {
                "entry": f"keepers {entry.first}-{entry.last}",
                "filters": filters,
                "support": str(entry.support or ""),
            }
        case ShotEntry():
            return {
                "entry": f"shot {entry.shot} {entry.outcome}",
                "reasons": ",".join(entry.reasons),
                "by": entry.replaced_by or "",
                "note": entry.note,
            }
        case LessonEntry():
            return {"entry": f"lesson {entry.verb}", "note": entry.lesson}
        case KitEntry():
            used = "used" if entry.used else "unused"
            return {"entry": f"kit {entry.item} {used}", "note": entry.why or ""}
        case TriesEntry():
            return {"entry": f"tries {entry.count}"}
        case SupportEntry():
            return {"entry": f"support {entry.support}"}
        case ClockEntry():
            return {"entry": f"clock {entry.body} {entry.add_s}"}


def counted() -> dict[str, Counter[str]]:
    """Return how many lines of each part became what."""
    result: dict[str, Counter[str]] = {}
    for line in lines():
        result.setdefault(line.part, Counter())[judged(line)] += 1
    return result


def main() -> None:
    """Print the figures, and every line that is not right."""
    for part, counts in counted().items():
        parts = ", ".join(f"{counts[what]} {what}" for what in (RIGHT, SORT_OUT, PROSE, WRONG))
        print(f"part {part}: {counts.total()} lines: {parts}")  # noqa: T201 - this is what it is for
    for line in lines():
        if (what := judged(line)) != RIGHT:
            print(f"  {what}: {line.text}  (wanted: {' | '.join(line.wanted)})")  # noqa: T201


if __name__ == "__main__":
    main()
