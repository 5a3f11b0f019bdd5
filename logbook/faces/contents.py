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
class Listed:
    """A command: when it is wanted, the module of `faces.commands` that has it, and what it does."""

    moment: str
    module: str
    says: str


CONTENTS: Mapping[str, Listed] = {
    "demo": Listed(TO_BEGIN, "demo", "Build the sample book and its three reports."),
    "open": Listed(TO_BEGIN, "open_book", "Work in the book in your browser, with the pictures in sight."),
    "help": Listed(TO_BEGIN, "help_topic", "Look something up: commands, day files, names and more."),
    "trip": Listed(BEFORE, "trip", "Trips: journeys with a purpose and an audience."),
    "site": Listed(BEFORE, "site", "Sites: places you may come back to."),
    "viewpoint": Listed(BEFORE, "viewpoint", "Viewpoints: spots at a site to stand and shoot from."),
    "shot": Listed(BEFORE, "shot", "Shots: planned pictures, and what became of them."),
    "plan": Listed(BEFORE, "plan", "Plans: many shots at once, from a text or a sheet."),
    "kit": Listed(BEFORE, "kit", "Kit: what is owned, considered, taken, left (why) and used."),
    "light": Listed(BEFORE, "light", "Sun, moon, twilights and the light on a view on a day."),
    "expose": Listed(BEFORE, "expose", "Exposure, filters, steadiness and depth, with the working."),
    "before": Listed(BEFORE, "before", "What to know before going back to a place."),
    "sheet": Listed(BEFORE, "sheet", "Make a field sheet for one day, to print."),
    "keeper": Listed(TONIGHT, "keeper", "Keepers: selected pictures and what the camera cannot know."),
    "track": Listed(TONIGHT, "track", "Tracks: GPX files that show where keepers were taken."),
    "night": Listed(TONIGHT, "night", "Write down a day, question by question."),
    "day": Listed(TONIGHT, "day", "Days: draft and read a day file, show what a day holds."),
    "visit": Listed(TONIGHT, "visit", "Visits: time spent at a viewpoint, scouting or shooting."),
    "condition": Listed(
        TONIGHT, "condition", "Conditions: crowd, water, closures and more, by place and time."
    ),
    "lesson": Listed(TONIGHT, "lesson", "Lessons: what to keep doing, change or avoid next time."),
    "report": Listed(AFTER, "report", "Build the website of a trip for one audience."),
    "export": Listed(AFTER, "export", "Write a trip or the book in an open format."),
    "find": Listed(LATER, "find", "Search everything written down or read from pictures."),
    "alike": Listed(LATER, "alike", "Find sites like one, and what worked and failed there."),
    "worked": Listed(LATER, "worked", "What worked, out of how many, and how sure that is."),
    "check": Listed(CARE, "check", "Check the book, its pictures and its index."),
    "undo": Listed(CARE, "undo", "Take back the last command that changed the book."),
    "backup": Listed(CARE, "backup", "Copy the book into its folder of backups."),
    "restore": Listed(CARE, "restore", "Put a backup in place of the book."),
    "merge": Listed(CARE, "merge", "Merge another copy of the book into this one."),
    "import": Listed(CARE, "import_book", "Take an export in JSON into the book."),
}
