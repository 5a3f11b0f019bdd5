"""Slips of the command line in one sentence of ours, with the nearest word before a long list.

One surprising decision: what the option library says is taken apart again, for its sentences differ from
version to version and ours name the nearest word before a long list.
"""

import re
from collections.abc import Collection, Sequence
from difflib import get_close_matches
from itertools import pairwise

NEAR = 0.6  # of difflib's ratio
VERBS = ("add", "edit", "import", "list", "note", "remove", "show")
_CHOICE = re.compile(r"Invalid value for '([^']+)': '(.*)' is not one of (.*)", re.DOTALL)
_OPTION = re.compile(r"No such option:? (\S+?)\.?(?:\s(.*))?", re.DOTALL)
_COMMAND = re.compile(r"No such command '(.*?)'\.?(?:\s.*)?", re.DOTALL)  # what follows differs by version


def said_plainly(
    message: str, arguments: Sequence[str], nouns: Collection[str], commands: Collection[str] = ()
) -> str:
    """Return what the option library found as a sentence of ours, where it is one that we know.

    `commands` are those that could have been named where one was not.
    """
    if found := _CHOICE.fullmatch(message.rstrip(".")):
        option, typed, listed = found.groups()
        words = re.findall(r"'([^']*)'", listed)
        near = nearest(typed, words)
        meant = f"did you mean {near}? It" if near else "it"
        return f'"{typed}" is not a choice for {option.split(" / ")[0]}; {meant} can be {", ".join(words)}'
    if found := _COMMAND.fullmatch(message):
        typed = found[1]
        near = _turned_round(arguments, nouns) or " or ".join(get_close_matches(typed, commands, cutoff=NEAR))
        return f'There is no command "{typed}"' + (f"; did you mean {near}?" if near else "")
    if found := _OPTION.fullmatch(message):
        typed, near = found[1], " or ".join(re.findall(r"--?[\w-]+", found[2] or ""))
        return f"There is no option {typed}" + (f"; did you mean {near}?" if near else "")
    return message


def nearest(typed: str, words: Collection[str]) -> str | None:
    """Return the word that a slip comes nearest to."""
    return next(iter(get_close_matches(typed.strip().lower(), words, 1, NEAR)), None)


def _turned_round(arguments: Sequence[str], nouns: Collection[str]) -> str | None:
    """Return `"logbook shot list"` for `list shots`."""
    words = [word for word in arguments if not word.startswith("-")]
    for verb, noun in pairwise(words):
        one = noun if noun in nouns else noun.removesuffix("s")
        if verb in VERBS and one in nouns:
            return f'"logbook {one} {verb}"'
    return None
