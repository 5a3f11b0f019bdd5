"""Filters inferred on simulated days whose filters are known, and on real frames where nothing is known.

The simulator and the exact measures are in simulated_days.py; tests/benchmarks/inference_days.py runs
thousands of days. Here fewer days keep the suite quick, so the limits allow for chance: of 300 days at a true
rate of 1 %, more than 7 are wrong with a chance of about one in a hundred.
Real frames: some fifty cameras' pictures in Debian's package golang-github-rwcarlsen-goexif-dev.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from logbook.craft.exposure import ev100
from logbook.craft.filters import parse_filter
from logbook.craft.inference.frames import Frame
from logbook.craft.inference.jumps import FilterProposal, infer_filters
from logbook.craft.inference.sets import find_sets
from logbook.domain.camera import ExposureMode
from logbook.domain.errors import UnreadableFileError
from logbook.intake.pictures import read_picture
from tests.truth.simulated_days import MANNERS, STANDARD, Day, Manner, Score, judged, simulated_day

SAMPLES = Path("/usr/share/gocode/src/github.com/rwcarlsen/goexif/exif/samples")
KIT = tuple(parse_filter(name) for name in ("nd4", "nd8", "nd64", "nd256", "nd1024", "pol"))
FIRST_SEED, DAYS = 400_000, 300


def trial(manner: Manner, days: int = DAYS) -> Score:
    total = Score()
    for seed in range(FIRST_SEED, FIRST_SEED + days):
        day = simulated_day(seed, manner)
        total += judged(day, infer_filters(day.frames, day.kit, find_sets(day.frames)).proposals)
    return total


def manner(name: str) -> Manner:
    return next(one for one in MANNERS if one.name == name)


def test_visible_changes_of_filters_are_found_on_simulated_days() -> None:
    score = trial(STANDARD)
    assert score.visible > 500
    assert score.visible_found / score.visible >= 0.88, score.text
    assert score.strong_found / score.strong >= 0.95, score.text  # nd16 and stronger
    assert score.first_right / score.proposals >= 0.85, score.text


def test_days_with_a_wrong_assertion_are_rare() -> None:
    assert trial(STANDARD).wrong_days <= 7


def test_days_without_any_filter_are_days_of_silence() -> None:
    score = trial(manner("no filter ever used"))
    assert score.changes == 0
    assert score.asserting_days <= 7


def test_the_measures_notice_a_wrong_answer() -> None:
    day = next(day for seed in range(99) if proposals_of(day := simulated_day(seed)))
    proposals = proposals_of(day)
    assert judged(day, proposals).wrong_days == 0
    liars = [
        replace(one, explanations=tuple(replace(e, filters=("nd2",)) for e in one.explanations))
        for one in proposals
    ]
    assert judged(day, liars).wrong_days == 1
    assert judged(day, liars).visible_found == 0
    shifted = [replace(one, keys=one.keys[1:] or one.keys) for one in proposals]
    assert judged(day, shifted).visible_found <= judged(day, proposals).visible_found


def proposals_of(day: Day) -> tuple[FilterProposal, ...]:
    return infer_filters(day.frames, day.kit, find_sets(day.frames)).proposals


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
