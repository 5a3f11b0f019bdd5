"""Words given up do not come back: what people read says each thing in the one way that DEVELOPERS.md lists.

One surprising decision: the list stands in DEVELOPERS.md alone, under "Words", and is read from there. Every
sentence written out in the code counts, printed or not, and so do templates; docstrings and comments do not.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LISTED = ROOT / "DEVELOPERS.md"
READERS = (  # they know words that people write
    "logbook/domain/written/",
    "logbook/domain/condition_kinds/",
    "logbook/domain/discretion/common_words",
)
LEAST_WORDS = 3  # fewer are a heading or a word that is read, such as a synonym of a column
SHOWN = (".py", ".html", ".js")
COMMENT = re.compile(r"\{#.*?#\}", re.DOTALL)
HOLE = "X"  # in the list and here: a value that a sentence names, in quotes or not


def _given_up() -> dict[str, str]:
    """Return each phrase given up, as the list writes it, and what to write instead."""
    section = LISTED.read_text("utf-8").split("\n## Words\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| `([^`]+)` \| ([^|]+) \|$", section, re.MULTILINE)
    return {phrase: instead.strip() for phrase, instead in rows}


def _pattern(phrase: str) -> re.Pattern[str]:
    """Return what finds a phrase of the list: `X` is a value, `…` up to six words."""
    words = re.escape(phrase).replace("…", r"(?:[^\s;.]+ ){0,5}[^\s;.]+").replace(r"\ ", r"\s+")
    return re.compile(rf"(?<![\w-]){words}(?!\w)", 0 if HOLE in phrase else re.IGNORECASE)


def _docstrings(tree: ast.Module) -> set[int]:
    holders = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    bodies = [node.body for node in ast.walk(tree) if isinstance(node, holders)]
    return {id(body[0].value) for body in bodies if body and isinstance(body[0], ast.Expr)}


def _sentences(source: str) -> Iterator[str]:
    """Give the strings of a module, whole, with `X` for what is put in; neither docstrings nor parts."""
    tree = ast.parse(source)
    passed = _docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            passed |= {id(part) for part in node.values}
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else HOLE for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in passed:
            yield node.value


def _shown() -> Iterator[tuple[str, str]]:
    for folder in ("logbook", "templates"):
        for path in sorted((ROOT / folder).rglob("*")):
            name = str(path.relative_to(ROOT))
            if path.suffix not in SHOWN or name.startswith(READERS):
                continue
            source = path.read_text("utf-8")
            for text in _sentences(source) if path.suffix == ".py" else [COMMENT.sub("", source)]:
                if len(text.split()) >= LEAST_WORDS:
                    yield name, text.replace(f'"{HOLE}"', HOLE)


def test_phrases_given_up_do_not_come_back() -> None:
    """All in one test, as reading the code takes longer than all of them."""
    texts, given_up = list(_shown()), _given_up()
    assert len(texts) > 2000
    assert len(given_up) > 20
    back = [
        f"{name}: {text}; write {instead}"
        for phrase, instead in given_up.items()
        for name, text in texts
        if _pattern(phrase).search(text)
    ]
    assert not back


@pytest.mark.parametrize(
    ("phrase", "text", "is_it"),
    [
        ("X is no …", "X is no bearing; give 0 to 360.", True),
        ("X is no …", "There is no port X.", False),
        ("leave … away", "Nothing is left; leave the time or the ISO away.", True),
        ("leave … away", "leave it out; go away", False),
        ("vouches", "Nothing vouches\nfor it.", True),
    ],
)
def test_the_list_finds_what_it_means(phrase: str, text: str, is_it: bool) -> None:
    assert bool(_pattern(phrase).search(text)) is is_it


def test_a_sentence_is_read_whole_and_a_docstring_is_not() -> None:
    source = '"""It vouches."""\nsay(f"{name} is "\n    f"no date.")\n'
    assert list(_sentences(source)) == ["X is no date."]
