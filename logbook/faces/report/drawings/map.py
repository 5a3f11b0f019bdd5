"""A map without tiles: viewpoints, what each looks at and how wide, the track, the sun, north and a scale.

One surprising decision: a cone shows a direction and an angle and no distance; all cones are equally long,
because how far a lens sees is no property of a place.
"""

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from logbook.craft.bearings import turn_deg
from logbook.domain.position import Position
from logbook.domain.shown_positions import shown_tracks
from logbook.domain.track import Track
from logbook.faces.report.drawings.cones import Cone, SunLine, cone_of, sun_lines
from logbook.faces.report.drawings.furniture import HEIGHT, MARGIN, Spot, compass, dot, fits, names_of, scale
from logbook.faces.report.drawings.ground import Ground, ground_for, towards
from logbook.faces.report.drawings.places import (
    CELL_DEG,
    ShownPlace,
    metres_apart,
    shown_places,
)
from logbook.faces.report.drawings.svg import (
    NARROW,
    TEXT_PX,
    Box,
    drawing,
    element,
    line,
    number,
    rect,
    width_of,
    words,
)
from logbook.faces.report.models import Drawing
from logbook.faces.report.order import Order
from logbook.faces.report.phrases import bearing_text, counted, listed, sentence
from logbook.faces.report.privacy import Discretion

AREA_MARGIN = 54.0  # around the places: room for half a cell
CONE, SUN = 46.0, 60.0  # lengths in units of the drawing
NEAR_M, NEAR_AT_SITE_M = 2000.0, 6000.0  # places nearer than this to one another share a map
LEAST_M, LEAST_AREA_M = 150.0, 20_000.0  # a map shows at least so much ground across


def maps(order: Order, say: Discretion, *, with_sun: bool) -> tuple[Drawing, ...]:
    """Return the maps of a trip as an audience may see it: one for every group of places near each other."""
    places = shown_places(order, say)
    tracks = shown_tracks(say)
    exact = _groups([one for one in places if not one.is_area])
    areas = [one for one in places if one.is_area]
    groups = [*exact, *([areas] if areas else [])]
    return tuple(
        _map(order, say, f"map-{index}", group, tracks, with_sun=with_sun)
        for index, group in enumerate(groups, start=1)
    )


def _groups(places: Sequence[ShownPlace]) -> list[list[ShownPlace]]:
    """Places linked by short steps, in the order of their names."""
    groups: list[list[ShownPlace]] = []
    for place in places:
        near = [g for g in groups if any(_near(place, one) for one in g)]
        groups = [g for g in groups if g not in near]
        groups.append(sorted([place, *(one for g in near for one in g)], key=lambda one: one.name))
    return sorted(groups, key=lambda group: group[0].name)


def _near(first: ShownPlace, second: ShownPlace) -> bool:
    sites = {getattr(one.place, "site_id", one.place.id) for one in (first, second)}
    return metres_apart(first.position, second.position) < (NEAR_AT_SITE_M if len(sites) == 1 else NEAR_M)


def _map(
    order: Order,
    say: Discretion,
    anchor: str,
    group: list[ShownPlace],
    tracks: tuple[Track, ...],
    *,
    with_sun: bool,
) -> Drawing:
    is_area = group[0].is_area
    margin = AREA_MARGIN if is_area else MARGIN
    inner = NARROW - 2 * margin, HEIGHT - 2 * margin
    ground = ground_for((one.position for one in group), *inner, LEAST_AREA_M if is_area else LEAST_M)
    ground = Ground(ground.middle, ground.metres_per_unit, NARROW / 2, HEIGHT / 2 - 6)
    cones = [] if is_area else [cone for one in group if (cone := cone_of(order, one))]
    suns = [] if is_area or not with_sun else [sun for one in group for sun in sun_lines(order, one)]
    paths = [] if is_area else list(_paths(tracks, ground))
    spots = _spots(group, ground)
    marks = [rect(0.5, 0.5, NARROW - 1, HEIGHT - 1, "frame")]
    marks += [element("polyline", points=path, class_="track") for path in paths]
    marks += [_cone_mark(cone, *ground.xy(cone.position)) for cone in cones]
    taken: list[Box] = [Box(NARROW - 30, 0, NARROW, 46), Box(0, HEIGHT - 30, NARROW * 0.45, HEIGHT)]
    taken += [Box(one.x - 6, one.y - 6, one.x + 6, one.y + 6) for one in spots if not one.is_area]
    for spot in spots:
        marks.append(_area_mark(spot, ground) if spot.is_area else dot(spot))
    marks += names_of(spots, taken)
    marks += _sun_marks(suns, ground, taken)
    marks += [*compass(), *scale(ground)]
    said = tuple(_said(group, cones, suns, paths, say))
    title = f"Map: {listed([one.name for one in group])}"
    description = sentence(_summary(group, cones, suns, paths))
    svg = drawing(anchor, title, description, (NARROW, HEIGHT), marks, "map")
    return Drawing(anchor, listed(_titles(group)), svg, None, _note(group, cones, suns, paths), said)


def _titles(group: list[ShownPlace]) -> list[str]:
    return sorted({one.site for one in group})


def _spots(group: list[ShownPlace], ground: Ground) -> list[Spot]:
    """One spot for every point; areas that are rounded to the same cell share theirs."""
    by_point: dict[tuple[float, float], list[ShownPlace]] = {}
    for one in group:
        by_point.setdefault((one.position.latitude_deg, one.position.longitude_deg), []).append(one)
    return [
        Spot(
            *ground.xy(held[0].position),
            tuple(dict.fromkeys(p.site if p.is_area else p.name for p in held)),
            held[0].is_area,
        )
        for held in by_point.values()
    ]


def _area_mark(spot: Spot, ground: Ground) -> Markup:
    """The whole cell to which a place was rounded; it lies somewhere in it."""
    middle = ground.place(spot.x, spot.y)
    half = CELL_DEG / 2
    top = min(middle.latitude_deg + half, 90.0)
    corner = Position(top, (middle.longitude_deg - half + 180) % 360 - 180)
    left, upper = ground.xy(corner)
    return rect(left, upper, 2 * (spot.x - left), 2 * (spot.y - upper), "area")


def _cone_mark(cone: Cone, x: float, y: float) -> Markup:
    if cone.angle_deg is None:
        return line(x, y, *towards(x, y, cone.facing_deg, CONE), "facing")
    return element("path", d=cone_path(x, y, cone.facing_deg, cone.angle_deg, CONE), class_="cone")


def cone_path(x: float, y: float, facing_deg: float, angle_deg: float, length: float) -> str:
    """Return the outline of a view: half the angle to each side of the direction, closed by an arc."""
    left = towards(x, y, facing_deg - angle_deg / 2, length)
    right = towards(x, y, facing_deg + angle_deg / 2, length)
    way = int(angle_deg > 180)
    start, first, last = (" ".join(f"{part:.2f}" for part in point) for point in ((x, y), left, right))
    return f"M{start} L{first} A{number(length)} {number(length)} 0 {way} 1 {last} Z"


def _sun_marks(suns: list[SunLine], ground: Ground, taken: list[Box]) -> Iterator[Markup]:
    for sun in suns:
        x, y = ground.xy(sun.position)
        end = towards(x, y, sun.azimuth_deg, SUN)
        yield line(x, y, *end, "sunline")
        yield element("circle", cx=end[0], cy=end[1], r=3.0, class_="sun")
    for sun in suns:
        x, y = towards(*ground.xy(sun.position), sun.azimuth_deg, SUN)
        text = f"sun {sun.text}"
        width, height = width_of(text), TEXT_PX + 2
        beside = [(x + 6, y - 7), (x - 6 - width, y - 7)]
        if sun.azimuth_deg > 180:
            beside.reverse()  # outwards first
        for left, top in (beside[0], (x - width / 2, y + 6), (x - width / 2, y - 20), beside[1]):
            box = Box(left, top, left + width, top + height)
            if fits(box, taken):
                taken.append(box)
                yield words(text, left, top + TEXT_PX - 2, "quiet")
                break


def _paths(tracks: tuple[Track, ...], ground: Ground) -> Iterator[str]:
    """Lines of the track inside the map, thinned to what can be seen; times are not drawn."""
    for track in tracks:
        points: list[tuple[float, float]] = []
        for fix in track:
            x, y = ground.xy(Position(fix.latitude_deg, fix.longitude_deg))
            if not (2 <= x <= NARROW - 2 and 2 <= y <= HEIGHT - 2):
                if len(points) > 1:
                    yield _path(points)
                points = []
            elif not points or abs(x - points[-1][0]) + abs(y - points[-1][1]) >= 1.5:
                points.append((x, y))
        if len(points) > 1:
            yield _path(points)


def _path(points: list[tuple[float, float]]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _summary(group: list[ShownPlace], cones: list[Cone], suns: list[SunLine], paths: list[str]) -> str:
    parts = [counted(len(group), "place")]
    parts += [counted(len(cones), "direction of view", "directions of view")] if cones else []
    parts += ["the track"] if paths else []
    parts += [counted(len(suns), "direction of the sun", "directions of the sun")] if suns else []
    return f"north is up; {listed(parts)}; the same in words below"


def _note(group: list[ShownPlace], cones: list[Cone], suns: list[SunLine], paths: list[str]) -> str:
    notes = ["North is up."]
    if group[0].is_area:
        notes.append("A square is the area in which a place lies, rounded on purpose to a tenth of a degree.")
    if any(cone.angle_deg for cone in cones):
        notes.append("A cone shows direction and angle of view, not distance.")
    if any(cone.angle_deg is None for cone in cones):
        notes.append("A line alone shows a direction whose angle of view is unknown.")
    if suns:
        notes.append("A dashed line points to where the sun stood.")
    if paths:
        notes.append("The dotted line is the track.")
    return " ".join(notes)


def _said(
    group: list[ShownPlace], cones: list[Cone], suns: list[SunLine], paths: list[str], say: Discretion
) -> Iterator[str]:
    for one in group:
        where = f"{one.name}: {say.position(one.place)}"
        for cone in (cone for cone in cones if cone.place_id == one.place.id):
            angle = (
                f"{cone.angle_deg:.0f}° wide, {cone.source}" if cone.angle_deg else "angle of view unknown"
            )
            where += f"; looks {bearing_text(cone.facing_deg)}, {angle}"
        for sun in (sun for sun in suns if sun.place_id == one.place.id):
            beside = None if (facing := _facing(cones, one)) is None else turn_deg(facing, sun.azimuth_deg)
            lies = "" if beside is None else f", {abs(beside):.0f}° from the direction of view"
            height = (
                f"{abs(sun.altitude_deg):.0f}° {'above' if sun.altitude_deg >= 0 else 'below'} the horizon"
            )
            where += f"; sun at {sun.text} in the {bearing_text(sun.azimuth_deg)}, {height}{lies}"
        yield sentence(where)
    if paths:
        yield "The track passes through this map."


def _facing(cones: list[Cone], one: ShownPlace) -> float | None:
    return next((cone.facing_deg for cone in cones if cone.place_id == one.place.id), None)
