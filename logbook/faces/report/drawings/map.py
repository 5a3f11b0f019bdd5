"""A map without tiles: viewpoints, what each looks at and how wide, the track, the sun, north and a scale.

One surprising decision: a cone shows a direction and an angle and no distance; all cones are equally long,
because how far a lens sees is no property of a place.
"""

from collections.abc import Iterator, Mapping, Sequence

from markupsafe import Markup

from logbook.craft.bearings import turn_deg
from logbook.domain.measures import metres_apart
from logbook.domain.position import Position
from logbook.domain.track import Segment
from logbook.faces.report.drawings.areas import area_marks, areas
from logbook.faces.report.drawings.cones import Cone, SunLine, cone_of, sun_lines
from logbook.faces.report.drawings.furniture import (
    HEIGHT,
    MARGIN,
    DrawnSpot,
    compass,
    dot,
    labels_for,
    put_names,
    scale,
)
from logbook.faces.report.drawings.ground import Ground, ground_for, towards
from logbook.faces.report.drawings.labels import ROW, Labels, around
from logbook.faces.report.drawings.places import ShownPlace, shown_places
from logbook.faces.report.drawings.svg import (
    NARROW,
    drawing,
    element,
    line,
    number,
    rect,
    width_of,
)
from logbook.faces.report.models import Drawing, Figure
from logbook.faces.report.order import Order
from logbook.faces.report.where import position_words
from logbook.faces.words.phrases import bearing_text, counted, listed, sentence
from logbook.faces.words.sky import whole_degrees

AREA_MARGIN = 54.0  # around the places: room for half a cell
CONE, SUN = 46.0, 60.0  # lengths in units of the drawing
PICTURE = 52.0, 40.0  # width and height of a picture at most
PICTURED = "Each small picture was taken at the place beside it."
NEAR_M, NEAR_AT_SITE_M = 2000.0, 6000.0  # places nearer than this to one another share a map
LEAST_PLACES = 3  # on a map without a track; a plan of two dots says nothing that words do not
LEAST_M, LEAST_AREA_M = 150.0, 20_000.0  # a map shows at least so much ground across


def maps(
    order: Order, *, with_sun: bool, pictures: Mapping[str, Figure] | None = None
) -> tuple[Drawing, ...]:
    """Return the maps of a trip: one for every group of places near each other that says something.

    `pictures` are by viewpoint id: the one that stands small beside its view, where there is room.
    """
    places = shown_places(order)
    exact = _groups([one for one in places if not one.is_area])
    areas = [one for one in places if one.is_area]
    groups = [*exact, *([areas] if areas else [])]
    drawn = (
        _map(order, f"map-{index}", group, with_sun=with_sun, pictures=pictures or {})
        for index, group in enumerate(groups, 1)
    )
    return tuple(one for one in drawn if one)


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
    anchor: str,
    group: list[ShownPlace],
    *,
    with_sun: bool,
    pictures: Mapping[str, Figure],
) -> Drawing | None:
    """Return a map, or None where it has few places and no track."""
    is_area = group[0].is_area
    margin = AREA_MARGIN if is_area else MARGIN
    inner = NARROW - 2 * margin, HEIGHT - 2 * margin
    ground = ground_for((one.position for one in group), *inner, LEAST_AREA_M if is_area else LEAST_M)
    ground = Ground(ground.middle, ground.metres_per_unit, NARROW / 2, HEIGHT / 2 - 6)
    cones = [] if is_area else [cone for one in group if (cone := cone_of(order, one))]
    suns = [] if is_area or not with_sun else [sun for one in group for sun in sun_lines(order, one)]
    paths = [] if is_area else list(_paths(order.account.tracks, ground))
    spots = areas(group, ground) if is_area else _spots(group, ground)
    if len(spots) < LEAST_PLACES and not paths:
        return None
    marks = [rect(0.5, 0.5, NARROW - 1, HEIGHT - 1, "frame")]
    labels = labels_for(spots)
    for path in paths:
        marks.append(element("polyline", points=_path(path), class_="track"))
        labels.keep_off(path)
    for cone in cones:
        x, y = ground.xy(cone.position)
        marks.append(_cone_mark(cone, x, y))
        labels.keep_off(_cone_edge(cone, x, y))
    marks += area_marks(group, ground) if is_area else map(dot, spots)
    for sun in suns:
        start, end = ground.xy(sun.position), towards(*ground.xy(sun.position), sun.azimuth_deg, SUN)
        marks += [line(*start, *end, "sunline"), element("circle", cx=end[0], cy=end[1], r=3.0, class_="sun")]
        labels.keep_off((start, end))
    put_names(spots, labels)
    for sun in suns:
        _put_time(sun, ground, labels)
    beside = {one.place_id: shown for one in cones if (shown := _picture(one, ground, labels, pictures))}
    marks += [*labels.marks, *compass(), *scale(ground)]
    said = tuple(_said(order, group, cones, suns, bool(paths), beside))
    title = f"Map: {listed([one.name for one in group])}"
    description = sentence(_summary(group, cones, suns, bool(paths)))
    svg = drawing(anchor, title, description, (NARROW, HEIGHT), marks, "map")
    return Drawing(
        anchor,
        listed(_titles(group)),
        svg,
        None,
        " ".join(
            filter(None, (_note(group, cones, suns, bool(paths)), PICTURED if beside else "", labels.note()))
        ),
        said,
    )


def _titles(group: list[ShownPlace]) -> list[str]:
    return sorted({one.site for one in group})


def _spots(group: list[ShownPlace], ground: Ground) -> list[DrawnSpot]:
    """One spot for every point."""
    by_point: dict[tuple[float, float], list[ShownPlace]] = {}
    for one in group:
        by_point.setdefault((one.position.latitude_deg, one.position.longitude_deg), []).append(one)
    return [
        DrawnSpot(*ground.xy(held[0].position), tuple(dict.fromkeys(p.name for p in held)), is_area=False)
        for held in by_point.values()
    ]


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


def _cone_edge(cone: Cone, x: float, y: float) -> list[tuple[float, float]]:
    """The outline of a view as points close to each other."""
    if cone.angle_deg is None:
        return [(x, y), towards(x, y, cone.facing_deg, CONE)]
    turns = [cone.facing_deg + cone.angle_deg * (step / 8 - 0.5) for step in range(9)]
    return [(x, y), *(towards(x, y, turn, CONE) for turn in turns), (x, y)]


def _picture(cone: Cone, ground: Ground, labels: Labels, pictures: Mapping[str, Figure]) -> Figure | None:
    """Draw a view's picture beside it and return it; None if it has no picture or there is no room."""
    figure = pictures.get(cone.place_id)
    if figure is None or figure.image is None:
        return None
    ratio = figure.image.width_px / figure.image.height_px
    width = min(PICTURE[0], PICTURE[1] * ratio)
    put = labels.put_picture(
        figure.image.candidates[0].path, (width, width / ratio), ground.xy(cone.position)
    )
    return figure if put else None


def _put_time(sun: SunLine, ground: Ground, labels: Labels) -> None:
    x, y = mark = towards(*ground.xy(sun.position), sun.azimuth_deg, SUN)
    text = f"sun {sun.text}"
    width = width_of(text)
    beside = [(x + 6, y - 7), (x - 6 - width, y - 7)]
    if sun.azimuth_deg > 180:
        beside.reverse()  # outwards first
    near = (beside[0], (x - width / 2, y + 6), (x - width / 2, y - 20), beside[1])
    labels.put([text], mark, (*near, *around(mark, width, ROW)), "quiet")


def _paths(tracks: tuple[Segment, ...], ground: Ground) -> Iterator[list[tuple[float, float]]]:
    """Lines of the track inside the map, thinned to what can be seen; times are not drawn."""
    for track in tracks:
        points: list[tuple[float, float]] = []
        for fix in track:
            x, y = ground.xy(Position(fix.latitude_deg, fix.longitude_deg))
            if not (2 <= x <= NARROW - 2 and 2 <= y <= HEIGHT - 2):
                if len(points) > 1:
                    yield points
                points = []
            elif not points or abs(x - points[-1][0]) + abs(y - points[-1][1]) >= 1.5:
                points.append((x, y))
        if len(points) > 1:
            yield points


def _path(points: list[tuple[float, float]]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _summary(group: list[ShownPlace], cones: list[Cone], suns: list[SunLine], paths: bool) -> str:
    parts = [counted(len(group), "place")]
    parts += [counted(len(cones), "direction of view", "directions of view")] if cones else []
    parts += ["the track"] if paths else []
    parts += [counted(len(suns), "direction of the sun", "directions of the sun")] if suns else []
    return f"north is up; {listed(parts)}; described in words below"


def _note(group: list[ShownPlace], cones: list[Cone], suns: list[SunLine], paths: bool) -> str:
    notes = ["North is up."]
    if group[0].is_area:
        notes.append(
            "A dashed outline marks the area of a place, whose position is rounded to a tenth of a degree on "
            "purpose."
        )
    if any(cone.angle_deg for cone in cones):
        notes.append("A cone shows the direction and angle of view, not distance.")
    if any(cone.angle_deg is None for cone in cones):
        notes.append("A line alone shows a direction with an unknown angle of view.")
    if suns:
        notes.append("A dashed line points to where the sun was.")
    if paths:
        notes.append("The dotted line is the track.")
    return " ".join(notes)


def _said(
    order: Order,
    group: list[ShownPlace],
    cones: list[Cone],
    suns: list[SunLine],
    paths: bool,
    beside: Mapping[str, Figure],
) -> Iterator[str]:
    for one in group:
        where = f"{one.name}: {position_words(order.account, one.place)}"
        for cone in (cone for cone in cones if cone.place_id == one.place.id):
            angle = (
                f"{cone.angle_deg:.0f}° wide, {cone.source}" if cone.angle_deg else "angle of view unknown"
            )
            where += f"; looks {bearing_text(cone.facing_deg)}, {angle}"
        if shown := beside.get(one.place.id):
            named = f", {shown.caption.rstrip('.')}" if shown.caption else ""
            where += f"; beside it, picture {shown.number}{named}"
        for sun in (sun for sun in suns if sun.place_id == one.place.id):
            turned = None if (facing := _facing(cones, one)) is None else turn_deg(facing, sun.azimuth_deg)
            lies = "" if turned is None else f", {abs(turned):.0f}° from the direction of view"
            degrees = whole_degrees(sun.altitude_deg)
            height = (
                f"{abs(degrees)}° {'above' if degrees > 0 else 'below'} the horizon"
                if degrees
                else "on the horizon"
            )
            if sun.behind:
                height += f", behind {sun.behind}"
            where += f"; sun at {sun.text} in the {bearing_text(sun.azimuth_deg)}, {height}{lies}"
        yield sentence(where)
    if paths:
        yield "The track passes through this map."


def _facing(cones: list[Cone], one: ShownPlace) -> float | None:
    return next((cone.facing_deg for cone in cones if cone.place_id == one.place.id), None)
