"""References of a merged book: a record that one copy removed and the other needs is kept, or both go."""

from collections.abc import Iterator
from itertools import permutations

from logbook.store.merging.copies import REFERENCES, Clash, Conflict, Row, Side, after
from logbook.store.merging.joining import Draft

Dangling = tuple[str, str, str, bool]  # table, id and column of what refers, and whether it needs it
# What references go with: only an outcome "replaced" names what replaced its shot, and that is one thing; a
# picture's shot is of its trip; a condition was seen at a site or at one of its viewpoints.
_GOES_WITH = {
    "outcome": ("word", "replaced_by_shot_id", "replaced_by_keeper_id"),
    "keeper": ("trip_id",),
    "condition": ("site_id", "viewpoint_id"),
}


def close_references(draft: Draft) -> None:
    """Keep or let go whatever refers to a record that is gone, until nothing does."""
    _keep_what_is_needed(draft)
    while dangling := _dangling(draft):
        (target, target_id), referring = next(iter(dangling.items()))
        _settle(draft, target, target_id, referring)
    _link_again(draft)


def _keep_what_is_needed(draft: Draft) -> None:
    """Whoever decides to keep a record keeps what it refers to."""
    fresh = [
        (table, row)
        for table, rows in draft.rows.items()
        for record_id, row in rows.items()
        if record_id in draft.kept
    ]
    while fresh:
        table, row = fresh.pop()
        for column, (target, _) in REFERENCES[table].items():
            wanted = row[column]
            if wanted is not None and wanted not in draft.kept:
                draft.kept.add(wanted)
                fresh += [(target, found) for _, found in _present(draft, target, wanted)]


def _dangling(draft: Draft) -> dict[tuple[str, str], list[Dangling]]:
    found: dict[tuple[str, str], list[Dangling]] = {}
    for table, columns in REFERENCES.items():
        for record_id, row in draft.rows[table].items():
            for column, (target, is_needed) in columns.items():
                wanted = row[column]
                if wanted is not None and wanted not in draft.rows[target]:
                    found.setdefault((target, wanted), []).append((table, record_id, column, is_needed))
    return dict(sorted(found.items()))


def _settle(draft: Draft, target: str, target_id: str, referring: list[Dangling]) -> None:
    present = list(_present(draft, target, target_id))
    removal = draft.this.removal(target_id) or draft.other.removal(target_id)
    if not present or removal is None:  # a book that was broken before
        _let_go(draft, referring, present[0][1]["updated"] if present else "")
        return
    side, row = present[0]
    last = max(draft.rows[table][record_id]["updated"] for table, record_id, _, _ in referring)
    if any(record_id in draft.kept for _, record_id, _, _ in referring):
        chosen = side
    else:
        by = draft.rows[referring[0][0]][referring[0][1]]
        sides: dict[Side, tuple[Row | None, str]] = {side: (row, last), side.opposite: (None, removal.at)}
        (this, this_at), (other, other_at) = sides[Side.THIS], sides[Side.OTHER]
        needed_by = (referring[0][0], str(by.get("slug") or by["id"]))
        chosen = draft.settle(
            Conflict(Clash.NEEDED, target, target_id, this, other, this_at, other_at, needed_by)
        )
    if chosen is side:
        draft.rows[target][target_id] = dict(row)
        draft.change(target, target_id, after(row["updated"], removal.at))  # newer than its removal
        draft.kept.add(target_id)
        draft.supersede(target_id, removal.version)
    else:
        _let_go(draft, referring, removal.at)


def _present(draft: Draft, table: str, record_id: str) -> Iterator[tuple[Side, Row]]:
    for side, copy in draft.copies():
        if record_id in copy.rows[table]:
            yield side, copy.rows[table][record_id]


def _let_go(draft: Draft, referring: list[Dangling], at: str) -> None:
    """Make references unknown, and remove what cannot stand without them."""
    for table, record_id, column, is_needed in referring:
        row = draft.rows[table].get(record_id)
        if row is None:
            continue  # it went with another of its references
        moment = after(row["updated"], at)
        if is_needed:
            draft.remove(table, record_id, moment)
        else:
            draft.change(table, record_id, moment, **{column: None})


def _link_again(draft: Draft) -> None:
    """Restore links to a record that is kept although one copy removed it: that removal alone cut them."""
    for table, columns in REFERENCES.items():
        for record_id in tuple(draft.rows[table]):
            for column, (target, _) in columns.items():
                for (_, keeping), (_, removing) in permutations(draft.copies()):
                    row, had = draft.rows[table][record_id], keeping.rows[table].get(record_id)
                    if had is None or row[column] is not None:
                        continue
                    wanted = had[column]
                    if wanted is None or wanted in removing.rows[target] or wanted not in draft.rows[target]:
                        continue
                    if any(row[name] not in (None, had[name]) for name in _GOES_WITH.get(table, ())):
                        continue  # stated anew since
                    if (removal := removing.removal(wanted)) is not None:
                        draft.change(table, record_id, after(row["updated"], removal.at), **{column: wanted})
