"""Light levels photographers know by name."""

from logbook.craft.scenes import scenes_like


def test_a_level_is_named_by_the_scenes_nearest_to_it() -> None:
    assert [scene.words for scene in scenes_like(16.2)] == ["light sand or snow in full or slightly hazy sun"]
    assert "open shade in clear sunlight" in [scene.words for scene in scenes_like(12)]


def test_a_level_far_from_any_scene_has_no_name() -> None:
    assert scenes_like(25) == ()
    assert scenes_like(-12) == ()


def test_a_hundredth_of_a_stop_hides_no_scene() -> None:
    """An ND1000 takes 9.97 stops, not 10; the guide's hazy sun with soft shadows is EV 14."""
    words = [scene.words for scene in scenes_like(13.97)]
    assert words == [
        "a typical scene in hazy sun with soft shadows",
        "a skyline just before sunset",
        "a rainbow against a cloudy sky",
    ]
