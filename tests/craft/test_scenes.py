"""Light levels photographers know by name."""

from logbook.craft.scenes import scenes_like


def test_a_level_is_named_by_the_scenes_nearest_to_it() -> None:
    assert [scene.words for scene in scenes_like(16.2)] == ["light sand or snow in full or slightly hazy sun"]
    assert "open shade in clear sunlight" in [scene.words for scene in scenes_like(12)]


def test_a_level_far_from_any_scene_has_no_name() -> None:
    assert scenes_like(25) == ()
    assert scenes_like(-12) == ()
