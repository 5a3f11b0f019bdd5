"""What reading a day or plan file did, said in the same words for both."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from logbook.domain.said import each_counted
from logbook.faces.terminal import answer, say

if TYPE_CHECKING:
    from logbook.services.dayfiles.applying import FileRead

LISTED = 5  # removed lines that are named


def read_json(done: "FileRead") -> dict[str, Any]:
    """Return what every reading answers, by stable keys."""
    return {
        "trip": done.trip,
        "added": done.added,
        "changed": done.changed,
        "unchanged": done.unchanged,
        "removed": done.removed,
        "removed_lines": list(done.gone),
        "elsewhere": list(done.elsewhere),
        "understood": list(done.understood),
        "to_sort_out": [{"line": one.line, "text": one.text, "why": one.why} for one in done.loose],
    }


def show_read(file: Path, what: object, done: "FileRead", *sentences: str) -> None:
    """Print the counts, then sentences of its own, what was changed elsewhere, and what is to sort out."""
    counts = {name: getattr(done, name) for name in ("added", "changed", "unchanged", "removed")}
    answer(f"{done.trip}, {what}: {each_counted(counts)}.")
    for sentence in sentences:
        say(sentence)
    if done.gone:
        lines = [f'"{one.removeprefix("- ")}"' for one in done.gone[:LISTED]]
        say(f"No longer in {file.name}, so removed: {', '.join(lines + ['…'] * (len(done.gone) > LISTED))}.")
    for sentence in (*done.understood, *done.elsewhere):
        say(f"{file.name}, {sentence}")
    if done.loose:
        say(f"To sort out ({len(done.loose)}), kept word for word:")
    for one in done.loose:
        say(f"{file.name}:{one.line}: {one.text.strip()}\n    {one.why}")
