"""The program `logbook`: its commands, and the one place where errors become exit codes.

One surprising decision: whatever goes wrong, a person sees one sentence. Only LOGBOOK_DEBUG=1 shows the
traceback of a mistake of ours.
"""

import gc
import os
import sys
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from logbook import __version__
from logbook.domain.errors import LogbookError
from logbook.faces.opened import begin_run, chosen, say_without_index, was_changed
from logbook.faces.streams import OutputLostError, prepare_streams
from logbook.faces.terminal import answer, say

OUR_MISTAKE = 70  # exit status of a mistake of ours (EX_SOFTWARE, BSD sysexits.h)
GARBAGE_THRESHOLD = 50_000  # objects; a short-lived command gains a tenth by looking for garbage less often
INTERRUPTED = 130  # exit status after Ctrl-C (128 + SIGINT, POSIX shells)

# Command to the module of `faces.commands` that has it, in the order in which a trip meets them.
COMMANDS = {
    "demo": "demo",
    "trip": "trip",
    "site": "site",
    "viewpoint": "viewpoint",
    "shot": "shot",
    "kit": "kit",
    "keeper": "keeper",
    "track": "track",
    "night": "night",
    "open": "open_book",
    "day": "day",
    "visit": "visit",
    "condition": "condition",
    "lesson": "lesson",
    "light": "light",
    "expose": "expose",
    "sheet": "sheet",
    "report": "report",
    "find": "find",
    "check": "check",
    "undo": "undo",
    "backup": "backup",
    "restore": "restore",
    "merge": "merge",
    "alike": "alike",
    "worked": "worked",
    "before": "before",
    "export": "export",
    "import": "import_book",
}


class InOrderOfWork(TyperGroup):
    """Lists commands in the order in which a trip meets them."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Return the names of the commands."""
        order = list(COMMANDS)
        return sorted(super().list_commands(ctx), key=order.index)


def application(names: Iterable[str] = COMMANDS) -> typer.Typer:
    """Return the program with some of its commands; only their modules are loaded."""
    app = typer.Typer(
        name="logbook",
        cls=InOrderOfWork,
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,
    )
    app.callback(epilog="Example: logbook demo --into demo")(main)
    for name in names:
        module = import_module(f"logbook.faces.commands.{COMMANDS[name]}")
        if module.app.info.name == name:
            app.add_typer(module.app)
        else:
            app.registered_commands += module.app.registered_commands
    return app


def _named(arguments: list[str]) -> Iterable[str]:
    """Return the command that the arguments name, or all of them where they name none."""
    rest = iter(arguments)
    for argument in rest:
        if argument == "--book":
            next(rest, None)
        elif not argument.startswith("-"):
            return [argument] if argument in COMMANDS else COMMANDS
    return COMMANDS


def _version(wanted: bool) -> None:
    if wanted:
        answer(f"logbook {__version__}")
        raise typer.Exit


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
    gc.set_threshold(GARBAGE_THRESHOLD)
    prepare_streams()
    sys.exit(status_of(sys.argv[1:]))


def status_of(arguments: list[str]) -> int:
    """Run the program with arguments and return its exit status: 0 done, 1 not met, 2 wrong use."""
    begin_run(arguments)
    try:
        status = application(_named(arguments))(args=arguments, prog_name="logbook", standalone_mode=False)
        say_without_index()
        sys.stdout.flush()
        if status == INTERRUPTED:
            raise KeyboardInterrupt
        return status if isinstance(status, int) else 0
    except SystemExit as leaving:
        if isinstance(leaving.__context__, BrokenPipeError):  # the option library, or the tables', met it
            return _nobody_listens()
        return leaving.code if isinstance(leaving.code, int) else 1
    except LogbookError as error:
        say(f"logbook: {error}")
        return error.exit_status
    except BrokenPipeError:
        return _nobody_listens()
    except (KeyboardInterrupt, typer.Abort):
        say("logbook: stopped; what was acknowledged is kept, run it again to complete the rest.")
        return INTERRUPTED
    except OutputLostError as error:
        said = f"the answer could not be written to standard output ({error.strerror})"
        if was_changed():
            say(f"logbook: {said}; the book was changed all the same, so do not run this again.")
        else:
            say(f"logbook: {said}; the book was not changed. Run this again with room for its answer.")
        return 1
    except OSError as error:
        say(f"logbook: {_plain_os_error(error)}")
        return 1
    except Exception as error:
        if hasattr(error, "format_message"):
            return _wrong_use(error, arguments)
        if os.environ.get("LOGBOOK_DEBUG"):
            raise
        kept = "what was done before it is in the book" if was_changed() else "nothing half-done was kept"
        say(
            f"logbook: a mistake of ours stopped this ({type(error).__name__}); {kept}. "
            "Run it with LOGBOOK_DEBUG=1 and report what it prints."
        )
        return OUR_MISTAKE


def _nobody_listens() -> int:
    """Leave quietly when the reader of a pipe has gone (`logbook keeper list | head`)."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return 0


def _wrong_use(error: Any, arguments: list[str]) -> int:
    """Say what the option library found, in one sentence; its classes differ from version to version."""
    message = str(error.format_message()).strip().replace("Value error, ", "")
    path = error.ctx.command_path if getattr(error, "ctx", None) else "logbook"
    if type(error).__name__ == "NoArgsIsHelpError":
        say(message)
    else:
        from logbook.faces.slips import said_plainly

        group = getattr(getattr(error, "ctx", None), "command", None)
        commands = list(getattr(group, "commands", ()))
        said = said_plainly(" ".join(message.split()), arguments, COMMANDS, commands).rstrip(".")
        say(f'logbook: {said}{" See" if said.endswith("?") else "; see"} "{path} --help".')
    return int(error.exit_code)


def _plain_os_error(error: OSError) -> str:
    name = f" {error.filename}" if error.filename else ""
    kept = "; what was done before it is in the book" if was_changed() else ""
    return f"the system refused{name}: {error.strerror or error}{kept}; check it and run this again."
