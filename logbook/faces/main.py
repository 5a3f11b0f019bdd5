"""The program `logbook`: its commands, and the one place where errors become exit codes.

One surprising decision: whatever goes wrong, a person sees one sentence. Only LOGBOOK_DEBUG=1 shows the
traceback of a mistake of ours.
"""

import os
import sys
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from logbook import __version__
from logbook.domain.errors import LogbookError
from logbook.faces.commands import (
    condition,
    day,
    demo,
    keeper,
    kit,
    lesson,
    report,
    shot,
    site,
    trip,
    viewpoint,
    visit,
)
from logbook.faces.opened import chosen
from logbook.faces.terminal import answer, say

OUR_MISTAKE = 70  # exit status of a mistake of ours (EX_SOFTWARE, BSD sysexits.h)
INTERRUPTED = 130  # exit status after Ctrl-C (128 + SIGINT, POSIX shells)

ORDER = "demo trip site viewpoint shot kit keeper day visit condition lesson light expose report"


class InOrderOfWork(TyperGroup):
    """Lists commands in the order in which a trip meets them."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Return the names of the commands."""
        order = ORDER.split()
        return sorted(super().list_commands(ctx), key=lambda name: order.index(name))


app = typer.Typer(
    name="logbook",
    cls=InOrderOfWork,
    help="A trip and shoot logbook: plan, write down the day, publish, look back. Offline.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog="Example: logbook demo --into demo",
)
for noun in (trip, site, viewpoint, shot, kit, visit, condition, lesson, keeper, day):
    app.add_typer(noun.app)
app.registered_commands += report.app.registered_commands + demo.app.registered_commands


def _version(wanted: bool) -> None:
    if wanted:
        answer(f"logbook {__version__}")
        raise typer.Exit


@app.callback()
def main(
    book: Annotated[
        Path | None,
        typer.Option("--book", metavar="FILE", help="The book; else LOGBOOK_BOOK, else your data folder."),
    ] = None,
    version: Annotated[  # noqa: ARG001  # its callback does the work
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """A trip and shoot logbook: plan, write down the day, publish, look back. Offline."""
    chosen.set(book)


def run() -> None:
    """Run the program and leave with its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(status_of(sys.argv[1:]))


def status_of(arguments: list[str]) -> int:
    """Run the program with arguments and return its exit status: 0 done, 1 not met, 2 wrong use."""
    try:
        app(args=arguments, prog_name="logbook", standalone_mode=True)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else 1
    except LogbookError as error:
        say(f"logbook: {error}")
        return error.exit_status
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # nobody listens any more
        return 0
    except KeyboardInterrupt:
        say("logbook: stopped; what was acknowledged is kept, run it again to complete the rest.")
        return INTERRUPTED
    except OSError as error:
        say(f"logbook: {_plain_os_error(error)}")
        return 1
    except Exception as error:
        if os.environ.get("LOGBOOK_DEBUG"):
            raise
        say(
            f"logbook: a mistake of ours stopped this ({type(error).__name__}); nothing half-done was kept. "
            "Run it with LOGBOOK_DEBUG=1 and report what it prints."
        )
        return OUR_MISTAKE
    return 0


def _plain_os_error(error: OSError) -> str:
    name = f" {error.filename}" if error.filename else ""
    return f"the system refused{name}: {error.strerror or error}; check it and run this again."
