"""The program `logbook`: its commands, and the one place where errors become exit codes.

One surprising decision: whatever goes wrong, a person sees one sentence. Only LOGBOOK_DEBUG=1 shows the
traceback of a mistake of ours.
"""

import gc
import os
import sys
from functools import cache
from importlib import import_module
from itertools import groupby
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from logbook import __version__
from logbook.domain.errors import LogbookError
from logbook.faces.contents import CONTENTS
from logbook.faces.drawn import undrawn
from logbook.faces.opened import begin_run, book_path, chosen, let_go, say_without_index, was_changed
from logbook.faces.streams import OutputLostError, prepare_streams
from logbook.faces.terminal import answer, say

OUR_MISTAKE = 70  # exit status of a mistake of ours (EX_SOFTWARE, BSD sysexits.h)
GARBAGE_THRESHOLD = 50_000  # objects; a short-lived command gains a tenth by looking for garbage less often
INTERRUPTED = 130  # exit status after Ctrl-C (128 + SIGINT, POSIX shells)


class ByMoment(TyperGroup):
    """Lists commands by the moment at which they are wanted, and loads the one that is run."""

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ARG002  # the signature is the option library's
        """Return the names of the commands."""
        return list(CONTENTS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002
        """Return a command; None where there is none of that name."""
        if cmd_name not in CONTENTS:
            return None
        if cmd_name not in self.commands:
            self.commands[cmd_name] = _loaded(cmd_name)
        return self.commands[cmd_name]

    def shell_complete(self, ctx: Any, incomplete: str) -> list[Any]:
        """Return what may come next; a name and what it does is all that a shell shows of a command."""
        self.commands = {name: TyperCommand(name, short_help=of.says) for name, of in CONTENTS.items()}
        return super().shell_complete(ctx, incomplete)

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002
        """Write what each command does under its moment."""
        width = max(map(len, CONTENTS))
        for moment, names in groupby(CONTENTS, key=lambda name: CONTENTS[name].moment):
            with formatter.section(moment):
                formatter.write_dl([(name.ljust(width), CONTENTS[name].says) for name in names])


@cache  # for whoever runs several commands in one process
def _loaded(name: str) -> Any:
    """Return a command as the option library has it; only its own module is loaded."""
    module = import_module(f"logbook.faces.commands.{CONTENTS[name].module}")
    holder = _bare_app()
    holder.callback()(main)
    if module.app.info.name == name:
        holder.add_typer(module.app)
    else:
        holder.registered_commands += module.app.registered_commands
    return typer.main.get_group(holder).commands[name]


def application() -> typer.Typer:
    """Return the program."""
    app = _bare_app(cls=ByMoment, invoke_without_command=True, add_completion=True)
    app.callback(epilog="Example: logbook demo --into demo")(main)
    return app


def _bare_app(**more: Any) -> typer.Typer:
    how = {"add_completion": False, "pretty_exceptions_enable": False, "rich_markup_mode": None} | more
    return typer.Typer(name="logbook", **how)


def _version(wanted: bool) -> None:
    if wanted:
        answer(f"logbook {__version__}")
        raise typer.Exit


def main(
    context: typer.Context,
    book: Annotated[
        Path | None,
        typer.Option("--book", metavar="FILE", help="The book; default LOGBOOK_BOOK, then your data folder."),
    ] = None,
    version: Annotated[  # noqa: ARG001  # its callback does the work
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
    plain: Annotated[
        bool,
        typer.Option(
            "--plain",
            envvar="LOGBOOK_PLAIN",
            help="Leave out drawings made of characters; LOGBOOK_PLAIN=1 makes that permanent.",
            show_envvar=False,
        ),
    ] = False,
) -> None:
    """A trip and shoot logbook: plan, write down the day, publish, look back. Offline."""
    chosen.set(book)
    undrawn.set(plain)
    if context.invoked_subcommand is None:
        _alone(context, book)


def _alone(context: typer.Context, book: Path | None) -> None:
    """Say where one stands with a book that is there; else how to begin."""
    if not book_path(book).is_file():
        say(context.get_help())
        raise typer.Exit(2)
    from logbook.faces.overview import show_overview

    show_overview(book)


def run() -> None:
    """Run the program and leave with its exit status."""
    gc.set_threshold(GARBAGE_THRESHOLD)
    prepare_streams()
    sys.exit(status_of(sys.argv[1:]))


def status_of(arguments: list[str]) -> int:
    """Run the program with arguments and return its exit status: 0 done, 1 not met, 2 wrong use."""
    begin_run(arguments)
    try:
        status = application()(args=arguments, prog_name="logbook", standalone_mode=False)
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
        say("logbook: Stopped; what was confirmed is kept. Run it again to finish the rest.")
        return INTERRUPTED
    except OutputLostError as error:
        said = f"The answer could not be written to standard output ({error.strerror})"
        if was_changed():
            say(f"logbook: {said}; the book was changed anyway, so do not run this again.")
        else:
            say(f"logbook: {said}; the book was not changed. Make room for the answer and run this again.")
        return 1
    except OSError as error:
        say(f"logbook: {_plain_os_error(error)}")
        return 1
    except Exception as error:
        if hasattr(error, "format_message"):
            return _wrong_use(error, arguments)
        if os.environ.get("LOGBOOK_DEBUG"):
            raise
        kept = "earlier steps are in the book" if was_changed() else "nothing was left half done"
        say(
            f"logbook: An error in this program stopped it ({type(error).__name__}); {kept}. "
            "Run it with LOGBOOK_DEBUG=1 and report what it prints."
        )
        return OUR_MISTAKE
    finally:
        let_go()


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
        commands = group.list_commands(error.ctx) if isinstance(group, TyperGroup) else ()
        said = said_plainly(" ".join(message.split()), arguments, CONTENTS, commands).rstrip(".")
        say(f'logbook: {said}{" See" if said.endswith("?") else "; see"} "{path} --help".')
    return int(error.exit_code)


def _plain_os_error(error: OSError) -> str:
    name = f" {error.filename}" if error.filename else ""
    kept = "; earlier steps are in the book" if was_changed() else ""
    return f"The system refused{name}: {error.strerror or error}{kept}; check it and run this again."
