"""Filters inferred on simulated days whose filters are known, and on real frames where nothing is known.

The simulators are in simulated_days.py and, nearer to what trips are, field_days.py, the exact measures in
judged_days.py; tests/benchmarks/inference_days.py runs thousands of days. Here fewer days keep the suite
quick, so the limits allow for chance: of 200 days at a true rate of 0.6 %, more than 6 are wrong once in five
hundred.
Real frames: some fifty cameras' pictures in Debian's package golang-github-rwcarlsen-goexif-dev.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from logbook.craft.exposure import ev100
from logbook.craft.filters import parse_filter
from logbook.craft.inference.frames import Frame
from logbook.craft.inference.jumps import infer_filters
from logbook.craft.inference.proposal import FilterProposal
from logbook.craft.inference.sets import find_sets
from logbook.domain.camera import ExposureMode
from logbook.domain.errors import UnreadableFileError
from tests.intake.reading import read_picture
from tests.truth.field_days import FIELD, HABITS, Habit, field_day
from tests.truth.judged_days import Score, judged
from tests.truth.simulated_days import MANNERS, STANDARD, Day, Manner, simulated_day

SAMPLES = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")
KIT = tuple(parse_filter(name) for name in ("nd4", "nd8", "nd64", "nd256", "nd1024", "pol"))
FIRST_SEED, DAYS = 400_000, 200


def trial(manner: Manner | Habit, days: int = DAYS) -> Score:
    total = Score()
    for seed in range(FIRST_SEED, FIRST_SEED + days):
        day = field_day(seed, manner) if isinstance(manner, Habit) else simulated_day(seed, manner)
        total += judged(day, infer_filters(day.frames, day.kit, find_sets(day.frames)).proposals)
    return total


def manner(name: str) -> Manner | Habit:
    return next(one for one in (*HABITS, *MANNERS) if one.name == name)


@pytest.mark.slow
@pytest.mark.parametrize("days", [FIELD, STANDARD], ids=["field", "standard"])
def test_visible_changes_of_filters_are_found_or_asked_about(days: Manner | Habit) -> None:
    score = trial(days)
    assert score.visible.visible > 300
    assert score.visible.share >= 0.94, score.text
    assert score.strong.found / score.strong.visible >= 0.65, score.text  # nd16 and stronger, asserted
    assert score.first_right / score.proposals >= 0.8, score.text
    assert score.questions <= score.changes, score.text
    assert score.wrong_days <= 6, score.text


@pytest.mark.slow
def test_days_without_any_filter_are_nearly_silent() -> None:
    score = trial(manner("field, no filter used"))
    assert score.changes == 0
    assert score.asserting_days <= 6
    assert score.questions <= 0.35 * score.days


@pytest.mark.slow
def test_days_of_steady_light_are_days_of_silence() -> None:
    score = trial(manner("field, steady light, no filter used"))
    assert score.asserting_days <= 3
    assert score.questions <= 0.04 * score.days


def test_the_measures_notice_a_wrong_answer() -> None:
    day = next(day for seed in range(99) if proposals_of(day := simulated_day(seed)))
    proposals = proposals_of(day)
    assert judged(day, proposals).wrong_days == 0
    assert judged(day, proposals).visible.found > 0
    liars = [
        replace(one, explanations=tuple(replace(e, filters=("nd2",)) for e in one.explanations))
        for one in proposals
    ]
    assert judged(day, liars).wrong_days == 1
    assert judged(day, liars).visible.found == 0
    shifted = [replace(one, keys=one.keys[1:] or one.keys) for one in proposals]
    assert judged(day, shifted).visible.found <= judged(day, proposals).visible.found


def test_a_question_counts_only_at_exactly_the_right_frame() -> None:
    days = (simulated_day(seed) for seed in range(200))
    day, answer = next((day, found) for day in days if judged(day, found := answer_of(day)).visible.asked)
    asked = judged(day, answer).visible.asked
    moved = [replace(one, keys=one.keys[1:] or ("elsewhere",)) if one.asked else one for one in answer]
    assert judged(day, moved).visible.asked < asked
    assert judged(day, [one for one in answer if not one.asked]).visible.asked == 0


def answer_of(day: Day) -> tuple[FilterProposal, ...]:
    return infer_filters(day.frames, day.kit, find_sets(day.frames)).proposals


def proposals_of(day: Day) -> tuple[FilterProposal, ...]:
    return tuple(one for one in answer_of(day) if not one.asked)


def real_frames() -> list[Frame]:
    """The samples as frames, on the clock their cameras wrote."""
    frames = []
    for path in sorted(SAMPLES.iterdir()):
        try:
            facts = read_picture(path)
        except UnreadableFileError:
            continue
        light = None
        if facts.f_number and facts.exposure_s and facts.iso and not facts.flash_fired:
            light = ev100(facts.f_number, facts.exposure_s, facts.iso)
        frames.append(
            Frame(
                key=path.name,
                at_s=facts.taken_local.timestamp() if facts.taken_local else 0.0,
                ev100=light,
                aperture=facts.f_number,
                exposure_s=None if facts.exposure_s is None else float(facts.exposure_s),
                iso=facts.iso,
                bias_stops=None if facts.bias_stops is None else float(facts.bias_stops),
                metered=None
                if facts.exposure_mode is None
                else facts.exposure_mode is not ExposureMode.MANUAL,
                focal_mm=facts.focal_mm,
                direction_deg=facts.direction_deg,
                auto_bracket=facts.auto_bracket,
                body=facts.body,
                stem=path.stem,
                suffix=path.suffix,
            )
        )
    return frames


@pytest.mark.skipif(
    not SAMPLES.is_dir(), reason="Debian's golang-github-rwcarlsen-goexif-dev is not installed"
)
def test_real_frames_of_which_nothing_is_known_give_no_assertion() -> None:
    frames = real_frames()
    assert len(frames) > 40
    assert sum(frame.ev100 is not None for frame in frames) > 10
    assert find_sets(frames) == ()
    assert infer_filters(frames, KIT, find_sets(frames)).proposals == ()
