"""Comparable sites in words and as JSON: what speaks for a match, what against, what happened there."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from logbook.craft.bearings import day_at
from logbook.craft.likeness import ALIKE_FROM
from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, KINDS
from logbook.domain.said import figured
from logbook.domain.words import ConditionKind, OutcomeWord
from logbook.faces.ink import Ink
from logbook.faces.plain import plain
from logbook.faces.terminal import answer, answer_prose, answer_table, say
from logbook.faces.words.phrases import listed

if TYPE_CHECKING:
    from logbook.services.alike import Alike, AlikeSite, Happened, PastLesson, PastShot, TraitValue

LESSONS_SHOWN = 3  # lessons; the rest are counted
SHOTS_SHOWN = 6  # shots of one site
GLANCE = ("site", "alike", "most in", "least in", "shots there")
NAMED = 2  # traits a column of the short table names
MORE = " --explain compares them point by point, with what worked, what failed and the lessons."
_LABELS = {"kinds": "subject", "phase": "hours of light"}  # where it is not the name of the trait


def _label(name: str) -> str:
    return _LABELS.get(name, name)


def value_words(name: str, value: Any) -> str:
    """Return a trait's value in words."""
    if name in BY_THE_HOUR:
        same = set(value.values())
        if len(same) == 1 and len(value) > 1:
            return str(same.pop())
        return ", ".join(f"{word} {_when(part)}" for part, word in sorted(value.items()))
    if name == "light":
        return f"{_direction(value)} light ({value:.0f}° off the view)"
    if name in AS_USUAL and KINDS[ConditionKind(name)].is_figure:
        return KINDS[ConditionKind(name)].titles[f"{value:.0f}"].removeprefix(f"{name} ")
    if name == "walk":
        return f"{value:.0f} min"
    if name == "season":
        return season_words(value)
    if isinstance(value, frozenset | set | tuple):
        return listed(sorted(str(word).replace("-", " ") for word in value))
    return str(value)


def season_words(angle_deg: float) -> str:
    """Return a place on the circle of the year: early, mid or late, and the month."""
    day = day_at(angle_deg)
    third = "early" if day.day <= 10 else "mid" if day.day <= 20 else "late"
    return f"{third} {day:%B}"


def _direction(off_axis_deg: float) -> str:
    from logbook.craft.light import light_direction

    return str(light_direction(0.0, off_axis_deg))


def _when(part: str) -> str:
    return {"midday": "at midday", "night": "at night", "some time": "(time unknown)"}.get(
        part, f"in the {part}"
    )


def reasons(one: "AlikeSite", about: Mapping[str, Any]) -> tuple[list[str], list[str]]:
    """Return what speaks for the match and what against, the strongest first."""
    for_it, against = _sides(one)
    return [_compared_words(name, one, about) for name in for_it], [
        _compared_words(name, one, about) for name in against
    ]


def _sides(one: "AlikeSite") -> tuple[list[str], list[str]]:
    """The traits that speak for the match and those against it, the strongest first."""
    parts = sorted(one.likeness.parts, key=lambda part: -part.score * part.weight)
    for_it = [part.name for part in parts if part.score >= ALIKE_FROM]
    return for_it, [part.name for part in reversed(parts) if part.score < ALIKE_FROM]


def _compared_words(name: str, one: "AlikeSite", about: Mapping[str, Any]) -> str:
    ours, theirs = about[name], one.site.values[name]
    if name in BY_THE_HOUR:
        both = ours.keys() & theirs.keys()
        ours, theirs = ({key: all_[key] for key in both} for all_ in (ours, theirs))
    here, there = value_words(name, ours), value_words(name, theirs)
    if name == "light":  # its words name it already
        return f"{here} here, {there} there"
    return f"{_label(name)} {there} at both" if here == there else _differing(name, here, there)


def _differing(name: str, here: str, there: str) -> str:
    return f"{_label(name)} {here} here, {there} there"


def how_alike(one: "AlikeSite") -> str:
    """Return the likeness in one phrase."""
    found = one.likeness
    return (
        f"alike in {found.alike} of {found.shared} things known about both, similarity {found.similarity:.2f}"
    )


def alike_json(found: "Alike") -> list[dict[str, Any]]:
    """Return the sites as JSON; every value names the rows it came from."""
    return [site_json(one, found) for one in found.sites]


def site_json(one: "AlikeSite", found: "Alike") -> dict[str, Any]:
    """Return one comparable site as JSON."""
    for_it, against = reasons(one, found.about.values)
    return {
        "site": one.site.slug,
        "title": one.site.title,
        "similarity": one.likeness.similarity,
        "shared": one.likeness.shared,
        "alike": one.likeness.alike,
        "traits": one.likeness.asked,
        "for": for_it,
        "against": against,
        "outcomes": [shot_json(shot) for shot in one.happened.shots],
        "counts": counts_json(one.happened),
        "lessons": [lesson_json(lesson) for lesson in one.happened.lessons],
        "scores": {part.name: {"score": part.score, "weight": part.weight} for part in one.likeness.parts},
        "facts": facts_json(one.facts),
        "compared_with": {"site": found.about.slug or None, "facts": facts_json(found.facts)},
        "id": one.site.id,
    }


def facts_json(facts: Mapping[str, "TraitValue"]) -> dict[str, Any]:
    """Return facts as JSON: the value, and `from` the rows it came from."""
    return {
        name: {
            "value": _plain_value(fact.value),
            "words": value_words(name, fact.value),
            "from": list(fact.sources),
        }
        for name, fact in facts.items()
    }


def _plain_value(value: Any) -> Any:
    return sorted(map(str, value)) if isinstance(value, frozenset | set) else plain(value)


def shot_json(shot: "PastShot") -> dict[str, Any]:
    """Return a planned shot and its outcome as JSON."""
    return {
        "shot": shot.slug,
        "title": shot.title,
        "trip": shot.trip,
        "on_date": shot.on_date,
        "outcome": str(shot.outcome),
        "reasons": [str(reason) for reason in shot.reasons],
        "note": shot.note,
        "technique": shot.technique,
        "shot_id": shot.id,
        "outcome_id": shot.outcome_id,
    }


def lesson_json(lesson: "PastLesson") -> dict[str, Any]:
    """Return a lesson as JSON."""
    return {
        "lesson": lesson.slug,
        "verb": str(lesson.verb),
        "text": lesson.text,
        "trip": lesson.trip,
        "on_date": lesson.on_date,
        "id": lesson.id,
    }


def counts_json(happened: "Happened") -> dict[str, int]:
    """Return how many shots came to each outcome."""
    return {str(word): count for word, count in happened.counts().items()}


def counts_words(happened: "Happened") -> str:
    """Return the outcomes of a site in one phrase."""
    words = {OutcomeWord.PARTLY: "partly made", OutcomeWord.OPEN: "with no outcome noted"}
    return _counted(happened, words) or "no shot was ever planned"


def _counted(happened: "Happened", words: Mapping[OutcomeWord, str]) -> str:
    """Return how many shots came to each outcome; those that wait for theirs stand last."""
    counts = happened.counts()
    order = sorted(counts, key=lambda word: word is OutcomeWord.OPEN)
    return ", ".join(f"{counts[word]} {words.get(word, word)}" for word in order)


def shot_words(shot: "PastShot") -> str:
    """Return a shot and what became of it in one line."""
    why = f": {', '.join(map(str, shot.reasons))}" if shot.reasons else ""
    note = f" ({shot.note})" if shot.note else ""
    return f"{shot.title} [{shot.slug}, {shot.on_date or 'no date'}]{why}{note}"


def show_alike(found: "Alike", *, explains: bool = False) -> None:
    """Print the sites most alike: the best in a sentence, all in a table or, if asked, with every reason."""
    name = "that description" if found.described else found.about.title
    if not found.sites:
        answer_prose(f"Sites like {name}; {_compared(found)}.")
        say("No site can be compared: too little is known about them. Note footing, crowd, wind and visits.")
        return
    best = found.sites[0]
    answer_prose(f"Most like {name}: {best.site.title}, {how_alike(best)}.", ink=Ink.HEADING)
    answer_prose(f"There: {counts_words(best.happened)}.")
    for lesson in best.happened.lessons[:1]:
        answer_prose(f"{str(lesson.verb).capitalize()}: {lesson.text}")
    if explains:
        for place, one in enumerate(found.sites, 1):
            show_site(one, found, f"{place}. ")
    else:
        answer("")
        answer_table(GLANCE, [_glance(one) for one in found.sites], "")
    answer("")
    answer_prose(f"{_compared(found).capitalize()}.{'' if explains else MORE}")


def _glance(one: "AlikeSite") -> list[str]:
    """A row of the table: the strongest traits by name alone."""
    most, least = (", ".join(map(_label, names[:NAMED])) for names in _sides(one))
    return [
        one.site.slug,
        f"{one.likeness.alike} of {one.likeness.shared}",
        most,
        least,
        _counted(one.happened, {}) or "none planned",
    ]


def _compared(found: "Alike") -> str:
    sites = f"{figured(found.compared, 'site')} compared"
    if not found.unjudged:
        return sites
    return (
        f"{sites}, {found.unjudged} of them left out because fewer than {found.shared_min} "
        "things are known about both places"
    )


def show_site(one: "AlikeSite", found: "Alike", mark: str) -> None:
    """Print one comparable site."""
    answer("")
    answer_prose(f"{mark}{one.site.title} ({one.site.slug}): {how_alike(one)}")
    for label, text in site_lines(one, found, SHOTS_SHOWN, LESSONS_SHOWN):
        hang(label, text)


def site_lines(
    one: "AlikeSite", found: "Alike", shots: int | None = None, lessons: int | None = None
) -> Iterator[tuple[str, str]]:
    """Yield what speaks for a match and against it and what happened there, each text with its label.

    At most so many shots of an outcome, and lessons, are told; None tells all.
    """
    for_it, against = reasons(one, found.about.values)
    yield "for", "; ".join(for_it) or "nothing"
    yield "against", "; ".join(against) or "nothing known"
    yield "there", counts_words(one.happened)
    made = [shot for shot in one.happened.shots if shot.outcome is OutcomeWord.MADE]
    known = (OutcomeWord.MADE, OutcomeWord.OPEN)
    failed = [shot for shot in one.happened.shots if shot.outcome not in known]
    yield from _some([("worked", shot_words(shot)) for shot in made], shots, "")
    yield from _some([("failed", f"{shot.outcome}: {shot_words(shot)}") for shot in failed], shots, "")
    yield from lesson_lines(one.happened.lessons, lessons)


def lesson_lines(
    lessons: Sequence["PastLesson"], shown: int | None = LESSONS_SHOWN
) -> Iterator[tuple[str, str]]:
    """Yield lessons with their verbs, what to avoid first; the rest are counted."""
    yield from _some([(str(lesson.verb), lesson.text) for lesson in lessons], shown, " lessons")


def _some(lines: Sequence[tuple[str, str]], shown: int | None, what: str) -> Iterator[tuple[str, str]]:
    yield from lines[:shown]
    if shown is not None and len(lines) > shown:
        yield "", f"and {len(lines) - shown} more{what} (--json has them all)"


def hang(label: str, text: str, width: int = 10) -> None:
    """Print a labelled text that hangs under its own beginning."""
    from textwrap import fill

    from logbook.faces.terminal import PROSE_WIDTH, clean

    lead = f"   {label:<{width}}"
    answer(
        fill(
            clean(text),
            PROSE_WIDTH,
            initial_indent=lead,
            subsequent_indent=" " * len(lead),
            break_on_hyphens=False,
        )
    )
