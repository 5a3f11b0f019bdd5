"""Words for the same thing, ours and a person's own."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import UnreadableFileError
from logbook.services.find.synonyms import gathered, read_groups, synonyms_with


def test_our_list_knows_what_photographers_say() -> None:
    ours = synonyms_with()
    assert "neutral density" in ours.of("ND")
    assert "milky water" in ours.of("Silky  Water")
    assert "polariser" in ours.of("polarizers")
    assert ours.of("bicycle") == ()


def test_a_persons_own_groups_are_added(tmp_path: Path) -> None:
    own = tmp_path / "words.txt"
    own.write_text(
        "\ufeff# mine\nsheds, huts , stone huts # all the same\nalone\n,,\nnd, dark glass\n", encoding="utf-8"
    )
    both = synonyms_with((own, tmp_path / "missing.txt"))
    assert both.of("shed") == ("huts", "stone huts")
    assert {"neutral density", "dark glass"} <= set(both.of("nd"))


def test_a_list_that_is_no_text_is_named(tmp_path: Path) -> None:
    own = tmp_path / "words.txt"
    own.write_bytes(b"\xff\xfe\x00\xd8")
    with pytest.raises(UnreadableFileError, match=r"words\.txt cannot be read as text"):
        synonyms_with((own,))


@given(st.text())
def test_any_text_gives_groups_of_two_or_more(text: str) -> None:
    groups = list(read_groups(text))
    assert all(len(group) > 1 for group in groups)
    gathered(groups)
