"""Invented words for generated books: names of places, and sentences as photographers write them at night.

Everything is drawn from a seeded `random.Random`, so a book of one seed and size is the same book everywhere.
"""

from random import Random

_FIRST = "bar cal dor el fen gar hol ir jas kel lor mar nor os pel quen ral sil tar ul ver wen yar zel"
_MIDDLE = "a e i o ad an ar en er il in ol on or un ath eld ind orm ust"
_LAST = "a by dal den er fell ga ham holm ick is mere na nes os ra rin sted ton va wick"

FEATURES = {
    "bridge": ("Arch", "Footbridge", "Old Bridge", "Viaduct"),
    "cliff": ("Cliffs", "Stacks", "Head"),
    "coast": ("Strand", "Cove", "Point", "Sea Wall"),
    "dune": ("Dunes", "Sand Sea", "Ridge"),
    "forest": ("Wood", "Beeches", "Pines"),
    "gorge": ("Gorge", "Narrows", "Cleft"),
    "harbour": ("Harbour", "Quay", "Slip"),
    "lake": ("Lake", "Tarn", "Reservoir"),
    "market": ("Market", "Arcade", "Square"),
    "mountain": ("Pass", "Saddle", "Spur"),
    "night-sky": ("Dark Field", "Observatory Hill"),
    "river": ("River Bend", "Ford", "Weir"),
    "salt-flat": ("Salt Flat", "Pan"),
    "town": ("Old Town", "Terraces", "Steps"),
    "waterfall": ("Falls", "Cascade", "Force"),
}
SPOTS = (
    "upper rail,lower ledge,north bank,car park wall,east stairs,flat rock,boardwalk end,"
    "pump house,gravel bar,far shore,crest,lay-by,mill race,chapel gate,ferry ramp,second bend"
)
LOOKED_AT = (
    "the far wall,the arch,the last houses,the ridge line,the reflections,the spray,a lone tree,the lamps"
)

TECHNIQUES = {
    "silky water": ("bridge", "cliff", "coast", "gorge", "river", "waterfall", "harbour", "lake"),
    "rough water": ("bridge", "cliff", "coast", "gorge", "river", "waterfall"),
    "panning": ("town", "market", "harbour", "bridge"),
    "exposure blend": ("dune", "mountain", "lake", "salt-flat", "town", "gorge"),
    "star trails": ("night-sky", "salt-flat", "mountain", "dune"),
    "panorama": ("dune", "mountain", "salt-flat", "lake", "coast"),
    "focus stack": ("forest", "salt-flat", "coast", "waterfall"),
    "light trails": ("town", "bridge", "harbour"),
    "people as scale": ("dune", "market", "town", "gorge", "waterfall"),
    "long lens layers": ("dune", "mountain", "forest", "town"),
}
INTENTS = {
    "silky water": "Water as smooth as cloth, the rock dark and sharp",
    "rough water": "Every drop frozen, to show the power of it",
    "panning": "One moving thing sharp, the rest drawn into lines",
    "exposure blend": "Detail in the shade and in the sky from three frames",
    "star trails": "Arcs around the pole above a still foreground",
    "panorama": "The whole width in one strip of frames",
    "focus stack": "Sharp from the pebble at my feet to the skyline",
    "light trails": "Red and white lines through the bend at lamp time",
    "people as scale": "One small figure so that the size can be read",
    "long lens layers": "Ridges behind one another, paler and paler",
}
_OPENINGS = (
    "Cold start.,Late again.,Slow drive in.,Nobody about.,Coaches before us.,Fog until nine.,"
    "Ice on the tent.,Good coffee at the ferry.,Warm wind all night.,"
    "Rain on the roof until four.,Tired legs."
)
_SUBJECTS = (
    "the river,the light,the cloud,the warden,a school class,the tide,the spray,the path,"
    "the wind,my left boot,the fog,a wedding party,the ferry,the barrier,the lamps,the dust,"
    "the moon,the surf,a dog walker,the snow line"
)
_VERBS = (
    "came earlier than forecast,held for ten minutes,went behind the ridge,"
    "spoiled the first frames,left at six,stood exactly where the legs had to go,"
    "turned gold and then grey,was higher than last year,never came,made the stones shine,"
    "shook the camera,cleared at the last moment,kept us waiting,closed the lower path"
)
_TAILS = (
    "so we moved to {spot},and I changed to the {focal} mm,before the polariser was on,"
    "while the filters were wet,and {name} waited below,so the plan was dropped,"
    "which the map did not say,and the second try was better,so I braced on the rail,"
    "with two neutral density filters stacked,until the battery died,and nobody minded"
)
_LESSONS = {
    "keep": (
        "Stand at {spot} before the coaches come",
        "A dark filter and the wall: enough for eight seconds",
        "Carry the {focal} mm on the shoulder, not in the bag",
        "Wait ten minutes after the sun is gone",
        "Ask at {name} first; they know the gate times",
        "Frame wide, crop later, keep the horizon level",
    ),
    "change": (
        "Come an hour earlier to {spot}",
        "Take the longer legs to {name}",
        "Focus before the dark filter is on",
        "Turn stabilisation off on the tripod",
        "Bracket wider against the sun",
        "Bring boots for wet sand",
    ),
    "avoid": (
        "Trusting the forecast wind at {name}",
        "Crossing below {spot} after rain",
        "Long times on the boards",
        "Stacking a polariser on the {focal} mm",
        "Coming at noon in the season",
        "Leaving the cloth in the car",
    ),
}
_CONDITION_NOTES = {
    "closure": "{subject} {verb}; the way to {spot} shut",
    "light": "{subject} {verb}",
    "weather": "showers, then {subject} {verb}",
    "ground": "slippery near {spot}",
}


class Words:
    """Sentences and names, each call the next draw of one seeded stream."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.name = "the village"
        self._lists = {
            key: text.split(",")
            for key, text in {"subject": _SUBJECTS, "verb": _VERBS, "spot": SPOTS, "tail": _TAILS}.items()
        }
        self._openings = _OPENINGS.split(",")

    def place(self) -> str:
        """A place name that is hardly ever drawn twice."""
        pick = self.chance.choice
        middle = "".join(pick(_MIDDLE.split()) for _ in range(self.chance.randint(0, 2)))
        return (pick(_FIRST.split()) + middle + pick(_LAST.split())).capitalize()

    def site(self, kind: str) -> str:
        """The title of a site of a kind; its name then turns up in sentences."""
        self.name = self.place()
        return f"{self.name} {self.chance.choice(FEATURES[kind])}"

    def spot(self) -> str:
        """A spot at a site."""
        return self.chance.choice(self._lists["spot"])

    def looks_at(self) -> str:
        """What a viewpoint looks at."""
        return self.chance.choice(LOOKED_AT.split(","))

    def sentence(self) -> str:
        """One sentence of a journal."""
        text = self._filled("{subject} {verb}" + (", {tail}" if self.chance.random() < 0.6 else "")) + "."
        return text[0].upper() + text[1:]

    def journal(self, sentences: int) -> str:
        """A few sentences as somebody tired writes them."""
        return " ".join([self.chance.choice(self._openings), *(self.sentence() for _ in range(sentences))])

    def lesson(self, verb: str) -> str:
        """A lesson that fits its verb."""
        return self._filled(self.chance.choice(_LESSONS[verb])) + "."

    def condition(self, kind: str) -> str:
        """What was noted of a condition that has no level."""
        return self._filled(_CONDITION_NOTES[kind])

    def caption(self) -> str:
        """A caption of a keeper."""
        return self._filled("{subject} at {name}, {look}").capitalize()

    def alternative(self, kind: str) -> str:
        """Alternative text of a keeper."""
        return self._filled(
            f"A {kind.replace('-', ' ')} seen from {{spot}}; {{subject}} in front of {{look}}"
        )

    def _filled(self, pattern: str) -> str:
        for _ in range(2):  # a tail has slots of its own
            pattern = pattern.replace("{tail}", self.chance.choice(self._lists["tail"]), 1)
            pattern = pattern.replace("{subject}", self.chance.choice(self._lists["subject"]), 1)
            pattern = pattern.replace("{verb}", self.chance.choice(self._lists["verb"]), 1)
            pattern = pattern.replace("{spot}", f"the {self.chance.choice(self._lists['spot'])}", 1)
            pattern = pattern.replace("{look}", self.looks_at(), 1).replace("{name}", self.name)
            pattern = pattern.replace("{focal}", str(self.chance.choice((14, 24, 35, 50, 85, 135, 200))))
        return pattern
