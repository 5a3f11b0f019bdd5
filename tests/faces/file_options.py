"""Which options of which commands name a file or a folder; every new one must be said to read or to write."""

import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, get_args, get_origin

import typer

from logbook.faces.main import application

Named = tuple[str, str]  # a command, and the parameter of it that names a file or a folder


def functions(app: typer.Typer, above: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    """Yield each command's name and function."""
    for one in app.registered_commands:
        yield " ".join((*above, str(one.name))), one.callback
    for group in app.registered_groups:
        assert group.typer_instance is not None
        name = group.typer_instance.info.name
        yield from functions(group.typer_instance, (*above, str(name)))


def files_named() -> set[Named]:
    """Return every parameter that takes a path, or that its help calls a file or a folder."""
    found = set()
    for command, function in functions(application()):
        for name, parameter in inspect.signature(function, eval_str=True).parameters.items():
            if get_origin(parameter.annotation) is Annotated:
                kind, info = get_args(parameter.annotation)[:2]
                called = str(getattr(info, "metavar", "") or "")
                is_path = kind is Path or Path in get_args(kind)
                if is_path or any(word in called for word in ("FILE", "DIR", "FOLDER")):
                    found.add((command, name))
    return {one for one in found if one[1] != "book"}
