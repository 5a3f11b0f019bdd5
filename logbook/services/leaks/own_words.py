"""What the program writes on pages by itself: its templates, the sentences of its code, its vocabularies.

One surprising decision: what the program itself writes everywhere ("May", "Bridge") is no secret, although a
withheld place or a private person may be called so: on a page the two cannot be told apart. So it is kept
small: what is no sentence in the code, a key or the name of a format, is never on a page.
"""

import ast
import re
from calendar import day_name, month_abbr, month_name
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from threading import Lock

from logbook.domain.condition_kinds import KINDS
from logbook.services.leaks.readings import PARTED, reading_of
from logbook.services.leaks.words import WordedText, read

_PACKAGE = Path(__file__).parents[2]
# Their sentences come onto pages.
_ROOMS = ("faces/report", "faces/words", "services/exports", "craft", "sky")
_VOCABULARIES = (*_ROOMS, "domain")
_JINJA = re.compile(r"\{[{%#].*?[}%#]\}", re.DOTALL)


_ALONE = Lock()  # Python 3.11 fails where two threads take code apart at the same time (SystemError)


def own_words() -> WordedText:
    """Return all that the program writes by itself, taken apart."""
    with _ALONE:
        return _own_words()


@cache
def _own_words() -> WordedText:
    templates = next(p for p in (_PACKAGE / "_templates", _PACKAGE.parent / "templates") if p.is_dir())
    pages = sorted((templates / "report").glob("*.html"))
    texts = [
        reading_of(page.name, _JINJA.sub(PARTED, page.read_text(encoding="utf-8"))).words for page in pages
    ]
    for room in _VOCABULARIES:
        for path in sorted((_PACKAGE / room).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            texts += _vocabulary(tree)
            if room in _ROOMS:
                texts += _sentences(tree)
    texts += _of_conditions()
    return read(PARTED.join([*texts, *month_name, *month_abbr, *day_name]))


def _of_conditions() -> Iterator[str]:
    """Yield what pages say of a level, but not its name in a scale: "gale" may be a place."""
    for of in KINDS.values():
        for text in (*of.texts.values(), of.drawn, *of.drawn_as.values()):
            yield from filter(_is_sentence, text.split(", "))


def _vocabulary(tree: ast.Module) -> Iterator[str]:
    """Yield the words of enums."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef) and any(ast.unparse(base) == "StrEnum" for base in node.bases):
            for one in ast.walk(node):
                if isinstance(one, ast.Constant) and isinstance(one.value, str) and " " not in one.value:
                    yield one.value


def _sentences(tree: ast.Module) -> Iterator[str]:
    """Yield the texts of a module that people read: what has a space or a capital, and is no docstring.

    Synonyms are what people write, and on no page.
    """
    passed = {
        id(one)
        for node in ast.walk(tree)
        if isinstance(node, ast.keyword) and node.arg == "synonyms"
        for one in ast.walk(node)
    }
    passed |= {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in passed:
            continue
        if isinstance(node.value, str) and _is_sentence(node.value):
            yield node.value


def _is_sentence(text: str) -> bool:
    return " " in text or text[:1].isupper()
