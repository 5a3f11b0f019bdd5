"""What the program writes on pages by itself: its templates, and the texts in the code that fills them.

One surprising decision: what the program itself writes everywhere ("May", "Bridge") is no secret, although a
withheld place or a private person may be called so: on a page the two cannot be told apart. The rooms that
strike secrets out and the commands are left out: they say nothing on a page, and examples name places.
"""

import ast
from calendar import day_name, month_abbr, month_name
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from logbook.services.leaks.words import Text, read

_PACKAGE = Path(__file__).parents[2]
_ROOMS = ("faces/report", "services/exports", "domain", "craft", "sky")
_NEVER_SHOWN = frozenset(("discretion", "written", "written_positions.py"))  # they read, and say nothing


@cache
def own_words() -> Text:
    """Return all that the program writes by itself, taken apart."""
    templates = next(p for p in (_PACKAGE / "_templates", _PACKAGE.parent / "templates") if p.is_dir())
    texts = [path.read_text(encoding="utf-8") for path in sorted((templates / "report").iterdir())]
    for room in _ROOMS:
        for path in sorted((_PACKAGE / room).rglob("*.py")):
            if not _NEVER_SHOWN & set(path.relative_to(_PACKAGE).parts):
                texts += _literals(path)
    return read("\n|\n".join([*texts, *month_name, *month_abbr, *day_name]))


def _literals(path: Path) -> Iterator[str]:
    """Yield the texts that a module's code holds, without what it says of itself."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.value
