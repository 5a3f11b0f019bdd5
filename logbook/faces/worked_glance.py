"""What worked, at a glance: the answer in a sentence, how sure it is, and a line for each approach.

One surprising decision: what was tried too seldom to say anything is never named as the best, though it
stands in the table and may stand first.
"""

from typing import TYPE_CHECKING

from logbook.faces.drawn import RATE_WIDTH, rate_bar, undrawn
from logbook.faces.ink import Ink
from logbook.faces.terminal import answer, answer_prose, answer_table
from logbook.faces.worked_shown import name_of, needed_words, places_words, rate_words, share_words

if TYPE_CHECKING:
    from logbook.services.worked import Row, Worked

ROWS_SHOWN = 8  # approaches; as many fit a screen of 24 lines
OF = {"tries": ("try", "tries"), "shots": ("shot", "shots"), "file numbers": ("file", "files")}
COUNTED = {
    "tries": "tries: pictures kept and not judged soft, out of the tries you noted",
    "shots": "shots: those made as planned, out of all with a known outcome",
    "file numbers": "files: pictures kept and not judged soft, out of the frames that file numbers suggest",
}
SCALE = f"0{'50':^{RATE_WIDTH - 4}}100"
MORE = "--explain shows what each figure rests on, with settings, reasons and lessons."


def answer_worked(found: "Worked") -> None:
    """Print the answer: what worked best, whether that may be chance, what to plan for."""
    by_reason = found.question.by == "reason"
    counted = [row for row in found.rows if row.denominator in OF]
    if not counted:
        answer_prose("Nothing is counted yet: no tries noted, no outcome noted, no file numbers.")
        return
    best = next((row for row in counted if not row.rate.says_little), counted[0])
    lead = "Cost the most shots" if by_reason else f"Best by {found.question.by}"
    answer_prose(f"{lead}: {name_of(best, found)}, {rate_words(best.rate, _of(best))}.", ink=Ink.HEADING)
    rivals = [row for row in counted if row.denominator == best.denominator and row is not best]
    answer_prose(_sureness(best, rivals))
    if not by_reason and (needed := needed_words(best)):
        answer_prose(f"At that rate, {needed}.")


def show_glance(found: "Worked") -> None:
    """Print a line for each approach, and what the counts are."""
    by_reason = found.question.by == "reason"
    counted = [row for row in found.rows if row.denominator in OF]
    heads = [str(found.question.by), "cost" if by_reason else "worked", "95% interval"]
    drawn = not undrawn.get()
    rows = [
        [
            name_of(row, found),
            f"{row.rate.successes} of {row.rate.tries} {_of(row)}",
            share_words(row.rate),
            *([rate_bar(row.rate)] if drawn else []),
        ]
        for row in counted[:ROWS_SHOWN]
    ]
    answer("")
    answer_table([*heads, *([SCALE] if drawn else [])], rows, "")
    answer("")
    if len(counted) > ROWS_SHOWN:
        answer_prose(f"And {len(counted) - ROWS_SHOWN} more, which --explain shows too.")
    if not by_reason:
        kinds = dict.fromkeys(row.denominator for row in counted)
        answer_prose(f"Counted as {'; as '.join(COUNTED[kind] for kind in kinds)}.")
    if found.undivided:
        many = len(found.undivided)
        visits = (
            "1 visit mixed several of these; its"
            if many == 1
            else f"{many} visits mixed several of these; their"
        )
        answer_prose(f"{visits} tries count towards none of them.")
    answer_prose(f"{places_words(found)} {MORE}")


def _of(row: "Row") -> str:
    one, several = OF[row.denominator]
    return one if row.rate.tries == 1 else several


def _sureness(best: "Row", rivals: list["Row"]) -> str:
    """Say how much the first place means; intervals that overlap leave room for chance."""
    if best.rate.says_little:
        return "That is too few to tell: each was tried fewer than five times."
    close = [row for row in rivals if row.rate.high >= best.rate.low]
    if not rivals:
        return "There is nothing of its kind to compare it with."
    if not close:
        return "The others are clearly below it: their intervals do not reach its own."
    few = "all others" if len(close) == len(rivals) else f"{len(close)} of {len(rivals)} others"
    return f"Its interval overlaps with those of {few}, so the difference may be chance."
