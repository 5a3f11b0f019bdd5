"""Exercises: every answer is worked out here a second time, from the words of the question alone.

The second reckoning reads the numbers back out of the question and knows only the series of marks (thirds of
a stop, ISO 516, ISO 517, ISO 12232) and that an ND filter's number is its factor.
"""

import math
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pytest

from logbook.domain.account import TripAccount
from logbook.domain.discretion import account_for
from logbook.domain.keeper import KeeperSet
from logbook.domain.kit import KitItem, PackedItem
from logbook.domain.words import Audience, Disclosure, KitKind, Packing, Provenance, SetKind, Support
from logbook.faces.report import BuiltReport
from logbook.faces.report.exercises import exercises
from logbook.faces.report.models import Exercise
from logbook.faces.report.order import put_in_order
from tests.faces.report.conftest import record

TRIPS = ("high-valley-autumn", "slate-coast-winter", "river-forest-spring")
STACK = r"(?:(?:(?:two |three )?ND\d+|(?:a )?polariser)(?: and )?)+"  # as pages name it
SETTINGS = re.compile(rf"f/([\d.]+), ([\d/.]+ s|\d+ min) and ISO (\d+)(?: (with {STACK}|without filters))?")
ANSWER_TOLERANCE = 0.006  # stops; answers carry two decimals


def thirds(stops: float) -> float:
    return round(3 * stops) / 3


def seconds(text: str) -> Fraction:
    number, unit = text.split()
    return Fraction(number) * (60 if unit == "min" else 1)


def stops_of_time(text: str) -> float:
    return thirds(math.log2(seconds(text)))


def filter_stops(text: str) -> float:
    turned = 1.5 if "polariser" in (text or "") else 0.0  # stops; a factor of 2.8 (Ray)
    return turned + sum(math.log2(int(one.removeprefix("ND"))) for one in glasses(text or ""))


def glasses(text: str) -> tuple[str, ...]:
    """The single filters of "two ND8 and ND128", in order."""
    found = re.findall(r"(?:(two|three) )?(ND\d+)", text)
    times = {"": 1, "two": 2, "three": 3}
    return tuple(sorted(name for count, name in found for _ in range(times[count])))


def camera_ev(f_number: str, time: str, iso: str) -> float:
    return thirds(2 * math.log2(float(f_number))) - stops_of_time(time) - thirds(math.log2(int(iso) / 100))


def scenes(question: str) -> list[float]:
    """The light that each picture named in a question tells of, EV at ISO 100."""
    return [camera_ev(f, t, iso) + filter_stops(stack) for f, t, iso, stack in SETTINGS.findall(question)]


def number(text: str) -> float:
    return float(text.replace("−", "-"))


def check(one: Exercise) -> str:
    """Check one exercise by its own words; return what kind it was."""
    asked, told = one.question, one.answer
    if "How bright was the scene" in asked:
        assert number(re.fullmatch(r"EV (−?[\d.]+)\.", told)[1]) == pytest.approx(  # type: ignore[index]
            scenes(asked)[0], abs=ANSWER_TOLERANCE
        )
        return "scene"
    if "What shutter speed would have given the same exposure without filters" in asked:
        f, t, _, stack = SETTINGS.findall(asked)[0]
        time = re.match(r"[\d/.]+ s", told)[0]  # type: ignore[index]
        assert stops_of_time(time) == pytest.approx(stops_of_time(t) - filter_stops(stack), abs=1 / 6 + 1e-9)
        return "bare"
    if "Which shutter speed gives the same exposure at" in asked:
        f, t, _, _ = SETTINGS.findall(asked)[0]
        new = re.search(r"exposure at f/([\d.]+)", asked)[1]  # type: ignore[index]
        wider = thirds(2 * math.log2(float(f))) - thirds(2 * math.log2(float(new)))
        time = re.match(r"[\d/.]+ s", told)[0]  # type: ignore[index]
        assert stops_of_time(time) == pytest.approx(stops_of_time(t) - wider, abs=1e-9)
        assert wider
        return "aperture"
    if "neutral filters were packed" in asked:
        check_filters(asked, told)
        return "filters"
    if "slower than the guide" in asked:
        time, focal = re.search(r"at ([\d/.]+ s) and ([\d.]+) mm", asked).groups()  # type: ignore[union-attr]
        slower = stops_of_time(time) + math.log2(float(focal))
        assert float(told.split()[0]) == pytest.approx(slower, abs=0.051)  # a guide is told to a tenth
        return "guide"
    if "at which ISO" in asked:
        f, t, iso, _ = SETTINGS.findall(asked)[0]
        new = re.search(r"handheld pictures is ([\d/.]+ s):", asked)[1]  # type: ignore[index]
        faster = stops_of_time(t) - stops_of_time(new)
        answer = re.match(r"ISO (\d+)", told)[1]  # type: ignore[index]
        assert thirds(math.log2(int(answer) / int(iso))) == pytest.approx(faster, abs=1e-9)
        return "iso"
    if "By how many stops had the light changed" in asked:
        before, after = scenes(asked)
        way, stops = re.fullmatch(r"It had (risen|fallen) by ([\d.]+) stops?\.", told).groups()  # type: ignore[union-attr]
        assert float(stops) * (1 if way == "risen" else -1) == pytest.approx(
            after - before, abs=ANSWER_TOLERANCE
        )
        return "light"
    if "too much at once to compare as a pair" in asked:
        check_changes(asked, told)
        return "changes"
    if "Nobody noted the filters" in asked:
        check_unnoted(asked, told)
        return "unnoted"
    times = re.findall(r"[\d/.]+ s", re.search(r"bracket at (.*), all else", asked)[1])  # type: ignore[index]
    stops = [stops_of_time(time) for time in times]
    apart, whole = re.fullmatch(r"(.*) apart; ([\d.]+) stops? together\.", told).groups()  # type: ignore[union-attr]
    steps = {round(abs(b - a), 2) for a, b in pairwise(stops)}
    assert {float(n) for n in re.findall(r"[\d.]+(?= stop)", apart)} == steps
    assert float(whole) == pytest.approx(abs(stops[-1] - stops[0]), abs=ANSWER_TOLERANCE)
    return "bracket"


def check_filters(asked: str, told: str) -> None:
    """Every stack of at most three packed filters is tried, and those that fit are exactly the answer."""
    ev = number(re.search(r"EV (−?[\d.]+) at", asked)[1])  # type: ignore[index]
    wish = SETTINGS.findall(asked.split("at ISO 100,", 1)[1])[0]
    needed = ev - camera_ev(*wish[:3])
    packed = glasses(asked.split("packed: ")[1])
    stacks = {tuple(sorted(stack)) for n in range(4) for stack in combinations(packed, n)}
    fit = {s for s in stacks if abs(sum(filter_stops(x) for x in s) - needed) <= 1 / 3 + 1e-9}
    given = {glasses(part) for part in re.findall(rf"{STACK}(?= \()", told)}
    if told.startswith("None"):
        assert not fit
        return
    assert given == fit
    bare = -camera_ev(*wish[:3]) + thirds(2 * math.log2(float(wish[0]))) - needed
    bare -= thirds(math.log2(int(wish[2]) / 100))  # log2 of the time in s without a filter
    for stack, time in re.findall(rf"({STACK}) \(([\d/.]+ s)\)", told):
        assert stops_of_time(time) == pytest.approx(bare + filter_stops(stack), abs=1 / 6 + 1e-9)


def check_changes(asked: str, told: str) -> None:
    """Each setting is reckoned alone, and all of them are the difference of the two scenes."""
    (f1, t1, iso1, glass1), (f2, t2, iso2, glass2) = SETTINGS.findall(asked)
    brighter = {
        "aperture": thirds(2 * math.log2(float(f1))) - thirds(2 * math.log2(float(f2))),
        "shutter speed": stops_of_time(t2) - stops_of_time(t1),
        "ISO": thirds(math.log2(int(iso2) / int(iso1))),
        "filters": filter_stops(glass1) - filter_stops(glass2),
    }
    given = {
        name: float(stops) * (1 if way == "brighter" else -1)
        for name, stops, way in re.findall(
            r"[Tt]he (shutter speed|\w+) ([\d.]+) stops? (brighter|darker)", told
        )
    }
    assert len(given) >= 3
    for name, stops in brighter.items():
        assert given.get(name, 0.0) == pytest.approx(stops, abs=ANSWER_TOLERANCE if name in given else 1 / 3)
    before, after = scenes(asked)
    assert ("polariser is counted as 1.5 stops" in told) is ("polariser" in asked)
    if "they cancel out." in told:
        assert after == pytest.approx(before, abs=1 / 3 + 1e-9)
    else:
        total, way = re.search(r"together ([\d.]+) stops? (brighter|darker)\.", told).groups()  # type: ignore[union-attr]
        assert float(total) * (1 if way == "brighter" else -1) == pytest.approx(
            before - after, abs=ANSWER_TOLERANCE
        )


def check_unnoted(asked: str, told: str) -> None:
    """What is missing from the second scene, and exactly the stacks of packed filters that take it."""
    noted, silent = scenes(asked)
    taken = noted - silent
    assert float(told.split()[0]) == pytest.approx(taken, abs=ANSWER_TOLERANCE)
    packed = glasses(asked.partition("would take that: ")[2])
    stacks = {tuple(sorted(stack)) for n in range(1, 4) for stack in combinations(packed, n)}
    fit = {s for s in stacks if abs(sum(filter_stops(x) for x in s) - taken) <= 1 / 3 + 1e-9}
    assert {glasses(part) for part in told.partition(": ")[2].split(", or ") if glasses(part)} == fit


def of(account: TripAccount) -> tuple[Exercise, ...]:
    return exercises(put_in_order(account_for(account, Audience.STUDENTS)))


@pytest.fixture(params=TRIPS)
def told(request: pytest.FixtureRequest, demo_book: Path) -> TripAccount:
    from logbook.faces.opened import open_book
    from logbook.services.accounts import account_of

    return account_of(open_book(demo_book), request.param)


def test_every_answer_is_what_a_second_reckoning_gives(told: TripAccount) -> None:
    made = of(told)
    kinds = [check(one) for one in made]
    assert len(kinds) == len(set(kinds)), "each kind is asked once"
    assert len(made) >= (5 if told.trip.slug == "high-valley-autumn" else 3)
    assert len(made) <= 10
    assert all(one.working and all(one.working) for one in made)


def test_the_sample_trip_asks_every_kind(demo_book: Path) -> None:
    from logbook.faces.opened import open_book
    from logbook.services.accounts import account_of

    made = of(account_of(open_book(demo_book), TRIPS[0]))
    kinds = {check(one) for one in made}
    assert kinds == {
        "scene",
        "bare",
        "aperture",
        "filters",
        "guide",
        "iso",
        "light",
        "bracket",
        "changes",
        "unnoted",
    }


def test_the_same_trip_asks_the_same_questions(told: TripAccount) -> None:
    assert of(told) == of(told)


def test_an_assumed_value_is_never_made_a_question(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    keepers = tuple(replace(k, focal_35mm=24.0) for k in account.keepers)
    sure = replace(account, keepers=keepers, sets=())
    assert of(sure)
    guessed = tuple(replace(k, provenance={"exposure_s": Provenance.ASSUMED}) for k in keepers)
    assert of(replace(sure, keepers=guessed)) == ()


def test_a_polariser_has_no_one_answer_and_a_bias_hides_the_light(account: TripAccount) -> None:
    turned = replace(account, keepers=tuple(replace(k, filters=("pol",)) for k in account.keepers), sets=())
    biased = replace(account, keepers=tuple(replace(k, bias_stops=1.0) for k in account.keepers), sets=())
    for one in (turned, biased):
        assert not any("How bright" in exercise.question for exercise in of(one))


def test_only_the_strength_of_packed_filters_is_told(account: TripAccount) -> None:
    kit = {
        "nd": KitItem(
            **record("nd"),
            slug="nd",
            title="Grey one",
            kind=KitKind.FILTER,
            filter_name="nd64",
            notes="scratched",
        ),
        "odd": KitItem(**record("odd"), slug="odd", title="Aunt's fog filter", kind=KitKind.FILTER),
        "home": KitItem(**record("home"), slug="home", title="x", kind=KitKind.FILTER, filter_name="nd1000"),
    }
    packed = tuple(
        PackedItem(**record(f"p{one}"), trip_id="trip", item_id=one, packing=packing)
        for one, packing in (("nd", Packing.TAKEN), ("odd", Packing.TAKEN), ("home", Packing.LEFT))
    )
    text = repr(of(replace(account, kit=kit, packed=packed)))
    assert "packed: ND64." in text
    assert not any(word in text for word in ("Grey", "scratched", "Aunt", "fog", "ND1000"))


def test_a_plan_for_a_withheld_place_is_not_asked_about(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    kit = {"nd": KitItem(**record("nd"), slug="nd", title="n", kind=KitKind.FILTER, filter_name="nd64")}
    packed = (PackedItem(**record("p"), trip_id="trip", item_id="nd", packing=Packing.TAKEN),)
    wish = {"exposure_s": Fraction(8), "f_number": 8.0, "iso": 100}
    planned = changed(replace(account, kit=kit, packed=packed), "shots", "silk", **wish)
    assert "Flow under the bridge, was planned" in repr(of(planned))
    hidden = changed(planned, "sites", "quarry", location_shown=Disclosure.WITHHELD)
    assert "was planned" not in repr(of(hidden))


@pytest.mark.slow
def test_answers_are_folded_work_without_script_and_name_their_exercise(
    account: TripAccount, build: Callable[..., BuiltReport]
) -> None:
    html = build(account, Audience.STUDENTS).index.read_text("utf-8")
    shown = html[html.index('id="exercises"') :].split("</section>")[0]
    assert shown.count("<details>") == shown.count("<summary>Answer") == shown.count('<li id="exercise-') > 0
    assert "<details open" not in shown
    assert 'id="exercises"' not in build(account, Audience.CLIENT, "client").index.read_text("utf-8")


def test_a_held_picture_is_measured_against_the_guide_and_a_tripod_is_not(
    account: TripAccount, changed: Callable[..., TripAccount]
) -> None:
    slow = {"exposure_s": Fraction(1, 4), "focal_35mm": 50.0}
    held = changed(account, "keepers", "one", **slow, support=Support.HANDHELD)
    assert any("slower than the guide" in one.question and one.answer == "3.6 stops." for one in of(held))
    stood = changed(account, "keepers", "one", **slow, support=Support.TRIPOD)
    assert not any("slower than the guide" in one.question for one in of(stood))


def brackets_asked(account: TripAccount) -> list[str]:
    return [one.question.split(" are a bracket")[0] for one in of(account) if "are a bracket" in one.question]


@pytest.mark.slow
def test_a_bracket_is_what_a_person_says_and_only_then_what_the_camera_marked(demo: Path) -> None:
    from logbook.faces.opened import open_book
    from logbook.services.accounts import account_of

    account = account_of(open_book(demo / "book.sqlite"), TRIPS[0])
    ids = tuple(k.id for k in account.keepers if k.auto_bracket)
    assert len(ids) == 3
    (marked,) = brackets_asked(account)
    said: dict[str, Any] = {"trip_id": account.trip.id, "keeper_ids": ids}
    split = replace(account, apart=(KeeperSet(**record("a"), kind=SetKind.APART, **said),))
    assert brackets_asked(split) == []
    joined = replace(account, sets=(KeeperSet(**record("s"), kind=SetKind.BRACKET, **said),))
    assert brackets_asked(joined) == [marked]
    moved = replace(account, sets=(KeeperSet(**record("s"), kind=SetKind.PANORAMA, **said),))
    assert brackets_asked(moved) == []
    unlike = tuple(k.id for k in account.keepers if not k.auto_bracket)[:2]
    other = replace(
        account, sets=(KeeperSet(**record("o"), kind=SetKind.BRACKET, **said | {"keeper_ids": unlike}),)
    )
    assert brackets_asked(other) == [marked]  # frames that differ in more than time make no such question


def one_view(account: TripAccount, *settings: dict[str, Any]) -> TripAccount:
    """Pictures of one view, a minute apart."""
    first = account.keepers[0]
    keepers = tuple(
        replace(first, id=f"k{n}", slug=f"k{n}", file=f"K{n}.JPG", viewpoint_id="ledge", focal_35mm=24.0,
                taken_utc=None, taken_local=datetime(2031, 10, 14, 16, n), **one)  # noqa: DTZ001 - wall time
        for n, one in enumerate(settings)
    )  # fmt: skip
    return replace(account, keepers=keepers, sets=())


PLAIN: dict[str, Any] = {"exposure_s": Fraction(1, 500), "f_number": 5.6, "iso": 400, "filters": ()}
SILK: dict[str, Any] = {"exposure_s": Fraction(2), "f_number": 11.0, "iso": 100, "filters": ("nd64",)}


def test_what_is_too_much_for_a_pair_is_taken_apart_and_a_pair_is_not(account: TripAccount) -> None:
    def asked(*settings: dict[str, Any]) -> list[str]:
        return [check(one) for one in of(one_view(account, *settings))]

    assert "changes" in asked(PLAIN, SILK)
    assert "changes" in asked(PLAIN, SILK | {"iso": 200})
    assert "changes" not in asked(PLAIN, PLAIN | {"f_number": 11.0, "exposure_s": Fraction(1, 125)})
    assert "changes" not in asked(PLAIN, SILK | {"filters": None})


def test_filters_that_nobody_noted_are_asked_for_only_where_something_took_light(
    account: TripAccount,
) -> None:
    def asked(*settings: dict[str, Any]) -> list[str]:
        return [check(one) for one in of(one_view(account, *settings))]

    dark = PLAIN | {"exposure_s": Fraction(2), "filters": None}
    assert "unnoted" in asked(PLAIN, dark)
    assert "unnoted" in asked(dark, PLAIN)
    assert "unnoted" not in asked(PLAIN, PLAIN | {"filters": None})
    assert "unnoted" not in asked(dark, dark)
