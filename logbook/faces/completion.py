"""What a shell may complete, and options that take a word of a vocabulary, read as day files and pages do.

Surprising decisions: which parameter takes which names follows from what its help calls it, so that no
command has to say so a second time. The option library's own choice of words is not used: it knows the
words alone, and whoever may write "must have" in a plan may write it here.
"""

import inspect
import re
from collections.abc import Callable
from copy import copy
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, TypeVar, get_args, get_origin

import typer
from typer.models import ArgumentInfo, ParameterInfo

from logbook.faces.opened import book_path
from logbook.faces.terminal import say

Function = TypeVar("Function", bound=Callable[..., Any])
Complete = Callable[..., list[str]]
NOUNS = frozenset(("trip", "site", "viewpoint", "shot", "kit", "visit", "condition", "lesson", "keeper"))
_OF_THE_COMMAND = {"name": ("name", "names"), "kept": ("into",), "old": ("old",), "other": ("other",)}
_SPECIAL = {"replaced_by": "shot"}
_WORDS = re.compile(r"[a-z]+(?:\|[a-z]+)+")


def vocabulary_of(annotation: Any) -> type[StrEnum] | None:
    """Return the vocabulary of a parameter: its own, one that may be left out, or one of a list."""
    if isinstance(annotation, type):
        return annotation if issubclass(annotation, StrEnum) else None
    found = [vocabulary_of(one) for one in get_args(annotation) if one is not type(None)]
    return found[0] if len(found) == 1 else None


def worded(info: ParameterInfo, vocabulary: type[StrEnum]) -> ParameterInfo:
    """Return a parameter that reads the words of a vocabulary as people write them, and completes them."""
    words = [str(word) for word in vocabulary]
    told = copy(info)
    told.parser = _reader(vocabulary)
    told.autocompletion = lambda incomplete: [word for word in words if word.startswith(incomplete)]
    if isinstance(info, ArgumentInfo):
        told.help = f"{(info.help or '').rstrip('.')}: {', '.join(words)}."
    elif info.metavar is None:
        told.metavar = "|".join(words)
    return told


def _reader(vocabulary: type[StrEnum]) -> Callable[[str], StrEnum]:
    def read(text: str) -> StrEnum:
        from logbook.domain.written.choices import word_written

        if isinstance(text, vocabulary):  # a default is read too
            return text
        found = word_written(text, vocabulary)
        if found is None:
            listed = ", ".join(f"'{word}'" for word in vocabulary)
            raise typer.BadParameter(f"'{text}' is not one of {listed}.")
        if found != text.strip().lower():
            say(f'"{text}" is read as {found}.')
        return found

    return read


def with_completion(function: Function, noun: str | None) -> Function:
    """Return a command whose parameters know what may be completed; `noun` is that of its group, if any."""
    signature = inspect.signature(function, eval_str=True)
    told = [_completed(one, noun) for one in signature.parameters.values()]
    function.__signature__ = signature.replace(parameters=told)  # type: ignore[attr-defined]
    return function


def _completed(one: inspect.Parameter, noun: str | None) -> inspect.Parameter:
    if get_origin(one.annotation) is not Annotated:
        return one
    kind, *told = get_args(one.annotation)
    words = vocabulary_of(kind)
    said = [
        (worded(info, words) if words else _with(info, one.name, noun))
        if isinstance(info, ParameterInfo)
        else info
        for info in told
    ]
    return one.replace(annotation=Annotated[kind, *said])


def _with(info: ParameterInfo, parameter: str, noun: str | None) -> ParameterInfo:
    label = re.sub(r"[\[\].]", "", info.metavar or "")
    if label == "TOPIC":
        return _completing(info, _topics)
    named = named_by(label, parameter, noun)
    if named is None and not _WORDS.fullmatch(label):
        return info
    return _completing(info, _words(label.split("|")) if named is None else _names(named))


def _completing(info: ParameterInfo, complete: Complete) -> ParameterInfo:
    completed = copy(info)
    completed.autocompletion = complete
    return completed


def _topics(incomplete: str) -> list[str]:
    from logbook.faces.topics import topics

    return [one.name for one in topics() if one.name.startswith(incomplete)]


def named_by(label: str, parameter: str, noun: str | None) -> str | None:
    """Return the noun whose names a parameter takes: by its label in the help, else by what it is called."""
    word = label.lower()
    if word in NOUNS:
        return word
    if parameter in _OF_THE_COMMAND.get(word, ()):
        return noun if noun in NOUNS else None
    called = _SPECIAL.get(parameter, parameter.removesuffix("_too"))
    return called if word == "name" and called in NOUNS else None


def _words(words: list[str]) -> Complete:
    return lambda incomplete: [word for word in words if word.startswith(incomplete)]


def _names(noun: str) -> Complete:
    def complete(ctx: typer.Context, incomplete: str) -> list[str]:
        from logbook.store.names import names_beginning

        trip = ctx.params.get("trip") if noun != "trip" else None
        of_trip = trip if isinstance(trip, str) else None
        return names_beginning(book_path(_book(ctx)), noun, incomplete, of_trip)

    return complete


def _book(ctx: Any) -> Path | None:
    """Return the book that was named on the line, with the command or before it."""
    while ctx is not None:
        if isinstance(named := ctx.params.get("book"), Path):
            return named
        ctx = ctx.parent
    return None
