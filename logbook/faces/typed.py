"""From what a person typed to values, each miss one clear sentence.

One surprising decision: options arrive as text and are read here, because a parser that knows the trade says
more about a slip than an option library can.
"""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from logbook.domain.day import day_of
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.horizon import Horizon
from logbook.domain.kinds import (
    APERTURE,
    BEARING,
    DATE,
    FILTER,
    FILTERS,
    FOCAL,
    HORIZON,
    ISO,
    RATIONAL,
    TIME_OF_DAY,
    WALL_TIME,
    ZONE,
)
from logbook.domain.kinds.numbers import number_typed
from logbook.domain.names import Amended
from logbook.domain.position import Position, parse_latitude, parse_longitude, parse_position
from logbook.domain.trip import DAY_ENDS_AT
from logbook.domain.words import ConditionKind, Support
from logbook.domain.written.moments import clock_text, is_about, span_written
from logbook.faces.terminal import say

if TYPE_CHECKING:
    from logbook.domain.written.filters import KeeperStack
    from logbook.services.naming import Narrow
    from logbook.services.plans.outcomes import OutcomeSaid

_DAYS_FROM_TODAY = {"yesterday": -1, "today": 0, "tonight": 0, "tomorrow": 1}


def given(**values: Any) -> dict[str, Any]:
    """Return the options that were given: those that are not None."""
    return {name: value for name, value in values.items() if value is not None}


def names(add: Sequence[str] | None, drop: Sequence[str] | None = None) -> Amended | None:
    """Read names to add to a list and names to drop from it; None where neither was given."""
    return Amended(tuple(add or ()), tuple(drop or ())) if add or drop else None


def a_date(text: str | None) -> date | None:
    """Read a date as `2031-10-14`, `14.10.2031`, `14 Oct 2031`, or `yesterday` by this machine's clock.

    Before four in the morning the day before still lasts, as it does for pictures.
    """
    if text is None:
        return None
    days = _DAYS_FROM_TODAY.get(text.strip().lower())
    if days is None:
        return DATE.typed(text)
    found = day_of(datetime.now().astimezone(), DAY_ENDS_AT) + timedelta(days=days)
    say(f'"{text}" is read as {found}.')
    return found


def a_time(text: str | None) -> time | None:
    """Read a time of day as `17:20`, `17.20` or `5:20 pm`; say so where it is only about right."""
    if text is None:
        return None
    found = TIME_OF_DAY.typed(text)
    _say_about(text, found)
    return found


def _say_about(text: str, *ends: time | None) -> None:
    """Say what an approximate time or span is kept as."""
    from logbook.domain.written.understanding import understood

    if is_about(text) and (told := understood(text, "-".join(clock_text(one) for one in ends if one))):
        say(told)


def numbers(text: str) -> tuple[int, ...]:
    """Read numbers of a list as `3`, `5-7` or `3,5-7`."""
    from logbook.domain.written.counts import numbers_written

    found = numbers_written(text)
    if found is None:
        raise InvalidValueError(f'"{text}" is not a list of numbers; write them as 3, 5-7, or 3,5-7.')
    return found


def a_moment(text: str | None) -> datetime | None:
    """Read a wall time as `2031-10-14T17:42:10` (naive)."""
    return None if text is None else WALL_TIME.typed(text)


def a_window(text: str | None) -> dict[str, time | None]:
    """Read a window as `17:20-18:45`, `10-12` or `5-7 pm`, or only its beginning."""
    if text is None:
        return {}
    begin, end = span_written(text)
    _say_about(text, begin, end)
    if begin is None:
        raise InvalidValueError(f'"{text}" has no start; write a window as 17:20-18:45.')
    return {"window_from": begin, "window_to": end}


def a_stay(arrived: str | None, departed: str | None) -> dict[str, time | None]:
    """Read when one came and left, the two as one span: `5:20` to `6:45 pm` begins in the afternoon."""
    if arrived and departed:
        come, left = span_written(f"{arrived}-{departed}")
        _say_about(arrived, come)
        _say_about(departed, left)
    else:
        come, left = a_time(arrived), a_time(departed)
    return given(arrived_at=come, departed_at=left)


def a_zone(text: str | None) -> str | None:
    """Read a zone as `Asia/Dushanbe`, in any case, or by its city."""
    return None if text is None else ZONE.typed(text)


def narrowed(on: str | None, body: str | None) -> "Narrow":
    """Read what narrows the keepers that a name may mean: a day and a camera."""
    from logbook.services.naming import Narrow

    return Narrow(a_date(on), body)


def a_number(text: str | None, what: str, unit: str = "") -> float | None:
    """Read a plain number, with or without its unit."""
    return None if text is None else number_typed(text, what, unit)


def a_horizon(text: str | None) -> Horizon | None:
    """Read a horizon as degrees of skyline, such as `6`, or `sea`."""
    return None if text is None else HORIZON.typed(text)


def settings(
    *,
    focal: str | None = None,
    f_number: str | None = None,
    exposure: str | None = None,
    iso: str | None = None,
) -> dict[str, Any]:
    """Read camera settings; those not given are left out."""
    return given(
        exposure_s=None if exposure is None else RATIONAL.typed(exposure),
        focal_mm=None if focal is None else FOCAL.typed(focal),
        f_number=None if f_number is None else APERTURE.typed(f_number),
        iso=None if iso is None else ISO.typed(iso),
    )


def filters(text: str) -> tuple[str, ...] | None:
    """Read filters as `nd64,pol`; `none` is an empty tuple, `unknown` None. Say what was understood."""
    from logbook.domain.written.filters import KeeperStack

    stack: tuple[str, ...] | None = FILTERS.typed(text)
    _say_filters(text, [KeeperStack(None, None, stack)])
    return stack


def filters_by_keeper(text: str | None) -> "tuple[KeeperStack, ...]":
    """Read filters as `nd8 + pol`, or by keeper as `1201 none, 1207 nd8, rest none`."""
    if text is None:
        return ()
    from logbook.domain.written.filters import stacks_written

    said = stacks_written(text)
    _say_filters(text, said)
    return said


def one_filter(text: str) -> str:
    """Read one filter, as filters are written. Say what was understood."""
    from logbook.domain.written.filters import KeeperStack

    name = FILTER.typed(text)
    _say_filters(text, [KeeperStack(None, None, (name,))])
    return name


def _say_filters(text: str, said: "Sequence[KeeperStack]") -> None:
    from logbook.domain.written.filters import filters_understood

    for told in filters_understood(text, said):
        say(told)


def support(text: str | None) -> Support | None:
    """Read what held the camera: `tripod`, `hand-held`."""
    if text is None:
        return None
    from logbook.domain.written.choices import support_written

    return support_written(text)


def outcome(
    text: str | None, reasons: Sequence[str] | None, note: str | None, replaced_by: str | None
) -> "OutcomeSaid | None":
    """Read what became of a shot as `missed`, or `partly, light`, with the reasons and words beside it."""
    if not (text or reasons or note or replaced_by):
        return None
    from logbook.domain.written.outcomes import outcome_written, reason_written
    from logbook.services.plans.outcomes import OutcomeSaid

    said = None if text is None else outcome_written("", text)
    why = dict.fromkeys([*(said.reasons if said else ()), *map(reason_written, reasons or ())])
    notes = [one for one in (said.note if said else "", note) if one]
    by = replaced_by or (said.replaced_by if said else None)
    return OutcomeSaid(said.outcome if said else None, tuple(why), " - ".join(notes) or None, by)


def seconds(text: str | None) -> int | None:
    """Read how much a clock is off, as `420`, `7 min` or `1:03`, in s."""
    if text is None:
        return None
    from logbook.domain.written.corrections import duration_written

    return duration_written(text)


def correction(text: str | None) -> int:
    """Read what to add to a camera's time as `420` or `7 min slow`, in s, and say what that means."""
    if text is None:
        return 0
    from logbook.domain.written.corrections import correction_text, correction_written

    add_s = correction_written(text)
    say(correction_text(add_s))
    return add_s


def level(kind: ConditionKind, text: str | None) -> dict[str, Any]:
    """Read the level of an observation, with the time, direction and words that stand in it."""
    if text is None:
        return {}
    from logbook.domain.written.conditions import level_written
    from logbook.domain.written.understanding import understood

    said = level_written(kind, text)
    parts = (
        said.level or said.note,
        f"at {clock_text(said.at)}" if said.at else "",
        f"from {said.direction}" if said.direction else "",
    )
    kept = " ".join(filter(None, parts))
    if told := understood(text, kept):
        say(told)
    return given(
        level=said.level, at=said.at, direction=said.direction, note=said.note or None, source=said.source
    )


def observed(kind: ConditionKind, text: str) -> dict[str, Any]:
    """Read an observation of a kind without levels as a day file's line of it; say what it is kept as."""
    from logbook.domain.written.conditions import read_conditions, written_condition
    from logbook.domain.written.understanding import NotUnderstoodError, understood

    try:
        (said,) = read_conditions(kind, text.strip())
    except NotUnderstoodError as reason:
        raise InvalidValueError(f'"{text}" is not an observation: {reason}.') from None
    if told := understood(f"{kind}: {text}", written_condition(said)):
        say(told)
    return {"kind": said.kind, **given(at=said.at, note=said.note or None, source=said.source)}


def place(position: str | None, lat: str | None, lon: str | None) -> dict[str, float]:
    """Read a position given as one text or as latitude and longitude."""
    if position is not None and (lat is not None or lon is not None):
        raise WrongUseError("Give either --position or --lat with --lon, not both.")
    if position is not None:
        found = parse_position(position)
    elif lat is not None and lon is not None:
        found = Position(parse_latitude(lat), parse_longitude(lon))
    elif lat is not None or lon is not None:
        raise WrongUseError("A position needs both --lat and --lon.")
    else:
        return {}
    return {"latitude_deg": found.latitude_deg, "longitude_deg": found.longitude_deg}


def facing(text: str | None) -> float | None:
    """Read a bearing as degrees or as a compass word."""
    return None if text is None else BEARING.typed(text)
