"""`logbook alike`: sites like this one, and what worked and failed there.

One surprising decision: options beside a SITE replace what the book knows of it, so that one can ask for the
dune as it would be with hundreds of people.
"""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from logbook.domain.condition_kinds import AS_USUAL, BY_THE_HOUR, KINDS
from logbook.domain.errors import InvalidValueError, WrongUseError
from logbook.domain.words import ConditionKind, Footing, SubjectKind, TripodRule
from logbook.faces import options, typed
from logbook.faces.level_options import Levels, level_options
from logbook.faces.opened import open_book
from logbook.faces.terminal import answer_json

if TYPE_CHECKING:
    from datetime import date

MIDDLE_OF_MONTH = 15
Tripod = Annotated[TripodRule | None, typer.Option("--tripod", help="Whether tripods are allowed.")]

app = typer.Typer()


@options.command(app, "alike", "logbook alike long-dune")
def alike(
    site: Annotated[
        str | None, typer.Argument(metavar="[SITE]", help="A site in the book; or describe one.")
    ] = None,
    kind: options.Kinds = None,
    footing: options.FootingName = None,
    *,
    at_the_hour: Annotated[Levels, level_options(BY_THE_HOUR)],
    tripod: Tripod = None,
    light: Annotated[
        list[str] | None,
        typer.Option("--light", metavar="WORD", help="front, side, back, 'golden hour', day, night …"),
    ] = None,
    access: options.Access = None,
    as_usual: Annotated[Levels, level_options(AS_USUAL)],
    season: Annotated[
        str | None,
        typer.Option("--season", metavar="MONTH", help="A month, such as october; or use --on DATE."),
    ] = None,
    on: options.On = None,
    like: Annotated[
        str | None, typer.Option("--like", metavar="TEXT", help="Describe a place in words, as for find.")
    ] = None,
    wish: Annotated[
        str | None,
        typer.Option("--wish", metavar="TIME", help="With --like: the shutter speed you want, such as 1s."),
    ] = None,
    f_number: options.FNumber = None,
    iso: options.Iso = None,
    focal: options.Focal = None,
    support: options.SupportName = None,
    scene_ev: Annotated[
        float | None,
        typer.Option("--ev", metavar="EV", help="With --wish: the scene's light, EV at ISO 100."),
    ] = None,
    owned: Annotated[
        str | None, typer.Option("--owned", metavar="FILTERS", help="With --wish: filters at hand, or none.")
    ] = None,
    limit: Annotated[int, typer.Option("--limit", min=1, help="How many sites to show.")] = 5,
    site_too: options.SiteToo = None,
    explain: options.Explain = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Find sites like one in the book or like a description: why they are alike, and what worked and
    failed there.

    --like "crowded pier, no tripod" --wish 1s --f-number 16 --ev 15 --owned nd8,nd4 describes a place
    that is not in the book, and says whether your wish would work there.
    """
    from logbook.faces.alike_shown import alike_json, show_alike
    from logbook.faces.described_shown import asked_there, described_json, place_in_words, show_described
    from logbook.services import alike as service

    site = options.either(site, site_too, "site")
    levels = {**at_the_hour, **as_usual}
    traits = wished(kind, footing, levels, tripod, light, access, season, typed.a_date(on))
    opened = open_book(book)
    place = None if like is None else place_in_words(opened, like, site)
    asked = asked_there(place, wish, f_number, iso, focal, support, scene_ev, owned)
    found = service.alike(opened, site, {**(place.traits if place else {}), **traits}, limit)
    if as_json:
        sites = alike_json(found)
        answer_json(sites if place is None else described_json(place, asked) | {"sites": sites})
        return
    if place is not None:
        show_described(place, asked)
    show_alike(found, explains=explain)


def wished(
    kind: list[SubjectKind] | None,
    footing: Footing | None,
    levels: Levels,
    tripod: TripodRule | None,
    light: list[str] | None,
    access: str | None,
    season: str | None,
    on_date: "date | None",
) -> dict[str, Any]:
    """Return a description as values by trait; InvalidValueError for a word nobody knows."""
    from logbook.services.alike import means_of

    if tripod is TripodRule.UNKNOWN:
        raise WrongUseError("An unknown tripod rule cannot be compared; leave out --tripod.")
    wish: dict[str, Any] = typed.given(
        kinds=frozenset(map(str, kind)) if kind else None,
        footing=frozenset({str(footing)}) if footing else None,
        tripod=frozenset({str(tripod)}) if tripod else None,
        **{str(kind): _level(kind, level) for kind, level in levels.items()},
        season=_season(season, on_date),
    )
    if access is not None:
        wish["access"] = means_of(access)
        if wish["access"] is None:
            raise InvalidValueError(
                f'"{access}" is not a kind of access that this program knows; '
                "use words such as road, track, path, steps, bus, boat or by arrangement."
            )
    return wish | _light(light or ())


def _level(kind: ConditionKind, level: str) -> Any:
    """A level as sites have it: of each part of the day, or as usual."""
    from logbook.services.alike import PartOfDay

    if kind in BY_THE_HOUR:
        return dict.fromkeys(PartOfDay, level)
    return float(level) if KINDS[kind].is_figure else level


def _season(month: str | None, on_date: "date | None") -> float | None:
    from datetime import date

    from logbook.craft.bearings import COMMON_YEAR, year_angle_deg
    from logbook.domain.written.moments import month_written

    if month is None:
        return None if on_date is None else year_angle_deg(on_date)
    if on_date is not None:
        raise WrongUseError("Give either --season or --on, not both.")
    number = month_written(month)
    if number is None:
        raise InvalidValueError(f'"{month}" is not a month; write one such as october.')
    return year_angle_deg(date(COMMON_YEAR, number, MIDDLE_OF_MONTH))


def _light(words: Any) -> dict[str, Any]:
    from logbook.craft.light import LightDirection
    from logbook.sky.phases import PhaseKind

    angles = {LightDirection.BACK: 0.0, LightDirection.SIDE: 90.0, LightDirection.FRONT: 180.0}
    found: dict[str, Any] = {}
    kinds = [kind for kind in PhaseKind if kind is not PhaseKind.CIVIL]  # blue and golden divide it
    phases = set()
    for given in words:
        word = " ".join(given.lower().split())
        if word in angles:
            found["light"] = angles[LightDirection(word)]
        elif word in kinds:
            phases.add(word)
        else:
            known = ", ".join([*angles, *kinds])
            raise InvalidValueError(f'"{given}" is not a kind of light known here; write one of {known}.')
    return found | ({"phase": frozenset(phases)} if phases else {})
