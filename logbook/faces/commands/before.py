"""`logbook before`: what to know before going back to a place.

One surprising decision: a viewpoint or a shot may be named as well as a site, because that is what one
remembers of a place.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import WrongUseError
from logbook.domain.words import Support
from logbook.faces import options, typed
from logbook.faces.measured import plainly
from logbook.faces.opened import open_book
from logbook.faces.sheet.models import Paper
from logbook.faces.terminal import answer, answer_file, answer_json

if TYPE_CHECKING:
    from logbook.services.before import Wish

app = typer.Typer()


@options.command(
    app,
    "before",
    "logbook before long-dune --on 2026-10-20 --wish 6s --f-number 16",
)
def before(
    place: Annotated[
        str | None, typer.Argument(metavar="SITE|TRIP", help="A site, viewpoint or shot; or a whole trip.")
    ] = None,
    on: options.On = None,
    wish: Annotated[
        str | None,
        typer.Option("--wish", metavar="TIME", help="A shutter speed to try for, such as 6s or '2 min 8 s'."),
    ] = None,
    f_number: options.FNumber = None,
    iso: options.Iso = None,
    focal: options.Focal = None,
    support: options.SupportName = None,
    into: Annotated[
        Path | None,
        typer.Option("--into", metavar="FILE.html", help="Also write a page to print: a file or a folder."),
    ] = None,
    paper: Annotated[Paper, typer.Option("--paper", help="The paper it is printed on.")] = Paper.A4,
    site_too: options.SiteToo = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Show what you need to know before going back: what is still to get, what was seen, what worked,
    and the light.

    For a trip: all its places, the fewest filters and supports to pack, what is not feasible as planned, and
    what to ask.
    """
    from logbook.faces.before.builder import build_brief
    from logbook.faces.before.of_trip import before_trip_json, show_before_trip
    from logbook.faces.before.writing import BRIEF, before_json, rendered, show_brief
    from logbook.faces.light_limits import light_limits
    from logbook.faces.resources import resource
    from logbook.services import before as service
    from logbook.services.before.of_trip import before_trip, is_trip
    from logbook.store.outputs import STDOUT, check_ahead, named_in, put_files

    place = options.either(place, site_too, "site")
    if place is None:
        raise WrongUseError("Say which site: logbook before SITE --on DATE.")
    wished = _wish(wish, f_number, iso, focal, typed.support(support))
    if into == STDOUT and as_json:
        raise WrongUseError("--json and --into - both print; give only one.")
    check_ahead(into)
    limits = light_limits()
    opened = open_book(book)
    if is_trip(opened, place):
        if on or wished or into:
            raise WrongUseError("A trip's brief takes its days from the plan: give only the trip's name.")
        with plainly():
            of_trip = before_trip(opened, place, limits)
        if as_json:
            answer_json(before_trip_json(of_trip))
        else:
            show_before_trip(of_trip)
        return
    with plainly():
        found = service.before(opened, place, typed.a_date(on), wished, limits)
    brief = build_brief(found)
    page = None
    if into is not None:
        html = rendered(brief, resource("templates"), paper)
        if into == STDOUT:
            answer_file(html)
            return
        dated = f"-{found.on_date}" if found.on_date else ""
        file = named_in(into, f"private-brief-{found.site.slug}{dated}.html")
        (page,) = put_files({file: html.encode()}, BRIEF)
    if as_json:
        answer_json(before_json(found, brief) | ({"file": str(page)} if page else {}))
        return
    show_brief(brief, found)
    if page:
        answer(f"Open {page} and print it.")


def _wish(
    wish: str | None, f_number: str | None, iso: str | None, focal: str | None, support: Support | None
) -> "Wish | None":
    from logbook.services.before import USUAL_ISO, Wish

    if wish is None:
        if f_number or iso or focal or support:
            raise WrongUseError("--f-number, --iso, --focal and --support need a --wish, such as --wish 6s.")
        return None
    if f_number is None:
        raise WrongUseError("A wish needs an aperture too, such as --wish 6s --f-number 16.")
    read = typed.settings(focal=focal, f_number=f_number, exposure=wish, iso=iso)
    return Wish(
        read["exposure_s"], read["f_number"], read.get("iso", USUAL_ISO), read.get("focal_mm"), support
    )
