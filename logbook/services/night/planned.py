"""What a night asks about, as plain data: visits, groups of keepers, shots, and the text they are kept as.

One surprising decision: a plan holds text for every proposal and its reason, so that nothing has to be worked
out again to ask; what a person has stated already stands in it as `said` and is never proposed again.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import date, datetime, time
from hashlib import blake2b

from logbook.domain.day import begin_on


@dataclass(frozen=True, slots=True)
class Explained:
    """One way to explain a jump in exposure."""

    filters: tuple[str, ...]
    stops: float


@dataclass(frozen=True, slots=True)
class PlannedSet:
    """Keepers of a group that belong together, by their ids: a bracket, a panorama, a burst."""

    kind: str
    keeper_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedGroup:
    """Keepers that are asked about together: one run of one camera at one visit, behind the same filters, for
    one shot."""

    keeper_ids: tuple[str, ...]
    label: str
    filters_said: tuple[str, ...] | None = None
    explanations: tuple[Explained, ...] = ()
    filters_reason: str = ""
    shot_said: str | None = None
    shot: str | None = None
    shot_kind: str = "shot"
    shot_reason: str = ""
    set_kind: str | None = None
    files: tuple[str, ...] = ()
    settings: str = ""  # when and how they were made
    body: str | None = None
    doubts: Mapping[str, str] = field(default_factory=dict)  # why no filter is hard to believe, by keeper id
    soft: tuple[str, ...] = ()  # ids of keepers that were measured to be soft
    sharp: tuple[str, ...] = ()  # and of those that were measured to be sharp
    soft_reason: str = ""
    question: str = ""  # whether filters changed before these frames, or the light
    question_reason: str = ""
    if_filter: tuple[str, ...] = ()  # what was on if a filter changed
    if_light: tuple[str, ...] = ()  # and if only the light did
    sets: tuple[PlannedSet, ...] = ()
    is_late: bool = False  # they came in after the evening was begun


@dataclass(frozen=True, slots=True)
class PlannedVisit:
    """A visit that was made or is proposed; `id` is the record's, made beforehand.

    `stated` names what a person said of it, by the fields of the record; all else is worked out.
    """

    id: str
    viewpoint: str | None
    arrived: str | None
    departed: str | None
    reason: str
    stated: tuple[str, ...]
    support: str | None
    tries: int | None
    tries_reason: str
    groups: tuple[PlannedGroup, ...]
    guess: str | None = None  # the viewpoint that the matched plans name, where nothing else tells
    support_from: str = "carried forward"
    settings: str = ""  # how many frames, when and how they were made

    @property
    def key(self) -> str:
        """What the keys of questions about it begin with; it stays when stays are cut and joined."""
        return f"visit.{self.id}"

    @property
    def sign(self) -> str:
        """What tells this stay from what it becomes when it is cut, joined or gets further pictures."""
        taken = sorted(one for group in self.groups for one in group.keeper_ids)
        return sign_of(taken or [self.id, str(self.arrived), str(self.departed)])


def sign_of(names: Iterable[str]) -> str:
    """Return one short name for some, the same for the same ones."""
    return blake2b("\n".join(names).encode(), digest_size=8).hexdigest()


@dataclass(frozen=True, slots=True)
class NightPlan:
    """What a night asks about: visits in order, keepers that belong to none, and the shots of the day."""

    visits: tuple[PlannedVisit, ...]
    others: tuple[PlannedGroup, ...]
    shots: tuple[str, ...]
    notes: tuple[str, ...]
    planned: Mapping[str, str] = field(default_factory=dict)  # when, where and how, by the shot's slug

    @property
    def groups(self) -> tuple[PlannedGroup, ...]:
        """All groups of keepers, in the order in which they are asked about."""
        return (*(group for visit in self.visits for group in visit.groups), *self.others)


def begin_of(visit: PlannedVisit, on_date: date, day_ends_at: time) -> tuple[bool, datetime]:
    """Return what stays are put in order by: when each begins, those of which nobody knows it last."""
    at = time.fromisoformat(visit.arrived) if visit.arrived else None
    return at is None, begin_on(on_date, at, day_ends_at)


def dumped(plan: NightPlan) -> str:
    """Return a plan as JSON."""
    return json.dumps(asdict(plan), ensure_ascii=False)


def loaded(text: str) -> NightPlan:
    """Return a plan from its JSON."""
    data = json.loads(text)
    return NightPlan(
        tuple(
            PlannedVisit(
                **{
                    **visit,
                    "stated": tuple(visit["stated"]),
                    "groups": tuple(_group(group) for group in visit["groups"]),
                }
            )
            for visit in data["visits"]
        ),
        tuple(_group(group) for group in data["others"]),
        tuple(data["shots"]),
        tuple(data["notes"]),
        data.get("planned", {}),
    )


def _group(data: Mapping[str, object]) -> PlannedGroup:
    fields = dict(data)
    for name in ("keeper_ids", "files", "soft", "sharp", "if_filter", "if_light"):
        fields[name] = tuple(fields.get(name, ()))  # type: ignore[arg-type]
    sets = fields.get("sets", ())
    fields["sets"] = tuple(PlannedSet(one["kind"], tuple(one["keeper_ids"])) for one in sets)  # type: ignore[attr-defined]
    said = fields["filters_said"]
    fields["filters_said"] = None if said is None else tuple(said)  # type: ignore[arg-type]
    fields["explanations"] = tuple(
        Explained(tuple(one["filters"]), one["stops"])
        for one in fields["explanations"]  # type: ignore[attr-defined]
    )
    return PlannedGroup(**fields)  # type: ignore[arg-type]
