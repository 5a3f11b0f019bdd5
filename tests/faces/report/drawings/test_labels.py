"""Words on a map stand on no line and on no other word, and each can be followed to its mark."""

import re
from itertools import pairwise
from math import hypot

from hypothesis import given
from hypothesis import strategies as st

from logbook.faces.report.drawings.labels import AWAY, ROW, Labels, around
from logbook.faces.report.drawings.svg import Box, width_of

WIDTH, HEIGHT = 326.0, 300.0
POINTS = st.tuples(st.floats(40, 280), st.floats(40, 260))
NAMES = st.lists(st.sampled_from(["Ledge", "Quarry rail", "Terrace of the town"]), min_size=1, max_size=2)


def words_in(labels: Labels) -> list[tuple[str, float, float, str]]:
    """Text, x, baseline and anchor of every row that was written."""
    row_of = re.compile(r'<text x="([\d.]+)" y="([\d.]+)" class="\w+" text-anchor="(\w+)">(.*)</text>')
    rows = (row_of.fullmatch(str(mark)) for mark in labels.marks)
    return [(row[4], float(row[1]), float(row[2]), row[3]) for row in rows if row]


@given(st.lists(st.tuples(POINTS, NAMES), min_size=1, max_size=6), st.lists(POINTS, min_size=2, max_size=5))
def test_no_word_stands_on_a_line_or_another_word(
    wanted: list[tuple[tuple[float, float], list[str]]], line: list[tuple[float, float]]
) -> None:
    labels = Labels(WIDTH, HEIGHT, [])
    labels.keep_off(line)
    for mark, texts in wanted:
        width = max(map(width_of, texts))
        labels.put(texts, mark, around(mark, width, len(texts) * ROW), "name")
    letters = {letter for letter, _ in labels.lettered}
    assert len(labels.taken) == len(wanted), "every mark has its words or a letter"
    if letters:
        return  # a letter may have to stand close
    for one, box in enumerate(labels.taken):
        assert not any(box.meets(other) for other in labels.taken[one + 1 :])
        for (x1, y1), (x2, y2) in pairwise(line):
            for step in range(101):
                x, y = x1 + (x2 - x1) * step / 100, y1 + (y2 - y1) * step / 100
                assert not box.meets(Box(x, y, x, y))


def test_words_begin_or_end_at_the_side_of_their_mark() -> None:
    labels = Labels(WIDTH, HEIGHT, [Box(170, 0, WIDTH, HEIGHT)])
    labels.put(["Ford"], (160, 150), around((160, 150), width_of("Ford"), ROW), "name")
    ((text, x, _, anchor),) = words_in(labels)
    assert (text, x, anchor) == ("Ford", 151, "end")


def test_words_far_from_their_mark_are_joined_to_it() -> None:
    labels = Labels(WIDTH, HEIGHT, [Box(60, 120, 280, 180)])
    labels.put(["Ford"], (160, 150), around((160, 150), width_of("Ford"), ROW), "name")
    (line,) = (str(mark) for mark in labels.marks if "lead" in str(mark))
    x1, y1, x2, y2 = map(float, re.findall(r'[xy][12]="([\d.]+)"', line))
    assert (x1, y1) == (160, 150)
    assert hypot(x2 - x1, y2 - y1) > AWAY


def test_words_without_room_become_a_letter_that_the_note_explains() -> None:
    labels = Labels(WIDTH, HEIGHT, [Box(0, 0, WIDTH, 140), Box(0, 160, WIDTH, HEIGHT)])
    labels.keep_off([(0, 150), (140, 150)])
    labels.keep_off([(180, 150), (WIDTH, 150)])
    labels.put(["Quarry ledge", "Rail"], (160, 150), around((160, 150), 100, 2 * ROW), "name")
    ((text, *_),) = words_in(labels)
    assert text == "a"
    assert labels.note() == "a: Quarry ledge, Rail."
