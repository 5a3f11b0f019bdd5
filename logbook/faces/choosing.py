"""Asking which picture is meant, where a number is not one picture's alone.

One surprising decision: the request is simply made again with the name that was chosen. Whoever raises the
question has written nothing yet.
"""

import re
import sys
from collections.abc import Callable
from typing import TypeVar

from logbook.faces.terminal import say
from logbook.services.naming import SeveralKeepersError

Done = TypeVar("Done")
Chosen = Callable[[str], str]


def settled(act: Callable[[Chosen], Done], *, as_json: bool = False) -> Done:
    """Do what is asked for; on a terminal, ask which pictures a name means where it could be several.

    `act` is handed a function that puts what was chosen in place of what was typed.
    """
    chosen: dict[str, str] = {}

    def name(typed: str) -> str:
        parts = re.split(r"([,;])", chosen.get(typed.strip(), typed))
        return "".join(chosen.get(part.strip(), part) for part in parts)

    while True:
        try:
            return act(name)
        except SeveralKeepersError as error:
            if as_json or not (sys.stdin.isatty() and sys.stdout.isatty()) or error.name in chosen:
                raise
            chosen[error.name] = _asked(error)


def _asked(error: SeveralKeepersError) -> str:
    """Return the slugs of the candidate that is chosen; the error itself is raised where none is."""
    from logbook.faces.asking import StoppedHereError, asker

    say(f'"{error.name}" could be:')
    for number, words in enumerate(error.listed(), 1):
        say(f"  {number}  {words}")
    ask = asker()
    while True:
        try:
            answer = ask(f"Which one, 1 to {len(error.candidates)}? Enter changes nothing. ", ()).strip()
        except StoppedHereError:
            raise error from None
        if not answer:
            raise error
        if answer.isdigit() and 1 <= int(answer) <= len(error.candidates):
            return ",".join(error.candidates[int(answer) - 1].slugs)
        say(f'"{answer}" is not one of them.')
