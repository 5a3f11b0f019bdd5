"""Every kind of condition is read, asked for, compared and shown by its entry alone."""

import pytest

from logbook.domain.condition_kinds import COMPARED, KINDS, LIMITING
from logbook.domain.words import ConditionKind
from logbook.domain.written.conditions import level_written, written_condition
from logbook.domain.written.entry import ConditionEntry
from logbook.domain.written.lines import read_entries
from logbook.faces.words.phrases import condition_text
from logbook.services.find.synonyms import folded, synonyms_with
from logbook.services.find.vocabulary import vocabulary
from logbook.store.text_index import about

LEVELS = [(kind, level) for kind, of in KINDS.items() for level in of.levels]


@pytest.mark.parametrize("kind", ConditionKind)
def test_every_kind_has_an_entry_and_opens_a_line(kind: ConditionKind) -> None:
    of = KINDS[kind]
    said = f"{of.before} {of.levels[0]}" if of.levels else "as it was seen at the bridge"
    (entry,) = read_entries(f"- {kind}: {said}")
    assert isinstance(entry, ConditionEntry)
    assert entry.kind is kind


@pytest.mark.parametrize(("kind", "level"), LEVELS)
def test_every_level_is_read_by_its_own_word_and_written_back(kind: ConditionKind, level: str) -> None:
    of = KINDS[kind]
    entry = level_written(kind, f"{of.before} {level}")
    assert entry.level == level or (level == "unknown" and entry.note == "unknown")
    assert list(read_entries(f"- {written_condition(entry)}")) == [entry]
    assert condition_text(kind, level, None)


@pytest.mark.parametrize(
    ("kind", "word", "level"),
    [(kind, word, level) for kind, of in KINDS.items() if not of.within for word, level in of.words.items()],
)
def test_every_word_for_a_level_means_it(kind: ConditionKind, word: str, level: str) -> None:
    assert level_written(kind, word).level == level


@pytest.mark.parametrize(("kind", "level"), [one for one in LEVELS if one[0] in LIMITING])
def test_every_level_that_limits_is_understood_in_a_question(kind: ConditionKind, level: str) -> None:
    assert vocabulary()[folded(f"{kind} {level}")].words == (level,)


def test_every_phrase_of_a_question_asks_for_levels_of_the_scale() -> None:
    for of in KINDS.values():
        assert all(set(asked.levels) <= set(of.levels) for asked in of.asked)


def test_no_two_facts_of_the_index_begin_alike() -> None:
    facts = [one for one in vars(about).values() if isinstance(one, about.FactKind)]
    values = [fact.value for fact in [*facts, *about.LEVELS_MET.values()]]
    assert all(len(value) == 3 and value.startswith("q") for value in values)
    assert len(set(values)) == len(values)


def test_what_is_compared_has_levels_and_options_have_a_help() -> None:
    for kind in {*COMPARED, *LIMITING}:
        assert KINDS[kind].levels
        assert KINDS[kind].fact
        assert all(help_.endswith(".") for help_ in KINDS[kind].help)


def test_synonyms_of_the_kinds_are_known() -> None:
    ours = synonyms_with()
    for of in KINDS.values():
        for first, *others in of.synonyms:
            assert all(other in ours.of(first) or folded(other) == folded(first) for other in others)


@pytest.mark.parametrize("kind", [kind for kind, of in KINDS.items() if of.moving])
def test_what_moves_before_a_camera_does_so_from_a_level_on(kind: ConditionKind) -> None:
    of = KINDS[kind]
    moves = [of.moves(level) for level in of.levels]
    assert moves[-1]
    assert not moves[0]
    assert moves == sorted(moves)
    assert not of.moves(None)
