"""Random histories on two copies of a book, merged both ways, against a model of who touched what.

The model: what one side touched is as that side left it; what both touched must be alike, or there is a
conflict; and whatever stays must find what it refers to, or there is a conflict.
"""

import json
import os
from collections import Counter
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from logbook.store.merging.copies import (
    NATURAL,
    REFERENCES,
    SLUGS,
    TABLES,
    Conflict,
    Copy,
    Row,
    Side,
    content,
    newer,
)
from logbook.store.merging.merged import Merged, differences, is_news, merged
from tests.examples import examples
from tests.store.merging.pens import Pen, base

EXAMPLES = int(os.environ.get("LOGBOOK_MERGE_EXAMPLES", examples(1)))  # of each property; more by night
WORDS = ("", "ice", "the coaches", "wind")
Act = tuple[str, int, int, str]
ACTS = st.lists(
    st.tuples(
        st.sampled_from(
            ("add site", "add viewpoint", "add visit", "add shot", "add keeper", "add day", "add outcome",
             "add packed", "add kit", "add set", "edit", "edit", "edit", "point", "remove", "remove")
        ),
        st.integers(0, 40),
        st.integers(0, 40),
        st.sampled_from(WORDS),
    ),
    max_size=9,
)  # fmt: skip
EDITED = {
    "trip": "summary", "site": "notes", "viewpoint": "notes", "shot": "notes", "keeper": "caption",
    "kit": "notes", "visit": "journal", "day": "journal", "outcome": "note", "packed": "why",
}  # fmt: skip


def pick(pen: Pen, table: str, number: int) -> str | None:
    ids = sorted(pen.rows[table])
    return ids[number % len(ids)] if ids else None


def play(pen: Pen, acts: list[Act], *, apart: bool) -> None:
    """Let a history happen; `apart`: neither side writes down what the other may have written down too."""
    mark = pen.side if apart else "same"
    for what, first, second, text in acts:
        if what == "edit" or what == "remove":
            table = sorted(EDITED)[first % len(EDITED)]
            record_id = pick(pen, table, second)
            if record_id is None or (what == "remove" and table == "trip" and second % 5):
                continue
            if what == "edit":
                pen.edit(table, record_id, **{EDITED[table]: text})
            else:
                pen.remove(table, record_id)
            continue
        trip, stand = pick(pen, "trip", 0), pick(pen, "viewpoint", first)
        shot, keeper, kit = pick(pen, "shot", first), pick(pen, "keeper", first), pick(pen, "kit", first)
        slug = free(pen, f"{what.split()[-1]}-{second % 3}")
        if what == "add site":
            pen.add("site", slug=slug, title=f"title {text}")
        elif what == "add kit":
            pen.add("kit", slug=slug, title=f"title {text}", kind="filter")
        elif what == "add viewpoint" and (site := pick(pen, "site", first)):
            pen.add("viewpoint", slug=slug, title=f"title {text}", site_id=site)
        elif trip is None:
            continue
        elif what == "add visit" and stand:
            pen.add("visit", slug=slug, trip_id=trip, viewpoint_id=stand, on_date="2031-10-15", journal=text)
        elif what == "add shot":
            pen.add(
                "shot",
                slug=slug,
                title=f"title {text}",
                trip_id=trip,
                viewpoint_id=stand,
                fallback_for_id=shot,
            )
        elif what == "add keeper":
            digest = f"{mark}-{second % 4}"
            if all(row["hash"] != digest for row in pen.rows["keeper"].values()):
                known = {"slug": slug, "file": "K.JPG", "path": f"/{pen.side}/K.JPG", "format": "JPEG"}
                where = {"trip_id": trip, "viewpoint_id": stand, "shot_id": shot}
                pen.add("keeper", hash=digest, size_bytes=1, caption=text, **known, **where)
        elif what == "add day":
            on = f"2031-1{1 + (mark == 'b')}-0{1 + second % 3}"
            if all(row["on_date"] != on for row in pen.rows["day"].values()):
                pen.add("day", trip_id=trip, on_date=on, journal=text)
        elif what == "add outcome" and shot and (not apart or shot.startswith(f"shot-{pen.side}")):
            if all(row["shot_id"] != shot for row in pen.rows["outcome"].values()):
                pen.add("outcome", shot_id=shot, word="replaced", note=text, replaced_by_keeper_id=keeper)
        elif what == "add packed" and kit and (not apart or kit.startswith(f"kit-{pen.side}")):
            if all(row["item_id"] != kit for row in pen.rows["packed"].values()):
                pen.add("packed", trip_id=trip, item_id=kit, packing="taken", why=text)
        elif what == "add set" and keeper and (other := pick(pen, "keeper", second)) not in (None, keeper):
            in_sets = {
                one for row in pen.rows["keeper_set"].values() for one in json.loads(row["keeper_ids"])
            }
            if not in_sets & {keeper, other}:
                pen.add("keeper_set", trip_id=trip, kind="panorama", keeper_ids=json.dumps([keeper, other]))
        elif what == "point" and keeper:
            pen.edit("keeper", keeper, viewpoint_id=stand, shot_id=shot)


def free(pen: Pen, slug: str) -> str:
    taken = {row["slug"] for rows in pen.rows.values() for row in rows.values() if row.get("slug")}
    number = 1
    while (name := slug if number == 1 else f"{slug}-{number}") in taken:
        number += 1
    return name


def undecided(_conflict: Conflict) -> None:
    return None


def two(histories: tuple[list[Act], list[Act]], ahead: int, *, apart: bool) -> tuple[Pen, Pen]:
    start = base()
    a, b = start.fork("a", ahead), start.fork("b", 1000)
    play(a, histories[0], apart=apart)
    play(b, histories[1], apart=apart)
    return a, b


def as_copy(result: Merged, before: Copy) -> Copy:
    """A copy after a merge: what it would read of itself."""
    earlier = {one: set(versions) for one, versions in before.earlier.items()}
    for one, versions in result.superseded.items():
        earlier.setdefault(one, set()).update(versions)
    removals = {one: set(found) for one, found in before.removals.items()}
    for one, found in result.removals.items():
        removals.setdefault(one, set()).update(found)
    return Copy(
        result.rows,
        {one: frozenset(versions) for one, versions in earlier.items()},
        {one: tuple(sorted(found, key=str)) for one, found in removals.items()},
    )


def said(rows: dict[str, dict[str, Row]]) -> dict[str, dict[str, Row]]:
    """Rows without what belongs to one computer."""
    return {
        table: {
            one: {name: value for name, value in row.items() if name != "path"} for one, row in found.items()
        }
        for table, found in rows.items()
    }


def expected(a: Pen, b: Pen) -> tuple[bool, dict[str, dict[str, Any]]]:
    """The model: whether there is a conflict, and what each row says where there is none."""
    conflict = False
    result: dict[str, dict[str, Any]] = {}
    for table in TABLES:
        if table == "keeper_set":
            continue
        result[table] = {}
        for one in a.rows[table].keys() | b.rows[table].keys():
            states = [copy.rows[table].get(one) for copy in (a, b)]
            says = [None if row is None else content(table, row) for row in states]
            if one in a.touched and one in b.touched:
                conflict |= says[0] != says[1]
            kept = says[0] if one in a.touched else says[1]
            if kept is not None:
                result[table][one] = kept
    for table, columns in REFERENCES.items():
        for row in result.get(table, {}).values():
            for column, (target, _) in columns.items():
                conflict |= row[column] is not None and row[column] not in result[target]
    return one_of_each_two(result) or conflict, result


def one_of_each_two(result: dict[str, dict[str, Any]]) -> bool:
    """Make one row of two that are alike under one name, or of one thing; return whether two disagree."""
    disagree = False
    for table in [one for one in TABLES if one in result for _ in result[one]]:  # until nothing is alike
        rows = sorted(result[table].items(), key=lambda pair: (pair[1]["created"], pair[0]))
        first: dict[str, tuple[str, str]] = {}
        for one, row in rows:
            says = json.dumps({k: v for k, v in row.items() if k not in ("id", "created")}, sort_keys=True)
            things = [repr([row[name] for name in fields]) for fields in NATURAL[table]]
            things += [says] if table in SLUGS else []
            held = next((first[thing] for thing in things if thing in first), None)
            if held is None:
                first |= dict.fromkeys(things, (one, says))
                continue
            disagree |= held[1] != says
            del result[table][one]
            for other, columns in REFERENCES.items():
                for referring in result.get(other, {}).values():
                    referring |= {name: held[0] for name in columns if referring[name] == one}
    return disagree


def check_rules(rows: dict[str, dict[str, Row]]) -> None:
    """What holds in every book."""
    for table, columns in REFERENCES.items():
        for row in rows[table].values():
            for column, (target, is_needed) in columns.items():
                assert row[column] in rows[target] if row[column] is not None else not is_needed
    for table in TABLES:
        alone = [
            *(NATURAL[table] if table != "body_clock" else []),
            *([SLUGS[table]] if table in SLUGS else []),
        ]
        for fields in alone:
            keys = Counter(tuple(row[name] for name in fields) for row in rows[table].values())
            assert max(keys.values(), default=1) == 1, (table, fields)
    members = [one for row in rows["keeper_set"].values() for one in json.loads(row["keeper_ids"])]
    assert len(members) == len(set(members)), "a frame is in one set"
    assert set(members) <= rows["keeper"].keys()
    assert all(len(json.loads(row["keeper_ids"])) > 1 for row in rows["keeper_set"].values())


HISTORIES = st.tuples(ACTS, ACTS)
AHEAD = st.sampled_from((1000, 1000, 5000, -900))  # s; whose clock is ahead must not matter


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(HISTORIES, AHEAD)
def test_two_copies_make_what_the_model_says(histories: tuple[list[Act], list[Act]], ahead: int) -> None:
    a, b = two(histories, ahead, apart=True)
    conflict, model = expected(a, b)
    one, other = merged(a.copy(), b.copy(), undecided), merged(b.copy(), a.copy(), undecided)
    event(f"conflict: {conflict}")
    assert bool(one.undecided) == bool(other.undecided) == conflict
    if conflict:
        return
    check_rules(one.rows)
    for table, rows in model.items():
        without = ("slug",) if table in SLUGS else ()
        found = {
            record_id: content(table, row, without=without) for record_id, row in one.rows[table].items()
        }
        assert found == {
            record_id: {name: value for name, value in row.items() if name not in without}
            for record_id, row in rows.items()
        }
    assert said(one.rows) == said(other.rows), "either way it is the same book"


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(HISTORIES, AHEAD, st.booleans())
def test_with_the_newer_side_both_ways_lead_to_one_book_that_stays(
    histories: tuple[list[Act], list[Act]], ahead: int, apart: bool
) -> None:
    a, b = two(histories, ahead, apart=apart)
    one, other = merged(a.copy(), b.copy(), newer), merged(b.copy(), a.copy(), newer)
    check_rules(one.rows)
    assert said(one.rows) == said(other.rows)
    event(f"decided: {min(len(one.decided), 3)}")
    after_a, after_b = as_copy(one, a.copy()), as_copy(other, b.copy())
    for held, there in ((after_a, b.copy()), (after_a, after_b), (after_b, a.copy()), (after_b, after_a)):
        again = merged(held, there, undecided)
        assert again.undecided == ()
        assert differences(held, again) == ()
    assert not is_news(after_a, merged(after_a, b.copy(), undecided)), "again changes nothing"


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(HISTORIES, AHEAD, st.booleans(), st.sampled_from(Side))
def test_whichever_side_holds_the_other_computer_can_follow(
    histories: tuple[list[Act], list[Act]], ahead: int, apart: bool, side: Side
) -> None:
    a, b = two(histories, ahead, apart=apart)
    result = merged(a.copy(), b.copy(), lambda _conflict: side)
    check_rules(result.rows)
    merged_a = as_copy(result, a.copy())
    again = merged(merged_a, b.copy(), undecided)
    assert (again.undecided, differences(merged_a, again)) == ((), ())
    back = merged(b.copy(), merged_a, undecided)
    assert back.undecided == ()
    assert said(back.rows) == said(merged_a.rows)
    held = a if side is Side.THIS else b
    for conflict, _ in result.decided:
        if conflict.clash == "edited in both" and conflict.id in result.rows[conflict.table]:
            mine = held.rows[conflict.table][conflict.id]
            now = result.rows[conflict.table][conflict.id]
            field = EDITED[conflict.table]
            assert now[field] == mine[field]


@pytest.mark.slow
@settings(max_examples=EXAMPLES // 4)
@given(st.tuples(ACTS, ACTS, ACTS))
def test_three_computers_come_to_one_book(histories: tuple[list[Act], list[Act], list[Act]]) -> None:
    start = base()
    pens = [start.fork(side, 1000 * number) for number, side in enumerate("abc", 1)]
    for pen, acts in zip(pens, histories, strict=True):
        play(pen, acts, apart=True)
    copies = [pen.copy() for pen in pens]
    for _ in range(2):
        for here in range(3):
            for there in range(3):
                if here != there:
                    result = merged(copies[here], copies[there], newer)
                    copies[here] = as_copy(result, copies[here])
                    check_rules(copies[here].rows)
    assert said(copies[0].rows) == said(copies[1].rows) == said(copies[2].rows)
