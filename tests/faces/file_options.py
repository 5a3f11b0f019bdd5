"""Which options of which commands name a file or a folder; every new one must be said to read or to write."""

import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, get_args, get_origin

import typer
from typer.core import TyperGroup

from logbook.faces.main import application

Named = tuple[str, str]  # a command, and the parameter of it that names a file or a folder


def functions(group: TyperGroup, above: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    """Yield each command's name and function."""
    for name in group.list_commands(None):  # type: ignore[arg-type]
        one: Any = group.get_command(None, name)  # type: ignore[arg-type]
        if isinstance(one, TyperGroup):
            yield from functions(one, (*above, name))
        else:
            yield " ".join((*above, name)), inspect.unwrap(one.callback)


def files_named() -> set[Named]:
    """Return every parameter that takes a path, or that its help calls a file or a folder."""
    found = set()
    for command, function in functions(typer.main.get_group(application())):
        for name, parameter in inspect.signature(function, eval_str=True).parameters.items():
            if get_origin(parameter.annotation) is Annotated:
                kind, info = get_args(parameter.annotation)[:2]
                called = str(getattr(info, "metavar", "") or "")
                is_path = kind is Path or Path in get_args(kind)
                if is_path or any(word in called for word in ("FILE", "DIR", "FOLDER")):
                    found.add((command, name))
    return {one for one in found if one[1] != "book"}
