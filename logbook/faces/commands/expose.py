"""`logbook expose`: exposure, filter, steadiness and depth arithmetic, with its working in one line.

One surprising decision: on the command line filters that are not named are none. In the book they would be
unknown; a person who types a reading would have typed the filter.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from logbook.craft.marks import aperture_text, counted_stops, exposure_text, number_text
from logbook.craft.settings_text import APERTURE_FIRST, settings_told
from logbook.domain.errors import WrongUseError
from logbook.faces import measured, options, typed
from logbook.faces.commands import expose_optics
from logbook.faces.commands.expose_optics import ToFNumber
from logbook.faces.measured import plainly
from logbook.faces.opened import open_book
from logbook.faces.plain import plain
from logbook.faces.reached import names, reach_json, reach_title, show_choices, show_shot_reach
from logbook.faces.terminal import answer, answer_json, answer_pairs

if TYPE_CHECKING:
    from logbook.craft.exposure import SceneLight
    from logbook.craft.filter_types import Filter

app = options.noun_app("expose")

Bias = Annotated[
    str | None,
    typer.Option("--bias", metavar="STOPS", help="Exposure bias of a metered picture, such as +1 or -2/3."),
]
FilterStack = Annotated[
    str | None,
    typer.Option(
        "--filters", metavar="FILTERS", help="Filters that were on, such as nd64,nd8; none by default."
    ),
]
ToExposure = Annotated[
    str | None, typer.Option("--to-exposure", metavar="TIME", help="Change to this shutter speed.")
]
ToIso = Annotated[str | None, typer.Option("--to-iso", metavar="ISO", help="Change to this ISO.")]
ToFilters = Annotated[
    str | None, typer.Option("--to-filters", metavar="FILTERS", help="Change to these filters, or none.")
]
Wish = Annotated[str | None, typer.Option("--wish", metavar="TIME", help="The shutter speed you want.")]
Owned = Annotated[
    str | None, typer.Option("--owned", metavar="FILTERS", help="Filters you have, such as nd64,nd8,pol.")
]
ShotName = Annotated[
    str | None, typer.Option("--shot", metavar="NAME", help="Judge this planned shot with the packed kit.")
]


@options.command(app, "ev", "logbook expose ev --f-number 11 --exposure 4s --iso 200 --filters nd64,nd8")
def ev(
    f_number: options.FNumber = None,
    exposure: options.Exposure = None,
    iso: options.Iso = None,
    bias: Bias = None,
    filters: FilterStack = None,
    as_json: options.Json = False,
) -> None:
    """The exposure value, and the light before the filters."""
    from logbook.craft.exposure import scene_light

    stack = measured.filters(filters)
    with plainly():
        light = scene_light(
            measured.settings(f_number, exposure, iso, stack), bias_stops=measured.stops(bias)
        )
    if as_json:
        answer_json(
            {
                "ev100": light.ev100,
                "scene_ev100": light.scene_ev100,
                "scene_low_ev100": light.scene_low_ev100,
                "scene_high_ev100": light.scene_high_ev100,
                "filter_stops": light.filter_stops,
                "transmission": light.transmission,
                "bias_stops": light.bias_stops,
                "filters": names(stack),
                "like": _likes(light.scene_ev100),
                "working": light.working,
            }
        )
        return
    pairs = {"scene": _scene_words(light), "filters": _stack_words(stack, light)}
    if likes := _likes(light.scene_ev100):
        pairs["like"] = "; ".join(likes)
    answer_pairs(f"EV100 {number_text(light.ev100)} in the camera", pairs | {"working": light.working})


@options.command(
    app,
    "equal",
    "logbook expose equal --f-number 11 --exposure 4s --filters nd64,nd8 --to-f-number 9 --to-filters none",
)
def equal(
    f_number: options.FNumber = None,
    exposure: options.Exposure = None,
    iso: options.Iso = None,
    filters: FilterStack = None,
    to_f_number: ToFNumber = None,
    to_exposure: ToExposure = None,
    to_iso: ToIso = None,
    to_filters: ToFilters = None,
    as_json: options.Json = False,
) -> None:
    """The same exposure with other settings.

    Name what changes; the rest is worked out.
    """
    from logbook.craft.exposure import Equal, Settings, compare, equivalent
    from logbook.craft.filters import stack_text

    before = measured.settings(f_number, exposure, iso, measured.filters(filters))
    named = typed.settings(f_number=to_f_number, exposure=to_exposure, iso=to_iso)
    stack = None if to_filters is None else measured.filters(to_filters)
    if not named and to_filters is None:
        raise WrongUseError("Say what changes: --to-f-number, --to-exposure, --to-iso or --to-filters.")
    with plainly():
        if len(named) < 3:
            found = equivalent(before, **named, filters=stack)
        else:  # nothing is left to work out: how far apart are the two?
            after = Settings(**named, filters=before.filters if to_filters is None else stack)
            apart = compare(before, after)
            if apart.difference_stops is None or apart.same is None or after.filters is None:
                raise WrongUseError("The filters' strength is unknown; say which filters were on, or none.")
            found = Equal(
                after.f_number,
                after.exposure_s,
                exposure_text(after.exposure_s),
                after.iso,
                after.filters,
                apart.difference_stops,
                apart.same,
                f"{before.text} = {after.text}; {apart.working}",
            )
    if as_json:
        answer_json(
            {
                "f_number": found.f_number,
                "exposure_s": plain(found.exposure_s),
                "exposure": found.exposure,
                "iso": found.iso,
                "filters": names(found.filters),
                "difference_stops": found.difference_stops,
                "same": found.same,
                "working": found.working,
            }
        )
        return
    title = ", ".join(settings_told(found, APERTURE_FIRST, dialled=True))
    side = "brighter" if found.difference_stops > 0 else "darker"
    apart_by = f"{counted_stops(abs(found.difference_stops))} {side}"
    exact = abs(found.difference_stops) < 0.005
    judged = "the same" if exact else f"the same within a third of a stop ({apart_by})"
    answer_pairs(
        title,
        {
            "filters": stack_text(found.filters),
            "exposure": judged if found.same else f"not the same: {apart_by}",
            "working": found.working,
        },
    )


@options.command(
    app,
    "reach",
    "logbook expose reach --f-number 8 --exposure 1/125 --iso 200 --wish 4s --owned nd64,nd8,pol",
)
def reach(
    f_number: options.FNumber = None,
    exposure: options.Exposure = None,
    iso: options.Iso = None,
    bias: Bias = None,
    filters: FilterStack = None,
    to_f_number: ToFNumber = None,
    to_iso: ToIso = None,
    wish: Wish = None,
    owned: Owned = None,
    focal: options.Focal = None,
    sensor: options.SensorSize = None,
    shot: ShotName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Find the filters for the shutter speed you want.

    Start from a meter reading without filters; or name a planned shot, to use the packed kit and the light at
    its planned time.
    """
    from logbook.craft.exposure import Settings, scene_light
    from logbook.craft.filters import vignetting_warning
    from logbook.craft.optics import equivalent_focal_mm
    from logbook.craft.reach import reach as reached_by

    if shot is not None:
        typed_too = typed.given(
            f_number=f_number, exposure=exposure, iso=iso, bias=bias, filters=filters, wish=wish, owned=owned,
            to_f_number=to_f_number, to_iso=to_iso, focal=focal, sensor=sensor,
        )  # fmt: skip
        if typed_too:
            option = next(iter(typed_too)).replace("_", "-")
            raise WrongUseError(f"--shot takes everything from the plan; leave out --{option}.")
        show_shot_reach(open_book(book), shot, as_json)
        return
    reading = measured.settings(f_number, exposure, iso, measured.filters(filters))
    at_hand = measured.filters(measured.needed(owned, "--owned", "nd8,nd64"))
    change = typed.settings(exposure=measured.needed(wish, "--wish", "6s"), f_number=to_f_number, iso=to_iso)
    if at_hand is None:
        raise WrongUseError("--owned needs the filters you have; list them, such as nd8,nd64, or write none.")
    with plainly():
        scene = scene_light(reading, bias_stops=measured.stops(bias)).scene_ev100
        if scene is None:
            raise WrongUseError(
                "The filters of the reading are unknown, so the light is too; name them, or write none."
            )
        wished = Settings(
            change.get("f_number", reading.f_number), change["exposure_s"], change.get("iso", reading.iso)
        )
        found = reached_by(wished, scene, at_hand)
        wide = None
        if focal is not None:
            wide = equivalent_focal_mm(measured.focal_mm(focal), measured.sensor(sensor))
    if as_json:
        answer_json(reach_json(found, wide) | {"scene_ev100": scene})
        return
    answer(reach_title(found, exposure_text(wished.exposure_s), aperture_text(wished.f_number)))
    show_choices(found)
    pairs = {"brightest": f"a scene of EV100 {number_text(found.scene_limit_ev100)} still allows it"}
    if wide is not None and (warning := vignetting_warning(found.best.filters, wide)):
        pairs["corners"] = warning
    answer_pairs("", pairs | {"working": found.working})


app.registered_commands += expose_optics.app.registered_commands


def _likes(scene_ev100: float | None) -> list[str]:
    from logbook.craft.exposure import scenes_like

    return [] if scene_ev100 is None else [scene.words for scene in scenes_like(scene_ev100)]


def _scene_words(light: "SceneLight") -> str:
    if light.scene_low_ev100 is None or light.scene_high_ev100 is None:
        return "unknown, because the filters are"
    low, high = number_text(light.scene_low_ev100), number_text(light.scene_high_ev100)
    if light.scene_ev100 is None:
        return f"EV100 {low} to {high}"
    likely = f"EV100 {number_text(light.scene_ev100)}"
    return likely if low == high else f"{likely} ({low} to {high})"


def _stack_words(stack: "Sequence[Filter] | None", light: "SceneLight") -> str:
    from logbook.craft.filter_types import FilterKind
    from logbook.craft.filters import stack_text

    if not stack or light.filter_stops is None or light.transmission is None:
        return stack_text(stack)
    passes = number_text(100 * light.transmission, 3 if light.transmission < 0.01 else 1)
    graduated = any(one.kind is FilterKind.GRADUATED for one in stack)
    share = "" if graduated else f", {passes}% of the light passes"
    return f"{stack_text(stack)}: {counted_stops(light.filter_stops)}{share}"
