"""`logbook open`: the book as private pages in the browser, for working with the pictures in sight.

One surprising decision: the address is the first line of standard output and goes out before anything else,
so that whoever starts the pages from another program can read it.
"""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Annotated

import typer

from logbook.faces import options, typed
from logbook.faces.opened import open_book, utc_now
from logbook.faces.resources import resource
from logbook.faces.terminal import answer_unbroken, say

app = typer.Typer()


@options.command(
    app,
    "open",
    "logbook open --trip high-valley --on 2025-10-18",
)
def open_pages(
    trip: options.TripName = None,
    on: options.On = None,
    port: Annotated[int, typer.Option("--port", metavar="N", help="The port to use.", min=0, max=65535)] = 0,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address; do not open it.")
    ] = False,
    book: options.Book = None,
) -> None:
    """Open the book as private pages on this machine: evenings, pictures, looking back, sending.

    Only this machine can reach them, and only the browser that opens the printed address first. They are
    available until you press Ctrl-C here, or Close the book on a page.
    """
    from platformdirs import user_cache_path

    from logbook.faces.private.serving import PrivatePages, letter, show
    from logbook.services.night.session import day_to_write

    opened = open_book(book)  # an older book is brought up to date once, and a damaged one refused, before
    path = "/"
    if trip is not None or on is not None:
        of_trip, on_date = day_to_write(opened, trip, typed.a_date(on))
        path = f"/trip/{of_trip.slug}/evening/{on_date}"
    opened.let_go()
    pages = PrivatePages(
        opened.path,
        utc_now,
        resource("templates"),
        user_cache_path("logbook", appauthor=False) / "pictures",
        port,
    )
    address = pages.address(path)
    with _interrupt_closes(pages.close), letter(address) as shown:
        answer_unbroken(address)
        sys.stdout.flush()  # whoever reads it through a pipe waits for it
        say("The book is open on this machine alone. Ctrl-C here, or Close the book on a page, closes it.")
        if not no_browser:
            show(shown)
            say("If no page appears in your browser, open the address above yourself.")
        pages.serve()
    say("The book is closed; everything you kept is in it.")


@contextmanager
def _interrupt_closes(close: Callable[[], None]) -> Iterator[None]:
    """Let the first Ctrl-C close the pages as their button does, and a second one stop the program.

    An interrupt that is raised where a library is being imported can end Python as killed, even when it is
    caught (seen with Python 3.11: one that passes through `exec`).
    """

    def closing(*_: object) -> None:
        signal.signal(signal.SIGINT, before)
        close()

    before = signal.signal(signal.SIGINT, closing)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
