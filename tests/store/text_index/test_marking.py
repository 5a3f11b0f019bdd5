"""What matched is marked in the texts that are shown, and in no others."""

from concurrent.futures import ThreadPoolExecutor

from logbook.store.text_index.marking import BEGIN_MARK, END_MARK, SNIPPET_WORDS, marked

LEDGE = (7, "Ledge at dusk", "The water came up.", "Quarry")
PIER = (7, "Pier", "Waiting for water.", "Harbour")


def plain(text: str) -> str:
    return text.replace(BEGIN_MARK, "<").replace(END_MARK, ">")


def test_words_are_marked_where_they_stand() -> None:
    assert [plain(text) for text in marked([LEDGE], '"dusk" OR "waters"')[7]] == [
        "Ledge at <dusk>",
        "The <water> came up.",
        "Quarry",
    ]


def test_an_answer_leaves_nothing_to_the_next_one() -> None:
    marked([LEDGE], '"water"')
    assert [plain(text) for text in marked([PIER], '"water" OR "dusk"')[7]] == [
        "Pier",
        "Waiting for <water>.",
        "Harbour",
    ]


def test_what_does_not_match_is_shown_from_its_beginning() -> None:
    words = [f"word{number}" for number in range(SNIPPET_WORDS + 1)]
    shown = marked([(1, "Long", " ".join(words), "")], '"pier"')
    assert shown[1] == ("Long", " ".join(words[:-1]) + "…", "")


def test_several_threads_mark_side_by_side() -> None:
    times = 200  # with a lock too few, so many fail
    with ThreadPoolExecutor(4) as pool:
        shown = list(pool.map(lambda text: marked([text], '"water"')[7], [LEDGE, PIER] * times))
    assert shown == [shown[0], shown[1]] * times
    assert shown[0] != shown[1]
