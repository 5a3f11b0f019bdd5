"""What the program writes on pages by itself: its templates, the sentences of its code, its vocabularies.

One surprising decision: what the program itself writes everywhere ("May", "Bridge") is no secret, although a
withheld place or a private person may be called so: on a page the two cannot be told apart. So it is kept
small: what is no sentence in the code, a key or the name of a format, is never on a page.
"""

import ast
import re
from calendar import day_name, month_abbr, month_name
from collections.abc import Iterator, Sequence
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


_WORDLESS = (ast.Name, ast.expr_context, ast.operator, ast.boolop, ast.cmpop, ast.unaryop, ast.alias)
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
            texts += _in_code(tree, sentences=room in _ROOMS)
    texts += _of_conditions()
    return read(PARTED.join([*texts, *month_name, *month_abbr, *day_name]))


def _of_conditions() -> Iterator[str]:
    """Yield what pages say of a level, but not its name in a scale: "gale" may be a place."""
    for of in KINDS.values():
        for text in (*of.texts.values(), of.drawn, *of.drawn_as.values()):
            yield from filter(_is_sentence, text.split(", "))


def _in_code(tree: ast.Module, *, sentences: bool) -> Iterator[str]:
    """Yield the words of a module's enums, and where wanted its texts that people read.

    Those have a space or a capital, and are no docstring. Synonyms are what people write, and on no page.
    """
    waiting: list[ast.AST] = [tree]
    while waiting:  # by hand and once: the library's own walks took two seconds of every report
        node = waiting.pop()
        if isinstance(node, ast.keyword) and node.arg == "synonyms":
            continue
        if isinstance(node, ast.Constant):
            if sentences and isinstance(node.value, str) and _is_sentence(node.value):
                yield node.value
            continue
        if isinstance(node, ast.ClassDef) and any(
            isinstance(base, ast.Name) and base.id == "StrEnum" for base in node.bases
        ):
            yield from _words_of(node)
        for name, value in vars(node).items():
            parts = value if isinstance(value, list) else [value]
            if name == "body" and _begins_with_docstring(parts):  # of a module, a class or a function
                parts = parts[1:]
            waiting += [one for one in parts if isinstance(one, ast.AST) and not isinstance(one, _WORDLESS)]


def _words_of(words: ast.ClassDef) -> Iterator[str]:
    """Yield the words of an enum."""
    for one in ast.walk(words):
        if isinstance(one, ast.Constant) and isinstance(one.value, str) and " " not in one.value:
            yield one.value


def _begins_with_docstring(body: Sequence[object]) -> bool:
    return bool(body) and isinstance(body[0], ast.Expr) and isinstance(body[0].value, ast.Constant)


def _is_sentence(text: str) -> bool:
    return " " in text or text[:1].isupper()
