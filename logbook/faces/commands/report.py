"""`logbook report`: the static website of a trip, and checking, showing or packing one.

One surprising decision: `--check` needs no trip, because a report says itself of which trip it is, for whom.
"""

from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from urllib.parse import urlsplit

import typer

from logbook.domain.errors import NotFoundError, OutputError, WrongUseError
from logbook.domain.words import Audience
from logbook.faces import options
from logbook.faces.built import TOLD, built_for, kept_lines, missing_lines
from logbook.faces.opened import open_book
from logbook.faces.resources import resource
from logbook.faces.struck_shown import plain_struck, struck_lines
from logbook.faces.terminal import answer, answer_json, progress, say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from logbook.craft.feasible import Feasibility
    from logbook.domain.account import TripAccount
    from logbook.domain.trip import Trip

app = typer.Typer()


@options.command(app, "report", "logbook report high-valley --for client --into for-the-client")
def report(
    trip: Annotated[
        str | None, typer.Argument(metavar="TRIP", help="Short name of the trip, or the start of it.")
    ] = None,
    audience: Annotated[Audience | None, typer.Option("--for", help="Who will see it.")] = None,
    into: Annotated[Path | None, typer.Option("--into", metavar="DIR", help="The folder to create.")] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="All trips in the book, with a search; archive only.")
    ] = False,
    check: Annotated[
        Path | None,
        typer.Option(
            "--check",
            metavar="DIR",
            help="Search a finished report for anything kept private.",
        ),
    ] = None,
    leave_out: Annotated[
        list[str] | None,
        typer.Option("--leave-out", metavar="K", help="Build without these keepers, such as 0412,0415-0417."),
    ] = None,
    keep_mine: options.KeepMine = False,
    zipped: Annotated[bool, typer.Option("--zip", help="Also make DIR.zip, to send by email.")] = False,
    opened: Annotated[bool, typer.Option("--open", help="Open it in the browser.")] = False,
    serve: Annotated[
        bool, typer.Option("--serve", help="Serve it to browsers on this machine until Ctrl-C.")
    ] = False,
    host: Annotated[
        str, typer.Option("--host", metavar="NAME", help="This machine only: 127.0.0.1 or localhost.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", metavar="N", help="With --serve; a free port by default.")
    ] = 0,
    url: Annotated[
        str | None,
        typer.Option("--url", metavar="URL", help="Its web address; links to it then show a picture."),
    ] = None,
    trip_too: options.TripToo = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Build the website of a trip for one audience."""
    from logbook.store.outputs import refuse_stdout

    trip = options.either(trip, trip_too, "trip")
    if into is not None:
        refuse_stdout(into, "report")
    if check is not None:
        _check(check, trip, audience, as_json, book)
        return
    if everything:
        if trip is not None or audience is not Audience.ARCHIVE or into is None or serve or leave_out:
            raise WrongUseError(
                "All trips go into one folder for yourself: report --all --for archive --into DIR."
            )
        _all(into, zipped, opened, as_json, book, keep_mine=keep_mine)
        return
    if trip is None or audience is None or into is None:
        raise WrongUseError(
            "A report needs a TRIP, --for client, students or archive, and --into DIR; "
            "or give --check DIR to search a finished one."
        )
    if serve:
        from logbook.faces.report.serving import check_address

        check_address(host, port)  # before anything is built
    where = _address(url, audience)
    with progress("Building pages") as tell:
        built = built_for(
            open_book(book),
            trip,
            audience,
            into,
            tell=lambda _what, done, total: tell(done, total),
            leave_out=leave_out or (),
            keep_mine=keep_mine,
            url=where,
        )
    told = (missing_lines(built.missing, built.pictures), kept_lines(built.kept))
    for line in chain(*told, struck_lines(built.struck, trip)):
        say(line)
    packed = _packed(into, audience) if zipped else None
    if as_json:
        answer_json(
            {
                "index": str(built.index),
                "pages": [str(page) for page in built.pages],
                "pictures": built.pictures,
                "missing": [missing.path for missing in built.missing],
                "changed": [missing.path for missing in built.missing if missing.is_changed],
                "struck": plain_struck(built.struck),
                "kept": list(built.kept),
                "zip": str(packed) if packed else None,
            }
        )
    else:
        answer(f"Open {built.index}")
        if packed:
            answer(f"To send: {packed} ({packed.stat().st_size / 1e6:.1f} MB)")
    if serve:
        _serve(into, host, port, opened)
    elif opened:
        _open(built.index.as_uri())


def _address(url: str | None, audience: Audience) -> str:
    """Return the address of a report's folder, with a slash at its end; WrongUseError where it is not one."""
    if url is None:
        return ""
    if audience is Audience.ARCHIVE:
        raise WrongUseError("The archive is yours alone and has no address; leave out --url.")
    parts = urlsplit(url)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.query or parts.fragment:
        raise WrongUseError(
            f'"{url}" is not the address of a folder on the web, such as https://photos.example/valley/.'
        )
    folder = parts.path.removesuffix("index.html").rstrip("/")
    return f"{parts.scheme}://{parts.netloc}{folder}/"


def _all(
    into: Path, zipped: bool, opened: bool, as_json: bool, book: Path | None, *, keep_mine: bool
) -> None:
    from logbook.faces.light_limits import light_limits
    from logbook.faces.report.whole import build_whole
    from logbook.services.accounts import account_of_id
    from logbook.services.books.whole_book import whole_book
    from logbook.services.keepers.originals import survey
    from logbook.services.plans.feasibility import judge_all

    def told(trip: "Trip") -> "tuple[TripAccount, Mapping[str, Feasibility]]":
        account = account_of_id(opened_book, trip.id)
        return account, judge_all(account)

    limits = light_limits()
    opened_book = open_book(book)
    with progress("Building trips") as tell:
        built = build_whole(
            whole_book(opened_book),
            told,
            into,
            templates=resource("templates"),
            progress=lambda _what, done, total: tell(done, total),
            limits=limits,
            look=lambda keepers: survey(opened_book, keepers),
            keep_mine=keep_mine,
        )
    for line in chain(missing_lines(built.missing, built.pictures), kept_lines(built.kept)):
        say(line)
    packed = _packed(into, Audience.ARCHIVE) if zipped else None
    if as_json:
        answer_json(
            {
                "index": str(built.index),
                "trips": built.trips,
                "kept": list(built.kept),
                "pictures": built.pictures,
                "missing": [missing.path for missing in built.missing],
                "changed": [missing.path for missing in built.missing if missing.is_changed],
                "zip": str(packed) if packed else None,
            }
        )
    else:
        answer(f"Open {built.index}")
    if opened:
        _open(built.index.as_uri())


def _check(
    folder: Path, trip: str | None, audience: Audience | None, as_json: bool, book: Path | None
) -> None:
    from dataclasses import asdict

    from logbook.faces.report.by_hand import not_listed
    from logbook.faces.report.leaks import find_leaks, refuse_leaks
    from logbook.intake.report_list import read_list
    from logbook.services.accounts import account_of, account_of_id

    folder = folder.expanduser().resolve()
    if not folder.is_dir():
        raise NotFoundError(f"There is no folder {folder} to check.")
    listed = read_list(folder)
    for_whom = audience or (listed.audience if listed else None)
    trip_id = listed.trip_id if listed else None
    if for_whom is None or (trip is None and trip_id is None):
        raise WrongUseError(
            f"{folder} does not say which trip it shows or whom it is for; name the TRIP and give --for."
        )
    if for_whom is Audience.ARCHIVE:
        raise OutputError(
            f"The report in {folder} is for the photographer alone and shows everything; do not send it."
        )
    opened = open_book(book)
    account = account_of(opened, trip) if trip or not trip_id else account_of_id(opened, trip_id)
    leaks = find_leaks(folder, account, resource("templates"))
    beside = not_listed(folder)
    if as_json:
        answer_json(
            {
                "for": str(for_whom),
                "trip": account.trip.slug,
                "found": [asdict(one) for one in leaks],
                "not_listed": list(beside),
            }
        )
    refuse_leaks(
        leaks,
        f"The report in {folder}",
        "the folder was changed from outside; delete it and build it again.",
    )
    if not as_json:
        them = "a client" if for_whom is Audience.CLIENT else "students"
        answer(f"Nothing found in {folder} that {them} must not see.")
    if beside:
        more = f" and {len(beside) - TOLD} more" if len(beside) > TOLD else ""
        say(
            f"Not part of the report as built: {', '.join(beside[:TOLD])}{more}. Take it out before "
            f"you send the folder."
        )


def _packed(folder: Path, audience: Audience) -> Path:
    from logbook.faces.report.zipping import zip_report

    if audience is Audience.ARCHIVE:
        say("This report is for you alone and shows everything; think before you send it.")
    return zip_report(folder, is_private=audience is Audience.ARCHIVE)


def _serve(folder: Path, host: str, port: int, opened: bool) -> None:
    from logbook.faces.report.serving import server_for

    server = server_for(folder.expanduser(), host, port)
    url = f"http://{server.server_name}:{server.server_port}/"
    say(f"{url} shows the report on this machine only; Ctrl-C stops it.")
    if opened:
        _open(url)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        pass
    finally:
        server.server_close()


def _open(url: str) -> None:
    import webbrowser

    if not webbrowser.open(url):
        say(f"No browser could be started; open {url} yourself.")
