"""Writing a day file that reads back as the same sections.

One surprising decision: an entry read from a file keeps its writer's words as long as they still say the
same. Loose lines are not written: they wait in the list to sort out.
"""

from logbook.domain.written.lines import written_entries
from logbook.intake.dayfile.headings import written_heading
from logbook.intake.dayfile.model import DayFile, Section


def write_day_file(day: DayFile) -> str:
    """The day as Markdown with front matter; journal first, then entries, section by section."""
    front = ["---"]
    if day.trip:
        front.append(f"trip: {day.trip}")
    front.append(f"date: {day.on_date.isoformat()}")
    if day.zone:
        front.append(f"zone: {day.zone}")
    blocks = ["\n".join([*front, "---"])]
    for at, section in enumerate(day.sections):
        blocks.extend(_blocks(section, is_first=at == 0))
    return "\n\n".join(blocks) + "\n"


def _blocks(section: Section, is_first: bool) -> list[str]:
    is_untitled = (section.viewpoint, section.arrived, section.departed, section.purpose) == (None,) * 4
    blocks = [] if is_first and is_untitled else [written_heading(section)]
    if section.journal:
        blocks.append(section.journal)
    if section.entries:
        blocks.append("\n".join(written_entries(section.entries)))
    return blocks
