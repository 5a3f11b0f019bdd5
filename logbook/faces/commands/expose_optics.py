"""`logbook expose steady` and `depth`: what a lens, an aperture and a time do to sharpness.

One surprising decision: without a distance the lens is focused at the hyperfocal distance, and says so.
"""

from math import log2
from typing import Annotated, Any

import typer

from logbook.craft.marks import counted_stops, digits_text, exposure_text, number_text
from logbook.craft.optics import Projection
from logbook.domain.errors import WrongUseError
from logbook.domain.words import Support
from logbook.faces import measured, options, typed
from logbook.faces.measured import plainly
from logbook.faces.terminal import answer_json, answer_pairs

app = typer.Typer()

ToFNumber = Annotated[str | None, typer.Option("--to-f-number", metavar="N", help="Change to this aperture.")]
Distance = Annotated[
    str | None, typer.Option("--distance", metavar="M", help="Distance to the subject, such as 3 or 40cm.")
]
Pixels = Annotated[
    int | None, typer.Option("--pixels", metavar="N", help="Pixels across the sensor, such as 6000.")
]


@options.command(
    app, "steady", "logbook expose steady --exposure 1/4 --focal 35 --sensor 36x24 --support handheld"
)
def steady(
    exposure: options.Exposure = None,
    focal: options.Focal = None,
    focal_35mm: Annotated[
        str | None, typer.Option("--focal-35mm", metavar="MM", help="35 mm-equivalent focal length.")
    ] = None,
    sensor: options.SensorSize = None,
    support: Annotated[
        Support, typer.Option("--support", help="What supports the camera.")
    ] = Support.HANDHELD,
    stabilisation: Annotated[
        str | None,
        typer.Option("--stabilisation", metavar="STOPS", help="Stops of stabilisation, body or lens."),
    ] = None,
    speed: Annotated[
        str | None,
        typer.Option("--speed", metavar="SPEED", help="Speed of the subject, such as 1.5 or 20km/h."),
    ] = None,
    distance: Distance = None,
    declination: Annotated[
        str | None,
        typer.Option("--declination", metavar="DEG", help="Declination for star trails; 0 is fastest."),
    ] = None,
    pixels: Pixels = None,
    as_json: options.Json = False,
) -> None:
    """Whether a shutter speed can be handheld.

    With --speed and --distance, or --declination, also how far the subject or the stars move
    during the exposure.
    """
    from logbook.craft.optics import equivalent_focal_mm
    from logbook.craft.steadiness import smear, star_drift, steadiness

    time_s = typed.settings(exposure=measured.needed(exposure, "--exposure", "1/30"))["exposure_s"]
    format_ = measured.sensor(sensor)
    if focal is not None and focal_35mm is not None:
        raise WrongUseError("Give either --focal with --sensor or --focal-35mm, not both.")
    if focal_35mm is not None:
        mm = measured.focal_mm(focal_35mm)
        if sensor is not None:
            raise WrongUseError("--focal-35mm already allows for the sensor; leave out --sensor.")
    else:
        mm = measured.focal_mm(measured.needed(focal, "--focal", "24"))
    metres_per_s = measured.measure(speed, "speed", measured.SPEEDS, "1.5 or 20 km/h")
    away_m = measured.metres(distance, "distance")
    if (metres_per_s is None) != (away_m is None):
        raise WrongUseError("A moving subject needs both --speed and --distance.")
    pole_deg = typed.a_number(declination, "declination", "°")
    with plainly():
        found = steadiness(
            time_s,
            equivalent_focal_mm(mm, format_),
            str(support),
            stabilisation_stops=measured.stops(stabilisation),
        )
        pitch = None if pixels is None else format_.pixel_um(pixels)
        moved = None
        if metres_per_s is not None and away_m is not None:
            moved = smear(metres_per_s, away_m, time_s, mm, pixel_um=pitch)
        trail = None if pole_deg is None else star_drift(mm, time_s, pole_deg, pixel_um=pitch, sensor=format_)
    if as_json:
        result: dict[str, Any] = {
            "guide_s": found.guide_s,
            "margin_stops": found.margin_stops,
            "support_low_stops": found.support_low_stops,
            "support_high_stops": found.support_high_stops,
            "verdict": str(found.verdict),
            "working": found.working,
        }
        if moved:
            result["subject"] = {
                "shift_mm": moved.shift_mm,
                "pixels": moved.pixels,
                "one_pixel_s": moved.one_pixel_s,
                "working": moved.working,
            }
        if trail:
            result["stars"] = {
                "trail_um": trail.trail_um,
                "corner_um": trail.corner_um,
                "per_minute_um": trail.per_minute_um,
                "pixels": trail.pixels,
                "corner_pixels": trail.corner_pixels,
                "two_pixels_s": trail.two_pixels_s,
                "working": trail.working,
            }
        answer_json(result)
        return
    pairs = {"working": found.working}
    verdict = _SHARP[str(found.verdict)]
    if moved:
        pairs["subject"] = moved.working
        if moved.pixels and round(moved.pixels, 1) > 1:
            verdict += f"; the subject moves {number_text(moved.pixels, 1)} pixels"
    if trail:
        pairs["stars"] = trail.working
        if trail.pixels and trail.two_pixels_s and trail.pixels > 2:
            verdict += f"; the stars trail {number_text(trail.pixels, 1)} pixels"
            pairs["stars"] += f"; 2 pixels on the axis after {number_text(trail.two_pixels_s, 1)} s"
        elif trail.corner_pixels and trail.corner_pixels > 2:
            verdict += f"; in a corner the stars trail up to {number_text(trail.corner_pixels, 1)} pixels"
    answer_pairs(f"{exposure_text(time_s)}, {support}: {verdict}", pairs)


@options.command(app, "depth", "logbook expose depth --focal 24 --f-number 8 --distance 3m --pixels 6000")
def depth(
    focal: options.Focal = None,
    f_number: options.FNumber = None,
    sensor: options.SensorSize = None,
    distance: Distance = None,
    pixels: Pixels = None,
    subject_width: Annotated[
        str | None, typer.Option("--subject-width", metavar="M", help="Width of a subject that should fit.")
    ] = None,
    subject_height: Annotated[
        str | None, typer.Option("--subject-height", metavar="M", help="Height of a subject that should fit.")
    ] = None,
    to_f_number: ToFNumber = None,
    nearest: Annotated[
        str | None, typer.Option("--nearest", metavar="M", help="Nearest thing that must be sharp.")
    ] = None,
    farthest: Annotated[
        str | None, typer.Option("--farthest", metavar="M", help="Farthest thing; infinity by default.")
    ] = None,
    projection: Annotated[
        Projection, typer.Option("--projection", help="The lens projection; name it for a fisheye.")
    ] = Projection.RECTILINEAR,
    as_json: options.Json = False,
) -> None:
    """What is sharp, and how much the lens sees.

    With --to-f-number and --nearest, also what stopping down gains.
    """
    from logbook.craft.depth import (
        circle_of_confusion_mm,
        covering_focus_m,
        depth_of_field,
        diffraction,
        hyperfocal_m,
        sharp_text,
        stopping_down,
    )
    from logbook.craft.optics import angle_of_view, cover, fit

    mm = measured.focal_mm(measured.needed(focal, "--focal", "24"))
    aperture = typed.settings(f_number=measured.needed(f_number, "--f-number", "8"))["f_number"]
    smaller = typed.settings(f_number=to_f_number).get("f_number")
    format_ = measured.sensor(sensor)
    wide_m, tall_m = measured.metres(subject_width, "width"), measured.metres(subject_height, "height")
    near_m, far_m = measured.metres(nearest, "distance"), measured.metres(farthest, "distance")
    focus_m = measured.metres(distance, "distance")
    if (smaller is None) != (near_m is None):
        raise WrongUseError("To see what stopping down gains, give both --to-f-number and --nearest.")
    if far_m is not None and near_m is None:
        raise WrongUseError("The --farthest thing goes with the --nearest; give both.")
    if wide_m is None and tall_m is not None:
        raise WrongUseError("To see whether a subject fits, give --subject-width with --subject-height.")
    if wide_m is not None and focus_m is None:
        raise WrongUseError("To see whether a subject fits, give its --distance.")
    is_straight = projection is Projection.RECTILINEAR
    if wide_m is not None and not is_straight:
        raise WrongUseError("Whether a subject fits can be worked out for rectilinear lenses only.")
    with plainly():
        coc = circle_of_confusion_mm(format_)
        covering_m = None if near_m is None or far_m is None else covering_focus_m(near_m, far_m)
        where = ""
        if focus_m is None and covering_m is not None:
            focus_m, where = covering_m, ", where both ends of the range are equally sharp"
        elif focus_m is None:
            focus_m, where = hyperfocal_m(mm, aperture, coc), ", the hyperfocal distance"
        sharp = depth_of_field(mm, aperture, focus_m, coc)
        pitch = None if pixels is None else format_.pixel_um(pixels)
        angle = angle_of_view(mm, format_, projection)
        covered = cover(mm, focus_m, format_)
        soft = diffraction(aperture, pitch, coc, magnified=covered.magnification)
        effective = soft.effective_f_number
        fits = None
        if wide_m is not None:
            fits = fit(wide_m, min(wide_m, 0.001) if tall_m is None else tall_m, focus_m, mm, format_)
        bought = None
        if smaller is not None and near_m is not None:
            bought = stopping_down(mm, focus_m, aperture, smaller, near_m, far_m, pixel_um=pitch, coc_mm=coc)
    if as_json:
        answer_json(
            {
                "hyperfocal_m": sharp.hyperfocal_m,
                "focus_m": focus_m,
                "near_m": sharp.near_m,
                "far_m": sharp.far_m,
                "coc_mm": sharp.coc_mm,
                "airy_um": soft.airy_um,
                "airy_pixels": soft.per_pixel,
                "softness": str(soft.softness),
                "projection": str(angle.projection),
                "horizontal_deg": angle.horizontal_deg,
                "vertical_deg": angle.vertical_deg,
                "diagonal_deg": angle.diagonal_deg,
                "width_m": covered.width_m if is_straight else None,
                "height_m": covered.height_m if is_straight else None,
                "magnification": covered.magnification,
                "effective_f_number": effective,
                "fit": fits
                and {
                    "fits": fits.fits,
                    "landscape_mm": fits.landscape_mm,
                    "portrait_mm": fits.portrait_mm,
                    "working": fits.working,
                },
                "stopping_down": bought
                and {
                    "time_stops": bought.time_stops,
                    "bought": str(bought.bought),
                    "near_m": bought.after.near_m,
                    "far_m": bought.after.far_m,
                    "airy_um": bought.diffraction_after.airy_um,
                    "working": bought.working,
                },
                "working": f"{sharp.working}; {soft.working}",
            }
        )
        return
    pairs = {
        "focused at": f"{number_text(focus_m)} m{where}",
        "hyperfocal": f"{number_text(sharp.hyperfocal_m)} m",
        "angle": f"{number_text(angle.horizontal_deg, 1)}° × {number_text(angle.vertical_deg, 1)}°, "
        f"{number_text(angle.diagonal_deg, 1)}° corner to corner, {angle.projection} lens",
        "diffraction": f"Airy disc {number_text(soft.airy_um, 1)} µm; {_SOFT[str(soft.softness)]}",
    }
    if is_straight:
        pairs["covers"] = f"{digits_text(covered.width_m)} m × {digits_text(covered.height_m)} m there"
    if effective != aperture:
        less = counted_stops(round(2 * log2(effective / aperture), 1))
        pairs["close up"] = (
            f"{digits_text(covered.magnification)}× life size: f/{number_text(aperture)} acts as "
            f"f/{number_text(effective, 1)}, {less} less light"
        )
    if fits is not None:
        pairs["fits"] = (
            f"{'yes,' if fits.fits else 'no, only'} up to {number_text(fits.landscape_mm, 0)} mm level, "
        )
        pairs["fits"] += f"{number_text(fits.portrait_mm, 0)} mm upright"
    if bought is not None:
        pairs["stopping down"] = bought.working
    title = f"Sharp from {sharp_text(sharp.near_m, sharp.far_m)}"
    answer_pairs(title, pairs | {"working": f"{sharp.working}; {soft.working}"})


_SOFT = {
    "none": "does not show",
    "pixel": "shows at pixel level",
    "picture": "softens the whole picture",
}
_SHARP = {
    "steady": "steady",
    "likely": "likely to be sharp",
    "doubtful": "doubtful, so take several",
    "unlikely": "unlikely to be sharp",
    "unknown": "beyond the guide; how much this support helps is unknown",
}
