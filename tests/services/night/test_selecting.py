"""What is said of picked pictures: an answer where a question is about just them, else theirs alone."""

from dataclasses import replace

import pytest

from logbook.domain.errors import LogbookError
from logbook.domain.words import Provenance, Support
from logbook.services.night.cards import StayCard
from logbook.services.night.questions import Asks
from logbook.services.night.selecting import bare_ids, hardly_bare, say_of_pictures
from logbook.services.night.whole import whole_evening
from tests.services.night.sittings import Sitting


def ledge(sitting: Sitting) -> StayCard:
    """The stay at the ledge, of six pictures."""
    return whole_evening(sitting.night).stays[1]


def said(sitting: Sitting, name: str) -> list[tuple[object, Provenance | None]]:
    """What the book says of the pictures at the ledge, in their order."""
    return [(getattr(one, name), one.provenance_of(name)) for one in ledge(sitting).keepers]


@pytest.mark.slow
def test_filters_of_one_picture_leave_its_neighbours_alone(sitting: Sitting) -> None:
    first, second, *_ = ledge(sitting).keepers
    assert say_of_pictures(sitting.night, [first.id], Asks.FILTERS, "pol") == ()
    (one, *others) = said(sitting, "filters")
    assert one == (("pol",), Provenance.STATED)
    assert {value for value, _ in others} == {None}
    say_of_pictures(sitting.night, [first.id, second.id], Asks.FILTERS, "?")
    assert said(sitting, "filters")[0][0] is None


def test_all_pictures_of_a_question_are_its_answer(sitting: Sitting) -> None:
    group = ledge(sitting).groups[0]
    say_of_pictures(sitting.night, [one.id for one in group.keepers], Asks.FILTERS, "nd8 + pol")
    item = next(one for one in ledge(sitting).groups[0].items if one.question.asks is Asks.FILTERS)
    assert (item.value, item.word, item.is_open) == ("nd8 + pol", Provenance.STATED, False)


@pytest.mark.slow
def test_pictures_go_onto_a_planned_shot_and_off_it_again(sitting: Sitting) -> None:
    *_, last = ledge(sitting).keepers
    say_of_pictures(sitting.night, [last.id], Asks.SHOT, "gorge-smooth")
    with sitting.book.reading() as desk:
        shot = desk.shots.first(slug="gorge-smooth")
        assert shot is not None
    assert said(sitting, "shot_id")[-1] == (shot.id, Provenance.STATED)
    say_of_pictures(sitting.night, [last.id], Asks.SHOT, "none")
    assert said(sitting, "shot_id")[-1][0] is None


@pytest.mark.slow
def test_the_support_of_a_whole_stay_is_that_of_its_visit(sitting: Sitting) -> None:
    ids = [one.id for one in ledge(sitting).keepers]
    sitting.night.say(ledge(sitting).items[0].question.key, "y")  # at the ledge
    say_of_pictures(sitting.night, ids, Asks.SUPPORT, "braced")
    assert sitting.visit("quarry-ledge").support is Support.BRACED
    say_of_pictures(sitting.night, ids[:1], Asks.SUPPORT, "tripod")
    assert sitting.visit("quarry-ledge").support is Support.BRACED
    assert [value for value, _ in said(sitting, "support")] == [Support.TRIPOD, *[Support.BRACED] * 5]


def test_what_cannot_be_understood_changes_nothing(sitting: Sitting) -> None:
    first, *_ = ledge(sitting).keepers
    for ids, asks, line in (
        ([], Asks.FILTERS, "nd8"),
        ([first.id], Asks.SHARPNESS, "a bit"),
        ([first.id], Asks.SHOT, "no-such-shot"),
        ([first.id], Asks.JOURNAL, "a day"),
    ):
        with pytest.raises(LogbookError):
            say_of_pictures(sitting.night, ids, asks, line)
    assert {one.filters for one in ledge(sitting).keepers} == {None}


def test_pictures_without_filter_or_proposal_are_named_together(sitting: Sitting) -> None:
    shown = whole_evening(sitting.night)
    assert shown.plan is not None
    keepers = [one for stay in shown.stays for one in stay.keepers]
    bare = bare_ids(keepers, shown.plan)
    assert 0 < len(bare) < len(keepers)
    say_of_pictures(sitting.night, bare, Asks.FILTERS, "none")
    with sitting.book.reading() as desk:
        kept = [desk.keepers.get(one) for one in bare]
    assert {one.filters for one in kept if one} == {()}


def test_pictures_that_hardly_had_no_filter_are_named_apart_from_those_without_a_word(
    sitting: Sitting,
) -> None:
    shown = whole_evening(sitting.night)
    assert shown.plan is not None
    first, *others = shown.plan.visits
    group = first.groups[0]
    doubted, *_ = group.keeper_ids
    doubting = replace(group, explanations=(), doubts={doubted: "8 s: it was day"})
    plan = replace(shown.plan, visits=(replace(first, groups=(doubting, *first.groups[1:])), *others))
    keepers = [one for stay in shown.stays for one in stay.keepers]
    assert hardly_bare(keepers, plan) == (doubted,)
    assert [one.id for one in shown.seen(hardly_bare(keepers, plan))] == [doubted]
    assert doubted not in bare_ids(keepers, plan)
