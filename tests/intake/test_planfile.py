"""Plan files are read as everything else that people write."""

from datetime import date, time
from pathlib import Path

import pytest

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import Support
from logbook.intake.planfile import read_plan

SHOT = '[[shot]]\ntrip = "high-valley"\ntitle = "Bridge flow"\n'


def planned(folder: Path, *lines: str) -> dict[str, object]:
    path = folder / "plan.toml"
    path.write_text(SHOT + "\n".join(lines), encoding="utf-8")
    return dict(read_plan(path).nouns["shot"][0])


def test_filters_supports_dates_and_times_are_read_as_everywhere(tmp_path: Path) -> None:
    shot = planned(
        tmp_path,
        'filters = ["ND3.0", "CPL"]',
        'support = "hand-held"',
        'on_date = "14 Oct 2031"',
        'window_from = "5:20 pm"',
        "window_to = 18:45:00",
    )
    assert (shot["filters"], shot["support"]) == (("nd1000", "pol"), Support.HANDHELD)
    assert (shot["on_date"], shot["window_from"]) == (date(2031, 10, 14), time(17, 20))
    assert shot["window_to"] == time(18, 45)
    assert planned(tmp_path, 'filters = "10 stop, polariser"')["filters"] == ("nd1000", "pol")
    assert planned(tmp_path, "filters = []")["filters"] == ()


@pytest.mark.parametrize("line", ['filters = ["same"]', 'support = "h"', 'window_from = "dusk"'])
def test_a_slip_is_refused_in_one_sentence(tmp_path: Path, line: str) -> None:
    with pytest.raises(InvalidValueError, match=r"^[^\n]+\.$"):
        planned(tmp_path, line)
