"""Asking one question on the terminal, with completion and a line of keys below.

One surprising decision: where the input is not a terminal, plain lines are read, so that a session can be
scripted and piped like anything else.
"""

import sys
from collections.abc import Callable, Sequence

KEYS = "Enter takes [it]   y I say so   ? unknown   b back   q stop here"


class StoppedHereError(Exception):
    """The person stopped; everything answered is kept."""


def asker() -> Callable[[str, Sequence[str]], str]:
    """Return the function that asks: prompt and words to complete in, the typed line out."""
    if sys.stdin is None or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return _plain
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter

    session: PromptSession[str] = PromptSession(bottom_toolbar=KEYS, complete_while_typing=False)

    def ask(prompt: str, words: Sequence[str]) -> str:
        try:
            return session.prompt(prompt, completer=WordCompleter(list(words)) if words else None)
        except (EOFError, KeyboardInterrupt):
            raise StoppedHereError from None

    return ask


def _plain(prompt: str, _words: Sequence[str]) -> str:
    sys.stdout.write(prompt)
    sys.stdout.flush()
    line = sys.stdin.readline() if sys.stdin is not None else ""  # none where it was closed
    sys.stdout.write("\n")
    if not line:
        raise StoppedHereError
    return line.rstrip("\n")
