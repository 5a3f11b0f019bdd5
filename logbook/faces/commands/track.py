"""`logbook track`: a receiver's tracks, which place the keepers that have no position of their own."""

from pathlib import Path
from typing import Annotated

import typer

from logbook.faces import options
from logbook.faces.opened import open_book
from logbook.faces.plain import plain
from logbook.faces.terminal import answer, answer_json, answer_table, say

app = options.noun_app("track")


@options.command(
    app, "import", "logbook track import sample_trip/high-valley-autumn/track.gpx --trip high-valley"
)
def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A GPX file.")],
    trip: options.TripName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Import a track, and place keepers by it."""
    from logbook.services import tracks

    done = tracks.take_track(open_book(book), file.expanduser(), trip)
    if as_json:
        answer_json(
            {
                "trip": done.trip,
                "file": done.file,
                "known": done.known,
                "points": done.points,
                "starts": plain(done.starts),
                "ends": plain(done.ends),
                "doubts": list(done.doubts),
                "placed": [
                    {
                        "file": one.file,
                        "latitude": one.placed.latitude_deg,
                        "longitude": one.placed.longitude_deg,
                        "gap_s": one.placed.gap_s,
                        "speed_m_s": one.placed.speed_m_s,
                    }
                    for one in done.placed
                ],
                "torn": [{"file": one.file, "apart_m": one.placed.torn_m} for one in done.torn],
            }
        )
        return
    answer(f"{done.file}: {done.points} points{', already known' if done.known else ''}.")
    for doubt in done.doubts:
        say(doubt)
    if done.torn:
        apart_km = max(one.placed.torn_m for one in done.torn) / 1000
        more = f" and {len(done.torn) - 1} more" if len(done.torn) > 1 else ""
        say(
            f"No place for {done.torn[0].file}{more}: two tracks are up to {apart_km:.1f} km apart at "
            'that time; remove the one that was not with the camera ("logbook track remove FILE").'
        )
    rows = [
        [
            one.file,
            f"{one.placed.latitude_deg:.5f}, {one.placed.longitude_deg:.5f}",
            f"{one.placed.gap_s:.0f} s",
            f"{one.placed.speed_m_s:.1f} m/s" if one.placed.speed_m_s is not None else "",
        ]
        for one in done.placed
    ]
    why = "" if done.torn else ": each has its own position, or none was taken while it was recorded"
    answer_table(("keeper", "inferred place", "gap", "speed"), rows, f"It places no keepers{why}.")


@options.command(app, "list", "logbook track list --trip high-valley")
def list_(trip: options.TripName = None, as_json: options.Json = False, book: options.Book = None) -> None:
    """List the tracks of a trip."""
    from logbook.services import tracks

    found = tracks.list_tracks(open_book(book), trip)
    if as_json:
        answer_json([{"file": one.file, "title": one.title, "doubts": list(one.doubts)} for one in found])
    else:
        rows = [[one.file, one.title or "", "; ".join(one.doubts)] for one in found]
        answer_table(
            ("track", "title", "doubts"),
            rows,
            'The trip has no tracks yet; "logbook track import FILE" imports one.',
        )


@options.command(
    app, "remove", "logbook track remove track.gpx --trip high-valley", short="Remove a track from the book."
)
def remove(
    name: Annotated[str, typer.Argument(metavar="FILE", help="The track's file name.")],
    trip: options.TripName = None,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """Remove a track from the book, with the positions that came from it alone."""
    from logbook.services import tracks

    gone = tracks.remove_track(open_book(book), trip, name)
    if as_json:
        answer_json({"removed": gone})
    else:
        answer(f"track {gone} removed.")
