"""Asking one question on the terminal, with completion and a line of keys below.

Where the input is not a terminal, plain lines are read, so that a session can be scripted and piped like
anything else.

One surprising decision: an Enter with more text right behind it is a line of something pasted, not the end of
an answer, since nobody presses Enter and types on within a few hundredths of a second.
"""

import sys
from collections.abc import Callable, Sequence
from select import select
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent

KEYS = "Enter keep  y confirm  ? unknown  o overview  v view  b back  q stop  help"
PASTED_S = 0.03  # s within which the next line of a paste is there, and the next key of a hand is not


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
