"""From what a person typed to values, each miss one clear sentence.

One surprising decision: options arrive as text and are read here, because a parser that knows the trade says
more about a slip than an option library can.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from logbook.craft.errors import CraftValueError
from logbook.domain.amending import Amended
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.horizon import Horizon, horizon_written
from logbook.domain.position import Position, parse_bearing, parse_latitude, parse_longitude, parse_position
from logbook.domain.words import ConditionKind, Support
from logbook.domain.written.counts import count_written
from logbook.domain.written.moments import date_written, span_written, time_written, zone_written
from logbook.faces.terminal import say

if TYPE_CHECKING:
    from logbook.domain.written.filters import KeeperStack
    from logbook.services.naming import Narrow
    from logbook.services.plans.outcomes import OutcomeSaid


def given(**values: Any) -> dict[str, Any]:
    """Return the options that were given: those that are not None."""
    return {name: value for name, value in values.items() if value is not None}


def names(add: Sequence[str] | None, drop: Sequence[str] | None = None) -> Amended | None:
    """Read names to add to a list and names to drop from it; None where neither was given."""
    return Amended(tuple(add or ()), tuple(drop or ())) if add or drop else None


def cleared(
    changes: dict[str, Any], clear: Sequence[str] | None, fields: Iterable[str], lists: Iterable[str] = ()
) -> dict[str, Any]:
    """Return the changes with every `--clear FIELD` as None; WrongUseError where there is no such field.

    `lists` are fields that can be emptied and never unknown; what is added in the same line is then alone.
    """
    lists = frozenset(lists)
    allowed = sorted({*fields, *lists})
    for name in clear or ():
        field = name.strip().lower().replace("-", "_")
        if field not in allowed:
            raise WrongUseError(f'"{name}" cannot be cleared; --clear takes {", ".join(allowed)}.')
        changes[field] = replace(changes.get(field, Amended()), anew=True) if field in lists else None
    return changes


def a_date(text: str | None) -> date | None:
    """Read a date as `2031-10-14`, `14.10.2031` or `14 Oct 2031`."""
    if text is None:
        return None
    found = date_written(text)
    if found is None:
        what = "no date, or could be two" if "/" in text else "no date"
        raise InvalidValueError(f'"{text}" is {what}; write it as 2031-10-14.')
    return found


def a_time(text: str | None) -> time | None:
    """Read a time of day as `17:20`, `17.20` or `5:20 pm`."""
    return None if text is None else time_written(text)


def a_moment(text: str | None) -> datetime | None:
    """Read a wall time as `2031-10-14T17:42:10` (naive)."""
    if text is None:
        return None
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        raise InvalidValueError(f'"{text}" is no moment; write it as 2031-10-14T17:42:10.') from None
    return moment.replace(tzinfo=None)


def a_window(text: str | None) -> dict[str, time | None]:
    """Read a window as `17:20-18:45`, `10-12` or `5-7 pm`, or only its beginning."""
    if text is None:
        return {}
    begin, end = span_written(text)
    if begin is None:
        raise InvalidValueError(f'"{text}" has no beginning; write a window as 17:20-18:45.')
    return {"window_from": begin, "window_to": end}


def a_zone(text: str | None) -> str | None:
    """Read a zone as `Asia/Dushanbe`, in any case, or by its city."""
    return None if text is None else zone_written(text)


def narrowed(on: str | None, body: str | None) -> "Narrow":
    """Read what narrows the keepers that a name may mean: a day and a camera."""
    from logbook.services.naming import Narrow

    return Narrow(a_date(on), body)


def tries(text: str | None) -> int | None:
    """Read a number of tries as `14`, `~20` or `about 20`."""
    if text is None:
        return None
    count = count_written(text)
    if count is None:
        raise InvalidValueError(f'"{text}" is not a number of tries; write one such as 14 or about 20.')
    return count


def a_number(text: str | None, what: str, unit: str = "") -> float | None:
    """Read a plain number, with or without its unit."""
    if text is None:
        return None
    plain = text.strip().lower().removesuffix(unit).strip().replace(",", ".") if unit else text.strip()
    try:
        number = float(plain)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise InvalidValueError(f'"{text}" is no {what}; write a number, such as 24.')
    return number


def a_horizon(text: str | None) -> Horizon | None:
    """Read a horizon as degrees of skyline, such as `6`, or `sea`."""
    return None if text is None else horizon_written(text)


def settings(
    *,
    focal: str | None = None,
    f_number: str | None = None,
    exposure: str | None = None,
    iso: str | None = None,
) -> dict[str, Any]:
    """Read camera settings; those not given are left out."""
    from logbook.craft.marks import parse_aperture, parse_exposure, parse_iso

    try:
        exposure_s: Fraction | None = None if exposure is None else parse_exposure(exposure)
        return given(
            focal_mm=a_number(focal, "focal length", "mm"),
            f_number=None if f_number is None else parse_aperture(f_number),
            exposure_s=exposure_s,
            iso=None if iso is None else parse_iso(iso),
        )
    except CraftValueError as error:
        raise InvalidValueError(str(error)) from None


def filters(text: str | None) -> dict[str, tuple[str, ...] | None]:
    """Read filters as `nd64,pol`; `none` is an empty tuple, `unknown` None. Say what was understood."""
    if text is None:
        return {}
    from logbook.domain.written.filters import KeeperStack, stack_written

    stack = stack_written(text)
    _say_filters(text, [KeeperStack(None, None, stack)])
    return {"filters": stack}


def filters_by_keeper(text: str | None) -> "tuple[KeeperStack, ...]":
    """Read filters as `nd8 + pol`, or by keeper as `1201 none, 1207 nd8, rest none`."""
    if text is None:
        return ()
    from logbook.domain.written.filters import stacks_written

    said = stacks_written(text)
    _say_filters(text, said)
    return said


def one_filter(text: str | None) -> str | None:
    """Read one filter, as filters are written."""
    if text is None:
        return None
    from logbook.domain.written.filters import KeeperStack, filter_written

    name = filter_written(text)
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
    from logbook.domain.written.moments import clock_text
    from logbook.domain.written.understanding import understood

    said = level_written(kind, text)
    kept = f"{said.level or said.note}{f' at {clock_text(said.at)}' if said.at else ''}"
    if told := understood(text, kept):
        say(told)
    return given(
        level=said.level, at=said.at, direction=said.direction, note=said.note or None, source=said.source
    )


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


def facing(text: str | None) -> dict[str, float]:
    """Read a bearing as degrees or as a compass word."""
    return {} if text is None else {"facing_deg": parse_bearing(text)}
