"""Random plans for property tests: the fields of a shot as columns name them."""

from datetime import date
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from logbook.domain.day import is_backwards
from logbook.domain.words import Priority, Support

# Words that mean something in a plan among words that mean nothing.
MEANING = """Mill bridge dawn at the of and else note: 24 mm f/8 tripod nd8 must have , ; - — “x” (y) [z] #
    ' = 📷 ü 18:10 2 s 10 min ISO title: =1+1 @ none 14 Oct x,y " ' • 2031-10-14 handheld [x] until"""
WORDS = st.sampled_from(MEANING.split())
TITLES = st.lists(WORDS, min_size=1, max_size=6).map(" ".join)
NOTHING = ("—", "-", "–", "?")  # what a cell has where there is nothing to say
LINES = st.lists(WORDS, min_size=1, max_size=8).map(" ".join).filter(lambda line: line not in NOTHING)
NOTES = st.lists(LINES, min_size=1, max_size=3).map("\n".join)
EXPOSURES = st.one_of(
    st.sampled_from([Fraction(1, 125), Fraction(2), Fraction(30), Fraction(1800), Fraction(3, 5)]),
    st.fractions(Fraction(1, 8000), 3600, max_denominator=9999).filter(bool),
)


def plans() -> st.SearchStrategy[dict[str, Any]]:
    """What is known of one shot; its title always is."""
    drawn: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
        {"title": TITLES},
        optional={
            "on_date": st.dates(date(2000, 1, 1), date(2060, 1, 1)),
            "window_from": st.times().map(lambda at: at.replace(second=0, microsecond=0)),
            "window_to": st.times().map(lambda at: at.replace(microsecond=0)),
            "focal_mm": st.one_of(st.sampled_from([24.0, 50.0, 8.8]), st.floats(1, 5000)),
            "f_number": st.one_of(st.sampled_from([1.8, 5.6, 11.0]), st.floats(0.5, 128)),
            "exposure_s": EXPOSURES,
            "iso": st.integers(1, 10_000_000),
            "filters": st.lists(st.sampled_from(["nd8", "nd64", "pol", "gnd8", "uv"]), max_size=3).map(tuple),
            "support": st.sampled_from(Support),
            "priority": st.sampled_from(Priority),
            "technique": LINES,
            "intent": NOTES,
            "notes": NOTES,
        },
    )
    return drawn.filter(lambda plan: not is_backwards(plan.get("window_from"), plan.get("window_to")))
