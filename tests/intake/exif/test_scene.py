"""What the camera measured of the scene, and its ISO, by the standard's tags and by one maker's notes."""

from collections.abc import Callable

import pytest
from piexif import ExifIFD

from logbook.domain.camera import DistanceRange
from logbook.intake.exif.scene import CameraScene, read_iso, read_scene
from logbook.intake.exif.tags import Tags

TagsOf = Callable[..., Tags]
FILLER = 0xFFFFFFFF  # CIPA DC-008 section 4.6.6: unknown; of a distance, infinity


def canon(*shot_info: int, speed: int = 15, length: int | None = None) -> Tags:
    """Tags with a maker's lists of short numbers, unsigned as the file holds them."""
    info = [0, *(number & 0xFFFF for number in shot_info)]
    info[0] = 2 * len(info) if length is None else length
    camera = [2 * 46, *[0] * 15, speed, *[0] * 29]
    return Tags({"MakerNote ShotInfo": info, "MakerNote CameraSettings": camera})


@pytest.mark.parametrize(
    ("written", "brightness"),
    [
        ((906, 100), 9.06),
        ((-113, 20), -5.65),
        ((0, 1), 0.0),
        ((-1, 1), None),
        ((7, 0), None),
        ((90, 1), None),
    ],
)  # numerator -1 is "all bits set", the standard's word for unknown
def test_brightness_is_a_number_with_a_sign(
    tags_of: TagsOf, written: tuple[int, int], brightness: float | None
) -> None:
    assert read_scene(tags_of({ExifIFD.BrightnessValue: written})).brightness_ev == brightness


@pytest.mark.parametrize(
    ("written", "metres", "word"),
    [
        ((63, 100), 0.63, None),
        ((0, 1), None, None),
        ((FILLER, 1), None, DistanceRange.DISTANT),
        ((1, 0), None, DistanceRange.DISTANT),
    ],
)
def test_distance_is_in_metres_and_infinity_is_distant(
    tags_of: TagsOf, written: tuple[int, int], metres: float | None, word: DistanceRange | None
) -> None:
    scene = read_scene(tags_of({ExifIFD.SubjectDistance: written}))
    assert (scene.subject_distance_m, scene.subject_distance_range, scene.notes) == (metres, word, ())


def test_a_distance_that_cannot_be_is_unknown_and_noted(tags_of: TagsOf) -> None:
    scene = read_scene(tags_of({ExifIFD.SubjectDistance: (200_000, 1)}))
    assert scene.subject_distance_m is None
    assert scene.notes == ("subject distance unknown: the file says 200000 m, which is not possible",)


@pytest.mark.parametrize(
    ("code", "word"),
    [(0, None), (1, DistanceRange.MACRO), (2, DistanceRange.CLOSE), (3, DistanceRange.DISTANT), (9, None)],
)  # CIPA DC-008, SubjectDistanceRange
def test_each_range_has_its_word(tags_of: TagsOf, code: int, word: DistanceRange | None) -> None:
    assert read_scene(tags_of({ExifIFD.SubjectDistanceRange: code})).subject_distance_range is word


def test_nothing_written_is_nothing_known() -> None:
    assert read_scene(Tags()) == CameraScene()


@pytest.mark.parametrize(("raw", "ev100"), [(240, 12.5), (-140, 0.625), (0, None), (4000, None)])
def test_a_makers_figure_counts_32_to_a_stop(raw: int, ev100: float | None) -> None:
    assert read_scene(canon(55, 160, raw)).metered_ev100 == ev100


def test_a_makers_list_that_was_moved_is_not_believed() -> None:
    moved = canon(55, 160, 240, length=1234)
    assert (read_scene(moved).metered_ev100, read_iso(moved)) == (None, (None, ()))


@pytest.mark.parametrize(
    ("auto", "base", "speed", "iso"),
    [(55, 160, 15, 329), (0, 128, 0, 50), (0, 160, 18, 200), (0, 160, 0x4000 + 160, 160), (0, 0, 15, None)],
)  # 100 * 2 ^ (auto/32) * 2 ^ (base/32) / 32, worked through by hand
def test_iso_of_a_makers_notes_stands_in_and_is_noted(
    auto: int, base: int, speed: int, iso: int | None
) -> None:
    found, notes = read_iso(canon(auto, base, 0, speed=speed))
    assert found == iso
    assert notes == (() if iso is None else (f"ISO {iso} taken from the maker's note",))


def test_the_old_tag_is_read_first(tags_of: TagsOf) -> None:
    exif = {ExifIFD.ISOSpeedRatings: 400, ExifIFD.RecommendedExposureIndex: 800}
    assert read_iso(tags_of(exif)) == (400, ())


def test_zeros_before_the_number_are_passed_over(tags_of: TagsOf) -> None:
    assert read_iso(tags_of({ExifIFD.ISOSpeedRatings: (0, 640)})) == (640, ())


@pytest.mark.parametrize(
    ("sensitivity_type", "expected"), [(1, 100_000), (2, 102_400), (3, 104_000), (4, 102_400), (0, 102_400)]
)  # CIPA DC-008, SensitivityType
def test_an_overflowing_old_tag_leads_to_the_tag_its_type_names(
    tags_of: TagsOf, sensitivity_type: int, expected: int
) -> None:
    exif = {
        ExifIFD.ISOSpeedRatings: 65_535,
        ExifIFD.SensitivityType: sensitivity_type,
        ExifIFD.StandardOutputSensitivity: 100_000,
        ExifIFD.RecommendedExposureIndex: 102_400,
        ExifIFD.ISOSpeed: 104_000,
    }
    assert read_iso(tags_of(exif)) == (expected, ())


@pytest.mark.parametrize("tag", ["StandardOutputSensitivity", "RecommendedExposureIndex", "ISOSpeed"])
def test_each_long_tag_is_found_when_it_stands_alone(tags_of: TagsOf, tag: str) -> None:
    assert read_iso(tags_of({getattr(ExifIFD, tag): 250})) == (250, ())


def test_an_exposure_index_stands_in_and_is_noted(tags_of: TagsOf) -> None:
    iso, notes = read_iso(tags_of({ExifIFD.ExposureIndex: (200, 1)}))
    assert (iso, notes) == (200, ("ISO 200 taken from ExposureIndex",))


def test_zero_and_a_lone_overflow_are_unknown_and_noted(tags_of: TagsOf) -> None:
    assert read_iso(tags_of({ExifIFD.ISOSpeedRatings: 0})) == (None, ("ISO unknown: the file says 0",))
    iso, notes = read_iso(tags_of({ExifIFD.ISOSpeedRatings: 65_535}))
    assert iso is None
    assert "65535" in notes[0]


def test_no_tag_is_unknown_without_a_note() -> None:
    assert read_iso(Tags()) == (None, ())
