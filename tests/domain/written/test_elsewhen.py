"""What was so at another time, is forecast or only planned is told from what was seen."""

import pytest

from logbook.domain.words import ConditionKind
from logbook.domain.written.elsewhen import follows_elsewhen, is_elsewhen

WEATHER, CLOSURE, WATER = ConditionKind.WEATHER, ConditionKind.CLOSURE, ConditionKind.WATER


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        *(
            (WEATHER, said)
            for said in ("rain expected tmrw", "fcst says snow", "should get foggy", "storm tomorrow")
        ),
        *((WATER, said) for said in ("next low 04:50", "tide table says high", "usually higher")),
        *((CLOSURE, said) for said in ("used to be closed", "was closed in May", "was closed, open again")),
    ],
)
def test_a_forecast_a_table_a_custom_or_a_memory_was_not_seen(kind: ConditionKind, said: str) -> None:
    assert is_elsewhen(kind, said)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        *(
            (WEATHER, said)
            for said in ("drizzle, clearing tomorrow", "colder than last year", "fog like yesterday")
        ),
        *((WATER, said) for said in ("higher than last autumn", "low, lower than yesterday")),
        *((CLOSURE, said) for said in ("road closed, opens again Friday", "closed until tomorrow")),
    ],
)
def test_a_comparison_and_a_clause_that_was_seen_stay_observations(kind: ConditionKind, said: str) -> None:
    assert not is_elsewhen(kind, said)


@pytest.mark.parametrize(
    "rest", [" tmrw", " (yesterday)", " in the forecast", " on a normal sunday", " two days ago"]
)
def test_what_follows_a_level_may_move_it_to_another_time(rest: str) -> None:
    assert follows_elsewhen(rest)


@pytest.mark.parametrize(
    "rest", ["", ", more expected", " due to rain", " (not like last year)", " at the rail"]
)
def test_other_words_behind_a_level_leave_it_where_it_is(rest: str) -> None:
    assert not follows_elsewhen(rest)
