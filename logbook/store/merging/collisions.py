"""What both copies wrote down without knowing of each other: one thing twice, one name for two things.

One surprising decision: which record stays and which is renamed depends on nothing but the records, the first
made one stays, so that either copy comes to the same book.
"""

import json
from collections.abc import Iterable
from typing import Any

from logbook.store.merging.copies import (
    NATURAL,
    SLUGS,
    TABLES,
    Clash,
    Conflict,
    Row,
    Side,
    after,
    at_home,
    content,
    pointed_anew,
)
from logbook.store.merging.joining import Draft, Renamed

OF_A_RECORD = ("id", "created", "slug")  # what two records of one thing cannot have in common
LINES = {"day_line": ("line", "text"), "loose_line": ("line",)}  # lines of files: what may differ in twins
APART = "apart"  # the kind of a set whose keepers are no set


def join_doubles(draft: Draft) -> None:
    """Make one record of every two that are the same thing: a day, a picture's content, an outcome.

    What both copies call alike and say alike is one thing too, as when a day file was read into each.
    """
    # Lines come last, when the records that they made are one.
    for table in sorted(TABLES, key=lambda one: one in LINES):
        for fields in NATURAL[table]:
            groups: dict[tuple[Any, ...], list[Row]] = {}
            for row in draft.rows[table].values():
                groups.setdefault(tuple(row[name] for name in fields), []).append(row)
            _join(draft, table, groups.values())
        before = -1
        while len(draft.rows[table]) != before:  # two that refer to twins may be twins once those are one
            before = len(draft.rows[table])
            _join(draft, table, _twins(draft, table))
    _drop_missing_keepers(draft)
    sets: dict[tuple[Any, ...], list[Row]] = {}
    for row in draft.rows["keeper_set"].values():
        key = (row["trip_id"], row["kind"], frozenset(json.loads(row["keeper_ids"])))
        sets.setdefault(key, []).append(row)
    _join(draft, "keeper_set", sets.values())
    _part_overlapping_sets(draft)


def _twins(draft: Draft, table: str) -> list[list[Row]]:
    """Return the groups of rows that say the same under the same name; of a line, wherever it stands."""
    if table not in SLUGS and table not in LINES:
        return []
    groups: dict[str, list[Row]] = {}
    for row in draft.rows[table].values():
        said = content(table, row, without=("id", "created", *LINES.get(table, ())))
        if table == "day_line" and row["noun"] == "day":  # a file has one text of its day, the last one read
            said = {name: row[name] for name in ("trip_id", "on_date", "file", "noun")}
        groups.setdefault(json.dumps(said, sort_keys=True), []).append(row)
    return [group for group in groups.values() if len(group) > 1]


def _join(draft: Draft, table: str, groups: Iterable[list[Row]]) -> None:
    may_have_both = table in ("body_clock", "keeper_set", *LINES)
    became: dict[str, str] = {}
    for group in groups:
        first, *others = sorted(group, key=lambda row: (row["created"], row["id"]))
        for other in others:
            if may_have_both and _of_one_copy(draft, table, first["id"], other["id"]):
                continue  # one copy has both, and nothing forbids it
            first = _made_one(draft, table, first, other)
            became[other["id"]] = first["id"]
    pointed_anew(draft.rows, became)


def _of_one_copy(draft: Draft, table: str, *ids: str) -> bool:
    return any(all(one in copy.rows[table] for one in ids) for _, copy in draft.copies())


def _made_one(draft: Draft, table: str, first: Row, second: Row) -> Row:
    last = max(first["updated"], second["updated"])
    chosen = first
    if _says(table, first) != _says(table, second):
        first_is_this = first["id"] in draft.this.rows[table] or second["id"] not in draft.this.rows[table]
        this, other = (first, second) if first_is_this else (second, first)
        conflict = Conflict(Clash.TWICE, table, first["id"], this, other, this["updated"], other["updated"])
        chosen = this if draft.settle(conflict) is Side.THIS else other
    here = next((row for row in (first, second) if row["id"] in draft.this.rows[table]), None)
    kept = at_home(table, chosen | {name: first[name] for name in OF_A_RECORD if name in first}, here)
    if chosen is first:
        draft.rows[table][first["id"]] = kept
    else:
        draft.change(
            table, first["id"], after(last), **{name: kept[name] for name in kept if name != "updated"}
        )
    draft.remove(table, second["id"], last, became=first["id"])
    return draft.rows[table][first["id"]]


def _says(table: str, row: Row) -> Row:
    """Return what a record says of the thing; in which order a set lists its keepers is no matter."""
    said = content(table, row, without=OF_A_RECORD)
    if table == "keeper_set":
        said["keeper_ids"] = sorted(json.loads(row["keeper_ids"]))
    return said


def _drop_missing_keepers(draft: Draft) -> None:
    for row in list(draft.rows["keeper_set"].values()):
        ids = json.loads(row["keeper_ids"])
        _leave(draft, row, [one for one in ids if one in draft.rows["keeper"]])


def _leave(draft: Draft, row: Row, left: list[str]) -> None:
    """Let a set go on with those that are left; one alone is no set."""
    if left == json.loads(row["keeper_ids"]):
        return
    moment = after(row["updated"])
    if len(left) < 2:
        draft.remove("keeper_set", row["id"], moment)
    else:
        draft.change("keeper_set", row["id"], moment, keeper_ids=json.dumps(left))


def _part_overlapping_sets(draft: Draft) -> None:
    """A frame is in one stated set: as with joining, what was said last moves it."""
    order = sorted(
        draft.rows["keeper_set"].values(), key=lambda row: (row["updated"], row["id"]), reverse=True
    )
    for number, later in enumerate(order):
        taken = set(json.loads(later["keeper_ids"]))
        for one in order[number + 1 :]:
            before = draft.rows["keeper_set"].get(one["id"])
            if before is None or later["id"] not in draft.rows["keeper_set"]:
                continue
            if _of_one_copy(draft, "keeper_set", later["id"], before["id"]):
                continue
            ids = json.loads(before["keeper_ids"])
            common = taken & set(ids)
            kinds = [later["kind"], before["kind"]].count(APART)
            if kinds == 2 or len(common) <= kinds:  # sets of frames that are apart may share one frame
                continue
            _leave(draft, before, [keeper_id for keeper_id in ids if keeper_id not in common])


def part_names(draft: Draft) -> None:
    """Give the later made one of two records with one name another name."""
    for table, fields in SLUGS.items():
        groups: dict[tuple[Any, ...], list[Row]] = {}
        for row in draft.rows[table].values():
            groups.setdefault(tuple(row[name] for name in fields), []).append(row)
        taken = set(groups)
        for group in sorted(groups.values(), key=lambda rows: str(rows[0]["slug"])):
            _, *others = sorted(group, key=lambda row: (row["created"], row["id"]))
            for row in others:
                number = 2
                while (free := _key(row, fields, f"{row['slug']}-{number}")) in taken:
                    number += 1
                taken.add(free)
                new = f"{row['slug']}-{number}"
                draft.renamed.append(Renamed(table, row["id"], row["slug"], new))
                draft.change(table, row["id"], after(*(one["updated"] for one in group)), slug=new)


def _key(row: Row, fields: tuple[str, ...], slug: str) -> tuple[Any, ...]:
    return tuple(slug if name == "slug" else row[name] for name in fields)
