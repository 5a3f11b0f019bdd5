"""Harmless texts, as a photographer writes them: nothing in them is a secret of the planted trip."""

import random

_TEXTS = (
    "Ice on the tent at six; the stove took two matches and the coffee was worth it.",
    "The rail was empty until 17:20, then two coaches came and {few} people stood on the ledge.",
    "Bracket of {few} at {stops} stops apart, f/11, ISO 100, tripod low over the water.",
    "Wind from the north-west, force {few}, gusts made the {glass} mm lens useless.",
    "Walked {walk} min along the river to the old mill; the path was wet but safe.",
    "Exposure {secs} s with nd8 and polariser; the silk was right at the third try.",
    "Light went flat at {hour}:{minute:02d}, packed up and ate soup under the arch of the bridge.",
    "The warden said that the north rim road opens again on Monday.",
    "Elevation {metres} m, temperature {cold} °C, air pressure {press}.25 hPa.",
    "Camp stood at 47.12346, 12.73457, near the quarry.",
    "The quarry ledge faces south-west (225°), so the sun sets behind the far ridge.",
    "Keepers 0412-0419 and 0431 are sharp, {few} others are soft at the corner.",
    "Next time come before the coaches, bring the heavy tripod and a second filter holder.",
    "A heron stood in the reeds for {secs} minutes and never moved.",
    "In May the moor is yellow, in October it is brown and smells of rain.",
    "Crowd: dozens at 17:20, none at 18:30, and a drone over the pool at 18:{minute:02d}.",
    "Moon rises at {hour}:{minute:02d}, {deg}° above the horizon at ten, waning, {cold}0 % lit.",
    "The lodge costs {metres} a night; cash only, the key hangs behind the door.",
    "Ferry at 06:{minute:02d} and 17:{minute:02d}, back by way of the coast road.",
    "Focus on the third stone, hyperfocal {few}.{minute:02d} m at f/16, diffraction shows a little.",
    "The girl with the yellow umbrella agreed to stand on the steps; release is signed.",
    "Batteries: {few} full, one at {deg} %. Cards: {few} of 64 GB.",
    "Rockfall at the lower stairs, the gate is locked, a rope bars the walkway.",
    "Two frames with 1/{press} s froze the spray, one with 1/8 s did not.",
    "High water at {hour}:{minute:02d}, {few},{cold} m; the causeway is under water for an hour.",
    "Sold {few} prints of the pier at 40 x 60 cm, one framed in ash.",
    "The light on the falls lasts until about {hour}:{minute:02d} and comes from the left.",
    "Students liked the pair with and without filter; {stops} stops make the difference.",
    "Handheld at 1/{deg} s because tripods are forbidden inside the tower.",
    "White balance 5600 K, tint +{few}; the snow still turned blue in the shade.",
    "A branded cup and an archer's glove lay on the path to the hollow.",
    "Rain at {hour}, fog at {hour}:{minute:02d}, then stars; nothing of it was in the forecast.",
    "Bus 61 leaves at 7:39 from stop 14, platform 4; bus 47 runs at 12:59.",
    "Grid of {few} by {few} pictures for the wall, the largest in the middle.",
    "Order number {press}-{metres}, size 572 by 241, price 67.80 each.",
    "The client asked for stillness and got it: no people, long water, one bare tree.",
    "Left the {glass} mm at home since it weighs {press} g; never missed it.",
    "Mist over the mere at dawn, sun {deg}° off the axis of the view, lens hood needed.",
    "Ask at the inn for the miller's son, who rows people across for a coin.",
    "Sunday: slept. Monday: {few} hours of waiting, {cold} minutes of light.",
)


def texts(count: int, rng: random.Random) -> list[str]:
    """Return different harmless texts."""
    made: dict[str, None] = {}
    while len(made) < count:
        text = _TEXTS[len(made) % len(_TEXTS)].format(
            few=rng.randrange(2, 9),
            stops=rng.choice((1, 2, 3)),
            glass=rng.choice((24, 50, 70, 200)),
            walk=rng.randrange(5, 90),
            secs=rng.randrange(2, 60),
            hour=rng.randrange(5, 22),
            minute=rng.randrange(0, 60),
            metres=rng.randrange(100, 3000),
            cold=rng.randrange(1, 9),
            press=rng.randrange(950, 1050),
            deg=rng.randrange(10, 80),
        )
        made.setdefault(text if text not in made else f"{text} Again on day {len(made)}.")
    return list(made)
