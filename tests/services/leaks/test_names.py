"""A name is found however people write it; words that everybody uses are no name."""

import pytest

from logbook.domain.discretion.common_words import common_words
from logbook.services.leaks.names import Name, SecretNames
from logbook.services.leaks.own_words import own_words
from logbook.services.leaks.words import read

OWN = read("Settings for May; the bridge by day. Plan and outcome, exposure at long last.")
NAMES = (
    Name("Hollow Arch", "place", False),
    Name("Lauterfall of Eibsee", "place", False),
    Name("Rokytská lávka", "place", False),
    Name("Halvenwalder Hut", "place", False),
    Name("Quarry", "place", False),
    Name("Long Bridge", "place", False),
    Name("Ilse Brandauer", "person", True),
    Name("Rose Marsh", "person", True),
    Name("Jiří Müller", "person", True),
    Name("May", "person", True),
)
TELLING = {
    "Hollow Arch": (
        "Left the Hollow Arch at six",
        "HOLLOW  ARCH",
        "the arch at the hollow",
        "Arch, hollow",
        "#HollowArch2031",
        "hollow_arch-1.jpg",
        "archhollow",
        "Hol-\nlow Arch",
        "H o l l o w  A r c h",
        "Hollow&nbsp;Arch",
        "Hollow%2520Arch",
        "Hollow\\u0020\\x41rch",
        "hol\u00adlow arch",
        "ＨＯＬＬＯＷ ＡＲＣＨ",
        "Ноllow Аrсh",  # the first and some other letters are Cyrillic
        "*Hol***low** _Arch_",
        "H.A. at dawn",
        "hollow arches",
    ),
    "Lauterfall of Eibsee": (
        "the Lauterfall",
        "Lauterfalls",
        "by the eibsee",
        "Eibseehof",
        "Lauter-fall",
        "the Láuterfall",
        "Laut. at six",
        "ʟᴀᴜᴛᴇʀꜰᴀʟʟ",
        "Lautrefall",  # a slip of the pen
    ),
    "Rokytská lávka": ("v Rokytě", "Rokyta"),
    "Halvenwalder Hut": ("the Halvenwald", "H. Hut"),
    "Quarry": ("down to the quarry", "QUARRY"),
    "Long Bridge": ("the Bridge, Long", "longbridge"),
    "Ilse Brandauer": (
        "Ilse's boat",
        "met Brandauer",
        "Brandauers Boot",
        "BRANDAUER, I.",
        "I. B. held the flash",
        "I l s e",
        "I.B.",
        "IB carried it",
        "with Brandauerová",
        "Brandaur",
        "Bran&shy;dauer",
        "<ilsebrandauer@mail.example>",
        "ibrandauer@mail.example",
    ),
    "Rose Marsh": ("with Rose at the rail", "Rose M. said so", "Marsh, Rose", "asked Marsh for the key"),
    "Jiří Müller": ("Jiri", "Jiřího", "Mueller", "Mullerovi", "Müllers", "J. M."),
}
HARMLESS = (
    "archery at the hollow",
    "a branded cup",
    "the rose at the rail. Roses by the marsh.",
    "in May, by the bridge",
    "a long exposure under the bridge",
    "so long. Bridge closed",
    "hollow | arch",
    "at 6 am, ISO 100, NE wind",
    "the quarrel",
    "On Mon. H. came. The Long. Bridge",
)


def found(text: str, *names: Name) -> set[str]:
    return {one.name.text for one in SecretNames(names or NAMES, OWN).in_text(read(text))}


@pytest.mark.parametrize(
    ("name", "text"), [(name, text) for name, texts in TELLING.items() for text in texts]
)
def test_a_name_is_found_however_it_is_written(name: str, text: str) -> None:
    assert name in found(text)


@pytest.mark.parametrize("text", HARMLESS)
def test_words_that_everybody_uses_are_no_name(text: str) -> None:
    assert found(text) == set()


def test_a_word_that_may_be_said_tells_nothing_alone_but_the_whole_name_does() -> None:
    allowed = Name("Lauterfall of Eibsee", "place", False, frozenset({"lauterfall"}))
    assert found("the Lauterfall", allowed) == set()
    assert found("by the Eibsee", allowed) == {"Lauterfall of Eibsee"}
    assert found("Lauterfall, Eibsee", allowed) == {"Lauterfall of Eibsee"}


def test_a_name_of_words_that_may_all_be_said_is_no_secret() -> None:
    allowed = Name("Hollow Arch", "place", False, frozenset({"hollow", "arch"}))
    assert found("the Hollow Arch, H.A., hollowarch", allowed) == set()


def test_a_title_before_a_name_is_nobody() -> None:
    person = Name("Dr. Annelore Vosskamp-Ridder", "person", True)
    assert found("Dr. [name withheld] and Frau Dr. Holm", person) == set()
    for told in ("A. V.-R.", "A.V.R.", "AVR", "Ridder", "Annelores"):
        assert found(f"met {told} there", person) == {person.text}


@pytest.mark.slow
def test_no_word_that_the_striking_leaves_alone_is_taken_for_a_name() -> None:
    """Else a report would be refused for words that nothing can strike."""
    common = sorted(common_words())
    names = [Name(f"Kerswell {word}", "place", False) for word in common]
    refused = [
        word
        for word, name in zip(common, names, strict=True)
        if len(word) > 2 and list(SecretNames([name], own_words()).in_text(read(f"it was {word} there")))
    ]
    assert refused == []
