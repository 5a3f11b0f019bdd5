"""A trip as KML 2.2 (OGC 07-147r2): places, pictures and tracks in folders, without styles.

One surprising decision: heights are written but not asked to be used (`clampToGround` stays the rule), since
a receiver's height is often wrong by more than a tripod. A description is HTML to whoever shows it (OGC
07-147r2, description), so what a person wrote is escaped once for that and once more for the file.
"""

from html import escape
from xml.etree.ElementTree import Element, ElementTree, SubElement, indent

from logbook.domain.shown import Shown
from logbook.domain.viewpoint import Viewpoint
from logbook.services.exports.places import one_line, pictures_of, places_of, prose

NAMESPACE = "http://www.opengis.net/kml/2.2"


def kml_text(shown: Shown) -> str:
    """Return the trip as the text of a KML file."""
    from io import BytesIO

    trip = shown.trip
    root = Element("kml", xmlns=NAMESPACE)
    document = SubElement(root, "Document")
    _named(document, one_line(trip.title), prose(trip.summary))
    sites, viewpoints = _folder(document, "Sites"), _folder(document, "Viewpoints")
    for place in places_of(shown):
        folder = viewpoints if isinstance(place.place, Viewpoint) else sites
        where = place.position.longitude_deg, place.position.latitude_deg, place.elevation_m
        _point(folder, f"place-{place.place.id}", place.title, place.about, where)
    pictures = _folder(document, "Pictures")
    for keeper, position in pictures_of(shown):
        where = position.longitude_deg, position.latitude_deg, keeper.altitude_m
        said = prose(keeper.caption)
        moment = keeper.taken_utc.isoformat().replace("+00:00", "Z") if keeper.taken_utc else ""
        _point(pictures, f"picture-{keeper.id}", one_line(keeper.file), said, where, moment)
    tracks = _folder(document, "Tracks")
    for number, segment in enumerate(shown.tracks, start=1):
        if len(segment) > 1:
            mark = SubElement(tracks, "Placemark", id=f"track-{number}")
            _named(mark, f"{one_line(trip.title)}, part {number}", "")
            span = SubElement(mark, "TimeSpan")
            for name, fix in (("begin", segment[0]), ("end", segment[-1])):
                SubElement(span, name).text = fix.at.isoformat().replace("+00:00", "Z")
            line = SubElement(mark, "LineString")
            SubElement(line, "coordinates").text = " ".join(
                _at(fix.longitude_deg, fix.latitude_deg, fix.elevation_m) for fix in segment
            )
    for folder in (sites, viewpoints, pictures, tracks):
        if folder.find("Placemark") is None:
            document.remove(folder)
    indent(root, " ")
    out = BytesIO()
    ElementTree(root).write(out, encoding="utf-8", xml_declaration=True)
    return out.getvalue().decode("utf-8") + "\n"


def _folder(document: Element, name: str) -> Element:
    folder = SubElement(document, "Folder")
    SubElement(folder, "name").text = name
    return folder


def _named(element: Element, name: str, description: str) -> None:
    SubElement(element, "name").text = _without_markup(name)
    if description:
        SubElement(element, "description").text = escape(description, quote=False)


def _without_markup(name: str) -> str:
    """A name is plain text, but is set into the HTML of a balloon: no element begins in it, & stays &."""
    return name.replace("<", "&lt;").replace(">", "&gt;")


def _point(
    folder: Element,
    mark_id: str,
    name: str,
    description: str,
    where: tuple[float, float, float | None],
    moment: str = "",
) -> None:
    mark = SubElement(folder, "Placemark", id=mark_id)
    _named(mark, name, description)
    if moment:
        SubElement(SubElement(mark, "TimeStamp"), "when").text = moment
    SubElement(SubElement(mark, "Point"), "coordinates").text = _at(*where)


def _at(longitude_deg: float, latitude_deg: float, height_m: float | None) -> str:
    """One position: longitude, latitude and, where it is known, height, without blanks between."""
    flat = f"{longitude_deg:.9f}".rstrip("0").rstrip("."), f"{latitude_deg:.9f}".rstrip("0").rstrip(".")
    return ",".join((*flat, f"{height_m:.2f}") if height_m is not None else flat)
