"""How many examples a property is tried with: in the quick tests, and five times as many with `-m slow`."""

import os

from hypothesis import settings

QUICK, SLOW = 100, 500


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
    return max(1, round(settings().max_examples * share))
