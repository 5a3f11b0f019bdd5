"""What a light level looks like: the scenes photographers know by their exposure value.

One surprising decision: a level between two rows is named by the nearest, within one stop, else by nothing.
"""

from dataclasses import dataclass

from logbook.craft.exposure import SAME_STOPS


@dataclass(frozen=True, slots=True)
class Scene:
    """A kind of light and its range of EV at ISO 100; sun rows are for front light, side −1, back −2."""

    words: str
    low_ev100: float
    high_ev100: float


SCENES = (  # EV at ISO 100; ANSI PH2.7-1973 (R1986), daylight, natural and artificial light rows
    Scene("light sand or snow in full or slightly hazy sun", 16, 16),
    Scene("a typical scene in full or slightly hazy sun", 15, 15),
    Scene("a typical scene in hazy sun with soft shadows", 14, 14),
    Scene("a typical scene, cloudy bright, no shadows", 13, 13),
    Scene("a typical scene under heavy overcast", 12, 12),
    Scene("open shade in clear sunlight", 12, 12),
    Scene("a skyline just before sunset", 12, 14),
    Scene("a skyline at sunset", 12, 12),
    Scene("a skyline just after sunset", 9, 11),
    Scene("a rainbow against a clear sky", 15, 15),
    Scene("a rainbow against a cloudy sky", 14, 14),
    Scene("a bright street at night", 8, 8),
    Scene("a street with window displays at night", 7, 8),
    Scene("floodlit buildings, monuments and fountains", 3, 5),
    Scene("distant lit buildings", 2, 2),
    Scene("a landscape under a full moon above 40°", -3, -2),
    Scene("a landscape under a gibbous moon", -4, -4),
    Scene("a landscape under a quarter moon", -6, -6),
    Scene("a bright aurora", -4, -3),
    Scene("a medium aurora", -6, -5),
)


def scenes_like(scene_ev100: float) -> tuple[Scene, ...]:
    """Return the known scenes nearest to this EV at ISO 100, within one stop; () when there is none.

    All that lie as near to a third of a stop, for a meter tells no more.
    """
    away = {s: max(s.low_ev100 - scene_ev100, scene_ev100 - s.high_ev100, 0.0) for s in SCENES}
    least = min(away.values())
    return tuple(s for s in SCENES if away[s] <= least + SAME_STOPS) if least <= 1 else ()
