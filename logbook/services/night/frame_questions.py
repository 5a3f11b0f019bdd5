"""Questions about frames that are asked about together: filters, the shot they serve, sharp or soft.

One surprising decision: neighbours that serve one shot are asked about it once, with the first of them.
"""

from collections.abc import Iterator, Mapping

from logbook.craft.marks import number_text
from logbook.craft.matching import MatchKind
from logbook.domain.words import Provenance, Sharpness
from logbook.domain.written.filters import stack_words, stacks_written, unknown_filters
from logbook.services.night.before_lens import of_change
from logbook.services.night.frames_told import counted_frames, label_of
from logbook.services.night.planned import PlannedGroup
from logbook.services.night.questions import UNSURE, Answered, Asks, Question

OF_FRAMES = "group."  # what the keys of questions about frames begin with
SHOWN_EXPLANATIONS = 4  # how many explanations of a jump are named; the rest is in `keeper propose`


def key_of_group(group: PlannedGroup) -> str:
    """Return what the keys of questions about a group begin with, whichever stay it is of."""
    return f"{OF_FRAMES}{group.keeper_ids[0]}"


def carried_on(group: PlannedGroup, answered: Answered | None, carried: str) -> str:
    """Return the filters to carry on to the next keepers: those stated, or carried on already."""
    if group.filters_said is not None:
        return " + ".join(group.filters_said) or "none"
    if group.explanations and (answered is None or answered.word is not Provenance.STATED):
        return ""
    if answered is None:  # what is carried on to these is to be taken, and so carried further
        return "" if group.question else carried
    if answered.text.endswith(UNSURE) or len(by_keeper := stacks_written(answered.text)) > 1:
        return ""
    return stack_words(by_keeper[0].filters) if answered.text else carried if answered.word else ""


def same_shot(one: PlannedGroup, other: PlannedGroup) -> bool:
    """Tell whether two groups serve, or may serve, the same shot."""
    about = [(each.shot, each.shot_kind, each.shot_said, each.is_late) for each in (one, other)]
    return about[0] == about[1] and one.shot is not None


def of_group(
    chapter: str,
    group: PlannedGroup,
    carried: str,
    serving: tuple[PlannedGroup, ...],
    answers: Mapping[str, Answered],
) -> Iterator[Question]:
    """Ask about a group; `serving` are the groups, this one first, whose shot is asked for here."""
    key = key_of_group(group)
    about = ",".join(group.keeper_ids)
    name = name_of((group,))
    if group.filters_said is None and group.question:
        yield of_change(key, chapter, group, name)
    settled = answers.get(f"{key}.changed")
    if group.filters_said is None and not (settled and settled.text):
        best = group.explanations[0] if group.explanations else None
        carried = "" if group.question else carried  # the very question is whether it was still on
        yield Question(
            f"{key}.filters",
            Asks.FILTERS,
            chapter,
            f"{name}: filters",
            stack_words(best.filters) if best else carried,
            Provenance.INFERRED if best else Provenance.ASSUMED if carried else None,
            _explained(group) if best else (f"{carried}: carried forward",) if carried else (),
            about=about,
            hint="such as nd8 + pol, any name of your own, none, same; or 0412 none, rest nd8",
            shows=group.settings,
        )
        answered = answers.get(f"{key}.filters")
        if answered is not None and answered.word is not None and answered.text.endswith(UNSURE):
            yield Question(
                f"{key}.sure",
                Asks.SURE,
                chapter,
                f"{name}: {_questioned(answered.text.removesuffix(UNSURE))}",
                why=tuple(dict.fromkeys(group.doubts.values())),
                choices=("y", "n"),
                about=f"{about};{answered.text.removesuffix(UNSURE)}",
                hint="y: that is right; n: ask again",
                enter="leave it unknown",
                shows=group.settings,
            )
    if group.filters_said is not None:
        yield _stated(f"{key}.filters", Asks.FILTERS, chapter, group, stack_words(group.filters_said))
    if not (group.shot_said is None and group.shot and group.shot_kind == MatchKind.SHOT):
        yield _stated(f"{key}.shot", Asks.SHOT, chapter, group, group.shot_said or "")
    elif serving and group.shot:
        alone = len(serving) == 1
        yield Question(
            f"{key}.shot",
            Asks.SHOT,
            chapter,
            f"{name if alone else name_of(serving)}: for shot",
            group.shot,
            Provenance.INFERRED,
            (group.shot_reason,) if alone else _reasons(serving),
            about=",".join(one for each in serving for one in each.keeper_ids),
            hint="none: they are for no planned shot",
            shows=group.settings if alone else "",
        )
    yield from _of_sharpness(key, chapter, group, name)


def _stated(key: str, asks: Asks, chapter: str, group: PlannedGroup, said: str) -> Question:
    """Ask about something that was stated of frames already, or that nothing tells of them."""
    text = f"{name_of((group,))}: {'filters' if asks is Asks.FILTERS else 'for shot'}"
    origin = Provenance.STATED if said else None
    return Question(
        key, asks, chapter, text, said, origin, about=",".join(group.keeper_ids), shows=group.settings
    )


def _of_sharpness(key: str, chapter: str, group: PlannedGroup, name: str) -> Iterator[Question]:
    """Ask which frames are sharp: apart of those that were measured to be soft, where others were not."""
    others = tuple(one for one in group.keeper_ids if one not in group.soft)
    asked = [(f"{key}.soft", group.soft, Sharpness.SOFT)] if group.soft and others else []
    asked.append((f"{key}.sharp", others or group.soft, Sharpness.SHARP if others else Sharpness.SOFT))
    for question, ids, word in asked:
        measured = group.soft if word is Sharpness.SOFT else group.sharp
        proposed = bool(ids) and set(ids) <= set(measured)
        why = (
            group.soft_reason if word is Sharpness.SOFT else "edges as sharp as the sharpest of the same view"
        )
        files = [file for one, file in zip(group.keeper_ids, group.files, strict=False) if one in ids]
        yield Question(
            question,
            Asks.SHARPNESS,
            chapter,
            f"{label_of(files) if len(asked) > 1 and files else name}: sharp or soft",
            str(word) if proposed else "",
            Provenance.INFERRED if proposed else None,
            (f"measured: {why}",) if proposed else (),
            choices=tuple(Sharpness),
            about=",".join(ids),
            enter="as measured" if proposed else "not judged",
            shows=group.settings,
        )


def _questioned(answer: str) -> str:
    """Return what is asked about filters that are hard to believe, or that no filter is known by."""
    said = stacks_written(answer)
    odd = sorted({name for one in said for name in unknown_filters(one.filters)})
    return f'keep "{odd[0]}" as the name of a filter' if odd else "was there no filter"


def name_of(groups: tuple[PlannedGroup, ...]) -> str:
    """Return what frames are called, and of several how many they are: `0412-0414 (3 frames, bracket)`."""
    count = sum(len(group.keeper_ids) for group in groups)
    kinds = {group.set_kind for group in groups}
    files = [file for group in groups for file in group.files]
    label = label_of(files) if len(files) == count else ", ".join(group.label for group in groups)
    kind = kinds.pop() if len(kinds) == 1 else None
    return label if count == 1 and not kind else f"{label} ({counted_frames(count, kind)})"


def _reasons(serving: tuple[PlannedGroup, ...]) -> tuple[str, ...]:
    """Say each reason once, after the keepers that it is for."""
    labels: dict[str, list[str]] = {}
    for group in serving:
        labels.setdefault(group.shot_reason, []).append(group.label)
    if len(labels) == 1:
        return tuple(labels)
    return tuple(f"{', '.join(whose)}: {reason}" for reason, whose in labels.items())


def _explained(group: PlannedGroup) -> tuple[str, ...]:
    if not group.explanations:
        return ()
    ways = [
        f"{' + '.join(one.filters) or 'none'} ({number_text(one.stops, 1)} stops)"
        for one in group.explanations[:SHOWN_EXPLANATIONS]
    ]
    return (
        (group.filters_reason, "fits nearly as well: " + ", ".join(ways[1:]))
        if len(ways) > 1
        else (group.filters_reason,)
    )
