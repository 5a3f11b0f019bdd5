"""A day's light in characters: each stands for its own stretch, at any clock, and is left out when asked."""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from logbook.faces.light_strip import SIGNS, strip_lines
from logbook.sky.events import sky_day
from logbook.sky.observer import Observer
from logbook.sky.phases import PhaseKind
from tests.faces.conftest import OnTerminal, Run

NOON = datetime(2031, 10, 14, 12, tzinfo=UTC)


def by_noon(at: datetime) -> PhaseKind:
    return PhaseKind.NIGHT if at < NOON else PhaseKind.DAY


def test_each_sign_stands_for_its_own_stretch_above_the_hours_of_the_place() -> None:
    start = datetime(2031, 10, 14, tzinfo=UTC)
    light, pictures, hours = strip_lines(
        start, start + timedelta(days=1), UTC, by_noon, [NOON, NOON + timedelta(days=2)]
    )
    assert light == "." * 36 + "#" * 36
    assert pictures == " " * 36 + "^"
    assert hours.split() == ["0", "3", "6", "9", "12", "15", "18", "21"]
    assert hours.index("12") == 36


def test_a_day_of_twenty_five_hours_names_each_hour_once() -> None:
    zone = ZoneInfo("Europe/Lisbon")
    start = datetime(2031, 10, 25, 23, tzinfo=UTC)  # midnight there, before clocks go back
    _, hours = strip_lines(start, start + timedelta(hours=25), zone, by_noon)
    assert hours.split() == ["0", "3", "6", "9", "12", "15", "18", "21"]


def test_every_kind_of_light_has_a_sign() -> None:
    assert set(SIGNS) == set(PhaseKind)


def test_light_and_a_day_show_their_strip_unless_it_is_not_wanted(on_demo: Run) -> None:
    light = ("light", "dune-foot", "--on", "2025-10-16")
    day = ("day", "show", "2025-10-16", "--trip", "high-valley")
    assert "...:::=+++####" in on_demo(*light).out
    shown = on_demo(*day).out
    assert "+++####" in shown
    assert shown.count("^") == 6, "one for each third of an hour with pictures, and the legend's"
    for line in (light, day):
        plain = on_demo(*line, "--plain").out
        assert "####" not in plain
        assert "# day" not in plain


@pytest.mark.slow
def test_the_strip_is_as_wide_as_there_is_room(on_demo: Run, on_terminal: OnTerminal) -> None:
    assert on_demo("trip", "list").status == 0
    for columns, width in ((80, 72), (60, 48), (30, 24)):
        lines = on_terminal("light", "dune-foot", "--on", "2025-10-16", columns=columns)
        (strip,) = (line for line in lines if re.search(r"\.:.*\+#", line))
        assert len(strip) == width
    assert not re.search(r"\+#", "".join(on_terminal("light", "dune-foot", "--on", "2025-10-16", columns=20)))


@pytest.mark.parametrize("width", [72, 48])
def test_a_light_shorter_than_a_sign_is_still_shown(width: int) -> None:
    """On the equator at an equinox the sun crosses two degrees in eight minutes (360 degrees a day)."""
    start = datetime(2031, 3, 21, 5, tzinfo=UTC)
    place = Observer(0.0, -78.5)
    sky = sky_day(place, start, start + timedelta(days=1))
    blue = [one for one in sky.phases if one.kind is PhaseKind.BLUE]
    assert [round((one.end - one.start) / timedelta(minutes=1)) for one in blue] == [8, 8]
    light, _ = strip_lines(start, start + timedelta(days=1), UTC, sky.kind_at, width=width)
    assert re.fullmatch(r"\.+:+=\++#+\++=:+\.+", light)
    narrow, _ = strip_lines(start, start + timedelta(days=1), UTC, sky.kind_at, width=24)
    assert re.fullmatch(r"\.+:+\++#+\++:+\.+", narrow), "with no room left, a light keeps its only sign"
