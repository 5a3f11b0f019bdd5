"""A day file to read, and what single lines of one become."""

from logbook.domain.words import (
    ConditionKind,
)
from logbook.domain.written.entry import (
    Entry,
)
from logbook.intake.dayfile import Section, UnreadLine, parse_day_file

FRONT = "---\ntrip: high-valley-autumn\ndate: 2031-10-14\n---\n"
CROWD, WATER, WIND, RULE = ConditionKind.CROWD, ConditionKind.WATER, ConditionKind.WIND, ConditionKind.RULE

EVENING = """---
trip: high-valley-autumn
date: 2031-10-14
---
Ice on the tent at six. North rim road shut at the barrier.

## Quarry ledge 17:20-18:45 shooting
- crowd: dozens at 17:20, none at 18:30
- wind: 4 from west
- closure: north rim road, rockfall, said the warden
- tries: 14
- shot bridge-flow: partly, light
- keepers 0412-0419: nd8 + nd8, braced
- lesson change [students]: come before the coaches
"""


def entries(*lines: str) -> list[Entry]:
    """The entries of a section holding these lines, all of which must be understood."""
    day = parse_day_file(FRONT + "## Quarry ledge\n" + "\n".join(lines))
    assert day.loose == ()
    return list(day.sections[0].entries)


def loose(line: str) -> UnreadLine:
    """The one loose line that this line becomes, word for word."""
    day = parse_day_file(FRONT + "## Quarry ledge\n" + line)
    assert day.sections == (Section("Quarry ledge"),)
    assert [(entry.line, entry.text) for entry in day.loose] == [(6, line)]
    return day.loose[0]
