"""A long day answered in ordinary sloppy words: no record exists in the book that was not said.

Every condition, lesson, outcome, visit, filter, support and journal of the book is listed below beside the
answer that it comes from; what nobody said may only stand there as assumed or inferred.
"""

import random
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest

from logbook.domain.words import Provenance
from logbook.services.night.questions import Asks, Question
from logbook.store.book import Book
from tests.faces.commands.sloppy_day import DAY, TRIP, build_long_day
from tests.faces.commands.windows import Opened, Window, as_typed
from tests.once import copied_book
from tests.services.night.sittings import now

BRACKETS = "\x1b[200~{}\x1b[201~"  # how a terminal marks what is pasted
# What is typed at a question, by what it is about; the last answer counts, those before it are refused.
# What is not named here is answered with Enter.
ANSWERS: dict[tuple[Asks, str], tuple[str, ...]] = {
    (Asks.CLOCK, "Ostrey"): ("a bit", "3 min slow"),
    (Asks.CHANGES, ""): (
        "same",
        BRACKETS.format(
            "rain from 3pm\r\nlamp terrace, gate locked\r\nthey painted the kiosk blue\r\nnothing else"
        ),
    ),
    (Asks.TIMES, "bridge-rail"): ("8-8.30am",),
    (Asks.CROWD, "bridge-rail"): ("yes", "nobody"),
    (Asks.CROWD, "quarry-ledge"): ("a few, dozens",),
    (Asks.CROWD, "lamp-terrace"): ("~20 people",),
    (Asks.SUPPORT, "bridge-rail"): ("h", "tri"),
    (Asks.SUPPORT, "quarry-ledge"): ("hand-held",),
    (Asks.SUPPORT, "lamp-terrace"): ("?",),
    (Asks.TRIES, "quarry-ledge"): ("about 12",),
    (Asks.IN_THE_WAY, "bridge-rail"): ("a coach party",),
    (Asks.IN_THE_WAY, "quarry-ledge"): ("nothing",),
    (Asks.IN_THE_WAY, "lamp-terrace"): ("no",),
    (Asks.FILTERS, "TRN_0471"): ("same", "made", "none"),
    (Asks.FILTERS, "TRN_0472"): ("same",),
    (Asks.FILTERS, "TRN_0475"): ("10 stop",),
    (Asks.FILTERS, "TRN_0480"): ("?",),
    (Asks.FILTERS, "OST_1201"): ("1201 none, 1299 nd8", "1201 none, 1207 nd8, rest none"),
    (Asks.FILTERS, "TRN_0490"): ("CPL",),
    (Asks.FILTERS, "OST_1220"): ("no",),
    (Asks.SURE, "OST_1220"): ("y",),
    (Asks.SHARPNESS, "TRN_0475"): ("so",),
    (Asks.SHOT, "TRN_0502"): ("no",),
    (Asks.VIEWPOINT, "A place without"): ("no", "far crest"),
    (Asks.OUTCOME, "bridge-flow"): ("yes", "made"),
    (Asks.OUTCOME, "bridge-arches"): ("partly, crowd - heads in the frame",),
    (Asks.OUTCOME, "lamps-at-four"): ("nope", "missed"),
    (Asks.WHY, "lamps-at-four"): ("the gate was locked",),
    (Asks.KEEP, ""): ("nothing",),
    (Asks.CHANGE, ""): ("lamp terrace: come earlier; change: bring the long strap",),
    (Asks.JOURNAL, ""): ("long day, cold hands",),
}
CONDITIONS = {
    ("weather", None, "rain from 3pm", "15:00", None),  # rain from 3pm
    ("closure", None, "gate locked", None, "lamp-terrace"),  # lamp terrace, gate locked
    ("crowd", "none", None, None, "bridge-rail"),  # nobody: one level of a whole stay has no time
    ("crowd", "few", None, "12:00", "quarry-ledge"),  # a few, dozens
    ("crowd", "dozens", None, "12:16", "quarry-ledge"),
    ("crowd", "dozens", "~20 people", None, "lamp-terrace"),  # ~20 people
}
LESSONS = {
    ("change", "come earlier", "lamp-terrace"),  # lamp terrace: come earlier
    ("change", "bring the long strap", None),  # bring the long strap
}
OUTCOMES = {
    ("bridge-flow", "made", (), None),  # made
    ("bridge-arches", "partly", ("crowd",), "heads in the frame"),
    ("lamps-at-four", "missed", (), "the gate was locked"),
}
VISITS = {  # viewpoint, what a person said of it, journal
    ("bridge-rail", "arrived_at=08:00 departed_at=08:30 support=tripod", "In the way: a coach party"),
    ("quarry-ledge", "support=handheld tries=12", None),
    ("lamp-terrace", "", None),
    ("far-crest", "viewpoint", None),  # far crest
}
FILTERS = {
    "TRN_0471": (),  # none
    "TRN_0472": (),  # same
    "TRN_0475": ("nd1000",),  # 10 stop
    "OST_1201": (),  # 1201 none, 1207 nd8, rest none
    "OST_1207": ("nd8",),
    "OST_1208": (),
    "TRN_0490": ("pol",),  # CPL
    "TRN_0491": ("pol",),
    "TRN_0492": ("pol",),
    "OST_1220": (),  # no, and y when asked whether there was none
}
SUPPORTS = {
    **dict.fromkeys(("TRN_0471", "TRN_0472", "TRN_0475", "TRN_0480"), "tripod"),  # tri
    **dict.fromkeys(("OST_1201", "OST_1207", "OST_1208"), "tripod"),
    **dict.fromkeys(("TRN_0490", "TRN_0491", "TRN_0492", "OST_1220"), "handheld"),  # hand-held
}
JOURNAL = "they painted the kiosk blue\n\nlong day, cold hands"


@pytest.fixture(scope="module")
def long_day(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the long day, made once."""
    return build_long_day(tmp_path_factory.mktemp("long"))


@pytest.fixture
def path(long_day: Path, tmp_path: Path) -> Path:
    """A copy of this test's own."""
    return copied_book(long_day, tmp_path / "book.sqlite")


def answers_to(question: Question) -> tuple[str, ...]:
    """What is typed at a question, one after the other."""
    named = f"{question.text} {question.about} {question.chapter}"
    if question.asks in (Asks.FILTERS, Asks.SURE, Asks.SHARPNESS, Asks.SHOT):
        named = question.text
    found = [
        said for (asks, about), said in ANSWERS.items() if asks is question.asks and named.find(about) >= 0
    ]
    return found[0] if found else ("",)


def sit_through(window: Window, typed: Callable[[Question], tuple[str, ...]]) -> Iterator[Question]:
    """Answer every question in the window, then take its screen; yield each before it is answered."""
    while window.screen() is not None:
        screen = window.wait()
        seen: set[str] = set()
        while question := _next_of(window, screen.key, seen):
            yield question
            seen.add(question.key)
            for text in filter(None, typed(question)):
                window.line(as_typed(window.night, question, text))
                while (now_asked := window.screen()) is not None and (
                    sure := now_asked.to_confirm
                ) is not None:
                    yield sure.question
                    window.confirm(typed(sure.question)[0])
        after = window.screen()
        if after is not None and after.key == screen.key:
            window.enter()
    window.leave()


def _to_confirm(window: Window) -> Question | None:
    screen = window.screen()
    found = screen.to_confirm if screen else None
    return found.question if found else None


def _next_of(window: Window, key: str, seen: set[str]) -> Question | None:
    """The next question of a screen that is open and was not met yet."""
    screen = window.screen()
    if screen is None or screen.key != key:
        return None
    found = (one.question for one in screen.items if one.is_open)
    return next((one for one in found if one.key not in seen), None)


def check(path: Path) -> None:
    """Compare every record of the book with what was said."""
    with Book(path, now, create=False).reading() as desk:
        places = {one.id: one.slug for one in desk.viewpoints.all()}
        shots = {one.id: one.slug for one in desk.shots.all()}
        keepers = desk.keepers.all()
        conditions = {
            (
                str(one.kind),
                one.level,
                one.note,
                f"{one.at:%H:%M}" if one.at else None,
                places.get(one.viewpoint_id or ""),
            )
            for one in desk.conditions.all()
        }
        assert conditions == CONDITIONS
        assert len(desk.conditions.all()) == len(CONDITIONS)
        assert not [one for one in desk.conditions.all() if one.site_id]
        lessons = desk.lessons.all()
        assert {(str(one.verb), one.text, places.get(one.viewpoint_id or "")) for one in lessons} == LESSONS
        assert len(lessons) == len(LESSONS)
        outcomes = desk.outcomes.all()
        assert {
            (shots[one.shot_id], str(one.word), tuple(map(str, one.reasons)), one.note) for one in outcomes
        } == OUTCOMES
        visits = desk.visits.all()
        assert {(places[one.viewpoint_id], stated(one), one.journal) for one in visits} == VISITS
        assert len(visits) == len(VISITS)
        assert {
            one.file[:8]: one.filters
            for one in keepers
            if is_stated(one, "filters") and one.filters is not None
        } == FILTERS
        assert {
            one.file[:8]: str(one.support) for one in keepers if is_stated(one, "support") and one.support
        } == SUPPORTS
        assert {one.file[:8]: str(one.sharpness) for one in keepers if one.sharpness} == {"TRN_0475": "soft"}
        assert not [one.file for one in keepers if one.shot_id and is_stated(one, "shot_id")]
        assert {shots.get(one.shot_id or "") for one in keepers if one.file[4:8] in ("0502", "1230")} == {
            None
        }
        assert [one.journal for one in desk.days.all()] == [JOURNAL]
        assert [one.on_date for one in desk.days.all()] == [DAY]
        assert [(one.body, str(one.evidence)) for one in desk.clocks.all()] == [("Ostrey Sorrel", "stated")]
        assert (len(desk.viewpoints.all()), len(desk.sites.all()), len(desk.shots.all())) == (4, 1, 6)


def stated(visit: object) -> str:
    """What a person said of a visit, in words."""
    names = ("arrived_at", "departed_at", "support", "tries")
    said = {name: getattr(visit, name) for name in names if is_stated(visit, name)}
    if is_stated(visit, "viewpoint_id"):
        return "viewpoint"
    return " ".join(
        f"{name}={value:%H:%M}" if name.endswith("_at") else f"{name}={value}"
        for name, value in said.items()
        if value is not None
    )


def is_stated(record: object, name: str) -> bool:
    """Whether a person said a value."""
    return record.provenance_of(name) is Provenance.STATED  # type: ignore[attr-defined]


@pytest.mark.slow
def test_nothing_is_in_the_book_that_was_not_said(opened: Opened, path: Path) -> None:
    window = opened(path, TRIP)
    asked = {(question.asks, question.key) for question in sit_through(window, answers_to)}
    assert {asks for asks, _ in asked} >= {asks for asks, _ in ANSWERS}  # no answer was left over
    check(path)


@pytest.mark.slow
def test_killed_again_and_again_the_evening_ends_the_same(opened: Opened, path: Path) -> None:
    chance = random.Random(12)
    window = opened(path, TRIP)
    kills = 0
    sitting = sit_through(window, answers_to)
    while next(sitting, None) is not None:
        if chance.random() < 0.12:
            window.child.kill(signal.SIGKILL)
            window.child.expect(pexpect.EOF)
            kills += 1
            window = opened(path, TRIP)
            sitting = sit_through(window, answers_to)
    assert kills > 3
    check(path)


@pytest.mark.slow
def test_nothing_said_to_everything_leaves_nothing_behind(opened: Opened, path: Path) -> None:
    window = opened(path, TRIP)

    def nothing(question: Question) -> tuple[str, ...]:
        if question.asks in (Asks.SHOT, Asks.SHARPNESS, Asks.SURE, Asks.STAY):
            return ("no",) if question.asks is Asks.SHOT else ("",)
        if question.asks in (Asks.CHANGES, Asks.IN_THE_WAY, Asks.KEEP, Asks.CHANGE, Asks.JOURNAL):
            return ("nothing",)
        return ("nothing", "")  # refused: it is no answer here

    for _ in sit_through(window, nothing):
        pass
    with Book(path, now, create=False).reading() as desk:
        assert not [*desk.conditions.all(), *desk.lessons.all(), *desk.outcomes.all(), *desk.days.all()]
        assert not [one.journal for one in desk.visits.all() if one.journal]
        assert not [one.file for one in desk.keepers.all() if one.filters is not None or one.shot_id]
