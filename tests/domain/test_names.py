"""Names: slugs and finding them again."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from logbook.domain.errors import AmbiguousNameError, InvalidValueError, NotFoundError
from logbook.domain.names import LONGEST_SLUG, Amended, check_slug, is_slug, meant, name_key, resolve, slug_of

LEDGES = ["quarry-ledge", "quarry-rim", "weir-steps"]


@pytest.mark.parametrize(
    ("title", "slug"),
    [
        ("Quarry ledge", "quarry-ledge"),
        ("  High   Valley, autumn!  ", "high-valley-autumn"),
        ("Große Brücke über die Öd", "grosse-brucke-uber-die-od"),
        ("Ærø Łąka þing Đà", "aero-laka-thing-da"),
        ("Café № 9 — l'été", "cafe-no-9-lete"),
        ("Miller's gate", "millers-gate"),
        ("../../etc/passwd", "etc-passwd"),
        ("ﬁne ½", "fine-1-2"),
        ("", "untitled"),
        ("…", "untitled"),
        ("河原", "untitled"),
    ],
)
def test_a_title_becomes_lower_case_ascii_words(title: str, slug: str) -> None:
    assert slug_of(title) == slug


def test_a_taken_slug_is_numbered_from_two() -> None:
    assert slug_of("Weir", {"weir"}) == "weir-2"
    assert slug_of("Weir", {"weir", "weir-2"}) == "weir-3"


def test_a_long_title_is_cut_between_words_and_leaves_room_for_its_number() -> None:
    title = "the very long story of a viewpoint above the water mill by the old road"
    slug = slug_of(title)
    assert slug == "the-very-long-story-of-a-viewpoint-above-the-water-mill-by"
    numbered = slug_of("x" * 80, {"x" * 60})
    assert numbered == "x" * 58 + "-2"


@given(st.text(max_size=200), st.sets(st.sampled_from(["untitled", "a", "a-2", "b"])))
def test_every_slug_is_a_safe_short_name(title: str, taken: set[str]) -> None:
    slug = slug_of(title, taken)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", slug)
    assert len(slug) <= LONGEST_SLUG
    assert slug not in taken
    assert check_slug(slug) == slug
    assert slug_of(slug) == slug


@pytest.mark.parametrize("text", ["", "Quarry", "a--b", "-a", "a-", "a/b", "..", "a_b", "ä", "a\n", "x" * 61])
def test_what_is_not_a_slug_is_refused_with_one_that_is(text: str) -> None:
    with pytest.raises(InvalidValueError, match=r"such as [a-z0-9-]+\.$"):
        check_slug(text)


@pytest.mark.parametrize(
    ("wanted", "slug"),
    [
        ("quarry-ledge", "quarry-ledge"),
        ("quarry-l", "quarry-ledge"),
        ("w", "weir-steps"),
        ("Quarry ledge", "quarry-ledge"),
        ("Quarry Le", "quarry-ledge"),
        (" WEIR ", "weir-steps"),
    ],
)
def test_a_slug_a_title_or_a_clear_beginning_finds_its_slug(wanted: str, slug: str) -> None:
    assert resolve(wanted, LEDGES, "viewpoint") == slug


def test_an_exact_slug_wins_over_longer_ones() -> None:
    assert resolve("weir", ["weir-steps", "weir", "weir-2"], "viewpoint") == "weir"


def test_a_beginning_that_fits_several_lists_up_to_five() -> None:
    with pytest.raises(
        AmbiguousNameError, match=r'^"qu" could be more than one viewpoint: quarry-ledge and quarry-rim;'
    ):
        resolve("qu", LEDGES, "viewpoint")
    many = [f"weir-{number}" for number in range(1, 9)]
    with pytest.raises(AmbiguousNameError, match=r"weir-1, weir-2, weir-3, weir-4, weir-5 and 3 more;"):
        resolve("weir-", many, "viewpoint")


def test_a_miss_offers_the_nearest_name_in_one_sentence() -> None:
    with pytest.raises(NotFoundError) as caught:
        resolve("quary-ledge", ["quarry-ledge", "weir-steps"], "viewpoint")
    assert str(caught.value) == 'No viewpoint is called "quary-ledge"; the nearest name is quarry-ledge.'


def test_a_miss_with_several_near_names_offers_up_to_three() -> None:
    with pytest.raises(NotFoundError, match=r"the nearest names are \S+, \S+ and \S+\.$"):
        resolve("quarrry", ["quarry-1", "quarry-2", "quarry-3", "quarry-4"], "site")


def test_a_miss_with_nothing_near_points_to_the_list() -> None:
    with pytest.raises(NotFoundError, match=r'^No site is called "zzz"; "logbook site list" lists'):
        resolve("zzz", LEDGES, "site")


def test_an_empty_book_says_how_to_add_one() -> None:
    with pytest.raises(NotFoundError, match=r'the book has no trips yet; add one with "logbook trip add"\.$'):
        resolve("autumn", [], "trip")
    with pytest.raises(NotFoundError, match=r"^No piece of kit .* the book has no pieces of kit yet"):
        resolve("nd8", [], "kit")


@pytest.mark.parametrize("nothing", ["", "  ", "…", "河原"])
def test_a_name_without_letters_never_stands_for_the_only_one_there_is(nothing: str) -> None:
    with pytest.raises(NotFoundError):
        resolve(nothing, ["weir"], "viewpoint")


def test_a_miss_shows_control_characters_and_long_text_harmlessly() -> None:
    with pytest.raises(NotFoundError) as caught:
        resolve("\x1b[31m" + "z" * 500, LEDGES, "viewpoint")
    assert "\x1b" not in str(caught.value)
    assert len(str(caught.value)) < 200


@given(
    st.lists(st.from_regex(r"[a-z]{1,6}(-[a-z]{1,6})?", fullmatch=True), min_size=1, max_size=8, unique=True)
)
def test_every_slug_finds_itself(slugs: list[str]) -> None:
    for slug in slugs:
        assert resolve(slug, slugs, "shot") == slug


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Miller's Gate", "millers gate"),
        ("Große Brücke", "GROSSE  BRUCKE"),
        ("河原", " 河原 "),
        ("Мост-2", "мост 2"),
    ],
)
def test_a_name_is_known_however_it_is_written(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


@pytest.mark.parametrize(
    ("one", "other"), [("河原", "橋"), ("Мост 2", "Дом 2"), ("🌊", "🔥"), ("rail", "rails")]
)
def test_names_in_any_script_are_told_apart(one: str, other: str) -> None:
    assert name_key(one) != name_key(other)


SLUGS = {"quarry-ledge": "1", "quarry-rim": "2", "weir-steps": "3", "untitled": "4"}
TITLES = {"Quarry ledge": ["1"], "Quarry rim": ["2"], "Weir steps": ["3"], "河原": ["4"]}
OTHERS = {"The Shelf": ["1"], "The Pulpit": ["2", "3"], "Weir": ["2"], "橋": ["2"]}


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ("the shelf", "1"),
        ("THE-SHELF", "1"),
        ("河原", "4"),
        ("橋", "2"),
        ("weir-steps", "3"),
        ("weir s", "3"),
    ],
)
def test_something_is_found_by_what_else_it_is_called(wanted: str, found: str) -> None:
    assert meant(wanted, SLUGS, TITLES, OTHERS, "viewpoint") == found


@pytest.mark.parametrize(
    ("wanted", "fitting"),
    [("the pulpit", "quarry-rim and weir-steps"), ("weir", "quarry-rim and weir-steps")],
)
def test_a_name_of_several_is_answered_with_all_of_them(wanted: str, fitting: str) -> None:
    with pytest.raises(AmbiguousNameError, match=fitting):
        meant(wanted, SLUGS, TITLES, OTHERS, "viewpoint")


def test_the_beginning_of_an_other_name_is_none() -> None:
    with pytest.raises(NotFoundError):
        meant("the sh", SLUGS, TITLES, OTHERS, "viewpoint")


@pytest.mark.slow
@given(st.from_regex(r"[a-z0-9]+(-[a-z0-9]+)*", fullmatch=True), st.text(max_size=12))
def test_a_slug_in_full_means_its_own_record_whatever_else_is_called_so(slug: str, title: str) -> None:
    if is_slug(slug):
        names = {slug: ["other"], title: ["other"], slug.upper(): ["third"]}
        assert meant(slug, {slug: "own", f"{slug}-2": "other"}, names, names, "site") == "own"


NAMES = st.lists(st.text(min_size=1).filter(str.strip), max_size=4).map(tuple)


def test_a_name_is_added_once_however_it_is_written() -> None:
    assert Amended(add=("the  Pulpit", "Shelf", "SHELF")).of(("The Pulpit",)) == ("The Pulpit", "Shelf")


def test_a_list_is_emptied_before_names_are_added() -> None:
    assert Amended(add=("Shelf",), anew=True).of(("Pulpit",)) == ("Shelf",)


def test_a_name_is_dropped_however_it_is_written_and_one_that_is_not_there_is_a_slip() -> None:
    assert Amended(drop=("the pulpit",)).of(("The Pulpit", "Shelf")) == ("Shelf",)
    with pytest.raises(NotFoundError, match='"Crag" is not one of its names; it has Pulpit, Shelf'):
        Amended(drop=("Crag",)).of(("Pulpit", "Shelf"))
    with pytest.raises(NotFoundError, match="it has none"):
        Amended(drop=("Crag",)).of(())


@given(NAMES, NAMES)
def test_adding_loses_no_name(before: tuple[str, ...], more: tuple[str, ...]) -> None:
    after = Amended(add=more).of(before)
    assert {name_key(name) for name in (*before, *more)} == {name_key(name) for name in after}
    assert Amended(drop=after).of(after) == ()
