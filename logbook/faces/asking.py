"""Asking one question on the terminal, with completion and a line of keys below; and which picture is meant.

Where the input is not a terminal, plain lines are read, so that a session can be scripted and piped like
anything else.

Surprising decisions: an Enter with more text right behind it is a line of something pasted, not the end of
an answer, since nobody presses Enter and types on within a few hundredths of a second. Where a number is
not one picture's alone, the request is simply made again with the name that was chosen: whoever raises the
question has written nothing yet.
"""

import re
import sys
from collections.abc import Callable, Sequence
from select import select
from typing import TYPE_CHECKING, TypeVar

from logbook.faces.terminal import say
from logbook.services.naming import SeveralKeepersError

if TYPE_CHECKING:
    from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent

KEYS = "Enter keep  y confirm  ? unknown  o overview  v view  b back  q stop  help"
PASTED_S = 0.03  # s within which the next line of a paste is there, and the next key of a hand is not
Done = TypeVar("Done")
Chosen = Callable[[str], str]


class StoppedHereError(Exception):
    """The person stopped; everything answered is kept."""


def asker() -> Callable[[str, Sequence[str]], str]:
    """Return the function that asks: prompt and words to complete in, the typed lines out."""
    if sys.stdin is None or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return _plain
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter

    session: PromptSession[str] = PromptSession(
        bottom_toolbar=KEYS, complete_while_typing=False, enable_suspend=True, key_bindings=_pasting()
    )

    def ask(prompt: str, words: Sequence[str]) -> str:
        try:
            return session.prompt(prompt, completer=WordCompleter(list(words)) if words else None)
        except (EOFError, KeyboardInterrupt):
            raise StoppedHereError from None

    return ask


def _pasting() -> "KeyBindings":
    """Return what Enter does: it ends the answer, or a line of what a terminal without brackets pasted."""
    from prompt_toolkit.filters import has_focus
    from prompt_toolkit.key_binding import KeyBindings

    keys = KeyBindings()

    @keys.add("enter", filter=has_focus("DEFAULT_BUFFER"))
    def _enter(event: "KeyPressEvent") -> None:
        buffer = event.current_buffer
        if buffer.text.strip() and _is_more_behind(event):
            buffer.newline(copy_margin=False)
        else:
            buffer.validate_and_handle()

    return keys


def _is_more_behind(event: "KeyPressEvent") -> bool:
    """Tell whether text stands behind this key; further Enters are only pressed ahead."""
    waiting = event.app.key_processor
    if select([event.app.input.fileno()], [], [], PASTED_S)[0]:
        waiting.feed_multiple(event.app.input.read_keys())
    return any(press.data.isprintable() and press.data for press in waiting.input_queue)


def _plain(prompt: str, _words: Sequence[str]) -> str:
    sys.stdout.write(prompt)
    sys.stdout.flush()
    line = sys.stdin.readline() if sys.stdin is not None else ""  # none where it was closed
    sys.stdout.write("\n")
    if not line:
        raise StoppedHereError
    return line.rstrip("\n")


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
