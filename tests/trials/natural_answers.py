"""How much of what people type at a question is read as meant: `python -m tests.trials.natural_answers`.

The lines stand in natural_answers.txt: headings of a day, answers of the evening and values behind options,
each with what it should become. *Right* is that; *to sort out* is refused, kept as words or doubted instead;
*wrong* is a record that nobody made, or another value than was written.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import time
from pathlib import Path

from logbook.domain.errors import InvalidValueError
from logbook.domain.words import ConditionKind
from logbook.domain.written.choices import support_written
from logbook.domain.written.conditions import level_written
from logbook.domain.written.counts import count_written, is_about_count
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.filters import stack_words, stack_written
from logbook.domain.written.moments import clock_text, is_about, span_written, time_written
from logbook.domain.written.observations import Observation, observations_written, seen_at_stay
from logbook.domain.written.outcomes import outcome_written
from logbook.intake.dayfile.headings import read_heading
from tests.trials.natural_lines import RIGHT, SORT_OUT, WRONG, is_entry

LINES = Path(__file__).with_name("natural_answers.txt")
REFUSED, WORDS, NOTHING = "refused", "words", "nothing"
DOUBTED = " !"


@dataclass(frozen=True, slots=True)
class Answer:
    """What was typed at a question, what it should become, and in which part it stands."""

    part: str
    question: str
    text: str
    wanted: str


def answers() -> Iterator[Answer]:
    """Yield the answers of the file in their order."""
    part = ""
    for line in LINES.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            part = line.strip("[]")
        elif line.startswith("- "):
            said, _, wanted = line[2:].rpartition(" => ")
            question, _, text = said.partition(": ")
            yield Answer(part, question, text, wanted)


def judged_answer(answer: Answer) -> str:
    """Return what became of an answer: right, to sort out or wrong."""
    became = READ[answer.question](answer.text)
    if isinstance(became, str):
        if became == answer.wanted:
            return RIGHT
        return SORT_OUT if became in (REFUSED, WORDS) or became.endswith(DOUBTED) else WRONG
    wanted = answer.wanted.split(" | ")
    fits = len(became) == len(wanted) and all(map(is_entry, became, wanted))
    return RIGHT if fits else WRONG


def _heading(text: str) -> str:
    heading = read_heading(text, 1)
    section = heading.section
    said = (section.viewpoint, _span(section.arrived, section.departed), section.purpose)
    about = "~" if section.told else None
    return " ".join(filter(None, (*said, about))) + (DOUBTED if heading.doubt else "")


def _span(first: time | None, last: time | None) -> str:
    ends = [clock_text(one) if one else "" for one in (first, last)]
    return "" if not any(ends) else ends[0] if not ends[1] else "-".join(ends)


def _seen(observed: Sequence[Observation]) -> str | list[ConditionEntry]:
    entries = [entry for one in observed for entry in one.conditions]
    if entries:
        return entries
    return NOTHING if all(one.is_nothing for one in observed) else WORDS


def _outcome(text: str) -> str:
    said = outcome_written("", text)
    reasons = "".join(f", {one}" for one in said.reasons)
    return f"{said.outcome}{reasons}" + (f" note={said.note}" if said.note else "")


def _level(kind: ConditionKind) -> Callable[[str], list[ConditionEntry]]:
    return lambda text: [level_written(kind, text)]


def _count(text: str) -> str:
    found = count_written(text)
    return REFUSED if found is None else str(found) + (" ~" if is_about_count(text) else "")


def _time(text: str) -> str:
    return clock_text(time_written(text)) + (" ~" if is_about(text) else "")


def _span_said(text: str) -> str:
    return _span(*span_written(text)) + (" ~" if is_about(text) else "")


def _or_refused(
    read: Callable[[str], str | list[ConditionEntry]],
) -> Callable[[str], str | list[ConditionEntry]]:
    def refusing(text: str) -> str | list[ConditionEntry]:
        try:
            return read(text)
        except InvalidValueError:
            return REFUSED

    return refusing


READ = {
    question: _or_refused(read)
    for question, read in (
        ("heading", _heading),
        ("changes", lambda text: _seen(observations_written(text))),
        ("stay", lambda text: _seen(seen_at_stay(text))),
        ("time", _time),
        ("span", _span_said),
        ("tries", _count),
        ("filters", lambda text: stack_words(stack_written(text))),
        ("support", lambda text: str(support_written(text))),
        ("outcome", _outcome),
        *((f"level {kind}", _level(kind)) for kind in ConditionKind),
    )
}


def counted_answers() -> dict[str, Counter[str]]:
    """Return how many answers of each part became what."""
    counts: dict[str, Counter[str]] = {}
    for answer in answers():
        counts.setdefault(answer.part, Counter())[judged_answer(answer)] += 1
    return counts


if __name__ == "__main__":
    for answer in answers():
        if (found := judged_answer(answer)) != RIGHT:
            became = READ[answer.question](answer.text)
            print(f"{found}: {answer.question}: {answer.text}  (wanted: {answer.wanted}; became: {became})")  # noqa: T201
    for part, counts in counted_answers().items():
        print(f"part {part}: {counts.total()} answers, {dict(counts)}")  # noqa: T201
