"""Trips of many pictures over several days, made from the hand-made one."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from logbook.domain.account import TripAccount
from logbook.domain.condition import Condition
from logbook.domain.day import Day
from logbook.domain.keeper import Keeper
from logbook.domain.shot import Outcome, Shot
from logbook.domain.visit import Visit
from logbook.domain.words import ConditionKind, OutcomeWord, VisitPurpose
from tests.faces.report.conftest import DAY, keeper, picture, record

FIRST = datetime(2031, 10, 14, 6, 0)  # noqa: DTZ001 - the place's wall time is naive


def days_from(first: date, count: int) -> list[date]:
    """Some dates in a row."""
    return [first + timedelta(days=number) for number in range(count)]


def long_trip(
    account: TripAccount,
    folder: Path,
    counts: Iterable[int],
    undated: int = 0,
    size: tuple[int, int] = (90, 60),
) -> TripAccount:
    """A trip with as many pictures on each day as `counts` says, and some of which nobody knows the time.

    On every day a ledge was visited, where the crowd and the water were noted; two shots were planned, one of
    which was made; one more was planned for no day.
    """
    counts = list(counts)
    dates = days_from(DAY, len(counts))
    folder.mkdir(exist_ok=True)
    keepers = [
        one for day, count in zip(dates, counts, strict=True) for one in _taken(folder, day, count, size)
    ]
    without = [
        keeper(f"u{n}", picture(folder / f"u{n}.jpg", size), taken_local=None, caption=f"Undated {n}")
        for n in range(undated)
    ]
    shots = [shot for number, day in enumerate(dates) for shot in _planned(number, day)]
    outcomes = {
        shot.id: Outcome(**record(f"o-{shot.id}"), shot_id=shot.id, word=_word(shot), note="As it came")
        for shot in shots
    }
    return replace(
        account,
        trip=replace(account.trip, starts_on=dates[0], ends_on=dates[-1]),
        shots=(*shots, Shot(**record("loose"), slug="loose", title="For no day", trip_id="trip")),
        outcomes=outcomes,
        visits=tuple(_visit(number, day) for number, day in enumerate(dates)),
        conditions=tuple(one for number, day in enumerate(dates) for one in _seen(number, day)),
        days=tuple(
            Day(**record(f"day{n}"), trip_id="trip", on_date=day, journal=f"Journal {n}")
            for n, day in enumerate(dates)
        ),
        keepers=(*keepers, *without),
        sets=(),
    )


def _word(shot: Shot) -> OutcomeWord:
    return OutcomeWord.MADE if shot.id.startswith("made") else OutcomeWord.MISSED


def _taken(folder: Path, day: date, count: int, size: tuple[int, int]) -> list[Keeper]:
    made: list[Keeper] = []
    for number in range(count):
        name = f"k{day:%d}-{number}"
        fields: dict[str, Any] = {
            "taken_local": datetime.combine(day, time(6)) + timedelta(minutes=number),
            "viewpoint_id": "ledge" if number % 2 else None,
            "caption": f"Picture {number} of {day:%d}",
        }
        if number == 1:
            fields["shot_id"] = f"made{(day - DAY).days}"
        made.append(keeper(name, picture(folder / f"{name}.jpg", size), **fields))
    return made


def _planned(number: int, day: date) -> list[Shot]:
    common: dict[str, Any] = {"trip_id": "trip", "viewpoint_id": "ledge", "on_date": day}
    return [
        Shot(**record(f"made{number}"), slug=f"made-{number}", title=f"Made {number}", **common),
        Shot(**record(f"missed{number}"), slug=f"missed-{number}", title=f"Missed {number}", **common),
    ]


def _visit(number: int, day: date) -> Visit:
    return Visit(
        **record(f"v{number}"),
        slug=f"v{number}",
        trip_id="trip",
        viewpoint_id="ledge",
        on_date=day,
        arrived_at=time(5, 30),
        departed_at=time(20),
        purpose=VisitPurpose.SHOOTING,
        tries=40,
        journal=f"Stood there, day {number}",
    )


def _seen(number: int, day: date) -> list[Condition]:
    common: dict[str, Any] = {"trip_id": "trip", "on_date": day, "viewpoint_id": "ledge"}
    return [
        Condition(
            **record(f"c{number}"),
            slug=f"c{number}",
            kind=ConditionKind.CROWD,
            at=time(7),
            level="dozens",
            note=f"Coaches of day {number}",
            **common,
        ),
        Condition(
            **record(f"w{number}"),
            slug=f"w{number}",
            kind=ConditionKind.WATER,
            at=time(8),
            level="high",
            note=f"Brown water of day {number}",
            **common,
        ),
    ]
