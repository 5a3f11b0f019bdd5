"""Mistakes of ours: one sentence for the page, and the traceback to the terminal where it is asked for."""

import os
import traceback

from logbook.faces.terminal import say


def our_mistake(error: Exception) -> str:
    """Say the traceback on the terminal with LOGBOOK_DEBUG=1; return the sentence for the page."""
    if os.environ.get("LOGBOOK_DEBUG") == "1":
        say("".join(traceback.format_exception(error)))
    return "Something went wrong in the program; everything you kept before that is safe in the book."
