"""The program's table of contents: its commands by the moment at which they are wanted.

One surprising decision: what a list says of a command stands here and not with the command, so that the list
is shown without loading any of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass

TO_BEGIN = "To begin"
BEFORE = "Before"
TONIGHT = "Tonight"
AFTER = "After"
LATER = "Years later"
CARE = "Care"


@dataclass(frozen=True, slots=True)
class ListedCommand:
    """A command: when it is wanted, the module of `faces.commands` that has it, and what it does."""

    moment: str
    module: str
    says: str


CONTENTS: Mapping[str, ListedCommand] = {
    "demo": ListedCommand(TO_BEGIN, "demo", "Build the sample book and its three reports."),
    "open": ListedCommand(
        TO_BEGIN, "open_book", "Work on the book in your browser, with the pictures in view."
    ),
    "help": ListedCommand(TO_BEGIN, "help_topic", "Look something up: commands, day files, names and more."),
    "trip": ListedCommand(BEFORE, "trip", "Trips: journeys with a purpose and an audience."),
    "site": ListedCommand(BEFORE, "site", "Sites: places you may come back to."),
    "viewpoint": ListedCommand(BEFORE, "viewpoint", "Viewpoints: spots at a site to stand and shoot from."),
    "shot": ListedCommand(BEFORE, "shot", "Shots: planned pictures, and what became of them."),
    "plan": ListedCommand(BEFORE, "plan", "Plans: many shots at once, from a text or a sheet."),
    "kit": ListedCommand(BEFORE, "kit", "Kit: owned, considered, taken, left behind (why) and used."),
    "light": ListedCommand(BEFORE, "light", "Sun, moon, twilights and the light on a view for one day."),
    "expose": ListedCommand(BEFORE, "expose", "Exposure, filters, steadiness and depth, with the working."),
    "before": ListedCommand(BEFORE, "before", "What to know before going back to a place."),
    "sheet": ListedCommand(BEFORE, "sheet", "Make a field sheet for one day, to print."),
    "keeper": ListedCommand(TONIGHT, "keeper", "Keepers: selected pictures and what the camera cannot know."),
    "track": ListedCommand(TONIGHT, "track", "Tracks: GPX files that show where keepers were taken."),
    "night": ListedCommand(TONIGHT, "night", "Write up a day, one screen for each stay."),
    "day": ListedCommand(TONIGHT, "day", "Days: draft and read day files, show what a day holds."),
    "visit": ListedCommand(TONIGHT, "visit", "Visits: time spent at a viewpoint, scouting or shooting."),
    "condition": ListedCommand(
        TONIGHT, "condition", "Conditions: crowd, water, closures and more, by place and time."
    ),
    "lesson": ListedCommand(TONIGHT, "lesson", "Lessons: what to keep doing, change or avoid next time."),
    "report": ListedCommand(AFTER, "report", "Build the website of a trip for one audience."),
    "export": ListedCommand(AFTER, "export", "Write a trip or the book in an open format."),
    "find": ListedCommand(LATER, "find", "Search everything written down or read from pictures."),
    "alike": ListedCommand(LATER, "alike", "Find sites like a given one, and what worked and failed there."),
    "worked": ListedCommand(LATER, "worked", "What worked, out of how many, and how sure that is."),
    "check": ListedCommand(CARE, "check", "Check the book, its pictures and its index."),
    "undo": ListedCommand(CARE, "undo", "Undo the last command that changed the book."),
    "backup": ListedCommand(CARE, "backup", "Copy the book into its backup folder."),
    "restore": ListedCommand(CARE, "restore", "Restore the book from a backup."),
    "merge": ListedCommand(CARE, "merge", "Merge another copy of the book into this one."),
    "import": ListedCommand(CARE, "import_book", "Import a JSON export into the book."),
}
