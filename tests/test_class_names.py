"""Every class of the program has a name of its own, so that a name means one thing wherever it is read."""

import ast
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def test_no_two_classes_share_a_name() -> None:
    where: dict[str, list[str]] = defaultdict(list)
    for path in sorted((ROOT / "logbook").rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef):
                where[node.name].append(str(path.relative_to(ROOT)))
    assert len(where) > 300
    assert {name: paths for name, paths in where.items() if len(paths) > 1} == {}
