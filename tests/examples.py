"""What is tried in the quick tests, and what with `-m slow` alone: more examples, more of what is alike."""

import os
from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import settings

QUICK, SLOW = 50, 200  # examples of a property
LEAST = 4  # of one that takes long to try


def settle(*, are_slow: bool) -> None:
    """Choose once for a run, before the tests are read.

    Busy machines are slow, which is no fault of an example. CI tries the same examples every time; a person's
    runs try others, and what they find is written down as a test of its own.
    """
    settings.register_profile(
        "logbook",
        deadline=None,
        derandomize=bool(os.environ.get("CI")),
        max_examples=SLOW if are_slow else QUICK,
    )
    settings.load_profile("logbook")


def examples(share: float) -> int:
    """Return a share of a run's examples: small for what takes long to try, over 1 for what is quick."""
    return max(LEAST, round(settings().max_examples * share))


def slow(*values: Any) -> list[Any]:
    """Return parameters that are tried with `-m slow` alone, as others of their kind are tried always.

    A tuple is a value for each of several parameters.
    """
    each = (one if isinstance(one, tuple) else (one,) for one in values)
    return [pytest.param(*one, marks=pytest.mark.slow) for one in each]


def first(values: Iterable[Any], count: int) -> list[Any]:
    """Return parameters of which the first few are tried always, and the others with `-m slow` alone."""
    each = list(values)
    return [*each[:count], *slow(*each[count:])]
