"""Options that several commands share, each defined once."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, TypeVar

import typer
from typer.core import TyperCommand

from logbook.domain.errors import WrongUseError
from logbook.domain.words import Disclosure, Footing, SubjectKind, Support
from logbook.faces.completion import with_completion
from logbook.faces.contents import CONTENTS
from logbook.faces.drawn import leave_out
from logbook.faces.option_groups import spread
from logbook.faces.told import PLACE

_TYPE = re.compile(r" ?<[^<>]*>")
_NUMBER = re.compile(r"<(?:int|float)(?: range)?>")
_BRACES = re.compile(r"[{}]|(?<=\.{3})\.{3}|(?<=\.{3}\})\.{3}|(?<=\.{3}\])\.{3}")
_BETWEEN = re.compile(r"(-?\d+)<=x<=(\d+)")
_AT_LEAST = re.compile(r"\bx>=(\d+)")

Book = Annotated[
    Path | None,
    typer.Option("--book", metavar="FILE", help="The book; default LOGBOOK_BOOK, then your data folder."),
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON with stable keys.")]
Explain = Annotated[bool, typer.Option("--explain", help="Also show what the answer rests on.")]
Plain = Annotated[
    bool,
    typer.Option("--plain", callback=leave_out, help="Leave out drawings made of characters."),
]
KeepMine = Annotated[bool, typer.Option("--keep-mine", help="Keep files you changed by hand, as FILE.mine.")]
Slug = Annotated[
    str | None, typer.Option("--slug", metavar="TEXT", help="Short name; made from the title by default.")
]
NewSlug = Annotated[
    str | None, typer.Option("--slug", metavar="TEXT", help="Another short name; refused if it is taken.")
]
TripName = Annotated[
    str | None, typer.Option("--trip", "-t", metavar="NAME", help="The trip; needed if there are several.")
]
OnlyTrip = Annotated[str | None, typer.Option("--trip", "-t", metavar="NAME", help="Only in this trip.")]
# What some commands take in place and others by an option may be typed either way.
TripToo = Annotated[str | None, typer.Option("--trip", "-t", metavar="NAME", hidden=True)]
OnToo = Annotated[str | None, typer.Option("--on", metavar="DATE", hidden=True)]
SiteToo = Annotated[str | None, typer.Option("--site", metavar="NAME", hidden=True)]
ViewpointToo = Annotated[str | None, typer.Option("--viewpoint", metavar="NAME", hidden=True)]
On = Annotated[str | None, typer.Option("--on", metavar="DATE", help="Date, such as 2031-10-14.")]
At = Annotated[str | None, typer.Option("--at", metavar="TIME", help="Time at the place, such as 17:20.")]
Where = Annotated[
    str | None,
    typer.Option(
        "--position",
        metavar="TEXT",
        help="Coordinates, such as '47.5, 12.25' or '47°30\\'N 12°15\\'E'.",
    ),
    PLACE,
]
Latitude = Annotated[str | None, typer.Option("--lat", metavar="DEG", help="Latitude, N positive."), PLACE]
Longitude = Annotated[str | None, typer.Option("--lon", metavar="DEG", help="Longitude, E positive."), PLACE]
Horizon = Annotated[
    str | None,
    typer.Option("--horizon", metavar="DEG|sea", help="Skyline in degrees above level; or sea."),
]
Elevation = Annotated[float | None, typer.Option("--elevation", metavar="M", help="Metres above the sea.")]
KeeperNames = Annotated[
    str,
    typer.Argument(
        metavar="KEEPER",
        help="File name, number, short name or range 0412-0419; separate several with commas.",
    ),
]
OfDay = Annotated[
    str | None, typer.Option("--on", metavar="DATE", help="The day, if a number is not unique.")
]
OfBody = Annotated[
    str | None, typer.Option("--body", metavar="NAME", help="The camera, if a number is not unique.")
]
Zone = Annotated[
    str | None, typer.Option("--zone", metavar="ZONE", help="Time zone, such as Asia/Dushanbe or +05:00.")
]
Facing = Annotated[
    str | None,
    typer.Option("--facing", metavar="DEG", help="Bearing of the view from true north, such as 315 or NW."),
]
Kinds = Annotated[
    list[SubjectKind] | None,
    typer.Option("--kind", metavar="KIND", help=f"May be repeated: {', '.join(SubjectKind)}."),
]
FootingName = Annotated[Footing | None, typer.Option("--footing", help="The ground underfoot.")]
Access = Annotated[str | None, typer.Option("--access", metavar="TEXT", help="How to get there.")]
Hazards = Annotated[str | None, typer.Option("--hazards", metavar="TEXT", help="What is dangerous there.")]
Shown = Annotated[
    Disclosure | None, typer.Option("--location", help="How precisely others see where the place is.")
]
Also = Annotated[
    list[str] | None,
    typer.Option("--also", metavar="NAME", help="Add another name for it; may be repeated."),
]
NotAlso = Annotated[
    list[str] | None,
    typer.Option("--not-also", metavar="NAME", help="Remove another name; may be repeated."),
]
Title = Annotated[
    str | None, typer.Option("--title", metavar="TEXT", help="A new title; the short name stays.")
]
Notes = Annotated[str | None, typer.Option("--notes", metavar="TEXT", help="Anything else worth knowing.")]
FNumber = Annotated[str | None, typer.Option("--f-number", metavar="N", help="Aperture, such as 8 or f/8.")]
Exposure = Annotated[
    str | None, typer.Option("--exposure", metavar="TIME", help="Shutter speed, such as 1/125 or 0.6s.")
]
Iso = Annotated[str | None, typer.Option("--iso", metavar="ISO", help="ISO setting.")]
Focal = Annotated[str | None, typer.Option("--focal", metavar="MM", help="Focal length in mm.")]
SensorSize = Annotated[
    str | None, typer.Option("--sensor", metavar="WxH", help="Sensor in mm; 36x24 by default.")
]
Filters = Annotated[
    str | None,
    typer.Option("--filters", metavar="TEXT", help="Filters, such as nd64,pol; or none, or unknown."),
]
SupportName = Annotated[
    str | None, typer.Option("--support", metavar="|".join(Support), help="What supports the camera.")
]
Clear = Annotated[
    list[str] | None,
    typer.Option("--clear", metavar="FIELD", help="Make a field unknown again; may be repeated."),
]

Function = TypeVar("Function", bound=Callable[..., Any])


class PlainCommand(TyperCommand):
    """A command whose help names what is typed and leaves out what kind of text a program makes of it."""

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """Write arguments and options without Python's types; choices stay."""
        write = formatter.write_dl
        formatter.write_dl = lambda rows, *told: write([_plainly(*row) for row in rows], *told)
        super().format_options(ctx, formatter)

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """Return what follows the command's name, required arguments without braces, dots once."""
        return [_BRACES.sub("", piece) for piece in super().collect_usage_pieces(ctx)]


def _plainly(term: str, text: str) -> tuple[str, str]:
    """Return a line of the help without types; a range is `1 to 12`."""
    plain = _NUMBER.sub("N", term) if term.startswith("-") else _TYPE.sub("", term)
    return plain, _AT_LEAST.sub(r"\1 or more", _BETWEEN.sub(r"\1 to \2", text))


def command(
    app: typer.Typer, name: str, example: str, *, short: str | None = None
) -> Callable[[Function], Function]:
    """Register a command whose help ends with an example, unbroken to be copied; a test runs every one.

    `short` stands in the list of commands, where the first sentence of its help is too long for one line.
    Options may come in groups (`option_groups`).
    """
    register = app.command(
        name,
        cls=PlainCommand,
        short_help=short,
        epilog=f"\b\nExample: {example}",
        no_args_is_help=False,
    )

    def registered(function: Function) -> Function:
        register(with_completion(spread(function), app.info.name))
        return function

    return registered


def either(placed: str | None, named: str | None, what: str) -> str | None:
    """Return what was typed in place or by an option; WrongUseError where it was both."""
    if placed is not None and named is not None:
        raise WrongUseError(f'The {what} is given twice, as "{placed}" and "{named}"; give it once.')
    return named if placed is None else placed


def noun_app(name: str) -> typer.Typer:
    """Return the command group of one noun."""
    return typer.Typer(name=name, help=CONTENTS[name].says, no_args_is_help=True)
