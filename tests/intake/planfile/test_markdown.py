"""Plans as a text that a phone can write."""

from datetime import date, time

from logbook.domain.written.plan_tokens import Around
from logbook.intake.planfile.markdown import plan_in, trip_in
from logbook.intake.planfile.model import PlanFile

TRIP = Around(date(2031, 10, 10), date(2031, 10, 18))


def read(*lines: str) -> PlanFile:
    return plan_in("\n".join(lines), TRIP)


def placed(plan: PlanFile) -> list[tuple[object, ...]]:
    return [(one.said["title"], one.said.get("on_date"), one.said.get("viewpoint")) for one in plan.shots]


def test_days_and_viewpoints_hold_for_the_shots_below_them() -> None:
    plan = read(
        "# Plan",
        "## Tue 14 Oct",
        "- A",
        "### Quarry ledge",
        "- B",
        "### Gravel bar",
        "- C",
        "## Wed 15 Oct",
        "- D",
        "## Any day",
        "- E",
    )
    first, second = date(2031, 10, 14), date(2031, 10, 15)
    assert placed(plan) == [
        ("A", first, None),
        ("B", first, "Quarry ledge"),
        ("C", first, "Gravel bar"),
        ("D", second, None),
        ("E", None, None),
    ]
    assert [(one.line, one.viewpoint) for one in plan.headings] == [(4, "Quarry ledge"), (6, "Gravel bar")]


def test_a_viewpoint_may_stand_above_its_days() -> None:
    plan = read("## Quarry ledge", "### 14 Oct", "- A", "### 15 Oct", "- B", "## Gravel bar", "- C")
    assert placed(plan) == [
        ("A", date(2031, 10, 14), "Quarry ledge"),
        ("B", date(2031, 10, 15), "Quarry ledge"),
        ("C", None, "Gravel bar"),
    ]


def test_headings_of_one_level_may_follow_each_other() -> None:
    plan = read("## 14 Oct", "## Quarry ledge", "- A", "## Gravel bar", "- B", "## 15 Oct", "- C")
    assert placed(plan) == [
        ("A", date(2031, 10, 14), "Quarry ledge"),
        ("B", date(2031, 10, 14), "Gravel bar"),
        ("C", date(2031, 10, 15), None),
    ]


def test_times_of_a_heading_hold_where_a_shot_has_none_of_its_own() -> None:
    one, other = read("## Quarry ledge 17:20-18:45", "- A", "- B from 18:00").shots
    assert (one.said["window_from"], one.said["window_to"]) == (time(17, 20), time(18, 45))
    assert other.said["window_from"] == time(18)
    assert "window_to" not in other.said


def test_what_is_indented_or_under_its_own_word_belongs_to_the_shot_above() -> None:
    (shot,) = read("- Mill", "  24 mm f/11, tripod", "  - nd8", "technique: smooth water").shots
    assert (shot.said["focal_mm"], shot.said["filters"]) == (24, ("nd8",))
    assert shot.said["technique"] == "smooth water"
    assert (shot.line, shot.text.count("\n")) == (1, 3)


def test_numbers_boxes_and_pictures_are_bullets_too() -> None:
    plan = read("1. Mill", "2) Bridge", "- [ ] Tower", "📷 Gate", "• Well")
    assert [one.said["title"] for one in plan.shots] == ["Mill", "Bridge", "Tower", "Gate", "Well"]


def test_a_line_without_a_bullet_is_a_shot_where_settings_stand_behind_its_title() -> None:
    plan = read("Mill at low water 18:10-18:50 24mm f11", "The 24 mm at f/11 was too soft last time.")
    assert [one.said["title"] for one in plan.shots] == ["Mill at low water"]
    assert [(one.line, one.why.partition(";")[0]) for one in plan.loose] == [(2, "not a shot")]


def test_a_day_that_is_not_known_keeps_its_shots_to_be_sorted_out() -> None:
    plan = read("## 10/11/2031", "- A", "## 14 Oct", "- B")
    assert placed(plan) == [("B", date(2031, 10, 14), None)]
    assert [one.line for one in plan.loose] == [1, 2]
    assert "2031-11-10 or 2031-10-11" in plan.loose[0].why


def test_own_comments_are_passed_over_and_the_trip_is_named_at_the_top() -> None:
    text = "---\ntrip: valley\n---\n<!-- logbook: - no shot -->\n- A\n"
    assert trip_in(text) == "valley"
    assert placed(plan_in(text, TRIP)) == [("A", None, None)]
    assert trip_in("- A") is None


def test_line_numbers_are_those_of_the_file() -> None:
    plan = read("", "prose", "", "- A, f/8, f/11", "- B")
    assert [one.line for one in plan.loose] == [2, 4]
    assert plan.shots[0].line == 5
