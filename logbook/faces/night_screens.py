"""The screens of an evening as lines of text: what is proposed or said, where it came from, and why.

One surprising decision: pictures that share a value share its line, and what nobody has said anything of is
named in one line at the end, so that a stay fits a small terminal.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import shorten, wrap

from logbook.domain.words import Provenance
from logbook.services.night.cards import EveningItem
from logbook.services.night.frame_questions import OF_FRAMES
from logbook.services.night.frames_told import counted_frames, label_of
from logbook.services.night.planned import PlannedGroup
from logbook.services.night.questions import Asks
from logbook.services.night.screens import CONFIRMED, Screen, ScreenOf
from logbook.services.night.stay_lines import SUCH_AS

SHOWN_OF_CLOCK = 4  # groups of pictures by which a clock is known
LEAST_REASON = 10  # columns; a reason that has less is left out
WIDTH = 78  # columns of a screen; two less than the narrowest usual terminal has
ROOM = 18  # lines of what a screen shows before it says that there is more
MARGIN, NAME_WIDTH, FRAMES_WIDTH, VALUE_WIDTH = 3, 9, 21, 12  # columns
NAMES = {
    Asks.VIEWPOINT: "place",
    Asks.TIMES: "times",
    Asks.CROWD: "crowd",
    Asks.CONDITIONS: "seen",
    Asks.SUPPORT: "support",
    Asks.TRIES: "tries",
    Asks.IN_THE_WAY: "in the way",
    Asks.LEARNED: "learned",
    Asks.FILTERS: "filters",
    Asks.CHANGED: "changed",
    Asks.SHOT: "for shot",
    Asks.SHARPNESS: "sharp",
    Asks.KEEP: "keep",
    Asks.CHANGE: "change",
    Asks.JOURNAL: "journal",
    Asks.SHOWN: "shown",
    Asks.CHANGES: "noted",
    Asks.STAY: "was at",
}
SAID_AS = {Asks.CONDITIONS: "wind, water, weather"}  # how a part is named where nothing is said of it


@dataclass(frozen=True, slots=True)
class ShownRow:
    """One line of a screen: whose it is, what stands there, and where that came from and why."""

    name: str
    frames: str
    value: str
    origin: str
    is_reason_whole: bool = False

    def lines(self) -> list[str]:
        """The row as text; a reason that has no room beside it is shortened, that of filters stands below."""
        head = f"{'':{MARGIN}}{self.name:<{NAME_WIDTH}}"
        if self.frames:
            head += f"{self.frames:<{FRAMES_WIDTH}}"
        head += f"{self.value:<{VALUE_WIDTH}} "
        room = WIDTH - len(head)
        if len(self.origin) <= room or len(head) > WIDTH:
            return wrap_head(f"{head}{self.origin}".rstrip())
        if not self.is_reason_whole:
            return [f"{head}{shorten(self.origin, max(room, LEAST_REASON), placeholder=' …')}"]
        origin, _, reason = self.origin.partition(": ")
        below = MARGIN + NAME_WIDTH + 2
        return [f"{head}{origin}:", f"{'':{below}}{shorten(reason, WIDTH - below, placeholder=' …')}"]


def wrap_head(text: str) -> list[str]:
    """Break a line that is wider than a screen below its value."""
    indent = " " * (MARGIN + NAME_WIDTH)
    return wrap(text, WIDTH, subsequent_indent=indent, replace_whitespace=False, drop_whitespace=True) or [""]


def heading(title: str, number: int, total: int) -> str:
    """The line over a screen: what it is about, and how far one is."""
    progress = f" {number} of {total}"
    begun = f"── {shorten(title, WIDTH - 16, placeholder=' …')} "
    return begun.ljust(WIDTH - len(progress), "─") + progress


def title_of(screen: Screen) -> str:
    """Return what a screen is about, in a few words."""
    if screen.of is not ScreenOf.STAY:
        return {
            ScreenOf.CLOCKS: "Clocks and zone",
            ScreenOf.DAY: "The day",
            ScreenOf.PLANS: "Planned for today",
            ScreenOf.AFTER: "Looking back",
        }[screen.of]
    frames = screen.late or screen.groups
    count = sum(len(group.keeper_ids) for group in frames)
    came = f"{counted_frames(count)} imported later" if screen.late else counted_frames(count)
    if screen.visit is None:
        return f"Pictures without a known place, {came}"
    place = next((_shown(one) for one in screen.asking(Asks.VIEWPOINT)), "") or "no viewpoint yet"
    times = next((_shown(one) for one in screen.asking(Asks.TIMES)), "") or _times(screen)
    return f"Stay {screen.number}: {place} {times}, {came}"


def _times(screen: Screen) -> str:
    visit = screen.visit
    return "-".join(filter(None, (visit.arrived, visit.departed))) if visit else ""


def lines_of(screen: Screen) -> list[str]:
    """Return all that a screen shows, line by line."""
    match screen.of:
        case ScreenOf.CLOCKS:
            return list(_clock_lines(screen))
        case ScreenOf.DAY:
            return list(_day_lines(screen))
        case ScreenOf.STAY:
            return list(_stay_lines(screen))
        case ScreenOf.PLANS:
            return list(_plan_lines(screen))
    return lines_of_rows(rows_of(screen))


def hint_of(screen: Screen) -> str:
    """Return what can be typed at a screen, and what Enter does there."""
    return {
        ScreenOf.CLOCKS: "wrong? write 7 min slow; with several cameras, Sorrel: 1 h slow",
        ScreenOf.DAY: "Enter continues; or: cut 2 at 10:40; join 1 2; north gate, gate locked",
        ScreenOf.STAY: f"Enter keeps it, y confirms it; or: {SUCH_AS}",
        ScreenOf.PLANS: "Enter leaves them open; or: 1-3 made; 4 partly, light; 5 missed, closure",
        ScreenOf.AFTER: "Enter finishes; or a line for the journal; keep: …; change: …; e: your editor",
    }[screen.of]


def rows_of(screen: Screen) -> list[ShownRow]:
    """Return what stands at the questions of a screen, pictures with the same value in one row."""
    items = [one for one in screen.items if one.question.asks not in CONFIRMED]
    if screen.late:
        keys = set(screen.open_keys)
        items = [one for one in items if one.question.key in keys]
    rows = [_row(one) for one in items if not _is_of_frames(one) and _shown(one)]
    names = {one: group for group in screen.groups for one in group.keeper_ids}
    for asks in dict.fromkeys(one.question.asks for one in items if _is_of_frames(one)):
        alike: dict[tuple[str, str], list[EveningItem]] = {}
        for one in (each for each in items if each.question.asks is asks and _is_of_frames(each)):
            alike.setdefault((_shown(one), _origin(one)), []).append(one)
        said = {key: of for key, of in alike.items() if key[0] or asks in (Asks.FILTERS, Asks.CHANGED)}
        for (value, origin), of in said.items():
            frames = _frames(of, names)
            if asks is Asks.CHANGED and not value:
                value, origin = "?", of[0].question.text.rpartition(": ")[2]
            why = f"{origin}{_why(of[0])}"
            rows.append(ShownRow(NAMES[asks], frames, value or "-", why, asks is not Asks.SHOT))
    return _once(rows)


def lines_of_rows(rows: Sequence[ShownRow]) -> list[str]:
    """Return rows as lines; what several rows are about is named once."""
    names = ["", *(row.name for row in rows)]
    once = [
        replace(row, name="") if row.name == above else row for above, row in zip(names, rows, strict=False)
    ]
    return [line for row in once for line in row.lines()]


def _once(rows: Sequence[ShownRow]) -> list[ShownRow]:
    """A reason that the row above gives already is not said again."""
    whys = ["", *(row.origin for row in rows)]
    return [
        replace(row, origin=row.origin.partition(": ")[0]) if row.origin == above and not row.frames else row
        for above, row in zip(whys, rows, strict=False)
    ]


def _row(item: EveningItem) -> ShownRow:
    if item.question.asks in (Asks.OUTCOME, Asks.WHY):
        return ShownRow(f"{item.question.about}: ", "", _shown(item), _origin(item))
    name = NAMES.get(item.question.asks, str(item.question.asks))
    return ShownRow(name, "", _shown(item), f"{_origin(item)}{_why(item)}")


def _is_of_frames(item: EveningItem) -> bool:
    return item.question.key.startswith(OF_FRAMES)


def _shown(item: EveningItem) -> str:
    """What stands there, else what is proposed; unknown where somebody said that nobody knows."""
    if item.is_unknown:
        return "unknown"
    return (item.value or (item.question.default if item.is_open else "")).replace("\n", "; ")


def _origin(item: EveningItem) -> str:
    if item.is_unknown:
        return Provenance.STATED
    return (item.word if item.value else item.question.came_from if item.is_open else None) or ""


def _why(item: EveningItem) -> str:
    """The reason of what is only proposed."""
    reason = item.question.why[0] if item.question.why else ""
    is_proposed = _shown(item) == item.question.default and _origin(item) != Provenance.STATED
    return f": {reason}" if reason and is_proposed else ""


def _frames(items: Sequence[EveningItem], groups: dict[str, PlannedGroup]) -> str:
    files: list[str] = []
    for one in items:
        for keeper_id in one.question.about.partition(";")[0].split(","):
            group = groups.get(keeper_id)
            if group is not None:
                files.append(dict(zip(group.keeper_ids, group.files, strict=False)).get(keeper_id, ""))
    return _short(files, label_of(files))


def _short(files: Sequence[str], label: str) -> str:
    """The name of some pictures, or, where it is long, that of the first with how many they are."""
    if len(files) == 1:
        return Path(label).stem
    return label if len(label) < FRAMES_WIDTH else f"{label.partition(',')[0]} … ({len(files)})"


def _stay_lines(screen: Screen) -> Iterator[str]:
    """The pictures with times and settings, then what stands of the stay, then what nobody spoke of."""
    for group in screen.late or screen.groups:
        kind = f" ({group.set_kind})" if group.set_kind else ""
        settings = group.settings.removeprefix(f"{group.body}, ")
        label = _short(group.files, group.label)
        yield f"{'':{MARGIN}}{shorten(f'{label}{kind}: {settings}', WIDTH - MARGIN, placeholder=' …')}"
    rows = rows_of(screen)
    yield from lines_of_rows(rows)
    named = {row.name for row in rows}
    silent = [
        SAID_AS.get(one.question.asks, NAMES[one.question.asks])
        for one in screen.items
        if one.question.asks in NAMES and not _shown(one) and NAMES[one.question.asks] not in named
    ]
    if silent and not screen.late:
        yield from wrap(
            f"not stated: {', '.join(dict.fromkeys(silent))}",
            WIDTH,
            initial_indent=" " * MARGIN,
            subsequent_indent=" " * MARGIN,
        )


def _clock_lines(screen: Screen) -> Iterator[str]:
    for number, item in enumerate(screen.items, 1):
        value = _shown(item) or "-"
        yield f"{number:>{MARGIN - 1}} {item.question.text} {value} {_origin(item)}".rstrip()
        for why in item.question.why:
            yield from wrap(why, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
        body = item.question.about.partition(" since ")[0]
        own = [group for group in screen.plan.groups if group.body == body] if screen.plan else []
        for group in own[:SHOWN_OF_CLOCK]:
            settings = group.settings.removeprefix(f"{group.body}, ")
            yield f"{'':6}{shorten(f'{_short(group.files, group.label)}: {settings}', WIDTH - 6)}"
        if len(own) > SHOWN_OF_CLOCK:
            yield f"{'':6}… and {len(own) - SHOWN_OF_CLOCK} more; v shows the pictures of the day"


def _day_lines(screen: Screen) -> Iterator[str]:
    from logbook.services.night.cutting import stay_lines

    if screen.plan is None or not screen.plan.visits:
        yield f"{'':{MARGIN}}No picture shows where you were."
    visits = screen.plan.visits if screen.plan else ()
    for line, visit in zip(stay_lines(screen.plan) if screen.plan else (), visits, strict=True):
        yield f"{'':{MARGIN}}{shorten(line, WIDTH - MARGIN, placeholder=' …')}"
        settings = visit.settings.partition(", ")[2]
        if settings:
            yield f"{'':{MARGIN + 3}}{shorten(settings, WIDTH - MARGIN - 3, placeholder=' …')}"
    yield from lines_of_rows(rows_of(screen))


def _plan_lines(screen: Screen) -> Iterator[str]:
    """The planned shots with their numbers, when and how they were meant, and what became of them."""
    whys = {one.question.about: one for one in screen.asking(Asks.WHY)}
    for number, item in enumerate(screen.asking(Asks.OUTCOME), 1):
        slug = item.question.about
        said = f"{_shown(item)} {_origin(item)}" if _shown(item) else "open"
        if slug in whys and whys[slug].is_open:
            said += "; no reason given"
        yield f"{number:>{MARGIN - 1}} {slug}: {said}"
        offered = screen.offered.get(slug, "") if item.is_open else ""
        perhaps = f"perhaps {offered}" if offered else ""
        told = "; ".join(filter(None, (item.question.shows, *item.question.why, perhaps)))
        yield from wrap(told, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)


def overview(screens: Iterable[Screen]) -> list[str]:
    """Return the screens with their numbers and what is open there."""
    lines = []
    for number, screen in enumerate(screens, 1):
        left = len(screen.open_keys)
        title = shorten(title_of(screen), 56, placeholder=" …")
        lines.append(f"{number:>4}  {title:<57}{f'{left} open' if left else 'done'}")
    return lines


HELP_ANYWHERE = (
    ("Enter", "keep all as shown; assumed stays assumed, inferred stays inferred"),
    ("y", "confirm that all shown is right"),
    ("?", "say that you do not know what is missing here"),
    ("o", "all screens, to jump to one"),
    ("b", "the previous screen"),
    ("m", "all lines of this screen"),
    ("v", "the pictures in your viewer (LOGBOOK_VIEWER names another)"),
    ("q", "stop, and keep everything"),
    ("Ctrl-Z", "to the shell; fg brings you back here"),
)


def help_of(screen: Screen) -> tuple[tuple[str, str], ...]:
    """Return what can be typed at a screen, each with what it says."""
    here: dict[ScreenOf, tuple[tuple[str, str], ...]] = {
        ScreenOf.CLOCKS: (
            ("Europe/Lisbon", "the time zone"),
            ("7 min slow, 1 h fast, right", "how wrong the clock is; or the seconds to add: +420"),
            ("Sorrel: 1 h slow", "one of several cameras"),
        ),
        ScreenOf.DAY: (
            ("north gate, gate locked", "what closed, flooded or changed; the place may be left out"),
            ("cut 2 at 10:40; join 1 2", "correct the stays before answering about them"),
            ("north gate 12:10-12:20 scouting", "a stay without pictures"),
            ("clock Sorrel: 1 h slow", "a clock that is wrong"),
        ),
        ScreenOf.STAY: (
            ("quarry ledge 17:20-18:45", "where and when it was"),
            ("tripod; tries: 14", "as in a day file; tries: ? is not known"),
            ("crowd: few dozens none", "on arrival, at the peak, on leaving"),
            ("wind: 4 from west; water: low", "what was seen"),
            ("in the way: a coach", "what made it hard"),
            ("learned [students]: come early", "a lesson, and who else may see it"),
            ("0412-0419: nd8, braced, sharp", "of these pictures; or all: none, rest: none"),
            ("0412: for bridge-silk", "the planned shot that a picture is for"),
            ("cut at 17:40; join next", "where the stay begins and ends"),
            ("place: Barrier at SITE", "add an unplanned viewpoint"),
        ),
        ScreenOf.PLANS: (
            ("1 made; 2-3 partly, light", "what became of plans, by number, and why"),
            ("gate-arch: missed, closure", "the same, by name"),
            ("4 partly, light - too late", "your own words, after a dash"),
            ("made, partly, replaced, missed, open", "what can become of a plan"),
        ),
        ScreenOf.AFTER: (
            ("keep: the far end first", "what to keep doing"),
            ("change: come earlier", "what to change; either may begin with a place"),
            ("shown: area", "how others see the places: exact, area or withheld"),
            ("withheld VIEWPOINT", "hide one place"),
            ("anything else", "goes into the journal"),
        ),
    }
    return (*here[screen.of], *HELP_ANYWHERE)
