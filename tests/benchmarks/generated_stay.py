"""One visit of a generated book, with what was observed, planned, made and learned there."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from logbook.domain.condition import Condition
from logbook.domain.keeper import Keeper, KeeperSet
from logbook.domain.lesson import Lesson
from logbook.domain.shot import Outcome, Shot
from logbook.domain.trip import Trip
from logbook.domain.visit import Visit
from logbook.domain.words import (
    Audience,
    ClockEvidence,
    ConditionKind,
    LessonVerb,
    OutcomeWord,
    Priority,
    Provenance,
    Reason,
    SetKind,
    Sharpness,
    Support,
    TripodRule,
    VisitPurpose,
)
from tests.benchmarks.generated_parts import (
    BODIES,
    HOLDS,
    HOURS,
    LIGHT_EV,
    PLANNED_S,
    SHOTS_A_TRIP,
    STACKS,
    SUPPORTS,
    VISITS_A_TRIP,
    WATERY,
    Batch,
    Place,
)
from tests.benchmarks.generated_words import INTENTS, TECHNIQUES

if TYPE_CHECKING:
    from tests.benchmarks.generated_book import Maker


@dataclass
class Stay:
    """One visit with all that belongs to it."""

    maker: "Maker"
    batch: Batch
    trip: Trip
    place: Place
    on_date: date
    keepers: int

    def make(self) -> None:
        """Draw the visit, what was observed, the shots planned for it and the keepers."""
        maker, chance = self.maker, self.maker.chance
        maker.words.name = self.place.site.title.split()[0]
        self.viewpoint = chance.choice(self.place.viewpoints)
        self.hour = chance.choice(tuple(HOURS))
        first, last = HOURS[self.hour]
        self.arrived = datetime.combine(
            self.on_date, time(chance.randint(first, last - 1), chance.randrange(0, 60, 5))
        )
        if self.viewpoint.tripod_rule is TripodRule.FORBIDDEN:
            self.support = chance.choice((Support.HANDHELD, Support.BRACED))
        else:
            self.support = chance.choice(SUPPORTS)
        self.observe()
        tries = chance.randint(2, 30)
        visit = Visit(
            **maker.record(),
            slug=maker.slug(f"{self.viewpoint.slug} {self.on_date}"),
            trip_id=self.trip.id,
            viewpoint_id=self.viewpoint.id,
            on_date=self.on_date,
            arrived_at=self.arrived.time(),
            departed_at=(self.arrived + timedelta(minutes=75)).time(),
            purpose=VisitPurpose.SHOOTING,
            tries=tries if chance.random() < 0.7 else None,
            support=self.support if chance.random() < 0.8 else None,
            journal=maker.words.journal(2),
        )
        self.batch.add("visits", visit)
        kind = str(self.place.site.kinds[0])
        fitting = [name for name, kinds in TECHNIQUES.items() if kind in kinds] or ["exposure blend"]
        made = [self.shot(chance.choice(fitting)) for _ in range(SHOTS_A_TRIP // VISITS_A_TRIP)]
        self.take(made, kind)
        if chance.random() < 0.3:
            self.lesson(made[0][0])

    def observe(self) -> None:
        """Crowd and wind mostly, water where there is some, and now and then a closure."""
        maker, chance = self.maker, self.maker.chance
        self.crowd = chance.choices(("none", "few", "dozens", "hundreds", "thousands"), (25, 30, 25, 15, 5))[
            0
        ]
        self.wind = min(12, int(chance.gammavariate(2.0, 1.7)))
        self.water = chance.choices(("dry", "low", "normal", "high", "flood"), (5, 25, 45, 20, 5))[0]
        self.closed = chance.random() < 0.06
        if chance.random() < 0.9:
            self.condition(ConditionKind.CROWD, self.crowd, None)
        if chance.random() < 0.7:
            self.condition(ConditionKind.WIND, str(self.wind), None)
        if str(self.place.site.kinds[0]) in WATERY and chance.random() < 0.8:
            self.condition(ConditionKind.WATER, self.water, None)
        if self.closed:
            self.condition(ConditionKind.CLOSURE, None, maker.words.condition("closure"))
        if chance.random() < 0.3:
            kind = chance.choice(("light", "weather", "ground"))
            self.condition(ConditionKind(kind), None, maker.words.condition(kind))

    def condition(self, kind: ConditionKind, level: str | None, note: str | None) -> None:
        """One observation, some minutes after arrival."""
        maker = self.maker
        at = self.arrived + timedelta(minutes=maker.chance.randint(0, 40))
        self.batch.add(
            "conditions",
            Condition(
                **maker.record(),
                slug=maker.slug(f"{kind} {self.viewpoint.slug}"),
                trip_id=self.trip.id,
                kind=kind,
                on_date=self.on_date,
                at=at.time(),
                viewpoint_id=self.viewpoint.id,
                site_id=self.place.site.id,
                level=level,
                direction=maker.chance.choice(("west", "north", None))
                if kind is ConditionKind.WIND
                else None,
                note=note,
                source="the warden" if kind is ConditionKind.CLOSURE else None,
            ),
        )

    def shot(self, technique: str) -> tuple[Shot, OutcomeWord]:
        """A plan, and what became of it given what was there."""
        maker, chance = self.maker, self.maker.chance
        exposure = Fraction(chance.choice(PLANNED_S.get(technique, (Fraction(1, 60), Fraction(1, 250)))))
        planned = Support.TRIPOD if exposure >= 1 else chance.choice(SUPPORTS)
        shot = Shot(
            **maker.record(),
            slug=maker.slug(f"{self.place.site.title.split()[0]} {technique}"),
            title=f"{self.place.site.title.split()[0]} {technique}",
            trip_id=self.trip.id,
            viewpoint_id=self.viewpoint.id,
            intent=INTENTS[technique],
            on_date=self.on_date,
            window_from=self.arrived.time(),
            window_to=(self.arrived + timedelta(minutes=60)).time(),
            technique=technique,
            focal_mm=float(chance.choice((14, 24, 35, 50, 85, 135, 200))),
            f_number=chance.choice((2.8, 5.6, 8.0, 11.0, 16.0)),
            exposure_s=exposure,
            iso=chance.choice((100, 200, 400)),
            filters=chance.choice(STACKS) if exposure >= 1 and self.hour != "night" else (),
            support=planned,
            priority=chance.choice(tuple(Priority)),
            notes=maker.words.sentence() if chance.random() < 0.3 else None,
        )
        self.batch.add("shots", shot)
        word, reasons = self.outcome(exposure)
        if word is not OutcomeWord.OPEN:
            note = maker.words.sentence() if chance.random() < 0.6 else None
            outcome = Outcome(**maker.record(), shot_id=shot.id, word=word, reasons=reasons, note=note)
            self.batch.add("outcomes", outcome)
        return shot, word

    def outcome(self, exposure: Fraction) -> tuple[OutcomeWord, tuple[Reason, ...]]:
        """What became of a shot: obstacles first, then whether the support could hold so long."""
        chance = self.maker.chance
        watery = str(self.place.site.kinds[0]) in WATERY
        failed = chance.choices((OutcomeWord.MISSED, OutcomeWord.PARTLY, OutcomeWord.REPLACED), (5, 3, 2))[0]
        if self.closed and chance.random() < 0.8:
            return OutcomeWord.MISSED, (Reason.CLOSURE,)
        if self.crowd in ("hundreds", "thousands") and chance.random() < 0.6:
            return failed, (Reason.CROWD,)
        if watery and self.water in ("high", "flood") and chance.random() < 0.5:
            return failed, (Reason.WATER,)
        if self.wind >= 7 and exposure >= 1 and chance.random() < 0.7:
            return failed, (Reason.WEATHER,)
        if exposure >= 1 and chance.random() > HOLDS[self.support]:
            return failed, (Reason.TECHNIQUE,)
        if chance.random() < 0.15:
            return failed, (chance.choice((Reason.LIGHT, Reason.TIME, Reason.GEAR)),)
        return (OutcomeWord.OPEN if chance.random() < 0.05 else OutcomeWord.MADE), ()

    def take(self, shots: list[tuple[Shot, OutcomeWord]], kind: str) -> None:
        """The keepers of the visit: those of shots that were made, and others; some belong to a bracket."""
        got = [shot for shot, word in shots if word in (OutcomeWord.MADE, OutcomeWord.PARTLY)]
        at = self.arrived + timedelta(minutes=self.maker.chance.randint(2, 15))
        members: list[Keeper] = []
        for number in range(self.keepers):
            shot = got[number % len(got)] if got and self.maker.chance.random() < 0.6 else None
            members.append(self.keeper(at, shot, kind))
            at += timedelta(seconds=self.maker.chance.randint(1, 400))
        if len(members) >= 3 and self.maker.chance.random() < 0.4:
            ids = tuple(one.id for one in members[:3])
            set_kind = self.maker.chance.choice((SetKind.BRACKET, SetKind.PANORAMA))
            self.batch.add(
                "sets", KeeperSet(**self.maker.record(), trip_id=self.trip.id, kind=set_kind, keeper_ids=ids)
            )

    def keeper(self, at: datetime, shot: Shot | None, kind: str) -> Keeper:
        """One keeper whose settings fit the shot, or else the light."""
        maker, chance = self.maker, self.maker.chance
        f_number = shot.f_number if shot else chance.choice((2.8, 4.0, 5.6, 8.0, 11.0, 16.0))
        if shot and shot.exposure_s and chance.random() < 0.7:
            exposure, filters = shot.exposure_s, shot.filters
        else:
            ev = LIGHT_EV[self.hour] + chance.uniform(-2, 2)
            stops = round(min(9.0, max(-5.0, ev - 2 * chance.choice((2, 3, 4)))))
            exposure = Fraction(1, 2**stops) if stops >= 0 else Fraction(2**-stops)
            filters = chance.choice(((), (), ("pol",), ("nd8",), None))
        zoned = at.replace(tzinfo=self.place.zone)
        maker.count += 1
        camera = dict.fromkeys(("exposure_s", "f_number", "iso", "focal_mm", "body"), Provenance.CAMERA)
        keeper = Keeper(
            **maker.record(**camera),
            slug=f"trn-{maker.count:07}",
            trip_id=self.trip.id,
            file=f"TRN_{maker.count:07}.JPG",
            path=f"/pictures/{self.trip.slug}/TRN_{maker.count:07}.JPG",
            hash=f"{maker.count:064x}",
            size_bytes=5_000_000 + maker.count,
            format="JPEG",
            width_px=6000,
            height_px=4000,
            taken_text=f"{at:%Y:%m:%d %H:%M:%S}",
            taken_local=at,
            zone=str(self.place.zone),
            clock_evidence=ClockEvidence.STATED,
            taken_utc=zoned.astimezone(UTC),
            exposure_s=exposure,
            f_number=f_number,
            iso=shot.iso if shot else chance.choice((100, 200, 400, 1600)),
            bias_stops=0.0,
            focal_mm=shot.focal_mm if shot else float(chance.choice((14, 24, 35, 50, 85, 135, 200))),
            body=chance.choice(BODIES),
            lens=chance.choice(("14-24 mm", "24-70 mm", "70-200 mm")),
            rating=chance.choice((None, None, 3, 4, 5)),
            filters=filters,
            support=self.support if chance.random() < 0.8 else None,
            viewpoint_id=self.viewpoint.id if chance.random() < 0.95 else None,
            shot_id=shot.id if shot else None,
            caption=maker.words.caption() if chance.random() < 0.3 else None,
            alternative=maker.words.alternative(kind) if chance.random() < 0.3 else None,
            note=maker.words.sentence() if chance.random() < 0.2 else None,
            sharpness=self.sharpness(exposure),
        )
        self.batch.add("keepers", keeper)
        return keeper

    def sharpness(self, exposure: Fraction) -> Sharpness | None:
        """Judged on two of three; a long time is sharp as often as the support holds."""
        chance = self.maker.chance
        if chance.random() < 0.33:
            return None
        holds = HOLDS[self.support] if exposure >= Fraction(1, 4) else 0.9
        return Sharpness.SHARP if chance.random() < holds else Sharpness.SOFT

    def lesson(self, shot: Shot) -> None:
        """What was learned, tied to the shot, the viewpoint, the site or the technique."""
        maker, chance = self.maker, self.maker.chance
        verb = chance.choice(tuple(LessonVerb))
        text = maker.words.lesson(verb)
        ties: dict[str, Any] = chance.choice(
            (
                {"shot_id": shot.id, "viewpoint_id": self.viewpoint.id},
                {"viewpoint_id": self.viewpoint.id},
                {"site_id": self.place.site.id},
                {"technique": shot.technique},
            )
        )
        self.batch.add(
            "lessons",
            Lesson(
                **maker.record(), slug=maker.slug(text), verb=verb, text=text, trip_id=self.trip.id,
                on_date=self.on_date, shown_to=chance.choice((Audience.STUDENTS, None)), **ties,
            ),
        )  # fmt: skip
