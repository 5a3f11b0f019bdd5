"""Which questions follow from a plan."""

from dataclasses import replace

from logbook.craft.matching import MatchKind
from logbook.domain.words import Disclosure, Provenance
from logbook.services.night.planned import Explained, NightPlan, PlannedGroup, PlannedVisit, dumped, loaded
from logbook.services.night.questions import Answered, Asks, Question
from logbook.services.night.sequence import after_clocks

GROUP = PlannedGroup(("a",), "TRN_0412.JPG", shot="bridge-flow", shot_reason="at the planned time")
OTHER = replace(GROUP, keeper_ids=("b", "c"), label="TRN_0413-0414", shot_reason="8 min late")
VISIT = PlannedVisit(
    "v1", "quarry-ledge", "16:00", "17:00", "4 frames", (), "tripod", 14, "from file numbers", (GROUP, OTHER)
)
PLAN = NightPlan((VISIT,), (), ("bridge-flow",), ())


def asked(plan: NightPlan, answers: dict[str, Answered] | None = None) -> dict[str, Question]:
    """The questions by key."""
    return {one.key: one for one in after_clocks(plan, Disclosure.AREA, answers or {})}


def with_visit(visit: PlannedVisit) -> NightPlan:
    """The plan with another visit."""
    return replace(PLAN, visits=(visit,))


def test_a_plan_comes_back_from_its_text_as_it_was() -> None:
    explained = replace(GROUP, filters_said=(), explanations=(Explained(("nd8",), 3.0),))
    plan = with_visit(replace(VISIT, groups=(explained, OTHER), stated=("tries",)))
    assert loaded(dumped(plan)) == plan


def test_neighbours_that_serve_one_shot_are_asked_about_once() -> None:
    questions = [one for one in asked(PLAN).values() if one.asks is Asks.SHOT]
    (question,) = questions
    assert question.about == "a,b,c"
    assert question.text == "TRN_0412.JPG, TRN_0413-0414 (3 frames): for shot"
    assert question.why == ("TRN_0412.JPG: at the planned time", "TRN_0413-0414: 8 min late")


def test_keepers_of_different_shots_are_asked_about_apart() -> None:
    plan = with_visit(
        replace(VISIT, groups=(GROUP, replace(OTHER, shot="bridge-rough"), replace(GROUP, keeper_ids=("d",))))
    )
    shots = [one.default for one in asked(plan).values() if one.asks is Asks.SHOT]
    assert shots == ["bridge-flow", "bridge-rough", "bridge-flow"]


def test_a_replacement_is_never_proposed_as_the_shot_itself() -> None:
    elsewhere = replace(GROUP, shot_kind=str(MatchKind.REPLACEMENT), shot_reason="made 900 m away instead")
    questions = asked(with_visit(replace(VISIT, groups=(elsewhere,))))
    assert not [one for one in questions.values() if one.asks is Asks.SHOT and one.default]
    outcome = questions["shot.bridge-flow"]
    assert outcome.default == ""
    assert outcome.why[0] == "TRN_0412.JPG may stand in for it: made 900 m away instead"


def test_what_somebody_stated_of_a_shot_stands_there_as_stated() -> None:
    said = replace(GROUP, shot_said="bridge-rough")
    questions = asked(with_visit(replace(VISIT, groups=(said,))))
    assert [(one.default, one.came_from) for one in questions.values() if one.asks is Asks.SHOT] == [
        ("bridge-rough", Provenance.STATED)
    ]
    assert questions["shot.bridge-flow"].default == ""


def test_only_what_was_stated_is_shown_as_stated() -> None:
    questions = asked(with_visit(replace(VISIT, stated=("arrived_at", "departed_at"))))
    assert questions["visit.v1.times"].came_from is Provenance.STATED
    assert questions["visit.v1.tries"].came_from is Provenance.INFERRED
    half = asked(with_visit(replace(VISIT, stated=("arrived_at",))))
    assert half["visit.v1.times"].came_from is Provenance.INFERRED
    assert questions["visit.v1.support"].came_from is Provenance.ASSUMED
    assert (
        asked(with_visit(replace(VISIT, stated=("support",))))["visit.v1.support"].came_from
        is Provenance.STATED
    )


def test_a_visit_is_asked_about_once_its_viewpoint_is_known() -> None:
    nowhere = with_visit(replace(VISIT, viewpoint=None))
    assert "visit.v1.tries" not in asked(nowhere)
    assert "visit.v1.tries" not in asked(nowhere, {"visit.v1.viewpoint": Answered("", None)})
    known = {"visit.v1.viewpoint": Answered("quarry-ledge", Provenance.STATED)}
    assert "visit.v1.tries" in asked(nowhere, known)


def test_unknown_filters_are_not_carried_on() -> None:
    key = "group.a.filters"
    stated = asked(PLAN, {key: Answered("pol", Provenance.STATED)})
    assert stated["group.b.filters"].default == "pol"
    assert stated["group.b.filters"].came_from is Provenance.ASSUMED
    assert asked(PLAN, {key: Answered("", None)})["group.b.filters"].default == ""


def test_a_visit_of_one_moment_is_headed_by_that_moment() -> None:
    moment = with_visit(replace(VISIT, departed="16:00"))
    assert asked(moment)["visit.v1.times"].chapter == "quarry-ledge 16:00"
    assert asked(moment)["visit.v1.times"].default == "16:00-16:00"
