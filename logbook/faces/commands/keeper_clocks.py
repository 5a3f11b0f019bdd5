"""`logbook keeper clock`: how right a camera's clock is, for all its frames or a range of them."""

from typing import TYPE_CHECKING, Annotated

import typer

from logbook.domain.errors import WrongUseError
from logbook.domain.said import figured
from logbook.faces import options, typed
from logbook.faces.opened import open_book
from logbook.faces.plain import plain
from logbook.faces.terminal import answer_json, answer_prose, say

if TYPE_CHECKING:
    from logbook.services.clocks.setting import ClockSet

app = typer.Typer()


@options.command(
    app,
    "clock",
    "logbook keeper clock --trip high-valley --body Halvern --slow 420",
    short="State or list how fast or slow cameras' clocks are.",
)
def clock(
    trip: options.TripName = None,
    body: Annotated[str | None, typer.Option("--body", metavar="NAME", help="Which camera.")] = None,
    slow: Annotated[
        str | None,
        typer.Option("--slow", metavar="TIME", help="How slow it is, such as 420, '7 min' or 1:03."),
    ] = None,
    fast: Annotated[
        str | None, typer.Option("--fast", metavar="TIME", help="How fast it is, such as 63min; 0 if right.")
    ] = None,
    keeper: Annotated[
        str | None, typer.Option("--keeper", metavar="KEEPER", help="A keeper that shows the right time.")
    ] = None,
    shown: Annotated[
        str | None,
        typer.Option("--shown", metavar="TIME", help="The time it shows, such as 2031-10-14T17:42:10."),
    ] = None,
    same_as: Annotated[
        str | None,
        typer.Option("--same-as", metavar="KEEPER", help="A keeper of another camera at the same moment."),
    ] = None,
    zone: options.Zone = None,
    since: Annotated[
        str | None, typer.Option("--since", metavar="KEEPER", help="From this frame on.")
    ] = None,
    until: Annotated[str | None, typer.Option("--until", metavar="KEEPER", help="Up to this frame.")] = None,
    later: Annotated[
        bool, typer.Option("--later", help="Take the second occurrence, when clocks show a time twice.")
    ] = False,
    as_json: options.Json = False,
    book: options.Book = None,
) -> None:
    """State how fast or slow a camera's clock is, for all its frames or a range; or list the clocks.

    A new statement corrects the times again. Without --since and --until, a statement replaces all
    those made about that camera; with them, it leaves those about other frames as they are.
    """
    if slow is not None and fast is not None:
        raise WrongUseError("A clock is either fast or slow; give --fast or --slow, not both.")
    slow_s, fast_s = typed.seconds(slow), typed.seconds(fast)
    fast_s = fast_s if slow_s is None else -slow_s
    if keeper is None and (shown or same_as):
        raise WrongUseError("--shown and --same-as need --keeper, to name the keeper they are about.")
    if not later and all(one is None for one in (fast_s, keeper, zone, since, until)):
        _list(trip, body, as_json, book)
        return
    from logbook.faces.asking import Chosen, settled
    from logbook.faces.proposed import clock_words
    from logbook.services.clocks import setting

    opened, in_zone, at = open_book(book), typed.a_zone(zone), typed.a_moment(shown)

    def stated(name: Chosen) -> "ClockSet":
        shows, same, first, last = (one and name(one) for one in (keeper, same_as, since, until))
        said = setting.ClockSaid(fast_s, at, shows, same, in_zone, first, last, later)
        return setting.set_clock(opened, trip, body, said)

    done = settled(stated, as_json=as_json)
    if as_json:
        answer_json(
            {
                "body": done.clock.body,
                "offset_s": done.correction_s,
                "zone": done.clock.zone,
                "evidence": str(done.evidence),
                "since": plain(done.clock.since),
                "until": plain(done.until),
                "keepers": list(done.keepers),
                "changed": done.changed,
                "doubts": list(done.doubts),
            }
        )
        return
    answer_prose(
        f"{done.clock.body}: {clock_words(done.correction_s)}, {done.evidence}, for {_frames(done)}; "
        f"{done.changed} corrected."
    )
    for doubt in done.doubts:
        say(f"Doubt: {doubt}.")


def _frames(done: "ClockSet") -> str:
    """Return the frames for which a correction was stated, as words."""
    from logbook.services.clocks.proposed import span

    if done.is_whole:
        return "all its frames"
    count = figured(len(done.keepers), "keeper")
    if done.until is None:
        return f"{done.keepers[0]} and all after it ({count} so far)"
    if done.clock.since is None:
        return f"{done.keepers[-1]} and all before it ({count})"
    return f"{span(done.keepers)} ({count})"


def _list(trip: str | None, body: str | None, as_json: bool, book: options.Book) -> None:
    """List what is stated or known of each camera's clock, and the evidence for it."""
    from logbook.faces.proposed import clock_json, print_clock
    from logbook.services.clocks.proposed import list_clocks

    clocks = list_clocks(open_book(book), trip, body)
    if as_json:
        answer_json([clock_json(one) for one in clocks])
        return
    if not clocks:
        say("The trip has no keepers yet, and so no cameras; import keepers first.")
    for one in clocks:
        print_clock(one, trip)
