"""Options and arguments that take a word of a vocabulary, read as the day file and the pages read it.

One surprising decision: the option library's own choice is not used. It knows the words alone, and whoever
may write "must have" in a plan may write it here.
"""

from collections.abc import Callable
from copy import copy
from enum import StrEnum
from typing import Any, get_args

import typer
from typer.models import ArgumentInfo, ParameterInfo

from logbook.faces.terminal import say


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
