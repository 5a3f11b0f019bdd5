"""What tells a site from others."""

from logbook.domain.site_traits import usual
from logbook.domain.words import ConditionKind


def test_the_usual_level_is_the_lower_middle_one() -> None:
    assert usual(ConditionKind.CROWD, ["none", "thousands", "few"]) == "few"
    assert usual(ConditionKind.CROWD, ["hundreds", "few"]) == "few"
    assert usual(ConditionKind.WIND, ["10", "9", "2"]) == "9"
    assert usual(ConditionKind.WATER, []) is None
